"""Whatever is told in whatever order: no headcount below zero, none made or lost, and at every moment what the slow oracle counts."""

from __future__ import annotations

import os
from collections import Counter
from datetime import datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from oracle.crowd import Crowd
from oracle.nurseries import nurseries, random_events
from oracle.sequences import flat, lively, scripts
from oracle.telling import story

from nurserytui.records.events import STAGES, Event
from nurserytui.records.ledger import replay
from nurserytui.records.order import in_order, standing
from nurserytui.records.store import Store
from nurserytui.records.validating import findings

MORE = float(os.environ.get("NURSERY_EXAMPLES", "1"))
"""How many times as many examples as usual are tried."""
LEAVING = ("died", "released", "escaped", "given", "missing", "counted")


told = st.one_of(lively(), lively(), lively(), scripts())


def examples(usual: int):
    return settings(max_examples=int(usual * MORE), deadline=None)


def plain(heads):
    return {tuple(key): count for key, count in heads.items()}


def same(events, until=None):
    """The program's ledger, once it is shown to be the oracle's."""
    ledger, crowd = replay(events, until), Crowd(events, until)
    if crowd.unsaid:
        return ledger, crowd
    assert [fault.event.id for fault in ledger.faults] == [event.id for event in crowd.refused]
    assert plain(ledger.heads) == crowd.headcount()
    assert ledger.missing == crowd.missing()
    assert [event.id for event in ledger.events] == [event.id for event in crowd.events]
    return ledger, crowd


@examples(250)
@given(told)
def test_headcounts_and_refusals_equal_the_oracle(groups):
    ledger, crowd = same(flat(groups))
    for cohort in crowd.cohorts:
        known = ledger.cohorts[cohort.label]
        assert (known.species, known.host, known.origin) == (cohort.species, cohort.host, cohort.origin)
        assert (known.first_when, known.estimate) == (cohort.first.when, cohort.estimate)
        assert known.former_labels == tuple(cohort.former)
        assert known.split_from == (cohort.split_from.label if cohort.split_from else "")
        assert known.joined == (cohort.joined.label if cohort.joined else "")


@examples(60)
@given(told)
def test_at_every_moment_the_headcount_is_the_oracles(groups):
    events = flat(groups)
    whens = {datetime.fromisoformat(event.when) for event in events}
    for moment in sorted({one + step for one in whens for step in (timedelta(), timedelta(minutes=-1))}):
        same(events, moment)


@examples(100)
@given(told)
def test_the_order_of_what_happened_is_the_day_books(groups):
    events = flat(groups)
    gone = {event.id for event in events} - {event.id for event in standing(events)}
    assert [event.id for event in in_order(events) if event.id not in gone] == [event.id for event in story(events)]


@examples(100)
@given(told)
def test_no_headcount_is_ever_below_zero_and_no_animal_is_made_or_lost(groups):
    ledger = replay(flat(groups))
    heads = Counter()
    for one, source, target, count in ledger.postings:
        assert count > 0
        assert (source is None) <= (one.what in ("laid", "found", "returned", "counted"))
        assert (target is None) <= (one.what in LEAVING)
        if source is not None:
            heads[source] -= count
            assert heads[source] >= 0
        if target is not None:
            heads[target] += count
    assert {key: count for key, count in heads.items() if count} == ledger.heads


@examples(100)
@given(told)
def test_after_a_stocktake_as_many_stand_there_as_were_counted(groups):
    events = story(flat(groups))
    for at, event in enumerate(events):
        # A rough count does not overrule an exact one, unless the keeper says what the difference is.
        if event.what != "counted" or (event.estimate and not event.detail):
            continue
        ledger = replay(events[: at + 1])
        if any(fault.event is event for fault in ledger.faults):
            continue
        cohort, stage = event.cohort and ledger.label(event.cohort), event.stage or ("larva" if event.instar else "")
        there = sum(
            count
            for key, count in ledger.heads.items()
            if (not cohort or key.cohort == cohort)
            and (not stage or key.stage == stage)
            and (not event.enclosure or key.enclosure == event.enclosure)
            and (not event.mark or key.mark == event.mark)
        )
        assert there == event.count


@examples(100)
@given(told, st.data())
def test_a_withdrawn_event_is_as_if_it_had_never_happened(groups, data):
    # A label that was once given is not given again, so every cohort is named here.
    events = [one._replace(cohort="Q") if one.what in ("laid", "found") and not one.cohort else one for one in flat(groups)]
    gone = data.draw(st.sampled_from(standing(events) or events))
    with_it = replay([*events, Event("2031-06-20", "withdrawn", withdraws=gone.id, id="w")])
    if any(one.withdraws == gone.id for one in events):
        return  # it was brought back before: without it nothing could have been
    without = replay([one for one in events if one is not gone])
    assert with_it.heads == without.heads
    assert with_it.postings == without.postings
    assert with_it.faults == without.faults


@examples(100)
@given(told)
def test_entries_account_for_every_animal_that_is_there(groups):
    ledger = replay(flat(groups))
    for cohort in ledger.cohorts:
        for stage in STAGES:
            there = Counter()
            for entry in ledger.entries(cohort, stage):
                assert entry.earliest <= entry.latest and 0 <= entry.left
                there.update(dict(entry.now))
            assert there == {key: count for key, count in ledger.heads.items() if key.cohort == cohort and key.stage == stage}


@examples(60)
@given(told)
def test_the_store_takes_exactly_what_the_oracle_finds_possible(groups):
    """Groups come one by one in any order of date; the file's headcount follows, and no refused group leaves a trace."""
    with Store.memory() as store:
        kept = []
        for group in groups:
            lacking = any(one.what == "withdrawn" and one.withdraws not in {before.id for before in kept} for one in group)
            group = [one._replace(group="") for one in group] if lacking else group
            crowd = Crowd([*kept, *group])
            if crowd.unsaid:
                return
            possible = not crowd.refused and not lacking and not any(findings(one) for one in group)
            before, heads = store.events(), store.heads()
            written = store.append(group)
            assert possible == (not written.faults), (group, written.faults)
            if possible:
                # What was left out is written out, as far as there was but one choice; the story stays the same.
                kept += written.events
                assert plain(store.heads()) == crowd.headcount()
            else:
                assert (store.events(), store.heads()) == (before, heads)
        assert store.events() == kept
        assert plain(store.heads()) == Crowd(kept).headcount()
        assert store.heads() == replay(kept).heads


@examples(12)
@given(nurseries())
def test_a_keepers_records_give_the_oracles_headcount_day_by_day(events):
    _, crowd = same(events)
    assert not crowd.refused
    days = sorted({event.day for event in events})
    for day in days[:: max(1, len(days) // 6)]:
        same(events, datetime.fromisoformat(day) + timedelta(hours=12))


@pytest.mark.skipif(MORE < 10, reason="takes a minute")
def test_a_long_history_gives_the_oracles_headcount():
    same(random_events(3, 5, 12))
