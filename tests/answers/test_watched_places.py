"""Enclosures in which a disease or parasitoids were: who was in them, who came later, whether they are safe, and what ends it."""

from __future__ import annotations

from datetime import datetime

import pytest

from nurserytui.answers.cases import outbreaks
from nurserytui.answers.contacts import contacts
from nurserytui.answers.watches import open_watches
from nurserytui.assistant import Assistant
from nurserytui.nursery import Nursery
from nurserytui.records.store import Store

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by"


def row(when, what, cohort="", **more):
    cells = {"when": when, "what": what, "cohort": cohort, **{name: str(value) for name, value in more.items()}}
    return ",".join(cells.get(name, "") for name in HEAD.split(","))


def found(when, cohort, place, count, stage="larva", species="Pieris rapae", **more):
    return row(
        when, "found", cohort, species=species, stage=stage, count=count, enclosure=place, host="Brassica oleracea", **more
    )


SICK = [
    found("2031-07-01", "R", "crate", 6, instar=3),
    found("2031-07-01", "S", "box", 5, instar=3),
    row("2031-07-03", "moved", "S", stage="larva", count=2, enclosure="box", to="crate"),
    row("2031-07-06", "died", "R", stage="larva", count=1, enclosure="crate", detail="virus"),
    row("2031-07-07T10:00", "moved", enclosure="crate", to="tank 2", detail="everything"),
    row("2031-07-07T12:00", "cleaned", enclosure="crate"),
]
"""R and two of S met the virus in the crate and stand in the tank; three of S stayed in the box all the time."""


@pytest.fixture
def of(keeping, tmp_path):
    opened = []

    def made(rows, now="2031-07-10T08:00"):
        seen = keeping.nursery("\n".join([HEAD, *rows]), now)
        store = Store.open(tmp_path / f"{len(opened)}.db").__enter__()
        opened.append(store)
        assert not store.append([event._replace(id="") for event in seen.store.events()]).faults
        return Nursery(store, seen.knowledge, seen.now)

    yield made
    for store in opened:
        store.__exit__(None, None, None)


def said(nursery, *lines):
    assistant = Assistant(nursery)
    for line in lines:
        answer = assistant.reply(line)
    return answer


@pytest.mark.parametrize("line", ("is tank 2 safe again", "is tank 2 safe to use", "can I use tank 2 again"))
def test_an_enclosure_is_not_safe_while_animals_on_watch_stand_in_it(of, line):
    answer = said(of(SICK), line)
    assert answer.values["safe"].value == "no"
    assert "R in tank 2 and S in tank 2" in answer.text or "S in tank 2 and R in tank 2" in answer.text
    assert answer.values["watch_until"].value == "2031-07-21"  # fourteen days from the 7th


def test_nor_where_it_was_cleaned_with_them_in_it(of):
    assert said(of(SICK), "cleaned tank 2", "is tank 2 safe again").values["safe"].value == "no"


def test_siblings_that_come_into_the_cleaned_enclosure_were_never_in_it_before(of):
    later = of([*SICK, row("2031-07-09", "moved", "S", stage="larva", count=3, enclosure="box", to="crate")])
    assert {(one.contact.group.cohort, one.contact.group.enclosure) for one in open_watches(later)} == {
        ("R", "tank 2"),
        ("S", "tank 2"),
    }
    assert said(later, "is the crate safe again").values["safe"].value == "yes"
    assert said(later, "was S in the crate exposed").values["exposed"].value in ("no", "unlikely")


def test_but_exposed_ones_that_come_back_into_it_carry_it_there(of):
    back = of([*SICK, row("2031-07-09", "moved", "S", stage="larva", count=1, enclosure="tank 2", to="crate")])
    assert ("S", "crate") in {(one.contact.group.cohort, one.contact.group.enclosure) for one in open_watches(back)}


def test_those_that_come_in_before_it_is_cleaned_meet_it(of):
    dirty = of([*SICK[:-1], row("2031-07-09", "moved", "S", stage="larva", count=3, enclosure="box", to="crate")])
    assert ("S", "crate") in {(one.contact.group.cohort, one.contact.group.enclosure) for one in open_watches(dirty)}


