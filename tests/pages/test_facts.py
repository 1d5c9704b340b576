"""The facts: every entry is found by its own name and drawn with its sources; typing errors, plurals and conflicts; the keeper's own."""

from __future__ import annotations

from statistics import quantiles
from time import thread_time

import pytest

from nurserytui.demo import MOMENT, private_copy
from nurserytui.knowledge.base import load
from nurserytui.knowledge.facts import Duration, Thermal
from nurserytui.nursery import Nursery
from nurserytui.pages import facts, facts_animals
from nurserytui.pages.facts_index import KINDS, WHOLE, Index, every, gathered, index_of
from nurserytui.pages.facts_words import Fact, Which, card_of
from nurserytui.pages.show import show
from nurserytui.records.store import Store

KEY_TIME = 0.010
"""Seconds of work that a key may cost."""


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    return index_of(load(own=tmp_path_factory.mktemp("none")))


@pytest.fixture
def demo(tmp_path):
    with Store.open(private_copy(tmp_path)) as store:
        yield Nursery(store, load(), MOMENT)


def card(book, kind: str, name: str):
    return book.card(Which(kind, name))


def facts_of(made, label: str) -> list[str]:
    return [fact.text for fact in made.facts if fact.label == label]


# Every entry --------------------------------------------------------------------------------------------------------------


def test_nothing_of_the_knowledge_base_is_left_out(book):
    knowledge, counts = book.knowledge, book.counts()
    assert counts["species"] == len(knowledge.all_species()) and counts["plant"] == len(knowledge.all_plants())
    assert counts["pairing"] == sum(len(knowledge.pairings_of(one.scientific)) for one in knowledge.all_species())
    assert counts["rule"] == len(knowledge.rules()) and counts["sign"] == len(knowledge.signs())
    assert counts["agent"] == len(knowledge.all_agents()) and counts["look-alike"] == len(knowledge.look_alikes())
    assert counts["disinfectant"] == len(knowledge.disinfectants())
    assert counts["hazard"] == sum(1 for one in knowledge.all_plants() if one.hazards)
    assert counts["cutting"] > 200 and counts["source"] > 500 and counts["growth"] >= len(knowledge.species_with_durations())
    assert set(counts) == set(KINDS) and len({entry.which for entry in book.entries}) == len(book.entries)


def test_every_entry_is_found_by_its_own_name(book):
    for entry in book.entries:
        kind = entry.which.kind
        assert entry in book.search(entry.title)[:5], entry
        assert entry in book.search(entry.title, kind)[:2], entry
        assert entry in book.search(entry.which.name, kind)[:2], entry


def test_every_whole_thing_is_found_by_each_of_its_common_names(book):
    knowledge = book.knowledge
    for one in (*knowledge.all_species(), *knowledge.all_plants()):
        for name in one.common:
            found = book.search(name)
            assert any(one.scientific in entry.which.name for entry in found[:12]), (one.scientific, name)


def test_every_card_is_drawn_and_every_fact_of_it_shows_a_source(book):
    for entry in book.entries:
        made = book.card(entry.which)
        assert made.title == entry.title and made.facts, entry
        for fact in made.facts:
            assert fact.label and fact.text and fact.sources and made.trust(fact), (entry, fact)
            assert fact.leads is None or fact.leads in book.places, (entry, fact)
        assert all(not source.citation.startswith("Unknown source") for source in made.cited)


def test_cautions_stand_at_the_top_of_plants_and_disinfectants(book):
    for plant in book.knowledge.all_plants():
        made = card(book, "plant", plant.scientific)
        assert [fact.tone for fact in made.facts[: len(plant.hazards)]] == ["care"] * len(plant.hazards)
        for hazard in plant.hazards:
            assert any(hazard.what.rstrip(".") in fact.text for fact in made.facts[: len(plant.hazards)])
    for one in book.knowledge.disinfectants():
        made = card(book, "disinfectant", one.name)
        assert made.facts[0].tone == "care" and all(word in made.facts[0].text for word in one.never_with)


def test_every_source_says_its_kind_and_leads_to_what_cites_it(book):
    made = card(book, "source", "takagi-1976")
    assert facts_of(made, "kind") == ["published: read in the source"]
    assert Which("agent", "Pteromalus puparum") in [fact.leads for fact in made.facts]
    assert facts_of(card(book, "source", "memory"), "kind") == ["recalled and not checked against a source, kept wide"]


