"""Species, plants, agents, stages and instars in a line, with few typos mended."""

from __future__ import annotations

import re
from collections.abc import Iterator

from nurserytui.language import numbers
from nurserytui.language.normalise import said, stem
from nurserytui.language.ordinary import (
    CALLING,
    DESCRIBING,
    EVENT_WORDS,
    EVERYDAY,
    HEADS,
    NAME_ENDINGS,
    NAME_HEADS,
    NOT_PREFIXES,
    ORDINARY,
    PLANT_PARTS,
    STAGES,
    THINGS,
    ordinary,
)
from nurserytui.language.reading import Proposal, Reading
from nurserytui.language.vocabulary import LONGEST_NAME, Entry, Name

_COLOURS = frozenset("orange squash violet plum lime rose lilac lavender olive mustard cherry lemon mint peach apricot".split())
"""Plants that are colours (or tastes) too: read as plants only where the words around them say so."""
_ON = frozenset(
    "on onto under from off my some eat eats eating fed feed feeding fresh use uses raise raised grow growing of potted take takes taking accept "
    "accepts like likes try trying prefer prefers offer offered give given giving touch".split()
)
_BARE = frozenset("is are for or does do have our cut the".split())
"""Words after which such a plant is meant where no thing follows that could have its colour: `is lilac any use`."""
_INSTAR = re.compile(r"l(\d)s?|(?:instar|stage)-?(\d)|(\d)(?:st|nd|rd|th)-instar")
_LAST_INSTAR = re.compile(r"(?:last|final|ultimate)-instars?")
_INSTAR_WORDS = ("instar", "instars", "instr", "instare")
_PETS = frozenset("dog dogs pet pets kitten kittens vet puppy".split())
_STAGE_STEMS = {stem(word): stage for word, stage in STAGES.items()} | dict(STAGES)


def proposals(line: Reading) -> Iterator[Proposal]:
    """Every name, stage and instar of the line."""
    yield from _instars(line)
    yield from _stages(line)
    yield from _names(line)
    yield from _unknown_species(line)


def _names(line: Reading) -> Iterator[Proposal]:
    names = line.vocabulary.names
    for first in range(len(line)):
        yield from _from(line, first, line.keys, 1.0, None)
    for place in range(len(line)):
        for better in names.mend(line.keys[place]):
            words = [*line.keys]
            words[place] = better
            for other in range(max(0, place - LONGEST_NAME), min(len(line), place + LONGEST_NAME)):
                if other != place and (mended := names.mend(line.keys[other])):
                    words[other] = mended[0]
            sure = 0.9 if len(better) > 6 else 0.8
            for first in range(max(0, place - LONGEST_NAME + 1), place + 1):
                yield from _from(line, first, words, sure, place)
            if better in _STAGE_STEMS:
                yield Proposal(place, place, "stage", _STAGE_STEMS[better], 4, sure)
    strange = [_strange(word, names) for word in line.keys]
    for first in range(len(line) - 1):
        for length in (3, 2):
            said = line.keys[first : first + length]
            if len(said) == length and all(said) and any(strange[first : first + length]):
                meant = names.near(said)
                if meant:
                    words = [*line.keys[:first], *meant, *line.keys[first + length :]]
                    yield from _from(line, first, words, 0.7, first + length - 1)


def _strange(word: str, names) -> bool:
    """A word that is no ordinary one, stands in no name and is not mended by itself."""
    if len(word) < 3 or not word.isalpha() or ordinary(word) or word in STAGES or word in EVENT_WORDS or word in names.words:
        return False
    return not names.mend(word)


