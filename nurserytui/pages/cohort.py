"""One cohort's page: its animals now, what is next, food, watch, kin, survival and history; without a label, the cohorts to choose from."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

from nurserytui.answers.board import board
from nurserytui.answers.fates import stage_phrase
from nurserytui.answers.wording import listed, short_day
from nurserytui.pages.cohort_sections import Section, sections, spoken

FITS = 5
"""How many near labels are named where a label is in no record."""
ASKED = {"egg": "hatches", "larva": "pupates", "prepupa": "pupates", "pupa": "emerges"}


class Listed(NamedTuple):
    """One cohort in the list."""

    label: str
    who: str
    """The common name, or the scientific one; `unknown` where nobody has named it."""
    now: str
    """`12 eggs in jar 2`; "" where none is left."""
    next: str
    """`hatch Thu 18 June`; "" where nothing is expected."""
    began: str
    """The day of its first event, as an ISO date."""


class Choice(NamedTuple):
    """The cohorts to choose from, those with animals first."""

    asked: str
    """The label that no cohort has; "" where none was said."""
    near: tuple[str, ...]
    rows: tuple[Listed, ...]
    now: datetime


class Page(NamedTuple):
    label: str
    who: str
    """`monarch (Danaus plexippus)`."""
    species: str
    """Its scientific name; "" where nobody has named it."""
    now: datetime
    sections: tuple[Section, ...]
    sentences: tuple[str, ...]
    """What can be sent about it."""
    before: str
    """The cohort before it in the list, and the one after it; itself where it is the only one."""
    after: str


def read(nursery, which: str = "") -> Page | Choice:
    """The page of the cohort of that label (or of a former one, or of a mark of it); the list where there is no such cohort, or none was said."""
    which = which.strip()
    found = nursery.ledger.animal(which) if which else None
    if found is None:
        return _choice(nursery, which)
    label = found[0]
    order = in_order(nursery)
    at = order.index(label)
    known = nursery.ledger.cohorts[label]
    return Page(
        label,
        spoken(known.species, nursery),
        "" if known.species == "unknown" else known.species,
        nursery.now,
        sections(nursery, label),
        _sentences(nursery, label),
        order[at - 1],
        order[(at + 1) % len(order)],
    )


def in_order(nursery) -> list[str]:
    """Every cohort's label: those with animals first, else as they came, the newest first among those that are gone."""
    living = {key.cohort for key, _ in nursery.heads()}
    here = [label for label in nursery.ledger.cohorts if label in living]
    return here + [label for label in reversed(nursery.ledger.cohorts) if label not in living]


def _choice(nursery, asked: str) -> Choice:
    rows = nursery.until_moved("list of cohorts", lambda: _rows(nursery))
    return Choice(asked, near(asked, [row.label for row in rows]) if asked else (), rows, nursery.now)


def near(asked: str, labels: list[str]) -> tuple[str, ...]:
    """The labels most like one that no cohort has."""
    from rapidfuzz import fuzz, process

    like = process.extract(asked[:100], labels, scorer=fuzz.ratio, processor=str.casefold, limit=FITS, score_cutoff=60)
    return tuple(label for label, _, _ in like)


def fitting(page: Choice, said: str) -> list[Listed]:
    """The rows that fit what was typed: those with that label first, then that begin with it, then that hold it anywhere, else the near ones."""
    said = said.strip().casefold()
    if not said:
        return list(page.rows)
    found = [row for row in page.rows if said in f"{row.label} {row.who} {row.now}".casefold()]
    if not found:
        like = near(said, [row.label for row in page.rows])
        return [row for row in page.rows if row.label in like]
    return sorted(found, key=lambda row: (row.label.casefold() != said, not row.label.casefold().startswith(said)))


def _rows(nursery) -> tuple[Listed, ...]:
    coming: dict[str, str] = {}
    for row in board(nursery):
        coming.setdefault(row.cohort, _coming(row))
    standing: dict[str, dict[str, dict[str, int]]] = {}
    for key, count in nursery.heads():
        stages = standing.setdefault(key.cohort, {}).setdefault(key.enclosure, {})
        stages[key.stage] = stages.get(key.stage, 0) + count
    found = []
    for label in in_order(nursery):
        known = nursery.ledger.cohorts[label]
        who = "unknown" if known.species in ("", "unknown") else nursery.knowledge.common(known.species)
        places = [f"{stage_phrase(stages)}{f' in {place}' if place else ''}" for place, stages in standing.get(label, {}).items()]
        about = "about " if known.estimate and places else ""
        found.append(Listed(label, who, about + "; ".join(places), coming.get(label, ""), known.first_when[:10]))
    return tuple(found)


def _coming(row) -> str:
    if row.median is None:
        return ""
    return f"overdue to {row.next_event}" if row.overdue else f"{row.next_event} {short_day(row.median)}"


def _sentences(nursery, label: str) -> tuple[str, ...]:
    stages = {key.stage for key, _ in nursery.heads(cohort=label)}
    found = [f"how long until {label} {verb}" for verb in dict.fromkeys(ASKED[stage] for stage in ASKED if stage in stages)]
    if stages & {"egg", "larva"}:
        found.append(f"will the food last for {label}")
    if stages:
        found.append(f"is {label} on watch")
    return (*found, f"history of {label}", f"survival of {label}")


def plain(page: Page | Choice) -> list[str]:
    """The page as text: every section with its name, one line an entry; or the list, one line a cohort."""
    return _plain_list(page) if isinstance(page, Choice) else _plain_page(page)


def _plain_list(page: Choice) -> list[str]:
    if not page.rows:
        lead = f"No cohort is called “{page.asked}”. " if page.asked else ""
        return [f"{lead}No cohorts yet: nothing has been recorded."]
    lines = []
    if page.asked:
        near_to = f" Did you mean {listed(page.near, 'or')}?" if page.near else ""
        lines.append(f"No cohort is called “{page.asked}”.{near_to} There are:")
    return [*lines, *(f"{row.label}: {row.who}; {standing_words(row)}" for row in page.rows)]


def standing_words(row: Listed) -> str:
    """What a row of the list says of where its animals stand and what is next."""
    if not row.now:
        return f"none left, begun {row.began}"
    return row.now + (f"; {row.next}" if row.next else "")


def _plain_page(page: Page) -> list[str]:
    lines = [f"{page.label}: {page.who}. {short_day(page.now)} {page.now.year}, {page.now:%H:%M}"]
    for section in page.sections:
        lines += ["", f"{section.name}: {section.gist}" if section.gist else f"{section.name}:"]
        lines += [f"  {entry.margin}: {entry.text}" if entry.margin else f"  {entry.text}" for entry in section.entries]
    return [*lines, "", "You could send:", *(f"  {sentence}" for sentence in page.sentences)]
