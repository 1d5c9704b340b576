"""Wishes to take back what was written: the last record, or one that the line describes (`undo the feeding`, `take back the death of B`)."""

from __future__ import annotations

import re

from nurserytui.language import intents
from nurserytui.language.context import Context
from nurserytui.language.line import Line
from nurserytui.language.request import Request
from nurserytui.language.small_words import RIGHTING, TAKING_BACK
from nurserytui.language.weighing import Weighed

OPENING = (*TAKING_BACK, "remove the record", "unrecord")
"""Words behind which a record that is told is one to be taken back."""
PARTICULAR = ("cohort", "mark", "enclosure", "number", "estimate", "period")
"""Spans that say which record is meant, or what is right instead."""
NOUNS = {
    "feeding": "fed", "feed": "fed", "meal": "fed", "cleaning": "cleaned", "clean": "cleaned", "washing": "cleaned", "watering": "watered",
    "death": "died", "deaths": "died", "release": "released", "releases": "released", "move": "moved", "moving": "moved", "transfer": "moved",
    "hatch": "hatched", "hatching": "hatched", "moult": "moulted", "molt": "moulted", "pupation": "pupated", "emergence": "emerged",
    "eclosion": "emerged", "escape": "escaped", "test": "tested", "reading": "temperature", "temperature": "temperature", "note": "note",
    "sign": "sign", "count": "counted", "stocktake": "counted", "split": "split", "merge": "merged", "rename": "renamed", "find": "found",
    "laying": "laid", "check": "checked", "cutting": "cut", "setting": "setting",
}  # fmt: skip
"""Words by which a record is called -> its kind of event."""
ENTRY = frozenset("record records entry entries line log note".split())
"""Words by which any record is called."""
SEVERAL = re.compile(
    r"(?:(?:no|oops|sorry|please|wait|actually|can you) )*(?:undo|take back|scrap|delete|cancel|remove|withdraw|drop) "
    r"(?:(?:the|my|our) )?(?:(?:last|previous|past) )?(two|three|four|five|[2-5]|both)(?: of (?:them|those|these))?"
    r"(?: (?:last )?(?:records?|entries|lines|things|ones))?(?: please)?"
)
"""A wish to take back more than one record (`undo the last two`)."""
FIGURES = {"both": 2, "two": 2, "three": 3, "four": 4, "five": 5}
WHAT_I = re.compile(r"\bwhat (?:i|we)\b|\bthe last\b|\bmy last\b")
"""Words that stand for the last record (`take back what i put in`)."""
ONLY = re.compile(r"(?:no|sorry|oops|actually|wait|nope|well)?(?: no| wait)? ?(?:only|just) ")
SHORT = 7
"""How a line begins, and how many words it has, that takes back all but what it names."""
RIGHT_AFTER = 0.4
"""Chance from which a line is such a wish that comes right after a record."""
SAID = frozenset("logged recorded entered typed wrote written noted put note record entry".split())
"""Words that tell of the writing down, not of what was written."""


def chosen(which: str, line: Line, context: Context) -> Request | None:
    """The very record that a sentence stands for which was offered after a wish to take something back."""
    answer = context.last.answer if context.last is not None else None
    if not which or answer is None or context.open is None or context.open.topic != "undo":
        return None
    records = dict(zip(answer.options, answer.items)) if len(answer.options) == len(answer.items) else {}
    meant = records.get(which, {})
    group = meant.get("group") or meant.get("id")
    return _request(line, group, frozenset(("exactly",))) if group else None


