"""What needs doing, and that it goes when it is recorded."""

from __future__ import annotations

import pytest

ROW = "2031-08-10T08:00,{what},{cohort},,,{stage},,{count},{place},,{host},,,"


def kinds(answer):
    return {(item["kind"], item["enclosure"]) for item in answer.items}


def test_the_round_names_what_is_due_and_why(ask):
    answer = ask("round", "what needs doing today")
    found = kinds(answer)
    assert {("watch", "box C"), ("watch", "flight cage"), ("feed", "box C"), ("feed", "box B"), ("clean", "jar")} <= found
    assert ("feed", "jar") not in found  # fed this morning
    assert ("clean", "box C") not in found  # occupied for two days
    assert all(item["due"] and item["reason"] and item["record"] and item["priority"] in (1, 2, 3) for item in answer.items)
    assert [item["priority"] for item in answer.items] == sorted(item["priority"] for item in answer.items)
    assert answer.values["count"].value == len(answer.items)


@pytest.mark.parametrize(
    ("task", "row"),
    [
        (("feed", "box C"), ROW.format(what="fed", cohort="", stage="", count="", place="box C", host="")),
        (("clean", "jar"), ROW.format(what="cleaned", cohort="", stage="", count="", place="jar", host="")),
        (("watch", "box C"), ROW.format(what="checked", cohort="", stage="", count="", place="box C", host="")),
        (("check", "box D"), ROW.format(what="checked", cohort="white-2", stage="", count="", place="box D", host="")),
    ],
)
def test_what_was_recorded_today_is_gone(ask, keeping, task, row):
    assert task in kinds(ask("round", "what needs doing"))
    done = keeping.nursery(keeping.EVENTS + row + "\n")
    assert not done.ledger.faults
    assert task not in kinds(ask("round", "what needs doing", nursery=done))


def test_adults_are_to_be_released_and_kept_from_larvae(ask, keeping):
    rows = (
        "2031-08-09,found,W,,Vanessa cardui,adult,,2,box D,,,,,\n"
        "2031-08-07,found,V,,Vanessa cardui,adult,,1,hall cage,,,,,\n"
        "2031-08-10T08:00,sign,white-2,,,egg,,,box D,,,two eggs are dented,,\n"
    )
    answer = ask("round", "what needs doing", nursery=keeping.nursery(keeping.EVENTS + rows))
    found = kinds(answer)
    assert {("release", "hall cage"), ("apart", "box D"), ("sign", "box D")} <= found
    assert ("release", "box D") not in found  # taking them out is said once
    assert next(item for item in answer.items if item["kind"] == "apart")["priority"] == 1
    release = next(item for item in answer.items if item["kind"] == "release")
    assert "15.6 °C outdoors" in release["label"] and release["priority"] == 1  # three days are more than two
    assert "look up the weather outdoors" in answer.text


def test_adults_on_watch_for_a_disease_are_moved_not_released(ask, keeping):
    """Box A had the virus, and its larvae went to box C: an adult put in with them is one of the suspects."""
    rows = "2031-08-09,found,W,,Vanessa cardui,adult,,2,box C,,,,,\n"
    answer = ask("round", "what needs doing", nursery=keeping.nursery(keeping.EVENTS + rows))
    apart = next(item for item in answer.items if item["kind"] == "apart")
    assert apart["record"].startswith("moved 2 adults of W from box C to ")
    assert "on watch for virus" in apart["reason"]
    assert ("release", "box C") not in kinds(answer)


def test_one_enclosure_and_one_kind_of_work(ask):
    answer = ask("round", "what do I need to do in box C", enclosures=("box C",))
    assert answer.items and {item["enclosure"] for item in answer.items} == {"box C"}
    cleaning = ask("round", "do any of the cages want cleaning")
    assert cleaning.text.startswith("Yes: ") and {item["kind"] for item in cleaning.items} == {"clean"}


def test_a_longer_period_has_more_due(ask):
    short = ask("round", "what is due today", period=("2031-08-10", "2031-08-10T23:59:59"), said="today")
    long = ask("round", "whats due this week", period=("2031-08-10", "2031-08-17"), said="this week")
    assert {i["label"] for i in short.items if i["kind"] == "due"} <= {i["label"] for i in long.items if i["kind"] == "due"}
    assert all(item["due"] <= "2031-08-17" for item in long.items)


def test_whether_any_will_come_out(ask):
    answer = ask(
        "round", "will any butterflies come out before Friday", period=("2031-08-10", "2031-08-14"), said="before Friday"
    )
    assert answer.text.startswith(("Yes, probably: Q", "Possibly: Q"))
    none = ask("round", "will any butterflies come out of box D", enclosures=("box D",))
    assert none.text.startswith("No: ")


def test_nothing_to_do_is_said(ask, keeping):
    done = keeping.nursery(keeping.EVENTS.split("2031-")[0], now="2030-06-20T09:00")
    rows = keeping.EVENTS.splitlines()
    done = keeping.nursery("\n".join(row for row in rows if row.startswith(("when", "2030"))), now="2030-08-01T09:00")
    answer = ask("round", "what needs doing", nursery=done)
    assert answer.text.startswith("Nothing to do today")


def many(count: int) -> str:
    head = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by\n"
    return head + "".join(
        f"2031-08-0{1 + at % 8},found,N{at},,Pieris rapae,larva,,{3 + at % 4},tub {at},,Brassica oleracea,,,\n"
        for at in range(count)
    )


