"""What holds of every answer to every line, whatever was typed. The contract's page lists it; here it is checked."""

from __future__ import annotations

import json
import re
from datetime import datetime, timedelta

from nurserytui.answers import TOPICS
from nurserytui.answers.answer import Answer
from nurserytui.assistant import Assistant
from nurserytui.demo import MOMENT
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.paths import shipped
from nurserytui.records.store import Store

STATUSES = ("answered", "recorded", "clarify", "unknown", "refused")
KEYS = ["status", "topic", "text", "about", "values", "items", "working", "sources", "cautions", "options", "next"]
LEVELS = (None, 0.9, 0.95)
UNTYPED = re.compile("[\\x00-\\x1f\\x7f-\\x9f\u2028\u2029\ud800-\udfff\u202a-\u202e\u2066-\u2069]")
"""What no line may hold that is to be sent again: line ends, control characters, halves of characters, turns of direction."""
OURS = "a fault of this program"
"""How an answer tells that the program failed."""


class Broken(AssertionError):
    """A promise that a line broke."""


def nursery(kind: str) -> Nursery:
    """A nursery in memory: `demo` or `empty`."""
    store = Store.memory(shipped("demo_db") / "demo.db" if kind == "demo" else None)
    return Nursery(store, load(), MOMENT)


def hold(promise: bool, *told: object) -> None:
    if not promise:
        raise Broken(" ".join(map(str, told)))


def hold_answer(line: str, answer: Answer) -> None:
    """The shape of an answer, as the contract has it."""
    hold(answer.status in STATUSES, "status", answer.status)
    hold(answer.topic in TOPICS, "topic", repr(answer.topic))
    hold(bool(answer.text.strip()), "no text")
    hold(OURS not in answer.text, answer.text)
    hold(not answer.text.startswith("Nothing was written: "), answer.text)
    row = answer.json_line()
    hold(row.isascii() and "\n" not in row, "not one line of ASCII")
    told = json.loads(row)
    hold(list(told) == KEYS, "keys", list(told))
    for name, value in told["values"].items():
        hold(value["level"] in LEVELS or 0 < value["level"] < 1, name, value)
        hold(value["value"] is not None or "reason" in value, name, "is null without a reason")
    hold(all(isinstance(item, dict) and "name" in item for item in told["items"]), "items without a name", told["items"])
    hold(answer.status != "clarify" or not answer.topic == "", "clarify without a topic")
    hold(len(answer.options) == len(set(answer.options)), "options twice", answer.options)
    for option in (*answer.options, *answer.next):
        hold(isinstance(option, str) and option.strip() != "", "an option to send is", repr(option))
        hold(not UNTYPED.search(option), "an option cannot be typed:", repr(option))
    if answer.topic in ("safety", "law") and answer.status == "answered":
        hold(bool(answer.cautions), answer.topic, "without cautions")


class Keeper:
    """Says lines to a nursery and holds what must hold of every answer, and of the records before and after it."""

    def __init__(self, kind: str = "demo", place: Nursery | None = None) -> None:
        self.nursery = place or nursery(kind)
        self.assistant = Assistant(self.nursery)
        self._written = len(self.nursery.store.events())

    def say(self, line: str, now: datetime | None = None) -> Answer:
        answer = self.assistant.reply(line, now)
        hold_answer(line, answer)
        written = len(self.nursery.store.events())
        allowed = answer.status == "recorded" or (answer.topic == "undo" and answer.status == "answered")
        hold(allowed or written == self._written, "written by an answer that is", answer.status, answer.topic)
        hold(answer.status != "recorded" or written > self._written, "recorded, but nothing was written")
        hold(written >= self._written, "events are gone")
        self._written = written
        return answer

    def new_conversation(self) -> None:
        self.assistant.new_conversation()

    @property
    def written(self) -> int:
        return self._written


def later(days: float) -> datetime:
    return MOMENT + timedelta(days=days)
