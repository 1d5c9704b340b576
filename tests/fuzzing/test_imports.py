"""Whatever is imported: a report, or one line that says why the file cannot be read; and with faults nothing is written."""

from __future__ import annotations

from random import Random
from time import thread_time

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fuzzing import files
from nurserytui.records.errors import StoreError
from nurserytui.records.importing import import_file
from nurserytui.records.store import Store

SHORT = settings(max_examples=100, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))


@pytest.fixture(scope="module", params=["demo", "empty"])
def store(request):
    """A nursery that goes on from file to file."""
    with Store.memory(files.ROOT / "demo_db" / "demo.db" if request.param == "demo" else None) as store:
        yield store


def hold_import(store, path) -> None:
    """Import a file, and hold what must hold of the report and of the nursery after it."""
    before = store.events(), store.readings()
    try:
        report = import_file(path, store)
    except StoreError as error:
        assert "\n" not in str(error)
        assert (store.events(), store.readings()) == before
        return
    if report.faults:
        assert (store.events(), store.readings()) == before
        assert report.added == 0
    for fault in report.faults:
        assert fault.reason.strip() and "\n" not in str(fault) and fault.line >= 0
    assert store.events()[: len(before[0])] == before[0]
    if report.kind == "events" and not report.faults:
        assert len(store.events()) == len(before[0]) + report.added
        again = import_file(path, store)
        assert not again.faults and again.added == 0, "the same file twice adds nothing"


@SHORT
@given(chance=st.integers(0, 2**40).map(Random))
def test_mangled_files_are_told_about(store, tmp_path_factory, chance):
    name, content = files.import_file(chance)
    path = tmp_path_factory.getbasetemp() / name
    path.write_bytes(content)
    hold_import(store, path)


@settings(SHORT, max_examples=60)
@given(content=st.binary(max_size=300))
def test_any_bytes_are_told_about(store, tmp_path_factory, content):
    path = tmp_path_factory.getbasetemp() / "bytes.csv"
    path.write_bytes(content)
    hold_import(store, path)


HUGE = {
    "a field of 1 MB": "when,what,note\n2026-06-01,note," + "x" * 1_000_000 + "\n",
    "a field beyond 1 MB": "when,what,note\n2026-06-01,note," + "x" * 1_100_000 + "\n",
    "10,000 columns": ",".join(f"c{at}" for at in range(10_000)) + "\n" + "1," * 10_000 + "\n",
    "10,000 cells": "when,what,note\n2026-06-01,note,x" + ",y" * 10_000 + "\n",
    "a million quotes": 'when,what,note\n2026-06-01,note,"' + '"' * 1_000_000 + "\n",
    "a million signs": "when,what,note\n2026-06-01,note," + "'" * 999_999 + "=\n",
    "a label of 1 MB": "when,what,cohort,species,stage,count\n2026-06-01,found," + "b" * 1_000_000 + ",Danaus plexippus,egg,3\n",
    "a time of 1 MB": "when,what,note\n" + "1" * 1_000_000 + ",note,x\n",
    "a count of 1 MB": "when,what,cohort,count\n2026-06-01,died,B," + "9" * 1_000_000 + "\n",
    "a setting of 1 MB": "when,what,enclosure,detail\n2026-06-01,setting,jar 2,volume=" + "4" * 999_000 + " L\n",
    "a temperature of 1 MB": "when,what,detail\n2026-06-01,temperature," + "2" * 999_000 + " C\n",
    "a latitude of 1 MB": "when,what,detail\n2026-06-01,setting,latitude=" + "1" * 999_000 + "\n",
    "JSON 10,000 deep": '{"nursery": {"version": 1}}\n{"event": ' + "[" * 10_000 + "\n",
    "JSON of 1 MB of digits": '{"nursery": {"version": 1}}\n{"event": {"when": "2026-06-01", "count": '
    + "9" * 1_000_000
    + "}}\n",
    "a value of 1 MB": "time,place,temperature_C\n2026-06-01T10:00,jar 2," + "2" * 999_000 + "\n",
}


@pytest.mark.parametrize("text", HUGE.values(), ids=HUGE)
def test_one_huge_thing_takes_no_longer_than_its_length(text, tmp_path):
    path = tmp_path / "huge.csv"
    path.write_text(text, encoding="utf-8")
    with Store.memory() as store:
        hold_import(store, path)
        start = thread_time()
        hold_import(store, path)
        assert thread_time() - start < 2.0
