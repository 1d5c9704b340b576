"""What it means that animals have not changed yet: dead, resting or slow, until when to wait for them, and what to look for."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from math import hypot, log, sqrt
from typing import NamedTuple

from nurserytui.answers.answer import Value
from nurserytui.answers.development import CHAIN, ROOM, basis
from nurserytui.answers.fates import between
from nurserytui.answers.outlook import LAST_STAGE, LINE_OF_LIFE, SISTERS, Forecast, sisters_out
from nurserytui.answers.selection import Wanted, join
from nurserytui.answers.wording import PLURAL, day_words, listed, number
from nurserytui.biology.groups import Group, Known, Stage, Unknown
from nurserytui.biology.overdue import BOUND, Fates, GiveUp, Late, Loss
from nurserytui.biology.timeline import Timeline
from nurserytui.knowledge.rate_priors import prior_of

NEXT = {"egg": "larva", "larva": "pupa", "prepupa": "pupa", "pupa": "adult"}
LOSS_RULE = {"egg": "loss-egg", "larva": "loss-larva", "prepupa": "loss-larva", "pupa": "loss-pupa"}
RESTS_AS = {"egg": ("egg",), "larva": ("larva",), "prepupa": ("larva",), "pupa": ("pupa",)}
"""The stages of wintering that a stage may be. A larva that hangs up to pupate does not rest where the pupa does: unchanged, it is lost."""
ALL_REST = (0.98, 1.0)
"""The chance of resting where a species has one brood a year: a stray second brood is never ruled out (judgement)."""
PUBLISHED = 10
"""Animals of the keeper's own that count as much as the published losses for what a next cohort is expected to lose (an assumption)."""
LEAST_REST = 0.02
"""Chance of resting that is kept for a stage that can winter, however long its days were: it is never given up on time alone."""
WORTH_SAYING = 0.05
"""Chance of resting from which a forecast of emergence says so."""
LONGEST = timedelta(days=366)
"""A day to give up farther ahead than that is none: so little grows at such temperatures that they will not last as long."""
UNMEASURED = 0.2
"""How far durations may be off (log standard deviation) where the temperature is assumed: about 3 °C in an ordinary room (an assumption)."""
DEAD = {"egg": "dead or infertile", "larva": "lost (ill or stung)", "prepupa": "lost (ill or stung)", "pupa": "dead or stung"}
APART = {
    "egg": "Set them apart in a closed, dated cup",
    "larva": "Set what neither eats nor moves apart",
    "prepupa": "Set them apart, dated, and leave them hanging",
    "pupa": "Set them apart in a netted, dated pot",
}
LOOK_FOR = {
    "egg": "a dark spot at the top (about to hatch), a dent (infertile or dry), black all over or a pinhole (wasps)",
    "larva": "fresh droppings and gnawed leaf: one that eats is alive, whatever the day; one that is limp, dark or holds still for days is not well",
    "prepupa": "a twitch when it is breathed on; one that hangs limp, dark or leaking is lost",
    "pupa": "a wriggle when it is touched, its weight, and colour coming through; holes, soft dark spots or a rattle mean it is lost",
}


class Lateness(NamedTuple):
    """The judgement on animals of one cohort and stage that are unchanged."""

    stage: str
    fates: Fates
    give_up: GiveUp | None
    """None where they may be resting: time alone then tells nothing."""
    reason: str
    """Why there is no day to give up."""
    look_again: date | None
    working: tuple[str, ...]
    """What was taken for granted."""
    sum: str
    """The step that makes the chances of it, for what is found unchanged now."""
    sources: tuple[str, ...]


