"""Care of enclosures and plants, readings, settings and notes."""

from __future__ import annotations

from nurserytui.answers.record_asking import Asking
from nurserytui.answers.record_ground import Ask, leaves_out
from nurserytui.answers.record_wording import sentence
from nurserytui.language.draft import Draft
from nurserytui.records.events import Event


class Caring(Asking):
    """Records that no headcount rests on."""

    def _care(self, draft: Draft, when: str, ledger) -> list[Event] | Ask:
        host = self._host(draft)
        if isinstance(host, Ask):
            return host
        if draft.count == "all" and not (draft.enclosure or draft.cohort or draft.species):
            places = self._every_place(draft, ledger)
            return [self._event(draft, when, enclosure=place, host=host, detail=draft.detail) for place in places]
        if draft.species is not None and not (draft.cohort or draft.enclosure):
            eats = ("larva", "adult") if draft.what == "fed" else ()
            fits = dict.fromkeys(key.cohort for key, _ in self.groups(draft, ledger, eats) or self.groups(draft, ledger))
            told = {event.cohort for event in self.made if event.what == draft.what}
            if fits:
                return [
                    self._event(draft, when, cohort=cohort, host=host, detail=draft.detail)
                    for cohort in fits
                    if cohort not in told
                ]
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
        """The enclosures that hold animals; of the said kind (`all the tubs`), where one is said, and without those left out."""
        held = dict.fromkeys(
            key.enclosure for key in ledger.heads if key.enclosure and not any(leaves_out(one, key) for one in draft.left)
        )
        held = list(held)
        return [place for place in held if draft.kind in place.casefold()] or held

    def _plain(self, draft: Draft, when: str) -> list[Event] | Ask:
        host = self._host(draft)
        if isinstance(host, Ask):
            return host
        if draft.what == "setting" and draft.detail == "volume=":
            units = ("cm", "inch")
            options = tuple(f"{draft.enclosure} is {draft.note} {unit}" for unit in units)
            return Ask(f"Is {draft.note} in centimetres or in inches?", options, draft)
        if draft.what == "setting" and draft.detail == "limit=":
            what = (
                "A limit counts all animals that come in during a season, of every species, laid here or found; one for some of them only I "
                f"cannot keep. Do you mean {draft.note} of all?"
            )
            return Ask(what, (f"my limit is {draft.note} animals a year", "how many animals have I handled this year"), draft)
        if draft.what in ("cut", "stocked") and not host:
            return Ask("Which plant?", (), draft)
        if draft.what == "stocked" and draft.count == 0 and not draft.detail:
            return [self._event(draft, when, host=host, count=0, detail=unit) for unit in self._units_on_hand(host)]
        return [
            self._event(
                draft,
                when,
                cohort=draft.cohort if draft.what in ("note", "stocked") else "",
                enclosure=draft.enclosure,
                host=host,
                count=draft.count if isinstance(draft.count, int) else None,
                detail=draft.detail,
            )
        ]

    def _units_on_hand(self, host: str) -> list[str]:
        """In what the plant was last put on hand, where nothing of it is left; stems, where it never was."""
        from nurserytui.answers.stock import lots

        held = dict.fromkeys(lot.said for lot in lots(self.nursery) if lot.host == host)
        return list(held) or ["stems"]
