"""The shipped demo nursery: a private copy to play with, at a fixed morning of its season."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from nurserytui import private
from nurserytui.paths import shipped

MOMENT = datetime(2026, 6, 18, 7, 30)
"""The demo's own now; it runs on from here while the app is open."""


def private_copy(folder: Path) -> Path:
    """Copy the demo database into `folder`; the shipped file is never opened for writing."""
    import shutil

    copy = Path(folder) / "demo.db"
    private.make_file(copy)
    shutil.copyfile(shipped("demo_db") / "demo.db", copy)
    return copy
