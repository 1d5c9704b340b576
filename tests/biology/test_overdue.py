"""Dead, waiting or slow: what the sums promise, and that the chances they state come true among simulated eggs."""

from __future__ import annotations

import random
from datetime import date, datetime, timedelta
from math import comb, erfc, exp, floor, hypot, lgamma, log, log1p, sqrt
from time import process_time

import pytest

from nurserytui.biology import overdue
from nurserytui.biology.groups import Changed, Group, Known, Look, Stage, Unknown, Window
from nurserytui.biology.overdue import ASTRAY, ASTRAY_BY, BOUND, Late, Loss
from nurserytui.biology.rate import RateCurve
from nurserytui.biology.timeline import Timeline

NOW = datetime(2024, 6, 5, 9)
ROOM = Timeline.constant(20, NOW)
EGG = Stage(RateCurve.from_degree_days(10, 50, 30), 0.1, 0.1)
"""Five days at 20 °C."""
LOSS = Loss(0.4, 3.6, 0.03)
"""One in ten, a batch much alike; now and then all of them."""
ALIVE = 1 - LOSS.share


def at(days: float) -> datetime:
    return NOW + timedelta(days=days)


def days(when: datetime) -> float:
    return (when - NOW) / timedelta(days=1)


def late(*groups: Group, stage=EGG, timeline=ROOM, loss=LOSS, diapause=0.0) -> Late:
    return Late(stage, groups, timeline, NOW, loss, diapause)


def laid(age: float, count: int = 1, *changed: Changed) -> Group:
    return Group(count, Known(at(-age)), (Look(NOW),), changed)


SIBLINGS = Changed(at(-2.5), at(-1.5), 18)


class TestChances:
    @pytest.mark.parametrize("diapause", [0.0, 0.3, 1.0, (0.1, 0.9)])
    @pytest.mark.parametrize("age", [0.5, 5, 7, 9, 40])
    @pytest.mark.parametrize("entry", [Known, lambda when: Window(when - timedelta(days=2), when), Unknown])
    def test_they_are_chances_and_sum_to_one(self, entry, age, diapause):
        found = late(Group(4, entry(at(-age)), (Look(NOW),)), diapause=diapause).fates()
        assert sum(found) == pytest.approx(1) and min(found) >= 0

    def test_a_fresh_egg_has_the_prior(self):
        found = late(laid(0.1)).fates()
        assert found == pytest.approx((LOSS.share, 0.0, 1 - LOSS.share), abs=0.01)

    def test_time_turns_the_scale(self):
        dead = [late(laid(age)).fates().dead for age in (1, 4, 5, 6, 7, 8, 10)]
        assert dead == sorted(dead) and dead[0] < 0.14 and dead[-1] > 0.98

    def test_warmth_counts_not_days(self):
        cool = Timeline.constant(12.5, NOW)
        assert late(laid(10), timeline=cool).fates().dead < 0.14 < 0.97 < late(laid(10)).fates().dead

    def test_one_that_may_wait_is_waiting_not_dead(self):
        found = late(laid(40), diapause=0.5).fates()
        assert found.waiting == pytest.approx(0.5 * ALIVE / (1 - 0.5 * ALIVE), abs=0.03) and found.slow < 1e-6

    def test_siblings_that_hatched_in_time_take_the_excuse_away(self):
        alone, beside = late(laid(6.5)), late(laid(6.5, 1, SIBLINGS))
        # The same loss for both: only what the siblings tell of the pace differs.
        assert beside.fates().dead > alone.fates().dead
        slow = Changed(at(-0.6), at(-0.1), 18)
        assert late(laid(6.5, 1, slow)).fates().dead < alone.fates().dead

    def test_losses_of_the_cohort_itself_count(self):
        few, many = LOSS.also(0, 18), LOSS.also(9, 9)
        assert few.share < LOSS.share < many.share
        assert late(laid(6), loss=few).fates().dead < late(laid(6)).fates().dead < late(laid(6), loss=many).fates().dead

    def test_a_sure_doubt_is_the_mean_of_its_ends_for_one_animal_that_just_came(self):
        found = late(laid(0.1), diapause=(0.2, 0.6)).fates()
        assert found.waiting == pytest.approx(ALIVE * 0.4, abs=0.01)

    def test_groups_of_one_cohort_are_told_by_their_ages(self):
        young, old = late(laid(5)), late(laid(8))
        both = late(laid(5), laid(8)).fates().dead
        assert young.fates().dead < both < old.fates().dead


