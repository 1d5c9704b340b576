"""Which cohorts will be short of which plant and from when, what to cut by a day, and who feeds on what where nobody feeds on a plant."""

from __future__ import annotations

import re
from datetime import datetime, time, timedelta

from nurserytui.answers import naming, shortage, stock
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.food_needs import RESERVE
from nurserytui.answers.food_stock import CUT, LEVEL, TOPIC, gone_values, needed, sources, until, working
from nurserytui.answers.lasting_words import lasts_words
from nurserytui.answers.shortage import Supply
from nurserytui.answers.wording import OWN_RECORDS, cite, day_words, listed, number

ALL_STOCK = re.compile(
    r"\b(?:what|which|list|show|any|how much) .*\b(?:plants?|food|leaf|leaves|stems|cuttings|greens|stock)\b.*\b(?:in stock|on hand|in store|do i have|have i got|"
    r"there|left)\b|\bwhat(?:'?s| is| do i have) (?:left )?(?:in stock|on hand)\b"
)
"""A line that asks which plants are on hand, of all there are."""


def overview(request, text: str, nursery) -> Answer:
    """Which cohorts will be short of which plant and from when; or what to cut by a day."""
    now = nursery.now
    end = until(request, text, nursery)
    limit = end or now + shortage.AHEAD
    found = shortage.supplies(nursery)
    cutting = bool(CUT.search(text))
    short = sorted(
        (one for one in found if one.told and one.middle.short and one.middle.short < limit), key=lambda one: one.middle.short
    )
    untold = [one for one in found if not one.told and not one.lacking and one.plan.total > shortage.LITTLE]
    strange = [one for one in found if one.lacking]
    unnoted = shortage.unnoted(nursery)
    by = f"by {day_words(limit - timedelta(seconds=1), now)}"
    lines, items = [], []
    for one in [*short, *(untold if cutting else [])]:
        lots = shortage.cuttings(one, nursery, limit)
        if not lots:
            continue
        hungry = shortage.short_ones(one, one.middle.short or now, nursery)
        when = "now" if one.middle.short <= now else f"from {day_words(one.middle.short, now)}"
        told = shortage.state_words(one, now) if one.told else f"nothing of {one.word} on hand is recorded"
        lot = lots[0]
        cut_on = "today" if lot.day <= now.date() else f"on {day_words(lot.day, now)}"
        lines.append(
            f"- {one.word}: cut {lot.words} {cut_on}, for {shortage.whom(hungry)}, for {shortage.days_words(lot)} ({told}){shortage.why_words(lot)}"
            if cutting
            else f"- {shortage.whom(hungry)}: short of {one.word} {when} ({told}); cut {lot.words} {cut_on}, for {shortage.days_words(lot)}{shortage.why_words(lot)}"
        )
        items.append(_short_item(one, lot, hungry, len(items) + 1, now))
    if cutting:
        first = (
            f"Cut {by}: " + "; ".join(f"{item['label']} for {shortage.whom(tuple(item['cohorts']))}" for item in items) + "."
            if items
            else f"Nothing needs to be cut {by}, as far as it is told what is on hand."
        )
    elif items:
        first = (
            f"Short {by}: "
            + "; ".join(
                f"{shortage.whom(tuple(item['cohorts']))} of {item['host_word']}, {_from_words(item['short_from'], now)}"
                for item in items
            )
            + "."
        )
    elif any(one.told for one in found):
        first = f"None {by}, of those whose plant on hand is told."
    elif found or unnoted:
        first = "I cannot say: how much of any plant is on hand is not told."
    else:
        first = "None: there are no eggs or larvae to feed."
    if not cutting and untold:
        lines.append(
            "How much is on hand is not told of "
            + listed(f"{one.word} ({listed(one.cohorts)})" for one in untold)
            + f". Tell me, for example “I have 6 stems of {untold[0].word}”."
        )
    lines += [f"Of {one.word} I cannot say it: {one.lacking}." for one in strange]
    if unnoted:
        lines.append(f"What they feed on is not on record: {listed(unnoted)}.")
    status = "answered" if items or any(one.told for one in found) or not (found or unnoted) or cutting else "unknown"
    rules = [source for one in [*short, *untold] for source in sources(one, nursery)]
    return Answer(
        status,
        TOPIC,
        "\n".join(dict.fromkeys([first, *lines])),
        values=_overview_values(items, found, end, nursery),
        items=tuple(items),
        working=tuple(dict.fromkeys(step for one in [*short, *untold][:6] for step in working(one, nursery)))[:24],
        sources=(*cite(nursery.knowledge, rules), OWN_RECORDS),
        cautions=(RESERVE,),
        next=tuple([item["record"] for item in items[:2]] + ["what needs doing today"])[:3],
    )


