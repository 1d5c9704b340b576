"""What finished stages teach, and on simulated nurseries that it is worth having and says no more than it knows."""

from __future__ import annotations

from datetime import datetime, timedelta
from math import exp, log

import pytest
from learning_simulations import compare, drawn, ranks, share, slow

from nurserytui.biology.groups import Changed, Group, Known, Look, Stage, Unknown
from nurserytui.biology.learning import COHORT, NURSERY, Lesson, Lessons, cholesky, effect_of, forward, parts
from nurserytui.biology.rate import RateCurve
from nurserytui.biology.timeline import Timeline

ZERO = datetime(2024, 5, 1)
ROOM = Timeline.constant(20, ZERO)
EGG = Stage(RateCurve.from_degree_days(10, 50, 30), 0.1, 0.15)


def at(days: float) -> datetime:
    return ZERO + timedelta(days=days)


def told(*groups: Group):
    return effect_of([(group, EGG) for group in groups], ROOM, at(60))


def hatched(took: float, count: int = 10, left: int = 0, looked: float = 0.0) -> Group:
    looks = (Look(at(looked)),) if looked else ()
    return Group(left, Known(ZERO), looks, (Changed(at(took - 0.5), at(took + 0.5), count),))


def lesson(cohort="A", species="Pieris rapae", stage="egg", slower=0.08, variance=0.001, between=0.10) -> Lesson:
    return Lesson(cohort, species, stage, slower, variance, between, 10)


def factor(lessons, species="Pieris rapae", stage="egg", between=0.10, **rest) -> float:
    return Lessons(lessons).learned(species, stage, between, **rest).factor


# One lesson ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("took", "slower"), [(5, 0.0), (6, 0.2), (4.5, -0.1)])
def test_a_finished_stage_tells_how_much_slower_it_was(took, slower):
    effect, variance, animals = told(hatched(took))
    assert exp(effect) == pytest.approx(1 + slower, abs=0.02)
    assert 0 < variance < 0.005 and animals == 10


def test_few_animals_tell_less_than_many():
    assert told(hatched(6, 1))[1] > told(hatched(6, 30))[1]


def test_the_dead_that_are_still_counted_tell_next_to_nothing():
    assert told(hatched(5.5, 10, left=3, looked=20))[0] == pytest.approx(told(hatched(5.5, 10))[0], abs=0.01)


def test_those_that_have_not_changed_yet_keep_the_first_from_being_taken_for_all():
    assert told(hatched(4.5, 3, left=17, looked=5))[0] > told(hatched(4.5, 3))[0] + 0.03


def test_animals_found_together_tell_once_and_little():
    found = [Group(0, Unknown(ZERO, True), (), (Changed(at(2), at(3), count),)) for count in (1, 20)]
    one, many = told(found[0]), told(found[1])
    assert one[:2] == many[:2] and one[1] > 10 * told(hatched(5))[1]


@pytest.mark.parametrize("by", [0.2, 1, 3])
def test_one_that_was_found_and_soon_went_on_leans_but_stays_finite(by):
    group = Group(0, Unknown(ZERO), (), (Changed(at(0), at(by), 1),))
    effect, variance, _ = told(group)
    learned = Lessons([lesson(slower=effect, variance=variance)]).learned("Pieris rapae", "egg", 0.1)
    assert 0.97 < learned.factor < 1.0
    assert learned.own.factor is None


@pytest.mark.parametrize("groups", [(Group(4, Known(ZERO)),), (hatched(20),)], ids=["nothing changed", "a winter's rest"])
def test_what_is_no_lesson(groups):
    assert told(*groups) is None


# Put together -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("between", [0.02, 0.05, 0.1, 0.3])
def test_the_parts_add_up_to_the_published_doubt(between):
    assert sum(part**2 for part in parts(between)) == pytest.approx(between**2)


def test_nothing_finished_teaches_nothing():
    assert Lessons([]).learned("Pieris rapae", "egg", 0.1) is None


def test_a_cohort_does_not_teach_itself():
    lessons = [lesson("A"), lesson("A", stage="larva"), lesson("B", slower=-0.05)]
    assert Lessons(lessons).learned("Pieris rapae", "egg", 0.1, without="A") == Lessons(lessons[2:]).learned(
        "Pieris rapae", "egg", 0.1
    )
    assert Lessons(lessons[:2]).learned("Pieris rapae", "egg", 0.1, without="A") is None


