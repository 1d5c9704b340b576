"""Who was exposed to a contagion or a parasitoid, how gravely, and until when to watch them."""

import re
from datetime import datetime, timedelta
from typing import NamedTuple

from nurserytui.answers.agents import PARASITOIDS, kind_of_agent, kinds_said
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.cases import Outbreak, outbreaks
from nurserytui.answers.contacts import GRADES, UNTIL_TESTED, Contact, contacts, watch_days
from nurserytui.answers.selection import Wanted, join, last_day, standing, standing_words, trouble, wanted
from nurserytui.answers.stings import MARGIN, attacked
from nurserytui.answers.wording import OWN_RECORDS, cite, counted, day_words, listed, number, species_label, stage_count

TOPIC = "exposure"
RECENT = timedelta(days=90)
"""Outbreaks older than this are only listed when their time or animals are asked for."""
ASKS_WHO = re.compile(r"\b(who|which|what|whom|anyone|anything|list|contacts?|everyone|everybody|others|ones)\b")
ASKS_ONE = re.compile(
    r"^(?:so |and |but )?(?:is|are|was|were|could|can|might|may|did|do|does|should|has|have|will|would|how long|until when|till when|when)\b"
)


class Row(NamedTuple):
    contact: Contact
    outbreak: Outbreak
    living: tuple
    """((stage, count), ...) of the group now."""

    @property
    def over(self) -> bool:
        return not self.living


def exposure(request, nursery) -> Answer:
    """The contacts of the outbreaks meant: for one animal yes or no with the reason, otherwise the list, gravest first."""
    stopped = trouble(request, nursery, TOPIC)
    if stopped:
        return stopped
    want = wanted(request, nursery)
    known = outbreaks(nursery)
    kinds = _kinds(request, nursery)
    meant = [one for one in known if not kinds or one.kind in kinds]
    if not meant:
        return _no_case(request, nursery, want, kinds, known)
    source, subject = _sides(request, nursery, want, meant)
    meant = _narrowed(request, nursery, source, subject, meant)
    if not meant:
        return _no_case(request, nursery, want, kinds, known)
    rows = rows_of(nursery, meant)
    if subject is not None:
        return _one(request, nursery, subject, meant, rows)
    return _list(request, nursery, source, meant, rows)


def rows_of(nursery, meant: list[Outbreak]) -> list[Row]:
    """Contacts of all those outbreaks, one row a group and kind, gravest and living first."""
    best: dict[tuple, Row] = {}
    for outbreak in meant:
        for contact in contacts(nursery, outbreak):
            living: dict[str, int] = {}
            for key, count in nursery.ledger.heads.items():
                if (key.cohort, key.mark, key.enclosure) == tuple(contact.group):
                    living[key.stage] = living.get(key.stage, 0) + count
            row = Row(contact, outbreak, tuple(living.items()))
            held = best.get((contact.group, outbreak.kind))
            if held is None or _weight(row) > _weight(held):
                best[(contact.group, outbreak.kind)] = row
    return sorted(best.values(), key=lambda row: (-GRADES.index(row.contact.grade), row.over, row.contact.group))


def _weight(row: Row):
    return GRADES.index(row.contact.grade), row.contact.watch_until or datetime.min


def _kinds(request, nursery) -> tuple[str, ...]:
    named = [
        kind_of_agent(agent)
        for one in request.agents
        for name in one.names
        if (agent := nursery.knowledge.agent(name)) is not None
    ]
    said = kinds_said(request.plain)
    stings = ("wasp", "fly") if re.search(r"\b(stung|sting)\b", request.plain) and not said else ()
    return tuple(dict.fromkeys((*said, *(kind for kind in named if kind), *stings)))


