"""What happened when."""

from __future__ import annotations

import pytest

DATES = [
    ("when did fennel-1 hatch", {"cohorts": ("fennel-1",)}, "2030-05-06", "16 eggs hatched in jar"),
    ("when was fennel-2 laid", {"cohorts": ("fennel-2",)}, "2031-07-20", "about 30 eggs laid"),
    ("when did Q 1 pupate", {"cohorts": ("Q",), "mark": "1", "event": "pupate"}, "2031-08-04", "1 larva pupated"),
    ("when was box A last cleaned", {"enclosures": ("box A",)}, "2031-08-08T11:00", "box A: cleaned"),
    ("who cleaned the jar", {"enclosures": ("jar",), "event": "cleaned"}, "2031-08-03", "by Ada"),
    (
        "when did fennel-2 go into box B",
        {"cohorts": ("fennel-2",), "enclosures": ("box B",)},
        "2031-08-01",
        "from box A to box B",
    ),
    ("when were R moved to box C", {"cohorts": ("R",), "enclosures": ("box C",)}, "2031-08-08T10:00", "from box A to box C"),
    ("who did the painted ladies go to", {"species": ["Vanessa cardui"], "cues": ("who",)}, "2030-06-20", "to the library"),
    ("when did I let fennel-1 go", {"cohorts": ("fennel-1",), "event": "escaped"}, "2030-06-07", "escaped"),
    ("when were the R butterflies found", {"cohorts": ("R",), "stages": ("adult",)}, "2031-07-29", "6 larvae found"),
    (
        "how long have the fennel-2 eggs been eggs",
        {"stages": ("egg",), "event": "laid", "cues": ("age",), "species": ["Papilio polyxenes"]},
        "2031-07-20",
        "eggs laid",
    ),
    ("when was R laid", {"cohorts": ("R",)}, "2031-07-29", "when they were laid is not known"),
]


@pytest.mark.parametrize(("text", "slots", "when", "says"), DATES)
def test_the_day_in_words_and_iso(ask, text, slots, when, says):
    answer = ask("history", text, **slots)
    assert (answer.status, answer.topic) == ("answered", "history")
    assert [item["when"] for item in answer.items] == [when]
    assert when[:10] in answer.text.splitlines()[0]
    assert says in answer.text
    assert answer.values["date"].value == when


COUNTS = [
    (
        "how many butterflies did I release in 2030",
        {"stages": ("adult",), "period": ("2030-01-01", "2031-01-01")},
        17,
        "17 adults",
    ),
    ("how many females flew", {"cohorts": ("fennel-1",), "cues": ("sex:female",)}, 8, "8 females of fennel-1 released"),
    ("how many males flew", {"cohorts": ("fennel-1",), "cues": ("sex:male",)}, 6, "6 males"),
    (
        "how many females were released",
        {"cohorts": ("thistle-1",), "cues": ("sex:female",)},
        0,
        "3 were released without that sex",
    ),
    ("how many eggs were laid this year", {"stages": ("egg",), "period": ("2031-01-01", "2032-01-01")}, 39, "39 eggs laid"),
    ("how many died in the jar", {"enclosures": ("jar",)}, 4, "4 infertile"),
]


@pytest.mark.parametrize(("text", "slots", "count", "says"), COUNTS)
def test_counts_of_events(ask, text, slots, count, says):
    answer = ask("history", text, **slots)
    assert answer.values["count"].value == count
    assert says in answer.text


def test_the_whole_story_tells_moves_of_the_whole_enclosure(ask):
    answer = ask("history", "the whole history of R", cohorts=("R",))
    assert [item["what"] for item in answer.items] == ["found", "died", "moved", "cleaned"][:3]
    assert "4 larvae moved from box A to box C" in answer.text and "Now: 4 larvae in box C" in answer.text


