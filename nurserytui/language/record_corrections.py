"""Corrections of what was last written in this conversation: `no, 3 not 2`, `make that tub 3`, `escaped, not died`."""

from __future__ import annotations

import re
from types import SimpleNamespace

from nurserytui.language import record_adding, record_counts, record_days, record_settings, record_slots
from nurserytui.language.clause import Item, Verb
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line, Span
from nurserytui.language.record_events import ANIMAL_EVENTS
from nurserytui.language.record_verbs import best_verb
from nurserytui.language.record_words import FEMALE, FIXERS, MALE
from nurserytui.language.request import Request
from nurserytui.language.slots import HAPPENED
from nurserytui.language.undoing import NOUNS
from nurserytui.language.vocabulary import Vocabulary

LONGEST = 14
"""Words of a correction; a longer line is a record of its own."""
AFTER_NO = frozenset(
    ["NUMBER", "only", "just", "from", "PERIOD", "not", "it", "that", "make", "sorry", "i", "COHORT", "ENCLOSURE", "wait"]
)
BETWEEN = frozenset("i on that it was my bad thats its oh ah hm".split())
SIGHS = frozenset("oh ah hm hmm er um ok so well".split())
"""Words in front of what puts right, which say nothing."""
STEERING = re.compile(
    r"\b(make (?:that|it)|should (?:be|have been|read|say)|i mean|i meant|meant|was actually|it was|that was|they were|"
    r"not (?:NUMBER|COHORT|ENCLOSURE)|^(?:was|were) NUMBER$|^(?:the )?NUMBER (?:actually|sorry|rather|in fact|really|i think)|change (?:it|that)|instead|^(?:only|just) NUMBER(?: of them)?(?: did| was| were| has| have| really| actually| in fact| after all| though| i think)*$|^not all NUMBER|^(?:no )?(?:not )?all exclusion)\b"
)
SEX = re.compile(r"(?:its|it is|hes|he is|shes|she is) a (?:male|female|boy|girl)")
FRESH = frozenset("checked found cleaned fed watered cut moved laid tested".split())
"""Events that follow a `no` or `actually` as news of their own rather than as another word for what was written."""


ERRING = frozenset("lie fib correct misread miscounted mistyped misspoke mistaken myself pardon apologies".split())
"""Words that own up to a slip, before a stop and what is right (`I misread it, 26`)."""
TAKING = frozenset("undo scrap cancel delete scratch".split())
"""Words of taking back behind which, after a stop, stands what is right instead."""
DENIALS = frozenset("not never none didnt wasnt werent isnt hasnt havent arent".split())
DENYING = frozenset("not didnt wasnt werent hasnt havent isnt never".split())
OTHERS = frozenset("all more other others another rest some any yet both only just but except".split())
"""Words by which a denial is of others than those written of, or of some of them."""
SAME = ("cohort", "enclosure", "stage")
"""What a denial may name of the record that it denies."""


def correction(line: Line, items: list[Item], nursery, context) -> Request | None:
    """The patch that a line puts on the last record; None if it is no correction."""
    if context is None or not context.last_group or context.open is not None or len(items) > LONGEST:
        return None
    items = _in_order(items)
    whole, (items, context) = items, _of_the_record_meant(items, nursery, context)
    group = nursery.ledger.chronicle.together(context.last_group)
    if not group:
        return None
    whole, items = (whole, items) if items is not whole else (own := _own_labels(items, nursery, group), own)
    if _denied_altogether(items, group):
        return Request(line.text, "undo", group=context.last_group, plain=line.plain, layer="follow-up", score=1.0)
    added = record_adding.told(line, items, group, nursery.now)
    if added is not None:
        return _request(line, added, context)
    rest, fixed = _after_fixers(items)
    rest, denied_verb = without_denied_verb(_by_its_number(rest, group))
    phrase = " ".join(item.word for item in items)
    steering = STEERING.search(phrase) or SEX.fullmatch(phrase)
    if not (fixed or steering or denied_verb or items is not whole or line.plain.startswith("oh no ")):
        return None
    verb = best_verb(rest, weak=False) if rest else None
    whats = {event.what for event in group}
    if verb is not None and not denied_verb:
        if not fixed and not (steering and steering[0].startswith(("make", "i mean", "change", "not"))):
            return None
        if verb.what not in whats and verb.what in FRESH and not steering:
            return None
    patch, wrong = _patch(line, rest, verb, group, nursery)
    if patch == Draft(patch.what) and (verb is None or verb.what in whats):
        return None
    return _request(line, patch, context, wrong)


