"""The temperatures that a forecast assumes: those of the places where the animals stood, and the days ahead as the last week was."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import NamedTuple

from nurserytui.answers.air import ASSUMED, EVER, Air, air, unmeasured
from nurserytui.answers.wording import counted, number
from nurserytui.biology.timeline import Timeline

__all__ = ["ASSUMED", "Gap", "Warmth", "left_out", "moment_of", "warmth"]

SHORT = timedelta(hours=6)
"""Gaps shorter than this are not worth a word."""
NAMED = 4
"""Gaps, and readings left out, that are named one by one."""

MOST_KEPT = 500
"""Ways through several airs that are kept."""


class Gap(NamedTuple):
    """Nothing was measured from `start` to `end`; `assumed` says what was taken instead."""

    place: str
    start: datetime
    end: datetime
    assumed: str


class Warmth(NamedTuple):
    timeline: Timeline
    words: str
    """What was assumed, in one sentence without its stop."""
    assumed: bool
    """True where nothing was measured of the place that they stand in now, so that the days ahead are a guess."""
    ahead: float
    """Mean °C assumed for the days ahead."""
    gaps: tuple[Gap, ...] = ()
    """Stretches since the start in which nothing was measured."""
    steps: tuple[str, ...] = ()
    """What else belongs into the working: the gaps, and the readings left out, as sentences."""


def warmth(
    nursery,
    enclosure: str,
    start: datetime,
    celsius: float | None = None,
    path: Sequence[tuple[datetime | None, str]] = (),
) -> Warmth:
    """Temperatures of `enclosure`, told of from `start` on; `celsius` replaces the days ahead by a steady temperature that was asked for.

    `path` has the enclosures that the animals stood in, each with the moment since when (`whereabouts.path_of`); the last is `enclosure`.
    """
    now = nursery.moment
    path = [(since, place) for since, place in path or ((None, enclosure),) if since is None or since < now]
    airs = [air(nursery, place) for _, place in path]
    nothing = all(one.place is None for one in airs)
    if nothing and celsius is not None:
        # What the keeper says of now is the best that is known of the days before.
        airs = [unmeasured(celsius)._replace(rejected=airs[-1].rejected)]
        path = path[-1:]
    last = airs[-1]
    ahead, timeline = last.day.mean, last.timeline
    pieces = [(since or EVER, one.timeline) for (since, _), one in zip(path, airs, strict=True)]
    pieces[0] = (EVER, pieces[0][1])
    if celsius is not None:
        ahead = celsius
        pieces.append((now, Timeline.constant(ahead, now)))
    if len(pieces) > 1:
        timeline = _joined(nursery, pieces) if celsius is None else Timeline.joined(pieces)
    gaps = tuple(_gaps(path, airs, start, now))
    words = _words(path, airs, start, now, celsius, timeline)
    rejected = tuple(dict.fromkeys(one for each in airs for one in each.rejected))
    steps = (*_gap_steps(gaps), *(() if not rejected else (left_out(rejected),)))
    return Warmth(timeline, words, last.place is None and celsius is None, ahead, gaps, steps)


def _joined(nursery, pieces: list[tuple[datetime, Timeline]]) -> Timeline:
    """One after the other; kept, since the air of twenty seasons is of many pieces and groups that stood together ask for the same."""
    kept = nursery.memo.setdefault("joined", {})
    asked = tuple((since, id(piece)) for since, piece in pieces)
    if asked not in kept:
        if len(kept) >= MOST_KEPT:
            kept.clear()
        # The pieces are held too: what they are called by is theirs for as long as they live.
        kept[asked] = pieces, Timeline.joined(pieces)
    return kept[asked][1]


def _words(path, airs: list[Air], start: datetime, now: datetime, celsius: float | None, timeline: Timeline) -> str:
    last, place = airs[-1], path[-1][1]
    if celsius is not None:
        said_ahead = f"{number(celsius)} °C from now on as you asked"
    elif last.place is None:
        said_ahead = f"{number(last.day.mean)} °C is assumed"
    else:
        said_ahead = f"the days ahead like the last readings ({last.day.words})"
    whose = _whose(place, last.place)
    if len(path) == 1 and last.place is None:
        more = f"{number(celsius)} °C as you asked, taken for the days before now too" if celsius is not None else said_ahead
        return f"no temperature is recorded for {place or 'the room'}: {more}"
    if len(path) == 1:
        so_far = f"mean {number(timeline.mean(start, now))} °C so far, " if start < now - timedelta(hours=1) else ""
        return f"{whose}: {so_far}{said_ahead}"
    parts, begin = [], start
    for at, one in enumerate(airs):
        end = path[at + 1][0] if at + 1 < len(path) else now
        if end > begin:
            mean = f"mean {number(timeline.mean(begin, end))} °C"
            until = f"until {end:%Y-%m-%d %H:%M}" if end < now else "so far"
            parts.append(f"{_whose(path[at][1], one.place)}: {mean} {until}")
            begin = end
    return f"{'; then '.join(parts)}; {said_ahead}" if parts else f"{whose}: {said_ahead}"


def _whose(place: str, measured: str | None) -> str:
    if measured is None:
        return f"{place or 'the room'} (nothing recorded)"
    return f"{measured or 'the room'}{' (no readings of its own)' if measured != place else ''}"


def _gaps(path, airs: list[Air], start: datetime, now: datetime):
    """The stretches from start to now, along the path, in which nothing was measured."""
    for at, one in enumerate(airs):
        begin = max(start, path[at][0] or start)
        end = min(now, path[at + 1][0]) if at + 1 < len(path) else now
        for span in one.spans[max(bisect_right(one.spans, begin, key=lambda span: span.start) - 1, 0) :]:
            if span.start >= end:
                break
            if span.gap and span.end > begin:
                since = span.since or span.start
                gap = Gap(span.place, max(since, begin), min(span.end, end), span.gap)
                if gap.end - gap.start > SHORT:
                    yield gap


def _gap_steps(gaps) -> list[str]:
    said = [
        f"Gap: no reading of {gap.place or 'the room'} from {gap.start:%Y-%m-%d %H:%M} to {gap.end:%Y-%m-%d %H:%M}; "
        f"{gap.assumed} is assumed in it, as around it."
        for gap in gaps[-NAMED:]
    ]
    if len(gaps) > NAMED:
        earlier = gaps[:-NAMED]
        days = sum((gap.end - gap.start).total_seconds() for gap in earlier) / 86400
        said.insert(
            0,
            f"Gaps: {counted(len(earlier), 'more stretch', 'more stretches')} without a reading before, {number(days)} days in all.",
        )
    return said


def left_out(rejected) -> str:
    """One sentence that names the readings that are left out, and why."""
    named = "; ".join(
        f"{one.said} at {one.when:%Y-%m-%d %H:%M} in {one.place or 'the room'}: {one.reason}" for one in rejected[-NAMED:]
    )
    more = f", and {len(rejected) - NAMED} earlier ones" if len(rejected) > NAMED else ""
    return f"Left out: {counted(len(rejected), 'reading')} ({named}{more})."


def moment_of(when) -> datetime:
    """A reading's moment; a date alone stands for its noon."""
    if isinstance(when, datetime):
        return when
    return datetime.fromisoformat(when if len(when) > 10 else when + "T12:00")
