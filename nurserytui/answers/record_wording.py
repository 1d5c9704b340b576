"""Records in words: a written event read back, and a draft as the sentence that would record it."""

from __future__ import annotations

from datetime import datetime

from nurserytui.answers.wording import animals_name, counted, listed, stage_count
from nurserytui.language.draft import Draft
from nurserytui.records.events import Event

UNIT_ONE = {
    "stems": "stem",
    "leaves": "leaf",
    "pots": "pot",
    "branches": "branch",
    "bunches": "bunch",
    "handfuls": "handful",
    "bags": "bag",
    "trays": "tray",
}
CHANGED = {"hatched": "hatched", "prepupated": "hung up to pupate", "pupated": "pupated", "emerged": "emerged"}
GONE = {"died": "died", "released": "released", "escaped": "escaped", "given": "given away", "missing": "gone missing"}


def moment_words(when: str) -> str:
    """`Sun 12 July 2026, 08:00 (2026-07-12)`."""
    moment = datetime.fromisoformat(when)
    clock = f", {moment:%H:%M}" if len(when) > 10 else ""
    return f"{moment:%a} {moment.day} {moment:%B %Y}{clock} ({moment:%Y-%m-%d})"


def plant_word(scientific: str, knowledge) -> str:
    plant = knowledge.plant(scientific) if scientific else None
    return plant.common[0] if plant and plant.common else scientific


def species_word(scientific: str, knowledge) -> str:
    """The common name with the scientific one beside it, for reading back."""
    if not scientific or scientific == "unknown":
        return "unidentified"
    common = knowledge.common(scientific)
    return f"{common} ({scientific})" if common and common != scientific else scientific


def _where(place: str, word: str = "in") -> str:
    return f" {word} {place}" if place else ""


def _of(event: Event) -> str:
    """`animal 4 of cohort C`, `vine-26`."""
    return animals_name(event.cohort, event.mark)


def _heads(event: Event) -> str:
    number = f"about {event.count}" if event.estimate else f"{event.count}"
    if event.count is None:
        return _of(event)
    if event.stage:
        return f"{number} {_of(event)} {stage_count(event.count, event.stage).split(' ', 1)[1]}".replace("  ", " ")
    return f"{number} of {_of(event)}" if event.cohort else f"{number}"


def _quantity(event: Event, knowledge) -> str:
    unit = UNIT_ONE.get(event.detail, event.detail) if event.count == 1 else event.detail
    return (
        f"{event.count if event.count is not None else ''} {unit} of {plant_word(event.host, knowledge)}".strip()
        if unit
        else plant_word(event.host, knowledge)
    )


def _origin(find: Event | Draft) -> str:
    """`, place: Long Meadow, 48.5216 N, 9.0576 E, by: Anna`: in words that a line can tell it with."""
    where = f", place: {find.place}" if find.place else ""
    if find.latitude is not None and find.longitude is not None:
        north, east = (f"{abs(angle):.7f}".rstrip("0").rstrip(".") for angle in (find.latitude, find.longitude))
        where += f", {north} {'S' if find.latitude < 0 else 'N'}, {east} {'W' if find.longitude < 0 else 'E'}"
    return where + (f", by: {find.by}" if find.by else "")


