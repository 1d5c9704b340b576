"""Which animals of the crowd an event is about: what it says, and what is filled in where only one group fits."""

from __future__ import annotations

from nurserytui.records.events import Event
from oracle.animals import Animal, Cohort, Impossible, heaps


class Picking:
    def _here(self, cohort: Cohort | None = None) -> list[Animal]:
        return [animal for animal in self.animals if animal.fate == "here" and cohort in (None, animal.cohort)]

    def _candidates(self, event: Event, stages: tuple[str, ...]) -> list[Animal]:
        """Those that the event may be about, by all that it says but its mark and instar."""
        cohort = self._cohort(event.cohort) if event.cohort else None
        place = self._place(event.enclosure)
        if cohort:
            self._fits_species(cohort, event.species)
        return [
            animal
            for animal in self._here(cohort)
            if (not stages or animal.stage in stages)
            and (not place or animal.place == place)
            and (cohort or not event.species or animal.cohort.species.casefold() == event.species.casefold())
        ]

    @staticmethod
    def _of_mark(event: Event, found: list[Animal]) -> list[Animal]:
        """The one of that mark; if the mark was never heard of, those that have none."""
        if not event.mark:
            return found
        own = [animal for animal in found if animal.mark == event.mark]
        if not own and any(event.mark in animal.cohort.marks for animal in found):
            raise Impossible
        return own or [animal for animal in found if not animal.mark]

    def _pick(self, event: Event, found: list[Animal], tiers=lambda animal: 0, *, by_instar: bool = False) -> list[Animal]:
        """As many as the event says: tier by tier, and within a tier from the one place that can give them all."""
        found = self._of_mark(event, found)
        wanted = 1 if event.mark else event.count
        if not found or (wanted or 0) > len(found):
            raise Impossible
        if wanted is None or wanted == len(found):
            return self._name(event, found)
        unmarked = [animal for animal in found if not animal.mark]
        pool = unmarked if len(unmarked) >= wanted else found
        taken: list[Animal] = []
        for rank in sorted({tiers(animal) for animal in pool}):
            tier, short = [animal for animal in pool if tiers(animal) == rank], wanted - len(taken)
            if not short:
                break
            if len(tier) <= short:
                taken += tier
                continue
            able = [heap for heap in heaps(tier, instar=not by_instar) if len(heap) >= short]
            if len(able) != 1:
                raise Impossible
            # The most advanced of them first, and of those alike the first that came.
            taken += sorted(able[0], key=lambda animal: (-(animal.instar or 0), animal.came))[:short]
        if event.what != "moved" and not event.cohort and len({animal.cohort for animal in taken}) > 1:
            raise Impossible
        self._note_mixed(taken, [animal for animal in pool if animal not in taken])
        return self._name(event, taken)

    def _note_mixed(self, taken: list[Animal], left: list[Animal]) -> None:
        for heap in heaps(taken):
            others = [animal for animal in left if animal.alike() == heap[0].alike()]
            if others:
                self.mixed.append((self.at, frozenset(heap), frozenset(others)))

    def _name(self, event: Event, taken: list[Animal]) -> list[Animal]:
        if not event.cohort and event.what != "moved" and len({animal.cohort for animal in taken}) > 1:
            raise Impossible
        for animal in taken:
            if event.mark and not animal.mark:
                self._alter(animal, mark=event.mark)
        return taken

    @staticmethod
    def _stages(event: Event) -> tuple[str, ...]:
        return (event.stage,) if event.stage else ("larva",) if event.instar else ()

    def _told(self, event: Event, stages: tuple[str, ...], found: list[Animal] | None = None) -> list[Animal]:
        """Those that an event is about which says no more than stage, instar, place, mark and number."""
        found = self._candidates(event, stages) if found is None else found
        if event.instar is None:
            return self._pick(event, found)
        found = self._of_mark(event, found)
        exact = [animal for animal in found if animal.instar == event.instar]
        # Larvae recorded as younger may have moulted unseen.
        younger = [animal for animal in found if (animal.instar or 0) < event.instar]
        enough = exact and (event.count is None and not event.mark or len(exact) >= (event.count or 1))
        pool = exact if enough else exact + younger
        taken = self._pick(event, pool, lambda animal: animal.instar != event.instar, by_instar=True)
        for animal in taken:
            if animal.instar != event.instar:
                self._alter(animal, instar=event.instar)
        return taken
