"""A page for whoever covers: what to do on each day in each enclosure, what may happen, what to leave alone, what to do when something is
wrong. In plain words, for someone who has never kept a caterpillar."""

from __future__ import annotations

import re
from datetime import datetime, time, timedelta

from nurserytui.answers.absence import absence_of
from nurserytui.answers.ahead import CHANGES, Ahead, ahead, places_in_order
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.host_words import hazards_of
from nurserytui.answers.tasks import Task
from nurserytui.answers.tasks.feeding import hosts_of
from nurserytui.answers.tasks.living import by_place, groups, together
from nurserytui.answers.wording import OWN_RECORDS, capital, cite, counted, day_words, listed, number, short_day

TOPIC = "round"
ASKED = re.compile(
    r"\bhand-?\s?overs?\b|\bsitters?\b|\bneighbou?rs?\b|\bwhoever\b|\bstand-?in\b|\bcover(?:s|ing)?\b|\bsomeone else\b|\b(?:sheet|page|list|instructions) for\b|"
    r"\bwhat(?:'s| is| will| does)? (?:(?:going to|gonna) )?happens?\b|\binstructions\b"
)
USUAL = timedelta(days=3)
"""How far the page reaches where no day is said."""
PLAIN = {"egg": ("egg", "eggs"), "larva": ("caterpillar", "caterpillars"), "prepupa": ("hanging caterpillar", "hanging caterpillars"),
         "pupa": ("chrysalis", "chrysalises"), "adult": ("butterfly or moth", "butterflies or moths")}  # fmt: skip
"""Stages in words that need no trade."""
KEEPER = ("share", "apart", "crowd", "disinfect")
"""What nobody else is asked to do: who goes where, and bleach."""
MAY = {
    "hatch": "{whose} may hatch: tiny caterpillars, the size of a comma. Put one tender leaf ({leaf}) beside the shells, fresh every day from then on; move nothing",
    "pupate": "{whose} may hang up or turn into a chrysalis: leave them where they are, for two days at least",
    "turn": "{whose} may turn into a chrysalis: leave them where they are, for two days at least",
    "emerge": "{whose} may come out: they hang for hours to dry their wings. Touch nothing, make room below; from the second day on a pad with sugar water. Let none go unless the keeper said so",
    "moult": "{whose} sit still to change their skin: put leaf beside them, do not move or peel them off",
}


def asked(request, nursery) -> bool:
    """Whether the line wants the page for somebody else, or what will happen by a day to come."""
    if not ASKED.search(request.plain):
        return False
    only_happens = re.search(r"\bhappens?\b", request.plain) and not re.search(
        r"\bhand-?\s?over|\bsheet\b|\bsitter|\bneighbou?r", request.plain
    )
    return not only_happens or absence_of(request, nursery) is not None


def handover(request, nursery) -> Answer:
    now = nursery.now
    away = absence_of(request, nursery)
    until = away.until if away else datetime.combine((now + USUAL).date(), time(23, 59, 59))
    plan = ahead(nursery, until)
    order = places_in_order(nursery, plan.daily)
    heads = sum(sum(stages.values()) for stages in groups(nursery).values())
    days = len(plan.days)
    if not heads:
        return _nothing(nursery, until)
    lacking = _lacking(nursery)
    flying = {task.enclosure for task in plan.daily if task.kind == "wasps"}
    keeper = [
        f"- {task.label}: then “{task.record}”."
        for task in plan.days[now.date()]
        if task.kind in KEEPER or task.kind in ("wasps", "clean") and task.enclosure in flying
    ]
    lines = [
        f"Handover until {day_words(until, now)}: {counted(days, 'day')}, {counted(len(order), 'enclosure')}, {counted(heads, 'animal')}.",
        "Each day: " + ("the boxes under EVERY DAY in their order, then what stands under that day." if plan.daily else "what stands under that day."),
        "", "FIRST",
        *_advice(nursery, "first"),
        "", "EVERY DAY, in this order", *(_every_day(nursery, plan, order) or ["- nothing"]),
        "", "DAY BY DAY, besides that", *_day_by_day(nursery, plan),
        "", "LEAVE ALONE", *_alone(nursery),
        "", "IF SOMETHING IS WRONG", *_advice(nursery, "wrong"),
        "", "WRITE DOWN", "- What you did and saw, with the day: " + ", ".join(f"“{said}”" for said in _sentences(plan)) + ".",
        *(["", "WHAT THE RECORDS DO NOT SAY", *(f"- {one}" for one in lacking)] if lacking else []),
        *(["", "FOR THE KEEPER, before leaving", *keeper] if keeper else []),
    ]  # fmt: skip
    items = tuple(_item(day, task, rank) for rank, (day, task) in enumerate(_rows(plan), 1))
    rules = [rule for name in dict.fromkeys(task["rule"] for task in items) if (rule := nursery.knowledge.rule(name))]
    rules += nursery.knowledge.rules("handover")
    hosts = hosts_of(nursery, dict.fromkeys(cohort for (cohort, _), stages in groups(nursery).items() if stages.get("larva")))
    return Answer(
        "answered",
        TOPIC,
        "\n".join(lines),
        values={"count": Value(len(items), "tasks"), "days": Value(days, "days")},
        items=items,
        working=(
            f"Laid out from {now:%Y-%m-%d} to {until:%Y-%m-%d}: {len(plan.daily)} daily acts, {len(plan.work)} on single days, "
            f"{len(plan.changes)} changes by the forecasts.",
            "Order: eggs, small and large larvae, pupae, adults, and what is ill or on watch last.",
        ),
        sources=(OWN_RECORDS, *cite(nursery.knowledge, [source for rule in rules for source in rule.sources])),
        cautions=(
            *hazards_of(hosts, nursery.knowledge, 3),
            "No bleach and no sprays by whoever covers: new paper is enough for these days.",
            "The dates are forecasts: warm days bring everything forward, cool ones put it off.",
        ),
        next=("what needs doing today", f"what cannot wait until {until:%A} if I am away", "labels for all cages"),
    )


