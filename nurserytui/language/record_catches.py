"""`caught all the wasps`, `no flies left`: the parasitoids that were loose are gone. Said so, with or without the enclosure, it is a look."""

from __future__ import annotations

import re

from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.request import Request

THEM = r"(?:(?:loose|tiny|little|small|parasitic|parasitoid|pteromalus|tachinid|last|rest|of|the|those|these) )*(?:wasps?|fl(?:y|ies))"
GONE = r"(?:caught|gone|killed|removed|dead|swatted|out of there)"
TOOK = r"(?:caught|killed|removed|swatted|got rid of|have caught|got)"
SAID = re.compile(
    rf"^(?:(?:i|we|i have|we have|ive|i've|weve|we've|finally|just|now|ok|okay|done|so) )*"
    rf"(?:{TOOK} (?:all|every one of|every|the last|the rest|the) {THEM}"
    rf"|(?:all )?{THEM} (?:(?:are|is|were|have been|has been) )?(?:(?:all|finally|now) )*{GONE}(?: now)?"
    rf"|(?:there (?:are|is) )?(?:no|zero)(?: more)?(?: loose)? {THEM}(?: (?:left|any more|anymore|about|loose))*)"
    r"(?: (?:in|from|out of) (?:the )?(?P<place>.+?))?(?: (?:today|now))?$"
)
"""The whole line: nothing else may be told or asked in it."""

CAUGHT = "caught"
"""The lead of such a draft: it is about the enclosures in which they are loose."""


def caught(line: Line, nursery) -> Request | None:
    """The look that says that all are caught; None where the line says anything else, or names a place that is not known."""
    plain = re.sub(r"[.!]+$", "", line.plain.strip())
    said = SAID.match(plain) if "?" not in line.text else None
    if said is None:
        return None
    place = ""
    if said["place"]:
        place = next((name for name in nursery.ledger.enclosures if name.casefold() == said["place"].casefold()), "")
        if not place:
            return None
    words = "no flies" if re.search(r"\bfl(?:y|ies)\b", plain) else "no wasps"
    draft = Draft("checked", count="all", enclosure=place, note=words, lead=CAUGHT)
    return Request(
        line.text,
        "record",
        event="checked",
        enclosures=(place,) if place else (),
        drafts=(draft,),
        plain=line.plain,
        layer="grammar",
        score=1.0,
    )
