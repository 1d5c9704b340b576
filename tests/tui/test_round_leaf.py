"""The round ticked off through Pilot: by keys, by mouse, at every size."""

from __future__ import annotations

from contextlib import suppress
from datetime import UTC, datetime, timedelta
from threading import Event as Gate

import pytest
from rich.cells import cell_len
from screens import SIZES, kept, opened, screen_text, settled
from textual.widgets import Static
from textual.worker import WorkerCancelled

from nurserytui.records.events import Event
from nurserytui.records.store import Store
from nurserytui.tui.desk import Desk
from nurserytui.tui.leaf import Leaf
from nurserytui.tui.leaves import LEAVES
from nurserytui.tui.question_line import QuestionLine
from nurserytui.tui.round_leaf import RoundLeaf
from nurserytui.tui.tick_list import TickList

NOON = datetime(2031, 7, 20, 12)
TUBS = tuple(
    Event("2031-07-20T07:00", "found", label, species="unknown", stage="larva", count=3, enclosure=f"tub {n}", host="Brassica oleracea")
    for n, label in ((1, "fern"), (2, "moss"), (3, "oak"), (10, "elm"))
)  # fmt: skip
"""Larvae found this morning in four tubs: fresh leaf is all that they want today."""


def desk_of(folder, *events: Event, now: datetime = NOON) -> Desk:
    """A desk with a nursery of those events, and with a clock that stands until it is moved (`desk.clock`)."""
    with Store.open(folder / "round.db") as store:
        for event in events:
            assert not store.append([event]).faults
    clock = [now.replace(tzinfo=UTC)]
    desk = Desk(folder / "round.db", now, lambda: clock[0])
    desk.clock = clock
    return desk


async def turned(app, pilot) -> TickList:
    """The round in front."""
    app.action_leaf("round")
    await still(app, pilot)
    assert isinstance(app.screen, RoundLeaf)
    return app.screen.query_one(TickList)


async def still(app, pilot) -> None:
    """Until what was pressed is written, read again and drawn."""
    for _ in range(4):
        with suppress(WorkerCancelled):  # what was read for a line that the cursor has left
            await settled(app, pilot)


async def press(app, pilot, *keys: str) -> None:
    for key in keys:
        await pilot.press(key)
        await still(app, pilot)


async def walk_to(app, pilot, words: str) -> None:
    """The cursor on the first row with those words."""
    ticks = app.screen.query_one(TickList)
    ticks.come_to(next(row.key for row in ticks._rows if row.key and words in row.words))
    await still(app, pilot)


def row_of(app, words: str) -> str:
    """The line on the screen with those words."""
    return next((line for line in screen_text(app).splitlines() if words in line), "")


def cursor_line(app) -> str:
    return next(line for line in screen_text(app).splitlines() if line.startswith("›"))


def foot(app) -> str:
    return screen_text(app).splitlines()[-1]


def whats(app) -> list[str]:
    """What stands on record, beyond the finds."""
    return [event.what for event in app.desk._assistant.nursery.events if event.what != "found"]


@pytest.mark.parametrize("size", SIZES)
async def test_a_task_is_ticked_and_taken_back_at_every_size(tmp_path, size):
    async with opened(tmp_path, size) as (app, pilot):
        await turned(app, pilot)
        assert "17 to do" in screen_text(app) and cursor_line(app).count("[ ] Watch D in tub 2")
        await press(app, pilot, "space")
        text = screen_text(app)
        assert "16 to do" in text and "[x]" in cursor_line(app) and "done · Watch D" in cursor_line(app)
        assert "07:3" in cursor_line(app) and "noted  tub 2 checked" in text and "u Undo" in foot(app)
        assert "u takes it back." in text or size == (40, 20)  # there the row is cut, and the foot names the key
        await press(app, pilot, "u")
        text = screen_text(app)
        assert "17 to do" in text and "[ ] Watch D in tub 2" in cursor_line(app) and "Taken back: tub 2 checked" in text
        assert all(cell_len(line) <= size[0] for line in text.splitlines())