def _from(line: Reading, first: int, words: list[str], sure: float, needed: int | None) -> Iterator[Proposal]:
    """The longest name that begins at `first` (and holds the mended word `needed`)."""
    for length in range(min(LONGEST_NAME, len(line) - first), 0, -1):
        last = first + length - 1
        if needed is not None and not first <= needed <= last:
            continue
        initial = len(words[first]) == 1
        if any(place in line.clauses for place in range(first + initial, last)) or (initial and not _abbreviated(line, first)):
            continue
        if length == 1 and len(words[first]) < 3 and not line.raw[first].isupper() and words[first] not in ("oe", "bt"):
            continue
        entry = line.vocabulary.names.find(words[first : last + 1])
        if entry is None or _describes(line, first, last):
            continue
        if length > 1 and _counts_as_stage(line, last) and _same(entry, line.vocabulary.names.find(words[first:last])):
            continue
        name = _meant(line, first, last, entry)
        if name is None:
            continue
        last = _with_kind(line, _with_moth(line, last, name), name)
        yield Proposal(
            first, last, name.kind, line.vocabulary.named(said(line.text, line.tokens, first, last), name, sure), 3, sure
        )
        return


def _abbreviated(line: Reading, at: int) -> bool:
    """Whether a single letter is the short form of a genus: `P. polyxenes`."""
    end = line.tokens[at].end
    return line.text[end : end + 1] == "." or line.raw[at].isupper() and line.raw[at] not in ("A", "I")


def _counts_as_stage(line: Reading, at: int) -> bool:
    """Whether the last word of a longer name tells the stage: any but `moth` and `butterfly`, and those where they are plural and
    no other stage is spoken of."""
    word = line.words[at]
    if STAGES.get(word, "adult") != "adult":
        return True
    others = any(other != at and STAGES.get(line.words[other]) for other in range(len(line)))
    return word in ("butterflies", "moths") and not others


def _same(entry: Entry, shorter: Entry | None) -> bool:
    """Whether a name without its last word (`monarch` of `monarch caterpillar`) usually means the same."""
    return shorter is not None and shorter.names[0].means[0] == entry.names[0].means[0]


def _describes(line: Reading, first: int, last: int) -> bool:
    """Words that only describe: `small white oval`, `with an orange tip`, the colour in `a white egg`, `cotton wool`."""
    words, after = line.words[first : last + 1], line.word(last + 1)
    if all(stem(word) in EVERYDAY for word in words) and _everyday(line, first, last):
        return True
    if not all(stem(word) in ORDINARY for word in words):
        return False
    if after in THINGS and last not in line.clauses:
        return not words[-1].endswith("s")
    if len(words) == 1:
        return words[0] in ("white", "blue", "brown", "yellow", "black") or (
            words[0] == "cotton" and after in ("wool", "bud", "buds", "pad", "pads", "swab", "ball")
        )
    return line.word(first - 1) in ("a", "an") and line.word(first - 2) in ("with", "has", "had", "have")


def _everyday(line: Reading, first: int, last: int) -> bool:
    """Words that name a butterfly too, meant as what they say every day: `on the wall`, `my sister`, `the old lady gave me`, `dash it`."""
    before, after = line.word(first - 1), line.word(last + 1)
    if (after, line.word(last + 2)) == ("came", "out"):
        return False
    if after in STAGES or after in NAME_HEADS or after in ("brown", "host", "hosts", "foodplant", "foodplants", "food", "eggs"):
        return False
    if before in ("the", "a", "an", "this", "that"):
        before = line.word(first - 2)
        if before in _PLACING:
            return True
    return before in _PLACING or before in _KIN or after in _DOING


_PLACING = frozenset(
    "on in into onto to against near behind beside by from at off under over above below along inside outside through up".split()
)
_KIN = frozenset("my our his her their your big little older younger".split())
_DOING = frozenset(
    "gave give gives brought brings handed found says said came comes room next has had is was it shelf side hung hanging".split()
)


