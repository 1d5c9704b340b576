"""The season in plots: one view at a time, its numbers beside or below it."""

from __future__ import annotations

from rich.cells import cell_len
from textual import events
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Container, VerticalScroll
from textual.content import Content
from textual.widgets import Static

from nurserytui.pages.season import Page, read
from nurserytui.pages.season_text import BRIEF, SECTIONS, TITLES, days_lines, section, sums_lines
from nurserytui.pages.table import Columns, Heading, fit, padded
from nurserytui.tui.leaf import Leaf
from nurserytui.tui.season_drawing import Bars, Drawing, Entry, drawing, entries, sign
from nurserytui.tui.season_plot import SeasonPlot, colour_of

BESIDE = 92
"""Columns from which the numbers stand beside the plot instead of below it."""
NUMBERS = 0.46
"""The share of the columns that they take there …"""
WIDEST = 66
"""… at most."""
PLOT = 0.42
"""The share of the rows that the plot takes above its numbers."""
LEAST = 5
"""Rows below which there is no plot, only its numbers."""
LISTED = 5
"""Lines up to which all are listed; of more only those that are drawn."""

SEASONS = Binding.Group("Season")


def _styled(line: str) -> Content:
    """A heading set off by weight, the names of columns held back."""
    return Content.styled(line, "bold" if isinstance(line, Heading) else "$secondary" if isinstance(line, Columns) else "")


class Views(Static):
    """The names of the views in one row; the one in front stands in angle brackets. A click turns to a view."""

    DEFAULT_CSS = "Views { height: 1; padding: 0 1; background: $surface; }"

    def __init__(self) -> None:
        super().__init__("")
        self._ends: list[tuple[int, int]] = []

    def write(self, view: str, width: int) -> None:
        """Name the views in so many columns, in fewer letters where there are not enough."""
        full = sum(len(TITLES[name]) + 5 for name in SECTIONS) <= width
        parts, self._ends, at = [], [], 1
        for number, name in enumerate(SECTIONS, 1):
            words, here = f"{number} {(TITLES if full else BRIEF)[name]}", name == view
            if full:
                words = f"‹{words}›" if here else f" {words} "
            else:
                words = f"{' ' if parts else ''}{f'‹{words}›' if here else words}"
            parts.append((words, "bold $primary" if here else ""))
            self._ends.append((at, at + len(words)))
            at += len(words)
        self.update(Content.assemble(*parts))

    def on_click(self, event: events.Click) -> None:
        for name, (first, end) in zip(SECTIONS, self._ends, strict=False):
            if first <= event.x < end:
                self.screen.action_view(name)


class Numbers(VerticalScroll):
    """What the plot shows as numbers, one text that is scrolled."""

    DEFAULT_CSS = """
    Numbers { padding: 0 1; scrollbar-size-vertical: 1; scrollbar-gutter: stable; }
    Numbers Static { height: auto; width: 1fr; }
    """

    def compose(self) -> ComposeResult:
        yield Static("")

    def on_resize(self) -> None:
        self.screen.write()

    def on_click(self, event: events.Click) -> None:
        """A click on a row of the list brings it to the front."""
        self.screen.front(event.y + self.scroll_offset.y)


