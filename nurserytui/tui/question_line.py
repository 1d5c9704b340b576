"""The line at the foot of the page: history, completion, choices by number, and what the line would be taken for before it is sent."""

from __future__ import annotations

from time import monotonic
from typing import TYPE_CHECKING, NamedTuple

from rich.cells import cell_len
from textual import events, work
from textual.binding import Binding
from textual.message import Message
from textual.timer import Timer
from textual.widgets import Input

from nurserytui.tui.after_escape import MARKED, mark
from nurserytui.tui.line_rows import LineRows
from nurserytui.tui.sent_lines import SentLines
from nurserytui.visible import visible

if TYPE_CHECKING:
    from collections.abc import Sequence

    from nurserytui.answers.answer import Answer

GOES_ON = 0.04
"""Seconds without a key after which completion is looked for."""
HEARD = 0.12
"""Seconds without a key after which the line is held against the nursery."""
PUT_DOWN = 1.0
"""Seconds without a key after which the unfinished line is kept."""
NOTICED = 8.0
"""Seconds for which a record's read-back stands in the row."""
MANY = 9
"""Choices beyond which the row does not list them."""
LONGEST_PASTE = 20_000
LINE_END = "↵"
"""Stands on the line where pasted text went on to another line; each is sent by itself."""


class Taken(NamedTuple):
    """A completion that stands on the line: what was there before, what may stand there, and which of them does."""

    before: str
    cursor: int
    puts: tuple[tuple[str, int], ...]
    names: tuple[str, ...]
    at: int


STEP = 80
"""Cells by which the line's inside grows."""