def test_the_same_stage_teaches_most_then_the_species_then_the_nursery():
    same, kin, others = (
        factor([lesson(one, species, stage) for one in "ABC"])
        for species, stage in [("Pieris rapae", "egg"), ("Pieris rapae", "pupa"), ("Vanessa cardui", "egg")]
    )
    assert 1 < others < kin < same < 1.08


def test_the_factor_goes_on_with_more_cohorts_and_the_doubt_shrinks_to_the_cohort_s_own():
    one, five = (Lessons([lesson(name) for name in names]).learned("Pieris rapae", "egg", 0.1) for names in ("A", "ABCDE"))
    assert 1 < one.factor < five.factor < five.own.factor == pytest.approx(exp(0.08))
    assert COHORT < five.between < one.between < 0.1
    assert (five.own.lessons, five.own.animals) == (5, 50)


def test_no_lesson_adds_to_the_published_doubt():
    """Another species far off makes the nursery an odd one; what is known of this stage does not get less by it."""
    assert Lessons([lesson(slower=0.3)]).learned("Vanessa cardui", "egg", 0.2).between <= 0.2


def test_parts_of_one_cohort_share_its_own_part():
    assert factor([lesson("A"), lesson("A")]) < factor([lesson("A"), lesson("B")])


def test_the_stage_as_this_nursery_sees_it():
    learned = Lessons([lesson(name) for name in "ABC"]).learned("Pieris rapae", "egg", 0.15)
    stage = learned.applied(EGG)
    assert stage.curve.days(20) == pytest.approx(5 * learned.factor)
    assert (stage.between, stage.within) == (learned.between, EGG.within)


def test_the_equations_are_solved():
    root = cholesky([[4.0, 2.0], [2.0, 3.0]], [1.0, 1.0])
    product = [[sum(one * other for one, other in zip(root[row], root[column])) for column in (0, 1)] for row in (0, 1)]
    assert product[0] == pytest.approx([5.0, 2.0]) and product[1] == pytest.approx([2.0, 4.0])
    x = forward(root, [1.0, 2.0])
    assert [root[0][0] * x[0], root[1][0] * x[0] + root[1][1] * x[1]] == pytest.approx([1.0, 2.0])


def test_one_lesson_by_hand():
    """One lesson of another species: the nursery's part alone is shared; two normal models weighed by how well each fits."""
    learned = Lessons([lesson(slower=0.1)]).learned("Vanessa cardui", "egg", 0.1)
    noise, total = 0.001 + COHORT**2, 0.1**2 - COHORT**2
    wide = 2.5 * total + noise
    fits = [0.6 * exp(-0.005 / noise) / noise**0.5, 0.4 * exp(-0.005 / wide) / wide**0.5]
    assert log(learned.factor) == pytest.approx(fits[1] / sum(fits) * 2.5 * NURSERY**2 / wide * 0.1)


# Simulated nurseries ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("cohorts", [2, 6])
def test_forecasts_of_nurseries_that_are_off_get_better(cohorts):
    found = compare(17, 400, cohorts, lambda chance: drawn(chance, 1.0))
    assert found.change < -0.05
    assert 0.85 <= found.covered <= 0.95


def test_a_new_species_is_helped_by_the_others():
    found = compare(18, 300, 6, lambda chance: slow(1.08), species=("two", "three"))
    assert found.change < -0.03 and found.covered >= 0.85


@pytest.mark.parametrize("cohorts", [1, 3, 6])
def test_an_average_nursery_loses_next_to_nothing(cohorts):
    assert compare(19, 400, cohorts, lambda chance: slow(1.0)).change <= 0.02


def test_what_is_learned_is_calibrated():
    """Ranks of true effects drawn from the model's own prior are even (chi-square of ten classes, 99.9 % point), and intervals hold."""
    found = ranks(20, 500, 3)
    classes = [sum(at / 10 <= one < (at + 1) / 10 for one in found) for at in range(10)]
    assert sum((each - 50) ** 2 / 50 for each in classes) < 27.9
    assert share(found, 0.5) == pytest.approx(0.5, abs=0.07)
    assert share(found, 0.9) == pytest.approx(0.9, abs=0.04)
