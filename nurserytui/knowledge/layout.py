"""Which file of a knowledge folder holds what, and the words that its entries may use."""

from typing import NamedTuple

from . import facts


class Layout(NamedTuple):
    shape: type
    """The typed fact that an entry becomes."""
    style: str
    """`named`: one table an entry; `rows`: a list of tables under one name; `pairs`: a table of tables, two names an entry."""
    from_file: str = ""
    """A field that the file's own name fills in where an entry leaves it out (the topic of `rules/hygiene.toml`)."""


SECTIONS: dict[str, Layout] = {
    "sources": Layout(facts.Source, "named"),
    "species": Layout(facts.Species, "named"),
    "plants": Layout(facts.Plant, "named"),
    "hazards": Layout(facts.Hazard, "rows"),
    "cuttings": Layout(facts.Cutting, "named"),
    "hosts": Layout(facts.Pairing, "pairs"),
    "names": Layout(facts.Alias, "named", "kind"),
    "thermal": Layout(facts.Thermal, "rows"),
    "durations": Layout(facts.Duration, "rows"),
    "priors": Layout(facts.Prior, "named"),
    "rate_shapes": Layout(facts.RateShape, "named"),
    "day_lengths": Layout(facts.DayLength, "rows"),
    "signs": Layout(facts.Sign, "named", "stage"),
    "agents": Layout(facts.Agent, "named"),
    "look_alikes": Layout(facts.LookAlike, "named"),
    "disinfectants": Layout(facts.Disinfectant, "named"),
    "rules": Layout(facts.Rule, "named", "topic"),
    "terms": Layout(facts.Term, "named"),
}
"""A section is the file `NAME.toml` or all files in the folder `NAME/`."""

KEYS = {"hosts": 2, "hazards": 0, "cuttings": 0}
"""How many leading fields of the fact are the entry's name; one unless said here."""

TRAITS = "traits"
"""The file of word lists: canonical word -> the words that keepers use for it."""

ELSEWHERE = {"phrases"}
"""Folders inside knowledge/ that are not facts and have their own reader."""

FROM_FILE_NAMES = {"species": "species", "plants": "plant", "agents": "agent"}
"""names/species.toml holds aliases of kind `species`, and so on."""

STAGES = ("egg", "larva", "prepupa", "pupa", "adult")
SPANS = (
    *STAGES,
    *(f"instar-{n}" for n in range(1, 6)),
    "instars-1-2",
    "instars-1-3",
    "instars-1-4",
    "egg_to_pupa",
    "egg_to_adult",
    "larva_to_adult",
    "larva_to_wandering",
    "instar-5_to_wandering",
    "instar-3_to_pupa",
    "young_larva_to_adult",
    "pupa_in_diapause",
    "pupa_after_chill",
)
"""What a published duration or degree-day sum may span."""

TRUST = ("published", "practice", "memory", "own")
RANKS = ("primary", "accepted", "poor", "emergency", "trap", "no")
"""Best first; the last two are never offered as food."""

WORDS: dict[tuple[str, str], tuple[str, ...]] = {
    ("Source", "kind"): TRUST,
    ("Thermal", "kind"): TRUST,
    ("Duration", "kind"): TRUST,
    ("DayLength", "kind"): TRUST,
    ("Thermal", "stage"): SPANS,
    ("Duration", "stage"): SPANS,
    ("Sign", "stage"): STAGES,
    ("Term", "topic"): ("help", "overwintering", "hygiene", "health-sign", "release"),
    ("Agent", "attacks"): STAGES,
    ("Pairing", "rank"): RANKS,
    ("Effect", "target"): ("OE", "virus", "bacteria", "mould"),
    ("Effect", "works"): ("yes", "in part", "no", "not shown"),
    ("Use", "purpose"): ("cages", "nets", "tools", "surfaces", "hands", "leaves", "eggs", "animals"),
    ("Alias", "kind"): ("species", "plant", "agent"),
    ("Species", "winters_as"): ("egg", "larva", "pupa", "adult", "migrates", "none", ""),
}

LISTED: dict[tuple[str, str], str] = {
    ("EggTraits", "colours"): "colours",
    ("EggTraits", "late_colours"): "colours",
    ("EggTraits", "shapes"): "shapes",
    ("EggTraits", "grouping"): "grouping",
    ("EggTraits", "places"): "places",
    ("Species", "pupa_form"): "pupa_forms",
    ("Species", "regions"): "regions",
    ("Pairing", "regions"): "regions",
}
"""Fields whose words are listed in traits.toml, and the list."""
