"""The clauses of a line become drafts, one for each that has an event of its own."""

from __future__ import annotations

import re

from nurserytui.language import record_counts, record_days, record_settings
from nurserytui.language.clause import STAGES, Clause, Verb
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_build import built
from nurserytui.language.record_events import CARE, RESULT
from nurserytui.language.record_head_label import labelled
from nurserytui.language.record_joining import add, leads, put
from nurserytui.language.record_parts import by_parts
from nurserytui.language.record_repeating import repeated
from nurserytui.language.record_said_twice import tidied
from nurserytui.language.record_sexes import by_sex
from nurserytui.language.record_telling import told_by, told_by_all
from nurserytui.language.record_verbs import best_verb
from nurserytui.language.record_well import parted
from nurserytui.language.record_words import NEGATIONS


def drafts_of(line: Line, clauses: list[Clause], now, units: str) -> tuple[Draft, ...]:
    """One draft for each clause with an event of its own; the clauses without one add to the draft before them, or after."""
    if ONE_COHORT.search(line.plain) and sum(item.kind == "cohort" for clause in clauses for item in clause.items) > 1:
        items = tuple(item for clause in clauses for item in clause.items)
        return tuple(built(line, Clause(items, None), Verb("merged", 0, 0, frozenset(), 1), now, False, []))
    clauses = by_parts(clauses)
    if not any(clause.verb for clause in clauses):
        readings = record_settings.temperatures([item for clause in clauses for item in clause.items], now, units)
        if len(readings) > 1:  # of several places, told in one breath (`24 C in crate 1 and 22 in the tent`)
            return tuple(readings)
    found: list[Draft] = []
    before: list[Clause] = []
    everything = bool(ALL_THERE_IS.search(line.plain))
    listing: Clause | None = None
    made: list[Draft] = []
    for at, clause in enumerate(clauses):
        if found and _waits(clause, clauses[at + 1 : at + 2]):
            before.append(clause)
            continue
        if found and found[-1].what in ("escaped", "missing") and _fetched(clause):
            found[-1] = found[-1]._replace(what="checked", count=None, stage="", note=line.text.strip())
            made = []
            continue
        made_before, made = made, told_by(line, clause, now, units, everything, found)
        if not made and listing is not None and _goes_on(listing, clause) and not leads(line, clause):
            # `cleaned jar 1 and tank 2 with …`: the pieces of one list are read together.
            listing = Clause(listing.items + clause.items, listing.verb)
            made = built(line, listing, listing.verb, now, everything, found)
            found[len(found) - len(made_before) :] = made
            continue
        listing = clause if made and clause.verb else None
        if found and made and _sums_up(clause, made, found[-1]):
            found[-1] = found[-1]._replace(note=clause.text(line).strip())
            made = []
            continue
        if found and (also := _brought_in_too(line, clause, found[-1], now)):
            made = [also]
            found.append(also)
            continue
        if made:
            for draft in made:
                put(line, draft, clause, before, found, now)
            before = []
        elif found and leads(line, clause):
            before.append(clause)
        elif found and clause.verb and clause.verb.what == "checked" and found[-1].what in CARE:
            continue  # `fed B, all good`: no number of those fed
        elif found:
            add(line, clause, found, now)
        else:
            before.append(clause)
    found = _in_the_leading_place(line, clauses, found)
    if not found and before:
        looks, others = parted(line, before, now)
        whole = Clause(tuple(item for clause in (others or before) for item in clause.items), None)
        found = list(told_by_all(line, whole, now, units, everything))
        found += looks if found and others else []
    if len(found) > 1:
        found = [draft for draft in found if not _of_nothing(draft)] or found[:1]
    if BOTH_SEXES.search(line.plain):
        found = [_without_sex(line, draft) for draft in found]
    found = by_sex(clauses, found)
    found = [_single(clauses, draft) for draft in found] if len(found) == 1 else found
    timed = _at_the_leading_time(clauses, labelled(line, clauses, found), now)
    return tuple(_no_single(draft) for draft in _by_then(tidied(timed)))


