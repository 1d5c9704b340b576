"""Lines as keepers type them about their own records: whom they mean, whom they leave out, and what the answer must tell."""

from __future__ import annotations

import re

import pytest

from nurserytui.assistant import Assistant

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by,parent\n"
NOW = "2032-07-20T09:00"
ROWS = """2031-06-01T10:00,laid,rue-1,,Papilio polyxenes,egg,,20,round tent,,Ruta graveolens,,,,
2031-06-07,hatched,rue-1,,,,,18,round tent,,,,,,
2031-06-09,died,rue-1,,,egg,,2,round tent,,,infertile,,,
2031-06-28,pupated,rue-1,,,,,16,round tent,,,,,,
2031-06-29,died,rue-1,,,larva,,2,round tent,,,spider,,,
2031-07-10,emerged,rue-1,,,,,16,round tent,,,,,,
2031-07-11,released,rue-1,,,adult,,13,round tent,,,,,,
2031-07-12,escaped,rue-1,,,adult,,2,round tent,,,,,,
2031-07-13,given,rue-1,,,adult,,1,round tent,,,the museum,,,
2031-08-01,found,dock-1,,Vanessa cardui,larva,3,9,bath,,Cirsium vulgare,,,,
2031-08-15,pupated,dock-1,,,,,7,bath,,,,,,
2031-08-20,missing,dock-1,,,larva,,2,bath,,,,,,
2031-08-26,emerged,dock-1,,,,,6,bath,,,,,,
2031-08-27,died,dock-1,,,pupa,,1,bath,,,mould,,,
2031-08-28,released,dock-1,,,adult,,6,bath,,,,,,
2032-05-20,found,E,,Papilio polyxenes,pupa,,4,pop-up tent,,,,,,
2032-06-20,emerged,E,,,,,3,pop-up tent,,,,,,
2032-06-25T12:00,laid,rue-2,,Papilio polyxenes,egg,,12,square tent,,Ruta graveolens,,,,E
2032-06-26,released,E,,,adult,,3,pop-up tent,,,,,,
2032-07-01,hatched,rue-2,,,,,10,square tent,,,,,,
2032-07-05,found,dock-2,,Vanessa cardui,larva,3,11,bath,,Cirsium vulgare,,,,
2032-07-16,prepupated,dock-2,,,,,3,bath,,,,,,
2032-07-18,pupated,dock-2,,,,,1,bath,,,,,,
2032-07-19T09:00,laid,rue-3,,Papilio polyxenes,egg,,8,square tent,,Ruta graveolens,,from an E female,,
"""


@pytest.fixture(scope="module")
def assistant(request):
    from tests.answers.conftest import nursery

    return lambda: Assistant(nursery(HEAD + ROWS, NOW))


@pytest.mark.parametrize(
    ("line", "count"),
    [
        ("how many cats in the bath, leaving out the ones that have hung up", 8),
        ("everything in the bath but not counting prepupae and chrysalises", 8),
        ("how many animals have I got if the eggs are not counted", 22),
        ("larvae in all, prepupae excluded", 18),
        ("how many have hung up in the bath", 2),
        ("how many caterpillars haven't hung up yet", 18),
        ("who is in a J at the moment", 2),
        ("how many of the dock-2 larvae are prepupae by now", 2),
        ("how many larvae and pupae in the bath", 11),
        ("larvae ct, bath", 8),
        ("so how many does the bath hold now", 11),
        ("how many larvae, from the larvae right through to the chrysalises, are in the bath", 11),
        ("how many caterpillars in the sqaure tent", 10),
        ("how many pupae are in the popup tent", 1),
        ("number of larvae in the bahts", None),
        ("how many painted ladies are there at the moment, prepupae included", 11),
        ("nr of eggs in the square tent", 10),
        ("no. of eggs square tent", 10),
        ("how much eggs do I have", 10),
        ("my aunt drops in on sunday - how many painted ladies have I got", 11),
    ],
)
def test_counts_of_those_meant(assistant, line, count):
    answer = assistant().reply(line)
    if count is None:  # no enclosure is called so, and none nearly so
        assert answer.status != "answered" or "bath" not in answer.about.get("enclosure", "")
        return
    assert (answer.topic, answer.values["count"].value) == ("headcount", count), answer.text


