"""Small words of a conversation: those that ask nothing by themselves, that open a line which goes on, or that stand for somebody."""

from __future__ import annotations

from nurserytui.language.line import Line
from nurserytui.language.slots import HAPPENED

FILLER = frozenset(
    "= and n so but then what whats about how hows same for or make it its now just only also as well if the a an in at on of to with is are was were they them that "
    "this one ones please pls too though be been by my our from again instead here i im i'm want use let lets say says suppose mean me "
    "those these he she him her his there their out up off go put try than like yes no not ok okay right sorry actually rather oh hm all any we have got "
    "which other others more less over under between during while since thanks thank you because has had "
    "counting excluding likewise ditto except including without leaving apart bar minus both it's i'd id change changed swap replace said meant think guess probably maybe kept keep gets got stays stayed goes".split()
)
"""Small words that ask nothing by themselves."""
LEANING = (
    "and",
    "n",
    "so",
    "but",
    "then",
    "or",
    "also",
    "now",
    "what about",
    "how about",
    "same",
    "just",
    "only",
    "make it",
    "whats about",
    "if",
    "ok and",
    "ok so",
    "plus",
    "what if",
    "and what",
    "instead",
    "ditto",
    "likewise",
    "as for",
)
"""Openings of a line that goes on from the one before."""
CLOSING = (" likewise", " as well", " ditto", " same", " the same")
"""And endings of one (`larvae likewise`)."""
REFERRING = frozenset("it they them he she him her its their those these ones".split())
ACTS = frozenset(
    "come comes go goes turn turns need needs take takes eat eats fly flies change changes start leave make look".split()
)
"""Verbs after which such a word is what does it, no word beside a noun."""
POINTING = frozenset("that this these those".split())
"""Words that stand alone or beside a noun."""
MODAL = frozenset("should do does did can could will would must i you exactly roughly about when".split())
REST = frozenset("left remaining remain survivors rest others".split())
"""Words for those of some animals that nothing was told of yet."""
STILL = frozenset("left still remaining remain yet there there's".split())
"""Words that a bare question for animals of a stage may hold besides the smallest."""
RIGHTING = frozenset("not no mean meant sorry actually instead rather wrong".split())
"""Words by which a line puts right what was told before."""
TAKING_BACK = ("undo", "take back", "delete", "cancel", "scrap", "withdraw")
"""Words in front of a record, or of what is called one, that take it back and never tell one."""


def leans(line: Line) -> bool:
    """Whether the line opens as one that goes on from the one before."""
    plain = line.plain.rstrip("?. ")
    return any(plain == opening or plain.startswith(f"{opening} ") for opening in LEANING) or plain.endswith(CLOSING)


def stands_for_some(words: tuple[str, ...]) -> bool:
    """Whether a word of the line stands for somebody (`when do they`), and not beside a noun (`which ones`, `the sick ones`, `that mesh`)."""
    for before, word, after in zip(("", *words), words, (*words[1:], ""), strict=False):
        if word == "ones":
            if before in FILLER and before not in ("which", "what"):
                return True
        elif word in POINTING:
            alone = not after.isalpha() or after in FILLER | MODAL | ACTS or after in HAPPENED
            if alone or after.endswith(("ed", "en")):
                return True
        elif word in REFERRING:
            return True
    return False
