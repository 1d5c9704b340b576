"""Days said relative to the moment of asking: today, three days ago, last week, this season."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import NamedTuple

from nurserytui.language.calendar import DAYPARTS, MONTHS, SEASONS, UNITS, direction_of, months_on, number_before

_VAGUE = {"hours": (1, 0), "days": (7, 2), "weeks": (42, 14), "months": (210, 60), "years": (2555, 730)}
"""Of `a few` of each: the days ago that it may be at most and at least."""
_SOAKING = frozenset("soak soaks soaking soaked leave stand dry sit bleach keep".split())
"""Words beside which `overnight` is how long, not when."""


class Days(NamedTuple):
    """Whole days from `first` to `last`; `part` is the part of the day that was said, which only steers the clock."""

    first: date
    last: date
    part: str = ""
    moment: datetime | None = None
    """For `an hour ago`: an exact moment."""
    other: date | None = None
    """The day with day and month the other way round, where nothing tells which is meant."""


def _part_of_an_hour(words: Sequence[str], at: int) -> tuple[int, float] | None:
    """(token in front of the unit, part) of `a quarter of an hour`, `three quarters of an hour`."""
    lead = words[at] if at < len(words) else ""
    start = at + (lead in ("a", "three"))
    if tuple(words[start : start + 4]) not in (("quarter", "of", "an", "hour"), ("quarters", "of", "an", "hour")):
        return None
    return start + 2, 0.75 if lead == "three" else 0.25


class RelativeDays:
    """Reads days that are counted from `now` out of one line's words.

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
        settled: bool = True,
        south: bool = False,
    ):
        self.words, self.now, self.today = words, now, now.date()
        self.direction = direction_of(words) if direction == "auto" else direction
        self.month_first, self.season_start = month_first, season_start
        self.clauses = clauses
        """Tokens after which a clause ends."""
        self.settled = settled
        """Whether the keeper has said if the day or the month comes first."""
        self.south = south
        """Whether the nursery lies south of the equator, where summer opens in December."""

    def word(self, at: int) -> str:
        return self.words[at] if 0 <= at < len(self.words) else ""

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
            "yesterdays": -1,
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
        if word == "overnight" and self.direction != "ahead" and _SOAKING.isdisjoint(self.words):
            return at, self._one(-1, "night")
        if word == "this" and after in DAYPARTS:
            return at + 1, self._one(0, after)
        if word == "last" and after in ("night", "evening", "nite"):
            return at + 1, self._one(-1, "night" if after != "evening" else after)
        return None

    def _vague(self, at: int) -> tuple[int, Days] | None:
        """`a few days ago`, `the other day`, `a while back`: the days that may be meant."""
        words = [self.word(at + step) for step in range(3)]
        if words[:2] == ["the", "other"] and words[2] in ("day", "night", *DAYPARTS):
            return at + 2, Days(self.today - timedelta(days=7), self.today - timedelta(days=1))
        start = at + 1 if words[0] == "a" else at
        few, unit, after = self.word(start), self.word(start + 1), self.word(start + 2)
        if few in ("few", "some", "several") and unit in _VAGUE and after in ("ago", "back"):
            furthest, nearest = _VAGUE[unit]
            return start + 2, Days(self.today - timedelta(days=furthest), self.today - timedelta(days=nearest))
        if (few in ("while", "ages") and unit in ("ago", "back")) or (few, unit, after) == ("some", "time", "ago"):
            return start + (2 if few == "some" else 1), Days(self.today - timedelta(days=90), self.today - timedelta(days=1))
        return None

    def _ago(self, at: int, bare: str) -> tuple[int, Days] | None:
        """`3 days ago`, `a week ago`, `in two weeks`, `3 days from now`."""
        vague = self._vague(at)
        if vague:
            return vague
        read = _part_of_an_hour(self.words, at) or number_before(self.words, at)
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
            day = self.today + timedelta(days=round(count * {"week": 7, "fortnight": 14}.get(unit, 1)))
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
            if unit in ("day", "week", "fortnight", "month", "year"):
                moved = self._shifted(count if which in ("next", "coming") else -count, unit)
                return last + 1, Days(min(moved.first, self.today), max(moved.last, self.today))
        whole = self.word(at + 1).removesuffix("'s")
        step = {"this": 0, "current": 0, "last": -1, "past": -1, "previous": -1, "next": 1, "coming": 1}[which]
        if whole == "week":
            if which == "past":
                return at + 1, Days(self.today - timedelta(days=7), self.today)
            monday = self.today - timedelta(days=self.today.weekday()) + timedelta(days=7 * step)
            return at + 1, Days(monday, monday + timedelta(days=6))
        if whole == "fortnight" and step:
            other = self.today + timedelta(days=14 * step)
            return at + 1, Days(min(other, self.today), max(other, self.today))
        if whole == "weekend":
            saturday = self.today + timedelta(days=5 - self.today.weekday() + 7 * step)
            return at + 1, Days(saturday, saturday + timedelta(days=1))
        if whole == "month":
            first = months_on(self.today.replace(day=1), step)
            return at + 1, Days(first, months_on(first, 1) - timedelta(days=1))
        if whole in ("year", "yr"):
            return at + 1, Days(date(self.today.year + step, 1, 1), date(self.today.year + step, 12, 31))
        if whole == "season":
            year = self.today.year - (self.today.month < self.season_start) + step
            first = date(year, self.season_start, 1)
            return at + 1, Days(first, months_on(first, 12) - timedelta(days=1))
        if whole in SEASONS:
            return at + 1, self._season(self._opens(whole), which)
        month = MONTHS.get(whole)
        if month and start == at:
            return at + 1, self._month(month, -1 if which in ("last", "past") else step, which)
        return None

    def _opens(self, season: str) -> int:
        """The month in which a quarter of the year opens."""
        return (SEASONS[season] + 5) % 12 + 1 if self.south else SEASONS[season]

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
