"""The data that lines are compared with: every cue that a signal names exists, nothing fires on one word, and the cache is safe."""

from __future__ import annotations

import re
import tomllib

import pytest

from nurserytui import paths
from nurserytui.answers import TOPICS
from nurserytui.language import clause, cues, phrases, record_items

FOLDER = paths.shipped("knowledge") / "phrases"
DOCUMENTS = {path.stem: tomllib.loads(path.read_text(encoding="utf-8")) for path in FOLDER.glob("*.toml")}
CUES = DOCUMENTS["cues"]["cues"]
TOPICS_SAID = {
    topic: entry for stem, document in DOCUMENTS.items() if stem not in ("cues", "records") for topic, entry in document.items()
}


def test_every_topic_has_examples():
    assert set(TOPICS) - set(TOPICS_SAID) == {"record", "undo"}
    assert all(len(entry["phrases"]) >= 5 for entry in TOPICS_SAID.values())


@pytest.mark.parametrize("topic", sorted(TOPICS_SAID))
def test_signals_name_cues_that_exist(topic):
    for text in TOPICS_SAID[topic].get("signals", ()):
        _, _, needs, bars = phrases.read_signal(topic, text, "test")
        named = {cue for group in needs for cue in group} | set(bars)
        strange = {cue for cue in named if cue not in CUES and cue not in cues.FROM_CODE}
        assert not strange, text


def test_a_signal_of_one_cue_is_an_error():
    with pytest.raises(ValueError, match="two signals"):
        phrases.read_signal("headcount", "5: how-many|STAGE - died", "animals.toml")


def test_no_two_groups_of_a_signal_are_met_by_one_cue_alone():
    alone = []
    for signal in phrases.load().signals:
        common = set.intersection(*(set(group) for group in signal.needs))
        if common:
            alone.append((signal.topic, signal.needs, common))
    assert not alone


def test_capitals_are_kinds_of_spans():
    kinds = {
        "COHORT",
        "SPECIES",
        "PLANT",
        "AGENT",
        "ENCLOSURE",
        "STAGE",
        "EGG",
        "LARVA",
        "PUPA",
        "ADULT",
        "INSTAR",
        "AMOUNT",
        "VOLUME",
        "UNIT",
        "PERIOD",
        "NUMBER",
        "TEMPERATURE",
    }
    said = {word for entry in TOPICS_SAID.values() for phrase in entry["phrases"] for word in phrase.split() if word.isupper()}
    assert said <= kinds


def test_what_tells_of_events_names_spans_that_clauses_have():
    spans = set(record_items.KINDS.values()) | clause.STAGES
    said = {word for part in phrases.load().telling.values() for _, parts in part for group in parts if group for word in group}
    assert {word for word in said if word.isupper()} <= spans


def test_a_phrase_of_an_event_that_begins_with_a_gap_is_an_error():
    with pytest.raises(ValueError, match="begins with a gap"):
        phrases.read_telling({"died": ["* kicked it"]})


def test_examples_are_lower_case_and_plain():
    for entry in TOPICS_SAID.values():
        for phrase in entry["phrases"]:
            assert re.fullmatch(r"[a-z ]*", re.sub(r"\b[A-Z]+\b", "", phrase)), phrase


@pytest.mark.parametrize(
    ("word", "shapes"),
    [
        ("hatch", ("hatch", "hatches", "hatched", "hatching")),
        ("dilute", ("dilute", "dilutes", "diluted", "diluting")),
        ("drip", ("drip", "drips", "dripped", "dripping")),
        ("dry", ("dry", "dries", "dried", "drying")),
        ("shrivel", ("shrivel", "shrivels", "shrivelled", "shrivelling")),
        ("stay", ("stay", "stays", "stayed", "staying")),
    ],
)
def test_forms(word, shapes):
    assert phrases.forms(word) == shapes


def test_an_example_of_two_topics_counts_for_none(tmp_path):
    (tmp_path / "cues.toml").write_text('[cues]\na = ["x"]\n[leads]\nwords = []\nskip = []\nheadline = []\n[lists]\nsmall = ""\n')
    (tmp_path / "b.toml").write_text('[one]\nphrases = ["red COHORT", "blue COHORT"]\n[two]\nphrases = ["red COHORT"]\n')
    made = phrases.compile_phrases(sorted(tmp_path.glob("*.toml")))
    assert made["exact"] == {"blue COHORT": "one"}


def test_a_stale_or_broken_cache_is_made_anew(tmp_path, monkeypatch):
    monkeypatch.setenv("NURSERYTUI_CACHE", str(tmp_path))
    first = phrases._plain(FOLDER)
    (file,) = tmp_path.glob("phrases-*")
    assert phrases._plain(FOLDER) == first
    file.write_bytes(file.read_bytes()[:-40] + b"x" * 40)
    assert phrases._plain(FOLDER) == first
    monkeypatch.setenv("NURSERYTUI_CACHE", str(tmp_path / "file" / "no"))
    (tmp_path / "file").write_text("")
    assert phrases._plain(FOLDER) == first


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("survivl", "survival"), ("hachted", ""), ("temprature", "temperature"), ("xyzzy", ""), ("eat", ""), ("cleand", "clean")],
)
def test_slips_are_mended_within_a_budget(typed, meant):
    assert cues.mend(typed, phrases.load()) == meant
