"""A scanned line cut into clauses: pieces between commas, stops and joining words, each with the event its words tell of."""

import re
from typing import NamedTuple

from nurserytui.language import phrases
from nurserytui.language.line import Line, Span
from nurserytui.language.record_words import CONTAINERS, PLURAL_STAGES, PREDATORS, WEAK

GAP = 5
STOP = re.compile(r"[,;!?\n]|\.(?=\s|$)|:(?=\s|$)|\s[-–—]+\s|\s[-–—]+$|[()]")
JOINING = frozenset(["and", "then", "but", "&", "+", "plus", "while", "also", "however", "although"])
SHORT_AND = frozenset(["n", "nd", "'n'"])
KINDS = {
    "number": "NUMBER", "estimate": "NUMBER", "cohort": "COHORT", "mark": "COHORT", "enclosure": "ENCLOSURE", "species": "SPECIES", "plant": "PLANT",
    "agent": "AGENT", "instar": "INSTAR", "amount": "AMOUNT", "period": "PERIOD", "ordinal": "ORDINAL",
}  # fmt: skip
STAGES = frozenset(["EGG", "LARVA", "PREPUPA", "PUPA", "ADULT"])


class Item(NamedTuple):
    """One word, or one span that stands as a single word. `word` is the kind in capitals for a span."""

    word: str
    span: Span | None
    start: int
    end: int
    raw: str
    stop: bool = False
    """True if punctuation that ends a clause stands after it."""

    @property
    def kind(self) -> str:
        return self.span.kind if self.span else ""


class Verb(NamedTuple):
    what: str
    first: int
    last: int
    """Places of the phrase's first and last item in the clause."""
    taken: frozenset[int]
    """Places of the items that the phrase itself names."""
    size: int


class Clause(NamedTuple):
    items: tuple[Item, ...]
    verb: Verb | None
    joined: bool = False
    """True if a joining word, not punctuation, stands before it."""

    def words(self) -> list[str]:
        return [item.word for item in self.items]

    def text(self, line: Line) -> str:
        return line.text[self.items[0].start : self.items[-1].end] if self.items else ""


def word_at(items, at: int) -> str:
    """The word at a place, "" in front of the first and behind the last."""
    return items[at].word if 0 <= at < len(items) else ""


def who(item: Item) -> tuple[str, str]:
    """The cohort and the mark that an item names."""
    return item.span.value if item.kind == "mark" else (item.span.value, "")


def phrases_from(word: str) -> tuple[tuple[str, phrases.Parts], ...]:
    """The phrases of events that begin with a word."""
    return phrases.load().telling.get(word, ())


def _plain_kind(span: Span | None) -> Span | None:
    """A label that the records do not have yet stands where a known one stands: what is new is decided against the ledger."""
    if span is not None and span.kind in ("unknown-cohort", "unknown-enclosure"):
        return span._replace(kind=span.kind.removeprefix("unknown-"))
    return span


def _own_letter(items: list[Item], line: Line, labels) -> list[Item]:
    """`A` and `I` are words as well as labels: a capital inside a sentence, or one in front of what cohorts do, is the label."""
    if line.text.isupper():
        return items
    found = list(items)
    for at, item in enumerate(items):
        raw = item.raw.removesuffix("'s").removesuffix("’s")
        if item.span or len(raw) != 1 or raw not in labels:
            continue
        if raw not in ("A", "I"):
            found[at] = item._replace(word="COHORT", span=Span(-1, -1, "cohort", raw, raw))
            continue
        following = items[at + 1] if at + 1 < len(items) else None
        first = at == 0 or (items[at - 1].stop and raw == "A" and line.text[items[at - 1].end] in ".!?")
        plural = following is not None and following.kind == "stage" and following.raw.casefold() in PLURAL_STAGES
        doing = following is None or item.stop or plural or following.word in DOING
        if raw == "I":
            label = at > 0 and items[at - 1].word in ("of", "the", "cohort", "group", "checked") or plural
        else:
            label = doing if first else True
        if label:
            found[at] = item._replace(word="COHORT", span=Span(-1, -1, "cohort", raw, raw))
    return found


DOING = frozenset(
    """
    has have had is are was were still hatched died moulted pupated emerged looks look all both now in released escaped not
    """.split()
)


