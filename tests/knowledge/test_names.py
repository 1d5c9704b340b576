"""Names as people type them: found in any spelling and with few slips, never inside other words."""

from __future__ import annotations

import time

import pytest

from nurserytui.knowledge.names import budget, plain, singular

FOUND = [
    ("monarch", "species", "Danaus plexippus"),
    ("Monarchs", "species", "Danaus plexippus"),
    ("MONARCH BUTTERFLY", "species", "Danaus plexippus"),
    ("Danaus plexippus", "species", "Danaus plexippus"),
    ("D. plexippus", "species", "Danaus plexippus"),
    ("danaus plexipus", "species", "Danaus plexippus"),
    ("Agraulis vanillae", "species", "Dione vanillae"),
    ("gulf fritilary", "species", "Dione vanillae"),
    ("gulf fritillaries", "species", "Dione vanillae"),
    ("easten black swallowtail", "species", "Papilio polyxenes"),
    ("anise swallowtails", "species", "Papilio zelicaon"),
    ("cloudless sulfur", "species", "Phoebis sennae"),
    ("gray hairstreak", "species", "Strymon melinus"),
    ("grey hairstreak", "species", "Strymon melinus"),
    ("orangetip", "species", "Anthocharis cardamines"),
    ("camberwell beauty", "species", "Nymphalis antiopa"),
    ("red-spotted purples", "species", "Limenitis arthemis"),
    ("peackock", "species", "Aglais io"),
    ("painted ladies", "species", "Vanessa cardui"),
    ("milkweeds", "plant", "Asclepias spp."),
    ("Asclepias", "plant", "Asclepias spp."),
    ("parsly", "plant", "Petroselinum crispum"),
    ("Queen Annes lace", "plant", "Daucus carota"),
    ("dutchmans pipe", "plant", "Aristolochia macrophylla"),
    ("swallow wort", "plant", "Vincetoxicum spp."),
    ("Cynanchum louiseae", "plant", "Vincetoxicum nigrum"),
    ("sweet gum", "plant", "Liquidambar styraciflua"),
    ("willow", "plant", "Salix spp."),
    ("tomatoes", "plant", "Solanum lycopersicum"),
    ("snapdragens", "plant", "Antirrhinum majus"),
    ("OE", "agent", "Ophryocystis elektroscirrha"),
    ("npv", "agent", "nuclear polyhedrosis virus"),
    ("pteromalus", "agent", "Pteromalus puparum"),
    ("tachinids", "agent", "tachinid fly"),
]


@pytest.mark.parametrize(("typed", "kind", "means"), FOUND)
def test_a_name_is_found(knowledge, typed, kind, means):
    alias, score = knowledge.match(typed, (kind,))[0]
    assert alias.means[0] == means
    assert 0.8 < score <= 1


@pytest.mark.parametrize(
    "typed",
    [
        "ruler",
        "hope",
        "dil",
        "due",
        "rye",
        "hup",
        "pee",
        "asps",
        "kole",
        "green",
        "the hop is",
        "fennel seeds for tea",
        "blue glimmerwing",
        "x",
        "",
    ],
)
def test_other_words_are_no_names(knowledge, typed):
    assert knowledge.match(typed) == []


@pytest.mark.parametrize("typed", ["dill", "rue", "hop", "ash", "flax", "pea", "kale"])
def test_short_names_are_found_only_exactly(knowledge, typed):
    assert knowledge.match(typed, ("plant",))[0][1] == 1
    for place in range(len(typed)):
        changed = typed[:place] + "q" + typed[place + 1 :]
        assert knowledge.match(changed, ("plant",)) == []


@pytest.mark.parametrize(
    ("typed", "kind", "usual"),
    [
        ("swallowtail", "species", False),
        ("tiger swallowtail", "species", False),
        ("sulphur", "species", False),
        ("zebra", "species", False),
        ("Papilio", "species", False),
        ("black swallowtail", "species", True),
        ("cabbage white", "species", True),
        ("peacock", "species", True),
        ("milkweed", "plant", True),
        ("pawpaw", "plant", True),
        ("bay", "plant", False),
        ("hogweed", "plant", False),
    ],
)
def test_an_ambiguous_name_says_whether_one_meaning_is_usual(knowledge, typed, kind, usual):
    ((alias, score),) = knowledge.match(typed, (kind,))
    assert score == 1 and len(alias.means) > 1 and alias.usual is usual
    look_up = knowledge.species if kind == "species" else knowledge.plant
    assert (look_up(typed) is not None) is usual


def test_a_name_of_two_kinds_gives_both(knowledge):
    assert {alias.kind for alias, _ in knowledge.match("buckeye")} == {"species", "plant"}


def test_exact_goes_before_near(knowledge):
    assert [alias.means[0] for alias, _ in knowledge.match("mallow")] == ["Malva spp."]


@pytest.mark.parametrize(("length", "errors"), [(1, 0), (4, 0), (5, 1), (8, 1), (9, 2), (30, 2)])
def test_slips_allowed_by_length(length, errors):
    assert budget(length) == errors


@pytest.mark.parametrize(
    ("typed", "one"),
    [
        ("monarchs", "monarch"),
        ("painted ladies", "painted lady"),
        ("beech leaves", "beech leaf"),
        ("larvae", "larva"),
        ("grasses", "grasse"),
        ("tomatoes", "tomato"),
        ("citrus", "citrus"),
        ("danaus", "danaus"),
        ("ash", "ash"),
        ("peaches", "peach"),
    ],
)
def test_singular(typed, one):
    assert singular(typed) == one


@pytest.mark.parametrize(
    ("typed", "form"),
    [
        ("Queen Anne’s-Lace", "queen annes lace"),
        ("  GRAY   sulfur ", "grey sulphur"),
        ("Citrus × limon", "citrus x limon"),
        ("Érable", "erable"),
    ],
)
def test_plain(typed, form):
    assert plain(typed) == form


def test_a_look_up_is_quick(knowledge):
    words = ["easten tiger swalowtail", "caterpillers", "golden alexandrs", "asclepius tuberosa"]
    for word in words:
        knowledge.match(word)
    start = time.perf_counter()
    for _ in range(25):
        for word in words:
            knowledge.match(word)
    assert (time.perf_counter() - start) / 100 < 0.006


def test_no_name_is_given_twice_in_two_spellings(shipped):
    """Two spellings that are looked up alike: the second would silently take the place of the first."""
    seen: dict[tuple[str, str], str] = {}
    for alias in shipped.sections["names"].values():
        key = (alias.kind, plain(alias.alias))
        assert key not in seen, (alias.alias, seen[key])
        seen[key] = alias.alias
