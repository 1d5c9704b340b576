"""Going away: what cannot wait, what to do before leaving, what happens meanwhile, and what waits until the return."""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from nurserytui.answers.ahead import CHANGES, ahead
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.giving_up import days_said
from nurserytui.answers.round_lines import gathered
from nurserytui.answers.selection import join, last_day, shortened
from nurserytui.answers.tasks import Task, tasks
from nurserytui.answers.tasks.feeding import card_of, hosts_of
from nurserytui.answers.tasks.living import groups
from nurserytui.answers.wording import OWN_RECORDS, cite, counted, day_words, listed, number, short_day, stage_count
from nurserytui.language.dates import read

TOPIC = "round"
AWAY = re.compile(
    r"\b(?:away|gone|absent|abroad|out of town|holidays?|vacation|trip|travell?ing|not (?:be )?(?:here|home|in)|(?:i|we|they) leave|leaving|(?:are|am) (?:back|off)|"
    r"left alone|leave them|(?:be|come|coming) (?:back|home)|nobody (?:is |will be )?(?:here|in|there))\b"
)
"""Said with a day that is to come."""
FARTHEST = timedelta(days=400)


class Absence(NamedTuple):
    start: date
    until: datetime
    """The end of the last day of it."""


def asked(request, nursery) -> bool:
    """Whether the line speaks of an absence that ends on a day to come."""
    return bool(AWAY.search(request.plain)) and absence_of(request, nursery) is not None


def absence_of(request, nursery) -> Absence | None:
    """From when to when the line says, by the days in it that are to come, or so many days from now; None where it says none."""
    now, settings = nursery.now, nursery.settings
    said = read(
        request.plain, now, direction="ahead", month_first=str(settings.dates).startswith("m"), season_start=settings.season_start
    )
    ahead_of = [one for one in (said or filter(None, (request.period,))) if last_day(one) >= now.date()]
    start = max(ahead_of[0].start.date() if ahead_of else now.date(), now.date())
    ends = [last_day(one) for one in ahead_of if last_day(one) - now.date() <= FARTHEST]
    if len(ahead_of) > 1 and ends and ends[-1] < start:
        ends.append(ends[-1] + timedelta(days=7))  # `friday to monday`, said on a sunday
    days = next((one for one in request.amounts if one.kind == "time"), None)
    if ends:
        return Absence(start, datetime.combine(max(ends), time(23, 59, 59)))
    if days is not None:
        from nurserytui.amounts.factors import convert

        whole = round(convert(days.value, days.unit, "day"))
        if 1 <= whole <= FARTHEST.days:
            return Absence(start, datetime.combine(start + timedelta(days=whole), time(23, 59, 59)))
    told = days_said(request.plain)
    if told is not None and 1 <= told <= FARTHEST.days and re.search(r"\bfor\b", request.plain):
        return Absence(start, datetime.combine(start + timedelta(days=round(told)), time(23, 59, 59)))
    if re.search(r"\bweekend\b", request.plain):
        sunday = now.date() + timedelta(days=6 - now.weekday())
        return Absence(max(now.date(), sunday - timedelta(days=1)), datetime.combine(sunday, time(23, 59, 59)))
    return None


def absence(request, nursery) -> Answer:
    now = nursery.now
    start, until = absence_of(request, nursery)
    plan = ahead(nursery, until)
    leaving = datetime.combine(start, time(23, 59, 59))
    before = [task for task in tasks(nursery, leaving) if task.kind not in CHANGES]
    urgent, waits = _needs_someone(nursery, plan, start)
    days = (until.date() - start).days
    lines = [
        _verdict(urgent, days, until, now),
        *([_head("Cannot wait until you are back", "have someone come for it"), *urgent] if urgent else []),
        *([_head("Before you leave", day_words(start.isoformat(), now))] if before else []),
        *shortened([words for words, _ in gathered(before, nursery, reasons=False)], 14),
        *_stock_up(nursery, days),
        *([_head("Meanwhile", "by the forecasts")] if plan.changes else ["Meanwhile: no change is expected by the forecasts."]),
        *shortened([_change_line(task) for task in plan.changes], 14),
        *([f"Can wait until you are back: {listed(waits)}."] if waits else []),
        "For whoever comes: ask for a handover sheet until that day.",
    ]
    items = tuple(
        {
            "name": task.name, "label": task.label, "rank": rank, "due": task.due.isoformat(), "reason": task.reason, "priority": task.priority,
            "kind": task.kind, "enclosure": task.enclosure, "record": task.record, "event": task.event,
        }
        for rank, task in enumerate([*before, *plan.changes], 1)
    )  # fmt: skip
    rules = [rule for task in before if (rule := nursery.knowledge.rule(task.rule))]
    return Answer(
        "answered",
        TOPIC,
        join(*lines),
        values={"count": Value(len(items), "tasks"), "days": Value(days, "days")},
        items=items,
        working=(
            f"Away from {start.isoformat()} to {until:%Y-%m-%d}: {counted(days, 'day')}.",
            f"Due by the day of leaving: {counted(len(before), 'task')}; changes that may begin meanwhile: {len(plan.changes)}.",
            "Larvae are taken to need leaf every day, hatchlings within the first, adults food from their second.",
        ),
        sources=(OWN_RECORDS, *cite(nursery.knowledge, [source for rule in rules for source in rule.sources])),
        cautions=(
            "Forecasts lean on the temperature that the room keeps: a hot spell while you are away brings everything forward.",
            "Larvae without food for a day may turn on each other or starve; when in doubt have someone come.",
        ),
        next=(f"handover sheet until {until:%A}", "what needs doing today", "how much leaf do they need until then"),
    )


