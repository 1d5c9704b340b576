"""Animals of a cohort that are of another from now on: `B in tub 3 are now B-2`, `4 C larvae become C-2`, `D shall be called D-9`."""

from __future__ import annotations

import re

from nurserytui.language import record_counts, record_days, record_places
from nurserytui.language.clause import STAGES, Item
from nurserytui.language.draft import Draft
from nurserytui.language.record_words import FUTURE, NEGATIONS

BECOMING = re.compile(
    r"(?:(?:are|is|be|get|gets|become|becomes|became)(?: now| all| from now on| henceforth| called| known as| named)*"
    r"|(?:are|is|form|make)(?: now)? (?:a|the)(?: new)? (?:group|cohort|batch|lot)(?: of (?:its|their) own| by themselves)?(?: now)?(?: called| named)?"
    r"|off (?:as|into|to|in)|into|as|in(?= COHORT$))(?: the| a| new| group| cohort| batch)* COHORT$"
)
"""What stands between those who change and the label that they get."""
PARTING = frozenset("split divide divided separate separated part parted hive hived peel peeled".split())
"""First words behind which a bare `to` leads to the new label too."""
TOGETHER = frozenset("and plus with".split())
SMALL = STAGES | frozenset(
    """
    NUMBER ENCLOSURE PERIOD COHORT of the all in from on at out ones one that those these my our is are put take took set now
    shall will s rest remaining off lot and half split divide divided separate separated hive hived peel peeled
    """.split()
)
"""What may stand in front of that beside the names of those who change: any other word may say more of them."""


def told(items: list[Item], nursery) -> tuple[Draft, ...]:
    """The split or, where the whole cohort is meant, the new name; () where the line tells of anything else."""
    at = next((at for at in range(len(items) - 1, 1, -1) if items[at].kind == "cohort"), 0)
    labels = nursery.ledger.cohorts
    known = [item.span.value for item in items[:at] if item.kind == "cohort" and item.span.value in labels]
    if not at or items[at].span.value in labels or len(known) != 1:
        return ()
    words = [item.word for item in items]
    if words[:1] == ["new"] and "from" in words[:4]:
        return ()
    said = " ".join(words[: at + 1])
    turn = BECOMING.search(said)
    if turn is None and words[0] in PARTING and words[at - 1] in ("to", "into", "in"):
        turn = re.search(r"\w+ COHORT$", said)
    if turn is None or not NEGATIONS.isdisjoint(words) or FUTURE & set(words) - {"shall", "will"} or "shall" in words[:1]:
        return ()
    before = items[: len(said[: turn.start()].split())]
    if not {item.word for item in before} <= SMALL or "COHORT" not in {item.word for item in before}:
        return ()
    behind = items[at + 1 :]
    if not {item.word for item in behind} <= {"ENCLOSURE", "PERIOD", "now", "from", "on", "in", "the", "please"}:
        return ()
    count = record_counts.count_of(before)
    stage = next((item.span.value for item in before if item.kind == "stage"), "")
    place = next((item.span.value for item in before if item.kind == "enclosure"), "")
    when = record_days.when_of(items, nursery.now)
    draft = Draft("renamed", cohort=known[0], to=items[at].span.value, when=when, lead=items[0].raw)
    if not (isinstance(count.get("count"), int) or count.get("count") in ("half", "rest", "some", "part") or stage or place):
        return (draft,) if words[0] not in PARTING else ()
    parted = draft._replace(what="split", enclosure=place, stage=stage, **(count or {"count": "all"}))
    return tuple(record_places.parted_to(parted, [*before, items[at], *behind], len(before)))
