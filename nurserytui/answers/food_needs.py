"""What known animals need of a plant: the amounts in grams, leaf area, leaves, stems or plants, and the days they fall on."""

from __future__ import annotations

import re
from datetime import timedelta

from nurserytui.answers import appetite, eaters, naming, portions, provision
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.appetite import rounded
from nurserytui.answers.rules import lines_of, sources_of
from nurserytui.answers.wording import OWN_RECORDS, capital, cite, counted, day_words, listed, number, percent, species_label
from nurserytui.biology import feeding
from nurserytui.biology.ranges import Range, inverse, pooled, product

TOPIC = "food-supply"
LASTING = re.compile(
    r"\b(lasts?(?! instar)|lasting|enough|run(s|ning)? out|run short|will .* do|suffice|sufficient|hold out|see them through|how far will|"
    r"manage on|get by on|cope on|live off)\b"
)
DAILY = re.compile(r"\b(each|every|per|a|in a|one) day\b|\bdaily\b")
LEVEL = 0.9
PLANTS_SPREAD = 2.0
"""Rearers' counts of plants for one larva differ by more than this factor either way, because plants differ in size."""
RESERVE = "What is eaten differs widely, because plants and leaves differ in size: keep twice the plant in reserve."
MOST_DAYS = 60
NO_SPECIES = ("", "unknown")


def shares_words(instars: int) -> str:
    return ", ".join(f"L{at} {share * 100:.2g} %" for at, share in enumerate(feeding.food_shares(instars), 1))


