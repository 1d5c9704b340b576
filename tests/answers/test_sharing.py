"""Animals that should not share an enclosure: what is found, and that the sentence offered puts it right."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from record_nursery import MemoryStore  # noqa: E402

from nurserytui.answers import sharing  # noqa: E402
from nurserytui.assistant import Assistant  # noqa: E402
from nurserytui.knowledge.base import load  # noqa: E402
from nurserytui.nursery import Nursery  # noqa: E402
from nurserytui.records.events import Event  # noqa: E402

NOW = datetime(2031, 8, 10, 9, 0)
SWALLOWTAIL, LADY, ZEBRA, MONARCH = "Papilio polyxenes", "Vanessa cardui", "Protographium marcellus", "Danaus plexippus"


def found(label, stage="larva", count=3, place="tub 1", instar=None, species=SWALLOWTAIL, host="", when="2031-08-10T08:00"):
    return Event(when, "found", label, species=species, stage=stage, instar=instar, count=count, enclosure=place, host=host)


def holds(place, volume):
    return Event("2031-08-01", "setting", enclosure=place, detail=f"volume={volume}")


VIRUS = Event("2031-08-08T10:00", "died", "S", stage="larva", count=1, enclosure="tub 1", detail="virus")
SICK = found("S", count=4, instar=5, when="2031-08-06T08:00")


def kept(*events) -> Nursery:
    return Nursery(MemoryStore(events), load(), NOW)


CASES = [
    ("adults-with-larvae", 1, ("A", "B"), [found("A", "adult", 2), found("B")]),
    ("adults-with-larvae", 1, ("A", "B"), [found("A", "adult", 2), found("A", "adult", 1, "tent"), found("B", "egg", 5)]),
    ("large-with-small", 2, ("B", "A"), [found("A", instar=5), found("B", instar=1, species=LADY)]),
    ("large-with-small", 2, ("A",), [found("A", instar=5), found("A", instar=2)]),
    ("large-with-small", 2, ("B", "A"), [found("A", instar=5), found("B", instar=1, species=LADY), found("B", instar=2, count=4, species=LADY)]),
    ("large-with-small", 2, ("A",), [found("A", instar=5), found("A", instar=2), found("A", instar=1, count=2)]),
    ("cannibals", 1, ("Z",), [found("Z", count=2, instar=3, species=ZEBRA), found("Z", count=1, instar=4, species=ZEBRA)]),
    ("too-full", 2, ("A",), [found("A", count=3, instar=5), found("A", count=3, instar=4), holds("tub 1", "4 L")]),
    ("eggs-with-larvae", 2, ("B", "A"), [found("A", instar=4), found("B", "egg", 6)]),
    ("eggs-with-larvae", 2, ("M",), [found("M", "egg", 6, species=MONARCH), found("M", instar=1, species=MONARCH)]),
    ("cannibals", 1, ("Z",), [found("Z", count=4, instar=3, species=ZEBRA)]),
    ("too-full", 2, ("A",), [found("A", count=5, instar=5), holds("tub 1", "3 L")]),
    ("too-full", 1, ("B", "A"), [found("A", count=3, instar=5), found("B", count=4, instar=4, species=LADY), holds("tub 1", "2 L")]),
    ("suspects-with-healthy", 1, ("H", "S"), [SICK, VIRUS, found("H", count=3, instar=5, when="2031-08-09T08:00", species=LADY)]),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "priority", "animals", "events"), CASES)
def test_what_is_found_is_put_right_by_its_own_sentence(kind, priority, animals, events):
    nursery = kept(*events)
    one = next(friction for friction in sharing.frictions(nursery) if friction.kind == kind)
    assert (one.priority, one.animals, one.enclosure) == (priority, animals, "tub 1")
    assert nursery.knowledge.rule(one.rule) is not None and one.reason and one.todo
    before = sum(count for _, count in nursery.heads())
    answer = Assistant(nursery).reply(one.record)
    assert answer.status == "recorded", (one.record, answer.text)
    assert not [friction for friction in sharing.frictions(nursery) if friction.kind == kind], one.record
    assert sum(count for _, count in nursery.heads()) == before - (2 if kind == "adults-with-larvae" else 0)


@pytest.mark.parametrize(
    "events",
    [
        [found("A", instar=5), found("B", instar=5, species=LADY, host="Cirsium vulgare")],
        [found("A", instar=5), found("B", instar=4)],
        [found("A", instar=2), found("B", instar=3)],
        [found("A", "pupa"), found("B", instar=4)],
        [found("A", "egg", host="Foeniculum vulgare"), found("B", species=LADY, host="Cirsium vulgare")],
        [found("A", "adult", place="tent"), found("B")],
        [found("Z", count=1, instar=3, species=ZEBRA)],
        [found("A", count=3, instar=5), holds("tub 1", "3 L")],
        [found("A", count=30, instar=5)],
        [],
    ],
    ids=["hosts", "near", "small", "pupae", "two plants", "apart", "one", "just full", "no volume", "empty"],
)
def test_what_may_share(events):
    assert sharing.frictions(kept(*events)) == []


def test_adults_that_were_tested_positive_are_not_let_go():
    tested = Event("2031-08-10T08:30", "tested", "A", detail="heavy")
    (one,) = sharing.frictions(kept(found("A", "adult", 2, species=MONARCH), found("B"), tested))
    assert one.record.startswith("moved 2 adults of A") and "not released" in one.todo


def test_no_two_reasons_send_animals_to_the_same_place():
    nursery = kept(found("A", instar=5), found("B", instar=1), found("C", "egg", 4), found("D", "adult", 1), found("E", instar=1))
    targets = [one.record.rpartition(" to ")[2] for one in sharing.frictions(nursery) if one.record.startswith("moved")]
    assert len(targets) == len(set(targets)) >= 3


def test_an_empty_tub_is_offered_only_when_it_is_clean():
    gone = [
        found("S", count=2, place="tub 2", when="2031-08-06T08:00"),
        Event("2031-08-08T10:00", "died", "S", stage="larva", count=2, enclosure="tub 2", detail="virus"),
    ]
    mixed = [found("A", instar=5), found("B", instar=1)]
    dirty = sharing.frictions(kept(*gone, *mixed))[0].record
    clean = sharing.frictions(kept(*gone, Event("2031-08-09T10:00", "cleaned", enclosure="tub 2"), *mixed))[0].record
    assert (dirty.rpartition(" to ")[2], clean.rpartition(" to ")[2]) == ("tub 3", "tub 2")


# As it is asked -----------------------------------------------------------------------------------------------------------


def say(text, *events):
    return Assistant(kept(*events)).reply(text)


TWO = [found("A", count=3, instar=5), found("B", count=2, instar=5, place="tub 2", species=LADY), holds("tub 2", "10 L")]


@pytest.mark.parametrize(
    ("text", "events", "share", "said"),
    [
        ("can I put A with B", TWO, "yes", "5 of 10 L"),
        ("may I merge tub 1 and tub 2", TWO, "yes", "different species"),
        ("can A share with B", [found("A", instar=5), found("B", instar=1, place="tub 2")], "no", "large larvae bite or eat"),
        ("can I put A in with B", [found("A", "adult", 2), found("B", place="tub 2")], "no", "adults carry spores"),
        ("may I merge tub 1 and tub 2", [SICK, VIRUS, found("H", place="tub 2", instar=5)], "no", "tub 1 is watched for virus until"),
        ("can I move H into tub 1", [SICK, VIRUS, found("H", place="tub 2", instar=5)], "no", "tub 1 is watched for virus"),
        ("can I put A in with B", [found("A", instar=5), found("B", count=4, instar=5, place="tub 2"), holds("tub 2", "5 L")], "no", "140 % full"),
    ],
)  # fmt: skip
def test_whether_two_may_share(text, events, share, said):
    answer = say(text, *events)
    assert (answer.status, answer.topic, answer.values["share"].value) == ("answered", "density", share), answer.text
    assert answer.text.startswith("Yes" if share == "yes" else "No") and said in answer.text
    assert {"capacity", "present"} <= set(answer.values)


@pytest.mark.parametrize(
    ("text", "topic", "share"),
    [
        ("can adults stay with larvae", "hygiene", "no"),
        ("can I leave the eggs with the larvae", "density", "no"),
        ("can pupae stay with larvae", "density", "yes"),
        ("can big and small caterpillars share a tub", "density", "no"),
        ("can I keep different species together", "density", "yes"),
    ],
)
def test_who_may_share_in_general(text, topic, share):
    answer = say(text, found("A"))
    assert (answer.topic, answer.values["share"].value) == (topic, share) and answer.sources


@pytest.mark.parametrize(
    "text", ["which animals should not share a cage", "should anything be separated", "which animals shouldn't be kept together"]
)
def test_all_that_should_not_share_is_listed_with_what_to_send(text):
    events = [found("A", "adult", 2), found("B")]
    answer = say(text, *events)
    assert answer.topic == "density" and answer.values["count"].value == 1 and answer.items[0]["record"] == "released 2 A"
    assert say(text, found("B")).text.startswith("None")


@pytest.mark.parametrize(
    ("text", "lacking"),
    [
        ("can I put X with Y", "X or Y"),
        ("can X and Y share", "X or Y"),
        ("can A and Y share", "Y"),
        ("may A go in with B", ""),
        ("can a larva share with a pupa", ""),
    ],
)
def test_a_cohort_that_is_not_there_is_named_with_those_that_are(text, lacking):
    answer = say(text, *TWO)
    if lacking:
        assert (
            answer.status == "clarify"
            and f"There is no cohort {lacking} in the records; with animals now there are A and B" in answer.text
        )
    else:
        assert "There is no cohort" not in answer.text
