"""When something told of happened: the day and the time of a clause, and figures that are no day."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from nurserytui.language.clause import Item, word_at
from nurserytui.language.line import Line
from nurserytui.language.request import Period

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTH = r"(jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)"


def impossible_date(line: Line, now: datetime) -> str:
    """A date in the line that no calendar has (`31 June`), or a time that no clock has (`25:99`), as typed; "" if there is none."""
    if figures := unread(line):
        return line.text[slice(*figures)]
    bad = next((span.said for span in line.of("bad-date")), "")
    if not bad and (nth := NO_DAY.search(line.text)) and int(nth[1]) not in range(1, 32):
        return nth[0]
    return re.sub(r"^(?:on|since|from|by|until|till|at|around|about|before|after)\s+(?:the\s+)?", "", bad, flags=re.I)


NO_DAY = re.compile(r"(?<=\bon the )(\d{1,3})(?:st|nd|rd|th)\b", re.IGNORECASE)
UNREAD = re.compile(
    r"\b(?:on|am|dated)\s(?:the\s)?(\d{1,4}[./-]\d{1,2}[./-]\d{1,4}|\d{1,2}[.-]\d{1,2}|\d{1,2}\.|\d{8})(?=\.?(?:$|[,;:)]|\s(?:in|at|by|from|near|and|then)\b))|"
    r"\b(?:on|am|dated)\s(?:the\s)?(\d{1,2}\.\d{1,2}\.|\d{1,4}/\d{1,2}(?:/\d{1,4})?)(?=$|[\s,;:)])",
    re.IGNORECASE,
)
"""Figures in the place of a date."""


def unread(line: Line) -> tuple[int, int] | None:
    """From where to where in the line figures stand that look like a date and were read as none."""
    spans = [(line.tokens[span.first].start, line.tokens[span.last].end) for span in line.of("period", "amount")]
    for said in UNREAD.finditer(line.text):
        start, end = said.span(1 if said[1] else 2)
        last = end - (line.text[end - 1] == ".")
        if not any(first <= start and last <= after for first, after in spans):
            return start, last
    return None


def in_the_past(period: Period, now: datetime) -> Period:
    """What was done on `Friday` was done last Friday, on `3 August` last August: a day that the reading put ahead of now is
    brought back, unless the words themselves point ahead (`tomorrow`, `next Friday`, a year)."""
    said = period.said.casefold()
    if period.start <= now or re.search(r"tomorrow|next|coming|\bin \d|\d{4}|tonight", said):
        return period
    if re.search(r"\b(mon|tue|wed|thu|fri|sat|sun)", said):
        step = timedelta(days=7)
        back = step * -(-(period.start - now) // step)
        return period._replace(start=period.start - back, end=period.end - back)
    if re.search(_MONTH, said) and period.start - now < timedelta(days=366):
        try:
            return period._replace(
                start=period.start.replace(year=period.start.year - 1), end=period.end.replace(year=period.end.year - 1)
            )
        except ValueError:
            return period
    return period


def when_of(items: list[Item] | tuple[Item, ...], now: datetime, lasting: bool = False) -> Period | None:
    """The clause's time: a day and a clock time said apart (`on Friday … at 5 pm`) are one moment. `lasting`: what is told lasts since
    it began, so that `since` names when it happened."""
    found = [
        _begun(in_the_past(item.span.value, now))
        for at, item in enumerate(items)
        if item.kind == "period"
        and not (
            (word_at(items, at - 1) == "as" and not items[at - 1].stop)  # `same as yesterday`
            or re.match(r"(?i)(until|till|by|before|since|from|after|for|during|between)\b", item.raw)
            and not (lasting and re.match(r"(?i)since\b", item.raw))
        )
    ]
    for at, item in enumerate(items):
        # `sun` is a day only where a day stands: in front of what was done, or after `on`.
        before = items[at - 1].word if at else ""
        if (
            item.word == "sun"
            and not item.span
            and (before in ("", "on") or word_at(items, at + 1) == "NUMBER" and before != "the")
        ):
            day = (now - timedelta(days=(now.weekday() - 6) % 7)).replace(hour=0, minute=0, second=0, microsecond=0)
            found.append(Period(day, day.replace(hour=23, minute=59, second=59), item.raw))
    if not found:
        return None
    days = [period for period in found if not period.exact]
    times = [period for period in found if period.exact]
    if days and times:
        day = days[0].start
        start = times[0].start.replace(year=day.year, month=day.month, day=day.day)
        return Period(start, start, f"{days[0].said} {times[0].said}", True)
    return found[0]


def _begun(period: Period) -> Period:
    """The day that `since Monday` begins with; any other period as it is."""
    if not re.match(r"(?i)since\b", period.said):
        return period
    return period._replace(end=period.start.replace(hour=23, minute=59, second=59), said=period.said[6:])