def _from_words(day: str, now: datetime) -> str:
    return "now" if day <= now.date().isoformat() else f"from {day_words(day, now)}"


def _short_item(supply: Supply, lot: shortage.Cutting, hungry, rank: int, now: datetime) -> dict:
    short = max(supply.middle.short, lot.day and datetime.combine(lot.day, time()))
    gone = supply.middle.gone
    return {
        "name": supply.hosts[0],
        "label": f"{lot.words} of {supply.word}",
        "rank": rank,
        "host": supply.hosts[0],
        "host_word": supply.word,
        "cohorts": list(hungry),
        "runs_out": gone.date().isoformat() if gone and supply.told else None,
        "short_from": short.date().isoformat(),
        "due": lot.day.isoformat(),
        "until": lot.until.isoformat(),
        "count": lot.count,
        "unit": lot.unit,
        "g": round(lot.grams.value, 2),
        "low": round(lot.grams.low, 2),
        "high": round(lot.grams.high, 2),
        "reason": shortage.state_words(supply, now) if supply.told else "nothing on hand is recorded",
        "record": f"cut {lot.words} of {supply.word}",
    }


def _overview_values(items: list[dict], found: list[Supply], end: datetime | None, nursery) -> dict[str, Value]:
    grams = sum(one.plan.total if end is None else one.plan.eaten_by(end, nursery.now) for one in found if one.who.groups)
    low = sum(
        (one.plan.total if end is None else one.plan.eaten_by(end, nursery.now)) * one.plan.spread.low
        for one in found
        if one.who.groups
    )
    high = sum(
        (one.plan.total if end is None else one.plan.eaten_by(end, nursery.now)) * one.plan.spread.high
        for one in found
        if one.who.groups
    )
    dates = [item["runs_out"] for item in items if item["runs_out"]]
    reason = (
        "nothing that is told to be on hand runs out by then"
        if any(one.told for one in found)
        else "how much is on hand is not told"
    )
    return {
        "needed": Value(round(grams, 2), "g", round(low, 2), round(high, 2), LEVEL),
        "runs_out": Value(min(dates), "date") if dates else Value(None, "date", reason=reason),
        "short": Value(len({label for item in items for label in item["cohorts"]}), "cohorts"),
    }


def nobody(request, meant, nursery) -> Answer:
    """Nobody feeds on the plant named: who feeds on what, and what of it is on hand all the same."""
    said = request.hosts[0].said
    feeding = [f"{listed((*one.cohorts, *one.not_counted))} on {one.word}" for one in shortage.supplies(nursery)]
    first = f"Nobody here feeds on {said} now, by the records"
    first = f"{first}: {listed(feeding)}." if feeding else f"{first}: there are no eggs or larvae to feed."
    held = [lot for lot in stock.lots(nursery) if any(naming.same_plant(lot.host, name) for name in meant)]
    possible = [one for name in sorted(meant) if (one := shortage.could_eat(name, nursery)) is not None and one.cohorts]
    could = max(possible, key=lambda one: len(one.lots), default=None)
    if could is not None:
        return _could(could._replace(word=said.casefold()), first, request, nursery)
    lines = [first]
    if held:
        lines.append(
            f"On hand of it: {listed(f'{number(lot.amount)} {lot.said}' for lot in held)}; nobody here is known to eat it."
        )
    unnoted = shortage.unnoted(nursery)
    if unnoted:
        lines.append(f"What they feed on is not on record: {listed(unnoted)}.")
    lines.append("Say how many larvae of what would eat it, or which cohort, and I can reckon it.")
    reason = "no eggs or larvae feed on it by the records"
    return Answer(
        "unknown",
        TOPIC,
        "\n".join(lines),
        about={"host": request.hosts[0].name},
        values={"needed": Value(None, "g", reason=reason), "runs_out": Value(None, "date", reason=reason)},
        sources=(OWN_RECORDS,),
        next=(f"What eats {said}?", "Which cohort will be short of food?"),
    )


