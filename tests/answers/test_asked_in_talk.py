"""Questions about the keeper's own animals as they are typed, alone and behind other lines: what is answered, and that nothing is written."""

from __future__ import annotations

import re
import sys
from datetime import datetime
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from record_nursery import MemoryStore  # noqa: E402

from nurserytui.assistant import Assistant  # noqa: E402
from nurserytui.knowledge.base import load  # noqa: E402
from nurserytui.nursery import Nursery  # noqa: E402
from tests.answers.conftest import read  # noqa: E402

KNOWLEDGE = load()

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note\n"
NOW = "2033-07-14T09:00"
ROWS = """2032-07-04,found,poly-32,,Antheraea polyphemus,larva,4,9,willow sleeve,,,,
2032-07-20,died,poly-32,,,larva,,2,willow sleeve,,,wasps,
2032-08-10,pupated,poly-32,,,,,7,willow sleeve,,,,
2032-11-01T10:00,moved,poly-32,,,,,7,willow sleeve,larder box,,,
2033-05-02T10:00,moved,poly-32,,,,,7,larder box,balcony net,,,
2033-06-08,emerged,poly-32,,,,,5,balcony net,,,,
2033-06-09,released,poly-32,,,adult,,5,balcony net,,,,
2033-07-05T09:00,laid,dill-33,,Papilio polyxenes,egg,,12,cup A,,Anethum graveolens,,
2033-07-09T08:00,hatched,dill-33,,,,,10,cup A,,,,
2033-07-11T08:00,moved,dill-33,,,larva,,10,cup A,tray 2,,,
2033-07-12,found,nettle-33,,Vanessa atalanta,larva,3,6,tray 2,,Urtica dioica,,
2033-07-13T12:00,laid,cab-33,,Pieris rapae,egg,,15,cup B,,Brassica oleracea,,
2033-07-10,cleaned,,,,,,,tray 2,,,,
2033-07-13T06:00,temperature,,,,,,,balcony net,,,13 C,
2033-07-13T15:00,temperature,,,,,,,balcony net,,,29 C,
"""


def said(dialogue: str):
    """The last answer of a dialogue, its lines parted by ` / `."""
    talk = Assistant(Nursery(MemoryStore(read(HEAD + ROWS)), KNOWLEDGE, datetime.fromisoformat(NOW)))
    return [talk.reply(line) for line in dialogue.split(" / ")][-1]


LOOKED_AHEAD = """\
dill-33 third instar when | in instar 3
when does nettle-33 get to L5 | in instar 5
how long until the dill-33 larvae are in fourth | in instar 4
second moult of dill-33, when | in instar 3
when will nettle-33 be in its last instar | in instar 5
cab-33 2nd instar when | in instar 2
cab-33 eggs, when are they first instar | should hatch
date of the first nettle-33 chrysalis | should pupate
cab-33 first caterpillar date | should hatch
date of the first butterfly from dill-33 | should emerge
"""


@pytest.mark.parametrize("row", LOOKED_AHEAD.splitlines())
def test_a_change_that_is_to_come_is_forecast(row):
    line, words = row.split(" | ")
    answer = said(line)
    assert (answer.status, answer.topic) == ("answered", "stage-forecast") and words in answer.text, answer.text
    assert answer.values["first"].value >= NOW[:10]


def test_an_instar_farther_ahead_comes_later():
    days = [said(f"dill-33 {name} instar when").values["days_left"].value for name in ("second", "third", "fourth", "fifth")]
    assert days == sorted(days) and days[0] < days[-1] < said("when will dill-33 pupate").values["days_left"].value


TOLD = """\
which day did I bring in the poly-32 larvae | history | 2032-07-04
when did we carry nettle-33 home | history | 2033-07-12
tray 2 last scrubbed | hygiene | 2033-07-10
tray 2 last wiped down | hygiene | 2033-07-10
last wash-out of tray 2? | hygiene | 2033-07-10
nettle-33 last bleach-out? | hygiene | tray 2
balcony net, the lowest it sank to | temperature | lowest 13
the furthest it fell in the balcony net | temperature | lowest 13
highest it rose to in the balcony net | temperature | highest 29
when did cab-33 hatch | history | Not yet
what part of poly-32 reached the chrysalis stage | survival | 7 of 9 animals
how many poly-32 got as far as pupae in the end | survival | 7 of 9 animals
"""


