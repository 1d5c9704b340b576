"""Clauses that lean on each other: what one without a verb adds, what a later one inherits, what is only said twice."""

from __future__ import annotations

import re

from nurserytui.language import record_slots, record_unheld
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_build import ANIMAL_EVENTS, CARE, RESULT, UNKNOWN, causes, with_result_stage
from nurserytui.language.record_clauses import STAGES, Clause
from nurserytui.language.record_words import BIN_WORDS, CAUSE_WORDS, DARK_WORDS, DUD_WORDS, FEMALE, MALE, NO_IDEA

LIVES = frozenset(
    """
    live lives living sit sits sitting is are kept keeping housed now in stays stay hangs hanging theyre its staying
    """.split()
)


def modified(line: Line, draft: Draft, clause: Clause, now, late: bool = False) -> Draft:
    """The draft with what a clause of no event of its own adds: a label, a place, a time, a cause, a species, a sex."""
    items, words = clause.items, clause.words()
    if draft.what in ("note", "temperature", "setting"):
        return draft
    if late and set(words) & {"stay", "stays", "stayed", "staying"} and set(words) & (STAGES | {"COHORT", "NUMBER"}):
        return draft
    if late and draft.what == "prepupated" and set(words) & DARK_WORDS and "NUMBER" not in words:
        return draft._replace(what="sign", stage="larva", detail=line.text.strip(), note="")
    if late and draft.what == "renamed" and not draft.to and len(items) == 1:
        return draft._replace(to=items[0].span.value if items[0].kind == "cohort" else record_slots.raw_label(line, items[0]))
    label, labelled = record_slots.label_in(items, line)
    if label and draft.what in ("laid", "found") and not draft.cohort:
        draft = draft._replace(cohort=label)
    elif label and draft.what == "split" and not draft.to:
        draft = draft._replace(to=label)
    elif label and draft.what in ("laid", "found"):
        pass
    else:
        labelled = frozenset()
    before = draft
    if draft.what == "moved" and late and not draft.to:
        place = next((item.span.value for item in items if item.word == "ENCLOSURE"), "")
        draft = draft._replace(to=place)
        items = tuple(item for item in items if item.word != "ENCLOSURE")
        if not items:
            return draft
    if NO_IDEA.search(" ".join(words)) and draft.what == "found":
        return draft._replace(species=draft.species or UNKNOWN)
    if draft.what == "found" and draft.cohort and not label:
        items = tuple(item for item in items if item.kind != "cohort")
    if draft.inherits and "ENCLOSURE" in words:
        draft = draft._replace(enclosure="", inherits=False)
    draft = record_slots.filled(draft, items, line, now, frozenset(), labelled)
    draft = draft._replace(host=draft.host if draft.what in ("laid", "found", "fed", "cut", "watered", "stocked") else None)
    if draft.what in ("laid", "found"):
        draft = draft._replace(unknown="")
        if draft.instar and not draft.stage:
            draft = draft._replace(stage="larva")
    if (
        late
        and draft.count != before.count
        and draft.what not in ("laid", "found")
        and (before.count is not None or set(words) & {"left", "remaining", "still", "go"})
    ):
        draft = draft._replace(count=before.count)
    if late and draft.what in RESULT and draft.stage != before.stage:
        draft = draft._replace(stage=before.stage)
    if draft.what == "moulted":
        draft = draft._replace(stage="")
    if late and draft.what not in ("laid", "found"):
        draft = draft._replace(refers=before.refers)
    if draft.what in ("emerged", "released") and not draft.detail:
        draft = draft._replace(detail=record_slots.sex_of(items))
        if draft.detail and draft.count is None and set(words) & ((MALE | FEMALE) - {"males", "females", "boys", "girls"}):
            draft = draft._replace(count=1)
    if draft.what in ("laid", "found"):
        return record_unheld.noted(line, items, draft, labelled=labelled)
    if draft.what == "died" and late and set(words) & (CAUSE_WORDS | {"AGENT"}) and not set(words) & {"rest", "others", "still"}:
        text = clause.text(line).strip()
        draft = draft._replace(detail=f"{draft.detail}, {text}" if draft.detail else text)
    elif draft.what == "tested" and not draft.detail:
        pass
    elif (
        draft.what == "counted"
        and late
        and re.search(
            r"\b(missed|miscounted|overlooked|missing|died|dead|lost|vanished|gone|escaped|wrong|estimate)\b",
            clause.text(line).casefold(),
        )
    ):
        draft = draft._replace(note=clause.text(line).strip())
    elif (
        late
        and draft.what in ANIMAL_EVENTS
        and not label
        and not set(words) & {"ENCLOSURE", "PERIOD", "COHORT"}
        and len(words) > 1
        and draft.what != "sign"
    ):
        draft = draft._replace(note=f"{draft.note}, {clause.text(line).strip()}" if draft.note else clause.text(line).strip())
    elif late and draft.what == "sign":
        draft = draft._replace(detail=f"{draft.detail}, {clause.text(line).strip()}")
    elif late and draft.what == "cleaned":
        draft = draft._replace(
            detail=f"{draft.detail}, {clause.text(line).strip()}" if draft.detail else clause.text(line).strip()
        )
    return draft


