"""Traits of an egg as a keeper's words give them, in the words of the knowledge base."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from nurserytui.answers.sign_match import DENIALS, denied, like, words_of

NUMBERS = {
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11,
    "twelve": 12, "dozen": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "twenty": 20, "score": 20, "thirty": 30, "forty": 40,
    "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80, "ninety": 90, "hundred": 100, "hundreds": 250, "dozens": 40, "couple": 2,
    "pair": 2, "trio": 3,
}  # fmt: skip
NOT_EGGS = {
    "mm", "cm", "c", "f", "degrees", "day", "days", "week", "weeks", "year", "years", "hour", "hours", "rows", "row", "lines", "layers",
    "high", "ribs", "ridges", "eyes", "spots", "bands", "hoops", "rings", "stripes", "leaves", "plants", "stems", "times", "of",
}  # fmt: skip
"""Words after a number which say that it does not count eggs."""
SURFACES = ("ribbed", "ridged", "pitted", "smooth")
"""The words among the shapes that tell of the shell's surface."""
SHADES = {"pale": "cream", "dark": "black"}
"""Words that shade the colour after them (`pale green`, `dark or bright green`), and the colour that they are alone."""
HEDGES = {"maybe", "perhaps", "possibly", "might", "think", "guess", "unsure", "probably", "seems", "could"}
SINGULAR = {
    "egg",
    "ball",
    "dome",
    "bead",
    "globe",
    "barrel",
    "cone",
    "spindle",
    "bullet",
    "oval",
    "sphere",
    "bottle",
    "skittle",
    "tube",
    "pearl",
}
KINDS = {"colour": "colours", "color": "colours", "shape": "shapes", "number": "grouping", "size": "size", "place": "places"}
MONTHS = (
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
)
SHORT = {"jan": 1, "feb": 2, "apr": 4, "jun": 6, "jul": 7, "aug": 8, "sep": 9, "sept": 9, "oct": 10, "nov": 11, "dec": 12}
SEASONS = {"spring": (3, 4, 5), "summer": (6, 7, 8), "autumn": (9, 10, 11), "fall": (9, 10, 11), "winter": (12, 1, 2)}
SEASON = re.compile(r"\b(?:in|during|early|late|mid|since|this|last|of)\s+(?:the\s+)?(?:early\s+|late\s+|mid\s+)?([a-z]+)\b")
LINED = re.compile(
    r"\b(?:fine |vertical |lengthwise |thin |faint )*lines (?:down|along|running|from top|up|lengthwise)[a-z ]{0,16}"
)
"""Lines on the shell are ribs, not a row of eggs."""
SHAPED_LIKE = {
    "lemon": "pointed",
    "football": "pointed",
    "orange": "round",
    "lime": "round",
    "peach": "round",
    "pea": "round",
    "olive": "oval",
}
SHAPED = re.compile(
    rf"\bshaped? (?:just |a bit )?like (?:an? )?(?:tiny |little |small )?({'|'.join(SHAPED_LIKE)})\b|\b({'|'.join(SHAPED_LIKE)})[ -]shaped\b"
)
"""A fruit for the shape of which an egg is named, not for its colour."""
BAND = re.compile(
    r"\b(?:with|has|have|got|shows?|grew) (?:an? |one |two |some )?(?:dark |pale |faint )?(?:purple|red\w*|brown\w*|rust\w*|dark|black|orange|pink) (?:ring|band|collar|stripe|hoop)s?\b"
)
"""A coloured ring on the egg, not a ring of eggs."""
AROUND = re.compile(r"\bround (?=(a|an|the|its|my|one)\b)")
"""`round a twig` says where, not which shape."""
_SIZE = r"(\d+(?:\.\d+)?|\.\d+)"
MILLIMETRES = re.compile(rf"(?<![\d.]){_SIZE}(?:(?:\s*(?:to|-|–)\s*|\s+){_SIZE})?\s*(mm|millimet\w*)")
SAID_SIZES = {
    "pinprick": 0.5,
    "poppy seed": 0.9,
    "pinhead": 1.4,
    "pin head": 1.4,
    "mustard seed": 1.6,
    "sesame": 3.0,
    "peppercorn": 4.0,
    "pea": 7.0,
}
SIZED = re.compile(
    r"\b(?:size of|big as|small as|large as|like|about)\s+(?:an? |the )?(pinprick|poppy seed|pin ?head|mustard seed|sesame|peppercorn|pea)\b|\b(pin ?head)\b"
)
BIG = re.compile(
    r"\b(big|bigger|large|larger|huge|giant)\b(?! (?:cluster|batch|mass|raft|heap|group|patch|clump|number|bunch|clutch|pile))"
)