def _in_order(items: list[Item]) -> list[Item]:
    """`C5, sorry` and `in tub 3, not the tub 1` as they are said with the word that puts right in front, and without articles behind `not`."""
    if 1 < len(items) < 5 and items[-1].word in LAST and (items[0].span or items[0].word in MEANING) and not items[-1].span:
        items = [items[-1], *items[:-1]]
    return [
        item
        for at, item in enumerate(items)
        if not (
            item.word in ("the", "my", "our")
            and at
            and items[at - 1].word == "not"
            and at + 1 < len(items)
            and items[at + 1].span
        )
    ]


def _own_labels(items: list[Item], nursery, group) -> list[Item]:
    """The items with a plant that begins the label of a cohort as that cohort, where what was written is of animals (`that should be kale`)."""
    if not all(event.what in ANIMAL_EVENTS for event in group):
        return items
    known = Vocabulary.of(nursery).beginnings
    return [
        item._replace(word="COHORT", span=item.span._replace(kind="cohort", value=known[item.raw.casefold()]))
        if item.kind == "plant" and item.raw.casefold() in known
        else item
        for item in items
    ]


MEANING = frozenset("it they he she only just both".split())
LAST = frozenset("sorry oops whoops rather correction".split())


def _of_the_record_meant(items: list[Item], nursery, context):
    """(the rest of the line, the conversation as it stood after the record meant) where the line names a record by its noun (`the hatch
    was 4 not 5`), be it the last or one before it; else both as they are."""
    words = [item.word for item in items]
    at = next((at for at, word in enumerate(words[:4]) if word in NOUNS and {"the", "that", "my"} & set(words[:at])), None)
    if at is None or words[at + 1 : at + 2] not in (["was"], ["were"], ["is"], ["should"]):
        return items, context
    wrong = _right_and_wrong(items)[1]
    for name in reversed(context.groups):
        group = nursery.ledger.chronicle.together(name)
        if any(event.what == NOUNS[words[at]] and wrong in (None, event.count) for event in group):
            return items[at + 1 :], SimpleNamespace(last_group=name, open=None)
    return items, context


def _request(line: Line, patch: Draft, context, wrong: int | None = None) -> Request:
    cues = {"correct"} | ({f"not:{wrong}"} if wrong is not None else set())
    return Request(
        line.text,
        "record",
        drafts=(patch,),
        group=context.last_group,
        cues=frozenset(cues),
        plain=line.plain,
        layer="follow-up",
        score=1.0,
    )


def _denied_altogether(items: list[Item], group) -> bool:
    """Whether a line denies what was written and puts nothing in its place (`it was not dead after all`)."""
    words = [item.word for item in items]
    verb = best_verb(items, weak=False)
    if verb is None or verb.what not in {event.what for event in group} or DENIALS.isdisjoint(words):
        return False
    if without_denied_verb(items)[1]:
        return False  # `they have not died, they pupated`
    whole = [word for at, word in enumerate(words) if not (word == "all" and words[at - 1] == "after")]
    same = {part for event in group for part in (event.cohort, event.to, event.enclosure, event.stage)}
    return OTHERS.isdisjoint(whole) and all(item.kind in SAME and item.span.value in same for item in items if item.span)


def _after_fixers(items: list[Item]) -> tuple[list[Item], bool]:
    """The items after `no`, `oops`, `sorry, that`, `undo that,` …, and whether there were any."""
    words = [item.word for item in items]
    lead = next((at for at, item in enumerate(items[:6]) if item.stop), None)
    if lead is not None and lead + 1 < len(items) and not any(item.span for item in items[: lead + 1]):
        if (words[0] in TAKING and lead < 3) or not ERRING.isdisjoint(words[: lead + 1]):
            return _after_fixers(items[lead + 1 :])[0], True
    while len(items) > 1 and words[0] in SIGHS and words[1] in FIXERS:
        items, words = items[1:], words[1:]
    start = 0
    while start < len(items) and (words[start] in FIXERS or (start and words[start] in BETWEEN)):
        start += 1
    plainly = words[0] != "no" or items[0].stop or (len(words) > 1 and words[1] in AFTER_NO)
    return items[start:], start > 0 and plainly


def without_denied_verb(items: list[Item]) -> tuple[list[Item], bool]:
    """`escaped, not died`: the items without the verb that did not happen, where another did."""
    for at, item in enumerate(items[:-1]):
        if item.word in DENYING and not items[at + 1].span and _is_verb(items[at + 1]):
            rest = items[:at] + items[at + 2 :]
            return (rest, True) if best_verb(rest, weak=False) else (items, False)
    return items, False


