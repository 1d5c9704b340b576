"""How far the examples of every topic speak for a line: logistic regression over its words, pairs of words and cues.

The examples lie in knowledge/phrases/examples/<topic>.txt, one masked line each; adding one needs no code. Signals decide by what must
be there; weighing decides by how usual all of a line's words together are in one topic and not in the others, so that a long story is
not taken for what a single word of it says. The weights are fitted once for a state of the examples, when the program is built or in the cache.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Collection
from math import exp, sqrt
from pathlib import Path
from random import Random
from struct import pack, unpack
from typing import NamedTuple

from nurserytui import paths
from nurserytui.knowledge.compiled import blake2b, kept
from nurserytui.language.cues import PRONOUNS, collect, stages_in_name
from nurserytui.language.line import Line
from nurserytui.language.ordinary import ORDINARY
from nurserytui.language.phrases import Phrases
from nurserytui.language.slips import nearest

ROUNDS = 5
STEP = 1.0
"""Length of the first step down the gradient; a feature that has moved takes shorter ones."""
LEAST = 0.001
"""What a feature that has not moved yet counts as having moved, so that its first step is finite."""
SEEN, SEEN_PARTS = 3, 4
"""Examples that must hold a feature for it to count: what fewer hold tells those and nothing else, and takes half of the room."""
PART, PARTS = "~", (3, 4, 5)
"""What a part of a word begins with as a feature, and its letters."""
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
WIDTH = 2
"""Bytes of a weight: half precision, which tells three digits."""
TOPICS, EVENTS = "examples", "records"
"""Folders of examples: by the topic of a line, and by the event that a clause of a record tells."""


class Weights(NamedTuple):
    topics: tuple[str, ...]
    features: dict[str, bytes]
    """Feature -> one weight a topic, packed as floats of `WIDTH` bytes."""
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
    """The weights of the examples in that folder of knowledge/phrases: those shipped, if they were fitted to these very examples by this very
    code; else those in the cache, likewise; else fitted now and put there."""
    if folder not in _loaded:
        features = features or features_of
        stamp = _stamp(folder, features)
        made = shipped(folder, stamp)
        if made is None:
            made = Weights(
                *kept(f"weights-{folder}", stamp, lambda: tuple(fitted(phrases, folder, features)), paths.user_cache())
            )
        _loaded[folder] = made
    return _loaded[folder]


def fitted(phrases: Phrases, folder: str, features: Features) -> Weights:
    return fit([(topic, features(words, phrases)) for topic, words in examples(folder)])


def ship(phrases: Phrases, folder: str, features: Features) -> Path:
    """Fit, and write the weights beside the examples, where `load` finds them: done when the program is built, so that nobody waits."""
    weights = fitted(phrases, folder, features)
    head = json.dumps({"topics": weights.topics, "features": list(weights.features), "initials": weights.initials})
    file = _above() / f"{folder}.weights"
    file.write_bytes(b"\n".join((_stamp(folder, features).encode(), head.encode(), b"".join(weights.features.values()))))
    return file


def shipped(folder: str, stamp: str) -> Weights | None:
    """The weights that `ship` wrote, unless they are of other examples or other code."""
    try:
        content = (_above() / f"{folder}.weights").read_bytes()
    except OSError:
        return None
    found, _, content = content.partition(b"\n")
    if found != stamp.encode():
        return None
    head, _, rows = content.partition(b"\n")
    told = json.loads(head)
    width = len(told["topics"]) * WIDTH
    features = {feature: rows[at * width : (at + 1) * width] for at, feature in enumerate(told["features"])}
    return Weights(tuple(told["topics"]), features, {letter: tuple(words) for letter, words in told["initials"].items()})


def _stamp(folder: str, features: Features) -> str:
    """A digest of the examples and phrases that the weights of a folder hang on, and of the code that reads them."""
    told = (*files(TOPICS), *files(EVENTS)) if folder == TOPICS else files(folder)
    digest = blake2b(digest_size=20)
    for file in (*told, *sorted(_above().glob("*.toml")), Path(__file__), Path(features.__code__.co_filename)):
        digest.update(file.name.encode() + b"\0" + file.read_bytes())
    return digest.hexdigest()


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
    """Multinomial logistic regression by stochastic gradient descent, every feature with its own falling steps (AdaGrad: Duchi, Hazan and
    Singer, 2011); always the same for the same examples. Features that hardly any example has are left out (`SEEN`, `SEEN_PARTS`)."""
    import numpy

    topics = tuple(sorted({topic for topic, _ in examples}))
    seen = Counter(feature for _, features in examples for feature in features)
    kept = sorted(feature for feature, times in seen.items() if times >= (SEEN_PARTS if feature[0] == PART else SEEN))
    odd = [strangers(features, seen) for _, features in examples]
    places = {feature: place for place, feature in enumerate([*kept, *sorted(set(odd) - set(kept))])}
    weights = numpy.zeros((len(places), len(topics)))
    moved = numpy.full(len(places), LEAST)
    rows = []
    for (topic, features), stranger in zip(examples, odd, strict=True):
        held = sorted(feature for feature in {*features, stranger} if feature in places)
        shares = _shares(held)
        rows.append(
            (
                topics.index(topic),
                numpy.array([places[one] for one in held]),
                numpy.array([shares[one[0] == PART] for one in held]),
            )
        )
    shuffle = Random(SEED).shuffle
    for _ in range(ROUNDS):
        shuffle(rows)
        for right, held, shares in rows:
            sums = shares @ weights[held]
            chances = numpy.exp(sums - sums.max())
            chances /= chances.sum()
            chances[right] -= 1
            moved[held] += shares**2 * (chances @ chances)
            weights[held] -= numpy.outer(STEP * shares / numpy.sqrt(moved[held]), chances)
    initials: dict[str, list[str]] = {}
    for feature in kept:
        if len(feature) >= MENDED and feature.isalpha() and feature.islower():
            initials.setdefault(feature[0], []).append(feature)
    packed = {feature: pack(f"<{len(topics)}e", *weights[place]) for feature, place in places.items()}
    return Weights(topics, packed, {letter: tuple(words) for letter, words in initials.items()})


def _shares(features: Collection[str]) -> tuple[float, float]:
    """What one feature counts that is no part of a word, and one that is: a long line says no more than a short one."""
    parts = sum(feature[0] == PART for feature in features)
    return 1 / sqrt(max(1, len(features) - parts)), 1 / sqrt(max(1, parts))


def _softmax(sums: list[float]) -> list[float]:
    highest = max(sums)
    raised = [exp(value - highest) for value in sums]
    total = sum(raised)
    return [value / total for value in raised]


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
    found.update(parts_of(words))
    if not OWN.isdisjoint(kinds):
        found.add("=OWN")
    if not PRONOUNS.isdisjoint(words):
        found.add("=PRONOUN")
    return found


def parts_of(words: list[str]) -> set[str]:
    """Every three to five letters in a row of the words that stand for themselves: what kindred and misspelt words have in common."""
    found = set()
    for word in {word for word in words if not word.isupper()}:
        ended = f" {word} "
        for size in PARTS:
            found.update(f"{PART}{ended[at : at + size]}" for at in range(len(ended) - size + 1))
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
    held = [feature for feature in found if feature in weights.features]
    if not held:
        return None
    form = f"<{len(weights.topics)}e"
    whole, part = _shares(held)
    sums = [0.0] * len(weights.topics)
    for share, of_parts in ((whole, False), (part, True)):
        rows = [unpack(form, weights.features[feature]) for feature in held if (feature[0] == PART) == of_parts]
        if rows:
            sums = [before + share * sum(column) for before, column in zip(sums, zip(*rows, strict=True), strict=True)]
    chances = dict(zip(weights.topics, _softmax(sums), strict=True))
    best = max(chances, key=lambda topic: chances[topic])
    return Weighed(best, chances[best], chances)
