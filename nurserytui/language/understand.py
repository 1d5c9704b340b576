"""A typed line becomes a Request: dangers first, then a reply to what was asked back, then questions, records and follow-ups."""

from __future__ import annotations

import re
from datetime import timedelta

from nurserytui.language import choosing, followups, intents, main_clause, older_records, phrases, slots, undoing, weighing
from nurserytui.language import cues as cues_of
from nurserytui.language.context import Context
from nurserytui.language.line import Line
from nurserytui.language.record_words import NO_IDEA
from nurserytui.language.request import DANGLING, Request
from nurserytui.language.spans import scan
from nurserytui.language.vocabulary import Vocabulary
from nurserytui.records.errors import StoreError

LOOKS = ("health-sign", "egg-viability", "egg-identification")
"""Topics that a statement is a question about, unless it names a cohort, a mark or an enclosure of the keeper."""


RECORD_AFTER_ALL = re.compile(
    r"^(?:can|could|would|will) you\b|^did an?\b|^(?:please )?(?:note|log|memo|diary)\b|\bdates\b|^-?\d+(?:\.\d+)? ?[cf]\b|"
    r"\bcount|\btest|\bwhy$|\bunits?\b|fahrenheit|celsius|\bfirst\b|\bair\b|latitude|season|"
    r"time ?zone|\bmeant\b|\bholds?\b|\bnumbers? (?:was |were |is )?wrong\b|\bwrong number"
)
"""What a line that looks like a question must hold to be read as a record all the same."""

PLAIN = 0.9
"""Chance from which a short line in a conversation says by itself what it is about."""
WORDS_ENOUGH = 10
"""Words from which a line says by itself what it is about, whatever pronouns it holds."""
REFERRING_TOPICS = ("headcount", "history", "stage-forecast", "exposure", "survival")
"""Topics of which nothing can be said where `they` stand for nobody spoken of."""


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
    chosen = choosing.chosen_option(text, context)
    line = cues_of.settle(scan(chosen or text, vocabulary, nursery.now, nursery.settings), vocabulary)
    if not line.tokens:
        return Request(text, plain=line.plain)
    found = cues_of.find(line, tables, nursery)
    request = (
        undoing.chosen(chosen, line, context)
        or undoing.drops(line, context)
        or _of_backups(line, nursery)
        or older_records.told(line, nursery, context)
        or _read(line, found, tables, nursery, context)
    )
    return request._replace(text=text) if chosen else request


def _of_backups(line: Line, nursery) -> Request | None:
    """A line about backups of the nursery, which no example holds."""
    if "back" not in line.plain:
        return None
    from nurserytui.language import backup_lines
    from nurserytui.language.record_grammar import request_of

    if told := backup_lines.rule(line, nursery):
        return request_of(line, told)
    if backup_lines.asked(line) or backup_lines.refused(line.text, nursery.settings.backups):
        return Request(line.text, "help", cues=frozenset(("backups",)), plain=line.plain, layer="grammar", score=1.0)
    return None


