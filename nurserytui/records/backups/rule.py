"""The rule by which backups are made and kept: read from the keeper's setting, said in one sentence."""

from __future__ import annotations

import re
from typing import NamedTuple

MOST = 1000
"""Copies of one kind of span that a rule may ask for."""
NEWEST = 5
"""So many of the newest are kept whatever day they are of."""
SAFEGUARDS = 10
"""So many of the newest before a restore, and before the file was brought up to date, are kept."""
UNITS = ("days", "weeks", "months", "years")


class Rule(NamedTuple):
    """When a backup is made by itself, and how many of the last ones of a day, week, month and year are kept.

    One before a restore and one before the file is brought up to a new version are made whatever the rule says.
    """

    daily: bool = True
    imports: bool = True
    days: int = 7
    weeks: int = 5
    months: int = 12
    years: int | None = None
    """None keeps the last of every year."""

    @property
    def on(self) -> bool:
        """Whether any are made by themselves; if not, none is taken away by itself either."""
        return self.daily or self.imports


OFF = Rule(daily=False, imports=False)


def parse(text: str, before: Rule | None = None) -> Rule:
    """The rule of `off`, `daily, keep 10 days`, `not daily, before imports, keep 7 days, 5 weeks, 12 months, all years`.

    What is not said stays as it was `before` (as the usual rule has it, where that is off). ValueError with the reason.
    """
    said = text.strip().strip(".!").casefold()
    if said in ("off", "none", "never", "no"):
        return OFF
    rule = before if before is not None and before.on else Rule()
    if said in ("on", "default", "as usual"):
        return Rule()
    changes: dict[str, bool | int | None] = {}
    for part in re.split(r"[,;]|\band\b", said):
        part = re.sub(r"^(?:keep|keeping|for) ", "", re.sub(r"\s+", " ", part.strip()))
        if found := re.fullmatch(
            r"(no|not|never )?\s*(?:made )?(daily|every day|each day|before (?:an |each |every )?imports?)", part
        ):
            changes["imports" if "import" in found[2] else "daily"] = not found[1]
        elif found := re.fullmatch(r"(?:the last (?:of )?)?(\d+|no|all|every)\s*(day|week|month|year)s?", part):
            unit = f"{found[2]}s"
            if found[1] in ("all", "every") and unit != "years":
                raise ValueError(f"{part!r}: only of years can all be kept; write a number")
            count = None if found[1] in ("all", "every") else 0 if found[1] == "no" else int(found[1])
            if count is not None and count > MOST:
                raise ValueError(f"{part!r} is too many: {MOST:,} at most")
            changes[unit] = count
        else:
            raise ValueError(
                f"{part!r} is no part of a rule for backups: write off, or daily, before imports, keep 7 days, 5 weeks, 12 months, all years"
            )
    return rule._replace(**changes)


def written(rule: Rule) -> str:
    """The rule as the setting says it; `parse` reads it back."""
    if not rule.on:
        return "off"
    when = [words if yes else f"not {words}" for yes, words in ((rule.daily, "daily"), (rule.imports, "before imports"))]
    counts = [f"{getattr(rule, unit)} {unit}" for unit in UNITS[:3]] + [
        "all years" if rule.years is None else f"{rule.years} years"
    ]
    return ", ".join([*when, f"keep {counts[0]}", *counts[1:]])


def sentence(rule: Rule) -> str:
    """The rule as a keeper reads it."""
    if not rule.on:
        return (
            "Backups are off: one is made only before a restore, before the file is brought up to a new version of the program, "
            "and when you ask for it; none is taken away."
        )
    when = [
        words
        for yes, words in (
            (rule.daily, "after the first answer of a day if anything was written since the last one"),
            (rule.imports, "before an import"),
        )
        if yes
    ]
    spans = [f"{count} {unit if count != 1 else unit[:-1]}" for unit in UNITS if (count := getattr(rule, unit))]
    spans += ["every year"] if rule.years is None else []
    return (
        f"A backup is made {_list([*when, 'before a restore', 'before the file is brought up to a new version of the program'])}. "
        f"Kept are the newest {NEWEST}{f', and the last of each of {_list(spans)}' if spans else ''}; "
        f"of those before a restore or a new version the newest {SAFEGUARDS} of each."
    )


def _list(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
