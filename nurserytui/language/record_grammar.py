"""Typed records: a sentence that tells of something done or seen becomes drafts of events.

Nothing is looked up in the ledger here and nothing is decided that the sentence does not say; answers/record.py fills the holes.
A question, a plan or a sentence about anything but this nursery gives None.
"""

from __future__ import annotations

import re

from nurserytui.language import record_settings, record_slots
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_build import built, counted, sign, sign_clause
from nurserytui.language.record_clauses import STAGES, Clause, Item, best_verb, clauses_of, items_of
from nurserytui.language.record_guard import asks, negated, planned, polite, strangers
from nurserytui.language.record_joining import inheriting, modified, referring, repeated, tidied, told_earlier
from nurserytui.language.record_words import ASKING, SIGN_WORDS
from nurserytui.language.request import Request


def drafts(line: Line, nursery, context=None) -> Request | None:
    """The records in a line, as a Request of topic `record` (or `undo`); None where the line records nothing."""
    from nurserytui.language import record_replies

    if not line.tokens:
        return None
    last_group = getattr(context, "last_group", "")
    if record_replies.is_undo(line) and not _drops(line, context):
        return Request(line.text, "undo", group=last_group, plain=line.plain, layer="grammar", score=1.0)
    items = polite(items_of(line, nursery.ledger.cohorts))
    if not items:
        return None
    settings = record_settings.settings(line, items) if "?" not in line.text and items[0].word not in ASKING - {"show"} else ()
    if settings:
        return _request(line, settings)
    if asks(line, items):
        return None
    correction = record_replies.correction(line, items, nursery, context)
    if correction is not None:
        return correction
    answer = record_replies.short_answer(line, items, nursery, context)
    if answer is not None:
        return answer
    found = read(line, items, nursery)
    if not found:
        return record_replies.reply(line, items, nursery, context)
    return _request(line, referring(found, context))


def _drops(line: Line, context) -> bool:
    """`scrap that` while a question about a record is open drops the question: nothing was written that could be taken back."""
    opened = getattr(context, "open", None)
    waiting = opened is not None and opened.topic == "record" and bool(opened.drafts)
    return waiting and not (line.plain.startswith("undo") and context.last_group)


def _request(line: Line, found: tuple[Draft, ...]) -> Request:
    first = found[0]
    return Request(
        line.text,
        "record",
        cohorts=tuple(dict.fromkeys(draft.cohort for draft in found if draft.cohort)),
        mark=first.mark,
        species=tuple(draft.species for draft in found[:1] if draft.species),
        hosts=tuple(draft.host for draft in found[:1] if draft.host),
        enclosures=tuple(dict.fromkeys(place for draft in found for place in (draft.enclosure, draft.to) if place)),
        event=first.what,
        period=first.when,
        drafts=found,
        plain=line.plain,
        layer="grammar",
        score=1.0,
    )


def read(line: Line, items: list[Item], nursery) -> tuple[Draft, ...]:
    """The drafts of a line that is no question, undo, correction or reply."""
    now, units = nursery.now, getattr(nursery.settings, "units", "C")
    impossible = record_slots.impossible_date(line, now)
    note = record_settings.NOTE.match(line.text)
    if note:
        return _note(line, items, note, now)
    signed = record_settings.SIGN.match(line.text)
    if signed:
        inside = [item for item in items if item.start >= signed.end()]
        return (sign(line, [item for item in items if item.word != "sign"], line.text[signed.end() :], now),) if inside else ()
    clauses = clauses_of(items)
    if planned(clauses):
        return ()
    found = _drafts_of(line, clauses, now, units)
    if not found or strangers(line, items, found):
        return ()
    if impossible:
        found = tuple(draft._replace(impossible=impossible) for draft in found)
    return found


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
        return _drafts_of(line, clauses_of(inside), now, "C")
    if animals and (words & SIGN_WORDS or "sign" in words):
        return (sign(line, inside, rest, now),)
    if len(rest) < 2:
        return ()
    place = next((item for item in inside if item.word == "ENCLOSURE"), None)
    draft = record_slots.filled(Draft("note"), [item for item in inside if item.word in ("COHORT", "PERIOD")], line, now)
    when = draft.when if draft.when and draft.when.start <= now and (draft.when.end - draft.when.start).days < 1 else None
    return (
        draft._replace(note=rest, enclosure=place.span.value if place else "", count=None, refers=False, unknown="", when=when),
    )


