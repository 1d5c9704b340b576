"""Days and times as keepers type them, by a closed grammar: nothing outside it is a date, and the moment it refers to is an argument."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from nurserytui.language import numbers
from nurserytui.language.calendar import (
    DAYPARTS,
    EARLIEST,
    MODAL_FOLLOWERS,
    MONTHS,
    SEASONS,
    SURE_MONTHS,
    SURE_WEEKDAYS,
    UNITS,
    WEEKDAYS,
    direction_of,
    months_on,
    number_before,
)
from nurserytui.language.clock import Clock, read_clock
from nurserytui.language.request import Period

_ENDS = time(23, 59, 59)
_CUES = frozenset("on since from until till by before after for during between of in dated date".split())


class Days(NamedTuple):
    """Whole days from `first` to `last`; `part` is the part of the day that was said, which only steers the clock."""

    first: date
    last: date
    part: str = ""
    moment: datetime | None = None
    """For `an hour ago`: an exact moment."""


class Found(NamedTuple):
    last: int
    """Index of the last token."""
    period: Period | None
    """None for a day that does not exist (`31 June`)."""


def _half_of(part: str) -> str:
    return "am" if part == "morning" else "pm"


class Calendar:
    """Reads dates out of one line's words, seen from `now`.

    `direction` says where a weekday or a month without its year lies: `past`, `ahead`, or `auto` (by the line's tense).
    """

    def __init__(
        self,
        words: Sequence[str],
        now: datetime,
        direction: str = "auto",
        month_first: bool = False,
        season_start: int = 1,
        clauses: frozenset[int] = frozenset(),
    ):
        self.words, self.now, self.today = words, now, now.date()
        self.direction = direction_of(words) if direction == "auto" else direction
        self.month_first, self.season_start = month_first, season_start
        self.clauses = clauses
        """Tokens after which a clause ends."""

    def word(self, at: int) -> str:
        return self.words[at] if 0 <= at < len(self.words) else ""

    def at(self, start: int) -> Found | None:
        """The date or time phrase that begins at token `start`."""
        word = self.word(start)
        if word == "between" or word == "from":
            found = self._range(start)
            if found:
                return found
        if word in ("since", "from", "after"):
            inner = self._moment(start + 1, cue=True)
            if inner and inner[1]:
                last, days, clock = inner
                begins = self._begin(days, clock)
                if word == "after" and clock is None and days.moment is None:
                    begins = datetime.combine(days.last + timedelta(days=1), time())
                ends = max(begins, datetime.combine(self.today, _ENDS))
                if self.direction == "ahead" and begins > self.now:
                    ends = datetime(9999, 12, 31)
                return Found(last, Period(begins, ends, "", clock is not None))
            return Found(inner[0], None) if inner else None
        if word in ("until", "till", "til", "by", "before"):
            inner = self._moment(start + 1, cue=True)
            if inner and inner[1]:
                last, days, clock = inner
                ends = self._end(days, clock)
                if word == "before" and clock is None and days.moment is None:
                    ends = datetime.combine(days.first - timedelta(days=1), _ENDS)
                begins = self.now if ends >= self.now and self.direction == "ahead" else EARLIEST
                return Found(last, Period(begins, ends, "", clock is not None))
            return Found(inner[0], None) if inner else None
        cue = word in ("on", "for", "during", "in", "of", "dated", "over", "within", "at")
        inner = self._moment(start + 1, cue=True, bare=word) if cue and word != "at" else None
        inner = inner or self._moment(start, cue=self.word(start - 1) in _CUES)
        if inner is None:
            return None
        last, days, clock = inner
        if days is None:
            return Found(last, None)
        return Found(
            last, Period(self._begin(days, clock), self._end(days, clock), "", clock is not None or days.moment is not None)
        )

    # ------------------------------------------------------------------ joining day and clock

    def _moment(self, start: int, cue: bool, bare: str = "") -> tuple[int, Days | None, Clock | None] | None:
        """A day with or without a clock time, in either order; Days is None where the day does not exist."""
        clock = read_clock(self.words, start)
        if clock:
            after = clock.last + 1
            if self.word(after) == "on" and self.day(after + 1, True):
                after += 1
            day = self.day(after, False)
            if day and day[1] is not None and (clock.sure or day[1].part):
                return day[0], day[1], clock
            if day and day[1] is None:
                return day[0], None, clock
            if self.word(after) in ("in", "at") and (self.word(after + 1) == "night" or self.word(after + 2) in DAYPARTS):
                part = self.word(after + 1) if self.word(after + 1) == "night" else self.word(after + 2)
                late = self._day_of(clock._replace(half=_half_of(part)))
                last = after + 1 if part == "night" and self.word(after + 1) == "night" else after + 2
                following = self.day(last + 1, False)
                return (
                    (following[0], following[1]._replace(part=part), clock)
                    if following and following[1]
                    else (last, late._replace(part=part), clock)
                )
            if clock.sure:
                return clock.last, self._day_of(clock), clock
        day = self.day(start, cue, bare)
        if day is None:
            return None
        last, days = day
        if days is None:
            return last, None, None
        following = read_clock(self.words, last + 1)
        if following and following.sure and days.first == days.last:
            return following.last, days, following
        return last, days, None

    def _day_of(self, clock: Clock) -> Days:
        """The day a clock time without a day means: the nearest one in the line's direction."""
        moment = datetime.combine(self.today, clock.time(""))
        if self.direction == "ahead" and moment < self.now:
            day = self.today + timedelta(days=1)
        elif self.direction != "ahead" and moment > self.now:
            day = self.today - timedelta(days=1)
        else:
            day = self.today
        return Days(day, day)

    def _begin(self, days: Days, clock: Clock | None) -> datetime:
        if days.moment:
            return days.moment
        if clock is None:
            return datetime.combine(days.first, time())
        at = clock.time(days.part)
        late = days.part == "night" and at.hour < 6
        return datetime.combine(days.first + timedelta(days=1 if late else 0), at)

    def _end(self, days: Days, clock: Clock | None) -> datetime:
        return self._begin(days, clock) if clock or days.moment else datetime.combine(days.last, _ENDS)

    def _range(self, start: int) -> Found | None:
        """`between 1 July and 5 July`, `from 1 to 5 July`, `from Monday to Friday`."""
        joins = ("and",) if self.word(start) == "between" else ("to", "until", "till", "-")
        first = self._moment(start + 1, cue=True)
        if first and first[1] and self.word(first[0] + 1) in joins:
            second = self._moment(first[0] + 2, cue=True)
            if second and second[1]:
                begins, ends = self._begin(*first[1:]), self._end(*second[1:])
                if begins <= ends:
                    return Found(second[0], Period(begins, ends, "", False))
        return self._days_of_month(start + 1, joins)

    def _days_of_month(self, start: int, joins: tuple[str, ...]) -> Found | None:
        """`1 to 5 July`, `1-5 July`."""
        low = self._day_number(start)
        if low is None or self.word(start + 1) not in joins or self._day_number(start + 2) is None:
            return None
        second = self._day_and_month(start + 2, True)
        if second is None or second[1] is None or low > second[1].first.day:
            return None
        begins = datetime.combine(second[1].first.replace(day=low), time())
        return Found(second[0], Period(begins, datetime.combine(second[1].last, _ENDS), "", False))

    # ------------------------------------------------------------------ days

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

    def _one(self, offset: int, part: str = "") -> Days:
        day = self.today + timedelta(days=offset)
        return Days(day, day, part)

    def _named_day(self, at: int) -> tuple[int, Days] | None:
        word, after = self.word(at), self.word(at + 1)
        if word == "the" and after in ("day",):
            word, after, at = after, self.word(at + 2), at + 1
        if word == "day" and after in ("before", "after"):
            following = self.word(at + 2)
            if after == "before" and following in ("yesterday", "yday", "yest"):
                return at + 2, self._one(-2)
            if after == "after" and following in ("tomorrow", "tmrw"):
                return at + 2, self._one(2)
            return None
        offset = {
            "today": 0,
            "yesterday": -1,
            "yday": -1,
            "yest": -1,
            "yesturday": -1,
            "tomorrow": 1,
            "tmrw": 1,
            "tomorow": 1,
        }.get(word.removesuffix("'s"))
        if offset is not None:
            return (at + 1, self._one(offset, after)) if after in DAYPARTS else (at, self._one(offset))
        if word == "tonight":
            return at, self._one(0, "night")
        if word == "this" and after in DAYPARTS:
            return at + 1, self._one(0, after)
        if word == "last" and after in ("night", "evening", "nite"):
            return at + 1, self._one(-1, "night" if after != "evening" else after)
        return None

    def _ago(self, at: int, bare: str) -> tuple[int, Days] | None:
        """`3 days ago`, `a week ago`, `in two weeks`, `3 days from now`."""
        read = number_before(self.words, at)
        if read is None:
            return None
        last, count = read
        unit = UNITS.get(self.word(last + 1))
        if unit is None:
            return None
        after = self.word(last + 2)
        if after == "ago" or (after in ("back",) and self.direction != "ahead"):
            return last + 2, self._shifted(-count, unit)
        if after in ("from", "time") and (after == "time" or self.word(last + 3) in ("now", "today")):
            return (last + 2 if after == "time" else last + 3), self._shifted(count, unit)
        if bare == "in" and self.direction == "ahead" and unit not in ("hour", "minute"):
            return last + 1, self._shifted(count, unit)
        if bare == "within":
            ends = self._shifted(count, unit)
            return last + 1, Days(self.today, ends.last)
        return None

    def _shifted(self, count: float, unit: str) -> Days:
        if unit in ("hour", "minute"):
            moment = self.now + timedelta(**{unit + "s": count})
            return Days(moment.date(), moment.date(), "", moment.replace(second=0, microsecond=0))
        if unit == "month":
            day = months_on(self.today, int(count))
        elif unit == "year":
            day = months_on(self.today, int(12 * count))
        else:
            day = self.today + timedelta(days=round(count * (7 if unit == "week" else 1)))
        return Days(day, day)

    def _stretch(self, at: int) -> tuple[int, Days] | None:
        """`the next three days`, `last 2 weeks`, `this week`, `last month`, `this season`, `last summer`."""
        start = at
        if self.word(at) in ("over", "during", "in", "for", "within"):
            at += 1
        if self.word(at) in ("the", "these"):
            at += 1
        which = self.word(at)
        if which not in ("this", "last", "past", "next", "coming", "previous", "current"):
            return None
        read = number_before(self.words, at + 1)
        if read and which != "this":
            last, count = read
            unit = UNITS.get(self.word(last + 1))
            if unit in ("day", "week", "month", "year"):
                moved = self._shifted(count if which in ("next", "coming") else -count, unit)
                return last + 1, Days(min(moved.first, self.today), max(moved.last, self.today))
        whole = self.word(at + 1).removesuffix("'s")
        step = {"this": 0, "current": 0, "last": -1, "past": -1, "previous": -1, "next": 1, "coming": 1}[which]
        if whole == "week":
            if which == "past":
                return at + 1, Days(self.today - timedelta(days=7), self.today)
            monday = self.today - timedelta(days=self.today.weekday()) + timedelta(days=7 * step)
            return at + 1, Days(monday, monday + timedelta(days=6))
        if whole == "weekend":
            saturday = self.today + timedelta(days=5 - self.today.weekday() + 7 * step)
            return at + 1, Days(saturday, saturday + timedelta(days=1))
        if whole == "month":
            first = months_on(self.today.replace(day=1), step)
            return at + 1, Days(first, months_on(first, 1) - timedelta(days=1))
        if whole == "year":
            return at + 1, Days(date(self.today.year + step, 1, 1), date(self.today.year + step, 12, 31))
        if whole == "season":
            year = self.today.year - (self.today.month < self.season_start) + step
            first = date(year, self.season_start, 1)
            return at + 1, Days(first, months_on(first, 12) - timedelta(days=1))
        if whole in SEASONS:
            return at + 1, self._season(SEASONS[whole], which)
        month = MONTHS.get(whole)
        if month and start == at:
            return at + 1, self._month(month, -1 if which in ("last", "past") else step, which)
        return None

    def _season(self, opens: int, which: str) -> Days:
        """A quarter that opens in month `opens`; `last summer`, said in summer, is the year before's."""
        first = date(self.today.year, opens, 1)
        if which in ("next", "coming"):
            first = first if first > self.today else months_on(first, 12)
        elif which in ("last", "past", "previous"):
            while months_on(first, 3) > self.today:
                first = months_on(first, -12)
        elif first > self.today and opens == 12 and self.today.month < 3:
            first = months_on(first, -12)
        return Days(first, months_on(first, 3) - timedelta(days=1))

    def _month(self, month: int, step: int, which: str = "") -> Days:
        first = date(self.today.year, month, 1)
        if which in ("last", "past", "previous"):
            while months_on(first, 1) > self.today:
                first = months_on(first, -12)
        elif step > 0 or (which == "" and self.direction == "ahead"):
            while months_on(first, 1) <= self.today:
                first = months_on(first, 12)
        elif first > self.today:
            first = months_on(first, -12)
        return Days(first, months_on(first, 1) - timedelta(days=1))

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
        """`2026-07-04`, `4/6`, `4/6/2026`, `4.6.2026`."""
        word = self.word(at)
        if len(word) >= 10 and word[:4].isdigit() and word[4] == "-":
            try:
                moment = datetime.fromisoformat(word.replace("t", "T"))
            except ValueError:
                return at, None
            day = moment.date()
            return at, Days(day, day, "", moment if len(word) > 10 else None)
        parts = word.split("/") if "/" in word else word.split(".") if word.count(".") == 2 else []
        if not all(part.isdigit() for part in parts) or len(parts) not in (2, 3):
            return None
        first, second = int(parts[0]), int(parts[1])
        day, month = (second, first) if self.month_first and "/" in word else (first, second)
        if len(parts) == 3:
            if month > 12 >= day:
                day, month = month, day
            year = int(parts[2]) + (2000 if len(parts[2]) == 2 else 0)
            return at, self._dated(year, month, day)
        if not cue:
            return None
        if month > 12 >= day:
            day, month = month, day
        return at, self._nearest(month, day)

    def _day_number(self, at: int) -> int | None:
        word = self.word(at)
        value = int(word) if word.isdigit() and len(word) <= 2 else numbers.ordinal(word)
        return value if value and 0 < value < 100 else None

    def _year_at(self, at: int) -> int | None:
        word = self.word(at)
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
            if self.word(at_month).removesuffix("'s") in SURE_MONTHS or (cue and self.word(at_month + 1) not in MODAL_FOLLOWERS):
                return at_month, self._month(month, 0)
            return None
        year = self._year_at(at)
        if year is not None and 2000 <= year <= self.today.year + 2:
            if self.word(at + 1) == "season":
                first = date(year, self.season_start, 1)
                return at + 1, Days(first, months_on(first, 12) - timedelta(days=1))
            return at, Days(date(year, 1, 1), date(year, 12, 31))
        if word in SEASONS and self._year_at(at + 1) is not None:
            first = date(self._year_at(at + 1), SEASONS[word], 1)
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


def read(
    text: str, now: datetime, *, direction: str = "auto", month_first: bool = False, season_start: int = 1
) -> tuple[Period, ...]:
    """Every date and time in a text, in order, as periods of local wall time seen from `now`; days that do not exist are left out.

    A whole-day period runs from 00:00 of its first day to 23:59:59 of its last; an exact one has `exact` True and, where one moment
    was said, `start == end`.
    """
    from nurserytui.language.normalise import breaks, said, tokenise

    tokens = tokenise(text)
    calendar = Calendar([token.text for token in tokens], now, direction, month_first, season_start, breaks(text, tokens))
    found, at = [], 0
    while at < len(tokens):
        here = calendar.at(at)
        if here and here.period:
            found.append(here.period._replace(said=said(text, tokens, at, here.last)))
        at = here.last + 1 if here else at + 1
    return tuple(found)
