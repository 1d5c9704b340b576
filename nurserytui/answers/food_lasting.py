"""Whether the plant on hand lasts, and when it is gone or wilted."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import NamedTuple

from nurserytui.answers import appetite, naming, provision
from nurserytui.answers.answer import Value
from nurserytui.answers.appetite import rounded
from nurserytui.answers.wording import day_words, number
from nurserytui.biology.ranges import Range, chance_above, exactly

LEVEL = 0.9
VERDICTS = (
    (0.9, "yes", "Yes"),
    (0.65, "probably", "Probably yes"),
    (0.35, "doubtful", "It is doubtful"),
    (0.1, "probably not", "Probably not"),
    (-1.0, "no", "No"),
)
"""Least chance of lasting, the word for it, and how the answer begins."""
LEAST = 1e-9


class Verdict(NamedTuple):
    lines: list[str]
    values: dict[str, Value]
    steps: list[str]


def verdict(needs) -> Verdict:
    """Yes or no first, with the numbers: what is eaten in the days asked about against what is on hand."""
    stock = provision.on_hand(needs.plant.supply, needs.hosts, needs.nursery)
    if stock is None:
        plant = "milkweed"
        if needs.request.hosts:
            plant = needs.request.hosts[0].said
        elif needs.hosts:
            plant = naming.plant_word(needs.hosts[0], needs.knowledge)
        return _cannot_say("how much is on hand is not told", f" Tell me, for example “stocked 6 plants of {plant}”.")
    if stock.unit not in (*appetite.PER_PIECE, "g", "cm2"):
        return _cannot_say(f"the stock is told in {stock.said}, and how much leaf that is I do not know")
    held, spread, step = _held(needs, stock)
    said = appetite.ONE.get(stock.said, stock.said.removesuffix("s")) if stock.amount == 1 and stock.said != "g" else stock.said
    what = f"{number(stock.amount)} {said}"
    if needs.hosts:
        what += f" of {naming.plant_word(needs.hosts[0], needs.knowledge)}"
    used = 0.0 if stock.told else provision.used_since(needs.who, needs.rations, stock.since, needs.nursery)
    left = max(held.value - used, 0.0)
    steps = [f"On hand: {what}; {step} That is {appetite.spread(held)} g that gets eaten."]
    if used > 0:
        steps.append(f"Since it was stocked about {rounded(used)} g have been eaten, by how the animals grew since.")
    if needs.unknown:
        return Verdict([], {"runs_out": Value(None, "date", reason=needs.lacking())}, steps)
    if left <= held.value * 0.001:
        today = needs.now.date().isoformat()
        line = f"No: the {what} of {day_words(stock.since, needs.now)} should be eaten up by now."
        return Verdict([line], {"runs_out": Value(today, "date", today, None, LEVEL), "enough": Value("no")}, steps)
    held = held.times(left / held.value)
    need = max(needs.amount(), LEAST)
    chance = chance_above(provision.margin(held, need, spread))
    word, lead = next((word, lead) for least, word, lead in VERDICTS if chance >= least)
    gone = _runs_out(needs, held, spread)
    values = {"enough": Value(word), "enough_chance": Value(round(chance, 2), "fraction"), "runs_out": gone}
    lines = [_compared(needs, lead, what, held, spread.times(need), stock), *_gone_words(needs, gone, chance)]
    if stock.unit != "plants":
        wilting, spent = _wilting(needs, stock, gone)
        lines += wilting
        values.update(spent)
    return Verdict(lines, values, steps)


def _cannot_say(reason: str, more: str = "") -> Verdict:
    return Verdict([f"Whether it will last I cannot say: {reason}.{more}"], {"runs_out": Value(None, "date", reason=reason)}, [])


def _held(needs, stock: provision.Stock) -> tuple[Range, Range, str]:
    """(leaf in the stock, spread of the need against it, how it was reckoned)."""
    if by_plants(needs, stock):
        whole = needs.rations[needs.who.species[0]].grams.value
        step = f"one larva eats about {number(needs.rule.value)} {appetite.ONE['plants']} in all."
        return exactly(whole * stock.amount / needs.rule.value), needs.plants_spread(), step
    portion = needs.portion(stock.unit)
    needs.rules += portion.rules
    return portion.grams.times(stock.amount), needs.plan.spread, portion.step


def by_plants(needs, stock: provision.Stock) -> bool:
    """Whether the stock is weighed in plants against a count of plants for one larva."""
    return stock.unit == "plants" and needs.rule is not None and not needs.plant.size


def _compared(needs, lead: str, what: str, held: Range, need: Range, stock: provision.Stock) -> str:
    eat = "eats" if needs.single() else "eat"
    upto = needs.span() if needs.window is not None and needs.plan.ends else f" until {needs.until()}"
    be = "is" if stock.amount == 1 or stock.unit in ("g", "cm2") else "are"
    if by_plants(needs, stock):
        plants = needs.in_unit(need, "plants")
        verb = "needs" if needs.single() else "need"
        return f"{lead}: {needs.name()} {verb} about {needs.said(plants, 'plants')}{upto}, and {what} {be} on hand."
    return (
        f"{lead}: {needs.name()} {eat} about {needs.said(need, 'g')}{upto}, and {what} {be} about {rounded(held.value)} g of leaf "
        f"that gets eaten ({rounded(held.low)}-{rounded(held.high)})."
    )


def _gone_words(needs, gone: Value, chance: float) -> list[str]:
    if gone.value:
        early = f", perhaps as early as {day_words(gone.low, needs.now)}" if gone.low and gone.low != gone.value else ""
        return [f"It would be gone about {day_words(gone.value, needs.now)}{early}."]
    if not needs.plan.ends:
        return [f"When it would be gone I cannot say: {gone.reason}."] if chance < VERDICTS[1][0] else []
    risk = f", though it may be gone as early as {day_words(gone.low, needs.now)}" if gone.low else ""
    return [f"It should last until {needs.until()}{risk}."]


def _runs_out(needs, held: Range, spread: Range) -> Value:
    if not needs.plan.ends:
        return Value(None, "date", reason="how fast these larvae grow is not known")
    share = provision.margin(held, 1.0, spread)
    dates = [needs.plan.when_gone(grams, needs.now) for grams in (share.value, share.low, share.high)]
    value, low, high = (when.date().isoformat() if when else None for when in dates)
    if value is None:
        return Value(None, "date", low, None, LEVEL, "it lasts until they pupate")
    return Value(value, "date", low, high, LEVEL)


def _wilting(needs, stock: provision.Stock, gone: Value) -> tuple[list[str], dict[str, Value]]:
    """When cut plant is spent before it is eaten, by the plant's cutting card."""
    found = next((card for host in needs.hosts if (card := needs.knowledge.cutting(host))), None)
    if found is None:
        return [], {}
    name, card = found
    first, last = (stock.since + timedelta(days=days) for days in (card.days_low, card.days_high))
    spent = {"spent": Value(last.date().isoformat(), "date", first.date().isoformat(), last.date().isoformat())}
    needs.rules.append(card)
    until = datetime.fromisoformat(gone.value) if gone.value else needs.plan.ends[-1] if needs.plan.ends else needs.now
    if needs.window is not None:
        until = min(until, needs.window.end - timedelta(seconds=1))
    if until.date() <= first.date():
        return [], spent
    keeps = f"{number(card.days_low)}-{number(card.days_high)}"
    return [
        f"But cut {naming.plant_word(name, needs.knowledge)} keeps only about {keeps} days in water, to {day_words(last, needs.now)} "
        "at most: what is not eaten by then is spent, so cut it in smaller lots."
    ], spent
