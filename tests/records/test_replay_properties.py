"""Whatever is told in whatever order: no headcount below zero, none made or lost, and the same as the slow oracle counts."""

from __future__ import annotations

from collections import Counter
from datetime import datetime

from hypothesis import given, settings
from hypothesis import strategies as st
from oracle.crowd import Crowd, Impossible

from nurserytui.records.events import STAGES, Event
from nurserytui.records.ledger import replay
from nurserytui.records.store import Store

LABELS, PLACES = ("A", "B"), ("jar", "box")
cohorts, places = st.sampled_from(LABELS), st.sampled_from(PLACES)
some_place = st.sampled_from(("", "", *PLACES))
counts = st.one_of(st.none(), st.integers(1, 6))
numbers = st.integers(1, 6)
marks = st.sampled_from(("", "", "", "1", "2"))
stages = st.sampled_from(("", "", *STAGES))


def event(what, **parts):
    def made(drawn):
        drawn = dict(drawn)
        if drawn.get("mark"):
            drawn["count"] = 1
        return Event("2031-06-01", what, **drawn)

    return st.fixed_dictionaries(parts).map(made)


SPECIES = st.sampled_from(("Pieris rapae", "Pieris rapae", "Pieris rapae", "Vanessa cardui"))
entering = st.one_of(
    event("laid", cohort=cohorts, species=SPECIES, stage=st.just("egg"), count=numbers, enclosure=places),
    event("found", cohort=cohorts, species=SPECIES, stage=st.sampled_from(STAGES), count=numbers, enclosure=places, mark=marks),
    event(
        "found",
        cohort=cohorts,
        species=SPECIES,
        stage=st.just("larva"),
        instar=st.integers(1, 5),
        count=numbers,
        enclosure=places,
    ),
)
changing = st.one_of(
    *(
        event(what, cohort=cohorts, count=counts, enclosure=some_place, mark=marks)
        for what in ("hatched", "prepupated", "pupated", "emerged")
    ),
    event("moulted", cohort=cohorts, count=counts, enclosure=some_place, instar=st.one_of(st.none(), st.integers(2, 5))),
)
going = st.one_of(
    *(
        event(what, cohort=cohorts, count=numbers, stage=stages, enclosure=some_place, mark=marks)
        for what in ("died", "released", "missing", "given")
    ),
    event("returned", cohort=cohorts, count=numbers),
    event("moved", cohort=cohorts, count=counts, stage=stages, enclosure=some_place, to=places, mark=marks),
    event("moved", enclosure=places, to=places),
    event("split", cohort=cohorts, count=numbers, stage=stages, to=cohorts),
    event("merged", cohort=cohorts, to=cohorts),
    event("checked", cohort=cohorts, enclosure=some_place),
)
told = st.tuples(
    st.lists(entering, min_size=3, max_size=8), st.lists(st.one_of(entering, changing, changing, going), max_size=20)
).map(lambda drawn: [one._replace(id=f"e{at}") for at, one in enumerate(drawn[0] + drawn[1])])
dated = st.tuples(told, st.lists(st.integers(1, 9), min_size=28, max_size=28)).map(
    lambda drawn: [one._replace(when=f"2031-06-{day:02}") for one, day in zip(*drawn, strict=False)]
)


def plain(heads):
    return {tuple(key): count for key, count in heads.items()}


@settings(max_examples=600, deadline=None)
@given(told)
def test_headcounts_and_refusals_equal_the_oracle(events):
    crowd, refused = Crowd(), []
    for one in events:
        try:
            crowd.tell(one)
        except Impossible:
            refused.append(one.id)
    ledger = replay(events)
    assert [fault.event.id for fault in ledger.faults] == refused
    assert plain(ledger.heads) == crowd.headcount()
    assert Counter(ledger.missing) == crowd.missing()


@settings(max_examples=150, deadline=None)
@given(dated)
def test_no_headcount_is_ever_below_zero_and_no_animal_is_made_or_lost(events):
    ledger = replay(events)
    heads = Counter()
    for one, source, target, count in ledger.postings:
        assert count > 0
        assert (source is None) <= (one.what in ("laid", "found", "returned", "counted"))
        assert (target is None) <= (one.what in ("died", "released", "escaped", "given", "missing", "counted"))
        if source is not None:
            heads[source] -= count
            assert heads[source] >= 0
        if target is not None:
            heads[target] += count
    assert {key: count for key, count in heads.items() if count} == ledger.heads


@settings(max_examples=150, deadline=None)
@given(dated, st.data())
def test_a_withdrawn_event_is_as_if_it_had_never_happened(events, data):
    gone = data.draw(st.sampled_from(events))
    with_it = replay([*events, Event("2031-06-20", "withdrawn", withdraws=gone.id, id="w")])
    without = replay([one for one in events if one is not gone])
    assert with_it.heads == without.heads
    assert with_it.postings == without.postings
    assert with_it.faults == without.faults


@settings(max_examples=100, deadline=None)
@given(dated, st.integers(1, 9))
def test_the_moment_hides_what_is_later(events, day):
    ledger = replay(events, until=datetime(2031, 6, day, 12))
    assert ledger.heads == replay([one for one in events if one.when <= f"2031-06-{day:02}"]).heads


@settings(max_examples=100, deadline=None)
@given(dated)
def test_entries_account_for_every_animal_that_is_there(events):
    ledger = replay(events)
    for cohort in ledger.cohorts:
        for stage in STAGES:
            there = Counter()
            for entry in ledger.entries(cohort, stage):
                assert entry.earliest <= entry.latest and 0 <= entry.left
                there.update(dict(entry.now))
            assert there == {key: count for key, count in ledger.heads.items() if key.cohort == cohort and key.stage == stage}


@settings(max_examples=40, deadline=None)
@given(dated)
def test_the_store_takes_exactly_what_leaves_all_of_the_records_possible(events):
    """Events come one by one in any order of date; the file's headcount follows, and no refused event leaves a trace."""
    with Store.memory() as store:
        kept = []
        for one in events:
            possible = not replay([*kept, one]).faults
            written = store.append([one])
            assert possible == (not written.faults)
            if possible:
                kept += written.events
        assert store.events() == kept
        assert store.heads() == replay(kept).heads
