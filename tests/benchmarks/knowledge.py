"""Prints what the knowledge base costs: loading all of it from its compiled cache, over an empty one, and looking a name up.

usage: PYTHONPATH=. python tests/benchmarks/knowledge.py

load     a fresh interpreter opens the cache and makes every fact of every part; the same with an empty folder; their difference (aim: 30 ms)
names    a look-up over all names, exact and with one or two typing errors, milliseconds at the median and the 99th percentile (aim: 2 ms)

Processor time, so that a busy machine does not count.
"""

from __future__ import annotations

import random
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

RUNS = 15
LOAD = """
import sys, time
from pathlib import Path
from nurserytui.knowledge import base
start = time.process_time()
knowledge = base.load(Path(sys.argv[1]), Path(sys.argv[2]), Path(sys.argv[3]))
facts = (
    knowledge.names, knowledge.all_species(), knowledge.all_plants(), knowledge.signs(), knowledge.all_agents(), knowledge.look_alikes(),
    knowledge.rules(), knowledge.pairings_of(""), [knowledge.thermal(each) for each in knowledge.species_with_durations()],
    [knowledge.durations(each) for each in knowledge.species_with_durations()], knowledge.prior(""), knowledge.source(""),
    knowledge.traits("colours"), knowledge.general_cutting(), knowledge.faults(),
)
print(time.process_time() - start)
"""
LETTERS = "abcdefghijklmnopqrstuvwxyz"


def main() -> None:
    from nurserytui import paths
    from nurserytui.knowledge import base

    with tempfile.TemporaryDirectory() as folder:
        none, cache, bare = Path(folder, "none"), Path(folder, "cache"), Path(folder, "bare")
        none.mkdir()
        shipped = [timed(paths.shipped("knowledge"), none, cache) for _ in range(RUNS)][1:]
        empty = [timed(none, none, bare) for _ in range(RUNS)][1:]
        full, nothing = statistics.median(shipped), statistics.median(empty)
        size = sum(file.stat().st_size for file in cache.iterdir())
        print(f"load   {full:.1f} ms all facts, {nothing:.1f} ms empty: {full - nothing:.1f} ms over it ({size / 1e3:.0f} kB)")
        knowledge = base.load(own=none, cache=cache)
        aliases = [alias.alias for alias in knowledge.aliases()]
        chance = random.Random(20)
        asked = [misspelt(name, errors, chance) for name in chance.sample(aliases, 400) for errors in (0, 1, 2)]
        knowledge.match("warm up the lengths")
        costs = []
        for name in asked:
            start = time.process_time()
            knowledge.match(name)
            costs.append((time.process_time() - start) * 1e3)
        costs.sort()
        print(
            f"names  {statistics.median(costs):.2f} ms median, {costs[int(len(costs) * 0.99)]:.2f} ms p99 over {len(aliases)} names, {len(asked)} look-ups"
        )


def timed(*arguments: Path) -> float:
    """Milliseconds of processor time, as a fresh interpreter measures them."""
    done = subprocess.run([sys.executable, "-c", LOAD, *map(str, arguments)], capture_output=True, text=True, check=True)
    return float(done.stdout) * 1e3


def misspelt(name: str, errors: int, chance: random.Random) -> str:
    """The name with letters swapped, dropped, doubled or mistaken."""
    letters = list(name)
    for _ in range(errors):
        at = chance.randrange(len(letters))
        match chance.randrange(4):
            case 0 if at + 1 < len(letters):
                letters[at], letters[at + 1] = letters[at + 1], letters[at]
            case 1 if len(letters) > 2:
                del letters[at]
            case 2:
                letters.insert(at, letters[at])
            case _:
                letters[at] = chance.choice(LETTERS)
    return "".join(letters)


if __name__ == "__main__":
    main()
