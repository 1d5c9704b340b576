"""Records in words that no phrase has: the event is weighed against examples, its parts are the spans of the line.

The examples lie in knowledge/phrases/records/<event>.txt, one masked clause each; adding one needs no code.
"""

from __future__ import annotations

from datetime import datetime
from functools import lru_cache

from nurserytui.language import phrases, record_settings, record_stock, weighing
from nurserytui.language.clause import STAGES, Clause, Item, Verb
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_counts import numbers_in
from nurserytui.language.record_events import RESULT
from nurserytui.language.record_signs import sign
from nurserytui.language.record_slots import filled
from nurserytui.language.record_unreal import unmoving
from nurserytui.language.record_verbs import match, phrases_from
from nurserytui.language.record_words import COMMON

SURE = 0.8
"""Chance of its event from which a clause that no phrase tells of is written down as told. Measured by tests/language/measure_events.py."""
THOUGHT = 0.35
"""The same from which it is asked whether that is meant."""
CLEARER = 0.75
"""Chance of another event from which the examples are believed and not the phrase that stands in a clause."""
ODD = 0.08
"""Chance of the event that a phrase tells under which it is asked whether that is meant."""


def words_of(items: tuple[Item, ...] | list[Item]) -> list[str]:
    """The words of a clause as the examples have them: spans by their kind, amounts by what they measure."""
    return [item.span.value.kind.upper() if item.kind == "amount" else item.word for item in items]


def features_of(words: list[str], tables: phrases.Phrases) -> set[str]:
    """What is told of the words of any line, and of which events they hold a phrase."""
    items = [Item(word, None, 0, 0, word) for word in words]
    told = {f"!{what}" for at, word in enumerate(words) for what, parts in phrases_from(word) if match(items, at, parts)}
    return weighing.features_of(words, tables) | told


def weigh(items: tuple[Item, ...] | list[Item]) -> weighing.Weighed | None:
    """The chance of every event for a clause."""
    return _weighed(tuple(words_of(items)))


@lru_cache(maxsize=64)
def _weighed(words: tuple[str, ...]) -> weighing.Weighed | None:
    """Kept for a while: the clauses of a line, and the line as a whole, are weighed for several reasons."""
    tables = phrases.load()
    return weighing.weigh(list(words), tables, weighing.load(tables, weighing.EVENTS, features_of), features_of)


def corrected(clauses: list[Clause]) -> list[Clause]:
    """The clauses with the event that the examples tell instead of that of a phrase, where they are clear: a phrase in a single clause is
    held against the whole line."""
    verbs = [clause for clause in clauses if clause.verb]
    if len(verbs) == 1:
        return _corrected_whole(clauses, verbs[0])
    found = []
    for clause in clauses:
        if clause.verb and not _named(clause):
            what = _clearly(clause.items, clause.verb.what)
            clause = clause._replace(verb=_verb(clause, what)) if what else clause
        found.append(_with_own_event(clause) if verbs else clause)
    return found


def odd(clauses: list[Clause], written: set[str]) -> bool:
    """Whether a phrase of the line tells an event, of those to be written, that neither its clause nor the whole line hardly ever tells."""
    sure = {clause.verb.what for clause in clauses if clause.verb and clause.verb.size > 0}
    if any(clause.verb and clause.verb.size == UNSURE and clause.verb.what not in sure for clause in clauses):
        return True
    for clause in clauses:
        if clause.verb and clause.verb.size and clause.verb.what in written and not _named(clause):
            what = clause.verb.what
            weighed = [one for one in (weigh(clause.items), weigh(_whole(clauses).items)) if one]
            chances = [one.of(what) + one.of(OUT.get(what, "")) for one in weighed]
            if chances and max(chances) < ODD:
                return True
    return False


OUT = {"hatched": "emerged", "emerged": "hatched"}
"""Keepers say each of the other: which one is meant the stage tells."""


