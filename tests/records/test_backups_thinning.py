"""The rule for backups: read from a setting, said back, and what it takes away is never one too many."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nurserytui.records.backups.rule import MOST, NEWEST, OFF, SAFEGUARDS, Rule, parse, sentence, written
from nurserytui.records.backups.thinning import ORDINARY, SPANS, going

NOW = datetime(2026, 6, 18, 7, 30)
counts = st.integers(0, MOST)
rules = st.builds(Rule, st.booleans(), st.booleans(), counts, counts, counts, st.none() | counts).map(
    lambda rule: rule if rule.on else OFF
)
small = st.builds(Rule, st.just(True), st.booleans(), *[st.integers(0, 6)] * 3, st.none() | st.integers(0, 3))
moments = st.integers(-3 * 365 * 24, 24 * 400).map(lambda hours: NOW + timedelta(hours=hours))
copies = st.lists(st.tuples(moments, st.sampled_from([*ORDINARY, "before-restore", "before-migration"])), max_size=60)


@pytest.mark.parametrize(
    ("said", "rule"),
    [
        ("off", OFF),
        ("Off.", OFF),
        ("on", Rule()),
        ("daily", Rule()),
        ("daily, keep 10 days", Rule(days=10)),
        ("keep 10 days and 3 weeks", Rule(days=10, weeks=3)),
        ("not daily, before imports", Rule(daily=False)),
        ("no daily and not before imports", OFF),
        ("every day; keep no months, 2 years", Rule(months=0, years=2)),
        ("keep 7 days, all years", Rule()),
        ("before every import, keep 1 day", Rule(days=1)),
    ],
)
def test_a_rule_is_read(said, rule):
    assert parse(said) == rule


@pytest.mark.parametrize(
    "said", ["", "sometimes", "keep all days", f"keep {MOST + 1} days", "keep -1 days", "keep 10", "daily daily", "10 lions"]
)
def test_what_is_no_rule_is_told(said):
    with pytest.raises(ValueError, match=".{10}"):
        parse(said)


def test_what_is_not_said_stays_as_it_was():
    assert parse("keep 10 days", Rule(imports=False, weeks=2)) == Rule(imports=False, days=10, weeks=2)
    assert parse("daily", OFF) == Rule()


@given(rules)
def test_a_rule_that_was_written_is_read_back_and_can_be_said(rule):
    assert parse(written(rule)) == rule
    assert ("off" in sentence(rule)) != rule.on and "before a restore" in sentence(rule)


def test_the_usual_rule_in_a_sentence():
    assert sentence(Rule()) == (
        "A backup is made after the first answer of a day if anything was written since the last one, before an import, before a restore "
        "and before the file is brought up to a new version of the program. Kept are the newest 5, and the last of each of 7 days, 5 weeks, 12 months and every year; of those before "
        "a restore or a new version the newest 10 of each."
    )


@given(copies, small)
def test_never_one_less_than_the_rule_keeps(copies, rule):
    gone = going(copies, rule, NOW)
    assert all(copies[at][0] <= NOW for at in gone), "what is dated ahead stays"
    past = [(moment, at) for at, (moment, why) in enumerate(copies) if moment <= NOW and why in ORDINARY]
    for name, span in SPANS.items():
        spans = sorted({span(moment) for moment, _ in past}, reverse=True)
        for one in spans[: getattr(rule, name)]:
            assert max((moment, at) for moment, at in past if span(moment) == one)[1] not in gone
    assert not gone & {at for _, at in sorted(past, reverse=True)[:NEWEST]}
    for kind in ("before-restore", "before-migration"):
        newest = sorted(((moment, at) for at, (moment, why) in enumerate(copies) if why == kind and moment <= NOW), reverse=True)
        assert not gone & {at for _, at in newest[:SAFEGUARDS]}


@given(copies, small)
def test_the_newest_stays_whatever_the_rule(copies, rule):
    past = [(moment, at) for at, (moment, _) in enumerate(copies) if moment <= NOW]
    if past:
        latest = max(moment for moment, _ in past)
        assert [at for moment, at in past if moment == latest and at not in going(copies, rule, NOW)]


@given(copies, small)
def test_thinning_twice_takes_no_more(copies, rule):
    gone = going(copies, rule, NOW)
    assert not going([one for at, one in enumerate(copies) if at not in gone], rule, NOW)


@given(copies, small, st.integers(0, 10_000))
def test_a_clock_that_jumps_back_takes_nothing_that_would_not_go_anyway(copies, rule, hours):
    assert going(copies, rule, NOW - timedelta(hours=hours)) <= going(copies, rule, NOW)


@given(copies, small)
def test_a_backup_dated_ahead_takes_none_of_the_others_away(copies, rule):
    past = [one for one in copies if one[0] <= NOW]
    ahead = [one for one in copies if one[0] > NOW]
    assert going([*past, *ahead], rule, NOW) == going(past, rule, NOW)


def test_with_backups_off_none_is_taken_away():
    assert not going([(NOW - timedelta(days=day), "asked") for day in range(500)], OFF, NOW)


def test_three_years_of_days_leave_a_week_five_weeks_a_year_of_months_and_every_year():
    there: list[tuple[datetime, str]] = []
    for day in range(3 * 365):
        now = NOW + timedelta(days=day)
        there.append((now, "daily"))
        gone = going(there, Rule(), now)
        there = [one for at, one in enumerate(there) if at not in gone]
    ages = [(now - moment).days for moment, _ in there]
    assert ages[-7:] == [6, 5, 4, 3, 2, 1, 0]
    assert len({moment.isocalendar()[:2] for moment, _ in there}) >= 5
    assert len({(moment.year, moment.month) for moment, _ in there}) >= 12
    assert {moment.year for moment, _ in there} == {2026, 2027, 2028, 2029}
    assert len(there) <= 7 + 5 + 12 + 4
