"""The terminal app: a notebook of the conversation, the board of cohorts beside it, one line to type on."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from textual import events, on, work
from textual.actions import parse
from textual.app import App, ComposeResult, SystemCommand
from textual.binding import Binding
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from nurserytui.tui.desk import Desk, Sheet
from nurserytui.tui.doing_row import DoingRow
from nurserytui.tui.keys_row import KeysRow, bound
from nurserytui.tui.leaf import Leaf
from nurserytui.tui.leaves import LEAVES
from nurserytui.tui.line_rows import LineRows
from nurserytui.tui.notebook import Notebook
from nurserytui.tui.question_line import QuestionLine
from nurserytui.tui.sent_lines import SentLines, lines_of
from nurserytui.tui.themes import LAMP, PAPER
from nurserytui.tui.words import board_lines, short, strip_line

WIDE = 92
"""Columns from which the board stands beside the notebook instead of in one line above it."""
TALL = 24
"""Rows from which the line has two quiet rows under it instead of one."""
GO_ON = 0.05
"""Seconds until the desk goes on with a board that is not all worked out; what is typed meanwhile comes first."""
LOOK_EVERY = 2.0
"""Seconds between looks at the clock and at the file; nothing is drawn unless something changed."""
NOT_WRITTEN = "Nothing was written"
"""How the assistant's answer begins when the file could not be used."""
GREETING = "Ask about your animals or write down what happened, in your own words. “help” shows what can be said."
DEMO_GREETING = (
    "This is a private copy of an invented school garden's nursery, on a morning of its season: nothing you do here is kept.\n"
    "Try: how long until cohort B hatches · which host plant suits a black swallowtail egg · how much bleach for a 2 cup dish at 10%"
)


def _key(key: str, action: str, label: str, does: str, *, show: bool = True) -> Binding:
    return bound(key, action, label, does, show=show, priority=True)


