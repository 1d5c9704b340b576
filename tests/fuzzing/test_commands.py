"""Every command with hostile arguments: an exit code of the contract, one line of complaint, never a traceback."""

from __future__ import annotations

import contextlib
import io
import subprocess
import sys
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fuzzing import files, lines
from nurserytui.cli import main
from nurserytui.records.events import Event
from nurserytui.records.store import Store

SHORT = settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
CHANCE = st.integers(0, 2**40).map(Random)
CODES = (0, 1, 2, 3, 4, 5)
MOMENTS = (
    "2026-06-18T07:30", "2026-06-18", "0001-01-01", "9999-12-31T23:59", "0001-01-01T00:00+14:00", "9999-12-31T23:59-12:00", "2026-02-30", "now", "",
    "2026-W24", "20260618", "2026-06-18T07:30Z", "24:00", "1e9", "-1", "\u0662\u0660\u0662\u0666-06-18", "2026-06-18T07:30+99:99", "\udcff",
)  # fmt: skip


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A folder with a nursery, a table, and room for what is written; the working directory of the commands."""
    top = tmp_path_factory.mktemp("commands")
    (top / "n.db").write_bytes(files.database())
    (top / "good.csv").write_text("when,what,note\n2026-06-01,note,x\n", encoding="utf-8")
    (top / "noise.csv").write_bytes(b"\xff\xfe\0")
    return top


def run(arguments: list[str]) -> tuple[int, str]:
    """(exit code, what was complained of) of a command run here."""
    complaint = io.StringIO()
    with contextlib.redirect_stdout(io.TextIOWrapper(io.BytesIO(), "utf-8")), contextlib.redirect_stderr(complaint):
        try:
            code = main(arguments)
        except SystemExit as leaving:
            code = leaving.code
    return code, complaint.getvalue()


def arguments(chance: Random, folder) -> list[str]:
    odd = [
        *lines.HOSTILE[:20],
        *files.CELLS[:60],
        lines.noise(chance, 20),
        "-",
        "--",
        "--db",
        "--json",
        "-5",
        "\udcff",
        "x" * 5000,
    ]
    places = [str(folder / name) for name in ("n.db", "n.db", "n.db", "none.db", "good.csv", "noise.csv", ".", "deep/er/x.db")]
    written = [str(folder / f"out.{ending}") for ending in ("csv", "ics", "zip", "html", "jsonl", "doc", "")]
    commands = (
        lambda: ["ask", chance.choice((lines.line(chance), *odd))],
        lambda: ["show", chance.choice(("board", "round", "calendar", "cohort", "season", "facts", *odd)), *chance.sample(odd, chance.randint(0, 2))],
        lambda: ["import", chance.choice((*places, *odd))],
        lambda: ["export", chance.choice((*written, *odd)), *chance.choice(([], ["--as", chance.choice(("csv", "ics", "x"))]))],
        lambda: ["check"],
        lambda: ["backup", chance.choice((*places, *odd))],
        lambda: ["restore", chance.choice((*places, *odd))],
        lambda: ["knowledge", "check", chance.choice((*places, *odd))],
        lambda: chance.sample(odd, 2),
    )  # fmt: skip
    found = ["--demo"] if chance.random() < 0.1 else []
    found += chance.choice(commands)()
    if chance.random() < 0.8 and "knowledge" not in found:
        found += ["--db", chance.choice(places)]
    if chance.random() < 0.5:
        found += [chance.choice(("--now", "--now=")) + "", chance.choice(MOMENTS)]
    return [each.replace("\0", "") for each in found]


@SHORT
@given(chance=CHANCE)
def test_a_command_with_hostile_arguments_ends_with_a_code_and_a_line(folder, chance, monkeypatch_module):
    given = arguments(chance, folder)
    code, complaint = run(given)
    assert code in CODES, given
    assert "Traceback" not in complaint and "fault in answering" not in complaint, given


@pytest.fixture(scope="module")
def monkeypatch_module(folder):
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        patch.setenv("NURSERYTUI_DB", str(folder / "own.db"))
        yield


@pytest.mark.parametrize("moment", MOMENTS)
@pytest.mark.parametrize("line", ["what needs doing today", "found 3 monarch eggs in jar 9", "how many survived this season"])
def test_any_moment_is_taken_or_refused(folder, tmp_path, moment, line):
    code, complaint = run(["ask", line, "--db", str(tmp_path / "n.db"), f"--now={moment}"])
    assert code in CODES and "Traceback" not in complaint and "fault" not in complaint


@pytest.mark.parametrize(
    "given", [[b"ask", b"caf\xe9 \xff"], [b"show", b"\x1b[2J"], [b"import", b"\xff.csv"], [b"ask", b"x", b"--now", b"\xff"]]
)
def test_bytes_that_are_no_text_are_no_traceback(folder, given):
    done = subprocess.run(
        [sys.executable, "-m", "nurserytui", *given, "--db", folder / "n.db"], capture_output=True, timeout=60, check=False
    )
    assert done.returncode in CODES and b"Traceback" not in done.stderr


NAMES = (
    "units",
    "place",
    "latitude",
    "timezone",
    "dates",
    "season-start",
    "limit",
    "volume",
    "air",
    "backups",
    "",
    "x",
    "units=units",
)


@settings(SHORT, max_examples=150)
@given(chance=CHANCE)
def test_settings_and_temperatures_are_taken_or_faults(chance):
    """Details are read or refused, and what was taken can be read."""
    with Store.memory() as store:
        value = chance.choice(
            (*files.CELLS, lines.noise(chance, 8), "40 L", "day", "3", "none", "51.5 N", "UTC", "9" * 5000 + " L")
        )
        event = chance.choice(
            (
                Event("2026-06-01", "setting", enclosure=chance.choice(("", "jar 2")), detail=f"{chance.choice(NAMES)}={value}"),
                Event("2026-06-01", "temperature", enclosure="jar 2", detail=value),
            )
        )
        written = store.append([event])
        assert bool(written.faults) != bool(store.events())
        store.settings(), store.timezone()
