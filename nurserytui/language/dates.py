"""Days and times as keepers type them, by a closed grammar: nothing outside it is a date, and the moment it refers to is an argument."""

from datetime import datetime, time, timedelta
from typing import NamedTuple

from nurserytui.language.calendar import DAYPARTS, EARLIEST
from nurserytui.language.clock import Clock, hour_of, no_time, read_clock
from nurserytui.language.lone_clock import lone_clock
from nurserytui.language.named_days import NamedDays
from nurserytui.language.relative_days import Days
from nurserytui.language.request import Period

_ENDS = time(23, 59, 59)
_CUES = frozenset("on since from until till by before after for during between of in dated date".split())


EARLY = (5, 6)
"""Hours that are as well early in the morning as in the evening: where the evening has not been yet, the morning is meant."""


class Found(NamedTuple):
    last: int
    """Index of the last token."""
    period: Period | None
    """None for a day or a time that does not exist (`31 June`, `at 25:99`)."""


def _half_of(part: str) -> str:
    return "am" if part == "morning" else "pm"


UP_FROM = 4
"""The hour from which somebody may be up to see what happens."""


class Calendar(NamedDays):
    """Reads periods and moments out of one line's words, seen from `now`: days joined with clock times, and ranges."""

    def at(self, start: int) -> Found | None:
        """The date or time phrase that begins at token `start`."""
        word = self.word(start)
        if (wrong := no_time(self.words, start)) is not None:
            return Found(wrong, None)
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
        exact = clock is not None or days.moment is not None
        other = self._begin(days._replace(first=days.other), clock) if days.other else None
        return Found(last, Period(self._begin(days, clock), self._end(days, clock), "", exact, other))

    # ------------------------------------------------------------------ joining day and clock

    def _moment(self, start: int, cue: bool, bare: str = "") -> tuple[int, Days | None, Clock | None] | None:
        """A day with or without a clock time, in either order; Days is None where the day does not exist."""
        clock = read_clock(self.words, start)
        if start < len(self.words) and (clock is None or not clock.sure):
            clock = lone_clock(self.words, start, self.clauses) or clock
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
                clock = self._early(clock)
                return clock.last, self._day_of(clock), clock
        day = self.day(start, cue, bare)
        if day is None:
            return None
        last, days = day
        if days is None:
            return last, None, None
        following = read_clock(self.words, last + 1)
        if days.part and (following is None or not following.sure):
            following = self._roughly(last + 1) or following
        if following and following.sure and days.first == days.last:
            return following.last, days, following
        return last, days, None

    def _roughly(self, at: int) -> Clock | None:
        """The hour behind a part of a day (`this afternoon about three`), where the clause ends."""
        hour = hour_of(self.word(at + 1)) if self.word(at) in ("about", "around", "at", "roughly") else None
        ends = at + 1 in self.clauses or at + 2 == len(self.words)
        return Clock(at + 1, hour, 0, "", True) if hour is not None and ends else None

    def _early(self, clock: Clock) -> Clock:
        """The clock with its half where a keeper told it the same morning (`emerged at 6`, told at 7:30)."""
        morning = datetime.combine(self.today, time(clock.hour % 24, clock.minute))
        told = clock.half == "" and UP_FROM <= clock.hour <= 6 and self.direction != "ahead"
        return clock._replace(half="am") if told and morning <= self.now < morning + timedelta(hours=6) else clock

    def _day_of(self, clock: Clock) -> Days:
        """The day a clock time without a day means: the nearest one in the line's direction."""
        moment = datetime.combine(self.today, clock.time(""))
        early = datetime.combine(self.today, clock.time("morning"))
        if self.direction != "ahead" and clock.hour in EARLY and early <= self.now < moment:
            return Days(self.today, self.today, "morning")  # `fed at 6`, told at nine
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
        if self.word(start + 1) == "now" and self.word(start + 2) in joins:
            return self._from_now(start + 3)
        first = self._moment(start + 1, cue=True, bare="on")
        if first and first[1] and self.word(first[0] + 1) in joins:
            second = self._moment(first[0] + 2, cue=True, bare="on")
            if second and second[1]:
                begins, ends = self._begin(*first[1:]), self._end(*second[1:])
                if begins <= ends:
                    return Found(second[0], Period(begins, ends, "", False))
        return self._days_of_month(start + 1, joins)

    def _from_now(self, at: int) -> Found | None:
        """The end of `between now and wednesday`, which lies ahead whatever the line tells."""
        direction, self.direction = self.direction, "ahead"
        last = self._moment(at, cue=True, bare="on")
        self.direction = direction
        if last is None or last[1] is None:
            return None
        return Found(last[0], Period(self.now, max(self.now, self._end(*last[1:])), "", False))

    def _days_of_month(self, start: int, joins: tuple[str, ...]) -> Found | None:
        """`1 to 5 July`, `1-5 July`."""
        start += self.word(start) == "the"
        low = self._day_number(start)
        if low is None or self.word(start + 1) not in joins or self._day_number(start + 2) is None:
            return None
        second = self._day_and_month(start + 2, True)
        if second is None or second[1] is None or low > second[1].first.day:
            return None
        begins = datetime.combine(second[1].first.replace(day=low), time())
        return Found(second[0], Period(begins, datetime.combine(second[1].last, _ENDS), "", False))


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