class Seen(NamedTuple):
    """What a line says about an egg, in the words of the knowledge base. Empty where it does not say."""

    colours: tuple[str, ...] = ()
    shapes: tuple[str, ...] = ()
    surface: tuple[str, ...] = ()
    grouping: tuple[str, ...] = ()
    count: int | None = None
    places: tuple[str, ...] = ()
    size_mm: float | None = None
    big: bool = False
    months: tuple[int, ...] = ()
    unsure: frozenset[str] = frozenset()
    """Fields that the line hedges (`maybe green`)."""

    @property
    def anything(self) -> bool:
        return bool(self.colours or self.shapes or self.surface or self.grouping or self.places or self.size_mm)


class Found(NamedTuple):
    name: str
    at: int


def read(text: str, traits, without: tuple[str, ...] = ()) -> Seen:
    """The traits in a line. `traits(kind)` gives a word list of the knowledge base, canonical word -> words that keepers use;
    `without` are names in the line (of plants and animals), whose words are no traits (the orange of an orange tree)."""
    masked = mask(text, without)
    size, rough = size_said(masked)
    bare = LINED.sub(" ribs ", MILLIMETRES.sub(" ", masked))
    bare = SHAPED.sub(lambda match: SHAPED_LIKE[match[1] or match[2]], bare)
    words = words_of(BAND.sub(" banded ", AROUND.sub("around ", bare)))
    found = {kind: scan(words, traits(kind)) for kind in ("colours", "shapes", "grouping", "places")}
    shapes, surface = shapes_said(words, found["shapes"])
    places = tuple(dict.fromkeys(one.name for one in found["places"]))
    if "stem" in places and "flower" in places:
        places = tuple(one for one in places if one != "stem")
    if "leaf-tip" in places:
        places = tuple(one for one in places if one != "shoot-tip")
    if "stalked" in shapes:
        shapes = (
            ("stalked",)
            if not ({"flower", "stem"} & set(places)) or {"thin", "hair", "thread"} & set(words)
            else tuple(one for one in shapes if one != "stalked")
        )
    count = counted(words)
    grouping, guessed = grouping_said(words, found["grouping"], count)
    unsure = {kind for kind, matches in found.items() if any(hedged(words, one.at) for one in matches)}
    unsure |= {KINDS[word] for at, word in enumerate(words) if word in KINDS and doubted(words, at)}
    if "shapes" in unsure and surface:
        unsure.add("surface")
    if guessed:
        unsure.add("grouping")
    if rough:
        unsure.add("size")
    return Seen(
        colours=colours_said(words, found["colours"]),
        shapes=shapes,
        surface=surface,
        grouping=grouping,
        count=count,
        places=places,
        size_mm=size,
        big=bool(BIG.search(masked)),
        months=months_said(masked),
        unsure=frozenset(unsure),
    )


def mask(text: str, names: tuple[str, ...]) -> str:
    text = text.casefold()
    for name in sorted(names, key=len, reverse=True):
        text = text.replace(name.casefold(), " ")
    return text


def scan(words: list[str], table: dict[str, tuple[str, ...]]) -> list[Found]:
    """The canonical words in the order of the line; the longest phrase at a place counts, and no word for two of them."""
    phrases, singles = _index(tuple(table.items()))
    found, at = [], 0
    while at < len(words):
        step = 1
        for spelt, name in phrases.get(words[at], ()):
            if words[at : at + len(spelt)] == list(spelt):
                if not denied(words, at):
                    found.append(Found(name, at))
                step = len(spelt)
                break
        else:
            word = words[at]
            if len(word) >= 5 and word not in NUMBERS:
                near = next((name for spelt, name in singles if abs(len(spelt) - len(word)) <= 1 and like(spelt, word)), "")
                if near and not denied(words, at):
                    found.append(Found(near, at))
        at += step
    return found


@lru_cache(maxsize=16)
def _index(table: tuple[tuple[str, tuple[str, ...]], ...]):
    """Phrases by their first word, longest first, and the long single words that may be misspelt."""
    phrases: dict[str, list[tuple[tuple[str, ...], str]]] = {}
    singles = []
    for name, used in table:
        for phrase in used:
            spelt = tuple(words_of(phrase))
            phrases.setdefault(spelt[0], []).append((spelt, name))
            if len(spelt) == 1 and len(spelt[0]) >= 6:
                singles.append((spelt[0], name))
    for each in phrases.values():
        each.sort(key=lambda pair: -len(pair[0]))
    return phrases, singles


