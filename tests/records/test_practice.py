"""A whole nursery from a table: this folder's own, and the practice nursery where it lies beside the checkout."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

import pytest
from tables import HEADS, NURSERY, summed

from nurserytui.records.importing import import_file
from nurserytui.records.ledger import replay
from nurserytui.records.store import Store

PRACTICE = Path(__file__).resolve().parents[3] / "shared" / "questions"


def test_the_small_nursery_is_imported_as_it_stands(tmp_path):
    (tmp_path / "small.csv").write_text(NURSERY, encoding="utf-8")
    with Store.open(tmp_path / "n.db") as store:
        assert import_file(tmp_path / "small.csv", store)[:4] == ("events", 13, 0, ())
        assert import_file(tmp_path / "small.csv", store)[:4] == ("events", 0, 13, ())
        assert summed(store.heads()) == summed(replay(store.events()).heads) == HEADS


@pytest.mark.skipif(not (PRACTICE / "nursery.csv").exists(), reason="the practice nursery is not beside this checkout")
def test_the_practice_nursery_has_the_headcount_its_maker_prints(tmp_path):
    script = (
        "import json, sys; sys.path.insert(0, sys.argv[1]); import make_nursery as m; "
        "print(json.dumps([[*key, count] for key, count in m.replay()[0].items()]))"
    )
    import json

    said = subprocess.run([sys.executable, "-B", "-c", script, str(PRACTICE)], capture_output=True, text=True, check=True).stdout
    with Store.open(tmp_path / "n.db") as store:
        assert import_file(PRACTICE / "nursery.csv", store)[:4] == ("events", 97, 0, ())
        assert summed(store.heads()) == {tuple(key): count for *key, count in json.loads(said)}


def test_opening_reading_and_replaying_a_season_takes_milliseconds(tmp_path):
    (tmp_path / "small.csv").write_text(NURSERY, encoding="utf-8")
    with Store.open(tmp_path / "n.db") as store:
        import_file(tmp_path / "small.csv", store)
        store.append([store.events()[8]._replace(id="") for _ in range(300)])
    times = []
    for _ in range(5):
        start = time.perf_counter()
        with Store.open(tmp_path / "n.db") as store:
            events = store.events()
            replay(events)
        times.append(time.perf_counter() - start)
    assert len(events) > 300
    assert min(times) < 0.03  # opening 5 ms, reading 3 ms, replay 3 ms, with room for a slow machine
