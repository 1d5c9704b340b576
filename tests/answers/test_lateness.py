"""What overdue animals are told to be, and that time alone never throws out what may be resting."""

from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest

from nurserytui.answers import lateness, respond
from nurserytui.answers.outlook import outlook

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by"
STEADY = "2031-07-01T00:00,temperature,,,,,,,jar,,,{} C,,"


@pytest.fixture
def nursery(keeping):
    def made(*lines: str, now: str, celsius: float = 21):
        return keeping.nursery("\n".join([HEAD, STEADY.format(celsius), *lines]), now)

    return made


@pytest.fixture
def when(keeping):
    """`when(nursery, event)`: the forecast of cohort W as an answer."""

    def asked(nursery, event: str, **slots):
        return respond(keeping.request(f"when will W {event}", "stage-forecast", cohorts=("W",), event=event, **slots), nursery)

    return asked


def laid(species: str, count: int = 10) -> str:
    return f"2031-07-01T12:00,laid,W,,{species},egg,,{count},jar,,,,,"


def pupae(species: str, count: int = 3) -> str:
    return f"2031-07-01T12:00,found,W,,{species},pupa,,{count},jar,,,,,"


def looked(day: str) -> str:
    return f"{day},checked,W,,,,,,jar,,,,,"


class TestOverdueEggs:
    @pytest.fixture
    def answer(self, nursery, when):
        return when(nursery(laid("Danaus plexippus"), looked("2031-07-16T08:00"), now="2031-07-16T09:00"), "hatch")

    def test_the_chances_sum_to_one_and_stand_in_the_text(self, answer):
        dead, waiting, slow = (answer.values[name].value for name in ("dead", "waiting", "slow"))
        assert dead + waiting + slow == pytest.approx(1, abs=0.001) and dead > 0.9 and waiting == 0
        assert "% dead or infertile" in answer.text and "only" in answer.text

    def test_the_day_to_give_up_stands_between_its_ends(self, answer):
        value = answer.values["give_up"]
        assert value.low <= value.value <= value.high and value.value in answer.text

    def test_nothing_is_thrown_out_on_time_alone(self, answer):
        assert "Look for" in answer.text and "closed, dated cup" in answer.text
        assert any("Time alone proves no death" in caution for caution in answer.cautions)
        assert not any(word in answer.text for word in ("throw them out now", "discard"))

    def test_nothing_lies_before_now(self, answer):
        for name in ("first", "median", "last"):
            assert "2031-07-16" <= answer.values[name].low <= answer.values[name].value <= answer.values[name].high

    def test_its_losses_have_their_source_and_its_own_step(self, answer):
        assert any("Losses expected of eggs: 10 % published" in step for step in answer.working)
        assert "island-marble-records" in [source.id for source in answer.sources]


def test_what_is_not_overdue_is_not_judged(nursery, when):
    answer = when(nursery(laid("Danaus plexippus"), now="2031-07-02T09:00"), "hatch")
    assert "give_up" not in answer.values and "dead" not in answer.text and not answer.cautions


@pytest.mark.parametrize(("celsius", "overdue"), [(16, False), (28, True)])
def test_cool_rooms_wait_longer(nursery, celsius, overdue):
    kept = nursery(laid("Danaus plexippus"), looked("2031-07-10T08:00"), now="2031-07-10T09:00", celsius=celsius)
    assert outlook(kept, "W", "hatch").overdue is overdue


def test_the_day_comes_sooner_in_the_warmth(nursery):
    days = []
    for celsius in (17, 22, 28):
        kept = nursery(laid("Danaus plexippus"), now="2031-07-02T09:00", celsius=celsius)
        days.append(lateness.lateness(kept, outlook(kept, "W", "hatch")).give_up.at)
    assert days == sorted(days, reverse=True) and days[0] - days[2] > timedelta(days=4)


@pytest.mark.parametrize("species", ["Papilio polyxenes", "Pieris rapae", "Hyalophora cecropia"])
def test_a_pupa_that_may_winter_is_never_called_dead_on_time_alone(nursery, when, species):
    answer = when(nursery(pupae(species), looked("2031-11-16T08:00"), now="2031-11-16T09:00"), "emerge")
    assert answer.values["give_up"].value is None and "rest until spring" in answer.values["give_up"].reason
    assert answer.values["look_again"].value == "2032-05-01" and "2032-05-01" in answer.text
    assert answer.values["waiting"].value > answer.values["dead"].value > 0
    assert "Never throw one out on time alone" in answer.text


def test_a_pupa_that_cannot_rest_has_its_day(nursery, when):
    answer = when(nursery(pupae("Danaus plexippus"), looked("2031-08-16T08:00"), now="2031-08-16T09:00"), "emerge")
    assert answer.values["waiting"].value == 0 and answer.values["dead"].value > 0.95
    assert answer.values["give_up"].value < "2031-08-16" and "has passed" in answer.text