class SeasonLeaf(Leaf):
    """A season, its species chosen by `s`, its seasons turned by the arrows."""

    HEADING = "Season"
    DEFAULT_CSS = """
    SeasonLeaf #season { height: 1fr; layout: vertical; }
    SeasonLeaf #season.beside { layout: horizontal; }
    SeasonLeaf .beside Numbers { border-left: tall $panel; }
    """
    BINDINGS = [
        Binding("tab", "turn(1)", "View", priority=True),
        Binding("left", "season(-1)", "Before", priority=True, group=SEASONS),
        Binding("right", "season(1)", "After", priority=True, group=SEASONS),
        Binding("s", "species(1)", "Species"),
        Binding("g", "next(1)", "In front"),
        Binding("S", "species(-1)", show=False),
        Binding("G", "next(-1)", show=False),
        Binding("shift+tab", "turn(-1)", show=False, priority=True),
        *(Binding(str(number), f"view('{name}')", show=False) for number, name in enumerate(SECTIONS, 1)),
    ]

    def __init__(self, which: str = "") -> None:
        super().__init__()
        self.which = which
        """The season and the species or cohort chosen, as `read` takes them."""
        self.view = "survival"
        self._page: Page | None = None
        self._front: dict[str, tuple] = {}
        """View -> the key of what stands in front in it."""
        self._shown: Drawing | Bars | None = None
        self._listed: list[int] = []
        """The entries that the list shows, row by row."""

    def body(self) -> ComposeResult:
        yield Views()
        with Container(id="season"):
            yield SeasonPlot()
            yield Numbers()

    def on_mount(self) -> None:
        self.query_one(Numbers).focus()

    def page(self, nursery) -> Page:
        return read(nursery, self.which)

    def draw(self, page: Page) -> None:
        """Show the season; where nothing but the minute has changed, nothing is drawn again."""
        before, self._page = self._page, page
        if before is None or before.now.date() != page.now.date() or before._replace(now=page.now) != page:
            self.show()

    def show(self) -> None:
        """Draw the view in front anew."""
        page = self._page
        if page is None:
            return
        of = f"{page.year}{' so far' if page.running else ''}: {page.title}"
        self.head(fit(of, max(self.size.width - len(self.HEADING) - 6, 8)))
        self._shown = drawing(page, self.view, self._at())
        self.query_one(SeasonPlot).show(self._shown)
        self._lay_out()
        self.write()

    def write(self) -> None:
        """Write the numbers of the view, in the columns there are."""
        numbers, page = self.query_one(Numbers), self._page
        width = numbers.scrollable_content_region.width
        if page is None or width < LEAST:
            return
        self.query_one(Views).write(self.view, self.size.width - 2)
        parts = [*self._list(width), *(_styled(line) for line in self._lines(page, width))]
        numbers.query_one(Static).update(Content("\n").join(parts))

    def _lines(self, page: Page, width: int) -> list[str]:
        at = self._at()
        lines = section(page, self.view, width, at)
        if page.strange:
            lines = [f"“{fit(page.strange, max(width - 26, 4))}” is not in this season.", *lines]
        if self.view == "warmth" and page.places:
            lines += ["", *days_lines(page, page.places[at], width)]
        if self.view == "heat" and page.heats and page.heats[at].so_far:
            lines += ["", *sums_lines(page, page.heats[at], width)]
        return lines

    def _entries(self) -> tuple[Entry, ...]:
        return entries(self._page, self.view) if self._page is not None else ()

    def _at(self) -> int:
        """The number of what stands in front; it stays there when others come in before it."""
        key = self._front.get(self.view)
        return next((at for at, entry in enumerate(self._entries()) if entry.key == key), 0)

    def _list(self, width: int) -> list[Content]:
        """The lines of the plot by their signs, the one in front pointed at."""
        found, front = self._entries(), self._at()
        if not found:
            return []
        shown = self._shown
        drawn = {line.at for line in shown.lines} if isinstance(shown, Drawing) else {front}
        self._listed = list(range(len(found)))
        # Beside the curves all groups are listed; the tables of warmth list theirs themselves.
        if len(found) > LISTED and (self.size.width < BESIDE or self.view != "survival"):
            self._listed = sorted(drawn)
        told = min(max(cell_len(entry.told) for entry in found), width // 2)
        rows = []
        for at in self._listed:
            entry = found[at]
            mark = sign(at) if entry.drawn and at in drawn else " "
            words = padded(entry.label, max(width - told - 5, 4))
            rows.append(
                Content.assemble(
                    (f"{'▸' if at == front else ' '} ", "bold"),
                    (f"{mark} ", f"bold ${colour_of(at)}"),
                    (f"{words} ", "bold" if at == front else ""),
                    (padded(entry.told, told, right=True), "bold" if at == front else ""),
                )
            )
        if len(rows) < len(found):
            rows.append(Content(fit(f"    and {len(found) - len(rows)} more: g", width)))
        return [*rows, Content("")]

    def _lay_out(self) -> None:
        """Plot and numbers side by side where there is room, else one above the other; the numbers stay, the plot gives way."""
        width, height = self.size.width, self.size.height - 3
        plot, numbers = self.query_one(SeasonPlot), self.query_one(Numbers)
        shown, drawn = self._shown, self._shown is not None
        beside = width >= BESIDE
        rows = int(height * PLOT)
        if isinstance(shown, Bars):
            rows = min(rows, len(shown.rows) + 1)
        plot.display = drawn and (beside or int(height * PLOT) >= LEAST)
        self.query_one("#season").set_class(beside and drawn, "beside")
        numbers.styles.width = min(int(width * NUMBERS), WIDEST) if beside and drawn else "1fr"
        numbers.styles.height = "1fr"
        plot.styles.height = "1fr" if beside else rows

    def on_resize(self) -> None:
        self.show()

    # Keys --------------------------------------------------------------------------------------------------------------------

    def action_view(self, name: str) -> None:
        """Turn to a view."""
        self.view = name
        self.show()
        self.query_one(Numbers).scroll_home(animate=False)

    def action_turn(self, by: int) -> None:
        """Turn to the next view, or the one before."""
        self.action_view(SECTIONS[(SECTIONS.index(self.view) + by) % len(SECTIONS)])

    def action_season(self, by: int) -> None:
        """Turn to the season before or after; the species stays chosen where that season has it."""
        page = self._page
        if page is None:
            return
        at = page.seasons.index(page.year) + by
        if 0 <= at < len(page.seasons):
            self._choose(page.seasons[at], page.whose or page.strange)

    def action_species(self, by: int) -> None:
        """Choose the next species of the season; after the last one all of them."""
        page = self._page
        if page is None:
            return
        choices = ("", *page.choices)
        at = choices.index(page.whose) if page.whose in choices else 0
        self._choose(page.year, choices[(at + by) % len(choices)])

    def _choose(self, year: int, whose: str) -> None:
        running = self._page is not None and self._page.running and year == self._page.year
        self.which = whose if running and not self.which[:4].isdigit() else f"{year} {whose}".strip()
        self.follow()

    def action_next(self, by: int) -> None:
        """Bring the next line to the front, with its band and its numbers."""
        found = self._entries()
        if found:
            self._front[self.view] = found[(self._at() + by) % len(found)].key
            self.show()

    def front(self, row: int) -> None:
        """Bring the line of a row of the list to the front."""
        found = self._entries()
        if found and 0 <= row < len(self._listed):
            self._front[self.view] = found[self._listed[row]].key
            self.show()
