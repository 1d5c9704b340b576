"""The knowledge base as a cache: one file of plain tuples, keyed by the content of every file it was made from.

Each part lies in the file as its own block with a checksum and is unpacked only when it is asked for. A cache that is missing,
stale, damaged or in an unwritable place costs time, never an answer.
"""

from __future__ import annotations

import json
import marshal
import os
import sys
from pathlib import Path

from nurserytui import private

from .facts import Cutting, Hazard, Plant
from .layout import ELSEWHERE

try:  # hashlib itself loads OpenSSL, which a one-shot question would wait for
    from _blake2 import blake2b
except ImportError:
    from hashlib import blake2b

MAGIC = b"nurserytui knowledge 1\n"


def key(folder: Path, own: Path | None) -> str:
    """A digest of the names and content of all files, of the code that compiles them, and of the Python that packs them."""
    digest = blake2b(f"{sys.implementation.cache_tag} {marshal.version}".encode(), digest_size=20)
    for top, name, path, _ in _files(folder, own):
        try:
            content = Path(path).read_bytes()
        except OSError as trouble:
            content = repr(trouble.errno).encode()
        digest.update(f"\0{top}\0{name}\0{len(content)}\0".encode())
        digest.update(content)
    return digest.hexdigest()


def glance(folder: Path, own: Path | None) -> str:
    """A digest of the places, sizes and times of the same files: while it stays the same, nothing need be read to know the key."""
    digest = blake2b(f"{sys.implementation.cache_tag} {marshal.version} {folder} {own}".encode(), digest_size=20)
    for top, name, _, stat in _files(folder, own):
        digest.update(f"\0{top}\0{name}\0{stat.st_size}\0{stat.st_mtime_ns}\0{stat.st_ino}".encode())
    return digest.hexdigest()


def _files(folder: Path, own: Path | None):
    """`(top, name below it, path, stat)` of every file that the compiled facts depend on, in a steady order."""
    for top, base, ending in ((0, Path(__file__).parent, ".py"), (1, folder, ".toml"), (2, own, ".toml")):
        found = [] if base is None else list(_below(str(base), "", ending))
        for name, path, stat in sorted(found):
            if name.split("/", 1)[0] not in ELSEWHERE:
                yield top, name, path, stat


def _below(folder: str, before: str, ending: str):
    try:
        entries = list(os.scandir(folder))
    except OSError:
        return
    for entry in entries:
        if entry.is_dir() and ending != ".py":
            yield from _below(entry.path, f"{before}{entry.name}/", ending)
        elif entry.name.endswith(ending):
            try:
                yield before + entry.name, entry.path, entry.stat()
            except OSError:
                continue


def compile_folders(folder: Path, own: Path | None) -> dict[str, object]:
    """Every part of the knowledge base as plain tuples and dictionaries, read from the TOML files."""
    from . import links, load, names, shapes

    read = load.read(folder, own)
    faults = (*read.faults, *links.broken(read))
    sections = read.sections
    # The kinds that are kept come before those of which only the development is known.
    sections["species"] = dict(sorted(sections["species"].items(), key=lambda pair: not pair[1].host_families))
    plants = _plants(sections)
    aliases = names.made(sections["species"].values(), plants, sections["agents"].values(), sections["names"])
    parts: dict[str, object] = {
        "faults": shapes.plain(faults),
        "traits": read.traits,
        "sources": {name: shapes.plain(fact) for name, fact in sections["sources"].items()},
        "names": (tuple(shapes.plain(alias) for alias in aliases), names.index(aliases)),
        "plants": tuple(shapes.plain(plant) for plant in plants),
        "cuttings": {name: shapes.plain(card) for name, card in sections["cuttings"].items()},
    }
    for section in (
        "species",
        "hosts",
        "priors",
        "rate_shapes",
        "signs",
        "agents",
        "look_alikes",
        "disinfectants",
        "rules",
        "terms",
    ):
        parts[section] = tuple(shapes.plain(fact) for fact in sections[section].values())
    for section in ("thermal", "durations", "day_lengths"):
        parts[section] = {name: shapes.plain(rows) for name, rows in sections[section].items()}
    return parts


