"""Clock times: `5pm`, `7:40 am`, `at 9`, `6.30` before `this morning`, `half past nine`, `ten past 7`, `noon`."""

import re
from collections.abc import Sequence
from datetime import time
from typing import NamedTuple

from nurserytui.language.numbers import WORDS

_FIGURES = re.compile(r"(\d{1,2})(?:[:.](\d{2}))?")


class Clock(NamedTuple):
    last: int
    hour: int
    minute: int
    half: str
    """`am`, `pm`, `24` where nothing is left open, or ""."""
    sure: bool
    """False where the figures are a time only beside a part of the day (`6.30 this morning`)."""

    def time(self, part: str) -> time:
        """The time, with the part of the day (`morning`, `evening`, `night` …) said beside it; else one to six is after noon."""
        hour = self.hour
        if self.half == "pm":
            hour = hour % 12 + 12
        elif self.half == "am":
            hour %= 12
        elif self.half == "":
            if part in ("afternoon", "evening", "eve") or (part == "night" and 6 <= hour < 12):
                hour = hour % 12 + 12
            elif part == "night" and hour == 12:
                hour = 0
            elif not part and 1 <= hour <= 6:
                hour += 12
        return time(hour % 24, self.minute)


def read_clock(words: Sequence[str], at: int) -> Clock | None:
    """The clock time that begins at token `at` (with `at`, `around` or `about` before it), or None."""

    def word(index: int) -> str:
        return words[index] if index < len(words) else ""

    cue = word(at) in ("at", "around") or word(at) == "about" and _in_a_part(word(at + 2), word(at + 3), word(at + 4))
    if cue:
        at += 1 + (word(at) == "at" and word(at + 1) in ("about", "around", "roughly"))
    first = word(at)
    if first in ("noon", "midday", "midnight"):
        return Clock(at, 0 if first == "midnight" else 12, 0, "24", True)
    if cue and first == "half" and (hour := hour_of(word(at + 1))) is not None:
        half, last = _half(word(at + 2), at + 1)
        return Clock(last, hour, 30, half, True)
    beside = word(at + 1)
    minutes = minutes_of(first)
    # `quarter to nine` says so by itself; `10 to 7` is a time only where `at` leads to it
    if minutes and (beside == "past" or beside == "to" and first != "half" and (cue or first == "quarter")):
        hour = hour_of(word(at + 2))
        if hour is not None:
            total = (hour * 60 + (minutes if beside == "past" else -minutes)) % 720
            half, last = _half(word(at + 3), at + 2)
            return Clock(last, total // 60 or 12, total % 60, half if half != "clock" else "", True)
    if first == "12" and word(at + 1) in ("noon", "midday", "midnight"):
        return Clock(at + 1, 0 if word(at + 1) == "midnight" else 12, 0, "24", True)
    match = _FIGURES.fullmatch(first)
    if match:
        hour, minute = int(match[1]), int(match[2] or 0)
    else:
        hour, minute = (hour_of(first) if cue or word(at + 1) in ("am", "pm", "o'clock") else None), 0
        if hour is None:
            return None
    if hour > 24 or minute > 59:
        return None
    half, last = _half(word(at + 1), at)
    if word(at + 1) == "o" and word(at + 2) == "clock":
        half, last = "clock", at + 2
    if half == "clock":
        return Clock(last, hour, minute, "24" if hour > 12 else "", hour < 24)
    if word(at + 1) in ("h", "hrs", "uhr") and (cue or match and match[2]):
        return Clock(at + 1, hour, minute, "24", hour < 24)  # `8.30 h`, `at 11 uhr`
    if half == "pm" and 12 < hour < 24 or half == "am" and hour == 0 and ":" in first:
        half = "24"  # `13:30 pm`, `0:15 am`: said twice, and meant one way only
    elif half and not 1 <= hour <= 12:
        return None
    if half:
        return Clock(last, hour, minute, half, True)
    if hour == 24 and minute:
        return None
    if ":" in first:
        ratio = hour == 1 and not cue
        return Clock(at, hour, minute, "24" if hour > 12 or first[0] == "0" or hour == 0 else "", not ratio)
    if match and match[2]:
        return Clock(at, hour, minute, "24" if hour > 12 else "", cue and _free(word(at + 1)))
    if cue:
        return Clock(
            at, hour, minute, "24" if hour > 12 else "", hour <= 24 and _free(word(at + 1)) and not word(at + 1).isdigit()
        )
    return None


_TIMES = re.compile(r"\d{1,2}[:.]\d{2}")
_BEFORE_TIME = frozenset("at around by until till since from before after about".split())


def no_time(words: Sequence[str], at: int) -> int | None:
    """The last token of a time that no clock shows (`at 25:99`, `7:75 pm`, `14 am`) and that begins at token `at`; None for anything else.

    Two figures with a colon may also be shares: they are taken for a time only after a word like `at`, before or after a day, or where
    the line ends, and never where they make up a whole (`70:30`).
    """

    def word(index: int) -> str:
        return words[index] if 0 <= index < len(words) else ""

    cued = word(at) in _BEFORE_TIME
    figures = at + cued
    first, after = word(figures), word(figures + 1)
    half = after in ("am", "pm") and word(figures + 2) != "i"  # not `with 25 am I …`
    if not (_TIMES.fullmatch(first) or half and first.isdigit() and len(first) <= 2) or read_clock(words, figures):
        return None
    if half:
        return figures + 1
    hour, colon, minute = first.partition(":")
    if not colon or int(hour) + int(minute) == 100:
        return None
    cued = cued or word(at - 1) in _BEFORE_TIME
    return figures if cued or at == 0 or not after or after in _DAY_WORDS or word(at - 1) in _DAY_WORDS else None


def minutes_of(word: str) -> int:
    """The minutes before or after an hour that a word tells, under half an hour in figures; 0 for any other word."""
    if word in ("half", "quarter"):
        return 30 if word == "half" else 15
    value = int(word) if word.isdigit() else WORDS.get(word, 0)
    return value if 0 < value < 30 else 0


def hour_of(word: str) -> int | None:
    value = int(word) if word.isdigit() and len(word) <= 2 else WORDS.get(word)
    return value if value is not None and 1 <= value <= 12 else None


def _half(word: str, last: int) -> tuple[str, int]:
    """`am` or `pm`, if it stands after the figures, and the token the time then ends at."""
    if word in ("am", "pm"):
        return word, last + 1
    if word in ("o'clock", "oclock"):
        return "clock", last + 1
    return "", last


_DAY_WORDS = frozenset(
    "last this yesterday yday yest today tonight on tomorrow in and one the a it sharp then so i we when "
    "monday tuesday wednesday thursday friday saturday sunday mon tue wed thu thurs fri sat sun".split()
)


def _in_a_part(one: str, two: str, three: str) -> bool:
    """Whether a part of the day follows: `about 3 this afternoon` is a time, `about 3 on the dill` are animals."""
    return (two if one == "this" else three if (one, two) == ("in", "the") else "") in ("morning", "afternoon", "evening")


def _free(after: str) -> bool:
    """Whether a bare hour after `at` is a time: nothing follows that could be its unit or the thing counted."""
    return not after or after in _DAY_WORDS
