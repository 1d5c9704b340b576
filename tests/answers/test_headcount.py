"""How many, where and in which stage: the small nursery's own numbers, and the ledger's."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nurserytui.answers.fates import between
from nurserytui.answers.selection import Wanted
from nurserytui.records.events import STAGES, Event
from nurserytui.records.ledger import replay

CASES = [
    ("how many animals have I got", {}, 45, "About 45 animals"),
    ("how many eggs", {"stages": ("egg",)}, 11, "11 eggs"),
    ("how many caterpillars in box C", {"stages": ("larva",), "enclosures": ("box C",)}, 10, "10 larvae"),
    ("what is in the flight cage", {"enclosures": ("flight cage",)}, 2, "Q, red admiral (Vanessa atalanta)"),
    ("how many painted ladies", {"species": ["Vanessa cardui"]}, 4, "R, painted lady"),
    ("how many third instar larvae", {"stages": ("larva",), "instar": 3}, 4, "4 larvae in instar 3"),
    ("where is Q 1", {"cohorts": ("Q",), "mark": "1", "cues": ("where",)}, 1, "flight cage (1 pupa)"),
    ("which instar are they", {"cohorts": ("R",)}, 4, "in instar 3"),
    ("any adults", {"stages": ("adult",)}, 0, "0 adults now"),
    ("is box A empty", {"enclosures": ("box A",)}, 0, "Yes, box A is empty"),
    ("is box C empty", {"enclosures": ("box C",)}, 10, "No, box C is not empty"),
    ("how many of fennel-1 are left", {"cohorts": ("fennel-1",)}, 0, "14 released (8 female and 6 male)"),
    ("any caterpillars in box D", {"stages": ("larva",), "enclosures": ("box D",)}, 0, "9 eggs in box D"),
    ("how many thistle-1 pupae", {"cohorts": ("thistle-1",), "stages": ("pupa",)}, 0, "4 given away (to the library)"),
    (
        "who else is in there",
        {"cohorts": ("R",), "enclosures": ("box C",), "cues": ("who",)},
        6,
        "6 other animals in box C with R",
    ),
    (
        "how many eggs were there",
        {"stages": ("egg",), "period": ("2030-05-02", "2030-05-03")},
        20,
        "20 eggs at the end of Thu 2 May 2030",
    ),
    ("how many species do I keep", {}, 4, "4 species now"),
    ("which boxes are empty", {}, 2, "big cage and box A"),
]


@pytest.mark.parametrize(("text", "slots", "count", "says"), CASES)
def test_counts(ask, text, slots, count, says):
    answer = ask("headcount", text, **slots)
    assert (answer.status, answer.topic) == ("answered", "headcount")
    assert answer.values["count"].value == count
    assert says in answer.text
    assert str(count) in answer.text.splitlines()[0] or "empty" in text


def test_items_name_cohort_stage_and_place(ask):
    answer = ask("headcount", "what is in box C", enclosures=("box C",))
    found = {(item["name"], item["stage"], item["enclosure"], item["count"]) for item in answer.items}
    assert found == {("R", "larva", "box C", 4), ("fennel-2", "larva", "box C", 6)}
    assert answer.sources[0].kind == "own records"


def test_an_estimate_is_said(ask):
    answer = ask("headcount", "how many fennel-2", cohorts=("fennel-2",))
    assert answer.text.startswith("About 30 ")
    assert all(item["estimate"] for item in answer.items)


@pytest.mark.parametrize("slots", [{"cohorts": ("zebra",)}, {"enclosures": ("box Z",)}, {"unknown_names": ("box Z",)}])
def test_unknown_names_ask_back_with_what_there_is(ask, slots):
    answer = ask("headcount", "how many in box Z", **slots)
    assert answer.status == "clarify"
    assert "fennel-2" in answer.text and "box C" in answer.text
    assert answer.options


def test_one_meaning_of_a_name_is_taken_from_the_animals_kept(small, keeping):
    from nurserytui import answers
    from nurserytui.language.request import Named

    lady = Named("lady", ("Vanessa virginiensis", "Vanessa cardui"), usual=False)
    request = keeping.request("how many ladies", "headcount")._replace(species=(lady,))
    assert answers.respond(request, small).values["count"].value == 4


@pytest.mark.parametrize("topic", ["headcount", "history", "survival", "exposure", "round", "temperature"])
def test_an_empty_nursery_is_answered_not_a_crash(ask, keeping, topic):
    empty = keeping.nursery(keeping.EVENTS.splitlines()[0])
    answer = ask(topic, "what about it", nursery=empty)
    assert answer.status in ("unknown", "answered")
    assert "no cohorts yet" in answer.text


STEPS = st.lists(
    st.tuples(
        st.sampled_from(("laid", "found", "hatched", "pupated", "emerged", "moved", "died", "released", "missing", "given")),
        st.sampled_from(("A", "B")),
        st.integers(1, 12),
        st.sampled_from(("tub", "tent")),
    ),
    max_size=25,
)


def ledger_of(steps):
    """A ledger of random events; those that cannot have happened are faults and move nothing."""
    events = []
    for at, (what, cohort, count, place) in enumerate(steps):
        day = (date(2030, 1, 1) + timedelta(days=at)).isoformat()
        event = Event(day, what, cohort, count=count, enclosure=place, id=f"e{at}", detail="mould" if what == "died" else "")
        if what in ("laid", "found"):
            event = event._replace(species="Pieris rapae", stage="egg" if what == "laid" else "larva")
        if what == "moved":
            event = event._replace(to="tent" if place == "tub" else "tub")
        events.append(event)
    return replay(events)


class Records:
    """As much of a nursery as the fates need."""

    def __init__(self, ledger) -> None:
        self.ledger, self.events = ledger, ledger.events

    def kept_of_cohorts(self, labels, name, compute):
        return compute()


@given(STEPS)
@settings(max_examples=60, deadline=None)
def test_every_animal_is_reached_dead_or_censored(steps):
    records = Records(ledger_of(steps))
    for origin, goal in ((None, "adult"), ("egg", "larva"), ("larva", "pupa"), ("egg", "adult")):
        fates = between(records, Wanted(), origin, goal)
        assert fates.start == fates.reached + fates.died + fates.censored.total()
        assert fates.died == sum(fates.causes.values())


@given(STEPS)
@settings(max_examples=40, deadline=None)
def test_stages_and_places_add_up_to_the_ledger(steps):
    from nurserytui.answers.selection import standing

    records = Records(ledger_of(steps))
    total = sum(records.ledger.heads.values())
    assert sum(count for _, count in standing(records, Wanted())) == total
    assert sum(n for stage in STAGES for _, n in standing(records, Wanted(stages=(stage,)))) == total
    assert sum(n for place in ("tub", "tent") for _, n in standing(records, Wanted(enclosures=(place,)))) == total


@pytest.mark.parametrize(
    ("text", "first", "count"),
    [("which cohort is the smallest", "R holds the fewest", 4), ("fullest box", "jar", None)],
)
def test_places_and_cohorts_are_ranked(ask, text, first, count):
    answer = ask("headcount", text)
    counts = [item["count"] for item in answer.items]
    assert counts == sorted(counts, reverse="fullest" in text)
    assert count is None or answer.values["count"].value == counts[0]


def test_what_is_left_out_is_not_counted(ask):
    whole, part = ask("headcount", "how many"), ask("headcount", "how many not counting R", without=("R",))
    assert whole.values["count"].value - part.values["count"].value == 4
    assert all(item["cohort"] != "R" for item in part.items)
