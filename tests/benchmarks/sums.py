"""The same sums three ways: by the program's answers, by pandas and by SQL over the file's own tables.

What SQL cannot do over `events` alone, because it hangs on the order of events, it takes from `heads`, the headcount that the program
keeps beside them: a change without a number takes all that can change, so that nothing but a replay knows who stands in which stage.
Two more limits: a withdrawal that was itself withdrawn counts here all the same, and so does the species before it was corrected.
"""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

from nurserytui.assistant import Assistant

Sums = dict[Any, float]
STANDING = """
WITH RECURSIVE
gone(id) AS MATERIALIZED (SELECT withdraws FROM events WHERE what = 'withdrawn'),
standing AS MATERIALIZED (SELECT * FROM events WHERE what <> 'withdrawn' AND id NOT IN gone),
named(label, kind) AS (
    SELECT cohort, species FROM standing WHERE what IN ('laid', 'found')
    UNION SELECT passed."to", named.kind FROM standing AS passed JOIN named ON passed.cohort = named.label
        WHERE passed.what IN ('split', 'renamed')
)
"""
"""What stands, and the species of every label: labels come from others by `split` and `renamed`."""
HEADCOUNT = "SELECT cohort, stage, SUM(count) FROM heads GROUP BY cohort, stage"
LIVING = f"""{STANDING}
SELECT kind, SUM(CASE WHEN what IN ('laid', 'found', 'returned') THEN coalesce(count, 1) ELSE -coalesce(count, 1) END) AS living
FROM standing JOIN named ON named.label = standing.cohort
WHERE what IN ('laid', 'found', 'returned', 'died', 'released', 'escaped', 'given', 'missing')
GROUP BY kind HAVING living <> 0"""
SURVIVAL = f"""{STANDING},
ends(kind, grown, animals) AS (
    SELECT kind, stage = 'adult', coalesce(count, 1) FROM standing JOIN named ON named.label = standing.cohort
        WHERE what IN ('released', 'given', 'escaped', 'died', 'missing')
            AND (what = 'died' OR stage = 'adult')
    UNION ALL SELECT kind, 1, count FROM heads JOIN named ON named.label = heads.cohort WHERE stage = 'adult'
    UNION ALL SELECT kind, 1, -coalesce(count, 1) FROM standing JOIN named ON named.label = standing.cohort
        WHERE what = 'returned' AND stage = 'adult'
)
SELECT kind, SUM(grown * animals), SUM((1 - grown) * animals) FROM ends GROUP BY kind"""
CAUSES = f"{STANDING} SELECT detail, SUM(coalesce(count, 1)) FROM standing WHERE what = 'died' GROUP BY detail"
MONTHS = """SELECT place, substr("when", 1, 7) AS month, AVG((low + high) / 2) FROM readings GROUP BY place, month"""
UNSAID = "cause not recorded"


class Sum(NamedTuple):
    """One question in three hands; each returns what it found, as a table of numbers."""

    name: str
    program: Callable[[Assistant], Sums]
    pandas: Callable[[dict], Sums]
    sql: Callable[[sqlite3.Connection], Sums]


def same(one: Sums, other: Sums) -> bool:
    """Whether both say the same; answers give temperatures to a hundredth of a degree."""
    return one.keys() == other.keys() and all(abs(one[key] - other[key]) <= 0.0050001 for key in one)


def frames(path: Path) -> dict:
    """The tables as pandas holds them: the events that stand, with the species of their cohort, the headcount and the readings."""
    import pandas

    with sqlite3.connect(path) as connection:
        events, heads, readings = (pandas.read_sql_query(f"SELECT * FROM {name}", connection) for name in ("events", "heads", "readings"))  # fmt: skip
    readings["month"] = pandas.to_datetime(readings["when"]).dt.strftime("%Y-%m")
    events = events[(events.what != "withdrawn") & ~events.id.isin(events.withdraws.dropna())]
    begun = events[events.what.isin(("laid", "found"))]
    species = dict(zip(begun.cohort, begun.species, strict=True))
    for row in events[events.what.isin(("split", "renamed"))].itertuples():
        species[row.to] = species[row.cohort]
    for frame in (events, heads):
        frame["kind"] = frame.cohort.map(species)
    return {"events": events.assign(animals=events["count"].fillna(1)), "heads": heads, "readings": readings}