def _meant(line: Reading, first: int, last: int, entry: Entry) -> Name | None:
    """Which kind the words are meant as where they name several: a plant beside a part of one or after `on`, else the animal."""
    kinds = {name.kind: name for name in entry.names}
    after, before = line.word(last + 1), line.word(first - 1)
    if first == last and line.words[first] in _COLOURS and "plant" in kinds:
        standing = line.words[first] != "orange" and before in _BARE and after not in THINGS and after not in STAGES
        if not (after in PLANT_PARTS or before in _ON or standing):
            return next((name for name in entry.names if name.kind != "plant"), None)
    if len(kinds) == 1:
        return entry.names[0]
    if "plant" in kinds and (after in PLANT_PARTS or before in ("on", "eat", "eats", "eating", "off", "fed")):
        return kinds["plant"]
    if "species" in kinds and (after in STAGES or "plant" not in kinds):
        return kinds["species"]
    return entry.names[0]


def _with_moth(line: Reading, last: int, name: Name) -> int:
    """`luna moth cocoon`: the word `moth` or `butterfly` is part of the name where it is single or another stage is spoken of."""
    word = line.word(last + 1)
    if name.kind != "species" or last in line.clauses or STAGES.get(word) != "adult" or word.startswith(("adult", "imag")):
        return last
    others = any(other != last + 1 and STAGES.get(line.words[other]) for other in range(len(line)))
    return last + 1 if others or not word.endswith("s") else last


def _with_kind(line: Reading, last: int, name: Name) -> int:
    """`gold rim swallowtail`: the word for its kind after a name that needs none belongs to the name."""
    kind = line.vocabulary.names.find((line.keys[last + 1],)) if last not in line.clauses and last + 1 < len(line) else None
    if name.kind != "species" or kind is None or kind.names[0].usual:
        return last
    return last + 1 if kind.names[0].kind == "species" and name.means[0] in kind.names[0].means else last


_OF_PEOPLE = frozenset(
    "club clubs society trust charity farm house centre center museum festival night evening trap traps recorder enthusiast enthusiasts "
    "keeper keepers breeder breeders man lady woman bloke guy people folk".split()
)
"""Nouns before which `moth` or `butterfly` tells of a club, a house or a person and not of an animal."""


def _stages(line: Reading) -> Iterator[Proposal]:
    pets = not _PETS.isdisjoint(line.words) or any(
        word == "cat" and line.word(at - 1) in ("my", "our", "neighbour's") for at, word in enumerate(line.words)
    )
    for at, word in enumerate(line.words):
        bare = word.replace("'", "")
        stage = STAGES.get(word) or STAGES.get(word.removesuffix("'s")) or STAGES.get(bare) or STAGES.get(bare.removesuffix("s"))
        if stage:
            if word in ("cat", "cats") and pets or line.word(at + 1) in _OF_PEOPLE and at not in line.clauses:
                continue
            if stage == "larva" and line.word(at - 1) in ("hanging", "j", "j-hanging") and not _labelled_j(line, at - 1):
                stage = "prepupa"
            yield Proposal(at, at, "stage", stage, 4)
        elif word in ("js", "j's") and not _labelled_j(line, at) and _numbered_j(line, at):
            yield Proposal(at, at, "stage", "prepupa", 4)
        elif word in ("grub", "worm") and line.word(at + 1) in ("stage", "phase"):
            yield Proposal(at, at, "stage", "larva", 4)
        elif (
            word == "j"
            and line.raw[at] in ("J", "j")
            and not (
                _labelled_j(line, at)
                and (line.word(at + 1) in STAGES or line.word(at - 2) == "many" or line.word(at - 1) == "the")
            )
        ):
            if (
                line.word(at + 1).startswith(("hang", "shape"))
                or line.word(at - 1) in ("a", "in", "the", "like")
                or "hung" in line.words
            ):
                yield Proposal(at, at, "stage", "prepupa", 4)
        elif word in _HANGING:
            yield Proposal(at, at, "stage", "prepupa", 4)
        elif "-" in word:
            parts = [STAGES.get(part) for part in word.split("-")]
            if any(parts) and word not in line.vocabulary.cohorts:
                yield Proposal(at, at, "stage", next(filter(None, parts)), 6)


_HANGING = (
    "j-hanging",
    "j-shape",
    "j-shaped",
    "j-hang",
    "j'd",
    "j'ing",
    "jing",
    "j-hooking",
    "j-hooked",
    "j-hung",
    "j-hangers",
    "j-hanger",
)


