"""When and where it was caught, which siblings share that, and whether an enclosure is safe again."""

from __future__ import annotations

import re
from datetime import timedelta

from nurserytui.answers.agents import PARASITOIDS
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.cases import Outbreak
from nurserytui.answers.exposure_words import answer_of, case_words, item, kind_words, named, origin_words, row_words, short
from nurserytui.answers.lineage import lineage
from nurserytui.answers.loose import loose
from nurserytui.answers.selection import Wanted, join, shortened
from nurserytui.answers.stays import cleared
from nurserytui.answers.stings import Origin, origins
from nurserytui.answers.vulnerable import attacked, onset
from nurserytui.answers.watches import Row
from nurserytui.answers.wording import animals_name, counted, day_words, listed, stage_count

STRUCK = r"stung|sting|struck|attacked|hit|got at|parasiti[sz]ed|infected|caught it|catch it|get it|got it|exposed"
ORIGIN = re.compile(
    rf"\b(?:when|what day|which day|what date|how long ago)\b.*\b(?:{STRUCK})\b"
    rf"|\bwhere\b.*\b(?:{STRUCK}|get|got|catch|caught|pick(?:ed)? up|come from|came from|coming from)\b"
    r"|\bhow (?:did|could)\b.*\b(?:get|catch|pick up|come by)\b"
    rf"|\b(?:{STRUCK}|pick(?:ed)? up|got|get|wasps?|fl(?:y|ies)|virus)\b.*\b(?:outdoors|outside|in the wild|before (?:i|we|it|he|she|they) \w+)\b"
    r"|\bwhen did\b.*\b(?:get|catch|reach)\b|\bwhere .*\bfrom$|\b(?:trace|traced) .*\bback\b|\bback ?trac\w+|\bsting (?:date|window|day)\b|\bday of the sting\b"
)
AHEAD = re.compile(
    r"\b(?:will|going to|ll)\b.*\b(?:at risk|vulnerable|in danger|in reach)\b|\bwhen\b.*\b(?:at risk|vulnerable|in danger)\b"
    r"|\b(?:becomes?|get|gets|come to be|next) (?:vulnerable|at risk)\b|\b(?:not|nobody) (?:at risk|vulnerable) yet\b"
)
OVER = re.compile(r"\boutbreaks?\b.*\b(?:over|finished|done|ended|behind us|gone)\b")
SIBLINGS = re.compile(r"\b(?:siblings?|brothers?|sisters?|littermates?|batch ?mates?|nest ?mates?|cage ?mates?|tub ?mates?)\b")
SAFE = re.compile(
    r"\b(?:safe|clear|clean|usable|ok|okay|fine|ready)\b.*\b(?:again|use|reuse|re-use|yet|now|put|new|eggs|restock|refill)\b"
    r"|\b(?:use|reuse|re-use|restock|refill)\b.*\b(?:again|yet|now)\b|\bagain$"
    r"|\b(?:still|any)\b.*\b(?:wasps?|flies|parasitoids)\b.*\b(?:in|about|left|loose)\b"
    r"|^(?:is|are) (?:the )?[\w' -]+ (?:safe|clear|clean)$|\ball clear\b"
)


def origin(nursery, subject: Wanted, meant: list[Outbreak], rows: list[Row]) -> Answer:
    """When and where the sick ones of the outbreaks got it, the likeliest first, with those that share it."""
    lines: list[str] = []
    values: dict[str, Value] = {}
    items: list[dict] = []
    for outbreak in reversed(meant):
        if outbreak.kind not in PARASITOIDS:
            lines.append(_caught(nursery, outbreak, subject))
            continue
        for one in origins(nursery, outbreak):
            if not _is_meant(one, subject, nursery):
                continue
            lines.append(f"{origin_words(one, nursery)}.")
            items += [_strike_item(one, strike) for strike in one.strikes]
            if one.strikes and "struck" not in values:
                best = one.strikes[0]
                at = one.window.at if one.window is not None else None
                middle = at if at is not None and best.first <= at <= best.last else best.first + (best.last - best.first) / 2
                values["struck"] = Value(middle.date().isoformat(), "", _day(best.first), _day(best.last), 0.9)
                values["place"] = Value("outdoors" if best.outdoors else best.place)
    shared = [row for row in rows if row.contact.together and row.contact.grade != "unlikely" and not _is_case(row)]
    lines += _sharers(shared, nursery, meant)
    lines += [case_words(one, nursery) for one in meant]
    items += [item(row, nursery) for row in shared]
    return answer_of(nursery, meant, subject, join(*lines), values, items, ("which siblings share the exposure",))


