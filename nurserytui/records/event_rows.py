"""Events from a CSV table: every row read, checked by itself, known ones recognised, the rest checked by replay."""

import re
from collections import Counter
from datetime import datetime, tzinfo
from typing import NamedTuple

from nurserytui.records import moments
from nurserytui.records.events import Event
from nurserytui.records.identity import group_of
from nurserytui.records.importing import Report
from nurserytui.records.progress import Progress
from nurserytui.records.tables import RowFault, Table
from nurserytui.records.validating import findings

COLUMNS = tuple(name for name in Event._fields if name not in ("estimate", "group"))
_NUMBERS = ("instar", "count", "latitude", "longitude")
LINES_NAMED = 5
RUNS = re.compile("""['"\\s]*[=+\\-@\\t\\r\uff1d\uff0b\uff0d\uff20]""")
"""What a spreadsheet may run as a formula: spaces and quotes before the sign change nothing, and some take the full-width signs too."""


class Row(NamedTuple):
    line: int
    event: Event


def import_events(table: Table, store, progress: Progress | None = None) -> Report:
    """Write the events of the table, if every row can have happened."""
    if "when" not in table.header:
        return Report("events", 0, 0, (RowFault(1, "when", "there is no column when"),))
    spare = [name for name in table.header if name and name not in COLUMNS]
    recorded = {event.id: event for event in store.events()}
    where = moments.zone(store.timezone())
    faults: list[RowFault] = []
    kept: dict[str, list[int]] = {name: [] for name in spare}
    rows = _rows(table, kept, where, faults)
    warnings = [_spare(name, lines) for name, lines in kept.items()]
    new, known = _sort_out(rows, recorded, faults)
    if not faults and new:
        written = store.append((row.event for row in new), progress)
        if not written.faults:
            return Report("events", len(new), known, (), tuple(warnings))
    if new:
        # The store stops at the first layer that refuses; a keeper wants all faults of the file in one go.
        from nurserytui.records.diagnosing import ledger_faults

        more, unchecked = ledger_faults(list(recorded.values()), new, faults, progress)
        faults += more
        warnings += unchecked
    faults.sort(key=lambda fault: fault.line)
    return Report("events", 0, known, tuple(faults), tuple(warnings))


def _spare(name: str, lines: list[int]) -> str:
    """What became of a column that the table of events does not have, and in which lines of the file it says something."""
    if not lines:
        return f"column {name} is not known, and says nothing"
    first, more = ", ".join(map(str, lines[:LINES_NAMED])), len(lines) - LINES_NAMED
    which = f"line{'s' if len(lines) > 1 else ''} {first}" + (f" and {more} more" if more > 0 else "")
    return f"column {name} is not known: what it says was kept in the note ({which})"


def _rows(table: Table, kept: dict[str, list[int]], where: tzinfo | None, faults: list[RowFault]) -> list[Row]:
    found, times = [], Counter()
    for line, cells in table.rows:
        if len(cells) > len(table.header) and any(cell.strip() for cell in cells[len(table.header) :]):
            faults.append(RowFault(line, "", f"the row has {len(cells)} cells, the header {len(table.header)}"))
            continue
        texts = {name: unescaped(cell.strip()) for name, cell in zip(table.header, cells, strict=False) if name and cell.strip()}
        event, wrong = event_of(texts, list(kept), where)
        for name in kept.keys() & texts.keys():
            kept[name].append(line)
        wrong += findings(event, as_row=True) if not wrong else [one for one in findings(event) if one[0] not in dict(wrong)]
        if wrong:
            faults += [RowFault(line, column, reason) for column, reason in wrong]
        if not event.id:
            content = repr(sorted((name, text) for name, text in texts.items() if name != "id"))
            times[content] += 1
            event = event._replace(id=row_id(content, times[content]))
        found.append(Row(line, event))
    return found


def event_of(texts: dict[str, str], spare: list[str], where: tzinfo | None) -> tuple[Event, list[tuple[str, str]]]:
    """The event of a row's cells, and what could not be read in them."""
    fields: dict = {name: texts[name] for name in COLUMNS if name in texts and name not in _NUMBERS}
    wrong: list[tuple[str, str]] = []
    for name in ("what", "stage"):
        if name in fields:
            fields[name] = fields[name].lower()
    if fields.get("species", "").lower() == "unknown":
        fields["species"] = "unknown"
    for name in _NUMBERS:
        if name in texts:
            try:
                fields[name], rough = _number(name, texts[name])
                fields["estimate"] = fields.get("estimate", False) or rough
            except ValueError as error:
                wrong.append((name, str(error)))
    when = fields.setdefault("when", "")
    fields.setdefault("what", "")
    try:
        fields["when"] = _when(when, where)
    except ValueError:
        pass  # findings() tells it
    extra = "; ".join(f"{name}: {texts[name]}" for name in spare if name in texts)
    if extra:
        fields["note"] = f"{fields['note']}; {extra}" if fields.get("note") else extra
    if fields.get("id"):
        fields["group"] = group_of(fields["id"])
    return Event(**fields), wrong


def _when(text: str, where: tzinfo | None) -> str:
    """The time as the records write it; a space for the T is taken, an offset is turned into the nursery's own time."""
    if len(text) <= 10:
        return text
    moment = datetime.fromisoformat(text)
    return moments.local_text(moment, where) if moment.tzinfo else text.replace(" ", "T", 1)


def _number(name: str, text: str) -> tuple[float, bool]:
    """(the number, whether it is an estimate); ValueError with the reason."""
    if name in ("latitude", "longitude"):
        try:
            return float(text), False
        except ValueError:
            raise ValueError(f"{text!r} is no {name}: write 51.5") from None
    rough = name == "count" and text.startswith("~")
    digits = text[1:].strip() if rough else text
    # A spreadsheet may have written 12 as 12.0.
    found = re.fullmatch(r"(\d{1,7})(\.0+)?", digits)
    if not found:
        whole = "whole number" + (", or ~80 for an estimate" if name == "count" else "")
        raise ValueError(f"{text!r} is no {name}: write a {whole}")
    return int(found[1]), rough


def row_id(content: str, occurrence: int) -> str:
    """The identity of a row that has no id: a hash of its cells, and which of several like rows it is."""
    import hashlib

    return f"row-{hashlib.sha256(content.encode()).hexdigest()[:20]}-{occurrence}"


def unescaped(cell: str) -> str:
    """A cell as it was before export put an apostrophe before what a spreadsheet would run."""
    return cell[1:] if cell.startswith("'") and RUNS.match(cell, 1) else cell


def _sort_out(rows: list[Row], recorded: dict[str, Event], faults: list[RowFault]) -> tuple[list[Row], int]:
    """(rows that are new, how many are on record already), adding to `faults` where an id means two things."""
    new: list[Row] = []
    seen: dict[str, Row] = {}
    known = 0
    for row in rows:
        event = row.event
        other = recorded.get(event.id)
        if other is not None:
            known += 1
            if not _same(event, other):
                faults.append(
                    RowFault(row.line, "id", f"event {event.id} is on record with other content: withdraw it and add a new one")
                )
        elif event.id in seen:
            known += 1
            if event != seen[event.id].event:
                faults.append(RowFault(row.line, "id", f"id {event.id} stands for another row on line {seen[event.id].line}"))
        else:
            seen[event.id] = row
            new.append(row)
    return new, known


def _same(told: Event, recorded: Event) -> bool:
    """True if all that the row tells is what is on record, where more may have been filled in."""
    return all(
        not value or value == getattr(recorded, name)
        for name, value in zip(told._fields, told, strict=True)
        if name not in ("id", "group", "estimate")
    )
