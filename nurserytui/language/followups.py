"""Lines that lean on the lines before them: an answer to what was asked back, "and in tub 4?", "so when is it due out".

A line without a question of its own keeps the last topic and replaces the parts it names; a line with a question of its own but
without animals takes them from what was last spoken of, if it says that it means them (`and …`, `they`, `in there`).
"""

from __future__ import annotations

import re

from nurserytui.language import change_asked, going_further, merging, slots, typed_sums
from nurserytui.language.context import Context
from nurserytui.language.cues import Cues
from nurserytui.language.intents import Guess
from nurserytui.language.line import Line
from nurserytui.language.onward import ONWARD, onward
from nurserytui.language.places import several
from nurserytui.language.request import Request
from nurserytui.language.small_words import FILLER, REFERRING, REST, RIGHTING, STILL, leans, stands_for_some
from nurserytui.language.spoken import spoken_of
from nurserytui.language.two_questions import COUNTED, gone_on

CHANGERS = (
    "hatch",
    "moult",
    "prepupate",
    "pupate",
    "emerge",
    "died",
    "released-word",
    "instar-word",
    "mean",
    "extreme",
    "latest",
    "egg-to-adult",
    "fridge",
    "bag",
    "enemy",
    "together",
    "to-go",
    "not-yet",
)
"""Cues of words that replace a part of the last question by themselves."""
COUNTS = {
    "how-many": tuple(
        "headcount history survival exposure food-supply density stage-forecast round dilution convert stage-duration temperature "
        "egg-viability cutting-care hygiene record".split()
    ),
    "together": ("headcount", "survival", "history", "exposure", "round"),
    "to-go": ("headcount", "history", "stage-forecast", "round"),
    "not-yet": ("headcount", "history", "stage-forecast", "round"),
}
"""Cues that replace a part of a question of those topics only."""
ASKING = frozenset(("where", "how-long", "how-often"))
"""Cues of questions that replace no part of a question of another kind."""
MIXING = ("stock", "disinfectant", "dilute", "food-word", "cages", "mixed-word", "liquid-word")
PLACED = frozenset(
    (
        "headcount",
        "history",
        "temperature",
        "hygiene",
        "density",
        "exposure",
        "survival",
        "round",
        "stage-forecast",
        "health-sign",
        "release",
        "food-supply",
    )
)
"""Topics in which an enclosure spoken of before still counts."""
OWN = PLACED | {"overwintering", "egg-viability", "hosts-of-species", "species-on-host"}
PLANTS = frozenset(("species-on-host", "cutting-care", "food-supply", "about-host", "safety"))
WHOLE = frozenset(("round", "convert", "help", "explain", "law", "undo", "record"))
"""Topics that need no animals from before."""
LEAVING_OUT = re.compile(r"\b(?:not|without|excluding|except|leaving out|apart from|aside from|minus|bar|other than|ignoring)\b")
REFINING = re.compile(r"\b(?:i|we) mean(?:t)?$|^(?:sorry|no|oops|er|ah)?\W*(?:i|we) mean(?:t)?\b|\b(?:that is|i should say)$")
EVERYWHERE = re.compile(
    r"\b(?:(?:whole|entire) (?:house|nursery|place|collection)|everywhere|in all|in total|all told|overall|all in all|altogether)\b"
)
"""What says that a count is of the whole nursery."""
REFINED = 6
"""Words of its own that such a line may hold."""


def content(cues: Cues, topic: str = "") -> list[str]:
    """The words of a line that are neither spans nor small words, nor belong to the last topic's way of speaking."""
    spare = {
        word
        for cue in (*CHANGERS, *(MIXING if topic in ("dilution", "convert") else ()))
        for said in cues.said.get(cue, ())
        for word in said.split()
    }
    return [
        word for word in cues.words if not word.isupper() and word not in FILLER and word not in spare and word not in slots.WORDS
    ]


def refines(line: Line) -> bool:
    """Whether the line says that it puts the one before more exactly (`bagged in the fridge i mean`)."""
    return bool(REFINING.search(line.plain))


