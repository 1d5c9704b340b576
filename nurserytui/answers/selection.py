"""Which animals a request means: cohorts, marks, species, stages, enclosures and the period, turned into ledger keys and postings."""

import re
from datetime import datetime, time, timedelta
from typing import NamedTuple

from nurserytui.answers.answer import Answer
from nurserytui.answers.wording import animals_name, ask, day_words, listed, species_label, stage_count, unknown
from nurserytui.records.past import heads_at

FIRST_STEPS = ("found 3 monarch eggs on milkweed in tub 1", "help")
SUGGESTED = 5


class Wanted(NamedTuple):
    """What a request narrows the records to; an empty field does not narrow."""

    cohorts: tuple[str, ...] = ()
    mark: str = ""
    marks: tuple[tuple[str, str], ...] = ()
    """(cohort, mark) of several animals; a mark of "" is the whole cohort."""
    species: tuple[str, ...] = ()
    hosts: tuple[str, ...] = ()
    stages: tuple[str, ...] = ()
    instar: int | None = None
    enclosures: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    """Cohorts, species and enclosures left out."""
    came: tuple[str, str] = ()
    """How the animals came in, `laid` or `found`, and as which stage; "" for any. Only their whole lives tell; keys do not."""

    @property
    def animals(self) -> bool:
        """True where particular animals are named, not only a stage or a place."""
        return bool(self.cohorts or self.mark or self.species or self.hosts)

    def cohort_fits(self, label: str, ledger) -> bool:
        """Whether the cohort of that label, as it is called now or was then, is one of those meant."""
        label = present_label(ledger, label)
        if self.cohorts and label not in self.cohorts:
            return False
        cohort = ledger.cohorts.get(label)
        if self.without and (label in self.without or (cohort is not None and cohort.species in self.without)):
            return False
        if self.species and (cohort is None or cohort.species not in self.species):
            return False
        return not self.hosts or (cohort is not None and host_fits(cohort.host, self.hosts))

    @property
    def marked(self) -> bool:
        """True where animals are meant by their marks, not whole cohorts."""
        return bool(self.mark or self.marks)

    def mark_fits(self, group) -> bool:
        """Whether a group (with its `cohort` and `mark`) is one of those meant by a mark; any is where none is named."""
        several = not self.marks or any((group.cohort, mark) in self.marks for mark in (group.mark, ""))
        return several and self.mark in ("", group.mark)

    def key_fits(self, key, ledger, *, place: bool = True) -> bool:
        """Whether animals standing at that ledger key are meant."""
        return (
            self.cohort_fits(key.cohort, ledger)
            and self.mark_fits(key)
            and (not self.stages or key.stage in self.stages)
            and (self.instar is None or key.instar == self.instar)
            and (not place or not self.enclosures or key.enclosure in self.enclosures)
            and key.enclosure not in self.without
        )


def wanted(request, nursery) -> Wanted:
    """The request's slots with the keeper's own animals deciding what an ambiguous name means."""
    ledger = nursery.ledger
    own, used = names_kept(ledger)
    species: list[str] = []
    for named in request.species:
        kept = [name for name in named.names if name in own]
        species.extend(named.names[:1] if named.usual and named.names[0] in own else kept or named.names[:1])
    hosts: list[str] = []
    for named in request.hosts:
        hosts.extend([name for name in named.names if any(host_fits(host, (name,)) for host in used if host)] or named.names[:1])
    return Wanted(
        cohorts=tuple(dict.fromkeys(present_label(ledger, label) for label in request.cohorts)),
        mark="" if request.marks else request.mark,
        marks=tuple((present_label(ledger, cohort), mark) for cohort, mark in request.marks),
        species=tuple(dict.fromkeys(species)),
        hosts=tuple(dict.fromkeys(hosts)),
        stages=request.stages,
        instar=request.instar,
        enclosures=request.enclosures,
        without=request.without,
    )


