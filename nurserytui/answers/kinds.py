"""Which kinds of event a line asks about, and when an event happened, in words."""

from __future__ import annotations

import re
from datetime import datetime

from nurserytui.answers.wording import day_words
from nurserytui.records.events import WHATS

OF_FORECASTS = {"hatch": "hatched", "moult": "moulted", "prepupate": "prepupated", "pupate": "pupated", "emerge": "emerged"}

WORDS: tuple[tuple[str, tuple[str, ...]], ...] = (
    (r"\b(laid|lay|laying|oviposit\w*|egg-laying)\b", ("laid",)),
    (r"\b(found|find|collected|collect|brought in|came in|arriv\w+|took in|taken in|pick(?:ed)? up|acquir\w+)\b", ("found",)),
    (r"^(?:what|who|which|how many|anything|anybody|anyone)(?: \w+)? (?:has |have )?c[oa]me *$", ("laid", "found")),
    (r"\b(hatch|hatched|hatches|hatching)\b", ("hatched",)),
    (r"\b(moult\w*|molt\w*|shed (?:its|their|her|his) skin|ecdysis)\b", ("moulted",)),
    (r"\b(prepupa\w*|hang up|hung up|went j|j-hang\w*|hanging up)\b", ("prepupated",)),
    (
        r"\b(pupat\w*|(?:go|went|turn\w*|chang\w*|form\w*|ma(?:ke|de)|spun|spin|become|became) (?:in)?(?:to )?(?:a |its |their )?"
        r"(?:chrysali\w*|cocoons?|pupa[e]?))\b",
        ("pupated",),
    ),
    (r"\b(emerg\w*|eclos\w*|c[oa]me out|com(?:e|ing) out|turn(?:ed)? into butterfl\w+|became butterfl\w+)\b", ("emerged",)),
    (
        r"\b(releas\w*|let (?:\S+ ){0,4}?(?:go|out|off|fly)|set (?:\S+ ){0,3}?free|flew|fly off|flown|freed)\b",
        ("released",),
    ),
    (r"\b(die|dies|died|dead|death\w*|deaths|loss|losses|lost|kill\w*|perish\w*|mortalit\w+)\b", ("died",)),
    (r"\b(escap\w*|got out|got away)\b", ("escaped",)),
    (r"\b(give[ns]?(?! (?:me|us)\b)|gave|giving|gave away|went to (?:whom|who)|go to|handed (?:over|on))\b", ("given",)),
    (r"\b(missing|unaccounted|vanish\w*|disappear\w*|went astray)\b", ("missing",)),
    (
        r"\b(clean\w*|disinfect\w*|wash(?:ed)?|scrub\w*|sterili[sz]ed?|bleach\w*|wip(?:ed?|ing)(?:[ -]down)?|rins(?:ed?|ing)|hosed|hoovered|swept|mucked)\b",
        ("cleaned",),
    ),
    (r"\b(fed|feed|fresh (?:\S+ ){0,3}?(?:leaf|leaves|food|plant)|new (?:leaf|leaves|food)|food)\b", ("fed",)),
    (r"\b(watered|misted)\b", ("watered",)),
    (r"\b(?:i|we|was|were|last|been) (?:\w+ )?(?:cut|pick(?:ed)?|snipped)(?! up)\b", ("cut",)),
    (r"\b(?:take|took|taken|bring|brought|put|got) (?:\S+ ){0,4}?(?:out of|in(?! all| total)|into|back|over)\b", ("moved",)),
    (
        r"\b(moved?|moves|moving|put in(?:to)?|go(?:ne)? in(?:to)?|went in(?:to)?|transfer\w*|shifted|taken out of|c[oa]me out of the)\b",
        ("moved",),
    ),
    (r"\bwhere\b.*\b(?:winter\w*|overwinter\w*)\b", ("moved",)),
    (r"\b(?:raised|reared)\b.*\b(?:adults?|butterfl\w+|moths?)\b", ("emerged",)),
    (r"\b(?:when|dates?|(?:what|which) day)\b.*\b(?:leave|left)\b", ("moved", "released", "given", "escaped")),
    (r"\b(?:start(?:ed)?|began|begin|begun) (?:\S+ ){0,3}?(?:with|from|off|out)\b", ("laid", "found")),
    (r"\b(signs?|symptoms?)\b", ("sign",)),
    (r"\b(tested|tests?|tape test\w*)\b", ("tested",)),
    (r"\b(check(?:ed)?|looked at|look(?:ed)? in)\b", ("checked",)),
    (r"\b(counted|stocktake)\b", ("counted",)),
    (r"\b(split)\b", ("split",)),
    (r"\b(merged)\b", ("merged",)),
    (r"\b(renamed)\b", ("renamed",)),
    (r"\b(notes?|noted|jot\w*|wrote|scribbled|(?:write|written) down)\b", ("note",)),
)
BEGUN = {
    "egg": ("laid", "found"),
    "larva": ("hatched", "found"),
    "prepupa": ("prepupated",),
    "pupa": ("pupated",),
    "adult": ("emerged",),
}
"""What began a stage (`the first eggs of the year`)."""
ABOUT_NOTES = re.compile(r"\bnotes?\b|\babout\b|\bregarding\b|\bmention\w*")
"""What tells that notes are asked for, not all that was written down."""
WHOLE = re.compile(
    r"\b(history|what happened|what has happened|happened|went on|became of|become of|the story|timeline|everything|all events|log)\b"
)

