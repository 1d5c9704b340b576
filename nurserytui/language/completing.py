"""How a line that is being typed may go on: names, whole lines sent before, and sentences with the keeper's own names in them.

Knows no screen and no clock: asked with a text and the place of the cursor, it gives offers, the likeliest first.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from nurserytui.language import slips
from nurserytui.language.ordinary import COHORT_WORDS, ordinary
from nurserytui.language.ordinary import STAGES as STAGES_SAID
from nurserytui.language.said_often import AGAIN, filled

OFFERS = 6
"""Offers given at most."""
MOST_LINES = 3
"""Of them, lines sent before, so that names and sentences have their place."""
LONGEST = 300
"""Characters before the cursor beyond which whole lines are no longer looked for."""
MOST_WORDS = 4
"""Words before the cursor that may be the beginning of one name."""
SMALL = frozenset("a i an as at be by do go if in is it me my no of on or so to up us we".split())
"""Words too short and too common to be the beginning of a name."""
KNOWN_FROM = 3
"""Letters from which a word is taken for the beginning of a name that is known but not the keeper's own."""
FUZZY_FROM = 4
"""Letters from which a word that begins no name is held against names with a slip."""
WORD = re.compile(r"\S+")
NUMBER = re.compile(r"\b\d{1,4}\b")
STAGES = ("egg", "larva", "pupa", "adult")


class Offer(NamedTuple):
    """`text` in place of what stands from `start` to `end`. `kind` is `line`, `sentence` or `name`."""

    start: int
    end: int
    text: str
    kind: str

    def put_into(self, line: str) -> tuple[str, int]:
        """The line with the offer taken, and where the cursor is then."""
        return line[: self.start] + self.text + line[self.end :], self.start + len(self.text)


def fold(text: str) -> str:
    """How names are compared: small letters, hyphens as blanks, as long as the text where that can be."""
    folded = text.casefold().replace("-", " ").replace("_", " ")
    return folded if len(folded) == len(text) else text.lower().replace("-", " ").replace("_", " ")


class Names:
    """Names by the beginnings of their words, in the order in which they are to be offered."""

    def __init__(self, names: Iterable[str], middle: bool = True) -> None:
        """Without `middle`, by the first word and the last: nobody calls an Old World aster `world`."""
        self.names: list[str] = []
        self.whole: set[str] = set()
        """The names as they are compared."""
        starts: list[tuple[str, bool, int]] = []
        self._words: dict[str, list[tuple[str, int]]] = {}
        for name in names:
            folded = fold(name)
            if not folded.strip() or folded in self.whole:
                continue
            self.whole.add(folded)
            at = len(self.names)
            self.names.append(name)
            words = list(WORD.finditer(folded))
            for word in words if middle else {word.start(): word for word in (words[0], words[-1])}.values():
                starts.append((folded[word.start() :], word.start() > 0, at))
                if len(word[0]) >= FUZZY_FROM:
                    self._words.setdefault(word[0][0], []).append((word[0], at))
        starts.sort()
        self._keys = [start for start, _, _ in starts]
        self._where = [(inside, at) for _, inside, at in starts]

    def beginning(self, query: str, limit: int, inside: bool = True) -> list[str]:
        """Names of which a word (the first, unless `inside`) begins so; whole names before their later words, then in their order."""
        at = bisect_left(self._keys, query)
        found: dict[int, bool] = {}
        while at < len(self._keys) and self._keys[at].startswith(query):
            later, which = self._where[at]
            if (inside or not later) and len(fold(self.names[which])) > len(query):
                found[which] = found.get(which, True) and later
            at += 1
        return [self.names[which] for which in sorted(found, key=lambda which: (found[which], which))[:limit]]

    def like(self, query: str, limit: int) -> list[str]:
        """Names of which a word begins so but for a slip (two in a long one), its first letter being right."""
        words = self._words.get(query[0], ())
        if not words:
            return []
        length, most = len(query), 1 if len(query) < 7 else 2
        near = slips.closest(query, [word[: length + 1] for word, _ in words], most, 3 * limit)
        same = slips.closest(query, [word[:length] for word, _ in words], most, 3 * limit)
        order = sorted((errors, words[which][1]) for errors, which in (*near, *same))
        return list(dict.fromkeys(self.names[which] for _, which in order))[:limit]

    def scattered(self, query: str, limit: int) -> list[str]:
        """Names that hold the letters of the query in their order, beginning with its first (`fl2` for `fennel-2`)."""
        pattern = re.compile(".*?".join(map(re.escape, query)))
        return [name for name in self.names if pattern.match(fold(name))][:limit]