def _day(moment) -> str:
    return moment.date().isoformat()


def _is_meant(one: Origin, subject: Wanted, nursery) -> bool:
    if not subject.animals:
        return True
    case = one.case
    return bool(case.cohort) and subject.cohort_fits(case.cohort, nursery.ledger) and subject.mark in ("", case.mark)


def _strike_item(one: Origin, strike) -> dict:
    case = one.case
    return {
        "name": case.cohort or case.enclosure,
        "label": f"{'outdoors' if strike.outdoors else strike.place}, {_day(strike.first)} to {_day(strike.last)}: {strike.words}",
        "cohort": case.cohort,
        "mark": case.mark,
        "enclosure": strike.place,
        "outdoors": strike.outdoors,
        "first": _day(strike.first),
        "last": _day(strike.last),
        "probability": round(strike.share, 3),
        "reason": strike.words,
    }


def _caught(nursery, outbreak: Outbreak, subject: Wanted) -> str:
    """Where sick animals had been before their first sign: a disease has no date of its own that could be reckoned."""
    case = next(
        (one for one in outbreak.cases if one.cohort and subject.cohort_fits(one.cohort, nursery.ledger)), outbreak.cases[0]
    )
    days = outbreak.agent.days_high if outbreak.agent is not None and outbreak.agent.days_high else 14.0
    since = outbreak.first - timedelta(days=days)
    line = lineage(nursery.ledger, case.cohort, case.mark, case.enclosure, case.last) if case.cohort else None
    stood = [one for one in line.segments if one.last >= since] if line else []
    places = listed(dict.fromkeys(one.place for one in stood)) or outbreak.place
    whose = animals_name(case.cohort, case.mark) or outbreak.place
    return (
        f"When {whose} caught {named(outbreak)} cannot be dated: it may have come up to {days:.0f} days before the first sign "
        f"({outbreak.first:%Y-%m-%d}). Since {day_words(since, nursery.now)} it stood in {places}: leaf, hands and gear there are suspect."
    )


def siblings(nursery, subject: Wanted, meant: list[Outbreak], rows: list[Row]) -> Answer:
    """Those that were where the first hosts were struck, or were found with them; for a disease, the sick ones' own cohorts."""
    sick = {label for one in meant for label in one.cohorts}
    shared = [
        row
        for row in rows
        if row.contact.grade != "unlikely"
        and not _is_case(row)
        and (row.contact.together if row.outbreak.kind in PARASITOIDS else row.contact.group.cohort in sick)
    ]
    lines = _sharers(shared, nursery, meant) or [
        "None: nobody else was there in a stage at risk when the first hosts were struck."
    ]
    for one in meant:
        if one.kind in PARASITOIDS:
            lines += [f"{origin_words(each, nursery)}." for each in origins(nursery, one)[:3]]
    later = [row for row in rows if row.open and row not in shared]
    if later:
        names = listed(dict.fromkeys(short(row) for row in later))
        lines.append(f"Exposed by other ways, later or not as siblings: {names}.")
    lines += [case_words(one, nursery) for one in meant]
    values = {"count": Value(sum(count for row in shared for _, count in row.living), "animals")}
    return answer_of(nursery, meant, subject, join(*lines), values, [item(row, nursery) for row in shared], ("who was exposed",))


def _is_case(row: Row) -> bool:
    """Whether a group is that of the sick ones themselves: none of it is left, or no more than those that show it."""
    own = [case for case in row.outbreak.cases if (case.cohort, case.mark, case.enclosure) == tuple(row.contact.group)]
    signs = max((case.count for case in own if case.event.what != "died"), default=0)
    return bool(own) and sum(count for _, count in row.living) <= signs


