"""Typed records: a sentence that tells of something done or seen becomes drafts of events.

Nothing is looked up in the ledger here and nothing is decided that the sentence does not say; answers/record.py fills the holes.
A question, a plan or a sentence about anything but this nursery gives None.
"""

from __future__ import annotations

import re

from nurserytui.language import record_clauses, record_settings, record_slots
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_clauses import STAGES, Clause, Item, Verb, best_verb, clauses_of, items_of
from nurserytui.language.record_guard import asks, negated, planned, polite, strangers
from nurserytui.language.record_words import (
    ASKING,
    BACK_WORDS,
    BIN_WORDS,
    CAUSE_WORDS,
    DUD_WORDS,
    FEMALE,
    MALE,
    NEGATIONS,
    SIGN_STATES,
    SIGN_WORDS,
)
from nurserytui.language.request import Named, Request

ANIMAL_EVENTS = frozenset(
    """laid found identified hatched moulted prepupated pupated emerged checked counted moved split merged renamed died released escaped
    given missing returned sign tested""".split()
)
CARE = frozenset(["cleaned", "fed", "cut", "watered"])
UNKNOWN = Named("unknown", ("unknown",))
NO_IDEA = re.compile(
    r"\b(no (?:idea|clue)|not sure|dont know|don't know|unsure|unknown|unidentified|mystery|cant tell|can't tell|havent a clue|who knows)\b"
)
LIVES = frozenset(
    "live lives living sit sits sitting is are kept keeping housed now in stays stay hangs hanging theyre its staying".split()
)


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
        return (_sign(line, [item for item in items if item.word != "sign"], line.text[signed.end() :], now),) if inside else ()
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
        return (_sign(line, inside, rest, now),)
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
            found[len(found) - len(made) :] = made = _built(line, whole, whole.verb, now, everything, found)
            continue
        made = _clause(line, clause, now, units, everything, found)
        whole = clause if made and clause.verb else whole if not made else None
        if made:
            for draft in made:
                for piece in before:
                    earlier = _earlier(line, piece, clause, draft, now)
                    if earlier:
                        found.append(_inherit(earlier, found[-1] if found else None))
                    else:
                        draft = _modified(line, draft, piece, now)
                if (
                    found
                    and draft.what == "moved"
                    and found[-1].what in ("laid", "found")
                    and draft.to
                    and not (draft.cohort or draft.species or draft.enclosure)
                ):
                    found[-1] = found[-1]._replace(enclosure=draft.to)
                    continue
                found.append(_inherit(draft, found[-1] if found else None))
            before = []
        elif found:
            repeat = _repeat(line, clause, found[-1], now)
            if repeat:
                if not (found[-1].cohort or found[-1].species or found[-1].enclosure):
                    found[-1] = found[-1]._replace(
                        cohort=repeat.cohort, species=repeat.species, enclosure=repeat.enclosure, mark=repeat.mark
                    )
                found.append(repeat)
            else:
                found[-1] = _modified(line, found[-1], clause, now, late=True)
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
    return tuple(_tidy(found))


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
            return _counted(line, clause, weak, now)
        if weak and weak.what == "sign" and (draft := _sign_clause(line, clause, now)):
            return [draft]
        return []
    if negated(clause):
        if verb.what in ("hatched", "moulted", "prepupated", "pupated", "emerged", "died", "escaped", "missing"):
            verb = verb._replace(what="checked")
        elif verb.what == "found":
            verb = verb._replace(what="checked") if "COHORT" in words or "ENCLOSURE" in words else verb
    return _built(line, clause, verb, now, everything, found)


