"""The typed facts that knowledge/ holds. Every fact names its sources by id; prose is this project's own words."""

from typing import NamedTuple


class Source(NamedTuple):
    id: str
    citation: str
    kind: str
    """`published` (read in the source), `practice` (common practice, no single source), `memory` (unchecked, kept wide), `own`
    (the keeper's own addition)."""


class EggTraits(NamedTuple):
    colours: tuple[str, ...] = ()
    """Colour words when fresh, from the fixed list in knowledge/traits.toml."""
    late_colours: tuple[str, ...] = ()
    shapes: tuple[str, ...] = ()
    """`round`, `dome`, `spindle`, `ribbed`, `barrel`, `flat`, `stalked` …"""
    grouping: tuple[str, ...] = ()
    """`single`, `few`, `batch`, `ring`, `rows`, `stack`."""
    batch_low: int | None = None
    batch_high: int | None = None
    places: tuple[str, ...] = ()
    """`leaf-upper`, `leaf-under`, `bud`, `flower`, `stem`, `tendril`, `twig`, `shoot-tip` …"""
    size_mm: float | None = None
    months: tuple[int, ...] = ()
    """The months (1-12) in which eggs are found, over the whole northern range; empty where unknown."""
    met: float = 1.0
    """How often keepers meet it on its plants, against a widespread garden species (judged): below 1 for local and rare ones."""
    looks: str = ""
    """One sentence for a person."""
    before_hatching: str = ""
    sources: tuple[str, ...] = ()


class Note(NamedTuple):
    """A sentence with its sources: one entry of a card."""

    text: str
    sources: tuple[str, ...] = ()


class Species(NamedTuple):
    scientific: str
    common: tuple[str, ...] = ()
    """Common names, the usual one first."""
    family: str = ""
    group: str = ""
    """The thermal-prior group in knowledge/priors.toml."""
    regions: tuple[str, ...] = ()
    """`north-america`, `europe`, …"""
    range: Note | None = None
    egg: EggTraits = EggTraits()
    larva: Note | None = None
    pupa: Note | None = None
    pupa_form: str = ""
    """`hanging`, `girdled`, `cocoon`, `soil`, `litter`, `leaf-shelter`."""
    broods: Note | None = None
    winters_as: str = ""
    """`egg`, `larva`, `pupa`, `adult`, `migrates`, `none`, or "" where unknown."""
    wintering: Note | None = None
    always_rests: bool = False
    """True where every animal rests in its wintering stage: one brood a year, whatever the season."""
    instars: int = 5
    host_families: tuple[str, ...] = ()
    specialist: bool = False
    """True where the host families are known and larvae do not feed outside them: lets an unlisted plant be a `no`."""
    give_up_warm: float | None = None
    """Days after which an unhatched egg in an ordinary room (20-26 °C) may be given up."""
    give_up_cool: float | None = None
    give_up_sources: tuple[str, ...] = ()
    critical_day_length: tuple[float, float] | None = None
    """Hours, low and high, across published populations."""
    day_length_note: Note | None = None
    notes: tuple[Note, ...] = ()
    sources: tuple[str, ...] = ("memory",)
    """Behind the names and the short words of the card (families, wintering stage, form of the pupa); the longer ones name their own."""


class Pairing(NamedTuple):
    species: str
    plant: str
    rank: str
    """`primary`, `accepted`, `poor`, `emergency`, `trap`, `no`."""
    reason: str = ""
    sources: tuple[str, ...] = ()
    regions: tuple[str, ...] = ()
    """Where the plant is at hand, for a species that lives in several regions; empty where that need not be told."""


class Hazard(NamedTuple):
    who: str
    """`people`, `pets`, `larvae`, or the name of the larva concerned."""
    what: str
    precaution: str
    sources: tuple[str, ...] = ()


class Cutting(NamedTuple):
    days_low: float
    days_high: float
    water_change_low: float
    water_change_high: float
    how: str
    conditioning: str
    problems: str
    fridge: str = ""
    sources: tuple[str, ...] = ()


class Plant(NamedTuple):
    scientific: str
    common: tuple[str, ...] = ()
    family: str = ""
    looks: str = ""
    hazards: tuple[Hazard, ...] = ()
    cutting: Cutting | None = None
    notes: tuple[Note, ...] = ()
    sources: tuple[str, ...] = ("memory",)
    """Behind its names, family and looks."""


