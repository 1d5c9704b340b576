"""One clause with a verb becomes drafts: a builder for each kind of event."""

from __future__ import annotations

import re

from nurserytui.language import record_counts, record_labels, record_places, record_slots, record_stock
from nurserytui.language.clause import STAGES, Clause, Verb
from nurserytui.language.draft import Draft
from nurserytui.language.eggs_on_animals import eggs_on
from nurserytui.language.line import Line
from nurserytui.language.record_care import cared
from nurserytui.language.record_causes import cause
from nurserytui.language.record_events import CARE, RESULT
from nurserytui.language.record_incoming import brought_in, lays
from nurserytui.language.record_naming import renamed_or_merged
from nurserytui.language.record_new_places import container
from nurserytui.language.record_signs import enemy_did, is_enemy, sign, sign_clause, tested
from nurserytui.language.record_verbs import hanging
from nurserytui.language.record_words import FLYING, NO_IDEA, SIGN_WORDS
from nurserytui.language.request import Named

UNKNOWN = Named("unknown", ("unknown",))
SUMMING = frozenset(("thats", "that's", "that’s", "that", "makes"))
"""How a total is told that something has just added to (`thats 5 pupae now`)."""


LEAVES = frozenset("leaf leaves fresh new sprig sprigs stems bunch food".split())


def built(line: Line, clause: Clause, verb: Verb, now, everything: bool, found: list[Draft]) -> list[Draft]:
    items, words, what = clause.items, clause.words(), verb.what
    if what in ("emerged", "hatched") and enemy_did(items[: verb.first]):
        # `wasps came out of C3`: nothing of C3 came out, C3 was their host.
        draft = sign(line, items, clause.text(line), now)
        return [draft._replace(count=None) if items[0].word == "NUMBER" else draft]
    if what == "tested":
        return [tested(line, items, verb, now)]
    if what in CARE:
        return cared(line, items, verb, now, everything)
    if what == "merged" and words.count("COHORT") == 1 and {"in", "into"} & set(words) and "ENCLOSURE" in words:
        verb, what = verb._replace(what="moved"), "moved"  # `put M all together in tub 10`
    if what in ("merged", "renamed"):
        return renamed_or_merged(line, items, verb, now)
    if what == "counted":
        return counted(line, clause, verb, now)
    if (other := _read_otherwise(line, clause, verb, now, everything, found)) is not None:
        return other
    label, labelled = ("", frozenset())
    if what in ("laid", "found", "split", "returned", "moved"):
        label, labelled = record_labels.label_in(items, line, what in ("split", "moved", "returned"))
    if what == "moved" and label:
        what = "split"
    draft = Draft(what, lead=items[verb.first].raw, parent="")
    if what == "found" and "COHORT" in words and items[verb.first].word in ("got", "received") and not label:
        return []
    if what in ("laid", "found"):
        items = _without_finders(items, verb)
        parents = [item.span.value for at, item in enumerate(items) if item.kind == "cohort" and at not in labelled]
        if what == "laid" and parents and (label or lays(items, verb)):
            draft = draft._replace(parent=parents[0])
            items = tuple(item for item in items if item.kind != "cohort" or item.span.value != parents[0])
        draft = draft._replace(cohort=label)
        labelled = labelled if len(items) == len(clause.items) else frozenset()
    if what == "split" and not label:
        label, labelled = record_labels.goal_in(items, line)
    if what == "split":
        draft = draft._replace(to=label or _given_label(line, items))
    if what == "given":
        items = _given(items, verb)
    taken = verb.taken if what not in ("split", "found", "moved", "missing") else frozenset()
    draft = record_slots.filled(draft, items, line, now, taken, labelled)
    if what in RESULT and (reached := record_counts.by_stage(items)).get(RESULT[what]) and len(reached) > 1:
        draft = draft._replace(stage="", count=reached[RESULT[what]])  # `17 eggs and 3 larvae now`
    if what == "moulted" and draft.instar is None:
        ordinals = [item.span.value for item in items if item.kind == "ordinal"]
        draft = draft._replace(instar=ordinals[0] if ordinals else None)
    if what == "moulted":
        draft = draft._replace(stage="")
    if what in ("laid", "found"):
        draft = brought_in(line, items, draft, verb, labelled)
        if len(marks := [item.span.value for item in items if item.kind == "mark"]) > 1 and draft.count == len(marks):
            return [draft._replace(cohort=cohort, mark=mark, count=1, note="") for cohort, mark in marks]
    elif what not in ("fed",):
        # `the violet cats`: a plant in front of the animals tells which ones they are.
        food = any(one.word == "PLANT" and two.word in STAGES | {"one", "ones"} for one, two in zip(items, items[1:]))
        draft = draft._replace(host=draft.host if food else None)
    if (
        what in (*RESULT, "moved", "died", "released", "checked")
        and draft.count in (None, "all", "both")
        and (others := _side_by_side(items))
    ):
        draft = draft._replace(count=None if draft.count == "both" else draft.count)
        return [with_result_stage(draft._replace(cohort=cohort, mark=mark)) for cohort, mark in others]
    if what == "moved" and draft.count in (None, "all") and len(sources := record_places.sources(items)) > 1:
        return [draft._replace(enclosure=place) for place in sources]
    if what == "split":
        return record_places.parted_to(draft, items, max(labelled, default=verb.last))
    return _with_particulars(line, clause, items, verb, what, with_result_stage(draft))


