"""What a line says twice is told once."""

from __future__ import annotations

from nurserytui.language.draft import Draft
from nurserytui.language.record_build import ANIMAL_EVENTS, RESULT
from nurserytui.language.record_words import BIN_WORDS, DUD_WORDS


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
