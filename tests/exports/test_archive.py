"""What was found in the wild is written as the standard says: a public reader opens it, and every value has the form of its term."""

from __future__ import annotations

import csv
import io
import re
import xml.etree.ElementTree as ElementTree
import zipfile
from collections import Counter
from datetime import datetime

import pytest
from dwca.darwincore.terms import TERMS
from dwca.read import DwCAReader
from tables import NURSERY

from nurserytui.demo import MOMENT, private_copy
from nurserytui.exports.archive import export_archive
from nurserytui.exports.darwin_core import DWC, EVENT, OCCURRENCE
from nurserytui.exports.origins import MOST
from nurserytui.exports.withholding import UNCERTAINTY, Withheld
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.events import Event
from nurserytui.records.importing import import_file
from nurserytui.records.store import Store

NOW = datetime(2031, 6, 30, 12)
NEWER = {"causeOfDeath", "eventType"}
"""Terms of the Darwin Core List of Terms (TDWG, 2023 and later) that are younger than the reader's own list."""


def nursery(*events: Event, now: datetime = NOW) -> Nursery:
    store = Store.memory()
    written = store.append(events)
    assert not written.faults, written.faults
    return Nursery(store, load(), now)


def find(id: str, cohort: str, count: int | None = 5, **more) -> Event:
    return Event("2031-06-01", "found", cohort, id=id, count=count, **{"species": "Aglais io", "stage": "larva", **more})


def tables(kept: Nursery, folder, withheld: Withheld = Withheld()) -> tuple[dict[str, dict], list[dict]]:  # noqa: B008
    """What the public reader makes of the archive: occurrences by their id, and the events of all of them; terms without their space."""
    export_archive(kept, folder / "finds.zip", withheld=withheld)
    with DwCAReader(str(folder / "finds.zip")) as archive:
        assert archive.core_contains_term(DWC + "occurrenceID") and archive.metadata is not None
        plain = lambda row: {term.removeprefix(DWC): value for term, value in row.data.items()}  # noqa: E731
        rows = list(archive)
        found = {row.id: plain(row) for row in rows}
        events = [{**plain(one), "coreid": row.id} for row in rows for one in row.extensions]
        assert {one.rowtype for row in rows for one in row.extensions} <= {DWC + "Event"}
    return found, events


def of(events: list[dict], find: str) -> list[tuple[str, str, str]]:
    """(what, date, how many) of all that became of a find."""
    found = [one for one in events if one["coreid"] == find and one["parentEventID"]]
    return [(one["eventType"], one["eventDate"], one["sampleSizeValue"]) for one in found]


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    with Store.open(private_copy(tmp_path_factory.mktemp("demo"))) as store:
        yield Nursery(store, load(), MOMENT)


@pytest.fixture
def small(tmp_path):
    (tmp_path / "small.csv").write_text(NURSERY, encoding="utf-8")
    with Store.memory() as store:
        assert not import_file(tmp_path / "small.csv", store).faults
        store.append([
            find("f1", "W", 4, instar=2, latitude=51.25, longitude=-1.5, place="wood & <hedge>", by="Ada", host="Urtica dioica",
                 note="two\nlines")._replace(when="2031-05-20T12:30"),
            Event("2031-05-21", "laid", "Y", species="Aglais io", count=4, parent="W"),
        ])  # fmt: skip
        yield Nursery(store, load(), NOW)


def test_a_find_is_told_in_terms_of_the_standard(small, tmp_path):
    found, events = tables(small, tmp_path)
    told = {term: value for term, value in found["f1"].items() if value}
    assert told == {
        "occurrenceID": "f1", "eventID": "f1", "basisOfRecord": "HumanObservation", "eventDate": "2031-05-20T12:30+02:00",
        "scientificName": "Aglais io", "taxonRank": "species", "kingdom": "Animalia", "phylum": "Arthropoda", "class": "Insecta",
        "order": "Lepidoptera", "family": "Nymphalidae", "genus": "Aglais", "individualCount": "4", "lifeStage": "larva",
        "occurrenceStatus": "present", "locality": "wood & <hedge>", "decimalLatitude": "51.25", "decimalLongitude": "-1.5",
        "geodeticDatum": "EPSG:4326", "recordedBy": "Ada", "associatedTaxa": '"host":"Urtica dioica"',
        "occurrenceRemarks": "two lines; instar 2",
    }  # fmt: skip
    assert len(found) == 5  # eggs of an animal that was reared here are no find
    assert [(one["eventType"], one["parentEventID"]) for one in events if one["coreid"] == "f1"] == [("find", "")]


