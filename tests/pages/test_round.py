"""The round as values and as text: what there is to do under its heads, and what was done today."""

from __future__ import annotations

from datetime import datetime

import pytest

from nurserytui.answers.taking_back import take_back
from nurserytui.assistant import Assistant
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.pages.round import around, narrowed, read, reasons, why
from nurserytui.pages.show import show
from nurserytui.records.events import Event
from nurserytui.records.store import Store

KNOWLEDGE = load()
NOON = datetime(2031, 7, 20, 12)
TUBS = tuple(
    Event("2031-07-20T07:00", "found", f"L{n}", species="unknown", stage="larva", count=3, enclosure=f"tub {n}", host="Brassica oleracea")
    for n in (1, 2, 3, 10)
)  # fmt: skip
"""Larvae of no known kind found this morning in four tubs: nothing is due of them today but fresh leaf."""
EGGS = Event(
    "2031-07-01T12:00", "laid", "W", species="Pieris rapae", stage="egg", count=10, enclosure="jar", host="Brassica oleracea"
)
"""Eggs of nineteen days: overdue."""


def assistant(*events: Event, now: datetime = NOON) -> Assistant:
    store = Store.memory()
    for event in events:
        assert not store.append([event]).faults
    return Assistant(Nursery(store, KNOWLEDGE, now))


def entries(page) -> list[tuple[str, str, int, int]]:
    """Head, line, open, items."""
    return [(section.head, entry.words, entry.open, len(entry.items)) for section in page.sections for entry in section.entries]


def tick(talk: Assistant, sentence: str) -> str:
    answer = talk.note(sentence)
    assert answer.status == "recorded", answer.text
    return answer.items[0]["group"]


def test_the_same_act_in_several_enclosures_is_one_line_of_single_tasks():
    page = around(assistant(*TUBS).nursery)
    assert entries(page) == [("Today", "Fresh leaf in 4 enclosures", 4, 4)]
    # By number: tub 10 stands last.
    assert [item.task.record for item in page.items] == ["fed tub 1", "fed tub 2", "fed tub 3", "fed tub 10"]
    assert (page.open, page.pressing, page.overdue) == (4, 0, 0)
    assert [one.words for one in page.done] == [
        f"3 unidentified larvae found on cabbage, tub {n}, as cohort L{n}" for n in (10, 3, 2, 1)
    ]


def test_heads_go_by_what_cannot_wait():
    page = around(assistant(*TUBS, EGGS).nursery)
    assert [section.head for section in page.sections] == ["Today"]
    assert page.overdue == 1 and any(item.task.kind == "late" for item in page.items)
    talk = assistant(*TUBS)
    tick(talk, "log a sign on L1 in tub 1: limp, black and leaking")
    page = around(talk.nursery)
    assert page.sections[0].head == "Cannot wait" and page.pressing >= 1


def test_what_is_ticked_keeps_its_place_for_as_long_as_its_record_stands():
    talk = assistant(*TUBS)
    task = around(talk.nursery).items[1].task
    which = tick(talk, task.record)
    ticked = ((task, which),)
    page = around(talk.nursery, "today", ticked)
    assert entries(page) == [("Today", "Fresh leaf in 4 enclosures", 3, 4)]
    assert [item.done is None for item in page.items] == [True, False, True, True]
    assert page.items[1].done.hour == "12:00" and page.items[1].done.which == which
    assert len(page.done) == 4 and page.ticked == 5  # the finds below, the tick in its place
    assert around(talk.nursery).done[0].words == "tub 2 fed"  # read afresh it stands below
    tick(talk, "fed tub 3")
    take_back(talk.nursery, which)
    page = around(talk.nursery, "today", ticked)
    assert [item.task.record for item in page.items] == ["fed tub 1", "fed tub 2", "fed tub 10"] and not page.items[1].done
    assert [one.words for one in page.done if "found" not in one.words] == ["tub 3 fed"]


def test_done_is_what_was_written_for_today_the_newest_first_one_line_a_record():
    talk = assistant(*TUBS)
    talk.note("fed tub 1", datetime(2031, 7, 20, 12))
    talk.note("set my units to fahrenheit", datetime(2031, 7, 20, 12, 1))
    talk.note("fed tub 2 and cleaned tub 2", datetime(2031, 7, 20, 12, 5))
    talk.note("cleaned tub 3 yesterday", datetime(2031, 7, 20, 12, 6))
    done = around(talk.nursery).done
    assert "07:00" in [one.hour for one in done[2:]] and len(done) == 6
    assert [(one.hour, one.words, one.places) for one in done[:2]] == [
        ("12:05", "tub 2 fed; tub 2 cleaned", ("tub 2",)),
        ("12:00", "tub 1 fed", ("tub 1",)),
    ]


