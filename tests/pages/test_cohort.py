"""A cohort's page: what stands in its sections for animals whose story was worked out by hand, and the list to choose from."""

from __future__ import annotations

from datetime import datetime

import pytest

from nurserytui.assistant import Assistant
from nurserytui.demo import MOMENT, private_copy
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.pages import cohort
from nurserytui.pages.show import show
from nurserytui.records.events import Event
from nurserytui.records.store import Store

NOW = datetime(2031, 8, 10, 9)
WHITE = "Pieris rapae"
STORY = (
    Event("2031-07-20T10:00", "laid", "mint", species=WHITE, count=20, enclosure="jar", host="Brassica oleracea"),
    Event("2031-07-22T08:00", "checked", "mint", enclosure="jar", note="tips still pale"),
    Event("2031-07-25", "hatched", "mint", count=16, enclosure="jar"),
    Event("2031-07-26", "died", "mint", stage="egg", count=4, enclosure="jar", detail="infertile"),
    Event("2031-07-30", "moved", "mint", count=6, stage="larva", enclosure="jar", to="tub"),
    Event("2031-08-01", "split", "mint", count=5, stage="larva", enclosure="jar", to="sage"),
    Event("2031-08-02", "pupated", "mint", count=6, enclosure="tub"),
    Event("2031-08-03", "found", "mint", mark="1", stage="larva", instar=4, count=1, species=WHITE, enclosure="tub"),
    Event("2031-08-05", "laid", "rue", species=WHITE, count=8, enclosure="dish", parent="mint"),
    Event("2031-08-06", "laid", "dill", species=WHITE, count=3, enclosure="dish", parent="mint"),
    Event("2030-05-01", "found", "old", species="Vanessa cardui", stage="pupa", count=2, enclosure="cage"),
    Event("2030-05-09", "released", "old", stage="pupa", count=2, enclosure="cage"),
)


@pytest.fixture
def kept(tmp_path):
    def nursery(*events: Event, now: datetime = NOW) -> Nursery:
        store = stack.enter_context(Store.open(tmp_path / "n.db"))
        assert not store.append(list(events)).faults
        return Nursery(store, load(), now)

    from contextlib import ExitStack

    with ExitStack() as stack:
        yield nursery


@pytest.fixture
def demo(tmp_path):
    with Store.open(private_copy(tmp_path)) as store:
        yield Nursery(store, load(), MOMENT)


def section(page: cohort.Page, name: str):
    return next(one for one in page.sections if one.name == name)


def test_its_animals_by_stage_instar_and_enclosure_and_the_marked_ones_each(kept):
    page = cohort.read(kept(*STORY), "mint")
    # 16 hatched in the jar; 6 moved to the tub and pupated there, 5 split off: 5 are left in the jar, and one marked 1 was found.
    assert [(entry.margin, entry.text) for entry in section(page, "Now").entries] == [
        ("5", "larvae, noted as instar 1, in jar"),
        ("6", "pupae, in tub"),
        ("1", "larva, noted as instar 4, in tub, marked 1"),
    ]


def test_what_is_next_and_after_it_in_the_order_of_time(kept):
    nursery = kept(Event("2031-08-09T08:00", "laid", "mint", species=WHITE, count=8, enclosure="jar"))
    entries = section(cohort.read(nursery, "mint"), "Next").entries
    assert [entry.text.partition(":")[0] for entry in entries] == [
        "8 eggs in jar hatch",
        "8 eggs then pupate",
        "8 eggs then emerge",
    ]
    assert all("first " in entry.text and "middle " in entry.text and "last " in entry.text for entry in entries)
    # The middle in the margin is the one of the answer to the question itself.
    told = Assistant(nursery).reply("how long until mint hatches")
    median = datetime.fromisoformat(told.values["median"].value)
    assert entries[0].margin == f"{median:%a} {median.day} {median:%b}"


def test_one_animal_has_one_date_and_an_unnamed_one_none(kept):
    nursery = kept(
        Event("2031-08-09", "found", "one", species=WHITE, stage="pupa", count=1, enclosure="jar"),
        Event("2031-08-09", "found", "what", species="unknown", stage="larva", count=2, enclosure="jar"),
        Event("2031-08-09", "found", "out", species=WHITE, stage="adult", count=2, enclosure="cage"),
    )
    (entry,) = section(cohort.read(nursery, "one"), "Next").entries
    assert entry.text.startswith("1 pupa in jar emerges: ") and "first" not in entry.text
    assert section(cohort.read(nursery, "what"), "Next").gist == "cannot say: the species is not known yet"
    assert cohort.read(nursery, "what").who == "species unknown"
    assert section(cohort.read(nursery, "out"), "Next").gist == "adults, to be released when fit"


