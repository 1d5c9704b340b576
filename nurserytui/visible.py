"""Text as a terminal may be given it: what could steer the terminal, or cannot be seen, is shown as a replacement sign."""

from __future__ import annotations

import unicodedata

_UNSEEN = frozenset(("Cc", "Cf", "Cs", "Zl", "Zp"))


def visible(text: str, keep: str = "\n\t") -> str:
    """The text with a replacement sign for each control character, escape, direction mark and half of a character; `keep` stays."""
    if text.isprintable() or all(map(str.isprintable, text.split("\n"))) and "\n" in keep:
        return text
    return "".join(one if one in keep or unicodedata.category(one) not in _UNSEEN else "\ufffd" for one in text)


def visible_line(text: str) -> str:
    """The same of a text that is to stay one line: ends of lines and tabs are replacement signs too."""
    return visible(text, "")
