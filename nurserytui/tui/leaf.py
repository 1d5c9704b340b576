"""A leaf of the notebook: one whole screen about one thing, read in the desk's thread and drawn when it is there."""

from __future__ import annotations

from textual import work
from textual._styles_cache import StylesCache
from textual.app import ComposeResult
from textual.binding import Binding
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from nurserytui.tui.doing_row import DoingRow
from nurserytui.tui.keys_row import KeysRow
from nurserytui.visible import visible

PATIENCE = 0.4
"""Seconds after which a leaf that is still being read says so; what is there sooner is shown without a word."""


class Leaf(Screen):
    """What every leaf has: a heading, its own body, the keys at the foot, Escape back to the conversation.

    A leaf gives `HEADING`, `body()`, `page(nursery)`, which runs in the desk's thread and only reads, and `draw(page)`.
    """

    HEADING = ""
    _more = ""
    """What stands after the heading."""
    _reads = 0
    _waits = False
    """Whether the heading says that the leaf is being worked out."""
    BINDINGS = [Binding("escape", "app.back", "Back")]

    def compose(self) -> ComposeResult:
        yield Static(Content(self.HEADING), classes="heading")
        yield from self.body()
        yield DoingRow(self.app.desk)
        yield KeysRow()

    def body(self) -> ComposeResult:
        """The widgets between the heading and the keys."""
        raise NotImplementedError

    def page(self, nursery):
        """The values that the leaf shows."""
        raise NotImplementedError

    def draw(self, page) -> None:
        """Show the values, keeping the reader's place."""
        raise NotImplementedError

    def on_screen_resume(self) -> None:
        self.follow()

    def on_unmount(self) -> None:
        # Textual remembers what it drew of a thousand widgets after they are gone: a leaf turned to a hundred times would be held a hundred times.
        StylesCache.get_inner_outer.cache_clear()

    def follow(self) -> None:
        """Read again: time has passed, or something was written."""
        self._read()

    @work(exclusive=True, group="leaf", exit_on_error=False)
    async def _read(self) -> None:
        self._reads = this = self._reads + 1
        sign = self.set_timer(PATIENCE, lambda: self._say_waits(True))
        try:
            page = await self.app.desk.read(self.page)
            if self.is_attached:
                self.draw(page)
        except Exception as error:
            if self.is_attached:
                self.head(f"could not be read: {error}")
        finally:
            sign.stop()
            if this == self._reads:  # else another reading has begun in its place
                self._say_waits(False)

    def _say_waits(self, waits: bool) -> None:
        if waits != self._waits and self.is_attached:
            self._waits = waits
            self.head(self._more)

    def head(self, more: str) -> None:
        """Put words after the heading: of whom it is, of which moment."""
        self._more = more
        waits = "  working it out" if self._waits else ""
        words = Content.assemble((self.HEADING, "bold"), (waits, "bold $secondary"), (f"  {visible(more)}", ""))
        # One line whatever it says: nothing else has to be laid out again.
        self.query_one(".heading", Static).update(words, layout=False)
