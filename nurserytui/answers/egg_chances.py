"""How likely the words said of an egg are for each thing that it may be.

For each trait a candidate has a distribution over the words of the knowledge base: those on its card, the first the most, their near
neighbours, and a slip of the pen. What has no such trait on record takes the mean of all candidates, and so does an egg that is none of
them: words that fit everything tell nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from math import exp, log, sqrt
from typing import NamedTuple

from nurserytui.answers.egg_traits import SURFACES, Seen
from nurserytui.knowledge.facts import EggTraits

NEAR: dict[str, dict[tuple[str, str], float]] = {
    "colour": {
        ("white", "cream"): 0.6, ("cream", "yellow"): 0.45, ("white", "yellow"): 0.12, ("yellow", "green"): 0.15, ("white", "green"): 0.12,
        ("cream", "green"): 0.12, ("yellow", "orange"): 0.25, ("orange", "red"): 0.5, ("red", "brown"): 0.35, ("orange", "brown"): 0.2,
        ("cream", "brown"): 0.2, ("brown", "grey"): 0.2, ("grey", "black"): 0.35, ("brown", "black"): 0.25, ("green", "blue"): 0.25,
        ("white", "clear"): 0.3, ("white", "grey"): 0.2, ("cream", "clear"): 0.12, ("green", "clear"): 0.15, ("yellow", "red"): 0.05,
        ("brown", "mottled"): 0.35, ("grey", "mottled"): 0.2, ("mottled", "banded"): 0.3, ("black", "banded"): 0.2, ("brown", "banded"): 0.2,
    },
    "shape": {
        ("round", "dome"): 0.35, ("round", "oval"): 0.3, ("bullet", "spindle"): 0.5, ("bullet", "bottle"): 0.5, ("spindle", "bottle"): 0.5,
        ("bullet", "dome"): 0.4, ("barrel", "cylinder"): 0.5, ("dome", "flat"): 0.3, ("dome", "barrel"): 0.3, ("barrel", "bottle"): 0.2,
        ("oval", "flat"): 0.2, ("oval", "spindle"): 0.3, ("round", "barrel"): 0.2, ("bullet", "barrel"): 0.2, ("cylinder", "spindle"): 0.4,
        ("barrel", "fringed"): 0.3, ("bullet", "oval"): 0.25, ("cylinder", "bottle"): 0.3, ("foam", "fluffy"): 0.2, ("cylinder", "bullet"): 0.3,
        ("oval", "cylinder"): 0.15,
    },
    "surface": {("ribbed", "ridged"): 0.5, ("pitted", "ridged"): 0.2, ("pitted", "ribbed"): 0.12},
    "grouping": {
        ("single", "few"): 0.12, ("few", "batch"): 0.25, ("few", "stack"): 0.4, ("batch", "ring"): 0.2, ("batch", "rows"): 0.35,
        ("few", "rows"): 0.25, ("batch", "stack"): 0.15, ("stack", "rows"): 0.15,
    },
    "place": {
        ("leaf-under", "leaf-upper"): 0.15, ("bud", "flower"): 0.5, ("stem", "tendril"): 0.35, ("stem", "twig"): 0.5, ("stem", "shoot-tip"): 0.4,
        ("bud", "shoot-tip"): 0.3, ("flower", "stem"): 0.25, ("leaf-edge", "leaf-upper"): 0.3, ("leaf-tip", "leaf-upper"): 0.3,
        ("leaf-tip", "leaf-edge"): 0.5, ("tendril", "shoot-tip"): 0.4, ("leaf-tip", "shoot-tip"): 0.4, ("twig", "bark"): 0.5,
        ("leaf-under", "shoot-tip"): 0.2, ("leaf-upper", "shoot-tip"): 0.2, ("litter", "near-host"): 0.5,
    },
}  # fmt: skip
"""How readily the second word is said where the first is on record, against the first itself. Judged, not measured."""
FIELDS = {"colour": "colours", "shape": "shapes", "grouping": "grouping", "place": "places"}
LISTS = {"colour": "colours", "shape": "shapes", "surface": "shapes", "grouping": "grouping", "place": "places"}
SLIP = {"colour": 0.07, "shape": 0.12, "surface": 0.1, "grouping": 0.06, "place": 0.15, "count": 0.06, "size": 0.08}
"""The share of descriptions that name something else than what is on record: people misjudge, and eggs vary."""
NEXT = 0.7
"""How often a word is said against the one before it on the card: the usual look stands first."""
LATE = 0.25
"""The share of eggs that are found in their late colour."""
SIZE_SPREAD, ANY_SIZE, ANY_SPREAD = 0.28, log(1.1), 0.6
COUNT_SPREAD, MOST = 0.4, log(1000)
IMPLIED = {"single": (1, 1), "few": (2, 8), "batch": (8, 300), "ring": (80, 400), "rows": (6, 40), "stack": (2, 9)}
SIZES = (0.0, 0.6, 0.85, 1.15, 1.6, 2.3, 1e9)
"""Bounds of the sizes that a look can tell apart, in mm."""
COUNTS = (1, 4, 16, 64, 256)
OUT_OF_SEASON, NEXT_MONTH, ANY_MONTH = 0.12, 0.5, 0.7
WEIGHT, HEDGED, TODAY = 0.9, 0.5, 0.4
"""Exponents: of a trait (traits go together more than they are taken to), of a hedged one against it, and of the month it happens to be."""
SHOWN, NOT_SHOWN, OTHER_SHOWN, EACH_MORE = 0.6, 0.03, 0.04, 0.4
"""The chance that a line has a telling word of a look-alike: for it, for a butterfly's egg, for another look-alike; and the factor on all
that have fewer of them for each word more."""


class Words(NamedTuple):
    """The word lists of the knowledge base and how often each word is said of any egg."""

    lists: Mapping[str, tuple[str, ...]]
    usual: Mapping[str, Mapping[str, float]]
    known: dict[tuple[str, EggTraits], Mapping[str, float]]
    """Distributions worked out so far."""


def words_for(traits, cards: Sequence[EggTraits]) -> Words:
    """`traits(kind)` gives a word list; the usual words are the mean over all cards."""
    lists = {kind: tuple(traits(name)) for kind, name in LISTS.items()}
    lists["surface"] = SURFACES
    lists["shape"] = tuple(word for word in lists["shape"] if word not in SURFACES)
    usual = {}
    for kind, words in lists.items():
        own = [spread for card in cards if (spread := _own(kind, card, words))]
        even = 1 / len(words)
        usual[kind] = {word: 0.9 * sum(one[word] for one in own) / max(len(own), 1) + 0.1 * even for word in words}
        total = sum(usual[kind].values())
        usual[kind] = {word: share / total for word, share in usual[kind].items()}
    return Words(lists, usual, {})


def distribution(kind: str, card: EggTraits | None, words: Words) -> Mapping[str, float]:
    """The chance of each word of that trait for a card; what is usual where the card has none (or for None, any egg)."""
    usual = words.usual[kind]
    if card is None:
        return usual
    found = words.known.get((kind, card))
    if found is None:
        own, slip = _own(kind, card, words.lists[kind]), SLIP[kind]
        found = usual if own is None else {word: (1 - slip) * own[word] + slip * usual[word] for word in usual}
        words.known[kind, card] = found
    return found


def _own(kind: str, card: EggTraits, words: tuple[str, ...]) -> Mapping[str, float] | None:
    if kind == "surface":
        recorded = tuple(word for word in card.shapes if word in SURFACES) or (("smooth",) if card.shapes else ())
    else:
        recorded = tuple(word for word in getattr(card, FIELDS[kind]) if word in words)
    if not recorded:
        return None
    fresh = _spread(kind, recorded, words)
    late = tuple(word for word in card.late_colours if word in words) if kind == "colour" else ()
    if not late:
        return fresh
    turned = _spread(kind, late, words)
    return {word: (1 - LATE) * fresh[word] + LATE * turned[word] for word in words}


@lru_cache(maxsize=1024)
def _spread(kind: str, recorded: tuple[str, ...], words: tuple[str, ...]) -> Mapping[str, float]:
    near = NEAR[kind]
    raw = {
        word: sum(
            NEXT**at * (1.0 if word == one else near.get((one, word), near.get((word, one), 0.0)))
            for at, one in enumerate(recorded)
        )
        for word in words
    }
    total = sum(raw.values())
    return {word: share / total for word, share in raw.items()}


def chances(seen: Seen, card: EggTraits | None, words: Words, month: int | None = None, shift: int = 0) -> dict[str, float]:
    """The likelihood of each trait that was said, for a card, or for any egg where that is None.

    `month` is that of the moment, for lines that say none; `shift` 6 turns the months on record to those of the southern half.
    """
    found: dict[str, float] = {}
    said = {"colour": seen.colours, "shape": seen.shapes, "surface": seen.surface, "place": seen.places}
    laid = tuple(word for word in seen.grouping if word not in ("single", "few", "batch") or seen.count is None)
    said["grouping"] = laid
    for kind, named in said.items():
        if named:
            known = distribution(kind, card, words)
            mean = sum(log(known.get(word, 1e-3)) for word in named) / len(named)
            found[kind] = exp(mean * _weight(seen, kind))
    if seen.count is not None:
        found["count"] = _count(seen.count, card) ** _weight(seen, "grouping")
    if seen.size_mm:
        found["size"] = _size(seen.size_mm, card) ** _weight(seen, "size")
    elif seen.big:
        found["size"] = (1 / (1 + exp((log(1.6) - log(card.size_mm)) / 0.15)) if card and card.size_mm else 0.3) * 0.9 + 0.05
    if seen.months:
        found["season"] = _season(seen.months, card, shift) ** WEIGHT
    elif month:
        found["season"] = _season((month,), card, shift) ** TODAY
    return found


def _weight(seen: Seen, kind: str) -> float:
    field = FIELDS.get(kind, kind)
    return WEIGHT * (HEDGED if field in seen.unsure else 1.0)


def _count(count: int, card: EggTraits | None) -> float:
    """The density of a count on a scale of logarithms."""
    any_count = 1 / MOST
    ranges = _ranges(card) if card else ()
    if not ranges:
        return any_count
    own = 0.0
    for low, high in ranges:
        beyond = max(log(low) - log(count), log(count) - log(high), 0.0)
        own += exp(-0.5 * (beyond / COUNT_SPREAD) ** 2) / (log(high / low) + COUNT_SPREAD * sqrt(6.2832)) / len(ranges)
    return (1 - SLIP["count"]) * own + SLIP["count"] * any_count


def _ranges(card: EggTraits) -> tuple[tuple[int, int], ...]:
    if card.batch_low and card.batch_high:
        return ((card.batch_low, max(card.batch_high, card.batch_low)),)
    return tuple(IMPLIED[word] for word in card.grouping if word in IMPLIED)


def _size(size: float, card: EggTraits | None) -> float:
    any_size = exp(-0.5 * ((log(size) - ANY_SIZE) / ANY_SPREAD) ** 2) / ANY_SPREAD
    if not card or not card.size_mm:
        return any_size
    own = exp(-0.5 * (log(size / card.size_mm) / SIZE_SPREAD) ** 2) / SIZE_SPREAD
    return (1 - SLIP["size"]) * own + SLIP["size"] * any_size


def _season(said: tuple[int, ...], card: EggTraits | None, shift: int) -> float:
    """Relative to a month in the middle of the season; flat where no months are on record."""
    if not card or not card.months:
        return ANY_MONTH
    months = {(month - 1 + shift) % 12 + 1 for month in card.months}
    beside = {month % 12 + 1 for month in months} | {(month - 2) % 12 + 1 for month in months}
    return max(1.0 if one in months else NEXT_MONTH if one in beside else OUT_OF_SEASON for one in said)


def count_shares(card: EggTraits | None) -> tuple[float, ...]:
    """The chance of each number of eggs that a look can tell apart: about those of `COUNTS`."""
    raw = [_count(count, card) for count in COUNTS]
    return tuple(one / sum(raw) for one in raw)


def size_shares(card: EggTraits | None) -> tuple[float, ...]:
    """The chance of each size that a look can tell apart."""
    middle, spread = (log(card.size_mm), SIZE_SPREAD) if card and card.size_mm else (ANY_SIZE, ANY_SPREAD)
    from math import erf

    def below(bound: float) -> float:
        return 0.5 * (1 + erf((log(bound) - middle) / (spread * sqrt(2)))) if bound > 0 else 0.0

    slip = SLIP["size"]
    width = len(SIZES) - 1
    return tuple((1 - slip) * (below(high) - below(low)) + slip / width for low, high in zip(SIZES, SIZES[1:]))


def telling(own: int, most: int, other: bool) -> float:
    """The likelihood of the telling words of a line: `own` of this candidate, `most` of the one that has the most of them."""
    if own:
        return SHOWN * EACH_MORE ** (min(most, 4) - min(own, 4))
    return (OTHER_SHOWN if other else NOT_SHOWN) * EACH_MORE ** (min(most, 4) - 1)


def fit(chance: float, usual: float) -> float:
    """0 to 1: how well a trait fits, against how often it is said of any egg."""
    return chance / (chance + usual) if chance + usual else 0.0
