"""What a headcount can say of males and females: the ledger counts animals without their sex."""

from __future__ import annotations

from nurserytui.answers.answer import Answer
from nurserytui.answers.looked_up import sex_of
from nurserytui.answers.selection import Wanted
from nurserytui.answers.wording import counted, unknown


def unsexed(request, want: Wanted, found, about: dict) -> Answer:
    """That nobody can tell how many of those standing there are of the sex asked for, and where it is noted."""
    sex, whose = sex_of(request), want.cohorts[0] if want.cohorts else ""
    there = counted(sum(count for _, count in found), "animal")
    text = f"How many of them are {sex}s cannot be told: the records count {there} there without their sex."
    next_ones = (
        f"how many {sex}s were released{f' of {whose}' if whose else ''}",
        f"history of {whose}" if whose else "headcount",
    )
    return unknown("headcount", text, about=about, next=next_ones)
