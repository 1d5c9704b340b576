"""The thread at which the assistant sits: the screen asks, the desk answers, nobody waits on the other's time."""

from __future__ import annotations

import asyncio
import sys
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from functools import partial
from importlib import import_module
from pathlib import Path
from time import sleep
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from nurserytui.tui.clock import Clock, universal
from nurserytui.tui.hand import Hand

if TYPE_CHECKING:
    from nurserytui.answers.answer import Answer

Value = TypeVar("Value")
TURN = 0.0001
"""Seconds of rest between two steps of long work, without which a thread that reads and writes much hardly lets the screen have a turn."""
PATIENCE = 0.5
"""Seconds that closing waits for what the desk is doing; what it has begun to write is then taken back by the file itself."""


SLICE = 0.6
"""Seconds of work on what the board expects before it is shown as far as it is; a question may come between two such pieces."""


class Sheet(NamedTuple):
    """What the board shows at one moment."""

    rows: list
    place: str
    now: datetime
    version: int = 0
    """Changes when the records may have."""
    told: str = ""
    """What happened to the file or the clock meanwhile, for the page; "" for nothing."""
    choices: dict[int, str] = {}
    """The sentence that each number typed alone means."""
    edited: frozenset[int] = frozenset()
    """The numbers of those that are to be changed before they are sent."""
    steps: tuple = ()
    """What there is to do first in a nursery that was found empty (`answers.beginning.Step`)."""

    @property
    def pending(self) -> bool:
        """Whether the board has rows that are not worked out yet."""
        return any(row.pending for row in self.rows)


class Doing(NamedTuple):
    """How far long work is: `done` of `total` of `what`; 0 where it cannot be counted."""

    words: str
    what: str = ""
    done: int = 0
    total: int = 0
    stops: bool = True


