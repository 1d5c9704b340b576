"""When larvae moult next: what is left of their instar, by when it began, what was looked at since, and how fast their cohort goes.

Hardly anyone notes every moult. Where the recorded instar is likely over by now, the next moult is that of the instar they are in by then.
"""

from __future__ import annotations

from datetime import timedelta
from typing import NamedTuple

from nurserytui.answers import outlook
from nurserytui.answers.air import air
from nurserytui.answers.answer import Answer
from nurserytui.answers.development import ROOM, basis
from nurserytui.answers.forecasts import LONGEST, _nothing_to_expect, _one, _several
from nurserytui.answers.instar_pace import moult_began, pace_of
from nurserytui.answers.outlook import OVERDUE_BELOW, Forecast
from nurserytui.answers.selection import wanted
from nurserytui.answers.warmth import Warmth, warmth
from nurserytui.answers.whereabouts import path_of
from nurserytui.answers.wording import counted, number, unknown
from nurserytui.biology.forecast import Changed, Group, Known, Look, Moment, Outlook, Unknown, Window, forecast
from nurserytui.biology.groups import MONARCH_INSTAR_SHARES, instars

LAST = len(MONARCH_INSTAR_SHARES)


def moults(request, nursery, to: int | None = None) -> Answer:
    """First, middle and last moult of the larvae meant, instar by instar; those in their last instar, or of no known one, are told apart.

    With `to`, the moult that leads to that instar, of those that are short of it.
    """
    want = wanted(request, nursery)
    larvae: dict[tuple[str, int | None], list] = {}
    for key, count in nursery.heads(stage="larva"):
        if want._replace(stages=(), instar=None).key_fits(key, nursery.ledger) and _meant(key.instar, None, to):
            larvae.setdefault((key.cohort, key.instar), []).append((key, count))
    if to and ("egg" in want.stages or all(instar is None for _, instar in larvae)):
        eggs = {
            key.cohort
            for key, _ in nursery.heads(stage="egg")
            if want._replace(stages=(), instar=None).key_fits(key, nursery.ledger)
        }
        hatchlings = [one for label in sorted(eggs) if (one := _from_the_egg(nursery, label, to, request))]
        if hatchlings:
            return _one(request, nursery, hatchlings[0]) if len(hatchlings) == 1 else _several(request, nursery, hatchlings, None)
    if not larvae:
        return _nothing_to_expect(request._replace(event="moult"), nursery)
    asked = {group: heads for group, heads in larvae.items() if _meant(group[1], request.instar, to)} or larvae
    found = [_moult(nursery, *group, heads, request, to) for group, heads in asked.items()]
    ready = sorted((one for one in found if isinstance(one, Forecast)), key=lambda one: one.median.at)
    if ready:
        return _one(request, nursery, ready[0]) if len(ready) == 1 else _several(request, nursery, ready, None)
    (cohort, _), lacking = next(iter(asked)), found[0]
    return unknown(
        "stage-forecast",
        f"I cannot say when {cohort} moults next: {lacking}.",
        about={"cohort": cohort, "event": "moult"},
        next=(f"when will {cohort} pupate",),
    )


def _meant(instar: int | None, said: int | None, to: int | None) -> bool:
    return instar is None or instar < to if to else said in (None, instar)


def _from_the_egg(nursery, cohort: str, to: int, request) -> Forecast | None:
    """The forecast for eggs to reach an instar: the egg and the instars before it in a row."""
    one = outlook.outlook(nursery, cohort, "hatch", celsius=request.celsius)
    found = basis(nursery.knowledge, nursery.ledger.cohorts[cohort].species, "larva") if one else None
    if one is None or found is None or one.overdue:
        return None
    before = instars(outlook.feeding_larva(found.at(one.warmth.ahead)))[: to - 1]
    result = forecast([*one.stages, *before], one.groups, one.warmth.timeline, nursery.moment)
    if result.median.at is None:
        return None
    shares = ", ".join(f"{share:.0%}" for share in MONARCH_INSTAR_SHARES[: to - 1])
    return one._replace(
        event="moult", first=result.first, median=result.median, last=result.last, days_left=result.days_left, already_chance=0.0, which=(),
        working=(*one.working, f"Behind the egg the first {counted(to - 1, 'instar')}: {shares} of larval time."),
        sources=(*one.sources, *found.sources), instar=to - 1, to=to, stages=(), groups=(),
    )  # fmt: skip


