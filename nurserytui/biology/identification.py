"""Which of several candidates it is: Bayes' rule over what was seen, and how much the next look would tell.

Plain numbers: a candidate is a place in a list, an outcome of a look is a column.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, inf, log, log2


def posterior(priors: Sequence[float], likelihoods: Sequence[Sequence[float]]) -> list[float]:
    """The share of each candidate after what was seen; shares sum to 1.

    `priors` are weights and need not sum to 1; `likelihoods[i]` holds, for candidate i, the chance of each thing seen, taken as independent
    of one another given the candidate. Raises ValueError for negative numbers, lengths that differ, and where nothing is possible.
    """
    if len(priors) != len(likelihoods):
        raise ValueError("a candidate needs a prior and a row of likelihoods")
    if any(weight < 0 for weight in priors) or any(chance < 0 for row in likelihoods for chance in row):
        raise ValueError("priors and likelihoods cannot be negative")
    logs = [_logarithm(weight) + sum(map(_logarithm, row)) for weight, row in zip(priors, likelihoods)]
    highest = max(logs, default=-inf)
    if highest == -inf:
        raise ValueError("no candidate is possible")
    weights = [exp(one - highest) for one in logs]
    total = sum(weights)
    return [weight / total for weight in weights]


def entropy(shares: Sequence[float]) -> float:
    """Bits of doubt left in shares that sum to 1 (Shannon, C. E. 1948, Bell Syst. Tech. J. 27:379-423)."""
    return -sum(share * log2(share) for share in shares if share > 0)


def expected_information(prior: Sequence[float], outcomes: Sequence[Sequence[float]]) -> float:
    """Bits that a look is expected to tell: the doubt before it less the mean doubt after it (Lindley, D. V. 1956, Ann. Math. Stat. 27:986-1005).

    `prior` are weights of the candidates; `outcomes[i][k]` is the chance of outcome k where candidate i is the true one, each row summing to 1.
    Never negative, and at most the doubt that there is. Raises ValueError for negative numbers, lengths that differ and rows that do not sum to 1.
    """
    if len(prior) != len(outcomes) or len({len(row) for row in outcomes}) > 1:
        raise ValueError("a candidate needs a weight and a row of outcomes, all rows of one length")
    if any(weight < 0 for weight in prior) or any(chance < 0 for row in outcomes for chance in row):
        raise ValueError("weights and chances cannot be negative")
    if any(abs(sum(row) - 1) > 1e-6 for row in outcomes):
        raise ValueError("the chances of all outcomes of a candidate must sum to 1")
    total = sum(prior)
    if total <= 0:
        raise ValueError("no candidate is possible")
    shares = [weight / total for weight in prior]
    bits = 0.0
    for column in zip(*outcomes):
        chance = sum(share * each for share, each in zip(shares, column))
        bits += sum(share * each * log2(each / chance) for share, each in zip(shares, column) if share * each > 0)
    return max(bits, 0.0)


def _logarithm(value: float) -> float:
    return log(value) if value > 0 else -inf
