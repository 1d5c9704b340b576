"""A page of lines in one widget: a margin, text beside it, headings that fold, places to stop at that do something."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from rich.cells import cell_len, set_cell_size
from textual.binding import Binding
from textual.content import Content
from textual.geometry import Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.visual import Visual

from nurserytui.tui.wrapping import pieces
from nurserytui.visible import visible

CURSOR = "▌ "
"""Stands in the gutter at the stop where the cursor is: nothing rests on its colour."""
RULE = " │ "
FOLDED, OPEN = "▸", "▾"
NARROW = 56
"""Columns below which a margin takes no more than a third of the line."""


class Stroke(NamedTuple):
    """One entry of the page."""

    text: Content
    margin: str = ""
    tone: str = ""
    """The style of the margin."""
    act: object = None
    """What is posted when the reader chooses it; None for text that is only read."""
    heading: str = ""
    """The name of the section that it begins; everything to the next heading folds under it."""
    gist: str = ""
    """For a heading: what stands after its name while it is folded."""
    cut: bool = False
    """True for a row that is cut to one line instead of going on below itself."""


def text_of(words: str, style: str = "") -> Content:
    """Anybody's words as they are, never as markup."""
    return Content.styled(visible(words), style) if style else Content(visible(words))


class _Laid(NamedTuple):
    """One row: characters `start` to `end` of a stroke's text, drawn `indent` cells from the left."""

    stroke: int
    start: int
    end: int
    indent: int
    first: bool