def items_of(line: Line, labels=()) -> list[Item]:
    """The line's words and spans in order; new enclosures (`box 7`, `tubs 1 and 3`) are put together here."""
    starts = {span.first: span for span in line.spans}
    items: list[Item] = []
    at = 0
    while at < len(line.tokens):
        span = _plain_kind(starts.get(at))
        last = min(span.last if span else at, len(line.tokens) - 1)
        start, end = line.tokens[at].start, line.tokens[last].end
        raw = line.text[start:end]
        if span and span.kind == "stage" and raw.casefold().endswith("ed") and phrases_from(raw.casefold()):
            span = None  # `two chrysalised`: what they did, not what they are.
        if span and span.kind in ("plant", "species") and raw.casefold() in PREDATORS:
            span = None  # `blackbird` is no slip of a plant's name
        if span:
            word = str(span.value).upper() if span.kind == "stage" else KINDS.get(span.kind, span.kind.upper())
            items.append(Item(word, span, start, end, raw))
        else:
            word = line.tokens[at].text.replace("'", "").replace("’", "")
            if (
                items
                and not items[-1].span
                and start - items[-1].end <= 1
                and line.text[items[-1].end : start] in ("'", "’")
                and len(word) < 3
            ):
                items[-1] = items[-1]._replace(word=items[-1].word + word, end=end, raw=line.text[items[-1].start : end])
            elif word in ("hatchling", "hatchlings"):
                items.append(Item("LARVA", Span(at, at, "stage", "larva", raw), start, end, raw))
            elif re.fullmatch(r"-+>|→|=>", word):
                items.append(Item("to", None, start, end, raw))
            elif re.search(r"\w|[&+]", word):
                items.append(Item("and" if raw in SHORT_AND else word, None, start, end, raw))
            elif items and STOP.search(f" {raw} "):
                items[-1] = items[-1]._replace(stop=True)
        at = last + 1
    for place, item in enumerate(items):
        gap = line.text[item.end : items[place + 1].start] if place + 1 < len(items) else ""
        if re.search(r"->|→|=>", gap) and items[place + 1].word != "to":
            items.insert(place + 1, Item("to", None, items[place + 1].start, items[place + 1].start, ""))
        elif STOP.search(gap) and not (gap.strip() == ":" and _goes_on(items, place)):
            items[place] = item._replace(stop=True)
    return _with_new_places(line, _own_letter(_hanging_in_a_v(line, items), line, labels))


def _goes_on(items: list[Item], place: int) -> bool:
    """Whether a colon behind the item only leads to what belongs to it: `label: K-2`, `split B: 4 larvae become B-2`, `counted the tent: 9`."""
    words = [item.word for item in items[: place + 1]]
    if words[-1] in ("label", "name", "cohort", "batch", "group"):
        return True
    return (
        len(words) < 5 and words[0] in ("split", "divided", "separated", "counted", "count", "recounted") and words[-1].isupper()
    )


IN_A_V = re.compile(
    r"(?:\b(?:hang\w*|hung|dangl\w*)\s+(?:[\w'-]+\s+){0,6}?)?"
    r"(?:(?:\b(?:in|into|like)\s+)?\b(?:(?:an?|the)\s+)?(?:upside[- ]?down|inverted|upturned)\s+[\"'“]?v\b|\b(?:in|into|like)\s+an?\s+[\"'“]?v\b|"
    r"\b(?:(?:in|into|like)\s+)?(?:an?\s+)?v[- ]?shaped?\b)[\"'”]?(?:[- ]?shaped?\b)?",
    re.I,
)


def _hanging_in_a_v(line: Line, items: list[Item]) -> list[Item]:
    """`hanging in an upside-down V` is one word, a sign of virus: it tells neither of a larva that hangs up nor of a cohort called V."""
    for shape in IN_A_V.finditer(line.text):
        inside = [item for item in items if shape.start() <= item.start < shape.end()]
        if inside:
            at = items.index(inside[0])
            whole = Item(
                "v-shaped", None, inside[0].start, inside[-1].end, line.text[inside[0].start : inside[-1].end], inside[-1].stop
            )
            items = [*items[:at], whole, *items[at + len(inside) :]]
    return items


def _is_index(item: Item) -> bool:
    return (item.kind == "number" and isinstance(item.span.value, int) and item.raw.isdigit()) or bool(
        re.fullmatch(r"#?\d{1,3}[a-z]?|[A-Za-z]", item.raw) and item.word not in ("a", "i")
    )


def container(word: str) -> str:
    """The container that a word, singular or plural, names; "" if it names none."""
    if word in CONTAINERS:
        return word
    for ending, new in (("es", ""), ("s", "")):
        if word.endswith(ending) and word[: -len(ending)] + new in CONTAINERS:
            return word[: -len(ending)] + new
    return ""


