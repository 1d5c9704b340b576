"""Which of the kept copies may go, by the rule. Counts copies and never ages, so that a clock that was wrong takes nothing away."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from datetime import datetime

from nurserytui.records.backups.rule import NEWEST, SAFEGUARDS, Rule

SPANS: dict[str, Callable[[datetime], Hashable]] = {
    "days": lambda moment: moment.date(),
    "weeks": lambda moment: moment.isocalendar()[:2],
    "months": lambda moment: (moment.year, moment.month),
    "years": lambda moment: moment.year,
}
"""What the rule counts -> in which of them a moment lies."""
ORDINARY = ("daily", "asked", "before-import")


def going(copies: Sequence[tuple[datetime, str]], rule: Rule, now: datetime) -> set[int]:
    """The places in `copies` (moment, why) of those that may go.

    Of each span that the rule counts, the newest copy stays in as many of the latest such spans as have one. The newest ones stay, those
    before a restore or a migration are counted apart, and those dated after `now` stay and count for nothing.
    """
    if not rule.on:
        return set()
    past = sorted(
        (at for at, (moment, _) in enumerate(copies) if moment <= now), key=lambda at: (copies[at][0], at), reverse=True
    )
    ordinary = [at for at in past if copies[at][1] in ORDINARY]
    staying = {*ordinary[:NEWEST]}
    for name, span in SPANS.items():
        latest: dict[Hashable, int] = {}
        for at in ordinary:
            latest.setdefault(span(copies[at][0]), at)
        count = getattr(rule, name)
        staying.update([*latest.values()][:count])
    for why in {copies[at][1] for at in past} - {*ORDINARY}:
        staying.update([at for at in past if copies[at][1] == why][:SAFEGUARDS])
    return {*past} - staying
