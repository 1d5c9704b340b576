"""Words as thumbs write them (`b4`, `2day`, `when'd i`, `bleahc`), put into the words that they stand for before a line is read."""

from __future__ import annotations

import re
from functools import cache
from itertools import permutations

from nurserytui.language.line import Token
from nurserytui.language.numbers import WORDS
from nurserytui.language.years_beside import year_beside

SPELT = {
    "tonite": "tonight", "tnite": "tonight", "tomoz": "tomorrow", "tmr": "tomorrow", "tmrw": "tomorrow", "tmorrow": "tomorrow", "morn": "morning",
    "swich": "switch", "swithc": "switch", "femal": "female", "femals": "females", "femalse": "females",
    "yday": "yesterday", "ystrday": "yesterday", "wkend": "weekend", "wknd": "weekend", "wk": "week", "wks": "weeks", "yr": "year", "yrs": "years", "ave": "average", "avge": "average", "hav": "have", "thoes": "those",
    "ct": "count", "cts": "counts", "rn": "now", "hx": "history", "ytd": "this year", "thsoe": "those", "htose": "those", "tehm": "them", "htem": "them", "thme": "them", "tehy": "they", "htey": "they", "hte": "the", "teh": "the",
}  # fmt: skip
TWO = {"day": "today", "nite": "tonight", "night": "tonight", "moro": "tomorrow", "moz": "tomorrow", "morrow": "tomorrow"}
"""What follows a figure 2 without a space (`2day`)."""
ASKING = ("when'd", "where'd", "how'd", "what'd", "why'd")
DID_NOT = frozenset("you u like be better".split())
"""Words before which such a `'d` is no `did`."""
FOR_WHOM = frozenset(
    "host hosts food foodplant foodplants plant plants leaf leaves good ok okay safe best what fine bad count total headcount".split()
)
"""Words behind which a lone 4 is no number (`food 4 lunas`)."""
TO_WHOM = frozenset("the my our his her their him them me us".split())
"""Words behind a lone 2 that no animals are counted by, where so many were given already (`gave 3 2 my friend`)."""
GIVING = frozenset("gave give given sent took passed handed".split())
ASKED_WHY = frozenset("is are was were do does did so not should would has have that those this".split())
"""Words before which a `y` at the beginning is a `why`."""
TIMES = {"d": "days", "h": "hours", "w": "weeks"}
"""Letters that are lengths of time behind `how many`, where no cohort has them."""
BEFORE = "b4"
AFTER_BEFORE = frozenset(
    "i we my the it they work school bed lunch dinner breakfast tea supper shift going leaving monday tuesday wednesday thursday friday saturday sunday "
    "mon tue tues wed thu thurs fri sat sun today tonight tomorrow dark dawn dusk noon midnight brekkie brekky he she his her".split()
)
"""Words before which `b4` is no mark."""


BLEACH = "bleach"
_WORD = re.compile(r"[a-z]{5,8}", re.IGNORECASE)


@cache
def _slips_of_bleach() -> frozenset[str]:
    """`bleach` with its letters in another order, one of them doubled, left out or another vowel; no such word is one itself."""
    found = {f"b{''.join(middle)}{end}" for middle in permutations("lea") for end in ("ch", "hc")} | {"lbeach"}
    found |= {BLEACH[:at] + BLEACH[at] + BLEACH[at:] for at in range(len(BLEACH))}
    found |= {BLEACH[:at] + BLEACH[at + 1 :] for at in range(2, len(BLEACH))}
    found |= {BLEACH[:at] + vowel + BLEACH[at + 1 :] for at in (2, 3) for vowel in "aeiou"}
    return frozenset(found - {BLEACH})


def bleach_spelt(text: str) -> str:
    """The text with slips in the word bleach put right."""
    return _WORD.sub(lambda word: BLEACH if word[0].casefold() in _slips_of_bleach() else word[0], text)


