"""Who a parasitoid may have stung: back from its coming out to when its host was struck, and on from there until the air was clear."""

from datetime import datetime, timedelta
from typing import NamedTuple

from nurserytui.answers.cases import Outbreak
from nurserytui.answers.contacts import Contact, Found
from nurserytui.answers.stays import Stay, cleared, of_cohort, trace
from nurserytui.answers.warmth import warmth
from nurserytui.biology.rate import RateCurve

MARGIN = 0.2
"""Relative spread put on a parasitoid's development (working rule: exits of one host alone spread over some days)."""
UNSEEN = timedelta(days=1)
"""Wasps may have been out this long before they were seen."""
LIKELY_PUPA = timedelta(hours=24)
POSSIBLE_PUPA = timedelta(hours=72)
"""Age of a pupa to which a pupal wasp's sting is likely, and possible (working rule of the trade: no hour-by-hour trial is published)."""
HANGING = timedelta(days=1)
"""How long before pupation a larva hangs, where that was not recorded."""
DAYS = {"wasp": (12.0, 28.0), "fly": (10.0, 24.0)}
"""Sting to exit where the knowledge base has no number (common practice, kept wide)."""
LOOSE = timedelta(days=31)
"""How long adult parasitoids may be about after they came out: a month or more if fed (working rule of the trade: one month)."""
PUPARIUM = timedelta(days=10)
"""A fly leaves its puparium no sooner than this (common practice)."""
LONGEST = timedelta(days=120)
"""A trace goes no further back than this: what sits out a winter cannot be traced by warmth."""
INSTANT = timedelta(seconds=1)
"""A day's last moment is that day's, not the midnight after it."""
ATTACKS = {"egg": ("egg",), "larva": ("larva",), "prepupa": ("prepupa", "pupa"), "pupa": ("prepupa", "pupa")}


class Open(NamedTuple):
    """A time in which a group could be stung."""

    first: datetime
    last: datetime
    grade: str
    words: str


def attacked(outbreak: Outbreak) -> tuple[str, ...]:
    """The stages that this parasitoid attacks: by the knowledge base, else by the stage of the animal it came out of."""
    agent = outbreak.agent
    if agent is not None and agent.attacks:
        return agent.attacks
    if outbreak.kind == "fly":
        return ("larva",)
    stage = next((case.stage for case in outbreak.cases if case.stage), "pupa")
    return ATTACKS.get(stage, ("larva", "prepupa", "pupa"))


def exit_after(nursery, outbreak: Outbreak, place: str, start: datetime, *, late: bool = True) -> datetime | None:
    """When a parasitoid that stung at `start` comes out at the latest (or earliest) by the temperatures of `place`.

    None where the agent is known and nobody has published how long it stays inside (some wait for the next spring).
    """
    agent = outbreak.agent
    if agent is not None and agent.base is not None and agent.degree_days:
        curve = RateCurve.from_degree_days(agent.base, agent.degree_days)
        found = warmth(nursery, place, start).timeline.when(curve, start, 1 + MARGIN if late else 1 - MARGIN)
        if found is not None:
            return found
    if agent is not None and not agent.days_high and not agent.watch_days:
        return None
    return start + timedelta(days=_days(outbreak)[1 if late else 0])


def _days(outbreak: Outbreak) -> tuple[float, float]:
    agent = outbreak.agent
    if agent is not None and agent.days_high:
        return agent.days_low or agent.days_high * (1 - MARGIN), agent.days_high
    low, high = DAYS[outbreak.kind]
    return low, agent.watch_days if agent is not None and agent.watch_days else high


def sting_window(nursery, outbreak: Outbreak) -> tuple[datetime, datetime]:
    """When the hosts found so far were stung: back from the exit, and within the time in which they could be where that is recorded."""
    exit_first, exit_last = outbreak.first - UNSEEN, outbreak.last
    agent = outbreak.agent
    if agent is not None and agent.base is not None and agent.degree_days:
        first, last = _back(nursery, outbreak, exit_first, 1 + MARGIN), _back(nursery, outbreak, exit_last, 1 - MARGIN)
    else:
        low, high = _days(outbreak)
        first, last = exit_first - timedelta(days=high), exit_last - timedelta(days=low)
    own = [span for case in outbreak.cases if case.cohort for span in _open_times(nursery, outbreak, case.cohort, case.mark)]
    if own:
        begin, end = min(span.first for span in own), max(span.last for span in own)
        if begin <= last and end >= first:
            return max(first, begin), min(last, end)
        if end < first:
            return begin, end
    return first, last


def _back(nursery, outbreak: Outbreak, end: datetime, fraction: float) -> datetime:
    """The start from which `fraction` of the parasitoid's development is done at `end`, no longer before it than `LONGEST`."""
    curve = RateCurve.from_degree_days(outbreak.agent.base, outbreak.agent.degree_days)
    earliest = end - LONGEST
    found = warmth(nursery, outbreak.place, earliest).timeline.before(curve, end, fraction)
    return max(found, earliest) if found is not None else earliest


def _open_times(nursery, outbreak: Outbreak, cohort: str, mark: str) -> list[Open]:
    """When animals of a cohort were in a stage that is stung, wherever they stood."""
    stages = attacked(outbreak)
    spans = []
    for stay in of_cohort(nursery.ledger, cohort):
        if (not mark or stay.group.mark == mark) and stay.stage in stages and stay.stage != "pupa":
            spans.append(Open(stay.start, stay.end or nursery.now, "likely", stay.stage))
    if "pupa" in stages:
        spans += _fresh(nursery, cohort, mark)
    return spans


