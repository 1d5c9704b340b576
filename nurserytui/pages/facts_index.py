"""Everything in the knowledge base under the names and words by which it is looked for: whole names, their beginnings, words, typing errors."""

from __future__ import annotations

import sys
from bisect import bisect_left
from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from nurserytui import paths
from nurserytui.knowledge import names as names_of
from nurserytui.knowledge.compiled import blake2b, kept
from nurserytui.knowledge.names import budget, plain, singular
from nurserytui.pages import facts_animals, facts_cards, facts_words
from nurserytui.pages.facts_cards import card
from nurserytui.pages.facts_words import OWN, Card, Which

KINDS = {
    "species": 1.0,
    "plant": 1.0,
    "disinfectant": 0.98,
    "agent": 0.97,
    "rule": 0.9,
    "sign": 0.9,
    "look-alike": 0.88,
    "cutting": 0.8,
    "growth": 0.78,
    "hazard": 0.76,
    "relatives": 0.7,
    "rates": 0.7,
    "pairing": 0.6,
    "source": 0.5,
}
"""Every kind of entry, and how far up it stands where several are called the same: what is about a whole thing before what is of it."""
WHOLE = ("species", "plant", "disinfectant", "agent", "rule", "sign", "look-alike", "source")
"""The kinds whose entries are what their names name; the others are parts of those."""
NAMED, ALSO, BEGUN, INSIDE, TYPO = 1.0, 0.9, 0.8, 0.35, 0.6
"""What a typed word is worth that is a word of the title, of another name, begins one, stands in the text, or is a word of a name with typing errors."""
SMALL = frozenset("a an and are at by can do does for how i in is it my of on or the to what when which who with".split())
"""Words that look for nothing, where others stand beside them."""
SHORTEST = 3
"""Letters from which a word is looked for in the text as well, not only in names."""
FEWEST = 4
"""Letters from which a word may hold a typing error."""
LIKE = 55.0
"""Likeness in per cent from which a word is a near miss."""
NEAR = 8
"""Near misses that are offered where nothing fits."""


class Entry(NamedTuple):
    which: Which
    title: str
    names: tuple[str, ...]
    """Every name of it, as `names.plain` has them."""
    own: bool


def gathered(knowledge) -> dict[str, object]:
    """All entries and the words that lead to them, as plain values that can be kept in a file."""
    rows: list[tuple] = []
    citing: dict[str, list[tuple]] = {}
    exact: dict[str, set[int]] = {}
    titles: dict[str, set[int]] = {}
    names: dict[str, set[int]] = {}
    words: dict[str, set[int]] = {}
    called = _called(knowledge)
    for number, which in enumerate(every(knowledge)):
        made = card(which, knowledge)
        told = (made.title, which.name.replace("-", " "), *called.get(which, ()))
        known = tuple(dict.fromkeys(name for name in map(plain, told) if name)) or (which.name,)
        rows.append((which.kind, which.name, made.title, known, made.own and which != Which("source", OWN)))
        for name in known:
            exact.setdefault(name, set()).add(number)
            for word in name.split():
                names.setdefault(word, set()).add(number)
        for word in known[0].split():
            titles.setdefault(word, set()).add(number)
        for fact in made.facts:
            for word in plain(fact.text).split():
                words.setdefault(word, set()).add(number)
        if which.kind != "source":
            for source in made.cited:
                citing.setdefault(source.id, []).append(tuple(which))
    return {"rows": rows, "exact": exact, "titles": titles, "names": names, "words": words, "citing": citing}


def index_of(knowledge) -> Index:
    """The index of that knowledge base, from the cache where neither the facts nor how they are gathered has changed."""
    if not knowledge.stamp:
        return Index(knowledge, gathered(knowledge))
    parts = (facts_animals, facts_cards, facts_words, names_of, sys.modules[__name__])
    code = b"".join(Path(module.__file__).read_bytes() for module in parts)
    stamp = blake2b(knowledge.stamp.encode() + code, digest_size=20).hexdigest()
    return Index(knowledge, kept("facts", stamp, lambda: gathered(knowledge), paths.user_cache()))