def lateness(nursery, one: Forecast) -> Lateness:
    """Of the animals that a forecast is about, those of the stage that is the most overdue."""
    known = nursery.ledger.cohorts[one.cohort]
    first = LINE_OF_LIFE.index(LAST_STAGE[one.event]) + 1 - len(one.stages)
    stages = sorted({group.stage for group in one.groups if group.count})
    judged = [_judge(nursery, known, LINE_OF_LIFE[first + index], one, index) for index in stages]
    late, stage, told = min(judged, key=lambda each: each[0].still())
    give_up = late.give_up()
    fates = late.fates()
    reason, again = "", None
    if give_up is None:
        reason, again = told.why, spring(nursery)
    elif give_up.at is None or give_up.at - nursery.now > LONGEST:
        give_up = GiveUp(None, None, None)
        reason = "it is too cold (or too hot) for anything to develop, so that time tells nothing"
    out = sisters_out(nursery, one.cohort) if stage == "egg" else None
    if out and give_up is not None and give_up.at is not None and give_up.at < out:
        give_up = GiveUp(*(moment and max(moment, out) for moment in give_up))
        told = told._replace(
            working=(
                *told.working,
                f"Others of the clutch hatched by {out - SISTERS:%Y-%m-%d %H:%M}: none is given up before two days after that.",
            )
        )
    unsure = ("No temperature was measured there, so durations are taken to be off by 20 % more.",) if one.warmth.assumed else ()
    step = (
        f"A living one that develops straight on would still be {_article(stage)} with {share(late.still())}; with the losses and the chance "
        f"of resting that makes one that is found unchanged now dead with {share(fates.dead)}, resting {share(fates.waiting)}, slow {share(fates.slow)}."
    )
    return Lateness(stage, fates, give_up, reason, again, (*told.working, *unsure), step, told.sources)


class Prior(NamedTuple):
    """What is taken for granted of a stage before its lateness is looked at."""

    loss: Loss
    rests: float | tuple[float, float]
    why: str
    """Why time alone does not tell; "" where it does."""
    working: tuple[str, ...]
    sources: tuple[str, ...]


def prior(nursery, species: str, stage: str, label: str = "") -> Prior:
    """Losses of the stage, published and the keeper's own, and whether it may rest."""
    knowledge = nursery.knowledge
    rule, alike, whole = (knowledge.rule(name) for name in (LOSS_RULE[stage], "loss-alike", "loss-whole"))
    here = between(nursery, Wanted(cohorts=(label,)), stage, NEXT[stage]) if label else None
    died, kept = _own_losses(nursery, species, stage)
    if here:
        died, kept = max(died - here.died, 0), max(kept - here.known, 0)
    own_share = (PUBLISHED * rule.value / 100 + died) / (PUBLISHED + kept)
    own_share = min(max(own_share, 0.005), 0.95)
    loss = Loss(own_share * alike.value, (1 - own_share) * alike.value, whole.value / 100)
    steps = [f"Losses expected of {PLURAL[stage]}: {share(rule.value / 100)} published"]
    if kept:
        steps[0] += f"; {died} of {kept} in this nursery's other cohorts of the species: {share(own_share)} taken"
    if here and here.known:
        loss = loss.also(here.died, here.reached)
        steps[0] += f"; of this cohort {here.reached} came through and {here.died} died, which makes it {share(loss.share)}"
    steps[0] += "."
    rests, why, more = _rests(nursery, species, stage, label)
    steps.append(more)
    return Prior(loss, rests, why, tuple(steps), (*rule.sources, *alike.sources, *whole.sources))


def _own_losses(nursery, species: str, stage: str) -> tuple[int, int]:
    """How many died in the stage, of how many whose fate is known, over all cohorts of the species; counted once for a state of the records."""
    kept = nursery.ledger.kept.setdefault("own losses", {})
    if (species, stage) not in kept:
        found = between(nursery, Wanted(species=(species,)), stage, NEXT[stage])
        kept[species, stage] = found.died, found.known
    return kept[species, stage]


