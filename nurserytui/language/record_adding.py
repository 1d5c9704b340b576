"""A part that the last record lacked, told by the next line: its label, place, day, cause, or what was fed (`with fennel`)."""

from __future__ import annotations

from datetime import datetime

from nurserytui.language import record_labels, record_slots
from nurserytui.language.clause import Item
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_causes import causes
from nurserytui.language.record_verbs import best_verb
from nurserytui.language.record_words import CAUSE_WORDS, SIGN_WORDS


def told(line: Line, items: list[Item], group, now: datetime) -> Draft | None:
    """What the line adds to the events of `group`; None where it says more or something else."""
    return (
        _new_label(line, items, group)
        or _place(items, group)
        or _day(items, line, group, now)
        or _cause(items, group)
        or _host(items, group)
    )


def _new_label(line: Line, items: list[Item], group) -> Draft | None:
    """`call them Z` after animals came in or were split off."""
    entered = next((event for event in group if event.what in ("laid", "found", "split")), None)
    if entered is None or len(items) > 8:
        return None
    label, _ = record_labels.label_in(items, line)
    if not label or best_verb([item for item in items if item.kind != "cohort"], weak=False):
        return None
    place = next((item.span.value for item in items if item.kind == "enclosure"), "")
    if entered.what == "split":
        return Draft(entered.what, to=label)
    return Draft(entered.what, cohort=label, enclosure="" if entered.enclosure else place)


def _place(items: list[Item], group) -> Draft | None:
    """`in tub 9` after animals came in of whom no enclosure was told."""
    entered = next((event for event in group if event.what in ("laid", "found") and not event.enclosure), None)
    places = [item for item in items if item.kind == "enclosure"]
    rest = {item.word for item in items if item.kind != "enclosure"}
    if entered is None or len(places) != 1 or not rest <= PLACING:
        return None
    return Draft(entered.what, enclosure=places[0].span.value)


def _day(items: list[Item], line: Line, group, now) -> Draft | None:
    """`last night` alone, right after a record that was written at the time of its telling."""
    periods = [item for item in items if item.kind == "period"]
    if len(periods) != 1 or any(item.word not in DATING for item in items if item.kind != "period"):
        return None
    named = record_slots.filled(Draft(group[0].what), items, line, now)
    return Draft("", when=named.when) if named.when is not None and group[0].timed and named.when.start <= now else None


def _cause(items: list[Item], group) -> Draft | None:
    """`both virus`, `it was a spider` right after deaths of which no cause was told."""
    died = next((event for event in group if event.what == "died" and not event.detail), None)
    told = any(item.word in CAUSE_WORDS - SIGN_WORDS or item.kind == "agent" for item in items)
    if died is None or not told or any(not _of_a_cause(item) for item in items):
        return None
    cause = causes(items)
    return Draft("died", detail=cause) if cause else None


def _of_a_cause(item: Item) -> bool:
    return item.kind == "agent" or (not item.span and (item.word in CAUSE_WORDS or item.word in CAUSING))


CAUSING = frozenset("it was they were both all the a an of from by that been had got its looks like i think with".split())
"""What a line may hold that only says of what."""
DATING = frozenset("on at about around in the this was it that they were both all".split())
"""What a line may hold that only says when."""
PLACING = frozenset("in into on inside the they it theyre its are is them both all now sit live living kept put".split())
"""What a line may hold that only says where those animals are."""
FEEDING = frozenset("with on it they them got was were had eating some fresh new a of the".split())
"""What a line may hold that only says what was fed, or what the animals were found on."""


def _host(items: list[Item], group) -> Draft | None:
    """`with fennel` after a feeding, `on milkweed` after animals came in, of which no plant was told."""
    lacking = next((event for event in group if event.what in ("fed", "laid", "found") and not event.host), None)
    plants = [item.span.value for item in items if item.kind == "plant"]
    rest = {item.word for item in items if item.kind != "plant"}
    if lacking is None or len(plants) != 1 or not rest <= FEEDING or not rest & {"with", "on", "got", "had", "eating"}:
        return None
    return Draft(lacking.what, host=plants[0])