class NurseryApp(App[int]):
    """Draws answers and asks the desk; everything else is the assistant's."""

    TITLE = "nurserytui"
    CSS_PATH = "style.tcss"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (WIDE, "-wide")]
    VERTICAL_BREAKPOINTS = [(0, "-low"), (TALL, "-tall")]
    BINDINGS = [
        _key("f1", "tell('help')", "Help", "What can be asked and written down, as sentences to send"),
        _key("f2", "board", "Board", "The board of all animals; from elsewhere, back to the conversation"),
        _key("f3", "leaf('round')", "Round", "What needs doing today, to tick off"),
        _key("f4", "leaf('calendar')", "Calendar", "All cohorts in time: what was, what is to come"),
        _key("f5", "leaf('cohort')", "Cohort", "One cohort's page"),
        _key("f6", "leaf('season')", "Season", "Survival, losses and warmth of the season as plots and numbers"),
        _key("f7", "leaf('facts')", "Facts", "Look things up in the knowledge base"),
        _key("f8", "working", "Working", "Unfold or fold the working and sources of an answer"),
        _key("f9", "tell('undo')", "Undo", "Take back what was written down last"),
        _key("ctrl+n", "fresh", "New page", "What was spoken of before is no longer meant"),
        _key("ctrl+t", "light", "Paper or lamp", "Change between the light page and the dark one", show=False),
        _key("pageup", "turn(-1)", "Earlier", "Scroll the conversation back", show=False),
        _key("pagedown", "turn(1)", "Later", "Scroll the conversation on", show=False),
        _key("ctrl+up", "walk(-1)", "The answer before", "Walk to an earlier answer, to unfold its working", show=False),
        _key("ctrl+down", "walk(1)", "The answer after", "Walk to a later answer", show=False),
        _key("ctrl+o", "errand('import')", "Import", "Events or logger readings from a CSV file, all or nothing", show=False),
        Binding("escape", "stop", "Stop", tooltip="Stop what the desk is doing; nothing of it is kept"),
        _key("escape", "page", "Back", "From the board back to the page"),
        _key("ctrl+q", "quit", "Quit", "Close the app; everything written down is kept"),
    ]

    def __init__(self, desk: Desk, *, demo: bool = False, lines: Path | None = None) -> None:
        """`lines` is the file in which typed lines are kept between runs; None keeps none."""
        super().__init__()
        self.register_theme(PAPER)
        self.register_theme(LAMP)
        self.set_reactive(App.theme, LAMP.name)  # before anything is drawn, so that nothing is drawn twice
        self.stylesheet.set_variables(self.get_css_variables())
        self.desk = desk
        self.demo = demo
        self.sheet: Sheet | None = None
        self.line = QuestionLine(LineRows(), desk, SentLines(lines, desk.aside))
        self._queue: list[QuestionLine.Sent] = []
        self._failed = False
        self._long = 0
        """How many things that may take long the desk was given."""

    @property
    def conversation(self) -> Screen:
        """The screen of the notebook page and the board, whichever leaf is in front."""
        return self.screen_stack[0]

    def compose(self) -> ComposeResult:
        yield Static("", id="strip")
        with Horizontal(id="desk"):
            yield Notebook(id="notebook")
            with VerticalScroll(id="board"):
                yield Static("", id="head")
                yield Static("", id="rows")
        yield DoingRow(self.desk)
        yield self.line
        yield self.line.rows
        yield KeysRow()

    def on_mount(self) -> None:
        self.line.focus()
        self.call_after_refresh(self.open_nursery)
        self.set_interval(LOOK_EVERY, self.look)

    @work(exclusive=True, group="open", exit_on_error=False)
    async def open_nursery(self) -> None:
        """Read the nursery once the first frame stands, then send what was typed meanwhile."""
        gc.freeze()
        gc.enable()
        if not self._failed:
            await self.tell(DEMO_GREETING if self.demo else GREETING)
            self.line.resume(*await self.desk.apart(self.line.kept.read))
        try:
            with self.doing_shown():
                sheet = await self.desk.open()
        except Exception as error:
            self._failed = True
            await self.tell(
                f"The nursery could not be opened: {error}\nEnter on a line tries again; what was typed stays on the line."
            )
            self.line.give_back([message.text for message in self._queue if message.typed])
            self._queue.clear()
            return
        gc.freeze()  # knowledge and records stay: looking through them for garbage again and again would hold up the screen
        await self._begin(sheet)
        self.show(sheet)
        for message in self._queue:
            self.answer(message.text)
        self._queue.clear()

    @on(QuestionLine.Sent)
    def sent(self, message: QuestionLine.Sent) -> None:
        if not message.text.strip():
            return  # a second Enter of somebody who waits is no new conversation
        if self.sheet is None:
            self._queue.append(message)
            if self._failed:
                self.open_nursery()
            else:
                self.line.notice("the nursery is being opened; this will be sent then")
        else:
            self.answer(message.text)

    @work(group="answers", exit_on_error=False)
    async def answer(self, text: str) -> None:
        """Send one line to the desk and write its answer down."""
        notebook = self.conversation.query_one(Notebook)
        if self._board_hides_the_page:
            self.action_page()
        number = await notebook.ask(text, self.desk.now())
        try:
            with self.doing_shown():
                answer, sheet = await self.desk.reply(text)
        except Exception as error:
            await self.tell(f"That did not work: {error}. Nothing was written.")
            self.line.give_back([text])
            return
        notebook.say(number, answer, sheet.choices)
        self.line.answered(answer, sheet.choices, sheet.edited, self._key_of("tell('undo')"))
        if answer.status == "unknown" and answer.text.startswith(NOT_WRITTEN) and not self.line.value:
            self.line.give_back([text])  # the file could not take it now; it can be sent again
        if answer.status != "clarify":
            await self._begin(sheet)
        self.show(sheet)

    async def _begin(self, sheet: Sheet) -> None:
        """In a nursery that was found empty: what there is to do first, and what of it is done."""
        if sheet.steps:
            from nurserytui.answers.beginning import told

            words = told(sheet.steps, self.sheet.steps if self.sheet else ())
            if words:
                await self.tell(words)
            if words or not sheet.choices:  # one numbered list at a time: what the newest answer offers, else the steps
                self._offer_steps(sheet)

    def _offer_steps(self, sheet: Sheet) -> None:
        """The sentences of the first steps that are not done, by their numbers, to be changed and sent."""
        if not all(step.done for step in sheet.steps):
            from nurserytui.answers.beginning import choices

            left = choices(sheet.steps)
            self.line.offer(left, frozenset(left))

    def _key_of(self, action: str) -> str:
        """The key that does something, as it is written on it."""
        return next((binding.key.upper() for binding in self.BINDINGS if binding.action == action), "")

    @work(exclusive=True, group="look", exit_on_error=False)
    async def look(self) -> None:
        """Follow the clock, and what another process may have written."""
        if self.sheet is not None and (sheet := await self.desk.watch()) is not None:
            self.show(sheet)

    async def tell(self, text: str) -> None:
        """Write a remark of the program's own on the page."""
        await self.conversation.query_one(Notebook).tell(text, self.desk.now())

    def show(self, sheet: Sheet) -> None:
        """Draw the board, and the one line that stands for it on narrow screens."""
        before, self.sheet = self.sheet, sheet
        going_on = before is not None and before.pending and before.version == sheet.version
        self.line.follow(sheet.version, anew=bool(sheet.told))
        if sheet.told:
            self.call_later(self.tell, sheet.told)
        if sheet.pending:
            self.set_timer(GO_ON, self.look)
        if isinstance(self.screen, Leaf) and not going_on:
            self.screen.follow()
        head = Content(
            f"{short(sheet.place or 'Your nursery', 24)}\n{sheet.now:%A} {sheet.now.day} {sheet.now:%B} {sheet.now:%Y}, {sheet.now:%H:%M}"
        )
        self.conversation.query_one("#head", Static).update(head)
        self.conversation.query_one("#rows", Static).update(board_lines(sheet.rows, sheet.now, 36))
        self.conversation.query_one("#strip", Static).update(strip_line(sheet.rows, sheet.now, max(self.size.width - 2, 10)))

    def on_key(self, event: events.Key) -> None:
        """What is typed while the page or the board is being looked at goes to the line; Escape goes back to it."""
        if self.screen is self.conversation and self.focused is not self.line:
            if event.is_printable and event.character:
                self.line.focus()
                self.line.insert_text_at_cursor(event.character)
            elif event.key == "escape":
                self.line.focus()

    def on_paste(self, event: events.Paste) -> None:
        if self.screen is self.conversation and self.focused is not self.line:
            self.line.focus()
            self.line.on_paste(event)

    @contextmanager
    def doing_shown(self) -> Iterator[None]:
        """The desk is given something that may take long: a row follows it on every screen."""
        self._long += 1
        self._rows_of_doing(DoingRow.follow)
        try:
            yield
        finally:
            self._long -= 1
            if not self._long:
                self._rows_of_doing(DoingRow.rest)

    def _rows_of_doing(self, act: Callable[[DoingRow], None]) -> None:
        for screen in self.screen_stack:
            for row in screen.query(DoingRow):
                act(row)

    def action_errand(self, name: str) -> None:
        """Begin long work (`errands.ERRANDS`)."""
        from nurserytui.tui.errands import begin

        begin(self, name)

    def action_stop(self) -> None:
        """Have the desk stop long work."""
        self.desk.stop()

    def action_send(self, text: str) -> None:
        """Send a sentence as if it had been typed; what stands on the line stays there."""
        self.sent(QuestionLine.Sent(text, typed=False))

    def get_key_display(self, binding: Binding) -> str:
        """Keys as they are printed on a keyboard; `^` for the control key."""
        shown = super().get_key_display(binding)
        return shown.replace("f", "F", 1) if binding.key[1:].isdigit() else shown

    def get_system_commands(self, screen: Screen) -> Iterable[SystemCommand]:
        """Every action that can be taken here, for the palette: those of the leaf in front first."""
        of_the_place = [
            (node, binding) for node, binding, enabled, _ in screen.active_bindings.values() if enabled and node is not self
        ]
        # The palette is in front by now, so what applies on the screen beneath is asked anew.
        own = [(self, binding) for binding in self.BINDINGS if self._applies(*parse(binding.action)[1:], screen)]
        named: set[str] = set()
        for node, binding in [*of_the_place, *own]:
            if binding.tooltip and binding.tooltip not in named:
                named.add(binding.tooltip)
                title = f"{binding.description} ({self.get_key_display(binding)})"
                yield SystemCommand(title, binding.tooltip, partial(self.run_action, binding.action, node))
        from nurserytui.tui.errands import commands

        for title, does, call in commands(self):
            yield SystemCommand(title, does, call)

    def check_action(self, action: str, parameters: tuple) -> bool | None:
        """Whether an action can be taken on the screen in front."""
        return self._applies(action, parameters, self.screen)

    def _applies(self, action: str, parameters: tuple, screen: Screen) -> bool:
        """A leaf is turned to only where there is one; what is about the page works where the page is; nothing behind a question."""
        if action == "stop":
            return self.desk.stoppable
        if action == "page":
            return screen is self.conversation and self._board_hides_the_page
        if action in ("working", "fresh", "turn", "walk"):
            return screen is self.conversation
        if action in ("tell", "board", "leaf", "errand"):
            return (screen is self.conversation or isinstance(screen, Leaf)) and (action != "leaf" or parameters[0] in LEAVES)
        return True

    def action_board(self) -> None:
        """To the conversation from a leaf. There the board is brought in front of the page and back; where it stands beside the page it is
        first gone to, to be scrolled, and then put away."""
        if isinstance(self.screen, Leaf):
            self.action_home()
            return
        page, board = self.conversation, self.conversation.query_one("#board")
        if page.has_class("-narrow"):
            page.toggle_class("board-forward")
            (board if self._board_hides_the_page else self.line).focus()
        elif not page.has_class("board-away") and self.focused is not board:
            board.focus()
        else:
            page.toggle_class("board-away")
            self.line.focus()

    @property
    def _board_hides_the_page(self) -> bool:
        """On narrow screens the board stands in the place of the page."""
        return self.conversation.has_class("board-forward") and self.conversation.has_class("-narrow")

    def action_page(self) -> None:
        """From the board back to the page."""
        self.conversation.remove_class("board-forward")
        self.line.focus()

    def action_light(self) -> None:
        """Change between the light theme and the dark one."""
        self.theme = "paper" if self.theme == "lamp" else "lamp"

    def action_working(self) -> None:
        """Unfold the newest answer's working and sources, or fold them."""
        if not self.conversation.query_one(Notebook).fold():
            self.line.notice("no working and no sources lie under this")

    def action_walk(self, step: int) -> None:
        """Walk to the exchange before or after."""
        self.conversation.query_one(Notebook).walk(step)

    def action_turn(self, pages: int) -> None:
        """Scroll the conversation, or the board that stands in its place, by so many screens."""
        shown = self.conversation.query_one("#board" if self._board_hides_the_page else "#notebook")
        shown.scroll_relative(y=pages * max(shown.size.height - 1, 1), animate=False)

    @work(group="answers", exit_on_error=False)
    async def action_fresh(self) -> None:
        """A new page: nothing is referred to any more."""
        if self.sheet is not None:
            await self.desk.fresh()
            self.line.offer({})
            self._offer_steps(self.sheet)
            await self.tell("New page: what was spoken of before is no longer meant.")

    @work(exclusive=True, group="leaf", exit_on_error=False)
    async def action_leaf(self, name: str, *of: str) -> None:
        """Turn to a leaf (`LEAVES`). One about something that the leaf in front shows lies on top of it; any other in its place."""
        module, kind = LEAVES[name].split(":")
        leaf = getattr(await self.desk.fetch(module), kind)(*of)
        if not of:
            while len(self.screen_stack) > 2:
                self.pop_screen()
        if isinstance(self.screen, Leaf) and not of:
            await self.switch_screen(leaf)
        else:
            await self.push_screen(leaf)

    def action_back(self) -> None:
        """Back from a leaf to the one beneath it, or to the conversation; what stands on the line stays there."""
        if len(self.screen_stack) > 1:
            self.pop_screen()

    def action_home(self) -> None:
        """Back to the conversation from wherever it is."""
        while len(self.screen_stack) > 1:
            self.pop_screen()

    def action_tell(self, text: str) -> None:
        """From a leaf: back to the conversation, and say this there."""
        self.action_home()
        self.action_send(text)

    def action_help_quit(self) -> None:
        """Whoever presses the key that ends other programs is told which one ends this, beside the line and not over it."""
        if self.screen is self.conversation:
            self.line.notice(f"{self.get_key_display(Binding('ctrl+q', 'quit'))} closes the app; everything written down is kept")
        else:
            super().action_help_quit()

    async def action_quit(self) -> None:
        await self.leave(0)

    async def leave(self, code: int) -> None:
        """End with that exit code."""
        await self.put_away()
        self.exit(code)

    async def put_away(self) -> None:
        """Close the file; what stands on the line is kept for the next time."""
        self.line.kept.leave(self.line.value, now=True)
        await self.desk.close()


def run(path: Path, now, *, demo: bool = False, mouse: bool = True) -> int:
    """Open the app on the nursery at `path`; `now` is the moment it starts at, None for the clock. Returns the exit code."""
    import asyncio

    from nurserytui.tui import ending

    lines = None if demo else lines_of(path)
    return asyncio.run(ending.run(NurseryApp(Desk(path, now, backups=not demo), demo=demo, lines=lines), mouse=mouse))