def told(event: Event, knowledge) -> str:
    """What the event says, without its date: `3 of vine-26 hatched in shed tent`."""
    what, at = event.what, _where(event.enclosure)
    detail = f" ({event.detail})" if event.detail else ""
    if what in ("laid", "found"):
        number = f"about {event.count}" if event.estimate else f"{event.count}"
        instar = f", instar {event.instar}" if event.instar else ""
        animals = f"{number} {species_word(event.species, knowledge)} {stage_count(event.count or 0, event.stage).split(' ', 1)[1]}{instar}"
        host = f" on {plant_word(event.host, knowledge)}" if event.host else ""
        return (
            f"{animals} {what}{host}{', ' + event.enclosure if event.enclosure else ''}, as cohort {event.cohort}"
            + (f" (from a {event.parent} female)" if event.parent else "")
            + _origin(event)
        )
    if what in CHANGED:
        return (
            f"{event.count} of {_of(event)} {CHANGED[what]}{at}{detail}"
            if event.count is not None
            else f"{_of(event)} {CHANGED[what]}{at}{detail}"
        )
    if what == "moulted":
        return f"{_heads(event)} moulted{f' to instar {event.instar}' if event.instar else ''}{at}"
    if what == "moved":
        heads = _heads(event) if event.cohort else "everything"
        return f"{heads} moved{_where(event.enclosure, 'from')} to {event.to}"
    if what in GONE:
        return f"{_heads(event)} {GONE[what]}{at}{detail}"
    if what == "returned":
        return f"{_heads(event)} found again{at}"
    if what == "split":
        return f"{_heads(event)} split off as cohort {event.to}{at}"
    if what == "merged":
        return f"{event.cohort} merged into {event.to}"
    if what == "renamed":
        return f"{event.cohort} renamed to {event.to}"
    if what == "identified":
        return f"{event.cohort} identified as {species_word(event.species, knowledge)}"
    if what == "checked":
        return f"{_of(event) or event.enclosure} checked{at if event.cohort else ''}, nothing changed{f' ({event.note})' if event.note else ''}"
    if what == "counted":
        subject = f"{_of(event)} " if event.cohort else ""
        word = stage_count(event.count or 0, event.stage).split(" ", 1)[1] if event.stage else "animals"
        said = (
            f", the difference is {'a corrected estimate' if event.detail == 'estimate' else event.detail}"
            if event.detail
            else ""
        )
        return f"{event.count} {subject}{word} counted{at}{said}"
    if what == "sign":
        return f"sign on {_of(event) or 'the animals'}{at}: {event.detail.removeprefix(f'{_of(event)}: ')}"
    if what == "tested":
        return f"{_of(event)} tested{' ' + event.note if event.note.startswith('for ') else ''}: {event.detail}"
    if what in ("cleaned", "watered", "fed"):
        thing = event.enclosure or event.cohort or plant_word(event.host, knowledge)
        plant = plant_word(event.host, knowledge) if event.host else ""
        if what == "watered" and plant and event.enclosure:
            return f"{plant}{at} watered{detail}"
        host = f" with {plant}" if plant and thing != plant else ""
        return f"{thing} {what}{host}{detail}"
    if what == "cut":
        return f"{_quantity(event, knowledge) if event.host else 'plant'} cut{at}"
    if what == "stocked" and not event.count:
        return f"no {plant_word(event.host, knowledge)} on hand (0 {event.detail})"
    if what == "stocked":
        return f"{_quantity(event, knowledge)} on hand{f' for {event.cohort}' if event.cohort else ''}"
    if what == "temperature":
        return f"temperature {event.detail}{at or ' in the room'}"
    if what == "setting":
        name, _, value = event.detail.partition("=")
        return f"{name}{f' of {event.enclosure}' if event.enclosure else ''} set to {value}{f' ({event.note})' if event.note else ''}"
    if what == "note":
        return f"note: {event.note}"
    return what


def sentence(draft: Draft, knowledge, keep_when: bool = True) -> str:
    """The draft as a full sentence that can be sent as it is."""
    said = _sentence(draft, knowledge, keep_when)
    return f"{said}, except {listed([_left_words(left) for left in draft.left])}" if draft.left and draft.count == "all" else said


def _left_words(left) -> str:
    if left.place:
        return left.place
    if left.cohort:
        return animals_name(left.cohort, left.mark)
    return stage_count(left.count, left.stage) if left.count else f"the {stage_count(2, left.stage).split(' ', 1)[1]}"


