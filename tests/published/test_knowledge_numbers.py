"""Numbers of the knowledge base against what was published beside or apart from them."""

from __future__ import annotations

import pytest

from nurserytui.knowledge.base import load


@pytest.fixture(scope="module")
def base(tmp_path_factory):
    return load(own=tmp_path_factory.mktemp("none"), cache=tmp_path_factory.mktemp("cache"))


def days(row, celsius: float) -> float:
    return row.degree_days / (celsius - row.base)


def of(base, species, stage):
    return next(row for row in base.thermal(species) if row.stage == stage)


# Takagi 1976, Jpn J. Appl. Entomol. Zool. 20:157-163: development of Pteromalus puparum by its printed equation.
@pytest.mark.parametrize(("celsius", "expected"), [(18, 36.8), (20, 27.4), (22, 21.8), (25, 16.7), (28, 13.5), (30, 12.0)])
def test_pteromalus(base, celsius, expected):
    agent = base.agent("Pteromalus puparum")
    assert agent.degree_days / (celsius - agent.base) == pytest.approx(expected, abs=0.05)


# Peacock reared at 25 °C in Korea (2013): larva 18.3 and pupa 8.4 days; threshold and sum by Bryant, Thomas and Bale 1997.
def test_peacock_from_hatching(base):
    assert days(of(base, "Aglais io", "larva_to_adult"), 25) == pytest.approx(18.3 + 8.4, abs=0.3)


# Large white: sums by David and Gardiner 1962 against their own larvae (11 days at 30 °C) and pupae (7.5 days at 30 °C).
def test_large_white(base):
    assert days(of(base, "Pieris brassicae", "larva"), 30) == pytest.approx(11, rel=0.15)
    assert days(of(base, "Pieris brassicae", "pupa"), 30) == pytest.approx(7.5, rel=0.05)


# Delias nigrina, Braby and Lyonns 2003: 29 days at 27 °C by observation.
def test_black_jezebel(base):
    assert days(of(base, "Delias nigrina", "larva_to_adult"), 27) == pytest.approx(29, rel=0.06)


# Junonia: sums of J. orithya (Hirai et al. 2011) against J. almana at 28 °C (Rayalu et al. 2012): larva and pupa 21.4 days.
def test_pansies_agree(base):
    total = days(of(base, "Junonia orithya", "larva"), 28) + days(of(base, "Junonia orithya", "pupa"), 28)
    assert total == pytest.approx(24.4 - 3, abs=1.2)


# Orange sulphur, Allen and Smith 1958, Table 2: the stages add up to egg to adult within rounding of their table.
@pytest.mark.parametrize("celsius", [15, 20, 30, 32])
def test_orange_sulphur_stages_add_up(base, celsius):
    mean = {row.stage: row.mean for row in base.durations("Colias eurytheme") if row.temperature == celsius}
    assert mean["egg"] + mean["larva"] + mean["pupa"] == pytest.approx(mean["egg_to_adult"], abs=0.15)
