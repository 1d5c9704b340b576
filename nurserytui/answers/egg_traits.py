"""Traits of an egg as a keeper's words give them, and how well they fit the traits on record."""

import math
import re
from typing import NamedTuple

from nurserytui.answers.sign_match import like, words_of
from nurserytui.knowledge.facts import EggTraits

NUMBERS = {
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11,
    "twelve": 12, "dozen": 12, "fifteen": 15, "twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70,
    "eighty": 80, "ninety": 90, "hundred": 100, "hundreds": 250, "dozens": 40,
}  # fmt: skip
NEAR: dict[str, dict[tuple[str, str], float]] = {
    "colours": {
        ("white", "cream"): 0.7, ("cream", "yellow"): 0.6, ("white", "yellow"): 0.25, ("yellow", "green"): 0.3, ("white", "green"): 0.2,
        ("cream", "green"): 0.3, ("yellow", "orange"): 0.35, ("orange", "red"): 0.6, ("red", "brown"): 0.5, ("orange", "brown"): 0.3,
        ("cream", "brown"): 0.25, ("brown", "grey"): 0.3, ("grey", "black"): 0.45, ("brown", "black"): 0.35, ("green", "blue"): 0.4,
        ("white", "clear"): 0.4, ("white", "grey"): 0.3, ("cream", "clear"): 0.2, ("green", "clear"): 0.25, ("yellow", "red"): 0.1,
    },
    "shapes": {
        ("round", "dome"): 0.4, ("round", "oval"): 0.35, ("bullet", "spindle"): 0.6, ("bullet", "bottle"): 0.6, ("spindle", "bottle"): 0.7,
        ("bullet", "dome"): 0.5, ("barrel", "cylinder"): 0.7, ("dome", "flat"): 0.4, ("dome", "barrel"): 0.4, ("barrel", "bottle"): 0.35,
        ("oval", "flat"): 0.3, ("oval", "spindle"): 0.4, ("round", "barrel"): 0.25, ("bullet", "barrel"): 0.3, ("cylinder", "spindle"): 0.45,
        ("round", "pitted"): 0.5, ("dome", "pitted"): 0.5, ("barrel", "fringed"): 0.5, ("bullet", "oval"): 0.3, ("cylinder", "bottle"): 0.4,
        ("foam", "fluffy"): 0.4, ("cylinder", "bullet"): 0.4,
    },
    "grouping": {
        ("single", "few"): 0.35, ("few", "batch"): 0.3, ("few", "stack"): 0.6, ("batch", "ring"): 0.35, ("batch", "rows"): 0.5,
        ("single", "stack"): 0.2, ("few", "rows"): 0.4, ("batch", "stack"): 0.25,
    },
    "places": {
        ("leaf-under", "leaf-upper"): 0.25, ("bud", "flower"): 0.6, ("stem", "tendril"): 0.5, ("stem", "twig"): 0.6, ("stem", "shoot-tip"): 0.6,
        ("bud", "shoot-tip"): 0.4, ("flower", "stem"): 0.3, ("leaf-edge", "leaf-upper"): 0.5, ("leaf-tip", "leaf-upper"): 0.5,
        ("leaf-tip", "leaf-edge"): 0.7, ("tendril", "shoot-tip"): 0.5, ("leaf-tip", "shoot-tip"): 0.4, ("twig", "bark"): 0.7,
        ("leaf-under", "shoot-tip"): 0.3, ("leaf-upper", "shoot-tip"): 0.3, ("litter", "near-host"): 0.6,
    },
}  # fmt: skip
"""How far two words of one list are taken for the same thing; what is not here is taken for different."""
KINDS = ("colours", "shapes", "grouping", "places")
RIBS = ("ribbed", "ridged")
AROUND = re.compile(r"\bround (?=(a|an|the|its|my|one)\b)")
"""`round a twig` says where, not which shape."""
MILLIMETRES = re.compile(r"(\d+(?:\.\d+)?)\s*(mm|millimet)")
EXCEPTION = 0.85
UNKNOWN = 0.4
"""The likelihood of a trait that is not on record."""
FLOOR = 0.03
"""The likelihood of a trait that is on record as something else: people misjudge, and eggs vary."""


