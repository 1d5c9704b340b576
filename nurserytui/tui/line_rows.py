"""The quiet rows under the question line: how it may go on, and what it would be taken for. They are always there, so nothing jumps."""

from __future__ import annotations

from rich.cells import cell_len, set_cell_size
from textual import events
from textual.content import Content
from textual.widgets import Static

from nurserytui.visible import visible


class LineRows(Static):
    """Two rows, or one that both share on low screens. What does not change is not drawn again."""

    SCOPED_CSS = False
    DEFAULT_CSS = """
    LineRows { height: 2; padding: 0 2; color: $text-muted; text-wrap: nowrap; text-overflow: ellipsis; }
    .-low LineRows { height: 1; padding: 0 1; }
    """

    def __init__(self) -> None:
        super().__init__("", id="typed")
        self._parts = ("", "", False)
        self._shown: str | None = None

    def tell(self, on: str, heard: str, first: bool = False) -> None:
        """`on` is how the line may go on, `heard` what it is taken for; `first` says that `on` is what counts just now."""
        if self._parts != (on, heard, first):
            self._parts = (on, heard, first)
            self._draw()

    def on_resize(self, event: events.Resize) -> None:
        self._draw()

    def _draw(self) -> None:
        on, heard, first = (visible(part).replace("\n", " ") if isinstance(part, str) else part for part in self._parts)
        if self.size.height == 1:
            text = on if first or not heard else heard
        else:
            text = f"{on}\n{heard}" if on or not heard else _on_two(heard, self.content_size.width)
        if text != self._shown:
            self._shown = text
            self.update(Content(text), layout=False)

    @property
    def text(self) -> str:
        """What stands in the rows."""
        return self._shown or ""


def _on_two(text: str, width: int) -> str:
    """What is too long for the lower row begins in the upper one."""
    if cell_len(text) <= width:
        return f"\n{text}"
    upper = set_cell_size(text, width).rpartition(" ")[0].rstrip() or text
    return f"{upper}\n{text[len(upper) :].lstrip()}"
