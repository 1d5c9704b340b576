"""Enclosures in which there is room by litres, and into which nothing is put all the same."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from record_nursery import MemoryStore  # noqa: E402

from nurserytui.answers.held_back import held_back  # noqa: E402
from nurserytui.assistant import Assistant  # noqa: E402
from nurserytui.knowledge.base import load  # noqa: E402
from nurserytui.nursery import Nursery  # noqa: E402
from nurserytui.records.events import Event  # noqa: E402

NOW = datetime(2031, 8, 10, 9, 0)
SWALLOWTAIL, LADY = "Papilio polyxenes", "Vanessa cardui"


def found(label, count=3, place="tub 1", when="2031-08-06T08:00", stage="larva", instar=5, species=SWALLOWTAIL):
    return Event(when, "found", label, species=species, stage=stage, instar=instar, count=count, enclosure=place)


def volume(place, litres):
    return Event("2031-08-01", "setting", enclosure=place, detail=f"volume={litres} L")


SICK = found("S", 4)
VIRUS = Event("2031-08-08T08:00", "died", "S", stage="larva", count=1, enclosure="tub 1", detail="virus")
AWAY = Event("2031-08-08T12:00", "moved", "S", count=3, enclosure="tub 1", to="tub 2", stage="larva")
CLEANED = Event("2031-08-08T15:00", "cleaned", enclosure="tub 1")
HUNG = found("W", 2, "tub 3", stage="pupa", instar=None)
WASPS = Event("2031-08-09T08:00", "died", "W", stage="pupa", count=1, enclosure="tub 3", detail="parasitoid wasps")
ROOM = [volume(f"tub {at}", 30) for at in (1, 2, 3, 4)]


def kept(*events) -> Nursery:
    return Nursery(MemoryStore(events), load(), NOW)


@pytest.mark.parametrize(
    ("place", "events", "said"),
    [
        ("tub 1", [SICK, VIRUS], "watched for virus"),
        ("tub 1", [SICK, VIRUS, AWAY], "not cleaned and disinfected while empty"),
        ("tub 2", [SICK, VIRUS, AWAY], "watched for virus"),
        ("tub 3", [HUNG, WASPS], "wasps may be loose in it"),
        ("tub 1", [SICK, VIRUS, AWAY, CLEANED], ""),
        ("tub 4", [SICK, VIRUS, HUNG, WASPS], ""),
    ],
)
def test_what_keeps_animals_out(place, events, said):
    reasons = held_back(place, kept(*events))
    assert said in reasons[0] if said else not reasons, reasons


@pytest.mark.parametrize(
    "text", ["can I put 2 more in {}", "is there room for 2 more small larvae in {}", "can I put 2 H larvae in {}"]
)
@pytest.mark.parametrize(
    ("place", "events", "no"),
    [("tub 1", [SICK, VIRUS], True), ("tub 3", [HUNG, WASPS], True), ("tub 4", [SICK, VIRUS, HUNG, WASPS], False)],
)
@pytest.mark.parametrize("known", [True, False])
def test_no_room_is_offered_there_whether_its_volume_is_known_or_not(text, place, events, no, known):
    nursery = kept(found("H", 2, "box", species=LADY), *events, found("D", 1, "tub 4", species=LADY), *(ROOM if known else ()))
    answer = Assistant(nursery).reply(text.format(place))
    assert answer.topic == "density"
    assert answer.text.startswith("No") == no, answer.text
    if no:
        assert "watched for" in answer.text or "may be loose" in answer.text


def test_they_are_left_out_of_those_that_have_room():
    nursery = kept(SICK, VIRUS, HUNG, WASPS, found("D", 1, "tub 4", species=LADY), *ROOM[:1], *ROOM[2:])
    answer = Assistant(nursery).reply("which cage has room")
    assert answer.text.startswith("tub 4 has room") and "put no more in: S in it is watched for virus" in answer.text
    assert {item["name"] for item in answer.items if item.get("held_back")} == {"tub 1", "tub 3"}


def test_those_of_one_cage_are_not_moved_into_one_that_is_watched():
    nursery = kept(SICK, VIRUS, found("D", 3, "tub 4", species=LADY), *ROOM)
    answer = Assistant(nursery).reply("can I move the 3 in tub 4 to tub 1")
    assert answer.text.startswith("No") and "watched for virus" in answer.text.split("\n")[0]