ONE_COHORT = re.compile(r"\b(?:one|same|single) (?:cohort|group|batch)\b")
ALL_THERE_IS = re.compile(
    r"\b(all|only) (?:that )?(?:i|ive|i've|we|weve|we've|thats|that's|there)\b|\b(thats|that's|that is) (?:all|it|the lot)\b"
)
BOTH_SEXES = re.compile(r"\bmales?\b.*\bfemales?\b|\bfemales?\b.*\bmales?\b")
LEAVING = frozenset(("died", "released", "escaped", "given", "missing"))
LISTED = {
    "merged": {"COHORT"},
    "cleaned": {"COHORT", "ENCLOSURE"},
    "fed": {"COHORT", "ENCLOSURE", "PLANT", "SPECIES"},
    "watered": {"COHORT", "ENCLOSURE", "PLANT", "SPECIES"},
    "cut": {"PLANT"},
}


def _single(clauses: list[Clause], draft: Draft) -> Draft:
    """`fat monarch caterpillar off the milkweed, found at 8`: one animal is named, and no number."""
    items = [item for clause in clauses for item in clause.items]
    named = [item for item in items if item.word in STAGES] or [item for item in items if item.word == "SPECIES" and draft.stage]
    if draft.what != "found" or draft.count is not None or len(named) != 1 or record_counts.numbers_in(items):
        return draft
    several = (
        record_counts.plural(named[0])
        or named[0].raw.casefold().endswith("s")
        or {item.word for item in items} & {"some", "several", "few", "loads", "many"}
    )
    return draft if several else draft._replace(count=1)


FETCHING = frozenset("caught got put found popped fetched retrieved recaptured brought recovered".split())


def _fetched(clause: Clause) -> bool:
    """`one got loose, caught it again`: those that were away for a moment are where they were."""
    words = set(clause.words())
    own = {"COHORT", "SPECIES", "NUMBER", *STAGES} & words
    return not own and bool(FETCHING & words) and bool({"again", "back"} & words) and NEGATIONS.isdisjoint(words)


def _waits(clause: Clause, following: list[Clause]) -> bool:
    """`10 hatched, 2 B eggs bad and thrown away`: a number with its animals, of which the joined clause behind it tells."""
    if not following or best_verb(clause.items, weak=False) or not following[0].joined or following[0].verb is None:
        return False
    named = set(clause.words())
    nobody = {"NUMBER", "COHORT", "SPECIES", "ENCLOSURE", *STAGES}.isdisjoint(following[0].words())
    return nobody and "NUMBER" in named and not named.isdisjoint(("COHORT", "SPECIES", *STAGES))


def _of_nothing(draft: Draft) -> bool:
    """`just got in`, beside what is told of animals: a find of nobody."""
    named = draft.species or draft.cohort or draft.stage or draft.instar or draft.enclosure or draft.host or draft.detail
    return draft.what == "found" and draft.count is None and not named


def _sums_up(clause: Clause, made: list[Draft], last: Draft) -> bool:
    """`another 3 hatched, thats 15 hatched now`: a sum of all that did so, and no event of its own."""
    words = set(clause.words())
    lost = last.what in LEAVING
    return (
        (clause.items[0].word in ("thats", "that", "making", "makes", "so") or record_counts.sums(clause.words()))
        and (last.what in RESULT or lost)
        and isinstance(last.count, int)
        and not words & {"left", "remaining", "still", "there", "here", "to", "go", "COHORT", "ENCLOSURE"}
        and not (lost and words & STAGES)
        and not record_counts.MORE & words
        and all(
            draft.what in (last.what, "counted") and isinstance(draft.count, int) and draft.count >= last.count for draft in made
        )
    )


