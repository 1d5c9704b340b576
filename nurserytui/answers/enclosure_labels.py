"""Labels for enclosures, as text: who is in it, how many, since when, on what plant, and what to watch for."""

from __future__ import annotations

import textwrap
from datetime import date

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.selection import join, wanted
from nurserytui.answers.tasks.health import TROUBLE
from nurserytui.answers.tasks.living import by_place, together
from nurserytui.answers.watches import open_watches
from nurserytui.answers.wording import OWN_RECORDS, counted, listed, stage_count

TOPIC = "headcount"
WIDTH = 32
"""Characters of a line."""
SHOWN = 12
"""Labels that the text has; `items` has them all."""


def enclosure_labels(request, nursery) -> Answer:
    """A label an enclosure, those named or all that are occupied, each line at most `WIDTH` characters."""
    want = wanted(request, nursery)
    places = [
        place
        for place, cohorts in by_place(nursery).items()
        if (not want.enclosures or place in want.enclosures)
        and (not want.animals or any(want.cohort_fits(cohort, nursery.ledger) for cohort in cohorts))
    ]
    homeless = [place for place in places if not place]
    places = sorted(place for place in places if place)
    if not places:
        return _none(request, nursery, want, homeless)
    labels = {place: label_of(nursery, place) for place in places}
    shown = list(labels.items())[:SHOWN]
    lacking = _lacking(nursery, places, homeless)
    lines = [f"{counted(len(labels), 'label')}, {WIDTH} characters wide:", *("\n" + "\n".join(text) for _, text in shown)]
    if len(labels) > SHOWN:
        lines.append(f"\nAnd {len(labels) - SHOWN} more: ask for the label of one, as in “label for {places[SHOWN]}”.")
    if lacking:
        lines.append("\nNot in the records: " + "; ".join(lacking) + ".")
    heads = sum(sum(together(by_place(nursery)[place]).values()) for place in places)
    return Answer(
        "answered",
        TOPIC,
        join(*lines),
        about={"enclosure": places[0]} if len(places) == 1 else {},
        values={"count": Value(heads, "animals"), "labels": Value(len(labels), "labels")},
        items=tuple(
            {
                "name": place,
                "label": "\n".join(text),
                "enclosure": place,
                "count": sum(together(by_place(nursery)[place]).values()),
            }
            for place, text in labels.items()
        ),
        working=(
            f"{counted(len(labels), 'occupied enclosure')} with {counted(heads, 'animal')} by the records of {nursery.now:%Y-%m-%d}.",
        ),
        sources=(OWN_RECORDS,),
        next=("what needs doing today", "handover sheet until Sunday", f"what is in {places[0]}"),
    )


def label_of(nursery, place: str) -> list[str]:
    """The lines of one label: enclosure, then each cohort with its species, count by stage, start and plant, then the watch."""
    lines = [place.upper()]
    for cohort, stages in by_place(nursery)[place].items():
        known = nursery.ledger.cohorts[cohort]
        estimate = "~" if known.estimate else ""
        common = nursery.knowledge.common(known.species) if known.species not in ("", "unknown") else "species unknown"
        lines.append(f"{cohort}: {common or known.species}")
        if common and known.species not in ("", "unknown", common):
            lines.append(f"  {known.species}")
        lines.append("  " + listed(f"{estimate}{stage_count(count, stage)}" for stage, count in stages.items()))
        since = since_in(nursery, cohort, place)
        lines.append(f"  {known.origin} {known.first_when[:10]}")
        if since and since.isoformat() > known.first_when[:10]:
            lines.append(f"  here since {since.isoformat()}")
        host = nursery.knowledge.common(known.host) or known.host if known.host else ""
        lines.append(f"  on {host}" if host else "  plant: ____________")
    whose: dict[str, dict[str, None]] = {}
    for row in open_watches(nursery):
        if row.contact.group.enclosure == place:
            until = f" until {row.contact.watch_until:%Y-%m-%d}" if row.contact.watch_until else ""
            watch = f"! WATCH {TROUBLE.get(row.outbreak.kind, row.outbreak.kind)}{until}"
            whose.setdefault(watch, {})[row.contact.group.cohort] = None
    alone = len(by_place(nursery)[place]) == 1
    watches = [watch if alone else f"{watch} ({', '.join(names)})" for watch, names in whose.items()]
    return [part for line in (*lines, *watches) for part in wrapped(line)]


def wrapped(line: str) -> list[str]:
    """The line in pieces of at most `WIDTH` characters, the later ones set in."""
    indent = " " * (len(line) - len(line.lstrip()) + 2)
    return textwrap.wrap(line, WIDTH, subsequent_indent=indent, drop_whitespace=True) or [""]


def since_in(nursery, cohort: str, place: str) -> date | None:
    """Since when animals of the cohort have stood in the enclosure without a break, in whatever stage."""
    from nurserytui.answers.stays import of_cohort

    here = [stay for stay in of_cohort(nursery.ledger, cohort) if stay.group.enclosure == place]
    since = min((stay.start for stay in here if stay.end is None), default=None)
    for stay in sorted(here, key=lambda one: one.start, reverse=True):
        if since is not None and stay.start < since and stay.end is not None and stay.end >= since:
            since = stay.start
    return since.date() if since else None


def _lacking(nursery, places: list[str], homeless: list[str]) -> list[str]:
    inside = {cohort for place in places for cohort in by_place(nursery)[place]}
    cohorts = nursery.ledger.cohorts
    unhosted = sorted(cohort for cohort in inside if not cohorts[cohort].host)
    strange = sorted(cohort for cohort in inside if cohorts[cohort].species in ("", "unknown"))
    found = []
    if unhosted:
        found.append(f"the plant of {listed(unhosted)}")
    if strange:
        found.append(f"the species of {listed(strange)}")
    if homeless:
        found.append(f"the enclosure of {listed(by_place(nursery)[''])}")
    return found


def _none(request, nursery, want, homeless: list[str]) -> Answer:
    if homeless:
        whose = listed(by_place(nursery)[""])
        text = f"No label: no enclosure is recorded for {whose}. Say where they are, for example “moved {next(iter(by_place(nursery)['']))} to tub 1”."
    else:
        where = f" in {listed(want.enclosures)}" if want.enclosures else ""
        text = f"No label: nobody is{where or ' in any enclosure'} by the records."
    return Answer(
        "answered",
        TOPIC,
        text,
        about={"enclosure": want.enclosures[0]} if len(want.enclosures) == 1 else {},
        values={"count": Value(0, "animals"), "labels": Value(0, "labels")},
        working=("No living animal of the records stands there.",),
        sources=(OWN_RECORDS,),
        next=("which enclosures are empty", "what do I have"),
    )
