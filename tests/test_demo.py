"""The demo nursery is what its table says, and alive at its own moment."""

from __future__ import annotations

import importlib.util
import subprocess
import sys
from pathlib import Path

import pytest

from nurserytui.answers.board import board
from nurserytui.demo import MOMENT
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.paths import shipped
from nurserytui.records.checking import check
from nurserytui.records.store import Store

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture
def nursery():
    with Store.memory(shipped("demo_db") / "demo.db") as store:
        yield Nursery(store, load(), MOMENT)


def test_the_database_is_what_the_script_builds_from_the_tables(tmp_path, nursery):
    place = importlib.util.spec_from_file_location("build", ROOT / "demo_db" / "build.py")
    script = importlib.util.module_from_spec(place)
    place.loader.exec_module(script)
    script.build(tmp_path / "demo.db")
    with Store.open(tmp_path / "demo.db") as built:
        assert built.events() == nursery.store.events()
        assert built.readings() == nursery.store.readings()


def test_its_headcounts_equal_its_events():
    assert check(shipped("demo_db") / "demo.db") == []


def test_it_has_ten_cohorts_in_two_seasons_and_something_of_everything(nursery):
    cohorts = nursery.ledger.cohorts
    assert len(cohorts) >= 10 and len({cohort.first_when[:4] for cohort in cohorts.values()}) == 2
    assert len({cohort.species for cohort in cohorts.values()}) >= 6
    rows = {(row.cohort, row.stage): row for row in board(nursery)}
    hatch = rows["B", "egg"]
    assert hatch.next_event == "hatch" and 0 <= (hatch.median - MOMENT).days <= 1
    assert any(row.overdue for row in rows.values())
    assert any("isolation" in row.enclosure for row in rows.values())
    assert any(event.what == "found" and event.day == MOMENT.date().isoformat() for event in nursery.events)


def test_the_calendar_is_stamped_in_universal_time(nursery):
    """A nursery in a zone of its own: local midnight there is not midnight of universal time."""
    from nurserytui.exports.calendar_file import calendar

    assert "DTSTAMP:20260618T073000Z" in calendar(nursery)[0]
    nursery.settings = nursery.settings._replace(timezone="Pacific/Auckland")
    assert "DTSTAMP:20260617T193000Z" in calendar(nursery)[0]


def test_the_readme_shows_what_the_program_says(nursery):
    """Every answer printed in the README is the one that the demo gives."""
    import re

    from nurserytui.answers.page import page
    from nurserytui.assistant import Assistant

    text = (ROOT / "README.md").read_text(encoding="utf-8")
    shown = re.findall(r'```\n\$ nurserytui ask --demo "([^"]+)"\n(.*?)\n```', text, flags=re.DOTALL)
    assert len(shown) == 3
    for line, answer in shown:
        assert page(Assistant(nursery).reply(line)).rstrip() == answer


def test_the_pictures_are_drawn_from_the_app_and_load_nothing_from_elsewhere(tmp_path):
    path = ROOT / "demo_db" / "pictures" / "make.py"
    done = subprocess.run([sys.executable, str(path), str(tmp_path)], capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stderr
    drawn = {file.name: file.read_text(encoding="utf-8") for file in tmp_path.glob("*.svg")}
    assert set(drawn) == {file.name for file in path.parent.glob("*.svg")} and len(drawn) == 4
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for name, picture in drawn.items():
        assert f"demo_db/pictures/{name}" in readme
        assert "url(http" not in picture and "@import" not in picture and "<image" not in picture
    assert "OVERDUE" in drawn["notebook.svg"] and "Cannot" in drawn["round.svg"]