async def test_exactly_that_record_is_taken_back_after_others_were_made(tmp_path):
    async with opened(tmp_path, desk=desk_of(tmp_path, *TUBS)) as (app, pilot):
        await turned(app, pilot)
        for tub in ("tub 1", "tub 2"):
            await walk_to(app, pilot, tub + " (")
            await press(app, pilot, "space")
        await app.desk.note("cleaned tub 3")
        await walk_to(app, pilot, "tub 1 (")
        await press(app, pilot, "u")
        assert "[ ] tub 1" in row_of(app, "tub 1 (") and "[x] done · tub 2" in row_of(app, "tub 2 (")
    with Store.open(tmp_path / "round.db") as store:
        gone = {event.withdraws for event in store.events() if event.what == "withdrawn"}
        assert [(e.what, e.enclosure) for e in store.events() if e.id in gone] == [("fed", "tub 1")]


async def test_what_later_records_rest_on_is_not_taken_back(tmp_path):
    async with opened(tmp_path, desk=desk_of(tmp_path, *TUBS)) as (app, pilot):
        await turned(app, pilot)
        await app.desk.note("moved 2 fern larvae from tub 1 to jar 5")
        await app.desk.note("1 fern larva died in jar 5")
        app.show(await app.desk.look())
        await still(app, pilot)
        await walk_to(app, pilot, "moved from tub 1")
        await press(app, pilot, "u")
        assert "cannot be taken back" in screen_text(app) and "died in jar 5" in screen_text(app)
        assert "moved from tub 1" in cursor_line(app) and whats(app) == ["moved", "died"]


async def test_a_line_for_several_enclosures_is_ticked_each_by_each_or_all_at_once(tmp_path):
    async with opened(tmp_path, (120, 36), desk_of(tmp_path, *TUBS)) as (app, pilot):
        await turned(app, pilot)
        assert "[ ] ▾ Fresh leaf in 4 enclosures" in cursor_line(app)
        await walk_to(app, pilot, "tub 3 (")
        await press(app, pilot, "space")
        assert "[-] ▾ 1 of 4 done · Fresh leaf in 4 enclosures" in screen_text(app) and "3 to do" in screen_text(app)
        await walk_to(app, pilot, "Fresh leaf in 4")
        await press(app, pilot, "space")
        assert "[x] ▾ done · Fresh leaf in 4 enclosures" in cursor_line(app)
        assert "noted  3 of 3 written: tub 1 fed; tub 2 fed; tub 10 fed. u takes them back." in screen_text(app)
        assert whats(app) == ["fed"] * 4
        await press(app, pilot, "u")
        assert "undone  4 of 4 taken back: tub 10 fed; " in screen_text(app) and " and 1 more." in screen_text(app)
        assert whats(app) == [] and "[ ] ▾ Fresh leaf in 4 enclosures" in cursor_line(app)


async def test_one_look_that_settles_two_tasks_ticks_both_and_says_so(tmp_path):
    signs = [
        Event("2031-07-19T08:00", "sign", enclosure="tub 1", detail="a bad smell"),
        Event("2031-07-19T08:05", "sign", "fern", stage="larva", count=1, enclosure="tub 1", detail="eats little"),
    ]
    found = TUBS[0]._replace(when="2031-07-18T07:00")
    async with opened(tmp_path, (120, 36), desk_of(tmp_path, found, *signs)) as (app, pilot):
        await turned(app, pilot)
        assert row_of(app, "[ ] Look again at tub 1") and row_of(app, "[ ] Look again at fern in tub 1")
        await walk_to(app, pilot, "Look again at tub 1")
        await press(app, pilot, "space")
        text = screen_text(app)
        assert row_of(app, "done · Look again at tub 1") and row_of(app, "done · Look again at fern in tub 1")
        assert "tub 1 checked, nothing changed, which settles as well: Look again at fern in tub 1. u takes" in text
        await walk_to(app, pilot, "Look again at fern")
        await press(app, pilot, "u")
        assert row_of(app, "[ ] Look again at tub 1") and row_of(app, "[ ] Look again at fern in tub 1")


async def test_a_tick_shows_that_it_is_being_written_until_the_round_is_read_again(tmp_path, monkeypatch):
    async with opened(tmp_path, (80, 24), desk_of(tmp_path, TUBS[0])) as (app, pilot):
        await turned(app, pilot)
        go, real = Gate(), app.screen.page

        def page(nursery):
            go.wait(10)
            return real(nursery)

        monkeypatch.setattr(app.screen, "page", page)
        await pilot.press("space")
        for _ in range(100):
            await pilot.pause(0.02)
            if whats(app):
                break
        await pilot.pause(0.6)
        said, head = row_of(app, "being written"), screen_text(app).splitlines()[0]
        go.set()
        await still(app, pilot)
        assert "[~]" in said and head.startswith(" Round  working it out")
        assert "working it out" not in screen_text(app) and "[x] done" in screen_text(app)