def _head(words: str, more: str) -> str:
    return f"{words} ({more}):"


def _verdict(urgent: list[str], days: int, until: datetime, now: datetime) -> str:
    away = f"Away until {day_words(until, now)}, {counted(days, 'day')}"
    if not urgent:
        return f"{away}: by the records nothing needs anyone while you are gone."
    return f"{away}: {counted(len(urgent), 'thing')} cannot wait, so someone has to come."


def _needs_someone(nursery, plan, start: date) -> tuple[list[str], list[str]]:
    """What nobody can put off, in lines, and the acts that can wait, in words."""
    lines = []
    feeding = {(task.enclosure or task.name): task for rows in plan.days.values() for task in rows if task.kind == "feed"}
    if feeding:
        larvae = sum(stages.get("larva", 0) for stages in groups(nursery).values())
        lines.append(
            f"- Leaf every day for {stage_count(larvae, 'larva')} in {counted(len(feeding), 'enclosure')}: {listed(feeding)}."
        )
    for event, words in (
        ("hatch", "hatchlings need tender leaf within a day"),
        ("emerge", "they need room, and food or their release within two days"),
    ):
        coming = [task for task in plan.changes if task.event == event]
        if coming:
            names = listed(f"{task.name} ({_from(task)})" for task in coming)
            lines.append(
                f"- {'Eggs' if event == 'hatch' else 'Pupae'} of {names} may {'hatch' if event == 'hatch' else 'come out'}: {words}."
            )
    held = dict.fromkeys(task.name for rows in plan.days.values() for task in rows if task.kind == "hold")
    adults = dict.fromkeys(task.name for rows in plan.days.values() for task in rows if task.kind in ("release", "nectar"))
    free = [name for name in adults if name not in held]
    if free:
        lines.append(
            f"- Adults of {listed(free)}: release them before you leave if weather and health allow, else food every day."
        )
    if held:
        lines.append(f"- Adults of {listed(held)}: do not release them; food every day, for as long as they are held.")
    ill = [task for rows in plan.days.values() for task in rows if task.kind in ("sign", "watch", "wasps")]
    if ill:
        lines.append(
            f"- A look every day at {listed(dict.fromkeys(task.enclosure or task.name for task in ill))}: ill or on watch."
        )
    water = [task for rows in plan.days.values() for task in rows if task.kind in ("water", "cuttings", "short")]
    if water:
        lines.append(f"- Water or fresh stems: {listed(dict.fromkeys(task.label for task in water))}.")
    waits = []
    for kind, words in (("clean", "cleaning"), ("disinfect", "disinfecting"), ("check", "looks"), ("pupae", "looks at pupae")):
        places = dict.fromkeys(
            task.enclosure or task.name for day, rows in plan.days.items() if day > start for task in rows if task.kind == kind
        )
        if places:
            waits.append(f"{words} ({listed(places)})" if len(places) < 7 else f"{words} of {len(places)} enclosures")
    return lines, waits


def _from(task: Task) -> str:
    last = f" to {short_day(task.last)}" if task.last and task.last > task.due else ""
    return f"{short_day(task.due)}{last}"


def _change_line(task: Task) -> str:
    return f"- {_from(task)}: {task.label}."


def _stock_up(nursery, days: int) -> list[str]:
    """Whether stems cut on leaving last until the return, by the cutting card of each host."""
    eating = dict.fromkeys(cohort for (cohort, _), stages in groups(nursery).items() if stages.get("larva"))
    hosts = hosts_of(nursery, eating)
    lines = []
    for host in hosts[:6]:
        card = card_of(nursery, host)
        name = nursery.knowledge.common(host) or host
        if card.days_low >= days:
            lines.append(
                f"- Cut {name} on the day you leave: it keeps {number(card.days_low)}-{number(card.days_high)} days in water."
            )
        else:
            lines.append(
                f"- Cut {name} will not last: {number(card.days_low)}-{number(card.days_high)} days in water; a potted plant does."
            )
    return lines