def names_kept(ledger) -> tuple[frozenset[str], frozenset[str]]:
    """(the species of all cohorts, the hosts of all cohorts and events); kept until the records change."""
    if "names" not in ledger.kept:
        species = frozenset(cohort.species for cohort in ledger.cohorts.values())
        hosts = frozenset(cohort.host for cohort in ledger.cohorts.values()) | frozenset(ledger.chronicle.hosts)
        ledger.kept["names"] = species, hosts
    return ledger.kept["names"]


def host_fits(host: str, asked: tuple[str, ...]) -> bool:
    """Whether a recorded host is one of those asked for; a whole genus (`Viola spp.`) stands for its species, on either side."""
    genus = host.split()[0] if host else ""
    return bool(host) and any(
        name == host or (genus == name.split()[0] and (name.endswith(" spp.") or host.endswith(" spp."))) for name in asked
    )


def present_label(ledger, label: str) -> str:
    """The label that a cohort goes by now: renamed cohorts are found under the labels they had."""
    if label in ledger.cohorts:
        return label
    return next((cohort.label for cohort in ledger.cohorts.values() if label in cohort.former_labels), label)


def trouble(request, nursery, topic: str) -> Answer | None:
    """What keeps the request from being looked up: no records yet, or a name that is not in them. None if nothing does."""
    ledger = nursery.ledger
    logged = set(nursery.logged_places()) if request.enclosures else set()
    if not ledger.cohorts and not nursery.events and not (request.enclosures and logged.issuperset(request.enclosures)):
        return unknown(
            topic,
            "There are no cohorts yet: nothing has been recorded. Write down the first animals as you would say it, "
            f"for example “{FIRST_STEPS[0]}”.",
            next=FIRST_STEPS,
        )
    strange = [label for label in request.cohorts if present_label(ledger, label) not in ledger.cohorts]
    unknown_places = [place for place in request.enclosures if place not in known_enclosures(nursery)]
    strange += [place for place in unknown_places if place not in logged]
    strange += [name for name in request.unknown_names if name not in strange]
    return _not_in_records(request, nursery, topic, strange[0]) if strange else None


def known_enclosures(nursery) -> set[str]:
    """Every enclosure that the records name, in use or not."""
    return nursery.ledger.chronicle.places() | nursery.ledger.enclosures


def _not_in_records(request, nursery, topic: str, name: str) -> Answer:
    from rapidfuzz import fuzz, process

    ledger = nursery.ledger
    cohorts = sorted({key.cohort for key, count in ledger.heads.items() if count}) or sorted(ledger.cohorts)
    places = sorted(place for place in known_enclosures(nursery) if place)
    near = [
        found for found, _, _ in process.extract(name, [*cohorts, *places], scorer=fuzz.ratio, limit=SUGGESTED, score_cutoff=30)
    ]
    near = near or [*cohorts, *places][:SUGGESTED]
    pattern = re.compile(re.escape(name), re.IGNORECASE)
    options = [pattern.sub(lambda _, choice=choice: choice, request.text, count=1) for choice in near]
    if not pattern.search(request.text):
        options = [f"how many are there of {choice}" if choice in cohorts else f"what is in {choice}" for choice in near]
    said = [f"“{name}” is not in the records: no cohort, mark or enclosure has that name."]
    if cohorts:
        said.append(f"Cohorts with animals now: {listed(cohorts)}.")
    if places:
        said.append(f"Enclosures: {listed(places)}.")
    return ask(topic, "\n".join(said), options)


# Time ---------------------------------------------------------------------------------------------------------------------


def span_of(event) -> tuple[datetime, datetime]:
    """When an event happened: a clock time is that moment, a date alone is some time that day."""
    when = datetime.fromisoformat(event.when)
    return (when, when) if event.timed else (when, datetime.combine(when.date(), time(23, 59, 59)))