class Stops(ScrollView, can_focus=True):
    """The page. The arrows go from stop to stop, and through what lies between them line by line."""

    DEFAULT_CSS = """
    Stops { width: 1fr; height: 1fr; overflow-x: hidden; overflow-y: scroll; scrollbar-size-vertical: 1; padding: 0 1;
            text-wrap: nowrap; text-overflow: ellipsis; }
    """
    BINDINGS = [
        Binding("up", "step(-1)", "Up", show=False),
        Binding("down", "step(1)", "Down", show=False),
        Binding("pageup", "leap(-1)", "Page up", show=False),
        Binding("pagedown", "leap(1)", "Page down", show=False),
        Binding("home", "edge(-1)", "Top", show=False),
        Binding("end", "edge(1)", "End", show=False),
        Binding("enter,space", "choose", "Open, fold", show=False),
    ]

    class Acted(Message):
        """The reader chose a stop."""

        def __init__(self, stops: Stops, act: object) -> None:
            super().__init__()
            self.stops = stops
            self.act = act

        @property
        def control(self) -> Stops:
            return self.stops

    class Passed(Acted):
        """The cursor came to a stop."""

    def __init__(self, *, margin: int = 0, id: str | None = None) -> None:
        super().__init__(id=id)
        self.margin = margin
        self.folded: set[str] = set()
        self.cursor = 0
        self._strokes: tuple[Stroke, ...] = ()
        self._laid: list[_Laid] = []
        self._first: dict[int, int] = {}
        """The row in which a stroke begins; none for those that are folded away."""
        self._width = 0

    # What stands on it -------------------------------------------------------------------------------------------------------

    def write(self, strokes: Iterable[Stroke], *, fresh: bool = False) -> None:
        """Put these in place of what stands there. Unless it is a fresh page, the cursor stays on the same thing, at the same height."""
        held = self._place()
        self._strokes = tuple(strokes)
        if fresh:
            self.cursor = next(self._stops(), 0)
            self._lay()
            self.scroll_to(y=0, animate=False, force=True)
        else:
            self.cursor = self._find(held[0], self.cursor)
            self._lay()
            self._back_to(held)
        self.refresh()

    def at(self) -> object:
        """What the cursor stands at; None on an empty page."""
        return self._strokes[self.cursor].act if self.cursor < len(self._strokes) else None

    def go_to(self, act: object, *, top: bool = False) -> None:
        """Put the cursor at what does this, and show it (at the top of the page, if that is wanted)."""
        found = next((number for number in self._stops() if self._strokes[number].act == act), None)
        if found is not None:
            self._land(found)
            if top and (line := self._line_of(found)) is not None:
                self.scroll_to(y=line, animate=False, force=True)

    def fold(self, heading: str, folded: bool | None = None) -> None:
        """Fold a section or open it; without a word, the other of the two."""
        held = self._place()
        shut = heading not in self.folded if folded is None else folded
        (self.folded.add if shut else self.folded.discard)(heading)
        self._lay()
        self._back_to(held)
        self.refresh()

    # Where it is -------------------------------------------------------------------------------------------------------------

    def _stops(self):
        """The numbers of the strokes at which the cursor can stand: none that are folded away."""
        under = ""
        for number, stroke in enumerate(self._strokes):
            if stroke.heading:
                under = stroke.heading
            elif under in self.folded:
                continue
            if stroke.act is not None:
                yield number

    def _identity(self, number: int):
        stroke = self._strokes[number]
        return stroke.act if stroke.act is not None else (stroke.margin, stroke.text.plain)

    def _place(self):
        """What the reader looks at, and at which height: the stop with the cursor where it is in sight, else the line on top."""
        if not self._laid:
            return None, 0
        top = self.scroll_offset.y
        line = self._line_of(self.cursor)
        if line is None or not top <= line < top + self.size.height:
            line = min(top, len(self._laid) - 1)
        return self._identity(self._laid[line].stroke), line - top

    def _find(self, name, otherwise: int) -> int:
        if name is not None:
            for number in self._stops():
                if self._identity(number) == name:
                    return number
        stops = list(self._stops())
        return min(stops, key=lambda number: abs(number - otherwise), default=0)

    def _back_to(self, held) -> None:
        name, height = held
        for line, laid in enumerate(self._laid):
            if laid.first and self._identity(laid.stroke) == name:
                self.scroll_to(y=max(line - height, 0), animate=False, force=True)
                return

    def _line_of(self, number: int) -> int | None:
        return self._first.get(number)

    # How it is drawn ---------------------------------------------------------------------------------------------------------

    def _room(self) -> tuple[int, int]:
        """Columns of the margin with its gap, and of the text."""
        width = max(self.scrollable_content_region.width - len(CURSOR), 1)
        margin = min(self.margin, width // 3) if width < NARROW else self.margin
        margin += len(RULE) if margin else 0
        return margin, max(width - margin, 1)

    def _lay(self) -> None:
        """Lay the lines out for the width that there is."""
        self._width = self.scrollable_content_region.width
        self._laid, self._first = [], {}
        _, room = self._room()
        under = ""
        for number, stroke in enumerate(self._strokes):
            if stroke.heading:
                under = stroke.heading
            elif under in self.folded:
                continue
            self._first[number] = len(self._laid)
            self._laid += _rows(number, stroke, room)
        self.virtual_size = Size(self._width, len(self._laid))

    def on_resize(self) -> None:
        if self.scrollable_content_region.width != self._width:
            held = self._place()
            self._lay()
            self._back_to(held)
            self.refresh()

    def render_line(self, y: int) -> Strip:
        width = self.scrollable_content_region.width
        at = self.scroll_offset.y + y
        style = self.visual_style
        if at >= len(self._laid):
            return Strip.blank(width, style.rich_style)
        line = self._content(self._laid[at])
        selected = self.text_selection.get_span(at) if self.text_selection is not None else None
        if selected is not None:
            start, end = selected
            line = line.stylize("reverse", start, len(line) if end == -1 else end)
        strips = Visual.to_strips(self, line, width, 1, style, apply_selection=False)
        return strips[0].adjust_cell_length(width, style.rich_style).apply_offsets(0, at)

    def _content(self, laid: _Laid) -> Content:
        stroke = self._strokes[laid.stroke]
        here = laid.stroke == self.cursor and stroke.act is not None
        gutter = (CURSOR if here and laid.first else "  ", "bold $accent")
        if stroke.heading:
            folded = stroke.heading in self.folded
            parts = [gutter, (f"{FOLDED if folded else OPEN} ", "$secondary"), stroke.text]
            line = Content.assemble(*parts, (f"  {visible(stroke.gist)} " if folded and stroke.gist else " ", "$text-muted"))
            return Content.assemble(line, ("─" * max(self._width - line.cell_length, 0), "$panel"))
        margin, _ = self._room()
        said = ""
        if margin:
            said = _right(stroke.margin if laid.first else "", margin - len(RULE))
        line = stroke.text[laid.start : laid.end]
        line = line.stylize("bold") if here else line
        return Content.assemble(
            gutter, (said, stroke.tone or "$text-muted"), (RULE if margin else "", "$panel"), " " * laid.indent, line
        )

    def get_selection(self, selection):
        text = "\n".join(self._content(laid).plain for laid in self._laid)
        return selection.extract(text), "\n"

    # Keys and mouse ----------------------------------------------------------------------------------------------------------

    def _land(self, number: int) -> None:
        moved, self.cursor = number != self.cursor, number
        line = self._line_of(number)
        if line is not None:
            top, height = self.scroll_offset.y, max(self.size.height, 1)
            if line < top:
                self.scroll_to(y=line, animate=False, force=True)
            elif line >= top + height:
                self.scroll_to(y=line - height + 1, animate=False, force=True)
        self.refresh()
        if moved:
            self.post_message(self.Passed(self, self._strokes[number].act))

    def action_step(self, way: int) -> None:
        """To the next stop if it is in sight, else one line on."""
        stops = [number for number in self._stops() if (number > self.cursor if way > 0 else number < self.cursor)]
        top, height = self.scroll_offset.y, self.size.height
        following = (stops[0] if way > 0 else stops[-1]) if stops else None
        if following is not None:
            line = self._line_of(following)
            near = top - 1 <= line <= top + height
            if near or not 0 <= top + way <= self.max_scroll_y:
                self._land(following)
                return
        self.scroll_to(y=top + way, animate=False, force=True)

    def action_leap(self, way: int) -> None:
        """A page on, the cursor to a stop that is in sight there."""
        height = max(self.size.height - 1, 1)
        top = min(max(self.scroll_offset.y + way * height, 0), self.max_scroll_y)
        self.scroll_to(y=top, animate=False, force=True)
        seen = [number for number in self._stops() if top <= self._first[number] < top + self.size.height]
        if top in (0, self.max_scroll_y) and not seen[1:]:
            seen = seen or list(self._stops())
        if seen:
            self._land(seen[0] if way < 0 or top < self.max_scroll_y else seen[-1])

    def action_edge(self, way: int) -> None:
        """To the first stop at the very top, or the last at the very end."""
        stops = list(self._stops())
        self.scroll_to(y=0 if way < 0 else self.max_scroll_y, animate=False, force=True)
        if stops:
            self._land(stops[0] if way < 0 else stops[-1])
            self.scroll_to(y=0 if way < 0 else self.max_scroll_y, animate=False, force=True)

    def action_choose(self) -> None:
        """Fold a heading, or say that a stop was chosen."""
        if self.cursor >= len(self._strokes):
            return
        stroke = self._strokes[self.cursor]
        if stroke.heading:
            self.fold(stroke.heading)
        elif stroke.act is not None:
            self.post_message(self.Acted(self, stroke.act))

    def on_click(self, event) -> None:
        line = event.get_content_offset(self)
        at = self.scroll_offset.y + line.y if line is not None else -1
        if 0 <= at < len(self._laid) and self._strokes[self._laid[at].stroke].act is not None:
            self._land(self._laid[at].stroke)
            self.action_choose()


def _rows(number: int, stroke: Stroke, room: int) -> list[_Laid]:
    """The rows of a stroke: one where it is cut, else as many as its lines need."""
    words = stroke.text.plain
    if stroke.cut or stroke.heading:
        return [_Laid(number, 0, len(words), 0, True)]
    rows, start = [], 0
    for line in words.split("\n"):
        rows += [_Laid(number, start + one.start, start + one.end, one.indent, False) for one in pieces(line, room)]
        start += len(line) + 1
    return [rows[0]._replace(first=True), *rows[1:]]


def _right(text: str, width: int) -> str:
    """The text at the right end of so many columns, cut where it is longer."""
    text = visible(text).replace("\n", " ")
    size = cell_len(text)
    return " " * (width - size) + text if size <= width else set_cell_size(text, width - 1) + "…"
