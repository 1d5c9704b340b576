"""The cache is fresh or made anew, and never a reason to fail."""

from __future__ import annotations

import os
import time

import pytest

from nurserytui import paths
from nurserytui.knowledge import compiled
from nurserytui.knowledge.base import load


@pytest.fixture
def cache(tmp_path):
    return tmp_path / "cache"


def cached(cache):
    (file,) = cache.iterdir()
    return file


def test_the_second_load_compiles_nothing(folder, cache, monkeypatch):
    top, own = folder(), folder({}, "own", with_small=False)
    load(top, own, cache)
    monkeypatch.setattr(compiled, "compile_folders", lambda *_: pytest.fail("compiled again"))
    assert load(top, own, cache).species("first test").scientific == "Testa prima"


@pytest.mark.parametrize("where", ["base", "own"])
def test_a_changed_file_is_seen(folder, cache, where):
    top, own = folder(), folder({"species.toml": ""}, "own", with_small=False)
    assert load(top, own, cache).species("Testa nova") is None
    file = (top if where == "base" else own) / ("species/one.toml" if where == "base" else "species.toml")
    file.write_text(file.read_text() + '["Testa nova"]\nfamily = "Testidae"\n')
    assert load(top, own, cache).species("Testa nova").family == "Testidae"


def test_content_counts_not_the_clock(folder, cache, monkeypatch):
    top, own = folder(), folder({}, "own", with_small=False)
    load(top, own, cache)
    os.utime(top / "plants.toml", (1, 1))
    monkeypatch.setattr(compiled, "compile_folders", lambda *_: pytest.fail("compiled again"))
    load(top, own, cache)


@pytest.mark.parametrize(
    "spoil",
    [
        lambda content: b"",
        lambda content: b"something else",
        lambda content: content[: len(content) // 2],
        lambda content: content[:-1] + bytes([content[-1] ^ 1]),
        lambda content: content.replace(b'"blocks"', b'"blokcs"'),
        lambda content: compiled.MAGIC + b"[]\n",
    ],
)
def test_a_damaged_cache_is_made_anew(folder, cache, spoil):
    top, own = folder(), folder({}, "own", with_small=False)
    load(top, own, cache)
    whole = cached(cache).read_bytes()
    cached(cache).write_bytes(spoil(whole))
    assert load(top, own, cache).species("Testa prima") is not None
    assert cached(cache).read_bytes() == whole


def test_an_unwritable_place_costs_nothing_but_time(folder, tmp_path):
    blocked = tmp_path / "a file"
    blocked.write_text("in the way")
    assert load(folder(), folder({}, "own", with_small=False), blocked / "cache").species("Testa prima") is not None
    assert blocked.read_text() == "in the way"


def test_no_half_written_files_stay(folder, cache):
    load(folder(), folder({}, "own", with_small=False), cache)
    assert [file.suffix for file in cache.iterdir()] == [".bin"]


def test_a_part_is_unpacked_only_when_asked_for(folder, cache):
    top, own = folder(), folder({}, "own", with_small=False)
    load(top, own, cache)
    parts = load(top, own, cache)._parts
    before = set(parts._packed)
    parts.part("hosts")
    assert before - set(parts._packed) == {"hosts"}


def test_a_warm_load_of_the_shipped_base_is_quick(tmp_path):
    own, cache = tmp_path / "own", tmp_path / "cache"
    load(own=own, cache=cache)
    best = min(timed(lambda: load(own=own, cache=cache)) for _ in range(5))
    assert best < 0.05


def timed(call) -> float:
    start = time.perf_counter()
    call()
    return time.perf_counter() - start


def test_faults_of_an_own_folder_reach_the_knowledge(folder, cache):
    own = folder({"species.toml": "[x]\nwrong = 1\n"}, "own", with_small=False)
    ((file, entry, reason),) = load(folder(), own, cache).faults()
    assert (file, entry) == ("species.toml", "x") and "wrong" in reason


def test_the_shipped_folder_is_found():
    assert (paths.shipped("knowledge") / "sources").is_dir()


def test_a_file_that_only_got_a_new_time_is_not_compiled_anew_but_a_changed_one_is(tmp_path, monkeypatch):
    """The quick look at sizes and times is only a short cut: the content decides."""
    import os

    from nurserytui.knowledge import compiled

    folder, cache = tmp_path / "facts", tmp_path / "cache"
    folder.mkdir()
    file = folder / "sources.toml"
    file.write_text('[one]\ncitation = "One"\nkind = "practice"\n', encoding="utf-8")
    made = []
    real = compiled.compile_folders
    monkeypatch.setattr(compiled, "compile_folders", lambda *folders: made.append(1) or real(*folders))
    compiled.blocks(folder, None, cache)
    compiled.blocks(folder, None, cache)
    os.utime(file, (1, 1))
    assert "One" in str(compiled.blocks(folder, None, cache).part("sources"))
    assert len(made) == 1
    file.write_text('[one]\ncitation = "Two"\nkind = "practice"\n', encoding="utf-8")
    assert "Two" in str(compiled.blocks(folder, None, cache).part("sources"))
    assert len(made) == 2
