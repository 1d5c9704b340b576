"""All that answers rest on, of one nursery, as plain values that can be compared with those of another."""

from __future__ import annotations

from datetime import datetime, timedelta

from nurserytui.answers.cases import outbreaks
from nurserytui.answers.contacts import contacts
from nurserytui.answers.fates import between
from nurserytui.answers.selection import Wanted
from nurserytui.answers.stays import trace
from nurserytui.answers.tasks import tasks
from nurserytui.records.events import STAGES


def ledger_of(nursery):
    ledger = nursery.ledger
    labels = list(ledger.cohorts)
    return {
        "now": nursery.now,
        "heads": ledger.heads,
        "lost": ledger.lost,
        "missing": ledger.missing,
        "cohorts": ledger.cohorts,
        "enclosures": ledger.enclosures,
        "events": ledger.events,
        "postings": ledger.postings,
        "faults": ledger.faults,
        "settings": nursery.settings,
        "next label": ledger.next_label(),
        "labels": {name: ledger.label(name) for label in labels for name in (label, *ledger.cohorts[label].former_labels)},
        "looks": {label: ledger.looks(label) for label in labels},
        "entries": {(label, stage): ledger.entries(label, stage) for label in labels for stage in STAGES},
        "changes": {(label, stage): ledger.changes(label, stage) for label in labels for stage in STAGES},
    }


def sums_of(nursery):
    ledger = nursery.ledger
    sets = [Wanted(), *(Wanted(cohorts=(label,)) for label in ledger.cohorts)]
    sets += [Wanted(species=(name,)) for name in sorted({cohort.species for cohort in ledger.cohorts.values()})]
    stays, moves = trace(ledger)
    found = {
        "survival": [between(nursery, want, origin, "adult") for want in sets for origin in (None, "egg")],
        "stays": sorted(stays, key=repr),
        "moves": moves,
        "outbreaks": outbreaks(nursery),
        "contacts": [contacts(nursery, outbreak) for outbreak in outbreaks(nursery)],
    }
    for days in (0, 4):
        until = datetime.combine(nursery.now.date(), datetime.max.time()) + timedelta(days=days)
        found[f"tasks {days}"] = sorted(tasks(nursery, until), key=repr)
    return found
