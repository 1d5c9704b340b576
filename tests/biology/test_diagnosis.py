"""Causes weighed over signs: agreement narrows, a denial lowers, and nothing adds up to more than 1."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nurserytui.biology.diagnosis import LEAK, Evidence, weigh

LIMP = Evidence({"virus": 3, "bacteria": 3, "hunger": 2})
V_SHAPE = Evidence({"virus": 9, "bacteria": 1})
FIRM = Evidence({"moult": 5})


def test_one_sign_alone_leaves_its_unlisted_share():
    found = weigh([Evidence({"a": 3, "b": 1}, unlisted=0.3)])
    assert found.other == pytest.approx(0.3)
    assert list(found.shares) == ["a", "b"]
    a, b = LEAK + (1 - LEAK) * 0.75, LEAK + (1 - LEAK) * 0.25
    assert found.shares["a"] == pytest.approx(0.7 * a / (a + b))


def test_two_signs_that_agree_narrow_the_ranking():
    alone, both = weigh([LIMP]), weigh([LIMP, V_SHAPE])
    assert both.shares["virus"] > 1.5 * alone.shares["virus"]
    assert both.other < alone.other


def test_signs_that_contradict_each_other_leave_more_for_what_is_not_listed():
    assert weigh([LIMP, FIRM]).other > weigh([LIMP]).other


def test_a_denied_sign_lowers_its_causes_most_where_it_speaks_for_them_alone():
    before, after = weigh([LIMP]), weigh([LIMP, V_SHAPE._replace(present=False)])
    assert after.shares["virus"] < 0.6 * before.shares["virus"]
    assert after.shares["hunger"] > before.shares["hunger"]


def test_a_prior_weighs_and_can_rule_out():
    assert weigh([LIMP], {"virus": 0.1}).shares["virus"] < weigh([LIMP]).shares["virus"]
    assert weigh([LIMP], {"virus": 0.0}).shares["virus"] == 0.0


def test_a_sign_that_is_not_clear_at_all_says_nothing():
    unclear = V_SHAPE._replace(clarity=0.0)
    assert weigh([LIMP, unclear]).shares["virus"] == pytest.approx(weigh([LIMP]).shares["virus"])


def test_without_a_sign_all_is_open():
    assert weigh([]).other == 1.0 and weigh([V_SHAPE._replace(present=False)]).other == 1.0


@pytest.mark.parametrize(
    ("evidence", "prior"),
    [
        ([LIMP._replace(clarity=1.2)], {}),
        ([LIMP._replace(unlisted=0.0)], {}),
        ([LIMP._replace(unlisted=1.0)], {}),
        ([Evidence({"a": -1})], {}),
        ([LIMP], {"virus": -0.1}),
    ],
)
def test_impossible_arguments(evidence, prior):
    with pytest.raises(ValueError):
        weigh(evidence, prior)


weights = st.dictionaries(st.sampled_from("abcdef"), st.floats(0.01, 100), min_size=1)
signs = st.builds(Evidence, weights, st.floats(0, 1), st.floats(0.01, 0.9), st.booleans())


@settings(max_examples=80, deadline=None)
@given(st.lists(signs, max_size=6), st.dictionaries(st.sampled_from("abcdef"), st.floats(0, 10)))
def test_probabilities_never_exceed_one(evidence, prior):
    found = weigh(evidence, prior)
    assert all(0 <= share <= 1 for share in found.shares.values()) and 0 <= found.other <= 1
    assert sum(found.shares.values()) + found.other == pytest.approx(1)
    assert list(found.shares.values()) == sorted(found.shares.values(), reverse=True)


@settings(max_examples=80, deadline=None)
@given(signs.filter(lambda one: one.present and one.clarity > 0.1), st.randoms())
def test_the_order_of_the_signs_does_not_matter(sign, random):
    mixed = [sign, LIMP, V_SHAPE]
    random.shuffle(mixed)
    assert weigh(mixed).shares == pytest.approx(weigh([sign, LIMP, V_SHAPE]).shares)