class Index:
    """Looks entries up. It never changes; a search takes a few milliseconds."""

    def __init__(self, knowledge, parts: dict) -> None:
        self.knowledge = knowledge
        self.entries = [Entry(Which(kind, name), title, names, own) for kind, name, title, names, own in parts["rows"]]
        self.places = {entry.which: number for number, entry in enumerate(self.entries)}
        self._by_name = sorted(self.entries, key=lambda entry: (-KINDS[entry.which.kind], entry.names[0]))
        self._citing = parts["citing"]
        self._exact = parts["exact"]
        self._titles, self._title_words = parts["titles"], sorted(parts["titles"])
        self._names, self._name_words = parts["names"], sorted(parts["names"])
        self._words, self._text_words = parts["words"], sorted(parts["words"])

    def card(self, which: Which) -> Card:
        """The card of an entry."""
        citing = self._citing.get(which.name, ()) if which.kind == "source" else ()
        return card(which, self.knowledge, [Which(*one) for one in citing])

    def entry(self, which: Which) -> Entry:
        return self.entries[self.places[which]]

    def counts(self) -> dict[str, int]:
        """How many entries there are of each kind."""
        found = dict.fromkeys(KINDS, 0)
        for entry in self.entries:
            found[entry.which.kind] += 1
        return found

    def search(self, text: str, kind: str = "") -> list[Entry]:
        """What fits, best first; everything (of the kind) where nothing is typed."""
        typed = plain(text).split()
        if not typed:
            return [entry for entry in self.entries if kind in ("", entry.which.kind)]
        if len(typed) == 1 and len(typed[0]) == 1:
            return [entry for entry in self._by_name if entry.names[0][0] == typed[0] and kind in ("", entry.which.kind)]
        said = " ".join(typed)
        typed = [word for word in typed if word not in SMALL] or typed
        each = [self._of_word(word) for word in typed]
        if len(each) > 1 and not set.intersection(*(set(found) for found, _ in each)):
            each = [self._of_word(word, True) for word in typed]
        scores = self._together([found for found, _ in each])
        whole = " ".join(meant for _, meant in each)
        for name, more in {singular(whole): 1.0, whole: 1.0, " ".join(typed): 1.0, said: 1.5}.items():
            for number in self._exact.get(name, ()):
                scores[number] = max(scores.get(number, 0.0), NAMED) + more
        found = []
        for number, score in scores.items():
            entry = self.entries[number]
            if kind in ("", entry.which.kind):
                begins = 0.2 if any(name.startswith(whole) for name in entry.names) else 0.0
                found.append((-(score + begins) * KINDS[entry.which.kind], len(entry.names[0]), number))
        return [self.entries[number] for _, _, number in sorted(found)]

    def exactly(self, text: str) -> Entry | None:
        """The one whole thing that is called so, a species before a plant before the rest; None where none is, or several of a kind are."""
        for name in dict.fromkeys((plain(text), singular(plain(text)))):
            found = {number for number in self._exact.get(name, ()) if self.entries[number].which.kind in WHOLE}
            for kind in WHOLE:
                called = [number for number in found if self.entries[number].which.kind == kind]
                if called:
                    return self.entries[called[0]] if len(called) == 1 else None
        return None

    def near(self, text: str) -> list[Entry]:
        """Near misses: the whole things whose names hold a word most like one that was typed."""
        from rapidfuzz import fuzz, process

        found: dict[int, float] = {}
        for word in plain(text).split():
            for form, likeness, _ in process.extract(word, self._name_words, scorer=fuzz.ratio, limit=NEAR, score_cutoff=LIKE):
                for number in self._names[form]:
                    if self.entries[number].which.kind in WHOLE:
                        found[number] = max(found.get(number, 0.0), likeness)
        ranked = sorted(found, key=lambda number: (-found[number] * KINDS[self.entries[number].which.kind], number))
        return [self.entries[number] for number in ranked[:NEAR]]

    # One word ----------------------------------------------------------------------------------------------------------------

    def _of_word(self, word: str, mend: bool = False) -> tuple[dict[int, float], str]:
        """Entry -> what the word is worth for it; and the word that was meant, where it holds typing errors: looked for where nothing is
        named so, or where it is asked for."""
        found: dict[int, float] = {}
        one = singular(word)
        for form in {word, one}:
            self._add(found, self._titles.get(form, ()), NAMED)
            self._add(found, self._names.get(form, ()), ALSO)
        for form in _beginning(self._title_words, one):
            self._add(found, self._titles[form], BEGUN)
        for form in _beginning(self._name_words, one):
            self._add(found, self._names[form], BEGUN * ALSO)
        if len(word) >= SHORTEST:
            for form in _beginning(self._text_words, one):
                self._add(found, self._words[form], INSIDE)
        meant = word
        if not any(worth > INSIDE for worth in found.values()) or (mend and word not in self._names and one not in self._names):
            mended = self._mended(one)
            meant = mended[0][0] if mended else word
            for form, likeness in mended:
                self._add(found, self._names[form], TYPO * likeness)
        return found, meant

    @staticmethod
    def _add(found: dict[int, float], numbers: Iterable[int], worth: float) -> None:
        for number in numbers:
            if found.get(number, 0.0) < worth:
                found[number] = worth

    def _mended(self, word: str) -> list[tuple[str, float]]:
        """Words of names that were meant, where the word holds typing errors: whole ones first, then those of which it is a beginning."""
        allowed = budget(len(word)) or (1 if len(word) == FEWEST else 0)
        if not allowed:
            return []
        from rapidfuzz.distance import OSA
        from rapidfuzz.process import extract

        like = extract(word, self._name_words, scorer=OSA.distance, score_cutoff=allowed, limit=12)
        found = [(form, 1 - errors / max(len(word), len(form))) for form, errors, _ in like]
        if not found:
            for length in (len(word), len(word) + 1):
                begun = [form[:length] for form in self._name_words]
                like = extract(word, begun, scorer=OSA.distance, score_cutoff=allowed, limit=12)
                found += [(self._name_words[at], BEGUN * (1 - errors / length)) for _, errors, at in like]
        return found

    @staticmethod
    def _together(each: list[dict[int, float]]) -> dict[int, float]:
        """The entries that all of the words lead to; where none has all, those that most of them do."""
        count: dict[int, int] = {}
        total: dict[int, float] = {}
        for found in each:
            for number, worth in found.items():
                count[number] = count.get(number, 0) + 1
                total[number] = total.get(number, 0.0) + worth
        most = max(count.values(), default=0)
        if most < len(each) and most * 2 <= len(each) and len(each) > 1:
            return {}
        return {number: total[number] / len(each) for number, many in count.items() if many == most}


