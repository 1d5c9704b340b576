"""One question with some of its parts replaced by those of another line."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from nurserytui.language import mixes
from nurserytui.language.change_asked import to_come
from nurserytui.language.cues import Cues
from nurserytui.language.line import Line
from nurserytui.language.normalise import normalise
from nurserytui.language.ordinary import STAGES
from nurserytui.language.phrases import load
from nurserytui.language.request import DANGLING, Amount, Period, Request
from nurserytui.language.slots import EVENTS, WORDS

LONG = 180
"""Days from which a period that begins with January is a year, or the part of this one that has passed."""
SHIFTED = re.compile(
    r"(?:and |so |but |then )?(?:what about |how about )?(?:the )?(day|week|year|season|summer) (before|after)(?: that)?"
)
"""`and the day before`: a question about a period, put on the one beside it."""
OF_THOSE = re.compile(r"\b(?:of|among|amongst) (?:those|these|them)\b|\b(?:in|from) there\b")
"""Words by which a line asks for some of those that were counted."""
MAKES = re.compile(r"\bhow many (?:is|are|was|were|does|did|do) (?:that|those|these)\b")
"""What asks for the number of what was just told of (`and how many is that in total`)."""
DEGREES = re.compile(r"(?:at )?(\d{1,2})")
"""What is no time of day after a question about a temperature (`at 25 C`, then `and at 20`)."""
SIDES = ("cohorts", "species", "enclosures")
"""What a comparison puts side by side."""
ONCE = frozenset(("highest", "lowest", "mean", "latest", "sex:female", "sex:male", "first", "last"))
"""Cues that a later line replaces rather than adds to."""


def merged(before: Request, new: Request, line: Line, cues: Cues, nursery) -> Request:
    """`before` with the parts that `new` names; parts that can only have belonged to what was replaced are dropped."""
    new = _dated(before, _measured(before, new, line, nursery))
    changes: dict[str, object] = {}
    subject = bool(new.cohorts or new.species or new.enclosures)
    for slot in (
        "cohorts",
        "species",
        "hosts",
        "agents",
        "enclosures",
        "stages",
        "instar",
        "count",
        "without",
        "period",
        "target_unit",
        "unknown_names",
    ):
        if getattr(new, slot) not in ((), None, ""):
            changes[slot] = getattr(new, slot)
    if new.cohorts or new.mark:
        changes.update(mark=new.mark, marks=new.marks, species=new.species, enclosures=new.enclosures)
    elif new.species:
        kept = before.enclosures if OF_THOSE.search(line.plain) else ()
        changes.update(cohorts=(), mark="", marks=(), enclosures=new.enclosures or kept)
    elif new.enclosures and not _inside(before, new.enclosures, nursery):
        changes.update(cohorts=(), mark="", marks=(), species=())
    if new.stages:
        changes["instar"] = new.instar
    if topic_compares(before, cues):
        changes |= {slot: (*getattr(before, slot), *getattr(new, slot)) for slot in SIDES if getattr(new, slot)}
    if before.topic == "stage-forecast" and (new.event or new.stages or subject):
        changes["event"] = (
            new.event
            or _leading_to(new.stages, before)
            or (before.event if not new.stages and not _elsewhere(before, new, nursery) else "")
        )
        if new.event and not new.stages:
            changes["stages"] = ()
    elif new.event:
        changes["event"] = new.event
    elif before.topic == "stage-duration" and new.stages:
        changes["event"] = ""
    topic = before.topic
    if topic == "hosts-of-species" and new.hosts and not new.species and before.species:
        topic = "species-on-host"
    if topic == "species-on-host" and new.species and not new.hosts and not before.species and not before.hosts:
        topic = "hosts-of-species"
    steer = _steering(before.cues, new.cues)
    if topic == "history" and {"to-go", "not-yet"} & cues.names and to_come(before.event):
        topic = "headcount"
        changes.update(stages=to_come(before.event), event="")
    if topic == "headcount" and "died" in cues.names:
        topic = "survival"
        steer |= {"cause"}
    widens = "together" in cues.names and not MAKES.search(line.plain)
    if topic in ("headcount", "survival") and widens and not subject and not new.stages:
        changes.update(_widened(before))
    if topic == "species-on-host" and (changes.get("species", before.species) or changes.get("cohorts", before.cohorts)):
        steer |= {"accepts"}
    if topic in ("history", "survival") and "died" in cues.names and not subject:
        changes["event"] = "died" if topic == "history" else before.event
        steer |= {"cause"}
    if new.amounts:
        changes["amounts"] = mixes.amounts(
            before.amounts,
            new.amounts,
            stock=mixes.labels(line) or "stock" in cues.names or "disinfectant" in cues.names or mixes.label_asked(before, new),
            share=new.layer != "reply"
            and not mixes.LABELLED.search(before.plain)
            and sum(each.kind == "volume" for each in before.amounts) < 2,
        )
        if before.topic == "convert":
            changes["amounts"] = new.amounts
            kinds = {each.kind for each in before.amounts}
            if not new.target_unit and (new.amounts[0].kind not in kinds or new.amounts[0].unit == before.target_unit):
                changes["target_unit"] = ""
    layer = before.layer if before.layer == DANGLING and not subject else new.layer
    result = before._replace(text=new.text, topic=topic, cues=steer, layer=layer, score=new.score, previous=None, **changes)
    return result._replace(plain=spoken(before, new, result, line, cues))


def topic_compares(before: Request, cues: Cues) -> bool:
    """Whether a later line puts what it names beside what was asked about (`survival of A`, then `compared to B`)."""
    return before.topic == "survival" and "compare" in cues.names


def _measured(before: Request, new: Request, line: Line, nursery) -> Request:
    """A bare number after a question with one kind of measure is in that measure (`75 F in C`, then `and 85?`)."""
    if before.topic == "stage-duration" and not (new.amounts or before.amounts) and (new.period or new.count is not None):
        unit = f"deg{nursery.settings.units or 'C'}"
        before = before._replace(amounts=(Amount(0.0, unit, "temperature", ""),))
    if new.amounts or len({each.unit for each in before.amounts}) != 1:
        return new
    amount, span = before.amounts[-1], line.of("number")[:1]
    if span and new.count is not None:
        return new._replace(amounts=(amount._replace(value=float(span[0].value), high=None, said=span[0].said),), count=None)
    degrees = DEGREES.fullmatch(new.period.said) if new.period and amount.kind == "temperature" else None
    if degrees:
        return new._replace(amounts=(amount._replace(value=float(degrees[1]), high=None, said=degrees[1]),), period=None)
    return new


def _dated(before: Request, new: Request) -> Request:
    """A bare number of two digits after a question about a year is a year (`released in 2024`, then `and 23?`)."""
    period, short = before.period, new.count
    shift = SHIFTED.fullmatch(new.plain.rstrip("?. "))
    if period and shift:
        return new._replace(period=_shifted(period, shift[1], -1 if shift[2] == "before" else 1))
    if new.period or new.amounts or short is None or not period or not 0 < short < 100:
        return new
    if period.start.month != 1 or period.start.day != 1 or (period.end - period.start).days < LONG:
        return new
    year = period.start.year // 100 * 100 + short
    start, end = period.start.replace(year=year), datetime(year, 12, 31, 23, 59, 59)
    return new._replace(period=Period(start, end, str(year)), count=None)


def _shifted(period: Period, unit: str, way: int) -> Period:
    """The period before or after one, of the length said."""
    if unit in ("year", "season", "summer"):
        start, end = (moment.replace(year=moment.year + way, day=min(moment.day, 28)) for moment in (period.start, period.end))
        end = end.replace(day=period.end.day if (end.month, period.end.day) != (2, 29) else 28)
        return Period(start.replace(day=min(period.start.day, 28)), end, str(start.year))
    step = way * timedelta(days=7 if unit == "week" else 1)
    return Period(period.start + step, period.end + step, f"the {unit} {'before' if way < 0 else 'after'}")


def _widened(before: Request) -> dict[str, object]:
    """`and altogether?`: all stages of those counted; all animals where no stage was named."""
    if before.stages:
        return {"stages": (), "instar": None}
    if before.enclosures and (before.cohorts or before.species):
        return {"enclosures": ()}
    return {"cohorts": (), "species": (), "mark": "", "marks": (), "enclosures": ()}


def _steering(before: frozenset[str], new: frozenset[str]) -> frozenset[str]:
    kept = before - ONCE if new & ONCE else before
    return kept | (new - {"question"})


def _inside(before: Request, places: tuple[str, ...], nursery) -> bool:
    """Whether what was spoken of also lives, or lived, in the new place: then the place narrows it instead of replacing it."""
    if not (before.cohorts or before.species):
        return False
    ledger = nursery.ledger
    species = {name for named in before.species for name in named.names}
    return any(
        count and key.enclosure in places and (key.cohort in before.cohorts or ledger.cohorts[key.cohort].species in species)
        for key, count in ledger.heads.items()
    )


def _leading_to(stages: tuple[str, ...], before: Request) -> str:
    """`and the adults?` after a forecast asks when they will be adults; of other stages the answer takes their own next change."""
    return "emerge" if stages == ("adult",) and before.event else ""


def _elsewhere(before: Request, new: Request, nursery) -> bool:
    """Whether the animals newly named have no stage in which the last event could still happen to them."""
    after = {
        "hatch": {"egg"},
        "pupate": {"egg", "larva", "prepupa"},
        "prepupate": {"egg", "larva"},
        "emerge": {"egg", "larva", "prepupa", "pupa"},
    }
    stages = {
        key.stage
        for key, count in nursery.ledger.heads.items()
        if count and (key.cohort in new.cohorts or key.enclosure in new.enclosures)
    }
    return bool(stages) and before.event in after and not stages & after[before.event]


def spoken(before: Request, new: Request, result: Request, line: Line, cues: Cues) -> str:
    """The last question's words with the new parts in the place of the old, so that answers which weigh words see the whole question."""
    plain = before.plain
    pairs: list[tuple[list[str], list[str]]] = [
        (_names(before.cohorts), _names(new.cohorts)),
        (_names(before.enclosures), _names(new.enclosures)),
        ([named.said for named in before.species], [named.said for named in new.species]),
        ([named.said for named in before.hosts], [named.said for named in new.hosts]),
        ([named.said for named in before.agents], [named.said for named in new.agents]),
        ([before.period.said] if before.period else [], [new.period.said] if new.period else []),
    ]
    for amount in new.amounts:
        left = [each for each in before.amounts if each not in result.amounts]
        gone = [each.said for each in left if each.kind == amount.kind] or [each.said for each in left]
        pairs.append((gone[:1], [amount.said]))
    if topic_compares(before, cues):
        return normalise(f"{plain} {line.plain}")
    if before.topic == "survival" and "died" in cues.names:
        plain = _without(plain, ("rate",))
    if before.topic == "survival" and any(event in cues.names for event in EVENTS):
        plain = _without(plain, EVENTS)
    if new.cues & ONCE:
        plain = _swapped(plain, [word for word in plain.split() if WORDS.get(word) in ONCE], "")
    left_over = []
    for old, fresh in pairs:
        if not fresh:
            continue
        changed = _swapped(plain, old, " and ".join(fresh))
        left_over.extend(fresh if changed == plain and old != fresh else ())
        plain = changed
    if new.stages and before.stages:
        plain = _swapped(
            plain,
            [word for word in plain.split() if STAGES.get(word) in before.stages],
            " and ".join(span.said for span in line.of("stage")),
        )
    if "enemy" in cues.names:
        known = load().words
        plain = _swapped(
            plain, [word for word in plain.split() if "enemy" in known.get(word, ())], " ".join(sorted(cues.said["enemy"]))
        )
    rest = [word for word in cues.words if not word.isupper() and word not in ("and", "what", "about", "so", "how")]
    return normalise(" ".join([plain, *rest, *left_over]))


def _without(plain: str, cues: tuple[str, ...]) -> str:
    """The line without the words that give one of those cues."""
    known = load().words
    return _swapped(plain, [word for word in plain.split() if not set(cues).isdisjoint(known.get(word, ()))], "")


def _names(labels: tuple[str, ...]) -> list[str]:
    return list(labels)


def _swapped(plain: str, old: list[str], fresh: str) -> str:
    """The first of the old words that stands in the line gives way to the new ones, the others go."""
    for at, words in enumerate(old):
        pattern = re.compile(rf"(?<![\w-]){re.escape(normalise(words))}(?![\w-])")
        plain = pattern.sub(lambda _, put=fresh if at == 0 else "": put, plain, count=1)
    return plain
