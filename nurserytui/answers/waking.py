"""When the winter pupae of a cohort may come out of the cold, and when their adults are to be expected."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from nurserytui.answers.answer import Value
from nurserytui.answers.development import ROOM
from nurserytui.answers.warmth import ASSUMED
from nurserytui.answers.wording import capital, day_words, number, species_label, stage_count
from nurserytui.biology.waking import Waking, Woken, ratio, waking
from nurserytui.knowledge.rate_priors import prior_of

DONOR, STAGE = "Papilio troilus", "pupa_after_chill"
ASKS = re.compile(
    r"\b(when|how long|how soon|due|date|until)\b.*\b(emerg\w*|eclos\w*|comes? out|coming out|hatch\w*|out of|warm\w*|wake\w*|bring|take|due)\b"
)
COLD = re.compile(r"\b(fridge|refrigerator|cold room|cellar)\b", re.IGNORECASE)


def spring_of(nursery, label: str, species, celsius: float | None) -> tuple[str, dict[str, Value], list[str], tuple[str, ...]]:
    """The sentence, the values (`due`, `warm_up`, `chill_days`), the steps and the sources for the pupae of a cohort."""
    pupae = [(key, count) for key, count in nursery.heads(cohort=label, stage="pupa")]
    if not pupae or species.winters_as != "pupa":
        reason = "no pupa is there now" if not pupae else "it does not winter as a pupa"
        return "", {"due": Value(None, "date", reason=reason)}, [], ()
    rates, how, sources = rates_of(nursery.knowledge, species.scientific)
    at = ASSUMED if celsius is None else celsius
    days = rates.days(at)
    said = f"{number(at)} °C{'' if celsius is not None else ' (assumed)'}"
    steps = [f"After the cold, {how}."]
    if days is None:
        return (
            f"At {said} nothing comes out: it is too cold.",
            {"due": Value(None, "date", reason="too cold to develop")},
            steps,
            sources,
        )
    steps[0] = f"After the cold at {said}: about {number(days[0], 0)} days ({number(days[1], 0)}-{number(days[2], 0)}), {how}."
    after = f"about {number(days[0], 0)} days ({number(days[1], 0)}-{number(days[2], 0)}) after the move to {said}"
    since = cold_since(nursery, label)
    who = f"{stage_count(sum(count for _, count in pupae), 'pupa')} of cohort {label}"
    if since is None:
        reason = f"since when they have been cold is not recorded; say “moved the {label} pupae to the fridge” with the date"
        return f"When the {who} come out depends on the cold they have had, which is not recorded; expect them {after}.", {
            "due": Value(None, "date", reason=reason), "warm_up": Value(None, "date", reason=reason), "chill_days": Value(None, "day", reason=reason)
        }, steps, sources  # fmt: skip
    rule = nursery.knowledge.rule("chill-length")
    had = (nursery.now - since).days
    soonest, usual, longest = (since + timedelta(days=one) for one in (rule.low, rule.value, rule.high))
    warm_up, soonest = max(usual, nursery.now), max(soonest, nursery.now)
    due, low = warm_up + timedelta(days=days[0]), soonest + timedelta(days=days[1])
    high = max(longest, nursery.now) + timedelta(days=days[2])
    steps.append(
        f"Cold since {since:%Y-%m-%d} by the records: {had} days; {number(rule.low)}-{number(rule.high)} days are given, {number(rule.value)} taken."
    )
    words = (
        f"{capital(who)} can come out of the cold from about {day_words(warm_up, nursery.now)} ({number(rule.value)} days of cold; "
        f"{had} so far); expect adults about {day_words(due, nursery.now)} (between {day_words(low, nursery.now)} and {day_words(high, nursery.now)}), {after}. "
        "Wait for host plants in leaf; some stay a second winter."
    )
    values = {
        "due": Value(due.date().isoformat(), "date", low.date().isoformat(), high.date().isoformat(), 0.9),
        "warm_up": Value(
            warm_up.date().isoformat(), "date", soonest.date().isoformat(), max(longest, nursery.now).date().isoformat()
        ),
        "chill_days": Value(had, "day"),
    }
    return words, values, steps, (*sources, *rule.sources)


def rates_of(knowledge, name: str) -> tuple[Waking, str, tuple[str, ...]]:
    """Rates after the cold: the species' own, or those of the spicebush swallowtail scaled by how all that were seen compare to it."""
    base = prior_of(knowledge, name).base
    donor = waking(_rows(knowledge, DONOR), base)
    own = _rows(knowledge, name)
    sources = tuple(dict.fromkeys(source for row in knowledge.durations(DONOR) if row.stage == STAGE for source in row.sources))
    if name == DONOR:
        return donor, "as published for it at 14, 18, 22 and 26 °C", sources
    seen = {one.scientific: _rows(knowledge, one.scientific) for one in knowledge.all_species() if one.scientific != DONOR}
    rows = {name: own} if own else {each: found for each, found in seen.items() if found}
    ratios = [ratio(donor, row) for found in rows.values() for row in found if row.high is not None]
    more = tuple(source for each in rows for row in knowledge.durations(each) if row.stage == STAGE for source in row.sources)
    donor_label = species_label(DONOR, knowledge)
    if own:
        return (
            donor.scaled([each * side for each in ratios for side in (0.7, 1.0, 1.4)]),
            f"its own days, with the warmth response of the {donor_label}",
            (*sources, *more),
        )
    return (
        donor.scaled([0.7, *ratios, 1.4]),
        f"no days of its own are published: taken between those of the {donor_label} and other relatives",
        (*sources, *more),
    )


def _rows(knowledge, name: str) -> list[Woken]:
    found = []
    for row in knowledge.durations(name):
        if row.stage == STAGE:
            low, high = row.low or row.mean, row.high or row.mean
            found.append(Woken(row.temperature if row.temperature is not None else ROOM, low, high))
    return found


def cold_since(nursery, label: str) -> datetime | None:
    """When the pupae that are in a cold place now were moved there, by its name; None where they are not, or it is not recorded."""
    if not all(COLD.search(key.enclosure) for key, _ in nursery.heads(cohort=label, stage="pupa")):
        return None
    moves = [
        event.when
        for event, source, target, _ in nursery.ledger.chronicle.of_cohort(label)
        if event.what == "moved"
        and target is not None
        and target.cohort == label
        and target.stage == "pupa"
        and COLD.search(target.enclosure)
    ]
    return datetime.fromisoformat(max(moves)) if moves else None
