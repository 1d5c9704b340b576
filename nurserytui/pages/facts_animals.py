"""Cards of species and of plants, of what eats what, of growth and of cuttings."""

from __future__ import annotations

from calendar import month_abbr
from collections.abc import Iterator

from nurserytui.answers.about_species import PUPATES, WINTERS
from nurserytui.answers.host_words import MARKED
from nurserytui.answers.safety import HARMS, PROTECTED
from nurserytui.answers.wording import capital, counted, listed, number, percent, sentence, species_label
from nurserytui.pages.facts_words import Fact, Which, either, said_of, span, stage_words

PLACES = {"leaf-upper": "the upper side of a leaf", "leaf-under": "the underside of a leaf", "shoot-tip": "the tip of a shoot"}
APART, PACES = 0.25, 0.5
"""Two published means of one stage at one temperature, or two needs of degree-days, conflict where they are further apart than this share;
temperatures, and thresholds, are one where they differ by no more than this many degrees."""


def species(name: str, knowledge) -> Iterator[Fact]:
    """What is known of a species: cautions, names, food, looks, growth, winter, enemies."""
    one = knowledge.species(name)
    for note in one.notes:
        if HARMS.search(note.text) or PROTECTED.search(note.text):
            yield Fact("take care", sentence(note.text), note.sources, tone="care")
    yield Fact("names", listed(one.common), one.sources)
    family = one.family + (f"; grows like the group {one.group}" if one.group else "")
    yield Fact("family", family, one.sources)
    yield Fact("regions", listed(region.replace("-", " ").title() for region in one.regions), one.sources)
    if one.range:
        yield Fact("range", sentence(one.range.text), one.range.sources)
    if one.host_families:
        only = "only plants of" if one.specialist else "mostly plants of"
        yield Fact("families", f"{only} {listed(one.host_families)}", one.sources)
    for pairing in knowledge.pairings_of(name):
        yield _eaten(pairing, knowledge, Which("plant", pairing.plant), pairing.plant)
    yield from egg(one.egg)
    if one.larva:
        yield Fact("larva", sentence(one.larva.text), one.larva.sources)
    yield Fact("instars", f"{one.instars}, usually", one.sources)
    if one.pupa:
        yield Fact("pupa", sentence(one.pupa.text), one.pupa.sources)
    if one.pupa_form in PUPATES:
        yield Fact("pupates", f"{PUPATES[one.pupa_form]}.", one.sources)
    if knowledge.thermal(name) or knowledge.durations(name) or knowledge.day_lengths(name):
        rows = (*knowledge.thermal(name), *knowledge.durations(name), *knowledge.day_lengths(name))
        ids = tuple(source for row in rows for source in row.sources)
        yield Fact(
            "growth", f"{counted(len(rows), 'number')} on record: days, thresholds, day lengths", ids, Which("growth", name)
        )
    elif prior := knowledge.prior(one.group):
        words = f"nothing measured in it: reckoned like the group {one.group}"
        yield Fact("growth", words, prior.sources, Which("relatives", one.group))
    if one.broods:
        yield Fact("broods", sentence(one.broods.text), one.broods.sources)
    if one.winters_as:
        yield Fact("winters", WINTERS[one.winters_as] + (", always" if one.always_rests else ""), one.sources)
    if one.wintering:
        yield Fact("winter", sentence(one.wintering.text), one.wintering.sources)
    if one.critical_day_length:
        low, high = one.critical_day_length
        note = one.day_length_note
        yield Fact(
            "day length", f"pupae begin to rest below {span(low, high, unit='hours')}", note.sources if note else one.sources
        )
    if one.day_length_note:
        yield Fact("day length", sentence(one.day_length_note.text), one.day_length_note.sources)
    if one.give_up_warm or one.give_up_cool:
        warm = f"after {number(one.give_up_warm)} days in an ordinary room" if one.give_up_warm else ""
        cool = f"after {number(one.give_up_cool)} days in the cool" if one.give_up_cool else ""
        yield Fact("give up", f"unhatched eggs {said_of(warm, cool)}", one.give_up_sources)
    for note in one.notes:
        if not (HARMS.search(note.text) or PROTECTED.search(note.text)):
            yield Fact("note", sentence(note.text), note.sources)
    genus = name.split()[0]
    for agent in knowledge.all_agents():
        if genus in agent.hosts:
            yield Fact("enemy", f"{agent.name}, {agent.type}: recorded from {genus}", agent.sources, Which("agent", agent.name))
    for alike in knowledge.look_alikes():
        if name in alike.species:
            yield Fact("look-alike", f"{alike.name}: {alike.tell}", alike.sources, Which("look-alike", alike.name))


