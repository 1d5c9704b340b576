"""The headcount of an earlier moment is what a replay up to it gives."""

from __future__ import annotations

from collections import Counter
from datetime import datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nurserytui.records.events import Event
from nurserytui.records.ledger import replay
from nurserytui.records.past import heads_at

from ..oracle.nurseries import random_events

LAID = Event("2031-06-01T09:00", "laid", "A", species="Pieris rapae", stage="egg", count=9, enclosure="jar", id="1")


def unlabelled(heads) -> Counter:
    """Animals by everything but the cohort's label, which may have changed since."""
    found: Counter = Counter()
    for key, count in heads.items():
        found[key[1:]] += count
    return found


@given(seed=st.integers(0, 10_000), chances=st.lists(st.floats(0, 1), min_size=6, max_size=6))
@settings(max_examples=15, deadline=None)
def test_it_is_the_replay_up_to_then(seed, chances):
    events = random_events(seed, seasons=1, cohorts_per_season=4)
    ledger = replay(events)
    first, last = (datetime.fromisoformat(event.day) for event in (events[0], events[-1]))
    for chance in chances:
        moment = (first + (last + timedelta(days=1) - first) * chance).replace(microsecond=0)
        assert unlabelled(heads_at(ledger, moment)) == unlabelled(replay(events, until=moment).heads), moment


@pytest.mark.parametrize(
    ("later", "moment", "left"),
    [
        ([], datetime(2031, 6, 1, 8), 0),
        ([], datetime(2031, 6, 1, 9), 9),
        ([Event("2031-06-02", "died", "A", count=2)], datetime(2031, 6, 2, 0, 1), 7),
        ([Event("2031-06-02T10:00", "died", "A", count=2)], datetime(2031, 6, 2, 9, 59), 9),
        ([Event("2031-06-02", "renamed", "A", to="kale")], datetime(2031, 6, 1, 12), 9),
        # The death is told for the day on which more were found at noon: before noon there were not as many.
        ([Event("2031-06-02T12:00", "found", "A", species="Pieris rapae", stage="egg", count=3), Event("2031-06-02", "died", "A", count=11)],
         datetime(2031, 6, 2, 8), 9),
    ],
)  # fmt: skip
def test_by_hand(later, moment, left):
    ledger = replay([LAID, *(event._replace(id=f"n{at}") for at, event in enumerate(later))])
    assert not ledger.faults
    heads = heads_at(ledger, moment)
    assert sum(heads.values()) == left and {key.cohort for key in heads} <= set(ledger.cohorts)
