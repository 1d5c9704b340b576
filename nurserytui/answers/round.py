"""The round: what needs doing now, or by a day, and why."""

from __future__ import annotations

import re
from datetime import datetime, time, timedelta

from nurserytui.answers import absence, handover
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.round_lines import bullet, gravest, parted, shown
from nurserytui.answers.selection import join, last_day, trouble, wanted
from nurserytui.answers.tasks import Task, tasks
from nurserytui.answers.tasks.feeding import card_of
from nurserytui.answers.tasks.living import animals, groups
from nurserytui.answers.tasks.task import inside
from nurserytui.answers.wording import OWN_RECORDS, Cited, ask, capital, cite, counted, day_words, listed
from nurserytui.language.going_further import AFTER_ONE

TOPIC = "round"
OUTDOORS = "What the records have is the warmth of rooms and cages: look up the weather outdoors before a release."
KINDS = (
    (r"\b(clean\w*|wash\w*|disinfect\w*|mucky|muck out)\b", ("clean", "disinfect"), "to clean"),
    (r"\b(disturb\w*|leave alone|left alone|leave be|not (?:to )?touch|moult\w*|molt\w*)\b", ("moult",), "to leave alone"),
    (r"\b(water\w*|vases?|cuttings?|stems?|re-?cut)\b", ("water", "cuttings", "short"), "to water or cut"),
    (r"\b(feed\w*|food|fed|leaf|leaves|hungry)\b", ("feed", "nectar", "short"), "to feed"),
    (r"\b(releas\w*|let (?:\w+ )?go|set free)\b", ("release", "hold"), "to release"),
    (
        r"\b(apart|quarantine|isolat\w*|watch\w*|shar\w+|crowd\w*)\b",
        ("watch", "apart", "sign", "wasps", "share", "crowd"),
        "to keep apart",
    ),
    (r"\b(check\w*|looking at|look in on|inspect\w*)\b", ("check", "pupae", "watch", "sign", "late", "due"), "to check"),
)
"""Words of a line, the kinds of task that they mean, and how an answer names them."""
WAITING = (
    (r"\b(?:(?<!most )urgent\w*(?! (?:\w+ )?(?:first|on top))|pressing|emergenc\w+|can ?not wait|can'?t wait)\b", "urgent"),
    (r"\bcan wait\b", "can wait"),
)
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
    if request.period is None and (bad := no_such_day(request, nursery)):
        return ask(
            TOPIC, f"There is no {bad}. Until which day?", ("what needs doing today", f"what needs doing until {_in_a_week(now)}")
        )
    page = handover.asked(request, nursery)
    if page or absence.asked(request, nursery):
        return handover.handover(request, nursery) if page else absence.absence(request, nursery)
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
    kinds, what = next(((kinds, what) for pattern, kinds, what in KINDS if re.search(pattern, request.plain)), ((), "to do"))
    if event:
        meant = [task for task in found if task.kind in ("due", "late") and task.event == event]
        return _expected(request, nursery, event, meant, until)
    if re.search(r"\boverdue\b|\bpast due\b", request.plain):
        found = [task for task in found if task.kind in ("clean", "late") or task.rule == "look-resting"]
    elif kinds:
        found = [task for task in found if task.kind in kinds]
    found = found[request.plain.count(AFTER_ONE) :]
    waiting = next((said for pattern, said in WAITING if re.search(pattern, request.plain)), "")
    if waiting and not kinds:
        return _by_urgency(request, nursery, want, found, until, waiting)
    return _listing(request, nursery, want, found, until, kinds, what)


def no_such_day(request, nursery) -> str:
    """A date in the line that no calendar has, as it was said; "" where there is none."""
    if not re.search(r"\d", request.text):
        return ""
    from nurserytui.language.record_days import impossible_date
    from nurserytui.language.spans import scan
    from nurserytui.language.vocabulary import Vocabulary

    return impossible_date(scan(request.text, Vocabulary.of(nursery), nursery.now, nursery.settings), nursery.now)


def _in_a_week(now: datetime) -> str:
    day = now + timedelta(days=7)
    return f"{day.day} {day:%B}"


def _until(request, now: datetime) -> datetime:
    """The end of the period asked about, at least the end of today. `before Friday` ends with the day before."""
    period = request.period
    end_of_today = datetime.combine(now.date(), time(23, 59, 59))
    if period is None and re.search(r"\b(?:my|the) week\b", request.plain):
        return end_of_today + timedelta(days=6)
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


def _listing(request, nursery, want, found: list[Task], until: datetime, kinds, what: str) -> Answer:
    now = nursery.now
    place = f" in {listed(want.enclosures)}" if want.enclosures else ""
    by = "today" if until.date() == now.date() else f"by {day_words(until, now)}"
    if not found:
        lines = [f"Nothing {what}{place} {by} by the records.", _hint(kinds)]
    else:
        if kinds == ("clean", "disinfect"):
            names = dict.fromkeys(task.name for task in found)
            first = f"Yes: {listed(names)} {'wants' if len(names) == 1 else 'want'} cleaning."
        else:
            grave = gravest(found)
            first = f"{counted(len(found), 'task')}{place} {by}{f', {grave}' if grave else f'; begin with {found[0].enclosure or found[0].name}'}."
        lines = [
            first,
            *shown(found, nursery),
            f"Write it down as it is done, as in “{found[0].record}”: it then leaves the round.",
        ]
    if kinds == ("moult",):
        lines.append(_still(nursery))
    if any(task.kind == "release" for task in found):
        lines.append(OUTDOORS)
    if not kinds:
        lines.append(_lacking(nursery, want))
    items = tuple(_item(task, rank) for rank, task in enumerate(found, 1))
    return _answer(request, nursery, want, found, join(*lines), items, until)


