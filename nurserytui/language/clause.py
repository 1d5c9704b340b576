"""A clause of a record as values: its words and spans, and the event that they tell of."""

from __future__ import annotations

from typing import NamedTuple

from nurserytui.language.line import Line, Span

STAGES = frozenset(["EGG", "LARVA", "PREPUPA", "PUPA", "ADULT"])
JOINING = frozenset(["and", "then", "but", "&", "+", "plus", "while", "also", "however", "although"])
PREPOSITIONS = frozenset("in into to from at inside onto within of off for on with out via".split())


class Item(NamedTuple):
    """One word, or one span that stands as a single word. `word` is the kind in capitals for a span."""

    word: str
    span: Span | None
    start: int
    end: int
    raw: str
    stop: bool = False
    """True if punctuation that ends a clause stands after it."""

    @property
    def kind(self) -> str:
        return self.span.kind if self.span else ""


class Verb(NamedTuple):
    what: str
    first: int
    last: int
    """Places of the phrase's first and last item in the clause."""
    taken: frozenset[int]
    """Places of the items that the phrase itself names."""
    size: int


class Clause(NamedTuple):
    items: tuple[Item, ...]
    verb: Verb | None
    joined: bool = False
    """True if a joining word, not punctuation, stands before it."""

    def words(self) -> list[str]:
        return [item.word for item in self.items]

    def text(self, line: Line) -> str:
        return line.meant(self.items[0].start, self.items[-1].end) if self.items else ""


def word_at(items, at: int) -> str:
    """The word at a place, "" in front of the first and behind the last."""
    return items[at].word if 0 <= at < len(items) else ""


def who(item: Item) -> tuple[str, str]:
    """The cohort and the mark that an item names."""
    return item.span.value if item.kind == "mark" else (item.span.value, "")
