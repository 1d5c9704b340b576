"""What a line says twice is told once."""

from __future__ import annotations

from nurserytui.language.draft import Draft
from nurserytui.language.record_events import ANIMAL_EVENTS, RESULT
from nurserytui.language.record_words import BIN_WORDS, DUD_WORDS


def tidied(found: list[Draft]) -> list[Draft]:
    """Take out what only says again what another clause says: `a dud, binned it`, `got out and cannot be found`, a look before a change."""
    kept: list[Draft] = []
    for draft in _parts_of_a_sum(found):
        one = (_again if kept[-1].what == draft.what else _after)(kept[-1], draft) if kept else None
        if one is None:
            kept.append(draft)
        else:
            kept[-1] = one
    return _counted_last(_without_looks(kept))


def _alike(last: Draft, draft: Draft) -> bool:
    return draft.count in (None, last.count) and (draft.cohort, draft.mark) == (last.cohort, last.mark)


def _again(last: Draft, draft: Draft) -> Draft | None:
    """What two events of one kind are together that say the same; None if they are two."""
    what = draft.what
    if draft.count is not None and draft.when and last.when and draft.when.start != last.when.start:
        return None  # `1 D hatched on thursday and another on friday`
    if {last.detail, draft.detail} == {"male", "female"}:
        return None
    if what == "died":
        return _one_death(last, draft)
    if what == "counted":
        others = draft.enclosure and draft.enclosure != last.enclosure or draft.cohort and draft.cohort != last.cohort
        return None if others or draft.stage and last.stage and draft.stage != last.stage else last
    if what == "checked":
        named = draft.cohort or draft.enclosure
        same = (draft.cohort, draft.mark, draft.enclosure) == (last.cohort, last.mark, last.enclosure)
        return last if not named or same else None
    if what == "tested":
        return last._replace(detail=last.detail or draft.detail) if draft.cohort in ("", last.cohort) else None
    if (
        what in LEAVING
        and not draft.other
        and draft.count in (None, 1, last.count)
        and _alike(last._replace(count=draft.count), draft)
    ):
        return _one_leaving(last, draft)
    if what == "moulted" and draft.instar and draft.count is None and not draft.refers and _alike(last, draft):
        return last._replace(instar=last.instar or draft.instar, enclosure=last.enclosure or draft.enclosure)
    if what in RESULT and _alike(last, draft) and draft.enclosure in ("", last.enclosure) and not _apart(last, draft):
        return last._replace(instar=last.instar or draft.instar)
    if what == "found" and draft.count is None and not (draft.species or draft.stage or draft.instar) and last.species:
        # `bought 20 peacock larvae, arrived at 10, put in jar 2`: how they came and where they are
        where, when = last.enclosure or draft.enclosure, last.when or draft.when
        return last._replace(cohort=last.cohort or draft.cohort, enclosure=where, when=when)
    return None


def _apart(last: Draft, draft: Draft) -> bool:
    """Whether both have a number and a time of their own (`1 pupated last night, 1 this morning`)."""
    counted = isinstance(last.count, int) and isinstance(draft.count, int)
    return counted and last.when is not None and draft.when is not None and last.when.start != draft.when.start


LEAVING = frozenset("escaped returned released given missing".split())


def _one_leaving(last: Draft, draft: Draft) -> Draft | None:
    """`one got out of the tub, escaped behind the shelf`: the same again, and where or when."""
    apart = draft.enclosure and last.enclosure and draft.enclosure != last.enclosure
    if apart or (draft.count == 1 and last.count != 1):
        return None
    place, time = last.enclosure or draft.enclosure, last.when or draft.when
    return last._replace(when=time, detail=last.detail or draft.detail, enclosure=place)


FALLS = frozenset("fell fallen tumbled slipped rolled went got climbed crawled walked".split())
"""What came before a death and is no death of its own."""


def _one_death(last: Draft, draft: Draft) -> Draft | None:
    same = (draft.cohort, draft.mark) == (last.cohort, last.mark)
    if same and draft.mark and draft.count == 1:
        draft = draft._replace(count=None)  # one animal dies once
    lead = draft.lead.casefold()
    if _alike(last, draft) and (lead in BIN_WORDS or last.lead.casefold() in ("found", "dud", "duds")):
        return last
    if draft.count is not None:
        return None
    where = (draft.enclosure, draft.species) == (last.enclosure, last.species)
    if lead in DUD_WORDS | {"dead", "died", "killed"} and same and where:
        # `trod on one of the larvae, its dead`, `binned 6 of the eggs, duds`: the same death, and why.
        return last._replace(detail=draft.detail or last.detail)
    if same and not draft.refers and draft.detail and last.detail in ("", draft.detail, last.lead):
        # `one D died, drowned`: the cause, not another death.
        return last._replace(detail=draft.detail)
    if same and where and not draft.refers and draft.detail and last.lead.casefold() in FALLS:
        return last._replace(detail=f"{last.detail}, {draft.detail}")  # `one B fell in the water jar and drowned`
    return None


