"""Whether shares that survived differ: the exact test in words, its correction for many comparisons, and the number that would be needed."""

from __future__ import annotations

from collections import Counter
from itertools import combinations
from typing import NamedTuple

from nurserytui.answers.fates import Fates
from nurserytui.answers.odds import fisher
from nurserytui.answers.wording import listed, number
from nurserytui.biology.differences import holm, needed

CHANCE = 0.05
FEW = 5
"""Fewer animals of known fate than this say next to nothing."""
EVERY = 12
"""Groups of which every two are compared; of more, the highest and the lowest are each compared with all the rest."""
MOST = 2000
"""Animals of each group beyond which it is only said that it would take more."""

TOGETHER = (
    "The test takes animals to die independently. Those that shared a cage, a clutch or an outbreak do not: then a difference is less sure than "
    "its p value says.",
)
SOON = ("Of a season still running deaths are known sooner than successes, so its rates so far are on the low side.",)
SHOWN_STEPS = 5

Rated = tuple[str, Fates]


class Verdict(NamedTuple):
    words: str
    """The first line."""
    steps: tuple[str, ...]
    p: float | None
    """The least p value, corrected where there were several; None where nothing was tested."""


def share(fates: Fates) -> float:
    return fates.reached / fates.known


def percent(part: float) -> str:
    return f"{number(part * 100, 0 if 0.1 < part < 0.9 else 1)} %"


def p_words(p: float) -> str:
    return "below 0.0001" if p < 0.0001 else f"{p:.4f}" if p < 0.01 else f"{p:.3f}" if p < 0.1 else f"{p:.2f}"


def judged(rated: list[Rated], did: str) -> Verdict:
    """What can be said of two or more groups, best first; `did` is what those that are counted did (`reached adult`)."""
    fit = [pair for pair in rated if pair[1].known >= FEW]
    if len(rated) == 2 and len(fit) == 2:
        return _two(rated[0], rated[1], did)
    if len(rated) == 2:
        a, c = _told(rated[0], ""), _told(rated[1], "")
        small = listed(name for name, fates in rated if fates.known < FEW)
        return Verdict(
            f"Too few to say: {a} against {c} {did}; at least {FEW} with a known fate are needed of {small}.", (), None
        )
    if len(fit) < 2:
        return Verdict(
            f"Too few to say: {_told(rated[0], did)} is the highest of {len(rated)}, but hardly any has {FEW} of known fate.",
            (),
            None,
        )
    return _two(fit[0], fit[1], did) if len(fit) == 2 else _many(fit, did)


def _told(pair: Rated, did: str) -> str:
    name, fates = pair
    return f"{name} {fates.reached} of {fates.known} ({percent(share(fates))}){f' {did}' if did else ''}"


def _test(one: Fates, other: Fates) -> float:
    return fisher(one.reached, one.died, other.reached, other.died)


def _two(one: Rated, other: Rated, did: str) -> Verdict:
    (best, a), (worst, c) = sorted((one, other), key=lambda pair: -share(pair[1]))
    p = _test(a, c)
    rates = f"{a.reached} of {a.known} ({percent(share(a))}) against {c.reached} of {c.known} ({percent(share(c))}) {did}"
    step = f"Fisher's exact test on {a.reached}/{a.known} and {c.reached}/{c.known}: two-sided p = {p_words(p)}."
    if share(a) == share(c):
        return Verdict(f"No difference between {best} and {worst}: {rates}.", (step,), p)
    if p < CHANCE and (against := _at_worst(a, c)) < CHANCE:
        alive = a.censored["alive"] + c.censored["alive"]
        more = f"Were all those alive of {best} to die and all of {worst} to get through: p = {p_words(against)}."
        return Verdict(
            f"{best} did better than {worst}: {rates}; hardly chance (p = {p_words(p)}).", (step, more) if alive else (step,), p
        )
    if p < CHANCE:
        alive = a.censored["alive"] + c.censored["alive"]
        words = (
            f"Too early to say whether {best} does better than {worst}: {rates} so far (p = {p_words(p)}), but {alive} are still alive, and as "
            "these turn out the difference may be chance."
        )
        more = f"If all alive of {worst} got through and all of {best} died: p = {p_words(against)}."
        return Verdict(words, (step, more), p)
    each = needed(share(a), share(c))
    words = (
        f"Too few to say whether {best} or {worst} does better: {rates}, which can well be chance (p = {p_words(p)}). "
        f"{_needed_words(each)} to tell such a difference from chance."
    )
    return Verdict(
        words,
        (step, f"Animals for a difference of that size, told four times in five by an exact test at 5 %: {each} in each group."),
        p,
    )