def _sides(request, nursery, want: Wanted, meant: list[Outbreak]) -> tuple[Wanted, Wanted | None]:
    """Which of the names in the line say where it came from, and which animals are asked about (None: everyone).

    `who was exposed to the wasps from C4`, `virus contacts in tub 2`: the source. `are the dill in tub 3 at risk`, `how long to watch
    C3`: the animals. `could the kale have been stung by the north cage wasps`: both.
    """
    sick = {label for one in meant for label in one.cohorts}
    places = {one.place for one in meant}
    asks_one = bool(ASKS_ONE.search(request.plain)) and not re.search(r"\b(who|which)\b", request.plain)
    animals = want._replace(enclosures=())
    if want.animals:
        labels = [label for label in nursery.ledger.cohorts if animals.cohort_fits(label, nursery.ledger)]
        is_source = labels and all(label in sick for label in labels)
        if not asks_one and is_source and (ASKS_WHO.search(request.plain) or not kinds_said(request.plain)):
            return want, None
        if (
            not asks_one
            and ASKS_WHO.search(request.plain)
            and not is_source
            and not want.enclosures
            and _source_words(request.plain)
        ):
            return want, None
        stand_there = [place for place in want.enclosures if standing(nursery, animals._replace(enclosures=(place,)))]
        source = Wanted(enclosures=tuple(place for place in want.enclosures if place in places))
        return source, animals._replace(enclosures=tuple(stand_there))
    if want.enclosures:
        if all(place in places for place in want.enclosures) and not asks_one:
            return Wanted(enclosures=want.enclosures), None
        if asks_one or not all(place in places for place in want.enclosures):
            return Wanted(), Wanted(enclosures=want.enclosures)
    return Wanted(), None


def _source_words(plain: str) -> bool:
    return bool(re.search(r"\b(?:from|with|by|of|to)\b", plain))


def _narrowed(request, nursery, source: Wanted, subject, meant: list[Outbreak]) -> list[Outbreak]:
    """The outbreaks that the names of their source and the period leave; else the recent ones, else the last."""
    period = request.period
    if source.animals:
        meant = [one for one in meant if any(source.cohort_fits(label, nursery.ledger) for label in one.cohorts)] or meant
    if source.enclosures:
        meant = [one for one in meant if one.place in source.enclosures] or ([] if subject is None else meant)
    if period is not None and period.start <= nursery.now and last_day(period) < nursery.now.date():
        return [one for one in meant if period.start.date() <= one.last.date() and one.first.date() <= last_day(period)]
    if source.animals:
        return meant
    recent = [one for one in meant if one.last >= nursery.now - RECENT]
    return recent or meant[-1:]


# Answers ------------------------------------------------------------------------------------------------------------------


def _list(request, nursery, source: Wanted, meant: list[Outbreak], rows: list[Row]) -> Answer:
    now = nursery.now
    told = [row for row in rows if row.contact.grade != "unlikely" and not row.over]
    gone = [row for row in rows if row.contact.grade != "unlikely" and row.over and _left_alive(row, nursery)]
    what = listed(dict.fromkeys(_name(one) for one in meant))
    where = listed(dict.fromkeys(one.place for one in meant if one.place))
    place = f" in {where}" if where else ""
    if told:
        people = listed(dict.fromkeys(_short(row) for row in told))
        first = f"{counted(len(told), 'group')} exposed to {what}{place}: {people}."
    elif gone:
        first = f"Exposed to {what}{place}: {listed(dict.fromkeys(row.contact.group.cohort for row in gone))}; none of them is left there."
    else:
        first = f"Nobody else was exposed to {what}{place} by the records."
    lines = [first, *(f"- {_row_words(row, nursery)}" for row in told)]
    if gone:
        lines.append("No longer there: " + "; ".join(_row_words(row, nursery) for row in gone) + ".")
    lines += [_case_words(one, nursery) for one in meant]
    untold = [row for row in rows if row.contact.grade == "unlikely" and not row.over]
    if untold:
        lines.append(f"Unlikely: {listed(dict.fromkeys(_short(row) for row in untold))}.")
    items = [_item(row, nursery) for row in (*told, *gone, *untold)]
    ends = [row.contact.watch_until for row in told if row.contact.watch_until]
    values = {"count": Value(sum(count for row in told for _, count in row.living), "animals")}
    if ends:
        last = max(ends)
        values["watch_until"] = Value(last.date().isoformat())
        state = "Watch until" if last.date() >= now.date() else "Watching ended on"
        lines.insert(1, f"{state} {day_words(last, now)}.")
    return _answer(request, nursery, meant, source, join(*lines), values, items)


