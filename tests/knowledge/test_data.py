"""The shipped facts: no faults, each with its source, and nothing deadly offered without a word."""

from __future__ import annotations

import re

from nurserytui.knowledge import links
from nurserytui.knowledge.layout import RANKS


def facts(shipped):
    for section, entries in shipped.sections.items():
        for name, entry in entries.items():
            for fact in (entry,) if hasattr(entry, "_fields") else entry:
                yield section, name, fact


def test_no_faults(shipped):
    assert shipped.faults == []


def test_every_fact_names_a_source_on_record(shipped):
    known = set(shipped.sections["sources"])
    for section, name, fact in facts(shipped):
        if section in ("sources", "plants"):
            continue
        cited = links.sources_of(fact)
        assert cited and cited <= known, (section, name)


def test_every_source_is_used_and_clean(shipped):
    cited = set().union(*(links.sources_of(fact) for section, _, fact in facts(shipped) if section != "sources"))
    for name, source in shipped.sections["sources"].items():
        assert name == "own" or name in cited, name
        assert not re.search(r"\b(repo|commit|seen|mirror|http)\b", source.citation), source


def test_counts_of_the_first_edition_are_kept(shipped):
    count = {section: len(entries) for section, entries in shipped.sections.items()}
    kept = [species for species in shipped.sections["species"].values() if species.egg.colours]
    assert len(kept) >= 51 and count["hosts"] >= 408 and count["signs"] >= 83 and count["look_alikes"] >= 32


def test_kept_species_are_complete(shipped):
    for species in shipped.sections["species"].values():
        if species.host_families:
            assert species.egg.looks and species.egg.shapes and species.egg.grouping and species.egg.places, species.scientific
            assert species.winters_as and species.wintering and species.pupa_form and species.group, species.scientific
            assert species.give_up_warm <= species.give_up_cool, species.scientific


def test_every_kept_species_has_a_plant_to_offer(shipped):
    offered = {pairing.species for pairing in shipped.sections["hosts"].values() if pairing.rank in RANKS[:2]}
    assert {name for name, species in shipped.sections["species"].items() if species.host_families} == offered


def test_traps_and_refusals_say_why(shipped):
    for pairing in shipped.sections["hosts"].values():
        if pairing.rank in ("trap", "no", "emergency"):
            assert pairing.reason, pairing


def test_deadly_hosts_say_never_gather(shipped):
    for (_, plant), pairing in shipped.sections["hosts"].items():
        if plant.split()[0] in ("Conium", "Cicuta"):
            assert "never gather" in pairing.reason


def test_prose_reads_as_sentences(shipped):
    for section, name, fact in facts(shipped):
        texts = [fact.text] if hasattr(fact, "text") else []
        texts += [fact.reason] if section == "hosts" and fact.reason else []
        texts += [note.text for note in getattr(fact, "notes", ())]
        for text in texts:
            assert text[0].isupper() or not text[0].isalpha(), (section, name, text)
            assert text.rstrip().endswith((".", "”", ")")), (section, name, text)
            assert not re.search(r"\b(memory|recall\b|seen\)|text retrieved|TODO)", text), (section, name, text)


def test_signs_that_are_normal_do_not_isolate(shipped):
    for sign in shipped.sections["signs"].values():
        assert not (sign.normal and sign.isolate), sign.id


def test_recalled_numbers_are_marked(shipped):
    for rows in shipped.sections["thermal"].values():
        for row in rows:
            assert row.kind == "memory" or "memory" not in row.sources, row


def test_safety_and_law_are_never_empty(shipped):
    topics = [rule.topic for rule in shipped.sections["rules"].values()]
    for topic in ("safety", "first-aid", "law", "hygiene", "sanitation", "density", "release", "overwintering", "food"):
        assert topic in topics
