"""Tables, exports and other nurseries taken in, and what is told of them."""

from __future__ import annotations

from contextlib import ExitStack
from functools import partial
from pathlib import Path

from nurserytui import printing
from nurserytui.commands.opening import WrongUse, moment_of, opened, place_of
from nurserytui.visible import visible_line


def run_import(arguments) -> int:
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
        path, now = place_of(arguments, stack)
        if arguments.faults:
            from nurserytui.exports.forms import FAULTS
            from nurserytui.exports.targets import guard

            guard(arguments.faults, FAULTS, path, arguments.file)
        if arguments.look:
            report, changes = look(arguments.file, path, options, now=partial(moment_of, now))
        else:
            store = stack.enter_context(opened(path))
            options = options._replace(now=moment_of(now, store.timezone()))
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