def test_what_leaves_after_the_cleaning_carries_nothing(of):
    rows = [
        *SICK,
        row("2031-07-08", "moved", "S", stage="larva", count=3, enclosure="box", to="crate"),
        row("2031-07-09", "moved", "S", stage="larva", count=2, enclosure="crate", to="vat"),
    ]
    (outbreak,) = outbreaks(of(rows))
    assert ("S", "vat") not in {(one.group.cohort, one.group.enclosure) for one in contacts(of(rows), outbreak)}


@pytest.mark.parametrize(
    ("stage", "detail", "kind"),
    (
        ("larva", "went soft and black", "virus"),  # as the others of the cohort had it
        ("larva", "black and leaking", "virus"),
        ("larva", "squashed by the lid", None),
        ("larva", "stuck in the moult", None),
        ("larva", "fell in the water", None),
        ("larva", "not moving", None),
    ),
)
def test_a_death_with_the_look_of_a_disease_is_a_case_of_it(of, stage, detail, kind):
    nursery = of([*SICK, row("2031-07-09T09:00", "died", "R", stage=stage, count=1, enclosure="tank 2", detail=detail)])
    assert [(one.kind, one.place) for one in outbreaks(nursery)][1:] == ([(kind, "tank 2")] if kind else [])
    if kind:
        assert max(one.contact.watch_until for one in open_watches(nursery)) == datetime(2031, 7, 24, 8)  # goes on till now


WASPS = [
    row("2031-06-01", "temperature", detail="22 C"),
    found("2031-06-20", "P", "east cage", 2, instar=5),
    row("2031-06-24", "pupated", "P", count=2, enclosure="east cage"),
    found("2031-07-01", "Q", "jar", 4, instar=2),
    row("2031-07-09", "died", "P", stage="pupa", count=1, enclosure="east cage", detail="Pteromalus wasp"),
]


@pytest.mark.parametrize(
    "line",
    (
        "all the wasps are caught",
        "caught all the wasps",
        "wasps caught",
        "no wasps left",
        "I have caught the last of the wasps.",
        "we got rid of all the wasps in the east cage",
        "the loose wasps are all dead",
    ),
)
def test_that_all_wasps_are_caught_is_a_look_where_they_are_loose(of, line):
    nursery = of(WASPS)
    answer = said(nursery, line)
    assert answer.status == "recorded"
    assert [(item["what"], item["enclosure"]) for item in answer.items] == [("checked", "east cage")]
    assert said(nursery, "is the east cage safe again").text.count("may be about") == 0


@pytest.mark.parametrize("line", ("are the wasps all caught?", "not all the wasps are caught", "caught some of the wasps"))
def test_a_question_or_a_part_of_them_ends_nothing(of, line):
    nursery = of(WASPS)
    assert said(nursery, line).status != "recorded" or "may be about" in said(nursery, "is the east cage safe again").text
    assert not any(event.what == "checked" and event.enclosure == "jar" for event in nursery.events)


def test_where_none_are_loose_it_is_asked_which_enclosure_is_meant(of):
    answer = said(of(SICK), "no wasps left")
    assert answer.status == "clarify" and "checked tank 2: no wasps" in answer.options


def test_with_wasps_in_two_cages_it_is_asked_which(of):
    second = [
        found("2031-06-20", "T", "net", 2, stage="pupa"),
        row("2031-07-09", "died", "T", stage="pupa", count=1, enclosure="net", detail="wasps"),
    ]
    answer = said(of([*WASPS, *second]), "caught all the wasps")
    assert answer.status == "clarify"
    assert {"checked east cage: no wasps", "checked net: no wasps"} <= set(answer.options)


def test_an_emptied_cage_takes_the_look_that_ends_it(of):
    nursery = of([*WASPS, row("2031-07-09T20:00", "moved", enclosure="east cage", to="pot", detail="everything")])
    assert said(nursery, "checked east cage: no wasps").status == "recorded"
    assert said(nursery, "is the east cage safe again").values["safe"].value == "yes"


