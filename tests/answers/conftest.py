"""A small nursery for the tests of answers, written as an events table, over the real knowledge base and a store that lies in memory."""

from __future__ import annotations

import csv
import io
from datetime import datetime
from types import SimpleNamespace

import pytest

from nurserytui import answers
from nurserytui.knowledge.base import load
from nurserytui.knowledge.facts import Agent
from nurserytui.language.request import Amount, Named, Period, Request
from nurserytui.nursery import Nursery
from nurserytui.records.events import Event

NOW = "2031-08-10T09:00"

EVENTS = """when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by
2030-05-01T12:00,laid,fennel-1,,Papilio polyxenes,egg,,20,jar,,Foeniculum vulgare,,,
2030-05-06,hatched,fennel-1,,,,,16,jar,,,,,
2030-05-09,died,fennel-1,,,egg,,4,jar,,,infertile,,
2030-05-20,missing,fennel-1,,,larva,,2,jar,,,,,
2030-05-24,returned,fennel-1,,,larva,,1,jar,,,,,
2030-05-25,pupated,fennel-1,,,,,15,jar,,,,,
2030-06-05,emerged,fennel-1,,,,,15,jar,,,,,
2030-06-06,released,fennel-1,,,adult,,8,jar,,,female,,
2030-06-06,released,fennel-1,,,adult,,6,jar,,,male,,
2030-06-07,escaped,fennel-1,,,adult,,1,jar,,,,,
2030-06-10,found,thistle-1,,Vanessa cardui,larva,2,12,big cage,,Cirsium vulgare,,,
2030-06-20,given,thistle-1,,,larva,,4,big cage,,,the library,,
2030-06-22,died,thistle-1,,,larva,,5,big cage,,,spider,,
2030-06-28,pupated,thistle-1,,,,,3,big cage,,,,,
2030-07-08,emerged,thistle-1,,,,,3,big cage,,,,,
2030-07-09,released,thistle-1,,,adult,,3,big cage,,,,,
2031-07-01,found,P,,Pieris rapae,larva,5,2,flight cage,,Brassica oleracea,,,
2031-07-05,pupated,P,,,,,2,flight cage,,,,,
2031-07-20,laid,fennel-2,,Papilio polyxenes,egg,,~30,jar,,Foeniculum vulgare,,,
2031-07-24,hatched,fennel-2,,,,,28,jar,,,,,
2031-07-26,moved,fennel-2,,,larva,,10,jar,box A,,,,
2031-07-28,found,Q,1,Vanessa atalanta,larva,4,1,flight cage,,Urtica dioica,,,
2031-07-28,found,Q,2,Vanessa atalanta,larva,4,1,flight cage,,Urtica dioica,,,
2031-07-29,found,R,,Vanessa cardui,larva,3,6,box A,,Cirsium vulgare,,,
2031-08-01,moved,fennel-2,,,larva,,4,box A,box B,,,,
2031-08-03,cleaned,,,,,,,jar,,,,,Ada
2031-08-04,pupated,Q,1,,,,1,flight cage,,,,,
2031-08-05T10:00,died,P,,,pupa,,2,flight cage,,,Pteromalus wasp,,
2031-08-06,died,R,,,larva,,2,box A,,,virus,,
2031-08-07,temperature,,,,,,,jar,,,20..30 C,,
2031-08-08,temperature,,,,,,,jar,,,68 F,,
2031-08-08T18:00,temperature,,,,,,,jar,,,24 C,,
2031-08-08T10:00,moved,,,,,,,box A,box C,,,,
2031-08-08T11:00,cleaned,,,,,,,box A,,,,,
2031-08-09,laid,white-2,,Pieris rapae,egg,,9,box D,,Brassica oleracea,,,
2031-08-10T07:00,fed,,,,,,,jar,,Foeniculum vulgare,,,
"""

AGENTS = (
    Agent("Pteromalus puparum", ("chalcid wasp",), "parasitoid wasp", ("prepupa", "pupa"), "", "", 12.2, 213.7),
    Agent("tachinid flies", ("tachinid fly",), "parasitoid fly", ("larva",), "", "", None, None, 10, 20),
    Agent("nuclear polyhedrosis virus", ("virus", "NPV"), "virus", ("larva",), "", "", contagious=True, watch_days=14),
)
"""Fixed numbers for what is traced, so that these tests do not move with the knowledge base."""


class MemoryStore:
    """The part of a store that a nursery reads."""

    def __init__(self, events: list[Event]) -> None:
        self._events = events

    def events(self) -> list[Event]:
        return list(self._events)

    def readings_stamp(self) -> int:
        return 0

    def cautions(self) -> tuple[str, ...]:
        return ()

    def first_reading(self) -> str:
        return ""

    def stamp(self) -> int:
        return len(self._events)

    def readings(self, place=None, since=None, until=None) -> list:
        return []

    def reading_places(self) -> list[str]:
        return []

    def put(self, *events: Event) -> None:
        """These events in the place of all."""
        self._events = list(events)

    def add(self, *rows: str) -> None:
        head = EVENTS.splitlines()[0]
        self._events += read("\n".join([head, *rows]), start=len(self._events))


def read(text: str, start: int = 0) -> list[Event]:
    """Events of an events table with plain numbers."""
    events = []
    for at, row in enumerate(csv.DictReader(io.StringIO(text)), start):
        count, instar = row.pop("count") or "", row.pop("instar") or ""
        fields = {name: value or "" for name, value in row.items()}
        number = int(count.lstrip("~")) if count else None
        event = Event(**fields, count=number, estimate=count.startswith("~"), instar=int(instar) if instar else None)
        events.append(event._replace(id=f"e{at}"))
    return events


def nursery(text: str = EVENTS, now: str = NOW) -> Nursery:
    knowledge = load()
    knowledge.__dict__["_agents"] = {agent.name: agent for agent in AGENTS}
    return Nursery(MemoryStore(read(text)), knowledge, datetime.fromisoformat(now))


def request(text: str, topic: str, **slots) -> Request:
    """A request as language would make it; `species=["Papilio polyxenes"]` and `period=("2030-01-01", "2031-01-01")` for short."""
    for name in ("species", "hosts", "agents"):
        if name in slots:
            slots[name] = tuple(Named(one, (one,)) for one in slots[name])
    if "period" in slots:
        start, end = slots["period"]
        slots["period"] = Period(datetime.fromisoformat(start), datetime.fromisoformat(end), slots.pop("said", ""))
    slots["cues"] = frozenset(slots.get("cues", ()))
    return Request(text, topic, plain=text.casefold().rstrip("?"), **slots)


@pytest.fixture
def small() -> Nursery:
    """The small nursery of this file at its own moment."""
    return nursery()


@pytest.fixture
def ask(small):
    """`ask(topic, text, **slots)`: the answer of the small nursery (or of `nursery=`) to a request with those slots."""

    def asked(topic: str, text: str, nursery: Nursery | None = None, **slots):
        return answers.respond(request(text, topic, **slots), nursery or small)

    return asked


@pytest.fixture
def keeping():
    """What tests need to make nurseries of their own: `.nursery(text, now)`, `.request(…)`, `.EVENTS`, `.Amount`."""
    return SimpleNamespace(nursery=nursery, request=request, EVENTS=EVENTS, Amount=Amount, NOW=NOW)
