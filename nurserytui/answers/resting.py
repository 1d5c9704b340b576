"""How likely the keeper's larvae are to become resting pupae: the days in which they feed, against what is published of the species."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import NamedTuple

from nurserytui.answers.answer import Value
from nurserytui.answers.development import basis
from nurserytui.answers.outlook import outlook
from nurserytui.answers.sunlight import NO_LATITUDE, Place
from nurserytui.answers.waking import COLD
from nurserytui.answers.warmth import moment_of, warmth
from nurserytui.answers.wording import day_words, number, percent, species_label
from nurserytui.biology.daylight import day_length
from nurserytui.biology.diapause import COOL, Chance, Response, Seen, after_waiting, chance_over, response_at, turn_of
from nurserytui.biology.groups import MONARCH_INSTAR_SHARES

DONOR, ALIKE = "Papilio troilus", "Papilionidae"
"""The species whose cline of critical day lengths stands in for others of its family (short days set the rest in all that were tried)."""
NO_PUPA = {
    "egg": "it rests as an egg, never as a pupa, and no critical day length for that is on record",
    "larva": "it rests as a larva, never as a pupa, and no critical day length for that is on record",
    "adult": "it winters as an adult: its pupae do not rest",
    "migrates": "it migrates: its pupae do not rest",
    "none": "it has no resting stage",
}
LARVAL_DAYS = 21.0
"""Days of feeding taken where nothing is known of the species (an ordinary summer room)."""
LONGEST = timedelta(days=120)
UNSEEN_CHANGE = timedelta(days=1)
"""How long before it was written down a change is taken to have happened, at most: keepers see most changes within a day or two."""
LEAST_LATE = 0.01
"""However late a pupa is, its lateness counts for no more than a hundred to one: the forecast may be wrong too."""
UNSEEN_PUPA = timedelta(days=7)
"""How long a pupa that was brought in is taken to have been one."""


class Known(NamedTuple):
    """What is known of the species at a latitude."""

    response: Response
    basis: str
    words: str
    sources: tuple[str, ...]


class Batch(NamedTuple):
    """Animals of a cohort that feed, or fed, as larvae from `start` to `end`."""

    count: int
    stage: str
    start: datetime
    end: datetime
    seen: bool
    """False where either end is estimated from the usual length of the larval stage."""


class Rest(NamedTuple):
    chance: Value
    light: Value
    words: str
    """One sentence; "" where there is no chance to tell."""
    working: tuple[str, ...]
    sources: tuple[str, ...]


def known_at(knowledge, species, place: Place | None, celsius: float | None = None) -> Known | Value:
    """The species' response to day length at a place, or a null value with the reason."""
    if not species.winters_as:
        return Value(None, reason="its wintering is not on record")
    if species.winters_as in NO_PUPA:
        return Value(None, reason=NO_PUPA[species.winters_as])
    rows = knowledge.day_lengths(species.scientific)
    donors = knowledge.day_lengths(DONOR) if species.family == ALIKE else ()
    if not rows and not donors:
        return Value(None, reason="no critical day length has been published for it or for a near relative")
    if place is None and not (rows and all(row.latitude is None for row in rows)):
        return Value(None, reason=NO_LATITUDE)
    found = response_at(place.latitude if place else 0.0, _seen(rows), _seen(donors), celsius)
    if found is None:
        return Value(None, reason=_elsewhere(rows, place))
    response, kind = found
    used = donors if kind == "relatives" else rows
    sources = tuple(dict.fromkeys(source for row in (*used, *rows) for source in row.sources))
    return Known(response, kind, _basis_words(species, response, kind, rows, used, place, knowledge), sources)


def _seen(rows) -> list[Seen]:
    return [
        Seen(row.light_low, row.light_high, row.share_low, row.share_high, row.latitude, row.celsius, row.local, row.cool)
        for row in rows
    ]


def _elsewhere(rows, place: Place | None) -> str:
    where = ", ".join(dict.fromkeys(row.place for row in rows))
    return f"it was studied in {where} only, too far from latitude {number(place.latitude if place else 0)}°"


