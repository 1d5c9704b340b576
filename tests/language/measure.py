"""How well lines are understood that no example, signal or cue was made for: one table by topic and layer, with calibration and coverage.

    PYTHONPATH=. python tests/language/measure.py [folds]

The lines lie in lines/*.txt (topic, tab, the line as typed), written by several hands who knew neither the cues nor the signals; many
are examples too, masked. Every line is therefore measured with weights fitted without the examples of its fold. A line has one topic
here, though two would sometimes do, so that `wrong` is an upper bound.
"""

from __future__ import annotations

import sys
from collections import Counter, defaultdict
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).parent))

from conversation import nursery_of

from nurserytui.language import cues, phrases, weighing
from nurserytui.language.context import Context
from nurserytui.language.spans import scan
from nurserytui.language.understand import understand
from nurserytui.language.vocabulary import Vocabulary

LINES = Path(__file__).parent / "lines"
NOW = datetime(2025, 8, 2, 9)
FOLDS = 5
UNMEASURED = ("explain",)
"""Topics that need an answer before them."""


class Measured(NamedTuple):
    line: str
    wanted: str
    topic: str
    """"" where none was understood."""
    layer: str
    weighed: str
    """The topic that the examples alone would say, and its chance."""
    chance: float

    @property
    def verdict(self) -> str:
        wanted = "" if self.wanted == weighing.OUTSIDE else self.wanted
        return "right" if self.topic == wanted else "wrong" if self.topic else "asked"


@cache
def place():
    return nursery_of((LINES / "nursery.csv").read_text(encoding="utf-8"), NOW)


def lines() -> list[tuple[str, str]]:
    """(topic, line) of all hands, in the order of the files."""
    rows = [row.split("\t") for file in sorted(LINES.glob("*.txt")) for row in file.read_text(encoding="utf-8").splitlines()]
    return [(topic, line) for topic, line in rows if topic not in UNMEASURED]


def masked(line: str) -> list[str]:
    vocabulary = Vocabulary.of(place())
    read = cues.settle(scan(line, vocabulary, place().now, place().settings), vocabulary)
    return weighing.shape(read, cues.find(read, phrases.load(), place()).words)


def fold(number: int, folds: int = FOLDS) -> list[Measured]:
    """Every `folds`-th line, measured with weights that were fitted without it."""
    tables = phrases.load()
    chosen = lines()[number::folds]
    shapes = [masked(line) for _, line in chosen]
    left_out = {" ".join(shape) for shape in shapes}
    examples = [
        (topic, weighing.features_of(words, tables)) for topic, words in weighing.examples() if " ".join(words) not in left_out
    ]
    kept, weights = weighing.load(tables), weighing.fit(examples)
    weighing._loaded[weighing.TOPICS] = weights
    try:
        return [_measured(topic, line, shape, tables, weights) for (topic, line), shape in zip(chosen, shapes, strict=True)]
    finally:
        weighing._loaded[weighing.TOPICS] = kept


def _measured(topic: str, line: str, shape: list[str], tables, weights) -> Measured:
    request = understand(line, place(), Context())
    weighed = weighing.weigh(shape, tables, weights)
    layer = request.layer if request.topic else "none"
    return Measured(line, topic, request.topic, layer, weighed.topic if weighed else "", weighed.chance if weighed else 0.0)


def table(found: list[Measured], by: str) -> list[str]:
    groups: dict[str, Counter] = defaultdict(Counter)
    for one in found:
        groups[getattr(one, by)][one.verdict] += 1
    rows = [f"{by:20} {'lines':>6} {'right':>7} {'asked':>7} {'wrong':>7}"]
    for name, counts in sorted(groups.items()):
        every = sum(counts.values())
        shares = " ".join(f"{counts[verdict] / every:7.1%}" for verdict in ("right", "asked", "wrong"))
        rows.append(f"{name:20} {every:6} {shares}")
    return rows


def calibration(found: list[Measured]) -> list[tuple[float, int, float]]:
    """(lower end of the chance, lines, share whose weighed topic is right), in tenths."""
    bins: dict[int, list[bool]] = defaultdict(list)
    for one in found:
        bins[min(9, int(one.chance * 10))].append(one.weighed == one.wanted)
    return [(tenth / 10, len(right), sum(right) / len(right)) for tenth, right in sorted(bins.items())]


def coverage(found: list[Measured]) -> list[tuple[float, float, float]]:
    """(share of lines answered, the chance from which they are, share of those that are wrong), by weighing alone."""
    ranked = sorted(found, key=lambda one: -one.chance)
    rows = []
    for share in (0.5, 0.6, 0.7, 0.8, 0.9, 1.0):
        part = ranked[: round(share * len(ranked))]
        rows.append((share, part[-1].chance, sum(one.weighed != one.wanted for one in part) / len(part)))
    return rows


def report(found: list[Measured]) -> str:
    every = Counter(one.verdict for one in found)
    rows = [
        f"{len(found)} lines: "
        + ", ".join(f"{every[verdict] / len(found):.1%} {verdict}" for verdict in ("right", "asked", "wrong"))
    ]
    rows += [
        "",
        *table(found, "wanted"),
        "",
        *table(found, "layer"),
        "",
        "chance of the weighed topic against how often it is right",
    ]
    rows += [f"{low:.1f}-{low + 0.1:.1f} {count:6} {right:7.1%}" for low, count, right in calibration(found)]
    rows += ["", "answered by weighing alone, from this chance, of which wrong"]
    rows += [f"{share:5.0%} {chance:6.2f} {wrong:7.1%}" for share, chance, wrong in coverage(found)]
    return "\n".join(rows)


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else FOLDS
    print(report([one for number in range(count) for one in fold(number)]))
