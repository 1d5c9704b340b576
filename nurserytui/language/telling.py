"""Whether what the grammar reads as a record is one, held against all words of its line."""

from __future__ import annotations

import re
from datetime import timedelta

from nurserytui.language import cues as cues_of
from nurserytui.language import intents, phrases, weighing
from nurserytui.language.asking import DENIED
from nurserytui.language.request import Request
from nurserytui.language.shown_signs import SHOWN

ON_THINGS = frozenset(("setting", "stocked", "temperature", "note", "cleaned", "fed", "cut", "watered", "tested"))
"""Kinds of records that tell of no change in an animal: what examples know of animals does not speak against them."""
CARE = frozenset(("cleaned", "fed", "watered", "cut"))
CHANGES = frozenset("laid hatched moulted prepupated pupated emerged died released escaped given".split())
LONG_TIME = timedelta(days=20)
"""A time from which on nothing is told with it that happened once (`females released 2031`)."""


def rather_asks(told: Request, weighed: weighing.Weighed | None, found: cues_of.Cues, tables: phrases.Phrases, now) -> bool:
    """Whether a record that the grammar reads is by the words of its line a question: the less it tells, the less they must say so."""
    if told.topic != "record" or told.layer != "grammar":
        return False
    if intents.asks_by_all(weighed) and _tells_nothing(told, found, tables):
        return True
    ends = not {"first", "latest"}.isdisjoint(found.names)
    if all(
        _of_days(draft._replace(count=None) if ends else draft)
        and _names_nothing(draft._replace(species=None) if ends else draft)
        for draft in told.drafts
    ):
        return True  # `first monarch release this year`
    if intents.of_elsewhere(weighed) and all(_names_nothing(draft) for draft in told.drafts):
        return True
    cared = "care-past" in found.names and "QUESTION" not in found.names and all(draft.what in CARE for draft in told.drafts)
    cared = cared and not intents.surely_asks(weighed)
    return intents.no_telling(weighed) and not (cared or _of_settings(told) or _told_in_full(told, now))


def _of_days(draft) -> bool:
    """Whether nothing but what happened in several days stands there (`released 2025`, `dead since 1 june`)."""
    period = draft.when
    return draft.count is None and period is not None and period.end.date() > period.start.date() and not draft.refers


def _names_nothing(draft) -> bool:
    """Whether a record names nothing that could be the nursery's (`my kid has a temperature of 39`)."""
    return not (
        draft.cohort
        or draft.mark
        or draft.enclosure
        or draft.species
        or draft.host
        or draft.stage
        or draft.what in ("setting", "note")
    )


def _tells_nothing(told: Request, found: cues_of.Cues, tables: phrases.Phrases) -> bool:
    """Whether a record is of a sign that no word of the line tells of (`the monarchs still in the tent`), or of a temperature that is
    only the base of a sum of degree-days."""
    if told.event == "temperature":
        return "degree-days" in found.names
    shown = {word for cue in SHOWN for word in found.said.get(cue, ())}
    return told.event == "sign" and shown <= tables.lists["small"]


def stocktaken(told: Request) -> bool:
    """Whether a stocktake is told with its number and its place."""
    first = told.drafts[0] if told.drafts else None
    return (
        first is not None and first.what == "counted" and isinstance(first.count, int) and bool(first.cohort or first.enclosure)
    )


def _told_in_full(told: Request, now) -> bool:
    """Whether a change of animals is told with its time (`let both lunas go last night`), of whom and how many (`the rest of B hatched`;
    a count with its place), or beside something else that was done."""
    first = told.drafts[0]
    if stocktaken(told):
        return True
    if first.what == "checked" and (first.cohort or first.enclosure) and DENIED.search(told.plain):
        return True
    if first.what == "moved" and first.cohort and first.to and isinstance(first.count, int):
        return True
    changes = [draft for draft in told.drafts if draft.what in CHANGES]
    if changes and len({draft.what for draft in told.drafts}) > 1:
        return True
    if changes and SEEN.search(told.plain):
        return True
    return counted_there(told) or any(
        draft.cohort and draft.count is not None or draft.when is not None and draft.when.start <= now for draft in changes
    )


SEEN = re.compile(r"\b(?:i|we) (?:found|saw|noticed|see|spotted)\b(?! (?:out|that how))")
"""What the keeper has seen is told, whatever else the line is like."""


def counted_there(told: Request) -> bool:
    """Whether so many animals of an enclosure changed (`four dead in the net`)."""
    return any(draft.what in CHANGES and isinstance(draft.count, int) and draft.enclosure for draft in told.drafts)


