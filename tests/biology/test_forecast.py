"""The heart: what a forecast promises, and that its intervals hold what they say."""

from __future__ import annotations

import random
from datetime import UTC, date, datetime, timedelta
from math import exp, log1p, sqrt
from time import perf_counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nurserytui.biology.forecast import Changed, Group, Known, Look, Outlook, Stage, Unknown, Window, forecast, instars
from nurserytui.biology.rate import RateCurve
from nurserytui.biology.timeline import Timeline

NOW = datetime(2024, 6, 5, 9)
ROOM = Timeline.constant(20, NOW)
EGG = Stage(RateCurve.from_degree_days(10, 50, 30), 0.1, 0.1)
LARVA = Stage(RateCurve.from_degree_days(10, 180, 30), 0.1, 0.1)
PUPA = Stage(RateCurve.from_degree_days(10, 120, 30), 0.1, 0.1)


def at(days: float) -> datetime:
    return NOW + timedelta(days=days)


def days(when: datetime) -> float:
    return (when - NOW) / timedelta(days=1)


def outlook(group, stages=(EGG,), timeline=ROOM, level=0.9) -> Outlook:
    return forecast(stages, group, timeline, NOW, level)


def width(moment) -> float:
    return (moment.high - moment.low) / timedelta(days=1)


class TestShape:
    def test_just_laid_takes_the_whole_duration(self):
        seen = outlook(Group(1, Known(NOW)))
        assert days(seen.median.at) == pytest.approx(5, rel=0.02)
        # Both spreads together: log sd 0.141.
        assert days(seen.median.low) == pytest.approx(5 * exp(-1.645 * 0.141), rel=0.02)
        assert days(seen.median.high) == pytest.approx(5 * exp(1.645 * 0.141), rel=0.02)
        assert seen.days_left == pytest.approx(days(seen.median.at))

    def test_found_today_takes_half_as_long_as_laid_today_and_is_never_surer(self):
        laid, found = outlook(Group(1, Known(NOW))), outlook(Group(1, Unknown(NOW)))
        assert days(found.median.at) == pytest.approx(2.5, rel=0.05)
        assert found.median.at < laid.median.at
        assert width(found.median) > width(laid.median)

    def test_a_window_lies_between_its_ends(self):
        early, late = outlook(Group(1, Known(at(-3)))), outlook(Group(1, Known(at(-1))))
        window = outlook(Group(1, Window(at(-3), at(-1))))
        assert early.median.at < window.median.at < late.median.at
        assert width(window.median) > width(late.median)

    @pytest.mark.parametrize("entry", [Known(at(-1)), Window(at(-2), at(-1)), Unknown(at(-1)), Unknown(at(-1), True)])
    def test_more_animals_spread_first_and_last(self, entry):
        few, many = outlook(Group(3, entry)), outlook(Group(60, entry))
        assert many.first.at < few.first.at < few.last.at < many.last.at
        assert (few.count, many.count) == (3, 60)

    def test_one_animal_is_first_middle_and_last(self):
        seen = outlook(Group(1, Unknown(at(-1))))
        assert seen.first == seen.median == seen.last

    def test_a_batch_of_one_age_keeps_together(self):
        apart, together = outlook(Group(40, Unknown(NOW))), outlook(Group(40, Unknown(NOW, together=True)))
        assert together.first.at > apart.first.at
        assert together.last.at < apart.last.at
        assert together.last.at - together.first.at < (apart.last.at - apart.first.at) / 2

    @pytest.mark.parametrize("entry", [Unknown(at(-2)), Unknown(at(-2), True), Window(at(-6), at(-2))])
    def test_a_look_makes_the_forecast_narrower_and_later(self, entry):
        before = forecast([EGG], Group(6, entry), ROOM, at(-2))
        after = outlook(Group(6, entry, (Look(NOW),)))
        assert width(after.median) < width(before.median)
        assert after.median.at > before.median.at
        assert after.last.high - after.first.low < before.last.high - before.first.low

    def test_only_the_last_look_matters(self):
        one = outlook(Group(6, Known(at(-5)), (Look(NOW),)))
        three = outlook(Group(6, Known(at(-5)), (Look(at(-4)), Look(NOW), Look(at(-1)))))
        assert one == three

    def test_hatching_tells_the_age_of_the_rest_of_a_batch(self):
        blind = outlook(Group(30, Unknown(at(-2), True), (Look(NOW),)))
        told = outlook(Group(30, Unknown(at(-2), True), (Look(NOW),), (Changed(at(-1), NOW, 10),)))
        assert days(told.median.at) < 1.2
        assert width(told.median) < width(blind.median) / 2

    def test_a_higher_level_is_wider(self):
        group = Group(5, Window(at(-2), at(-1)))
        half, most, nearly_all = (outlook(group, level=level) for level in (0.5, 0.9, 0.999))
        assert nearly_all.median.low < most.median.low < half.median.low
        assert half.last.high < most.last.high < nearly_all.last.high

    def test_temperature_moves_it(self):
        warm, cool = outlook(Group(4, Known(NOW)), timeline=Timeline.constant(25, NOW)), outlook(Group(4, Known(NOW)))
        assert days(cool.median.at) / days(warm.median.at) == pytest.approx(15 / 10, rel=1e-3)

    def test_too_cold_is_never(self):
        for stages in ((EGG,), (EGG, LARVA)):
            seen = outlook(Group(4, Known(NOW)), stages, Timeline.constant(9, NOW))
            assert seen.median == (None, None, None)
            assert seen.days_left is None

    def test_times_with_a_zone_come_back_with_it(self):
        now = NOW.replace(tzinfo=UTC)
        seen = forecast([EGG], Group(1, Known(now)), Timeline.constant(20, now), now)
        assert seen.median.at.tzinfo is UTC
        assert seen.chance_done_by(seen.median.at) == pytest.approx(0.5, abs=0.03)


