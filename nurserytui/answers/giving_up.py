"""The day to give up on eggs: from how long they take at the temperatures they had and will have, beside the house rule of days."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import NamedTuple

from nurserytui.answers import lateness
from nurserytui.answers.answer import Value
from nurserytui.answers.development import ROOM, basis
from nurserytui.answers.outlook import Forecast, outlook
from nurserytui.answers.wording import counted, day_words, number, species_label
from nurserytui.biology.overdue import BOUND

WORDS = {
    "a": 1, "one": 1, "two": 2, "couple of": 2, "three": 3, "few": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9,
    "ten": 10, "eleven": 11, "twelve": 12, "fourteen": 14, "fifteen": 15, "twenty": 20, "thirty": 30,
}  # fmt: skip
DAYS = re.compile(rf"\b(\d+(?:\.\d+)?|{'|'.join(sorted(WORDS, key=len, reverse=True))})\s*(days?|nights?|weeks?|months?)\b")
PER = {"d": 1, "n": 1, "w": 7, "m": 30}
COOL, WARM = 18.0, 20.0
"""°C: below the first the house rule's longer wait holds, from the second up the shorter one."""
FEW = f"fewer than {number(BOUND * 100)} in 100"
LATER = "Where the two differ, keep what looks whole apart until the later one."


class Found(NamedTuple):
    """What is to be said of the day to give up."""

    values: dict[str, Value]
    lines: list[str]
    sources: tuple[str, ...]
    working: list[str]


class House(NamedTuple):
    """The house rule: days in an ordinary room and in a cool one, counted from laying, or from finding if that is unknown."""

    warm: float
    cool: float
    chosen: float
    """The one of the two that holds by the temperature said or measured; without one the shorter."""
    text: str


def give_up(species, label: str, request, nursery) -> Found:
    """The day for a cohort's eggs, or the days for a species; the house rule stands beside what is computed, and in its place without it."""
    if species is None:
        values = {"give_up": Value(None, reason="the species is unknown")} if label else {}
        return Found(values, [], (), [])
    house = _house(species, label, request, nursery)
    return _of_cohort(species, label, house, request, nursery) if label else _of_species(species, house, request, nursery)


def _house(species, label: str, request, nursery) -> House | None:
    if species.give_up_warm is None:
        return None
    warm, cool = species.give_up_warm, species.give_up_cool or species.give_up_warm * 1.5
    name = species_label(species.scientific, nursery.knowledge)
    warmth = warmth_of(label, request, nursery)
    text = (
        f"House rule: give up on {name} eggs after {number(warm)} days in an ordinary room (20-26 °C), {number(cool)} days in a cool one (below "
        f"{number(COOL)} °C), if there is no dark head spot and no larva by then."
    )
    return House(warm, cool, cool if warmth is not None and warmth < WARM else warm, text)


# A cohort -----------------------------------------------------------------------------------------------------------------


def _of_cohort(species, label: str, house: House | None, request, nursery) -> Found:
    cohort, now = nursery.ledger.cohorts[label], nursery.now
    start = date.fromisoformat(cohort.first_when[:10])
    how = "laid" if cohort.origin == "laid" else "found"
    left = sum(heads for _, heads in nursery.heads(cohort=label, stage="egg"))
    ruled = house and start + timedelta(days=round(house.chosen))
    values, lines, sources, working = {}, [], (), []
    if house:
        ends = [(start + timedelta(days=round(days))).isoformat() for days in (house.warm, house.cool)]
        values["house_rule"] = Value(ruled.isoformat(), "", *ends)
        working.append(
            f"House rule: cohort {label} was {how} on {start.isoformat()}; {start.isoformat()} + {number(house.chosen)} days = {ruled.isoformat()}."
        )
        sources = species.give_up_sources
    expected = outlook(nursery, label, "hatch", celsius=request.celsius, stages=("egg",)) if left else None
    if expected is None and left and basis(nursery.knowledge, species.scientific, "egg"):
        reason = "it is too cold (or too hot) there for eggs to develop, so that days do not count"
        lines = [f"There is no day to give up on the {counted(left, 'egg')} of cohort {label}: {reason}."]
        values = {"give_up": Value(None, reason=reason), **values}
        return Found(values, [*lines, house.text] if house else lines, sources, working)
    if expected is None:
        return _by_the_house(values, lines, sources, working, label, left, ruled, how, start, house, nursery)
    late = lateness.lateness(nursery, expected)
    values = {"give_up": lateness.give_up_value(late)._replace(unit=""), **values}
    if late.give_up is None or late.give_up.at is None:
        lines.append(lateness.until_words(late, nursery))
    else:
        day = late.give_up.at.date()
        values["give_up_days"] = Value((day - start).days, "day", *_days_since(start, late.give_up[1:]))
        lines.append(_sentence(label, left, late, how, start, now))
    if expected.overdue:
        lines.append(lateness.chances_words(late))
        working.insert(0, late.sum)
    lines += _beside(late, house, ruled, how)
    working = [*_temperatures(expected), *late.working, *working]
    return Found(values, lines, (*expected.sources, *late.sources, *sources), working)


