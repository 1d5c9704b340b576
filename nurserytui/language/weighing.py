"""How far the examples of every topic speak for a line: logistic regression over its words, pairs of words and cues.

The examples lie in knowledge/phrases/examples/<topic>.txt, one masked line each; adding one needs no code. Signals decide by what must
be there; weighing decides by how usual all of a line's words together are in one topic and not in the others, so that a long story is
not taken for what a single word of it says. The weights are fitted once for a state of the examples and kept in the cache.
"""

from __future__ import annotations

from array import array
from collections.abc import Callable
from math import exp, sqrt
from pathlib import Path
from typing import NamedTuple

from nurserytui import paths
from nurserytui.knowledge.compiled import blake2b, kept
from nurserytui.language.cues import PRONOUNS, collect, nearest, stages_in_name
from nurserytui.language.line import Line
from nurserytui.language.ordinary import ORDINARY
from nurserytui.language.phrases import Phrases

ROUNDS = 4
STEP = 4.0
"""Length of the first step down the gradient; later rounds take shorter ones."""
SHORTER = 0.5
DECAY = 0.03
"""What every weight loses in a round, so that rare features stay small."""
SURE = 0.98
"""An example that is told with more than this moves nothing."""
SEEN = 3
"""Examples that must hold a feature for it to count: what fewer hold tells those and nothing else, and takes half of the room."""
SLIGHT = 0.005
"""A topic with less chance than this is not moved: that takes most of the time and changes nothing."""
SEED = 7
SAME = {"MARK": "COHORT", "ESTIMATE": "NUMBER", "UNKNOWN-COHORT": "COHORT", "UNKNOWN-ENCLOSURE": "ENCLOSURE"}
OWN = frozenset(("COHORT", "ENCLOSURE"))
STEM = 4
"""Letters of a long word that stand for its family (`parasitised`, `parasites`)."""
LONG = 30
"""Words from which a line is simply long."""
OUTSIDE = "outside"
"""The topic of examples that are no matter of a nursery."""
RECORD = "record"
"""The topic of examples that are no question."""
MENDED = 5
"""Letters of the words of examples for which a slip (one letter less, at most) may stand."""
MANY = 4
"""Strange words from which there are simply many."""
TOPICS, EVENTS = "examples", "records"
"""Folders of examples: by the topic of a line, and by the event that a clause of a record tells."""


class Weights(NamedTuple):
    topics: tuple[str, ...]
    features: dict[str, bytes]
    """Feature -> one weight a topic, as packed floats."""
    initials: dict[str, tuple[str, ...]] = {}
    """First letter -> the longer words of the examples, which a typing slip may have been meant for."""


class Weighed(NamedTuple):
    topic: str
    chance: float
    """Of the best topic, among all that have examples."""
    chances: dict[str, float]

    def of(self, topic: str) -> float:
        return self.chances.get(topic, 0.0)


Features = Callable[[list[str], Phrases], set[str]]
"""What is told of the words of an example or a line."""

_loaded: dict[str, Weights] = {}


def load(phrases: Phrases, folder: str = TOPICS, features: Features | None = None) -> Weights:
    """The weights of the examples in that folder of knowledge/phrases, from the cache file if it is fresh, else fitted and put there."""
    if folder not in _loaded:
        features = features or features_of
        code = Path(__file__), Path(features.__code__.co_filename)
        digest = blake2b(digest_size=20)
        for file in (*files(TOPICS), *files(EVENTS), *sorted(_above().glob("*.toml")), *code):
            digest.update(file.name.encode() + b"\0" + file.read_bytes())
        made = kept(
            f"weights-{folder}",
            digest.hexdigest(),
            lambda: tuple(fit([(topic, features(words, phrases)) for topic, words in examples(folder)])),
            paths.user_cache(),
        )
        _loaded[folder] = Weights(*made)
    return _loaded[folder]


def _above() -> Path:
    return paths.shipped("knowledge") / "phrases"


def files(folder: str) -> list[Path]:
    return sorted((_above() / folder).glob("*.txt"))


def examples(folder: str = TOPICS) -> list[tuple[str, list[str]]]:
    """(topic or event, the words of an example). What tells of an event is an example of the topic of records too."""
    found = [(file.stem, words) for file in files(folder) for words in read(file)]
    if folder == TOPICS:
        found += [(RECORD, words) for _, words in examples(EVENTS)]
    return found


def read(file: Path) -> list[list[str]]:
    """The examples of a file as words; empty lines and lines after `#` are none."""
    lines = (line.strip() for line in file.read_text(encoding="utf-8").splitlines())
    return [line.split() for line in lines if line and not line.startswith("#")]


