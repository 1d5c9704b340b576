"""An enclosure said by a part of its label."""

from __future__ import annotations

import pytest

from nurserytui.language.places import by_part

PLACES = ("garage fridge", "north box", "shed tub 2", "shed tub 3", "porch tent")


@pytest.mark.parametrize(
    ("line", "label"),
    [
        ("when did they go in the fridge", "garage fridge"),
        ("the fridge in the garage what did it read", "garage fridge"),
        ("how long were they in the cold", "garage fridge"),
        ("who is on the porch", "porch tent"),
        ("who is in the shed", ""),
        ("can pupae stand a fridge", ""),
        ("how many in all", ""),
    ],
)
def test_only_what_fits_one_place_means_it(line, label):
    assert by_part(line, PLACES) == label