def _drafts_of(line: Line, clauses: list[Clause], now, units: str) -> tuple[Draft, ...]:
    """One draft for each clause with an event of its own; the clauses without one add to the draft before them, or after."""
    found: list[Draft] = []
    before: list[Clause] = []
    everything = bool(
        re.search(r"\b(all|only) (?:that )?(?:i|ive|i've|we|weve|we've|thats|that's|there)\b|\ball gone now\b", line.plain)
    )
    whole: Clause | None = None
    made: list[Draft] = []
    for clause in clauses:
        joins = (
            whole is not None
            and clause.verb is None
            and set(clause.words()) & {"COHORT", "ENCLOSURE", "PLANT"}
            and "NUMBER" not in clause.words()
        )
        if (
            joins
            and whole.verb.what in ("merged", "cleaned", "fed", "watered")
            and not _clause(line, clause, now, units, everything, found)
        ):
            # `cleaned jar 1 and tank 2 with …`: the pieces of one list are read together.
            whole = Clause(whole.items + clause.items, whole.verb)
            found[len(found) - len(made) :] = made = built(line, whole, whole.verb, now, everything, found)
            continue
        made = _clause(line, clause, now, units, everything, found)
        whole = clause if made and clause.verb else whole if not made else None
        if made:
            for draft in made:
                for piece in before:
                    earlier = told_earlier(line, piece, clause, draft, now)
                    if earlier:
                        found.append(inheriting(earlier, found[-1] if found else None))
                    else:
                        draft = modified(line, draft, piece, now)
                if (
                    found
                    and draft.what == "moved"
                    and found[-1].what in ("laid", "found")
                    and draft.to
                    and not (draft.cohort or draft.species or draft.enclosure)
                ):
                    found[-1] = found[-1]._replace(enclosure=draft.to)
                    continue
                found.append(inheriting(draft, found[-1] if found else None))
            before = []
        elif found:
            repeat = repeated(line, clause, found[-1], now)
            if repeat:
                if not (found[-1].cohort or found[-1].species or found[-1].enclosure):
                    found[-1] = found[-1]._replace(
                        cohort=repeat.cohort, species=repeat.species, enclosure=repeat.enclosure, mark=repeat.mark
                    )
                found.append(repeat)
            else:
                found[-1] = modified(line, found[-1], clause, now, late=True)
        else:
            before.append(clause)
    if not found and before:
        whole = Clause(tuple(item for clause in before for item in clause.items), None)
        made = _weak(line, whole, now, units, everything)
        found = list(made)
    if re.search(r"\bmales?\b.*\bfemales?\b|\bfemales?\b.*\bmales?\b", line.plain):
        found = [
            draft._replace(detail="")
            if draft.what in ("emerged", "released") and draft.count not in (None, 1) and not _counts_sex(line, draft)
            else draft
            for draft in found
        ]
    return tuple(tidied(found))


def _counts_sex(line: Line, draft: Draft) -> bool:
    """True where the line says how many of them were of that sex."""
    return bool(re.search(rf"\b\w+ {draft.detail}s?\b", line.plain)) and any(
        span.kind == "number" and re.search(rf"{re.escape(span.said.casefold())} {draft.detail}", line.plain)
        for span in line.spans
    )


def _clause(line: Line, clause: Clause, now, units: str, everything: bool, found: list[Draft]) -> list[Draft]:
    verb = clause.verb
    words = clause.words()
    if verb is None:
        reading = record_settings.temperature(clause.items, now, units)
        if reading:
            return [reading]
        weak = best_verb(clause.items)
        if draft := record_settings.stock(clause.items, everything, now):
            return [draft]
        if weak and weak.what == "counted":
            return counted(line, clause, weak, now)
        if weak and weak.what == "sign" and (draft := sign_clause(line, clause, now)):
            return [draft]
        return []
    if negated(clause):
        if verb.what in ("hatched", "moulted", "prepupated", "pupated", "emerged", "died", "escaped", "missing"):
            verb = verb._replace(what="checked")
        elif verb.what == "found":
            verb = verb._replace(what="checked") if "COHORT" in words or "ENCLOSURE" in words else verb
    return built(line, clause, verb, now, everything, found)


def _weak(line: Line, clause: Clause, now, units: str, everything: bool) -> tuple[Draft, ...]:
    """A line without any strong verb, read as a whole: a sign, plants on hand, a reading, or a cohort's species."""
    reading = record_settings.temperature(clause.items, now, units)
    if reading:
        return (reading,)
    stocked = record_settings.stock(clause.items, everything, now)
    if stocked:
        return (stocked,)
    if draft := sign_clause(line, clause, now):
        return (draft,)
    weak = best_verb(clause.items)
    if weak and weak.what == "counted":
        return tuple(counted(line, clause, weak, now))
    words = clause.words()
    label, labelled = record_slots.label_in(clause.items, line)
    numbered = bool(record_slots.numbers_in(clause.items))
    if label and numbered and set(words) & STAGES and set(words) & {"SPECIES"}:
        return (
            record_slots.filled(Draft("found", cohort=label), clause.items, line, now, frozenset(), labelled)._replace(
                unknown="", refers=False
            ),
        )
    if "new" in words and (label or set(words) & {"cohort", "group", "batch"}) and set(words) & (STAGES | {"SPECIES"}):
        draft = record_slots.filled(Draft("found", cohort=label), clause.items, line, now, frozenset(), labelled)
        return (draft._replace(unknown="", refers=False),)
    return ()
