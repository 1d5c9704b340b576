"""How long until animals change."""

from __future__ import annotations

import re
from datetime import datetime

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.development import ROOM, basis
from nurserytui.answers.fates import became
from nurserytui.answers.instar_ahead import target
from nurserytui.answers.outlook import EVENT_AFTER, LAST_STAGE, LINE_OF_LIFE, Forecast, outlook, warmer_days
from nurserytui.answers.selection import elsewhere, join, standing, trouble, wanted
from nurserytui.answers.wording import (
    OWN_RECORDS,
    PLURAL,
    ask,
    cite,
    counted,
    day_words,
    number,
    species_label,
    stage_count,
    unknown,
)

LEVEL = 0.9
DONE = {"hatch": "hatched", "moult": "moulted", "prepupate": "hung up", "pupate": "pupated", "emerge": "emerged"}
BASES = {
    "thresholds": "degree-day thresholds of the species",
    "observed": "observed durations of the species",
    "relatives": "what its relatives need (the species itself has no numbers)",
}
LONGEST = 366
"""Days beyond which growth that slow is told as standing still: it is the season that will end it, not the sum of such days."""
SHORT_LIST = 5
"""Cohorts up to which each one's answer to 2 °C more is worked out."""


# stage-forecast -----------------------------------------------------------------------------------------------------------


def stage_forecast(request, nursery) -> Answer:
    """When the animals meant will hatch, moult, pupate or emerge: first, middle and last, each with its interval."""
    topic = "stage-forecast"
    stopped = trouble(request, nursery, topic)
    if stopped:
        return stopped
    to = target(request, nursery)
    if to == 1:
        return stage_forecast(request._replace(event="hatch", instar=None, stages=("egg",)), nursery)
    if to:
        from nurserytui.answers.moults import moults

        return moults(request._replace(event="moult", instar=None), nursery, to)
    if request.event == "moult":
        from nurserytui.answers.moults import moults

        return moults(request, nursery)
    found = _forecasts(request, nursery, request.celsius)
    if not found:
        return _nothing_to_expect(request, nursery)
    found.sort(key=lambda one: one.median.at)
    if len(found) > 1 and request.period is not None and not request.cohorts:
        soon = [one for one in found if one.first.at <= request.period.end]
        return _several(request, nursery, soon or found, bool(soon))
    return _one(request, nursery, found[0]) if len(found) == 1 else _several(request, nursery, found, None)


def _forecasts(request, nursery, celsius) -> list[Forecast]:
    want = wanted(request, nursery)
    event = request.event if request.event in LAST_STAGE else ""
    groups: dict[tuple[str, str, str], None] = {}
    for key, _ in nursery.heads():
        if key.stage in LINE_OF_LIFE and want._replace(stages=()).key_fits(key, nursery.ledger):
            groups[(key.cohort, want.mark and key.mark, key.stage)] = None
    found, place = [], want.enclosures[0] if len(want.enclosures) == 1 else None
    for cohort, mark in dict.fromkeys((cohort, mark) for cohort, mark, _ in groups):
        stages = [stage for label, own, stage in groups if (label, own) == (cohort, mark)]
        chosen = _stage_for(event, stages, want.stages)
        if chosen is None:
            continue
        found.append(outlook(nursery, cohort, event or EVENT_AFTER[chosen], place, mark, celsius, _together(event, chosen)))
    return [one for one in found if one and one.days_left < LONGEST]


def _together(event: str, stage: str) -> tuple[str, ...]:
    """The stages forecast as one: larvae and prepupae of one cohort are one answer to when it pupates."""
    return ("larva", "prepupa") if event in ("", "pupate") and stage == "larva" else (stage,)


