"""Which recorded signs a keeper's words show, and how strongly; what several signs together make of their causes."""

import math
import re
from functools import cache, lru_cache
from typing import NamedTuple

from rapidfuzz import fuzz

from nurserytui.biology.diagnosis import Evidence, weigh

WORD = re.compile(r"[a-z0-9]+(?:'[a-z]+)?")
SPELLING = (
    ("gray", "grey"),
    ("color", "colour"),
    ("molt", "moult"),
    ("catapil", "caterpil"),
    ("crysalis", "chrysalis"),
    ("yellow jacket", "yellowjacket"),
    ("threw up", "vomit"),
    ("throw up", "vomit"),
    ("throwing up", "vomit"),
    ("thrown up", "vomit"),
    ("haven't", "hasn't"),
    ("didn't move", "hasn't move"),
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
    "maggot",
    "rattl",
    "vomit",
    "flat",
    "deflat",
    "lifeless",
    "brown and shiny",
    "black and shiny",
    "hole",
)
"""Words that do not go with healthy development, unless they are part of the sign itself."""
DENIALS = {"no", "not", "without", "never", "isn't", "isnt", "aren't", "arent", "wasn't", "wasnt", "nor"}
FAMILIES = (
    ("vomit", "puke", "puki", "spew", "barf", "regurgitat", "spit"),
    ("frass", "dropping", "poo", "poop", "poos", "turd"),
    ("twitch", "jerk", "spasm", "convuls", "writh", "thrash", "seizure"),
    ("limp", "floppy", "flopp", "flaccid", "droop", "sagg", "noodle"),
    ("mush", "goo", "gooey", "squish", "squidg", "liquef", "soup", "slush", "pulp"),
    ("smell", "stink", "stank", "stench", "reek", "putrid", "rotten", "rotting"),
    ("ooz", "leak", "drip", "seep", "weep"),
    ("crumpl", "crinkl", "wrinkl", "scrunch", "shrivel"),
    ("mould", "mold", "fuzz", "fluff", "furry"),
    ("missing", "vanish", "disappear"),
    ("fell", "fallen", "falls", "dropped", "detach", "unattach"),
    ("wiggl", "wriggl", "jiggl", "squirm", "jump", "wobbl"),
    ("maggot", "grub"),
    ("shrink", "shrunk", "shrank"),
    ("died", "dead", "dying", "dies"),
    ("blotch", "splotch", "smudge", "patch"),
    ("bum", "butt", "rear", "backside", "bottom"),
    ("store", "shop", "nursery", "supermarket", "garden centre"),
    ("motionless", "unmoving", "stationary", "immobile"),
    ("thread", "string", "strand", "cord", "yarn"),
    ("dangl", "hang", "suspend"),
    ("tiny", "teeny", "minuscule", "weeny", "itty", "itsy"),
    ("wander", "roam", "racing", "marching", "pacing", "laps", "explor", "walking", "zoom", "charging"),
    ("puddle", "splat", "splatter", "splash", "squirt"),
    ("huge", "enormous", "massive"),
    ("speck", "fleck", "freckle", "peppered"),
    ("bleed", "bled"),
    ("ripped", "torn", "tatter", "shredded"),
    ("shiver", "trembl", "vibrat", "quiver", "shudder"),
    ("swollen", "bloat", "puffed", "puffy", "engorged"),
    ("stunt", "runt", "dwarf"),
    ("odour", "odor"),
)
"""Word stems that keepers use for one another: a sign that lists one of them is met by all."""
KIN = {stem: family for family in FAMILIES for stem in family}
MISLEADING = {
    "lightly": "light",
    "hardly": "hard",
    "nearly": "near",
    "antenna": "ant",
    "antennae": "ant",
    "yellowjacket": "yellow",
    "yellowjackets": "yellow",
}
"""Words that begin with a stem and mean something else."""
NEIGHBOURS = {"larva": ("prepupa",), "prepupa": ("larva", "pupa"), "pupa": ("prepupa",), "egg": (), "adult": ("pupa",)}
NEXT_STAGE = 0.55
"""How far a sign of the next or the last stage counts for a stage that was named."""
UNSAID_EGG = 0.6
"""How far a sign of an egg counts where no stage is named: who means an egg says so."""
CALLED_LARVA = 0.7
"""The same for a prepupa, which keepers call a caterpillar."""
CLAUSE = "|"
"""Stands among the words where a clause ends: a denial does not reach over it."""
BREAKS = re.compile(r"[,;:!?]|\.(?=\s|$)| but (?=[a-z])")
ACTS = re.compile(r".*(?:ing|ed)$|^(?:eat|move|feed|grow|hang|hold|drink|poop?|climb|walk|seen?|know|sure)$")
"""Words that take a denial to themselves (`not moving limp` does not say that it is not limp)."""
LOOKING = {"looking", "being", "smelling", "feeling", "showing", "going", "getting", "turning"}
FAINT = 0.5
"""The least strength at which a sign is reckoned with, where its chief feature is shown and nothing clearer is."""
WHOLE = 0.75
"""The strength from which a sign counts although its chief feature is not among what is shown."""
OTHER = {"high": 0.1, "medium": 0.22, "low": 0.4}
"""The share kept for causes not listed, by how sure the sign is."""


