"""An animal with its life story, and the cohort that it belongs to."""

from __future__ import annotations

from typing import NamedTuple

from nurserytui.records.events import Event


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


def heaps(animals: list[Animal], *, instar: bool = True) -> list[list[Animal]]:
    """Animals that the records cannot tell apart, together; without `instar`, also where only their instar differs."""
    heaps: dict[tuple, list[Animal]] = {}
    for animal in animals:
        key = animal.alike()
        heaps.setdefault(key if instar else (*key[:3], key[4]), []).append(animal)
    return list(heaps.values())
