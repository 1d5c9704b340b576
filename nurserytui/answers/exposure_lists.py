"""Who was exposed, as a list, gravest first; and whether some animals were, with until when to watch them."""

from __future__ import annotations

import re

from nurserytui.answers.agents import PARASITOIDS
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.cases import Outbreak
from nurserytui.answers.exposure_words import (
    TOPIC,
    answer_of,
    case_words,
    chain_lines,
    item,
    kind_words,
    leavings,
    named,
    row_words,
    seen_lines,
    short,
    watch_words,
)
from nurserytui.answers.selection import Wanted, join, shortened, standing, standing_words
from nurserytui.answers.vulnerable import attacked
from nurserytui.answers.watches import Row
from nurserytui.answers.wording import OWN_RECORDS, animals_name, counted, day_words, listed, species_label

NAMED = 12
"""Groups that a first line names; the list below it has the others."""


def everyone(nursery, source: Wanted, meant: list[Outbreak], rows: list[Row], what: str = "exposed") -> Answer:
    """The groups that met the outbreaks; `what` says how the first line calls it."""
    now = nursery.now
    told = [row for row in rows if row.contact.grade != "unlikely" and row.living]
    gone = [row for row in rows if row.contact.grade != "unlikely" and not row.living and _left_alive(row, nursery)]
    agents = listed(dict.fromkeys(named(one) for one in meant))
    where = listed(dict.fromkeys(one.place for one in meant if one.place))
    place = f" in {where}" if where else ""
    if told:
        names = list(dict.fromkeys(short(row) for row in told))
        more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
        people = listed(names) if not more else ", ".join(names[:NAMED]) + more
        first = f"{counted(len(names), 'group')} {what} to {agents}{place}: {people}."
    elif gone:
        left = listed(dict.fromkeys(row.contact.group.cohort for row in gone))
        first = f"{what.capitalize()} to {agents}{place}: {left}; none of them is left there."
    else:
        first = f"Nobody else was exposed to {agents}{place} by the records."
    lines = [first, *shortened([f"- {row_words(row, nursery)}" for row in told])]
    if gone:
        lines.append("No longer there: " + "; ".join(row_words(row, nursery) for row in gone) + ".")
    lines += [*chain_lines(nursery, meant), *(case_words(one, nursery) for one in meant), *seen_lines(nursery, rows)]
    untold = [row for row in rows if row.contact.grade == "unlikely" and not row.over]
    if untold:
        several = len(set(row.outbreak.kind for row in rows)) > 1
        unlikely = (f"{short(row)}{f' ({kind_words(row.outbreak.kind)})' if several else ''}" for row in untold)
        lines.append(f"Unlikely: {listed(dict.fromkeys(unlikely))}.")
    items = [item(row, nursery) for row in (*told, *gone, *untold)]
    open_ones = [row for row in told if row.open]
    ends = [row.contact.watch_until for row in open_ones if row.contact.watch_until]
    standing_there = {(row.contact.group, stage): count for row in told for stage, count in row.living}
    values = {"count": Value(sum(standing_there.values()), "animals")}
    if ends:
        last = max(ends)
        values["watch_until"] = Value(last.date().isoformat())
        lines.insert(1, f"Watch until {day_words(last, now)}.")
    elif told and not open_ones:
        past = [row.contact.watch_until for row in told if row.contact.watch_until]
        if past:
            values["watch_until"] = Value(max(past).date().isoformat())
        lines.insert(1, "No watch is open any more.")
    more = (f"is {meant[-1].place} safe again",) if meant[-1].place else ()
    return answer_of(nursery, meant, source, join(*lines), values, items, more)


def _left_alive(row: Row, nursery) -> bool:
    """Whether animals of a group that is gone left it otherwise than by dying as a case or by a move, which is traced by itself."""
    cases = {case.event.id for case in row.outbreak.cases}
    return any(posting.event.id not in cases for posting in leavings(row, nursery))


