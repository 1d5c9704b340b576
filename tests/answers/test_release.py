"""Release of the keeper's own emerged adults: wings, daylight left, and what holds them back."""

from __future__ import annotations

import pytest

from nurserytui.nursery import Nursery

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by\n"
NORTH = "2031-06-01,setting,,,,,,,,,,latitude=41.5,,\n"
PUPAE = "2031-07-20,found,Z,,Vanessa cardui,pupa,,4,box,,,,,\n"
OUT = "2031-08-10T07:30,emerged,Z,,,,,4,box,,,,,\n"


@pytest.fixture
def when(ask, keeping):
    """`when(rows, now, text)`: the answer to whether cohort Z may be released."""

    def asked(rows: str, now: str, text: str = "can I release Z", cohorts=("Z",), **slots):
        return ask("release", text, nursery=keeping.nursery(HEAD + rows, now), cohorts=cohorts, **slots)

    return asked


@pytest.mark.parametrize(
    ("now", "words", "ready", "start"),
    [
        ("2031-08-10T08:00", "Ready from about 11:30, with about 8 h of daylight left then: release today", "2031-08-10T11:30", "2031-08-10T11:30"),
        ("2031-08-10T12:00", "Ready now, with about 7 h of daylight left: release today", "2031-08-10T11:30", "2031-08-10T12:00"),
        ("2031-08-10T17:30", "hold till tomorrow morning, from about 06:00; a night in the cage does no harm", "2031-08-10T11:30", "2031-08-11T06:00"),
        ("2031-08-10T22:00", "Ready now, but after sunset: hold till tomorrow morning", "2031-08-10T11:30", "2031-08-11T06:00"),
        ("2031-08-11T03:00", "release from about 06:00, an hour after sunrise, today", "2031-08-10T11:30", "2031-08-11T06:00"),
    ],
)  # fmt: skip
def test_daylight_left_decides_today_or_tomorrow(when, now, words, ready, start):
    answer = when(NORTH + PUPAE + OUT, now)
    assert words in answer.text.split("\n")[0]
    assert answer.values["ready_at"].value == ready and answer.values["release_from"].value == start
    assert "12:00 standard time" in answer.text and "hour off" in answer.text
    left = answer.values["daylight_left"]
    assert left.low <= left.value <= left.high and left.unit == "hour"


@pytest.mark.parametrize(
    ("rows", "low", "ready", "high", "words"),
    [
        # A look at 06:00 bounds how long the wings have had.
        ("2031-08-10T06:00,checked,Z,,,,,,box,,,,,\n" + OUT, "2031-08-10T07:00", "2031-08-10T11:30", "2031-08-11T07:30", "between 06:00 and 07:30"),
        ("2031-08-09T21:00,checked,Z,,,,,,box,,,,,\n" + OUT, "2031-08-09T22:00", "2031-08-10T11:30", "2031-08-11T07:30", "21:00 the evening before"),
        ("2031-08-05T21:00,checked,Z,,,,,,box,,,,,\n" + OUT, "2031-08-10T08:30", "2031-08-10T11:30", "2031-08-11T07:30", "emerged by 07:30"),
        ("2031-08-10,emerged,Z,,,,,4,box,,,,,\n", "2031-08-10T01:00", "2031-08-10T13:00", "2031-08-11T09:00", "by 13:00 at the latest"),
        ("2031-08-09,emerged,Z,,,,,4,box,,,,,\n", "2031-08-09", "2031-08-10", "2031-08-10", "Ready now"),
    ],
)  # fmt: skip
def test_the_look_before_and_the_hour_bound_when_wings_are_hard(when, rows, low, ready, high, words):
    answer = when(NORTH + PUPAE + rows, "2031-08-10T09:00")
    value = answer.values["ready_at"]
    assert (value.low, value.value, value.high) == (low, ready, high) and words in answer.text


def test_some_are_ready_before_the_last(when):
    rows = OUT.replace(",4,", ",3,") + "2031-08-10T10:00,emerged,Z,,,,,1,box,,,,,\n"
    answer = when(NORTH + PUPAE + rows, "2031-08-10T12:00")
    assert (
        answer.values["ready_at"].value == "2031-08-10T14:00"
        and "4 adults of cohort Z wait (3 of them ready already)" in answer.text
    )


@pytest.mark.parametrize(
    ("latitude", "now", "words", "start"),
    [
        ("69", "2031-06-15T21:00", "daylight round the clock", "2031-06-15T21:00"),
        ("69", "2031-12-15T12:00", "the sun does not rise in these days", None),
        ("-69", "2031-12-15T21:00", "daylight round the clock", "2031-12-15T21:00"),
        ("-35", "2031-12-15T12:00", "about 7 h of daylight left", "2031-12-15T12:00"),
        ("-35", "2031-06-15T12:00", "about 5 h of daylight left", "2031-06-15T12:00"),
    ],
)
def test_the_poles_and_the_south(when, latitude, now, words, start):
    day = now[:10]
    rows = f"2031-01-01,setting,,,,,,,,,,latitude={latitude},,\n2031-05-20,found,Z,,Vanessa cardui,pupa,,4,box,,,,,\n"
    answer = when(rows + f"{day}T06:00,emerged,Z,,,,,4,box,,,,,\n", now)
    assert words in answer.text.split("\n")[0] and answer.values["release_from"].value == start


