"""The isolation plan: from a sign or an exposure to the steps in their order, for this nursery, each with the sentence that records it."""

from __future__ import annotations

import re

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.exposure_words import kind_words
from nurserytui.answers.isolation_mix import recipe
from nurserytui.answers.isolation_parties import UNKNOWN, Case, situation
from nurserytui.answers.isolation_steps import Step, steps_of
from nurserytui.answers.selection import Wanted, join
from nurserytui.answers.wording import OWN_RECORDS, cite, counted, day_words, listed

TOPIC = "exposure"
_ILL = r"(?:sick|ill|infected|diseased|contagious|poorly|unwell|exposed|suspects?|suspicious|affected)"
PLAN = re.compile(
    r"\b(?:isolation|quarantine|sanitation|outbreak|containment) (?:plan|steps?|procedures?|protocol|routine|measures)\b"
    r"|\bplans? .*\b(?:isolat\w+|quarantin\w+|outbreak|contain\w*)\b|\bsteps? .*\b(?:isolat\w+|quarantin\w+)\b"
    r"|\bhow (?:do|should|shall|can|would|could|must) (?:i|we|you) (?:best )?(?:isolate|quarantine|separate|contain|set [\w -]+ apart)\b"
    r"|\bhow to (?:isolate|quarantine|contain|set [\w -]+ apart)\b|^(?:please )?(?:isolate|quarantine) \w"
    rf"|\bwhat (?:do|should|shall|can|must|to)\b.*\b(?:do|done)\b.*\b{_ILL}\b"
    rf"|\bwhat (?:now|next) (?:with|for|about) .*\b{_ILL}\b|\bwhere (?:do|should|can|shall) (?:i|we) put .*\b{_ILL}\b"
)
CAUTIONS = (
    "Never mix bleach with anything but cold water; air the room, wear gloves and eye protection, keep children and pets away.",
    "The label of the product goes before what is said here; use plain unscented bleach with its strength on the label.",
    "This is a plan from your records, not a diagnosis: a vet, a lab or your local group can name a disease, I cannot.",
    "Set apart and look first: most exposed animals come through, and none needs to be destroyed for being exposed.",
)


def plan(nursery, want: Wanted, kinds: tuple[str, ...] = ()) -> Answer:
    """The steps for the trouble that concerns the animals meant, or for all that is open, of those kinds if any is named; what would start
    a plan if there is nothing."""
    cases = situation(nursery, want)
    cases = [case for case in cases if case.kind in kinds] or cases
    if not cases:
        return _nothing(nursery, want)
    steps: list[Step] = []
    taken: set[str] = set()
    drawn = [(recipe(nursery.knowledge, case.kind).share, step) for case in cases for step in steps_of(nursery, case, taken)]
    washed: dict[str, float] = {}
    for share, step in drawn:
        if step.kind == "clean":
            washed[step.name] = max(share, washed.get(step.name, 0.0))
    for share, step in drawn:
        # One enclosure gets one mix, the strongest that any of its troubles asks for.
        if step not in steps and not (step.kind == "clean" and share < washed[step.name]):
            steps.append(step)
    first = _first(nursery, cases, steps)
    lines = [first]
    for number, step in enumerate(steps, 1):
        lines.append(f"{number}. {step.words()}")
    rules = [rule for step in steps for rule in step.rules]
    ends = [party.row.contact.watch_until for case in cases for party in case.exposed if party.row.contact.watch_until]
    values = {"isolate": Value("yes"), "count": Value(sum(_count(case) for case in cases), "animals")}
    if ends:
        values["watch_until"] = Value(max(ends).date().isoformat())
    agents = [one.agent for case in cases for one in case.outbreaks if one.agent is not None]
    ids = [source for rule in rules for source in rule.sources]
    ids += [source for agent in dict.fromkeys(agents) for source in agent.sources]
    about: dict = {"cohort": want.cohorts[0]} if len(want.cohorts) == 1 else {}
    if len(want.enclosures) == 1:
        about["enclosure"] = want.enclosures[0]
    if agents:
        about["agent"] = agents[0].name
    return Answer(
        "answered",
        TOPIC,
        join(*lines),
        about=about,
        values=values,
        items=tuple(step.item(number) for number, step in enumerate(steps, 1)),
        working=tuple(_working(cases, rules)),
        sources=(OWN_RECORDS, *cite(nursery.knowledge, ids)),
        cautions=(*CAUTIONS, *(step.caution for step in steps if step.caution)),
        next=(*[step.record for step in steps if step.record and step.does][:2], "who was exposed")[:3],
    )


def _count(case: Case) -> int:
    return sum(party.count for party in (*case.sick, *case.exposed))


def _first(nursery, cases: list[Case], steps: list[Step]) -> str:
    """The answer in one sentence: who goes where, and until when to watch."""
    parts = []
    for case in cases:
        trouble = "what is wrong with them" if case.kind == UNKNOWN else f"the {kind_words(case.kind)}"
        where = f" in {listed(case.places)}" if case.places else ""
        sick = f"{listed(party.words() for party in case.sick)} {'shows' if _one(case) else 'show'} it" if case.sick else ""
        exposed = counted(len(case.exposed), "exposed group") if case.exposed else ""
        parts.append(f"for {trouble}{where}: {listed(part for part in (sick, exposed) if part)}")
    moves = next((step.short for step in steps if step.short), "")
    ends = [party.row.contact.watch_until for case in cases for party in case.exposed if party.row.contact.watch_until]
    until = f" Watch until {day_words(max(ends), nursery.now)}." if ends else ""
    return f"Isolation plan {'; '.join(parts)}.{f' First: {moves}.' if moves else ''}{until}"


def _one(case: Case) -> bool:
    return sum(party.count for party in case.sick) == 1


def _working(cases: list[Case], rules) -> list[str]:
    steps = []
    for case in cases:
        for party in (*case.sick, *case.exposed):
            why = party.row.contact.reason if party.row is not None else "a sign was written down, or you named them"
            steps.append(f"{party.words()} in {party.group.enclosure or 'no named place'}: {party.grade}, {why}.")
    steps += [rule.text for rule in dict.fromkeys(rules)][:8]
    return steps


def _nothing(nursery, want: Wanted) -> Answer:
    rule = nursery.knowledge.rule("suspect-apart")
    name = next(iter(nursery.ledger.cohorts), "B")
    living = next((key.cohort for key in nursery.ledger.heads), name)
    return Answer(
        "answered",
        TOPIC,
        f"Nobody needs to be set apart by the records: no sign, test or death of the last weeks points to something that spreads.\n"
        f"If one looks ill, write down what you see, and the plan follows: “1 {living} limp and dark”.\n{rule.text}",
        values={"isolate": Value("no"), "count": Value(0, "animals")},
        working=("No watch is open, and no animal with a sign of something that spreads is still there.",),
        sources=(OWN_RECORDS, *cite(nursery.knowledge, rule.sources)),
        cautions=CAUTIONS[2:],
        next=(f"1 {living} limp and dark", "who was exposed", "what needs doing today"),
    )
