"""Days said by their place in the calendar: a weekday, figures, a day of a month, a month, a year."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from nurserytui.language import numbers, units
from nurserytui.language.calendar import (
    DAYPARTS,
    MODAL_FOLLOWERS,
    MONTHS,
    SEASONS,
    SURE_MONTHS,
    SURE_WEEKDAYS,
    WEEKDAYS,
    months_on,
)
from nurserytui.language.record_words import CONTAINERS
from nurserytui.language.relative_days import Days, RelativeDays

NEAR, FAR = 14, 60
"""Days ago: what is told of is seldom older than the first, so that a day as near is meant rather than one farther than the second."""
AFTER_A_DAY = CONTAINERS | frozenset(
    "in at by from near and then with i we she he they it a an the under off around about on as cohort group found".split()
)
"""Words that may follow a day where a number would need what it counts."""


class NamedDays(RelativeDays):
    """Reads the day or days that stand at one place of a line, relative ones and those of the calendar."""

    def day(self, at: int, cue: bool, bare: str = "") -> tuple[int, Days | None] | None:
        """The day or days named at token `at`: (last token, days), days None for a day that does not exist, None for no date at all.
        `cue` allows what is a date only after a word such as `on` or `since`; `bare` is that word."""
        if at >= len(self.words):
            return None
        return (
            self._named_day(at)
            or self._ago(at, bare)
            or self._stretch(at)
            or self._weekday(at, cue)
            or self._figures(at, cue)
            or self._day_and_month(at, cue)
            or self._month_or_year(at, cue)
            or self._day_alone(at, bare)
        )

    def _weekday(self, at: int, cue: bool) -> tuple[int, Days | None] | None:
        which = ""
        if self.word(at) in ("last", "this", "next", "coming"):
            which, at = self.word(at), at + 1
        word = self.word(at).removesuffix("'s")
        day = WEEKDAYS.get(word)
        if day is None or not (which or cue or word in SURE_WEEKDAYS or self._clause_weekday(at)):
            return None
        dated = self._day_and_month(at + 1, True) or self._figures(at + 1, True)
        if dated:
            return dated
        part = self.word(at + 1)
        last = at + 1 if part in DAYPARTS else at
        whole = (self.word(last + 1), self.word(last + 2).removesuffix("'s"))
        if not which and whole in (("next", "week"), ("last", "week"), ("this", "week")):
            monday = -self.today.weekday() + {"next": 7, "last": -7, "this": 0}[whole[0]]
            return last + 2, self._one(monday + day, part if part in DAYPARTS else "")
        back = (self.today.weekday() - day) % 7
        if which == "last":
            offset = -(back or 7)
        elif which in ("next", "coming") or (which != "this" and self.direction == "ahead"):
            offset = 7 - back
        elif which == "this":
            offset = day - self.today.weekday() if self.direction == "ahead" else -back
        else:
            offset = -back
        return last, self._one(offset, part if part in DAYPARTS else "")

    def _clause_weekday(self, at: int) -> bool:
        """`sat` and `sun` at the head of a clause, or at the end of one, and not as the verb or the star."""
        after = self.word(at + 1)
        opens = at == 0 or at - 1 in self.clauses or self.word(at - 1) == "and"
        closes = at == len(self.words) - 1 or at in self.clauses or after in DAYPARTS
        if after in ("on", "in", "still", "there", "at", "and"):
            return False
        return opens or (closes and self.word(at - 1) not in ("the", "full", "direct", "of", "it", "they", "she", "he", "just"))

    def _dated(self, year: int, month: int, day: int) -> Days | None:
        try:
            found = date(year, month, day)
        except ValueError:
            return None
        return Days(found, found)

    def _nearest(self, month: int, day: int) -> Days | None:
        """A day and month without a year, on the line's side of today."""
        if not 1 <= month <= 12 or self._dated(2024, month, day) is None:
            return None
        steps = range(0, 9) if self.direction == "ahead" else range(0, -9, -1)
        for step in steps:
            found = self._dated(self.today.year + step, month, day)
            if found and (found.first >= self.today if self.direction == "ahead" else found.first <= self.today):
                return found
        return None

    def _figures(self, at: int, cue: bool) -> tuple[int, Days | None] | None:
        """`2026-07-04`, `4/6`, `4/6/2026`, `4.6.2026`, `on 4.6.`; with points the day always comes first."""
        word = self.word(at)
        if len(word) >= 10 and word[:4].isdigit() and word[4] == "-":
            try:
                moment = datetime.fromisoformat(word.replace("t", "T"))
            except ValueError:
                return at, None
            day = moment.date()
            return at, Days(day, day, "", moment if len(word) > 10 else None)
        dotted = word.count(".") == 2 or self._day_with_a_point(at)
        parts = word.split("/") if "/" in word else word.split(".") if dotted else []
        if not all(part.isdigit() for part in parts) or len(parts) not in (2, 3):
            return None
        first, second = int(parts[0]), int(parts[1])
        day, month = (second, first) if self.month_first and "/" in word else (first, second)
        if len(parts) == 3:
            if month > 12 >= day:
                day, month = month, day
            year = int(parts[2]) + (2000 if len(parts[2]) == 2 else 0)
            turned = self._dated(year, day, month) if "/" in word else None
            return at, self._either(self._dated(year, month, day), turned)
        if not cue and not dotted:
            return None
        if month > 12 >= day and not dotted:
            day, month = month, day
        return at, self._either(self._nearest(month, day), self._nearest(day, month) if "/" in word else None)

    def _day_with_a_point(self, at: int) -> bool:
        """`on 3.5.`, `am 03.05`: a number with a point is a day behind these words, unless it counts what follows (`on 3.5 stems`)."""
        first, point, second = self.word(at).partition(".")
        if not point or not (first.isdigit() and second.isdigit() and len(first) < 3 and len(second) < 3):
            return False
        if self.word(at - 1) not in ("on", "dated") and not (self.word(at - 1) == "am" and not self.word(at - 2).isdigit()):
            return False
        return at == len(self.words) - 1 or at in self.clauses or self.word(at + 1) in AFTER_A_DAY

    def _either(self, day: Days | None, turned: Days | None) -> Days | None:
        """The day of figures that may be meant either way round: where the keeper has not said which comes first, the one that lies in
        the past or is by far the nearer; else the first with the other beside it."""
        if self.settled or self.direction == "ahead" or turned is None or day is None or turned == day:
            return day
        ago, turned_ago = (self.today - day.first).days, (self.today - turned.first).days
        if ago < 0 or turned_ago < 0:
            return turned if turned_ago >= 0 else day
        if min(ago, turned_ago) <= NEAR and max(ago, turned_ago) > FAR:
            return day if ago < turned_ago else turned
        return day._replace(other=turned.first)

    def _day_number(self, at: int) -> int | None:
        word = self.word(at)
        value = int(word) if word.isdigit() and len(word) <= 2 else numbers.ordinal(word)
        return value if value and 0 < value < 100 else None

    def _year_at(self, at: int) -> int | None:
        word = self.word(at)
        measured = units.read(self.words, at + 1)
        if measured and measured[1].kind != "time" and not measured[1].symbol:
            return None
        return int(word) if len(word) == 4 and word.isdigit() and 1900 <= int(word) <= 2100 else None

    def _day_and_month(self, at: int, cue: bool) -> tuple[int, Days | None] | None:
        start = at
        if self.word(at) == "the":
            at += 1
        day = self._day_number(at)
        if day is not None:
            after = at + 2 if self.word(at + 1) == "of" else at + 1
            month = MONTHS.get(self.word(after))
            if month is None or (day > 31 and not cue):
                return None
            if self.word(after) in ("may", "march") and self.word(after + 1) in MODAL_FOLLOWERS:
                return None
            last = after
        else:
            month = MONTHS.get(self.word(start))
            if month is None:
                return None
            after = start + 2 if self.word(start + 1) == "the" else start + 1
            day = self._day_number(after)
            if day is None or (day > 31 and not cue) or (self._unit_follows(after)):
                return None
            last = after
        year = self._year_at(last + 1)
        if year is not None:
            return last + 1, self._dated(year, month, day)
        return last, self._nearest(month, day)

    def _modal(self, at: int) -> bool:
        """Whether `may` or `march` is a verb: `it may hatch`, `from what day on may I`."""
        asks = (
            self.word(at) == "may" and self.word(at - 1) == "on" and self.word(at + 1) in ("i", "we", "they", "it", "one", "you")
        )
        return asks or self.word(at + 1) in MODAL_FOLLOWERS

    def _unit_follows(self, at: int) -> bool:
        return self.word(at + 1) in ("%", "percent", "c", "f", "ml", "degrees", "°")

    def _month_or_year(self, at: int, cue: bool) -> tuple[int, Days] | None:
        word = self.word(at).removesuffix("'s")
        at_month = at + 1 if word in ("early", "mid", "late") and self.word(at + 1) in SURE_MONTHS else at
        month = MONTHS.get(self.word(at_month).removesuffix("'s"))
        if month:
            year = self._year_at(at_month + 1)
            if year is not None:
                first = date(year, month, 1)
                return at_month + 1, Days(first, months_on(first, 1) - timedelta(days=1))
            if self.word(at_month).removesuffix("'s") in SURE_MONTHS or (cue and not self._modal(at_month)):
                return at_month, self._month(month, 0)
            return None
        year = self._year_at(at)
        if year is not None and 2000 <= year <= self.today.year + 2:
            if self.word(at + 1) == "season":
                first = date(year, self.season_start, 1)
                return at + 1, Days(first, months_on(first, 12) - timedelta(days=1))
            return at, Days(date(year, 1, 1), date(year, 12, 31))
        if word in SEASONS and self._year_at(at + 1) is not None:
            first = date(self._year_at(at + 1), self._opens(word), 1)
            return at + 1, Days(first, months_on(first, 3) - timedelta(days=1))
        return None

    def _day_alone(self, at: int, bare: str) -> tuple[int, Days] | None:
        """`on the 4th`."""
        if bare != "on" and self.word(at - 1) not in ("since", "until", "till", "by", "before", "after"):
            return None
        if self.word(at) == "the":
            at += 1
        word = self.word(at)
        day = numbers.ordinal(word) if word[:1].isdigit() else None
        if day is None or not 1 <= day <= 31:
            return None
        for step in range(0, 13):
            month = months_on(self.today.replace(day=1), step if self.direction == "ahead" else -step)
            found = self._dated(month.year, month.month, day)
            if found and (found.first >= self.today if self.direction == "ahead" else found.first <= self.today):
                return at, found
        return None