def _read(line: Line, found: cues_of.Cues, tables: phrases.Phrases, nursery, context: Context) -> Request:
    weighed = weighing.weigh(weighing.shape(line, found.words), tables, weighing.load(tables))
    danger = intents.alarm(found, tables, weighed)
    if danger.topic:
        return slots.fill(line, found, danger.topic, nursery, danger.layer, danger.score)
    if {"wasp", "wasps", "fly", "flies"} & set(line.plain.replace(".", " ").split()):
        from nurserytui.language.record_catches import caught

        gone = caught(line, nursery)
        if gone is not None:
            return gone
    taking_back = undoing.wish(line, weighed, nursery, context) or undoing.narrowed(line, nursery, context)
    if taking_back is not None:
        return taking_back
    asking = "QUESTION" in found.names and ("?" in line.text or not (intents.surely_record(weighed) or _tells_with_which(line)))
    recording = context.open is not None and context.open.topic == "record"
    if recording and (not asking or "meant" in line.plain.split() or NO_IDEA.search(line.plain)):
        record = _recorded(line, nursery, context)
        if record is not None:
            return record
    # a short line in a conversation may lean on the lines before it: what the examples say of it must be clear
    leaning = context.open is not None or (context.last is not None and len(line.tokens) < WORDS_ENOUGH)
    free = context.open is None and "PRONOUN" not in found.names and not followups.leans(line)
    clear = not leaning or (free and weighed is not None and weighed.chance >= PLAIN)
    guess = intents.understand(found, tables, weighed if clear else None)
    if guess.topic in OF_TIMES and {"EGG", "give-up"} <= found.names and found.said["give-up"] & GIVING_UP:
        guess = intents.Guess("egg-viability", intents.FLOOR, "grammar")
    if context.last is not None and _of_the_talk(line, weighed, context):
        guess = intents.Guess("explain", weighed.chance, "weighed")
    if context.open is not None and context.open.topic not in ("", "undo") and not recording:
        told = None if asking or not followups.content(found) else _recorded(line, nursery, context)
        answer = told or followups.reply(line, found, guess, nursery, context)
        if answer is not None:
            return answer
    counted = followups.of_stage(line, found, nursery, context)
    if counted is not None:
        return counted
    told = None
    telling = context.last is not None and context.last.request.topic == "record"
    part = (
        followups.narrows(line, found, context)
        or followups.restates(line, context)
        or followups.bare_change(line, found, context)
    )
    part = part or _asks_of_the_past(line, found) or _asks_on(line, found, context)
    after_all = RECORD_AFTER_ALL.search(line.plain) or (telling and followups.refines(line))
    if not part and "?" not in line.text and (after_all or not asking):
        from nurserytui.language.record_guard import certain

        told = _recorded(line, nursery, context)
        if told is not None and _rather_asks(told, weighed, found, tables, nursery.now):
            told = None
        if told is not None and told.topic == "record" and "all-of" not in found.names and _over_long(told):
            told = None
            guess = guess if guess.topic else intents.Guess("history", intents.FLOOR, "grammar")
        if told is not None and certain(told, nursery.ledger, asking):
            return undoing.told(told, line, context)
        if told is not None and told.topic == "record" and intents.no_record(weighed, found):
            told = told if _on_things(told) or _counted(told) else None
    caught_all = guess.topic in CATCHING_ALL
    lost = _of_elsewhere(found) if caught_all else context.last is None and _says_little(line, found, tables)
    if guess.layer == "weighed" and lost:
        guess = intents.NOTHING
    if told is not None and (
        _seen_on_nobodys(told, found)
        or _by_others(told, found)
        or guess.topic
        and _on_nobody(told, nursery)
        or _of_weather(told, found, guess)
        or _of_amounts(found, guess)
    ):
        told = None
    if told is not None and not asking and intents.recordable(weighed) and not all(draft.what == "sign" for draft in told.drafts):
        return undoing.told(told, line, context)
    looking = guess.topic in LOOKS and "OWN" not in found.names and not _only_found(found)
    headline = (
        guess.layer == "grammar"
        and not telling
        and not (told is not None and told.event == "stocked")
        and not _only_found(found)
        and not {"OWN", "NUMBER", "PERIOD", "setting-word"} & found.names
    )
    if not asking and not looking and not headline and told is not None:
        return undoing.told(told, line, context)
    if told is None and not asking and (taking_back := undoing.of_the_last(line, weighed, context)):
        return taking_back
    follow = followups.follow(line, found, guess, nursery, context)
    if follow is not None:
        return follow
    if told is None and not clear and not guess.topic:
        # what leans on the lines before it and finds nobody there may still say by itself what it is about
        guess = intents.understand(found, tables, weighed, leaning=not free)
        if guess.topic == "explain" and guess.layer == "weighed" and not _of_the_talk(line, weighed, context):
            guess = intents.NOTHING
        follow = followups.follow(line, found, guess, nursery, context) if guess.topic else None
        if follow is not None:
            return follow
    if not guess.topic and told is None and not asking and not part and "?" not in line.text and intents.recordable(weighed):
        from nurserytui.language import record_grammar

        record = record_grammar.by_examples(line, nursery, context)
        if record is not None and not _seen_on_nobodys(record, found):
            return record
    if (
        not guess.topic
        and told is None
        and context.open is None
        and not part
        and weighed is not None
        and weighed.of(weighing.OUTSIDE) <= intents.STRAY
    ):
        guess = main_clause.asked(line, tables, Vocabulary.of(nursery), nursery)
    if guess.topic == "explain" and context.last is None:
        # nothing was answered yet: what the line asks by its signals is all that it can mean
        guess = intents.understand(found, tables, None)
        if guess.topic in ("", "explain"):
            return Request(line.text, plain=line.plain)
    if guess.topic == "undo":
        return undoing.just_said(line, context)
    if not guess.topic and told is None and context.last is None:
        guess = _seen_on_an_animal(found)
        if guess.topic and not intents.supported(guess.topic, weighed):
            guess = intents.NOTHING
        if not guess.topic and _signs_may_tell(line, found, tables, nursery):
            guess = guess._replace(layer=SIGNS)
    request = slots.fill(line, found, guess.topic, nursery, guess.layer, guess.score)
    if not guess.topic:
        request = request._replace(near=intents.perhaps(weighed, found))
    if guess.topic == "explain":
        return request._replace(
            previous=next((turn.answer for turn in reversed(context.turns) if turn.request.topic), context.last.answer)
        )
    if guess.topic in REFERRING_TOPICS and followups.dangles(request, found):
        return request._replace(layer=DANGLING)
    if followups.unplaced(request, nursery):
        return request._replace(layer=DANGLING)
    return request