async def test_writing_many_can_be_stopped(tmp_path):
    async with opened(tmp_path, (120, 36), desk_of(tmp_path, *TUBS)) as (app, pilot):
        await turned(app, pilot)
        leaf, real = app.screen, app.desk.note

        async def note(text):
            if text == "fed tub 2":
                leaf.action_leave()
            return await real(text)

        app.desk.note = note
        await press(app, pilot, "space")
        assert whats(app) == ["fed", "fed"] and "2 of 4 written" in screen_text(app) and app.screen is leaf
        assert "[-] ▾ 2 of 4 done" in cursor_line(app)


async def test_a_gathered_line_folds_and_unfolds(tmp_path):
    async with opened(tmp_path, (80, 24), desk_of(tmp_path, *TUBS)) as (app, pilot):
        await turned(app, pilot)
        await walk_to(app, pilot, "tub 2 (")
        await press(app, pilot, "left")
        assert "▸ Fresh leaf in 4" in cursor_line(app) and not row_of(app, "tub 2 (")
        await press(app, pilot, "right")
        assert "▾ Fresh leaf in 4" in cursor_line(app) and row_of(app, "tub 2 (")


async def test_before_animals_are_moved_in_the_records_it_is_asked(tmp_path):
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        await turned(app, pilot)
        await walk_to(app, pilot, "12 eggs of B in jar 2 may hatch")
        await press(app, pilot, "space")
        text = screen_text(app)
        assert "1 12 B hatched in jar 2" in text and "2 checked B in jar 2 (no change yet)" in text and "17 to do" in text
        await press(app, pilot, "escape")
        assert "what is to be written" not in screen_text(app) and isinstance(app.screen, RoundLeaf)
        await press(app, pilot, "space", "2")
        assert "noted  B checked in jar 2, nothing changed" in screen_text(app) and "done · 12 eggs of B" in cursor_line(app)
        await press(app, pilot, "u", "space", "1")
        assert "noted  12 of B hatched in jar 2" in screen_text(app)
        assert any(row.cohort == "B" and row.stage == "larva" for row in app.sheet.rows)


@pytest.mark.parametrize("strokes", [("down",), ("up",), ("end",), ("w",), ("f",), ("d",), ("u",)])
async def test_a_question_is_about_the_row_that_it_was_asked_for(tmp_path, strokes):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await turned(app, pilot)
        before = whats(app)
        await walk_to(app, pilot, "Thin out tub 2")
        await press(app, pilot, "space")
        assert "Thin out tub 2: take out 7 larvae of D: what is to be written?" in screen_text(app)
        await press(app, pilot, *strokes, "1")
        assert whats(app) == before and "which?" not in screen_text(app)