def _at_worst(best: Fates, worst: Fates) -> float:
    """The p value if those still alive turned out against the difference."""
    return (
        fisher(best.reached, best.died + best.censored["alive"], worst.reached + worst.censored["alive"], worst.died)
        if best.reached * (worst.known + worst.censored["alive"])
        > (worst.reached + worst.censored["alive"]) * (best.known + best.censored["alive"])
        else 1.0
    )


def _needed_words(each: int | None) -> str:
    return (
        f"About {each} of each would be needed"
        if each is not None and each <= MOST
        else f"More than {MOST} of each would be needed"
    )


def _many(rated: list[Rated], did: str) -> Verdict:
    ranked = sorted(rated, key=lambda pair: -share(pair[1]))
    if len(ranked) <= EVERY:
        pairs = list(combinations(ranked, 2))
        tests, times = [_test(one[1], other[1]) for one, other in pairs], 0
    else:
        pairs = [(ranked[0], _rest(ranked, 0)), (_rest(ranked, len(ranked) - 1), ranked[-1])]
        tests, times = [_test(one[1], other[1]) for one, other in pairs], len(ranked)
    # Of many groups only the two ends are tested, but they are the ends of all: every group could have been one.
    adjusted = [min(1.0, p * times) for p in tests] if times else holm(tests)
    comparisons = times or len(pairs)
    steps = tuple(
        f"{one[0]} {one[1].reached}/{one[1].known}, {other[0]} {other[1].reached}/{other[1].known}: Fisher's exact p = {p_words(p)}, "
        f"{p_words(corrected)} corrected for {comparisons} comparisons ({'Bonferroni' if times else 'Holm'})."
        for (one, other), p, corrected in sorted(zip(pairs, tests, adjusted, strict=True), key=lambda row: row[1])[:SHOWN_STEPS]
    )
    least = min(adjusted)
    ends = f"highest {_told(ranked[0], '')}, lowest {_told(ranked[-1], '')} {did}"
    told = sorted(
        (
            (p, one[0], other[0], "" if _at_worst(one[1], other[1]) * comparisons < CHANCE else "; so far, with some still alive")
            for (one, other), p in zip(pairs, adjusted, strict=True)
            if p < CHANCE
        ),
        key=lambda row: row[0],
    )
    if told:
        words = listed(f"{one} did better than {other} (p = {p_words(p)}{early})" for p, one, other, early in told[:3])
        more = f", and {len(told) - 3} more pairs differ" if len(told) > 3 else ""
        return Verdict(
            f"{words}{more}, corrected for {comparisons} comparisons; {ends}. The other differences can be chance.", steps, least
        )
    each = needed(share(ranked[0][1]), share(ranked[-1][1]))
    tail = f" {_needed_words(each)} to tell the highest from the lowest." if each is not None else ""
    words = f"No difference here is beyond chance: {ends}; with {comparisons} comparisons the least p is {p_words(least)} after correction.{tail}"
    return Verdict(words, steps, least)


def _rest(ranked: list[Rated], left_out: int) -> Rated:
    """All groups but one, together."""
    others = [fates for at, (_, fates) in enumerate(ranked) if at != left_out]
    first = others[0]
    return "all the others", first._replace(
        start=sum(fates.start for fates in others),
        reached=sum(fates.reached for fates in others),
        died=sum(fates.died for fates in others),
        censored=sum((fates.censored for fates in others), Counter()),
    )
