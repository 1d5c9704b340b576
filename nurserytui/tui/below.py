"""What stands below a list for a while: a remark, or a question with its choices."""

from __future__ import annotations

from collections.abc import Sequence

from textual.containers import VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.style import Style
from textual.widgets import Static

from nurserytui.tui.words import days_once, short
from nurserytui.visible import visible

ACTS = ("noted", "undone")
"""Words before remarks that only tell what was done."""
STANDS = 30.0
"""Seconds for which a remark stands."""


class Remark(Static):
    """One remark, with a word for what it is before it; gone after a while."""

    SCOPED_CSS = False
    DEFAULT_CSS = """
    Remark { display: none; height: auto; max-height: 40%; border-left: double $success; padding: 0 1; }
    Remark.-open { display: block; }
    .-low Remark.-act { height: 1; text-wrap: nowrap; text-overflow: ellipsis; }
    """

    class Faded(Message):
        """The remark is gone."""

    def __init__(self) -> None:
        super().__init__("")
        self._fading = None

    def say(self, words: str, word: str = "") -> None:
        """Show a remark in place of the one that stands. What tells of an act that the list shows too takes one row on low screens."""
        self.update(Content.assemble((f"{word}  " if word else "", "bold $success"), (days_once(short(words, 600)), "")))
        self.set_class(word in ACTS, "-act")
        self.set_class(True, "-open")
        if self._fading is not None:
            self._fading.stop()
        self._fading = self.set_timer(STANDS, self.fade)

    def fade(self) -> None:
        """Take it away."""
        self.set_class(False, "-open")
        self.post_message(self.Faded())


class _Words(Static):
    """The question in words: a click on a choice is the question's to answer."""

    def action_pick(self, number: int) -> None:
        self.post_message(Asked.Clicked(number))


class Asked(VerticalScroll):
    """A question whose choices are picked by their digits or by a click."""

    DEFAULT_CSS = """
    Asked { display: none; height: auto; max-height: 60%; border-left: dashed $warning; padding: 0 1; }
    Asked.-open { display: block; }
    Asked Static { height: auto; link-style: none; link-background: transparent; }
    """

    class Picked(Message):
        """The choice of that number, from 1, was picked."""

        def __init__(self, number: int) -> None:
            super().__init__()
            self.number = number

    class Clicked(Message):
        """The choice of that number was clicked."""

        def __init__(self, number: int) -> None:
            super().__init__()
            self.number = number

    def __init__(self) -> None:
        super().__init__()
        self._many = 0

    def compose(self):
        yield _Words("")

    def on_asked_clicked(self, message: Clicked) -> None:
        message.stop()
        self.action_pick(message.number)

    @property
    def stands(self) -> bool:
        """Whether a question stands."""
        return self._many > 0

    def ask(self, words: str, choices: Sequence[str]) -> None:
        """Put a question in place of the one that stands."""
        self._many = len(choices)
        parts = [Content.assemble(("which?  ", "bold $warning"), (days_once(visible(words)), ""))]
        for number, choice in enumerate(choices, 1):
            line = Content.assemble((f"{number} ", "bold $secondary"), (days_once(short(choice, 400)), ""))
            parts.append(line.stylize(Style.from_meta({"@click": f"pick({number})"})))
        parts.append(Content.styled("A digit picks, Escape leaves it.", "$text-muted"))
        self.query_one(Static).update(Content("\n").join(parts))
        self.set_class(True, "-open")
        self.scroll_home(animate=False)

    def leave(self) -> None:
        """Take the question away."""
        self._many = 0
        self.set_class(False, "-open")

    def action_pick(self, number: int) -> None:
        """Pick the choice of that number, if there is one."""
        if 0 < number <= self._many:
            self.leave()
            self.post_message(self.Picked(number))
