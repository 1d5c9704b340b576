"""One event in a line of words, as it stands in the records."""

from __future__ import annotations

from nurserytui.records.events import Event

_SHOWN = (
    "cohort",
    "mark",
    "species",
    "stage",
    "instar",
    "count",
    "enclosure",
    "to",
    "host",
    "detail",
    "note",
    "withdraws",
    "parent",
)
_MOST = 120


def written(event: Event) -> str:
    """`2031-06-01 laid, cohort B, species Pieris rapae, count ~30`."""
    parts = [f"{name} {value(event, name)}" for name in _SHOWN if getattr(event, name) not in ("", None)]
    text = ", ".join([f"{event.when} {event.what}", *parts])
    return text if len(text) <= _MOST else f"{text[:_MOST]}…"


def value(event: Event, name: str) -> str:
    """What an event says in a column; `nothing` where it says nothing."""
    found = getattr(event, name)
    if found in ("", None):
        return "nothing"
    if name == "count":
        return f"{'~' if event.estimate else ''}{found}"
    return f"{found:g}" if isinstance(found, float) else str(found)
