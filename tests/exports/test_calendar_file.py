"""The calendar is one that readers of the standard take, and a calendar that is given it again updates instead of doubling."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from icalendar import Calendar

from nurserytui.demo import MOMENT, private_copy
from nurserytui.exports.calendar_entries import BACK, Entry, entries
from nurserytui.exports.calendar_file import calendar
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.events import Event
from nurserytui.records.store import Store

NOW = datetime(2031, 6, 10, 8)
HOSTILE = 'tub; 1, "\\n" \\ <b>\u2028🦋é ' + "ü" * 300


def nursery(*events: Event, now: datetime = NOW) -> Nursery:
    store = Store.memory()
    written = store.append(events)
    assert not written.faults
    return Nursery(store, load(), now)


def eggs(**more) -> Event:
    return Event("2031-06-08T09:00", "laid", species="Danaus plexippus", count=12, **{"cohort": "B", "enclosure": "jar", **more})


def read(text: str) -> dict[str, dict]:
    """What a reader makes of the file: identifier -> its entry."""
    whole = Calendar.from_ical(text)
    assert not whole.errors and not [error for event in whole.walk("VEVENT") for error in event.errors]
    return {str(event["uid"]): event for event in whole.walk("VEVENT")}


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    with Store.open(private_copy(tmp_path_factory.mktemp("demo"))) as store:
        yield Nursery(store, load(), MOMENT)


def lines(text: str) -> list[bytes]:
    return text.encode("utf-8").split(b"\r\n")


def unfolded(text: str) -> list[str]:
    return text.replace("\r\n ", "").removesuffix("\r\n").split("\r\n")


def components(text: str) -> list[list[str]]:
    return [
        part.strip("\r\n").split("\r\n")
        for part in re.findall(r"BEGIN:VEVENT(.*?)END:VEVENT", text.replace("\r\n ", ""), re.DOTALL)
    ]


def values(text: str, name: str) -> list[str]:
    return [line.partition(":")[2] for part in components(text) for line in part if re.match(rf"{name}[;:]", line)]


RULES = {
    "3.1: lines end by CRLF": lambda text: text.endswith("\r\n") and not re.search(r"(?<!\r)\n|\r(?!\n)", text),
    "3.1: a line has 75 octets at most": lambda text: max(map(len, lines(text))) <= 75,
    "3.1: no character is cut by a fold": lambda text: all(line.decode("utf-8") is not None for line in lines(text)),
    "3.1: no control character": lambda text: not re.search(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]", text),
    "3.3.11: commas and semicolons of a text are escaped": lambda text: not [
        value for value in (*values(text, "SUMMARY"), *values(text, "DESCRIPTION")) if re.search(r"(?<!\\)(?:\\\\)*[,;]", value)
    ],
    "3.6: PRODID and VERSION, once": lambda text: [
        sum(line.startswith(name) for line in unfolded(text)) for name in ("PRODID:", "VERSION:2.0")
    ] == [1, 1],
    "3.6: a component at least, each closed": lambda text: 0 < text.count("BEGIN:") == text.count("END:"),
    "3.6.1: UID, DTSTAMP and DTSTART, once each": lambda text: all(
        sum(bool(re.match(rf"{name}[;:]", line)) for line in part) == 1 for part in components(text) for name in ("UID", "DTSTAMP", "DTSTART")
    ),
    "3.6.1: DTEND is the day after, which is not part of it": lambda text: [
        (date.fromisoformat(end) - date.fromisoformat(start)).days
        for start, end in zip(values(text, "DTSTART"), values(text, "DTEND"), strict=True)
    ] == [1] * len(components(text)),
    "3.8.2.4: a whole day is a DATE": lambda text: text.count("DTSTART;VALUE=DATE:") == text.count("DTEND;VALUE=DATE:") == len(components(text)),
    "3.8.1.11: a status that an event may have": lambda text: {*values(text, "STATUS")} <= {"TENTATIVE", "CONFIRMED", "CANCELLED"},
    "3.8.4.7: no identifier twice": lambda text: len({*values(text, "UID")}) == len(components(text)),
    "3.8.7.2: DTSTAMP in universal time": lambda text: all(re.fullmatch(r"\d{8}T\d{6}Z", value) for value in values(text, "DTSTAMP")),
    "3.3.8: SEQUENCE is an integer of 31 bits": lambda text: all(0 <= int(value) < 2**31 for value in values(text, "SEQUENCE")),
    "RFC 5546 3.2.1: without an organizer nothing is published by METHOD": lambda text: "METHOD" not in text,
}  # fmt: skip
"""Sections of RFC 5545, unless another is named."""
NURSERIES = {
    "hostile": lambda: nursery(eggs(enclosure=HOSTILE, cohort="B,;\\")),
    "long": lambda: nursery(eggs(enclosure="x" * 10_000)),
    "far ahead": lambda: nursery(eggs(), now=datetime(9000, 12, 31, 12)),
    "long ago": lambda: nursery(
        Event("1960-06-08", "found", species="Danaus plexippus", stage="egg", count=1), now=datetime(1960, 6, 9)
    ),
}


@pytest.mark.parametrize("rule", RULES)
def test_the_file_is_that_of_the_standard(demo, rule):
    assert RULES[rule](calendar(demo)[0])


@pytest.mark.parametrize("rule", RULES)
@pytest.mark.parametrize("which", NURSERIES)
def test_whatever_the_records_say_it_is_that_of_the_standard(which, rule):
    text, count = calendar(NURSERIES[which]())
    assert count and len(read(text)) == count and RULES[rule](text)


TEXTS = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=200)


@settings(max_examples=100, deadline=None)
@given(TEXTS, st.lists(TEXTS, min_size=1, max_size=4).map("\n".join))
def test_any_text_reads_back(summary, description):
    from nurserytui.exports.calendar_file import _event

    entry = Entry(("a",), date(2031, 6, 1), summary, description, "CONFIRMED")
    raw = _event(entry, datetime(2031, 6, 1)).to_ical()
    found = Calendar.from_ical(b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\n" + raw + b"END:VCALENDAR\r\n").walk("VEVENT")[0]
    assert (str(found["summary"]), str(found["description"])) == (summary, description)
    assert max(map(len, raw.split(b"\r\n"))) <= 75


def test_first_middle_and_last_are_told_and_the_entry_stands_on_the_middle():
    [entry] = [entry for entry in entries(nursery(eggs())) if entry.name[0] == "change"]
    days = re.findall(r"\d{4}-\d\d-\d\d", entry.description)
    assert (
        entry.summary == "B: 12 eggs expected to hatch in jar"
        and entry.day.isoformat() == days[1]
        and days[0] <= days[1] <= days[2]
    )


def taken_in(shelf: dict, text: str) -> None:
    """A calendar that is given a file (RFC 5546 section 2.1.5): of one identifier the higher sequence counts, then the newer stamp."""
    for identifier, event in read(text).items():
        before = shelf.get(identifier)
        if before is None or (event["sequence"], event["dtstamp"].dt) > (before["sequence"], before["dtstamp"].dt):
            shelf[identifier] = event


def expected(shelf: dict) -> dict[str, date]:
    """Summary -> day of what such a calendar shows of changes."""
    return {
        str(event["summary"]): event["dtstart"].dt
        for event in shelf.values()
        if event["status"] != "CANCELLED" and "expected to" in str(event["summary"])
    }


def test_a_calendar_that_is_given_the_file_again_updates():
    kept, shelf = nursery(eggs(), Event("2031-06-08", "setting", detail="timezone=Europe/Paris")), {}
    taken_in(shelf, calendar(kept)[0])
    [(hatching, day)] = expected(shelf).items()
    kept.write([Event("2031-06-10T09:00", "temperature", enclosure="jar", detail="15..17 C")])
    kept.at(NOW + timedelta(hours=2))
    before = {**shelf}
    taken_in(shelf, calendar(kept)[0])
    assert {*shelf} >= {*before} and len(expected(shelf)) == 1 and expected(shelf)[hatching] > day  # cool eggs take longer
    kept.write([Event("2031-06-13T09:00", "hatched", "B", count=12)])
    kept.at(datetime(2031, 6, 13, 10))
    taken_in(shelf, calendar(kept)[0])
    assert [*expected(shelf)] == ["B: 12 larvae expected to pupate in jar"]
    [settled] = [event for event in shelf.values() if event["status"] == "CANCELLED" and str(event["summary"]).startswith("B:")]
    assert str(settled["summary"]) == "B: 12 eggs hatched" and settled["dtstart"].dt == date(2031, 6, 13)
    kept.at(datetime(2031, 6, 13, 10) + timedelta(days=BACK + 1))
    assert settled["uid"] not in read(calendar(kept)[0])


def test_a_task_that_was_done_moves_to_its_next_day():
    kept, shelf = nursery(eggs(), Event("2031-06-09", "hatched", "B", count=12)), {}
    feeding = lambda: [event for event in shelf.values() if "Fresh leaf" in str(event["summary"])]  # noqa: E731
    taken_in(shelf, calendar(kept)[0])
    [before] = feeding()
    kept.write([Event("2031-06-10T09:00", "fed", "B", enclosure="jar")])
    kept.at(NOW + timedelta(hours=2))
    taken_in(shelf, calendar(kept)[0])
    [after] = feeding()
    assert (before["dtstart"].dt, after["dtstart"].dt) == (date(2031, 6, 10), date(2031, 6, 11))


GONE = {
    "died": (Event("2031-06-10", "died", "B", count=12), "12 died.", "B: nobody in jar is expected to hatch any more"),
    "moved": (Event("2031-06-10", "moved", "B", enclosure="jar", to="tub"), "12 were moved to tub.", "B: 12 eggs moved to tub"),
    "merged": (Event("2031-06-10", "merged", "B", to="C"), "12 went to cohort C.", "B: 12 eggs went to cohort C"),
}


@pytest.mark.parametrize("how", GONE)
def test_what_is_not_to_be_expected_any_more_is_cancelled(how):
    event, said, summary = GONE[how]
    kept = nursery(eggs(), eggs(cohort="C", enclosure="box"))
    [before] = [entry for entry in entries(kept) if entry.name[0] == "change" and entry.summary.startswith("B:")]
    kept.write([event])
    [after] = [entry for entry in entries(kept) if entry.name == before.name]
    assert (after.status, after.description, after.summary) == ("CANCELLED", said, summary)


def tasks_ahead(shelf: dict, today: date) -> list[str]:
    """Summaries of what such a calendar shows as to be done from today on."""
    return [str(event["summary"]) for event in shelf.values() if event["status"] == "CONFIRMED" and event["dtstart"].dt >= today]


LEAVING = {
    "given": [Event("2031-06-12T09:00", "given", "B", count=12)],
    "moved": [Event("2031-06-12T09:00", "moved", "B", enclosure="jar", to="tub")],
    "died": [Event("2031-06-11T09:00", "died", "B", count=5), Event("2031-06-12T09:00", "died", "B", count=7)],
    "renamed": [Event("2031-06-12T09:00", "renamed", "B", to="fennel-2")],
}


@pytest.mark.parametrize("how", LEAVING)
def test_a_task_that_fell_away_does_not_stay_in_the_calendar(how):
    kept, shelf = (
        nursery(eggs(), Event("2031-06-09", "hatched", "B", count=12), Event("2031-06-09", "fed", "B", enclosure="jar")),
        {},
    )
    taken_in(shelf, calendar(kept)[0])
    assert tasks_ahead(shelf, NOW.date())
    kept.write(LEAVING[how])
    kept.at(datetime(2031, 6, 12, 10))
    text = calendar(kept)[0]
    taken_in(shelf, text)
    now = tasks_ahead(read(text), kept.now.date())
    assert sorted(tasks_ahead(shelf, kept.now.date())) == sorted(now) and all(rule(text) for rule in RULES.values())


def test_a_cohort_keeps_its_entries_by_any_label():
    kept = nursery(eggs())
    before = {entry.identifier: entry.summary for entry in entries(kept)}
    kept.write([Event("2031-06-10", "renamed", "B", to="fennel-2")])
    after = {entry.identifier: entry.summary for entry in entries(kept)}
    assert {*before} == {*after} and any("fennel-2: 12 eggs" in summary for summary in after.values())


def test_a_correction_of_how_a_cohort_began_keeps_its_entries():
    kept = nursery(eggs())
    before = {entry.identifier for entry in entries(kept)}
    for count in (11, 10):
        [laid] = [event for event in kept.events if event.what == "laid"]
        kept.write([Event("2031-06-10", "withdrawn", withdraws=laid.id), laid._replace(count=count, id="", group="")])
        assert {entry.identifier for entry in entries(kept)} == before
    assert any("10 eggs" in entry.summary for entry in entries(kept))


def test_a_split_cohort_has_entries_of_its_own():
    kept = nursery(eggs(), Event("2031-06-09", "split", "B", count=4, to="D"))
    changes = [entry for entry in entries(kept) if entry.name[0] == "change" and entry.status == "TENTATIVE"]
    assert sorted(entry.summary[:9] for entry in changes) == ["B: 8 eggs", "D: 4 eggs"]


def test_nothing_is_made_up_for_an_empty_nursery():
    assert calendar(nursery())[1] == 0


def test_it_can_be_stopped_in_the_middle_of_every_part(demo):
    from nurserytui.records.progress import Stopped

    said = []
    calendar(Nursery(demo.store, demo.knowledge, MOMENT), lambda done, total, what: said.append((what, done)))
    assert {"forecasts made", "events looked through", "days looked at for tasks", "entries written"} <= {
        what for what, _ in said
    }

    def stops(done: int, total: int, what: str) -> None:
        raise Stopped

    with pytest.raises(Stopped):
        calendar(Nursery(demo.store, demo.knowledge, MOMENT), stops)
