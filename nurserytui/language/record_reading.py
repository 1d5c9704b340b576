"""A line that states something, read as drafts of events."""

from __future__ import annotations

import re

from nurserytui.language import (
    record_becoming,
    record_days,
    record_kinds,
    record_origins,
    record_settings,
    record_slots,
    record_still_gone,
    record_stock,
    record_unknown,
)
from nurserytui.language.clause import STAGES, Clause, Item
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_clauses import clauses_of
from nurserytui.language.record_events import ANIMAL_EVENTS, CARE
from nurserytui.language.record_guard import strangers
from nurserytui.language.record_sentences import drafts_of
from nurserytui.language.record_signs import NOTED, sign
from nurserytui.language.record_unreal import negated, real
from nurserytui.language.record_verbs import best_verb
from nurserytui.language.record_words import SIGN_WORDS
from nurserytui.language.request import Period
from nurserytui.language.spans import scan
from nurserytui.language.vocabulary import Vocabulary


def read(line: Line, items: list[Item], nursery) -> tuple[Draft, ...]:
    """The drafts of a line that is no question, undo, correction or reply."""
    now, units = nursery.now, getattr(nursery.settings, "units", "C")
    impossible = record_days.impossible_date(line, now)
    note = record_settings.NOTE.match(line.text)
    if note and (":" in note[0] or not note[0].strip().casefold().startswith(("diary", "journal", "comment"))):
        return _note(line, items, note, now)
    signed = record_settings.SIGN.match(line.text)
    if signed:
        inside = [item for item in items if item.start >= signed.end()]
        seen = sign(line, [item for item in items if item.word != "sign"], line.text[signed.end() :], now)
        return (seen._replace(impossible=impossible),) if inside else ()
    if gone := record_still_gone.told(line, items):
        return (gone,)
    if stocked := record_stock.told(items, now):
        return tuple(draft._replace(impossible=impossible) for draft in stocked)
    if become := record_becoming.told(items, nursery):
        return tuple(draft._replace(impossible=impossible) for draft in become)
    if unknown := record_unknown.brought_in(line, items, now) or record_unknown.entered(line, items, nursery):
        return tuple(draft._replace(impossible=impossible) for draft in unknown)
    if unread := record_days.unread(line):
        items = [item for item in items if not unread[0] <= item.start < unread[1]]
    day, figures = _bare_day(line, nursery)
    clauses = clauses_of([item for item in items if item.raw != figures])
    if not (clauses := real(clauses)):
        return ()
    clauses = [clause for clause in clauses if FORGOTTEN.isdisjoint(clause.words())] or clauses
    clauses = [clause for clause in clauses if not _stays(clause)] or clauses
    told = record_kinds.corrected(clauses)
    if (placed := record_origins.with_origins(line, items, told)) is not items:
        told = record_kinds.corrected(real(clauses_of([item for item in placed if item.raw != figures])))
    found = drafts_of(line, told, now, units)
    if not found or strangers(line, items, found):
        return ()
    if day and not any(draft.when for draft in found) and ("/" in figures or found[0].what in ANIMAL_EVENTS | set(CARE)):
        found = tuple(draft._replace(when=day) for draft in found)
    if impossible:
        found = tuple(draft._replace(impossible=impossible) for draft in found)
    return found


def _stays(clause: Clause) -> bool:
    """Whether a clause only says who stays where they are (`…, eggs stay put`)."""
    words = clause.words()
    return not STAYING.isdisjoint(words[1:]) and words[0] in STAGES | {"the", "rest", "others"} and "NUMBER" not in words


STAYING = frozenset("stay stays stayed".split())
FORGOTTEN = frozenset(("forgot", "forgotten"))
"""A clause with one of these (`forgot to put it in`) tells of the keeper, not of animals."""
BARE_DAY = re.compile(r"^(\d{1,2}/\d{1,2}|\d{1,2}\.\d{1,2}\.)(?=[:,\s])|\s(\d{1,2}/\d{1,2}|\d{1,2}\.\d{1,2}\.)(?=[.,;]|\s*$)")
FRACTIONS = frozenset(["1/2", "1/3", "2/3", "1/4", "3/4"])


def _bare_day(line: Line, nursery) -> tuple[Period | None, str]:
    """The day of `31/7: 2 died` or `2 died 31/7`: figures at the edge of what is told, which no `on` marks as a date."""
    said = BARE_DAY.search(line.text)
    if said is None or (figures := said[1] or said[2]) in FRACTIONS:
        return None, ""
    day = scan(f"on {figures}", Vocabulary.of(nursery), nursery.now, nursery.settings)
    period = next((record_days.in_the_past(span.value, nursery.now) for span in day.of("period")), None)
    return period, figures.rstrip(".") if period else ""


def _note(line: Line, items: list[Item], note: re.Match, now) -> tuple[Draft, ...]:
    rest = line.text[note.end() :].strip()
    inside = [item for item in items if item.start >= note.end()]
    words = {item.word for item in inside}
    explicit = ":" in line.text[note.start() : note.end()]
    animals = words & {"COHORT", "ENCLOSURE"}
    strong = best_verb(inside, weak=False)
    if (
        not explicit
        and strong
        and strong.what not in ("checked", "died", "prepupated")
        and not negated(Clause(tuple(inside), strong))
    ):
        return drafts_of(line, clauses_of(inside), now, "C")
    if animals and (words & SIGN_WORDS or "sign" in words):
        return (sign(line, inside, rest, now)._replace(lead=NOTED),)
    if not rest:
        return ()
    place = next((item for item in inside if item.word == "ENCLOSURE"), None)
    draft = record_slots.filled(Draft("note"), [item for item in inside if item.word in ("COHORT", "PERIOD")], line, now)
    when = draft.when if draft.when and draft.when.start <= now and (draft.when.end - draft.when.start).days < 1 else None
    return (
        draft._replace(note=rest, enclosure=place.span.value if place else "", count=None, refers=False, unknown="", when=when),
    )
