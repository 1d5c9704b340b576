"""A small nursery and a conversation without answers, for tests of what lines mean."""

from __future__ import annotations

import csv
import io
import json
from datetime import datetime
from functools import cache
from pathlib import Path
from types import SimpleNamespace

from nurserytui.knowledge.base import load
from nurserytui.language.context import Context
from nurserytui.language.request import Request
from nurserytui.language.understand import understand
from nurserytui.records.events import Event
from nurserytui.records.ledger import replay
from nurserytui.records.settings import Settings

CORPUS = Path(__file__).parent / "corpus"
NOW = datetime(2026, 6, 22, 9)
EVENTS = """\
when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail
2025-05-10,laid,willow-1,,Nymphalis antiopa,egg,,60,big tent,,Salix nigra,
2025-05-18,hatched,willow-1,,,,,55,big tent,,,
2025-06-20,died,willow-1,,,larva,,5,big tent,,,virus
2025-06-25,pupated,willow-1,,,,,50,big tent,,,
2025-07-06,emerged,willow-1,,,,,48,big tent,,,
2025-07-07,released,willow-1,,,adult,,48,big tent,,,
2025-08-20,found,luna-5,,Actias luna,larva,3,6,crate 1,,Betula papyrifera,
2025-09-15,pupated,luna-5,,,,,6,crate 1,,,
2026-05-20,emerged,luna-5,,,,,2,crate 1,,,
2026-05-21,given,luna-5,,,adult,,2,crate 1,,,garden club
2026-06-01T09:00,laid,A,,Danaus plexippus,egg,,25,jar 2,,Asclepias incarnata,
2026-06-05,hatched,A,,,,,22,jar 2,,,
2026-06-06,moved,A,,,larva,,22,jar 2,tub 9,,
2026-06-10,found,fennel-3,,Papilio polyxenes,larva,2,9,shelf tub,,Foeniculum vulgare,
2026-06-14,died,A,,,larva,,2,tub 9,,,drowned
2026-06-16,found,B,1,Aglais io,larva,4,1,big tent,,Urtica dioica,
2026-06-16,found,B,2,Aglais io,larva,4,1,big tent,,Urtica dioica,
2026-06-18,laid,card-8,,Vanessa cardui,egg,,30,jar 4,,Malva sylvestris,
2026-06-19,prepupated,fennel-3,,,,,4,shelf tub,,,
2026-06-19,cleaned,,,,,,,tub 9,,,
2026-06-20,pupated,fennel-3,,,,,3,shelf tub,,,
2026-06-20,temperature,,,,,,,big tent,,,18..27 C
2026-06-21,sign,B,2,,larva,,1,big tent,,,limp and dark
"""


def nursery_of(table: str, now: datetime):
    """What understanding needs of a nursery, from an events table."""
    events = []
    for at, row in enumerate(csv.DictReader(io.StringIO(table))):
        filled = {name: value for name, value in row.items() if value}
        numbers = {name: int(filled[name]) for name in ("count", "instar") if name in filled}
        events.append(Event(**{**filled, **numbers, "id": str(at)}))
    ledger = replay(events, until=now)
    return SimpleNamespace(events=ledger.events, ledger=ledger, settings=Settings(), now=now, knowledge=load(), version=1)


@cache
def nursery():
    return nursery_of(EVENTS, NOW)


def answered(request: Request, place) -> SimpleNamespace:
    """What an answer to the request would leave for the lines after it: its status, what it is about, and where those animals are."""
    about = {}
    if request.cohorts:
        about["cohort"] = request.cohorts[0]
    if request.enclosures:
        about["enclosure"] = request.enclosures[0]
    keys = [key for key, count in place.ledger.heads.items() if count and key.cohort in request.cohorts]
    items = tuple({"name": key.cohort, "enclosure": key.enclosure} for key in keys) if request.topic == "headcount" else ()
    status = "recorded" if request.topic in ("record", "undo") else "answered" if request.topic else "unknown"
    return SimpleNamespace(status=status, about=about, items=items, options=(), topic=request.topic)


def converse(lines: list[str], place=None) -> Request:
    """The request that the last of the lines is understood as."""
    place = place or nursery()
    context, request = Context(), Request("")
    for line in lines:
        request = understand(line, place, context)
        context.remember(request, answered(request, place))
    return request


def corpus(name: str) -> list[dict]:
    return [json.loads(line) for line in (CORPUS / f"{name}.jsonl").read_text(encoding="utf-8").splitlines()]
