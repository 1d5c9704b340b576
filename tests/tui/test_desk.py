"""The desk: its clock, the file it holds open, what other processes do to it, and how it ends."""

from __future__ import annotations

import asyncio
import os
import sqlite3
import time
from datetime import datetime

import pytest
from screens.clocks import MovableClock

from nurserytui.demo import MOMENT, private_copy
from nurserytui.records.events import Event
from nurserytui.records.store import Store
from nurserytui.tui.desk import PATIENCE, Desk


def nursery(path, *events: Event, zone: str = "Europe/Paris"):
    with Store.open(path) as store:
        first = Event("2026-01-01", "setting", detail=f"timezone={zone}")
        assert not store.append([first, *events]).faults
    return path


def animals(sheet) -> int:
    return sum(row.count for row in sheet.rows)


@pytest.fixture
async def demo(tmp_path):
    desk = Desk(private_copy(tmp_path), MOMENT)
    await desk.open()
    yield desk
    await desk.close()


async def test_the_moment_is_the_nurserys_wherever_the_computer_is(tmp_path):
    desk = Desk(nursery(tmp_path / "n.db", zone="Pacific/Auckland"), None, MovableClock("2026-07-12T23:30Z"))
    assert (await desk.open()).now == datetime(2026, 7, 13, 11, 30)
    await desk.reply("found 3 monarch eggs on swan plant, jar 1")
    with Store.open(tmp_path / "n.db") as other:
        assert other.events()[-1].when == "2026-07-13T11:30"
    answer, sheet = await desk.reply("timezone is America/New_York")
    assert answer.status == "recorded" and sheet.now == datetime(2026, 7, 12, 19, 30)
    assert "put back" in sheet.told
    await desk.close()


async def test_midnight_passes_and_what_is_dated_for_the_day_is_seen(tmp_path):
    """Three eggs are on record for the 13th; at five to twelve of the 12th in Paris nobody sees them, ten minutes later everybody."""
    clock = MovableClock("2026-07-12T21:55Z")
    ahead = Event("2026-07-13", "found", "A", species="Danaus plexippus", stage="egg", count=3, enclosure="jar 1")
    desk = Desk(nursery(tmp_path / "n.db", ahead), None, clock)
    assert animals(await desk.open()) == 0
    assert await desk.watch() is None
    clock.on(minutes=10)
    sheet = await desk.watch()
    assert sheet.now == datetime(2026, 7, 13, 0, 5) and animals(sheet) == 3
    await desk.close()


@pytest.mark.parametrize(
    ("instant", "steps", "days"),
    [
        (
            "2026-03-28T22:50Z",
            5,
            ["2026-03-28 23:50", "2026-03-29 00:50", "2026-03-29 01:50", "2026-03-29 03:50", "2026-03-29 04:50"],
        ),
        ("2026-10-24T23:50Z", 4, ["2026-10-25 01:50", "2026-10-25 02:50", "2026-10-25 02:59", "2026-10-25 03:50"]),
    ],
)
async def test_spring_and_autumn_give_no_wrong_day_and_lose_no_animal(tmp_path, instant, steps, days):
    clock = MovableClock(instant)
    desk = Desk(nursery(tmp_path / "n.db"), None, clock)
    sheet, seen = await desk.open(), []
    for number in range(1, steps + 1):
        answer, sheet = await desk.reply("found 1 monarch egg on common milkweed, jar 1")
        assert answer.status == "recorded" and animals(sheet) == number and not sheet.told
        seen.append(f"{sheet.now:%Y-%m-%d %H:%M}")
        clock.on(hours=1)
    assert seen == days
    await desk.close()


async def test_a_clock_that_is_put_back_is_told_and_survived(tmp_path):
    clock = MovableClock("2026-07-12T08:00Z")
    desk = Desk(nursery(tmp_path / "n.db"), None, clock)
    await desk.open()
    await desk.reply("found 3 monarch eggs on common milkweed, jar 1")
    clock.on(minutes=-5)
    assert await desk.watch() is None
    clock.on(days=-2)
    sheet = await desk.watch()
    assert sheet.now == datetime(2026, 7, 10, 9, 55) and animals(sheet) == 0 and "put back from 2026-07-12 10:00" in sheet.told
    clock.on(days=3)
    assert animals(await desk.watch()) == 3
    await desk.close()


async def test_another_processs_record_is_seen_and_nothing_is_given_twice(tmp_path, demo):
    assert await demo.watch() is None
    with Store.open(tmp_path / "demo.db") as other:
        assert not other.append([Event("2026-06-18T07:20", "note", note="the latch of tub 2 is loose")]).faults
    before = demo.now()
    sheet = await demo.watch()
    assert sheet is not None and not sheet.told
    if demo.now() == before:
        assert await demo.watch() is None


