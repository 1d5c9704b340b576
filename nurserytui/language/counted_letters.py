"""A letter that is the scale of a thermometer too: where animals are meant, and where it is the scale."""

from __future__ import annotations

from nurserytui.language.ordinary import EVENT_WORDS, HEADS, STAGES, SURE_EVENT_WORDS, ordinary
from nurserytui.language.reading import Reading
from nurserytui.language.record_verbs import mend

DOING = frozenset(
    "are were have had came come went got flew flown fell fallen left gone made crawled climbed broke popped slipped wandered look looked found turned "
    "didn't haven't aren't weren't didnt havent arent werent".split()
)
"""What animals do, and a temperature never does at the beginning of a sentence."""
BEGUN_BY = frozenset("and the now just today so then also first yesterday another".split())
"""Words that may stand in front of the number where a sentence begins with it."""


def does(line: Reading, at: int) -> bool:
    """Whether so many of a letter do something (`4 C came out`, `2 F are dead`, `3 C just flew off`)."""
    begins = at == 1 or at - 2 in line.clauses or line.word(at - 2) in BEGUN_BY
    if not begins or at in line.clauses:
        return False
    after, then = line.word(at + 1), line.word(at + 2)
    return after in DOING or is_event(after) or (after == "just" and then in DOING | EVENT_WORDS and at + 1 not in line.clauses)


def is_event(word: str) -> bool:
    """Whether a word tells what happened to animals, one letter of it mistyped at most (`hatchd`, `drownd`)."""
    return word in SURE_EVENT_WORDS or (len(word) > LONG and not ordinary(word) and mend(word) in MENDED)


LONG = 4
"""Letters above which a word may be mistyped."""
MENDED = frozenset("hatched moulted pupated prepupated emerged eclosed escaped drowned released vanished disappeared".split())


def happens(line: Reading, at: int, mixing: bool, warmth: bool) -> bool:
    """Whether what changes or what is alive stands behind a letter, so that it is a cohort's (`2 L eggs`, `2 L in the tank
    died`); in a line about `mixing` or `warmth` it seldom is."""
    if line.word(at + 1) in SURE_EVENT_WORDS or line.word(at + 1) in STAGES or does(line, at):
        return True
    poured = mixing and not any(map(is_event, line.words[at + 1 :]))  # `3 L drowned in the water pot`
    done = line.word(at - 2) in _DONE_TO | SURE_EVENT_WORDS - _LOOKED  # `released 1 C at 7`
    if poured or warmth or line.word(at - 2) in _WARM_AS or (line.word(at + 1) in _MEASURED_OF and not done):
        return False
    ahead = () if line.word(at - 2) in ("in", "into", "a", "an", "of") else line.words[max(0, at - 4) : at - 1]
    if not (_DONE_TO | SURE_EVENT_WORDS - _LOOKED).isdisjoint(ahead) or line.word(at + 1) in ("from", "out"):
        return True
    for place in range(at + 1, len(line)):
        word = line.word(place)
        named = line.word(place - 1) in ("the", "my", "our")  # `in the shed`
        if (is_event(word) and word not in _LOOKED and not named) or word in _DONE_TO:
            return True
        if place in line.clauses or word in _ANEW or place > at + 1 and word.isdigit() and line.word(place - 1) not in HEADS:
            return False
    return False


_WARM_AS = frozenset("at below above under".split())
"""Words in front of a number that is how warm it is (`hatches at 20 C`)."""
_MEASURED_OF = frozenset("of at for per".split())
_LOOKED = frozenset("counted checked".split())
_DONE_TO = frozenset(
    "move moved shift shifted transfer transferred released lost gave given binned rehomed another put took popped "
    "emergences eclosions pupations hatches deaths losses escapes releases".split()
)
_ANEW = frozenset("and but when while as then so because since".split())
