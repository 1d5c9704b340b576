"""Two keepers' records become one, event by event: nothing twice, nothing written while they disagree, in whatever order."""

from __future__ import annotations

import hashlib
import os
from datetime import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nurserytui.exports.events_table import export_csv
from nurserytui.exports.everything import export_everything
from nurserytui.records.events import Event
from nurserytui.records.import_options import Options
from nurserytui.records.import_preview import look
from nurserytui.records.importing import import_file
from nurserytui.records.ledger import replay
from nurserytui.records.readings import Reading
from nurserytui.records.store import Store, StoreError

BEGUN = [
    Event("2031-05-01T10:00", "laid", "A", species="Pieris rapae", count=30, enclosure="jar"),
    Event("2031-05-01T11:00", "found", "B", species="Vanessa atalanta", stage="larva", count=10, enclosure="tub"),
    Event("2031-05-01T12:00", "setting", detail="units=C"),
]
FORMS = {"lines.jsonl": export_everything, "events.csv": export_csv}


@pytest.fixture
def keepers(tmp_path):
    """Two nurseries that began from the same records, in files."""
    with Store.open(tmp_path / "north.db") as north, Store.open(tmp_path / "south.db") as south:
        events = north.append(BEGUN).events
        south.append(events)
        yield north, south


def given_to(source, target, folder, form="lines.jsonl", **options):
    """The report of importing what one nursery has into the other."""
    file = source.path if form == "db" else folder / form
    if form != "db":
        FORMS[form](source, file)
    return import_file(file, target, options=Options(**options))


def ids(store) -> set[str]:
    return {event.id for event in store.events()}


@pytest.mark.parametrize("form", ["lines.jsonl", "events.csv", "db"])
def test_what_one_keeper_wrote_comes_to_the_other_once(keepers, tmp_path, form):
    north, south = keepers
    north.append([Event("2031-05-03T09:00", "hatched", "A", count=4)])
    south.append([Event("2031-05-04", "found", "S", species="Aglais io", stage="larva", count=2, enclosure="box")])
    wrong = south.append([Event("2031-05-05", "died", "B", stage="larva", count=1)]).events[0]
    south.append([Event("2031-05-06", "withdrawn", withdraws=wrong.id), wrong._replace(count=2, id="", group="")])
    assert given_to(south, north, tmp_path, form)[:4] == ("events", 4, 3, ())
    assert given_to(north, south, tmp_path, form)[:4] == ("events", 1, 7, ())
    assert ids(north) == ids(south) and north.heads() == south.heads()
    for source, target in ((north, south), (south, north)):
        assert given_to(source, target, tmp_path, form)[:4] == ("events", 0, 8, ())


@pytest.mark.parametrize("form", ["lines.jsonl", "db"])
def test_everything_reads_back_to_an_identical_nursery_with_its_readings(keepers, tmp_path, form):
    north, _ = keepers
    north.append(
        [Event("2031-01-01", "setting", detail="timezone=Europe/Paris"), Event("2031-06-01", "note", note="“é\u200d”\n=1")]
    )
    folds = [datetime(2031, 10, 26, 2, minute, fold=fold) for minute in (30, 45) for fold in (0, 1)]
    north.append([], readings=[Reading(when, "shed", 10.0 + at, 11.5 + at) for at, when in enumerate(folds)])
    with Store.open(tmp_path / "copy.db") as copy:
        report = given_to(north, copy, tmp_path, form)
        assert report[:7] == ("events", 5, 0, (), (), 4, 0)
        assert copy.events() == north.events() and copy.heads() == north.heads()
        export_everything(copy, tmp_path / "again.jsonl")
        export_everything(north, tmp_path / "lines.jsonl")
        assert (tmp_path / "again.jsonl").read_bytes() == (tmp_path / "lines.jsonl").read_bytes()
        assert given_to(north, copy, tmp_path, form)[5:7] == (0, 4)


def test_the_other_nursery_is_only_read(keepers, tmp_path):
    north, south = keepers
    north.append([Event("2031-05-03", "fed", enclosure="jar")])
    north.close()
    before = {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in tmp_path.iterdir() if "north" in path.name}
    (tmp_path / "north.db").chmod(0o444)
    assert import_file(tmp_path / "north.db", south).added == 1
    assert {
        path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in tmp_path.iterdir() if "north" in path.name
    } == before


def test_what_is_no_nursery_or_is_the_nursery_itself_is_told(keepers, tmp_path):
    north, _ = keepers
    assert "this is the nursery itself" in str(import_file(tmp_path / "north.db", north).faults[0])
    (tmp_path / "other.db").write_bytes(b"SQLite format 3\0" + b"\0" * 4000)
    with pytest.raises(StoreError):
        import_file(tmp_path / "other.db", north)


