"""What was found in the wild is written as the standard says."""

from __future__ import annotations

import csv
import io
import xml.etree.ElementTree as ElementTree
import zipfile

import pytest
from tables import NURSERY

from nurserytui.exports.archive import DWC, TERMS, export_archive
from nurserytui.records.events import Event
from nurserytui.records.importing import import_file
from nurserytui.records.store import Store


@pytest.fixture
def store(tmp_path):
    (tmp_path / "small.csv").write_text(NURSERY, encoding="utf-8")
    with Store.memory() as store:
        assert not import_file(tmp_path / "small.csv", store).faults
        yield store


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
