"""Numbers of a line that may not be what the drafts took them for: one that none of them took, and one that is the label of a cohort."""

from __future__ import annotations

import re

from nurserytui.language.draft import Draft
from nurserytui.language.record_counts import numbers_in

COUNTED = frozenset("hatched moulted prepupated pupated emerged moved split died released escaped given missing returned".split())
"""Events that happen to so many animals."""
SHARE = re.compile(r"(\d{1,3})/(\d{1,3})")

LETTER = re.compile(r"\d+ [CF]")
FEW = 12
"""So many animals that are told of in one line; a nursery is seldom as cold."""


def passed_over(items, found: tuple[Draft, ...], guessed: bool = False) -> bool:
    """Whether a line gives a number of animals while an event in it is told of animals that nothing counts (`B emerged: 1, f`), or any other
    number where the events are only `guessed` from the words."""
    uncounted = any(draft.what in COUNTED and draft.count is None and not draft.mark for draft in found)
    if not uncounted and not (guessed and all(draft.what in COUNTED for draft in found)):
        return False
    taken = {number for draft in found for number in (draft.count, draft.instar, draft.less)}
    said = {number for _, number, _ in numbers_in(items) if number > 0}
    said |= {int(item.span.value.value) for item in items if _of_a_letter(item)}
    said |= {int(share[1]) for item in items if item.word == "NUMBER" and (share := SHARE.fullmatch(item.raw))}
    return bool(said - taken)


def _of_a_letter(item) -> bool:
    """Whether what was read as a temperature may be so many of a cohort (`flew off: 2 C`)."""
    amount = item.span.value if item.kind == "amount" else None
    few = amount is not None and amount.kind == "temperature" and 0 < amount.value <= FEW
    return few and bool(LETTER.fullmatch(item.raw))


def may_be_label(items, found: tuple[Draft, ...], ledger) -> bool:
    """Whether the only number of a line counts animals of which nothing else is said, and is also the label of a cohort that has animals
    (`12 hatched`)."""
    if len(found) != 1 or not isinstance(found[0].count, int) or found[0].what not in COUNTED:
        return False
    draft, label = found[0], str(found[0].count)
    said = draft.cohort or draft.species or draft.stage or draft.refers or draft.enclosure
    return (
        not said
        and any(item.raw == label for item in items)
        and any(key.cohort == label for key, held in ledger.heads.items() if held)
    )