def test_one_event_with_two_contents_is_told_with_both_versions_and_nothing_is_written(keepers, tmp_path):
    north, south = keepers
    north.append([Event("2031-05-03", "died", "A", count=1, id="e1"), Event("2031-05-03", "fed", enclosure="jar", id="e2")])
    south.append([Event("2031-05-03", "died", "A", count=2, id="e1"), Event("2031-05-04", "fed", enclosure="tub", id="e3")])
    report = given_to(south, north, tmp_path)
    assert [fault.column for fault in report.faults] == ["id"]
    assert (
        "event e1 is on record with other content: count is 1 here and 2 in the file (here: 2031-05-03 died"
        in report.faults[0].reason
    )
    assert ids(north) == {event.id for event in replay(north.events()).events} and "e3" not in ids(north)


def test_a_label_that_stands_for_other_animals_is_a_conflict_until_it_is_called_otherwise(keepers, tmp_path):
    north, south = keepers
    for store, species in ((north, "Aglais io"), (south, "Aglais io")):
        store.append([Event("2031-05-03T10:00", "found", "C", species=species, stage="larva", count=2, enclosure="box")])
    south.append([Event("2031-05-04T10:00", "split", "C", count=1, to="D"), Event("2031-05-05T10:00", "pupated", "c", count=1)])
    report = given_to(south, north, tmp_path)
    assert [fault.column for fault in report.faults] == ["cohort"]
    assert (
        "cohort C is there already with other animals: import with --cohort C=C-2 (here: 2031-05-03T10:00 found"
        in report.faults[0].reason
    )
    assert given_to(south, north, tmp_path, cohorts={"c": "south-C"}).added == 3
    assert given_to(south, north, tmp_path, cohorts={"c": "south-C"})[1:4] == (0, 6, ())
    assert sorted(replay(north.events()).cohorts) == ["A", "B", "C", "D", "south-C"]
    forgotten = given_to(south, north, tmp_path)
    assert "cohort C of the file is called south-C here (3 events): import with --cohort C=south-C" in forgotten.faults[0].reason
    back = given_to(north, south, tmp_path, cohorts={"south-C": "C", "C": "north-C"})
    assert back[1:4] == (1, 6, ()) and sum(north.heads().values()) == sum(south.heads().values())
    assert "there is no cohort Q in the file" in str(given_to(north, south, tmp_path, cohorts={"Q": "R"}).faults[0])


def test_rows_written_by_hand_add_to_a_cohort_that_is_there_and_that_is_noted(load):
    load("when,what,cohort,species,count\n2031-06-01,laid,B,Pieris rapae,3\n")
    report = load("when,what,cohort,species,count\n2031-06-02,laid,B,Pieris rapae,4\n")
    assert report.added == 1 and "line 2: cohort B was there already (2031-06-01 laid" in report.warnings[0]
    assert sum(load.store.heads().values()) == 7


def test_settings_that_disagree_stay_as_they_are_and_are_told(keepers, tmp_path):
    north, south = keepers
    north.append([Event("2031-05-02", "setting", detail="place=North hill"), Event("2031-05-02", "setting", detail="dates=day")])
    south.append(
        [Event("2031-05-03", "setting", detail="place=South bank"), Event("2031-05-03", "setting", detail="season-start=4")]
    )
    south.append([Event("2031-05-04", "setting", detail="units=F")])  # whoever knew of C changed it
    report = given_to(south, north, tmp_path)
    assert report[:4] == ("events", 2, 3, ())
    assert report.warnings == (
        "setting place=South bank of the file was left out: here it is place=North hill; --settings theirs takes it",
    )
    told = north.settings()
    assert (told.place, told.season_start, told.units, told.dates) == ("North hill", 4, "F", "day")
    assert given_to(south, north, tmp_path)[1:4] == (0, 5, ())
    assert given_to(south, north, tmp_path, settings="theirs").added == 1 and north.settings().place == "South bank"


def test_what_both_withdrew_is_withdrawn_and_what_both_corrected_is_a_conflict(keepers, tmp_path):
    north, south = keepers
    (wrong, other) = north.append([Event("2031-05-03", "died", "A", count=1), Event("2031-05-03", "died", "B", count=1)]).events
    assert given_to(north, south, tmp_path).added == 2
    for store in keepers:
        store.append([Event("2031-05-04", "withdrawn", withdraws=wrong.id)])
    assert given_to(south, north, tmp_path).added == given_to(north, south, tmp_path).added == 1
    assert ids(north) == ids(south) and north.heads() == south.heads()
    for store, number in ((north, 2), (south, 3)):
        store.append([Event("2031-05-05", "withdrawn", withdraws=other.id), other._replace(count=number, id="", group="")])
    report = given_to(south, north, tmp_path)
    assert (
        len(report.faults) == 1
        and "was corrected by both of you (here: 2031-05-03 died, cohort B, stage larva, count 2" in report.faults[0].reason
    )