def reply(line: Line, cues: Cues, guess: Guess, nursery, context: Context) -> Request | None:
    """The open question with what this line adds, or None where the line is a question or a record of its own."""
    opened = context.open
    if typed_sums.rights(line, cues, opened):
        return _elliptic(line, cues, opened, nursery)
    if (labelled := typed_sums.label_told(line, opened)) is not None:
        return labelled
    if not line.spans or (guess.topic and content(cues, opened.topic)) or typed_sums.whole(line, cues, guess.topic, leans(line)):
        return None
    if len(content(cues, opened.topic)) > 2:
        return None
    new = slots.fill(line, cues, opened.topic, nursery, "reply", 1.0)
    return merging.merged(opened._replace(unknown_names=()), new, line, cues, nursery)


def follow(line: Line, cues: Cues, guess: Guess, nursery, context: Context) -> Request | None:
    """The request of a line that leans on the conversation, or None where it stands by itself."""
    last = next((turn for turn in reversed(context.turns) if turn.request.topic not in ("", "explain", "help", "undo")), None)
    if last is None:
        return None
    before = last.request
    if (asked_on := going_further.further(line, cues, context, nursery)) is not None:
        return asked_on
    if before.topic == "egg-identification" and "tell-apart" in cues.names and not line.of("species", "plant"):
        return before._replace(text=line.text, cues=before.cues | {"apart"}, layer="follow-up")
    changed = typed_sums.changed(line, before)
    if changed is not None:
        return changed
    if any(leant(line, cues, before) for leant in (typed_sums.rights, typed_sums.goes_on, typed_sums.in_another_unit)):
        return _elliptic(line, cues, before, nursery)
    if before.period and merging.SHIFTED.fullmatch(line.plain.rstrip("?. ")):
        return _elliptic(line, cues, before, nursery)
    if joined := gone_on(line, cues, context.turns, last):
        return joined
    left_out = slots.fill(line, cues, before.topic, nursery, "follow-up", 1.0).without if LEAVING_OUT.search(line.plain) else ()
    if left_out and not line.of("stage", "period") and len(line.spans) == len(left_out) and guess.topic in ("", before.topic):
        return before._replace(text=line.text, without=left_out, layer="follow-up", plain=f"{before.plain} {line.plain}")
    if (cared := _other_care(line, cues, before)) is not None:
        return cared
    if before.topic == "record" and before.cohorts and before.event in change_asked.AFTER and _when_the_rest(line, cues):
        ahead = slots.fill(line, cues, "stage-forecast", nursery, "follow-up", 1.0)
        return ahead._replace(cohorts=before.cohorts, event=change_asked.AFTER[before.event])
    if before.topic == "headcount" and before.cohorts and before.stages and _when_the_rest(line, cues):
        ahead = slots.fill(line, cues, "stage-forecast", nursery, "follow-up", 1.0)
        return ahead._replace(cohorts=before.cohorts, event=ahead.event or slots.INTO.get(before.stages[-1], ""))
    if before.topic in OF_SPECIES and before.species and _how_long_in_a_stage(line, cues):
        return slots.fill(line, cues, "stage-duration", nursery, "follow-up", 1.0)._replace(species=before.species)
    lean = leans(line) or refines(line)
    words = content(cues, before.topic)
    if refines(line) and before.topic != "record" and guess.topic in ("", before.topic) and len(words) <= REFINED:
        return _elliptic(line, cues, before, nursery)
    topic = onward(line, cues, guess, before)
    if topic:
        request = _elliptic(line, cues, before, nursery)
        ahead = topic == "stage-forecast" and before.topic == "history"
        return request._replace(topic=topic, event=change_asked.AFTER.get(request.event, "") if ahead else request.event)
    if (
        before.topic != "record"
        and not _asks_otherwise(cues, before.topic)
        and not typed_sums.whole(line, cues, guess.topic, leans(line))
        and _replaces(cues, line)
        and not set(cues.strange) - set(slots.HAPPENED)
        and not line.of("unknown-cohort", "unknown-species")
    ):
        inside = "what-in" in cues.names and guess.layer == "grammar"  # `what is in there now`
        alone = not guess.topic or (not words and not inside) or guess.layer == "fuzzy"
        if alone and len(words) <= (2 if lean else 0 if guess.topic else 1):
            return _elliptic(line, cues, before, nursery)
        after = before.topic == "history" and "happened" in cues.names
        among = bool(merging.OF_THOSE.search(line.plain))
        if (among or lean) and guess.topic == before.topic and not after and (among or not _asks_anew(line, cues, before.topic)):
            return _elliptic(line, cues, before, nursery)
        if _narrows(line, cues, before):
            return _elliptic(line, cues, before, nursery)
    if not guess.topic and "happened" in cues.names and not line.spans and len(words) <= 2:
        guess = Guess("history", 1.0, "follow-up")  # `what happened next`
    if not guess.topic or guess.topic in WHOLE:
        return None
    return _referring(line, cues, guess, nursery, context, lean)


