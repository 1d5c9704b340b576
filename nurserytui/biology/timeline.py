"""Temperature over time, and how far a stage gets along it."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from datetime import date, datetime, time, timedelta
from itertools import pairwise
from math import cos, isfinite, pi
from operator import le

from nurserytui.biology.rate import RateCurve
from nurserytui.biology.track import CycleTrack, JoinedTrack, PacedTrack, Track

HORIZON = timedelta(days=3 * 365)
"""How far ahead `Timeline.when` looks before it says never."""

_DAY = timedelta(days=1)
INSTANT = 1 / 86400
"""Days (a second) below which a mean is the temperature at the middle."""


class Timeline:
    """Temperature (°C) along straight lines between `points`, held flat before the first and after the last.

    Points may come in any order; of several at one time their mean counts. ValueError without a point, or for one that is not a number.
    """

    def __init__(self, points: Sequence[tuple[datetime, float]]):
        if not points:
            raise ValueError("a timeline needs a point")
        self._points([when for when, _ in points], [celsius for _, celsius in points])

    @classmethod
    def of(cls, whens: Sequence[datetime], celsius: Sequence[float]) -> Timeline:
        """The timeline through as many moments as temperatures: as from points, without making a pair of each."""
        timeline = Timeline.__new__(Timeline)
        timeline._points(whens, list(celsius))
        return timeline

    def _points(self, whens: Sequence[datetime], temperatures: list[float]) -> None:
        origin, day = whens[0], _DAY
        times = [(when - origin) / day for when in whens]
        if any(map(le, times[1:], times)):
            times, temperatures = _one_each(sorted(zip(times, temperatures, strict=True)))
        if not all(map(isfinite, temperatures)):
            raise ValueError("a temperature that is not a number")
        self._lay(origin, times, temperatures)

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

    @classmethod
    def joined(cls, pieces: Sequence[tuple[datetime, Timeline]]) -> Timeline:
        """Timelines one after the other: each from its moment on until the next takes over, the first also before its moment.

        Running sums of the pieces are shared, so that joining costs nothing, however many points they have. ValueError without a piece,
        or for moments that do not rise.
        """
        return Joined(pieces) if len(pieces) > 1 else pieces[0][1] if pieces else Joined(pieces)

    def then(self, continuation: Timeline) -> Timeline:
        """These points, and after the last of them those of `continuation`: readings first, then what is assumed."""
        end = self.moment(self._times[-1])
        return Timeline.joined([(end, self), (end + timedelta(microseconds=1), continuation)])

    def warmed(self, degrees: float, since: datetime | None = None) -> Timeline:
        """The same timeline, `degrees` °C warmer from `since` on (None: all of it)."""
        warmer = Timeline.__new__(type(self))._lay(self._origin, self._times, [celsius + degrees for celsius in self._celsius])
        return warmer if since is None else Joined([(since - _DAY, self), (since, warmer)])

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
        if last - first < INSTANT:
            # The difference of two running sums would be lost in their last digits.
            return track.rate_at((first + last) / 2)
        return (track.sum_at(last) - track.sum_at(first)) / (last - first)

    def offset(self, when: datetime) -> float:
        """Days since the timeline's own zero."""
        return (when - self._origin) / _DAY

    def moment(self, offset: float) -> datetime:
        """The moment that many days after the timeline's own zero."""
        return self._origin + timedelta(days=offset)

    def track(self, curve: RateCurve | None) -> Track:
        """Running sums of a curve's rate (of the temperature itself for None), made once per curve."""
        track = self._tracks.get(curve)
        if track is None:
            if curve is None or curve.pace == 1.0:
                track = self._laid_out(curve)
            else:
                track = PacedTrack(self.track(curve._replace(pace=1.0)), curve.pace)
            self._tracks[curve] = track
        return track

    def _laid_out(self, curve: RateCurve | None) -> Track:
        return Track(self._times, self._celsius, curve)