def _fresh(nursery, cohort: str, mark: str) -> list[Open]:
    """From hanging until a pupa is hard, for each pupation of a cohort."""
    spans = []
    for entry in nursery.ledger.entries(cohort, "pupa"):
        if mark and entry.mark != mark:
            continue
        if entry.how == "found":
            spans.append(Open(entry.earliest, entry.latest + POSSIBLE_PUPA, "possible", "pupa of unknown age"))
            continue
        latest = min(entry.latest, nursery.now)
        spans.append(
            Open(
                entry.earliest - HANGING,
                latest + LIKELY_PUPA,
                "likely",
                f"hanging or fresh pupa, pupated by {latest - INSTANT:%Y-%m-%d}",
            )
        )
        spans.append(
            Open(
                latest + LIKELY_PUPA,
                latest + POSSIBLE_PUPA,
                "possible",
                f"pupa up to three days old, pupated by {latest - INSTANT:%Y-%m-%d}",
            )
        )
    return spans


def stung(nursery, outbreak: Outbreak) -> Found:
    """Contacts of a parasitoid: who could be stung when the first hosts were, and who since it came out."""
    now = nursery.now
    stays, moves = trace(nursery.ledger)
    air = _same_air(nursery, outbreak.place)
    found = Found()
    back = sting_window(nursery, outbreak)
    _meet(nursery, outbreak, stays, air, back, found, "when the first hosts were stung")
    loose_from = outbreak.first - UNSEEN if outbreak.kind == "wasp" else outbreak.last + PUPARIUM
    loose_until = min(cleared(nursery, outbreak.place, outbreak.last) or now, max(loose_from, outbreak.last) + LOOSE, now)
    if loose_from <= loose_until:
        _meet(nursery, outbreak, stays, air, (loose_from, loose_until), found, "since they came out")
        if loose_until >= now:
            _not_yet(nursery, outbreak, stays, air, found)
    _found_together(nursery, outbreak, stays, found)
    for move in sorted(moves, key=lambda move: move.latest):
        source = found.get(move.source)
        if source is not None and move.latest >= source.since and source.grade != "unlikely":
            found.note(
                source._replace(
                    group=move.target, reason=f"moved from {move.source.enclosure} on {move.earliest:%Y-%m-%d}, {source.reason}"
                )
            )
    return found


def _same_air(nursery, place: str) -> tuple[str, ...]:
    air = nursery.settings.air
    return (place, *(other for other, group in air.items() if other != place and place in air and group == air[place]))


def _meet(nursery, outbreak: Outbreak, stays: list[Stay], air, window, found: Found, words: str) -> None:
    """Note every group that stood in that air in a stage that is stung, within the window."""
    first, last = window
    for stay in stays:
        if stay.group.enclosure not in air or not stay.overlaps(first, last):
            continue
        present_from, present_to = max(stay.start, first), min(stay.end or nursery.now, last)
        spans = _open_times(nursery, outbreak, stay.group.cohort, stay.group.mark)
        hit = False
        for span in spans:
            if stay.stage not in attacked(outbreak) and not (stay.stage == "larva" and "prepupa" in attacked(outbreak)):
                continue
            begin, end = max(present_from, span.first), min(present_to, span.last)
            if begin <= end:
                hit = True
                found.note(
                    _contact(nursery, outbreak, stay, span.grade, begin, end, f"{span.words}, in {_in(stay, outbreak)} {words}")
                )
        if not hit:
            why = f"{stay.stage}, not a stage that is stung, or too hard by then, in {_in(stay, outbreak)} {words}"
            found.note(Contact(stay.group, "unlikely", present_from, present_to, None, why))


def _in(stay: Stay, outbreak: Outbreak) -> str:
    place = stay.group.enclosure
    return place if place == outbreak.place else f"{place} (same air as {outbreak.place})"


def _contact(nursery, outbreak: Outbreak, stay: Stay, grade: str, begin: datetime, end: datetime, reason: str) -> Contact:
    return Contact(stay.group, grade, begin, end, exit_after(nursery, outbreak, stay.group.enclosure, end), reason)


def _not_yet(nursery, outbreak: Outbreak, stays: list[Stay], air, found: Found) -> None:
    """Younger animals still in that air: safe so far, at risk as they come to the stage that is stung."""
    now = nursery.now
    order = ("egg", "larva", "prepupa", "pupa")
    stages = attacked(outbreak)
    for stay in stays:
        if stay.end is not None or stay.group.enclosure not in air or stay.stage not in order[:-1]:
            continue
        held = found.get(stay.group)
        if stay.stage in stages or (held is not None and held.grade != "unlikely"):
            continue
        if order.index(stay.stage) < min(order.index(stage) for stage in stages):
            grade = "possible" if stay.stage == "larva" else "unlikely"
            why = f"{stay.stage} in {_in(stay, outbreak)}, not stung yet; at risk on reaching {stages[0]} while any may be about"
            found.note(_contact(nursery, outbreak, stay, grade, now, now, why))


def _found_together(nursery, outbreak: Outbreak, stays: list[Stay], found: Found) -> None:
    """Where hosts were struck before they were found, the others of that find were there too."""
    window = sting_window(nursery, outbreak)
    for label in outbreak.cohorts:
        cohort = nursery.ledger.cohorts.get(label)
        if cohort is None or cohort.origin != "found":
            continue
        came = datetime.fromisoformat(cohort.first_when[:10])
        if window[0] > came + timedelta(days=1):
            continue
        for stay in stays:
            if stay.group.cohort == label and stay.start <= outbreak.last and stay.overlaps(came, outbreak.last):
                end = max(came, min(window[1], outbreak.last))
                reason = f"found together with those that had it, on {came:%Y-%m-%d}"
                found.note(_contact(nursery, outbreak, stay, "likely", came, end, reason))
