"""Printed dilutions: see `dilution_checks.py` for the recipes and their sources."""

from __future__ import annotations

import pytest
from checks import ids
from dilution_checks import checks

CHECKS = checks()


@pytest.mark.parametrize("check", CHECKS, ids=ids(CHECKS))
def test_published(check):
    assert check.holds, check.said
