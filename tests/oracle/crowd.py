"""A slow nursery written apart from the program: every animal is an object with a life story, and events go through the crowd.

It knows no postings, no groups and no keys until it is asked for the headcount at the end. An event is told to the whole crowd:
either it can have happened, and some animals have a new line in their story, or it raises `Impossible` and nothing has changed.
"""

from __future__ import annotations

from collections import Counter
from datetime import datetime
from typing import NamedTuple

from nurserytui.records.events import STAGES, Event
from oracle.telling import heard, story

FROM = {"hatched": ("egg",), "prepupated": ("larva",), "pupated": ("prepupa", "larva"), "emerged": ("pupa",)}
REACHED = {"hatched": "larva", "prepupated": "prepupa", "pupated": "pupa", "emerged": "adult"}
WORDS = {"missing": "missing", "returned": "returned", "back": "returned", "estimate": "estimate", "estimated": "estimate", "corrected": "estimate"}  # fmt: skip


class Impossible(Exception):
    """The event cannot have happened."""


class Cohort:
    """Animals that are followed together; its label may change, it stays the same object."""

    def __init__(self, label: str, species: str, host: str, parent: str, origin: str, first: Event) -> None:
        self.label, self.species, self.host, self.parent, self.origin, self.first = label, species, host, parent, origin, first
        self.former: list[str] = []
        self.estimate = False
        self.joined: Cohort | None = None
        self.split_from: Cohort | None = None
        self.marks: set[str] = set()


class Line(NamedTuple):
    """One line of a life story: how the animal stood after an event."""

    event: Event
    at: int
    """Which event of the whole story it was."""
    cohort: Cohort
    mark: str
    stage: str
    instar: int | None
    place: str
    fate: str
    """`here`, or what it left by."""


class Animal:
    def __init__(self, number: int) -> None:
        self.number = number
        self.cohort: Cohort
        self.mark, self.stage, self.instar, self.place, self.fate = "", "", None, "", "here"
        self.came = 0
        """When it joined those that it cannot be told apart from: the first to come is the first to go."""
        self.story: list[Line] = []

    def alike(self) -> tuple:
        return (self.cohort, self.mark, self.stage, self.instar, self.place)

    def key(self) -> tuple:
        return (self.cohort.label, self.mark, self.stage, self.instar, self.place)


class Crowd:
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
        self.names = {name.casefold() for event in heard(events, until) for name in (event.cohort, event.to) if name}
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
                heaps = [heap for heap in _heaps(able) if len(heap) >= wanted]
                if len(heaps) != 1:
                    raise Impossible
                able = heaps[0]
            able.sort(key=lambda animal: (animal not in unchanged, animal.came))
            if wanted < len(able):
                self.mixed.append((self.at, frozenset(able[:wanted]), frozenset(able[wanted:])))
            able = able[:wanted]
        for animal in able:
            self._alter(animal, **back(animal))

    # -- which animals

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
            heaps = _heaps(tier, instar=not by_instar)
            able = [heap for heap in heaps if len(heap) >= short]
            if len(able) != 1:
                raise Impossible
            # The most advanced of them first, and of those alike the first that came.
            taken += sorted(able[0], key=lambda animal: (-(animal.instar or 0), animal.came))[:short]
        if event.what != "moved" and not event.cohort and len({animal.cohort for animal in taken}) > 1:
            raise Impossible
        self._note_mixed(taken, [animal for animal in pool if animal not in taken])
        return self._name(event, taken)

    def _note_mixed(self, taken: list[Animal], left: list[Animal]) -> None:
        for heap in _heaps(taken):
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
        if event.count and len(_heaps(found)) > 1:
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
        extra, heaps = event.count - len(found), _heaps(found)
        stages = self._stages(event)
        if (word or usual) == "returned":
            owners = {cohort} if cohort else {animal.cohort for animal in found}
            lost = [animal for animal in self.animals if animal.fate == "missing" and animal.cohort in owners]
            if len(lost) < extra:
                raise Impossible
            if len(heaps) != 1 and len(_heaps(lost)) != 1:
                raise Impossible
            if len(heaps) == 1:
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
        elif len(heaps) == 1 and not found[0].mark:
            like = found[0]
            for _ in range(extra):
                self._bear(cohort=like.cohort, mark="", stage=like.stage, instar=like.instar, place=like.place)
        elif not found and cohort and stages:
            for _ in range(extra):
                place = self._place(event.enclosure)
                self._bear(cohort=cohort, mark="", stage=stages[0], instar=event.instar, place=place)
        else:
            raise Impossible

    # -- care

    def _care(self, event: Event) -> None:
        if event.what != "setting" and event.cohort:
            self._cohort(event.cohort)
        self._place(event.enclosure)


def _heaps(animals: list[Animal], *, instar: bool = True) -> list[list[Animal]]:
    """Animals that the records cannot tell apart, together; without `instar`, also where only their instar differs."""
    heaps: dict[tuple, list[Animal]] = {}
    for animal in animals:
        key = animal.alike()
        heaps.setdefault(key if instar else (*key[:3], key[4]), []).append(animal)
    return list(heaps.values())
