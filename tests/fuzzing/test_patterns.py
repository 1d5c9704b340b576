"""No pattern goes back and forth over a line until it has cost more than the line may."""

from __future__ import annotations

import re
from itertools import islice
from random import Random
from time import thread_time

from fuzzing import patterns
from nurserytui.language.normalise import cut, normalise

BOUND = 0.05
"""Seconds of processor time that a line may cost in all."""
STEP = 10
"""One line of so many that are made from the parts of a pattern is tried."""


def test_no_pattern_is_slow_on_the_worst_line_made_of_its_own_parts():
    slow, found = [], patterns.patterns()
    for (pattern, flags), place in found.items():
        tried = re.compile(pattern, flags)
        for line in islice(patterns.adversaries(pattern, flags, Random(1), 1), 0, None, STEP):
            plain = normalise(cut(line))
            start = thread_time()
            tried.search(plain)
            if thread_time() - start > BOUND:
                slow.append((place, pattern, plain[:60]))
                break
    assert len(found) > 400 and not slow