def _nothing(nursery, until: datetime) -> Answer:
    return Answer(
        "answered",
        TOPIC,
        f"Nothing to hand over until {day_words(until, nursery.now)}: by the records no animal is here.",
        values={"count": Value(0, "tasks")},
        working=("The headcount is 0, so nothing has to be fed or watched.",),
        sources=(OWN_RECORDS,),
        next=("which enclosures are empty", "what needs doing today"),
    )


def _advice(nursery, about: str) -> list[str]:
    return [f"- {rule.text}" for rule in nursery.knowledge.rules("handover") if about in rule.about]


def plain_animals(stages: dict[str, int]) -> str:
    """`7 caterpillars and 2 hanging caterpillars`."""
    return listed(counted(count, *PLAIN[stage]) for stage, count in stages.items())


def _kind(nursery, cohorts) -> str:
    names = [nursery.ledger.cohorts[cohort].species for cohort in cohorts]
    return listed(dict.fromkeys(nursery.knowledge.common(name) or name for name in names if name not in ("", "unknown")))


def _every_day(nursery, plan: Ahead, order: list[str]) -> list[str]:
    """One line an enclosure with a daily act, those that are ill last."""
    living = by_place(nursery)
    lines = []
    for place in [*order, ""]:
        here = [task for task in plan.daily if task.enclosure == place]
        if not here:
            continue
        cohorts = living.get(place, {})
        kind = _kind(nursery, cohorts)
        acts = list(dict.fromkeys(_act(nursery, task) for task in here))
        name = place or listed(dict.fromkeys(task.name for task in here))
        last = " (LAST, then wash your hands)" if any(task.kind in ("watch", "sign", "hold", "wasps") for task in here) else ""
        lines.append(f"- {name}{last}: {plain_animals(together(cohorts))}{f', {kind}' if kind else ''}: {'; '.join(acts)}.")
    daily = {task.enclosure for task in plan.daily}
    for task in plan.changes:
        if task.event == "hatch" and task.kind == "due" and task.enclosure and task.enclosure not in daily:
            stages = together(living.get(task.enclosure, {}))
            lines.append(
                f"- {task.enclosure}: {plain_animals(stages)}: look without touching; from the day they hatch one tender leaf a day."
            )
    return lines


def _act(nursery, task: Task) -> str:
    """What to do, in plain words."""
    if task.kind == "feed":
        hosts = [nursery.knowledge.common(host) or host for host in hosts_of(nursery, task.cohorts)]
        return f"fresh {listed(hosts)} leaf" if hosts else "fresh leaf of the plant that is in there"
    if task.kind == "nectar":
        food = nursery.knowledge.rule("first-feed")
        return f"a clean pad with sugar water ({number(food.low)}-{number(food.high)} %: a spoon of sugar to six of water), fresh each day"
    if task.kind in ("watch", "sign", "hold"):
        return "look, do not touch: they may be ill or stung; nothing from this box goes into another"
    if task.kind == "wasps":
        return "small wasps or flies may be loose in it: open it no more than you must, kill those on the netting"
    if task.kind in ("check", "pupae", "late"):
        return "look without touching"
    if task.kind == "clean":
        return "take out droppings and old leaf, lay new paper; move no animal for it"
    if task.kind == "water":
        return "fresh water for the stems, stopper back on"
    if task.kind == "cuttings":
        return f"new stems of {nursery.knowledge.common(task.host) or task.host}"
    if task.kind == "release":
        return "the butterflies may go out in dry, calm, warm weather (the keeper says when)"
    return task.label[:1].lower() + task.label[1:]


