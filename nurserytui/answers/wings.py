"""When the wings of the keeper's own emerged adults are hard, and whether enough daylight is left then to let them go."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from nurserytui.answers.answer import Value
from nurserytui.answers.sunlight import ASK, Place, Sun, place_of, sun_of
from nurserytui.answers.wording import counted, day_words, listed, number, stage_count

LONGEST_LOOK = timedelta(hours=16)
"""A look farther back than from the evening before says nothing of how long the wings have had."""
AFTER_SUNRISE = timedelta(hours=1)


class Ready(NamedTuple):
    """Adults of one cohort that came out of one look, and from when on their wings are hard."""

    cohort: str
    count: int
    low: datetime
    """If they came out right after the look before, with the shortest drying time published."""
    at: datetime
    """All of them, however late they came out before they were seen."""
    high: datetime
    emerged: str
    """When they came out, in words."""
    bounded: bool
    """True where the hour of emergence is known, or that it was no later than now; False where only a past day is."""


def waiting(nursery, labels: tuple[str, ...], mark: str) -> list[Ready]:
    """The adults that wait, of these cohorts (all where none is named), in the order in which they are ready."""
    cohorts = labels or sorted({key.cohort for key, _ in nursery.heads(stage="adult")})
    dry = nursery.knowledge.rule("wings-dry")
    found = []
    for label in cohorts:
        for entry in nursery.ledger.entries(label, "adult", mark=mark or None):
            if entry.left:
                found.append(_ready(nursery, label, entry, dry))
    return sorted(found, key=lambda one: one.at)


def _ready(nursery, label: str, entry, dry) -> Ready:
    now, event = nursery.now, entry.event
    if entry.how == "found":
        start = datetime.fromisoformat(event.when)
        return Ready(
            label, entry.left, start, start, start, f"brought in as an adult on {day_words(event.when, now)}", event.timed
        )
    late = min(entry.latest, now)
    early = entry.earliest if late - entry.earliest <= LONGEST_LOOK else late
    if not event.timed:
        early = max(min(entry.earliest, late), datetime.combine(date.fromisoformat(event.day), time()))
    low, at, high = (when + timedelta(hours=hours) for when, hours in ((early, dry.low), (late, dry.value), (late, dry.high)))
    if event.timed:
        words = f"emerged by {late:%H:%M} on {day_words(late, now)}"
        if early < late:
            since = f"{early:%H:%M}" if early.date() == late.date() else f"{early:%H:%M} the evening before"
            words = f"emerged between {since} and {late:%H:%M} on {day_words(late, now)}"
    else:
        words = f"emerged on {day_words(event.day, now)}, the hour is not known"
    return Ready(label, entry.left, low, at, high, words, event.timed or event.day == now.date().isoformat())


def none_waiting(nursery, labels: tuple[str, ...]) -> tuple[Value, str]:
    """Why no adult can be released."""
    if not labels:
        return Value(None, reason="no adult waits in your records"), ""
    label = labels[0]
    standing: dict[str, int] = {}
    for key, heads in nursery.heads(cohort=label):
        standing[key.stage] = standing.get(key.stage, 0) + heads
    came = nursery.ledger.entries(label, "adult")
    if not came:
        there = listed([stage_count(heads, stage) for stage, heads in standing.items()]) or "nothing"
        return Value(None, reason="none has emerged yet"), f"None of cohort {label} has emerged yet (there now: {there})."
    gone = sum(count for event, _, _, count in nursery.ledger.chronicle.of_cohort(label) if event.what == "released")
    words = f"No adult of cohort {label} is left to release"
    return Value(None, reason="no adult is left"), f"{words}: {gone} went already." if gone else f"{words}."


def ready_value(groups: list[Ready]) -> Value:
    """The moment by which all that wait are ready; days alone where the hour of emergence is not known and the day is over."""
    last = groups[-1]
    low, high = min(one.low for one in groups), max(one.high for one in groups)
    if last.bounded:
        return Value(last.at.isoformat(timespec="minutes"), low=_minute(low), high=_minute(max(high, last.at)))
    # A day that ends at midnight holds its last minute, not the next day's first.
    return Value(last.at.date().isoformat(), low=low.date().isoformat(), high=(high - timedelta(minutes=1)).date().isoformat())


def _minute(when: datetime) -> str:
    return when.isoformat(timespec="minutes")


def headline(groups: list[Ready], nursery) -> tuple[str, dict[str, Value], list[str]]:
    """The answer in one sentence, the values of daylight and of the first fit hour, and the steps."""
    now, last = nursery.now, groups[-1]
    place = place_of(nursery)
    state = "Ready now" if last.at <= now else f"Ready from about {_clock(last.at, now)}"
    if "not known" in last.emerged and last.at > now:
        state = f"Ready by {_clock(last.at, now)} at the latest"
    who = listed([f"{counted(heads, 'adult')} of cohort {label}" for label, heads in _heads(groups).items()])
    who += " waits" if sum(one.count for one in groups) == 1 else " wait"
    ready = sum(one.count for one in groups if one.at <= now)
    who += f" ({ready} of them ready already)" if 0 < ready and last.at > now else ""
    who += f"; the last {last.emerged}."
    dry = nursery.knowledge.rule("wings-dry")
    steps = [
        f"Wings: {number(dry.low)}-{number(dry.value)} h to harden after emergence, {number(dry.high)} h by the most careful advice; "
        f"{last.emerged}, so all are ready by {last.at:%Y-%m-%d %H:%M}."
    ]
    if place is None:
        return f"{state}: {who}", {"daylight_left": Value(None, "hour", reason="no latitude is set")}, [*steps, ASK]
    hour, values, more = _hour(max(now, last.at), place, nursery)
    return f"{state}{hour}. {who}", values, [*steps, *more]


def _heads(groups: list[Ready]) -> dict[str, int]:
    heads: dict[str, int] = {}
    for one in sorted(groups, key=lambda one: one.cohort):
        heads[one.cohort] = heads.get(one.cohort, 0) + one.count
    return heads


def _clock(when: datetime, now: datetime) -> str:
    return f"{when:%H:%M}" if when.date() == now.date() else f"{when:%H:%M} on {day_words(when, now)}"


def _hour(moment: datetime, place: Place, nursery) -> tuple[str, dict[str, Value], list[str]]:
    """Whether enough daylight is left at `moment`: the words, the values, and the steps."""
    now, need = nursery.now, nursery.knowledge.rule("weather").low
    sun = sun_of(nursery, place, moment.date())
    steps = [words for words in (place.words, _sun_step(sun, moment)) if words]
    if not sun.up:
        words = ", but the sun does not rise in these days: hold them back"
        return words, {"daylight_left": Value(0.0, "hour"), "release_from": Value(None, reason="the sun does not rise")}, steps
    if sun.rise is None or sun.set is None:
        values = {"daylight_left": Value(24.0, "hour"), "release_from": Value(_minute(moment))}
        return ", with daylight round the clock: release in a warm, dry and calm hour", values, steps
    then = "" if moment <= now else " then"
    start = max(moment, sun.rise + AFTER_SUNRISE)
    left = (sun.set - start) / timedelta(hours=1)
    today = "today" if start.date() == now.date() else "that day"
    if left >= need:
        values = {"daylight_left": _left(left, sun), "release_from": Value(_minute(start))}
        from_when = "" if start <= moment else f" from about {start:%H:%M}, an hour after sunrise,"
        fit = "if it is warm, dry and calm"
        return f", with about {number(left, 0)} h of daylight left{then}: release{from_when} {today} {fit}", values, steps
    following = moment.date() + timedelta(days=1)
    morning = sun_of(nursery, place, following)
    start = (morning.rise or datetime.combine(following, time(8))) + AFTER_SUNRISE
    values = {"daylight_left": _left(max(left, 0.0), sun), "release_from": Value(_minute(start))}
    short = f"only about {number(left)} h of daylight left{then}" if left > 0 else "after sunset"
    tomorrow = (
        "tomorrow morning" if following == now.date() + timedelta(days=1) else f"the morning of {day_words(following, now)}"
    )
    steps.append(f"Less than the {number(need)} h of sun that rearers want for a first day; a night in the cage does no harm.")
    return f", but {short}: hold till {tomorrow}, from about {start:%H:%M}; a night in the cage does no harm", values, steps


def _left(hours: float, sun: Sun) -> Value:
    return Value(round(hours, 1), "hour", round(max(hours - sun.early, 0.0), 1), round(hours + sun.late, 1))


def _sun_step(sun: Sun, moment: datetime) -> str:
    if sun.rise is None or sun.set is None:
        return f"Sun: {number(sun.hours)} h of daylight on {moment:%Y-%m-%d}; {sun.words}."
    about = "" if sun.early < 0.5 else "about "
    return f"Sun on {moment:%Y-%m-%d}: {about}{sun.rise:%H:%M} to {about}{sun.set:%H:%M}, {number(sun.hours)} h; {sun.words}."
