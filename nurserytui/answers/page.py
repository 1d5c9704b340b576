"""An Answer as plain text: what the command line prints, and what a screen reader user reads instead of the app."""

from __future__ import annotations

from nurserytui.answers.answer import Answer


def page(answer: Answer) -> str:
    """The whole answer, first line first, then the working, the sources, the cautions and what can be sent next."""
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
    return "\n\n".join(part for part in parts if part)