class Seen(NamedTuple):
    """What a line says about an egg, in the words of the knowledge base. Empty where it does not say."""

    colours: tuple[str, ...] = ()
    shapes: tuple[str, ...] = ()
    ribbed: bool = False
    grouping: tuple[str, ...] = ()
    count: int | None = None
    places: tuple[str, ...] = ()
    size_mm: float | None = None

    @property
    def anything(self) -> bool:
        return bool(self.colours or self.shapes or self.ribbed or self.grouping or self.places or self.size_mm)


def read(text: str, traits, without: tuple[str, ...] = ()) -> Seen:
    """The traits in a line. `traits(kind)` gives a word list of the knowledge base, canonical word -> words that keepers use;
    `without` are names in the line (of plants and animals), whose words are no traits (the orange of an orange tree)."""
    size = MILLIMETRES.search(text)
    words = words_of(AROUND.sub("around ", mask(text, without)))
    shapes = canonical(words, traits("shapes"))
    grouping = canonical(words, traits("grouping"))
    count = counted(words)
    if "single" in grouping and (len(grouping) > 1 or (count or 1) > 3):
        grouping = tuple(one for one in grouping if one != "single")
    if count is not None and count > 5 and grouping == ("few",):
        grouping = ("batch",)
    if not grouping and count is not None:
        grouping = ("single",) if count == 1 else ("few",) if count <= 5 else ("batch",)
    places = canonical(words, traits("places"))
    if len(places) > 1 and "flower" in places and "stem" in places:
        places = tuple(one for one in places if one != "stem")
    if "stalked" in shapes and set(places) & {"flower", "stem"} and not {"thin", "hair"} & set(words):
        shapes = tuple(one for one in shapes if one != "stalked")
    if "stalked" in shapes:
        shapes = ("stalked",)
    return Seen(
        colours=canonical(words, traits("colours")),
        shapes=tuple(one for one in shapes if one not in RIBS),
        ribbed=any(one in RIBS for one in shapes),
        grouping=grouping,
        count=count,
        places=places,
        size_mm=float(size.group(1)) if size else None,
    )


def mask(text: str, names: tuple[str, ...]) -> str:
    text = text.casefold()
    for name in sorted(names, key=len, reverse=True):
        text = text.replace(name.casefold(), " ")
    return text


def canonical(words: list[str], table: dict[str, tuple[str, ...]]) -> tuple[str, ...]:
    """The canonical words for which one of their own words, or a phrase, stands in the line."""
    joined = f" {' '.join(words)} "
    found = []
    for name, used in table.items():
        for word in used:
            spelt = " ".join(words_of(word))
            if len(spelt) > 1 and (f" {spelt} " in joined if " " in spelt else word_in(spelt, words)):
                found.append(name)
                break
    return tuple(found)


def word_in(word: str, words: list[str]) -> bool:
    return word in words or (len(word) >= 6 and any(like(word, other) and abs(len(word) - len(other)) <= 1 for other in words))


def counted(words: list[str]) -> int | None:
    """How many eggs the line says there are, None where it does not say."""
    for at, word in enumerate(words):
        following = words[at + 1 : at + 2]
        if word.isdigit() and following[:1] not in (["mm"], ["c"], ["f"], ["days"], ["day"]) and int(word) < 2000:
            return int(word)
        if word in NUMBERS and not (word == "one" and following[:1] == ["of"]):
            if word == "couple":
                return 2
            return NUMBERS[word] if not (following and following[0] == "hundred") else NUMBERS[word] * 100
    return 1 if "single" in words or "lone" in words else None


def closeness(one: str, other: str, near: dict) -> float:
    return 1.0 if one == other else near.get((one, other), near.get((other, one), 0.0))


