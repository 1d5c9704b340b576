"""The card of a plant: the part that was asked for stands first, and what kills is never to be gathered."""

from __future__ import annotations

import pytest


@pytest.mark.parametrize(
    ("text", "hosts", "first"),
    [
        ("tell me about it", ["Passiflora incarnata"], "Maypop (Passiflora incarnata), family Passifloraceae. Vine that"),
        ("what does it look like", ["Pastinaca sativa"], "Parsnip (Pastinaca sativa), family Apiaceae. Grooved hairy stems"),
        ("can i buy it at a garden centre", ["Passiflora incarnata"], "Plants from garden shops may carry systemic insecticide"),
        ("is it poisonous", ["Aristolochia macrophylla"], "Yes, Dutchman's pipe"),
    ],
)
def test_the_part_asked_for_stands_first(ask, text, hosts, first):
    answer = ask("about-host", text, hosts=hosts)
    assert answer.text.startswith(first) and answer.about == {"host": hosts[0]} and answer.sources


def test_two_plants_are_told_apart_by_their_looks(ask):
    answer = ask("about-host", "how do i tell them apart", hosts=["Daucus carota", "Conium maculatum"])
    carrot, hemlock = answer.text.split("\n")[:2]
    assert "bristly" in carrot and hemlock.startswith("Poison hemlock") and "purple blotches" in hemlock


def test_a_deadly_plant_is_never_to_be_gathered(ask):
    answer = ask("about-host", "tell me about it", hosts=["Conium maculatum"])
    assert "never gather" in answer.text.split("\n")[1] and "Cut, it keeps" not in answer.text and answer.cautions


def test_how_it_keeps_says_whose_card_that_is(ask):
    assert "going by" in ask("about-host", "tell me about it", hosts=["Salix nigra"]).text
