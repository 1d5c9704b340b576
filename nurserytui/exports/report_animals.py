"""What a season's report says of its animals: what they came to, cohort by cohort, how they lived, and other seasons beside them."""

from __future__ import annotations

from nurserytui.answers.season_summary import MIXED
from nurserytui.answers.survival import percent, running, span, wilson_of
from nurserytui.answers.wording import counted, day_words, number, stage_count
from nurserytui.exports.page_html import listing, paragraph, section, table, words
from nurserytui.exports.report_rates import FIGURES, figures_of, rate_cells, rate_of, rate_table, season_rates, stage_rates
from nurserytui.exports.season_values import Report, summed
from nurserytui.pages.season_text import NO_ANIMALS, day_of


def header(of: Report, title: str, now) -> str:
    """What the season came to, in words and in a few large numbers."""
    still = ", still running" if of.page.running else ""
    when = f"From {day_words(of.page.start)} to {day_words(of.page.end)}{still}. As of {day_words(now)}, {now:%H:%M}."
    parts = [f'<h1 dir="auto">{words(title)}</h1>', paragraph(when, "quiet")]
    if of.told is None:
        nothing = f"No cohort began in season {of.year}{' yet' if of.page.running else ''}, so there is little to report."
        return "\n".join([*parts, paragraph(nothing, "lead"), paragraph(NO_ANIMALS)])
    told = of.told
    lead = " ".join(one for one in (told.came, told.grown, told.survival) if one)
    rest = " ".join(one for one in (told.lost, told.before, told.open, told.limit) if one)
    return "\n".join([*parts, paragraph(lead, "lead"), paragraph(rest), _numbers(of)])


def _numbers(of: Report) -> str:
    one, adult = of.sums, of.sums.adult
    share = "no fate known yet"
    if adult.known:
        low, high = wilson_of(adult.reached, adult.known)
        early = ", too early to judge" if running(adult) else ""
        share = f"{adult.reached} of {adult.known} of known fate: {percent(adult.reached / adult.known)}, 95 % interval {span(low, high)}{early}"
    here = ", ".join(stage_count(count, stage) for stage, count in one.here.items())
    astray = one.ended["missing"] + one.ended["counted"] + one.ended["escaped"]
    gone = f"and {one.ended['given']} given away" if one.ended["given"] else ""
    cells = (
        ("came in", one.total, f"{one.came['laid']} laid here, {one.came['found']} found"),
        ("became adult", one.reached["adult"], share),
        ("released", one.ended["released"], gone),
        ("died", one.ended["died"], f"{astray} more out of sight" if astray else ""),
        ("still here", one.here.total(), here),
    )
    inside = "".join(
        f"<div><dt>{words(name)}</dt><dd>{count}</dd>{f'<dd>{words(more)}</dd>' if more else ''}</div>"
        for name, count, more in cells
    )
    return f'<dl class="figures">{inside}</dl>'


def cohorts(of: Report, figures: FIGURES) -> str:
    if not of.cohorts:
        return ""
    heads = (
        "cohort",
        "species",
        "began",
        "came in",
        "became adult",
        "died",
        "released",
        "given away",
        "out of sight",
        "here now",
    )
    rows = [(cohort.label, cohort.species, cohort.began, *_counts(cohort)) for cohort in of.cohorts]
    total = summed(of.cohorts)
    rows.append(("all", "", "", *map(str, _became(total))))
    parted = [
        f"{one.label} was parted from {one.parted}: its animals are counted where they came in."
        for one in of.cohorts
        if one.parted
    ]
    more = [f"So are those of {len(parted) - 6} other cohorts that were parted from another."] if len(parted) > 6 else []
    return section(
        "cohorts",
        "Cohorts",
        table("cohorts-table", "What became of the animals of each cohort", heads, rows, left=(0, 1, 2), total=True),
        listing([*parted[:6], *more]),
        rate_table("shares-table", "Share that became adult, by cohort", "cohort", [
            rate_of(cohort.label, cohort.sums.adult.reached, cohort.sums.adult.known, running(cohort.sums.adult))
            for cohort in of.cohorts
            if cohort.sums.total
        ]),
    )  # fmt: skip


def _became(counts) -> tuple[int, ...]:
    astray = counts["escaped"] + counts["missing"] + counts["counted"]
    return counts["came"], counts["adult"], counts["died"], counts["released"], counts["given"], astray, counts["here"]


def _counts(cohort) -> tuple[str, ...]:
    if cohort.parted and not cohort.sums.total:
        return (f"with {cohort.parted}", *[""] * 6)
    return tuple(map(str, _became(summed((cohort,)))))


def survival(of: Report, figures: FIGURES) -> str:
    if not of.page.groups:
        return ""
    stages = [(rate.label, *rate_cells(rate), row.unknown) for rate, row in zip(stage_rates(of), of.page.stages, strict=True)]
    curves = [
        (group.label, number(one.days), percent(one.alive), span(one.low, one.high), str(one.standing))
        for group in of.page.groups
        for one in group.table
    ]
    sets = [rate_of(f"{name} {one.name}", one.fates.reached, one.fates.known, one.open) for name, one in of.sets]
    return section(
        "survival",
        "Survival",
        figures_of(figures, "survival"),
        listing([f"{group.label}: {' '.join(group.words)}" for group in of.page.groups], "groups"),
        table("survival-table", "Alive by days since they came in", ("animals", "day", "alive", "95 % interval", "watched for longer"), curves, grouped=True)
        if curves
        else "",
        figures_of(figures, "stages") if "" not in figures else "",
        table("stages-table", "Stage by stage", ("from and to", "got through", "share", "95 % interval", "not counted either way"), stages, left=(0, 4))
        if stages
        else "",
        rate_table("sets-table", "Share that became adult, by what animals have in common", "animals", sets),
    )  # fmt: skip


def losses(of: Report, figures: FIGURES) -> str:
    if of.told is None:
        return ""
    died = sum(count for _, count in of.page.causes)
    rows = [(cause, str(count), percent(count / died)) for cause, count in of.page.causes]
    astray = [f"{count} {what}: fate not known, not counted as dead." for what, count in of.page.astray]
    return section(
        "losses",
        "Losses",
        table("losses-table", f"What {counted(died, 'animal')} died of", ("cause", "animals", "share"), rows)
        if rows
        else paragraph("None is recorded as dead."),
        listing([*astray, *([of.page.older] if of.page.older else [])]),
    )


def dates(of: Report, figures: FIGURES) -> str:
    rows = [(row.label, row.what, day_of(row.first), day_of(row.last), str(row.animals)) for row in of.page.dates]
    if not rows:
        return ""
    heads = ("species", "what", "first", "last", "animals")
    return section(
        "dates", "First and last dates", table("dates-table", "By the records", heads, rows, left=(0, 1, 2, 3), grouped=True)
    )


def seasons(of: Report, figures: FIGURES) -> str:
    if of.told is None:
        return ""
    rows = [
        (rate.label, str(row.came), str(row.died), str(row.adults), *rate_cells(rate))
        for rate, row in zip(season_rates(of), of.page.beside, strict=True)
    ]
    heads = ("season", "came in", "died", "became adult", "adults of known fate", "share", "95 % interval")
    if len(rows) < 2:
        return section("seasons", "Other seasons", paragraph(of.page.compared))
    return section(
        "seasons",
        "Other seasons",
        paragraph(of.page.compared),
        figures_of(figures, "seasons"),
        table("seasons-table", "Against earlier seasons", heads, rows),
        paragraph(MIXED, "quiet"),
    )
