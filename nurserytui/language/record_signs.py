"""What animals look like or what was found on them: signs, tests, enemies that came out."""

from __future__ import annotations

import re

from nurserytui.language import record_settings, record_slots
from nurserytui.language.clause import STAGES, Clause, Verb
from nurserytui.language.draft import Draft
from nurserytui.language.eggs_on_animals import eggs_on
from nurserytui.language.line import Line
from nurserytui.language.record_words import NEGATIONS, SIGN_STATES, SIGN_WORDS

NOTED = "note"
"""The `lead` of a sign that was told as a note."""
ENEMIES = frozenset("wasp wasps fly flies maggot maggots parasite parasites parasitoid parasitoids puparia".split())


def sign(line: Line, items, text: str, now) -> Draft:
    if eggs := eggs_on(items):
        items = (*items[: eggs[0]], *items[eggs[1] + 1 :])
    draft = record_slots.filled(Draft("sign", detail=text.strip(" .:-")), items, line, now)
    return draft._replace(species=None, host=None, to="", refers=False)


def sign_clause(line: Line, clause: Clause, now) -> Draft | None:
    """A sign needs animals or an enclosure of the keeper, and a word that tells of something wrong."""
    words = set(clause.words())
    if "sign" in words and words & {"log", "record", "note", "add"}:
        return sign(
            line,
            clause.items,
            re.sub(
                r"^\W*(?:please\s+)?(?:log|record|note|add)\s+(?:a\s+)?sign\W*(?:that|of|on)?\s*",
                "",
                clause.text(line),
                flags=re.I,
            ),
            now,
        )
    if not words & {"COHORT", "ENCLOSURE"} or words & {"if", "unless"}:
        return None
    if _free_of(clause):
        return record_slots.filled(Draft("checked", note=clause.text(line)), clause.items, line, now)._replace(
            count=None, species=None, host=None, to="", refers=False
        )
    telling = (
        words & SIGN_WORDS
        or any(item.kind == "agent" for item in clause.items)
        or (words & NEGATIONS and words & SIGN_STATES)
        or words & {"stopped", "refusing", "refuses", "refused", "ignores", "ignoring"}
    )
    return sign(line, clause.items, clause.text(line), now) if telling and not _pointed_at(clause) else None


POINTING = frozenset("the that this those these my our one ones sick ill poorly bad in of from on".split())


def _pointed_at(clause: Clause) -> bool:
    """`the sick one in tub 2`: said to be sick already, so nothing new is told of it."""
    return clause.items[0].word in ("the", "that", "this", "those", "these") and all(
        item.span or item.word in POINTING for item in clause.items
    )


def _free_of(clause: Clause) -> bool:
    """`no sign of oe in B`, `no black spots on N2`: what was looked for is not there."""
    items = clause.items
    for at, item in enumerate(items):
        if item.word in ("no", "without", "isnt", "arent", "not", "never") and not item.span:
            ahead = items[at + 1 : at + 5]
            seen = any(one.kind == "agent" or one.word in SIGN_WORDS - SIGN_STATES - {"still", "feeding"} for one in ahead)
            return seen and not any(one.word in SIGN_STATES for one in ahead)
    return False


def tested(line: Line, items, verb: Verb, now) -> Draft:
    draft = record_slots.filled(Draft("tested"), items, line, now)
    target = re.search(r"\bfor ([\w ]{2,30}?)(?:,|:|-|$| and| came| result| was| is)", line.plain)
    if re.search(r"\bspore (?:test|count)\b", line.plain) and draft.count is not None and draft.count not in (1,):
        draft = draft._replace(count=None)
    return draft._replace(
        detail=record_settings.test_result(line.plain, items), note=f"for {target[1].strip()}" if target else "", to="", host=None
    )


def is_enemy(item) -> bool:
    return item.kind == "agent" or item.raw.casefold() in ENEMIES


def enemy_did(before) -> bool:
    """Whether what stands before the verb are parasitoids and no animals of the keeper."""
    return any(is_enemy(item) for item in before) and not {item.word for item in before} & (STAGES | {"COHORT", "SPECIES"})