@pytest.mark.parametrize("count", [1, 3, 12, 50])
def test_the_round_stays_readable_however_many_cohorts_there_are(ask, keeping, count):
    answer = ask("round", "what needs doing today", nursery=keeping.nursery(many(count)))
    lines = [line for line in answer.text.splitlines() if line.startswith("- ")]
    assert 1 <= len(lines) <= 20
    fed = [item for item in answer.items if item["kind"] == "feed"]
    assert len(fed) == count and answer.values["count"].value == len(answer.items)
    feeding = [line for line in lines if "resh leaf" in line]
    assert len(feeding) == (count if count < 3 else 1)
    assert count < 3 or f"Fresh leaf in {count} enclosures" in feeding[0]


def test_what_is_not_shown_is_counted_by_its_kind(small):
    from datetime import date

    from nurserytui.answers.round_lines import shown
    from nurserytui.answers.tasks import Task

    found = [
        Task("watch", f"W{at}", f"Watch W{at}", f"tub {at}", date(2031, 8, 10), "exposed", 1, f"checked W{at}")
        for at in range(23)
    ]
    lines = shown(found, small)
    assert lines[0] == "First:" and len(lines) == 22
    assert lines[-1] == "And 3 more: 3 on watch."


def test_what_must_not_be_disturbed(ask):
    answer = ask("round", "which ones must I leave alone")
    assert "Not to be moved or touched either: " in answer.text and "Q" in answer.text


@pytest.mark.parametrize(
    ("line", "starts", "priorities"),
    [
        ("what cannot wait", "Yes, ", {1}),
        ("anything urgent", "Yes, ", {1}),
        ("what can wait", "", {3}),
    ],
)
def test_what_can_and_what_cannot_wait(ask, line, starts, priorities):
    answer = ask("round", line)
    assert answer.text.startswith(starts)
    meant = answer.items[: answer.values["count"].value]
    assert meant and {item["priority"] for item in meant} == priorities
    assert len(answer.items) > len(meant)  # the rest of the round is there too


def test_a_list_with_the_most_urgent_on_top_is_the_whole_list(ask):
    answer = ask("round", "give me my list, most urgent on top")
    assert answer.values["count"].value == len(answer.items)


def test_what_the_records_lack_for_a_fuller_round_is_said(ask, keeping):
    rows = (
        keeping.EVENTS.splitlines()[0]
        + "\n2031-08-09,found,U,,unknown,larva,,2,pot 1,,,,,\n2031-08-09,found,V,,Pieris rapae,larva,,2,,,,,,\n"
    )
    answer = ask("round", "what needs doing", nursery=keeping.nursery(rows))
    assert (
        "Nothing is forecast for U, no species is recorded; no cleaning is told for V, no enclosure is recorded." in answer.text
    )
    assert {item["record"] for item in answer.items if item["kind"] == "feed"} == {"fed pot 1", "fed V"}


def _bullets(answer):
    return [line for line in answer.text.splitlines() if line.startswith(("- ", "  "))]


@pytest.mark.parametrize("line", ["what needs doing today", "what should i look at first today", "anything due by friday"])
def test_a_line_of_the_round_is_short_and_says_each_day_once(ask, line):
    answer = ask("round", line)
    lines = _bullets(answer)
    assert lines and all(len(one) <= 125 for one in lines)
    assert not any("(2031-" in one for one in lines)
    first = answer.text.splitlines()[0]
    assert not any(one[2:40] in first for one in lines)
    labels = [item["label"] for item in answer.items]
    assert not any(label in step for label in labels for step in answer.working)


def test_what_is_left_out_of_a_line_stands_in_the_items_and_the_working(ask):
    answer = ask("round", "what needs doing today")
    watch = next(item for item in answer.items if item["kind"] == "watch")
    assert "exposed:" in watch["reason"]
    assert any(step.startswith("More on") for step in answer.working)


def test_what_is_due_by_a_day_holds_the_care_that_is_overdue_gravest_first(ask):
    today = {(item["kind"], item["name"]) for item in ask("round", "what needs doing today").items}
    due = ask("round", "anything due by friday", period=("2031-08-15", "2031-08-16"))
    assert today <= {(item["kind"], item["name"]) for item in due.items} and len(due.items) > len(today)
    assert [item["priority"] for item in due.items] == sorted(item["priority"] for item in due.items)
    assert "Besides" not in due.text


def test_a_day_that_no_calendar_has_is_asked_back(ask):
    answer = ask("round", "handover until 30 February")
    assert answer.status == "clarify" and "no 30 February" in answer.text


def test_one_more_that_came_out_does_not_set_the_others_food_back(ask, keeping):
    """Two adults since the 7th want food on the 10th, although a third came out today."""
    rows = (
        "2031-08-01,found,W,,Vanessa cardui,pupa,,3,hall cage,,,,,\n"
        "2031-08-07,emerged,W,,,,,2,hall cage,,,,,\n"
        "2031-08-10T08:00,emerged,W,,,,,1,hall cage,,,,,\n"
    )
    found = kinds(ask("round", "what needs doing", nursery=keeping.nursery(keeping.EVENTS + rows)))
    assert ("nectar", "hall cage") in found


def test_a_heavy_test_is_held_back_though_one_more_came_out_today(ask, keeping):
    rows = (
        "2031-08-01,found,W,,Danaus plexippus,pupa,,3,hall cage,,,,,\n"
        "2031-08-08,emerged,W,,,,,2,hall cage,,,,,\n"
        "2031-08-09,tested,W,,,adult,,1,hall cage,,,heavy,,\n"
        "2031-08-10T08:00,emerged,W,,,,,1,hall cage,,,,,\n"
    )
    kept = keeping.nursery(keeping.EVENTS + rows)
    assert not kept.ledger.faults
    assert ("hold", "hall cage") in kinds(ask("round", "what needs doing", nursery=kept))
