"""Files for elsewhere: events as CSV, dates as a calendar, finds as a Darwin Core Archive, the season as a page."""

from __future__ import annotations

import os
from pathlib import Path

from nurserytui.answers.wording import counted


def export(nursery, path: Path, form: str) -> str:
    """Write `path` in the form `csv`, `ics`, `zip` or `html`; returns one line saying what was written.

    The file appears whole or not at all. Raises OSError if it cannot be written.
    """
    path = Path(path)
    unfinished = path.with_name(path.name + ".part")
    try:
        said = _WRITERS[form](nursery, unfinished)
        os.replace(unfinished, path)
    finally:
        unfinished.unlink(missing_ok=True)
    return f"{path}: {said}"


def _csv(nursery, path: Path) -> str:
    from nurserytui.records.exporting import export_csv

    return counted(export_csv(nursery.store, path), "event")


def _archive(nursery, path: Path) -> str:
    from nurserytui.records.exporting import export_archive

    return counted(export_archive(nursery.store, path), "occurrence")


def _calendar(nursery, path: Path) -> str:
    from nurserytui.answers.calendar import calendar

    text, count = calendar(nursery)
    path.write_bytes(text.encode("utf-8"))
    return counted(count, "date")


def _report(nursery, path: Path) -> str:
    from nurserytui.answers.report import report

    text, count = report(nursery)
    path.write_text(text, encoding="utf-8")
    return f"season report of {counted(count, 'cohort')}"


_WRITERS = {"csv": _csv, "ics": _calendar, "zip": _archive, "html": _report}
