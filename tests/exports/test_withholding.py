"""What a keeper keeps back is in none of the forms, and what is left can still be read."""

from __future__ import annotations

from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nurserytui.exports.events_table import export_csv
from nurserytui.exports.everything import export_everything
from nurserytui.exports.export import export, export_records
from nurserytui.exports.withholding import UNCERTAINTY, Withheld, coarse
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.events import Event
from nurserytui.records.importing import import_file
from nurserytui.records.store import Store

EVENTS = [
    Event("2031-05-01", "setting", detail="place=Quarry Lane 7"),
    Event("2031-05-01", "setting", detail="latitude=51.2345"),
    Event("2031-05-01", "setting", detail="timezone=Europe/Paris"),
    Event("2031-05-02", "found", "A", species="Aglais io", stage="egg", count=9, enclosure="jar", place="Quarry Lane 7",
          latitude=51.2345, longitude=-1.2345, by="Ada Quill", note="by the gate of Quarry Lane 7"),
    Event("2031-05-03", "note", note="called Ada Quill", id="n1"),
    Event("2031-05-03", "withdrawn", withdraws="n1", id="w1"),
    Event("2031-05-03", "withdrawn", withdraws="w1", id="w2"),
    Event("2031-05-04", "died", "A", count=1, detail="virus"),
    Event("2031-05-05", "given", "A", count=2, detail="Ada Quill's niece"),
]  # fmt: skip
SECRETS = {
    "exact": (),
    "coarse": ("Quarry Lane", "51.2345", "1.2345"),
    "none": ("Quarry Lane", "51.2", "1.2"),
}


@pytest.fixture
def store():
    with Store.memory() as store:
        assert not store.append(EVENTS).faults
        yield store


@pytest.mark.parametrize("write", [export_csv, export_everything])
@pytest.mark.parametrize("locations", SECRETS)
@pytest.mark.parametrize("names", [False, True])
def test_what_is_withheld_is_nowhere_in_the_file(store, tmp_path, write, locations, names):
    write(store, tmp_path / "out", withheld=Withheld(locations, names, notes=True))
    text = (tmp_path / "out").read_text(encoding="utf-8")
    assert not [secret for secret in SECRETS[locations] if secret in text]
    assert ("Ada Quill" in text) == (not names)
    assert ("51.2" in text) == (locations != "none") and ("Quarry" in text) == (locations == "exact")
    assert "called" not in text and "gate" not in text and "virus" in text
    assert ("Europe/Paris" in text) == (locations != "none")


@pytest.mark.parametrize(
    "withheld", [Withheld("coarse"), Withheld("none"), Withheld("coarse", True, True), Withheld("exact", True)]
)
def test_what_is_left_can_be_read_into_a_new_nursery(store, tmp_path, withheld):
    said = export_records(store, tmp_path / "part.csv", "csv", withheld=withheld)
    assert "does not read back to the same nursery" in said
    with Store.memory() as copy:
        report = import_file(tmp_path / "part.csv", copy)
        assert not report.faults and report.added == len(list(withheld.of(store.events())))
        assert sum(copy.heads().values()) == 6


def test_coarse_coordinates_are_not_taken_for_a_correction_of_the_exact_ones(store, tmp_path):
    """Read into the nursery that they are from, they are a conflict: nothing is overwritten, nothing is added."""
    export_csv(store, tmp_path / "part.csv", withheld=Withheld("coarse"))
    before = store.events()
    report = import_file(tmp_path / "part.csv", store)
    assert report.faults and all("on record with other content" in fault.reason for fault in report.faults)
    assert store.events() == before
    export_csv(store, tmp_path / "none.csv", withheld=Withheld("none", names=True, notes=True))
    assert import_file(tmp_path / "none.csv", store)[1:4] == (0, 3, ())  # what says less is known


@pytest.mark.parametrize("form", ["ics", "html", "readings", "zip"])
@pytest.mark.parametrize("withheld", [Withheld("none", True, True), Withheld("coarse")])
def test_each_form_says_what_of_it_was_withheld(store, tmp_path, form, withheld):
    kept = Nursery(store, load(), datetime(2031, 5, 6, 8))
    said = export(kept, tmp_path / f"out.{form}", form, withheld=withheld)
    assert withheld.words() in said if form == "zip" else "never in it" in said
    assert ("without the name of the place" in said) == (form == "html")
    assert "never in it" not in export(kept, tmp_path / f"all.{form}", form)
    for name in ("all", "out"):
        text = (tmp_path / f"{name}.{form}").read_text(encoding="utf-8", errors="replace") if form != "zip" else ""
        assert not [secret for secret in ("Quill", "51.2", "gate") if secret in text]


def test_without_anything_withheld_every_event_is_as_it_is(store):
    assert list(Withheld().of(store.events())) == store.events() and not Withheld().words()


@given(st.floats(-90, 90), st.floats(-180, 180))
def test_a_rounded_point_lies_within_its_uncertainty(latitude, longitude):
    """Distances on the ellipsoid, by its radii of curvature at the worse of the two latitudes (WGS 84: a 6378137 m, f 1/298.257223563)."""
    from math import cos, hypot, radians, sin, sqrt

    a, square = 6378137.0, (2 - 1 / 298.257223563) / 298.257223563
    near, far = sorted((abs(latitude), abs(coarse(latitude))))
    meridian = a * (1 - square) / sqrt(1 - square * sin(radians(far)) ** 2) ** 3
    parallel = a * cos(radians(near)) / sqrt(1 - square * sin(radians(far)) ** 2)
    north = radians(coarse(latitude) - latitude) * meridian
    east = radians(coarse(longitude) - longitude) * parallel
    assert hypot(north, east) <= UNCERTAINTY
    assert len(f"{coarse(latitude)}".partition(".")[2]) == 1 and abs(coarse(latitude)) <= 90 and abs(coarse(longitude)) <= 180