@pytest.mark.parametrize(
    ("species", "stage", "event", "rests"),
    [
        ("Limenitis archippus", "larva", "pupate", True),
        ("Danaus plexippus", "larva", "pupate", False),
        ("Limenitis archippus", "pupa", "emerge", False),
        ("Papilio polyxenes", "egg", "hatch", False),
        ("Papilio polyxenes", "larva", "pupate", False),
    ],
)
def test_only_the_stage_that_winters_may_rest(nursery, species, stage, event, rests):
    kept = nursery(f"2031-07-01T12:00,found,W,,{species},{stage},,2,jar,,,,,", now="2031-10-16T09:00")
    late = lateness.lateness(kept, outlook(kept, "W", event))
    assert (late.give_up is None) is rests and (late.look_again is not None) is rests


def test_a_stage_may_rest_where_its_wintering_is_not_on_record(nursery):
    kept = nursery(pupae("Danaus plexippus"), now="2031-10-16T09:00")
    species = kept.knowledge.species("Danaus plexippus")
    kept.knowledge.__dict__["_species"] = {**kept.knowledge._species, species.scientific: species._replace(winters_as="")}
    late = lateness.lateness(kept, outlook(kept, "W", "emerge"))
    assert late.give_up is None and "not on record" in late.reason


@pytest.mark.parametrize(
    ("now", "latitude", "expected"),
    [
        ("2031-04-30T09:00", "40", "2031-05-01"),
        ("2031-05-01T09:00", "40", "2032-05-01"),
        ("2031-07-01T09:00", "-34", "2031-11-01"),
        ("2031-11-02T09:00", "-34", "2032-11-01"),
        ("2031-07-01T09:00", "", "2032-05-01"),
    ],
)
def test_the_spring_to_look_again_in(nursery, now, latitude, expected):
    place = [f"2031-01-01,setting,,,,,,,,,,latitude={latitude},,"] if latitude else []
    assert lateness.spring(nursery(*place, now=now)) == date.fromisoformat(expected)


def test_the_keepers_own_losses_draw_the_published_ones(nursery):
    own = ["2030-06-01,laid,V,,Danaus plexippus,egg,,40,tub,,,,,", "2030-06-06,hatched,V,,,,,20,tub,,,,,"]
    own += ["2030-06-12,died,V,,,egg,,20,tub,,,,,"]
    plain, drawn = (
        lateness.prior(nursery(*rows, laid("Danaus plexippus"), now="2031-07-02T09:00"), "Danaus plexippus", "egg", "W")
        for rows in ([], own)
    )
    assert plain.loss.share < 0.2 < drawn.loss.share < 0.5
    assert any("20 of 40 in this nursery" in step for step in drawn.working)


def test_the_cohorts_own_hatched_and_dead_eggs_count_once(nursery):
    rows = [laid("Danaus plexippus", 20), "2031-07-06,hatched,W,,,,,15,jar,,,,,", "2031-07-08,died,W,,,egg,,2,jar,,,,,"]
    told = lateness.prior(nursery(*rows, now="2031-07-09T09:00"), "Danaus plexippus", "egg", "W")
    plain = lateness.prior(nursery(laid("Danaus plexippus", 20), now="2031-07-09T09:00"), "Danaus plexippus", "egg", "W")
    assert told.loss[:2] == pytest.approx((plain.loss.died + 2, plain.loss.lived + 15)) and told.loss.failed == 0


def test_eggs_found_together_may_all_have_been_fresh(nursery):
    found = "2031-07-01T12:00,found,W,,Danaus plexippus,egg,,12,jar,,,,,"
    kept = nursery(found, looked("2031-07-03T20:00"), now="2031-07-03T21:00")
    late = lateness.lateness(kept, outlook(kept, "W", "hatch"))
    assert late.give_up.at > datetime(2031, 7, 5)


def test_an_unmeasured_room_waits_longer(keeping, nursery):
    unmeasured = keeping.nursery("\n".join([HEAD, laid("Danaus plexippus")]), "2031-07-02T09:00")
    measured = nursery(laid("Danaus plexippus"), now="2031-07-02T09:00", celsius=22)
    first, second = (lateness.lateness(kept, outlook(kept, "W", "hatch")).give_up.at for kept in (unmeasured, measured))
    assert first > second


def test_groups_that_are_late_at_one_stage_of_two_are_judged_by_it(nursery):
    rows = ["2031-07-01T12:00,found,W,,Danaus plexippus,larva,5,4,jar,,,,,", "2031-07-02,prepupated,W,,,,,2,jar,,,,,"]
    kept = nursery(*rows, now="2031-07-12T09:00")
    late = lateness.lateness(kept, outlook(kept, "W", "pupate"))
    assert late.stage in ("larva", "prepupa") and sum(late.fates) == pytest.approx(1)


