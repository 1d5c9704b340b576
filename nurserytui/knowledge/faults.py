"""What can be wrong in a knowledge file."""

from typing import NamedTuple


class Fault(NamedTuple):
    """Something wrong in a knowledge file. The entry concerned is left out; the rest is used."""

    file: str
    entry: str
    reason: str

    def __str__(self) -> str:
        return f"{self.file}{f', {self.entry}' if self.entry else ''}: {self.reason}"