class Own(NamedTuple):
    """The keeper's own names, and whom each stage is there of."""

    names: Names
    stages: Mapping[str, tuple[str, ...]]
    """A cohort's label -> the stages in which it has animals."""
    places: tuple[str, ...]
    species: tuple[str, ...]
    plants: tuple[str, ...]
    fed: tuple[str, ...] = ()
    """Enclosures with larvae, the one that was fed longest ago first."""
    cleaned: tuple[str, ...] = ()
    """The same by when they were cleaned."""


def own_names(nursery) -> Own:
    """What completion takes from the records: cohorts with animals first, then the others, enclosures, and marks."""
    ledger = nursery.ledger
    stages: dict[str, tuple[str, ...]] = {}
    marks = []
    for key, count in ledger.heads.items():
        if count:
            stages[key.cohort] = tuple(dict.fromkeys((*stages.get(key.cohort, ()), key.stage)))
            if key.mark:
                marks.append(f"{key.cohort}{key.mark}" if key.cohort.isalpha() else f"{key.cohort} {key.mark}")
    places = tuple(
        dict.fromkeys(
            [*(key.enclosure for key, count in ledger.heads.items() if count and key.enclosure), *sorted(ledger.enclosures)]
        )
    )
    cohorts = [ledger.cohorts[label] for label in (*stages, *(label for label in ledger.cohorts if label not in stages))]
    knowledge = nursery.knowledge
    species = dict.fromkeys(knowledge.common(one.species) or one.species for one in cohorts if one.species not in ("", "unknown"))
    plants = dict.fromkeys(_plant(one.host, knowledge) for one in cohorts if one.host)
    names = [*(one.label for one in cohorts), *places, *species, *plants, *marks]
    larvae = dict.fromkeys(
        key.enclosure for key, count in ledger.heads.items() if count and key.stage == "larva" and key.enclosure
    )
    care = {what: sorted(larvae, key=lambda place: _last(ledger, what, place)) for what in ("fed", "cleaned")}
    return Own(
        Names(filter(None, names)),
        stages,
        tuple(filter(None, places)),
        tuple(species),
        tuple(plants),
        tuple(care["fed"]),
        tuple(care["cleaned"]),
    )


def _last(ledger, what: str, place: str) -> str:
    """When that was last done there; "" for never."""
    return max((event.when for event in ledger.chronicle.care(what, place)[-1:]), default="")


def _plant(scientific: str, knowledge) -> str:
    plant = knowledge.plant(scientific)
    return plant.common[0] if plant and plant.common else scientific


_known: list[tuple[object, Names]] = []
"""The names of the knowledge base last used; one is enough for a process."""


def known_names(knowledge) -> Names:
    """Every name of the knowledge base, usual ones before doubtful ones; without those that are only understood."""
    if not _known or _known[0][0] is not knowledge:
        rows = sorted(knowledge.aliases(), key=lambda alias: (not alias.usual, len(alias.alias)))
        names = Names([alias.alias for alias in rows if not _misspelt(alias, knowledge)], middle=False)
        _known[:] = [(knowledge, names)]
    return _known[0][1]


