"""Logger readings read back the same, also those of the hour that comes twice in autumn."""

from __future__ import annotations

import csv
from datetime import datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nurserytui.exports.export import export_records
from nurserytui.exports.readings_table import export_readings
from nurserytui.records.events import Event
from nurserytui.records.importing import import_file
from nurserytui.records.readings import Reading
from nurserytui.records.store import Store
from nurserytui.records.streaming import snapshot

AUTUMN = datetime(2031, 10, 26, 2, 30)
"""A wall time that comes twice in Central Europe (time zone database: clocks go back on the last Sunday of October)."""


def nursery(zone: str = "Europe/Paris") -> Store:
    store = Store.memory()
    store.append([Event("2031-01-01", "setting", detail=f"timezone={zone}")])
    return store


def logged(store) -> list:
    with snapshot(store) as records:
        return list(records.readings())


def again(store, folder) -> Store:
    export_readings(store, folder / "r.csv")
    copy = nursery()
    assert not import_file(folder / "r.csv", copy).faults
    return copy


PLACES = st.sampled_from(("jar", "=1+1", "'=x", "'jar", "-2", "shed, back", '"tub"', "\uff1dtub"))
TIMES = st.one_of(
    st.integers(-90, 90).map(lambda minutes: AUTUMN + timedelta(minutes=minutes)),
    st.datetimes(datetime(2020, 1, 1), datetime(2040, 1, 1)).map(lambda when: when.replace(microsecond=0)),
)


@settings(max_examples=80, deadline=None)
@given(st.lists(st.tuples(PLACES, TIMES, st.integers(0, 1), st.floats(-20, 45)), max_size=12))
def test_readings_come_back(tmp_path_factory, rows):
    from zoneinfo import ZoneInfo

    with nursery() as store:
        where = ZoneInfo("Europe/Paris")
        twice = [when.replace(tzinfo=where, fold=fold).astimezone(ZoneInfo("UTC")).astimezone(where) for _, when, fold, _ in rows]
        store.add_readings(
            Reading(when.replace(tzinfo=None), place, value, value)
            for (place, _, _, value), when in zip(rows, twice, strict=True)
        )
        with again(store, tmp_path_factory.mktemp("readings")) as copy:
            assert logged(copy) == logged(store)


@pytest.mark.parametrize("folds", [(0,), (1,), (0, 1), (1, 0), (0, 1, 0, 1)])
def test_the_hour_that_comes_twice_comes_back(tmp_path, folds):
    with nursery() as store:
        store.add_readings(
            Reading(AUTUMN.replace(fold=fold) + timedelta(minutes=at), "jar", 20 + at, 20 + at) for at, fold in enumerate(folds)
        )
        with again(store, tmp_path) as copy:
            assert logged(copy) == logged(store) and copy.readings() == store.readings()


def test_a_range_that_one_column_cannot_hold_is_told(tmp_path):
    with nursery() as store:
        store.add_readings([Reading(AUTUMN, "jar", 18, 22), Reading(AUTUMN, "tub", 20, 20)])
        said = export_records(store, tmp_path / "r.csv", "readings")
    assert "1 reading; 1 range of low to high left out" in said
    with open(tmp_path / "r.csv", encoding="utf-8", newline="") as file:
        assert list(csv.reader(file)) == [["time", "place", "temperature_C"], ["2031-10-26T02:30:00", "tub", "20.0"]]
