"""What to expect of a cohort: its animals, looks and temperatures handed to the forecast, and the result with its working."""

from datetime import datetime, timedelta
from itertools import zip_longest
from typing import NamedTuple

from nurserytui.answers.air import air
from nurserytui.answers.development import PREPUPA_DAYS, ROOM, Basis, basis
from nurserytui.answers.instar_pace import moult_began, pace_of
from nurserytui.answers.learned import Taught, grounds, taught
from nurserytui.answers.warmth import Warmth, warmth
from nurserytui.answers.whereabouts import path_of
from nurserytui.answers.wording import number, stage_count
from nurserytui.biology.forecast import Changed, Group, Known, Look, Moment, Outlook, Stage, Unknown, Window, forecast
from nurserytui.biology.groups import MONARCH_INSTAR_SHARES
from nurserytui.nursery import STEPS
from nurserytui.records.about import about

LINE_OF_LIFE = ("egg", "larva", "prepupa", "pupa")
EVENT_AFTER = {"egg": "hatch", "larva": "pupate", "prepupa": "pupate", "pupa": "emerge"}
LAST_STAGE = {"hatch": "egg", "prepupate": "larva", "pupate": "prepupa", "emerge": "pupa"}
SHORTEST_PREPUPA, LONGEST_PREPUPA = 0.04, 0.2
"""Bounds on the part of a larva's time that it hangs as a prepupa."""
OVERDUE_BELOW = 0.05
"""A living, developing group this unlikely to be still unchanged is said to be overdue (a threshold of this program)."""
NEARLY_BELOW = 0.15
"""The same below which it is said to be nearly overdue: no verdict hangs on one threshold alone (of this program as well)."""
FRESH = timedelta(days=1)
"""How long before it is written down a larva can have hung up at most: hanging lasts about a day, so that who notes it saw it fresh."""
SISTERS = timedelta(days=2)
"""From the record of the last that hatched, how long the other eggs of a cohort are not overdue: a clutch hatches over a day or two, and a
day without a time may end late (common practice, no source)."""
STRANGE = 50.0
"""Per cent off the published mean beyond which a pace is no longer believed to be one."""


class Forecast(NamedTuple):
    """The outlook for animals of one cohort to reach `event`."""

    cohort: str
    event: str
    stage: str
    """The stage that most of the animals stand in now."""
    count: int
    enclosure: str
    first: Moment
    median: Moment
    last: Moment
    days_left: float
    overdue_chance: float
    """Chance that an animal which is alive and developing would still be unchanged by now. Small: overdue."""
    already_chance: float
    shift: float
    """How much longer (1.08: 8 %) than published this cohort seems to take, by what was seen of it."""
    warmth: Warmth
    working: tuple[str, ...]
    sources: tuple[str, ...]
    which: tuple = ()
    """The animals that it was asked for: cohort, event, enclosure, mark, °C, stages."""
    stages: tuple[Stage, ...] = ()
    groups: tuple[Group, ...] = ()
    """What the forecast was told: the stages still to go through, and the animals in them with what was seen of them."""
    instar: int | None = None
    """For a moult: the instar that ends."""
    to: int | None = None
    """For a moult: the instar it leads to, where that was asked for."""
    warmer: float | None = None
    """Days by which 2 °C more would bring the median forward, where it is known already."""
    spared: datetime | None = None
    """Until when nothing is overdue, because others of the clutch have only just gone on."""

    @property
    def overdue(self) -> bool:
        return self.overdue_chance < OVERDUE_BELOW and self.spared is None

    @property
    def nearly(self) -> bool:
        """Not overdue, but close to it."""
        return not self.overdue and self.overdue_chance < NEARLY_BELOW


def outlook(
    nursery,
    cohort: str,
    event: str | None = None,
    enclosure: str | None = None,
    mark: str = "",
    celsius: float | None = None,
    stages: tuple[str, ...] = (),
) -> Forecast | None:
    """The forecast for the animals of `cohort` (those in `enclosure`, in one of `stages`, with `mark`, where given) to reach `event`.

    Without an event, the next change of those that are due first. None where there is nothing to forecast: no such living animals before
    that change, or a species that is not known. Kept until what it rests on, or the moment, changes: see `_grounds`.
    """
    asked = (cohort, event, enclosure, mark, celsius, stages)

    def made(seen) -> Forecast | None:
        found = _outlook(seen, *asked)
        return found and found._replace(which=(cohort, found.event, enclosure, mark, celsius, stages))

    return held(nursery, ("outlook", *asked), _grounds(nursery, cohort), made)


