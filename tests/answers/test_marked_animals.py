"""Questions about several animals of a cohort by their marks, about places beside one another, and about all the places of a kind."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from record_nursery import EVENTS, MemoryStore  # noqa: E402
from record_nursery import NOW as NOW_THERE  # noqa: E402

from nurserytui.assistant import Assistant  # noqa: E402
from nurserytui.knowledge.base import load  # noqa: E402
from nurserytui.nursery import Nursery  # noqa: E402
from nurserytui.records.events import Event  # noqa: E402

SLEEVES = (
    Event("2025-08-16", "found", "K", species="Actias luna", stage="larva", instar=2, count=7, enclosure="left sleeve", host="Quercus robur"),
    Event("2025-08-17", "moved", "K", stage="larva", count=1, enclosure="left sleeve", to="right sleeve"),
)  # fmt: skip

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail\n"
NOW = "2031-07-20T09:00"
ROWS = """2031-06-20,found,M,1,Vanessa atalanta,larva,4,1,porch tent,,Urtica dioica,
2031-06-20,found,M,2,Vanessa atalanta,larva,4,1,porch tent,,Urtica dioica,
2031-06-20,found,M,3,Vanessa atalanta,larva,4,1,porch tent,,Urtica dioica,
2031-06-20,found,M,4,Vanessa atalanta,larva,3,1,porch tent,,Urtica dioica,
2031-06-25,found,oak-1,,Actias luna,larva,2,13,left sleeve,,Quercus robur,
2031-06-26,moved,oak-1,,,larva,,5,left sleeve,right sleeve,,
2031-06-27,died,oak-1,,,larva,,2,left sleeve,,,ants
2031-06-28,found,Q,,Aglais io,larva,3,9,tub 1,,Urtica dioica,
2031-06-29,moved,Q,,,larva,,4,tub 1,tub 2,,
2031-07-01,pupated,M,1,,,,1,porch tent,,,
2031-07-02,pupated,M,2,,,,1,porch tent,,,
2031-07-05,died,M,2,,pupa,,1,porch tent,,,wasps
2031-07-06,died,M,3,,larva,,1,porch tent,,,mould
"""


def said(dialogue: str):
    """The last answer of a dialogue, its lines parted by ` / `."""
    from tests.answers.conftest import nursery

    talk = Assistant(nursery(HEAD + ROWS, NOW))
    return [talk.reply(line) for line in dialogue.split(" / ")][-1]


@pytest.mark.parametrize(
    ("dialogue", "topic", "count"),
    [
        ("M1 and M4 count", "headcount", 2),
        ("where are M1 and M2", "headcount", 1),
        ("M1 to M4, who is still here", "headcount", 2),
        ("how many of M1-M4 are caterpillars", "headcount", 1),
        ("M4 and Q how many", "headcount", 10),
        ("M2 and M3 cause of death", "survival", 2),
        ("which of M1 to M3 have died", "survival", 2),
        ("M1 and M4 count / and M4", "headcount", 1),
        ("who shares the porch tent with M4", "headcount", 1),
        ("where is M4 / who do they share with", "headcount", 1),
        ("is Q on its own", "headcount", 0),
        ("does Q share its tub", "headcount", 0),
        ("anyone else in with M4", "headcount", 1),
        ("sleeves total", "headcount", 11),
        ("how many in both sleeves", "headcount", 11),
        ("caterpillars in the tubs", "headcount", 9),
        ("deaths in the sleeves", "survival", 2),
        ("left sleeve / and the right one?", "headcount", 5),
        ("how many in the right sleeve / the other one", "headcount", 6),
        ("larvae in the left sleeve / right one?", "headcount", 5),
    ],
)
def test_those_that_are_named_are_counted(dialogue, topic, count):
    answer = said(dialogue)
    assert (answer.status, answer.topic, answer.values["count"].value) == ("answered", topic, count)


@pytest.mark.parametrize(
    ("line", "event"),
    [
        ("when did tub 1 last have new leaves", "fed"),
        ("when did Q last get leaves", "fed"),
        ("what was tub 2 last given", "fed"),
        ("when was the left sleeve last given water", "watered"),
        ("who was Q given to", "given"),
        ("number let go in 2031", "released"),
    ],
)
def test_what_animals_get_where_they_live_is_no_gift(line, event):
    answer = said(line)
    assert (answer.topic, answer.about["event"]) == ("history", event)


def test_survival_is_that_of_the_animals_named():
    assert said("survival of M2 and M3").values["n"].value == 2


def told(dialogue: str):
    """The same of the nursery of typed records, in which lines are written down."""
    talk = Assistant(Nursery(MemoryStore((*EVENTS, *SLEEVES)), load(), NOW_THERE))
    return [talk.reply(line) for line in dialogue.split(" / ")][-1]


WRITTEN = """\
checked both sleeves, all fine | left sleeve checked, right sleeve checked
fed the sleeves | left sleeve fed, right sleeve fed
sleeves watered | left sleeve watered, right sleeve watered
fresh oak in both sleeves | left sleeve fed, right sleeve fed
N2 L4 now | N2 moulted to instar 4
fennel-2 all L5 now | moulted to instar 5
N1 and N3 both fine | N1 checked, N3 checked
N1-N3 into the pop tent | N1 larva moved, N2 larva moved, N3 larva moved
red admiral larva off the nettles, call it N5, box 4 | larva found
4 of the A larvae become milk-3 | split off as cohort milk-3
moved 2 from the left sleeve to the right one | 2 K larvae moved from left sleeve to right sleeve
3 from left sleeve into right | 3 K larvae moved from left sleeve to right sleeve
moved 2 K from the left sleeve to the other sleeve | 2 K larvae moved from left sleeve to right sleeve
N3 went missing / found N3 again under the lid | N3 larva found again
2 A hatched / caterpillars now | 32 larvae now
"""


@pytest.mark.parametrize("row", WRITTEN.splitlines())
def test_what_is_told_of_marked_animals_and_places_beside(row):
    dialogue, _, expected = row.partition(" | ")
    answer = told(dialogue)
    assert answer.status in ("recorded", "answered")
    assert all(piece in answer.text for piece in expected.split(", ")), answer.text


def test_a_new_animal_keeps_its_mark():
    assert [(item["cohort"], item["mark"]) for item in told("red admiral larva off the nettles, call it N5, box 4").items] == [
        ("N", "5")
    ]
