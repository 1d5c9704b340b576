"""What the knowledge base covers: facts by how far they may be trusted, what is known of each animal and plant, and the gaps."""

from __future__ import annotations

from typing import NamedTuple

from . import links
from .load import OWN, Read

PARTS = {
    "species": "species: names, families and other short words",
    "plants": "plants: names, families, looks",
    "hosts": "pairings of species and plant",
    "cuttings": "cutting cards",
    "hazards": "hazards of plants",
    "thermal": "thresholds with degree-days",
    "durations": "observed durations",
    "priors": "groups of relatives",
    "rate_shapes": "shapes of rate curves",
    "day_lengths": "day lengths that make pupae rest",
    "signs": "signs",
    "agents": "enemies and diseases",
    "look_alikes": "look-alikes of eggs",
    "disinfectants": "disinfectants",
    "rules": "rules of practice",
    "terms": "words of the trade",
    "names": "further names",
}
CARDS = {
    "species": "what is said of eggs, larvae, pupae, broods, winters, ranges",
    "plants": "what is said of plants",
    "disinfectants": "what is said of disinfectants",
}
"""Parts whose entries are cards: what a card says names sources of its own, the card only stands behind names and short words."""
TRUST = ("published", "in part", "practice", "memory", "own")


class Row(NamedTuple):
    """One part of the knowledge base: how many of its facts rest on what."""

    part: str
    facts: int
    published: int
    """Everything cited was read in a published source."""
    in_part: int
    """Published, and beside it practice or memory."""
    practice: int
    memory: int
    own: int
    """The keeper's, whatever else it cites."""


class Has(NamedTuple):
    """How many of `all` have something, and the names of those that lack it."""

    what: str
    count: int
    all: int
    lacking: tuple[str, ...]


def trust(cited: set[str], kinds: dict[str, str]) -> str:
    """How far a fact may be trusted, by the kinds of the sources it cites: the weakest word for what no publication stands behind."""
    found = {kinds.get(each, "memory") for each in cited}
    if "own" in found:
        return "own"
    if "published" in found:
        return "published" if found == {"published"} else "in part"
    return "practice" if found == {"practice"} else "memory"


def _facts(section: dict):
    """(entry name, fact) of a part, each row of a list by itself."""
    for name, entry in section.items():
        for fact in (entry,) if hasattr(entry, "_fields") else entry:
            yield " + ".join(name) if isinstance(name, tuple) else str(name), fact


def _inside(fact: tuple):
    """(field, fact) of the notes and inner tables of a card that name sources of their own."""
    for field, value in zip(fact._fields, fact):
        for each in (value,) if hasattr(value, "_fields") else value if isinstance(value, tuple) else ():
            if getattr(each, "sources", ()):
                yield field, each


def rows(read: Read) -> tuple[list[Row], list[str]]:
    """A row for each part, and the facts that cite nothing (`part: entry` each; there should be none)."""
    kinds = {name: source.kind for name, source in read.sections["sources"].items()}
    found, bare = [], []

    def row(words: str, part: str, all_of) -> None:
        count = dict.fromkeys(TRUST, 0)
        for name, cited in all_of:
            if cited:
                count[trust(cited, kinds)] += 1
            else:
                bare.append(f"{part}: {name}")
        found.append(Row(words, sum(count.values()), *(count[each] for each in TRUST)))

    for part, words in PARTS.items():
        section = list(_facts(read.sections[part]))
        if part in CARDS:
            row(words, part, [(name, set(fact.sources)) for name, fact in section])
            inside = [(f"{name}, {field}", links.sources_of(each)) for name, fact in section for field, each in _inside(fact)]
            row(CARDS[part], part, inside)
        else:
            row(words, part, [(name, links.sources_of(fact)) for name, fact in section])
    return found, bare


def has(read: Read) -> list[Has]:
    """What is known of how many species, plants and hosts."""
    sections = read.sections
    species, plants = list(sections["species"].values()), list(sections["plants"].values())
    offered = {pairing.plant for pairing in sections["hosts"].values() if pairing.rank not in ("trap", "no")}
    carded = {name.split()[0] for name in sections["cuttings"]}
    risky = {*sections["hazards"]}
    covered = {**sections["species"], **sections["plants"], **sections["agents"]}
    meanings = {name for alias in sections["names"].values() for name in alias.means}
    timed = {*sections["durations"], *sections["thermal"]}
    eaters = {pairing.species for pairing in sections["hosts"].values() if pairing.rank in ("primary", "accepted")}

    def some(what: str, all_of, holds, name=lambda each: each.scientific) -> Has:
        lacking = tuple(sorted(name(each) for each in all_of if not holds(each)))
        return Has(what, len(all_of) - len(lacking), len(all_of), lacking)

    def itself(each: str) -> str:
        return each

    return [
        some("species with a plant to feed", species, lambda each: each.scientific in eaters),
        some("species with the look of the egg", species, lambda each: each.egg.looks),
        some("species with the months of the egg", species, lambda each: each.egg.months),
        some("species with the look of the larva", species, lambda each: each.larva),
        some("species with the form of the pupa", species, lambda each: each.pupa_form),
        some("species with the stage that winters", species, lambda each: each.winters_as),
        some("species with a range", species, lambda each: each.range),
        some("species with thermal numbers", species, lambda each: each.scientific in sections["thermal"]),
        some("species with thermal numbers or a duration", species, lambda each: each.scientific in timed),
        some("plants with looks", plants, lambda each: each.looks),
        some(
            "plants with a hazard on record", plants, lambda each: each.scientific in risky or each.scientific.split()[0] in risky
        ),
        some("hosts with a cutting card of their own or their genus", offered, lambda each: each.split()[0] in carded, itself),
        some("meanings of names with a card", meanings, lambda each: each in covered, itself),
    ]


def table(read: Read) -> list[str]:
    """Both tables as Markdown lines."""
    found, bare = rows(read)
    lines = ["| facts | all | published | in part | practice | memory | own |", "| --- | --: | --: | --: | --: | --: | --: |"]
    lines += [f"| {row.part} | {' | '.join(str(each) for each in row[1:])} |" for row in found]
    total = [sum(row[at] for row in found) for at in range(1, len(Row._fields))]
    lines.append(f"| together | {' | '.join(map(str, total))} |")
    lines += ["", "| what is covered | of | |", "| --- | --: | --: |"]
    lines += [f"| {each.what} | {each.count} of {each.all} | {each.count / each.all:.0%} |" for each in has(read) if each.all]
    cited = [source.kind for name, source in read.sections["sources"].items() if name != OWN]
    kinds = ", ".join(f"{cited.count(kind)} {kind}" for kind in ("published", "practice", "memory") if kind in cited)
    lines += ["", f"{len(cited)} sources: {kinds}. Facts without a source: {len(bare)}."]
    return lines + [f"without a source: {each}" for each in bare]


GAPS = (
    "species with a plant to feed",
    "species with thermal numbers",
    "species with thermal numbers or a duration",
    "plants with looks",
    "hosts with a cutting card of their own or their genus",
    "meanings of names with a card",
)
"""What is named one by one where it is lacking."""


def gaps(read: Read) -> list[str]:
    """A line for each gap, with the names."""
    found = {each.what: each for each in has(read)}
    return [
        f"{len(found[what].lacking)} lacking, {what}: {', '.join(found[what].lacking)}" for what in GAPS if found[what].lacking
    ]
