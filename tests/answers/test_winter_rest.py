"""A stage that rests through the winter is never told as days of growth alone."""

from __future__ import annotations

import pytest

from nurserytui.answers import respond
from nurserytui.knowledge.base import load

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note,by"
ROW = "2031-07-01,found,A,,Pieris rapae,larva,2,3,jar,,Brassica oleracea,,,"


@pytest.fixture
def lasting(keeping):
    nursery = keeping.nursery(f"{HEAD}\n{ROW}\n", "2031-07-02T08:00")

    def ask(species: str, *stages: str):
        return respond(keeping.request("how long", "stage-duration", species=[species], stages=stages), nursery)

    return ask


def test_a_published_rest_leads_and_growth_is_named_as_growth(lasting):
    # San Juan Island, island marble captive rearing records 2013-2024: 272 to 390 days, mean 326.1
    answer = lasting("Euchloe ausonides", "pupa")
    assert (answer.values["days"].value, answer.values["days"].low, answer.values["days"].high) == (326.1, 272, 390)
    assert answer.text.splitlines()[0].startswith("The pupal stage of large marble")
    assert "326 days, 272 to 390" in answer.text.splitlines()[0]
    assert any(cited.id == "island-marble-records" for cited in answer.sources)


@pytest.mark.parametrize(
    ("species", "stage"),
    [(one.scientific, one.winters_as) for one in load().all_species() if one.always_rests],
)
def test_what_always_rests_never_leads_with_days_of_growth(lasting, species, stage):
    answer = lasting(species, stage)
    days = answer.values["days"].value
    assert days is None or days > 60
    assert answer.status == "unknown" or "rests through the winter" in answer.text.splitlines()[0]


def test_the_way_from_egg_to_adult_has_the_rest_in_it(lasting):
    answer = lasting("Anthocharis cardamines", "egg", "larva", "pupa")
    assert answer.values["days"].value is None and "next season" in answer.text.splitlines()[0]


def test_a_stage_that_may_rest_says_so_after_the_days(lasting):
    answer = lasting("Papilio polyxenes", "pupa")
    assert answer.values["days"].value < 30
    assert "Pupae that are to winter rest instead" in answer.text


@pytest.mark.parametrize(("species", "stage"), [("Danaus plexippus", "pupa"), ("Anthocharis cardamines", "larva")])
def test_a_stage_that_never_rests_says_nothing_of_it(lasting, species, stage):
    answer = lasting(species, stage)
    assert answer.values["days"].value > 0 and "rest" not in answer.text.split("This rests on")[0]


def test_only_species_of_one_brood_always_rest():
    for one in load().all_species():
        if one.always_rests:
            assert one.winters_as in ("egg", "larva", "pupa"), one.scientific
            assert one.broods and one.broods.text.startswith("One"), one.scientific
