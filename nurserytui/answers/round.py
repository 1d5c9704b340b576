"""The round: what needs doing now, or by a day, and why."""

from __future__ import annotations

import re
from datetime import datetime, time, timedelta

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.selection import join, last_day, trouble, wanted
from nurserytui.answers.tasks import Task, tasks
from nurserytui.answers.wording import OWN_RECORDS, Cited, counted, day_words, listed

TOPIC = "round"
SHOWN = 20
PRACTICE = Cited(
    "rearing-routine", "common rearing routine: fresh leaf daily, clean weekly, a daily look at what feeds or hangs", "practice"
)
KINDS = (
    (r"\b(clean\w*|wash\w*|disinfect\w*|mucky|muck out)\b", ("clean", "disinfect")),
    (r"\b(feed\w*|food|fed|leaf|leaves|hungry)\b", ("feed",)),
    (r"\b(releas\w*|let (?:\w+ )?go|set free)\b", ("release",)),
    (r"\b(apart|quarantine|isolat\w*|watch\w*)\b", ("watch", "apart", "sign")),
    (r"\b(check\w*|looking at|look in on|inspect\w*)\b", ("check", "watch", "sign", "due")),
)
HEADS = {1: "First:", 2: "Today:", 3: "Can wait or comes soon:"}
EVENTS = (
    (r"\b(hatch\w*)\b", "hatch"),
    (r"\b(pupat\w*|chrysal\w*|cocoons?)\b", "pupate"),
    (r"\b(emerg\w*|eclos\w*|c[oa]m(?:e|ing) out|due out|be out)\b", "emerge"),
)


def round_today(request, nursery) -> Answer:
    """Tasks up to the end of today, or of the period asked about, most pressing first; what was recorded today is gone from it."""
    if not nursery.ledger.cohorts:
        return _nothing_kept(request, nursery)
    stopped = trouble(request, nursery, TOPIC)
    if stopped:
        return stopped
    now = nursery.now
    over = request.period is not None and last_day(request.period) < now.date()
    if over and not re.search(
        r"\b(?:away|gone|off|will|going|happens?|due|forg[eo]t\w*|miss\w*|should|overdue|late)\b", request.plain
    ):
        from nurserytui.answers.history import history

        return history(request._replace(topic="history"), nursery)
    until = _until(request, now)
    want = wanted(request, nursery)
    found = [task for task in tasks(nursery, until) if _meant(task, want, nursery)]
    event = _event(request)
    kinds = next((kinds for pattern, kinds in KINDS if re.search(pattern, request.plain)), ())
    if event:
        return _expected(request, nursery, event, [task for task in found if task.kind == "due" and task.event == event], until)
    if re.search(r"\boverdue\b|\bpast due\b", request.plain):
        found = [task for task in found if task.kind == "clean" or "overdue" in task.label]
    elif kinds:
        found = [task for task in found if task.kind in kinds]
    only_due = bool(re.search(r"\bdue\b|\bexpect\w*|\bcoming up\b", request.plain)) and until.date() > now.date()
    return _listing(request, nursery, want, found, until, kinds, only_due)


def _until(request, now: datetime) -> datetime:
    """The end of the period asked about, at least the end of today. `before Friday` ends with the day before."""
    period = request.period
    end_of_today = datetime.combine(now.date(), time(23, 59, 59))
    if period is None or period.end <= now:
        return end_of_today
    end = period.end if period.exact else datetime.combine(last_day(period), time(23, 59, 59))
    if period.start <= now and re.search(r"\bbefore\b", period.said):
        return max(end, end_of_today)
    if re.search(r"\bbefore\b", request.plain) and not re.search(r"\bbefore\b", period.said) and period.start.date() > now.date():
        end = datetime.combine(period.start.date(), time()) - timedelta(seconds=1)
    return max(end, end_of_today)


def _meant(task: Task, want, nursery) -> bool:
    if want.enclosures and task.enclosure not in want.enclosures:
        return False
    if not want.animals:
        return True
    if task.name in nursery.ledger.cohorts:
        return want.cohort_fits(task.name, nursery.ledger)
    return any(key.enclosure == task.enclosure and want.cohort_fits(key.cohort, nursery.ledger) for key, _ in nursery.heads())


def _event(request) -> str:
    if request.event in ("hatch", "pupate", "emerge", "prepupate"):
        return "pupate" if request.event == "prepupate" else request.event
    return next((event for pattern, event in EVENTS if re.search(pattern, request.plain)), "")


