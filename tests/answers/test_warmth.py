"""Which temperatures a forecast takes: of each enclosure in its time, of the next best place, or assumed and said so."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from nurserytui.answers import respond
from nurserytui.answers.air import ASSUMED, air, places
from nurserytui.answers.outlook import outlook
from nurserytui.answers.warmth import warmth
from nurserytui.answers.whereabouts import path_of
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.events import Event
from nurserytui.records.readings import Reading
from nurserytui.records.store import Store

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by"
NOW = datetime(2031, 7, 10, 12)
LAID = "2031-07-01T12:00,laid,W,,Pieris rapae,egg,,10,jar,,Brassica oleracea,,,"


@pytest.fixture
def rows(keeping):
    def nursery(*lines: str, now: datetime = NOW):
        return keeping.nursery("\n".join([HEAD, *lines]), now.isoformat())

    return nursery


def read(place: str, when: str, said: str) -> str:
    return f"{when},temperature,,,,,,,{place},,,{said},,"


def hourly(place: str, start: datetime, hours: int, celsius=lambda hour: 20.0) -> list[Reading]:
    return [Reading(start + timedelta(hours=hour), place, celsius(hour), celsius(hour)) for hour in range(hours)]


@pytest.fixture
def logged():
    """`logged(readings, *events, now=)`: a nursery over a real store with those logger readings."""
    stores = []

    def nursery(readings, *events: Event, now: datetime = NOW) -> Nursery:
        store = Store.memory()
        stores.append(store)
        store.add_readings(readings)
        if events:
            assert not store.append(events).faults
        return Nursery(store, load(), now)

    yield nursery
    for store in stores:
        store.close()


def steady(nursery, place: str, day: datetime) -> float:
    return warmth(nursery, place, day).timeline.mean(day, day + timedelta(hours=6))


JAR, TENT, ROOM = read("jar", "2031-07-09", "15 C"), read("tent", "2031-07-09", "18 C"), read("", "2031-07-09", "25 C")
SHED = [f"2031-06-01,setting,,,,,,,{place},,,air=shed,," for place in ("jar", "tent")]


@pytest.mark.parametrize(
    ("lines", "celsius", "said"),
    [
        ([JAR, TENT, ROOM, *SHED], 15, "jar:"),
        ([TENT, ROOM, *SHED], 18, "tent (no readings of its own)"),
        ([read("shed", "2031-07-09", "17 C"), ROOM, *SHED], 17, "shed (no readings of its own)"),
        ([TENT, ROOM], 25, "the room (no readings of its own)"),
        ([TENT], ASSUMED, "22 °C is assumed"),
        ([], ASSUMED, "22 °C is assumed"),
    ],
)
def test_its_own_readings_then_of_shared_air_then_of_the_room(rows, lines, celsius, said):
    nursery = rows(*lines)
    assert steady(nursery, "jar", NOW) == pytest.approx(celsius, abs=0.01)
    found = warmth(nursery, "jar", NOW - timedelta(days=2))
    assert said in found.words and found.assumed == (celsius == ASSUMED)


def test_own_readings_come_first_in_the_air_that_is_shared(rows):
    assert places(rows(*SHED).settings, "jar") == ("jar", "tent", "shed", "")
    assert places(rows(*SHED).settings, "box") == ("box", "")


def test_what_was_not_measured_here_is_taken_from_the_room_for_just_that_time(rows):
    nursery = rows(
        read("", "2031-06-29", "25 C"),
        *(read("", f"2031-07-{day:02}", "25 C") for day in range(1, 11)),
        read("jar", "2031-07-08", "15 C"),
        JAR,
    )
    timeline = warmth(nursery, "jar", datetime(2031, 7, 1)).timeline
    assert timeline.celsius(datetime(2031, 7, 2, 12)) == pytest.approx(25)
    assert timeline.celsius(datetime(2031, 7, 8, 18)) == pytest.approx(15)
    assert not warmth(nursery, "jar", datetime(2031, 7, 1)).gaps


def test_a_temperature_asked_for_is_taken_for_the_past_only_where_nothing_was_measured(rows):
    past = datetime(2031, 7, 5)
    assert warmth(rows(), "jar", past, 28.0).timeline.mean(past, NOW) == pytest.approx(28)
    assert warmth(rows(JAR), "jar", datetime(2031, 7, 9), 28.0).timeline.mean(datetime(2031, 7, 9, 13), NOW) == pytest.approx(15)
    assert warmth(rows(JAR), "jar", past, 28.0).timeline.mean(NOW, NOW + timedelta(days=9)) == pytest.approx(28)


def wave(hour: int) -> float:
    """18 at 4 in the morning, 26 at 16."""
    return 22.0 + 4.0 * (1 - abs((hour + 8) % 24 - 12) / 6)


def test_the_days_ahead_are_the_last_weeks_day_by_the_hour(logged):
    nursery = logged(hourly("jar", datetime(2031, 6, 20), 24 * 20 + 13, wave))
    found = warmth(nursery, "jar", datetime(2031, 7, 1))
    for hour in range(36):
        ahead = NOW + timedelta(days=3, hours=hour)
        assert found.timeline.celsius(ahead) == pytest.approx(wave(12 + hour), abs=0.3)
    assert found.ahead == pytest.approx(22, abs=0.1) and "18 to 26 °C" in found.words


def test_a_month_of_warm_days_is_forgotten_after_a_cool_week(logged):
    start = NOW - timedelta(days=30)
    nursery = logged(hourly("jar", start, 24 * 30 + 1, lambda hour: 28.0 if hour < 24 * 22 else 18.0))
    assert warmth(nursery, "jar", start).ahead == pytest.approx(18)


# Moves --------------------------------------------------------------------------------------------------------------------

COLD = [read("jar", f"2031-07-{day:02}", "12 C") for day in range(1, 11)]
WARM = [read("shelf", f"2031-07-{day:02}", "26 C") for day in range(1, 11)]
MOVED = "2031-07-06T12:00,moved,W,,,,,,jar,shelf,,,,"


def test_a_moved_cohort_takes_the_air_of_each_enclosure_in_its_time(rows):
    nursery = rows(*COLD, *WARM, LAID, MOVED)
    found = outlook(nursery, "W", "hatch")
    timeline = found.warmth.timeline
    assert timeline.mean(datetime(2031, 7, 2), datetime(2031, 7, 6, 12)) == pytest.approx(12)
    assert timeline.mean(datetime(2031, 7, 6, 12), NOW + timedelta(days=5)) == pytest.approx(26)
    assert "jar: mean 12 °C until 2031-07-06 12:00; then shelf: mean 26 °C so far" in " ".join(found.working)


def test_a_move_to_where_nothing_is_measured_is_an_assumption_from_then_on(rows):
    nursery = rows(*COLD, LAID, MOVED)
    found = outlook(nursery, "W", "hatch")
    assert found.warmth.assumed and "shelf (nothing recorded): mean 22 °C so far; 22 °C is assumed" in found.warmth.words
    assert found.warmth.timeline.mean(datetime(2031, 7, 2), datetime(2031, 7, 6, 12)) == pytest.approx(12)
    asked = outlook(nursery, "W", "hatch", celsius=30.0)
    assert not asked.warmth.assumed and asked.warmth.words.endswith("30 °C from now on as you asked")
    assert asked.warmth.timeline.mean(datetime(2031, 7, 7), NOW) == pytest.approx(22)


def test_a_move_bears_on_the_date(rows):
    stayed, moved = rows(*COLD, *WARM, LAID), rows(*COLD, *WARM, LAID, MOVED)
    always = rows(*COLD, *WARM, LAID.replace("jar", "shelf"))
    dates = [outlook(one, "W", "hatch").median.at for one in (always, moved, stayed)]
    assert dates == sorted(dates) and len(set(dates)) == 3


@pytest.mark.parametrize(
    ("events", "path"),
    [
        ([], [(None, "jar")]),
        ([MOVED], [(None, "jar"), ("2031-07-06T12:00", "shelf")]),
        (
            [MOVED, "2031-07-08T09:00,moved,W,,,,,,shelf,jar,,,,"],
            [(None, "jar"), ("2031-07-06T12:00", "shelf"), ("2031-07-08T09:00", "jar")],
        ),
        (["2031-07-05,moved,,,,,,,jar,shelf,,,,"], [(None, "jar"), ("2031-07-05T12:00", "shelf")]),
        (["2031-07-05T10:00,hatched,W,,,,,10,jar,,,,,", MOVED], [(None, "jar"), ("2031-07-06T12:00", "shelf")]),
        (
            ["2031-07-05T10:00,split,W,,,,,4,jar,V,,,,", "2031-07-07T10:00,moved,V,,,,,,jar,shelf,,,,"],
            [(None, "jar"), ("2031-07-07T10:00", "shelf")],
        ),
        (
            ["2031-07-06T12:00,renamed,W,,,,,,,V,,,,", "2031-07-07T10:00,moved,V,,,,,,jar,shelf,,,,"],
            [(None, "jar"), ("2031-07-07T10:00", "shelf")],
        ),
    ],
)
def test_the_way_that_animals_came(rows, events, path):
    nursery = rows(LAID, *events)
    assert not nursery.ledger.faults
    places = {key.enclosure: key for key, _ in nursery.heads()}
    found = path_of(nursery.ledger, places[path[-1][1]], NOW)
    assert [(step.since and step.since.isoformat(timespec="seconds"), step.enclosure) for step in found] == [
        (when and datetime.fromisoformat(when).isoformat(timespec="seconds"), place) for when, place in path
    ]


# Gaps ---------------------------------------------------------------------------------------------------------------------


def test_a_loggers_gap_is_closed_by_the_days_around_it_and_named(logged):
    week = hourly("jar", datetime(2031, 7, 1), 24 * 9 + 13, wave)
    silent = [one for one in week if not datetime(2031, 7, 4, 6) < one.when < datetime(2031, 7, 5, 18)]
    whole, holed = (warmth(logged(readings), "jar", datetime(2031, 7, 2)) for readings in (week, silent))
    assert not whole.gaps and not whole.steps
    [gap] = holed.gaps
    assert (gap.start, gap.end) == (datetime(2031, 7, 4, 6), datetime(2031, 7, 5, 18))
    assert "from 2031-07-04 06:00 to 2031-07-05 18:00; 18 to 26 °C is assumed" in holed.steps[0]
    inside = (gap.start, gap.end)
    assert holed.timeline.mean(*inside) == pytest.approx(whole.timeline.mean(*inside), abs=0.2)


@pytest.mark.parametrize(("hours", "named"), [(5, False), (6, False), (7, True)])
def test_a_logger_may_be_silent_for_six_hours(logged, hours, named):
    first = hourly("jar", datetime(2031, 7, 8), 24)
    later = hourly("jar", first[-1].when + timedelta(hours=hours), 48)
    nursery = logged([*first, *later], now=later[-1].when)
    assert bool(warmth(nursery, "jar", datetime(2031, 7, 8)).gaps) is named


def test_a_logger_of_one_reading_a_day_has_no_gaps(logged):
    days = [Reading(datetime(2031, 7, day, 8), "jar", 20.0 + day, 20.0 + day) for day in range(1, 11)]
    assert not warmth(logged(days), "jar", datetime(2031, 7, 1)).gaps


@pytest.mark.parametrize(("day", "named"), [(3, False), (4, False), (5, True)])
def test_what_was_typed_stands_for_three_days(rows, day, named):
    nursery = rows(
        read("jar", "2031-07-01T08:00", "20 C"), read("jar", f"2031-07-{day:02}T08:00", "20 C"), now=datetime(2031, 7, day, 12)
    )
    assert bool(warmth(nursery, "jar", datetime(2031, 7, 1, 8)).gaps) is named


def test_a_logger_that_fell_silent_is_told(logged):
    nursery = logged(hourly("jar", datetime(2031, 7, 1), 100, wave))
    [gap] = warmth(nursery, "jar", datetime(2031, 7, 2)).gaps
    assert (gap.start, gap.end) == (datetime(2031, 7, 5, 3), NOW)


def test_before_the_first_reading_the_first_week_is_assumed(logged):
    nursery = logged(hourly("jar", datetime(2031, 7, 6), 24 * 4, wave))
    found = warmth(nursery, "jar", datetime(2031, 7, 2))
    assert found.gaps[0].start == datetime(2031, 7, 2) and found.timeline.mean(
        datetime(2031, 7, 2), datetime(2031, 7, 4)
    ) == pytest.approx(22, abs=0.1)


def test_a_forecast_over_a_gap_says_so_in_its_working(logged, keeping):
    silent = [*hourly("jar", datetime(2031, 7, 1), 60, wave), *hourly("jar", datetime(2031, 7, 6), 100, wave)]
    nursery = logged(
        silent, Event("2031-07-01T12:00", "laid", "W", species="Pieris rapae", stage="egg", count=9, enclosure="jar")
    )
    answer = respond(keeping.request("when will W hatch", "stage-forecast", cohorts=("W",), event="hatch"), nursery)
    assert any("Gap: no reading of jar from 2031-07-03 11:00 to 2031-07-06 00:00" in step for step in answer.working)
    assert any("2 °C warmer" in step for step in answer.working)


# What cannot be -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("bad", [(85.0, 85.0), (-127.0, -127.0), (71.0, 71.0), (-80.0, -80.0), (25.0, 18.0), (20.0, 85.0)])
def test_impossible_readings_are_left_out_and_named(logged, keeping, bad):
    good = hourly("jar", datetime(2031, 7, 1), 24 * 9 + 13, wave)
    spoilt = [*good, Reading(datetime(2031, 7, 5, 9, 30), "jar", *bad)]
    event = Event("2031-07-05T12:00", "laid", "W", species="Pieris rapae", stage="egg", count=9, enclosure="jar")
    clean, nursery = logged(good, event), logged(spoilt, event)
    assert [one.reason for one in nursery.measured("jar").rejected] and len(nursery.temperatures("jar")) == len(good)
    found = outlook(nursery, "W", "hatch")
    assert found.median == outlook(clean, "W", "hatch").median
    assert any("Left out: 1 reading" in step and "2031-07-05 09:30" in step for step in found.working)
    answer = respond(keeping.request("mean temperature in the jar", "temperature", enclosures=("jar",)), nursery)
    assert "Left out" in answer.text and answer.values["highest"].value <= 26


def test_a_second_value_of_one_moment_is_left_out_and_named(rows):
    nursery = rows(
        read("jar", "2031-07-09T08:00", "20 C"), read("jar", "2031-07-09T08:00", "24 C"), read("jar", "2031-07-09T09:00", "20 C")
    )
    assert [one.mean for one in nursery.temperatures("jar")] == [20, 20]
    [rejected] = nursery.measured("jar").rejected
    assert rejected.said == "24 °C" and "the same moment" in rejected.reason


def test_two_values_of_a_day_without_a_time_both_count(rows):
    nursery = rows(read("jar", "2031-07-09", "20 C"), read("jar", "2031-07-09", "24 C"))
    assert len(nursery.temperatures("jar")) == 2 and not nursery.measured("jar").rejected


def test_a_note_that_cannot_be_read_is_named(rows):
    nursery = rows(read("jar", "2031-07-08", "20 C"), read("jar", "2031-07-09", "85 C"))
    assert [one.said for one in nursery.measured("jar").rejected] == ["85 C"]
    assert any("85 C at 2031-07-09" in step for step in warmth(nursery, "jar", NOW).steps)


# What is kept -------------------------------------------------------------------------------------------------------------


def laid(label: str, place: str) -> Event:
    return Event("2031-07-08T12:00", "laid", label, species="Pieris rapae", stage="egg", count=9, enclosure=place)


def test_a_forecast_is_kept_until_what_it_rests_on_changes(logged):
    nursery = logged(
        [*hourly("jar", datetime(2031, 7, 1), 220, wave), *hourly("tub", datetime(2031, 7, 1), 220)],
        laid("W", "jar"),
        laid("V", "tub"),
    )
    store = nursery.store

    def write(*events):
        assert not nursery.write(events).faults

    def kept_after(change) -> bool:
        before = outlook(nursery, "W", "hatch")
        change()
        return outlook(nursery, "W", "hatch") is before

    assert kept_after(lambda: None)
    assert kept_after(lambda: write(Event("2031-07-10T09:00", "checked", "V", enclosure="tub")))
    assert kept_after(lambda: write(Event("2031-07-10T09:00", "temperature", enclosure="tub", detail="25 C")))
    assert kept_after(lambda: write(Event("2031-07-10T09:00", "died", "V", count=1)))
    assert not kept_after(lambda: write(Event("2031-07-10T09:00", "checked", "W", enclosure="jar")))
    assert not kept_after(lambda: write(Event("2031-07-10T09:05", "checked", enclosure="jar")))
    assert not kept_after(lambda: write(Event("2031-07-10T09:10", "temperature", enclosure="jar", detail="25 C")))
    assert not kept_after(lambda: store.add_readings([Reading(datetime(2031, 7, 10, 11), "jar", 25.0, 25.0)]))
    assert not kept_after(lambda: write(Event("2031-07-10T09:10", "setting", detail="latitude=51")))
    assert not kept_after(lambda: write(Event("2031-07-10T09:10", "died", "W", count=1)))
    assert kept_after(lambda: nursery.at(NOW - timedelta(minutes=NOW.minute % 10)))
    assert not kept_after(lambda: nursery.at(NOW + timedelta(minutes=11)))
    assert not kept_after(lambda: write(Event("2031-07-10T12:00", "moved", "W", count=3, enclosure="jar", to="tub")))
    assert not kept_after(lambda: write(Event("2031-07-10T12:01", "temperature", enclosure="tub", detail="25 C")))


def test_what_is_kept_equals_what_is_computed_anew(logged):
    """The same questions to a nursery that lived through the changes and to one that was just opened."""
    nursery = logged(hourly("jar", datetime(2031, 7, 1), 220, wave), laid("W", "jar"), laid("V", "tub"))
    steps = [
        Event("2031-07-10T09:00", "checked", "W", enclosure="jar"),
        Event("2031-07-10T09:10", "temperature", enclosure="tub", detail="18..30 C"),
        Event("2031-07-10T10:00", "moved", "V", enclosure="tub", to="jar"),
        Event("2031-07-10T11:00", "hatched", "W", count=4),
        Event("2031-07-10T11:30", "setting", enclosure="tub", detail="air=shed"),
        Event("2031-07-10T11:40", "temperature", enclosure="shed", detail="28 C"),
    ]
    for at, step in enumerate(steps):
        assert not nursery.write([step]).faults
        nursery.at(NOW + timedelta(minutes=at))
        anew = Nursery(nursery.store, nursery.knowledge, nursery.now)
        for label in ("W", "V"):
            one, other = (outlook(each, label, "hatch") for each in (nursery, anew))
            assert one.median.at == other.median.at and one.working == other.working and one.warmth.words == other.warmth.words


def test_readings_after_now_are_not_seen(logged):
    nursery = logged(hourly("jar", datetime(2031, 7, 1), 24 * 20, lambda hour: 20.0 if hour < 24 * 9 + 12 else 30.0))
    assert warmth(nursery, "jar", datetime(2031, 7, 1)).ahead == pytest.approx(20)
    nursery.at(NOW + timedelta(days=8))
    assert warmth(nursery, "jar", datetime(2031, 7, 1)).ahead == pytest.approx(30)


def test_the_air_of_a_place_is_the_same_object_until_its_readings_change(logged):
    nursery = logged(hourly("jar", datetime(2031, 7, 1), 220, wave), laid("W", "jar"))
    before = air(nursery, "jar")
    nursery.write([Event("2031-07-10T09:10", "temperature", enclosure="tub", detail="25 C")])
    nursery.at(NOW + timedelta(hours=3))
    assert air(nursery, "jar") is before
    nursery.write([Event("2031-07-10T09:10", "temperature", detail="25 C")])
    assert air(nursery, "jar") is not before


def test_a_fridge_does_not_go_by_the_room(keeping):
    """Nothing measured in it: 4 °C is assumed and said, whatever the room has; a thermometer of its own counts."""
    head = "when,what,cohort,species,stage,instar,count,enclosure,detail"
    room = "2031-07-01T00:00,temperature,,,,,,,23 C"
    own = "2031-07-01T00:00,temperature,,,,,,kitchen fridge,6 C"
    bare, told = (keeping.nursery("\n".join([head, *rows]), "2031-07-02T12:00") for rows in ([room], [room, own]))
    assert warmth(bare, "jar", bare.now).ahead == 23.0
    found = warmth(bare, "kitchen fridge", bare.now)
    assert found.ahead == 4.0 and found.assumed and "4 °C is assumed" in found.words
    assert warmth(told, "kitchen fridge", told.now).ahead == 6.0
