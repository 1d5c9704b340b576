"""Every file and folder that the program makes is the keeper's alone, whatever the umask; what the keeper opened to others stays so."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from nurserytui import private

pytestmark = pytest.mark.skipif(os.name != "posix", reason="modes of POSIX")

EVERYTHING = """
import os, sys
from pathlib import Path
os.umask(int(sys.argv[1], 8))
folder = Path(sys.argv[2])
os.chdir(folder)
os.environ.update(NURSERYTUI_CACHE="cache/deep", NURSERYTUI_STATE="state/deep")
from nurserytui.cli import main
from nurserytui.records.store import Store
from nurserytui.tui.sent_lines import SentLines, lines_of

table = Path("events.csv")
table.write_text("when,what,cohort,species,count,enclosure\\n2031-06-01,laid,A,Pieris rapae,9,jar\\n")
table.chmod(0o644)
where = ["--db", "own/nursery/n.db", "--now", "2031-06-10"]
calls = [["import", "events.csv"], ["ask", "2 of A hatched"], ["backup", "copy.db"], ["backup"], ["restore", "copy.db", "--yes"]]
calls += [["export", f"out.{form}"] for form in ("csv", "jsonl", "ics", "zip", "html")] + [["ask", "how many eggs"]]
for call in calls:
    assert main([*call, *where]) == 0, call
SentLines(lines_of(folder / "n.db")).sent("2 of A hatched")
with Store.open("own/nursery/n.db") as store:
    store.append([])
    # With the file open the files that SQLite keeps beside it are there.
    for path in sorted(folder.rglob("*")):
        print(f"MODE {path.stat().st_mode & 0o777:o} {path.relative_to(folder)}")
"""


@pytest.mark.parametrize("umask", ["000", "022", "077", "777"])
def test_all_that_is_made_is_the_keepers_alone(tmp_path, umask):
    root = Path(__file__).resolve().parents[1]
    done = subprocess.run(
        [sys.executable, "-c", EVERYTHING, umask, str(tmp_path)],
        capture_output=True, text=True, timeout=120, env={**os.environ, "PYTHONPATH": str(root), "PYTHONDONTWRITEBYTECODE": "1"},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    rows = [line.split(" ", 2)[1:] for line in done.stdout.splitlines() if line.startswith("MODE ")]
    modes = {name: bits for bits, name in rows if name != "events.csv"}
    own = {f"own/nursery/n.db{tail}" for tail in ("", "-wal", "-shm")} | {"own/nursery/n.backups"}
    assert {*own, "copy.db", "out.csv", "out.ics", "out.zip", "out.html", "cache/deep", "state/deep"} <= {*modes}
    assert any(name.endswith("-before-restore.db") for name in modes)
    for name, bits in modes.items():
        assert bits == ("700" if (tmp_path / name).is_dir() else "600"), (name, bits)


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_what_stands_there_keeps_its_mode(tmp_path):
    tmp_path.chmod(0o755)
    for name in ("shared.csv", "n.db"):
        (tmp_path / name).write_bytes(b"")
        (tmp_path / name).chmod(0o640)
    private.make_folder(tmp_path)
    assert not private.make_file(tmp_path / "n.db")
    private.start(tmp_path / "shared.csv.part")
    (tmp_path / "shared.csv.part").write_text("new")
    private.put(tmp_path / "shared.csv.part", tmp_path / "shared.csv")
    assert mode(tmp_path) == 0o755 and mode(tmp_path / "n.db") == mode(tmp_path / "shared.csv") == 0o640
    assert (tmp_path / "shared.csv").read_text() == "new"


def test_a_file_is_not_written_through_a_link_left_at_its_unfinished_name(tmp_path):
    (tmp_path / "letter").write_text("dear")
    (tmp_path / "out.part").symlink_to(tmp_path / "letter")
    private.start(tmp_path / "out.part")
    (tmp_path / "out.part").write_text("new")
    assert (tmp_path / "letter").read_text() == "dear"
