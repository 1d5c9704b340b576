"""The words, items and working of answers about exposure."""

from __future__ import annotations

from nurserytui.answers.agents import PARASITOIDS
from nurserytui.answers.answer import Answer
from nurserytui.answers.cases import Outbreak
from nurserytui.answers.contacts import UNTIL_TESTED, watch_days
from nurserytui.answers.loose import loose, seen_out
from nurserytui.answers.outbreak_chains import chains
from nurserytui.answers.selection import Wanted
from nurserytui.answers.stings import Origin, origins
from nurserytui.answers.vulnerable import attacked
from nurserytui.answers.watches import Row
from nurserytui.answers.wording import (
    OWN_RECORDS,
    animals_name,
    cite,
    counted,
    day_words,
    listed,
    lower,
    number,
    species_label,
    stage_count,
)

TOPIC = "exposure"
LOOK_FOR = {
    "wasp": "round holes, cocoons, or an animal that stays still and goes dull",
    "fly": "white threads, maggots or brown puparia below",
    "virus": "limp larvae that hang down, dark and leaking",
    "bacteria": "limp or soft larvae, wet droppings, vomit, a bad smell",
    "OE": "dark patches on the pupa, adults that stick, spores on a tape test",
    "microsporidia": "small, slow larvae that grow unevenly, dark specks, pupae that fail",
    "fungus": "stiff larvae with white, green or grey fur",
}
"""What to look for where the knowledge base has no sign of the agent (common practice)."""
SHOWN = 4


def named(outbreak: Outbreak) -> str:
    """The agent as the records named it; a kind alone where the species was taken as the usual one."""
    agent = outbreak.agent
    plain = kind_words(outbreak.kind)
    if agent is None:
        return plain
    said = " ".join(case.event.detail.casefold() for case in outbreak.cases)
    first = agent.name.split()[0].casefold()
    if first in said and first not in ("virus", "bacteria"):
        return f"{agent.name} ({plain})" if plain.casefold() not in agent.name.casefold() else agent.name
    return f"the {plain}"


def kind_words(kind: str) -> str:
    return {"wasp": "parasitoid wasps", "fly": "parasitoid flies"}.get(kind, kind)


def look_for(outbreak: Outbreak) -> str:
    """What shows it, by the knowledge base: the first sentence of its sign."""
    agent = outbreak.agent
    sign = agent.exit_sign.partition(". ")[0] if agent is not None else ""
    return lower(sign.rstrip(".")) or LOOK_FOR.get(outbreak.kind, "anything unusual")


def watch_words(row: Row, nursery) -> str:
    until = row.contact.watch_until
    if row.closed:
        return f"watch over: {row.closed}"
    if until is not None:
        return f"watch until {day_words(until, nursery.now)}"
    return (
        "watch until each adult is tested"
        if row.outbreak.kind in UNTIL_TESTED
        else "watch until they have come out, no date is published"
    )


def short(row: Row) -> str:
    group = row.contact.group
    return f"{animals_name(group.cohort, group.mark)}{f' in {group.enclosure}' if group.enclosure else ''}"


def leavings(row: Row, nursery) -> list:
    """The postings by which animals of a group left the nursery, since they met the outbreak."""
    since = row.contact.since.date().isoformat()
    return [
        posting
        for posting in nursery.ledger.chronicle.of_cohort(row.contact.group.cohort)
        if posting.source is not None
        and posting.target is None
        and tuple(row.contact.group) == (posting.source.cohort, posting.source.mark, posting.source.enclosure)
        and posting.event.day >= since
    ]


def _fate(row: Row, nursery) -> str:
    """What became of a group that is gone."""
    left = leavings(row, nursery) if not row.living else []
    if left and all(posting.source.stage == "adult" and posting.event.what != "died" for posting in left):
        return f"; came through: {left[-1].event.what} as adult on {left[-1].event.day}"
    return "; " + listed(dict.fromkeys(f"{posting.event.what} on {posting.event.day}" for posting in left)) if left else ""