class Desk:
    """One nursery and one conversation, in a thread of their own: a database connection belongs to the thread that opened it."""

    def __init__(
        self, path: Path, start: datetime | None = None, instant: Callable[[], datetime] = universal, *, backups: bool = False
    ) -> None:
        """`backups` has the first idle moment of a day leave a backup."""
        self._path = path
        self._backups = backups
        self._clock = Clock(start, instant)
        self._hand = Hand("desk")
        self._store = None
        self._assistant = None
        self._closed = self._stopping = False
        self._drawn: Sheet | None = None
        self._wrong = ""
        self._beginning = False
        self.doing: Doing | None = None
        """The long work that is being done, for the screen to look at."""

    @property
    def path(self) -> Path:
        """The nursery's file."""
        return self._path

    @property
    def busy(self) -> bool:
        """Whether something is being worked on, so that what is asked has to wait."""
        return self._hand.busy

    def now(self) -> datetime:
        """The moment by the desk's clock."""
        return self._clock.now()

    async def open(self) -> Sheet:
        """Open the nursery and read the board. Raises `StoreError` if the file cannot be used."""
        return await self._run(self._open)

    async def reply(self, text: str) -> tuple[Answer, Sheet]:
        """The assistant's answer to one line, and the board after it."""
        return await self._run(lambda: self._answered(lambda now: self._assistant.reply(text, now)))

    async def note(self, text: str) -> tuple[Answer, Sheet]:
        """Write down one sentence from beside the conversation, and the board after it."""
        return await self._run(lambda: self._answered(lambda now: self._assistant.note(text, now)))

    async def take_back(self, which: str) -> tuple[Answer, Sheet]:
        """Take back exactly one record (its group or id), and the board after it."""
        return await self._run(lambda: self._answered(lambda now: self._assistant.take_back(which, now)))

    async def look(self) -> Sheet:
        """The board now: time has passed, or another process has written."""
        return await self._run(self._look)

    async def watch(self) -> Sheet | None:
        """The board, if it has changed since it was last given or there is something to tell; never waits behind other work."""
        return None if self.busy or self._assistant is None else await self._run(self._changed)

    async def read(self, work: Callable[..., Value], *arguments) -> Value:
        """What `work(nursery, *arguments)` gives, at the desk's moment and with what other processes wrote; for reading only."""
        return await self._run(lambda: self._read(work, *arguments))

    async def errand(self, words: str, work: Callable[..., Value]) -> tuple[Value, Sheet]:
        """What `work(nursery, progress)` gives, and the board after it: long work that tells how far it is and can be stopped, which
        raises `Stopped`."""
        return await self._run(lambda: self._errand(words, work))

    @property
    def stoppable(self) -> bool:
        """Whether long work goes on that can be stopped."""
        return self.doing is not None and self.doing.stops

    def stop(self) -> None:
        """Have the errand stop at its next step; nothing of it stays."""
        self._stopping = True
        if doing := self.doing:
            self.doing = Doing(doing.words, "stopping", stops=False)

    async def understood(self, text: str):
        """What a line that is still being typed would be taken for (`answers.understood.Understood`)."""
        return await self._run(lambda: self._assistant.understood(text, self.now()))

    async def completion(self):
        """How lines may go on, with the names in the records as they stand (`language.completing.Completion`)."""
        return await self._run(self._completion)

    async def apart(self, work: Callable[[], Value]) -> Value:
        """Something that needs no nursery, done in the desk's thread."""
        return await self._run(work)

    def aside(self, work: Callable, *arguments) -> None:
        """Do something in the desk's thread that nobody waits for."""
        if not self._closed:
            self._hand.give(partial(work, *arguments))

    async def fetch(self, module: str):
        """A module, imported in the desk's thread where it has to be: the screen goes on meanwhile."""
        return sys.modules.get(module) or await self._run(lambda: import_module(module))

    async def fresh(self) -> None:
        """Begin a new conversation."""
        await self._run(lambda: self._assistant.new_conversation())

    async def close(self) -> None:
        """Close the file and end the thread, without waiting long for what it is doing."""
        if self._closed:
            return
        self._closed = True
        self.stop()
        closing = asyncio.wrap_future(self._hand.give(self._close))
        self._hand.end()
        await asyncio.wait([closing], timeout=PATIENCE)

    async def _run(self, work: Callable[[], Value]) -> Value:
        return await asyncio.wrap_future(self._hand.give(work))

    # In the desk's thread ------------------------------------------------------------------------------------------------

    def _open(self) -> Sheet:
        from nurserytui.records.store import Store

        self.doing = Doing(f"opening {self._path.name}", stops=False)
        try:
            store = Store.open(self._path, from_kept=True)
            try:
                self._sit_down(store)
                return self._sheet()
            except Exception as error:
                from nurserytui.records.checking import damage_behind

                if damage := damage_behind(store):
                    raise damage from error
                raise
        finally:
            self.doing = None

    def _sit_down(self, store) -> None:
        """Take the nursery of that store, and begin a conversation about it."""
        from nurserytui.assistant import Assistant
        from nurserytui.knowledge.base import load
        from nurserytui.nursery import Nursery

        self._clock.zone = store.timezone()
        assistant = Assistant(Nursery(store, self._assistant.nursery.knowledge if self._assistant else load(), self.now()))
        if self._store is not None:
            self._store.close()
        self._store, self._assistant = store, assistant
        self._beginning = not assistant.nursery.ledger.cohorts

    def _completion(self):
        from nurserytui.language.completing import Completion

        return Completion.of(self._assistant.nursery)

    def _answered(self, work: Callable[[datetime], Answer]) -> tuple[Answer, Sheet]:
        told = self._same_file()
        answer = work(self.now())
        return answer, self._sheet(told)

    def _read(self, work, *arguments):
        self._assistant.nursery.at(self.now())
        return work(self._assistant.nursery, *arguments)

    def _errand(self, words: str, work):
        from nurserytui.records.progress import Stopped

        def progress(done: int, total: int, what: str = "") -> None:
            if self._stopping:
                raise Stopped
            self.doing = Doing(words, what, done, total)
            sleep(TURN)

        self._stopping = self._closed
        self.doing = Doing(words)
        try:
            progress(0, 0)
            value = self._read(work, progress)
            self.doing = Doing(words, "taking it in", stops=False)
            return value, self._look()
        finally:
            self.doing = None

    def _look(self) -> Sheet:
        return self._sheet(self._same_file())

    def _changed(self) -> Sheet | None:
        before, sheet = self._drawn, self._look()
        if sheet != before:
            return sheet
        self._keep()
        trouble = self._back_up() if self._backups and not sheet.pending else ""
        return sheet._replace(told=trouble) if trouble else None

    def _until_asked(self, *_: object) -> None:
        """The progress of what is done while nobody asks for anything; it is begun anew when nobody does again."""
        from nurserytui.records.progress import Stopped

        if self._closed or self._hand.awaited:
            raise Stopped
        sleep(TURN)

    def _keep(self) -> None:
        """Nothing is to be done: a long history is kept for the next opening, until somebody asks for something."""
        from nurserytui.records.progress import Stopped
        from nurserytui.records.store import StoreError

        with suppress(Stopped, StoreError, OSError):
            self._assistant.nursery.keep(self._until_asked)

    def _back_up(self) -> str:
        """Nothing is to be done: the day's backup is made, until somebody asks for something. What is to be told of it."""
        from nurserytui.records.backups.by_itself import first_of_the_day
        from nurserytui.records.progress import Stopped

        with suppress(Stopped):
            return first_of_the_day(self._store, progress=self._until_asked)
        return ""

    def _same_file(self) -> str:
        """Follow the clock and the file, whoever wrote it or put it there. What is to be told of it; each trouble is told once."""
        from nurserytui.records.store import Store, StoreError

        before, self._wrong = self._wrong, ""
        try:
            moved = self._store.moved()
            if moved == "replaced":
                self._store.close()  # first, so that it carries nothing of its own over into the other
                self._sit_down(Store.open(self._path, create=False, from_kept=True))
                return f"The nursery's file was replaced by another: that one was opened, and a new page begins ({self._path})."
            if moved == "gone":
                self._wrong = f"The nursery's file is not there any more: nothing can be written down until it is ({self._path})."
        except StoreError as error:
            self._wrong = f"{error}."
        try:
            self._assistant.nursery.at(self.now())
        except StoreError as error:
            self._wrong = self._wrong or f"{error}."
        if not self._wrong and (cautions := self._store.cautions()):
            self._wrong = f"Take care: {'; '.join(cautions)}."
        if self._wrong:
            return self._wrong if self._wrong != before else ""
        return f"The nursery's file can be used again ({self._path})." if before else ""

    def _sheet(self, told: str = "") -> Sheet:
        from nurserytui.answers.board import board_so_far

        nursery = self._assistant.nursery
        if nursery.settings.timezone != self._clock.zone:
            self._clock.zone = nursery.settings.timezone
            nursery.at(self.now())
        if back := self._clock.put_back():
            told = f"{told} {_put_back(*back)}".strip()
        steps = ()
        if self._beginning:
            from nurserytui.answers.beginning import steps as first_steps

            steps = first_steps(nursery)
            self._beginning = not all(step.done for step in steps)
        assistant = self._assistant
        self._drawn = Sheet(
            board_so_far(nursery, SLICE),
            nursery.settings.place,
            nursery.now,
            nursery.version,
            choices=assistant.choices(),
            edited=assistant.to_edit(),
            steps=steps,
        )
        return self._drawn._replace(told=told)

    def _close(self) -> None:
        if self._store is not None:
            self._store.close()


def _put_back(before: datetime, after: datetime) -> str:
    """The clock went back by more than autumn does."""
    earlier = f"{before:%H:%M}" if before.date() == after.date() else f"{before:%Y-%m-%d %H:%M}"
    return f"The clock was put back from {earlier} to {after:%H:%M}: what was written down for later shows again when it is due."
