"""A headcount in a few words: names of the keeper's own animals and places, with or without a word for counting (`B total`, `pupae in
tub 3`, `painted lady adults`, `M in cage 7`).

Such a line has no verb and tells of no event; it says whole what it counts, so nothing of the lines before it is added.
"""

from __future__ import annotations

import re

from nurserytui.language import slots
from nurserytui.language.context import Context
from nurserytui.language.cues import Cues
from nurserytui.language.intents import FLOOR
from nurserytui.language.line import Line
from nurserytui.language.ordinary import HEADS
from nurserytui.language.places import several
from nurserytui.language.places_asked import all_of_a_kind
from nurserytui.language.request import DANGLING, Request
from nurserytui.language.small_words import leans
from nurserytui.language.vocabulary import Vocabulary

COUNTING = frozenset(
    "pop population count counts headcount headcounts total totals number numbers num nr qty quantity tally balance sum left remaining remain remains outstanding "
    "alive living live surviving still now currently present altogether together overall combined howmany standing nos".split()
)
"""Words by which a line counts."""
ROWS = (
    "head count", "in all", "all told", "in total", "all in all", "at the moment", "at present", "right now", "so far", "how many", "on hand",
    "in stock", "no of", "to date", "on the wing",
)  # fmt: skip
"""The same in several words."""
WHEREVER = re.compile(
    r"\b(?:every (?:one|last one|single one) of (?:them|those)|wherever they (?:are|may be|stand)|each and every(?: one)?|no matter where)\b"
)
"""The same in a whole clause."""
WHOLE = re.compile(r"^(?:the |my |our )?(?:whole|entire) (?!cohort|batch|brood|lot)[a-z]+\b")
"""What the keeper calls the place where all of it stands (`whole lab total`)."""
_NOT = r"(?:not(?: yet)?|yet to|still to|have ?n[o']t(?: yet)?|haven't(?: yet)?|havent(?: yet)?|hasn't(?: yet)?|hasnt(?: yet)?)"
_CHANGED = r"(?:hatch|pupate|emerge|eclose)(?:e?d)?(?: (?:yet|so far))?"
UNCHANGED = re.compile(
    rf"(?:\b(?:that|which|who) (?:(?:are|is|have|has) )?|(?<=^STAGE )|(?<=^STAGE of COHORT )|(?<=^STAGE in ENCLOSURE )|(?<=^STAGE in the ENCLOSURE ))(?:still )?{_NOT} {_CHANGED}$"
    r"|^un(?:hatched|emerged|pupated) (?=(?:COHORT )?STAGE\b|COHORT$)"
)
"""What those are counted by that have not changed yet (`eggs of A not yet hatched`); `A eggs not hatched yet` tells of a look."""
STAGES_BEFORE = {"hatch": ("egg",), "pupat": ("larva", "prepupa"), "emerge": ("pupa",), "eclose": ("pupa",)}
"""The stages of those that have not done so yet."""
THOSE = frozenset(("those", "ones", "these"))
OVERALL = frozenset("total totals altogether together overall combined sum all".split())
"""Words by which a count of a stage alone is one of the whole nursery."""
PRESENT = frozenset(("now", "currently"))
"""Words by which it is one of all that stand there now, whatever was just told."""
SMALL = frozenset(
    "+ & all in inside within on at of the my our their and plus any is are was there a an for us i we just both only lot ones so then ok please pls thx what whats s".split()
)
"""Words that may stand between them."""
HAVING = frozenset("got have had has ive give gimme show tell me do all".split())
"""The same in a line that surely asks: alone they may tell what came in."""
SCOPES = ("cohort", "mark", "enclosure", "species")
NAMING = ("COHORT", "MARK", "ENCLOSURE", "SPECIES", "STAGE", "INSTAR")
MISLEADING = re.compile(r"\b(?:in (?:there|here)|(?:COHORT|STAGE) now (?:in|on|at))\b|^(?:is|are) .*\b(?:alive|living)\b")
"""What refers to the line before, tells where animals went, or asks whether they live."""