def if_struck(nursery, rows: list[Row], whose: str) -> str:
    """For animals that show nothing yet: when they would have been struck, and when it would show."""
    row = next((row for row in rows if row.contact.grade != "unlikely"), None)
    if row is None:
        return ""
    contact, now = row.contact, nursery.now
    if contact.vulnerable_from is not None and contact.vulnerable_from > now:
        return f"{whose} cannot have been struck yet: at risk only from about {day_words(contact.vulnerable_from, now)}."
    shows = f"; it would show from about {day_words(contact.show_from, now)}" if contact.show_from is not None else ""
    first, last = day_words(contact.since, now), day_words(min(contact.last, now), now)
    return f"{whose} shows nothing yet. If it was struck, then between {first} and {last} ({contact.grade}){shows}."


def _sharers(shared: list[Row], nursery, meant: list[Outbreak]) -> list[str]:
    if not shared:
        return []
    names = listed(dict.fromkeys(short(row) for row in shared))
    first = f"{counted(len(shared), 'group')} of siblings or cage-mates share it: {names}."
    return [first, *shortened([f"- {row_words(row, nursery)}" for row in shared], 10)]


# Ahead --------------------------------------------------------------------------------------------------------------------


def ahead(nursery, side: Wanted, meant: list[Outbreak], rows: list[Row]) -> Answer:
    """Who is not at risk yet and will be: from when, by the forecast, for as long as any may be about."""
    now = nursery.now
    coming = sorted((when, row, words) for row in rows for when, words in _coming(nursery, row))
    lines, items = [], []
    for when, row, words in coming:
        lines.append(f"- {words} of {short(row)}: from about {day_words(when, now)}")
        items.append({**item(row, nursery), "vulnerable_from": _day(when), "label": lines[-1].removeprefix("- ")})
    values = {"count": Value(len(coming), "groups")}
    if coming:
        values["vulnerable_from"] = Value(_day(coming[0][0]))
        who = listed(dict.fromkeys(short(row) for _, row, _ in coming))
        first = f"{counted(len(coming), 'group')} will come to be at risk while any may be about: {who}, the first from about {day_words(coming[0][0], now)}."
        lines.append("Catch the last one, or move them out of that air before then.")
    else:
        first = "Nobody else will come to be at risk: nothing that is about threatens younger animals there."
    already = [row for row in rows if row.open and row.contact.since <= now]
    if already:
        lines.append(f"Exposed already: {listed(dict.fromkeys(short(row) for row in already))}.")
    lines += [case_words(one, nursery) for one in meant]
    return answer_of(nursery, meant, side, join(first, *lines), values, items, ("who was exposed",))


def _coming(nursery, row: Row) -> list[tuple]:
    """(when, animals) of those of a group that are too young yet, while what is about can still get at them."""
    outbreak, group = row.outbreak, row.contact.group
    about = loose(nursery, outbreak)
    if about is None or not about.about or group.enclosure not in about.air or not row.living:
        return []
    stages, found = attacked(outbreak), []
    for stage, count in row.living:
        when = onset(nursery, stages, group, stage)
        if when is not None and when.first <= about.until:
            found.append((max(when.first, nursery.now), stage_count(count, stage)))
    return found


# Enclosures ---------------------------------------------------------------------------------------------------------------


