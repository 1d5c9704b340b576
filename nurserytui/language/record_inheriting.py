"""Whom a clause means that names nobody: those of the clause before, or of the answer before."""

from __future__ import annotations

from nurserytui.language.clause import PREPOSITIONS, STAGES
from nurserytui.language.draft import Draft
from nurserytui.language.record_counts import MORE
from nurserytui.language.record_events import CARE, RESULT


def inheriting(draft: Draft, before: Draft | None) -> Draft:
    """A later clause takes its subject from the clause before, where it names none of its own."""
    if draft.what == "temperature" and before is not None and draft.refers and not draft.enclosure:
        return draft._replace(enclosure=before.enclosure, refers=False)
    if (
        before is None
        or before.what in ("temperature", "setting", "note", "stocked", "cut")
        or draft.what in ("temperature", "setting", "note", "stocked", "cut", "laid", "found")
    ):
        return draft
    if draft.what in CARE:
        if not (draft.enclosure or draft.cohort or draft.host) or (draft.refers and not draft.enclosure):
            return draft._replace(
                enclosure=before.to if before.what == "moved" else before.enclosure,
                cohort=draft.cohort or (before.cohort if draft.what == "fed" else ""),
            )
        return draft
    if before.what in CARE:
        own = draft.cohort or draft.species or draft.enclosure
        return draft if own else draft._replace(cohort=before.cohort, enclosure=before.enclosure)
    if draft.cohort or draft.species or draft.mark or draft.unknown:
        return draft._replace(when=draft.when or (before.when if draft.refers else None))
    if draft.enclosure and not draft.refers and draft.enclosure != before.enclosure:
        return draft
    if before.what in ("laid", "found"):
        return draft._replace(follows=True, when=draft.when or before.when)
    where = before.enclosure
    if before.what == "moved" and (draft.refers or draft.what == "checked"):
        where = before.to
    count = draft.count
    if (
        (count is None or count == "all" and draft.refers)
        and isinstance(before.count, int)
        and before.what in RESULT
        and draft.stage == RESULT[before.what]
        and draft.what in ("moved", "released", "given")
    ):
        count = before.count
    if count is None and isinstance(before.count, int) and draft.refers and before.what not in ("died", "counted"):
        count = before.count
    stage = draft.stage
    if (
        not stage
        and draft.refers
        and not draft.other
        and before.what in RESULT
        and draft.what in ("moved", "released", "given", "escaped", "died")
    ):
        stage = RESULT[before.what] if draft.what != "died" or before.what != "hatched" else ""
    elif not stage and draft.what == before.what:
        stage = before.stage
    elif not stage and before.what == "released" and draft.what in ("died", "escaped", "missing", "given"):
        stage = "adult"  # `let 6 go and one died`
    sex = draft.detail or (before.detail if draft.what == "released" and before.what == "emerged" else "")
    parted = before.what == "split" != draft.what and before.to and draft.refers and not draft.other
    cohort = before.to if parted else before.cohort
    return draft._replace(
        cohort=cohort, mark=before.mark if count in (None, 1) else "", species=before.species, unknown=before.unknown, count=count, stage=stage, detail=sex, refers=False,
        enclosure=draft.enclosure or where, when=draft.when or before.when,
    )  # fmt: skip


def spoken_of(found: tuple[Draft, ...], items, context, ledger) -> tuple[Draft, ...]:
    """`two of the larvae pupated` behind a line about a place or a cohort that has so many larvae: those are meant."""
    first, last = found[0], context.last if context is not None else None
    about = getattr(getattr(last, "answer", None), "about", None) or {}
    if context is not None and context.open is not None or first.cohort or first.species or first.enclosure or first.unknown:
        return found
    words = [item.word for item in items]
    if bare := _of_the_one(first, words, last, ledger):
        return (bare, *found[1:])
    stage = next((two.span.value for one, two in zip(items, items[1:]) if one.word in THE and two.word in STAGES), "")
    if not stage or not (about.get("cohort") or about.get("enclosure")) or first.what in ("found", "laid", *CARE):
        return found
    place = "" if about.get("event") == "moved" else about.get("enclosure", "")
    there = sum(
        count
        for key, count in ledger.heads.items()
        if (key.stage, key.cohort, key.enclosure) == (stage, about.get("cohort") or key.cohort, place or key.enclosure)
    )
    wanted = first.count if isinstance(first.count, int) else 1
    if there < wanted or "SPECIES" in words:
        return found
    return (first._replace(cohort=about.get("cohort", ""), enclosure=place), *found[1:])


def _completes(draft: Draft, asked: Draft, items) -> bool:
    """`B from tub 1 to tub 8` while it is asked where three were moved to: names without a verb say it of those."""
    nobody = draft.cohort in ("", asked.cohort) or not (asked.cohort or asked.species)
    bare = items[0].word in PREPOSITIONS or items[0].span is not None and items[0].word != "NUMBER"
    return bare and nobody and draft.what == asked.what == "moved" and draft.count is None and isinstance(asked.count, int)


THE = frozenset("the those these".split())