def outlook_at(
    nursery, moment: datetime, cohort: str, event: str, enclosure: str, mark: str, stages: tuple[str, ...]
) -> Forecast | None:
    """The forecast as of a moment gone by, such as the last look: it does not move on while nobody looks."""
    kept = nursery.memo.setdefault("forecasts then", {})
    asked, rests = (cohort, event, enclosure, mark, None, stages), (moment, _grounds(nursery, cohort))
    if asked not in kept or kept[asked][0] != rests:
        kept[asked] = rests, _outlook(nursery.as_of(moment), *asked)
    return kept[asked][1]


HOUR = timedelta(hours=1)
FAR = (timedelta(hours=24), timedelta(hours=4))
"""How far off the first must be for a forecast to hold for six hours, and for one."""


def held(nursery, name: tuple, grounds: tuple, made, far=FAR) -> Forecast | None:
    """The forecast that `made(nursery)` makes, kept under a name until what it rests on changes, or for as long as the time tells nothing:
    what is a day off is forecast once in six hours, what is near every ten minutes, and what is overdue every hour."""
    kept = nursery.memo.setdefault("forecasts", {})
    found = None
    for step, least in zip_longest(STEPS, far):
        moment = nursery.end_of(step)
        before = kept.get((*name, step))
        if before is None or before[0] != moment or before[1] != grounds:
            before = kept[*name, step] = (moment, grounds, made(nursery.as_of(moment)))
        found = before[2]
        if found is None or least is None:
            break
        if found.overdue:
            if step <= HOUR:
                break
        elif found.first.low and found.first.low - moment >= least:
            break
    return found and _left_from_now(nursery, found, kept, name)


def _left_from_now(nursery, found: Forecast, kept: dict, name: tuple) -> Forecast:
    """A forecast made for a later moment, with its days counted from now."""
    before = kept.get(name)
    if before is None or before[0] != nursery.moment or before[1] is not found:
        left = (found.median.at - nursery.moment) / timedelta(days=1)
        before = kept[name] = (nursery.moment, found, found._replace(days_left=left))
    return before[2]


def _grounds(nursery, cohort: str) -> tuple:
    """What forecasts of a cohort rest on beside the moment: what the records say of it, the settings, the numbers of its stages, and the
    air of the enclosures it stood in."""
    kept = nursery.ledger.kept.setdefault("grounds", {})
    if cohort not in kept:
        places, *records = about(nursery.ledger, cohort)
        known = nursery.ledger.cohorts.get(cohort)
        bases = {name: basis(nursery.knowledge, known.species, name) for name in LINE_OF_LIFE} if known else {}
        stages = _stages(LINE_OF_LIFE, bases) if known and all(bases.values()) else ()
        kept[cohort] = (places, records, nursery.settings, tuple(stages))
    return *kept[cohort], nursery.knowledge, grounds(nursery), *(air(nursery, place) for place in kept[cohort][0])


def warmer_days(nursery, found: Forecast) -> float | None:
    """Days by which 2 °C more from now on would bring the forecast's median forward."""
    if not found.stages or found.median.at is None:
        return None
    now, timeline = nursery.moment, found.warmth.timeline
    if len(found.stages) == 1:
        return brought_forward(timeline, found.stages[0].curve, now, found.median.at)
    sooner = forecast(found.stages, found.groups, timeline.warmed(2.0, now), now).median.at
    return (found.median.at - sooner) / timedelta(days=1) if sooner else None


def brought_forward(timeline, curve, now: datetime, at: datetime) -> float | None:
    """Days by which what one curve brings about by `at` comes sooner where it is 2 °C warmer from now on: the same progress."""
    sooner = timeline.when(curve.warmed(2.0), now, max(timeline.progress(curve, now, at), 0.0))
    return (at - sooner) / timedelta(days=1) if sooner else None


