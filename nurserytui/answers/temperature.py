"""Temperatures recorded: mean, highest, lowest, latest and degree-days of an enclosure over a period."""

import re
from bisect import bisect_left, bisect_right
from datetime import datetime, time
from typing import NamedTuple

from nurserytui.answers.air import gaps_of
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.measured_sums import DENSE, heat_sum, weighted_mean
from nurserytui.answers.selection import join, last_day, standing, trouble, wanted
from nurserytui.answers.warmth import left_out, moment_of
from nurserytui.answers.wording import OWN_RECORDS, ask, capital, cite, counted, day_words, listed, number, species_label, unknown

TOPIC = "temperature"
UPPER = re.compile(r"\b(below|under|up to|upper|ceiling|max\w*|cut-?off|between)\b")
"""Words by which a second temperature is the one above which nothing goes faster."""
LISTED = 12
"""Readings that the working lists one by one."""
GAPS = 4
"""Gaps that the working names one by one."""


class Base(NamedTuple):
    """A threshold in °C and where it comes from, and the upper one where the line states it too."""

    celsius: float
    words: str
    sources: tuple[str, ...] = ()
    ceiling: float | None = None


def temperature(request, nursery) -> Answer:
    """What was measured where, and which readings cannot be. Values are in the unit asked for, else the keeper's; a low..high reading counts
    as its middle."""
    stopped = trouble(request, nursery, TOPIC)
    if stopped:
        return stopped
    want = wanted(request, nursery)
    unit = _unit(request, nursery)
    places = want.enclosures
    if not places and want.animals:
        places = tuple(dict.fromkeys(key.enclosure for key, _ in standing(nursery, want) if key.enclosure))
    answer = _answer(request, nursery, want, places, unit)
    rejected = [
        one
        for place in places or known_places(nursery)
        for one in _in_period(nursery.measured(place).rejected, request.period, nursery.now)
    ]
    if not rejected or answer.status not in ("answered", "unknown"):
        return answer
    said = left_out(rejected)
    return answer._replace(text=join(answer.text, said), working=(*answer.working, said))


def _answer(request, nursery, want, places, unit: str) -> Answer:
    measured = measured_places(nursery)
    found = {place: _in_period(nursery.temperatures(place), request.period, nursery.now) for place in (places or measured)}
    if not any(found.values()):
        return _none(request, nursery, places, measured, unit)
    found = {place: readings for place, readings in found.items() if readings}
    base = _base(request, nursery, want)
    if _asks_degree_days(request.plain) and base is None:
        from nurserytui.answers.season_heat import asks_season, season_heat

        return season_heat(request, nursery, found, unit) if asks_season(request) else _which_base(request, nursery, places)
    if base is not None and base.ceiling is not None and base.ceiling <= base.celsius:
        return _crossed(base, places, unit)
    if len(want.cohorts) == 1 and not (want.enclosures or want.mark) and base is not None and _asks_degree_days(request.plain):
        from nurserytui.answers.own_heat import own_heat

        own = own_heat(request, nursery, want.cohorts[0], unit, base)
        if own is not None:
            return own
    if len(found) > 1:
        return _each(request, nursery, found, unit, base)
    readings = sorted((reading for each in found.values() for reading in each), key=lambda reading: moment_of(reading.when))
    place = listed(_place(name) for name in found)
    return _of_place(request, nursery, want, place, tuple(found), readings, unit, base)


def measured_places(nursery) -> tuple[str, ...]:
    """Places with at least one reading, the room as a whole ("") among them."""
    return tuple(place for place in sorted(nursery.measured_places()) if nursery.temperatures(place))


def known_places(nursery) -> tuple[str, ...]:
    """Every place that may have been measured."""
    return tuple(sorted({"", *nursery.ledger.enclosures, *nursery.measured_places()}))


def _place(name: str) -> str:
    return name or "the room"


