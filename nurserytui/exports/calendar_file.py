"""Expected changes and due tasks as an iCalendar file (RFC 5545)."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from nurserytui.answers.board import board
from nurserytui.records.progress import Progress, told

MARK = "-//nurserytui//nurserytui//EN"


def calendar(nursery, progress: Progress | None = None) -> tuple[str, int]:
    """The calendar's text, CRLF line ends, and the number of its entries.

    Each entry has a stable identifier (cohort, stage, change), so that a calendar that reads the file again updates instead of doubling.
    """
    entries = []
    for part in told(progress, (_changes, _tasks), 2, "parts worked out", every=1):
        entries += part(nursery)
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{MARK}", "CALSCALE:GREGORIAN"]
    stamp = _instant(nursery)
    for name, day, summary, description in entries:
        lines += [
            "BEGIN:VEVENT",
            f"UID:{_identifier(name)}@nurserytui.invalid",
            f"DTSTAMP:{stamp:%Y%m%dT%H%M%SZ}",
            f"DTSTART;VALUE=DATE:{day:%Y%m%d}",
            f"DTEND;VALUE=DATE:{day + timedelta(days=1):%Y%m%d}",
            f"SUMMARY:{_escaped(summary)}",
            f"DESCRIPTION:{_escaped(description)}",
            "TRANSP:TRANSPARENT",
            "END:VEVENT",
        ]
    lines.append("END:VCALENDAR")
    return "".join(_folded(line) + "\r\n" for line in lines), len(entries)


def _instant(nursery) -> datetime:
    """Now as an instant of universal time, by the nursery's time zone, else the computer's."""
    from zoneinfo import ZoneInfo

    zone = nursery.settings.timezone
    local = nursery.now.replace(tzinfo=ZoneInfo(zone)) if zone else nursery.now.astimezone()
    return local.astimezone(UTC)


def _changes(nursery):
    for row in board(nursery):
        if row.next_event and row.median:
            summary = f"{row.cohort}: {row.count} {row.stage} expected to {row.next_event}"
            span = f"first {row.first:%Y-%m-%d}, middle {row.median:%Y-%m-%d}, last {row.last:%Y-%m-%d}; {row.enclosure}"
            yield f"{row.cohort}/{row.stage}/{row.enclosure}/{row.next_event}", row.median.date(), summary, span


def _tasks(nursery):
    from nurserytui.answers.round import round_today
    from nurserytui.language.request import Request

    for item in round_today(Request("", topic="round"), nursery).items:
        due = str(item.get("due") or "")[:10]
        day = date.fromisoformat(due) if due else nursery.now.date()
        yield f"round/{item['name']}/{item['label']}", day, str(item["label"]), str(item.get("reason") or "")


def _identifier(name: str) -> str:
    from hashlib import sha256

    return sha256(name.encode("utf-8")).hexdigest()[:32]


def _escaped(text: str) -> str:
    for plain, safe in (("\\", "\\\\"), (";", "\\;"), (",", "\\,"), ("\r", ""), ("\n", "\\n")):
        text = text.replace(plain, safe)
    return text


def _folded(line: str) -> str:
    """Fold to 75 octets without cutting a character (RFC 5545 section 3.1)."""
    parts, part = [], b""
    for character in line:
        encoded = character.encode("utf-8")
        if len(part) + len(encoded) > (75 if not parts else 74):
            parts.append(part)
            part = b""
        part += encoded
    return "\r\n ".join(piece.decode("utf-8") for piece in [*parts, part])
