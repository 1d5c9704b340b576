"""Which animal or plant a name stands for here: hosts, place and the keeper's own animals settle an ambiguous name."""

import re
from typing import NamedTuple

from nurserytui.answers.answer import Answer
from nurserytui.answers.its_own_name import by_its_own_name
from nurserytui.answers.wording import ask, listed, species_label, unknown
from nurserytui.language.request import Named

NEAR_ENOUGH = 72
"""Likeness (0-100) from which a known name is offered for one that is not known."""
EATEN = ("primary", "accepted", "poor")
NORTH_AMERICA = (
    "usa", "u.s.a.", "united states", "america", "canada", "mexico", "alabama", "alaska", "arizona", "arkansas", "california",
    "carolina", "colorado", "connecticut", "delaware", "florida", "georgia", "idaho", "illinois", "indiana", "iowa", "kansas",
    "kentucky", "louisiana", "maine", "maryland", "massachusetts", "michigan", "minnesota", "mississippi", "missouri", "montana",
    "nebraska", "nevada", "new hampshire", "new jersey", "new york", "dakota", "ohio", "oklahoma", "oregon", "pennsylvania",
    "rhode island", "tennessee", "texas", "utah", "vermont", "virginia", "washington", "wisconsin", "wyoming", "ontario", "quebec",
    "manitoba", "alberta", "saskatchewan", "british columbia", "nova scotia", "new brunswick", "newfoundland",
)  # fmt: skip
EUROPE = (
    "uk", "u.k.", "england", "scotland", "wales", "britain", "ireland", "europe", "france", "germany", "spain", "portugal", "italy",
    "netherlands", "belgium", "denmark", "sweden", "norway", "finland", "poland", "austria", "switzerland", "greece", "hungary",
    "czech", "slovakia", "slovenia", "croatia", "romania", "bulgaria", "estonia", "latvia", "lithuania",
)  # fmt: skip

REGIONS = (
    ("north-america", (*NORTH_AMERICA, "american", "canadian", "the states", "the us")),
    ("europe", (*EUROPE, "british", "english", "european", "scottish", "welsh", "irish")),
)
ODD = re.compile(r"[^\w.']+")


class Settled(NamedTuple):
    name: str
    others: tuple[str, ...] = ()
    """What else the words may mean."""
    why: str = ""
    """What decided, "" where the name is plain or has a usual meaning."""


def genus(name: str) -> str:
    return name.split(" ", 1)[0]


def is_genus(name: str) -> bool:
    """`Salix spp.`, `Salix sp.` or `Salix`."""
    words = name.split()
    return len(words) < 2 or words[1] in ("spp.", "sp.", "spp", "sp")


def same_plant(one: str, other: str) -> bool:
    """Two plant names that mean the same plant, where a genus means all its species."""
    return one == other or ((is_genus(one) or is_genus(other)) and genus(one) == genus(other))


def common_region(nursery) -> str:
    """`north-america` or `europe`, from the place the keeper named or from the animals kept so far; "" where neither tells."""
    region = region_said((nursery.settings.place or "").casefold())
    if region:
        return region
    votes: dict[str, int] = {}
    for scientific in {cohort.species for cohort in nursery.ledger.cohorts.values()}:
        species = nursery.knowledge.species(scientific)
        if species and len(species.regions) == 1:
            votes[species.regions[0]] = votes.get(species.regions[0], 0) + 1
    return next(iter(votes)) if len(votes) == 1 else ""


def region_of(text: str, nursery) -> str:
    """`north-america` or `europe`, from a place in the line, else from what is known of the keeper; "" where nothing tells."""
    return region_said(text) or common_region(nursery)


def region_said(text: str) -> str:
    """`north-america` or `europe` where the words name a place in one of them; "" where they name none or both."""
    words = f" {ODD.sub(' ', text)} "
    found = [region for region, places in REGIONS if any(f" {place} " in words for place in places)]
    return found[0] if len(found) == 1 else ""


def species_among(names: tuple[str, ...], knowledge) -> tuple[str, ...]:
    """The known species that a list of meanings holds; a genus stands for all its known species."""
    found: list[str] = []
    for name in names:
        if is_genus(name):
            found += [one.scientific for one in knowledge.all_species() if genus(one.scientific) == genus(name)]
        else:
            known = knowledge.species(name)
            found.append(known.scientific if known else name)
    return tuple(dict.fromkeys(found))