def _in_period(readings, period, now: datetime) -> list:
    """Those of the readings, oldest first, that are of the period."""
    if period is None or period.start > now:
        return list(readings)
    start, end = period.start, period.end
    if not period.exact:
        start, end = datetime.combine(start.date(), time.min), datetime.combine(last_day(period), time.max)
    first = bisect_left(readings, start, key=lambda reading: moment_of(reading.when))
    return [*readings[first : bisect_right(readings, end, key=lambda reading: moment_of(reading.when))]]


def _unit(request, nursery) -> str:
    """`C` or `F`: as the line says, else as the keeper set it."""
    if request.target_unit in ("degC", "degF"):
        return request.target_unit[-1]
    plain = request.plain
    if re.search(r"\b(celsius|centigrade|degrees? c)\b|°\s?c\b|\bin c\b|\(c\)|\d\s?c\b", plain):
        return "C"
    if re.search(r"\b(fahrenheit|degrees? f)\b|°\s?f\b|\bin f\b|\(f\)|\d\s?f\b", plain):
        return "F"
    return nursery.settings.units or "C"


def _shown(celsius: float, unit: str) -> float:
    return celsius if unit == "C" else celsius * 9 / 5 + 32


def _degrees(celsius: float, unit: str) -> str:
    return f"{number(_shown(celsius, unit))} °{unit}"


def _asks_degree_days(plain: str) -> bool:
    return bool(
        re.search(
            r"\bdegree[- ]?days?\b|\bday[- ]?degrees?\b|\b(?:heat|thermal) sum\b|\baccumulated heat\b|\bheat units\b|"
            r"\bgdd\b|\bthermal (?:time|units)\b|\bdd\b",
            plain,
        )
    )


def _base(request, nursery, want) -> Base | None:
    """The threshold that the line states, else that of the animals meant."""
    stated = [amount for amount in request.amounts if amount.kind == "temperature"]
    if stated:
        low = stated[0]
        words = f"{number(low.value)} °{low.unit[-1]}, as you said"
        high = low._replace(value=low.high) if low.high is not None else stated[1] if len(stated) > 1 else None
        if high is None or not (low.high is not None or UPPER.search(request.plain)):
            return Base(low.celsius, words)
        return Base(low.celsius, f"{words}, and {number(high.value)} °{high.unit[-1]} as the upper threshold", (), high.celsius)
    keys = [key for key, _ in standing(nursery, want)] if want.animals or want.enclosures else []
    species = list(dict.fromkeys([*want.species, *(nursery.ledger.cohorts[key.cohort].species for key in keys)]))
    if len(species) != 1 and want.cohorts:
        species = [nursery.ledger.cohorts[label].species for label in want.cohorts[:1]]
    if len(species) != 1:
        return None
    stages = {key.stage for key in keys} or set(want.stages)
    published = nursery.knowledge.thermal(species[0])
    fitting = (
        [one for one in published if one.stage in stages]
        or [one for one in published if one.stage == "egg_to_adult"]
        or list(published)
    )
    name = species_label(species[0], nursery.knowledge)
    if fitting:
        one = fitting[0]
        return Base(one.base, f"{number(one.base)} °C, the threshold of {name} ({one.stage.replace('_', ' ')})", one.sources)
    prior = nursery.knowledge.prior(species[0])
    known = nursery.knowledge.species(species[0])
    prior = prior or (nursery.knowledge.prior(known.group) if known is not None and known.group else None)
    if prior is not None:
        return Base(
            prior.base,
            f"{number(prior.base)} °C, taken from relatives of {name}: its own threshold is not published",
            prior.sources,
        )
    return None


# Answers ------------------------------------------------------------------------------------------------------------------


