"""What something else has changed in the nursery's file, or done to it while it was open, is said with every answer."""

from __future__ import annotations

import asyncio
import os
import shutil
import sqlite3
from contextlib import closing
from datetime import datetime

import pytest

from faults import harming
from nurserytui.assistant import Assistant
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records import as_written, sums, write_ahead
from nurserytui.records.backups.by_itself import told_daily
from nurserytui.records.backups.rule import Rule
from nurserytui.records.events import Event
from nurserytui.records.readings import Reading
from nurserytui.records.store import Gone, Store
from nurserytui.tui.desk import Desk
from tests.oracle.nurseries import random_events

NOW = datetime(2031, 6, 10, 8)
FOUND = Event("2031-06-01", "found", "A", species="Pieris rapae", stage="egg", count=18, enclosure="jar", id="first")


@pytest.fixture
def path(tmp_path):
    with Store.open(tmp_path / "n.db") as store:
        store.append([FOUND, *(Event("2031-06-02", "note", note=f"note {at}", id=f"n{at}") for at in range(40))])
        store.add_readings([Reading(datetime(2031, 6, 1, 10), "jar", 20.0, 20.0)])
    return tmp_path / "n.db"


def flip(path) -> None:
    """Turn over one bit of the count of the first event, as a disk may: 18 becomes 82."""
    raw = bytearray(path.read_bytes())
    at = raw.index(b"2031-06-01foundAPieris rapaeegg") + len("2031-06-01foundAPieris rapaeegg")
    assert raw[at] == 18
    raw[at] ^= 64
    path.write_bytes(raw)


ASKED = ("how many eggs are there", "what happened to A", "note: the door squeaks", "good morning")


@pytest.mark.parametrize("line", ASKED)
def test_a_bit_that_was_turned_over_in_a_cell_is_said_in_the_first_line_of_every_answer(path, line):
    """One answered with a wrong count, exported and copied it, without a word."""
    flip(path)
    said = harming.said(("ask", line), path)
    assert said.out.startswith("Take care: event first is not as it was written: counts may be wrong; nurserytui check"), said
    assert said.code in (0, 3, 4)


@pytest.mark.parametrize("command", [("show", "board"), ("show", "round"), ("show", "cohort", "A")])
def test_screens_as_text_say_it_first(path, command):
    flip(path)
    assert harming.said(command, path).out.startswith("Take care: event first is not as it was written")


def test_the_app_says_it_once_beside_the_board_and_with_every_answer(path):
    flip(path)

    async def said() -> list[str]:
        desk = Desk(path, NOW)
        await desk.open()
        told = [(await desk.look()).told, (await desk.look()).told]
        told += [(await desk.reply("how many eggs are there"))[0].text, (await desk.note("fed jar"))[0].text]
        await desk.close()
        return told

    first, again, *answers = asyncio.run(said())
    assert first.startswith("Take care: event first is not as it was written") and again == ""
    assert all(text.startswith("Take care: event first is not as it was written") for text in answers)


@pytest.mark.parametrize("file", ["o.csv", "o.jsonl", "o.ics", "o.zip"])
def test_an_export_of_a_row_that_was_changed_says_so(path, file):
    assert "not as it was written" not in harming.said(("export", f"{{}}/{file}"), path).out
    flip(path)
    said = harming.said(("export", f"{{}}/{file}"), path)
    assert said.code == 0 and "; but event first is not as it was written" in said.out, said


def test_an_export_without_sums_to_hold_it_against_says_so(path):
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("DROP TABLE sums")
    said = harming.said(("export", "{}/o.csv"), path)
    assert said.code == 0 and "; but " in said.out and "is damaged (no such table: sums)" in said.out, said


@pytest.mark.parametrize("form", ["readings", "jsonl"])
def test_an_export_of_a_reading_that_was_changed_says_so(path, form):
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript("DROP TRIGGER readings_never_change; UPDATE readings SET low = 2.0")
    said = harming.said(("export", "{}/o.txt", "--as", form), path)
    assert said.code == 0 and "; but 1 reading is not as it was written" in said.out, said


