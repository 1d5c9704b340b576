"""Typed records: a sentence that tells of something done or seen becomes drafts of events.

Nothing is looked up in the ledger here and nothing is decided that the sentence does not say; answers/record.py fills the holes.
A question, a plan or a sentence about anything but this nursery gives None.
"""

from __future__ import annotations

import re

from nurserytui.language import (
    record_corrections,
    record_kinds,
    record_nouns,
    record_origins,
    record_replies,
    record_same_again,
    record_settings,
    record_unknown,
    reply_completing,
    reply_days,
    reply_differences,
    reply_numbers,
    reply_pieces,
    reply_verbs,
)
from nurserytui.language.clause import Item
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_clauses import clauses_of
from nurserytui.language.record_events import ANIMAL_EVENTS
from nurserytui.language.record_exclusions import gathered
from nurserytui.language.record_guard import asks, foreign, holed, polite
from nurserytui.language.record_inheriting import referring, spoken_of
from nurserytui.language.record_items import items_of
from nurserytui.language.record_leftover import may_be_label, passed_over
from nurserytui.language.record_reading import read
from nurserytui.language.record_self_corrections import mended
from nurserytui.language.record_sentences import drafts_of
from nurserytui.language.record_unreal import doubted, intended, planned, real
from nurserytui.language.record_words import ASKING, NEGATIONS, NO_IDEA
from nurserytui.language.request import Request


def drafts(line: Line, nursery, context=None) -> Request | None:
    """The records in a line, as a Request of topic `record` (or `undo`); None where the line records nothing."""
    if not line.tokens:
        return None
    last_group = getattr(context, "last_group", "")
    if record_replies.is_undo(line) and not _drops(line, context):
        return Request(line.text, "undo", group=last_group, plain=line.plain, layer="grammar", score=1.0)
    items = mended(gathered(polite(record_nouns.resolved(items_of(line, nursery.ledger.cohorts), nursery))))
    if not items:
        return None
    asks_first = (
        items[0].word in ASKING - {"show"}
        and not line.plain.endswith("from now on")
        and items[0].raw.casefold() not in ("we're", "we’re")
    )
    asked = asks_first or any(one.stop and two.word in ASKING for one, two in zip(items, items[1:]))
    settings = () if asked or "?" in line.text else record_settings.settings(line, items)
    if settings:
        return request_of(line, settings)
    if asks(line, items):
        return None
    leaning = (
        record_corrections.correction(line, items, nursery, context)
        or record_same_again.told(line, items, nursery, context)
        or record_unknown.named(line, items, nursery, context)
        or record_replies.going_on(line, items, nursery, context)
    )
    if leaning is not None:
        return leaning
    answer = (
        reply_days.told(line, items, nursery, context)
        or reply_differences.told(line, items, nursery, context)
        or reply_pieces.told(line, items, nursery, context)
        or reply_pieces.listed(line, items, nursery, context)
        or reply_numbers.righted(line, items, context)
        or reply_verbs.righted(line, items, context)
        or record_replies.short_answer(line, items, nursery, context)
    )
    if answer is not None:
        return answer
    found = read(line, items, nursery)
    if not found or _parts_of_what_is_open(found, context):
        return record_replies.reply(line, items, nursery, context)
    if (answer := reply_completing.completed(line, items, found, context)) is not None:
        return answer
    leans = line.tokens[0].text in ("and", "n", "plus", "but") and not items[0].span or found[0].count == "both"
    if leans and not record_replies.named(found[0]):
        found = (found[0]._replace(refers=True), *found[1:])  # `and 3 died`, `let both go`
    request = request_of(line, referring(spoken_of(found, items, context, nursery.ledger), context, items))
    clauses = clauses_of(items)
    if (placed := record_origins.with_origins(line, items, clauses)) is not items:
        clauses = clauses_of(placed)
    clauses = real(clauses) or clauses
    animals = found[0].what in ANIMAL_EVENTS
    unsure = doubted(clauses) or (animals and record_kinds.odd(record_kinds.corrected(clauses), {draft.what for draft in found}))
    unsure = unsure or passed_over(items, found)
    unsure = unsure or (found[0].what == "note" and found[0].note.isdecimal() and ":" not in line.text)
    if may_be_label(items, found, nursery.ledger):
        return request._replace(cues=frozenset(("figured",)))
    return request._replace(cues=frozenset(("doubted",))) if unsure else request


def _parts_of_what_is_open(found: tuple[Draft, ...], context) -> bool:
    """Whether a line only says from where to where (`from tub 1 to tub 8`) while that is asked of animals of whom the number was told."""
    opened = getattr(context, "open", None)
    if opened is None or opened.topic != "record" or len(opened.drafts) != 1 or len(found) != 1:
        return False
    told, said = opened.drafts[0], found[0]
    return told.what == said.what == "moved" and said.lead in ("from", "out") and said.count is None and not said.cohort


HELPING = frozenset("did do does is are was were has can could will would should".split())
"""First words that only a question has."""