@pytest.mark.parametrize("row", TOLD.splitlines())
def test_what_was_is_told_and_nothing_is_written(row):
    line, topic, words = row.split(" | ")
    answer = said(line)
    assert (answer.status, answer.topic) == ("answered", topic) and re.search(words, answer.text), answer.text


@pytest.mark.parametrize("line", ["Q due when", "Z 4th instar when", "when will Q be ready", "when is V due"])
def test_a_letter_that_nobody_has_is_asked_about(line):
    answer = said(line)
    assert answer.status == "clarify" and "is not in the records" in answer.text


BALANCES = """\
2 nettle-33 larvae died / so nettle-33 stands at | 4
2 nettle-33 larvae died / which leaves | 4
2 nettle-33 larvae died / that makes how many for tray 2 | 14
2 nettle-33 larvae died / what does that bring tray 2 to | 14
3 cab-33 eggs were duds / so how many does that leave in there | 12
3 cab-33 eggs hatched / eggs down to | 12
3 cab-33 eggs hatched / cab-33 now at | 15
one nettle-33 larva is missing / so we are at | 5
dill-33 down to? | 12
moved 4 dill-33 larvae from tray 2 to cup B / which puts cup B at | 19
"""


@pytest.mark.parametrize("row", BALANCES.splitlines())
def test_what_is_left_by_what_was_told(row):
    dialogue, count = row.split(" | ")
    answer = said(dialogue)
    assert (answer.status, answer.topic, answer.values["count"].value) == ("answered", "headcount", int(count)), answer.text


PARTS = """\
history of poly-32 / now dill-33, hatching only | history | 10 eggs hatched
what happened to poly-32 / only moves | history | larder box
survival of poly-32 / dill-33, hatching alone please | survival | 10 of 10 eggs
what eats dill / what's the reason for number two | explain | stands there because
what needs doing / why number two | explain | rank 2
what needs doing / grounds for the third? | explain | rank 3
where is nettle-33 / anyone sharing that one with them? | headcount | dill-33
who shares a tray with nettle-33 | headcount | 10 other animals
degree-days in the balcony net, base 10 | temperature | above 10 °C
degree-days for the balcony net above 50 | temperature | above 10 °C
heat units of the balcony net, threshold of 8.5 | temperature | above 8.5 °C
history of poly-32 / just the emergences | history | 5 pupae emerged
where is poly-32 / how many came out | history | 5 animals of poly-32 emerged
how many dill-33 / and pupated? | history | none pupated
how many eggs of dill-33 / and when do the rest hatch | stage-forecast | dill-33
when does cab-33 hatch / last one? | stage-forecast | cab-33
when does cab-33 hatch / so how many days | stage-forecast | cab-33
when does cab-33 hatch / how many days left | stage-forecast | cab-33
how many days has poly-32 been a pupa | history | 2032-08-10
who was with nettle-33 in tray 2 | headcount | 10 other animals
what came in this week | history | nettle-33
nettle-33 count, tray 2 alone | headcount | 6 larvae
is nettle-33 alone in tray 2 | headcount | 10 other animals
how many eggs in all the cups | headcount | 17 eggs in cup A and cup B
6 % at 1:30, how strong / 8.25 % at 1:20, how strong | dilution | 4,125 ppm
what strength is 5.25 % at 1:25 | dilution | 2,100 ppm
"""


@pytest.mark.parametrize("row", PARTS.splitlines())
def test_what_goes_on_from_an_answer(row):
    dialogue, topic, words = row.split(" | ")
    answer = said(dialogue)
    assert (answer.status, answer.topic) == ("answered", topic) and words in answer.text, answer.text


def test_sexes_are_no_count_of_the_ledger():
    answer = said("how many females are in tray 2")
    assert answer.status == "unknown" and answer.topic == "headcount" and "without their sex" in answer.text
