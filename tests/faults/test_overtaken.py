"""Several people who record at the same moment: what a line was thought out on is what it is written on."""

from __future__ import annotations

import csv
import json
import subprocess
import sys
from datetime import datetime

import pytest

from faults import killing
from nurserytui.assistant import Assistant
from nurserytui.knowledge.base import load
from nurserytui.nursery import Nursery
from nurserytui.records.checking import check
from nurserytui.records.events import Event
from nurserytui.records.importing import import_file
from nurserytui.records.readings import Reading
from nurserytui.records.store import Overtaken, Store, StoreError

NOW = datetime(2031, 6, 10, 8)


def started(path, *arguments: str) -> subprocess.Popen:
    command = [sys.executable, "-m", "nurserytui", *arguments, "--db", path, "--now", NOW.isoformat()]
    return subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=killing.environment()
    )


def all_said(path, conversations: list[list[str]]) -> list[list[dict]]:
    """What each of several processes answers, all of which are sent their lines at once."""
    running = [started(path, "ask", "-", "--json") for _ in conversations]
    for one, lines in zip(running, conversations, strict=True):
        one.stdin.write("".join(f"{line}\n" for line in lines))
        one.stdin.close()
        one.stdin = None
    said = [one.communicate(timeout=120)[0] for one in running]
    return [[json.loads(line) for line in one.splitlines()] for one in said]


FINDS = 30


def test_finds_of_three_at_once_each_get_a_label_of_their_own(tmp_path):
    """Two were told the same label: of one species they became one cohort, of two species one was refused."""
    path = tmp_path / "n.db"
    lines = ["found 1 monarch egg in jar 1", "found 2 black swallowtail eggs on dill, tub 2", "found 3 monarch eggs in jar 3"]
    answers = all_said(path, [[line] * FINDS for line in lines])
    assert [one["status"] for said in answers for one in said] == ["recorded"] * 3 * FINDS
    told = [one["items"][0]["cohort"] for said in answers for one in said]
    with Store.open(path) as store:
        there = {event.cohort: (event.count, event.enclosure) for event in store.events()}
    assert len({*told}) == 3 * FINDS and there.keys() == {*told}
    for number, said in enumerate(answers, 1):
        assert {there[one["items"][0]["cohort"]][0] for one in said} == {number}
    assert check(path) == []


def test_all_of_a_cohort_hatches_once(tmp_path):
    path = tmp_path / "n.db"
    with Store.open(path) as store:
        for label in "ABCDEFGH":
            store.append([Event("2031-06-01", "laid", label, species="Pieris rapae", stage="egg", count=9, enclosure="jar")])
    answers = all_said(path, [[f"all of {label} hatched" for label in "ABCDEFGH"]] * 2)
    with Store.open(path) as store:
        hatched = [event for event in store.events() if event.what == "hatched"]
        assert sorted(event.cohort for event in hatched) == [*"ABCDEFGH"] and {event.count for event in hatched} <= {9, None}
        assert {key.stage for key in store.heads()} == {"larva"}
    assert sum(one["status"] == "recorded" for said in answers for one in said) == 8
    assert not [one for said in answers for one in said if "fault of this program" in one["text"]]


class Overtaking(Store):
    """A store into which somebody else writes whenever a line has been thought out and is about to be written, so many times."""

    times = 0

    def append(self, *arguments, **more):
        if self.times and not self._connection().in_transaction:
            self.times -= 1
            with Store.open(self.path) as other:
                other.append([Event("2031-06-09", "found", other_label(other), species="Vanessa atalanta", stage="egg", count=1)])
        return super().append(*arguments, **more)


def other_label(store: Store) -> str:
    return Nursery(store, None, NOW).ledger.next_label()


@pytest.fixture
def assistant(tmp_path):
    with Overtaking.open(tmp_path / "n.db") as store:
        yield Assistant(Nursery(store, load(), NOW))


@pytest.mark.parametrize("times", [1, 2, 50])
@pytest.mark.parametrize("way", ["reply", "note"])
def test_however_often_it_is_overtaken_a_line_is_written_once_on_what_is_there(assistant, times, way):
    store = assistant.nursery.store
    store.times = times
    answer = getattr(assistant, way)("found 2 monarch eggs in jar 1")
    assert answer.status == "recorded", answer
    events = store.events()
    assert len({event.cohort for event in events}) == len(events) == min(times, 3) + 1
    assert events[-1].cohort == answer.items[0]["cohort"] and assistant.nursery.events == events
    store.times = 0
    assert assistant.reply("undo").status == "recorded" and store.events()[-1].withdraws == events[-1].id


