"""Plants on hand against all who eat them: when each runs out, whether it is enough, who will be short, what to cut and when."""

from __future__ import annotations

import re
from datetime import datetime, time, timedelta

from nurserytui.answers import appetite, naming, provision, shortage, stock
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.appetite import rounded
from nurserytui.answers.food_lasting import VERDICTS
from nurserytui.answers.food_needs import RESERVE
from nurserytui.answers.rules import sources_of
from nurserytui.answers.selection import present_label
from nurserytui.answers.shortage import Supply, stock_words
from nurserytui.answers.wording import OWN_RECORDS, capital, cite, day_words, listed, number
from nurserytui.biology.ranges import inverse, product

TOPIC = "food-supply"
CUT = re.compile(
    r"\b(cut|cutting|pick|picking|snip|gather|harvest|collect|clip|fetch|bring in|stems? (?:do|to|should|must)|get in)\b"
)
SHORT = re.compile(
    r"\b(short|run(s|ning)? (?:out|low|short)|starv\w+|hungry|out of (?:food|leaf|plant)|without (?:food|leaf)|low on)\b"
)
ENOUGH = re.compile(
    r"\b(enough|suffice|sufficient|will .* (?:last|do)|do (?:for|them)|last (?:until|till|to|them)|cover|see them through)\b"
)
WHO = re.compile(
    r"\b(which|what|who|any|anyone|anybody|anything|something|everything|all|everyone|food|leaf|plants?|larvae|caterpillars|cats)\b"
)
OVERVIEW = re.compile(
    r"\b(which|who|whose|any\w*|everything|everyone|all|what (?:do|does|should|must|shall|needs?|will|else|have|to))\b"
)
"""Words of a line that asks of all plants, unless it names one itself."""
OPEN = re.compile(r"\b(when|how long|what day|how many days|which day|until when)\b")
HELD = re.compile(
    r"\b(?:how (?:many|much)|what)\b.*\b(?:left|on hand|in stock|do i have|have i got|have we got|do we have|remain\w*)\b"
)
"""A line that asks how much there is."""
LEVEL = 0.9
SURE = 0.9
"""Chance of lasting from which nothing more is said of a risk."""


def own_slots(request, text: str):
    """The request without the plants and animals that only the lines before it named, where it asks of all plants."""
    if not (OVERVIEW.search(text) and (SHORT.search(text) or CUT.search(text))):
        return request
    hosts = tuple(host for host in request.hosts if host.said.casefold() in text)
    species = tuple(one for one in request.species if one.said.casefold() in text)
    cohorts = tuple(label for label in request.cohorts if re.search(rf"\b{re.escape(label.casefold())}\b", text))
    if hosts or species or cohorts:
        return request
    return request._replace(hosts=(), species=(), cohorts=(), mark="")


def asked(request, text: str, plant) -> bool:
    """Whether a line asks of plants on hand as the records have them, and of no animals or amounts of its own."""
    if request.enclosures or request.species or plant.supply is not None or plant.size is not None:
        return False
    if request.count or request.instar or request.stages and set(request.stages) - {"larva", "egg"}:
        return False
    of_stock = bool(SHORT.search(text) or CUT.search(text))
    if request.cohorts:
        return of_stock or bool(ENOUGH.search(text))
    return bool(request.hosts) or bool(WHO.search(text) and of_stock)


def told_of(request, nursery) -> bool:
    """Whether the records tell what is on hand of the plant that the cohorts of a line feed on, all of the same."""
    labels = {present_label(nursery.ledger, label) for label in request.cohorts}
    hosts = {name for host in request.hosts for name in naming.plants_among(host, nursery.knowledge)}
    for one in shortage.supplies(nursery):
        fits = not hosts or any(naming.same_plant(host, name) for host in one.hosts for name in hosts)
        if one.told and fits and not one.lacking and labels <= set(one.cohorts):
            return True
    return False


