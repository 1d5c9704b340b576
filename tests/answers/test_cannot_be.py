"""Lines that tell of what cannot be, or of what is not there: a time no clock shows, part of an animal, a cohort that does not exist."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from record_nursery import NOW, MemoryStore  # noqa: E402

from nurserytui.assistant import Assistant  # noqa: E402
from nurserytui.knowledge.base import load  # noqa: E402
from nurserytui.nursery import Nursery  # noqa: E402

KNOWLEDGE = load()


@pytest.fixture
def talk() -> Assistant:
    return Assistant(Nursery(MemoryStore(), KNOWLEDGE, NOW))


def asked(talk: Assistant, line: str):
    """The answer to a line of which nothing may be written."""
    before = talk.nursery.store.events()
    answer = talk.reply(line)
    assert answer.status == "clarify", answer.text
    assert talk.nursery.store.events() == before
    return answer


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("fed tank 2 at 26:15", "26:15"),
        ("fed tank 2 at 24:30", "24:30"),
        ("fed tank 2 at 8:60", "8:60"),
        ("2 A eggs hatched at 9:85am", "9:85am"),
        ("cleaned tank 2 at 8:90 pm", "8:90 pm"),
        ("cleaned tank 2 at 8.90 pm", "8.90 pm"),
        ("fed tank 2 at 15 am", "15 am"),
        ("fed tank 2 27:10", "27:10"),
        ("yesterday at 30:00 two fennel-2 in tank 2 died", "30:00"),
        ("two fennel-2 in tank 2 died around 12:75 yesterday", "12:75"),
        ("stocked 12 stems of fennel at 25:30", "25:30"),
        ("fresh water for tank 2 at 31:20", "31:20"),
    ],
)
def test_a_time_that_no_clock_shows_is_asked_about(talk, line, said):
    answer = asked(talk, line)
    assert answer.topic == "record" and f"no “{said}” on a clock" in answer.text and answer.options


def test_the_right_time_may_follow(talk):
    asked(talk, "fed tank 2 at 26:15")
    assert talk.reply("at 6:15 am").items[0]["when"].endswith("T06:15")


@pytest.mark.parametrize(
    ("line", "time"),
    [
        ("fed tank 2 yesterday at 23:59", "23:59"),
        ("fed tank 2 yesterday at 16:05 pm", "16:05"),
        ("fed tank 2 at 0:20 am", "00:20"),
    ],
)
def test_a_time_that_a_clock_shows_is_taken(talk, line, time):
    assert talk.reply(line).items[0]["when"][11:].startswith(time)


@pytest.mark.parametrize(
    ("line", "share"), [("2 litres at 1:10", 200), ("2 litres at 1:80", 25), ("3 L of bleach mix at 1:75", 40)]
)
def test_a_ratio_is_no_time(talk, line, share):
    answer = talk.reply(line)
    assert answer.topic == "dilution" and answer.values["stock_volume"].value == pytest.approx(share)


@pytest.mark.parametrize(
    "line", ["cleaned tank 2 with 70:30 alcohol", "cleaned tank 2 with bleach 1:75", "2 A died, sex ratio 60:40"]
)
def test_shares_are_no_time(talk, line):
    assert "on a clock" not in talk.reply(line).text


@pytest.mark.parametrize(
    ("line", "words", "options"),
    [
        ("-2 fennel-2 in tank 2 died", "-2 is less than none", ["2 fennel-2 in tank 2 died"]),
        ("moved -2 A from jar 1 to jar 7", "-2 is less than none", None),
        ("counted -4 A in jar 1", "-4 is less than none", None),
        ("stocked -4 stems of fennel", "-4 is less than none", None),
        ("3.5 of A hatched", "3.5 is no whole number of animals", ["3 A hatched", "4 A hatched"]),
        ("moved 1.5 A from jar 1 to jar 7", "1.5 is no whole number of animals", None),
        ("1.5 A died", "1.5 is no whole number of animals", None),
        ("0 A died", "0 is none of them", ["checked A"]),
    ],
)
def test_a_number_that_cannot_be(talk, line, words, options):
    answer = asked(talk, line)
    assert words in answer.text and "count:" not in answer.text
    assert options is None or list(answer.options) == options


def test_the_whole_number_may_follow(talk):
    asked(talk, "3.5 of A hatched")
    answer = talk.reply("4")
    assert answer.status == "recorded" and answer.items[0]["count"] == 4


@pytest.mark.parametrize(
    "line",
    [
        "how many Q",
        "how many A and Q",
        "when will Q hatch",
        "how long until Q pupates",
        "history of Q",
        "what happened to Q",
        "where is Q",
        "survival of Q",
        "is Q healthy",
        "Q hatched",
        "2 of Q died",
    ],
)
def test_a_letter_that_no_cohort_has_is_told(talk, line):
    answer = asked(talk, line)
    assert any(words in answer.text for words in ("“Q” is not in the records", "no cohort “Q”", "no cohort Q"))
    assert "fennel-2" in answer.text


@pytest.mark.parametrize("line", ["is 25 C too warm for eggs", "how warm is it in F", "is V. cardui common", "what is vitamin C"])
def test_a_letter_elsewhere_is_no_cohort(talk, line):
    answer = talk.reply(line)
    assert not any(words in answer.text for words in ("“C”", "“F”", "“V”", "no cohort"))


@pytest.mark.parametrize(
    ("line", "option"),
    [
        ("when will A in tank 2 hatch", "when will A hatch"),
        ("how long until tank 2 A hatches", "when will A hatch"),
        ("is there enough food for A in tank 2", "How much does A still need?"),
    ],
)
def test_a_cohort_that_is_in_another_enclosure_is_told_where(talk, line, option):
    answer = asked(talk, line)
    assert (
        answer.text.startswith("A is not in tank 2: there are 18 eggs in jar 1 and 12 larvae in jar 1.")
        and option in answer.options
    )


def test_a_letter_is_free_again_when_its_cohort_was_taken_back(talk):
    first = talk.reply("found 3 monarch eggs on milkweed in jar 9").about["cohort"]
    talk.reply("undo")
    assert talk.reply("found 2 monarch eggs on milkweed in jar 9").about["cohort"] == first
