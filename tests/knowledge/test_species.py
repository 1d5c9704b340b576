"""The shipped species: each card has what a keeper decides by, and its parts do not contradict one another."""

from __future__ import annotations

from nurserytui.answers.development import basis
from nurserytui.knowledge.rate_priors import ANY_GROUP

COOL = 18.0


def test_every_species_has_a_card(knowledge):
    for one in knowledge.all_species():
        assert one.common and one.family and one.group and one.regions and one.host_families, one.scientific
        assert one.egg.looks and one.larva and one.pupa and one.broods and one.wintering and one.range, one.scientific


def test_every_family_has_plain_words(knowledge):
    assert {one.family for one in knowledge.all_species()} <= set(knowledge.traits("families"))


def test_every_egg_has_its_months_in_order(knowledge):
    for one in knowledge.all_species():
        assert one.egg.months and len(set(one.egg.months)) == len(one.egg.months), one.scientific


def test_every_group_of_relatives_has_numbers(knowledge):
    for one in knowledge.all_species():
        assert knowledge.prior(one.group) is not None, one.scientific
    assert knowledge.prior(ANY_GROUP) is not None


def test_an_egg_is_not_given_up_before_it_should_have_hatched(knowledge):
    """In a cool room (18 °C) the middle egg of every species hatches before the day on which a cool egg is given up, but for eggs that winter."""
    for one in knowledge.all_species():
        if one.winters_as != "egg":
            days = basis(knowledge, one.scientific, "egg").stage.curve.days(COOL)
            assert days <= one.give_up_cool, (one.scientific, days, one.give_up_cool)


SAID = {
    "hanging": ("hang",),
    "girdled": ("girdl", "upright"),
    "soil": ("soil", "earth", "ground", "cell"),
    "litter": ("litter", "ground", "base", "leaf"),
}
"""Words of which one stands in what is said of a pupa of that form."""


def test_how_it_pupates_is_said_as_its_form_says(knowledge):
    for one in knowledge.all_species():
        stems = SAID.get(one.pupa_form, ())
        assert not stems or any(stem in one.pupa.text.casefold() for stem in stems), (
            one.scientific,
            one.pupa_form,
            one.pupa.text,
        )


def test_the_look_of_an_egg_names_one_of_its_colours(knowledge):
    words = knowledge.traits("colours")
    for one in knowledge.all_species():
        look = one.egg.looks.casefold()
        assert any(word in look for colour in one.egg.colours for word in (colour, *words[colour])), (one.scientific, look)
