"""A slow nursery written apart from the program: every animal is an object with a life story, and events go through the crowd.

It knows no postings, no groups and no keys until it is asked for the headcount at the end. An event is told to the whole crowd:
either it can have happened, and some animals have a new line in their story, or it raises `Impossible` and nothing has changed.
"""

from __future__ import annotations

from collections import Counter
from datetime import datetime

from nurserytui.records.events import STAGES, Event
from oracle.animals import Animal, Cohort, Impossible, Line, heaps
from oracle.counting import Stocktaking
from oracle.telling import heard, names_said, story

__all__ = ["Animal", "Cohort", "Crowd", "Impossible", "Line"]


FROM = {"hatched": ("egg",), "prepupated": ("larva",), "pupated": ("prepupa", "larva"), "emerged": ("pupa",)}
REACHED = {"hatched": "larva", "prepupated": "prepupa", "pupated": "pupa", "emerged": "adult"}


class Crowd(Stocktaking):
    def __init__(self, events: list[Event] = (), until: datetime | None = None) -> None:
        self.animals: list[Animal] = []
        self.cohorts: list[Cohort] = []
        self.current: dict[str, Cohort] = {}
        self.former: dict[str, Cohort] = {}
        self.places: dict[str, str] = {"": ""}
        self.refused: list[Event] = []
        self.events: list[Event] = []
        self.mixed: list[tuple[int, frozenset[Animal], frozenset[Animal]]] = []
        """(at, those taken, those left) wherever some of several alike animals were taken: the records cannot say which."""
        self.unsaid = False
        """Whether which of the missing came back at a stocktake is anyone's guess."""
        self._log: list[tuple] = []
        self._named: list[tuple[Cohort, str]] = []
        self._ticks = 0
        told = story(events, until)
        self.names = names_said(heard(events, until))
        self.ahead = {event.to.casefold(): event.cohort.casefold() for event in told if event.what == "renamed" and event.to}
        for event in told:
            self.tell(event)

    # -- what is asked of it

    def headcount(self) -> dict[tuple, int]:
        return dict(Counter(animal.key() for animal in self.animals if animal.fate == "here"))

    def missing(self) -> dict[str, int]:
        return dict(Counter(animal.cohort.label for animal in self.animals if animal.fate == "missing"))

    # -- telling

    def tell(self, event: Event) -> bool:
        """Apply one event; False if it cannot have happened, then nothing has changed."""
        self.event, self.at = event, len(self.events)
        self.events.append(event)
        self._log, self._named = [], []
        before, mixed = len(self.animals), len(self.mixed)
        try:
            getattr(self, f"_{event.what}", self._care)(event)
        except Impossible:
            self.refused.append(event)
            for animal, state, lines in reversed(self._log):
                animal.__dict__.update(state)
                del animal.story[lines:]
            for cohort, mark in self._named:
                cohort.marks.discard(mark)
            del self.animals[before:], self.mixed[mixed:]
            return False
        return True

    def _alter(self, animal: Animal, **parts) -> None:
        self._log.append((animal, {name: vars(animal)[name] for name in (*parts, "came")}, len(animal.story)))
        same = animal.alike()
        vars(animal).update(parts)
        if animal.alike() != same or "fate" in parts:
            self._ticks += 1
            animal.came = self._ticks
        self._known(animal)
        animal.story.append(Line(self.event, self.at, *animal.alike(), animal.fate))
        if self.event.estimate:
            animal.cohort.estimate = True

    def _bear(self, **parts) -> Animal:
        animal = Animal(len(self.animals))
        vars(animal).update(parts)
        self.animals.append(animal)
        self._ticks += 1
        animal.came = self._ticks
        self._known(animal)
        animal.story.append(Line(self.event, self.at, *animal.alike(), "here"))
        if self.event.estimate:
            animal.cohort.estimate = True
        return animal

    def _known(self, animal: Animal) -> None:
        if animal.mark and animal.mark not in animal.cohort.marks:
            animal.cohort.marks.add(animal.mark)
            self._named.append((animal.cohort, animal.mark))

    # -- names

    def _place(self, text: str) -> str:
        return self.places.setdefault(text.casefold(), text)

    def _cohort(self, text: str) -> Cohort:
        """The cohort that is, was or is going to be called that."""
        name = text.casefold()
        found = self.current.get(name) or self.former.get(name)
        for _ in self.ahead if not found else ():
            # Back through the renamings that are still to come, to the label that it has by now.
            name = self.ahead.get(name, "")
            found = found or self.current.get(name)
        if not found:
            raise Impossible
        return found

    def _found_cohort(self, cohort: Cohort) -> Cohort:
        self.cohorts.append(cohort)
        self.current[cohort.label.casefold()] = cohort
        return cohort

    def _free_letter(self) -> str:
        taken = self.names | set(self.current) | set(self.former)
        letters = [chr(65 + at) for at in range(26) if chr(65 + at) != "I"]
        return next(letter for letter in letters if letter.casefold() not in taken)

    @staticmethod
    def _fits_species(cohort: Cohort, said: str) -> None:
        if said and said.casefold() != cohort.species.casefold() and "unknown" not in (said, cohort.species):
            raise Impossible

    @staticmethod
    def _same_species(cohort: Cohort, said: str) -> None:
        if said and said.casefold() != cohort.species.casefold():
            raise Impossible

    # -- coming

    def _laid(self, event: Event) -> None:
        stage = event.stage or ("egg" if event.what == "laid" else "larva" if event.instar else "")
        count = event.count or (1 if event.mark else 0)
        place = self._place(event.enclosure)
        if not stage or not count or (event.mark and count != 1):
            raise Impossible
        cohort = self.current.get(event.cohort.casefold()) if event.cohort else None
        if cohort is None:
            if not event.species:
                raise Impossible
            label = event.cohort or self._free_letter()
            cohort = self._found_cohort(Cohort(label, event.species, event.host, event.parent, event.what, event))
        else:
            if cohort.joined:
                raise Impossible
            self._same_species(cohort, event.species)
            if event.mark and event.mark in cohort.marks:
                raise Impossible
            homes = {animal.place for animal in self._here(cohort)}
            if not place and len(homes) == 1:
                place = homes.pop()
        for _ in range(count):
            instar = event.instar if stage == "larva" else None
            self._bear(cohort=cohort, mark=event.mark, stage=stage, instar=instar, place=place)

    _found = _laid

    def _returned(self, event: Event) -> None:
        """Missing animals are back as they were, or grown and elsewhere as the event says; never younger."""
        cohort = self._cohort(event.cohort) if event.cohort else None
        lost = [animal for animal in self.animals if animal.fate == "missing" and cohort in (None, animal.cohort)]
        if event.mark:
            lost = [animal for animal in lost if animal.mark == event.mark]
        stage = event.stage or ("larva" if event.instar else "")
        place = self._place(event.enclosure)
        wanted = 1 if event.mark and event.count is None else event.count
        able = [animal for animal in lost if not stage or STAGES.index(animal.stage) <= STAGES.index(stage)]
        if not able or (wanted or 0) > len(able):
            raise Impossible

        def back(animal: Animal) -> dict:
            grown = stage or animal.stage
            instar = event.instar or (animal.instar if grown == animal.stage else None)
            return {"fate": "here", "stage": grown, "instar": instar, "place": place or animal.place}

        if wanted is not None:
            unchanged = [animal for animal in able if all(vars(animal)[name] == value for name, value in back(animal).items() if name != "fate")]  # fmt: skip
            if len(unchanged) >= wanted:
                able = unchanged
            outcomes = {(animal.cohort, animal.mark, *back(animal).values()) for animal in able}
            if wanted < len(able) and len(outcomes) > 1:
                enough = [heap for heap in heaps(able) if len(heap) >= wanted]
                if len(enough) != 1:
                    raise Impossible
                able = enough[0]
            able.sort(key=lambda animal: (animal not in unchanged, animal.came))
            if wanted < len(able):
                self.mixed.append((self.at, frozenset(able[:wanted]), frozenset(able[wanted:])))
            able = able[:wanted]
        for animal in able:
            self._alter(animal, **back(animal))

    # -- changing

    def _change(self, event: Event) -> None:
        stages = FROM[event.what]
        if event.stage and event.stage != REACHED[event.what]:
            stages = tuple(stage for stage in stages if stage == event.stage)
            if not stages:
                raise Impossible
        found = self._candidates(event, stages)
        taken = self._pick(event, found, lambda animal: stages.index(animal.stage), by_instar=True)
        for animal in taken:
            self._alter(animal, stage=REACHED[event.what], instar=1 if event.what == "hatched" else None)

    _hatched = _prepupated = _pupated = _emerged = _change

    def _moulted(self, event: Event) -> None:
        if event.stage not in ("", "larva"):
            raise Impossible
        found, instar = self._candidates(event, ("larva",)), event.instar
        if instar is None:
            own = [animal for animal in found if event.mark and animal.mark == event.mark] or found
            instars = {animal.instar for animal in own}
            if len(instars) != 1:
                raise Impossible
            now = instars.pop()
            instar = now + 1 if now else None
        if instar is not None:
            marked = any(event.mark and animal.mark == event.mark for animal in found)
            found = [animal for animal in found if (animal.instar or 0) < instar and (not marked or animal.mark == event.mark)]
        for animal in self._pick(event, found, by_instar=True):
            if instar is not None:
                self._alter(animal, instar=instar)

    # -- going

    def _leave(self, event: Event) -> None:
        stages = self._stages(event)
        if event.what == "released" and not stages:
            # Butterflies are released, unless there are not that many.
            adults = len(self._candidates(event, ("adult",)))
            stages = ("adult",) if adults and adults >= (event.count or 1) else ()
        found = self._candidates(event, stages)
        if event.count is None and not event.mark and (len(found) > 1 or not found):
            # The larvae of one instar may be one animal even where the cohort has more.
            exact = [animal for animal in found if event.instar is not None and animal.instar == event.instar]
            if len(found) > 1 or not exact:
                raise Impossible
        for animal in self._told(event._replace(count=event.count or 1), stages, found):
            self._alter(animal, fate=event.what)

    _died = _released = _escaped = _given = _missing = _leave

    # -- elsewhere, and under another name

    def _moved(self, event: Event) -> None:
        if not event.to or not (event.cohort or event.enclosure):
            raise Impossible
        if event.cohort:
            self._cohort(event.cohort)
        to = self._place(event.to)
        if to == self._place(event.enclosure):
            raise Impossible
        found = [animal for animal in self._candidates(event, self._stages(event)) if animal.place != to]
        for animal in self._told(event, self._stages(event), found):
            self._alter(animal, place=to)

    def _split(self, event: Event) -> None:
        cohort = self._cohort(event.cohort)
        to = self.current.get(event.to.casefold())
        told = event.count is not None or event.mark or event.enclosure or event.stage or event.instar
        if not event.to or not told or to is cohort or (to and to.joined):
            raise Impossible
        taken = self._told(event, self._stages(event))
        if to is None:
            to = Cohort(event.to, cohort.species, cohort.host, cohort.parent, cohort.origin, event)
            to.estimate, to.split_from = cohort.estimate or event.estimate, cohort
            self._found_cohort(to)
        else:
            self._same_species(to, cohort.species)
            if any(animal.mark and animal.mark in to.marks for animal in taken):
                raise Impossible
        for animal in taken:
            self._alter(animal, cohort=to)

    def _merged(self, event: Event) -> None:
        cohort, to = self._cohort(event.cohort), self._cohort(event.to)
        found = self._here(cohort)
        if to is cohort or to.joined or not found:
            raise Impossible
        self._same_species(to, cohort.species)
        if any(animal.mark and animal.mark in to.marks for animal in found):
            raise Impossible
        for animal in found:
            self._alter(animal, cohort=to)
        cohort.joined, to.estimate = to, to.estimate or cohort.estimate

    def _renamed(self, event: Event) -> None:
        cohort = self._cohort(event.cohort)
        if not event.to or self.current.get(event.to.casefold(), cohort) is not cohort:
            raise Impossible
        self.current.pop(cohort.label.casefold(), None)
        self.former[cohort.label.casefold()] = cohort
        cohort.former.append(cohort.label)
        cohort.label = event.to
        self.current[event.to.casefold()] = cohort

    def _identified(self, event: Event) -> None:
        if not event.species:
            raise Impossible
        self._cohort(event.cohort).species = event.species

    # -- looking

    def _checked(self, event: Event) -> None:
        self._place(event.enclosure)
        if not event.cohort and not event.mark:
            return
        found = self._candidates(event, self._stages(event))
        if not found:
            raise Impossible
        if event.mark or event.instar is not None:
            self._told(event, self._stages(event), found)
        elif (event.count or 0) > len(found):
            raise Impossible

    _sign = _checked

    # -- care

    def _care(self, event: Event) -> None:
        if event.what != "setting" and event.cohort:
            self._cohort(event.cohort)
        self._place(event.enclosure)
