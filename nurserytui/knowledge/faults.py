"""What can be wrong in a knowledge file."""

from typing import NamedTuple


class Fault(NamedTuple):
    """Something wrong in a knowledge file. The entry concerned is left out; the rest is used."""

    file: str
    entry: str
    reason: str

    def __str__(self) -> str:
        told = f"{self.file}{f', {self.entry}' if self.entry else ''}: {self.reason}"
        # Names in a file may hold what steers a terminal or ends a line.
        return told if told.isprintable() else "".join(sign if sign.isprintable() else "\ufffd" for sign in told)