def best_match(said: tuple[str, ...], known: tuple[str, ...], near: dict) -> float:
    """How well what was said fits what is on record: the mean over what was said of the best fit. What stands first on record is the
    usual look, the rest the exceptions."""
    return sum(
        max(closeness(one, other, near) * (1.0 if at == 0 else EXCEPTION) for at, other in enumerate(known)) for one in said
    ) / len(said)


def fit(seen: Seen, traits: EggTraits) -> dict[str, float]:
    """The likelihood of each trait that was said, given the traits on record: 1 is a full match."""
    found: dict[str, float] = {}
    if seen.colours:
        near = NEAR["colours"]
        fresh = best_match(seen.colours, traits.colours, near) if traits.colours else None
        late = 0.7 * best_match(seen.colours, traits.late_colours, near) if traits.late_colours else 0.0
        found["colour"] = UNKNOWN if fresh is None else lift(max(fresh, late))
    shapes = tuple(one for one in traits.shapes if one not in RIBS)
    if "stalked" in seen.shapes:
        found["shape"] = 1.0 if "stalked" in shapes else 0.004
    elif seen.shapes:
        found["shape"] = lift(best_match(seen.shapes, shapes, NEAR["shapes"])) if shapes else UNKNOWN
    if seen.ribbed:
        found["ribs"] = 0.9 if set(traits.shapes) & set(RIBS) else 0.2 if traits.shapes else UNKNOWN
    if seen.grouping or seen.count:
        found["grouping"] = group_fit(seen, traits)
    if seen.places:
        found["place"] = lift(best_match(seen.places, traits.places, NEAR["places"])) if traits.places else UNKNOWN
    if seen.size_mm:
        off = math.log(seen.size_mm / traits.size_mm) / 0.3 if traits.size_mm else 0.0
        found["size"] = lift(math.exp(-0.5 * off * off)) if traits.size_mm else UNKNOWN
    return found


def group_fit(seen: Seen, traits: EggTraits) -> float:
    if not traits.grouping and traits.batch_low is None:
        return UNKNOWN
    match = best_match(seen.grouping, traits.grouping, NEAR["grouping"]) if seen.grouping and traits.grouping else UNKNOWN
    if seen.count and seen.count > 3 and traits.batch_low and traits.batch_high:
        low, high = math.log(traits.batch_low), math.log(max(traits.batch_high, traits.batch_low))
        beyond = max(low - math.log(seen.count), math.log(seen.count) - high, 0.0)
        match *= math.exp(-0.5 * (beyond / 0.6) ** 2) / (1 + (high - low) / 3)
    elif seen.count and seen.count > 8 and set(traits.grouping) <= {"single", "few"}:
        match *= 0.2
    return lift(match)


def lift(match: float) -> float:
    return FLOOR + (1 - FLOOR) * match


SAID = {"colour": "colours", "shape": "shapes", "grouping": "grouping", "place": "places"}
ASKED = {
    "colour": "the colour",
    "shape": "the shape under a lens",
    "grouping": "how many lie together",
    "place": "where on the plant it sits",
    "size": "the size",
}
SPOKEN = {"leaf-upper": "upper side of the leaf", "leaf-under": "underside of the leaf", "near-host": "near the plant"}


def separating(one: EggTraits, other: EggTraits) -> tuple[str, str, str] | None:
    """The trait that best tells two kinds of egg apart, and what each shows: ("colour", "white or cream", "green"); None where none does."""
    best, found = 0.35, None
    for trait, kind in SAID.items():
        mine, theirs = getattr(one, kind), getattr(other, kind)
        if mine and theirs:
            apart = 1 - (best_match(mine, theirs, NEAR[kind]) + best_match(theirs, mine, NEAR[kind])) / 2
            if apart > best:
                best, found = apart, (trait, in_words(mine), in_words(theirs))
    if found is None and one.size_mm and other.size_mm and abs(math.log(one.size_mm / other.size_mm)) > 0.3:
        return "size", f"{one.size_mm:g} mm", f"{other.size_mm:g} mm"
    return found


def in_words(words: tuple[str, ...]) -> str:
    return " or ".join(SPOKEN.get(word, word.replace("-", " ")) for word in words)
