"""Draws pictures as SVG, in a process of its own: `python -m nurserytui.exports.drawing` reads pickled pictures and writes pickled SVG.

The plot library is imported nowhere else. It never gets to see a keeper's words: each piece of text is drawn as a sign with a number, by
its anchor, so that no width of it matters; `drawn.py` puts the words in place of the signs.
"""

from __future__ import annotations

import io
import os
import pickle
import re
import sys

from nurserytui.exports.picture import FAINT, INK, QUIET, WIDTH, Area, Dot, Line, Panel, Picture, Words

LETTERS = "DejaVu Sans"
"""Comes with the plot library, so that nothing depends on the fonts of the computer."""
LOOK = {
    "svg.fonttype": "none",
    "svg.hashsalt": "season report",
    "text.parse_math": False,
    "text.usetex": False,
    "font.family": [LETTERS],
    "hatch.linewidth": 0.9,
    "path.simplify": True,
}


def main() -> int:
    """Pictures from standard input, drawings to standard output."""
    pictures = pickle.load(sys.stdin.buffer)
    out = sys.stdout.buffer
    pickle.dump([svg(picture) for picture in pictures], out)
    out.flush()
    return 0


def svg(picture: Picture) -> str:
    """The picture as one `<svg>` element without words; its ids begin with the picture's name."""
    import matplotlib
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    with matplotlib.rc_context():
        matplotlib.rcParams.update(LOOK)
        figure = Figure(figsize=(WIDTH / 72, picture.height / 72), dpi=72)
        FigureCanvasSVG(figure)
        signs = iter(range(10**9))
        for panel in picture.panels:
            _panel(figure, picture, panel, signs)
        out = io.StringIO()
        figure.savefig(
            out, format="svg", transparent=True, metadata={"Date": None, "Creator": None, "Format": None, "Type": None}
        )
    return _bare(out.getvalue(), picture)


def _panel(figure, picture: Picture, panel: Panel, signs) -> None:
    foot = picture.height - panel.top - panel.height
    axes = figure.add_axes(
        (panel.left / WIDTH, foot / picture.height, panel.width / WIDTH, panel.height / picture.height), facecolor="none"
    )
    axes.set_xlim(*panel.x)
    axes.set_ylim(*panel.y)
    for name, spine in axes.spines.items():
        spine.set_visible(panel.framed and name in ("left", "bottom"))
        spine.set_color(QUIET)
    axes.set_xticks([x for x, _ in panel.along], [f"W{next(signs)}W" for _ in panel.along])
    axes.set_yticks([y for y, _ in panel.up], [f"W{next(signs)}W" for _ in panel.up])
    axes.tick_params(colors=QUIET, labelcolor=INK, labelsize=11, length=4 if panel.framed else 0)
    axes.set_axisbelow(True)
    if panel.along:
        axes.xaxis.grid(True, color=FAINT, linewidth=0.8)
    if panel.up and panel.framed:
        axes.yaxis.grid(True, color=FAINT, linewidth=0.8)
    for layer, mark in enumerate(panel.marks, 3):
        _DRAWN[type(mark)](axes, mark, layer, signs)


def _line(axes, mark: Line, layer: int, signs) -> None:
    gap = (float("nan"), float("nan"))
    points = [point if point is not None else gap for point in mark.points]
    style = (0, mark.dash) if mark.dash else "-"
    axes.plot(
        [x for x, _ in points], [y for _, y in points], color=mark.colour, linestyle=style, linewidth=mark.width, zorder=layer,
        solid_capstyle="butt",
    )  # fmt: skip


def _area(axes, mark: Area, layer: int, signs) -> None:
    from matplotlib.patches import Polygon

    axes.add_patch(
        Polygon(
            mark.corners, closed=True, facecolor=mark.fill or "none", edgecolor=mark.edge or "none", hatch=mark.hatch or None,
            linestyle=(0, mark.dash) if mark.dash else "-", linewidth=1.0 if mark.edge else 0, zorder=layer,
        )
    )  # fmt: skip


def _dot(axes, mark: Dot, layer: int, signs) -> None:
    axes.plot(
        [mark.x], [mark.y], linestyle="none", marker=mark.shape, markersize=mark.size, color=mark.colour,
        markerfacecolor=mark.fill or mark.colour, markeredgewidth=1.4, zorder=layer,
    )  # fmt: skip


def _words(axes, mark: Words, layer: int, signs) -> None:
    side = {"start": "left", "middle": "center", "end": "right"}[mark.anchor]
    sign = "V" if mark.over else "W"
    axes.text(
        mark.x, mark.y, f"{sign}{next(signs)}{sign}", ha=side, va="center_baseline", color=mark.colour, fontsize=mark.size,
        fontweight="bold" if mark.bold else "normal", clip_on=mark.cut, zorder=layer,
    )  # fmt: skip


_DRAWN = {Line: _line, Area: _area, Dot: _dot, Words: _words}


def words_of(picture: Picture) -> list[str]:
    """All words of a picture in the order of their signs."""
    found = []
    for panel in picture.panels:
        found += [text for _, text in panel.along]
        found += [text for _, text in panel.up]
        found += [mark.text for mark in panel.marks if isinstance(mark, Words)]
    return found


def _bare(text: str, picture: Picture) -> str:
    """Only the element, without its head and its style sheet, which would reach the whole page, and with ids that are its own."""
    text = text[text.index("<svg") :]
    text = re.sub(r"<metadata>.*?</metadata>\s*", "", text, flags=re.DOTALL)
    text = re.sub(r"<style[^>]*>.*?</style>\s*", "", text, flags=re.DOTALL)
    text = re.sub(r"<defs>\s*</defs>\s*", "", text)
    text = re.sub(r"<!--.*?-->\s*", "", text, flags=re.DOTALL)
    text = re.sub(r'<g id="[^"]*"', "<g", text)
    text = re.sub(r'\bid="([^"]*)"', rf'id="{picture.name}-\1"', text)
    text = re.sub(r"url\(#([^)]*)\)", rf"url(#{picture.name}-\1)", text)
    text = re.sub(r'xlink:href="#([^"]*)"', rf'href="#{picture.name}-\1"', text)
    head = f'<svg class="picture" viewBox="0 0 {WIDTH} {picture.height:g}" width="{WIDTH}" height="{picture.height:g}">'
    return head + text[text.index(">") + 1 :].strip()


if __name__ == "__main__":
    os.environ.setdefault("MPLBACKEND", "svg")
    sys.exit(main())