def _plants(sections: dict[str, dict]) -> list[Plant]:
    """Plants with the hazards of their own and of their genus, and with their own cutting card."""
    hazards: dict[str, tuple[Hazard, ...]] = sections["hazards"]
    cards: dict[str, Cutting] = sections["cuttings"]
    found = []
    for plant in sections["plants"].values():
        genus = plant.scientific.split()[0]
        risks = (*plant.hazards, *hazards.get(plant.scientific, ()), *hazards.get(genus, ()))
        found.append(plant._replace(hazards=risks, cutting=plant.cutting or cards.get(plant.scientific)))
    return found


class Blocks:
    """The parts of a compiled knowledge base, each unpacked at first use."""

    def __init__(self, parts: dict[str, object] | None = None, packed: dict[str, bytes] | None = None, stamp: str = ""):
        self._parts = parts or {}
        self._packed = packed or {}
        self.stamp = stamp
        """The key of the content that they were made from."""

    def names(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys([*self._parts, *self._packed]))

    def part(self, name: str) -> object:
        if name not in self._parts:
            self._parts[name] = marshal.loads(self._packed.pop(name))
        return self._parts[name]


def pack(parts: dict[str, object], stamp: str, seen: str = "") -> bytes:
    """The cache file: a first line that marks it, a line of JSON that says what is where, then the blocks."""
    blocks = {name: marshal.dumps(part) for name, part in parts.items()}
    body = b"".join(blocks.values())
    head = {
        "key": stamp,
        "glance": seen,
        "check": blake2b(body, digest_size=16).hexdigest(),
        "blocks": [(name, len(block)) for name, block in blocks.items()],
    }
    return MAGIC + json.dumps(head).encode() + b"\n" + body


def unpack(content: bytes, stamp: str = "", seen: str = "") -> Blocks | None:
    """The blocks of a cache file, or None if it is not whole or neither made from the content of `stamp` nor from the files as `seen`."""
    if not content.startswith(MAGIC):
        return None
    line, _, body = content[len(MAGIC) :].partition(b"\n")
    try:
        head = json.loads(line)
        wanted = (stamp and head["key"] == stamp) or (seen and head.get("glance") == seen)
        if not wanted or head["check"] != blake2b(body, digest_size=16).hexdigest():
            return None
        packed, start = {}, 0
        for name, length in head["blocks"]:
            packed[name] = body[start : start + length]
            start += length
    except (ValueError, KeyError, TypeError, AttributeError):
        return None
    return Blocks(packed=packed, stamp=head["key"])


def blocks(folder: Path, own: Path | None, cache: Path) -> Blocks:
    """The knowledge base of these folders: from the cache file if it is fresh and whole, else compiled and put there."""
    seen = glance(folder, own)
    file = cache / f"knowledge-{sys.implementation.cache_tag}.bin"
    try:
        content = file.read_bytes()
    except OSError:
        content = b""
    ready = unpack(content, seen=seen)
    if ready is not None:
        return ready
    stamp = key(folder, own)
    ready = unpack(content, stamp)
    parts = {name: ready.part(name) for name in ready.names()} if ready else compile_folders(folder, own)
    _put(file, pack(parts, stamp, seen))
    return Blocks(parts, stamp=stamp)


def kept(name: str, stamp: str, make, cache: Path) -> object:
    """What `make()` gives (plain tuples, dictionaries, sets), from the cache file `name` while its stamp is the same."""
    file = cache / f"{name}-{sys.implementation.cache_tag}.bin"
    try:
        ready = unpack(file.read_bytes(), stamp)
    except OSError:
        ready = None
    if ready is not None:
        return ready.part(name)
    made = make()
    _put(file, pack({name: made}, stamp))
    return made


def _put(file: Path, content: bytes) -> None:
    """Write beside and rename, so that no reader ever sees half a file; a place that cannot be written is passed over."""
    beside = file.with_name(f"{file.name}.{os.getpid()}.new")
    try:
        private.make_folder(file.parent)
        private.start(beside)
        beside.write_bytes(content)
        os.replace(beside, file)
    except OSError:
        try:
            beside.unlink()
        except OSError:
            pass
