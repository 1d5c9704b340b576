"""Lines of kinds that are seldom typed: what reads them is loaded only where a word of theirs stands."""

from __future__ import annotations

from nurserytui.language.line import Line
from nurserytui.language.request import Request


def of_backups(line: Line, nursery) -> Request | None:
    """A line about backups of the nursery, which no example holds."""
    if "back" not in line.plain:
        return None
    from nurserytui.language import backup_lines
    from nurserytui.language.record_grammar import request_of

    if told := backup_lines.rule(line, nursery):
        return request_of(line, told)
    if backup_lines.asked(line) or backup_lines.refused(line.text, nursery.settings.backups):
        return Request(line.text, "help", cues=frozenset(("backups",)), plain=line.plain, layer="grammar", score=1.0)
    return None


def caught(line: Line, nursery) -> Request | None:
    """A wasp or a fly that came out and was let go or killed."""
    if {"wasp", "wasps", "fly", "flies"}.isdisjoint(line.plain.replace(".", " ").split()):
        return None
    from nurserytui.language import record_catches

    return record_catches.caught(line, nursery)
