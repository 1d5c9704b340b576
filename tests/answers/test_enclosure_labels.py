"""Labels as text: narrow lines, who is in it, since when, on what, and what to watch for."""

from __future__ import annotations

import pytest

from nurserytui.answers.enclosure_labels import WIDTH, wrapped

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by\n"


def test_a_label_an_occupied_enclosure_each_line_narrow(ask, small):
    answer = ask("headcount", "labels for the cages")
    occupied = {key.enclosure for key, _ in small.heads()}
    assert {item["name"] for item in answer.items} == occupied
    assert answer.values["labels"].value == len(occupied)
    for item in answer.items:
        assert all(len(line) <= WIDTH for line in item["label"].split("\n"))


def test_what_stands_on_one(ask):
    answer = ask("headcount", "label for box B", enclosures=("box B",))
    # of the 28 that hatched ten were moved to box A on 26 July, four of those to box B on 1 August
    assert answer.items[0]["label"].split("\n")[:7] == [
        "BOX B",
        "fennel-2: eastern black",
        "  swallowtail",
        "  Papilio polyxenes",
        "  ~4 larvae",
        "  laid 2031-07-20",
        "  here since 2031-08-01",
    ]
    assert answer.about == {"enclosure": "box B"} and answer.values["count"].value == 4


def test_the_watch_is_on_it(ask):
    label = ask("headcount", "label for box C", enclosures=("box C",)).items[0]["label"]
    assert "! WATCH virus until 2031-08-" in label


def test_what_is_lacking_is_said(ask, keeping):
    rows = HEAD + "2031-08-01,found,U,,unknown,larva,,2,pot 1,,,,,\n2031-08-01,found,V,,Pieris rapae,larva,,2,,,,,,\n"
    answer = ask("headcount", "print labels", nursery=keeping.nursery(rows))
    assert "species unknown" in answer.items[0]["label"] and "plant: ___" in answer.items[0]["label"]
    assert answer.text.endswith("Not in the records: the plant of U; the species of U; the enclosure of V.")


def test_nobody_no_label(ask, keeping):
    rows = HEAD + "2031-08-01,found,V,,Pieris rapae,larva,,2,,,,,,\n"
    answer = ask("headcount", "print labels", nursery=keeping.nursery(rows))
    assert answer.text.startswith("No label: no enclosure is recorded for V.") and answer.values["labels"].value == 0


@pytest.mark.parametrize("line", ["how many are in the jar, its label has washed off", "who is in the jar without a label"])
def test_a_count_for_which_a_label_is_the_reason_stays_a_count(ask, line):
    assert "labels" not in ask("headcount", line, enclosures=("jar",)).values


def test_a_long_name_is_broken_within_the_width():
    assert wrapped("  Pseudabcdefghijklmnopqrstuvwxyzabcdefghij") and all(len(part) <= WIDTH for part in wrapped("x" * 70))


def test_two_of_a_species_have_each_their_lines_and_a_change_of_stage_is_no_arrival(ask, keeping):
    rows = HEAD + (
        "2031-07-20,found,A,,Vanessa atalanta,larva,5,2,tub 1,,Urtica dioica,,,\n"
        "2031-07-20,found,B,,Vanessa atalanta,larva,5,1,tub 1,,Urtica dioica,,,\n"
        "2031-07-28,pupated,A,,,,,2,tub 1,,,,,\n"
    )
    lines = (
        ask("headcount", "label for tub 1", nursery=keeping.nursery(rows), enclosures=("tub 1",)).items[0]["label"].split("\n")
    )
    assert lines.count("  Vanessa atalanta") == 2 and lines.count("  found 2031-07-20") == 2
    assert not [line for line in lines if "here since" in line]
