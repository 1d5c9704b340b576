"""A long list whose first part lies packed in blocks, each unpacked when something of it is first asked for."""

from __future__ import annotations

from array import array
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import chain
from threading import Lock
from typing import TypeVar

Thing = TypeVar("Thing")
SIZE = 256
"""So many things are packed together."""


class Packed(Sequence[Thing]):
    """Things in blocks of `SIZE`. What was unpacked is kept, so that a number always gives the same object."""

    def __init__(self, blocks: Sequence[bytes], count: int, unpack: Callable[[bytes], list[Thing]]) -> None:
        self._blocks, self._count, self._unpack = blocks, count, unpack
        self._unpacked: list[list[Thing] | None] = [None] * len(blocks)
        self._unpacking = Lock()

    def __len__(self) -> int:
        return self._count

    def __getitem__(self, number):
        if not 0 <= number < self._count:
            raise IndexError(number)
        block = self._unpacked[number // SIZE] or self._block(number // SIZE)
        return block[number % SIZE]

    def __iter__(self) -> Iterator[Thing]:
        return chain.from_iterable(map(self._block, range(len(self._blocks))))

    def _block(self, number: int) -> list[Thing]:
        if self._unpacked[number] is None:
            with self._unpacking:
                if self._unpacked[number] is None:
                    self._unpacked[number] = self._unpack(self._blocks[number])
        return self._unpacked[number]


class Picked(Sequence[Thing]):
    """Some of the things, in an order of their own: `numbers` are their places among `things`."""

    def __init__(self, things: Sequence[Thing], numbers: array) -> None:
        self._things, self._numbers = things, numbers

    def __len__(self) -> int:
        return len(self._numbers)

    def __getitem__(self, number):
        return self._things[self._numbers[number]]

    def __iter__(self) -> Iterator[Thing]:
        return map([*self._things].__getitem__, self._numbers)


class Lazily(Sequence[Thing]):
    """`base`, which stays as it is, and behind it a plain list that grows. It equals a list of the same things."""

    __hash__ = None  # type: ignore[assignment]

    def __init__(self, base: Sequence[Thing], more: Iterable[Thing] = ()) -> None:
        self._base, self._known, self._more = base, len(base), [*more]

    def __len__(self) -> int:
        return self._known + len(self._more)

    def __getitem__(self, at):
        if isinstance(at, slice):
            start, stop, step = at.indices(len(self))
            if step == 1 and start >= self._known:
                return self._more[start - self._known : max(0, stop - self._known)]
            return [self[number] for number in range(start, stop, step)]
        if at < 0:
            at += len(self)
            if at < 0:
                raise IndexError(at)
        return self._base[at] if at < self._known else self._more[at - self._known]

    def __iter__(self) -> Iterator[Thing]:
        return chain(self._base, self._more)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, (list, Lazily)):
            return NotImplemented
        return len(self) == len(other) and [*self] == [*other]

    def __add__(self, other: Iterable[Thing]) -> Lazily[Thing]:
        return Lazily(self._base, [*self._more, *other])

    def __repr__(self) -> str:
        return f"{[*self]!r}"

    def added(self) -> list[Thing]:
        """What stands behind the base."""
        return self._more[:]

    def copy(self) -> Lazily[Thing]:
        return Lazily(self._base, self._more)

    def append(self, thing: Thing) -> None:
        self._more.append(thing)

    def extend(self, things: Iterable[Thing]) -> None:
        self._more.extend(things)

    def __delitem__(self, at: slice) -> None:
        """What was added last is taken away again, from `at.start` on."""
        if at.start < self._known or at.stop is not None:
            raise IndexError(at)
        del self._more[at.start - self._known :]
