"""A story (`came home to find … the rest hang limp … what do I do`) is weighed sentence by sentence.

In a line that long nearly every cue is met by some word, and nearly every bar by another. So each sentence is heard by itself, with the
stage that the story is about; what it asks last and the signs that it tells decide, and a stray word elsewhere decides nothing.
"""

from __future__ import annotations

import re

from nurserytui.language import intents
from nurserytui.language.cues import Cues, find
from nurserytui.language.line import Line
from nurserytui.language.phrases import STOP, Phrases

LONG, TOLD = 24, 14
"""Words from which one sentence is a story, and several sentences together are one."""
ENDS = re.compile(r"[.!?;\n]")
"""What stands between the words of two sentences."""
STAGES = frozenset(("EGG", "LARVA", "PREPUPA", "PUPA", "ADULT"))
SIGNS = ("sign-strong", "sign", "wing-fault", "worry", "wrong", "wings-bad", "enemy", "maggot-word", "gone-word")
"""Cues of words that tell what is amiss."""
NO_STORY = frozenset(("OWN", "PPM", "RATIO", "PERCENT", "SUM", "setting-word"))
LOOKS = ("health-sign", "egg-viability")
AILING = frozenset(("sick", "died", "dead-one", "sluggish-word", "loss-word", "sick-animal"))
"""Cues that ask for no care by themselves (`is it a disease or moulting`)."""
TOLD_OF = frozenset((*LOOKS, "egg-identification", "exposure", "release", "overwintering"))
"""Topics that a story may be about wherever it says so."""
ASKED_FOR = frozenset(("cutting-care", "hosts-of-species", "species-on-host", "food-supply", "density", "hygiene", "about-agent"))
"""Topics that a sentence must ask for; all others only the last one can."""
ASKABLE = (TOLD_OF | ASKED_FOR) - {"release"}
"""Topics for which a sentence may ask of what the others tell."""
ASKED, TELLS, REPEATED = 1.2, 0.85, 0.3
"""What a sentence that asks counts for, what one that only says so of something else than an animal's looks does (or one that asks for
what stories seldom ask), and what every further sentence of the same topic adds."""
AMISS, EACH, CLEAR, MOST = 4.1, 0.35, 0.6, 2.5
"""The score of signs told of an animal: a beginning, what a word adds and what a clear one does, and the most that they add."""
ANIMAL = STAGES | {"SPECIES", "wing-word"}
"""What shows that signs are told of an animal."""
EATING_NEAR = 3
HURT = 7.9
"""The least score of a danger that tells of someone hurt, or about to be."""
BY_LAW = 8.2
"""The least score of a question of law by its own words: to buy and to sell are also said of nets."""


def told(found: Cues, line: Line) -> bool:
    """Whether a line is long enough for a story, and neither about the keeper's own cohorts and enclosures nor a sum."""
    if not NO_STORY.isdisjoint(found.names) or {"VOLUME", "disinfectant"} <= found.names:
        return False
    return len(line.tokens) >= LONG or (len(line.tokens) >= TOLD and len(sentences(line)) > 1)


def sentences(line: Line) -> list[Line]:
    """The sentences of a line as lines of their own; a span that reaches over an end keeps its words together."""
    spanned = {at for span in line.spans for at in range(span.first + 1, span.last + 1)}
    starts = [0]
    for at, (one, other) in enumerate(zip(line.tokens, line.tokens[1:], strict=False), 1):
        if at not in spanned and ENDS.search(line.text[one.end : other.start]):
            starts.append(at)
    return [part(line, first, last) for first, last in zip(starts, [*starts[1:], len(line.tokens)], strict=True)]


def part(line: Line, first: int, last: int) -> Line:
    """Tokens `first` up to `last` of a line as a line."""
    tokens = line.tokens[first:last]
    end = line.tokens[last].start if last < len(line.tokens) else len(line.text)
    spans = tuple(
        span._replace(first=span.first - first, last=span.last - first)
        for span in line.spans
        if first <= span.first and span.last < last
    )
    return Line(line.text[tokens[0].start : end], " ".join(token.text for token in tokens), tokens, spans)


def alarm(line: Line, tables: Phrases, nursery, weighed) -> intents.Guess:
    """A danger to people that two neighbouring sentences of a story tell of, or a question of law that they ask. What a plant or an
    animal might do to people (below `HURT`) must stand in one sentence that asks."""
    parts = sentences(line)
    for at, piece in enumerate(parts):
        alone = find(piece, tables, nursery)
        asks = _asks(piece, alone, tables)
        near = _joined(line, parts[max(0, at - 1) : at + 1])
        guess = intents.alarm(_without_eaters(find(near, tables, nursery), near), tables, weighed)
        if guess.score >= (HURT if guess.topic == "safety" else BY_LAW) and (asks or guess.topic == "safety"):
            return guess
        guess = intents.alarm(_without_eaters(alone, piece), tables, weighed)
        if asks and guess.topic and not _of_leaf(alone):
            return guess
    return intents.NOTHING