def _corrected_whole(clauses: list[Clause], only: Clause) -> list[Clause]:
    """A line with a phrase in one clause only: the event of the whole line stands in the clause that has the number."""
    whole = _whole(clauses)
    what = "" if _named(only) or unmoving(only) else _clearly(whole.items, only.verb.what)
    if what and only.verb.what not in LOOSE and len(clauses) > 1:
        own = weigh(only.items)
        if own and own.topic == only.verb.what and own.chance >= OWN_CLEAR:
            what = ""  # the clause is sure of its phrase, whatever stands around it (`just eclosed, M1, still dripping`)
    if what == "temperature" and not any(item.kind == "amount" for item in only.items):
        what = ""  # `it is 31 C in here, tub 3 moved out`: the reading is told beside it
    if what == "moved" and only.verb.what == "found" and {"NUMBER", "SPECIES"} <= set(only.words()):
        what = ""  # `received 20 peacock larvae, into the tent`
    if what in TOLD_WHOLE:
        begin = next((at for at, clause in enumerate(clauses) if _names_somebody(clause)), 0)  # past the `just got in from work`
        whole = _whole(clauses[begin:])
        return [whole._replace(verb=_verb(whole, what))]
    if not what:
        given = only.verb.what == "given"  # `gave 2 larvae and 4 eggs to Ann`
        bare = only.verb.what == "died" and not _names_somebody(only)  # `1 chrysalis brown and hollow, tossed`
        leaning = [bare or given and clause.joined for clause in clauses]
        return [clause if clause is only or leans else _with_own_event(clause) for clause, leans in zip(clauses, leaning)]
    numbered = [clause for clause in clauses if numbers_in(clause.items)]
    place = only if only in numbered or not numbered else numbered[0]
    return [clause._replace(verb=_verb(clause, what) if clause is place else None) for clause in clauses]


def _names_somebody(clause: Clause) -> bool:
    return any(item.span and item.kind != "period" for item in clause.items)


def instead(clause: Clause, what: str) -> Clause | None:
    """The clause with the event that the examples clearly tell, where only a word of its looks would make it `what`; None for none. Nobody is
    dead without a word that says so (`one pupa fell`)."""
    other = "" if what == "sign" and not REFUSING.isdisjoint(clause.words()) else _clearly(clause.items, what)
    return clause._replace(verb=_verb(clause, other)) if other and other != "died" else None


REFUSING = frozenset("stopped refuses refused refusing".split())
"""Words by which animals leave their food, which is no change of theirs yet."""


def _clearly(items: tuple[Item, ...], what: str) -> str:
    """Another event that the examples clearly tell for these words; "" for none."""
    weighed = weigh(items)
    never = (what, *NEVER_INSTEAD, "laid" if what == "found" else "")  # who finds eggs saw nobody lay them
    other = weighed and weighed.topic not in never and weighed.chance >= CLEARER and _possible(weighed.topic, items)
    return weighed.topic if other else ""


def _with_own_event(clause: Clause) -> Clause:
    """A clause without a phrase that has a number, animals and words of its own beside one that has a phrase."""
    named = any(item.word in STAGES or item.word in ("COHORT", "SPECIES", "ENCLOSURE") for item in clause.items)
    if clause.verb or not named or not numbers_in(clause.items) or not _tells(clause):
        return clause
    weighed = weigh(clause.items)
    staged = any(item.word in STAGES for item in clause.items)
    if weighed is None or weighed.topic in TOLD_WHOLE | NEVER_INSTEAD or not _possible(weighed.topic, clause.items):
        return clause
    if weighed.chance >= CLEARER or (staged and weighed.chance >= THOUGHT):
        verb = _verb(clause, weighed.topic)
        return clause._replace(verb=verb if weighed.chance >= CLEARER else verb._replace(size=UNSURE))
    return clause


LOOSE = frozenset(("found", "checked", "counted", "given", "moved"))
"""Events whose own word is said of others too (`found 2 dead`, `one moved into its chrysalis`)."""


def _named(clause: Clause) -> bool:
    """Whether the phrase in a clause is the event's own word (`watered`, `released`), which means nothing else, or says what still is."""
    if clause.items[clause.verb.first].word == "still" or clause.verb.size >= LONG:
        return True
    return clause.items[clause.verb.first].word == clause.verb.what and clause.verb.what not in LOOSE


ASKED = frozenset(("note", "given"))
"""Events that without a phrase are asked about, however sure: idle talk reads like a note, and `my sister got 5 eggs` like a gift."""
NEVER_INSTEAD = ASKED | {"renamed"}
"""Events that no examples put in the place of another's phrase: much reads like another name (`B now on dill`)."""
UNSURE = -1
"""Size of the phrase of an event that is only thought to be told: an animal's fate is asked about rather than passed over."""
OWN_CLEAR = 0.9
"""Chance of its phrase's event from which a clause is believed and not the whole line."""
LONG = 3
"""Words of a phrase from which it means nothing else."""
TOLD_WHOLE = frozenset(("temperature", "sign"))
"""Events that a whole line tells, whatever clauses it has."""


def _tells(clause: Clause) -> bool:
    """Whether a clause has words that tell of something, and not only of whom and how many."""
    return any(not item.span and item.word.isalpha() and item.word not in COMMON for item in clause.items)


def _breaks_off(clause: Clause) -> bool:
    """Whether a clause ends in two letters that are no word (`2 of B ha`)."""
    last = clause.items[-1]
    return not last.span and last.word.isalpha() and len(last.word) == 2 and last.word not in COMMON | phrases.load().known


