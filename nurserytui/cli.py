"""The command line. It parses arguments, opens a nursery and prints; what is answered is the assistant's business."""

from __future__ import annotations

import argparse
import os
import sys
from contextlib import ExitStack, contextmanager, suppress
from datetime import UTC, date, datetime
from functools import partial
from pathlib import Path
from threading import Thread, Timer

from nurserytui import __version__, printing
from nurserytui.visible import visible_line

EXIT = {"answered": 0, "recorded": 0, "clarify": 3, "unknown": 4, "refused": 5}
WRONG_USE = 2
LONG = 2.0
"""Seconds after which it is told what goes on."""
NOT_PRINTED = 6


class WrongUse(Exception):
    """Something about the call or the file makes it impossible; one line for standard error, exit code 2."""


def main(argv: list[str] | None = None) -> int:
    """Run one command; returns the exit code."""
    printing.ready()
    arguments = _parser().parse_args(argv)
    try:
        return arguments.run(arguments)
    except (WrongUse, printing.NotRead) as error:
        return _complain(error)
    except printing.NotPrinted as error:
        _complain(error)
        return NOT_PRINTED
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except OSError as error:
        return _complain(printing.why(error))
    except KeyboardInterrupt:
        return 130
    except Exception as error:
        from nurserytui.records.errors import StoreError

        if isinstance(error, StoreError):
            return _complain(error)
        raise


def _complain(error: Exception | str) -> int:
    printing.complain(f"nurserytui: {error}")
    return WRONG_USE


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="nurserytui", description="Rear wild butterflies: ask, record, look ahead.")
    parser.add_argument("--version", action="version", version=f"nurserytui {__version__}")
    _nursery_options(parser, top=True)
    parser.add_argument("--no-mouse", action="store_true", help="leave the mouse to the terminal")
    parser.add_argument("--web", action="store_true", help="the app in a browser, on this computer only (needs the extra: web)")
    parser.add_argument("--host", help="with --web: the address to listen on; any but localhost lets others in, without a login")
    parser.add_argument("--port", type=_port, help="with --web: the port, 8000 unless you say another")
    parser.set_defaults(run=_app)
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", prog="nurserytui")

    ask = commands.add_parser("ask", help="one question or record; `ask -` holds a conversation from standard input")
    ask.add_argument("text", help="the line, or - for standard input")
    ask.add_argument("--json", action="store_true", help="one JSON object per answer")
    _nursery_options(ask)
    ask.set_defaults(run=_ask)

    show = commands.add_parser("show", help="one screen of the app as plain text")
    show.add_argument(
        "page", help="which screen: board, round, calendar, cohort, season or facts; any other word says what each holds"
    )
    show.add_argument("which", nargs="*", help="of whom or what, where the screen takes it")
    _nursery_options(show)
    show.set_defaults(run=_show)

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
    load.set_defaults(run=_import)

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
    export.set_defaults(run=_export)

    check = commands.add_parser("check", help="prove that the file is whole and that the headcounts equal the events")
    check.add_argument("--mend", action="store_true", help="put right what the events tell: headcounts and guards, after a copy")
    _nursery_options(check)
    check.set_defaults(run=_check)

    backup = commands.add_parser(
        "backup", help="a consistent copy, also while the app is open; without FILE, one more of those kept"
    )
    backup.add_argument("file", type=Path, nargs="?")
    _nursery_options(backup, demo=False)
    backup.set_defaults(run=_backup)

    restore = commands.add_parser(
        "restore", help="put a backup in place, after showing what would change; alone, list those kept"
    )
    restore.add_argument(
        "which", nargs="?", metavar="FILE", help="a file, newest, a number of the list, or a day such as 2026-06-17"
    )
    restore.add_argument("--yes", action="store_true", help="do it")
    _nursery_options(restore, demo=False)
    restore.set_defaults(run=_restore)

    knowledge = commands.add_parser("knowledge", help="the knowledge base")
    actions = knowledge.add_subparsers(title="actions", metavar="ACTION", required=True, prog="nurserytui knowledge")
    validate = actions.add_parser("check", help="validate the knowledge base and your own additions")
    validate.add_argument("folder", nargs="?", type=Path)
    validate.set_defaults(run=_knowledge_check)
    return parser


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


@contextmanager
def _nursery(arguments, *, create: bool = True):
    """The nursery that the arguments name, opened; a private copy for `--demo`."""
    from nurserytui.knowledge.base import load
    from nurserytui.nursery import Nursery
    from nurserytui.records.errors import StoreError

    with ExitStack() as stack:
        path, told = _place(arguments, stack)
        store = stack.enter_context(_open(path, create=create))
        nursery = Nursery(store, load(), _now(told, store.timezone()))
        yield nursery
        with suppress(OSError, StoreError, KeyboardInterrupt):
            nursery.keep()  # what was asked for is done and told


