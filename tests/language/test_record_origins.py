"""Where a find was made and by whom, as typed lines tell it; what no part of its record holds stands in the note, word for word."""

from __future__ import annotations

from datetime import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nurserytui.assistant import Assistant
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.store import Store

KNOWLEDGE = load()
NOW = datetime(2026, 6, 20, 9, 0)
FIND = "found 3 Aglais io larvae on nettle"


@pytest.fixture
def talk(tmp_path):
    with Store.open(tmp_path / "nursery.db") as store:
        yield Assistant(Nursery(store, KNOWLEDGE, NOW))


def found(talk: Assistant, line: str):
    answer = talk.reply(line)
    assert answer.status == "recorded", answer.text
    event = talk.nursery.events[-1]
    assert (event.what, event.species, event.count, event.stage, event.host) == (
        "found",
        "Aglais io",
        3,
        "larva",
        "Urtica dioica",
    )
    return event, answer.text


@pytest.mark.parametrize(
    ("said", "place"),
    [
        ("at Spitzberg", "Spitzberg"),
        ("at spitzberg", "spitzberg"),
        ("at Lindenweg 12", "Lindenweg 12"),
        (", jar 1, at Lindenweg 12", "Lindenweg 12"),
        ("at 12 Linden Lane", "12 Linden Lane"),
        ("in Annegret's garden", "Annegret's garden"),
        ("in the old quarry near Lindau", "old quarry near Lindau"),
        ("from Hagen", "Hagen"),
        ("in St. Ingbert, box 3", "St. Ingbert"),
        ("near the bridge", "near the bridge"),
        ("by the river", "by the river"),
        (", place Spitzberg", "Spitzberg"),
        (", jar 1, place: Long Meadow 3", "Long Meadow 3"),
        ("at Spitzberg yesterday", "Spitzberg"),
    ],
)
def test_the_place_of_a_find_is_kept_and_read_back(talk, said, place):
    event, text = found(talk, f"{FIND} {said}")
    assert (event.place, event.note) == (place, "") and f"place: {place}" in text


@pytest.mark.parametrize(
    ("said", "latitude", "longitude"),
    [
        ("at 48.5216, 9.0576", 48.5216, 9.0576),
        (", jar 1 at 48.5216, 9.0576", 48.5216, 9.0576),
        ("at 48.5216 N, 9.0576 E", 48.5216, 9.0576),
        ("at 48.5 N 9.1 E", 48.5, 9.1),
        ("at N 48.5216 W 9.0576", 48.5216, -9.0576),
        ("(-33.86512, 151.20934)", -33.86512, 151.20934),
        ("at 48,5216; 9,0576", 48.5216, 9.0576),
        (", lat 48.5 lon 9.1", 48.5, 9.1),
        (", coordinates: 48.5216, 9.0576, tub 2", 48.5216, 9.0576),
        ("at 48°31'17.8\"N 9°03'27.4\"E", 48.521611, 9.057611),
    ],
)
def test_the_coordinates_of_a_find_are_kept_and_read_back(talk, said, latitude, longitude):
    event, text = found(talk, f"{FIND} {said}")
    assert (event.latitude, event.longitude, event.note) == (latitude, longitude, "")
    assert f"{abs(latitude)} {'S' if latitude < 0 else 'N'}, {abs(longitude)} {'W' if longitude < 0 else 'E'}" in text


def test_coordinates_that_are_nowhere_on_earth_stand_in_the_note(talk):
    event, text = found(talk, f"{FIND} at 95.1234, 9.0576")
    assert event.latitude is None and "95.1234" in event.note and "9.0576" in event.note and event.note in text


@pytest.mark.parametrize(
    ("said", "person"), [("by Jürgen", "Jürgen"), (", jar 1, by Anna Berg", "Anna Berg"), (", by: jo", "jo")]
)
def test_who_made_a_find_is_kept_and_read_back(talk, said, person):
    event, text = found(talk, f"{FIND} {said}")
    assert (event.by, event.note) == (person, "") and f"by: {person}" in text


