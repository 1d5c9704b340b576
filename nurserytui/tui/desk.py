"""The thread at which the assistant sits: the screen asks, the desk answers, nobody waits on the other's time."""

import asyncio
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime, timedelta
from importlib import import_module
from pathlib import Path
from time import monotonic
from typing import NamedTuple, TypeVar

from nurserytui.answers.answer import Answer

Value = TypeVar("Value")


class Sheet(NamedTuple):
    """What the board shows at one moment."""

    rows: list
    place: str
    now: datetime


class Desk:
    """One nursery and one conversation, in a thread of their own: a database connection belongs to the thread that opened it."""

    def __init__(self, path: Path, start: datetime | None = None) -> None:
        self._path = path
        self._clock = running_clock(start)
        self._thread = ThreadPoolExecutor(max_workers=1, thread_name_prefix="desk")
        self._store = None
        self._assistant = None

    def now(self) -> datetime:
        """The moment by the desk's clock."""
        return self._clock()

    async def open(self) -> Sheet:
        """Open the nursery and read the board. Raises `StoreError` if the file cannot be used."""
        return await self._run(self._open)

    async def reply(self, text: str) -> tuple[Answer, Sheet]:
        """The assistant's answer to one line, and the board after it."""
        return await self._run(lambda: self._reply(text))

    async def look(self) -> Sheet:
        """The board now: time has passed, or another process has written."""
        return await self._run(self._look)

    async def read(self, work: Callable[..., Value], *arguments) -> Value:
        """What `work(nursery, *arguments)` gives, at the desk's moment and with what other processes wrote; for reading only."""
        return await self._run(lambda: self._read(work, *arguments))

    async def fetch(self, module: str):
        """A module, imported in the desk's thread: the screen goes on meanwhile."""
        return await self._run(lambda: import_module(module))

    async def fresh(self) -> None:
        """Begin a new conversation."""
        await self._run(lambda: self._assistant.new_conversation())

    async def close(self) -> None:
        """Close the file and end the thread."""
        await self._run(self._close)
        self._thread.shutdown(wait=False)

    async def _run(self, work: Callable[[], Value]) -> Value:
        return await asyncio.get_running_loop().run_in_executor(self._thread, work)

    def _open(self) -> Sheet:
        from nurserytui.assistant import Assistant
        from nurserytui.knowledge.base import load
        from nurserytui.nursery import Nursery
        from nurserytui.records.store import Store

        self._store = Store.open(self._path)
        self._store.__enter__()
        self._assistant = Assistant(Nursery(self._store, load(), self.now()))
        return self._sheet()

    def _reply(self, text: str) -> tuple[Answer, Sheet]:
        answer = self._assistant.reply(text, self.now())
        return answer, self._sheet()

    def _read(self, work, *arguments):
        self._assistant.nursery.at(self.now())
        return work(self._assistant.nursery, *arguments)

    def _look(self) -> Sheet:
        self._assistant.nursery.at(self.now())
        return self._sheet()

    def _sheet(self) -> Sheet:
        from nurserytui.answers.board import board

        nursery = self._assistant.nursery
        return Sheet(board(nursery), nursery.settings.place, nursery.now)

    def _close(self) -> None:
        if self._store is not None:
            self._store.__exit__(None, None, None)


def running_clock(start: datetime | None) -> Callable[[], datetime]:
    """The wall clock, or one that runs on from `start`; whole minutes, so that what is computed for a moment can be kept."""
    if start is None:
        return lambda: datetime.now().replace(second=0, microsecond=0)
    began = monotonic()
    return lambda: (start + timedelta(seconds=monotonic() - began)).replace(second=0, microsecond=0)
