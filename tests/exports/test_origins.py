"""Which find animals go back to is held against the crowd, in which every animal is an object with a life story."""

from __future__ import annotations

from collections import Counter

import pytest
from oracle.animals import Animal
from oracle.crowd import Crowd
from oracle.nurseries import random_events

from nurserytui.exports.origins import origins
from nurserytui.records.events import CHANGING
from nurserytui.records.ledger import replay


def lived(animal: Animal) -> list[str]:
    """The ids of the events by which the animal changed, left or came back."""
    found = []
    for before, line in zip(animal.story, animal.story[1:], strict=False):
        grew = (before.stage, before.instar) != (line.stage, line.instar) and line.event.what in CHANGING
        if grew or before.fate != line.fate:
            found.append(line.event.id)
    return found


@pytest.mark.parametrize("seed", range(8))
def test_what_happened_to_an_animal_is_told_with_its_find(seed):
    events = random_events(seed, 2, 5)
    known = origins(replay(events))
    crowd = Crowd(events)
    certain: Counter = Counter()
    for animal in crowd.animals:
        find = animal.story[0].event
        told = {fate.event.id: fate for fate in known.fates.get(find.id, ())}
        for id in lived(animal):
            assert id in told or find.id in known.crowded, (find, id)
            certain[find.id, id] += 1
    for find, fates in known.fates.items():
        for fate in fates:
            if not fate.others:
                assert certain[find, fate.event.id] == fate.count, fate
    assert certain and known.fates


@pytest.mark.parametrize("seed", range(8))
def test_the_cohorts_of_a_find_are_those_its_animals_went_to(seed):
    events = random_events(seed, 2, 5)
    known = origins(replay(events))
    for animal in Crowd(events).animals:
        assert animal.cohort.label in known.cohorts[animal.story[0].event.id]
