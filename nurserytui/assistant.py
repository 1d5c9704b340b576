"""The one door: a typed line in, an Answer out. The app and the command line both call this and own no logic."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from typing import TypeVar

from nurserytui import answers
from nurserytui.answers import own_knowledge
from nurserytui.answers.answer import Answer
from nurserytui.answers.understood import LONGEST as LONGEST_SHOWN
from nurserytui.answers.understood import NOTHING, Understood
from nurserytui.answers.unwritten import with_unwritten
from nurserytui.language import choosing
from nurserytui.language.context import Context
from nurserytui.language.normalise import cut, one_line, unsteered
from nurserytui.language.request import Request
from nurserytui.language.understand import understand
from nurserytui.records.errors import Overtaken, StoreError

Value = TypeVar("Value")
TRIES = 3
"""So often a line is thought out while others may write; after that they have to wait until it is written."""

WRITING = ("record", "undo")
"""Topics of lines that change the records."""


class Assistant:
    """One conversation about one nursery."""

    def __init__(self, nursery) -> None:
        self.nursery = nursery
        self.context = Context()
        self._faults_told = False
        self.trouble: StoreError | None = None
        """What is wrong with the nursery's file, by the last line that met it."""

    def new_conversation(self) -> None:
        """Forget what was spoken of; the records stay."""
        self.context.clear()

    def note(self, text: str, now: datetime | None = None) -> Answer:
        """Write down one sentence from beside the conversation, such as a tick on the round.

        It refers to nothing that was spoken of, and answers nothing that was asked back; `undo` in the conversation takes it back next.
        """
        talk, self.context = self.context, Context()
        try:
            answer = self.reply(text, now)
            talk.last_group = self.context.last_group or talk.last_group
        finally:
            self.context = talk
        return answer

    def take_back(self, which: str, now: datetime | None = None) -> Answer:
        """Take back exactly one record by its group or id, whatever was written since. Never raises on what stands in the file."""
        from nurserytui.answers.taking_back import take_back

        try:
            if now is not None:
                self.nursery.at(now)
            return self._with_cautions(self._not_overtaken(lambda: take_back(self.nursery, which)))
        except StoreError as error:
            return Answer("unknown", "undo", f"Nothing was changed: {error}")

    def reply(self, text: str, now: datetime | None = None) -> Answer:
        """Answer one question or write down one record.

        `now` moves the nursery to that moment first. Never raises on what was typed: a fault of ours is an `unknown` that says that
        nothing was written, a fault of the records file says what is wrong with the file.
        """
        self.trouble = None
        text = unsteered(text)
        read = cut(text)
        try:
            if now is not None:
                self.nursery.at(now)
            whole = len(read) == len(text)
            request, answer = self._not_overtaken(lambda: self._worked_out(one_line(read), whole))
            answer = with_unwritten(own_knowledge.said(answer), request, self.context)
            if not self._faults_told:
                self._faults_told = True
                faults = own_knowledge.faulty(self.nursery.knowledge)
                answer = answer._replace(cautions=(*answer.cautions, faults)) if faults else answer
        except StoreError as error:
            return self._not_written(error)
        except Exception as error:
            from nurserytui.records.checking import damage_behind

            if damage := damage_behind(self.nursery.store):
                return self._not_written(damage)
            if os.environ.get("NURSERYTUI_DEBUG"):
                raise
            print(f"nurserytui: fault in answering: {type(error).__name__}: {error}", file=sys.stderr)
            return Answer(
                "unknown", "help", "I could not work that out: a fault of this program, not of your line. Nothing was written."
            )
        if not whole:
            if request.topic in WRITING:
                return answer
            answer = answer._replace(text=f"{answer.text}\n(Only the first {len(read)} characters of the line were read.)")
        self.context.remember(request, answer)
        return self._with_cautions(answer)

    def _with_cautions(self, answer: Answer) -> Answer:
        """The answer behind what is to be known of the nursery's file first."""
        found = self.nursery.store.cautions()
        return answer._replace(text="\n".join([*(f"Take care: {one}." for one in found), answer.text])) if found else answer

    def _worked_out(self, line: str, whole: bool) -> tuple[Request, Answer]:
        """What the line asks or tells, and the answer, once it is written; a line that is not whole writes nothing. The conversation stays
        as it is."""
        request = understand(line, self.nursery, self.context)
        if not whole and request.topic in WRITING:
            return request, _too_long(request)
        return request, answers.respond(request, self.nursery)

    def _not_overtaken(self, work: Callable[[], Value]) -> Value:
        """What `work` gives, thought out on the very records that it adds to: labels, counts and "the last one" are of the moment of
        writing, whatever others record meanwhile."""
        for _ in range(TRIES):
            try:
                return work()
            except Overtaken:
                self.nursery.refresh()
        try:
            with self.nursery.store.held():
                self.nursery.refresh()
                return work()
        except Exception:
            with suppress(StoreError):
                self.nursery.refresh()  # what it took in may not have been written
            raise

    def _not_written(self, error: StoreError) -> Answer:
        self.trouble = error
        return Answer("unknown", "record", f"Nothing was written: {error}")

    def understood(self, text: str, now: datetime | None = None) -> Understood:
        """What a line that is still being typed would be taken for. Only reads: the conversation and the records stay as they are.

        Never raises; says nothing where there is nothing to say.
        """
        from nurserytui.answers.understood import understood

        if not text.strip() or len(text) > LONGEST_SHOWN:
            return NOTHING
        try:
            if now is not None:
                self.nursery.at(now)
            return understood(understand(one_line(unsteered(text)), self.nursery, self.context), self.nursery)
        except Exception:
            if os.environ.get("NURSERYTUI_DEBUG"):
                raise
            return NOTHING

    def choices(self) -> dict[int, str]:
        """The sentence that each number typed alone means now."""
        return choosing.by_number(self.context)

    def to_edit(self) -> frozenset[int]:
        """The numbers of choices that are examples of a record, to be changed before they are sent."""
        return choosing.to_edit(self.context)


def _too_long(request: Request) -> Answer:
    """A record is read whole or not at all: its end may say how many, or that it was otherwise."""
    read = len(request.text)
    said = f"The line is longer than the {read:,} characters that are read of it; nothing was written. Send it in shorter lines."
    return Answer("clarify", request.topic, said)