def exact(r: int, progress: float, loss: Loss, within: float, between: float) -> float:
    """P(one given is dead | all `r` unchanged), by the beta-binomial sum over how many are dead and fine even grids for the shared effect."""
    spread = sqrt(log1p(within**2))
    a, b, failed = loss
    beta = lambda x, y: lgamma(x) + lgamma(y) - lgamma(x + y)  # noqa: E731
    ways = [(1 - failed) * comb(r, k) * exp(beta(a + k, b + r - k) - beta(a, b)) for k in range(r + 1)]
    ways[r] += failed
    total = dead = 0.0
    for weight, sd in ((1 - ASTRAY, between), (ASTRAY, hypot(between, ASTRAY_BY))):
        for step in range(-480, 481):
            z = step / 80
            tail = 0.5 * erfc((log(progress) - (z * sd - spread**2 / 2)) / spread / sqrt(2))
            for k, way in enumerate(ways):
                likely = weight * exp(-z * z / 2) * way * tail ** (r - k)
                total += likely
                dead += likely * k / r
    return dead / total


@pytest.mark.parametrize("loss", [LOSS, Loss(0.4, 3.6), Loss(1.4, 12.6), Loss(2, 60)])
@pytest.mark.parametrize("count", [1, 3, 12])
@pytest.mark.parametrize("age", [4, 5.5, 6.5, 7.5, 9])
def test_the_sum_is_the_exact_one(loss, count, age):
    assert late(laid(age, count), loss=loss).fates().dead == pytest.approx(exact(count, age / 5, loss, 0.1, 0.1), abs=0.03)


@pytest.mark.parametrize("between", [0.1, 0.25])
@pytest.mark.parametrize(("count", "age"), [(1, 4), (1, 7), (12, 4), (12, 6), (12, 9)])
def test_the_few_nodes_of_a_batch_are_enough(count, age, between, monkeypatch):
    group, stage = Group(count, Unknown(at(-age), together=True), (Look(NOW),)), EGG._replace(between=between)
    few = late(group, stage=stage)
    normal = overdue._normal
    monkeypatch.setattr(overdue, "_normal", lambda spread, reach, half, share: normal(spread, 5.0, 20, share))
    many = late(group, stage=stage)
    assert few.fates() == pytest.approx(many.fates(), abs=0.02)
    assert days(few.give_up().at) == pytest.approx(days(many.give_up().at), abs=0.15)


def test_a_cohort_of_which_one_lives_has_not_failed():
    assert LOSS.also(0, 1).failed == 0 < LOSS.failed < LOSS.also(1, 0).failed < LOSS.also(3, 0).failed < 1
    assert LOSS.also(0, 0) == LOSS


def test_many_that_are_late_together_may_be_slow_together():
    """Where cohorts do not fail as a whole, ten that are late speak for a slow cohort, not for ten deaths; but not for ever."""
    never_all = LOSS._replace(failed=0.0)
    assert late(laid(6, 10), loss=never_all).fates().dead < late(laid(6), loss=never_all).fates().dead
    assert late(laid(12, 10)).fates().dead > 0.98