def repeated(line: Line, clause: Clause, before: Draft, now) -> Draft | None:
    """`2 hatched in tub 1, 3 in tub 2`: a number with a subject of its own, after a clause that has both, tells the same again."""
    words = set(clause.words())
    if before.count is None or before.what not in ANIMAL_EVENTS or before.what in ("checked", "sign", "tested", "counted"):
        return None
    if not record_slots.numbers_in(clause.items) or set(clause.words()) & LIVES - {"in", "now"}:
        return None
    label, labelled = record_slots.label_in(clause.items, line)
    draft = record_slots.filled(Draft(before.what, lead=before.lead), clause.items, line, now, frozenset(), labelled)
    own = (draft.cohort and before.cohort and draft.cohort != before.cohort) or (
        draft.enclosure and before.enclosure and draft.enclosure != before.enclosure
    )
    sexes = record_slots.sexes_counted(clause.items)
    if sexes and before.detail in ("male", "female") and before.what in ("released", "emerged"):
        return draft._replace(
            count=sexes[0][0],
            detail=sexes[0][1],
            when=draft.when or before.when,
            cohort=draft.cohort or before.cohort,
            species=draft.species or before.species,
            enclosure=draft.enclosure or before.enclosure,
        )
    if before.what == "died" and set(clause.words()) & CAUSE_WORDS and "of" in words:
        return draft._replace(
            cohort=before.cohort,
            mark="",
            species=before.species,
            enclosure=before.enclosure,
            stage=draft.stage or before.stage,
            when=draft.when or before.when,
            detail=causes(clause.items),
        )
    own = own or (draft.when and before.when and draft.when.start != before.when.start)
    own = own or (before.what == "moved" and draft.to and draft.to != before.to)
    own = (
        own
        or (draft.species and before.species)
        or (draft.stage and before.stage and before.what not in ("laid",))
        or "another" in words
    )
    if not own or draft.count is None:
        return None
    if before.what in ("laid", "found"):
        return record_unheld.noted(line, clause.items, draft, labelled=labelled)._replace(
            cohort=label,
            unknown="",
            enclosure=draft.enclosure or before.enclosure,
            inherits=not draft.enclosure,
            host=draft.host or (before.host if draft.species in (None, before.species) else None),
            when=draft.when or before.when,
            stage=draft.stage or before.stage,
        )
    if before.what == "moved":
        same = draft.cohort in ("", before.cohort) and not draft.species
        return draft._replace(
            to=draft.to or before.to,
            when=draft.when or before.when,
            cohort=draft.cohort or before.cohort,
            stage=draft.stage or (before.stage if same else ""),
            enclosure=draft.enclosure or (before.enclosure if same else ""),
        )
    same = not draft.cohort and not draft.species
    if same and not draft.enclosure:
        draft = draft._replace(enclosure=before.enclosure, stage=draft.stage or before.stage)
    return draft._replace(
        when=draft.when or before.when,
        cohort=before.cohort if same else draft.cohort,
        species=before.species if same else draft.species,
        detail=causes(clause.items) if before.what == "died" else "",
    )


