"""The keeper's own labels in a line: cohorts, marks, enclosures, and words that stand where such a label should."""

from __future__ import annotations

import re
from collections.abc import Iterator

from nurserytui.language import figure_labels, numbers, proper_names, units
from nurserytui.language.label_beginnings import begun
from nurserytui.language.letters import ASKING, known_letter, possessing, unknown_letter
from nurserytui.language.listed_places import listed_behind
from nurserytui.language.normalise import said
from nurserytui.language.ordinary import (
    BARE_UNITS_AFTER,
    CALLING,
    COHORT_WORDS,
    EVENT_WORDS,
    HEADS,
    ORDINARY,
    STAGES,
    SURE_EVENT_WORDS,
    ordinary,
)
from nurserytui.language.ordinary_labels import place_meant
from nurserytui.language.reading import Proposal, Reading
from nurserytui.language.vocabulary import fold

_LABEL = re.compile(r"[^\W\d_]+(?:-[^\W\d_]+)*-\d{1,4}[a-z]?")
_MARKED = re.compile(r"([^\W\d_])(\d{1,3})")
_PRONOUNS = frozenset("it them em him her this these those they".split())
_NOT_LABELS = frozenset(
    "is was are were will that which who what of the a an and or in on at to from with for has have had do does did number my your our these "
    "those i it them they he she we you not no so then now today yesterday all one each run runs running go goes".split()
)


def proposals(line: Reading) -> Iterator[Proposal]:
    """Every label of the line."""
    at = 0
    while at < len(line):
        found = _enclosure(line, at) or _cohort(line, at) or _numbered_animal(line, at)
        if found:
            yield found
            if found.kind in ("enclosure", "unknown-enclosure"):
                yield from _more_of_the_kind(line, found)
            elif found.kind == "cohort":
                yield from figure_labels.further(line, found)
            at = found.last + 1
        else:
            at += 1


# ---------------------------------------------------------------------- enclosures


def _enclosure(line: Reading, at: int) -> Proposal | None:
    vocabulary = line.vocabulary
    for length in range(min(vocabulary.longest, len(line) - at), 0, -1):
        if any(place in line.clauses for place in range(at, at + length - 1)):
            continue
        label = vocabulary.enclosure(line.words[at : at + length])
        if label:
            if length == 1 and fold(label) in ORDINARY and not place_meant(line, at):
                continue
            return Proposal(at, at + length - 1, "enclosure", label, 0)
    word = line.word(at)
    if near := _mistyped_enclosure(line, at):
        return near
    if word in HEADS or word == "mesh" or word in vocabulary.own_heads:
        return _two_nouns(line, at) or _numbered(line, at, word)
    glued = re.fullmatch(r"([^\W\d_]+)-?(\d{1,3})", word)
    if glued and glued[1] in HEADS:
        return _labelled(line, at, at, glued[1], glued[2])
    if line.word(at - 1) in ("the", "that", "this", "my") and at not in line.clauses and line.word(at + 1) not in HEADS:
        label = vocabulary.only_enclosure(word) if word in HEADS or word in ("shed", "greenhouse", "porch") else None
        if label:
            return Proposal(at, at, "enclosure", label, 1)
    return None


PLACED = frozenset("in into inside from to of the out at on my our this that".split())
"""Words after which a mistyped word may be the label of an enclosure."""


def _mistyped_enclosure(line: Reading, at: int) -> Proposal | None:
    """`in the nroth cage`, `tall cge temp`: a label of which one word is mistyped, where an enclosure can stand."""
    placed = not at or line.word(at - 1) in PLACED or line.word(at + 1).isdigit()
    if not placed or line.word(at).isdigit() or (ordinary(line.word(at)) and ordinary(line.word(at + 1))):
        return None
    for length in range(min(line.vocabulary.longest, 4, len(line) - at), 0 if at else 1, -1):
        if any(place in line.clauses for place in range(at, at + length - 1)):
            continue
        label = line.vocabulary.near_enclosure(line.words[at : at + length])
        if label:
            return Proposal(at, at + length - 1, "enclosure", label, 1, 0.8)
    return None


