"""A scanned line cut into clauses: pieces between commas, stops and joining words, each with the event its words tell of."""

from __future__ import annotations

import re

from nurserytui.language.clause import JOINING, Clause, Item
from nurserytui.language.record_labels import LABEL_WORDS, NOT_LABELS
from nurserytui.language.record_one_word import HATCHLINGS
from nurserytui.language.record_runs import parted
from nurserytui.language.record_verbs import NOT_MENDED, best_verb, in_its_place, mend, phrases_from


def _lists_sources(items: list[Item], at: int) -> bool:
    """Whether an `and` stands inside `from tub 1 and tub 3 to …`, `one each in tub 1 and tub 3`: both are where the same animals were."""
    behind = [item.word for item in items[at + 1 : at + 3] if item.word != "the"]
    around = [*(item.word for item in items[max(0, at - 1) : at + 1]), *behind[:1]]
    before = [item.word for item in items[max(0, at - 4) : at]]
    led = "from" in before and bool({"to", "into"} & {item.word for item in items[at + 2 : at + 6]})
    return around == ["ENCLOSURE", "and", "ENCLOSURE"] and (led or "each" in before)


def _reads_on(before: list[Item], after: list[Item]) -> bool:
    """Whether a second temperature of the same place follows (`down to 58 F and up to 79 F`): both are one reading."""
    ends = next((at for at, item in enumerate(after) if item.stop or item.word in JOINING), len(after) - 1)
    rest = after[: ends + 1]
    return (
        any(map(_is_reading, before))
        and any(map(_is_reading, rest))
        and all(item.kind in ("", "period") or _is_reading(item) for item in rest)
    )


def _leads_on(before: list[Item], after: list[Item]) -> int | None:
    """How many words to pass over up to the place where they went, which follows that which they left (`took 2 out of jar 1 and put them in
    jar 2`, `… and into jar 2`, `… and gave them into jar 2`); None where it does not follow."""
    words = [item.word for item in before]
    if not {"out", "from", "off"} & set(words) or "ENCLOSURE" not in words or {"to", "into"} & set(words):
        return None
    led = LEADS_ON.match(" ".join(item.word for item in after[:9]))
    return led and len(led["over"].split())


LEADS_ON = re.compile(
    r"(?P<over>(?:then )?(?:(?:they |it |he |she |which )?(?:went|came|got|have|has|had|gave|given)(?: (?:straight|over|across|up|down|them|it|him|her|those|both|all|now))* (?=into |to ))?)"
    r"(?:(?:(?:they |it |he |she |all |both |theyre |its )*(?:are |is )?now (?:(?:all|both|they|are|is|it|theyre|its) )*in"
    r"|(?:put|placed|popped|moved|tipped|set|dropped|shifted|transferred|stuck|housed|rehoused|settled|stowed|pinned|taped|glued|hung|hooked|tied) (?:them|it|him|her|those)(?: all| both)?(?: up| over| down| back| straight)? (?:in|into|to|on|inside)"
    r"|into|to|onto) (?:the |my |a )?(?:\w+ )?ENCLOSURE\b)"
)


def _labels(items: list[Item], at: int) -> bool:
    """Whether the label of a cohort stands alone behind its comma (`… become a new cohort, vine-b`)."""
    if items[at].word not in LABEL_WORDS or not at or items[at - 1].word in ("one", "same"):
        return False
    alone = at + 1 < len(items) and (items[at + 1].stop or at + 2 == len(items))
    return alone and items[at + 1].kind in ("", "cohort") and items[at + 1].word not in NOT_LABELS | JOINING


HEADINGS = frozenset("rename renamed relabel moved move split merged merge deaths death losses loss casualties".split())
"""Words that stand alone in front of what they are told of (`deaths: 2, rue-pot`)."""


def _heads(items: list[Item], at: int) -> bool:
    return at == 0 and len(items) > 1 and items[0].raw.casefold() in HEADINGS | HATCHLINGS


def _is_reading(item: Item) -> bool:
    return item.kind == "amount" and item.span.value.kind == "temperature"


def clauses_of(items: list[Item]) -> list[Clause]:
    """Pieces between stops and joining words, and sentences that run on within one, each with its strong verb if it has one."""
    mended = []
    for at, item in enumerate(items):
        infinitive = at and items[at - 1].word == "to"  # `about to pupate` is no slip of `pupated`
        if not item.span and not infinitive and not phrases_from(item.word) and item.word not in NOT_MENDED:
            better = in_its_place(items, at) or mend(item.word)
            if better != item.word:
                item = item._replace(word=better)
        mended.append(item)
    clauses: list[Clause] = []
    piece: list[Item] = []
    joined, passed = False, 0

    def close(next_joined: bool) -> None:
        nonlocal piece, joined
        for said in parted(piece) if piece else ():
            clauses.append(Clause(tuple(said), best_verb(said, weak=False), joined))
            joined = False
        piece, joined = [], next_joined

    for at, item in enumerate(mended):
        if at < passed:
            continue
        over = _leads_on(piece, mended[at + 1 :]) if item.word == "and" else None
        if item.word == "and" and (_lists_sources(mended, at) or _reads_on(piece, mended[at + 1 :]) or over is not None):
            passed = at + 1 + (over or 0)
            continue
        if item.stop and (over := _leads_on([*piece, item], mended[at + 1 :])) is not None:
            item, passed = item._replace(stop=False), at + 1 + over
        elif item.stop and (_labels(mended, at) or _heads(mended, at)):
            item = item._replace(stop=False)
        if (
            item.word in JOINING
            and not item.span
            and not (item.word == "but" and piece and piece[-1].word in ("all", "everyone", "everything"))
        ):
            close(True)
            if item.stop:
                joined = False
            continue
        piece.append(item)
        if item.stop:
            close(False)
    close(False)
    return clauses
