"""Whatever is typed: an answer of the contract, no fault of ours, and nothing written unless it says so."""

from __future__ import annotations

import random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fuzzing import lines
from fuzzing.promises import Keeper

SHORT = settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
ANY = st.text(st.characters(categories=None), max_size=80) | st.text(max_size=80)
CHANCE = st.integers(0, 2**40).map(random.Random)


@pytest.fixture(autouse=True)
def faults_are_raised(monkeypatch):
    monkeypatch.setenv("NURSERYTUI_DEBUG", "1")


@pytest.fixture(scope="module", params=["demo", "empty"])
def keeper(request):
    """One keeper whose records grow with what is told; it is how a nursery is found after a long day."""
    return Keeper(request.param)


@pytest.fixture(scope="module")
def tidy():
    """A keeper of the demo nursery to whom nothing was told that goes into the records."""
    return Keeper("demo")


@SHORT
@given(text=ANY)
def test_any_text_is_answered(keeper, text):
    keeper.new_conversation()
    keeper.say(text)


@SHORT
@given(chance=CHANCE)
def test_mangled_dialogues_are_answered(keeper, chance):
    keeper.new_conversation()
    for line in lines.dialogue(chance):
        keeper.say(line) if line else keeper.new_conversation()


@settings(SHORT, max_examples=8)
@given(chance=CHANCE)
def test_a_line_of_100_000_characters_is_answered(keeper, chance):
    answer = keeper.say(lines.very_long(chance))
    assert "(Only the first " in answer.text


@pytest.mark.parametrize("line", lines.HOSTILE, ids=lambda line: ascii(line[:12]))
def test_markup_queries_formats_and_commands_write_nothing(tidy, line):
    before = tidy.written
    tidy.new_conversation()
    assert tidy.say(line).status in ("answered", "clarify", "unknown") and tidy.written == before


@SHORT
@given(chance=CHANCE)
def test_what_is_outside_the_trade_writes_nothing(tidy, chance):
    before = tidy.written
    tidy.new_conversation()
    tidy.say(chance.choice(lines.outside()))
    tidy.new_conversation()
    tidy.say(" ".join(lines.nonsense(chance) for _ in range(chance.randint(1, 8))))
    assert tidy.written == before


@settings(SHORT, max_examples=20)
@given(chance=CHANCE)
def test_what_was_asked_back_can_be_answered_by_any_of_its_options(chance, keeper):
    keeper.new_conversation()
    answer = keeper.say(lines.line(chance))
    for option in (*answer.options[:3], *answer.next):
        keeper.say(option)