def _read_otherwise(line: Line, clause: Clause, verb: Verb, now, everything: bool, found: list[Draft]) -> list[Draft] | None:
    """What a clause tells that is no event of its verb's kind: a sign, plants bought, a sum, or what was told before; None for none of these."""
    items, words, what = clause.items, clause.words(), verb.what
    if (
        what == "moved"
        and "PLANT" in words
        and LEAVES & set(words)
        and not set(words) & (STAGES | {"COHORT", "SPECIES", "NUMBER"})
    ):
        return cared(line, items, verb._replace(what="fed"), now, everything)  # `popped some violet leaves in with the tub 4 lot`
    if what == "found" and set(words) & {"COHORT", "ENCLOSURE"} and eggs_on(items):
        return [sign(line, items, clause.text(line), now)]
    if (
        what == "found"
        and set(words) & SIGN_WORDS
        and set(words) & {"COHORT", "ENCLOSURE"}
        and (draft := sign_clause(line, clause, now))
    ):
        if not set(words) & STAGES or "on" in words:
            return [draft]
    if (
        what == "found"
        and "PLANT" in words
        and not set(words) & (STAGES | {"SPECIES", "COHORT", "INSTAR"})
        and record_stock.amount_of_plant(items)[0] is not None
    ):
        bought = record_stock.stock(items, everything, now)
        return [bought] if bought else cared(line, items, verb._replace(what="cut"), now, everything)
    if what in ("found", "returned") and found and not set(words) & (STAGES | {"SPECIES", "COHORT"}) and "found" in words:
        pronoun = words[words.index("found") + 1 :][:1]
        if pronoun in (["it"], ["him"], ["her"], ["them"]) and (what == "found" or found[-1].what == "died"):
            return []  # `C5 is dead, I found it on the floor`: the find of what the line is about
    if what == "checked" and not set(words) & {"COHORT", "ENCLOSURE", "SPECIES"} | set(words) & STAGES and found:
        return [Draft("checked", lead=items[verb.first].raw)] if found[-1].what == "sign" else []
    if what in RESULT and what != "moulted" and words[0] in SUMMING and "NUMBER" in words[:3]:
        summed = record_slots.filled(Draft("counted", lead=items[0].raw, stage=RESULT[what], total=True), items, line, now)
        return [summed._replace(host=None, to="", stage=RESULT[what])]
    return None


def _without_finders(items, verb: Verb):
    """The items with the number of those who found (`2 kids found 3 eggs`) as a plain word, where another number counts what they found."""
    behind = any(item.word == "NUMBER" for item in items[verb.last + 1 :])
    counts = STAGES | {"SPECIES", "INSTAR", "of", "more", "new", "PLANT"}
    return tuple(
        item._replace(word=item.raw.casefold(), span=None)
        if behind
        and at < verb.first
        and item.word == "NUMBER"
        and counts.isdisjoint(one.word for one in items[at + 1 : verb.first])
        else item
        for at, item in enumerate(items)
    )


