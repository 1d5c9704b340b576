"""The nursery that a call names: where its file lies, the moment it is asked at, and the file opened."""

from __future__ import annotations

from contextlib import ExitStack, contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path


class WrongUse(Exception):
    """Something about the call or the file makes it impossible; one line for standard error, exit code 2."""


@contextmanager
def nursery_of(arguments, *, create: bool = True):
    """The nursery that the arguments name, opened; a private copy for `--demo`."""
    from nurserytui.knowledge.base import load
    from nurserytui.nursery import Nursery
    from nurserytui.records.errors import StoreError

    with ExitStack() as stack:
        path, told = place_of(arguments, stack)
        store = stack.enter_context(opened(path, create=create))
        nursery = Nursery(store, load(), moment_of(told, store.timezone()))
        yield nursery
        with suppress(OSError, StoreError, KeyboardInterrupt):
            nursery.keep()  # what was asked for is done and told


def moment_of(told: datetime | None, zone: str) -> datetime:
    """The moment in the nursery's own wall time: the one told, or the clock's, wherever this computer is."""
    from nurserytui.records import moments

    where = moments.zone(zone)
    return moments.at_place(told, where) if told else moments.wall(datetime.now(UTC), where)


def place_of(arguments, stack: ExitStack) -> tuple[Path, datetime | None]:
    """The nursery's file and the moment that was told; None for the clock."""
    if getattr(arguments, "demo", False):
        import tempfile

        from nurserytui.demo import MOMENT, private_copy

        folder = stack.enter_context(tempfile.TemporaryDirectory(prefix="nurserytui-"))
        return private_copy(Path(folder)), arguments.now or MOMENT
    from nurserytui.paths import default_database

    return arguments.db or default_database(), arguments.now


@contextmanager
def opened(path: Path, *, create: bool = True):
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
