"""Slips of the thumb: how many a word may hold by its length, and which word a mistyped one was meant for.

A slip is a letter left out, put in, changed, or changed places with the next. The library that counts them is loaded with the first word
that is held against others.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache

SHORT_WORDS = {
    "otu": "out", "moring": "morning", "moning": "morning", "tursday": "thursday", "ino": "into", "frm": "from", "teh": "the", "hte": "the", "adn": "and", "nad": "and", "waht": "what", "whta": "what", "hwat": "what", "cna": "can", "hwo": "how",
    "hwen": "when", "si": "is", "od": "do", "fo": "of", "ot": "to", "ni": "in", "taht": "that", "thier": "their", "wiht": "with",
    "wil": "will", "tiem": "time", "wehn": "when", "shud": "should", "shoud": "should", "cud": "could", "wud": "would",
    "meny": "many", "menny": "many", "mny": "many", "eny": "any", "wen": "when", "wats": "whats", "hav": "have", "rong": "wrong",
    "enything": "anything", "evry": "every", "dus": "does", "hw": "how", "wht": "what", "whch": "which", "wich": "which", "becos": "because",
}  # fmt: skip
"""Slips in words too short to be mended by their likeness, and words as they sound."""


def allowed(length: int) -> int:
    """Slips that a word of this length may hold: none up to 4 letters, 1 up to 8, 2 above."""
    return 0 if length <= 4 else 1 if length <= 8 else 2


def between(one: str, other: str, most: int) -> int:
    """How many slips lie between two words; `most` + 1 for any number above `most`."""
    from rapidfuzz.distance import OSA

    return OSA.distance(one, other, score_cutoff=most)


def within(one: str, other: str, most: int = 1) -> bool:
    return between(one, other, most) <= most


def begun_alike(word: str, among: Iterable[str]) -> list[str]:
    """Those of the words that are one slip away at most and begin with the same letter."""
    return [other for other in among if other[0] == word[0] and within(word, other)]


def closest(word: str, among: Sequence[str], most: int, limit: int) -> list[tuple[int, int]]:
    """(slips, place) of the words with `most` slips at most, the nearest first and of those as near the first in their order."""
    from rapidfuzz.distance import OSA
    from rapidfuzz.process import extract

    return [(slips, place) for _, slips, place in extract(word, among, scorer=OSA.distance, score_cutoff=most, limit=limit)]


@lru_cache(maxsize=512)
def nearest(word: str, among: tuple[str, ...], most: int) -> str:
    """The nearest of the words, "" where none is near or two of other stems are as near."""
    found = closest(word, among, most, 2)
    if not found or (len(found) > 1 and found[0][0] == found[1][0] and not _same_stem(among[found[0][1]], among[found[1][1]])):
        return ""
    return among[found[0][1]]


def _same_stem(one: str, other: str) -> bool:
    return one[: max(3, len(one) - 3)] == other[: max(3, len(one) - 3)]
