"""Lines about backups of the nursery: a rule that is told, and a question. A food that stands in for another is called a backup too."""

from __future__ import annotations

import re

from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.records.backups.rule import Rule, parse, written

RULE = re.compile(
    r"\s*(?:please\s+)?(?:(?:setting|set|make|change)s?\s+)?(?:(?:the|my|our)\s+)?back-?ups?\b\s*(?:(?:rule|setting)\b\s*)?(?:to|=|:|are|is)?\s*(.{2,80}?)[\s.!]*$"
    r"|\s*(keep)\s+(?:(?:the|my|our)\s+)?back-?ups?\s+(?:for|of)?\s*(.{2,60}?)[\s.!]*$"
    r"|\s*(?:turn|switch)\s+(?:(?:the|my|our)\s+)?back-?ups?\s+(on|off)[\s.!]*$"
    r"|\s*(?:turn|switch)\s+(on|off)\s+(?:(?:the|my|our)\s+)?back-?ups?[\s.!]*$"
    r"|\s*(no)\s+(?:more\s+)?back-?ups?[\s.!]*$",
    re.I,
)
WORDS = frozenset(
    "a all an and any are automatic automatically be been by can copies copy daily day did do does every file for from get go have has how i in is "
    "it itself keep keeping kept last latest list long made make many me most much my newest now nursery of often old on once one our please "
    "put recent records restore rule set setting settings show take taken tell the them themselves there they this to today up was we were "
    "what when where which will you yesterday".split()
)
"""Words of a line that asks about backups and nothing else."""
RULE_WORDS = frozenset(
    "a after all always an and annually at backup backups before copies copy daily day days each ever every few for fortnight fortnightly "
    "forever hour hourly hours import imports in keep keeping last made make minute minutes month monthly months morning never newest night "
    "nightly no none not of on once only other per quarterly the them then three time times twice two week weekly weeks year yearly years".split()
)
"""Words of a line that can only tell a rule for backups."""
BACKUP = re.compile(r"back-?ups?|backed")


def rule(line: Line, nursery) -> tuple[Draft, ...]:
    """The rule for backups that a line tells, as a setting that says all of it; () if it tells none."""
    said = _said(line.text)
    if not said:
        return ()
    try:
        told = _parsed(said, nursery.settings.backups)
    except ValueError:
        return ()
    return (Draft("setting", detail=f"backups={written(told)}"),)


def refused(text: str, before: Rule) -> str:
    """Why the rule for backups that a line tells cannot be kept; "" if the line tells none, or one that can."""
    said = _said(text)
    if not said or not RULE_WORDS.issuperset(re.findall(r"[^\W\d]+", said.casefold())):
        return ""
    try:
        _parsed(said, before)
    except ValueError as error:
        return str(error)
    return ""


def _said(text: str) -> str:
    """What a line says after `backups`, or before it."""
    found = RULE.match(text)
    return next((part for part in found.groups()[::-1] if part), "") if found else ""


def _parsed(said: str, before: Rule) -> Rule:
    """`rule.parse`, but for a rule that would keep none of what it has made."""
    told = parse(said, before)
    if told.on and told.daily and not told.days:
        raise ValueError("a rule that makes one each day keeps the last of 1 day at least; say backups off for none")
    if told.on and not (told.days or told.weeks or told.months or told.years != 0):
        raise ValueError("that would keep none; say backups off for none to be made by themselves")
    return told


def asked(line: Line) -> bool:
    """Whether a line is about backups of the nursery and nothing else."""
    words = re.findall(r"[\w'-]+", line.plain.casefold())
    about = [word for word in words if BACKUP.fullmatch(word)]
    if "back" in words and "up" in words and words.index("up") == words.index("back") + 1:
        about, words = ["back up"], [word for word in words if word != "back"]
    return bool(about) and WORDS.issuperset(word for word in words if not BACKUP.fullmatch(word))
