"""Typed records: a sentence that tells of something done or seen becomes drafts of events.

Nothing is looked up in the ledger here and nothing is decided that the sentence does not say; answers/record.py fills the holes.
A question, a plan or a sentence about anything but this nursery gives None.
"""

from __future__ import annotations

import re

from nurserytui.language import record_kinds, record_origins, record_settings, record_slots, record_stock
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_build import ANIMAL_EVENTS, CARE, NOTED, RESULT, built, counted, sign, sign_clause
from nurserytui.language.record_clauses import STAGES, Clause, Item, Verb, best_verb, clauses_of, items_of
from nurserytui.language.record_guard import asks, doubted, foreign, holed, intended, negated, planned, polite, strangers
from nurserytui.language.record_joining import inheriting, modified, referring, repeated, tidied, told_earlier
from nurserytui.language.record_words import ASKING, DARK_WORDS, NEGATIONS, SIGN_WORDS
from nurserytui.language.request import Period, Request


def drafts(line: Line, nursery, context=None) -> Request | None:
    """The records in a line, as a Request of topic `record` (or `undo`); None where the line records nothing."""
    from nurserytui.language import record_corrections, record_replies

    if not line.tokens:
        return None
    last_group = getattr(context, "last_group", "")
    if record_replies.is_undo(line) and not _drops(line, context):
        return Request(line.text, "undo", group=last_group, plain=line.plain, layer="grammar", score=1.0)
    items = polite(items_of(line, nursery.ledger.cohorts))
    if not items:
        return None
    asked = items[0].word in ASKING - {"show"} or any(one.stop and two.word in ASKING for one, two in zip(items, items[1:]))
    settings = () if asked or "?" in line.text else record_settings.settings(line, items)
    if settings:
        return request_of(line, settings)
    if asks(line, items):
        return None
    leaning = record_corrections.correction(line, items, nursery, context) or record_replies.going_on(
        line, items, nursery, context
    )
    if leaning is not None:
        return leaning
    answer = record_replies.short_answer(line, items, nursery, context)
    if answer is not None:
        return answer
    found = read(line, items, nursery)
    if not found:
        return record_replies.reply(line, items, nursery, context)
    if line.tokens[0].text in ("and", "n", "plus", "but") and not record_replies.named(found[0]):
        found = (found[0]._replace(refers=True), *found[1:])  # `and 3 died`
    request = request_of(line, referring(found, context))
    clauses = clauses_of(items)
    if (placed := record_origins.with_origins(line, items, clauses)) is not items:
        clauses = clauses_of(placed)
    animals = found[0].what in ANIMAL_EVENTS
    unsure = doubted(clauses) or (animals and record_kinds.odd(record_kinds.corrected(clauses), {draft.what for draft in found}))
    unsure = unsure or (found[0].what == "note" and found[0].note.isdecimal() and ":" not in line.text)
    return request._replace(cues=frozenset(("doubted",))) if unsure else request


def by_examples(line: Line, nursery, context=None) -> Request | None:
    """The records in a line that no phrase tells of, as far as the examples do: `doubted` where they are not sure."""
    items = polite(items_of(line, nursery.ledger.cohorts))
    if not any(item.span for item in items) and (context is None or context.last is None or len(items) < SPOKEN):
        return None
    if asks(line, items):
        return None
    plain = clauses_of(items)
    if (placed := record_origins.with_origins(line, items, record_kinds.told(plain)[0])) is not items:
        plain = clauses_of(placed)
    clauses, chance = record_kinds.told(plain)
    if not chance or planned(plain) or intended(items) or foreign(line, items):
        return None
    found = _drafts_of(line, clauses, nursery.now, getattr(nursery.settings, "units", "C"))
    if not found:
        return None
    request = request_of(line, referring(found, context))._replace(layer="weighed", score=chance)
    unsure = (
        chance < record_kinds.SURE
        or not record_kinds.ASKED.isdisjoint(draft.what for draft in found)
        or doubted(plain)
        or _denied(items, found)
        or (found[0].what == "renamed" and any(item.word == "PLANT" for item in items))
    )
    return request._replace(cues=frozenset(("doubted",))) if unsure else request


def _denied(items: list[Item], found: tuple[Draft, ...]) -> bool:
    """Whether a word that denies stands beside an event that may be what is denied."""
    return found[0].what not in MAY_DENY and any(item.word in NEGATIONS and not item.span for item in items)