def _day_by_day(nursery, plan: Ahead) -> list[str]:
    now = nursery.now
    known = set(map(id, plan.daily))
    flying = {task.enclosure for task in plan.daily if task.kind == "wasps"}
    begun = set()
    lines = []
    for day, rows in plan.days.items():
        work = [task for task in rows if task.kind not in (*CHANGES, *KEEPER) and id(task) not in known]
        # What has wasps loose in it is opened for nothing but leaf.
        work = [task for task in work if not (task.kind == "clean" and task.enclosure in flying)]
        changes = [task for task in rows if task.kind in CHANGES and id(task) not in begun]
        begun.update(map(id, changes))
        lines.append(f"{day_words(day.isoformat(), now)}:")
        acts: dict[str, list[str]] = {}
        for task in work:
            acts.setdefault(task.enclosure or task.name, []).append(_act(nursery, task))
        lines += [f"- {place}: {'; '.join(dict.fromkeys(words))}." for place, words in acts.items()]
        lines += [f"- {_may(nursery, task)}." for task in changes]
        if not acts and not changes:
            lines.append("- nothing more")
    later = [task for task in plan.changes if id(task) not in begun]
    if later:
        lines.append("Possible before then, though later is likelier:")
        lines += [f"- {_may(nursery, task)}." for task in later]
    return lines


def _may(nursery, task: Task) -> str:
    cohort = task.cohorts[0] if task.cohorts else task.name
    count = re.search(r"\d+", task.label)
    stage = {"hatch": "egg", "emerge": "pupa"}.get(task.event, "prepupa" if "prepupa" in task.label else "larva")
    if task.kind == "late":
        return f"{task.enclosure or cohort}: {_late_words(nursery, task)}"
    whose = f"{counted(int(count[0]), *PLAIN[stage])} ({cohort})" if count else cohort
    hosts = hosts_of(nursery, task.cohorts)
    leaf = listed(nursery.knowledge.common(host) or host for host in hosts) or "of the plant they were laid on"
    until = f" (until about {short_day(task.last)})" if task.last and task.last > task.due else ""
    return (
        f"{task.enclosure or cohort}: {MAY['turn' if stage == 'prepupa' else task.event].format(whose=whose, leaf=leaf)}{until}"
    )


def _late_words(nursery, task: Task) -> str:
    return f"what there is of {listed(task.cohorts)} is later than expected: look, and throw nothing out"


def _alone(nursery) -> list[str]:
    """What is not to be touched, by enclosure."""
    lines = []
    for place, cohorts in by_place(nursery).items():
        stages = together(cohorts)
        still = {stage: count for stage, count in stages.items() if stage in ("prepupa", "pupa")}
        if still:
            lines.append(
                f"- {place or listed(cohorts)}: {plain_animals(still)}. Do not touch, turn or spray them, nor the twig or lid that they hang from."
            )
    lines.append("- Any caterpillar that sits still, anywhere: never pull one off.")
    lines.append("- Eggs: never off their leaf.")
    return lines


def _rows(plan: Ahead) -> list[tuple]:
    return [(day, task) for day, rows in plan.days.items() for task in rows]


def _item(day, task: Task, rank: int) -> dict:
    return {
        "name": task.name, "label": task.label, "rank": rank, "due": day.isoformat(), "reason": task.reason, "priority": task.priority,
        "kind": task.kind, "enclosure": task.enclosure, "record": task.record, "event": task.event, "rule": task.rule,
    }  # fmt: skip


def _sentences(plan: Ahead) -> list[str]:
    """Sentences as the program takes them, of what is on this page."""
    said = list(dict.fromkeys(task.record for task in (*plan.daily, *plan.changes) if task.kind != "wasps"))
    return said[:5] or ["checked tub 1"]


def _lacking(nursery) -> list[str]:
    """What whoever covers would have to be told by the keeper."""
    found = []
    larvae = [cohort for (cohort, _), stages in groups(nursery).items() if stages.get("larva") or stages.get("egg")]
    unhosted = [cohort for cohort in dict.fromkeys(larvae) if not nursery.ledger.cohorts[cohort].host]
    if unhosted:
        found.append(f"the plant that {listed(unhosted)} {'eats' if len(unhosted) == 1 else 'eat'}: show it")
    homeless = list(dict.fromkeys(cohort for cohort, place in groups(nursery) if not place))
    if homeless:
        found.append(f"where {listed(homeless)} {'stands' if len(homeless) == 1 else 'stand'}: no enclosure is recorded")
    strange = [
        cohort
        for cohort in dict.fromkeys(c for c, _ in groups(nursery))
        if nursery.ledger.cohorts[cohort].species in ("", "unknown")
    ]
    if strange:
        found.append(f"what {listed(strange)} {'is' if len(strange) == 1 else 'are'}: no species, so no forecast")
    found.append("where the leaf is cut, and whom to call: write it here")
    return [capital(one) + "." for one in found]
