"""One row that says what the desk is busy with and how far it is; not there while nothing takes long."""

from __future__ import annotations

from textual.content import Content
from textual.timer import Timer
from textual.widgets import Static

from nurserytui.tui.desk import Desk, Doing
from nurserytui.visible import visible

EVERY = 0.2
"""Seconds between two looks at how far it is; what is over sooner is never shown."""


ASKED = Doing("working it out", stops=False)
"""What is said of a line that was sent, once it has taken two looks."""


class DoingRow(Static):
    """Asks the desk, on a timer that runs only while there is something to ask about."""

    DEFAULT_CSS = """
    DoingRow { height: 1; width: 1fr; padding: 0 1; display: none; color: $secondary; text-style: bold; text-wrap: nowrap; text-overflow: ellipsis; }
    """

    def __init__(self, desk: Desk) -> None:
        super().__init__("")
        self._desk = desk
        self._timer: Timer | None = None
        self._shown = ""
        self._looks = 0

    def on_mount(self) -> None:
        if self._desk.stoppable:
            self.follow()

    def follow(self) -> None:
        """Something long has been given to the desk: show it until it is done."""
        if self._timer is None:
            self._looks = 0
            self._timer = self.set_interval(EVERY, self._look)

    def rest(self) -> None:
        """It is done."""
        if self._timer is not None:
            self._timer.stop()
            self._timer = None
        self._show(False)

    def _show(self, shown: bool) -> None:
        if self.display is not shown:
            self.display = shown
            self.screen.refresh_bindings()  # Esc stops it, as long as there is something to stop

    def on_resize(self) -> None:
        if self._desk.doing is not None:
            self._look()

    def _look(self) -> None:
        self._looks += 1
        doing = self._desk.doing or (ASKED if self._desk.busy and self._looks > 1 else None)
        if doing is None:
            if self.display:
                self.rest()
            return
        self._show(True)
        text = said(doing, (self.parent.size.width if self.parent else 80) - 2)
        if text != self._shown:
            self._shown = text
            self.update(Content(text))


def said(doing: Doing, width: int) -> str:
    """What is being done, as much of it as fits: `importing seasons.csv: 45,000 of 210,000 rows read`."""
    words = visible(doing.words)
    if doing is ASKED:
        return words
    far = f"{doing.done:,} of {doing.total:,} {doing.what}" if doing.total else doing.what
    stop = ["Esc stops it"] if doing.stops else []
    waits = "what you ask waits"
    for parts in (
        [f"{words}: {far}" if far else words, waits, *stop],
        [f"{words}: {far}" if far else words, *stop],
        [far or words, *stop],
    ):
        text = " · ".join(parts)
        if len(text) <= width:
            return text
    share = [f"{doing.done * 100 // doing.total} %"] if doing.total else []
    return " · ".join([*share, *stop, words])