def test_the_days_ahead_stand_under_their_days():
    talk = assistant(*TUBS)
    for tub in ("tub 1", "tub 2", "tub 3", "tub 10"):
        tick(talk, f"fed {tub}")
    assert around(talk.nursery).open == 0
    page = around(talk.nursery, "3 days")
    assert ("Mon 21 July", "Fresh leaf in 4 enclosures", 4, 4) in entries(page)
    # Cleaned every seven days: on Sunday 27 July, one day after the week from today.
    assert "Clean 4 enclosures" not in [words for _, words, _, _ in entries(around(talk.nursery, "week"))]
    talk.nursery.at(datetime(2031, 7, 21, 7))
    assert ("Sun 27 July", "Clean 4 enclosures", 4, 4) in entries(around(talk.nursery, "week"))


def test_when_midnight_passes_the_day_is_a_new_one():
    talk = assistant(*TUBS)
    task = around(talk.nursery).items[0].task
    ticked = ((task, tick(talk, task.record)),)
    talk.nursery.at(datetime(2031, 7, 20, 23, 59))
    assert around(talk.nursery, "today", ticked).ticked == 5
    talk.nursery.at(datetime(2031, 7, 21, 0, 1))
    page = around(talk.nursery, "today", ticked)
    assert page.ticked == 0 and not page.done
    assert "fed tub 1" in [item.task.record for item in page.items if item.done is None]


@pytest.mark.parametrize(
    ("which", "records"),
    [
        ("", ["checked W in jar", "fed tub 1", "fed tub 2", "fed tub 3", "fed tub 10"]),
        ("feed", ["fed tub 1", "fed tub 2", "fed tub 3", "fed tub 10"]),
        ("look", ["checked W in jar"]),
        ("tub 2", ["fed tub 2"]),
        ("feed TUB 2", ["fed tub 2"]),
        ("3 days clean", []),
        ("look tub 2", []),
        ("nowhere", []),
    ],
)
def test_it_is_narrowed_by_kind_and_by_place(which, records):
    page = read(assistant(*TUBS, EGGS).nursery, which)
    assert [item.task.record for item in page.items] == records


def test_two_of_a_gathered_line_are_lines_of_their_own():
    page = narrowed(around(assistant(*TUBS[:2]).nursery), "feed")
    assert [words for _, words, _, _ in entries(page)] == ["Fresh leaf (cabbage) in tub 1", "Fresh leaf (cabbage) in tub 2"]


def test_as_text_each_task_has_its_reason_and_the_sentence_that_ticks_it():
    talk = assistant(*TUBS)
    tick(talk, "fed tub 1")
    lines = show("round", talk.nursery)
    assert lines[0] == "Round, Sun 20 July 2031, 12:00"
    assert lines[1] == "3 to do today; 5 records made today."
    assert "- Fresh leaf in 3 enclosures:" in lines
    assert any(
        line.startswith("  - tub 2 (") and line.endswith("Write “fed tub 2”.") and "3 larvae of L2" in line for line in lines
    )
    assert lines[-6:-4] == ["Done today:", "- 12:00 tub 1 fed."]
    assert show("round", talk.nursery, "feed tub 1")[0].endswith(", to feed in tub 1")


def test_every_sentence_in_the_text_can_be_sent():
    talk = assistant(*TUBS, EGGS)
    for item in around(talk.nursery, "week").items:
        assert talk.note(item.task.record).status == "recorded"


def test_without_animals_and_without_work_it_says_so():
    assert "No animals yet" in show("round", Nursery(Store.memory(), KNOWLEDGE, NOON))[1]
    talk = assistant(TUBS[0])
    tick(talk, "fed tub 1")
    assert show("round", talk.nursery)[1] == "Nothing left to do today; 2 records made today."
    assert show("round", talk.nursery, "feed nowhere")[1] == "Nothing to feed in nowhere today."


def test_behind_a_task_stand_its_reasons_its_working_and_its_sources():
    talk = assistant(EGGS)
    (task,) = [item.task for item in around(talk.nursery).items if item.task.kind == "late"]
    found = why(talk.nursery, task)
    assert found.reasons == reasons(task) and found.record == "checked W in jar"
    assert any("10 eggs of cohort W" in step for step in found.working) and found.sources[0].kind == "own records"


def test_the_working_of_a_task_is_all_that_the_answer_about_the_same_forecast_has():
    talk = assistant(Event("2031-07-19T08:00", "found", "W", species="Pieris rapae", stage="egg", count=5, enclosure="jar"))
    (task,) = [item.task for item in around(talk.nursery, "week").items if item.task.event == "hatch"]
    found, told = why(talk.nursery, task), talk.reply("when will W hatch")
    assert found.working == told.working and any("2 °C warmer" in step for step in found.working)
    assert found.sources == told.sources and [source.kind for source in found.sources] == ["own records", "published"]


def test_a_tick_answers_nothing_that_was_asked_back_and_undo_takes_it_back_next():
    talk = assistant(*TUBS)
    assert talk.reply("2 larvae died").status == "clarify"
    talk.note("fed tub 1")
    assert talk.reply("undo").items[0]["what"] == "fed"
    assert talk.reply("2 larvae died").status == "clarify"
    talk.note("fed tub 2")
    assert talk.reply("L3").status == "recorded"  # the question is still open
    assert [event.what for event in talk.nursery.events[-2:]] == ["fed", "died"]
