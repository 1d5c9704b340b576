"""Prints every check of the program against the world: published numbers, rearings, simulations, each with its source and tolerance.

usage: python tests/published/report.py [--quick]

Exit code 1 if a check fails. `--quick` simulates fewer cohorts, for a first look; the tolerance of simulated coverage grows with it.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent / "biology"), str(HERE.parent.parent)]

import calibration  # noqa: E402
import day_length_checks  # noqa: E402
import degree_day_checks  # noqa: E402
import dilution_checks  # noqa: E402
import feeding_checks  # noqa: E402
import knowledge_checks  # noqa: E402
import learning_simulations  # noqa: E402
import stage_durations  # noqa: E402
import survival_checks  # noqa: E402
import tracing_checks  # noqa: E402
import weather_rearing  # noqa: E402

from nurserytui.knowledge.base import load  # noqa: E402

HOLDS = "holds"
BY_TESTS_ONLY = ("test_diapause.py", "test_waking.py", "test_losses.py")
"""Published checks that are written as tests: run here as they are."""


def published(checks) -> list[list[str]]:
    """One row a check; where a source printed a fault, what is right and why."""
    rows = []
    for check in checks:
        told = (
            f"{check.published:g}"
            if check.corrected is None
            else f"{check.published:g} (not used: {check.fault}; {check.corrected:g})"
        )
        rows.append(
            [check.source, check.about, told, f"{check.computed():g}", check.tolerance, HOLDS if check.holds else "FAILS"]
        )
    return rows


def sections(quick: bool) -> Iterable[tuple[str, Sequence[str], list[Sequence[str]]]]:
    """(title, header, rows); the last cell of a row that is judged says `holds` or what does not."""
    base = load()
    header = ("source", "about", "published", "computed", "within", "")
    yield "Degree-days", header, published(degree_day_checks.checks())
    yield "Day length", header, published(day_length_checks.checks())
    yield "Survival", header, published(survival_checks.checks())
    yield "Dilutions", header, published(dilution_checks.checks())
    yield "Food", header, published(feeding_checks.checks())
    yield "Numbers of the knowledge base", header, published(knowledge_checks.checks(base))
    yield "Tracing", header, published(tracing_checks.checks(base))
    yield from stage_durations.tables()
    yield from weather_rearing.tables(base)
    yield from calibration.tables(60 if quick else 300)
    yield from learning_simulations.tables(60 if quick else 300)
    yield "Held by tests", ("check", ""), by_tests()


class Outcomes:
    """A pytest plugin that keeps what became of each test."""

    def __init__(self) -> None:
        self.rows: list[list[str]] = []

    def pytest_runtest_logreport(self, report) -> None:
        if report.when == "call" or report.outcome != "passed":
            said = HOLDS if report.outcome == "passed" else "left out" if report.outcome == "skipped" else "FAILS"
            self.rows.append([report.nodeid, said])


def by_tests() -> list[list[str]]:
    import pytest

    outcomes = Outcomes()
    with redirect_stdout(StringIO()):
        pytest.main([*(str(HERE / name) for name in BY_TESTS_ONLY)], plugins=[outcomes])
    return outcomes.rows or [["none ran", "FAILS"]]


def printed(title: str, header: Sequence[str], rows: list[Sequence[object]]) -> str:
    """A table of text, columns as wide as they need."""
    cells = [
        [cell if isinstance(cell, str) else f"{cell:.3g}" if isinstance(cell, float) else str(cell) for cell in row]
        for row in rows
    ]
    widths = [max(len(row[at]) for row in [list(header), *cells]) for at in range(len(header))]
    lines = [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in [list(header), *cells]
    ]
    return "\n".join([title, "-" * min(len(title), 120), *lines, ""])


def failed(header: Sequence[str], rows: list[Sequence[object]]) -> list[Sequence[object]]:
    """The rows of a judged table (its last column has no name) that do not hold."""
    return [row for row in rows if header[-1] == "" and row[-1] not in (HOLDS, "", "left out")]


def main(arguments: list[str]) -> int:
    faults = 0
    for title, header, rows in sections("--quick" in arguments):
        print(printed(title, header, rows), flush=True)
        faults += len(failed(header, rows))
    print(f"{faults} checks fail" if faults else "every check holds")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
