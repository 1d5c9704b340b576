"""Logger readings from a table, row by row: none is held, and all that were written are taken back if one cannot be read."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from math import floor, nan

from nurserytui.biology.sensors import COLDEST, HOTTEST, impossible
from nurserytui.records import label_text, moments, written_numbers
from nurserytui.records.date_orders import DateOrders
from nurserytui.records.event_rows import lines_named, unescaped
from nurserytui.records.file_text import RowFault
from nurserytui.records.headers import quoted
from nurserytui.records.import_options import Options
from nurserytui.records.importing import Report
from nurserytui.records.outlying import OLDEST, Outlying
from nurserytui.records.places_named import strange_places
from nurserytui.records.reading_columns import ReadingColumns, reading_columns
from nurserytui.records.reading_spans import Span, span_lines
from nurserytui.records.reading_units import UNITS, Middles
from nurserytui.records.readings import Reading
from nurserytui.records.readings_held import Held
from nurserytui.records.tables import Table

KEPT = 10_000
"""So many different texts of numbers are remembered."""
LACKING = {"", "-", "--", "---", "err", "error", "n/a", "na", "nan", "null", "none", "#n/a", "#value!"}
"""What loggers and spreadsheets write where they have no value."""


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
    spans = tuple(span_lines(rows.spans, store.settings().units))
    return Report("readings", added, rows.count - added, (), (*columns.notes, *rows.notes), told=spans)


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
        self._known = store.enclosure_names()
        self._doubled = {name for name in store.reading_places() if "  " in name}
        self._middles = Middles()
        self._without: list[int] = []
        self._outlying = Outlying(options.now)
        self.spans: dict[str, Span] = {}
        self.faults: list[RowFault] = []
        self.count = 0
        """How many readings there are."""

    @property
    def notes(self) -> list[str]:
        notes = [*self._held.notes, *self._dates.notes, *strange_places(self.spans, self._known)]
        if self._without:
            has, were = ("have", "were") if len(self._without) > 1 else ("has", "was")
            notes.append(f"{lines_named(self._without)} {has} no value and {were} left out")
        columns = self._columns
        if remark := self._middles.remark(columns.said, quoted(columns.measured), columns.by_keeper):
            notes.append(remark)
        return notes + self._outlying.notes()

    def read(self) -> Iterator[Reading]:
        """The readings, until a row cannot be read; after that only faults are looked for, and in the end _Faulty is raised.

        The loop is the whole cost of an import, so it does no more than it must.
        """
        time_at, place_at, value_at, unit_at, measured, said, _, _ = self._columns
        wide, where, faults, places, dates = len(self._table.header), self._where, self.faults, self._places, self._dates
        moment, latest, check = datetime.fromisoformat, self._held.latest, self._held.check
        fahrenheit, place = said == "F", self._place
        values, count, spans, degrees = self._values, 0, self.spans, self._middles.degrees
        now = datetime.fromisoformat(self._outlying.latest) if self._outlying.latest != "9999" else datetime.max
        oldest = datetime(int(OLDEST), 1, 1)
        impossible_ones = set()
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
            if value != value:
                self._without.append(line)
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
                impossible_ones.add(id(faults[-1]))
                if abs(value) < 1000:
                    degrees[floor(value)] += 1
                continue
            degrees[floor(value)] += 1
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
            span = spans.get(place)
            if span is None:
                span = spans[place] = Span(when, value)
            span.add(when, value)
            if when > now or when < oldest:
                self._outlying.look(line, when.isoformat(timespec="seconds"))
            if not faults:
                yield Reading(when, place, value, value)
        self.count = count - len(self._without)
        faults += self._table.broken
        faults += dates.faults()
        if self._columns.by_keeper and (doubt := self._middles.doubt(said, quoted(measured))):
            # What is too hot in one unit is not wrong in the other.
            faults[:] = [fault for fault in faults if id(fault) not in impossible_ones]
            faults.append(RowFault(self._table.line, measured, doubt))
        if self._without and not self.count:
            faults.append(RowFault(self._without[0], measured, "no row of the file has a value"))
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
        """The number of a cell that is not written as most are; not a number (nan) where the logger had none."""
        if cell.strip().lower() in LACKING:
            self._values[cell] = nan
            return nan
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
            text = unescaped(text)
            found = text if text in self._doubled else label_text.label(text)
        except ValueError as error:
            self.faults.append(RowFault(line, "place", str(error)))
            return None
        self._places[cell] = found
        return found
