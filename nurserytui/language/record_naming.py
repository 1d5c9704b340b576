"""Drafts of cohorts that are called otherwise or put together."""

from __future__ import annotations

from nurserytui.language import record_days, record_labels
from nurserytui.language.clause import Verb
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_words import COMMON


def renamed_or_merged(line: Line, items, verb: Verb, now) -> list[Draft]:
    """`rename K to porch-1`, `put A together with B`, `merged A and B into C`."""
    when = record_days.when_of(items, now)
    cohorts = [item.span.value for item in items if item.kind == "cohort"]
    turn = next(
        (
            at
            for at, item in enumerate(items)
            if item.word in ("to", "as", "into", "called", "by") and at > verb.first and at + 1 < len(items)
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
        if not label and turn is None and cohorts and verb.last + 1 < len(items) and items[verb.first].word != "call":
            target = items[verb.last + 1]
            if target.kind == "cohort" and target.span.value == cohorts[0] and verb.last + 2 < len(items):
                target = items[verb.last + 2]  # `rename B B-2`
            label = target.span.value if target.kind == "cohort" else record_labels.raw_label(line, target)
            label = "" if label in COMMON else label
        if not label and items[verb.first].word == "call" and cohorts:
            named = next((at for at, item in enumerate(items) if item.kind == "cohort" and at > verb.first), len(items))
            label = record_labels.raw_label(line, items[named + 1]) if named + 1 < len(items) else ""
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