def _built(line: Line, clause: Clause, verb: Verb, now, everything: bool, found: list[Draft]) -> list[Draft]:
    items, words, what = clause.items, clause.words(), verb.what
    if what == "tested":
        return [_tested(line, items, verb, now)]
    if what in CARE:
        return _care(line, items, verb, now, everything)
    if what in ("merged", "renamed"):
        return _naming(line, items, verb, now)
    if what == "counted":
        return _counted(line, clause, verb, now)
    if (
        what == "found"
        and set(words) & SIGN_WORDS
        and set(words) & {"COHORT", "ENCLOSURE"}
        and (draft := _sign_clause(line, clause, now))
    ):
        if not set(words) & STAGES or "on" in words:
            return [draft]
    if (
        what == "found"
        and "PLANT" in words
        and not set(words) & (STAGES | {"SPECIES", "COHORT", "INSTAR"})
        and record_slots.amount_of_plant(items)[0] is not None
    ):
        bought = record_settings.stock(items, everything, now)
        return [bought] if bought else _care(line, items, verb._replace(what="cut"), now, everything)
    if what == "checked" and not set(words) & {"COHORT", "ENCLOSURE", "SPECIES"} | set(words) & STAGES and found:
        return [Draft("checked", lead=items[verb.first].raw)] if found[-1].what == "sign" else []
    label, labelled = ("", frozenset())
    if what in ("laid", "found", "split", "returned", "moved"):
        label, labelled = record_slots.label_in(items, line)
    if what == "moved" and label:
        what = "split"
    draft = Draft(what, lead=items[verb.first].raw, parent="")
    if what == "found" and "COHORT" in words and items[verb.first].word in ("got", "received") and not label:
        return []
    if what in ("laid", "found"):
        parents = [item.span.value for at, item in enumerate(items) if item.kind == "cohort" and at not in labelled]
        if (
            what == "laid"
            and parents
            and (label or next(at for at, item in enumerate(items) if item.kind == "cohort") < verb.first)
        ):
            draft = draft._replace(parent=parents[0])
            items = tuple(item for item in items if item.kind != "cohort" or item.span.value != parents[0])
        draft = draft._replace(cohort=label)
        labelled = labelled if items is clause.items else frozenset()
    if what == "split":
        draft = draft._replace(to=label)
    taken = verb.taken if what not in ("split", "found") else frozenset()
    draft = record_slots.filled(draft, items, line, now, taken, labelled)
    if what == "moulted" and draft.instar is None:
        ordinals = [item.span.value for item in items if item.kind == "ordinal"]
        draft = draft._replace(instar=ordinals[0] if ordinals else None)
    if what == "moulted":
        draft = draft._replace(stage="")
    if what in ("laid", "found"):
        draft = draft._replace(unknown="", refers=False)
        if what == "found" and draft.instar and not draft.stage:
            draft = draft._replace(stage="larva")
        if what == "laid":
            draft = draft._replace(stage="egg")
        if (
            draft.count is None
            and "NUMBER" not in words
            and set(words) & STAGES
            and not any(record_slots.plural(item) for item in items if item.word in STAGES)
        ):
            draft = draft._replace(count=1)
    elif what not in ("fed",):
        draft = draft._replace(host=None)
    draft = _with_result_stage(draft)
    sexes = record_slots.sexes_counted(items)
    if what in ("released", "emerged", "died", "given", "escaped"):
        if len(sexes) > 1:
            return [draft._replace(count=number, detail=sex) for number, sex in sexes]
        if what in ("released", "emerged"):
            draft = draft._replace(detail=record_slots.sex_of(items))
    if what == "died":
        draft = draft._replace(detail=_cause(line, items, verb))
        if draft.stage == "" and set(words) & {"dud", "duds", "dudded"}:
            draft = draft._replace(stage="egg")
    if what == "given":
        after = re.search(r"\bto\s+(.+)$", clause.text(line))
        draft = draft._replace(
            detail=" ".join(item.raw for item in items if item.start >= items[-1].end - len(after[1]) and item.kind != "period")
            if after
            else ""
        )
    if what == "identified":
        draft = draft._replace(count=None, stage="")
    if what == "checked":
        nouns = [item.word for item in items if not item.span and record_clauses.container(item.word)]
        every = draft.count == "all" and not (draft.cohort or draft.species or draft.enclosure or draft.stage)
        draft = draft._replace(
            count="all" if every else None, instar=None, kind=record_clauses.container(nouns[0]) if nouns and every else ""
        )
    if what == "returned":
        draft = draft._replace(to="")
    if what == "found" and NO_IDEA.search(line.plain) and draft.species is None:
        draft = draft._replace(species=UNKNOWN)
    if what == "moved" and "together" in words and draft.to == "":
        draft = draft._replace(what="merged")
    return [draft]