def test_what_both_may_have_told_is_noted(keepers, tmp_path):
    north, south = keepers
    for store in keepers:
        store.append([Event("2031-05-03", "died", "B", count=1)])
    report = given_to(south, north, tmp_path)
    assert report.added == 1 and "is told here too; if it is one event, take one back" in report.warnings[0]


def test_readings_of_another_nursery_that_disagree_are_told_and_ours_stay(keepers, tmp_path):
    north, south = keepers
    for store, value in ((north, 20.0), (south, 21.0)):
        store.add_readings([Reading(datetime(2031, 5, 1, hour), "shed", value, value) for hour in (8, 9)])
    report = given_to(south, north, tmp_path)
    assert (report.readings_added, report.readings_known) == (0, 2) and report.warnings[0].startswith(
        "line 5: another value of shed at 2031-05-01 08:00"
    )
    assert {reading.low for reading in north.readings()} == {20.0}


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("{", "the line is no JSON object, or was cut off"),
        ("[" * 100_000, "the line is no JSON object"),
        ("3", "the line is no JSON object"),
        ('{"x": 1}', "this is neither an event nor a reading"),
        ('{"event": 3}', "event: the event is no JSON object"),
        ('{"event": {"when": "2031-05-02", "what": "fed", "enclosure": "jar"}}', "id: the id is not said"),
        ('{"event": {"when": "2031-05-02", "what": "fed", "enclosure": ["jar"], "id": "x"}}', "enclosure: this is no text"),
        ('{"event": {"when": "2031-05-02", "what": "fed", "enclosure": "j\\u202ear", "id": "x"}}', "enclosure: there is an invisible sign"),
        ('{"event": {"when": "4/6/2031", "what": "fed", "enclosure": "jar", "id": "x"}}', "when: '4/6/2031' is no date"),
        ('{"event": {"when": "2031-05-02", "what": "died", "cohort": "A", "count": 1.5, "id": "x"}}', "count: 1.5 is no count"),
        ('{"event": {"when": "2031-05-02", "what": "died", "cohort": "A", "count": true, "id": "x"}}', "count: True is no count"),
        ('{"event": {"when": "2031-05-02", "what": "died", "cohort": "A", "count": 31, "id": "x"}}', "cohort A has 30 eggs, not 31"),
        ('{"event": {"when": "2031-05-02", "what": "note", "note": "x", "cage": "jar", "id": "x"}}', "cage: this is none of our columns"),
        ('{"event": {"when": "2031-05-02", "what": "note", "note": "x", "latitude": NaN, "id": "x"}}', "latitude: nan is no latitude"),
        ('{"reading": {"time": "2031-05-02T08:00", "place": "shed", "low": 20, "high": 19}}', "reading: the low 20 lies above the high 19"),
        ('{"reading": {"time": "2031-05-02T08:00", "place": "shed", "low": 85, "high": 85}}', "a sensor that failed"),
        ('{"reading": {"time": 5, "place": "shed", "low": 20, "high": 20}}', "5 is no time"),
        ('{"reading": {"time": "2031-05-02T08:00", "place": "shed", "low": "20", "high": 20}}', "'20' is no temperature"),
        ('{"reading": {"time": "2031-05-02T08:00", "place": "", "low": 20, "high": 20}}', "the place is not said"),
        ('{"nursery": {"version": 99}}', "written by a newer version"),
    ],
)  # fmt: skip
def test_a_bad_line_is_told_and_leaves_the_nursery_as_it_was(keepers, tmp_path, line, words):
    north, south = keepers
    south.append([Event("2031-05-03", "fed", enclosure="tub")])
    south.add_readings([Reading(datetime(2031, 5, 1), "shed", 20, 20)])
    export_everything(south, tmp_path / "lines.jsonl")
    lines = (tmp_path / "lines.jsonl").read_text().splitlines()
    (tmp_path / "lines.jsonl").write_text("\n".join([*lines[:-1], line, lines[-1], ""]))
    before = north.events(), north.heads(), north.readings()
    report = import_file(tmp_path / "lines.jsonl", north)
    assert [fault.line for fault in report.faults] == [len(lines)] and words in str(report.faults[0])
    assert (north.events(), north.heads(), north.readings()) == before


def test_a_file_without_its_first_line_is_told(keepers, tmp_path):
    north, south = keepers
    export_everything(south, tmp_path / "lines.jsonl")
    lines = (tmp_path / "lines.jsonl").read_text().splitlines(keepends=True)
    (tmp_path / "lines.jsonl").write_text("".join(lines[1:]))
    assert "its first line is missing" in str(import_file(tmp_path / "lines.jsonl", north).faults[0])