def _left_alive(row: Row, nursery) -> bool:
    """Whether animals of a group that is gone left it otherwise than by dying as a case or by a move, which is traced by itself."""
    cases = {id(case.event) for case in row.outbreak.cases}
    return any(
        (posting.source.cohort, posting.source.mark, posting.source.enclosure) == tuple(row.contact.group)
        for posting in nursery.ledger.postings
        if posting.source is not None and posting.target is None and id(posting.event) not in cases
    )


def _one(request, nursery, subject: Wanted, meant: list[Outbreak], rows: list[Row]) -> Answer:
    """Yes, possibly, unlikely or no for the animals asked about, with why, and until when to watch them."""
    now = nursery.now
    ledger = nursery.ledger
    whose = _subject_words(nursery, subject)
    own = [row for row in rows if _is_subject(row, subject, ledger)]
    living = [row for row in own if not row.over]
    own = living or own
    met = [row.outbreak for row in own if row.contact.grade != "unlikely"] or meant
    what = listed(dict.fromkeys(_name(one) for one in met))
    lines: list[str] = []
    values: dict[str, Value] = {}
    if not own or own[0].contact.grade == "unlikely":
        word = "Unlikely" if own else "No"
        why = own[0].contact.reason if own else _why_not(nursery, subject, meant)
        lead = "Clear" if asks_clear(request.plain) else word
        lines.append(f"{lead}: {whose} {'were' if own else 'are'} not exposed to {what} by the records: {why}.")
        values["exposed"] = Value("unlikely" if own else "no")
        lines += [_case_words(one, nursery) for one in meant]
        items = [_item(row, nursery) for row in own]
        return _answer(request, nursery, meant, subject, join(*lines), values, items)
    top = own[0]
    word = {"likely": "Yes, likely", "possible": "Possibly"}[top.contact.grade]
    ends = [row.contact.watch_until for row in own if row.contact.watch_until and row.contact.grade != "unlikely"]
    until = max(ends) if ends else None
    values["exposed"] = Value(top.contact.grade)
    if until is not None:
        values["watch_until"] = Value(until.date().isoformat())
        values["days"] = Value(max(0, (until.date() - now.date()).days), "days")
    else:
        values["watch_until"] = Value(None, reason=_watch_words(top, nursery))
    over = until is not None and until.date() < now.date()
    if asks_clear(request.plain) and until is not None:
        days = (until.date() - now.date()).days
        first = (
            f"Past the watch, which ended on {day_words(until, now)}"
            if over
            else f"Not yet: watch {whose} until {day_words(until, now)}, {counted(days, 'day')} more"
        )
        lines.append(f"{first}. {word.removeprefix('Yes, ').capitalize()} exposed: {whose} to {what}, {top.contact.reason}.")
    elif until is not None and not over and re.search(r"\b(how long|until when|till when|when)\b", request.plain):
        days = max(0, (until.date() - now.date()).days)
        lines.append(
            f"Watch {whose} until {day_words(until, now)}, {counted(days, 'day')} more. {word} exposed to {what}: {top.contact.reason}."
        )
    else:
        watch = f" {_watch_words(top, nursery).capitalize()}." if until is None else f" Watch until {day_words(until, now)}."
        watch = f" Watching ended on {day_words(until, now)}." if over else watch
        lines.append(f"{word} exposed: {whose} to {what}, {top.contact.reason}.{watch}")
    if len(own) > 1 or top.living:
        lines += [f"- {_row_words(row, nursery)}" for row in own]
    lines += [_case_words(one, nursery) for one in dict.fromkeys(row.outbreak for row in own)]
    items = [_item(row, nursery) for row in own]
    return _answer(request, nursery, list(dict.fromkeys(met)), subject, join(*lines), values, items)


def asks_clear(plain: str) -> bool:
    """Whether the line asks if they are out of danger, so that a `yes` must mean that they are."""
    return bool(
        re.search(
            r"\b(clear|safe|ok|okay|fine|relax|out of (?:danger|the woods|quarantine)|off (?:the )?watch|go back|back in|rejoin|put back|mix(?:ed)?|stop (?:watching|worrying)|free of)\b",
            plain,
        )
    )


