"""What the words of a line show about whether it asks, and of what."""

from __future__ import annotations

import re

from nurserytui.language import cues as cues_of
from nurserytui.language import intents, phrases, weighing
from nurserytui.language.context import Context
from nurserytui.language.line import Line

TELLING_WITH_WHICH = re.compile(
    r"(?:i |we |today )?(?:found|counted|moved|put|took|released|lost|cleaned|collected|picked|brought|got)\b"
)
ASKING_WORDS = re.compile(r"\b(?:how|what|when|where|why|which|who|whose|should|can i|do i)\b")


def tells_with_which(line: Line) -> bool:
    """`found 3 larvae on the kale which I cannot name`: the only word that could ask goes on about what was named."""
    asking = ASKING_WORDS.findall(line.plain)
    return (
        asking in (["which"], ["who"]) and bool(TELLING_WITH_WHICH.match(line.plain)) and not re.search(r"[,;:.] *wh", line.plain)
    )


_ORDER = r"(?:one|two|three|four|five|[1-9]|first|second|third|fourth|fifth|last|top|bottom|1st|2nd|3rd|4th|5th)"
OF_AN_ITEM = re.compile(
    r"(?:and |so |but )?(?:why|how come|what (?:is|was|makes|made) (?:the )?(?:reason|grounds?|case|basis|evidence)|whats (?:the )?(?:reason|grounds?|case|basis|evidence)|reasons?|grounds?|(?:please )?(?:explain|justify)|"
    rf"on what grounds|how did you (?:get|come|arrive|pick)|what speaks)\b(?: \w+){{0,4}}? (?:(?:the )?{_ORDER}(?: (?:one|item|place|on the list|in the list))?|(?:number|no|nr|item|#) ?{_ORDER})(?: (?:there|then|come first|on top|first|so high|likeliest|on there|listed|please|pls))*"
)
"""What asks why something that was listed stands where it does (`the reason for number two`)."""


def of_the_talk(line: Line, weighed: weighing.Weighed | None, context: Context) -> bool:
    """Whether a line inside a conversation asks how the answer before it came about: what names nothing itself may say so less clearly."""
    if intents.of_the_talk(weighed):
        return True
    answered = context.last is not None and context.last.answer.status == "answered"
    if answered and len(context.last.answer.items) > 1 and OF_AN_ITEM.fullmatch(line.plain.rstrip("?. !").replace("'", "")):
        return True
    bare = answered and not line.spans and weighed is not None and weighed.topic == "explain"
    return bare and weighed.chance >= intents.CLEARLY


UP_TO_NOW = re.compile(
    r"\b(?:so far|to date|yet|(?<!at )last|on)$|(?<!the )(?<!at )(?<!very )\blast (?:\w+ed|fed|cut|seen|swept|given)(?: (?:down|out|off|up|over|through))?$|\b(?:dead|died|lost) so far\b"
)
UTMOST = re.compile(
    r"(?:and |so )?(?:the )?(?:(?!rest|forest|nest|west)\w{2,}est|most|least) (?:it|they|that|this|we|i|anyone)\b"
)
"""`the furthest it fell`: a heading of what is asked for."""
DENIED = re.compile(r"\b(?:not|no|none|never|nothing|\w+n'?t)\b")


def of_the_past(line: Line, found: cues_of.Cues) -> bool:
    """`cab-2 hatched so far`, `jar 2 last fed`: without a number or a day that tells nothing new."""
    told = {"NUMBER", "ESTIMATE", "PERIOD", "setting-word"} & found.names
    asks = UP_TO_NOW.search(line.plain) or UTMOST.match(line.plain)
    return not told and bool(asks) and not DENIED.search(line.plain)


TO_COME = frozenset("come hatch emerge eclose pupate moult molt turn spin hang fly".split())
"""What animals do, in the form that a question has (`when do they … and come out`)."""


CHANGE_ALONE = re.compile(
    r"\b(?:\w+ing|\w+ations?|deaths?|losses|finds?|releases?|moves?|moults?|rate) (?:only|alone)(?: please| pls| thanks)?$"
)
"""`hatching only`: what is asked for, in the form of a heading."""


def asks_on(line: Line, found: cues_of.Cues, context: Context) -> bool:
    """`and come out as adults` or `now B, hatching only` after a question asks for more; with a number or a day it would tell."""
    asked = context.last is not None and context.last.request.topic not in ("", "record", "undo")
    words = [token.text for token in line.tokens[:2]]
    goes_on = (len(words) == 2 and words[0] in ("and", "or", "then") and words[1] in TO_COME) or bool(
        CHANGE_ALONE.search(line.plain)
    )
    return asked and goes_on and {"NUMBER", "ESTIMATE", "PERIOD"}.isdisjoint(found.names)


NAMING = frozenset("on for from at in this that the my our".split())
"""Words before the name of a thing or a place."""
TIMING = frozenset("before after until till til by during".split())
"""Words before a time that only the keeper knows (`jobs before the bell`)."""
LITTLE = 3
"""Words of a line that may say nothing."""


def says_little(line: Line, found: cues_of.Cues, tables: phrases.Phrases) -> bool:
    """Whether a line names nothing, and only asks about somebody spoken of before or in the smallest words (`is she ready`, `since when`)."""
    if line.spans or len(found.words) > LITTLE:
        return False
    small = (*tables.leads, *tables.skip, *tables.lists["small"])
    return "PRONOUN" in found.names or all(word in small for word in found.words)


def of_elsewhere(found: cues_of.Cues) -> bool:
    """Whether a line names nothing of the nursery but something that nobody here knows (`whats for dinner tonight`, `from this laptop`)."""
    threes = zip(("", *found.words), found.words, found.words[1:], strict=False)
    named = any(one in NAMING and two in found.strange and before not in TIMING for before, one, two in threes)
    return intents.ANCHORS.isdisjoint(found.names) and (named or len(found.strange) > 1)


def only_found(found: cues_of.Cues) -> bool:
    """`found some eggs on the dill`: eggs came in, and nothing of their looks is told by which they could be named."""
    return {"find", "EGG"} <= found.names and not {"QUESTION", "looks-two", "whose", "egg-strong"} & found.names


GIVING_UP = frozenset(
    "give up|giving up|gave up|write off|writing off|written off|throw out|throwing out|throw away|throwing away|discard|discarding|abandon|chuck|chucking|toss|tossing|bin them|bin it|bin|binning".split(
        "|"
    )
)
"""Words by which a line asks when eggs are lost, not how long they take."""