class Thermal(NamedTuple):
    """Published linear development: no growth at or below `base` °C, done after `degree_days` °C·d."""

    species: str
    stage: str
    """`egg`, `larva`, `prepupa`, `pupa`, `egg_to_adult`, `larva_to_adult`, or `instar-1` …"""
    base: float
    ceiling: float | None
    degree_days: float
    spread: float | None = None
    """Standard deviation of `degree_days` where published."""
    kind: str = "published"
    """`published`, `practice` or `memory`: how far the numbers may be trusted."""
    note: str = ""
    sources: tuple[str, ...] = ()


class Duration(NamedTuple):
    """An observed stage duration in days; `temperature` in °C, None where not stated."""

    species: str
    stage: str
    temperature: float | None
    low: float | None
    mean: float | None
    high: float | None
    sd: float | None = None
    n: int | None = None
    swing: float = 0.0
    """°C by which the temperature rose above and fell below `temperature` each day; 0 where it was held."""
    kind: str = "published"
    note: str = ""
    sources: tuple[str, ...] = ()


class Prior(NamedTuple):
    """What a group's relatives suggest where a species has no numbers: base °C, degree-days per stage, relative spread."""

    group: str
    base: float
    ceiling: float
    egg: float
    larva: float
    pupa: float
    spread: float
    """Relative standard deviation between species of the group."""
    note: str = ""
    sources: tuple[str, ...] = ()


class RateShape(NamedTuple):
    """How rates bend with temperature in all species alike, and how far species and nurseries differ: fitted over the observed durations."""

    name: str
    foot: float
    """°C on either side of the base over which the straight line eases off to 0."""
    fall: float
    """°C over which the rate is cut down near the upper limit (logistic width)."""
    base_shift: float
    """°C between the base that relatives suggest (`Prior.base`) and the middle of the bases fitted with this shape."""
    base_spread: float
    upper_shift: float
    """°C between the ceiling that relatives suggest (`Prior.ceiling`) and the middle of the fitted upper limits."""
    upper_spread: float
    error: float
    """Standard deviation (logarithm) of one published mean about its curve."""
    between: float
    """Standard deviation (logarithm) of a nursery's own mean about the published ones."""
    note: str = ""
    sources: tuple[str, ...] = ()


class DayLength(NamedTuple):
    """What share of the pupae rested over winter after larvae had `light_low` to `light_high` hours of light a day.

    Shares of 0.5 to 0.5, as left out, are a critical day length: at that light half of them switch.
    """

    species: str
    light_low: float
    light_high: float
    share_low: float = 0.5
    share_high: float = 0.5
    place: str = ""
    latitude: float | None = None
    """Degrees, of the population; None where it is not stated."""
    celsius: float | None = None
    local: bool = False
    """True where other populations of that latitude are known to differ."""
    cool: bool = False
    """True where they rest only if it is cool as well."""
    kind: str = "published"
    note: str = ""
    sources: tuple[str, ...] = ()


class Cause(NamedTuple):
    name: str
    """Canonical agent or cause name."""
    weight: float
    """Relative weight; probabilities are weights over their sum, kept below 1 by an `other` share."""


class Sign(NamedTuple):
    id: str
    stage: str
    sign: str
    """What is seen, in one line."""
    words: tuple[tuple[str, ...], ...]
    """Groups of words or word stems; a line shows the sign as far as it has one word of each group."""
    causes: tuple[Cause, ...]
    how_sure: str
    healthy: str
    """The healthy look-alike, "" where none."""
    check: str
    action: str
    isolate: bool
    spreads: str
    sources: tuple[str, ...] = ()
    normal: bool = False
    """True where the sign itself is healthy development."""


class Grade(NamedTuple):
    """A class of a test's result: how many, and what that means."""

    name: str
    low: float | None = None
    """The least count of the class."""
    high: float | None = None
    """The greatest count of the class; None where it has no upper end."""
    means: str = ""


