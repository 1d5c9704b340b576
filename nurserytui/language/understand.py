"""A typed line becomes a Request: dangers first, then a reply to what was asked back, then questions, records and follow-ups."""

from __future__ import annotations

import re
from typing import NamedTuple

from nurserytui.language import (
    balance,
    choosing,
    emergencies,
    followups,
    intents,
    life_words,
    main_clause,
    older_records,
    other_matters,
    phrases,
    read_back,
    seldom,
    slots,
    terms_asked,
    undoing,
    waiting,
    weighing,
)
from nurserytui.language import cues as cues_of
from nurserytui.language.asking import (
    GIVING_UP,
    asks_on,
    of_elsewhere,
    of_the_past,
    of_the_talk,
    only_found,
    says_little,
    tells_with_which,
)
from nurserytui.language.bare_counts import bare_count
from nurserytui.language.context import Context
from nurserytui.language.line import Line
from nurserytui.language.record_words import NO_IDEA
from nurserytui.language.request import DANGLING, Request
from nurserytui.language.shown_signs import shown
from nurserytui.language.spans import scan
from nurserytui.language.stated_signs import stated
from nurserytui.language.telling import (
    counted_there,
    none_told,
    of_the_last,
    on_things,
    over_long,
    rather_asks,
    seen_on_nobodys,
    stocktaken,
)
from nurserytui.language.vocabulary import Vocabulary
from nurserytui.records.errors import StoreError

LOOKS = ("health-sign", "egg-viability", "egg-identification")
"""Topics that a statement is a question about, unless it names a cohort, a mark or an enclosure of the keeper."""
RECORD_AFTER_ALL = re.compile(
    r"^(?:can|could|would|will) you\b|^(?:was|were) \d+$|^(?:deaths?|loss(?:es)?)\b.*\b\d{1,2}\b|^(?:sorry |oh |no |oops |it |that )*should (?:be|have been|read|say) (?:\d|\w+$)|^did an?\b|^(?:please )?(?:note|log|memo|diary)\b|\bdates\b|^-?\d+(?:\.\d+)? ?[cf]\b|"
    r"\bcount|\btest|\bwhy$|\bknow (?:what happened|where|how)\b|\bidea (?:what happened|where|how)\b|\bunits?\b|fahrenheit|celsius|\btemp\w* in [cf]\b|\bfirst\b|\bair\b|latitude|season|"
    r"time ?zone|\bmeant\b|\bholds?\b|\bnumbers? (?:was |were |is )?wrong\b|\bwrong number"
)
"""What a line that looks like a question must hold to be read as a record all the same."""
PLAIN = 0.9
"""Chance from which a short line in a conversation says by itself what it is about."""
WORDS_ENOUGH = 10
"""Words from which a line says by itself what it is about, whatever pronouns it holds."""
REFERRING_TOPICS = ("headcount", "history", "stage-forecast", "exposure", "survival")
"""Topics of which nothing can be said where `they` stand for nobody spoken of."""
OF_TIMES = ("stage-duration", "stage-forecast")
OF_RECORDS = ("headcount", "history", "survival", "temperature")
FEW = 4
"""Words of a line in which a strange one is what it is about."""
CATCHING_ALL = ("round", "help")
"""Topics of questions that name nothing of the nursery."""


def understand(text: str, nursery, context: Context) -> Request:
    """What one line asks for or tells; a line that nothing understands has the topic "". Raises nothing but a StoreError: a file that cannot
    be read is no line that cannot be understood."""
    try:
        return _understand(text, nursery, context)
    except StoreError:
        raise
    except Exception:
        import os

        if os.environ.get("NURSERYTUI_DEBUG"):
            raise
        return Request(text)


def _understand(text: str, nursery, context: Context) -> Request:
    vocabulary = Vocabulary.of(nursery)
    tables = phrases.load()
    chosen, said = choosing.chosen_or_said(text, vocabulary, context)
    line = cues_of.settle(scan(said, vocabulary, nursery.now, nursery.settings), vocabulary)
    if not line.tokens:
        return Request(text, plain=line.plain)
    found = cues_of.find(line, tables, nursery)
    request = (
        undoing.chosen(chosen, line, context)
        or undoing.drops(line, context)
        or seldom.of_backups(line, nursery)
        or older_records.told(line, nursery, context)
        or read_back.asked(line, context)
        or terms_asked.asked(line, nursery)
        or _read(line, found, tables, nursery, context)
    )
    return request._replace(text=text) if chosen else request


class _Heard(NamedTuple):
    """A line, and what is known of it before it is decided what it is."""

    line: Line
    found: cues_of.Cues
    tables: phrases.Phrases
    nursery: object
    context: Context
    weighed: weighing.Weighed | None
    asking: bool
    free: bool
    """True if nothing in it points back to the lines before it."""
    clear: bool
    """True if the examples may speak for it: what may lean on the lines before it must say by itself what it is about."""


