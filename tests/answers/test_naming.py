"""Ambiguous names: hosts, the keeper's own animals and the place settle them before anyone is asked."""

from __future__ import annotations

import pytest

from nurserytui.answers import naming
from nurserytui.language.request import Named, Request

EITHER = Named("tiger", ("Papilio glaucus", "Papilio rutulus", "Papilio canadensis"), usual=False)


def test_nothing_settles_it(small):
    assert (
        naming.settle(Named("zebra", ("Heliconius charithonia", "Protographium marcellus"), False), Request("zebra"), small)
        is None
    )


def test_the_plant_in_the_line_settles_it(small):
    line = Request("zebra on pawpaw", hosts=(Named("pawpaw", ("Asimina triloba",)),))
    settled = naming.settle(Named("zebra", ("Heliconius charithonia", "Protographium marcellus"), False), line, small)
    assert settled.name == "Protographium marcellus" and settled.others == ("Heliconius charithonia",) and "plant" in settled.why


def test_the_animals_kept_settle_it(small):
    settled = naming.settle(Named("lady", ("Vanessa virginiensis", "Vanessa cardui"), False), Request("lady"), small)
    assert settled.name == "Vanessa cardui" and "keep" in settled.why


@pytest.mark.parametrize(("place", "found"), [("Bristol, UK", "Papilio machaon"), ("somewhere", None)])
def test_the_place_settles_it(small, place, found):
    small.settings = small.settings._replace(place=place)
    named = Named("swallowtail", ("Papilio cresphontes", "Papilio machaon", "Papilio troilus"), False)
    settled = naming.settle(named, Request("swallowtail"), small)
    assert (settled.name if settled else None) == found


def test_a_usual_meaning_is_taken_and_the_others_are_named(small):
    settled = naming.settle(EITHER._replace(usual=True), Request("tiger"), small)
    assert settled.name == "Papilio glaucus" and "Papilio rutulus" in naming.also_means(settled, EITHER.said, small.knowledge)


def test_otherwise_it_is_asked_with_sentences_that_can_be_sent(small):
    from nurserytui import answers

    request = Request(
        "what do zebras eat",
        "hosts-of-species",
        species=(Named("zebra", ("Heliconius charithonia", "Protographium marcellus"), False),),
    )
    answer = answers.respond(request, small)
    assert answer.status == "clarify"
    assert answer.options == ("What do zebra longwing larvae eat?", "What do zebra swallowtail larvae eat?")


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("Salix spp.", "Salix nigra", True),
        ("Salix", "Salix nigra", True),
        ("Salix nigra", "Salix caprea", False),
        ("Salix nigra", "Salix nigra", True),
        ("Populus spp.", "Salix nigra", False),
    ],
)
def test_a_genus_stands_for_its_species(one, other, same):
    assert naming.same_plant(one, other) is same
