"""What happened when: the events of a cohort, animal, enclosure, species, period or kind, with their dates."""

from __future__ import annotations

import re
from collections import Counter

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.astray import asks_missing, missing
from nurserytui.answers.dated_ahead import dated_ahead
from nurserytui.answers.elapsed import asks_how_long, how_long
from nurserytui.answers.fates import LEFT_WORDS, asks_whether_all, became
from nurserytui.answers.first_dates import asks_first_dates, first_dates
from nurserytui.answers.headcount_asked import asks_handled
from nurserytui.answers.kinds import kinds_asked, when_words
from nurserytui.answers.looked_up import rows_of, sex_of
from nurserytui.answers.notes import caused, holding, noted
from nurserytui.answers.passed import asks_of_all, passed
from nurserytui.answers.season_meant import months_of, of_one_season, older_words, season_asked
from nurserytui.answers.selection import (
    STAGE_ORDER,
    Wanted,
    is_whole_year,
    join,
    last_day,
    of_cohorts,
    present_label,
    standing,
    standing_words,
    trouble,
    wanted,
)
from nurserytui.answers.told import Row, cohort_of, words_of
from nurserytui.answers.wording import (
    OWN_RECORDS,
    animals_name,
    capital,
    counted,
    day_words,
    listed,
    number,
    species_label,
    stage_count,
)
from nurserytui.answers.year_earlier import a_year_earlier
from nurserytui.answers.years import years_compared
from nurserytui.records.events import CHANGING, ENTERING, LEAVING

TOPIC = "history"
CARE = ("cleaned", "fed", "cut", "watered", "stocked")
COUNTING = re.compile(r"\bhow many\b(?! (?:days?|weeks?|months?|hours?)\b)|\btot(?:al)?\b|\bnumber of\b|\bcount\b|\bsum\b")
SHOWN = 40
"""Events that the text lists; `items` has them all."""


