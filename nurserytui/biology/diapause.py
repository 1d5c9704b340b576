"""Whether a larva becomes a resting pupa, by the day lengths in which it feeds.

Half of the larvae of a population switch at its critical day length, which rises from south to north; around it the share of resting
pupae falls from short days to long ones. Days are counted from sunrise to sunset; twilight and the difference between populations are
carried in the bounds.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from math import erfc, sqrt
from typing import NamedTuple

from nurserytui.biology.daylight import day_length

SPREAD = 0.3
"""Hours (standard deviation) over which the larvae of a population switch: from 10 to 90 % of them within about 0.8 h (the published
brackets hold half an hour; the width beyond them is recalled, unchecked)."""
TWILIGHT = 0.5
"""Hours of twilight a day that may count as light, so that the switch comes on days that are so much shorter (recalled: 0.5 to 1 h)."""
POPULATIONS = 0.25
"""Hours by which populations of one latitude may differ, at the least."""
CLINE_SLOPE = 2.5 / 14.5
"""Hours of critical day length per degree of latitude: 12.25 h at 28°, 14.75 h at 42.5° (*Papilio troilus*)."""
FARTHER = 0.1
"""Hours of doubt per degree of latitude beyond the populations that were studied (an assumption of this program)."""
BORROWED = 0.75
"""Hours of doubt, either way, where the critical day length is a relative's (an assumption of this program)."""
NEAR = 4.0
"""Degrees of latitude over which a share seen at one place is taken to hold."""
COOL, WARM = 15.0, 25.0
WARM_SHARE = 0.65
"""Part of the short-day share that is left at 25 °C, all of it at 15 °C (*Pontia occidentalis*: about 65 and 100 %)."""


class Chance(NamedTuple):
    """A probability with the bounds of what is not known about it."""

    value: float
    low: float
    high: float


SAMPLE = 0.05
"""What a published share is off by, either way, at the least."""
SHORT, LONG = Chance(0.97, 0.9, 1.0), Chance(0.03, 0.0, 0.1)
"""Share of resting pupae on days far shorter and far longer than the critical one, where none was published (an assumption)."""


class Seen(NamedTuple):
    """What was published: between `share_low` and `share_high` of the pupae rested after `light_low` to `light_high` hours of light a day.

    Shares of 0.5 and 0.5 are a critical day length. `local`: other populations of that latitude are known to differ.
    """

    light_low: float
    light_high: float
    share_low: float = 0.5
    share_high: float = 0.5
    latitude: float | None = None
    celsius: float | None = None
    local: bool = False
    cool: bool = False
    """True where the pupae rest only if it is cool as well."""

    @property
    def critical(self) -> bool:
        return self.share_low == self.share_high == 0.5


class Response(NamedTuple):
    """The share of resting pupae against day length, in a population at one latitude."""

    critical: float
    """Hours from sunrise to sunset at which half of those that can switch do so, and its bounds."""
    critical_low: float
    critical_high: float
    short: Chance = SHORT
    long: Chance = LONG
    spread: float = SPREAD

    def chance(self, hours: float) -> Chance:
        """The chance that a larva which feeds in days of so many hours becomes a resting pupa."""

        def at(critical: float, short: float, long: float) -> float:
            return long + (short - long) * 0.5 * erfc((hours - critical) / (self.spread * sqrt(2.0)))

        return Chance(
            at(self.critical, self.short.value, self.long.value),
            at(self.critical_low, self.short.low, self.long.low),
            at(self.critical_high, self.short.high, self.long.high),
        )

    def warmed(self, celsius: float | None) -> Response:
        """For a species that rests only where it is cool too: fewer rest on short days in the warmth, how few is not known."""
        if celsius is None:
            return self._replace(short=Chance((1.0 + WARM_SHARE) / 2.0 * self.short.value, 0.5 * self.short.low, self.short.high))
        part = max(0.0, 1.0 - (1.0 - WARM_SHARE) * max(0.0, celsius - COOL) / (WARM - COOL))
        least = part if celsius <= COOL else part * max(0.0, 1.0 - (celsius - COOL) / (WARM - COOL))
        return self._replace(short=Chance(part * self.short.value, least * self.short.low, self.short.high))


class Turn(NamedTuple):
    """The first day after the longest one on which half of the larvae would become resting pupae, with its bounds.

    `high` None: by the bound against it, on no day of the season.
    """

    day: date | None
    """None: on no day, or already on the longest one (`from_start`)."""
    low: date | None
    high: date | None
    from_start: bool


def critical_at(latitude: float, seen: Sequence[Seen], doubt: float = 0.0) -> tuple[float, float, float]:
    """(hours, low, high) of the critical day length at `latitude` (either hemisphere) from critical ones published for other latitudes.

    Straight lines between them; beyond the farthest, or from a single one, along the cline of *Papilio troilus* with growing doubt.
    ValueError without one that has its latitude.
    """
    places = sorted(
        (abs(one.latitude), one.light_low, one.light_high) for one in seen if one.critical and one.latitude is not None
    )
    if not places:
        raise ValueError("a critical day length and its latitude are needed")
    at = abs(latitude)
    south, north = places[0], places[-1]
    if at <= south[0] or at >= north[0] or len(places) == 1:
        end = south if at <= south[0] else north
        away = at - end[0]
        low, high = (hours + CLINE_SLOPE * away for hours in end[1:])
        doubt += FARTHER * abs(away)
    else:
        right = next(index for index, place in enumerate(places) if place[0] > at)
        before, after = places[right - 1], places[right]
        part = (at - before[0]) / (after[0] - before[0])
        low, high = (one + (other - one) * part for one, other in zip(before[1:], after[1:], strict=True))
    middle = (low + high) / 2.0
    return middle, min(low, middle - TWILIGHT) - doubt, max(high, middle + POPULATIONS) + doubt


