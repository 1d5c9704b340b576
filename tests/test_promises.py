"""Every promise that the developers' page makes names a test that is there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
SECTION = "## Promises, each with the test that holds it"
HELD_BY = re.compile(r"`(tests/[\w/]+\.py)::(\w+)`")


def rows() -> list[str]:
    page = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    section = page.partition(f"\n{SECTION}\n")[2].partition("\n## ")[0]
    return [line for line in section.splitlines() if line.startswith("| ") and not line.startswith(("| promise |", "| --- "))]


def test_there_are_promises():
    assert len(rows()) > 30


@pytest.mark.parametrize("row", rows())
def test_a_promise_is_held_by_a_test_that_is_there(row):
    named = HELD_BY.findall(row)
    assert named, "no test is named"
    for file, test in named:
        text = (ROOT / file).read_text(encoding="utf-8")
        assert re.search(rf"^(async )?def {test}\(", text, re.MULTILINE), f"{file} has no {test}"
