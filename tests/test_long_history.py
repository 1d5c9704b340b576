"""A long history costs a question little: the same living animals with years behind them and without.

The whole table, with 200,000 events, is printed by tests/benchmarks/nursery.py.
"""

from __future__ import annotations

import pytest

from tests.benchmarks.nursery import COHORTS, QUESTIONS, compared, opened, small_of
from tests.oracle.nurseries import random_events

SEASONS = 4
"""Each of some 5,000 events; enough that whatever walks over all of them shows."""


@pytest.fixture(scope="module")
def rows(tmp_path_factory):
    folder = tmp_path_factory.mktemp("history")
    events = random_events(11, SEASONS, COHORTS // 2, looks_per_day=2.0)
    assert len(events) > 10_000
    return compared(opened(folder, "small.db", small_of(events)), opened(folder, "large.db", events), QUESTIONS)


def test_every_answer_is_warm_in_a_tenth_of_a_second(rows):
    slow = [row for row in rows if row.large > 100.0]
    assert not slow


def test_all_questions_together_cost_less_than_three_times_as_much(rows):
    small, large = sum(row.small for row in rows), sum(row.large for row in rows)
    assert large < 3.0 * small, f"{large / small:.1f}"