BROUGHT_IN = re.compile(
    r"\b(?:bring|brought|take|took|get|got|fetch(?:ed)?|carry|carried) (?:\S+ ){0,5}?(?:in|home|indoors|inside)\b(?! (?:all|total|there|here)\b)(?!.*\b(?:from|out)\b)"
)
"""Animals fetched from outside, with no word of an enclosure (`which day did I bring B in`, `when did I bring in the B eggs`)."""
WHOLE_STORY = re.compile(
    r"\b(?:whole|full|entire|complete|life) (?:history|story|record|life)\b|\beverything (?:that|which|thats|that's)\b"
)


def kinds_asked(request) -> tuple[str, ...]:
    """The event kinds that a line asks about, () for all of them: the slot that language filled first, then the line's own words.

    `who did they go to` is `given`; a place after `go in` or `put in` is a move; `come out` of an enclosure is a move, else emerging.
    """
    event = OF_FORECASTS.get(request.event, request.event)
    if event in WHATS:
        return (event,)
    plain = (
        request.plain.replace(request.period.said.casefold(), " ")
        if request.period is not None and request.period.said
        else request.plain
    )
    if re.search(r"\bwho(?:m)?\b", plain) and re.search(
        r"\b((?:go|went|got)(?! away| out| black| brown| dark| limp| soft| sick| ill| bad| down| up| into| missing| astray| off| loose)|gave|given?|handed|passed|took|received|scored|landed|bagged|"
        r"had (?:the |my |some |any )?(?:\S+ )?(?:animals|eggs|larvae|caterpillars|cats|pupae|chrysalis\w*|cocoons|adults|butterflies|moths)(?! (?:in|on|at)\b)|"
        r"has(?! been| had| got| gone| escaped| vanished| disappeared))\b",
        plain,
    ):
        return ("given",)
    found = []
    for pattern, kinds in WORDS:
        if re.search(pattern, plain):
            found.extend(kinds)
    found = list(dict.fromkeys(found))
    if set(found) <= {"moved"} and not request.enclosures and BROUGHT_IN.search(plain):
        return ("found",)
    if "emerged" in found and "moved" in found and request.enclosures:
        found.remove("emerged")
    if not found and request.enclosures and re.search(r"\b(?:out of|into)\b", plain):
        return ("moved",)
    if found == ["note"] and request.period is not None and not ABOUT_NOTES.search(plain):
        return ()
    if WHOLE_STORY.search(plain):
        return ()
    if WHOLE.search(plain) and set(found) <= {"found", "checked", "note"}:
        return ()
    if not found and len(request.stages) == 1 and re.search(r"\b(?:first|last|earliest|latest)\b", plain):
        return BEGUN.get(request.stages[0], ())
    if re.search(r"\bwhere .*\bfrom\b|\bcome from\b|\bcame from\b|\borigin", plain):
        return ("laid", "found")
    return tuple(found)


def when_words(event, now: datetime) -> str:
    """The day in words, with the clock time where the record has one."""
    words = day_words(event.day, now)
    return f"{words}, {event.when[11:16]}" if event.timed else words
