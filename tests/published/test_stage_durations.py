"""Stage durations against published rearings that were left out of the fit. The sources stand in stage_durations.py and beside the rows."""

from __future__ import annotations

import pytest
import stage_durations

from nurserytui.answers.development import basis
from nurserytui.knowledge.base import load


def test_left_out_means_are_foretold_within_a_tenth():
    ours, line, middle = stage_durations.mean_errors()
    assert len(stage_durations.left_out()) > 40
    assert ours <= 0.10
    assert ours < line
    assert ours < middle


def test_intervals_hold_left_out_means():
    assert stage_durations.covered() >= 0.85


def test_single_animals_fall_inside_the_interval_as_often_as_it_says():
    rows = stage_durations.single_animals()
    assert len(rows) > 20
    assert 0.85 <= sum(one.inside for one in rows) / len(rows) <= 0.95


@pytest.mark.parametrize(("stage", "observed", "days", "line"), stage_durations.colder_than_tried())
def test_below_the_tried_temperatures_a_curve_is_at_most_half_as_far_off_as_a_line(stage, observed, days, line):
    assert stage_durations.error(days, observed) < 0.5 * stage_durations.error(line, observed)


@pytest.mark.parametrize(
    ("species", "stage", "celsius", "days", "tolerance"),
    [
        # David & Gardiner 1962, abstracts: thresholds and sums, and means at 12.5 and 30 °C.
        ("Pieris brassicae", "egg", 20, 68.6 / (20 - 8.56), 0.05),
        ("Pieris brassicae", "larva", 12.5, 46.5, 0.10),
        ("Pieris brassicae", "larva", 30, 11.0, 0.10),
        ("Pieris brassicae", "pupa", 12.5, 40.0, 0.10),
        ("Pieris brassicae", "pupa", 30, 7.5, 0.10),
        # Ichinose & Iwasaki 1979: two races of Papilio protenor at 25 °C, egg 4.6-5.0, larva 18.5-19.7, pupa 12.6-14.9 d.
        ("Papilio protenor", "egg", 25, 4.8, 0.08),
        ("Papilio protenor", "larva", 25, 19.1, 0.08),
        ("Papilio protenor", "pupa", 25, 13.8, 0.08),
        # Hirai 2011: Junonia orithya, larva and pupa at 28 °C by the published lines.
        ("Junonia orithya", "larva", 28, 208.3 / (28 - 13.7), 0.05),
        ("Junonia orithya", "pupa", 28, 99 / (28 - 13.4), 0.05),
        # The Shijimiaeoides rearings: 4.0 and 15.8 d at 30 °C.
        ("Shijimiaeoides divinus", "egg", 30, 4.0, 0.10),
        ("Shijimiaeoides divinus", "larva", 30, 15.8, 0.10),
    ],
)
def test_published_thresholds_and_means_are_given_back(species, stage, celsius, days, tolerance):
    found = basis(load(), species, stage)
    assert found.kind == "thresholds"
    assert found.stage.curve.days(celsius) == pytest.approx(days, rel=tolerance)


@pytest.mark.parametrize(
    ("species", "stage"),
    [
        ("Pieris rapae", "larva"),
        ("Pieris rapae", "pupa"),
        ("Pieris rapae", "egg"),
        ("Colias eurytheme", "larva"),
        ("Danaus plexippus", "larva"),
    ],
)
def test_rates_do_not_keep_rising_in_the_heat(species, stage):
    """Parker and others 2024: *Pieris rapae* is no faster at 34 than at 26 °C; monarch larvae are harmed above 29 °C (York & Oberhauser 2002)."""
    curve = basis(load(), species, stage).stage.curve
    fastest = max(range(200, 450), key=lambda tenth: curve.rate(tenth / 10)) / 10
    assert 26 < fastest < 35
    assert curve.rate(40) < 0.8 * curve.rate(fastest)
    assert curve.rate(46) < 0.2 * curve.rate(fastest)
