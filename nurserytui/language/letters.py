"""Single letters in a line that are the labels of cohorts, and those that are words, scales of a thermometer or stages."""

from __future__ import annotations

import re

from nurserytui.language import numbers
from nurserytui.language.counted_letters import does
from nurserytui.language.ordinary import COHORT_WORDS, EVENT_WORDS, STAGES, SURE_EVENT_WORDS
from nurserytui.language.reading import Proposal, Reading
from nurserytui.language.record_words import PLURAL_STAGES
from nurserytui.language.scale_letters import in_a_scale

ASKING = frozenset("when will did does do is are was were has have can could should how what where who".split())
AFTER_MANY = frozenset("are is have do does and or eggs larvae caterpillars pupae adults left there now".split())
_TOLD_OF = frozenset(
    "history happened survival eggs larvae caterpillars prepupae pupae chrysalises adults animals many any headcount deaths age rest card page".split()
)
"""Words after which `of` or `to` with a letter is about a cohort."""
_HEADS_OF = frozenset("due history headcount survival forecast eta status 2nd 3rd 4th 5th instar overdue".split())
"""Words right after the label that a short line begins with (`Q due when`)."""
HEADLINE = 5
"""Words that such a line has at most."""
_TO_BE = frozenset("due late overdue ready be".split())
_COUNTED = frozenset("survival headcount mortality deaths losses history".split())
"""What no article stands in front of where nothing of it is said behind it (`A survival`)."""
_NO_NOUN = frozenset(
    "please too now again today yesterday tomorrow tonight and or gonna will is was are were has have had did does do in to from on at into "
    "still yet a an the ok okay then so but with until till by before for".split()
)
"""Words no noun phrase goes on with after its article: before them a capital A is a label."""
_BEHIND_A_NAME = frozenset("to into from in on at is was were are has had did does will gonna and until till ok okay".split())
"""Those of them that tell it of the first word of a line too (`A to tub 9`, but `A still caterpillar`)."""


def known_letter(line: Reading, at: int, cued: bool) -> Proposal | None:
    """A single letter as a cohort, where such a cohort exists and the words around it suit; never the article or the pronoun."""
    letter, word = line.raw[at], line.word(at)
    upper = letter.upper()
    label = line.vocabulary.letters.get(letter) or line.vocabulary.letters.get(upper)
    if label is None or (line.attached(at) and line.word(at - 1)[-1:].isdigit()):
        return None
    found = Proposal(at, at, "cohort", label, 1)
    before, after = line.word(at - 1), line.word(at + 1)
    apart = at - 1 not in line.clauses
    if upper in "CF" and before in ("to", "in", "into", "as") and of_degrees(line, at - 2):
        return None
    if upper in "CF" and before == "in" and in_a_scale(line, at):
        return None
    if upper in "CF" and before in ("many", "much") and after in ("is", "are", "in", "for") and degrees_after(line, at + 2):
        return None
    if cued or _with_its_stage(line, at, label):
        return found
    hanging = before in ("a", "in", "like", "the") and not (letter == "J" and line.word(at - 2) == "many")
    if upper == "J" and (after.startswith("hang") or hanging or after in ("shape", "shaped", "position")):
        return None
    if before in ("a", "an", "vitamin") and apart:
        return found if letter.isupper() and upper not in "AI" and before != "vitamin" and after in STAGES else None
    if letter.islower():
        asked = before in ("will", "did", "does", "do", "is", "are", "has", "have") and after in EVENT_WORDS
        return (
            found
            if word not in ("a", "i") and (asked or after in SURE_EVENT_WORDS and word not in "stmud" or before in COHORT_WORDS)
            else None
        )
    if upper == "I":
        return found if before in ("of", "from") and apart and after not in EVENT_WORDS else None
    if upper == "A":
        shouted = line.text.isupper()
        if (
            before
            in (
                "of",
                "from",
                "how many",
                "many",
                "to",
                "and",
                "in",
                "will",
                "did",
                "does",
                "is",
                "was",
                "were",
                "has",
                "have",
                "are",
                "can",
            )
            and not shouted
        ):
            return found
        if at == 0 or at - 1 in line.clauses:
            colon = line.text[line.tokens[at].end : line.tokens[at].end + 1] in (":", ",", "?")
            told = (
                after in SURE_EVENT_WORDS
                and line.word(at + 2) not in STAGES
                and not line.vocabulary.names.find(line.keys[at + 2 : at + 3])
            )
            listed = after in ("and", "or") and is_letter(line, at + 2)
            placed = after in _BEHIND_A_NAME or after in ASKING or after == "%"
            headed = after in _COUNTED and line.word(at + 2) not in ("of", "rate", "for", "from")
            return found if colon or told or listed or ((placed or headed) and not shouted) or len(line) == 1 else None
        ends = at == len(line) - 1 or at in line.clauses or after in _NO_NOUN
        return found if not shouted and (after in SURE_EVENT_WORDS or ends or number_before(line, at)) else None
    if upper in "CF" and degrees_before(line, at) and after not in SURE_EVENT_WORDS and after not in STAGES:
        return found if does(line, at) else None
    return found