async def test_it_does_not_look_while_it_is_busy(demo):
    errand = asyncio.ensure_future(demo.errand("waiting", lambda nursery, progress: time.sleep(0.2)))
    await asyncio.sleep(0.05)
    started = time.monotonic()
    assert await demo.watch() is None and time.monotonic() - started < 0.1
    await errand


async def test_a_file_that_is_removed_is_told_once_and_nothing_is_written(tmp_path, demo):
    file, aside = tmp_path / "demo.db", tmp_path / "aside.db"
    file.rename(aside)
    assert "is not there any more" in (await demo.watch()).told and await demo.watch() is None
    answer, _ = await demo.reply("one D died, drowned")
    assert answer.status == "unknown" and "Nothing was written" in answer.text
    assert (await demo.reply("how many D"))[0].status == "answered"
    aside.rename(file)
    assert "can be used again" in (await demo.watch()).told
    assert (await demo.reply("one D died, drowned"))[0].status == "recorded"


async def test_a_file_that_is_replaced_is_opened_anew(tmp_path, demo):
    other = nursery(tmp_path / "other.db", Event("2026-06-01", "found", "Z", species="Danaus plexippus", stage="egg", count=7))
    os.replace(other, tmp_path / "demo.db")
    sheet = await demo.watch()
    assert "replaced" in sheet.told and animals(sheet) == 7
    answer, sheet = await demo.reply("2 of Z died")
    assert answer.status == "recorded" and animals(sheet) == 5 and not sheet.told


async def test_a_file_that_is_replaced_by_something_else_is_told_and_what_was_read_stays(tmp_path, demo):
    (tmp_path / "new").write_text("no nursery " * 100, encoding="utf-8")
    os.replace(tmp_path / "new", tmp_path / "demo.db")
    sheet = await demo.watch()
    assert "is not a nursery file" in sheet.told and animals(sheet) == 60
    answer, _ = await demo.reply("one D died, drowned")
    assert answer.status == "unknown" and "Nothing was written" in answer.text


async def test_a_locked_file_is_told_and_the_line_can_be_sent_again(tmp_path, demo, monkeypatch):
    demo._hand.give(lambda: demo._store._connection().execute("PRAGMA busy_timeout = 50")).result()
    other = sqlite3.connect(tmp_path / "demo.db", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    answer, _ = await demo.reply("one D died, drowned")
    assert answer.status == "unknown" and "being written by another window" in answer.text
    other.execute("ROLLBACK")
    other.close()
    assert (await demo.reply("one D died, drowned"))[0].status == "recorded"


async def test_closing_does_not_wait_for_work_that_cannot_be_stopped(tmp_path):
    desk = Desk(private_copy(tmp_path), MOMENT)
    await desk.open()
    errand = asyncio.ensure_future(desk.errand("sleeping", lambda nursery, progress: time.sleep(3)))
    await asyncio.sleep(0.05)
    started = time.monotonic()
    await desk.close()
    assert time.monotonic() - started < PATIENCE + 0.5
    errand.cancel()


async def test_a_long_history_is_kept_when_nothing_is_to_be_done_and_not_while_somebody_waits(tmp_path, monkeypatch):
    from nurserytui.records import keeping

    monkeypatch.setenv("NURSERYTUI_CACHE", str(tmp_path / "cache"))
    monkeypatch.setattr(keeping, "LEAST", 3)
    monkeypatch.setattr(keeping, "BACK", 1)
    notes = [Event("2026-07-01", "note", note=f"day {number}") for number in range(6)]
    clock = MovableClock("2026-07-12T10:00Z")
    desk = Desk(nursery(tmp_path / "n.db", *notes), None, clock)
    await desk.open()
    kept = tmp_path / "cache"
    looked, asked = [], []
    true = keeping.keep

    def keep(store, ledger, resting, progress):
        # The keeper asks just then.
        asked.append(asyncio.run_coroutine_threadsafe(desk.look(), loop))
        while not desk._hand.awaited:
            time.sleep(0.001)
        looked.append(True)
        return true(store, ledger, resting, progress)

    loop = asyncio.get_running_loop()
    monkeypatch.setattr(keeping, "keep", keep)
    assert await desk.watch() is None
    await asyncio.wrap_future(asked[0])
    assert looked and not list(kept.glob("ledger-*"))
    monkeypatch.setattr(keeping, "keep", true)
    assert await desk.watch() is None
    assert len(list(kept.glob("ledger-*.bin"))) == 1
    await desk.close()
    again = Desk(tmp_path / "n.db", None, clock)
    await again.open()
    assert again._assistant.nursery._resting
    await again.close()