OF_SPECIES = frozenset(("about-species", "hosts-of-species", "species-on-host", "egg-identification"))
"""Topics that may be about a species, whoever keeps it."""


def _how_long_in_a_stage(line: Line, cues: Cues) -> bool:
    """`how long as an egg`, `how long are they caterpillars`: the time in a stage, of nobody that is named."""
    return "how-long" in cues.names and bool(line.of("stage")) and not line.of("cohort", "mark", "enclosure", "species", "plant")


def _when_the_rest(line: Line, cues: Cues) -> bool:
    """`when do the others` right after some did so."""
    return "when" in cues.names and bool(REST & set(cues.words)) and not line.spans and len(line.tokens) <= 7


CARE = frozenset(("cleaned", "fed", "watered", "cut", "checked", "counted", "tested"))


def _other_care(line: Line, cues: Cues, before: Request) -> Request | None:
    """`and fed?` after a question when a place was cleaned last: the same of another kind of care."""
    told = [slots.HAPPENED[word] for word in cues.words if slots.HAPPENED.get(word) in CARE]
    rest = [
        word
        for word in cues.words
        if word not in FILLER and slots.HAPPENED.get(word) not in CARE and word not in ("when", "last")
    ]
    asked = before.topic == "hygiene" or (before.topic == "history" and before.event in CARE)
    if not asked or len(told) != 1 or rest or line.spans or not (before.enclosures or before.cohorts):
        return None
    whose = " ".join((*before.cohorts, *before.enclosures))
    plain = f"when was {whose} last {told[0]}"
    return before._replace(
        text=line.text, topic="history", event=told[0], cues=frozenset(("when", "last")), plain=plain, layer="follow-up"
    )


def of_stage(line: Line, cues: Cues, nursery, context: Context) -> Request | None:
    """`larvae?`, `and the pupae`, `eggs left in there` right after a record: how many there are of the animals it was about."""
    last = context.last
    if last is None or last.request.topic != "record" or last.answer.status != "recorded" or not line.of("stage"):
        return None
    spare = {*FILLER, *STILL}
    small = [word for word in cues.words if not word.isupper()]
    if {span.kind for span in line.spans} != {"stage"} or any(word not in spare or word in RIGHTING for word in small):
        return None
    if not (leans(line) or "QUESTION" in cues.names or STILL & set(small)):
        return None
    request = slots.fill(line, cues, "headcount", nursery, "follow-up", 1.0)
    found = spoken_of(context.turns[-1:], "in-there" in cues.names)
    return request._replace(**{slot: value for slot, value in found.items() if slot in ("cohorts", "mark", "enclosures")})


def _replaces(cues: Cues, line: Line) -> bool:
    """Whether the line holds something that can stand in the place of a part of the last question."""
    kinds = ("cohort", "mark", "species", "plant", "agent", "enclosure", "stage", "instar", "amount", "period", "unit", "number")
    if line.of(*kinds):
        return True
    part = PART.search(line.plain) and any(word in slots.HAPPENED for word in cues.words)
    return bool(part) or any(cue in cues.names for cue in CHANGERS) or any(word in slots.WORDS for word in cues.words)


def _asks_otherwise(cues: Cues, topic: str) -> bool:
    """Whether the line asks how long or where, and the last question asked nothing of the kind (`their pupae, how long`, of food)."""
    asked = {cue for cue in ASKING & cues.names if any(said.startswith(("how", "where")) for said in cues.said[cue])}
    if "too-bad" in cues.names and topic != "release":
        return True
    if any(cue in cues.names and topic not in topics for cue, topics in COUNTS.items()):
        return True
    return bool(asked) and asked.isdisjoint(ONWARD.get(topic, ()))


def _asks_anew(line: Line, cues: Cues, topic: str) -> bool:
    """`and how many eggs are in tub 3` is whole; `and if the bleach is 8.25 %` is not."""
    subject = {"COHORT", "ENCLOSURE", "SPECIES", "PLANT"} & cues.names
    amounts = {"VOLUME", "PERCENT", "PPM", "RATIO"} & cues.names
    if topic == "dilution":
        return len(amounts) > 1
    return bool(subject) and bool({"how-many", "when", "what", "how", "where", "who"} & cues.names)