def _sentence(label: str, left: int, late: lateness.Lateness, how: str, start: date, now) -> str:
    day, low, high = (moment and moment.date() for moment in late.give_up)
    away = (day - now.date()).days
    past = "that day has passed" if away < 0 else "today" if away == 0 else f"{counted(away, 'day')} from now"
    ends = f" (early: {low:%Y-%m-%d}, cautious: {high:%Y-%m-%d})" if low and high else ""
    return (
        f"Give up on the {counted(left, 'egg')} of cohort {label} on {day_words(day, now)}, {past}{ends}: of those still whole then {FEW} are "
        f"alive. They were {how} {counted((now.date() - start).days, 'day')} ago."
    )


def _beside(late: lateness.Lateness, house: House | None, ruled: date | None, how: str) -> list[str]:
    """The house rule, and how far from it the computed day lies."""
    if house is None:
        return []
    if late.give_up is None or late.give_up.at is None:
        return []
    away = (ruled - late.give_up.at.date()).days
    than = "the same day" if away == 0 else f"{counted(abs(away), 'day')} {'later' if away > 0 else 'sooner'}"
    said = f"By the house rule of {number(house.chosen)} days from {'laying' if how == 'laid' else 'finding'} it would be {ruled.isoformat()}, {than}."
    return [f"{said} {LATER}" if away else said, house.text]


def _by_the_house(values, lines, sources, working, label, left, ruled, how, start, house, nursery) -> Found:
    """The house rule alone: no eggs left, or nothing on how long they take."""
    if house is None:
        values["give_up"] = Value(None, reason="no give-up day is on record for the species")
        return Found(values, lines, sources, working)
    now = nursery.now
    values = {"give_up": values["house_rule"], "give_up_days": Value(house.chosen, "day", house.warm, house.cool), **values}
    if left:
        away = (ruled - now.date()).days
        past = "that day has passed" if away < 0 else f"{counted(away, 'day')} from now"
        ago = counted((now.date() - start).days, "day")
        lines.append(
            f"Give up on the {counted(left, 'egg')} of cohort {label} on {day_words(ruled, now)}, {past}; they were {how} {ago} ago."
        )
    else:
        lines.append(
            f"Cohort {label} has no eggs left; its give-up day by the house rule would have been {day_words(ruled, now)}."
        )
    return Found(values, [*lines, house.text], sources, working)


def _temperatures(expected: Forecast) -> list[str]:
    return [step for step in expected.working if step.startswith(("Age:", "Need:", "Warmth:", "Seen so far:"))]


def _days_since(start: date, moments) -> list[int | None]:
    return [moment and (moment.date() - start).days for moment in moments]


# A species ----------------------------------------------------------------------------------------------------------------


