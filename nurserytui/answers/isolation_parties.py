"""Who is to be set apart: the animals that show it, those exposed to it, and what is wrong with them."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

from nurserytui.answers.agents import PARASITOIDS
from nurserytui.answers.cases import Outbreak, outbreaks
from nurserytui.answers.selection import STAGE_ORDER, Wanted
from nurserytui.answers.sign_records import RECENT as SIGN_RECENT
from nurserytui.answers.stays import Group, group_of, trace
from nurserytui.answers.vulnerable import attacked, past
from nurserytui.answers.watches import RECENT, Row, rows_of
from nurserytui.answers.wording import animals_name, listed, stage_count

SICK, UNKNOWN = "sick", "disease not named"


class Party(NamedTuple):
    """Animals of one group that are treated alike."""

    group: Group
    heads: tuple
    """((key, count), ...)"""
    grade: str
    """`sick`, `likely`, `possible`."""
    row: Row | None
    """The contact that puts them on watch; None for sick ones of which nothing is traced."""

    @property
    def count(self) -> int:
        return sum(count for _, count in self.heads)

    @property
    def name(self) -> str:
        return animals_name(self.group.cohort, self.group.mark)

    def words(self) -> str:
        stages: dict[str, int] = {}
        for key, count in sorted(self.heads, key=lambda pair: STAGE_ORDER[pair[0].stage]):
            stages[key.stage] = stages.get(key.stage, 0) + count
        return f"{listed(stage_count(count, stage) for stage, count in stages.items())} of {self.name}"


class Case(NamedTuple):
    """What a plan is for."""

    kind: str
    """A traced kind, or `UNKNOWN`."""
    outbreaks: tuple[Outbreak, ...]
    sick: tuple[Party, ...]
    exposed: tuple[Party, ...]

    @property
    def places(self) -> tuple[str, ...]:
        """Where it was seen, the sick ones' enclosures first."""
        here = [party.group.enclosure for party in self.sick] + [one.place for one in self.outbreaks]
        return tuple(place for place in dict.fromkeys(here) if place)


def situation(nursery, want: Wanted) -> list[Case]:
    """One case for each kind of trouble that concerns the animals meant (all open ones where none are named), the gravest first."""
    recent = [one for one in outbreaks(nursery) if one.last >= nursery.now - RECENT]
    rows = [row for row in rows_of(nursery, recent) if row.open]
    if want.animals or want.enclosures:
        kinds = {row.outbreak.kind for row in rows if _meant(row.contact.group, want, nursery)}
        kinds |= {one.kind for one in recent for case in one.cases if _case_meant(case, want, nursery)}
        kinds = {kind for kind in kinds if any(row.outbreak.kind == kind for row in rows) or _sick(nursery, recent, kind, want)}
    else:
        kinds = {one.kind for one in recent}
    found = []
    for kind in dict.fromkeys(one.kind for one in recent):
        if kind not in kinds:
            continue
        sick = _sick(nursery, recent, kind, Wanted())
        ill = {party.group: party.count for party in sick}
        exposed = [_party(nursery, row, ill.get(row.contact.group, 0)) for row in rows if row.outbreak.kind == kind]
        exposed = [part for party in exposed for part in _by_risk(party) if part.count]
        if sick or exposed:
            met = {id(party.row.outbreak) for party in exposed}
            here = tuple(one for one in recent if one.kind == kind and (id(one) in met or _still_sick(one, sick)))
            found.append(Case(kind, here, tuple(sick), tuple(exposed)))
    if not found and (want.animals or want.enclosures):
        heads: dict[Group, list] = {}
        for key, count in nursery.heads():
            if want.key_fits(key, nursery.ledger):
                heads.setdefault(group_of(key), []).append((key, count))
        if heads:
            parties = tuple(Party(group, tuple(those), SICK, None) for group, those in sorted(heads.items()))
            found.append(Case(UNKNOWN, (), parties, ()))
    return sorted(found, key=lambda case: (not case.sick, -len(case.exposed)))


def _meant(group: Group, want: Wanted, nursery) -> bool:
    return (
        want.cohort_fits(group.cohort, nursery.ledger)
        and want.mark in ("", group.mark)
        and (not want.enclosures or group.enclosure in want.enclosures)
    )


def _case_meant(case, want: Wanted, nursery) -> bool:
    if want.enclosures and case.enclosure not in want.enclosures:
        return False
    if not case.cohort:
        return not want.animals
    return want.cohort_fits(case.cohort, nursery.ledger) and want.mark in ("", case.mark)


def _still_sick(one: Outbreak, sick) -> bool:
    return any(party.group.enclosure == one.place for party in sick)


def _sick(nursery, recent, kind: str, want: Wanted) -> list[Party]:
    """Animals on which a sign was seen lately and that are still with the others: as many as were seen, less those that died of it or
    were set apart since. Where their whole group was moved, they went along."""
    seen: dict[Group, int] = {}
    when: dict[Group, datetime] = {}
    stages: dict[Group, str] = {}
    for one in recent:
        for case in one.cases if one.kind == kind else ():
            if not case.cohort or (want.animals or want.enclosures) and not _case_meant(case, want, nursery):
                continue
            group = Group(case.cohort, case.mark, case.enclosure)
            if case.event.what == "died":
                seen[group] = seen.get(group, 0) - case.count
            elif case.last >= nursery.now - SIGN_RECENT:
                seen[group] = seen.get(group, 0) + (case.event.count or 1)
                stages[group] = case.stage
                when[group] = min(case.first, when.get(group, case.first))
    found = []
    for group, left in seen.items():
        if left > 0 and group in when:
            found += _still_there(nursery, group, left, when[group], stages[group])
    return found


def _still_there(nursery, group: Group, left: int, since: datetime, stage: str) -> list[Party]:
    for move in trace(nursery.ledger, since)[1]:
        if move.source == group and move.latest >= since:
            if move.count <= left:
                left -= move.count
            else:
                group = move.target
    taken, those = left, []
    for key, count in _heads(nursery, group, stage):
        if taken > 0:
            those.append((key, min(count, taken)))
            taken -= count
    return [Party(group, tuple(those), SICK, None)] if those else []


def _heads(nursery, group: Group, stage: str) -> list:
    heads = [
        (key, count) for key, count in nursery.heads(cohort=group.cohort, enclosure=group.enclosure) if key.mark == group.mark
    ]
    return [pair for pair in heads if pair[0].stage == stage] or ([] if stage else heads)


def _by_risk(party: Party) -> list[Party]:
    """For a parasitoid: those that may carry it, and those of the same group that are too young for it yet; adults are through it."""
    outbreak = party.row.outbreak
    if outbreak.kind not in PARASITOIDS:
        return [party]
    stages = attacked(outbreak)
    heads = [pair for pair in party.heads if pair[0].stage != "adult"]
    met = tuple(pair for pair in heads if past(pair[0].stage, stages))
    young = tuple(pair for pair in heads if not past(pair[0].stage, stages))
    return [party._replace(heads=met), party._replace(heads=young, grade="possible")]


def _party(nursery, row: Row, sick: int) -> Party:
    """The animals of a contact, without those that show it themselves."""
    heads, left = [], sick
    stages = {stage for stage, _ in row.living}
    for key, count in _heads(nursery, row.contact.group, ""):
        if key.stage not in stages:
            continue
        taken = min(count, left)
        left -= taken
        if count > taken:
            heads.append((key, count - taken))
    return Party(row.contact.group, tuple(heads), row.contact.grade, row)
