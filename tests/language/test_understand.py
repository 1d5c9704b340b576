"""What lines mean: a corpus with floors, what must not change a meaning and what must, and that no text whatever breaks it."""

from __future__ import annotations

import json
import time
from collections import Counter, defaultdict
from pathlib import Path
from types import SimpleNamespace

import pytest
from conversation import CORPUS, converse, corpus, nursery
from hypothesis import given, settings
from hypothesis import strategies as st

from nurserytui.answers import TOPICS
from nurserytui.language.context import Context
from nurserytui.language.request import Request
from nurserytui.language.understand import understand

FILES = sorted(path.stem for path in CORPUS.glob("*.jsonl"))
FLOOR = 0.97
TOPIC_FLOOR = 0.9
"""Share of a topic's lines that must be understood, over all files."""


def slot_faults(request: Request, wanted: dict[str, str]) -> list[str]:
    faults = []
    for slot, value in wanted.items():
        got = getattr(request, slot)
        shown = [str(getattr(each, "name", each)) for each in got] or [""] if isinstance(got, (tuple, frozenset)) else [str(got)]
        if value not in shown:
            faults.append(f"{slot} is {shown}, not {value}")
    return faults


def fault(item: dict) -> str:
    """Why a line of the corpus is not understood, "" if it is. A line from outside may also be one whose strange name was noticed."""
    request = converse(item["say"])
    if not item["topic"]:
        return f"taken for {request.topic}" if request.topic and not request.unknown_names else ""
    if request.topic != item["topic"]:
        return f"taken for {request.topic or 'nothing'}, not {item['topic']}"
    return "; ".join(slot_faults(request, item.get("slots", {})))


@pytest.fixture(scope="module")
def results() -> dict[str, list[tuple[dict, str]]]:
    return {name: [(item, fault(item)) for item in corpus(name)] for name in FILES}


@pytest.mark.parametrize("name", FILES)
def test_corpus(name, results):
    found = results[name]
    wrong = [f"{' / '.join(item['say'])}: {why}" for item, why in found if why]
    assert 1 - len(wrong) / len(found) >= FLOOR, "\n".join(wrong)


def test_every_topic_is_understood(results):
    right, every = Counter(), Counter()
    for found in results.values():
        for item, why in found:
            every[item["topic"]] += 1
            right[item["topic"]] += not why
    poor = {topic: f"{right[topic]} of {every[topic]}" for topic in every if right[topic] / every[topic] < TOPIC_FLOOR}
    assert not poor
    assert set(TOPICS) - set(every) == {"record", "undo"}


def test_lines_from_outside_are_never_answered(results):
    answered = [(item["say"], why) for item, why in results["outside"] if why]
    assert len(answered) <= 0.02 * len(results["outside"]), answered


PLAIN = [item for name in FILES if name not in ("dialogues", "talk", "outside") for item in corpus(name)]


@pytest.mark.parametrize(
    "change",
    [
        lambda line: f"please {line}",
        lambda line: f"{line} please",
        lambda line: f"{line}!",
        lambda line: f"  {line}  ",
        lambda line: line.replace(" ", "  "),
        lambda line: f"hi, {line}",
    ],
    ids=["please before", "please after", "exclamation", "space around", "double spaces", "greeting"],
)
def test_what_changes_no_meaning(change):
    changed = [
        (item["say"][0], (before, after))
        for item in PLAIN[::3]
        if (before := converse(item["say"]).topic) != (after := converse([change(item["say"][0])]).topic)
    ]
    assert len(changed) <= 0.03 * len(PLAIN[::3]), changed


def test_case_changes_no_meaning():
    lines = [item["say"][0] for item in PLAIN[::3] if not any(len(word) <= 2 for word in item["say"][0].split())]
    changed = [line for line in lines if converse([line]).topic != converse([line.upper()]).topic]
    assert len(changed) <= 0.03 * len(lines), changed


@pytest.mark.parametrize(
    "line",
    ["when will {} hatch", "survival rate {}", "how many {} are left", "what happened to {}", "is {} at risk from the virus"],
)
def test_another_cohort_is_the_same_question_about_it(line):
    found = {label: converse([line.format(label)]) for label in ("card-8", "fennel-3", "willow-1", "luna-5")}
    assert {request.cohorts for request in found.values()} == {(label,) for label in found}
    assert len({request.topic for request in found.values()}) == 1


@pytest.mark.parametrize(
    ("line", "other"),
    [
        ("how many have hatched in jar 4", "how many have not hatched in jar 4"),
        ("card-8 hatched", "card-8 not hatched yet"),
        ("released B1", "undo released B1"),
        ("when will card-8 hatch", "when did card-8 hatch"),
        ("does A eat fennel", "what does A eat"),
        ("2 of A died", "2 of A did not die"),
        ("how many in tub 9", "how many except in tub 9"),
        ("how many larvae in tub 9", "how many larvae not in tub 9"),
        ("how many larvae in tub 9", "how many larvae bar the ones in tub 9"),
        ("3 of A pupated", "if 3 of A pupated would they fit"),
    ],
)
def test_what_changes_a_meaning(line, other):
    one, two = converse([line]), converse([other])
    assert (one.topic, one.event, one.cues, one.drafts, one.without) != (two.topic, two.event, two.cues, two.drafts, two.without)


