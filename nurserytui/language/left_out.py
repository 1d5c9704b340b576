"""What a question about the keeper's own animals leaves out, which stages a count means, and a time that belongs to something else."""

from __future__ import annotations

import re
from typing import NamedTuple

from nurserytui.language.line import Line, Span

LEFT_OUT = re.compile(
    r"(?:not counting|not including|not incl|excluding|exclud\w+|leav(?:e|ing) (?:out|off|aside)|except(?: for)?|apart from|aside from|minus|bar|other than|ignor(?:e|ing)"
    r"|(?:with)?out counting|without|disregard\w*|discount\w*|but not|(?:all|every\w*|any\w*) but|besides|save for|outside|(?:that|which|who)(?: are| is|'?re|'?s)? (?:not|no|aren'?t|isn'?t)|not(?= (?:in|on|the)\b))"
    r"(?: (?:all|any|an?|the|my|those|these|ones?|that|which|who|are|is|have|has|had|already|now|in|on|as|their|its))*\s*$"
)
"""Words after which stands what is left out."""
LEFT_BEHIND = re.compile(
    r"(?:(?:are|is|being|to be) )?(?:not (?:counted|included)|left out|excluded|excl|aside|apart|don't count|dont count|do not count)\b"
    r"(?! (?:the|those|these|any|my|all|ones?|from)\b)"
)
"""The same after what is left out (`if the prepupae are not counted`)."""
ALSO = re.compile(r"(?:(?:and|or|nor|the|any|all|my|in|of)(?: |$))*")
"""What may stand between two things that are left out together."""
COUNTING = frozenset(("headcount", "history", "survival", "stage-forecast"))
"""Topics in which some animals may be left out."""


class Apart(NamedTuple):
    """What a line leaves out (`how many pupae, not counting lunas`)."""

    line: Line
    """The line without the spans that it leaves out."""
    names: tuple[str, ...] = ()
    """The cohorts, species and enclosures among them."""
    stages: tuple[str, ...] = ()
    """And the stages."""


def apart_of(line: Line, topic: str) -> Apart:
    """What a line of that topic leaves out."""
    if topic not in COUNTING:
        return Apart(line)
    kinds = ("species", "cohort", "enclosure", "stage") if topic == "headcount" else ("species", "cohort", "enclosure")
    left: list[Span] = []
    for span in line.of(*kinds):
        joined = left and line.spans[line.spans.index(span) - 1] is left[-1] and ALSO.fullmatch(_between(line, left[-1], span))
        before = " ".join(token.text for token in line.tokens[: span.first])
        after = " ".join(token.text for token in line.tokens[span.last + 1 :])
        if joined or LEFT_OUT.search(before) or LEFT_BEHIND.match(after):
            left.append(span)
    names = [
        name for span in left for name in (span.value.names if span.kind == "species" else (span.value,)) if span.kind != "stage"
    ]
    stages = [span.value for span in left if span.kind == "stage"]
    if topic == "headcount":
        masked = line.masked()
        stages += [
            stage
            for stage, words in REACHED.items()
            if any(LEFT_OUT.search(masked[: at.start()]) for at in words.finditer(masked))
        ]
    return Apart(line._replace(spans=tuple(span for span in line.spans if span not in left)), tuple(names), tuple(stages))


def _between(line: Line, one: Span, other: Span) -> str:
    """The words between two spans."""
    return " ".join(token.text for token in line.tokens[one.last + 1 : other.first])


REACHED = {
    "prepupa": re.compile(
        r"\b(?:(?:hung|hang(?:s|ing)?)(?: up)?(?! as\b)|strung up|in(?:to)? (?:an? |the |their )?j\b|j[ -]?(?:h[au]ng\w*|shaped?|ing)|gone j|prepupated)\b"
    ),
    "pupa": re.compile(r"\b(?:pupated|chrysalised)\b"),
    "adult": re.compile(r"\b(?:emerged|eclosed|(?:come|came) out)\b"),
}
"""Words for what animals have done, by the stage that they have reached by it."""
STAGES = ("egg", "larva", "prepupa", "pupa", "adult")


NOT_YET = re.compile(r"\b(?:not|yet to|still to|\w+n'?t|yet)(?: \w+)?\s*$")
ASIDE = re.compile(r"[,;:.!?](?=\s)|\s[-–—]\s")
WORDS_ASIDE = 3
"""Words beside a time from which its clause tells something of its own (`my mum comes on sunday - how many are there`)."""


