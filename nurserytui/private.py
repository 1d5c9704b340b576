"""Files and folders that only the keeper can read: records, copies of them, files for elsewhere, the cache, what the app remembers.

Whatever the umask is, a new file gets mode 0600 and a new folder 0700; what stood there before keeps the mode that the keeper gave it.
SQLite gives its own files beside a database the mode of that database. Where a system has no such modes, its own rules hold.
"""

from __future__ import annotations

import os
from pathlib import Path

FILE, FOLDER = 0o600, 0o700


def make_folder(path: Path) -> None:
    """Make the folder and those above it, as far as they are not there. OSError if that cannot be."""
    if path.is_dir():
        return
    make_folder(path.parent)
    try:
        os.mkdir(path, FOLDER)
    except FileExistsError:
        if not path.is_dir():
            raise
        return  # another program made it meanwhile
    os.chmod(path, FOLDER)


def make_file(path: Path) -> bool:
    """Make an empty file; False if there is something of that name, which stays as it is. OSError if it cannot be made."""
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, FILE)
    except FileExistsError:
        return False
    os.close(handle)
    os.chmod(path, FILE)
    return True


def start(path: Path) -> None:
    """An empty file to be filled and then `put` in place; what was left of another attempt, or stands there as a link, is taken away."""
    path.unlink(missing_ok=True)
    if not make_file(path):
        raise FileExistsError(17, "another program is writing it", str(path))


def put(finished: Path, path: Path) -> None:
    """Give the finished file its name, on disk for good before what it replaces goes. A file that it replaces passes its mode on."""
    handle = os.open(finished, os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
    try:
        os.chmod(finished, os.stat(path).st_mode & 0o777)
    except FileNotFoundError:
        pass
    os.replace(finished, path)
    sync_folder(path.parent)


def sync_folder(folder: Path) -> None:
    """Have a new name in the folder outlast a loss of power, where the system can say so of folders."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    try:
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    except OSError:
        return  # one may write in a folder that one may not list
    try:
        os.fsync(handle)
    except OSError:
        pass  # some file systems cannot
    finally:
        os.close(handle)
