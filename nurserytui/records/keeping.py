"""Ledgers of long histories, kept in the cache folder, so that opening a nursery need not replay twenty seasons.

Nothing there is ever needed: a file that is missing, damaged, of another program or of another nursery costs time, never an answer. Whoever
goes on from a kept ledger gets what a replay gives, or nothing; `records.checking` never asks here.
"""

from __future__ import annotations

import marshal
import os
import sys
from array import array
from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from nurserytui import paths, private
from nurserytui.records.events import Event
from nurserytui.records.growth import go_on_from
from nurserytui.records.kept_ledger import Kept, plain
from nurserytui.records.ledger import Ledger, replay
from nurserytui.records.order import seen
from nurserytui.records.progress import Progress

try:  # hashlib itself loads OpenSSL, which a one-shot question would wait for
    from _blake2 import blake2b
except ImportError:
    from hashlib import blake2b

LEAST = 5_000
"""A nursery of fewer events is replayed as fast."""
GROWN = 2_000
"""After so many more events the ledger is kept anew."""
BACK = 300
"""It is kept as it was so many events ago, so that the newest can be taken back and lines of the last days be told late."""
MOST = 8
"""Of so many nurseries a ledger is kept; those kept longest ago go first."""
_MAGIC = b"nurserytui ledger 1\n"
_DIGEST = 20


def found(store) -> Kept | None:
    """What is kept of the store's file, if it surely belongs to it: the same file, the same events at each of some places, and none gone."""
    if store.path is None:
        return None
    plainly = _read(_file(store.path))
    if plainly is None or plainly["file"] != store.file:
        return None
    kept = Kept(plainly)
    numbers = _sampled(kept.count)
    (count, last), rows = store.numbered(numbers)
    if count != last or count < kept.count or [number for number, *_ in rows] != numbers:
        return None
    same = all(event == kept.recorded[number - 1] for number, event, _ in rows)
    return kept if same and [written for *_, written in rows] == plainly["written"] else None


def taken_up(store, events: Sequence[Event], until: datetime | None, progress: Progress | None = None) -> Ledger | None:
    """The ledger of the store's events, no more and no fewer, as seen at `until`, going on from what is kept; None where they have to be
    replayed.
    """
    kept = getattr(store, "kept", None)
    if kept is None:
        return None
    ledger = go_on_from(kept, events, until, progress)
    if ledger is not None and not ledger.faults and _none_ahead(kept, events, until) and ledger.heads != store.heads():
        return None  # the headcount beside the events, kept by whoever wrote last, is another one
    return ledger


def _none_ahead(kept: Kept, events: Sequence[Event], until: datetime | None) -> bool:
    more = (*kept.ahead, *events[kept.count :])
    return len(seen(more, until)) == len(more)


def keep(store, ledger: Ledger, resting: bool, progress: Progress | None = None) -> bool:
    """Keep the ledger of the store's events, where that is worth while; whether it was done. `resting` tells whether `ledger` went on
    from what is kept. `progress` may raise `Stopped`, and then nothing is changed.
    """
    events, kept, until = store.events(), getattr(store, "kept", None), ledger.until
    if store.path is None or until is None or ledger.faults or len(events) < LEAST or not _writable(_file(store.path).parent):
        return False
    if kept is not None and (until.isoformat(timespec="seconds") < kept.latest or (resting and len(events) < kept.count + GROWN)):
        return False
    for count in (len(events) - BACK, len(events)):
        some = events[:count]
        then = ledger if count == len(events) else (kept and go_on_from(kept, some, until, progress))
        values = plain(then or replay(some, until, progress=progress), some, until, progress)
        trial = values and go_on_from(Kept(values), events, until)
        if trial and all(getattr(trial, part) == getattr(ledger, part) for part in ("heads", "lost", "cohorts", "enclosures")):
            return _write(store, values)
    return False


def _write(store, values: dict) -> bool:
    (count, last), rows = store.numbered(_sampled(values["count"]))
    if store.moved() or count != last or count < values["count"]:
        return False
    values |= {"file": store.file, "written": [written for *_, written in rows]}
    file = _file(store.path)
    unfinished = file.with_name(f"{file.name}.{os.getpid()}.new")
    try:
        body = marshal.dumps(values)
        content = _MAGIC + blake2b(_stamp() + body, digest_size=_DIGEST).digest() + body
        private.make_folder(file.parent)
        private.start(unfinished)
        unfinished.write_bytes(content)
        os.replace(unfinished, file)
        _thin(file.parent)
    except OSError:
        return False
    finally:
        with suppress(OSError):
            unfinished.unlink()
    store.kept = Kept(values)
    return True


def _read(file: Path) -> dict | None:
    try:
        there = file.stat()
        content, stamp = file.read_bytes(), _stamp()
    except OSError:
        return None
    if hasattr(os, "getuid") and (there.st_uid != os.getuid() or there.st_mode & 0o022):
        return None  # somebody else may have written it
    start = len(_MAGIC) + _DIGEST
    body = memoryview(content)[start:]
    digest = blake2b(stamp, digest_size=_DIGEST)
    digest.update(body)
    if not content.startswith(_MAGIC) or content[len(_MAGIC) : start] != digest.digest():
        return None
    try:
        return marshal.loads(body)
    except (ValueError, EOFError, TypeError):
        return None


def _stamp() -> bytes:
    """What the file is good for: this Python, this machine's numbers, and the records' own rules as they stand."""
    sources = sorted(Path(__file__).parent.glob("*.py"))
    if not sources:
        raise FileNotFoundError("the rules cannot be read, so nothing is known to be made by them")
    digest = blake2b(f"{sys.implementation.cache_tag} {marshal.version} {sys.byteorder} {array('I').itemsize}".encode())
    for source in sources:
        digest.update(f"\0{source.name}\0".encode() + source.read_bytes())
    return digest.digest()


def _file(path: Path) -> Path:
    name = blake2b(os.fsencode(path.resolve()), digest_size=12).hexdigest()
    return paths.user_cache() / f"ledger-{name}.bin"


def _sampled(count: int) -> list[int]:
    """The last events, and those half, a quarter … of the way back to the first."""
    halves = {count >> step for step in range(count.bit_length())}
    return sorted(halves | {*range(max(1, count - 15), count + 1)})


def _writable(folder: Path) -> bool:
    try:
        private.make_folder(folder)
    except OSError:
        return False
    return os.access(folder, os.W_OK)


def _thin(folder: Path) -> None:
    """Keep the newest; what a program that died left unfinished goes too."""
    there = sorted(folder.glob("ledger-*.bin*"), key=lambda file: file.stat().st_mtime, reverse=True)
    for file in there[MOST:]:
        file.unlink(missing_ok=True)
