"""A list whose first part lies packed behaves as a list."""

from __future__ import annotations

import marshal
from array import array

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nurserytui.records.lazily import SIZE, Lazily, Packed, Picked


class Thing:
    def __init__(self, number: int) -> None:
        self.number = number


def packed(count: int, asked: list | None = None) -> Packed[Thing]:
    def unpack(block: bytes) -> list[Thing]:
        if asked is not None:
            asked.append(marshal.loads(block)[0])
        return [Thing(number) for number in marshal.loads(block)]

    blocks = [marshal.dumps([*range(at, min(at + SIZE, count))]) for at in range(0, count, SIZE)]
    return Packed(blocks, count, unpack)


def test_only_what_is_asked_for_is_unpacked_and_then_stays_the_same_object():
    asked: list[int] = []
    things = packed(5 * SIZE, asked)
    one = things[SIZE + 1]
    assert (one.number, asked) == (SIZE + 1, [SIZE])
    assert [*things][SIZE + 1] is one is things[SIZE + 1]
    assert Picked(things, array("I", [7, SIZE + 1]))[1] is one is [*Picked(things, array("I", [7, SIZE + 1]))][1]
    assert sorted(asked) == [at * SIZE for at in range(5)]


def test_the_newest_are_walked_without_unpacking_the_oldest():
    asked: list[int] = []
    things = Lazily(packed(3 * SIZE, asked), ["new"])
    walk = reversed(things)
    assert (next(walk), next(walk).number, asked) == ("new", 3 * SIZE - 1, [2 * SIZE])


@pytest.mark.parametrize("number", [5 * SIZE, -1])
def test_a_number_that_is_not_there_is_an_index_error(number):
    with pytest.raises(IndexError):
        packed(5 * SIZE)[number]
    with pytest.raises(IndexError):
        Lazily(packed(5 * SIZE))[number if number > 0 else -5 * SIZE - 1]


@given(st.integers(0, 3 * SIZE), st.lists(st.integers(), max_size=9), st.data())
def test_it_is_a_list_to_whoever_reads_it(known, more, data):
    plain = [*range(known), *more]
    lazy = Lazily(
        Packed([marshal.dumps([*range(at, min(at + SIZE, known))]) for at in range(0, known, SIZE)], known, marshal.loads), more
    )
    assert lazy == plain and plain == lazy and [*lazy] == plain and len(lazy) == len(plain) and [*reversed(lazy)] == plain[::-1]
    places = st.one_of(st.none(), st.integers(-len(plain) - 2, len(plain) + 2))
    cut = slice(data.draw(places), data.draw(places), data.draw(st.sampled_from((None, 1, 2, -1))))
    assert lazy[cut] == plain[cut]
    if plain:
        at = data.draw(st.integers(-len(plain), len(plain) - 1))
        assert lazy[at] == plain[at]
    assert lazy + [1] == [*plain, 1] and lazy != [*plain, 1]
    other = lazy.copy()
    other.append(5)
    other.extend([6, 7])
    assert other == [*plain, 5, 6, 7] and lazy == plain
    del other[len(plain) + 1 :]
    assert other == [*plain, 5]
    if known:
        with pytest.raises(IndexError):
            del other[known - 1 :]
