"""The isolation plan: who goes where, in which order, what is mixed, and that every sentence it offers records what it says."""

from __future__ import annotations

from datetime import datetime

import pytest

from nurserytui.amounts import dilution
from nurserytui.amounts.registry import quantity
from nurserytui.answers.isolation import PLAN
from nurserytui.answers.isolation_mix import dish, for_enclosure, recipe
from nurserytui.answers.isolation_places import free_enclosures
from nurserytui.assistant import Assistant
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.importing import import_file
from nurserytui.records.store import Store

HEAD = "when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note"
TUBS = """
2031-05-01,setting,,,,,,,shelf tub,,,volume=6 L,
2031-05-01,setting,,,,,,,glass jar,,,volume=2 L,
2031-05-01,setting,,,,,,,big tub,,,volume=15 L,
2031-05-01,found,old,,Pieris rapae,larva,5,2,glass jar,,Brassica oleracea,,
2031-05-02,found,old,,Pieris rapae,larva,5,2,big tub,,Brassica oleracea,,
2031-05-10,died,old,,,larva,,4,,,,,
2031-05-11,cleaned,,,,,,,big tub,,,,
2031-05-11,cleaned,,,,,,,glass jar,,,,
"""
VIRUS = """
2031-06-01,found,S,,Pieris rapae,larva,3,9,shelf tub,,Brassica oleracea,,
2031-06-01,found,H,,Vanessa cardui,larva,2,4,blue tub,,Malva sylvestris,,
2031-06-10T09:00,sign,S,,,larva,,2,shelf tub,,,"limp, hanging upside down, black and leaking",
"""
NOW = "2031-06-10T10:00"


@pytest.fixture
def keeper(tmp_path):
    """`keeper(rows, now)` is an assistant over a nursery of those rows, that can be written to."""
    opened = []

    def made(rows: str, now: str = NOW) -> Assistant:
        (tmp_path / "events.csv").write_text(HEAD + rows.rstrip() + "\n", encoding="utf-8")
        context = Store.open(tmp_path / f"{len(opened)}.db")
        opened.append(context)
        store = context.__enter__()
        report = import_file(tmp_path / "events.csv", store)
        assert not report.faults, report.faults
        return Assistant(Nursery(store, load(), datetime.fromisoformat(now)))

    yield made
    for context in opened:
        context.__exit__(None, None, None)


def kinds(answer):
    return [item["kind"] for item in answer.items]


def of_kind(answer, kind):
    return [item for item in answer.items if item["kind"] == kind]


def test_the_steps_in_order(keeper):
    answer = keeper(TUBS + VIRUS).reply("make me an isolation plan")
    assert answer.status == "answered" and answer.topic == "exposure"
    assert kinds(answer) == ["apart", "apart", "order", "leaf", "mix", "clean", "watch", "watch"]
    first, others = of_kind(answer, "apart")
    # Two small sick larvae need half a litre: the jar of 2 L is the smallest that is clean; the seven others need 1.75 L: the big tub is left.
    assert first["record"] == "moved 2 S larvae from shelf tub to glass jar"
    assert others["record"] == "moved 7 S larvae from shelf tub to big tub"
    assert "first blue tub; then shelf tub" in of_kind(answer, "order")[0]["label"]
    assert of_kind(answer, "watch")[0]["watch_until"] == "2031-06-24"  # fourteen days from now, for they stand there still
    assert answer.values["isolate"].value == "yes"
    assert all(item["record"] for item in answer.items)
    assert any("Never mix" in one for one in answer.cautions) and any("vet" in one for one in answer.cautions)
    assert not any(word in answer.text.casefold() for word in ("euthan", "destroy", "kill the"))


