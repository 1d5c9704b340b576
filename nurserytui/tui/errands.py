"""Long work that is given to the desk: importing, exporting, checking, copying. Imported when one is first begun."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

from nurserytui.records.errors import StoreError
from nurserytui.records.progress import Stopped
from nurserytui.tui.path_line import Asked, PathLine

ASKED = "which backups are kept"
SHOWN = 30
"""Faults of a file that are written on the page."""


class Errand(NamedTuple):
    """One kind of long work."""

    title: str
    help: str
    words: str
    """What is being done, before the file's name."""
    asks: str
    """What is asked for on the line; "" where no file is needed."""
    endings: tuple[str, ...]
    writes: bool
    work: Callable[[Any, Path, Callable], Any]
    """In the desk's thread: (nursery, path, progress) -> what came of it."""
    said: Callable[[Path, Any], str]
    called: str = ""
    """What the name that is offered has after the nursery's."""


def _import(nursery, path: Path, progress):
    from nurserytui.records.import_options import Options
    from nurserytui.records.importing import import_file

    return import_file(path, nursery.store, progress, Options(now=nursery.now))


def _imported(path: Path, report) -> str:
    from nurserytui.records.import_words import added, fault_lines

    notes = [f"Note: {warning}" for warning in report.warnings]
    if not report.faults:
        return "\n".join([f"{path.name}: {added(report)}.", *report.told, *notes])
    count = len(report.faults)
    lines = [f"Nothing was imported from {path.name}: {'one fault' if count == 1 else f'{count:,} faults'}."]
    lines += fault_lines(report.faults, SHOWN)
    if any("--" in fault.reason.replace("--help", "") for fault in report.faults):
        lines.append("What begins with -- is said on the command line: nurserytui import --help")
    return "\n".join([*lines, *notes])


def _export(form: str, *, for_others: bool = False):
    def work(nursery, path: Path, progress):
        from nurserytui.exports.export import export
        from nurserytui.exports.withholding import EXACT, FOR_OTHERS

        return export(nursery, path, form, progress, FOR_OTHERS if for_others else EXACT)

    return work


def _check(nursery, path: Path, progress) -> list[str]:
    from nurserytui.records.checking import check

    return check(nursery.store.path, progress)


def _checked(path: Path, reasons: list[str]) -> str:
    if not reasons:
        return "The nursery's file is whole; every headcount equals its events."
    return "\n".join(["The nursery's file is not whole:", *reasons[:SHOWN]])


def _backup(nursery, path: Path, progress) -> str:
    from nurserytui.records.backups.to_file import backup

    return backup(nursery.store.path, path, progress)


def _keep(nursery, path: Path, progress):
    from nurserytui.records.backups.by_itself import rule_of
    from nurserytui.records.backups.kept import keep

    return keep(nursery.store.path, "asked", progress=progress, rule=rule_of(nursery.store))


def _kept(path: Path, made) -> str:
    return f"Backed up: {made.said}, read back; it is kept as {made.path}."


def _plainly(path: Path, said: str) -> str:
    return f"{said}."


