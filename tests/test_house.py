"""The house keeps its shape: imports run down only, the one-shot question loads nothing heavy, the project speaks of itself alone."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
HEAVY = (
    "icalendar",
    "textual",
    "pint",
    "sqlite_utils",
    "numpy",
    "pandas",
    "scipy",
    "tomllib",
    "click",
    "dateutil",
    "rich",
    "plotext",
    "textual_plotext",
    "matplotlib",
)


def test_imports_run_down_the_house_only(tmp_path):
    """The import-linter contract of pyproject.toml."""
    done = subprocess.run(
        [str(Path(sys.executable).with_name("lint-imports")), "--no-cache"], cwd=ROOT, capture_output=True, text=True, timeout=120
    )
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize(
    ("line", "allowed"),
    [
        ("how many eggs do I have", ()),
        ("how long until cohort B hatches", ()),
        ("what do monarchs eat", ()),
        ("how much bleach for a 2 cup dish at 10%", ("pint",)),
    ],
)
def test_a_one_shot_question_loads_nothing_heavy(line, allowed, tmp_path, monkeypatch):
    """Read in a fresh interpreter from sys.modules: the linter cannot see what really loads. The cache is warm on the second run."""
    script = (
        "import sys; from nurserytui.cli import main; code = main(['ask', '--demo', sys.argv[1]]); "
        "print('LOADED', *sorted({name.split('.')[0] for name in sys.modules})); sys.exit(code)"
    )
    for _ in range(2):
        done = subprocess.run([sys.executable, "-c", script, line], cwd=tmp_path, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stdout + done.stderr
    loaded = set(done.stdout.rpartition("LOADED")[2].split())
    assert not loaded & (set(HEAVY) - set(allowed))


@pytest.mark.parametrize("module", ["nurserytui.biology.forecast", "nurserytui.biology", "nurserytui.amounts"])
def test_pure_numbers_know_no_files_and_no_database(module, tmp_path):
    """`biology` and `amounts` stand at the foot of the house."""
    script = f"import sys, {module}; print(*sorted(sys.modules))"
    done = subprocess.run([sys.executable, "-c", script], cwd=tmp_path, capture_output=True, text=True, timeout=60)
    loaded = set(done.stdout.split())
    assert done.returncode == 0, done.stderr
    assert not [
        name for name in loaded if name.startswith("nurserytui.") and name.split(".")[1] not in ("biology", "amounts", "paths")
    ]
    assert "sqlite3" not in loaded


def test_top_level_holds_what_the_readme_says():
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True)
    if tracked.returncode:
        pytest.skip("not a git checkout")
    top = {name.split("/")[0] for name in tracked.stdout.splitlines()}
    assert top <= {
        ".ci",
        ".gitignore",
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "nurserytui",
        "knowledge",
        "tests",
        "demo_db",
    }