class QuestionLine(Input):
    """One line of typing. Nothing that it shows beside itself is worked out while a key is on its way."""

    BINDINGS = [
        Binding("up", "walk(-1)", "Earlier line", show=False),
        Binding("down", "walk(1)", "Later line", show=False),
        Binding("tab", "take(1)", "Complete", show=False),
        Binding("shift+tab", "take(-1)", "Complete back", show=False),
        Binding("escape", "close", "Close", show=False),
    ]

    class Sent(Message):
        def __init__(self, text: str, typed: bool = True) -> None:
            super().__init__()
            self.text = text
            self.typed = typed

    def __init__(self, rows: LineRows, desk, kept: SentLines) -> None:
        super().__init__(placeholder="Ask, or write down what happened", id="question", select_on_focus=False)
        mark()
        self.rows, self.desk, self.kept = rows, desk, kept
        self.choices: dict[int, str] = {}
        """What a number typed alone means."""
        self.edited: frozenset[int] = frozenset()
        """The numbers of those that are put on the line to be changed, and not sent."""
        self._whole: tuple[str, ...] = ()
        """Sentences that Tab puts on an empty line, where a number typed alone is a number of animals."""
        self._completion = None
        self._version: object = None
        self._at: int | None = None
        self._draft = ""
        self._taken: Taken | None = None
        self._offers: tuple = ()
        self._offered_for: tuple[str, int] | None = None
        self._closed_for = ""
        self._heard, self._number = "", 0
        self._notice, self._notice_until, self._notice_yields = "", 0.0, False
        self._more: list[str] = []
        self._keyed, self._done = 0.0, 0.0
        """When the last key came, and after how long a pause everything due has been done since."""
        self._timer: Timer | None = None
        self._timer_at = 0.0

    # What is in sight

    @property
    def content_width(self) -> int:
        """In steps of a line's length: the screen is laid out anew whenever it changes, which is felt when it is at every key."""
        return (super().content_width // STEP + 1) * STEP

    def _all_in_sight(self) -> bool:
        return cell_len(self.value) < self.scrollable_content_region.width

    def validate_scroll_x(self, value: float) -> float:
        """A line that fits stands at its beginning, wherever a longer one before it was scrolled to."""
        return 0 if self._all_in_sight() else super().validate_scroll_x(value)

    def validate_scroll_target_x(self, value: float) -> float:
        return 0 if self._all_in_sight() else super().validate_scroll_target_x(value)

    def on_resize(self) -> None:
        self._to_its_beginning()

    def _to_its_beginning(self) -> None:
        if self.scroll_x and self._all_in_sight():
            self.scroll_target_x = self.scroll_x = 0

    # What comes from the nursery

    def offer(self, choices: dict[int, str], edited: frozenset[int] = frozenset(), whole: Sequence[str] = ()) -> None:
        """Sentences that a number typed alone stands for: Enter sends the one meant, or puts it on the line if it is to be `edited`.
        Those that are `whole` have no number: Tab puts them on the line."""
        self.choices, self.edited, self._whole = dict(choices), edited, tuple(whole)
        self._tell()

    def notice(self, text: str, yields: bool = False) -> None:
        """Words that stand in the row for a moment, or until the next line is sent. Where there is one row, they take it from the choices
        unless they yield."""
        self._notice, self._notice_until, self._notice_yields = text, monotonic() + NOTICED, yields
        self.set_timer(NOTICED, self._unnotice)
        self._tell()

    def _unnotice(self) -> None:
        if self._notice and monotonic() >= self._notice_until - 0.05:
            self._notice = ""
            self._tell()

    def answered(self, answer: Answer, choices: dict[int, str], edited: frozenset[int], undo_key: str) -> None:
        """Take in an answer: what can be chosen next, the read-back of a record, and the lines that wait behind it."""
        self._notice = ""
        self.offer(choices, edited, () if choices or answer.status != "clarify" else answer.options)
        label = answer.items[0].get("label", "") if answer.items else ""
        if answer.status == "recorded" and label:
            more = f" and {len(answer.items) - 1} more" if len(answer.items) > 1 else ""
            if answer.topic == "undo":
                self.notice(f"taken back: {label}{more}", yields=True)
            else:
                noted = f"noted: {label}{more}; {undo_key} takes it back"
                self.notice(self._fits(noted, f"noted, {undo_key} takes it back: {label}"), yields=True)
        if self._more and answer.status in ("answered", "recorded"):
            self.post_message(self.Sent(self._more.pop(0)))
        elif self._more:
            self.give_back([])
            self.notice("the rest of the lines waits here: one before it was not clear")

    def give_back(self, texts: list[str]) -> None:
        """Put lines that could not be sent back on the line, before what stands there now."""
        texts, self._more = [*texts, *self._more], []
        if texts:
            self.value = f" {LINE_END} ".join([*texts, *([self.value] if self.value.strip() else [])])
            self.cursor_position = len(self.value)

    def follow(self, version: int, anew: bool = False) -> None:
        """Learn the names anew if the records have changed, or are others."""
        if anew or version != self._version:
            self._version = version
            self._learn()

    @work(exclusive=True, group="learn", exit_on_error=False)
    async def _learn(self) -> None:
        self._completion = await self.desk.completion()
        self._offered_for = None

    def resume(self, lines: list[str], left: str) -> None:
        """Take in what was kept from before: an unfinished line comes back, unless something is typed already."""
        sent_since = bool(self.kept.lines)
        self.kept.take_in(map(clean, lines), clean(left))
        if left and not self.value and not sent_since:
            self.value = self.kept.left
            self.cursor_position = len(self.value)

    # Keys

    async def on_key(self, event: events.Key) -> None:
        """What a key does is done in its turn: by way of the app it would be done after some of what was typed behind it, when keys come
        quickly, and a line would be sent with the next one's beginning."""
        typed = MARKED.get(
            event.character or "", event.character if event.key.startswith("alt+") and event.is_printable else None
        )
        if typed is not None:
            if self.check_action("close", ()):
                self.action_close()
            self.replace(typed, *self.selection)
        elif event.is_printable or not await self._done_by(event.key):
            return
        event.prevent_default().stop()

    async def _done_by(self, key: str) -> bool:
        for binding in self._bindings.key_to_bindings.get(key, ()):
            if await self.app.run_action(binding.action, self):
                return True
        return False

    def watch_value(self, value: str) -> None:
        """Every change ends here: only the time is noted, the rest waits for a pause."""
        taken = self._taken
        if taken is not None and value != taken.puts[taken.at][0]:
            self._taken = None
        self._keyed, self._done = monotonic(), 0.0
        self._number += 1
        if not value:
            self._heard, self._offers, self._offered_for, self._closed_for = "", (), None, ""
            self._tell()
        self._to_its_beginning()
        if self.is_attached and (self._timer is None or self._timer_at > self._keyed + GOES_ON + 0.01):
            self._wait(GOES_ON)

    def _wait(self, seconds: float) -> None:
        """One timer at a time, the nearest that is wanted."""
        if self._timer is not None:
            self._timer.stop()
        self._timer_at = monotonic() + seconds
        self._timer = self.set_timer(seconds, self._pause)

    def _pause(self) -> None:
        """Called a while after a key: does what is due after so long a pause, and waits for what is due later."""
        self._timer = None
        quiet = monotonic() - self._keyed
        for due, do in ((GOES_ON, self._look_on), (HEARD, self._hear_out), (PUT_DOWN, self._put_down)):
            if due <= self._done:
                continue
            if quiet + 0.002 < due:
                self._wait(due - quiet)
                return
            self._done = due
            do()

    def _look_on(self) -> None:
        self._find_offers()
        self._tell()

    def _hear_out(self) -> None:
        meant = self._chosen() or self.value
        if LINE_END in meant:
            self._heard = f"{len(_parts(meant))} lines, each is sent by itself"
            self._tell()
        elif meant.strip():
            self._hear(self._number, meant)

    @work(exclusive=True, group="hear", exit_on_error=False)
    async def _hear(self, number: int, text: str) -> None:
        heard = await self.desk.understood(text)
        if number == self._number:
            self._heard = heard.line
            if heard.line:
                self._notice = ""
            self._tell()

    def _put_down(self) -> None:
        self.kept.leave(self.value)

    def _find_offers(self) -> None:
        at = (self.value, self.cursor_position)
        if self._taken is None and self._offered_for != at:
            self._offered_for = at
            known = self._completion is not None and not self._chosen()
            # Of lines that were pasted together some may be written down already: all of them once more is not offered.
            earlier = [line for line in self.kept.lines if LINE_END not in line]
            self._offers = self._completion.offers(*at, earlier) if known else ()

    def on_paste(self, event: events.Paste) -> None:
        """Text of several lines is kept whole, with a sign where a line ended."""
        event.prevent_default().stop()
        text = clean(event.text[:LONGEST_PASTE])
        if len(event.text) > LONGEST_PASTE:
            self.notice(f"only the first {LONGEST_PASTE} characters were taken")
        self.replace(text, *self.selection)

    def action_walk(self, step: int) -> None:
        """Through the lines that were sent; what was being typed stands behind the newest."""
        lines = self.kept.lines
        if self._at is None or self._at >= len(lines) or self.value != lines[self._at]:
            self._at, self._draft = len(lines), self.value
        self._at = min(max(self._at + step, 0), len(lines))
        self.value = lines[self._at] if self._at < len(lines) else self._draft
        self.cursor_position = len(self.value)

    def action_take(self, step: int) -> None:
        """Put the first completion on the line, then the next; on an empty line go on to what can be reached beside it."""
        if self._taken is None:
            chosen = self._chosen()
            self._find_offers()
            if chosen or (not self.value and self._whole):
                names = (chosen,) if chosen else self._whole
                puts = tuple((name, len(name)) for name in names)
            else:
                puts = tuple(offer.put_into(self.value) for offer in self._offers)
                names = tuple(offer.text for offer in self._offers)
            if not puts:
                if not self.value:
                    self.screen.focus_next() if step > 0 else self.screen.focus_previous()
                return
            taken = Taken(self.value, self.cursor_position, puts, names, 0 if step > 0 else len(puts) - 1)
        else:
            taken = self._taken._replace(at=(self._taken.at + step) % len(self._taken.puts))
        self._taken = taken
        self.value, self.cursor_position = taken.puts[taken.at]
        self._tell()

    def check_action(self, action: str, parameters: tuple) -> bool | None:
        """While the desk is at long work, Esc is for stopping that."""
        return action != "close" or not self.desk.stoppable

    def action_close(self) -> None:
        """What Tab or an earlier line replaced comes back; else what is offered goes away. What was typed stays in every case."""
        taken, self._taken = self._taken, None
        if taken is not None:
            self.value, self.cursor_position = taken.before, taken.cursor
            self._closed_for = taken.before
        elif self._recalled():
            self.value, self._at = self._draft, None
            self.cursor_position = len(self.value)
        else:
            self._closed_for = self.value
            self._notice = ""
        self._tell()

    async def action_submit(self) -> None:
        """Send the line, or the sentence that its number means."""
        chosen = self._chosen()
        if chosen and int(self.value) in self.edited:
            self.value, self.cursor_position = chosen, len(chosen)
            return
        whole = chosen or self.value.strip()
        again = self._recalled()
        if whole:
            self.kept.sent(whole)
        parts = _parts(whole)
        self._at, self._taken, self._notice = None, None, ""
        # An earlier line that is sent again leaves what was being typed before it was looked for.
        self.value = self._draft if again and self._draft != whole else ""
        self.cursor_position = len(self.value)
        if self._more:  # those before it go first
            self._more += parts
            return
        self.choices, self._whole = {}, ()
        self._more = parts[1:]
        self._tell()
        self.post_message(self.Sent(parts[0] if parts else ""))

    def _recalled(self) -> bool:
        """Whether an earlier line stands there as it was sent."""
        return self._at is not None and self._at < len(self.kept.lines) and self.value == self.kept.lines[self._at]

    def on_unmount(self) -> None:
        self.kept.leave(self.value, now=True)

    # What the rows say

    def _chosen(self) -> str:
        """The sentence that the line means by its number, or ""."""
        number = self.value.strip()
        return self.choices.get(int(number), "") if number.isascii() and number.isdecimal() and len(number) < 4 else ""

    def _tell(self) -> None:
        value, chosen, taken = self.value, self._chosen(), self._taken
        if not value and len(self.choices) > MANY:
            on = f"1 to {max(self.choices)}: a number and Enter sends its sentence; a record is put on the line first"
        elif not value and self._whole:
            on = f"the number, or Tab: {' · '.join(self._whole)}"
        elif not value:
            on = "  ".join(f"{number} {sentence}" for number, sentence in self.choices.items())
        elif taken is not None:
            on = "Tab " + " · ".join(f"▸{name}" if at == taken.at else name for at, name in enumerate(taken.names))
        elif chosen:
            edited = int(value) in self.edited
            does = "puts it on the line" if edited else "sends it, Tab puts it on the line"
            on = self._fits(f"{value.strip()} → {chosen}  (Enter {does})", f"Enter {'puts' if edited else 'sends'}: {chosen}")
        elif self._closed_for == value:
            on = ""
        else:
            on = "Tab " + " · ".join(offer.text for offer in self._offers) if self._offers else ""
        first = taken or chosen or (self._notice and (value or self._notice_yields))
        self.rows.tell(on, self._notice or (self._heard if value else ""), first=bool(first and on))

    def _fits(self, text: str, shorter: str) -> str:
        """The text where the row is wide enough for it, else what tells the same from its beginning."""
        return text if cell_len(text) <= self.rows.content_size.width else shorter


def clean(text: str) -> str:
    """Text that can stand on one line: a sign where a line ended, nothing in it that steers a terminal."""
    parts = [visible(part.replace("\t", " ")) for part in text.splitlines()]
    kept = [part.strip() for part in parts if part.strip()]
    return f" {LINE_END} ".join(kept) if len(kept) > 1 else "".join(parts)


def _parts(text: str) -> list[str]:
    """The lines that are sent one by one."""
    return [part for part in (part.strip() for part in text.split(LINE_END)) if part]
