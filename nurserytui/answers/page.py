"""An Answer as plain text: what the command line prints, and what a screen reader user reads instead of the app."""

from __future__ import annotations

from nurserytui.answers.answer import Answer

NARROWEST = 20
"""Columns below which a line is left to the terminal."""


def page(answer: Answer, columns: int | None = None) -> str:
    """The whole answer, first line first, then the working, the sources, the cautions and what can be sent next.

    With `columns`, long lines go on below themselves, indented under their own bullet or number.
    """
    parts = [answer.text]
    if answer.options:
        parts.append(
            "\n".join(["You could send:", *(f"  {number}. {option}" for number, option in enumerate(answer.options, 1))])
        )
    if answer.working:
        parts.append("\n".join(["Working:", *(f"  {number}. {step}" for number, step in enumerate(answer.working, 1))]))
    if answer.sources:
        parts.append("\n".join(["From:", *(f"  - {source.citation} ({source.kind})" for source in answer.sources)]))
    if answer.cautions:
        parts.append("\n".join(["Take care:", *(f"  ! {caution}" for caution in answer.cautions)]))
    if answer.next and not answer.options:
        parts.append("Next you might ask: " + " / ".join(answer.next[:3]))
    text = "\n\n".join(part for part in parts if part)
    return folded(text, columns)


def folded(text: str, columns: int | None) -> str:
    """The text with no line longer than the columns; as it is where they are not known, or too few to read by."""
    return text if columns is None or columns < NARROWEST else "\n".join(_folded(line, columns) for line in text.split("\n"))


def _folded(line: str, columns: int) -> str:
    """A line in pieces no longer than the columns, cut between words."""
    if len(line) <= columns:
        return line
    import re
    import textwrap

    mark = re.match(r"\s*(?:[-!] |\d+\. )?", line)[0]
    return textwrap.fill(
        line, columns, subsequent_indent=" " * len(mark), break_on_hyphens=False, drop_whitespace=True, replace_whitespace=False
    )
