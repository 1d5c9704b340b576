"""How big the larvae in an enclosure are: by the instar on record, and how far they may have grown since."""

from __future__ import annotations

from typing import NamedTuple

from nurserytui.answers import eaters
from nurserytui.biology import feeding
from nurserytui.records.ledger import Key


class Sized(NamedTuple):
    """Larvae that came to their place together, with the instar they are likeliest in and its bounds."""

    key: Key
    heads: float
    low: int
    middle: int
    high: int
    instars: int
    seen: int = 0
    """The instar on record where one was seen; 0 where only their age tells it."""

    @property
    def large(self) -> bool:
        """In one of the last two instars: by the instar on record, or surely by now; by their age where none was seen."""
        return (max(self.seen, self.low) if self.seen else self.middle) >= self.instars - 1

    @property
    def maybe_large(self) -> bool:
        """Small by the record, but they may have grown into one of the last two instars since."""
        return not self.large and self.middle >= self.instars - 1

    @property
    def surely_large(self) -> bool:
        return self.low >= self.instars - 1

    @property
    def surely_small(self) -> bool:
        return self.high < self.instars - 1


def larvae(groups: list, nursery) -> list[Sized]:
    """The larvae among `[(key, heads)]`. Where nothing is known of a species and no instar was seen, they count as full grown."""
    found = []
    for key, heads in groups:
        if key.stage != "larva":
            continue
        species = nursery.ledger.cohorts[key.cohort].species
        instars = eaters.instars_of(species, nursery.knowledge)
        if key.instar and key.instar >= instars - 1:  # seen large: how far they are since makes no difference
            found.append(Sized(key, heads, key.instar, key.instar, max(key.instar, instars), instars, key.instar))
            continue
        times = feeding.time_shares(instars)
        for group in eaters.larvae(key, heads, nursery):
            if group.curve is None and not key.instar:
                found.append(Sized(key, group.count, 1, instars, instars, instars))
                continue
            low, middle, high = (instar_at(part, times) for part in (group.early, group.middle, group.late))
            # The first instar is that of every hatchling, and no look told it.
            seen = key.instar if key.instar and key.instar > 1 else 0
            found.append(Sized(key, group.count, low, middle, high if group.curve else instars, instars, seen))
    return found


def instar_at(progress: float, times) -> int:
    """The instar of a larva with that fraction of its feeding time behind it."""
    done = 0.0
    for instar, share in enumerate(times, 1):
        done += share / sum(times)
        if progress < done - 1e-9:
            return instar
    return len(times)
