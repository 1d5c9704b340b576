"""Files for elsewhere: events and readings as CSV, everything as JSON Lines, dates as a calendar, finds as a Darwin Core Archive, the
season as a page."""

from __future__ import annotations

from copy import copy
from functools import partial
from pathlib import Path

from nurserytui.exports.forms import FORMS
from nurserytui.exports.targets import whole_file
from nurserytui.exports.withholding import EXACT, Withheld
from nurserytui.records.errors import StoreError
from nurserytui.records.progress import Progress

OF_RECORDS = ("csv", "jsonl", "readings")
"""Forms that hold the records as they are, whatever the moment: no answer is worked out for them."""

NONE_OF_IT = "coordinates, people's names and your notes are never in it"


def export(
    nursery, path: Path, form: str, progress: Progress | None = None, withheld: Withheld = EXACT, season: int | None = None
) -> str:
    """Write `path` in one of the forms of `forms.FORMS`; returns one line saying what was written, and what is not in it.

    The file appears whole or not at all, readable by the keeper only unless it replaces one that others may read. StoreError if it
    cannot be written. `progress` is told how far it is, and may raise `Stopped`. `season` is that of a report, without it the running
    one or the last that has cohorts.
    """
    if form in OF_RECORDS:
        return export_records(nursery.store, path, form, progress, withheld)
    path = Path(path)
    with whole_file(path, FORMS[form], nursery.store.path) as file:
        write = partial(_report, season=season) if form == "html" else _WRITERS[form]
        said = write(nursery, file, progress, withheld)
    return f"{path}: {said}{_doubt(nursery.store, form)}"


def export_records(store, path: Path, form: str, progress: Progress | None = None, withheld: Withheld = EXACT) -> str:
    """The same for a form of OF_RECORDS, which needs no more than the store."""
    path = Path(path)
    with whole_file(path, FORMS[form], store.path) as file:
        said = _WRITERS[form](store, file, progress, withheld)
    return f"{path}: {said}{_doubt(store, form)}"


def _doubt(store, form: str) -> str:
    """What is to be known of every file made of records that something else has changed."""
    try:
        changed = store.changed(with_readings=form in ("jsonl", "readings"))
    except StoreError as error:
        changed = str(error)  # the file was written all the same
    return f"; but {changed}" if changed else ""


def _many(count: int, what: str) -> str:
    return f"{count:,} {what}{'' if count == 1 else 's'}"


def _csv(store, file: Path, progress: Progress | None, withheld: Withheld) -> str:
    from nurserytui.exports.events_table import export_csv

    written, readings = export_csv(store, file, progress, withheld)
    said = [_many(written, "event")]
    if withheld.anything:
        said.append(f"{withheld.words()}, so it does not read back to the same nursery")
    if readings:
        of = "readings are" if readings > 1 else "reading is"
        said.append(
            f"{readings:,} logger {of} no part of an events table: a .jsonl file holds everything, --as readings those alone"
        )
    return "; ".join(said)


def _everything(store, file: Path, progress: Progress | None, withheld: Withheld) -> str:
    from nurserytui.exports.everything import export_everything

    events, readings = export_everything(store, file, progress, withheld)
    said = f"{_many(events, 'event')} and {_many(readings, 'reading')}"
    return f"{said}; {withheld.words()}, so it does not read back to the same nursery" if withheld.anything else said


def _readings(store, file: Path, progress: Progress | None, withheld: Withheld) -> str:
    from nurserytui.exports.readings_table import export_readings

    written, ranges = export_readings(store, file, progress)
    said = _many(written, "reading")
    said += f"; {_many(ranges, 'range')} of low to high left out, a .jsonl file holds them" if ranges else ""
    return f"{said}; {NONE_OF_IT}" if withheld.anything else said


def _archive(nursery, file: Path, progress: Progress | None, withheld: Withheld) -> str:
    from nurserytui.exports.archive import export_archive

    occurrences, events = export_archive(nursery, file, progress, withheld)
    said = f"{_many(occurrences, 'occurrence')} with {_many(events, 'event')}"
    return f"{said}; {withheld.words()}" if withheld.anything else said


def _calendar(nursery, file: Path, progress: Progress | None, withheld: Withheld) -> str:
    from nurserytui.exports.calendar_file import calendar

    text, count = calendar(nursery, progress)
    file.write_bytes(text.encode("utf-8"))
    return f"{_many(count, 'date')}; {NONE_OF_IT}" if withheld.anything else _many(count, "date")


def _report(nursery, file: Path, progress: Progress | None, withheld: Withheld, season: int | None = None) -> str:
    from nurserytui.exports.season_report import report

    text, year, cohorts, lacking = report(_shown(nursery, withheld), progress, year=season)
    file.write_bytes(text.encode("utf-8"))
    said = f"report of season {year}, {_many(cohorts, 'cohort')}"
    if withheld.anything:
        said += f"; {'without the name of the place, and ' if withheld.locations != 'exact' else ''}{NONE_OF_IT}"
    return f"{said}; without its pictures, which could not be drawn: {lacking}" if lacking else said


def _shown(nursery, withheld: Withheld):
    """The nursery as the report may show it: it tells one location, the place of the nursery."""
    if withheld.locations == "exact":
        return nursery
    seen = copy(nursery)
    seen.settings = nursery.settings._replace(place="")
    return seen


_WRITERS = {
    "csv": _csv, "jsonl": _everything, "readings": _readings, "ics": _calendar, "zip": _archive,
}  # fmt: skip