TELLING_WITH_WHICH = re.compile(
    r"(?:i |we |today )?(?:found|counted|moved|put|took|released|lost|cleaned|collected|picked|brought|got)\b"
)
ASKING_WORDS = re.compile(r"\b(?:how|what|when|where|why|which|who|whose|should|can i|do i)\b")


def _tells_with_which(line: Line) -> bool:
    """`found 3 larvae on the kale which I cannot name`: the only word that could ask goes on about what was named."""
    asking = ASKING_WORDS.findall(line.plain)
    return (
        asking in (["which"], ["who"]) and bool(TELLING_WITH_WHICH.match(line.plain)) and not re.search(r"[,;:.] *wh", line.plain)
    )


def _of_the_talk(line: Line, weighed: weighing.Weighed | None, context: Context) -> bool:
    """Whether a line inside a conversation asks how the answer before it came about: what names nothing itself may say so less clearly."""
    if intents.of_the_talk(weighed):
        return True
    answered = context.last is not None and context.last.answer.status == "answered"
    bare = answered and not line.spans and weighed is not None and weighed.topic == "explain"
    return bare and weighed.chance >= intents.CLEARLY


SHOWN = frozenset(("sign", "looks", "colour-word", "stuff-word", "worry", "egg-state", "wing-fault"))
"""Cues of words that tell what something looks like or does."""
MERE_LOOKS = frozenset(("looks", "colour-word"))
"""Those of them that a question about anything may hold (`four big caterpillars`)."""
SIGNS = "signs"
"""The layer of a line without a topic that the signs may yet tell."""
NOT_AN_ANIMAL = frozenset(
    ("OWN", "UNKNOWN-SPECIES", "UNKNOWN-COHORT", "UNKNOWN-ENCLOSURE", "child-pet", "my-pet", "disinfectant")
)
"""Cues of lines that tell of the keeper's own cohorts, of nothing that is known, or of people and pets."""
STRANGE = 2
"""How many words that nothing knows a line may hold that names a stage."""


def _seen_on_an_animal(found: cues_of.Cues) -> intents.Guess:
    """What nothing else understands, but tells of an animal at some stage in words that are known, is held against the signs: those
    answer only what they find."""
    names = found.names
    if "PLANT" in names or not NOT_AN_ANIMAL.isdisjoint(names) or len(found.strange) > ("my" in names):
        return intents.NOTHING
    if "QUESTION" in names and not SHOWN & names:
        return intents.NOTHING
    if {"LARVA", "PREPUPA", "PUPA", "ADULT"} & names:
        return intents.Guess("health-sign", intents.FLOOR, "fallback")
    if "EGG" in names and (SHOWN | {"my"}) & names:
        return intents.Guess("egg-viability", intents.FLOOR, "fallback")
    return intents.NOTHING


def _signs_may_tell(line: Line, found: cues_of.Cues, tables: phrases.Phrases, nursery) -> bool:
    """Whether a line that stays without a topic may yet show a sign on some animal: it names a stage, or all of its words are known, if
    only as part of a sign."""
    names = found.names
    if (
        not NOT_AN_ANIMAL.isdisjoint(names)
        or "how-many" in names
        or not (SHOWN - MERE_LOOKS if "QUESTION" in names else SHOWN) & names
    ):
        return False
    staged = bool({"LARVA", "PREPUPA", "PUPA", "ADULT"} & names)
    if "PLANT" in names and not (staged and "sign" in names):
        return False
    if staged:
        return sum(not _of_a_sign(word, nursery) for word in found.strange) <= STRANGE
    typed = {token.text for token in line.tokens} - {word for span in line.spans for word in span.said.split()}
    unknown = [word for word in typed if word.isalpha() and word not in tables.known and not _of_a_sign(word, nursery)]
    return not unknown and "EGG" not in names


def _of_a_sign(word: str, nursery) -> bool:
    """Whether a word begins as one that some sign is known by."""
    return any(
        word.startswith(stem) and len(word) - len(stem) <= 3
        for sign in nursery.knowledge.signs()
        for group in sign.words
        for phrase in group
        for stem in phrase.split()
        if len(stem) > 3
    )


