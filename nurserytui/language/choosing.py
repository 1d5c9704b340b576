"""Which of the sentences that the assistant offered a short reply means: by its number, its place, or a word that only it holds."""

from __future__ import annotations

import re

from nurserytui.language import mark_ranges, other_places, pairs_of_places
from nurserytui.language.context import Context

ORDINALS = {"first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "last": -1}
SLIGHT = frozenset("sorry thanks i'd the a an in on of it i mean cohort please pls one ones that this my for to".split())
"""Words of a short reply that choose nothing."""
CHOICE = re.compile(
    r"\W*(?:the |option |number |no |choice |#)*(\d|first|second|third|fourth|fifth|last)(?: (?:one|option|choice))?\W*",
    re.IGNORECASE,
)
IN_ORDER = re.compile(
    r"\W*(?:(?:it|they|that|was|were|is|in|from|of|the|i|mean|meant|sorry|think)\W+)*(first|second|third|fourth|fifth|last)"
    r"(?: (?:one|ones|place|tub|cage|jar|box|tent|of them|of those|i think|please))*\W*"
)
"""A choice by its place in the order, in a few more words (`it was in the first one`)."""
ASKS_A_NUMBER = re.compile("number|How many")
"""In a question about a record that is asked back: a number typed alone is the answer to it, not the place of a sentence."""
DENIED = ("no", "nope", "nah", "naw")
"""What chooses nothing, though an option may begin with it (`no idea`)."""
WAY = re.compile(r"(to|from)\b")
"""How a reply begins that tells which end of a move it names."""
WHOLE_OPTION = 3
"""Words of a reply that may stand for a whole option."""


def by_number(context: Context) -> dict[int, str]:
    """What each number typed alone means now: a sentence to choose after a question that was asked back, one of the help page, or a
    question that goes on from an answer. Empty where a number is asked for."""
    if context.last is None:
        return {}
    answer = context.last.answer
    if context.open is None:
        return dict(enumerate([item["reason"] for item in _page(answer)] or answer.next, 1))
    if context.open.topic == "record":
        return {} if asks_a_number(context) else dict(enumerate(answer.options, 1))
    meant = {number: chosen_option(str(number), context) for number in range(1, 10)}
    return {number: sentence for number, sentence in meant.items() if sentence}


def to_edit(context: Context) -> frozenset[int]:
    """The numbers of sentences that are examples of a record: they are to be changed, and are never written down as they stand."""
    rows = _page(context.last.answer) if context.last is not None and context.open is None else ()
    return frozenset(number for number, item in enumerate(rows, 1) if item["name"] == "record")


def asks_a_number(context: Context) -> bool:
    """Whether the question that was asked back is how many, or that is still open (`moved some of A`)."""
    if context.open is None or context.open.topic != "record" or context.last is None:
        return False
    vague = any(draft.count == "some" for draft in context.open.drafts[:1])
    return vague or bool(ASKS_A_NUMBER.search(context.last.answer.text))


def _page(answer) -> tuple[dict, ...]:
    """The rows of a help page, in its order."""
    shown = answer.topic == "help" and answer.status == "answered"
    return tuple(item for item in answer.items if item.get("reason")) if shown else ()


def chosen_or_said(text: str, vocabulary, context: Context) -> tuple[str, str]:
    """(the option that a reply means or "", the line to be read): that option, else the line with ranges of marks, both places of a kind and
    places that are told by those beside them spelt out."""
    chosen = chosen_option(text, context)
    if chosen:
        return chosen, chosen
    said = pairs_of_places.told_apart(mark_ranges.spelt_out(text, vocabulary), vocabulary)
    return "", other_places.named(said, vocabulary, context)


def chosen_option(text: str, context: Context) -> str:
    """The option of the last answer that a reply means (`2`, `the second one`, `yes` to a single one), or ""."""
    if context.last is None:
        return ""
    if context.open is None:
        number = text.strip()
        if not number.isdecimal() or len(number) > 2 or not _page(context.last.answer):
            return ""
        return by_number(context).get(int(number), "") if int(number) not in to_edit(context) else ""
    options = context.last.answer.options
    if not options:
        return ""
    plain = text.strip().casefold().rstrip(".!?")
    if plain in DENIED:
        return ""
    for option in options:
        if plain == option.casefold().rstrip(".!?"):
            return option
    if len(options) == 1 and plain in ("yes", "y", "yes please", "yep", "yeah", "that one", "ok", "correct", "sure"):
        return options[0]
    match = CHOICE.fullmatch(plain) or IN_ORDER.fullmatch(plain)
    if not match and context.open.topic == "record" and _repeats(text, context.last.request.text):
        return ""
    if not match:
        labels = re.findall(r"(?<=\W)[A-HJ-Z](?!\w)", text.strip())
        return _half_said(plain, tuple(one for one in options if all(re.search(rf"\b{label}\b", one) for label in labels)))
    if match[1].isdigit() and context.open.topic == "record" and plain.isdigit():
        return ""
    if match[1].isdigit() and context.open.topic != "undo":  # where `jar 1` in a sentence is never what `1` picks
        numbered = [option for option in options if re.search(rf"[a-z] {match[1]}(?![\w.%])(?! \w)", option.casefold())]
        if len(numbered) == 1:
            return numbered[0]
    at = int(match[1]) if match[1].isdigit() else ORDINALS[match[1]]
    return options[at - 1 if at > 0 else at] if 0 < at <= len(options) or at == -1 else ""


def _repeats(text: str, told: str) -> bool:
    """Whether a line asks, or has no word that the record in question did not have: that chooses nothing and confirms nothing."""
    words, before = (set(re.findall(r"[\w-]+", one.casefold())) for one in (text, told))
    return text.rstrip().endswith("?") or words <= before


def _half_said(plain: str, options: tuple[str, ...]) -> str:
    """The only option that holds every word of a short reply, or begins one with it (`fenn`, `the jar`); "" where none or several do."""
    words = [word for word in re.findall(r"[\w-]+", plain) if word not in SLIGHT]
    if not words or len(words) > WHOLE_OPTION or not any(word[0].isalpha() for word in words):
        return ""
    way = WAY.match(plain)
    labels = [f"{one} {two}" for one, two in zip(words, words[1:]) if two.isdigit()]
    labels += [f"{way[1]} {' '.join(words)}"] if way else []
    found = [
        option
        for option in options
        if all(_begins(word, option) for word in words) and all(_holds(option, label) for label in labels)
    ]
    return found[0] if len(found) == 1 else ""


def _holds(option: str, label: str) -> bool:
    """Whether an option holds those words side by side: `tank 2` is not a `2` and a `tank`, `to tub 3` not `from tub 3`."""
    return re.search(rf"(?<![\w-]){re.escape(label)}(?![\w-])", option.casefold()) is not None


def _begins(word: str, option: str) -> bool:
    inside = re.findall(r"[\w-]+", option.casefold())
    return word in inside or (len(word) > 2 and any(each.startswith(word) for each in inside))