def _read(line: Line, found: cues_of.Cues, tables: phrases.Phrases, nursery, context: Context) -> Request:
    weighed = weighing.weigh(weighing.shape(line, found.words), tables, weighing.load(tables))
    danger = emergencies.alarm(line, found, tables, weighed)
    if danger.topic:
        return slots.fill(line, found, danger.topic, nursery, danger.layer, danger.score)
    early = (
        seldom.caught(line, nursery) or undoing.wish(line, weighed, nursery, context) or undoing.narrowed(line, nursery, context)
    )
    if early is not None:
        return early
    if (count := balance.asked(line, found, nursery, context) or bare_count(line, found, nursery, context)) is not None:
        return count
    heard = _heard(line, found, tables, nursery, context, weighed)
    recording = context.open is not None and context.open.topic == "record"
    if context.waiting is not None and (answer := waiting.answered(line, nursery, context)):
        return answer
    if recording and (not heard.asking or waiting.RIGHTING.search(line.plain) or NO_IDEA.search(line.plain)):
        record = _recorded(line, nursery, context)
        if record is not None:
            return record
    guess = _first_guess(heard)
    if context.open is not None and context.open.topic not in ("", "undo") and not recording:
        told = None if heard.asking or not followups.content(found) else _recorded(line, nursery, context)
        answer = told or followups.reply(line, found, guess, nursery, context)
        if answer is not None:
            return answer
    of_stage = followups.of_stage(line, found, nursery, context)
    if of_stage is not None:
        return of_stage
    part = _asks_for_more(heard)
    told, guess, sure = _told(heard, guess) if not part else (None, guess, False)
    if told is not None and sure:
        return undoing.told(told, line, context)
    guess = _unless_lost(heard, guess)
    if told is not None and none_told(told, found, guess, nursery):
        told = None
    if told is not None and not heard.asking and _rather_told(heard, told, guess):
        return undoing.told(told, line, context)
    return _asked(heard, guess, told, part)


def _heard(line: Line, found: cues_of.Cues, tables: phrases.Phrases, nursery, context: Context, weighed) -> _Heard:
    asking = "QUESTION" in found.names and ("?" in line.text or not (intents.surely_record(weighed) or tells_with_which(line)))
    leaning = context.open is not None or (context.last is not None and len(line.tokens) < WORDS_ENOUGH)
    free = context.open is None and "PRONOUN" not in found.names and not followups.leans(line)
    clear = not leaning or (free and weighed is not None and weighed.chance >= PLAIN)
    return _Heard(line, found, tables, nursery, context, weighed, asking, free, clear)


def _first_guess(heard: _Heard) -> intents.Guess:
    """What the line asks by its signals and, where they may speak, its examples."""
    found = heard.found
    if heard.context.last is not None and of_the_talk(heard.line, heard.weighed, heard.context):
        return intents.Guess("explain", heard.weighed.chance, "weighed")
    guess = intents.understand(found, heard.tables, heard.weighed if heard.clear else None)
    if guess.topic in OF_TIMES and (heard.line.of("cohort", "mark")) and life_words.BEEN.search(heard.line.plain):
        return intents.Guess("history", intents.FLOOR, "grammar")
    if guess.topic in OF_TIMES and {"EGG", "give-up"} <= found.names and found.said["give-up"] & GIVING_UP:
        return intents.Guess("egg-viability", intents.FLOOR, "grammar")
    return guess


def _asks_for_more(heard: _Heard) -> bool:
    """Whether the line is only a part of a question, or asks for what was: then it tells nothing."""
    line, found, context = heard.line, heard.found, heard.context
    return bool(
        followups.narrows(line, found, context)
        or followups.restates(line, context)
        or followups.bare_change(line, found, context)
        or of_the_past(line, found)
        or asks_on(line, found, context)
    )


def _just_told(context: Context) -> bool:
    return context.last is not None and context.last.request.topic == "record"


def _told(heard: _Heard, guess: intents.Guess) -> tuple[Request | None, intents.Guess, bool]:
    """(the record in the line or None, what it is about by then, whether it is surely told)."""
    line, nursery, weighed = heard.line, heard.nursery, heard.weighed
    after_all = RECORD_AFTER_ALL.search(line.plain) or (_just_told(heard.context) and followups.refines(line))
    if "?" in line.text or (heard.asking and not after_all):
        return None, guess, False
    from nurserytui.language.record_guard import certain

    told = _recorded(line, nursery, heard.context)
    if told is None or rather_asks(told, weighed, heard.found, heard.tables, nursery.now):
        return None, guess, False
    if told.topic == "record" and "all-of" not in heard.found.names and over_long(told):
        return None, guess if guess.topic else intents.Guess("history", intents.FLOOR, "grammar"), False
    if certain(told, nursery.ledger, heard.asking):
        return told, guess, True
    no_record = told.topic == "record" and intents.no_record(weighed, heard.found)
    return (told if not no_record or on_things(told) or stocktaken(told) or counted_there(told) else None), guess, False