UP_TO_NOW = re.compile(
    r"\b(?:so far|to date|yet|last|on)$|\blast (?:fed|cleaned|watered|checked|moved|counted|tested|scrubbed|washed)$|\b(?:dead|died|lost) so far\b"
)
DENIED = re.compile(r"\b(?:not|no|none|never|nothing|\w+n'?t)\b")


def _asks_of_the_past(line: Line, found: cues_of.Cues) -> bool:
    """`cab-2 hatched so far`, `jar 2 last fed`: without a number or a day that tells nothing new."""
    told = {"NUMBER", "ESTIMATE", "PERIOD", "setting-word"} & found.names
    return not told and bool(UP_TO_NOW.search(line.plain)) and not DENIED.search(line.plain)


TO_COME = frozenset("come hatch emerge eclose pupate moult molt turn spin hang fly".split())
"""What animals do, in the form that a question has (`when do they … and come out`)."""


def _asks_on(line: Line, found: cues_of.Cues, context: Context) -> bool:
    """`and come out as adults` after a question asks for more; with a number or a day it would tell."""
    asked = context.last is not None and context.last.request.topic not in ("", "record", "undo")
    words = [token.text for token in line.tokens[:2]]
    goes_on = len(words) == 2 and words[0] in ("and", "or", "then") and words[1] in TO_COME
    return asked and goes_on and {"NUMBER", "ESTIMATE", "PERIOD"}.isdisjoint(found.names)


def _rather_asks(told: Request, weighed: weighing.Weighed | None, found: cues_of.Cues, tables: phrases.Phrases, now) -> bool:
    """Whether a record that the grammar reads is by the words of its line a question: the less it tells, the less they must say so."""
    if told.topic != "record" or told.layer != "grammar":
        return False
    if intents.asks_by_all(weighed) and _tells_nothing(told, found, tables):
        return True
    cared = "care-past" in found.names and "QUESTION" not in found.names and all(draft.what in CARE for draft in told.drafts)
    return intents.no_telling(weighed) and not (cared or _of_settings(told) or _told_in_full(told, now))


def _tells_nothing(told: Request, found: cues_of.Cues, tables: phrases.Phrases) -> bool:
    """Whether a record is of a sign that no word of the line tells of (`the monarchs still in the tent`), or of a temperature that is
    only the base of a sum of degree-days."""
    if told.event == "temperature":
        return "degree-days" in found.names
    shown = {word for cue in SHOWN for word in found.said.get(cue, ())}
    return told.event == "sign" and shown <= tables.lists["small"]


ON_THINGS = frozenset(("setting", "stocked", "temperature", "note", "cleaned", "fed", "cut", "watered", "tested"))
"""Kinds of records that tell of no change in an animal: what examples know of animals does not speak against them."""


def _counted(told: Request) -> bool:
    """Whether a stocktake is told with its number and its place."""
    first = told.drafts[0] if told.drafts else None
    return (
        first is not None and first.what == "counted" and isinstance(first.count, int) and bool(first.cohort or first.enclosure)
    )


def _told_in_full(told: Request, now) -> bool:
    """Whether a change of animals is told with its time (`let both lunas go last night`), of whom and how many (`the rest of B hatched`;
    a count with its place), or beside something else that was done."""
    first = told.drafts[0]
    if _counted(told):
        return True
    if first.what == "checked" and (first.cohort or first.enclosure) and DENIED.search(told.plain):
        return True
    changes = [draft for draft in told.drafts if draft.what in CHANGES]
    if changes and len({draft.what for draft in told.drafts}) > 1:
        return True
    return any(
        draft.cohort and draft.count is not None or draft.when is not None and draft.when.start <= now for draft in changes
    )


CARE = frozenset(("cleaned", "fed", "watered", "cut"))
CHANGES = frozenset("laid hatched moulted prepupated pupated emerged died released escaped given".split())


LONG_TIME = timedelta(days=20)
"""A time from which on nothing is told with it that happened once (`females released 2031`)."""


def _over_long(told: Request) -> bool:
    """Whether a record would be of animals uncounted over a month or a year: such a line asks for what was."""
    drafts = told.drafts
    return bool(drafts) and all(
        draft.what in CHANGES
        and draft.count is None
        and draft.when is not None
        and draft.when.end - draft.when.start >= LONG_TIME
        for draft in drafts
    )


def _of_settings(told: Request) -> bool:
    """Records that only a phrase of their own tells, whatever else a line is like."""
    whats = {draft.what for draft in told.drafts}
    return bool(whats) and (whats <= {"setting", "note", "stocked"} or whats == {"cut", "stocked"})