TOLD = re.compile(
    r"^(?:COHORT|MARK) an? (?:STAGE|INSTAR)\b|^(?!what|how|which)\w+(?:\W\w+)*? (?:is|are|was)\b|\bstill (?:an? )?(?:STAGE|INSTAR)\b"
)
"""What tells how somebody is by now (`M2 is a chrysalis now`, `jar 4: still a chrysalis`)."""


def bare_count(line: Line, found: Cues, nursery, context: Context) -> Request | None:
    """The headcount that a line asks for by names alone, or by names and a word for counting; None where it is more than that."""
    said = " ".join(found.words)
    masked = UNCHANGED.sub("", said).strip()
    if not line.of(*SCOPES, "stage", "instar") and HEADS.isdisjoint(found.words) and not WHOLE.search(masked):
        return None
    goes_on = leans(line) and context.last is not None and not (line.spans and line.spans[0].first == 0)
    if goes_on or MISLEADING.search(masked) or ("?" not in line.text and TOLD.search(masked)):
        return None
    words = [word for word in WHOLE.sub("all", WHEREVER.sub("all", masked)).split() if word not in NAMING]
    spoken = f" {' '.join(words)} "
    rows = [row for row in ROWS if f" {row} " in spoken]
    counts = not COUNTING.isdisjoint(words) or bool(rows) or masked != said
    spare = COUNTING | SMALL | (THOSE if masked != said else set()) | {word for row in rows for word in row.split()}
    grouped = line.of("stage", "species") and all_of_a_kind(line.plain, nursery.ledger.enclosures)
    heads = [word for word in words if word in HEADS] if (counts or grouped) and not line.of("enclosure") else []
    if not (spare | HAVING if counts or "?" in line.text else spare).issuperset({*words} - {*heads}) or len(heads) > 1:
        return None
    if line.of("instar") and line.of("cohort", "mark") and "?" not in line.text and not _of_instar(line, nursery):
        return None  # `B now 4th instar`, of larvae that were younger: they moulted
    if _tells_instar(line, words, nursery):
        return None
    asks = _stood(line, nursery) and _asks(line, words, counts, heads, nursery, context)
    request = slots.fill(line, found, "headcount", nursery, "grammar", FLOOR) if asks else None
    if grouped and request is not None:
        return request._replace(enclosures=grouped)
    if request is not None and masked != said and not request.stages:
        request = request._replace(
            stages=next(stages for word, stages in STAGES_BEFORE.items() if word in UNCHANGED.search(said)[0])
        )
    if request is None or not heads:
        return request
    known = Vocabulary.of(nursery)
    if only := known.enclosure(heads) or known.only_enclosure(heads[0]):
        return request._replace(enclosures=(only,))
    return request._replace(layer=DANGLING) if several(line.text, nursery.ledger.enclosures)[1] else None


def _asks(line: Line, words: list[str], counts: bool, heads: list[str], nursery, context: Context) -> bool:
    """Whether a line of names, small words and perhaps words for counting is a count by itself, after the lines before it."""
    if context.open is not None and context.open.topic == "record" and "?" not in line.text and (not counts or words[0] == "the"):
        return _says_nothing_new(line, context.open)  # else it may say which are meant
    if not line.of(*SCOPES) and not heads:
        counts = counts or (not words and "?" in line.text)  # `pupae?`
        return counts and (context.last is None or (_told(context) and not (OVERALL | PRESENT).isdisjoint(words)))
    if counts or heads:
        return True
    alone = len(line.spans) == 1 and not words and line.of("cohort")  # `B-2`; a mark may be of nobody
    whole = line.of("stage", "instar") or (line.of("cohort", "mark") and (alone or line.of("enclosure")))
    return bool(whole) and not _asked_otherwise(context) and _standing(line, nursery)


