"""Lines about backups of the nursery: the rule is written down as a setting, a question is answered, and food stays food."""

from __future__ import annotations

from datetime import datetime

import pytest

from nurserytui.assistant import Assistant
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.backups.kept import keep
from nurserytui.records.backups.rule import OFF, Rule
from nurserytui.records.events import Event
from nurserytui.records.store import Store

NOW = datetime(2031, 6, 10, 8)


@pytest.fixture
def assistant(tmp_path):
    with Store.open(tmp_path / "n.db") as store:
        store.append([Event("2031-06-01", "laid", "A", species="Pieris rapae", stage="egg", count=9, enclosure="jar")])
        yield Assistant(Nursery(store, load(), NOW))


@pytest.mark.parametrize(
    ("line", "rule"),
    [
        ("backups daily, keep 10 days", Rule(days=10)),
        ("setting backups=off", OFF),
        ("backups off", OFF),
        ("No backups!", OFF),
        ("turn off the backups", OFF),
        ("switch backups off", OFF),
        ("keep backups for 30 days", Rule(days=30)),
        ("please set my back-ups to not daily, before imports", Rule(daily=False)),
        ("backups = keep 3 weeks and 2 years.", Rule(weeks=3, years=2)),
    ],
)
def test_a_rule_is_written_down_read_back_whole_and_taken_back(assistant, line, rule):
    answer = assistant.reply(line)
    assert (answer.status, answer.about.get("event")) == ("recorded", "setting") and "backups set to" in answer.text
    assert assistant.nursery.settings.backups == rule
    assert assistant.reply("undo").topic == "undo" and assistant.nursery.settings.backups == Rule()


def test_what_a_rule_does_not_say_stays(assistant):
    assistant.reply("backups keep 3 weeks")
    assistant.reply("backups keep 10 days")
    assert assistant.nursery.settings.backups == Rule(days=10, weeks=3)


@pytest.mark.parametrize(
    "line",
    [
        "when was the last backup", "Is there a back-up?", "how often are backups made", "how do I make a backup", "show my backups",
        "back up now", "were my records backed up today", "restore the newest backup",
    ],
)  # fmt: skip
def test_a_question_about_backups_is_answered_and_makes_none(assistant, line):
    before = assistant.reply(line)
    assert (before.status, before.topic) == ("answered", "help") and before.text.startswith("No backup is kept yet.")
    keep(assistant.nursery.store.path, "daily", datetime(2026, 6, 17, 7, 30))
    after = assistant.reply(line)
    assert after.text.startswith("The last backup is of Wed 17 June 2026, 07:30, with 1 event (daily); it is kept in ")
    assert "after the first answer of a day" in after.text and "nurserytui restore" in after.text and len(after.items) == 1


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("backups weekly, keep 4 weeks", "'weekly' is no part of a rule"),
        ("backups hourly", "'hourly' is no part of a rule"),
        ("backups every hour", "'every hour' is no part of a rule"),
        ("backups twice a week", "'twice a week' is no part of a rule"),
        ("keep backups for 5000 days", "'5000 days' is too many"),
        ("backups daily, keep 0 days", "keeps the last of 1 day at least"),
        ("backups not daily, keep 0 days, 0 weeks, 0 months, 0 years", "would keep none"),
    ],
)
def test_a_rule_that_cannot_be_kept_is_told_with_those_that_can(assistant, line, why):
    """`backups weekly` was once taken for a question about the cold, and `keep 0 days` was written down."""
    answer = assistant.reply(line)
    assert answer.status == "clarify" and why in answer.text and "Nothing was written" in answer.text
    assert assistant.nursery.settings.backups == Rule() and len(answer.options) == 3
    for option in answer.options:
        assert assistant.reply(option).status == "recorded"


def test_a_number_after_the_list_of_backups_sends_a_sentence_or_nothing(assistant):
    """Each copy once had a number that sent `asked for`, which nobody understands."""
    for day in (17, 18, 19):
        keep(assistant.nursery.store.path, "asked", datetime(2026, 6, day, 7, 30))
    answer = assistant.reply("which backups are kept")
    assert assistant.choices() == dict(enumerate(answer.next, 1))
    assert "to go back to the newest that is sound, in a shell: nurserytui restore newest" in answer.text


@pytest.mark.parametrize(
    "line",
    [
        "backup food for monarchs",
        "what is the backup plant for painted ladies",
        "I backed up my phone",
        "backups sometimes",
        "backup jar 2",
    ],
)
def test_what_is_not_about_the_nursery_is_not_answered_so(assistant, line):
    answer = assistant.reply(line)
    assert "backup is" not in answer.text and answer.status != "recorded"