def _numbered(line: Reading, at: int, noun: str) -> Proposal | None:
    """`tub 99`, `tubs 1`, `box no 7`, `cage B`; a lone noun where there is one such enclosure (`the sleeve`)."""
    place = at + 1
    while line.word(place) in ("no", "number", "nr"):
        place += 1
    label = line.word(place)
    if at not in line.clauses and label:
        value = numbers.WORDS.get(label)
        figure = label if label.isdigit() and len(label) <= 4 else str(value) if value and value <= 20 else ""
        if "," in label and all(part.isdigit() for part in label.split(",")):
            figure = label.split(",")[0]
        if figure and not (
            line.word(place + 1) in BARE_UNITS_AFTER and place not in line.clauses and not _placed_before(line, at)
        ):
            return _labelled(line, at, place, noun, figure)
        if line.capital(place) and (known := line.vocabulary.enclosure((_singular(noun), label))):
            return Proposal(at, place, "enclosure", known, 0)  # `crates A and B`
        if line.capital(place) and line.raw[place] not in ("I", "A") and noun not in ("pot", "pots", "cup", "cups"):
            following = line.word(place + 1)
            if not (line.raw[place] in line.vocabulary.letters and following in SURE_EVENT_WORDS):
                return _labelled(line, at, place, noun, line.raw[place])
    if line.word(at - 1) in ("the", "that", "this", "my"):
        only = line.vocabulary.only_enclosure(noun)
        if only:
            return Proposal(at, at, "enclosure", only, 1)
    return None


def _two_nouns(line: Reading, at: int) -> Proposal | None:
    """`net pot 2`, `mesh tub 3`: a new enclosure called by both words, unless the second alone is a known one."""
    first, second, figure = (line.word(at + step) for step in range(3))
    if second not in HEADS or first == second or not (figure.isdigit() and len(figure) < 4) or {at, at + 1} & set(line.clauses):
        return None
    if line.vocabulary.enclosure((second, figure)):
        return None
    return Proposal(at, at + 2, "unknown-enclosure", f"{first} {second} {figure}", 1)


def _placed_before(line: Reading, at: int) -> bool:
    return line.word(at - 1) in ("in", "from", "to", "into", "cleaned", "fed", "checked")


def _labelled(line: Reading, first: int, last: int, noun: str, figure: str) -> Proposal:
    """The enclosure of a noun and a number, known or new; a plural noun is made singular."""
    single = _singular(noun)
    for words in ((noun, figure), (single, figure)):
        known = line.vocabulary.enclosure(words)
        if known:
            return Proposal(first, last, "enclosure", known, 0)
    return Proposal(first, last, "unknown-enclosure", f"{single} {figure}", 1)


def _singular(noun: str) -> str:
    if noun.endswith(("xes", "shes", "ches")):
        return noun[:-2]
    return "vivarium" if noun == "vivaria" else noun[:-1] if noun.endswith("s") else noun


def _more_of_the_kind(line: Reading, found: Proposal) -> Iterator[Proposal]:
    """`tubs 1, 2 and 4`: the further numbers after a plural noun are enclosures too."""
    noun = line.word(found.first)
    if not noun.endswith(("s", "a")):
        yield from listed_behind(line, found, noun)
        return
    if noun not in HEADS:
        return
    if "," in line.word(found.last):
        for figure in line.word(found.last).split(",")[1:]:
            yield _labelled(line, found.last, found.last, noun, figure)
        return
    last = found.last
    while True:
        place = last + 1
        joined = last in line.clauses
        if line.word(place) in ("and", "or", "to", "+"):
            place, joined = place + 1, True
        label = line.word(place)
        if not joined or not (label.isdigit() and len(label) <= 4 or line.capital(place) if place < len(line) else False):
            return
        if line.word(place + 1) in STAGES or line.word(place + 1) in BARE_UNITS_AFTER:
            return
        yield _labelled(line, place, place, noun, line.raw[place] if line.capital(place) else label)
        last = place


