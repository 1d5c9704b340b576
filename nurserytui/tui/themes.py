"""Two themes of our own: paper by day, lamplight by night. Meaning never rests on them."""

from __future__ import annotations

from textual.theme import Theme

PAPER = Theme(
    name="paper",
    primary="#33523d",
    secondary="#7a5c1e",
    accent="#8a3b12",
    foreground="#2b2a26",
    background="#f7f2e4",
    surface="#efe8d3",
    panel="#e6ddc2",
    success="#33523d",
    warning="#8a5a00",
    error="#8f1d1d",
    dark=False,
)
LAMP = Theme(
    name="lamp",
    primary="#a9c7a2",
    secondary="#d8b76a",
    accent="#e8a07a",
    foreground="#e9e2cf",
    background="#1b1a16",
    surface="#24221c",
    panel="#2d2a22",
    success="#a9c7a2",
    warning="#e0b050",
    error="#e98a80",
    dark=True,
)
