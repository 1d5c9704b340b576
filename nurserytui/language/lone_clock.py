"""Clock times that nothing leads to: figures that stand by themselves beside what was done (`fed the tub, 8.50`, `0715: 2 out`)."""

from __future__ import annotations

import re
from collections.abc import Sequence

from nurserytui.language import units
from nurserytui.language.clock import Clock, hour_of, minutes_of
from nurserytui.language.ordinary import EVENT_WORDS, HEADS

POINTED = re.compile(r"(\d|[01]\d|2[0-3])\.([0-5]\d)(?:h|hrs?|hours)?")
FOUR = re.compile(r"([01]\d|2[0-3])([0-5]\d)(?:h|hrs?|hours)?")
LEADING_NOUGHT = re.compile(r"0\d[0-5]\d")
DONE = EVENT_WORDS - frozenset("is are was were will has have had".split()) | frozenset(
    """
    fed cleaned watered misted sprayed washed scrubbed cut checked counted released tested swapped changed put took out seen saw eclosed
    topped refreshed disinfected hung spun split opened
    """.split()
)
"""What was done, beside which a time may stand."""
AT = frozenset(("at", "around", "about", "by"))
PARTS = frozenset("morning evening afternoon night".split())


def lone_clock(words: Sequence[str], at: int, breaks: frozenset[int]) -> Clock | None:
    """The time that begins at token `at`: figures with a point (`8.50`) or four of them (`0715`), or `ten to eight`, alone between the
    stops of a line that tells of something done or gives a temperature. `breaks` are the tokens after which a clause ends."""
    led = words[at] in AT and at + 1 < len(words)
    first = at + led
    said = words[first]
    opens = first == 0 or first - 1 in breaks
    if first not in breaks and units.read(words, first + 1):
        return None  # `at 1000 ppm`
    if said.isdigit() and len(said) == 4 and (led or LEADING_NOUGHT.fullmatch(said)) or said[:4].isdigit() and said[4:5] == "h":
        found = FOUR.fullmatch(said)
        closes = first + 1 == len(words) or first in breaks or led or opens
        return Clock(first, int(found[1]), int(found[2]), "24", True) if found and closes and _tells(words) else None
    if (minutes := minutes_of(said)) and first + 2 < len(words) and words[first + 1] == "to" and said != "half":
        return _before_the_hour(words, first, minutes, opens, breaks)
    found = POINTED.fullmatch(said)
    ends = first + 1 == len(words) or first in breaks
    if led and ends and first in breaks and said.isdigit() and len(said) < 3 and 0 < int(said) < 13 and _tells(words):
        return Clock(first, int(said), 0, "", True)  # `sprayed the cage at 8, wiped the tub at 9`
    leads = first == 0 and words[1:2] != [] and words[1] in HEADS  # `9.05 tub 3 fed`
    if found is None or not _tells(words) or not (opens and ends or leads or ends and (led or _behind(words, first))):
        return None
    hour = int(found[1])
    return Clock(first, hour, int(found[2]), "24" if hour > 12 or said[0] == "0" else "", True)


def _before_the_hour(words: Sequence[str], first: int, minutes: int, opens: bool, breaks: frozenset[int]) -> Clock | None:
    """`ten to eight this morning`; `10 to 8` by itself at the end of what was done."""
    hour = hour_of(words[first + 2])
    last = first + 2
    ends = last + 1 == len(words) or last in breaks
    parted = any(word in PARTS for word in words[last + 1 : last + 4]) or words[last + 1 : last + 2] in (["am"], ["pm"])
    if hour is None or not (parted or opens and ends and _tells(words)):
        return None
    half = words[last + 1] if words[last + 1 : last + 2] in (["am"], ["pm"]) else ""
    total = (hour * 60 - minutes) % 720
    return Clock(last + bool(half), total // 60 or 12, total % 60, half, True)


def _behind(words: Sequence[str], at: int) -> bool:
    """Whether figures at the end stand right behind what was done (`tub 1 cleaned 8.50`)."""
    return at > 0 and words[at - 1] in DONE


def _tells(words: Sequence[str]) -> bool:
    reading = any(word in ("c", "f", "degrees") and before[:1].isdigit() for before, word in zip(words, words[1:]))
    return reading or not DONE.isdisjoint(words)
