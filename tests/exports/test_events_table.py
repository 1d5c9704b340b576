"""The events table reads back to an identical nursery, and no cell of it runs."""

from __future__ import annotations

import csv
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tables import NURSERY

from nurserytui.exports.events_table import escaped, export_csv
from nurserytui.exports.export import export_records
from nurserytui.records.event_rows import unescaped
from nurserytui.records.events import Event
from nurserytui.records.importing import import_file
from nurserytui.records.ledger import replay
from nurserytui.records.store import Store


@pytest.fixture
def store(tmp_path):
    (tmp_path / "small.csv").write_text(NURSERY, encoding="utf-8")
    with Store.memory() as store:
        assert not import_file(tmp_path / "small.csv", store).faults
        yield store


def again(store, folder):
    """A nursery made from the store's export."""
    export_csv(store, folder / "all.csv")
    copy = Store.memory()
    report = import_file(folder / "all.csv", copy)
    assert not report.faults and not report.warnings
    return copy


def test_an_export_reads_back_to_an_identical_nursery(store, tmp_path):
    hatched = store.append(
        [Event("2031-05-20", "hatched", "kale-1", count=2), Event("2031-05-20", "fed", enclosure="jar")]
    ).events[0]
    store.append([Event("2031-05-21", "withdrawn", withdraws=hatched.id), hatched._replace(count=3, id="", group="")])
    store.append([Event("2031-05-22", "found", species="Aglais io", stage="larva", instar=2, count=1, latitude=-33.25, longitude=18.5, place="a hedge, by the \"gate\"", by="Ada", parent="")])  # fmt: skip
    with again(store, tmp_path) as copy:
        assert copy.events() == store.events()
        assert replay(copy.events()).postings == replay(store.events()).postings
        assert copy.heads() == store.heads()
        assert import_file(tmp_path / "all.csv", copy)[1:3] == (0, len(store.events()))
        assert import_file(tmp_path / "small.csv", copy)[1:3] == (0, 13)  # rows keep the identity they were imported with


TEXTS = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\0"), max_size=12)
SPECIALS = st.sampled_from(
    ("=1+1", "+1", "-1", "@x", "'=1", "''=1", "'", '"', '""', "a,b", "a\nb", "a\r\nb", "\ta", "~", "unknown", "null", "1e5",
     '"=1"', "' =1", "\uff1d1", "'\uff0b1", "\uff0d1", "\uff201", ";=1", "\u2028=1")
)  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(*[st.one_of(TEXTS, SPECIALS)] * 4), min_size=1, max_size=5))
def test_any_text_survives_the_round_trip(tmp_path_factory, rows):
    folder = tmp_path_factory.mktemp("trip")
    events = [
        Event("2031-06-01", "fed", enclosure=enclosure or "jar", note=note, detail=detail, by=by)
        for enclosure, note, detail, by in rows
    ]
    with Store.memory() as store:
        written = store.append(events)
        assert written.faults == () or not all(event.enclosure.strip() for event in events)
        with again(store, folder) as copy:
            assert copy.events() == store.events()


@pytest.mark.parametrize(
    "event", [Event("2031-06-01", "fed", enclosure=" "), Event("2031-06-01", "cut"), Event("2031-06-01", "note", note="\t")]
)
def test_an_event_that_would_not_read_back_is_not_written(event):
    """A feeding in an enclosure called by a space was once written down as a feeding of nothing, which no import takes."""
    with Store.memory() as store:
        assert store.append([event]).faults and not store.events()


RUNS = tuple("=+-@\t\r\uff1d\uff0b\uff0d\uff20")
"""What a cell must not begin with: OWASP, CSV Injection."""


@pytest.mark.parametrize(
    "text",
    ["=1+1", "+1", "-1", "@sum", "\t=1", "\r=1", "'=1", "''=1", "plain", "'quoted'", "", "a=1", " =1", '"=1"', "\n@x", "'\"+1",
     "\uff1d1+1", "\uff0b1", "\uff0d1", "\uff20x", " \u3000\uff1d1"],
)  # fmt: skip
def test_no_cell_is_a_formula_and_every_cell_comes_back(text):
    cell = escaped(text)
    assert not cell.strip(' \n"\u3000').startswith(RUNS)
    assert unescaped(cell) == text


@given(st.one_of(TEXTS, SPECIALS, st.text("='\"+-@ \t\uff1dx", max_size=6)))
def test_any_cell_comes_back(text):
    assert unescaped(escaped(text)) == text and not escaped(text).lstrip('" \n\v\f').startswith(RUNS)


def test_no_cell_of_an_export_would_be_run_and_numbers_stay_numbers(store, tmp_path):
    store.append([
        Event("2031-06-01", "note", note='=HYPERLINK("x")', by="@me", place="-1", detail="+2"),
        Event("2031-06-01", "found", "W", species="Aglais io", stage="egg", count=1, latitude=-33.9, longitude=-0.0625),
    ])  # fmt: skip
    export_csv(store, tmp_path / "all.csv")
    with open(tmp_path / "all.csv", encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    numbers = ("latitude", "longitude")
    assert not [value for row in rows for name, value in row.items() if value.startswith(RUNS) and name not in numbers]
    assert [row[name] for row in rows for name in numbers if row[name]] == ["-33.9", "-0.0625"]


def test_the_table_is_that_of_the_standard(store, tmp_path):
    """RFC 4180, section 2: lines end by CRLF, every row has as many fields as the header, quotes are doubled."""
    export_csv(store, tmp_path / "all.csv")
    raw = (tmp_path / "all.csv").read_bytes()
    assert raw.endswith(b"\r\n") and not re.search(rb"(?<!\r)\n", raw) and b'on the ""red"" kale' in raw
    with open(tmp_path / "all.csv", encoding="utf-8", newline="") as file:
        assert len({len(row) for row in csv.reader(file, strict=True)}) == 1


def test_what_is_no_part_of_the_table_is_counted(store, tmp_path):
    (tmp_path / "r.csv").write_text(
        "time,place,temperature_C\n2031-05-01T10:00,jar,20\n2031-05-01T11:00,jar,21\n", encoding="utf-8"
    )
    import_file(tmp_path / "r.csv", store)
    assert export_csv(store, tmp_path / "all.csv") == (13, 2)
    assert "13 events; 2 logger readings are no part of an events table" in export_records(store, tmp_path / "all.csv", "csv")
