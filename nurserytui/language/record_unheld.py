"""What a find's clause says that no part of its record holds: it goes to the note, so that nothing typed is lost."""

from __future__ import annotations

from nurserytui.language.clause import Item
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_labels import CALLING, LABEL_WORDS
from nurserytui.language.record_new_places import container
from nurserytui.language.record_slots import ORIGINS
from nurserytui.language.record_words import NO_IDEA

SMALL = frozenset(
    """
    a an the and or then so also too but i ive we weve me us he she they it its this that these those them there here now just some more
    another one ones is are was were be been being has have had am do did of to new please log record add note total please out off up
    total today yesterday all in on at from with for by as into onto over if my our his her their live lives living sits sitting are kept
    am keep keeping put stay stays no not don't dont know what who which where when while got get left down lot thank you thanks thank em
    can cant can't cannot theyre they're im i'm about around roughly circa approx them both each every any let see saw came come gave goes
    """.split()
)
"""Words that tell nothing of a find by themselves."""
LEADING = SMALL - frozenset("i in on at from with for by over no not into off out up about around".split())
"""Those of them that need not be kept in front of what is noted."""


def unheld(line: Line, items: tuple[Item, ...], draft: Draft, taken: frozenset[int], labelled: frozenset[int]) -> str:
    """What the clause of a find says that no part of its draft holds, word for word, in the order of the line."""
    pieces: list[str] = []
    run: list[Item] = []
    counted = False
    for at, item in enumerate(items):
        held = at in taken or at in labelled
        if not held and item.span:
            held = _is_held(item, draft, counted)
            counted = counted or (item.word == "NUMBER" and held)
        elif not held:
            held = bool(container(item.word)) and bool(draft.enclosure) or item.word in CALLING | LABEL_WORDS | {"marked"}
        if held:
            pieces.append(_piece(line, run))
            run = []
            continue
        run.append(item)
        if item.stop:
            pieces.append(_piece(line, run))
            run = []
    pieces.append(_piece(line, run))
    return ", ".join(piece for piece in pieces if piece)


def _is_held(item: Item, draft: Draft, counted: bool) -> bool:
    value = item.span.value
    if item.word == "NUMBER":
        return not counted and (draft.count is None or value == draft.count) or str(value) in draft.cohort
    return {
        "species": lambda: value == draft.species,
        "plant": lambda: value == draft.host,
        "stage": lambda: value == draft.stage or draft.what == "laid",
        "instar": lambda: value == draft.instar,
        "period": lambda: draft.when is not None or bool(draft.impossible),
        "bad-date": lambda: True,
        "enclosure": lambda: value in (draft.enclosure, draft.to),
        "mark": lambda: value == (draft.cohort, draft.mark),
        "cohort": lambda: value in (draft.cohort, draft.parent),
        "ordinal": lambda: False,
        "amount": lambda: False,
        "agent": lambda: False,
    }.get(item.kind, lambda: item.kind in ORIGINS)()


def _piece(line: Line, run: list[Item]) -> str:
    while run and not run[0].span and run[0].word in LEADING:
        run = run[1:]
    while run and not run[-1].span and run[-1].word in SMALL:
        run = run[:-1]
    if not any(item.span or item.word not in SMALL for item in run):
        return ""
    text = line.text[run[0].start : run[-1].end]
    rest = NO_IDEA.sub(" ", text.casefold())
    return text if set(rest.split()) - SMALL else ""


def noted(line: Line, items, draft: Draft, taken: frozenset[int] = frozenset(), labelled: frozenset[int] = frozenset()) -> Draft:
    """The draft of a find with what its clause says beside its parts added to the note."""
    text = unheld(line, items, draft, taken, labelled)
    if not text or text in draft.note:
        return draft
    return draft._replace(note=f"{draft.note}, {text}" if draft.note else text)
