"""The table of costs at scale runs, and what it sums up three ways is the same. (Its full size is printed by tests/benchmarks/scale.py.)"""

from __future__ import annotations

import pytest

from tests.benchmarks.scale import costs, history, sums
from tests.benchmarks.sums import SUMS

READINGS = 20_000


@pytest.fixture(scope="module")
def nursery(tmp_path_factory):
    folder, events = tmp_path_factory.mktemp("scale"), history(3, 2, 12, looks=0.3)
    return folder, events, list(costs(folder, events, READINGS))


def test_every_cost_is_told(nursery):
    _, events, told = nursery
    assert [cost.rows for cost in told[:2]] == [len(events), READINGS]
    assert all(cost.took.wall > 0 for cost in told) and all(cost.bare.wall > 0 for cost in told[:2])


def test_the_program_pandas_and_sql_come_to_the_same_sums(nursery):
    folder, events, _ = nursery
    rows, _ = sums(folder, events)
    assert [row.name for row in rows if not all(row.agree)] == [] and len(rows) == len(SUMS)
