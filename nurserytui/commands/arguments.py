"""What may be written on the command line."""

from __future__ import annotations

import argparse
from datetime import datetime
from pathlib import Path

from nurserytui import __version__


def parser() -> argparse.ArgumentParser:
    """Its result has `run`: the module of this folder and the function in it that does what was asked."""
    top = argparse.ArgumentParser(prog="nurserytui", description="Rear wild butterflies: ask, record, look ahead.")
    top.add_argument("--version", action="version", version=f"nurserytui {__version__}")
    _nursery_options(top, top=True)
    top.add_argument("--no-mouse", action="store_true", help="leave the mouse to the terminal")
    top.add_argument("--web", action="store_true", help="the app in a browser, on this computer only (needs the extra: web)")
    top.add_argument("--host", help="with --web: the address to listen on; any but localhost lets others in, without a login")
    top.add_argument("--port", type=_port, help="with --web: the port, 8000 unless you say another")
    top.set_defaults(run="looking.run_app")
    commands = top.add_subparsers(title="commands", metavar="COMMAND", prog="nurserytui")

    ask = commands.add_parser("ask", help="one question or record; `ask -` holds a conversation from standard input")
    ask.add_argument("text", help="the line, or - for standard input")
    ask.add_argument("--json", action="store_true", help="one JSON object per answer")
    _nursery_options(ask)
    ask.set_defaults(run="asking.run_ask")

    show = commands.add_parser("show", help="one screen of the app as plain text")
    show.add_argument(
        "page", help="which screen: board, round, calendar, cohort, season or facts; any other word says what each holds"
    )
    show.add_argument("which", nargs="*", help="of whom or what, where the screen takes it")
    _nursery_options(show)
    show.set_defaults(run="looking.run_show")

    load = commands.add_parser(
        "import",
        help="load events or logger readings from a table, or another nursery's records",
        description="Load events or logger readings from a table (CSV, text with semicolons or tabs), from a JSON Lines export, or from "
        "another nursery's .db file, which is only read. All of it comes in or nothing. What is there already is not added again. Every row "
        "that cannot be read, cannot have happened or disagrees with what is on record is told.",
        epilog=_what_a_table_holds(),
    )
    load.add_argument("file", type=Path)
    load.add_argument("--look", "--dry-run", action="store_true", help="show what would come in, and change nothing")
    load.add_argument(
        "--dates",
        choices=("day-first", "month-first"),
        help="how dates like 4/6/2026 are meant; without it the nursery's setting `dates` counts. 2026-06-04 is always read",
    )
    load.add_argument(
        "--column",
        action="append",
        default=[],
        metavar="THEIRS=OURS",
        help="a column that the file calls otherwise, such as date=when or cage=enclosure; may be repeated",
    )
    load.add_argument(
        "--place", default="", metavar="NAME", help="where the sensor stood, of a logger's file that does not say it"
    )
    load.add_argument(
        "--cohort",
        action="append",
        default=[],
        metavar="THEIRS=OURS",
        help="call a cohort of the file otherwise here, where its label stands for other animals; may be repeated. Say the same again "
        "whenever the file is imported again",
    )
    load.add_argument(
        "--species",
        action="append",
        default=[],
        metavar="THEIRS=OURS",
        help="a species or a host plant that the file writes otherwise, such as Peacok=peacock; the same name on both sides keeps it as it "
        "is; may be repeated",
    )
    load.add_argument(
        "--settings",
        choices=("ours", "theirs"),
        default="ours",
        help="which setting counts where another nursery's differs: ours",
    )
    load.add_argument("--faults", type=Path, metavar="FILE", help="write all that is wrong, line by line, to this file")
    _nursery_options(load, demo=False)
    load.set_defaults(run="importing.run_import")

    export = commands.add_parser(
        "export", help="write .csv events, .ics dates, .zip Darwin Core Archive, .html season report or .jsonl everything"
    )
    export.add_argument("file", type=Path)
    export.add_argument(
        "--as",
        dest="form",
        choices=("csv", "ics", "zip", "html", "jsonl", "readings"),
        help="the form, where the name does not tell it; readings are those of loggers, as .csv",
    )
    export.add_argument(
        "--locations",
        choices=("exact", "coarse", "none"),
        default="exact",
        help="coarse: coordinates to a tenth of a degree (about 11 km), no names of places; none: neither",
    )
    export.add_argument(
        "--season", type=_year, metavar="YEAR", help="of which season the report is: the running one unless you say another"
    )
    export.add_argument(
        "--without-names", action="store_true", help="leave out who recorded what, and whom animals were given to"
    )
    export.add_argument("--without-notes", action="store_true", help="leave out notes in your own words")
    _nursery_options(export)
    export.set_defaults(run="exporting.run_export")

    check = commands.add_parser("check", help="prove that the file is whole and that the headcounts equal the events")
    check.add_argument("--mend", action="store_true", help="put right what the events tell: headcounts and guards, after a copy")
    _nursery_options(check)
    check.set_defaults(run="keeping.run_check")

    backup = commands.add_parser(
        "backup", help="a consistent copy, also while the app is open; without FILE, one more of those kept"
    )
    backup.add_argument("file", type=Path, nargs="?")
    _nursery_options(backup, demo=False)
    backup.set_defaults(run="keeping.run_backup")

    restore = commands.add_parser(
        "restore", help="put a backup in place, after showing what would change; alone, list those kept"
    )
    restore.add_argument(
        "which", nargs="?", metavar="FILE", help="a file, newest, a number of the list, or a day such as 2026-06-17"
    )
    restore.add_argument("--yes", action="store_true", help="do it")
    _nursery_options(restore, demo=False)
    restore.set_defaults(run="keeping.run_restore")

    knowledge = commands.add_parser("knowledge", help="the knowledge base")
    actions = knowledge.add_subparsers(title="actions", metavar="ACTION", required=True, prog="nurserytui knowledge")
    validate = actions.add_parser("check", help="validate the knowledge base and your own additions")
    validate.add_argument("folder", nargs="?", type=Path)
    validate.set_defaults(run="knowledge.run_check")
    return top


