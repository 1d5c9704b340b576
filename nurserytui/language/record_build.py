"""One clause with a verb becomes drafts: a builder for each kind of event."""

from __future__ import annotations

import re

from nurserytui.language import (
    record_counts,
    record_days,
    record_labels,
    record_places,
    record_settings,
    record_slots,
    record_stock,
    record_unheld,
)
from nurserytui.language.clause import STAGES, Clause, Verb
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_new_places import container
from nurserytui.language.record_words import (
    CAUSE_WORDS,
    DUD_WORDS,
    FLYING,
    NEGATIONS,
    NO_IDEA,
    PREDATORS,
    SIGN_STATES,
    SIGN_WORDS,
)
from nurserytui.language.request import Named

ANIMAL_EVENTS = frozenset(
    """
    laid found identified hatched moulted prepupated pupated emerged checked counted moved split merged renamed died
    released escaped given missing returned sign tested
    """.split()
)
CARE = frozenset(["cleaned", "fed", "cut", "watered"])
UNKNOWN = Named("unknown", ("unknown",))
NOTED = "note"
"""The `lead` of a sign that was told as a note."""
SUMMING = frozenset(("thats", "that's", "that’s", "that", "makes"))
"""How a total is told that something has just added to (`thats 5 pupae now`)."""
RESULT = {"hatched": "larva", "moulted": "larva", "prepupated": "prepupa", "pupated": "pupa", "emerged": "adult"}


def built(line: Line, clause: Clause, verb: Verb, now, everything: bool, found: list[Draft]) -> list[Draft]:
    items, words, what = clause.items, clause.words(), verb.what
    if what in ("emerged", "hatched") and _enemy_did(items[: verb.first]):
        # `wasps came out of C3`: nothing of C3 came out, C3 was their host.
        draft = sign(line, items, clause.text(line), now)
        return [draft._replace(count=None) if items[0].word == "NUMBER" else draft]
    if what == "tested":
        return [_tested(line, items, verb, now)]
    if what in CARE:
        return _care(line, items, verb, now, everything)
    if what in ("merged", "renamed"):
        return _naming(line, items, verb, now)
    if what == "counted":
        return counted(line, clause, verb, now)
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
        return [bought] if bought else _care(line, items, verb._replace(what="cut"), now, everything)
    if what in ("found", "returned") and found and not set(words) & (STAGES | {"SPECIES", "COHORT"}) and "found" in words:
        pronoun = words[words.index("found") + 1 :][:1]
        if pronoun in (["it"], ["him"], ["her"], ["them"]) and (what == "found" or found[-1].what == "died"):
            return []  # `C5 is dead, I found it on the floor`: the find of what the line is about
    if what == "checked" and not set(words) & {"COHORT", "ENCLOSURE", "SPECIES"} | set(words) & STAGES and found:
        return [Draft("checked", lead=items[verb.first].raw)] if found[-1].what == "sign" else []
    if what in RESULT and what != "moulted" and words[0] in SUMMING and "NUMBER" in words[:3]:
        summed = record_slots.filled(Draft("counted", lead=items[0].raw, stage=RESULT[what], total=True), items, line, now)
        return [summed._replace(host=None, to="", stage=RESULT[what])]
    label, labelled = ("", frozenset())
    if what in ("laid", "found", "split", "returned", "moved"):
        label, labelled = record_labels.label_in(items, line)
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
        draft = draft._replace(to=label or _given_label(line, items))
    taken = verb.taken if what not in ("split", "found", "moved") else frozenset()
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
            and not any(record_counts.plural(item) for item in items if item.word in STAGES)
        ):
            draft = draft._replace(count=1)
        draft = record_unheld.noted(line, items, draft, verb.taken, labelled)
    elif what not in ("fed",):
        # `the violet cats`: a plant in front of the animals tells which ones they are.
        food = any(one.word == "PLANT" and two.word in STAGES for one, two in zip(items, items[1:]))
        draft = draft._replace(host=draft.host if food else None)
    if what in (*RESULT, "moved", "died", "released", "checked") and draft.count is None and (others := _side_by_side(items)):
        return [with_result_stage(draft._replace(cohort=cohort, mark=mark)) for cohort, mark in others]
    if what == "moved" and draft.count in (None, "all") and len(sources := record_places.sources(items)) > 1:
        return [draft._replace(enclosure=place) for place in sources]
    draft = with_result_stage(draft)
    if what in ("escaped", "released") and not draft.stage and FLYING & set(words):
        draft = draft._replace(stage="adult")
    if what == "pupated" and not draft.stage and _hanging(items):
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
        nouns = [item.word for item in items if not item.span and container(item.word)]
        every = draft.count == "all" and not (draft.cohort or draft.species or draft.enclosure or draft.stage)
        draft = draft._replace(count="all" if every else None, instar=None, kind=container(nouns[0]) if nouns and every else "")
        if any(_is_enemy(item) for item in items):
            # `caught all the wasps in tub 2`: what is said of them ends a trace, so the words are kept.
            draft = draft._replace(note=clause.text(line).strip())
    if what == "returned":
        draft = draft._replace(to="")
    if what == "found" and NO_IDEA.search(line.plain) and draft.species is None:
        draft = draft._replace(species=UNKNOWN)
    if what == "moved" and "together" in words and draft.to == "":
        draft = draft._replace(what="merged")
    return [draft]


HANGING = frozenset("hanging dangling hung suspended j-ing jing".split())


