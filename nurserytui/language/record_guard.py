"""What is no record: a question, or a line about something that is not in this nursery."""

from __future__ import annotations

import re

from nurserytui.language.clause import JOINING, STAGES, Item
from nurserytui.language.line import Line
from nurserytui.language.record_new_places import container
from nurserytui.language.record_unreal import ANCHORS
from nurserytui.language.record_verbs import best_verb, mend, phrases_from
from nurserytui.language.record_words import (
    ALL_WORDS,
    ASKING,
    ASKING_INSIDE,
    COMMON,
    CONTAINERS,
    FEMALE,
    MALE,
    NEGATIONS,
    OUTSIDERS,
    POLITE,
    SIGN_WORDS,
    UNITS,
)


def polite(items: list[Item]) -> list[Item]:
    """The items without the civilities and commands in front (`please record that …`)."""
    changed = True
    while changed and items:
        changed = False
        for phrase in POLITE:
            words = phrase.split()
            if len(items) > len(words) and all(item.word == word for item, word in zip(items, words)):
                if phrase in ("log", "record", "enter") and items[1].word in ("a", "sign"):
                    continue
                if (
                    phrase.startswith(("i w", "id ", "we w", "i should"))
                    and "record" not in phrase
                    and not _is_bookkeeping(items)
                ):
                    continue
                if phrase in (
                    "can you",
                    "could you",
                    "would you",
                    "will you",
                    "ok",
                    "right",
                    "well",
                    "just",
                    "morning",
                    "update",
                ) and not _goes_on(items[len(words) :], phrase):
                    continue
                items, changed = items[len(words) :], True
                break
    return _without_condition(items)


def _is_bookkeeping(items: list[Item]) -> bool:
    """Whether a wish is about the records and no plan for animals (`I would like B to be merged into C`)."""
    return not {"merged", "renamed", "called", "merge", "rename", "relabel", "call"}.isdisjoint(item.word for item in items)


CONDITIONS = frozenset(("should", "if"))


def _without_condition(items: list[Item]) -> list[Item]:
    """The items without a civility at the end (`…, if that can be done`, `…, should that be of use`)."""
    at = next((at for at in range(1, len(items) - 1) if items[at - 1].stop and items[at].word in CONDITIONS), 0)
    tail = items[at:] if at else []
    civil = tail and tail[1].word in ("that", "this", "you", "it", "its", "thats") and not any(item.span for item in tail)
    return items[:at] if civil else items


def _goes_on(rest: list[Item], phrase: str) -> bool:
    """A polite `can you` is only a command in front of a recording verb; `ok` and the like are only dropped before more."""
    if phrase.endswith("you"):
        commands = frozenset("record log note write please enter put add mark move rename merge split jot make".split())
        return bool(rest) and rest[0].word in commands
    return bool(rest)


_STATE = r"(?:alive|dead|sick|ill|ok|okay|fine|healthy|well|viable|fertile|infertile|dud|duds|good|bad|normal|male|female|not)"
TAG = re.compile(
    rf"\b{_STATE} or (?:just )?{_STATE}\b|"
    r"\b(?:arent|isnt|wasnt|werent|dont|doesnt|didnt|havent|hasnt|wont|cant|couldnt|shouldnt) (?:they|it|he|she|i|we|you|that|those)$"
)
"""What turns a statement into a question (`… are clear of it, arent they`, `B alive or dead`)."""


def _of_animals(items: list[Item]) -> bool:
    return not {"COHORT", "SPECIES", *STAGES}.isdisjoint(item.word for item in items)


DONE = re.compile(
    r"(?:just|now|also|had|\w+ed|given|put|fed|let|lost|found|cut|taken|got|sent|sold|split|brought|thrown|counted)$"
)
"""What stands behind `have` where the keeper tells of what was done and leaves out `I`."""

PUZZLED = re.compile(
    r"\b(?:no idea|not sure|do not know|dont know|don't know|who knows) (?:why|what happened(?: to \w+)?|where (?:it|they|he|she) (?:went|is|are|got to)|how)\b$"
)
"""What somebody wonders about at the end of what is told (`2 are missing and I do not know what happened`)."""
ASKED_LAST = re.compile(
    r"[,;.!] ?(?:and |so |but )?(?:(?:which|what) (?:day|date) |when )?(?:is|are|was|were|does|do|did|should|can|could|would) (?:it|that|this|they|those|these|there|i|we|he|she)\b[^,;.!]*$",
    re.I,
)
"""A question that a line ends in, without its mark (`one has a bump on its back, is that bad`)."""