class Cycle(Timeline):
    """One day over and over, before and after: what is assumed where nothing was measured.

    `points` are (fraction of the day, °C), the first at 0; the day closes with the first again. ValueError for points out of order.
    """

    def __init__(self, points: Sequence[tuple[float, float]], midnight: datetime):
        if not points or points[0][0] != 0.0 or not points[-1][0] < 1.0 or any(b[0] <= a[0] for a, b in pairwise(points)):
            raise ValueError("a day needs points from 0 on that rise and stay below 1")
        if not all(isfinite(celsius) for _, celsius in points):
            raise ValueError("a temperature that is not a number")
        self._lay(midnight, [*(at for at, _ in points), 1.0], [*(celsius for _, celsius in points), points[0][1]])

    def _laid_out(self, curve: RateCurve | None) -> CycleTrack:
        return CycleTrack(self._times, self._celsius, curve)


class Joined(Timeline):
    """See `Timeline.joined`."""

    def __init__(self, pieces: Sequence[tuple[datetime, Timeline]]):
        if not pieces:
            raise ValueError("a timeline needs a piece")
        if any(late <= early for (early, _), (late, _) in pairwise(pieces)):
            raise ValueError("the moments of joined pieces must rise")
        self.pieces: list[tuple[datetime, Timeline]] = []
        """What was joined, with what had been joined before taken apart again: no piece is a Joined."""
        for at, (start, piece) in enumerate(pieces):
            end = pieces[at + 1][0] if at + 1 < len(pieces) else None
            for part in piece.cut(start, end) if isinstance(piece, Joined) else [(start, piece)]:
                if not self.pieces or self.pieces[-1][1] is not part[1]:
                    self.pieces.append(part)
        self._origin = self.pieces[0][1]._origin
        self._starts = [self.offset(start) for start, _ in self.pieces]
        self._shifts = [piece.offset(self._origin) for _, piece in self.pieces]
        self._tracks = {}

    def cut(self, start: datetime, end: datetime | None) -> list[tuple[datetime, Timeline]]:
        """The pieces that hold from `start` until `end`."""
        later = [piece for piece in self.pieces[1:] if piece[0] > start and (end is None or piece[0] < end)]
        here = bisect_right(self.pieces, start, 1, key=lambda piece: piece[0]) - 1
        return [(start, self.pieces[here][1]), *later]

    def then(self, continuation: Timeline) -> Timeline:
        last, piece = self.pieces[-1]
        end = max(last, piece.moment(piece._times[-1]))
        return Timeline.joined([(self.pieces[0][0], self), (end + timedelta(microseconds=1), continuation)])

    def warmed(self, degrees: float, since: datetime | None = None) -> Timeline:
        if since is None:
            return Joined([(start, piece.warmed(degrees)) for start, piece in self.pieces])
        (start, first), *others = self.pieces
        before = [(min(start, since - _DAY), first), *(piece for piece in others if piece[0] < since)]
        return Joined([*before, *((moment, piece.warmed(degrees)) for moment, piece in self.cut(since, None))])

    def _laid_out(self, curve: RateCurve | None) -> JoinedTrack:
        return JoinedTrack(self._starts, lambda at: self.pieces[at][1].track(curve), self._shifts)


def cycle_points(low: float, high: float, start_day: date, days: int) -> list[tuple[datetime, float]]:
    """Half-hourly points of a daily sine, coldest at 4:00 and warmest at 16:00 (common practice for air in shade)."""
    if not low <= high or days < 1:
        raise ValueError("a daily cycle needs low <= high and a day")
    middle, swing = (low + high) / 2, (high - low) / 2
    day = [middle - swing * cos(2 * pi * (half_hour / 48 - 4 / 24)) for half_hour in range(48)]
    midnight = datetime.combine(start_day, time())
    half = timedelta(minutes=30)
    return [(midnight + half * at, day[at % 48]) for at in range(days * 48 + 1)]


def _one_each(pairs: Iterable[tuple[float, float]]) -> tuple[list[float], list[float]]:
    times: list[float] = []
    sums: list[list[float]] = []
    for at, celsius in pairs:
        if times and at == times[-1]:
            sums[-1].append(celsius)
        else:
            times.append(at)
            sums.append([celsius])
    return times, [sum(each) / len(each) for each in sums]