def bare_change(line: Line, cues: Cues, context: Context) -> bool:
    """`and hatched?` after a question for a date: the change alone, of animals that were just asked about, is nothing to be written."""
    last = context.last.request.topic if context.last else ""
    return (
        last in ("history", "stage-forecast", "survival", "headcount")
        and leans(line)
        and not line.spans
        and not content(cues, last)
    )


NARROWED = frozenset(("history", "survival", "headcount", "round", "exposure"))
"""Topics whose answers list what a line may ask a part of."""


PART = re.compile(r"^(?:just|only) |\b(?:only|alone|nothing else)(?: please| pls| thanks)?\W*$")
"""What asks for a part of it (`just the deaths please`, `now B, deaths only`)."""


def narrows(line: Line, cues: Cues, context: Context) -> bool:
    """Whether the line asks for a part of what the last answer listed (`just the deaths please`, `only those that are still eggs`)."""
    return (
        context.last is not None
        and context.last.request.topic in NARROWED
        and bool(PART.search(line.plain))
        and "NUMBER" not in cues.names
    )


def restates(line: Line, context: Context) -> bool:
    """Whether the line puts another number into the last sum (`make that 750`): it counts no animals."""
    return (
        context.last is not None
        and context.last.request.topic in typed_sums.SUMS
        and bool(typed_sums.RESTATING.match(line.plain))
        and not line.of("cohort", "mark", "enclosure", "species", "stage")
    )


def _narrows(line: Line, cues: Cues, before: Request) -> bool:
    """`just the deaths please`: a part of what was listed; `how does that compare to last year`: the same of other days."""
    if "compare" in cues.names and line.of("period") and {"that", "it", "this"} & set(cues.words):
        return before.topic in ("history", "survival", "temperature")
    return bool(PART.search(line.plain)) and before.topic in NARROWED


def _elliptic(line: Line, cues: Cues, before: Request, nursery) -> Request:
    new = slots.fill(line, cues, before.topic, nursery, "follow-up", 1.0)
    return merging.merged(before, new, line, cues, nursery)


def _referring(line: Line, cues: Cues, guess: Guess, nursery, context: Context, lean: bool) -> Request | None:
    """A question of its own about what was last spoken of."""
    subject = {"COHORT", "SPECIES", "ENCLOSURE", "AGENT", "UNKNOWN-COHORT", "UNKNOWN-SPECIES", "UNKNOWN-ENCLOSURE"} | (
        {"PLANT"} if guess.topic in PLANTS and not (guess.topic == "species-on-host" and REFERRING & set(cues.words)) else set()
    )
    inside = "in-there" in cues.names and "same-place" not in cues.names and not line.of("enclosure")
    inside = inside or _same_kind_of_place(line, nursery, context)
    refers = (
        bool(REFERRING & set(cues.words))
        or (guess.layer == "exact" and "that" in cues.words)
        or bool(merging.MAKES.search(line.plain))
        or (bool(REST & set(cues.said.get("left", frozenset()) | set(cues.words))) and not _of_all(cues))
    )
    if ("together" in cues.names or EVERYWHERE.search(line.plain)) and not (
        REFERRING & set(cues.words) or merging.MAKES.search(line.plain)
    ):
        return None
    if subject & cues.names and not inside:
        return None
    bare = _of_nobody(line, cues, guess)
    if not (lean or refers or inside or bare or _more_of_the_same(line, guess, context)):
        return None
    request = slots.fill(line, cues, guess.topic, nursery, "follow-up", guess.score)
    bare = bare or _more_of_the_same(line, guess, context)
    found = spoken_of(context.turns[-1:] if bare and not (lean or refers) else context.turns, inside)
    if not found and inside and refers:
        # `in with them`: some animals are meant, wherever they stand
        found, inside = spoken_of(context.turns, False), False
    if not found:
        return None
    if inside and not {"them", "those", "these"} & set(cues.words):
        found.pop("cohorts", None), found.pop("species", None), found.pop("mark", None)
    last = context.last.request if context.last else None
    kept = {}
    for slot, value in found.items():
        if not getattr(request, slot) and _counts(slot, guess.topic):
            kept[slot] = value
    if not kept and dangles(request, cues):
        return None
    if last is not None and last.topic == guess.topic and "happened" not in cues.names:
        for slot in ("period", "stages", "amounts", "event", "agents", "hosts", "target_unit"):
            if not getattr(request, slot) and getattr(last, slot) and not (slot == "stages" and request.event):
                kept.setdefault(slot, getattr(last, slot))
    request = request._replace(**kept)
    if guess.topic == "species-on-host" and request.hosts and {"cohorts", "species"} & set(kept):
        request = request._replace(cues=request.cues | {"accepts"})
    if guess.topic == "headcount" and last is not None and {"to-go", "not-yet"} & cues.names and not request.stages:
        request = request._replace(stages=change_asked.to_come(last.event))
    if guess.topic in slots.FORECASTS:
        stages = set(request.stages) or {
            key.stage for key, count in nursery.ledger.heads.items() if count and key.cohort in request.cohorts
        }
        if request.event == "hatch" and stages and "egg" not in stages and stages & {"pupa", "prepupa"}:
            request = request._replace(event="emerge")
    return request