def _could(supply: Supply, first: str, request, nursery) -> Answer:
    """Nobody is recorded on the plant, but some here could eat it: how long it would last them, or what to cut for them."""
    now = nursery.now
    lots = shortage.cuttings(supply, nursery, now + shortage.AHEAD, start=None if supply.told else now)
    if not supply.told and not CUT.search(request.plain or request.text):
        lots = []
    lines = [f"{listed(supply.cohorts)} could eat {supply.word}, but by the records nobody here feeds on it now."]
    if supply.lacking:
        lines.append(f"How long it would last I cannot say: {supply.lacking}.")
    elif supply.told:
        lines.append(f"On hand: {shortage.stock_words(supply)}. For {listed(supply.cohorts)}{lasts_words(supply, nursery)}.")
    if lots and not supply.lacking:
        on = "today" if lots[0].day <= now.date() else f"on {day_words(lots[0].day, now)}"
        lines.append(f"For them cut {lots[0].words} {on}, for {shortage.days_words(lots[0])}{shortage.why_words(lots[0])}.")
    lines.append(
        f"When they are given it, send “fed {supply.cohorts[0]} {supply.word}”; some take a new plant badly, so see that they eat."
    )
    lines.append(first)
    return Answer(
        "answered" if lots or (supply.told and not supply.lacking) else "unknown",
        TOPIC,
        "\n".join(lines),
        about={"host": request.hosts[0].name},
        values=needed(supply, None, nursery)
        | (
            {}
            if supply.lacking
            else gone_values(supply, None, (), nursery)
            if supply.told
            else {"runs_out": Value(None, "date", reason="how much is on hand is not told")}
        ),
        working=tuple(dict.fromkeys(working(supply, nursery)))[:12],
        sources=(*cite(nursery.knowledge, sources(supply, nursery)), OWN_RECORDS),
        cautions=(RESERVE,),
        next=(f"fed {supply.cohorts[0]} {supply.word}", f"Can {supply.cohorts[0]} eat {supply.word}?"),
    )


def all_stock(nursery) -> Answer:
    """Every plant on hand by the records, with how long it lasts those who eat it."""
    now = nursery.now
    lines, items, told = [], [], set()
    for one in shortage.supplies(nursery):
        if one.told:
            told |= {lot.host for lot in one.lots}
            lasts = "" if one.lacking or not one.cohorts else f"; {listed(one.cohorts)}{lasts_words(one, nursery)}"
            lines.append(f"- {shortage.stock_words(one)}{lasts}")
            items.append(
                {"name": one.hosts[0], "label": shortage.stock_words(one), "host": one.hosts[0], "cohorts": list(one.cohorts)}
            )
    for lot in stock.lots(nursery):
        if lot.host not in told:
            word = naming.plant_word(lot.host, nursery.knowledge)
            lines.append(f"- {number(lot.amount)} {lot.said} of {word}; nobody here eats it by the records")
            items.append(
                {"name": lot.host, "label": f"{number(lot.amount)} {lot.said} of {word}", "host": lot.host, "cohorts": []}
            )
    held = [item["label"] for item in items]
    first = (
        f"On hand by the records: {listed(held)}."
        if held
        else "No plant on hand is recorded. Tell me, for example “I have 6 stems of fennel”."
    )
    dates = [one.middle.gone.date().isoformat() for one in shortage.supplies(nursery) if one.told and one.middle.gone]
    return Answer(
        "answered",
        TOPIC,
        "\n".join([first, *lines]),
        values={
            "count": Value(len(items), "plants"),
            "needed": Value(None, "g", reason="it is asked what is on hand"),
            "runs_out": Value(max(min(dates), now.date().isoformat()), "date")
            if dates
            else Value(None, "date", reason="nothing told to be on hand runs out"),
        },
        items=tuple({**item, "rank": rank} for rank, item in enumerate(items, 1)),
        sources=(OWN_RECORDS,),
        next=("Which cohort will be short of food?",),
    )
