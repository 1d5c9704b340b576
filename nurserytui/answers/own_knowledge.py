"""What an answer says of the keeper's own additions to the knowledge base: that it rests on them, and what is wrong in their files."""

from __future__ import annotations

from nurserytui.answers.answer import Answer

OWN = "own"
RESTS = "your own additions to the knowledge base."
TOLD = 3
"""How many faults are named; the command that names all of them stands beside."""


def said(answer: Answer) -> Answer:
    """The answer, with a last line that says so where it cites the keeper's own additions."""
    cited = {source.id for source in answer.sources}
    if OWN not in cited:
        return answer
    return answer._replace(text=f"{answer.text}\nThis rests {'in part ' if len(cited) > 1 else ''}on {RESTS}")


def faulty(knowledge) -> str:
    """A caution that names what is wrong in the keeper's files and was left out; "" where nothing is."""
    faults = knowledge.faults()
    if not faults:
        return ""
    named = "; ".join(map(str, faults[:TOLD]))
    more = f"; and {len(faults) - TOLD} more" if len(faults) > TOLD else ""
    return f"Left out of your own knowledge, since it is faulty: {named}{more}. `nurserytui knowledge check` names everything."