def _of_place(request, nursery, want, place: str, names, readings, unit: str, base: Base | None) -> Answer:
    now = nursery.now
    mean = weighted_mean(readings)
    lowest, highest, latest = min(readings, key=lambda r: r.low), max(readings, key=lambda r: r.high), readings[-1]
    plain, cues = request.plain, request.cues
    values = {
        "mean": Value(round(_shown(mean, unit), 2), f"°{unit}"),
        "highest": Value(round(_shown(highest.high, unit), 2), f"°{unit}"),
        "lowest": Value(round(_shown(lowest.low, unit), 2), f"°{unit}"),
        "latest": Value(round(_shown(latest.mean, unit), 2), f"°{unit}"),
        "readings": Value(len(readings), "readings"),
    }
    facts = {
        "mean": f"mean {_degrees(mean, unit)} over {counted(len(readings), 'reading')}{_span(readings, now)}",
        "highest": f"highest {_degrees(highest.high, unit)} on {_when(highest, now)}",
        "lowest": f"lowest {_degrees(lowest.low, unit)} on {_when(lowest, now)}",
        "latest": f"latest {_reading(latest, unit)} on {_when(latest, now)}",
    }
    working = _working(readings, mean, unit)
    sources: tuple = (OWN_RECORDS,)
    lead = _lead(plain, cues)
    lines: list[str] = []
    if base is not None and (_asks_degree_days(plain) or want.cohorts):
        total, days = heat_sum(readings, base.celsius, base.ceiling)
        shown = total if unit == "C" else total * 9 / 5
        values["degree_days"] = Value(round(shown, 1), f"°{unit}·d")
        values["base"] = Value(round(_shown(base.celsius, unit), 2), f"°{unit}")
        if base.ceiling is not None:
            values["ceiling"] = Value(round(_shown(base.ceiling, unit), 2), f"°{unit}")
        words = (
            f"{number(shown)} °{unit}·d (degree-days) {_above(base, unit)} in {place}, from {counted(days, 'day')} with readings"
        )
        working += _sum_steps(request, readings, base, total, days, unit, now)
        sources += cite(nursery.knowledge, base.sources)
        if _asks_degree_days(plain):
            lines.append(f"{words}{_span(readings, now)}.")
            missing = _missing_days(request, readings, days, now)
            if missing > 0:
                lines.append(
                    f"{counted(missing, 'day')} without readings left out; were they like the others, it would be {number(shown / days * (days + missing))}."
                )
            lead = "mean"
            facts = {"mean": facts["mean"], **facts}
        else:
            facts["sum"] = words
    if not lines:
        lines.append(f"{capital(place)}: {facts.pop(lead)}.")
    lines += [f"{capital(place)}: {facts['mean']}." if "mean" in facts and lead != "mean" else ""]
    rest = "; ".join(words for name, words in facts.items() if name != "mean")
    lines.append(f"{capital(rest)}.")
    about: dict = {"enclosure": names[0]} if len(names) == 1 and names[0] else {}
    if len(want.cohorts) == 1:
        about["cohort"] = want.cohorts[0]
    return Answer(
        "answered",
        TOPIC,
        join(*lines),
        about=about,
        values=values,
        items=tuple(_item(reading, unit) for reading in readings[-LISTED:]),
        working=tuple(working),
        sources=sources,
        next=(
            f"{'mean temperature' if _asks_degree_days(plain) else 'degree days above 10 C'} in {names[0]}",
            f"hottest it got in {names[0]}",
        )
        if names[0]
        else ("what needs doing today",),
    )


def _lead(plain: str, cues) -> str:
    """Which number the line is after: the mean unless it says another."""
    if "highest" in cues or re.search(r"\b(hottest|warmest|highest|max\w*|peak)\b|how hot (?:did|has|was)", plain):
        return "highest"
    if "lowest" in cues or re.search(r"\b(coldest|coolest|lowest|min|minimum)\b|how cold", plain):
        return "lowest"
    if "mean" in cues or re.search(r"\b(mean|averag\w*|avg|on average)\b", plain):
        return "mean"
    if {"latest", "last"} & set(cues) or re.search(r"\b(latest|last|current|right now|now|at the moment|reading)\b", plain):
        return "latest"
    return "mean"


def _reading(reading, unit: str) -> str:
    if reading.low == reading.high:
        return _degrees(reading.low, unit)
    return f"{number(_shown(reading.low, unit))} to {_degrees(reading.high, unit)} (middle {_degrees(reading.mean, unit)})"


def _when(reading, now: datetime) -> str:
    return day_words(moment_of(reading.when), now)


def _span(readings, now: datetime) -> str:
    first, last = _when(readings[0], now), _when(readings[-1], now)
    return f" on {first}" if first == last else f" from {first} to {last}"


