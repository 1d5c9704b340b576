"""One entry of a cohort's page, and dates as its margin shows them."""

from __future__ import annotations

from datetime import date, datetime
from typing import NamedTuple


class Entry(NamedTuple):
    margin: str
    """A date, a number or a word that says what the entry is."""
    text: str
    tone: str = ""
    """`late` or `care` where it asks for something; the words say it too."""
    leads: str = ""
    """The cohort that it leads to."""


def day(when: date | datetime | str, now: datetime) -> str:
    """`Thu 18 Jun`; `18 Jun 2025` where it is not of this year."""
    if isinstance(when, str):
        when = datetime.fromisoformat(when)
    return f"{when:%a} {when.day} {when:%b}" if when.year == now.year else f"{when.day} {when:%b} {when.year}"
