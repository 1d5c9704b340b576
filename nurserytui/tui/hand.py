"""A thread that does one thing after another, and never keeps the program from ending."""

from __future__ import annotations

import gc
from collections.abc import Callable
from concurrent.futures import Future
from queue import SimpleQueue
from threading import Thread
from typing import TypeVar

Value = TypeVar("Value")
MANY = 200_000
"""So many new objects are no more looked through for garbage: with a long history that would hold up the screen for half a second. What is
garbage by then stays too, so it is for the opening of a long history, not for each page that is read."""


class Hand:
    """What is given to it is done in order. It is a daemon: a program that ends does not wait for what it is doing."""

    def __init__(self, name: str) -> None:
        self._given: SimpleQueue[tuple[Future, Callable] | None] = SimpleQueue()
        self._taken = self._done = 0  # each is counted by one thread only
        self._thread = Thread(target=self._work, name=name, daemon=True)
        self._thread.start()

    @property
    def busy(self) -> bool:
        """Whether something is being done or waits."""
        return self._taken != self._done

    @property
    def awaited(self) -> bool:
        """Whether something waits for what is being done to end."""
        return self._taken - self._done > 1

    def give(self, work: Callable[[], Value]) -> Future[Value]:
        """Have it done; the future tells what came of it. For one giving thread."""
        future: Future = Future()
        self._taken += 1
        self._given.put((future, work))
        return future

    def end(self) -> None:
        """Nothing more will be given."""
        self._given.put(None)

    def _work(self) -> None:
        while (given := self._given.get()) is not None:
            future, work = given
            if future.set_running_or_notify_cancel():
                self._do(future, work)
            else:
                self._done += 1
            del future, work, given  # a page that was read need not live until the next is asked for

    def _do(self, future: Future, work: Callable) -> None:
        gc.disable()
        try:
            value = work()
        except BaseException as error:  # it belongs to whoever waits for the future
            self._done += 1
            future.set_exception(error)
        else:
            self._done += 1
            future.set_result(value)
        finally:
            if gc.get_count()[0] > MANY:
                gc.freeze()
            gc.enable()
