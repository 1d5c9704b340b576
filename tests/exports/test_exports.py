"""What is written for elsewhere reads back the same, runs nothing, and is what the standard says."""

from __future__ import annotations

import csv
import io
import xml.etree.ElementTree as ElementTree
import zipfile

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tables import NURSERY

from nurserytui.exports.archive import DWC, TERMS, export_archive
from nurserytui.exports.events_table import escaped, export_csv
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
    ("=1+1", "+1", "-1", "@x", "'=1", "''=1", "'", '"', '""', "a,b", "a\nb", "a\r\nb", "\ta", "~", "unknown", "null", "1e5")
)


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


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@sum", "\t=1", "\r=1", "'=1", "''=1", "plain", "'quoted'", "", "a=1"])
def test_no_cell_is_a_formula_and_every_cell_comes_back(text):
    cell = escaped(text)
    assert not cell or cell[0] not in "=+-@\t\r"
    assert unescaped(cell) == text


def test_no_cell_of_an_export_would_be_run(store, tmp_path):
    store.append([Event("2031-06-01", "note", note='=HYPERLINK("x")', by="@me", place="-1", detail="+2"), Event("2031-06-01", "found", "W", species="Aglais io", stage="egg", count=1, latitude=-3.5)])  # fmt: skip
    export_csv(store, tmp_path / "all.csv")
    with open(tmp_path / "all.csv", encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            assert not [
                value for name, value in row.items() if value[:1] in tuple("=+-@\t\r") and name not in ("latitude", "longitude")
            ]


def test_the_archive_holds_an_occurrence_core_in_standard_terms(store, tmp_path):
    store.append([
        Event("2031-05-20T12:30", "found", "W", species="Aglais io", stage="larva", instar=2, count=4, latitude=51.25, longitude=-1.5, place="wood & <hedge>", by="Ada", host="Urtica dioica", note="two\nlines"),
        Event("2031-05-21", "laid", "Y", species="Aglais io", count=4, parent="W"),
    ])  # fmt: skip
    assert export_archive(store, tmp_path / "finds.zip") == 5
    with zipfile.ZipFile(tmp_path / "finds.zip") as archive:
        assert sorted(archive.namelist()) == ["eml.xml", "meta.xml", "occurrence.csv"]
        meta = ElementTree.fromstring(archive.read("meta.xml"))
        eml = ElementTree.fromstring(archive.read("eml.xml"))
        rows = list(csv.DictReader(io.StringIO(archive.read("occurrence.csv").decode("utf-8"))))
    space = "{http://rs.tdwg.org/dwc/text/}"
    core = meta.find(f"{space}core")
    assert meta.get("metadata") == "eml.xml" and core.get("rowType") == DWC + "Occurrence"
    assert core.find(f"{space}files/{space}location").text == "occurrence.csv"
    assert [(int(one.get("index")), one.get("term")) for one in core.findall(f"{space}field")] == list(
        enumerate(DWC + term for term in TERMS)
    )
    assert eml.find("dataset/title").text and eml.find("dataset/creator/individualName/surName").text == "Ada"
    find = next(row for row in rows if row["decimalLatitude"])
    assert find == {
        "occurrenceID": find["occurrenceID"], "basisOfRecord": "HumanObservation", "eventDate": "2031-05-20T12:30",
        "scientificName": "Aglais io", "taxonRank": "species", "kingdom": "Animalia", "order": "Lepidoptera", "individualCount": "4",
        "lifeStage": "larva", "occurrenceStatus": "present", "locality": "wood & <hedge>", "decimalLatitude": "51.25",
        "decimalLongitude": "-1.5", "geodeticDatum": "EPSG:4326", "recordedBy": "Ada", "associatedTaxa": "host: Urtica dioica",
        "occurrenceRemarks": "two lines; instar 2",
    }  # fmt: skip
    assert {row["scientificName"]: row["taxonRank"] for row in rows}["Lepidoptera"] == "order"  # the unknown ones
    assert len({row["occurrenceID"] for row in rows}) == len(rows) == 5  # eggs of an animal reared here are no find


def test_the_archive_is_the_same_for_the_same_records(store, tmp_path):
    export_archive(store, tmp_path / "a.zip")
    export_archive(store, tmp_path / "b.zip")
    assert (tmp_path / "a.zip").read_bytes() == (tmp_path / "b.zip").read_bytes()
