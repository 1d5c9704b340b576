"""Records as keepers write them, drawn by chance: broods that live through several seasons, looked at, fed, moved, lost and released.

`random_events` writes them day by day, with a plain count of every brood beside it, so that nothing is told that cannot have
happened. The same seed gives the same records. No part of the program is asked but for the shape of an event.
"""

from __future__ import annotations

from datetime import date, timedelta
from random import Random

from hypothesis import strategies as st

from nurserytui.records.events import Event

KINDS = (
    ("Papilio polyxenes", "Foeniculum vulgare", "fennel"),
    ("Danaus plexippus", "Asclepias syriaca", "milkweed"),
    ("Vanessa atalanta", "Urtica dioica", "nettle"),
    ("Pieris rapae", "Brassica oleracea", "cabbage"),
    ("Vanessa cardui", "Cirsium vulgare", "thistle"),
    ("Limenitis archippus", "Salix nigra", "willow"),
)
"""Species, host, and the word that its cohorts are labelled by."""
STAYS = {"egg": (4, 6), "1": (2, 4), "2": (2, 3), "3": (2, 3), "4": (2, 4), "5": (4, 6), "prepupa": (1, 2), "pupa": (9, 13), "adult": (1, 2)}  # fmt: skip
"""Days in an instar or stage: none goes on before the first, all that can have gone on after the second."""
SPREAD, SHORTEST = 40, 18
"""Days of the season over which broods begin; days in which no brood is all gone by itself."""
BEGIN, CUT, WAKE = (5, 10), (7, 5), (4, 20)
"""When broods begin, when the last season is cut off, and when what rested comes out (month, day)."""
LOSSES = ("infertile", "drowned", "spider", "dried up", "crushed", "")
TROUBLE = (
    ("larva", "limp and hanging head down, black fluid", "virus"),
    ("larva", "white strings hanging from the body", "tachinid fly"),
    ("pupa", "small round holes in the case", "Pteromalus puparum"),
    ("larva", "watery droppings", "bacteria"),
)
"""Stage, sign and cause of death of what spreads."""
Group = tuple[str, str, int | None, str]
"""(mark, stage, instar, enclosure)"""


class Brood:
    """One cohort as the keeper counts it: how many stand in each group, and since which day none of a group has gone on."""

    def __init__(self, label: str, species: str, host: str, rests: bool) -> None:
        self.label, self.species, self.host, self.rests = label, species, host, rests
        self.groups: dict[Group, int] = {}
        self.since: dict[tuple[str, int | None], date] = {}
        self.missing: dict[Group, int] = {}
        self.trouble: tuple[str, str, str] | None = None
        self.marks = 0

    def add(self, group: Group, count: int, day: date) -> None:
        left = self.groups.get(group, 0) + count
        assert left >= 0, (self.label, group, left)
        if left:
            self.groups[group] = left
        else:
            del self.groups[group]
        if count > 0:
            self.since[group[1:3]] = max(day, self.since.get(group[1:3], day)) if self._any(group) else day

    def _any(self, group: Group) -> bool:
        return any(one[1:3] == group[1:3] and one != group for one in self.groups)

    def places(self) -> list[str]:
        return sorted({group[3] for group in self.groups})


