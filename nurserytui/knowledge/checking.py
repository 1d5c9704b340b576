"""What is wrong in a knowledge folder, and a report of what it holds and where it is thin."""

from __future__ import annotations

from pathlib import Path

from .. import paths
from . import coverage, links, load
from .faults import Fault


def check(folder: Path | None = None) -> tuple[list[Fault], list[str]]:
    """The faults of a folder and a report in lines of Markdown.

    Without a folder: the shipped knowledge base with the keeper's own over it. With one that is not the shipped one: that folder as a
    keeper's own over the shipped one, so that it may name our species, plants and sources.
    """
    shipped = paths.shipped("knowledge")
    own = paths.own_knowledge() if folder is None else Path(folder)
    if own.resolve() == shipped.resolve():
        own = None
    if own is not None and folder is not None and not own.is_dir():
        return [Fault(str(folder), "", "is not a folder")], []
    read = load.read(shipped, own)
    faults = [*read.faults, *links.broken(read)]
    return faults, [*coverage.table(read), "", *coverage.gaps(read)]
