"""Questions for days and causes in the keeper's own records, in few words, and what they leave out after one another."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from record_nursery import NOW, MemoryStore  # noqa: E402

from nurserytui.assistant import Assistant  # noqa: E402
from nurserytui.knowledge.base import load  # noqa: E402
from nurserytui.nursery import Nursery  # noqa: E402
from nurserytui.records.events import Event  # noqa: E402

KNOWLEDGE = load()
EVENTS = (
    Event("2024-06-01", "laid", "old-1", species="Pieris rapae", stage="egg", count=9, enclosure="tub 2"),
    Event("2024-06-05", "hatched", "old-1", count=8),
    Event("2024-06-06", "died", "old-1", stage="egg", count=1, enclosure="tub 2", detail="mould"),
    Event("2024-06-28", "pupated", "old-1", count=8),
    Event("2024-07-08", "emerged", "old-1", count=8),
    Event("2024-07-09", "released", "old-1", count=8),
    Event("2024-08-03", "found", "K", species="Actias luna", stage="pupa", count=6, enclosure="shelf box"),
    Event("2024-10-02", "moved", "K", stage="pupa", count=6, enclosure="shelf box", to="cold box"),
    Event("2025-04-11", "moved", "K", stage="pupa", count=6, enclosure="cold box", to="shelf box"),
    Event(
        "2025-08-11", "found", "F", species="Polygonia c-album", stage="larva", count=7, enclosure="tent", host="Urtica dioica"
    ),
    Event("2025-08-13", "fed", enclosure="tent", host="Urtica dioica"),
    Event("2025-08-14", "pupated", "F", count=2),
    Event("2025-08-15", "temperature", enclosure="tent", detail="20 C"),
    Event("2025-08-16", "temperature", enclosure="tent", detail="26 C"),
    Event("2025-08-16", "temperature", enclosure="shelf box", detail="5 C"),
)


def said(dialogue: str):
    talk = Assistant(Nursery(MemoryStore(EVENTS), KNOWLEDGE, NOW))
    return [talk.reply(line) for line in dialogue.split(" / ")][-1]


@pytest.mark.parametrize(
    ("dialogue", "topic", "words"),
    [
        ("one F larva died in tent, virus / what did I just write down", "history", "1 F larva died in tent (virus)"),
        ("one F larva died in tent, virus / which cage did i say?", "history", "Written down last: 1 F larva died in tent"),
        ("fed tent, cleaned shelf box / read that back to me", "history", "Also: shelf box cleaned"),
        ("what was the last entry", "history", "shelf box: temperature 5 C|temperature 5 C"),
        ("when did K go into the cold / and when did they come out again", "history", "2025-04-11"),
        ("when was K moved to the cold box / and out again?", "history", "2025-04-11"),
        ("K into cold storage, date?", "history", "2024-10-02"),
        ("K: date they left the cold box", "history", "2025-04-11"),
        ("date it went in the cold box, K", "history", "2024-10-02"),
        ("what day did we take F in", "history", "2025-08-11"),
        ("when did I bring F in", "history", "2025-08-11"),
        ("butterflies set free during 2024, how many in all", "history", "8 adults released in 2024"),
        ("in which box are the F pupae", "headcount", "tent"),
        ("which cage is the last comma pupa in", "headcount", "tent"),
        ("F cats remaining after the virus", "headcount", "5 larvae"),
        ("when will F emerge / show the sums", "explain", "tent"),
        ("old-1 hatch date", "history", "2024-06-05"),
        ("old-1: hatched when? / released?", "history", "2024-07-09"),
        ("old-1 emerged when / release date?", "history", "2024-07-09"),
        ("when was nettle last put in the tent", "history", "2025-08-13"),
        ("what were they dying from in 2024?", "survival", "mould"),
        ("did anything die in tub 2 in 2024 / what of", "survival", "mould"),
        ("those commas that have pupated, when will they be out", "stage-forecast", "should emerge"),
        ("when will F emerge / since when have they been pupae", "history", "2025-08-14"),
        ("when was the tent last fed / with what", "history", "Urtica dioica"),
        ("what did I lose in 2024 / how many of those went mouldy", "survival", "mould"),
        ("anything coming out this wknd", "round|stage-forecast", "come out|emerge"),
        ("mean temp tent", "temperature", "Tent: mean 23 °C"),
        ("tent max", "temperature", "highest 26 °C"),
        ("max recorded in the tent", "temperature", "highest 26 °C"),
        ("jobs before the bell", "round", "task"),
        ("what does the list say for today / y is that first", "explain|round", "because|task"),
    ],
)
def test_answered(dialogue, topic, words):
    answer = said(dialogue)
    assert answer.status == "answered" and answer.topic in topic.split("|"), answer.text
    assert any(each in answer.text for each in words.split("|")), answer.text