class Diary:
    """Writes events one after the other, with a clock that only goes forward within a day."""

    def __init__(self, rng: Random, seasons: int, cohorts: int, looks: float, animals: tuple[int, int], first_year: int) -> None:
        self.rng, self.looks, self.animals = rng, looks, animals
        self.years, self.cohorts = range(first_year, first_year + seasons), cohorts
        self.events: list[Event] = []
        self.broods: list[Brood] = []
        self.last_fed: dict[str, date] = {}
        self.day = date(first_year, 1, 1)
        self.minute = 0
        self.joining = True
        self.timed = 0.4
        """The share of events that are told with their time."""
        size = max(3, cohorts * 2 // 3)
        self.jars = [f"jar {number}" for number in range(1, size + 1)]
        self.cages = [f"{('cage', 'tub', 'tent')[number % 3]} {number // 3 + 1}" for number in range(size)]

    def chance(self, share: float) -> bool:
        return self.rng.random() < share

    def tell(self, what: str, **parts) -> Event:
        when = self.day.isoformat()
        if self.chance(self.timed):
            self.minute = min(self.minute + self.rng.randrange(1, 20), 23 * 60 + 59)
            when += f"T{self.minute // 60:02}:{self.minute % 60:02}"
        event = Event(when, what, id=f"e{len(self.events)}", **parts)
        self.events.append(event)
        return event

    # The seasons -------------------------------------------------------------------------------------------------------

    def write(self) -> list[Event]:
        self.day = date(self.years[0], 4, 1)
        self._settings()
        for year in self.years:
            self._season(year, last=year == self.years[-1])
        return self.events

    def _settings(self) -> None:
        for detail in ("timezone=UTC", "units=C", "latitude=41.5", "place=North orchard", "season-start=1"):
            self.tell("setting", detail=detail)
        for place in self.cages[::2]:
            self.tell("setting", detail=f"volume={self.rng.choice((6, 20, 40))} L", enclosure=place)
        for place in self.cages[:2]:
            self.tell("setting", detail="air=shed", enclosure=place)

    def _season(self, year: int, last: bool) -> None:
        end = date(year, *CUT) if last else date(year + 1, 3, 31)
        begin, spread = (end - timedelta(days=SHORTEST), SHORTEST) if last else (date(year, *BEGIN), SPREAD)
        starts = sorted(begin + timedelta(days=self.rng.randrange(spread)) for _ in range(self.cohorts))
        self.joining = not last
        day, at = date(year, 4, 1), 0
        while day <= end:
            quiet = at >= len(starts) and all(brood.rests for brood in self.broods)
            self.day, self.minute = day, 7 * 60
            while at < len(starts) and starts[at] == day:
                self._begin(year, at)
                at += 1
            self._live()
            day += timedelta(days=30 if quiet and not date(year, *WAKE) <= day < date(year, 6, 20) else 1)

    def _begin(self, year: int, number: int) -> None:
        species, host, word = self.rng.choice(KINDS)
        label = f"{word}-{year % 100}{_letters(number)}"
        brood = Brood(label, species, host, rests=self.chance(0.08))
        count, place = self.rng.randint(*self.animals), self.rng.choice(self.jars)
        rough, way = self.chance(0.1), self.rng.random()
        told = {"cohort": label, "species": species, "host": host, "enclosure": place}
        if way < 0.45:
            self.tell("laid", stage="egg", count=count, estimate=rough, **told)
            brood.add(("", "egg", None, place), count, self.day)
        elif way < 0.7:
            self.tell("found", stage="egg", count=count, estimate=rough, **told)
            brood.add(("", "egg", None, place), count, self.day)
        elif way < 0.93:
            instar = self.rng.randint(1, 4)
            self.tell("found", stage="larva", instar=instar, count=count, **told)
            brood.add(("", "larva", instar, place), count, self.day)
        else:
            for _ in range(min(count, 6)):
                brood.marks += 1
                self.tell("found", mark=str(brood.marks), stage="larva", instar=4, count=1, **told)
                brood.add((str(brood.marks), "larva", 4, place), 1, self.day)
        if self.chance(0.15):
            brood.trouble = self.rng.choice(TROUBLE)
        self.broods.append(brood)

    # A day -------------------------------------------------------------------------------------------------------------

    def _live(self) -> None:
        for brood in list(self.broods):
            self._grow(brood)
            if brood.groups and not self._resting(brood):
                self._lose(brood)
                self._look(brood)
                if brood.groups:
                    self._shift(brood)
            elif brood.groups and self.chance(0.5):
                self.tell("checked", cohort=brood.label)
        self.broods = [brood for brood in self.broods if brood.groups]
        self._care()

    def _resting(self, brood: Brood) -> bool:
        return brood.rests and all(group[1] == "pupa" for group in brood.groups)

    def _grow(self, brood: Brood) -> None:
        """Every group that is old enough, the oldest first: some of it goes on, all of it on its last day."""
        for group in sorted(
            brood.groups, key=lambda one: ("egg", "larva", "prepupa", "pupa", "adult").index(one[1]), reverse=True
        ):
            mark, stage, instar, place = group
            count, since = brood.groups[group], brood.since[stage, instar]
            first, last = STAYS[str(instar or "5") if stage == "larva" else stage]
            days = (self.day - since).days
            if stage == "pupa" and brood.rests:
                days = last if (self.day.month, self.day.day) >= WAKE and self.day.year > since.year else 0
            if days < first:
                continue
            going = count if days >= last else sum(self.chance(0.45) for _ in range(count))
            if going:
                self._go_on(brood, group, going, whole=going == count)

    def _go_on(self, brood: Brood, group: Group, count: int, whole: bool) -> None:
        mark, stage, instar, place = group
        told = {"cohort": brood.label, "enclosure": place, "mark": mark, "count": count}
        ready = ("prepupa", "larva") if stage == "prepupa" else (stage,)
        if whole and not mark and self.chance(0.2) and sum(one[1] in ready for one in brood.groups) == 1:
            told |= {"count": None, "enclosure": self.rng.choice(("", place))}
        target: Group
        if stage == "egg":
            self.tell("hatched", **told)
            target = (mark, "larva", 1, place)
        elif stage == "larva" and (instar or 5) < 5:
            self.tell("moulted", instar=instar + 1, **told)
            target = (mark, "larva", instar + 1, place)
        elif stage == "larva" and self.chance(0.7):
            self.tell("prepupated", **told)
            target = (mark, "prepupa", None, place)
        elif stage in ("larva", "prepupa"):
            self.tell("pupated", stage="" if stage == "prepupa" else stage, **told)
            target = (mark, "pupa", None, place)
        elif stage == "pupa":
            self.tell("emerged", **told)
            target = (mark, "adult", None, place)
        else:
            self._let_go(brood, group, count)
            return
        brood.add(group, -count, self.day)
        brood.add(target, count, self.day)

    def _let_go(self, brood: Brood, group: Group, count: int) -> None:
        mark, stage, _, place = group
        told = {"cohort": brood.label, "enclosure": place, "mark": mark, "stage": stage}
        what = self.rng.choices(("released", "given", "escaped", "died"), (85, 6, 4, 5))[0]
        if self.chance(0.2):
            self.tell("tested", cohort=brood.label, detail=self.rng.choices(("clear", "light", "heavy"), (90, 7, 3))[0])
        detail = {"released": self.rng.choice(("male", "female", "")), "died": "crumpled wings"}.get(what, "")
        self.tell(what, count=count, detail=detail, **told)
        brood.add(group, -count, self.day)

    def _lose(self, brood: Brood) -> None:
        """Deaths, now and then a sign, a stray, one that is back, a stocktake; and a slip of the pen put right."""
        for group, count in list(brood.groups.items()):
            mark, stage, instar, place = group
            if stage == "adult":
                continue
            share = 0.01
            cause = self.rng.choice(LOSSES)
            if brood.trouble and brood.trouble[0] == stage and (instar or 9) > 2:
                share, cause = 0.12, brood.trouble[2]
                if self.chance(0.15):
                    self.tell("sign", cohort=brood.label, stage=stage, enclosure=place, detail=brood.trouble[1])
            lost = sum(self.chance(share) for _ in range(count))
            if lost:
                told = {"cohort": brood.label, "mark": mark, "stage": stage, "instar": instar, "enclosure": place}
                strayed = self.chance(0.12)
                self.tell("missing" if strayed else "died", count=lost, detail="" if strayed else cause, **told)
                if self.chance(0.05):
                    self.tell("withdrawn", withdraws=self.events[-1].id)
                    continue
                brood.add(group, -lost, self.day)
                if strayed:
                    brood.missing[group] = brood.missing.get(group, 0) + lost
        self._back(brood)

    def _back(self, brood: Brood) -> None:
        for group, lost in list(brood.missing.items()):
            mark, stage, instar, place = group
            if group in brood.groups and len(brood.missing) == 1 and self.chance(0.1):
                told = {"cohort": brood.label, "mark": mark, "stage": stage, "instar": instar, "enclosure": place}
                self.tell("returned", count=lost, **told)
                brood.add(group, lost, self.day)
                del brood.missing[group]

    def _look(self, brood: Brood) -> None:
        for _ in range(int(self.looks) + self.chance(self.looks % 1) if brood.groups else 0):
            place = self.rng.choice(("", *brood.places()))
            self.tell("checked", cohort=brood.label, enclosure=place)
        if self.chance(0.01) and brood.groups:
            self.tell("counted", cohort=brood.label, count=sum(brood.groups.values()))
        if self.chance(0.02):
            self.tell("note", cohort=brood.label, note="doing well")
        if brood.groups and self.chance(0.01):
            self._backdated(brood)

    def _backdated(self, brood: Brood) -> None:
        """Care that is remembered two days later."""
        today, minute = self.day, self.minute
        self.day -= timedelta(days=2)
        self.tell(self.rng.choice(("fed", "watered")), enclosure=self.rng.choice(brood.places()), host=brood.host)
        self.day, self.minute = today, minute

    def _shift(self, brood: Brood) -> None:
        """From the jar to a cage; some of them elsewhere; some as a cohort of their own; cohorts of one kind together."""
        if self.chance(0.12):
            group = self.rng.choice(sorted(brood.groups, key=str))
            mark, stage, instar, place = group
            if stage in ("larva", "pupa", "egg"):
                count = 1 if mark else self.rng.randint(1, brood.groups[group])
                to = self.rng.choice([one for one in self.cages if one != place])
                told = {"mark": mark, "stage": stage, "instar": instar, "enclosure": place, "count": count}
                self.tell("moved", cohort=brood.label, to=to, **told)
                self._carry(brood, group, brood, (mark, stage, instar, to), count)
        elif self.chance(0.015) and len(brood.groups) > 1:
            group = self.rng.choice(sorted(brood.groups, key=str))
            mark, stage, instar, place = group
            label = f"{brood.label}{self.rng.randrange(10**6)}x"
            other = Brood(label, brood.species, brood.host, brood.rests)
            count = brood.groups[group] if mark else self.rng.randint(1, brood.groups[group])
            told = {"mark": mark, "stage": stage, "instar": instar, "enclosure": place, "count": count}
            self.tell("split", cohort=brood.label, to=label, **told)
            self._carry(brood, group, other, group, count)
            self.broods.append(other)
        elif self.joining and self.chance(0.01):
            self._join(brood)
        elif self.chance(0.003):
            label = f"{brood.label}{self.rng.randrange(10**6)}y"
            self.tell("renamed", cohort=brood.label, to=label)
            brood.label = label
        elif self.chance(0.004):
            self.tell("identified", cohort=brood.label, species=brood.species)

    def _carry(self, brood: Brood, group: Group, other: Brood, target: Group, count: int) -> None:
        since = brood.since[group[1:3]]
        brood.add(group, -count, since)
        other.add(target, count, since)
        other.marks = max(other.marks, brood.marks)

    def _join(self, brood: Brood) -> None:
        for other in self.broods:
            fits = other is not brood and other.species == brood.species and other.rests == brood.rests
            if fits and other.groups and brood.groups and not other.marks and not brood.marks and not brood.missing:
                self.tell("merged", cohort=brood.label, to=other.label)
                for group, count in list(brood.groups.items()):
                    self._carry(brood, group, other, group, count)
                return

    def _care(self) -> None:
        """Leaf and water, a cleaning now and then, the thermometer; an enclosure emptied into another one and washed."""
        eaters: dict[str, Brood] = {}
        for brood in self.broods:
            for group in brood.groups:
                if group[1] == "larva":
                    eaters[group[3]] = brood
        for place, brood in eaters.items():
            if self.chance(0.8):
                self.tell("fed", enclosure=place, host=brood.host)
            if self.chance(0.1):
                self.tell("cleaned", enclosure=place)
            if self.chance(0.05):
                self.tell("cut", host=brood.host)
                self.tell("stocked", host=brood.host, count=self.rng.randint(1, 9), detail="stems")
            if self.chance(0.15):
                self.tell("temperature", enclosure=place, detail=f"{self.rng.randint(17, 29)} C")
            if self.chance(0.02):
                self._empty(place)
        if eaters and self.chance(0.5):
            low = self.rng.randint(12, 20)
            self.tell("temperature", detail=f"{low}..{low + self.rng.randint(3, 10)} C")

    def _empty(self, place: str) -> None:
        to = self.rng.choice([one for one in self.cages if one != place])
        self.tell("moved", enclosure=place, to=to)
        for brood in self.broods:
            for group, count in list(brood.groups.items()):
                if group[3] == place:
                    self._carry(brood, group, brood, (*group[:3], to), count)
        self.tell("cleaned", enclosure=place)


def _letters(number: int) -> str:
    return (_letters(number // 26 - 1) if number >= 26 else "") + chr(97 + number % 26)


def random_events(seed: int | Random, seasons: int = 2, cohorts_per_season: int = 5, *, looks_per_day: float = 0.3,
                  animals: tuple[int, int] = (4, 30), first_year: int = 2020, timed: float = 0.4) -> list[Event]:  # fmt: skip
    """A keeper's records of whole seasons, the last one cut off early in July while all of its cohorts are alive.

    `looks_per_day` is the looks that each living cohort is given a day, beside what is told of it anyway. All events are dated up to
    the last one's day, and a share of them (`timed`) has a time of day; they have ids, and stand in the order in which they were written down.
    """
    rng = seed if isinstance(seed, Random) else Random(seed)
    diary = Diary(rng, seasons, cohorts_per_season, looks_per_day, animals, first_year)
    diary.timed = timed
    return diary.write()


def large(seed: int = 7) -> list[Event]:
    """Some 200,000 events of twenty seasons, with fifty cohorts alive at the end."""
    return random_events(seed, 20, 50, looks_per_day=LARGE_LOOKS)


LARGE_LOOKS = 2.95


@st.composite
def nurseries(draw, seasons: int = 2, cohorts: int = 4) -> list[Event]:
    """Records of up to so many seasons and cohorts a season, as a strategy."""
    rng = draw(st.randoms(use_true_random=False))
    wide = draw(st.sampled_from(((1, 3), (2, 8), (5, 14))))
    return random_events(
        rng,
        draw(st.integers(1, seasons)),
        draw(st.integers(1, cohorts)),
        looks_per_day=draw(st.sampled_from((0.0, 0.3))),
        animals=wide,
    )