def history(request, nursery) -> Answer:
    """The events that the request means, oldest first, or the last or first of them; counts in animals."""
    if "last-written" in request.cues:
        from nurserytui.answers.read_back import read_back

        return read_back(request, nursery)
    stopped = trouble(request, nursery, TOPIC)
    if stopped:
        return stopped
    if request.period is not None and request.period.start.date() > nursery.now.date():
        from nurserytui.answers.round import round_today

        return round_today(request._replace(topic="round"), nursery)
    want = wanted(request, nursery)
    if asks_handled(request.plain):
        from nurserytui.answers.handled import handled

        return handled(request, nursery, want)
    if want.cohorts and (told := _kin(request, nursery, want)) is not None:
        return told
    if asks_first_dates(request.plain):
        return first_dates(request, nursery, want)
    sexes = "sex:both" in request.cues or {"sex:male", "sex:female"} <= request.cues
    kinds = ("released",) if sexes else kinds_asked(request)
    if sex_of(request) and not kinds:
        kinds = ("released",)
    if want.enclosures and set(kinds) <= {"moved", "given"} and asks_of_all(request, want):
        return passed(request, nursery, want)
    if asks_whether_all(request.plain, kinds) and want.animals:
        from nurserytui.answers.survival import survival

        return survival(request._replace(topic="survival"), nursery)
    told = years_compared(request, nursery, want, kinds)
    if told is None and asks_how_long(request, want):
        told = how_long(request, nursery, want)
    if (
        told is None
        and asks_missing(request.plain)
        and not re.search(r"\b(?:when|dates?|last|latest|became|happened)\b", request.plain)
    ):
        told = missing(request, nursery, want, TOPIC)
    if told is not None:
        return told
    plain = request.plain.replace(request.period.said.casefold(), " ") if request.period is not None else request.plain
    latest = bool(re.search(r"\b(last|latest|lately|most recent\w*|newest)\b", plain))
    counting = bool(COUNTING.search(request.plain)) and bool(kinds)
    # Care is written down every day: nobody who asks for the last time wants all of it looked through.
    only = 1 if latest and not counting and kinds and set(kinds) <= set(CARE) else None
    if counting and (year := season_asked(request, nursery, want)) is not None and set(kinds) <= set(CHANGING + LEAVING):
        return _of_season(request, nursery, want, kinds, year)
    rows = rows_of(nursery, want, kinds, request, only)
    if not rows and want.animals and (want.stages or want.hosts):
        # A keeper calls animals by what they are now: `when did I find the K cocoons`, found as larvae.
        rows = rows_of(
            nursery, want._replace(stages=(), hosts=() if want.cohorts or want.species else want.hosts), kinds, request
        )
    if not rows and (earlier := a_year_earlier(request)) and rows_of(nursery, want, kinds, earlier):
        return history(earlier, nursery)
    lead = ""
    if not rows and kinds == ("prepupated",) and (rows := rows_of(nursery, want, ("pupated",), request)):
        lead = "When they hung up is not in the records, only when they were pupae"
    if sexes:
        return _counts(request, nursery, want, ("released",), rows) if rows else _nothing(request, nursery, want, kinds, True)
    if "age" in request.cues:
        alive = {key.cohort for key, _ in nursery.heads()}
        rows = [row for row in rows if any((target or source).cohort in alive for source, target, _ in row.parts)] or rows
    if "died" in kinds and rows:
        rows = caused(rows, request, nursery)
    if kinds == ("note",):
        rows = holding(rows, request.plain)
        if not rows and want.animals and not re.search(r"\bnot(?:e|es|ed)\b", request.plain):
            kinds, rows = (), rows_of(nursery, want, (), request)  # `what did I write down about B`
    if not kinds and want == Wanted() and request.period is None:
        rows = noted(rows, request.plain) or rows
    if not rows and kinds in (("laid",), ("found",)) and want.animals:
        rows = rows_of(nursery, want._replace(stages=()), ENTERING[:2], request)
        lead = (
            "They were found, so when they were laid is not known" if kinds == ("laid",) else "They were not found but laid here"
        )
    if not kinds and request.period is None and re.search(r"\bhow many\b", request.plain):
        from nurserytui.answers.headcount import headcount

        return headcount(request, nursery)
    if not rows and "where" in request.cues and request.period is not None and want.animals:
        from nurserytui.answers.headcount import headcount

        return headcount(request._replace(topic="headcount"), nursery)
    if not rows:
        return dated_ahead(request, nursery, want, kinds) or _nothing(request, nursery, want, kinds, counting)
    if counting and any(kind in ENTERING + CHANGING + LEAVING for kind in kinds):
        return _counts(request, nursery, want, kinds, rows)
    if latest:
        rows = rows[-1:] if kinds else rows[-3:]
    elif re.search(r"\b(first|earliest)\b", plain) and kinds:
        rows = rows[:1]
    return _listing(request, nursery, want, kinds, rows, lead)


def _kin(request, nursery, want: Wanted) -> Answer | None:
    """The mother cohort of the cohorts meant, or the cohorts that came of them, where the line asks for these."""
    from nurserytui.answers.parentage import asks_offspring, asks_parents, offspring, parents

    if asks_offspring(request.plain, nursery, want):
        return offspring(request, nursery, want)
    return parents(request, nursery, want) if asks_parents(request.plain, nursery, want) else None


# Answers ------------------------------------------------------------------------------------------------------------------


def _listing(request, nursery, want: Wanted, kinds, rows: list[Row], lead: str) -> Answer:
    now = nursery.now
    lines = []
    if len(rows) == 1:
        event = rows[0].event
        lines.append(f"{lead + '. ' if lead else ''}{when_words(event, now)}: {words_of(rows[0])}.")
        ago = (now.date() - _date(event)).days
        lines.append("That was today." if ago == 0 else f"That was {counted(ago, 'day')} ago.")
    else:
        lines.append(f"{lead + '. ' if lead else ''}{_summary(request, nursery, want, kinds, rows)}")
        shown = rows[-SHOWN:]
        if len(shown) < len(rows):
            lines.append(f"The last {len(shown)} of {len(rows)} events:")
        lines += [f"- {when_words(row.event, now)}: {words_of(row)}" for row in shown]
    lines.append(_ending(request, nursery, want, kinds))
    values = {"first": Value(rows[0].event.day), "last": Value(rows[-1].event.day), "events": Value(len(rows), "events")}
    animals = sum(row.count for row in rows if row.parts)
    if animals and kinds:
        values["count"] = Value(animals, "animals")
    if len(rows) == 1:
        values["date"] = Value(rows[0].event.when)
    return _answer(request, nursery, want, kinds, rows, join(*lines), values)


