"""Bare lines that ask for more of what the last answer told: `and 2?` after `in tub 1`, `with what`, `who wrote that down`, `what of`,
`how many went over`, `out of how many`, `since when has it been a pupa`, `how many in the second of those`, `2 left then?`."""

from __future__ import annotations

import re

from nurserytui.language import slots
from nurserytui.language.context import Context, Turn
from nurserytui.language.cues import Cues
from nurserytui.language.line import Line
from nurserytui.language.request import Request
from nurserytui.language.small_words import FILLER
from nurserytui.language.spoken import spoken_of

LEAD = r"(?:and |so |but |ok |right |oh )*"
HOW_IT_WAS = re.compile(
    LEAD
    + r"(?:with what|what with|using what|what did (?:i|we|they) use|on what|who (?:did|wrote|logged|noted|recorded|told|put|was|says|said|saw|by)"
    r"(?: (?:it|that|this|them|so))?(?: (?:down|in|up))?|by whom?|who by)"
)
"""What stands in the row that was just told: with what, and by whom."""
OF_WHAT = re.compile(
    LEAD + r"(?:what of|of what|from what|what from|what (?:did|do) (?:they|it|those|these|he|she) die (?:of|from))"
)
SO_MANY = re.compile(
    LEAD
    + r"how many (?:(?:of (?:them|those|these) )?(?:went|were|was|is|are|got|did i|did we|moved|made|came) ?(?:it|over|across|there|that|those|they|move|take|put)?)"
)
OF_THE_DEAD = re.compile(
    LEAD + r"how many of (?:those|them|these|the dead|the losses) (?:were |was |had |died of |died from )?(?!are |is )(.+)"
)
AND_THEN = re.compile(
    LEAD
    + r"(?:(?:whats |what is |what comes |what do i do )?(?:after that|after that one|after this|next|then|then what|what then|the next one|next one|second one|what next))"
)
AFTER_ONE = " after that one"
"""Said once for each task of the round that is passed over."""
OUT_OF = re.compile(LEAD + r"(?:that is |thats )?(?:out )?of how many(?: (?:in all|altogether|\w+))?")
CAME = re.compile(
    LEAD
    + r"how many (?:of (?:them|those|these) )?(?:have |had |then )?(came out|emerged|eclosed|hatched|pupated|died)(?: (?:then|after that|afterwards|in the end|later|in spring))?"
)
CHANGED = re.compile(
    r"(?:and|and how about|what about) (came out|emerged|eclosed|hatched|pupated|died|released)(?: (?:so far|already|by now))?"
)
"""`and pupated?` after a count."""
CAME_AS = {"came out": "emerged", "eclosed": "emerged"}
SINCE = re.compile(
    LEAD
    + r"(?:since when|from when|how long) (?:has|have|is|are|was|were) (?:it|they|he|she|those|these|that one)(?: been)? (?:an? |the )?(?:\w+)"
)
OF_THE_PLACE = re.compile(
    r"\b(?:in |at )?the (first|second|third|fourth|last|other)(?: one| of (?:those|these|them)| place| tub| box| cage)?$"
)
PLACES = {"first": 0, "second": 1, "third": 2, "fourth": 3, "last": -1}
LEFT = re.compile(
    r"(?:so |and |ok |that is |thats |then )*(?:that leaves )?(\d+|one|two|three|four|five|six|seven|eight|nine|ten) (?:left|still there|remaining|remain|to go)(?: then| now| in there| there)*"
)
CARED = frozenset(("cleaned", "fed", "watered", "cut", "checked", "counted", "tested"))
LIFE = {"hatched": "egg", "pupated": "larva", "emerged": "pupa", "died": "", "released": "", "prepupated": "larva"}
"""Events -> the stage of those who could do so."""


def further(line: Line, cues: Cues, context: Context, nursery) -> Request | None:
    """The question that such a line asks, with what the last answer was about; None for a line of another kind."""
    last = context.last
    if last is None or last.answer.status not in ("answered", "recorded"):
        return None
    before, plain = last.request, line.plain.rstrip("?. !").replace("'", "")
    if before.topic == "record":
        return _left(line, cues, context, nursery, plain)
    for ask in (_then, _the_same_forecast, _of_a_number, _row, _causes, _of_the_dead, _out_of, _came, _since, _in_a_place):
        if (request := ask(line, cues, last, nursery, plain)) is not None:
            return request._replace(text=line.text, layer="follow-up", score=1.0)
    if (listed := _of_the_listed(line, cues, context, nursery, plain)) is not None:
        return listed._replace(text=line.text, layer="follow-up", score=1.0)
    return _left(line, cues, context, nursery, plain)


