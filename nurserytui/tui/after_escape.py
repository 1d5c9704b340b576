"""A key that comes in one packet with Escape, as over a slow line: it is told apart from a sign that was typed.

Textual reads Escape and a digit as the sign that one keyboard has there with its option key (`¡` for 1). Whoever presses Escape and goes
on typing would find that sign on the line.
"""

from __future__ import annotations

from textual._ansi_sequences import ANSI_SEQUENCES_KEYS

MARKED = {chr(0xE000 + ord(sign)): sign for sign in "1234567890-="}
"""The mark under which such a key arrives, which no keyboard has -> what was typed after Escape."""


def mark() -> None:
    """From now on these keys arrive under their marks; where nobody knows a mark, the key does nothing."""
    for sign_mark, sign in MARKED.items():
        ANSI_SEQUENCES_KEYS[f"\x1b{sign}"] = sign_mark
