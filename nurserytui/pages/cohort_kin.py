"""How a cohort came in, and the cohorts that it has to do with: its parent and young, those split off from it and merged into it."""

from __future__ import annotations

from nurserytui.answers.fates import stage_phrase
from nurserytui.answers.told import Row, words_of
from nurserytui.answers.wording import listed
from nurserytui.pages.cohort_words import Entry, day

ENTERED = ("laid", "found")


def kin(nursery, label: str) -> tuple[Entry, ...]:
    """How it came in first, then every cohort that animals of it came from or went to, then its family by laying."""
    ledger, now = nursery.ledger, nursery.now
    known = ledger.cohorts[label]
    entries: list[Entry] = []
    came: dict[int, Row] = {}
    passed: dict[tuple, dict[str, int]] = {}
    for event, source, target, count in ledger.chronicle.of_cohort(label):
        if source is None and event.what in ENTERED:
            came.setdefault(id(event), Row(event, [])).parts.append((source, target, count))
        elif source is not None and target is not None and source.cohort != target.cohort:
            other = target.cohort if source.cohort == label else source.cohort
            stages = passed.setdefault((event.day, event.what, other, source.cohort == label), {})
            stages[target.stage] = stages.get(target.stage, 0) + count
    entries += [Entry(day(row.event.day, now), words_of(row)) for row in came.values()]
    for (when, what, other, went), stages in passed.items():
        way = (
            ("joined" if what == "merged" else "split off to")
            if went
            else ("came in from" if what == "merged" else "split off from")
        )
        entries.append(Entry(day(when, now), f"{stage_phrase(stages)} {way} {other}", leads=other))
    if known.former_labels:
        entries.append(Entry("was called", listed(known.former_labels)))
    if known.parent:
        parent = known.parent if known.parent in ledger.cohorts else ""
        entries.append(Entry("parent", f"laid by an adult of {known.parent}", leads=parent))
    for other in ledger.cohorts.values():
        if other.label == label:
            continue
        if other.parent == label:
            entries.append(Entry("young", f"{other.label} was laid by an adult of {label}", leads=other.label))
        elif known.parent and other.parent == known.parent:
            entries.append(Entry("sibling", f"{other.label} was laid by an adult of {known.parent} too", leads=other.label))
    return tuple(entries)
