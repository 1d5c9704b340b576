"""The temperatures that a forecast assumes: readings so far, and the days ahead as the last week was."""

from datetime import datetime, time, timedelta
from typing import NamedTuple

from nurserytui.answers.wording import number
from nurserytui.biology.timeline import Timeline, cycle_points

ASSUMED = 22.0
"""°C assumed for a room of which nothing is known: an ordinary heated or summer room (common practice, no source)."""
AHEAD = timedelta(days=45)
"""How far ahead the last week's daily cycle is repeated; after that its mean is held."""
WEEK = timedelta(days=7)
LONGEST_HELD = timedelta(days=60)
"""How long one reading of a low and a high stands for the days after it."""


class Warmth(NamedTuple):
    timeline: Timeline
    words: str
    """What was assumed, in one sentence."""
    assumed: bool
    """True where nothing was measured."""
    ahead: float
    """Mean °C assumed for the days ahead."""


def warmth(nursery, enclosure: str, start: datetime, celsius: float | None = None, more: float = 0.0) -> Warmth:
    """Temperatures of `enclosure` from `start` on; `celsius` replaces the days ahead by a steady temperature that was asked for, `more`
    is added to the days ahead."""
    place, readings = _readings(nursery, enclosure)
    now = nursery.now
    if not readings:
        ahead = (ASSUMED if celsius is None else celsius) + more
        points = [(now - timedelta(minutes=1), ASSUMED), (now, ahead)]
        said = f"no temperature is recorded for {enclosure or 'the room'}: {number(ASSUMED)} °C is assumed"
        if celsius is not None:
            said += f", and {number(celsius)} °C from now on as you asked"
        return Warmth(Timeline(points), said, celsius is None, ahead)
    points = _past(readings, start, now)
    # What is assumed of the days ahead must not lean back over the days since the last reading.
    points.append((now - timedelta(minutes=1), Timeline(points).celsius(now)))
    if celsius is not None:
        points.append((now, celsius + more))
        ahead, said_ahead = celsius + more, f"{number(celsius)} °C from now on as you asked"
    else:
        low, high, mean = _last_week(readings, now)
        points += _cycle(low + more, high + more, mean + more, now)
        ahead = mean + more
        said_ahead = f"the days ahead like the last readings ({number(low)} to {number(high)} °C)"
    timeline = Timeline(points)
    so_far = f"mean {number(timeline.mean(start, now))} °C so far, " if start < now - timedelta(hours=1) else ""
    whose = place or "the room"
    gap = " (no readings of its own)" if place != enclosure else ""
    return Warmth(timeline, f"{whose}{gap}: {so_far}{said_ahead}", False, ahead)


def _readings(nursery, enclosure: str):
    """Readings of the enclosure, else of one that shares its air, else of the room."""
    air = nursery.settings.air
    shared = [other for other, group in air.items() if enclosure in air and group == air[enclosure] and other != enclosure]
    for place in dict.fromkeys([enclosure, *shared, air.get(enclosure, ""), ""]):
        readings = nursery.temperatures(place)
        if readings:
            return place, readings
    return "", []


def _past(readings, start: datetime, now: datetime):
    """Points from readings up to now. A span of low to high is a daily cycle until the next reading; a single value is a point."""
    usable = [reading for reading in readings if moment_of(reading.when) <= now] or readings[:1]
    since = next(
        (at for at, reading in enumerate(usable) if moment_of(reading.when) >= start - timedelta(days=2)), len(usable) - 1
    )
    usable = usable[max(since - 1, 0) :]
    points = []
    for at, reading in enumerate(usable):
        moment = moment_of(reading.when)
        if reading.low == reading.high:
            points.append((min(moment, now), reading.low))
            continue
        first = min(start.date(), moment.date()) if at == 0 else moment.date()
        following = moment_of(usable[at + 1].when) if at + 1 < len(usable) else now + timedelta(days=1)
        days = min(max((following.date() - first).days, 1), LONGEST_HELD.days)
        points += [point for point in cycle_points(reading.low, reading.high, first, days) if point[0] < min(following, now)]
    return sorted(points) or [(now, (usable[-1].low + usable[-1].high) / 2)]


def _last_week(readings, now: datetime) -> tuple[float, float, float]:
    """Usual daily low and high, and the mean, of the last week that has readings."""
    last = min(moment_of(readings[-1].when), now)
    recent = [reading for reading in readings if last - WEEK <= moment_of(reading.when) <= last]
    # A day that has only its morning yet would lower the usual high.
    whole = [reading for reading in recent if reading.low != reading.high or moment_of(reading.when).date() < last.date()]
    recent = whole or recent
    days: dict = {}
    for reading in recent:
        low, high = days.get(moment_of(reading.when).date(), (reading.low, reading.high))
        days[moment_of(reading.when).date()] = (min(low, reading.low), max(high, reading.high))
    low = sum(low for low, _ in days.values()) / len(days)
    high = sum(high for _, high in days.values()) / len(days)
    mean = sum((reading.low + reading.high) / 2 for reading in recent) / len(recent)
    return low, high, mean


def _cycle(low: float, high: float, mean: float, now: datetime):
    if high - low < 0.5:
        return [(now, mean)]
    middle, swing = mean, (high - low) / 2
    points = cycle_points(middle - swing, middle + swing, now.date(), AHEAD.days)
    end = datetime.combine(now.date(), time()) + AHEAD
    return [point for point in points[::4] if now < point[0] < end] + [(end, mean)]


def moment_of(when) -> datetime:
    """A reading's moment; a date alone stands for its noon."""
    if isinstance(when, datetime):
        return when
    return datetime.fromisoformat(when if len(when) > 10 else when + "T12:00")
