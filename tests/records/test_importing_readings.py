"""Logger files: their columns by name or by mapping, one sensor's file, decimal commas, and readings that disagree."""

from __future__ import annotations

import tracemalloc
from datetime import datetime, timedelta

import pytest

from nurserytui.records import file_text
from nurserytui.records.backups.listing import meant
from nurserytui.records.events import Event
from nurserytui.records.importing import import_file
from nurserytui.records.store import Store

ROWS = "2031-06-01T08:00,shed,20.5\n2031-06-01T09:00,shed,21\n"
READ = [(datetime(2031, 6, 1, 8), "shed", 20.5), (datetime(2031, 6, 1, 9), "shed", 21)]


@pytest.mark.parametrize(
    ("table", "options"),
    [
        ("time,place,temperature_C\n" + ROWS, {}),
        ("Time , PLACE,Temperature [°C]\n" + ROWS, {}),
        ("time,place,temperature (celsius)\n" + ROWS, {}),
        ("time;place;temperature_C\n2031-06-01T08:00;shed;20,5\n2031-06-01T09:00;shed;21,0\n", {}),
        ('time,place,temperature_C\n2031-06-01T08:00,shed,"20,5"\n2031-06-01T09:00,shed,21\n', {}),
        ("time\ttemperature_C\n2031-06-01T08:00\t20.5\n2031-06-01T09:00\t21\n", {"place": "shed"}),
        ("time,place,temperature,unit\n2031-06-01T08:00,shed,68.9,F\n2031-06-01T09:00,shed,21,°C\n", {}),
        ("Zeit;Ort;Wert\n01.06.2031 8:00;shed;20,5\n01.06.2031 09:00;shed;21\n", {"dates": "day", "columns": {"Zeit": "time", "Ort": "place", "Wert": "temperature_C"}}),
        ("time,sensor,temp\n6/1/2031 8:00 AM,shed,20.5\n6/1/2031 9:00 AM,shed,21\n", {"dates": "month", "columns": {"sensor": "place", "temp": "temperature_C"}}),
        (("time,place,temperature_C\n" + ROWS).encode("utf-16"), {}),
    ],
)  # fmt: skip
def test_a_loggers_file_is_read_in_the_shapes_loggers_write(load, table, options):
    assert load(table, **options)[:4] == ("readings", 2, 0, ())
    assert [(one.when, one.place, one.low) for one in load.store.readings()] == READ
    assert load(table, **options)[1:3] == (0, 2)
    assert load("time,place,temperature_C\n" + ROWS)[1:3] == (0, 2)


