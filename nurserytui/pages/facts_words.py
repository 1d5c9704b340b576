"""One fact with its sources as a card shows it, and words that every card uses."""

from __future__ import annotations

import re
from typing import NamedTuple

from nurserytui.answers.wording import listed, number

OWN = "own"
DIFFER = re.compile(r"\b(disagree\w*|conflict\w*|sources? differ|differ ten-fold|others say|others \d)\b", re.IGNORECASE)
"""How the knowledge base says in its own words that sources do not agree."""
KINDS_OF_SOURCE = {
    "published": "published: read in the source",
    "practice": "common practice among keepers, no single source",
    "memory": "recalled and not checked against a source, kept wide",
    OWN: "your own addition",
}
WORD_OF_SOURCE = {"published": "", "practice": "practice", "memory": "unchecked", OWN: "your own"}


class Which(NamedTuple):
    """Which entry: its kind and its name within that kind."""

    kind: str
    name: str


class Fact(NamedTuple):
    label: str
    """What it is a fact of, in a word or two: `egg`, `main host`."""
    text: str
    sources: tuple[str, ...] = ()
    """Ids; empty only for what follows from other entries that are shown with theirs."""
    leads: Which | None = None
    """The entry that it leads to."""
    tone: str = ""
    """`care` for a caution, `differ` where sources conflict."""


class Card(NamedTuple):
    which: Which
    title: str
    facts: tuple[Fact, ...]
    """Cautions first, then what is said of it."""
    cited: tuple
    """The sources of all of its facts, each once, in the order in which they are first named."""
    own: bool
    """True where something of it is the keeper's own."""

    def trust(self, fact: Fact) -> str:
        """`1, 4`; `2 practice`; `3 your own`: which of the sources it rests on, and what kind they are where that is not published."""
        order = {source.id: (place, source.kind) for place, source in enumerate(self.cited, 1)}
        kinds = dict.fromkeys(order[one][1] for one in fact.sources)
        numbers = _runs(sorted({order[one][0] for one in fact.sources}))
        # What is read in a source is more than what somebody remembers beside it.
        said = [] if "published" in kinds else [WORD_OF_SOURCE[kind] for kind in kinds]
        if OWN in kinds:
            said = [WORD_OF_SOURCE[OWN]]
        return " ".join([numbers, *said]) if numbers else ""


def _runs(numbers: list[int]) -> str:
    """`1-7, 9`."""
    runs: list[list[int]] = []
    for one in numbers:
        if runs and one == runs[-1][-1] + 1:
            runs[-1].append(one)
        else:
            runs.append([one])
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}{'-' if len(run) > 2 else ', '}{run[-1]}" for run in runs)


def card_of(which: Which, title: str, facts, knowledge) -> Card:
    """The card with its sources looked up, cautions and conflicts where they belong."""
    facts = tuple(_marked(fact) for fact in facts if fact.text)
    facts = tuple(sorted(facts, key=lambda fact: fact.tone != "care"))
    cited = knowledge.cite([source for fact in facts for source in fact.sources])
    return Card(which, title, facts, cited, any(source.kind == OWN for source in cited))


def _marked(fact: Fact) -> Fact:
    """A fact whose own words say that sources do not agree is marked so."""
    return fact._replace(tone="differ") if not fact.tone and DIFFER.search(fact.text) else fact


def span(low: float | None, high: float | None, mean: float | None = None, unit: str = "") -> str:
    """`4 (3-5) days`, `3-5 days`, `4 days`."""
    words = ""
    if low is not None and high is not None and low != high:
        words = f"{number(low, 2)}-{number(high, 2)}"
        words = f"{number(mean, 2)} ({words})" if mean is not None else words
    else:
        only = next((one for one in (mean, low, high) if one is not None), None)
        words = number(only, 2) if only is not None else ""
    return f"{words} {unit}".strip() if words else ""


def stage_words(stage: str) -> str:
    """`egg_to_adult` as a person reads it."""
    return stage.replace("_", " ").replace("instar-", "instar ").replace("instars-", "instars ")


def said_of(*parts: str) -> str:
    """The parts that say something, joined by semicolons."""
    return "; ".join(part for part in parts if part)


def either(words) -> str:
    return listed([str(word) for word in words], "or")
