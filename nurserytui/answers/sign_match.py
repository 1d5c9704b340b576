"""Which recorded signs a keeper's words show, and how strongly; what several signs together make of their causes."""

import math
import re
from typing import NamedTuple

from rapidfuzz import fuzz

WORD = re.compile(r"[a-z0-9]+(?:'[a-z]+)?")
SPELLING = (
    ("gray", "grey"),
    ("color", "colour"),
    ("molt", "moult"),
    ("catapil", "caterpil"),
    ("crysalis", "chrysalis"),
    ("chrysallis", "chrysalis"),
)
BARE = re.compile(r"\b(is|are|was|were|has|have|had|do|does|did|ca|wo|could|would)nt\b")
BECOME = re.compile(r"\bgone (?!missing|from|in|over|since|now|today|this|and|by)(?=[a-z])")
"""`gone limp` says that it is limp, not that it is gone."""
ALARM = (
    "limp",
    "floppy",
    "flaccid",
    "mush",
    "goo",
    "melt",
    "smell",
    "stink",
    "leak",
    "ooz",
    "dead",
    "dying",
    "died",
    "collaps",
    "rotten",
)
"""Words that do not go with healthy development, unless they are part of the sign itself."""
DENIALS = {"no", "not", "without", "never", "isn't", "isnt", "aren't", "arent", "wasn't", "wasnt", "nor"}
NEIGHBOURS = {"larva": ("prepupa",), "prepupa": ("larva", "pupa"), "pupa": ("prepupa",), "egg": (), "adult": ("pupa",)}
NEXT_STAGE = 0.55
"""How far a sign of the next or the last stage counts for a stage that was named."""
LEAK = 0.04
"""The chance that any sign goes with a cause that is not listed for it."""
FAINT = 0.5
"""The least strength at which a sign is reckoned with, where its chief feature is shown and nothing clearer is."""
OTHER = {"high": 0.1, "medium": 0.22, "low": 0.4}
"""The share kept for causes not listed, by how sure the sign is."""


class Shown(NamedTuple):
    """A sign that the words show; `strength` is 0 to 1."""

    sign: object
    strength: float
    leads: bool
    """True where the words show the chief feature of the sign (its first group)."""
    weight: float
    """Strength times how telling the matched words are: signs are ranked by it."""


class Weighed(NamedTuple):
    name: str
    probability: float
    sign: object
    """The sign that speaks most for this cause."""


def tidy(text: str) -> str:
    text = BARE.sub(r"\1n't", text.casefold().replace("’", "'").replace("-", " "))
    text = BECOME.sub("", text)
    for variant, usual in SPELLING:
        text = text.replace(variant, usual)
    return text


def words_of(text: str) -> list[str]:
    return WORD.findall(tidy(text))


def says(alternative: str, words: list[str]) -> str:
    """The words of the line that say `alternative` (a stem or a phrase of stems), "" where none does."""
    parts = WORD.findall(tidy(alternative))
    if not parts:
        return ""
    if len(parts) > 1:
        for at in range(len(words) - len(parts) + 1):
            piece = words[at : at + len(parts)]
            if all(like(stem, word) for stem, word in zip(parts, piece)):
                return " ".join(piece)
        return ""
    for at, word in enumerate(words):
        if like(parts[0], word) and (parts[0] in DENIALS or not denied(words, at)):
            return word
    return ""


def denied(words: list[str], at: int) -> bool:
    """`no`, `not` … right before the word, or with one word between (`no pale patch`)."""
    return any(word in DENIALS or word.endswith("n't") for word in words[max(0, at - 2) : at])


def like(stem: str, word: str) -> bool:
    """The word begins with the stem, or is a long word with one slip of the pen."""
    if word.endswith("n't") and (stem == "not" or stem.endswith("n't")):
        return True
    if word.startswith(stem):
        return len(stem) > 3 or len(word) - len(stem) <= 2
    return len(stem) >= 6 and len(word) >= 5 and stem[0] == word[0] and fuzz.ratio(stem, word[: len(stem) + 1]) >= 84


