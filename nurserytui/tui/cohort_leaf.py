"""One cohort's page as a leaf; without a label, the cohorts to choose from, narrowed by typing."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.content import Content
from textual.widgets import Input

from nurserytui.pages import cohort
from nurserytui.pages.cohort import Choice, Page, fitting, standing_words
from nurserytui.tui.leaf import Leaf
from nurserytui.tui.stops import Stops, Stroke, text_of
from nurserytui.tui.words import days_once, short

MARGIN = 11
TONES = {"late": "bold $error", "care": "bold $warning"}
SEND = "Send"
LEADS = "→"
"""Stands after what leads to another cohort."""


class Opens(str):
    """The label of a cohort to turn to."""


class Sends(str):
    """A sentence to send."""


class CohortLeaf(Leaf):
    """Opened with a label, or with none for the list."""

    HEADING = "Cohort"
    DEFAULT_CSS = """
    CohortLeaf #which { height: 3; border: round $primary; background: $background; }
    CohortLeaf.one #which, CohortLeaf.one #cohorts, CohortLeaf.all #page { display: none; }
    """
    BINDINGS = [
        Binding("left,left_square_bracket", "step(-1)", "Before", key_display="[ ←"),
        Binding("right,right_square_bracket", "step(1)", "After", key_display="] →"),
        *(Binding(str(number), f"section({number})", "Section", show=number == 1, key_display="1-8") for number in range(1, 9)),
        Binding("f", "fold_all", "Fold"),
        Binding("l", "list", "List"),
        Binding("i", "look_up", "Facts of it"),
        Binding("escape", "leave", "Back"),
    ]

    def __init__(self, label: str = "", back: str = "") -> None:
        super().__init__()
        self.label = label
        self._back = back
        """The leaf that it was opened from, if Escape leads back there."""
        self._picked = False
        """Whether the list led here."""
        self._page: Page | Choice | None = None
        self._fresh = True

    def body(self) -> ComposeResult:
        yield Input(placeholder="Type to narrow, Enter opens", id="which", max_length=100, select_on_focus=False)
        yield Stops(margin=MARGIN, id="cohorts")
        yield Stops(margin=MARGIN, id="page")

    def on_mount(self) -> None:
        self._face(bool(self.label))

    def page(self, nursery) -> Page | Choice:
        return cohort.read(nursery, self.label)

    def draw(self, page: Page | Choice) -> None:
        fresh, self._fresh, self._page = self._fresh, False, page
        one = isinstance(page, Page)
        self._face(one)
        self.refresh_bindings()
        if one:
            self.label = page.label
            self.head(f"{short(page.label)}  {page.who}")
            self.query_one("#page", Stops).write(_strokes(page), fresh=fresh)
        else:
            self._list(page, fresh)

    def _face(self, one: bool) -> None:
        """Show the page of one, or the list; what can be typed at has the keys."""
        self.set_class(one, "one")
        self.set_class(not one, "all")
        wanted = self.query_one("#page" if one else "#which")
        if self.focused is None or self.focused.id not in (("page",) if one else ("which", "cohorts")):
            wanted.focus()

    def _list(self, page: Choice, fresh: bool) -> None:
        said = self.query_one("#which", Input).value.strip()
        rows = fitting(page, said)
        if page.asked:
            self.head(f"no cohort is called “{short(page.asked)}”")
        else:
            self.head(f"{len(rows)} of {len(page.rows)}" if said else f"{len(page.rows)} to choose from" if page.rows else "")
        none = "No cohorts yet: nothing has been recorded." if not page.rows else "No cohort fits."
        strokes = [_row(row) for row in rows] or [Stroke(text_of(none))]
        self.query_one("#cohorts", Stops).write(strokes, fresh=fresh)

    @on(Input.Changed, "#which")
    def narrow(self) -> None:
        if isinstance(self._page, Choice):
            self.label, self._page = "", self._page._replace(asked="")
            self._list(self._page, True)

    @on(Input.Submitted, "#which")
    def open_first(self) -> None:
        self.query_one("#cohorts", Stops).action_choose()

    def on_key(self, event) -> None:
        """From the line where letters are typed the arrows still walk the list."""
        if self.has_class("all") and self.focused is not None and self.focused.id == "which":
            steps = {"up": ("step", -1), "down": ("step", 1), "pageup": ("leap", -1), "pagedown": ("leap", 1)}
            if event.key in steps:
                event.prevent_default().stop()
                name, way = steps[event.key]
                getattr(self.query_one("#cohorts", Stops), f"action_{name}")(way)

    @on(Stops.Acted)
    def acted(self, message: Stops.Acted) -> None:
        if isinstance(message, Stops.Passed):
            return
        if isinstance(message.act, Opens):
            self._picked = self._picked or message.stops.id == "cohorts"
            self.turn_to(str(message.act))
        elif isinstance(message.act, Sends):
            self.app.action_tell(str(message.act))

    def turn_to(self, label: str) -> None:
        """Show another cohort; "" for the list."""
        self.label = label
        self._fresh = True
        self.follow()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """On the list letters are typed: the keys of a page are no keys there."""
        if action == "look_up":
            return isinstance(self._page, Page) and bool(self._page.species)
        of_page = action in ("step", "section", "fold_all", "list")
        return not of_page or isinstance(self._page, Page)

    def action_step(self, way: int) -> None:
        """The cohort before this one, or after it."""
        if isinstance(self._page, Page):
            self.turn_to(self._page.after if way > 0 else self._page.before)

    def action_leave(self) -> None:
        """Back to where it was opened from: the list, another leaf, or the conversation."""
        if self._picked and isinstance(self._page, Page):
            self.action_list()
        elif self._back:
            self.app.action_leaf(self._back)
        else:
            self.app.action_back()

    def action_list(self) -> None:
        """All cohorts."""
        self._picked = False
        self.turn_to("")

    def action_look_up(self) -> None:
        """What the knowledge base says of its species."""
        self.app.action_leaf("facts", self._page.species)

    def action_section(self, number: int) -> None:
        """Open a section by its number, and go there."""
        page = self.query_one("#page", Stops)
        names = [section.name for section in self._page.sections] + [SEND]
        if number <= len(names):
            page.fold(names[number - 1], False)
            page.go_to(names[number - 1], top=True)

    def action_fold_all(self) -> None:
        """Fold every section; open all where all are folded."""
        page = self.query_one("#page", Stops)
        names = [section.name for section in self._page.sections]
        shut = not page.folded.issuperset(names)
        for name in names:
            page.fold(name, shut)


def _row(row) -> Stroke:
    return Stroke(
        Content.assemble((short(row.who), ""), (f"  {short(standing_words(row), 200)}", "$text-muted")),
        row.label,
        "bold $primary",
        Opens(row.label),
        cut=True,
    )


def _strokes(page: Page) -> list[Stroke]:
    """The page's sections under numbered headings, each date once; the sentences at its foot."""
    strokes = []
    for number, section in enumerate(page.sections, 1):
        strokes.append(_heading(number, section.name, section.gist))
        last = ""
        for entry in section.entries:
            margin = "" if entry.margin == last and len(section.entries) > 1 else entry.margin
            last = entry.margin
            act = Opens(entry.leads) if entry.leads else None
            words = days_once(entry.text)
            text = text_of(f"{words} {LEADS}" if entry.leads else words)
            strokes.append(Stroke(text, margin, TONES.get(entry.tone, "$secondary"), act))
        strokes.append(Stroke(Content("")))
    strokes.append(_heading(len(page.sections) + 1, SEND, ""))
    strokes += [Stroke(text_of(f"“{sentence}”"), "", "", Sends(sentence)) for sentence in page.sentences]
    return strokes


def _heading(number: int, name: str, gist: str) -> Stroke:
    return Stroke(Content.assemble((f"{number} ", "$secondary"), (name, "bold")), act=name, heading=name, gist=gist)
