"""When and where the host of a parasitoid was struck: back from its coming out, along the warmth it had, to when it was vulnerable."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import NamedTuple

from nurserytui.answers.cases import Case, Outbreak
from nurserytui.answers.lineage import Came, Lineage, lineage
from nurserytui.answers.vulnerable import Open, attacked, days_of, figure, open_times, past
from nurserytui.answers.warmth import Warmth, warmth
from nurserytui.biology.exposure import ByDays, ByWarmth, Span, spread_within
from nurserytui.biology.rate import RateCurve

NEAR = ("prepupa-wasp-near", "pupa-wasp-near")
"""Signs of a wasp that is only just attacking: nothing came out of that animal."""


class Strike(NamedTuple):
    """A time in one place in which the host may have been struck."""

    first: datetime
    last: datetime
    place: str
    """The enclosure; "" for outdoors, before it was brought in."""
    outdoors: bool
    grade: str
    share: float
    """Its part of the chance, all strikes of an origin together making 1."""
    words: str


class Origin(NamedTuple):
    """Where the parasitoids of one recorded case came from."""

    case: Case
    exit: tuple[datetime, datetime]
    """Between when they came out."""
    window: Span | None
    """When the sting was, by the parasitoid's development alone; None for an attack that was itself seen."""
    strikes: tuple[Strike, ...]
    """Likeliest first."""
    fits: bool
    """False where the host was vulnerable at no time of the window, so that its vulnerable times stand in for it."""
    line: Lineage
    warmth: Warmth

    @property
    def late(self) -> bool:
        """Whether the host was last vulnerable before the window: what struck it rested in it, or had it cooler than was measured."""
        if self.fits or self.window is None or not self.strikes:
            return False
        return self.window.low > max(one.last for one in self.strikes)

    @property
    def outdoors(self) -> bool:
        """Whether it was struck before it was brought in, by all that is likely."""
        return sum(one.share for one in self.strikes if one.outdoors) > 0.5

    @property
    def came(self) -> Came | None:
        return self.line.came[-1] if self.line.came else None


def development(knowledge, outbreak: Outbreak, *, back: bool = True) -> ByWarmth | ByDays | None:
    """How long it is in its host. None, unless `back`, where the agent is known and nobody has published it (some wait for spring)."""
    agent = outbreak.agent
    if agent is not None and agent.base is not None and agent.degree_days:
        spread = spread_within(agent.spread) if agent.spread else figure(knowledge, "trace-spread") / 100
        return ByWarmth(RateCurve.from_degree_days(agent.base, agent.degree_days), spread)
    if agent is not None and agent.days_high:
        return ByDays(agent.days_low or agent.days_high / 2, agent.days_high)
    usual = knowledge.rule(f"trace-days-{outbreak.kind}")
    if agent is None:
        return ByDays(usual.low, usual.high)
    if agent.watch_days:
        return ByDays(usual.low, max(agent.watch_days, usual.low))
    return ByDays(usual.low, usual.high) if back else None


def exits(
    nursery, outbreak: Outbreak, place: str, first: datetime, last: datetime, path=()
) -> tuple[datetime | None, datetime | None]:
    """Between when what stung from `first` to `last` would come out in `place`; None where that is not known.

    `path` has the enclosures in which its host stood on the way there, as `warmth.warmth` takes them.
    """
    stay = development(nursery.knowledge, outbreak, back=False)
    if stay is None:
        return None, None
    span = stay.exit(first, max(first, last), warmth(nursery, place, first, path=path).timeline)
    if span.high is None and outbreak.agent is not None and outbreak.agent.days_high:
        # Too cold to develop at all as it is now: the days that are published stand in.
        return span.low, max(first, last) + timedelta(days=outbreak.agent.days_high)
    return span.low, span.high


def origins(nursery, outbreak: Outbreak) -> list[Origin]:
    """One origin for the cases of the same animals that follow each other closely (holes seen, then the death told); kept until the records or the moment change."""
    return nursery.until_moved(("origins", outbreak), lambda: list(_origins(nursery, outbreak)))