def response_at(
    latitude: float, seen: Sequence[Seen], relatives: Sequence[Seen] = (), celsius: float | None = None
) -> tuple[Response, str] | None:
    """The response of a species at `latitude`, and where its critical day length is from: `own`, `far` (its own, from elsewhere),
    `shares` (between the day lengths that were tried), `relatives`, or `always` (day length makes no difference).

    None where nothing that was published reaches there.
    """
    criticals = [one for one in seen if one.critical and one.latitude is not None]
    bands = _bands([one for one in seen if not one.critical and _reaches(one, latitude)], celsius)
    local = any(one.local for one in seen)
    if criticals:
        near = min(abs(abs(latitude) - abs(one.latitude)) for one in criticals) <= NEAR or len(criticals) > 1
        found = Response(*critical_at(latitude, criticals)), "own" if near else "far"
    elif len(bands) == 1 and not local:
        found = Response(12.0, 0.0, 24.0, bands[0][2], bands[0][2]), "always"
    elif len(bands) > 1:
        (_, low, short), (high, _, long) = bands[0], bands[-1]
        found = Response((low + high) / 2.0, low, high, short, long), "shares"
    elif relatives:
        response = Response(*critical_at(latitude, relatives, BORROWED))
        if bands:  # some populations of that latitude rest on long days too, others are not known to
            share = bands[0][2]
            response = response._replace(long=Chance((share.value + LONG.value) / 2.0, LONG.low, share.high))
        found = response, "relatives"
    else:
        return None
    return (found[0].warmed(celsius), found[1]) if any(one.cool for one in seen) else found


def _reaches(one: Seen, latitude: float) -> bool:
    return one.latitude is None or abs(abs(latitude) - abs(one.latitude)) <= NEAR


def _bands(shares: Sequence[Seen], celsius: float | None) -> list[tuple[float, float, Chance]]:
    """The shares by day length, short days first; of several temperatures, straight lines between them, or all where it is not known."""
    by_light: dict[tuple[float, float], list[Seen]] = {}
    for one in shares:
        by_light.setdefault((one.light_low, one.light_high), []).append(one)
    return [
        (*light, _share(sorted(rows, key=lambda one: one.celsius or 0.0), celsius)) for light, rows in sorted(by_light.items())
    ]


def _share(rows: list[Seen], celsius: float | None) -> Chance:
    if celsius is not None:
        colder = [one for one in rows if one.celsius is None or one.celsius <= celsius][-1:] or rows[:1]
        warmer = [one for one in rows if one.celsius is not None and one.celsius >= celsius][:1] or rows[-1:]
        rows = [*colder, *warmer]
        gap = (warmer[0].celsius or 0.0) - (colder[0].celsius or 0.0)
        part = (celsius - (colder[0].celsius or 0.0)) / gap if gap > 0.0 else 0.0
        low, high = (one + (other - one) * part for one, other in zip(colder[0][2:4], warmer[0][2:4], strict=True))
    else:
        low, high = min(one.share_low for one in rows), max(one.share_high for one in rows)
    return Chance((low + high) / 2.0, max(0.0, low - SAMPLE), min(1.0, high + SAMPLE))


def chance_over(response: Response, latitude: float, days: Iterable[tuple[date, float]]) -> tuple[Chance, float]:
    """The chance for larvae that feed on `days` (each with its weight), and the mean day length: every day counts alike.

    ValueError without a day of weight.
    """
    total = hours = 0.0
    sums = [0.0, 0.0, 0.0]
    for day, weight in days:
        light = day_length(latitude, day)
        total += weight
        hours += weight * light
        for at, share in enumerate(response.chance(light)):
            sums[at] += weight * share
    if not total > 0.0:
        raise ValueError("no day on which larvae feed")
    return Chance(*(one / total for one in sums)), hours / total


def after_waiting(chance: Chance, still: float) -> Chance:
    """The chance that a living pupa rests which has not emerged yet, where only a share `still` of those that develop at once would be
    pupae by now (Bayes' rule)."""

    def then(prior: float) -> float:
        return prior / (prior + (1.0 - prior) * still) if prior > 0.0 else 0.0

    return Chance(*map(then, chance))


def longest_day(latitude: float, day: date) -> date:
    """The longest day of the season that `day` falls in: 21 June of its year, or south of the equator 21 December (from July on that
    of its year, else the one before)."""
    if latitude >= 0.0:
        return date(day.year, 6, 21)
    return date(day.year if day.month >= 7 else day.year - 1, 12, 21)


def turn_of(response: Response, latitude: float, day: date) -> Turn:
    """The first day on which half of the larvae would become resting pupae, in the season of `day`, from its longest to its shortest."""
    start = longest_day(latitude, day)
    found: list[date | None] = [None, None, None]
    for ahead in range(184):
        at = start + timedelta(days=ahead)
        for which, share in enumerate(response.chance(day_length(latitude, at))):
            if found[which] is None and share >= 0.5:
                found[which] = at
        if all(found):
            break
    middle, late, early = found  # where fewer rest, half is reached later
    return Turn(None if middle == start else middle, early, late, middle == start)
