"""The parts of a question, taken from the spans and cues of its line: which animals, plants, places, amounts and days it means."""

from __future__ import annotations

import re

from nurserytui.language import bare_warmth, life_words
from nurserytui.language.bare_warmth import FORECASTS
from nurserytui.language.care_asked import care_asked
from nurserytui.language.change_asked import BEFORE, coming, first_was, sexes_gone, to_come_yet
from nurserytui.language.cues import Cues, stages_in_name, target_unit
from nurserytui.language.left_out import COUNTING, apart_of, aside, counted
from nurserytui.language.line import Line
from nurserytui.language.places_asked import in_a_name, places, strange_place
from nurserytui.language.request import Named, Request

STEERING = {
    "where": "where", "when": "when", "when-did": "when", "who": "who", "whom": "who", "why": "why", "last-time": "last", "first": "first",
    "most": "most", "mean": "mean", "compare": "compare", "cause": "cause", "egg-to-adult": "egg-to-adult", "else": "else",
    "how-many": "how-many", "how-long": "how-long", "give-up": "give-up", "how-often": "how-often", "next": "next", "together": "total",
    "empty": "empty", "day-length": "day-length", "watch": "watch", "per": "each", "how-tell": "tell", "how-old": "age",
    "food-share": "most", "euthanise": "euthanise", "euthanise-sure": "euthanise",
}  # fmt: skip
"""Cues of words -> the cues that answers read."""
WORDS = {
    "highest": "highest", "hottest": "highest", "warmest": "highest", "max": "highest", "maximum": "highest", "peak": "highest",
    "lowest": "lowest", "coldest": "lowest", "coolest": "lowest", "min": "lowest", "minimum": "lowest",
    "female": "sex:female", "females": "sex:female", "male": "sex:male", "males": "sex:male",
    "girl": "sex:female", "girls": "sex:female", "boy": "sex:male", "boys": "sex:male", "sexes": "sex:both", "each": "each", "every": "each",
    "latest": "latest",
    "newest": "latest",
    "current": "latest",
    "not": "not", "never": "not", "without": "not",
}  # fmt: skip
EVENTS = ("hatch", "moult", "prepupate", "pupate", "emerge")
BEGAN = {"EGG": "laid", "LARVA": "hatched", "PREPUPA": "prepupated", "PUPA": "pupated", "ADULT": "emerged"}
"""The event from which the age in a stage counts (`how long have they been pupae`)."""
HAPPENED = {
    "released": "released", "release": "released", "flew": "released", "fly": "released", "died": "died", "death": "died", "deaths": "died", "die": "died",
    "killed": "died", "losses": "died", "laid": "laid", "lay": "laid", "escaped": "escaped", "cleaned": "cleaned", "washed": "cleaned",
    "scrubbed": "cleaned", "disinfected": "cleaned", "fed": "fed", "watered": "watered", "moved": "moved", "found": "found", "find": "found",
    "given": "given", "gave": "given", "tested": "tested", "counted": "counted", "checked": "checked", "looked": "checked", "moulted": "moulted", "moult": "moulted", "molted": "moulted",
    "pupated": "pupated", "pupate": "pupated", "hatched": "hatched", "hatch": "hatched", "emerged": "emerged", "emerge": "emerged",
    "moves": "moved", "finds": "found", "releases": "released", "moults": "moulted", "escapes": "escaped", "feeds": "fed", "emergences": "emerged", "eclosions": "emerged", "hatchings": "hatched", "pupations": "pupated",
    "escapees": "escaped", "escape": "escaped", "unaccounted": "missing", "vanished": "missing", "missing": "missing", "split": "split", "merged": "merged", "renamed": "renamed",
}  # fmt: skip
"""Words of a question about the past -> the kind of event."""


MOVED = re.compile(
    r"\b(?:out of|into|in to)(?: the| its| their| my)? (?:[\w-]+ )?(?:fridge|cold|cellar|shed|garage|freezer|attic|loft)\b"
)
"""`out of the fridge`: animals were moved, they did not come out of their pupae."""


BUTTERFLIES = frozenset("Papilionidae Pieridae Nymphalidae Lycaenidae Riodinidae Hesperiidae Hedylidae".split())


