"""How many animals a clause tells of, and of which sex."""

from __future__ import annotations

import re

from nurserytui.language import record_exclusions
from nurserytui.language.clause import PREPOSITIONS, STAGES, Item, word_at
from nurserytui.language.record_new_places import container
from nurserytui.language.record_words import (
    ALL_WORDS,
    CONTAINERS,
    FEMALE,
    MALE,
    MOST,
    NO_COUNT_AFTER,
    NO_COUNT_BEFORE,
    NUMBERED,
    PLURAL_STAGES,
    REST_WORDS,
    SINGLE_BEFORE,
)

OF_ALL = re.compile(r"(\d{1,4})/(\d{2,4})")
"""So many of all (`12/20 hatched`)."""


ONE_AFTER = frozenset(
    "other last first remaining missing only lost single little big small fat tiny wee large new this that which".split()
)


def numbers_in(items) -> list[tuple[int, int, bool]]:
    """(place, number, estimate) of every number that may count animals."""
    found: list[tuple[int, int, bool]] = []
    for at, item in enumerate(items):
        if word_at(items, at - 1) in ("makes", "making") and (found or MORE & {one.word for one in items[:at]}):
            continue  # `2 more hatched which makes 6`
        if item.word == "NUMBER" and (share := OF_ALL.fullmatch(item.raw)) and 1 < int(share[1]) <= int(share[2]):
            found.append((at, int(share[1]), False))
            continue
        if item.word != "NUMBER" or not isinstance(item.span.value, (int, float)) or item.span.value != int(item.span.value):
            continue
        before, after = word_at(items, at - 1), word_at(items, at + 1)
        if item.kind == "estimate" and at and items[at - 1].kind == "period" and (after in ("", "and") or item.stop):
            continue  # `this afternoon about three`
        if before == "by" and word_at(items, at - 2) in ("down", "short", "less", "fewer"):
            before = ""  # `down by 1`
        if before in NO_COUNT_BEFORE or before in CONTAINERS or (after in NO_COUNT_AFTER and not items[at].stop):
            continue
        if before in ("to", "into", "in", "onto") and item.raw == "one" and after != "of":
            continue  # `to one big tub`
        if before == "as" and item.word == "NUMBER" and item.span.value == 1:
            continue
        if before in ("which", "the") and item.span.value == 1 and after == "":
            continue
        if before == "of" and any(one[0] < at for one in found):
            continue
        if before in ("the", "out") and word_at(items, at - 2) == "of" and any(one[0] < at for one in found):
            continue
        found.append((at, int(item.span.value), item.kind == "estimate"))
    found = [one for one in found if not _which(items, one[0], len(found) > 1)]
    if len(found) > 1 and _points_on(items, found[1][0]):
        return found[1:]  # `B 9 eggs -> 4 hatched`
    return found[1:] if len(found) > 1 and _of_whole(items, found[0][0]) else found


def _points_on(items, at: int) -> bool:
    """Whether an arrow stands in front of a number: what stands before the arrow is what there was."""
    return at > 0 and items[at - 1].word == "to" and items[at - 1].raw != "to"


def _of_whole(items, at: int) -> bool:
    """Whether a number is that of all of whom another tells (`of the 9 B eggs 4 have hatched`)."""
    before = [item.word for item in items[:at] if item.word not in ("the", "my", "our", "all", "those", "these")]
    return before[-1:] in (["of"], ["from"]) and len(before) == 1


def _which(items, at: int, others: bool) -> bool:
    """Whether a figure tells which year or room it is: not where that noun has an article and nothing else is counted (`in the lab 2 died`)."""
    counts = STAGES | {"COHORT", "SPECIES"}  # `gave the class 4 C pupae`
    if (
        word_at(items, at - 1) not in NUMBERED
        or word_at(items, at + 1) in counts
        or items[at - 1].stop
        or items[at].kind == "estimate"
    ):
        return False
    return others or word_at(items, at - 2) not in ("the", "my", "our", "this", "that", "last", "every", "each", "a", "all")


