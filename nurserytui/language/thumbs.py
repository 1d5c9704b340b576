"""Slips of the thumb in the words of the keeper's own places (`toop sleve`), in short names (`kael`) and in what animals die of (`spdier`), put
right before a line is read."""

from __future__ import annotations

from functools import lru_cache

from nurserytui.language import phrases, slips
from nurserytui.language.line import Token
from nurserytui.language.normalise import key
from nurserytui.language.numbers import WORDS as NUMBERS
from nurserytui.language.ordinary import EVENT_WORDS, HEADS, STAGES, ordinary
from nurserytui.language.record_words import COMMON, CONTAINERS, UNITS

CAUSES = frozenset(
    "virus disease spider spiders wasp wasps earwig earwigs bird birds mouse ants beetle parasite parasites infertile drowned exposed".split()
)
"""What animals die of, and how they may be."""


def mended(tokens: tuple[Token, ...], text: str, vocabulary) -> tuple[Token, ...]:
    """The tokens with such slips put right. A word that anybody knows, a label, and a capital inside a sentence (somebody's name) are left."""
    found = list(tokens)
    for at, token in enumerate(tokens):
        word = token.text
        if word.isascii() and word.isalpha() and 2 < len(word) < 14 and not _known(word, vocabulary):
            named = at > 0 and text[token.start].isupper() and not text.isupper()
            if not named and (meant := _meant(word, vocabulary)):
                found[at] = token._replace(text=meant)
    return tuple(found)


def _known(word: str, vocabulary) -> bool:
    return (
        ordinary(word)
        or word in vocabulary.label_words
        or word in CAUSES
        or word in COMMON
        or word in NUMBERS
        or word in STAGES
        or word in HEADS
        or word in EVENT_WORDS
        or word in CONTAINERS
        or word in UNITS
        or word in phrases.load().known
        or word in phrases.load().told
        or word in vocabulary.cohorts
        or word in vocabulary.names.words
        or vocabulary.names.find((key(word),)) is not None
    )


def _meant(word: str, vocabulary) -> str:
    meant = _nearest(word, tuple(sorted(CAUSES | vocabulary.label_words | vocabulary.names.short)))
    if not meant:
        return ""
    # a name of an animal or a plant that is as near may be meant as well
    nearer = slips.between(word, meant, 3)
    others = vocabulary.names.mend(key(word))
    return meant if all(key(meant) == other or slips.between(word, other, 3) > nearer for other in others) else ""


@lru_cache(maxsize=2048)
def _nearest(word: str, among: tuple[str, ...]) -> str:
    """The one of the words that the thumb was after, "" for none: two letters changed about or one doubled, else one slip from five letters
    on, two from eight, behind the right first letter."""
    turned = [other for other in among if _turned(word, other) or _doubled(word, other)]
    if turned or len(word) < 4:
        return turned[0] if len(turned) == 1 else ""
    near = sorted(
        (slips.between(word, other, 2), other)
        for other in among
        if min(len(word), len(other)) > 3 and abs(len(word) - len(other)) < 3 and (word[0] == other[0])
    )
    near = [(errors, other) for errors, other in near if errors <= _allowed(word, other)]
    if not near or (len(near) > 1 and near[0][0] == near[1][0]):
        return ""
    return near[0][1]


def _allowed(word: str, other: str) -> int:
    shorter, longer = sorted((len(word), len(other)))
    return 0 if longer < 5 else 2 if shorter > 7 else 1


def _turned(word: str, other: str) -> bool:
    """Whether two neighbouring letters changed places."""
    at = next((at for at, (one, two) in enumerate(zip(word, other)) if one != two), None)
    return at is not None and len(word) == len(other) and word[:at] + word[at + 1 : at + 2] + word[at] + word[at + 2 :] == other


def _doubled(word: str, other: str) -> bool:
    """Whether a letter was typed twice (`toop`)."""
    at = next((at for at in range(1, len(word)) if word[at] == word[at - 1] and word[:at] + word[at + 1 :] == other), None)
    return at is not None
