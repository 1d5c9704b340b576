"""A clock that a test moves."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta


class MovableClock:
    """Tells the instant it was set to."""

    def __init__(self, instant: str) -> None:
        self.instant = datetime.fromisoformat(instant).astimezone(UTC)

    def __call__(self) -> datetime:
        return self.instant

    def on(self, **much) -> None:
        self.instant += timedelta(**much)