SPOKEN = 3
"""Words from which a line that names nothing may tell of what was spoken of (`found them both`)."""
MAY_DENY = frozenset("checked sign missing counted note tested died identified".split())


def _drops(line: Line, context) -> bool:
    """`scrap that` while a question about a record is open drops the question: nothing was written that could be taken back."""
    opened = getattr(context, "open", None)
    waiting = opened is not None and opened.topic == "record" and bool(opened.drafts)
    return waiting and not (line.plain.startswith("undo") and context.last_group)


def request_of(line: Line, found: tuple[Draft, ...]) -> Request:
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
        cues=holed(line, found),
    )


def read(line: Line, items: list[Item], nursery) -> tuple[Draft, ...]:
    """The drafts of a line that is no question, undo, correction or reply."""
    now, units = nursery.now, getattr(nursery.settings, "units", "C")
    impossible = record_slots.impossible_date(line, now)
    note = record_settings.NOTE.match(line.text)
    if note and (":" in note[0] or not note[0].strip().casefold().startswith(("diary", "journal", "comment"))):
        return _note(line, items, note, now)
    signed = record_settings.SIGN.match(line.text)
    if signed:
        inside = [item for item in items if item.start >= signed.end()]
        seen = sign(line, [item for item in items if item.word != "sign"], line.text[signed.end() :], now)
        return (seen._replace(impossible=impossible),) if inside else ()
    if stocked := record_stock.told(items, now):
        return tuple(draft._replace(impossible=impossible) for draft in stocked)
    if unread := record_slots.unread(line):
        items = [item for item in items if not unread[0] <= item.start < unread[1]]
    day, figures = _bare_day(line, nursery)
    clauses = clauses_of([item for item in items if item.raw != figures])
    if planned(clauses):
        return ()
    clauses = [clause for clause in clauses if FORGOTTEN.isdisjoint(clause.words())] or clauses
    told = record_kinds.corrected(clauses)
    if (placed := record_origins.with_origins(line, items, told)) is not items:
        told = record_kinds.corrected(clauses_of([item for item in placed if item.raw != figures]))
    found = _drafts_of(line, told, now, units)
    if not found or strangers(line, items, found):
        return ()
    if day and not any(draft.when for draft in found) and ("/" in figures or found[0].what in ANIMAL_EVENTS):
        found = tuple(draft._replace(when=day) for draft in found)
    if impossible:
        found = tuple(draft._replace(impossible=impossible) for draft in found)
    return found


FORGOTTEN = frozenset(("forgot", "forgotten"))
"""A clause with one of these (`forgot to put it in`) tells of the keeper, not of animals."""
BARE_DAY = re.compile(r"^(\d{1,2}/\d{1,2}|\d{1,2}\.\d{1,2}\.)(?=[:,\s])|\s(\d{1,2}/\d{1,2}|\d{1,2}\.\d{1,2}\.)(?=[.,;]|\s*$)")
FRACTIONS = frozenset(["1/2", "1/3", "2/3", "1/4", "3/4"])


def _bare_day(line: Line, nursery) -> tuple[Period | None, str]:
    """The day of `31/7: 2 died` or `2 died 31/7`: figures at the edge of what is told, which no `on` marks as a date."""
    said = BARE_DAY.search(line.text)
    if said is None or (figures := said[1] or said[2]) in FRACTIONS:
        return None, ""
    from nurserytui.language.spans import scan
    from nurserytui.language.vocabulary import Vocabulary

    day = scan(f"on {figures}", Vocabulary.of(nursery), nursery.now, nursery.settings)
    period = next((record_slots.in_the_past(span.value, nursery.now) for span in day.of("period")), None)
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
        return _drafts_of(line, clauses_of(inside), now, "C")
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