def _moths(line: Line, topic: str, nursery) -> tuple[Named, ...]:
    """The keeper's moths, where they are told from butterflies (`how many moth pupae`)."""
    said = topic in COUNTING and re.search(r"\bmoths?'? (?:eggs?|larvae|caterpillars|cats|pupae|cocoons)\b", line.plain)
    if not said or line.of("cohort", "mark"):
        return ()
    species = {cohort.species for cohort in nursery.ledger.cohorts.values() if cohort.species}
    known = {name: entry.family for name in species if (entry := nursery.knowledge.species(name)) is not None and entry.family}
    moths = tuple(sorted(name for name, family in known.items() if family not in BUTTERFLIES))
    return (Named("moth", moths, False),) if moths and len(moths) < len(known) else ()


def _of_none_kept(line: Line, cues: Cues) -> bool:
    """Whether a line asks for days of a species of which none live here (`comma chrysalis, how many days until it opens`)."""
    named = line.of("species") and not line.of("cohort", "mark", "enclosure", "period")
    return bool(named) and "how-long" in cues.names and cues.names.isdisjoint(("HELD", "MINE", "my"))


def fill(line: Line, cues: Cues, topic: str, nursery, layer: str, score: float) -> Request:
    """The request of a line whose topic is known (or "" where it is not yet)."""
    apart = apart_of(line, topic)
    line, without = apart.line, apart.names
    marks = [span.value for span in line.of("mark")]
    singles = tuple(
        dict.fromkeys((span.value, "") if span.kind == "cohort" else span.value for span in line.of("cohort", "mark"))
    )
    cohorts = [span.value if span.kind == "cohort" else span.value[0] for span in line.of("cohort", "mark")]
    event = event_of(topic, line, cues)
    if topic == "stage-duration" and line.of("agent") and not line.of("species", "cohort", "mark", "enclosure"):
        return fill(line, cues, "about-agent", nursery, layer, score)  # the stages of a wasp are told with it
    if topic == "stage-forecast" and _of_none_kept(line, cues):
        return fill(line, cues, "stage-duration", nursery, layer, score)
    if other := life_words.of_adults(line, topic):
        return fill(line, cues, other, nursery, layer, score)
    if topic == "history" and to_come_yet(event, cohorts, line, cues, nursery):
        return fill(line, cues, "stage-forecast", nursery, layer, score)
    if topic == "headcount" and sexes_gone(line, cohorts):
        return fill(line, cues, "history", nursery, layer, score)
    stages = stages_of(line, topic, event, cues)
    if topic == "headcount":
        stages = counted(stages, line, apart)
    if topic in FORECASTS:
        event = settled(event, stages, cohorts, line, nursery)
        if topic == "stage-forecast" and not event:
            event, stages = _heading_for(cohorts, stages, line, nursery)
        if topic == "stage-forecast" and first_was(event, cohorts, cues, nursery):
            return fill(line, cues, "history", nursery, layer, score)
    instars = [span.value for span in line.of("instar")]
    if topic == "stage-duration" and len(instars) > 1 and instars[0] == 1 and instars[-1] in (5, -1):
        instars, stages = [], ("larva",)  # `L1 to L5`
    counts = [span.value for span in line.of("number", "estimate")]
    periods = [coming(span.value, topic, line, nursery.now) for span in line.of("period") if not aside(span, line, topic)]
    where = places(line, topic, nursery) if not without else tuple(span.value for span in line.of("enclosure"))
    return Request(
        text=line.text,
        topic=topic,
        cohorts=tuple(dict.fromkeys(cohorts)),
        mark=marks[0][1] if marks else "",
        marks=singles if marks and len(singles) > 1 else (),
        # `anything but monarchs` asks for the others
        species=()
        if topic == "species-on-host" and "but-species" in cues.names
        else tuple(span.value for span in line.of("species")) or _moths(line, topic, nursery),
        hosts=()
        if in_a_name(line, topic) or topic == "hosts-of-species" and {"which-of-plant", "AMONG"} & cues.names
        else _once(span.value for span in line.of("plant")),
        agents=tuple(span.value for span in line.of("agent")),
        enclosures=where,
        stages=stages,
        instar=instars[0] if instars else None,
        event=event,
        without=without,
        count=int(counts[0]) if counts and float(counts[0]).is_integer() else None,
        amounts=tuple(span.value for span in line.of("amount")) or bare_warmth.warmth(line, topic, nursery),
        period=periods[0] if periods and not (topic in FORECASTS and bare_warmth.STEADY.search(line.plain)) else None,
        target_unit=target_unit(line),
        cues=steering(cues, topic, line),
        unknown_names=unknown(line, cues) or (() if where else strange_place(line, topic, nursery)),
        plain=line.plain,
        layer=layer,
        score=score,
    )