def test_a_whole_file_is_trusted(path):
    for line in ASKED:
        assert "Take care" not in harming.said(("ask", line), path).out
    with Store.open(path) as store:
        store.append([Event("2031-06-03", "note", note="nö\ud7ff", id="more", latitude=51.0, longitude=-0.1)])
        store.append([Event("2031-06-03", "withdrawn", withdraws="more")])
        store.events()
        assert store.cautions() == () and store.changed() == ""


def test_the_sum_of_rows_that_are_read_is_the_one_kept(tmp_path):
    """Reckoned here by Python, there by SQL over the cells as they are stored."""
    with Store.open(tmp_path / "n.db") as store:
        assert not store.append(random_events(3, 1, 30)).faults
        events = len(store.events())
        assert events > 500 and store.cautions() == ()
        connection = store._connection()
        sums.teach(connection)
        assert connection.execute(
            f"SELECT count(*) FROM events JOIN sums USING (seq) WHERE sum = {sums.OF_EVENT}"
        ).fetchone() == (events,)


def test_a_table_that_cannot_be_read_is_no_line_that_cannot_be_understood(path):
    """Every question was answered `I did not understand that` where a page of the readings was lost."""
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("DROP TABLE readings")
    said = harming.said(("ask", "how many eggs are there"), path)
    assert said.code == 2 and "is damaged" in said.wrong and "estore" in said.wrong, said


UNGUARD = "DROP TRIGGER events_never_change; DROP TRIGGER sums_never_go;"


@pytest.mark.parametrize(
    ("harm", "says"),
    [
        ("UPDATE events SET note = 'another' WHERE id = 'n3'", "event n3 is not"),
        ("UPDATE events SET written = '2031-01-01' WHERE id = 'n3'", "event n3 is not"),
        ("UPDATE events SET count = 3, note = '' WHERE seq > 38", "3 events are not as they were written, the first n37"),
        ("DELETE FROM sums WHERE seq = 5", "event n3 is not"),
        ("DROP TABLE sums", "41 events are not"),
        ("DROP TRIGGER events_never_go; DELETE FROM events WHERE id = 'n3'", "some events are gone or stand there twice"),
        ("DROP TRIGGER events_never_go; DELETE FROM events WHERE id = 'n39'", "some events are gone or stand there twice"),
    ],
)
def test_any_cell_that_was_changed_is_noticed_when_it_is_read(path, harm, says):
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(f"{UNGUARD} {harm}")
    with Store.open(path) as store:
        store.events()
        assert store.cautions()[0].startswith(says) and ("TABLE" in harm or store.changed().startswith(says))


def test_only_what_is_told_of_the_events_is_doubted_once_they_are_read_anew(path):
    flip(path)
    with Store.open(path) as store:
        assert store.cautions() == ()
        store.events()
        store.events()
        assert as_written.told(["first"]) in store.cautions() and len(store.cautions()) == 1


# The file while it is open --------------------------------------------------------------------------------------------


@pytest.fixture
def assistant(path):
    with Store.open(path) as store:
        assistant = Assistant(Nursery(store, load(), NOW))
        assert assistant.reply("note: before").status == "recorded"
        yield assistant


def both(assistant) -> tuple[str, str]:
    """What a question and a record are answered."""
    question, record = assistant.reply("how many eggs are there", NOW), assistant.reply("note: lost", NOW)
    assert question.status == "answered" and record.status == "unknown" and "Nothing was written" in record.text
    assert isinstance(assistant.trouble, Gone)
    return question.text, record.text


def test_every_answer_says_that_the_folder_is_gone_and_what_to_do(assistant, path, tmp_path):
    """A question went on being answered, and the day's backup told of a fault of this program."""
    away = tmp_path.with_name(f"{tmp_path.name}-away")
    shutil.move(tmp_path, away)
    for text in both(assistant):
        assert "is not there any more: put it back in its place, or close this and restore a backup of it" in text
    assert both(assistant)[0].splitlines()[1].startswith("18 eggs")
    assert told_daily(path, Rule(), NOW) == ""
    shutil.move(away, tmp_path)
    assert assistant.reply("note: again", NOW).status == "recorded"
    assert "Take care" not in assistant.reply("how many eggs are there", NOW).text


