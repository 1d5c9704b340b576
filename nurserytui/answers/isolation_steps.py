"""The steps of an isolation plan in their order: apart, hands, leaf, mix, rinse, use again, watch."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any, NamedTuple

from nurserytui.answers.agents import PARASITOIDS
from nurserytui.answers.exposure_words import kind_words, look_for
from nurserytui.answers.isolation_mix import dish, for_enclosure, recipe, soak_words
from nurserytui.answers.isolation_parties import Case, Party
from nurserytui.answers.isolation_places import Free, free_enclosures, litres_needed
from nurserytui.answers.loose import PLAIN, loose, same_air
from nurserytui.answers.record_wording import sentence as sentence_of
from nurserytui.answers.selection import known_enclosures
from nurserytui.answers.stays import cleared, group_of
from nurserytui.answers.vulnerable import attacked, onset, past
from nurserytui.answers.watches import open_watches
from nurserytui.answers.wording import day_words, listed, number
from nurserytui.language.draft import Draft

ORDER = ("possible", "likely", "sick")
NEW_POT = "isolation jar"
"""The name proposed where no known enclosure is free; `isolation jar 2` and so on for the next: each its own."""


class Step(NamedTuple):
    kind: str
    """`catch`, `apart`, `keep`, `order`, `leaf`, `bodies`, `mix`, `clean`, `watch`."""
    name: str
    """Cohort or enclosure."""
    label: str
    record: str
    """The sentence that records it as done."""
    short: str = ""
    """It in a few words, for the first line of the plan."""
    rules: tuple = ()
    does: bool = True
    """False where the sentence is only a note."""
    more: dict[str, Any] = {}
    caution: str = ""

    def words(self) -> str:
        return f"{self.label} Write “{self.record}”."

    def item(self, rank: int) -> dict:
        return {"name": self.name, "label": self.label, "rank": rank, "kind": self.kind, "record": self.record, **self.more}


def steps_of(nursery, case: Case, taken: set[str] | None = None) -> list[Step]:
    """The steps for one kind of trouble, those that cannot wait first; `taken` are the enclosures that other plans of the hour fill."""
    plan = _Plan(nursery, case, set() if taken is None else taken)
    return plan.against_parasitoids() if case.kind in PARASITOIDS else plan.against_disease()


class _Plan:
    """One plan being drawn up: it remembers which free enclosures it has given away."""

    def __init__(self, nursery, case: Case, taken: set[str]) -> None:
        self.nursery, self.case, self.knowledge, self.now = nursery, case, nursery.knowledge, nursery.now
        self.taken = taken
        self.sent: dict[int, str] = {}
        """Where the plan sends a party, by its identity."""

    def rule(self, name: str):
        return self.knowledge.rule(name)

    # Whole plans ---------------------------------------------------------------------------------------------------------

    def against_disease(self) -> list[Step]:
        steps = [step for party in self.case.sick for step in self._sick(party)]
        for place in self._dirty():
            steps += self._empty(place)
        steps += [self._keep(place, parties) for place, parties in self._elsewhere().items()]
        steps.append(self._order())
        steps += self._throw_away()
        steps += self._mix()
        steps += self._watch()
        return steps

    def against_parasitoids(self) -> list[Step]:
        steps = []
        for one in self.case.outbreaks:
            about = loose(self.nursery, one)
            if about is not None and about.about and about.until >= self.now:
                them = PLAIN[one.kind]
                what = (
                    "look on the netting, the lid, the window and the lamp"
                    if one.kind == "wasp"
                    else "pick out maggots, puparia and flies"
                )
                label = f"Catch every one of the {them} in {listed(about.air)} today: {what}, with the room shut."
                steps.append(
                    Step(
                        "catch", one.place, label, about.record(), f"catch the {them} in {one.place}", (self.rule("trace-loose"),)
                    )
                )
        apart, together = self._apart_already()
        younger = [party for party in together if self._not_yet(party)]
        struck = [party for party in together if not self._not_yet(party)]
        steps += [step for place, parties in _by_place(younger).items() for step in self._out_of_reach(place, parties)]
        steps += [step for place, parties in _by_place(struck).items() for step in self._net(place, parties)]
        steps += [self._keep(place, parties) for place, parties in _by_place(apart).items()]
        steps.append(self._order())
        steps += self._bodies()
        steps += self._mix()
        steps += self._watch()
        return steps

    def _apart_already(self) -> tuple[list[Party], list[Party]]:
        """The exposed that stand out of the air in question and with nobody else, and the others."""
        air = {other for one in self.case.outbreaks for other in same_air(self.nursery.settings, one.place)}
        watched = {party.group for party in self.case.exposed}
        apart, together = [], []
        for party in self.case.exposed:
            place = party.group.enclosure
            alone = all(group_of(key) in watched for key, _ in self.nursery.heads(enclosure=place))
            (apart if place and place not in air and alone else together).append(party)
        return apart, together

    # Apart ---------------------------------------------------------------------------------------------------------------

    def _sick(self, party: Party) -> list[Step]:
        place = party.group.enclosure
        others = [key for key, count in self.nursery.heads(enclosure=place) if (key, count) not in party.heads]
        rules = (self.rule("suspect-apart"), self.rule("isolate-soft"))
        if place and not others:
            label = f"Keep {party.words()} where it is: it stands alone in {place}; nobody joins it, and it never goes back to the others."
            return [Step("keep", place, label, f"checked {place}", f"keep {party.words()} alone in {place}", rules)]
        free = self._give(litres_needed(self.nursery, party.heads), (place,))
        target = free.name if free else self._new_pot()
        first = self._lead_in(free)
        grown = all(key.stage == "adult" for key, _ in party.heads)
        leaf = "" if grown else " with its leaf"
        more_words = " One that hangs, moults or is soft waits until it is hard."
        if grown:
            rules = (*rules, self.rule("tape-result")) if self.case.kind == "OE" else rules
            more_words = " Keep it from larvae and food plants, do not breed from it, and let your local programme say whether it may be released."
        label = (
            f"{first}Lift {party.words()}{leaf} out of {place or 'where it is'} into {free.words if free else f'a clean, lidded, lined pot ({target})'}; "
            f"write the date, where it stood and who was with it on the lid.{more_words}"
        )
        more = {"cohort": party.group.cohort, "enclosure": place, "to": target, "class": party.grade}
        short = f"{party.words()} out of {place} into {target}" if place else f"{party.words()} into {target}"
        return [Step("apart", party.group.cohort, label, self._move([party], place, target), short, rules, more=more)]

    def _empty(self, place: str) -> list[Step]:
        """Those who were with the sick ones, out of the dirty enclosure, so that it can be cleaned."""
        parties = [party for party in self.case.exposed if party.group.enclosure == place]
        if not parties:
            return []
        heads = [pair for party in parties for pair in party.heads]
        need = litres_needed(self.nursery, heads)
        free = self._give(need, (place,))
        names = listed(party.words() for party in parties)
        more = {"cohort": parties[0].group.cohort, "enclosure": place, "class": parties[0].grade}
        more.update(_until(parties))
        if free is None:
            label = (
                f"{names} stay together in {place} for now: no known enclosure is free that would hold them ({number(need, 2)} L by the house rule). "
                "Take frass out twice a day and change the lining daily; nobody joins or leaves them."
            )
            return [Step("keep", place, label, f"checked {place}", "", (self.rule("frass-daily"),), more=more)]
        label = (
            f"{self._lead_in(free)}Then move {names} from {place} to {free.words}, so that {place} can be cleaned; "
            "they stay together as one watched group, and nobody joins or leaves them."
        )
        record = self._move(parties, place, free.name)
        short = f"{names} from {place} to {free.name}"
        return [Step("apart", place, label, record, short, (self.rule("isolate-soft"),), more={**more, "to": free.name})]

    def _keep(self, place: str, parties: list[Party]) -> Step:
        names = listed(party.words() for party in parties)
        label = f"Keep {names} in {place or 'their place'} apart as a watched group: nobody joins or leaves them."
        more = {"cohort": parties[0].group.cohort, "enclosure": place, "class": parties[0].grade, **_until(parties)}
        return Step(
            "keep", place or parties[0].group.cohort, label, f"checked {place or parties[0].group.cohort}", "", (), more=more
        )

    def _out_of_reach(self, place: str, parties: list[Party]) -> list[Step]:
        """Those who are not at risk yet, out of the air before they are."""
        heads = [pair for party in parties for pair in party.heads]
        when = min(self._at_risk_from(party) for party in parties)
        names = listed(party.words() for party in parties)
        by = f"before {day_words(when, self.now)}" if when.date() > self.now.date() else "today"
        free = self._give(litres_needed(self.nursery, heads), (place, *(one.place for one in self.case.outbreaks)))
        to = free.name if free else self._new_pot()
        target = free.words if free else f"a clean enclosure out of that air ({to})"
        label = f"{self._lead_in(free)}Move {names} out of {place} into {target} {by}: not struck yet, and at risk as soon as they come to that stage.{self._mesh()}"
        more = {"cohort": parties[0].group.cohort, "enclosure": place, "to": to, "class": "possible"}
        more["due"] = when.date().isoformat()
        record = self._move(parties, place, more["to"])
        return [
            Step(
                "apart",
                place,
                label,
                record,
                f"{names} out of {place} into {more['to']} {by}",
                (),
                more={**more, **_until(parties)},
            )
        ]

    def _net(self, place: str, parties: list[Party]) -> list[Step]:
        """Those who may carry it, under mesh that keeps what comes out of them in."""
        shows = [party.row.contact.show_from for party in parties if party.row.contact.show_from]
        names = listed(party.words() for party in parties)
        by = f"by {day_words(max(min(shows), self.now), self.now)}, when the first could come out" if shows else "soon"
        heads = [pair for party in parties for pair in party.heads]
        free = self._give(litres_needed(self.nursery, heads), (place,))
        pots = [] if free else [self._new_pot() for _ in parties]
        target = f"{free.words} or netted pots of their own" if free else "netted pots of their own, new ones, each cohort apart"
        label = (
            f"{self._lead_in(free)}Put {names} from {place} into {target} {by}, so that nothing that comes out reaches the others. "
            f"Those that hang or are soft wait a day until they are hard.{self._mesh()}"
        )
        to = free.name if free else pots[0]
        more = {"cohort": parties[0].group.cohort, "enclosure": place, "to": to, "class": parties[0].grade, **_until(parties)}
        if free:
            record = self._move(parties, place, to)
        else:
            record = ", ".join(self._move([party], place, pot) for party, pot in zip(parties, pots, strict=True))
        return [Step("apart", place, label, record, "", (self.rule("isolate-soft"),), more=more)]

    def _mesh(self) -> str:
        agent = next((one.agent for one in self.case.outbreaks if one.agent is not None), None)
        return f" Mesh of {number(agent.mesh_mm, 2)} mm or finer." if agent is not None and agent.mesh_mm else ""

    def _not_yet(self, party: Party) -> bool:
        stages = attacked(party.row.outbreak)
        return not any(past(key.stage, stages) for key, _ in party.heads)

    def _at_risk_from(self, party: Party) -> datetime:
        """When the first of them come to the stage that is attacked; now, where that cannot be told."""
        if party.row.contact.vulnerable_from is not None:
            return max(party.row.contact.vulnerable_from, self.now)
        firsts = []
        for stage in dict.fromkeys(key.stage for key, _ in party.heads):
            ahead = onset(self.nursery, attacked(party.row.outbreak), party.group, stage)
            firsts.append(max(ahead.first, self.now) if ahead is not None else self.now)
        return min(firsts, default=self.now)

    # Hands, leaf, bodies -------------------------------------------------------------------------------------------------

    def _order(self) -> Step:
        """Whose enclosures are opened first and whose last."""
        grades: dict[str, str] = {}
        watched = [(row.contact.group.enclosure, row.contact.grade) for row in open_watches(self.nursery)]
        for place, grade in (*watched, *((party.group.enclosure, "sick") for party in self.case.sick)):
            grades[place] = max(grade, grades.get(place, "possible"), key=ORDER.index)
        every = sorted({key.enclosure for key, _ in self.nursery.heads() if key.enclosure})
        healthy = [place for place in every if place not in grades]
        after = [place for grade in ORDER for place in every if grades.get(place) == grade]
        if healthy and after:
            order = f"first {listed(healthy)}; then {listed(after)}"
        else:
            order = listed(healthy or after)
        label = (
            f"Hands and tools, healthy first and suspects last: {order}; in each eggs, small larvae, large larvae, pupae, adults. "
            "Fresh gloves or washed hands between enclosures, tools of their own for the suspects."
        )
        rules = (self.rule("one-way"), self.rule("gloves"))
        return Step("order", "hands and tools", label, "note: healthy first, suspects last, tools apart", "", rules, does=False)

    def _throw_away(self) -> list[Step]:
        steps = []
        for place in self.case.places:
            if not self._dirty_place(place):
                continue
            rules = [self.rule("solids-first")]
            if self.case.kind == "virus":
                rules.append(self.rule("npv-outbreak"))
            label = f"Throw away all leaf, cuttings and lining of {place} in a closed bag; move none of it to another enclosure, and give fresh leaf."
            larvae = any(key.stage == "larva" for key, _ in self.nursery.heads(enclosure=place))
            record = f"fed {place}" if larvae else f"note: leaf of {place} thrown away"
            steps.append(Step("leaf", place, label, record, "", tuple(rules), does=larvae))
        return steps + self._bodies()

    def _bodies(self) -> list[Step]:
        died = [one for outbreak in self.case.outbreaks for one in outbreak.cases if one.event.what == "died"]
        if not died:
            return []
        rule = self.rule("isolate-bodies")
        return [Step("bodies", "dead animals", rule.text, "note: dead animals bagged and frozen", "", (rule,), does=False)]

    # Mix, clean, use again -----------------------------------------------------------------------------------------------

    def _mix(self) -> list[Step]:
        mix = recipe(self.knowledge, self.case.kind)
        dirty = self._dirty()
        volumes = self.nursery.settings.volumes
        known = [place for place in dirty if place in volumes]
        unknown = [place for place in dirty if place not in volumes]
        pours = [
            dish(self.knowledge, mix),
            *(for_enclosure(self.knowledge, place, volumes[place] / 1000, mix) for place in known),
        ]
        against = f"against the {kind_words(self.case.kind)} in {listed(self.case.places)}" if self.case.outbreaks else "for it"
        label = f"Mix fresh {against}, bleach into water: {mix.words()}; {'; '.join(pour.words() for pour in pours)}."
        record = "note: tools soaked in bleach, rinsed and dried"
        if unknown:
            label += f" How much {listed(unknown)} {'holds' if len(unknown) == 1 else 'hold'} is not on record: “{unknown[0]} holds 10 litres” would tell me."
        label += f" Wash off frass and leaf first; tools and gear stay wet for {soak_words(mix.contact)}."
        more = {
            "contact_time": mix.contact.value,
            "volumes": [
                {"name": one.name, "stock_ml": round(one.stock_ml, 1), "water_ml": round(one.water_ml, 1)} for one in pours
            ],
        }
        rules = (*mix.rules, self.rule("solids-first"), self.rule("bleach-kind"), self.rule("keeping-time"))
        steps = [Step("mix", "mix", label, record, "", rules, does=False, more=more)]
        return steps + [self._clean(place, mix) for place in dirty]

    def _clean(self, place: str, mix) -> Step:
        """Empty, wash, soak, rinse, dry: and from when it may be used again."""
        dry = timedelta(days=self.rule("isolate-dry").value)
        again = self.now + timedelta(minutes=mix.contact.value) + dry
        empty = not self.nursery.heads(enclosure=place)
        lead = f"Clean {place}" if empty else f"As soon as {place} is empty, clean it"
        label = (
            f"{lead}: wash it, keep it wet with the mix for {soak_words(mix.contact)}, rinse twice, dry in air. Done today, it may be used again from "
            f"{day_words(again, self.now)}, once no smell of bleach is left."
        )
        more = {"enclosure": place, "use_again": again.date().isoformat()}
        return Step("clean", place, label, f"cleaned {place}", "", (self.rule("rinse"), self.rule("isolate-dry")), more=more)

    # Watch ---------------------------------------------------------------------------------------------------------------

    def _watch(self) -> list[Step]:
        steps = []
        places: dict[str, list[Party]] = {}
        for party in (*self.case.exposed, *self.case.sick):
            places.setdefault(self.sent.get(id(party), party.group.enclosure), []).append(party)
        sign = look_for(self.case.outbreaks[0]) if self.case.outbreaks else "limp, dark, leaking or still animals"
        for place, those in places.items():
            until = _until(those).get("watch_until")
            end = f"until {day_words(until, self.now)}" if until else "until it shows what it is, or is well for a week"
            names = listed(party.words() for party in those)
            label = f"Look at {names}{f' in {place}' if place else ''} twice a day {end}, for this: {sign}."
            name = place or those[0].group.cohort
            more = {"cohort": those[0].group.cohort, "enclosure": place, "class": those[0].grade, **_until(those)}
            more["reason"] = (
                those[0].row.contact.reason if those[0].row is not None else f"shows signs of {kind_words(self.case.kind)}"
            )
            steps.append(Step("watch", name, label, f"checked {name}", "", (self.rule("isolate-look"),), more=more))
        return steps

    # Help ----------------------------------------------------------------------------------------------------------------

    def _dirty_place(self, place: str) -> bool:
        if self.case.kind in PARASITOIDS:
            return any(cleared(self.nursery, one.place, one.last) is None for one in self.case.outbreaks if one.place == place)
        last = [one for one in self.case.outbreaks if one.place == place]
        return not last or cleared(self.nursery, place, last[-1].last) is None

    def _dirty(self) -> list[str]:
        """The enclosures in which it was, or is, and which were not emptied and cleaned since."""
        return [place for place in self.case.places if self._dirty_place(place)]

    def _elsewhere(self) -> dict[str, list[Party]]:
        dirty = self._dirty()
        return _by_place([party for party in self.case.exposed if party.group.enclosure not in dirty])

    def _give(self, need: float, away: tuple[str, ...]) -> Free | None:
        """The best free enclosure that was not given to others."""
        for one in free_enclosures(self.nursery, need, tuple(place for place in away if place)):
            if one.name not in self.taken:
                self.taken.add(one.name)
                return one
        return None

    def _whole(self, parties: list[Party], place: str) -> list[str]:
        """The cohorts with marked animals of which all that stand there go: they are told without their marks."""
        going: dict[str, int] = {}
        for party in parties:
            going[party.group.cohort] = going.get(party.group.cohort, 0) + party.count
        marked = {party.group.cohort for party in parties if party.group.mark}
        return [
            cohort
            for cohort, count in going.items()
            if cohort in marked and count > 1 and count == sum(n for _, n in self.nursery.heads(cohort=cohort, enclosure=place))
        ]

    def _new_pot(self) -> str:
        """A name for an enclosure that the nursery does not have yet."""
        known = {name.casefold() for name in known_enclosures(self.nursery)} | {name.casefold() for name in self.taken}
        names = (NEW_POT if number == 1 else f"{NEW_POT} {number}" for number in range(1, len(known) + 2))
        name = next(one for one in names if one not in known)
        self.taken.add(name)
        return name

    def _lead_in(self, free: Free | None) -> str:
        if free is None:
            return f"No {'other ' if any(not name.startswith(NEW_POT) for name in self.taken) else ''}known enclosure stands empty and clean. "
        return "" if free.clean else f"Clean {free.name} first (it is {free.state}). "

    def _move(self, parties: list[Party], place: str, target: str) -> str:
        """The sentence that records the move: of the whole enclosure where all go, else group by group."""
        self.sent.update((id(party), target) for party in parties)
        moved = sum(party.count for party in parties)
        if place and moved == sum(count for _, count in self.nursery.heads(enclosure=place)) and len(parties) > 1:
            return f"moved everything from {place} to {target}"
        drafts = []
        whole = self._whole(parties, place)
        drafts += [Draft("moved", cohort, count="all", enclosure=place, to=target) for cohort in whole]
        for party in parties:
            if party.group.cohort in whole:
                continue
            standing = [key for key, _ in self.nursery.heads(cohort=party.group.cohort, enclosure=place)]
            heads: dict[tuple, int] = {}
            for key, count in party.heads:
                # The instar is said only where it tells them from others there.
                several = len({one.instar for one in standing if one.stage == key.stage and one.mark == key.mark}) > 1
                which = (key.stage, key.instar if several else None)
                heads[which] = heads.get(which, 0) + count
            for (stage, instar), count in heads.items():
                group = party.group
                drafts.append(Draft("moved", group.cohort, group.mark, None, stage, instar, count, enclosure=place, to=target))
        return ", ".join(sentence_of(draft, self.knowledge) for draft in drafts)


def _until(parties: list[Party]) -> dict[str, str]:
    ends = [party.row.contact.watch_until for party in parties if party.row is not None and party.row.contact.watch_until]
    return {"watch_until": max(ends).date().isoformat()} if ends else {}


def _by_place(parties: list[Party]) -> dict[str, list[Party]]:
    found: dict[str, list[Party]] = {}
    for party in parties:
        found.setdefault(party.group.enclosure, []).append(party)
    return found
