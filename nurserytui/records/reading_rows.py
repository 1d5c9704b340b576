"""Logger readings from a CSV table: `time,place,temperature`, the unit in the header or in a `unit` column."""

from __future__ import annotations

from datetime import datetime

from nurserytui.biology.sensors import COLDEST, HOTTEST, impossible
from nurserytui.records import moments
from nurserytui.records.importing import Report
from nurserytui.records.progress import Progress
from nurserytui.records.readings import Reading
from nurserytui.records.tables import RowFault, Table

UNITS = {"c": "C", "°c": "C", "celsius": "C", "degc": "C", "f": "F", "°f": "F", "fahrenheit": "F", "degf": "F"}
_IGNORED = ("humidity", "unit")


def import_readings(table: Table, store, progress: Progress | None = None) -> Report:
    """Write the readings of the table, if every row can be read."""
    columns = {name: at for at, name in enumerate(table.header)}
    measured = next(name for name in table.header if name.startswith("temperature"))
    faults = [RowFault(1, name, f"there is no column {name}") for name in ("time", "place") if name not in columns]
    unit = measured.removeprefix("temperature").strip(" _()[]°")
    if unit and unit not in UNITS:
        faults.append(RowFault(1, measured, f"{unit} is no unit: write temperature_C or temperature_F"))
    if not unit and "unit" not in columns:
        faults.append(RowFault(1, measured, "the unit is not said: write temperature_C or temperature_F, or add a column unit"))
    if faults:
        return Report("readings", 0, 0, tuple(faults))
    spare = [name for name in table.header if name and name not in ("time", "place", measured) and not name.startswith(_IGNORED)]
    warnings = [f"column {name} was not imported" for name in spare]
    readings, twice = _read(table, columns, measured, UNITS.get(unit, ""), store, faults)
    if faults:
        return Report("readings", 0, 0, tuple(faults), tuple(warnings))
    added = store.add_readings(readings, progress)
    warnings += twice
    return Report("readings", added, len(readings) - added, (), tuple(warnings))


def _read(table: Table, columns: dict[str, int], measured: str, unit: str, store, faults: list[RowFault]):
    """(readings, warnings), adding to `faults`. The loop is the whole cost of an import, so it does no more than it must."""
    from nurserytui.records.event_rows import unescaped

    time_at, place_at, value_at, unit_at = columns["time"], columns["place"], columns[measured], columns.get("unit")
    where = moments.zone(store.timezone())
    moment = datetime.fromisoformat
    fahrenheit = unit == "F"
    readings: list[Reading] = []
    first: dict[tuple[str, datetime], float] = {}
    twice: list[str] = []
    for line, row in table.rows:
        try:
            when = moment(row[time_at].strip())
            place = row[place_at].strip()
            value = float(row[value_at])
        except (ValueError, IndexError):
            faults += _row_faults(line, row, columns, measured)
            continue
        if unit_at is not None:
            named = UNITS.get(row[unit_at].strip().lower()) if unit_at < len(row) else None
            if named is None and not unit:
                faults.append(RowFault(line, "unit", f"{row[unit_at] if unit_at < len(row) else ''!r} is no unit: write C or F"))
                continue
            fahrenheit = (named or unit) == "F"
        if fahrenheit:
            value = round((value - 32) / 1.8, 4)
        if not COLDEST <= value <= HOTTEST:
            faults.append(RowFault(line, measured, impossible(value)))
            continue
        if not place:
            faults.append(RowFault(line, "place", "the place is not said"))
            continue
        if place[0] == "'":
            place = unescaped(place)
        if when.tzinfo is not None:
            local = when.astimezone(where)
            when = local.replace(tzinfo=None, fold=local.fold)
        held = first.setdefault((place, when), value)
        if held != value and not moments.comes_twice(when, where):
            twice.append(
                f"line {line}: another value of {place} at {when.isoformat(' ', 'minutes')}; if it is the same moment, the first is kept"
            )
        readings.append(Reading(when, place, value, value))
    return readings, twice[:10] + ([f"{len(twice) - 10} more such lines"] if len(twice) > 10 else [])


def _row_faults(line: int, row: list[str], columns: dict[str, int], measured: str) -> list[RowFault]:
    """What is wrong with a row that could not be read."""
    found = []
    for name in ("time", "place", measured):
        if columns[name] >= len(row):
            found.append(RowFault(line, name, "the row is too short"))
    if found:
        return found[:1]
    time, value = row[columns["time"]].strip(), row[columns[measured]].strip()
    try:
        datetime.fromisoformat(time)
    except ValueError:
        found.append(RowFault(line, "time", f"{time!r} is no time: write 2026-07-12T08:00"))
    try:
        float(value)
    except ValueError:
        found.append(RowFault(line, measured, f"{value!r} is no number"))
    return found