ERRANDS = {
    "import": Errand(
        "Import a file", "Events or logger readings from a table, or another nursery's records, all or nothing", "importing",
        "Import which file: a table of events or logger readings, or another nursery (.jsonl, .db)?",
        (".csv", ".tsv", ".txt", ".jsonl", ".db"), False, _import, _imported,
    ),
    "csv": Errand(
        "Export the events", "All events as a CSV file that reads back to the same nursery", "exporting",
        "Write all events to which .csv file?", (".csv",), True, _export("csv"), _plainly,
    ),
    "jsonl": Errand(
        "Export everything", "All events and all logger readings as JSON Lines", "exporting",
        "Write everything to which .jsonl file?", (".jsonl",), True, _export("jsonl"), _plainly,
    ),
    "readings": Errand(
        "Export the readings", "What the loggers measured, as a CSV file", "exporting",
        "Write the loggers' readings to which .csv file?", (".csv",), True, _export("readings"), _plainly,
        "-readings",
    ),
    "ics": Errand(
        "Export the dates", "Expected changes and due tasks for a calendar (.ics)", "exporting",
        "Write expected changes and due tasks to which .ics file?", (".ics",), True, _export("ics"), _plainly,
    ),
    "zip": Errand(
        "Export the finds", "What was found, as a Darwin Core Archive (.zip)", "exporting",
        "Write the finds to which .zip file?", (".zip",), True, _export("zip"), _plainly,
    ),
    "csv for others": Errand(
        "Export the events for others", "Without names, notes and places; coordinates to about 11 km", "exporting",
        "Write the events, without names, notes and places, to which .csv file?", (".csv",), True, _export("csv", for_others=True), _plainly,
        "-for-others",
    ),
    "zip for others": Errand(
        "Export the finds for others", "Darwin Core Archive without names, notes and places; coordinates to about 11 km", "exporting",
        "Write the finds, without names, notes and places, to which .zip file?", (".zip",), True, _export("zip", for_others=True), _plainly,
        "-for-others",
    ),
    "html": Errand(
        "Season report", "The season on one page to print or send (.html)", "writing",
        "Write the season report to which .html file?", (".html",), True, _export("html"), _plainly,
    ),
    "check": Errand(
        "Check the file", "Is the nursery's file whole, does every headcount equal its events", "checking",
        "", (), False, _check, _checked,
    ),
    "keep": Errand(
        "Back up now", "One more of the backups that are kept beside the nursery's file, read back", "backing up",
        "", (), False, _keep, _kept,
    ),
    "backup": Errand(
        "Back up to a file", "A checked copy of the nursery's file where you want it", "copying to",
        "Copy the nursery to which .db file?", (".db",), True, _backup, _plainly,
    ),
}  # fmt: skip


def commands(app) -> Iterable[tuple[str, str, Callable[[], None]]]:
    """(title, what it does, what to call) of every errand, for the palette; of stopping one while it goes on."""
    if app.desk.stoppable:
        yield "Stop what is being done", f"{app.desk.doing.words}: nothing of it is kept", app.desk.stop
    for name, errand in ERRANDS.items():
        if errand.asks and _open_to_others():
            continue
        yield errand.title, errand.help, partial(begin, app, name)
    yield (
        "Backups, and how to restore one",
        "Which are kept, by which rule, and what to type in a shell to go back",
        partial(app.action_tell, ASKED),
    )


def _open_to_others() -> bool:
    """Whether this is the app of a browser that may be on another computer: nobody there may reach into the keeper's folders."""
    return os.environ.get("NURSERYTUI_WEB") == "open"


def begin(app, name: str) -> None:
    """Ask for the file where one is needed, then have the desk do it."""
    app.run_worker(_begin(app, ERRANDS[name]), group="errand", exit_on_error=False)


async def _begin(app, errand: Errand) -> None:
    if app.sheet is None or app.desk.doing is not None:
        waits = "the nursery is still being opened" if app.sheet is None else f"{app.desk.doing.words} goes on"
        await app.tell(f"One thing at a time: {waits}.")
        return
    path = Path()
    if errand.asks and _open_to_others():
        await app.tell("Files are not imported or exported where others can reach the app; use nurserytui import and export.")
        return
    if errand.asks:
        path = await app.push_screen_wait(PathLine(_asked(app, errand)))
        if path is None:
            return
    if app.desk.doing is None:
        await _do(app, errand, path)


def _asked(app, errand: Errand) -> Asked:
    """Exports are offered a name with the day in it, so that the next one writes over none."""
    start = f"{app.desk.path.stem}{errand.called}-{app.sheet.now:%Y-%m-%d}{errand.endings[0]}" if errand.writes else ""
    return Asked(errand.asks, start, errand.endings, errand.writes)


async def _do(app, errand: Errand, path: Path) -> None:
    words = f"{errand.words} {path.name}" if errand.asks else f"{errand.words} {app.desk.path.name}"
    try:
        with app.doing_shown():
            value, sheet = await app.desk.errand(words, lambda nursery, progress: errand.work(nursery, path, progress))
    except Stopped:
        await app.tell(f"Stopped {words}: nothing of it was kept.")
    except (StoreError, OSError) as error:
        why = getattr(error, "strerror", None) or error
        await app.tell(f"{errand.title}: {why}. Nothing was written.")
    except Exception as error:
        await app.tell(f"{errand.title} did not work, by a fault of this program: {error}. Nothing was written.")
    else:
        app.show(sheet)
        await app.tell(errand.said(path, value))
