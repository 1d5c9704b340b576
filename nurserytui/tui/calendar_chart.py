"""The chart of the calendar: one widget that draws the lines in sight, whatever their number."""

from __future__ import annotations

from datetime import datetime, timedelta
from itertools import groupby
from typing import NamedTuple

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from textual import events
from textual.binding import Binding
from textual.geometry import Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from nurserytui.answers.wording import counted, stage_count
from nurserytui.pages.calendar import Page
from nurserytui.pages.past_stages import most_of
from nurserytui.tui.calendar_paint import LETTERS, Line, lines_of, paint
from nurserytui.tui.calendar_scale import ZOOMS, Scale, axis, cell_of, left_for_now, scale
from nurserytui.tui.keys_row import bound
from nurserytui.visible import visible

HEAD = 2
"""Lines of the dates above the rows, which stay where they are."""
NARROW, WIDE = 60, 100
LONGEST = 200
"""Characters of a name that are looked at at all."""
TONES = (
    "label", "name", "axis", "grid", "now", "mark", "end", "word", "rest", "rule",
    *(f"{time}-{stage}" for time in ("past", "coming") for stage in LETTERS),
)  # fmt: skip

ZOOMING, SHIFTING = Binding.Group("Zoom"), Binding.Group("Days")
LEAST_NAME = 5
"""Columns below which a name says nothing."""


class Place(NamedTuple):
    """Where a reader is."""

    line: tuple[str, str] | None
    height: int
    """How far down the screen the cursor stands."""
    zoom: str
    left: datetime | None