def _is_subject(row: Row, subject: Wanted, ledger) -> bool:
    group = row.contact.group
    return (
        subject.cohort_fits(group.cohort, ledger)
        and (not subject.mark or group.mark == subject.mark)
        and (not subject.enclosures or group.enclosure in subject.enclosures)
        and (not subject.stages or row.over or any(stage in subject.stages for stage, _ in row.living))
    )


def _subject_words(nursery, subject: Wanted) -> str:
    names = list(subject.cohorts) or [species_label(name, nursery.knowledge) for name in subject.species]
    words = listed(names) + (f" {subject.mark}" if subject.mark else "")
    if subject.enclosures:
        words = f"{words} in {listed(subject.enclosures)}" if words else f"the animals in {listed(subject.enclosures)}"
    return words or "they"


def _why_not(nursery, subject: Wanted, meant: list[Outbreak]) -> str:
    """Where the animals are and what they are, against where and whom the agent strikes."""
    here = standing(nursery, subject)
    parts = [standing_words(here)] if here else []
    places = listed(dict.fromkeys(one.place for one in meant if one.place))
    parts.append(f"never recorded in {places} while it was about" if places else "no contact is recorded")
    for one in meant[:1]:
        if one.kind in PARASITOIDS:
            parts.append(f"{_name(one)} strikes the {listed(attacked(one), 'or')}")
    if places and any(one.kind in PARASITOIDS and one.place not in nursery.settings.air for one in meant):
        parts.append("which enclosures share air is not recorded, so a stray one that got out cannot be ruled out")
    return "; ".join(parts)


def _no_case(request, nursery, want: Wanted, kinds, known: list[Outbreak]) -> Answer:
    what = listed(kinds, "or") or "parasitoid or disease"
    place = f" in {listed(want.enclosures)}" if want.enclosures else ""
    when = " in the time asked about" if request.period is not None else ""
    asked = f"No: no case of {what}{place}{when} is in the records, so nobody is known to be exposed."
    lines = [asked]
    if known:
        lines.append(
            "Recorded cases: "
            + "; ".join(f"{_name(one)} in {one.place} ({day_words(one.first, nursery.now)})" for one in known[-4:])
            + "."
        )
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


# Words --------------------------------------------------------------------------------------------------------------------


def _name(outbreak: Outbreak) -> str:
    """The agent as the records named it; a kind alone where the species was taken as the usual one."""
    agent = outbreak.agent
    plain = _kind_words(outbreak.kind)
    if agent is None:
        return plain
    said = " ".join(case.event.detail.casefold() for case in outbreak.cases)
    first = agent.name.split()[0].casefold()
    if first in said and first not in ("virus", "bacteria"):
        return f"{agent.name} ({plain})" if plain.casefold() not in agent.name.casefold() else agent.name
    return f"the {plain}"


def _watch_words(row: Row, nursery) -> str:
    until = row.contact.watch_until
    if until is not None:
        return f"watch until {day_words(until, nursery.now)}"
    return (
        "watch until each adult is tested"
        if row.outbreak.kind in UNTIL_TESTED
        else "watch until they have come out, no date is published"
    )


def _kind_words(kind: str) -> str:
    return {"wasp": "parasitoid wasps", "fly": "parasitoid flies"}.get(kind, kind)


def _short(row: Row) -> str:
    group = row.contact.group
    return f"{group.cohort}{' ' + group.mark if group.mark else ''}{f' in {group.enclosure}' if group.enclosure else ''}"


def _row_words(row: Row, nursery) -> str:
    cohort = nursery.ledger.cohorts.get(row.contact.group.cohort)
    species = f", {species_label(cohort.species, nursery.knowledge)}" if cohort else ""
    living = f", {listed(stage_count(count, stage) for stage, count in row.living)} now" if row.living else ""
    watch = f"; {_watch_words(row, nursery)}" if row.living and row.contact.grade != "unlikely" else ""
    return f"{_short(row)}{species}{living}: {row.contact.grade} ({_kind_words(row.outbreak.kind)}), {row.contact.reason}{watch}"


def _case_words(outbreak: Outbreak, nursery) -> str:
    parts = []
    for case in outbreak.cases[:4]:
        whose = f"{case.cohort}{' ' + case.mark if case.mark else ''}" or "the enclosure"
        parts.append(f"{whose} {day_words(case.event.day, nursery.now)} ({case.event.what}: {case.event.detail})")
    return f"Cases in {outbreak.place or 'no named enclosure'}: {'; '.join(parts)}."


