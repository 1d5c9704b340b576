"""What thumbs make of a word: every word one slip away, with what that slip costs. A cheap one is made often."""

from __future__ import annotations

from collections.abc import Iterator

ROWS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
VOWELS = frozenset("aeiou")
LETTERS = "abcdefghijklmnopqrstuvwxyz"

SWAPPED, ONE_OF_TWO, VOWEL, NEAR, LEFT_OUT, OTHER = 0.0, 0.4, 0.7, 0.8, 0.9, 2.0
"""Two letters changed places; one of a double letter missing, or a letter doubled, or `checkd`; a vowel missing or another one; the key beside, or a letter
too early; a consonant missing; anything else."""
FIRST = 1.5
"""What a slip in the first letter costs besides: it is seldom mistyped."""


def _beside() -> dict[str, str]:
    found = {letter: "" for letter in LETTERS}
    for row in ROWS:
        for one, two in zip(row, row[1:]):
            found[one] += two
            found[two] += one
    for upper, lower in zip(ROWS, ROWS[1:]):
        for at, letter in enumerate(lower):
            for other in upper[at : at + 2]:
                found[letter] += other
                found[other] += letter
    return found


BESIDE = _beside()
"""The keys around each key."""


def meant(word: str) -> Iterator[tuple[str, float]]:
    """(word, cost) of all that `word` may have been meant for; some more than once, and most no words at all."""
    size = len(word)
    for at in range(size - 1):
        if word[at] != word[at + 1]:
            yield word[:at] + word[at + 1] + word[at] + word[at + 2 :], SWAPPED + (0.3 if at == 0 else 0)
    for at in range(size):
        begin = 0 if at else FIRST
        around = word[at - 1 : at] + word[at + 1 : at + 2]
        near = word[at] in word[at + 2 : at + 3] or any(word[at] in BESIDE[one] for one in around)
        cost = ONE_OF_TWO if word[at] in around else NEAR if near else OTHER
        yield word[:at] + word[at + 1 :], cost + (begin if cost > ONE_OF_TWO else 0)
        for letter in LETTERS:
            if letter != word[at]:
                vowels = letter in VOWELS and word[at] in VOWELS
                cost = VOWEL if vowels else NEAR if letter in BESIDE[word[at]] else OTHER
                yield word[:at] + letter + word[at + 1 :], cost + begin
    for at in range(size + 1):
        begin = 0 if at else FIRST
        for letter in LETTERS:
            double = letter in (word[at - 1 : at], word[at : at + 1]) or letter == "e" and word[at:] == "d"
            yield word[:at] + letter + word[at:], ONE_OF_TWO if double else (VOWEL if letter in VOWELS else LEFT_OUT) + begin