def _stage_for(event: str, stages: list[str], said: tuple[str, ...]) -> str | None:
    """The stage whose animals the question is about: the one said, else the last one short of the event, else the first to change."""
    possible = [stage for stage in LINE_OF_LIFE if stage in stages]
    if event:
        possible = possible[
            : next(
                (at for at, stage in enumerate(possible) if LINE_OF_LIFE.index(stage) > LINE_OF_LIFE.index(LAST_STAGE[event])), 9
            )
        ]
    named = [stage for stage in possible if stage in said]
    if not possible:
        return None
    if named:
        return named[0]
    if event == "pupate" and "larva" in possible:
        return "larva"
    return possible[-1] if event else possible[0]


def _one(request, nursery, one: Forecast) -> Answer:
    known = nursery.ledger.cohorts[one.cohort]
    who = f"{one.cohort} ({stage_count(one.count, one.stage)}, {species_label(known.species, nursery.knowledge)}, {one.enclosure or 'no enclosure noted'})"
    values, cautions = _values(one, nursery.now), ()
    judged = lead = ""
    late = None
    if one.overdue or "give-up" in request.cues:
        from nurserytui.answers import lateness

        late = lateness.lateness(nursery, one)
        judged = join(_unlikely(one), lateness.words(late, nursery))
        lead = lateness.until_words(late, nursery) if "give-up" in request.cues else ""
        values |= lateness.values(late)
        cautions = (
            "Time alone proves no death: look first, and keep what is doubtful apart and dated rather than throw it out.",
        )
    elif one.spared is not None:
        judged = "Others of the clutch have only just hatched: the rest are not late yet."
    elif one.nearly:
        judged = join("That is close to overdue, so look at them.", _unlikely(one))
    elif one.event == "emerge":
        from nurserytui.answers.lateness import may_rest

        judged, _ = may_rest(nursery, one.cohort)
    working, sources = rests_on(nursery, one, late)
    text = join(lead, _headline(one, who, nursery.now), _spread(one, nursery.now), _already(one), judged, _shift(one))
    about = {"cohort": one.cohort, "species": known.species, "stage": one.stage, "event": one.event}
    if one.enclosure:
        about["enclosure"] = one.enclosure
    if request.mark:
        about["mark"] = request.mark
    return Answer(
        "answered", "stage-forecast", text, about, values, (_item(one, nursery),), working,
        (OWN_RECORDS, *cite(nursery.knowledge, sources)), cautions,
        next=("why", f"what if it is {number(one.warmth.ahead + 2, 0)} C", f"history of {one.cohort}"),
    )  # fmt: skip


def rests_on(nursery, one: Forecast, late=None) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """(steps, ids of sources) that a forecast rests on, with those of its lateness where it is overdue or `late` was judged."""
    steps, sources = [*one.working, *_taken(one, nursery)], [*one.sources]
    if one.overdue and late is None:
        from nurserytui.answers.lateness import lateness

        late = lateness(nursery, one)
    if late is not None:
        steps += [*late.working, late.sum]
        sources += late.sources
    elif one.event == "emerge" and one.spared is None and not one.nearly:
        from nurserytui.answers.lateness import may_rest

        steps.append(may_rest(nursery, one.cohort)[1])
    return tuple(steps), tuple(sources)


def _taken(one: Forecast, nursery, warmer: bool = True) -> list[str]:
    """On which numbers and which temperature a forecast rests, and what 2 °C more would do."""
    species = nursery.ledger.cohorts[one.cohort].species
    end = LAST_STAGE.get(one.event, "larva")
    spanned = LINE_OF_LIFE[LINE_OF_LIFE.index(one.stage) : LINE_OF_LIFE.index(end) + 1] or (one.stage,)
    kinds: dict[str, list[str]] = {}
    for stage in spanned:
        found = basis(nursery.knowledge, species, stage)
        if found:
            kinds.setdefault(BASES.get(found.kind, found.kind), []).append(stage)
    told = "; ".join(f"{kind} for the {' and the '.join(stages)}" for kind, stages in kinds.items())
    asked = "as you asked" in one.warmth.words
    measured = "as you asked" if asked else "assumed: nothing is measured there" if one.warmth.assumed else "as it was lately"
    steps = [f"Basis: {told}.", f"Temperature taken for the days ahead: {number(one.warmth.ahead)} °C on average ({measured})."]
    days = (one.warmer if one.warmer is not None else warmer_days(nursery, one) if one.which else None) if warmer else None
    if days is not None:
        steps.append(f"2 °C warmer from now on would bring the middle forward by {number(max(days, 0.0))} days.")
    return steps