def _is_part(items, at: int) -> bool:
    """Whether a number with a part of one (`2.5 D`, `1.5 of B`) stands where animals are counted. `half` is a number of its own."""
    if (
        items[at].word != "NUMBER"
        or not isinstance(items[at].span.value, float)
        or items[at].span.value in (0.5, int(items[at].span.value))
    ):
        return False
    counts = word_at(items, at - 1) not in NO_COUNT_BEFORE and not items[at].stop
    return counts and (word_at(items, at + 1) in ("of", "COHORT", "SPECIES") or word_at(items, at + 1) in STAGES)


def plural(item: Item) -> bool:
    return item.raw.casefold().split()[-1] in PLURAL_STAGES if item.raw else False


def count_of(items, skip: frozenset[int] = frozenset()) -> dict:
    """`count`, and `less`, `estimate`, `total` where they apply, from the items outside `skip`."""
    words = [item.word for item in items]
    numbers = [one for one in numbers_in(items) if one[0] not in skip or words[one[0]] == "NUMBER"]
    if left := record_exclusions.of(items):
        others = tuple(one for one in left if one.stage or one.cohort or one.place)
        return {"count": "all", "less": sum(one.count for one in left if one not in others), "left": others}
    if not numbers and ("RANGE" in words or _vague(words)):
        return {"count": "some"}
    if numbers:
        place, number, estimate = numbers[0]
        before = set(words[max(0, place - 2) : place])
        estimate = estimate or bool(before & {"about", "around", "roughly", "approximately", "some", "circa"})
        return {"count": number, "estimate": estimate, "total": sums(words) and not MORE & set(words)}
    if any(_is_part(items, at) for at in range(len(items))):
        return {"count": "part"}
    if any(item.word == "NUMBER" and item.span.value == 0.5 for item in items) or ("half" in words and "dozen" not in words):
        return {"count": "half"}
    if any(word == "both" and not container(word_at(items, at + 1)) for at, word in enumerate(words)):
        return {"count": "both"}
    if REST_WORDS & set(words):
        return {"count": "rest"}
    if "lot" in words and words[words.index("lot") - 1] in ("the", "whole"):
        return {"count": "all"}
    if any(one == ("the", "ENCLOSURE") and two in ("COHORT", "ones") for one, two in zip(zip(words, words[1:]), words[2:])):
        return {"count": "all"}  # `the jar 2 ones`
    for at, word in enumerate(words):
        if (
            word in ALL_WORDS
            and at not in skip
            and word_at(items, at + 1) not in ("day", "morning", "night", "well", "fine", "ok")
        ):
            return {"count": "all"}
    if most := _most(items):
        return {"count": most}
    for at, item in enumerate(items):
        before = words[max(0, at - 3) : at]
        many = at + 1 < len(items) and items[at + 1].word in STAGES and plural(items[at + 1])
        lone = item.word == "SPECIES" and bool(SINGLE_BEFORE & set(before))
        if (item.word in STAGES or item.word == "SPECIES") and (at not in skip or lone) and not many:
            single = (
                item.word in STAGES
                and not plural(item)
                or item.word == "SPECIES"
                and not item.raw.casefold().endswith(("s", "ies"))
            )
            if single and (set(before) & (SINGLE_BEFORE | {"the", "my", "that", "this"})):
                return {"count": 1}
            if single and any(item.word in ("COHORT",) for item in items[max(0, at - 3) : at]):
                return {"count": 1}
        if item.word == "COHORT" and (set(before[-2:]) & {"a", "an", "another"} or before[-1:] == ["first"]):
            return {"count": 1}
        if (
            item.word == "COHORT"
            and before[-1:] in (["last"], ["final"], ["only"])
            and word_at(items, at + 1) in ("has", "is", "was")
        ):
            return {"count": 1}
    for at, item in enumerate(items):
        many = item.word in STAGES and plural(item) or item.word == "SPECIES" and item.raw.casefold().endswith("s")
        if many and at not in skip and set(words[max(0, at - 2) : at]) & {"the", "my", "these", "those", "our"}:
            return {"count": "all"}
    for at, word in enumerate(words):
        if word == "one" and at and (words[at - 1] in ONE_AFTER or {"a", "another"} & set(words[max(0, at - 3) : at])):
            return {"count": 1}
        if word == "one" and words[max(0, at - 1) : at] == ["the"] and words[at + 1 : at + 2] in (["that"], ["which"], ["with"]):
            return {"count": 1}
        if word == "first" and words[at + 1 : at + 2] == ["of"]:
            return {"count": 1}
        if word in ("another", "him", "her", "he", "she", "lone", "singleton") or (word == "it" and at not in skip and at >= 1):
            return {"count": 1}
    return {"count": 1} if _lone(items) else {}


