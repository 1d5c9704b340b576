"""Cohorts by the beginning of their label: `the dill egg`, `4 poly eggs` of a cohort `poly-26`."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING

from nurserytui.language import numbers
from nurserytui.language.ordinary import EVENT_WORDS, HEADS, STAGES, ordinary

if TYPE_CHECKING:
    from nurserytui.language.reading import Reading

LABEL = re.compile(r"([a-z]{3,})[- ]?\d{1,4}[a-z]?")
COUNTED_BEFORE = frozenset("many the my our of these those any all other".split())
"""Words before which the plural of a beginning means its animals."""
GROUPS = ("one", "ones", "lot", "bunch", "batch", "gang", "crew")
LEADING = frozenset("the my our last first other another that this remaining final of".split())
SINGLE = frozenset("a an one last first another other lone final".split())
"""Words before which a beginning that is no other word means one of its animals (`the last torto died`)."""
NOUNS = HEADS | frozenset(("plant", "plants", "leaf", "leaves", "cohort", "group"))
CHANGED = frozenset("hatched hatch hatching emerged eclosed pupated moulted molted".split())
"""What animals do and no plant does: in front of these the name of a plant is the beginning of a label."""


def beginnings(nursery, alive: Iterable[str]) -> dict[str, str]:
    """The word in front of the figures of each living cohort's label, where one of them alone begins so. An ordinary word is one only if
    it is part of the name of its species (`lady-2`)."""
    found: dict[str, list[str]] = {}
    for label in alive:
        if (
            (match := LABEL.fullmatch(label.casefold()))
            and match[1] not in STAGES
            and match[1] not in HEADS
            and match[1] not in EVENT_WORDS
        ):
            found.setdefault(match[1], []).append(label)
    plain = {word for word in found if ordinary(word)}
    species = {found[word][0]: getattr(nursery.ledger.cohorts.get(found[word][0]), "species", "") for word in plain}
    named = {word for word in plain if _names(nursery.knowledge, species[found[word][0]], word)}
    hosts = [getattr(nursery.ledger.cohorts.get(label), "host", "") for labels in found.values() for label in labels]
    shared = {
        word
        for word, labels in found.items()
        if len(labels) == 1
        and (host := getattr(nursery.ledger.cohorts.get(labels[0]), "host", ""))
        and hosts.count(host) > 1
        and _names(nursery.knowledge, host, word, "plant")
    }
    return {
        word: labels[0]
        for word, labels in found.items()
        if len(labels) == 1 and (word not in plain or word in named) and word not in shared
    }


def _names(knowledge, name: str | None, word: str, kind: str = "species") -> bool:
    return bool(name) and any(
        alias.kind == kind and name in alias.means and word in alias.alias.casefold().split() for alias in knowledge.aliases()
    )


def begun(line: Reading, at: int) -> str:
    """The cohort whose label begins with the word at a place, where its animals are named behind it; "" for none. A name of the knowledge
    base stands for what it names."""
    word, before, after = line.word(at), line.word(at - 1), line.word(at + 1)
    known = line.vocabulary.beginnings
    told = before in COUNTED_BEFORE or before.isdigit() or before in numbers.WORDS or at == 0
    several = (
        word.removesuffix("s") if told and word.endswith("s") and not ordinary(word) else ""
    )  # `how many torts`, `2 torts died`
    label = known.get(word, "") or known.get(several, "")
    if not label:
        return ""
    if name := line.vocabulary.names.find((line.keys[at],)):
        helped = line.word(at + 2) if after in ("have", "has", "all") else after
        grown = {one.kind for one in name.names} == {"plant"} and word in known and at not in line.clauses
        return label if grown and (after in STAGES or helped in CHANGED) else ""
    if word not in known:
        return label
    if at in line.clauses:
        return ""
    counted = before.isdigit() or before in numbers.WORDS or before in SINGLE
    alone = (before in SINGLE and not ordinary(word) and after not in NOUNS) or (counted and after in CHANGED)
    return label if after in STAGES or after in GROUPS and before in LEADING or alone else ""