def egg(traits) -> Iterator[Fact]:
    """What an egg looks like and where it is laid."""
    if traits.looks:
        yield Fact("egg", sentence(traits.looks), traits.sources)
    if traits.before_hatching:
        yield Fact("egg, ripe", sentence(traits.before_hatching), traits.sources)
    colours = f"{either(traits.colours)} when fresh" if traits.colours else ""
    late = f"{either(traits.late_colours)} later" if traits.late_colours else ""
    shape = either(traits.shapes)
    size = f"{number(traits.size_mm, 2)} mm" if traits.size_mm else ""
    yield Fact("egg", said_of(colours, late, shape, size), traits.sources)
    many = either(traits.grouping)
    count = f"{span(traits.batch_low, traits.batch_high)} together" if (traits.batch_high or 0) > 1 else ""
    where = f"on {either(PLACES.get(place, place.replace('-', ' ')) for place in traits.places)}" if traits.places else ""
    months = f"found {_months(traits.months)}" if traits.months else ""
    yield Fact("laying", said_of(many, count, where, months), traits.sources)


def _months(months: tuple[int, ...]) -> str:
    """`Feb-Nov`, `May, Aug-Sep`."""
    runs: list[list[int]] = []
    for month in sorted(months):
        if runs and month == runs[-1][-1] + 1:
            runs[-1].append(month)
        else:
            runs.append([month])
    return ", ".join("-".join(dict.fromkeys((month_abbr[run[0]], month_abbr[run[-1]]))) for run in runs)


def _eaten(pairing, knowledge, leads: Which, other: str) -> Fact:
    label = {
        "primary": "main host",
        "accepted": "eats",
        "poor": "poor host",
        "emergency": "emergency",
        "trap": "TRAP",
        "no": "never",
    }
    where = f" ({listed(region.replace('-', ' ').title() for region in pairing.regions)})" if pairing.regions else ""
    name = species_label(other, knowledge)
    reason = f": {sentence(pairing.reason)}" if pairing.reason else f": {MARKED[pairing.rank]}."
    return Fact(label[pairing.rank], f"{name}{where}{reason}", pairing.sources, leads, "care" if pairing.rank == "trap" else "")


def pairing(name: str, knowledge) -> Iterator[Fact]:
    """What a species makes of a plant."""
    animal, _, plant = name.partition(" + ")
    one = next(each for each in knowledge.pairings_of(animal) if each.plant == plant)
    yield Fact("rank", MARKED[one.rank], one.sources, tone="care" if one.rank == "trap" else "")
    if one.reason:
        yield Fact("why", sentence(one.reason), one.sources)
    if one.regions:
        yield Fact("at hand in", listed(region.replace("-", " ").title() for region in one.regions), one.sources)
    yield Fact("species", species_label(animal, knowledge), one.sources, Which("species", animal))
    yield Fact("plant", species_label(plant, knowledge), one.sources, Which("plant", plant))


def growth(name: str, knowledge) -> Iterator[Fact]:
    """Thresholds with degree-days, observed durations and day lengths; where they conflict, that they do."""
    known = knowledge.species(name)
    if known:
        yield Fact("species", species_label(name, knowledge), known.sources, Which("species", name))
    rows = knowledge.thermal(name)
    for stage in dict.fromkeys(row.stage for row in rows):
        yield from _thresholds(stage, [row for row in rows if row.stage == stage])
    rows = knowledge.durations(name)
    for stage in dict.fromkeys(row.stage for row in rows):
        yield from _days(stage, [row for row in rows if row.stage == stage])
    for row in knowledge.day_lengths(name):
        light = span(row.light_low, row.light_high, unit="hours of light")
        share = (
            percent(row.share_low)
            if row.share_low == row.share_high
            else f"{percent(row.share_low)} to {percent(row.share_high)}"
        )
        place = f" in {row.place}" if row.place else ""
        at = f", {number(row.celsius)} °C" if row.celsius is not None else ""
        cool = ", and only if it is cool as well" if row.cool else ""
        note = f" {sentence(row.note)}" if row.note else ""
        yield Fact("day length", f"{light}{at}: {share} of pupae rest{place}{cool}.{note}", row.sources)
    if known and (prior := knowledge.prior(known.group)):
        yield Fact("relatives", f"what the group {known.group} suggests", prior.sources, Which("relatives", known.group))


