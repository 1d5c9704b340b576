"""A typed line as spans: the readers of numbers, dates, labels and names propose, and the longest and surest reading wins."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Any

from nurserytui.language import labels, measures, names
from nurserytui.language.dates import Calendar
from nurserytui.language.line import Line, Span
from nurserytui.language.normalise import said
from nurserytui.language.reading import Proposal, Reading
from nurserytui.language.vocabulary import Vocabulary


def scan(text: str, vocabulary: Vocabulary, now: datetime, settings: Any) -> Line:
    """Cut a line into tokens and the spans that mean something. Never raises, whatever the text; spans do not overlap."""
    line = Reading(text, vocabulary, now, settings)
    measured = list(measures.proposals(line))
    proposed = [*labels.proposals(line), *measured, *names.proposals(line), *_dates(line, measured)]
    spans = tuple(
        Span(
            chosen.first,
            chosen.last,
            chosen.kind,
            _with_words(chosen, line),
            said(line.text, line.tokens, chosen.first, chosen.last),
        )
        for chosen in _best(proposed)
    )
    return Line(line.text, " ".join(line.words), line.tokens, spans)


def _dates(line: Reading, measured: list[Proposal]) -> Iterator[Proposal]:
    """The dates and times. Figures that can be a ratio or any other measure (`2 litres at 1:75`) are no time that does not exist, and a
    part of a measure (`in 1/4 cup`) is no day."""
    measures_at = {at for one in measured if one.kind == "amount" for at in range(one.first, one.last + 1)}
    settings = line.settings
    start = getattr(settings, "season_start", None)
    calendar = Calendar(
        line.words,
        line.now,
        "auto",
        str(getattr(settings, "dates", "") or "day").startswith("m"),
        start if isinstance(start, int) and 1 <= start <= 12 else 1,
        line.clauses,
        bool(getattr(settings, "dates", "")),
        (getattr(settings, "latitude", None) or 0) < 0,
    )
    at = 0
    while at < len(line):
        try:
            found = calendar.at(at)
        except (OverflowError, ValueError):  # beyond the calendar's first or last year
            found = None
        if found is None:
            at += 1
            continue
        bad = found.period is None
        figures = line.word(found.last)
        mixed = measures.mixing(line) and (found.last == at or "1" in figures.split(":"))
        broken = "/" in figures and found.last in measures_at
        if not (broken or (bad and ":" in figures and (mixed or found.last in measures_at))):
            yield Proposal(at, found.last, "bad-date" if bad else "period", found.period, 2)
        at = found.last + 1


def _best(proposed: list[Proposal]) -> list[Proposal]:
    """Proposals that do not overlap: longer ones first, then by rank, then the surer."""
    taken: set[int] = set()
    chosen = []
    for each in sorted(proposed, key=lambda each: (each.first - each.last, each.rank, -each.sure, each.first)):
        places = range(each.first, each.last + 1)
        if taken.isdisjoint(places):
            taken.update(places)
            chosen.append(each)
    return sorted(chosen, key=lambda each: each.first)


def _with_words(proposal: Proposal, line: Reading) -> Any:
    """The value of a span, with the words it was read from where its type holds them."""
    words = said(line.text, line.tokens, proposal.first, proposal.last)
    if proposal.kind in ("amount", "period"):
        return proposal.value._replace(said=words)
    return words if proposal.kind == "bad-date" else proposal.value