THE_LAST = re.compile(r"(?:and |finally )?the (?:very )?(?:last|first|final|only|other) ")


def of_the_last(told: Request) -> bool:
    """`the last tortoiseshell came out`: what one animal did, with an article that no heading has."""
    first = told.drafts[0] if told.drafts else None
    return first is not None and first.what in CHANGES and first.count == 1 and bool(THE_LAST.match(told.plain))


def over_long(told: Request) -> bool:
    """Whether a record would be of animals uncounted over a month or a year: such a line asks for what was."""
    drafts = told.drafts
    return bool(drafts) and all(
        draft.what in CHANGES
        and draft.count is None
        and draft.when is not None
        and draft.when.end - draft.when.start >= LONG_TIME
        for draft in drafts
    )


def _of_settings(told: Request) -> bool:
    """Records that only a phrase of their own tells, whatever else a line is like."""
    whats = {draft.what for draft in told.drafts}
    return bool(whats) and (whats <= {"setting", "note", "stocked"} or whats == {"cut", "stocked"})


def on_things(told: Request) -> bool:
    return bool(told.drafts) and all(draft.what in ON_THINGS for draft in told.drafts)


def _on_nobody(told: Request, nursery) -> bool:
    """A sign or a death told of an enclosure in which no animal stands (`the fennel goes limp in the jar`) is none to be written down."""
    standing = {key.enclosure for key, heads in nursery.ledger.heads.items() if heads}
    return bool(told.drafts) and all(
        draft.what in ("sign", "died") and draft.enclosure and draft.enclosure not in standing and not draft.cohort
        for draft in told.drafts
    )


SHAPE = re.compile(r"\bshaped?\b|-shaped\b|\b(?:\w+-)?brown\b|\b(?:oval|lemons?|footballs?|like)\b")
"""Words for the look of spores under the glass."""


def seen_on_nobodys(told: Request, found: cues_of.Cues) -> bool:
    """Whether a line tells of a sign, of adults that came out with bad wings, of how spores look, or of what happened in several days, and names no cohort,
    mark, enclosure or number: that asks what it means, or what it was."""
    names = found.names
    if told.drafts and all(_names_nothing(draft) and _of_days(draft) for draft in told.drafts):
        return True  # `died this month`
    wings = "wing-word" in names and "NUMBER" not in names and not {"wing-fault", "wings-bad"}.isdisjoint(names)
    spores = "spores" in names and bool(SHAPE.search(told.plain))
    kinds = {"sign"} | ({"emerged"} if wings else set()) | ({"tested"} if spores else set())
    seen = all(draft.what in kinds for draft in told.drafts)
    return bool(told.drafts) and {"OWN", "recorded-note"}.isdisjoint(names) and seen


def _by_others(told: Request, found: cues_of.Cues) -> bool:
    """`a wasp came out of my chrysalis`, `red liquid drops out of it`: what came out is no animal of the keeper's."""
    others = {"AGENT", "enemy", "maggot-word", "liquid-word"} & found.names
    return (
        bool(others)
        and not {"OWN", "NUMBER"} & found.names
        and all(draft.what in ("emerged", "prepupated") for draft in told.drafts)
    )


def _of_weather(told: Request, found: cues_of.Cues, guess: intents.Guess) -> bool:
    """`frost tonight, the monarch came out this afternoon` and `out since ten, let it go now or wait` ask whether to let it go."""
    if guess.topic != "release" or "OWN" in found.names or any(draft.cohort for draft in told.drafts):
        return False
    asks = "choose-release" in found.names or ("weather" in found.names and "NUMBER" not in found.names)
    return asks and all(draft.what in ("emerged", "released") for draft in told.drafts)


def _of_amounts(found: cues_of.Cues, guess: intents.Guess) -> bool:
    """`750 ml divided by 5` is a sum, not animals that are split; `it says 88 F, turn that into C` is no reading."""
    return (
        guess.topic == "convert" and bool({"SUM", "TARGET"} & found.names) and found.names.isdisjoint(("OWN", "STAGE", "SPECIES"))
    )


def none_told(told: Request, found: cues_of.Cues, guess: intents.Guess, nursery) -> bool:
    """Whether a line asks after all: what it seems to tell is of nobody's animals, of what came out of them, or of weather and sums."""
    return (
        seen_on_nobodys(told, found)
        or _by_others(told, found)
        or bool(guess.topic)
        and _on_nobody(told, nursery)
        or _of_weather(told, found, guess)
        or _of_amounts(found, guess)
    )