GOING_ON = frozenset(("food-supply", "density", "release", "overwintering"))
"""Topics of which a question that names nobody goes on about those just spoken of."""


def _more_of_the_same(line: Line, guess: Guess, context: Context) -> bool:
    named = line.of("cohort", "mark", "species", "plant", "enclosure", "stage", "unknown-cohort", "unknown-species")
    return guess.topic in GOING_ON and context.turns[-1].request.topic == guess.topic and not named


def _same_kind_of_place(line: Line, nursery, context: Context) -> bool:
    """Whether `the jar` is the one that was just spoken of, though there are others."""
    _, labels = several(line.text, nursery.ledger.enclosures)
    last = context.turns[-1]
    told = {*last.request.enclosures, (last.answer.about or {}).get("enclosure")}
    return not line.of("enclosure", "cohort") and not told.isdisjoint(labels)


OF_THE_SICK = re.compile(
    r"\b(?:with|where|in which|that had|of) (?:the |my |a )?(?:\w+ ){0,2}?(?:virus|wasps?|fl(?:y|ies)|disease|sick|infection|mould|oe|parasit\w+|parasites?)\b"
)
"""`the cage with the virus`: what was there tells which is meant."""


def unplaced(request: Request, nursery) -> bool:
    """Whether a question of the keeper's own is about `the jar` where there are several, and nothing tells which."""
    return (
        request.topic in (PLACED - {"health-sign", "food-supply", "release"})
        and not request.enclosures
        and not request.cohorts
        and not (request.topic == "exposure" and OF_THE_SICK.search(request.plain))
        and bool(several(request.text, nursery.ledger.enclosures)[1])
    )


def dangles(request: Request, cues: Cues) -> bool:
    """Whether a question is about `it` or `them` and nothing in it or before it says who that is."""
    named = (
        request.cohorts
        or request.species
        or request.enclosures
        or request.stages
        or request.period
        or request.agents
        or request.hosts
    )
    return (
        not named and not request.unknown_names and stands_for_some(cues.words) and not {"enemy", "most", "lifetime"} & cues.names
    )


def _counts(slot: str, topic: str) -> bool:
    if slot == "enclosures":
        return topic in PLACED
    if slot in ("cohorts", "mark"):
        return topic in OWN
    if slot == "hosts":
        return topic in PLANTS
    return slot != "agents" or topic in ("exposure", "hygiene", "health-sign", "survival", "about-agent")


ANYONE = frozenset(
    "animals cages cohorts-word together all-of nursery-word season season-word which-species whole-word compare most brood-word my".split()
)
"""Cues of lines that speak of the whole nursery, or of some group other than the one before."""


def _of_nobody(line: Line, cues: Cues, guess: Guess) -> bool:
    """Whether a count names nobody at all (`how many do i have`, `did any die`): right after some animals it is a count of those."""
    named = line.of(
        "cohort", "mark", "species", "plant", "agent", "enclosure", "stage", "period", "unknown-cohort", "unknown-species"
    )
    return guess.topic in COUNTED and not named and ANYONE.isdisjoint(cues.names - ({"my"} if _mine_only(cues) else set()))


def _of_all(cues: Cues) -> bool:
    """Whether the line speaks of the whole nursery (`left in the whole house`)."""
    return bool({"whole-word", "all-of", "together"} & cues.names) or bool(cues.said.get("nursery-word", frozenset()) - {"it"})


def _mine_only(cues: Cues) -> bool:
    """Whether `my` was said as having (`do i have`, `have i got`), not as a word of its own."""
    return all(" " in said for said in cues.said.get("my", ()))