def _rests(nursery, species: str, stage: str, label: str) -> tuple[float | tuple[float, float], str, str]:
    """The chance that a living one waits for another season, why time alone does not tell, and the step that says so."""
    known = nursery.knowledge.species(species)
    winters = known.winters_as if known else ""
    rule = nursery.knowledge.rule("wait-unknown")
    chance = (rule.low / 100, rule.high / 100)
    if not winters:
        why = f"it is not on record in which stage the species winters, so these {PLURAL[stage]} may be resting"
        return (
            chance,
            why,
            f"Its wintering is not on record: a chance of resting between {share(chance[0])} and {share(chance[1])}.",
        )
    if winters not in RESTS_AS[stage]:
        return 0.0, "", f"{PLURAL[stage].capitalize()} of this species do not rest, so that time tells."
    if known.always_rests and winters == stage:
        why = f"all {PLURAL[stage]} of this species rest until spring"
        return ALL_REST, why, f"It has one brood a year and winters as {_article(winters)}: all of them rest."
    why = f"{PLURAL[stage]} of this species may rest until spring"
    light = _by_light(nursery, label) if stage == "pupa" and label else None
    if light is not None:
        told = f"between {share(light[0])} and {share(light[1])}"
        return light, why, f"It winters as a pupa: by the day lengths in which the larvae fed, a chance of resting {told}."
    return (
        chance,
        why,
        f"It winters as {_article(winters)}: a chance of resting between {share(chance[0])} and {share(chance[1])}.",
    )


def _by_light(nursery, label: str) -> tuple[float, float] | None:
    """The chance that pupae of the cohort rest by the light that their larvae had; None where that is not known."""
    from nurserytui.answers.resting import rest_of
    from nurserytui.answers.sunlight import place_of

    rest = rest_of(nursery, label, "", place_of(nursery), waited=False)
    if rest is None or rest.chance.value is None:
        return None
    return max(rest.chance.low, LEAST_REST), max(rest.chance.high, LEAST_REST)


def _judge(nursery, known, stage: str, one: Forecast, index: int) -> tuple[Late, str, Prior]:
    told = prior(nursery, known.species, stage, known.label)
    groups = [_of_one_age(group) for group in one.groups if group.stage == index]
    need = _unsure(nursery.knowledge, known.species, stage, one.stages[index])
    if one.warmth.assumed:
        need = need._replace(between=hypot(need.between, UNMEASURED))
    return Late(need, groups, one.warmth.timeline, nursery.now, told.loss, told.rests), stage, told


def _unsure(knowledge, species: str, stage: str, need: Stage) -> Stage:
    """The stage with the doubt that is in a duration published without its temperature: as far off as its relatives lie from it, where
    they take longer. Where they take less, the number published is of a cool place, and waits long enough as it is."""
    relatives = prior_of(knowledge, species)
    rows = [row for row in knowledge.durations(species) if row.stage == stage]
    if stage not in CHAIN or not rows or any(row.temperature is not None for row in rows):
        return need
    if any(row.stage == stage for row in knowledge.thermal(species)):
        return need
    days = getattr(relatives, stage) / max(ROOM - relatives.base, 1.0)
    off = max(log(days * need.curve.rate(ROOM)), 0.0) / sqrt(2.0)
    return need._replace(between=hypot(need.between, off))


def _of_one_age(group: Group) -> Group:
    """Animals found together of which none has changed may all have been fresh: their unknown age is taken as one."""
    alike = isinstance(group.entry, Unknown) and group.count > 1 and not group.changed
    return group._replace(entry=group.entry._replace(together=True)) if alike else group


def fates_after(nursery, species: str, celsius: float, days: float, assumed: bool) -> tuple[Fates, Prior] | None:
    """What has become of one egg that is unchanged so many days after laying at a steady temperature, and what was taken for granted;
    None without numbers for the species. `assumed`: nobody said or measured that temperature."""
    found = basis(nursery.knowledge, species, "egg")
    if found is None:
        return None
    told, laid = prior(nursery, species, "egg"), datetime(2000, 1, 1)
    need = _unsure(nursery.knowledge, species, "egg", found.at(celsius))
    if assumed:
        need = need._replace(between=hypot(need.between, UNMEASURED))
    now = laid + timedelta(days=days)
    return Late(need, [Group(1, Known(laid))], Timeline.constant(celsius, laid), now, told.loss, told.rests).fates(), told