def test_care_of_an_enclosure_counts_for_the_animals_in_it(ask):
    answer = ask("history", "when was fennel-2 last fed", cohorts=("fennel-2",))
    assert [item["when"] for item in answer.items] == ["2031-08-10T07:00"]
    assert ask("history", "when was R last fed", cohorts=("R",)).items == ()


def test_what_became_of_them_leads_with_the_fate(ask):
    first = ask("history", "what happened to P", cohorts=("P",)).text.splitlines()[0]
    assert "2 died (Pteromalus wasp)" in first and "2031-08-05" in first


@pytest.mark.parametrize(
    ("text", "slots", "says"),
    [
        ("when did R pupate", {"cohorts": ("R",)}, "Not yet: none of R has pupated"),
        ("when did R hatch", {"cohorts": ("R",)}, "came in after that"),
        ("when was box D cleaned", {"enclosures": ("box D",)}, "Nothing cleaned is in the records for box D"),
    ],
)
def test_what_is_not_in_the_records_is_said(ask, text, slots, says):
    answer = ask("history", text, **slots)
    assert answer.items == ()
    assert says in answer.text


def test_both_sexes_are_told_apart(ask):
    answer = ask("history", "girls and boys?", cohorts=("fennel-1",), event="emerged", cues=("sex:male", "sex:female"))
    assert answer.values["count"].value == 14
    assert "8 female and 6 male" in answer.text


def test_a_note_is_found_by_its_words(ask, small):
    small.store.add("2031-08-02,note,,,,,,,,,,,bought finer netting for box B,")
    small.refresh()
    for text in ("did we ever buy that netting", "have I written about netting"):
        assert "bought finer netting" in ask("history", text).text.splitlines()[0]
    assert "bought finer" in ask("history", "any notes about box B", enclosures=("box B",)).text
    everything = ask("history", "what did I write down this week", period=("2031-08-04", "2031-08-10"), said="this week")
    assert len(everything.items) > 3


def test_what_a_cohort_started_with_is_what_came_in(ask):
    assert ask("history", "how many did fennel-1 start with", cohorts=("fennel-1",)).values["count"].value == 20


def test_several_kinds_are_not_summed(ask):
    answer = ask("history", "fennel-1: laid when, hatched when", cohorts=("fennel-1",))
    assert "20 animals laid and 16 hatched" in answer.text


@pytest.mark.parametrize(
    ("text", "day"), [("when did the spider ones die", "2030-06-22"), ("date of the first death by virus", "2031-08-06")]
)
def test_deaths_of_one_cause(ask, text, day):
    answer = ask("history", text, event="died")
    assert [item["when"] for item in answer.items] == [day]


def test_days_ago_are_no_count(ask):
    answer = ask("history", "how many days ago did R come in", cohorts=("R",), event="found")
    assert "12 days ago" in answer.text


def test_a_day_lists_all_that_happened(ask):
    answer = ask("history", "what happened on 8 August", period=("2031-08-08", "2031-08-09"), said="8 August")
    assert [item["what"] for item in answer.items] == ["temperature", "moved", "cleaned", "temperature"]


def test_last_in_the_name_of_a_period_does_not_cut_the_list(ask):
    answer = ask("history", "what happened last week", period=("2031-08-03", "2031-08-10"), said="last week", cues=("last",))
    assert len(answer.items) > 5


@pytest.mark.parametrize(
    ("text", "slots", "what"),
    [
        ("first eggs this year", {"stages": ("egg",), "period": ("2030-01-01", "2031-01-01")}, "laid"),
        ("last chrysalis so far", {"stages": ("pupa",)}, "pupated"),
    ],
)
def test_the_first_of_a_stage_is_when_it_began(ask, text, slots, what):
    assert [item["what"] for item in ask("history", text, **slots).items] == [what]


def test_of_those_that_are_gone_the_past_is_told(ask):
    answer = ask(
        "stage-forecast", "which came out first, fennel-1 or thistle-1", cohorts=("fennel-1", "thistle-1"), event="emerge"
    )
    assert answer.topic == "history" and answer.items[0]["when"] == "2030-06-05"
