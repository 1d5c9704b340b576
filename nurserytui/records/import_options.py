"""What a keeper may say of a file when it is imported."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import NamedTuple


class Options(NamedTuple):
    columns: Mapping[str, str] = {}
    """Name in the file -> our column."""
    dates: str = ""
    """`day` or `month` first; "" for what the nursery's settings say."""
    place: str = ""
    """The place of a logger's file that names none."""
    cohorts: Mapping[str, str] = {}
    """Label in the file -> label here."""
    species: Mapping[str, str] = {}
    """Name of a species or host plant in the file -> what it is called here; the same name keeps it as it is."""
    now: datetime | None = None
    """The nursery's moment, after which a date lies ahead; None where nobody asks what does."""
    settings: str = "ours"
    """`ours` or `theirs`: which setting counts where another keeper's differs."""
