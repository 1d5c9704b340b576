"""Rows of the archive: what was found in the wild, and what became of it, in terms of Darwin Core."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime

from nurserytui.answers.wording import counted, listed
from nurserytui.exports.darwin_core import DATUM
from nurserytui.exports.origins import Fate, Origins
from nurserytui.exports.withholding import STEP, UNCERTAINTY, Withheld
from nurserytui.records import moments
from nurserytui.records.events import Event

ORDER = "Lepidoptera"
_CONTROLS = re.compile(r"[\x00-\x1f\x7f-\x9f]")
SEXES = ("female", "male")
TYPES = {
    "found": "find", "laid": "laying", "hatched": "hatching", "moulted": "moult", "prepupated": "prepupation", "pupated": "pupation",
    "emerged": "emergence", "died": "death", "released": "release", "escaped": "escape", "given": "transfer to another keeper",
    "missing": "loss", "returned": "recovery", "counted": "count",
}  # fmt: skip
"""The `eventType` of each kind of event."""
FOUND = "found by the keeper and taken in for rearing"
SEEN = "laying seen by the keeper, eggs taken in for rearing"
REARED = "reared in captivity from wild-found animals"


class Rows:
    """The rows of one nursery's archive."""

    def __init__(self, nursery, known: Origins, withheld: Withheld) -> None:
        self._ledger, self._knowledge = nursery.ledger, nursery.knowledge
        self._where = None if withheld.locations == "none" else moments.zone(nursery.settings.timezone)
        self._known, self._withheld = known, withheld
        self._identified: dict[str, list[Event]] = {}
        for event in self._ledger.chronicle.events_of("identified"):
            self._identified.setdefault(self._ledger.label(event.cohort) or "", []).append(event)

    def finds(self) -> list[Event]:
        """What is an occurrence in the wild: finds, and layings that were seen; not the eggs of an adult that was reared here."""
        events = self._ledger.chronicle.events_of("found", "laid")
        return [event for event in events if event.what == "found" or not event.parent]

    # Occurrences -----------------------------------------------------------------------------------------------------------

    def occurrence(self, event: Event) -> dict[str, str]:
        """The values of OCCURRENCE that are known, by term."""
        withheld = self._withheld
        names, unnamed = self._names(event)
        stage = event.stage or ("egg" if event.what == "laid" else "larva" if event.instar else "")
        row = {
            "occurrenceID": event.id,
            "eventID": event.id,
            "basisOfRecord": "HumanObservation",
            "eventDate": self._date(event.when),
            **self._taxon(names),
            "kingdom": "Animalia",
            "phylum": "Arthropoda",
            "class": "Insecta",
            "order": ORDER,
            **self._identification(event, names, unnamed),
            "individualCount": str(event.count or 1),
            "sex": self._sex(event),
            "lifeStage": "larva" if stage == "prepupa" else stage,
            "occurrenceStatus": "present",
            "recordedBy": "" if withheld.names else event.by,
            "associatedTaxa": f'"host":"{event.host}"' if event.host else "",
            "occurrenceRemarks": "; ".join(self._remarks(event)),
            **self._location(event),
        }
        if withheld.locations == "coarse" and row["decimalLatitude"]:
            row["coordinatePrecision"] = f"{STEP}"
            row["dataGeneralizations"] = f"Coordinates rounded to {STEP} degrees."
        row["informationWithheld"] = self._kept_back(event)
        return row

    def _names(self, event: Event) -> tuple[list[str], bool]:
        """What the animals of the find are by the newest identification of the cohorts they went to, and whether some have no name."""
        labels = self._known.cohorts.get(event.id, ())
        species = dict.fromkeys(self._ledger.cohorts[label].species for label in labels)
        return [name for name in species if name not in ("", "unknown")], any(name in ("", "unknown") for name in species)

    def _taxon(self, names: list[str]) -> dict[str, str]:
        words = [name.removesuffix(".").removesuffix(" spp").removesuffix(" sp").split() for name in names]
        genera = {one[0] for one in words if one}
        if len(genera) != 1:
            return {"scientificName": ORDER, "taxonRank": "order"}
        if genera.copy().pop().endswith("idae"):
            return {"scientificName": genera.pop(), "taxonRank": "family"}
        said = words[0] if len(names) == 1 else words[0][:1]
        known = self._knowledge.species(" ".join(said[:2])) if len(said) > 1 else None
        return {
            "scientificName": " ".join(said),
            "taxonRank": ("genus", "species", "subspecies")[min(len(said), 3) - 1],
            "family": known.family if known is not None else "",
            "genus": said[0],
        }

    def _identification(self, event: Event, names: list[str], unnamed: bool) -> dict[str, str]:
        """Who named them when, what they were called before, and what is not certain about the name."""
        labels = self._known.cohorts.get(event.id, ())
        told = [one for label in labels for one in self._identified.get(label, ())]
        before = dict.fromkeys(name for name in (event.species, *(one.species for one in told)) if name not in ("", "unknown"))
        last = [one for one in told if one.species in names][-1:]
        remarks = [f"animals of this find were identified as {listed(names)}"] if len(names) > 1 else []
        if names and unnamed:
            remarks.append("some of them were not identified")
        return {
            "previousIdentifications": " | ".join(name for name in before if name not in names),
            "identifiedBy": last[0].by if last and not self._withheld.names else "",
            "dateIdentified": self._date(last[0].when) if last else "",
            "identificationRemarks": "; ".join(remarks),
        }

    def _sex(self, event: Event) -> str:
        """Told with the find, or later of an animal that was found alone and can be no other."""
        if event.detail.lower() in SEXES:
            return event.detail.lower()
        if (event.count or 1) != 1:
            return ""
        said = {fate.event.detail.lower() for fate in self._known.fates.get(event.id, ()) if not fate.others}
        found = [sex for sex in SEXES if sex in said]
        return found[0] if len(found) == 1 else ""

    def _remarks(self, event: Event) -> Iterator[str]:
        if event.note and not self._withheld.notes:
            yield event.note
        if event.detail and event.detail.lower() not in SEXES:
            yield event.detail
        if event.estimate:
            yield "count is an estimate"
        if event.instar:
            yield f"instar {event.instar}"
        if event.stage == "prepupa":
            yield "prepupa"
        if event.id in self._known.crowded:
            yield "kept together with animals of very many finds: not all that became of them is told"

    def _kept_back(self, event: Event) -> str:
        placed = event.place or event.latitude is not None
        where = {"exact": "", "coarse": "exact coordinates and name of the place", "none": "coordinates and name of the place"}
        said = [where[self._withheld.locations] if placed else ""]
        said += ["name of the recorder" if self._withheld.names and event.by else ""]
        said += ["notes" if self._withheld.notes and event.note else ""]
        return ", ".join(filter(None, said))

    # Events ----------------------------------------------------------------------------------------------------------------

    def events(self, find: Event) -> Iterator[dict[str, str]]:
        """The values of EVENT that are known: of the find itself, and of all that became of its animals."""
        yield {
            "eventID": find.id,
            "eventType": TYPES[find.what],
            "eventDate": self._date(find.when),
            "samplingProtocol": FOUND if find.what == "found" else SEEN,
            "sampleSizeValue": str(find.count or 1),
            "sampleSizeUnit": "individuals",
            **self._location(find),
        }
        for fate in self._known.fates.get(find.id, ()):
            yield self._event(find, fate)

    def _event(self, find: Event, fate: Fate) -> dict[str, str]:
        event = fate.event
        remarks = []
        if event.what == "counted":
            remarks.append(f"a count showed {fate.count} {'more' if fate.entered else 'fewer'}")
        if event.what == "released" and event.detail:
            remarks.append(f"sex: {event.detail}" if event.detail.lower() in SEXES else event.detail)
        elif event.detail and event.what != "died" and not (event.what == "given" and self._withheld.names):
            remarks.append(event.detail)
        if event.what in ("hatched", "moulted") and fate.instar:
            remarks.append(f"instar {fate.instar}")
        if event.estimate:
            remarks.append("count is an estimate")
        if fate.others:
            remarks.append(
                f"kept together with animals of {counted(fate.others, 'other find')}: of which find these are is not known"
            )
        if event.note and not self._withheld.notes:
            remarks.append(event.note)
        return {
            "eventID": f"{find.id}/{event.id}",
            "parentEventID": find.id,
            "eventType": TYPES.get(event.what, event.what),
            "eventDate": self._date(event.when),
            "samplingProtocol": REARED,
            "sampleSizeValue": str(fate.count),
            "sampleSizeUnit": "individuals",
            "causeOfDeath": event.detail if event.what == "died" else "",
            **self._location(event),
            "eventRemarks": "; ".join(remarks),
        }

    # Both ------------------------------------------------------------------------------------------------------------------

    def _date(self, when: str) -> str:
        """ISO 8601-1: a date, or a local time with its offset where the nursery's time zone is known."""
        if len(when) <= 10 or self._where is None:
            return when
        moment = datetime.fromisoformat(when).replace(tzinfo=self._where)
        return moment.isoformat(timespec="seconds" if moment.second else "minutes")

    def _location(self, event: Event) -> dict[str, str]:
        latitude, longitude = self._withheld.point(event.latitude, event.longitude)
        located = latitude is not None and longitude is not None
        return {
            "locality": self._withheld.place(event.place),
            "decimalLatitude": f"{latitude}" if located else "",
            "decimalLongitude": f"{longitude}" if located else "",
            "geodeticDatum": DATUM if located else "",
            "coordinateUncertaintyInMeters": f"{UNCERTAINTY}" if located and self._withheld.locations == "coarse" else "",
        }


def values(row: dict[str, str], terms: tuple[str, ...]) -> list[str]:
    """The row's values in the order of the terms, each on one line and without control characters."""
    return [" ".join(_CONTROLS.sub(" ", row.get(term, "")).split()) for term in terms]
