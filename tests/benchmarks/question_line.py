"""Prints what a key costs beside its echo, with 300 cohorts, every name of the knowledge base and 500 lines sent before.

usage: PYTHONPATH=. python tests/benchmarks/question_line.py

offers   completion at every key of many lines, milliseconds at the median, the 99th percentile and the worst (aim: under 10)
built    completion built anew, as after every record
heard    what a line is taken for, at its end, milliseconds (in the desk's thread; nobody waits for it)
long     both for a line of 10,000 characters

Processor time, so that a busy machine does not count.
"""

from __future__ import annotations

import csv
import io
import statistics
import sys
import tempfile
import time
from collections.abc import Iterable
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent / "language")]

EVERY = 40
"""One line of so many is typed."""


def opened(folder: Path):
    """A nursery of the language benchmark's events in a file."""
    from language import NOW, events

    from nurserytui.assistant import Assistant
    from nurserytui.knowledge.base import load
    from nurserytui.nursery import Nursery
    from nurserytui.records.events import Event
    from nurserytui.records.store import Store

    rows = []
    for row in csv.DictReader(io.StringIO(events())):
        filled = {name: value for name, value in row.items() if value}
        rows.append(Event(**{**filled, "count": int(filled["count"])}))
    store = Store.open(folder / "many.db")
    written = store.append(rows)
    if written.faults:
        raise SystemExit(written.faults[0].reason)
    return Assistant(Nursery(store, load(), NOW))


def costs(work, arguments: Iterable) -> list[float]:
    found = []
    for argument in arguments:
        start = time.process_time()
        work(argument)
        found.append((time.process_time() - start) * 1e3)
    return found


def told(name: str, found: list[float]) -> None:
    centiles = statistics.quantiles(found, n=100)
    print(
        f"{name:8} {statistics.median(found):.2f} ms median, {centiles[98]:.2f} ms p99, {max(found):.2f} ms worst of {len(found)}"
    )


def main() -> None:
    from language import lines

    from nurserytui.language.completing import Completion

    with tempfile.TemporaryDirectory() as folder:
        assistant = opened(Path(folder))
        typed = lines()[::EVERY]
        recent = lines()[1::EVERY][:500]
        completion = Completion.of(assistant.nursery)
        keys = [line[:end] for line in typed for end in range(1, len(line) + 1)]
        completion.offers("monarhc")
        told("offers", costs(lambda text: completion.offers(text, None, recent), keys))
        told("built", costs(lambda _: Completion.of(assistant.nursery), range(100)))
        assistant.understood("2 of fennel-0 died")
        told("heard", costs(assistant.understood, typed))
        long = ("how long until the fennel swallowtail caterpillars pupate " * 200)[:10_000]
        found = costs(lambda text: completion.offers(text, None, recent), [long]) + costs(assistant.understood, [long])
        print(f"long     {found[0]:.2f} ms offers, {found[1]:.2f} ms heard")
        assistant.nursery.store.close()


if __name__ == "__main__":
    main()
