"""The season on one self-contained page: what came in, what became of it, what is expected."""

from __future__ import annotations

from collections import Counter
from html import escape

from nurserytui.answers.board import board
from nurserytui.answers.comparing import sets_by
from nurserytui.answers.selection import Wanted
from nurserytui.biology import wilson
from nurserytui.records.progress import Progress, told

LEFT = ("released", "given", "died", "escaped", "missing")
STYLE = (
    "body{font:16px/1.5 Georgia,serif;max-width:62em;margin:2em auto;padding:0 1em;color:#222;background:#fffdf6}"
    "table{border-collapse:collapse;width:100%;margin:1em 0}caption{text-align:left;font-weight:bold}"
    "th,td{border-bottom:1px solid #cbbf9f;padding:.3em .6em;text-align:left;vertical-align:top}td.n{text-align:right}"
    "@media print{body{margin:0;background:#fff}}"
)


def report(nursery, progress: Progress | None = None) -> tuple[str, int]:
    """The page as HTML text (everything from the records escaped) and the number of cohorts on it."""
    fates = _fates(nursery, progress)
    place = nursery.settings.place or "The nursery"
    survival = "Survival to adult, in what animals have in common (95 % interval; seasons that still run are left out)"
    tables = (
        lambda: _table(
            "Cohorts",
            ["cohort", "species", "began", "came in", *LEFT, "here now"],
            [_fate_row(nursery, *entry) for entry in fates.items()],
        ),
        lambda: _table("What took them", ["cause", "animals"], [[cause, str(n)] for cause, n in _causes(nursery).most_common()]),
        lambda: _table(
            "Reached adult, by cohort (95 % interval)", ["cohort", "reached adult", "share", "interval"], _reached(nursery, fates)
        ),
        lambda: _table(survival, ["by", "", "reached adult", "share", "interval"], _in_common(nursery)),
        lambda: _table(
            "Expected next",
            ["cohort", "animals", "enclosure", "change", "first", "middle", "last"],
            [_expected(row) for row in board(nursery)],
        ),
    )
    parts = [
        "<!doctype html>",
        f'<html lang="en"><head><meta charset="utf-8"><title>{escape(place)}: season report</title><style>{STYLE}</style></head><body>',
        f"<h1>{escape(place)}: season report</h1>",
        f"<p>As of {nursery.now:%Y-%m-%d %H:%M}. Computed from {len(nursery.events)} events in this nursery's own records.</p>",
        *(table() for table in told(progress, tables, len(tables), "tables worked out", every=1)),
        "</body></html>",
    ]
    return "\n".join(parts) + "\n", len(fates)


def _fates(nursery, progress: Progress | None) -> dict[str, Counter]:
    fates: dict[str, Counter] = {label: Counter() for label in nursery.ledger.cohorts}
    postings = nursery.ledger.postings
    for posting in told(progress, postings, len(postings), "movements counted"):
        if posting.source is None and posting.target is not None:
            fates[posting.target.cohort][posting.event.what] += posting.count
        elif posting.target is None and posting.source is not None:
            fates[posting.source.cohort][posting.event.what] += posting.count
        elif posting.source and posting.target and posting.target.stage == "adult" != posting.source.stage:
            fates[posting.source.cohort]["adult"] += posting.count
    return fates


def _fate_row(nursery, label: str, fate: Counter) -> list[str]:
    known = nursery.ledger.cohorts[label]
    here = sum(count for _, count in nursery.heads(cohort=label))
    return [
        label,
        known.species,
        known.first_when[:10],
        str(fate["laid"] + fate["found"]),
        *(str(fate[what] or "") for what in LEFT),
        str(here),
    ]


def _causes(nursery) -> Counter:
    causes: Counter = Counter()
    for posting in nursery.ledger.postings:
        if posting.target is None and posting.source is not None and posting.event.what == "died":
            causes[posting.event.detail or "not said"] += posting.count
    return causes


def _reached(nursery, fates: dict[str, Counter]) -> list[list[str]]:
    rows = []
    for label, fate in fates.items():
        came = fate["laid"] + fate["found"]
        finished = came and not nursery.heads(cohort=label)
        if finished and fate["adult"] <= came - fate["given"]:
            low, high = wilson(fate["adult"], came - fate["given"])
            share = f"{fate['adult'] / (came - fate['given']):.0%}"
            rows.append([label, f"{fate['adult']} of {came - fate['given']}", share, f"{low:.0%} to {high:.0%}"])
    return rows


def _in_common(nursery) -> list[list[str]]:
    """Survival by source, species, host and season; the number, the rate and Wilson's interval of each."""
    rows = []
    for what, words in (("source", "came in as"), ("species", "species"), ("host", "host"), ("season", "season")):
        for one in sets_by(nursery, what, Wanted(), None, "adult"):
            fates = one.fates
            if fates.known and not one.open:
                low, high = wilson(fates.reached, fates.known)
                share = f"{fates.reached / fates.known:.0%}"
                rows.append([words, one.name, f"{fates.reached} of {fates.known}", share, f"{low:.0%} to {high:.0%}"])
    return rows


def _expected(row) -> list[str]:
    dates = [f"{moment:%Y-%m-%d}" if moment else "" for moment in (row.first, row.median, row.last)]
    return [
        row.cohort,
        f"{row.count} {row.stage}",
        row.enclosure,
        row.next_event + (" (overdue)" if row.overdue else " (resting)" if row.resting else ""),
        *dates,
    ]


def _table(caption: str, heads: list[str], rows: list[list[str]]) -> str:
    head = "".join(f'<th scope="col">{escape(text)}</th>' for text in heads)
    body = "".join("<tr>" + "".join(f"<td>{escape(str(cell))}</td>" for cell in row) + "</tr>" for row in rows)
    body = body or f'<tr><td colspan="{len(heads)}">nothing yet</td></tr>'
    return f"<table><caption>{escape(caption)}</caption><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
