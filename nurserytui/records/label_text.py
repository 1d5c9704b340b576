"""Labels as a table writes them: what cannot be seen in a label would make two of what looks like one."""

from __future__ import annotations

import re
import unicodedata

COLUMNS = ("cohort", "mark", "enclosure", "to", "parent")
_SPACES = re.compile("[\u00a0\u2007\u202f]")
_RUN = re.compile("  +")
_UNSEEN = {"Cf": "an invisible sign", "Cc": "a control character", "Zl": "a line separator", "Zp": "a paragraph separator"}


def label(text: str) -> str:
    """A label with letters composed (Unicode normalisation form C, UAX #15) and plain spaces, one at a time; ValueError names what cannot be seen in it."""
    if text.isascii() and text.isprintable():
        return text if "  " not in text else _plain(text)
    for at, sign in enumerate(text, 1):
        kind = _UNSEEN.get(unicodedata.category(sign))
        if kind:
            name = unicodedata.name(sign, "").lower()
            raise ValueError(
                f"there is {kind} in the label, U+{ord(sign):04X}{f' ({name})' if name else ''}, sign {at}: take it out"
            )
    return _plain(text)


def alike(one: str, other: str) -> bool:
    """Whether two texts differ in nothing but how letters are composed and which blanks were typed, and how many."""
    return _plain(one) == _plain(other)


def _plain(text: str) -> str:
    return _RUN.sub(" ", unicodedata.normalize("NFC", _SPACES.sub(" ", text.replace("\r\n", "\n"))))
