"""Running sums of a rate along a timeline: what has been done by a moment, and the moment by which so much is done."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable
from itertools import accumulate, pairwise
from math import floor, inf, sqrt

from nurserytui.biology.rate import RateCurve

BLOCK = 1024
"""Points that running sums are made for at once, from the last of a timeline backwards: a forecast asks about the last days of many."""


class Track:
    """A quantity along straight lines in time, with its running sum. Works in days; the edge is the timeline's business.

    The quantity is a curve's rate along the temperatures, or the temperature itself for None. The sum is counted from the last point
    backwards, and made as far back as was asked about. `at` of the methods is in days, on the clock of `times`.
    """

    __slots__ = ("_cells", "_left", "_points", "rates", "sums", "times")

    def __init__(self, times: list[float], celsius: list[float], curve: RateCurve | None):
        self._points, self._left, self._cells = (times, celsius), len(times), None if curve is None else _Cells(curve)
        self.times: list[float] = []
        self.rates: list[float] = []
        self.sums: list[float] = []
        self._reach_back()

    def _reach_back(self) -> None:
        """Take the next block of points in, as many as there are already."""
        left = max(0, self._left - max(BLOCK, len(self.times)))
        times, celsius = (each[left : self._left + 1] for each in self._points)
        rates = celsius
        if self._cells is not None:
            times, rates = self._cells.along(times, celsius)
        steps = zip(times, times[1:], rates, rates[1:], strict=False)
        sums = list(accumulate([(b - a) * (q + r) * 0.5 for a, b, q, r in steps], initial=0.0))
        # The block ends in the first point of those that are there already.
        base = (self.sums[0] if self.sums else 0.0) - sums[-1]
        kept = len(times) - 1 if self.sums else len(times)
        self.times, self.rates = times[:kept] + self.times, rates[:kept] + self.rates
        self.sums = [base + each for each in sums[:kept]] + self.sums
        self._left = left

    def _cover(self, at: float) -> None:
        while self._left and at < self.times[0]:
            self._reach_back()

    def rate_at(self, at: float) -> float:
        if at < self.times[0]:
            self._cover(at)
        times, rates = self.times, self.rates
        right = bisect_right(times, at)
        if right == 0:
            return rates[0]
        if right == len(times):
            return rates[-1]
        left = right - 1
        return rates[left] + (rates[right] - rates[left]) * (at - times[left]) / (times[right] - times[left])

    def sum_at(self, at: float) -> float:
        if at < self.times[0]:
            self._cover(at)
        times, rates = self.times, self.rates
        right = bisect_right(times, at)
        if right == 0:
            return self.sums[0] + (at - times[0]) * rates[0]
        left = right - 1
        into = at - times[left]
        if right == len(times):
            return self.sums[left] + into * rates[left]
        slope = (rates[right] - rates[left]) / (times[right] - times[left])
        return self.sums[left] + into * (rates[left] + 0.5 * slope * into)

    def advance(self, at: float, amount: float) -> float:
        """The time by which the running sum has grown by `amount` since `at`; infinite if never. For rates that are not negative."""
        return self.reach(self.sum_at(at) + amount, at) if amount > 0.0 else at

    def reach(self, target: float, at: float) -> float:
        """The time, not before `at`, by which the running sum is `target`."""
        times, rates, sums = self.times, self.rates, self.sums
        right = bisect_left(sums, target)
        if right == 0:
            return max(times[0] + (target - sums[0]) / rates[0], at) if rates[0] > 0.0 else at
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
        target = self.sum_at(at) - amount
        while self._left and target < self.sums[0]:
            self._reach_back()
        times, rates, sums = self.times, self.rates, self.sums
        right = bisect_right(sums, target)
        if right == 0:
            return min(times[0] + (target - sums[0]) / rates[0], at) if rates[0] > 0.0 else -inf
        left = right - 1
        rest = target - sums[left]
        if right == len(sums):
            return min(times[left] + rest / rates[left], at) if rates[left] > 0.0 else at
        here = rates[left]
        slope = (rates[right] - here) / (times[right] - times[left])
        root = here + sqrt(max(here * here + 2.0 * slope * rest, 0.0))
        return min(times[left] + (2.0 * rest / root if root > 0.0 else 0.0), at)


class CycleTrack:
    """The track of one day, over and over: `times` of its points run from 0 to 1."""

    __slots__ = ("_day", "_start", "_total")

    def __init__(self, times: list[float], celsius: list[float], curve: RateCurve | None):
        self._day = Track(times, celsius, curve)
        self._start = self._day.sum_at(0.0)
        self._total = self._day.sum_at(1.0) - self._start

    def rate_at(self, at: float) -> float:
        return self._day.rate_at(at - floor(at))

    def sum_at(self, at: float) -> float:
        day = floor(at)
        return day * self._total + self._day.sum_at(at - day) - self._start

    def advance(self, at: float, amount: float) -> float:
        if amount <= 0.0:
            return at
        if self._total <= 0.0:
            return inf
        day = floor(at)
        days, rest = divmod(self._day.sum_at(at - day) - self._start + amount, self._total)
        if rest <= 0.0:
            days, rest = days - 1.0, self._total
        return max(day + days + min(self._day.reach(self._start + rest, 0.0), 1.0), at)

    def retreat(self, at: float, amount: float) -> float:
        if amount <= 0.0:
            return at
        if self._total <= 0.0:
            return -inf
        day = floor(at)
        days, rest = divmod(self._day.sum_at(at - day) - self._start - amount, self._total)
        return min(day + days + max(self._day.retreat(1.0, self._total - rest), 0.0), at)


class JoinedTrack:
    """Tracks one after the other, each on its own clock, which is ahead of this one by its shift.

    The sum is counted from where the last piece takes over; the sums up to the earlier seams, and the tracks themselves, are made as far
    back as was asked about.
    """

    __slots__ = ("_make", "_shifts", "_starts", "_sums", "_tracks")

    def __init__(self, starts: list[float], make: Callable[[int], Track | CycleTrack], shifts: list[float]):
        self._starts, self._make, self._shifts = starts, make, shifts
        self._tracks: list[Track | CycleTrack | None] = [None] * len(starts)
        self._sums = [0.0]
        """At the starts of the pieces, from the last one backwards."""

    def _track(self, piece: int) -> Track | CycleTrack:
        found = self._tracks[piece]
        if found is None:
            found = self._tracks[piece] = self._make(piece)
        return found

    def _piece(self, at: float) -> int:
        return max(bisect_right(self._starts, at) - 1, 0)

    def _own(self, piece: int, at: float) -> float:
        return self._track(piece).sum_at(at + self._shifts[piece])

    def _sum_from(self, piece: int) -> float:
        """The sum where a piece takes over; where the one after it does, for the first, which has no beginning."""
        last = len(self._starts) - 1
        while len(self._sums) <= last - piece:
            one = last - len(self._sums)
            start, end = self._starts[one], self._starts[one + 1]
            self._sums.append(self._sums[-1] - (self._own(one, end) - self._own(one, start)))
        return self._sums[last - piece]

    def rate_at(self, at: float) -> float:
        piece = self._piece(at)
        return self._track(piece).rate_at(at + self._shifts[piece])

    def sum_at(self, at: float) -> float:
        piece = self._piece(at)
        if piece == len(self._starts) - 1:
            return self._own(piece, at) - self._own(piece, self._starts[piece])
        # From the end of the piece: its start may lie far back, where no sums were made yet.
        return self._sum_from(piece + 1) - (self._own(piece, self._starts[piece + 1]) - self._own(piece, at))

    def advance(self, at: float, amount: float) -> float:
        if amount <= 0.0:
            return at
        last = len(self._starts) - 1
        piece = last if at >= self._starts[-1] else self._piece(at)
        while piece < last:
            end = self._starts[piece + 1]
            within = self._own(piece, end) - self._own(piece, at)
            if amount <= within:
                shift = self._shifts[piece]
                return min(max(self._track(piece).advance(at + shift, amount) - shift, at), end)
            at, amount, piece = end, amount - within, piece + 1
        shift = self._shifts[piece]
        return max(self._track(piece).advance(at + shift, amount) - shift, at)

    def retreat(self, at: float, amount: float) -> float:
        if amount <= 0.0:
            return at
        piece = self._piece(at)
        while piece:
            start = self._starts[piece]
            within = self._own(piece, at) - self._own(piece, start)
            if amount <= within:
                shift = self._shifts[piece]
                return max(min(self._track(piece).retreat(at + shift, amount) - shift, at), start)
            at, amount, piece = start, amount - within, piece - 1
        shift = self._shifts[piece]
        return min(self._track(piece).retreat(at + shift, amount) - shift, at)


class PacedTrack:
    """Another track with all its rates multiplied by `pace`."""

    __slots__ = ("_pace", "_track")

    def __init__(self, track: Track | CycleTrack | JoinedTrack, pace: float):
        self._track, self._pace = track, pace

    def rate_at(self, at: float) -> float:
        return self._track.rate_at(at) * self._pace

    def sum_at(self, at: float) -> float:
        return self._track.sum_at(at) * self._pace

    def advance(self, at: float, amount: float) -> float:
        return self._track.advance(at, amount / self._pace)

    def retreat(self, at: float, amount: float) -> float:
        return self._track.retreat(at, amount / self._pace)


class _Cells:
    """A rate curve cut into its straight pieces, laid out for walking along many temperatures that change little by little."""

    __slots__ = ("ends", "feet", "knots", "rates", "slopes", "starts")

    def __init__(self, curve: RateCurve):
        knots = [celsius for celsius, _ in curve.knots]
        rates = [rate for _, rate in curve.knots]
        slopes = [(fast - slow) / (warm - cold) for (cold, slow), (warm, fast) in pairwise(curve.knots)]
        self.knots, self.rates = knots, rates
        self.starts, self.ends = [-inf, *knots], [*knots, inf]
        # Cell 0 lies below the first knot, where nothing develops; the last one above the last knot is flat.
        self.feet, self.slopes = [(knots[0], 0.0), *curve.knots], [0.0, *slopes, 0.0]

    def along(self, times: list[float], temperatures: list[float]) -> tuple[list[float], list[float]]:
        """Rates along the temperatures, with a point wherever a knot is crossed, so that straight lines are exact between."""
        knots, rates = self.knots, self.rates
        before, cell = temperatures[0], bisect_right(knots, temperatures[0])
        start, end, (foot, rate), slope = self.starts[cell], self.ends[cell], self.feet[cell], self.slopes[cell]
        out_times, out_rates, last = [], [], times[0]
        for when, after in zip(times, temperatures, strict=True):
            if not start <= after < end:
                following = bisect_right(knots, after)
                crossed = range(cell, following) if following > cell else range(cell - 1, following - 1, -1)
                pace = (when - last) / (after - before)
                for knot in crossed:
                    at = last + pace * (knots[knot] - before)
                    if out_times[-1] < at < when:
                        out_times.append(at)
                        out_rates.append(rates[knot])
                cell = following
                start, end, (foot, rate), slope = self.starts[cell], self.ends[cell], self.feet[cell], self.slopes[cell]
            out_times.append(when)
            out_rates.append(rate + slope * (after - foot))
            last, before = when, after
        return out_times, out_rates