def _is_verb(item: Item) -> bool:
    """Whether a word tells of an event, in whatever form (`it didnt die`)."""
    return bool(best_verb([item], weak=False)) or item.word in HAPPENED


def _by_its_number(items: list[Item], group) -> list[Item]:
    """`tub 4 not 3`: the number alone stands for the enclosure of that number that was told."""
    places = {place for event in group for place in (event.enclosure, event.to) if place}
    for at, item in enumerate(items):
        if (
            item.word != "NUMBER"
            or not at
            or items[at - 1].word not in DENYING
            or not any(one.kind == "enclosure" for one in items)
        ):
            continue
        meant = next((place for place in places if place.rsplit(" ", 1)[-1] == item.raw), "")
        if meant:
            span = item.span._replace(kind="enclosure", value=meant)
            return [*items[:at], item._replace(word="ENCLOSURE", span=span), *items[at + 1 :]]
    return items


def _patch(line: Line, rest: list[Item], verb: Verb | None, group, nursery) -> tuple[Draft, int | None]:
    """The parts that the correction says, and the number that it denies."""
    what = verb.what if verb else ""
    read_as = "moved" if group[0].what == "moved" else what
    patch = record_slots.filled(Draft(read_as), rest, line, nursery.now)._replace(
        what=what, refers=False, other=False, unknown=""
    )
    right, wrong = _right_and_wrong(rest)
    count = (
        patch.count if patch.less else right if right is not None else None if patch.count == 1 else patch.count
    )  # the `it` of `make it friday` counts nothing
    patch = _without_denied(patch._replace(count=count), rest)
    told_sex = {item.word for item in rest} & ((MALE | FEMALE) - {"he", "she", "him", "her"})
    patch = patch._replace(detail=record_counts.sex_of(rest) if told_sex else "")
    reading = next((event for event in group if event.what == "temperature"), None)
    if reading is not None:
        patch = _reading(line, rest, reading, patch, nursery)
    return patch._replace(impossible=record_days.impossible_date(line, nursery.now)), wrong


def _reading(line: Line, rest: list[Item], reading, patch: Draft, nursery) -> Draft:
    """Another temperature, in the unit of the reading it corrects where none is said."""
    unit = reading.detail.rsplit(" ", 1)[-1]
    here = Span(0, 0, "enclosure", reading.enclosure or "here", "")
    made = record_settings.temperature([*rest, Item("ENCLOSURE", here, 0, 0, "")], nursery.now, unit)
    if made is not None:
        return patch._replace(detail=made.detail, enclosure="", count=None)
    number = next((item.span.value for item in rest if item.word == "NUMBER"), None)
    return patch if number is None else patch._replace(detail=f"{number:g} {unit}", count=None)


def _right_and_wrong(items: list[Item]) -> tuple[int | None, int | None]:
    """(3, 2) of `3 not 2` and of `not 2 but 3`."""
    right = wrong = None
    for at, item in enumerate(items):
        if item.word == "NUMBER" and item.span.value == int(item.span.value):
            before = [one.word for one in items[max(0, at - 2) : at]]
            if before[-1:] in (["not"], ["isnt"], ["wasnt"]) or before == ["instead", "of"]:
                wrong = int(item.span.value)
            elif right is None:
                right = int(item.span.value)
    if (
        right is None
        and {"just", "only"} & {item.word for item in items}
        and [item.word for item in items[-2:]] == ["the", "one"]
    ):
        right = 1  # `just the one`
    return right, wrong


def _without_denied(patch: Draft, items: list[Item]) -> Draft:
    """`kale-26 not vine-26`, `not tub 1 but tub 3`: what follows `not` is what it was not."""
    denied = {
        item.span.value
        for at, item in enumerate(items)
        if at and item.span and items[at - 1].word == "not" and item.kind in ("cohort", "enclosure")
    }
    if not denied:
        return patch
    said = {
        kind: [item.span.value for item in items if item.kind == kind and item.span.value not in denied]
        for kind in ("cohort", "enclosure")
    }
    if patch.cohort in denied:
        patch = patch._replace(cohort=said["cohort"][0] if said["cohort"] else "")
    for part in ("enclosure", "to"):
        if getattr(patch, part) in denied:
            patch = patch._replace(**{part: said["enclosure"][0] if said["enclosure"] else ""})
    return patch
