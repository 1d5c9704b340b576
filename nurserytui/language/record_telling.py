"""The events that one clause tells, with a verb or without."""

from __future__ import annotations

from itertools import takewhile

from nurserytui.language import (
    record_counts,
    record_days,
    record_head_label,
    record_kinds,
    record_labels,
    record_settings,
    record_slots,
    record_stock,
)
from nurserytui.language.clause import STAGES, Clause, Verb, who
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_build import built, counted
from nurserytui.language.record_signs import sign, sign_clause
from nurserytui.language.record_unreal import negated, unmoving
from nurserytui.language.record_verbs import best_verb
from nurserytui.language.record_words import DARK_WORDS, NEGATIONS


def told_by(line: Line, clause: Clause, now, units: str, everything: bool, found: list[Draft]) -> list[Draft]:
    verb = clause.verb
    words = clause.words()
    if verb is None:
        if readings := record_settings.temperatures(clause.items, now, units):
            return readings
        weak = best_verb(clause.items)
        if draft := record_stock.stock(clause.items, everything, now):
            return [draft]
        if _intake(clause):
            return built(
                line, clause, Verb("found", len(clause.items) - 1, len(clause.items) - 1, frozenset(), 1), now, everything, found
            )
        if weak and weak.what == "counted":
            return counted(line, clause, weak, now)
        if weak and weak.what == "sign" and (draft := sign_clause(line, clause, now)):
            other = record_kinds.instead(clause, draft.what)
            return told_by(line, other, now, units, everything, found) if other else [draft]
        return []
    if (things := record_kinds.of_things(line, clause, verb.what, now, units)) is not None:
        return things
    if (
        verb.what == "prepupated"
        and set(words) & DARK_WORDS
        and (draft := sign(line, clause.items, clause.text(line), now)).cohort
    ):
        return [draft]
    if unmoving(clause):
        return [sign(line, clause.items, line.text, now)]
    if negated(clause):
        if verb.what in ("hatched", "moulted", "prepupated", "pupated", "emerged", "died", "escaped", "missing"):
            verb = verb._replace(what="checked")
        elif verb.what == "found":
            verb = verb._replace(what="checked") if "COHORT" in words or "ENCLOSURE" in words else verb
    return built(line, clause, verb, now, everything, found)


def _intake(clause: Clause) -> bool:
    """`12 peacock eggs in, tub 3`: animals of a species with their number, and `in` behind them."""
    words = [item.word for item in clause.items if item.kind != "period"]
    return (
        words[-1:] == ["in"]
        and words[-2:-1] != []
        and words[-2] in STAGES | {"SPECIES"}
        and {"NUMBER", "SPECIES"} <= set(words)
        and "COHORT" not in words
    )


def _another_species(clause: Clause, now) -> Draft | None:
    """`M2 was never a tiger, its a spicebush swallowtail`: what a cohort is not, and then what it is."""
    words = clause.words()
    denied = next((at for at, item in enumerate(clause.items) if item.word in NEGATIONS and not item.span), None)
    if words[0] != "COHORT" or words[-1] != "SPECIES" or denied is None:
        return None
    said = next(
        (at for at in range(len(words) - 2, denied, -1) if words[at] in ("its", "theyre", "they", "it", "is", "are")), None
    )
    if said is None:
        return None
    cohort, mark = who(clause.items[0])
    when = record_days.when_of(clause.items, now)
    return Draft("identified", cohort=cohort, mark=mark, species=clause.items[-1].span.value, when=when)


def _of_each(sign_seen: Draft, clause: Clause) -> tuple[Draft, ...]:
    """A sign on each of the cohorts that stand side by side (`black spots on A and D`)."""
    at = next((at for at, item in enumerate(clause.items) if item.word == "COHORT"), len(clause.items))
    run = list(takewhile(lambda item: item.word == "COHORT", clause.items[at:]))
    return tuple(sign_seen._replace(cohort=cohort, mark=mark) for cohort, mark in map(who, run)) or (sign_seen,)


def told_by_all(line: Line, clause: Clause, now, units: str, everything: bool) -> tuple[Draft, ...]:
    """A line without any strong verb, read as a whole: a sign, plants on hand, a reading, or a cohort's species."""
    if readings := record_settings.temperatures(clause.items, now, units):
        return tuple(readings)
    stocked = record_stock.stock(clause.items, everything, now)
    if stocked:
        return (stocked,)
    if renamed := _another_species(clause, now):
        return (renamed,)
    if draft := sign_clause(line, clause, now):
        other = record_kinds.instead(clause, draft.what)
        return tuple(told_by(line, other, now, units, everything, [])) if other else _of_each(draft, clause)
    weak = best_verb(clause.items)
    if weak and weak.what == "counted":
        return tuple(counted(line, clause, weak, now))
    words = clause.words()
    label, labelled = record_labels.label_in(clause.items, line)
    if not label and (label := record_head_label.in_front(line, clause.items)):
        labelled = frozenset((0,))
    numbered = bool(record_counts.numbers_in(clause.items))
    if label and numbered and set(words) & STAGES and set(words) & {"SPECIES"}:
        weighed = record_kinds.weigh(clause.items)
        what = "laid" if weighed and weighed.topic == "laid" else "found"
        return (
            record_slots.filled(Draft(what, cohort=label), clause.items, line, now, frozenset(), labelled)._replace(
                unknown="", refers=False
            ),
        )
    if "new" in words and (label or set(words) & {"cohort", "group", "batch"}) and set(words) & (STAGES | {"SPECIES"}):
        draft = record_slots.filled(Draft("found", cohort=label), clause.items, line, now, frozenset(), labelled)
        return (draft._replace(unknown="", refers=False, stage=draft.stage or ("larva" if draft.instar else "")),)
    return ()
