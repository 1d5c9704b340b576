"""A list of things to tick, drawn line by line: margin, mark, words; a cursor that skips the headings; the same by keys and by mouse."""

from __future__ import annotations

from typing import NamedTuple

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from textual import events
from textual.binding import Binding
from textual.content import Content
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

NARROW = 60
"""Columns below which there is no margin: what would stand in it stands before the words."""
MARGIN = 7
LOW = 18
"""Lines up to which none is spent on rest above the first heading."""


class Row(NamedTuple):
    """One thing of the list."""

    key: str
    """The same when the list is read again; "" for what the cursor passes over."""
    words: str
    margin: str = ""
    """A day or an hour."""
    mark: str = ""
    """`[ ]`, `[x]`, `[-]`; "" for headings and remarks."""
    indent: int = 0
    kind: str = "open"
    """How it is drawn: `head`, `open`, `done`, `told`."""
    most: int = 2
    """Lines that its words may take."""


class TickList(ScrollView, can_focus=True):
    """The list. It says which row the cursor came to and which mark was clicked; it knows nothing of what the rows are."""

    COMPONENT_CLASSES = {
        "ticks--head",
        "ticks--open",
        "ticks--done",
        "ticks--told",
        "ticks--margin",
        "ticks--rule",
        "ticks--cursor",
    }
    DEFAULT_CSS = """
    TickList { height: 1fr; width: 1fr; background: $background; scrollbar-size-vertical: 1; overflow-x: hidden; overflow-y: auto; scrollbar-gutter: stable; }
    TickList .ticks--rule { color: $panel-lighten-2; }
    TickList .ticks--head { color: $secondary; text-style: bold; }
    TickList .ticks--open { color: $foreground; }
    TickList .ticks--done { color: $text-muted; }
    TickList .ticks--told { color: $text-muted; text-style: italic; }
    TickList .ticks--margin { color: $accent; }
    TickList .ticks--cursor { background: $panel; text-style: bold; }
    """
    BINDINGS = [
        Binding("up", "step(-1)", "Up", show=False),
        Binding("down", "step(1)", "Down", show=False),
        Binding("pageup", "page(-1)", "Page up", show=False),
        Binding("pagedown", "page(1)", "Page down", show=False),
        Binding("home", "edge(0)", "First", show=False),
        Binding("end", "edge(-1)", "Last", show=False),
    ]

    class Came(Message):
        """The cursor came to another row."""

        def __init__(self, key: str) -> None:
            super().__init__()
            self.key = key

    class Marked(Message):
        """The mark of a row was clicked."""

        def __init__(self, key: str) -> None:
            super().__init__()
            self.key = key

    def __init__(self, **named) -> None:
        super().__init__(**named)
        self._rows: list[Row] = []
        self._at = -1
        """The row of the cursor; -1 where there is none."""
        self._lines: list[tuple[int, Content, str, str]] = []
        """Row, words, margin and mark of each line."""
        self._starts: list[int] = []
        """The first line of each row."""
        self._laid = (0, False)

    @property
    def current(self) -> str:
        """The key of the row under the cursor; "" where there is none."""
        return self._rows[self._at].key if 0 <= self._at < len(self._rows) else ""

    def show(self, rows: list[Row]) -> None:
        """Put other rows in their place: the cursor stays on the row of the same key, else as far down as it was; the view stays."""
        before, at, top = self.current, self._at, self._screen_line()
        self._rows = rows
        self._lay_out()
        same = next((number for number, row in enumerate(rows) if row.key and row.key == before), None)
        self._at = self._nearest(at) if same is None else same
        if same is not None and top is not None:
            self.scroll_to(y=self._starts[same] - top, animate=False, immediate=True)
        self._into_view()
        if self.current != before:
            self.post_message(self.Came(self.current))

    def come_to(self, key: str) -> None:
        """Put the cursor on the row of that key, if there is one."""
        found = next((number for number, row in enumerate(self._rows) if row.key == key), None)
        if found is not None:
            self._go(found)

    # Layout --------------------------------------------------------------------------------------------------------------

    def on_resize(self) -> None:
        if self._room() != self._laid:
            top = self._screen_line()
            self._lay_out()
            if top is not None:
                self.scroll_to(y=self._starts[self._at] - top, animate=False, immediate=True)
        self._into_view()  # also where only the lines below it are gone: what is ticked must be seen

    def _room(self) -> tuple[int, bool]:
        """What the layout goes by: the columns, and whether there are lines to rest on."""
        return self.scrollable_content_region.width, self.size.height > LOW

    def _lay_out(self) -> None:
        self._laid = width, rest = self._room()
        self._lines, self._starts = [], []
        room = max(width - self._lead(width) - 1, 8)
        for number, row in enumerate(self._rows):
            if row.kind == "head" and (number or rest):
                self._lines.append((number, Content(""), "", ""))
            self._starts.append(len(self._lines))
            mark = f"{' ' * row.indent}{row.mark}{' ' if row.mark else ''}"
            words = row.words if width >= NARROW or not row.margin else f"{row.margin} {row.words}"
            left = room - cell_len(mark)
            pieces = Content(words).wrap(max(left, 4))
            if len(pieces) > row.most:
                kept = pieces[row.most - 1].plain.rstrip()
                pieces = [*pieces[: row.most - 1], Content(set_cell_size(kept, min(cell_len(kept), left - 1)).rstrip() + "…")]
            for at, piece in enumerate(pieces or [Content("")]):
                self._lines.append((number, piece, row.margin if not at else "", mark if not at else " " * cell_len(mark)))
        self.virtual_size = Size(width, len(self._lines))
        self.refresh()

    def _lead(self, width: int) -> int:
        """Cells before the mark: the cursor's sign, and the margin where there is room for one."""
        return 2 + (MARGIN + 3 if width >= NARROW else 0)

    def _screen_line(self) -> int | None:
        """How far down the window the cursor stands."""
        return self._starts[self._at] - self.scroll_offset.y if 0 <= self._at < len(self._starts) else None

    def _nearest(self, at: int) -> int:
        """The row for the cursor that stands next to that place."""
        able = [number for number, row in enumerate(self._rows) if row.key]
        return min(able, key=lambda number: (abs(number - max(at, 0)), number), default=-1)

    def _into_view(self) -> None:
        if not 0 <= self._at < len(self._starts):
            return
        begin = self._starts[self._at]
        end = self._starts[self._at + 1] if self._at + 1 < len(self._starts) else len(self._lines)
        first = next((number for number, row in enumerate(self._rows) if row.key), 0) == self._at
        begin = 0 if first else begin
        self.scroll_to_region(Region(0, begin, 1, max(end - begin, 1)), animate=False, force=True, immediate=True)

    def render_line(self, y: int) -> Strip:
        width = self.scrollable_content_region.width
        number = y + self.scroll_offset.y
        base = self.rich_style
        if number >= len(self._lines):
            return Strip.blank(width, base)
        at, words, margin, mark = self._lines[number]
        row = self._rows[at]
        style = self.get_component_rich_style(f"ticks--{row.kind}")
        beside = self.get_component_rich_style("ticks--margin")
        rule = self.get_component_rich_style("ticks--rule")
        if at == self._at:
            under = self.get_component_rich_style("ticks--cursor")
            style, beside, rule, base = style + under, beside + under, rule + under, base + under
        sign = "› " if at == self._at and number == self._starts[at] else "  "
        segments = [Segment(sign, base)]
        if width >= NARROW:
            segments.append(Segment(_right(margin, MARGIN), beside))
            segments.append(Segment("   " if row.kind == "head" or (not row.key and not words.plain) else " │ ", rule))
        segments += [Segment(mark, style), Segment(words.plain, style)]
        return Strip(segments).adjust_cell_length(width, base)

    # Keys and mouse ------------------------------------------------------------------------------------------------------

    def action_step(self, by: int) -> None:
        """The next row up or down that can be ticked."""
        able = [number for number, row in enumerate(self._rows) if row.key]
        beyond = [number for number in able if (number - self._at) * by > 0]
        if beyond:
            self._go(beyond[0] if by > 0 else beyond[-1])

    def action_page(self, by: int) -> None:
        """A window's height further."""
        if self._rows:
            goal = self._starts[max(self._at, 0)] + by * max(self.scrollable_content_region.height - 2, 1)
            able = [number for number, row in enumerate(self._rows) if row.key]
            self._go(min(able, key=lambda number: abs(self._starts[number] - goal), default=-1))

    def action_edge(self, at: int) -> None:
        """The first row or the last."""
        able = [number for number, row in enumerate(self._rows) if row.key]
        if able:
            self._go(able[at])

    def _go(self, number: int) -> None:
        if number != self._at and number >= 0:
            self._at = number
            self._into_view()
            self.refresh()
            self.post_message(self.Came(self.current))

    def on_click(self, event: events.Click) -> None:
        """A click brings the cursor; a click on the mark ticks."""
        offset = event.get_content_offset(self)
        if offset is None:
            return
        number = offset.y + self.scroll_offset.y
        if number >= len(self._lines) or not self._rows[self._lines[number][0]].key:
            return
        at = self._lines[number][0]
        lead, mark = self._lead(self.scrollable_content_region.width), self._rows[at].mark
        self._go(at)
        begin = lead + self._rows[at].indent
        if mark and number == self._starts[at] and begin <= offset.x < begin + len(mark):
            self.post_message(self.Marked(self._rows[at].key))


def _right(text: str, width: int) -> str:
    """The text at the right of so many cells, cut where it is longer."""
    return " " * (width - cell_len(text)) + text if cell_len(text) <= width else set_cell_size(text, width)