def wish(line: Line, weighed: Weighed | None, nursery, context: Context) -> Request | None:
    """What a line wishes to take back that is by its words such a wish and tells nothing that could be right instead; None for another."""
    opening = line.plain.startswith(OPENING)
    surely = intents.takes_back(weighed, intents.SURELY)
    if not (opening or surely) or "?" in line.text:
        return None
    from nurserytui.language import record_replies
    from nurserytui.language.record_items import items_of
    from nurserytui.language.record_verbs import best_verb

    waiting = context.open is not None and context.open.topic == "record"
    if (several := SEVERAL.fullmatch(line.plain)) and not waiting:
        count = FIGURES.get(several[1]) or int(several[1])
        return _request(line, context.last_group, frozenset(("several",)))._replace(count=count)
    if record_replies.is_undo(line):
        return None if waiting else _request(line, context.last_group)
    items = items_of(line, nursery.ledger.cohorts)
    words = [item.word for item in items]
    particular = bool(line.of(*PARTICULAR))
    if particular and (not opening or any(item.stop for item in items) or not RIGHTING.isdisjoint(words)):
        return None
    called = next((NOUNS[word] for word in words if word in NOUNS and word not in SAID), "")
    verb = best_verb([item for item in items if item.word not in SAID], weak=False)
    entry = line.plain.startswith("undo") or not ENTRY.isdisjoint(words)
    if opening and (called or entry and (verb or particular)):
        return _described(line, context, called or verb.what if verb else called)
    said_so = opening and WHAT_I.search(line.plain) is not None
    if particular or not (surely or said_so):
        return None
    return _dropped(line, context.open) if waiting else just_said(line, context)


def narrowed(line: Line, nursery, context: Context) -> Request | None:
    """`no, only jar 1` right after a record of several things: the others of them are taken back."""
    last = context.last
    if last is None or last.answer.status != "recorded" or last.request.topic != "record" or not ONLY.match(line.plain):
        return None
    spans = line.of("cohort", "mark", "enclosure")
    if not spans or len(spans) != len(line.spans) or len(line.tokens) > SHORT:
        return None
    request = _described(line, context, "")
    fits = [item for item in last.answer.items if _listed(item, request)]
    return request._replace(cues=frozenset(("only",))) if 0 < len(fits) < len(last.answer.items) else None


def _listed(item: dict, request: Request) -> bool:
    return item.get("cohort") in request.cohorts or item.get("enclosure") in request.enclosures


def of_the_last(line: Line, weighed: Weighed | None, context: Context) -> Request | None:
    """A line right after a record that is rather a wish to take it back than anything else (`wait, it is alive`), and tells nothing else."""
    just = context.last is not None and context.last.request.topic == "record" and context.last.answer.status == "recorded"
    if not just or "?" in line.text or line.of(*PARTICULAR) or not intents.takes_back(weighed, RIGHT_AFTER):
        return None
    return _request(line, context.last_group)


def drops(line: Line, context: Context) -> Request | None:
    """A line that gives up what was asked back."""
    from nurserytui.language import record_replies

    return _dropped(line, context.open) if context.open is not None and record_replies.drops(line) else None


def _dropped(line: Line, opened: Request) -> Request:
    return Request(line.text, opened.topic, cues=frozenset(("dropped",)), plain=line.plain, layer="reply", score=1.0)


def just_said(line: Line, context: Context) -> Request:
    """A wish that names no record: the last of this conversation; it is asked which is meant where nothing was written in it, or where the
    line may tell what is right instead."""
    cues = frozenset() if context.last_group and not line.of(*PARTICULAR) else frozenset(("older", "mistyped"))
    return _request(line, context.last_group, cues)


def told(record: Request, line: Line, context: Context) -> Request:
    """`undo released B1` never writes a second release: a record that is told after a word for taking back is the one to be taken back."""
    righted = "correct" in record.cues and "," in line.text
    if record.topic == "record" and line.plain.startswith(OPENING) and not righted:
        return _described(line, context, record.event)
    return record


def _described(line: Line, context: Context, event: str) -> Request:
    numbers = [span.value for span in line.of("number", "estimate")]
    return _request(line, context.last_group, frozenset(("described",)))._replace(
        cohorts=tuple(
            dict.fromkeys(span.value if span.kind == "cohort" else span.value[0] for span in line.of("cohort", "mark"))
        ),
        mark=next((span.value[1] for span in line.of("mark")), ""),
        enclosures=tuple(dict.fromkeys(span.value for span in line.of("enclosure"))),
        event=event,
        count=int(numbers[0]) if len(numbers) == 1 and float(numbers[0]).is_integer() else None,
        period=next((span.value for span in line.of("period")), None),
    )


def _request(line: Line, group: str, cues: frozenset[str] = frozenset()) -> Request:
    return Request(line.text, "undo", group=group, cues=cues, plain=line.plain, layer="grammar", score=1.0)