def _after(last: Draft, draft: Draft) -> Draft | None:
    """What two events of different kinds are together of which one is only how the other was told; None if they are two."""
    pair = (last.what, draft.what)
    follows = draft.count in (None, last.count) and (draft.cohort, draft.mark) in (("", ""), (last.cohort, last.mark))
    if last.what in ("laid", "found") and (label := _label_of_those(draft)) and not last.cohort:
        return last._replace(cohort=label, enclosure=last.enclosure or draft.enclosure)
    named = draft.what == "moved" and draft.cohort and draft.cohort == last.cohort and draft.count is None
    if last.what in ("laid", "found") and named and not last.enclosure and not draft.enclosure:
        return last._replace(enclosure=draft.to)  # `laid 9, put down as M9, jar 9`
    if pair == ("laid", "found"):
        counted = last.count is None and isinstance(draft.count, int) and draft.species in (None, last.species)
        return last._replace(count=draft.count) if counted else None
    if pair == ("sign", "checked"):
        looked = draft.lead and last.cohort and draft.cohort in ("", last.cohort)
        return draft._replace(cohort=last.cohort, enclosure=last.enclosure, note=last.detail) if looked else None
    if pair == ("sign", "died") and _alike(last, draft):
        # `3 eggs went brown, threw them out`: the look is why they died.
        stage = draft.stage or last.stage
        return draft._replace(count=last.count, stage=stage, enclosure=last.enclosure, detail=last.detail)
    if pair == ("moulted", "pupated") and follows:
        # `shed its skin and is a pupa now`: the last skin
        same = {part: getattr(last, part) for part in ("cohort", "mark", "species", "count", "enclosure", "when")}
        return draft._replace(**same)
    if pair == ("died", "escaped") and draft.count is None and follows and last.detail:
        return last  # `one starved, crawled off the leaf`
    if pair == ("died", "missing") and follows and last.lead.casefold() == "lost" and not last.detail:
        return last._replace(what="missing")  # `2 lost, no idea where they went`
    if last.what in ("escaped", "missing") and draft.what == "died" and draft.count is None and follows and not draft.refers:
        # `2 B slipped into the vase and drowned`
        return draft._replace(count=last.count, stage=draft.stage or last.stage, enclosure=last.enclosure or draft.enclosure)
    if pair == ("escaped", "missing") and draft.count in (None, last.count):
        return last
    return last if pair == ("missing", "escaped") and _alike(last, draft) else None


def _label_of_those(draft: Draft) -> str:
    """What those that came in just before are called (`they are to be called P`, `put them down as cohort P`)."""
    if draft.count is not None:
        return ""
    return (
        draft.cohort
        if draft.what == "renamed" and not draft.to
        else draft.to
        if draft.what in ("split", "merged") and not draft.cohort
        else draft.cohort
        if draft.what == "split" and draft.refers and not draft.to
        else draft.cohort
        if draft.what == "found" and not (draft.species or draft.stage or draft.host or draft.enclosure)
        else ""
    )


def _without_looks(kept: list[Draft]) -> list[Draft]:
    """Without the looks at cohorts and enclosures of which a change is told too."""
    changes = [draft for draft in kept if draft.what in ANIMAL_EVENTS - {"checked", "laid", "found"}]
    return [draft for draft in kept if draft.what != "checked" or not changes or _of_others(draft, changes)]


def _of_others(look: Draft, changes: list[Draft]) -> bool:
    """Whether a look names a cohort or an enclosure, and none of those that changed."""
    named = {part: getattr(look, part) for part in ("cohort", "enclosure") if getattr(look, part)}
    return bool(named) and not any(getattr(one, part) == value for one in changes for part, value in named.items())


def _counted_last(kept: list[Draft]) -> list[Draft]:
    """A stocktake told first is of what was left after the changes told behind it, or they are the difference that it found."""
    if len(kept) < 2 or kept[0].what != "counted":
        return kept
    counted, *others = kept
    if others[0].what in ("missing", "returned") and others[0].cohort in ("", counted.cohort):
        if others[0].enclosure and not counted.enclosure and isinstance(others[0].count, int):
            # `counted 18, 2 are missing from tub 1`
            return [others[0]._replace(cohort=counted.cohort), *others[1:], counted]
        # `counted 18, 2 are missing`: the word for the difference, not another loss.
        return [counted._replace(detail=others[0].what), *others[1:]]
    return [*others, counted] if others[0].what in ("died", "escaped", "released", "given") else kept


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