def test_what_comes_after_the_next_change_is_in_the_order_of_time_and_is_never_overdue(kept):
    nursery = kept(
        Event("2031-07-20", "laid", "late", species=WHITE, count=8, enclosure="jar"),
        Event("2031-08-08", "found", "mixed", species=WHITE, stage="larva", instar=2, count=4, enclosure="jar"),
        Event("2031-08-08", "found", "mixed", species=WHITE, stage="larva", instar=5, count=4, enclosure="tub"),
        Event("2031-08-09", "found", "mixed", species=WHITE, stage="egg", count=4, enclosure="dish"),
    )
    late = section(cohort.read(nursery, "late"), "Next").entries
    assert late[0].margin == "overdue" and not any("overdue" in entry.margin + entry.text for entry in late[1:])
    found = [entry for entry in section(cohort.read(nursery, "mixed"), "Next").entries if " then " in entry.text]
    dates = [datetime.strptime(f"{entry.margin} 2031", "%a %d %b %Y") for entry in found]
    assert len(dates) == 3 and dates == sorted(dates)


def test_overdue_is_said_in_the_margin(demo):
    page = cohort.read(demo, "E")
    (entry,) = section(page, "Next").entries
    assert entry.margin == "overdue" and entry.text.startswith("6 pupae in window cage to emerge: ")


def test_origin_and_kin_lead_to_each_other(kept):
    nursery = kept(*STORY)
    mint = section(cohort.read(nursery, "mint"), "Origin and kin").entries
    assert [(entry.margin, entry.leads) for entry in mint] == [
        ("Sun 20 Jul", ""),
        ("Sun 3 Aug", ""),
        ("Fri 1 Aug", "sage"),
        ("young", "rue"),
        ("young", "dill"),
    ]
    assert mint[0].text.startswith("mint: 20 eggs laid in jar") and mint[2].text == "5 larvae split off to sage"
    sage = section(cohort.read(nursery, "sage"), "Origin and kin").entries
    assert [(entry.text, entry.leads) for entry in sage] == [("5 larvae split off from mint", "mint")]
    rue = section(cohort.read(nursery, "rue"), "Origin and kin").entries
    assert [(entry.margin, entry.leads) for entry in rue] == [("Tue 5 Aug", ""), ("parent", "mint"), ("sibling", "dill")]


def test_a_merged_and_a_renamed_cohort(kept):
    nursery = kept(
        Event("2031-08-01", "found", "A", species=WHITE, stage="larva", count=2, enclosure="jar"),
        Event("2031-08-02", "found", "B", species=WHITE, stage="larva", count=3, enclosure="jar"),
        Event("2031-08-03", "merged", "A", to="B"),
        Event("2031-08-04", "renamed", "B", to="beta"),
    )
    page = cohort.read(nursery, "b")
    assert page.label == "beta" and section(page, "Now").gist == "5 larvae in jar"
    entries = section(page, "Origin and kin").entries
    assert [(entry.margin, entry.text, entry.leads) for entry in entries[1:]] == [
        ("Sun 3 Aug", "2 larvae came in from A", "A"),
        ("was called", "B", ""),
    ]
    gone = cohort.read(nursery, "A")
    assert section(gone, "Now").gist.startswith("none left") and section(gone, "Origin and kin").entries[-1].leads == "beta"


def test_history_is_newest_first_with_what_was_looked_at_and_without_what_was_withdrawn(kept):
    nursery = kept(*STORY)
    before = section(cohort.read(nursery, "mint"), "History").entries
    assert before[0].margin == "Sun 3 Aug" and before[-1].text.startswith("10:00 mint: 20 eggs laid")
    assert any("checked" in entry.text and "tips still pale" in entry.text for entry in before)
    died = next(event for event in nursery.events if event.what == "died")
    nursery.write([Event("2031-08-10T08:00", "withdrawn", withdraws=died.id)])
    after = section(cohort.read(nursery, "mint"), "History").entries
    assert len(after) == len(before) - 1 and not any("infertile" in entry.text for entry in after)


def test_survival_so_far_with_its_interval(kept):
    nursery = kept(
        Event("2031-07-01", "laid", "C", species=WHITE, count=12, enclosure="jar"),
        Event("2031-07-05", "died", "C", stage="egg", count=3, enclosure="jar"),
        Event("2031-07-05", "hatched", "C", count=9, enclosure="jar"),
        Event("2031-07-20", "pupated", "C", count=9, enclosure="jar"),
        Event("2031-07-30", "emerged", "C", count=9, enclosure="jar"),
    )
    entry = section(cohort.read(nursery, "C"), "Survival so far").entries[0]
    # 9 of 12 are 75 %; Wilson's 95 % interval of 9 in 12 runs from 46.8 % to 91.1 %.
    assert entry.margin == "75 %" and "9 of 12" in entry.text and "47-91 %" in entry.text


