"""Prints what understanding a line costs, with 300 cohorts and every name of the knowledge base.

usage: PYTHONPATH=. python tests/benchmarks/language.py

lines    all lines of tests/language/lines and corpus, milliseconds at the median and the 99th percentile (aims: 5 and 15)
long     a line of 100,000 characters, of several makes: the slowest, milliseconds (aim: 50)
fit      fitting the weights of all examples anew, as on the first start after an install, seconds

Processor time, so that a busy machine does not count.
"""

from __future__ import annotations

import json
import statistics
import sys
import time
from datetime import datetime, timedelta
from pathlib import Path

LANGUAGE = Path(__file__).resolve().parents[1] / "language"
sys.path.insert(0, str(LANGUAGE))

COHORTS = 300
KINDS = ("Danaus plexippus", "Papilio polyxenes", "Vanessa cardui", "Pieris rapae", "Actias luna")
NOW = datetime(2026, 6, 22, 9)
LENGTH = 100_000


def events() -> str:
    rows = ["when,what,cohort,species,stage,count,enclosure,host"]
    for at in range(COHORTS):
        day = NOW - timedelta(days=at % 40)
        rows.append(f"{day:%Y-%m-%d},found,{'fennel mallow willow'.split()[at % 3]}-{at},{KINDS[at % 5]},larva,9,tub {at % 60},")
    return "\n".join(rows)


def lines() -> list[str]:
    said = [
        row.split("\t")[1] for file in sorted((LANGUAGE / "lines").glob("*.txt")) for row in file.read_text("utf-8").splitlines()
    ]
    for file in sorted((LANGUAGE / "corpus").glob("*.jsonl")):
        said += [json.loads(row)["say"][0] for row in file.read_text("utf-8").splitlines()]
    return said


LONG = {
    "words": "how long until the fennel swallowtail caterpillars pupate ",
    "numbers": "3 1/4 cups 12.5 C 40 % ",
    "one word": "caterpillar",
    "letters": "x",
    "names": "monarch, milkweed; ",
    "odd signs": "\u202e\u0301\x07<b>",
}


def main() -> None:
    from conversation import nursery_of

    from nurserytui.language import phrases, record_kinds, weighing
    from nurserytui.language.context import Context
    from nurserytui.language.understand import understand

    place = nursery_of(events(), NOW)
    tables = phrases.load()
    understand("when will the first monarch hatch", place, Context())
    costs = []
    for line in lines():
        start = time.process_time()
        understand(line, place, Context())
        costs.append((time.process_time() - start) * 1e3)
    centiles = statistics.quantiles(costs, n=100)
    print(
        f"lines  {statistics.median(costs):.2f} ms median, {centiles[98]:.2f} ms p99 over {len(costs)} lines, {COHORTS} cohorts"
    )
    worst, slowest = "", 0.0
    for name, text in LONG.items():
        line = (text * (LENGTH // len(text) + 1))[:LENGTH]
        start = time.process_time()
        understand(line, place, Context())
        cost = (time.process_time() - start) * 1e3
        worst, slowest = max((worst, slowest), (name, cost), key=lambda pair: pair[1])
    print(f"long   {slowest:.1f} ms for {LENGTH} characters ({worst})")
    start = time.process_time()
    for folder, features in ((weighing.TOPICS, weighing.features_of), (weighing.EVENTS, record_kinds.features_of)):
        weighing.fit([(told, features(words, tables)) for told, words in weighing.examples(folder)])
    print(f"fit    {time.process_time() - start:.2f} s")


if __name__ == "__main__":
    main()