def _drafts_of(line: Line, clauses: list[Clause], now, units: str) -> tuple[Draft, ...]:
    """One draft for each clause with an event of its own; the clauses without one add to the draft before them, or after."""
    if ONE_COHORT.search(line.plain) and sum(item.kind == "cohort" for clause in clauses for item in clause.items) > 1:
        items = tuple(item for clause in clauses for item in clause.items)
        return tuple(built(line, Clause(items, None), Verb("merged", 0, 0, frozenset(), 1), now, False, []))
    if not any(clause.verb for clause in clauses):
        readings = record_settings.temperatures([item for clause in clauses for item in clause.items], now, units)
        if len(readings) > 1:  # of several places, told in one breath (`24 C in crate 1 and 22 in the tent`)
            return tuple(readings)
    found: list[Draft] = []
    before: list[Clause] = []
    everything = bool(ALL_THERE_IS.search(line.plain))
    listing: Clause | None = None
    made: list[Draft] = []
    for clause in clauses:
        made_before, made = made, _clause(line, clause, now, units, everything, found)
        if not made and listing is not None and _goes_on(listing, clause) and not _leads(line, clause):
            # `cleaned jar 1 and tank 2 with …`: the pieces of one list are read together.
            listing = Clause(listing.items + clause.items, listing.verb)
            made = built(line, listing, listing.verb, now, everything, found)
            found[len(found) - len(made_before) :] = made
            continue
        listing = clause if made and clause.verb else None
        if found and made and _sums_up(clause, made, found[-1]):
            found[-1] = found[-1]._replace(note=clause.text(line).strip())
            made = []
            continue
        if found and (also := _brought_in_too(line, clause, found[-1], now)):
            made = [also]
            found.append(also)
            continue
        if made:
            for draft in made:
                _put(line, draft, clause, before, found, now)
            before = []
        elif found and _leads(line, clause):
            before.append(clause)
        elif found and clause.verb and clause.verb.what == "checked" and found[-1].what in CARE:
            continue  # `fed B, all good`: no number of those fed
        elif found:
            _add(line, clause, found, now)
        else:
            before.append(clause)
    if not found and before:
        whole = Clause(tuple(item for clause in before for item in clause.items), None)
        found = list(_weak(line, whole, now, units, everything))
    if len(found) > 1:
        found = [draft for draft in found if not _of_nothing(draft)] or found[:1]
    if BOTH_SEXES.search(line.plain):
        found = [_without_sex(line, draft) for draft in found]
    found = [_single(clauses, draft) for draft in found] if len(found) == 1 else found
    return tuple(tidied(_at_the_leading_time(clauses, found, now)))


def _single(clauses: list[Clause], draft: Draft) -> Draft:
    """`fat monarch caterpillar off the milkweed, found at 8`: one animal is named, and no number."""
    items = [item for clause in clauses for item in clause.items]
    named = [item for item in items if item.word in STAGES] or [item for item in items if item.word == "SPECIES" and draft.stage]
    if draft.what != "found" or draft.count is not None or len(named) != 1 or record_slots.numbers_in(items):
        return draft
    several = (
        record_slots.plural(named[0])
        or named[0].raw.casefold().endswith("s")
        or {item.word for item in items} & {"some", "several", "few", "loads", "many"}
    )
    return draft if several else draft._replace(count=1)


def _of_nothing(draft: Draft) -> bool:
    """`just got in`, beside what is told of animals: a find of nobody."""
    named = draft.species or draft.cohort or draft.stage or draft.instar or draft.enclosure or draft.host or draft.detail
    return draft.what == "found" and draft.count is None and not named


ONE_COHORT = re.compile(r"\b(?:one|same|single) (?:cohort|group|batch)\b")
ALL_THERE_IS = re.compile(
    r"\b(all|only) (?:that )?(?:i|ive|i've|we|weve|we've|thats|that's|there)\b|\b(thats|that's|that is) (?:all|it|the lot)\b"
)
BOTH_SEXES = re.compile(r"\bmales?\b.*\bfemales?\b|\bfemales?\b.*\bmales?\b")
LISTED = {
    "merged": {"COHORT"},
    "cleaned": {"COHORT", "ENCLOSURE"},
    "fed": {"COHORT", "ENCLOSURE", "PLANT"},
    "watered": {"COHORT", "ENCLOSURE", "PLANT"},
}


def _sums_up(clause: Clause, made: list[Draft], last: Draft) -> bool:
    """`another 3 hatched, thats 15 hatched now`: a sum of all that did so, and no event of its own."""
    words = set(clause.words())
    return (
        clause.items[0].word in ("thats", "that", "making", "makes", "so")
        and last.what in RESULT
        and isinstance(last.count, int)
        and not words & {"left", "remaining", "still", "there", "here", "to", "go", "COHORT", "ENCLOSURE"}
        and all(
            draft.what in (last.what, "counted") and isinstance(draft.count, int) and draft.count >= last.count for draft in made
        )
    )


