"""Summary cards of species, hosts and enemies."""

from __future__ import annotations

import pytest

from nurserytui.knowledge.base import load


@pytest.fixture
def whole(small):
    """The small nursery with all agents of the shipped knowledge."""
    small.knowledge = load()
    return small


@pytest.mark.parametrize(
    ("species", "parts"),
    [
        ("Nymphalis antiopa", ("mourning cloak", "Hosts:", "winters as an adult")),
        ("Danaus plexippus", ("Asclepias", "Trap plants", "Egg:")),
    ],
)
def test_a_species(ask, species, parts):
    answer = ask("about-species", "tell me about it", species=[species])
    assert (
        all(part.casefold() in answer.text.casefold() for part in parts)
        and answer.sources
        and answer.about == {"species": species}
    )


@pytest.mark.parametrize(
    ("species", "text", "first"),
    [
        ("Manduca sexta", "how many instars", "Its larvae usually have 5 instars."),
        ("Actias luna", "does it eat as a moth", "Giant silk moths have no working mouth"),
        ("Vanessa atalanta", "where do red admirals lay their eggs", "Egg: "),
        ("Actias luna", "what does the caterpillar look like", "Larva: "),
        ("Papilio polyxenes", "how does it pupate", "Pupa: "),
        ("Danaus plexippus", "how many broods", "More than one brood"),
        ("Papilio cresphontes", "where does it live", "Range: "),
        ("Euphydryas aurinia", "is it protected", "Protected by law"),
        ("Automeris io", "does it sting", "Its hairs or spines sting"),
        ("Danaus plexippus", "tell me about the monarch caterpillar's food plants", "Larva: "),
        ("Danaus plexippus", "tell me about it", "Monarch (Danaus plexippus): a brush-footed butterfly (Nymphalidae)."),
    ],
)
def test_the_part_asked_for_stands_first(ask, species, text, first):
    answer = ask("about-species", text, species=[species])
    assert answer.text.startswith(first) and f"({species}): " in answer.text


def test_protected_kinds_defer_to_the_authority_and_stinging_ones_warn(ask):
    assert any("authority" in caution for caution in ask("about-species", "about it", species=["Euphydryas aurinia"]).cautions)
    assert any("sting" in caution for caution in ask("about-species", "about it", species=["Automeris io"]).cautions)


def test_days_are_told_only_where_something_was_measured(ask):
    assert "Days at 23 °C: egg " in ask("about-species", "about it", species=["Danaus plexippus"]).text
    assert "Days at" not in ask("about-species", "about it", species=["Apatura iris"]).text


@pytest.mark.parametrize(("celsius", "days"), [(20, 27.4), (25, 16.7), (28, 13.5)])
def test_days_to_emergence_of_a_wasp_by_the_published_rule(ask, keeping, whole, celsius, days):
    """213.7 / (T - 12.2): Takagi 1976, Jpn J Appl Entomol Zool 20:157-163."""
    warm = keeping.Amount(celsius, "degC", "temperature", f"{celsius} C")
    answer = ask("about-agent", "how many days till they come out", agents=["Pteromalus puparum"], amounts=(warm,))
    assert answer.values["days"].value == days and str(days) in answer.text.split("\n")[0] and answer.working


def test_no_development_in_the_cold(ask, keeping, whole):
    cold = keeping.Amount(10, "degC", "temperature", "10 C")
    days = ask("about-agent", "how long", agents=["Pteromalus puparum"], amounts=(cold,)).values["days"]
    assert days.value is None and days.reason


def test_is_it_catching(ask, whole):
    answer = ask("about-agent", "what is npv and is it catching", agents=["nuclear polyhedrosis virus"])
    assert answer.text.startswith("Contagious: yes")


@pytest.mark.parametrize("topic", ["about-species", "about-host", "about-agent"])
def test_nothing_named_is_asked(ask, topic):
    answer = ask(topic, "tell me about it")
    assert answer.status == "clarify" and answer.options
