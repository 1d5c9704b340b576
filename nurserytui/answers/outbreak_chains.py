"""Outbreaks that follow from one another: exposed animals that show it later, elsewhere, are the same outbreak and no second one."""

from __future__ import annotations

from datetime import timedelta

from nurserytui.answers.cases import Outbreak
from nurserytui.answers.contacts import contacts
from nurserytui.answers.lineage import lineage

SLACK = timedelta(days=7)
"""How long after a watch has passed a case is still taken to come of it."""
APART = timedelta(days=400)
"""Outbreaks further apart than this are not looked at together."""


def chains(nursery, meant: list[Outbreak]) -> list[list[Outbreak]]:
    """The outbreaks in chains, each in the order of time; one that nothing links stands alone."""
    found: list[list[Outbreak]] = []
    for one in sorted(meant, key=lambda outbreak: outbreak.first):
        linked = [chain for chain in found if any(_follows(nursery, one, earlier) for earlier in chain)]
        found = [chain for chain in found if chain not in linked]
        found.append(sorted([*(each for chain in linked for each in chain), one], key=lambda outbreak: outbreak.first))
    return sorted(found, key=lambda chain: chain[0].first)


def _follows(nursery, later: Outbreak, earlier: Outbreak) -> bool:
    """Whether a case of the later outbreak is of animals that had met the earlier one, within the time in which it would show."""
    if later.kind != earlier.kind or later.first - earlier.last > APART:
        return False
    met = [contact for contact in contacts(nursery, earlier) if contact.grade != "unlikely"]
    for case in later.cases:
        if not case.cohort:
            continue
        groups = {one.group for one in lineage(nursery.ledger, case.cohort, case.mark, case.enclosure, case.last).segments}
        for contact in met:
            in_time = contact.watch_until is None or case.first <= contact.watch_until + SLACK
            if contact.group in groups and contact.since <= case.last and in_time:
                return True
    return False