def give_up_days(nursery, species: str, celsius: float) -> tuple[GiveUp | None, Prior] | None:
    """Days after laying at which to give up one egg at a steady temperature (numbers in the place of moments), and what was taken for
    granted; None without numbers for the species."""
    found = basis(nursery.knowledge, species, "egg")
    if found is None:
        return None
    told = prior(nursery, species, "egg")
    now = datetime(2000, 1, 1)
    need = _unsure(nursery.knowledge, species, "egg", found.at(celsius))
    given = Late(need, [Group(1, Known(now))], Timeline.constant(celsius, now), now, told.loss, told.rests).give_up()
    if given is None:
        return None, told
    return GiveUp(*(at and (at - now).total_seconds() / 86400 for at in given)), told


def spring(nursery) -> date:
    """The next first of May, or of November south of the equator."""
    today, month = nursery.now.date(), int(nursery.knowledge.rule("look-again").value)
    if (nursery.settings.latitude or 0) < 0:
        month = (month + 5) % 12 + 1
    return date(today.year + (today >= date(today.year, month, 1)), month, 1)


# Words --------------------------------------------------------------------------------------------------------------------


def words(late: Lateness, nursery) -> str:
    """The chances, until when to wait, and what to look for."""
    return join(chances_words(late), until_words(late, nursery), f"Look for {LOOK_FOR[late.stage]}.")


def chances_words(late: Lateness) -> str:
    named = {"dead": DEAD[late.stage], "waiting": "resting until spring", "slow": "alive and only slow"}
    chances = sorted(
        ((chance, named[name]) for name, chance in late.fates._asdict().items() if chance > 0), key=lambda pair: -pair[0]
    )
    return f"Each that is still {_article(late.stage)}: {listed(f'{share(chance)} {name}' for chance, name in chances)}."


def until_words(late: Lateness, nursery) -> str:
    now = nursery.now
    if late.look_again:
        return f"Never throw one out on time alone: {late.reason}. Keep them as they winter and look again on {day_words(late.look_again, now)}."
    if late.give_up is None or late.give_up.at is None:
        return f"There is no day to give up: {late.reason}."
    day = late.give_up.at
    few = f"fewer than {number(BOUND * 100)} in 100 that are still {PLURAL[late.stage]} are alive"
    if day.date() < now.date():
        return f"The day to give up has passed ({day_words(day, now)}): {few}. {APART[late.stage]} rather than throw them out unseen."
    return f"Keep them until {day_words(day, now)}: from then on {few}."


def values(late: Lateness) -> dict[str, Value]:
    """`dead`, `waiting` and `slow` as fractions, `give_up` as a date or null with its reason, `look_again` where they may rest."""
    found = {name: Value(round(chance, 4), "fraction") for name, chance in late.fates._asdict().items()}
    found["give_up"] = give_up_value(late)
    if late.look_again:
        found["look_again"] = Value(late.look_again.isoformat(), "date")
    return found


def give_up_value(late: Lateness) -> Value:
    if late.give_up is None or late.give_up.at is None:
        return Value(None, "date", reason=late.reason)
    at, low, high = (moment.date().isoformat() if moment else None for moment in late.give_up)
    return Value(at, "date", low, high)


def may_rest(nursery, label: str) -> tuple[str, str]:
    """For pupae that are not late: that they may wait for spring instead, with the chance, and the step; "" where they do not."""
    rests, _, step = _rests(nursery, nursery.ledger.cohorts[label].species, "pupa", label)
    low, high = rests if isinstance(rests, tuple) else (rests, rests)
    if high < WORTH_SAYING:
        return "", step
    return f"The dates hold for those that do not rest until spring: {share(low)} to {share(high)} of them may.", step


def share(chance: float) -> str:
    """A chance in words that never claims certainty."""
    if chance < 0.005:
        return "under 1 %"
    return "over 99 %" if chance > 0.995 else f"{chance:.0%}".replace("%", " %")


def _article(stage: str) -> str:
    return f"an {stage}" if stage[0] in "aeiou" else f"a {stage}"
