"""What stands behind the row under the cursor: its reasons, and how they were worked out, looked up in the desk's thread."""

from __future__ import annotations

from textual import work
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from nurserytui.pages.round import Item, Round, why
from nurserytui.tui.round_rows import Laid, behind, behind_all, behind_done, worked_out

DEEPER = {"": "reasons", "reasons": "working", "working": ""}
"""How far it is unfolded -> what one step more shows; after the last it is folded."""


class Behind(VerticalScroll):
    """The reasons of one row, with the working under them where it is unfolded."""

    DEFAULT_CSS = """
    Behind Static { height: auto; }
    """

    def __init__(self, **named) -> None:
        super().__init__(**named)
        self._key = self._depth = ""
        self._page: Round | None = None
        self._item: Item | None = None
        """The task that is shown; None for other rows."""
        self._wanted: Item | None = None
        """The task whose working is to be looked up."""
        self._width = 0
        self._turning = False
        """Whether the working was asked for just now, so that it is to be brought into sight."""

    def compose(self) -> ComposeResult:
        yield Static("", id="behind")
        yield Static("", id="worked")

    def deepen(self) -> None:
        """It is unfolded one step more: begin anew, with the working in sight where that is asked for."""
        self._key, self._turning = "", True

    def explain(self, key: str, laid: Laid, page: Round, depth: str, width: int) -> None:
        """Show what stands behind the row of that key, its working too where `depth` is `working`, in so many columns."""
        other = key != self._key
        self._key, self._page, self._depth, self._width = key, page, depth, width
        self._item = laid.items.get(key)
        if other:
            self.scroll_home(animate=False)
            self._say(worked=Content(""))
        if self._item is not None:
            if other:
                self._say(behind(self._item, page, None, width))
            self._look_up(self._item)
        elif key in laid.entries:
            self._say(behind_all(laid.entries[key], width))
        else:
            self._say(behind_done(laid.done[key]) if key in laid.done else Content(""))

    def _say(self, reasons: Content | None = None, worked: Content | None = None) -> None:
        if reasons is not None:
            self.query_one("#behind", Static).update(reasons)
        if worked is not None:
            self.query_one("#worked", Static).update(worked)

    def _look_up(self, item: Item) -> None:
        """Have the working of a task looked up, after the one that is; what the cursor has left meanwhile is left out."""
        looking, self._wanted = self._wanted is not None, item
        if not looking:
            self._look_all_up()

    @work(group="why", exit_on_error=False)
    async def _look_all_up(self) -> None:
        while (item := self._wanted) is not None:
            try:
                found = await self.app.desk.read(why, item.task)
            except Exception:  # the reasons stand already; what cannot be looked up is left out
                found = None
            self._wanted = None if self._wanted is item else self._wanted
            if found and self.is_attached and self._page is not None and self._item == item:
                deep = self._depth == "working"
                self._say(
                    behind(item, self._page, found, self._width, folded=not deep),
                    worked_out(found, self._width) if deep else Content(""),
                )
                if deep and self._turning:
                    self.call_after_refresh(self.query_one("#worked").scroll_visible, top=True, animate=False)
                self._turning = False