# By the program's answers ------------------------------------------------------------------------------------------------


def _told(assistant: Assistant, line: str):
    answer = assistant.reply(line)
    assert answer.status == "answered", (line, answer.text)
    return answer


def _added(items, *names: str) -> Sums:
    sums: Counter = Counter()
    for item in items:
        sums[tuple(item[name] for name in names)] += item["count"]
    return dict(sums)


def _headcount(assistant: Assistant) -> Sums:
    return _added(_told(assistant, "how many animals do I have").items, "cohort", "stage")


def _living(assistant: Assistant) -> Sums:
    return _added(_told(assistant, "how many animals do I have").items, "species")


def _survival(assistant: Assistant) -> Sums:
    sums = {}
    for item in _told(assistant, "survival by species").items:
        species = item["name"].rpartition("(")[2].rstrip(")")
        sums[species, "reached"], sums[species, "died"] = item["reached"], item["died"]
    return sums


def _causes(assistant: Assistant) -> Sums:
    return _added(_told(assistant, "causes of death").items, "name")


def _months(assistant: Assistant) -> Sums:
    """A question for each month of each place that has a logger."""
    store = assistant.nursery.store
    sums = {}
    for place in store.reading_places():
        first, last = (store._rows(f'SELECT {which}("when") FROM readings WHERE place = ?', (place,))[0][0] for which in ("min", "max"))  # fmt: skip
        for number in range(int(first[:4]) * 12 + int(first[5:7]) - 1, int(last[:4]) * 12 + int(last[5:7])):
            month = date(number // 12, number % 12 + 1, 1)
            mean = _told(assistant, f"mean temperature of {place} in {month:%B %Y}").values["mean"].value
            sums[place, f"{month:%Y-%m}"] = mean
    return sums


# By pandas and by SQL ----------------------------------------------------------------------------------------------------


def _survival_of_frames(held: dict) -> Sums:
    events, heads = held["events"], held["heads"]
    grown = events.stage == "adult"
    left = events.what.isin(("released", "given", "escaped", "missing", "died"))
    reached = (
        events[left & grown].groupby("kind").animals.sum()
        .add(heads[heads.stage == "adult"].groupby("kind")["count"].sum(), fill_value=0)
        .sub(events[(events.what == "returned") & grown].groupby("kind").animals.sum(), fill_value=0)
    )  # fmt: skip
    died = events[(events.what == "died") & ~grown].groupby("kind").animals.sum()
    names = sorted({*reached.index, *died.index})
    return {(name, word): float(found.get(name, 0)) for name in names for word, found in (("reached", reached), ("died", died))}


def _living_of_frames(held: dict) -> Sums:
    events = held["events"]
    came = events[events.what.isin(("laid", "found", "returned"))].groupby("kind").animals.sum()
    went = events[events.what.isin(("died", "released", "escaped", "given", "missing"))].groupby("kind").animals.sum()
    return {(name,): count for name, count in came.sub(went, fill_value=0).items() if count}


def _causes_of_frames(held: dict) -> Sums:
    events = held["events"]
    found = events[events.what == "died"].groupby("detail").animals.sum()
    return {(cause or UNSAID,): count for cause, count in found.items()}


def _rows(query: str) -> Callable[[sqlite3.Connection], Sums]:
    return lambda connection: {(*row[:-1],): row[-1] for row in connection.execute(query)}


SUMS = (
    Sum("headcount by cohort and stage", _headcount,
        lambda held: held["heads"].groupby(["cohort", "stage"])["count"].sum().to_dict(), _rows(HEADCOUNT)),
    Sum("headcount by species, from events alone", _living, _living_of_frames, _rows(LIVING)),
    Sum("survival by species (reached adult, died before)", _survival, _survival_of_frames,
        lambda connection: {(species, word): count for species, *counts in connection.execute(SURVIVAL)
                            for word, count in zip(("reached", "died"), counts, strict=True)}),
    Sum("deaths by cause", _causes, _causes_of_frames,
        lambda connection: {(cause or UNSAID,): count for cause, count in connection.execute(CAUSES)}),
    Sum("mean temperature by place and month", _months,
        lambda held: held["readings"].assign(mean=(held["readings"].low + held["readings"].high) / 2)
        .groupby(["place", "month"])["mean"].mean().to_dict(), _rows(MONTHS)),
)  # fmt: skip