@pytest.mark.parametrize("line", ["how many have not hatched in jar 4", "how many of card-8 have not hatched yet"])
def test_those_that_have_not_changed_are_counted_not_those_that_have(line):
    request = converse([line])
    assert request.topic == "headcount" and request.stages == ("egg",)


@pytest.mark.parametrize(
    ("line", "other"),
    [
        ("how much bleach for 2 litres at 500 ppm from 6 %", "how much bleach for 2 quarts at 500 ppm from 6 %"),
        ("how long is a monarch pupa at 25 C", "how long is a monarch pupa at 77 F"),
        ("how many larvae fit a 40 litre tent", "how many larvae fit a 10 gallon tent"),
        ("is 12 C too cold to release", "is 54 F too cold to release"),
        ("the big tent was 20 C at noon", "the big tent was 68 F at noon"),
        ("how many larvae in a 30 x 30 x 60 cm cage", "how many larvae in a 12 x 12 x 24 inch cage"),
    ],
)
def test_metric_or_not_is_the_same_question(line, other):
    one, two = converse([line]), converse([other])
    assert one.topic and one.topic == two.topic and [each.kind for each in one.amounts] == [each.kind for each in two.amounts]


@pytest.mark.parametrize(
    "line",
    ["is it", "when", "why though", "and what about it", "how many", "the one over there", "so then", "where", "-", "?!", ""],
)
def test_nothing_without_a_subject(line):
    assert converse([line]).topic == ""


@pytest.mark.parametrize(
    ("line", "name"),
    [
        ("when will cohort omega-4 hatch", "omega-4"),
        ("how many goldfish are in tub 9", "goldfish"),
        ("what lives on a florbel plant", "florbel"),
    ],
)
def test_unknown_names_are_noticed(line, name):
    assert name in converse([line]).unknown_names


def test_statements_about_looks_are_records_only_of_own_animals():
    assert converse(["caterpillar has gone limp and dark"]).topic == "health-sign"
    assert converse(["B2 has gone limp and dark"]).topic == "record"
    assert converse(["B2 has gone limp and dark, what is wrong with it?"]).topic == "health-sign"


def test_danger_comes_first():
    assert converse(["how many ml of bleach can i mix with 1 litre of vinegar to clean tub 9"]).topic == "safety"
    assert converse(["got bleach in my eye cleaning tub 9"]).topic == "safety"


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=120))
def test_no_text_breaks_it(text):
    context = Context()
    for line in (text, f"how many {text}", text):
        request = understand(line, nursery(), context)
        assert isinstance(request, Request) and request.topic in {"", *TOPICS}
        context.remember(request, SimpleNamespace(status="answered", topic="headcount", about={}, items=(), options=()))


def test_it_is_quick():
    lines = [item["say"][0] for item in PLAIN]
    converse(lines[:1])
    times = []
    for line in lines:
        start = time.thread_time()
        converse([line])
        times.append(time.thread_time() - start)
    assert sorted(times)[len(times) // 2] < 0.005


PRACTICE = Path(__file__).resolve().parents[3] / "shared" / "questions"


@pytest.mark.skipif(not (PRACTICE / "nursery.csv").exists(), reason="no practice questions beside the checkout")
@pytest.mark.parametrize(("name", "floor"), [("records", 0.95), ("amounts", 0.95), ("lookup", 0.95), ("outside", 0.95)])
def test_practice_questions(name, floor):
    from datetime import datetime

    from conversation import nursery_of

    place = nursery_of((PRACTICE / "nursery.csv").read_text(encoding="utf-8"), datetime(2026, 7, 12, 8))
    wrong, every = defaultdict(list), 0
    for text in (PRACTICE / f"{name}.jsonl").read_text(encoding="utf-8").splitlines():
        item = json.loads(text)
        request, wanted = converse(item["say"], place), item["expect"].get("topic")
        wanted = [wanted] if isinstance(wanted, str) else wanted
        right = request.topic in wanted if wanted else (not request.topic or request.unknown_names) if name == "outside" else True
        every += 1
        if not right:
            wrong[item["group"]].append((item["say"], request.topic))
    assert 1 - sum(map(len, wrong.values())) / every >= floor, dict(wrong)


@pytest.mark.parametrize(
    ("line", "topic"),
    [
        ("how many grown larvae in a 30 x 30 x 60 cm cage", "density"),
        ("is willow eaten by anything but mourning cloaks", "species-on-host"),
        ("am i allowed to take swallowtail larvae in scotland", "law"),
        ("what could i buy for painted ladies", "hosts-of-species"),
        ("is fennel from a supermarket safe", "about-host"),
        ("how warm is too warm", "hygiene"),
        ("will my late luna pupae come out or wait", "overwintering"),
        ("can i let my painted lady go at dusk", "release"),
        ("teh mallow stems wilt, hwo do i keep them fresh", "cutting-care"),
    ],
)
def test_lines_with_their_own_turns_of_speech(line, topic):
    assert converse([line]).topic == topic


def test_a_line_without_a_stage_may_be_left_to_the_signs():
    assert converse(["all of them are vomiting and twitching"]).layer in ("signs", "grammar", "weighed")
    assert converse(["my tractor is leaking"]).layer != "signs"
