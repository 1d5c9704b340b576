"""Causes weighed over several signs by Bayes' rule, with a share kept for causes that nobody listed."""

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

LEAK = 0.04
"""The chance that a sign is seen though the cause is not listed for it (judged)."""
DENIED = 0.75
"""How far a cause falls when a sign that speaks for it alone is said to be absent: to one minus this (judged)."""


class Evidence(NamedTuple):
    """One sign that was seen, or that was said to be absent."""

    weights: Mapping[str, float]
    """How strongly the sign speaks for each cause, in any unit above 0; causes left out keep the leak."""
    clarity: float = 1.0
    """0 to 1: how clearly it was shown. A sign at 0 changes nothing."""
    unlisted: float = 0.2
    """The share that this sign alone, clearly shown, leaves for causes not listed; above 0 and below 1."""
    present: bool = True


class Posterior(NamedTuple):
    shares: dict[str, float]
    """Probability by cause, likeliest first. They and `other` add up to 1."""
    other: float
    """The probability of a cause that is not listed."""


def weigh(evidence: Sequence[Evidence], prior: Mapping[str, float] | None = None) -> Posterior:
    """The probability of each cause: its prior times its likelihood under every sign.

    All causes that a present sign lists stand for choice; a cause without a prior has 1, and so has the unlisted one. A sign counts
    by its likelihood to the power of its clarity. An absent sign cuts down the causes it would speak for and leaves the rest.
    ValueError for a weight or prior below 0, or a clarity or share outside its bounds.
    """
    prior = prior or {}
    if any(value < 0 for value in prior.values()):
        raise ValueError("a prior below 0")
    for one in evidence:
        if not 0 <= one.clarity <= 1 or not 0 < one.unlisted < 1 or any(weight < 0 for weight in one.weights.values()):
            raise ValueError("a weight below 0, or a clarity or unlisted share outside its bounds")
    seen = [one for one in evidence if one.present and sum(one.weights.values()) > 0]
    names = dict.fromkeys(name for one in seen for name in one.weights)
    if not names:
        return Posterior({}, 1.0)
    logs = {name: _log(prior.get(name, 1.0)) for name in names}
    other = 0.0
    for one in seen:
        total = sum(one.weights.values())
        fits = {name: LEAK + (1 - LEAK) * one.weights.get(name, 0.0) / total for name in names}
        listed = sum(fits[name] for name in one.weights)
        other += one.clarity * math.log(listed * one.unlisted / (1 - one.unlisted))
        for name in names:
            logs[name] += one.clarity * math.log(fits[name])
    for one in evidence:
        most = max(one.weights.values(), default=0.0)
        if not one.present and most > 0:
            for name in names:
                logs[name] += _log(1 - DENIED * one.clarity * one.weights.get(name, 0.0) / most)
    highest = max(other, *logs.values())
    scores = {name: math.exp(log - highest) for name, log in logs.items()}
    rest = math.exp(other - highest)
    total = sum(scores.values()) + rest
    shares = {name: score / total for name, score in sorted(scores.items(), key=lambda pair: (-pair[1], pair[0]))}
    return Posterior(shares, rest / total)


def _log(value: float) -> float:
    return math.log(value) if value > 0 else -math.inf
