"""What a stocktake does to the crowd: so many are there, and the difference is missing, returned, or was never more than a guess."""

from __future__ import annotations

from nurserytui.records.events import STAGES, Event
from oracle.animals import Animal, Cohort, Impossible, heaps
from oracle.picking import Picking

WORDS = {"missing": "missing", "returned": "returned", "back": "returned", "estimate": "estimate", "estimated": "estimate", "corrected": "estimate"}  # fmt: skip


class Stocktaking(Picking):
    def _counted(self, event: Event) -> None:
        """A stocktake: fewer are missing, more were missing before, or the number was an estimate, by what the keeper says."""
        cohort = self._cohort(event.cohort) if event.cohort else None
        if event.count is None or not (cohort or event.enclosure):
            raise Impossible
        found = [
            animal
            for animal in self._candidates(event, self._stages(event))
            if (not event.mark or animal.mark == event.mark) and (event.instar is None or animal.instar == event.instar)
        ]
        word = next((WORDS[one] for one in event.detail.lower().replace(",", " ").split() if one in WORDS), "")
        concerned = {animal.cohort for animal in found} | ({cohort} if cohort else set())
        guessed = bool(concerned) and all(one.estimate for one in concerned)
        if event.count < len(found):
            self._fewer(event, found, word, "estimate" if guessed else "missing")
        elif event.count > len(found):
            self._more(event, found, cohort, word, "estimate" if guessed else "returned")
        if not event.estimate and not event.stage and event.instar is None and not event.mark:
            for one in concerned:
                place = self._place(event.enclosure)
                if all(not place or animal.place == place for animal in self._here(one)):
                    one.estimate = False

    def _fewer(self, event: Event, found: list[Animal], word: str, usual: str) -> None:
        if word == "returned":
            raise Impossible
        if event.estimate and not word and usual != "estimate":
            return
        short = len(found) - event.count
        if event.count and len(heaps(found)) > 1:
            raise Impossible
        taken = sorted(found, key=lambda animal: animal.came)[:short]
        self._note_mixed(taken, [animal for animal in found if animal not in taken])
        for animal in taken:
            self._alter(animal, fate="missing" if (word or usual) == "missing" else "never was")

    def _more(self, event: Event, found: list[Animal], cohort: Cohort | None, word: str, usual: str) -> None:
        if word == "missing":
            raise Impossible
        if event.estimate and not word and usual != "estimate":
            return
        extra, there = event.count - len(found), heaps(found)
        stages = self._stages(event)
        if (word or usual) == "returned":
            owners = {cohort} if cohort else {animal.cohort for animal in found}
            lost = [animal for animal in self.animals if animal.fate == "missing" and animal.cohort in owners]
            if len(lost) < extra:
                raise Impossible
            if len(there) != 1 and len(heaps(lost)) != 1:
                raise Impossible
            if len(there) == 1:
                stage, instar, place = found[0].stage, found[0].instar, found[0].place
            else:
                was = lost[0]
                stage, place = stages[0] if stages else was.stage, self._place(event.enclosure) or was.place
                instar = event.instar or (was.instar if stage == was.stage else None)
            # They may have grown while they were away, but not back; those that need not have grown, and that have no mark, first.
            lost = [animal for animal in lost if STAGES.index(animal.stage) <= STAGES.index(stage)]
            if len(lost) < extra:
                raise Impossible

            def first(animal: Animal) -> tuple:
                return (animal.stage != stage, bool(animal.mark), animal.story[-1].at)

            lost.sort(key=first)
            self.unsaid |= len({animal.alike() for animal in lost if first(animal) == first(lost[extra - 1])}) > 1
            if extra < len(lost):
                self.mixed.append((self.at, frozenset(lost[:extra]), frozenset(lost[extra:])))
            for animal in lost[:extra]:
                self._alter(animal, fate="here", stage=stage, instar=instar, place=place)
        elif len(there) == 1 and not found[0].mark:
            like = found[0]
            for _ in range(extra):
                self._bear(cohort=like.cohort, mark="", stage=like.stage, instar=like.instar, place=like.place)
        elif not found and cohort and stages:
            for _ in range(extra):
                place = self._place(event.enclosure)
                self._bear(cohort=cohort, mark="", stage=stages[0], instar=event.instar, place=place)
        else:
            raise Impossible
