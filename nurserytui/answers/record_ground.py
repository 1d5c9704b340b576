"""What every record is filled on: the moment it is for, the ledger at that moment, and the groups of animals that fit."""

import re
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import NamedTuple

from nurserytui.answers.naming import eats, same_plant, settle, species_among
from nurserytui.answers.record_wording import sentence
from nurserytui.answers.wording import listed
from nurserytui.language.draft import Draft
from nurserytui.language.request import Named, Period, Request
from nurserytui.records.events import Event

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
LONGEST_SPAN = timedelta(days=3)
NO_TIME = re.compile(r":|\d\s*[ap]m\b", re.IGNORECASE)
"""What was said for a time of day, not for a day."""

LAST_INSTAR = -1
"""What stands for the last instar until it is known whose it is."""

UNREAD = re.compile(r"[\d./-]+")
"""Figures that stand where a date stands."""


class Ask(NamedTuple):
    """One thing that has to be known first."""

    text: str
    options: tuple[str, ...]
    draft: Draft


def leaves_out(left, key) -> bool:
    """Whether animals at that key are among those that a line leaves out."""
    pairs = ((left.stage, key.stage), (left.cohort, key.cohort), (left.mark, key.mark), (left.place, key.enclosure))
    return all(said in ("", held) for said, held in pairs)


class Ground:
    """The request, the nursery, and the events that the clauses before have made."""

    def __init__(self, request: Request, nursery, instead: Sequence[Event] = ()) -> None:
        self.request, self.nursery, self.knowledge = request, nursery, nursery.knowledge
        self.instead = {event.id for event in instead}
        """The events in whose place others are told."""
        self.made: list[Event] = []
        self.draft: Draft = Draft("")

    def when(self, draft: Draft) -> str | Ask:
        now = self.nursery.now
        if draft.impossible:
            if UNREAD.fullmatch(draft.impossible):
                text = f"“{draft.impossible}” looks like a date, but I cannot read it as one. Which day was it? (Write 3 May or 2026-05-03.)"
            elif NO_TIME.search(draft.impossible):
                text = f"There is no “{draft.impossible}” on a clock. At what time was it, or on which day?"
            else:
                text = f"There is no {draft.impossible}. Which day was it?"
            return Ask(text, self._on_days(draft, now), draft)
        period = draft.when
        if period is not None and period.other is not None:
            return self._either_day(draft, period)
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

    def _either_day(self, draft: Draft, period: Period) -> Ask:
        """Asked where figures may be meant with the day or with the month first."""
        turned = period._replace(start=period.other, end=period.other + (period.end - period.start))
        ways = [draft._replace(when=one._replace(other=None)) for one in (period, turned)]
        first, second = (f"{one.start.day} {one.start:%B %Y}" for one in (period, turned))
        figures = re.search(r"[\d/]+", period.said)
        return Ask(
            f"“{figures[0] if figures else period.said}” can be {first} or {second}. Which day was it? "
            "(Say “dates are day first” or “dates are month first”, and it is not asked again.)",
            tuple(sentence(one, self.knowledge) for one in ways),
            ways[0],
        )

    def _on_days(self, draft: Draft, now: datetime) -> tuple[str, ...]:
        days = [now - timedelta(days=back) for back in range(3)]
        periods = [Period(day.replace(hour=0, minute=0), day.replace(hour=23, minute=59), "", False) for day in days]
        days = (sentence(draft._replace(when=period, impossible=""), self.knowledge) for period in periods)
        return tuple(dict.fromkeys(days))

    def ledger(self, when: str):
        """The ledger at the moment of the draft, with what the clauses before it did."""
        now = self.nursery.now
        today = when[:10] == now.date().isoformat()
        if today and not self.made and not self.instead:
            return self.nursery.ledger
        until = (
            datetime.fromisoformat(when)
            if len(when) > 10
            else min(datetime.fromisoformat(when) + timedelta(days=1) - timedelta(seconds=1), now)
        )
        return self.nursery.ledger_at(now if today else until, self.made, self.instead)

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
            and (draft.host is None or draft.what not in TAKING or self._eats_there(draft, key, ledger))
            and (not species or ledger.cohorts[key.cohort].species in species)
            and (not draft.enclosure or key.enclosure == draft.enclosure)
            and (not draft.stage or key.stage == draft.stage)
            and (not stages or key.stage in stages)
        ]

    def _eats_there(self, draft: Draft, key, ledger) -> bool:
        """True if the cohort came in on the plant that the draft names (`the violet cats`)."""
        host = ledger.cohorts[key.cohort].host
        return any(same_plant(host, name) for name in draft.host.names)

    def subject(self, draft: Draft) -> str:
        """The animals meant, in words."""
        if draft.cohort:
            who = f"{draft.cohort}{draft.mark}" if draft.mark else draft.cohort
            return who + (f" in {draft.enclosure}" if draft.enclosure else "")
        if draft.species:
            common = self.knowledge.common(draft.species.name) or draft.species.said
            return f"your {common}" + (f" in {draft.enclosure}" if draft.enclosure else "")
        return draft.enclosure or "the nursery"

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

    def last_instar(self, species: set[str]) -> int | None:
        """How many instars the larvae of the one species have; None where several are meant or it is not known."""
        known = self.knowledge.species(next(iter(species))) if len(species) == 1 else None
        return known.instars if known else None

    def _event(self, draft: Draft, when: str, **parts) -> Event:
        parts.setdefault("note", draft.note)
        return Event(when, draft.what, estimate=draft.estimate, **parts)

    def _one_spot(self, groups) -> bool:
        return len({(key.cohort, key.stage, key.enclosure) for key, _ in groups}) == 1

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

    def _settled(self, draft: Draft) -> str | Ask:
        """The species a record means: a name that can mean several needs the plant, the place or the keeper's own animals."""
        if draft.species.name == "unknown":
            return "unknown"
        request = self.request._replace(hosts=(draft.host,) if draft.host else (), species=(draft.species,))
        settled = settle(draft.species, request, self.nursery)
        if settled and (settled.why or not settled.others):
            return settled.name
        names = species_among(draft.species.names, self.knowledge)[:6]
        kept = {cohort.species for cohort in self.nursery.ledger.cohorts.values()}
        plants = draft.host.names if draft.host else ()
        both = [name for name in names if name in kept and any(eats(self.knowledge, name, plant) for plant in plants)]
        if len(both) == 1:
            return both[0]
        options = tuple(sentence(draft._replace(species=Named(name, (name,))), self.knowledge) for name in names)
        meanings = listed([f"{self.knowledge.common(name) or name} ({name})" for name in names], "or")
        return Ask(f"Which species is it? “{draft.species.said}” can be {meanings}.", options, draft)
