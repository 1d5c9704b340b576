"""Degree-days of a day against published tables and worked examples."""

from __future__ import annotations

import pytest

from nurserytui.biology import degree_days

# Zalom, Goodell, Wilson, Barnett & Bentley 1983, Degree-days: the calculation and use of heat units in pest management, University of
# California leaflet 21373, Table 7 (as kept in the test data of the R package degday). °F, lower 55, upper 90, horizontal cut-off.
# Columns: low, high, next low; single triangle, double triangle, single sine, double sine.
ZALOM_TABLE_7 = [
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
METHODS = ("single-triangle", "double-triangle", "single-sine", "double-sine")
# The one cell that no reading of the method gives: its two halves are 23.75 (60 to 100) and 30.50 (100 to 75), with mean 27.125; the R
# package's authors leave it out as a misprint too.
MISPRINT = (60, 100, 75, "double-triangle")

CELLS = [
    pytest.param(low, high, next_low, method, value, id=f"{low}-{high}-{next_low}-{method}")
    for low, high, next_low, *values in ZALOM_TABLE_7
    for method, value in zip(METHODS, values, strict=True)
    if (low, high, next_low, method) != MISPRINT
]


@pytest.mark.parametrize("low, high, next_low, method, value", CELLS)
def test_zalom_1983_table_7(low, high, next_low, method, value):
    # The table is cut, not rounded, in places: a hundredth either way.
    assert degree_days(low, high, 55, 90, next_low=next_low, method=method) == pytest.approx(value, abs=0.0101)


def test_every_cell_but_the_misprint_is_checked():
    assert len(CELLS) == 47


def test_the_misprinted_cell_is_the_mean_of_its_halves():
    halves = [degree_days(60, 100, 55, 90, method="single-triangle"), degree_days(75, 100, 55, 90, method="single-triangle")]
    assert halves == pytest.approx([23.75, 30.5])
    assert degree_days(60, 100, 55, 90, next_low=75, method="double-triangle") == pytest.approx(27.125)


# McMaster & Wilhelm 1997, Growing degree-days: one equation, two interpretations, Agric. For. Meteorol. 87:291-300, Table 1. °C, base 0.
@pytest.mark.parametrize(
    "high, low, first, second",
    [
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
    ],
)
def test_mcmaster_and_wilhelm_1997_table_1(high, low, first, second):
    assert degree_days(low, high, 0, method="average") == first
    assert degree_days(low, high, 0, method="modified-average") == second


NUGENT = "Nugent, Michigan State University Extension, Calculating growing degree days"
CODLING = "codling moth worked example, growing degree-day how-to page (2026)"
TRENCHR = "tests of the R package TrenchR"


@pytest.mark.parametrize(
    "source, low, high, base, ceiling, method, next_low, value, within",
    [
        (NUGENT, 40, 65, 50, None, "average", None, 2.5, 1e-9),
        (NUGENT, 35, 60, 50, None, "average", None, 0, 1e-9),
        ("University of California IPM, citrus: mean 64, threshold 53", 64, 64, 53, None, "average", None, 11, 1e-9),
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
    ],
)
def test_worked_examples(source, low, high, base, ceiling, method, next_low, value, within):
    assert degree_days(low, high, base, ceiling, next_low=next_low, method=method) == pytest.approx(value, abs=within), source


@pytest.mark.parametrize(
    "low, high, base, method, next_low, value",
    [
        # That test file prints 5, 28.09 and 1.25 here. A day all above the ceiling has ceiling less base; the others are the same day
        # twice and a day all above the base.
        (35, 40, 12, "single-sine", None, 21.0),
        (13, 40, 12, "double-triangle", 13, 13.593),
        (13, 32, 10, "double-triangle", 13, 12.5),
    ],
)
def test_faulty_expectations_of_others_are_not_met(low, high, base, method, next_low, value):
    assert degree_days(low, high, base, 33, next_low=next_low, method=method) == pytest.approx(value, abs=0.001)
