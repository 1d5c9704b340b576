"""Which event a clause tells of that no phrase of an event stands in: weighed against the examples of every event.

The examples lie in knowledge/phrases/records/<event>.txt, one masked clause each; adding one needs no code.
"""

from __future__ import annotations

from nurserytui.language import phrases, weighing
from nurserytui.language.record_clauses import Clause, Item, Verb, match, phrases_from

TOLD = 0.6
"""Chance from which an event is taken as told."""


def words_of(items: tuple[Item, ...] | list[Item]) -> list[str]:
    """The words of a clause as the examples have them: spans by their kind, amounts by what they measure."""
    return [item.span.value.kind.upper() if item.kind == "amount" else item.word for item in items]


def features_of(words: list[str], tables: phrases.Phrases) -> set[str]:
    """What is told of the words of any line, and of which events they hold a phrase."""
    items = [Item(word, None, 0, 0, word) for word in words]
    told = {f"!{what}" for at, word in enumerate(words) for what, parts in phrases_from(word) if match(items, at, parts)}
    return weighing.features_of(words, tables) | told


def weighed(items: tuple[Item, ...] | list[Item]) -> weighing.Weighed | None:
    tables = phrases.load()
    return weighing.weigh(words_of(items), tables, weighing.load(tables, weighing.EVENTS, features_of), features_of)


def verb_of(clause: Clause) -> Verb | None:
    """The event that the examples tell for a clause, as a verb that names no word of it; None where they are not sure."""
    found = weighed(clause.items)
    if found is None or found.chance < TOLD:
        return None
    at = next((at for at, item in enumerate(clause.items) if not item.span), 0)
    return Verb(found.topic, at, at, frozenset(), 0)
