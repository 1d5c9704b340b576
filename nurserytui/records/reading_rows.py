"""Logger readings from a table, row by row: none is held, and all that were written are taken back if one cannot be read."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from nurserytui.biology.sensors import COLDEST, HOTTEST, impossible
from nurserytui.records import label_text, moments, written_numbers
from nurserytui.records.date_orders import DateOrders
from nurserytui.records.event_rows import unescaped
from nurserytui.records.file_text import RowFault
from nurserytui.records.import_options import Options
from nurserytui.records.importing import Report
from nurserytui.records.reading_columns import UNITS, ReadingColumns, reading_columns
from nurserytui.records.readings import Reading
from nurserytui.records.readings_held import Held
from nurserytui.records.tables import Table

KEPT = 10_000
"""So many different texts of numbers are remembered."""


class _Faulty(Exception):
    """Some row cannot be read: what was written of the others goes back."""


def import_readings(table: Table, store, options: Options) -> Report:
    """Write the readings of the table, if every row can be read."""
    columns = reading_columns(table, options)
    if isinstance(columns, list):
        return Report("readings", 0, 0, tuple(columns))
    rows = ReadingRows(table, columns, store, options)
    try:
        added = store.add_readings(rows.read())
    except _Faulty:
        return Report("readings", 0, 0, tuple(sorted(rows.faults, key=lambda fault: fault.line)), columns.notes)
    return Report("readings", added, rows.count - added, (), (*columns.notes, *rows.notes))


class ReadingRows:
    """Reads the rows of one table. `faults`, `count` and `notes` are there when `read` has ended."""

    def __init__(self, table: Table, columns: ReadingColumns, store, options: Options) -> None:
        settings = store.settings()
        self._table, self._columns = table, columns
        self._where = moments.zone(settings.timezone)
        self._dates = DateOrders(options.dates or settings.dates, self._where, "time")
        self._held = Held(store, self._where)
        self._places: dict[str, str] = {}
        self._values: dict[str, float] = {}
        self._place = options.place
        self.faults: list[RowFault] = []
        self.count = 0

    @property
    def notes(self) -> list[str]:
        return [*self._held.notes, *self._dates.notes]

    def read(self) -> Iterator[Reading]:
        """The readings, until a row cannot be read; after that only faults are looked for, and in the end _Faulty is raised.

        The loop is the whole cost of an import, so it does no more than it must.
        """
        time_at, place_at, value_at, unit_at, measured, said, _ = self._columns
        wide, where, faults, places, dates = len(self._table.header), self._where, self.faults, self._places, self._dates
        moment, latest, check = datetime.fromisoformat, self._held.latest, self._held.check
        fahrenheit, place = said == "F", self._place
        values, count = self._values, 0
        for line, row in self._table.rows:
            count += 1
            if len(row) != wide:
                if len(row) > wide and any(cell.strip() for cell in row[wide:]):
                    faults.append(RowFault(line, "", f"the row has {len(row)} cells, the header {wide}"))
                    continue
                if len(row) <= max(time_at, place_at or 0, value_at):
                    faults.append(RowFault(line, self._first_lacking(len(row)), "the row is too short"))
                    continue
                row += [""] * (wide - len(row))
            try:
                when = moment(row[time_at])
            except ValueError:
                when = self._when(line, row[time_at].strip())
            try:
                value = float(row[value_at])
            except ValueError:
                value = values.get(row[value_at])
                if value is None:
                    value = self._value(line, row[value_at])
            if place_at is not None:
                place = places.get(row[place_at])
                if place is None:
                    place = self._label(line, row[place_at])
            if when is None or value is None or place is None:
                continue
            if unit_at is not None:
                named = UNITS.get(row[unit_at].strip().lower())
                if named is None and not said:
                    faults.append(RowFault(line, "unit", f"{row[unit_at]!r} is no unit: write C or F"))
                    continue
                fahrenheit = (named or said) == "F"
            if fahrenheit:
                value = round((value - 32) / 1.8, 4)
            if not COLDEST <= value <= HOTTEST:
                faults.append(RowFault(line, measured, impossible(value)))
                continue
            if when.tzinfo is not None:
                try:
                    local = when.astimezone(where)
                except OverflowError:
                    faults.append(RowFault(line, "time", f"{row[time_at]!r} lies outside the years 1 to 9999"))
                    continue
                when = local.replace(tzinfo=None, fold=local.fold)
            if when > latest[place]:
                latest[place] = when
            else:
                check(line, place, when, value)
            if not faults:
                yield Reading(when, place, value, value)
        self.count = count
        faults += self._table.broken
        faults += dates.faults()
        if faults:
            raise _Faulty

    def _first_lacking(self, cells: int) -> str:
        columns = self._columns
        places = [("time", columns.time), ("place", columns.place or 0), (columns.measured, columns.value)]
        return next(name for name, at in places if at >= cells)

    def _when(self, line: int, text: str) -> datetime | None:
        """The time of a row that is not written as most are."""
        try:
            return datetime.fromisoformat(text)
        except ValueError:
            pass
        try:
            read, _ = self._dates.read(line, text)
        except ValueError as error:
            why = str(error).replace("is no date", "is no time", 1) if text else "the time is not said"
            self.faults.append(RowFault(line, "time", why))
            return None
        if not read:
            return None  # told when the whole file is known
        try:
            return datetime.fromisoformat(read)
        except ValueError:
            self.faults.append(RowFault(line, "time", f"{text!r} is no time: write 2026-07-12T08:00"))
            return None

    def _value(self, line: int, cell: str) -> float | None:
        """The number of a cell that is not written as most are."""
        try:
            value = written_numbers.decimal(cell.strip())
        except ValueError as error:
            self.faults.append(RowFault(line, self._columns.measured, str(error)))
            return None
        if len(self._values) < KEPT:
            self._values[cell] = value
        return value

    def _label(self, line: int, cell: str) -> str | None:
        """The place's name; each is looked at once."""
        text = cell.strip()
        if not text:
            self.faults.append(RowFault(line, "place", "the place is not said"))
            return None
        try:
            found = label_text.label(unescaped(text))
        except ValueError as error:
            self.faults.append(RowFault(line, "place", str(error)))
            return None
        self._places[cell] = found
        return found
