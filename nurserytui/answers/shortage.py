"""When each plant on hand runs out, which cohorts will be short of it and from which day, and how much to cut by when."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from math import ceil
from typing import NamedTuple

from nurserytui.answers import appetite, eaters, naming, provision, stock
from nurserytui.answers.appetite import rounded
from nurserytui.answers.eaten_plants import NO_SPECIES, feeding_cohorts, plants_of, pooled
from nurserytui.answers.using_up import LITTLE, Course, Run
from nurserytui.answers.wording import day_words, listed, number
from nurserytui.biology.ranges import Range, chance_above, exactly, inverse, product

CUT_UNIT = "stems"
"""What is cut where nothing tells in what the keeper cuts."""
MOST_FACTOR = 1000.0
"""Times what is thought to be on hand at which it is enough, or never is."""
CRUMB = 2e-4
"""Grams under which nobody eats: a hatchling of the smallest species takes more in a day, and starves without."""
SOME = 0.01
"""Grams from which those who still eat are told from those that are about to stop."""
NAMED = 3
"""So many cohorts are named in a line of a list."""
AHEAD = timedelta(days=7)
"""How far ahead lots are laid out where no day is asked about."""


class Cutting(NamedTuple):
    """What to cut on a day to feed them until another, before it wilts."""

    day: date
    until: date
    grams: Range
    count: int
    """Of the unit, by the upper end of what they may eat, for a larva dies of too little; rounded up, and one for each enclosure at least."""
    unit: str
    words: str
    """`5 stems`, `60 g`."""
    why: str
    """By which reckoning so much: the upper end of what they may eat, or one for each enclosure."""


class Supply(NamedTuple):
    """One plant that larvae feed on (or several names of it), what is on hand of it and how long that lasts."""

    hosts: tuple[str, ...]
    word: str
    """What a keeper calls it: `fennel`."""
    lots: tuple[stock.Lot, ...]
    who: eaters.Eaters
    plan: provision.Plan
    by_cohort: dict[str, provision.Plan]
    not_counted: tuple[str, ...]
    """Cohorts of which nothing tells how much they eat."""
    keeps: stock.Keeping | None
    held: Range
    """Grams of leaf that get eaten, of all lots together as they came."""
    spread: Range
    """Factor between what is thought to be on hand, against what is eaten, and its bounds."""
    course: Course
    middle: Run
    early: Run
    late: Run
    lacking: str
    """Why nothing can be said of how long it lasts; "" where it can."""
    told: bool
    """Whether the records say what is on hand: lots, or lately that nothing is left."""
    words: dict[str, str]
    """What a keeper calls each plant of it."""

    @property
    def cohorts(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(group.cohort for group in self.who.groups))


class Shortage(NamedTuple):
    """A plant that runs out before those who feed on it have pupated. `needed` is by unit: what to cut next, with bounds."""

    cohorts: tuple[str, ...]
    enclosure: str
    """Where they all stand; "" where they stand in several."""
    host: str
    label: str
    """What to do: `Cut 5 stems of fennel for C`."""
    runs_out: date
    low: date
    high: date | None
    short_from: date
    needed: dict[str, tuple[float, float, float]]
    wilted_by: date | None
    record: str
    reason: str
    due: date
    priority: int
    """1 where they have nothing today, 2 where it is today's work, 3 for later."""


KEEPING = ((0.0, 0.25), (0.5, 0.5), (1.0, 0.25))
"""How far between the fewest and the most days of the card cut plant keeps, and the chance of it (a working rule)."""


def chance_of_lasting(supply: Supply, end: datetime | None, focus: tuple[str, ...], nursery) -> float:
    """Chance that no one (of the cohorts `focus`, where any are named) is short of it by then, or ever."""

    def lasts(factor: float, days: float | None) -> bool:
        run = supply.course.run(factor, days)
        if run.short is None or (end is not None and run.short >= end):
            return True
        return bool(focus) and not set(focus) & set(short_ones(supply, run.short, nursery))

    def chance(days: float | None) -> float:
        low, high = 1 / MOST_FACTOR, MOST_FACTOR
        if lasts(low, days) or not lasts(high, days):
            return 1.0 if lasts(low, days) else 0.0
        for _ in range(16):
            middle = (low * high) ** 0.5
            low, high = (low, middle) if lasts(middle, days) else (middle, high)
        return chance_above(supply.spread, high)

    if not supply.lots:
        return 0.0 if supply.middle.short and (end is None or supply.middle.short < end) else 1.0
    if supply.keeps is None or all(lot.growing for lot in supply.lots):
        return chance(None)
    keeps = supply.keeps
    return sum(weight * chance(keeps.low + part * (keeps.high - keeps.low)) for part, weight in KEEPING)


