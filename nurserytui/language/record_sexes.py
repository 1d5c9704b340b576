"""So many animals, and then how many of them of each sex (`released 3 C, two females and a male`): told once for each sex."""

from __future__ import annotations

import re

from nurserytui.language.clause import Clause, word_at
from nurserytui.language.draft import Draft
from nurserytui.language.record_counts import sexes_counted
from nurserytui.language.record_words import FEMALE, MALE

OF_SEXES = frozenset("released emerged died given escaped".split())
SHORT = re.compile(r"(\d{1,3})([mf])", re.IGNORECASE)
"""`2f 1m`."""


def by_sex(clauses: list[Clause], found: list[Draft]) -> list[Draft]:
    """The drafts, with one for each sex in the place of their sum; a sex that is only that of some of them is not told of all."""
    whole = next((at for at, draft in enumerate(found) if draft.what in OF_SEXES and isinstance(draft.count, int)), None)
    if whole is None:
        return found
    draft = found[whole]
    sexes = [one for clause in clauses for one in _counted(clause.items)]
    told = {sex for _, sex in sexes}
    beside = [one for clause in clauses if len(clause.items) == 2 for one in sexes_counted(clause.items)]
    if (draft.count, draft.detail) in sexes and len(beside) == 1 and beside[0][1] != draft.detail and len(sexes) == 2:
        if any(one.what == draft.what and one.detail == beside[0][1] for one in found):
            return found
        number, sex = beside[0]
        return [*found[:whole], draft._replace(count=number, detail=sex), *found[whole:]]  # `2 male and 3 female B emerged`
    if draft.count < 2:
        return found
    if len(told) < 2 or sum(number for number, _ in sexes) != draft.count:
        part = draft.detail in told and (draft.count, draft.detail) not in sexes
        return [*found[:whole], draft._replace(detail=""), *found[whole + 1 :]] if part else found
    others = [
        one
        for one in found[whole + 1 :]
        if not (one.what == draft.what and one.detail in told and one.cohort in ("", draft.cohort))
    ]
    note = ", ".join(piece for piece in draft.note.split(", ") if piece and not _of_sexes(piece))
    parts = [draft._replace(count=number, detail=sex, note=note if at == 0 else "") for at, (number, sex) in enumerate(sexes)]
    return [*found[:whole], *parts, *others]


def _counted(items) -> list[tuple[int, str]]:
    found = sexes_counted(items)
    for at, item in enumerate(items):
        if item.word in MALE | FEMALE and word_at(items, at - 1) in ("a", "an", "another"):
            found.append((1, "male" if item.word in MALE else "female"))
        elif short := SHORT.fullmatch(item.raw):
            found.append((int(short[1]), "male" if short[2].casefold() == "m" else "female"))
        elif item.word in ("m", "f") and word_at(items, at - 1) == "NUMBER" and isinstance(items[at - 1].span.value, int):
            found.append((items[at - 1].span.value, "male" if item.word == "m" else "female"))
    return found


def _of_sexes(piece: str) -> bool:
    words = piece.casefold().split()
    return any(word in MALE | FEMALE or SHORT.fullmatch(word) for word in words) and len(words) <= 4