def test_every_answer_says_that_another_file_was_put_in_place_and_what_to_do(assistant, path, tmp_path):
    with Store.open(tmp_path / "other.db"):
        pass
    os.replace(tmp_path / "other.db", path)
    for text in both(assistant):
        assert "was replaced by another file while it was open: close this and open it again" in text


@pytest.mark.parametrize("left", [0, 4096, 8192])
def test_nothing_is_written_to_a_file_that_was_cut_off_while_it_was_open(assistant, path, left):
    """What was recorded after that was told as recorded, and lost."""
    os.truncate(path, left)
    for text in both(assistant):
        assert "was overwritten or cut off while it was open: close this. " in text and "estore" in text


def test_nothing_is_written_where_what_was_read_is_not_there_any_more(assistant, path):
    """Another program's doing: the events that had been read were exchanged for what stood there then, without a word."""
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(f"{UNGUARD} UPDATE events SET id = 'another' WHERE note = 'before'")
    for text in both(assistant):
        assert "was overwritten or cut off while it was open" in text


def test_what_could_not_be_written_after_all_is_not_taken_for_a_file_written_over(path):
    with Store.open(path) as store:
        before = store.events()
        with pytest.raises(ZeroDivisionError), store.held():
            store.append([Event("2031-06-03", "note", note="never")])
            assert len(store.events()) == len(before) + 1
            raise ZeroDivisionError
        assert store.events() == before and store.moved() == ""
        assert not store.append([Event("2031-06-03", "note", note="then")]).faults


def test_a_file_in_use_is_not_taken_for_one_that_was_cut_off(path):
    """What was written stands in the write-ahead file at first, so that the file is smaller than what SQLite counts."""
    with Store.open(path) as store, Store.open(path) as other:
        for at in range(30):
            (store, other)[at % 2].append([Event("2031-06-03", "note", note="x" * 3000)])
            assert store.moved() == other.moved() == ""


# Put beside another's write-ahead file --------------------------------------------------------------------------------


def test_a_file_put_under_anothers_write_ahead_file_is_refused_however_often_it_is_tried(path, tmp_path):
    """The first look at it made it look younger, so that the second laid one over the other and its records were gone."""
    with Store.open(tmp_path / "put.db") as store:
        store.append([FOUND._replace(id="other", enclosure="tub", count=8), FOUND._replace(id="more", cohort="B")])
    with Store.open(path) as store:
        store.append([Event("2031-06-03", "note", note="last")])
        wal = path.with_name("n.db-wal")
        kept = wal.read_bytes()
        os.replace(tmp_path / "put.db", path)
    wal.write_bytes(kept)
    for age in (-5.0, 5.0):
        os.utime(wal, (wal.stat().st_atime, path.stat().st_ctime + age))
        for command in (("check",), ("ask", "how many eggs are there"), ("ask", "note: x"), ("check",)):
            said = harming.said(command, path)
            assert said.code == 2 and "move n.db-wal away" in said.wrong, said
    wal.unlink()
    with Store.open(path) as store:
        assert [event.id for event in store.events()] == ["other", "more"]


@pytest.mark.parametrize("age", [-5.0, 5.0])
def test_a_file_moved_away_and_back_takes_in_what_its_own_write_ahead_file_holds(path, tmp_path, age):
    with Store.open(path) as store:
        store.append([Event("2031-06-03", "note", note="last")])
        path.rename(tmp_path / "away")
    wal = path.with_name("n.db-wal")
    assert write_ahead.size(path)
    (tmp_path / "away").rename(path)
    os.utime(wal, (wal.stat().st_atime, path.stat().st_ctime + age))
    assert harming.said(("check",), path).code == 0
    with Store.open(path) as store:
        assert store.events()[-1].note == "last"
