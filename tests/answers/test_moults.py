"""When larvae moult next, from what is recorded of their instars."""

from __future__ import annotations

from datetime import datetime

import pytest

from nurserytui.answers import respond
from nurserytui.answers.development import basis
from nurserytui.biology.groups import MONARCH_INSTAR_SHARES

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by"
LAID = "2031-07-01T12:00,laid,W,,Danaus plexippus,egg,,10,jar,,Asclepias incarnata,,,"
HATCHED = "2031-07-05T12:00,hatched,W,,,,,10,jar,,,,,"
LOOKED = "2031-07-05T11:50,checked,W,,,,,,jar,,,,,"
FOUND = "2031-07-05T12:00,found,W,,Danaus plexippus,larva,{},4,jar,,Asclepias incarnata,,,"


@pytest.fixture
def ask(keeping):
    """`ask(rows, now, celsius=…, **slots)`: when the larvae of W moult, in a jar at a steady temperature."""

    def asked(*rows: str, now: str, celsius: float = 24, **slots):
        steady = f"2031-06-20T00:00,temperature,,,,,,,jar,,,{celsius} C,,"
        nursery = keeping.nursery("\n".join([HEAD, steady, *rows]), now)
        request = keeping.request("when does W moult", "stage-forecast", cohorts=("W",), event="moult", **slots)
        answer = respond(request, nursery)
        return answer, nursery

    return asked


def left(answer) -> float:
    return answer.values["days_left"].value


def instar_days(nursery, instar: int, celsius: float = 24) -> float:
    return basis(nursery.knowledge, "Danaus plexippus", "larva").stage.curve.days(celsius) * MONARCH_INSTAR_SHARES[instar - 1]


def test_fresh_larvae_moult_after_their_first_instar(ask):
    answer, nursery = ask(LAID, LOOKED, HATCHED, now="2031-07-05T12:30")
    assert answer.status == "answered" and answer.about["event"] == "moult"
    assert left(answer) == pytest.approx(instar_days(nursery, 1), rel=0.2)


def test_one_found_in_an_instar_is_somewhere_in_it(ask):
    found, _ = ask(FOUND.format(3), now="2031-07-05T12:30")
    moulted, nursery = ask(
        FOUND.format(2),
        "2031-07-06T11:50,checked,W,,,,,,jar,,,,,",
        "2031-07-06T12:00,moulted,W,,,,3,4,jar,,,,,",
        now="2031-07-06T12:30",
    )
    assert left(found) == pytest.approx(instar_days(nursery, 3) / 2, rel=0.3)
    assert left(found) < left(moulted)


def test_the_instar_that_comes_next_is_asked_for_by_its_number(keeping, ask):
    answer, nursery = ask(FOUND.format(3), now="2031-07-05T12:30")
    asked = respond(keeping.request("W 4th instar when", "stage-forecast", cohorts=("W",), instar=4), nursery)
    assert asked.about["event"] == "moult" and left(asked) == left(answer)


def test_a_look_that_saw_no_moult_puts_it_off(ask):
    plain, _ = ask(LAID, LOOKED, HATCHED, now="2031-07-07T09:00")
    looked, _ = ask(LAID, LOOKED, HATCHED, "2031-07-07T08:00,checked,W,,,,,,jar,,,,,", now="2031-07-07T09:00")
    assert left(looked) >= left(plain)


def test_earlier_instars_tell_the_pace_of_this_one(ask):
    answers = {}
    for day in ("2031-07-07", "2031-07-08"):
        looked, moulted = f"{day}T00:00,checked,W,,,,,,jar,,,,,", f"{day}T12:00,moulted,W,,,,2,10,jar,,,,,"
        answers[day], _ = ask(LAID, LOOKED, HATCHED, looked, moulted, now=f"{day}T12:30")
    quick, slow = answers.values()
    assert left(slow) > 1.1 * left(quick)
    paces = [next(step for step in answer.working if "10 moults of earlier instars seen" in step) for answer in (quick, slow)]
    assert "faster" in paces[0] and "slower" in paces[1]


def test_warmth_moves_it_and_two_degrees_more_are_said(ask):
    cool, _ = ask(LAID, LOOKED, HATCHED, now="2031-07-05T12:30", celsius=18)
    warm, _ = ask(LAID, LOOKED, HATCHED, now="2031-07-05T12:30", celsius=27)
    assert left(warm) < left(cool)
    assert any(step.startswith("2 °C warmer") for step in cool.working)
    assert any(step.startswith("Temperature taken for the days ahead: 18 °C") for step in cool.working)
    assert any(step.startswith("Basis: ") for step in cool.working)


def test_larvae_that_were_moved_had_the_warmth_of_every_place(ask):
    cold = "2031-07-01T00:00,temperature,,,,,,,porch,,,14 C,,"
    moved = "2031-07-05T13:00,moved,W,,,larva,,10,jar,porch,,,,", "2031-07-07T08:00,moved,W,,,larva,,10,porch,jar,,,,"
    stayed, _ = ask(cold, LAID, LOOKED, HATCHED, now="2031-07-07T09:00")
    away, _ = ask(cold, LAID, LOOKED, HATCHED, *moved, now="2031-07-07T09:00")
    assert left(away) > left(stayed) + 0.5


def test_a_moult_that_nobody_noted_is_not_called_overdue(ask):
    """The recorded instar is over by now: the next moult is that of the instar they are likely in."""
    answer, nursery = ask(LAID, LOOKED, HATCHED, "2031-07-09T07:00,checked,W,,,,,,jar,,,,,", now="2031-07-09T09:00", celsius=27)
    assert answer.status == "answered" and "overdue" not in answer.text and "likely" in answer.text
    assert any("no later one than instar 1 is recorded" in step for step in answer.working)
    assert answer.values["first"].low >= "2031-07-09"


def test_long_after_only_the_pupation_is_left(ask):
    answer, _ = ask(LAID, LOOKED, HATCHED, now="2031-07-25T09:00", celsius=27)
    assert answer.status == "unknown" and "next it pupates" in answer.text


@pytest.mark.parametrize(
    ("rows", "lacking"),
    [
        ([FOUND.format("")], "instar is not recorded"),
        ([FOUND.format(5)], "last instar"),
        ([FOUND.format(2).replace("Danaus plexippus", "unknown")], "species is not known"),
    ],
)
def test_what_is_lacking_is_said(ask, rows, lacking):
    answer, _ = ask(*rows, now="2031-07-05T13:00")
    assert answer.status == "unknown" and lacking in answer.text


def test_each_instar_of_a_cohort_has_its_line(ask):
    rows = [LAID, LOOKED, HATCHED, "2031-07-07T11:00,checked,W,,,,,,jar,,,,,", "2031-07-07T12:00,moulted,W,,,,2,4,jar,,,,,"]
    answer, _ = ask(*rows, now="2031-07-07T12:30")
    assert sorted(item["count"] for item in answer.items) == [4, 6]
    one, _ = ask(*rows, now="2031-07-07T12:30", instar=2)
    assert [item["count"] for item in one.items] == [4]


@pytest.mark.parametrize("now", ["2031-07-05T12:30", "2031-07-07T09:00", "2031-07-08T20:00"])
def test_first_middle_and_last_have_their_bounds_and_lie_ahead(ask, now):
    answer, _ = ask(LAID, LOOKED, HATCHED, now=now)
    for name in ("first", "median", "last"):
        value = answer.values[name]
        assert now[:10] <= value.low <= value.value <= value.high
    assert datetime.fromisoformat(answer.values["last"].value) >= datetime.fromisoformat(answer.values["first"].value)
