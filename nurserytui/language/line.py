"""A typed line cut into tokens and meaningful spans: numbers, amounts, dates, names. Everything fuzzy comes after this."""

from bisect import bisect_left
from itertools import islice, takewhile
from operator import attrgetter
from typing import Any, NamedTuple


class Token(NamedTuple):
    text: str
    """Normalised word (casefolded, NFKC)."""
    start: int
    end: int
    """Character offsets into the original line."""


class Span(NamedTuple):
    """Tokens `first`..`last` (inclusive) stand for one thing of `kind`; `value` is its typed meaning.

    kind        value
    number      int or float ("two dozen" 24, "half" 0.5, "a couple" 2)
    estimate    int, for "~80", "about 80"
    ordinal     int ("2nd", "third")
    amount      request.Amount
    period      request.Period
    species     request.Named
    plant       request.Named
    agent       request.Named (parasitoid or disease)
    enclosure   str, the label as in the records
    cohort      str, the label as in the records
    mark        tuple (cohort label, mark)
    stage       str
    instar      int
    """

    first: int
    last: int
    kind: str
    value: Any
    said: str


class Line(NamedTuple):
    text: str
    plain: str
    """The whole line normalised, single spaces."""
    tokens: tuple[Token, ...]
    spans: tuple[Span, ...]
    """In order, not overlapping; the longest and surest reading of every stretch."""

    def of(self, *kinds: str) -> tuple[Span, ...]:
        return tuple(span for span in self.spans if span.kind in kinds)

    def meant(self, start: int, end: int) -> str:
        """The text between two places as typed, but for words in which slips were put right."""
        said, at = "", start
        first = bisect_left(self.tokens, start, key=attrgetter("start"))
        for token in takewhile(lambda token: token.end <= end, islice(self.tokens, first, None)):
            typed = self.text[token.start : token.end]
            slipped = typed.isalpha() and token.text.isalpha() and typed.casefold() != token.text
            if slipped and at <= token.start:
                said += self.text[at : token.start] + token.text
                at = token.end
        return said + self.text[at:end]

    def masked(self) -> str:
        """The line with every span replaced by its kind in capitals: `how long until COHORT hatches`."""
        words, at, starts = [], 0, {span.first: span for span in self.spans}
        while at < len(self.tokens):
            span = starts.get(at)
            if span:
                words.append(span.kind.upper())
                at = span.last + 1
            else:
                words.append(self.tokens[at].text)
                at += 1
        return " ".join(words)
