"""Drafts made whole against the ledger: each becomes events, or the one question that has to be asked first."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import NamedTuple

from nurserytui.answers.naming import settle, species_among
from nurserytui.answers.record_wording import sentence, there_words
from nurserytui.answers.wording import listed, stage_count
from nurserytui.language.draft import Draft
from nurserytui.language.request import Named, Period, Request
from nurserytui.records.events import STAGES, Event
from nurserytui.records.ledger import replay

FROM = {
    "hatched": ("egg",),
    "moulted": ("larva",),
    "prepupated": ("larva",),
    "pupated": ("prepupa", "larva"),
    "emerged": ("pupa",),
}
LEAVING = ("died", "released", "escaped", "given", "missing")
TAKING = (*FROM, *LEAVING, "moved", "split")
PLAIN = ("temperature", "setting", "note", "stocked", "cut")
CARE = ("cleaned", "fed", "watered")
REACHED = {"hatched": "larva", "moulted": "larva", "prepupated": "prepupa", "pupated": "pupa", "emerged": "adult"}
NEXT = {"egg": "hatched", "larva": "prepupated", "prepupa": "pupated", "pupa": "emerged", "adult": "released"}
CAN_BE = {
    "hatched": "an egg",
    "moulted": "a larva",
    "prepupated": "a larva",
    "pupated": "a larva or prepupa",
    "emerged": "a pupa",
}
LONGEST_SPAN = timedelta(days=3)


class Ask(NamedTuple):
    """One thing that has to be known first."""

    text: str
    options: tuple[str, ...]
    draft: Draft


class Filler:
    """Fills the drafts of one line, in their order: what a clause changes is there for the next."""

    def __init__(self, request: Request, nursery, events: list[Event] | None = None) -> None:
        self.request, self.nursery, self.knowledge = request, nursery, nursery.knowledge
        self.events = list(nursery.events if events is None else events)
        self.base = nursery.ledger if events is None else None
        self.made: list[Event] = []
        self.draft: Draft = Draft("")

    # The moment ------------------------------------------------------------------------------------------------------

    def when(self, draft: Draft) -> str | Ask:
        now = self.nursery.now
        if draft.impossible:
            return Ask(f"There is no {draft.impossible}. Which day was it?", self._on_days(draft, now), draft)
        period = draft.when
        if period is None:
            return now.isoformat(timespec="minutes")
        if (period.exact and period.start > now) or period.start.date() > now.date():
            ahead = f"{period.start:%Y-%m-%d %H:%M}" if period.exact else f"{period.start:%Y-%m-%d}"
            return Ask(
                f"“{period.said}” is {ahead}, which is still to come: only what has happened is written down. When was it?",
                self._on_days(draft, now),
                draft,
            )
        if period.exact:
            return period.start.isoformat(timespec="minutes")
        if period.end - period.start > LONGEST_SPAN:
            return Ask(f"“{period.said}” is more than one day. Which day was it?", self._on_days(draft, now), draft)
        said = period.said.casefold()
        day = period.start.date() if "night" in said and "overnight" not in said else min(period.end.date(), now.date())
        if "overnight" in said or period.end - period.start > timedelta(days=1):
            day = min(period.end.date(), now.date())
        return day.isoformat()

    def _on_days(self, draft: Draft, now: datetime) -> tuple[str, ...]:
        days = [now - timedelta(days=back) for back in range(3)]
        periods = [Period(day.replace(hour=0, minute=0), day.replace(hour=23, minute=59), "", False) for day in days]
        return tuple(sentence(draft._replace(when=period, impossible=""), self.knowledge) for period in periods)

    def ledger(self, when: str):
        """The ledger at the moment of the draft, with what the clauses before it did."""
        now = self.nursery.now
        today = when[:10] == now.date().isoformat()
        if today and not self.made and self.base is not None:
            return self.base
        until = (
            datetime.fromisoformat(when)
            if len(when) > 10
            else min(datetime.fromisoformat(when) + timedelta(days=1) - timedelta(seconds=1), now)
        )
        return replay([*self.events, *self.made], until=now if today else until)

    # One draft -------------------------------------------------------------------------------------------------------

    def fill(self, draft: Draft) -> list[Event] | Ask:
        self.draft = draft
        when = self.when(draft)
        if isinstance(when, Ask):
            return when
        ledger = self.ledger(when)
        if draft.follows and self.made and not draft.cohort:
            draft = draft._replace(cohort=self.made[-1].cohort, species=None)
        draft = self._labels(draft, ledger)
        if isinstance(draft, Ask):
            return draft
        what = draft.what
        if what in PLAIN:
            return self._plain(draft, when)
        if what in CARE:
            return self._care(draft, when, ledger)
        if what in ("laid", "found"):
            return self._entering(draft, when, ledger)
        if what in ("renamed", "merged", "identified"):
            return self._naming(draft, when, ledger)
        if what == "returned":
            return self._returned(draft, when, ledger)
        if what == "counted":
            return self._counted(draft, when, ledger)
        if what in ("checked", "sign", "tested"):
            return self._looked(draft, when, ledger)
        return self._taking(draft, when, ledger)

    def _labels(self, draft: Draft, ledger) -> Draft | Ask:
        """Labels as the records write them; a cohort that is not there is asked for."""
        for part in ("cohort", "parent"):
            label = getattr(draft, part)
            if label:
                animal = ledger.animal(label)
                known = (animal[0] if animal and (not animal[1] or part == "cohort") else None) or self._near(label, ledger)
                if known:
                    mark = animal[1] if animal and animal[1] else draft.mark
                    draft = draft._replace(**{part: known}, mark=mark if part == "cohort" else draft.mark)
                elif part == "parent":
                    draft = draft._replace(parent="", cohort=draft.cohort or label)
                elif draft.what not in ("laid", "found") and not (draft.what == "note"):
                    return self._no_cohort(draft, label, ledger)
        if draft.unknown and not draft.cohort and (known := self._near(draft.unknown, ledger)):
            draft = draft._replace(cohort=known, unknown="")
        if draft.unknown and not draft.cohort and draft.what not in ("laid", "found", *PLAIN, *CARE):
            return self._no_cohort(draft, draft.unknown, ledger)
        places = {place.casefold(): place for place in ledger.enclosures}
        for part in ("enclosure", "to") if draft.what in ("moved",) else ("enclosure",):
            place = getattr(draft, part)
            if place:
                draft = draft._replace(**{part: places.get(place.casefold(), place)})
        return draft

    def _near(self, label: str, ledger) -> str:
        return ledger.label(label) or ""

    def _no_cohort(self, draft: Draft, label: str, ledger) -> Ask:
        living = list(dict.fromkeys(key.cohort for key in ledger.heads))
        wanted = draft.count if isinstance(draft.count, int) else 1
        fits = [key.cohort for key, held in ledger.heads.items() if key.stage in FROM.get(draft.what, STAGES) and held >= wanted]
        options = tuple(sentence(draft._replace(cohort=one, unknown=""), self.knowledge) for one in list(dict.fromkeys(fits))[:6])
        return Ask(
            f"There is no cohort {label}. Living cohorts are {listed(living) or 'none'}. Which one do you mean?", options, draft
        )

    # Which animals ---------------------------------------------------------------------------------------------------

    def species_of(self, draft: Draft) -> tuple[str, ...]:
        return species_among(draft.species.names, self.knowledge) if draft.species else ()

    def groups(self, draft: Draft, ledger, stages: tuple[str, ...] = ()) -> list:
        """The living groups that fit everything the draft says."""
        species = self.species_of(draft)
        return [
            (key, count)
            for key, count in ledger.heads.items()
            if (not draft.cohort or key.cohort == draft.cohort)
            and (not draft.mark or key.mark in (draft.mark, ""))
            and (not species or ledger.cohorts[key.cohort].species in species)
            and (not draft.enclosure or key.enclosure == draft.enclosure)
            and (not draft.stage or key.stage == draft.stage)
            and (not stages or key.stage in stages)
        ]

    def subject(self, draft: Draft) -> str:
        """The animals meant, in words."""
        if draft.cohort:
            who = f"{draft.cohort}{draft.mark}" if draft.mark else draft.cohort
            return who + (f" in {draft.enclosure}" if draft.enclosure else "")
        if draft.species:
            common = self.knowledge.common(draft.species.name) or draft.species.said
            return f"your {common}" + (f" in {draft.enclosure}" if draft.enclosure else "")
        return draft.enclosure or "the nursery"

    def _taking(self, draft: Draft, when: str, ledger) -> list[Event] | Ask:
        """Stage changes, losses and moves: animals are taken out of groups."""
        draft = self._right_change(draft, ledger)
        what = draft.what
        stages = FROM.get(what, ())
        if what == "released" and not draft.stage and self.groups(draft, ledger, ("adult",)):
            stages = ("adult",)
        groups = self.groups(draft, ledger, stages)
        if what == "moved":
            groups = [group for group in groups if not draft.to or group[0].enclosure != draft.to]
        if what == "moulted" and draft.instar:
            groups = [group for group in groups if (group[0].instar or 0) < draft.instar]
        elif draft.instar and what != "moulted":
            exact = [group for group in groups if group[0].instar == draft.instar]
            groups = exact or [group for group in groups if group[0].instar is None] or groups
        if draft.other and self.made and self.made[-1].what in REACHED:
            others = [group for group in groups if group[0].stage != REACHED[self.made[-1].what]]
            groups = others or groups
        subject_said = bool(draft.cohort or draft.species or draft.enclosure or draft.stage)
        if not groups:
            return self._none_there(draft, ledger, stages)
        total = sum(count for _, count in groups)
        if isinstance(draft.count, int) and draft.count > total:
            return self._too_many(draft, groups, total)
        if draft.count == 0:
            return Ask(
                "None of them: nothing is to be written for that. Was it a look without change?",
                (f"checked {draft.cohort or draft.enclosure or 'B'}",),
                draft,
            )
        if what == "released" and not draft.stage and stages != ("adult",):
            return self._not_adult(draft, groups)
        if what == "moved" and not draft.to:
            return self._where_to(draft, groups, ledger)
        if what == "split" and not draft.cohort and len({key.cohort for key, _ in groups}) > 1 or not subject_said:
            wanted = draft.count if isinstance(draft.count, int) else total if draft.count in ("all", "rest") else 1
            if len({(key.cohort, key.stage) for key, _ in groups}) > 1 or total != wanted:
                return self._which(draft, groups)
        if (
            what == "moved"
            and not (draft.cohort or draft.species or draft.stage or draft.mark)
            and draft.count in (None, "all", "rest")
            and not draft.less
            and draft.enclosure
        ):
            return self._written([self._event(draft, when, enclosure=draft.enclosure, to=draft.to)], total)
        chosen = self._number(draft, groups, total)
        if isinstance(chosen, Ask):
            return chosen
        count, groups = chosen
        if what == "split" and not draft.to:
            label = ledger.next_label()
            return Ask(
                "What shall the new cohort be called?",
                (sentence(self._narrow(draft, groups)._replace(to=label, count=count), self.knowledge),),
                draft,
            )
        return self._written(self._events_of(draft, when, groups, count), count)

    def _right_change(self, draft: Draft, ledger) -> Draft:
        """Said of a pupa, `hatched` is an emergence; said of eggs, `came out` is a hatching."""
        if draft.what in ("hatched", "emerged"):
            here = {key.stage for key, _ in self.groups(draft._replace(stage=""), ledger)}
            other = {"hatched": ("egg", "pupa", "emerged"), "emerged": ("pupa", "egg", "hatched")}[draft.what]
            wrong_stage = draft.stage in ("", other[1])
            if other[0] not in here and other[1] in here and wrong_stage and (draft.cohort or draft.species or draft.enclosure):
                return draft._replace(what=other[2], stage="")
            if draft.stage == "adult" or draft.what == "emerged" and draft.stage not in ("", "pupa"):
                return draft._replace(stage="")
        return draft

    def _none_there(self, draft: Draft, ledger, stages: tuple[str, ...]) -> Ask:
        """Nothing fits: say what is there instead, and what could be said of it."""
        there = self.groups(draft._replace(stage=""), ledger)
        if not there and (draft.cohort or draft.species):
            there = self.groups(draft._replace(stage="", enclosure=""), ledger)
        if draft.what == "moved" and there and all(key.enclosure == draft.to for key, _ in there):
            return Ask(f"{self.subject(draft)} is in {draft.to} already: {there_words(there)}.", (), draft)
        wanted = draft.stage or (stages[0] if stages else "")
        noun = {"larva": "larvae", "egg": "eggs", "pupa": "pupae", "prepupa": "prepupae", "adult": "adults"}.get(
            wanted, "animals"
        )
        if draft.what == "moulted" and draft.instar and there:
            noun = f"larvae below instar {draft.instar}"
        if not there:
            known = draft.cohort or draft.enclosure in ledger.enclosures or draft.species
            start = (
                f"There are no {noun} in {draft.enclosure}"
                if draft.enclosure and not draft.cohort and not draft.species
                else f"There are no {noun} of {self.subject(draft)}"
            )
            others = (
                [] if draft.cohort or draft.what in LEAVING else self.groups(Draft(draft.what), ledger, FROM.get(draft.what, ()))
            )
            options = [
                sentence(
                    self._narrow(draft, [group])._replace(
                        count=min(draft.count, group[1]) if isinstance(draft.count, int) else draft.count
                    ),
                    self.knowledge,
                )
                for group in others[:4]
            ]
            return Ask(
                f"{start}{'' if known else ' in the records'}: nothing of it is left in the headcount. Which animals do you mean?",
                tuple(dict.fromkeys(options)),
                draft,
            )
        options = []
        for key, _ in there[:4]:
            fitting = (
                draft.what
                if key.stage in FROM.get(draft.what, (key.stage,)) and (not draft.stage or key.stage == draft.stage)
                else NEXT[key.stage]
            )
            count = min(draft.count, dict(there)[key]) if isinstance(draft.count, int) else draft.count
            also = ("pupated",) if fitting == "prepupated" and draft.what == "emerged" else ()
            for told_as in (fitting, *also):
                options.append(
                    sentence(
                        Draft(
                            told_as,
                            cohort=key.cohort,
                            mark=key.mark,
                            count=count,
                            stage=key.stage if told_as != "released" else "adult",
                            enclosure=key.enclosure,
                            when=draft.when,
                            to=draft.to if told_as == "moved" else "",
                        ),
                        self.knowledge,
                    )
                )
        why = f"; only {CAN_BE[draft.what]} can have {_past(draft.what)}" if draft.what in CAN_BE else ""
        return Ask(
            f"{self.subject(draft)[:1].upper()}{self.subject(draft)[1:]} has no {noun}: there {'is' if sum(n for _, n in there) == 1 else 'are'} {there_words(there)}{why}. What happened?",
            tuple(dict.fromkeys(options)),
            draft,
        )

    def _too_many(self, draft: Draft, groups, total: int) -> Ask:
        stages = {key.stage for key, _ in groups}
        cohorts = {key.cohort for key, _ in groups}
        short = self._narrow(draft, groups)._replace(count=total)
        options = [sentence(short, self.knowledge)]
        if len(cohorts) > 1:
            options = [
                sentence(self._narrow(draft, [group])._replace(count=min(draft.count, group[1])), self.knowledge)
                for group in groups[:5]
            ]
        noun = stage_count(total, stages.pop()).split(" ", 1)[1] if len(stages) == 1 else "animal" if total == 1 else "animals"
        detail = f" ({there_words(groups)})" if len(groups) > 1 or not draft.cohort else ""
        return Ask(
            f"{self.subject(draft)[:1].upper()}{self.subject(draft)[1:]} has {total} {noun}{detail}, not {draft.count}. Which number is right?",
            tuple(dict.fromkeys(options)),
            draft,
        )

    def _not_adult(self, draft: Draft, groups) -> Ask:
        options = [
            sentence(
                self._narrow(draft, [group])._replace(
                    stage=group[0].stage, count=min(draft.count, group[1]) if isinstance(draft.count, int) else group[1]
                ),
                self.knowledge,
            )
            for group in groups[:3]
        ]
        options += [
            sentence(
                Draft(
                    "emerged",
                    cohort=key.cohort,
                    mark=key.mark,
                    count=draft.count if isinstance(draft.count, int) and draft.count <= n else n,
                    enclosure=key.enclosure,
                ),
                self.knowledge,
            )
            for key, n in groups
            if key.stage == "pupa"
        ][:2]
        return Ask(
            f"There are no adults of {self.subject(draft)}: there {'is' if sum(n for _, n in groups) == 1 else 'are'} {there_words(groups)}. What was released?",
            tuple(dict.fromkeys(options)),
            draft,
        )

    def _where_to(self, draft: Draft, groups, ledger) -> Ask:
        used = {key.enclosure for key, _ in groups}
        places = [
            place
            for place in dict.fromkeys([*(key.enclosure for key in ledger.heads), *sorted(ledger.enclosures)])
            if place and place not in used
        ]
        options = tuple(sentence(draft._replace(to=place), self.knowledge) for place in places[:5])
        return Ask("Where were they moved to?", options, draft)

    def _which(self, draft: Draft, groups) -> Ask:
        """Several groups fit: each is offered as the full sentence."""
        count = draft.count if isinstance(draft.count, int) else 1
        spots: dict[tuple, int] = {}
        for key, held in groups:
            spot = (key.cohort, key.mark, key.stage, key.enclosure)
            spots[spot] = spots.get(spot, 0) + held
        able = [spot for spot, held in spots.items() if held >= count] or list(spots)
        options = []
        many_places = {spot[:3] for spot in able if sum(one[:3] == spot[:3] for one in able) > 1}
        for cohort, mark, stage, place in able[:8]:
            held = spots[cohort, mark, stage, place]
            number = (
                held
                if draft.count is None and draft.what not in FROM
                else min(draft.count, held)
                if isinstance(draft.count, int)
                else draft.count
            )
            full = draft._replace(
                count=number,
                to=draft.to or (self.nursery.ledger.next_label() if draft.what == "split" else ""),
                cohort=cohort,
                mark=mark,
                stage=stage,
                enclosure=place if (cohort, mark, stage) in many_places or draft.enclosure else draft.enclosure,
                species=None,
                unknown="",
            )
            options.append(sentence(full, self.knowledge))
        return Ask(
            f"Which {'one' if count == 1 else 'ones'} do you mean? There are {there_words(groups[:6])}{' and others' if len(groups) > 6 else ''}.",
            tuple(dict.fromkeys(options)),
            draft,
        )

    def _number(self, draft: Draft, groups, total: int) -> tuple[int, list] | Ask:
        """How many, out of which groups; asked where more than one choice is left."""
        what, count = draft.what, draft.count
        cohorts = {key.cohort for key, _ in groups}
        if count == "both":
            count = 2
            if total != 2 and not self._one_spot(groups):
                return self._which(draft._replace(count=2), groups)
            if total < 2:
                return self._too_many(draft._replace(count=2), groups, total)
        if count == "half":
            if total % 2 or not self._one_spot(groups):
                return (
                    self._which(draft._replace(count=None), groups)
                    if not self._one_spot(groups)
                    else Ask(
                        f"Half of {total} is no whole number. How many were it?",
                        tuple(
                            sentence(self._narrow(draft, groups)._replace(count=half), self.knowledge)
                            for half in (total // 2, total // 2 + 1)
                        ),
                        draft,
                    )
                )
            count = total // 2
        if count in ("all", "rest"):
            count = total - draft.less
            if count <= 0:
                return self._too_many(draft._replace(count=draft.less), groups, total)
        if count is None:
            if total == 1 or draft.mark:
                count = 1
            elif what in FROM or what in ("moved",) or what == "released" and {key.stage for key, _ in groups} == {"adult"}:
                if len(cohorts) > 1 and not draft.species:
                    return self._which(draft, groups)
                count = total
            elif not self._one_spot(groups):
                return self._which(draft._replace(count=None), groups)
            else:
                whole = self._narrow(draft, groups)
                options = tuple(sentence(whole._replace(count=number), self.knowledge) for number in dict.fromkeys((1, total)))
                return Ask(f"How many? There are {there_words(groups)}.", options, draft)
        if count == total:
            return count, groups
        if draft.mark:
            return count, groups
        return self._spot(draft, groups, count)

    def _one_spot(self, groups) -> bool:
        return len({(key.cohort, key.stage, key.enclosure) for key, _ in groups}) == 1

    def _spot(self, draft: Draft, groups, count: int) -> tuple[int, list] | Ask:
        """The one cohort, stage and enclosure that has so many; the ledger itself sees to instars and marks."""

        def spots(part):
            found: dict = {}
            for key, held in groups:
                found[part(key)] = found.get(part(key), 0) + held
            return [spot for spot, held in found.items() if held >= count]

        if draft.what == "pupated":
            fits = spots(lambda key: (key.cohort, key.enclosure))
            if len(fits) == 1:
                return count, [group for group in groups if (group[0].cohort, group[0].enclosure) == fits[0]]
            prepupae = [group for group in groups if group[0].stage == "prepupa"]
            if (
                prepupae
                and len({(key.cohort, key.enclosure) for key, _ in prepupae}) == 1
                and sum(held for _, held in prepupae) >= count
            ):
                return count, prepupae
            return self._which(draft, groups)
        fits = spots(lambda key: (key.cohort, key.stage, key.enclosure))
        if len(fits) == 1:
            return count, [group for group in groups if (group[0].cohort, group[0].stage, group[0].enclosure) == fits[0]]
        if (
            draft.what in ("prepupated", "emerged", "pupated", "moulted")
            and len({key.enclosure for key, _ in groups}) == len({key.cohort for key, _ in groups}) == 1
        ):
            return count, groups
        if not fits and len({key.cohort for key, _ in groups}) == 1:
            whole = self._narrow(draft, groups)
            return Ask(
                f"No one place has {count}: there are {there_words(groups)}. Please say it place by place.",
                tuple(
                    sentence(whole._replace(count=held, enclosure=key.enclosure, stage=key.stage), self.knowledge)
                    for key, held in groups[:5]
                ),
                draft,
            )
        return self._which(draft, groups)

    def _narrow(self, draft: Draft, groups) -> Draft:
        """The draft with what all these groups have in common."""
        cohorts, stages, places = ({getattr(key, part) for key, _ in groups} for part in ("cohort", "stage", "enclosure"))
        marks = {key.mark for key, _ in groups}
        return draft._replace(
            cohort=cohorts.pop() if len(cohorts) == 1 else draft.cohort,
            mark=marks.pop() if len(marks) == 1 and draft.what in TAKING else draft.mark,
            stage=stages.pop() if len(stages) == 1 else draft.stage,
            enclosure=places.pop() if len(places) == 1 else draft.enclosure,
            species=None,
            unknown="",
        )

    def _events_of(self, draft: Draft, when: str, groups, count: int) -> list[Event]:
        """One event for each cohort, stage and enclosure that animals are taken from."""
        spots: dict[tuple, int] = {}
        for key, held in groups:
            mark = key.mark if draft.mark or len(groups) == 1 else ""
            stage = "" if draft.what in FROM else key.stage
            spot = (key.cohort, draft.mark or mark, stage, key.enclosure)
            spots[spot] = spots.get(spot, 0) + held
        if len(spots) == 1:
            spots = {spot: count for spot in spots}
        elif sum(spots.values()) != count:
            left = count
            for spot in spots:
                spots[spot] = min(spots[spot], left)
                left -= spots[spot]
        events = []
        for (cohort, mark, stage, place), number in spots.items():
            if not number:
                continue
            instar = draft.instar if draft.what in ("moulted",) or draft.instar and stage == "larva" else None
            if draft.what == "pupated" and draft.stage:
                stage = draft.stage
            to = draft.to if draft.what in ("moved", "split") else ""
            detail = draft.detail
            events.append(
                self._event(
                    draft,
                    when,
                    cohort=cohort,
                    mark=mark,
                    stage=stage,
                    enclosure=place,
                    count=number,
                    instar=instar,
                    to=to,
                    detail=detail,
                )
            )
        return events

    def _event(self, draft: Draft, when: str, **parts) -> Event:
        parts.setdefault("note", draft.note)
        return Event(when, draft.what, estimate=draft.estimate, **parts)

    def _written(self, events: list[Event], _count: int | None = None) -> list[Event]:
        return events

    # Entering --------------------------------------------------------------------------------------------------------

    def _entering(self, draft: Draft, when: str, ledger) -> list[Event] | Ask:
        knowledge = self.knowledge
        known = ledger.label(draft.cohort) if draft.cohort else None
        if (
            draft.what == "laid"
            and known
            and not draft.parent
            and any(key.stage == "adult" for key, _ in self.groups(Draft("laid", cohort=known), ledger))
        ):
            draft, known = draft._replace(parent=known, cohort=""), None
        if not draft.stage:
            options = tuple(sentence(draft._replace(stage=stage), knowledge) for stage in ("egg", "larva", "pupa"))
            return Ask("Were they eggs, caterpillars or chrysalises?", options, draft)
        species = ""
        if draft.species is not None:
            settled = self._settled(draft)
            if isinstance(settled, Ask):
                return settled
            species = settled
        elif draft.parent and draft.parent in ledger.cohorts:
            species = ledger.cohorts[draft.parent].species
        elif known:
            species = ledger.cohorts[known].species
        else:
            return self._ask_species(draft, ledger)
        if not isinstance(draft.count, int):
            options = tuple(sentence(draft._replace(count=number), knowledge) for number in (1, 5, 10))
            return Ask(f"How many {stage_count(2, draft.stage).split(' ', 1)[1]} were it?", options, draft)
        if draft.count <= 0:
            return Ask(
                "How many were it? At least one animal has to come in.", (sentence(draft._replace(count=1), knowledge),), draft
            )
        label = known or draft.cohort or ledger.next_label()
        host = self._host(draft)
        if isinstance(host, Ask):
            return host
        return [
            self._event(
                draft,
                when,
                cohort=label,
                species=species,
                stage=draft.stage,
                instar=draft.instar if draft.stage == "larva" else None,
                count=draft.count,
                enclosure=draft.enclosure,
                host=host,
                parent=draft.parent,
                detail=draft.detail,
            )
        ]

    def _settled(self, draft: Draft) -> str | Ask:
        """The species a record means: a name that can mean several needs the plant, the place or the keeper's own animals."""
        if draft.species.name == "unknown":
            return "unknown"
        request = self.request._replace(hosts=(draft.host,) if draft.host else (), species=(draft.species,))
        settled = settle(draft.species, request, self.nursery)
        if settled and (settled.why or not settled.others):
            return settled.name
        names = species_among(draft.species.names, self.knowledge)[:6]
        options = tuple(sentence(draft._replace(species=Named(name, (name,))), self.knowledge) for name in names)
        meanings = listed([f"{self.knowledge.common(name) or name} ({name})" for name in names], "or")
        return Ask(f"Which species is it? “{draft.species.said}” can be {meanings}.", options, draft)

    def _host(self, draft: Draft) -> str | Ask:
        """The scientific name of the plant; of several meanings the one that the species eats, else the usual one."""
        if draft.host is None:
            return ""
        if len(draft.host.names) > 1 and draft.species is not None:
            for name in draft.host.names:
                for species in self.species_of(draft):
                    if self.knowledge.pairing(species, name):
                        return name
        return draft.host.name

    def _ask_species(self, draft: Draft, ledger) -> Ask:
        kept: dict[str, int] = {}
        for key in ledger.heads:
            name = ledger.cohorts[key.cohort].species
            if name != "unknown":
                kept[name] = kept.get(name, 0) + 1
        eaters = []
        if draft.host is not None:
            eaters = [
                pairing.species
                for name in draft.host.names
                for pairing in self.knowledge.pairings_on(name)
                if pairing.rank in ("primary", "accepted")
            ]
        names = list(dict.fromkeys([*eaters[:3], *kept]))[:5]
        options = [sentence(draft._replace(species=Named(name, (name,))), self.knowledge) for name in names]
        options.append(sentence(draft._replace(species=Named("unknown", ("unknown",))), self.knowledge))
        thing = (
            stage_count(draft.count, draft.stage)
            if isinstance(draft.count, int)
            else stage_count(2, draft.stage).removeprefix("2 ")
        )
        are = f"is the {thing.removeprefix('1 ')}" if draft.count == 1 else f"are the {thing}"
        return Ask(f"Which species {are}? (“No idea” is an answer too.)", tuple(options), draft)

    def _returned(self, draft: Draft, when: str, ledger) -> list[Event] | Ask:
        species = self.species_of(draft)
        lost = [
            (key, count)
            for key, count in ledger.lost.items()
            if (not draft.cohort or key.cohort == draft.cohort)
            and (not draft.stage or key.stage == draft.stage)
            and (not species or ledger.cohorts[key.cohort].species in species)
        ]
        if not lost:
            gone = [(key.cohort, key) for key in ledger.heads if not draft.cohort or key.cohort == draft.cohort]
            who = self.subject(draft._replace(enclosure=""))
            options = tuple(
                sentence(
                    Draft(
                        "found",
                        cohort=cohort,
                        count=draft.count if isinstance(draft.count, int) else 1,
                        stage=key.stage,
                        enclosure=draft.enclosure or key.enclosure,
                    ),
                    self.knowledge,
                )
                for cohort, key in gone[:2]
                if draft.cohort
            )
            return Ask(f"None of {who} are missing in the records, so none can have come back. Were they new?", options, draft)
        total = sum(count for _, count in lost)
        count = (
            draft.count
            if isinstance(draft.count, int)
            else total
            if draft.count in ("all", "rest", "both") or total == 1
            else None
        )
        cohorts = {key.cohort for key, _ in lost}
        if count is None:
            return Ask(
                f"How many are back? {total} are missing.",
                tuple(
                    sentence(self._narrow(draft, lost)._replace(count=number), self.knowledge)
                    for number in dict.fromkeys((1, total))
                ),
                draft,
            )
        if count > total:
            return Ask(
                f"{total} {'is' if total == 1 else 'are'} missing ({there_words(lost)}), not {count}.",
                (sentence(self._narrow(draft, lost)._replace(count=total), self.knowledge),),
                draft,
            )
        if len(cohorts) > 1:
            return self._which(draft._replace(count=count), lost)
        key = lost[0][0]
        stage = draft.stage or (key.stage if len({one.stage for one, _ in lost}) == 1 else "")
        return [
            self._event(
                draft,
                when,
                cohort=key.cohort,
                stage=stage,
                count=count,
                enclosure=draft.enclosure or (key.enclosure if len({one.enclosure for one, _ in lost}) == 1 else ""),
            )
        ]

    # Looking ---------------------------------------------------------------------------------------------------------

    def _looked(self, draft: Draft, when: str, ledger) -> list[Event] | Ask:
        groups = self.groups(draft, ledger)
        what = draft.what
        if what == "checked" and not draft.cohort and not draft.enclosure and not draft.species:
            every = list(dict.fromkeys(key.cohort for key, _ in groups))
            if draft.count == "all":
                return [self._event(draft, when, enclosure=place) for place in self._every_place(draft, ledger)]
            if draft.stage and len(every) == 1:
                draft = draft._replace(cohort=every[0])
            else:
                return Ask("Checked which cohort or enclosure?", tuple(f"checked {cohort}" for cohort in every[:6]), draft)
        if not groups:
            if draft.cohort and not draft.enclosure and not draft.stage:
                return Ask(f"{draft.cohort} has no animals left.", (), draft)
            elsewhere = self.groups(
                draft._replace(stage="", enclosure="" if draft.cohort or draft.species else draft.enclosure), ledger
            )
            if elsewhere and draft.stage and not draft.enclosure:
                draft, groups = draft._replace(stage=""), elsewhere
            else:
                there = (
                    f" There {'is' if sum(n for _, n in elsewhere) == 1 else 'are'} {there_words(elsewhere)}."
                    if elsewhere
                    else ""
                )
                options = tuple(
                    dict.fromkeys(
                        sentence(self._narrow(draft._replace(stage=""), [group])._replace(count=draft.count), self.knowledge)
                        for group in elsewhere[:4]
                    )
                )
                return Ask(f"There are no such animals in {draft.enclosure or 'the nursery'}.{there}", options, draft)
        cohorts = list(dict.fromkeys(key.cohort for key, _ in groups))
        if what == "tested":
            if len(cohorts) > 1:
                return Ask(
                    "Which cohort was tested?",
                    tuple(f"tested {cohort}: {draft.detail or 'clear'}" for cohort in cohorts[:6]),
                    draft,
                )
            draft = draft._replace(cohort=cohorts[0])
            if not draft.detail:
                return Ask(
                    "What was the result: clear, light or heavy?",
                    tuple(sentence(draft._replace(detail=result), self.knowledge) for result in ("clear", "light", "heavy")),
                    draft,
                )
        if what == "checked":
            if draft.species and not draft.cohort:
                if len(cohorts) == 1:
                    draft = draft._replace(cohort=cohorts[0])
                else:
                    return [self._event(draft, when, cohort=cohort, enclosure=draft.enclosure) for cohort in cohorts]
            return [
                self._event(
                    draft,
                    when,
                    cohort=draft.cohort,
                    mark=draft.mark,
                    stage=draft.stage if draft.cohort else "",
                    enclosure=draft.enclosure,
                    detail=draft.detail,
                )
            ]
        if not draft.cohort and len(cohorts) == 1:
            draft = draft._replace(cohort=cohorts[0])
        elif not draft.cohort and (draft.count is not None or draft.species) and len(cohorts) > 1:
            return self._which(draft, groups)
        total = sum(count for _, count in groups)
        count = (
            draft.count
            if isinstance(draft.count, int)
            else total
            if draft.count in ("all", "both", "rest")
            else 1
            if total == 1
            else None
        )
        if count is not None and count > total:
            return self._too_many(draft._replace(count=count), groups, total)
        full = self._narrow(draft, groups)
        return [
            self._event(
                draft,
                when,
                cohort=draft.cohort,
                mark=draft.mark,
                stage=full.stage if draft.cohort else draft.stage,
                enclosure=full.enclosure if draft.cohort else draft.enclosure,
                count=count if what == "sign" else None,
                detail=draft.detail,
            )
        ]

    def _counted(self, draft: Draft, when: str, ledger) -> list[Event] | Ask:
        groups = self.groups(draft, ledger)
        if not (draft.cohort or draft.enclosure or draft.species):
            cohorts = {key.cohort for key, _ in groups}
            if len(cohorts) != 1:
                return self._which(draft, groups)
        if not groups:
            return self._none_there(draft._replace(what="counted"), ledger, ())
        cohorts = {key.cohort for key, _ in groups}
        if draft.species and len(cohorts) > 1 and not draft.cohort:
            return self._which(draft, groups)
        cohort = draft.cohort or (cohorts.pop() if len(cohorts) == 1 and (draft.species or not draft.enclosure) else "")
        draft = draft._replace(cohort=cohort)
        total = sum(count for _, count in groups)
        count = total if draft.count == "all" else draft.count
        event = self._event(
            draft,
            when,
            cohort=cohort,
            mark=draft.mark,
            stage=draft.stage,
            enclosure=draft.enclosure,
            count=count,
            detail=draft.detail,
        )
        if count == total:
            return [event]
        estimated = all(ledger.cohorts[key.cohort].estimate for key, _ in groups)
        said = draft.detail
        if not said:
            note = draft.note.casefold()
            if any(word in note for word in ("missed", "miscounted", "overlooked", "estimate", "guess", "wrong")):
                said = "estimate"
            elif any(word in note for word in ("missing", "vanished", "gone", "lost")):
                said = "missing"
        if said or estimated:
            if not self._one_spot(groups):
                return Ask(
                    f"There are {there_words(groups)}. Please say it stage by stage and place by place.",
                    tuple(
                        sentence(self._narrow(draft, [group])._replace(count=group[1]), self.knowledge) for group in groups[:5]
                    ),
                    draft,
                )
            only = self._narrow(draft, groups)
            return [event._replace(detail=said, cohort=only.cohort, stage=only.stage, enclosure=only.enclosure)]
        return self._difference(draft, groups, total, count, ledger)

    def _difference(self, draft: Draft, groups, total: int, count: int, ledger) -> Ask:
        """More or fewer than the records have: what became of the difference is the keeper's to say."""
        whole = self._narrow(draft, groups)
        gap = abs(total - count)
        counting = sentence(whole._replace(count=count), self.knowledge)
        one = "is" if gap == 1 else "are"
        if count < total:
            options = (
                f"{counting}, {gap} {one} missing",
                sentence(whole._replace(what="died", count=gap, total=False), self.knowledge),
                f"{counting}, the {total} was an estimate",
            )
            return Ask(
                f"The records have {there_words(groups)}, {gap} more than {count}. Are {gap} missing, did {gap} die, or was {total} an estimate?",
                options,
                draft,
            )
        missing = sum(ledger.missing.get(key.cohort, 0) for key, _ in groups[:1])
        options = [f"{counting}, must have missed {gap} before"]
        if missing >= gap:
            options.insert(0, sentence(whole._replace(what="returned", count=gap), self.knowledge))
        options.append(sentence(whole._replace(what="found", count=gap), self.knowledge))
        return Ask(
            f"The records have {there_words(groups)}, {gap} fewer than {count}. Were {gap} overlooked before, or are {gap} new?",
            tuple(options),
            draft,
        )

    # Labels, care, plain facts ----------------------------------------------------------------------------------------

    def _naming(self, draft: Draft, when: str, ledger) -> list[Event] | Ask:
        living = list(dict.fromkeys(key.cohort for key in ledger.heads))
        if not draft.cohort:
            species = self.species_of(draft) if draft.what != "identified" else ()
            fits = list(
                dict.fromkeys(
                    key.cohort
                    for key, _ in self.groups(draft._replace(species=None, stage=""), ledger)
                    if not species or ledger.cohorts[key.cohort].species in species
                )
            )
            if draft.what == "identified":
                unknown = [label for label in fits if ledger.cohorts[label].species == "unknown"]
                fits = unknown or fits
            if len(fits) != 1:
                return Ask(
                    "Which cohort?",
                    tuple(sentence(draft._replace(cohort=label, enclosure=""), self.knowledge) for label in (fits or living)[:6]),
                    draft,
                )
            draft = draft._replace(cohort=fits[0])
        if draft.what == "identified":
            if draft.species is None:
                return Ask(f"Which species is {draft.cohort}?", (), draft)
            settled = self._settled(draft)
            return settled if isinstance(settled, Ask) else [self._event(draft, when, cohort=draft.cohort, species=settled)]
        if not draft.to:
            others = [
                label
                for label in living
                if label != draft.cohort and ledger.cohorts[label].species == ledger.cohorts[draft.cohort].species
            ]
            new = [ledger.next_label()] if draft.what == "renamed" else others
            ask = "What shall it be called?" if draft.what == "renamed" else f"Which cohort does {draft.cohort} join?"
            return Ask(ask, tuple(sentence(draft._replace(to=label), self.knowledge) for label in new[:5]), draft)
        if draft.what == "renamed":
            if ledger.label(draft.to) and ledger.label(draft.to) != draft.cohort and ledger.known(draft.to):
                return Ask(
                    f"There is a cohort {draft.to} already. Which other label shall {draft.cohort} get?",
                    (sentence(draft._replace(to=ledger.next_label()), self.knowledge),),
                    draft,
                )
            return [self._event(draft, when, cohort=draft.cohort, to=draft.to)]
        to = ledger.label(draft.to)
        if to is None:
            if self.made or any(
                one.what == "merged" and one.cohort != draft.cohort and one.to == draft.to for one in self.request.drafts
            ):
                first = next((one for one in self.request.drafts if one.what == "merged"), draft)
                if first == self.draft or first.cohort == draft.cohort:
                    return [self._event(draft._replace(what="renamed"), when, cohort=draft.cohort, to=draft.to)]
            return Ask(
                f"There is no cohort {draft.to}. Which cohort does {draft.cohort} join?",
                tuple(sentence(draft._replace(to=label), self.knowledge) for label in living if label != draft.cohort)[:5],
                draft,
            )
        one, other = ledger.cohorts[draft.cohort].species, ledger.cohorts[to].species
        if one != other:
            return Ask(
                f"{draft.cohort} is {one} and {to} is {other}: a cohort holds one species, so they cannot become one. They can share an enclosure.",
                (
                    f"move all of {draft.cohort} to {next((key.enclosure for key in ledger.heads if key.cohort == to), 'the same cage')}",
                ),
                draft,
            )
        return [self._event(draft, when, cohort=draft.cohort, to=to)]

    def _care(self, draft: Draft, when: str, ledger) -> list[Event] | Ask:
        host = self._host(draft)
        if isinstance(host, Ask):
            return host
        if draft.count == "all" and not (draft.enclosure or draft.cohort or draft.species):
            places = self._every_place(draft, ledger)
            return [self._event(draft, when, enclosure=place, host=host, detail=draft.detail) for place in places]
        if draft.species is not None and not (draft.cohort or draft.enclosure):
            fits = list(dict.fromkeys(key.cohort for key, _ in self.groups(draft, ledger)))
            if len(fits) == 1:
                draft = draft._replace(cohort=fits[0])
            elif fits:
                return Ask(
                    "Which cohort?",
                    tuple(sentence(draft._replace(cohort=cohort, species=None), self.knowledge) for cohort in fits[:6]),
                    draft,
                )
        if draft.unknown and not (draft.cohort or draft.enclosure):
            return self._no_cohort(draft, draft.unknown, ledger)
        if not (draft.enclosure or draft.cohort or draft.host):
            places = list(dict.fromkeys(key.enclosure for key in ledger.heads if key.enclosure))
            thing = (
                "enclosure" if draft.what == "cleaned" else "enclosure or cohort" if draft.what == "fed" else "plant or enclosure"
            )
            return Ask(
                f"{draft.what.capitalize()} which {thing}?",
                tuple(sentence(draft._replace(enclosure=place), self.knowledge) for place in places[:6]),
                draft,
            )
        cohort = draft.cohort
        return [self._event(draft, when, cohort=cohort, enclosure=draft.enclosure, host=host, detail=draft.detail)]

    def _every_place(self, draft: Draft, ledger) -> list[str]:
        """The enclosures that hold animals; of the said kind (`all the tubs`), where one is said."""
        held = list(dict.fromkeys(key.enclosure for key in ledger.heads if key.enclosure))
        return [place for place in held if draft.kind in place.casefold()] or held

    def _plain(self, draft: Draft, when: str) -> list[Event] | Ask:
        host = self._host(draft)
        if isinstance(host, Ask):
            return host
        if draft.what in ("cut", "stocked") and not host:
            return Ask("Which plant?", (), draft)
        return [
            self._event(
                draft,
                when,
                cohort=draft.cohort if draft.what == "note" else "",
                enclosure=draft.enclosure,
                host=host,
                count=draft.count if isinstance(draft.count, int) else None,
                detail=draft.detail,
            )
        ]


def _past(what: str) -> str:
    return {"prepupated": "hung up"}.get(what, what)


def fill_all(request: Request, nursery, drafts=None, events: list[Event] | None = None) -> list[Event] | Ask:
    """All the drafts' events in order, or the first question."""
    filler = Filler(request, nursery, events)
    for draft in request.drafts if drafts is None else drafts:
        found = filler.fill(draft)
        if isinstance(found, Ask):
            return found
        filler.made += found
    return filler.made