def test_a_line_that_is_overtaken_leaves_the_conversation_as_it_was(assistant):
    assistant.reply("found 2 monarch eggs in jar 1")
    assistant.reply("found some eggs")
    before = (assistant.context.turns, assistant.context.open, assistant.context.last_group)
    assistant.nursery.store.times = 1
    seen = []
    once = assistant._worked_out

    def watched(*line):
        seen.append((assistant.context.turns, assistant.context.open, assistant.context.last_group))
        return once(*line)

    assistant._worked_out = watched
    assistant.reply("found 5 monarch eggs in jar 2")
    assert seen == [before, before] and len(assistant.context.turns) == 3


def test_an_exact_record_is_taken_back_though_others_write(assistant):
    assistant.reply("found 2 monarch eggs in jar 1")
    which = assistant.context.last_group
    assistant.nursery.store.times = 2
    assert assistant.take_back(which).status == "recorded"
    assert [event.withdraws for event in assistant.nursery.store.events()][-1] == f"{which}-1"


def test_what_cannot_be_kept_in_the_end_is_not_in_the_nursery(assistant, monkeypatch):
    """What was taken in while the file was held is forgotten where the file could not take it."""
    store = assistant.nursery.store
    store.times = 50
    refresh = Nursery.refresh

    def failing(nursery):
        refresh(nursery)
        if store._connection().in_transaction and len(nursery.events) == 4:
            raise StoreError("the disk is full")

    monkeypatch.setattr(Nursery, "refresh", failing)
    answer = assistant.reply("found 2 monarch eggs in jar 1")
    assert answer.status == "unknown" and "Nothing was written: the disk is full" in answer.text
    assert len(store.events()) == 3 and assistant.nursery.events == store.events()


def test_a_store_writes_nothing_on_records_that_are_not_those_thought_out_on(tmp_path):
    with Store.open(tmp_path / "n.db") as store, Store.open(tmp_path / "n.db") as other:
        planned = store.events()
        other.append([Event("2031-06-02", "note", note="other")])
        with pytest.raises(Overtaken):
            store.append([Event("2031-06-02", "note", note="late")], after=planned)
        assert [event.note for event in store.events()] == ["other"]
        assert not store.append([Event("2031-06-02", "note", note="late")], after=store.events()).faults


ROWS = 1_500


def table(path, other: int):
    """Rows without a cohort of their own, of which the last `other` stand in this file alone."""
    with path.open("w", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(["when", "what", "species", "stage", "count", "enclosure"])
        for at in range(ROWS):
            jar = f"{path.stem} {at}" if at >= ROWS - other else f"jar {at}"
            rows.writerow(["2031-06-01", "found", "Pieris rapae", "egg", at % 7 + 1, jar])
    return path


def test_two_imports_at_once_bring_in_what_each_alone_would(tmp_path):
    """The second found its rows known by the time it wrote, and said that there was nothing to import, though 200 were not there."""
    path = tmp_path / "n.db"
    files = [table(tmp_path / f"{name}.csv", 200) for name in ("one", "two")]
    running = [started(path, "import", file) for file in files]
    said = [one.communicate(timeout=120) for one in running]
    assert [one.returncode for one in running] == [0, 0], said
    with Store.open(path) as store:
        events = store.events()
    assert len(events) == ROWS + 200 == len({event.enclosure for event in events}) == len({event.cohort for event in events})
    assert sorted(out.partition(" events")[0] for out, _ in said) == ["1,500", "200"]
    assert check(path) == []


def test_a_file_that_can_only_half_come_in_while_the_nursery_is_held_leaves_nothing(tmp_path):
    (tmp_path / "r.csv").write_text("time,place,temperature_C\n2031-06-01T10:00,jar,20\n2031-06-01T11:00,jar,warm\n")
    with Store.open(tmp_path / "n.db") as store:
        assert import_file(tmp_path / "r.csv", store).faults
        assert store.readings() == []


def test_what_is_kept_until_something_is_written_ends_with_readings_of_another_process(tmp_path):
    """The records' version stood still when readings came in, so that sums over them were not made anew."""
    with Store.open(tmp_path / "n.db") as store, Store.open(tmp_path / "n.db") as other:
        nursery = Nursery(store, None, NOW)

        def warmest():
            return nursery.until_written("warmest", lambda: max((one.high for one in store.readings()), default=None))

        assert warmest() is None
        for add, high in ((other.add_readings, 21.0), (store.add_readings, 23.0)):
            add([Reading(datetime(2031, 6, 1, int(high)), "jar", high, high)])
            nursery.at(NOW)
            assert warmest() == high
        version = nursery.version
        nursery.at(NOW)
        assert nursery.version == version