def by_examples(line: Line, nursery, context=None, surely: bool = False) -> Request | None:
    """The records in a line that no phrase tells of, as far as the examples do: `doubted` where they are not sure. A line that is `surely`
    a record may open like a question (`when I opened the tent, two flew out`)."""
    items = items_of(line, nursery.ledger.cohorts)
    if len(items) > MOST_WORDS:
        return None
    items = mended(gathered(polite(items)))
    if not any(item.span for item in items) and (context is None or context.last is None or len(items) < SPOKEN):
        return None
    if asks(line, items) and (not surely or items[0].word in HELPING):
        return None
    plain = clauses_of(items)
    if (placed := record_origins.with_origins(line, items, record_kinds.told(plain)[0])) is not items:
        plain = clauses_of(placed)
    clauses, chance = record_kinds.told(plain)
    if not chance or planned(plain) or intended(items) or AHEAD.search(line.plain):
        return None
    others = foreign(line, items)
    if others and not (surely and all(clause.verb is None or clause.verb.what in WITH_OTHERS for clause in clauses)):
        return None
    found = drafts_of(line, clauses, nursery.now, getattr(nursery.settings, "units", "C"))
    bare = not any(item.word not in BARE and not item.span for item in items)
    if not found or bare and _stands_there(found[0], nursery):
        return None
    if found[0].what == "temperature" and len(items) < SPOKEN and {item.kind for item in items} <= {"", "number"}:
        return None  # `was 7` may be of anything
    request = request_of(line, referring(spoken_of(found, items, context, nursery.ledger), context, items))._replace(
        layer="weighed", score=chance
    )
    unsure = (
        chance < record_kinds.SURE
        or not _gift(found, chance)
        and (others or not record_kinds.ASKED.isdisjoint(draft.what for draft in found))
        or bare
        and found[0].what == "moved"
        and found[0].count is None
        or doubted(plain)
        or passed_over(items, found, guessed=True)
        or _denied(items, found)
        or (found[0].what == "renamed" and any(item.word == "PLANT" for item in items))
    )
    return request._replace(cues=frozenset(("doubted",))) if unsure else request


def _stands_there(draft: Draft, nursery) -> bool:
    """Whether a move without a number would bring animals where some of them stand already (`B in jar 2`): that looks them up."""
    there = ((key.cohort, key.enclosure) for key, count in nursery.ledger.heads.items() if count)
    return draft.what == "moved" and draft.count is None and any(one == (draft.cohort, draft.to) for one in there)


BARE = frozenset("in the of at on my now".split())
"""Words beside names by which nothing is told to have been done."""


def _gift(found: tuple[Draft, ...], chance: float) -> bool:
    """Whether so many animals of a cohort were surely given to somebody."""
    first = found[0]
    counted = isinstance(first.count, int) and bool(first.cohort)
    return len(found) == 1 and first.what == "given" and counted and chance >= record_kinds.OWN_CLEAR


def _denied(items: list[Item], found: tuple[Draft, ...]) -> bool:
    """Whether a word that denies stands beside an event that may be what is denied."""
    if NO_IDEA.search(" ".join(item.raw.casefold() for item in items)):
        return False  # `no clue what they are` denies nothing
    return found[0].what not in MAY_DENY and any(item.word in NEGATIONS and not item.span for item in items)


MOST_WORDS = 150
"""Words of a line above which nothing is told by examples, which are sentences."""
AHEAD = re.compile(r"\bin (?:an?|\d+|two|three|four|five|six) (?:min|minute|hour|hr|day|week)s?\b")
"""What is to come, where no word says that it happened."""
SPOKEN = 3
"""Words from which a line that names nothing may tell of what was spoken of (`found them both`)."""
WITH_OTHERS = frozenset(("given", "found", "laid", "identified", "cut", "note"))
"""Events that name other people, who brought or got the animals or know their name."""
MAY_DENY = frozenset("checked sign missing counted note tested died identified".split())


def _drops(line: Line, context) -> bool:
    """`scrap that` while a question about a record is open drops the question: nothing was written that could be taken back."""
    opened = getattr(context, "open", None)
    waiting = opened is not None and opened.topic == "record" and bool(opened.drafts)
    return waiting and not (line.plain.startswith("undo") and context.last_group)


BECOMING = ("renamed", "merged")
"""Events after which animals are spoken of by the label that they became."""


def request_of(line: Line, found: tuple[Draft, ...]) -> Request:
    first = found[0]
    return Request(
        line.text,
        "record",
        cohorts=tuple(
            dict.fromkeys(
                label for draft in found if (label := draft.to if draft.to and draft.what in BECOMING else draft.cohort)
            )
        ),
        mark=first.mark,
        species=tuple(draft.species for draft in found[:1] if draft.species),
        hosts=tuple(draft.host for draft in found[:1] if draft.host),
        enclosures=tuple(
            dict.fromkeys(
                place for draft in found for place in (draft.enclosure, draft.to if draft.what == "moved" else "") if place
            )
        ),
        event=first.what,
        period=first.when,
        drafts=found,
        plain=line.plain,
        layer="grammar",
        score=1.0,
        cues=holed(line, found),
    )