def food_stock(request, text: str, nursery) -> Answer:
    """One plant with all who eat it where one is named; else all plants, the first to run out first."""
    from nurserytui.answers import food_short

    labels = tuple(dict.fromkeys(present_label(nursery.ledger, label) for label in request.cohorts))
    if labels:
        return of_plant(
            next(one for one in shortage.supplies(nursery) if labels[0] in one.cohorts), request, text, nursery, labels
        )
    if not request.hosts:
        return food_short.overview(request, text, nursery)
    meant = {name for host in request.hosts for name in naming.plants_among(host, nursery.knowledge)}
    found = [
        one for one in shortage.supplies(nursery) if any(naming.same_plant(host, name) for host in one.hosts for name in meant)
    ]
    if not found:
        return food_short.nobody(request, meant, nursery)
    # The plant that was asked about leads, of those that its eaters share.
    one = found[0]
    hosts = tuple(sorted(one.hosts, key=lambda host: not any(naming.same_plant(host, name) for name in meant)))
    keeps = stock.keeping(hosts, nursery.knowledge)
    return of_plant(one._replace(word=request.hosts[0].said.casefold(), hosts=hosts, keeps=keeps), request, text, nursery)


# One plant ----------------------------------------------------------------------------------------------------------------


def of_plant(supply: Supply, request, text: str, nursery, focus: tuple[str, ...] = ()) -> Answer:
    """When the plant runs out, whether it is enough (for the cohorts of `focus`, if any), or how much to cut, whichever the line asks."""
    end = until(request, text, nursery)
    cutting = bool(CUT.search(text))
    lines: list[str] = []
    values = needed(supply, end, nursery)
    if supply.lacking:
        lines.append(f"How long it lasts I cannot say: {supply.lacking}.")
        values["runs_out"] = Value(None, "date", reason=supply.lacking)
    elif not supply.told:
        reason = "how much is on hand is not told"
        lines.append(f"Whether it will last I cannot say: {reason}. Tell me, for example “I have 6 stems of {supply.word}”.")
        values["runs_out"] = Value(None, "date", reason=reason)
    else:
        values |= gone_values(supply, end, focus, nursery)
        lines += verdict_lines(supply, text, end, values, nursery, focus)
    lots = [] if supply.lacking else lots_wanted(supply, end, cutting, nursery)
    cut_lines = lot_lines(supply, lots, cutting, end, nursery)
    lines = [*cut_lines, *lines] if cutting else [*lines, *cut_lines]
    if HELD.search(text) and supply.told and not cutting:
        left = (
            f", of which about {rounded(supply.middle.left)} g of leaf are left to eat"
            if supply.lots and not supply.lacking
            else ""
        )
        lines.insert(0, f"On hand by the records: {stock_words(supply)}{left}.")
    if supply.lots and not any(naming.same_plant(lot.host, supply.hosts[0]) for lot in supply.lots):
        lines.insert(
            len(cut_lines) if cutting else 0,
            f"Of {supply.word} nothing on hand is recorded; those who eat it eat {shortage.plants_words(supply)} as well.",
        )
    lines.append(need_line(supply, end, nursery))
    lines += [*kept_lines(supply, nursery), *left_out_lines(supply)]
    return Answer(
        "answered" if supply.who.groups else "unknown",
        TOPIC,
        "\n".join(dict.fromkeys(line for line in lines if line)),
        about=about(supply, request),
        values=values,
        items=tuple(_lot_item(one, supply, rank) for rank, one in enumerate(lots, 1)),
        working=tuple(working(supply, nursery)),
        sources=(*cite(nursery.knowledge, sources(supply, nursery)), OWN_RECORDS),
        cautions=(RESERVE,),
        next=tuple([f"cut {lots[0].words} of {supply.word}"] if lots else [])
        + ("Which cohort will be short of food?", f"How long does cut {supply.word} keep?"),
    )


def about(supply: Supply, request) -> dict:
    found: dict = {"host": supply.hosts[0]}
    labels = (*supply.cohorts, *supply.not_counted)
    if len(labels) == 1:
        found["cohort"] = labels[0]
    if len(supply.who.species) == 1:
        found["species"] = supply.who.species[0]
    return found


