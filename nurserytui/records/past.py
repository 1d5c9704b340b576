"""The headcount as it stood at an earlier moment, by taking back what came after it."""

from __future__ import annotations

from datetime import datetime

from nurserytui.records.ledger import Ledger, replay
from nurserytui.records.postings import Key


def heads_at(ledger: Ledger, moment: datetime) -> dict[Key, int]:
    """The animals of each group at `moment` (local wall time, not after the ledger's own), by the labels of today.

    A date without a time counts from the start of its day.
    """
    limit = moment.isoformat(timespec="seconds")
    heads = dict(ledger.heads)
    for event, source, target, count in reversed(ledger.postings):
        if event.when[:10] < limit[:10]:
            break
        if event.when > limit:
            for key, change in ((source, count), (target, -count)):
                if key is not None:
                    heads[key] = heads.get(key, 0) + change
    if any(count < 0 for count in heads.values()):
        # A date alone stood after a clock time of its day and rests on it: only a replay tells what it could take.
        then = replay(ledger.events, until=moment)
        return {key._replace(cohort=ledger.label(key.cohort) or key.cohort): count for key, count in then.heads.items()}
    return {key: count for key, count in heads.items() if count}