def test_what_is_mixed(keeper):
    (mix,) = of_kind(keeper(TUBS + VIRUS).reply("make me an isolation plan"), "mix")
    # 5,000 ppm at least from the weakest label, 5 %: one in ten. 1 L: 100 mL; 6 L: 600 mL.
    assert [(one["name"], one["stock_ml"], one["water_ml"]) for one in mix["volumes"]] == [
        ("the dish of tools", 100.0, 900.0),
        ("shelf tub", 600.0, 5400.0),
    ]
    assert mix["contact_time"] == 30


@pytest.mark.parametrize("kind", ["virus", "OE", "bacteria", "fungus", "microsporidia", "wasp", "disease not named"])
@pytest.mark.parametrize("label", [5.0, 6.0, 8.25])
def test_every_mix_is_the_one_that_the_dilution_gives(kind, label):
    knowledge = load()
    mix = recipe(knowledge, kind)
    for pour in (dish(knowledge, mix), for_enclosure(knowledge, "tub", 6, mix), for_enclosure(knowledge, "cage", 90, mix)):
        exact = dilution(quantity(pour.litres, "liter"), stock_percent=label, share=mix.share)
        assert exact.stock.to("milliliter").magnitude == pytest.approx(pour.stock_ml)
        assert exact.water.to("milliliter").magnitude == pytest.approx(pour.water_ml)
        assert mix.ppm_low <= exact.ppm * (1 + 1e-9) and exact.ppm <= mix.ppm_high * (1 + 1e-9)
    strength = knowledge.rule(f"isolate-strength-{ {'wasp': 'parasitoid', 'disease not named': 'virus'}.get(kind, kind) }")
    least = strength.value if strength.unit == "ppm" else strength.value / 100 * 50_000
    assert mix.ppm_low >= least * (1 - 1e-9)
    assert not for_enclosure(knowledge, "cage", 90, mix).filled and for_enclosure(knowledge, "cage", 90, mix).litres == 5


def test_every_sentence_records_and_the_plan_moves_on(keeper):
    assistant = keeper(TUBS + VIRUS)
    for step in assistant.reply("make me an isolation plan").items:
        assert assistant.reply(step["record"]).status == "recorded", step["record"]
    after = assistant.reply("make me an isolation plan")
    assert "clean" not in kinds(after) and "leaf" not in kinds(after)
    assert all(item["enclosure"] in ("glass jar", "big tub") for item in of_kind(after, "keep") + of_kind(after, "watch"))
    assert assistant.reply("is shelf tub safe again").values["safe"].value == "yes"


def test_none_is_free(keeper):
    answer = keeper(VIRUS).reply("how do I isolate S")
    first = of_kind(answer, "apart")[0]
    assert "No known enclosure stands empty and clean" in first["label"]
    assert first["record"] == "moved 2 S larvae from shelf tub to isolation jar"
    assert "“shelf tub holds 10 litres” would tell me" in of_kind(answer, "mix")[0]["label"]


def test_an_uncleaned_one_is_cleaned_first(keeper):
    rows = TUBS.replace("2031-05-11,cleaned,,,,,,,big tub,,,,\n2031-05-11,cleaned,,,,,,,glass jar,,,,\n", "")
    first = of_kind(keeper(rows + VIRUS).reply("make me an isolation plan"), "apart")[0]
    assert first["label"].startswith("Clean glass jar first (it is empty since Sat 10 May")


def test_free_ones_by_fit(keeper):
    nursery = keeper(TUBS + VIRUS).nursery
    assert [one.name for one in free_enclosures(nursery, 0.5)] == ["glass jar", "big tub"]
    assert [one.name for one in free_enclosures(nursery, 5)] == ["big tub"]
    assert free_enclosures(nursery, 50) == []


WASPS = """
2031-06-01,temperature,,,,,,,,,,22 C,
2031-06-01,found,W,,Pieris rapae,larva,5,1,net cage,,Brassica oleracea,,
2031-06-02,pupated,W,,,,,1,net cage,,,,
2031-06-22,found,P,,Vanessa atalanta,larva,5,1,net cage,,Urtica dioica,,
2031-06-23,pupated,P,,,,,1,net cage,,,,
2031-06-20,found,L,,Vanessa atalanta,larva,3,2,net cage,,Urtica dioica,,
2031-06-24T08:00,died,W,,,pupa,,1,net cage,,,Pteromalus wasp,
"""