class _Told(NamedTuple):
    """One way of reading the records: groups as a forecast takes them, and when they were last known to be in the recorded instar."""

    groups: list[Group]
    seen: object
    looks: int


def _moult(nursery, cohort: str, instar: int | None, heads, request, to=None) -> Forecast | str:
    """The forecast for the larvae of one cohort that stand in one instar; else what is lacking."""
    known = nursery.ledger.cohorts[cohort]
    if instar is None:
        return "its instar is not recorded"
    if instar >= LAST:
        return "it is in its last instar: next it pupates"
    found = basis(nursery.knowledge, known.species, "larva") if known.species not in ("", "unknown") else None
    if found is None:
        return "its species is not known yet"
    most = max(heads, key=lambda pair: pair[1])[0]
    place, path = most.enclosure, path_of(nursery.ledger, most, nursery.moment)
    warm = warmth(nursery, place, outlook._began(nursery, cohort), request.celsius, path=path)
    larva = outlook.feeding_larva(found.at(warm.ahead))
    own = None if any(_passed(nursery, cohort, instar)) else pace_of(nursery, cohort, heads, larva, warm)
    stages = instars(own.stage if own else larva)
    told = _told(nursery, cohort, instar, heads, True)
    first = forecast(stages[:instar], told.groups, warm.timeline, told.seen)
    if first.still_chance < OVERDUE_BELOW:
        # Who looks at a larva seldom counts its instars.
        told = _told(nursery, cohort, instar, heads, False)
        first = forecast(stages[:instar], told.groups, warm.timeline, told.seen)
    expected, result = instar, first
    if to and to - 1 > instar:
        expected, result = to - 1, forecast(stages[: to - 1], told.groups, warm.timeline, told.seen)
    while not to and result.chance_done_by(nursery.moment) > 0.5:
        expected += 1
        if expected == LAST:
            return f"it was recorded in instar {instar}, and by now it is likely in its last one: next it pupates"
        result = forecast(stages[:expected], told.groups, warm.timeline, told.seen)
    if result.median.at is None or (result.median.at - nursery.moment).days > LONGEST:
        return "it is too cold (or too hot) for it to grow as far as can be looked ahead"
    result = result._replace(now=nursery.moment, **{name: _from_now(getattr(result, name), nursery.moment) for name in ORDER})
    return Forecast(
        cohort, "moult", "larva", sum(count for _, count in heads), place, result.first, result.median, result.last,
        result.days_left, 1.0, result.chance_done_by(nursery.moment), result.posterior_shift, warm,
        (*_working(instar, expected, told, found, warm, result, to), *([own.words] if own else [])), found.sources, instar=expected, to=to,
        warmer=outlook.brought_forward(warm.timeline, stages[expected - 1].curve, nursery.moment, result.median.at),
    )  # fmt: skip


ORDER = ("first", "median", "last")


def _from_now(moment: Moment, now) -> Moment:
    return Moment(*(each and max(each, now) for each in moment))


def _told(nursery, cohort: str, instar: int, heads, looking: bool) -> _Told:
    groups = list(_standing(nursery, cohort, instar, heads, looking))
    marks = [look.at for group, _ in groups for look in group.looks]
    seen = max([*marks, *(late for _, late in groups)])
    looks = max(len(group.looks) for group, _ in groups)
    return _Told([*(group for group, _ in groups), *_passed(nursery, cohort, instar)], min(seen, nursery.moment), looks)


def _standing(nursery, cohort: str, instar: int, heads, looking: bool):
    """The larvae that stand in the instar, since a moult that was seen or of an unknown part of it where they were found in it, and when."""
    left = dict(heads)
    looks = outlook._looks(nursery, cohort, heads, "larva") if looking else []
    for entry in nursery.ledger.entries(cohort, "larva", instar):
        count = outlook.taken_from(left, entry)
        if count:
            began, late = _began(nursery, entry)
            yield Group(count, began, tuple(Look(at) for at in looks if at > late), stage=instar - 1), late
    if sum(left.values()) > 0:
        yield Group(sum(left.values()), Unknown(nursery.moment), stage=instar - 1), nursery.moment


def _passed(nursery, cohort: str, instar: int):
    """What the cohort's earlier instars tell of its pace: each moult that was seen, with when that instar began; first in, first out."""
    for before in range(1, instar):
        later = nursery.ledger.entries(cohort, "larva", before + 1)
        ends = [[entry.count, entry] for entry in later if entry.how == "changed"]
        for entry in nursery.ledger.entries(cohort, "larva", before):
            count, began, changed = entry.count, _began(nursery, entry)[0], []
            while count and ends:
                taken = min(count, ends[0][0])
                late = min(ends[0][1].latest, nursery.moment)
                changed.append(Changed(min(ends[0][1].earliest, late - timedelta(hours=1)), late, taken))
                count -= taken
                ends[0][0] -= taken
                if not ends[0][0]:
                    ends.pop(0)
            if changed:
                yield Group(0, began, (), tuple(changed), before - 1)


