"""Enclosures that the records do not have yet, as a line names them (`box 7`, `tubs 1 and 3`, `the blue cage`)."""

from __future__ import annotations

import re

from nurserytui.language.clause import JOINING, PREPOSITIONS, STAGES, Item
from nurserytui.language.line import Line, Span
from nurserytui.language.record_words import CONTAINERS

HOUSING = frozenset(
    """
    to into onto put placed moved shifted transferred found collected brought picked live lives living sits sit housed kept
    laid eggs goes go box given dropped handed sent they theyre laying label cohort
    """.split()
)
PLAIN = PREPOSITIONS | frozenset(
    """
    a an the my our new another different bigger larger smaller clean fresh separate spare its their his her own same other
    big small second
    """.split()
)
"""Words that describe no container by which it could be told from another, and those in front of one."""


SIZES = frozenset(("big", "small", "spare"))
"""Those of them that name a container behind an article."""
NO_PLACES = frozenset("water food plant flower feeding sugar wing pupal head shell egg".split())
"""Words that make a container a thing or a part of an animal (`a dark mark on the wing case`)."""
GROWN = frozenset("sleeve cage net tent mesh dome tank box bin crate".split())
"""Containers that may be called by the plant in them (`the oak sleeve`)."""


def with_new_places(line: Line, items: list[Item]) -> list[Item]:
    found: list[Item] = []
    at = 0
    while at < len(items):
        item = items[at]
        following = items[at + 1] if at + 1 < len(items) else None
        noun = container(item.word) if not item.span else ""
        plural = ""
        if noun and noun != item.word and following and following.kind == "range" and not item.stop:
            low, high = following.span.value
            first = _place(f"{noun} {low}", item, following)
            found += [
                first._replace(stop=False),
                *_between(first, high, following, noun),
                _place(f"{noun} {high}", following, following),
            ]
            at += 2
            continue
        if noun and following and not item.stop and _is_index(following):
            if not (following.kind == "cohort" and len(following.raw) < 2 and not following.raw.isdigit()):
                known = f"{noun} {following.raw.lstrip('#')}"
                found.append(_place(known, item, following))
                plural = noun if item.word != noun else ""
                at += 2
            else:
                found.append(item)
                at += 1
        else:
            if (
                item.word == "ENCLOSURE"
                and (words := item.raw.casefold().split())
                and words[-1].isdigit()
                and container(words[0]) != words[0]
            ):
                plural = container(words[0])
            found.append(item)
            at += 1
        if not plural and found[-1].word == "ENCLOSURE" and found[-1].raw[-1:].isdigit() and _lists_on(items, at, found[-1]):
            plural = found[-1].span.value.rsplit(" ", 1)[0]
        if not plural and found[-1].word == "ENCLOSURE" and _goes_to_figure(items, at, found[-1]):
            noun, ends = found[-1].span.value.rsplit(" ", 1)[0], at + 2 == len(items) or items[at + 1].stop
            ends = ends and items[at].word == "to"
            if ends:  # `moved tub 8 to 9`
                found += [items[at], _place(f"{noun} {items[at + 1].raw}", items[at + 1], items[at + 1])]
                at += 2
            else:
                plural = noun
        while plural and at < len(items):
            joins = 1 if items[at].word in JOINING or items[at].word in UP_TO else 0
            if at + joins >= len(items) or not (joins or found[-1].stop or _listed(items, at)):
                break
            figure = items[at + joins]
            if not joins and not figure.stop and items[at + 1 : at + 2] and items[at + 1].word in COUNTED:
                break  # `cleaned jars 1 and 2, 1 dead B in jar 1`
            if figure.kind == "range":
                low, high = figure.span.value
                found[-1] = found[-1]._replace(stop=False)
                first = _place(f"{plural} {low}", figure, figure)._replace(stop=False)
                found += [first, *_between(first, high, figure, plural), _place(f"{plural} {high}", figure, figure)]
            elif figure.raw.isdigit():
                hyphened = line.text[found[-1].end : figure.start].strip() in ("-", "–", "—")
                found[-1] = found[-1]._replace(stop=False)
                if items[at].word in UP_TO or hyphened:
                    found += _between(found[-1], int(figure.raw), figure, plural)
                found.append(_place(f"{plural} {figure.raw}", figure, figure))
            else:
                break
            at += joins + 1
    return _described_places(found)


def _listed(items: list[Item], at: int) -> bool:
    """Whether a figure goes on with a list that ends in a joining word and a figure (`tubs 1 3 and 4`)."""
    while at < len(items) and items[at].raw.isdigit() and not items[at].stop:
        at += 1
        if at + 1 < len(items) and items[at].word in JOINING and items[at + 1].raw.isdigit():
            return True
    return False