def test_a_source_of_very_much_names_the_first_that_cite_it_and_how_many_more(book):
    made = card(book, "source", "practice")
    cited = sum(
        1
        for entry in book.entries
        if entry.which.kind != "source" and "practice" in {one.id for one in book.card(entry.which).cited}
    )
    told = facts_of(made, "used in")
    assert len(told) == 101 and told[-1] == f"and {cited - 100} more entries"


# Searching ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "kind", "name"),
    [
        ("monarch", "species", "Danaus plexippus"),
        ("Monarchs", "species", "Danaus plexippus"),
        ("mnarch", "species", "Danaus plexippus"),
        ("danaus plexippus", "species", "Danaus plexippus"),
        ("plexip", "species", "Danaus plexippus"),
        ("stinging netle", "plant", "Urtica dioica"),
        ("Urtica dioica", "plant", "Urtica dioica"),
        ("comon milkweeds", "plant", "Asclepias syriaca"),
        ("bleach", "disinfectant", "household bleach"),
        ("chrysalis wasps", "agent", "Pteromalus puparum"),
        ("pteromalus puparum", "agent", "Pteromalus puparum"),
        ("crumpled wings", "sign", "adult-crumpled-wings"),
        ("latex drop", "look-alike", "latex drop"),
        ("never mix", "rule", "never-mix"),
        ("takagi 1976", "source", "takagi-1976"),
    ],
)
def test_what_is_meant_comes_first(book, said, kind, name):
    assert book.search(said)[0].which == Which(kind, name)


@pytest.mark.parametrize("said", ["swallowtial", "swalowta", "Swallowtails", "SWALLOWTAIL"])
def test_a_word_with_errors_or_half_a_word_finds_the_same_kind_of_thing(book, said):
    assert "swallowtail" in book.search(said)[0].title.casefold()


def test_two_words_find_what_holds_both(book):
    found = book.search("black swallowtail dill")
    assert Which("pairing", "Papilio polyxenes + Anethum graveolens") in [entry.which for entry in found[:4]]


def test_a_kind_narrows_and_an_empty_line_shows_all_of_it(book):
    assert {entry.which.kind for entry in book.search("monarch", "rule")} == {"rule"}
    assert len(book.search("", "agent")) == book.counts()["agent"] and len(book.search("")) == len(book.entries)


def test_nonsense_finds_nothing_and_says_what_is_near(book):
    assert book.search("qqqqzx") == [] and book.search("\x1b[31m\u202e") == book.search("31m")
    assert "Danaus plexippus" in [entry.which.name for entry in book.near("moonaarckk")]


@pytest.mark.parametrize("said", ["", " ", "(", "[/b]", "a" * 10_000, "'; drop table x", "蝶", "e\u0301"])
def test_anything_may_be_typed(book, said):
    assert isinstance(book.search(said), list) and isinstance(book.near(said), list)


def test_a_key_costs_less_than_ten_milliseconds(book):
    book.search("warm up"), book.search("xxxxx yyyyy")
    spent = []
    for name in ("eastern black swallowtail", "comon milkweed", "Pteromalus puparum", "how do I clean with bleech", "zzzzz"):
        for end in range(1, len(name) + 1):
            began = thread_time()
            found = book.search(name[:end])
            if found:
                book.card(found[0].which)
            spent.append(thread_time() - began)
    assert quantiles(spent, n=20)[-1] < KEY_TIME, f"{max(spent) * 1000:.1f} ms"


# Conflicts, trust, own ----------------------------------------------------------------------------------------------------


def _duration(temperature, mean, source, low=None, high=None):
    return Duration("Testa", "egg", temperature, low, mean, high, sources=(source,))


@pytest.mark.parametrize(
    ("one", "other", "conflict"),
    [
        (_duration(25.0, 4.0, "a"), _duration(25.0, 6.0, "b"), True),  # half as long again
        (_duration(25.0, 4.0, "a"), _duration(25.0, 4.5, "b"), False),
        (_duration(25.0, 4.0, "a"), _duration(20.0, 8.0, "b"), False),  # cooler, so longer
        (_duration(25.0, 4.0, "a"), _duration(25.0, 8.0, "a"), False),  # one source with two hosts
        (_duration(25.0, None, "a", 3.0, 5.0), _duration(25.2, None, "b", 6.0, 8.0), True),
        (_duration(25.0, None, "a", 3.0, 5.0), _duration(25.0, None, "b", 4.0, 9.0), False),
        (_duration(None, 4.0, "a"), _duration(None, 9.0, "b"), False),
    ],
)
def test_durations_conflict_where_sources_differ_at_one_temperature(one, other, conflict):
    assert facts_animals._conflict(one, other) is conflict
    told = list(facts_animals._days("egg", [one, other]))
    assert [fact.tone for fact in told] == (["differ"] * 2 if conflict else ["", ""])