def _numbered_j(line: Reading, at: int) -> bool:
    """Whether `Js` are counted or pointed at as animals (`both of the J's`, `2 Js`); `in Js` tells how they hang."""
    before = line.word(at - 1)
    return before in ("the", "both", "my", "our", "those", "these", "of", "all") or numbers.read(line.words, at - 1) is not None


def _labelled_j(line: Reading, at: int) -> bool:
    """Whether a J is the label of a cohort that has animals, and not how larvae hang."""
    return at >= 0 and line.raw[at] in ("J", "j") and "J" in line.vocabulary.living_letters


def _instars(line: Reading) -> Iterator[Proposal]:
    """`L5`, `5th instar`, `third instar`, `instar 5`, `last instar` (-1), and bare ordinals."""
    for at, word in enumerate(line.words):
        match = _INSTAR.fullmatch(word)
        if match and not (line.word(at - 1) in ("as", *CALLING) and line.word(at + 1) not in STAGES):  # `split 6 off as L2`
            yield Proposal(at, at, "instar", int(match[1] or match[2] or match[3]), 2)
            continue
        if word in _INSTAR_WORDS and at not in line.clauses:
            after = line.word(at + 1)
            value = int(after) if after.isdigit() and len(after) == 1 else numbers.WORDS.get(after)
            if value and value < 10 and numbers.ordinal(line.word(at - 1)) is None:
                yield Proposal(at, at + 1, "instar", value, 2)
        value = numbers.ordinal(word)
        following = line.word(at + 1)
        if value and following in _INSTAR_WORDS:
            yield Proposal(at, at + 1, "instar", value, 2)
        elif word in ("last", "final", "ultimate") and following in _INSTAR_WORDS:
            yield Proposal(at, at + 1, "instar", -1, 2)
        elif _LAST_INSTAR.fullmatch(word):
            yield Proposal(at, at, "instar", -1, 2)
        elif value and (word[0].isdigit() or _counting(line, at, word)):
            yield Proposal(at, at, "ordinal", value, 6)


def _counting(line: Reading, at: int, word: str) -> bool:
    """Whether a spelled ordinal is one: `the third`, `second instar`; `first` and a lone `second` are mostly not."""
    if word == "first":
        return line.word(at + 1) in ("stage",)
    if word == "second" and (line.word(at - 1) in ("a", "per", "one") or line.word(at - 1).isdigit()):
        return False
    return line.word(at - 1) in ("the", "my", "their", "its", "to", "into", "in") or line.word(at + 1) in STAGES


def _unknown_species(line: Reading) -> Iterator[Proposal]:
    """`blue glimmerwing caterpillar`, `frumple moths`: a word that is neither ordinary nor describing, right before the noun of an
    animal, names a species that nobody here knows."""
    for at, word in enumerate(line.words):
        head = line.word(at + 1) if at not in line.clauses else ""
        before_head = head in STAGES or head in NAME_HEADS
        coined = word.endswith(NAME_ENDINGS) and (before_head or len(word) >= 9)
        if not (before_head or coined) or not word.isalpha() or len(word) < 4:
            continue
        if ordinary(word) or word in STAGES or word in EVENT_WORDS or word in HEADS or word in NAME_HEADS:
            continue
        if not coined and (word.endswith(DESCRIBING) or word.startswith(NOT_PREFIXES)):
            continue
        names = line.vocabulary.names
        if (
            stem(word) in names.words
            or names.find((line.keys[at],))
            or names.mend(line.keys[at])
            or word in line.vocabulary.cohorts
        ):
            continue
        if (head and names.find(line.keys[at : at + 2])) or numbers.read(line.words, at) or numbers.ordinal(word):
            continue
        last = at + 1 if head in NAME_HEADS and STAGES.get(head) is None else at
        yield Proposal(at, last, "unknown-species", said(line.text, line.tokens, at, last), 4)
