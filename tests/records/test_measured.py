"""Readings of a place: what can be used of them, what is left out, and that they are read once."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from nurserytui.biology.sensors import impossible
from nurserytui.records.about import about
from nurserytui.records.events import Event
from nurserytui.records.ledger import replay
from nurserytui.records.measured import Measurements
from nurserytui.records.readings import Reading, screened, typed_readings

NOON = datetime(2031, 7, 9, 12)


def at(hour: float, low: float, high: float | None = None, typed: bool = False) -> Reading:
    return Reading(NOON + timedelta(hours=hour), "jar", low, low if high is None else high, typed)


@pytest.mark.parametrize("celsius", [-60.0, -4.0, 0.0, 21.5, 70.0])
def test_what_air_can_be(celsius):
    assert impossible(celsius) == ""


@pytest.mark.parametrize("celsius", [85.0, -127.0, 70.1, -60.1, float("nan"), float("inf"), None])
def test_what_air_cannot_be(celsius):
    assert "no temperature of a nursery" in impossible(celsius)
    assert ("failed" in impossible(celsius)) is (celsius in (85.0, -127.0))


@pytest.mark.parametrize(
    ("logged", "typed", "kept", "words"),
    [
        ([at(0, 20), at(1, 21)], [], [20, 21], []),
        ([at(0, 20), at(1, 85.0)], [], [20], ["failed"]),
        ([at(0, 20), at(1, 25, 18)], [], [20], ["the low 25 lies above the high 18"]),
        ([at(0, 20), at(1, float("nan"))], [], [20], ["nan"]),
        ([at(1, 20)], [at(0.5, 22, typed=True)], [22, 20], []),
        ([at(1, 20)], [at(1, 22, typed=True)], [20], ["20 °C stands for the same moment"]),
        ([], [at(1, 20, typed=True), at(1, 20, typed=True)], [20], ["the same moment"]),
        ([], [at(0, 20, typed=True), at(0, 24, typed=True)], [20, 24], []),
        # The hour that comes twice in autumn has each of its moments twice.
        ([at(1, 20), at(1, 22)], [], [20, 22], []),
    ],
)
def test_what_can_be_used(logged, typed, kept, words):
    good, rejected = screened(logged, typed)
    assert [one.low for one in good] == kept
    assert len(rejected) == len(words) and all(word in one.reason for word, one in zip(words, rejected, strict=True))


def test_a_note_that_cannot_be_read_is_rejected_with_its_words():
    events = [Event("2031-07-09", "temperature", enclosure="jar", detail=detail) for detail in ("24 C", "warm", "85 C")]
    good, rejected = typed_readings(events)
    assert [one.low for one in good] == [24] and [one.said for one in rejected] == ["warm", "85 C"]


class Counting:
    """A store that counts how often its readings are read."""

    def __init__(self, readings: list[Reading]) -> None:
        self.held, self.read = readings, 0

    def readings_stamp(self) -> int:
        return len(self.held)

    def readings(self, place: str) -> list[Reading]:
        self.read += 1
        return [one for one in self.held if one.place == place]


def test_a_places_readings_are_read_once_and_stay_the_same_object():
    store = Counting([at(hour, 20) for hour in range(4)])
    measurements = Measurements(store)
    events = replay([Event("2031-07-09T13:00", "temperature", enclosure="tub", detail="24 C")]).chronicle
    first = measurements.of("jar", replay([]).chronicle, NOON + timedelta(hours=2))
    assert len(first.readings) == 3
    assert measurements.of("jar", events, NOON + timedelta(hours=2, minutes=59)) is first
    assert store.read == 1
    assert len(measurements.of("jar", events, NOON + timedelta(hours=3)).readings) == 4
    assert len(measurements.of("tub", events, NOON + timedelta(hours=3)).readings) == 1
    store.held = [*store.held, at(2.5, 22)]
    assert len(measurements.of("jar", events, NOON + timedelta(hours=3)).readings) == 5


LAID = Event("2031-07-01T12:00", "laid", "W", species="Pieris rapae", stage="egg", count=9, enclosure="jar", id="1")
OTHER = Event("2031-07-01T12:00", "laid", "V", species="Pieris rapae", stage="egg", count=9, enclosure="tub", id="2")


@pytest.mark.parametrize(
    ("event", "same"),
    [
        (Event("2031-07-02", "checked", "V", id="3"), True),
        (Event("2031-07-02", "died", "V", count=2, id="3"), True),
        (Event("2031-07-02", "temperature", enclosure="jar", detail="20 C", id="3"), True),
        (Event("2031-07-02", "checked", "W", id="3"), False),
        (Event("2031-07-02", "checked", enclosure="jar", id="3"), False),
        (Event("2031-07-02", "moved", enclosure="jar", to="tub", id="3"), False),
        (Event("2031-07-02", "identified", "W", species="Pieris napi", id="3"), False),
        (Event("2031-07-02", "merged", "V", to="W", id="3"), False),
        (Event("2031-07-02", "withdrawn", withdraws="1", id="3"), False),
    ],
)
def test_what_is_about_a_cohort_changes_with_what_is_told_of_it(event, same):
    before, after = replay([LAID, OTHER]), replay([LAID, OTHER, event])
    assert not after.faults
    assert (about(before, "W") == about(after, "W")) is same


def test_what_is_about_a_cohort_holds_its_kin():
    split = Event("2031-07-02", "split", "W", count=4, to="U", id="3")
    moved = Event("2031-07-03", "moved", "U", to="tub", id="4")
    places, *_ = about(replay([LAID, split, moved]), "W")
    assert places == ("tub", "jar") or places == ("jar", "tub")