def safe_again(nursery, place: str, known: list[Outbreak], rows: list[Row]) -> Answer:
    """Whether an enclosure may be used again, what is in the way, and the sentence that records its clearing."""
    now = nursery.now
    here = [one for one in known if one.place == place]
    about = [
        one
        for outbreak in known
        if (one := loose(nursery, outbreak)) is not None and one.about and place in one.air and one.until >= now
    ]
    inside = [row for row in rows if row.contact.group.enclosure == place and (row.open or row.unseen)]
    unclean = [one for one in here if cleared(nursery, place, one.last) is None]
    # What flew is dead a month on; what sticks to the walls stays until it is washed off.
    unclean = [one for one in unclean if one.kind not in PARASITOIDS or one in [each.outbreak for each in about]]
    reasons, todo = [], []
    for one in about:
        where = "" if one.outbreak.place == place else f" (out in {one.outbreak.place}, the same air)"
        plain = kind_words(one.outbreak.kind)
        reasons.append(f"{plain}{where} may be about until {day_words(one.until, now)}; nothing says that the last one is caught")
        todo.append(one.record())
    for one in unclean:
        if one.kind not in PARASITOIDS:
            reasons.append(f"it was not cleaned while empty since {named(one)} ({day_words(one.last, now)})")
            todo.append(f"cleaned {place}")
    if inside and not any(row.open for row in inside):
        names = listed(dict.fromkeys(short(row) for row in inside))
        reasons.append(
            f"the days of the watch on {names} are over, but nobody has looked since: look first, and write “checked {place}”"
        )
    elif inside:
        reasons.append(f"animals on watch stand in it: {listed(dict.fromkeys(short(row) for row in inside))}")
    living = {}
    for key, count in nursery.heads(enclosure=place):
        living[key.stage] = living.get(key.stage, 0) + count
    holds = (
        f"It holds {listed(stage_count(count, stage) for stage, count in living.items())} now." if living else "It is empty now."
    )
    values = {"safe": Value("no" if reasons else "yes")}
    if reasons:
        lines = [f"Not yet: {'; '.join(dict.fromkeys(reasons))}.", holds]
        lines += _ways(place, bool(living), list(dict.fromkeys(todo)))
        ends = [row.contact.watch_until for row in inside if row.contact.watch_until and row.open]
        if ends:
            lines.append(f"The watch on those in it runs until {day_words(max(ends), now)}.")
            values["watch_until"] = Value(max(ends).date().isoformat())
    else:
        lines = [f"Yes, {place} is safe to use again by the records: {_why_safe(nursery, place, here)}.", holds]
        lines += ["Let it be dry and without a smell of bleach before animals go in."] if not living else []
    lines += [case_words(one, nursery) for one in here[-3:]]
    items = [item(row, nursery) for row in inside]
    meant = here or list(dict.fromkeys([*(one.outbreak for one in about), *(row.outbreak for row in inside)]))
    if not meant:
        return _never(nursery, place, holds)
    answer = answer_of(
        nursery, meant[-3:], Wanted(enclosures=(place,)), join(*lines), values, items, tuple(dict.fromkeys(todo))[:1]
    )
    return answer


def _ways(place: str, occupied: bool, todo: list[str]) -> list[str]:
    lines = [f"When the last one is caught, write “{one}”." for one in todo if one.startswith("checked")]
    if any(one.startswith("cleaned") for one in todo):
        empty = f"move its animals out (“moved everything from {place} to …”), then " if occupied else ""
        lines.append(f"To clear it, {empty}wash and disinfect it empty, and write “cleaned {place}”.")
    elif lines:
        lines.append(f"Or empty it, disinfect it and write “cleaned {place}”.")
    return lines


def _why_safe(nursery, place: str, here: list[Outbreak]) -> str:
    found = []
    for one in here[-3:]:
        ended = cleared(nursery, place, one.last)
        about = loose(nursery, one)
        if ended is not None:
            found.append(f"it was cleaned empty on {day_words(ended, nursery.now)}, after {named(one)}")
        elif about is not None and about.ended:
            found.append(f"after {named(one)} {about.ended}")
    return "; ".join(dict.fromkeys(found)) or "nothing that stays in it is recorded"


def _never(nursery, place: str, holds: str) -> Answer:
    from nurserytui.answers.wording import OWN_RECORDS

    return Answer(
        "answered",
        "exposure",
        f"Yes: no disease and no parasitoid is recorded in {place}, nor in air that it shares.\n{holds}",
        about={"enclosure": place},
        values={"safe": Value("yes")},
        working=(f"No recorded case has stood in {place}.",),
        sources=(OWN_RECORDS,),
        cautions=("What was never written down cannot be traced; clean between batches all the same.",),
        next=("what needs doing today",),
    )
