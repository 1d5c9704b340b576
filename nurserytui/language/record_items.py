"""A scanned line as a row of words and spans, read as records need it."""

from __future__ import annotations

import re

from nurserytui.language.clause import Item
from nurserytui.language.line import Line, Span
from nurserytui.language.record_homes import with_homes
from nurserytui.language.record_new_places import with_new_places
from nurserytui.language.record_verbs import phrases_from
from nurserytui.language.record_words import PLURAL_STAGES, PREDATORS

STOP = re.compile(r"[,;!?\n]|\s/\s|\.(?=\s|$)|:(?=\s|$)|\s[-–—]+\s|\s[-–—]+$|[()]")
SHORT_AND = frozenset(["n", "nd", "'n'"])
KINDS = {
    "number": "NUMBER", "estimate": "NUMBER", "cohort": "COHORT", "mark": "COHORT", "enclosure": "ENCLOSURE", "species": "SPECIES", "plant": "PLANT",
    "agent": "AGENT", "instar": "INSTAR", "amount": "AMOUNT", "period": "PERIOD", "ordinal": "ORDINAL",
}  # fmt: skip
DOING = frozenset(
    """
    has have had is are was were still hatched died moulted pupated emerged looks look all both now in from to into onto went came got gone hung released escaped not
    """.split()
)


def items_of(line: Line, labels=()) -> list[Item]:
    """The line's words and spans in order; new enclosures (`box 7`, `tubs 1 and 3`) are put together here."""
    starts = {span.first: span for span in line.spans}
    items: list[Item] = []
    at = 0
    while at < len(line.tokens):
        span = _plain_kind(starts.get(at))
        last = min(span.last if span else at, len(line.tokens) - 1)
        start, end = line.tokens[at].start, line.tokens[last].end
        raw = line.meant(start, end)
        if span and span.kind == "stage" and raw.casefold().endswith("ed") and phrases_from(raw.casefold()):
            span = None  # `two chrysalised`: what they did, not what they are.
        if span and span.kind in ("plant", "species") and raw.casefold() in PREDATORS:
            span = None  # `blackbird` is no slip of a plant's name
        if span:
            word = str(span.value).upper() if span.kind == "stage" else KINDS.get(span.kind, span.kind.upper())
            items.append(Item(word, span, start, end, raw))
        else:
            word = line.tokens[at].text.replace("'", "").replace("’", "")
            if (
                items
                and not items[-1].span
                and start - items[-1].end <= 1
                and line.text[items[-1].end : start] in ("'", "’")
                and len(word) < 3
            ):
                items[-1] = items[-1]._replace(word=items[-1].word + word, end=end, raw=line.text[items[-1].start : end])
            elif word in ("hatchling", "hatchlings"):
                items.append(Item("LARVA", Span(at, at, "stage", "larva", raw), start, end, raw))
            elif re.fullmatch(r"-+>|→|=>", word) or word == ">" and items and items[-1].word == "ENCLOSURE":
                items.append(Item("to", None, start, end, raw))
            elif word == "well" and items and items[-1].word == "as":
                items[-1] = items[-1]._replace(word="too", end=end, raw=line.text[items[-1].start : end])
            elif re.search(r"\w|[&+]", word):
                items.append(Item("and" if raw in SHORT_AND else word, None, start, end, raw))
            elif items and STOP.search(f" {raw} "):
                items[-1] = items[-1]._replace(stop=True)
        at = last + 1
    for place, item in enumerate(items):
        gap = line.text[item.end : items[place + 1].start] if place + 1 < len(items) else ""
        between = gap.strip() == ">" and item.word == items[place + 1].word == "ENCLOSURE"
        if (between or re.search(r"->|→|=>", gap)) and items[place + 1].word != "to":
            items.insert(place + 1, Item("to", None, items[place + 1].start, items[place + 1].start, ""))
        elif STOP.search(gap) and not (gap.strip() == ":" and (_goes_on(items, place) or _counts(line, items, place))):
            items[place] = item._replace(stop=True)
    return with_homes(with_new_places(line, _own_letter(_hanging_in_a_v(line, items), line, labels)))