def _of_species(species, house: House | None, request, nursery) -> Found:
    name = species_label(species.scientific, nursery.knowledge)
    said = request.celsius
    celsius = ROOM if said is None else said
    age = days_said(request.plain or request.text)
    counted_out = lateness.give_up_days(nursery, species.scientific, celsius)
    if counted_out is None:
        return _house_days(species, house, age, name)
    given, told = counted_out
    working = [f"{basis(nursery.knowledge, species.scientific, 'egg').words}.", *told.working]
    sources = (*basis(nursery.knowledge, species.scientific, "egg").sources, *told.sources, *species.give_up_sources)
    if given is None:
        again = day_words(lateness.spring(nursery), nursery.now)
        line = f"Never give up on {name} eggs on time alone: {told.why}. Keep them as they winter and look again on {again}."
        return Found({"give_up_days": Value(None, "day", reason=told.why)}, [line], sources, working)
    if given.at is None or given.at > lateness.LONGEST.days:
        heat = "bring them into the cool at once" if celsius > ROOM else "warm them first"
        cold = f"At {number(celsius)} °C {name} eggs hardly develop, so that days there do not count: {heat}."
        found = _house_days(species, house, age, name)
        return found._replace(lines=[cold, *found.lines], working=working + found.working, sources=sources)
    low, high = given[1:]
    working.append(
        f"At a steady {number(celsius)} °C of those still whole {number(given.at)} days after laying {FEW} are alive and developing "
        f"(10 in 100 after {number(low)} days, half of one after {number(high) if high else 'longer than can be said'})."
    )
    ends = f"{number(low)} to {number(high)}" if high else f"{number(low)} or more"
    line = f"At a steady {number(celsius)} °C give up on {name} eggs {number(given.at)} days after laying ({ends}): of those still whole then {FEW} are alive."
    computed = {"give_up_days": Value(round(given.at, 1), "day", round(low, 1), high and round(high, 1))}
    if house is None:
        lines = (
            [line] if said is not None else [line, f"No temperature was said: an ordinary room of {number(ROOM)} °C is taken."]
        )
        return Found(computed, _judged(age, given.at, celsius, name) + lines, sources, working)
    ruled = {"house_rule_days": Value(house.chosen, "day", house.warm, house.cool)}
    if said is None:
        # Without a temperature the rule of thumb is as good as it gets; its own development stands beside it.
        found = _house_days(species, house, age, name)
        return Found({**found.values, **ruled}, [*found.lines, line], sources, found.working + working)
    lines = [line, f"{house.text} {LATER}"]
    return Found({**computed, **ruled}, _judged(age, given.at, celsius, name) + lines, sources, working)


def _house_days(species, house: House | None, age: float | None, name: str) -> Found:
    if house is None:
        return Found({}, [], (), [])
    values = {"give_up_days": Value(house.chosen, "day", house.warm, house.cool)}
    lines = [house.text] if age is None else [verdict(age, house.warm, house.cool, name), house.text]
    working = [
        f"House rule for {name}: {number(house.warm)} days warm, {number(house.cool)} days cool, counted from laying, or from finding if that is unknown."
    ]
    return Found(values, lines, species.give_up_sources, working)


def _judged(age: float | None, days: float, celsius: float, name: str) -> list[str]:
    """Whether an age that was told lies past the day at a temperature."""
    if age is None:
        return []
    if age > days:
        return [f"After {number(age)} days at {number(celsius)} °C it is past the give-up day of {name}: it will hardly hatch."]
    return [f"After {number(age)} days at {number(celsius)} °C it is not yet time to give up on {name}: wait."]


def days_said(text: str) -> float | None:
    """How many days the line says have passed."""
    found = DAYS.search(text)
    if not found:
        return None
    return float(WORDS.get(found[1]) or found[1]) * PER[found[2][0]]


def verdict(age: float, warm: float, cool: float, name: str) -> str:
    """Whether an age lies past the give-up days of the house rule."""
    if age > cool:
        return f"After {number(age)} days it is past the give-up day of {name}, warm or cool: it will hardly hatch."
    if age > warm:
        return f"After {number(age)} days it is past the give-up day of {name} in a warm room ({number(warm)}), not yet in a cool one ({number(cool)})."
    return f"After {number(age)} days it is not yet time to give up on {name}: wait."


def warmth_of(label: str, request, nursery) -> float | None:
    """°C said in the line, or the mean of the last readings where the cohort's eggs stand; None where neither is known."""
    if request.celsius is not None:
        return request.celsius
    if label:
        for key, _ in nursery.heads(cohort=label, stage="egg"):
            recent = nursery.temperatures(key.enclosure)[-24:]
            if recent:
                return sum((one.low + one.high) / 2 for one in recent) / len(recent)
    return None
