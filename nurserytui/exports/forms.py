"""The forms that an export may have, by name, and how a file tells that it is one of ours."""

from __future__ import annotations

import re
from typing import NamedTuple


class Form(NamedTuple):
    ending: str
    says: str
    """What is in it, for a keeper."""
    begins: re.Pattern[bytes]
    """How a file begins that this program wrote in this form, and no other program's of the same kind."""
    older: str = "export of this form"


_EVENTS = rb"when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,id,withdraws,by,place,latitude,longitude,parent\r\n"
_ARCHIVE = rb"PK\x03\x04\x14\0\0\0\x08\0\0\0!\0.{12}\x0e\0\0\0occurrence\.csv"
"""The first local header of a ZIP file (APPNOTE 6.3, section 4.3.7), with the fixed date and the name that the archive writes."""

FORMS = {
    "csv": Form(".csv", "events", re.compile(_EVENTS)),
    "ics": Form(".ics", "dates", re.compile(rb"BEGIN:VCALENDAR\r\nPRODID:-//nurserytui//nurserytui//EN\r\n")),
    "zip": Form(".zip", "Darwin Core Archive", re.compile(_ARCHIVE, re.DOTALL)),
    "html": Form(
        ".html",
        "season report",
        re.compile(rb'<!doctype html>[^>]*>\s<head>\s<meta charset="utf-8">\s<meta name="generator" content="nurserytui">'),
    ),
    "jsonl": Form(".jsonl", "everything", re.compile(rb'\{"nursery": \{"version": \d+, "temperature": "C"')),
    "readings": Form(".csv", "logger readings", re.compile(rb"time,place,temperature_C\r\n")),
}
FAULTS = Form("", "what is wrong in a file", re.compile(rb"nurserytui: what is wrong in [^\n]*\n"), "list of faults")
"""What an import writes down beside telling it."""


def form_of(name: str) -> str:
    """The form that a file's name tells; "" for none."""
    return next((form for form, known in FORMS.items() if name.lower().endswith(known.ending)), "")