def until(request, text: str, nursery) -> datetime | None:
    """The end of the days asked about; None where all that is left is meant."""
    window = provision.window_of(request, text, True, nursery.now)
    if window is not None:
        return window.end
    if re.search(r"\bweek\b", text):
        return nursery.now + timedelta(days=7)
    if re.search(r"\b(today|now|tonight)\b", text):
        return datetime.combine(nursery.now.date(), time()) + timedelta(days=1)
    return None


def needed(supply: Supply, end: datetime | None, nursery) -> dict[str, Value]:
    """What is eaten of it by then, in grams, leaf area and the unit that the keeper cuts in."""
    unit = shortage.cut_unit(supply)
    names = dict.fromkeys(("needed", "needed_g", "needed_cm2", f"needed_{unit}"))
    if not supply.who.groups:
        reason = f"nothing on record says how much {listed(supply.not_counted)} eat"
        return {name: Value(None, name.removeprefix("needed_") if "_" in name else unit, reason=reason) for name in names}
    amount = supply.plan.total if end is None else supply.plan.eaten_by(end, nursery.now)
    eaten = supply.plan.spread.times(amount)
    found = {}
    for name in names:
        of = unit if name == "needed" else name.removeprefix("needed_")
        grams = (
            eaten
            if of == "g" or amount <= 0
            else product(eaten, inverse(appetite.portion(of, None, supply.hosts, nursery.knowledge).grams))
        )
        found[name] = Value(round(grams.value, 2), of, round(grams.low, 2), round(grams.high, 2), LEVEL)
    return found


def gone_values(supply: Supply, end: datetime | None, focus: tuple[str, ...], nursery) -> dict[str, Value]:
    now = nursery.now

    def day(moment: datetime | None):
        return max(moment, now).date().isoformat() if moment else None

    gone, low, high = day(supply.middle.gone), day(supply.early.gone), day(supply.late.gone)
    reason = "" if gone else "it lasts until they pupate"
    chance = shortage.chance_of_lasting(supply, end, focus, nursery)
    found = {
        "runs_out": Value(gone, "date", low, high, LEVEL, reason),
        "enough": Value(next(word for least, word, _ in VERDICTS if chance >= least)),
        "enough_chance": Value(round(chance, 2), "fraction"),
    }
    if supply.middle.short:
        found["short_from"] = Value(day(supply.middle.short), "date", day(supply.early.short), day(supply.late.short), LEVEL)
    return found


RUNNING_SHORT = {
    "yes": "It will not run short",
    "probably": "It will probably not run short",
    "doubtful": "It may run short",
    "probably not": "It will probably run short",
    "no": "It will run short",
}
"""How the answer begins where it is asked whether it runs short, by whether it is enough."""


