"""Numbers that hold for all up to now (`15 hatched so far`, `6 pupae now`), told as what has come since the records were last written."""

from __future__ import annotations

from nurserytui.answers.record_ground import FROM, LEAVING, REACHED, Ask, Ground
from nurserytui.answers.record_wording import sentence
from nurserytui.language.draft import Draft
from nurserytui.language.ordinary import STAGES


class Summing(Ground):
    """The increments by which sums grew."""

    def _increment(self, draft: Draft, ledger) -> Draft | Ask:
        """The draft with its sum as what is new of it."""
        if not isinstance(draft.count, int) or draft.what not in (*FROM, *LEAVING):
            return draft
        if draft.total:
            return self._since_told(draft, ledger)
        if draft.what in REACHED and STAGES.get(draft.lead.casefold()) == REACHED[draft.what]:
            # `6 B pupae now`: so many there are, where some stood there before and not as many
            here = self.groups(draft._replace(stage=REACHED[draft.what]), ledger)
            before = sum(held for _, held in here)
            return draft._replace(count=draft.count - before) if before < draft.count else draft
        return draft

    def _since_told(self, draft: Draft, ledger) -> Draft | Ask:
        told = self._told_before(draft, ledger)
        if draft.count > told:
            return draft._replace(count=draft.count - told, total=False)
        more = sentence(draft._replace(total=False), self.knowledge)
        return Ask(f"The records have {told} already. Are these {draft.count} more?", (more,), draft)

    def _told_before(self, draft: Draft, ledger) -> int:
        """How many of the one cohort that is meant did so by the records; 0 where several may be meant."""
        cohorts = {draft.cohort} if draft.cohort else {key.cohort for key, _ in self.groups(draft._replace(stage=""), ledger)}
        if len(cohorts) != 1:
            return 0
        return sum(
            posting.count
            for posting in ledger.chronicle.of_cohort(cohorts.pop())
            if posting.event.what == draft.what
            and (not draft.enclosure or posting.source is not None and posting.source.enclosure == draft.enclosure)
        )