def test_after_wasps(keeper):
    assistant = keeper(TUBS + WASPS, "2031-06-24T10:00")
    answer = assistant.reply("make me an isolation plan")
    assert kinds(answer)[:3] == ["catch", "apart", "apart"]
    assert answer.items[0]["record"] == "checked net cage: no wasps"
    assert answer.items[1]["record"].startswith("moved 2 L larvae from net cage to ")
    assert answer.items[2]["record"].startswith("moved 1 P pupa from net cage to ")
    assert "0.6 mm" in answer.items[1]["label"]
    assert assistant.reply(answer.items[0]["record"]).status == "recorded"
    assert "catch" not in kinds(assistant.reply("make me an isolation plan"))


def test_a_recorded_sign_leads_to_the_plan(keeper):
    assistant = keeper(TUBS + VIRUS)
    answer = assistant.reply("1 H larva limp and black")
    assert answer.status == "recorded" and answer.next[0] == "How do I isolate H?"
    plan = assistant.reply(answer.next[0])
    assert plan.values["isolate"].value == "yes" and any(item.get("cohort") == "H" for item in plan.items)


def test_nothing_to_isolate(keeper):
    answer = keeper(TUBS + "\n2031-06-01,found,H,,Vanessa cardui,larva,2,4,blue tub,,Malva sylvestris,,").reply("isolation plan")
    assert answer.values["isolate"].value == "no" and answer.text.startswith("Nobody needs to be set apart")


def test_animals_named_without_a_sign_are_set_apart_all_the_same(keeper):
    answer = keeper(TUBS + "\n2031-06-01,found,H,,Vanessa cardui,larva,2,4,blue tub,,Malva sylvestris,,").reply(
        "how do I isolate H"
    )
    assert kinds(answer)[0] == "keep" and "stands alone in blue tub" in answer.items[0]["label"]


@pytest.mark.parametrize(
    ("line", "plans"),
    [
        ("make me an isolation plan", True),
        ("what do i do with the sick one", True),
        ("what should be done with the exposed larvae", True),
        ("how do i isolate g", True),
        ("isolate g", True),
        ("quarantine steps for the ill ones", True),
        ("anyone i should be isolating", False),
        ("who is in quarantine", False),
        ("was tub 4 isolated", False),
        ("how long do i isolate g", False),
    ],
)
def test_what_asks_for_a_plan(line, plans):
    assert bool(PLAN.search(line)) is plans


MARKED = """
2031-06-01,found,thistle-2,1,Vanessa cardui,larva,3,1,net cage,,Cirsium vulgare,,
2031-06-01,found,thistle-2,2,Vanessa cardui,larva,4,1,net cage,,Cirsium vulgare,,
2031-06-01,found,N,,Pieris rapae,larva,2,3,net cage,,Brassica oleracea,,
2031-06-03,moulted,N,,,,3,1,net cage,,,,
2031-06-10T09:00,sign,N,,,larva,,2,net cage,,,"limp, hanging upside down, black and leaking",
"""


def test_marks_and_instars_are_told_so_that_the_sentence_is_understood(keeper):
    assistant = keeper(TUBS + MARKED)
    moves = of_kind(assistant.reply("make me an isolation plan"), "apart")
    assert moves
    for step in moves:
        assert assistant.reply(step["record"]).status == "recorded", step["record"]
    assert not assistant.nursery.heads(enclosure="net cage")


def test_new_pots_have_names_of_their_own(keeper):
    answer = keeper(MARKED).reply("make me an isolation plan")
    targets = [step["to"] for step in of_kind(answer, "apart")]
    assert targets and len(set(targets)) == len(targets) and all(one.startswith("isolation ") for one in targets)