def _basis_words(species, response: Response, kind: str, rows, used, place: Place | None, knowledge) -> str:
    if kind == "always":
        return f"Its pupae rest whatever the day length (at least {percent(response.short.low)})."
    at = f"at latitude {number(place.latitude)}°" if place else ""
    hours = f"{number(response.critical)} h ({number(response.critical_low)}-{number(response.critical_high)} h)"
    places = ", ".join(dict.fromkeys(f"{number(abs(row.latitude), 1)}°" for row in used if row.latitude is not None))
    if kind == "shares":
        low, high = sorted((response.short.value, response.long.value))
        return f"Of its pupae {percent(high)} rested on short days and {percent(low)} on long ones, with the step between {hours} ({rows[0].place})."
    if kind == "relatives":
        donor = species_label(DONOR, knowledge)
        more = f" Some rest on long days as well: {rows[0].note}" if rows and rows[0].local else ""
        return f"No critical day length of its own is published for {at.removeprefix('at ')}: that of the {donor} is taken, {hours}, with a wide band.{more}"
    whose = (
        f"from populations at {places}"
        if kind == "own"
        else f"published for about {places} only and moved along the cline of the {species_label(DONOR, knowledge)}"
    )
    return f"Half of its larvae switch at days of {hours} {at}, {whose}; half an hour of twilight and the difference between populations are in the band."


def _placed(known: Known | Value, place: Place | None) -> Known | Value:
    """What is known, as far as it can be reckoned with where no latitude is known: days have no length there."""
    if place is None and not isinstance(known, Value) and known.basis != "always":
        return Value(None, reason=NO_LATITUDE)
    return known


def turn_value(known: Known | Value, place: Place | None, day: date, now: datetime) -> tuple[Value, str]:
    """The first day of the season on which half of the larvae would become resting pupae, and the sentence for it."""
    known = _placed(known, place)
    if isinstance(known, Value):
        return Value(None, "date", reason=known.reason), ""
    if known.basis == "always":
        return Value(None, "date", reason="it rests in every season"), ""
    turn = turn_of(known.response, place.latitude, day)
    low, high = (one and one.isoformat() for one in (turn.low, turn.high))
    where = f"latitude {number(place.latitude)}°"
    if turn.day is None:
        why = (
            "half or more rest even on the longest days" if turn.from_start else "half of them would rest on no day of the season"
        )
        return Value(None, "date", low, high, 0.9, why), f"At {where} {why}."
    until = f" to {day_words(turn.high, now)}" if turn.high else ""
    band = (
        f" (between {day_words(turn.low, now)} and{until.removeprefix(' to')})"
        if turn.high
        else f" (from {day_words(turn.low, now)} at the earliest)"
    )
    words = f"At {where} half of the larvae turn into resting pupae from about {day_words(turn.day, now)} on{band}."
    return Value(turn.day.isoformat(), "date", low, high, 0.9), words


def rest_on(known: Known | Value, place: Place | None, first: date, last: date, now: datetime) -> Rest:
    """The chance for larvae that feed from `first` to `last`, of no particular cohort."""
    light = _light(place, first, last)
    known = _placed(known, place)
    if isinstance(known, Value):
        return Rest(known, light, "", (), ())
    days = [first + timedelta(days=at) for at in range((last - first).days + 1)]
    if known.basis == "always":
        share = known.response.short
        return Rest(
            _value(share), light, f"About {percent(share.value)} will rest as pupae, whatever the day length.", (), known.sources
        )
    share, hours = chance_over(known.response, place.latitude, [(day, 1.0) for day in days])
    when = f"around {day_words(first, now)}" if first == last else f"from {day_words(first, now)} to {day_words(last, now)}"
    growing = "; the days are still growing longer" if _growing(place.latitude, last) else ""
    words = (
        f"About {percent(share.value)} ({_band(share)}) will rest as pupae if the larvae feed {when}: {number(hours, 1)} h of daylight against "
        f"{number(known.response.critical)} h ({number(known.response.critical_low)}-{number(known.response.critical_high)} h){growing}."
    )
    return Rest(_value(share), light, words, (), known.sources)


def _growing(latitude: float, day: date) -> bool:
    return day_length(latitude, day + timedelta(days=1)) > day_length(latitude, day)


def _light(place: Place | None, first: date, last: date) -> Value:
    if place is None:
        return Value(None, "hour", reason=NO_LATITUDE)
    hours = [day_length(place.latitude, first + timedelta(days=at)) for at in range((last - first).days + 1)]
    middle = round(sum(hours) / len(hours), 2)
    return Value(middle, "hour", round(min(hours), 2), round(max(hours), 2)) if len(hours) > 1 else Value(middle, "hour")


def _value(share: Chance) -> Value:
    return Value(round(share.value, 2), low=round(share.low, 2), high=round(share.high, 2), level=0.9)