AGAIN = re.compile(
    LEAD + r"(?:(?:only |just )?(?:the )?(?:very )?(?:first|last|earliest|latest|middle)(?: (?:one|of them))?(?: only)?(?: when)?"
    r"|(?:how many days|how long|days|in days)(?: (?:left|to go|is that|from now|then|until then|till then|away))*)"
)
"""Another number of the forecast that was just made: its first or last, or the days up to it."""


def _the_same_forecast(line: Line, cues: Cues, last: Turn, nursery, plain: str) -> Request | None:
    before = last.request
    said = before.topic == "stage-forecast" and not (line.of("cohort", "stage", "species", "enclosure", "period"))
    return before if said and AGAIN.fullmatch(plain) else None


def _of_a_number(line: Line, cues: Cues, last: Turn, nursery, plain: str) -> Request | None:
    """`and 2?` right after a question about `tub 1`: the same of `tub 2`."""
    before = last.request
    numbers = line.of("number")
    if len(numbers) != 1 or len(line.spans) != 1 or len(before.enclosures) != 1 or before.amounts:
        return None
    if any(word not in FILLER for word in cues.words if not word.isupper()) or not (
        "?" in line.text or plain.startswith(("and", "what", "how"))
    ):
        return None
    head = before.enclosures[0].rpartition(" ")[0]
    label = next(
        (place for place in nursery.ledger.enclosures if head and place.casefold() == f"{head} {numbers[0].said}".casefold()), ""
    )
    if not label and head and line.plain.split()[0] in ("and", "in") and before.topic == "headcount":
        return before._replace(enclosures=(), cohorts=(), unknown_names=(f"{head} {numbers[0].said}",))
    if not label:
        return None
    swapped = before.plain.replace(before.enclosures[0].casefold(), label.casefold())
    return before._replace(enclosures=(label,), cohorts=(), mark="", plain=swapped)


def _then(line: Line, cues: Cues, last: Turn, nursery, plain: str) -> Request | None:
    """`and after that` behind the round: the rest of it, from the next task on."""
    before = last.request
    if before.topic != "round" or line.spans or not AND_THEN.fullmatch(plain):
        return None
    passed = before.plain.count(AFTER_ONE) + 1
    return before._replace(plain=f"what needs doing{AFTER_ONE * passed}", cues=frozenset(("question",)))


def _row(line: Line, cues: Cues, last: Turn, nursery, plain: str) -> Request | None:
    """The row that was told, once more: who wrote it, and with what it was done."""
    before = last.request
    if line.spans:
        return None
    if HOW_IT_WAS.fullmatch(plain):
        if before.topic == "history" and _of_something(before):
            return before
        event = before.event if before.event in CARED else "cleaned"
        if before.topic == "hygiene" and (before.enclosures or before.cohorts):
            whose = " ".join((*before.cohorts, *before.enclosures))
            return before._replace(
                topic="history", event=event, cues=frozenset(("when", "last")), plain=f"when was {whose} last {event}"
            )
    if SO_MANY.fullmatch(plain) and before.topic in ("history", "survival") and _of_something(before):
        return before
    return None


def _of_something(before: Request) -> bool:
    return bool(before.event or before.cohorts or before.enclosures or before.species or before.period)


def _causes(line: Line, cues: Cues, last: Turn, nursery, plain: str) -> Request | None:
    before = last.request
    died = before.topic == "survival" or (before.topic == "history" and before.event == "died")
    if not died or not OF_WHAT.fullmatch(plain):
        return None
    return before._replace(cues=before.cues | {"cause"}, plain=f"{before.plain} of what")


def _of_the_dead(line: Line, cues: Cues, last: Turn, nursery, plain: str) -> Request | None:
    """`how many of those drowned` after a list of losses: those of them that died so."""
    before, said = last.request, OF_THE_DEAD.fullmatch(plain)
    if said is None or before.topic != "survival" or not before.cues & {"cause", "question"} or line.of("cohort", "enclosure"):
        return None
    new = slots.fill(line, cues, "survival", nursery, "follow-up", 1.0)
    kept = {
        slot: getattr(new, slot) or getattr(before, slot) for slot in ("cohorts", "species", "enclosures", "stages", "period")
    }
    when = f" {before.period.said}" if before.period and not new.period else ""
    return new._replace(plain=f"how many died of {said[1]}{when}", **kept)


def _out_of(line: Line, cues: Cues, last: Turn, nursery, plain: str) -> Request | None:
    """`out of how many` after how many hatched, emerged, made it: the rate of those."""
    before = last.request
    if not OUT_OF.fullmatch(plain):
        return None
    if before.topic == "survival":
        return before
    if before.topic not in ("history", "headcount") or not (before.cohorts or before.species):
        return None
    stage = LIFE.get(before.event, "")
    whose = " ".join((*before.cohorts, *(named.said for named in before.species)))
    rate = "hatch rate" if stage == "egg" else f"survival rate of {stage}" if stage else "survival rate"
    return before._replace(
        topic="survival", event="", stages=(stage,) if stage else (), cues=frozenset(), plain=f"{rate} of {whose}"
    )