def _headline(one: Forecast, who: str, now: datetime) -> str:
    days = one.days_left
    if one.overdue:
        step = EVENT_AFTER[one.stage]
        then = "do so any day," if step == one.event else f"{one.event}"
        return f"{who}: overdue to {step}. Those that live and develop should {then} about {day_words(one.median.at, now)}."
    if one.to and one.already_chance > 0.5:
        return f"{who}: by age in instar {one.to} already ({one.already_chance:.0%}), though none is recorded in it. Look, and note it."
    if one.count == 1:
        return f"{who} should {_does(one)} about {day_words(one.median.at, now)}, {_in_days(days)}."
    return f"{who}: the middle one should {_does(one)} about {day_words(one.median.at, now)}, {_in_days(days)}."


def _does(one: Forecast) -> str:
    return f"be in instar {one.to}" if one.to else one.event


def _in_days(days: float) -> str:
    if days < 1:
        hours = round(days * 24)
        return "any time now" if hours < 3 else f"in about {hours} hours"
    return f"in about {counted(round(days), 'day')}"


def _spread(one: Forecast, now: datetime) -> str:
    if one.to and one.already_chance > 0.5:
        return ""
    if one.count == 1:
        return f"Nine times in ten between {day_words(one.median.low, now)} and {_till(one.median.high, now)}."
    last = f"the last before {_day(one.last.high)}" if one.last.high else "the last cannot be foreseen"
    return (
        f"First {day_words(one.first.at, now)}, last {_till(one.last.at, now)}; nine times in ten the first comes after "
        f"{one.first.low:%Y-%m-%d} and {last}."
    )


def _till(moment: datetime | None, now: datetime) -> str:
    return day_words(moment, now) if moment else "later than can be foreseen"


def _unlikely(one: Forecast) -> str:
    chance = max(one.overdue_chance, 0.001)
    return f"Of living ones that develop straight on, only {chance:.1%} would still be {PLURAL[one.stage]} by now."


def _already(one: Forecast) -> str:
    if one.to:
        return ""
    if one.event == "moult":
        return f"That is the end of instar {one.instar}, by now the likely one. Look which instar it is in, and note it: the date gets surer."
    if one.already_chance > 0.5:
        if one.overdue:
            return "Nobody has looked for long: what follows holds for those that are found unchanged. Go and look first."
        return f"Some may have {DONE[one.event]} since you last looked ({one.already_chance:.0%} for each): go and look."
    return ""


def _shift(one: Forecast) -> str:
    return (
        "Nothing was measured here, so the room's temperature is an assumption: record one and the dates get surer."
        if one.warmth.assumed
        else ""
    )


def _values(one: Forecast, now: datetime) -> dict[str, Value]:
    values = {
        name: Value(_day(moment.at), "date", _day(moment.low), _day(moment.high), LEVEL, "" if moment.at else BEYOND)
        for name, moment in (("first", one.first), ("median", one.median), ("last", one.last))
    }
    low, high = ((at - now).total_seconds() / 86400 if at else None for at in (one.median.low, one.median.high))
    values["days_left"] = Value(round(one.days_left, 2), "day", low and round(low, 2), high and round(high, 2), LEVEL)
    values["still_unchanged_chance"] = Value(round(one.overdue_chance, 4), "fraction")
    return values


def _short(moment: datetime | None) -> str:
    return f"{moment:%d %b}" if moment else "not foreseen"


BEYOND = "it lies farther ahead than can be foreseen at these temperatures"


def _day(moment: datetime | None) -> str | None:
    return moment.date().isoformat() if moment else None


