"""The round as a leaf: a list to tick off, each tick written down through the assistant and taken back by one key."""

from __future__ import annotations

import asyncio

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Container
from textual.widgets import Static

from nurserytui.answers.tasks import Task
from nurserytui.pages.round import KINDS, PERIODS, Entry, Item, Round, around_after, narrowed
from nurserytui.tui.below import Asked, Remark
from nurserytui.tui.keys_row import bound
from nurserytui.tui.leaf import Leaf
from nurserytui.tui.leaves import LEAVES
from nurserytui.tui.question_line import QuestionLine
from nurserytui.tui.round_choices import CARE, MOVES, Choice, asked_back, asking, before_moving, pages_of
from nurserytui.tui.round_rows import Laid, choosing, heading, lay_out, read_back, settling
from nurserytui.tui.round_why import DEEPER, Behind
from nurserytui.tui.tick_list import TickList


class RoundLeaf(Leaf):
    HEADING = "Round"
    AUTO_FOCUS = "#ticks"
    BINDINGS = [
        bound("space", "tick", "Tick", "Write down that the task under the cursor is done"),
        bound(
            "enter", "further", "Why, then tick", "Show the reasons of the task where they are folded, else tick it", show=False
        ),
        bound("w", "why", "Why", "Unfold the reasons, then the working and its sources under them, then fold both"),
        bound("u", "back", "Undo", "Take back exactly the record under the cursor"),
        bound("d", "days", "Days", "Today, three days, the week"),
        bound("f", "kind", "Kind", "All work, or what is to feed, to clean, to look at, to move"),
        bound("p", "place", "Place", "Only the enclosure under the cursor, or everywhere"),
        bound("c", "cohort", "Cohort", "The page of the cohort that the task is about"),
        bound("left", "fold(True)", "Fold", "Fold the single tasks of a line for several enclosures", show=False),
        bound("right", "fold(False)", "Unfold", "Show the single tasks of a line for several enclosures", show=False),
        bound("escape", "leave", "Back", "Leave the question, stop what is being written, or go back to the conversation"),
    ]
    DEFAULT_CSS = """
    RoundLeaf #choosing { height: 1; padding: 0 1; link-style: none; link-background: transparent; link-color: $foreground; }
    RoundLeaf #around { height: 1fr; layout: vertical; }
    RoundLeaf #why { display: none; height: auto; max-height: 50%; border-top: solid $panel; padding: 0 1; scrollbar-size-vertical: 1; }
    RoundLeaf.-reasons #why { display: block; }
    RoundLeaf.-wide #around { layout: horizontal; }
    RoundLeaf.-wide #why { width: 40%; height: 1fr; max-height: 100%; border-top: none; border-left: solid $panel; padding: 1 1 0 1; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._period, self._kind, self._place = "today", "", ""
        self._page: Round | None = None
        self._laid = Laid([], {}, {}, {})
        self._ticked: tuple[tuple[Task, str], ...] = ()
        """Tasks that were ticked here, with the records that did it."""
        self._fresh: tuple[tuple[Task, str], ...] = ()
        """Those of them by a look or by care that are not drawn yet: they may settle other tasks too."""
        self._awaited: set[str] = set()
        """Items that are written, but not read again yet."""
        self._told: tuple[str, str] = ("", "")
        """What was read back last, and what was said after it."""
        self._newest: tuple[str, ...] = ()
        """The records that were read back last."""
        self._turned: set[str] = set()
        self._writing: set[str] = set()
        self._choices: tuple[Choice, ...] = ()
        self._asked_at = ""
        """The row that the question which stands is about."""
        self._useful: tuple[str, ...] = ()
        self._reasons: str | None = None
        """How far the reasons are unfolded: "", `reasons` or `working`; None until the keeper says."""
        self._stopped = False
        self._turn = asyncio.Lock()

    def body(self) -> ComposeResult:
        yield Static("", id="choosing")
        with Container(id="around"):
            yield TickList(id="ticks")
            yield Behind(id="why")
        yield Asked()
        yield Remark()

    def page(self, nursery) -> Round:
        return around_after(nursery, self._period, self._ticked, self._page, self._fresh)

    def draw(self, page: Round) -> None:
        self._page = page
        self._awaited.clear()
        drawn = {item.done.which for item in page.items if item.done}
        self._fresh = tuple(one for one in self._fresh if one[1] not in drawn)
        if page.settled:
            self._ticked += page.settled
            if self._told[0]:
                self._tell_noted(page.settled)
        self._show()

    def _show(self) -> None:
        """Draw what was read, as it is narrowed."""
        if self._page is None or not self._here:
            return
        page = narrowed(self._page, self._kind, self._place)
        self._laid = lay_out(page, self._turned, self._writing | self._awaited)
        width = max(self.size.width - 2, 10)
        self.head(heading(page, width - len(self.HEADING) - 2))
        self.query_one("#choosing", Static).update(choosing(self._period, self._kind, self._place, width))
        self.query_one(TickList).show(self._laid.rows)
        self._explain()
        self._offer_keys()

    def on_resize(self, _: events.Resize) -> None:
        self.call_after_refresh(self._show)

    @property
    def _here(self) -> bool:
        """Whether the leaf was not turned meanwhile."""
        return self.is_running and self in self.app.screen_stack

    # What is under the cursor ------------------------------------------------------------------------------------------------

    @property
    def _key(self) -> str:
        return self.query_one(TickList).current

    def _meant(self) -> tuple[Item, ...]:
        """The items under the cursor: one, or all of a gathered line."""
        key = self._key
        if key in self._laid.entries:
            return self._laid.entries[key].items
        return (self._laid.items[key],) if key in self._laid.items else ()

    @property
    def _depth(self) -> str:
        """How far the reasons are unfolded."""
        return self._reasons if self._reasons is not None else "reasons" if self.has_class("-wide") else ""

    @on(TickList.Came)
    def _came(self) -> None:
        if self._key != self._asked_at:
            self._close_question()  # it was about the row that the cursor has left
        self._explain()
        self._offer_keys()

    @property
    def active_bindings(self):
        """The keys that do something: what there is nothing for is not named at the foot, though it says so when it is pressed."""
        of_use = {"tick": "tick" in self._useful, "back": "back" in self._useful, "why": bool(self._laid.rows and self._key)}
        return {
            key: each
            for key, each in super().active_bindings.items()
            if each.node is not self or of_use.get(each.binding.action, True)
        }

    def _offer_keys(self) -> None:
        """Name at the foot what can be done with the row under the cursor."""
        meant = self._meant()
        tick = any(item.done is None for item in meant)
        back = bool(self._newest) or self._key in self._laid.done or any(item.done for item in meant)
        useful = ("tick",) * tick + ("back",) * back + ("why",) * bool(self._key)
        if useful != self._useful:
            self._useful = useful
            self.refresh_bindings()

    def _explain(self) -> None:
        """Show what stands behind the row under the cursor, where there is room for it."""
        self.set_class(bool(self._depth), "-reasons")
        if self._depth and self._page is not None:
            self.query_one(Behind).explain(self._key, self._laid, self._page, self._depth, self._pane)

    @property
    def _pane(self) -> int:
        """Columns that the reasons have: two fifths beside the list, all of them below it."""
        return max(self.size.width * 2 // 5 - 4 if self.has_class("-wide") else self.size.width - 3, 16)

    # Ticking ---------------------------------------------------------------------------------------------------------------

    def action_tick(self) -> None:
        """Write down that the task under the cursor is done; all of a gathered line that are open."""
        tasks = [item.task for item in self._meant() if item.done is None and item.key not in self._writing | self._awaited]
        if not tasks:
            self._close_question()
            if self._key:
                self._note("That is done already; u takes it back.")
        elif any(task.kind in MOVES for task in tasks):
            self._ask_first(tasks)
        else:
            self._begin(tuple((task, task.record) for task in tasks))

    @on(TickList.Marked)
    def _marked(self) -> None:
        self.action_tick()

    def action_further(self) -> None:
        """One step further: the reasons first where they are folded, then the tick."""
        if self._depth:
            self.action_tick()
        else:
            self._reasons = "reasons"
            self._explain()

    def _ask_first(self, tasks: list[Task]) -> None:
        """Before animals are moved in the headcount: what would be written, and what else may have been seen."""
        self._ask(asking(tasks), before_moving(tasks))

    def _begin(self, pairs: tuple[tuple[Task, str], ...]) -> None:
        self._close_question()
        self._stopped = False
        self._writing |= {Item(task).key for task, _ in pairs}
        self._show()
        self._at_work(self._write(pairs))

    def _at_work(self, writing) -> None:
        """Write on, also when the leaf is turned meanwhile."""
        self.app.run_worker(writing, group="ticks", exit_on_error=False)

    async def _write(self, pairs: tuple[tuple[Task, str], ...]) -> None:
        """Send the sentences to the assistant one after the other; stop where one is asked back."""
        done, sheet = [], None
        async with self._turn:
            for number, (task, sentence) in enumerate(pairs, 1):
                if self._stopped:
                    break
                if len(pairs) > 1:
                    self._note(f"Writing {number} of {len(pairs)}; Escape stops.")
                try:
                    answer, sheet = await self.app.desk.note(sentence)
                except Exception as error:
                    self._note(f"That did not work: {error}.")
                    break
                self._writing.discard(Item(task).key)
                if answer.status != "recorded":
                    self._asked_back(task, sentence, answer)
                    break
                done.append(answer)
                tick = (task, answer.items[0]["group"])
                self._ticked += (tick,)
                self._awaited.add(Item(task).key)
                if all(item["what"] in CARE for item in answer.items):
                    self._fresh += (tick,)
        self._writing -= {Item(task).key for task, _ in pairs}
        if self._stopped and not done:
            self._note("Stopped: nothing was written.")
        if done:
            self._newest = tuple(answer.items[0]["group"] for answer in done)
            self._read_back(done, len(pairs))
        if sheet is not None:
            self.app.show(sheet)
        self._show()

    def _read_back(self, done: list, of: int) -> None:
        more = [line for line in done[-1].text.split("\n")[1:] if not line.startswith(("Also: ", "Say undo"))]
        many = f"{len(done)} of {of} written: " if of > 1 else ""
        takes = "u takes it back." if len(done) == 1 else "u takes them back."
        self._told = f"{many}{read_back(done)}", " ".join([takes, *more])
        self._tell_noted()

    def _tell_noted(self, also: tuple[tuple[Task, str], ...] = ()) -> None:
        """Read back what was written, with what else it settled."""
        words, more = self._told
        self._note(f"{words}{settling([task for task, _ in also])}. {more}", "noted")

    def _asked_back(self, task: Task, sentence: str, answer) -> None:
        if not self._here:
            self.app.action_send(sentence)  # the leaf was turned meanwhile: it is asked in the conversation
            return
        self._ask(f"“{sentence}”: {answer.text}", asked_back(task, sentence, answer.options))

    # Taking back -----------------------------------------------------------------------------------------------------------

    def action_back(self) -> None:
        """Take back the record under the cursor; on an open task, the one that was just read back."""
        key = self._key
        self._close_question()
        if key in self._laid.done:
            which = (self._laid.done[key].which,)
        else:
            which = tuple(dict.fromkeys(item.done.which for item in self._meant() if item.done)) or self._newest
        if which:
            self._at_work(self._take_back(which[::-1]))
        else:
            self._note("Nothing is written for this line: u takes back what is ticked.")

    async def _take_back(self, which: tuple[str, ...]) -> None:
        sheet, told, gone = None, [], []
        async with self._turn:
            for one in which:
                try:
                    answer, sheet = await self.app.desk.take_back(one)
                except Exception as error:
                    self._note(f"That did not work: {error}.")
                    break
                told.append(answer.text)
                if answer.status != "recorded":
                    break
                gone.append(answer)
        if sheet is None:
            return
        self._newest = ()
        many = f"{len(gone)} of {len(which)} taken back" if len(which) > 1 and gone else ""
        if len(gone) < len(told):
            self._note(f"{many}{'. ' if many else ''}{told[-1]}", "kept")
        else:
            self._note(f"{many}: {read_back(gone)}." if many else told[-1], "undone")
        self.app.show(sheet)

    # Questions and remarks ---------------------------------------------------------------------------------------------------

    def _ask(self, words: str, choices: list[Choice]) -> None:
        """Put a question under the list; a digit or a click picks."""
        if not self._here:
            return
        self._choices, self._asked_at = tuple(choices), self._key
        self.query_one(Asked).ask(words, [one.words for one in choices])
        self.query_one(Remark).fade()

    def _close_question(self) -> None:
        self.query_one(Asked).leave()

    def on_key(self, event: events.Key) -> None:
        asked = self.query_one(Asked)
        if asked.stands and event.character and event.character.isdigit():
            event.stop()
            if self._key == self._asked_at:  # else the cursor has left that row within the same stroke
                asked.action_pick(int(event.character))

    @on(Asked.Picked)
    def _picked(self, message: Asked.Picked) -> None:
        one = self._choices[message.number - 1]
        if one.pairs:
            self._begin(one.pairs)
        elif one.cohort:
            self.app.action_leaf("cohort", one.cohort)
        elif one.sent:
            self.app.action_tell(one.tell)
        else:
            line = self.app.conversation.query_one(QuestionLine)
            self.app.action_back()
            if not line.value:
                line.value = one.tell
                line.cursor_position = len(one.tell)

    def _note(self, words: str, word: str = "") -> None:
        """A remark under the list, for a while."""
        if self._here:
            self.query_one(Remark).say(words, word)
            self._offer_keys()

    def _next_act(self) -> None:
        """Something else is done: what the last act wrote is not told any more, and a question that stands is left."""
        self.query_one(Remark).fade()
        self._newest = ()
        self._close_question()

    @on(Remark.Faded)
    def _faded(self) -> None:
        if not self.query_one(Remark).has_class("-open"):  # else another stands in its place already
            self._newest = ()
            self._offer_keys()

    # The other keys --------------------------------------------------------------------------------------------------------

    def action_leave(self) -> None:
        """Leave the question, stop what is being written, or go back to the conversation."""
        if self.query_one(Asked).stands:
            self._close_question()
        elif self._writing:
            self._stopped = True
        else:
            self.app.action_back()

    def action_why(self) -> None:
        """Unfold the reasons, then the working under them, then fold both."""
        self._next_act()
        self._reasons = DEEPER[self._depth]
        self.query_one(Behind).deepen()
        self._explain()

    def action_days(self) -> None:
        """Today, three days, the week."""
        self.action_choose("period", _next(list(PERIODS), self._period))

    def action_kind(self) -> None:
        """All work, or one kind of it."""
        self.action_choose("kind", _next(["all", *KINDS], self._kind or "all"))

    def action_choose(self, what: str, name: str) -> None:
        """Show another period, another kind of work, or another place; what is shown already goes on to the next."""
        self._next_act()
        if what == "place":
            self.action_place()
        elif what == "period":
            self._period = name if name != self._period else _next(list(PERIODS), name)
            self._show()
            self.follow()
        else:
            name = name if name != (self._kind or "all") else _next(["all", *KINDS], name)
            self._kind = "" if name == "all" else name
            self._show()

    def action_place(self) -> None:
        """Only the enclosure under the cursor, or everywhere again."""
        self._next_act()
        places = list(dict.fromkeys(item.task.enclosure for item in self._meant() if item.task.enclosure))
        if not self._place and not places:
            self._note("This line is about no enclosure.")
        self._place = "" if self._place or not places else places[0]
        self._show()

    def action_fold(self, folded: bool) -> None:
        """Fold a gathered line, or unfold it."""
        self._next_act()
        key = self._key
        key = (
            key
            if key in self._laid.entries
            else next((one for one, entry in self._laid.entries.items() if self._inside(key, entry)), "")
        )
        row = next((row for row in self._laid.rows if row.key == key), None)
        if key and row is not None and row.words.startswith("▸") != folded:
            self._turned ^= {key}
            self.query_one(TickList).come_to(key)
            self._show()

    def _inside(self, key: str, entry: Entry) -> bool:
        return key in self._laid.items and self._laid.items[key] in entry.items

    def action_cohort(self) -> None:
        """The page of the cohort that the task is about."""
        self._next_act()
        labels = list(dict.fromkeys(label for item in self._meant() for label in item.task.cohorts))
        if "cohort" not in LEAVES or not labels:
            self._note("This line is about no cohort." if not labels else "There is no page of one cohort.")
        elif len(labels) == 1:
            self.app.action_leaf("cohort", labels[0])
        else:
            self._ask("Whose page?", pages_of(labels))


def _next(names: list[str], now: str) -> str:
    return names[(names.index(now) + 1) % len(names)]
