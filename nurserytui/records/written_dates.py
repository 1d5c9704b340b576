"""Dates and times as people and spreadsheets write them. ISO 8601 is always read; day, month and year only in an order that was stated."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta

MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november", "december",
)  # fmt: skip
ORDERS = ("day", "month")
CENTURY_ENDS = 69
"""Years of two digits below this one are 20.., as POSIX reads them (strptime, %y); the others are refused."""
_CLOCK = r"(?:[T,]?\s*(?P<hour>\d{1,2})(?:[:.](?P<minute>\d\d)(?:[:.](?P<second>\d\d)(?:[.,]\d+)?)?)?\s*(?P<half>[ap]\.?m\.?)?)?"
_NUMBERS = re.compile(rf"(\d{{1,2}})\s*([./-])\s*(\d{{1,2}})\s*\2\s*(\d{{4}}|\d\d){_CLOCK}", re.IGNORECASE)
_YEAR_FIRST = re.compile(rf"(\d{{4}})\s*([./-])\s*(\d{{1,2}})\s*\2\s*(\d{{1,2}}){_CLOCK}", re.IGNORECASE)
_DAY_NAMED = re.compile(rf"(\d{{1,2}})(?:st|nd|rd|th)?\.?[\s-]*([a-z]{{3,9}})\.?[\s,-]*(\d{{4}}|\d\d){_CLOCK}", re.IGNORECASE)
_NAMED_DAY = re.compile(rf"([a-z]{{3,9}})\.?[\s-]*(\d{{1,2}})(?:st|nd|rd|th)?[\s,-]+(\d{{4}}|\d\d){_CLOCK}", re.IGNORECASE)
_ISO = re.compile(r"\d{4}-\d\d-\d\d(?!\d)")
_WHOLE = re.compile(r"\d{4}-\d\d-\d\d(?:[T ]\d\d:\d\d|$)")
_MIDNIGHT = re.compile(r"(\d{4}-\d\d-\d\d)[T ]24:00(?::00(?:[.,]0+)?)?")
_SERIAL = re.compile(r"(\d{5})(?:[.,](\d+))?")
_SERIAL_START = date(1899, 12, 30)
"""Day 0 of the 1900 date system of spreadsheets, as far as days after February 1900 go (ECMA-376 part 1, 18.17.4.1)."""


class Undated(ValueError):
    """A text that is no date as it stands; `fits` are the orders in which it would be one."""

    def __init__(self, reason: str, fits: tuple[str, ...] = ()) -> None:
        super().__init__(reason)
        self.fits = fits


def iso(text: str, order: str = "") -> str:
    """The date, or the date and time, in ISO 8601, as precise as it was written; `order` is `day` or `month` (which comes first), "" if it
    was not said. ISO texts come back as they are, but for 24:00, which is the next day's 00:00 (ISO 8601-1:2019, 5.3.2). Raises Undated."""
    if _ISO.match(text):
        found = _MIDNIGHT.fullmatch(text)
        if not found:
            return (order and not _WHOLE.match(text) and _in_order(text, order)) or text
        try:
            return f"{date.fromisoformat(found[1]) + timedelta(days=1)}T00:00"
        except (ValueError, OverflowError):
            return text
    serial = _SERIAL.fullmatch(text)
    if serial and 20_000 <= int(serial[1]) < 80_000:
        day = _SERIAL_START + timedelta(days=int(serial[1]))
        raise Undated(
            f"{text!r} is the number by which a spreadsheet keeps a day, probably {day}: write the column as dates and save it again"
        )
    fits = tuple(one for one in ORDERS if _in_order(text, one) is not None)
    if not fits:
        wrong = _impossible(text)
        raise Undated(
            f"{text!r} is no date{wrong}: write 2026-07-12, or 2026-07-12T08:00" if text else "when it happened is not said"
        )
    if not order:
        if plain := _in_any_order(text):
            return plain
        raise Undated(f"{text!r} is no date as it stands", fits)
    found = _in_order(text, order)
    if found is None:
        raise Undated(f"{text!r} is no date with the {order} first", fits)
    return found


def _in_any_order(text: str) -> str | None:
    """The date in ISO 8601 if it begins with a year of four digits, or names the month and has such a year: no order has to be said."""
    if not _YEAR_FIRST.fullmatch(text) and (_NUMBERS.fullmatch(text) or two_digits(text)):
        return None
    return _in_order(text, "day")


def _in_order(text: str, order: str) -> str | None:
    """The date in ISO 8601 if the text is one in that order."""
    found = _NUMBERS.fullmatch(text)
    if found:
        first, second = int(found[1]), int(found[3])
        day, month = (first, second) if order == "day" else (second, first)
        return _made(_year(found[4]), month, day, found)
    found = _DAY_NAMED.fullmatch(text)
    if found:
        return _made(_year(found[3]), _month(found[2]), int(found[1]), found)
    found = _NAMED_DAY.fullmatch(text)
    if found:
        return _made(_year(found[3]), _month(found[1]), int(found[2]), found)
    found = _YEAR_FIRST.fullmatch(text)
    return _made(int(found[1]), int(found[3]), int(found[4]), found) if found else None


def _year(text: str) -> int:
    return int(text) if len(text) == 4 else 2000 + int(text) if int(text) < CENTURY_ENDS else 0


def _month(word: str) -> int:
    low = word.lower()
    fitting = [at for at, name in enumerate(MONTHS, 1) if name.startswith(low) or (low == "sept" and at == 9)]
    return fitting[0] if len(fitting) == 1 else 0


def _made(year: int, month: int, day: int, found: re.Match) -> str | None:
    try:
        made = date(year, month, day)
        if found["hour"] is None:
            return None if found["half"] else made.isoformat()
        hour, minute, second = (int(found[name] or 0) for name in ("hour", "minute", "second"))
        half = (found["half"] or "").lower()[:1]
        if half:
            if not 1 <= hour <= 12:
                return None
            hour = hour % 12 + (12 if half == "p" else 0)
        elif found["minute"] is None:
            return None  # a number alone is no clock time
        if (hour, minute, second) == (24, 0, 0):
            made, hour = made + timedelta(days=1), 0
        return datetime(made.year, made.month, made.day, hour, minute, second).isoformat(
            timespec="seconds" if found["second"] else "minutes"
        )
    except (ValueError, OverflowError):
        return None


def _impossible(text: str) -> str:
    """Why a text that looks like a date is none; "" if it does not look like one."""
    found = _NUMBERS.fullmatch(text) or _DAY_NAMED.fullmatch(text) or _NAMED_DAY.fullmatch(text)
    year = found and next((group for group in reversed(found.groups()[:4]) if group and group.isdecimal()), "")
    if found and len(found[4] if found.re is _NUMBERS else found[3]) == 2 and int(year or 0) >= CENTURY_ENDS:
        return f" (19{year} or 20{year}? write the year with four digits)"
    return " (no calendar has it)" if found or _YEAR_FIRST.fullmatch(text) else ""


def two_digits(text: str) -> bool:
    """Whether the year of a date in some order has two digits only."""
    for form, at in ((_NUMBERS, 4), (_DAY_NAMED, 3), (_NAMED_DAY, 3)):
        found = form.fullmatch(text)
        if found:
            return len(found[at]) == 2
    return False
