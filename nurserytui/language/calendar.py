"""The words of the calendar, and how a line's tense tells where its days lie."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from nurserytui.language import numbers

EARLIEST = datetime(1900, 1, 1)
"""The start of a period that is open towards the past."""

_WEEKDAYS = (
    "monday mon",
    "tuesday tue tues",
    "wednesday wed weds",
    "thursday thu thur thurs",
    "friday fri",
    "saturday sat",
    "sunday sun",
)
WEEKDAYS = {name: at for at, names in enumerate(_WEEKDAYS) for name in names.split()}
WEEKDAYS |= {"wensday": 2, "wednsday": 2, "thurday": 3, "saterday": 5, "tuseday": 1, "firday": 4}
WEEKDAYS |= {name + "s": day for name, day in tuple(WEEKDAYS.items()) if name.endswith("day")}
SURE_WEEKDAYS = frozenset(WEEKDAYS) - {"sat", "sun"}
"""Weekday words that are nothing else; the others need a cue."""

_MONTHS = (
    "january jan",
    "february feb",
    "march mar",
    "april apr",
    "may",
    "june jun",
    "july jul",
    "august aug",
    "september sept sep",
    "october oct",
    "november nov",
    "december dec",
)
MONTHS = {name: at for at, names in enumerate(_MONTHS, start=1) for name in names.split()}
MONTHS |= {"januar": 1, "februar": 2, "märz": 3, "maerz": 3, "mai": 5, "juni": 6, "juli": 7, "oktober": 10, "dezember": 12}
SURE_MONTHS = frozenset(name for names in _MONTHS for name in names.split()[:1]) - {"may", "march"}
MODAL_FOLLOWERS = frozenset(
    "be have not still need hatch also get die pupate emerge moult well take eat want look go come just yet only".split()
)
"""Words after which `may` is the verb."""

SEASONS = {"spring": 3, "summer": 6, "autumn": 9, "fall": 9, "winter": 12}
DAYPARTS = frozenset("morning afternoon evening night lunchtime noon eve".split())
UNITS = {
    spelling: unit
    for unit, spellings in {
        "minute": "minute minutes min mins",
        "hour": "hour hours hr hrs",
        "day": "day days",
        "week": "week weeks wk wks",
        "fortnight": "fortnight fortnights",
        "month": "month months",
        "year": "year years yr yrs",
    }.items()
    for spelling in spellings.split()
}
_AHEAD = frozenset(
    "will due forecast expect expected tomorrow tmrw shall wil coming upcoming soon going next gonna predict ll".split()
)
_UNDERWAY = frozenset("hatching pupating emerging moulting".split())
"""Said of animals, what is still under way by some day is to come: `any eggs hatching by tuesday`."""
_ABSENT = frozenset(
    "away gone absent abroad holiday holidays vacation trip handover sitter neighbour neighbor covers covering stand-in happens leave leaving "
    "alone wait instructions".split()
)
"""Said of the keeper with `until` or `by`, a day is to come: `we are away until saturday`."""
_TO_DO = frozenset("todo doing needs need needed must jobs tasks chores want wants wanting".split())
"""Words for what must be done, which lies ahead of a day that it must be done by."""
_TOWARDS = frozenset("by before until till til up between to".split())
_PAST = frozenset(
    "did was were had has have happened since ago yesterday yday last hatched laid found died released pupated emerged moved fed "
    "cleaned lost checked counted saw went came got took moulted escaped gave became killed".split()
)


def direction_of(words: Sequence[str]) -> str:
    """`ahead` where the line speaks of what is to come, else `past`: records and most questions are about what was."""
    for at, word in enumerate(words):
        if word == "next" and at + 1 < len(words) and words[at + 1] in ("door", "to"):
            continue
        if word == "going" and at and words[at - 1] in ("was", "were", "been"):
            continue
        if word in _AHEAD or word.endswith("'ll"):
            return "ahead"
    told = any(word in _PAST and words[at + 1 : at + 2] != ["to"] for at, word in enumerate(words))
    doing = not (_UNDERWAY | _ABSENT | _TO_DO).isdisjoint(words) or "to do" in " ".join(words)
    if not told and doing and _TOWARDS.intersection(words):
        return "ahead"
    if words and words[0] in ("when", "what", "which", "how") and any(word in ("do", "does", "should") for word in words):
        return "past" if told else "ahead"
    return "past"


def months_on(day: date, count: int) -> date:
    """The same day `count` months later (earlier if negative), or the last of that month where it has no such day."""
    month = day.year * 12 + day.month - 1 + count
    year, month = divmod(month, 12)
    for last in (day.day, 30, 29, 28):
        try:
            return date(year, month + 1, last)
        except ValueError:
            continue
    raise ValueError(f"no such month: {year}-{month + 1}")


def number_before(words: Sequence[str], at: int) -> tuple[int, float] | None:
    """A number of days or weeks at token `at`; `a` and `an` are one, absurd numbers none."""
    if at >= len(words):
        return None
    read = numbers.read(words, at)
    if read:
        return read if 0 < read[1] <= 1000 else None
    if words[at] in ("a", "an") and at + 1 < len(words) and words[at + 1] in UNITS:
        return at, 1
    if words[at] in ("few",):
        return None
    return None
