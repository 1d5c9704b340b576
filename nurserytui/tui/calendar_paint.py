"""One row of the calendar as signs: what was, now, what is to come. Every sign says by itself what it means; tones only help."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import NamedTuple

from rich.cells import cell_len

from nurserytui.pages.calendar import Row, day
from nurserytui.pages.coming_changes import STAGE_AFTER, Change, Wave
from nurserytui.pages.past_stages import Past, Span
from nurserytui.tui.calendar_scale import Scale
from nurserytui.visible import visible

WORDS = {"egg": "egg", "larva": "larva", "prepupa": "hanging", "pupa": "pupa", "adult": "adult"}
LETTERS = {stage: word[0] for stage, word in WORDS.items()} | {"pupa": "p"}
SEEN, BETWEEN, COMING, RESTING = "━", "╍", "─", "≈"
FIRST, MIDDLE, LAST, BEYOND = "(", "◆", ")", "…"
ENDS = {"died": "×", "released": "○", "gone": "→"}
NOW = "│"
GRID = "·"
EARLIER = "‹"
"""Before what is seen."""
LEGENDS = (
    "━ by the records  ╍ between two looks  │ now  ─ to come: (first ◆middle last)  ≈ winter rest  ! overdue",
    "━ by records ╍ between looks │ now ─ to come (first ◆middle last) ≈ rest ! late",
    "━ seen ╍ between looks │ now ─ to come (first ◆middle last) ≈ rest ! late",
    "━past ╍or so │now ─to come (first ◆mid last) ≈rest !late",
    "│now (first ◆mid last) ≈rest !late",
)
LETTER_LEGENDS = (
    "e egg · l larva · h hanging (prepupa) · p pupa · a adult    ends: ○ released  × died  → gone",
    "e egg l larva h hanging p pupa a adult · ○ released × died → gone",
    "e egg l larva h hanging p pupa a adult",
)
"""The first that fits is shown. The words behind the mark of an end say what it is, also where the legend has no room for it."""


class Cell(NamedTuple):
    sign: str
    tone: str
    """What it stands for: `past`, `between`, `coming`, `rest`, `mark`, `end`, `word`, `grid`, `now`; past and coming with their stage."""


class Line(NamedTuple):
    """One line of the chart: a cohort, or a further group of it that goes on by itself."""

    row: Row
    wave: Wave | None
    first: bool

    @property
    def name(self) -> tuple[str, str]:
        """What it stays the same line by."""
        return self.row.label, "" if self.first else self.wave.stage


def lines_of(rows) -> list[Line]:
    """The lines of rows, those of one cohort together."""
    lines = []
    for row in rows:
        lines += [Line(row, wave, at == 0) for at, wave in enumerate(row.waves)] or [Line(row, None, True)]
    return lines


def paint(line: Line, of: Scale, grid=()) -> list[Cell]:
    """The cells of a line, `of.width` of them."""
    sheet = Sheet(of, grid)
    if line.first:
        spans = line.row.past.spans
    else:
        stages = [one for one in line.row.past.stages if one.stage == line.wave.stage]
        spans = tuple(Span(one.stage, one.since, None, one.winter) for one in stages)
    for number, span in enumerate(spans):
        sheet.span(span, number == 0)
    for span in spans:
        if span.winter:
            sheet.wintered(span)
    if line.first and line.wave is not None:
        sheet.released(line.row.past)
    named = False
    for span in spans:
        named = sheet.name_span(span)
    if line.wave is not None:
        sheet.ahead(line.wave, named)
    elif line.row.past.end is not None:
        sheet.over(line.row.past)
    return sheet.cells


class Sheet:
    """A line being painted."""

    def __init__(self, of: Scale, grid) -> None:
        self.of = of
        self.named = 0
        """The column behind the last name of a stage that was written."""
        self.marked: set[int] = set()
        """Columns of marks that no name may cover."""
        self.cells = [Cell(" ", "")] * of.width
        for at in grid:
            self.cells[at] = Cell(GRID, "grid")
        if of.bar is not None:
            self.cells[of.bar] = Cell(NOW, "now")

    def put(self, at: int, sign: str, tone: str) -> None:
        if 0 <= at < self.of.width and at != self.of.bar:
            self.cells[at] = Cell(sign, tone)

    def fill(self, first: int, last: int, sign: str, tone: str) -> None:
        """Columns `first` to `last`, both included."""
        for at in range(max(first, 0), min(last, self.of.width - 1) + 1):
            self.put(at, sign, tone)

    def write(self, at: int, text: str, tone: str) -> int:
        """Text from a column on, round the column of now; the column behind it. What does not fit is left off; a wide character takes two
        cells, the second of them empty."""
        for sign in text:
            at += at == self.of.bar
            size = cell_len(sign)
            if size == 2 and (at + 1 >= self.of.width or self.of.bar == at + 1):
                sign, size = "…", 1
            if size:
                self.put(at, sign, tone)
            if size == 2:
                self.put(at + 1, "", tone)
            at += size
        return at

    def name(self, stage: str, first: int, last: int, tone: str) -> bool:
        """The stage's word in columns `first` to `last` (without it), or its letter where the word does not fit; whether the word did."""
        start, end = max(first, 0), min(last, self.of.width)
        while start in self.marked:
            start += 1
        end = min((one for one in self.marked if start < one < end), default=end)
        if end <= start:
            return False
        # A sign has to stand between two names, unless now or the edge does.
        fits = len(WORDS[stage]) < end - start + (end in (self.of.bar, self.of.width))
        word = WORDS[stage] if fits else LETTERS[stage]
        self.write(start, word, tone)
        self.named = start + len(word)
        return fits

    # What was ----------------------------------------------------------------------------------------------------------------

    def span(self, span: Span, first: bool) -> None:
        """The first begins between looks too; the others begin as those before them end."""
        column, now = self.of.column, self.of.now
        tone = f"past-{span.stage}"
        since, late = column(span.since.early), column(min(span.since.late, now))
        if first:
            self.fill(since, late, BETWEEN, tone)
        until = column(min(span.until.early, now)) if span.until else column(now)
        self.fill(late, until, SEEN, tone)
        if span.until:
            self.fill(max(until + 1, since), column(min(span.until.late, now)), BETWEEN, tone)

    def wintered(self, span: Span) -> None:
        """A winter is drawn as rest up to the look that ended it."""
        column, now = self.of.column, self.of.now
        until = min(span.until.late, now) if span.until else now
        self.fill(column(min(span.since.late, now)), column(until), RESTING, f"past-{span.stage}")

    def released(self, past: Past) -> None:
        """The marks of those that were let go while others of the cohort stayed."""
        for one in past.left:
            at = self.of.column(min(one.window.late, self.of.now))
            if one.mark == "released" and 0 <= at < self.of.width:
                self.put(at, ENDS[one.mark], "end")
                self.marked.add(at)

    def name_span(self, span: Span) -> bool:
        """Whether the stage stands there as a word."""
        column, now = self.of.column, self.of.now
        late = column(min(span.since.late, now))
        until = column(min(span.until.early, now)) if span.until else column(now) + 1
        tone = f"past-{span.stage}"
        if until - max(late, 0) > len(WORDS[span.stage]):
            return self.name(span.stage, late, until, tone)
        # Nearly all of it lies between looks: the word may stand over their dashes where some of them are left to see.
        end = column(min(span.until.late, now)) if span.until else column(now) + 1
        if end <= 0:
            return False
        start = max(column(span.since.early), self.named, 0)
        if span.until and end - start >= len(WORDS[span.stage]) + 2:
            return self.name(span.stage, start, end, tone)
        start = max(late if late < end else start, self.named)
        return self.name(span.stage, start, start + 1, tone)

    def over(self, past: Past) -> None:
        """The mark of a cohort's end, and what became of its animals."""
        end = past.end
        at = self.of.column(min(end.window.late, self.of.now))
        words = visible(", ".join(f"{count} {what}" for what, count in past.fates)[: self.of.width])
        if at < 0:
            before = f"{EARLIER} {day(end.window.late, self.of.now)}: "
            at = self.write(self._whole(0, f"{before}× {words}"), before, "word")
        at = self.write(at, ENDS[end.mark], "end") + 1
        self.write(self._whole(at, words), words, "word")

    def _whole(self, at: int, text: str) -> int:
        """Where to write so that now does not cut the text: there, or behind now where it fits."""
        bar, long = self.of.bar, cell_len(text)
        return bar + 1 if bar is not None and at <= bar < at + long and bar + long < self.of.width else at

    # What is to come -----------------------------------------------------------------------------------------------------------

    def ahead(self, wave: Wave, told: bool) -> None:
        """`told`: the stage that they stand in is named already."""
        start = self.of.column(self.of.now) if self.of.bar is None else self.of.bar + 1
        if wave.changes is None:
            self.write(start, BEYOND, "word")
            return
        changes = wave.free
        stage, at = wave.stage, start
        for change in changes:
            at = self._leg(wave, stage, at, change)
            stage = STAGE_AFTER[change.event]
        stage, at = wave.stage, start
        for change in changes:
            if not (told and stage == wave.stage):
                self.name(stage, at, self.of.column(change.first), f"coming-{stage}")
            stage, at = STAGE_AFTER[change.event], self._last(change) + 1
        self._after(wave, stage, at, told)
        for change in changes:
            self.put(self.of.column(change.first), FIRST, "mark")
            self.put(self._last(change), LAST if change.last else BEYOND, "mark")
        for change in changes:
            self.put(self.of.column(change.middle), MIDDLE, "mark")

    def _last(self, change: Change) -> int:
        """The column of the last; of one that cannot be foreseen, the one behind the middle."""
        return self.of.column(change.last) if change.last else self.of.column(change.middle) + 1

    def _leg(self, wave: Wave, stage: str, at: int, change: Change) -> int:
        """The way from a column to a change and through it; where the next begins."""
        middle = self.of.column(change.middle)
        self.fill(at, middle, COMING, f"coming-{stage}")
        if change.woken:
            self.fill(at, min(self.of.column(_noon(wave.rest.until)), middle), RESTING, "rest")
        self.fill(middle, self._last(change), COMING, f"coming-{STAGE_AFTER[change.event]}")
        return middle

    def _after(self, wave: Wave, stage: str, at: int, told: bool) -> None:
        """What stands behind the last change: the next stage, rest, or that nothing more can be said."""
        if wave.rest is not None and wave.rest.likely and not wave.woken:
            until = self.of.column(_noon(wave.rest.until))
            self.fill(at, until, RESTING, "rest")
            words = " winter rest " if wave.rest.sure else " or winter rest "
            self.write(max(at, 0) + 1, words if until - max(at, 0) > len(words) else "", "rest")
        elif wave.why:
            # Turned to later days, the reason stands at their edge.
            self.write(max(at, 0), f"? {wave.why}" if stage == wave.stage else "?", "word")
        elif not (told and stage == wave.stage):
            self.name(stage, at, at + len(WORDS[stage]) + 1, f"coming-{stage}")


def _noon(day: date) -> datetime:
    return datetime.combine(day, time(12))
