"""Whatever is told in whatever order: no headcount below zero, none made or lost, and at every moment what the slow oracle counts."""

from __future__ import annotations

import os
from datetime import datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st
from oracle.crowd import Crowd
from oracle.sequences import flat, lively, scripts
from oracle.telling import story

from nurserytui.records.ledger import replay
from nurserytui.records.order import in_order, standing

MORE = float(os.environ.get("NURSERY_EXAMPLES", "1"))
"""How many times as many examples as usual are tried."""
LEAVING = ("died", "released", "escaped", "given", "missing", "counted")


def examples(usual: int):
    return settings(max_examples=int(usual * MORE), deadline=None)


def plain(heads):
    return {tuple(key): count for key, count in heads.items()}


def same(events, until=None):
    """The program's ledger, once it is shown to be the oracle's."""
    ledger, crowd = replay(events, until), Crowd(events, until)
    assert [fault.event.id for fault in ledger.faults] == [event.id for event in crowd.refused]
    assert plain(ledger.heads) == crowd.headcount()
    assert ledger.missing == crowd.missing()
    assert [event.id for event in ledger.events] == [event.id for event in crowd.events]
    return ledger, crowd


@examples(400)
@given(st.one_of(lively(), lively(), scripts()))
def test_headcounts_and_refusals_equal_the_oracle(groups):
    ledger, crowd = same(flat(groups))
    for cohort in crowd.cohorts:
        known = ledger.cohorts[cohort.label]
        assert (known.species, known.host, known.origin) == (cohort.species, cohort.host, cohort.origin)
        assert (known.first_when, known.estimate) == (cohort.first.when, cohort.estimate)
        assert known.former_labels == tuple(cohort.former)
        assert known.split_from == (cohort.split_from.label if cohort.split_from else "")
        assert known.joined == (cohort.joined.label if cohort.joined else "")


@examples(120)
@given(st.one_of(lively(), lively(), scripts()))
def test_at_every_moment_the_headcount_is_the_oracles(groups):
    events = flat(groups)
    whens = {datetime.fromisoformat(event.when) for event in events}
    for moment in sorted({one + step for one in whens for step in (timedelta(), timedelta(minutes=-1))}):
        same(events, moment)


@examples(150)
@given(st.one_of(lively(), lively(), scripts()))
def test_the_order_of_what_happened_is_the_day_books(groups):
    events = flat(groups)
    gone = {event.id for event in events} - {event.id for event in standing(events)}
    assert [event.id for event in in_order(events) if event.id not in gone] == [event.id for event in story(events)]