class Agent(NamedTuple):
    """A parasitoid, predator or disease."""

    name: str
    common: tuple[str, ...]
    type: str
    """`parasitoid wasp`, `parasitoid fly`, `virus`, `bacterium`, `protozoan`, `fungus`, `predator`, `poison`, …"""
    attacks: tuple[str, ...]
    """Stages attacked."""
    window: str
    emergence: str
    """When it shows, in words."""
    base: float | None = None
    degree_days: float | None = None
    """Sting to emergence, where published: days = degree_days / (temperature - base)."""
    days_low: float | None = None
    days_high: float | None = None
    exit_sign: str = ""
    controls: str = ""
    contagious: bool = False
    how_it_spreads: str = ""
    watch_days: float | None = None
    """How long to watch animals that shared its air or food, where no temperature rule exists."""
    evidence: str = ""
    sources: tuple[str, ...] = ()
    spread: float | None = None
    """By what share the days at a temperature may be longer or shorter, as between published stocks; None where none is known."""
    mesh_mm: float | None = None
    """The widest opening of a net, in mm, that keeps it out."""
    per_host: str = ""
    """How many leave one host."""
    stays: str = ""
    """How long it stays on a cage and tools after the animals are gone."""
    people: str = ""
    """What is known of harm to people."""
    grades: tuple[Grade, ...] = ()
    """Classes of a test for it, lightest first."""
    hosts: tuple[str, ...] = ()
    """The genera that it is recorded from; empty where it takes many kinds or they are not known."""


class LookAlike(NamedTuple):
    """Something that is not a butterfly or moth egg, or not one we keep, yet is taken for one."""

    name: str
    found_on: tuple[str, ...]
    """Plants (scientific or `any`)."""
    egg: EggTraits
    tell: str
    action: str
    sources: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    """Words or word stems that a keeper uses of it and of no egg (`smear`, `legs`)."""
    species: tuple[str, ...] = ()
    """The species whose eggs these are: where one of them has a card, the card stands for it and takes its words over."""


class Alias(NamedTuple):
    """A name people type. `means` holds canonical names, the usual one first."""

    alias: str
    kind: str
    """`species`, `plant`, `agent`."""
    means: tuple[str, ...]
    usual: bool
    """True where one meaning is usual; False where it must be asked."""
    tells_apart: str = ""
    sources: tuple[str, ...] = ()


class Rule(NamedTuple):
    """A rule of practice with a number or a sentence: hygiene, density, release, overwintering, law, sanitation, first aid."""

    id: str
    topic: str
    text: str
    value: float | None = None
    unit: str = ""
    low: float | None = None
    high: float | None = None
    about: tuple[str, ...] = ()
    """Names or words the rule is about (`OE`, `tubs`, `frass`), for look-up."""
    sources: tuple[str, ...] = ()


class Term(NamedTuple):
    """A word of the trade, told in plain English."""

    id: str
    text: str
    words: tuple[str, ...] = ()
    """How keepers write it."""
    topic: str = "help"
    """The topic whose answer goes on behind the meaning; `help` for none."""
    asks: tuple[str, ...] = ()
    """Questions that go on from it."""
    sources: tuple[str, ...] = ()


class Effect(NamedTuple):
    """What a disinfectant does to one kind of germ."""

    target: str
    """`OE`, `virus`, `bacteria`, `mould`."""
    works: str
    """`yes`, `in part`, `no`, or `not shown` where no trial was found."""
    text: str
    sources: tuple[str, ...] = ()


class Use(NamedTuple):
    """How a disinfectant is used for one purpose; every number from the sources, "" and None where they give none."""

    purpose: str
    """`cages`, `nets`, `tools`, `surfaces`, `hands`, `leaves`, `eggs`, `animals`."""
    text: str
    minutes_low: float | None = None
    minutes_high: float | None = None
    ppm_low: float | None = None
    ppm_high: float | None = None
    sources: tuple[str, ...] = ()


class Disinfectant(NamedTuple):
    """Something keepers clean with: what it is shown to work on, how it is used, and what it must never meet."""

    name: str
    words: tuple[str, ...]
    """What keepers call it, as stems or phrases."""
    verdict: str
    """One sentence: what it is good for and what not."""
    effects: tuple[Effect, ...] = ()
    uses: tuple[Use, ...] = ()
    never_with: tuple[str, ...] = ()
    keeps: str = ""
    """How long a mix of it stays good."""
    danger: str = ""
    sources: tuple[str, ...] = ()