def _brought_in_too(line: Line, clause: Clause, last: Draft, now) -> Draft | None:
    """`found 8 eggs and 2 painted lady larvae that went into jar 7`: where the second lot was put is no move."""
    verb = clause.verb
    if verb is None or verb.what not in ("moved", "split") or last.what not in ("laid", "found"):
        return None
    words = clause.words()
    return repeated(line, clause, last, now) if words[0] == "NUMBER" and {"that", "which"} & set(words[: verb.first]) else None


def _goes_on(listing: Clause, clause: Clause) -> bool:
    """True where a clause without a verb only lists more of what the one before is about."""
    words = set(clause.words())
    what = listing.verb.what
    return clause.verb is None and bool(words & LISTED.get(what, set())) and ("NUMBER" not in words or what == "cut")


def _at_the_leading_time(clauses: list[Clause], found: list[Draft], now) -> list[Draft]:
    """`yesterday: 1 died, 2 hatched`: a time that leads the line holds for all that has none of its own."""
    first = clauses[0].items if clauses else ()
    leading = (
        record_days.when_of(first[:2], now)
        if first and (first[0].kind == "period" or first[:1] and first[0].word == "sun")
        else None
    )
    if leading is None:
        return found
    own = {"setting", "stocked"} | (
        {"temperature"} if len(first) > 1 else set()
    )  # alone, `12:15 -`, it is that of the reading too
    return [draft._replace(when=leading) if draft.when is None and draft.what not in own else draft for draft in found]


def _no_single(draft: Draft) -> Draft:
    """`W3, 50 eggs found`: what so many are called that came in is a label of their own, and no mark of a cohort."""
    many = draft.what in ("laid", "found") and draft.mark and isinstance(draft.count, int) and draft.count > 1
    return draft._replace(cohort=draft.cohort + draft.mark, mark="") if many else draft


def _by_then(found: list[Draft]) -> list[Draft]:
    """`B emerged and was let go at 10`: who left at some time had changed by then."""
    for at, (one, two) in enumerate(zip(found, found[1:])):
        same = two.cohort == one.cohort and two.mark == one.mark
        if one.what in RESULT and one.when is None and two.what in LEFT and two.when is not None and same:
            found[at] = one._replace(when=two.when)
    return found


LEFT = frozenset(("released", "given", "died", "escaped"))


EMPTIED = frozenset("is empty emptied cleared vacated now all out".split())
"""Words behind a place by which all that is told comes from it."""


def _in_the_leading_place(line: Line, clauses: list[Clause], found: list[Draft]) -> list[Draft]:
    """`tub 1: 2 B died, 1 C hung up`, `tub 1 empty now, B went to tub 2 and C to tub 3`: a place that leads the line holds for all behind it
    that names none."""
    first = clauses[0].items if clauses else ()
    first = [item for item in first if item.word not in ("in", "at", "inside", "the")]
    if not first or first[0].word != "ENCLOSURE" or len(found) < 2:
        return found
    alone = len(first) == 1 and line.text[first[0].end :].lstrip().startswith((":", "-", "–"))
    emptied = len(first) > 1 and {item.word for item in first[1:]} <= EMPTIED and all(draft.what == "moved" for draft in found)
    if not (alone or emptied):
        return found
    place = first[0].span.value
    held = {"laid", "found", *CARE, "setting", "stocked", "note", "temperature"}
    return [draft._replace(enclosure=place) if not draft.enclosure and draft.what not in held else draft for draft in found]


def _without_sex(line: Line, draft: Draft) -> Draft:
    """`2 came out, male and female`: of several animals of both sexes none is told, unless counted by sex."""
    counted_by_sex = any(
        span.kind == "number" and re.search(rf"{re.escape(span.said.casefold())} {draft.detail}", line.plain)
        for span in line.spans
    )
    if draft.what in ("emerged", "released") and draft.count not in (None, 1) and not counted_by_sex:
        return draft._replace(detail="")
    return draft
