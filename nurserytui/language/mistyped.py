"""Everyday words with a slip of the thumb (`lsot two`, `last nihgt`, `swich to`), put right before a line is read.

A word that nothing knows was meant for a word one slip away that the examples hold, the likelier the easier the slip, the more different
neighbours the examples show for it, and if they show it beside the very neighbours that it has here. Names of animals, plants and labels
are left to those who know them (`vocabulary`); what no word is clearly meant for stays as it is.
"""

from __future__ import annotations

from collections import Counter
from functools import cache, lru_cache
from math import log

from nurserytui.language import phrases, weighing
from nurserytui.language.calendar import DAYPARTS, MONTHS, SURE_MONTHS, WEEKDAYS
from nurserytui.language.calendar import UNITS as LENGTHS
from nurserytui.language.line import Token
from nurserytui.language.normalise import breaks, key
from nurserytui.language.numbers import ORDINALS, WORDS
from nurserytui.language.ordinary import CALLING, COHORT_WORDS, HEADS, ORDINARY, STAGES
from nurserytui.language.record_words import COMMON, CONTAINERS, OUTSIDERS, PREDATORS, SIGN_WORDS
from nurserytui.language.slip_shapes import ONE_OF_TWO, SWAPPED, VOWELS, meant
from nurserytui.language.slips import SHORT_WORDS, within
from nurserytui.language.units import UNITS
from nurserytui.language.vocabulary import spelling

SHORTEST = 4
"""Letters from which a word may be put right whatever stands beside it; a shorter one needs neighbours that tell."""
LEAST = 3
"""Different neighbours that a word has in the examples, from which it may be meant."""
DOUBTFUL = 1
"""Neighbours up to which a word of the examples may itself be a slip of somebody who wrote them."""
CHANGED_LEAST = 7
"""Letters from which a word with another letter in place of the right one is no word of its own; a shorter one needs neighbours that tell."""
MOST = {3: 1.2, 4: 1.2, 5: 1.5, 6: 1.7}
BETWEEN = 0.5
"""What the slip and the rarity of the word meant may cost by the letters typed, and by how much the next word must be dearer."""
BESIDE = 0.8
"""What each neighbour that the examples show beside the word meant takes off."""
OTHER_END = 0.8
"""What another last letter costs besides: it tells the tense and whether there are several."""
SURE_OF_IT = 30
"""Neighbours from which a word is usual, and its rarity costs nothing."""
DAYS = frozenset("today yesterday tomorrow tonight overnight monday tuesday wednesday thursday friday saturday sunday".split())
OF_DAYS = DAYS | DAYPARTS | set(LENGTHS) | SURE_MONTHS
MEASURES = frozenset("celsius fahrenheit centigrade degrees litres grams percent".split())
ELSEWHERE = (STAGES, UNITS, MONTHS, WEEKDAYS, WORDS, HEADS, ORDINALS, COMMON, CONTAINERS, PREDATORS, OUTSIDERS, SIGN_WORDS)
"""Words that other modules know."""
SUMS = ("half", "dozen", "couple", "hundred")
MARKS = {
    **dict.fromkeys((*WORDS, *SUMS), "NUMBER"),
    **dict.fromkeys(DAYS, "PERIOD"),
    **{word: stage.upper() for word, stage in STAGES.items()},
}
"""Words of spans, and the kind that stands for them in the examples."""
AFTER_WHICH = {
    **dict.fromkeys(DAYPARTS, frozenset(("this", "last", "yesterday", "tomorrow", *DAYS))),
    **dict.fromkeys(LENGTHS, frozenset(("last", "this", "next", "past", "few", "every", "NUMBER"))),
    **dict.fromkeys(DAYS, frozenset(("on", "last", "since", "before", "from", "until", "by"))),
    "before": frozenset(("day",)),
    "after": frozenset(("day",)),
    "ago": frozenset(LENGTHS),
}
"""Words of days and the words before them, which the examples have as one span."""


def righted(tokens: tuple[Token, ...], text: str, vocabulary) -> tuple[Token, ...]:
    """The tokens with such words put right; what is spelt with a capital inside a sentence is a name and stays."""
    strange = [at for at, token in enumerate(tokens) if not _known(token.text, vocabulary)]
    if not strange:
        return tokens
    found, ends = list(tokens), breaks(text, tokens)
    for at in strange:
        token = tokens[at]
        raw = text[token.start : token.end]
        opens = at == 0 or at - 1 in ends
        if not opens and raw[:1].isupper() and not text.isupper():
            continue
        if any(one.text in CALLING for one in tokens[max(0, at - 3) : at]):
            continue
        before = "^" if at == 0 else _as_kind(found[at - 1].text, vocabulary)
        after = "$" if at + 1 == len(tokens) else _as_kind(tokens[at + 1].text, vocabulary)
        if word := right(token.text, before, after, vocabulary):
            found[at] = token._replace(text=word)
    return tuple(found)


