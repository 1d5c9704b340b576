"""Numbers of the knowledge base against what was published beside them: see `knowledge_checks.py` for the sources."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from checks import ids
from knowledge_checks import checks

from nurserytui.knowledge.base import load

with TemporaryDirectory() as _nothing:
    # Without anything of a keeper's own, and without a cache of before.
    CHECKS = checks(load(own=Path(_nothing, "own"), cache=Path(_nothing, "cache")))


@pytest.mark.parametrize("check", CHECKS, ids=ids(CHECKS))
def test_published(check):
    assert check.holds, check.said