def shown(text: str, signs, stages: tuple[str, ...] = ()) -> list[Shown]:
    """The signs that a line shows, most telling first. With `stages`, signs of another stage only count where it is the next."""
    words = words_of(text)
    matched = {}
    spread: dict[str, int] = {}
    for sign in signs:
        hits = told_apart([[found for word in group if (found := says(word, words))] for group in sign.words])
        if any(hits):
            matched[sign.id] = (sign, hits)
            for hit in {hit for hit in hits if hit}:
                spread[hit] = spread.get(hit, 0) + 1
    count = max(len(signs), 1)
    found = []
    for sign, hits in matched.values():
        near = stage_factor(sign.stage, stages)
        if not near:
            continue
        if sign.normal and any((word := says(stem, words)) and word not in hits for stem in ALARM):
            near *= 0.6
        telling = [math.log(1 + count / spread[hit]) for hit in dict.fromkeys(hits) if hit]
        strength = sum(1 for hit in hits if hit) / len(hits) * near
        found.append(Shown(sign, strength, bool(hits[0]), strength * sum(telling) * near))
    found.sort(key=lambda one: (-one.weight, one.sign.id))
    return found


def told_apart(groups: list[list[str]]) -> list[str]:
    """One word of the line for each group, no word for two of them; "" for a group that is left without."""
    holder: dict[str, int] = {}

    def place(at: int, tried: set[str]) -> bool:
        for word in groups[at]:
            if word not in tried:
                tried.add(word)
                if word not in holder or place(holder[word], tried):
                    holder[word] = at
                    return True
        return False

    for at in range(len(groups)):
        place(at, set())
    found = {at: word for word, at in holder.items()}
    return [found.get(at, "") for at in range(len(groups))]


def stage_factor(stage: str, stages: tuple[str, ...]) -> float:
    if not stages or stage in stages:
        return 1.0
    return NEXT_STAGE if any(stage in NEIGHBOURS.get(said, ()) for said in stages) else 0.0


def enough(signs: list[Shown], floor: float = 0.6) -> list[Shown]:
    """The signs to reckon with: the most telling one, and those nearly as telling; none where even the best is too faint."""
    clear = [one for one in signs if one.strength >= floor and (floor > FAINT or one.leads)]
    return [one for one in clear if one.weight >= 0.7 * clear[0].weight][:3] if clear else []


def causes(signs: list[Shown], tilt=None) -> tuple[list[Weighed], float]:
    """Causes with their probabilities, likeliest first, and the share left for others.

    Naive Bayes over the signs shown: each sign multiplies a cause by how often it stands behind that sign, tempered by how clearly
    the sign was shown; a cause that a sign does not list keeps a small leak. `tilt(name)` is a factor that other knowledge puts on a cause.
    """
    if not signs:
        return [], 1.0
    top = signs[0].weight
    names = dict.fromkeys(cause.name for one in signs for cause in one.sign.causes)
    scores = {}
    speaks = {}
    for name in names:
        log = 0.0
        best = (0.0, signs[0].sign)
        for one in signs:
            total = sum(cause.weight for cause in one.sign.causes) or 1.0
            share = sum(cause.weight for cause in one.sign.causes if cause.name == name) / total
            temper = one.strength * one.weight / top
            log += temper * math.log(LEAK + (1 - LEAK) * share)
            best = max(best, (share * temper, one.sign), key=lambda pair: pair[0])
        scores[name], speaks[name] = math.exp(log) * (tilt(name) if tilt else 1.0), best[1]
    other = OTHER.get(signs[0].sign.how_sure.split(" ")[0].strip(",;:").casefold(), OTHER["medium"])
    other = 1 - (1 - other) * min(1.0, 0.25 + signs[0].strength)
    total = sum(scores.values()) or 1.0
    weighed = [Weighed(name, round((1 - other) * score / total, 3), speaks[name]) for name, score in scores.items()]
    weighed.sort(key=lambda one: (-one.probability, one.name))
    return weighed, other
