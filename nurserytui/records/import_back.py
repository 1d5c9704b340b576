"""How all of an import is taken back: by the copy that was made before it. Undo takes one record, and readings never change."""

from __future__ import annotations

from collections.abc import Callable

from nurserytui.records.backups.by_itself import standing_copy
from nurserytui.records.backups.kept import command
from nurserytui.records.errors import StoreError
from nurserytui.records.importing import Report


def way_back(store) -> Callable[[Report], str] | None:
    """Asked before an import: what then tells the way back to how the nursery stands now; None for a nursery in memory."""
    if store.path is None or store._memory is not None:
        return None
    try:
        copy, empty = standing_copy(store.path)
    except (StoreError, OSError):
        copy, empty = None, False

    def told(report: Report) -> str:
        why = "Readings never change" if report.kind == "readings" else "Undo takes back one row"
        if copy is not None:
            back = command(f"restore {copy.moment:%Y-%m-%dT%H%M%S}", store.path)
            return f"{why}; to take all of it back, go to the copy from before: {back} (it is shown first what would change)"
        if empty:
            return f"{why}; to take all of it back, close the program and put {store.path} elsewhere: it was empty before"
        return f"{why}, and there is no copy from before the import to go back to"

    return told
