"""A keeper's morning in a real terminal, from opening the demo to closing it."""

from __future__ import annotations

import os
import sys

from screens.terminal import Terminal

INSTALLED = os.environ.get("NURSERYTUI_PROGRAM")
"""A program to walk through in the place of the one in this checkout."""
DEMO = [INSTALLED, "--demo"] if INSTALLED else [sys.executable, "-m", "nurserytui", "--demo"]


def test_a_morning_from_the_first_look_to_the_last():
    with Terminal(DEMO, 120, 36) as terminal:
        terminal.until("Ask, or write down what happened")
        terminal.until("OVERDUE")

        terminal.type("what should I do today")
        terminal.until("17 tasks today")

        terminal.press(*"2 of B hatched this morning")
        terminal.until("would note")
        terminal.press("enter")
        terminal.until("Recorded: 2 of B hatched")
        terminal.until("10 eggs")

        terminal.type("one C died")
        terminal.until("which?")
        terminal.press("1", "enter")
        terminal.until("Recorded: 1 C larva died")
        terminal.press("f9")
        terminal.until("Taken back")

        terminal.press("f3")
        terminal.until("Cannot wait")
        terminal.press(" ")
        terminal.until("[x] done · Watch D in tub 2")
        terminal.press("u")
        terminal.until("[ ] Watch D in tub 2")

        terminal.press("f4")
        terminal.until("\n month")
        terminal.press("+")
        terminal.until("\n week")
        terminal.press("f5")
        terminal.until("13 to choose from")
        terminal.press("B", "enter")
        terminal.until("monarch (Danaus plexippus)")
        terminal.press("f6")
        terminal.until("Alive by days since coming in")
        terminal.press("f7")
        terminal.until("entries")
        terminal.press(*"fennl")
        terminal.until("Foeniculum vulgare")
        terminal.press("escape", "escape")
        terminal.until("Ask, or write down what happened")

        terminal.resize(40, 20)
        terminal.until("animals")
        terminal.resize(120, 36)
        terminal.type("how much bleach for a 2 cup dish at 10%")
        terminal.until("47.3 mL")
        terminal.press("f8")
        terminal.until("▾ from")
        terminal.press("ctrl+q")
        assert terminal.end() == 0
