"""A record that was asked about is not lost in silence when the keeper goes on with something else."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from record_nursery import NOW, MemoryStore  # noqa: E402

from nurserytui.assistant import Assistant  # noqa: E402
from nurserytui.knowledge.base import load  # noqa: E402
from nurserytui.nursery import Nursery  # noqa: E402

KNOWLEDGE = load()


def last(dialogue: str) -> str:
    """The last answer's text."""
    talk = Assistant(Nursery(MemoryStore(), KNOWLEDGE, NOW))
    return [talk.reply(line) for line in dialogue.split(" / ")][-1].text


@pytest.mark.parametrize(
    ("dialogue", "line"),
    [
        ("moved 2 from blue cage / how many are in blue cage", "moved 2 from blue cage"),
        ("moved 2 from blue cage / larvae / what needs doing today", "moved 2 from blue cage"),
        ("two pupated / when will S emerge", "two pupated"),
        ("two pupated / what do red admirals eat", "two pupated"),
        ("two pupated / what is the capital of france", "two pupated"),
        ("two pupated / bleach splashed in my eye", "two pupated"),
        ("one hatched / one S pupa died", "one hatched"),
        (f"two pupated ({'at last ' * 10}) / how many S", f"two pupated ({('at last ' * 9)[:67].rstrip()}…"),
    ],
)
def test_what_waited_and_was_passed_over_is_said(dialogue, line):
    assert last(dialogue).endswith(f"\nNot written: “{line}”.")


@pytest.mark.parametrize(
    "dialogue",
    [
        "moved 2 from blue cage / larvae, to tank 2",
        "moved 2 from blue cage / to tank 2",
        "moved 2 from blue cage / moved 2 fennel-2 larvae from blue cage to tank 2",
        "moved 2 from blue cage / forget it",
        "moved 2 from blue cage / forget it / how many are in blue cage",
        "two pupated / 2 fennel-2 larvae in tank 2 pupated / how many S",
        "one hatched / A / how many A",
        "how many are in the cage / how many S",
        "one S pupa died / how many S",
    ],
)
def test_what_was_answered_dropped_or_told_anew_is_not(dialogue):
    assert "Not written" not in last(dialogue)
