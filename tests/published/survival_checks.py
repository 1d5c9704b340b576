"""Survival estimates: a data set that textbooks table, and published intervals of proportions."""

from __future__ import annotations

from math import sqrt

from checks import Check

from nurserytui.biology import kaplan_meier, wilson

FREIREICH = (
    "Freireich et al. 1963, The effect of 6-mercaptopurine on the duration of steroid-induced remissions in acute leukemia, Blood "
    "21:699-716, as tabled in textbooks of survival analysis (Kleinbaum & Klein; Cox & Oakes)"
)
# Weeks of remission of 21 treated children, False where still in remission.
WEEKS = [6, 6, 6, 7, 10, 13, 16, 22, 23, 6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35]
RELAPSED = [True] * 9 + [False] * 12
TABLE = [
    # week, at risk, share, standard error (Greenwood)
    (6, 21, 0.857, 0.0764),
    (7, 17, 0.807, 0.0869),
    (10, 15, 0.753, 0.0963),
    (13, 12, 0.690, 0.1068),
    (16, 11, 0.627, 0.1141),
    (22, 7, 0.538, 0.1282),
    (23, 6, 0.448, 0.1346),
]
# The untreated: all relapsed.
PLACEBO = [1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23]

NEWCOMBE = (
    "Newcombe 1998, Two-sided confidence intervals for the single proportion, Stat. Med. 17:857-872, Table I, method 3 (score, no "
    "continuity)"
)
PROPORTIONS = [
    # of, out of, low, high
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (0, 20, 0.0, 0.1611),
    (1, 29, 0.0061, 0.1718),
]


def _week(at: int, week: int, at_risk: int, share: float, error: float) -> list[Check]:
    curve = kaplan_meier(WEEKS, RELAPSED)
    return [
        Check(FREIREICH, f"step {at + 1}, week", week, lambda: curve.times[at], 0.0),
        Check(FREIREICH, f"week {week}, at risk", at_risk, lambda: curve.at_risk[at], 0.0),
        Check(FREIREICH, f"week {week}, share", share, lambda: curve.survival[at], 0.0005),
        Check(FREIREICH, f"week {week}, standard error", error, lambda: sqrt(curve.variance[at]), 0.00006),
    ]


def _proportion(k: int, n: int, low: float, high: float) -> list[Check]:
    return [
        Check(NEWCOMBE, f"{k} of {n}, low", low, lambda: wilson(k, n)[0], 0.00006),
        Check(NEWCOMBE, f"{k} of {n}, high", high, lambda: wilson(k, n)[1], 0.00006),
    ]


def checks() -> list[Check]:
    return [
        *(check for at, row in enumerate(TABLE) for check in _week(at, *row)),
        Check(FREIREICH, "treated, steps", len(TABLE), lambda: len(kaplan_meier(WEEKS, RELAPSED).times), 0.0),
        Check(FREIREICH, "treated, median week", 23, lambda: kaplan_meier(WEEKS, RELAPSED).median(), 0.0),
        Check(FREIREICH, "untreated, median week", 8, lambda: kaplan_meier(PLACEBO, [True] * 21).median(), 0.0),
        *(check for row in PROPORTIONS for check in _proportion(*row)),
    ]
