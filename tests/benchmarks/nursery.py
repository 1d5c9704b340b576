"""Prints what twenty seasons cost a question: a nursery with some 200,000 events against one with the same animals and no history.

usage: python tests/benchmarks/nursery.py [SEASONS]

small, large    processor milliseconds of an answer, the best of three in a conversation that goes on (both have the same living cohorts)
times           large over small, of one run; the last rows are the first answer after a record, and after ten minutes
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).parents[2]))

from nurserytui.assistant import Assistant  # noqa: E402
from nurserytui.knowledge import base  # noqa: E402
from nurserytui.nursery import Nursery  # noqa: E402
from nurserytui.records.events import Event  # noqa: E402
from nurserytui.records.ledger import replay  # noqa: E402
from nurserytui.records.store import Store  # noqa: E402
from tests.oracle.nurseries import LARGE_LOOKS, random_events  # noqa: E402

COHORTS = 50
ROUNDS = 3
QUESTIONS = (
    "what needs doing today",
    "anything due by Monday",
    "I'm away until the 20th",
    "how many larvae do I have",
    "what is in {place}",
    "history of {cohort}",
    "what happened yesterday",
    "when did I last clean {place}",
    "when will {cohort} emerge",
    "survival of {cohort}",
    "survival this year",
    "survival by species",
    "survival by host",
    "survival over time of {cohort}",
    "causes of death this year",
    "causes of death",
    "how does this season compare with last season",
    "first and last dates by species",
    "how many animals have I handled this year",
    "who was exposed to the virus",
    "make me an isolation plan",
    "which cohort will be short of food",
    "is any cage overcrowded",
    "which animals should not share a cage",
    "mean temperature of {place} last week",
    "can I release {cohort}",
    "labels for the cages",
)


class Row(NamedTuple):
    question: str
    small: float
    large: float

    @property
    def times(self) -> float:
        return self.large / self.small


def small_of(events: Sequence[Event]) -> list[Event]:
    """The animals alive at the end as finds of the day before, one event a cohort."""
    ledger = replay(events)
    day = (datetime.fromisoformat(events[-1].day) - timedelta(days=1)).date().isoformat()
    largest: dict[str, tuple[int, object]] = {}
    for key, count in ledger.heads.items():
        if count > largest.get(key.cohort, (0, None))[0]:
            largest[key.cohort] = count, key
    return [
        Event(day, "found", label, species=ledger.cohorts[label].species, stage=key.stage, instar=key.instar, count=count,
              enclosure=key.enclosure, host=ledger.cohorts[label].host, id=f"f{at}")
        for at, (label, (count, key)) in enumerate(largest.items())
    ]  # fmt: skip


def opened(folder: Path, name: str, events: Sequence[Event]) -> Assistant:
    store = Store.open(folder / name)
    written = store.append(events)
    if written.faults:
        raise SystemExit(f"{name}: {written.faults[0].reason}")
    now = datetime.fromisoformat(events[-1].day) + timedelta(hours=32)
    return Assistant(Nursery(store, base.load(), now))


def cost(assistant: Assistant, question: str, rounds: int = ROUNDS) -> float:
    """Processor milliseconds of the cheapest of some answers."""
    best = float("inf")
    for _ in range(rounds):
        start = time.process_time()
        assistant.reply(question)
        best = min(best, time.process_time() - start)
    return best * 1000


def compared(small: Assistant, large: Assistant, questions: Sequence[str] = QUESTIONS) -> list[Row]:
    nursery = small.nursery
    key = max(nursery.ledger.heads, key=lambda key: (key.stage == "larva", key.cohort))
    names = {"cohort": key.cohort, "place": key.enclosure}
    rows = []
    for question in questions:
        asked = question.format(**names)
        for assistant in (small, large):
            assistant.reply(asked)
        rows.append(Row(asked, cost(small, asked), cost(large, asked)))
    return rows


def main() -> None:
    seasons = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    events = random_events(7, seasons, COHORTS, looks_per_day=LARGE_LOOKS)
    with tempfile.TemporaryDirectory() as folder:
        small = opened(Path(folder), "small.db", small_of(events))
        large = opened(Path(folder), "large.db", events)
        print(
            f"{len(small.nursery.events)} and {len(events)} events, {len({key.cohort for key in large.nursery.ledger.heads})} cohorts alive\n"
        )
        rows = compared(small, large)
        place = rows[4].question.removeprefix("what is in ")
        for name, line in (("after a record", f"fed {place}"), ("after another", f"cleaned {place}")):
            taken = [cost(assistant, line, 1) for assistant in (small, large)]
            rows.append(Row(f"{line} ({name})", *taken))
            rows.append(
                Row(f"what needs doing today ({name})", *(cost(one, "what needs doing today", 1) for one in (small, large)))
            )
        for one in (small, large):
            one.nursery.at(one.nursery.now + timedelta(minutes=10))
        rows.append(
            Row("what needs doing today (ten minutes later)", *(cost(one, "what needs doing today", 1) for one in (small, large)))
        )
        print(f"{'small':>8} {'large':>8} {'times':>6}")
        for row in rows:
            print(f"{row.small:8.1f} {row.large:8.1f} {row.times:6.1f}  {row.question}")


if __name__ == "__main__":
    main()
