"""Numbers as people type them: figures, fractions, words up to the hundreds, dozens."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache

from nurserytui.language.ordinary import ordinary
from nurserytui.language.slips import begun_alike

_SMALL = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen"
).split()
_TENS = {name: 10 * at for at, name in enumerate("twenty thirty forty fifty sixty seventy eighty ninety".split(), start=2)}
WORDS = {name: at for at, name in enumerate(_SMALL)} | _TENS | {"fourty": 40, "ninteen": 19, "fourty-five": 45}
WORDS |= {f"{tens}-{one}": value + WORDS[one] for tens, value in _TENS.items() for one in _SMALL[1:10]}
DOZEN = ("dozen", "doz")
_GROUPS = {"dozen": 12, "doz": 12, "dozens": 12, "hundred": 100, "hundreds": 100, "thousand": 1000, "score": 20}
_FRACTIONS = {"half": 0.5, "quarter": 0.25, "third": 1 / 3, "eighth": 0.125, "tenth": 0.1, "fifth": 0.2}
_PARTS = {"halves": 0.5, "quarters": 0.25, "thirds": 1 / 3, "eighths": 0.125, "tenths": 0.1, "fifths": 0.2}
ORDINALS = {
    name: at for at, name in enumerate("first second third fourth fifth sixth seventh eighth ninth tenth".split(), start=1)
}

_FIGURE = re.compile(r"[-+]?(?:\d+(?:\.\d+)?|\.\d+)")
_THOUSANDS = re.compile(r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?")
_COMMA = re.compile(r"[-+]?\d+,\d+")
_FRACTION = re.compile(r"(\d{1,3})/(\d{1,3})")
_TIMES = re.compile(r"[x×](\d{1,4})|(\d{1,4})[x×]")
_ORDINAL = re.compile(r"(\d{1,3})(?:st|nd|rd|th)")


def figure(word: str) -> int | float | None:
    """The value of one token in figures (`12`, `2.5`, `1,000`, `2,5`, `1/4`, `x15`), or None. Numbers of more than 15 digits are none."""
    if len(word) > 16:
        return None
    if _FIGURE.fullmatch(word):
        return float(word) if "." in word else int(word)
    if _THOUSANDS.fullmatch(word):
        plain = word.replace(",", "")
        return float(plain) if "." in plain else int(plain)
    if _COMMA.fullmatch(word):
        return float(word.replace(",", "."))
    if times := _TIMES.fullmatch(word):
        return int(times[1] or times[2])
    fraction = _FRACTION.fullmatch(word)
    if fraction and int(fraction[2]):
        return int(fraction[1]) / int(fraction[2])
    return None


def ordinal(word: str) -> int | None:
    """`2nd` and `third` as numbers."""
    match = _ORDINAL.fullmatch(word)
    return int(match[1]) if match else ORDINALS.get(word)


def in_words(words: Sequence[str], at: int) -> tuple[int, int] | None:
    """A whole number in words from token `at`: (last token, value)."""
    value = WORDS.get(words[at].removesuffix("'s"))
    if value is None:
        return None
    last = at
    if value in _TENS.values() and last + 1 < len(words) and 0 < WORDS.get(words[last + 1], 0) < 10:
        last += 1
        value += WORDS[words[last]]
    return last, value


SLIPPED = 3
"""Letters from which a word can be a number with one slip."""


@cache
def mended(word: str) -> str:
    """The number in words that a mistyped one was meant for (`twnty`, `hlaf`, `fivteen`), "" for any other word and where two are as near."""
    if len(word) < SLIPPED or word in WORDS or not word.isalpha() or ordinary(word):
        return ""
    near = begun_alike(word, (*WORDS, *_FRACTIONS))
    return near[0] if len(near) == 1 else ""


def read(words: Sequence[str], at: int) -> tuple[int, int | float] | None:
    """The number that begins at token `at`: (index of its last token, value), or None.

    `two and a half` is 2.5, `half a dozen` 6, `a couple` 2, `half a` 0.5 (before a unit), `three quarters` 0.75.
    """

    def word(index: int) -> str:
        return words[index] if index < len(words) else ""

    first = word(at)
    if first in ("a", "an"):
        second = word(at + 1)
        if second in _GROUPS and not second.endswith("s"):
            return _tail(words, at + 1, _GROUPS[second])
        if second in ("couple", "pair"):
            return (at + 2 if word(at + 2) == "of" else at + 1), 2
        if second in ("quarter", "half") or (
            second in _FRACTIONS and word(at + 2) in ("of", "cup", "litre", "liter", "teaspoon", "bleach")
        ):
            return (at + 2 if word(at + 2) == "of" and word(at + 3) in ("a", "an") else at + 1), _FRACTIONS[second]
        return None
    if first in ("half", "quarter"):
        if first == "half" and (word(at + 1) in DOZEN or (word(at + 1) in ("a", "an") and word(at + 2) in DOZEN)):
            return (at + 1 if word(at + 1) in DOZEN else at + 2), 6
        return (at + 1 if word(at + 1) in ("a", "an") else at), _FRACTIONS[first]
    if first in ("couple", "pair") and word(at + 1) == "of":
        return at + 1, 2
    if first == "couple" and (at == 0 or words[at - 1] not in ("the", "this", "that", "my", "our", "happy", "a")):
        return at, 2
    if first in (*DOZEN, "hundred") and word(at - 1 if at else len(words)) not in ("a", "an"):
        return at, _GROUPS[first]
    value = figure(first)
    if value is not None:
        return _tail(words, at, value)
    named = in_words(words, at)
    return _tail(words, *named) if named else None


def _tail(words: Sequence[str], last: int, value: int | float) -> tuple[int, int | float]:
    """What may follow a whole number: dozens, hundreds and the rest of them, a fraction."""

    def word(index: int) -> str:
        return words[index] if index < len(words) else ""

    if word(last + 1) in _PARTS and 0 < value < 10:
        return last + 1, value * _PARTS[word(last + 1)]
    if value == 1 and word(last + 1) in ("half", "quarter", "tenth", "eighth"):
        return last + 1, _FRACTIONS[word(last + 1)]
    if value == 1 and word(last + 1) in ("third", "fifth") and word(last + 2) in ("of", "bleach", "cup"):
        return last + 1, _FRACTIONS[word(last + 1)]
    if word(last + 1) in _GROUPS and value < 1000:
        last, value = last + 1, value * _GROUPS[word(last + 1)]
    if value >= 100 and not value % 100:
        following = last + 2 if word(last + 1) == "and" else last + 1
        more = in_words(words, following) if following < len(words) else None
        if more and 0 < more[1] < 100:
            last, value = more[0], value + more[1]
    if isinstance(value, int):
        piece = _FRACTION.fullmatch(word(last + 1))
        if piece and 0 < int(piece[1]) < int(piece[2]) <= 16:
            return last + 1, value + int(piece[1]) / int(piece[2])
        if word(last + 1) == "and" and word(last + 2) == "a" and word(last + 3) in ("half", "quarter", "third"):
            return last + 3, value + _FRACTIONS[word(last + 3)]
    return last, value
