"""The file kept whole: checked, copied, put back."""

from __future__ import annotations

from contextlib import ExitStack, contextmanager
from threading import Timer

from nurserytui import printing
from nurserytui.commands.opening import opened, place_of

LONG = 2.0
"""Seconds after which it is told what goes on."""


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


def run_check(arguments) -> int:
    from nurserytui.records.checking import check

    with ExitStack() as stack:
        path, _ = place_of(arguments, stack)
        with opened(path, create=False):
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


def run_backup(arguments) -> int:
    from nurserytui.records.backups.listing import asked
    from nurserytui.records.backups.to_file import backup

    with ExitStack() as stack:
        path, _ = place_of(arguments, stack)
        with opened(path, create=False) as store:
            if not arguments.file:
                with _told_when_long("making a backup and looking through those that are kept"):
                    lines = asked(store)
                printing.write("\n".join(lines), "the backup was made")
                return 0
        printing.write(backup(path, arguments.file), "the copy was made")
    return 0


def run_restore(arguments) -> int:
    from nurserytui.records.backups.listing import listed, meant
    from nurserytui.records.backups.preview import preview
    from nurserytui.records.backups.restoring import restore

    with ExitStack() as stack:
        path, _ = place_of(arguments, stack)
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