def whether(request, nursery, subject: Wanted, meant: list[Outbreak], rows: list[Row]) -> Answer:
    """Yes, possibly, unlikely or no for the animals asked about, with why, and until when to watch them."""
    now, ledger = nursery.now, nursery.ledger
    whose = subject_words(nursery, subject)
    own = [row for row in rows if is_subject(row, subject, ledger)]
    living = [row for row in own if row.living]
    if not living and standing(nursery, subject):
        own = [row for row in own if not row.contact.left]  # those there now came after those that had met it
    own = living or own
    own = sorted(own, key=lambda row: (row.contact.grade == "unlikely", bool(row.closed)))
    met = [row.outbreak for row in own if row.contact.grade != "unlikely"] or meant
    what = listed(dict.fromkeys(named(each) for each in met))
    lines: list[str] = []
    values: dict[str, Value] = {}
    if not own or own[0].contact.grade == "unlikely":
        word = "Unlikely" if own else "No"
        why = own[0].contact.reason if own else _why_not(nursery, subject, meant)
        lead = "Clear" if asks_clear(request.plain) else word
        lines.append(
            f"{lead}: {whose} {_verb(nursery, subject, bool(own))} not exposed to {listed(dict.fromkeys(named(each) for each in met), 'or')} by the records: {why}."
        )
        values["exposed"] = Value("unlikely" if own else "no")
        lines += [case_words(each, nursery) for each in meant]
        items = [item(row, nursery) for row in own]
        return answer_of(nursery, meant, subject, join(*lines), values, items)
    top = own[0]
    word = {"likely": "Yes, likely", "possible": "Possibly"}[top.contact.grade]
    open_ones = [row for row in own if row.open]
    ends = [row.contact.watch_until for row in open_ones or own if row.contact.watch_until and row.contact.grade != "unlikely"]
    until = max(ends) if ends and not any(row.contact.watch_until is None for row in open_ones) else None
    values["exposed"] = Value(top.contact.grade)
    if until is not None:
        values["watch_until"] = Value(until.date().isoformat())
        values["days"] = Value(max(0, (until.date() - now.date()).days) if open_ones else 0, "days")
    else:
        values["watch_until"] = Value(None, reason=watch_words(top, nursery))
    lines.append(_lead(request, nursery, whose, what, word, top, open_ones, living, until))
    if len(own) > 1 or top.living:
        lines += shortened([f"- {row_words(row, nursery)}" for row in own])
    lines += _still_meeting(nursery, own)
    lines += [case_words(each, nursery) for each in dict.fromkeys(row.outbreak for row in own)]
    lines += seen_lines(nursery, own)
    items = [item(row, nursery) for row in own]
    return answer_of(nursery, list(dict.fromkeys(met)), subject, join(*lines), values, items)


def _lead(request, nursery, whose: str, what: str, word: str, top: Row, open_ones: list[Row], living: list[Row], until) -> str:
    """The first line, in the shape of the question: clear or not, how long, or exposed or not."""
    now, plain = nursery.now, request.plain
    clear = asks_clear(plain)
    exposed = f"{word.removeprefix('Yes, ').capitalize()} exposed: {whose} to {what}, {top.contact.reason}."
    unlooked = next((row for row in living if row.unseen), None)
    if unlooked is not None and not open_ones:
        place = unlooked.contact.group.enclosure
        write = f"checked {place or unlooked.contact.group.cohort}"
        return f"Look first: the days of the watch on {whose} are over, {unlooked.closed}. Look at them, and write “{write}” if all are well. {exposed}"
    if living and not open_ones:
        passed = f"Watching ended on {day_words(until, now)}" if until is not None and until < now else "The watch is over"
        return f"{'Yes' if clear else passed}: the watch on {whose} is over, {top.closed}. {exposed}"
    if until is None:
        return f"{'Not yet: ' if clear else ''}{word} exposed: {whose} to {what}, {top.contact.reason}. {watch_words(top, nursery).capitalize()}."
    days = max(0, (until.date() - now.date()).days)
    if not living:
        return f"{word} exposed: {whose} to {what}, {top.contact.reason}; none of them is left there."
    if clear:
        return f"Not yet: watch {whose} until {day_words(until, now)}, {counted(days, 'day')} more. {exposed}"
    if re.search(r"\b(how long|until when|till when|when)\b", plain):
        return f"Watch {whose} until {day_words(until, now)}, {counted(days, 'day')} more. {word} exposed to {what}: {top.contact.reason}."
    return f"{word} exposed: {whose} to {what}, {top.contact.reason}. Watch until {day_words(until, now)}."


