"""The knowledge base as a leaf: a line to search on, what fits below it, and the card of the entry at the cursor beside that."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Container
from textual.content import Content
from textual.style import Style
from textual.widgets import Input, Static

from nurserytui.pages import facts
from nurserytui.pages.facts import MARKS, kinds
from nurserytui.pages.facts_index import Entry, Index
from nurserytui.pages.facts_words import KINDS_OF_SOURCE, Card, Which
from nurserytui.tui.leaf import Leaf
from nurserytui.tui.stops import Stops, Stroke, text_of
from nurserytui.tui.words import short
from nurserytui.visible import visible

SLIM, LOW = 60, 22
"""Columns or rows below which only the list or the card is seen, not both."""
KIND_MARGIN, LABEL_MARGIN = 12, 14
MOST = 400
"""Entries that the list holds: nobody reads further down, and fewer words are the better way."""
TONES = {"care": "bold $warning", "differ": "bold $accent"}
SOURCES = "Sources"


class FactsLeaf(Leaf):
    """Letters always go to the line at the top; the arrows walk the list, Enter turns to the card and follows what stands there."""

    HEADING = "Facts"
    DEFAULT_CSS = """
    FactsLeaf #seek { height: 3; border: round $primary; background: $background; }
    FactsLeaf #kinds { height: 1; padding: 0 1; color: $text-muted; text-wrap: nowrap; text-overflow: ellipsis; }
    FactsLeaf #facts { layout: horizontal; height: 1fr; }
    FactsLeaf #hits { width: 46; }
    FactsLeaf #card { border-left: tall $panel; }
    FactsLeaf.-narrow #facts { layout: vertical; }
    FactsLeaf.-narrow #hits { width: 1fr; height: 2fr; }
    FactsLeaf.-narrow #card { height: 3fr; border-left: none; border-top: tall $panel; }
    FactsLeaf.slim #card, FactsLeaf.slim.reading #hits, FactsLeaf.slim.reading #kinds { display: none; }
    FactsLeaf.slim #hits, FactsLeaf.slim #card { height: 1fr; border-top: none; }
    FactsLeaf.slim.reading #card { display: block; }
    """
    BINDINGS = [
        Binding("escape", "leave", "Back"),
        Binding("tab", "turn_over", "List, card"),
        Binding("alt+right", "kind(1)", "Kind", key_display="alt ←→"),
        Binding("alt+left", "kind(-1)", "Kind before", show=False),
        Binding("backspace", "return", "Card before"),
    ]

    def __init__(self, search: str = "") -> None:
        super().__init__()
        self._search = search
        self._kind = ""
        self._index: Index | None = None
        self._trail: list[Which] = []

    def body(self) -> ComposeResult:
        yield Input(
            self._search, placeholder="Species, plant, sign, rule, source …", id="seek", max_length=200, select_on_focus=False
        )
        yield Static("", id="kinds")
        with Container(id="facts"):
            yield Stops(margin=KIND_MARGIN, id="hits")
            yield Stops(margin=LABEL_MARGIN, id="card")

    def on_mount(self) -> None:
        self.query_one("#seek", Input).focus()
        self._fold()

    def on_resize(self) -> None:
        self._fold()

    def _fold(self) -> None:
        self.set_class(self.app.size.width < SLIM or self.app.size.height < LOW, "slim")

    def page(self, nursery) -> Index:
        return facts.book(nursery)

    def draw(self, page: Index) -> None:
        """The facts do not change while the app is open: they are drawn once."""
        if self._index is not page:
            self._index = page
            self._seek()

    # The list ----------------------------------------------------------------------------------------------------------------

    @on(Input.Changed, "#seek")
    def seek(self) -> None:
        self._seek()

    def _seek(self) -> None:
        if self._index is None:
            return
        said = self.query_one("#seek", Input).value.strip()
        hits = self._index.search(said, self._kind)
        near = [] if hits else [one for one in self._index.near(said) if self._kind in ("", one.which.kind)]
        if hits or not said:
            self.head(f"{len(hits)} {'fit' if said else 'entries'}")
        else:
            self.head("nothing is called so; near it" if near else "nothing is called so")
        rows = [_row(entry) for entry in (hits or near)[:MOST]]
        self.query_one("#hits", Stops).write(rows or [Stroke(text_of("No entry fits."))], fresh=True)
        self._kinds()
        self._show((hits or near)[0].which if hits or near else None)

    def _kinds(self) -> None:
        """The kinds in one row, the one that is chosen in brackets; each can be clicked."""
        parts = []
        for kind in ("", *kinds()):
            press = Style.from_meta({"@click": f"screen.only({kind!r})"})
            name = kind or "all"
            parts.append(
                Content.assemble((f"[{name}]", Style.parse("bold") + press))
                if kind == self._kind
                else Content.assemble((name, press))
            )
        chosen = ("", *kinds()).index(self._kind)
        # On a narrow screen the row begins a little before the chosen one.
        self.query_one("#kinds", Static).update(Content(" ").join(parts[max(chosen - 1, 0) :] + parts[: max(chosen - 1, 0)]))

    def action_only(self, kind: str) -> None:
        """Only one kind of entry, or all again."""
        self._kind = "" if kind == self._kind else kind
        self._seek()

    def action_kind(self, way: int) -> None:
        """The next kind of entry, or the one before."""
        all_kinds = ("", *kinds())
        self._kind = all_kinds[(all_kinds.index(self._kind) + way) % len(all_kinds)]
        self._seek()

    @on(Stops.Passed, "#hits")
    def passed(self, message: Stops.Passed) -> None:
        self._show(message.act)

    # The card ----------------------------------------------------------------------------------------------------------------

    def _show(self, which: Which | None) -> None:
        """The card of an entry from the list."""
        self._trail = [which] if which else []
        self._write(fresh=True)

    def _write(self, *, fresh: bool) -> None:
        card = self._index.card(self._trail[-1]) if self._trail else None
        self.query_one("#card", Stops).write(_strokes(card) if card else [Stroke(text_of(""))], fresh=fresh)
        self.refresh_bindings()

    @on(Stops.Acted)
    def acted(self, message: Stops.Acted) -> None:
        if isinstance(message, Stops.Passed) or not isinstance(message.act, Which):
            return
        if message.stops.id == "hits":
            self._read_card()
        else:
            self._trail.append(message.act)
            self._write(fresh=True)

    def _read_card(self) -> None:
        if self._trail:
            self.add_class("reading")
            self.query_one("#card", Stops).focus()
            self.refresh_bindings()

    def action_return(self) -> None:
        """The card that led to this one."""
        if len(self._trail) > 1:
            left = self._trail.pop()
            self._write(fresh=True)
            self.query_one("#card", Stops).go_to(left)

    # Keys --------------------------------------------------------------------------------------------------------------------

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        return action != "return" or (len(self._trail) > 1 and self.focused is not None and self.focused.id == "card")

    @on(Input.Submitted, "#seek")
    def open_card(self) -> None:
        self._read_card()

    def action_turn_over(self) -> None:
        """From the line or the list to the card, and back to the line."""
        if self.focused is not None and self.focused.id == "card":
            self._to_line()
        else:
            self._read_card()

    def action_leave(self) -> None:
        """From the card to the line; from there to the conversation."""
        if self.focused is not None and self.focused.id == "card":
            self._to_line()
        else:
            self.app.action_back()

    def _to_line(self) -> None:
        self.remove_class("reading")
        self.query_one("#seek", Input).focus()
        self.refresh_bindings()

    def on_key(self, event) -> None:
        """From the line the arrows walk the list; letters typed anywhere else go to the line."""
        line = self.query_one("#seek", Input)
        if self.focused is line:
            steps = {"up": ("step", -1), "down": ("step", 1), "pageup": ("leap", -1), "pagedown": ("leap", 1)}
            if event.key in steps:
                event.prevent_default().stop()
                name, way = steps[event.key]
                getattr(self.query_one("#hits", Stops), f"action_{name}")(way)
        elif event.is_printable and event.character and event.key != "space":
            event.prevent_default().stop()
            self._to_line()
            line.insert_text_at_cursor(event.character)


def _row(entry: Entry) -> Stroke:
    own = "  your own" if entry.own else ""
    return Stroke(
        Content.assemble(short(entry.title, 120), (own, "bold $accent")), entry.which.kind, "$text-muted", entry.which, cut=True
    )


def _strokes(card: Card) -> list[Stroke]:
    """Title, facts with the numbers of their sources, then the sources with their kind."""
    own = "  with your own additions" if card.own else ""
    strokes = [
        Stroke(Content.assemble((visible(card.title), "bold $primary"), (own, "bold $accent")), card.which.kind),
        Stroke(Content("")),
    ]
    last = ""
    for fact in card.facts:
        mark = f"{MARKS[fact.tone]}: " if fact.tone else ""
        trust = card.trust(fact)
        leads = " →" if fact.leads else ""
        text = Content.assemble(
            (mark, TONES.get(fact.tone, "")), visible(fact.text), (f" [{trust}]" if trust else "", "$text-muted"), leads
        )
        label = "" if fact.label == last else fact.label
        last = fact.label
        strokes.append(Stroke(text, label, TONES.get(fact.tone, "$secondary"), fact.leads))
    if card.cited:
        strokes += [
            Stroke(Content("")),
            Stroke(Content.styled(SOURCES, "bold"), act=SOURCES, heading=SOURCES, gist=f"{len(card.cited)}"),
        ]
    for number, source in enumerate(card.cited, 1):
        text = Content.assemble(visible(source.citation), (f" ({KINDS_OF_SOURCE[source.kind]})", "$text-muted"))
        same = card.which == Which("source", source.id)
        strokes.append(Stroke(text, str(number), "$text-muted", None if same else Which("source", source.id)))
    return strokes