def _brought_in_too(line: Line, clause: Clause, last: Draft, now) -> Draft | None:
    """`found 8 eggs and 2 painted lady larvae that went into jar 7`: where the second lot was put is no move."""
    verb = clause.verb
    if verb is None or verb.what not in ("moved", "split") or last.what not in ("laid", "found"):
        return None
    words = clause.words()
    return repeated(line, clause, last, now) if words[0] == "NUMBER" and {"that", "which"} & set(words[: verb.first]) else None


def _goes_on(listing: Clause, clause: Clause) -> bool:
    """True where a clause without a verb only lists more of what the one before is about."""
    words = set(clause.words())
    return clause.verb is None and bool(words & LISTED.get(listing.verb.what, set())) and "NUMBER" not in words


def _names_another(clause: Clause, draft: Draft) -> bool:
    """True where a clause only names one more cohort (`moved C3, C5 and C6 to tub 9`)."""
    words = [item.word for item in clause.items if item.word not in ("the", "also", "my")]
    cohorts = [item for item in clause.items if item.word == "COHORT"]
    return (
        clause.verb is None
        and words[:1] == ["COHORT"]
        and len(cohorts) == 1
        and "NUMBER" not in words
        and draft.what in ANIMAL_EVENTS - {"laid", "found", "renamed", "split", "counted"}
        and bool(draft.cohort)
        and _who(cohorts[0]) != (draft.cohort, draft.mark)
        and not {"as", "called", "cohort", "group"} & set(cohorts[0].raw.casefold().split())
    )


def _who(item: Item) -> tuple[str, str]:
    return item.span.value if item.kind == "mark" else (item.span.value, "")


def _leads(line: Line, clause: Clause) -> bool:
    """Whether a clause is only a place or a cohort with a colon, of which the next one tells (`tub 3: one pupated`)."""
    named = all(item.word in ("ENCLOSURE", "COHORT") for item in clause.items)
    return named and line.text[clause.items[-1].end :].lstrip().startswith(":")


def _another_place(piece: Clause, draft: Draft) -> str:
    """The place that a piece of nothing else names beside that of the clause (`tub 1 and tub 3 all pupated`); "" for none."""
    places = [item.span.value for item in piece.items if item.word == "ENCLOSURE"]
    alone = piece.verb is None and len(places) == len(piece.items) == 1
    told = draft.what in (*RESULT, "checked", "died") and draft.count in (None, "all") and draft.enclosure
    return places[0] if alone and told and places[0] != draft.enclosure else ""


def _points_there(clause: Clause) -> bool:
    """`one B in the tent died, two of the C there hung up`: the place is that of the clause before."""
    words = clause.words()
    return any(
        word == "there" and following not in ("is", "are", "was", "were") for word, following in zip(words, [*words[1:], ""])
    )


def _put(line: Line, draft: Draft, clause: Clause, before: list[Clause], found: list[Draft], now) -> None:
    """Add the draft of a clause, completed by the pieces that stood before it."""
    if found and not draft.enclosure and not draft.inherits and _points_there(clause):
        draft = draft._replace(enclosure=found[-1].to or found[-1].enclosure)
    siblings = []
    for piece in before:
        earlier = told_earlier(line, piece, clause, draft, now)
        if earlier:
            found.append(inheriting(earlier, found[-1] if found else None))
        elif place := _another_place(piece, draft):
            siblings.append(draft._replace(enclosure=place))
        elif _names_another(piece, draft) and draft.count is None:
            cohort, mark = _who(next(item for item in piece.items if item.word == "COHORT"))
            siblings.append(draft._replace(cohort=cohort, mark=mark))
        else:
            draft = modified(line, draft, piece, now)
    if draft.what in ("moved", "split") and found and found[-1].what in ("laid", "found") and not (draft.cohort or draft.species):
        label, place = ("", draft.to) if draft.what == "moved" else (draft.to, draft.enclosure)
        if place and not (draft.what == "moved" and draft.enclosure):
            found[-1] = found[-1]._replace(enclosure=place, cohort=found[-1].cohort or label)
            return
    found.extend(siblings)
    found.append(inheriting(draft, found[-1] if found else None))


