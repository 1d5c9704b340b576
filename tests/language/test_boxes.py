"""Sides of boxes and jars, as typed."""

from __future__ import annotations

from math import pi

import pytest

from nurserytui.language.boxes import box
from nurserytui.language.normalise import normalise

INCH, FOOT = 2.54, 30.48


@pytest.mark.parametrize(
    ("said", "cubic_cm"),
    [
        ("a 12 x 12 x 24 inch cage", 12 * 12 * 24 * INCH**3),
        ('12" x 12" x 24" cage', 12 * 12 * 24 * INCH**3),
        ("13.5″ × 13.5″ × 24″", 13.5 * 13.5 * 24 * INCH**3),
        ("24'' x 24'' x 36''", 24 * 24 * 36 * INCH**3),
        ("2' x 2' x 4' tent", 2 * 2 * 4 * FOOT**3),
        ("a 30 cm cube", 27_000),
        ("12-inch cube", 12**3 * INCH**3),
        ("40 by 40 by 60 cm", 96_000),
        ("300 x 200 x 150 mm", 9_000),
        ("1 ft wide, 1 ft deep and 2 ft tall", 2 * FOOT**3),
        ("a jar 10 cm across and 15 cm tall", pi / 4 * 10 * 10 * 15),
        ("15 cm tall and 10 cm across", pi / 4 * 10 * 10 * 15),
        ('jar 4" across 6" tall', pi / 4 * 16 * 6 * INCH**3),
        ("a jar of diameter 10 cm and height 15 cm", pi / 4 * 1500),
        ("4 x 6 inch jar", pi / 4 * 16 * 6 * INCH**3),
        ("jar 2 is 10 x 15 cm", pi / 4 * 1500),
    ],
)
def test_what_sides_hold(said, cubic_cm):
    assert box(normalise(said)).litres * 1000 == pytest.approx(cubic_cm, rel=1e-9)


@pytest.mark.parametrize("said", ["12 x 12 inch", "2 jars x 3 leaves", "tub 3 is 20 x 30 cm", 'she called it "B12" by then'])
def test_what_is_no_box(said):
    assert box(normalise(said)) is None


def test_without_a_unit_centimetres_are_taken_and_that_is_told():
    bare, told = box("12 x 12 x 24"), box("12 x 12 x 24 cm")
    assert bare.litres == told.litres and (bare.assumed, told.assumed) == (True, False)
    assert bare.in_inches == pytest.approx(12 * 12 * 24 * INCH**3 / 1000)
