"""Lines that once made an answer fail, each named after what was wrong."""

from __future__ import annotations

from time import thread_time

import pytest
from fuzzing.promises import Keeper

from nurserytui.answers.egg_traits import MILLIMETRES

BROKE = {
    "a volume of zero was divided by": ("empty", ["0 ml of bleach to 2 cups, is that strong enough"], "clarify"),
    "zero of stock beside water was divided by": ("empty", ["0 ml bleach in 2 cups of water"], "clarify"),
    "a cohort without animals has no largest group": ("demo", ["is fennel-25 going to overwinter as chrysalises"], "answered"),
    "a volume said of an enclosure that has none on record": (
        "demo",
        ["found 3 monarch larvae in jar 9", "jar 9 too many for 45 litres"],
        "answered",
    ),
    "a cohort without a plant is of no genus": ("empty", ["found 3 monarch larvae in jar 9", "2 thistle cats died"], "clarify"),
    "fewer than none of the animals": ("demo", ["-3 stgms enoueh for A"], None),
    "more eggs than a file can count": ("demo", ["monarch laid 999999999999 eggs in jar 9"], "clarify"),
    "everything was cleaned where nothing stands": ("empty", ["disinfected all the tubs"], "clarify"),
    "everything was checked where nothing stands": ("empty", ["checked all of them"], "clarify"),
}


@pytest.mark.parametrize(("kind", "lines", "status"), BROKE.values(), ids=BROKE)
def test_a_line_that_broke_is_answered(kind, lines, status, monkeypatch):
    monkeypatch.setenv("NURSERYTUI_DEBUG", "1")
    keeper = Keeper(kind)
    answers = [keeper.say(line) for line in lines]
    assert status in (None, answers[-1].status), answers[-1].text


def test_no_choice_is_offered_twice_where_the_word_to_replace_is_mistyped():
    options = Keeper("demo").say("i know i NOTED; something about mesh when was taht").options
    assert len(set(options)) == len(options) > 1 and all(", cohort " in option for option in options)


@pytest.mark.parametrize(
    "said", ["give me a\n a loss for pipe-25", "do Papilio polyxeneS\n mind company how many eto", "note: a\u2028b\ttwo \u202e"]
)
def test_what_is_offered_to_send_again_is_one_line_that_can_be_typed(said):
    keeper = Keeper("demo")
    answer = keeper.say(said)
    for text in (*answer.options, *(event.note for event in keeper.nursery.store.events()[-2:])):
        assert not set(text) & set("\u202e\x1b\x07\n\udcff\u2028\t")


@pytest.mark.parametrize(
    ("text", "sizes"),
    [("0.8 mm", ("0.8", None)), ("a .9mm egg", (".9", None)), ("1 to 1.2 mm", ("1", "1.2")), ("0.8-1 millimetres", ("0.8", "1"))],
)
def test_sizes_are_found_and_a_run_of_figures_is_not_gone_through_again_and_again(text, sizes):
    assert MILLIMETRES.search(text).groups()[:2] == sizes
    start = thread_time()
    assert not MILLIMETRES.search("1" * 64 + " " + ("1" * 64 + " ") * 30)
    assert thread_time() - start < 0.02
