"""Fuzzes the program for as long as wanted, led by what code each input reaches, and prints what it found and what a line costs.

usage: python tests/fuzzing/longer.py [MINUTES] [line|import|knowledge]

Without a target all three get their share of the minutes (10 unless said). It needs atheris: python -m pip install 'nurserytui[fuzz]'.
Inputs that reached something new are kept in the cache folder and are where the next run begins. A finding is printed once for each
place in the code, with the input as a Python literal that a test can hold.

Then the lines that were kept are said once more to a nursery whose forecasts are made (after a record they are made anew, untimed),
without the instruments, and their processor time is told: 50th, 99th and 99.9th percentile, and the slowest line (the promise: 99 in a
hundred under 50 ms); and the same for what a line is taken for with 300 cohorts.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import time
import traceback
from pathlib import Path
from random import Random

TESTS = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(TESTS), str(TESTS.parent)]
TARGETS = ("line", "import", "knowledge")
LONGEST = {"line": 2500, "import": 60_000, "knowledge": 8000}
SEEDS = 400
REPLAYED = 800
FRESH = 400
"""A nursery takes so many inputs before the next begins."""


def main() -> int:
    words = sys.argv[1:]
    if words[:1] == ["--within"]:
        return within(words[1], float(words[2]))
    minutes = float(words.pop(0)) if words and words[0].replace(".", "", 1).isdigit() else 10.0
    wanted = [word for word in words if word in TARGETS] or list(TARGETS)
    if set(words) - set(TARGETS):
        print(__doc__)
        return 2
    try:
        import atheris  # noqa: F401
    except ModuleNotFoundError:
        print("atheris is not installed, so nothing was fuzzed: python -m pip install 'nurserytui[fuzz]'")
        return 0
    from nurserytui import paths

    found = 0
    for target in wanted:
        folder = paths.user_cache() / "fuzzing" / target
        seed(target, folder)
        summary = folder.parent / f"{target}.json"
        summary.unlink(missing_ok=True)
        seconds = minutes * 60 / len(wanted)
        run = subprocess.run(
            [sys.executable, __file__, "--within", target, str(seconds)], stderr=subprocess.PIPE, text=True, errors="replace"
        )
        if not summary.exists():
            print(run.stderr[-2000:])
            return 1
        told = json.loads(summary.read_text("utf-8"))
        print(
            f"{target}: {told['executions']:,} executions in {told['seconds']:.0f} s, {len(list(folder.iterdir())):,} inputs kept, "
            f"{len(told['findings'])} findings"
        )
        for place, finding in told["findings"].items():
            print(f"  {finding['times']} x {place}\n    {finding['error']}\n    {finding['input']}")
        found += len(told["findings"])
    if "line" in wanted:
        cost(paths.user_cache() / "fuzzing" / "line")
    return 1 if found else 0


def seed(target: str, folder: Path) -> None:
    """Put good inputs and some broken ones where the fuzzer begins."""
    from fuzzing import files, knowledge, lines

    folder.mkdir(parents=True, exist_ok=True)
    chance = Random(0)
    if target == "line":
        made = ["\n".join(lines.dialogue(chance, 3)).encode("utf-8", "surrogatepass") for _ in range(SEEDS // 2)]
        made += [lines.example(chance).encode() for _ in range(SEEDS // 2)]
    elif target == "import":
        made = [content for name, content in (files.import_file(chance) for _ in range(SEEDS // 4)) if name != "other.db"]
        made += [files.json_lines(), "\n".join(map(",".join, files.table())).encode()]
    else:
        made = [knowledge.folder_file(chance)[1] for _ in range(SEEDS // 4)] + [knowledge.template().encode()]
    for number, content in enumerate(made):
        (folder / f"seed-{number:05}").write_bytes(content[: LONGEST[target]])


def dictionary(folder: Path) -> Path:
    """Cue words, kinds of things and columns, for the fuzzer to write."""
    from fuzzing import files, lines
    from nurserytui.records.events import WHATS, Event

    words = {*lines.words(), *WHATS, *Event._fields, *(one for kind in lines.STANDS_FOR.values() for one in kind)}
    words |= {cell for cell in files.CELLS if 0 < len(cell) < 40}
    path = folder / "words.dict"
    quoted = ("".join(f"\\x{byte:02x}" for byte in word.encode("utf-8", "surrogatepass")) for word in sorted(words) if word)
    path.write_text("\n".join(f'"{word}"' for word in quoted), encoding="ascii")
    return path


def within(target: str, seconds: float) -> int:
    """Fuzz one target in this process; it ends with it."""
    import atheris

    with atheris.instrument_imports(include=["nurserytui"]):
        import nurserytui.assistant
        import nurserytui.knowledge.checking
        import nurserytui.records.importing  # noqa: F401
        from nurserytui import answers

        for place in dict.fromkeys(place.split(":")[0] for place in answers.TOPICS.values()):
            __import__(f"nurserytui.answers.{place}")
        from nurserytui.language import record_grammar  # noqa: F401
    from fuzzing import promises  # noqa: F401
    from nurserytui import paths

    os.environ["NURSERYTUI_DEBUG"] = "1"
    folder = paths.user_cache() / "fuzzing"
    summary, work = folder / f"{target}.json", tempfile.mkdtemp()
    told = {"executions": 0, "seconds": 0.0, "findings": {}}
    begun = last = time.monotonic()
    try_one = {"line": lines_tried, "import": files_tried, "knowledge": folders_tried}[target](Path(work))

    def one(content: bytes) -> None:
        nonlocal last
        told["executions"] += 1
        try:
            try_one(content)
        except Exception as error:
            place = placed(error)
            known = told["findings"].setdefault(place, {"times": 0, "error": str(error)[:300], "input": ascii(content[:3000])})
            known["times"] += 1
        now = time.monotonic()
        if now - last > 1:
            last, told["seconds"] = now, now - begun
            summary.write_text(json.dumps(told), encoding="utf-8")

    options = [f"-max_total_time={int(seconds)}", f"-max_len={LONGEST[target]}", f"-dict={dictionary(folder)}", "-timeout=120"]
    summary.write_text(json.dumps(told), encoding="utf-8")
    atheris.Setup([sys.argv[0], *options, "-rss_limit_mb=6000", f"-artifact_prefix={work}/", str(folder / target)], one)
    atheris.Fuzz()
    return 0


def placed(error: Exception) -> str:
    """The kind of an error and the last line of ours that it passed; of a broken promise also which."""
    frames = [frame for frame in traceback.extract_tb(error.__traceback__) if "/nurserytui/" in frame.filename]
    at = f"{frames[-1].filename.split('/nurserytui/')[-1]}:{frames[-1].lineno}" if frames else ""
    if isinstance(error, AssertionError):
        at = " ".join(str(error).split()[:3]) or str(traceback.extract_tb(error.__traceback__)[-1].line)
    return f"{type(error).__name__} {at}"


def lines_tried(_: Path):
    from fuzzing.promises import Keeper

    keepers = [Keeper("demo"), Keeper("empty")]
    tried = 0

    def one(content: bytes) -> None:
        nonlocal tried
        tried += 1
        if tried % FRESH == 0:
            keepers[:] = [Keeper("demo"), Keeper("empty")]
        keeper = keepers[tried % 2]
        keeper.new_conversation()
        try:
            for line in content.decode("utf-8", "surrogateescape").split("\n"):
                keeper.say(line) if line else keeper.new_conversation()
        except Exception:
            keepers[tried % 2] = Keeper(("demo", "empty")[tried % 2])
            raise

    return one


def files_tried(folder: Path):
    from fuzzing.test_imports import hold_import
    from nurserytui.records.store import Store

    path = folder / "file.csv"
    stores = [Store.memory()]
    tried = 0

    def one(content: bytes) -> None:
        nonlocal tried
        tried += 1
        if tried % FRESH == 0:
            stores[0].close()
            stores[:] = [Store.memory()]
        path.write_bytes(content)
        hold_import(stores[0], path)

    return one


def folders_tried(folder: Path):
    from fuzzing import knowledge
    from fuzzing.test_knowledge import hold_folder, put

    base, own = knowledge.small_base(folder), folder / "own"
    own.mkdir()

    def one(content: bytes) -> None:
        put(own, "mine.toml", content)
        hold_folder(base, own)

    return one


def cost(folder: Path) -> None:
    """What the lines that were kept cost."""
    from fuzzing.costs import heard, said, told

    chance = Random(1)
    kept = sorted(folder.iterdir())
    kept = chance.sample(kept, min(len(kept), REPLAYED))
    lines = [line for path in kept for line in path.read_bytes().decode("utf-8", "replace").split("\n") if line.strip()]
    print(told("said", said(lines)))
    print(told("heard with 300 cohorts", heard(lines)))


if __name__ == "__main__":
    sys.exit(main())