def _origins(nursery, outbreak: Outbreak) -> Iterable[Origin]:
    apart = days_of(nursery.knowledge, "trace-exits")
    runs: dict[tuple, list[list[Case]]] = {}
    for case in sorted(outbreak.cases, key=lambda case: case.first):
        found = runs.setdefault((case.cohort, case.mark, case.enclosure), [])
        if found and case.first - found[-1][-1].first <= apart:
            found[-1].append(case)
        else:
            found.append([case])
    for same in (same for found in runs.values() for same in found):
        case = next((one for one in same if one.event.what == "died"), same[0])
        yield _origin(nursery, outbreak, case, min(one.first for one in same), max(one.last for one in same))


def _origin(nursery, outbreak: Outbreak, case: Case, first: datetime, last: datetime) -> Origin:
    knowledge = nursery.knowledge
    line = lineage(nursery.ledger, case.cohort, case.mark, case.enclosure, last) if case.cohort else Lineage((), ())
    came_out = (first - days_of(knowledge, "trace-unseen"), last)
    reach = came_out[0] - days_of(knowledge, "trace-reach")
    if line.segments:
        # What is known of the animal itself is not cut off: a sting of last autumn may come out in spring.
        reach = min(reach, line.segments[0].first - days_of(knowledge, "trace-reach") / 4)
    warm = warmth(nursery, case.enclosure, reach, path=line.path())
    if _only_attacking(nursery, case):
        strike = Strike(*came_out, case.enclosure, False, "likely", 1.0, "attacked before the keeper's eyes")
        return Origin(case, came_out, None, (strike,), True, line, warm)
    stay = development(knowledge, outbreak)
    found = stay.sting(*came_out, warm.timeline)
    low = max(found.low, reach) if found.low else reach
    high = found.high or min(came_out[1], max((one.last for one in line.segments), default=came_out[1]))
    window = Span(low, max(found.at, low) if found.at else None, max(high, low))
    stages = attacked(outbreak)
    open_ones = open_times(nursery, stages, line, case.cohort, case.mark) if case.cohort else []
    middle = came_out[0] + (came_out[1] - came_out[0]) / 2

    def share(begin: datetime, end: datetime) -> float:
        return stay.share(begin, end, middle, warm.timeline)

    strikes = _strikes(open_ones, [came for came in line.came if past(came.stage, stages)], window, share)
    if not strikes and not line.segments:
        strikes = [Strike(window.low, window.high, case.enclosure, False, "possible", 1.0, "whoever stood there then")]
    fits = bool(strikes)
    if not fits:
        strikes = _strikes(open_ones, [], Span(datetime.min, None, came_out[1]), lambda begin, end: 1.0)
        strikes = [one._replace(grade="possible") for one in strikes]
    total = sum(one.share for one in strikes)
    strikes = [one._replace(share=one.share / total if total else 1 / len(strikes)) for one in strikes]
    return Origin(case, came_out, window, tuple(sorted(strikes, key=lambda one: -one.share)), fits, line, warm)


def _strikes(open_ones: list[Open], came: list[Came], window: Span, share) -> list[Strike]:
    """The open times cut to the window and joined by place, and the time outdoors before."""
    found: list[Strike] = []
    for place in dict.fromkeys(one.place for one in open_ones):
        cut = sorted(
            (max(one.first, window.low), min(one.last, window.high), one)
            for one in open_ones
            if one.place == place and max(one.first, window.low) <= min(one.last, window.high)
        )
        runs: list[list] = []
        for begin, end, one in cut:
            if runs and begin <= runs[-1][1]:
                runs[-1][1] = max(runs[-1][1], end)
                runs[-1][2].append(one)
            else:
                runs.append([begin, end, [one]])
        for begin, end, those in runs:
            best = next((one for one in those if one.grade == "likely"), those[0])
            found.append(Strike(begin, end, place, False, best.grade, share(begin, end), best.words))
    for one in came:
        if window.low <= one.last:
            end = min(window.high, one.last)
            words = f"before it was brought in as {one.stage}"
            found.append(Strike(window.low, end, "", True, "likely", share(window.low, end), words))
    return found


def _only_attacking(nursery, case: Case) -> bool:
    if case.event.what != "sign":
        return False
    from nurserytui.answers.sign_match import shown

    kept = nursery.memo.setdefault("attack signs", {})
    asked = (case.event.detail, case.stage)
    if asked not in kept:
        signs = shown(case.event.detail, nursery.knowledge.signs(), (case.stage,) if case.stage else ())
        kept[asked] = bool(signs) and signs[0].sign.id in NEAR
    return kept[asked]