def _add(line: Line, clause: Clause, found: list[Draft], now) -> None:
    """Let a clause without an event of its own tell the last event again of others, or add to it."""
    last = found[-1]
    if _names_another(clause, last) and last.count is None:
        cohort, mark = _who(next(item for item in clause.items if item.word == "COHORT"))
        rest = Clause(tuple(item for item in clause.items if item.word != "COHORT"), None)
        sibling = last._replace(cohort=cohort, mark=mark)
        if last.what == "moved" and "ENCLOSURE" in clause.words():
            sibling = sibling._replace(enclosure="", to="")
        found.append(modified(line, sibling, rest, now, late=True) if rest.items else sibling)
        if found[-1].to and not last.to:
            found[:] = [draft._replace(to=found[-1].to) if draft.what == last.what and not draft.to else draft for draft in found]
        return
    if last.enclosure and clause.items[0].word in ("fresh", "new", "more") and "PLANT" in clause.words():
        plant = next(item.span.value for item in clause.items if item.word == "PLANT")
        found.append(Draft("fed", enclosure=last.enclosure, host=plant, when=last.when))
        return
    repeat = repeated(line, clause, last, now)
    if repeat is None:
        found[-1] = modified(line, last, clause, now, late=True)
        return
    if not (last.cohort or last.species or last.enclosure):
        found[-1] = last._replace(cohort=repeat.cohort, species=repeat.species, enclosure=repeat.enclosure, mark=repeat.mark)
    found.append(repeat)


def _at_the_leading_time(clauses: list[Clause], found: list[Draft], now) -> list[Draft]:
    """`yesterday: 1 died, 2 hatched`: a time that leads the line holds for all that has none of its own."""
    first = clauses[0].items if clauses else ()
    leading = (
        record_slots.when_of(first[:2], now)
        if first and (first[0].kind == "period" or first[:1] and first[0].word == "sun")
        else None
    )
    if leading is None:
        return found
    own = {"temperature", "setting", "stocked"}
    return [draft._replace(when=leading) if draft.when is None and draft.what not in own else draft for draft in found]


def _without_sex(line: Line, draft: Draft) -> Draft:
    """`2 came out, male and female`: of several animals of both sexes none is told, unless counted by sex."""
    counted_by_sex = any(
        span.kind == "number" and re.search(rf"{re.escape(span.said.casefold())} {draft.detail}", line.plain)
        for span in line.spans
    )
    if draft.what in ("emerged", "released") and draft.count not in (None, 1) and not counted_by_sex:
        return draft._replace(detail="")
    return draft


def _clause(line: Line, clause: Clause, now, units: str, everything: bool, found: list[Draft]) -> list[Draft]:
    verb = clause.verb
    words = clause.words()
    if verb is None:
        if readings := record_settings.temperatures(clause.items, now, units):
            return readings
        weak = best_verb(clause.items)
        if draft := record_stock.stock(clause.items, everything, now):
            return [draft]
        if weak and weak.what == "counted":
            return counted(line, clause, weak, now)
        if weak and weak.what == "sign" and (draft := sign_clause(line, clause, now)):
            return [draft]
        return []
    if (things := record_kinds.of_things(line, clause, verb.what, now, units)) is not None:
        return things
    if (
        verb.what == "prepupated"
        and set(words) & DARK_WORDS
        and (draft := sign(line, clause.items, clause.text(line), now)).cohort
    ):
        return [draft]
    if negated(clause):
        if verb.what in ("hatched", "moulted", "prepupated", "pupated", "emerged", "died", "escaped", "missing"):
            verb = verb._replace(what="checked")
        elif verb.what == "found":
            verb = verb._replace(what="checked") if "COHORT" in words or "ENCLOSURE" in words else verb
    return built(line, clause, verb, now, everything, found)


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
    cohort, mark = _who(clause.items[0])
    when = record_slots.when_of(clause.items, now)
    return Draft("identified", cohort=cohort, mark=mark, species=clause.items[-1].span.value, when=when)


def _weak(line: Line, clause: Clause, now, units: str, everything: bool) -> tuple[Draft, ...]:
    """A line without any strong verb, read as a whole: a sign, plants on hand, a reading, or a cohort's species."""
    if readings := record_settings.temperatures(clause.items, now, units):
        return tuple(readings)
    stocked = record_stock.stock(clause.items, everything, now)
    if stocked:
        return (stocked,)
    if renamed := _another_species(clause, now):
        return (renamed,)
    if draft := sign_clause(line, clause, now):
        return (draft,)
    weak = best_verb(clause.items)
    if weak and weak.what == "counted":
        return tuple(counted(line, clause, weak, now))
    words = clause.words()
    label, labelled = record_slots.label_in(clause.items, line)
    numbered = bool(record_slots.numbers_in(clause.items))
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
        return (draft._replace(unknown="", refers=False),)
    return ()
