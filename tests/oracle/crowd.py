"""A slow headcount written apart from the program: every animal is an object of its own, and events go through the crowd.

It knows no postings, no groups and no keys until it is asked for the headcount at the end.
"""

from __future__ import annotations

from collections import Counter
from itertools import groupby

NEXT = {"hatched": ("egg",), "prepupated": ("larva",), "pupated": ("prepupa", "larva"), "emerged": ("pupa",)}
RESULT = {"hatched": "larva", "prepupated": "prepupa", "pupated": "pupa", "emerged": "adult"}
OUT = ("died", "released", "escaped", "given", "missing")


class Impossible(Exception):
    pass


class Animal:
    def __init__(self, cohort, mark, stage, instar, place):
        self.cohort, self.mark, self.stage, self.instar, self.place = cohort, mark, stage, instar, place
        self.fate = "here"

    def describe(self):
        return (self.cohort, self.mark, self.stage, self.instar, self.place)


class Crowd:
    def __init__(self):
        self.animals: list[Animal] = []
        self.species: dict[str, str] = {}
        self.merged: set[str] = set()
        self.marks: set[tuple[str, str]] = set()

    def headcount(self):
        return dict(Counter(animal.describe() for animal in self.animals if animal.fate == "here"))

    def missing(self):
        return Counter(animal.cohort for animal in self.animals if animal.fate == "missing")

    def tell(self, event):
        """Apply one event, or raise Impossible and change nothing."""
        before = [(animal, dict(vars(animal))) for animal in self.animals]
        species, marks, merged = dict(self.species), set(self.marks), set(self.merged)
        try:
            getattr(self, f"_{event.what}", self._nothing)(event)
        except Impossible:
            self.animals = [animal for animal, _ in before]
            for animal, state in before:
                animal.__dict__.update(state)
            self.species, self.marks, self.merged = species, marks, merged
            raise

    def _nothing(self, event):
        if event.cohort and event.cohort not in self.species:
            raise Impossible

    # -- coming

    def _laid(self, event):
        cohort, place = event.cohort, event.enclosure
        if cohort in self.merged:
            raise Impossible
        if cohort in self.species:
            if event.species and self.species[cohort] != event.species:
                raise Impossible
            homes = {animal.place for animal in self.animals if animal.cohort == cohort and animal.fate == "here"}
            if not place and len(homes) == 1:
                place = min(homes)
        if event.mark and (cohort, event.mark) in self.marks:
            raise Impossible
        self.species.setdefault(cohort, event.species)
        stage = event.stage or "egg"
        for _ in range(event.count):
            self.animals.append(Animal(cohort, event.mark, stage, event.instar if stage == "larva" else None, place))
        if event.mark:
            self.marks.add((cohort, event.mark))

    _found = _laid

    def _returned(self, event):
        lost = [animal for animal in self.animals if animal.fate == "missing" and animal.cohort == event.cohort]
        if event.mark:
            lost = [animal for animal in lost if animal.mark == event.mark]
        if event.cohort not in self.species or not lost or event.count > len(lost):
            raise Impossible
        if len(lost) > event.count and len({animal.describe() for animal in lost}) > 1:
            raise Impossible  # the sequences drawn here never say more than the cohort
        for animal in lost[: event.count]:
            animal.fate = "here"

    # -- changing and going

    def _candidates(self, event, stages):
        if event.cohort not in self.species:
            raise Impossible
        found = [
            animal
            for animal in self.animals
            if animal.fate == "here"
            and animal.cohort == event.cohort
            and (not stages or animal.stage in stages)
            and (not event.enclosure or animal.place == event.enclosure)
        ]
        if event.mark:
            own = [animal for animal in found if animal.mark == event.mark]
            if not own:
                if (event.cohort, event.mark) in self.marks:
                    raise Impossible
                own = [animal for animal in found if not animal.mark]
            found = own
        return found

    def _pick(self, event, found, tiers, alike):
        """`event.count` of the animals: tier by tier, and within a tier from the one place that can give them all."""
        wanted = 1 if event.mark else event.count
        if not found or (wanted or 0) > len(found):
            raise Impossible
        if wanted is None or wanted == len(found):
            return self._name(event, found)
        unmarked = [animal for animal in found if not animal.mark]
        if len(unmarked) >= wanted:
            found = unmarked
        taken = []
        found = sorted(found, key=tiers)
        for _, tier in groupby(found, key=tiers):
            tier = list(tier)
            short = wanted - len(taken)
            if len(tier) <= short:
                taken += tier
                continue
            if not short:
                break
            heaps: dict = {}
            for animal in tier:
                heaps.setdefault(alike(animal), []).append(animal)
            able = [heap for heap in heaps.values() if len(heap) >= short]
            if len(able) != 1:
                raise Impossible
            taken += sorted(able[0], key=lambda animal: -(animal.instar or 0))[:short]
        return self._name(event, taken)

    def _name(self, event, taken):
        if event.mark:
            self.marks.add((event.cohort, event.mark))
            for animal in taken:
                animal.mark = event.mark
        return taken

    def _change(self, event):
        stages = NEXT[event.what]
        found = self._candidates(event, stages)
        taken = self._pick(
            event,
            found,
            lambda animal: stages.index(animal.stage),
            lambda animal: (animal.mark, animal.place),
        )
        for animal in taken:
            animal.stage = RESULT[event.what]
            animal.instar = 1 if event.what == "hatched" else None

    _hatched = _prepupated = _pupated = _emerged = _change

    def _moulted(self, event):
        found = self._candidates(event, ("larva",))
        instar = event.instar
        if instar is None:
            instars = {animal.instar for animal in found}
            if len(instars) > 1:
                raise Impossible
            now = min(instars) if instars else None
            instar = now + 1 if now else None
        else:
            found = [animal for animal in found if (animal.instar or 0) < instar]
        taken = self._pick(event, found, lambda animal: 0, lambda animal: (animal.mark, animal.place))
        for animal in taken:
            animal.instar = instar

    def _leave(self, event):
        stages = (event.stage,) if event.stage else ()
        if event.what == "released" and not stages:
            adults = self._adults(event)
            stages = ("adult",) if adults >= (event.count or 1) else ()
        found = self._candidates(event, stages)
        for animal in self._pick(event, found, lambda animal: 0, Animal.describe):
            animal.fate = "missing" if event.what == "missing" else "gone"

    _died = _released = _escaped = _given = _missing = _leave

    def _adults(self, event):
        return sum(
            animal.fate == "here"
            and animal.cohort == event.cohort
            and animal.stage == "adult"
            and event.enclosure in ("", animal.place)
            for animal in self.animals
        )

    def _moved(self, event):
        if event.to == event.enclosure:
            raise Impossible
        if not event.cohort:
            found = [animal for animal in self.animals if animal.fate == "here" and animal.place == event.enclosure]
            if not found:
                raise Impossible
            for animal in found:
                animal.place = event.to
            return
        found = [animal for animal in self._candidates(event, (event.stage,) if event.stage else ()) if animal.place != event.to]
        for animal in self._pick(event, found, lambda animal: 0, Animal.describe):
            animal.place = event.to

    def _split(self, event):
        if event.to in self.merged:
            raise Impossible
        if event.to == event.cohort or event.cohort not in self.species:
            raise Impossible
        if event.to in self.species and self.species[event.to] != self.species[event.cohort]:
            raise Impossible
        found = self._candidates(event, (event.stage,) if event.stage else ())
        taken = self._pick(event, found, lambda animal: 0, Animal.describe)
        for animal in taken:
            if animal.mark and (event.to, animal.mark) in self.marks:
                raise Impossible
        self.species.setdefault(event.to, self.species[event.cohort])
        for animal in taken:
            animal.cohort = event.to
            if animal.mark:
                self.marks.add((event.to, animal.mark))

    def _merged(self, event):
        if not {event.cohort, event.to} <= set(self.species) or event.cohort == event.to or event.to in self.merged:
            raise Impossible
        if self.species[event.cohort] != self.species[event.to]:
            raise Impossible
        found = [animal for animal in self.animals if animal.fate == "here" and animal.cohort == event.cohort]
        if not found or any(animal.mark and (event.to, animal.mark) in self.marks for animal in found):
            raise Impossible
        for animal in found:
            animal.cohort = event.to
            if animal.mark:
                self.marks.add((event.to, animal.mark))
        self.merged.add(event.cohort)

    def _checked(self, event):
        if event.cohort and not self._candidates(event._replace(mark=""), ()):
            raise Impossible
