"""What typed records are read as, before anything is looked up: drafts, no drafts, and no line that breaks the reader."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parents[1] / "answers"))
from record_nursery import NOW, MemoryStore  # noqa: E402

from nurserytui.knowledge.base import load  # noqa: E402
from nurserytui.language import record_grammar, record_replies  # noqa: E402
from nurserytui.language.context import Context  # noqa: E402
from nurserytui.language.phrases import load as load_phrases  # noqa: E402
from nurserytui.language.record_clauses import clauses_of  # noqa: E402
from nurserytui.language.record_items import items_of  # noqa: E402
from nurserytui.language.record_verbs import best_verb  # noqa: E402
from nurserytui.language.spans import scan  # noqa: E402
from nurserytui.language.vocabulary import Vocabulary  # noqa: E402
from nurserytui.nursery import Nursery  # noqa: E402
from nurserytui.records.events import WHATS  # noqa: E402

NURSERY = Nursery(MemoryStore(), load(), NOW)


def line_of(text: str):
    return scan(text, Vocabulary.of(NURSERY), NURSERY.now, NURSERY.settings)


def drafts(text: str):
    request = record_grammar.drafts(line_of(text), NURSERY, Context())
    return request.drafts if request else ()


def test_phrases_tell_of_events_only():
    assert set(load_phrases().events) <= set(WHATS)


@pytest.mark.parametrize(
    ("text", "whats"),
    [
        ("3 A hatched and 2 P eggs died", ["hatched", "died"]),
        ("fed jar 1, cleaned tank 2, 24 C in the big tent", ["fed", "cleaned", "temperature"]),
        ("one S came out, let her go", ["emerged", "released"]),
        ("checked A, 3 hatched", ["hatched"]),
        ("one egg was a dud, binned it", ["died"]),
        ("one fennel-2 got out and cannot be found", ["escaped"]),
        ("cut 5 stems of fennel, that's all I have", ["cut", "stocked"]),
        ("3 A died, 2 of virus and 1 drowned", ["died", "died"]),
        ("counted 16 A eggs, 2 are missing", ["counted"]),
        ("nothing hatched in jar 1", ["checked"]),
        ("1 A larva in jar 1 is black and hanging in a V", ["sign"]),
        ("one A larva hangs from the lid like an upside-down V", ["sign"]),
        ("2 A larvae are hanging in a J", ["prepupated"]),
        ("merge A and P into Z", ["merged", "merged"]),
    ],
)
def test_clauses_become_one_draft_each(text, whats):
    assert [draft.what for draft in drafts(text)] == whats


@pytest.mark.parametrize(
    ("text", "part", "value"),
    [
        ("all but 3 of the A eggs hatched", "less", 3),
        ("about 20 P eggs hatched", "estimate", True),
        ("both S are out", "count", "both"),
        ("half of the P eggs hatched", "count", "half"),
        ("the rest of the A eggs hatched", "count", "rest"),
        ("everyone in tank 2 moulted", "count", "all"),
        ("2 of the 5 fennel-2 in the blue cage pupated", "count", 2),
        ("N2 pupated", "mark", "2"),
        ("lost 2 A eggs to ants", "detail", "ants"),
        ("moved 2 fennel-2 from tank 2 to jar 12", "to", "jar 12"),
        ("moved 2 fennel-2 in tank 2 to jar 12", "enclosure", "tank 2"),
        ("found 3 monarch eggs, call them Q7", "cohort", "Q7"),
        ("cleaned jar 1 on 31 April", "impossible", "31 April"),
        ("3 of zulu-9 hatched", "cohort", "zulu-9"),
        ("found a caterpillar, no idea what it is", "count", 1),
        ("a spider ate one of the A caterpillars", "count", 1),
        ("emptied the frass out of tank 2", "enclosure", "tank 2"),
    ],
)
def test_parts_of_a_draft(text, part, value):
    assert getattr(drafts(text)[0], part) == value


@pytest.mark.parametrize("text", ["friday", "on friday", "last friday"])
def test_a_day_of_what_was_done_lies_behind(text):
    (draft,) = drafts(f"{text} 2 A eggs died")
    assert draft.when.start < NURSERY.now


@pytest.mark.parametrize("text", ["hatchd", "relased", "pupted", "vansihed", "emergd"])
def test_a_slip_in_a_verb_is_mended(text):
    (clause,) = clauses_of(items_of(line_of(f"2 fennel-2 {text}")))
    assert clause.verb is not None


@pytest.mark.parametrize("text", ["unhatched", "unpupated", "unreleased", "unemerged"])
def test_a_word_that_denies_is_no_slip(text):
    (clause,) = clauses_of(items_of(line_of(f"2 fennel-2 {text}")))
    assert clause.verb is None


def test_the_longest_phrase_wins():
    assert best_verb(items_of(line_of("found 2 A larvae dead"))).what == "died"
    assert best_verb(items_of(line_of("found one of the missing swamp-1"))).what == "returned"
    assert best_verb(items_of(line_of("gave the fennel some water"))).what == "watered"


@pytest.mark.parametrize(
    "text",
    [
        "undo",
        "Undo that.",
        "scrap that",
        "no, scrap that!",
        "take that back",
        "delete the last record",
        "oops, undo",
        "that was wrong, delete it",
        "take it back, she decided against them",
        "undo that - too early",
        "scrap that because it rained",
        "oh no, wrong box, scrap that",
    ],
)
def test_undo_in_several_words(text):
    assert record_replies.is_undo(line_of(text))
    assert record_grammar.drafts(line_of(text), NURSERY, Context()).topic == "undo"


@pytest.mark.parametrize(
    "text",
    [
        "undo that, 2 A died",
        "scrap that, escaped not died",
        "undo the zip of jar 1",
        "delete tank 2 from the list of foods",
        "what does undo do",
    ],
)
def test_no_undo(text):
    assert not record_replies.is_undo(line_of(text))


WORDS = sorted(load_phrases().told)
NAMES = [
    "A",
    "P",
    "N2",
    "fennel-2",
    "tank 2",
    "jar 1",
    "monarch",
    "eggs",
    "larvae",
    "3",
    "~40",
    "milkweed",
    "yesterday",
    "at 5 pm",
    "31 June",
    "24 C",
    "not",
    "him",
    ",",
    ".",
    "->",
    "and",
    "L4",
]


@settings(max_examples=120, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.one_of(st.text(max_size=80), st.lists(st.sampled_from(WORDS + NAMES * 12), max_size=12).map(" ".join)))
def test_no_text_breaks_the_reader(text):
    request = record_grammar.drafts(line_of(text), NURSERY, Context())
    assert request is None or request.topic in ("record", "undo")


@pytest.mark.parametrize("arrow", ["->", "=>", "→", "-->", "=> =>", "→→"])
def test_an_arrow_inside_a_line_is_read_once(arrow):
    assert [item.word for item in items_of(line_of(f"tank 2 {arrow} jar 1 (the lid)"))].count("to") <= 2