def test_the_days_of_a_watch_pass_but_nobody_looked(of):
    over = of(SICK, "2031-07-25T08:00")
    first = said(over, "is the watch on R over")
    assert first.text.startswith("Look first") and "checked tank 2" in first.text
    assert said(over, "is tank 2 safe again").values["safe"].value == "no"
    assert said(over, "checked tank 2", "is the watch on R over").text.startswith("Yes: the watch on R is over")
    assert said(over, "is tank 2 safe again").values["safe"].value == "yes"


MIXED = [
    *WASPS,
    found("2031-06-30", "V", "east cage", 5, instar=5),
    row("2031-07-09T18:00", "prepupated", "V", count=2, enclosure="east cage"),
]


def test_of_one_cohort_only_those_that_hang_were_struck(of):
    nursery = of(MIXED)
    rows = {one.contact.young: one for one in open_watches(nursery) if one.contact.group.cohort == "V"}
    assert rows[False].living == (("prepupa", 2),) and rows[False].contact.grade == "likely"
    assert rows[True].living == (("larva", 3),) and rows[True].contact.grade == "possible"
    plan = said(nursery, "make me an isolation plan")
    assert sum("3 larvae of V" in item["label"] and item["kind"] == "apart" for item in plan.items) == 1
    assert not any("2 prepupae of V" in item["label"] and "3 larvae" in item["label"] for item in plan.items)


def test_the_round_takes_all_that_are_too_young_out_of_the_wasps_cage(of):
    tasks = said(of([*MIXED, found("2031-07-05", "W", "east cage", 1, instar=4)]), "what needs doing today").items
    out = {item["label"].split(" out of ")[0] for item in tasks if item["kind"] == "share" and "larva" in item["label"]}
    assert out == {
        "Take 3 larvae of V",
        "Take 1 larva of W",
    }


def test_from_when_larvae_may_have_hung_unseen_does_not_move_with_the_clock(of):
    """A full-grown larva of the 1st hangs within days; nothing was written of it since, and the wasps live for weeks."""
    rows = [*WASPS, found("2031-07-01", "V", "east cage", 1, instar=5)]
    since = {
        contact.since
        for now in ("2031-07-20T08:00", "2031-08-01T08:00", "2031-09-20T08:00")
        for nursery in (of(rows, now),)
        for contact in contacts(nursery, outbreaks(nursery)[0])
        if contact.group.cohort == "V" and contact.grade == "possible"
    }
    assert len(since) == 1
    assert said(of(rows, "2031-09-20T08:00"), "is the watch on V over").text.startswith("Look first")


def test_the_plan_gives_each_cohort_a_container_of_its_own_and_each_enclosure_one_mix(of):
    """Flies and spores in one box: the heavily infected stand by themselves, and the box takes the stronger of the two mixes."""
    rows = [
        found("2031-06-20", "A", "box 1", 6, instar=3, species="Danaus plexippus"),
        row("2031-06-30", "pupated", "A", count=5, enclosure="box 1"),
        row("2031-07-01", "died", "A", stage="larva", count=1, enclosure="box 1", detail="tachinid fly"),
        row("2031-07-09", "emerged", "A", count=4, enclosure="box 1"),
        row("2031-07-09", "tested", "A", stage="adult", count=1, enclosure="box 1", detail="heavy"),
    ]
    plan = said(of(rows), "make me an isolation plan")
    homes = [item["to"] for item in plan.items if item["kind"] == "apart"]
    assert len(homes) == len(set(homes)) == 2
    (clean,) = [item for item in plan.items if item["kind"] == "clean" and item["name"] == "box 1"]
    assert "4 hours" in clean["label"]
    mixes = [item["label"] for item in plan.items if item["kind"] == "mix"]
    assert len(mixes) == 2 and all("box 1" in label for label in mixes)
    assert any("against the OE" in label for label in mixes) and any("parasitoid flies" in label for label in mixes)