def told_earlier(line: Line, piece: Clause, clause: Clause, draft: Draft, now) -> Draft | None:
    """`3 A eggs and 2 P eggs hatched`: a number and a subject of its own, joined by `and` to another with the verb, tells the same."""
    if not clause.joined or not isinstance(draft.count, int) or not record_slots.numbers_in(piece.items):
        return None
    other = record_slots.filled(
        Draft(draft.what, when=draft.when, detail=draft.detail, to=draft.to, lead=draft.lead), piece.items, line, now
    )
    own = (
        other.cohort
        and draft.cohort
        and other.cohort != draft.cohort
        or other.species
        and draft.species
        and other.species != draft.species
    )
    return with_result_stage(other) if own and isinstance(other.count, int) else None


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
        return (
            draft
            if draft.cohort or draft.species or draft.enclosure or not before.enclosure
            else draft._replace(enclosure=before.enclosure)
        )
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
        count in (None, "all")
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
    sex = draft.detail or (before.detail if draft.what == "released" and before.what == "emerged" else "")
    return draft._replace(
        cohort=before.cohort, mark=before.mark if count in (None, 1) else "", species=before.species, unknown=before.unknown, count=count, stage=stage, detail=sex, refers=False,
        enclosure=draft.enclosure or where, when=draft.when or before.when,
    )  # fmt: skip


def tidied(found: list[Draft]) -> list[Draft]:
    """Take out what only says again what another clause says: `a dud, binned it`, `got out and cannot be found`, a look before a change."""
    kept: list[Draft] = []
    found = _parts_of_a_sum(found)
    for draft in found:
        last = kept[-1] if kept else None
        if (
            last
            and last.what == "laid"
            and last.count is None
            and draft.what == "found"
            and isinstance(draft.count, int)
            and draft.species in (None, last.species)
        ):
            kept[-1] = last._replace(count=draft.count)
            continue
        if (
            last
            and last.what == "sign"
            and draft.what == "checked"
            and draft.lead
            and last.cohort
            and draft.cohort in ("", last.cohort)
        ):
            kept[-1] = draft._replace(cohort=last.cohort, enclosure=last.enclosure, note=last.detail)
            continue
        if (
            last
            and draft.what == last.what == "died"
            and (draft.lead.casefold() in BIN_WORDS or last.lead.casefold() in ("found", "dud", "duds"))
            and (draft.cohort, draft.mark) == (last.cohort, last.mark)
            and (draft.count in (None, last.count))
        ):
            continue
        if (
            last
            and draft.what == last.what == "died"
            and draft.lead.casefold() in DUD_WORDS | {"dead", "died", "killed"}
            and draft.count is None
            and (draft.cohort, draft.mark, draft.enclosure, draft.species)
            == (last.cohort, last.mark, last.enclosure, last.species)
        ):
            # `trod on one of the larvae, its dead`, `binned 6 of the eggs, duds`: the same death, and why.
            kept[-1] = last._replace(detail=draft.detail or last.detail)
            continue
        if (
            last
            and draft.what == last.what == "died"
            and draft.count is None
            and not draft.refers
            and draft.detail
            and last.detail in ("", draft.detail)
            and (draft.cohort, draft.mark) == (last.cohort, last.mark)
        ):
            # `one D died, drowned`: the cause, not another death.
            kept[-1] = last._replace(detail=draft.detail)
            continue
        if (
            last
            and last.what == draft.what
            and draft.what in ("counted", "checked")
            and (
                draft.what == "counted"
                or not (draft.cohort or draft.enclosure)
                or (draft.cohort, draft.enclosure) == (last.cohort, last.enclosure)
            )
        ):
            continue
        if (
            last
            and last.what == "sign"
            and draft.what == "died"
            and (draft.cohort, draft.mark) == (last.cohort, last.mark)
            and draft.count in (None, last.count)
        ):
            # `3 eggs went brown, threw them out`: the look is why they died.
            kept[-1] = draft._replace(
                count=last.count, stage=draft.stage or last.stage, enclosure=last.enclosure, detail=last.detail
            )
            continue
        same = last and (draft.cohort, draft.mark) in (("", ""), (last.cohort, last.mark)) and draft.count in (None, last.count)
        if same and last.what == "moulted" and draft.what == "pupated":
            # `shed its skin and is a pupa now`: the last skin
            kept[-1] = draft._replace(
                cohort=last.cohort,
                mark=last.mark,
                species=last.species,
                count=last.count,
                enclosure=last.enclosure,
                when=last.when,
            )
            continue
        if same and last.what == "died" and last.lead.casefold() == "lost" and not last.detail and draft.what == "missing":
            kept[-1] = last._replace(what="missing")  # `2 lost, no idea where they went`
            continue
        if last and last.what == draft.what == "tested" and draft.cohort in ("", last.cohort):
            kept[-1] = last._replace(detail=last.detail or draft.detail)
            continue
        if last and last.what == "escaped" and draft.what == "missing" and draft.count in (None, last.count):
            continue
        if (
            last
            and last.what == "missing"
            and draft.what in ("missing", "escaped")
            and draft.count in (None, last.count)
            and (draft.cohort, draft.mark) == (last.cohort, last.mark)
        ):
            continue
        if (
            last
            and draft.what == last.what
            and draft.what in RESULT
            and draft.count in (None, last.count)
            and (draft.cohort, draft.mark) == (last.cohort, last.mark)
            and draft.enclosure in ("", last.enclosure)
        ):
            kept[-1] = last._replace(instar=last.instar or draft.instar)
            continue
        kept.append(draft)
    changes = [draft for draft in kept if draft.what in ANIMAL_EVENTS - {"checked", "laid", "found"}]
    if changes:
        kept = [
            draft
            for draft in kept
            if draft.what != "checked" or all(draft.cohort != one.cohort and draft.enclosure != one.enclosure for one in changes)
        ]
    if kept and kept[0].what == "counted" and len(kept) > 1:
        counted, *others = kept
        if others[0].what in ("missing", "returned") and others[0].cohort == counted.cohort:
            # `counted 18, 2 are missing`: the word for the difference, not another loss.
            kept = [counted._replace(detail=others[0].what), *others[1:]]
        elif others[0].what in ("died", "escaped", "released", "given"):
            kept = [*others, counted]
    return kept


