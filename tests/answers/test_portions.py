"""Plant as a line tells it: what is on hand, how big a piece is, in what the answer is wanted, and how many animals."""

from __future__ import annotations

import pytest

from nurserytui.answers.portions import told

CASES = [
    # line, supply, size, wanted, animals
    ("will 6 stems of dill last cohort c to friday", (6, "stems"), None, "", None),
    ("will 6 big dill stems last", (6, "stems"), None, "", None),
    ("how many leaves of 40 cm2 for 20 monarchs", None, (40, "cm2"), "leaves", 20),
    ("how many 15 g stems of fennel for c", None, (15, "g"), "stems", None),
    ("how many stems weighing 0.5 oz for c", None, (14.17, "g"), "stems", None),
    ("are two 40 cm2 leaves enough for 3 larvae", (2, "leaves"), (40, "cm2"), "", 3),
    ("i have 200 g of kale is that enough for b", (200, "g"), None, "", None),
    ("i have 1.5 kg of kale", (1500, "g"), None, "", None),
    ("is 800 cm2 of leaf enough", (800, "cm2"), None, "", None),
    ("a leaf is 30 cm2 how many for a", None, (30, "cm2"), "", None),
    ("how many leaves of cabbage for d each leaf about 120 cm2", None, (120, "cm2"), "leaves", None),
    ("6 leaves 25 cm2 each", (6, "leaves"), (25, "cm2"), "", None),
    ("is one pot of parsley enough for 5 caterpillars", (1, "plants"), None, "", 5),
    ("will a dozen sprigs of dill do", (12, "stems"), None, "", None),
    ("a couple of bunches of dill", (2, "bunches"), None, "", None),
    ("how many grams of cabbage do 30 small whites eat", None, None, "g", 30),
    ("how much leaf area does d still need", None, None, "cm2", None),
    ("leaves per day for a last instar monarch", None, None, "leaves", None),
    ("how many plants for 12 larvae in instar 4", None, None, "plants", 12),
    ("how much will c eat this week", None, None, "", None),
    ("0 stems", None, None, "", None),
]


@pytest.mark.parametrize(("line", "supply", "size", "wanted", "animals"), CASES, ids=[case[0] for case in CASES])
def test_told(line, supply, size, wanted, animals):
    found = told(line, ("dill",))
    assert (found.wanted, found.animals) == (wanted, animals)
    for mine, expected in ((found.supply, supply), (found.size, size)):
        assert (mine is None) == (expected is None), found
        if expected is not None:
            assert mine[0] == pytest.approx(expected[0], rel=1e-3) and mine[1] == expected[1]