class TestSharedEffect:
    def test_late_and_early_cohorts_shift_and_sharpen(self):
        late = outlook(Group(10, Known(at(-6)), (Look(NOW),), (Changed(at(-0.5), NOW, 10),)))
        early = outlook(Group(10, Known(at(-4)), (Look(NOW),), (Changed(at(-0.5), NOW, 10),)))
        assert early.posterior_shift < 0.9 < 1.1 < late.posterior_shift
        prior = outlook(Group(1, Known(NOW)))
        assert prior.posterior_shift == pytest.approx(1, abs=0.01)
        assert late.shift_high - late.shift_low < (prior.shift_high - prior.shift_low) / 2
        assert late.shift_low < late.posterior_shift < late.shift_high

    def test_groups_of_one_cohort_share_it(self):
        told = Group(0, Known(at(-9)), changed=(Changed(at(-3), at(-2.5), 20),))
        alone = outlook(Group(5, Known(at(-1))))
        beside = outlook([Group(5, Known(at(-1))), told])
        assert days(beside.median.at) > days(alone.median.at) + 0.5
        assert beside.count == 5

    def test_instars_share_it_with_the_instars_before(self):
        stages = instars(LARVA)
        slow = Group(0, Known(at(-9)), changed=(Changed(at(-4), at(-3.5), 10),), stage=0)
        alone = outlook(Group(10, Window(at(-1), NOW), stage=1), stages)
        told = outlook([Group(10, Window(at(-1), NOW), stage=1), slow], stages)
        # The first instar took 5 to 5.5 days where 3.06 were expected.
        assert days(told.median.at) > days(alone.median.at) * 1.1

    def test_animals_that_left_unchanged_speak_for_a_slow_cohort(self):
        plain = outlook(Group(3, Known(at(-4))))
        told = outlook(Group(3, Known(at(-4)), (Look(at(-0.1), 8),)))
        assert told.posterior_shift > plain.posterior_shift

    def test_overdue_and_unlooked_are_told_apart(self):
        fine = outlook(Group(5, Known(at(-2)), (Look(NOW),)))
        overdue = outlook(Group(5, Known(at(-12)), (Look(NOW),)))
        unlooked = outlook(Group(5, Known(at(-12)), (Look(at(-10)),)))
        assert fine.still_chance > 0.99 and fine.already_chance < 0.01
        assert overdue.still_chance < 0.01 and overdue.already_chance < 0.01
        assert unlooked.still_chance < 0.01 and unlooked.already_chance > 0.99


