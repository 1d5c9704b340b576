"""The parts of a season's report, each from its values and its drawn pictures."""

from __future__ import annotations

from nurserytui.answers.season_summary import MIXED
from nurserytui.answers.survival import percent, running, span, wilson_of
from nurserytui.answers.wording import counted, day_words, listed, number, stage_count
from nurserytui.exports import calendar_picture, survival_picture, warmth_picture
from nurserytui.exports.page_html import listing, paragraph, section, table, words
from nurserytui.exports.picture import Picture
from nurserytui.exports.season_values import Report, summed
from nurserytui.exports.survival_picture import Rate
from nurserytui.pages.calendar import counts_words, day, past_parts, wave_words
from nurserytui.pages.season_text import NO_ANIMALS, NO_READINGS, day_of

SMALL = 10
"""Animals of known fate below which a share is called a small number."""
DRAWN = 30
"""Seasons in one picture."""
NAMED = 12
"""Cohorts that are named one by one."""
FIGURES = dict[str, str]


# The pictures --------------------------------------------------------------------------------------------------------------


def pictures_of(of: Report) -> list[Picture]:
    """All pictures of the report, each with a name of its own."""
    found = [
        survival_picture.curves(of.page),
        survival_picture.shares("stages", "Share that got through, stage by stage", _stage_rates(of), _INTERVALS)
        if of.page.stages
        else None,
        *calendar_picture.pictures(of.calendar, of.year),
        *warmth_picture.days(of.page),
        warmth_picture.heat(of.page),
        survival_picture.shares("seasons", "Share that became adult, by season", _seasons_drawn(of), _INTERVALS)
        if len(of.page.beside) > 1
        else None,
    ]
    return [one for one in found if one is not None]


_INTERVALS = (
    "The dot is the share of the animals of known fate, the line its 95 % interval. A hollow dot on a broken line is of animals most of whose "
    "story is still to come."
)


def _stage_rates(of: Report) -> list[Rate]:
    return [
        Rate(f"{row.first} to {row.last}", row.reached, row.known, row.share, row.low, row.high, row.early)
        for row in of.page.stages
    ]


def _season_rates(of: Report) -> list[Rate]:
    return [_rate(f"{row.year} {row.when}".strip(), row.reached, row.known, row.early) for row in of.page.beside]


def _seasons_drawn(of: Report) -> list[Rate]:
    """Each season once, as it is now; how earlier ones stood by the same date stands in the table."""
    rates = zip(_season_rates(of), of.page.beside, strict=True)
    return [rate for rate, row in rates if row.year == of.year or not row.when][:DRAWN]


def _rate(label: str, reached: int, known: int, early: bool) -> Rate:
    if not known:
        return Rate(label, reached, known, None, 0.0, 1.0, early)
    return Rate(label, reached, known, reached / known, *wilson_of(reached, known), early)


def _rate_cells(rate: Rate) -> tuple[str, str, str]:
    """`45 of 60`, `75 %`, `63-84 %`"""
    if rate.share is None:
        return "none known yet", "", ""
    early = " (too early to judge)" if rate.early else ""
    return f"{rate.reached} of {rate.known}", f"{percent(rate.share)}{early}", span(rate.low, rate.high)


def _rates(name: str, caption: str, what: str, rates: list[Rate]) -> str:
    """Shares as a table, and how many more have none yet."""
    known = [(rate.label, *_rate_cells(rate)) for rate in rates if rate.share is not None]
    rest = [rate.label for rate in rates if rate.share is None]
    whom = listed(rest) if len(rest) <= NAMED else f"{len(rest)} of {len(rates)}"
    more = f"No fate on the way to adult is known yet of {whom}." if rest else ""
    shown = table(name, caption, (what, "reached adult", "share", "95 % interval"), known) if known else ""
    return "\n".join(part for part in (shown, paragraph(more, "quiet")) if part)


def _figures(figures: FIGURES, begins: str) -> str:
    """The pictures of those names; where none could be drawn, that."""
    found = [text for name, text in figures.items() if name.startswith(begins) and name]
    return "\n".join(found) or figures.get("", "")


# The parts -----------------------------------------------------------------------------------------------------------------


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


def _cohorts(of: Report, figures: FIGURES) -> str:
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
        _rates("shares-table", "Share that became adult, by cohort", "cohort", [
            _rate(cohort.label, cohort.sums.adult.reached, cohort.sums.adult.known, running(cohort.sums.adult))
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
    return tuple(str(count) if count else "" for count in _became(summed((cohort,))))


def _survival(of: Report, figures: FIGURES) -> str:
    if not of.page.groups:
        return ""
    stages = [(rate.label, *_rate_cells(rate), row.unknown) for rate, row in zip(_stage_rates(of), of.page.stages, strict=True)]
    curves = [
        (group.label, number(one.days), percent(one.alive), span(one.low, one.high), str(one.standing))
        for group in of.page.groups
        for one in group.table
    ]
    sets = [_rate(f"{name} {one.name}", one.fates.reached, one.fates.known, one.open) for name, one in of.sets]
    return section(
        "survival",
        "Survival",
        _figures(figures, "survival"),
        listing([f"{group.label}: {' '.join(group.words)}" for group in of.page.groups], "groups"),
        table("survival-table", "Alive by days since they came in", ("animals", "day", "alive", "95 % interval", "watched for longer"), curves, grouped=True)
        if curves
        else "",
        _figures(figures, "stages") if "" not in figures else "",
        table("stages-table", "Stage by stage", ("from and to", "got through", "share", "95 % interval", "not counted either way"), stages, left=(0, 4))
        if stages
        else "",
        _rates("sets-table", "Share that became adult, by what animals have in common", "animals", sets),
    )  # fmt: skip


def _calendar(of: Report, figures: FIGURES) -> str:
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
        _figures(figures, "calendar"),
        table("calendar-table", "The stages of each cohort so far, and what is to come", ("cohort", "animals", "so far", "to come"), rows, left=(0, 1, 2, 3)),
    )  # fmt: skip


def _warmth(of: Report, figures: FIGURES) -> str:
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
        _figures(figures, "warmth"),
        table("warmth-table", f"Temperatures in {unit} by place", ("place", "lowest", "mean", "highest", "days", "readings"), places),
        paragraph(page.left_out),
        _folded("days-table", f"Every day in {unit}", ("place", "day", "lowest", "mean", "highest"), days),
        _figures(figures, "heat") if "" not in figures else "",
        table("heat-table", f"Degree-days so far, {unit}·d", ("species and place", f"{unit}·d", f"above {unit}", "days measured"), heats) if heats else "",
        table("own-table", "Degree-days of the living cohorts, where their animals stood", ("cohort", f"{unit}·d", "days measured"), own) if own else "",
        paragraph(lacking),
    )  # fmt: skip