def test_a_look_shows_what_would_come_and_changes_nothing(keepers, tmp_path):
    north, south = keepers
    south.append([Event("2031-05-03T09:00", "hatched", "A", count=4)])
    export_everything(south, tmp_path / "lines.jsonl")
    before = (tmp_path / "north.db").read_bytes()
    report, lines = look(tmp_path / "lines.jsonl", tmp_path / "north.db", Options())
    assert report[:3] == ("events", 1, 3)
    assert lines == [
        "From 2031-05-03 to 2031-05-03: 1 hatched.",
        "  2031-05-03T09:00 hatched, cohort A, count 4, enclosure jar",
        "cohort A in jar: 30 eggs would become 26",
        "cohort A in jar: 0 larvae would become 4",
    ]
    assert (tmp_path / "north.db").read_bytes() == before and len(north.events()) == 3
    assert look(tmp_path / "lines.jsonl", tmp_path / "none.db", Options())[0].added == 4
    assert not (tmp_path / "none.db").exists()


# Whatever two keepers write ---------------------------------------------------------------------------------------------------

ACTS = st.sampled_from(("hatched", "died", "moved", "checked", "found", "undo", "correct", "sign"))
TOLD = st.lists(st.tuples(ACTS, st.sampled_from("AB"), st.integers(1, 9), st.sampled_from(("jar", "tub", "box"))), max_size=6)


def write(store, told, keeper: int) -> None:
    """What a keeper tells, as far as it can have happened; every moment is its own."""
    own = []
    for at, (act, cohort, number, place) in enumerate(told):
        when = f"2031-05-{2 + at:02}T{8 + keeper:02}:{at:02}"
        if act in ("undo", "correct"):
            standing = [event for event in store.events() if event.what in ("hatched", "died", "moved")]
            if standing:
                last = standing[number % len(standing)]
                events = [Event(when, "withdrawn", withdraws=last.id)]
                events += [last._replace(count=number, id="", group="")] if act == "correct" else []
                own.append(store.append(events))
            continue
        event = {
            "found": Event(when, "found", f"{keeper}-{at}", species="Aglais io", stage="larva", count=number, enclosure=place),
            "moved": Event(when, "moved", cohort, count=number, to=place),
            "sign": Event(when, "sign", cohort, detail="pale"),
            "checked": Event(when, "checked", cohort),
        }.get(act, Event(when, act, cohort, count=number))
        own.append(store.append([event]))


@settings(max_examples=60 * int(os.environ.get("NURSERY_EXAMPLES", "1")), deadline=None)
@given(common=TOLD, north=TOLD, south=TOLD, form=st.sampled_from(tuple(FORMS)))
def test_two_keepers_end_with_the_same_records_or_are_both_told_why_not(tmp_path_factory, common, north, south, form):
    folder = tmp_path_factory.mktemp("two")
    stores = [Store.memory() for _ in range(3)]
    try:
        first, second, third = stores
        first.append(BEGUN)
        write(first, common, 0)
        for store in (second, third):
            assert not given_to(first, store, folder, form).faults
            assert store.events() == first.events()
        write(first, north, 1)
        write(second, south, 2)
        before = [(store.events(), store.heads()) for store in stores]
        there = given_to(second, first, folder, form)
        if there.faults:
            assert given_to(first, second, folder, form).faults
            assert [(store.events(), store.heads()) for store in stores] == before
            return
        # The third hears of both, in the other order; the second of the first, who knows everything by now.
        assert not given_to(second, third, folder, form).faults
        assert not given_to(first, third, folder, form).faults
        assert not given_to(first, second, folder, form).faults
        assert ids(first) == ids(second) == ids(third)
        assert first.heads() == second.heads() == third.heads()
        for source in stores:
            for target in stores:
                assert given_to(source, target, folder, form)[1] == 0
    finally:
        for store in stores:
            store.close()


def test_a_nursery_of_another_time_zone_is_told_how_its_times_were_taken(keepers, tmp_path):
    north, south = keepers
    north.append([Event("2031-01-01", "setting", detail="timezone=Europe/Berlin")])
    south.append([Event("2031-01-01", "setting", detail="timezone=America/New_York")])
    south.append([Event("2031-06-20T09:00", "cleaned", enclosure="jar"), Event("2031-06-21", "cleaned", enclosure="jar")])
    report = given_to(south, north, tmp_path)
    told = "their nursery lies in America/New_York, yours in Europe/Berlin: 1 new event has a time, which is kept"
    assert not report.faults and any(one.startswith(told) for one in report.warnings)
