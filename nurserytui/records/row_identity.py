"""The identity of a row that has no id: a hash of what it says, and which of several like rows it is.

Earlier versions hashed the cells as they were written. Of a row in the plain form (our column names, ISO dates, plain numbers) that is the
same hash; of any other the older identity is tried first, so that a file that was imported before is known again.
"""

from __future__ import annotations

import hashlib
import re
import unicodedata
from collections import Counter
from collections.abc import Container

_ROW_ID = re.compile(r"row-[0-9a-f]{20}-\d+")


def normal(text: str) -> str:
    """A text as it is compared: letters composed, lines ended one way."""
    text = text.replace("\r\n", "\n") if "\r" in text else text
    return text if text.isascii() else unicodedata.normalize("NFC", text)


def row_id(content: str, occurrence: int) -> str:
    return f"row-{hashlib.sha256(content.encode()).hexdigest()[:20]}-{occurrence}"


def is_row_id(id: str) -> bool:
    """Whether an id was made by `row_id`."""
    return _ROW_ID.fullmatch(id) is not None


class Identities:
    """Gives the rows of one file their identities, in their order; `recorded` are the ids on record."""

    def __init__(self, recorded: Container[str]) -> None:
        self._recorded = recorded
        self._times: Counter[str] = Counter()
        self._older: Counter[str] = Counter()
        self._given: set[str] = set()

    def of(self, plain: str, written: str) -> str:
        """The id of a row by what it says: in the plain form, and as it is written."""
        self._times[plain] += 1
        found = row_id(plain, self._times[plain])
        if written != plain:
            self._older[written] += 1
            older = row_id(written, self._older[written])
            if older in self._recorded and older not in self._given:
                found = older
        while found in self._given:
            self._times[plain] += 1
            found = row_id(plain, self._times[plain])
        self._given.add(found)
        return found