def _came(line: Line, cues: Cues, last: Turn, nursery, plain: str) -> Request | None:
    """`how many came out then` after where or until when some were kept."""
    before, said = last.request, CAME.fullmatch(plain)
    if last.request.topic == "headcount" and "?" in line.text:
        said = said or CHANGED.fullmatch(plain)
    whose = before.cohorts or tuple(filter(None, ((last.answer.about or {}).get("cohort"),)))
    if said is None or before.topic in ("survival", "history") or not whose:
        return None
    event = CAME_AS.get(said[1], said[1])
    return Request(
        line.text, "history", whose, event=event, cues=frozenset(("how-many",)), plain=f"how many {event} of {' '.join(whose)}"
    )


def _since(line: Line, cues: Cues, last: Turn, nursery, plain: str) -> Request | None:
    """`since when has it been a pupa` after anything about some animals: when they became so."""
    stages = [span.value for span in line.of("stage")]
    about = last.answer.about or {}
    whose = last.request.cohorts or tuple(filter(None, (about.get("cohort"),)))
    if len(stages) != 1 or len(line.spans) != 1 or not whose or not SINCE.fullmatch(plain):
        return None
    event = slots.BEGAN[stages[0].upper()]
    mark = last.request.mark or str(about.get("mark") or "")
    name = f"{whose[0]}{mark}"
    return Request(line.text, "history", whose, mark, event=event, cues=frozenset(("when",)), plain=f"when did {name} {event}")


def _of_the_listed(line: Line, cues: Cues, context: Context, nursery, plain: str) -> Request | None:
    """`how many in the second of those`: the place, or else the cohort, that the newest count of several listed there."""
    said = OF_THE_PLACE.search(plain)
    if said is None or line.of("cohort", "mark", "enclosure", "species"):
        return None
    for turn in reversed(context.turns):
        for part in ("enclosure", "cohort") if turn.request.topic == "headcount" else ():
            listed = _listed(turn.answer, part)
            at = 1 if said[1] == "other" and len(listed) == 2 else PLACES.get(said[1])
            if len(listed) < 2 or at is None or at >= len(listed):
                continue
            stages = slots.fill(line, cues, "headcount", nursery, "follow-up", 1.0).stages or turn.request.stages
            before = turn.request._replace(stages=stages, cues=frozenset())
            if part == "enclosure":
                return before._replace(enclosures=(listed[at],), plain=f"how many in {listed[at]}")
            return before._replace(cohorts=(listed[at],), species=(), plain=f"how many {listed[at]}")
    return None


def _listed(answer, part: str) -> list[str]:
    """The places or cohorts of the animals that an answer counted, in the order of its words."""
    names = dict.fromkeys(item.get(part) for item in answer.items if isinstance(item, dict) and item.get("stage"))
    return sorted(filter(None, names), key=lambda name: answer.text.find(name))


def _in_a_place(line: Line, cues: Cues, last: Turn, nursery, plain: str) -> Request | None:
    """`only in tub 2` after a species that the keeper has there was told of: how many of them."""
    before = last.request
    if before.topic != "about-species" or {span.kind for span in line.spans} != {"enclosure"} or not before.species:
        return None
    if any(word not in FILLER for word in cues.words if not word.isupper()):
        return None
    own = {cohort.species for cohort in nursery.ledger.cohorts.values()}
    if own.isdisjoint(before.species[0].names):
        return None
    places = tuple(span.value for span in line.of("enclosure"))
    return Request(
        line.text,
        "headcount",
        species=before.species[:1],
        enclosures=places,
        plain=f"how many {before.species[0].said} in {' '.join(places)}",
    )


def _left(line: Line, cues: Cues, context: Context, nursery, plain: str) -> Request | None:
    """`2 left then?` right after a record or a count: how many there are of those."""
    if not LEFT.fullmatch(plain) or {span.kind for span in line.spans} - {"number", "stage"}:
        return None
    found = spoken_of(context.turns[-1:], False)
    if not found:
        return None
    stages = slots.fill(line, cues, "headcount", nursery, "follow-up", 1.0).stages
    kept = {slot: value for slot, value in found.items() if slot in ("cohorts", "enclosures", "mark", "species")}
    return Request(
        line.text, "headcount", stages=stages, plain=f"how many left {line.plain}", layer="follow-up", score=1.0, **kept
    )
