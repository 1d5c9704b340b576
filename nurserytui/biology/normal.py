"""The normal distribution: both tails with full precision, and the inverse."""

from __future__ import annotations

from math import erfc, exp, log, pi, sqrt

ROOT_HALF = sqrt(0.5)


def below(z: float) -> float:
    """Chance that a standard normal value lies below `z`."""
    return 0.5 * erfc(-z * ROOT_HALF)


def above(z: float) -> float:
    """Chance that a standard normal value lies above `z`."""
    return 0.5 * erfc(z * ROOT_HALF)


def quantile(chance: float) -> float:
    """The value below which a standard normal value lies with `chance`; ValueError unless 0 < chance < 1.

    A rational start (Abramowitz & Stegun 1964, 26.2.23, error below 4.5e-4), then Halley steps to full precision.
    """
    if not 0.0 < chance < 1.0:
        raise ValueError("a chance between 0 and 1, both excluded")
    tail = min(chance, 1.0 - chance)
    t = sqrt(-2.0 * log(tail))
    z = t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1.0 + t * (1.432788 + t * (0.189269 + t * 0.001308)))
    for _ in range(2):
        off = (above(z) - tail) * sqrt(2.0 * pi) * exp(0.5 * z * z)
        z += off / (1.0 - 0.5 * z * off)
    return -z if chance < 0.5 else z