def row_words(row: Row, nursery) -> str:
    cohort = nursery.ledger.cohorts.get(row.contact.group.cohort)
    species = f", {species_label(cohort.species, nursery.knowledge)}" if cohort else ""
    living = f", {listed(stage_count(count, stage) for stage, count in row.living)} now" if row.living else ""
    watch = f"; {watch_words(row, nursery)}" if row.living and row.contact.grade != "unlikely" else ""
    return f"{short(row)}{species}{living}: {row.contact.grade} ({kind_words(row.outbreak.kind)}), {row.contact.reason}{watch or _fate(row, nursery)}"


def case_words(outbreak: Outbreak, nursery) -> str:
    parts = []
    for case in outbreak.cases[:SHOWN]:
        whose = animals_name(case.cohort, case.mark) or "the enclosure"
        parts.append(f"{whose} {day_words(case.event.day, nursery.now)} ({case.event.what}: {case.event.detail})")
    more = f"; and {len(outbreak.cases) - SHOWN} more" if len(outbreak.cases) > SHOWN else ""
    return f"Cases in {outbreak.place or 'no named enclosure'}: {'; '.join(parts)}{more}."


def chain_lines(nursery, meant: list[Outbreak]) -> list[str]:
    """Outbreaks that are one: animals that had been exposed in one place and showed it in another."""
    found = []
    for chain in chains(nursery, meant):
        if len(chain) > 1:
            steps = listed(f"{one.place or 'no named place'} ({one.first:%Y-%m-%d})" for one in chain)
            kind = kind_words(chain[0].kind)
            found.append(
                f"One outbreak of {kind}, not {len(chain)}: {steps}; those that showed it later had been exposed before."
            )
    return found


def seen_lines(nursery, rows: list[Row]) -> list[str]:
    """What to look for, once for each agent among the rows that are open."""
    found = {}
    for row in rows:
        if row.open and row.outbreak.name not in found:
            found[row.outbreak.name] = f"Look for ({kind_words(row.outbreak.kind)}): {look_for(row.outbreak)}."
    return list(found.values())


def item(row: Row, nursery) -> dict:
    group, contact = row.contact.group, row.contact
    until = contact.watch_until
    found = {
        "name": group.cohort,
        "label": row_words(row, nursery),
        "cohort": group.cohort,
        "enclosure": group.enclosure,
        "class": contact.grade,
        "reason": contact.reason,
        "watch_until": until.date().isoformat() if until is not None else None,
        "since": contact.since.date().isoformat(),
        "agent": row.outbreak.name,
        "count": sum(count for _, count in row.living),
        "open": row.open,
    }
    if row.closed:
        found["closed"] = row.closed
    if contact.grade != "unlikely":
        found["look_for"] = look_for(row.outbreak)
        if contact.show_from is not None:
            found["shows_from"] = contact.show_from.date().isoformat()
    if contact.vulnerable_from is not None:
        found["vulnerable_from"] = contact.vulnerable_from.date().isoformat()
    if group.mark:
        found["mark"] = group.mark
    if len(row.living) == 1:
        found["stage"] = row.living[0][0]
    return found


def origin_words(origin: Origin, nursery) -> str:
    """When and where the host was struck, as one sentence without its stop."""
    case = origin.case
    whose = animals_name(case.cohort, case.mark) or f"what was in {case.enclosure}"
    if origin.window is None:
        return f"{whose} was attacked in {case.enclosure} on {day_words(case.event.day, nursery.now)}, before your eyes"
    if not origin.strikes:
        return f"when {whose} was struck cannot be told: by the records it was never in a stage that is attacked"
    best = origin.strikes[0]
    lines = []
    if best.outdoors:
        came = origin.came
        brought = f" (brought in {day_words(came.first, nursery.now)})" if came else ""
        lines.append(f"{whose} was most likely struck outdoors, before it came in{brought}: {span_words(best, nursery)}")
    else:
        at = origin.window.at
        about = f", most likely about {day_words(at, nursery.now)}" if at and best.first <= at <= best.last else ""
        lines.append(f"{whose} was struck in {best.place}, {span_words(best, nursery)}{about}")
    for other in origin.strikes[1:3]:
        if other.share >= 0.05:
            where = "outdoors before it came in" if other.outdoors else f"in {other.place}"
            lines.append(f"less likely {where}, {span_words(other, nursery)} ({other.share:.0%} of the chance)")
    if origin.late:
        lines.append(
            "it came out later than warmth alone would have it: it rested in its host, as over winter, or stood cooler than was measured"
        )
    elif not origin.fits:
        lines.append(
            "these are the times at which it could be struck; by warmth alone the dates do not fit them, so take them wide"
        )
    return "; ".join(lines)