def test_the_watch_says_until_when_and_why(demo):
    page = cohort.read(demo, "D")
    (entry,) = section(page, "Watch").entries
    assert entry.margin == "Thu 25 Jun" and entry.tone == "care"
    assert "13 larvae in tub 2" in entry.text and "bacteria" in entry.text and "Look for: " in entry.text
    assert section(cohort.read(demo, "B"), "Watch").gist.startswith("not on watch")


def test_food_says_what_it_eats_and_whether_it_lasts(demo):
    entries = section(cohort.read(demo, "C"), "Food").entries
    assert (entries[0].margin, entries[0].text) == ("eats", "stinging nettle (Urtica dioica), by the records")
    assert entries[1].text == Assistant(demo).reply("will the food last for C").text.split("\n")[0]
    assert section(cohort.read(demo, "E"), "Food").gist == "nobody of it eats leaves now"


def test_each_sentence_of_each_page_is_answered_about_that_cohort(demo):
    assistant = Assistant(demo)
    for label in ("A", "B", "C", "D", "E", "G", "H", "K", "kale-25"):
        for sentence in cohort.read(demo, label).sentences:
            answer = assistant.reply(sentence)
            assert answer.status == "answered", (sentence, answer.text)
            assert answer.about.get("cohort") == label or label in answer.text, (sentence, answer.text)


def test_labels_that_are_words_of_questions_change_nothing(kept):
    nursery = kept(
        Event("2031-08-09", "laid", "dead", species=WHITE, count=8, enclosure="jar"),
        Event("2031-08-09", "laid", "survival", species=WHITE, count=8, enclosure="jar"),
    )
    texts = {
        one: [entry.text.replace(one, "X") for entry in section(cohort.read(nursery, one), "Survival so far").entries]
        for one in ("dead", "survival")
    }
    assert texts["dead"] == texts["survival"] and texts["dead"][0].startswith("No rate yet for X")


@pytest.mark.parametrize(("which", "label"), [("mint", "mint"), ("MINT", "mint"), ("mint 1", "mint"), (" sage ", "sage")])
def test_a_cohort_is_found_by_label_or_mark(kept, which, label):
    assert cohort.read(kept(*STORY), which).label == label


def test_the_list_has_the_living_first_and_an_unknown_label_says_what_there_is(kept):
    nursery = kept(*STORY)
    page = cohort.read(nursery)
    assert [row.label for row in page.rows] == ["mint", "sage", "rue", "dill", "old"]
    assert page.rows[0].now == "5 larvae in jar; 1 larva and 6 pupae in tub" and page.rows[-1].now == ""
    assert cohort.plain(cohort.read(nursery, "mintt"))[0] == "No cohort is called “mintt”. Did you mean mint? There are:"
    assert cohort.plain(page)[-1] == "old: painted lady; none left, begun 2030-05-01"


def test_cohorts_follow_each_other_in_the_order_of_the_list(kept):
    nursery = kept(*STORY)
    order = [row.label for row in cohort.read(nursery).rows]
    pages = [cohort.read(nursery, label) for label in order]
    assert [page.after for page in pages] == [*order[1:], order[0]] and [page.before for page in pages] == [
        order[-1],
        *order[:-1],
    ]


@pytest.mark.parametrize(
    ("said", "labels"),
    [
        ("", ["mint", "sage", "rue", "dill", "old"]),
        ("RU", ["rue"]),
        ("dish", ["rue", "dill"]),
        ("painted", ["old"]),
        ("mnit", ["mint"]),
    ],
)
def test_what_was_typed_narrows_the_list(kept, said, labels):
    assert [row.label for row in cohort.fitting(cohort.read(kept(*STORY)), said)] == labels


def test_a_label_leads_what_only_holds_its_letters(demo):
    assert cohort.fitting(cohort.read(demo), "d")[0].label == "D"


def test_an_empty_nursery(kept):
    assert cohort.plain(cohort.read(kept())) == ["No cohorts yet: nothing has been recorded."]
    assert cohort.plain(cohort.read(kept(), "B")) == ["No cohort is called “B”. No cohorts yet: nothing has been recorded."]


def test_it_is_shown_as_text(demo):
    lines = show("cohort", demo, "B")
    assert lines[0] == "B: monarch (Danaus plexippus). Thu 18 June 2026, 07:30" and "Now: 12 eggs in jar 2" in lines
    assert lines[-1] == "  survival of B"