EARLIER = 0.5
"""How far a sign written down before counts beside what is seen now."""


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


def kin(stem: str) -> tuple[str, ...]:
    """The stem and those that keepers use for it."""
    return KIN.get(stem) or (stem,)


def clauses_of(text: str) -> list[str]:
    """The words, with `CLAUSE` where a comma, a stop or a `but` ends a clause."""
    return re.findall(rf"{WORD.pattern}|\{CLAUSE}", BREAKS.sub(f" {CLAUSE} ", tidy(text)))


@cache
def stems_of(alternative: str) -> tuple[str, ...]:
    """The stems of a sign's or rule's phrase: kept, since every line is held against the same few thousand."""
    return tuple(WORD.findall(tidy(alternative)))


def says(alternative: str, words: list[str]) -> str:
    """The words of the line that say `alternative` (a stem or a phrase of stems), "" where none does."""
    parts = stems_of(alternative)
    if not parts:
        return ""
    if len(parts) > 1:
        for at in range(len(words) - len(parts) + 1):
            piece = words[at : at + len(parts)]
            if all(like(stem, word) for stem, word in zip(parts, piece)):
                return " ".join(piece)
        return ""
    stems = kin(parts[0])
    for at, word in enumerate(words):
        if any(like(stem, word) for stem in stems) and (parts[0] in DENIALS or not denied(words, at)):
            return word
    return ""


def beginnings(words: list[str]) -> frozenset[str]:
    """The first one, two and three letters of every word, and `n't` where one ends so."""
    ends = {"n't"} if any(word.endswith("n't") for word in words) else set()
    return frozenset({word[:count] for word in words for count in (1, 2, 3)} | ends)


def may_say(alternative: str, begin: frozenset[str]) -> bool:
    """Whether a line with these beginnings can say `alternative` at all: most signs are passed over by this."""
    parts = stems_of(alternative)
    if not parts:
        return False
    stems = parts[:1] if len(parts) > 1 else kin(parts[0])
    return any(
        stem[:3] in begin or (len(stem) > 5 and stem[0] in begin) or ("n't" in begin and (stem == "not" or stem.endswith("n't")))
        for stem in stems
    )


def denied(words: list[str], at: int) -> bool:
    """`no`, `not` … right before the word, or with one word between (`no pale patch`); `not limp or smelly` denies both."""
    if at >= 2 and words[at - 1] in ("or", "nor") and denied(words, at - 2):
        return True
    if at >= 1 and _denies(words[at - 1]):
        return True
    between = words[at - 1] if at >= 1 else CLAUSE
    if between == CLAUSE or (ACTS.match(between) and between not in LOOKING):
        return False
    return at >= 2 and _denies(words[at - 2])


def _denies(word: str) -> bool:
    return word in DENIALS or word.endswith("n't")


def says_not(alternative: str, words: list[str]) -> bool:
    """The words deny `alternative` (`no smell`, `not limp`) and nowhere say it."""
    parts = stems_of(alternative)
    if len(parts) != 1 or parts[0] in DENIALS or says(alternative, words):
        return False
    stems = kin(parts[0])
    return any(any(like(stem, word) for stem in stems) and denied(words, at) for at, word in enumerate(words))


@lru_cache(maxsize=100_000)
def like(stem: str, word: str) -> bool:
    """The word begins with the stem (`move`: moves, moving), or is a long word with one slip of the pen."""
    if word.endswith("n't") and (stem == "not" or stem.endswith("n't")):
        return True
    if stem.endswith("e") and len(stem) > 3 and word == f"{stem[:-1]}ing":
        return True
    if word.startswith(stem):
        return MISLEADING.get(word) != stem and (len(stem) > 3 or len(word) - len(stem) <= 2)
    return len(stem) >= 6 and len(word) >= 5 and stem[0] == word[0] and fuzz.ratio(stem, word[: len(stem) + 1]) >= 84