def _band(share: Chance) -> str:
    return f"{share.low * 100:.0f}-{share.high * 100:.0f} %"


# A cohort of the keeper's ------------------------------------------------------------------------------------------------------


def rest_of(nursery, label: str, mark: str, place: Place | None, waited: bool = True) -> Rest | None:
    """The chance for the living animals of a cohort, over the days in which its larvae feed; None without animals that may rest.

    Pupae that have not emerged although those that develop at once should have are likelier to rest: Bayes, with the forecast's chance.
    `waited` False leaves that out: what the light alone says.
    """
    knowledge = nursery.knowledge
    species = knowledge.species(nursery.ledger.cohorts[label].species)
    batches = feeding(nursery, label, mark)
    if species is None or not batches:
        return None
    kept = _kept_at(nursery, label, batches)
    known = known_at(knowledge, species, place, kept)
    first, last = min(one.start for one in batches).date(), max(one.end for one in batches).date()
    light = _light(place, first, last)
    if isinstance(known, Value):
        return Rest(known, light, "", (), ())
    steps = [_feeding_words(one) for one in batches]
    shares, total = [], sum(one.count for one in batches)
    for one in batches:
        share = known.response.short
        if known.basis != "always":
            span = (one.end.date() - one.start.date()).days + 1
            share, hours = chance_over(
                known.response, place.latitude, [(one.start.date() + timedelta(days=at), 1.0) for at in range(span)]
            )
            steps.append(
                f"Over those days of {number(hours, 2)} h in the mean, each day alike, {percent(share.value)} ({_band(share)})."
            )
        if one.stage == "pupa" and waited:
            share, more = _waited(nursery, label, mark, share)
            steps += more
        shares.append((one.count / total, share))
    share = Chance(*(sum(weight * each[at] for weight, each in shares) for at in range(3)))
    steps.append(known.words)
    if kept is not None and any(row.cool for row in knowledge.day_lengths(species.scientific)):
        steps.append(f"It rests only if it is cool as well: the larvae were kept at about {number(kept)} °C, so fewer may rest.")
    steps.append("A room lamp that is left on counts as day: then fewer rest than the daylight says.")
    fed = "fed" if last < nursery.now.date() else "feed"
    words = f"About {percent(share.value)} ({_band(share)}) of the {total} of cohort {label} are likely to rest as pupae"
    if total == 1:
        words = f"{label} will rest as a pupa with a chance of about {percent(share.value)} ({_band(share)})"
    if known.basis != "always" and place is not None:
        words += (
            f": the larvae {fed} from about {day_words(first, nursery.now)} to {day_words(last, nursery.now)}, in days of "
            f"{number(day_length(place.latitude, first))} to {number(day_length(place.latitude, last))} h, against "
            f"{number(known.response.critical)} h ({number(known.response.critical_low)}-{number(known.response.critical_high)} h) at which half switch"
        )
    return Rest(_value(share), light, f"{words}.", tuple(steps), known.sources)


def _waited(nursery, label: str, mark: str, share: Chance) -> tuple[Chance, list[str]]:
    late = outlook(nursery, label, "emerge", mark=mark, stages=("pupa",))
    chilled = any(COLD.search(key.enclosure) for key, _ in nursery.heads(cohort=label, stage="pupa"))
    if chilled and (late is None or late.warmth.assumed):
        return share, ["They are in the cold, of which no temperature is recorded, so that they have not emerged tells nothing."]
    if late is None or late.overdue_chance > 0.995:
        return share, []
    later = after_waiting(share, max(late.overdue_chance, LEAST_LATE))
    return later, [
        f"Those that develop at once would still be pupae with a chance of {late.overdue_chance:.1%}: for living ones that have not "
        f"emerged that makes {percent(later.value)} ({_band(later)})."
    ]


