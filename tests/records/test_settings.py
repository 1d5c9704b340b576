"""Settings as they are told, and what cannot be one."""

from __future__ import annotations

import pytest

from nurserytui.records.events import Event
from nurserytui.records.settings import Settings, read


def setting(detail, enclosure=""):
    return Event("2031-01-01", "setting", detail=detail, enclosure=enclosure)


@pytest.mark.parametrize(
    ("detail", "enclosure", "name", "value"),
    [
        ("units=F", "", "units", "F"),
        ("units = celsius", "", "units", "C"),
        ("place=a garden, behind = the wall", "", "place", "a garden, behind = the wall"),
        ("latitude=51.5", "", "latitude", 51.5),
        ("latitude=33.9 S", "", "latitude", -33.9),
        ("latitude=-33,9", "", "latitude", -33.9),
        ("timezone=Europe/Paris", "", "timezone", "Europe/Paris"),
        ("dates=day", "", "dates", "day"),
        ("dates=month first", "", "dates", "month"),
        ("season-start=3", "", "season-start", 3),
        ("season_start=March", "", "season-start", 3),
        ("volume=40 L", "tub 1", "volume", 40000),
        ("volume=2.5 gallons", "tub 1", "volume", 9463.525),
        ("volume=500ml", "jar", "volume", 500),
        ("air=shed", "tub 1", "air", "shed"),
    ],
)
def test_settings_are_read(detail, enclosure, name, value):
    assert read(setting(detail, enclosure)) == (name, value)


@pytest.mark.parametrize(
    ("detail", "enclosure"),
    [
        ("units=K", ""), ("latitude=91", ""), ("latitude=north", ""), ("timezone=Nowhere/Town", ""), ("timezone=../etc/passwd", ""),
        ("dates=year", ""), ("season-start=13", ""), ("season-start=soon", ""), ("volume=40", "tub 1"), ("volume=40 L", ""),
        ("volume=0 L", "tub 1"), ("air=shed", ""), ("colour=blue", ""), ("units", ""), ("place=", ""),
    ],
)  # fmt: skip
def test_what_cannot_be_a_setting_is_told(detail, enclosure):
    with pytest.raises(ValueError, match=".{10}"):
        read(setting(detail, enclosure))


def test_the_last_one_counts_and_enclosures_are_kept_apart():
    settings = Settings.of([setting("units=F"), setting("volume=2 L", "a"), setting("volume=3 L", "b"), setting("units=C"), setting("volume=4 L", "a"), setting("latitude=99")])  # fmt: skip
    assert settings == Settings(units="C", volumes={"a": 4000, "b": 3000})
