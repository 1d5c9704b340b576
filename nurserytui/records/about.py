"""All that the ledger holds about one cohort: what was worked out for it holds until this changes, whatever is written of others."""

from __future__ import annotations


def about(ledger, cohort: str) -> tuple:
    """What the records say of a cohort and of those that animals of it came from or went to; equal for as long as that is the same.

    The first part names the enclosures that those animals stood in.
    """
    kept = ledger.__dict__.get("_about")
    if kept is None:
        kept = ledger.__dict__["_about"] = _sorted_out(ledger)
    rows, kin = kept
    family, waiting = {cohort}, [cohort]
    while waiting:
        for other in kin.get(waiting.pop(), ()):
            if other not in family:
                family.add(other)
                waiting.append(other)
    names = sorted(family)
    places: dict[str, None] = {}
    for name in names:
        for row in rows.get(name, ()):
            for key in row[1:3]:
                if key is not None:
                    places[key.enclosure] = None
    return tuple(places), *((name, ledger.cohorts.get(name), rows.get(name)) for name in names)


def _sorted_out(ledger) -> tuple[dict[str, list[tuple]], dict[str, set[str]]]:
    """The postings and looks of each cohort, and which cohorts gave animals to which."""
    rows: dict[str, list[tuple]] = {}
    kin: dict[str, set[str]] = {}
    for event, source, target, count in ledger.postings:
        row = (event.id, source, target, count)
        both = {key.cohort for key in (source, target) if key is not None}
        for cohort in both:
            rows.setdefault(cohort, []).append(row)
            if len(both) > 1:
                kin.setdefault(cohort, set()).update(both)
    for _, event, cohort, place, mark in ledger._looks:
        rows.setdefault(cohort, []).append((event.id, None, None, place, mark))
    return rows, kin