def feeding(nursery, label: str, mark: str = "") -> list[Batch]:
    """When the living animals of a cohort feed as larvae: from the records, by the forecast for what is still to come."""
    counts: dict[str, int] = {}
    for key, count in nursery.heads(cohort=label):
        if not mark or key.mark == mark:
            counts[key.stage] = counts.get(key.stage, 0) + count
    if not counts:
        return []
    usual = timedelta(days=_larval_days(nursery, label))
    hatched = _hatched(nursery, label, mark, usual)
    found = []
    for stage in ("egg", "larva", "prepupa", "pupa"):
        count = counts.get(stage, 0)
        if not count:
            continue
        start, end, seen = hatched, None, hatched is not None
        if stage in ("prepupa", "pupa"):
            end, known = _middle(nursery, label, stage, mark)
            end = end or nursery.now
            seen = seen and known
        else:
            if stage == "egg":
                hatch = outlook(nursery, label, "hatch", mark=mark, stages=("egg",))
                start = hatch.median.at if hatch else nursery.now
            start = start or nursery.now - usual / 2
            ahead = outlook(nursery, label, "pupate", mark=mark, stages=("egg",) if stage == "egg" else ("larva", "prepupa"))
            end = ahead.median.at if ahead else max(start + usual, nursery.now)
            seen = seen or stage == "egg"
        if start is None or end <= start:
            start, seen = end - usual, False
        elif end - start > LONGEST:  # larvae that nobody has written of for so long
            end, seen = start + usual, False
        found.append(Batch(count, stage, start, end, seen))
    return found


def _larval_days(nursery, label: str) -> float:
    species = nursery.ledger.cohorts[label].species
    found = basis(nursery.knowledge, species, "larva") if species not in ("", "unknown") else None
    place = max(nursery.heads(cohort=label), key=lambda pair: pair[1])[0].enclosure
    return (found and found.stage.curve.days(warmth(nursery, place, nursery.now).ahead)) or LARVAL_DAYS


def _hatched(nursery, label: str, mark: str, usual: timedelta) -> datetime | None:
    """The middle of when its larvae hatched; of those found, by the usual part of the larval time before their instar."""
    moments = []
    for entry in nursery.ledger.entries(label, "larva", mark=mark or None):
        at = _changed(entry)
        if entry.how == "found":
            instar = min(entry.instar or 0, len(MONARCH_INSTAR_SHARES))
            part = sum(MONARCH_INSTAR_SHARES[: instar - 1]) + MONARCH_INSTAR_SHARES[instar - 1] / 2 if instar else 0.5
            at = entry.earliest - usual * part
        moments.append((entry.count, at))
    return _mean(moments)


def _changed(entry) -> datetime:
    """When a change is taken to have happened: half of the time since the look before it, at most a day, before it was written down."""
    return entry.latest - min((entry.latest - entry.earliest) / 2, UNSEEN_CHANGE)


def _mean(moments: list[tuple[int, datetime]]) -> datetime | None:
    if not moments:
        return None
    zero = moments[0][1]
    return zero + sum((count * (at - zero) for count, at in moments), timedelta()) / sum(count for count, _ in moments)


def _middle(nursery, label: str, stage: str, mark: str) -> tuple[datetime | None, bool]:
    """The middle of when its animals pupated, and whether that was seen."""
    entries = [entry for entry in nursery.ledger.entries(label, stage, mark=mark or None) if entry.left]
    ends = [
        (
            entry.left,
            entry.earliest - UNSEEN_PUPA if entry.how == "found" else _changed(entry),
        )
        for entry in entries
    ]
    return _mean(ends), bool(ends) and all(entry.how != "found" for entry in entries)


def _kept_at(nursery, label: str, batches: list[Batch]) -> float | None:
    """Mean °C of the readings while the larvae fed, where there are any."""
    start, end = min(one.start for one in batches), max(one.end for one in batches)
    places = {key.enclosure for key, _ in nursery.heads(cohort=label)}
    places |= {
        p.target.enclosure for p in nursery.ledger.chronicle.of_cohort(label) if p.target is not None and p.target.cohort == label
    }
    means = [
        (reading.low + reading.high) / 2
        for place in places
        for reading in nursery.temperatures(place)
        if start <= moment_of(reading.when) <= end
    ]
    return sum(means) / len(means) if means else None


def _feeding_words(one: Batch) -> str:
    how = (
        "by the records"
        if one.seen and one.stage in ("prepupa", "pupa")
        else "by the records and the forecast"
        if one.seen
        else "by the usual length of the larval stage"
    )
    return f"{one.count} now {one.stage}: feeding as larvae from {one.start:%Y-%m-%d} to {one.end:%Y-%m-%d}, {how}."


def turn_known(knowledge, species, place: Place | None) -> Known | Value:
    """As `known_at`, for larvae that are kept cool where that is needed: what the season's first day is reckoned by."""
    return known_at(
        knowledge, species, place, COOL if any(row.cool for row in knowledge.day_lengths(species.scientific)) else None
    )
