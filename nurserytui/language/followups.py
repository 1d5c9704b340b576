"""Lines that lean on the lines before them: an answer to what was asked back, "and in tub 4?", "so when is it due out".

A line without a question of its own keeps the last topic and replaces the parts it names; a line with a question of its own but
without animals takes them from what was last spoken of, if it says that it means them (`and …`, `they`, `in there`).
"""

from __future__ import annotations

import re

from nurserytui.language import merging, slots, typed_sums
from nurserytui.language.context import Context
from nurserytui.language.cues import Cues
from nurserytui.language.intents import Guess
from nurserytui.language.line import Line
from nurserytui.language.places import several
from nurserytui.language.request import Named, Request

FILLER = frozenset(
    "and so but then what whats about how hows same for or make it its now just only also as well if the a an in at on of to with is are was were they them that "
    "this one ones please pls too though be been by my our from again instead here i im i'm want use let lets say says suppose mean me "
    "those these he she him her his there their out up off go put try than like yes no not ok okay right sorry actually rather oh hm all any we have got "
    "which other others more less over under between during while since thanks thank you because has had "
    "it's i'd id change changed swap replace said meant think guess probably maybe kept keep gets got stays stayed goes".split()
)
"""Small words that ask nothing by themselves."""
LEANING = (
    "and",
    "so",
    "but",
    "then",
    "or",
    "also",
    "now",
    "what about",
    "how about",
    "same",
    "just",
    "only",
    "make it",
    "whats about",
    "if",
    "ok and",
    "ok so",
    "plus",
    "what if",
    "and what",
    "instead",
    "ditto",
    "likewise",
    "as for",
)
"""Openings of a line that goes on from the one before."""
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
ONWARD: dict[str, dict[str, str]] = {
    "headcount": {
        "whose": "",
        "same-place": "",
        "come-from": "history",
        "where": "",
        "who": "",
        "how-many": "",
        "which-instar": "",
        "which-species": "",
        "when": "stage-forecast",
    },
    "stage-forecast": {"when": "", "until": "", "how-long": "", "where": "headcount", "how-many": "headcount"},
    "stage-duration": {"how-long": "", "until": ""},
    "history": {
        "come-from": "",
        "when": "",
        "where": "",
        "who": "",
        "how-many": "",
        "cause": "",
        "which-instar": "",
        "which-species": "",
    },
    "survival": {"when": "", "where": "", "who": "", "how-many": "", "cause": "", "which-instar": "", "which-species": ""},
    "exposure": {"when": "", "until": "", "how-long": "", "where": "", "who": "", "how-many": "", "watch": ""},
    "temperature": {"when": "", "where": ""},
    "hygiene": {"how-often": "", "when": "", "last-time": "", "how-long": ""},
    "food-supply": {"how-much": "", "until": "", "how-long": "", "when": "", "how-many": ""},
    "density": {"how-many": "", "where": ""},
    "release": {"when": "", "until": "", "how-long": "", "where": ""},
    "cutting-care": {"how-long": "", "how-often": "", "until": ""},
    "overwintering": {"when": "", "until": "", "how-long": "", "where": ""},
    "dilution": {"how-much": "", "how-long": ""},
    "egg-viability": {"when": "", "until": "", "how-long": ""},
}
"""The bare questions that go on from a topic (`of what`, `until when`), and the topic each asks for where it is another."""
COUNTS = {
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
OWN = PLACED | {"overwintering", "egg-viability", "hosts-of-species"}
PLANTS = frozenset(("species-on-host", "cutting-care", "food-supply", "about-host", "safety"))
WHOLE = frozenset(("round", "convert", "help", "explain", "law", "undo", "record"))
"""Topics that need no animals from before."""
REFERRING = frozenset("it they them he she him her its their those these ones".split())
MODAL = frozenset("should do does did can could will would must i you exactly roughly about when".split())
REFINING = re.compile(r"\b(?:i|we) mean(?:t)?$|^(?:sorry|no|oops|er|ah)?\W*(?:i|we) mean(?:t)?\b|\b(?:that is|i should say)$")
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


def leans(line: Line) -> bool:
    """Whether the line opens as one that goes on from the one before."""
    return any(line.plain == opening or line.plain.startswith(f"{opening} ") for opening in LEANING)


def refines(line: Line) -> bool:
    """Whether the line says that it puts the one before more exactly (`bagged in the fridge i mean`)."""
    return bool(REFINING.search(line.plain))


def reply(line: Line, cues: Cues, guess: Guess, nursery, context: Context) -> Request | None:
    """The open question with what this line adds, or None where the line is a question or a record of its own."""
    opened = context.open
    if typed_sums.rights(line, cues, opened):
        return _elliptic(line, cues, opened, nursery)
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
    if before.topic == "egg-identification" and "tell-apart" in cues.names and not line.of("species", "plant"):
        return before._replace(text=line.text, cues=before.cues | {"apart"}, layer="follow-up")
    changed = typed_sums.changed(line, before)
    if changed is not None:
        return changed
    if typed_sums.rights(line, cues, before) or typed_sums.in_another_unit(line, cues, before):
        return _elliptic(line, cues, before, nursery)
    lean = leans(line) or refines(line)
    words = content(cues, before.topic)
    if refines(line) and before.topic != "record" and guess.topic in ("", before.topic) and len(words) <= REFINED:
        return _elliptic(line, cues, before, nursery)
    onward = _onward(line, cues, guess, before)
    if onward:
        return _elliptic(line, cues, before, nursery)._replace(topic=onward)
    if (
        before.topic != "record"
        and not _asks_otherwise(cues, before.topic)
        and not typed_sums.whole(line, cues, guess.topic, leans(line))
        and _replaces(cues, line)
        and not cues.strange
        and not line.of("unknown-cohort", "unknown-species")
    ):
        alone = not guess.topic or not words or guess.layer == "fuzzy"
        if alone and len(words) <= (2 if lean else 0 if guess.topic else 1):
            return _elliptic(line, cues, before, nursery)
        if lean and guess.topic == before.topic and not _asks_anew(line, cues, before.topic):
            return _elliptic(line, cues, before, nursery)
        if _narrows(line, cues, before):
            return _elliptic(line, cues, before, nursery)
    if not guess.topic or guess.topic in WHOLE:
        return None
    return _referring(line, cues, guess, nursery, context, lean)


def _replaces(cues: Cues, line: Line) -> bool:
    """Whether the line holds something that can stand in the place of a part of the last question."""
    kinds = ("cohort", "mark", "species", "plant", "agent", "enclosure", "stage", "instar", "amount", "period", "unit", "number")
    if line.of(*kinds):
        return True
    return any(cue in cues.names for cue in CHANGERS) or any(word in slots.WORDS for word in cues.words)


def _onward(line: Line, cues: Cues, guess: Guess, before: Request) -> str:
    """The topic of a bare question word after that topic, "" where the line is more than that."""
    onward = ONWARD.get(before.topic, {})
    asked = [cue for cue in onward if cue in cues.names]
    if not asked or line.spans or guess.topic not in ("", before.topic):
        return ""
    said = {word for cue in (*asked, "when-did") for phrase in cues.said.get(cue, ()) for word in phrase.split()}
    if any(word not in said and word not in FILLER and word not in MODAL for word in cues.words):
        return ""
    return next((onward[cue] for cue in asked if onward[cue]), before.topic)


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


def _narrows(line: Line, cues: Cues, before: Request) -> bool:
    """`just the deaths please`: a part of what was listed; `how does that compare to last year`: the same of other days."""
    if "compare" in cues.names and line.of("period") and {"that", "it", "this"} & set(cues.words):
        return before.topic in ("history", "survival", "temperature")
    return line.plain.startswith(("just ", "only ")) and before.topic in ("history", "survival", "headcount", "round", "exposure")


def _elliptic(line: Line, cues: Cues, before: Request, nursery) -> Request:
    new = slots.fill(line, cues, before.topic, nursery, "follow-up", 1.0)
    return merging.merged(before, new, line, cues, nursery)


def _referring(line: Line, cues: Cues, guess: Guess, nursery, context: Context, lean: bool) -> Request | None:
    """A question of its own about what was last spoken of."""
    subject = {"COHORT", "SPECIES", "ENCLOSURE", "AGENT", "UNKNOWN-COHORT", "UNKNOWN-SPECIES", "UNKNOWN-ENCLOSURE"} | (
        {"PLANT"} if guess.topic in PLANTS else set()
    )
    inside = "in-there" in cues.names and "same-place" not in cues.names and not line.of("enclosure")
    inside = inside or _same_kind_of_place(line, nursery, context)
    refers = bool(REFERRING & set(cues.words)) or (guess.layer == "exact" and "that" in cues.words) or bool(_left_words(cues))
    if "together" in cues.names and not REFERRING & set(cues.words):
        return None
    if subject & cues.names and not inside:
        return None
    bare = _of_nobody(line, cues, guess)
    if not (lean or refers or inside or bare):
        return None
    request = slots.fill(line, cues, guess.topic, nursery, "follow-up", guess.score)
    found = _spoken_of(context.turns[-1:] if bare and not (lean or refers) else context.turns, inside)
    if not found:
        return None
    if inside:
        found.pop("cohorts", None), found.pop("species", None), found.pop("mark", None)
    last = context.last.request if context.last else None
    kept = {}
    for slot, value in found.items():
        if not getattr(request, slot) and _counts(slot, guess.topic):
            kept[slot] = value
    if not kept and dangles(request, cues):
        return None
    if last is not None and last.topic == guess.topic:
        for slot in ("period", "stages", "amounts", "event", "agents", "hosts", "target_unit"):
            if not getattr(request, slot) and getattr(last, slot) and not (slot == "stages" and request.event):
                kept.setdefault(slot, getattr(last, slot))
    request = request._replace(**kept)
    if guess.topic == "headcount" and last is not None and {"to-go", "not-yet"} & cues.names and not request.stages:
        request = request._replace(stages=slots.to_come(last.event))
    if guess.topic in slots.FORECASTS:
        stages = set(request.stages) or {
            key.stage for key, count in nursery.ledger.heads.items() if count and key.cohort in request.cohorts
        }
        if request.event == "hatch" and stages and "egg" not in stages and stages & {"pupa", "prepupa"}:
            request = request._replace(event="emerge")
    return request


def _same_kind_of_place(line: Line, nursery, context: Context) -> bool:
    """Whether `the jar` is the one that was just spoken of, though there are others."""
    _, labels = several(line.text, nursery.ledger.enclosures)
    last = context.turns[-1]
    told = {*last.request.enclosures, (last.answer.about or {}).get("enclosure")}
    return not line.of("enclosure", "cohort") and not told.isdisjoint(labels)


def unplaced(request: Request, nursery) -> bool:
    """Whether a question of the keeper's own is about `the jar` where there are several, and nothing tells which."""
    return (
        request.topic in (PLACED - {"health-sign", "food-supply", "release"})
        and not request.enclosures
        and not request.cohorts
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
        not named
        and not request.unknown_names
        and bool((REFERRING | {"that"}) & set(cues.words))
        and not {"enemy", "most"} & cues.names
    )


def _left_words(cues: Cues) -> set[str]:
    return {word for word in cues.said.get("left", ()) if word in ("left", "remaining", "remain", "survivors")}


def _counts(slot: str, topic: str) -> bool:
    if slot == "enclosures":
        return topic in PLACED
    if slot in ("cohorts", "mark"):
        return topic in OWN
    if slot == "hosts":
        return topic in PLANTS
    return slot != "agents" or topic in ("exposure", "hygiene", "health-sign", "survival", "about-agent")


COUNTED = frozenset(("headcount", "survival", "history"))
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


def _mine_only(cues: Cues) -> bool:
    """Whether `my` was said as having (`do i have`, `have i got`), not as a word of its own."""
    return all(" " in said for said in cues.said.get("my", ()))


def _spoken_of(turns: list, inside: bool) -> dict[str, tuple]:
    """Slots that name what the newest turn with animals, a plant or a place was about: its question's first, else its answer's."""
    for turn in reversed(turns):
        request, about = turn.request, turn.answer.about or {}
        found: dict[str, tuple] = {}
        for slot, name in (("cohorts", "cohort"), ("enclosures", "enclosure")):
            value = getattr(request, slot) or ((about[name],) if about.get(name) else ())
            if value:
                found[slot] = value
        for slot, name in (("species", "species"), ("hosts", "host"), ("agents", "agent")):
            value = getattr(request, slot) or ((Named(str(about[name]), (str(about[name]),)),) if about.get(name) else ())
            if value:
                found[slot] = value
        if request.mark or about.get("mark"):
            found["mark"] = request.mark or str(about["mark"])
        if "cohorts" in found and "species" in found and not request.species:
            del found["species"]
        if inside and "enclosures" not in found:
            places = {item.get("enclosure") for item in turn.answer.items or () if isinstance(item, dict)} - {None, ""}
            if len(places) == 1:
                found["enclosures"] = (places.pop(),)
        if found and (not inside or "enclosures" in found):
            return found
    return {}
