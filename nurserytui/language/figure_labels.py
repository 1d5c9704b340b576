"""Labels that are numbers (`12`, `14b`): where in a line such a number is the cohort, and where it counts, measures or is a new label."""

from __future__ import annotations

import re
from collections.abc import Iterator

from nurserytui.language import numbers
from nurserytui.language.letters import AFTER_MANY, ASKING
from nurserytui.language.normalise import said
from nurserytui.language.ordinary import COHORT_WORDS, EVENT_WORDS, HEADS, STAGES
from nurserytui.language.reading import Proposal, Reading

OUT_OF = frozenset("of from off for in about regarding re".split())
"""Words behind which a bare number is the cohort, where no noun follows it."""
CARED = frozenset(
    "fed feed checked check tested test cleaned counted watered misted sprayed rename renamed merge merged split".split()
)
"""What is done to a cohort as a whole: so many animals are not named without their noun there."""
ONE = frozenset("has was is lost looks seems got 's".split())
"""Verbs in the singular: a number before them is called so."""
LOOKED_UP = frozenset("history where wheres where's status card page age survival headcount forecast stage".split())
JOINING = frozenset("and or & + n plus".split())
COUNTING_ON = frozenset("of more other others additional extra".split())
NEW = frozenset("as into to called named name call label labelled labeled -> cohort group batch start".split())
"""Words that a new label may stand behind."""
MEASURED = frozenset("c f g l m h d w s x k a p".split())
"""Letters that are units or times behind a number."""


def spoken(line: Reading, at: int) -> Proposal | None:
    """`moth twenty six` where there is a cohort moth-26."""
    said_number = numbers.in_words(line.words, at + 1) if at + 1 < len(line) and at not in line.clauses else None
    if said_number is None or not line.word(at).isalpha():
        return None
    last, value = said_number
    label = line.vocabulary.cohort([line.word(at), str(value)])
    return Proposal(at, last, "cohort", label, 0, 0.9) if label else None


def cohort_meant(line: Reading, at: int, cued: bool = False) -> bool:
    """Whether the number at a place, which is the label of a cohort, means that cohort; `cued` where the word `cohort` leads to it."""
    before = line.word(at - 1) if at - 1 not in line.clauses else ""
    after = line.word(at + 1) if at not in line.clauses else ""
    if line.attached(at) or (at + 1 < len(line) and line.attached(at + 1) and line.word(at + 1) not in ("'s", "s")):
        return False
    if cued or before in COHORT_WORDS or len(line) == 1:
        return True
    if after in COUNTING_ON or _named_next(line, at):
        return False
    if _number(before) and line.word(at - 2) not in line.vocabulary.own_heads | HEADS:
        return True
    if _label(line, at + 2) and after in JOINING or _label(line, at - 2) and before in JOINING:
        return True
    noun = after in STAGES
    if before in OUT_OF:
        return not noun or before not in ("in", "for", "about")
    opens = at == 0 or at - 1 in line.clauses
    if opens and after != "" and (after in ONE or _number(after) or _number(line.word(at + 2)) and not noun):
        return True
    if opens and (at in line.clauses or re.match(r"\s*[-–—:]", line.text[line.tokens[at].end :])) and at == 0:
        return True
    if before in CARED and not noun:
        return True
    return _asked(line, at, before, after, noun)


def single(line: Reading, at: int, cued: bool) -> Proposal | None:
    """A cohort of one figure."""
    label = line.vocabulary.letters.get(line.raw[at])
    return Proposal(at, at, "cohort", label, 0) if label and cohort_meant(line, at, cued) else None


def _asked(line: Reading, at: int, before: str, after: str, noun: bool) -> bool:
    """Whether a question is about the cohort of that number: not where it says how many there are (`will 12 larvae fit`)."""
    if before == "many" or (at == 0 and line.text.rstrip().endswith("?")):
        return True
    first = line.word(0)
    if first not in ASKING and first not in LOOKED_UP:
        return False
    if noun:
        return first in ("when", "where", "what", "who", "did")
    return after == "" or after in EVENT_WORDS or after in AFTER_MANY or before in ASKING


def _number(word: str) -> bool:
    return numbers.figure(word) is not None or word in numbers.WORDS


def _label(line: Reading, at: int) -> bool:
    """Whether the token is a label of the records, or begins one of figures and a letter."""
    if not 0 <= at < len(line):
        return False
    glued = line.word(at) + (line.word(at + 1) if at + 1 < len(line) and line.attached(at + 1) else "")
    return bool(line.raw[at] in line.vocabulary.letters or line.vocabulary.cohort([glued]))


def _named_next(line: Reading, at: int) -> bool:
    """Whether animals are named behind a number by their species or another label (`12 queen eggs`, `12 fennel-2 larvae`)."""
    if at in line.clauses or _label(line, at + 1):
        return at not in line.clauses and not _number(line.word(at - 1))
    for length in (3, 2, 1):
        entry = line.vocabulary.names.find(line.keys[at + 1 : at + 1 + length])
        if entry:
            return entry.names[0].kind == "species"
    return False


def further(line: Reading, found: Proposal) -> Iterator[Proposal]:
    """`batch 1 and 2`: the further numbers behind a cohort that is called by a word and a number."""
    head = str(found.value).casefold().rpartition(" ")[0]
    last = found.last
    while head in COHORT_WORDS and line.word(found.first) in (head, f"{head}s", f"{head}es"):
        place = last + 2 if line.word(last + 1) in JOINING else last + 1 if last in line.clauses else 0
        label = line.vocabulary.cohort([head, line.word(place)]) if place and line.word(place).isdecimal() else None
        after = line.word(place + 1)
        if not label or after in COUNTING_ON | COHORT_WORDS | STAGES.keys() and place not in line.clauses:
            return
        yield Proposal(place, place, "cohort", label, 0)
        last = place


def several(line: Reading, at: int) -> Proposal | None:
    """`batches 1`, where a cohort is called `batch 1`."""
    word = line.word(at)
    head = next((one for one in COHORT_WORDS if word in (f"{one}s", f"{one}es")), "")
    label = line.vocabulary.cohort([head, line.word(at + 1)]) if head else None
    return Proposal(at, at + 1, "cohort", label, 0) if label else None


def lettered(line: Reading, at: int) -> Proposal | None:
    """`12b`, the label of no cohort yet: where a label is given, or where the keeper's labels are of that kind."""
    word, letter = line.word(at), line.word(at + 1)
    if not (word.isdecimal() and len(word) < 4 and len(letter) == 1 and letter.isalpha() and line.attached(at + 1)):
        return None
    if line.vocabulary.cohort([word + letter]):
        return None
    of_the_kind = any(re.fullmatch(rf"{word}[a-z]?", label) for label in (*line.vocabulary.cohorts, *line.vocabulary.letters))
    if letter in MEASURED and not (of_the_kind and line.word(at - 1) in NEW) or not (of_the_kind or line.word(at - 1) in NEW):
        return None
    return Proposal(at, at + 1, "unknown-cohort", said(line.text, line.tokens, at, at + 1), 1)