# ---------------------------------------------------------------------- cohorts and marks


def _cohort(line: Reading, at: int) -> Proposal | None:
    word = line.word(at)
    if new := figure_labels.lettered(line, at) or figure_labels.several(line, at):
        return new
    if word in COHORT_WORDS:
        prefixed = _after_cue(line, at, at + 1)
        if prefixed:
            return prefixed
    if word in CALLING or (word in ("as", "to") and _renaming(line, at)):
        place = at + 1
        while line.word(place) in _PRONOUNS or line.word(place) in ("the", "lot", "cohort", "group", "is"):
            place += 1
        if place < len(line) and at not in line.clauses:
            found = _new_label(line, place, word == "to")
            if found:
                return found
    return _known(line, at, cued=False) or _looks_like_label(line, at)


def _after_cue(line: Reading, first: int, at: int) -> Proposal | None:
    """The label after the word `cohort`: known, or standing where a label should."""
    if first in line.clauses and ":" not in line.text[line.tokens[first].end : line.tokens[first].end + 2]:
        return None
    if line.word(at) in ("called", "named", "labelled", "labeled", "label"):
        at += 1
    if at >= len(line):
        return None
    known = _known(line, at, cued=True)
    if known and known.kind == "mark" and known.value[1] not in line.vocabulary.marks.get(known.value[0], ()):
        known = None  # `cohort B2`
    if known := known or figure_labels.lettered(line, at):
        return known._replace(first=first)
    word = line.word(at)
    if word in _NOT_LABELS and not line.capital(at):
        return None
    if word in STAGES or word in EVENT_WORDS or (word in ORDINARY and not line.capital(at)):
        return None
    if line.vocabulary.names.find((line.keys[at],)):
        return None
    if not (word[0].isalpha() or _LABEL.fullmatch(word)) or len(word) > 40:
        return None
    return Proposal(first, at, "unknown-cohort", said(line.text, line.tokens, at, at), 1)


def _renaming(line: Reading, at: int) -> bool:
    """Whether `as` or `to` gives a label: after `rename`, `split`, `merge`, `known`."""
    before = line.words[max(0, at - 8) : at]
    if line.word(at) == "to":
        return any(word in ("rename", "renamed", "relabel", "relabelled") for word in before)
    return any(word in ("rename", "renamed", "split", "known", "off", "relabel", "recorded", "log", "logged") for word in before)


def _new_label(line: Reading, at: int, certain: bool) -> Proposal | None:
    """A label just given: a capital letter, a word with figures, or a word that is no ordinary one and no name. Where nothing but a
    label can stand (`certain`, after `rename … to`) an ordinary word will do."""
    known = _known(line, at, cued=True)
    if known:
        return known
    word = line.word(at)
    if line.capital(at) or _LABEL.fullmatch(word):
        return Proposal(at, at, "unknown-cohort", said(line.text, line.tokens, at, at), 1)
    taken = word in STAGES or word in EVENT_WORDS or word in _NOT_LABELS or word in HEADS
    if taken or (word in ORDINARY and not certain) or not word[0].isalpha():
        return None
    if line.vocabulary.names.find((line.keys[at],)) or units.read(line.words, at):
        return None
    return Proposal(at, at, "unknown-cohort", said(line.text, line.tokens, at, at), 1)