def within(event, period) -> bool:
    """Whether an event may fall in the period; whole days count as whole days."""
    if period is None:
        return True
    first, last = span_of(event)
    if period.exact:
        return first <= period.end and last >= period.start
    return period.start.date() <= first.date() <= last_day(period)


def last_day(period):
    """The last day of a period; an end at midnight belongs to the day before, unless it is where the period starts."""
    end = period.end
    if end.time() == time(0) and end > period.start:
        end -= timedelta(seconds=1)
    return end.date()


def past_moment(period, now: datetime) -> datetime | None:
    """The end of a period that is over, for questions about how things stood then; None for now."""
    if period is None or period.end >= now:
        return None
    end = period.end if period.exact else datetime.combine(last_day(period), time(23, 59, 59))
    return end if end < now else None


def years_said(plain: str, now: datetime) -> tuple[int, ...]:
    """The years that a line names, in its order: `2024`, `this year`, `last season`; never one that is part of a label."""
    found = []
    for match in re.finditer(
        r"(?<![\w-])((?:19|20)\d\d)(?![\w-])|\b(this|last)\b(?= (?:year|season|summer)\b|(?= or| and| vs))", plain
    ):
        found.append(int(match[1]) if match[1] else now.year - (match[2] == "last"))
    if len(found) == 1 and (other := re.search(r"\b(?:than|or|and|to|with|vs|against) (?:the )?(this|last)(?: one\b|$)", plain)):
        found.append(now.year - (other[1] == "last"))
    return tuple(dict.fromkeys(found))


def seasons_said(plain: str, nursery) -> tuple[int, ...]:
    """The same for seasons, which are called by the year in which they start: before its month `this season` is that of last year."""
    now = nursery.now
    early = now.month < (nursery.settings.season_start or 1)
    return years_said(plain, now.replace(year=now.year - early, day=1) if early else now)


def is_whole_year(period, now: datetime) -> bool:
    """Whether a period is a calendar year, or the part of this one that has passed."""
    if period is None or (period.start.month, period.start.day) != (1, 1):
        return False
    last = last_day(period)
    return last.year == period.start.year and ((last.month, last.day) == (12, 31) or last >= now.date())


def period_words(request, now: datetime) -> str:
    """The period that a line asks about, as the end of a phrase: ` in 2030`, ` from … to …`; "" where it names none."""
    period = request.period
    if period is None:
        return ""
    if is_whole_year(period, now):
        return f" in {period.start.year}"
    return f" from {day_words(period.start, now)} to {day_words(str(last_day(period)), now)}"


def season_of(cohort, start_month: int) -> int:
    """The season of a cohort: the year of its first event, counted from the season's first month."""
    first = datetime.fromisoformat(str(cohort.first_when)[:10])
    return first.year - (first.month < start_month)


def of_season(nursery) -> dict[int, tuple[str, ...]]:
    """Season -> the cohorts that began in it, in their order; kept until the records change."""
    ledger, start = nursery.ledger, nursery.settings.season_start or 1
    name = f"seasons from month {start}"
    if name not in ledger.kept:
        found: dict[int, list[str]] = {}
        for label, cohort in ledger.cohorts.items():
            found.setdefault(season_of(cohort, start), []).append(label)
        ledger.kept[name] = {season: tuple(found[season]) for season in sorted(found)}
    return ledger.kept[name]


# Keys and postings --------------------------------------------------------------------------------------------------------


def standing(nursery, want: Wanted, moment: datetime | None = None) -> list[tuple]:
    """`[(Key, count)]` of the living animals meant, now or as they stood at a past moment, in a steady order."""
    ledger = nursery.ledger
    heads = ledger.heads if moment is None else heads_at(ledger, moment)
    found = [(key, count) for key, count in heads.items() if count and want.key_fits(key, ledger)]
    return sorted(
        found, key=lambda pair: (pair[0].cohort, pair[0].mark, pair[0].enclosure, STAGE_ORDER[pair[0].stage], pair[0].instar or 0)
    )


