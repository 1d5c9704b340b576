"""How well the examples tell the event of a record: one table by event and by chance, every hand measured by the examples of the others.

    PYTHONPATH=. python tests/language/measure_events.py [hand ...]

The lines lie in lines/events/<hand>.txt (event, tab, the line as typed), written by several hands who knew neither the phrases nor the
code. All are examples too, masked; a hand's own are left out of the fit that measures it.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).parent))

from measure import LINES, place

from nurserytui.language import cues, phrases, record_kinds, weighing
from nurserytui.language.record_guard import polite
from nurserytui.language.record_items import items_of
from nurserytui.language.spans import scan
from nurserytui.language.vocabulary import Vocabulary

HANDS = tuple(sorted(file.stem for file in (LINES / "events").glob("*.txt")))


class Told(NamedTuple):
    line: str
    wanted: str
    event: str
    chance: float


def lines_of(hand: str) -> list[list[str]]:
    return [row.split("\t") for row in (LINES / "events" / f"{hand}.txt").read_text(encoding="utf-8").splitlines()]


def masked(text: str) -> list[str]:
    """The words of a line as records/<event>.txt has them."""
    vocabulary = Vocabulary.of(place())
    line = cues.settle(scan(text, vocabulary, place().now, place().settings), vocabulary)
    return record_kinds.words_of(polite(items_of(line, place().ledger.cohorts)))


def told_of(hand: str) -> list[Told]:
    """What the examples of all other hands tell of this one's lines."""
    tables = phrases.load()
    rows = [(event, line, masked(line)) for event, line in lines_of(hand)]
    own = {" ".join(words) for _, _, words in rows}
    weights = weighing.fit(
        [
            (event, record_kinds.features_of(words, tables))
            for event, words in weighing.examples(weighing.EVENTS)
            if " ".join(words) not in own
        ]
    )
    found = []
    for event, line, words in rows:
        weighed = weighing.weigh(words, tables, weights, record_kinds.features_of)
        found.append(Told(line, event, weighed.topic if weighed else "", weighed.chance if weighed else 0.0))
    return found


def share(told: list[Told]) -> float:
    return sum(each.event == each.wanted for each in told) / len(told) if told else 0.0


def main() -> None:
    told = []
    for hand in sys.argv[1:] or HANDS:
        mine = told_of(hand)
        print(f"{hand:8} {len(mine):5} lines {share(mine):6.1%}", flush=True)
        told += mine
    print(f"{'all':8} {len(told):5} lines {share(told):6.1%}\n")
    for event, number in sorted(Counter(each.wanted for each in told).items()):
        print(f"{event:14} {number:5} {share([each for each in told if each.wanted == event]):6.1%}")
    print("\nchance    lines  right")
    for tenth in range(9, 1, -1):
        here = [each for each in told if tenth <= min(each.chance * 10, 9.99) < tenth + 1]
        print(f"{tenth / 10:.1f}+    {len(here):6} {share(here):6.1%}")


if __name__ == "__main__":
    main()
