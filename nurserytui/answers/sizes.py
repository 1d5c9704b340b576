"""How big the larvae in an enclosure are by now: by the instar seen, and by how they grew since."""

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

    @property
    def large(self) -> bool:
        """In one of the last two instars, as far as is known."""
        return self.middle >= self.instars - 1

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
            found.append(Sized(key, heads, key.instar, key.instar, max(key.instar, instars), instars))
            continue
        times = feeding.time_shares(instars)
        for group in eaters.larvae(key, heads, nursery):
            if group.curve is None and not key.instar:
                found.append(Sized(key, group.count, 1, instars, instars, instars))
                continue
            low, middle, high = (instar_at(part, times) for part in (group.early, group.middle, group.late))
            found.append(Sized(key, group.count, low, middle, high if group.curve else instars, instars))
    return found


def instar_at(progress: float, times) -> int:
    """The instar of a larva with that fraction of its feeding time behind it."""
    done = 0.0
    for instar, share in enumerate(times, 1):
        done += share / sum(times)
        if progress < done - 1e-9:
            return instar
    return len(times)
