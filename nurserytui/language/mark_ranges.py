"""`C3 to C6`, `C3-C6`: the animals of a cohort from one mark to another, told one by one before a line is read."""

from __future__ import annotations

import re

RANGE = re.compile(r"\b([^\W\d_])(\d{1,2})\s*(?:-|–|\bto\b|\bthrough\b|\bthru\b)\s*\1(\d{1,2})\b", re.I)


ASKING = re.compile(r"\?|\b(?:who|which|what|where|when|how|whose|survival|history|deaths|losses)\b", re.I)
"""What a line holds that asks: then it is about all of them, not about those that live."""


def spelt_out(text: str, vocabulary) -> str:
    """The line with every mark of such a range, those of the living where it tells something; as it is where the letter is no cohort of marked animals."""
    found = RANGE.search(text)
    if found is None:
        return text
    cohort = vocabulary.letters.get(found[1]) or vocabulary.letters.get(found[1].upper())
    low, high = int(found[2]), int(found[3])
    living = vocabulary.marks.get(cohort or "", ())
    marks = [mark for mark in range(low, high + 1) if living and (ASKING.search(text) or str(mark) in living)]
    if len(marks) < 2 or vocabulary.cohort([found[1] + found[2]]):
        return text
    names = [f"{found[1].upper()}{mark}" for mark in marks]
    return f"{text[: found.start()]}{', '.join(names[:-1])} and {names[-1]}{text[found.end() :]}"