def _folded(name: str, caption: str, heads, rows) -> str:
    """A long table that is opened when it is wanted; on paper it is left out, as the picture shows it."""
    summary = words(f"{caption}: {counted(len(rows), 'row')}")
    return f"<details><summary>{summary}</summary>{table(name, caption, heads, rows, grouped=True)}</details>"


def _losses(of: Report, figures: FIGURES) -> str:
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


def _next(of: Report, figures: FIGURES) -> str:
    rows = []
    now = of.page.now
    for row in of.calendar.rows:
        for wave in row.waves:
            change = wave.free[0] if wave.free else None
            days = (
                [day(one, now) if one else "" for one in (change.first, change.middle, change.last)] if change else ["", "", ""]
            )
            say = (
                change.event + (", overdue" if change.overdue else "")
                if change
                else "release"
                if wave.stage == "adult"
                else "no date"
            )
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


def _dates(of: Report, figures: FIGURES) -> str:
    rows = [(row.label, row.what, day_of(row.first), day_of(row.last), str(row.animals)) for row in of.page.dates]
    if not rows:
        return ""
    heads = ("species", "what", "first", "last", "animals")
    return section(
        "dates", "First and last dates", table("dates-table", "By the records", heads, rows, left=(0, 1, 2, 3), grouped=True)
    )


def _seasons(of: Report, figures: FIGURES) -> str:
    if of.told is None:
        return ""
    rows = [
        (rate.label, str(row.came), str(row.died), str(row.adults), *_rate_cells(rate))
        for rate, row in zip(_season_rates(of), of.page.beside, strict=True)
    ]
    heads = ("season", "came in", "died", "became adult", "adults of known fate", "share", "95 % interval")
    if len(rows) < 2:
        return section("seasons", "Other seasons", paragraph(of.page.compared))
    return section(
        "seasons",
        "Other seasons",
        paragraph(of.page.compared),
        _figures(figures, "seasons"),
        table("seasons-table", "Against earlier seasons", heads, rows),
        paragraph(MIXED, "quiet"),
    )


def _how(of: Report, figures: FIGURES) -> str:
    page = of.page
    few = of.sums.adult.known < SMALL
    told = [
        f"A cohort belongs to the season in which it began; season {of.year} runs from {page.start} to {page.end}. What befell older cohorts in its months is told apart.",
        "A share is of the animals of known fate: those that reached the stage, and those that died before it. Living, given away, escaped and missing ones are counted "
        "neither way. Its interval is Wilson's at 95 %: the truth behind such a count would lie in it nineteen times in twenty.",
        "Curves are Kaplan and Meier's, their intervals Greenwood's on the scale of log(-log). Days are counted from coming in to the death as recorded.",
        "Somebody has to look to see a change: it lies between the look before it and the look that found it.",
        "Forecasts take published or observed growth by temperature, the temperatures measured so far and then the last week's, and what this nursery's own cohorts showed. They are made "
        f"for {page.now:%Y-%m-%d %H:%M} and go out of date.",
        "The mean of a day weighs each reading by the time it stands for. Degree-days are summed above the species' published threshold on the days measured; days without readings "
        "are left out, not guessed, so that the true sums are higher.",
    ]
    caveats = []
    if few and of.told is not None:
        caveats.append(
            f"Small numbers: only {counted(of.sums.adult.known, 'animal')} of known fate on the way to adult, so that chance alone can move the share by the whole of its interval."
        )
    if page.running or of.sums.here:
        caveats.append(
            f"Still open: {counted(of.sums.here.total(), 'animal')} of the season alive. Deaths show sooner than adults do, so that shares may still change either way."
        )
    caveats += [
        "Animals of one cage, clutch or outbreak do not live or die independently of each other, so that intervals are rather too narrow than too wide."
    ]
    sources = [f"This nursery's own records, {page.start} to {min(page.end, page.now.date())}.", *of.sources]
    return section(
        "how", "How these numbers were computed", listing(told), "<h3>To be kept in mind</h3>", listing(caveats), "<h3>Sources</h3>", listing(sources)
    )  # fmt: skip


SECTIONS = (
    ("cohorts", "Cohorts", _cohorts),
    ("survival", "Survival", _survival),
    ("calendar", "Calendar", _calendar),
    ("warmth", "Temperatures", _warmth),
    ("losses", "Losses", _losses),
    ("next", "Expected next", _next),
    ("dates", "First and last dates", _dates),
    ("seasons", "Other seasons", _seasons),
    ("how", "How these numbers were computed", _how),
)
"""Name, title and maker of each part, in their order."""
