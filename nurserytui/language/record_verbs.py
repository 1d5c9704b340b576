"""The phrases that tell an event, and where they stand among the words of a clause; a misspelt single verb is mended."""

from __future__ import annotations

from nurserytui.language import phrases, slips
from nurserytui.language.clause import STAGES, Item, Verb, word_at
from nurserytui.language.ordinary import ordinary
from nurserytui.language.record_one_word import of_one_word
from nurserytui.language.record_words import WEAK

GAP = 5
PLACE = "ENCLOSURE"
DETERMINERS = frozenset(("the", "my", "our"))
"""What may stand in front of a place in a phrase that has none of them."""
NOUNS = frozenset("shift move place transfer pool".split())
"""Verbs in the form of a command that are nouns behind an article or a describing word."""
LOOKS = frozenset("split cut".split())
"""Verbs that behind an article are what something looks like."""
ARTICLES = frozenset("a an the this that its small tiny little big long".split())
DOERS = frozenset("i we you to please now then also just so and did do lets let's must ok".split())


def phrases_from(word: str) -> tuple[tuple[str, phrases.Parts], ...]:
    """The phrases of events that begin with a word."""
    return phrases.load().telling.get(word, ())


class Among:
    """The phrases of events of which every part stands somewhere among some items: most need not be looked for at all."""

    def __init__(self, items: tuple[Item, ...] | list[Item]) -> None:
        self._words = {item.word for item in items}
        self._kept: dict[str, list[tuple[str, phrases.Parts]]] = {}

    def beginning(self, word: str) -> list[tuple[str, phrases.Parts]]:
        """Those of them that begin with a word."""
        if word not in self._kept:
            told = phrases_from(word)
            self._kept[word] = [one for one in told if all(part is None or not self._words.isdisjoint(part) for part in one[1])]
        return self._kept[word]


def match(items: tuple[Item, ...] | list[Item], at: int, parts: phrases.Parts) -> tuple[int, frozenset[int]] | None:
    """The place of the last item of a phrase that begins at `at`, and the places it names; None if it does not stand there."""
    place, taken, gap = at, [], 0
    for part in parts:
        if part is None:
            gap = GAP
            continue
        if PLACE in part and place < len(items) and items[place].word in DETERMINERS:
            place += 1  # `into the tub` is `into tub`
        limit = place + gap
        while place < len(items) and place < limit and items[place].word not in part:
            place += 1
        if place >= len(items) or items[place].word not in part:
            return None
        taken.append(place)
        place += 1
        gap = 0
    return place - 1, frozenset(taken)


def best_verb(items: tuple[Item, ...] | list[Item], weak: bool = True) -> Verb | None:
    """The phrase with most words in a clause; a weak one only where there is no other."""
    found: list[tuple[bool, int, Verb]] = []
    order = phrases.load().events
    among = Among(items)
    for at, item in enumerate(items):
        if item.word in NOUNS and at and not items[at - 1].span and items[at - 1].word not in DOERS:
            continue  # `a long shift`, `in a good place`
        if item.word in LOOKS and at and items[at - 1].word in ARTICLES:
            continue  # `a split in its wing case`
        if item.word == "cut" and at and items[at - 1].word == "power":
            continue
        for what, parts in among.beginning(item.word):
            hit = match(items, at, parts)
            if hit and what == "escaped" and hit[0] == at and at and items[at - 1].word in ARTICLES | {"that", "which"}:
                continue  # `the escaped B`, `no sign of the B that escaped`
            if hit and what == "died" and item.word == "put" and word_at(items, hit[0] + 1) in ("as", "for", "under"):
                continue  # `put them down as cohort P`
            if hit and what == "died" and item.word == "lost" and at and items[at - 1].word in ARTICLES:
                continue  # `one of the lost B turned up`
            if hit:
                size = sum(part is not None for part in parts)
                found.append((what not in WEAK, size, Verb(what, at, hit[0], hit[1], size)))
    if not weak:
        found = [one for one in found if one[0]]
    if (at := hanging(items)) and any(one[2].what != "prepupated" for one in found):
        found = [one for one in found if not (one[2].what == "prepupated" and one[2].first <= at <= one[2].last + 1)]
    if not found:
        return of_one_word(items)
    return max(found, key=lambda one: (one[0], one[1], -order.index(one[2].what), -one[2].first))[2]


