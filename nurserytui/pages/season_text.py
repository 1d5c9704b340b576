"""A season as lines of text: every number that the plots show, in tables no wider than told."""

from __future__ import annotations

import textwrap
from datetime import date

from nurserytui.answers.survival import percent, span
from nurserytui.answers.wording import counted, number
from nurserytui.pages.table import Heading, clean, table

WIDTH = 80
MOST = 25
"""Rows that a table is cut to."""
NO_ANIMALS = "Write down the first ones as you would say it, for example: found 3 monarch eggs on milkweed in tub 1"
NO_READINGS = "Write one down, for example: temperature in tub 1 24 C. A logger's file of readings can be imported."
EARLY = "; too early to judge"
SECTIONS = ("animals", "survival", "losses", "warmth", "heat")
TITLES = {
    "animals": "Animals",
    "survival": "Survival",
    "losses": "Losses",
    "warmth": "Warmth",
    "heat": "Degree-days",
}
BRIEF = {"animals": "Came", "survival": "Alive", "losses": "Lost", "warmth": "Warm", "heat": "Heat"}
"""The same where there is little room."""


def plain(page) -> list[str]:
    """All of the season, section by section."""
    lines = [head(page)]
    if page.strange:
        lines += wrapped(f"“{page.strange}” is neither a species nor a cohort of season {page.year}: this is all of it.", WIDTH)
    others = [str(year) for year in page.seasons if year != page.year]
    if others:
        lines += wrapped(f"Other seasons: {', '.join(others)}.", WIDTH)
    for name in SECTIONS:
        lines += ["", TITLES[name].upper(), *section(page, name, WIDTH)]
        if name == "survival":
            for group in page.groups[1:]:
                lines += ["", *curve_lines(group, WIDTH)]
        if name == "warmth":
            for place in page.places:
                lines += ["", *days_lines(page, place, WIDTH)]
        if name == "heat":
            for row in (one for one in page.heats if len(one.so_far) > 2):
                lines += ["", *sums_lines(page, row, WIDTH)]
    return lines


def head(page) -> str:
    """Which season of what, and as of when."""
    still = f", still running on {day_of(page.now.date())}" if page.running else ""
    return clean(f"Season {page.year}{still}: {page.title}")


def section(page, name: str, width: int, at: int = 0) -> list[str]:
    """The numbers of one section; `at` is the group, place or sum that stands in front in it."""
    return {"animals": _animals, "survival": _survival, "losses": _losses, "warmth": _warmth, "heat": _heat}[name](
        page, width, at
    )


# Animals -------------------------------------------------------------------------------------------------------------------


def _animals(page, width: int, at: int) -> list[str]:
    if page.empty:
        return wrapped(f"Nothing came in in season {page.year}{' yet' if page.running else ''}. {NO_ANIMALS}", width)
    laid, found = sum(row.laid for row in page.came), sum(row.found for row in page.came)
    lines = wrapped(f"{counted(laid + found, 'animal')} handled: {laid} laid here, {found} found.", width)
    if page.limit is not None:
        lines += wrapped(f"Your limit for the season: {page.limit}.", width)
    rows = [(row.label, str(row.laid + row.found), str(row.laid), str(row.found)) for row in page.came]
    lines += table(cut(rows), width, head=("", "all", "laid", "found"))
    lines += wrapped(page.open, width)
    if page.dates:
        lines += ["", *titled("First and last dates", width), *_dates(page, width)]
    if len(page.beside) > 1:
        rows = [
            (f"{row.year} {row.when}".strip(), str(row.came), str(row.died), str(row.adults), _share(row)) for row in page.beside
        ]
        lines += ["", *titled("Against earlier seasons", width)]
        lines += table(rows, width, head=("season", "in", "died", "emerged", "got to adult"))
    return [*lines, *wrapped(page.compared, width)]


def _share(row) -> str:
    share = "too early" if row.early else percent(row.reached / row.known) if row.known else ""
    return f"{row.reached} of {row.known} ({share})" if row.known else "none known yet"


def _dates(page, width: int) -> list[str]:
    lines, who = [], ""
    for row in page.dates:
        if row.label != who:
            who = row.label
            lines += wrapped(who, width)
        days = day_of(row.first) if row.first == row.last else f"{day_of(row.first)} to {day_of(row.last)}"
        lines += wrapped(f"  {row.what}: {days} ({row.animals})", width)
    return lines


# Survival ------------------------------------------------------------------------------------------------------------------


def _survival(page, width: int, at: int) -> list[str]:
    if not page.groups:
        return wrapped(f"No animals of season {page.year} to follow{' yet' if page.running else ''}. {NO_ANIMALS}", width)
    lines = curve_lines(page.groups[min(at, len(page.groups) - 1)], width)
    rows = [
        (
            f"{row.first} to {row.last}",
            percent(row.share) if row.share is not None else "unknown",
            f"{row.reached} of {row.known}" if row.known else "none",
            span(row.low, row.high) if row.share is not None else "",
        )
        for row in page.stages
    ]
    lines += ["", *titled("Stage by stage", width), *table(rows, width, head=("", "share", "of known", "95 % interval"))]
    for row in page.stages:
        if row.unknown:
            lines += wrapped(
                f"{row.first} to {row.last}, not counted either way: {row.unknown}{EARLY if row.early and row.known else ''}.",
                width,
            )
    return lines