FORMS = {
    "basisOfRecord": "HumanObservation", "occurrenceStatus": "present|absent", "sex": "(female|male)?",
    "lifeStage": "egg|larva|pupa|adult", "taxonRank": "order|family|genus|species|subspecies", "individualCount": "[1-9][0-9]*",
    "decimalLatitude": r"(-?[0-9]{1,2}(\.[0-9]+)?)?", "decimalLongitude": r"(-?[0-9]{1,3}(\.[0-9]+)?)?",
    "geodeticDatum": "(EPSG:4326)?", "coordinateUncertaintyInMeters": "([1-9][0-9]*)?", "sampleSizeValue": "[1-9][0-9]*",
    "sampleSizeUnit": "individuals", "eventType": "[a-z ]+", "eventDate": r"\d{4}-\d\d-\d\d(T\d\d:\d\d(:\d\d)?(Z|[+-]\d\d:\d\d)?)?",
    "occurrenceID": r"\S.*", "eventID": r"\S.*", "scientificName": "[A-Z][a-z]+( [a-z]+){0,2}",
}  # fmt: skip
"""Values by the comments of the Darwin Core List of Terms; dates by ISO 8601-1; sex and stage as in the vocabularies it names."""


@pytest.mark.parametrize("which", ["small", "demo"])
def test_every_value_has_the_form_of_its_term(request, tmp_path, which):
    found, events = tables(request.getfixturevalue(which), tmp_path)
    for row in (*found.values(), *events):
        wrong = {term: row[term] for term in FORMS.keys() & row.keys() if not re.fullmatch(FORMS[term], row[term])}
        assert not wrong
        assert bool(row["decimalLatitude"]) == bool(row["decimalLongitude"]) == bool(row["geodeticDatum"])


def test_every_term_is_one_of_the_standard():
    known = {term.removeprefix(DWC) for term in TERMS if term.startswith(DWC)} | NEWER
    assert {*OCCURRENCE, *EVENT} <= known and len({*OCCURRENCE}) == len(OCCURRENCE) and len({*EVENT}) == len(EVENT)


@pytest.mark.parametrize("which", ["small", "demo"])
def test_the_tables_are_linked(request, tmp_path, which):
    found, events = tables(request.getfixturevalue(which), tmp_path)
    ids = [one["eventID"] for one in events]
    assert len({*ids}) == len(ids) and {one["coreid"] for one in events} == {*found}
    assert {row["eventID"] for row in found.values()} | {one["parentEventID"] for one in events} - {""} <= {*ids}


def test_the_description_is_that_of_the_text_guide(demo, tmp_path):
    """Darwin Core text guide, section 2: files, then the id or the coreid, then the fields, each with its index and term."""
    export_archive(demo, tmp_path / "finds.zip")
    with zipfile.ZipFile(tmp_path / "finds.zip") as archive:
        assert archive.namelist() == ["occurrence.csv", "event.csv", "meta.xml", "eml.xml"] and archive.testzip() is None
        meta = ElementTree.fromstring(archive.read("meta.xml"))
        texts = {name: archive.read(name).decode("utf-8") for name in archive.namelist()}
    space = "{http://rs.tdwg.org/dwc/text/}"
    assert meta.tag == f"{space}archive" and meta.get("metadata") == "eml.xml"
    assert [(part.tag.removeprefix(space), part.get("rowType")) for part in meta] == [("core", DWC + "Occurrence"), ("extension", DWC + "Event")]  # fmt: skip
    for part, link in zip(meta, ("id", "coreid"), strict=True):
        assert [one.tag.removeprefix(space) for one in part] == ["files", link, *["field"] * (len(part) - 2)]
        rows = list(csv.reader(io.StringIO(texts[part.find(f"{space}files/{space}location").text], newline=""), strict=True))
        first = 0 if link == "id" else 1
        assert [(int(one.get("index")), one.get("term")) for one in part.findall(f"{space}field")] == [
            (at, DWC + term) for at, term in enumerate(rows[0]) if at >= first
        ]
        assert {len(row) for row in rows} == {len(rows[0])} and part.get("ignoreHeaderLines") == "1"