def _thresholds(stage: str, rows) -> Iterator[Fact]:
    conflict = any(
        abs(one.base - other.base) > PACES or _apart(one.degree_days, other.degree_days) for one in rows for other in rows
    )
    if conflict:
        ids = tuple(source for row in rows for source in row.sources)
        yield Fact(stage_words(stage), "sources conflict: each is given, none is preferred by its place", ids, tone="differ")
    for row in rows:
        spread = f" (sd {number(row.spread)})" if row.spread else ""
        ceiling = f", up to {number(row.ceiling)} °C" if row.ceiling else ""
        note = f". {sentence(row.note)}" if row.note else ""
        text = f"{number(row.degree_days)} degree-days{spread} above {number(row.base)} °C{ceiling}{note}"
        yield Fact(stage_words(stage), text, row.sources, tone="differ" if conflict else "")


def _days(stage: str, rows) -> Iterator[Fact]:
    for row in sorted(rows, key=lambda row: (row.temperature is None, row.temperature or 0.0)):
        against = [other for other in rows if other is not row and _conflict(row, other)]
        at = f"at {number(row.temperature)} °C" if row.temperature is not None else "temperature not stated"
        swing = f" ± {number(row.swing)}" if row.swing else ""
        sd = f", sd {number(row.sd, 2)}" if row.sd else ""
        n = f", n {row.n}" if row.n else ""
        note = f" {sentence(row.note)}" if row.note else ""
        clash = (
            f" Conflicts with {listed(span(one.low, one.high, one.mean) for one in against)} days at the same." if against else ""
        )
        text = f"{span(row.low, row.high, row.mean, 'days')} {at}{swing}{sd}{n}.{note}{clash}"
        yield Fact(stage_words(stage), text, row.sources, tone="differ" if against else "")


def _conflict(one, other) -> bool:
    """Whether two sources give different days for one temperature: their ranges do not meet, or their means are far apart."""
    if one.temperature is None or other.temperature is None or abs(one.temperature - other.temperature) > PACES:
        return False
    if set(one.sources) == set(other.sources) or one.swing != other.swing:
        return False
    if None not in (one.low, one.high, other.low, other.high):
        return one.high < other.low or other.high < one.low
    middles = [_middle(row) for row in (one, other)]
    return None not in middles and _apart(*middles)


def _middle(row) -> float | None:
    if row.mean is not None:
        return row.mean
    return (row.low + row.high) / 2 if row.low is not None and row.high is not None else None


def _apart(one: float, other: float) -> bool:
    return abs(one - other) > APART * min(one, other)


def plant(name: str, knowledge) -> Iterator[Fact]:
    """What is known of a plant: hazards first, then looks, who eats it, and how it keeps."""
    one = knowledge.plant(name)
    yield from hazards(name, knowledge)
    yield Fact("names", listed(one.common), one.sources)
    yield Fact("family", one.family, one.sources)
    yield Fact("looks", sentence(one.looks), one.sources)
    for pairing in knowledge.pairings_on(name):
        told = _eaten(pairing, knowledge, Which("species", pairing.species), pairing.species)
        of = f" (recorded for {pairing.plant})" if pairing.plant != name else ""
        label = {"main host": "main host of", "eats": "eaten by", "poor host": "poor for", "never": "not eaten"}.get(
            told.label, told.label
        )
        yield told._replace(label=label, text=told.text + of, tone="")
    card = knowledge.cutting(name)
    if card:
        whose, kept = card
        of = "" if whose == name else f" (card of {whose})"
        days = f"cut, it keeps {span(kept.days_low, kept.days_high, unit='days')} in water{of}"
        yield Fact("cutting", days, kept.sources, Which("cutting", whose))
    for note in one.notes:
        yield Fact("note", sentence(note.text), note.sources)


def hazards(name: str, knowledge) -> Iterator[Fact]:
    """What a plant can do to people, pets and larvae, and what to do about it."""
    for hazard in knowledge.plant(name).hazards:
        text = " ".join(sentence(part) for part in (hazard.what, hazard.precaution) if part)
        yield Fact(f"to {hazard.who}", text, hazard.sources, tone="care")


def cutting(name: str, knowledge) -> Iterator[Fact]:
    """How a plant keeps as a cutting."""
    found = knowledge.general_cutting() if knowledge.plant(name) is None else knowledge.cutting(name)[1]
    ids = found.sources
    yield Fact("keeps", f"{span(found.days_low, found.days_high, unit='days')} in water", ids)
    yield Fact("water", f"change it every {span(found.water_change_low, found.water_change_high, unit='days')}", ids)
    for label, text in (
        ("how", found.how),
        ("conditioning", found.conditioning),
        ("problems", found.problems),
        ("fridge", found.fridge),
    ):
        yield Fact(label, sentence(text), ids)
    if knowledge.plant(name):
        yield Fact("plant", capital(species_label(name, knowledge)), knowledge.plant(name).sources, Which("plant", name))