def ordered(seen: Outlook) -> None:
    for moment in (seen.first, seen.median, seen.last):
        assert NOW <= moment.low <= moment.at <= moment.high
    slack = timedelta(minutes=5)
    for column in range(3):
        assert seen.first[column] <= seen.median[column] + slack
        assert seen.median[column] <= seen.last[column] + slack
    whens = [row[0] for row in seen.table]
    assert whens == sorted(whens)
    for when in (at(-1), NOW, at(0.3), at(3), at(400)):
        first, one, last = (seen.chance_done_by(when, which) for which in ("first", "one", "last"))
        assert 0 <= last <= one + 1e-9 <= first + 2e-9 <= 1 + 3e-9
    assert seen.chance_done_by(at(-1)) == 0
    assert seen.chance_done_by(at(400), "last") > 0.98


ages = st.floats(0, 60)


@st.composite
def histories(draw) -> Group:
    since = draw(ages)
    entry = draw(st.sampled_from([Known(at(-since)), Window(at(-since - draw(ages)), at(-since)), Unknown(at(-since))]))
    if draw(st.integers(0, 5)) == 0:
        entry = Unknown(at(-since), together=True)
    looks = tuple(Look(at(-since * draw(st.floats(0, 1)))) for _ in range(draw(st.integers(0, 2))))
    changed = ()
    if draw(st.booleans()):
        after = since * draw(st.floats(0, 1))
        changed = (Changed(at(-after), at(-after * draw(st.floats(0, 1))), draw(st.integers(1, 30))),)
    return Group(draw(st.integers(1, 300)), entry, looks, changed)


@settings(max_examples=80, deadline=None)
@given(histories())
def test_no_history_breaks_the_order_or_falls_before_now(group):
    ordered(outlook(group))


@settings(max_examples=40, deadline=None)
@given(histories(), histories(), st.integers(1, 2))
def test_nor_in_a_chain(one, other, stages):
    ordered(outlook([one, other._replace(stage=1)], (EGG, LARVA, PUPA)[: stages + 1]))


def test_the_same_question_has_the_same_answer():
    group = Group(7, Unknown(at(-2)), (Look(NOW),))
    assert outlook(group, (EGG, LARVA)) == outlook(group, (EGG, LARVA))


@pytest.mark.parametrize(
    "groups, stages, level",
    [
        ([], [EGG], 0.9),
        (Group(0, Known(NOW)), [EGG], 0.9),
        (Group(-1, Known(NOW)), [EGG], 0.9),
        (Group(1, Known(NOW), stage=1), [EGG], 0.9),
        (Group(1, Known(NOW)), [], 0.9),
        (Group(1, Known(NOW)), [EGG._replace(within=0)], 0.9),
        (Group(1, Known(NOW)), [EGG._replace(between=-0.1)], 0.9),
        (Group(1, Window(at(0), at(-1))), [EGG], 0.9),
        (Group(1, Known(at(-3)), changed=(Changed(at(-1), at(-2)),)), [EGG], 0.9),
        (Group(1, Known(NOW)), [EGG], 0),
        (Group(1, Known(NOW)), [EGG], 1),
    ],
)
def test_impossible_numbers(groups, stages, level):
    with pytest.raises(ValueError):
        forecast(stages, groups, ROOM, NOW, level)