_OF_A_LETTER = re.compile(r"([^\W\d_])('?)s", re.IGNORECASE)


def possessing(line: Reading, at: int) -> Proposal | None:
    """A letter as the keeper of something, or in the plural (`G's pupation date`, `how many Ds`), where such a cohort exists."""
    match = _OF_A_LETTER.fullmatch(line.words[at])
    typed = line.raw[at][:1]
    label = match and line.vocabulary.letters.get(typed.upper())
    if not label or (not match[2] and (typed.islower() or typed in "AIU" or line.text.isupper())):
        return None
    living = typed.upper() in line.vocabulary.living_letters
    return Proposal(at, at, "cohort", label, 1) if living or (typed.isupper() and typed != "J") else None


def _with_its_stage(line: Reading, at: int, label: str) -> bool:
    """Whether a letter stands in front of its animals (`J caterpillars`, `A pupae`): `a` and `I` are no words in front of many, and a small
    letter is the label of a cohort that has animals. The trade's J, for those that hang, gives way to a living cohort J."""
    letter, after = line.raw[at], line.word(at + 1)
    if at in line.clauses or after not in STAGES:
        return False
    living = letter.upper() in line.vocabulary.living_letters
    if letter in ("A", "I"):
        return after in PLURAL_STAGES and not line.text.isupper()
    return living and (
        letter.isupper() and letter == "J" or letter not in "aistmud" and letter.islower() and after in PLURAL_STAGES
    )


def of_degrees(line: Reading, at: int) -> bool:
    """Whether a word is the scale of a temperature (`72 F`, `20 degrees`, `celsius`), so that `to C` after it is a scale too."""
    word = line.word(at)
    return (
        word in ("celsius", "centigrade", "fahrenheit", "degrees", "deg", "°") or word in ("c", "f") and degrees_before(line, at)
    )


def degrees_after(line: Reading, at: int) -> bool:
    """Whether a temperature follows (`how many F is 21 C`)."""
    return numbers.figure(line.word(at)) is not None and of_degrees(line, at + 1)


def is_letter(line: Reading, at: int) -> bool:
    """Whether the token is the one-letter label of another cohort."""
    return at < len(line) and line.raw[at] in line.vocabulary.letters


def number_before(line: Reading, at: int) -> bool:
    return numbers.figure(line.word(at - 1)) is not None or line.word(at - 1) in numbers.WORDS


def degrees_before(line: Reading, at: int) -> bool:
    before = line.word(at - 1)
    return number_before(line, at) or before in ("degrees", "°", "deg", "degree")


def unknown_letter(line: Reading, at: int) -> bool:
    """Whether a capital letter that no cohort has stands where only a cohort's label can: `when will Q hatch`, `history of Q`."""
    letter = line.raw[at]
    if not line.capital(at) or not letter.isascii() or letter == "I" or letter in line.vocabulary.letters or line.text.isupper():
        return False
    if line.attached(at) or line.text[line.tokens[at].end : line.tokens[at].end + 1] in (".", "/", "°") and at + 1 < len(line):
        return False  # `V. atalanta`, `C/F`
    before, earlier, after = line.word(at - 1), line.word(at - 2), line.word(at + 1)
    if letter in "CF" and (degrees_before(line, at) or of_degrees(line, at - 2)):
        return False
    if letter in "CF" and before in ("many", "what") and after in ("is", "are", "in", "for") and degrees_after(line, at + 2):
        return False
    changes = after in SURE_EVENT_WORDS and line.word(at + 2) not in STAGES
    ends = at + 1 == len(line) or at in line.clauses
    if at == 0 and letter != "A" and len(line) <= HEADLINE:
        return after in _HEADS_OF and not (letter in "CF" and degrees_after(line, 1))
    if before in ("a", "an", "the", "vitamin", "my") or at == 0:
        return False
    if before in ASKING and at == 1 and letter != "A":
        return after not in ("the", "a", "an", "and", "or", "with")
    if changes:
        return before in ("until", "will", "did", "does", "do", "has", "have", "is", "are", "before", "cohort")
    if before in ("of", "to", "from", "for"):
        return ends and earlier in _TOLD_OF
    if before in ("and", "or") and is_letter(line, at - 2):
        return ends and line.word(0) in ASKING
    if before in ("will", "is", "are") and after in _TO_BE and letter != "A":
        return line.word(0) in ASKING
    return before in ("many", "is", "are") and (ends or after in AFTER_MANY)
