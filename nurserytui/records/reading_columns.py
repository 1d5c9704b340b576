"""The columns of a logger's file: where time, place and temperature stand, and in which unit."""

from __future__ import annotations

from typing import NamedTuple

from nurserytui.records.columns import matched
from nurserytui.records.file_text import RowFault
from nurserytui.records.headers import lacking, quoted
from nurserytui.records.import_options import Options
from nurserytui.records.reading_units import UNITS, asks, unit_of
from nurserytui.records.tables import Table

OURS = ("time", "place", "temperature", "temperature_c", "temperature_f", "humidity", "unit")
_IGNORED = ("humidity", "unit")


class ReadingColumns(NamedTuple):
    """Positions of the columns; `place` and `unit` are None where there is no such column."""

    time: int
    place: int | None
    value: int
    unit: int | None
    measured: str
    """The name of the temperature's column in the file."""
    said: str
    """The unit that the header says, or the keeper, `C` or `F`; "" for none."""
    by_keeper: bool
    """Whether the keeper says the unit, and the file does not."""
    notes: tuple[str, ...]


def reading_columns(table: Table, options: Options) -> ReadingColumns | list[RowFault]:
    """Where everything stands, or why that cannot be told."""
    header = tuple(map(_plain_unit, table.header))
    asked = {_plain_unit(theirs.strip().lower()): ours for theirs, ours in options.columns.items()}
    columns = matched(header, OURS, asked, table.line, near=False, shown=table.written)
    names = columns.names
    faults = list(columns.faults)
    if "time" not in names:
        faults.append(RowFault(table.line, "time", lacking("time", table.header)))
    if "place" not in names and not options.place:
        reason = f"{lacking('place', table.header)}; of one sensor's file say where it was with --place NAME"
        faults.append(RowFault(table.line, "place", reason))
    elif "place" in names and options.place:
        faults.append(RowFault(table.line, "place", "the file says the place of each reading: leave --place out"))
    value = next((at for at, name in enumerate(names) if name.startswith("temperature")), None)
    if value is None:
        faults.append(RowFault(table.line, "temperature", lacking("temperature", table.header)))
        return faults
    measured = table.header[value]
    unit = names[value].removeprefix("temperature").strip(" _()[]°")
    if unit and unit not in UNITS:
        faults.append(RowFault(table.line, measured, f"{unit} is no unit: write temperature_C or temperature_F"))
    if not unit and "unit" not in names:
        reason = f"the unit is not said: import again with {asks(quoted(measured), measured)}; or add a column unit"
        faults.append(RowFault(table.line, measured, reason))
    own = unit_of(measured)
    if own and UNITS.get(unit) and own != UNITS[unit]:
        reason = (
            f"the header says °{own} and --column says °{UNITS[unit]}: import with --column {quoted(measured)}=temperature_{own}"
        )
        faults.append(RowFault(table.line, measured, reason))
    if faults:
        return faults
    spare = [
        name
        for at, name in enumerate(names)
        if name and at != value and name not in ("time", "place") and not name.startswith(_IGNORED)
    ]
    return ReadingColumns(
        names.index("time"),
        names.index("place") if "place" in names else None,
        value,
        names.index("unit") if "unit" in names else None,
        measured,
        UNITS.get(unit, ""),
        bool(unit) and not own and "unit" not in names,
        tuple(f"column {name} was not imported" for name in spare),
    )


def _plain_unit(name: str) -> str:
    """`temperature (°c)` as `temperature_c`; other names as they are."""
    unit = UNITS.get(name.removeprefix("temperature").strip(" _()[]°.")) if name.startswith("temperature") else None
    return f"temperature_{unit.lower()}" if unit else name
