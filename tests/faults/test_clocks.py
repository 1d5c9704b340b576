"""A computer whose clock is wrong loses nothing: events are ordered by what they say, and by their number within that."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta

import pytest

from faults import harming
from nurserytui.records import moments
from nurserytui.records.backups.by_itself import daily
from nurserytui.records.backups.kept import kept
from nurserytui.records.backups.rule import Rule
from nurserytui.records.checking import check
from nurserytui.records.events import Event
from nurserytui.records.order import in_order
from nurserytui.records.store import Store
from nurserytui.tui.desk import Desk

TRUE = datetime(2031, 6, 10, 8, tzinfo=UTC)
WRONG = {
    "an hour ago": TRUE - timedelta(hours=1),
    "last year": TRUE - timedelta(days=365),
    "1970": datetime(1970, 1, 1, tzinfo=UTC),
}


@pytest.fixture
def path(tmp_path):
    with Store.open(tmp_path / "n.db") as store:
        store.append(
            [Event("2031-06-01", "laid", "A", species="Pieris rapae", stage="egg", count=12, enclosure="jar", id="laid")]
        )
    return tmp_path / "n.db"


def set_to(monkeypatch, instant: datetime) -> None:
    monkeypatch.setattr(moments, "now_utc", lambda: instant.strftime("%Y-%m-%dT%H:%M:%SZ"))


@pytest.mark.parametrize("name", WRONG)
def test_what_is_written_with_the_clock_put_back_keeps_its_place(path, monkeypatch, name):
    """When a thing happened is what it says; the clock only stamps when it was written down."""
    for at, instant in enumerate((TRUE, WRONG[name], TRUE)):
        set_to(monkeypatch, instant)
        with Store.open(path) as store:
            assert not store.append([Event(f"2031-06-0{5 + at}", "died", "A", count=1)]).faults
    with Store.open(path) as store:
        events = store.events()
        assert [event.day for event in in_order(events)] == ["2031-06-01", "2031-06-05", "2031-06-06", "2031-06-07"]
        stamps = [row[0] for row in store._rows("SELECT written FROM events ORDER BY seq")]
        assert stamps[1] == stamps[3] > stamps[2] and len({event.id for event in events}) == 4
        assert sum(store.heads().values()) == 9
    assert check(path) == []


@pytest.mark.parametrize("now", ["2030-06-10T08:00", "1970-01-01", "2031-05-31"])
def test_a_moment_before_the_records_sees_none_of_them_and_writes_nothing_that_cannot_be(path, now):
    before = path.read_bytes()
    asked = harming.said(("ask", "how many eggs do I have", "--json"), path, now)
    assert asked.code in (0, 4) and "12" not in json.loads(asked.out)["text"]
    died = harming.said(("ask", "2 of A died", "--json"), path, now)
    assert json.loads(died.out)["status"] in ("clarify", "unknown") and path.read_bytes() == before
    noted = harming.said(("ask", "note: the door squeaks", "--json"), path, now)
    assert noted.code == 0 and check(path) == []
    with Store.open(path) as store:
        assert [event.what for event in store.events()] == ["laid", "note"]
    assert harming.said(("ask", "how many eggs do I have"), path, "2031-06-10").code == 0


@pytest.mark.parametrize("name", WRONG)
def test_no_backup_is_lost_to_a_clock_put_back_and_the_next_days_are_made(path, name):
    rule = Rule()
    for at in range(3):
        with Store.open(path) as store:
            store.append([Event("2031-06-02", "note", note=f"{at}")])
        assert daily(path, rule, (TRUE + timedelta(days=at)).replace(tzinfo=None)) is not None
    before = {one.path.name for one in kept(path)}
    with Store.open(path) as store:
        store.append([Event("2031-06-02", "note", note="by a wrong clock")])
    daily(path, rule, WRONG[name].replace(tzinfo=None))
    assert before <= {one.path.name for one in kept(path)}
    with Store.open(path) as store:
        store.append([Event("2031-06-02", "note", note="by the right one again")])
    assert daily(path, rule, (TRUE + timedelta(days=4)).replace(tzinfo=None)) is not None


async def test_an_open_window_goes_on_when_the_clock_is_put_back(path):
    instants = [TRUE]
    desk = Desk(path, instant=lambda: instants[-1])
    await desk.open()
    assert (await desk.reply("2 of A died"))[0].status == "recorded"
    instants.append(WRONG["last year"])
    answer, sheet = await desk.reply("note: the door squeaks")
    assert answer.status == "recorded"
    instants.append(TRUE + timedelta(minutes=5))
    answer, _ = await desk.reply("how many eggs do I have")
    assert answer.values["count"].value == 10
    await desk.close()
    assert check(path) == []
