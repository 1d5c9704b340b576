"""The records drawn by chance are legal, many-sided, and as large as they are said to be."""

from __future__ import annotations

from collections import Counter

import pytest

from nurserytui.records.events import WHATS
from nurserytui.records.ledger import replay
from oracle.nurseries import large, random_events


@pytest.mark.parametrize("seed", range(6))
def test_nothing_is_told_that_cannot_have_happened(seed):
    assert replay(random_events(seed, 3, 5)).faults == []


def test_the_same_seed_tells_the_same():
    assert random_events(3, 2, 3) == random_events(3, 2, 3) != random_events(4, 2, 3)


def test_every_kind_of_event_comes_up():
    told = Counter(event.what for seed in range(12) for event in random_events(seed, 3, 6))
    assert set(told) == set(WHATS)


def test_the_large_one_is_large():
    events = large()
    ledger = replay(events)
    assert 190_000 < len(events) < 210_000
    assert len({event.day[:4] for event in events}) == 20
    assert 50 <= len({key.cohort for key in ledger.heads}) < 70
    assert not ledger.faults