RESULT = {"hatched": "larva", "moulted": "larva", "prepupated": "prepupa", "pupated": "pupa", "emerged": "adult"}


def _with_result_stage(draft: Draft) -> Draft:
    """`2 butterflies emerged`: the stage said may be the one reached; it is the stage before that the ledger is asked for."""
    if draft.what in RESULT and draft.stage == RESULT[draft.what]:
        return draft._replace(stage="")
    if draft.what == "hatched" and draft.stage == "pupa":
        return draft._replace(what="emerged")
    if draft.what == "emerged" and draft.stage == "egg":
        return draft._replace(what="hatched")
    if draft.what == "pupated" and draft.stage in ("egg", "adult"):
        return draft._replace(stage="")
    return draft


def _cause(line: Line, items, verb: Verb) -> str:
    """What killed them, in the keeper's words: after `to`, `of`, `from`, `by`, or the verb itself where it says it."""
    lead = items[verb.first].word
    text = _tail(line, items, verb)
    words = {item.word for item in items}
    if dud := words & DUD_WORDS:
        return "infertile" if "infertile" in dud else "never hatched" if dud & {"never", "failed"} else "dud"
    if lead in (
        "died",
        "dead",
        "lost",
        "killed",
        "eaten",
        "ate",
        "succumbed",
        "perished",
        "taken",
        "picked",
        "snapped",
        "found",
        "were",
        "was",
        "got",
        "been",
    ):
        after = re.search(r"\b(?:to|of|from|by|because of|due to|with)\s+(?:an?\s+|the\s+|some\s+)?(.+)$", text, re.I)
        return (
            after[1].strip()
            if after and not re.match(r"(vine|tub|cohort)\b", after[1])
            else _caused(items) or ("" if lead not in ("killed", "eaten", "ate") else lead)
        )
    verb_text = " ".join(items[place].raw for place in sorted(verb.taken) if not items[place].span)
    if lead in ("drowned", "squashed", "crushed", "stuck", "froze", "trod", "stepped", "sat", "fell"):
        return f"{verb_text} {text}".strip() if text.split(" ")[0] in ("in", "by", "under", "on", "when", "while") else verb_text
    return verb_text


def _caused(items) -> str:
    agents = [item.raw for item in items if item.kind == "agent"]
    return agents[0] if agents else " ".join(item.raw for item in items if item.word in CAUSE_WORDS and not item.span)


def _tail(line: Line, items, verb: Verb) -> str:
    """The words after the verb, without the time, the count and what the ledger calls the animals."""
    rest = [item for item in items[verb.first + 1 :] if item.kind not in ("period",)]
    while rest and (
        rest[0].span
        and rest[0].kind not in ("agent", "plant")
        or rest[0].word
        in (
            "of",
            "the",
            "a",
            "an",
            "one",
            "over",
            "two",
            "all",
            "her",
            "him",
            "them",
            "it",
            "ones",
            "more",
            "off",
            "my",
            "away",
            "both",
        )
    ):
        rest.pop(0)
    named = {items[place] for place in verb.taken}
    kept = [item for item in rest if item not in named]
    text = " ".join(item.raw for item in kept).strip()
    return re.sub(r"^to\s+", "", text) if verb.what == "given" else text


def _sign(line: Line, items, text: str, now) -> Draft:
    draft = record_slots.filled(Draft("sign", detail=text.strip(" .:-")), items, line, now)
    return draft._replace(species=None, host=None, to="", refers=False)


def _sign_clause(line: Line, clause: Clause, now) -> Draft | None:
    """A sign needs animals or an enclosure of the keeper, and a word that tells of something wrong."""
    words = set(clause.words())
    if "sign" in words and words & {"log", "record", "note", "add"}:
        return _sign(
            line,
            clause.items,
            re.sub(
                r"^\W*(?:please\s+)?(?:log|record|note|add)\s+(?:a\s+)?sign\W*(?:that|of|on)?\s*",
                "",
                clause.text(line),
                flags=re.I,
            ),
            now,
        )
    if not words & {"COHORT", "ENCLOSURE"}:
        return None
    telling = (
        words & SIGN_WORDS
        or any(item.kind == "agent" for item in clause.items)
        or (words & NEGATIONS and words & SIGN_STATES)
        or words & {"stopped", "refusing"}
    )
    return _sign(line, clause.items, clause.text(line), now) if telling else None