def _parts_of_a_sum(found: list[Draft]) -> list[Draft]:
    """`3 died, 2 of virus and 1 drowned`: the parts, told after their sum, stand for it."""
    if len(found) < 2:
        return found
    first, *rest = found
    same = [
        draft
        for draft in rest
        if draft.what == first.what and isinstance(draft.count, int) and draft.cohort == first.cohort and draft.when == first.when
    ]
    if (
        first.what in ("died", "released", "emerged")
        and isinstance(first.count, int)
        and not first.detail
        and all(draft.detail for draft in same)
        and same
        and sum(draft.count for draft in same) == first.count
    ):
        return rest
    return found


def _of_several(answer, about: dict) -> bool:
    """Whether an answer counted animals of others than the cohort that it is about: `them` may be those."""
    listed = {item.get("name") for item in getattr(answer, "items", ()) or () if isinstance(item, dict) and item.get("stage")}
    return getattr(answer, "topic", "") == "headcount" and bool(listed - {about.get("cohort"), None})


def referring(found: tuple[Draft, ...], context) -> tuple[Draft, ...]:
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
    if first.cohort or first.species or first.mark or first.unknown:
        return found
    about = getattr(last.answer, "about", None) or {}
    if opened:
        asked = opened[0]
        if first.enclosure and asked.enclosure and first.enclosure != asked.enclosure:
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
    cohort = about.get("cohort", "") if first.what not in ("cleaned", "watered") else ""
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
    changed = [draft._replace(cohort=cohort, mark=str(about.get("mark", "")), count=count if draft is first else draft.count, stage=stage if draft is first else draft.stage,
                              enclosure=draft.enclosure or (place if not cohort or draft is first and draft.what != "returned" else "")) if not (draft.cohort or draft.species) else draft for draft in found]  # fmt: skip
    return tuple(changed)