class Chart(ScrollView, can_focus=True):
    """Cohorts down the side, days along the top. It keeps cohort, zoom and the day at the left through reading again and resizing."""

    COMPONENT_CLASSES = {*(f"chart--{tone}" for tone in TONES), "chart--cursor"}
    DEFAULT_CSS = """
    Chart {
        height: 1fr; width: 1fr; padding: 0 1; background: $background; scrollbar-size-vertical: 1;
        overflow-x: hidden; scrollbar-gutter: stable;
        & .chart--label { color: $primary; text-style: bold; }
        & .chart--name { color: $foreground; }
        & .chart--axis { color: $secondary; }
        & .chart--rule { color: $text-muted; }
        & .chart--grid { color: $foreground 25%; }
        & .chart--now { color: $accent; }
        & .chart--mark { color: $accent; text-style: bold; }
        & .chart--end { color: $foreground; text-style: bold; }
        & .chart--word { color: $text-muted; }
        & .chart--rest { color: $secondary; }
        & .chart--cursor { background: $panel; }
        & .chart--past-egg { color: $foreground; background: $primary 12%; }
        & .chart--past-larva { color: $foreground; background: $primary 24%; }
        & .chart--past-prepupa { color: $foreground; background: $primary 30%; }
        & .chart--past-pupa { color: $foreground; background: $primary 38%; }
        & .chart--past-adult { color: $foreground; background: $primary 50%; }
        & .chart--coming-egg, & .chart--coming-larva, & .chart--coming-prepupa, & .chart--coming-pupa, & .chart--coming-adult {
            color: $secondary;
        }
    }
    """
    BINDINGS = [
        bound("plus", "zoom(-1)", "Closer", "Fewer days, each of them wider", key_display="+", group=ZOOMING),
        bound("minus", "zoom(1)", "Wider", "More days: week, month, season", key_display="-", group=ZOOMING),
        bound("left", "shift(-1)", "Earlier", "A quarter of the days back", group=SHIFTING),
        bound("right", "shift(1)", "Later", "A quarter of the days on", group=SHIFTING),
        bound("enter", "open", "Cohort", "The page of the cohort that the cursor stands on"),
        bound("n", "now", "Now", "Turn back to now", key_display="n"),
        Binding("equals_sign", "zoom(-1)", show=False),
        Binding("home", "now", show=False),
        bound("up", "row(-1)", "Up", "The cohort above", show=False),
        bound("down", "row(1)", "Down", "The cohort below", show=False),
        bound("pageup", "rows(-1)", "Page up", "A page of cohorts back", show=False),
        bound("pagedown", "rows(1)", "Page down", "A page of cohorts on", show=False),
        bound("end", "far", "Last date", "Turn to the last date of this cohort", show=False),
    ]

    class Moved(Message):
        """The cursor stands on another line, or what is known of its line has changed."""

        def __init__(self, line: Line | None) -> None:
            super().__init__()
            self.line = line

    class Opened(Message):
        """The page of a cohort is wanted."""

        def __init__(self, label: str) -> None:
            super().__init__()
            self.label = label

    def __init__(self) -> None:
        super().__init__(id="chart")
        self.now: datetime | None = None
        self.lines: list[Line] = []
        self.living = 0
        """How many of them are of living cohorts; a rule stands after those."""
        self.at = 0
        self.zoom = "month"
        self.left: datetime | None = None
        self._known: dict[str, tuple] = {}
        """Cohort -> its row, the lines of it, and how wide their sides want to be."""
        self._drawn: dict[tuple[str, str], tuple[Line, bool, Strip]] = {}
        """Line by its name -> what was drawn, whether with the cursor, and how."""
        self._dates: tuple = ()
        self._sides = (0, 0, 0)
        self._seen = 1
        """Lines in sight when the cursor was last looked for."""

    # What it shows -------------------------------------------------------------------------------------------------------------

    def show(self, page: Page) -> None:
        """Draw the page; the cursor stays on its cohort, at its height, and the days where they are."""
        place = self.place
        self.now, self.lines = page.now, self._lines(page.rows)
        self.living = sum(1 for line in self.lines if line.wave is not None)
        if place.left is None:
            place = place._replace(left=left_for_now(self.zoom, self._room(), self.now))
        self.go_to(place)

    @property
    def place(self) -> Place:
        """Where the reader is now."""
        line = self.line
        return Place(line and line.name, self._height_of(self.at) - round(self.scroll_y), self.zoom, self.left)

    def go_to(self, place: Place) -> None:
        """Bring the reader there; where the line is gone, to another one of its cohort, or to where it stood."""
        self.zoom, self.left = place.zoom, place.left
        if place.line is not None:
            places = {line.name: at for at, line in reversed(list(enumerate(self.lines)))}
            self.at = places.get(place.line, places.get((place.line[0], ""), self.at))
        self.at = min(max(self.at, 0), max(len(self.lines) - 1, 0))
        self._lay()
        if place.line is not None:
            self.scroll_to(y=self._height_of(self.at) - place.height, animate=False, immediate=True)
        if 0 <= place.height < self._seen:
            self._in_sight()
        self.post_message(self.Moved(self.line))

    def _lines(self, rows) -> list[Line]:
        """The lines of rows; of a cohort of which nothing has changed, those that there were."""
        before, self._known, lines = self._known, {}, []
        for row in rows:
            known = before.get(row.label)
            if known is None or known[0] != row:
                own = lines_of((row,))
                known = row, own, [_wants(line) for line in own]
            self._known[row.label] = known
            lines += known[1]
        return lines

    @property
    def line(self) -> Line | None:
        """The line that the cursor stands on."""
        return self.lines[self.at] if self.lines else None

    def in_sight(self) -> tuple[str, ...]:
        """The cohorts whose lines are seen."""
        top = round(self.scroll_y)
        numbers = [self._line_at(height) for height in range(top, top + max(self.size.height - HEAD, 1))]
        return tuple(dict.fromkeys(self.lines[number].row.label for number in numbers if number is not None))

    @property
    def scale(self) -> Scale:
        return scale(self.zoom, self.left, self._room(), self.now)

    def _lay(self) -> None:
        """Measure again."""
        self._sides = _sides([wants for _, _, own in self._known.values() for wants in own], self._columns)
        size = Size(self._columns, HEAD + len(self.lines) + self._ruled)
        if size != self.virtual_size:
            self.virtual_size = size
        self._again()

    def _again(self) -> None:
        """Draw what is not as it was drawn."""
        if self.now is not None:
            of = self.scale
            if not self._dates or (of, self._sides) != (self._dates[0], self._dates[-1]):
                self._dates = (of, *axis(of), self._sides)
                self._drawn.clear()
        self.refresh()

    @property
    def _ruled(self) -> int:
        return int(0 < self.living < len(self.lines))

    def _height_of(self, at: int) -> int:
        """How far down the line of that number stands, the dates above them left out."""
        return at + (self._ruled if at >= self.living else 0)

    def _line_at(self, height: int) -> int | None:
        """The number of the line so far down; None at the rule and beyond the last."""
        if self._ruled and height >= self.living:
            height = -1 if height == self.living else height - 1
        return height if 0 <= height < len(self.lines) else None

    @property
    def _columns(self) -> int:
        """Columns to draw in, beside the scroll bar."""
        return self.scrollable_content_region.width

    def _room(self) -> int:
        return max(self._columns - sum(self._sides) - _gaps(self._sides), 4)

    def on_resize(self) -> None:
        """What was in sight of the reader stays so: the cursor, or what the wheel was turned to."""
        seen = 0 <= self.place.height < self._seen
        self._lay()
        if seen:
            self._in_sight()

    def notify_style_update(self) -> None:
        super().notify_style_update()
        self._drawn.clear()

    # Drawing -------------------------------------------------------------------------------------------------------------------

    def render_line(self, y: int) -> Strip:
        width = self._columns
        if self.now is None:
            return Strip.blank(width, self.rich_style)
        of, months, days, grid, _ = self._dates
        if y < HEAD:
            text = (months, days)[y]
            room = width - len(text)
            sides = (self.zoom,) if y == 0 else (_length(of.cell, False), _length(of.cell, True))
            side = next((one for one in sides if len(one) < room), "")
            style = self.get_component_rich_style("chart--axis")
            return Strip([Segment(_cut(side, room) + text, style)]).adjust_cell_length(width, self.rich_style)
        height = y - HEAD + round(self.scroll_y)
        number = self._line_at(height)
        if number is None:
            ruled = self._ruled and height == self.living
            strip = Strip([Segment("  ended", self.get_component_rich_style("chart--rule"))] if ruled else [])
            return strip.adjust_cell_length(width, self.rich_style)
        line, here = self.lines[number], number == self.at
        kept = self._drawn.get(line.name)
        if kept is None or kept[0] is not line or kept[1] is not here:
            strip = self._draw(line, here, of, grid).adjust_cell_length(width, self.rich_style)
            kept = self._drawn[line.name] = line, here, strip
        return kept[2]

    def _draw(self, line: Line, here: bool, of: Scale, grid) -> Strip:
        style = {tone: self.get_component_rich_style(f"chart--{tone}") for tone in TONES} | {"": self.rich_style}
        if here:
            under = self.get_component_rich_style("chart--cursor", partial=True)
            style = {tone: one if tone.startswith("past-") else one + under for tone, one in style.items()}
        label, name, count = self._sides
        row = line.row
        segments = [
            Segment("› " if here else "  ", style["mark"]),
            Segment(_cut_inside(row.label if line.first else "", label) + " ", style["label"]),
            Segment(_cut(row.name if line.first else "", name) + " " if name else "", style["name"]),
            Segment(_cut(count_words(line, name == 0), count) + " ", style["name"]),
        ]
        for tone, cells in groupby(paint(line, of, grid), key=lambda cell: cell.tone):
            segments.append(Segment("".join(cell.sign for cell in cells), style[tone]))
        return Strip(segments)

    # Keys ----------------------------------------------------------------------------------------------------------------------

    def _go(self, at: int) -> None:
        if self.lines:
            self.at = min(max(at, 0), len(self.lines) - 1)
            self._again()
            self._in_sight()
            self.post_message(self.Moved(self.line))

    def _in_sight(self) -> None:
        """Scroll as little as brings the cursor into sight."""
        room = self._seen = max(self.size.height - HEAD, 1)
        top, height = round(self.scroll_y), self._height_of(self.at)
        to = height if height < top else height - room + 1 if height >= top + room else top
        if to != top:
            self.scroll_to(y=to, animate=False, immediate=True)

    def action_row(self, step: int) -> None:
        self._go(self.at + step)

    def action_rows(self, step: int) -> None:
        self._go(self.at + step * max(self.size.height - HEAD - 1, 1))

    def action_shift(self, step: int) -> None:
        """A quarter of what is seen to the left or right."""
        if self.left is not None:
            of = self.scale
            self.left = of.left + of.cell * (step * max(of.width // 4, 1))
            self._again()

    def action_zoom(self, step: int) -> None:
        """Closer or wider, about now where it is seen, else about the middle."""
        at = ZOOMS.index(self.zoom) + step
        if self.left is None or not 0 <= at < len(ZOOMS):
            return
        of = self.scale
        column = of.width // 2 if of.bar is None else of.bar
        middle = of.left + of.cell * column if of.bar is None else self.now
        self.zoom = ZOOMS[at]
        self.left = middle - cell_of(self.zoom, of.width) * column
        self._again()

    def action_now(self) -> None:
        """Turn back to now."""
        if self.now is not None:
            self.left = left_for_now(self.zoom, self._room(), self.now)
            self._again()

    def action_far(self) -> None:
        """Turn to the last date of the cursor's line."""
        wave = self.line.wave if self.line else None
        if wave is not None and wave.changes:
            last = wave.changes[-1].last or wave.changes[-1].middle
            of = self.scale
            self.left = last - of.cell * (of.width * 3 // 4)
            self._again()

    def action_open(self) -> None:
        if self.line is not None:
            self.post_message(self.Opened(self.line.row.label))

    def on_click(self, event: events.Click) -> None:
        """A click puts the cursor on a line, a second one opens it."""
        spot = event.get_content_offset(self)
        number = None if spot is None or spot.y < HEAD else self._line_at(spot.y - HEAD + round(self.scroll_y))
        if number is None:
            return
        if number == self.at and event.chain > 1:
            self.action_open()
        else:
            self._go(number)


def count_words(line: Line, brief: bool) -> str:
    """How many there are in which stage; with a sign where they are overdue, and one where the count is an estimate."""
    wave = line.wave
    if wave is None:
        return "-" if brief else "none left"
    about = "~" if line.row.estimate else ""
    late = "!" if any(change.overdue for change in wave.changes or ()) else ""
    stage = most_of(dict(wave.counts))
    of = dict(wave.counts)
    more = f"+{wave.count - of[stage]}" if len(of) > 1 else ""
    return (
        f"{about}{of[stage]}{LETTERS[stage]}{more}{late}"
        if brief
        else f"{about}{stage_count(of[stage], stage)}{more and ' ' + more}{late}"
    )


def _wants(line: Line) -> tuple[int, int, int, int]:
    """Columns that the label, the name, the count and the brief count would take."""
    words = (line.row.label, line.row.name, count_words(line, False), count_words(line, True))
    return tuple(cell_len(_one_line(one)) for one in words)


def _sides(wants, width: int) -> tuple[int, int, int]:
    """Columns for the label, the name and the count: as wide as they need to be, as far as there is room."""
    caps = (6, 0, 6) if width < NARROW else (8, 9, 13) if width < WIDE else (12, 22, 14)
    most = [max(column) for column in zip(*wants, strict=True)] or [1, 1, 1, 1]
    label, name, count = min(caps[0], most[0]), min(caps[1], most[1]), min(caps[2], most[3 if width < NARROW else 2])
    # What tells two cohorts apart is their label: it takes from the name what it lacks.
    more = min(most[0] - label, max(name - LEAST_NAME, 0))
    return label + more, name - more, count


def _gaps(sides: tuple[int, int, int]) -> int:
    """Columns of the cursor's sign and between the sides."""
    return 2 + sum(1 for side in sides if side)


def _one_line(text: str) -> str:
    return visible(text[:LONGEST]).replace("\n", " ").replace("\t", " ")


def _cut(text: str, width: int) -> str:
    """Text in exactly so many columns."""
    text = _one_line(text)
    return set_cell_size(text, width) if cell_len(text) <= width else set_cell_size(text, max(width - 1, 0)) + "…" * min(width, 1)


def _cut_inside(text: str, width: int) -> str:
    """Text in exactly so many columns; where it is longer it is cut inside, since labels often differ at their end alone."""
    text = _one_line(text)
    if cell_len(text) <= width or width < 5:
        return _cut(text, width)
    tail, last = "", (width - 1) // 2
    while cell_len(text[-1 - len(tail) :]) <= last:
        tail = text[-1 - len(tail) :]
    return set_cell_size(text, width - 1 - cell_len(tail)) + "…" + tail


def _length(cell: timedelta, brief: bool) -> str:
    hours = cell // timedelta(hours=1)
    days, over = divmod(hours, 24)
    if brief:
        return f"{hours} h" if over else f"{days} d"
    return f"{counted(hours, 'hour') if over else counted(days, 'day')} a column"