def _outlook(nursery, cohort, event, enclosure, mark, celsius, stages) -> Forecast | None:
    known = nursery.ledger.cohorts.get(cohort)
    if known is None or known.species in ("", "unknown"):
        return None
    heads = [
        (key, count)
        for key, count in nursery.heads(cohort=cohort, enclosure=enclosure)
        if key.stage in (stages or LINE_OF_LIFE) and (not mark or key.mark == mark)
    ]
    if event is None:
        each = [
            _outlook(nursery, cohort, EVENT_AFTER[one], enclosure, mark, celsius, (one,))
            for one in {key.stage for key, _ in heads}
        ]
        return min((one for one in each if one), key=lambda one: one.median.at, default=None)
    if event == "moult":
        return None
    heads = [(key, count) for key, count in heads if LINE_OF_LIFE.index(key.stage) <= LINE_OF_LIFE.index(LAST_STAGE[event])]
    if not heads:
        return None
    return _forecast(nursery, known, event, heads, celsius)


def _forecast(nursery, known, event: str, heads, celsius) -> Forecast | None:
    last = LINE_OF_LIFE.index(LAST_STAGE[event])
    first = min(LINE_OF_LIFE.index(key.stage) for key, _ in heads)
    names = LINE_OF_LIFE[first : last + 1]
    bases = {name: basis(nursery.knowledge, known.species, name) for name in names}
    if not all(bases.values()):
        return None
    most = max(heads, key=lambda pair: pair[1])[0]
    place = most.enclosure
    began = _began(nursery, known.label)
    path = path_of(nursery.ledger, most, nursery.moment)
    warm = warmth(nursery, place, began, celsius, path)
    stages = _stages(names, bases, warm.ahead)
    lessons = {name: taught(nursery, known, name, stage, not warm.assumed) for name, stage in zip(names, stages, strict=True)}
    stages = [lessons[name].stage if lessons[name] else stage for name, stage in zip(names, stages, strict=True)]
    own = pace_of(nursery, known.label, heads, stages[names.index("larva")], warm) if "larva" in names else None
    if own is not None:
        stages[names.index("larva")] = own.stage
    groups = list(_groups(nursery, known.label, heads, names, stages, warm))
    found = forecast(stages, groups, warm.timeline, nursery.moment)
    if found.median.at is None:
        return None
    stage = max({key.stage for key, _ in heads}, key=lambda one: sum(count for key, count in heads if key.stage == one))
    count = sum(count for _, count in heads)
    working, sources = _working(nursery, known, heads, bases, lessons, groups, warm, found)
    working = (*working, *([own.words] if own else []))
    spared = sisters_out(nursery, known.label) if event == "hatch" else None
    return Forecast(
        known.label, event, stage, count, place, found.first, found.median, found.last, found.days_left or 0.0,
        found.still_chance, found.already_chance, found.posterior_shift, warm, working, sources, (), tuple(stages), tuple(groups),
        spared=spared if spared and spared > nursery.moment else None,
    )  # fmt: skip


def _stages(names, bases: dict[str, Basis], celsius: float = ROOM) -> list[Stage]:
    """The stages in order, with the doubt that their numbers have at `celsius`.

    A larva's published time runs to the pupa, so the prepupa's part is taken out of it where both are needed.
    """
    stages = []
    for name in names:
        stage = bases[name].at(celsius)
        stages.append(feeding_larva(stage) if name == "larva" else stage)
    return stages


def feeding_larva(larva: Stage) -> Stage:
    """A larva's stage until it hangs up, without the prepupa's part."""
    whole = larva.curve.days(ROOM) or 15.0
    part = min(max(PREPUPA_DAYS / whole, SHORTEST_PREPUPA), LONGEST_PREPUPA)
    return larva._replace(curve=larva.curve.scaled(1 - part))


def _began(nursery, label: str) -> datetime:
    first = datetime.fromisoformat(nursery.ledger.cohorts[label].first_when[:10])
    return max(first, nursery.moment - timedelta(days=400))


def _groups(nursery, label: str, heads, names, stages, warm: Warmth):
    """One group per way of having entered the stage, each with the looks since, and what was seen to have changed already."""
    for name in dict.fromkeys(key.stage for key, _ in heads):
        index = names.index(name)
        back = _hanging(nursery, label, name, warm)
        looks = tuple(Look(back(at)) for at in _looks(nursery, label, heads, name))
        changed = _changed(nursery, label, name, back)
        told = False
        for count, entry, seen_from in _entries(nursery, label, name, heads, stages[index], warm):
            since = tuple(look for look in looks if look.at > seen_from)
            seen = () if told else tuple(_since(seen_from, one) for early, one in changed if early >= seen_from)
            told = told or bool(seen)
            yield Group(count, entry, since, seen, index)


