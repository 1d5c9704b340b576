"""The knowledge base as answers use it: look-ups by name, each part read when it is first asked for."""

from __future__ import annotations

from functools import cached_property
from pathlib import Path

from .. import paths
from . import facts, shapes
from .compiled import Blocks, blocks
from .faults import Fault
from .layout import RANKS
from .names import Names

ANY_PLANT = "any plant"


class Knowledge:
    """All typed facts of the shipped folder with the keeper's own over them. Cheap to make; nothing in it changes."""

    def __init__(self, parts: Blocks):
        self._parts = parts
        self.stamp = parts.stamp
        """The key of the content behind these facts, for what others derive from them and keep."""

    # names

    @cached_property
    def names(self) -> Names:
        """Look-up of names as people type them; see `Names.match`."""
        rows, index = self._parts.part("names")
        return Names(tuple(map(facts.Alias._make, rows)), index)

    def aliases(self) -> tuple[facts.Alias, ...]:
        return self.names.aliases

    def match(self, text: str, kinds: tuple[str, ...] = ()) -> list[tuple[facts.Alias, float]]:
        """Aliases for a typed name with scores in (0, 1], best first."""
        return self.names.match(text, kinds)

    def _named(self, name: str, kind: str, known: dict) -> object | None:
        """By canonical name, else by an exact alias whose meaning needs no question."""
        if name in known:
            return known[name]
        for alias in self.names.exact(name, (kind,)):
            if (alias.usual or len(alias.means) == 1) and alias.means[0] in known:
                return known[alias.means[0]]
        return None

    # species and plants

    @cached_property
    def _species(self) -> dict[str, facts.Species]:
        return {row[0]: shapes.revive(facts.Species, row) for row in self._parts.part("species")}

    def species(self, name: str) -> facts.Species | None:
        """By scientific name (old ones too) or a common name with a usual meaning; None where unknown or where it must be asked."""
        return self._named(name, "species", self._species)

    def all_species(self) -> tuple[facts.Species, ...]:
        return tuple(self._species.values())

    @cached_property
    def _plant_rows(self) -> dict[str, tuple]:
        return {row[0]: row for row in self._parts.part("plants")}

    def plant(self, name: str) -> facts.Plant | None:
        """By scientific name, `Genus spp.`, or a common name with a usual meaning."""
        row = self._named(name, "plant", self._plant_rows)
        return None if row is None else shapes.revive(facts.Plant, row)

    def all_plants(self) -> tuple[facts.Plant, ...]:
        return tuple(shapes.revive(facts.Plant, row) for row in self._plant_rows.values())

    def common(self, scientific: str) -> str:
        """The usual common name of a species, plant or agent; the name itself where it has none or is not covered."""
        fact = self._species.get(scientific)
        common = fact.common if fact else self._plant_rows.get(scientific, ((), ()))[1]
        if not common and scientific in self._agents:
            common = self._agents[scientific].common
        return common[0] if common else scientific

    def cutting(self, plant: str) -> tuple[str, facts.Cutting] | None:
        """The cutting card of a plant and the plant it is of: its own, else its genus's, else a plant of the same genus, else None."""
        known = self.plant(plant)
        name = known.scientific if known else plant
        cards = self._parts.part("cuttings")
        if known and known.cutting:
            return name, known.cutting
        genus = name.split()[0]
        near = [each for each in (f"{genus} spp.", *cards) if each in cards and each.split()[0] == genus]
        return (near[0], facts.Cutting._make(cards[near[0]])) if near else None

    def cutting_cards(self) -> tuple[str, ...]:
        """The plants that have a cutting card, and `ANY_PLANT`."""
        return tuple(self._parts.part("cuttings"))

    def general_cutting(self) -> facts.Cutting | None:
        """The card for any plant."""
        row = self._parts.part("cuttings").get(ANY_PLANT)
        return facts.Cutting._make(row) if row else None

    # what eats what

    @cached_property
    def _pairings(self) -> tuple[facts.Pairing, ...]:
        best_first = {rank: place for place, rank in enumerate(RANKS)}
        rows = map(facts.Pairing._make, self._parts.part("hosts"))
        return tuple(sorted(rows, key=lambda pairing: best_first[pairing.rank]))

    @cached_property
    def _pairings_by_species(self) -> dict[str, tuple[facts.Pairing, ...]]:
        return _grouped(self._pairings, lambda pairing: pairing.species)

    @cached_property
    def _pairings_by_genus(self) -> dict[str, tuple[facts.Pairing, ...]]:
        return _grouped(self._pairings, lambda pairing: pairing.plant.split()[0])

    def all_pairings(self) -> tuple[facts.Pairing, ...]:
        """Every pairing of species and plant, best rank first."""
        return self._pairings

    def pairings_of(self, species: str) -> tuple[facts.Pairing, ...]:
        """All plants on record for a species, best rank first; traps and refused plants last."""
        return self._pairings_by_species.get(species, ())

    def pairings_on(self, plant: str) -> tuple[facts.Pairing, ...]:
        """All pairings of a plant, best rank first. `Genus spp.` gives those of every plant of the genus, one plant a species;
        a plant gives its own and those recorded for its whole genus."""
        genus, _, rest = plant.partition(" ")
        found: dict[str, facts.Pairing] = {}
        for pairing in self._pairings_by_genus.get(genus, ()):
            whole = pairing.plant == f"{genus} spp."
            if rest != "spp." and pairing.plant != plant and not whole:
                continue
            held = found.get(pairing.species)
            if held is None or (rest != "spp." and held.plant != plant and pairing.plant == plant):
                found[pairing.species] = pairing
        best_first = {rank: place for place, rank in enumerate(RANKS)}
        return tuple(sorted(found.values(), key=lambda pairing: best_first[pairing.rank]))

    def pairing(self, species: str, plant: str) -> facts.Pairing | None:
        """The pairing on record, the plant's own before its genus's. For `Genus spp.` without its own entry, the best of the genus's
        plants: the caller must say that it holds for that plant (`Pairing.plant`), not for every one of the genus."""
        own = self.pairings_of(species)
        genus = plant.split()[0]
        for wanted in (plant, f"{genus} spp."):
            for pairing in own:
                if pairing.plant == wanted:
                    return pairing
        if plant == f"{genus} spp.":
            return next((pairing for pairing in own if pairing.plant.split()[0] == genus), None)
        return None

    # development

    def thermal(self, species: str) -> tuple[facts.Thermal, ...]:
        """Published thresholds and degree-days, in the order of the files (best first)."""
        return tuple(map(facts.Thermal._make, self._parts.part("thermal").get(species, ())))

    def species_with_durations(self) -> tuple[str, ...]:
        return tuple(self._parts.part("durations"))

    def species_with_numbers(self) -> tuple[str, ...]:
        """Every species with a threshold, a duration or a day length on record."""
        return tuple(dict.fromkeys(name for part in ("thermal", "durations", "day_lengths") for name in self._parts.part(part)))

    def durations(self, species: str) -> tuple[facts.Duration, ...]:
        return tuple(map(facts.Duration._make, self._parts.part("durations").get(species, ())))

    def day_lengths(self, species: str) -> tuple[facts.DayLength, ...]:
        """What was published on the day lengths that make its pupae rest."""
        return tuple(map(facts.DayLength._make, self._parts.part("day_lengths").get(species, ())))

    def prior(self, group: str) -> facts.Prior | None:
        """What relatives suggest, by the name of the group or, for a species, by `Species.group`."""
        return self._priors.get(group)

    def groups(self) -> tuple[str, ...]:
        """The groups of relatives that have numbers."""
        return tuple(self._priors)

    @cached_property
    def rate_shape(self) -> facts.RateShape:
        """How rates bend with temperature, as fitted over all observed durations."""
        return next(map(facts.RateShape._make, self._parts.part("rate_shapes")))

    @cached_property
    def _priors(self) -> dict[str, facts.Prior]:
        return {row[0]: facts.Prior._make(row) for row in self._parts.part("priors")}

    # health

    @cached_property
    def _signs(self) -> tuple[facts.Sign, ...]:
        return tuple(shapes.revive(facts.Sign, row) for row in self._parts.part("signs"))

    def signs(self, stage: str | None = None) -> tuple[facts.Sign, ...]:
        return tuple(sign for sign in self._signs if stage in (None, sign.stage))

    @cached_property
    def _agents(self) -> dict[str, facts.Agent]:
        return {row[0]: shapes.revive(facts.Agent, row) for row in self._parts.part("agents")}

    def agent(self, name: str) -> facts.Agent | None:
        """A parasitoid, predator, disease or other cause, by canonical or common name."""
        return self._named(name, "agent", self._agents)

    def all_agents(self) -> tuple[facts.Agent, ...]:
        return tuple(self._agents.values())

    @cached_property
    def _look_alikes(self) -> tuple[facts.LookAlike, ...]:
        return tuple(shapes.revive(facts.LookAlike, row) for row in self._parts.part("look_alikes"))

    def look_alikes(self) -> tuple[facts.LookAlike, ...]:
        return self._look_alikes

    @cached_property
    def _disinfectants(self) -> tuple[facts.Disinfectant, ...]:
        return tuple(shapes.revive(facts.Disinfectant, row) for row in self._parts.part("disinfectants"))

    def disinfectants(self) -> tuple[facts.Disinfectant, ...]:
        """What keepers clean with, best known first."""
        return self._disinfectants

    # rules, words, sources

    @cached_property
    def _rules(self) -> dict[str, facts.Rule]:
        return {row[0]: facts.Rule._make(row) for row in self._parts.part("rules")}

    def rules(self, topic: str | None = None) -> tuple[facts.Rule, ...]:
        return tuple(rule for rule in self._rules.values() if topic in (None, rule.topic))

    def rule(self, name: str) -> facts.Rule | None:
        """One rule by its id."""
        return self._rules.get(name)

    @cached_property
    def terms(self) -> dict[str, facts.Term]:
        """Words of the trade, by each way in which keepers write them."""
        rows = map(facts.Term._make, self._parts.part("terms"))
        return {word: term for term in rows for word in (term.id.replace("-", " "), *term.words)}

    def traits(self, kind: str) -> dict[str, tuple[str, ...]]:
        """A word list (`colours`, `shapes`, `grouping`, `places`, …): canonical word -> words that keepers use for it."""
        return self._parts.part("traits").get(kind, {})

    def source(self, name: str) -> facts.Source:
        row = self._parts.part("sources").get(name)
        return facts.Source._make(row) if row else facts.Source(name, f"Unknown source {name}", "memory")

    def all_sources(self) -> tuple[str, ...]:
        """The id of every source."""
        return tuple(self._parts.part("sources"))

    def cite(self, names) -> tuple[facts.Source, ...]:
        """The sources of these ids, each once, in the order given."""
        return tuple(self.source(name) for name in dict.fromkeys(names))

    def faults(self) -> tuple[Fault, ...]:
        """What is wrong in the files; normally nothing but in a keeper's own."""
        return tuple(map(Fault._make, self._parts.part("faults")))


def _grouped(pairings, by) -> dict[str, tuple[facts.Pairing, ...]]:
    found: dict[str, list[facts.Pairing]] = {}
    for pairing in pairings:
        found.setdefault(by(pairing), []).append(pairing)
    return {name: tuple(each) for name, each in found.items()}


def load(folder: Path | None = None, own: Path | None = None, cache: Path | None = None) -> Knowledge:
    """The shipped knowledge base (or another folder) with the keeper's own additions over it, from the cache where it is fresh."""
    own = own or paths.own_knowledge()
    return Knowledge(blocks(Path(folder or paths.shipped("knowledge")), Path(own), cache or paths.user_cache()))