def test_thresholds_that_conflict_are_all_given_and_said_to_conflict():
    rows = [
        Thermal("Testa", "egg", 10.0, None, 50.0, sources=("a",)),
        Thermal("Testa", "egg", 12.5, None, 40.0, sources=("b",)),
    ]
    told = list(facts_animals._thresholds("egg", rows))
    assert told[0].text.startswith("sources conflict") and told[0].sources == ("a", "b")
    assert [fact.tone for fact in told] == ["differ"] * 3
    assert [fact.tone for fact in facts_animals._thresholds("egg", rows[:1])] == [""]


def test_words_that_say_sources_differ_mark_the_fact(book):
    made = card(book, "disinfectant", "household bleach")
    assert [fact.label for fact in made.facts if fact.tone == "differ"] == ["OE"]


def test_what_is_not_published_says_so_beside_its_number(book):
    made = card_of(
        Which("rule", "x"),
        "X",
        [
            Fact("a", "one", ("takagi-1976",)),
            Fact("b", "two", ("memory",)),
            Fact("c", "three", ("practice", "memory")),
            Fact("d", "four", ("takagi-1976", "memory")),
        ],
        book.knowledge,
    )
    assert [made.trust(fact) for fact in made.facts] == ["1", "2 unchecked", "2, 3 practice unchecked", "1, 2"]


def test_a_keepers_own_additions_are_marked(tmp_path):
    own = tmp_path / "own"
    own.mkdir()
    text = (
        '[species."Testa mea"]\ncommon = ["my moth"]\nlarva = { text = "Blue." }\n'
        '[hosts."Danaus plexippus"."Reseda odorata"]\nrank = "no"\nreason = "Tried with ten."\n'
    )
    (own / "garden.toml").write_text(text, encoding="utf-8")
    knowledge = load(own=own, cache=tmp_path / "cache")
    book = Index(knowledge, gathered(knowledge))
    mine = book.search("my moth")[0]
    assert mine.own and mine.which == Which("species", "Testa mea")
    made = book.card(mine.which)
    assert made.own and "1 your own" in {made.trust(fact) for fact in made.facts if fact.label == "larva"}
    monarch = card(book, "species", "Danaus plexippus")
    refused = next(fact for fact in monarch.facts if "Tried with ten" in fact.text)
    assert monarch.trust(refused).endswith("your own") and not book.entry(Which("plant", "Urtica dioica")).own
    assert any("your own addition" in line for line in facts.card_lines(made))


# As text ------------------------------------------------------------------------------------------------------------------


def test_one_hit_is_shown_as_its_card(demo):
    lines = show("facts", demo, "stinging nettles")
    assert lines[0] == "Stinging nettle (Urtica dioica) (plant)" and lines[1].startswith("  to people: TAKE CARE: Stings")
    assert "  main host of: " in "\n".join(lines) and "From:" in lines


def test_several_are_shown_as_a_list_and_none_as_near_misses(demo):
    lines = show("facts", demo, "swallowtail")
    assert lines[0].endswith("entries fit “swallowtail”:") and len(lines) == 42 and lines[1].startswith("species: ")
    lines = show("facts", demo, "moonaarckk")
    assert lines[0] == "Nothing in the knowledge base is called “moonaarckk”. Near it:"
    assert "species: Monarch (Danaus plexippus)" in lines


def test_without_a_search_the_kinds_are_counted(demo):
    lines = show("facts", demo)
    assert lines[0].startswith(f"{len(every(demo.knowledge))} entries") and any(line.endswith(" species") for line in lines)


def test_every_kind_has_its_word():
    assert set(facts.PLURAL) == set(KINDS) and set(WHOLE) < set(KINDS)


@pytest.mark.parametrize(
    ("asked", "title"),
    [
        ("monarch", "Monarch (Danaus plexippus)"),
        ("danaus plexippus", "Monarch (Danaus plexippus)"),
        ("fennel", "Fennel (Foeniculum vulgare)"),
        ("black swallowtail", ""),
    ],
)
def test_a_species_called_so_is_told_though_rules_are_about_it_too_and_no_one_of_several(asked, title, demo):
    page = facts.read(demo, asked)
    assert (page.card.title if page.card else "") == title and len(page.hits) > 1