def right(word: str, before: str, after: str, vocabulary) -> str:
    """The word that a strange one was meant for between its neighbours, "" where none is clear."""
    if word in SHORT_WORDS:
        return SHORT_WORDS[word]
    usual = _neighbours()
    doubtful = word in weighing.load(phrases.load()).features
    costs: dict[str, tuple[float, bool]] = {}
    for other, slip in _near(word):
        mark = MARKS.get(other, other)
        beside = _stands(before, other, mark, after)
        if len(word) < SHORTEST and not (beside and slip <= SWAPPED) or doubtful and slip > ONE_OF_TWO:
            continue
        rarity = max(0.0, log(SURE_OF_IT / max(1, usual[mark]))) / 4
        ending = OTHER_END if slip > SWAPPED and other[-1] != word[-1] else 0.0
        cost = slip + ending + rarity - BESIDE * beside
        if CHANGED_LEAST > len(word) == len(other) and slip > SWAPPED and beside < (1 if len(word) > SHORTEST else 2):
            continue
        if other not in costs or cost < costs[other][0]:
            costs[other] = cost, slip <= SWAPPED or beside > 0
    if not costs:
        return ""
    ranked = sorted(costs, key=lambda other: costs[other])
    least, sure = costs[ranked[0]]
    if least > MOST[min(len(word), 6)] or len(ranked) > 1 and costs[ranked[1]][0] - least < BETWEEN:
        return ""
    named = not sure and any(within(key(word), name) for name in vocabulary.names.mend(key(word)))
    return "" if named else ranked[0]


@lru_cache(maxsize=256)
def _near(word: str) -> tuple[tuple[str, float], ...]:
    """The everyday words that a word is one slip away from, each with what its slips cost."""
    return tuple((other, slip) for other, slip in meant(word) if other in _targets())


def _stands(before: str, other: str, mark: str, after: str) -> int:
    """How many of both neighbours the examples show beside a word."""
    shown = weighing.load(phrases.load()).features
    led = f"{before} {mark}" in shown or before in AFTER_WHICH.get(other, ())
    follows = f"{mark} {after}" in shown or other in AFTER_WHICH.get(after, ())
    return led + (follows or other in HEADS and after == "NUMBER")


def _known(word: str, vocabulary) -> bool:
    """Whether a word means something as it stands, or is too short or no word at all."""
    if len(word) < 3 and word not in SHORT_WORDS or not word.isascii() or not word.isalpha():
        return True
    if _everyday(word) or _owned(word, vocabulary):
        return True
    names = vocabulary.names
    plain = spelling(key(word))
    return plain in names.words or names.find((plain,)) is not None


def _owned(word: str, vocabulary) -> bool:
    """Whether a word stands in one of the keeper's labels."""
    return any(
        word in label and word in label.split() for labels in (vocabulary.cohorts, vocabulary.enclosures) for label in labels
    )


@cache
def _everyday(word: str) -> bool:
    if word in SHORT_WORDS or word.endswith("yy"):
        return False
    if _base(word):
        return True
    bases = {word.removesuffix(ending) for ending in FORMS if word.endswith(ending) and len(word) > len(ending) + 2}
    bases |= {base + "e" for base in bases if word[len(base)] in VOWELS_AND_Y}
    bases |= {base[:-1] for base in bases if len(base) > 3 and base[-1] == base[-2]} | {
        f"{base[:-1]}y" for base in bases if base[-1] == "i"
    }
    grown = (word + "s", word + "d" if word[-1] == "e" else word + "ed")
    return any(map(_base, bases)) or not _base(word + "e") and any(map(_base, grown))


FORMS = ("s", "es", "ed", "ing", "er", "ers", "est", "y", "ish", "ly", "th", "less")
"""Endings of the regular forms of words."""
VOWELS_AND_Y = VOWELS | {"y"}


@cache
def _base(word: str) -> bool:
    tables = phrases.load()
    if word in ORDINARY or word in tables.known or word in tables.told or any(word in words for words in ELSEWHERE):
        return True
    return word in weighing.load(tables).features and _neighbours()[word] > DOUBTFUL


@cache
def _neighbours() -> Counter[str]:
    """How many different neighbours each word and kind of span has in the examples."""
    found: Counter[str] = Counter()
    for feature in weighing.load(phrases.load()).features:
        one, space, two = feature.partition(" ")
        if space and one[0] not in "^+" and " " not in two:
            found[one] += 1
            found[two] += one != two
    return found


@cache
def _targets() -> frozenset[str]:
    """The words that may be meant."""
    usual = {word for word, times in _neighbours().items() if times >= LEAST and word.isalpha() and word.islower()}
    usual |= {word for word in ORDINARY if len(word) >= CHANGED_LEAST - 1}
    told = phrases.load().told
    usual |= told | OF_DAYS | HEADS | COHORT_WORDS | MEASURES | {word for word in (*WORDS, *SUMS) if word.isalpha()}
    least = {word: SURE_OF_IT // 3 if word in told else SURE_OF_IT for word in usual if len(word) <= 3}
    return frozenset(word for word in usual if _neighbours()[MARKS.get(word, word)] >= least.get(word, 0))


def _as_kind(word: str, vocabulary) -> str:
    """A neighbour as the examples have it."""
    if word[:1].isdigit():
        return "NUMBER"
    if word in MARKS:
        return MARKS[word]
    if vocabulary.cohort((word,)) or word.upper() in vocabulary.letters:
        return "COHORT"
    return "ENCLOSURE" if word in vocabulary.own_heads else word