class TestGiveUp:
    def test_it_is_where_the_chance_falls_below_the_bound(self):
        group = laid(3)
        found = late(group).give_up()
        assert found.low < found.at < found.high
        then = Late(EGG, [group], ROOM, found.at, LOSS)
        assert then.fates().slow == pytest.approx(BOUND, rel=0.2)

    def test_cool_rooms_wait_longer_in_step_with_the_rate(self):
        warm, cool = (late(laid(0), timeline=Timeline.constant(celsius, NOW)).give_up() for celsius in (20, 15))
        assert days(cool.at) == pytest.approx(2 * days(warm.at), rel=0.01)

    def test_the_temperature_ahead_counts(self):
        turning = Timeline([(at(0), 20.0), (at(0.01), 12.0)])
        assert days(late(laid(4), timeline=turning).give_up().at) > 4 * days(late(laid(4)).give_up().at)

    def test_a_day_that_has_passed_lies_back(self):
        found = late(laid(12)).give_up()
        assert days(found.at) == pytest.approx(days(late(laid(0)).give_up().at) - 12, abs=0.15)
        assert found.low < found.at < found.high < NOW

    def test_too_cold_is_never(self):
        assert late(laid(3), timeline=Timeline.constant(8, NOW)).give_up().at is None

    @pytest.mark.parametrize("diapause", [0.001, 0.9, (0.0, 0.1)])
    def test_what_can_wait_is_never_given_up_by_time(self, diapause):
        assert late(laid(300), diapause=diapause).give_up() is None

    def test_what_was_found_may_be_fresh(self):
        found, old = late(Group(1, Unknown(at(-1)))).give_up(), late(laid(6)).give_up()
        assert found.at > old.at

    @pytest.mark.parametrize("count", [2, 10, 100])
    def test_a_whole_batch_is_not_given_up_before_one_egg_would_be(self, count):
        assert late(laid(6, count)).give_up().at >= late(laid(6)).give_up().at - timedelta(hours=6)

    def test_the_rest_of_a_batch_is_given_up_sooner(self):
        assert late(laid(6.5, 2, SIBLINGS), loss=LOSS.also(0, 18)).give_up().at < late(laid(6.5, 2)).give_up().at

    def test_a_wider_doubt_waits_longer(self):
        unsure = EGG._replace(between=0.3)
        assert late(laid(1), stage=unsure).give_up().at > late(laid(1)).give_up().at


@pytest.mark.parametrize(
    ("groups", "loss", "diapause"),
    [
        ([laid(1)], Loss(1, 1, 1.0), 0.0),
        ([], LOSS, 0.0),
        ([Group(0, Known(NOW), changed=(SIBLINGS,))], LOSS, 0.0),
        ([laid(1)], Loss(0, 1), 0.0),
        ([laid(1)], LOSS, 1.1),
        ([laid(1)], LOSS, -0.1),
        ([laid(1)], LOSS, (0.5, 0.4)),
    ],
)
def test_impossible_numbers(groups, loss, diapause):
    with pytest.raises(ValueError):
        late(*groups, loss=loss, diapause=diapause)


def test_a_stage_without_doubt_about_its_mean():
    sure = EGG._replace(between=0.0)
    assert late(laid(8), stage=sure).fates().dead > late(laid(8)).fates().dead


@pytest.mark.parametrize("diapause", [0.0, (0.1, 0.9)])
@pytest.mark.parametrize(
    "groups",
    [
        [laid(7, 10)],
        [laid(7, 2, SIBLINGS)],
        [Group(10, Unknown(at(-7)), (Look(NOW),))],
        [Group(10, Unknown(at(-7), True), (Look(NOW),))],
        [Group(2, Unknown(at(-7), True), (Look(NOW),), (Changed(at(-2), at(-1), 8),))],
        [Group(3, Window(at(-9), at(-7))), Group(2, Window(at(-8), at(-6)))],
    ],
)
def test_it_takes_two_thousandths_of_a_second(groups, diapause):
    cycle = Timeline.daily_cycle(14, 26, date(2024, 5, 1), 120)

    def once() -> float:
        start = process_time()
        found = late(*groups, timeline=cycle, diapause=diapause)
        found.fates(), found.give_up()
        return process_time() - start

    once()
    # A batch of one unknown age has a sum over its ages in each; half as much again for a machine that is busy with something else.
    batch = any(isinstance(group.entry, Unknown) and group.entry.together for group in groups)
    assert min(once() for _ in range(9)) < (0.004 if batch else 0.002 * len(groups)) * 1.5