def _place(label: str, item: Item, upto: Item) -> Item:
    return Item("ENCLOSURE", Span(-1, -1, "enclosure", label, label), item.start, upto.end, label, upto.stop)


def _with_new_places(line: Line, items: list[Item]) -> list[Item]:
    found: list[Item] = []
    at = 0
    while at < len(items):
        item = items[at]
        following = items[at + 1] if at + 1 < len(items) else None
        noun = container(item.word) if not item.span else ""
        plural = ""
        if noun and following and not item.stop and _is_index(following):
            if not (following.kind == "cohort" and not following.raw.isdigit()):
                known = f"{noun} {following.raw.lstrip('#')}"
                found.append(_place(known, item, following))
                plural = noun if item.word != noun else ""
                at += 2
            else:
                found.append(item)
                at += 1
        else:
            if (
                item.word == "ENCLOSURE"
                and (words := item.raw.casefold().split())
                and words[-1].isdigit()
                and container(words[0]) != words[0]
            ):
                plural = container(words[0])
            found.append(item)
            at += 1
        if not plural and found[-1].word == "ENCLOSURE" and found[-1].raw[-1:].isdigit() and _lists_on(items, at, found[-1]):
            plural = found[-1].span.value.rsplit(" ", 1)[0]
        while plural and at < len(items):
            joins = 1 if items[at].word in JOINING or items[at].word == "to" else 0
            if at + joins < len(items) and items[at + joins].raw.isdigit() and (joins or found[-1].stop):
                found[-1] = found[-1]._replace(stop=False)
                found.append(_place(f"{plural} {items[at + joins].raw}", items[at + joins], items[at + joins]))
                at += joins + 1
            else:
                break
    return _described_places(found)


def _lists_on(items: list[Item], at: int, before: Item) -> bool:
    """`tub 1, 3 and 4`: bare figures up to the end of the piece, at least two of them or one after `and` at the very end."""
    figures = 0
    while at < len(items) and (items[at].raw.isdigit() or items[at].word in JOINING):
        figures += items[at].raw.isdigit()
        at += 1
    return figures >= 2 and before.stop and (at == len(items) or items[at - 1].stop)


def _described_places(items: list[Item]) -> list[Item]:
    """`into the blue cage`: a container with a describing word, after a preposition and an article, is a new enclosure."""
    found: list[Item] = []
    plain = frozenset(
        """
    a an the my our new another different bigger larger smaller clean fresh separate spare its their his her own same other
    big small second
    """.split()
    )
    if not {item.word for item in items} & HOUSING:
        return items
    for at, item in enumerate(items):
        if not item.span and item.word in CONTAINERS and found and not found[-1].span and not found[-1].stop:
            words: list[Item] = []
            while (
                len(words) < 2
                and len(words) < len(found)
                and not found[-1 - len(words)].span
                and found[-1 - len(words)].word not in plain | PREPOSITIONS
            ):
                words.insert(0, found[-1 - len(words)])
            before = found[-1 - len(words)].word if len(found) > len(words) else ""
            following = items[at + 1].word if at + 1 < len(items) else ""
            if (
                words
                and not {word.word for word in words} & {"water", "food", "plant", "flower", "feeding", "sugar"}
                and before in plain | PREPOSITIONS
                and not any(word.stop for word in words)
                and following != "of"
            ):
                del found[-len(words) :]
                found.append(_place(" ".join([word.word for word in words] + [item.word]), words[0], item))
                continue
        found.append(item)
    return found


HOUSING = frozenset(
    """
    to into onto put placed moved shifted transferred found collected brought picked live lives living sits sit housed kept
    laid eggs goes go box
    """.split()
)
PREPOSITIONS = frozenset("in into to from at inside onto within of off for on with out via".split())


def match(items: tuple[Item, ...] | list[Item], at: int, parts: phrases.Parts) -> tuple[int, frozenset[int]] | None:
    """The place of the last item of a phrase that begins at `at`, and the places it names; None if it does not stand there."""
    place, taken, gap = at, [], 0
    for part in parts:
        if part is None:
            gap = GAP
            continue
        limit = place + gap
        while place < len(items) and place < limit and items[place].word not in part:
            place += 1
        if place >= len(items) or items[place].word not in part:
            return None
        taken.append(place)
        place += 1
        gap = 0
    return place - 1, frozenset(taken)


def mend(word: str) -> str:
    """A misspelt single verb, mended where only one verb is that near: `hatchd`, `relased`."""
    if len(word) < 5 or not word.isalpha():
        return word
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    found = process.extractOne(word, VERBS, scorer=OSA.distance, score_cutoff=1 if len(word) < 9 else 2)
    return found[0] if found else _reordered(word)


