"""The plot of the season's leaf. It is drawn again when it changes, when its size does or the theme, and never by the clock."""

from __future__ import annotations

from rich.text import Text
from textual.color import Color
from textual_plotext import PlotextPlot

from nurserytui.pages.table import fit, padded
from nurserytui.tui.season_drawing import Bars, Drawing, band_cells, cells_of, column_of, cut_words, evened, row_of

COLOURS = ("primary", "accent", "secondary", "foreground")
"""Of lines, in the order of their signs: the sign tells them apart, not the colour."""
SHADE = "░"
DEPTH = 0.42
"""How far the band's colour lies from the ground."""
FRAME = 2
"""Rows below the canvas: the axis and its marks."""
LABEL = 28
"""Cells that the label of a bar takes at most."""


def colour_of(at: int) -> str:
    """The theme's name of the colour of a line."""
    return COLOURS[at % len(COLOURS)]


class SeasonPlot(PlotextPlot):
    """Lines with a band, or bars."""

    DEFAULT_CSS = """
    SeasonPlot { width: 1fr; height: 1fr; background: $surface; padding: 0 1; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._shown: Drawing | Bars | None = None

    def show(self, shown: Drawing | Bars | None) -> None:
        """Draw this from now on."""
        if shown != self._shown:
            self._shown = shown
            self.refresh()

    def on_unmount(self) -> None:
        # The signal holds what is subscribed to it for as long as the app lives, and the plot with it.
        self.app.theme_changed_signal.unsubscribe(self)

    def render(self):
        width, height = self.size
        if isinstance(self._shown, Bars):
            return self._bars(self._shown, width, height)
        if self._shown is None or width < 12 or height < FRAME + 2:
            return Text("")
        self._draw(self._shown, width, height)
        return super().render()

    def _colour(self, name: str) -> tuple[int, int, int]:
        return Color.parse(self.app.theme_variables[name]).rgb

    def _shade(self) -> tuple[int, int, int]:
        """The colour of the band: on paper and by lamplight it lies between the ground and the writing."""
        ground, writing = (Color.parse(self.app.theme_variables[name]) for name in ("surface", "foreground"))
        return ground.blend(writing, DEPTH).rgb

    def _draw(self, shown: Drawing, width: int, height: int) -> None:
        plt = self.plt
        plt.clear_figure()
        rows = height - FRAME
        shown = evened(shown, rows)
        columns = width - max(len(label) for _, label in shown.up) - 1
        plt.xlim(0, columns - 1)
        plt.ylim(0, rows - 1)
        plt.xaxes(True, False)
        plt.yaxes(True, False)
        up = {row_of(value, shown, rows): label for value, label in reversed(shown.up)}
        along = {column_of(x, shown, columns): label for x, label in reversed(shown.along)}
        plt.yticks(list(up), list(up.values()))
        plt.xticks(list(along), list(along.values()))
        shade = band_cells(shown, columns, rows)
        if shade:
            plt.scatter([one for one, _ in shade], [one for _, one in shade], marker=SHADE, color=self._shade())
        drawn = [(line, cells_of(line, shown, columns, rows)) for line in shown.lines]
        self._say(cut_words(shown), {(cell.column, cell.row) for _, cells in drawn for cell in cells}, columns, rows)
        for line, cells in drawn:
            if cells:
                plt.scatter(
                    [cell.column for cell in cells],
                    [cell.row for cell in cells],
                    marker=[cell.sign for cell in cells],
                    color=self._colour(colour_of(line.at)),
                    style="bold" if line.front else None,
                )

    def _say(self, words: str, taken: set[tuple[int, int]], columns: int, rows: int) -> None:
        """Words on the canvas where no line runs, as far down and left as there is such a place."""
        if not words:
            return
        for row in range(rows):
            for first in range(1, columns - len(words)):
                over = range(first, first + len(words))
                if not any((column, row) in taken for column in over):
                    self.plt.scatter(
                        list(over), [row] * len(words), marker=list(words), color=self._colour("foreground"), style="italic"
                    )
                    return

    def _bars(self, shown: Bars, width: int, height: int) -> Text:
        """A row a bar: its label, the bar as long as its share of the longest, its number."""
        rows = shown.rows[:height] if len(shown.rows) <= height else shown.rows[: height - 1]
        label = min(LABEL, max(width // 3, 8))
        told = max(len(words) for _, _, words in rows) if rows else 0
        longest, room = max(value for _, value, _ in shown.rows), max(width - label - told - 2, 1)
        text = Text(no_wrap=True)
        for name, value, words in rows:
            text.append(padded(name, label) + " ")
            text.append("█" * max(round(room * value / longest), 1 if value else 0), style=self._style("primary"))
            text.append(f" {words}\n")
        if len(rows) < len(shown.rows):
            text.append(fit(f"and {len(shown.rows) - len(rows)} more", width))
        return text

    def _style(self, name: str) -> str:
        return Color.parse(self.app.theme_variables[name]).hex
