"""Questions about the keeper's own animals as they are typed, alone and behind other lines: what is answered, and that nothing is written."""

from __future__ import annotations

import re

import pytest

from nurserytui.assistant import Assistant

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
    from tests.answers.conftest import nursery

    talk = Assistant(nursery(HEAD + ROWS, NOW))
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