def _now(told: datetime | None, zone: str) -> datetime:
    """The moment in the nursery's own wall time: the one told, or the clock's, wherever this computer is."""
    from nurserytui.records import moments

    where = moments.zone(zone)
    return moments.at_place(told, where) if told else moments.wall(datetime.now(UTC), where)


def _place(arguments, stack: ExitStack) -> tuple[Path, datetime | None]:
    """The nursery's file and the moment that was told; None for the clock."""
    if getattr(arguments, "demo", False):
        import tempfile

        from nurserytui.demo import MOMENT, private_copy

        folder = stack.enter_context(tempfile.TemporaryDirectory(prefix="nurserytui-"))
        return private_copy(Path(folder)), arguments.now or MOMENT
    from nurserytui.paths import default_database

    return arguments.db or default_database(), arguments.now


@contextmanager
def _open(path: Path, *, create: bool = True):
    from nurserytui.records.store import Store, StoreError

    try:
        with Store.open(path, create=create, from_kept=True) as store:
            try:
                yield store
            except (WrongUse, OSError, StoreError):
                raise
            except Exception as error:
                from nurserytui.records.checking import damage_behind

                if damage := damage_behind(store):
                    raise damage from error
                raise
    except StoreError as error:
        raise WrongUse(str(error)) from None


def _ask(arguments) -> int:
    if arguments.text != "-":
        import gc

        gc.disable()  # one answer ends before garbage matters
    from nurserytui.assistant import Assistant

    with _nursery(arguments) as nursery:
        assistant = Assistant(nursery)
        if arguments.text == "-":
            return _conversation(assistant, arguments)
        answer = assistant.reply(arguments.text)
        if assistant.trouble:
            raise WrongUse(str(assistant.trouble))
        _print(answer, arguments.json)
        _back_up(arguments, nursery)
        return EXIT[answer.status]


def _conversation(assistant, arguments) -> int:
    from nurserytui.answers.answer import Answer

    moving = not arguments.now and not getattr(arguments, "demo", False)
    with _backups_beside(arguments, assistant.nursery) as answered:
        for raw in printing.lines():
            try:
                line = raw.decode("utf-8").strip()
            except UnicodeDecodeError:
                _print(Answer("unknown", "help", "That line is not UTF-8 text, so I could not read it."), arguments.json)
                continue
            if line.strip("\ufeff"):
                # Told the same moment again, it takes in what others wrote meanwhile.
                now = _now(None, assistant.nursery.settings.timezone) if moving else assistant.nursery.now
                _print(assistant.reply(line, now), arguments.json)
                answered()
            else:
                assistant.new_conversation()
    return 0


@contextmanager
def _backups_beside(arguments, nursery):
    """To be called after each answer: the first of a day has the day's backup made while the conversation goes on."""
    days: set[date] = set()
    threads: list[Thread] = []

    def answered() -> None:
        if getattr(arguments, "demo", False) or date.today() in days:
            return
        from nurserytui.records.backups.by_itself import due

        days.add(date.today())
        if make := due(nursery.store):
            threads.append(Thread(target=lambda: _trouble(make())))
            threads[-1].start()

    try:
        yield answered
    finally:
        for beside in threads:
            beside.join()


def _back_up(arguments, nursery) -> None:
    """The day's backup, once the answer stands: nobody waits for it."""
    if getattr(arguments, "demo", False):
        return
    from nurserytui.records.backups.by_itself import first_of_the_day

    _trouble(first_of_the_day(nursery.store))


def _trouble(told: str) -> None:
    if told:
        _complain(told)


def _print(answer, as_json: bool) -> None:
    done = "it was recorded" if answer.status == "recorded" else ""
    if as_json:
        printing.write(answer.json_line(), done)
        return
    from nurserytui.answers.page import page

    printing.write(page(answer, _columns()), done)


def _columns() -> int | None:
    """How wide the terminal is; None where the text goes elsewhere."""
    return os.get_terminal_size(sys.stdout.fileno()).columns if sys.stdout.isatty() else None


