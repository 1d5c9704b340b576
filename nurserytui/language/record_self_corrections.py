"""What a line takes back of itself: `4 hatched, no wait 3`, `another 2 B pup… sorry, another 2 C hatched`."""

from __future__ import annotations

import re

from nurserytui.language.clause import STAGES, Item
from nurserytui.language.record_verbs import best_verb

LEADS = re.compile(
    r"(?:no wait|wait no|no sorry|sorry no|no i mean|i mean|i meant|no make that|make that|make it|sorry i mean|sorry|oops|whoops|correction|"
    r"er no|um no|scratch that|scrap that|strike that|no|nope|rather|or rather|actually|wait|hang on|well actually|no actually|no only|no just)"
    r"(?: (?:it was|its|it is|that was|thats|they were|just|only|the|i mean|make that))*"
)
"""Words by which what stands in front of them is put right."""
LONGEST = 6
RIGHT = STAGES | {"NUMBER", "COHORT", "ENCLOSURE", "SPECIES", "of", "in", "the", "them", "one", "only", "not", "from"}
"""What may stand behind them where a part of what was told is put right."""


def mended(items: list[Item]) -> list[Item]:
    """The items with what the line itself puts right in its place; a question or a whole new sentence behind stays as it is."""
    for at in range(1, len(items)):
        if not items[at - 1].stop or items[at].span:
            continue
        end = _lead(items, at)
        if end == at:
            continue
        rest = items[end:]
        parts = {item.word for item in rest}
        if not rest or rest[0].word == "not":
            return items
        denied = next((place for place, item in enumerate(rest) if item.word == "not"), len(rest))
        if denied + 2 == len(rest):
            rest = [*rest[: denied - 1], rest[denied - 1]._replace(stop=rest[-1].stop)]  # `D not M`
        if parts <= RIGHT and len(rest) <= LONGEST and (changed := _put_in(items[:at], rest)):
            return changed
        if rest[0].word in ("another", "NUMBER", "all", "both", "one") and _tells(rest) and parts & {"COHORT", "SPECIES"}:
            return rest
    return items


def _lead(items: list[Item], at: int) -> int:
    """The place behind the words of putting right that begin at a place; the place itself if there are none."""
    for end in range(min(at + 6, len(items)), at, -1):
        if all(not item.span for item in items[at:end]) and LEADS.fullmatch(" ".join(item.word for item in items[at:end])):
            return end
    return at


def _put_in(before: list[Item], rest: list[Item]) -> list[Item]:
    """The items in front with each number, label or place behind in the place of the last one of its kind; [] where one has none."""
    changed = list(before)
    told = False
    for item in rest:
        if not item.span:
            continue
        at = next((place for place in range(len(changed) - 1, -1, -1) if changed[place].word == item.word), None)
        if at is None:
            return []
        if item.word == "NUMBER" and any(one.word == "NUMBER" for one in changed[:at]):
            return []  # which of several numbers is not said
        changed[at] = item._replace(stop=changed[at].stop)
        told = True
    if not told:
        return []
    changed[-1] = changed[-1]._replace(stop=rest[-1].stop)
    return changed


def _tells(rest: list[Item]) -> bool:
    return best_verb(rest, weak=False) is not None