def _with_particulars(line: Line, clause: Clause, items, verb: Verb, what: str, draft: Draft) -> list[Draft]:
    """The draft with what only events told as its kind (`what`) tell; a draft for each sex that is counted."""
    words = clause.words()
    if what in ("escaped", "released") and not draft.stage and FLYING & set(words):
        draft = draft._replace(stage="adult")
    hung = hanging(items) or what == "pupated" and "PREPUPA" in words
    if what in OF_HANGING and draft.stage in ("", "larva") and hung:
        draft = draft._replace(stage="prepupa", count=1 if draft.count is None and "one" in words else draft.count)
    sexes = record_counts.sexes_counted(items)
    if what in ("released", "emerged", "died", "given", "escaped"):
        if len(sexes) > 1:
            return [draft._replace(count=number, detail=sex) for number, sex in sexes]
        if what in ("released", "emerged"):
            draft = draft._replace(detail=record_counts.sex_of(items))
            if draft.count is None and set(words) & {"male", "female", "boy", "girl"}:
                draft = draft._replace(count=1)
        looks = re.search(r"\bwith (.+)$", clause.text(line))
        if what == "emerged" and looks and set(words) & SIGN_WORDS:
            draft = draft._replace(note=looks[1])
    if what == "died":
        draft = draft._replace(detail=cause(line, items, verb))
        if draft.stage == "" and set(words) & {"dud", "duds", "dudded"}:
            draft = draft._replace(stage="egg")
    if what == "given":
        draft = draft._replace(detail=_recipient(line, clause, verb))
        if _wrapped(items):
            draft = draft._replace(enclosure="")
    if what == "identified":
        draft = draft._replace(count=None, stage="")
    if what == "checked":
        nouns = [item.word for item in items if not item.span and container(item.word)]
        every = draft.count == "all" and not (draft.cohort or draft.species or draft.enclosure or draft.stage or draft.refers)
        draft = draft._replace(count="all" if every else None, instar=None, kind=container(nouns[0]) if nouns and every else "")
        if any(is_enemy(item) for item in items):
            # `caught all the wasps in tub 2`: what is said of them ends a trace, so the words are kept.
            draft = draft._replace(note=clause.text(line).strip())
    if what == "returned":
        draft = draft._replace(to="")
    if what == "found" and NO_IDEA.search(line.plain) and draft.species is None:
        draft = draft._replace(species=UNKNOWN)
    if what == "moved" and "together" in words and draft.to == "":
        draft = draft._replace(what="merged")
    return record_places.in_each_place(draft, items)


def _given(items, verb: Verb):
    """The items without the words of who got them (`… to the lady at moth club`), but for the times behind it."""
    turn = next((at for at in range(verb.first + 1, len(items)) if items[at].word in ("to", "with") and not items[at].span), 0)
    behind = {item.word for item in items[turn:]}
    if not turn or not {"COHORT", "NUMBER", "ENCLOSURE"}.isdisjoint(behind):
        return items
    return tuple(
        item if at <= turn or not item.span or item.kind == "period" else item._replace(word=item.raw.casefold(), span=None)
        for at, item in enumerate(items)
    )


GIVING = frozenset("has have had got took gave given sent".split())
"""Words of giving that no phrase took."""


def _recipient(line: Line, clause: Clause, verb: Verb) -> str:
    """Who got them: behind `to`, or between the giving and the number (`gave year 4 three of A`)."""
    items = clause.items
    if after := re.search(r"\b(?:to|home with|off with|away with)\s+(.+)$", clause.text(line)):
        return " ".join(item.raw for item in items if item.start >= items[-1].end - len(after[1]) and item.kind != "period")
    numbers = [at for at, _, _ in record_counts.numbers_in(items)]
    single = [at for at in range(verb.first + 2, len(items)) if items[at].word in ("a", "an", "another")]
    first = next(iter(numbers or single), 0)
    between = [item for item in items[verb.first + 1 : first] if item.word not in GIVING]
    named = between and all(not item.span or item.word == "NUMBER" for item in between)
    return " ".join(item.raw for item in between) if named and between[0].word not in ("away", "out", "up") else ""


def _wrapped(items) -> bool:
    """Whether the place in a gift is what the animals went away in (`to my niece in a padded box`)."""
    threes = zip(items, items[1:], items[2:])
    return any(
        one.word == "in" and two.word in ("a", "an") and three.kind == "enclosure" and three.span.first < 0
        for one, two, three in threes
    )


def _side_by_side(items) -> list[tuple[str, str]]:
    """Cohorts and marks that are named one behind the other without a joining word (`moved C5 C6 to tub 9`); [] for a single one."""
    places = [at for at, item in enumerate(items) if item.word == "COHORT"]
    if len(places) < 2 or places != list(range(places[0], places[0] + len(places))):
        return []
    return [items[at].span.value if items[at].kind == "mark" else (items[at].span.value, "") for at in places]


def _given_label(line: Line, items) -> str:
    """A word that looks like a label and is none of the records' (`5 of thistle-25 are thistle-b from today`)."""
    raw = (record_labels.raw_label(line, item) for item in items if not item.span)
    return next((label for label in raw if record_labels.looks_like_label(label)), "")


OF_HANGING = frozenset("pupated died escaped missing moved given released".split())
"""What may be told of those that hang already."""


def with_result_stage(draft: Draft) -> Draft:
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


def counted(line: Line, clause: Clause, verb: Verb, now) -> list[Draft]:
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
    pairs = zip(clause.items, clause.items[1:])
    stages = {two.span.value: one.span.value for one, two in pairs if one.word == "NUMBER" and two.word in STAGES}
    if len(stages) > 1:  # `counted tub 1: 12 larvae 1 egg`
        return [draft._replace(total=True, host=None, to="", stage=stage, count=count) for stage, count in stages.items()]
    if {"miscounted", "overlooked", "wrong", "missed"} & words:
        draft = draft._replace(note=clause.text(line).strip())
    return record_places.in_each_place(draft._replace(total=True, host=None, to=""), clause.items)
