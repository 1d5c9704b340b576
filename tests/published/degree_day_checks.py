"""Degree-days of a day: published tables and worked examples, every cell.

Not found in print: a table for the average methods with a ceiling; their rule stands in `test_degree_days.py` as identities.
"""

from __future__ import annotations

from checks import Check

from nurserytui.biology import degree_days

# °F, lower 55, upper 90, horizontal cut-off.
ZALOM = (
    "Zalom, Goodell, Wilson, Barnett & Bentley 1983, Degree-days: the calculation and use of heat units in pest management, University of "
    "California leaflet 21373, Table 7 (as kept in the test data of the R package degday)"
)
METHODS = ("single-triangle", "double-triangle", "single-sine", "double-sine")
TABLE_7 = [
    # low, high, next low; a column per method
    (96, 110, 91, 35.00, 35.00, 35.00, 35.00),
    (91, 105, 96, 35.00, 35.00, 35.00, 35.00),
    (45, 54, 38, 0.00, 0.00, 0.00, 0.00),
    (38, 50, 45, 0.00, 0.00, 0.00, 0.00),
    (60, 80, 75, 15.00, 18.75, 15.00, 18.75),
    (75, 88, 60, 26.50, 22.75, 26.50, 22.75),
    (50, 82, 45, 11.39, 10.62, 11.85, 11.31),
    (45, 70, 50, 4.50, 5.06, 5.31, 5.70),
    (60, 100, 75, 23.75, 24.88, 22.82, 26.26),
    (75, 95, 60, 29.38, 25.76, 28.91, 25.30),
    (50, 101, 48, 19.56, 19.19, 18.95, 18.69),
    (48, 95, 50, 16.76, 17.13, 16.96, 17.23),
]
CUT = 0.0101
"""The table is cut, not rounded, in places: a hundredth either way."""
MISPRINT = (60, 100, 75, "double-triangle")
MISPRINTED = "a misprint: its halves are 23.75 (60 to 100) and 30.50 (100 to 75), with mean 27.125; the authors of the R package leave it out too"

# °C, base 0: high, low, the mean zeroed, the extremes raised to the base.
MCMASTER = (
    "McMaster & Wilhelm 1997, Growing degree-days: one equation, two interpretations, Agric. For. Meteorol. 87:291-300, Table 1"
)
TABLE_1 = [
    (20, 10, 15, 15),
    (10, 1, 5.5, 5.5),
    (8, -2, 3, 4),
    (6, 0, 3, 3),
    (10, 5, 7.5, 7.5),
    (5, -5, 0, 2.5),
    (-2, -7, 0, 0),
    (-5, -10, 0, 0),
    (10, -2, 4, 5),
    (15, 2, 8.5, 8.5),
]

NUGENT = "Nugent, Michigan State University Extension, Calculating growing degree days"
NUGENT_SINE = NUGENT + " (the same two days by its sine method; its own answer is cut off in the copy read, so worked out apart)"
CITRUS = "University of California IPM, citrus: mean 64, threshold 53"
CODLING = "codling moth worked example, growing degree-day how-to page (2026)"
TRENCHR = "tests of the R package TrenchR"
EXAMPLES = [
    # source, low, high, base, ceiling, method, next low, degree-days, within
    (NUGENT, 40, 65, 50, None, "average", None, 2.5, 1e-9),
    (NUGENT, 35, 60, 50, None, "average", None, 0, 1e-9),
    (NUGENT_SINE, 40, 65, 50, None, "single-sine", None, 5.31, 0.006),
    (NUGENT_SINE, 35, 60, 50, None, "single-sine", None, 2.81, 0.006),
    (CITRUS, 64, 64, 53, None, "average", None, 11, 1e-9),
    (CODLING, 48, 72, 50, 88, "modified-average", None, 11, 1e-9),
    (CODLING, 52, 80, 50, 88, "modified-average", None, 16, 1e-9),
    (CODLING + ", after its substitution of 88 for 91", 55, 91, 50, 88, "modified-average", None, 21.5, 1e-9),
    (TRENCHR, 7, 14, 12, 33, "single-sine", None, 0.47, 0.006),
    (TRENCHR, 13, 40, 12, 33, "single-sine", None, 12.94, 0.006),
    (TRENCHR, 7, 40, 12, 33, "single-sine", None, 10.94, 0.006),
    (TRENCHR, 7, 14, 12, 33, "single-triangle", None, 0.29, 0.006),
    (TRENCHR, 13, 40, 12, 33, "single-triangle", None, 13.59, 0.006),
    (TRENCHR, 7, 40, 12, 33, "single-triangle", None, 11.14, 0.006),
    (TRENCHR, 7, 20, 12, 33, "double-sine", 7, 2.87, 0.006),
    (TRENCHR, 7, 20, 12, 33, "double-triangle", 7, 2.46, 0.006),
]
FAULTY = [
    # low, high, base, method, next low, printed, right, why
    (35, 40, 12, "single-sine", None, 5.0, 21.0, "a day all above the ceiling has ceiling less base"),
    (13, 40, 12, "double-triangle", 13, 28.09, 13.593, "the same day twice is the single triangle, 13.59 in the same file"),
    (13, 32, 10, "double-triangle", 13, 1.25, 12.5, "a day all between base and ceiling has its mean less the base"),
]


def _check(source: str, low, high, base, ceiling, method, next_low, value, within, **more) -> Check:
    about = f"{method} {low} to {high}" + (f", then {next_low}" if next_low is not None and "double" in method else "")
    about += f" over {base}" + (f"/{ceiling}" if ceiling is not None else "")

    def computed() -> float:
        return degree_days(low, high, base, ceiling, next_low=next_low, method=method)

    return Check(source, about, value, computed, within, **more)


def _zalom() -> list[Check]:
    out = []
    for low, high, next_low, *values in TABLE_7:
        for method, value in zip(METHODS, values, strict=True):
            wrong = {"corrected": 27.125, "fault": MISPRINTED} if (low, high, next_low, method) == MISPRINT else {}
            out.append(_check(ZALOM, low, high, 55, 90, method, next_low, value, CUT, **wrong))
    return out


def checks() -> list[Check]:
    return [
        *_zalom(),
        *(
            _check(MCMASTER, low, high, 0, None, method, None, value, 0.0)
            for high, low, *values in TABLE_1
            for method, value in zip(("average", "modified-average"), values, strict=True)
        ),
        *(_check(*row) for row in EXAMPLES),
        *(
            _check(TRENCHR, low, high, base, 33, method, next_low, printed, 0.001, corrected=right, fault=why)
            for low, high, base, method, next_low, printed, right, why in FAULTY
        ),
        Check(
            "identity: Fahrenheit degree-days are 1.8 times Celsius ones",
            "single-sine 96 to 110 over 55/90 °F, in °C",
            19.44,
            lambda: degree_days(*((each - 32) / 1.8 for each in (96, 110, 55, 90))),
            0.005,
        ),
    ]