def _says_nothing_new(line: Line, opened: Request) -> bool:
    """Whether a line names only what the record that is asked about told already: that answers nothing, and confirms nothing."""
    told = {part for draft in opened.drafts for part in (draft.cohort, draft.enclosure, draft.to, draft.stage) if part}
    named = [span.value for span in line.of("cohort", "enclosure", "stage")]
    return bool(named) and len(named) == len(line.spans) and told.issuperset(named)


TELLING = frozenset("now all both at in the of is are".split())


def _tells_instar(line: Line, words: list[str], nursery) -> bool:
    """Whether a line tells the instar that animals have reached (`C5 L4 now`, `top sleeve all L4`): none of those named are in it, and
    some are in one before it."""
    told = [span.value for span in line.of("instar")]
    if len(told) != 1 or "?" in line.text or not TELLING.issuperset(words) or not {"now", "all", "both"} & set(words):
        return False
    animals = {span.value if span.kind == "mark" else (span.value, "") for span in line.of("cohort", "mark")}
    places = {span.value for span in line.of("enclosure")}
    instars = [
        key.instar or 0
        for key, count in nursery.ledger.heads.items()
        if count
        and key.stage == "larva"
        and (not animals or not animals.isdisjoint(((key.cohort, key.mark), (key.cohort, ""))))
        and (not places or key.enclosure in places)
    ]
    return bool(instars) and max(instars) < told[0]


def _told(context: Context) -> bool:
    return context.last is not None and context.last.request.topic in ("", "record", "undo", "help")


def _asked_otherwise(context: Context) -> bool:
    """Whether the line before asked something else than a count: names alone put that question again of others."""
    last = context.last.request if context.last else None
    if last is None or last.topic in ("", "record", "undo", "help", "headcount") or PLAN.match(last.plain):
        return False
    return "question" in last.cues or last.topic in HEADLINES


HEADLINES = ("stage-forecast", "survival", "exposure", "temperature")
"""Topics that are asked for in a headline too (`C3 emergence`)."""
PLAN = re.compile(
    r"(?:i )?(?:will|shall) (?:release|move|feed|clean|put|take|give|check|count|let|bring|test|cut|water|split|transfer|change)\b"
)
"""What somebody means to do, which asks nothing (`will release the two after school`)."""


def _stood(line: Line, nursery) -> bool:
    """Whether the species of a line, if it names any, are in the records: others are asked about in general."""
    own = {cohort.species for cohort in nursery.ledger.cohorts.values()}
    return all(not own.isdisjoint(span.value.names) for span in line.of("species"))


def _of_instar(line: Line, nursery) -> bool:
    """Whether larvae of that instar stand now in a cohort that a line names, or none of it are younger."""
    cohorts = {span.value if span.kind == "cohort" else span.value[0] for span in line.of("cohort", "mark")}
    said = {span.value for span in line.of("instar")}
    held = {key.instar for key, count in nursery.ledger.heads.items() if count and key.cohort in cohorts and key.stage == "larva"}
    return bool(said & held) or not held or max(said) <= min(instar or 0 for instar in held)


def _standing(line: Line, nursery) -> bool:
    """Whether animals stand now that fit all names of the line; for a stage in a place, that is asked whether they do or not."""
    cohorts = {span.value if span.kind == "cohort" else span.value[0] for span in line.of("cohort", "mark")}
    species = {name for span in line.of("species") for name in span.value.names}
    if not cohorts and not species:
        return bool(line.of("enclosure"))
    marks = {span.value for span in line.of("mark")}
    places, stages = ({span.value for span in line.of(kind)} for kind in ("enclosure", "stage"))
    ledger = nursery.ledger
    return any(
        count
        and (not cohorts or key.cohort in cohorts)
        and (not marks or (key.cohort, key.mark) in marks)
        and (not species or ledger.cohorts[key.cohort].species in species)
        and (not places or key.enclosure in places)
        and (not stages or key.stage in stages)
        for key, count in ledger.heads.items()
    )
