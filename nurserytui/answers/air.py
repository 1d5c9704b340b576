"""The air of one enclosure over all time: as measured there, else where its air is shared, else in the room, and assumed in between."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from datetime import datetime, time, timedelta
from itertools import pairwise
from typing import NamedTuple

from nurserytui.answers.wording import number
from nurserytui.biology.timeline import Cycle, Timeline, cycle_points

ASSUMED = 22.0
"""°C assumed for a room of which nothing is known: an ordinary heated or summer room (common practice, no source)."""
FRIDGE, FRIDGE_NAMES = 4.0, re.compile(r"\b(fridge|refrigerator|cold room)\b", re.IGNORECASE)
"""°C assumed for a place called so that has no thermometer of its own: 2 to 6 °C is where winter pupae are kept (common practice). It
goes by no reading of the room."""
LONGEST_LOGGED = timedelta(hours=6)
"""Readings of a logger further apart than this, and than `STEPS` of its usual steps, leave a gap."""
STEPS = 3
LONGEST_TYPED = timedelta(days=3)
"""Readings typed by hand further apart than this leave a gap; the last one stands for no longer."""
WEEK = timedelta(days=7)
DAY = timedelta(days=1)
STEADY = 0.5
"""°C between the usual low and high below which a day is taken as steady."""
HOURS = 24
DENSE = 8
"""Readings a day from which a day can be seen to be told of in part."""
SAMPLE = 700
"""Readings that a usual day is made from at most: of more, evenly spread ones."""
EVER = datetime(1900, 1, 1)
"""Before every record."""


class Day(NamedTuple):
    """A usual day: what is assumed of days on which nothing was measured. °C."""

    timeline: Timeline
    low: float
    high: float
    mean: float

    @property
    def words(self) -> str:
        return f"{number(self.low)} to {number(self.high)} °C" if self.high - self.low >= STEADY else f"{number(self.mean)} °C"


class Span(NamedTuple):
    """From when to when a timeline holds in one place, and whether it was measured (`gap` "") or what is assumed in the gap."""

    start: datetime
    end: datetime
    timeline: Timeline
    place: str
    gap: str = ""
    since: datetime | None = None
    """When the last reading before a gap was taken, where the gap is said to begin."""


class Air(NamedTuple):
    """The air of an enclosure. `day` and `place` are what the days ahead are taken as, and whose readings those are (None: nobody's)."""

    timeline: Timeline
    spans: tuple[Span, ...]
    day: Day
    place: str | None
    rejected: tuple = ()


def air(nursery, enclosure: str) -> Air:
    """The air of an enclosure, kept until readings of a place that it goes by change."""
    chain = tuple(nursery.measured(place) for place in places(nursery.settings, enclosure))
    kept = nursery.memo.setdefault("air", {})
    found = kept.get(enclosure)
    if found is None or len(found[0]) != len(chain) or any(one is not other for one, other in zip(found[0], chain, strict=True)):
        assumed = FRIDGE if FRIDGE_NAMES.search(enclosure) else ASSUMED
        found = kept[enclosure] = (chain, _air([measured for measured in chain if measured.readings], chain[0].rejected, assumed))
    return found[1]


def places(settings, enclosure: str) -> tuple[str, ...]:
    """Whose readings tell of an enclosure's air, best first: its own, those it shares its air with, the room's (`""`)."""
    own = settings.air.get(enclosure)
    shared = [other for other, group in settings.air.items() if own is not None and group == own]
    room = () if FRIDGE_NAMES.search(enclosure) else ("",)
    return tuple(dict.fromkeys([enclosure, *shared, *((own,) if own else ()), *room]))


def unmeasured(celsius: float) -> Air:
    """The air of a place of which nothing is known, taken as steady."""
    day = Day(Cycle([(0.0, celsius)], EVER), celsius, celsius, celsius)
    return Air(day.timeline, (), day, None)


def _air(sources, rejected, assumed: float) -> Air:
    if not sources:
        return unmeasured(assumed)._replace(rejected=rejected)
    latest = max(source.readings[-1].when for source in sources)
    # A thermometer that has been silent for a week beside one that has not tells nothing of the days ahead.
    lead = next(source for source in sources if latest - source.readings[-1].when <= WEEK)
    spans: list[Span] = []
    for source in sources:
        spans = _filled(spans, _measured(source))
    day = _latest_day(lead)
    spans = _closed(spans, sources, day, lead.place)
    timeline = Timeline.joined([(span.start, span.timeline) for span in spans])
    return Air(timeline, tuple(spans), day, lead.place, tuple(one for source in sources for one in source.rejected))


# What was measured --------------------------------------------------------------------------------------------------------


def _measured(source) -> list[Span]:
    """The stretches of time that the readings of a place tell of, kept beside them."""
    kept = source.__dict__.get("_spans")
    if kept is None:
        kept = source.__dict__["_spans"] = _spans(source)
    return kept


def _latest_day(source) -> Day:
    """The usual day of the last week of readings, which the days after them are taken as."""
    kept = source.__dict__.get("_latest_day")
    if kept is None:
        kept = source.__dict__["_latest_day"] = usual_day(source.readings, source.readings[-1].when)
    return kept


def _spans(source) -> list[Span]:
    place, readings = source.place, source.readings
    logged = longest_step(readings)
    groups = _groups(readings, logged)
    first, last = readings[0], readings[-1]
    spans = []
    begin = first.when - _stands(first, logged)
    if begin < _begin(groups[0], None):
        before = usual_day(readings, first.when, ahead=True)
        spans.append(Span(begin, _begin(groups[0], None), before.timeline, place))
    for at, group in enumerate(groups):
        start = _begin(group, groups[at - 1] if at else None)
        following = groups[at + 1] if at + 1 < len(groups) else None
        end = group[-1].when
        if following is not None and following[0].when - end <= _allowed(group[-1], following[0], logged):
            end = _begin(following, group)
        elif group[-1].low != group[-1].high:
            end = max(end, min(end + LONGEST_TYPED, datetime.combine(end.date(), time()) + DAY))
            if following is not None:
                end = min(end + LONGEST_TYPED, _begin(following, group))
        if end > start:
            spans.append(Span(start, end, _timeline(group), place))
    tail = spans[-1].end if spans else last.when
    end = last.when + _stands(last, logged)
    if end > tail:
        spans.append(Span(max(tail, last.when), end, _latest_day(source).timeline, place))
    return spans


def longest_step(readings) -> timedelta:
    """The longest step between logger readings that leaves no gap."""
    steps = sorted(later[0] - sooner[0] for sooner, later in pairwise(readings[-SAMPLE:]))
    return max(LONGEST_LOGGED, STEPS * steps[len(steps) // 2]) if steps and not readings[-1].typed else LONGEST_LOGGED


def _stands(reading, logged: timedelta) -> timedelta:
    """How long a reading stands where no other comes after (or before) it."""
    return LONGEST_TYPED if reading.typed else logged


def _allowed(one, other, logged: timedelta) -> timedelta:
    return LONGEST_TYPED if one.typed and other.typed else logged


def gaps_of(readings) -> list[tuple[datetime, datetime]]:
    """The stretches between readings of one place that are too long to be taken as told of."""
    logged = longest_step(readings)
    return [(one.when, other.when) for one, other in pairwise(readings) if other.when - one.when > _allowed(one, other, logged)]


def _groups(readings, logged: timedelta) -> list[list]:
    """Runs of single values near enough to each other to be joined by straight lines; each reading of a low and a high by itself."""
    groups, first = [], 0
    # Of hundreds of thousands from a logger, only the few that may end a run are looked at closely.
    plain = [reading[2] == reading[3] and not reading[4] for reading in readings]
    steps = zip(readings, readings[1:], plain, plain[1:], strict=False)
    for at in [at for at, (one, other, a, b) in enumerate(steps) if not (a and b) or other[0] - one[0] > logged]:
        one, other = readings[at], readings[at + 1]
        ranges = one.low != one.high or other.low != other.high
        if ranges or other.when - one.when > _allowed(one, other, logged):
            groups.append(readings[first : at + 1])
            first = at + 1
    return [*groups, readings[first:]]


def _begin(group, before) -> datetime:
    """When a group's timeline takes over: a low and a high are told of the whole day, as far as no reading was taken before on it."""
    first = group[0]
    if first.low == first.high:
        return first.when
    midnight = datetime.combine(first.when.date(), time())
    return max(midnight, before[-1].when) if before else midnight


def _timeline(group) -> Timeline:
    first = group[0]
    if first.low != first.high:
        return _sine(first.low, first.high)
    return Timeline.of([reading[0] for reading in group], [reading[2] for reading in group])


# What is assumed ----------------------------------------------------------------------------------------------------------


def _filled(spans: list[Span], more: list[Span]) -> list[Span]:
    """The spans, and of `more` what lies between them."""
    if not spans:
        return more
    out = list(spans)
    edges = [EVER, *(edge for span in spans for edge in (span.start, span.end)), datetime.max]
    for begin, end in zip(edges[::2], edges[1::2], strict=True):
        if end > begin:
            at = bisect_right(more, begin, key=lambda span: span.end)
            while at < len(more) and more[at].start < end:
                out.append(more[at]._replace(start=max(more[at].start, begin), end=min(more[at].end, end)))
                at += 1
    return sorted((span for span in out if span.end > span.start), key=lambda span: span.start)


def _closed(spans: list[Span], sources, ahead: Day, lead: str) -> list[Span]:
    """The spans with the gaps between them closed by the usual day of the readings around each, and the days ahead by `ahead`."""
    out = []
    end = EVER
    for span in spans:
        if span.start > end:
            source, day = _around(sources, end, span.start)
            out.append(Span(end, span.start, day.timeline, source.place, day.words, _last_before(source, end)))
        out.append(span)
        end = span.end
    since = max(source.readings[-1].when for source in sources)
    return [*out, Span(end, datetime.max, ahead.timeline, lead, ahead.words, since)]


def _around(sources, start: datetime, end: datetime):
    """The best source with readings in the week before or after a gap, and their usual day."""
    for near in (WEEK, 10 * WEEK, 9999 * DAY):
        for source in sources:
            before, after = (
                _slice(source.readings, start - near if start - EVER > near else EVER, start),
                _slice(source.readings, end, end + near),
            )
            if before or after:
                return source, _usual([*before[-SAMPLE * 4 :], *after[: SAMPLE * 4]])
    return sources[0], _usual(sources[0].readings)


def _last_before(source, moment: datetime) -> datetime | None:
    at = bisect_right(source.readings, moment, key=lambda reading: reading.when)
    return source.readings[at - 1].when if at else None


def _slice(readings, first: datetime, last: datetime):
    return readings[
        bisect_left(readings, first, key=lambda reading: reading.when) : bisect_right(
            readings, last, key=lambda reading: reading.when
        )
    ]


def usual_day(readings, moment: datetime, ahead: bool = False) -> Day:
    """The usual day of the week of readings before `moment` (or after it)."""
    week = _slice(readings, moment, moment + WEEK) if ahead else _slice(readings, moment - WEEK, moment)
    if not ahead:
        # A day that has only its morning yet would lower the usual high.
        week = [one for one in week if one.low != one.high or one.when.date() < moment.date()] or week
    return _usual(week)


def _usual(readings) -> Day:
    readings = readings[:: max(len(readings) // SAMPLE, 1)]
    days: dict = {}
    hours: list[list[float]] = [[] for _ in range(HOURS)]
    for when, _, low, high, *_ in readings:
        coldest, warmest, count = days.get(when.date(), (low, high, 0))
        days[when.date()] = (min(coldest, low), max(warmest, high), count + 1)
        if low == high:
            hours[(when.hour + (when.minute >= 30)) % HOURS].append(low)
    # A day that a logger tells of in part would bring the usual low and high together.
    most = max(count for _, _, count in days.values())
    whole = [(low, high) for low, high, count in days.values() if most < DENSE or count * 4 >= most * 3]
    low = sum(low for low, _ in whole) / len(whole)
    high = sum(high for _, high in whole) / len(whole)
    if all(hours):
        means = [sum(hour) / len(hour) for hour in hours]
        points = [(hour / HOURS, mean) for hour, mean in enumerate(means)]
        return Day(Cycle(points, EVER), low, high, sum(means) / HOURS)
    mean = sum((reading.low + reading.high) / 2 for reading in readings) / len(readings)
    if high - low < STEADY:
        return Day(Cycle([(0.0, mean)], EVER), mean, mean, mean)
    return Day(_sine(mean - (high - low) / 2, mean + (high - low) / 2), low, high, mean)


def _sine(low: float, high: float) -> Timeline:
    points = cycle_points(low, high, EVER.date(), 1)[:-1]
    return Cycle([(at / len(points), celsius) for at, (_, celsius) in enumerate(points)], EVER)