def unknown(line: Line, cues: Cues) -> tuple[str, ...]:
    """What stands where a name should stand and is none that is known."""
    names = [str(span.value) for span in line.of("unknown-cohort", "unknown-enclosure", "unknown-species")]
    return (*names, cues.misnamed) if cues.misnamed else tuple(names)


def _once(named):
    """Names said twice (`my tomatoes … eat tomato`) count once."""
    return tuple({each.names: each for each in named}.values())


THROUGH = re.compile(r"\bfrom (?:the |my |our )?[A-Z]+ (?:\w+ ){0,3}(?:to|through|until|till) (?:the |my |our )?[A-Z]+\b")
"""`from the eggs right up to the pupae`: those between are meant too."""
GROWING = ("egg", "larva", "prepupa", "pupa", "adult")


def _between(first: str, last: str) -> list[str]:
    """The stages from one to another; none, for every animal, where these are all."""
    if first not in GROWING or last not in GROWING:
        return [first, last]
    low, high = sorted((GROWING.index(first), GROWING.index(last)))
    return [] if low == 0 and high >= 3 else list(GROWING[low : high + 1])


def stages_of(line: Line, topic: str, event: str, cues: Cues) -> tuple[str, ...]:
    """The stages named, in order. A stage that a forecast leads to (`make a chrysalis`, `become butterflies`) is not one animals are in."""
    found = []
    for span in line.spans:
        if span.kind == "stage":
            if topic == "stage-forecast" and _is_become(line, span):
                continue
            if not (span.value == "adult" and any(after.first == span.last + 1 for after in line.of("stage"))):  # `moth pupae`
                found.append(span.value)
        elif span.kind == "species":
            found.extend(stages_in_name(span, line))
    found = list(dict.fromkeys(found))
    if topic == "headcount" and len(found) == 2 and THROUGH.search(" ".join(cues.staged)):
        found = _between(*found)
    flying = topic == "headcount" and "flying-now" in cues.names
    if not found and ("still-eating" in cues.names or flying):
        found.append("adult" if flying else "larva")
    if topic == "headcount" and not found and {"not-yet", "to-go", "unhatched"} & cues.names:
        waiting = ("egg",) if "unhatched" in cues.names else ()
        found.extend(next((stages for change, stages in BEFORE.items() if change in cues.names), waiting))
    if topic == "stage-forecast":
        if event == "pupate" and "pupa" in found and (len(found) > 1 or "STAGE" in " ".join(cues.said.get("pupate", ()))):
            found.remove("pupa")
        return tuple(stage for stage in found if stage != "adult")
    return tuple(found)


ARTICLES = frozenset("a an the their its proper real full".split())
TURNING = frozenset("turn turns turned turning change changes changing".split())
BECOMING = frozenset("become becomes becoming be".split())


def become(line: Line) -> str:
    """The stage that a forecast leads to by its words (`turn into butterflies`, `when will those be pupae`); "" for none."""
    return next((str(span.value) for span in line.of("stage") if span.value in INTO and _is_become(line, span)), "")


def _is_become(line: Line, span) -> bool:
    before = [token.text for token in line.tokens[max(0, span.first - 4) : span.first] if token.text not in ARTICLES]
    return bool(before) and (before[-1] in BECOMING or before[-1] in ("into", "to") and not TURNING.isdisjoint(before[-2:-1]))


HAVE_PUPATED = re.compile(
    r"\b(?:have|has|had|'ve|already|that|which|who|just) (?:all |now |already |just )?(?:pupated|chrysalised)\b"
)
"""Those that are pupae by now, said by what they have done."""