# Calibration: eggs drawn by plain chance, without any of the formulas; of the unchanged ones one is taken, so that each is a trial of its own.


def shared(chance: random.Random) -> tuple[float, float]:
    """The cohort's chance of loss and its effect."""
    dying = 1.0 if chance.random() < LOSS.failed else chance.betavariate(LOSS.died, LOSS.lived)
    effect = chance.gauss(0, EGG.between)
    return dying, effect + chance.gauss(0, ASTRAY_BY) if chance.random() < ASTRAY else effect


def drawn(chance: random.Random, wait: float) -> tuple[Group, list[str]] | None:
    """A cohort looked at daily until now: what a keeper has seen of it, and the truth about those that are unchanged."""
    count, age = chance.choice((1, 3, 8)), chance.uniform(4.0, 9.0)
    dying, effect = shared(chance)
    spread = sqrt(log1p(EGG.within**2))
    changed: dict[int, int] = {}
    left = []
    for _ in range(count):
        if chance.random() < dying:
            left.append("dead")
        elif chance.random() < wait:
            left.append("waiting")
        else:
            ahead = 5 * exp(effect + chance.gauss(0, spread) - spread**2 / 2) - age
            if ahead > 0:
                left.append("slow")
            else:
                changed[floor(ahead)] = changed.get(floor(ahead), 0) + 1
    if not left:
        return None
    told = tuple(Changed(at(max(day, -age)), at(day + 1), number) for day, number in changed.items())
    return Group(len(left), Known(at(-age)), (Look(NOW),), told), left


@pytest.mark.parametrize("wait", [0.0, 0.3])
def test_of_eggs_said_to_be_dead_with_a_chance_that_share_is_dead(wait):
    """Bins of the stated chance hold the share that they state, within three standard errors and the two hundredths of the nodes."""
    chance = random.Random(17)
    bins: dict[int, list[tuple[float, bool]]] = {}
    trials = 0
    while trials < 2000:
        cohort = drawn(chance, wait)
        if cohort is None:
            continue
        group, left = cohort
        trials += 1
        loss = LOSS.also(0, sum(each.count for each in group.changed))
        stated = Late(EGG, [group], ROOM, NOW, loss, wait).fates().dead
        bins.setdefault(min(int(stated * 5), 4), []).append((stated, chance.choice(left) == "dead"))
    assert len(bins) >= 3 and max(bins) > min(bins) + 1
    for seen in bins.values():
        stated = sum(share for share, _ in seen) / len(seen)
        true = sum(dead for _, dead in seen) / len(seen)
        assert abs(true - stated) < 3 * sqrt(stated * (1 - stated) / len(seen)) + 0.02, (stated, true, len(seen))


def test_fewer_than_the_bound_hatch_after_the_day():
    """Eggs laid singly and still whole on their give-up day: BOUND of those that are whole then hatch yet, as stated."""
    chance = random.Random(23)
    age = days(late(laid(0)).give_up().at)
    spread = sqrt(log1p(EGG.within**2))
    whole = hatch = 0
    for _ in range(200_000):
        dying, effect = shared(chance)
        if chance.random() < dying:
            whole += 1
        elif 5 * exp(effect + chance.gauss(0, spread) - spread**2 / 2) > age:
            whole += 1
            hatch += 1
    assert hatch / whole == pytest.approx(BOUND, abs=3 * sqrt(BOUND / whole) + 0.1 * BOUND)


@pytest.mark.parametrize("age", [30, 210, 400, 900, 2000])
def test_the_day_to_give_up_stays_where_it_was_however_long_ago(age):
    fresh = days(late(laid(6, 6)).give_up().at) + 6
    given = late(laid(age, 6)).give_up()
    assert None not in given and given.at < NOW
    if age < 1000:
        assert days(given.at) + age == pytest.approx(fresh, abs=2.5)