def verdict_lines(
    supply: Supply, text: str, end: datetime | None, values: dict[str, Value], nursery, focus: tuple[str, ...]
) -> list[str]:
    """Yes or no first where that is asked, else the day on which it runs out."""
    now = nursery.now
    gone, eaters_ = values["runs_out"], listed(supply.cohorts)
    what, plants = stock_words(supply), shortage.plants_words(supply)
    be = "are" if " and " in plants else "is"
    eat = "eats" if len(supply.cohorts) == 1 else "eat"
    early = f", perhaps as early as {day_words(gone.low, now)}" if gone.low and gone.low != gone.value else ""
    late = f", at the latest {day_words(gone.high, now)}" if gone.high and gone.high != gone.value else ""
    wilts = supply.middle.wilted > 0.1 * max(supply.middle.left, shortage.LITTLE)
    how = "wilted, not all of it eaten" if wilts else "eaten"
    if gone.value and supply.middle.gone <= now:
        when = f"The {plants} {be} used up by now: {what if not supply.lots else f'the {what} should be gone'}"
    elif gone.value:
        when = f"The {plants} {'runs' if be == 'is' else 'run'} out about {day_words(gone.value, now)}{early}{late} ({how}): {what} on hand, which {eaters_} {eat}"
    else:
        risk = f", though it may be gone as early as {day_words(gone.low, now)}" if gone.low else ""
        chance = values["enough_chance"].value
        lasts = "lasts" if chance >= 0.9 else "should last" if chance >= 0.65 else "may just last"
        when = f"The {plants} {lasts} until they pupate{risk}: {what} on hand, which {eaters_} {eat}"
    lines = [f"{when}."]
    lead = next(lead for _, word, lead in VERDICTS if word == values["enough"].value)
    if (ENOUGH.search(text) or end is not None or focus) and not CUT.search(text) and not OPEN.search(text):
        by = f" to the end of {day_words(end - timedelta(seconds=1), now)}" if end else " until they pupate"
        if SHORT.search(text):
            lead = RUNNING_SHORT[values["enough"].value]
        lines[0] = f"{lead}, for {listed(focus or supply.cohorts)}{by}. {lines[0]}"
    if supply.middle.short and (hungry := shortage.short_ones(supply, supply.middle.short, nursery)):
        day = "now" if supply.middle.short <= now else f"from {day_words(supply.middle.short, now)}"
        lines.append(f"Short of it {day}: {listed(hungry)}.")
    return lines


def lots_wanted(supply: Supply, end: datetime | None, cutting: bool, nursery) -> list[shortage.Cutting]:
    """The lots to cut, from when it runs short, or from now on where nothing is known to be on hand."""
    if not supply.plan.ends:
        return []
    limit = end or nursery.now + shortage.AHEAD
    if not supply.told and not cutting:
        return []
    return shortage.cuttings(supply, nursery, limit)


def lot_lines(supply: Supply, lots: list[shortage.Cutting], cutting: bool, end: datetime | None, nursery) -> list[str]:
    """What to cut on which day."""
    now = nursery.now
    if not lots and cutting and supply.told and not supply.lacking:
        if shortage.chance_of_lasting(supply, end, (), nursery) >= SURE:
            return [f"Nothing needs to be cut of {supply.word}: what is on hand is enough until then."]
        early = f", it may be gone as early as {day_words(supply.early.gone, now)}" if supply.early.gone else ""
        return [
            f"By the middle of the estimates nothing needs to be cut of {supply.word} until then; have more within reach{early}."
        ]
    if not lots:
        return []
    days = shortage.lot_days(supply)
    first = lots[0]
    when = "today" if first.day <= now.date() else f"on {day_words(first.day, now)}"
    grams = f"about {rounded(first.grams.value)} g of leaf, {rounded(first.grams.low)}-{rounded(first.grams.high)}"
    lead = f"Cut {first.words} of {supply.word} {when} ({grams}{shortage.why_words(first)}), for {shortage.days_words(first)}"
    total = sum(lot.count for lot in lots)
    if len(lots) == 1:
        return [f"{lead}."]
    more = f"; {shortage.piece_words(total, first.unit)} in all by {day_words(lots[-1].until, now)}, in lots for {number(days)} day{'s' if days > 1 else ''} so that none wilts uneaten."
    return [lead + more, *(f"- {day_words(lot.day, now)}: {lot.words}, to {day_words(lot.until, now)}" for lot in lots)]


def need_line(supply: Supply, end: datetime | None, nursery) -> str:
    if not supply.who.groups:
        return ""
    amount = supply.plan.total if end is None else supply.plan.eaten_by(end, nursery.now)
    grams = supply.plan.spread.times(amount)
    span = f" to the end of {day_words(end - timedelta(seconds=1), nursery.now)}" if end else " until they pupate"
    each = ""
    if len(supply.cohorts) > 1 and supply.plan.ends:
        parts = [
            f"{label} {rounded(plan.total if end is None else plan.eaten_by(end, nursery.now))} g"
            for label, plan in supply.by_cohort.items()
        ]
        each = f": {listed(parts)}"
    whose = listed(supply.cohorts)
    verb = "eats" if len(supply.cohorts) == 1 else "eat"
    return (
        f"{capital(whose)} {verb} about {rounded(grams.value)} g of leaf{span} ({rounded(grams.low)}-{rounded(grams.high)}){each}; "
        f"{supply.who.words}."
    )