def shown(text: str, signs, stages: tuple[str, ...] = ()) -> list[Shown]:
    """The signs that a line shows, most telling first. With `stages`, signs of another stage only count where it is the next."""
    words = clauses_of(text)
    begin = beginnings(words)
    denies = any(_denies(word) for word in words)
    heard: dict[str, str] = {}  # many signs share their phrases
    for phrase in {word for sign in signs for group in sign.words for word in group}:
        if may_say(phrase, begin) and (said := says(phrase, words)):
            heard[phrase] = said
    matched = {}
    spread: dict[str, int] = {}
    for sign in signs:
        hits = told_apart([[heard[word] for word in group if word in heard] for group in sign.words])
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
        if sign.normal and any((word := says(stem, words)) and not part_of(sign, word) for stem in ALARM):
            near *= 0.6
        telling = [math.log(1 + count / spread[hit]) for hit in dict.fromkeys(hits) if hit]
        against = denials(sign, words) if denies else 0
        strength = max(0, sum(1 for hit in hits if hit) - against) / len(hits) * near
        if strength:
            found.append(Shown(sign, strength, bool(hits[0]), strength * sum(telling) * near))
    found.sort(key=lambda one: (-one.weight, one.sign.id))
    return found


def part_of(sign, word: str) -> bool:
    return any(says(alternative, [word]) for group in sign.words for alternative in group)


def denials(sign, words: list[str]) -> int:
    """How many groups of the sign the words deny: none of it said, one of it said not to be."""
    return sum(
        1 for group in sign.words if not any(says(word, words) for word in group) and any(says_not(word, words) for word in group)
    )


def absent(text: str, signs, stages: tuple[str, ...] = ()) -> list[Shown]:
    """The signs that a line says are not there, by how much of each it denies; healthy signs are left out."""
    words = clauses_of(text)
    if not any(_denies(word) for word in words):
        return []
    found = []
    for sign in signs:
        near = stage_factor(sign.stage, stages)
        if near and not sign.normal and (against := denials(sign, words)):
            share = against / len(sign.words) * near
            found.append(Shown(sign, share, False, share))
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
    if stage in stages:
        return 1.0
    if not stages:
        return UNSAID_EGG if stage == "egg" else 1.0
    if stage == "prepupa" and "larva" in stages:
        return CALLED_LARVA
    return NEXT_STAGE if any(stage in NEIGHBOURS.get(said, ()) for said in stages) else 0.0


def enough(signs: list[Shown], floor: float = 0.6) -> list[Shown]:
    """The signs to reckon with: the most telling one, and those nearly as telling; none where even the best is too faint."""
    clear = [one for one in signs if one.strength >= floor and (one.leads or (floor > FAINT and one.strength >= WHOLE))]
    return [one for one in clear if one.weight >= 0.7 * clear[0].weight][:3] if clear else []


def causes(signs: list[Shown], tilt=None, missing=(), before=()) -> tuple[list[Weighed], float]:
    """Causes with their probabilities, likeliest first, and the share left for causes not listed.

    `signs` are shown now, `missing` are said to be absent, `before` are groups of signs written down earlier on the same animals.
    Bayes over all of them (biology.diagnosis): a sign counts as far as it was clearly shown. `tilt(name)` is the prior of a cause.
    """
    evidence, speaks = [], {}
    for group, faded in [(signs, 1.0), *((earlier, EARLIER) for earlier in before)]:
        top = group[0].weight if group else 1.0
        for one in group:
            clarity = min(1.0, one.strength * one.weight / top * faded)
            shares = {}
            for cause in one.sign.causes:
                shares[cause.name] = shares.get(cause.name, 0.0) + cause.weight
            evidence.append(Evidence(shares, clarity, unlisted(one.sign)))
            total = sum(shares.values()) or 1.0
            for name, weight in shares.items():
                speaks[name] = max(
                    speaks.get(name, (0.0, one.sign)), (weight / total * clarity, one.sign), key=lambda pair: pair[0]
                )
    if not evidence:
        return [], 1.0
    for one in missing:
        shares = {cause.name: cause.weight for cause in one.sign.causes}
        evidence.append(Evidence(shares, one.strength, present=False))
    found = weigh(evidence, {name: tilt(name) for name in speaks} if tilt else None)
    return [Weighed(name, round(share, 3), speaks[name][1]) for name, share in found.shares.items()], found.other


def unlisted(sign) -> float:
    """The share that a sign keeps for causes not listed, by how sure it is."""
    return OTHER.get(sign.how_sure.split(" ")[0].strip(",;:").casefold(), OTHER["medium"])
