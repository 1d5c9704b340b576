"""Survival estimates: a data set that textbooks table, and published intervals of proportions."""

from __future__ import annotations

from math import sqrt

from checks import Check

from nurserytui.answers.odds import fisher
from nurserytui.biology import kaplan_meier, wilson
from nurserytui.biology.differences import log_rank, needed

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

PLACEBO_TABLE = [
    # week, share
    (1, 0.905), (2, 0.810), (3, 0.762), (4, 0.667), (5, 0.571), (8, 0.381), (11, 0.286), (12, 0.190), (15, 0.143), (17, 0.095), (22, 0.048), (23, 0.0),
]  # fmt: skip

# San Juan Island, island marble captive rearing records, eight years in which every date is known: eggs, hatched, pupae, adults.
ISLAND_MARBLE = "San Juan Island Preservation Trust and partners, island marble captive rearing records 2015-2023, summed"
REARED = (1213, 1094, 968, 930)
REARED_RATES = [
    ("hatched", 1, 0, 0.902),
    ("hatch to pupa", 2, 1, 0.885),
    ("pupa to adult", 3, 2, 0.961),
    ("egg to adult", 3, 0, 0.767),
]
# Exercises in life tables: numbers alive at the start of each age class, and the share of the first that is left.
MARMOTS = "Begon & Townsend, Ecology: marmots 773, 420 and 208 alive, lx 0.543 and 0.269"
CLINTON = (
    "Clinton College life-table exercise: 612, 539, 452, 353, 229, 91 alive; deaths in each class q 0.119, 0.161, 0.219, 0.351"
)

R_POWER = "The R project, documentation of power.prop.test: 0.50 against 0.75 with power 0.90 takes n = 76.7 in each group"
FLEISS = "Fleiss, Levin & Paik 2003, Statistical Methods for Rates and Proportions, chapter 4: 0.25 against 0.40, power 0.80"
TEA = "Fisher 1935, The Design of Experiments, chapter 2: three of four cups told right by chance, one-sided 17 in 70"

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


def _cohort(numbers: tuple[int, ...]):
    """The curve of a cohort of which so many were alive at ages 0, 1, 2 …"""
    durations = [age for age in range(1, len(numbers)) for _ in range(numbers[age - 1] - numbers[age])]
    durations += [len(numbers) - 1] * numbers[-1]
    return kaplan_meier(durations, [at < len(durations) - numbers[-1] for at in range(len(durations))])


def _died(curve, age: int) -> float:
    return 1 - curve.at(age) / curve.at(age - 1)


def _reared(name: str, to: int, start: int, rate: float) -> list[Check]:
    found = _cohort(REARED)
    return [
        Check(ISLAND_MARBLE, f"{name}, share", rate, lambda: found.at(to) / found.at(start), 0.0005),
        Check(ISLAND_MARBLE, f"{name}, inside Wilson's interval", 1, lambda: int(_inside(REARED[to], REARED[start])), 0.0),
    ]


def _inside(k: int, n: int) -> bool:
    low, high = wilson(k, n)
    return low < k / n < high and high - low < 0.05


def _between_groups() -> list[Check]:
    found = log_rank(WEEKS, RELAPSED, PLACEBO, [True] * len(PLACEBO))
    return [
        Check(FREIREICH, "log-rank chi-square", 16.79, lambda: found.chi_square, 0.005),
        Check(FREIREICH, "relapses expected of the treated", 19.26, lambda: found.expected[0], 0.015),
        Check(FREIREICH, "relapses expected of the untreated", 10.74, lambda: found.expected[1], 0.015),
        Check(R_POWER, "in each group", 77, lambda: needed(0.5, 0.75, power=0.9, exact=False), 0.0),
        Check(FLEISS, "in each group, uncorrected", 152, lambda: needed(0.25, 0.40, exact=False), 0.0),
        Check(FLEISS, "in each group, corrected", 165, lambda: needed(0.25, 0.40), 0.0),
        Check(TEA, "two-sided", 34 / 70, lambda: fisher(3, 1, 1, 3), 1e-9),
    ]


def checks() -> list[Check]:
    untreated = kaplan_meier(PLACEBO, [True] * len(PLACEBO))
    marmots, clinton = _cohort((773, 420, 208)), _cohort((612, 539, 452, 353, 229, 91))
    return [
        *(
            Check(FREIREICH, f"untreated, week {week}", share, lambda week=week: untreated.at(week), 0.0006)
            for week, share in PLACEBO_TABLE
        ),
        *(check for row in REARED_RATES for check in _reared(*row)),
        Check(MARMOTS, "after a year", 0.543, lambda: marmots.at(1), 0.0005),
        Check(MARMOTS, "after two", 0.269, lambda: marmots.at(2), 0.0005),
        *(
            Check(CLINTON, f"class {age}", share, lambda age=age: _died(clinton, age + 1), 0.0006)
            for age, share in enumerate((0.119, 0.161, 0.219, 0.351))
        ),
        *_between_groups(),
        *(check for at, row in enumerate(TABLE) for check in _week(at, *row)),
        Check(FREIREICH, "treated, steps", len(TABLE), lambda: len(kaplan_meier(WEEKS, RELAPSED).times), 0.0),
        Check(FREIREICH, "treated, median week", 23, lambda: kaplan_meier(WEEKS, RELAPSED).median(), 0.0),
        Check(FREIREICH, "untreated, median week", 8, lambda: kaplan_meier(PLACEBO, [True] * 21).median(), 0.0),
        *(check for row in PROPORTIONS for check in _proportion(*row)),
    ]
