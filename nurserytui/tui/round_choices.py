"""What a digit picks on the round: the records that could be written for a task, a page to turn to, or the conversation to go on in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from nurserytui.answers.round_lines import plain as without_dates
from nurserytui.answers.tasks import Task
from nurserytui.tui.words import short

MOVES = ("due", "moult", "release", "share", "apart", "crowd")
"""Tasks whose record moves animals in the headcount: what it would write is shown first, and a digit says it. Care and looks are written
at once."""
CARE = ("checked", "counted", "fed", "cleaned", "watered", "cut")
"""Records that leave the animals where they were: what they settle beside their own task is done by them too."""
LOOKED = ("due",)
"""Those of which a look that saw nothing yet is the other thing to write."""
MOST = 8
"""Choices that an answer gives at most, so that one more digit is left for the conversation."""


class Choice(NamedTuple):
    """One thing that a digit picks."""

    words: str
    pairs: tuple[tuple[Task, str], ...] = ()
    """Tasks, and the sentences to write for them."""
    cohort: str = ""
    """The cohort whose page to turn to."""
    tell: str = ""
    """The sentence to go on with in the conversation."""
    sent: bool = False
    """Whether that sentence is sent there, or only put on the line."""


def asking(tasks: Sequence[Task]) -> str:
    """The question before animals are moved, with the tasks that it is about."""
    return f"{short(_joined(without_dates(task.label) for task in tasks), 160)}: what is to be written?"


def before_moving(tasks: Sequence[Task]) -> list[Choice]:
    """What may have happened where a tick would move animals: what the tasks expect, or a look that saw nothing yet."""
    choices = [Choice(_joined(task.record for task in tasks), tuple((task, task.record) for task in tasks))]
    if all(task.kind in LOOKED for task in tasks):
        looks = tuple((task, f"checked {task.cohorts[0]}{f' in {task.enclosure}' if task.enclosure else ''}") for task in tasks)
        choices.append(Choice(f"{_joined(look for _, look in looks)} (no change yet)", looks))
    if len(tasks) == 1:
        words = "something else: put it on the line of the conversation, to change it there"
        choices.append(Choice(words, tell=tasks[0].record))
    return choices


def asked_back(task: Task, sentence: str, options: Sequence[str]) -> list[Choice]:
    """The sentences that the assistant offers instead of one, and the conversation, where it is asked again."""
    choices = [Choice(option, ((task, option),)) for option in options[:MOST]]
    return [*choices, Choice("go on with it in the conversation", tell=sentence, sent=True)]


def pages_of(labels: Sequence[str]) -> list[Choice]:
    """The cohorts whose pages can be turned to."""
    return [Choice(label, cohort=label) for label in labels[:9]]


def _joined(sentences) -> str:
    """The sentences that would be written, so that they can be read before."""
    return " · ".join(sentences)
