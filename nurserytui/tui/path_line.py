"""One line that asks for a file: what is typed is completed from what is there, and nothing is done before Enter."""

from __future__ import annotations

import asyncio
import os
from pathlib import Path
from typing import NamedTuple

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from nurserytui.visible import visible

MOST = 200
"""Names that are offered at most."""


class Asked(NamedTuple):
    """What file is wanted."""

    words: str
    start: str
    """What stands on the line at first."""
    endings: tuple[str, ...]
    writes: bool
    """True if the file is to be written, False if it has to be there."""


class PathLine(ModalScreen[Path | None]):
    """Gives the path, or None if the keeper went back."""

    BINDINGS = [
        Binding("tab", "complete", "Complete", priority=True),
        Binding("down", "step(1)", "Next", show=False, priority=True),
        Binding("up", "step(-1)", "Before", show=False, priority=True),
        Binding("escape", "leave", "Back", priority=True),
    ]
    DEFAULT_CSS = """
    PathLine { align: left bottom; }
    PathLine > Vertical { height: auto; max-height: 100%; background: $surface; padding: 0 1; border-top: solid $primary; }
    PathLine Input, PathLine Input:focus { height: 1; border: none; padding: 0; background: $surface; }
    PathLine OptionList { height: auto; max-height: 8; border: none; padding: 0; background: $surface; display: none; }
    PathLine OptionList.there { display: block; }
    PathLine .hint { height: 1; color: $text-muted; text-wrap: nowrap; text-overflow: ellipsis; }
    """

    def __init__(self, asked: Asked) -> None:
        super().__init__()
        self._asked = asked
        self._names: list[str] = []
        self._sure_of = ""
        self._question = 0

    def compose(self) -> ComposeResult:
        with Vertical():
            yield Static(Content(self._asked.words))
            yield OptionList(markup=False)
            yield Input(value=self._asked.start, id="path", max_length=4000, select_on_focus=False)
            yield Static(Content(HINT), classes="hint")

    def on_mount(self) -> None:
        self.styles.background = self.styles.background.with_alpha(0.4)  # the page is seen through it
        self.query_one(OptionList).can_focus = False
        line = self.query_one(Input)
        line.focus()
        line.cursor_position = len(line.value)

    @on(Input.Changed)
    def changed(self) -> None:
        self._sure_of = ""
        self.look()

    @work(exclusive=True, group="names", exit_on_error=False)
    async def look(self) -> None:
        """Offer what is there; a slow disk keeps nobody from typing on."""
        self._question += 1
        question = self._question
        names = await asyncio.to_thread(there, self.query_one(Input).value, self._asked.endings)
        if question == self._question and self.is_attached:
            self._names = names
            listed = self.query_one(OptionList)
            listed.clear_options()
            listed.add_options([Option(Content(visible(name))) for name in names])
            listed.set_class(bool(names), "there")

    def action_complete(self) -> None:
        """Take the name that is marked, or as much as all of them begin with."""
        marked = self.query_one(OptionList).highlighted
        name = self._names[marked] if marked is not None and marked < len(self._names) else common(self._names)
        self._take(name)

    def action_step(self, step: int) -> None:
        """Mark the next name, or the one before."""
        listed = self.query_one(OptionList)
        if self._names:
            at = listed.highlighted
            listed.highlighted = (0 if step > 0 else len(self._names) - 1) if at is None else (at + step) % len(self._names)

    @on(OptionList.OptionSelected)
    def picked(self, message: OptionList.OptionSelected) -> None:
        self._take(self._names[message.option_index])

    def _take(self, name: str) -> None:
        line = self.query_one(Input)
        head, _ = parted(line.value)
        if len(head + name) >= len(line.value):
            line.value = head + name
            line.cursor_position = len(line.value)

    @on(Input.Submitted)
    def sent(self, message: Input.Submitted) -> None:
        message.stop()
        marked = self.query_one(OptionList).highlighted
        if marked is not None:
            self.query_one(OptionList).highlighted = None
            self._take(self._names[marked])
        else:
            self.judge(message.value)

    @work(exclusive=True, group="judge", exit_on_error=False)
    async def judge(self, typed: str) -> None:
        """Go on with the file, or say what is wrong with it."""
        path, wrong = await asyncio.to_thread(judged, typed, self._asked)
        if wrong == EXISTS and self._sure_of == typed:
            wrong = ""
        self._sure_of = typed if wrong == EXISTS else ""
        if wrong:
            self.query_one(".hint", Static).update(Content.styled(visible(wrong), "bold $warning"))
        else:
            self.dismiss(path)

    def action_leave(self) -> None:
        self.dismiss(None)


HINT = "Tab completes · Enter goes on · Esc goes back"
EXISTS = "There is such a file: Enter again writes over it."


def parted(typed: str) -> tuple[str, str]:
    """(folder as it was typed, with its slash; the beginning of the name)."""
    cut = max(typed.rfind(separator) for separator in {"/", os.sep, os.altsep or "/"}) + 1
    return typed[:cut], typed[cut:]


def there(typed: str, endings: tuple[str, ...]) -> list[str]:
    """Names in the folder that begin as was typed: folders (with a slash) and files that end as they should."""
    head, begun = parted(typed)
    found = []
    try:
        with os.scandir(Path(head).expanduser() if head else ".") as entries:
            for entry in entries:
                if not entry.name.casefold().startswith(begun.casefold()) or (entry.name[0] == "." and begun[:1] != "."):
                    continue
                if entry.is_dir():
                    found.append(f"{entry.name}/")
                elif entry.name.casefold().endswith(endings):
                    found.append(entry.name)
    except (OSError, ValueError, RuntimeError):
        return []
    found = sorted(found, key=str.casefold)[:MOST]
    return [] if found == [begun] else found


def common(names: list[str]) -> str:
    """What all the names begin with."""
    return os.path.commonprefix(names)


def judged(typed: str, asked: Asked) -> tuple[Path, str]:
    """(the path, what is wrong with it; "" for nothing)."""
    text = typed.strip()
    if len(text) > 1 and text[0] == text[-1] and text[0] in "'\"":
        text = text[1:-1]  # as a file that is dragged on to a terminal is written
    try:
        path = Path(text).expanduser()
        if not text or path.is_dir():
            return path, "Which file?" if not text else "That is a folder: which file in it?"
        if not asked.writes:
            return path, "" if path.is_file() else "There is no such file."
        if not path.suffix:
            path = path.with_name(path.name + asked.endings[0])
        if not path.name.casefold().endswith(asked.endings):
            return path, f"The name has to end in {' or '.join(asked.endings)}."
        if not path.parent.is_dir():
            return path, "There is no such folder."
        return path, EXISTS if path.exists() else ""
    except (OSError, ValueError, RuntimeError) as error:
        return Path(), f"That cannot be used: {error}"