STAGE_ORDER = {"egg": 0, "larva": 1, "prepupa": 2, "pupa": 3, "adult": 4, "": 5}


def postings_of(nursery, want: Wanted, period=None) -> list:
    """The postings by which animals meant entered, changed, moved or left in the period, in ledger order."""
    ledger = nursery.ledger
    return [
        posting
        for posting in of_cohorts(ledger, want.cohorts)
        if within(posting.event, period)
        and any(key is not None and want.key_fits(key, ledger) for key in (posting.source, posting.target))
    ]


def of_cohorts(ledger, labels: tuple[str, ...]) -> list:
    """The postings that touch those cohorts, in ledger order; all of them without labels."""
    if not labels:
        return ledger.postings
    return ledger.chronicle.postings(ledger.chronicle.positions(labels))


def standing_words(found) -> str:
    """`6 larvae in crate 1 and 1 pupa in jar 4`: heads of one stage in one place as one number, whatever their instars."""
    heads: dict[tuple[str, str], int] = {}
    for key, count in found:
        heads[key.stage, key.enclosure] = heads.get((key.stage, key.enclosure), 0) + count
    return listed(f"{stage_count(count, stage)}{f' in {place}' if place else ''}" for (stage, place), count in heads.items())


def elsewhere(nursery, want: Wanted) -> str:
    """`B is not in tall cage: there are 12 eggs in jar 2`, where animals are named with an enclosure that holds none of them; "" else."""
    if not (want.enclosures and (want.cohorts or want.species)):
        return ""
    all_stages = want._replace(stages=(), instar=None)
    there = standing(nursery, all_stages._replace(enclosures=()))
    if not there or standing(nursery, all_stages):
        return ""
    who = listed(want.cohorts or [species_label(name, nursery.knowledge) for name in want.species])
    are = "is" if sum(count for _, count in there) == 1 else "are"
    verb = "is" if len(want.cohorts or want.species) == 1 else "are"
    return f"{who} {verb} not in {listed(want.enclosures, 'or')}: there {are} {standing_words(there)}."


SHOWN = 25
"""Lines that a list in a text is cut to; `items` always has them all."""


def shortened(lines: list[str], shown: int = SHOWN) -> list[str]:
    """The first lines of a long list, and how many more there are."""
    return lines if len(lines) <= shown + 1 else [*lines[:shown], f"… and {len(lines) - shown} more."]


def join(*pieces: str) -> str:
    """The lines of a text, empty ones left out."""
    return "\n".join(piece for piece in pieces if piece)


def names_of(want: Wanted) -> str:
    """Several animals named by their marks: `C4 and C5`; "" for any others."""
    return listed(animals_name(cohort, mark) for cohort, mark in want.marks)


def whose_words(nursery, want: Wanted) -> str:
    names = list(want.cohorts) or [species_label(name, nursery.knowledge) for name in want.species] or list(want.hosts)
    words = names_of(want) or animals_name(listed(names), want.mark)
    if want.came:
        words = f"{came_words(want.came)} of {words}" if words else came_words(want.came)
    return words or "the whole nursery"


def came_words(came: tuple[str, str]) -> str:
    """`animals found as larvae`"""
    how, stage = came
    plural = stage_count(2, stage)[2:] if stage else ""
    words = {"laid": "animals laid here", "found": f"animals found{f' as {plural}' if plural else ''}"}
    return words.get(how, f"animals that came in as {plural}")


def about_words(nursery, want: Wanted, stage: str) -> dict:
    about: dict = {}
    if len(want.cohorts) == 1:
        about["cohort"] = want.cohorts[0]
        cohort = nursery.ledger.cohorts.get(want.cohorts[0])
        if cohort:
            about["species"] = cohort.species
    if len(want.species) == 1:
        about["species"] = want.species[0]
    if len(want.enclosures) == 1:
        about["enclosure"] = want.enclosures[0]
    if want.mark:
        about["mark"] = want.mark
    if stage:
        about["stage"] = stage
    return about