def asks(line: Line, items: list[Item]) -> bool:
    """True for a question, also where the line tells something before it asks."""
    if "?" in line.text or TAG.search(line.plain.replace("'", "")) or ASKED_LAST.search(line.text):
        return True
    words = [item.word for item in items]
    second = words[1] if len(words) > 1 else ""
    if words[0] in ("cant", "couldnt", "cannot") and second in ("find", "see", "tell"):
        return False
    if (
        words[0] in ASKING
        and not (words[0] == "did" and second in ("a", "the", "another") and not _of_animals(items[2:4]))
        and not (words[0] == "has" and second == "NUMBER")
        and not (words[0] == "should" and second in ("be", "read", "have"))
        and not (words[0] in ("was", "were") and second in RECEIVED and words[-1] != second)
        and not (words[0] in ("was", "were") and words[1:] == ["NUMBER"])
        and not (words[0] == "were" and items[0].raw.casefold() == "we're")
    ):
        return True
    if words[0] == "have" and second not in ("NUMBER", "AMOUNT", "", "a") and not (DONE.match(second) and "any" not in words):
        return True
    if len(words) > 1 and words[0] in ("so", "and", "but", "or", "then") and words[1] in ASKING:
        return True
    if any(_asks_after(items, at) for at in range(1, len(items))):
        return True
    plain = f" {PUZZLED.sub('', ' '.join(item.raw.casefold().replace(chr(39), '') for item in items))} "
    return any(f" {phrase} " in plain for phrase in ASKING_INSIDE)


RECEIVED = frozenset("given handed sent brought offered left lent gifted passed".split())
"""What was done to a keeper who leaves out who (`was given 3 cocoons`)."""
WONDERING = frozenset("what whats why who whos where wheres when how".split())
ABOUT_IT = frozenset(
    "got get killed happened was were is are could did do does might has had have caused took went can would should".split()
)
HELPING = frozenset("did was were is are has have do does can could will would should".split())
WHOM = frozenset("it they he she that those these i we any anything anyone there this".split())


def _asks_after(items: list[Item], at: int) -> bool:
    """Whether a question begins there behind a stop (`one died, what got it`, `3 hatched, is that normal`), or behind those of whom a
    relative clause tells (`the pupa that died yesterday what was it`); `when I looked` tells when."""
    word, following = items[at].word, items[at + 1].word if at + 1 < len(items) else ""
    if word not in WONDERING and word not in HELPING and word != "which":
        return False
    stop = items[at - 1].stop
    if not stop and not any(one.span and two.word in ("that", "which", "who") for one, two in zip(items[:at], items[1:at])):
        return False
    if word == "which":
        return stop and following in ("one", "ones", "of", "did", "do")
    if word in WONDERING:
        return following in ABOUT_IT or stop and word == "why"
    return word in HELPING and following in WHOM and stop


COMMANDS = ("can you", "could you", "would you", "will you")


LOSSES = ("death", "loss", "casualt")
"""How a line begins that lists losses with their number (`deaths: 2, rue-pot`)."""


def certain(request, ledger, asking: bool) -> bool:
    """True where a line is a record although its words also fit a question: it sets something, it names a cohort of the records, or
    it brings in so many animals of a species and shows no sign. A line that looks like a question must be a command or a number."""
    first = request.drafts[0] if request.drafts else None
    if request.topic != "record" or first is None:
        return False
    if request.layer == "follow-up" or all(draft.what == "setting" for draft in request.drafts):
        return True
    own = any(draft.cohort in ledger.cohorts for draft in request.drafts if draft.cohort)
    if asking:
        counted = first.what == "counted" and isinstance(first.count, int) and bool(own or first.enclosure)
        headed = request.plain.startswith(LOSSES) and isinstance(first.count, int) and bool(own or first.enclosure)
        puzzled = own and (isinstance(first.count, int) or first.what == "died") and PUZZLED.search(request.plain)
        return (
            request.plain.startswith(COMMANDS)
            or counted
            or headed
            or bool(puzzled)
            or (first.what == "tested" and own and bool(first.detail))
        )
    entered = first.what in ("laid", "found") and first.species is not None and isinstance(first.count, int)
    return own or (entered and not set(request.plain.split()) & SIGN_WORDS)


def foreign(line: Line, items: list[Item]) -> bool:
    """True where a line tells of animals that are not the nursery's: other people's, or of a kind that nothing knows (`14 wombats`)."""
    if line.of("unknown-species") or _others_lead(items):
        return True
    named = any(item.word in ("COHORT", "SPECIES") or item.word in STAGES for item in items)
    return not named and any(
        item.word in ("NUMBER", "the", "my", "our") and not item.stop and _is_strange(following) and following.word.endswith("s")
        for item, following in zip(items, items[1:])
    )


