"""The answer as plain text, as wide as the terminal."""

from __future__ import annotations

import pytest

from nurserytui.answers.answer import Answer
from nurserytui.answers.page import page

ANSWER = Answer(
    "answered",
    "round",
    "3 tasks today: first clean tub 1, in which six larvae stand.\n- Clean tub 1: six larvae in it; the rule is every 7 days.",
    working=("Tasks due by 2031-07-10: 1 clean, 2 feed, and nothing else that anyone would have to do.",),
    cautions=("Rinse twice.",),
)


def test_without_columns_lines_stay_whole():
    assert page(ANSWER).startswith(ANSWER.text + "\n\nWorking:\n  1. Tasks due")


@pytest.mark.parametrize("columns", [20, 33, 40, 80, 400])
def test_no_line_is_longer_than_the_columns_and_no_word_is_lost(columns):
    folded = page(ANSWER, columns)
    assert all(len(line) <= columns for line in folded.split("\n"))
    assert folded.split() == page(ANSWER).split()


def test_what_goes_on_stands_under_its_own_bullet():
    lines = page(ANSWER, 40).split("\n")
    at = next(number for number, line in enumerate(lines) if line.startswith("- Clean"))
    assert lines[at + 1].startswith("  ") and not lines[at + 1].startswith("   ")
    at = next(number for number, line in enumerate(lines) if line.startswith("  1. "))
    assert lines[at + 1].startswith("     ") and lines[at + 1][5] != " "


def test_too_narrow_a_terminal_folds_by_itself():
    assert page(ANSWER, 12) == page(ANSWER)
