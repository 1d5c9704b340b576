"""The calendar of a season as pictures: a bar for each cohort by stage, what is not known between two looks ruled, what is to come in outline."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import NamedTuple

from nurserytui.answers.wording import counted, listed
from nurserytui.exports.picture import (
    INK,
    NOW,
    PAPER,
    QUIET,
    SMALL,
    WIDTH,
    Area,
    Dot,
    Line,
    Panel,
    Picture,
    Words,
    at,
    bar,
    dates_along,
)
from nurserytui.pages.calendar import Row, counts_words
from nurserytui.pages.coming_changes import STAGE_AFTER, Wave
from nurserytui.pages.past_stages import Span
from nurserytui.pages.season_text import day_of
from nurserytui.pages.table import fit

FILLS = {"egg": "#f0e2b0", "larva": "#a9c7a2", "prepupa": "#d3dca6", "pupa": "#d9b48a", "adult": "#e8a07a"}
RULED = "#6b5a33"
MOST = 30
"""Lines in one picture, about a printed page."""
NAMES, RIGHT = 158, 18
HIGH = 23
BAR = 0.62
ROOM = 108
"""Units at the right for words behind a bar."""
SIGN = 6.4
"""Units that a sign of a small word takes, about."""
ENDS = {"died": "x", "released": "o", "gone": ">"}


class _Line(NamedTuple):
    row: Row
    wave: Wave | None
    spans: tuple[Span, ...]
    first: bool


class _Scale(NamedTuple):
    first: float
    last: float
    """The end of what is drawn, without the room for words."""
    now: datetime

    @property
    def end(self) -> float:
        return self.last + self.per * ROOM

    @property
    def per(self) -> float:
        """Days a unit."""
        return (self.last - self.first) / (WIDTH - NAMES - RIGHT - ROOM)


def pictures(calendar, year: int) -> list[Picture]:
    """The cohorts of the calendar in their order, as many pictures as they need; the lines of one cohort stay together."""
    lines = [_lines(row) for row in calendar.rows if row.past.spans]
    if not lines:
        return []
    of = _scale([line for few in lines for line in few], calendar.now)
    parts: list[list[list[_Line]]] = [[]]
    for few in lines:
        if sum(map(len, parts[-1])) + len(few) > MOST and parts[-1]:
            parts.append([])
        parts[-1].append(few)
    done, found = 0, []
    for number, part in enumerate(parts, 1):
        which = f", cohorts {done + 1} to {done + len(part)} of {len(lines)}" if len(parts) > 1 else ""
        found.append(
            _picture(f"calendar-{number}", [line for few in part for line in few], of, f"Calendar of season {year}{which}")
        )
        done += len(part)
    return found


def _lines(row: Row) -> list[_Line]:
    """A line for the cohort, and one more for each further group of its animals that goes on by itself."""
    found = [_Line(row, row.waves[0] if row.waves else None, row.past.spans, True)]
    for wave in row.waves[1:]:
        spans = tuple(Span(one.stage, one.since, None, one.winter) for one in row.past.stages if one.stage == wave.stage)
        found.append(_Line(row, wave, spans, False))
    return found


def _scale(lines: list[_Line], now: datetime) -> _Scale:
    first = min(at(span.since.early) for line in lines for span in line.spans)
    ends = [at(span.until.late) for line in lines for span in line.spans if span.until]
    for line in lines:
        if line.wave is not None:
            ends += [at(now), *(at(change.last or change.middle) for change in line.wave.free)]
    last = max(ends, default=first)
    return _Scale(first, max(last, first + 7), now)


def _picture(name: str, lines: list[_Line], of: _Scale, title: str) -> Picture:
    marks: list = []
    names: list = []
    top, high = 26, HIGH * len(lines)
    here = of.first <= at(of.now) <= of.last
    if here:
        marks.append(Line(((at(of.now), 0), (at(of.now), len(lines))), NOW, (), 1.4))
        names.append(
            Words(NAMES + (at(of.now) - of.first) / of.per, 12, f"now, {of.now.day} {of.now:%b}", "middle", NOW, SMALL, True)
        )
    for place, line in enumerate(lines):
        y = place + 0.5
        if line.first:
            names.append(Words(0, top + y * HIGH, fit(f"{line.row.label}  {line.row.name}", 22), cut=True))
        else:
            names.append(Words(NAMES - 10, top + y * HIGH, f"and {counts_words([line.wave])}", "end", QUIET, SMALL))
        marks += _past(line, y, of)
        if line.wave is not None:
            marks += _ahead(line.wave, y, of)
        elif line.row.past.end is not None:
            end = at(line.row.past.end.window.late)
            marks.append(Dot(end + of.per * 7, y, ENDS[line.row.past.end.mark], INK, PAPER, 6.5))
            marks.append(Words(end + of.per * 15, y, _room(_fates(line.row), end, of), size=SMALL))
    panel = Panel(
        NAMES, top, WIDTH - NAMES - RIGHT, high, (of.first, of.end), (len(lines), 0), tuple(marks), dates_along(of.first, of.end)
    )
    key, foot = _key(top + high + 34)
    label = Panel(
        0, 0, NAMES - 6, top + high, (0, NAMES - 6), (top + high, 0), tuple(one for one in names if one.cut), framed=False
    )
    rest = tuple(one for one in names if not one.cut)
    over = Panel(0, 0, WIDTH, foot, (0, WIDTH), (foot, 0), (*rest, *key), framed=False)
    caption = (
        "Filled bars are stages by the records; ruled parts lie between two looks, so that the change was at some time in them. Broken outlines "
        "are forecast: the diamond is the middle animal, the line through it reaches from the first to the last (of one animal: the days between "
        "which it changes nine times in ten). A bar shows the stage of most animals of a cohort (e egg, l larva, p prepupa or pupa, a adult)."
    )
    return Picture(name, foot, (panel, label, over), title, _told(lines, of), caption)


def _past(line: _Line, y: float, of: _Scale) -> list:
    marks: list = []
    for number, span in enumerate(line.spans):
        start = at(span.since.late) if number or not _short(span.since) else at(span.since.early)
        stop = at(of.now) if span.until is None else at(span.until.late if _short(span.until) else span.until.early)
        if stop > start:
            marks.append(Area(bar(start, stop, y, BAR), FILLS.get(span.stage, PAPER), INK))
            word = f"{span.stage}, winter" if span.winter else span.stage
            marks += _inside(word, start, stop, y, of)
        if span.until is not None and not _short(span.until):
            first, after = max(at(span.until.early), start), line.spans[number + 1 :][:1]
            marks.append(Area(bar(first, at(span.until.late), y, BAR * 0.7), PAPER, RULED, "////", (2, 1.5)))
            between = [f"{span.stage} or {one.stage}" for one in after if one.since == span.until]
            marks += [
                one._replace(over=True)
                for word in between
                for one in _inside(word, first, at(span.until.late), y, of, whole=True)
            ]
    if line.spans and not _short(line.spans[0].since):
        since = line.spans[0].since
        marks.append(Area(bar(at(since.early), at(since.late), y, BAR * 0.7), PAPER, RULED, "////", (2, 1.5)))
    return marks


def _short(window) -> bool:
    """Whether a change is known to the day."""
    return window.late - window.early <= timedelta(days=1)


def _inside(word: str, start: float, stop: float, y: float, of: _Scale, *, whole: bool = False) -> list:
    """The word in the middle of a bar, its first letter where it is short, nothing where not even that fits."""
    wide = (stop - start) / of.per
    shorter = () if whole else (word.partition(",")[0], word[0])
    text = next((one for one in (word, *shorter) if len(one) * SIGN + 4 <= wide), "")
    return [Words((start + stop) / 2, y, text, "middle", INK, SMALL)] if text else []


def _ahead(wave: Wave, y: float, of: _Scale) -> list:
    marks: list = []
    x = free = at(of.now)
    stage = wave.stage
    lines: list = []
    behind = ""
    rests = wave.rest is not None and (wave.rest.sure or wave.woken)
    until = min(at(wave.rest.until), of.last) if rests else x
    if wave.woken and until > x:
        marks.append(Area(bar(x, until, y, BAR), PAPER, RULED, "---", (4, 2)))
        x = free = until
    for change in wave.free:
        middle = max(at(change.middle), x)
        marks.append(Area(bar(x, middle, y, BAR), "", INK, "", (4, 2)))
        marks += _inside(stage, free, at(change.first), y, of)
        last = at(change.last) if change.last else of.last
        lines.append(Line(((at(change.first), y), (last, y)), INK, (), 2.2))
        lines += [Line(((end, y - 0.22), (end, y + 0.22)), INK, (), 1.4) for end in (at(change.first), last)]
        lines.append(Dot(last, y, ">", INK, size=5) if change.last is None else Dot(middle, y, "D", INK, PAPER, 5.5))
        x, free, stage = middle, last, STAGE_AFTER[change.event]
        behind = "overdue" if change.overdue else behind
    end = max([x, *(at(change.last) for change in wave.free if change.last)])
    if rests:
        if not wave.woken and until > x:
            marks.append(Area(bar(x, until, y, BAR), PAPER, RULED, "---", (4, 2)))
            end = max(end, until)
        behind = f"rest to {wave.rest.until.day} {wave.rest.until:%b %Y}"
    elif wave.rest is not None and wave.rest.likely:
        behind = f"{behind}, may rest".lstrip(", ")
    if wave.stage == "adult":
        behind = "to be released"
    elif not wave.changes and wave.why:
        behind = "no forecast"
    marks += lines
    if behind:
        marks.append(Words(end + of.per * 8, y, behind, colour=NOW if behind.startswith("overdue") else INK, size=SMALL))
    return marks


def _fates(row: Row) -> str:
    return ", ".join(f"{count} {what}" for what, count in row.past.fates)


def _room(text: str, end: float, of: _Scale) -> str:
    """The text, cut to what there is beside the end of a bar."""
    return fit(text, int(((of.end - end) / of.per - 16) / (SIGN - 0.4)))


def _key(top: float) -> tuple[list, float]:
    """What the bars mean, below the picture; (marks, where it ends)"""
    marks: list = []
    x = 0.0
    for words, draw in (
        ("by records", lambda x: [Area(bar(x, x + 30, top + 12, 13), FILLS["larva"], INK)]),
        ("between looks", lambda x: [Area(bar(x, x + 30, top + 12, 9), PAPER, RULED, "////", (2, 1.5))]),
        ("forecast", lambda x: [Area(bar(x, x + 30, top + 12, 13), "", INK, "", (4, 2))]),
        ("first, middle, last", lambda x: [
            Line(((x, top + 12), (x + 30, top + 12)), INK, (), 2.2),
            *(Line(((end, top + 8), (end, top + 16)), INK, (), 1.4) for end in (x, x + 30)),
            Dot(x + 15, top + 12, "D", INK, PAPER, 5.5),
        ]),
        ("rest", lambda x: [Area(bar(x, x + 30, top + 12, 13), PAPER, RULED, "---", (4, 2))]),
    ):  # fmt: skip
        marks += [*draw(x), Words(x + 37, top + 12, words, size=SMALL)]
        x += 37 + len(words) * 6 + 14
    for shape, words in (("o", "released"), ("x", "died"), (">", "gone")):
        marks += [Dot(x + 5, top + 12, shape, INK, PAPER, 6.5), Words(x + 14, top + 12, words, size=SMALL)]
        x += 14 + len(words) * 6 + 12
    return marks, top + 26


def _told(lines: list[_Line], of: _Scale) -> str:
    rows = [line.row for line in lines if line.first]
    alive = [row for row in rows if row.waves]
    first = min(span.since.early for line in lines for span in line.spans)
    parts = [
        f"{counted(len(rows), 'cohort')} from {day_of(first)} on, {len(alive)} with living animals, {len(rows) - len(alive)} ended"
    ]
    coming = sorted((wave.free[0].middle, row.label, wave.free[0].event) for row in alive for wave in row.waves if wave.free)[:5]
    if coming:
        parts.append("expected next: " + listed(f"{label} to {event} about {day_of(when)}" for when, label, event in coming))
    ended = sorted((row.past.end.window.late, row.label, _fates(row)) for row in rows if row.past.end is not None)[-5:]
    if ended:
        parts.append("ended last: " + listed(f"{label} on {day_of(when)} ({fates})" for when, label, fates in ended))
    return f"{'; '.join(parts)}."