@pytest.mark.parametrize(
    ("table", "options", "words"),
    [
        ("tiem,place,temperature_C\n" + ROWS, {}, "there is no column time; did you mean tiem? import again with --column tiem=time"),
        ("time,plase,temperature_C\n" + ROWS, {}, "did you mean plase? import again with --column plase=place"),
        ("time,temperature_C\n2031-06-01T08:00,20\n", {}, "of one sensor's file say where it was with --place NAME"),
        ("time,place,temperature_C\n" + ROWS, {"place": "shed"}, "leave --place out"),
        ("time,place,temprature_C\n" + ROWS, {}, "import again with --column temprature_c=temperature_C"),
        ("time,place,temperature\n" + ROWS, {}, "the unit is not said: import again with --column temperature=temperature_C if it is in °C, or"),
        ("time,place,temperature_C\n2031-06-01T08:00,shed,20,5\n", {}, "line 2: the row has 4 cells, the header 3"),
        ("time,place,temperature_C\n2031-06-01T08:00,sh\u202eed,20\n", {}, "line 2, place: there is an invisible sign"),
        ("time,place,temperature_C\n" + ROWS + "Average,,20.75\n", {}, "line 4, time: 'Average' is no time"),
        ("time,place,temperature_C\n1/6/2031 8:00,shed,20\n", {}, "'1/6/2031 8:00' is no time as it stands"),
        ("time,place,temperature_C\n48002.3125,shed,20\n", {}, "the number by which a spreadsheet keeps a day"),
        ("time,place,temperature,unit\n2031-06-01T08:00,shed,20,K\n", {}, "line 2, unit: 'K' is no unit: write C or F"),
        ('time,place,temperature_C\n2031-06-01T08:00,shed,20\n2031-06-01T08:00,"shed,20\n', {}, "line 3: the row cannot be read"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_of_a_loggers_file_is_told_and_nothing_is_written(load, table, options, words):
    report = load(table, **options)
    assert any(words in str(fault) for fault in report.faults)
    assert load.store.readings() == []


def test_readings_that_disagree_are_told_and_the_first_is_kept(load):
    load("time,place,temperature_C\n" + ROWS)
    report = load("time,place,temperature_C\n2031-06-01T08:00,shed,30\n2031-06-01T10:00,shed,22\n2031-06-01T10:00,shed,23\n")
    assert report[:4] == ("readings", 1, 2, ())
    assert [warning[:24] for warning in report.warnings] == ["line 2: another value of", "line 4: another value of"]
    assert [one.low for one in load.store.readings()] == [20.5, 21, 22]


def test_the_hour_that_comes_twice_disagrees_with_nothing(load):
    load.store.append([Event("2031-01-01", "setting", detail="timezone=Europe/Paris")])
    table = "time,place,temperature_C\n2031-10-26T02:30,shed,10\n2031-10-26T02:30,shed,9\n2031-10-26T03:00,shed,8\n"
    assert load(table)[:5] == ("readings", 3, 0, (), ())
    assert load(table)[:5] == ("readings", 0, 3, (), ())


def test_the_nurserys_order_of_dates_counts_for_readings_too(load):
    load.store.append([Event("2031-01-01", "setting", detail="dates=day")])
    assert load("time,place,temperature_C\n1/6/2031 8:00,shed,20.5\n").added == 1
    assert load.store.readings()[0].when == datetime(2031, 6, 1, 8)


def test_memory_does_not_grow_with_the_file(tmp_path, monkeypatch):
    """Ten times the rows take no more memory: nothing is held but what a moment needs."""
    monkeypatch.setattr(file_text, "PIECE", 10_000)
    peaks = []
    for number in (3_000, 30_000):
        file = tmp_path / "log.csv"
        rows = "".join(f"{datetime(2030, 1, 1) + timedelta(minutes=at)},shed,{15 + at % 9}\n" for at in range(number))
        file.write_text("time,place,temperature_C\n" + rows, encoding="utf-8")
        with Store.open(tmp_path / f"{number}.db") as store:
            tracemalloc.start()
            assert import_file(file, store).added == number
            peaks.append(tracemalloc.get_traced_memory()[1])
            tracemalloc.stop()
    assert peaks[1] < peaks[0] + len(rows) // 4, peaks


BARE = "Time;Temp\n2031-05-01 00:00;68,5\n2031-05-01 01:00;70,0\n2031-05-01 02:00;72,5\n"


def test_fahrenheit_is_not_taken_for_celsius(load):
    asked = load(BARE, place="jar 1")
    assert "--column temp=temperature_C if it is in °C, or --column temp=temperature_F if in °F" in str(asked.faults[0])
    wrong = load(BARE, place="jar 1", columns={"temp": "temperature_C"})
    assert [fault.column for fault in wrong.faults] == ["temp"] and load.store.readings() == []
    assert "the middle value is 70, too hot for animals in °C: Fahrenheit? then import with --column temp=temperature_F" in str(
        wrong
    )
    right = load(BARE, place="jar 1", columns={"temp": "temperature_F"})
    assert right.told == ("jar 1: 3 readings from 2031-05-01 00:00 to 2031-05-01 02:00, 20.3 to 22.5 °C",)


def test_a_unit_that_the_file_says_counts(load):
    table = "time,place,temperature_C\n2031-06-01T08:00,glass frame,61\n"
    report = load(table)
    assert report.added == 1 and "the middle value is 61 °C, as the header says: if it is in °F, go back" in report.warnings[0]
    report = load("time,place,Temp (°F)\n2031-06-01T08:00,jar 2,68\n", columns={"Temp (°F)": "temperature_C"})
    assert "the header says °F and --column says °C" in str(report.faults[0])


def test_celsius_taken_for_fahrenheit_is_remarked(load):
    report = load("time,temp\n2031-06-01T08:00,21\n", place="jar", columns={"temp": "temperature_F"})
    assert report.added == 1 and "the middle value is 19 °F, which is -7 °C" in report.warnings[0]


def test_a_columns_name_is_accepted_as_it_stands_in_the_file(load):
    table = "Date Time,Temperature (°F)\n2031-06-01 08:00,68\n"
    columns = {"Date Time": "time", "Temperature (°F)": "temperature_F"}
    assert load(table, place="jar", columns=columns).added == 1
    report = load(table, place="jar", columns={**columns, "Temp": "temperature_F"})
    assert "it has Date Time, Temperature (°F)" in str(report.faults[0])


@pytest.mark.parametrize("cell", ["", "ERR", "NaN", "--", " n/a "])
def test_rows_of_a_logger_without_a_value_are_left_out_and_told(load, cell):
    head = "time,place,temperature_C\n"
    report = load(f"{head}2031-06-01T08:00,shed,{cell}\n2031-06-01T09:00,shed,20\n2031-06-01T10:00,shed,{cell}\n")
    assert report[:5] == ("readings", 1, 0, (), ("lines 2, 4 have no value and were left out",))
    assert "no row of the file has a value" in str(load(f"{head}2031-06-02T08:00,shed,{cell}\n").faults[0])


def test_readings_of_a_place_that_is_no_enclosure_are_told(load):
    table = "time,temperature_C\n2031-06-01T08:00,20\n"
    assert load(table, place="jra 1").warnings == ()
    load(
        "when,what,species,stage,count,enclosure\n2031-06-01,found,Pieris rapae,egg,3,jar 1\n2031-06-01,found,Vanessa cardui,egg,3,jar 2\n"
    )
    assert load(table, place="jar 1").warnings == ()
    assert load(table, place="jra 1").warnings == ("there is no enclosure jra 1; did you mean jar 1?",)
    assert "no enclosure is called jar 3" in load(table, place="jar 3").warnings[0]


def test_readings_ahead_of_now_are_told(load):
    report = load("time,place,temperature_C\n2031-06-01T08:00,shed,20\n2032-06-01T08:00,shed,20\n", now=datetime(2031, 7, 1))
    assert "1 row lies ahead of today, the first in line 3 (2032-06-01): it is not seen until then" in report.warnings[0]


def test_an_import_tells_how_all_of_it_is_taken_back(tmp_path):
    file = tmp_path / "log.csv"
    with Store.open(tmp_path / "n.db") as store:
        for number, row in enumerate(ROWS.splitlines()):
            file.write_text(f"time,place,temperature_C\n{row}\n", encoding="utf-8")
            back = import_file(file, store).told[-1]
            assert ("it was empty before" in back) == (not number)
        assert import_file(file, store).told[1:] == ()
        which = back.partition("nurserytui restore ")[2].split()[0]
        with Store.open(meant(which, store.path), create=False, read_only=True) as copy:
            assert len(copy.readings()) == 1


def test_a_bare_temperature_is_read_in_the_unit_that_is_asked_for(load):
    table = "time,place,temperature\n2031-06-01T08:00,shed,68\n"
    assert load(table, columns={"temperature": "temperature_F"}).told == (
        "shed: 1 reading from 2031-06-01 08:00 to 2031-06-01 08:00, 20 to 20 °C",
    )
