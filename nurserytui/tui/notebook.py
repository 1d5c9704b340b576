"""The conversation as a notebook page: all of it is kept, a window of it is mounted, and older leaves come as the reader scrolls up."""

from __future__ import annotations

from asyncio import Lock
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

from textual import on
from textual.containers import VerticalScroll
from textual.message import Message
from textual.selection import Selection
from textual.widgets import Static

from nurserytui.tui.exchange import Exchange, foldable, passages
from nurserytui.tui.ruled import Ruled

if TYPE_CHECKING:
    from nurserytui.answers.answer import Answer

MOUNTED = 40
"""Exchanges that are mounted at most while the reader is at the newest: typing slows with every widget more."""
STEP = 15
"""Exchanges that are fetched at a time when the reader scrolls past what is mounted."""


class Entry(Static):
    """One exchange on the page."""

    class Chosen(Message):
        """It was clicked."""

        def __init__(self, entry: Entry) -> None:
            super().__init__()
            self.entry = entry

    def __init__(self, number: int, exchange: Exchange, *, newest: bool = False, unfolded: bool = False) -> None:
        super().__init__(classes="entry")
        self.number = number
        self.exchange = exchange
        self.newest = newest
        self.unfolded = unfolded

    def on_mount(self) -> None:
        self.write()

    def on_unmount(self) -> None:
        # Textual keeps what a widget drew for as long as it keeps its measures, also of widgets that are gone.
        self.refresh()

    def write(self) -> None:
        """Draw the exchange as it is now."""
        self.update(Ruled(passages(self.exchange, self.unfolded, self.newest)))

    def on_click(self) -> None:
        if self.text_selection is None:
            self.post_message(self.Chosen(self))

    def get_selection(self, selection: Selection) -> tuple[str, str]:
        return selection.extract(self.visual.plain), "\n"


class _Place(NamedTuple):
    """Where the reader is, on a page of that width: the topmost exchange in sight, and how much of it is above."""

    width: int
    top: Entry | None
    share: float
    at_end: bool


