"""Names of species and host plants in a keeper's table: known ones are recorded as the program knows them, slips are asked about."""

from __future__ import annotations

import pytest

from nurserytui.records.events import Event

HEAD = "when,what,cohort,species,stage,count,host\n"


def table(*names, host=""):
    return HEAD + "".join(f"2031-06-01,found,K{at},{name},larva,3,{host}\n" for at, name in enumerate(names))


@pytest.mark.parametrize(
    ("written", "recorded", "note"),
    [
        ("peacock", "Aglais io", "line 2: peacock is recorded as Aglais io (the name is used of"),
        ("Peacock", "Aglais io", "line 2: Peacock is recorded as Aglais io"),
        ("aglais io", "Aglais io", "line 2: aglais io is recorded as Aglais io"),
        ("Aglais io", "Aglais io", ""),
        ("Danaus", "Danaus", "line 2: Danaus can be Danaus plexippus or"),
        ("Zzyzxia borealis", "Zzyzxia borealis", "line 2: the knowledge base does not know Zzyzxia borealis"),
        ("unknown", "unknown", ""),
    ],
)
def test_a_common_name_is_recorded_under_its_scientific_one(load, written, recorded, note):
    for added in (1, 0):
        report = load(table(written))
        assert (report.added, report.known, report.faults) == (added, 1 - added, ())
        assert not added or "".join(report.warnings).startswith(note)
    assert [event.species for event in load.store.events()] == [recorded]


def test_a_misspelt_species_is_no_new_one(load):
    report = load(table("Agalis io", "Peacok", "Agalis io"))
    assert [(fault.line, fault.column) for fault in report.faults] == [(2, "species"), (3, "species")]
    assert str(report.faults[0]) == (
        "line 2, species: Agalis io is not known; did you mean Aglais io? (2 rows) Change it, or import with "
        '--species "Agalis io"="Aglais io"; --species "Agalis io"="Agalis io" keeps it as it is'
    )
    asked = {"Agalis io": "Agalis io", "peacok": "peacock"}
    assert load(table("Agalis io", "Peacok"), species=asked).added == 2
    assert [event.species for event in load.store.events()] == ["Agalis io", "Aglais io"]
    assert load(table("Agalis io", "Peacok"))[1:4] == (0, 2, ())
    assert load(table("Agalis io", "Peacok", "Agalis io"))[1:4] == (1, 2, ())
    assert "there is no brimstone in the file" in str(load(table("Peacok"), species={"brimstone": "x"}).faults)


def test_names_on_record_stay_as_they_are(load):
    load.store.append([Event("2031-05-01", "found", "K0", species="peacock", stage="larva", count=1)])
    report = load(table("peacock"))
    assert report.added == 1 and load.store.events()[-1].species == "peacock"


def test_a_host_plant_is_named_as_the_program_names_it(load):
    assert load(HEAD + "2031-06-01,found,D,Danaus plexippus,larva,3,the artificial diet\n").warnings == ()
    report = load(table("Danaus plexippus", host="milkweed"))
    assert load.store.events()[-1].host == "Asclepias spp." and "milkweed is recorded as Asclepias spp." in report.warnings[0]
    assert "did you mean fennel?" in str(load(table("Papilio machaon", host="fenel")).faults[0])
