"""A program that is killed loses nothing that it acknowledged, and leaves nothing half done."""

from __future__ import annotations

import random

import pytest

from faults import killing
from nurserytui.records.store import Store


@pytest.mark.parametrize("kind", killing.KINDS)
def test_what_was_acknowledged_is_there_after_a_kill(tmp_path, kind):
    chance, path = random.Random(kind), tmp_path / "n.db"
    Store.open(path).close()
    for tag in ("a", "b"):
        writes = killing.killed(kind, path, tag, chance)
        assert writes and killing.found(kind, path, tag, writes) == []


def test_a_half_that_was_left_would_be_seen(tmp_path):
    """The search itself is held to what it must find."""
    path = tmp_path / "n.db"
    with Store.open(path) as store:
        from nurserytui.records.events import Event

        store.append([Event("2031-06-02", "note", note="a 0 of 1"), Event("2031-06-02", "note", note="a 1 of 2")])
    assert killing.found("append", path, "a", 5) == [
        "append: write 1 has 1 of 2 rows", "append: 5 writes were acknowledged, 2 are there",
    ]  # fmt: skip
