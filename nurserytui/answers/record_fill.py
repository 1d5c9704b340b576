"""Drafts made whole against the ledger: each becomes events, or the one question that has to be asked first."""

from __future__ import annotations

from collections.abc import Sequence

from nurserytui.answers.record_caring import Caring
from nurserytui.answers.record_entering import Entering
from nurserytui.answers.record_ground import CARE, PLAIN, Ask
from nurserytui.answers.record_looking import Looking
from nurserytui.answers.record_taking import Taking
from nurserytui.language.draft import Draft
from nurserytui.language.record_build import SUMMING, UNKNOWN
from nurserytui.language.record_signs import NOTED
from nurserytui.language.record_words import NO_IDEA
from nurserytui.language.request import Request
from nurserytui.records.events import Event


class Filler(Taking, Entering, Looking, Caring):
    """Fills the drafts of one line, in their order: what a clause changes is there for the next."""

    def fill(self, draft: Draft) -> list[Event] | Ask:
        self.draft = draft
        when = self.when(draft)
        if isinstance(when, Ask):
            return when
        if draft.count == "part" and draft.what in (*PLAIN, *CARE):
            draft = draft._replace(count=None)
        if (uncounted := self._no_number(draft)) is not None:
            return uncounted
        ledger = self.ledger(when)
        if draft.what == "sign" and draft.lead == NOTED and not self.groups(draft, ledger):
            # none of these stand there by the records: the keeper's words are kept all the same
            draft = Draft("note", cohort=draft.cohort, enclosure=draft.enclosure, when=draft.when, note=draft.detail)
        if draft.what == "note" and draft.when is not None and draft.cohort and ledger.label(draft.cohort) is None:
            return self.fill(draft._replace(when=None))  # the day in its words lies before there was such a cohort
        if draft.what == "note" and draft.cohort and not (ledger.label(draft.cohort) or ledger.animal(draft.cohort)):
            draft = draft._replace(cohort="")  # `call the supplier` gives nobody a label
        if draft.follows and self.made and not draft.cohort:
            draft = draft._replace(cohort=self.made[-1].cohort, species=None)
        draft = self._labels(draft, ledger)
        if isinstance(draft, Ask):
            return draft
        if draft.what == "counted" and draft.lead.casefold() in SUMMING:
            draft = self._changed(draft, ledger) or draft
        draft = self._increment(self._right_change(draft, ledger) if draft.total else draft, ledger)
        if isinstance(draft, Ask):
            return draft
        if self._brought(draft, ledger):
            draft = _as_found(draft)
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
                entered = draft.what in ("laid", "found") and part == "cohort"  # `call them K2`: a label, and no animal of K
                animal = ledger.animal(label)
                if entered and animal and not (draft.count == 1 and _singly(animal[0], ledger)):
                    animal = None
                known = (animal[0] if animal and (not animal[1] or part == "cohort") else None) or self._near(label, ledger)
                if known:
                    mark = animal[1] if animal and animal[1] else draft.mark
                    draft = draft._replace(**{part: known}, mark=mark if part == "cohort" else draft.mark)
                elif part == "parent":
                    draft = draft._replace(parent="", cohort=draft.cohort or label)
                elif draft.what not in ("laid", "found", "note") and not self._new(draft, label, ledger):
                    return self._no_cohort(draft, label, ledger)
        if draft.what == "returned" and (label := draft.cohort or draft.unknown) and self._new(draft, label, ledger):
            return draft._replace(what="found", cohort=label, unknown="")
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

    def _new(self, draft: Draft, label: str, ledger) -> bool:
        """`2 cloak pupae turned up, log them as cloak-25`: what turns up under a label of its own was never lost."""
        named = draft.species is not None and bool(draft.stage)
        return draft.what == "returned" and named and self._near(label, ledger) == "" and not ledger.known(label)

    def _brought(self, draft: Draft, ledger) -> bool:
        """`a comma chrysalis off the shed wall, now in jar 6`: a stage of animals that the records have none of, and a place, tell of new
        ones that came in, whatever was done with them."""
        if draft.what not in ("moved", "split", "sign") or draft.cohort or draft.refers or not draft.stage or self.made:
            return False
        if draft.what == "sign":
            return isinstance(draft.count, int) and bool(draft.enclosure) and draft.enclosure not in ledger.enclosures
        species = self.species_of(draft)
        return bool(species) and not any(cohort.species in species for cohort in ledger.cohorts.values())

    def _near(self, label: str, ledger) -> str:
        return ledger.label(label) or ""


def _singly(cohort: str, ledger) -> bool:
    """Whether all animals of a cohort have marks of their own: one more label of that kind is the next of them."""
    marks = [key.mark for key, count in ledger.heads.items() if count and key.cohort == cohort]
    return bool(marks) and all(marks)


def _as_found(draft: Draft) -> Draft:
    label, place = (draft.to, draft.enclosure) if draft.what == "split" else ("", draft.to or draft.enclosure)
    species = draft.species or (UNKNOWN if NO_IDEA.search(draft.detail.casefold()) else None)
    return draft._replace(what="found", cohort=label, enclosure=place, to="", detail="", species=species)


def fill_all(request: Request, nursery, drafts=None, instead: Sequence[Event] = ()) -> list[Event] | Ask:
    """All the drafts' events in order, or the first question; `instead` are those in whose place they are told."""
    filler = Filler(request, nursery, instead)
    for draft in request.drafts if drafts is None else drafts:
        found = filler.fill(draft)
        if isinstance(found, Ask):
            return found
        filler.made += found
    if not filler.made:  # all of what stands in no enclosure
        return Ask("No enclosure holds animals by the records, so there is nothing to write down.", (), filler.draft)
    return filler.made
