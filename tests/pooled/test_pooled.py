"""Exports of two hundred nurseries, read by one engine: the statements of pooled.sql come to what the nurseries' own ledgers say."""

from __future__ import annotations

import os
import re
import zipfile
from collections import Counter, defaultdict
from datetime import datetime, timedelta
from pathlib import Path
from random import Random

import duckdb
import pytest

from nurserytui.exports.export import export
from nurserytui.exports.withholding import STEP, Withheld
from nurserytui.knowledge import base
from nurserytui.nursery import Nursery
from nurserytui.records.store import Store
from tests.oracle.nurseries import random_events

HERE = Path(__file__).parent
STATEMENTS = (HERE / "pooled.sql").read_text(encoding="utf-8")
NURSERIES = 200
ORCHARD = "orchard behind the mill"


def told(seed: int) -> list:
    """Two seasons of a small nursery, its finds with a place and its coordinates."""
    rng = Random(seed)
    latitude, longitude = 51 + rng.randrange(40_000) / 1e5, 9 + rng.randrange(40_000) / 1e5
    return [
        event._replace(place=ORCHARD, latitude=latitude, longitude=longitude) if event.what in ("laid", "found") else event
        for event in random_events(rng, 2, 2, looks_per_day=0.0, animals=(3, 9), first_year=2020 + seed % 4)
    ]


@pytest.fixture(scope="module")
def pool(tmp_path_factory):
    """(the ledgers, a connection in which the tables and views of pooled.sql stand)"""
    folder = tmp_path_factory.mktemp("pooled")
    (folder / "pool").mkdir()
    knowledge, ledgers = base.load(), []
    for seed in range(NURSERIES):
        events, name = told(seed), f"nursery-{seed:03}"
        with Store.memory() as store:
            assert not store.append(events).faults
            nursery = Nursery(store, knowledge, datetime.fromisoformat(events[-1].day) + timedelta(days=1))
            for form in ("jsonl", "zip"):
                export(nursery, folder / "pool" / f"{name}.{form}", form, withheld=Withheld("coarse"))
            ledgers.append(nursery.ledger)
        with zipfile.ZipFile(folder / "pool" / f"{name}.zip") as archive:
            archive.extractall(folder / "pool" / name)
    before = Path.cwd()
    os.chdir(folder)
    try:
        with duckdb.connect() as connection:
            for statement in re.findall(r"^CREATE .*?;$", STATEMENTS, re.DOTALL | re.MULTILINE):
                connection.execute(statement)
            yield ledgers, connection
    finally:
        os.chdir(before)


def answer(pool, name: str) -> list[tuple]:
    """What the statement of that name finds."""
    return pool[1].execute(re.search(rf"^-- {name}: .*?\n(SELECT.*?;)$", STATEMENTS, re.DOTALL | re.MULTILINE)[1]).fetchall()


def left(ledgers, *whats: str):
    """(nursery, ledger, posting) of every animal that left."""
    for nursery, ledger in enumerate(ledgers):
        for posting in ledger.postings:
            if posting.target is None and posting.event.what in whats:
                yield nursery, ledger, posting


def test_survival_over_all_nurseries(pool):
    grown, died, where = Counter(), Counter(), defaultdict(set)
    for nursery, ledger, posting in left(pool[0], "released", "given", "escaped", "died"):
        species = ledger.key_species(posting.source)
        where[species].add(nursery)
        if posting.source.stage == "adult":
            grown[species] += posting.count
        elif posting.event.what == "died":
            died[species] += posting.count
    found = answer(pool, "survival")
    assert [(species, out, dead, seen) for species, out, dead, _, seen in found] == [
        (species, grown[species], died[species], len(where[species])) for species in sorted(where)
    ]
    assert all(share == round(out / (out + dead), 4) for _, out, dead, share, _ in found)
    assert len(found) == 6 and all(out > 100 and seen > 20 for _, out, _, _, seen in found)


def test_causes_of_death_over_all_nurseries(pool):
    causes, where = Counter(), defaultdict(set)
    for nursery, _, posting in left(pool[0], "died"):
        if posting.event.detail:
            causes[posting.event.detail] += posting.count
            where[posting.event.detail].add(nursery)
    ordered = sorted(causes, key=lambda cause: (-causes[cause], cause))
    assert answer(pool, "causes") == [(cause, causes[cause], len(where[cause])) for cause in ordered]
    assert len(ordered) > 5


def test_first_emergence_by_year_over_all_nurseries(pool):
    first: dict[tuple[str, str], str] = {}
    for ledger in pool[0]:
        for posting in ledger.postings:
            if posting.event.what == "emerged" and posting.target.stage == "adult":
                key = ledger.key_species(posting.target), posting.event.day[:4]
                first[key] = min(posting.event.day, first.get(key, "9"))
    assert answer(pool, "emergence") == [(*key, first[key]) for key in sorted(first)]
    assert len({year for _, year in first}) > 3


def test_finds_by_tenth_of_a_degree_over_all_nurseries(pool):
    animals: Counter = Counter()
    for ledger in pool[0]:
        for event in ledger.events:
            if event.what in ("laid", "found"):
                animals[tuple(f"{round(round(at / STEP) * STEP, 1)}" for at in (event.latitude, event.longitude))] += event.count
    assert answer(pool, "places") == [(*spot, animals[spot]) for spot in sorted(animals)]
    assert len(animals) > 9


def test_no_export_tells_where_the_animals_were_found(pool):
    exact = {str(event.latitude) for ledger in pool[0] for event in ledger.events if event.latitude is not None}
    exact = {text for text in exact if len(text.partition(".")[2]) > 1}
    assert len(exact) > NURSERIES / 2
    for path in Path("pool").rglob("*"):
        if path.suffix in (".jsonl", ".csv", ".xml"):
            text = path.read_text(encoding="utf-8")
            assert ORCHARD not in text and not exact & set(re.findall(r"\d+\.\d+", text)), path


def test_the_developers_page_shows_what_is_run():
    page = (HERE.parents[1] / "DEVELOPERS.md").read_text(encoding="utf-8")
    section = re.search(r"^## Many nurseries pooled\n(.*?)^## ", page, re.DOTALL | re.MULTILINE)[1]
    shown = re.findall(r"^```sql\n(.*?)^```", section, re.DOTALL | re.MULTILINE)
    assert len(shown) == 2 and all(block.strip() in STATEMENTS for block in shown)
