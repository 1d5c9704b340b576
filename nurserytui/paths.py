"""Where the shipped data lies, in a checkout and in an installed wheel, and where the keeper's own lies."""

from __future__ import annotations

import os
from pathlib import Path

PACKAGE = Path(__file__).resolve().parent


def shipped(name: str) -> Path:
    """The folder `knowledge` or `demo_db`: inside the installed package, else at the top of the checkout."""
    inside = PACKAGE / "share" / name
    return inside if inside.is_dir() else PACKAGE.parent / name


def user_data() -> Path:
    """The keeper's data folder on this platform."""
    import platformdirs

    return Path(platformdirs.user_data_dir("nurserytui", appauthor=False))


def user_cache() -> Path:
    """The cache folder on this platform; nothing in it is ever needed to be kept."""
    import platformdirs

    return Path(os.environ.get("NURSERYTUI_CACHE") or platformdirs.user_cache_dir("nurserytui", appauthor=False))


def user_state() -> Path:
    """The folder for what the app remembers of itself between runs: the lines typed, never the records."""
    import platformdirs

    return Path(os.environ.get("NURSERYTUI_STATE") or platformdirs.user_state_dir("nurserytui", appauthor=False))


def own_knowledge() -> Path:
    """The folder in which a keeper's own additions to the knowledge base are looked for."""
    return Path(os.environ.get("NURSERYTUI_KNOWLEDGE") or user_data() / "knowledge")


def default_database() -> Path:
    """The keeper's own nursery, unless `NURSERYTUI_DB` or `--db` says another."""
    named = os.environ.get("NURSERYTUI_DB")
    return Path(named) if named else user_data() / "nursery.db"
