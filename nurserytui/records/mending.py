"""Putting right what can be worked out anew from the events: the headcount and the guards. Never an event, a reading or a sum."""

from __future__ import annotations

from pathlib import Path

from nurserytui.records import schema
from nurserytui.records.backups.kept import keep
from nurserytui.records.checking import damage, headcounts
from nurserytui.records.errors import Damaged, way_back
from nurserytui.records.ledger import replay
from nurserytui.records.progress import Progress
from nurserytui.records.store import Store


def mend(path: str | Path, progress: Progress | None = None) -> list[str]:
    """Put right what is derived, after a copy of the file was kept; lines saying what was done, [] where nothing was to be done.

    A file whose events or readings are not as they were written is left as it is: what is derived from them would be wrong too, and would
    hide it. Then `Damaged` says so. `progress` is told how far it is, and may raise `Stopped`: then nothing is changed.
    """
    with Store.open(path, create=False) as store:
        if wrong := next(damage(store, f"{way_back(path)}."), ""):
            raise Damaged(f"nothing was mended, since what was recorded is not as it was written: {wrong}")
        guards = schema.not_as_made(store._connection().execute)
        heads = replay(store.events(), progress=progress).heads
        wrong_heads = list(headcounts(store.heads(), heads))
        if not guards and not wrong_heads:
            return []
        kept = keep(path, "before-mending", progress=progress, replayed=False)
        with store._writing() as connection:
            schema.guard(connection.execute)
            heads = replay(store.events(), progress=progress).heads  # another program may have written meanwhile
            store.replace_heads(connection, heads)
    return [
        *(
            f"The guard {name} was put back." if name in schema.GUARDS else f"The trigger {name} was taken away."
            for name in guards
        ),
        *(f"The headcount was put right: {line} in the file before." for line in wrong_heads),
        f"What was there before is kept as {kept.path}.",
    ]
