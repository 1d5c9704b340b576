"""Whether a change that a line asks for lies ahead of the keeper's animals or behind them."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from nurserytui.language.cues import Cues
from nurserytui.language.line import Line
from nurserytui.language.request import Period

AFTER = {"hatched": "hatch", "prepupated": "prepupate", "pupated": "pupate", "emerged": "emerge"}
BEFORE = {"hatch": ("egg",), "prepupate": ("larva",), "pupate": ("larva", "prepupa"), "emerge": ("pupa",)}
"""The stages of those to whom a change is still to come (`how many have yet to pupate`)."""


def to_come(event: str) -> tuple[str, ...]:
    """The stages of those to whom a change, or what happened to others, is still to come."""
    return BEFORE.get(AFTER.get(event, event), ())


PAST = frozenset(("past", "aux-past", "when-did", "did-i", "did-they", "any", "went-past", "ev-perfect", "how-many"))
"""Cues of lines that ask for what was, not for a date."""


def to_come_yet(event: str, cohorts: list[str], line: Line, cues: Cues, nursery) -> bool:
    """Whether a change asked for (`cab-2 hatch date`) has not happened to any of those meant, and is still to come."""
    if event not in AFTER or not PAST.isdisjoint(cues.names):
        return False
    ledger = nursery.ledger
    if not cohorts:
        named = {name for span in line.of("species", "plant") for name in span.value.names}
        living = {key.cohort for key, count in ledger.heads.items() if count}
        cohorts = [one for one in living if not named.isdisjoint((ledger.cohorts[one].species, ledger.cohorts[one].host))]
    waiting = any(n and key.cohort in cohorts and key.stage in to_come(event) for key, n in ledger.heads.items())
    return waiting and not any(posting.event.what == event for label in cohorts for posting in ledger.chronicle.of_cohort(label))


AHEAD = frozenset(("will", "due", "next", "until", "ask-do", "how-long", "not-yet", "to-go", "if"))
"""Cues of lines that ask for a date to come."""


def first_was(event: str, cohorts: list[str], cues: Cues, nursery) -> bool:
    """Whether the first of a cohort is asked for, where that change has begun: it lies in the past (`first butterfly out of D when`)."""
    done = next((what for what, change in AFTER.items() if change == event), "")
    if not done or not cohorts or "first" not in cues.names or not AHEAD.isdisjoint(cues.names):
        return False
    chronicle = nursery.ledger.chronicle
    return all(any(posting.event.what == done for posting in chronicle.of_cohort(label)) for label in cohorts)


WEEKDAY = re.compile(
    r"(?:on |for |this )?(?:mon|tues|wednes|thurs|fri|satur|sun)day(?:'?s)?|(?:on )?(?:mon|tues?|weds?|thurs?|fri|sat|sun)"
)
LOOKING_BACK = re.compile(r"\b(?:last|did|done|was|were|forg[eo]t\w*|miss\w*|happen\w*)\b")
WEEK = timedelta(days=7)


def coming(period: Period | None, topic: str, line: Line, now: datetime) -> Period | None:
    """The period, or where work is asked about of a weekday alone (`Monday's jobs`), that day of the days to come."""
    over = period is not None and topic == "round" and period.end < now and WEEKDAY.fullmatch(period.said.casefold())
    return (
        period._replace(start=period.start + WEEK, end=period.end + WEEK)
        if over and not LOOKING_BACK.search(line.plain)
        else period
    )


SEXES = re.compile(r"\b(?:fe)?males?\b|\bgirls?\b|\bboys?\b")
NOW = re.compile(r"\b(?:still|left|now|remain\w*|alive)\b")


def sexes_gone(line: Line, cohorts: list[str]) -> bool:
    """Whether the males or females of cohorts are counted (`how many A were female`): only what was released tells."""
    return bool(cohorts and SEXES.search(line.plain)) and not NOW.search(line.plain)