def _what_a_table_holds() -> str:
    from nurserytui.records.events import STAGES, WHATS, Event

    columns = [name for name in Event._fields if name not in ("when", "what", "estimate", "group")]
    return (
        f"A table of events has the columns when and what, and those of these that it needs: {', '.join(columns)}. What happened (what) is "
        f"one of: {', '.join(WHATS)}. Stages are {', '.join(STAGES)}. A logger's table has time, place and temperature_C or temperature_F."
    )


def _nursery_options(parser: argparse.ArgumentParser, *, demo: bool = True, top: bool = False) -> None:
    # Options given before the command must survive the command's own defaults.
    unset = None if top else argparse.SUPPRESS
    parser.add_argument("--db", type=Path, default=unset, metavar="FILE", help="the nursery's file (created if it is not there)")
    parser.add_argument("--now", type=_moment, default=unset, metavar="ISO", help="answer as of this local time")
    if demo:
        parser.add_argument(
            "--demo", action="store_true", default=False if top else argparse.SUPPRESS, help="use a copy of the demo nursery"
        )


def _port(text: str) -> int:
    if not (text.isdecimal() and 0 < int(text) < 65536):
        raise argparse.ArgumentTypeError(f"not a port: {text!r}; say a number from 1 to 65535")
    return int(text)


def _year(text: str) -> int:
    if not (text.isascii() and text.isdecimal() and len(text) == 4):
        raise argparse.ArgumentTypeError(f"not a year: {text!r}; say one like 2025")
    return int(text)


def _moment(text: str) -> datetime:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"not an ISO 8601 date or time: {text!r}") from None
    if not 1800 <= moment.year <= 2999:
        raise argparse.ArgumentTypeError(f"too far away: {text!r}; say a moment of the years 1800 to 2999")
    return moment