def colours_said(words: list[str], found: list[Found]) -> tuple[str, ...]:
    shades = [
        Found(SHADES[word], at)
        for at, word in enumerate(words)
        if word in SHADES and not any(0 < one.at - at <= 3 for one in found) and not denied(words, at)
    ]
    return tuple(dict.fromkeys(one.name for one in sorted([*found, *shades], key=lambda one: one.at)))


def shapes_said(words: list[str], found: list[Found]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Shapes, and what is said of the surface; `no ribs` is smooth."""
    names = list(dict.fromkeys(one.name for one in found))
    surface = [name for name in names if name in SURFACES]
    if any(word.startswith(("rib", "ridge")) and denied(words, at) for at, word in enumerate(words)):
        surface = [name for name in surface if name not in ("ribbed", "ridged")] or ["smooth"]
    return tuple(name for name in names if name not in SURFACES), tuple(dict.fromkeys(surface))


def grouping_said(words: list[str], found: list[Found], count: int | None) -> tuple[tuple[str, ...], bool]:
    """How they lie, and whether that is only guessed from a word in the singular."""
    names = list(dict.fromkeys(one.name for one in found))
    if "single" in names and (len(names) > 1 or (count or 1) > 3):
        names.remove("single")
    if count is not None and count > 5 and names == ["few"]:
        names = ["batch"]
    if not names and count is not None:
        names = ["single" if count == 1 else "few" if count <= 5 else "batch"]
    if not names and set(words) & SINGULAR and not {f"{word}s" for word in SINGULAR} & set(words):
        return ("single",), True
    return tuple(names), False


def counted(words: list[str]) -> int | None:
    """How many eggs the line says there are, None where it does not say; the middle of a range."""
    found: list[int] = []
    for at, word in enumerate(words):
        following = words[at + 1] if at + 1 < len(words) else ""
        if following in NOT_EGGS and not (following == "of" and word in ("couple", "pair", "dozen", "dozens", "hundreds")):
            continue
        bare = re.sub(r"(ish|odd)$", "", word)
        if bare.isdigit() and 0 < int(bare) < 2000:
            found.append(int(bare) * (100 if following == "hundred" else 12 if following == "dozen" else 1))
        elif word in NUMBERS:
            before = next((one for one in reversed(words[:at]) if one not in ("a", "of")), "")
            times = NUMBERS.get(before) or {"several": 3.5, "few": 3, "half": 0.5}.get(before, 1)
            if word in ("hundred", "dozen") and times != 1 and before != "hundred":
                if found and before in NUMBERS:
                    found.pop()
                found.append(round(NUMBERS[word] * times))
            elif word == "one" and found:
                continue
            else:
                found.append(NUMBERS[word])
    if len(found) > 1 and found[0] < found[1] <= 20 * found[0]:
        return round((found[0] * found[1]) ** 0.5)
    if found:
        return found[0]
    return 1 if {"single", "singly", "lone", "solitary"} & set(words) else None


def size_said(text: str) -> tuple[float | None, bool]:
    """Millimetres that the line says, and whether only by a likeness (`size of a pinhead`)."""
    exact = MILLIMETRES.search(text)
    if exact:
        low, high = float(exact[1]), float(exact[2] or exact[1])
        return (low * high) ** 0.5 or None, False
    likened = SIZED.search(text)
    if likened:
        return SAID_SIZES[likened[1] or likened[2]], True
    return None, False


def months_said(text: str) -> tuple[int, ...]:
    """The months of a month or season that the line says."""
    found: list[int] = []
    words = words_of(text)
    for at, word in enumerate(words):
        if word in MONTHS and (word != "may" and word != "march"):
            found.append(MONTHS.index(word) + 1)
        elif word in SHORT and len(word) > 2 and at and words[at - 1] in ("in", "early", "late", "mid", "of"):
            found.append(SHORT[word])
    for match in SEASON.finditer(text):
        word = match[1]
        if word in ("may", "march"):
            found.append(MONTHS.index(word) + 1)
        found += SEASONS.get(word, ())
    return tuple(dict.fromkeys(found))


def hedged(words: list[str], at: int) -> bool:
    return bool(HEDGES & set(words[max(0, at - 3) : at]))


def doubted(words: list[str], at: int) -> bool:
    """`not sure of the colour`."""
    before = set(words[max(0, at - 4) : at])
    return "unsure" in before or bool({"sure", "certain", "tell"} & before and (DENIALS | {"can't", "cannot", "cant"}) & before)