def kept_lines(supply: Supply, nursery) -> list[str]:
    """What wilts and what does not."""
    lines = []
    cut = [lot for lot in supply.lots if not lot.growing and naming.same_plant(lot.host, supply.hosts[0])]
    if cut and supply.keeps:
        spent = min(lot.cut for lot in cut) + timedelta(days=supply.keeps.high)
        card = (
            f"cut {naming.plant_word(supply.keeps.plant, nursery.knowledge)}"
            if supply.keeps.plant
            else "a cut stem, by the general rule,"
        )
        since = max(lot.cut for lot in cut)
        span = (
            number(supply.keeps.low)
            if supply.keeps.low == supply.keeps.high
            else f"{number(supply.keeps.low)}-{number(supply.keeps.high)}"
        )
        past = "should be wilted by now" if spent <= nursery.now else f"is spent by {day_words(spent, nursery.now)}"
        lines.append(f"{capital(card)} keeps {span} days in water: what was cut on {day_words(since, nursery.now)} {past}.")
    if any(lot.growing for lot in supply.lots):
        lines.append("Potted plants do not wilt; what grows back on them is slow and is not counted.")
    return lines


def left_out_lines(supply: Supply) -> list[str]:
    if not supply.not_counted:
        return []
    return [f"Not counted, because nothing on record says how much they eat: {listed(supply.not_counted)}."]


def _lot_item(lot: shortage.Cutting, supply: Supply, rank: int) -> dict:
    return {
        "name": lot.day.isoformat(),
        "label": f"{lot.words} of {supply.word}",
        "rank": rank,
        "due": lot.day.isoformat(),
        "until": lot.until.isoformat(),
        "host": supply.hosts[0],
        "count": lot.count,
        "unit": lot.unit,
        "g": round(lot.grams.value, 2),
        "low": round(lot.grams.low, 2),
        "high": round(lot.grams.high, 2),
        "record": f"cut {lot.words} of {supply.word}",
    }


def working(supply: Supply, nursery) -> list[str]:
    steps = []
    for species in supply.who.species:
        ration = appetite.ration(species, nursery.knowledge)
        steps += [*ration.steps, f"One larva eats {appetite.spread(ration.grams)} g of fresh leaf in all."]
    for lot in supply.lots:
        cut = "" if lot.growing else f", cut {lot.cut:%Y-%m-%d}"
        steps.append(
            f"On hand: {number(lot.amount)} {lot.said} of {naming.plant_word(lot.host, nursery.knowledge)} since {lot.since:%Y-%m-%d %H:%M}{cut}."
        )
    if supply.lots and not supply.lacking:
        steps.append(
            f"As they came that is {appetite.spread(supply.held)} g that gets eaten. Since it was stocked about "
            f"{rounded(max(supply.held.value - supply.middle.left, 0.0))} g have been eaten, or wilted; {rounded(supply.middle.left)} g are left."
        )
        steps.append("What wilts first is eaten first; what was eaten since is reckoned from the animals that live now.")
    if not supply.lacking and supply.who.groups:
        portion = appetite.portion(shortage.cut_unit(supply), None, supply.hosts, nursery.knowledge)
        steps.append(f"{portion.step} Lots are rounded up to whole ones.")
    steps += dict.fromkeys(f"Warmth: {group.warm.words}." for group in supply.who.groups if group.warm)
    return steps


def sources(supply: Supply, nursery) -> list[str]:
    rules = [rule for species in supply.who.species for rule in appetite.ration(species, nursery.knowledge).rules]
    rules += appetite.portion(shortage.cut_unit(supply), None, supply.hosts, nursery.knowledge).rules
    return [*sources_of(rules), *(supply.keeps.sources if supply.keeps else ())]