async def test_a_digit_in_the_same_stroke_as_a_step_away_picks_nothing(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await turned(app, pilot)
        before = whats(app)
        await walk_to(app, pilot, "Thin out tub 2")
        await press(app, pilot, "space")
        await pilot.press("down", "1")  # the step is not told to the leaf yet
        await still(app, pilot)
        assert whats(app) == before


@pytest.mark.parametrize("key", ["d", "f", "p", "w", "left"])
async def test_what_the_last_act_wrote_is_told_until_the_next(tmp_path, key):
    async with opened(tmp_path, (40, 20)) as (app, pilot):
        await turned(app, pilot)
        await press(app, pilot, "space")
        assert [line.count("noted") for line in screen_text(app).splitlines()[-2:]] == [1, 0]  # one row, above the foot
        await press(app, pilot, "u")
        assert [line[:9] for line in screen_text(app).splitlines()[-3:-1]][1] == "║ undone "
        await press(app, pilot, key)
        assert "undone" not in screen_text(app)


async def test_the_cursor_stays_in_sight_when_its_reasons_unfold(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await turned(app, pilot)
        await walk_to(app, pilot, "Fresh leaf in 5 enclosures")
        await press(app, pilot, "enter")
        assert "Fresh leaf in 5 enclosures" in cursor_line(app)
        await press(app, pilot, "w")
        assert "Fresh leaf in 5 enclosures" in cursor_line(app)


async def test_the_foot_names_what_can_be_done_with_the_row(tmp_path):
    async with opened(tmp_path, (40, 20)) as (app, pilot):
        await turned(app, pilot)
        assert "space Tick" in foot(app) and "w Why" in foot(app) and "Undo" not in foot(app)
        await press(app, pilot, "space")
        assert "Tick" not in foot(app) and "w Why" in foot(app) and "u Undo" in foot(app)


async def test_no_day_in_words_is_said_again_in_figures(tmp_path):
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        await turned(app, pilot)
        await walk_to(app, pilot, "Cut 2 stems")
        await press(app, pilot, "space")
        assert "it lasts to about Fri 19 June" in screen_text(app) and "(2026-" not in screen_text(app)
        await press(app, pilot, "u")
        assert "Taken back: " in screen_text(app) and "(Thu 18 June 2026, 07:30)" in screen_text(app)


async def test_what_is_to_be_said_otherwise_stands_on_the_line_of_the_conversation(tmp_path):
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        await turned(app, pilot)
        await walk_to(app, pilot, "12 eggs of B in jar 2 may hatch")
        await press(app, pilot, "space", "3")
        assert app.screen is app.conversation and app.query_one(QuestionLine).value == "12 B hatched in jar 2"


async def test_what_the_assistant_asks_back_is_picked_by_number_or_told_in_the_conversation(tmp_path, monkeypatch):
    async with opened(tmp_path, (120, 36), desk_of(tmp_path, *TUBS, TUBS[0]._replace(enclosure="box A"))) as (app, pilot):
        await turned(app, pilot)
        real = app.desk.note

        async def note(text):  # a sentence that fits two places
            return await real("one fern larva died" if text == "fed tub 1" else text)

        monkeypatch.setattr(app.desk, "note", note)
        await walk_to(app, pilot, "tub 1 (")
        await press(app, pilot, "space")
        text = screen_text(app)
        assert "which?" in text and "1 1 fern larva in tub 1 died" in text and "in box A died" in text and whats(app) == []
        await press(app, pilot, "2")
        assert whats(app) == ["died"] and "noted" in screen_text(app)
        await walk_to(app, pilot, "tub 1 (")
        await press(app, pilot, "u", "space", "3")
        assert app.screen is app.conversation and whats(app) == ["fed"]  # sent there as it stands


async def test_enter_shows_the_reasons_first_where_they_are_folded(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await turned(app, pilot)
        await press(app, pilot, "enter")
        assert "exposed: D likely" in screen_text(app) and "[ ] Watch D" in cursor_line(app)
        await press(app, pilot, "enter")
        assert "[x] done · Watch D" in cursor_line(app)


async def test_the_reasons_unfold_to_the_working_and_fold(tmp_path):
    async with opened(tmp_path, (160, 50)) as (app, pilot):
        await turned(app, pilot)
        await walk_to(app, pilot, "12 eggs of B in jar 2 may hatch")
        text = screen_text(app)
        assert (
            "the first expected Thu 18 June" in text
            and "Space writes  12 B hatched in jar 2" in text
            and "steps of working" in text
        )
        await press(app, pilot, "w")
        text = screen_text(app)
        assert "Animals: 12 eggs of cohort B" in text and "own records" in text and "w folds it" in text
        assert "the first expected Thu 18 June" in text  # the reasons stand above their working
        await press(app, pilot, "w")
        assert not app.screen.query_one("#why").display


async def test_it_is_narrowed_by_days_kind_and_place(tmp_path):
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        ticks = await turned(app, pilot)
        await press(app, pilot, "f")
        assert "[feed]" in screen_text(app) and not row_of(app, "Clean tub 1") and row_of(app, "Fresh leaf in 5")
        await press(app, pilot, "f")
        assert "[clean]" in screen_text(app) and [row.words for row in ticks._rows if row.mark == "[ ]"] == ["Clean tub 1"]
        await press(app, pilot, "f", "f", "f", "p")
        assert "[tub 2]" in screen_text(app) and not row_of(app, "Watch K")
        await press(app, pilot, "p", "d")
        assert "[3 days]" in screen_text(app) and row_of(app, "Watch K")
        assert any(row.words.startswith("Sat 20 June") for row in ticks._rows)
        await press(app, pilot, "d", "d")
        assert "[today]" in screen_text(app)


async def test_the_mouse_does_the_same(tmp_path):
    async with opened(tmp_path, (120, 36), desk_of(tmp_path, *TUBS)) as (app, pilot):
        await turned(app, pilot)
        lines = screen_text(app).splitlines()
        y = next(number for number, line in enumerate(lines) if "tub 2 (" in line)
        await pilot.click(offset=(lines[y].index("tub 2"), y))
        await still(app, pilot)
        assert "tub 2 (" in cursor_line(app) and whats(app) == []
        await pilot.click(offset=(lines[y].index("[ ]") + 1, y))
        await still(app, pilot)
        assert whats(app) == ["fed"] and "[x] done · tub 2" in cursor_line(app)
        await pilot.click(offset=(lines[1].index("clean"), 1))
        await still(app, pilot)
        assert "[clean]" in screen_text(app) and not row_of(app, "tub 2 (")


async def test_a_choice_can_be_clicked(tmp_path):
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        await turned(app, pilot)
        await walk_to(app, pilot, "12 eggs of B in jar 2 may hatch")
        await press(app, pilot, "space")
        lines = screen_text(app).splitlines()
        y = next(number for number, line in enumerate(lines) if "2 checked B" in line)
        await pilot.click(offset=(6, y))
        await still(app, pilot)
        assert "noted  B checked in jar 2" in screen_text(app)


async def test_the_place_is_kept_when_it_is_read_again_and_when_the_window_changes(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        ticks = await turned(app, pilot)
        await press(app, pilot, "end", "up", "up")
        key, down = ticks.current, ticks._screen_line()
        app.look()
        await still(app, pilot)
        assert ticks.current == key and ticks._screen_line() == down
        for size in ((40, 20), (160, 50), (120, 36), (80, 24)):
            await pilot.resize_terminal(*size)
            await still(app, pilot)
            assert ticks.current == key and 0 <= ticks._screen_line() < ticks.scrollable_content_region.height
            assert all(cell_len(line) <= size[0] for line in screen_text(app).splitlines())


async def test_page_keys_home_and_end(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        ticks = await turned(app, pilot)
        await press(app, pilot, "end")
        assert "[x] 3 unidentified larvae found" in cursor_line(app)
        await press(app, pilot, "pageup")
        assert "[ ]" in cursor_line(app)
        await press(app, pilot, "home")
        assert "Watch D" in cursor_line(app) and "Cannot wait" in screen_text(app)
        await press(app, pilot, "pagedown", "down")
        assert ticks._at > 3


async def test_midnight_brings_the_new_day(tmp_path):
    desk = desk_of(tmp_path, *TUBS)
    async with opened(tmp_path, (80, 24), desk) as (app, pilot):
        await turned(app, pilot)
        await press(app, pilot, "space")
        assert "[x] ▾ done · Fresh leaf in 4 enclosures" in cursor_line(app) and "Done today  4" in screen_text(app)
        desk.clock[0] += timedelta(hours=12, minutes=1)
        app.look()
        await still(app, pilot)
        text = screen_text(app)
        assert "Mon 21 Jul, 00:01" in text and "[ ] ▾ Fresh leaf in 4 enclosures" in text
        assert "Done today" not in text and "[x]" not in text


async def test_what_another_process_writes_is_followed(tmp_path):
    async with opened(tmp_path, (80, 24), desk_of(tmp_path, *TUBS)) as (app, pilot):
        await turned(app, pilot)
        with Store.open(tmp_path / "round.db") as other:
            assert not other.append([Event("2031-07-20T11:00", "fed", enclosure="tub 2")]).faults
        app.look()
        await still(app, pilot)
        assert "Fresh leaf in 3 enclosures" in screen_text(app) and "[x] tub 2 fed" in screen_text(app)


class OfCohort(Leaf):
    """A page of one cohort, for as much as the round needs of it."""

    def __init__(self, label):
        super().__init__()
        self.label = label

    def body(self):
        yield Static("")


async def test_the_page_of_the_cohort_is_turned_to_by_name_or_by_number(tmp_path, monkeypatch):
    monkeypatch.setitem(LEAVES, "cohort", f"{__name__}:OfCohort")
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        await turned(app, pilot)
        await press(app, pilot, "c")
        assert type(app.screen).__name__ == "OfCohort" and app.screen.label == "D"
        await turned(app, pilot)
        await walk_to(app, pilot, "6 pupae of E and 2 pupae of H")
        await press(app, pilot, "c")
        assert "Whose page?" in screen_text(app)
        await press(app, pilot, "2")
        assert app.screen.label == "H"


async def test_undo_in_the_conversation_takes_back_the_tick(tmp_path):
    async with opened(tmp_path, (120, 36), desk_of(tmp_path, *TUBS)) as (app, pilot):
        await turned(app, pilot)
        await walk_to(app, pilot, "tub 1 (")
        await press(app, pilot, "space")
        assert whats(app) == ["fed"]
        await press(app, pilot, "f9")
        assert whats(app) == [] and app.screen is app.conversation


async def test_a_tick_that_is_on_its_way_is_written_also_when_the_leaf_is_left(tmp_path):
    async with opened(tmp_path, (80, 24), desk_of(tmp_path, *TUBS)) as (app, pilot):
        await turned(app, pilot)
        app.screen.action_tick()
        app.action_back()
        await still(app, pilot)
        assert whats(app) == ["fed"] * 4 and app.is_running


async def test_what_is_asked_back_when_the_leaf_is_left_is_asked_in_the_conversation(tmp_path, monkeypatch):
    async with opened(tmp_path, (80, 24), desk_of(tmp_path, TUBS[0], TUBS[0]._replace(enclosure="box A"))) as (app, pilot):
        await turned(app, pilot)
        real = app.desk.note

        async def note(text):
            app.action_back()
            return await real("one fern larva died")

        monkeypatch.setattr(app.desk, "note", note)
        await press(app, pilot, "space")
        assert app.screen is app.conversation and whats(app) == ["fed"]  # the task's own sentence, which needs no answer


async def test_f3_turns_to_the_round_and_escape_back(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        app.query_one(QuestionLine).value = "half a thou"
        await press(app, pilot, "f3")
        assert isinstance(app.screen, RoundLeaf)
        await press(app, pilot, "escape")
        assert app.screen is app.conversation and app.query_one(QuestionLine).value == "half a thou"


async def test_the_strip_and_the_round_count_the_same_groups_as_overdue(tmp_path):
    async with opened(tmp_path, (60, 24)) as (app, pilot):
        # In the demo nursery two cohorts of pupae in the window cage are overdue; to look at them is one task.
        assert "2 overdue" in str(app.query_one("#strip", Static).render())
        await turned(app, pilot)
        assert "2 overdue" in screen_text(app).splitlines()[0]
        await walk_to(app, pilot, "overdue to")
        await press(app, pilot, "space")
        assert "2 overdue" in screen_text(app).splitlines()[0]  # looked at, but overdue still
        assert sum(row.overdue for row in app.sheet.rows) == 2


@pytest.mark.parametrize("size", SIZES)
async def test_an_empty_nursery_says_what_to_do(tmp_path, size):
    async with opened(tmp_path, size, desk_of(tmp_path)) as (app, pilot):
        await turned(app, pilot)
        assert "No animals yet" in screen_text(app)
        assert "Tick" not in foot(app) and "u Undo" not in foot(app) and "Why" not in foot(app)
        await press(app, pilot, "space", "u", "w", "enter", "p", "f", "d", "c", "left", "down", "end")
        assert app.is_running and isinstance(app.screen, RoundLeaf)


HOSTILE = (
    "[/b]",
    "[@click=app.bell]x[/]",
    "a\tb",
    "abc\u202eefg",
    "jar e\u0301\u0301\u0301",
    "箱" * 40,
    "y" * 10_000,
    "\U0001f98b tent",
)


@pytest.mark.parametrize("size", SIZES)
async def test_hostile_names_are_shown_and_break_no_row(tmp_path, size):
    events = [
        Event("2031-07-20T07:00", "found", f"L{at}", species="unknown", stage="larva", count=3, enclosure=name)
        for at, name in enumerate(HOSTILE)
    ]
    async with opened(tmp_path, size, desk_of(tmp_path, *events)) as (app, pilot):
        await turned(app, pilot)
        for key in ("end", "home", "w", "down", "down", "down", "down", "down", "down", "down", "p", "p"):
            await press(app, pilot, key)
            lines = screen_text(app).splitlines()
            assert all(cell_len(line) <= size[0] for line in lines) and "\u202e" not in "".join(lines)
        assert app.is_running
        await press(app, pilot, "home", "down", "space")
        assert whats(app) == ["fed"] or "which?" in screen_text(app)


async def test_the_screens_are_as_they_were(tmp_path):
    async with opened(tmp_path, (120, 36), desk_of(tmp_path, *TUBS)) as (app, pilot):
        await turned(app, pilot)
        await walk_to(app, pilot, "tub 2 (")
        await press(app, pilot, "space")
        kept("round", app)
        await pilot.resize_terminal(40, 20)
        await still(app, pilot)
        kept("round", app)