UP_TO = frozenset("to thru through".split())
COUNTED = STAGES | {"COHORT", "SPECIES", "dead", "died", "more", "of"}
"""Words in front of which a number counts animals and is no further place."""
MOST = 30
"""Places that `tubs 1 to 9` may be, at most."""


def _between(first: Item, last: int, said: Item, noun: str) -> list[Item]:
    """The places between the two of `tubs 1 to 4`."""
    begin = int(first.span.value.rsplit(" ", 1)[-1])
    return (
        [_place(f"{noun} {number}", said, said)._replace(stop=False) for number in range(begin + 1, last)]
        if last - begin < MOST
        else []
    )


def _goes_to_figure(items: list[Item], at: int, place: Item) -> bool:
    """Whether `to 9` follows a numbered place: another of its kind, at the end of a move or in front of what was done for all of them."""
    if (
        at + 1 >= len(items)
        or place.stop
        or not place.raw[-1:].isdigit()
        or items[at].word not in UP_TO
        or not items[at + 1].raw.isdigit()
    ):
        return False
    return at + 2 == len(items) or items[at + 1].stop or items[at + 2].word in DONE_FOR


DONE_FOR = frozenset(
    "cleaned fed checked watered scrubbed washed wiped rinsed swept disinfected done looked inspected misted sprayed topped all".split()
)


def _is_index(item: Item) -> bool:
    return (item.kind == "number" and isinstance(item.span.value, int) and item.raw.isdigit()) or bool(
        re.fullmatch(r"#?\d{1,3}[a-z]?|[A-Za-z]|[A-Z]\d{1,2}", item.raw) and item.word not in ("a", "i")
    )


def container(word: str) -> str:
    """The container that a word, singular or plural, names; "" if it names none."""
    if word in CONTAINERS:
        return word
    for ending, new in (("es", ""), ("s", "")):
        if word.endswith(ending) and word[: -len(ending)] + new in CONTAINERS:
            return word[: -len(ending)] + new
    return ""


def _place(label: str, item: Item, upto: Item) -> Item:
    return Item("ENCLOSURE", Span(-1, -1, "enclosure", label, label), item.start, upto.end, label, upto.stop)


def _lists_on(items: list[Item], at: int, before: Item) -> bool:
    """`tub 1, 3 and 4`: bare figures up to the end of the piece, two of them at least; one will do for what is cared for (`fed tub 1 and 3`)."""
    start, figures = at, 0
    while (
        at < len(items)
        and (items[at].raw.isdigit() or items[at].word in JOINING)
        and not (at > start and items[at - 1].stop and items[at].word in JOINING)
    ):
        figures += items[at].raw.isdigit()
        at += 1
    ends = at == len(items) or (at > start and items[at - 1].stop)
    if not figures or items[at - 1].word in JOINING:
        return False
    if figures >= 2 and before.stop and ends:
        return True
    cared = any(item.word in DONE_FOR - {"all", "done"} for item in items[:start])
    return cared if ends else items[at].word in DONE_FOR | {"both"}


def _described_places(items: list[Item]) -> list[Item]:
    """`into the blue cage`: a container with a describing word, after a preposition and an article, is a new enclosure."""
    found: list[Item] = []
    if not {item.word for item in items} & HOUSING:
        return items
    for at, item in enumerate(items):
        if item.word in GROWN and len(found) > 1 and found[-1].word == "PLANT" and not found[-1].stop and found[-2].word in PLAIN:
            plant = found.pop()
            found.append(_place(f"{plant.raw.casefold()} {item.word}", plant, item))
            continue
        if not item.span and item.word in CONTAINERS and found and not found[-1].span and not found[-1].stop:
            words: list[Item] = []
            while (
                len(words) < 2
                and len(words) < len(found)
                and not found[-1 - len(words)].span
                and found[-1 - len(words)].word not in PLAIN
            ):
                words.insert(0, found[-1 - len(words)])
            if (
                not words
                and len(found) > 1
                and found[-1].word in SIZES
                and found[-2].word in ("the", "my", "our")
                and not found[-2].stop
            ):
                words = [found[-1]]  # `into the big tent`
            before = found[-1 - len(words)].word if len(found) > len(words) else ""
            following = items[at + 1].word if at + 1 < len(items) else ""
            if (
                words
                and not {word.word for word in words} & NO_PLACES
                and before in PLAIN
                and not any(word.stop for word in words)
                and following != "of"
            ):
                del found[-len(words) :]
                found.append(_place(" ".join([word.word for word in words] + [item.word]), words[0], item))
                continue
        found.append(item)
    return found
