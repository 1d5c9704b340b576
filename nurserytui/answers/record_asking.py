"""The questions that a record asks back, each with full sentences to choose from."""

from __future__ import annotations

import re

from nurserytui.answers.record_ground import FROM, LEAVING, NEXT, Ask
from nurserytui.answers.record_sums import Summing
from nurserytui.answers.record_wording import sentence, there_words
from nurserytui.answers.wording import capital, listed, stage_count
from nurserytui.language.draft import Draft
from nurserytui.language.request import Named
from nurserytui.records.events import STAGES

CAN_BE = {
    "hatched": "an egg",
    "moulted": "a larva",
    "prepupated": "a larva",
    "pupated": "a larva or prepupa",
    "emerged": "a pupa",
}


def _past(what: str) -> str:
    return {"prepupated": "hung up"}.get(what, what)


class Asking(Summing):
    """One question for each thing that may be lacking or impossible."""

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
                            to=draft.to if told_as in ("moved", "split") else "",
                        ),
                        self.knowledge,
                    )
                )
        why = f"; only {CAN_BE[draft.what]} can have {_past(draft.what)}" if draft.what in CAN_BE else ""
        return Ask(
            f"{capital(self.subject(draft))} has no {noun}: there {'is' if sum(n for _, n in there) == 1 else 'are'} {there_words(there)}{why}. What happened?",
            tuple(dict.fromkeys(options)),
            draft,
        )

    def _too_many(self, draft: Draft, groups, total: int, told: int = 0) -> Ask:
        """More than there are; where so many more than the `told` of the records can be meant, that is to be chosen too."""
        stages = {key.stage for key, _ in groups}
        cohorts = {key.cohort for key, _ in groups}
        short = self._narrow(draft, groups)._replace(count=total)
        options = [sentence(short, self.knowledge)]
        if len(cohorts) > 1:
            options = [
                sentence(self._narrow(draft, [group])._replace(count=min(draft.count, group[1])), self.knowledge)
                for group in groups[:5]
            ]
        elif told and 0 < draft.count - told <= total:
            options.insert(0, sentence(short._replace(count=draft.count - told), self.knowledge))
        noun = stage_count(total, stages.pop()).split(" ", 1)[1] if len(stages) == 1 else "animal" if total == 1 else "animals"
        detail = f" ({there_words(groups)})" if len(groups) > 1 or not draft.cohort else ""
        return Ask(
            f"{capital(self.subject(draft))} has {total} {noun}{detail}, not {draft.count}. Which number is right?",
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
        several = count != 1 or draft.count == "some"
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
                to=draft.to or (self.nursery.free_label(self.made) if draft.what == "split" else ""),
                cohort=cohort,
                mark=mark,
                stage=stage,
                enclosure=place if (cohort, mark, stage) in many_places or draft.enclosure else draft.enclosure,
                species=None,
                unknown="",
            )
            options.append(sentence(full, self.knowledge))
        return Ask(
            f"Which {'ones' if several else 'one'} do you mean? There are {there_words(groups[:6])}{' and others' if len(groups) > 6 else ''}.",
            tuple(dict.fromkeys(options)),
            draft,
        )

    def _no_number(self, draft: Draft) -> Ask | None:
        """Asked where the number is none that animals, or things, can have: below nought, or with a part of one."""
        if isinstance(draft.count, int) and draft.count < 0:
            instead = (-draft.count,)
            text = f"{draft.count} is less than none, so it can be no number of {'stems or leaves' if draft.what in ('stocked', 'cut') else 'animals'}."
        elif draft.count == "part":
            said = re.search(r"\d+[.,]\d+", self.request.text)
            whole = int(float(said[0].replace(",", "."))) if said else 0
            instead = tuple(number for number in (whole, whole + 1) if said and number > 0)
            text = f"{said[0] if said else 'That'} is no whole number of animals."
        else:
            return None
        options = tuple(sentence(draft._replace(count=number), self.knowledge) for number in instead)
        return Ask(f"{text} How many were it?", options, draft._replace(count=None))

    def _no_cohort(self, draft: Draft, label: str, ledger) -> Ask:
        living = list(dict.fromkeys(key.cohort for key in ledger.heads))
        later = self.nursery.ledger.cohorts.get(self.nursery.ledger.label(label) or label)
        if later is not None and draft.when is not None:
            text = f"Cohort {label} begins on {later.first_when[:10]}; on {draft.when.start:%Y-%m-%d} it was not there yet. Which day was it?"
            return Ask(text, self._on_days(draft, self.nursery.now), draft)
        wanted = draft.count if isinstance(draft.count, int) else 1
        fits = [key.cohort for key, held in ledger.heads.items() if key.stage in FROM.get(draft.what, STAGES) and held >= wanted]
        options = tuple(sentence(draft._replace(cohort=one, unknown=""), self.knowledge) for one in list(dict.fromkeys(fits))[:6])
        return Ask(
            f"There is no cohort {label}{', nor any other that is living' if not living else f'. Living cohorts are {listed(living)}'}. "
            "Which one do you mean?",
            options,
            draft,
        )

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
