"""What putting a backup in place would change, in lines for the keeper to read before it is done."""

from __future__ import annotations

from pathlib import Path

from nurserytui.records.backups.standing import Standing, read, standing
from nurserytui.records.backups.trust import doubt_of
from nurserytui.records.ledger import replay
from nurserytui.records.reasons import animals

MOST_LINES = 12


def preview(backup_file: str | Path, path: str | Path) -> list[str]:
    """What `restore` would change, line by line. StoreError if the backup cannot be used."""
    backup_file, path = Path(backup_file), Path(path)
    with read(backup_file) as store:
        new, new_readings = store.events(), store._rows("SELECT count(*) FROM readings")[0][0]
    lines = [f"{backup_file} has {_extent(new)} and {_number(new_readings, 'reading')}."]
    if wrong := doubt_of(backup_file):
        lines.append(f"It is not sound: {wrong}.")
    there, why = standing(path)
    if there is Standing.NONE:
        return [*lines, f"There is no nursery at {path}: the backup would be put there."]
    if there is Standing.UNUSABLE:
        return [*lines, f"{why}. It would be kept beside the restored one."]
    with read(path) as store:
        old, old_readings = store.events(), store._rows("SELECT count(*) FROM readings")[0][0]
    lines.append(f"{path} has {_extent(old)} and {_number(old_readings, 'reading')}.")
    ours, theirs = {event.id for event in old}, {event.id for event in new}
    for words, events in (
        ("would be gone", [event for event in old if event.id not in theirs]),
        ("would come back", [event for event in new if event.id not in ours]),
    ):
        if events:
            named = "; ".join(f"{one.what} {one.cohort or one.enclosure}".strip() + f" on {one.day}" for one in events[:-4:-1])
            lines.append(f"{_number(len(events), 'event')} {words}: {named}{', …' if len(events) > 3 else ''}.")
    if old == new:
        return [*lines, "The events are the same."]
    return [*lines, *headcounts(replay(old).heads, replay(new).heads)]


def _number(count: int, of: str) -> str:
    return f"1 {of}" if count == 1 else f"{count} {of}s"


def _extent(events: list) -> str:
    days = [event.day for event in events]
    return _number(len(events), "event") + (f" ({min(days)} to {max(days)})" if days else "")


def headcounts(old: dict, new: dict) -> list[str]:
    """How the headcounts of two ledgers differ, by cohort, stage and enclosure, line by line."""

    def sums(heads: dict) -> dict:
        found: dict = {}
        for key, count in heads.items():
            spot = (key.cohort, key.stage, key.enclosure)
            found[spot] = found.get(spot, 0) + count
        return found

    before, after = sums(old), sums(new)
    lines = [
        f"cohort {cohort}{f' in {place}' if place else ''}: {animals(before.get(spot, 0), stage)} would become {after.get(spot, 0)}"
        for spot in sorted({*before, *after})
        for cohort, stage, place in [spot]
        if before.get(spot, 0) != after.get(spot, 0)
    ]
    return lines if len(lines) <= MOST_LINES else [*lines[:MOST_LINES], f"and {len(lines) - MOST_LINES} more such changes"]