def test_it_is_quick():
    cycle = Timeline.daily_cycle(14, 26, date(2024, 5, 1), 120)
    cases = [
        ([EGG], Group(80, Unknown(at(-2)), (Look(NOW),))),
        ([EGG], Group(20, Known(at(-5)), (Look(NOW),), tuple(Changed(at(-day), at(-day + 1), 3) for day in (1, 2, 3)))),
        ([EGG, LARVA, PUPA], Group(20, Known(at(-2)), (Look(NOW),))),
    ]
    for stages, group in cases:
        forecast(stages, group, cycle, NOW)
        start = perf_counter()
        for _ in range(10):
            forecast(stages, group, cycle, NOW)
        assert (perf_counter() - start) / 10 < 0.05


# Coverage: animals drawn from the model's own story by plain chance, without any of its formulas.


def draw_duration(chance: random.Random, stage: Stage, effect: float) -> float:
    spread = sqrt(log1p(stage.within**2))
    return exp(effect + chance.gauss(0, spread) - spread**2 / 2) / stage.curve.rate(20)


def draw_left(chance: random.Random, entry: str, effect: float) -> float:
    """Days left of an egg drawn at random that stands unchanged now."""
    while True:
        whole = draw_duration(chance, EGG, effect)
        age = {"known": 3.5, "window": chance.uniform(2, 4.5), "unknown": chance.uniform(0, 20)}[entry]
        if whole > age:
            return whole - age


ENTRIES = {"known": Known(at(-3.5)), "window": Window(at(-4.5), at(-2)), "unknown": Unknown(NOW)}


@pytest.mark.parametrize("entry", ENTRIES)
def test_nine_of_ten_single_animals_fall_into_the_interval(entry):
    chance, seen = random.Random(7), outlook(Group(1, ENTRIES[entry]))
    # Effects that would have let the egg hatch already are seen less often: drawn anew with it.
    left = []
    while len(left) < 4000:
        effect = chance.gauss(0, EGG.between)
        whole = draw_duration(chance, EGG, effect)
        age = {"known": 3.5, "window": chance.uniform(2, 4.5), "unknown": chance.uniform(0, 20)}[entry]
        if whole > age:
            left.append(whole - age)
    inside = sum(days(seen.median.low) <= each <= days(seen.median.high) for each in left) / len(left)
    assert 0.87 <= inside <= 0.93
    assert 0.45 <= sum(each <= days(seen.median.at) for each in left) / len(left) <= 0.55
    for ahead in (0.5, 1.5, 3.0):
        expected = sum(each <= ahead for each in left) / len(left)
        assert seen.chance_done_by(at(ahead)) == pytest.approx(expected, abs=0.04)


@pytest.mark.parametrize("entry", ENTRIES)
def test_nine_of_ten_cohorts_fall_into_the_intervals(entry):
    chance, seen = random.Random(11), outlook(Group(13, ENTRIES[entry]))
    rounds, hits = 1500, {"first": 0, "median": 0, "last": 0}
    for _ in range(rounds):
        effect = chance.gauss(0, EGG.between)
        left = sorted(draw_left(chance, entry, effect) for _ in range(13))
        for which, value in (("first", left[0]), ("median", left[6]), ("last", left[-1])):
            moment = getattr(seen, which)
            hits[which] += days(moment.low) <= value <= days(moment.high)
    for which, count in hits.items():
        assert 0.85 <= count / rounds <= 0.95, which


def test_nine_of_ten_cohorts_hold_with_what_was_seen_of_them():
    chance, hits, rounds = random.Random(5), 0, 0
    while rounds < 300:
        effect = chance.gauss(0, EGG.between)
        left = [draw_duration(chance, EGG, effect) - 5.0 for _ in range(12)]
        # Looked at a day ago and now.
        gone_before = sum(each <= -1 for each in left)
        gone = sum(-1 < each <= 0 for each in left)
        rest = sorted(each for each in left if each > 0)
        if not rest:
            continue
        changed = tuple(
            Changed(*window, count) for window, count in (((at(-5), at(-1)), gone_before), ((at(-1), NOW), gone)) if count
        )
        seen = outlook(Group(len(rest), Known(at(-5)), (Look(NOW),), changed))
        rounds += 1
        hits += seen.last.low <= at(rest[-1]) <= seen.last.high
    assert 0.85 <= hits / rounds <= 0.95


