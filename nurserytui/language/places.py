"""`the jar`, said by its kind alone where the keeper has several: which enclosures it may mean."""

from __future__ import annotations

import re

from nurserytui.language.normalise import normalise

KINDS = "jar|crate|box|tent|tub|cage|sleeve|pot|cup|tank|bucket|net|container|tray|drawer|bag|pen|aquarium|shelf"
SAID = re.compile(
    rf"(?:\b(?:the|that|this|my|our)\s+|^(?=\w+ (?:counts?|totals?|tally|balance|numbers?|how many)\b))({KINDS})\b(?!\s+\d)"
)


def several(text: str, enclosures) -> tuple[str, tuple[str, ...]]:
    """The kind of enclosure that a line speaks of as if there were one, and the two or more labels of that kind; ("", ()) otherwise."""
    found = SAID.search(normalise(text))
    if not found:
        return "", ()
    labels = sorted(label for label in enclosures if label and re.search(rf"\b{found[1]}\b", label.casefold()))
    return (found[1], tuple(labels)) if len(labels) > 1 else ("", ())


PARTS = re.compile(
    r"\b(?:(?:the|that|my|our|into|of) (?=fridge|cold|cellar|shed|garage|attic|loft|kitchen|porch|greenhouse|balcony|windowsill)|(?=cold stor))"
    r"(fridge|cold|cellar|shed|garage|attic|loft|kitchen|porch|greenhouse|balcony|windowsill)\b"
)
"""Words for a place that stand for the one enclosure whose label holds them."""


COLD_PLACES = frozenset(("fridge", "cellar", "refrigerator", "freezer", "cold"))
"""Where animals stand that are `in the cold`."""


def by_part(plain: str, enclosures) -> str:
    """The one enclosure that a line means without its label: all the words of it in another order (`fridge in the garage`), or the word
    for its place with an article (`the fridge`); "" where none or several fit."""
    words = set(plain.split())
    whole = [label for label in enclosures if " " in label and set(label.casefold().split()) <= words]
    if not whole and (said := PARTS.search(plain)):
        meant = COLD_PLACES if said[1] == "cold" else {said[1]}
        whole = [label for label in enclosures if not meant.isdisjoint(label.casefold().split())]
    if not whole:
        whole = [label for label in enclosures if _called_in_short(label, plain)]
    return whole[0] if len(whole) == 1 else ""


HEAD = re.compile(rf"[ -](?:{KINDS}|vivarium|terrarium|bin|basket|carton|crate|dish)s?$")


def _called_in_short(label: str, plain: str) -> bool:
    """Whether a line names an enclosure without the word for its kind (`in the popup` for `pop-up cage`)."""
    short = HEAD.sub("", label.casefold())
    words = r"[ -]?".join(map(re.escape, re.split(r"[ -]", short)))
    article = "(?:(?:the|my) )?" if "-" in short else "(?:the|my) "
    return (
        short != label.casefold()
        and len(short) > 3
        and bool(re.search(rf"\b(?:in|inside|of|from) {article}{words}\b(?! \w+ (?:{KINDS})\b)(?!-)", plain))
    )


ROOMS = (
    "fridge|freezer|cellar|basement|shed|garage|attic|loft|kitchen|bathroom|bedroom|utility room|spare room|porch|greenhouse|conservatory|balcony|"
    "windowsill|incubator|propagator|airing cupboard|office|study|lounge"
)
_HOLDERS = f"{KINDS}|vivarium|terrarium|bin|basket|carton|enclosure|habitat"
STRANGE = re.compile(
    rf"\b(?:in|inside) (?:(?:the|my|our|that) |(?=[a-z-]+ (?:[a-z-]+ )?(?:{_HOLDERS})\b))((?:[a-z-]+ ){{0,2}}?)({_HOLDERS}|{ROOMS})\b(?! (?:\d|[A-Z]))"
)
NO_ADJECTIVES = frozenset(
    "same other others whole entire one first last next only each every single fullest emptiest biggest largest smallest right wrong actual very which what whose".split()
)
"""Words before a kind of enclosure that are no part of a label."""


def strange(masked: str, enclosures, air) -> str:
    """The place that a line says animals stand in and that is no enclosure of the records, nor the room of one (`the blue tent`, `the
    greenhouse`); "" where there is none. `masked` has the spans of the line as their kinds in capitals."""
    for found in STRANGE.finditer(masked):
        adjectives, kind = found[1].split(), found[2]
        labels = [label.casefold() for label in (*enclosures, *air)]
        if not NO_ADJECTIVES.isdisjoint(adjectives) or any(
            kind in label and all(word in label for word in adjectives) for label in labels
        ):
            continue
        return " ".join((*adjectives, kind))
    return ""


def named(text: str, kind: str, label: str) -> str:
    """The line with that enclosure in the place of its kind."""
    return re.sub(rf"\b(?:(?:the|that|this|my|our)\s+)?{kind}\b", lambda _: label, text, count=1, flags=re.IGNORECASE)