def _of_leaf(found: Cues) -> bool:
    """`is it the sap, or am I handling them too much` fears for the animals, not for people."""
    return {"PLANT", "SPECIES"}.isdisjoint(found.names)


def _without_eaters(found: Cues, piece: Line) -> Cues:
    """`my daughter found it and it will not eat the lettuce`: a child that does not eat itself is in no danger by eating."""
    words = [token.text for token in piece.tokens]
    eaters = {word for cue in ("child-pet", "i-me") for said in found.said.get(cue, ()) for word in said.split()}
    eating = {said.split()[0] for said in found.said.get("eat-plain", ())}
    if any(word in eating and eaters & set(words[max(0, at - EATING_NEAR) : at]) for at, word in enumerate(words)):
        return found
    return found._replace(names=found.names - {"eat-plain"})


def _joined(line: Line, near: list[Line]) -> Line:
    first = line.tokens.index(near[0].tokens[0])
    return part(line, first, first + sum(len(each.tokens) for each in near))


def _heard_with(found: Cues, carried: frozenset[str]) -> Cues:
    """What a sentence tells with what the story is about, as far as it does not say itself."""
    if not found.names.isdisjoint(STAGES):
        carried -= STAGES
    return found._replace(names=found.names | carried)


def weigh(line: Line, found: Cues, tables: Phrases, nursery) -> intents.Guess:
    """What a story is about, NOTHING where no sentence of it says so and no sign is told."""
    scores: dict[str, list[float]] = {}
    stages = found.names & STAGES
    parts = sentences(line)
    for at, piece in enumerate(parts):
        alone = find(piece, tables, nursery)
        asks = _asks(piece, alone, tables)
        free = len(parts) == 1 or (asks and at == len(parts) - 1)
        best: dict[str, float] = {}
        for topic, score in intents.topics(_heard_with(alone, stages), tables):
            if free or topic in TOLD_OF or (asks and topic in ASKED_FOR):
                best[topic] = score
        if at:
            pair = _heard_with(find(_joined(line, parts[at - 1 : at + 1]), tables, nursery), stages)
            _keep(best, [(topic, score) for topic, score in intents.topics(pair, tables) if topic in TOLD_OF])
        if asks and len(parts) > 1:
            _keep(best, [(topic, score) for topic, score in _asked(alone, found, tables) if topic in ASKABLE])
        for topic, score in best.items():
            weight = ASKED if asks and topic in TOLD_OF | ASKED_FOR else 1.0 if topic in LOOKS else TELLS
            scores.setdefault(topic, []).append(score * weight)
    signs = {word for cue in SIGNS for word in found.said.get(cue, ())}
    if signs and ANIMAL & found.names:
        topic = "egg-viability" if stages == {"EGG"} else "health-sign"
        clear = found.said.get("sign-strong", frozenset())
        scores.setdefault(topic, []).append(AMISS + min(MOST, EACH * len(signs - clear) + CLEAR * len(clear)))
    totals = {topic: max(each) + REPEATED * (len(each) > 1) for topic, each in scores.items()}
    best_topic = max(totals, key=totals.get, default="")
    if not best_topic or totals[best_topic] < intents.FLOOR:
        return intents.NOTHING
    return intents.Guess(best_topic, totals[best_topic], "story")


def _keep(best: dict[str, float], more: list[tuple[str, float]]) -> None:
    for topic, score in more:
        best[topic] = max(score, best.get(topic, 0.0))


def _asked(alone: Cues, whole: Cues, tables: Phrases) -> list[tuple[str, float]]:
    """What a sentence asks of what the whole story tells (`will they take either of them`, `is that too many`): topics whose signal
    the story meets and the sentence has a word of weight for, and nothing in the sentence bars."""
    small = tables.leads | tables.lists["small"] | tables.lists["auxiliaries"] | frozenset(tables.skip) | STOP
    weighty = {cue for cue, said in alone.said.items() if any(not small.issuperset(each.split()) for each in said)}
    of_care = weighty.difference(SIGNS, AILING)
    return [
        (signal.topic, signal.score)
        for signal in tables.signals
        if not (of_care if signal.topic in ASKED_FOR else weighty).isdisjoint(cue for group in signal.needs for cue in group)
        and alone.names.isdisjoint(signal.bars)
        and all(not whole.names.isdisjoint(group) for group in signal.needs)
    ]


def _asks(piece: Line, heard: Cues, tables: Phrases) -> bool:
    """Whether a sentence asks; `when I shook it an earwig fell out` does not."""
    first, second = [*(token.text for token in piece.tokens), "", ""][:2]
    if first == "when" and second not in tables.lists["auxiliaries"] and "?" not in piece.text:
        return False
    return "QUESTION" in heard.names or "choose-release" in heard.names


def asks(line: Line, tables: Phrases, nursery) -> bool:
    """Whether any sentence of the story asks."""
    return any(_asks(piece, find(piece, tables, nursery), tables) for piece in sentences(line))
