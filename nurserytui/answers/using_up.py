"""How plant on hand goes from the day it came: eaten day by day, and wilted if it is not eaten in time."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import NamedTuple

from nurserytui.answers import eaters, provision

LITTLE = 1e-6
"""Grams under which a lot counts as eaten up."""


class Run(NamedTuple):
    """How a stock goes along one course of eating and wilting."""

    gone: datetime | None
    """When the last of it is eaten or wilted; None where it outlasts them."""
    short: datetime | None
    """From when larvae that want to eat find none of it; None where that does not come."""
    wilted: float
    """Grams that wilt before they are eaten."""
    left: float
    """Grams on hand now."""


class Course:
    """How lots are eaten, the first to wilt first, from the oldest on until all is gone or nobody eats any more."""

    def __init__(self, lots, grams: list[float], who: eaters.Eaters, rations, plan: provision.Plan, nursery) -> None:
        self._lots, self._grams, self._plan, self._now = lots, grams, plan, nursery.now
        self._used: dict[datetime, float] = {}
        self._since = lambda at: provision.used_since(who, rations, at, nursery)

    def _eaten(self, at: datetime, after: datetime) -> float:
        """Grams eaten between two moments; what is past by the animals that live now."""
        if at >= self._now:
            return self._plan.eaten_by(after, self._now) - self._plan.eaten_by(at, self._now)
        for moment in (at, after):
            if moment not in self._used:
                self._used[moment] = self._since(moment) if moment < self._now else 0.0
        return self._used[at] - self._used[after]

    def run(self, factor: float, days: float | None) -> Run:
        """The course where the lots hold `factor` times what is thought against what is eaten, and cut plant keeps so many days."""
        lots, now = self._lots, self._now
        spent = [None if lot.growing or days is None else lot.cut + timedelta(days=days) for lot in lots]
        marks = {now, *self._plan.ends, *(lot.since for lot in lots), *(at for at in spent if at is not None)}
        first = min((lot.since for lot in lots), default=now)
        times = sorted(at for at in marks if at >= first)
        left = [grams * factor for grams in self._grams]
        gone = short = None
        wilted = on_hand = 0.0
        for at, after in zip(times, [*times[1:], None]):
            for place, lot in enumerate(lots):
                if spent[place] is not None and spent[place] <= at and lot.since <= at and left[place] > LITTLE:
                    wilted += left[place] if at >= now else 0.0
                    left[place] = 0.0
            there = [place for place, lot in enumerate(lots) if lot.since <= at and left[place] > LITTLE]
            if at == now:
                on_hand, gone = sum(left[place] for place in there), None
            if not there and gone is None:
                gone = at
            if after is None:
                break
            whole = need = self._eaten(at, after)
            for place in sorted(there, key=lambda place: (spent[place] is None, spent[place] or now)):
                taken = min(left[place], need)
                left[place] -= taken
                need -= taken
            if need > LITTLE and at >= now:
                short = at + (after - at) * (1.0 - need / whole)
                gone = gone or short
                break
            gone = None if any(grams > LITTLE for grams in left) else gone or after
        return Run(None if short is None else gone, short, wilted, on_hand)