class TestWorking:
    @pytest.mark.parametrize(
        ("species", "said"),
        [("Danaus plexippus", "degree-day thresholds"), ("Pieris rapae", "observed durations"), ("Phoebis sennae", "")],
    )
    def test_it_names_the_basis_and_the_temperature_and_two_degrees_more(self, nursery, when, species, said):
        answer = when(nursery(laid(species), now="2031-07-02T09:00"), "hatch")
        basis = next(step for step in answer.working if step.startswith("Basis: "))
        assert said in basis
        assert any(step.startswith("Temperature taken for the days ahead: 21 °C") for step in answer.working)
        assert any(step.startswith("2 °C warmer") for step in answer.working)

    def test_a_list_names_them_for_each(self, nursery, keeping):
        other = "2031-07-01T13:00,laid,V,,Pieris rapae,egg,,3,jar,,,,,"
        kept = nursery(laid("Danaus plexippus"), other, now="2031-07-02T09:00")
        answer = respond(keeping.request("what hatches next", "stage-forecast", event="hatch"), kept)
        for label in ("V", "W"):
            for said in ("Basis: ", "Temperature taken", "2 °C warmer"):
                assert any(step.startswith(f"{label}: {said}") for step in answer.working), (label, said)

    def test_a_temperature_asked_for_is_the_one_taken(self, nursery, when, keeping):
        warm = (keeping.Amount(27, "degC", "temperature", "27 C"),)
        answer = when(nursery(laid("Danaus plexippus"), now="2031-07-02T09:00"), "hatch", amounts=warm)
        assert any("27 °C on average (as you asked)" in step for step in answer.working)


class TestNothingToExpect:
    def test_a_finished_cohort_says_what_became_of_it(self, nursery, when):
        rows = [pupae("Danaus plexippus"), "2031-07-08,emerged,W,,,,,3,jar,,,,,", "2031-07-09,released,W,,,adult,,3,jar,,,,,"]
        answer = when(nursery(*rows, now="2031-07-10T09:00"), "emerge")
        assert answer.status == "unknown" and "nothing is expected" in answer.text and "3 released" in answer.text

    def test_animals_past_the_event_are_named(self, nursery, when):
        answer = when(nursery(pupae("Danaus plexippus"), now="2031-07-02T09:00"), "hatch")
        assert answer.status == "unknown" and "3 pupae" in answer.text

    @pytest.mark.parametrize(("celsius", "said"), [(-15, "this cold"), (4, "this cold"), (48, "this hot")])
    def test_the_cold_or_the_heat_is_named(self, nursery, when, celsius, said):
        answer = when(nursery(laid("Danaus plexippus"), now="2031-07-02T09:00", celsius=celsius), "hatch")
        assert answer.status == "unknown" and said in answer.text and f"{celsius} °C" in answer.text

    @pytest.mark.parametrize("celsius", [2, 6, 8, 10, 12])
    @pytest.mark.parametrize(("stage", "event"), [("egg", "hatch"), ("larva", "pupate"), ("pupa", "emerge"), ("larva", "moult")])
    def test_what_lies_beyond_all_foresight_is_null_with_its_reason(self, nursery, when, celsius, stage, event):
        found = f"2031-07-01T12:00,found,W,,Hyalophora cecropia,{stage},{2 if stage == 'larva' else ''},3,jar,,,,,"
        answer = when(nursery(found, now="2031-07-20T09:00", celsius=celsius), event)
        for name in ("first", "median", "last"):
            value = answer.values.get(name)
            assert value is None or value.value or value.reason


def test_late_pupae_of_short_days_are_likelier_to_rest_than_those_of_long_days(keeping, when):
    """Larvae of *Papilio troilus* at 42.5° N switch at 14.5 to 15 h: June has more, September less. Neither is ever given up."""

    def late(month: int):
        rows = [
            HEAD,
            f"2031-{month:02}-01T00:00,setting,,,,,,,,,,latitude=42.5,,",
            f"2031-{month:02}-01T00:00,temperature,,,,,,,jar,,,23 C,,",
            f"2031-{month:02}-20T12:00,found,W,,Papilio troilus,larva,5,6,jar,,,,,",
            f"2031-{month:02}-25T12:00,pupated,W,,,,,6,jar,,,,,",
        ]
        return when(keeping.nursery("\n".join(rows), f"2031-{month + 1:02}-28T12:00"), "emerge")

    june, september = late(6), late(9)
    assert june.values["waiting"].value < september.values["waiting"].value
    assert june.values["give_up"].value is september.values["give_up"].value is None
    assert september.values["look_again"].value > "2032-01-01"


@pytest.mark.parametrize(("species", "said"), [("Papilio polyxenes", True), ("Danaus plexippus", False)])
def test_a_forecast_of_emergence_says_what_may_rest_instead(nursery, when, species, said):
    answer = when(nursery(pupae(species), now="2031-07-03T09:00"), "emerge")
    assert ("rest until spring" in answer.text) == said