def spelt(tokens: tuple[Token, ...], vocabulary) -> tuple[Token, ...]:
    """The tokens with such spellings put right; those of the keeper's own labels are left alone."""
    found: list[Token] = []
    at = 0
    while at < len(tokens):
        token, after = tokens[at], tokens[at + 1] if at + 1 < len(tokens) else None
        if token.text == "2" and after is not None and after.start == token.end and after.text in TWO and _ends(tokens, at + 1):
            found.append(Token(TWO[after.text], token.start, after.end))
            at += 1
        elif after is not None and (clock := _half_day(tokens, at, vocabulary)):
            found += [token._replace(text=clock), after._replace(text="pm" if after.text[0] == "p" else "am")]
            at += 1
        elif token.text in HALVES and found and found[-1].text in OF_A_DAY:
            found.append(token._replace(text=HALVES[token.text]))  # `this am`
        elif token.text in ASKING and after is not None and after.text not in DID_NOT:
            cut = token.start + len(token.text) - 2
            found += [Token(token.text[:-2], token.start, cut), Token("did", cut, token.end)]
        elif (
            token.text == "n"
            and after is not None
            and after.text == "="
            and at + 2 < len(tokens)
            and tokens[at + 2].text.isdecimal()
        ):
            at += 1  # `n=7` is the number alone
        elif token.text == "pre" and after is not None and after.text in ("pupa", "pupae", "pupas"):
            found.append(Token(f"pre{after.text}", token.start, after.end))
            at += 1
        elif token.text == "2" and after is not None and after.text in TO_WHOM and _given_to(found):
            found.append(token._replace(text="to"))
        elif token.text == "twenty" and (said := _year(tokens, at)):
            found.append(Token(str(said), token.start, tokens[at + 2].end))
            at += 2
        elif token.text == "rm" and after is not None and after.text in ("temp", "temps", "temperature"):
            found.append(token._replace(text="room"))
        elif token.text in TIMES and found and found[-1].text == "many" and not vocabulary.cohort([token.text]):
            found.append(token._replace(text=TIMES[token.text]))
        elif token.text == "y" and at == 0 and after is not None and after.text in ASKED_WHY:
            found.append(token._replace(text="why"))
        elif (year := year_beside(tokens, at)) is not None:
            found.append(token._replace(text=year))
        elif token.text == BEFORE and after is not None and (after.text in AFTER_BEFORE or not _labelled(vocabulary)):
            found.append(token._replace(text="before"))
        elif token.text == "4" and found and found[-1].text in FOR_WHOM and after is not None and after.text.isalpha():
            found.append(token._replace(text="for"))
        elif token.text == "n" and found and after is not None and _of_a_kind(found[-1].text, after.text):
            found.append(token._replace(text="and"))
        elif token.text[:1] in "bl" and token.text in _slips_of_bleach():
            found.append(token._replace(text=BLEACH))
        elif _meant(token.text, vocabulary):
            found += [token._replace(text=word) for word in SPELT[token.text].split()]
        else:
            found.append(token)
        at += 1
    return tuple(found)


def _of_a_kind(before: str, after: str) -> bool:
    """Whether an `n` stands between two words or two numbers, so that it joins them."""
    return (before.isalpha() and after.isalpha()) or (before.isdecimal() and after.isdecimal())


def _given_to(before: list[Token]) -> bool:
    """Whether so many are said to be given in front of a lone 2."""
    said = [token.text for token in before]
    return not GIVING.isdisjoint(said) and any(word in WORDS or word.isdecimal() for word in said)


def _year(tokens: tuple[Token, ...], at: int) -> int:
    """The year that is said in words at `at` (`twenty twenty four`); 0 for none."""
    said = [token.text for token in tokens[at : at + 3]]
    ends = len(said) == 3 and said[1] == "twenty" and 0 < WORDS.get(said[2], 0) < 10
    return 2020 + WORDS[said[2]] if ends else 0


HALVES = {"am": "morning", "pm": "afternoon"}
OF_A_DAY = frozenset(
    "this yesterday monday tuesday wednesday thursday friday saturday sunday mon tue tues wed thu thurs fri sat".split()
)
"""Words of a day behind which `am` is its morning."""
_CLOCK = re.compile(r"(1[0-2]|0?[1-9])(?:[:.]?([0-5]\d))?")
RELABELLING = frozenset("rename renamed relabel relabelled split".split())
"""First words of a line in which `to 12a` is a label."""
LEADING = frozenset("at around about by since till until before after from to".split())


def _half_day(tokens: tuple[Token, ...], at: int, vocabulary) -> str:
    """The figures of a clock in front of an `a` or a `p` without a space (`3p`, `730a`, `7:30p`), and of `730am`; "" for anything else. Short
    figures need a word that leads to a time, or the end of the line behind them."""
    token, after = tokens[at], tokens[at + 1]
    clock = _CLOCK.fullmatch(token.text) if after.start == token.end and after.text in ("a", "p", "am", "pm") else None
    if clock is None or vocabulary.cohort([token.text + after.text]):
        return ""
    led = at > 0 and tokens[at - 1].text in LEADING and tokens[0].text not in RELABELLING
    if not (clock[2] or len(after.text) == 2 or led or (after.text == "p" and at + 2 == len(tokens))):
        return ""
    return f"{clock[1]}:{clock[2]}" if clock[2] else clock[1]


def _ends(tokens: tuple[Token, ...], at: int) -> bool:
    """Whether a `2day` is no age (`2day old eggs`)."""
    return at + 1 >= len(tokens) or tokens[at + 1].text not in ("old", "-")


def _labelled(vocabulary) -> bool:
    """Whether the keeper has an animal that is called so."""
    return bool(vocabulary.cohort([BEFORE])) or "4" in vocabulary.marks.get(vocabulary.letters.get("B", ""), ())


def _meant(word: str, vocabulary) -> bool:
    return word in SPELT and not vocabulary.cohort([word]) and not vocabulary.enclosure([word])
