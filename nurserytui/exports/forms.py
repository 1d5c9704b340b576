"""The forms that an export may have, by name."""

from __future__ import annotations

from typing import NamedTuple


class Form(NamedTuple):
    ending: str
    says: str
    """What is in it, for a keeper."""
    begins: tuple[bytes, ...]
    """How a file of the form begins, in lower case."""


FORMS = {
    "csv": Form(".csv", "events", (b"when,what,",)),
    "ics": Form(".ics", "dates", (b"begin:vcalendar",)),
    "zip": Form(".zip", "Darwin Core Archive", (b"pk\x03\x04", b"pk\x05\x06")),
    "html": Form(".html", "season report", (b"<!doctype html", b"<html")),
    "jsonl": Form(".jsonl", "everything", (b'{"nursery"',)),
    "readings": Form(".csv", "logger readings", (b"time,place,temperature",)),
}


def form_of(name: str) -> str:
    """The form that a file's name tells; "" for none."""
    return next((form for form, known in FORMS.items() if name.lower().endswith(known.ending)), "")