def _entries(nursery, label: str, name: str, heads, stage: Stage, warm: Warmth):
    """`(count, Entry, since when they were under the keeper's eyes)` of the animals now in stage `name`."""
    mine = {key: count for key, count in heads if key.stage == name}
    instars = sorted({key.instar for key in mine if key.instar}) if name == "larva" else []
    entries = [entry for instar in instars for entry in nursery.ledger.entries(label, name, instar)]
    if not entries or any(key.instar is None for key in mine):
        entries += [entry for entry in nursery.ledger.entries(label, name) if not instars or entry.instar is None]
    left = dict(mine)
    for entry in entries:
        count = taken_from(left, entry)
        if count:
            yield count, *entry_of(nursery, entry, name, stage, warm, count)
    if sum(left.values()) > 0:
        yield sum(left.values()), Unknown(nursery.moment), nursery.moment


def taken_from(left: dict, entry) -> int:
    """How many of the animals in `left` (by ledger key) came by a ledger's entry; they are taken out of it."""
    count = 0
    for key, number_of in entry.now:
        taken = min(number_of, left.get(key, 0))
        count += taken
        left[key] = left.get(key, 0) - taken
    return count


def entry_of(nursery, entry, name: str, stage: Stage, warm: Warmth, count: int):
    """How `count` animals of a ledger's entry came into the stage, and since when they were under the keeper's eyes."""
    late = min(entry.latest, nursery.moment)
    early = min(entry.earliest, late)
    if name in ("prepupa", "pupa") and entry.how == "changed":
        early = min(max(early, _first_there(nursery, entry)), late)
    if name == "prepupa" and entry.how == "changed":
        early = max(early, min(entry.latest - FRESH, late))
    if name == "larva" and entry.instar and (entry.how == "found" or entry.instar > 1):
        window = _hatch_window(entry, stage, warm, early, late)
        if window is not None:
            return window, late
    if entry.how == "found":
        species = (
            nursery.knowledge.species(nursery.ledger.cohorts[entry.event.cohort].species)
            if entry.event.cohort in nursery.ledger.cohorts
            else None
        )
        batch = name == "egg" and count > 1 and species is not None and "batch" in species.egg.grouping
        return Unknown(late, batch), late
    if late - early < timedelta(minutes=30):
        return Known(late), late
    return Window(early, late), late


def _first_there(nursery, entry) -> datetime:
    """When the first of the cohort's animals came into the enclosure in which these changed: they had not changed before it."""
    came = [
        posting.event.when
        for posting in nursery.ledger.chronicle.of_cohort(entry.event.cohort)
        if posting.target is not None
        and posting.target.cohort == entry.event.cohort
        and posting.target.enclosure == entry.enclosure
        and posting.target.stage in LINE_OF_LIFE[: LINE_OF_LIFE.index(entry.stage)]
    ]
    return datetime.fromisoformat(min(came)) if came else datetime.min


def sisters_out(nursery, label: str) -> datetime | None:
    """Until when the other eggs of a cohort are not overdue, by the last of its eggs that is known to have hatched."""
    return max((change.latest + SISTERS for change in nursery.ledger.changes(label, "egg")), default=None)


def _hatch_window(entry, stage: Stage, warm: Warmth, early: datetime, late: datetime) -> Window | None:
    """When a larva may have hatched, by the instars' shares of larval time: one found at an instar stood somewhere in it, one seen to
    moult had just begun it."""
    if entry.how != "found":
        early = moult_began(entry, late)
    before = sum(MONARCH_INSTAR_SHARES[: entry.instar - 1])
    within = sum(MONARCH_INSTAR_SHARES[: entry.instar]) if entry.how == "found" else before
    if entry.instar > len(MONARCH_INSTAR_SHARES):
        return None
    # Back along the temperatures as they were: shares of larval time are progress, not hours.
    after = warm.timeline.before(stage.curve, min(early, late - timedelta(minutes=1)), within)
    by = warm.timeline.before(stage.curve, late, before)
    return Window(after, by) if after is not None and by is not None else None