def settle(named: Named, request, nursery) -> Settled | None:
    """The one species that a name means here, or None where the keeper must be asked."""
    knowledge = nursery.knowledge
    names = species_among(named.names, knowledge)
    if not names:
        return None
    if len(names) == 1:
        return Settled(names[0])
    if told := qualified(named, names, request.plain or request.text.casefold(), knowledge):
        return Settled(told, tuple(name for name in names if name != told), "the word you added")
    plants = [plant for host in request.hosts for plant in host.names]
    if plants:
        eaters = [name for name in names if any(eats(knowledge, name, plant) for plant in plants)]
        if len(eaters) == 1:
            return Settled(eaters[0], tuple(name for name in names if name != eaters[0]), "the plant you named")
    if told := by_its_own_name(named, names, request, knowledge):
        return Settled(told, tuple(name for name in names if name != told), "its own name")
    kept = {cohort.species for cohort in nursery.ledger.cohorts.values()}
    own = [name for name in names if name in kept]
    if len(own) == 1:
        return Settled(own[0], tuple(name for name in names if name != own[0]), "the animals you keep")
    # What the kept animals only suggest does not unseat a usual meaning; a place that was said or set does.
    region = region_said(request.plain) or (
        region_said((nursery.settings.place or "").casefold()) if named.usual else common_region(nursery)
    )
    near = [name for name in names if region and region in getattr(knowledge.species(name), "regions", ())]
    if len(near) == 1:
        return Settled(near[0], tuple(name for name in names if name != near[0]), "where you are")
    if named.usual:
        return Settled(names[0], names[1:])
    return None


QUALIFYING = frozenset(
    "eastern western northern southern old new giant pale black canadian common small large little great".split()
)
"""Words that tell kinds of one name apart."""


def qualified(named: Named, names: tuple[str, ...], text: str, knowledge) -> str:
    """Of several species of one name the one whose own word stands elsewhere in the line (`the tiger swallowtail, the eastern one`);
    "" where none or more than one does."""
    rest = set(text.replace(named.said.casefold(), " ").replace(",", " ").split()) & QUALIFYING
    if not rest:
        return ""
    words = {
        name: {word for common in getattr(knowledge.species(name), "common", ()) for word in common.casefold().split()}
        for name in names
    }
    found = [name for name in names if words[name] & rest]
    return found[0] if len(found) == 1 else ""


def eats(knowledge, species: str, plant: str) -> bool:
    pairing = knowledge.pairing(species, plant)
    return bool(pairing and pairing.rank in EATEN)


def the_species(request, nursery, topic: str, sentence: str) -> Settled | Answer:
    """The species that a request is about: named, or that of the cohort it names. An Answer asks back, with `sentence`
    (`What do {} larvae eat?`) filled in for each choice."""
    knowledge = nursery.knowledge
    if request.species:
        named = request.species[0]
        settled = settle(named, request, nursery)
        if settled and knowledge.species(settled.name):
            return settled
        if settled:
            return unknown(
                topic,
                f"There is nothing on {settled.name} in the knowledge base.",
                next=near_sentences(named.said, nursery, sentence),
            )
        names = species_among(named.names, knowledge)[:6]
        options = [sentence.format(spoken(name, knowledge)) for name in names]
        meanings = listed([f"{species_label(name, knowledge)}{lives_on(name, knowledge)}" for name in names], "or")
        apart = tells_apart(named.said, "species", knowledge)
        return ask(topic, f"Which one do you mean by “{named.said}”: {meanings}?{apart}", options)
    for label in request.cohorts:
        cohort = nursery.ledger.cohorts.get(label)
        if cohort and knowledge.species(cohort.species):
            return Settled(cohort.species, (), f"cohort {label}")
    if request.unknown_names:
        return no_such_name(request.unknown_names[0], nursery, topic, sentence)
    kept = tuple(dict.fromkeys(key_species(nursery)))
    if len(kept) == 1 and knowledge.species(kept[0]):
        return Settled(kept[0], (), "the only species you keep now")
    options = [sentence.format(spoken(name, knowledge)) for name in kept[:5]]
    return ask(topic, "Which species do you mean?", options or [sentence.format("monarch")])


def key_species(nursery) -> list[str]:
    """Species that stand in the headcount now, most heads first."""
    totals: dict[str, int] = {}
    for key, heads in nursery.heads():
        cohort = nursery.ledger.cohorts.get(key.cohort)
        if cohort and cohort.species and cohort.species != "unknown":
            totals[cohort.species] = totals.get(cohort.species, 0) + heads
    return sorted(totals, key=lambda name: (-totals[name], name))


def spoken(scientific: str, knowledge) -> str:
    """The name to use in a sentence that is sent back: the common one where it means only this species."""
    common = knowledge.common(scientific)
    if not common:
        return scientific
    for alias in knowledge.aliases():
        if alias.alias.casefold() == common.casefold() and len(alias.means) > 1:
            return scientific
    return common


