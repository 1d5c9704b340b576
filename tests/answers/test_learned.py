"""Finished cohorts teach the forecasts of this nursery's next ones, and the working says so."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from nurserytui.answers.development import basis
from nurserytui.answers.learned import lessons, taught
from nurserytui.answers.outlook import outlook

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by"
NOW = "2031-07-10T13:00"


def line(when: datetime, what: str, cohort: str, rest: str) -> str:
    return f"{when:%Y-%m-%dT%H:%M},{what},{cohort},,{rest}"


def finished(label: str, day: str, days: float, species: str = "Pieris rapae") -> list[str]:
    """A cohort of ten eggs that hatched `days` after the laying, seen within two hours."""
    laid = datetime.fromisoformat(f"{day}T12:00")
    hatched = laid + timedelta(days=days)
    return [
        line(laid, "laid", label, f"{species},egg,,10,jar,,,,,"),
        line(hatched - timedelta(hours=2), "checked", label, ",,,,jar,,,,,"),
        line(hatched, "hatched", label, ",,,10,jar,,,,,"),
        line(hatched + timedelta(days=1), "released", label, ",larva,,10,jar,,,,,"),
    ]


def daily_warmth() -> list[str]:
    start = datetime(2031, 5, 1)
    return [f"{start + timedelta(days=at):%Y-%m-%dT12:00},temperature,,,,,,,jar,,,21 C,," for at in range(70)]


@pytest.fixture
def made(keeping):
    def nursery(*cohorts, now=NOW, days=None):
        days = daily_warmth() if days is None else days
        new = line(datetime(2031, 7, 10, 12), "laid", "NEW", "Pieris rapae,egg,,10,jar,,,,,")
        return keeping.nursery("\n".join([HEAD, *days, *(row for cohort in cohorts for row in cohort), new]), now)

    return nursery


def took(nursery) -> float:
    return outlook(nursery, "NEW", "hatch").days_left


def words(nursery) -> str:
    return " ".join(step for step in outlook(nursery, "NEW", "hatch").working if step.startswith("Learned"))


@pytest.fixture
def published(made) -> float:
    """Days of a new cohort in a nursery that has finished nothing."""
    return took(made())


def test_an_empty_nursery_is_as_published(made):
    assert words(made()) == ""
    assert lessons(made()) == []


def test_slow_cohorts_put_the_next_one_off_and_the_working_says_so(made, published):
    days = published * 1.2
    slow = made(*(finished(f"S{at}", f"2031-05-{at:02}", days) for at in (3, 10, 17)))
    assert published * 1.04 < took(slow) < days
    said = words(slow)
    assert "your 3 finished cohorts (30 animals) ran" in said and "slower than the published figure" in said and "used" in said
    before, after = (outlook(one, "NEW", "hatch").median for one in (made(), slow))
    assert after.high - after.low < before.high - before.low


def test_quick_cohorts_bring_it_forward(made, published):
    assert took(made(*(finished(f"Q{at}", f"2031-05-{at:02}", published * 0.8) for at in (3, 10, 17)))) < published * 0.97


def test_other_species_teach_less_and_are_said_to(made):
    """Each slow against its own published figure."""
    factors = []
    for species in ("Pieris rapae", "Pieris brassicae"):
        figure = basis(made().knowledge, species, "egg").stage.curve.days(21.0)
        slow = made(*(finished(f"S{at}", f"2031-05-{at:02}", figure * 1.2, species) for at in (3, 10, 17)))
        factors.append(took(slow))
        assert ("no cohort of this species was seen through this stage yet" in words(slow)) == (species != "Pieris rapae")
        assert ("of other species here (30 animals) ran" in words(slow)) == (species != "Pieris rapae")
    assert took(made()) < factors[1] < factors[0]


def test_a_cohort_s_own_hatching_is_not_told_it_twice(keeping):
    rows = [
        line(datetime(2031, 7, 6, 12), "laid", "NEW", "Pieris rapae,egg,,10,jar,,,,,"),
        line(datetime(2031, 7, 10, 11), "hatched", "NEW", ",,,4,jar,,,,,"),
    ]
    nursery = keeping.nursery("\n".join([HEAD, *daily_warmth(), *rows]), NOW)
    assert [one.cohort for one in lessons(nursery)] == ["NEW"]
    assert words(nursery) == ""


def test_a_stage_in_an_unmeasured_room_is_no_lesson(made):
    assert lessons(made(finished("S1", "2031-05-03", 5), days=daily_warmth()[60:])) == []


def test_nothing_is_learned_for_an_unmeasured_room(made):
    nursery = made(finished("S1", "2031-05-03", 5))
    other = nursery.ledger.cohorts["NEW"]
    stage = basis(nursery.knowledge, other.species, "egg").stage
    assert taught(nursery, other, "egg", stage, True) is not None
    assert taught(nursery, other, "egg", stage, False) is None


def test_what_is_learned_is_found_once_for_a_state_of_the_records(made, monkeypatch):
    nursery = made(finished("S1", "2031-05-03", 5))
    took(nursery)
    monkeypatch.setattr("nurserytui.answers.learned.lessons", lambda _: pytest.fail("found again"))
    outlook(nursery, "NEW", "emerge")


def test_a_stage_that_finishes_changes_the_forecasts_of_others(made, published):
    nursery = made(finished("S1", "2031-05-03", 5), now="2031-07-10T13:00")
    before = took(nursery)
    more = [row for at in (10, 17) for row in finished(f"S{at}", f"2031-05-{at}", published * 1.12)]
    nursery.store.add(*more)
    nursery.refresh()
    assert took(nursery) != before
