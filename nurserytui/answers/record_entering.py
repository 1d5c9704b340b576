"""Animals that come in: laid, found, or found again."""

from __future__ import annotations

from nurserytui.answers.record_asking import Asking
from nurserytui.answers.record_ground import LAST_INSTAR, Ask
from nurserytui.answers.record_wording import sentence, there_words
from nurserytui.answers.wording import stage_count
from nurserytui.language.draft import Draft
from nurserytui.records.events import Event


class Entering(Asking):
    """Records that put animals into the ledger."""

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
        label = known or draft.cohort or self.nursery.free_label(self.made)
        host = self._host(draft)
        if isinstance(host, Ask):
            return host
        instar = self.last_instar({species}) if draft.instar == LAST_INSTAR else draft.instar
        return [
            self._event(
                draft,
                when,
                cohort=label,
                mark=draft.mark if draft.count == 1 and not _lives(label, draft.mark, ledger) else "",
                species=species,
                stage=draft.stage,
                instar=instar if draft.stage == "larva" else None,
                count=draft.count,
                enclosure=draft.enclosure,
                host=host,
                parent=draft.parent,
                detail=draft.detail,
                by=draft.by,
                place=draft.place,
                latitude=draft.latitude,
                longitude=draft.longitude,
            )
        ]

    def _returned(self, draft: Draft, when: str, ledger) -> list[Event] | Ask:
        species = self.species_of(draft)
        lost = [
            (key, count)
            for key, count in ledger.lost.items()
            if (not draft.cohort or key.cohort == draft.cohort)
            and (not draft.mark or key.mark == draft.mark)
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
                mark=key.mark if len({one.mark for one, _ in lost}) == 1 else "",
                stage=stage,
                count=count,
                enclosure=draft.enclosure or (key.enclosure if len({one.enclosure for one, _ in lost}) == 1 else ""),
            )
        ]


def _lives(cohort: str, mark: str, ledger) -> bool:
    return any(count and (key.cohort, key.mark) == (cohort, mark) for key, count in ledger.heads.items())
