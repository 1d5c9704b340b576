"""Temperature over time, and how far a stage gets along it."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from datetime import date, datetime, time, timedelta
from itertools import pairwise
from math import cos, inf, isfinite, pi, sqrt

from nurserytui.biology.rate import RateCurve

HORIZON = timedelta(days=3 * 365)
"""How far ahead `Timeline.when` looks before it says never."""

_DAY = 86400.0


class Timeline:
    """Temperature (°C) along straight lines between `points`, held flat before the first and after the last.

    Points may come in any order; of several at one time their mean counts. ValueError without a point, or for one that is not a number.
    """

    def __init__(self, points: Sequence[tuple[datetime, float]]):
        if not points:
            raise ValueError("a timeline needs a point")
        origin = points[0][0]
        pairs = [((when - origin).total_seconds() / _DAY, celsius) for when, celsius in points]
        if any(late[0] <= early[0] for early, late in pairwise(pairs)):
            pairs = _one_each(sorted(pairs))
        if not all(isfinite(celsius) for _, celsius in pairs):
            raise ValueError("a temperature that is not a number")
        self._lay(origin, [at for at, _ in pairs], [celsius for _, celsius in pairs])

    def _lay(self, origin: datetime, times: list[float], celsius: list[float]) -> Timeline:
        self._origin, self._times, self._celsius = origin, times, celsius
        self._tracks: dict[RateCurve | None, Track] = {}
        return self

    @classmethod
    def constant(cls, celsius: float, at: datetime) -> Timeline:
        """The same temperature at all times; `at` is any moment (it only fixes whether times carry a zone)."""
        return cls([(at, celsius)])

    @classmethod
    def daily_cycle(cls, low: float, high: float, start_day: date, days: int) -> Timeline:
        """A sine through each of `days` days from the midnight of `start_day`: coldest at 4:00, warmest at 16:00, a point each half hour."""
        return cls(cycle_points(low, high, start_day, days))

    def then(self, continuation: Timeline) -> Timeline:
        """These points, and after the last of them (by a minute) those of `continuation`: readings first, then what is assumed."""
        end = self._times[-1]
        seam = end + 1 / 1440
        shift = continuation.offset(self._origin)
        track = continuation.track(None)
        later = bisect_right(continuation._times, seam + shift)
        times = [*self._times, seam, *(at - shift for at in continuation._times[later:])]
        celsius = [*self._celsius, track.rate_at(seam + shift), *continuation._celsius[later:]]
        return Timeline.__new__(Timeline)._lay(self._origin, times, celsius)

    def celsius(self, when: datetime) -> float:
        """Temperature at a moment."""
        return self.track(None).rate_at(self.offset(when))

    def progress(self, curve: RateCurve, start: datetime, end: datetime) -> float:
        """Fraction of the stage done from `start` to `end` (negative if `end` is the earlier)."""
        track = self.track(curve)
        return track.sum_at(self.offset(end)) - track.sum_at(self.offset(start))

    def when(self, curve: RateCurve, start: datetime, fraction: float) -> datetime | None:
        """The moment by which `fraction` of the stage is done since `start`; None if it is not within the horizon."""
        if not fraction >= 0:
            raise ValueError("a fraction below 0")
        at = self.offset(start)
        reached = self.track(curve).advance(at, fraction)
        return self.moment(reached) if reached - at <= HORIZON.days else None

    def before(self, curve: RateCurve, end: datetime, fraction: float) -> datetime | None:
        """The latest moment from which `fraction` of the stage is done by `end`; None if it is not within the horizon."""
        if not fraction >= 0:
            raise ValueError("a fraction below 0")
        at = self.offset(end)
        left = self.track(curve).retreat(at, fraction)
        return self.moment(left) if at - left <= HORIZON.days else None

    def mean(self, start: datetime, end: datetime) -> float:
        """Mean temperature from `start` to `end` (°C)."""
        first, last = self.offset(start), self.offset(end)
        if last < first:
            raise ValueError("the end lies before the start")
        track = self.track(None)
        return (track.sum_at(last) - track.sum_at(first)) / (last - first) if last > first else track.rate_at(first)

    def offset(self, when: datetime) -> float:
        """Days since the timeline's own zero."""
        return (when - self._origin).total_seconds() / _DAY

    def moment(self, offset: float) -> datetime:
        """The moment that many days after the timeline's own zero."""
        return self._origin + timedelta(days=offset)

    def track(self, curve: RateCurve | None) -> Track:
        """Running sums of a curve's rate (of the temperature itself for None), made once per curve."""
        track = self._tracks.get(curve)
        if track is None:
            track = self._tracks[curve] = _temperatures(self) if curve is None else _rates(self, curve)
        return track


