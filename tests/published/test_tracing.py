"""Tracing against printed figures, by the numbers alone and through a nursery's own records: see `tracing_checks.py` for the source."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from checks import ids
from tracing_checks import CELLS, ROUNDING, checks

from nurserytui.answers.cases import outbreaks
from nurserytui.answers.stings import exits, origins
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.importing import import_file
from nurserytui.records.store import Store

with TemporaryDirectory() as _nothing:
    # Without anything of a keeper's own, and without a cache of before.
    CHECKS = checks(load(own=Path(_nothing, "own"), cache=Path(_nothing, "cache")))


@pytest.mark.parametrize("check", CHECKS, ids=ids(CHECKS))
def test_published(check):
    assert check.holds, check.said


RECORDS = """when,what,cohort,mark,species,stage,instar,count,enclosure,to,host,detail,note
2031-05-01,temperature,,,,,,,,,,{celsius} C,
2031-06-01,found,S,,Papilio xuthus,larva,5,2,cage,,Citrus trifoliata,,
2031-06-03T12:00,pupated,S,,,,,2,cage,,,,
2031-08-01T12:00,died,S,,,pupa,,1,cage,,,Pteromalus wasp,
"""


@pytest.mark.parametrize(("celsius", "days"), CELLS)
def test_a_nursery_at_a_steady_temperature(tmp_path, celsius, days):
    """The same cells through a keeper's records: one temperature written down, wasps at noon on 1 August."""
    (tmp_path / "events.csv").write_text(RECORDS.format(celsius=celsius), encoding="utf-8")
    with Store.open(tmp_path / "nursery.db") as store:
        assert not import_file(tmp_path / "events.csv", store).faults
        nursery = Nursery(store, load(own=tmp_path / "own", cache=tmp_path / "cache"), datetime(2031, 8, 2, 8))
        (outbreak,) = outbreaks(nursery)
        (origin,) = origins(nursery, outbreak)
        middle = origin.exit[0] + (origin.exit[1] - origin.exit[0]) / 2
        assert (middle - origin.window.at) / timedelta(days=1) == pytest.approx(days, abs=ROUNDING)
        sting = datetime(2031, 7, 1, 12)
        low, high = exits(nursery, outbreak, "cage", sting, sting)
        assert ((low - sting) + (high - low) / 2) / timedelta(days=1) == pytest.approx(days, abs=ROUNDING)
        assert low < sting + timedelta(days=days) < high
