"""The conversation as a notebook page: the hour in the margin, what was asked and what was said beside it."""

from __future__ import annotations

from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.widgets import Static

from nurserytui.answers.answer import Answer
from nurserytui.tui.words import NOTED, asked, plain, said

KEPT = 120
"""Lines of the conversation that stay mounted: typing slows with every widget more."""


class Line(Horizontal):
    """One line of the notebook: margin and text."""

    def __init__(self, margin: str, text: Content, classes: str) -> None:
        super().__init__(classes=f"line {classes}")
        self._margin = margin
        self._text = text

    def compose(self):
        yield Static(Content(self._margin), classes="margin")
        yield Static(self._text, classes="words")


class Said(Line):
    """An answer, its working folded until it is wanted."""

    def __init__(self, answer: Answer) -> None:
        super().__init__(NOTED[answer.status], said(answer, False), f"said {answer.status}")
        self.answer = answer
        self.unfolded = False

    def fold(self) -> None:
        """Show the working, or hide it again."""
        self.unfolded = not self.unfolded
        self.query_one(".words", Static).update(said(self.answer, self.unfolded))

    def on_click(self) -> None:
        self.fold()


class Notebook(VerticalScroll):
    """The page. It follows the newest line until the reader scrolls up."""

    can_focus = True

    def on_mount(self) -> None:
        self.anchor()

    async def ask(self, text: str, hour: str) -> None:
        """Write down what was typed."""
        await self._put(Line(hour, asked(text), "asked"))

    async def say(self, answer: Answer) -> None:
        """Write down an answer."""
        said = Said(answer)
        await self._put(said)
        self.call_after_refresh(self._from_its_top, said)

    def _from_its_top(self, said: Said) -> None:
        """A long answer is read from its first line, which holds the number; a short one stands at the foot of the page."""
        if said.is_attached and said.virtual_region.height >= self.scrollable_content_region.height:
            self.scroll_to_widget(said, animate=False, top=True)

    async def tell(self, text: str) -> None:
        """Write a remark of the program's own."""
        await self._put(Line("", Content(plain(text)), "told"))

    async def _put(self, line: Line) -> None:
        self.anchor()
        await self.mount(line)
        surplus = list(self.children)[:-KEPT]
        if surplus:
            await self.remove_children(surplus)

    def newest(self) -> Said | None:
        """The latest answer on the page that has something folded."""
        held = (line for line in reversed(self.children) if isinstance(line, Said))
        return next((line for line in held if line.answer.working or line.answer.sources), None)
