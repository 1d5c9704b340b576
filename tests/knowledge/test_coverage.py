"""Counts of facts by how far they may be trusted, and of what is covered."""

from __future__ import annotations

from pathlib import Path

import pytest

from nurserytui.knowledge import coverage, links, load

KINDS = {"book": "published", "habit": "practice", "memory": "memory", "own": "own"}


@pytest.mark.parametrize(
    ("cited", "expected"),
    [
        ({"book"}, "published"),
        ({"book", "memory"}, "in part"),
        ({"book", "habit"}, "in part"),
        ({"habit"}, "practice"),
        ({"habit", "memory"}, "memory"),
        ({"memory"}, "memory"),
        ({"lost"}, "memory"),
        ({"own", "book"}, "own"),
    ],
)
def test_a_fact_is_trusted_as_its_weakest_source_lets_it_be(cited, expected):
    assert coverage.trust(cited, KINDS) == expected


def read_all(top, own=None):
    read = load.read(top, own)
    assert [*read.faults, *links.broken(read)] == []
    return read


def test_rows_count_cards_and_what_they_say(folder):
    counts = {row.part: row for row in coverage.rows(read_all(folder()))[0]}
    assert counts[coverage.PARTS["species"]][1:] == (1, 0, 0, 0, 1, 0)
    assert counts[coverage.CARDS["species"]][1:] == (1, 1, 0, 0, 0, 0)
    assert counts[coverage.PARTS["hosts"]][1:] == (1, 1, 0, 0, 0, 0)


def test_a_keepers_facts_are_counted_as_theirs(folder):
    own = folder({"mine.toml": '[hosts."Testa prima"."Herba spp."]\nrank = "poor"\nreason = "Tried."\n'}, "own", with_small=False)
    counts = {row.part: row for row in coverage.rows(read_all(folder(), own))[0]}
    assert counts[coverage.PARTS["hosts"]][1:] == (2, 1, 0, 0, 0, 1)


def test_what_lacks_something_is_named(folder):
    found = {each.what: each for each in coverage.has(read_all(folder()))}
    assert found["species with thermal numbers"][1:] == (0, 1, ("Testa prima",))
    assert found["species with a plant to feed"][1:] == (1, 1, ())
    assert found["plants with looks"].lacking == ("Herba spp.", "Herba una")
    assert "1 lacking, species with thermal numbers: Testa prima" in coverage.gaps(read_all(folder()))


def test_no_shipped_fact_is_without_a_source(shipped):
    assert coverage.rows(shipped)[1] == []


def test_the_table_in_the_docs_is_the_one_the_command_prints(shipped):
    """Written anew by putting the lines of `nurserytui knowledge check` between the two marks."""
    text = (Path(__file__).resolve().parents[2] / "DEVELOPERS.md").read_text(encoding="utf-8")
    between = text.split("<!-- coverage -->")[1].split("<!-- end of coverage -->")[0]
    assert between.strip().splitlines() == coverage.table(shipped)