def _tested(line: Line, items, verb: Verb, now) -> Draft:
    draft = record_slots.filled(Draft("tested"), items, line, now)
    target = re.search(r"\bfor ([\w ]{2,30}?)(?:,|:|-|$| and| came| result| was| is)", line.plain)
    if re.search(r"\bspore (?:test|count)\b", line.plain) and draft.count is not None and draft.count not in (1,):
        draft = draft._replace(count=None)
    return draft._replace(
        detail=record_settings.test_result(line.plain, items), note=f"for {target[1].strip()}" if target else "", to="", host=None
    )


def _care(line: Line, items, verb: Verb, now, everything: bool) -> list[Draft]:
    """One draft for each enclosure or cohort that was cleaned, fed or watered, or for the plant that was cut."""
    plants = [item.span.value for item in items if item.word == "PLANT"]
    places = list(dict.fromkeys(item.span.value for item in items if item.word == "ENCLOSURE"))
    cohorts = list(dict.fromkeys(item.span.value for item in items if item.kind == "cohort"))
    host = plants[0] if plants else None
    when = record_slots.when_of(items, now)
    base = Draft(verb.what, host=host, when=when, lead=items[verb.first].raw)
    if verb.what == "cut":
        count, unit, _ = record_settings.amount_of_plant(items)
        cut = base._replace(count=count, detail=unit, enclosure=places[0] if places else "")
        return [cut, cut._replace(what="stocked")] if everything and count is not None and host else [cut]
    detail = _tail(line, items, verb)
    with_what = re.search(r"\b(?:with|using)\s+(.+)$", detail) if verb.what == "cleaned" else None
    base = base._replace(detail=with_what[1] if with_what else "")
    if verb.what == "watered" and items[verb.first].word in ("misted", "sprayed"):
        base = base._replace(detail=items[verb.first].word)
    count, unit, _ = record_settings.amount_of_plant(items)
    if verb.what == "fed" and count is not None:
        base = base._replace(detail=f"{count} {unit}")
    whole = (
        not places
        and not cohorts
        and bool({item.word for item in items} & {"all", "everything", "everyone", "every", "everybody"})
    )
    if whole:
        nouns = [item.word for item in items if not item.span and record_clauses.container(item.word)]
        base = base._replace(count="all", kind=record_clauses.container(nouns[0]) if nouns else "")
    if cohorts and verb.what != "cleaned":
        return [base._replace(cohort=cohort, enclosure=places[0] if places else "") for cohort in cohorts]
    if places:
        return [base._replace(enclosure=place) for place in places]
    back = bool({item.word for item in items} & {"it", "them", "there"})
    return [
        base._replace(
            refers=back,
            cohort=cohorts[0] if cohorts else "",
            species=next((i.span.value for i in items if i.word == "SPECIES"), None),
        )
    ]