def _show(arguments) -> int:
    import gc

    gc.disable()  # one screen ends before garbage matters
    from nurserytui.answers.page import folded
    from nurserytui.pages.show import PAGES, show

    which = " ".join(arguments.which)
    if arguments.page not in PAGES:
        known = "; ".join(f"{name}{f' [{page.which}]' if page.which else ''}: {page.holds}" for name, page in PAGES.items())
        raise WrongUse(f"there is no screen {arguments.page!r}; there are {known}")
    if which and not PAGES[arguments.page].which:
        raise WrongUse(f"{arguments.page} takes nothing after it, so {which!r} has no meaning here")
    with _nursery(arguments, create=False) as nursery:
        printing.write(folded("\n".join(show(arguments.page, nursery, which)), _columns()))
        _back_up(arguments, nursery)
    return 0


def _app(arguments) -> int:
    if arguments.web:
        return _web(arguments)
    if arguments.host or arguments.port:
        raise WrongUse("--host and --port are for --web")
    if not _can_draw():
        raise WrongUse(
            'the app needs a terminal that can draw; elsewhere use: nurserytui ask "…" for a question or a record, '
            "nurserytui show board for a screen as plain text"
        )
    import gc

    gc.disable()  # until the first frame stands: nothing that is imported is garbage
    from nurserytui.records.header import says_ours
    from nurserytui.tui.app import run

    with ExitStack() as stack:
        path, now = _place(arguments, stack)
        if not says_ours(path):
            with _open(path):
                pass  # a file is made, or an unusable one is told before the screen is taken over
        return run(path, now, demo=arguments.demo, mouse=not arguments.no_mouse)


def _web(arguments) -> int:
    try:
        from nurserytui.tui.web import serve
    except ModuleNotFoundError as error:
        if (error.name or "").partition(".")[0].startswith("nurserytui"):
            raise
        raise WrongUse("--web needs one more part; install it with: python -m pip install 'nurserytui[web]'") from None
    path = None
    if not arguments.demo:
        path, _ = _place(arguments, ExitStack())
        with _open(path):
            pass  # an unusable file is told here, not in the browser
    passed = ["--demo"] * arguments.demo + ([f"--now={arguments.now.isoformat()}"] if arguments.now else [])
    passed += ["--no-mouse"] * arguments.no_mouse
    return serve(path, passed, arguments.host or "localhost", arguments.port or 8000)


def _can_draw() -> bool:
    """Whether a screen can be drawn: in a terminal, or for a browser that stands in for one."""
    if os.environ.get("TEXTUAL_DRIVER", "").endswith(":WebDriver"):
        return True
    return sys.stdin.isatty() and sys.stdout.isatty() and os.environ.get("TERM") != "dumb"


def _import(arguments) -> int:
    from nurserytui.records.import_options import Options
    from nurserytui.records.import_preview import look
    from nurserytui.records.import_words import added
    from nurserytui.records.importing import import_file

    if arguments.file.is_dir():
        raise WrongUse(f"{arguments.file} is a folder: say which file in it")
    if arguments.file.exists() and not arguments.file.is_file():
        raise WrongUse(f"{arguments.file} is no ordinary file: name another")
    if not arguments.file.is_file():
        raise WrongUse(f"no such file: {arguments.file}")
    options = Options(
        columns=_pairs(arguments.column, "--column"),
        dates=(arguments.dates or "").removesuffix("-first"),
        place=arguments.place.strip(),
        cohorts=_pairs(arguments.cohort, "--cohort"),
        species=_pairs(arguments.species, "--species"),
        settings=arguments.settings,
    )
    changes: list[str] = []
    with ExitStack() as stack:
        path, now = _place(arguments, stack)
        if arguments.faults:
            from nurserytui.exports.forms import FAULTS
            from nurserytui.exports.targets import guard

            guard(arguments.faults, FAULTS, path, arguments.file)
        if arguments.look:
            report, changes = look(arguments.file, path, options, now=partial(_now, now))
        else:
            store = stack.enter_context(_open(path))
            options = options._replace(now=_now(now, store.timezone()))
            report = import_file(arguments.file, store, options=options)
    for warning in report.warnings:
        printing.complain(f"note: {warning}")
    if report.faults:
        return _told_faults(arguments, report.faults, path)
    told = [added(report, "would come in" if arguments.look else "imported"), *map(visible_line, (*changes, *report.told))]
    printing.write("\n".join(told), "" if arguments.look else "it was imported")
    return 0


def _told_faults(arguments, faults, nursery: Path) -> int:
    from nurserytui.records.import_words import fault_lines

    for line in fault_lines(faults):
        printing.complain(line if line.startswith(("and ", "  ")) else f"{arguments.file}: {line}")
    if arguments.faults:
        from nurserytui.exports.forms import FAULTS
        from nurserytui.exports.targets import whole_file

        with whole_file(arguments.faults, FAULTS, nursery, arguments.file) as list_of_them:
            first = f"nurserytui: what is wrong in {visible_line(arguments.file.name)}"
            list_of_them.write_text("".join(f"{line}\n" for line in (first, *faults)), encoding="utf-8")
        printing.complain(f"all of them are in {arguments.faults}")
    printing.complain(f"nothing was imported: {len(faults)} fault(s) in {arguments.file}")
    return 1