def _date(event):
    from datetime import date

    return date.fromisoformat(event.day)


def _summary(request, nursery, want: Wanted, kinds, rows: list[Row]) -> str:
    """The first line over several events: how many, from when to when, and for kinds of change how many animals."""
    now = nursery.now
    first, last = rows[0].event, rows[-1].event
    animals = sum(row.count for row in rows if row.parts)
    span = (
        f"on {day_words(first.day, now)}"
        if first.day == last.day
        else f"from {day_words(first.day, now)} to {day_words(last.day, now)}"
    )
    if not kinds and re.search(r"\bhappened|\bbecame of|\bbecome of|\bfate\b", request.plain) and want.animals:
        return _fate(nursery, want, rows)
    what = ""
    if kinds and animals:
        of_kind = Counter()
        for row in rows:
            of_kind[LEFT_WORDS.get(row.event.what, row.event.what)] += row.count if row.parts else 0
        told = [(kind, count) for kind, count in of_kind.items() if count]
        what = listed(f"{counted(count, 'animal') if not at else count} {kind}" for at, (kind, count) in enumerate(told))
    whose = _whose(nursery, want)
    if what:
        return f"{capital(whose)}: {what}, {span}{_top_detail(rows)}."
    return f"{capital(whose)}: {counted(len(rows), 'event')}, {span}."


def _fate(nursery, want: Wanted, rows: list[Row]) -> str:
    """What became of the animals meant, before their story: the last of those that left, and how many are still here."""
    whose = _whose(nursery, want)
    gone = [row for row in rows if row.event.what in LEAVING and row.parts]
    left = sum(count for _, count in standing(nursery, want._replace(stages=(), instar=None, enclosures=())))
    still = f"; {counted(left, 'animal')} still here" if left else ""
    if not gone:
        last = [row for row in rows if row.parts][-1:] or rows[-1:]
        return f"{whose}: none has left{still}. Last: {words_of(last[0])}, {when_words(last[0].event, nursery.now)}."
    fate = became(nursery, want)
    return f"{whose}: {fate}{still}; the last on {when_words(gone[-1].event, nursery.now)}."


def _kinds_in(rows: list[Row]) -> list[str]:
    return list(dict.fromkeys(row.event.what for row in rows if row.parts))


def _top_detail(rows: list[Row]) -> str:
    """Causes or takers with their counts, where there are a few of them."""
    tally: Counter = Counter()
    for row in rows:
        if row.parts and row.event.detail and row.event.what in LEAVING:
            tally[row.event.detail] += row.count
    return f" ({listed(f'{count} {detail}' for detail, count in tally.most_common(6))})" if tally else ""


def _whose(nursery, want: Wanted) -> str:
    names = list(want.cohorts) or [species_label(name, nursery.knowledge) for name in want.species]
    words = animals_name(listed(names), want.mark)
    if want.enclosures:
        words += f"{' in ' if words else ''}{listed(want.enclosures)}"
    return words or "the nursery"


def _ending(request, nursery, want: Wanted, kinds) -> str:
    """For the whole story of a cohort: where it stands now, or that none is left."""
    if kinds or not want.animals or request.period is not None:
        return ""
    left = standing(nursery, want._replace(stages=(), instar=None, enclosures=()))
    if left:
        return f"Now: {standing_words(left)}."
    if re.search(r"\bhappened|\bbecame of|\bbecome of|\bfate\b", request.plain):
        return ""
    fate = became(nursery, want)
    return f"None left: {fate}." if fate else ""


