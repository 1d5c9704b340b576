"""The page: all of the conversation is kept, a window of it is mounted, the margin says what stands beside it."""

from __future__ import annotations

from datetime import datetime

import pytest
from screens import SIZES, opened, screen_text, send, settled

from nurserytui.answers.answer import Answer
from nurserytui.tui.exchange import Exchange, passages
from nurserytui.tui.notebook import MOUNTED, Entry, Notebook

NOON = datetime(2026, 6, 18, 12, 0)


async def filled(app, pilot, number: int) -> Notebook:
    notebook = app.query_one(Notebook)
    for one in range(number):
        await notebook.tell(f"remark {one} of many", NOON)
    await settled(app, pilot)
    return notebook


def numbers(notebook) -> list[int]:
    return [entry.number for entry in notebook.query(Entry).results()]


async def test_a_long_conversation_keeps_a_window_mounted(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        notebook = await filled(app, pilot, MOUNTED + 30)
        assert len(numbers(notebook)) == MOUNTED and numbers(notebook)[-1] == len(notebook.exchanges) - 1
        assert f"remark {MOUNTED + 29} of many" in screen_text(app)


async def test_scrolling_up_brings_back_all_of_it_and_down_again(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        notebook = await filled(app, pilot, 3 * MOUNTED)
        for _ in range(200):
            await pilot.press("pageup")
            assert len(numbers(notebook)) <= MOUNTED
            if numbers(notebook)[0] == 0 and notebook.scroll_y == 0:
                break
        assert "remark 0 of many" in screen_text(app)
        for _ in range(200):
            await pilot.press("pagedown")
            if numbers(notebook)[-1] == len(notebook.exchanges) - 1 and notebook.scroll_y >= notebook.max_scroll_y:
                break
        assert f"remark {3 * MOUNTED - 1} of many" in screen_text(app)


async def test_a_page_up_passes_over_nothing_where_older_exchanges_are_fetched(tmp_path):
    """Each screen begins where the one below it ends, or shows a line of it again."""
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        notebook = await filled(app, pilot, 3 * MOUNTED)
        seen: set[int] = set()
        for _ in range(100):
            seen |= {int(line.split("remark ")[1].split()[0]) for line in screen_text(app).splitlines() if "remark " in line}
            if numbers(notebook)[0] == 0 and notebook.scroll_y == 0:
                break
            await pilot.press("pageup")
            await pilot.pause()
        assert seen == set(range(3 * MOUNTED))


async def test_the_reader_who_scrolled_up_comes_back_to_the_newest_with_the_next_line(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        notebook = await filled(app, pilot, 3 * MOUNTED)
        for _ in range(20):
            await pilot.press("pageup")
        await send(app, pilot, "how many D")
        assert numbers(notebook)[-1] == len(notebook.exchanges) - 1 and "how many D" in screen_text(app)
        assert numbers(notebook) == list(range(numbers(notebook)[0], numbers(notebook)[-1] + 1))


async def test_where_nothing_is_folded_the_key_says_so(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await pilot.press("f8")
        await settled(app, pilot)
        assert "no working and no sources" in screen_text(app)


async def test_a_remark_higher_than_the_page_is_read_from_its_first_line(tmp_path):
    async with opened(tmp_path, (40, 20)) as (app, pilot):
        await app.tell("It begins here. " + "Many words follow, more than the page has room for. " * 12)
        await settled(app, pilot)
        assert "It begins here." in screen_text(app)


async def test_an_older_answer_is_walked_to_and_unfolded_by_keys(tmp_path):
    async with opened(tmp_path, (120, 50)) as (app, pilot):
        await send(app, pilot, "how long until cohort B hatches")
        await send(app, pilot, "how many larvae")
        await pilot.press("ctrl+up", "ctrl+up", "f8")
        await settled(app, pilot)
        assert "degree-days" in screen_text(app) and len(app.query(".chosen")) == 1
        await pilot.press("f8", "ctrl+down", "ctrl+down")
        await settled(app, pilot)
        assert "degree-days" not in screen_text(app) and not app.query(".chosen")


async def test_answers_come_under_their_own_lines(tmp_path):
    async with opened(tmp_path, (120, 50)) as (app, pilot):
        app.action_send("how many eggs of B")
        app.action_send("how many larvae of D")
        await settled(app, pilot)
        asked = [(one.asked, one.answer.text) for one in app.query_one(Notebook).exchanges if one.asked]
        assert [text for text, _ in asked] == ["how many eggs of B", "how many larvae of D"]
        assert "12" in asked[0][1] and "13" in asked[1][1]


@pytest.mark.parametrize("width", [60, 40, 160])
async def test_resizing_keeps_what_is_being_read(tmp_path, width):
    async with opened(tmp_path, (100, 24)) as (app, pilot):
        notebook = app.query_one(Notebook)
        for number in range(30):
            await notebook.tell(f"remark {number} " + "of many words that have to be broken into lines " * (1 + number % 4), NOON)
        await settled(app, pilot)
        await pilot.press("pageup", "pageup")
        await settled(app, pilot)
        top = next(line.split("remark ")[1].split()[0] for line in screen_text(app).splitlines() if "remark " in line)
        await pilot.resize_terminal(width, 24)
        await settled(app, pilot)
        await settled(app, pilot)
        rows = screen_text(app).splitlines()[: 24 - 8]
        assert any(f"remark {top} " in row for row in rows)
        await pilot.press(*["pagedown"] * 12)
        await pilot.resize_terminal(100, 24)
        await settled(app, pilot)
        assert notebook.scroll_y == notebook.max_scroll_y


async def test_no_exchange_is_mounted_twice(tmp_path):
    """A page that scrolls by itself while the next line is being added fetches nothing that is just coming."""
    async with opened(tmp_path, (120, 36)) as (app, pilot):
        for line in ("what should I do today", "2 of B hatched this morning", "one C died"):
            await send(app, pilot, line)
        notebook = app.query_one(Notebook)
        assert numbers(notebook) == list(range(len(notebook.exchanges)))
        assert "1. 1 C larva died" in screen_text(app)


async def test_a_line_sent_while_a_long_answer_is_being_shown_is_followed(tmp_path):
    async with opened(tmp_path, (80, 24)) as (app, pilot):
        app.action_send("what do monarchs eat")
        app.action_send("how many larvae of D")
        await settled(app, pilot)
        assert "how many larvae of D" in screen_text(app)


async def test_what_is_selected_is_copied_without_the_margin(tmp_path):
    async with opened(tmp_path, (60, 30)) as (app, pilot):
        await send(app, pilot, "how many larvae of D")
        entry = app.query(Entry).last()
        await pilot.mouse_down(entry, offset=(10, 0))
        await pilot.hover(entry, offset=(14, 1))
        await pilot.mouse_up(entry, offset=(14, 1))
        said = entry.exchange.answer.text
        assert app.screen.get_selected_text() == f"how many larvae of D\n{said[:5]}"


@pytest.mark.parametrize("size", SIZES)
async def test_no_row_is_broken_by_wide_characters(tmp_path, size):
    async with opened(tmp_path, size) as (app, pilot):
        await send(app, pilot, "note: 漢字の名前🦋 " * 12)
        rows = [line for line in screen_text(app).splitlines()[: app.line.region.y] if "漢" in line]
        assert rows and all(line[10:11] in "│ " or "│" in line[:12] for line in rows)


@pytest.mark.parametrize(
    ("status", "margin", "rule"),
    [
        ("answered", "", "│"),
        ("recorded", "noted", "║"),
        ("clarify", "which?", "┆"),
        ("unknown", "unsure", "┆"),
        ("refused", "no", "┃"),
    ],
)
def test_what_kind_of_answer_it_is_stands_in_the_margin_and_in_the_rule(status, margin, rule):
    said = passages(Exchange(NOON, "a line", Answer(status, "help", "text")))[1]
    assert (said.margin, said.rule) == (margin, rule)


def test_the_day_stands_above_the_first_of_its_exchanges():
    first, second = passages(Exchange(NOON, "a line", new_day=True))[:2]
    assert (first.margin, first.text.plain, second.margin) == ("18 Jun", "Thursday", "12:00")


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("B hatches Thu 18 June (2026-06-18), soon", "B hatches Thu 18 June, soon"),
        ("in Sat 3 July 2027 (2027-07-03)", "in Sat 3 July 2027"),
        ("(Thu 26 November 2026, 08:30 (2026-11-26))", "(Thu 26 November 2026, 08:30)"),
        ("after 2026-06-18 (2026-06-19)", "after 2026-06-18 (2026-06-19)"),
    ],
)
def test_a_day_in_words_is_not_said_again_in_figures(text, shown):
    assert passages(Exchange(NOON, answer=Answer("answered", "help", text)))[0].text.plain == shown


def test_what_a_number_would_send_has_it_before_it_and_only_under_the_newest():
    exchange = Exchange(NOON, "a line", Answer("answered", "help", "text", next=("why", "history of B")), choices={1: "why"})
    assert "1. why\n· history of B" in passages(exchange, newest=True)[1].text.plain
    assert "why" not in passages(exchange)[1].text.plain


async def test_where_a_number_is_a_count_no_sentence_has_one(tmp_path):
    async with opened(tmp_path) as (app, pilot):
        await send(app, pilot, "40 of B hatched")
        offered = app.query_one(Notebook).exchanges[-1].answer.options
        assert offered and not app.line.choices
        assert f"· {offered[0]}" in screen_text(app) and "1. " not in screen_text(app)