def _beginning(words: list[str], start: str):
    """The words that begin so, of a sorted list."""
    at = bisect_left(words, start)
    while at < len(words) and words[at].startswith(start):
        yield words[at]
        at += 1


def every(knowledge) -> list[Which]:
    """Every entry of the knowledge base, by kind."""
    plants = knowledge.all_plants()
    found = [Which("species", one.scientific) for one in knowledge.all_species()]
    found += [Which("plant", one.scientific) for one in plants]
    found += [Which("disinfectant", one.name) for one in knowledge.disinfectants()]
    found += [Which("agent", one.name) for one in knowledge.all_agents()]
    found += [Which("rule", one.id) for one in knowledge.rules()]
    found += [Which("sign", one.id) for one in knowledge.signs()]
    found += [Which("look-alike", one.name) for one in knowledge.look_alikes()]
    found += [Which("cutting", name) for name in knowledge.cutting_cards()]
    found += [Which("growth", name) for name in knowledge.species_with_numbers()]
    found += [Which("hazard", one.scientific) for one in plants if one.hazards]
    found += [Which("relatives", name) for name in knowledge.groups()]
    found += [Which("rates", knowledge.rate_shape.name)]
    found += [Which("pairing", f"{one.species} + {one.plant}") for one in knowledge.all_pairings()]
    return found + [Which("source", name) for name in knowledge.all_sources()]


def _called(knowledge) -> dict[Which, list[str]]:
    """The further names of entries: common names and the names people type."""
    found: dict[Which, list[str]] = {}
    for one in knowledge.all_species():
        found[Which("species", one.scientific)] = [*one.common]
    for one in knowledge.all_plants():
        found[Which("plant", one.scientific)] = [*one.common]
    for one in knowledge.all_agents():
        found[Which("agent", one.name)] = [*one.common]
    for one in knowledge.disinfectants():
        found[Which("disinfectant", one.name)] = [*one.words]
    for alias in knowledge.aliases():
        for name in alias.means:
            found.setdefault(Which(alias.kind, name), []).append(alias.alias)
    for one in knowledge.rules():
        found[Which("rule", one.id)] = [one.topic, *one.about]
    for sign in knowledge.signs():
        found[Which("sign", sign.id)] = [sign.sign]
    for name in knowledge.species_with_numbers():
        found[Which("growth", name)] = found.get(Which("species", name), [])
    return found
