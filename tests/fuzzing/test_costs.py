"""What hostile lines cost: 99 in a hundred under 50 ms of processor time, and none that grows faster than its length."""

from __future__ import annotations

from random import Random
from time import thread_time

import pytest

from fuzzing import costs, lines

BOUND = 0.05
"""Seconds of processor time of a line, as promised; a busy machine does not count, and a slow one by as much as it is slower."""


def hostile(count: int) -> list[str]:
    chance = Random(2026)
    return [lines.line(chance) for _ in range(count)]


@pytest.mark.parametrize("cost", [costs.said, costs.heard])
def test_99_lines_in_a_hundred_take_less_than_promised(cost):
    found = cost(hostile(300))
    assert costs.percentile(found, 0.99) < BOUND * costs.slowness(), costs.told("", found)


@pytest.mark.parametrize(
    "piece",
    [
        *lines.HOSTILE[-24:],
        "how long until the fennel swallowtail caterpillars pupate ",
        "3 1/4 cups 12.5 C 40 % ",
        "B, ",
        "cleaned, fed, ",
    ],
    ids=lambda piece: piece[:8],
)
def test_a_line_of_100_000_characters_takes_less_than_promised(keeper, piece):
    line = (piece * (100_000 // len(piece) + 1))[:100_000]
    keeper.new_conversation()
    keeper.say(line)
    found = []
    for _ in range(3):
        keeper.new_conversation()
        start = thread_time()
        keeper.say(line)
        found.append(thread_time() - start)
    assert min(found) < BOUND * costs.slowness()


@pytest.fixture(scope="module")
def keeper():
    from fuzzing.promises import Keeper

    return Keeper("demo")