def _sentence(draft: Draft, knowledge, keep_when: bool) -> str:
    at, when = _where(draft.enclosure), ""
    if keep_when and draft.when is not None:
        moment = draft.when.start
        when = f" on {moment:%Y-%m-%dT%H:%M}" if draft.when.exact else f" on {moment:%Y-%m-%d}"
    number = (
        (f"all but {draft.less}" if draft.less else "all")
        if draft.count == "all"
        else "both"
        if draft.count == "both"
        else ""
        if draft.count is None
        else f"{'~' if draft.estimate else ''}{draft.count}"
    )
    who = draft.cohort
    if draft.mark:
        # `C4` is heard as animal 4 of C; after a longer label a bare number would be a count, or part of the label.
        who = f"{draft.cohort}{draft.mark}" if draft.cohort.isalpha() else f"{draft.cohort} number {draft.mark}"
    species = ""
    if draft.species is not None and not draft.cohort or draft.what in ("found", "laid"):
        species = "" if draft.species is None or draft.species.name == "unknown" else draft.species.name
    stages = ""
    if draft.stage:
        stages = stage_count(1 if draft.count == 1 or (draft.count is None and draft.mark) else 2, draft.stage).split(" ", 1)[1]
    what = draft.what
    instar = f"instar {draft.instar}" if draft.instar and draft.stage and what not in ("found", "laid", "moulted") else ""
    heads = " ".join(part for part in (number, who if what not in ("found", "laid") else "", species, stages, instar) if part)
    if what in ("found", "laid"):
        host = f" on {draft.host.name}" if draft.host else ""
        label = f", cohort {draft.cohort}" if draft.cohort else ""
        unknown = ", no idea what they are" if draft.species is not None and draft.species.name == "unknown" else ""
        instar = f" instar {draft.instar}" if draft.instar else ""
        rest = _origin(draft) + (f", note: {draft.note}" if draft.note else "")
        return (
            f"found {heads}{instar}{host}{at}{label}{when}{unknown}{rest}"
            if what == "found"
            else f"{heads} laid{host}{at}{label}{when}{rest}"
        )
    verbs = {
        "hatched": "hatched", "prepupated": "hung up", "pupated": "pupated", "emerged": "emerged", "died": "died", "escaped": "escaped", "missing": "are missing",
        "moulted": f"moulted to instar {draft.instar}" if draft.instar else "moulted",
    }  # fmt: skip
    if what in verbs:
        cause = f", {draft.detail}" if what == "died" and draft.detail else ""
        verb = "is missing" if what == "missing" and draft.count == 1 else verbs[what]
        return f"{heads or '1'}{at if what != 'missing' else ''} {verb}{at if what == 'missing' else ''}{when}{cause}"
    if what == "returned":
        return f"{heads} turned up again{at}{when}"
    if what == "released":
        return f"released {heads}{at.replace(' in ', ' from ')}{when}"
    if what == "given":
        return f"gave {heads}{at.replace(' in ', ' from ')} to {draft.detail or 'someone'}{when}"
    if what == "moved":
        return f"moved {heads or 'all'}{at.replace(' in ', ' from ')}{_where(draft.to, 'to')}{when}"
    if what == "split":
        return f"split {heads}{at} off as {draft.to}{when}".replace(" as  ", " ")
    if what == "merged":
        return f"merge {draft.cohort} into {draft.to}"
    if what == "renamed":
        return f"rename {draft.cohort} to {draft.to}"
    if what == "identified":
        return f"{draft.cohort} identified as {draft.species.name if draft.species else '…'}"
    if what == "counted":
        return f"counted {heads}{at}{when}" + (f", {draft.detail}" if draft.detail else "")
    if what == "checked":
        return f"checked {who or species}{at if who or species else draft.enclosure}{when}".replace("  ", " ")
    if what == "sign":
        return f"log a sign on {heads}{at}{when}: {draft.detail}"
    if what == "tested":
        return f"tested {who}{when}: {draft.detail}".rstrip(": ")
    if what in ("cleaned", "watered", "fed"):
        thing = draft.enclosure or draft.cohort or (draft.host.name if draft.host else "")
        return f"{what} {thing}{f' with {draft.host.name}' if draft.host and what == 'fed' and thing != draft.host.name else ''}{when}"
    if what in ("cut", "stocked"):
        amount = f"{draft.count} {draft.detail} of " if draft.count is not None and draft.detail else ""
        return (
            f"cut {amount}{draft.host.name if draft.host else ''}{when}"
            if what == "cut"
            else f"stocked {amount}{draft.host.name if draft.host else ''}{f' for {draft.cohort}' if draft.cohort else ''}"
        )
    if what == "temperature":
        return f"{draft.detail}{at}{when}"
    if what == "note":
        return f"note: {draft.note}"
    return f"{what} {heads}{at}".strip()


def there_words(groups, cohorts: bool = True) -> str:
    """`15 vine-26 eggs in shed tent and 9 vine-26 larvae in shed tent`."""
    sums: dict[tuple, int] = {}
    for key, count in groups:
        spot = (f"{key.cohort}{key.mark}" if cohorts else "", key.stage, key.enclosure)
        sums[spot] = sums.get(spot, 0) + count
    return listed(
        [
            f"{count} {who} {stage_count(count, stage).split(' ', 1)[1]}".replace("  ", " ") + _where(place)
            for (who, stage, place), count in sums.items()
        ]
    )


__all__ = ["counted", "moment_words", "sentence", "species_word", "there_words", "told"]
