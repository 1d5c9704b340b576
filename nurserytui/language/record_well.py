"""Those that are said to be well beside others of whom something is told (`B ok, C limp`): a look, and nothing of what befell the others."""

from __future__ import annotations

from nurserytui.language import record_slots
from nurserytui.language.clause import Clause
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line

STATES = frozenset("ok okay fine good well great alright happy healthy still eating feeding munching".split())
AROUND = frozenset("is are all look looks doing and both".split())


def well(clause: Clause) -> bool:
    """Whether a clause says of one cohort that it is well, and nothing else."""
    words = [item.word for item in clause.items if item.kind != "period" and item.word not in AROUND]
    return clause.verb is None and words[:1] == ["COHORT"] and len(words) > 1 and all(word in STATES for word in words[1:])


def look(line: Line, clause: Clause, now) -> Draft:
    """The look at the cohort of such a clause."""
    return record_slots.filled(Draft("checked", note=clause.text(line).strip()), clause.items, line, now)


def parted(line: Line, clauses: list[Clause], now) -> tuple[list[Draft], list[Clause]]:
    """The looks at those that are well, and the other clauses; a cohort named alone right in front belongs to them (`B and C ok`)."""
    looks: list[Draft] = []
    others: list[Clause] = []
    for clause in clauses:
        if not well(clause):
            others.append(clause)
            continue
        while clause.joined and others and [item.word for item in others[-1].items] == ["COHORT"]:
            looks.append(look(line, others.pop(), now)._replace(note=""))
        looks.append(look(line, clause, now))
    return looks, others