def _by_urgency(request, nursery, want, found: list[Task], until: datetime, waiting: str) -> Answer:
    """What may cost animals today, or what can be left for a day; the rest is counted."""
    meant = [
        task for task in found if (task.priority == 3) == (waiting == "can wait") and (waiting != "urgent" or task.priority == 1)
    ]
    rest = len(found) - len(meant)
    if waiting == "can wait":
        first = f"{counted(len(meant), 'task')} can wait a day." if meant else "Nothing of today's round can wait."
    elif meant:
        first = f"Yes, of {counted(len(found), 'task')} {gravest(meant)}."
    else:
        first = "Nothing is urgent by the records: no task of today's round may cost animals today."
    lines = [first, *shown(meant, nursery)]
    if rest:
        lines.append(
            f"Besides, {counted(rest, 'task')} {'that should not wait' if waiting == 'can wait' else 'of today that are less pressing'}."
        )
    others = [task for task in found if task not in meant]
    items = tuple(_item(task, rank) for rank, task in enumerate([*meant, *others], 1))
    return _answer(request, nursery, want, meant, join(*lines), items, until)


def _hint(kinds) -> str:
    if "feed" in kinds:
        return "Every enclosure with larvae has fresh leaf recorded for today."
    if "clean" in kinds:
        return "No occupied enclosure with larvae is past the weekly cleaning."
    if "water" in kinds:
        return "Stems are followed once they are written down, as in “cut fennel” or “I have 6 stems of fennel”."
    return ""


def _lacking(nursery, want) -> str:
    """What the records would have to say for a fuller round."""
    here = [
        (cohort, place)
        for cohort, place in groups(nursery)
        if want.cohort_fits(cohort, nursery.ledger) and (not want.enclosures or place in want.enclosures)
    ]
    strange = dict.fromkeys(cohort for cohort, _ in here if nursery.ledger.cohorts[cohort].species in ("", "unknown"))
    homeless = dict.fromkeys(cohort for cohort, place in here if not place)
    said = []
    if strange:
        said.append(f"nothing is forecast for {listed(strange)}, no species is recorded")
    if homeless:
        said.append(f"no cleaning is told for {listed(homeless)}, no enclosure is recorded")
    return f"{capital('; '.join(said))}." if said else ""


def _still(nursery) -> str:
    """Who hangs or is a pupa, and whose moult cannot be told: not to be disturbed either."""
    hanging, unknown = [], []
    for (cohort, place), stages in groups(nursery).items():
        kept = {stage: count for stage, count in stages.items() if stage in ("prepupa", "pupa")}
        if kept:
            hanging.append(f"{animals(kept)} of {cohort}{inside(place)}")
    for key, _ in nursery.heads(stage="larva"):
        if key.instar is None:
            unknown.append(key.cohort)
    words = f"Not to be moved or touched either: {listed(hanging)}." if hanging else ""
    if unknown:
        words += (
            f" When {listed(dict.fromkeys(unknown))} moult cannot be told, no instar is recorded: leave those that sit still."
        )
    return words.strip()


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
    lines = [first, *(bullet(task, now.date()) for task in found)]
    items = tuple(_item(task, rank) for rank, task in enumerate(found, 1))
    return _answer(request, nursery, wanted(request, nursery), found, join(*lines), items, until)


def _first_by(task: Task, nursery, until: datetime) -> bool:
    from nurserytui.answers.outlook import outlook

    found = outlook(nursery, task.name, task.event, task.enclosure)
    return found is not None and found.first.at is not None and found.first.at <= until


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


def _answer(request, nursery, want, found: list[Task], text: str, items: tuple, until: datetime) -> Answer:
    tally: dict[str, int] = {}
    for task in found:
        tally[task.kind] = tally.get(task.kind, 0) + 1
    about: dict = {"enclosure": want.enclosures[0]} if len(want.enclosures) == 1 else {}
    if len(want.cohorts) == 1:
        about["cohort"] = want.cohorts[0]
    working = [
        f"Tasks due by {until:%Y-%m-%d}: {listed(f'{count} {kind}' for kind, count in tally.items()) or 'none'}.",
        "Priority 1 may cost animals today, 2 is today's work, 3 can wait a day; what was recorded today is left out.",
        *(
            f"More on {task.brief or task.name}: {'; '.join(more)}."
            for task in found[:9]
            if task.reason and (more := parted(task, nursery.now.date())[1])
        ),
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
        sources=sources_of(found, nursery),
        cautions=cautions_of(found),
        next=(*nexts, "why the first one", "whats due over the next three days")[:3],
    )


def sources_of(found: list[Task], nursery) -> tuple[Cited, ...]:
    """The records, and what the rhythms of those tasks come from."""
    rules = [rule for name in dict.fromkeys(task.rule for task in found) if (rule := nursery.knowledge.rule(name))]
    cards = [card for task in found if task.kind in ("water", "cuttings") and (card := card_of(nursery, task.host))]
    return (OWN_RECORDS, *cite(nursery.knowledge, [source for one in (*rules, *cards) for source in one.sources]))


def cautions_of(found: list[Task]) -> tuple[str, ...]:
    kinds = {task.kind for task in found}
    cautions = []
    if kinds & {"watch", "sign", "wasps", "hold"}:
        cautions.append(
            "See to animals on watch or with a sign last, and wash your hands and tools before going back to the others."
        )
    if "disinfect" in kinds:
        cautions.append(
            "Bleach is never mixed with any other product; gloves, eyes covered, window open, rinse twice and dry before use."
        )
    if "release" in kinds:
        cautions.append(
            "Release only native species, where they were found, in their season; rules differ by place: ask the authority."
        )
    return tuple(cautions)


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