@pytest.mark.parametrize("batch", [1, 15])
def test_nine_of_ten_batches_of_one_age_fall_into_the_interval(batch):
    """A batch found with all its eggs whole, its age drawn evenly: surer than the forecast dares to be, never less sure."""
    chance, seen = random.Random(3), outlook(Group(batch, Unknown(NOW, together=True)))
    middles = []
    while len(middles) < 2000:
        effect, age = chance.gauss(0, EGG.between), chance.uniform(0, 10)
        whole = [draw_duration(chance, EGG, effect) for _ in range(batch)]
        if min(whole) > age:
            middles.append(sorted(whole)[(batch - 1) // 2] - age)
    inside = sum(days(seen.median.low) <= each <= days(seen.median.high) for each in middles) / len(middles)
    assert inside >= 0.88


CHAINS = {
    "egg to pupa": ((EGG, LARVA), Known(at(-2)), 2.0),
    "egg to adult": ((EGG, LARVA, PUPA), Known(at(-2)), 2.0),
}


@pytest.mark.parametrize("name", CHAINS)
@pytest.mark.parametrize("count", [1, 11, 61])
def test_chains_hold_too(name, count):
    stages, entry, age = CHAINS[name]
    chance, seen = random.Random(13), outlook(Group(count, entry), stages)
    rounds, hits = 2000, {"first": 0, "median": 0, "last": 0}
    for _ in range(rounds):
        effects = [chance.gauss(0, stage.between) for stage in stages]
        whole = (
            sum(draw_duration(chance, stage, effect) for stage, effect in zip(stages, effects, strict=True)) for _ in range(count)
        )
        left = sorted(each - age for each in whole)
        for which, value in (("first", left[0]), ("median", left[(count - 1) // 2]), ("last", left[-1])):
            moment = getattr(seen, which)
            hits[which] += days(moment.low) <= value <= days(moment.high)
    for which, value in hits.items():
        assert 0.85 <= value / rounds <= 0.95, which


def test_chains_of_one_stage_and_an_instant_one_agree_with_the_exact_way():
    instant = Stage(RateCurve.from_degree_days(10, 0.001, 30), 0.1, 0.1)
    for group in (Group(1, Known(at(-1))), Group(30, Window(at(-2), at(-1))), Group(12, Unknown(NOW))):
        exact, chained = outlook(group), outlook(group, (EGG, instant))
        for one, other in zip(exact[:3], chained[:3], strict=True):
            for when, also in zip(one, other, strict=True):
                assert days(also) == pytest.approx(days(when), abs=0.1)


def test_the_rest_of_a_larva_by_its_instar():
    """Third instar just begun: 13 + 19 + 36 of a hundred parts of 18 days left."""
    stages = instars(LARVA, first=3)
    seen = outlook(Group(1, Known(NOW)), stages)
    assert days(seen.median.at) == pytest.approx(18 * 0.68, rel=0.03)
    whole = outlook(Group(1, Known(NOW)), instars(LARVA))
    plain = outlook(Group(1, Known(NOW)), (LARVA,))
    assert width(whole.median) == pytest.approx(width(plain.median), rel=0.12)
    for bad in (0, 6):
        with pytest.raises(ValueError):
            instars(LARVA, first=bad)


@pytest.mark.parametrize("stages", [(EGG,), (EGG, LARVA)])
@pytest.mark.parametrize("entry", [Known, Unknown, lambda when: Window(when - timedelta(days=1), when)])
def test_however_long_overdue_it_is_due_any_day(entry, stages):
    """What never ended in a hundred stage lengths is no less due than what did not in nine: it does not turn into what cannot grow."""
    nine, hundred = (outlook(Group(6, entry(at(-age))), stages) for age in (45, 500))
    assert hundred.still_chance <= nine.still_chance < 1e-9
    for moment in (hundred.first, hundred.median, hundred.last):
        assert moment.at is not None and moment.low is not None and moment.high is not None
    assert hundred.median.at - NOW < timedelta(days=45)