def _hanging(items) -> bool:
    """Whether those that hang already are meant (`the hanging one of B`, `two of the dangling B`)."""
    words = [item.word for item in items]
    at = next((at for at, word in enumerate(words) if word in HANGING), None)
    return (
        at is not None
        and {"the", "my", "NUMBER"} & set(words[max(0, at - 2) : at]) != set()
        and bool({"one", "ones", "COHORT", "LARVA"} & set(words[at + 1 : at + 3]))
    )


ENEMIES = frozenset("wasp wasps fly flies maggot maggots parasite parasites parasitoid parasitoids puparia".split())


def _side_by_side(items) -> list[tuple[str, str]]:
    """Cohorts and marks that are named one behind the other without a joining word (`moved C5 C6 to tub 9`); [] for a single one."""
    places = [at for at, item in enumerate(items) if item.word == "COHORT"]
    if len(places) < 2 or places != list(range(places[0], places[0] + len(places))):
        return []
    return [items[at].span.value if items[at].kind == "mark" else (items[at].span.value, "") for at in places]


def _is_enemy(item) -> bool:
    return item.kind == "agent" or item.raw.casefold() in ENEMIES


def _enemy_did(before) -> bool:
    """Whether what stands before the verb are parasitoids and no animals of the keeper."""
    return any(_is_enemy(item) for item in before) and not {item.word for item in before} & (STAGES | {"COHORT", "SPECIES"})


def _given_label(line: Line, items) -> str:
    """A word that looks like a label and is none of the records' (`5 of thistle-25 are thistle-b from today`)."""
    raw = (record_labels.raw_label(line, item) for item in items if not item.span)
    return next((label for label in raw if record_labels.looks_like_label(label)), "")


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
            if after and (lead not in ("found", "dead") or causes(items))
            else causes(items) or ("" if lead not in ("killed", "eaten", "ate") else lead)
        )
    if lead in PREDATORS or lead == "AGENT":
        return items[verb.first].raw
    if items[verb.first].word == "had":
        return items[verb.last].raw
    verb_text = " ".join(items[place].raw for place in sorted(verb.taken) if not items[place].span)
    if lead in ("drowned", "squashed", "crushed", "stuck", "froze", "trod", "stepped", "sat", "fell"):
        return f"{verb_text} {text}".strip() if text.split(" ")[0] in ("in", "by", "under", "on", "when", "while") else verb_text
    return verb_text


def causes(items) -> str:
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


def sign(line: Line, items, text: str, now) -> Draft:
    draft = record_slots.filled(Draft("sign", detail=text.strip(" .:-")), items, line, now)
    return draft._replace(species=None, host=None, to="", refers=False)


def sign_clause(line: Line, clause: Clause, now) -> Draft | None:
    """A sign needs animals or an enclosure of the keeper, and a word that tells of something wrong."""
    words = set(clause.words())
    if "sign" in words and words & {"log", "record", "note", "add"}:
        return sign(
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
    if not words & {"COHORT", "ENCLOSURE"} or words & {"if", "unless"}:
        return None
    if _free_of(clause):
        return record_slots.filled(Draft("checked", note=clause.text(line)), clause.items, line, now)._replace(
            count=None, species=None, host=None, to="", refers=False
        )
    telling = (
        words & SIGN_WORDS
        or any(item.kind == "agent" for item in clause.items)
        or (words & NEGATIONS and words & SIGN_STATES)
        or words & {"stopped", "refusing", "refuses", "refused", "ignores", "ignoring"}
    )
    return sign(line, clause.items, clause.text(line), now) if telling else None


def _free_of(clause: Clause) -> bool:
    """`no sign of oe in B`, `no black spots on N2`: what was looked for is not there."""
    items = clause.items
    for at, item in enumerate(items):
        if item.word in ("no", "without", "isnt", "arent", "not", "never") and not item.span:
            ahead = items[at + 1 : at + 5]
            seen = any(one.kind == "agent" or one.word in SIGN_WORDS - SIGN_STATES - {"still", "feeding"} for one in ahead)
            return seen and not any(one.word in SIGN_STATES for one in ahead)
    return False


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
    when = record_days.when_of(items, now)
    base = Draft(verb.what, host=host, when=when, lead=items[verb.first].raw)
    if verb.what == "cut":
        count, unit, _ = record_stock.amount_of_plant(items)
        cut = base._replace(count=count, detail=unit, enclosure=places[0] if places else "")
        return [cut, cut._replace(what="stocked")] if everything and count is not None and host else [cut]
    detail = _tail(line, items, verb)
    with_what = re.search(r"\b(?:with|using)\s+(.+)$", detail) if verb.what == "cleaned" else None
    base = base._replace(detail=with_what[1] if with_what else "")
    if verb.what == "watered" and items[verb.first].word in ("misted", "sprayed"):
        base = base._replace(detail=items[verb.first].word)
    count, unit, _ = record_stock.amount_of_plant(items)
    if verb.what == "fed" and count is not None:
        base = base._replace(detail=f"{count} {unit}")
    whole = (
        not places
        and not cohorts
        and bool({item.word for item in items} & {"all", "everything", "everyone", "every", "everybody"})
    )
    if whole:
        nouns = [item.word for item in items if not item.span and container(item.word)]
        base = base._replace(count="all", kind=container(nouns[0]) if nouns else "")
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
            label = record_labels.raw_label(line, items[verb.last + 1])
        if not label and len(items) > verb.first + 2 and items[verb.first].word == "call" and cohorts:
            label = record_labels.raw_label(line, items[verb.first + 2])
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
    return [draft._replace(total=True, host=None, to="")]
