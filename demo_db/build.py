"""Builds demo.db from events.csv and readings.csv with the program's own importer.

usage: python demo_db/build.py [--readings]     (--readings also writes readings.csv anew)
The nursery, its keepers and its place are invented.
"""

from __future__ import annotations

import math
import sys
from datetime import datetime, timedelta
from pathlib import Path

HERE = Path(__file__).resolve().parent


def write_readings() -> None:
    """Hourly temperatures of two cages for the weeks before the demo's moment: a daily swing and a slow weekly one, no chance in it."""
    start, end = datetime(2026, 5, 20), datetime(2026, 6, 18, 7)
    rows = ["time,place,temperature_C"]
    for place, mean, swing in (("tall cage", 22.5, 4.5), ("window cage", 23.5, 3.5)):
        moment = start
        while moment <= end:
            hours = (moment - start).total_seconds() / 3600
            value = mean + swing * math.sin(2 * math.pi * (hours - 9) / 24) + 1.2 * math.sin(2 * math.pi * hours / 150)
            rows.append(f"{moment:%Y-%m-%dT%H:%M},{place},{value:.1f}")
            moment += timedelta(hours=1)
    (HERE / "readings.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")


def build(target: Path) -> None:
    """Write a fresh demo database to `target`; raises SystemExit with the faults if a file has any."""
    from nurserytui.records.importing import import_file
    from nurserytui.records.store import Store

    target.unlink(missing_ok=True)
    with Store.open(target) as store:
        for name in ("events.csv", "readings.csv"):
            report = import_file(HERE / name, store)
            if report.faults:
                raise SystemExit("\n".join(str(fault) for fault in report.faults))
            print(f"{name}: {report.added} {report.kind}")


if __name__ == "__main__":
    if "--readings" in sys.argv:
        write_readings()
    build(HERE / "demo.db")
