"""Numbers as tables hold them: decimal points and commas, and counts that may be estimates. What could be two numbers is none."""

from __future__ import annotations

import re

_COUNT = re.compile(r"(\d{1,7})([.,]0{1,2})?")
"""A spreadsheet may have written 12 as 12.0 or 12,00."""
_GROUPED = re.compile(r"\d{1,3}([.,'’\u00a0\u202f ]\d{3})+([.,]\d+)?")
_DECIMAL = re.compile(r"[-+\u2212]?\d+(?:[.,]\d+)?(?:[eE][-+]?\d+)?")


def count(name: str, text: str) -> tuple[int, bool]:
    """(the whole number, whether it is an estimate, which only a count can be); ValueError with the reason."""
    rough = name == "count" and text.startswith("~")
    digits = text[1:].strip() if rough else text
    found = _COUNT.fullmatch(digits)
    if found:
        return int(found[1]), rough
    if _GROUPED.fullmatch(digits):
        plain = re.sub(r"\D", "", digits)
        raise ValueError(f"{text!r} can be {plain}, or a number with decimals: write it without a mark for thousands")
    whole = "whole number" + (", or ~80 for an estimate" if name == "count" else "")
    raise ValueError(f"{text!r} is no {name}: write a {whole}")


def decimal(text: str) -> float:
    """A number with a decimal point or comma; ValueError for anything else, also for marks of thousands."""
    try:
        if "_" not in text:
            return float(text)
    except ValueError:
        pass
    if _DECIMAL.fullmatch(text):
        return float(text.replace(",", ".").replace("\u2212", "-"))
    raise ValueError(f"{text!r} is no number")
