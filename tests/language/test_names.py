"""Species, plants, stages and instars as keepers write them, and descriptions that are no names."""

from __future__ import annotations

from datetime import datetime
from types import SimpleNamespace

import pytest
from conversation import nursery, nursery_of

from nurserytui.knowledge.facts import Alias
from nurserytui.language.spans import scan
from nurserytui.language.vocabulary import Vocabulary


def found(text):
    place = nursery()
    line = scan(text, Vocabulary.of(place), place.now, place.settings)
    return [(span.kind, getattr(span.value, "name", span.value)) for span in line.spans]


@pytest.mark.parametrize(
    ("text", "spans"),
    [
        ("spicebush swallowtail", [("species", "Papilio troilus")]),
        ("out of fennel for my anise swallowtails", [("plant", "Foeniculum vulgare"), ("species", "Papilio zelicaon")]),
        ("luna moth cocoon", [("species", "Actias luna"), ("stage", "pupa")]),
        ("monarch caterpillars", [("species", "Danaus plexippus"), ("stage", "larva")]),
        ("monarch butterflies", [("species", "Danaus plexippus"), ("stage", "adult")]),
        ("P. polyxenes eggs", [("species", "Papilio polyxenes"), ("stage", "egg")]),
        ("spicbush swalowtail catapillars", [("species", "Papilio troilus"), ("stage", "larva")]),
        ("butterfly weed", [("plant", "Asclepias tuberosa")]),
        ("passion-flower leaves", [("plant", "Passiflora spp.")]),
        ("fennel-3 larvae", [("cohort", "fennel-3"), ("stage", "larva")]),
        ("small white eggs on kale", [("species", "Pieris rapae"), ("stage", "egg"), ("plant", "Brassica oleracea")]),
        ("small white oval behind its head", []),
        ("a white egg", [("stage", "egg")]),
        ("egg with an orange tip", [("stage", "egg")]),
        ("the blue glimmerwing caterpillar", [("unknown-species", "glimmerwing"), ("stage", "larva")]),
        ("mushy droopy caterpillar", [("stage", "larva")]),
        ("dormant chrysalids", [("stage", "pupa")]),
        ("relocate caterpillars", [("stage", "larva")]),
        ("how to euthanise butterflies", [("stage", "adult")]),
        ("hung in a J", [("stage", "prepupa")]),
        ("upside-down V", []),
        ("last instar", [("instar", -1)]),
        ("my dog ate a cat", []),
        ("the kids sat in the sun in the car", []),
        ("they may march on", []),
    ],
)
def test_names(text, spans):
    assert found(text) == spans


def test_a_mended_name_is_less_sure():
    place = nursery()
    (span,) = scan("monarhc", Vocabulary.of(place), place.now, place.settings).of("species")
    assert span.value.sure < 1


def test_the_keepers_own_animals_settle_an_ambiguous_name():
    place = nursery()
    (span,) = scan("swallowtail", Vocabulary.of(place), place.now, place.settings).of("species")
    assert span.value.name == "Papilio polyxenes" and span.value.usual and len(span.value.names) > 1


@pytest.mark.parametrize(
    ("text", "spans"),
    [
        ("B2 died", [("mark", ("B", "2"))]),
        ("number 2 of B", [("mark", ("B", "2"))]),
        ("cohort zulu-9", [("unknown-cohort", "zulu-9")]),
        ("call them H", [("unknown-cohort", "H")]),
        ("rename A to porch", [("cohort", "A"), ("unknown-cohort", "porch")]),
        ("tubs 9, 10 and 11", [("enclosure", "tub 9"), ("unknown-enclosure", "tub 10"), ("unknown-enclosure", "tub 11")]),
        ("500 ml bottle", [("amount", 500)]),
        ("fenel-3", [("cohort", "fennel-3")]),
        ("fennel-4", [("unknown-cohort", "fennel-4")]),
        ("the crate", [("enclosure", "crate 1")]),
    ],
)
def test_labels(text, spans):
    assert [(kind, getattr(value, "value", value)) for kind, value in found(text)] == spans


@pytest.mark.parametrize(
    ("line", "taken"),
    [
        ("found 3 eggs on the wall", False),
        ("my sister has 4 eggs", False),
        ("the old lady gave me 3 eggs", False),
        ("hosts of the wall", True),
        ("wall caterpillars", True),
        ("what does the wall eat", True),
    ],
)
def test_everyday_words_that_are_names_too(line, taken):
    knowledge = SimpleNamespace(
        aliases=lambda: [Alias(name, "species", (f"Fictus {name[:3]}",), True) for name in EVERYDAY_NAMES]
    )
    shipped = nursery()
    place = SimpleNamespace(ledger=shipped.ledger, settings=shipped.settings, knowledge=knowledge)
    assert bool(scan(line, Vocabulary(place), shipped.now, shipped.settings).of("species")) is taken


EVERYDAY_NAMES = ("wall", "sister", "old lady", "map")


def test_a_sign_between_strange_words_is_no_word_of_a_name():
    assert ("species", "Danaus plexippus") in found("eggshels 2-3 wrtie - monarch")


@pytest.mark.parametrize(
    ("line", "kinds"),
    [
        ("how many in deli 8", {"unknown-enclosure": "deli 8"}),
        ("moved them to deli 4", {"enclosure": "deli 4"}),
        ("bin D count", {"unknown-enclosure": "bin D"}),
        ("survival rate for 23b?", {"cohort": "23b"}),
        ("how many 23c are there", {}),
    ],
)
def test_labels_are_known_by_the_form_of_the_keepers_own(line, kinds):
    rows = "when,what,cohort,species,stage,count,enclosure\n2026-06-01,found,23b,Danaus plexippus,egg,3,deli 4\n2026-06-01,found,Q,Danaus plexippus,egg,3,bin A\n"
    place = nursery_of(rows, datetime(2026, 6, 10, 9))
    spans = scan(line, Vocabulary.of(place), place.now, place.settings).spans
    assert {span.kind: span.value for span in spans if span.kind in ("cohort", "enclosure", "unknown-enclosure")} == kinds
