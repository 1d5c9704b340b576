"""What a conversation remembers: the last few turns, the question the assistant asked back, the last events written."""

from typing import Any, NamedTuple

from nurserytui.language.request import Request

DEPTH = 3
"""Turns after which what was spoken of is forgotten."""


GROUPS = 6
"""Records of a conversation that a later line may still put right by saying what they told."""


class Turn(NamedTuple):
    request: Request
    answer: Any
    """The Answer given; language only reads its `status`, `about` and `options`."""


class Context:
    """The memory of one conversation. `turns` has the newest last."""

    def __init__(self) -> None:
        self.turns: list[Turn] = []
        self.open: Request | None = None
        """The request about which the assistant asked back and waits for an answer; None when nothing is open."""
        self.waiting: Turn | None = None
        """The turn in which a record was asked about that nothing has answered, dropped or replaced yet, while it is among the last few."""
        self.asked_about = ""
        """The line whose record the open question is about, as it was typed; "" where no record is open."""
        self.last_group = ""
        """The group of events last written in this conversation."""
        self.groups: list[str] = []
        """The groups of the last few records of this conversation, the newest last."""

    def clear(self) -> None:
        """A new conversation: nothing is referred to any more."""
        self.__init__()

    def remember(self, request: Request, answer: Any) -> None:
        """Keep the turn, and leave the request open if the answer asked something back."""
        self.turns = [*self.turns[-(DEPTH - 1) :], Turn(request, answer)]
        self.open = request if answer.status == "clarify" else None
        if self.open is not None and request.topic == "record":
            self.waiting = self.last
        elif request.topic in ("record", "undo") or self.waiting not in self.turns:
            self.waiting = None
        goes_on = request.layer == "reply" and self.asked_about
        self.asked_about = "" if self.open is None or request.topic != "record" else self.asked_about if goes_on else request.text
        if answer.status == "recorded":
            self.last_group = next((item["group"] for item in answer.items if item.get("group")), "")
            self.groups = [*self.groups[-(GROUPS - 1) :], self.last_group]

    @property
    def last(self) -> Turn | None:
        return self.turns[-1] if self.turns else None
