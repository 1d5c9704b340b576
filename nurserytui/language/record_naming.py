"""Drafts of cohorts that are called otherwise or put together."""

from __future__ import annotations

from nurserytui.language import record_days, record_labels
from nurserytui.language.clause import Verb
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_words import COMMON

FILLING = COMMON | frozenset(
    """
    label labels tag tags named names called known goes going under aka henceforth henceforward hence forth onward onwards formerly rename renamed renaming
    relabel relabelled relabeled change changed will shall should be being want wants like would lets let's wish call dub dubbed becomes
    become instead longer carries carry bears given gets animals cohort's
    """.split()
)
"""Words of a renaming that are no label."""


def _fills(label: str) -> bool:
    """Whether a word is no label: a single capital is one."""
    return label.casefold() in FILLING and not (len(label) == 1 and label.isupper())


def _only_name(line: Line, items, verb: Verb) -> str:
    """The one word behind the cohort that can be its new label (`D's new name is Oakley`); "" where there are none or several."""
    first = next((at for at, item in enumerate(items) if item.kind == "cohort"), len(items))
    after = [item for item in items[first + 1 :] if item.kind in record_labels.LABELLING and item.word not in FILLING]
    after = [item for item in after if item.word != "NUMBER" and not _fills(record_labels.raw_label(line, item))]
    return record_labels.raw_label(line, after[0]) if len(after) == 1 else ""


def renamed_or_merged(line: Line, items, verb: Verb, now) -> list[Draft]:
    """`rename K to porch-1`, `put A together with B`, `merged A and B into C`."""
    when = record_days.when_of(items, now)
    cohorts = [item.span.value for item in items if item.kind == "cohort"]
    turn = next(
        (
            at
            for at, item in enumerate(items)
            if item.word in ("to", "as", "into", "called", "by", "->", "=>") and at > verb.first and at + 1 < len(items)
        ),
        next((at for at, item in enumerate(items[:-1]) if item.word == "name" and at > verb.first), None),
    )
    label = ""
    if turn is not None:
        following = turn + 1
        while following + 1 < len(items) and items[following].word in (
            "cohort",
            "group",
            "a",
            "one",
            "NUMBER",
            "new",
            "the",
            "be",
            "called",
            "batch",
            "single",
        ):
            following += 1
        target = items[following]
        label = target.span.value if target.kind == "cohort" else record_labels.raw_label(line, target)
        if target.word in ("one", "cohort", "group", "together", "batch") or target.kind in ("period",):
            label = ""
    if verb.what == "renamed":
        unknown = "" if cohorts else record_labels.unknown_label(items, line)
        if not label or _fills(label):
            label = _only_name(line, items, verb)
        return [
            Draft(
                "renamed",
                cohort=cohorts[0] if cohorts else "",
                to=label if not cohorts or label != cohorts[0] else "",
                unknown=unknown,
                when=when,
            )
        ]
    if label and label in cohorts:
        cohorts = [cohort for cohort in cohorts if cohort != label]
    elif not label and len(cohorts) >= 2:
        label = cohorts.pop()
    if not cohorts:
        return [Draft("merged", to=label, when=when, unknown=record_labels.unknown_label(items, line))]
    return [Draft("merged", cohort=cohort, to=label, when=when) for cohort in cohorts]
