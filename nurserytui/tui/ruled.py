"""Text beside a margin and a rule, as a page of a field notebook has it."""

from __future__ import annotations

from typing import NamedTuple

from rich.cells import set_cell_size
from textual.content import Content
from textual.strip import Strip
from textual.style import Style
from textual.visual import RenderOptions, Visual

from nurserytui.tui.wrapping import pieces

MARGIN = 7
"""Cells of the margin, in which the day, the hour or a word about what stands beside it is written."""
LEAST = 8
"""Cells that the text has at least: on a narrower screen it is cut."""


class Passage(NamedTuple):
    """Some lines of text with a word in the margin beside the first, and the rule that runs along them."""

    margin: str
    rule: str
    """One cell, drawn between margin and text on every line."""
    rule_style: str
    text: Content


class Ruled(Visual):
    """Passages one below the other. Text can be selected; the margin is left out of what is copied."""

    def __init__(self, passages: list[Passage]) -> None:
        self.passages = passages
        self._cut: tuple[int, list] = (0, [])

    @property
    def plain(self) -> str:
        """All text without the margin."""
        return "\n".join(passage.text.plain for passage in self.passages)

    def render_strips(self, width: int, height: int | None, style: Style, options: RenderOptions) -> list[Strip]:
        strips: list[Strip] = []
        quiet, y = options.get_style("$foreground-muted"), 0
        for passage, lines in zip(self.passages, self._pieces(width)):
            rule = Content(passage.rule).stylize(passage.rule_style)
            for number, (line, cuts) in enumerate(lines):
                line = _selected(line, y, options)
                for at, (start, end, indent) in enumerate(cuts):
                    word = passage.margin if number == at == 0 else ""
                    beside = Content.assemble((set_cell_size(word.rjust(MARGIN), MARGIN), quiet), " ", rule, " " * (1 + indent))
                    strips.append(
                        Strip.join(
                            [
                                _strip(beside, style, options),
                                _strip(line[start:end], style, options).apply_offsets(start, y),
                            ]
                        )
                    )
                y += 1
        return strips if height is None else strips[:height]

    def get_optimal_width(self, rules, container_width: int) -> int:
        return container_width

    def get_height(self, rules, width: int) -> int:
        return sum(len(cuts) for lines in self._pieces(width) for _, cuts in lines)

    def _pieces(self, width: int) -> list[list[tuple[Content, list]]]:
        """For each passage its lines, each with its pieces; kept for the width that was asked for last."""
        if self._cut[0] != width:
            column = max(width - MARGIN - 3, LEAST)
            cut = [
                [(line, pieces(line.plain, column)) for line in passage.text.split(allow_blank=True)] for passage in self.passages
            ]
            self._cut = width, cut
        return self._cut[1]


def _selected(line: Content, y: int, options: RenderOptions) -> Content:
    span = options.selection.get_span(y) if options.selection is not None else None
    if span is None or options.selection_style is None:
        return line
    start, end = span
    return line.stylize(options.selection_style, start, len(line.plain) if end == -1 else end)


def _strip(text: Content, style: Style, options: RenderOptions) -> Strip:
    width = max(text.cell_length, 1)
    return text.render_strips(width, 1, style, RenderOptions(options.get_style, {"text_wrap": "nowrap"}))[0]
