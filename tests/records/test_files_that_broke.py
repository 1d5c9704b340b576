"""Files that once made an import fail instead of being told about."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from nurserytui.paths import shipped
from nurserytui.records.checking import check
from nurserytui.records.errors import Damaged
from nurserytui.records.importing import import_file
from nurserytui.records.store import Store

FIND = "when,what,cohort,species,stage,count,enclosure\n{},found,B,Danaus plexippus,egg,3,jar 2\n"
READING = "time,place,temperature_C\n{},jar 2,21.5\n"


@pytest.mark.parametrize("table", [FIND, READING], ids=["event", "reading"])
@pytest.mark.parametrize("when", ["0001-01-01T00:00+14:00", "9999-12-31T23:00-12:00"])
def test_a_moment_beyond_the_calendar_has_its_place(tmp_path, table, when):
    file = tmp_path / "far.csv"
    file.write_text(table.format(when), encoding="utf-8")
    with Store.memory() as store:
        (fault,) = import_file(file, store).faults
        assert fault.line == 2 and "years 1 to 9999" in fault.reason and store.events() == []


def test_a_header_of_several_lines_is_told_on_one(tmp_path):
    file = tmp_path / "head.csv"
    file.write_text('"one\ntwo",three\n1,2\n', encoding="utf-8")
    with Store.memory() as store:
        (fault,) = import_file(file, store).faults
    assert "one two, three" in str(fault) and "\n" not in str(fault)


def test_a_column_of_several_lines_that_is_there_twice_is_told_on_one(tmp_path):
    file = tmp_path / "twice.csv"
    file.write_text('when,what,"one\ntwo","one\ntwo"\n2026-06-01,note,1,2\n', encoding="utf-8")
    with Store.memory() as store:
        (fault,) = import_file(file, store).faults
    assert str(fault) == "line 1: column one two is there twice"


BREAKS = {
    "nothing where a time should be": 'UPDATE events SET "when" = NULL WHERE seq = 30',
    "bytes where a label should be": "UPDATE events SET cohort = x'01' WHERE seq = 30",
    "a text that is not UTF-8": "UPDATE events SET note = cast(x'c3f6' AS text) WHERE seq = 30",
}


@pytest.fixture(params=BREAKS.values(), ids=BREAKS)
def broken(request, tmp_path) -> Path:
    """A nursery in a field of which stands what the tables forbid, as in a file with a damaged page."""
    file = tmp_path / "broken.db"
    with sqlite3.connect(shipped("demo_db") / "demo.db") as demo, sqlite3.connect(file) as copy:
        demo.backup(copy)
        copy.execute("PRAGMA ignore_check_constraints = ON")
        copy.execute("PRAGMA writable_schema = ON")
        copy.execute("DELETE FROM sqlite_schema WHERE type = 'trigger'")
        copy.execute("UPDATE sqlite_schema SET sql = replace(replace(sql, 'NOT NULL', ''), 'STRICT', '') WHERE type = 'table'")
    copy.close(), demo.close()
    with sqlite3.connect(file) as copy:
        copy.execute(request.param)
    copy.close()
    return file


def test_a_field_that_holds_something_else_is_damage(broken):
    with Store.open(broken) as store, pytest.raises(Damaged):
        store.events()
    assert check(broken)


def test_a_damaged_nursery_is_not_merged(broken):
    with Store.memory() as store:
        with pytest.raises(Damaged):
            import_file(broken, store)
        assert store.events() == []


def test_tables_whose_names_are_not_text_are_damage(tmp_path):
    file = tmp_path / "named.db"
    content = (shipped("demo_db") / "demo.db").read_bytes()
    file.write_bytes(content.replace(b"CREATE TABLE events", b"CREATE TABLE \xf6vents"))
    with pytest.raises(Damaged):
        Store.open(file)
