"""What is wrong in a knowledge folder, what it holds, and where it is thin."""

from __future__ import annotations

from pathlib import Path

from .. import paths
from . import links, load
from .faults import Fault
from .layout import SECTIONS

HAVE = {
    "species": "species",
    "plants": "plants",
    "hosts": "pairings",
    "names": "names",
    "thermal": "thresholds with degree-days",
    "durations": "observed durations",
    "priors": "groups of relatives",
    "rate_shapes": "shapes of rate curves",
    "day_lengths": "shares of resting pupae by day length",
    "signs": "signs",
    "agents": "agents",
    "look_alikes": "look-alikes",
    "cuttings": "cutting cards",
    "hazards": "hazards",
    "rules": "rules",
    "sources": "sources",
}


def check(folder: Path | None = None) -> tuple[list[Fault], list[str]]:
    """The faults of a folder and a report in lines of text.

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
    return faults, report(read)


def report(read: load.Read) -> list[str]:
    """Counts of facts by kind, by trust of their sources, and the gaps."""
    sections = read.sections
    lines = []
    for section in SECTIONS:
        entries = sections[section].values()
        count = sum(len(entry) if not hasattr(entry, "_fields") else 1 for entry in entries)
        lines.append(f"{count} {HAVE[section]}")
    trust: dict[str, int] = {}
    for source in sections["sources"].values():
        if source.kind != "own":
            trust[source.kind] = trust.get(source.kind, 0) + 1
    lines.append("sources by trust: " + ", ".join(f"{count} {kind}" for kind, count in sorted(trust.items())))
    kept = [species for species in sections["species"].values() if species.host_families]
    lines.append(
        _gap("species without a published threshold", [s.scientific for s in kept if s.scientific not in sections["thermal"]])
    )
    lines.append(
        _gap("species without an observed duration", [s.scientific for s in kept if s.scientific not in sections["durations"]])
    )
    offered = {pairing.plant for pairing in sections["hosts"].values() if pairing.rank not in ("trap", "no")}
    carded = {name.split()[0] for name in sections["cuttings"]}
    lines.append(
        _gap("hosts without a cutting card of their own or their genus", [p for p in offered if p.split()[0] not in carded])
    )
    covered = {**sections["species"], **sections["plants"], **sections["agents"]}
    outside = {name for alias in sections["names"].values() for name in alias.means if name not in covered}
    lines.append(_gap("meanings of names that are not covered", list(outside)))
    return lines


def _gap(what: str, names: list[str]) -> str:
    return f"{len(names)} {what}" + (f": {', '.join(sorted(names))}" if names else "")