def _counts(request, nursery, want: Wanted, kinds, rows: list[Row], season: int | None = None) -> Answer:
    """How many animals an event of that kind befell, by cohort and by detail (sex, cause, taker)."""
    now = nursery.now
    total = sum(row.count for row in rows)
    sex = sex_of(request)
    verbs = listed((LEFT_WORDS.get(kind, kind) for kind in _kinds_in(rows)), "or")
    stage = want.stages[0] if len(want.stages) == 1 else "egg" if kinds == ("laid",) else ""
    who = counted(total, sex) if sex else stage_count(total, stage) if stage else counted(total, "animal")
    period = _period_words(request, now)
    whose = f" of {listed(want.cohorts)}" if want.cohorts else ""
    whose = whose or (f" of {listed(species_label(name, nursery.knowledge) for name in want.species)}" if want.species else "")
    whose += f" of season {season}" if season is not None else ""
    place = f" in {listed(want.enclosures)}" if want.enclosures else ""
    lines = [f"{who}{whose} {verbs}{place}{period}."]
    by_cohort: dict[str, Counter] = {}
    for row in rows:
        for source, target, count in row.parts:
            label = (target or source).cohort if row.event.what in ENTERING else (source or target).cohort
            by_cohort.setdefault(present_label(nursery.ledger, label), Counter())[row.event.detail] += count
    for label, details in by_cohort.items():
        count = sum(details.values())
        kinds_of = listed(f"{n} {detail or 'not noted further'}" for detail, n in details.most_common()) if any(details) else ""
        cohort = nursery.ledger.cohorts.get(label)
        name = f"{label}, {species_label(cohort.species, nursery.knowledge)}" if cohort else label
        lines.append(f"- {name}: {count}{f' ({kinds_of})' if kinds_of else ''}")
    values = {"count": Value(total, "animals"), "first": Value(rows[0].event.day), "last": Value(rows[-1].event.day)}
    answer = _answer(request, nursery, want, kinds, rows, join(*lines), values)
    steps = " + ".join(str(row.count) for row in rows)
    return answer._replace(working=(f"{counted(len(rows), 'event')}: {steps} = {total}.", *answer.working[1:]))


def _of_season(request, nursery, want: Wanted, kinds, year: int) -> Answer:
    """The same of the cohorts that began in a season; what befell older ones in its months is told apart."""
    bare = request._replace(period=None)
    rows = rows_of(nursery, of_one_season(nursery, want, year), kinds, bare)
    told = (
        _counts(bare, nursery, want, kinds, rows, year) if rows else _nothing(bare, nursery, want, kinds, True, f"season {year}")
    )
    during = rows_of(nursery, want, kinds, request._replace(period=months_of(nursery, year)))
    pairs = [((source or target).cohort, count) for row in during for source, target, count in row.parts]
    verbs = listed((LEFT_WORDS.get(kind, kind) for kind in kinds), "or")
    return told._replace(text=join(told.text, older_words(nursery, year, pairs, verbs)))


def _period_words(request, now) -> str:
    period = request.period
    if period is None:
        return ""
    if is_whole_year(period, now):
        return f" in {period.start.year}" + (" so far" if period.start.year == now.year else "")
    first, last = period.start.date(), min(last_day(period), now.date()) if period.start <= now else last_day(period)
    return (
        f" on {day_words(period.start, now)}"
        if first == last
        else f" from {day_words(period.start, now)} to {day_words(_noon(last), now)}"
    )


def _noon(day):
    from datetime import datetime, time

    return datetime.combine(day, time(12))