def _looks(nursery, label: str, heads, name: str) -> list[datetime]:
    places = {key.enclosure for key, _ in heads if key.stage == name}
    seen = sorted({at for place in places for at in nursery.ledger.looks(label, place)})
    return [at for at in seen if at <= nursery.moment]


def _hanging(nursery, label: str, name: str, warm: Warmth):
    """From a moment at which larvae were seen to the latest at which they surely fed: the same, or earlier by the prepupa's time where
    larvae of the cohort were first seen again as pupae, so that hanging ones are written down as larvae."""
    if name != "larva" or all(change.stage != "pupa" for change in nursery.ledger.changes(label, name)):
        return lambda at: at
    curve = basis(nursery.knowledge, nursery.ledger.cohorts[label].species, "prepupa").stage.curve
    return lambda at: warm.timeline.before(curve, at, 1.0) or at


def _changed(nursery, label: str, name: str, back) -> list[tuple[datetime, Changed]]:
    """Animals of the cohort that were seen to have gone on from stage `name`: the look before, and the change between it and its own look."""
    found = []
    for change in nursery.ledger.changes(label, name):
        late = min(change.latest, nursery.moment)
        early = min(change.earliest, late - timedelta(hours=1))
        hung = name == "larva" and change.stage == "prepupa"
        found.append((early, Changed(early if hung else back(early), late if hung else back(late), change.count)))
    return found


def _since(moment: datetime, change: Changed) -> Changed:
    """The change as it can have been for animals that were seen unchanged at `moment`."""
    after = max(change.after, moment)
    return change._replace(after=after, by=max(change.by, after + timedelta(hours=1)))


def _working(
    nursery, known, heads, bases: dict[str, Basis], lessons: dict[str, Taught | None], groups, warm: Warmth, found: Outlook
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    steps = []
    counts: dict[str, int] = {}
    for key, count in heads:
        counts[key.stage] = counts.get(key.stage, 0) + count
    steps.append(
        f"Animals: {', '.join(stage_count(count, stage) for stage, count in counts.items())} of cohort {known.label}, from the records."
    )
    for group in groups:
        if group.count:
            steps.append(_age_words(group))
    steps += [f"Need: {one.words}." for one in bases.values()]
    steps += [f"{lesson.words}." for lesson in lessons.values() if lesson]
    steps.append(f"Warmth: {warm.words}.")
    steps += warm.steps
    seen = sum(change.count for group in groups for change in group.changed)
    looks = max((len(group.looks) for group in groups), default=0)
    if seen or looks:
        told = []
        if looks:
            told.append(f"{number(looks)} {'look' if looks == 1 else 'looks'} that saw nothing yet")
        if seen:
            told.append(f"{seen} of the cohort already changed")
        steps.append(f"Seen so far: {' and '.join(told)}; by that this cohort {_pace(found.posterior_shift)}.")
    steps.append(
        f"First, middle and last of {found.count} from the spread between animals "
        f"({', '.join(f'{one.stage.within:.0%} {name}' for name, one in bases.items())}) and of the species' mean "
        f"({', '.join(f'{(lessons[name] or one).stage.between:.0%}' for name, one in bases.items())}), shared by the cohort; intervals hold 90 %."
    )
    sources = tuple(dict.fromkeys(source for one in bases.values() for source in one.sources))
    return tuple(steps), sources


def _pace(shift: float) -> str:
    percent = (shift - 1) * 100
    if abs(percent) >= STRANGE:
        return "is far off the published mean: something holds it up, or it is dead"
    if abs(percent) < 1:
        return "runs as published"
    return f"runs {abs(percent):.0f} % {'slower' if percent > 0 else 'faster'} than the published mean"


def _age_words(group: Group) -> str:
    entry = group.entry
    if isinstance(entry, Known):
        return f"Age: {group.count} entered the stage at {entry.at:%Y-%m-%d %H:%M}."
    if isinstance(entry, Window):
        return f"Age: {group.count} entered the stage between {entry.after:%Y-%m-%d %H:%M} and {entry.by:%Y-%m-%d %H:%M}."
    return f"Age: {group.count} found {entry.found:%Y-%m-%d %H:%M} at an unknown age, so the time left is what remains of the stage, not the whole of it."