EML = {
    "dataset": ("title+", "creator+", "pubDate?", "language?", "abstract?", "additionalInfo*", "intellectualRights?", "coverage?",
                "contact+", "methods?"),
    "coverage": ("geographicCoverage*", "temporalCoverage*", "taxonomicCoverage*"),
    "geographicCoverage": ("geographicDescription", "boundingCoordinates"),
    "boundingCoordinates": ("westBoundingCoordinate", "eastBoundingCoordinate", "northBoundingCoordinate", "southBoundingCoordinate"),
    "temporalCoverage": ("rangeOfDates",), "rangeOfDates": ("beginDate", "endDate"), "beginDate": ("calendarDate",),
    "endDate": ("calendarDate",), "taxonomicCoverage": ("taxonomicClassification+",),
    "taxonomicClassification": ("taxonRankName?", "taxonRankValue"), "creator": ("individualName?", "positionName?"),
    "contact": ("individualName?", "positionName?"), "individualName": ("givenName*", "surName"), "methods": ("methodStep+",),
    "methodStep": ("description",), "description": ("para+",), "abstract": ("para+",), "additionalInfo": ("para+",),
    "intellectualRights": ("para+",),
}  # fmt: skip
"""The part of the schema of EML 2.2.0 that is used (eml-dataset, -resource, -coverage, -party, -methods, -text): what is inside of what,
in this order."""


def valid(element: ElementTree.Element) -> None:
    children = [child.tag for child in element]
    if element.tag not in EML:
        assert not children and (element.text or "").strip(), f"{element.tag} is empty"
        return
    order = "".join(f"(?:<{name.rstrip('+*?')}>){name[-1] if name[-1] in '+*?' else ''}" for name in EML[element.tag])
    assert children and re.fullmatch(order, "".join(f"<{name}>" for name in children)), (element.tag, children)
    for child in element:
        valid(child)


@pytest.mark.parametrize("withheld", [Withheld(), Withheld("coarse"), Withheld("none", names=True, notes=True)])
@pytest.mark.parametrize("which", ["small", "demo", "empty"])
def test_the_metadata_are_of_the_structure_of_the_standard(request, tmp_path, which, withheld):
    kept = nursery() if which == "empty" else request.getfixturevalue(which)
    export_archive(kept, tmp_path / "finds.zip", withheld=withheld)
    with zipfile.ZipFile(tmp_path / "finds.zip") as archive:
        eml = ElementTree.fromstring(archive.read("eml.xml"))
    assert eml.tag == "{https://eml.ecoinformatics.org/eml-2.2.0}eml" and eml.get("packageId") and eml.get("system")
    assert [child.tag for child in eml] == ["dataset"]
    valid(eml[0])
    if which == "small":
        assert eml.findtext("dataset/creator/individualName/surName") == (None if withheld.names else "Ada")


# What became of them ---------------------------------------------------------------------------------------------------------

LIVES = {
    "each change with its day": (
        [find("f", "A", stage="egg"), Event("2031-06-03", "hatched", "A", count=4), Event("2031-06-04", "died", "A", stage="egg", count=1, detail="dried up"),
         Event("2031-06-20", "pupated", "A", count=4), Event("2031-06-28", "emerged", "A", count=3), Event("2031-06-29", "released", "A", stage="adult", count=2, detail="female")],
        [("hatching", "2031-06-03", "4"), ("death", "2031-06-04", "1"), ("pupation", "2031-06-20", "4"), ("emergence", "2031-06-28", "3"), ("release", "2031-06-29", "2")],
    ),
    "those split off": (
        [find("f", "A"), Event("2031-06-02", "split", "A", count=2, to="B"), Event("2031-06-03", "died", "B", count=2), Event("2031-06-04", "escaped", "A", count=1)],
        [("death", "2031-06-03", "2"), ("escape", "2031-06-04", "1")],
    ),
    "by any label": (
        [find("f", "A"), Event("2031-06-02", "renamed", "A", to="Q"), Event("2031-06-03", "pupated", "Q", count=5)],
        [("pupation", "2031-06-03", "5")],
    ),
    "what was withdrawn never happened": (
        [find("f", "A"), Event("2031-06-02", "died", "A", count=1, id="d"), Event("2031-06-02", "withdrawn", withdraws="d")],
        [],
    ),
    "missing and back": (
        [find("f", "A"), Event("2031-06-02", "missing", "A", count=2), Event("2031-06-04", "returned", "A", count=1)],
        [("loss", "2031-06-02", "2"), ("recovery", "2031-06-04", "1")],
    ),
    "an estimate that was counted": (
        [find("f", "A", 80, estimate=True), Event("2031-06-02", "counted", "A", count=74), Event("2031-06-03", "given", "A", count=4)],
        [("count", "2031-06-02", "6"), ("transfer to another keeper", "2031-06-03", "4")],
    ),
    "one animal by its mark": (
        [find("f", "A", None, mark="1"), find("g", "A", None, mark="2"), Event("2031-06-03", "pupated", "A", mark="1")],
        [("pupation", "2031-06-03", "1")],
    ),
    "moves and looks are no lives": (
        [find("f", "A", enclosure="jar"), Event("2031-06-02", "moved", "A", enclosure="jar", to="tub"), Event("2031-06-03", "sign", "A", detail="limp", instar=3, stage="larva")],
        [],
    ),
    "what is dated ahead has not happened": ([find("f", "A"), Event("2031-07-03", "pupated", "A", count=5)], []),
}  # fmt: skip