def _known(line: Reading, at: int, cued: bool) -> Proposal | None:
    """A label of the records, or a mark of one (`C4`, where there is no cohort of that label)."""
    vocabulary = line.vocabulary
    glued = line.word(at) + line.word(at + 1) if at + 1 < len(line) and line.attached(at + 1) else ""
    if glued[:1].isdigit() and (label := vocabulary.cohort([glued])):
        return Proposal(at, at + 1, "cohort", label, 0)  # `23b`, which reads like a number with its unit
    for length in range(min(4, len(line) - at), 0, -1):
        if any(place in line.clauses for place in range(at, at + length - 1)):
            continue
        words = line.words[at : at + length]
        label = vocabulary.cohort(words)
        if label and proper_names.suits(line, at, at + length - 1, words, cued):
            return Proposal(at, at + length - 1, "cohort", label, 0)
    if spoken := figure_labels.spoken(line, at):
        return spoken
    if len(line.raw[at]) == 1:
        return known_letter(line, at, cued) if not line.raw[at].isdecimal() else figure_labels.single(line, at, cued)
    if found := possessing(line, at):
        return found
    if label := begun(line, at):
        return Proposal(at, at, "cohort", label, 0, 0.9)
    several = line.word(at).removesuffix("s").removesuffix("'")
    if several != line.word(at) and several[-1:].isdigit() and (label := vocabulary.cohort([several])):
        return Proposal(at, at, "cohort", label, 0)  # `3 of the dill-25s`
    if line.word(at) == "before":  # written `b4`
        return None
    match = _MARKED.fullmatch(line.raw[at]) or _MARKED.fullmatch(line.raw[at].removesuffix("s").removesuffix("'"))
    if match:
        letter = match[1] if match[1] in vocabulary.letters else match[1].upper()
        label = vocabulary.letters.get(letter)
        if label and (match[1].isupper() or match[1] not in "lc" or match[2] in vocabulary.marks.get(label, ())):
            if (match[1].upper() == "L" or line.raw[at] == "b4" and at) and match[2] not in vocabulary.marks.get(label, ()):
                return None  # an instar, or `before`
            return Proposal(at, at, "mark", (label, match[2]), 0)
    stem = vocabulary.stems.get(line.word(at))
    named = stem and (ordinary(line.word(at)) or vocabulary.names.find((line.keys[at],)))
    if stem and not named and at not in line.clauses and line.word(at + 1) in STAGES:
        return Proposal(at, at, "cohort", stem, 1, 0.9)  # `the first moon egg`
    if not cued and line.word(at - 1) not in CALLING and line.word(at - 1) not in COHORT_WORDS:
        near = vocabulary.near_cohort(line.word(at)) or proper_names.near(line, at)
        if near:
            return Proposal(at, at, "cohort", near, 1, 0.8)
    return None


def _numbered_animal(line: Reading, at: int) -> Proposal | None:
    """`animal 4 of cohort B`, `number 4 of B`."""
    if line.word(at) not in ("animal", "number", "no", "caterpillar", "larva", "egg") or not line.word(at + 1).isdigit():
        return None
    if line.word(at + 2) not in ("of", "from", "in"):
        return None
    place = at + 4 if line.word(at + 3) in COHORT_WORDS else at + 3
    if place >= len(line):
        return None
    known = _known(line, place, cued=line.word(at + 3) in COHORT_WORDS or line.capital(place))
    if known and known.kind == "cohort":
        return Proposal(at, known.last, "mark", (known.value, line.word(at + 1)), 0)
    return None


def _looks_like_label(line: Reading, at: int) -> Proposal | None:
    """`zulu-9`, or `Q7` typed as a label is typed: nothing known, yet nothing else either."""
    word, raw = line.word(at), line.raw[at]
    if _LABEL.fullmatch(word):
        stem = word.split("-")[0]
        return (
            None
            if stem in HEADS or stem in ("instar", "l", "stage", "day", "covid")
            else Proposal(at, at, "unknown-cohort", raw, 2)
        )
    if unknown_letter(line, at):
        return Proposal(at, at, "unknown-cohort", raw, 2)
    if re.fullmatch(r"[A-Z]\d{1,3}", raw) and not re.fullmatch(r"L[1-9]", raw) and raw[0] in line.vocabulary.letters | {"C": ""}:
        return Proposal(at, at, "unknown-cohort", raw, 2)
    if re.fullmatch(r"[A-KM-Z]\d{1,3}", raw) and (line.word(at + 1) in EVENT_WORDS or line.word(at - 1) in ASKING):
        return Proposal(at, at, "unknown-cohort", raw, 2)
    return None