def _misspelt(alias, knowledge) -> bool:
    """Whether it is nearly a proper name of what it means, and none itself: a slip, or another writing of the same."""
    said, most = alias.alias.casefold(), 1 if len(alias.alias) < 6 else 2
    proper = []
    for name in alias.means:
        facts = {"species": knowledge.species, "plant": knowledge.plant}.get(alias.kind, knowledge.agent)(name)
        proper += [each.casefold() for each in (name, *(getattr(facts, "common", ()) or ()))]
    return said not in proper and any(slips.within(said, name, most) for name in proper)


class Completion:
    """Completion for one nursery as its records stand. `Completion.of(nursery)` is built anew when they change."""

    def __init__(self, own: Own, known: Names) -> None:
        self.own, self.known = own, known
        self._usual = self._names_for("")

    @classmethod
    def of(cls, nursery) -> Completion:
        """Built in a few milliseconds, the names of the knowledge base once for a process."""
        return cls(own_names(nursery), known_names(nursery.knowledge))

    def offers(self, text: str, cursor: int | None = None, recent: Sequence[str] = ()) -> tuple[Offer, ...]:
        """How the text may go on at the cursor (its end, where none is told). `recent` are lines sent before, the newest last."""
        cursor = len(text) if cursor is None else cursor
        before = text[:cursor]
        if not before.strip():
            return ()
        ranked: list[tuple[int, Offer]] = []
        if cursor == len(text) and len(before) <= LONGEST:
            ranked += self._lines(before, recent)
        if cursor == len(text) or not text[cursor].isalnum():
            ranked += self._names(before)
        ranked.sort(key=lambda pair: pair[0])
        found: dict[str, Offer] = {}
        for _, offer in ranked:
            whole = _bare(offer.put_into(text)[0])
            if whole != _bare(text):
                found.setdefault(whole, offer)
        return tuple(found.values())[:OFFERS]

    def _lines(self, typed: str, recent: Sequence[str]) -> list[tuple[int, Offer]]:
        """Whole lines: those that begin so, then those that hold every word."""
        folded = fold(typed.lstrip())
        words = folded.split()
        at_all = len(folded) >= 2
        lines = [line for line in dict.fromkeys(reversed(recent)) if len(line.strip()) >= FUZZY_FROM]
        often = self._sentences(typed)
        ranked = []
        for line in lines if at_all else ():
            place = 0 if fold(line).startswith(folded) else 50 if _holds(line, words) else None
            if place is not None:
                ranked.append((place, Offer(0, len(typed), line, "line")))
        ranked = sorted(ranked, key=lambda pair: pair[0])[:MOST_LINES]
        for sentence in often if at_all else ():
            begins = fold(sentence).startswith(folded)
            place = (10 if len(words) > 1 else 30) if begins else 60 if len(words) > 1 and _holds(sentence, words) else None
            if place is not None:
                # Where the last word is whole there (`how many A`), it is not merely the beginning of another (`animals`).
                split = begins and fold(sentence)[len(folded) : len(folded) + 1].isalnum()
                ranked.append((place + split, Offer(0, len(typed), sentence, "sentence")))
        if not ranked and len(folded) >= FUZZY_FROM + 2:
            ranked += [(80, Offer(0, len(typed), line, "line")) for line in _alike(folded, lines)]
        return ranked

    def _names(self, before: str) -> list[tuple[int, Offer]]:
        """Names that the last words begin, the longest run of words first."""
        end, ranked = len(before), []
        starts = [word.start() for word in WORD.finditer(before[-120:])][-MOST_WORDS:]
        shift = max(end - 120, 0)
        for words, start in zip(range(len(starts), 0, -1), (shift + each for each in starts)):
            query = fold(before[start:])
            if words == 1 and (query in SMALL or (len(query) == 1 and query.isdigit())):
                continue
            if start and query in self.own.names.whole:
                return []  # the line names one of the keeper's own: nothing is to be made of it
            more = words * 2
            whole = words > 1 or query.endswith(" ")
            for name in self.own.names.beginning(query, OFFERS, inside=not whole and len(query) > 1):
                ranked.append((20 - more, Offer(start, end, name, "name")))
            if len(query) >= KNOWN_FROM and query not in self.known.whole:
                late = 20 if words == 1 and ordinary(query) else 0
                for name in self.known.beginning(query, OFFERS, inside=not whole and not late):
                    ranked.append((40 - more + late, Offer(start, end, name, "name")))
        if not ranked and starts:
            query, start = fold(before[shift + starts[-1] :]), shift + starts[-1]
            if len(query) >= 2 and query not in SMALL and not ordinary(query) and not query.endswith(" ") and not _speaks(query):
                ranked += [(55, Offer(start, end, name, "name")) for name in self.own.names.scattered(query[:20], 3)]
            if FUZZY_FROM <= len(query) <= 40 and not ordinary(query):
                ranked += [(54, Offer(start, end, name, "name")) for name in self.own.names.like(query, 3)]
                ranked += [(70, Offer(start, end, name, "name")) for name in self.known.like(query, 3)]
        return ranked

    def _sentences(self, typed: str) -> list[str]:
        """Sentences with the names that fit; of what is done again and again, for each of the places where it was done longest ago."""
        names = self._names_for(typed)
        more = [
            {place: name} for place in ("fed", "cleaned") if not names["place"] for name in getattr(self.own, place)[1:MOST_LINES]
        ]
        return [*filled(names), *(sentence for each in more for sentence in filled(each, AGAIN))]

    def _names_for(self, typed: str) -> dict[str, str]:
        """What stands in the places of a sentence: what the line names already, else the first that fits."""
        own, said = self.own, f" {fold(typed)} "
        first = {stage: next((label for label, there in own.stages.items() if stage in there), "") for stage in STAGES}
        names = {
            **first,
            "cohort": next(iter(own.stages), ""),
            "enclosure": own.places[0] if own.places else "",
            "fed": (*own.fed, *own.places, "")[0],
            "cleaned": (*own.cleaned, *own.places, "")[0],
            "place": "",
            "species": own.species[0] if own.species else "monarch",
            "plant": own.plants[0] if own.plants else "milkweed",
            "number": "2",
        }
        if not typed:
            return names
        cohort = _named(said, own.stages)
        if cohort:
            names |= {"cohort": cohort, **{stage: cohort if stage in own.stages[cohort] else "" for stage in STAGES}}
        for place, among in (("enclosure", own.places), ("species", own.species), ("plant", own.plants)):
            names[place] = _named(said, among) or names[place]
        if place := _named(said, own.places):
            names |= {"place": place, "fed": place, "cleaned": place}
        if number := NUMBER.search(typed):
            names["number"] = number[0]
        return names


