"""Looks, counts, signs, tests, and what cohorts are called."""

from __future__ import annotations

from nurserytui.answers.agents import PARASITOIDS, all_caught
from nurserytui.answers.cases import outbreaks
from nurserytui.answers.loose import PLAIN, loose
from nurserytui.answers.record_asking import Asking
from nurserytui.answers.record_ground import FROM, REACHED, Ask
from nurserytui.answers.record_wording import sentence, there_words
from nurserytui.answers.wording import listed
from nurserytui.language.draft import Draft
from nurserytui.language.record_catches import CAUGHT
from nurserytui.records.events import Event

FLIERS_SAID = ("wasp", "wasps", "fly", "flies", "parasitoid", "parasitoids", "parasites", "maggots")


class Looking(Asking):
    """Records about animals that stay where they are."""

    def _looked(self, draft: Draft, when: str, ledger) -> list[Event] | Ask:
        caught = self._caught(draft, when, ledger)
        if caught is not None:
            return caught
        groups = self.groups(draft, ledger)
        what = draft.what
        if what == "sign" and draft.stage and not groups and (groups := self.groups(draft._replace(stage=""), ledger)):
            draft = draft._replace(stage="")  # `a white egg stuck to B4`: that of somebody else
        if what == "checked" and not draft.cohort and not draft.enclosure and not draft.species:
            every = list(dict.fromkeys(key.cohort for key, _ in groups))
            if draft.count == "all" and draft.lead in FLIERS_SAID:
                # `not all the wasps are caught` tells of wasps, and of no look into every enclosure.
                places = dict.fromkeys(one.place for one in outbreaks(self.nursery) if one.kind in PARASITOIDS and one.place)
                return Ask(
                    "Nobody looked into every enclosure by that: which one was it?",
                    tuple(f"checked {place}: {draft.note}" for place in places)[-4:],
                    draft,
                )
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
        elif not draft.cohort and len(cohorts) > 1 and (draft.species or draft.count is not None and not draft.enclosure):
            return self._which(draft, groups)  # animals of several cohorts in one enclosure: the sign is on the enclosure
        if what == "sign" and draft.mark and len(groups) > 1 and all(key.mark != draft.mark for key, _ in groups):
            # The mark is new, and which of the animals bears it is not told: the words of the sign keep it.
            draft = draft._replace(mark="", count=1)
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

    def _caught(self, draft: Draft, when: str, ledger) -> list[Event] | Ask | None:
        """A look that says that no parasitoids are left is about the enclosures in which they are loose, whoever still stands there."""
        kinds = [kind for kind in PARASITOIDS if all_caught(draft.note, kind)] if draft.what == "checked" else []
        if not kinds or draft.cohort or draft.species is not None or draft.stage:
            return None
        if draft.enclosure:
            known = draft.enclosure in ledger.enclosures
            return [self._event(draft, when, enclosure=draft.enclosure)] if known else None
        if draft.lead != CAUGHT:
            return None
        about = [one for outbreak in outbreaks(self.nursery) if (one := loose(self.nursery, outbreak)) and one.about]
        about = [one for one in about if one.outbreak.kind in kinds]
        places = list(dict.fromkeys(one.outbreak.place for one in about if one.outbreak.place))
        if len(places) == 1:
            return [self._event(draft, when, enclosure=places[0])]
        them = PLAIN[kinds[0]]
        if places:
            every = dict.fromkeys(one.record() for one in about if one.outbreak.place)
            return Ask(f"The {them} may be loose in {listed(places)}: which is clear of them?", (*every, ", ".join(every)), draft)
        held = list(dict.fromkeys(key.enclosure for key in ledger.heads if key.enclosure))
        options = tuple(f"checked {place}: no {them}" for place in held[:6])
        return Ask(f"No {them} are loose by the records. In which enclosure were they?", options, draft)

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

    def _changed(self, draft: Draft, ledger) -> Draft | None:
        """`thats 5 pupae now` where the records have 4 and larvae besides: the change by which there are more, if it can have been."""
        change = next((what for what, stage in REACHED.items() if stage == draft.stage and what != "moulted"), "")
        if not change or not draft.cohort or not isinstance(draft.count, int) or ledger.missing.get(draft.cohort):
            return None
        here = self.groups(draft, ledger)
        earlier = self.groups(draft._replace(stage=""), ledger, FROM[change])
        more = draft.count - sum(held for _, held in here)
        if not 0 < more <= sum(held for _, held in earlier):
            return None
        return draft._replace(what=change, count=more, stage="", instar=None, total=False)

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
        if change := self._changed(draft, ledger):
            options.insert(0, sentence(change, self.knowledge))
        return Ask(
            f"The records have {there_words(groups)}, {gap} fewer than {count}. Were {gap} overlooked before, or are {gap} new?",
            tuple(options),
            draft,
        )

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
            new = [self.nursery.free_label(self.made)] if draft.what == "renamed" else others
            ask = "What shall it be called?" if draft.what == "renamed" else f"Which cohort does {draft.cohort} join?"
            return Ask(ask, tuple(sentence(draft._replace(to=label), self.knowledge) for label in new[:5]), draft)
        if draft.what == "renamed":
            if ledger.label(draft.to) and ledger.label(draft.to) != draft.cohort and ledger.known(draft.to):
                return Ask(
                    f"There is a cohort {draft.to} already. Which other label shall {draft.cohort} get?",
                    (sentence(draft._replace(to=self.nursery.free_label(self.made)), self.knowledge),),
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