def _listing(request, nursery, want, found: list[Task], until: datetime, kinds, only_due: bool) -> Answer:
    now = nursery.now
    place = f" in {listed(want.enclosures)}" if want.enclosures else ""
    by = "today" if until.date() == now.date() else f"by {day_words(until, now)}"
    what = {("clean", "disinfect"): "to clean", ("feed",): "to feed", ("release",): "to release"}.get(kinds, "to do")
    others: list[Task] = []
    if only_due:
        others = [task for task in found if task.kind != "due"]
        found = [task for task in found if task.kind == "due"]
        what = "due to change"
    if not found:
        first = f"Nothing {what}{place} {by} by the records."
        answer_items: tuple = ()
        lines = [first, _hint(kinds)]
    else:
        if kinds == ("clean", "disinfect"):
            first = f"Yes: {listed(dict.fromkeys(task.name for task in found))} want cleaning."
        else:
            first = f"{counted(len(found), 'task')}{place} {by}. First: {found[0].label} ({found[0].reason})."
        lines = [first, *_sections(found[:SHOWN], nursery)]
        if len(found) > SHOWN:
            lines.append(f"And {len(found) - SHOWN} more.")
        answer_items = tuple(_item(task, rank) for rank, task in enumerate([*found, *others], 1))
    if others:
        lines.append(f"Besides, {counted(len(others), 'task')} of today's round: ask what needs doing today.")
    return _answer(request, want, found, join(*lines), answer_items, until)


def _hint(kinds) -> str:
    if kinds == ("feed",):
        return "Every enclosure with larvae has fresh leaf recorded for today."
    if kinds == ("clean", "disinfect"):
        return "No occupied enclosure with larvae is past the weekly cleaning."
    return ""


def _expected(request, nursery, event: str, found: list[Task], until: datetime) -> Answer:
    """Whether anything is to hatch, pupate or come out by then."""
    now = nursery.now
    verb = {"hatch": "hatch", "pupate": "pupate", "emerge": "come out"}[event]
    by = f"by {day_words(until, now)}" if until.date() > now.date() else "today"
    likely = [task for task in found if task.due <= until.date() and _first_by(task, nursery, until)]
    if likely:
        first = f"Yes, probably: {listed(dict.fromkeys(task.name for task in likely))} may {verb} {by}."
    elif found:
        first = f"Possibly: {listed(dict.fromkeys(task.name for task in found))} could {verb} {by}, though later is likelier."
    else:
        first = f"No: by the forecasts nothing is due to {verb} {by}."
    lines = [first, *(f"- {task.label}: {task.reason}{f' ({task.span})' if task.span else ''}" for task in found)]
    items = tuple(_item(task, rank) for rank, task in enumerate(found, 1))
    return _answer(request, wanted(request, nursery), found, join(*lines), items, until)


def _first_by(task: Task, nursery, until: datetime) -> bool:
    from nurserytui.answers.outlook import outlook

    found = outlook(nursery, task.name, task.event, task.enclosure)
    return found is not None and found.first.at is not None and found.first.at <= until


def _sections(found: list[Task], nursery) -> list[str]:
    """The tasks under the head of their priority."""
    lines = []
    for priority, head in HEADS.items():
        here = [task for task in found if task.priority == priority]
        if here:
            lines.append(head)
            for task in here:
                due = "" if task.due <= nursery.now.date() else f", by {day_words(task.due.isoformat(), nursery.now)}"
                lines.append(f"- {task.label}{due}: {task.reason}.")
    return lines


def _item(task: Task, rank: int) -> dict:
    item = {
        "name": task.name,
        "label": task.label,
        "rank": rank,
        "due": task.due.isoformat(),
        "reason": task.reason,
        "priority": task.priority,
        "kind": task.kind,
        "enclosure": task.enclosure,
        "record": task.record,
    }
    if task.event:
        item["event"] = task.event
    return item


def _answer(request, want, found: list[Task], text: str, items: tuple, until: datetime) -> Answer:
    tally: dict[str, int] = {}
    for task in found:
        tally[task.kind] = tally.get(task.kind, 0) + 1
    about: dict = {"enclosure": want.enclosures[0]} if len(want.enclosures) == 1 else {}
    if len(want.cohorts) == 1:
        about["cohort"] = want.cohorts[0]
    working = [
        f"Tasks due by {until:%Y-%m-%d}: {listed(f'{count} {kind}' for kind, count in tally.items()) or 'none'}.",
        "Priority 1 may cost animals today, 2 is today's work, 3 can wait a day; what was recorded today is left out.",
        *(f"{task.label}: {task.reason}." for task in found[:5]),
    ]
    nexts = [found[0].record] if found else []
    return Answer(
        "answered",
        TOPIC,
        text,
        about=about,
        values={"count": Value(len(found), "tasks")},
        items=items,
        working=tuple(working),
        sources=(OWN_RECORDS, PRACTICE),
        next=(*nexts, "why the first one", "whats due over the next three days")[:3],
    )


def _nothing_kept(request, nursery) -> Answer:
    return Answer(
        "answered",
        TOPIC,
        "Nothing needs doing: there are no cohorts yet. Write down the first animals, for example “found 3 monarch eggs on milkweed in tub 1”.",
        values={"count": Value(0, "tasks")},
        working=("The records hold 0 cohorts, so no task follows from them.",),
        sources=(OWN_RECORDS,),
        next=("found 3 monarch eggs on milkweed in tub 1", "help"),
    )