def _item(one: Forecast, nursery) -> dict:
    known = nursery.ledger.cohorts[one.cohort]
    label = f"{stage_count(one.count, one.stage)} of {one.cohort}, {species_label(known.species, nursery.knowledge)}"
    return {
        "name": one.cohort, "label": label, "event": one.event, "stage": one.stage, "count": one.count, "enclosure": one.enclosure,
        "first": _day(one.first.at), "due": _day(one.median.at), "last": _day(one.last.at), "overdue": one.overdue,
    }  # fmt: skip


def _several(request, nursery, found: list[Forecast], in_time: bool | None) -> Answer:
    now = nursery.now
    lead = found[0]
    if in_time is None:
        start = f"Next: {lead.cohort} should {_does(lead)} about {day_words(lead.median.at, now)}."
    elif in_time:
        start = f"Yes, likely: {lead.cohort} should {_does(lead)} from {day_words(lead.first.at, now)} on."
    else:
        start = f"None is expected by {day_words(request.period.end, now)}; the next is {lead.cohort}, about {day_words(lead.median.at, now)}."
    lines = [
        f"  {one.cohort}: {stage_count(one.count, one.stage)} {one.event} {one.first.at:%d %b} - {one.median.at:%d %b} - {_short(one.last.at)}"
        + (" (overdue)" if one.overdue else "")
        for one in found
    ]
    sources = tuple(dict.fromkeys(source for one in found for source in one.sources))
    about = {"cohort": lead.cohort, "event": lead.event, "stage": lead.stage}
    if len({nursery.ledger.cohorts[one.cohort].species for one in found}) == 1:
        about["species"] = nursery.ledger.cohorts[lead.cohort].species
    return Answer(
        "answered", "stage-forecast", join(start, "First, middle and last of each:", *lines), about, _values(lead, now),
        tuple(_item(one, nursery) for one in found),
        tuple(
            f"{one.cohort}: {step}"
            for one in found
            # A chain of stages is forecast anew for 2 °C more: not for a long list.
            for step in (*one.working, *_taken(one, nursery, one is lead or len(found) <= SHORT_LIST))
        ),
        (OWN_RECORDS, *cite(nursery.knowledge, sources)),
        next=tuple(f"when will {one.cohort} {one.event}" for one in found[:3]),
    )  # fmt: skip


def _nothing_to_expect(request, nursery) -> Answer:
    topic = "stage-forecast"
    want = wanted(request, nursery)
    event = request.event or "change"
    here = [(key, count) for key, count in nursery.heads() if want._replace(stages=()).key_fits(key, nursery.ledger)]
    if here and all(nursery.ledger.cohorts[key.cohort].species in ("", "unknown") for key, _ in here):
        label = here[0][0].cohort
        return unknown(
            topic,
            f"I cannot say when {label} will {event}: its species is not known yet. Tell me what it is, for example “{label} is red admiral”.",
            about={"cohort": label},
            next=(f"history of {label}",),
        )
    who = (
        " and ".join(want.cohorts) or (species_label(want.species[0], nursery.knowledge) if want.species else "") or "the nursery"
    )
    if not here:
        from nurserytui.answers.elapsed import asks_how_long, how_long

        told = how_long(request, nursery, want) if asks_how_long(request, want) else None
        if told is not None:
            return told
        if re.search(r"\b(?:came|did|was|were|ever)\b", request.plain) or _has_been(request, want, nursery):
            return _past(request, nursery)
        if want.species and not any(cohort.species in want.species for cohort in nursery.ledger.cohorts.values()):
            from nurserytui.answers.durations import stage_duration

            return stage_duration(request._replace(topic="stage-duration"), nursery)
        if moved := elsewhere(nursery, want):
            labels = dict.fromkeys(key.cohort for key, _ in standing(nursery, want._replace(stages=(), enclosures=())))
            return ask(topic, moved, tuple(f"when will {label} {event}" for label in labels), about=_whose(want))
        gone = became(nursery, want) if want.animals else ""
        return unknown(
            topic,
            f"There are no living animals of {who} in the records now, so nothing is expected."
            + (f" They are {gone}." if gone else ""),
            about=_whose(want),
            next=(f"history of {who}", "headcount"),
        )
    still = _standing_still(request, nursery, here) if event != "moult" else None
    if still:
        return still
    stages = ", ".join(dict.fromkeys(stage_count(count, key.stage) for key, count in here))
    about = {"cohort": here[0][0].cohort} if len({key.cohort for key, _ in here}) == 1 else {}
    last = LINE_OF_LIFE.index(LAST_STAGE.get(request.event, "pupa"))
    if any(key.stage in LINE_OF_LIFE and LINE_OF_LIFE.index(key.stage) <= last for key, _ in here):
        return unknown(topic, f"When {who} will {event} cannot be foreseen: there {'is' if sum(count for _, count in here) == 1 else 'are'} {stages}.", about=about, next=(f"history of {here[0][0].cohort}",))  # fmt: skip
    if _has_been(request, want, nursery):
        return _past(request, nursery)
    return Answer(
        "unknown", topic, f"Nothing of {who} is left to {event}: there {'is' if sum(count for _, count in here) == 1 else 'are'} {stages}.", about,
        next=(f"when will {here[0][0].cohort} change next",),
    )  # fmt: skip