def _of_the_one(draft: Draft, words: list[str], last, ledger) -> Draft | None:
    """`lost 2` right behind a line that named one cohort, or one place and nobody: those are meant; None where it names anybody itself."""
    if last is None or last.answer.status not in ("recorded", "answered") or draft.what not in CHANGES:
        return None
    number = 2 if draft.count == "both" else draft.count
    if not isinstance(number, int) or draft.stage or draft.mark or draft.host or draft.refers or draft.to:
        return None
    if not {"SPECIES", "COHORT", "ENCLOSURE", "AGENT"}.isdisjoint(words):
        return None
    moved = last.request.event == "moved"
    cohorts, places = last.request.cohorts, () if moved and last.request.cohorts else last.request.enclosures
    if len(cohorts) > 1 or len(places) > 1 or not (cohorts or places):
        return None
    draft = draft._replace(cohort="".join(cohorts), enclosure="".join(places))
    there = sum(
        count
        for key, count in ledger.heads.items()
        if draft.cohort in ("", key.cohort)
        and draft.enclosure in ("", key.enclosure)
        and key.stage in BEFORE.get(draft.what, (key.stage,))
    )
    return draft if there >= number else None


BEFORE = {
    "hatched": ("egg",),
    "moulted": ("larva",),
    "prepupated": ("larva",),
    "pupated": ("larva", "prepupa"),
    "emerged": ("pupa",),
    "released": ("adult",),
}
"""The stages of those of whom an event is told that names none."""
CHANGES = frozenset("hatched moulted prepupated pupated emerged died released escaped given missing".split())


def _joins(items) -> bool:
    """Whether more are told to go where those went that were spoken of (`put 3 more with them`)."""
    words = [item.word for item in items]
    return bool(MORE & set(words)) or any(pair in WITH_THEM for pair in zip(words, words[1:]))


WITH_THEM = frozenset(("with", pronoun) for pronoun in ("them", "it", "him", "her", "those", "these"))


def _of_several(answer, about: dict) -> bool:
    """Whether an answer counted animals of others than the cohort that it is about: `them` may be those."""
    listed = {item.get("name") for item in getattr(answer, "items", ()) or () if isinstance(item, dict) and item.get("stage")}
    return getattr(answer, "topic", "") == "headcount" and bool(listed - {about.get("cohort"), None})


def _cares_for_others(draft: Draft, asked: Draft) -> bool:
    """Whether a line tells of the care of a place or a plant while something else is asked (`watered the fennel pots`)."""
    return draft.what in CARE and asked.what not in CARE and bool(draft.host or draft.enclosure)


def referring(found: tuple[Draft, ...], context, items=()) -> tuple[Draft, ...]:
    """A first clause that points back (`let him go`) takes its subject from what was last spoken of in this conversation."""
    first = found[0]
    last = context.last if context is not None else None
    opened = context is not None and context.open is not None and context.open.topic == "record" and context.open.drafts
    if (
        last is None
        or first.what in ("note", "temperature", "setting", "stocked", "laid", "found")
        or not (first.refers or opened)
    ):
        return found
    if opened and _completes(first, opened[0], items):
        asked = opened[0]
        whose = {part: getattr(first, part) or getattr(asked, part) for part in ("cohort", "mark", "species", "stage", "when")}
        return (first._replace(count=asked.count, **whose), *found[1:])
    if first.cohort or first.species or first.mark or first.unknown:
        return found
    about = getattr(last.answer, "about", None) or {}
    if opened:
        asked = opened[0]
        if first.enclosure and asked.enclosure and first.enclosure != asked.enclosure or _cares_for_others(first, asked):
            return found
        return tuple(
            draft._replace(
                cohort=asked.cohort,
                mark=asked.mark,
                species=asked.species,
                stage=draft.stage or (asked.stage if asked.what not in RESULT else ""),
                enclosure=draft.enclosure or asked.enclosure,
                when=draft.when or asked.when,
            )
            if not (draft.cohort or draft.species)
            else draft
            for draft in found
        )
    if getattr(last.answer, "status", "") not in ("recorded", "answered") or not (about.get("cohort") or about.get("enclosure")):
        return found
    if getattr(last.answer, "status", "") == "answered" and _of_several(last.answer, about):
        return found
    written = next(iter(getattr(last.answer, "items", ()) or ()), {})
    place = written.get("to") if about.get("event") == "moved" and written.get("to") else about.get("enclosure", "")
    if first.what == "moved" and about.get("event") == "moved" and place and _joins(items) and first.to in ("", place):
        same = {part: written.get(part, "") for part in ("cohort", "stage", "enclosure", "to")}
        return (first._replace(**same, refers=False), *found[1:])
    cohort = about.get("cohort", "") if first.what not in ("cleaned", "watered") else ""
    if cohort and about.get("event") in ("split", "renamed", "merged"):
        cohort = written.get("to", cohort)
    pronoun = first.what in ("released", "moved", "given", "escaped") and first.count is None
    count = first.count
    values = getattr(last.answer, "values", None) or {}
    if pronoun and last.answer.status == "recorded" and "count" in values and isinstance(values["count"].value, int):
        count = values["count"].value
    stage = first.stage
    event = about.get("event", "")
    if (
        not stage
        and first.what not in RESULT
        and (
            event == first.what or event in RESULT and first.what in ("moved", "released", "given", "escaped", "died", "missing")
        )
    ):
        stage = about.get("stage", "")
    if first.what == "released" and not stage:
        stage = "adult"
    changed = [draft._replace(cohort=cohort, mark="" if draft.other and event == "died" else str(about.get("mark", "")), count=count if draft is first else draft.count, stage=stage if draft is first else draft.stage,
                              enclosure=draft.enclosure or (place if not cohort or draft is first and draft.what != "returned" else "")) if not (draft.cohort or draft.species) else draft for draft in found]  # fmt: skip
    return tuple(changed)