def test_without_a_latitude_it_asks_for_it_and_answers_the_wings(when):
    answer = when(PUPAE + OUT, "2031-08-10T09:00")
    assert answer.status == "answered" and answer.values["ready_at"].value == "2031-08-10T11:30"
    assert "Ready from about 11:30: 4 adults" in answer.text and answer.text.count("my latitude is 42") == 1
    assert answer.values["daylight_left"].value is None and answer.values["daylight_left"].reason


def test_the_place_of_a_find_and_a_time_zone_give_the_clock(ask, keeping):
    nursery = keeping.nursery(
        HEAD + "2031-06-01,setting,,,,,,,,,,timezone=America/New_York,,\n" + PUPAE + OUT, "2031-08-10T09:00"
    )
    nursery.store.put(*(e._replace(latitude=40.9, longitude=-74.3) if e.what == "found" else e for e in nursery.store.events()))
    nursery = Nursery(nursery.store, nursery.knowledge, nursery.now)
    answer = ask("release", "can I release Z", nursery=nursery, cohorts=("Z",))
    # PyEphem has the sun up from 06:02:06 to 20:02:23 daylight time there on that day.
    assert "06:02 to 20:02" in answer.text and "No latitude is set: that of the find" in answer.text
    assert answer.values["daylight_left"].high - answer.values["daylight_left"].low < 0.3


def test_daylight_time_moves_the_assumed_noon(when):
    zone = "2031-06-01,setting,,,,,,,,,,timezone=America/New_York,,\n"
    assert "13:00 daylight time" in when(NORTH + zone + PUPAE + OUT, "2031-08-10T09:00").text


@pytest.mark.parametrize(
    ("rows", "words", "reason"),
    [
        ("", "None of cohort Z has emerged yet (there now: 4 pupae).", "none has emerged yet"),
        (OUT + "2031-08-10T08:00,released,Z,,,adult,,4,box,,,,,\n", "No adult of cohort Z is left to release: 4 went already.", "no adult is left"),
        (OUT + "2031-08-10T08:00,died,Z,,,adult,,4,box,,,,,\n", "No adult of cohort Z is left to release.", "no adult is left"),
    ],
)  # fmt: skip
def test_nothing_to_release(when, rows, words, reason):
    answer = when(NORTH + PUPAE + rows, "2031-08-10T09:00")
    assert words in answer.text and answer.values["ready_at"].value is None and answer.values["ready_at"].reason == reason


@pytest.mark.parametrize(
    ("text", "rows", "words"),
    [
        ("it is pouring, release Z?", "", "Keep it in for now"),
        ("one of Z cannot fly, release it?", "", "Do not release one that cannot fly"),
        ("can a moth be let go in november", "", "Only while its kind still flies"),
        ("how long can I keep a butterfly in a cage", "", "A day or a night"),
        ("is it fine to let it go beside the road", "", "At the place of the find"),
        ("how do I tell males from females", "", "A male monarch has a black scent spot"),
        ("release Z", "2031-08-10T08:00,tested,Z,,,,,,box,,,heavy,,\n", "Do not release cohort Z: tested heavy."),
    ],
)
def test_what_holds_them_back_is_said_first(when, text, rows, words):
    answer = when(NORTH + PUPAE + OUT + rows, "2031-08-10T12:00", text)
    assert answer.text.startswith(words) and any("authority" in caution for caution in answer.cautions)


def test_all_cohorts_that_wait_are_named(when):
    rows = "2031-07-20,found,Y,,Vanessa cardui,pupa,,1,tub,,,,,\n2031-08-10T06:00,emerged,Y,,,,,1,tub,,,,,\n"
    answer = when(NORTH + PUPAE + OUT + rows, "2031-08-10T09:00", "can I release them", cohorts=())
    assert "1 adult of cohort Y and 4 adults of cohort Z wait" in answer.text
    assert answer.values["ready_at"].value == "2031-08-10T11:30"


def test_moths_without_a_mouth_are_not_fed(ask):
    for species, first in (("Hyalophora cecropia", "Giant silk moths"), ("Vanessa cardui", "Sugar or honey water")):
        assert ask("release", "what do I feed it tonight", species=[species]).text.startswith(first)


def test_one_brought_in_as_an_adult_is_ready(when):
    rows = "2031-08-10T08:00,found,Z,,Vanessa cardui,adult,,1,box,,,,,\n"
    answer = when(NORTH + rows, "2031-08-10T09:00")
    assert answer.text.startswith("Ready now") and "brought in as an adult" in answer.text
