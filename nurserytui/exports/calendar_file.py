"""Expected changes and due tasks as an iCalendar file (RFC 5545), written by the library `icalendar`.

Entries are events of a whole day, not to-dos: many calendars of phones show no to-dos. There is no METHOD: one that publishes would need
an organizer (RFC 5546 section 3.2.1). A calendar that is given the file again goes by identifier, sequence and stamp (RFC 5546 section
2.1.5): what moved is moved, what is settled is cancelled. One that is subscribed to takes the file as it is.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

from nurserytui.exports.calendar_entries import Entry, entries
from nurserytui.records import moments
from nurserytui.records.progress import Progress, told

MARK = "-//nurserytui//nurserytui//EN"
_LARGEST = 2**31 - 1
"""Of an INTEGER (RFC 5545 section 3.3.8)."""
_NO_TEXT = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")
"""Characters that a text cannot hold (RFC 5545 section 3.1, CONTROL)."""


def calendar(nursery, progress: Progress | None = None) -> tuple[str, int]:
    """The calendar's text, CRLF line ends, and the number of its entries."""
    from icalendar import Calendar

    whole = Calendar()
    whole.add("prodid", MARK)
    whole.add("version", "2.0")
    whole.add("calscale", "GREGORIAN")
    found = entries(nursery, progress)
    stamp = _instant(nursery)
    for entry in told(progress, found, len(found), "entries written"):
        whole.add_component(_event(entry, stamp))
    return whole.to_ical(sorted=False).decode("utf-8"), len(found)


def _event(entry: Entry, stamp: datetime):
    from icalendar import Event

    event = Event()
    event.add("uid", entry.identifier)
    event.add("dtstamp", stamp)
    event.add("last-modified", stamp)
    # The minute of the export: a later file has a higher number, whatever was recorded in between.
    event.add("sequence", min(max(int(stamp.timestamp()) // 60, 0), _LARGEST))
    event.add("dtstart", entry.day)
    event.add("dtend", entry.day + timedelta(days=1))  # the first day that is no part of it (RFC 5545 section 3.6.1)
    event.add("summary", _text(entry.summary))
    event.add("description", _text(entry.description))
    event.add("status", entry.status)
    event.add("transp", "TRANSPARENT")
    return event


def _text(text: str) -> str:
    return _NO_TEXT.sub(" ", text.replace("\r\n", "\n").replace("\r", "\n"))


def _instant(nursery) -> datetime:
    """Now as an instant of universal time, by the nursery's time zone, else the computer's."""
    # Without a zone the time is taken for this computer's own.
    local = nursery.now.replace(tzinfo=moments.zone(nursery.settings.timezone))
    return local.astimezone(UTC).replace(microsecond=0)