class Needs:
    """One answer about animals that are known."""

    def __init__(self, request, text: str, species: str, plant: portions.Plant, who: eaters.Eaters, nursery) -> None:
        self.request, self.text, self.plant, self.nursery = request, text, plant, nursery
        self.now, self.knowledge = nursery.now, nursery.knowledge
        self.who, self.left_out = self.with_known_appetite(who)
        who = self.who
        self.species = who.species[0] if who.own and len(who.species) == 1 else "" if who.own else species
        self.hosts = provision.hosts_meant(request, who, nursery)
        self.rations = {one: self.ration(one) for one in who.species}
        self.unknown = not any(one.known for one in self.rations.values())
        self.plan = provision.lay_out(who, self.rations, nursery)
        self.lasting = bool(LASTING.search(text)) or plant.supply is not None
        self.window = provision.window_of(request, text, self.lasting, self.now)
        self.rule = self.plants_rule() if len(who.species) == 1 else None
        self.unit = self.main_unit()
        self.rules: list = []
        """Facts used on the way, for the sources."""

    def with_known_appetite(self, who: eaters.Eaters) -> tuple[eaters.Eaters, tuple[str, ...]]:
        """Of several species those of which something is known, and the cohorts left out: a guess among them would spoil the sum."""
        known = {species: species not in NO_SPECIES and appetite.ration(species, self.knowledge).known for species in who.species}
        if all(known.values()) or not any(known.values()):
            return who, ()
        kept = tuple(group for group in who.groups if known[group.species])
        return eaters.of_groups(kept), tuple(dict.fromkeys(group.cohort for group in who.groups if not known[group.species]))

    def ration(self, species: str) -> appetite.Ration:
        """Of the species; of those that eat the plant named, where only a plant is."""
        if species not in NO_SPECIES or not self.request.hosts:
            return appetite.ration(species, self.knowledge)
        eating = [one.species for one in self.knowledge.pairings_on(self.hosts[0]) if one.rank == "primary"][:8]
        found = [one for one in (appetite.ration(name, self.knowledge) for name in eating) if one.known]
        if not found:
            return appetite.ration("", self.knowledge)
        steps = tuple(dict.fromkeys(step for one in found for step in one.steps))
        rules = tuple(dict.fromkeys(rule for one in found for rule in one.rules))
        return appetite.Ration(pooled(one.grams for one in found), "relatives", steps, rules)

    def plants_rule(self):
        """The rule that says how many plants one larva eats in all; None where there is none."""
        known = self.knowledge.species(self.species) if self.species not in NO_SPECIES else None
        names = {name.casefold() for name in known.common} if known else set()
        if self.species in NO_SPECIES:
            names |= {host.said.casefold() for host in self.request.hosts}
        for rule in self.knowledge.rules("food"):
            if rule.unit == "plants" and rule.value and names & {word.casefold() for word in rule.about}:
                return rule
        return None

    def main_unit(self) -> str:
        """The unit asked for, else that of the stock told, else plants where plants are the usual count, else grams."""
        if self.plant.wanted:
            return self.plant.wanted
        if self.plant.supply:
            return self.plant.supply[1]
        if self.plant.size:
            return "leaves" if self.plant.size[1] == "cm2" else "stems"
        return "plants" if self.rule and self.window is None else "g"

    # amounts ---------------------------------------------------------------------------------------------------------

    def grams(self) -> Range:
        """Grams eaten in the days asked about, or in all."""
        return self.plan.spread.times(self.amount())

    def amount(self) -> float:
        if self.window is None or not self.plan.ends:
            return self.plan.total
        return self.plan.eaten_by(self.window.end, self.now) - self.plan.eaten_by(self.window.start, self.now)

    def in_unit(self, grams: Range, unit: str) -> Range:
        """Grams of leaf eaten, in a unit."""
        if unit == "g" or grams.value <= 0.0:
            return grams
        if unit == "cm2":
            return appetite.area(grams, self.knowledge)
        if unit == "plants" and self.rule and not self.plant.size:
            larvae = grams.value / self.rations[self.who.species[0]].grams.value
            return self.plants_spread().times(larvae * self.rule.value)
        return product(grams, inverse(self.portion(unit).grams))

    def plants_spread(self) -> Range:
        return product(self.plan.stage, Range(1.0, 1 / PLANTS_SPREAD, PLANTS_SPREAD))

    def portion(self, unit: str) -> appetite.Portion:
        return appetite.portion(unit, self.plant.size, self.hosts, self.knowledge)

    # words -----------------------------------------------------------------------------------------------------------

    def name(self) -> str:
        if self.who.own:
            labels = self.request.cohorts or tuple(dict.fromkeys(group.cohort for group in self.who.groups))
            return f"{'cohort' if len(labels) == 1 else 'cohorts'} {listed(labels)}"
        label = species_label(self.species, self.knowledge) if self.species else ""
        if not label and self.request.hosts:
            label = f"{self.request.hosts[0].said}-feeding"
        return counted(self.who.count, f"{label} larva".strip(), f"{label} larvae".strip())

    def single(self) -> bool:
        if self.who.own:
            return len(self.request.cohorts or {group.cohort for group in self.who.groups}) == 1
        return self.who.count == 1

    def until(self) -> str:
        return "it pupates" if self.who.count == 1 else "they pupate"

    def said(self, one: Range, unit: str) -> str:
        """`45 g of fresh leaf (20-90)`, `3 stems of 10 g (1-7)`."""
        words = {"g": "g of fresh leaf", "cm2": "cm2 of leaf"}.get(unit, "")
        if not words:
            words = unit if unit == "plants" and self.rule and not self.plant.size else self.portion(unit).words
            if one.value == 1 and words == unit:
                words = appetite.ONE[unit]
        value = number(one.value) if unit == "plants" and one.value >= 1 else rounded(one.value)
        return f"{value} {words} ({rounded(one.low)}-{rounded(one.high)})"

    def span(self) -> str:
        """The days asked about, in words."""
        if self.window is None:
            return ""
        last = self.window.end - timedelta(seconds=1)
        if self.window.start > self.now and self.window.start.date() == last.date():
            return f" on {day_words(last, self.now)}"
        if self.window.start > self.now:
            return f" from {day_words(self.window.start, self.now)} to {day_words(last, self.now)}"
        return f" from now to the end of {day_words(last, self.now)}"

    # the answer ------------------------------------------------------------------------------------------------------

    def answer(self) -> Answer:
        lines, values, working = self.not_their_food(), self.needed(), []
        if self.lasting:
            from nurserytui.answers import food_lasting

            verdict = food_lasting.verdict(self)
            lines += verdict.lines
            values.update(verdict.values)
            working = list(verdict.steps)
        if self.left_out:
            lines.append(f"Not counted, because nothing on record says how much they eat: {listed(self.left_out)}.")
        daily = self.daily_lines()
        asked_daily = bool(daily) and bool(DAILY.search(self.text))
        lines += [*daily, self.need_line()] if asked_daily else [self.need_line(), *daily]
        if asked_daily:
            values["daily"] = self.value(self.in_unit(self.plan.spread.times(self.one_day()), self.day_unit()), self.day_unit())
        if self.window is not None and not self.plan.ends:
            lines.append("By day I cannot say it: how fast these larvae grow is not known.")
        lines += [*self.by_cohort(), *self.beyond(), *self.size_lines()]
        if self.rule:
            lines.append(self.rule.text)
            self.rules.append(self.rule)
        general = [self.knowledge.rule("last-instar-share")]
        if self.rule or self.unit == "leaves":
            general.insert(0, self.knowledge.rule("leaf-counts-disagree"))
        general = [rule for rule in general if rule]
        lines += lines_of(general)
        rules = [*self.rules, *general, *(rule for one in self.rations.values() for rule in one.rules)]
        return Answer(
            "unknown" if self.unknown else "answered",
            TOPIC,
            "\n".join(dict.fromkeys(line for line in lines if line)),
            about=self.about(),
            values=values,
            items=self.items(),
            working=(*self.working(), *working),
            sources=(*cite(self.knowledge, sources_of(rules)), *((OWN_RECORDS,) if self.who.own else ())),
            cautions=(RESERVE, *self.not_their_food()),
            next=self.next(),
        )

    def about(self) -> dict:
        about = {}
        if self.species not in NO_SPECIES:
            about["species"] = self.species
        labels = self.request.cohorts or tuple(dict.fromkeys(group.cohort for group in self.who.groups if group.cohort))
        if self.request.cohorts or len(labels) == 1:
            about["cohort"] = labels[0]
        if self.hosts and (self.request.hosts or self.lasting):
            about["host"] = self.hosts[0]
        return about

    def next(self) -> tuple[str, ...]:
        first = "In which instar do they eat the most?"
        if self.species not in NO_SPECIES:
            return (first, f"What do {naming.spoken(self.species, self.knowledge)} larvae eat?")
        return (first,)

    def not_their_food(self) -> list[str]:
        """A warning where the plant named is not one on which the animals are known to feed."""
        if not self.request.hosts or self.species in NO_SPECIES or not self.knowledge.pairings_of(self.species):
            return []
        if any(naming.eats(self.knowledge, self.species, host) for host in self.hosts):
            return []
        ranks = [one.rank for host in self.hosts if (one := self.knowledge.pairing(self.species, host))]
        label, plant = species_label(self.species, self.knowledge), self.request.hosts[0].said
        if "emergency" in ranks:
            return [f"{capital(plant)} is emergency food for {label}, for last-instar larvae only."]
        return [f"Take care: nothing on record says that {label} larvae eat {plant}. Have they been eating it?"]

    def needed(self) -> dict[str, Value]:
        grams = self.grams()
        values = {"needed": self.value(self.in_unit(grams, self.unit), self.unit)}
        for unit in dict.fromkeys(("g", "cm2", self.unit)):
            values[f"needed_{unit}"] = self.value(self.in_unit(grams, unit), unit)
        if self.window is not None and self.plan.ends:
            values["until_pupation_g"] = self.value(self.plan.whole, "g")
        return values

    def value(self, one: Range, unit: str) -> Value:
        low, high = (round(bound, 2) if bound < 100 else round(bound) for bound in (one.low, one.high))
        if self.unknown:
            return Value(None, unit, low, high, LEVEL, self.lacking())
        return Value(round(one.value, 2), unit, low, high, LEVEL)

    def lacking(self) -> str:
        who = species_label(self.species, self.knowledge) if self.species not in NO_SPECIES else "these animals"
        return (
            f"no measured amount of plant and no size of the pupa is on record for {who}; the bounds are those of butterflies and "
            "moths of any size"
        )

    def need_line(self) -> str:
        who, one, words = self.name(), self.in_unit(self.grams(), self.unit), f" ({self.who.words})"
        head, still = f"{capital(who)}", " still" if self.who.own else ""
        if self.unknown:
            return (
                f"I do not know how much {who}{still} {'needs' if self.single() else 'need'}: {self.lacking()}, here "
                f"{rounded(one.low)} to {rounded(one.high)} {self.unit}. Watch what one larva eats in a day and scale it by the shares "
                f"below.{words if self.who.own else ''}"
            )
        kin = " It is reckoned from the size of their relatives only." if self.by_relatives() else ""
        if self.window is not None and self.plan.ends:
            if self.amount() < 0.0005:
                return f"{head} {'eats' if self.single() else 'eat'} nothing{self.span()}{words}."
            all_left = self.amount() > 0.995 * self.plan.total
            rest = "" if all_left else f"; until pupation {self.said(self.in_unit(self.plan.whole, self.unit), self.unit)}"
            return f"{head} will eat about {self.said(one, self.unit)}{self.span()}{words}{rest}.{kin}"
        if self.unit == "plants":
            verb = "needs" if self.single() else "need"
            return f"{head}{still} {verb} about {self.said(one, self.unit)}{words}: some {self.said(self.grams(), 'g')}.{kin}"
        other = "cm2" if self.unit == "g" else "g"
        rest = self.said(self.in_unit(self.grams(), other), other)
        verb = "eats" if self.single() else "eat"
        return f"{head}{still} {verb} about {self.said(one, self.unit)} until {self.until()}, about {rest}{words}.{kin}"

    def by_relatives(self) -> bool:
        return any(one.how == "relatives" for one in self.rations.values())

    def day_unit(self) -> str:
        return "g" if self.unit == "plants" else self.unit

    def next_day(self) -> int:
        """The first whole day of the plan, or its only one."""
        whole = (at for at, end in enumerate(self.plan.ends) if at or end - self.now > timedelta(hours=20))
        return min(next(whole, 0), len(self.plan.daily) - 1)

    def one_day(self) -> float:
        """Grams of the next whole day; for animals of the line, of a day on average."""
        return self.plan.daily[self.next_day()] if self.who.own else self.plan.total / len(self.plan.daily)

    def daily_lines(self) -> list[str]:
        """The next whole day's part and the hungriest day's, where days are known."""
        daily = self.plan.daily
        if not daily or self.window is not None or self.unknown:
            return []

        def words(grams: float) -> str:
            return self.said(self.in_unit(self.plan.spread.times(grams), self.day_unit()), self.day_unit())

        top = max(range(len(daily)), key=lambda at: daily[at])
        if not self.who.own:
            if not DAILY.search(self.text):
                return []
            mean = f"{self.name()} {'eats' if self.single() else 'eat'} about {words(self.one_day())} a day"
            return [f"{capital(mean)} on average over {len(daily)} days, {words(daily[top])} on the hungriest."]
        noon = [end - timedelta(hours=12) for end in self.plan.ends]
        coming = self.next_day()
        if coming == top:
            return [f"On {day_words(noon[top], self.now)}: {words(daily[top])}, the most of any day."]
        lines = [f"Most is eaten on {day_words(noon[top], self.now)}: {words(daily[top])}."]
        if daily[coming] > provision.NOTHING_LEFT:
            lines.insert(0, f"On {day_words(noon[coming], self.now)}: {words(daily[coming])}.")
        return [" ".join(lines)]

    def by_cohort(self) -> list[str]:
        """What each of several cohorts eats of it."""
        labels = tuple(dict.fromkeys(group.cohort for group in self.who.groups if group.cohort))
        if len(labels) < 2 or self.unknown:
            return []
        parts = []
        for label in labels:
            groups = tuple(group for group in self.who.groups if group.cohort == label)
            part = Needs.__new__(Needs)
            part.__dict__.update(self.__dict__)
            part.plan = provision.lay_out(self.who._replace(groups=groups), self.rations, self.nursery)
            host = self.nursery.ledger.cohorts[label].host
            of = f" of {naming.plant_word(host, self.knowledge)}" if host else ""
            parts.append(f"{label} {rounded(part.amount())} g{of}")
        return [f"Of that {listed(parts)}."]

    def beyond(self) -> list[str]:
        """Where it is so cold that they are not done within the days laid out."""
        if not self.plan.ends or sum(self.plan.daily) > 0.99 * self.plan.total:
            return []
        share = percent(sum(self.plan.daily) / self.plan.total)
        return [f"In this cold they eat only {share} of it within {len(self.plan.ends)} days: what comes later has no date."]

    def size_lines(self) -> list[str]:
        """Where the size of a leaf or stem decides and was not told: from small to large, and how to measure it."""
        if self.unit in ("g", "cm2") or (self.unit == "plants" and self.rule) or self.plant.size:
            return []
        portion, measure = self.portion(self.unit), self.knowledge.rule("measure-leaves")
        self.rules += [*portion.rules, *([measure] if measure else [])]
        how = f" {measure.text}" if measure else ""
        return [f"The size decides, and was not told: {portion.step} Tell me the size of one {appetite.ONE[self.unit]}.{how}"]

    # working ---------------------------------------------------------------------------------------------------------

    def items(self) -> tuple[dict, ...]:
        """One item a day: its date (or number, for animals of the line) with what is eaten in grams, leaf area and the unit asked for."""
        if self.unknown:
            return ()
        found = []
        for at, (end, grams) in enumerate(zip(self.plan.ends[:MOST_DAYS], self.plan.daily)):
            day, one = end - timedelta(hours=12), self.plan.spread.times(grams)
            name = f"{day:%Y-%m-%d}" if self.who.own else f"day {at + 1}"
            item = {"name": name, "label": f"{day:%a} {day.day} {day:%B}" if self.who.own else name}
            item |= {"g": round(one.value, 3), "low": round(one.low, 3), "high": round(one.high, 3)}
            for unit in dict.fromkeys(("cm2", self.unit)):
                item[unit] = round(self.in_unit(one, unit).value, 3)
            found.append(item)
        return tuple(found)

    def working(self) -> list[str]:
        steps = []
        for species, one in self.rations.items():
            steps += one.steps
            shares = shares_words(eaters.instars_of(species, self.knowledge))
            steps.append(f"One larva eats {appetite.spread(one.grams)} g of fresh leaf in all; by instar {shares}.")
        left: dict[tuple[str, str], float] = {}
        for group in self.who.groups:
            instars = eaters.instars_of(group.species, self.knowledge)
            share = 1 - feeding.eaten(group.middle, feeding.time_shares(instars), feeding.food_shares(instars))
            key = percent(share), group.words
            left[key] = left.get(key, 0) + group.count
        steps += [
            f"{number(count)} × {share} of a larva's food still to come ({words})." for (share, words), count in left.items()
        ]
        steps += dict.fromkeys(
            f"By what was seen of it, cohort {group.cohort} takes {number(group.pace, 2)} times as long as published."
            for group in self.who.groups
            if abs(group.pace - 1.0) >= 0.05
        )
        steps += dict.fromkeys(f"Warmth: {group.warm.words}." for group in self.who.groups if group.warm)
        return steps