def fit(examples: list[tuple[str, set[str]]]) -> Weights:
    """Multinomial logistic regression by stochastic gradient descent; always the same for the same examples.

    Features that hardly any example has are left out (`SEEN`).
    """
    from random import Random

    topics = tuple(sorted({topic for topic, _ in examples}))
    seen: dict[str, int] = {}
    for _, features in examples:
        for feature in features:
            seen[feature] = seen.get(feature, 0) + 1
    weights = {feature: [0.0] * len(topics) for feature in sorted(seen) if seen[feature] >= SEEN}
    places = {topic: place for place, topic in enumerate(topics)}
    rows = []
    for topic, features in examples:
        odd = strangers(features, weights)
        weights.setdefault(odd, [0.0] * len(topics))
        rows.append((places[topic], [weights[feature] for feature in sorted({*features, odd}) if feature in weights]))
    shuffle = Random(SEED).shuffle
    for turn in range(ROUNDS):
        shuffle(rows)
        step = STEP / (1 + SHORTER * turn)
        for right, held in rows:
            chances = _softmax(held)
            if chances[right] > SURE:
                continue
            reach = step / sqrt(len(held) + 1)
            moves = [(place, -reach * chance) for place, chance in enumerate(chances) if chance > SLIGHT and place != right]
            moves.append((right, reach * (1 - chances[right])))
            for row in held:
                for place, move in moves:
                    row[place] += move
        for row in weights.values():
            row[:] = [weight * (1 - DECAY) for weight in row]
    initials: dict[str, list[str]] = {}
    for feature in weights:
        if len(feature) >= MENDED and feature.isalpha() and feature.islower():
            initials.setdefault(feature[0], []).append(feature)
    packed = {feature: array("f", row).tobytes() for feature, row in weights.items()}
    return Weights(topics, packed, {letter: tuple(words) for letter, words in initials.items()})


def _softmax(held: list) -> list[float]:
    """Chances of the topics from the weights of the features that a line holds, scaled by the root of their number."""
    scale = 1 / sqrt(len(held) + 1)
    sums = [scale * sum(column) for column in zip(*held, strict=True)]
    highest = max(sums, default=0.0)
    parts = [exp(value - highest) for value in sums]
    total = sum(parts)
    return [part / total for part in parts]


def shape(line: Line, masked: tuple[str, ...]) -> list[str]:
    """The masked words of a line (Cues.words) with stages and amounts by what they are (`EGG` for `STAGE`, `TEMPERATURE` for `AMOUNT`)
    and a question mark as a word of its own."""
    spans = iter(line.spans)
    found = []
    for word in masked:
        if word.isupper():
            span = next(spans)
            kind = str(span.value) if span.kind == "stage" else span.value.kind if span.kind == "amount" else span.kind
            found.append(SAME.get(kind.upper(), kind.upper()))
            if span.kind == "species":
                found.extend(stage.upper() for stage in stages_in_name(span))
        else:
            found.append(word)
    return [*found, "?"] if "?" in line.text else found


def features_of(words: list[str], phrases: Phrases) -> set[str]:
    """Single words and the beginnings of long ones, pairs of neighbours with the ends of the line, how it opens, the cues of words, which
    kinds of things are named together, whether own animals are meant, and roughly how long it is."""
    said: dict[str, set[str]] = {}
    collect(words, phrases, said)
    ends = ["^", *words, "$"]
    kinds = sorted({word for word in words if word.isupper()})
    found = {*words, *(f"{one} {two}" for one, two in zip(ends, ends[1:], strict=False)), *(f"={cue}" for cue in said)}
    found.update(f"{word[:STEM]}~" for word in words if len(word) > STEM and word.islower())
    found.update((f"+{' '.join(kinds)}", f"^{' '.join(words[:3])}", f"#{min(len(words), LONG) // 6}"))
    if not OWN.isdisjoint(kinds):
        found.add("=OWN")
    if not PRONOUNS.isdisjoint(words):
        found.add("=PRONOUN")
    return found


def _mended(word: str, weights: Weights) -> str:
    """The word, or the one of the examples that it is a typing slip away from."""
    if len(word) < MENDED - 1 or not word.islower() or word in weights.features or word in ORDINARY:
        return word
    return nearest(word, weights.initials.get(word[0], ()), 1) or word


def strangers(features: set[str], known) -> str:
    """How many words of a line no second example holds, and whether it names a kind of thing: what shows a line from elsewhere."""
    words = [feature for feature in features if feature.isalpha() and feature.islower()]
    kinds = any(feature.isupper() and feature.isalpha() for feature in features)
    return f"?{min(MANY, sum(word not in known for word in words))}{'+' if kinds else '-'}"


def weigh(words: list[str], phrases: Phrases, weights: Weights, features: Features | None = None) -> Weighed | None:
    """The chance of every topic for the words; None where no feature of them is known."""
    found = (features or features_of)([_mended(word, weights) for word in words], phrases)
    found.add(strangers(found, weights.features))
    held = [array("f", weights.features[feature]) for feature in found if feature in weights.features]
    if not held:
        return None
    chances = dict(zip(weights.topics, _softmax(held), strict=True))
    best = max(chances, key=lambda topic: chances[topic])
    return Weighed(best, chances[best], chances)
