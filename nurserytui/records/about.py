"""All that the ledger holds about one cohort: what was worked out for it holds until this changes, whatever is written of others."""

from __future__ import annotations


def about(ledger, cohort: str) -> tuple:
    """What the records say of a cohort and of those that animals of it came from or went to; equal for as long as that is the same.

    The first part names the enclosures that those animals stood in.
    """
    chronicle = ledger.chronicle
    names = sorted(chronicle.family(cohort))
    places: dict[str, None] = {}
    rows: dict[str, list[tuple]] = {}
    for name in names:
        postings = chronicle.of_cohort(name)
        rows[name] = [(event.id, source, target, count) for event, source, target, count in postings]
        rows[name] += [(event.id, place, mark) for _, event, _, place, mark in chronicle.looks_at(name)]
        for posting in postings:
            for key in (posting.source, posting.target):
                if key is not None:
                    places[key.enclosure] = None
    return tuple(places), *((name, ledger.cohorts.get(name), rows[name]) for name in names)
