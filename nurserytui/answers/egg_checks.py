"""The one next look that would tell the most about an egg, and what each outcome of it would mean."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from nurserytui.answers import egg_chances, naming
from nurserytui.answers.egg_candidates import LAID, Candidate
from nurserytui.answers.egg_traits import SURFACES, Seen
from nurserytui.answers.wording import listed, lower, sentence
from nurserytui.biology.identification import expected_information
from nurserytui.knowledge.facts import EggTraits

ASKED = {
    "plant": "which plant it is on",
    "region": "which part of the world it is from",
    "colour": "the colour in daylight",
    "shape": "the shape from the side, under a lens",
    "surface": "the shell under a lens",
    "grouping": "how they lie together",
    "count": "how many lie together",
    "place": "where on the plant it sits",
    "size": "the size against a ruler",
}
SPOKEN = {
    "leaf-upper": "upper side of the leaf",
    "leaf-under": "underside of the leaf",
    "near-host": "near the plant",
    "bullet": "bullet or cone",
    "pitted": "pitted or spiny",
    "clear": "see-through",
    "few": "a few",
    "single": "one alone",
    "ring": "a ring round the twig",
    "rows": "neat rows",
    "stack": "a stack",
    "batch": "a batch",
}
VERBS = {"plant": "find out", "region": "tell me", "count": "count", "size": "measure"}
SHOWS, SHOWS_ELSE = 0.85, 0.06
"""The chance that the tell of a look-alike is seen on it, and on anything else."""
FEWEST = 0.05
"""Bits below which a look is not worth the trouble."""
SETTLED = 0.95
"""Share from which no further look is called for."""


class Check(NamedTuple):
    """A look, what it is expected to tell in bits over all candidates and between the first two, and the words for it."""

    trait: str
    bits: float
    between: float
    words: str


def unsaid(seen: Seen, plants: Sequence[str], region: str) -> list[str]:
    """The traits that the line does not give."""
    said = {
        "plant": bool(plants),
        "region": bool(region),
        "colour": bool(seen.colours),
        "shape": bool(seen.shapes),
        "surface": bool(seen.surface),
        "grouping": bool(seen.grouping or seen.count),
        "count": bool(seen.count) or "single" in seen.grouping,
        "place": bool(seen.places),
        "size": bool(seen.size_mm),
    }
    return [trait for trait, given in said.items() if not given]


def checks(ranked: Sequence[tuple[Candidate, float]], none: float, traits: Sequence[str], words, knowledge) -> list[Check]:
    """Every look that is open, the best first: what separates the first two, then what tells the most over all.

    `ranked` are candidates with their shares, likeliest first, `none` the share of an egg that is none of them.
    """
    if len(ranked) < 2:
        return []
    shares = [share for _, share in ranked]
    found = []
    for trait in traits:
        rows = [outcomes(trait, one, words, knowledge, ranked) for one, _ in ranked]
        found.append(_check(trait, [*shares, none], rows, mean_row(trait, rows, words), ranked, words, knowledge))
    for at, (one, _) in enumerate(ranked[:2]):
        if one.what == "look-alike" and one.tell:
            rows = [(SHOWS, 1 - SHOWS) if other is one else (SHOWS_ELSE, 1 - SHOWS_ELSE) for other, _ in ranked]
            check = _check("tell", [*shares, none], rows, (SHOWS_ELSE, 1 - SHOWS_ELSE), ranked, words, knowledge)
            other = ranked[1 - at][0]
            found.append(
                check._replace(
                    words=f"look for what shows {one.label}: {clause(one.tell)}; if so → {one.label}, if not → {short(other)}"
                )
            )
    found.sort(key=lambda one: (-(one.between + 0.25 * one.bits), one.trait))
    return found


def _check(trait, shares, rows, unknown, ranked, words, knowledge) -> Check:
    bits = expected_information(shares, [*rows, unknown])
    between = expected_information(shares[:2], rows[:2])
    said = "" if trait == "tell" else outcome_words(trait, ranked, words, knowledge)
    return Check(trait, bits, between, said)


def outcomes(trait: str, one: Candidate, words, knowledge, ranked) -> tuple[float, ...]:
    """The chance of each outcome of a look at that trait, if it is this candidate."""
    if trait == "size":
        return egg_chances.size_shares(one.card)
    if trait == "count":
        return egg_chances.count_shares(one.card)
    if trait == "plant":
        return _plants(one, ranked, knowledge)
    if trait == "region":
        return _regions(one, ranked, knowledge)
    return tuple(egg_chances.distribution(trait, one.card, words).values())


def mean_row(trait: str, rows, words) -> tuple[float, ...]:
    """The outcomes for an egg that is none of the candidates."""
    if trait == "size":
        return egg_chances.size_shares(None)
    if trait == "count":
        return egg_chances.count_shares(None)
    if trait in ("plant", "region"):
        return tuple(sum(column) / len(rows) for column in zip(*rows))
    return tuple(words.usual[trait].values())


def _genera(one: Candidate, knowledge) -> dict[str, float]:
    if one.what == "species":
        found: dict[str, float] = {}
        for pairing in knowledge.pairings_of(one.name):
            genus = pairing.plant.split()[0]
            found[genus] = max(found.get(genus, 0.0), LAID[pairing.rank])
        return found
    return {}


def _own_regions(one: Candidate, knowledge) -> tuple[str, ...]:
    known = knowledge.species(one.name) if one.what == "species" else None
    return known.regions if known else ()


def _regions(one: Candidate, ranked, knowledge) -> tuple[float, ...]:
    """Over the regions of the likeliest candidates; a thing that may be anywhere tells nothing."""
    every = dict.fromkeys(region for other, _ in ranked for region in _own_regions(other, knowledge))
    own = _own_regions(one, knowledge)
    if not own:
        return (1 / len(every),) * len(every) if every else (1.0,)
    return tuple(0.95 * (region in own) / len(own) + 0.05 / len(every) for region in every)


def _plants(one: Candidate, ranked, knowledge) -> tuple[float, ...]:
    """Over the genera that the likeliest candidates lay on, and any other plant."""
    every = dict.fromkeys(genus for other, _ in ranked for genus in _genera(other, knowledge))
    own = _genera(one, knowledge)
    total = sum(own.values())
    even = 1 / (len(every) + 1)
    if not total:
        return (even,) * (len(every) + 1)
    return tuple(0.9 * own.get(genus, 0.0) / total + 0.1 * even for genus in every) + (0.1 * even,)


def pair_check(one: Candidate, other: Candidate, words, knowledge, said: Sequence[str] = ()) -> str:
    """The look that best tells two candidates apart, as a sentence; traits already said come last."""
    if one.what == "look-alike" or other.what == "look-alike":
        odd = one if one.what == "look-alike" else other
        if odd.tell:
            return f"What shows {odd.label}: {clause(odd.tell)}."
    pair = [(one, 0.5), (other, 0.5)]
    best, found = 0.1, ""
    for trait in ("colour", "shape", "surface", "grouping", "count", "place", "size"):
        rows = [outcomes(trait, each, words, knowledge, pair) for each, _ in pair]
        bits = expected_information((0.5, 0.5), rows) * (0.5 if trait in said else 1.0)
        told = outcome_words(trait, pair, words, knowledge)
        if bits > best and told:
            best, found = bits, told
    if found:
        return sentence(found)
    return f"Nothing on record tells the eggs of {short(one)} and {short(other)} apart: rear it to the second moult and look at the larva."


def outcome_words(trait: str, ranked, words, knowledge) -> str:
    """`look at the shape from the side: bullet → monarch; round → latex drop`; "" where every outcome would mean the same."""
    three = [one for one, _ in ranked[:3]]
    told: dict[str, list[str]] = {}
    for one in three:
        for looks in shows(trait, one, knowledge):
            told.setdefault(looks, [])
    for looks, names in told.items():
        names += [short(one) for one in three if looks in shows(trait, one, knowledge)]
    telling = {looks: names for looks, names in told.items() if len(names) < len(three)}
    if not telling or (len(telling) == 1 and len(told) == 1 and len(three) > 2):
        return ""
    by_meaning: dict[tuple[str, ...], list[str]] = {}
    for looks, names in telling.items():
        by_meaning.setdefault(tuple(names), []).append(looks)
    parts = "; ".join(f"{listed(looks[:3], 'or')} → {listed(names, 'or')}" for names, looks in list(by_meaning.items())[:4])
    return f"{VERBS.get(trait, 'look at')} {ASKED[trait]}: {parts}"


def shows(trait: str, one: Candidate, knowledge) -> list[str]:
    """What a look at that trait would show of a candidate, in words; nothing where it is not on record."""
    card: EggTraits = one.card
    if trait == "size":
        return [f"about {card.size_mm:g} mm"] if card.size_mm else []
    if trait == "count":
        if not card.batch_high:
            return []
        return ["one alone"] if card.batch_high == 1 else [f"{card.batch_low} to {card.batch_high}"]
    if trait == "plant":
        plants = {pairing.plant.split()[0]: pairing.plant for pairing in reversed(knowledge.pairings_of(one.name))}
        genera = sorted(_genera(one, knowledge).items(), key=lambda pair: -pair[1])
        return [naming.plant_word(plants[genus], knowledge) for genus, _ in genera[:2]]
    if trait == "region":
        return [region.replace("-", " ").title() for region in _own_regions(one, knowledge)]
    if trait == "surface":
        found = [word for word in card.shapes if word in SURFACES][:1] or (["smooth"] if card.shapes else [])
    elif trait == "shape":
        found = [word for word in card.shapes if word not in SURFACES][:2]
    else:
        found = list(getattr(card, egg_chances.FIELDS[trait])[:2])
    return [SPOKEN.get(word, word.replace("-", " ")) for word in found]


def in_words(words: Sequence[str]) -> str:
    return " or ".join(SPOKEN.get(word, word.replace("-", " ")) for word in words)


def short(one: Candidate) -> str:
    return one.label.split(" (")[0]


def clause(text: str) -> str:
    """A sentence as a part of another one: without its stop, with a small first letter."""
    return lower(text.strip().rstrip("."))