@pytest.mark.parametrize("what", LIVES)
def test_what_became_of_a_find(tmp_path, what):
    given, became = LIVES[what]
    _, events = tables(nursery(*given), tmp_path)
    assert of(events, "f") == became
    assert not [one for one in events if "is not known" in one["eventRemarks"]]


def test_a_death_has_its_cause_and_a_release_its_sex(tmp_path):
    kept = nursery(find("f", "A", 1, stage="pupa"), find("g", "B", 2),
                   Event("2031-06-05", "emerged", "A", count=1), Event("2031-06-06", "released", "A", count=1, detail="female"),
                   Event("2031-06-06", "died", "B", count=1, detail="virus", note="dark"))  # fmt: skip
    found, events = tables(kept, tmp_path)
    assert found["f"]["sex"] == "female" and found["g"]["sex"] == ""
    told = {one["eventType"]: (one["causeOfDeath"], one["eventRemarks"]) for one in events}
    assert told["release"] == ("", "sex: female") and told["death"] == ("virus", "dark")


def test_animals_that_were_put_together_are_of_either_find(tmp_path):
    kept = nursery(find("f", "A", 3), find("g", "B", 2), Event("2031-06-02", "merged", "B", to="A"),
                   Event("2031-06-03", "died", "A", count=1, detail="virus"))  # fmt: skip
    _, events = tables(kept, tmp_path)
    assert of(events, "f") == of(events, "g") == [("death", "2031-06-03", "1")]
    said = {one["eventRemarks"] for one in events if one["parentEventID"]}
    assert said == {"kept together with animals of 1 other find: of which find these are is not known"}


def test_of_very_many_finds_kept_together_nothing_is_said_of_each(tmp_path):
    kept = nursery(*(find(f"f{at}", "A", 1) for at in range(MOST + 1)), Event("2031-06-03", "died", "A", count=1))
    found, events = tables(kept, tmp_path)
    assert len(found) == len(events) == MOST + 1 and "not all that became of them" in found["f0"]["occurrenceRemarks"]


NAMES = {
    "never identified": ([find("f", "A", species="unknown")], ("Lepidoptera", "order", "", "")),
    "identified later": (
        [find("f", "A", species="unknown"), Event("2031-06-09T10:00", "identified", "A", species="Aglais io", by="Bo")],
        ("Aglais io", "species", "", ""),
    ),
    "corrected": (
        [find("f", "A"), Event("2031-06-09", "identified", "A", species="Aglais urticae", by="Bo")],
        ("Aglais urticae", "species", "Aglais io", ""),
    ),
    "of two species of a genus": (
        [find("f", "A", species="unknown"), Event("2031-06-02", "split", "A", count=2, to="B"),
         Event("2031-06-09", "identified", "A", species="Aglais io"), Event("2031-06-09", "identified", "B", species="Aglais urticae")],
        ("Aglais", "genus", "", "animals of this find were identified as Aglais io and Aglais urticae"),
    ),
    "of two genera": (
        [find("f", "A", species="unknown"), Event("2031-06-02", "split", "A", count=2, to="B"),
         Event("2031-06-09", "identified", "A", species="Aglais io"), Event("2031-06-09", "identified", "B", species="Vanessa atalanta")],
        ("Lepidoptera", "order", "", "animals of this find were identified as Aglais io and Vanessa atalanta"),
    ),
    "in part": (
        [find("f", "A", species="unknown"), Event("2031-06-02", "split", "A", count=2, to="B"), Event("2031-06-09", "identified", "B", species="Aglais io")],
        ("Aglais io", "species", "", "some of them were not identified"),
    ),
    "to a genus": ([find("f", "A", species="Aglais sp.")], ("Aglais", "genus", "", "")),
}  # fmt: skip