def near_names(said: str, knowledge, kind: str, count: int = 3) -> tuple[str, ...]:
    """Known canonical names whose spelling or one of whose names is near to what was said."""
    from rapidfuzz import fuzz, process

    choices = {}
    for alias in knowledge.aliases():
        if alias.kind == kind:
            choices.setdefault(alias.alias.casefold(), alias.means[0])
    found: list[str] = []
    for _, _, key in process.extract(
        said.casefold(), {key: key for key in choices}, scorer=fuzz.ratio, limit=12, score_cutoff=NEAR_ENOUGH
    ):
        if choices[key] not in found:
            found.append(choices[key])
    return tuple(found[:count])


def near_sentences(said: str, nursery, sentence: str, kind: str = "species") -> tuple[str, ...]:
    return tuple(sentence.format(spoken(name, nursery.knowledge)) for name in near_names(said, nursery.knowledge, kind))


def no_such_name(said: str, nursery, topic: str, sentence: str, kind: str = "species") -> Answer:
    """The knowledge base has nothing under that name: say so, and offer the names that are near."""
    options = near_sentences(said, nursery, sentence, kind)
    what = "a butterfly or moth" if kind == "species" else "a plant"
    if options:
        return ask(topic, f"I know no {what.split(' ', 1)[1]} called “{said}”. Did you mean one of these?", options)
    return unknown(topic, f"I know nothing about {what} called “{said}”, so I cannot answer.", next=("What can I ask you?",))


def also_means(settled: Settled, said: str, knowledge) -> str:
    """The sentences that name what else the words may mean and what tells them apart; "" where they mean one thing."""
    if not settled.others:
        return ""
    apart = tells_apart(said, "species", knowledge)
    told = [species_label(name, knowledge) + ("" if apart else lives_on(name, knowledge)) for name in settled.others[:4]]
    others = listed(told, "or")
    because = f" because of {settled.why}" if settled.why else ""
    return f"I took “{said}” as {species_label(settled.name, knowledge)}{because}; it can also mean {others}.{apart}"


def tells_apart(said: str, kind: str, knowledge) -> str:
    """What the knowledge base says of telling the meanings of a name apart, with a space before it; "" where it says no more than
    that there are several."""
    for words in (said, said.rpartition(" ")[0]):
        for alias in knowledge.names.exact(words, (kind,)) if words else ():
            if alias.tells_apart and not alias.tells_apart.startswith("Several"):
                return f" {alias.tells_apart}"
    return ""


def lives_on(name: str, knowledge) -> str:
    """` on passionflower`: the main host of a species, which often tells it from others; "" where none is known."""
    best = next((one for one in knowledge.pairings_of(name) if one.rank in ("primary", "accepted")), None)
    return f" on {plant_word(best.plant, knowledge)}" if best else ""


def plant_also(said: str, others, knowledge) -> str:
    """The sentences that name which other plants the words may mean and what tells them apart."""
    meanings = listed([plant_label(one, knowledge) for one in list(others)[:4]], "or")
    return f"“{said}” can also mean {meanings}.{tells_apart(said, 'plant', knowledge)}"


def plants_among(named: Named, knowledge) -> tuple[str, ...]:
    """The known plants that a name may mean, the usual one first; a genus stands for itself and for all its species."""
    found: list[str] = []
    for name in named.names:
        plant = knowledge.plant(name)
        if plant:
            found.append(plant.scientific)
        if is_genus(name):
            found += [one.scientific for one in knowledge.all_plants() if genus(one.scientific) == genus(name)]
        if not plant and not is_genus(name):
            found.append(name)
    return tuple(dict.fromkeys(found)) or named.names


def plant_label(scientific: str, knowledge) -> str:
    """`common milkweed (Asclepias syriaca)`."""
    plant = knowledge.plant(scientific)
    common = plant.common[0] if plant and plant.common else knowledge.common(scientific)
    return f"{common} ({scientific})" if common and common != scientific else scientific


def plant_word(scientific: str, knowledge) -> str:
    plant = knowledge.plant(scientific)
    return (plant.common[0] if plant and plant.common else knowledge.common(scientific)) or scientific


def ask_plant(named: Named, nursery, topic: str, sentence: str) -> Answer:
    names = plants_among(named, nursery.knowledge)[:6]
    meanings = listed([plant_label(name, nursery.knowledge) for name in names], "or")
    apart = tells_apart(named.said, "plant", nursery.knowledge)
    return ask(topic, f"Which plant do you mean by “{named.said}”: {meanings}?{apart}", [sentence.format(name) for name in names])
