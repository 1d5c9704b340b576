"""Shares of animals and drawn pictures, as all parts of a season's report show them."""

from __future__ import annotations

from nurserytui.answers.survival import percent, span, wilson_of
from nurserytui.answers.wording import listed
from nurserytui.exports.page_html import paragraph, table
from nurserytui.exports.season_values import Report
from nurserytui.exports.survival_picture import Rate

DRAWN = 30
"""Seasons in one picture."""
NAMED = 12
"""Cohorts that are named one by one."""
FIGURES = dict[str, str]
"""Name of a picture -> its figure; "" -> that none could be drawn."""


def stage_rates(of: Report) -> list[Rate]:
    return [
        Rate(f"{row.first} to {row.last}", row.reached, row.known, row.share, row.low, row.high, row.early)
        for row in of.page.stages
    ]


def season_rates(of: Report) -> list[Rate]:
    return [rate_of(f"{row.year} {row.when}".strip(), row.reached, row.known, row.early) for row in of.page.beside]


def seasons_drawn(of: Report) -> list[Rate]:
    """Each season once, as it is now; how earlier ones stood by the same date stands in the table."""
    rates = zip(season_rates(of), of.page.beside, strict=True)
    return [rate for rate, row in rates if row.year == of.year or not row.when][:DRAWN]


def rate_of(label: str, reached: int, known: int, early: bool) -> Rate:
    if not known:
        return Rate(label, reached, known, None, 0.0, 1.0, early)
    return Rate(label, reached, known, reached / known, *wilson_of(reached, known), early)


def rate_cells(rate: Rate) -> tuple[str, str, str]:
    """`45 of 60`, `75 %`, `63-84 %`"""
    if rate.share is None:
        return "none known yet", "", ""
    early = " (too early to judge)" if rate.early else ""
    return f"{rate.reached} of {rate.known}", f"{percent(rate.share)}{early}", span(rate.low, rate.high)


def rate_table(name: str, caption: str, what: str, rates: list[Rate]) -> str:
    """Shares as a table, and how many more have none yet."""
    known = [(rate.label, *rate_cells(rate)) for rate in rates if rate.share is not None]
    rest = [rate.label for rate in rates if rate.share is None]
    whom = listed(rest) if len(rest) <= NAMED else f"{len(rest)} of {len(rates)}"
    more = f"No fate on the way to adult is known yet of {whom}." if rest else ""
    shown = table(name, caption, (what, "reached adult", "share", "95 % interval"), known) if known else ""
    return "\n".join(part for part in (shown, paragraph(more, "quiet")) if part)


def figures_of(figures: FIGURES, begins: str) -> str:
    """The pictures of those names; where none could be drawn, that."""
    found = [text for name, text in figures.items() if name.startswith(begins) and name]
    return "\n".join(found) or figures.get("", "")
