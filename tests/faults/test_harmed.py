"""Every command names what is wrong with a damaged file, in plain lines, and none writes to it; what is changed is found by the check."""

from __future__ import annotations

import random
from itertools import chain

import pytest

from faults import harming


@pytest.fixture(scope="module")
def whole(tmp_path_factory):
    path = harming.nursery(tmp_path_factory.mktemp("whole") / "n.db")
    assert harming.said(("check",), path).code == 0 and harming.opened_by_the_app(path) == ""
    return path.read_bytes(), harming.contents(path)


@pytest.fixture(autouse=True)
def own_cache(tmp_path, monkeypatch):
    """Nothing that another file's opening kept helps this one over its damage."""
    monkeypatch.setenv("NURSERYTUI_STATE", str(tmp_path / "state"))


@pytest.mark.parametrize("share", range(4))
@pytest.mark.parametrize("kind", ["cuts", "flips", "blocks"])
def test_a_harmed_file_is_told_and_left_as_it_is(tmp_path, whole, kind, share):
    raw, texts = whole
    harms = {
        "cuts": lambda: harming.cuts(raw),
        "flips": lambda: harming.flips(raw, random.Random(7), 1),
        "blocks": lambda: harming.blocks(raw),
    }[kind]()
    chosen = [harm for at, harm in enumerate(harms) if at % 16 == share * 4]
    assert list(chain.from_iterable(harming.found(harm, raw, tmp_path, texts) for harm in chosen)) == []
