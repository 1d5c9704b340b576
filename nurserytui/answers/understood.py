"""What a line that is still being typed would be taken for, in a few words. Nothing is answered and nothing is written."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import NamedTuple

from nurserytui.answers.wording import listed, lower, short_day
from nurserytui.language.request import DANGLING, Request

TOPICS = {
    "stage-forecast": "when they change next",
    "stage-duration": "how long a stage lasts",
    "hosts-of-species": "what it eats",
    "species-on-host": "who eats a plant",
    "egg-identification": "whose egg it is",
    "egg-viability": "whether an egg is alive",
    "cutting-care": "how cut plants keep",
    "food-supply": "how much food is needed",
    "density": "how many fit in",
    "dilution": "how to mix a disinfectant",
    "hygiene": "when and how to clean",
    "health-sign": "what a sign means",
    "exposure": "who was exposed",
    "release": "whether to release",
    "overwintering": "how it winters",
    "round": "what needs doing",
    "headcount": "how many there are",
    "history": "what happened",
    "survival": "how many came through",
    "temperature": "readings and degree-days",
    "convert": "a sum",
    "safety": "what can hurt",
    "law": "what the law asks",
    "about-species": "about a species",
    "about-host": "about a plant",
    "about-agent": "about an enemy",
    "explain": "how the last answer came about",
    "help": "what can be asked",
}
"""What a question of each topic is about."""
CHANGES = {
    "hatch": "when it hatches",
    "moult": "when it moults",
    "prepupate": "when it hangs up",
    "pupate": "when it pupates",
    "emerge": "when it emerges",
}
UNITS = {"degC": "°C", "degF": "°F", "percent": "%", "milliliter": "mL", "liter": "L"}
AHEAD = ("stage-forecast", "round", "food-supply", "release")
"""Topics that look ahead."""
UNTIL = re.compile(r"\s*(?:by|until|till|til|before)\b", re.I)
LONG = timedelta(days=400)
"""Spans longer than this have no beginning worth telling."""
OPENERS = frozenset("which what where when who how there is are did was were".split())
"""First words of a question that are written small after `not sure:`; a label keeps its capital."""
MANY_EVENTS = 20_000
"""Records beyond which nothing is replayed or looked through only to be shown: a line is told as it was typed."""
LONGEST = 400
"""Characters from which a line is told as long and not weighed while it is typed."""


class Understood(NamedTuple):
    """`kind` is `question`, `record`, `undo`, `unsure`, or "" where there is nothing to say."""

    kind: str = ""
    topic: str = ""
    words: str = ""
    """What it is taken for."""
    parts: tuple[str, ...] = ()
    """What it is about, how and when."""

    @property
    def line(self) -> str:
        """All of it in one row."""
        return " · ".join(part for part in (self.words, *self.parts) if part)


NOTHING = Understood()


def understood(request: Request, nursery) -> Understood:
    """What a request would be taken for. Only reads."""
    if request.layer == DANGLING:
        return Understood("unsure", request.topic, "not sure: which animals or which place do you mean?")
    if request.topic == "record":
        return _record(request, nursery)
    if request.topic == "undo":
        return _undo(request, nursery)
    if not request.topic:
        return _unsure(request)
    if request.unknown_names and not (request.cohorts or request.species or request.hosts or request.enclosures):
        return _unsure(request)
    words = TOPICS.get(request.topic, request.topic)
    if request.topic == "stage-forecast":
        words = CHANGES.get(request.event, words)
    return Understood("question", request.topic, words, _parts(request, nursery))


def _parts(request: Request, nursery) -> tuple[str, ...]:
    knowledge = nursery.knowledge
    parts = [f"cohort {label}{f' animal {request.mark}' if request.mark else ''}" for label in request.cohorts[:3]]
    parts += [knowledge.common(named.name) or named.name for named in request.species[:2]]
    parts += [_plant(named.name, knowledge) for named in request.hosts[:2]]
    parts += [named.name for named in request.agents[:2]]
    parts += [f"in {place}" for place in request.enclosures[:2]]
    if request.stages and request.topic != "stage-forecast":
        parts.append(listed(request.stages, "or"))
    if request.instar:
        parts.append(f"instar {request.instar}")
    if request.count is not None:
        parts.append(f"{request.count}")
    parts += [_amount(amount) for amount in request.amounts[:3]]
    if request.period is not None:
        parts.append(_period(request.period, request.topic, nursery.now))
    if request.without:
        parts.append(f"without {listed(request.without)}")
    return tuple(parts)


def _plant(name: str, knowledge) -> str:
    from nurserytui.answers.naming import plant_word

    return plant_word(name, knowledge)


def _amount(amount) -> str:
    if amount.kind == "temperature":
        unit = UNITS.get(amount.unit, "")
        high = f" to {amount.high:g}" if amount.high is not None else ""
        return f"at {amount.value:g}{high} {unit}".rstrip()
    return amount.said


def _period(period, topic: str, now) -> str:
    """The words and the days that they stand for: `by Sunday (Sun 21 June)`."""
    first, last = period.start.date(), period.end.date()
    if topic in AHEAD and period.end < now:  # nothing that has passed is meant there, and the answer does not go by it
        return period.said
    if period.exact:
        return f"{period.said} ({short_day(period.start)}, {period.start:%H:%M})"
    if first == last or (first <= now.date() and UNTIL.match(period.said)):
        return f"{period.said} ({short_day(last)})"
    return period.said if last - first > LONG else f"{period.said} ({short_day(first)} to {short_day(last)})"


def _record(request: Request, nursery) -> Understood:
    """The read-back of what would be written, or what would be asked first."""
    from nurserytui.answers.record_fill import fill_all
    from nurserytui.answers.record_ground import Ask
    from nurserytui.answers.record_wording import sentence, told

    knowledge = nursery.knowledge
    if "dropped" in request.cues:
        return Understood("record", "record", "would note nothing")
    if not request.drafts:
        return NOTHING
    typed = ", ".join(_in_plain_names(sentence(draft, knowledge), draft, knowledge) for draft in request.drafts)
    if "correct" in request.cues:
        return Understood("record", "record", "would put right what was noted last")
    unsure = bool({"holed", "doubted", "figured"} & request.cues)
    if len(nursery.events) > MANY_EVENTS and not _of_now(request, nursery):
        return _doubted(typed) if unsure else Understood("record", "record", f"would note: {typed}")
    filled = fill_all(request, nursery)
    if isinstance(filled, Ask):
        question = filled.text if filled.text.endswith("?") else filled.text.rstrip(".")
        first = question.split(" ", 1)[0]
        return Understood("unsure", "record", f"not sure: {lower(question) if first.casefold() in OPENERS else question}")
    if unsure:
        return _doubted(typed)
    parts = tuple(told(event, knowledge).replace(f" ({event.species})", "") for event in filled)
    other_day = filled[0].when[:10] != nursery.now.date().isoformat()
    return Understood("record", "record", f"would note: {parts[0]}", (*parts[1:], *([_day(filled[0].when)] if other_day else ())))


def _doubted(typed: str) -> Understood:
    return Understood("unsure", "record", f"not sure: {typed}? It would ask first")


def _in_plain_names(said: str, draft, knowledge) -> str:
    """The sentence with the usual name of its species: in one row there is no room for the scientific one."""
    name = draft.species.name if draft.species else ""
    return said.replace(name, knowledge.common(name) or name) if name else said


def _of_now(request: Request, nursery) -> bool:
    today = nursery.now.date()
    return all(draft.when is None or draft.when.end.date() >= today for draft in request.drafts) and len(request.drafts) == 1


def _day(when: str) -> str:
    from datetime import date

    return f"on {short_day(date.fromisoformat(when[:10]))}"


def _undo(request: Request, nursery) -> Understood:
    from nurserytui.answers.record_wording import told
    from nurserytui.answers.taking_back import to_take_back

    if len(nursery.events) > MANY_EVENTS:
        return Understood("undo", "undo", "would take back what was noted last")
    taken = [event for event in to_take_back(request, nursery) if event.what != "withdrawn"]
    if not taken:
        return Understood("undo", "undo", "there is nothing to take back")
    words = [told(event, nursery.knowledge) for event in taken]
    return Understood("undo", "undo", f"would take back: {words[0]}", tuple(words[1:]))


def _unsure(request: Request) -> Understood:
    if request.unknown_names:
        return Understood("unsure", "", f"not sure: “{request.unknown_names[0]}” is not known here")
    near = [TOPICS[topic] for topic in request.near[:2] if topic in TOPICS]
    if near:
        return Understood("unsure", "", f"not sure: {listed(near, 'or')}?")
    return NOTHING