def _unless_lost(heard: _Heard, guess: intents.Guess) -> intents.Guess:
    """The guess, unless the line is of something else, or only examples tell it and the line names nothing that it could be about."""
    if other_matters.of_none(heard.line, heard.found, guess.topic):
        return intents.NOTHING
    if guess.layer != "weighed":
        return guess
    if guess.topic in CATCHING_ALL:
        lost = of_elsewhere(heard.found)
    elif guess.topic in OF_RECORDS and len(heard.found.words) <= FEW and heard.found.strange:
        lost = intents.ANCHORS.isdisjoint(heard.found.names)  # `ledger totals, May`
    else:
        lost = heard.context.last is None and says_little(heard.line, heard.found, heard.tables)
    return intents.NOTHING if lost else guess


def _rather_told(heard: _Heard, told: Request, guess: intents.Guess) -> bool:
    """Whether a line that does not ask by its words is the record rather than what else it was guessed to be about."""
    if intents.recordable(heard.weighed) and not all(draft.what == "sign" for draft in told.drafts):
        return True
    if of_the_last(told):
        return True
    names, brought_in = heard.found.names, only_found(heard.found)
    looking = guess.topic in LOOKS and "OWN" not in names and not brought_in
    headline = (
        guess.layer == "grammar"
        and not _just_told(heard.context)
        and told.event != "stocked"
        and not brought_in
        and names.isdisjoint(("OWN", "NUMBER", "PERIOD", "setting-word"))
    )
    return not (looking or headline)


def _asked(heard: _Heard, guess: intents.Guess, told: Request | None, part: bool) -> Request:
    """What a line asks that tells nothing surely: by the lines before it, by itself, or by what it could tell after all."""
    line, found, nursery, context, weighed = heard.line, heard.found, heard.nursery, heard.context, heard.weighed
    if told is None and not heard.asking and (taking_back := undoing.of_the_last(line, weighed, context)):
        return taking_back
    follow = followups.follow(line, found, guess, nursery, context)
    if follow is not None:
        return follow
    if told is None and not heard.clear and not guess.topic:
        # what leans on the lines before it and finds nobody there may still say by itself what it is about
        guess = intents.understand(found, heard.tables, weighed, leaning=not heard.free)
        if guess.topic == "explain" and guess.layer == "weighed" and not of_the_talk(line, weighed, context):
            guess = intents.NOTHING
        follow = followups.follow(line, found, guess, nursery, context) if guess.topic else None
        if follow is not None:
            return follow
    looked_up = guess.topic == "headcount" and guess.layer in ("exact", "fuzzy")
    telling = not guess.topic or (looked_up and not heard.asking and intents.surely_record(weighed))
    if telling and told is None and not part and (record := _told_by_examples(heard)):
        return record
    if not guess.topic and told is None and not part and context.open is None:
        if weighed is not None and weighed.of(weighing.OUTSIDE) <= intents.STRAY:
            guess = main_clause.asked(line, heard.tables, Vocabulary.of(nursery), nursery)
    if guess.topic == "explain" and context.last is None:
        # nothing was answered yet: what the line asks by its signals is all that it can mean
        guess = intents.understand(found, heard.tables, None)
        if guess.topic in ("", "explain"):
            return Request(line.text, plain=line.plain)
    if guess.topic == "undo":
        return undoing.just_said(line, context)
    if not guess.topic and told is None and context.last is None:
        if not other_matters.of_none(line, found, "health-sign"):
            guess = shown(line, found, heard.tables, nursery, weighed)
    sign = stated(line, found, guess, weighed, nursery) if told is None and not part and context.open is None else None
    return sign or _filled(heard, guess)


def _told_by_examples(heard: _Heard) -> Request | None:
    """The record in a line that no phrase tells of, where its words may tell one."""
    if "?" in heard.line.text or not intents.recordable(heard.weighed):
        return None
    from nurserytui.language import record_grammar

    surely = intents.surely_record(heard.weighed)
    record = record_grammar.by_examples(heard.line, heard.nursery, heard.context, surely)
    if record is not None and "doubted" in record.cues:
        record = stated(heard.line, heard.found, intents.NOTHING, heard.weighed, heard.nursery) or record
    return None if record is None or seen_on_nobodys(record, heard.found) else record


def _filled(heard: _Heard, guess: intents.Guess) -> Request:
    """The request for a topic, with the parts that the line names; marked where `they` stand for nobody."""
    line, found, context = heard.line, heard.found, heard.context
    request = slots.fill(line, found, guess.topic, heard.nursery, guess.layer, guess.score)
    if not guess.topic:
        request = request._replace(near=intents.perhaps(heard.weighed, found))
    if guess.topic == "explain":
        spoken = next((turn.answer for turn in reversed(context.turns) if turn.request.topic), context.last.answer)
        return request._replace(previous=spoken)
    dangling = guess.topic in REFERRING_TOPICS and followups.dangles(request, found)
    return request._replace(layer=DANGLING) if dangling or followups.unplaced(request, heard.nursery) else request


def _recorded(line: Line, nursery, context: Context) -> Request | None:
    """The line read as a record. The grammar is loaded here, so that a plain question does not pay for it."""
    from nurserytui.language import record_grammar

    return record_grammar.drafts(line, nursery, context)
