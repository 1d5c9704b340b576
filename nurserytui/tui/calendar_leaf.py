"""The calendar of cohorts as a leaf: the chart, the dates of the cursor's cohort in words, and what the signs mean."""

from __future__ import annotations

from time import monotonic
from weakref import WeakKeyDictionary

from rich.cells import cell_len
from textual import on, work
from textual.app import App
from textual.binding import Binding
from textual.content import Content
from textual.widgets import Static

from nurserytui.answers.wording import counted, short_day
from nurserytui.pages import calendar
from nurserytui.pages.calendar import Page
from nurserytui.tui.calendar_chart import NARROW, Chart, Place, count_words
from nurserytui.tui.calendar_paint import LEGENDS, LETTER_LEGENDS, Line
from nurserytui.tui.leaf import Leaf
from nurserytui.tui.words import short
from nurserytui.visible import visible

NAME = 16
LIVING, EVER = "living", "all seasons"
WHICH = ("living and this season", LIVING, EVER)
"""Which cohorts are shown."""
BUDGET = 0.12
"""Seconds of working out what is to come before what there is gets drawn, so that a long list fills as it comes."""
REDRAW = 0.4
"""Seconds between two drawings of a list that fills."""
LONGEST = 600
"""Characters of the words below that are shown."""


def work_on(nursery, page: Page, first=()) -> Page:
    """The page with more of what is to come: as many cohorts as there is time for, at least one; those of `first` before others."""
    until, waiting = monotonic() + BUDGET, dict.fromkeys(page.waiting)
    for label in [*(label for label in first if label in waiting), *(label for label in waiting if label not in first)]:
        page = calendar.look_ahead(nursery, page, (label,))
        if monotonic() > until:
            break
    return page


LEFT_AT: WeakKeyDictionary[App, Place] = WeakKeyDictionary()
"""Where the reader of an app left the calendar, to come back to from a cohort's page."""


class CalendarLeaf(Leaf):
    """Every cohort in time: what was, now, what is to come."""

    HEADING = "Calendar"
    BINDINGS = [Binding("e", "whose", "Which", tooltip="This season with what has ended, the living alone, or all seasons")]
    DEFAULT_CSS = """
    CalendarLeaf {
        & #dates { height: 3; padding: 0 1; background: $surface; }
        & .legend { height: 1; padding: 0 1; color: $text-muted; }
    }
    """

    def __init__(self) -> None:
        super().__init__()
        self._chart = Chart()
        self._page: Page | None = None
        self._first: tuple[str, ...] = ()
        """The cohorts in sight."""
        self._real: Page | None = None
        """What was read last; of what is shown, changes to come may be older while they are being worked out."""
        self._going = self._begun = False
        self._which = 0

    def body(self):
        yield self._chart
        yield Static("", id="dates")
        yield Static("", id="signs", classes="legend")
        yield Static("", id="letters", classes="legend")

    def on_mount(self) -> None:
        self._chart.focus()

    def on_unmount(self) -> None:
        if self._begun:
            LEFT_AT[self.app] = self._chart.place

    def on_resize(self) -> None:
        room = self.size.width - 2
        for where, legends in (("#signs", LEGENDS), ("#letters", LETTER_LEGENDS)):
            fits = next((one for one in legends if cell_len(one) <= room), legends[-1])
            self.query_one(where, Static).update(Content(fits))

    def page(self, nursery) -> Page:
        page = calendar.begin(nursery, calendar.ALL if WHICH[self._which] == EVER else "")
        return work_on(nursery, page, self._first)

    def draw(self, page: Page) -> None:
        self._take(page)
        if page.waiting and not self._going:
            self._going = True
            self._go_on()

    @work(group="calendar", exit_on_error=False)
    async def _go_on(self) -> None:
        """Work out the rest bit by bit: between two bits, others get their turn at the desk, and this goes on with what was read last."""
        drawn = monotonic()
        try:
            while self._real.waiting and self.is_attached:
                page = self._real
                try:
                    further = await self.app.desk.read(work_on, page, self._first)
                except Exception:
                    # A cohort of the page may be gone: what was written meanwhile is read by then, or soon will be.
                    if self._real is page:
                        return
                    continue
                if self._real is page:
                    self._real = further
                    if monotonic() - drawn > REDRAW or not further.waiting:
                        self._take(further)
                        drawn = monotonic()
        finally:
            self._going = False

    def _take(self, page: Page) -> None:
        self._real = page
        self._page = as_before(page, self._page) if page.waiting and self._page else page
        if self.is_attached:
            self._show()

    def _show(self) -> None:
        page, chart = self._page, self._chart
        rows = tuple(row for row in page.rows if row.waves) if WHICH[self._which] == LIVING else page.rows
        now, waiting, which = page.now, len(self._real.waiting), WHICH[self._which]
        left, many = f"{waiting} being worked out" if waiting else "", counted(len(rows), "cohort")
        heads = (
            f"{short_day(now)} {now.year}, {now:%H:%M} · {many}: {which}{left and f' · {left}'}",
            f"{short_day(now)} · {many}{left and f' · {left}'}",
            f"{many}: {left or which}",
            f"{many} · {left or short_day(now)}",
        )
        room = self.size.width - len(self.HEADING) - 4
        self.head(next((one for one in heads if cell_len(one) <= room), many))
        chart.show(page._replace(rows=rows))
        if not self._begun:
            self._begun = True
            if self.app in LEFT_AT:
                chart.go_to(LEFT_AT[self.app])
        self._first = chart.in_sight()

    @on(Chart.Moved)
    def moved(self, message: Chart.Moved) -> None:
        self.query_one("#dates", Static).update(self._words(message.line), layout=False)

    def _words(self, line: Line | None) -> Content:
        """The dates of a line in words."""
        if line is None:
            return Content("No cohorts yet. Write down the first find, for example: found 3 monarch eggs on milkweed, jar 1")
        row, now = line.row, self._page.now
        if line.wave is None:
            words = ". ".join(calendar.past_parts(row, now)[::-1])
        elif self.size.width < NARROW:
            words = f"{count_words(line, False)}, {calendar.brief_words(line.wave, now)}"
        else:
            words = f"{calendar.counts_words([line.wave])}: {calendar.wave_words(line.wave, now)}"
        return Content.assemble((short(row.label, NAME), "bold $primary"), f"  {visible(words[:LONGEST])}")

    @on(Chart.Opened)
    def opened(self, message: Chart.Opened) -> None:
        # Kept here: the leaf that is opened may be left before this one is gone.
        LEFT_AT[self.app] = self._chart.place
        self.app.action_leaf("cohort", message.label, "calendar")

    def action_whose(self) -> None:
        """The living cohorts with those that ended this season, the living alone, or those of all seasons."""
        self._which = (self._which + 1) % len(WHICH)
        self.follow()


def as_before(page: Page, before: Page) -> Page:
    """The page with what was shown of those whose changes are still being worked out, so that nothing blinks."""
    known = {row.label: row for row in before.rows}
    rows = []
    for row in page.rows:
        old = known.get(row.label)
        waits = old is not None and any(wave.changes is None for wave in row.waves)
        same = waits and old.past == row.past and [wave.counts for wave in old.waves] == [wave.counts for wave in row.waves]
        rows.append(old if same else row)
    return page._replace(rows=tuple(rows))