@pytest.mark.parametrize(
    "line", ["how many larvae in the greenhouse", "how many larvae are in the green tent", "how many eggs in the fridge"]
)
def test_a_place_that_the_records_do_not_hold_is_asked_about(assistant, line):
    answer = assistant().reply(line)
    assert answer.status == "clarify" and "is not in the records" in answer.text


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("who is the mother of rue-2", "female of E"),
        ("which cohort did the rue-2 eggs come from", "female of E"),
        ("rue-3 was laid by which cohort", "female of E.*by the note"),
        ("offspring of E", "2 cohorts .*rue-2 and rue-3"),
        ("did E lay any eggs", "2 cohorts .*rue-2 and rue-3"),
        ("who were the parents of dock-1", "not in the records: it was found"),
        ("tell me the whole history of rue-1 since the laying", "Rue-1: 9 events"),
        ("has anything ever escaped on me", "rue-1: 2 adults escaped"),
        ("who got away last year", "rue-1: 2 adults escaped"),
        ("who went missing", "2 went missing"),
        ("what was laid last june", "rue-2"),
        ("what hatched last june", "2031-06-07"),
        ("my daughter says dock-1 died of mould in its chrysalis, which day would that have been", "2031-08-27"),
        ("who scored the rue-1 butterflies", "museum"),
        ("when'd I release the E butterflies", "3 adults released"),
    ],
)
def test_what_the_records_tell(assistant, line, words):
    answer = assistant().reply(line)
    assert answer.status == "answered" and answer.topic == "history"
    assert re.search(words, answer.text, re.DOTALL | re.IGNORECASE), answer.text


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("did all of the rue-1 that pupated come out", "Yes, all: 16 of 16 pupae"),
        ("did every one of the dock-1 pupae emerge", "No, not all: 6 of 7 pupae"),
        ("have all the rue-2 eggs hatched", "Not all, so far: 10 of 10 eggs with a known fate"),
        ("rue-1: how many turned into butterflies in the end", "16 of 20"),
        ("hatching percentage for rue-1", "18 of 20 eggs"),
        ("how many of dock-1 ended up as butterflies", "6 of 7"),
    ],
)
def test_whether_all_of_them_got_there(assistant, line, words):
    answer = assistant().reply(line)
    assert answer.topic == "survival" and re.search(words, answer.text), answer.text


@pytest.mark.parametrize(
    ("line", "day"),
    [
        ("what needs doing b4 friday", "2032-07-22"),
        ("jobs up to saturday", "2032-07-24"),
        ("what is there to be done between now n thursday", "2032-07-22"),
    ],
)
def test_what_is_to_be_done_by_a_day_lies_ahead(assistant, line, day):
    answer = assistant().reply(line)
    assert answer.topic == "round" and day in answer.text


def test_an_unknown_volume_is_asked_for_with_what_is_there(assistant):
    answer = assistant().reply("is the bath overcrowded")
    assert (answer.status, answer.topic, answer.values["present"].value) == ("clarify", "density", 8)
    assert answer.values["capacity"].value is None and answer.values["capacity"].reason


@pytest.mark.parametrize(
    ("line", "topic"),
    [
        ("Is the bath empty, as it should be at this time of year?", "headcount"),
        ("when are the dock-2 caterpillars going to shed their skins", "stage-forecast"),
        ("from what day on may I give up the rue-3 eggs", "egg-viability"),
        ("what's hatching 2moro", "stage-forecast"),
    ],
)
def test_what_a_line_asks(assistant, line, topic):
    answer = assistant().reply(line)
    assert answer.topic == topic and "2032-05" not in answer.text, answer.text


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("who else was in the bath with dock-1 last year", "Nobody else stood in bath with dock-1 in 2031"),
        ("who was in the square tent with rue-2 on 19 july", "1 other group in square tent with rue-2.*rue-3.*8 eggs from"),
    ],
)
def test_who_shared_a_place_at_a_time_that_is_over(assistant, line, words):
    answer = assistant().reply(line)
    assert answer.topic == "headcount" and re.search(words, answer.text, re.DOTALL), answer.text


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("females released 2031", "Nothing released|none|0"),
        ("emerged last august", "6 pupae emerged"),
        ("painted ladies released in 2031", "6 adults released"),
    ],
)
def test_a_change_over_a_month_or_a_year_is_asked_for_not_told(assistant, line, words):
    answer = assistant().reply(line)
    assert (answer.status, answer.topic) == ("answered", "history") and re.search(words, answer.text), answer.text


def test_a_change_of_all_of_a_cohort_over_a_month_is_still_told(assistant):
    assert assistant().reply("released all of dock-2 in june").topic == "record"


def test_an_enclosure_is_known_without_the_word_for_its_kind(assistant):
    answer = assistant().reply("how many pupae in the popup")
    assert (answer.about.get("enclosure"), answer.values["count"].value) == ("pop-up tent", 1)


def test_moths_are_told_from_butterflies():
    from tests.answers.conftest import nursery

    row = "2032-07-02,found,silk,,Actias luna,{stage},,5,pop-up tent,,,,,,\n"
    kept = nursery(HEAD + ROWS + row.format(stage="pupa"), NOW)
    assert Assistant(kept).reply("how many moth pupae have I got").values["count"].value == 5
    assert Assistant(kept).reply("how many pupae have I got").values["count"].value == 7


@pytest.mark.parametrize("line", ["glorpid fly: how long is it in the larva", "what does a snizzle wasp look like"])
def test_an_enemy_that_nobody_knows_is_not_taken_for_one_that_is(assistant, line):
    assert assistant().reply(line).status == "unknown"


@pytest.mark.parametrize("line", ["4 pints, what do these come to in litres", "two quarts, how much does that come to in liters"])
def test_in_before_a_unit_is_no_inch(assistant, line):
    assert assistant().reply(line).values["result"].value == pytest.approx(1.8927, rel=1e-3)
