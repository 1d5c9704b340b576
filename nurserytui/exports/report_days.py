"""What a season's report says of its days: the calendar of its cohorts, what is expected next, and how warm it was."""

from __future__ import annotations

from nurserytui.answers.wording import counted, number
from nurserytui.exports.page_html import paragraph, section, table, words
from nurserytui.exports.report_rates import FIGURES, figures_of
from nurserytui.exports.season_values import Report
from nurserytui.pages.calendar import counts_words, day, past_parts, wave_words
from nurserytui.pages.season_text import NO_READINGS, day_of


def calendar(of: Report, figures: FIGURES) -> str:
    rows = []
    for row in of.calendar.rows:
        coming = " ".join(
            f"{counts_words([wave])}: {wave_words(wave, of.page.now)}" if len(row.waves) > 1 else wave_words(wave, of.page.now)
            for wave in row.waves
        )
        rows.append((row.label, row.name, "; ".join(past_parts(row, of.page.now)), coming or "ended"))
    if not rows:
        return ""
    return section(
        "calendar",
        "Calendar",
        figures_of(figures, "calendar"),
        table("calendar-table", "The stages of each cohort so far, and what is to come", ("cohort", "animals", "so far", "to come"), rows, left=(0, 1, 2, 3)),
    )  # fmt: skip


def coming(of: Report, figures: FIGURES) -> str:
    rows = []
    now = of.page.now
    for row in of.calendar.rows:
        for wave in row.waves:
            change = wave.free[0] if wave.free else None
            days = (
                [day(one, now) if one else "" for one in (change.first, change.middle, change.last)] if change else ["", "", ""]
            )
            say = _next_words(wave, now)
            rows.append(
                (change.middle if change else None, (row.label, counts_words([wave]), ", ".join(row.enclosures), say, *days))
            )
    if not rows:
        return ""
    rows.sort(key=lambda pair: (pair[0] is None, pair[0] or now, pair[1][0]))
    heads = ("cohort", "animals", "where", "next", "first", "middle", "last")
    return section(
        "next",
        "Expected next",
        table("next-table", "The next change of the living animals", heads, [row for _, row in rows], left=(0, 1, 2, 3, 4, 5, 6)),
        paragraph(
            "First, middle and last are those of the animals named; of one animal they are the days between which it changes nine times in ten, "
            "and its likeliest day. What rests, and what cannot be foreseen and why, stands in the calendar.",
            "quiet",
        ),
    )


def _next_words(wave, now) -> str:
    if wave.free:
        return wave.free[0].event + (", overdue" if wave.free[0].overdue else "")
    if wave.rest is not None:
        return f"rest, a look on {day(wave.rest.until, now)}"
    return "release when fit" if wave.stage == "adult" else "cannot be forecast"


def warmth(of: Report, figures: FIGURES) -> str:
    page = of.page
    if not page.places:
        none = f"No temperature was recorded in season {page.year}."
        return section(
            "warmth", "Temperatures", paragraph(f"{none} {NO_READINGS}" if page.running else none), paragraph(page.left_out)
        )
    unit = f"°{page.unit}"
    places = [
        (
            place.name or "the room",
            number(min(one.low for one in place.days)),
            number(place.mean),
            number(max(one.high for one in place.days)),
            str(len(place.days)),
            str(place.readings),
        )
        for place in page.places
    ]
    days = [
        (place.name or "the room", day_of(one.day), number(one.low), number(one.mean), number(one.high))
        for place in page.places
        for one in place.days
    ]
    heats = [
        (f"{row.label}, {row.place or 'the room'}", number(row.total), number(row.base), str(len(row.so_far)))
        for row in page.heats
    ]
    own = [(row.cohort, number(row.total), f"{row.days} of {row.days + row.lacking}") for row in page.own]
    lacking = f"No published threshold: {', '.join(page.no_threshold)}." if page.no_threshold else ""
    return section(
        "warmth",
        "Temperatures",
        figures_of(figures, "warmth"),
        table("warmth-table", f"Temperatures in {unit} by place", ("place", "lowest", "mean", "highest", "days", "readings"), places),
        paragraph(page.left_out),
        _folded("days-table", f"Every day in {unit}", ("place", "day", "lowest", "mean", "highest"), days),
        figures_of(figures, "heat") if "" not in figures else "",
        table("heat-table", f"Degree-days so far, {unit}·d", ("species and place", f"{unit}·d", f"above {unit}", "days measured"), heats) if heats else "",
        table("own-table", "Degree-days of the living cohorts, where their animals stood", ("cohort", f"{unit}·d", "days measured"), own) if own else "",
        paragraph(lacking),
    )  # fmt: skip


def _folded(name: str, caption: str, heads, rows) -> str:
    """A long table that is opened when it is wanted; on paper it is left out, as the picture shows it."""
    summary = words(f"{caption}: {counted(len(rows), 'row')}")
    return f"<details><summary>{summary}</summary>{table(name, caption, heads, rows, grouped=True)}</details>"