def _on_things(told: Request) -> bool:
    return bool(told.drafts) and all(draft.what in ON_THINGS for draft in told.drafts)


def _on_nobody(told: Request, nursery) -> bool:
    """A sign or a death told of an enclosure in which no animal stands (`the fennel goes limp in the jar`) is none to be written down."""
    standing = {key.enclosure for key, heads in nursery.ledger.heads.items() if heads}
    return bool(told.drafts) and all(
        draft.what in ("sign", "died") and draft.enclosure and draft.enclosure not in standing and not draft.cohort
        for draft in told.drafts
    )


def _seen_on_nobodys(told: Request, found: cues_of.Cues) -> bool:
    """Whether a line tells of a sign, or of adults that came out with bad wings, and names no cohort, mark, enclosure or number: that asks
    what it means."""
    names = found.names
    wings = "wing-word" in names and "NUMBER" not in names and not {"wing-fault", "wings-bad"}.isdisjoint(names)
    seen = all(draft.what == "sign" or (wings and draft.what == "emerged") for draft in told.drafts)
    return bool(told.drafts) and {"OWN", "recorded-note"}.isdisjoint(names) and seen


OF_TIMES = ("stage-duration", "stage-forecast")
GIVING_UP = frozenset(
    "give up|giving up|gave up|write off|writing off|written off|throw out|throwing out|throw away|throwing away|discard|discarding|abandon|chuck|chucking|toss|tossing|bin them|bin it|bin|binning".split(
        "|"
    )
)
"""Words by which a line asks when eggs are lost, not how long they take."""
CATCHING_ALL = ("round", "help")
"""Topics of questions that name nothing of the nursery."""
NAMING = frozenset("on for from at in this that the my our".split())
"""Words before the name of a thing or a place."""


LITTLE = 3
"""Words of a line that may say nothing."""


def _says_little(line: Line, found: cues_of.Cues, tables: phrases.Phrases) -> bool:
    """Whether a line names nothing, and only asks about somebody spoken of before or in the smallest words (`is she ready`, `since when`)."""
    if line.spans or len(found.words) > LITTLE:
        return False
    small = (*tables.leads, *tables.skip, *tables.lists["small"])
    return "PRONOUN" in found.names or all(word in small for word in found.words)


def _of_elsewhere(found: cues_of.Cues) -> bool:
    """Whether a line names nothing of the nursery but something that nobody here knows (`whats for dinner tonight`, `from this laptop`)."""
    pairs = zip(found.words, found.words[1:], strict=False)
    named = any(one in NAMING and two in found.strange for one, two in pairs)
    return intents.ANCHORS.isdisjoint(found.names) and (named or len(found.strange) > 1)


def _by_others(told: Request, found: cues_of.Cues) -> bool:
    """`a wasp came out of my chrysalis`, `red liquid drops out of it`: what came out is no animal of the keeper's."""
    others = {"AGENT", "enemy", "maggot-word", "liquid-word"} & found.names
    return (
        bool(others)
        and not {"OWN", "NUMBER"} & found.names
        and all(draft.what in ("emerged", "prepupated") for draft in told.drafts)
    )


def _of_weather(told: Request, found: cues_of.Cues, guess: intents.Guess) -> bool:
    """`frost tonight, the monarch came out this afternoon` and `out since ten, let it go now or wait` ask whether to let it go."""
    if guess.topic != "release" or "OWN" in found.names or any(draft.cohort for draft in told.drafts):
        return False
    asks = "choose-release" in found.names or ("weather" in found.names and "NUMBER" not in found.names)
    return asks and all(draft.what in ("emerged", "released") for draft in told.drafts)


def _of_amounts(found: cues_of.Cues, guess: intents.Guess) -> bool:
    """`750 ml divided by 5` is a sum, not animals that are split; `it says 88 F, turn that into C` is no reading."""
    return (
        guess.topic == "convert" and bool({"SUM", "TARGET"} & found.names) and found.names.isdisjoint(("OWN", "STAGE", "SPECIES"))
    )


def _only_found(found: cues_of.Cues) -> bool:
    """`found some eggs on the dill`: eggs came in, and nothing of their looks is told by which they could be named."""
    return {"find", "EGG"} <= found.names and not {"QUESTION", "looks-two", "whose", "egg-strong"} & found.names


def _recorded(line: Line, nursery, context: Context) -> Request | None:
    """The line read as a record. The grammar is loaded here, so that a plain question does not pay for it."""
    from nurserytui.language import record_grammar

    return record_grammar.drafts(line, nursery, context)
