"""Files for elsewhere: events as CSV, dates as a calendar, finds as a Darwin Core Archive, the season as a page."""

from __future__ import annotations

from pathlib import Path

from nurserytui import private
from nurserytui.answers.wording import counted
from nurserytui.records.progress import Progress


def export(nursery, path: Path, form: str, progress: Progress | None = None) -> str:
    """Write `path` in the form `csv`, `ics`, `zip` or `html`; returns one line saying what was written.

    The file appears whole or not at all, readable by the keeper only unless it replaces one that others may read. Raises OSError if it cannot be written. `progress` is told how far it is, and may raise `Stopped`.
    """
    path = Path(path)
    unfinished = path.with_name(path.name + ".part")
    try:
        private.start(unfinished)
        said = _WRITERS[form](nursery, unfinished, progress)
        private.put(unfinished, path)
    finally:
        unfinished.unlink(missing_ok=True)
    return f"{path}: {said}"


def _csv(nursery, path: Path, progress: Progress | None) -> str:
    from nurserytui.exports.events_table import export_csv

    return counted(export_csv(nursery.store, path, progress), "event")


def _archive(nursery, path: Path, progress: Progress | None) -> str:
    from nurserytui.exports.archive import export_archive

    return counted(export_archive(nursery.store, path, progress), "occurrence")


def _calendar(nursery, path: Path, progress: Progress | None) -> str:
    from nurserytui.exports.calendar_file import calendar

    text, count = calendar(nursery, progress)
    path.write_bytes(text.encode("utf-8"))
    return counted(count, "date")


def _report(nursery, path: Path, progress: Progress | None) -> str:
    from nurserytui.exports.season_report import report

    text, count = report(nursery, progress)
    path.write_text(text, encoding="utf-8")
    return f"season report of {counted(count, 'cohort')}"


_WRITERS = {"csv": _csv, "ics": _calendar, "zip": _archive, "html": _report}
