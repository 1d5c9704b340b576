"""Which find the animals of a nursery go back to, and what became of those of each find.

Animals of several finds that are kept as one group cannot be told apart by the records: what happens to one of them may have happened to
an animal of any of these finds, and is told with each as such.
"""

from __future__ import annotations

from typing import NamedTuple

from nurserytui.records.events import CHANGING, Event
from nurserytui.records.ledger import Ledger
from nurserytui.records.postings import Key
from nurserytui.records.progress import Progress, told

MOST = 20
"""Finds that are kept together, at most: of more, what happened to one animal says nothing about a find, and is left out."""


class Fate(NamedTuple):
    """Something that happened to animals that are of the find, or may be."""

    event: Event
    count: int
    others: int
    """How many other finds the same animals may be of; 0 where they are of this one for certain."""
    entered: bool
    """True where they came (back) into the nursery, False where they changed or left."""
    instar: int | None
    """The instar that larvae reached; None where it is not known, or they are none."""


class Origins(NamedTuple):
    fates: dict[str, list[Fate]]
    """The id of the find or laying -> what became of its animals, in ledger order; each event once."""
    cohorts: dict[str, tuple[str, ...]]
    """Its id -> the cohorts in which its animals are, or were when they left."""
    crowded: frozenset[str]
    """Finds of which something was left out, since too many were kept together."""


def origins(ledger: Ledger, progress: Progress | None = None) -> Origins:
    """Follow the postings of a ledger from every `found` and `laid`."""
    within: dict[Key, frozenset[str]] = {}
    held: dict[Key, int] = {}
    ever: dict[str, frozenset[str]] = {}
    fates: dict[str, dict[str, Fate]] = {}
    cohorts: dict[str, dict[str, None]] = {}
    crowded: set[str] = set()
    none: frozenset[str] = frozenset()
    for event, source, target, count in told(progress, ledger.postings, len(ledger.postings), "movements followed"):
        begins = source is None and event.what in ("found", "laid")
        if begins:
            whose = frozenset((event.id,))
        elif source is None:  # animals are back, or turn out to be more than was thought
            whose = ever.get(target.cohort, none)
        else:
            whose = within.get(source, none)
            held[source] -= count
            if not held[source]:
                del held[source], within[source]
        if target is not None:
            within[target] = within.get(target, none) | whose
            held[target] = held.get(target, 0) + count
            ever[target.cohort] = ever.get(target.cohort, none) | whose
        else:
            for find in whose:
                cohorts.setdefault(find, {})[source.cohort] = None
        if begins or not (source is None or target is None or event.what in CHANGING):
            continue  # they only went elsewhere, or a look showed which instar they are
        if len(whose) > MOST:
            crowded |= whose
            continue
        for find in whose:
            known = fates.setdefault(find, {})
            fate = Fate(event, count, len(whose) - 1, source is None, target.instar if target is not None else None)
            before = known.get(event.id)
            known[event.id] = fate if before is None else _together(before, fate)
    for key in within:
        for find in within[key]:
            cohorts.setdefault(find, {})[key.cohort] = None
    return Origins(
        {find: [*known.values()] for find, known in fates.items()},
        {find: tuple(labels) for find, labels in cohorts.items()},
        frozenset(crowded),
    )


def _together(one: Fate, other: Fate) -> Fate:
    instar = one.instar if one.instar == other.instar else None
    return one._replace(count=one.count + other.count, others=max(one.others, other.others), instar=instar)
