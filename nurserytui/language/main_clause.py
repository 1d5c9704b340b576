"""What a long line asks that is not understood as a whole: the one clause of it that asks something (`is tub 2 empty, as it ought to be by now`)."""

from __future__ import annotations

import re

from nurserytui.language import cues as cues_of
from nurserytui.language import intents, weighing
from nurserytui.language.line import Line
from nurserytui.language.phrases import Phrases
from nurserytui.language.spans import scan

ENDS = re.compile(
    r"[,;.?!](?=\s|$)|\s[-–—]\s|:\s|\b(?:because|cos|coz|so that|as (?:i|it|we|they|usual|ever)|since (?:i|it|we|they)|before i|tell me|i wonder|i want|i need)\b",
    re.I,
)
"""Where a clause of a line ends, or another begins."""
WORDS = 3
"""Words that such a clause has at least."""


def asked(line: Line, tables: Phrases, vocabulary, nursery) -> intents.Guess:
    """The topic of the one clause that asks something by itself; NOTHING where there is none, or where clauses ask different things."""
    clauses = [clause.strip() for clause in ENDS.split(line.text)]
    told = [clause for clause in clauses if len(clause.split()) >= WORDS]
    if len(clauses) < 2 or not told:
        return intents.NOTHING
    guesses = [_of_clause(clause, tables, vocabulary, nursery) for clause in told]
    topics = {guess.topic: guess for guess in guesses if guess.topic}
    return next(iter(topics.values())) if len(topics) == 1 else intents.NOTHING


def _of_clause(text: str, tables: Phrases, vocabulary, nursery) -> intents.Guess:
    clause = cues_of.settle(scan(text, vocabulary, nursery.now, nursery.settings), vocabulary)
    found = cues_of.find(clause, tables, nursery)
    if "QUESTION" not in found.names or ("what-now" in found.names and not clause.spans):
        return intents.NOTHING  # `what do I do` asks of what the other clauses tell
    weighed = weighing.weigh(weighing.shape(clause, found.words), tables, weighing.load(tables))
    return intents.understand(found, tables, weighed)
