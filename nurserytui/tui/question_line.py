"""The line at the foot of the page, with its history and the choices that an asked-back question offers."""

from __future__ import annotations

from textual import events
from textual.message import Message
from textual.widgets import Input


class QuestionLine(Input):
    """One line of typing. Enter sends it; up and down walk through what was sent; a digit on an empty line picks a choice."""

    class Sent(Message):
        def __init__(self, text: str) -> None:
            super().__init__()
            self.text = text

    def __init__(self) -> None:
        super().__init__(placeholder="Ask, or write down what happened", id="question", max_length=2000, select_on_focus=False)
        self.choices: tuple[str, ...] = ()
        self._sent: list[str] = []
        self._at = 0
        self._draft = ""

    def offer(self, choices: tuple[str, ...]) -> None:
        """Full sentences that a digit will send."""
        self.choices = choices

    async def on_key(self, event: events.Key) -> None:
        if event.key in ("up", "down"):
            event.prevent_default().stop()
            self._walk(-1 if event.key == "up" else 1)
        elif not self.value and event.character and event.character.isdigit() and 0 < int(event.character) <= len(self.choices):
            event.prevent_default().stop()
            self._send(self.choices[int(event.character) - 1])

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        self._send(self.value)

    def _send(self, text: str) -> None:
        if text.strip():
            self._sent.append(text)
        self._at, self._draft = len(self._sent), ""
        self.choices = ()
        self.value = ""
        self.post_message(self.Sent(text))

    def _walk(self, step: int) -> None:
        if self._at == len(self._sent):
            self._draft = self.value
        self._at = min(max(self._at + step, 0), len(self._sent))
        self.value = self._sent[self._at] if self._at < len(self._sent) else self._draft
        self.cursor_position = len(self.value)