def _plain_kind(span: Span | None) -> Span | None:
    """A label that the records do not have yet stands where a known one stands: what is new is decided against the ledger."""
    if span is not None and span.kind in ("unknown-cohort", "unknown-enclosure"):
        return span._replace(kind=span.kind.removeprefix("unknown-"))
    return span


def _own_letter(items: list[Item], line: Line, labels) -> list[Item]:
    """`A` and `I` are words as well as labels: a capital inside a sentence, or one in front of what cohorts do, is the label."""
    if line.text.isupper():
        return items
    found = list(items)
    for at, item in enumerate(items):
        raw = item.raw.removesuffix("'s").removesuffix("’s")
        if item.span or len(raw) != 1 or raw not in labels:
            continue
        if raw not in ("A", "I"):
            found[at] = item._replace(word="COHORT", span=Span(-1, -1, "cohort", raw, raw))
            continue
        following = items[at + 1] if at + 1 < len(items) else None
        first = at == 0 or (items[at - 1].stop and raw == "A" and line.text[items[at - 1].end] in ".!?")
        plural = following is not None and following.kind == "stage" and following.raw.casefold() in PLURAL_STAGES
        doing = following is None or item.stop or plural or following.word in DOING
        if raw == "I":
            label = at > 0 and items[at - 1].word in ("of", "the", "cohort", "group", "checked") or plural
        else:
            label = doing if first else True
        if label:
            found[at] = item._replace(word="COHORT", span=Span(-1, -1, "cohort", raw, raw))
    return found


def _counts(line: Line, items: list[Item], place: int) -> bool:
    """Whether a colon stands between a place or cohort and no more than its number (`tub 1: 2, tub 3: 1`)."""
    number = items[place + 1]
    ends = place + 2 == len(items) or STOP.search(line.text[number.end : items[place + 2].start])
    return items[place].word in ("ENCLOSURE", "COHORT") and number.word == "NUMBER" and bool(ends)


STOCKTAKES = (["stocktake"], ["count"], ["counted"], ["recount"], ["recounted"], ["headcount"], ["tally"], ["stock", "take"])
"""First words of a line whose colon leads to what was counted."""


def _goes_on(items: list[Item], place: int) -> bool:
    """Whether a colon behind the item only leads to what belongs to it: `label: K-2`, `split B: 4 larvae become B-2`, `counted the tent: 9`."""
    words = [item.word for item in items[: place + 1]]
    if words[-1] in ("label", "name", "cohort", "batch", "group") or words in STOCKTAKES:
        return True
    return (
        len(words) < 5
        and words[0] in ("split", "divided", "separated", "counted", "count", "recounted", "stocktake", "tally", "headcount")
        and words[-1].isupper()
    )


IN_A_V = re.compile(
    r"(?:\b(?:hang\w*|hung|dangl\w*)\s+(?:[\w'-]+\s+){0,6}?)?"
    r"(?:(?:\b(?:in|into|like)\s+)?\b(?:(?:an?|the)\s+)?(?:upside[- ]?down|inverted|upturned)\s+[\"'“]?v\b|\b(?:in|into|like)\s+an?\s+[\"'“]?v\b|"
    r"\b(?:(?:in|into|like)\s+)?(?:an?\s+)?v[- ]?shaped?\b)[\"'”]?(?:[- ]?shaped?\b)?",
    re.I,
)


def _hanging_in_a_v(line: Line, items: list[Item]) -> list[Item]:
    """`hanging in an upside-down V` is one word, a sign of virus: it tells neither of a larva that hangs up nor of a cohort called V."""
    for shape in IN_A_V.finditer(line.text):
        inside = [item for item in items if shape.start() <= item.start < shape.end()]
        if inside:
            at = items.index(inside[0])
            whole = Item(
                "v-shaped", None, inside[0].start, inside[-1].end, line.text[inside[0].start : inside[-1].end], inside[-1].stop
            )
            items = [*items[:at], whole, *items[at + len(inside) :]]
    return items