def event_of(topic: str, line: Line, cues: Cues) -> str:
    """The change a forecast is about, or the kind of event a question about the past is about; "" where none is named."""
    if topic == "history":
        if "result-ask" in cues.names:
            return "tested"
        if len(line.of("cohort")) > 1 and "out of" in line.plain:
            return "split"
        if "how-old" in cues.names or life_words.BEEN.search(line.plain):
            return next((event for stage, event in BEGAN.items() if stage in cues.names), "")
        if MOVED.search(line.plain):
            return "moved"
        words = [token.text for token in line.tokens]
        told = [HAPPENED[word] for word in words if word in HAPPENED]
        if len(set(told)) > 1 and words.count("when") > 1:
            return ""
        found = told[0] if told else ""
        if care := care_asked(line, cues, found):
            return care
        if found == "hatched" and "PUPA" in cues.names:
            return "emerged"
        if not found and "emerge" in cues.names:
            return "hatched" if "EGG" in cues.names else "emerged"
        return "pupated" if not found and "pupate" in cues.names else found
    if topic not in FORECASTS:
        return ""
    if stage := become(line):
        return INTO[stage]
    said = [event for event in EVENTS if event in cues.names]
    if not said and {"butterfly-adult", "ADULT"} & cues.names and cues.names.isdisjoint(("EGG", "LARVA", "PREPUPA", "PUPA")):
        return "emerge"
    if "pupate" in said and "emerge" in said and HAVE_PUPATED.search(line.plain):
        said.remove("pupate")
    elif "pupate" in said and "emerge" in said:
        said.remove(
            "pupate" if "PUPA" in cues.names and not any("STAGE" not in words for words in cues.said["pupate"]) else "emerge"
        )
    return said[-1] if said else ""


def settled(event: str, stages: tuple[str, ...], cohorts: list[str], line: Line, nursery) -> str:
    """`hatch` said of a chrysalis is emerging, `come out` said of an egg is hatching, as far as the stages named or the cohort tell."""
    if event not in ("hatch", "emerge", ""):
        return event
    held = set(stages) or _held_stages(cohorts, line, nursery)
    if event == "hatch" and held and "egg" not in held and held & {"pupa", "prepupa"}:
        return "emerge"
    if event == "emerge" and set(stages) == {"egg"}:
        return "hatch"
    return event


INTO = {"adult": "emerge", "pupa": "pupate", "prepupa": "prepupate", "larva": "hatch"}
"""A stage -> the change that leads to it."""


def _heading_for(cohorts: list[str], stages: tuple[str, ...], line: Line, nursery) -> tuple[str, tuple[str, ...]]:
    """`pupae when` of a cohort that has none yet asks when it pupates: the event, and the stages that are left; none for stages it has."""
    said = list(dict.fromkeys(span.value for span in line.of("stage")))
    held = _held_stages(cohorts, line, nursery)
    if len(said) != 1 or not held or said[0] in held or said[0] not in INTO:
        return "", stages
    return INTO[said[0]], tuple(stage for stage in stages if stage != said[0])


def _held_stages(cohorts: list[str], line: Line, nursery) -> set[str]:
    places = {span.value for span in line.of("enclosure")}
    ledger = nursery.ledger
    return {
        key.stage
        for key, count in ledger.heads.items()
        if count and (key.cohort in cohorts or (not cohorts and key.enclosure in places))
    }


def steering(cues: Cues, topic: str, line: Line) -> frozenset[str]:
    """The small words that steer an answer."""
    found = {STEERING[name] for name in cues.names if name in STEERING}
    found |= {WORDS[token.text] for token in line.tokens if token.text in WORDS}
    if (
        topic == "species-on-host"
        and "PLANT" in cues.names
        and "but-species" not in cues.names
        and {"SPECIES", "COHORT"} & cues.names
    ):
        found.add("accepts")
    if "egg-to-adult" in found and not life_words.from_the_egg(line, cues.said.get("egg-to-adult", ())):
        found.discard("egg-to-adult")
    if "QUESTION" in cues.names:
        found.add("question")
    return frozenset(found)