def _naming(line: Line, items, verb: Verb, now) -> list[Draft]:
    """`rename K to porch-1`, `put A together with B`, `merged A and B into C`."""
    when = record_slots.when_of(items, now)
    cohorts = [item.span.value for item in items if item.kind == "cohort"]
    turn = next(
        (
            at
            for at, item in enumerate(items)
            if item.word in ("to", "as", "into", "called") and at > verb.first and at + 1 < len(items)
        ),
        None,
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
        label = target.span.value if target.kind == "cohort" else record_slots.raw_label(line, target)
        if target.word in ("one", "cohort", "group", "together", "batch") or target.kind in ("period",):
            label = ""
    if verb.what == "renamed":
        unknown = "" if cohorts else record_slots.unknown_label(items, line)
        if not label and turn is None and cohorts and verb.last + 1 < len(items) and items[verb.first].word != "call":
            label = record_slots.raw_label(line, items[verb.last + 1])
        if not label and len(items) > verb.first + 2 and items[verb.first].word == "call" and cohorts:
            label = record_slots.raw_label(line, items[verb.first + 2])
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
        return [Draft("merged", to=label, when=when, unknown=record_slots.unknown_label(items, line))]
    return [Draft("merged", cohort=cohort, to=label, when=when) for cohort in cohorts]


def _counted(line: Line, clause: Clause, verb: Verb, now) -> list[Draft]:
    words = set(clause.words())
    draft = record_slots.filled(Draft("counted", lead=clause.items[verb.first].raw), clause.items, line, now)
    if not isinstance(draft.count, int) and draft.count != "all":
        return []
    if (
        verb.what == "counted"
        and clause.items[verb.first].word in ("thats", "that", "makes", "there", "still", "all", "only")
        and not words & {"COHORT", "ENCLOSURE", "SPECIES"}
    ):
        draft = draft._replace(refers=True)
    return [draft._replace(total=True, host=None, to="")]


def _weak(line: Line, clause: Clause, now, units: str, everything: bool) -> tuple[Draft, ...]:
    """A line without any strong verb, read as a whole: a sign, plants on hand, a reading, or a cohort's species."""
    reading = record_settings.temperature(clause.items, now, units)
    if reading:
        return (reading,)
    stocked = record_settings.stock(clause.items, everything, now)
    if stocked:
        return (stocked,)
    if draft := _sign_clause(line, clause, now):
        return (draft,)
    weak = best_verb(clause.items)
    if weak and weak.what == "counted":
        return tuple(_counted(line, clause, weak, now))
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


def _modified(line: Line, draft: Draft, clause: Clause, now, late: bool = False) -> Draft:
    """The draft with what a clause of no event of its own adds: a label, a place, a time, a cause, a species, a sex."""
    items, words = clause.items, clause.words()
    if draft.what in ("note", "temperature", "setting"):
        return draft
    label, labelled = record_slots.label_in(items, line)
    if label and draft.what in ("laid", "found") and not draft.cohort:
        draft = draft._replace(cohort=label)
    elif label and draft.what == "split" and not draft.to:
        draft = draft._replace(to=label)
    elif label and draft.what in ("laid", "found"):
        pass
    else:
        labelled = frozenset()
    before = draft
    if draft.what == "moved" and late and not draft.to:
        place = next((item.span.value for item in items if item.word == "ENCLOSURE"), "")
        draft = draft._replace(to=place)
        items = tuple(item for item in items if item.word != "ENCLOSURE")
        if not items:
            return draft
    if NO_IDEA.search(" ".join(words)) and draft.what == "found":
        return draft._replace(species=draft.species or UNKNOWN)
    if draft.what == "found" and draft.cohort and not label:
        items = tuple(item for item in items if item.kind != "cohort")
    draft = record_slots.filled(draft, items, line, now, frozenset(), labelled)
    draft = draft._replace(host=draft.host if draft.what in ("laid", "found", "fed", "cut", "watered", "stocked") else None)
    if draft.what in ("laid", "found"):
        draft = draft._replace(unknown="")
        if draft.instar and not draft.stage:
            draft = draft._replace(stage="larva")
    if (
        late
        and draft.count != before.count
        and draft.what not in ("laid", "found")
        and (before.count is not None or set(words) & {"left", "remaining", "still", "go"})
    ):
        draft = draft._replace(count=before.count)
    if late and draft.what in RESULT and draft.stage != before.stage:
        draft = draft._replace(stage=before.stage)
    if draft.what == "moulted":
        draft = draft._replace(stage="")
    if late and draft.what not in ("laid", "found"):
        draft = draft._replace(refers=before.refers)
    if draft.what in ("emerged", "released") and not draft.detail:
        draft = draft._replace(detail=record_slots.sex_of(items))
        if draft.detail and draft.count is None and set(words) & ((MALE | FEMALE) - {"males", "females", "boys", "girls"}):
            draft = draft._replace(count=1)
    if draft.what == "died" and late and set(words) & CAUSE_WORDS:
        text = clause.text(line).strip()
        draft = draft._replace(detail=f"{draft.detail}, {text}" if draft.detail else text)
    elif draft.what == "tested" and not draft.detail:
        pass
    elif (
        draft.what == "counted"
        and late
        and re.search(
            r"\b(missed|miscounted|overlooked|missing|died|dead|lost|vanished|gone|escaped|wrong|estimate)\b",
            clause.text(line).casefold(),
        )
    ):
        draft = draft._replace(note=clause.text(line).strip())
    elif (
        late
        and draft.what in ANIMAL_EVENTS
        and not label
        and not set(words) & {"ENCLOSURE", "PERIOD", "COHORT"}
        and len(words) > 1
        and draft.what != "sign"
    ):
        draft = draft._replace(note=f"{draft.note}, {clause.text(line).strip()}" if draft.note else clause.text(line).strip())
    elif late and draft.what == "sign":
        draft = draft._replace(detail=f"{draft.detail}, {clause.text(line).strip()}")
    elif late and draft.what == "cleaned":
        draft = draft._replace(
            detail=f"{draft.detail}, {clause.text(line).strip()}" if draft.detail else clause.text(line).strip()
        )
    return draft


def _repeat(line: Line, clause: Clause, before: Draft, now) -> Draft | None:
    """`2 hatched in tub 1, 3 in tub 2`: a number with a subject of its own, after a clause that has both, tells the same again."""
    words = set(clause.words())
    if before.count is None or before.what not in ANIMAL_EVENTS or before.what in ("checked", "sign", "tested", "counted"):
        return None
    if not record_slots.numbers_in(clause.items) or set(clause.words()) & LIVES - {"in", "now"}:
        return None
    label, labelled = record_slots.label_in(clause.items, line)
    draft = record_slots.filled(Draft(before.what, lead=before.lead), clause.items, line, now, frozenset(), labelled)
    own = (draft.cohort and before.cohort and draft.cohort != before.cohort) or (
        draft.enclosure and before.enclosure and draft.enclosure != before.enclosure
    )
    sexes = record_slots.sexes_counted(clause.items)
    if sexes and before.detail in ("male", "female") and before.what in ("released", "emerged"):
        return draft._replace(
            count=sexes[0][0],
            detail=sexes[0][1],
            when=draft.when or before.when,
            cohort=draft.cohort or before.cohort,
            species=draft.species or before.species,
            enclosure=draft.enclosure or before.enclosure,
        )
    if before.what == "died" and set(clause.words()) & CAUSE_WORDS and "of" in words:
        return draft._replace(
            cohort=before.cohort,
            mark="",
            species=before.species,
            enclosure=before.enclosure,
            stage=draft.stage or before.stage,
            when=draft.when or before.when,
            detail=_caused(clause.items),
        )
    own = own or (draft.when and before.when and draft.when.start != before.when.start)
    own = (
        own
        or (draft.species and before.species)
        or (draft.stage and before.stage and before.what not in ("laid",))
        or "another" in words
    )
    if not own or draft.count is None:
        return None
    if before.what in ("laid", "found"):
        return draft._replace(
            cohort=label,
            unknown="",
            enclosure=draft.enclosure or before.enclosure,
            host=draft.host or before.host,
            when=draft.when or before.when,
            stage=draft.stage or before.stage,
        )
    if before.what == "moved":
        return draft._replace(to=draft.to or before.to, when=draft.when or before.when, cohort=draft.cohort or before.cohort)
    same = not draft.cohort and not draft.species
    if same and not draft.enclosure:
        draft = draft._replace(enclosure=before.enclosure, stage=draft.stage or before.stage)
    return draft._replace(
        when=draft.when or before.when,
        cohort=before.cohort if same else draft.cohort,
        species=before.species if same else draft.species,
        detail=_caused(clause.items) if before.what == "died" else "",
    )


def _earlier(line: Line, piece: Clause, clause: Clause, draft: Draft, now) -> Draft | None:
    """`3 A eggs and 2 P eggs hatched`: a number and a subject of its own, joined by `and` to another with the verb, tells the same."""
    if not clause.joined or not isinstance(draft.count, int) or not record_slots.numbers_in(piece.items):
        return None
    other = record_slots.filled(
        Draft(draft.what, when=draft.when, detail=draft.detail, to=draft.to, lead=draft.lead), piece.items, line, now
    )
    own = (
        other.cohort
        and draft.cohort
        and other.cohort != draft.cohort
        or other.species
        and draft.species
        and other.species != draft.species
    )
    return _with_result_stage(other) if own and isinstance(other.count, int) else None


def _inherit(draft: Draft, before: Draft | None) -> Draft:
    """A later clause takes its subject from the clause before, where it names none of its own."""
    if (
        before is None
        or before.what in ("temperature", "setting", "note", "stocked", "cut")
        or draft.what in ("temperature", "setting", "note", "stocked", "cut", "laid", "found")
    ):
        return draft
    if draft.what in CARE:
        if not (draft.enclosure or draft.cohort or draft.host) or (draft.refers and not draft.enclosure):
            return draft._replace(
                enclosure=before.to if before.what == "moved" else before.enclosure,
                cohort=draft.cohort or (before.cohort if draft.what == "fed" else ""),
            )
        return draft
    if before.what in CARE:
        return (
            draft
            if draft.cohort or draft.species or draft.enclosure or not before.enclosure
            else draft._replace(enclosure=before.enclosure)
        )
    if draft.cohort or draft.species or draft.mark or draft.unknown:
        return draft._replace(when=draft.when or (before.when if draft.refers else None))
    if draft.enclosure and not draft.refers and draft.enclosure != before.enclosure:
        return draft
    if before.what in ("laid", "found"):
        return draft._replace(follows=True, when=draft.when or before.when)
    where = before.to if before.what == "moved" else before.enclosure
    count = draft.count
    if (
        count in (None, "all")
        and isinstance(before.count, int)
        and before.what in RESULT
        and draft.stage == RESULT[before.what]
        and draft.what in ("moved", "released", "given")
    ):
        count = before.count
    if count is None and isinstance(before.count, int) and draft.refers and before.what not in ("died", "counted"):
        count = before.count
    stage = draft.stage
    if (
        not stage
        and draft.refers
        and not draft.other
        and before.what in RESULT
        and draft.what in ("moved", "released", "given", "escaped", "died")
    ):
        stage = RESULT[before.what] if draft.what != "died" or before.what != "hatched" else ""
    elif not stage and draft.what == before.what:
        stage = before.stage
    sex = draft.detail or (before.detail if draft.what == "released" and before.what == "emerged" else "")
    return draft._replace(
        cohort=before.cohort, mark=before.mark if count in (None, 1) else "", species=before.species, unknown=before.unknown, count=count, stage=stage, detail=sex, refers=False,
        enclosure=draft.enclosure or where, when=draft.when or before.when,
    )  # fmt: skip


def _tidy(found: list[Draft]) -> list[Draft]:
    """Take out what only says again what another clause says: `a dud, binned it`, `got out and cannot be found`, a look before a change."""
    kept: list[Draft] = []
    found = _parts_of_a_sum(found)
    for draft in found:
        last = kept[-1] if kept else None
        if (
            last
            and last.what == "laid"
            and last.count is None
            and draft.what == "found"
            and isinstance(draft.count, int)
            and draft.species in (None, last.species)
        ):
            kept[-1] = last._replace(count=draft.count)
            continue
        if (
            last
            and last.what == "sign"
            and draft.what == "checked"
            and draft.lead
            and last.cohort
            and draft.cohort in ("", last.cohort)
        ):
            kept[-1] = draft._replace(cohort=last.cohort, enclosure=last.enclosure, note=last.detail)
            continue
        if (
            last
            and draft.what == last.what == "died"
            and (draft.lead.casefold() in BIN_WORDS or last.lead.casefold() in ("found", "dud", "duds"))
            and draft.cohort == last.cohort
            and (draft.count in (None, last.count))
        ):
            continue
        if last and last.what == "counted" and draft.what == "counted":
            continue
        if last and last.what == "escaped" and draft.what == "missing" and draft.count in (None, last.count):
            continue
        if (
            last
            and last.what == "missing"
            and draft.what in ("missing", "escaped")
            and draft.count in (None, last.count)
            and draft.cohort == last.cohort
        ):
            continue
        if (
            last
            and draft.what == last.what
            and draft.what in RESULT
            and draft.count in (None, last.count)
            and draft.cohort == last.cohort
            and draft.enclosure in ("", last.enclosure)
        ):
            kept[-1] = last._replace(instar=last.instar or draft.instar)
            continue
        kept.append(draft)
    changes = [draft for draft in kept if draft.what in ANIMAL_EVENTS - {"checked", "laid", "found"}]
    if changes:
        kept = [
            draft
            for draft in kept
            if draft.what != "checked" or all(draft.cohort != one.cohort and draft.enclosure != one.enclosure for one in changes)
        ]
    if kept and kept[0].what == "counted" and len(kept) > 1:
        counted, *others = kept
        if others[0].what in ("missing", "returned") and others[0].cohort == counted.cohort:
            # `counted 18, 2 are missing`: the word for the difference, not another loss.
            kept = [counted._replace(detail=others[0].what), *others[1:]]
        elif others[0].what in ("died", "escaped", "released", "given"):
            kept = [*others, counted]
    return kept


def _parts_of_a_sum(found: list[Draft]) -> list[Draft]:
    """`3 died, 2 of virus and 1 drowned`: the parts, told after their sum, stand for it."""
    if len(found) < 2:
        return found
    first, *rest = found
    same = [
        draft
        for draft in rest
        if draft.what == first.what and isinstance(draft.count, int) and draft.cohort == first.cohort and draft.when == first.when
    ]
    if (
        first.what in ("died", "released", "emerged")
        and isinstance(first.count, int)
        and not first.detail
        and all(draft.detail for draft in same)
        and same
        and sum(draft.count for draft in same) == first.count
    ):
        return rest
    return found


def referring(found: tuple[Draft, ...], context) -> tuple[Draft, ...]:
    """A first clause that points back (`let him go`) takes its subject from what was last spoken of in this conversation."""
    first = found[0]
    last = context.last if context is not None else None
    if last is None or first.what in ("note", "temperature", "setting", "stocked", "laid", "found") or not first.refers:
        return found
    if first.cohort or first.species or first.mark or first.unknown:
        return found
    about = getattr(last.answer, "about", None) or {}
    if context.open is not None and context.open.topic == "record" and context.open.drafts:
        asked = context.open.drafts[0]
        return tuple(
            draft._replace(
                cohort=asked.cohort,
                mark=asked.mark,
                species=asked.species,
                enclosure=draft.enclosure or asked.enclosure,
                when=draft.when or asked.when,
            )
            if not (draft.cohort or draft.species)
            else draft
            for draft in found
        )
    if getattr(last.answer, "status", "") not in ("recorded", "answered") or not (about.get("cohort") or about.get("enclosure")):
        return found
    written = next(iter(getattr(last.answer, "items", ()) or ()), {})
    place = written.get("to") if about.get("event") == "moved" and written.get("to") else about.get("enclosure", "")
    cohort = about.get("cohort", "") if first.what not in ("cleaned", "watered") else ""
    pronoun = first.what in ("released", "moved", "given", "escaped") and first.count is None
    count = first.count
    values = getattr(last.answer, "values", None) or {}
    if pronoun and last.answer.status == "recorded" and "count" in values and isinstance(values["count"].value, int):
        count = values["count"].value
    stage = first.stage
    event = about.get("event", "")
    if (
        not stage
        and first.what not in RESULT
        and (
            event == first.what or event in RESULT and first.what in ("moved", "released", "given", "escaped", "died", "missing")
        )
    ):
        stage = about.get("stage", "")
    if first.what == "released" and not stage:
        stage = "adult"
    changed = [draft._replace(cohort=cohort, mark=str(about.get("mark", "")), count=count if draft is first else draft.count, stage=stage if draft is first else draft.stage,
                              enclosure=draft.enclosure or (place if not cohort or draft is first and draft.what != "returned" else "")) if not (draft.cohort or draft.species) else draft for draft in found]  # fmt: skip
    return tuple(changed)


__all__ = ["BACK_WORDS", "Draft", "drafts", "read", "referring"]
