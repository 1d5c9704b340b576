"""The question line through Pilot: completion, what a line is taken for, choices by number, history, and that no text is ever lost."""

from __future__ import annotations

import pytest
from screens import SIZES, kept, opened, screen_text, send, settled
from textual import events
from textual._xterm_parser import XTermParser

from nurserytui.demo import MOMENT, private_copy
from nurserytui.records.store import Store
from nurserytui.tui.app import NurseryApp
from nurserytui.tui.desk import Desk
from nurserytui.tui.question_line import HEARD, LINE_END, clean


async def rest(app, pilot, seconds: float = HEARD + 0.1) -> None:
    """A pause in typing."""
    await pilot.pause(seconds)
    await settled(app, pilot)


async def typed(app, pilot, text: str) -> None:
    await pilot.press(*("space" if one == " " else one for one in text))
    await rest(app, pilot)


def rows(app) -> list[str]:
    return app.line.rows.text.split("\n")


def asked(app) -> list[str]:
    return [exchange.asked for exchange in app.query_one("#notebook").exchanges if exchange.asked]


# Completion


async def test_tab_takes_the_first_then_the_next_and_escape_brings_back_what_it_replaced(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await typed(app, pilot, "how many in ja")
        assert rows(app)[0].startswith("Tab jar 2 · jar 1")
        await pilot.press("tab")
        assert app.line.value == "how many in jar 2"
        await pilot.press("tab")
        assert app.line.value == "how many in jar 1"
        await pilot.press("shift+tab")
        assert app.line.value == "how many in jar 2"
        await pilot.press("escape")
        assert app.line.value == "how many in ja" and app.line.cursor_position == len("how many in ja")


async def test_tab_right_after_a_key_needs_no_pause(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await pilot.press("s", "l", "e", "e", "tab")
        assert app.line.value == "sleeve on the willow"
        await pilot.press("x")
        assert app.line.value == "sleeve on the willowx"
        await pilot.press("escape")
        assert app.line.value == "sleeve on the willowx"


async def test_completion_in_the_middle_of_a_line_leaves_what_follows(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        app.line.value, app.line.cursor_position = "fed tu today", len("fed tu")
        await pilot.press("tab")
        assert app.line.value in ("fed tub 1 today", "fed tub 2 today") and app.line.cursor_position == len("fed tub 1")


async def test_new_names_are_offered_once_they_are_written_down(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await send(app, pilot, "found 3 monarch eggs on milkweed, crate 77")
        await settled(app, pilot)
        await typed(app, pilot, "how many in cra")
        assert "crate 77" in rows(app)[0]


async def test_tab_on_an_empty_line_goes_on_and_comes_back(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await pilot.press("tab")
        assert app.focused is not app.line
        await pilot.press("shift+tab")
        assert app.focused is app.line


async def test_tab_with_nothing_to_complete_stays_on_the_line(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await pilot.press("q", "z", "x", "q", "tab")
        assert app.focused is app.line and app.line.value == "qzxq"


async def test_the_same_text_typed_again_has_the_same_completions(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await typed(app, pilot, "how many in ja")
        before = rows(app)[0]
        for _ in range(2):
            await pilot.press("ctrl+u")
            await typed(app, pilot, "how many in ja")
            assert rows(app)[0] == before != ""


# What it is taken for


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("how long until B hatches at 20 C", "when it hatches · cohort B · at 20 °C"),
        ("2 of B hatched", "would note: 2 of B hatched"),
        ("20 of B hatched", "not sure: B has 12 eggs, not 20"),
        ("undo", "would take back: "),
    ],
)
async def test_the_row_says_what_it_is_taken_for_before_enter(tmp_path, text, words):
    async with opened(tmp_path) as (app, pilot):
        await typed(app, pilot, text)
        assert words in rows(app)[1]
        assert asked(app) == []


async def test_nothing_is_said_of_an_empty_line(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await typed(app, pilot, "undo")
        assert rows(app)[1]
        await pilot.press(*["backspace"] * 4)
        assert rows(app) == ["", ""]
        await rest(app, pilot)
        assert rows(app) == ["", ""]


async def test_enter_on_an_empty_line_does_nothing_so_that_the_thread_is_kept(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await send(app, pilot, "how many in jar 2")
        before = len(app.query_one("#notebook").exchanges)
        await pilot.press("enter", "space", "enter")
        await settled(app, pilot)
        assert len(app.query_one("#notebook").exchanges) == before
        await send(app, pilot, "and in jar 1?")
        assert "jar 1" in app.query_one("#notebook").exchanges[-1].answer.text and len(asked(app)) == 2


async def test_what_is_stale_is_dropped(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        app.line.value = "undo"
        app.line._hear(app.line._number - 1, "2 of B hatched")
        await settled(app, pilot)
        assert "hatched" not in app.line.rows.text


async def test_keys_that_come_fast_are_not_held_against_the_nursery(tmp_path, monkeypatch):
    async with opened(tmp_path) as (app, pilot):
        heard = []
        understood = app.desk.understood

        async def counting(text):
            heard.append(text)
            return await understood(text)

        monkeypatch.setattr(app.desk, "understood", counting)
        for one in "2 of B hatched":
            app.line.insert_text_at_cursor(one)
        await rest(app, pilot, 0.4)
        assert heard == ["2 of B hatched"]


@pytest.mark.parametrize("size", SIZES)
async def test_the_rows_are_always_there_and_nothing_jumps(tmp_path, size):
    async with opened(tmp_path, size) as (app, pilot):
        before = (app.line.region, app.line.rows.region, app.query_one("#notebook").region)
        assert app.line.rows.region.height == (2 if size[1] >= 24 else 1)
        await typed(app, pilot, "2 of B hat")
        assert app.line.rows.text.strip()
        assert (app.line.region, app.line.rows.region, app.query_one("#notebook").region) == before
        assert max(map(len, screen_text(app).splitlines())) <= size[0]
        await pilot.resize_terminal(70, 20)
        await settled(app, pilot)
        assert app.line.value == "2 of B hat" and app.line.rows.region.height == 1 and app.line.rows.text


# Choices by number


async def test_a_number_waits_for_enter_and_the_row_says_what_it_means(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await send(app, pilot, "one C died")
        assert rows(app)[0].startswith("1 1 C larva died  2 1 C prepupa died")
        await typed(app, pilot, "1")
        assert asked(app) == ["one C died"]
        assert rows(app)[0].startswith("1 → 1 C larva died") and "would note: 1 C larva died" in rows(app)[1]
        await pilot.press("enter")
        await settled(app, pilot)
        assert asked(app)[-1] == "1 C larva died"
        assert sum(row.count for row in app.sheet.rows if row.cohort == "C" and row.stage == "larva") == 6


async def test_typing_on_makes_it_ordinary_text(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await send(app, pilot, "one C died")
        await typed(app, pilot, "2 of B hatched")
        assert "→" not in rows(app)[0] and "would note: 2 of B hatched" in rows(app)[1]
        await pilot.press("enter")
        await settled(app, pilot)
        assert asked(app)[-1] == "2 of B hatched"


async def test_tab_puts_the_sentence_on_the_line_to_be_changed(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await send(app, pilot, "one C died")
        await pilot.press("1", "tab")
        assert app.line.value == "1 C larva died"
        await pilot.press("escape")
        assert app.line.value == "1"


async def test_the_questions_that_go_on_from_an_answer_have_numbers(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await send(app, pilot, "one D died, drowned")
        follow = app.line.choices
        assert follow and list(follow) == list(range(1, len(follow) + 1))
        await pilot.press("1", "enter")
        await settled(app, pilot)
        assert asked(app)[-1] == follow[1]


async def test_where_a_number_is_asked_for_a_number_is_the_answer(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await send(app, pilot, "20 of B hatched")
        assert not app.line.choices
        assert rows(app)[0] == "the number, or Tab: 12 B eggs in jar 2 hatched"
        await pilot.press("tab")
        assert app.line.value == "12 B eggs in jar 2 hatched"
        await pilot.press("escape")
        assert app.line.value == "" and rows(app)[0].startswith("the number, or Tab: ")
        await typed(app, pilot, "9")
        assert "→" not in rows(app)[0] and "would note: 9 of B hatched" in rows(app)[1]
        await pilot.press("enter")
        await settled(app, pilot)
        assert any(row.cohort == "B" and row.stage == "larva" and row.count == 9 for row in app.sheet.rows)


async def test_every_sentence_of_the_help_page_can_be_sent_by_its_number(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await send(app, pilot, "help")
        page = dict(app.line.choices)
        assert len(page) > 15 and rows(app)[0].startswith(f"1 to {len(page)}")
        question = max(set(page) - app.line.edited)
        await pilot.press(*str(question), "enter")
        await settled(app, pilot)
        assert asked(app)[-1] == page[question]


async def test_a_record_of_the_help_page_is_put_on_the_line_and_not_written_down(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await send(app, pilot, "help")
        record = min(app.line.edited)
        sentence = app.line.choices[record]
        await pilot.press(*str(record), "enter")
        await settled(app, pilot)
        assert app.line.value == sentence and asked(app) == ["help"]


# No text is lost


async def test_what_is_typed_stays_through_other_keys(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await send(app, pilot, "how many eggs do I have")
        await typed(app, pilot, "half a thou")
        for keys in "escape|escape escape|ctrl+n|f1|f2|f2|f8|f9|ctrl+t|up down|pageup|down".split("|"):
            await pilot.press(*keys.split())
            await settled(app, pilot)
            assert app.line.value == "half a thou", keys
        await pilot.resize_terminal(60, 20)
        await settled(app, pilot)
        assert app.line.value == "half a thou"


async def test_a_line_out_of_history_that_was_changed_is_not_lost_by_walking_on(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        for text in ("how many D", "help"):
            await send(app, pilot, text)
        await pilot.press("up", "up")
        assert app.line.value == "how many D"
        await pilot.press("x", "up")
        assert app.line.value == "help"
        await pilot.press("down")
        assert app.line.value == "how many Dx"


async def test_sending_an_earlier_line_again_leaves_what_was_being_typed(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await send(app, pilot, "how many D")
        await typed(app, pilot, "half a thou")
        await pilot.press("up", "enter")
        await settled(app, pilot)
        assert asked(app) == ["how many D", "how many D"] and app.line.value == "half a thou"
        await pilot.press("up", "down", "x", "enter")
        await settled(app, pilot)
        assert asked(app)[-1] == "half a thoux" and app.line.value == ""


async def test_what_is_typed_or_pasted_beside_the_line_goes_to_the_line(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await pilot.press("tab", "h", "i")
        assert app.line.value == "hi" and app.focused is app.line
        app.set_focus(app.query_one("#notebook"))
        app.post_message(events.Paste(" there"))
        await pilot.pause()
        assert app.line.value == "hi there" and app.focused is app.line
        app.set_focus(app.query_one("#notebook"))
        await pilot.press("escape")
        assert app.focused is app.line and app.line.value == "hi there"


async def test_what_was_sent_to_a_nursery_that_does_not_open_comes_back_and_can_be_sent_again(tmp_path):
    file = tmp_path / "x.db"
    file.write_text("no database " * 200, encoding="utf-8")
    app = NurseryApp(Desk(file, MOMENT))
    async with app.run_test() as pilot:
        await typed(app, pilot, "2 of B hatched")
        await pilot.press("enter")
        await settled(app, pilot)
        await settled(app, pilot)
        assert app.line.value == "2 of B hatched"
        await pilot.press("enter")
        await settled(app, pilot)
        assert app.line.value == "2 of B hatched"
        file.unlink()
        private_copy(tmp_path).rename(file)
        await pilot.press("enter")
        await settled(app, pilot)
        await settled(app, pilot)
        assert asked(app) == ["2 of B hatched"] and app.line.value == ""
        assert any(row.cohort == "B" and row.stage == "larva" for row in app.sheet.rows)
        await app.desk.close()


async def test_a_line_sent_while_the_nursery_opens_is_told_to_wait(tmp_path):
    app = NurseryApp(Desk(private_copy(tmp_path), MOMENT), demo=True)
    async with app.run_test() as pilot:
        app.line.post_message(app.line.Sent("how many eggs do I have"))
        app.sent(app.line.Sent("and of B"))
        assert "being opened" in app.line._notice
        await settled(app, pilot)
        await settled(app, pilot)
        assert sorted(asked(app)) == ["and of B", "how many eggs do I have"]
        await app.desk.close()


# History between runs


async def test_lines_and_the_unfinished_one_are_there_again_after_a_restart(tmp_path):
    nursery, lines = private_copy(tmp_path), tmp_path / "state" / "lines.jsonl"
    for run in range(2):
        app = NurseryApp(Desk(nursery, MOMENT), lines=lines)
        async with app.run_test() as pilot:
            await settled(app, pilot)
            await settled(app, pilot)
            if run == 0:
                await send(app, pilot, "how many D")
                await typed(app, pilot, "half a thou")
                await app.action_quit()
            else:
                assert app.line.value == "half a thou"
                await pilot.press("up")
                assert app.line.value == "how many D"
                await pilot.press("down")
                assert app.line.value == "half a thou"
                await app.desk.close()


async def test_the_unfinished_line_is_kept_while_the_app_goes_on_so_that_a_crash_does_not_take_it(tmp_path):
    lines = tmp_path / "lines.jsonl"
    app = NurseryApp(Desk(private_copy(tmp_path), MOMENT), lines=lines)
    async with app.run_test() as pilot:
        await settled(app, pilot)
        await pilot.press(*"half")
        await rest(app, pilot, 1.3)
        assert '["left", "half"]' in lines.read_text()
        await app.desk.close()


async def test_without_a_file_nothing_is_kept(tmp_path, monkeypatch):
    monkeypatch.setenv("NURSERYTUI_STATE", str(tmp_path / "state"))
    async with opened(tmp_path) as (app, pilot):
        await send(app, pilot, "how many D")
        await typed(app, pilot, "half")
    assert not (tmp_path / "state").exists()


# Records


async def test_a_record_is_read_back_for_a_moment_with_the_key_that_undoes_it(tmp_path, monkeypatch):
    monkeypatch.setattr("nurserytui.tui.question_line.NOTICED", 0.6)
    async with opened(tmp_path) as (app, pilot):
        await send(app, pilot, "2 of B hatched")
        assert rows(app)[1] == "noted: 2 of B hatched in jar 2; F9 takes it back"
        await rest(app, pilot, 0.8)
        assert rows(app)[1] == ""
        await pilot.press("f9")
        await settled(app, pilot)
        assert rows(app)[1] == "taken back: 2 of B hatched in jar 2"


@pytest.mark.parametrize("size", [(60, 24), (40, 24)])
async def test_where_the_row_is_narrow_the_key_stands_before_what_was_noted(tmp_path, size):
    async with opened(tmp_path, size) as (app, pilot):
        await send(app, pilot, "found 3 black swallowtail eggs on fennel, jar 9")
        assert rows(app)[-1].startswith("noted, F9 takes it back: 3 ")
        await send(app, pilot, "one C died")
        await typed(app, pilot, "1")
        assert rows(app)[0] == "Enter sends: 1 C larva died" or size[0] == 60


async def test_on_a_low_screen_what_can_be_sent_or_is_typed_comes_before_what_was_noted(tmp_path):
    async with opened(tmp_path, (80, 20)) as (app, pilot):
        await send(app, pilot, "fed tub 2")
        assert app.line.choices and rows(app)[0].startswith("1 ") and "noted" not in rows(app)[0]
        await send(app, pilot, "undo")
        assert not app.line.choices and rows(app)[0] == "taken back: tub 2 fed"
        await send(app, pilot, "2 of B hatched")
        await typed(app, pilot, "sle")
        assert rows(app)[0].startswith("Tab sleeve on the willow")


async def test_what_was_noted_is_no_longer_told_once_the_next_line_is_sent(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        for following in ("20 of B hatched", "florb wibble", "how many D"):
            await send(app, pilot, "fed tub 2")
            assert rows(app)[1].startswith("noted: tub 2 fed")
            await send(app, pilot, following)
            assert rows(app)[1] == "", following
        for _ in range(4):
            await pilot.press("f9")
            await settled(app, pilot)
        assert rows(app)[1] == ""  # the last of them had nothing left to take back


# What is in sight

LONG = "how many larvae of cohort A are in the tall cage and when do they pupate, please tell me now"


def on_the_line(app) -> str:
    at = app.line.content_region
    return screen_text(app).splitlines()[at.y][at.x :].rstrip(" │")


@pytest.mark.parametrize("size", [(80, 24), (40, 20)])
@pytest.mark.parametrize("away", ["enter", "ctrl+u", "ctrl+a ctrl+k", "escape"])
async def test_after_a_long_line_a_short_one_is_seen_from_its_first_sign(tmp_path, size, away):
    async with opened(tmp_path, size) as (app, pilot):
        await send(app, pilot, "x")
        await typed(app, pilot, LONG)
        assert app.line.scroll_offset.x > 0
        await pilot.press("up" if away == "escape" else "home", *(["end"] if away != "escape" else []))
        await pilot.press(*away.split())
        await settled(app, pilot)
        app.line.value = ""
        for text in ("5", "1 D died in tub 2", "蝶の卵"):
            await typed(app, pilot, text)
            assert on_the_line(app) == text
            app.line.value = ""


async def test_a_line_that_fits_once_the_screen_is_wider_is_seen_whole(tmp_path):
    async with opened(tmp_path, (40, 20)) as (app, pilot):
        await typed(app, pilot, LONG[:60])
        assert app.line.scroll_offset.x > 0
        await pilot.resize_terminal(80, 24)
        await settled(app, pilot)
        assert on_the_line(app) == LONG[:60]


async def test_a_read_back_too_long_for_its_row_begins_in_the_row_above_it(tmp_path):
    async with opened(tmp_path, (60, 24)) as (app, pilot):
        await typed(app, pilot, "found 3 monarch eggs on milkweed, jar 1 yesterday")
        assert rows(app)[0].startswith("would note: 3 monarch eggs found on milkweed")
        assert " ".join(rows(app)).endswith("as cohort J · on Wed 17 June")
        assert all(len(row) <= 56 for row in rows(app))


# Keys that come quickly, and keys of other programs


async def test_keys_are_taken_in_their_order_however_quickly_they_come(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        for key in (*"zz", "ctrl+u", *"how", "space", *"many", "space", "B", "enter", *"fed", "space", *"tu", "backspace", *"ub"):
            app.post_message(events.Key(key, " " if key == "space" else key if len(key) == 1 else None))
        await settled(app, pilot)
        assert asked(app) == ["how many B"] and app.line.value == "fed tub"


async def test_a_key_in_one_packet_with_escape_is_escape_and_that_key(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await pilot.pause()
        for told in ("9", "1", "-"):
            (key,) = XTermParser().feed(f"\x1b{told}")
            app.post_message(key)
        app.post_message(events.Key("alt+b", "b"))
        await settled(app, pilot)
        assert app.line.value == "91-b"
        await send(app, pilot, "how many D")
        await pilot.press("up")
        app.post_message(next(iter(XTermParser().feed("\x1b2"))))
        await settled(app, pilot)
        assert app.line.value == "2"


async def test_escape_leaves_an_earlier_line_for_what_was_being_typed(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await send(app, pilot, "how many D")
        await typed(app, pilot, "half")
        await pilot.press("up", "escape")
        assert app.line.value == "half"
        await pilot.press("up", "x", "escape")
        assert app.line.value == "how many Dx"


async def test_the_key_that_ends_other_programs_says_which_ends_this_one(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        await typed(app, pilot, "half")
        await pilot.press("ctrl+c")
        await settled(app, pilot)
        assert rows(app)[1] == "^q closes the app; everything written down is kept" and app.line.value == "half"
        assert not app._notifications


# First run


async def test_an_empty_nursery_begins_in_the_conversation(tmp_path):
    app = NurseryApp(Desk(tmp_path / "new.db", MOMENT))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await settled(app, pilot)
        told = [exchange.told for exchange in app.query_one("#notebook").exchanges if exchange.told]
        assert "Three things" in told[-1]
        for number, example, past in (
            ("1", "we are in Quillmere, units C", "the place and the units are told"),
            ("2", "the room is 22 C", "a temperature is told"),
            ("3", "found 3 monarch eggs on milkweed, jar 1", "the first animals are written down"),
        ):
            await pilot.press(number)
            assert app.line.rows.text.startswith(f"{number} → {example}")
            await pilot.press("enter")
            await settled(app, pilot)
            assert app.line.value == example and example not in asked(app)
            await pilot.press("enter")
            await settled(app, pilot)
            told = [exchange.told for exchange in app.query_one("#notebook").exchanges if exchange.told]
            assert asked(app)[-1] == example and told[-1].startswith(f"Done: {past}")
        assert app.line.edited == frozenset() and "all there is" in told[-1]
        with Store.open(tmp_path / "new.db", read_only=True) as store:
            assert [event.what for event in store.events()] == ["setting", "setting", "temperature", "found"]
        await app.desk.close()


async def test_in_a_new_nursery_numbers_mean_one_list_at_a_time(tmp_path):
    app = NurseryApp(Desk(tmp_path / "new.db", MOMENT))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await settled(app, pilot)
        await send(app, pilot, "found 5 monarch larvae on milkweed, jar 1")
        told = [exchange.told for exchange in app.query_one("#notebook").exchanges if exchange.told]
        assert "\n1  name the place" in told[-1] and app.line.choices[1] == "we are in Quillmere, units C"
        await send(app, pilot, "how many A")
        follow = app.query_one("#notebook").exchanges[-1].answer.next
        assert follow and app.line.choices == dict(enumerate(follow, 1)) and app.line.edited == frozenset()
        await send(app, pilot, "fed jar 1")
        assert list(app.line.choices) == list(app.query_one("#notebook").exchanges[-1].choices)
        await send(app, pilot, "undo")
        assert not app.query_one("#notebook").exchanges[-1].choices
        assert app.line.choices == {1: "we are in Quillmere, units C", 2: "the room is 22 C"}
        await app.desk.close()


async def test_a_nursery_with_animals_is_not_told_how_to_begin(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        assert app.sheet.steps == () and not app.line.choices


@pytest.mark.parametrize("size", [(120, 36), (80, 24)])
async def test_the_first_screen_of_an_empty_nursery_is_as_it_was_kept(tmp_path, size):
    app = NurseryApp(Desk(tmp_path / "new.db", MOMENT))
    async with app.run_test(size=size) as pilot:
        await settled(app, pilot)
        await settled(app, pilot)
        await typed(app, pilot, "3")
        kept("first-run", app)
        await app.desk.close()


# Hostile text


@pytest.mark.parametrize(
    "text",
    [
        "[/b][@click=app.bell]x[/]",
        "[link='x",
        "\u202eback \u2066iso",
        "e\u0301\u0301\u0301" * 40,
        "漢字の名前🦋" * 30,
        "x" * 10_000,
        "\x1b[31mred\x07",
        "how long " * 1200,
    ],
    ids=["markup", "half markup", "bidi", "combining", "wide", "long word", "escape", "long line"],
)
async def test_any_pasted_text_stands_on_the_line_and_can_be_sent(tmp_path, text):
    async with opened(tmp_path, (40, 20)) as (app, pilot):
        app.line.post_message(events.Paste(text))
        await rest(app, pilot)
        shown = screen_text(app)
        assert app.line.value == clean(text) and len(app.line.value) == len(text)
        assert not {"\x1b", "\x07", "\u202e", "\u2066"} & set(shown)
        await pilot.press("tab", "escape", "enter")
        await settled(app, pilot)
        assert asked(app)[-1] == clean(text).strip() and app.is_running


async def test_pasted_lines_are_kept_whole_and_sent_one_by_one(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        app.line.post_message(events.Paste("2 of B hatched\r\n\r\n  fed tub 2\none D died, drowned\n"))
        await rest(app, pilot)
        assert app.line.value == f"2 of B hatched {LINE_END} fed tub 2 {LINE_END} one D died, drowned"
        assert rows(app)[1] == "3 lines, each is sent by itself"
        await pilot.press("enter")
        for _ in range(4):
            await settled(app, pilot)
        assert asked(app) == ["2 of B hatched", "fed tub 2", "one D died, drowned"]
        assert sum(row.count for row in app.sheet.rows if row.cohort == "D") == 12


async def test_lines_behind_one_that_is_asked_back_wait_on_the_line(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        app.line.post_message(events.Paste("one C died\nfed tub 2\ncleaned tub 1"))
        await pilot.pause()
        await pilot.press("enter")
        for _ in range(3):
            await settled(app, pilot)
        assert asked(app) == ["one C died"] and app.line.value == f"fed tub 2 {LINE_END} cleaned tub 1"
        assert "rest of the lines waits" in rows(app)[1]


async def test_lines_pasted_together_are_not_offered_together_again(tmp_path):
    """Some of them are written down: sent once more they would be written twice."""
    async with opened(tmp_path) as (app, pilot):
        app.line.post_message(events.Paste("2 D died of a virus\none C died"))
        await pilot.pause()
        await pilot.press("enter")
        for _ in range(4):
            await settled(app, pilot)
        app.line.value = ""
        await typed(app, pilot, "2 D died")
        assert LINE_END not in app.line.rows.text
        await pilot.press("tab")
        assert LINE_END not in app.line.value


async def test_a_hostile_history_file_steers_nothing(tmp_path):
    lines = tmp_path / "lines.jsonl"
    lines.write_text('["sent", "\\u001b[31mred\\nnext [/b]"]\n["left", "\\u202eleft\\r\\nover"]\n')
    app = NurseryApp(Desk(private_copy(tmp_path), MOMENT), lines=lines)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(app, pilot)
        await settled(app, pilot)
        assert app.line.value == f"\ufffdleft {LINE_END} over"
        await pilot.press("up")
        assert app.line.value == f"\ufffd[31mred {LINE_END} next [/b]" and "\x1b" not in screen_text(app)
        await app.desk.close()
