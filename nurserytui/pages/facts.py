"""Everything in the knowledge base: one card, a list of what fits a search, or how much there is of each kind."""

from __future__ import annotations

from typing import NamedTuple

from nurserytui.pages.facts_index import KINDS, Entry, Index, index_of
from nurserytui.pages.facts_words import KINDS_OF_SOURCE, Card

SHOWN = 40
"""Entries that the list as text has at most."""
ALSO = 8
"""Other entries that fit, named under a card."""
PLURAL = {
    "species": "species",
    "plant": "plants",
    "disinfectant": "disinfectants",
    "agent": "enemies and diseases",
    "rule": "rules",
    "sign": "signs",
    "look-alike": "look-alikes of eggs",
    "cutting": "cutting cards",
    "growth": "species with days and thresholds",
    "hazard": "plants with hazards",
    "relatives": "groups of relatives",
    "rates": "shape of rates",
    "pairing": "pairings of species and plant",
    "source": "sources",
}
MARKS = {"care": "take care", "differ": "sources differ"}
"""What the tone of a fact says in words."""


class Page(NamedTuple):
    """What a search gives."""

    asked: str
    card: Card | None
    """The card of the one entry that was meant; None where several fit, or none."""
    hits: tuple[Entry, ...]
    near: tuple[Entry, ...]
    """Near misses, where nothing fits."""
    counts: dict[str, int]


def book(nursery) -> Index:
    """The index of the nursery's knowledge base, gathered once."""
    stamp, index = nursery.memo.get("facts", (None, None))
    if index is None or stamp is not nursery.knowledge:
        index = index_of(nursery.knowledge)
        nursery.memo["facts"] = nursery.knowledge, index
    return index


def read(nursery, which: str = "") -> Page:
    """The card of what is called so, else what fits, else what is near; without a search how much there is of each kind."""
    index, asked = book(nursery), which.strip()
    if not asked:
        return Page("", None, (), (), index.counts())
    hits = tuple(index.search(asked))
    only = index.exactly(asked) or (hits[0] if len(hits) == 1 else None)
    card = index.card(only.which) if only else None
    return Page(asked, card, hits, () if hits else tuple(index.near(asked)), index.counts())


def plain(page: Page) -> list[str]:
    """The card as text, or the list, one line an entry."""
    if page.card:
        rest = [entry for entry in page.hits if entry.which != page.card.which]
        also = f"{len(rest)} more fit “{page.asked}”{', the first of them:' if len(rest) > ALSO else ':'}"
        return [*card_lines(page.card), *(["", also, *(f"  {_row(entry)}" for entry in rest[:ALSO])] if rest else [])]
    if not page.asked:
        lines = [f"{count} {PLURAL[kind]}" for kind, count in page.counts.items() if count]
        return [
            f"{sum(page.counts.values())} entries in the knowledge base. Say what to look for, for example: show facts monarch",
            *lines,
        ]
    if page.hits:
        rest = len(page.hits) - SHOWN
        more = [f"and {rest} more; say more to narrow it"] if rest > 0 else []
        return [f"{len(page.hits)} entries fit “{page.asked}”:", *(_row(entry) for entry in page.hits[:SHOWN]), *more]
    lead = f"Nothing in the knowledge base is called “{page.asked}”."
    return [f"{lead} Near it:" if page.near else lead, *(_row(entry) for entry in page.near)]


def _row(entry: Entry) -> str:
    return f"{entry.which.kind}: {entry.title}{' (your own)' if entry.own else ''}"


def card_lines(card: Card) -> list[str]:
    """A card as text: cautions first, every fact with the numbers of its sources, which stand at the end."""
    lines = [f"{card.title} ({card.which.kind}{', with your own additions' if card.own else ''})"]
    for fact in card.facts:
        mark = f"{MARKS[fact.tone].upper()}: " if fact.tone else ""
        trust = card.trust(fact)
        lines.append(f"  {fact.label}: {mark}{fact.text}{f' [{trust}]' if trust else ''}")
    lines += ["", "From:"]
    return lines + [
        f"  {number} {source.citation} ({KINDS_OF_SOURCE[source.kind]})" for number, source in enumerate(card.cited, 1)
    ]


def kinds() -> tuple[str, ...]:
    """Every kind of entry, as the filter goes through them."""
    return tuple(KINDS)
