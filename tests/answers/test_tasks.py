"""Every kind of task: it is there with its reason, its sentence is recorded when it is typed, and then the task is gone."""

from __future__ import annotations

import shutil
from datetime import datetime, time
from pathlib import Path

import pytest

from nurserytui.answers.tasks import ORDER, tasks
from nurserytui.assistant import Assistant
from nurserytui.demo import MOMENT
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.paths import shipped
from nurserytui.records.importing import import_file
from nurserytui.records.store import Store

PRACTICE = Path(__file__).parents[3] / "shared" / "questions" / "nursery.csv"
MADE_NOW = datetime(2031, 7, 20, 9)
MADE = """when,what,cohort,species,stage,instar,count,enclosure,to,host,detail,note
2031-06-24T10:00,laid,L,Pieris rapae,egg,,8,jar 1,,Brassica oleracea,,
2031-07-16T10:00,laid,S,Papilio polyxenes,egg,,9,jar 2,,Foeniculum vulgare,,
2031-07-19T09:00,checked,L,,,,,jar 1,,,,
2031-07-19T09:00,checked,S,,,,,jar 2,,,,
2031-07-14T10:00,found,T,Danaus plexippus,larva,2,6,tall tent,,Asclepias syriaca,,
2031-07-18T10:00,moulted,T,,,3,6,tall tent,,,,
2031-07-10,found,V,Vanessa atalanta,larva,4,3,tub 4,,Urtica dioica,,
2031-07-19,sign,V,,larva,,1,tub 4,,,limp and hanging from its hind end,
2031-07-02,found,X,Vanessa cardui,larva,5,2,big cage,,Cirsium vulgare,,
2031-07-05,pupated,X,,,,2,big cage,,,,
2031-07-16,emerged,X,,,,2,big cage,,,,
2031-07-15,found,H,Danaus plexippus,adult,,1,net cage,,,,
2031-07-17,tested,H,,adult,,1,net cage,,,heavy,
2031-07-18,found,W,Pieris rapae,adult,,2,tub 4,,,,
2031-07-01,found,D,Papilio polyxenes,larva,5,4,shelf,,Foeniculum vulgare,,
2031-07-13T18:00,checked,D,,,,,shelf,,,,
2031-07-14T10:00,pupated,D,,,,4,shelf,,,,
2031-07-01,found,Y,Vanessa atalanta,larva,5,2,crate,,Urtica dioica,,
2031-07-05,pupated,Y,,,,2,crate,,,,
2031-07-18T10:00,died,Y,,pupa,,1,crate,,,Pteromalus wasp,holes in it
2031-07-01,found,Z,Pieris rapae,larva,3,2,old box,,Brassica oleracea,,
2031-07-10,died,Z,,larva,,2,old box,,,virus,
2031-07-18,cut,,,,,,,,Foeniculum vulgare,,
2031-07-10,cut,,,,,,,,Asclepias syriaca,,
2031-07-08T10:00,found,F,Papilio polyxenes,larva,2,5,tub 9,,Foeniculum vulgare,,
2031-07-19T08:00,fed,,,,,,tub 9,,,,
2031-07-18,found,N,Vanessa atalanta,larva,4,30,small jar,,Urtica dioica,,
2031-07-18,setting,,,,,,small jar,,,volume=1 L,
2031-07-19,stocked,,,,,2,,,Urtica dioica,stems,
2031-07-18,found,B,Danaus plexippus,larva,5,2,mixed box,,Asclepias syriaca,,
2031-07-19,laid,E,Danaus plexippus,egg,,4,mixed box,,Asclepias syriaca,,
"""


def _made(folder: Path) -> Path:
    rows, file = folder / "made.csv", folder / "made.db"
    rows.write_text(MADE, encoding="utf-8")
    _import(rows, file)
    return file


def _import(rows: Path, file: Path) -> None:
    with Store.open(file) as store:
        assert not import_file(rows, store).faults


@pytest.fixture(scope="module")
def files(tmp_path_factory) -> dict[str, tuple[Path, datetime]]:
    folder = tmp_path_factory.mktemp("nurseries")
    found = {"demo": (shipped("demo_db") / "demo.db", MOMENT), "made": (_made(folder), MADE_NOW)}
    if PRACTICE.exists():
        _import(PRACTICE, folder / "practice.db")
        found["practice"] = (folder / "practice.db", datetime(2026, 7, 12, 8))
    return found


def end_of(now: datetime) -> datetime:
    return datetime.combine(now.date(), time(23, 59, 59))


def of(file: Path, now: datetime) -> list:
    with Store.open(file, read_only=True) as store:
        return tasks(Nursery(store, load(), now), end_of(now))


def test_the_made_nursery_has_every_kind_of_task(files):
    assert {task.kind for task in of(*files["made"])} == set(ORDER)


@pytest.mark.parametrize("name", ["demo", "made", "practice"])
def test_every_record_is_recorded_and_takes_its_task_off(files, tmp_path, name):
    """Each on a fresh copy: what one record takes off must not lean on another."""
    if name not in files:
        pytest.skip("no practice set beside this checkout")
    file, now = files[name]
    knowledge = load()
    wrong = []
    for task in of(file, now):
        copy = tmp_path / "copy.db"
        shutil.copyfile(file, copy)
        with Store.open(copy) as store:
            nursery = Nursery(store, knowledge, now)
            answer = Assistant(nursery).reply(task.record)
            left = [one for one in tasks(nursery, end_of(now)) if same(one, task)]
        if answer.status != "recorded" or left:
            wrong.append((task.record, answer.status, [one.label for one in left]))
    assert not wrong


def same(one, other) -> bool:
    """The same thing to do with the same animals, whatever has become of its reason."""
    return (one.kind, one.name, one.enclosure, one.event) == (other.kind, other.name, other.enclosure, other.event) and (
        one.label == other.label or one.kind not in ("due", "moult")
    )


def test_a_round_walked_to_its_end_leaves_nothing_for_today(files, tmp_path):
    """Record after record in one nursery, until none is left that is due today and can be done today."""
    file, now = files["demo"]
    copy = tmp_path / "walked.db"
    shutil.copyfile(file, copy)
    with Store.open(copy) as store:
        nursery = Nursery(store, load(), now)
        assistant = Assistant(nursery)
        for _ in range(60):
            left = [task for task in tasks(nursery, end_of(now)) if task.kind not in ("due", "moult")]
            if not left:
                break
            assert assistant.reply(left[0].record).status == "recorded"
    assert not left
