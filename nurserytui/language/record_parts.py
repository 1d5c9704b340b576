"""What is told of several places or cohorts in parts: a sum and its parts, or a verb in front of a list."""

from __future__ import annotations

from itertools import takewhile

from nurserytui.language.clause import Clause
from nurserytui.language.record_counts import numbers_in

NAMED = frozenset(("COHORT", "ENCLOSURE", "SPECIES"))
LISTED = frozenset("hatched moulted prepupated pupated emerged died released escaped given missing moved".split())
"""Events that may stand once in front of a list of whom they are told."""


def by_parts(clauses: list[Clause]) -> list[Clause]:
    """`3 dead today: 2 in tub 1, 1 in tub 2` and `dead today: tub 1 2, tub 2 1`, told as the parts, each with the verb or behind it."""
    for at, clause in enumerate(clauses):
        if clause.verb is None or clause.verb.what not in LISTED:
            continue
        parts = [piece for part in takewhile(_is_part, clauses[at + 1 :]) for piece in _pieces(part)]
        taken = sum(1 for _ in takewhile(_is_part, clauses[at + 1 :]))
        numbers = numbers_in(clause.items)
        if len(parts) > 1 and len(numbers) == 1 and not _names_too(clause, parts):
            if sum(numbers_in(part.items)[0][1] for part in parts) == numbers[0][1]:
                clause = _without(clause, numbers[0][0])
                return [*clauses[:at], *(_joined(clause, part) for part in parts), *clauses[at + 1 + taken :]]
        if (
            parts
            and not numbers
            and all(not item.span or item.kind == "period" for item in clause.items)
            and clause.items[-1].stop
        ):
            return [*clauses[:at], *(_joined(clause, part) for part in parts), *clauses[at + 1 + taken :]]
    return clauses


def _names_too(clause: Clause, parts: list[Clause]) -> bool:
    """Whether a clause names what its parts name as well; where they were moved to is the same for all."""
    words = set(clause.words())
    gone = clause.verb.what == "moved" and {"to", "into"} & words and not {"from", "out"} & words
    named = words & NAMED - ({"ENCLOSURE"} if gone else set())
    return any(named & set(part.words()) for part in parts)


def _is_part(clause: Clause) -> bool:
    return (
        clause.verb is None and bool(numbers_in(clause.items)) and not NAMED.isdisjoint(clause.words()) and bool(_pieces(clause))
    )


def _pieces(part: Clause) -> list[Clause]:
    """The parts in a piece that no stop parts (`3 in tub 1 1 in tub 2`); [] where a number stands beside nobody."""
    numbers = [at for at, _, _ in numbers_in(part.items)]
    if len(numbers) == 1:
        return [part]
    edges = [*(numbers if numbers[0] == 0 else [0, *(at + 1 for at in numbers[:-1])]), len(part.items)]
    pieces = [part.items[begin:end] for begin, end in zip(edges, edges[1:])]
    named = all(not NAMED.isdisjoint(item.word for item in piece) for piece in pieces)
    return [Clause(piece, None) for piece in pieces] if named else []


def _without(clause: Clause, place: int) -> Clause:
    """The clause without its number and the word that calls it a sum."""
    verb, earlier = clause.verb, place < clause.verb.first
    verb = verb._replace(first=verb.first - earlier, last=verb.last - (place <= verb.last), taken=frozenset())
    rest = (*clause.items[:place], *(item for item in clause.items[place + 1 :] if item.word not in ("total", "altogether")))
    return clause._replace(items=rest, verb=verb)


def _joined(clause: Clause, part: Clause) -> Clause:
    """The clause of the verb with a part behind it."""
    return clause._replace(items=(*(item._replace(stop=False) for item in clause.items), *part.items))