KNOWN = (
    COMMON
    | ALL_WORDS
    | SIGN_WORDS
    | NEGATIONS
    | MALE
    | FEMALE
    | frozenset(UNITS)
    | JOINING
    | CONTAINERS
    | STAGES
    | {"animal", "animals"}
)


def strangers(line: Line, items: list[Item], found) -> bool:
    """True if the line names nothing of the nursery and something else does what it tells of (`14 wombats pupated`)."""
    words = [item.word for item in items]
    anchored = any(
        draft.cohort or draft.species or draft.mark or draft.stage or draft.enclosure or draft.host or draft.unknown
        for draft in found
    )
    if found[0].what in ("setting", "note", "temperature"):
        return False
    own = any(draft.cohort or draft.mark or draft.enclosure for draft in found)
    if not own and (line.of("unknown-species") or _of_others(items, found)):
        return True
    unknown = [item for item in _told_of(items) if _is_strange(item) and not _in_phrase(items, item)]
    if found[0].what == "cut" and not unknown and not UNITS.keys().isdisjoint(words):
        return False
    if not (anchored or set(words) & ANCHORS):
        if found[0].refers and found[0].what in LET_OUT:
            unknown = [item for item in unknown if not _aside(items, item)]
        if (found[0].refers or found[0].count == "all") and not unknown:
            return False
        return bool(unknown) or found[0].what in ("sign", "checked", "cut", "found", "given") and not found[0].refers
    for at, item in enumerate(items[:-1]):
        following = items[at + 1]
        if (
            item.word == "NUMBER"
            and following in unknown
            and not item.stop
            and found[0].what not in ("cleaned", "fed", "watered", "cut", "sign", "tested", "released", "given")
        ):
            only_place = not any(draft.cohort or draft.species or draft.mark or draft.stage for draft in found)
            if only_place and not following.word.endswith(("ed", "ly")):
                return True
    return False


LET_OUT = frozenset(("released", "given", "escaped", "moved", "died", "emerged"))
ASIDE = frozenset("before after at by during over near since past".split())


def _aside(items: list[Item], item: Item) -> bool:
    """Whether a word only tells when or where what was spoken of did so (`released it before breakfast`)."""
    at = next(place for place, one in enumerate(items) if one is item)
    while at and items[at - 1].word in ("the", "my", "a", "our", "his", "her"):
        at -= 1
    return at > 0 and items[at - 1].word in ASIDE


def _is_strange(item: Item) -> bool:
    """Whether a word is none that records are made of."""
    return (
        not item.span
        and len(item.word) > 2
        and item.word not in KNOWN
        and not container(item.word)
        and not phrases_from(item.word)
        and mend(item.word) == item.word
    )


def _of_others(items: list[Item], found) -> bool:
    """`my neighbour lost 3 monarchs`, `the school's eggs hatched`: told in front of the verb whose animals they are."""
    verb = best_verb(items)
    mine = found[0].what in ("laid", "found", "given", "cleaned", "fed", "watered", "cut", "stocked")
    return not mine and _others_lead(items[: verb.first] if verb else [])


def _others_lead(items: list[Item]) -> bool:
    return any(re.sub(r"['’]?s?$", "", item.raw.casefold()) in OUTSIDERS for item in items if not item.span)


def _told_of(items: list[Item]) -> list[Item]:
    """The items that may be who or what the line is about: not those that a preposition after the verb brings in."""
    verb = best_verb(items)
    if verb is None:
        return items
    if verb.what == "given" and items[verb.last].word in ("to", "with"):
        return items[: verb.last]  # whoever they were given to
    for at in range(verb.last + 1, len(items)):
        if items[at].word in ("to", "by", "with", "because", "when", "under", "from", "out") or items[at].stop:
            return items[: at + 1]
    return items


def _in_phrase(items: list[Item], item: Item) -> bool:
    verb = best_verb(items)
    return bool(verb) and any(items[place] is item for place in verb.taken)


HOLED = re.compile(r"(?<!no )(?<!without )\b(?:holes?|wasps?|fly|flies|maggots?|puparia|parasit\w+)\b", re.I)


def holed(line: Line, found) -> frozenset[str]:
    """A cue where what came out left holes, or wasps are named beside it: that need be no butterfly."""
    told = HOLED.search(line.plain) and any(draft.what == "emerged" and HOLED.search(draft.note) for draft in found)
    return frozenset(("holed",)) if told else frozenset()