def shortages(nursery, until: datetime) -> list[Shortage]:
    """The plants on hand that will be short by then, the soonest first."""
    found = []
    for supply in supplies(nursery):
        if not supply.told or supply.middle.short is None or supply.middle.short > until:
            continue
        one = _shortage(supply, nursery)
        if one is not None:
            found.append(one)
    return sorted(found, key=lambda one: (one.short_from, one.host))


def supplies(nursery) -> list[Supply]:
    """Every plant that eggs and larvae feed on, by the records of their cohorts; kept until the records or the moment change."""
    return nursery.until_moved("supplies", lambda: _supplies(nursery))


def unnoted(nursery) -> tuple[str, ...]:
    """Cohorts with eggs or larvae whose plant is not on record, and none on hand tells it."""
    fed = {label for supply in supplies(nursery) for label in (*supply.cohorts, *supply.not_counted)}
    return tuple(label for label in feeding_cohorts(nursery) if label not in fed)


def _supplies(nursery) -> list[Supply]:
    lots = stock.lots(nursery)
    known = list(dict.fromkeys([lot.host for lot in lots] + stock.none_left(nursery)))
    plants = {label: found for label in feeding_cohorts(nursery) if (found := plants_of(label, lots, known, nursery))}
    return [_supply(hosts, labels, lots, nursery) for hosts, labels in pooled(plants, lots, set(known), nursery)]


def could_eat(host: str, nursery) -> Supply | None:
    """What is on hand of a plant that nobody eats by the records, against those whose species eats it well; None where there are none."""
    knowledge, cohorts = nursery.knowledge, nursery.ledger.cohorts
    labels = []
    for label in feeding_cohorts(nursery):
        species = cohorts[label].species
        pairing = knowledge.pairing(species, host) if species not in NO_SPECIES else None
        if pairing is not None and pairing.rank in ("primary", "accepted"):
            labels.append(label)
    return _supply((host,), labels, stock.lots(nursery), nursery) if labels else None


def _supply(hosts: tuple[str, ...], labels: list[str], lots: list[stock.Lot], nursery) -> Supply:
    knowledge = nursery.knowledge
    who = eaters.recorded(tuple(labels), (), nursery)
    rations = {species: appetite.ration(species, knowledge) for species in who.species}
    known = {species: species not in NO_SPECIES and one.known for species, one in rations.items()}
    left_out = tuple(dict.fromkeys(group.cohort for group in who.groups if not known[group.species]))
    who = eaters.of_groups(tuple(group for group in who.groups if known[group.species]))
    plan = provision.lay_out(who, rations, nursery)
    by_cohort = {
        label: provision.lay_out(
            who._replace(groups=tuple(group for group in who.groups if group.cohort == label)), rations, nursery
        )
        for label in dict.fromkeys(group.cohort for group in who.groups)
    }
    own = tuple(lot for lot in lots if lot.host in hosts)
    keeps = stock.keeping(hosts, knowledge)
    lacking = _lacking(own, who, plan, left_out)
    grams = [] if lacking else [grams_of(lot, who, rations, (lot.host, *hosts), knowledge) for lot in own]
    held = _sum(grams) if grams else exactly(LITTLE)
    spread = provision.margin(exactly(1.0), 1.0, plan.spread)
    if grams:
        share = provision.margin(held, 1.0, plan.spread)
        spread = Range(1.0, share.low / share.value, share.high / share.value)
    course = Course(own, [one.value for one in grams], who, rations, plan, nursery)
    runs = (Run(None, None, 0.0, 0.0),) * 3
    if not lacking:
        days = (None, None, None) if keeps is None else ((keeps.low + keeps.high) / 2, keeps.low, keeps.high)
        runs = tuple(course.run(factor, keep) for factor, keep in zip(spread, days))
    word = naming.plant_word(hosts[0], knowledge)
    told = bool(own) or any(host in hosts for host in stock.none_left(nursery))
    words = {host: naming.plant_word(host, knowledge) for host in (*hosts, *(lot.host for lot in own))}
    return Supply(hosts, word, own, who, plan, by_cohort, left_out, keeps, held, spread, course, *runs, lacking, told, words)


def _lacking(lots, who: eaters.Eaters, plan: provision.Plan, left_out) -> str:
    strange = next((lot for lot in lots if lot.unit not in (*appetite.PER_PIECE, "g", "cm2")), None)
    if not who.groups and left_out:
        return f"nothing on record says how much {listed(left_out)} {'eats' if len(left_out) == 1 else 'eat'}"
    if strange is not None:
        return f"the stock is told in {strange.said}, and how much leaf that is I do not know"
    if plan.total > 0 and not plan.ends:
        return "how fast these larvae grow is not known"
    return ""