class Track:
    """A quantity along straight lines in time, with its running sum. Works in days; the edge is the timeline's business."""

    __slots__ = ("rates", "sums", "times")

    def __init__(self, times: list[float], rates: list[float]):
        self.times, self.rates = times, rates
        total, sums = 0.0, [0.0]
        for at in range(1, len(times)):
            total += (times[at] - times[at - 1]) * (rates[at] + rates[at - 1]) * 0.5
            sums.append(total)
        self.sums = sums

    def rate_at(self, at: float) -> float:
        times, rates = self.times, self.rates
        right = bisect_right(times, at)
        if right == 0:
            return rates[0]
        if right == len(times):
            return rates[-1]
        left = right - 1
        return rates[left] + (rates[right] - rates[left]) * (at - times[left]) / (times[right] - times[left])

    def sum_at(self, at: float) -> float:
        times, rates = self.times, self.rates
        right = bisect_right(times, at)
        if right == 0:
            return (at - times[0]) * rates[0]
        left = right - 1
        into = at - times[left]
        if right == len(times):
            return self.sums[left] + into * rates[left]
        slope = (rates[right] - rates[left]) / (times[right] - times[left])
        return self.sums[left] + into * (rates[left] + 0.5 * slope * into)

    def advance(self, at: float, amount: float) -> float:
        """The time by which the running sum has grown by `amount` since `at`; infinite if never. For rates that are not negative."""
        if amount <= 0.0:
            return at
        times, rates, sums = self.times, self.rates, self.sums
        target = self.sum_at(at) + amount
        right = bisect_left(sums, target)
        if right == 0:
            return times[0] + target / rates[0]
        left = right - 1
        rest = target - sums[left]
        if right == len(sums):
            return times[left] + rest / rates[left] if rates[left] > 0.0 else inf
        here, there = rates[left], rates[right]
        # Half of slope * t² + rate * t = rest, in the form that is stable where the slope is near 0.
        slope = (there - here) / (times[right] - times[left])
        # Never back: an amount below the sums' last digit would else lead to the start of a cold spell.
        root = here + sqrt(max(here * here + 2.0 * slope * rest, 0.0))
        return max(times[left] + (2.0 * rest / root if root > 0.0 else 0.0), at)

    def retreat(self, at: float, amount: float) -> float:
        """The latest time since which the running sum has grown by `amount` until `at`; minus infinity if never."""
        if amount <= 0.0:
            return at
        times, rates, sums = self.times, self.rates, self.sums
        target = self.sum_at(at) - amount
        right = bisect_right(sums, target)
        if right == 0:
            return times[0] + target / rates[0] if rates[0] > 0.0 else -inf
        left = right - 1
        rest = target - sums[left]
        if right == len(sums):
            return min(times[left] + rest / rates[left], at) if rates[left] > 0.0 else at
        here = rates[left]
        slope = (rates[right] - here) / (times[right] - times[left])
        root = here + sqrt(max(here * here + 2.0 * slope * rest, 0.0))
        return min(times[left] + (2.0 * rest / root if root > 0.0 else 0.0), at)


def cycle_points(low: float, high: float, start_day: date, days: int) -> list[tuple[datetime, float]]:
    """Half-hourly points of a daily sine, coldest at 4:00 and warmest at 16:00 (common practice for air in shade)."""
    if not low <= high or days < 1:
        raise ValueError("a daily cycle needs low <= high and a day")
    middle, swing = (low + high) / 2, (high - low) / 2
    day = [middle - swing * cos(2 * pi * (half_hour / 48 - 4 / 24)) for half_hour in range(48)]
    midnight = datetime.combine(start_day, time())
    half = timedelta(minutes=30)
    return [(midnight + half * at, day[at % 48]) for at in range(days * 48 + 1)]


def _one_each(pairs: Iterable[tuple[float, float]]) -> list[tuple[float, float]]:
    merged: list[list[float]] = []
    for at, celsius in pairs:
        if merged and at == merged[-1][0]:
            merged[-1][1] += celsius
            merged[-1][2] += 1
        else:
            merged.append([at, celsius, 1])
    return [(at, total / count) for at, total, count in merged]


def _temperatures(timeline: Timeline) -> Track:
    return Track(timeline._times, timeline._celsius)


def _rates(timeline: Timeline, curve: RateCurve) -> Track:
    """Rates along the timeline, with a point wherever the temperature crosses a knot, so that straight lines are exact between."""
    knots = [celsius for celsius, _ in curve.knots]
    rate = curve.rate
    times, celsius = timeline._times, timeline._celsius
    out_times, out_rates = [times[0]], [rate(celsius[0])]
    cell = bisect_right(knots, celsius[0])
    for at in range(1, len(times)):
        before, after = celsius[at - 1], celsius[at]
        next_cell = bisect_right(knots, after)
        if next_cell != cell:
            crossed = knots[cell:next_cell] if next_cell > cell else knots[next_cell:cell][::-1]
            span = times[at] - times[at - 1]
            for knot in crossed:
                when = times[at - 1] + span * (knot - before) / (after - before)
                if out_times[-1] < when < times[at]:
                    out_times.append(when)
                    out_rates.append(rate(knot))
            cell = next_cell
        out_times.append(times[at])
        out_rates.append(rate(after))
    return Track(out_times, out_rates)
