"""The rounds of this folder for as long as one likes, with new chances each time, and a table of what was found.

usage: python tests/faults/longer.py [MINUTES] [SEED]        (5 minutes; exits with 1 if anything was found)
"""

from __future__ import annotations

import os
import random
import sys
import tempfile
import time
from collections.abc import Callable
from itertools import chain, count
from pathlib import Path

HERE = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(HERE.parent), str(HERE)]

from faults import harming, killing  # noqa: E402
from nurserytui.records.store import Store  # noqa: E402


class Row:
    """One kind of round: how often it was run, how much was acknowledged or tried in it, and everything that must not be."""

    def __init__(self) -> None:
        self.rounds = self.tried = 0
        self.found: list[str] = []


def kill(kind: str) -> Callable[[Path, random.Random], tuple[int, list[str]]]:
    """Kill one writer after another on the same file."""

    def run(folder: Path, chance: random.Random) -> tuple[int, list[str]]:
        path, tag = folder / "n.db", f"t{chance.randrange(10**9)}"
        Store.open(path).close()
        writes = killing.killed(kind, path, tag, chance)
        return writes, killing.found(kind, path, tag, writes)

    return run


def kill_one_of_three(folder: Path, chance: random.Random) -> tuple[int, list[str]]:
    """Three write at once, one of them is killed, the others go on to their end."""
    path, kinds = folder / "n.db", {"append": 40, "import of events": 5, "import of readings": 5}
    tags = {kind: f"t{chance.randrange(10**9)}" for kind in kinds}
    running = {kind: killing.started(kind, path, tags[kind], most) for kind, most in kinds.items()}
    victim = chance.choice([*kinds])
    time.sleep(chance.uniform(0.3, 1.5))
    running[victim].kill()
    writes, wrong = 0, []
    for kind, one in running.items():
        said, complaint = one.communicate(timeout=300)
        acknowledged = killing.acknowledged(kind, said)
        writes += acknowledged
        if kind != victim and (one.returncode or complaint or acknowledged != kinds[kind]):
            wrong.append(f"{kind}, while {victim} was killed: {acknowledged} of {kinds[kind]} written; {complaint}")
        if acknowledged or kind != victim:
            wrong += killing.found(kind, path, tags[kind], acknowledged)
    return writes, wrong


def start_at_once(folder: Path, chance: random.Random) -> tuple[int, list[str]]:
    """Five start at once on a file that is not there."""
    path = folder / f"new-{chance.randrange(10**9)}.db"
    running = {tag: killing.started("append", path, tag, 5) for tag in "abcde"}
    wrong = []
    for tag, one in running.items():
        said, complaint = one.communicate(timeout=120)
        if one.returncode or complaint or killing.acknowledged("append", said) != 5:
            wrong.append(f"starting at once: {complaint}")
        wrong += killing.found("append", path, tag, 5)
    return 25, wrong


def harm(folder: Path, chance: random.Random) -> tuple[int, list[str]]:
    """Cuts, lost pages and turned bits, ten of all there are."""
    path = folder / "whole.db"
    if not path.exists():
        harming.nursery(path)
    raw, texts = path.read_bytes(), harming.contents(path)
    harms = [*harming.cuts(raw), *harming.blocks(raw), *harming.flips(raw, chance, 3)]
    chosen = chance.sample(harms, 10)
    place = folder / "harmed"
    place.mkdir(exist_ok=True)
    return len(chosen), list(chain.from_iterable(harming.found(one, raw, place, texts) for one in chosen))


ROUNDS = {
    **{f"kill: {kind}": kill(kind) for kind in killing.KINDS},
    "kill one of three": kill_one_of_three,
    "start at once": start_at_once,
    "cut, lost, turned over": harm,
}


def main() -> int:
    minutes = float(sys.argv[1]) if len(sys.argv) > 1 else 5
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else random.randrange(10**6)
    chance, end, rows = random.Random(seed), time.monotonic() + 60 * minutes, {name: Row() for name in ROUNDS}
    with tempfile.TemporaryDirectory(prefix="faults-") as top:
        os.environ["NURSERYTUI_STATE"] = str(Path(top) / "state")
        for number in count():
            if time.monotonic() > end and number >= len(ROUNDS):
                break
            name = [*ROUNDS][number % len(ROUNDS)]
            folder = Path(top) / name.replace(":", "").replace(" ", "-")
            folder.mkdir(exist_ok=True)
            try:
                tried, found = ROUNDS[name](folder, chance)
            except AssertionError as error:
                tried, found = 0, [f"{name}: {error}"]
            rows[name].rounds += 1
            rows[name].tried += tried
            rows[name].found += found
    print(f"seed {seed}\n{'round':24} {'rounds':>7} {'writes or harms':>16} {'found':>6}")
    for name, row in rows.items():
        print(f"{name:24} {row.rounds:>7} {row.tried:>16} {len(row.found):>6}")
    wrong = [line for row in rows.values() for line in row.found]
    print("\n".join(wrong) if wrong else "Nothing was lost, nothing was half written, and nothing that was harmed went untold.")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