def _working(readings, mean: float, unit: str) -> list[str]:
    steps = []
    if len(readings) <= LISTED:
        steps.append("Readings: " + "; ".join(f"{moment_of(one.when):%Y-%m-%d} {_reading(one, unit)}" for one in readings) + ".")
    else:
        steps.append(
            f"{len(readings)} readings from {moment_of(readings[0].when):%Y-%m-%d %H:%M} to {moment_of(readings[-1].when):%Y-%m-%d %H:%M}."
        )
    steps.append(
        f"Mean weighted by the time each reading stands for, a low-to-high reading as its middle: {number(_shown(mean, unit), 2)} °{unit}."
    )
    gaps = gaps_of(readings)
    if gaps:
        named = "; ".join(f"{start:%Y-%m-%d %H:%M} to {end:%Y-%m-%d %H:%M}" for start, end in gaps[-GAPS:])
        more = f", and {len(gaps) - GAPS} earlier ones" if len(gaps) > GAPS else ""
        steps.append(
            f"Without a reading for long: {named}{more}. Nothing is filled in there: a reading beside a gap stands for no longer."
        )
    return steps


def _sum_steps(request, readings, base: Base, total: float, days: int, unit: str, now: datetime) -> list[str]:
    factor = 1 if unit == "C" else 9 / 5
    return [
        f"Base: {base.words}.",
        f"Degree-days: single sine between the day's lowest and highest, or straight lines between readings where a day has {DENSE} or more; "
        f"{number(total * factor)} °{unit}·d over {counted(days, 'day')}, {number(total * factor / days)} a day.",
    ]


def _missing_days(request, readings, days: int, now: datetime) -> int:
    """Days of the period asked about, up to now, that have no reading."""
    start = request.period.start.date() if request.period is not None else moment_of(readings[0].when).date()
    end = min(last_day(request.period), now.date()) if request.period is not None else moment_of(readings[-1].when).date()
    whole = (end - start).days + 1
    if end == now.date() and moment_of(readings[-1].when).date() < end:
        whole -= 1  # the day that is not over has no lowest and highest yet
    return max(0, whole - days)


def _each(request, nursery, found: dict, unit: str, base: Base | None) -> Answer:
    """One line a place, warmest first, where the line names none."""
    rows = sorted(((weighted_mean(readings), place, readings) for place, readings in found.items()), key=lambda row: -row[0])
    lead = _lead(request.plain, request.cues)
    everything = sorted((one for readings in found.values() for one in readings), key=lambda one: moment_of(one.when))
    top = max(((one, place) for _, place, readings in rows for one in readings), key=lambda pair: pair[0].high)
    newest = max(((one, place) for _, place, readings in rows for one in readings), key=lambda pair: moment_of(pair[0].when))
    low = min(((one, place) for _, place, readings in rows for one in readings), key=lambda pair: pair[0].low)
    now = nursery.now
    first = {
        "highest": f"Highest {_degrees(top[0].high, unit)}, in {_place(top[1])} on {_when(top[0], now)}.",
        "lowest": f"Lowest {_degrees(low[0].low, unit)}, in {_place(low[1])} on {_when(low[0], now)}.",
        "latest": f"Latest {_reading(newest[0], unit)}, in {_place(newest[1])} on {_when(newest[0], now)}.",
    }.get(lead) or f"Warmest is {_place(rows[0][1])}, mean {_degrees(rows[0][0], unit)}; {counted(len(rows), 'place')} measured."
    if base is not None and _asks_degree_days(request.plain):
        first = _sums(rows, base, unit)
    lines = [
        f"- {_place(place)}: mean {_degrees(mean, unit)}, {_degrees(min(r.low for r in readings), unit)} to {_degrees(max(r.high for r in readings), unit)}, "
        f"latest {_reading(readings[-1], unit)} on {_when(readings[-1], now)}"
        for mean, place, readings in rows
    ]
    mean = weighted_mean(everything)
    values = {
        "mean": Value(round(_shown(mean, unit), 2), f"°{unit}"),
        "highest": Value(round(_shown(top[0].high, unit), 2), f"°{unit}"),
        "lowest": Value(round(_shown(low[0].low, unit), 2), f"°{unit}"),
    }
    items = []
    for place_mean, place, readings in rows:
        item = {
            "name": _place(place),
            "label": _place(place),
            "mean": round(_shown(place_mean, unit), 2),
            "unit": f"°{unit}",
            "readings": len(readings),
        }
        if base is not None:
            total, days = heat_sum(readings, base.celsius, base.ceiling)
            item |= {"degree_days": round(total if unit == "C" else total * 9 / 5, 1), "days": days}
        items.append(item)
    return Answer(
        "answered",
        TOPIC,
        join(first, *lines),
        values=values,
        items=tuple(items),
        working=tuple(
            f"{_place(place)}: {step}" for place_mean, place, readings in rows for step in _working(readings, place_mean, unit)
        ),
        sources=(OWN_RECORDS,),
        next=tuple(f"mean temperature in {_place(place)}" for _, place, _ in rows[:3] if place),
    )


