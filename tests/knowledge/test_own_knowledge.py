"""A keeper's own knowledge: the worked example and the template of the docs hold, and answers say that they rest on it."""

from __future__ import annotations

import re
import tomllib
from datetime import datetime
from pathlib import Path

import pytest

from nurserytui.answers.page import page
from nurserytui.assistant import Assistant
from nurserytui.knowledge import facts, shapes
from nurserytui.knowledge.base import load
from nurserytui.knowledge.checking import check
from nurserytui.knowledge.layout import KEYS, SECTIONS
from nurserytui.nursery import Nursery
from nurserytui.records.store import Store

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
NOT_A_KEEPERS = {"priors", "rate_shapes"}


def block(text: str) -> str:
    (found,) = re.findall(r"```toml\n(.*?)```", text, flags=re.DOTALL)
    return found


@pytest.fixture(scope="module")
def assistant(tmp_path_factory):
    """The assistant on an empty nursery, with the worked example of the README as the keeper's own."""
    own = tmp_path_factory.mktemp("own")
    (own / "hedge-lady.toml").write_text(block(README), encoding="utf-8")
    knowledge = load(own=own, cache=tmp_path_factory.mktemp("cache"))
    with Store.open(tmp_path_factory.mktemp("db") / "empty.db") as store:
        yield Assistant(Nursery(store, knowledge, datetime(2026, 7, 1, 9)))


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["worked example", "template"])
def test_what_the_docs_print_has_no_faults(tmp_path, text):
    (tmp_path / "mine.toml").write_text(block(text), encoding="utf-8")
    assert [str(fault) for fault in check(tmp_path)[0]] == []


def test_a_new_species_takes_about_twenty_lines():
    assert len([line for line in block(README).splitlines() if line.strip()]) <= 20


def test_the_template_shows_every_field_of_every_part():
    given = tomllib.loads(block(DEVELOPERS))
    assert set(given) == set(SECTIONS) - NOT_A_KEEPERS
    for section, layout in SECTIONS.items():
        if section in NOT_A_KEEPERS:
            continue
        entries = list(given[section].values())
        if layout.style == "pairs":
            entries = [inner for entry in entries for inner in entry.values()]
        if layout.style == "rows":
            entries = [row for entry in entries for row in entry]
        shown = {field for entry in entries for field in entry}
        missing = set(shapes.kinds(layout.shape)) - shown - set(layout.shape._fields[: KEYS.get(section, 1)])
        assert missing <= TAKEN_FROM_ELSEWHERE.get(section, set()) | {"sources"}, section
    egg = given["species"]["Vanessa sepium"]["egg"]
    assert set(facts.EggTraits._fields) - set(egg) == {"sources"}


TAKEN_FROM_ELSEWHERE = {
    "species": {"give_up_sources"},
    "plants": {"hazards", "cutting"},
    "thermal": {"kind"},
    "durations": {"kind"},
    "day_lengths": {"kind", "share_low", "share_high", "local", "cool", "note"},
    "agents": {"base", "degree_days", "watch_days", "evidence"},
    "signs": {"normal"},
    "rules": {"low", "high"},
}
"""Fields that a keeper rarely needs, or that other parts of the file fill."""


def test_the_answer_in_the_readme_is_the_one_the_program_gives(assistant):
    ((line, shown),) = re.findall(r'```\n\$ nurserytui ask "([^"]+)"\n(.*?)\n```', README, flags=re.DOTALL)
    assert page(assistant.reply(line)).rstrip() == shown


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("what do hedge lady larvae eat", "stinging nettle (Urtica dioica)"),
        ("do hedge ladies eat stinging nettle", "Yes: larvae of hedge lady"),
        ("tell me about the hedge lady", "Hedge lady (Vanessa sepium)"),
        ("what eats stinging nettle", "hedge lady (Vanessa sepium)"),
        ("how long does a hedge lady pupa take at 21 C", "10.5 days"),
    ],
)
def test_answers_that_rest_on_it_say_so(assistant, line, says):
    answer = assistant.reply(line)
    assert says in answer.text and answer.text.endswith("on your own additions to the knowledge base.")
    assert "own records" in {source.kind for source in answer.sources}


def test_answers_that_do_not_rest_on_it_do_not_say_so(assistant):
    assert "own additions" not in assistant.reply("what do monarch larvae eat").text


def test_faults_are_told_with_the_first_answer_only(tmp_path):
    own = tmp_path / "own"
    own.mkdir()
    (own / "mine.toml").write_text('[species."Vanessa sepium"]\ncolour = "red"\n', encoding="utf-8")
    with Store.open(tmp_path / "empty.db") as store:
        assistant = Assistant(Nursery(store, load(own=own, cache=tmp_path / "cache"), datetime(2026, 7, 1, 9)))
        first, second = assistant.reply("what do monarch larvae eat"), assistant.reply("what do monarch larvae eat")
    assert "mine.toml, Vanessa sepium: unknown field “colour”" in first.cautions[-1]
    assert not any("Left out of your own" in caution for caution in second.cautions)