def by_stage(items) -> dict[str, int]:
    """{"egg": 17, "larva": 3} of `17 eggs and 3 tiny cats`."""
    found: dict[str, int] = {}
    for at, number, _ in numbers_in(items):
        ahead = next((item for item in items[at + 1 :] if item.span), None)
        if ahead is not None and ahead.word in STAGES:
            found.setdefault(str(ahead.span.value), number)
    return found


def _lone(items) -> bool:
    """Whether the animals of a clause are told of by one noun for a single one, with nothing but what it is like in front (`first
    butterfly out of the tent`, `tub 1: fresh chrysalis`)."""
    for item in items:
        if item.span and item.kind not in ("period", "enclosure"):
            return item.word in STAGES and not plural(item)
        if not item.span and (item.word in PREPOSITIONS | ALL_WORDS | MADE):
            return False
    return False


MADE = frozenset("made make makes formed spun every each no became become turned went gone is are was were be now".split())
"""In front of a noun of a stage these tell what others came to be."""


def sums(words: list[str]) -> bool:
    """Whether a clause says that its number is that of all up to now (`15 hatched so far`, `7 in all`)."""
    said = f" {' '.join(words)} "
    return any(f" {phrase} " in said for phrase in SUMMED)


SUMMED = (
    "in all", "in total", "total", "all told", "altogether", "overall", "so far", "to date", "all in all", "up to now", "by now", "until now", "till now", "all together",
)  # fmt: skip
MORE = frozenset("more another further extra additional other".split())
"""Beside a number these say that it comes on top of what was before."""


def _vague(words: list[str]) -> bool:
    """`a few of the eggs`, `some cats`: more than one, and no number."""
    return any(
        word in ("few", "several", "many", "most", "handful", "some")
        and ("of" in words[at + 1 : at + 2] or _animals(words[at + 1 :]))
        for at, word in enumerate(words)
    )


def _most(items) -> int | str:
    """1 for the one that is most of its kind (`the biggest A`, `the smallest of K`), "some" for several (`the fattest monarchs`)."""
    at = next((at for at, item in enumerate(items) if item.word in MOST and not item.span), None)
    if at is None:
        return ""
    following = next((item for item in items[at + 1 :] if item.word not in ("of", "the", "my", "our")), None)
    if following is None or following.word not in STAGES | {"COHORT", "SPECIES", "one", "ones"}:
        return ""
    many = following.word == "ones" or plural(following) or following.word == "SPECIES" and following.raw.casefold().endswith("s")
    return "some" if many and word_at(items, at + 1) != "of" else 1


def _animals(words: list[str]) -> bool:
    return not {"COHORT", "SPECIES", *STAGES}.isdisjoint(words[:2])


def sex_of(items) -> str:
    words = {item.word for item in items} | {word for item in items if item.span for word in item.raw.casefold().split()}
    male, female = bool(words & MALE), bool(words & FEMALE)
    return "male" if male and not female else "female" if female and not male else ""


def sexes_counted(items) -> list[tuple[int, str]]:
    """[(9, "female"), (7, "male")] of `9 females and 7 males`."""
    found = []
    for at, item in enumerate(items):
        if item.word == "NUMBER" and isinstance(item.span.value, int):
            after = word_at(items, at + 1)
            if after in MALE | FEMALE:
                found.append((item.span.value, "male" if after in MALE else "female"))
    return found