def _bare(line: str) -> str:
    """Lines that differ in nothing else are the same to a reader."""
    return line.casefold().rstrip("?!. ")


def _speaks(begun: str) -> bool:
    """Whether it begins a word that stands before a name (`coh`): it is no name in short."""
    return any(word.startswith(begun) for word in COHORT_WORDS | STAGES_SAID.keys())


def _named(said: str, names: Iterable[str]) -> str:
    """The name that the line holds as words of its own, or that its last words begin."""
    words = said.split()
    ends = [" ".join(words[-number:]) for number in range(min(MOST_WORDS, len(words)), 0, -1)]
    begun = ""
    for name in names:
        folded = fold(name)
        if f" {folded} " in said:
            return name
        if not begun and any(folded.startswith(end) for end in ends if end not in SMALL):
            begun = name
    return begun


def _holds(line: str, words: Sequence[str]) -> bool:
    """Whether a line holds every word, each at the beginning of one of its own."""
    line = f" {fold(line)}"
    return all(f" {word}" in line for word in words)


def _alike(folded: str, lines: Sequence[str]) -> list[str]:
    """Lines that are nearly so, slips and order aside; not such as are only a part of it."""
    from rapidfuzz import fuzz
    from rapidfuzz.process import extract

    lines = [line for line in lines if 2 * len(line) >= len(folded)]
    return [
        lines[which]
        for _, _, which in extract(folded, [fold(line) for line in lines], scorer=fuzz.token_set_ratio, score_cutoff=80, limit=3)
    ]