def _still_meeting(nursery, own: list[Row]) -> list[str]:
    """Contact that goes on, so that the end of the watch moves on with every day."""
    found = []
    for row in own:
        place = row.contact.group.enclosure
        if row.open and row.contact.last >= nursery.now and row.contact.watch_until is not None and place == row.outbreak.place:
            if row.outbreak.kind in PARASITOIDS:
                what = f"while wasps or flies may be about in {place}: catch them all, or move these out"
            else:
                what = f"as long as they stand in {place}: move them to a clean enclosure"
            found.append(f"Contact goes on, and the watch moves on with it, {what}.")
    return list(dict.fromkeys(found))


CLEAR = re.compile(
    r"\b(?:clear|safe|ok|okay|fine|relax|out of (?:danger|the woods|quarantine)|off (?:the )?watch|go back|back in|rejoin|put back"
    r"|mix(?:ed)?|stop (?:watching|worrying)|free of|watch(?:ing)? (?:[\w'-]+ ){0,5}(?:over|finished|done|up|ended|passed)"
    r"|(?:done|finished|through with) watching|come off|over yet|still (?:on watch|being watched|under watch))\b"
    # What is asked leave for gets no `yes` that is about something else.
    r"|\b(?:may|can|could|should|shall) (?:i|we) (?:now |already |again )?(?:put|move|bring|take|add|return|let|place|give|keep|release|reunite)\b"
)


def asks_clear(plain: str) -> bool:
    """Whether the line asks if they are out of danger, so that a `yes` must mean that they are."""
    return bool(CLEAR.search(plain))


def is_subject(row: Row, subject: Wanted, ledger) -> bool:
    group = row.contact.group
    return (
        subject.cohort_fits(group.cohort, ledger)
        and (not subject.mark or group.mark == subject.mark)
        and (not subject.enclosures or group.enclosure in subject.enclosures)
        and (not subject.stages or not row.living or any(stage in subject.stages for stage, _ in row.living))
    )


def _verb(nursery, subject: Wanted, past: bool) -> str:
    one = not subject.cohorts or len(subject.cohorts) > 1 or bool(subject.enclosures and not subject.animals)
    if one:
        return "were" if past else "are"
    return "was" if past else "is"


def subject_words(nursery, subject: Wanted) -> str:
    names = list(subject.cohorts) or [species_label(name, nursery.knowledge) for name in subject.species]
    words = animals_name(listed(names), subject.mark)
    if subject.enclosures:
        words = f"{words} in {listed(subject.enclosures)}" if words else f"the animals in {listed(subject.enclosures)}"
    return words or "they"


def _why_not(nursery, subject: Wanted, meant: list[Outbreak]) -> str:
    """Where the animals are and what they are, against where and whom the agent strikes."""
    here = standing(nursery, subject)
    parts = [standing_words(here)] if here else []
    places = listed(dict.fromkeys(each.place for each in meant if each.place))
    parts.append(f"never recorded in {places} while it was about" if places else "no contact is recorded")
    for each in meant[:1]:
        if each.kind in PARASITOIDS:
            parts.append(f"{named(each)} strikes the {listed(attacked(each), 'or')}")
    if places and any(each.kind in PARASITOIDS and each.place not in nursery.settings.air for each in meant):
        parts.append("which enclosures share air is not recorded, so a stray one that got out cannot be ruled out")
    return "; ".join(parts)


def no_case(request, nursery, want: Wanted, kinds, known: list[Outbreak]) -> Answer:
    what = listed(kinds, "or") or "parasitoid or disease"
    place = f" in {listed(want.enclosures)}" if want.enclosures else ""
    when = " in the time asked about" if request.period is not None else ""
    lines = [f"No: no case of {what}{place}{when} is in the records, so nobody is known to be exposed."]
    if known:
        cases = "; ".join(f"{named(each)} in {each.place} ({day_words(each.first, nursery.now)})" for each in known[-4:])
        lines.append(f"Recorded cases: {cases}.")
    return Answer(
        "answered",
        TOPIC,
        join(*lines),
        about={"enclosure": want.enclosures[0]} if len(want.enclosures) == 1 else {},
        values={"count": Value(0, "animals")},
        working=(
            f"{counted(len(nursery.events), 'event')} were looked through for deaths, signs and tests that name or show {what}.",
        ),
        sources=(OWN_RECORDS,),
        cautions=("What was never written down cannot be traced: a sign seen is worth a record.",),
        next=("causes of death this year", "what needs doing today"),
    )
