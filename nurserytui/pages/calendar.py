"""The calendar of cohorts: a row each, its stages so far by the records, and first, middle and last of the changes to come."""

from __future__ import annotations

from datetime import date, datetime
from typing import NamedTuple

from nurserytui.answers.selection import of_season
from nurserytui.answers.wording import PLURAL, listed, short_day, stage_count
from nurserytui.pages.coming_changes import Change, Wave, foreseen, rest_words, waves_of
from nurserytui.pages.past_stages import Came, Past, Stage, past_of

CAME = {"egg": "hatched", "larva": "hatched", "prepupa": "hung up", "pupa": "pupated", "adult": "emerged"}
"""How animals came into a stage from the one before."""


ALL = "all"
"""Asks for the cohorts of all seasons."""


class Row(NamedTuple):
    """One cohort."""

    label: str
    species: str
    """Scientific name, or `unknown`."""
    common: str
    enclosures: tuple[str, ...]
    estimate: bool
    past: Past
    waves: tuple[Wave, ...]
    """Its living animals; none where it has ended."""

    @property
    def name(self) -> str:
        """What its animals are called, in one word if there is one."""
        return self.common or self.species or "unknown"


class Page(NamedTuple):
    now: datetime
    rows: tuple[Row, ...]
    """The living cohorts first, then those that have ended, each by their beginning."""

    @property
    def waiting(self) -> list[str]:
        """The cohorts whose changes to come are not worked out yet."""
        return [row.label for row in self.rows if any(wave.changes is None for wave in row.waves)]


def begin(nursery, which: str = "") -> Page:
    """The page without what is to come, which takes longer. `which`: "" for the running season and whatever lives, the year of a season,
    or `all`."""
    now = nursery.now
    season = now.year - (now.month < (nursery.settings.season_start or 1))
    living = {key.cohort for key, _ in nursery.heads()}
    cohorts = nursery.ledger.cohorts
    if which == ALL:
        meant = set(cohorts) | living
    elif which:
        meant = set(of_season(nursery).get(int(which), ())) if which.isdecimal() else set()
    else:
        meant = set(of_season(nursery).get(season, ())) | living
    living &= meant
    ended = meant - living

    def by_start(labels):
        return sorted(labels, key=lambda label: (cohorts[label].first_when, label))

    places: dict[str, dict[str, None]] = {}
    for key, _ in nursery.heads():
        if key.enclosure:
            places.setdefault(key.cohort, {})[key.enclosure] = None
    rows = []
    for label in (*by_start(living), *by_start(ended)):
        known = cohorts[label]
        common = nursery.knowledge.common(known.species) if known.species not in ("", "unknown") else ""
        rows.append(
            Row(
                label, known.species, common, tuple(places.get(label, ())), known.estimate, past_of(nursery, label), waves_of(nursery, label) if label in living else (),
            )
        )  # fmt: skip
    return Page(now, tuple(rows))


def look_ahead(nursery, page: Page, labels) -> Page:
    """The page with the changes to come of those cohorts."""
    wanted = set(labels)
    return page._replace(
        rows=tuple(
            row._replace(waves=tuple(foreseen(nursery, row.label, wave) for wave in row.waves)) if row.label in wanted else row
            for row in page.rows
        )
    )


def read(nursery, which: str = "") -> Page:
    """The whole page."""
    page = begin(nursery, which)
    return look_ahead(nursery, page, page.waiting)


# Words --------------------------------------------------------------------------------------------------------------------


def plain(page: Page) -> list[str]:
    """A heading, then a paragraph a cohort."""
    now = page.now
    lines = [
        f"Calendar of cohorts, {short_day(now)} {now.year}, {now:%H:%M}. First, middle and last are those of the animals meant."
    ]
    for row in page.rows:
        lines += ["", *row_words(row, now)]
    return lines if page.rows else [*lines, "No cohorts."]


def row_words(row: Row, now: datetime) -> list[str]:
    """Who they are, what lies ahead, what was, how it ended: a line each."""
    who = f"{row.name} ({row.species})" if row.common and row.common != row.species else row.name
    head = f"{row.label}: {who}"
    if row.waves:
        head += f", {'about ' if row.estimate else ''}{counts_words(row.waves)}"
        head += f" in {listed(row.enclosures)}" if row.enclosures else ""
    else:
        head += ", none left"
    lines = [f"{head}."]
    for wave in row.waves:
        whose = f"{counts_words([wave])}: " if len(row.waves) > 1 else ""
        lines.append(f"To come: {whose}{wave_words(wave, now)}")
    lines.append(f"So far: {'; '.join(past_parts(row, now))}.")
    return lines