def grams_of(lot: stock.Lot, who: eaters.Eaters, rations, hosts: tuple[str, ...], knowledge) -> Range:
    """Leaf in a lot that gets eaten. Plants are weighed by what one larva takes of them, where that is on record."""
    rule = plants_rule(who, knowledge) if lot.growing else None
    if rule is not None:
        whole = rations[who.species[0]].grams.value / rule.value * lot.amount
        return Range(whole, whole / 2, whole * 2)
    return appetite.portion(lot.unit, None, hosts, knowledge).grams.times(lot.amount)


def plants_rule(who: eaters.Eaters, knowledge):
    """The rule that says how many plants one larva of the only species eats in all; None where there is none."""
    known = knowledge.species(who.species[0]) if len(who.species) == 1 else None
    names = {name.casefold() for name in known.common} if known else set()
    for rule in knowledge.rules("food"):
        if rule.unit == "plants" and rule.value and names & {word.casefold() for word in rule.about}:
            return rule
    return None


def _sum(ranges: list[Range]) -> Range:
    """Lots of one kind are wrong together: their bounds are added."""
    return Range(*(max(sum(values), LITTLE) for values in zip(*ranges)))


# What to cut --------------------------------------------------------------------------------------------------------------


def cuttings(supply: Supply, nursery, until: datetime, start: datetime | None = None) -> list[Cutting]:
    """What to cut of a plant and when, in lots that are eaten before they wilt, from the day on which it runs short (or `start`)."""
    short = start or supply.middle.short
    if short is None or not supply.plan.ends:
        return []
    unit = cut_unit(supply)
    days = lot_days(supply)
    at, found = max(short, nursery.now), []
    while at < min(until, supply.plan.ends[-1]):
        # to the midnight that is nearest: what is cut in the evening feeds them through the next day
        end = datetime.combine((at + timedelta(days=days, hours=12)).date(), datetime.min.time())
        grams = supply.plan.eaten_by(end, nursery.now) - supply.plan.eaten_by(at, nursery.now)
        if grams * supply.plan.spread.high > CRUMB:
            found.append(_cutting(at.date(), (end - timedelta(seconds=1)).date(), grams, unit, supply, nursery.knowledge))
        at = end
    return found


def lot_days(supply: Supply) -> int:
    """Whole days for which a lot is cut: those that the plant surely keeps, one at least."""
    return max(int(supply.keeps.low), 1) if supply.keeps else 1


def cut_unit(supply: Supply) -> str:
    """In what the keeper cuts this plant: as last cut or counted, else stems."""
    said = [lot.unit for lot in supply.lots if not lot.growing and lot.unit in (*appetite.PER_PIECE, "g")]
    return said[-1] if said else CUT_UNIT


def _cutting(day: date, until: date, grams: float, unit: str, supply: Supply, knowledge) -> Cutting:
    eaten = supply.plan.spread.times(grams)
    portion = appetite.portion(unit, None, supply.hosts, knowledge)
    amount = product(eaten, inverse(portion.grams))
    middle = max(ceil(amount.value - 1e-9), 1)
    upper = max(ceil(amount.high - 1e-9), 1)
    places = _mouths(supply, day, until) if unit not in ("g", "cm2") else 1
    count = max(upper, places)
    if count == middle:
        why = ""
    elif count > upper:
        why = f"one for each of {places} enclosures"
    else:
        why = f"the upper end; by the middle of the estimates it is {piece_words(middle, unit)}"
        why += f", and one for each of {places} enclosures at least" if places > middle else ""
    return Cutting(day, until, eaten, count, unit, piece_words(count, unit), why)


def _mouths(supply: Supply, day: date, until: date) -> int:
    """Enclosures in which some eat between the two days."""
    found = set()
    start, end = datetime.combine(day, datetime.min.time()), datetime.combine(until, datetime.max.time())
    for group in supply.who.groups:
        line = group.warm.timeline if group.warm is not None else None
        if group.curve is None or line is None or group.middle >= 0:
            found.add(group.enclosure or group.cohort)
        elif line.progress(group.curve, min(start, end), end) > -group.middle:
            found.add(group.enclosure or group.cohort)
    return max(len(found), 1)


def piece_words(count: int, unit: str) -> str:
    """`5 stems`, `1 leaf`, `60 g`."""
    if unit in ("g", "cm2"):
        return f"{count} {unit}"
    return f"{count} {appetite.ONE.get(unit, unit) if count == 1 else unit}"