def _sums(rows, base: Base, unit: str) -> str:
    """The degree-days of each place, most first."""
    sums = sorted(((*heat_sum(readings, base.celsius, base.ceiling), place) for _, place, readings in rows), reverse=True)
    factor = 1 if unit == "C" else 9 / 5
    told = (
        f"{number(total * factor)} °{unit}·d in {_place(place)} from {counted(days, 'day')} with readings"
        for total, days, place in sums
    )
    return f"Degree-days {_above(base, unit)}: {listed(told)}; days without readings are left out, not guessed."


def _item(reading, unit: str) -> dict:
    return {
        "name": _place(reading.place),
        "label": f"{moment_of(reading.when):%Y-%m-%d %H:%M} {_reading(reading, unit)}",
        "when": moment_of(reading.when).isoformat(timespec="minutes"),
        "low": round(_shown(reading.low, unit), 2),
        "high": round(_shown(reading.high, unit), 2),
        "unit": f"°{unit}",
    }


def _none(request, nursery, places, measured, unit: str) -> Answer:
    where = f" for {listed(places)}" if places else ""
    when = " in that time" if request.period is not None else ""
    lines = [f"No temperature is recorded{where}{when}."]
    outside = [(place, nursery.temperatures(place)) for place in places if nursery.temperatures(place)]
    lines += [
        f"{_place(place)}: the latest reading is {_reading(readings[-1], unit)} on {_when(readings[-1], nursery.now)}."
        for place, readings in outside
    ]
    others = [_place(place) for place in measured if place not in places]
    if others:
        lines.append(f"Readings exist for {listed(others)}.")
    place = places[0] if places else "tub 1"
    return unknown(
        TOPIC,
        join(*lines),
        next=(f"temperature in {place} 24 C", *(f"mean temperature in {one}" for one in others[:2])),
        sources=(OWN_RECORDS,),
    )


def _above(base: Base, unit: str) -> str:
    upper = f", no faster above {_degrees(base.ceiling, unit)}," if base.ceiling is not None else ""
    return f"above {_degrees(base.celsius, unit)}{upper}"


def _crossed(base: Base, places, unit: str) -> Answer:
    """An upper threshold below the lower one sums nothing: ask which is which."""
    low, high = _degrees(base.ceiling, unit), _degrees(base.celsius, unit)
    where = f" in {places[0]}" if places else ""
    return ask(
        TOPIC,
        f"The upper threshold {low} does not lie above the base {high}. Which is which?",
        [f"degree days between {low} and {high}{where}", f"degree days above {high}{where}"],
    )


def _which_base(request, nursery, places) -> Answer:
    """Degree-days need a threshold: ask for one, with those of the animals kept as choices."""
    where = f" in {places[0]}" if places else ""
    options = [f"degree days above 10 C{where}"]
    for label in dict.fromkeys(key.cohort for key, count in nursery.ledger.heads.items() if count):
        options.append(f"degree days for {label}")
    return ask(
        TOPIC,
        "Degree-days above which temperature? Name the base or a cohort, whose species' threshold I then take.",
        options[:4],
    )
