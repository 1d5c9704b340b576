"""From the nursery's local wall time to the instant it stands for. The wall time is what counts; the instant is kept beside it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, tzinfo

MINUTE = timedelta(minutes=1)


def zone(name: str) -> tzinfo | None:
    """The time zone of that name; None for "", which stands for the zone of this computer."""
    if not name:
        return None
    import zoneinfo

    return zoneinfo.ZoneInfo(name)


def comes_twice(when: datetime, where: tzinfo | None) -> bool:
    """True for a wall time of the hour that the clocks go back over."""
    if where is None:
        return False
    first = when.replace(tzinfo=where, fold=0)
    return first.utcoffset() > first.replace(fold=1).utcoffset()


def instant(when: str, where: tzinfo | None) -> str:
    """UTC, ISO 8601, of a local wall time; of a date, the moment it begins."""
    local = datetime.fromisoformat(when)
    aware = local.replace(tzinfo=where) if where is not None else local
    return f"{aware.astimezone(UTC).isoformat()[:19]}Z"


class Instants(dict[str, str]):
    """`instant` of every wall time that it is asked for; very many events share theirs, since a date is enough."""

    def __init__(self, where: tzinfo | None) -> None:
        self._where = where

    def __missing__(self, when: str) -> str:
        found = self[when] = instant(when, self._where)
        return found


def local_text(moment: datetime, where: tzinfo | None) -> str:
    """The wall time of a moment as the records write it; a moment with an offset is turned into the nursery's own time.

    ValueError where that lies outside the years 1 to 9999."""
    moment = at_place(moment, where)
    return moment.isoformat(timespec="seconds" if moment.second else "minutes")


def now_utc() -> str:
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def wall(instant: datetime, where: tzinfo | None) -> datetime:
    """The nursery's wall time at an instant, in whole minutes.

    While autumn's repeated hour comes round again, it is the last minute of that hour: what was written down in its first round would
    otherwise lie ahead, and not be seen for an hour.
    """
    local = datetime.fromtimestamp(instant.timestamp(), where)
    second_round = local.fold
    local = local.replace(second=0, microsecond=0, tzinfo=None, fold=0)
    while second_round and _repeats(local + MINUTE, where):
        local += MINUTE
    return local


def _repeats(local: datetime, where: tzinfo | None) -> bool:
    """`comes_twice`, for the computer's own zone too."""
    first, second = (local.replace(tzinfo=where, fold=fold).timestamp() for fold in (0, 1))
    return first < second


def at_place(moment: datetime, where: tzinfo | None) -> datetime:
    """A moment as told: one without an offset is the nursery's wall time already. ValueError where it lies outside the years 1 to 9999."""
    if moment.tzinfo is None:
        return moment
    try:
        return moment.astimezone(where).replace(tzinfo=None)
    except OverflowError:
        raise ValueError(f"{moment.isoformat()} lies outside the years 1 to 9999") from None