def aside(span: Span, line: Line, topic: str) -> bool:
    """Whether a time stands in a clause before the question that tells something else; `back in june, how many …` does not."""
    if topic not in COUNTING or not span.first:
        return False
    end = line.tokens[span.last].end
    after = ASIDE.match(line.text, end)
    begins = max((found.end() for found in ASIDE.finditer(line.text, 0, line.tokens[span.first].start)), default=0)
    others = [token for token in line.tokens[: span.first] if token.start >= begins]
    return (
        after is not None
        and len(others) >= WORDS_ASIDE
        and ASKS_AFTER.search(behind := line.plain.split(span.said.casefold(), 1)[-1]) is not None
        and not ASKS_ALONE.fullmatch(behind)
    )


ASKS_AFTER = re.compile(r"^\W*(?:so |and |but )?(?:how|what|which|who|where|when|is|are|do|does|did|any|can)\b")
ASKS_ALONE = re.compile(
    r"\W*(?:so |and )?how many(?: (?:in all|in total|total|altogether|overall|all told|were they|were there|was that))?\W*"
)
"""A question that names nothing, so that what stands in front of it is what it is about (`moths let go in 2025, how many in all`)."""
BECOME = re.compile(r"\b(?:is|are|have|has|turned|become|became|gone|went|now)\b")


NOT_BECOME = re.compile(
    r"\b(?:not|yet to|still to|\w+n'?t)(?: yet| all)? (?:gone?|go|turn(?:ed)?|become|changed?|ma[dk]e)(?: in)?(?: ?to)?(?: into)?(?: an?| the| its| their)?$"
)
"""What stands in front of a stage that some have not reached (`how many haven't gone into chrysalis`)."""
EARLIER = {"larva": ("egg",), "prepupa": ("larva",), "pupa": ("larva", "prepupa"), "adult": ("pupa",)}
COUNTED_IN = re.compile(r"\b(?:counting|including|adding|with|plus|even) (?:\w+ ){0,2}\w+$")
TOO = re.compile(r"\b(?:too|as well|also|included)\b")
INCLUDING = ("including", "incl", "inc", "includes", "include")
BESIDES = ("included", "counted in", "are included", "is included", "incl", "inclusive", "too", "and everything", "and the lot")


def _besides(span: Span, line: Line) -> bool:
    """Whether a stage is only counted in with the rest (`how many painted ladies, prepupae included`)."""
    before = line.tokens[span.first - 1].text if span.first else ""
    after = " ".join(token.text for token in line.tokens[span.last + 1 : span.last + 3])
    lead = " ".join(token.text for token in line.tokens[: span.first])
    if COUNTED_IN.search(lead) and TOO.search(" ".join(token.text for token in line.tokens[span.last + 1 :])):
        return True
    return before in INCLUDING or after in ("and all", "as well") or after.startswith(BESIDES)


def counted(stages: tuple[str, ...], line: Line, apart: Apart) -> tuple[str, ...]:
    """The stages of a headcount: those that hang (`how many larvae have hung up`) are prepupae, of `how many larvae are pupae` those count
    that are, and what is left out is none of them."""
    masked = line.masked()
    if apart.line.of("stage") and all(_besides(span, line) for span in apart.line.of("stage")):
        return ()
    said = {span.value for span in apart.line.of("stage")}
    hang = REACHED["prepupa"].search(masked) if said <= {"larva"} and "prepupa" not in apart.stages else None
    if hang:
        stages = ("larva",) if NOT_YET.search(masked[: hang.start()]) else ("prepupa",)
    named = apart.line.of("stage")
    if len(named) == 1 and NOT_BECOME.search(" ".join(token.text for token in line.tokens[: named[0].first])):
        stages = EARLIER.get(named[0].value, stages)
    if len(stages) == 2 == len(named):
        words = _between(apart.line, *named)
        if BECOME.search(words) and not re.search(r"\b(?:and|or|plus|how|many)\b", words):
            stages = stages[1:]
    if {"larva", "pupa"} <= set(stages) and "prepupa" not in stages:
        stages = (*stages, "prepupa")  # between the two, and no keeper means to leave them out
    kept = tuple(stage for stage in stages or STAGES if stage not in apart.stages)
    return kept if apart.stages and kept else stages