class Notebook(VerticalScroll):
    """The page. It follows the newest exchange until the reader scrolls up."""

    can_focus = True

    def __init__(self, **options) -> None:
        super().__init__(**options)
        self.exchanges: list[Exchange] = []
        self.chosen: int | None = None
        """Number of the exchange that the reader walked to; None for the newest."""
        self._unfolded: set[int] = set()
        self._place = _Place(0, None, 0.0, True)
        self._fetching = False
        self._mounting = Lock()
        """One at a time adds to what is mounted: otherwise an exchange would be mounted twice."""

    def on_mount(self) -> None:
        self.anchor()

    async def ask(self, text: str, when: datetime) -> int:
        """Write down what was typed; returns the number under which its answer is to be written."""
        return await self._add(Exchange(when, asked=text))

    def say(self, number: int, answer: Answer, choices: dict[int, str] | None = None) -> None:
        """Write an answer under the line of that number; `choices` is what numbers typed alone mean after it."""
        # What only programs read of an answer is not kept for the length of a conversation.
        shown = answer._replace(about={}, values={}, items=())
        self.exchanges[number] = self.exchanges[number]._replace(answer=shown, choices=choices or {})
        entry = self._entry(number)
        if entry is not None:
            entry.exchange = self.exchanges[number]
            entry.write()
            if number == len(self.exchanges) - 1:
                self.call_after_refresh(self._from_its_top, entry)

    async def tell(self, text: str, when: datetime) -> None:
        """Write a remark of the program's own."""
        number = await self._add(Exchange(when, told=text))
        entry = self._entry(number)
        if entry is not None:
            self.call_after_refresh(self._from_its_top, entry)

    def fold(self) -> bool:
        """Show or hide the working and the sources of the exchange that was walked to, or of the newest that has any; False where there
        are none."""
        if self.chosen is not None:
            entry = self._entry(self.chosen)
        else:
            entry = next((entry for entry in reversed(self._mounted()) if foldable(entry.exchange.answer)), None)
        if entry is not None:
            self._fold(entry)
        return entry is not None and foldable(entry.exchange.answer)

    def walk(self, step: int) -> None:
        """Walk to the exchange before or after (-1, 1); past the newest none is chosen."""
        mounted = [entry.number for entry in self._mounted()]
        if not mounted:
            return
        at = self.chosen + step if self.chosen in mounted else mounted[-1] if step < 0 else None
        self._choose(None if at is None or at > mounted[-1] else max(at, mounted[0]))

    @on(Entry.Chosen)
    def _clicked(self, message: Entry.Chosen) -> None:
        self._fold(message.entry)

    def _choose(self, number: int | None) -> None:
        self.chosen = number
        for entry in self._mounted():
            entry.set_class(entry.number == number, "chosen")
            if entry.number == number:
                self.scroll_to_widget(entry, animate=False)
        if number is None:
            self.anchor()

    def _fold(self, entry: Entry) -> None:
        if foldable(entry.exchange.answer):
            entry.unfolded = not entry.unfolded
            self._unfolded ^= {entry.number}
            entry.write()
            if entry.unfolded:
                self.call_after_refresh(self.scroll_to_widget, entry, animate=False, top=True)

    def _entry(self, number: int) -> Entry | None:
        return next((entry for entry in self._mounted() if entry.number == number), None)

    def _from_its_top(self, entry: Entry) -> None:
        """A long answer is read from its first line, which holds the number; a short one stands at the foot of the page."""
        newest = entry.number == len(self.exchanges) - 1
        if newest and entry.is_attached and entry.virtual_region.height >= self.scrollable_content_region.height:
            self.scroll_to_widget(entry, animate=False, top=True)

    async def _add(self, exchange: Exchange) -> int:
        before = self.exchanges[-1] if self.exchanges else None
        self.exchanges.append(exchange._replace(new_day=before is None or before.when.date() != exchange.when.date()))
        number = len(self.exchanges) - 1
        async with self._mounting:
            mounted = self._mounted()
            if mounted and mounted[-1].number < number - 1:
                await self.remove_children()
            for entry in mounted[-1:]:
                entry.newest = False
                entry.write()
            self._choose(None)
            await self.mount(Entry(number, self.exchanges[number], newest=True))
            surplus = self._mounted()[:-MOUNTED]
            if surplus:
                await self.remove_children(surplus)
        return number

    def _mounted(self) -> list[Entry]:
        return list(self.query_children(Entry).results())

    def watch_scroll_y(self, before: float, now: float) -> None:
        super().watch_scroll_y(before, now)
        if now != before:
            self._hold_place()
            self._look_further(older=now < before)

    def _hold_place(self) -> None:
        """Remember what the reader has at the top, for as long as the page is as wide as it was."""
        if self.outer_size.width == self._place.width or not self._place.width:
            top = next((entry for entry in self._mounted() if entry.virtual_region.bottom > self.scroll_y), None)
            if top is not None:
                above = (self.scroll_y - top.virtual_region.y) / max(top.virtual_region.height, 1)
                self._place = _Place(self.outer_size.width, top, above, self.scroll_y >= self.max_scroll_y)

    def on_resize(self) -> None:
        """Text runs otherwise on another width: what stood at the top stands there again, unless the reader is at the newest."""
        if self.outer_size.width != self._place.width:
            self.call_after_refresh(self._back_to_place)

    def _back_to_place(self) -> None:
        entry, self._place = self._place.top, self._place._replace(width=self.outer_size.width)
        if self._place.at_end:
            self.anchor()
        elif entry is not None and entry.is_attached:
            y = entry.virtual_region.y + round(self._place.share * entry.virtual_region.height)
            self.scroll_to(y=y, animate=False, force=True)

    def _look_further(self, older: bool) -> None:
        """Fetch what was written before or after what is mounted, once the reader stands at its end."""
        if not self._fetching and self._lacking(older):
            self._fetching = True
            self.call_later(self._fetch, older)

    def _lacking(self, older: bool) -> range:
        """Numbers of the exchanges to be mounted next, if the reader stands where they would be."""
        mounted = self._mounted()
        elsewhere = self.scroll_y > 0 if older else self.scroll_y < self.max_scroll_y
        if not mounted or elsewhere:
            return range(0)
        first, end = mounted[0].number, mounted[-1].number + 1
        return range(max(first - STEP, 0), first) if older else range(end, min(end + STEP, len(self.exchanges)))

    async def _fetch(self, older: bool) -> None:
        """Mount exchanges beside those that are there, and let go of as many at the other end that are out of sight; the reader's
        place stays."""
        async with self._mounting:
            mounted, last = self._mounted(), len(self.exchanges) - 1
            entries = [
                Entry(number, self.exchanges[number], newest=number == last, unfolded=number in self._unfolded)
                for number in self._lacking(older)
            ]
            if not entries:
                self._fetching = False
                return
            top, foot = self.scroll_y, self.scroll_y + self.size.height
            seen = [entry for entry in mounted if entry.virtual_region.bottom > top and entry.virtual_region.y < foot]
            room = MOUNTED - len(entries)
            surplus = [entry for entry in (mounted[room:] if older else mounted[:-room]) if entry not in seen]
            held = seen[0] if seen else mounted[0]
            offset = held.virtual_region.y - top
            await self.mount_all(entries, before=mounted[0] if older else None)
            await self.remove_children(surplus)
        self.call_after_refresh(self._back_to, held, offset)

    def _back_to(self, entry: Entry, offset: float) -> None:
        if entry.is_attached:
            self.scroll_to(y=entry.virtual_region.y - offset, animate=False, force=True)
        self._fetching = False
