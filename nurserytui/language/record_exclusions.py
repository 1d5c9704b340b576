"""Who is left out of all (`all but 2`, `everything except the pupae`), who is the only one (`none hatched apart from 1`)."""

from __future__ import annotations

from typing import NamedTuple

from nurserytui.language.clause import STAGES, Item, who, word_at
from nurserytui.language.line import Span
from nurserytui.language.record_events import RESULT
from nurserytui.language.record_new_places import container
from nurserytui.language.record_verbs import phrases_from
from nurserytui.language.record_words import ALL_WORDS, MOST, PLURAL_STAGES


class Left(NamedTuple):
    """Some that a line leaves out of all: so many (None for all of them), of a stage, a cohort or an animal by its label, or a place."""

    count: int | None
    stage: str = ""
    cohort: str = ""
    mark: str = ""
    place: str = ""


EXCLUSION = "exclusion"
"""Kind of the one item that stands for the words of an exclusion; its value is a tuple of `Left`."""
LEADS = (
    ("with", "the", "exception", "of"), ("except", "for"), ("apart", "from"), ("aside", "from"), ("other", "than"), ("save", "for"),
    ("excepting",), ("except",), ("excluding",), ("bar",), ("barring",), ("save",), ("minus",), ("but", "not"), ("but", "for"), ("but",), ("bt",), ("exept",), ("xcept",), ("cept",), ("xcpt",), ("exc",), ("besides",),
)  # fmt: skip
"""Words behind which stands who is left out, the longer ones first."""
OPENING = frozenset(lead[0] for lead in LEADS)
NONE = frozenset("none no nothing nobody nowt".split())
WHOLE = ALL_WORDS | {"both", "lot"}
BEHIND = frozenset("the my our of those these from in that is are".split())
STAYING = (
    ("did", "not"), ("have", "not"), ("has", "not"), ("is", "not"), ("are", "not"), ("not", "yet"), ("still", "to", "go"), ("to", "go"), ("left", "behind"), ("stayed", "behind"),
    ("stay", "behind"), ("didnt",), ("havent",), ("hasnt",), ("isnt",), ("arent",), ("stays",), ("stay",), ("stayed",), ("stayed", "put"), ("left",), ("remains",), ("remain",), ("remained",),
)  # fmt: skip
"""What those do that are left out of what all did (`all hatched, 2 did not`)."""
SINGLE = MOST | frozenset("runt last straggler odd".split())


def gathered(items: list[Item]) -> list[Item]:
    """The items with the words of each exclusion as one item; of `none hatched apart from 1` only `1 hatched` stays."""
    at = 0
    while at < len(items):
        if read := _excluded(items, at) or _staying(items, at):
            left, end = read
            first = items[at]
            said = Item(
                EXCLUSION, Span(-1, -1, EXCLUSION, left, ""), first.start, items[end - 1].end, EXCLUSION, items[end - 1].stop
            )
            before = [*items[: at - 1], items[at - 1]._replace(stop=False)] if at else []
            none = next((place for place in range(at) if items[place].word in NONE and not items[place].span), None)
            if none is not None and not _whole_before(items, at):
                return _only(items, none, at, end, left) or items
            if number := _dead(items, at, end):
                said, items = said._replace(stop=True), [*items[:end], number, _others(number), *items[_dead_at(items, end) :]]
            items = [*before, said, *items[end:]]
        at += 1
    return items


BEING = frozenset("that which who were are was is had have".split())


def _dead_at(items: list[Item], end: int) -> int:
    """The place of the word that follows an exclusion and its `that were`."""
    while word_at(items, end) in BEING and not items[end].span:
        end += 1
    return end


def _dead(items: list[Item], at: int, end: int) -> Item | None:
    """The number of those left out that are dead instead (`all hatched except 4 duds`, `apart from 2 that died`), told in a sentence of its own."""
    place = _dead_at(items, end)
    numbers = [item for item in items[at:end] if item.word == "NUMBER"]
    died = place < len(items) and "died" in _told(items[place]) and not items[end - 1].stop
    changed = any(not _told(item).isdisjoint(RESULT) for item in items[:at])
    return numbers[0] if died and changed and len(numbers) == 1 else None


def _told(item: Item) -> set[str]:
    """The events that a word tells by itself."""
    return set() if item.span else {what for what, parts in phrases_from(item.word) if len(parts) == 1}


def _others(number: Item) -> Item:
    """The word by which those are none of the ones that did it."""
    return Item("other", None, number.end, number.end, "other")


def of(items) -> tuple[Left, ...]:
    """All that the items of a clause leave out."""
    return tuple(left for item in items if item.kind == EXCLUSION for left in item.span.value)


def _whole_before(items: list[Item], at: int) -> bool:
    words = [item.word for item in items[:at] if not item.span]
    return bool(WHOLE & set(words))


def _excluded(items: list[Item], at: int) -> tuple[tuple[Left, ...], int] | None:
    if items[at].word not in OPENING:
        return None
    lead = next((lead for lead in LEADS if tuple(item.word for item in items[at : at + len(lead)]) == lead), None)
    if lead is None or items[at].span or at == 0:
        return None
    denied = any(item.word in NONE and not item.span for item in items[:at])
    if not (_whole_before(items, at) or denied):
        return None
    named = any(item.word in STAGES | {"COHORT", "SPECIES", "ENCLOSURE"} for item in items[:at])
    kind = "" if named else next((container(item.word) for item in items[:at] if not item.span and container(item.word)), "")
    left, end = _parts(items, at + len(lead), named, kind)
    if not left:
        return None
    if lead == ("but",) and not _close(items, at) and _acts(items, end):
        return None  # `all pupated but 2 died`
    if denied and lead[0] == "but" and not _whole_before(items, at) and not _only_names(items, end):
        return None  # `none hatched but 2 dark`
    while (stays := _matched(items, end)) and not items[end - 1].stop:
        end += stays
    return left, end


