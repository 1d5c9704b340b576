"""What was found in the wild, and what became of it, as a Darwin Core Archive.

The core is a table of occurrences, the extension one of events. They are data and no spreadsheet: cells are written as they are, since a
reader of the standard would take an added sign for a part of the value.
"""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import NamedTuple

from nurserytui.exports.darwin_core import EVENT, OCCURRENCE, meta
from nurserytui.exports.metadata import Described, metadata
from nurserytui.exports.occurrences import Rows, values
from nurserytui.exports.origins import origins
from nurserytui.exports.withholding import EXACT, Withheld
from nurserytui.records.progress import Progress, told


class Contents(NamedTuple):
    occurrences: int
    events: int


def export_archive(nursery, path: str | Path, progress: Progress | None = None, withheld: Withheld = EXACT) -> Contents:
    """Write the archive of what the nursery has seen by now; how many rows. The same records make the same bytes.

    Eggs of an adult that was reared here (`parent`) are no occurrence in the wild and are left out.
    """
    import zipfile

    rows = Rows(nursery, origins(nursery.ledger, progress), withheld)
    occurrences, events = _Table(OCCURRENCE), _Table(("occurrenceID", *EVENT))
    days: set[str] = set()
    keepers: set[str] = set()
    points = []
    finds = rows.finds()
    for find in told(progress, finds, len(finds), "finds written"):
        row = rows.occurrence(find)
        occurrences.write(values(row, OCCURRENCE))
        keepers.add(row["recordedBy"])
        if row["decimalLatitude"]:
            points.append((float(row["decimalLatitude"]), float(row["decimalLongitude"])))
        for event in rows.events(find):
            events.write([find.id, *values(event, EVENT)])
            days.add(event["eventDate"][:10])
    described = Described(
        sorted(days), sorted(keepers - {""}), withheld.place(nursery.settings.place), points, withheld.words()
    )  # fmt: skip
    with zipfile.ZipFile(path, "w") as archive:
        parts = {
            "occurrence.csv": occurrences.text(), "event.csv": events.text(), "meta.xml": meta(), "eml.xml": metadata(described),
        }  # fmt: skip
        for name, text in told(progress, parts.items(), len(parts), "files packed", every=1):
            # A fixed date and system inside: the same records make the same file.
            info = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))
            info.create_system, info.external_attr = 3, 0o600 << 16
            archive.writestr(info, text.encode("utf-8"), zipfile.ZIP_DEFLATED)
    return Contents(occurrences.count, events.count)


class _Table:
    """A table with a header of terms, every cell in quotes."""

    def __init__(self, header: tuple[str, ...]) -> None:
        self._rows = io.StringIO(newline="")
        self._writer = csv.writer(self._rows, lineterminator="\n", quoting=csv.QUOTE_ALL)
        self._writer.writerow(header)
        self.count = 0

    def write(self, row: list[str]) -> None:
        self._writer.writerow(row)
        self.count += 1

    def text(self) -> str:
        return self._rows.getvalue()