@pytest.mark.parametrize(
    ("line", "note"),
    [
        ("found 3 tiny Aglais io larvae on nettle, jar 1", "tiny"),
        (f"{FIND} in jar 1 under a leaf", "under a leaf"),
        (f"{FIND} 2 cm long", "2 cm long"),
        (f"{FIND}, jar 1, note: 2 of them grey, one wet", "2 of them grey, one wet"),
        (f"{FIND} in a hurry", "in a hurry"),
        (f"{FIND} in the kitchen", "in the kitchen"),
        (f"{FIND}", ""),
        ("I found today 3 of the Aglais io larvae on a nettle and put them in jar 1", ""),
    ],
)
def test_what_no_part_of_a_find_holds_is_noted_word_for_word(talk, line, note):
    event, text = found(talk, line)
    assert event.note == note and (not note or f"Note: {note}." in text)


def test_an_enclosure_of_the_keeper_is_no_place(talk):
    talk.reply("found 2 Aglais io larvae on nettle in Villa Nova tent")
    talk.reply("moved all of A to Spitzberg")
    for line in (f"{FIND} in tub 4", f"{FIND} in the tall cage"):
        event, _ = found(talk, line)
        assert event.enclosure and not event.place


def test_each_find_of_a_line_has_its_own_place(talk):
    talk.reply("found 3 Aglais io larvae in jar 1 at Spitzberg, 2 Danaus plexippus eggs in jar 2 at Long Meadow")
    assert [(event.species, event.place) for event in talk.nursery.events] == [
        ("Aglais io", "Spitzberg"),
        ("Danaus plexippus", "Long Meadow"),
    ]


def test_what_is_asked_back_keeps_the_place_and_the_note(talk):
    asked = talk.reply("found 3 tiny larvae on nettle at Spitzberg, 48.5216 N, 9.0576 E, by Jürgen, note: wet")
    assert asked.status == "clarify"
    for reply in ("peacock", next(option for option in asked.options if "Aglais io" in option)):
        if reply != "peacock":
            talk.reply("found 3 tiny larvae on nettle at Spitzberg, 48.5216 N, 9.0576 E, by Jürgen, note: wet")
        event, _ = found(talk, reply)
        assert (event.place, event.by, event.latitude, event.longitude, event.note) == (
            "Spitzberg",
            "Jürgen",
            48.5216,
            9.0576,
            "tiny, wet",
        )


def test_a_correction_keeps_the_place_and_the_note(talk):
    talk.reply("found 4 tiny Aglais io larvae on nettle at Spitzberg, 48.5216 N, 9.0576 E, by Jürgen")
    assert talk.reply("no, 3").status == "recorded"
    event = talk.nursery.events[-1]
    assert (event.count, event.place, event.by, event.latitude, event.note) == (3, "Spitzberg", "Jürgen", 48.5216, "tiny")


@settings(max_examples=60, deadline=None)
@given(
    latitude=st.integers(-89999, 89999),
    longitude=st.integers(-179999, 179999),
    words=st.sampled_from(("at ", "", "gps: ", "in jar 1, ")),
)
def test_any_coordinates_come_back(tmp_path_factory, latitude, longitude, words):
    with Store.open(tmp_path_factory.mktemp("any") / "nursery.db") as store:
        talk = Assistant(Nursery(store, KNOWLEDGE, NOW))
        event, _ = found(talk, f"{FIND} {words}{latitude / 1000:.3f}, {longitude / 1000:.3f}")
        assert (event.latitude, event.longitude) == (latitude / 1000, longitude / 1000)


def test_a_second_find_stands_in_the_enclosure_that_is_named_behind_its_plant(talk):
    talk.reply("found 3 Aglais io larvae on nettle, jar 1 and 2 Danaus plexippus eggs on milkweed, jar 2")
    assert [event.enclosure for event in talk.nursery.events] == ["jar 1", "jar 2"]
    talk.reply("found 3 Aglais io larvae on nettle, jar 1 and 2 Danaus plexippus eggs on milkweed")
    assert [event.enclosure for event in talk.nursery.events[2:]] == ["jar 1", "jar 1"]