@pytest.mark.parametrize("what", NAMES)
def test_the_name_is_what_the_animals_were_identified_as(tmp_path, what):
    given, name = NAMES[what]
    found, _ = tables(nursery(*given), tmp_path)
    row = found["f"]
    assert (row["scientificName"], row["taxonRank"], row["previousIdentifications"], row["identificationRemarks"]) == name
    if what in ("identified later", "corrected"):
        assert row["identifiedBy"] == "Bo" and row["dateIdentified"].startswith("2031-06-09")


def test_the_animals_of_a_find_add_up(demo, tmp_path):
    """Found, less those that left, and those that are back, are those that are here; where no find was put to another."""
    found, events = tables(demo, tmp_path)
    shared = {one["coreid"] for one in events if "kept together" in one["eventRemarks"]}
    sums: Counter = Counter()
    signs = {
        "find": 1,
        "laying": 1,
        "recovery": 1,
        "death": -1,
        "release": -1,
        "escape": -1,
        "transfer to another keeper": -1,
        "loss": -1,
    }
    for one in events:
        sums[one["coreid"]] += signs.get(one["eventType"], 0) * int(one["sampleSizeValue"])
    assert not shared and not [one for one in events if one["eventType"] == "count"]
    assert sum(sums.values()) == sum(count for key, count in demo.heads() if not demo.ledger.cohorts[key.cohort].parent)


# What is kept back, and hostile text -------------------------------------------------------------------------------------------


def test_what_is_kept_back_is_in_no_file_of_the_archive(tmp_path):
    secret = find("f", "A", place="Quarry Lane 7", latitude=51.2345, longitude=-1.2345, by="Ada Quill", note="call the owner")
    kept = nursery(Event("2031-05-01", "setting", detail="place=Quarry Lane 7"), secret,
                   Event("2031-06-02", "identified", "A", species="Aglais io", by="Ada Quill"),
                   Event("2031-06-03", "released", "A", count=1, place="Quarry Lane 7", latitude=51.2345, longitude=-1.2345, note="the owner"),
                   Event("2031-06-04", "given", "A", count=1, detail="Ada Quill's niece"))  # fmt: skip
    found, events = tables(kept, tmp_path, Withheld("coarse", names=True, notes=True))
    with zipfile.ZipFile(tmp_path / "finds.zip") as archive:
        text = "".join(archive.read(name).decode("utf-8") for name in archive.namelist())
    assert not [one for one in ("Quarry", "51.23", "1.23", "Ada", "owner") if one in text]
    row = found["f"]
    assert (row["decimalLatitude"], row["decimalLongitude"], row["coordinateUncertaintyInMeters"]) == (
        "51.2",
        "-1.2",
        f"{UNCERTAINTY}",
    )
    assert (
        row["coordinatePrecision"] == "0.1"
        and "0.1" in row["dataGeneralizations"]
        and "exact coordinates" in row["informationWithheld"]
    )
    found, events = tables(kept, tmp_path, Withheld("none"))
    assert not any(one["decimalLatitude"] or one["locality"] for one in (*found.values(), *events))
    assert found["f"]["recordedBy"] == "Ada Quill" and "coordinates and name of the place" in found["f"]["informationWithheld"]


def test_any_text_is_a_value_and_nothing_more(tmp_path):
    hostile = '=1+1 "a",b\n\x07\x1b[31m </para>&\ufffe 🦋'
    kept = nursery(
        Event("2031-05-01", "setting", detail=f"place={hostile}"), find("f", "A", place=hostile, by=hostile, note=hostile)
    )
    found, _ = tables(kept, tmp_path)
    assert found["f"]["locality"] == '=1+1 "a",b [31m </para>&\ufffe 🦋'
    with zipfile.ZipFile(tmp_path / "finds.zip") as archive:
        eml = ElementTree.fromstring(archive.read("eml.xml"))
    valid(eml[0])
    assert "</para>&" in eml.findtext("dataset/title")


def test_the_archive_is_the_same_for_the_same_records(small, tmp_path):
    for name in "ab":
        export_archive(small, tmp_path / name)
    assert (tmp_path / "a").read_bytes() == (tmp_path / "b").read_bytes()