def _nothing(request, nursery, want: Wanted, kinds, counting: bool, season: str = "") -> Answer:
    """No such event: a plain nought for a count, else what is known instead, and that the records do not hold it."""
    whose = _whose(nursery, want)
    if season:
        whose = f"{whose} of {season}" if want.animals or want.enclosures else season
    period = _period_words(request, nursery.now)
    words = listed((LEFT_WORDS.get(kind, kind) for kind in kinds), "or") if kinds else "recorded"
    if counting:
        lines = [f"0: none {words} by the records of {whose}{period}."]
    elif kinds and all(kind in CHANGING for kind in kinds) and want.animals and _came_later(nursery, want, kinds[0]):
        lines = [f"Not recorded: {whose} came in after that. {_came_in(nursery, want)}"]
    elif kinds and all(kind in CHANGING for kind in kinds) and want.animals:
        lines = [f"Not yet: none of {whose} has {words} by the records{period}."]
    elif kinds == ("note",):
        lines = [f"No note of that is in the records for {whose}{period}."]
    else:
        lines = [f"Nothing {words} is in the records for {whose}{period}."]
    if sex_of(request):
        unsexed = sum(row.count for row in rows_of(nursery, want, kinds, request._replace(cues=frozenset())))
        lines[0] = f"0 {sex_of(request)}s {words} are noted for {whose}{period}."
        lines.append(f"{unsexed} were {words} without that sex being noted." if unsexed else "")
    if kinds and want.animals:
        left = standing(nursery, want._replace(stages=(), instar=None, enclosures=()))
        if left:
            lines.append(f"Now: {standing_words(left)}.")
        else:
            fate = became(nursery, want)
            lines.append(f"None left: {fate}." if fate else "")
    return _answer(request, nursery, want, kinds, [], join(*lines), {"count": Value(0, "events")})


FROM_STAGE = {"hatched": "egg", "moulted": "larva", "prepupated": "larva", "pupated": "prepupa", "emerged": "pupa"}


def _entries(nursery, want: Wanted) -> list:
    whose = want._replace(stages=(), instar=None, enclosures=())
    return [
        p
        for p in of_cohorts(nursery.ledger, whose.cohorts)
        if p.source is None and p.event.what in ENTERING and whose.key_fits(p.target, nursery.ledger)
    ]


def _came_later(nursery, want: Wanted, kind: str) -> bool:
    """Whether all the animals meant came in at a later stage than the one that the change leads out of."""
    entered = _entries(nursery, want)
    return bool(entered) and all(STAGE_ORDER[p.target.stage] > STAGE_ORDER[FROM_STAGE[kind]] for p in entered)


def _came_in(nursery, want: Wanted) -> str:
    return (
        "; ".join(f"{words_of(Row(p.event, [p[1:]]))}, {when_words(p.event, nursery.now)}" for p in _entries(nursery, want)) + "."
    )


def _answer(request, nursery, want: Wanted, kinds, rows: list[Row], text: str, values: dict) -> Answer:
    about: dict = {}
    if len(want.cohorts) == 1:
        about["cohort"] = want.cohorts[0]
    elif rows and len({cohort_of(row) for row in rows}) == 1 and cohort_of(rows[0]):
        about["cohort"] = cohort_of(rows[0])
    if want.mark:
        about["mark"] = want.mark
    if len(want.species) == 1:
        about["species"] = want.species[0]
    if len(want.enclosures) == 1:
        about["enclosure"] = want.enclosures[0]
    if len(kinds) == 1:
        about["event"] = kinds[0]
    label = about.get("cohort", "")
    follow = (f"where is {label}", f"survival of {label}", f"history of {label}") if label else ("what needs doing today",)
    return Answer(
        "answered",
        TOPIC,
        text,
        about=about,
        values=values,
        items=tuple(_item(row, nursery) for row in rows),
        working=(
            f"Told from {counted(len(nursery.events), 'event')} up to {nursery.now:%Y-%m-%d %H:%M}: {number(len(rows))} of them.",
            "A date without a time means some time that day.",
        ),
        sources=(OWN_RECORDS,),
        next=follow if kinds else follow[:2],
    )


def _item(row: Row, nursery) -> dict:
    event = row.event
    item = {
        "name": cohort_of(row) or event.cohort or event.enclosure or event.host,
        "label": f"{when_words(event, nursery.now)}: {words_of(row)}",
        "id": event.id,
        "when": event.when,
        "what": event.what,
    }
    if row.count:
        item["count"] = row.count
    for name in ("cohort", "mark", "stage", "instar", "enclosure", "to", "host", "detail", "note", "by"):
        if getattr(event, name):
            item[name] = getattr(event, name)
    return item
