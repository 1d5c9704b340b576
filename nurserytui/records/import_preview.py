"""What an import would do, found out on a private copy of the nursery: nothing is changed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path

from nurserytui.records.backups.preview import headcounts
from nurserytui.records.event_words import written
from nurserytui.records.import_options import Options
from nurserytui.records.importing import Report, import_file
from nurserytui.records.progress import Progress
from nurserytui.records.store import Store

SHOWN = 8
"""Events that are shown one by one."""


def look(
    file: Path,
    nursery: Path,
    options: Options,
    progress: Progress | None = None,
    *,
    now: Callable[[str], datetime] | None = None,
) -> tuple[Report, list[str]]:
    """(what the import of the file would come to, what it would change, line by line). The nursery need not exist yet; `now` gives the
    moment in a time zone, after which a date lies ahead."""
    with Store.memory(nursery if nursery.exists() and nursery.stat().st_size else None) as copy:
        before, heads = len(copy.events()), copy.heads()
        options = options._replace(now=now(copy.timezone())) if now else options
        report = import_file(file, copy, progress, options)
        if report.faults:
            return report, []
        return report, _changes(copy.events()[before:], heads, copy.heads())


def _changes(new: Sequence, before: dict, after: dict) -> list[str]:
    if not new:
        return []
    days = sorted(event.day for event in new)
    kinds = Counter(event.what for event in new)
    lines = [f"From {days[0]} to {days[-1]}: {', '.join(f'{number:,} {what}' for what, number in kinds.most_common())}."]
    lines += [f"  {written(event)}" for event in new[:SHOWN]]
    if len(new) > SHOWN:
        lines.append(f"  and {len(new) - SHOWN:,} more")
    return lines + headcounts(before, after)
