"""What time it is in the nursery, wherever this computer is, for as long as the app is open."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

from nurserytui.records import moments

SLIP = timedelta(hours=1)
"""A clock that is put back by no more than this is waited for: what was just written down would lie ahead of it."""


def universal() -> datetime:
    """The instant it is."""
    return datetime.now(UTC)


class Clock:
    """The nursery's wall time in whole minutes, so that what is computed for a moment can be kept: the clock's, or one that runs on from
    `start`, which is wall time too (or has an offset). `instant` tells what instant it is."""

    def __init__(self, start: datetime | None = None, instant: Callable[[], datetime] = universal) -> None:
        self.zone = ""
        """The nursery's time zone; "" for the computer's."""
        self._start = start
        self._instant = instant
        self._began = instant()
        self._latest: tuple[str, datetime] | None = None
        self._put_back: tuple[datetime, datetime] | None = None

    def now(self) -> datetime:
        """The moment by this clock."""
        where = moments.zone(self.zone)
        now = self._instant()
        if self._start is not None:
            start = self._start if self._start.tzinfo or where is None else self._start.replace(tzinfo=where)
            now = start.astimezone(UTC) + (now - self._began)
        wall = moments.wall(now, where)
        if self._latest is not None and wall < (before := self._latest[1]):
            if before - wall <= SLIP and self._latest[0] == self.zone:
                return before
            self._put_back = before, wall
        self._latest = self.zone, wall
        return wall

    def put_back(self) -> tuple[datetime, datetime] | None:
        """(the moment before, the moment after) if the clock was put back further since this was last asked."""
        told, self._put_back = self._put_back, None
        return told