def _pairs(texts: list[str], option: str) -> dict[str, str]:
    """THEIRS -> OURS of an option that may be repeated."""
    found = {}
    for text in texts:
        theirs, equals, ours = text.rpartition("=")
        if not (equals and theirs.strip() and ours.strip()):
            raise WrongUse(f"{option} {text!r}: write what the file says, =, and what it is here")
        found[theirs.strip()] = ours.strip()
    return found


@contextmanager
def _told_when_long(words: str):
    """A line for standard error while something takes long, so that nobody takes it for stuck."""
    told = Timer(LONG, printing.complain, (f"nurserytui: {words}: with very many events this may take a minute; leave it going",))
    told.daemon = True
    told.start()
    try:
        yield
    finally:
        told.cancel()


def _export(arguments) -> int:
    from nurserytui.exports.forms import FORMS, form_of

    form = arguments.form or form_of(arguments.file.name)
    if not form:
        endings = ", ".join(dict.fromkeys(known.ending for known in FORMS.values()))
        raise WrongUse(f"cannot tell the form from {arguments.file.name!r}: the name ends in one of {endings}, or say --as")
    if arguments.season is not None and form != "html":
        raise WrongUse(f"--season is for the season report (.html); {FORMS[form].says} are of all seasons")
    from nurserytui.exports.export import OF_RECORDS, export, export_records
    from nurserytui.exports.withholding import Withheld

    withheld = Withheld(arguments.locations, arguments.without_names, arguments.without_notes)
    if form in OF_RECORDS:
        with ExitStack() as stack:
            path, _ = _place(arguments, stack)
            store = stack.enter_context(_open(path, create=False))
            printing.write(export_records(store, arguments.file, form, withheld=withheld), "it was written")
        return 0
    with _nursery(arguments, create=False) as nursery:
        printing.write(export(nursery, arguments.file, form, withheld=withheld, season=arguments.season), "it was written")
    return 0


def _check(arguments) -> int:
    from nurserytui.records.checking import check

    with ExitStack() as stack:
        path, _ = _place(arguments, stack)
        with _open(path, create=False):
            pass
        if arguments.mend:
            from nurserytui.records.mending import mend

            for line in mend(path):
                printing.write(line)
        reasons = check(path)
    for reason in reasons:
        printing.write(reason)
    if not reasons:
        printing.write(f"{path}: whole; every headcount equals its events")
    return 1 if reasons else 0


def _backup(arguments) -> int:
    from nurserytui.records.backups.listing import asked
    from nurserytui.records.backups.to_file import backup

    with ExitStack() as stack:
        path, _ = _place(arguments, stack)
        with _open(path, create=False) as store:
            if not arguments.file:
                with _told_when_long("making a backup and looking through those that are kept"):
                    lines = asked(store)
                printing.write("\n".join(lines), "the backup was made")
                return 0
        printing.write(backup(path, arguments.file), "the copy was made")
    return 0


def _restore(arguments) -> int:
    from nurserytui.records.backups.listing import listed, meant
    from nurserytui.records.backups.preview import preview
    from nurserytui.records.backups.restoring import restore

    with ExitStack() as stack:
        path, _ = _place(arguments, stack)
        if not arguments.which:
            with _told_when_long("looking through the backups"):
                lines = listed(path)
            printing.write("\n".join(lines))
            return 0
        with _told_when_long("looking through the backup, and what would change"):
            file = meant(arguments.which, path)
            lines = preview(file, path)
        for line in lines:
            printing.write(line)
        if not arguments.yes:
            printing.write("Nothing done yet: say --yes to put the backup in place.")
            return 0
        with _told_when_long("putting the backup in place and reading it back"):
            said = restore(file, path)
        printing.write(said, "it was restored")
    return 0


def _knowledge_check(arguments) -> int:
    from nurserytui import paths
    from nurserytui.knowledge.checking import check

    faults, report = check(arguments.folder)
    for line in report:
        printing.write(line)
    for fault in faults:
        printing.write(fault)
    printing.write(f"{len(faults)} faults: the entries named are left out, the rest is used." if faults else "No faults.")
    if arguments.folder is None:
        own = paths.own_knowledge()
        printing.write(f"Your own knowledge is looked for in {own}{'' if own.is_dir() else ' (no such folder yet)'}.")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