def _close(items: list[Item], at: int) -> bool:
    """Whether `but` stands right behind the words for all or behind the animals, before they do anything."""
    before = items[at - 1]
    return before.word in WHOLE | STAGES | {"COHORT", "SPECIES", "ENCLOSURE", "them", "those"} and not any(
        phrases_from(item.word) and not item.span and item.word not in WHOLE for item in items[:at]
    )


def _acts(items: list[Item], at: int) -> bool:
    """Whether those behind `but` do something of their own in the rest of the sentence."""
    if items[at - 1].stop:
        return False
    end = next((place for place in range(at, len(items)) if items[place].stop), len(items) - 1)
    rest = [item for item in items[at : end + 1] if not item.span]
    return not _matched(items, at) and any(phrases_from(item.word) or item.word in ("is", "are", "has", "have") for item in rest)


def _only_names(items: list[Item], at: int) -> bool:
    """Whether nothing but names stands in the rest of the sentence (`nobody came out but one of the lunas`)."""
    end = next((place for place in range(at - 1, len(items)) if items[place].stop), len(items) - 1)
    return all(item.span or item.word in BEHIND for item in items[at : end + 1])


def _parts(items: list[Item], at: int, named: bool, kind: str) -> tuple[tuple[Left, ...], int]:
    """Who is left out from `at` on, and where that ends; figures are numbers of places where all of a `kind` of them are told of."""
    found: list[Left] = []
    end = at
    while True:
        read = _part(items, at, named, kind)
        if read is None:
            return tuple(found), end
        left, end = read
        found.append(left)
        joins = word_at(items, end) in ("and", "&", "or", "plus")
        listed = joins or left.place and (items[end - 1].stop or word_at(items, end) == "ENCLOSURE")
        if not listed or not (left.stage or left.cohort or left.place):
            return tuple(found), end
        at = end + bool(joins)


def _part(items: list[Item], at: int, named: bool, kind: str) -> tuple[Left, int] | None:
    while word_at(items, at) in BEHIND | {"for", "about", "just", "only"} and not items[at].span:
        at += 1
    if at >= len(items):
        return None
    item, count = items[at], None
    if item.word == "ENCLOSURE":
        return Left(None, place=item.span.value), at + 1
    if kind and item.raw.isdigit():
        return Left(None, place=f"{kind} {item.raw}"), at + 1
    if item.word == "COHORT" and not named:
        cohort, mark = who(item)
        return Left(None, "", cohort, mark), at + 1
    if item.word == "NUMBER" and isinstance(item.span.value, int):
        count, at = item.span.value, at + 1
    elif item.word in ("one", "a", "an") and not item.span:
        count, at = 1, at + 1
        while word_at(items, at) in ("single", "lone", "solitary", "lonely", "mere"):
            at += 1
    elif item.word in SINGLE:
        count, at = 1, at + 1
        return Left(count), at + (word_at(items, at) in ("one", "ones"))
    if count is not None and items[at - 1].stop:
        return Left(count), at
    following = items[at] if at < len(items) else None
    if following is not None and following.word in STAGES and (named or count is None):
        plural = following.raw.casefold().split()[-1] in PLURAL_STAGES
        return Left(count if count is not None or plural else 1, following.span.value), at + 1
    if following is not None and following.word == "COHORT" and named and count is None:
        cohort, mark = who(following)
        return Left(None, "", cohort, mark), at + 1
    return (Left(count), at) if count is not None else None


def _matched(items: list[Item], at: int) -> int:
    """How many items of `did not`, `stayed behind` stand at a place."""
    return max((len(words) for words in STAYING if tuple(item.word for item in items[at : at + len(words)]) == words), default=0)


def _staying(items: list[Item], at: int) -> tuple[tuple[Left, ...], int] | None:
    """`all of B hatched, 3 did not`: those of a number behind a stop that did not do it too."""
    if at == 0 or items[at].word != "NUMBER" or not isinstance(items[at].span.value, int) or not _whole_before(items, at):
        return None
    if not (items[at - 1].stop or items[at - 1].word in ("and", "but", "only")):
        return None
    size = _matched(items, at + 1)
    ends = size and (at + 1 + size == len(items) or items[at + size].stop)
    return ((Left(items[at].span.value),), at + 1 + size) if ends else None


def _only(items: list[Item], none: int, at: int, end: int, left: tuple[Left, ...]) -> list[Item]:
    """`none of B hatched apart from 1`, told as `1 of B hatched`, and `nobody but C` as `C`; [] where several kinds of them are left out."""
    word, count = items[none], left[0].count
    named = [item for item in items[at:end] if item.word == "COHORT"]
    if count is None and not (len(named) == len(left) == 1):
        return []
    number = Item("NUMBER", Span(-1, -1, "number", count, str(count)), word.start, word.end, str(count)) if count else named[0]
    rest = [*items[:none], number, *items[none + 1 : at]]
    return [*rest[:-1], rest[-1]._replace(stop=items[end - 1].stop), *items[end:]]
