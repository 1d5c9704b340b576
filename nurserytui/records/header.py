"""What the first hundred bytes of a file say of it, read without opening the database."""

from __future__ import annotations

from pathlib import Path

from nurserytui.records import schema

MAGIC = b"SQLite format 3\0"


def says_ours(path: Path) -> bool:
    """Whether the file says that it is a nursery that this program can open.

    False also for a file that is not there or cannot be read: opening it says what is wrong. By the SQLite database file format, section
    1.3: the user version stands in bytes 60 to 63, the application id in bytes 68 to 71, both big-endian.
    """
    if not path.is_file():
        return False
    try:
        with open(path, "rb") as file:
            head = file.read(100)
    except OSError:
        return False
    version, application = int.from_bytes(head[60:64], "big"), int.from_bytes(head[68:72], "big")
    return head.startswith(MAGIC) and application == schema.APPLICATION_ID and 0 < version <= schema.VERSION