def _item(row: Row, nursery) -> dict:
    group, contact = row.contact.group, row.contact
    item = {
        "name": group.cohort,
        "label": _row_words(row, nursery),
        "cohort": group.cohort,
        "enclosure": group.enclosure,
        "class": contact.grade,
        "reason": contact.reason,
        "watch_until": contact.watch_until.date().isoformat() if contact.watch_until is not None else None,
        "since": contact.since.date().isoformat(),
        "agent": row.outbreak.name,
        "count": sum(count for _, count in row.living),
    }
    if group.mark:
        item["mark"] = group.mark
    if len(row.living) == 1:
        item["stage"] = row.living[0][0]
    return item


def _answer(request, nursery, meant: list[Outbreak], side: Wanted, text: str, values: dict, items: list[dict]) -> Answer:
    about: dict = {"agent": meant[0].name}
    if len(side.cohorts) == 1:
        about["cohort"] = side.cohorts[0]
    if side.mark:
        about["mark"] = side.mark
    if len(side.enclosures) == 1:
        about["enclosure"] = side.enclosures[0]
    sources = [OWN_RECORDS]
    agents = [one.agent for one in meant if one.agent is not None]
    sources += cite(nursery.knowledge, (source for agent in dict.fromkeys(agents) for source in agent.sources))
    cautions = ["Exposed is not ill: keep them apart and look, do not destroy them."]
    if any(one.kind not in PARASITOIDS for one in meant):
        cautions.append(
            "Handle exposed animals last and with their own tools; a vet, lab or local group can name a disease, I cannot."
        )
    if any(agent is None or not _is_named(one) for one in meant for agent in (one.agent,)):
        cautions.append("The species of the agent is taken as the usual one, the records do not name it.")
    return Answer(
        "answered",
        TOPIC,
        text,
        about=about,
        values=values,
        items=tuple(items),
        working=tuple(step for one in meant for step in _working(one, nursery)),
        sources=tuple(sources),
        cautions=tuple(cautions),
        next=(
            "what needs doing today",
            f"history of {meant[0].place}" if meant[0].place else "headcount",
            "causes of death this year",
        ),
    )


def _is_named(outbreak: Outbreak) -> bool:
    return any(
        case.suspect.named and outbreak.agent is not None and _genus(outbreak) in case.event.detail.casefold()
        for case in outbreak.cases
    )


def _genus(outbreak: Outbreak) -> str:
    return outbreak.agent.name.split()[0].casefold()


def _working(outbreak: Outbreak, nursery) -> list[str]:
    from nurserytui.answers.stays import cleared
    from nurserytui.answers.stings import sting_window

    steps = [
        f"{counted(len(outbreak.cases), 'recorded case')} of {outbreak.kind} in {outbreak.place}, first {outbreak.first:%Y-%m-%d}, last {outbreak.last:%Y-%m-%d}."
    ]
    if outbreak.kind in PARASITOIDS:
        agent = outbreak.agent
        first, last = sting_window(nursery, outbreak)
        if agent is not None and agent.base is not None and agent.degree_days:
            steps.append(
                f"Development of {agent.name}: {number(agent.degree_days)} degree-days above {number(agent.base)} °C, "
                f"± {number(MARGIN * 100)} %, at the recorded temperatures of {outbreak.place}."
            )
        steps.append(
            f"So the first hosts were stung between {first:%Y-%m-%d} and {last:%Y-%m-%d}; stages at risk: {listed(attacked(outbreak))}."
        )
    else:
        days = watch_days(outbreak)
        end = (
            f"{number(days)} days from their last contact"
            if days is not None
            else "until each adult is tested: it shows only then"
        )
        steps.append(f"Contacts are watched {end}.")
    ended = cleared(nursery, outbreak.place, outbreak.last)
    steps.append(
        f"{outbreak.place} counts as clean again from {ended:%Y-%m-%d %H:%M} (emptied and cleaned)."
        if ended
        else f"{outbreak.place} has not been emptied and cleaned since, so contact goes on."
    )
    return steps