def _shortage(supply: Supply, nursery) -> Shortage | None:
    """None where those who are short of it eat next to nothing from then on."""
    now = nursery.now
    short = supply.middle.short
    hungry = short_ones(supply, short, nursery)
    # Hatchlings may eat too little for a lot in the first days: then it is cut for the day on which they do.
    lots = cuttings(supply, nursery, short + timedelta(days=lot_days(supply))) or cuttings(supply, nursery, supply.plan.ends[-1])
    if not lots:
        return None
    first = lots[0]
    places = dict.fromkeys(group.enclosure for group in supply.who.groups if group.cohort in hungry)
    low = min(one.gone for one in (supply.early, supply.middle) if one.gone)
    high = supply.late.gone.date() if supply.late.gone else None
    wilts = supply.middle.wilted > 0.1 * max(supply.middle.left, LITTLE)
    spent = min((lot.cut for lot in supply.lots if not lot.growing), default=None)
    wilted_by = (spent + timedelta(days=supply.keeps.high)).date() if wilts and spent and supply.keeps else None
    what = "" if short <= now else f": gone about {day_words(supply.middle.gone, now)}"
    why = " (wilted by then)" if wilts and short > now else ""
    reason = (
        f"{state_words(supply, now)}{what}{why}, eaten by {whom(hungry)}; cut for {days_words(first)}, about "
        f"{rounded(first.grams.value)} g of leaf ({rounded(first.grams.low)}-{rounded(first.grams.high)}){why_words(first)}"
    )
    needed = {"g": tuple(round(value, 2) for value in first.grams)}
    if first.unit != "g":
        portion = appetite.portion(first.unit, None, supply.hosts, nursery.knowledge)
        needed[first.unit] = tuple(round(value, 2) for value in product(first.grams, inverse(portion.grams)))
    return Shortage(
        hungry,
        next(iter(places)) if len(places) == 1 else "",
        supply.hosts[0],
        f"Cut {first.words} of {supply.word} for {whom(hungry)}",
        max(supply.middle.gone, now).date() if supply.middle.gone else short.date(),
        max(low, now).date(),
        high,
        short.date(),
        needed,
        wilted_by,
        f"cut {first.words} of {supply.word}",
        reason,
        max(short, now).date(),
        1 if short <= now else 2 if short.date() <= now.date() else 3,
    )


def short_ones(supply: Supply, when: datetime, nursery) -> tuple[str, ...]:
    """The cohorts that still eat after a moment; where all are about to stop, those that may."""
    at = max(when, nursery.now)
    left = {label: plan.total - plan.eaten_by(at, nursery.now) for label, plan in supply.by_cohort.items()}
    return tuple(label for label, grams in left.items() if grams > SOME) or tuple(
        label for label, grams in left.items() if grams > LITTLE
    )


def whom(labels: tuple[str, ...]) -> str:
    """`A, B and C`; of many the first, and how many more there are."""
    return listed(labels) if len(labels) <= NAMED + 1 else listed([*labels[:NAMED], f"{len(labels) - NAMED} more"])


def why_words(lot: Cutting) -> str:
    return f"; {lot.words} is {lot.why}" if lot.why else ""


def days_words(lot: Cutting) -> str:
    days = (lot.until - lot.day).days + 1
    return "one day" if days == 1 else f"{days} days"


def state_words(supply: Supply, now: datetime) -> str:
    """What was put on hand, and that it should be gone where it should."""
    words = stock_words(supply)
    gone = bool(supply.lots) and supply.middle.short is not None and supply.middle.short <= now
    return f"the {words} should be eaten or wilted by now" if gone else words


def stock_words(supply: Supply) -> str:
    """`6 stems of fennel`, `3 pots and 6 stems of milkweed`, `no fennel on hand`."""
    if not supply.lots:
        return f"no {supply.word} on hand"
    by_word: dict[str, list] = {}
    for lot in supply.lots:
        by_word.setdefault(_lot_word(lot, supply), []).append(lot)
    return listed(_amounts(lots, word) for word, lots in by_word.items())


def plants_words(supply: Supply) -> str:
    """The plants on hand of a supply by name: `dill`, `dill and parsley`; its own word where nothing is on hand."""
    return listed(dict.fromkeys(_lot_word(lot, supply) for lot in supply.lots)) or supply.word


def _lot_word(lot, supply: Supply) -> str:
    return supply.word if naming.same_plant(lot.host, supply.hosts[0]) else supply.words.get(lot.host, lot.host)


def _amounts(lots, word: str) -> str:
    tally: dict[tuple[str, str], float] = {}
    for lot in lots:
        tally[lot.unit, lot.said] = tally.get((lot.unit, lot.said), 0.0) + lot.amount
    parts = [f"{number(amount)} {_one(said) if amount == 1 else said}" for (_, said), amount in tally.items()]
    return f"{listed(parts)} of {word}"


def _one(said: str) -> str:
    return said if said in ("g", "cm2") else appetite.ONE.get(said, said.removesuffix("s"))
