"""Names of species and host plants in a keeper's table: what the knowledge base knows without doubt is recorded under its scientific name, a
misspelling is asked about, and what is near nothing stays as it is written. Each distinct name is looked up once."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from nurserytui.records.event_rows import Row
from nurserytui.records.events import Event
from nurserytui.records.file_text import RowFault

if TYPE_CHECKING:
    from nurserytui.knowledge.base import Knowledge

NOTED = 10
_KINDS = {"species": "species", "host": "plant"}
"""Column -> which names of the knowledge base are looked through."""


class _Found(NamedTuple):
    name: str
    """As it is recorded."""
    note: str
    """What the keeper should know, after the line; "" for nothing."""
    near: str = ""
    """The known name that it may be a misspelling of; it is a fault then."""


class SpeciesNamed:
    """The names of one file. `asked` says of names in the file what they are here; names on record (`recorded`) stay as they are."""

    def __init__(self, asked: Mapping[str, str], recorded: Iterable[Event]) -> None:
        self._asked = {theirs.casefold(): ours for theirs, ours in asked.items()}
        self._recorded: Iterable[Event] | None = recorded
        self._knowledge: Knowledge | None = None
        self._on_record: dict[str, set[str]] = {}
        self._found: dict[tuple[str, str], _Found] = {}
        self._known: dict[tuple[str, str], _Found] = {}
        self._told: dict[tuple[str, str], list[int]] = {}
        self.faults: list[RowFault] = []

    def named(self, rows: Sequence[Row], but: Container[str] = ()) -> list[Row]:
        """The rows with the names that are recorded, but for those with an id of `but`; `faults` and `notes` are there then."""
        found = self._found
        changed = []
        for row in rows:
            event = row.event
            if event.id in but:
                changed.append(row)
                continue
            for column, text in (("species", event.species), ("host", event.host)):
                if not text:
                    continue
                one = found.get((column, text)) or self._look_up(column, text)
                if one.near or one.note:
                    self._told.setdefault((column, text), []).append(row.line)
                if one.name != text:
                    event = event._replace(**{column: one.name})
            changed.append(row if event is row.event else Row(row.line, event))
        self.faults = [
            RowFault(lines[0], column, _fault(column, text, self._found[column, text].near, len(lines)))
            for (column, text), lines in self._told.items()
            if self._found[column, text].near
        ]
        return changed

    def unheard(self, rows: Iterable[Row]) -> list[RowFault]:
        """Names that the keeper says of the file and that no row of it has."""
        if not self._asked:
            return []
        heard = {text.casefold() for row in rows for text in (row.event.species, row.event.host)}
        return [RowFault(0, "--species", f"there is no {name} in the file") for name in self._asked if name not in heard]

    @property
    def notes(self) -> list[str]:
        notes = []
        for (column, text), lines in self._told.items():
            if found := self._found[column, text].note:
                more = f" (and {len(lines) - 1:,} more)" if len(lines) > 1 else ""
                notes.append(f"line {lines[0]}{more}: {found}")
        return notes[:NOTED] + ([f"and {len(notes) - NOTED} more names"] if len(notes) > NOTED else [])

    def alike(self, column: str, told: str, recorded: str) -> bool:
        """Whether a name of the file is, or may be read as, the one on record."""
        if column not in _KINDS:
            return False
        name = self._asked.get(told.casefold(), told)
        first = self._of_knowledge(column, name)
        return recorded in (name, first.name, first.near, self._of_knowledge(column, first.near).name if first.near else "")

    def _look_up(self, column: str, text: str) -> _Found:
        ours = self._asked.get(text.casefold())
        if ours is not None and ours.casefold() == text.casefold():
            found = _Found(ours, "")
        elif ours is not None:
            found = _Found(self._of_knowledge(column, ours).name, "")
        elif text in self._known_here()[column] or text == "unknown":
            found = _Found(text, "")
        else:
            found = self._of_knowledge(column, text)
        self._found[column, text] = found
        return found

    def _known_here(self) -> dict[str, set[str]]:
        if self._recorded is not None:
            events, self._recorded = list(self._recorded), None
            self._on_record = {column: {getattr(event, column) for event in events} for column in _KINDS}
        return self._on_record

    def _of_knowledge(self, column: str, text: str) -> _Found:
        found = self._known.get((column, text))
        if found is None:
            found = self._known[column, text] = self._asked_of_knowledge(column, text)
        return found

    def _asked_of_knowledge(self, column: str, text: str) -> _Found:
        from nurserytui.knowledge.base import load

        knowledge, kind = self._knowledge or load(), _KINDS[column]
        self._knowledge = knowledge
        exact = knowledge.names.exact(text, (kind,))
        genus_alone = " " not in text.strip()
        meant = {alias.means[0] for alias in exact if len(alias.means) == 1 or alias.usual}
        sure = meant.pop() if len(meant) == 1 else ""
        if sure and not (genus_alone and text.casefold() == sure.partition(" ")[0].casefold() and not sure.endswith(" spp.")):
            others = [one for alias in exact for one in alias.means if one != sure]
            too = f" (the name is used of {others[0]} too)" if others else ""
            return _Found(sure, "" if sure == text else f"{text} is recorded as {sure}{too}")
        if exact:
            means = list(dict.fromkeys(one for alias in exact for one in alias.means))[:4]
            return _Found(text, f"{text} can be {' or '.join(means)}; it is kept as it is")
        near = next((alias.alias for alias, score in knowledge.match(text, (kind,)) if score < 1), "")
        if near:
            return _Found(text, "", near)
        return _Found(text, f"the knowledge base does not know {text}; it is kept as it is" if column == "species" else "")


def _fault(column: str, text: str, near: str, times: int) -> str:
    rows = "" if times == 1 else f" ({times:,} rows)"
    return (
        f"{text} is not known; did you mean {near}?{rows} Change it, or import with --species {_typed(text)}={_typed(near)}; "
        f"--species {_typed(text)}={_typed(text)} keeps it as it is"
    )


def _typed(name: str) -> str:
    return name if name.isalnum() else f'"{name}"'