HANGING = frozenset("hanging dangling hung suspended j-ing jing".split())
NAMED = frozenset(("one", "ones", "NUMBER", "COHORT", "LARVA", "SPECIES"))
MEANT = frozenset("the my our NUMBER both those these that this of a one".split())


def hanging(items: tuple[Item, ...] | list[Item]) -> int:
    """Where it is said that those that hang already are meant (`the hanging one of B`, `both those hung up B`); 0 where it is not."""
    words = [item.word for item in items]
    at = next((at for at, word in enumerate(words) if word in HANGING), 0)
    if at > 1 and words[at - 1] in ("that", "which") and words[at - 2] in ("one", "ones", "those", "NUMBER"):
        return at
    behind = words[at + 1 : at + 3] if words[at + 1 : at + 2] == ["up"] else words[at + 1 : at + 2]
    return at if at and MEANT & set(words[max(0, at - 2) : at]) and NAMED & set(behind) else 0


VERBS = (
    "hatched", "moulted", "molted", "pupated", "prepupated", "emerged", "eclosed", "checked", "counted", "moved", "shifted", "transferred", "released", "escaped", "vanished",
    "disappeared", "drowned", "squashed", "cleaned", "scrubbed", "watered", "collected", "renamed", "merged", "tested", "picked", "brought", "binned", "missing", "found", "died", "lost", "taken", "killed", "eaten", "looked", "snipped", "trimmed", "clipped", "returned", "vanished",
)  # fmt: skip
NOT_MENDED = frozenset(
    """
    patched hatches moves counter picker emerges cleaner waters missed hatcher cheeked pupates moulter cleaned wicked
    round pound sound bound mound wound hound ground around tied lied cried tried dried dyed dived dined
    released's moulded brough locked cooked booked hooked scratched matched watched latched merges tasted rested nested
    """.split()
)


DENYING = ("un", "non")
"""Beginnings of words that say that something did not happen (`unhatched`): no slips of the word for what did."""


def mend(word: str) -> str:
    """A misspelt single verb, mended where only one verb is that near: `hatchd`, `relased`."""
    most = slips.allowed(len(word))
    if not word.isalpha() or word.startswith(DENYING):
        return word
    if not most:
        return word if ordinary(word) else _reordered(word) if len(word) < 4 else _one_short(word)
    found = slips.closest(word, VERBS, most, 1)
    if ordinary(word) and not (found and VERBS[found[0][1]].startswith(word)):
        return word  # `closed` is no `eclosed`, but `emerge` speaks of emerging
    return VERBS[found[0][1]] if found else _reordered(word)


def in_its_place(items: list[Item], at: int) -> str:
    """The verb that a word with a slip in it can only be where it stands, even if it is a word of its own: `fond 7 eggs`, `2 B dide`."""
    word = items[at].word
    if not word.isalpha() or not 2 < len(word) < 6:
        return ""
    before, after = items[at - 1] if at else None, items[at + 1] if at + 1 < len(items) else None
    if (
        (before is None or before.stop)
        and after is not None
        and after.word == "NUMBER"
        and word[0] == "f"
        and slips.within(word, "found")
    ):
        return "found"
    ends = (after is None or items[at].stop) and before is not None and not before.stop and before.word in STAGES | {"COHORT"}
    return "died" if ends and word[0] == "d" and slips.within(word, "died") else ""


def _one_short(word: str) -> str:
    """The verb of five letters that one of four lacks one of (`takn`), or that of the same letters."""
    longer = [verb for verb in VERBS if len(verb) == len(word) + 1 and verb[0] == word[0] and slips.within(word, verb)]
    return longer[0] if len(longer) == 1 else _reordered(word)


def _reordered(word: str) -> str:
    """The verb of the same letters with the same first and last (`hachted`, `emegred`); the word itself if there is none."""
    letters = sorted(word)
    same = (verb for verb in VERBS if verb[0] == word[0] and verb[-1] == word[-1] and sorted(verb) == letters)
    return next(same, word)
