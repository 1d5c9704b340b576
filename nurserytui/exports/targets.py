"""Where an export may be written: over nothing but an older one of its kind, and whole or not at all."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path

from nurserytui import private
from nurserytui.exports.forms import Form
from nurserytui.records.errors import StoreError

BESIDE = ("-wal", "-shm", "-journal")
"""Files that SQLite keeps beside a database: their names without these endings are the database's."""
HEAD = 4096
_DATABASE = b"SQLite format 3\0"
_PLAIN = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk is full",
    errno.EROFS: "the disk is read-only",
    errno.EACCES: "its folder cannot be written",
    errno.EPERM: "its folder cannot be written",
    errno.ENOENT: "there is no such folder",
    errno.ENOTDIR: "there is no such folder",
    errno.EFBIG: "the disk takes no file of that size",
    errno.ENAMETOOLONG: "the name is too long",
}


@contextmanager
def whole_file(path: Path, form: Form, nursery: Path | None, source: Path | None = None) -> Iterator[Path]:
    """A file to be filled, which gets its name when the block ends well; else nothing is left and nothing was replaced.

    StoreError, in one line, if it may not be written there (`guard`) or cannot be.
    """
    target = Path(os.path.realpath(path))  # a link stays a link to what is replaced
    unfinished = target.with_name(_unfinished(target.name))
    try:
        guard(path, form, nursery, source)
        private.start(unfinished)
        try:
            yield unfinished
            private.put(unfinished, target)
        finally:
            unfinished.unlink(missing_ok=True)
    except OSError as error:
        why = _PLAIN.get(error.errno or 0) or error.strerror or str(error)
        raise StoreError(f"{path} cannot be written: {why}; nothing was written") from None


def _unfinished(name: str) -> str:
    """A name that nobody else gives to a file, the same at every attempt and however long the name is."""
    return f".{sha256(os.fsencode(name)).hexdigest()[:16]}.nurserytui.part"


def guard(path: Path, form: Form, nursery: Path | None, source: Path | None = None) -> None:
    """StoreError if nothing of that form may be written to `path`: `nursery` is the file it is about, `source` one that is being read."""
    target = Path(os.path.realpath(path))
    if source is not None and _same(target, source):
        raise StoreError(f"{path} is the file that is imported: choose another name")
    if target.is_dir():
        raise StoreError(f"{path} is a folder: say the name of a file in it")
    for tail in ("", *BESIDE):
        if nursery is not None and _same(target, Path(f"{nursery}{tail}")):
            raise StoreError(f"{path} is {'the nursery itself' if not tail else 'a part of the nursery'}: choose another name")
    if target.parent.is_dir() and not target.parent.stat().st_mode & 0o222:
        raise StoreError(f"{path} cannot be written: its folder is read-only; nothing was written")  # for an administrator too
    if not target.exists():
        return
    if not target.is_file():
        raise StoreError(f"{path} is no ordinary file: choose another name")
    if not target.stat().st_mode & 0o222:
        raise StoreError(f"{path} is read-only: choose another name")
    with target.open("rb") as file:
        head = file.read(HEAD)
    if head.startswith(_DATABASE):
        raise StoreError(f"{path} is a database, not an older export: choose another name")
    if head and not form.begins.match(head):
        raise StoreError(f"{path} is there already and is no older {form.older}: choose another name, or take it away first")


def _same(one: Path, other: Path) -> bool:
    real = os.path.realpath(other)
    return str(one) == real or (one.exists() and os.path.exists(real) and os.path.samefile(one, real))