HAPPENED = {"hatch": "hatched", "moult": "moulted", "prepupate": "prepupated", "pupate": "pupated", "emerge": "emerged"}


def _has_been(request, want, nursery) -> bool:
    """Whether the date of a change that nothing is left for (`E hatch date`) is on record."""
    done = HAPPENED.get(request.event)
    dated = re.search(r"\b(?:dates?|when|day)\b", request.plain) and not re.search(
        r"\b(?:will|due|next|should|until)\b", request.plain
    )
    chronicle = nursery.ledger.chronicle
    return bool(done and dated) and any(
        posting.event.what == done for label in want.cohorts for posting in chronicle.of_cohort(label)
    )


def _past(request, nursery) -> Answer:
    from nurserytui.answers.history import history

    return history(request._replace(topic="history", event=HAPPENED.get(request.event, "")), nursery)


def _whose(want) -> dict[str, str]:
    return {"cohort": want.cohorts[0]} if len(want.cohorts) == 1 else {}


def _standing_still(request, nursery, here) -> Answer | None:
    """For animals that could change but that nothing is expected of, as far as anyone can look ahead: it is too cold, or too hot."""
    from nurserytui.answers.warmth import warmth

    for key, count in here:
        last = LINE_OF_LIFE.index(LAST_STAGE.get(request.event, "pupa"))
        species = nursery.ledger.cohorts[key.cohort].species
        if key.stage not in LINE_OF_LIFE or LINE_OF_LIFE.index(key.stage) > last or species in ("", "unknown"):
            continue
        found = basis(nursery.knowledge, species, key.stage)
        warm = warmth(nursery, key.enclosure, nursery.now, request.celsius)
        if found is None or found.stage.curve.rate(warm.ahead) * LONGEST > 1:
            continue
        event = request.event or EVENT_AFTER[key.stage]
        hot = warm.ahead > ROOM
        limit = "" if hot else f" (its lower limit is about {number(found.base)} °C)"
        return unknown(
            "stage-forecast",
            f"{stage_count(count, key.stage)} of {key.cohort} will not {event} as long as it stays this {'hot' if hot else 'cold'}: at "
            f"{number(warm.ahead)} °C hardly anything grows{limit}."
            + (
                " They die of such heat: bring them into the cool at once."
                if hot
                else " Ask what happens in the warmth, for example."
            ),
            about={"cohort": key.cohort, "species": species, "stage": key.stage, "event": event},
            working=(f"{found.words}.", f"Warmth: {warm.words}.", *warm.steps),
            next=(f"when will {key.cohort} {event} at {number(ROOM, 0)} C",),
        )
    return None