def counts_words(waves) -> str:
    """`7 larvae and 2 prepupae`."""
    return listed(stage_count(count, stage) for wave in waves for stage, count in wave.counts)


def wave_words(wave: Wave, now: datetime) -> str:
    """The changes to come with their dates, and what cannot be said."""
    if wave.changes is None:
        return "being worked out."
    parts = [change_words(change, now) for change in wave.free]
    if wave.rest is not None and wave.woken:
        parts.append(f"resting in the cold: they can come into the warmth from {day(wave.rest.until, now)}")
    elif wave.rest is not None:
        long = "resting, a look now and then will do; " if wave.rest.long else ""
        parts.append(f"{long}{rest_words(wave.rest)}: look again on {day(wave.rest.until, now)}")
    if wave.held:
        parts.append(f"those that do not rest: {'; '.join(change_words(change, now) for change in wave.held)}")
    parts += [wave.note] if wave.note else []
    if wave.stage == "adult":
        parts.append("to be released when fit")
    elif wave.why:
        parts.append(f"{'what follows' if wave.changes else 'this'} cannot be forecast: {wave.why}")
    return "; ".join(parts) + "."


def change_words(change: Change, now: datetime) -> str:
    """`hatch first Thu 18 June, middle Thu 18 June, last Fri 19 June`."""
    late = ", overdue," if change.overdue else ""
    last = day(change.last, now) if change.last else "later than can be foreseen"
    if change.alone:
        return f"{change.event}{late} about {day(change.middle, now)}, nine times in ten from {day(change.first, now)} to {last}"
    by = " after the cold" if change.woken else ""
    return f"{change.event}{late}{by} first {day(change.first, now)}, middle {day(change.middle, now)}, last {last}"


def brief_words(wave: Wave, now: datetime) -> str:
    """The same in few columns: `first, middle, last: hatch 18, 18, 19 June; pupate 30 June, 2, 4 July`."""
    if not wave.changes or wave.rest is not None or wave.note:
        return wave_words(wave, now)
    told = []
    for change in wave.changes:
        days = [one for one in (change.first, change.middle, change.last) if one]
        words = []
        for one, after in zip(days, [*days[1:], None], strict=True):
            same = after is not None and (one.year, one.month) == (after.year, after.month)
            words.append(f"{one.day}" if same else day(one, now).partition(" ")[2])
        late = " overdue" if change.overdue else ""
        told.append(f"{change.event}{late} {', '.join(words)}{'' if change.last else ' or later'}")
    kind = "nine times in ten from, middle, to" if wave.changes[0].alone else "first, middle, last"
    return f"{kind}: {'; '.join(told)}."


def past_parts(row: Row, now: datetime) -> list[str]:
    """The stages so far, and the end."""
    parts = [f"{PLURAL[stage.stage]}: {stage_words(stage, now)}" for stage in row.past.stages]
    fates, end = listed(f"{count} {what}" for what, count in row.past.fates), row.past.end
    if end is not None:
        parts.append(f"ended {_by(end.window.early, end.window.late, True, now)}: {fates}")
    elif fates:
        parts.append(f"no longer here: {fates}")
    return parts


def stage_words(stage: Stage, now: datetime) -> str:
    """Who came into a stage when, and until when it lasted."""
    came = listed(_came_words(stage.stage, one, now) for one in stage.came)
    winter = ", over the winter" if stage.winter else ""
    if stage.still:
        return f"{came}{winter}, {stage.still} now"
    return f"{came}{winter}, none after {day(stage.gone.late, now)}" if stage.gone else f"{came}{winter}"


def _came_words(stage: str, one: Came, now: datetime) -> str:
    early, late = one.window
    if one.how == "changed" and early.date() != late.date():
        return f"{one.count} {CAME[stage]} between the looks of {day(early, now)} and {day(late, now)}"
    how = {"changed": CAME[stage], "joined": f"from cohort {one.source}", "counted": "more at a count"}.get(one.how, one.how)
    return f"{one.count} {how} {_by(early, late, one.timed, now)}"


def _by(early: datetime, late: datetime, timed: bool, now: datetime) -> str:
    return f"{day(late, now)}{f', {late:%H:%M}' if timed and early == late else ''}"


def day(when: date, now: datetime) -> str:
    """`Thu 18 June`, with the year where it is not this one."""
    return f"{short_day(when)}{f' {when.year}' if when.year != now.year else ''}"