def span_words(strike, nursery) -> str:
    first, last = strike.first, strike.last
    if first.date() == last.date():
        return f"on {day_words(first, nursery.now)}"
    return f"between {day_words(first, nursery.now)} and {day_words(last, nursery.now)}"


def answer_of(
    nursery, meant: list[Outbreak], side: Wanted, text: str, values: dict, items: list[dict], more: tuple = ()
) -> Answer:
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
    if any(one.kind == "virus" for one in meant):
        cautions.append("Common practice after a virus: survivors are neither bred nor released, for it can pass inside eggs.")
    if any(not _is_named(one) for one in meant):
        cautions.append("The species of the agent is taken as the usual one, the records do not name it.")
    return Answer(
        "answered",
        TOPIC,
        text,
        about=about,
        values=values,
        items=tuple(items),
        working=tuple(step for one in meant for step in working(one, nursery)),
        sources=tuple(sources),
        cautions=tuple(cautions),
        next=(*more, "make me an isolation plan", "what needs doing today", "causes of death this year")[:3],
    )


def _is_named(outbreak: Outbreak) -> bool:
    if outbreak.agent is None:
        return False
    genus = outbreak.agent.name.split()[0].casefold()
    return any(case.suspect.named and genus in case.event.detail.casefold() for case in outbreak.cases)


def working(outbreak: Outbreak, nursery) -> list[str]:
    """The steps from the cases to the dates."""
    from nurserytui.answers.stays import cleared

    first, last = f"{outbreak.first:%Y-%m-%d}", f"{outbreak.last:%Y-%m-%d}"
    steps = [f"{counted(len(outbreak.cases), 'record')} of {outbreak.kind} in {outbreak.place}, first {first}, last {last}."]
    if outbreak.kind in PARASITOIDS:
        steps += _back(outbreak, nursery)
        about = loose(nursery, outbreak)
        if about is not None:
            ended = f": {about.ended}" if about.ended else "; nothing says that the last one is caught"
            places = listed(about.air)
            steps.append(f"They count as about in {places} from {about.first:%Y-%m-%d} to {about.last:%Y-%m-%d}{ended}.")
    else:
        days = watch_days(outbreak, nursery.knowledge)
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


def _back(outbreak: Outbreak, nursery) -> list[str]:
    agent, steps = outbreak.agent, []
    for origin in origins(nursery, outbreak)[:SHOWN]:
        if origin.window is None:
            steps.append(f"Attack seen on {origin.case.event.day}: nothing came out yet, so there is nothing to trace back.")
            continue
        whose = animals_name(origin.case.cohort, origin.case.mark) or origin.case.enclosure
        if agent is not None and agent.base is not None and agent.degree_days:
            rule = nursery.knowledge.rule("trace-spread")
            spread = f"± {number(agent.spread * 100)} %" if agent.spread else f"standard deviation {number(rule.value)} %"
            steps.append(
                f"Development of {agent.name}: {number(agent.degree_days)} degree-days above {number(agent.base)} °C, {spread}; "
                f"{origin.warmth.words}."
            )
        low, high = origin.window.low, origin.window.high
        steps.append(
            f"{whose} gave them off by {origin.exit[1]:%Y-%m-%d}{'' if seen_out(outbreak) else ', if it was no hunting wasp'}: stung between {low:%Y-%m-%d} and {high:%Y-%m-%d} by that alone."
        )
        cut = "; ".join(
            f"{'outdoors' if one.outdoors else one.place} {one.first:%Y-%m-%d} to {one.last:%Y-%m-%d} ({one.words}), {one.share:.0%}"
            for one in origin.strikes
        )
        stages = listed(attacked(outbreak))
        steps.append(f"Cut by when it was in a stage at risk ({stages}) and where it stood then: {cut or 'never'}.")
    return steps