def told(clauses: list[Clause]) -> tuple[list[Clause], float]:
    """The clauses of a line without a phrase, with the events that the examples tell, and the chance of the least sure: the line as one
    clause, unless several clauses have numbers of their own. No event and 0 where the examples say nothing."""
    own = [clause for clause in clauses if numbers_in(clause.items) or _names_its_own(clause)]
    whole = _whole(clauses)
    alike = weigh(whole.items) if len(own) > 1 else None
    found, least = [], 1.0
    for clause in clauses if len(own) > 1 else ():
        weighed = weigh(clause.items) if clause in own else None
        chance = max(weighed.chance, alike.chance) if weighed and alike and weighed.topic == alike.topic else 0.0
        if weighed and (weighed.chance >= SURE or weighed.chance >= LIKE_THE_WHOLE and chance >= SURE):
            clause = clause._replace(verb=_verb(clause, weighed.topic))
            least = min(least, max(chance, weighed.chance))
        found.append(clause)
    if any(clause.verb and clause.verb.what == "counted" for clause in found):  # `25 in total: 14 eggs 11 larvae`
        found = [
            clause._replace(verb=None) if clause.verb and clause.verb.what in RESULT and not _tells(clause) else clause
            for clause in found
        ]
    if sum(clause.verb is not None for clause in found) > 1:
        return found, least
    weighed = weigh(whole.items)
    if weighed is None or weighed.chance < THOUGHT or not _possible(weighed.topic, whole.items) or _breaks_off(whole):
        return clauses, 0.0
    if _each_its_own(numbered := [clause for clause in clauses if numbers_in(clause.items)]):
        first = numbered[0]
        told_first = [clause._replace(verb=_verb(clause, weighed.topic)) if clause is first else clause for clause in clauses]
        return told_first, weighed.chance  # the others are told the same
    return [whole._replace(verb=_verb(whole, weighed.topic))], weighed.chance


def _each_its_own(numbered: list[Clause]) -> bool:
    """Whether each of several clauses counts animals of another cohort (`took 2 B and 3 C to school`)."""
    cohorts = [[item.span.value for item in clause.items if item.kind == "cohort"] for clause in numbered]
    joined = all(clause.joined for clause in numbered[1:])
    return (
        len(cohorts) > 1 and joined and all(len(own) == 1 for own in cohorts) and len({own[0] for own in cohorts}) == len(cohorts)
    )


LIKE_THE_WHOLE = 0.6
"""Chance of its event from which a clause tells what the whole line does (`5 B L4, 3 C L5`)."""


def _names_its_own(clause: Clause) -> bool:
    """Whether a clause says of somebody where they are or what they became (`B to tub 2`), and not only who."""
    words = clause.words()
    return "COHORT" in words and not {"ENCLOSURE", "INSTAR", *STAGES}.isdisjoint(words)


def _whole(clauses: list[Clause]) -> Clause:
    return Clause(tuple(item for clause in clauses for item in clause.items), None)


def _verb(clause: Clause, what: str) -> Verb:
    """The event as a verb of a clause that names no word of it; it stands where the clause's own phrase stood."""
    at = clause.verb.first if clause.verb else next((at for at, item in enumerate(clause.items) if not item.span), 0)
    return Verb(what, min(at, len(clause.items) - 1), min(at, len(clause.items) - 1), frozenset(), 0)


NEEDED = {
    "identified": frozenset(("SPECIES",)),
    "found": STAGES | {"SPECIES", "INSTAR"},
    "laid": STAGES | {"SPECIES", "NUMBER"},
    "moved": frozenset(("ENCLOSURE",)),
    "stocked": frozenset(("PLANT",)),
    "cut": frozenset(("PLANT", "stems", "leaves", "sprigs", "branches")),
    "temperature": frozenset(("NUMBER", "AMOUNT", "RANGE")),
}
"""What a line must name, one of them at least, for an event to be told without its phrase."""


def _possible(what: str, items: tuple[Item, ...]) -> bool:
    return what not in NEEDED or not NEEDED[what].isdisjoint(item.word for item in items)


def of_things(line: Line, clause: Clause, what: str, now: datetime, units: str) -> list[Draft] | None:
    """The drafts of an event that has no builder of its own; None for one that has."""
    items = clause.items
    if what == "sign":
        return [sign(line, items, clause.text(line), now)]
    if what == "temperature":
        return record_settings.temperatures(items, now, units, sure=True)
    if what == "stocked":
        stock = record_stock.stock(items, True, now)
        return [stock] if stock else []
    if what == "note":
        draft = filled(Draft("note"), [item for item in items if item.word in ("COHORT", "ENCLOSURE", "PERIOD")], line, now)
        return [draft._replace(note=clause.text(line).strip(), count=None, refers=False, unknown="")]
    return [] if what == "setting" else None