def curve_lines(group, width: int) -> list[str]:
    """The curve of a group as a short table, and what can be said of it."""
    lines = titled(f"Alive by days since coming in: {group.label}", width)
    rows = [(number(one.days), percent(one.alive), span(one.low, one.high), str(one.standing)) for one in group.table]
    if rows:
        lines += table(rows, width, head=("day", "alive", "95 % interval", "at risk"), left=())
    for words in group.words:
        lines += wrapped(words, width)
    return lines


# Losses --------------------------------------------------------------------------------------------------------------------


def _losses(page, width: int, at: int) -> list[str]:
    died = sum(count for _, count in page.causes)
    if page.empty:
        return wrapped(f"No animals came in in season {page.year}, so none was lost.", width)
    if not died:
        lines = wrapped(
            f"None of season {page.year} has died by the records. A death is noted by, for example: one A died, drowned", width
        )
    else:
        lines = wrapped(f"{died} died.", width)
        rows = [(cause, str(count), percent(count / died)) for cause, count in page.causes]
        lines += table(cut(rows), width, head=("cause", "animals", "share"))
    for what, count in page.astray:
        lines += wrapped(f"{count} {what}: fate not known, not counted as dead.", width)
    return [*lines, *wrapped(page.older, width)]


# Warmth --------------------------------------------------------------------------------------------------------------------


def _warmth(page, width: int, at: int) -> list[str]:
    if not page.places:
        return [
            *wrapped(f"No temperature was recorded in season {page.year}. {NO_READINGS}", width),
            *wrapped(page.left_out, width),
        ]
    rows = [
        (
            place.name or "the room",
            number(min(day.low for day in place.days)),
            number(place.mean),
            number(max(day.high for day in place.days)),
            str(len(place.days)),
            str(place.readings),
        )
        for place in page.places
    ]
    return [
        *titled(f"Temperatures in °{page.unit}", width),
        *table(cut(rows), width, head=("place", "low", "mean", "high", "days", "readings")),
        *wrapped(page.left_out, width),
    ]


def days_lines(page, place, width: int) -> list[str]:
    """The days of a place: lowest, mean and highest; the newest of them where they are many."""
    days = place.days[-MOST:]
    today = page.now.date()
    rows = [
        (f"{day_of(day.day)}{' so far' if day.day == today else ''}", number(day.low), number(day.mean), number(day.high))
        for day in days
    ]
    more = f", the last {MOST} of {len(place.days)} days measured" if len(place.days) > MOST else ""
    return [
        *titled(f"{place.name or 'the room'}, °{page.unit} by day{more}", width),
        *table(rows, width, head=("day", "low", "mean", "high")),
    ]


# Degree-days ---------------------------------------------------------------------------------------------------------------


def _heat(page, width: int, at: int) -> list[str]:
    unit = f"°{page.unit}·d"
    lines = []
    if not page.places:
        lines = wrapped(f"No temperature was recorded in season {page.year}, so there are no degree-days. {NO_READINGS}", width)
    elif not page.heats:
        lines = wrapped("No species here has a published threshold above which to count.", width)
    else:
        rows = [
            (f"{row.label}, {row.place or 'the room'}", number(row.total), number(row.base), str(len(row.so_far)))
            for row in page.heats
        ]
        lines = [
            *titled(f"Degree-days so far, {unit}", width),
            *table(cut(rows), width, head=("", unit, f"above °{page.unit}", "days")),
            *wrapped("Days without readings are left out, not guessed: the true sums are higher.", width),
        ]
    if page.own:
        rows = [(row.cohort, number(row.total), f"{row.days} of {row.days + row.lacking}") for row in page.own]
        lines += ["", *titled("Cohorts alive, where their animals stood", width)]
        lines += table(cut(rows), width, head=("cohort", unit, "days measured"))
    if page.no_threshold:
        lines += wrapped(f"No published threshold: {', '.join(page.no_threshold)}.", width)
    return lines


def sums_lines(page, row, width: int) -> list[str]:
    """The sum of a species in a place at a few of the days measured."""
    step = max(1, -(-len(row.so_far) // 6))
    shown = row.so_far[::-1][::step][::-1]
    return [
        *titled(f"{row.label} in {row.place or 'the room'}, above {number(row.base)} °{page.unit}", width),
        *table([(day_of(day), number(total)) for day, total in shown], width, head=("by the end of", f"°{page.unit}·d")),
    ]


# Lines ---------------------------------------------------------------------------------------------------------------------


def day_of(day: date | str) -> str:
    """`2026-06-18`, as everywhere a date is read by many."""
    return str(day)[:10]


def cut(rows: list[tuple[str, ...]]) -> list[tuple[str, ...]]:
    """The first rows of a long table, and how many more there are."""
    if len(rows) <= MOST + 1:
        return rows
    return [*rows[:MOST], (f"and {len(rows) - MOST} more", *[""] * (len(rows[0]) - 1))]


def titled(text: str, width: int) -> list[str]:
    """A heading, in lines like a sentence."""
    return [Heading(line) for line in wrapped(text, width)]


def wrapped(text: str, width: int) -> list[str]:
    """A sentence in lines of at most so many cells; "" is no line."""
    from rich.cells import cell_len, chop_cells

    lines: list[str] = []
    for piece in textwrap.wrap(
        clean(text), width, subsequent_indent=" " * (len(text) - len(text.lstrip())), break_on_hyphens=False
    ):
        lines += [piece] if cell_len(piece) <= width else chop_cells(piece, width)
    return lines
