"""Whatever stands in a keeper's knowledge folder: faults with file and reason, and answers go on with what is left."""

from __future__ import annotations

import tomllib
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fuzzing import knowledge
from fuzzing.promises import MOMENT, Keeper
from nurserytui.knowledge import checking, compiled, coverage, links, load
from nurserytui.knowledge.base import load as load_base
from nurserytui.nursery import Nursery
from nurserytui.paths import shipped
from nurserytui.records.store import Store

SHORT = settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
CHANCE = st.integers(0, 2**40).map(Random)


@pytest.fixture(scope="module")
def folders(tmp_path_factory):
    """(a small shipped folder, a keeper's own)"""
    top = tmp_path_factory.mktemp("knowledge")
    (top / "own").mkdir()
    return knowledge.small_base(top), top / "own"


def put(own, name: str, content: bytes) -> None:
    """The only file of the folder."""
    for path in own.rglob("*.toml"):
        path.unlink()
    (own / name).parent.mkdir(parents=True, exist_ok=True)
    (own / name).write_bytes(content)


def hold_folder(base, own) -> list:
    read = load.read(base, own)
    faults = [*read.faults, *links.broken(read)]
    for fault in faults:
        assert fault.file and fault.reason.strip() and str(fault).isprintable()
    coverage.table(read), coverage.gaps(read)
    compiled.compile_folders(base, own)
    return faults


@SHORT
@given(chance=CHANCE)
def test_mangled_files_are_faults(folders, chance):
    base, own = folders
    put(own, *knowledge.folder_file(chance))
    hold_folder(base, own)


@settings(SHORT, max_examples=60)
@given(content=st.binary(max_size=200) | st.text(max_size=100).map(str.encode))
def test_any_bytes_are_faults(folders, content):
    base, own = folders
    put(own, "species.toml", content)
    hold_folder(base, own)


def test_a_wrong_kind_at_any_place_of_the_template_is_a_fault_of_its_entry(folders):
    """Every path of the developers' template, with a table where there is none and a number of ten digits where there is one."""
    base, own = folders
    document = tomllib.loads(knowledge.template())
    put(own, "mine.toml", knowledge.as_file(document).encode())
    sound = {str(fault) for fault in hold_folder(base, own)}
    for path in knowledge.paths_of(document):
        if len(path) < 2:
            continue
        wrong = 10**10 if path in knowledge.numbers() else knowledge.Raw("{ x = 1 }")
        changed = knowledge.with_value(document, path, "@here")
        put(own, "mine.toml", knowledge.as_file(changed).replace('"@here"', knowledge.written(wrong)).encode())
        assert {str(fault) for fault in hold_folder(base, own)} - sound, path


@pytest.mark.parametrize(
    "text",
    ["x = " + "[" * 5000, "x = " + "{a=" * 5000, "x = " + "9" * 5000, '"' * 5000, "x = 1e999999"],
    ids=lambda text: text[:8],
)
def test_a_file_that_goes_too_deep_or_far_is_one_fault(tmp_path, text):
    (tmp_path / "mine.toml").write_text(text, encoding="utf-8")
    faults, _ = checking.check(tmp_path)
    assert [fault.file for fault in faults] == ["mine.toml"]


@settings(SHORT, max_examples=1)
@given(seed=st.integers(0, 2**20))
def test_answers_go_on_with_what_is_left(tmp_path_factory, faults_are_raised, seed):
    own, cache = tmp_path_factory.mktemp("own"), tmp_path_factory.mktemp("cache")
    put(own, *knowledge.folder_file(Random(seed)))
    with Store.memory(shipped("demo_db") / "demo.db") as store:
        keeper = Keeper(place=Nursery(store, load_base(own=own, cache=cache), MOMENT))
        for line in knowledge.QUESTIONS:
            keeper.say(line)


@pytest.fixture
def faults_are_raised(monkeypatch):
    monkeypatch.setenv("NURSERYTUI_DEBUG", "1")