def _began(nursery, entry):
    """The entry into an instar as a forecast takes it, and since when it was under the keeper's eyes."""
    late = min(entry.latest, nursery.moment)
    early = min(entry.earliest, late)
    if entry.how == "found":
        return Unknown(late), late
    if entry.instar and entry.instar > 1:
        early = moult_began(entry, late)
    return (Known(late) if late - early < timedelta(minutes=30) else Window(early, late)), late


def _working(instar: int, expected: int, told: _Told, found, warm: Warmth, result: Outlook, to) -> tuple[str, ...]:
    steps = [
        f"Instar {expected} takes {MONARCH_INSTAR_SHARES[expected - 1]:.0%} of larval time (shares fitted on Danaus; other sets agree within 3 points)."
    ]
    steps += [outlook._age_words(group).replace("the stage", f"instar {instar}") for group in told.groups if group.count]
    if told.looks:
        steps.append(f"{counted(told.looks, 'look')} since then saw nothing yet.")
    seen = sum(each.count for group in told.groups for each in group.changed)
    if seen:
        steps.append(
            f"{counted(seen, 'moult')} of earlier instars seen; by that this cohort {outlook._pace(result.posterior_shift)}."
        )
    if expected > instar and not to:
        steps.append(f"By now instar {expected} is likely, though no later one than instar {instar} is recorded.")
    spread = instars(found.stage)[expected - 1].within
    return (
        *steps,
        f"Need: {found.words}.",
        f"Warmth: {warm.words}.",
        *warm.steps,
        f"First, middle and last of {result.count} from the spread between animals ({number(spread * 100, 0)} % of an instar) and of the "
        f"species' mean ({found.stage.between:.0%}), which all instars share; intervals hold 90 %.",
    )


NOT_YET, LONG_OVER = 0.55, 1.6
"""Parts of an instar: before the first of them nobody moults, and where the second has passed since the last moult was seen, the larvae are
in an instar that nobody noted. Animals differ by 25-30 % over one instar, and by 8 % more each for the species and the thermometer."""


def _began_by(entry, now):
    """The earliest that an instar can have begun."""
    return entry.earliest if entry.how == "found" or entry.instar in (None, 1) else moult_began(entry, min(entry.latest, now))


def may_moult(nursery, cohort: str, instar: int, heads, within: timedelta) -> bool:
    """Whether a moult of those larvae by then is worth a forecast: by how much of their instar is surely over, and how much can be."""
    known = nursery.ledger.cohorts[cohort]
    if instar >= LAST or known.species in ("", "unknown"):
        return False
    found = basis(nursery.knowledge, known.species, "larva")
    if found is None:
        return False
    place = max(heads, key=lambda pair: pair[1])[0].enclosure
    line = air(nursery, place).timeline
    curve = instars(outlook.feeding_larva(found.at(ROOM)))[instar - 1].curve
    now = nursery.now
    entries = [entry for entry in nursery.ledger.entries(cohort, "larva", instar) if entry.left]
    if not entries:
        return False
    early, late = min(_began_by(entry, now) for entry in entries), max(min(entry.latest, now) for entry in entries)
    before = 1.0 if any(entry.how == "found" for entry in entries) else 0.0
    most = before + line.progress(curve, min(early, late), now) + line.progress(curve, now, now + within)
    return most >= NOT_YET and line.progress(curve, late, now) <= LONG_OVER


ANY = (timedelta(0),)
"""A moult that is looked out for by the day is forecast every six hours."""


def next_moult(nursery, cohort: str, instar: int, heads) -> Forecast | None:
    """The forecast for the larvae of a cohort that stand in one instar (`heads`: their ledger keys with counts); None where none can be made.

    Kept with the forecasts of other changes, for as long as what it rests on stands.
    """
    from nurserytui.language.request import Request

    def made(seen) -> Forecast | None:
        found = _moult(seen, cohort, instar, heads, Request(""))
        return found if isinstance(found, Forecast) else None

    return outlook.held(nursery, ("moult", cohort, instar), (outlook._grounds(nursery, cohort), tuple(heads)), made, ANY)