def _reordered(word: str) -> str:
    """The verb of the same letters with the same first and last (`hachted`, `emegred`); the word itself if there is none."""
    letters = sorted(word)
    same = (verb for verb in VERBS if verb[0] == word[0] and verb[-1] == word[-1] and sorted(verb) == letters)
    return next(same, word)


VERBS = (
    "hatched", "moulted", "molted", "pupated", "prepupated", "emerged", "eclosed", "checked", "counted", "moved", "shifted", "transferred", "released", "escaped", "vanished",
    "disappeared", "drowned", "squashed", "cleaned", "scrubbed", "watered", "collected", "renamed", "merged", "tested", "picked", "brought", "binned", "missing", "looked", "snipped", "trimmed", "clipped", "returned", "vanished",
)  # fmt: skip
NOT_MENDED = frozenset(
    """
    patched hatches moves counter picker emerges cleaner waters missed hatcher cheeked pupates moulter cleaned wicked
    released's moulded brough locked cooked booked hooked scratched matched watched latched merges tasted rested nested
    """.split()
)


def _lists_sources(items: list[Item], at: int) -> bool:
    """Whether an `and` stands inside `from tub 1 and tub 3 to …`: both are where the same animals were."""
    behind = [item.word for item in items[at + 1 : at + 3] if item.word != "the"]
    around = [*(item.word for item in items[max(0, at - 1) : at + 1]), *behind[:1]]
    before = [item.word for item in items[max(0, at - 4) : at]]
    return (
        around == ["ENCLOSURE", "and", "ENCLOSURE"]
        and "from" in before
        and bool({"to", "into"} & {item.word for item in items[at + 2 : at + 6]})
    )


NOUNS = frozenset("shift move place transfer pool".split())
"""Verbs in the form of a command that are nouns behind an article or a describing word."""
DOERS = frozenset("i we you to please now then also just so and did do lets let's must ok".split())


def best_verb(items: tuple[Item, ...] | list[Item], weak: bool = True) -> Verb | None:
    """The phrase with most words in a clause; a weak one only where there is no other."""
    found: list[tuple[bool, int, Verb]] = []
    order = phrases.load().events
    for at, item in enumerate(items):
        if item.word in NOUNS and at and not items[at - 1].span and items[at - 1].word not in DOERS:
            continue  # `a long shift`, `in a good place`
        for what, parts in phrases_from(item.word):
            hit = match(items, at, parts)
            if hit:
                size = sum(part is not None for part in parts)
                found.append((what not in WEAK, size, Verb(what, at, hit[0], hit[1], size)))
    if not weak:
        found = [one for one in found if one[0]]
    if not found:
        return None
    return max(found, key=lambda one: (one[0], one[1], -order.index(one[2].what), -one[2].first))[2]


def _reads_on(before: list[Item], after: list[Item]) -> bool:
    """Whether a second temperature of the same place follows (`down to 58 F and up to 79 F`): both are one reading."""
    ends = next((at for at, item in enumerate(after) if item.stop or item.word in JOINING), len(after) - 1)
    rest = after[: ends + 1]
    return (
        any(map(_is_reading, before))
        and any(map(_is_reading, rest))
        and all(item.kind in ("", "period") or _is_reading(item) for item in rest)
    )


def _is_reading(item: Item) -> bool:
    return item.kind == "amount" and item.span.value.kind == "temperature"


def clauses_of(items: list[Item]) -> list[Clause]:
    """Pieces between stops and joining words, and sentences that run on within one, each with its strong verb if it has one."""
    from nurserytui.language import record_runs

    mended = []
    for at, item in enumerate(items):
        infinitive = at and items[at - 1].word == "to"  # `about to pupate` is no slip of `pupated`
        if not item.span and not infinitive and not phrases_from(item.word) and item.word not in NOT_MENDED:
            better = mend(item.word)
            if better != item.word:
                item = item._replace(word=better)
        mended.append(item)
    clauses: list[Clause] = []
    piece: list[Item] = []
    joined = False

    def close(next_joined: bool) -> None:
        nonlocal piece, joined
        for said in record_runs.parted(piece) if piece else ():
            clauses.append(Clause(tuple(said), best_verb(said, weak=False), joined))
            joined = False
        piece, joined = [], next_joined

    for at, item in enumerate(mended):
        if item.word == "and" and (_lists_sources(mended, at) or _reads_on(piece, mended[at + 1 :])):
            continue
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
