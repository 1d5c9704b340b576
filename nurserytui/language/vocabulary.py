"""Every name a line may hold: the keeper's labels, the species, plants and agents of the knowledge base, and the words for stages."""

from __future__ import annotations

import re
import sys
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from nurserytui import paths
from nurserytui.knowledge.compiled import blake2b, kept
from nurserytui.language import normalise, phrases, slips
from nurserytui.language.label_beginnings import beginnings
from nurserytui.language.normalise import key, stem, tokenise
from nurserytui.language.ordinary import HEADS, NAME_HEADS, STAGES, ordinary
from nurserytui.language.request import Named

FAMILY_WORDS = frozenset(word for word in NAME_HEADS if word.endswith("s")) - {"butterflies", "moths"} | {"ladies"}
"""Last words of names, in the plural, that tell some of the keeper's species from the others."""
LONGEST_NAME = 6
"""Words in the longest name."""
KINDS = ("species", "plant", "agent")


class Name(NamedTuple):
    """What a run of words may be called: names of one kind, the usual first."""

    kind: str
    means: tuple[str, ...]
    usual: bool


class Entry(NamedTuple):
    names: tuple[Name, ...]
    """One for each kind the words may mean, species before plants before agents."""


class NameIndex:
    """The names of the knowledge base by their words. Built once for a knowledge base; `plain` is what `gathered` gives."""

    def __init__(self, plain: dict[str, object]) -> None:
        self._phrases: dict[str, tuple] = plain["phrases"]
        self._compact: dict[str, str] = plain["compact"]
        self.words: frozenset[str] = plain["words"]
        self.short = frozenset(phrase for phrase in self._phrases if len(phrase) == 4 and phrase.isalpha())
        """Names of four letters (`kale`), too short to be mended by their likeness."""
        self._lexicon: list[str] | None = None
        self._mended: dict[str, tuple[str, ...]] = {}
        self._initials: dict[str, list[tuple[str, ...]]] | None = None

    def find(self, words: Sequence[str]) -> Entry | None:
        """What these (stemmed) words together are the name of."""
        phrase = " ".join(words)
        if phrase not in self._phrases:
            phrase = self._compact.get(phrase.replace(" ", ""), "") if len(words) < 4 and len(phrase) >= 6 else ""
        return Entry(tuple(Name(*name) for name in self._phrases[phrase])) if phrase else None

    def mend(self, word: str) -> tuple[str, ...]:
        """The words of names (or stage words) that a misspelt word is nearest to; none for ordinary and for known words."""
        if (
            len(word) < 5
            or ordinary(word)
            or word in phrases.load().words
            or word in self.words
            or word in STAGES
            or not word.isalpha()
        ):
            return ()
        if word.endswith("ss") and (bare := stem(word[:-1])) in self.words:
            return (bare,)  # `sassafrass`, of a name of which the stem has lost its own s
        if word not in self._mended:
            if self._lexicon is None:
                self._lexicon = sorted(self.words | {stem(each) for each in STAGES if len(each) >= 5} | _HEAD_STEMS)
            near = [
                (errors, self._lexicon[place])
                for errors, place in slips.closest(word, self._lexicon, slips.allowed(len(word)), 8)
                if errors <= slips.allowed(min(len(self._lexicon[place]), len(word)) + (errors == 1))
                and (len(word) > 6 or self._lexicon[place][0] == word[0])
            ]
            least = min((errors for errors, _ in near), default=0)
            if len(self._mended) > 5000:
                self._mended.clear()
            self._mended[word] = tuple(found for errors, found in sorted(near) if errors == least)
        return self._mended[word]

    def near(self, words: Sequence[str]) -> tuple[str, ...]:
        """The one name of as many words in which each is right but for one slip (two in a long one where the rest is right), its first
        letter being right: `lrge wite` is `large white`. () where none or several fit. For the words that `mend` leaves alone."""
        if self._initials is None:
            self._initials = {}
            for phrase in self._phrases:
                parts = tuple(phrase.split())
                if len(parts) in (2, 3) and all(len(part) > 2 for part in parts):
                    self._initials.setdefault("".join(part[0] for part in parts), []).append(parts)
        found = []
        for parts in self._initials.get("".join(word[0] for word in words), ()):
            away = [slips.between(one, two, 2) for one, two in zip(words, parts)]
            if max(away) <= 1 or (sum(away) == 2 and min(len(parts[away.index(2)]), len(words[away.index(2)])) > 6):
                found.append(parts)
        return found[0] if len(found) == 1 else ()


_HEAD_STEMS = {stem(head) for head in NAME_HEADS if len(head) >= 6}


_ODD = re.compile(r"[^A-Za-z '.-]")


def phrase_key(text: str) -> str:
    """How a whole name is looked up: plain stems with single spaces."""
    if text.isascii() and not _ODD.search(text):
        return spelling(" ".join(map(stem, text.lower().replace("-", " ").replace(".", " ").split())))
    return spelling(" ".join(key(token.text) for token in tokenise(text)))


_SPELLINGS = {"sulfur": "sulphur", "gray": "grey", "frit": "fritillary"}


def spelling(phrase: str) -> str:
    """One spelling for words with two."""
    return " ".join(_SPELLINGS.get(word, word) for word in phrase.split())


def gathered(aliases: Sequence) -> dict[str, object]:
    """Names by their words as plain tuples: `phrases` from a phrase to (kind, meanings, usual) of each kind, `compact` from a phrase
    written in one word to the phrase, `words` every longer word in them."""
    found: dict[str, dict[str, tuple]] = {}
    for alias in aliases:
        phrase = phrase_key(alias.alias) if alias.kind in KINDS else ""
        if not phrase:
            continue
        kinds = found.setdefault(phrase, {})
        known = kinds.get(alias.kind)
        if known is None:
            kinds[alias.kind] = (alias.kind, tuple(alias.means), bool(alias.usual) or len(alias.means) == 1)
        else:
            kinds[alias.kind] = (alias.kind, (*known[1], *(each for each in alias.means if each not in known[1])), known[2])
    for phrase, name in _epithets(aliases).items():
        found.setdefault(phrase, {"species": ("species", (name,), True)})
    compact: dict[str, str] = {}
    for phrase in found:
        joined = phrase.replace(" ", "")
        if len(joined) >= 6:
            compact.setdefault(joined, phrase)
    return {
        "phrases": {phrase: tuple(kinds[kind] for kind in KINDS if kind in kinds) for phrase, kinds in found.items()},
        "compact": compact,
        "words": frozenset(word for phrase in found for word in phrase.split() if len(word) >= 5),
    }


def _epithets(aliases: Sequence) -> dict[str, str]:
    """`xuthus`: the second word of a scientific name that only one species or plant has, and that is no ordinary word."""
    bearers: dict[str, set[str]] = {}
    for alias in aliases:
        words = alias.means[0].split()
        if len(words) == 2 and len(words[1]) > 4 and not ordinary(words[1]):
            bearers.setdefault(phrase_key(words[1]), set()).add(f"{alias.kind} {alias.means[0]}")
    found = {}
    for epithet, names in bearers.items():
        kind, name = next(iter(names)).split(" ", 1)
        if len(names) == 1 and kind == "species":
            found[epithet] = name
    return found


_indexes: list[tuple[object, NameIndex]] = []
"""The index of the knowledge base last used; one is enough for a process."""


def _index_of(knowledge) -> NameIndex:
    if not _indexes or _indexes[0][0] is not knowledge:
        stamp = getattr(knowledge, "stamp", "")
        if stamp:
            code = b"".join(Path(module.__file__).read_bytes() for module in (sys.modules[__name__], normalise))
            stamp = blake2b(stamp.encode() + code, digest_size=20).hexdigest()
            plain = kept("names", stamp, lambda: gathered(knowledge.aliases()), paths.user_cache())
        else:
            plain = gathered(knowledge.aliases())
        _indexes[:] = [(knowledge, NameIndex(plain))]
    return _indexes[0][1]


class Vocabulary:
    """The names in one nursery. `Vocabulary.of(nursery)` keeps it until the records change."""

    def __init__(self, nursery) -> None:
        ledger, settings = nursery.ledger, nursery.settings
        self.names = _index_of(nursery.knowledge)
        self.cohorts: dict[str, str] = {}
        """Folded label to label, former labels too."""
        self.letters: dict[str, str] = {}
        """Single-letter labels as written, and what they are called now."""
        self.marks: dict[str, set[str]] = {}
        for label, cohort in ledger.cohorts.items():
            for former in getattr(cohort, "former_labels", ()) or ():
                self._add_cohort(former, label)
        for label in ledger.cohorts:
            self._add_cohort(label, label, over=True)
        for head in ledger.heads:
            if head.mark:
                self.marks.setdefault(head.cohort, set()).add(str(head.mark))
        self.enclosures: dict[str, str] = {}
        logged = nursery.logged_places() if hasattr(nursery, "logged_places") else ()
        set_up = (*(getattr(settings, "volumes", None) or ()), *(getattr(settings, "air", None) or ()))
        for label in {*ledger.enclosures, *set_up, *logged}:
            if label:
                self.enclosures[fold(label)] = label
        self._unhyphened = {_joined(label): label for label in self.enclosures.values()}
        """Labels by how they are looked up where `pop-up` is written `popup`, or the other way round."""
        self._heads: dict[str, list[str]] = {}
        for folded, label in self.enclosures.items():
            words = folded.split()
            if len(words) > 1:
                numbered = words[-1].isdigit() or len(words[-1]) == 1
                self._heads.setdefault(words[-2] if numbered else words[-1], []).append(label)
        self.label_words = frozenset(
            word for folded in self.enclosures for word in folded.split() if len(word) > 2 and word.isalpha()
        )
        """The words in the labels of enclosures."""
        self.own_heads = {
            words[0]
            for words in map(str.split, self.enclosures)
            if len(words) == 2 and (words[1].isdigit() or len(words[1]) == 1)
        }
        """What the keeper's numbered enclosures are called (`deli` where there is a `deli 4`): a new number is another of them."""
        self.longest = max([LONGEST_NAME, *(len(each.split()) for each in (*self.enclosures, *self.cohorts))])
        self.families = _families(nursery)
        alive = {head.cohort for head, count in ledger.heads.items() if count > 0}
        self.beginnings = beginnings(nursery, alive)
        """Words by which the label of one living cohort begins."""
        self.living_letters = {letter for letter, label in self.letters.items() if label in alive}
        """Those of the letters of which animals are alive."""
        self.stems = _stems(alive)
        """The word in front of the number of a label (`moon` of `moon-26`) -> that cohort, where one alive is so called."""
        self.own_species = {
            ledger.cohorts[label].species for label in alive if label in ledger.cohorts and ledger.cohorts[label].species
        }

    @classmethod
    def of(cls, nursery) -> Vocabulary:
        """The vocabulary of a nursery, kept on it until its records change."""
        version = getattr(nursery, "version", None)
        kept = getattr(nursery, "_vocabulary", None)
        if kept is None or version is None or kept[0] != version:
            kept = (version, cls(nursery))
            nursery._vocabulary = kept
        return kept[1]

    def _add_cohort(self, label: str, means: str, over: bool = False) -> None:
        if len(label) == 1:
            if over or label not in self.letters:
                self.letters[label] = means
            return
        folded = fold(label)
        for each in (folded, folded.removeprefix("the ")):  # `twins` of a cohort `the twins`
            if each and (over or each not in self.cohorts):
                self.cohorts[each] = means

    def cohort(self, words: Sequence[str]) -> str | None:
        """The cohort that these words are the label of, in any case and with hyphens or spaces."""
        return self.cohorts.get(fold(" ".join(words)))

    def near_cohort(self, word: str) -> str | None:
        """The one cohort whose label differs from the word by one letter, all figures being the same; for labels of five letters
        and figures or more."""
        match = _LABEL.fullmatch(word)
        if not match or len(match[1]) < 4:
            return None
        tail = match[2].lstrip("-")
        found = {
            label
            for folded, label in self.cohorts.items()
            if (parts := folded.rsplit(" ", 1))[-1] == tail and len(parts) == 2 and slips.within(parts[0], match[1])
        }
        return found.pop() if len(found) == 1 else None

    def enclosure(self, words: Sequence[str]) -> str | None:
        """The enclosure that these words are the label of."""
        said = " ".join(words)
        return self.enclosures.get(fold(said)) or self._unhyphened.get(_joined(said))

    def near_enclosure(self, words: Sequence[str]) -> str | None:
        """The one enclosure whose label these words are with one word mistyped (`nroth cage`), or written apart or together otherwise
        (`popup cage`); all figures and all other words being the same."""
        typed = fold(" ".join(words)).split()
        joined = "".join(typed)
        found = set()
        for folded, label in self.enclosures.items():
            parts = folded.split()
            if len(joined) >= 5 and joined == "".join(parts):
                return label
            wrong = [(one, two) for one, two in zip(typed, parts) if one != two]
            if len(parts) != len(typed) or len(wrong) != 1 or not all(each.isalpha() for each in wrong[0]):
                continue
            one, two = wrong[0]
            short = len(two) == 3 and two in HEADS and sorted(one) == sorted(two)
            most = max(1, slips.allowed(len(two))) if len(two) > 3 or short else 0
            if slips.within(one, two, most) and self._mistyped(one, two):
                found.add(label)
        return found.pop() if len(found) == 1 else None

    def _mistyped(self, one: str, two: str) -> bool:
        """Whether a word that is not quite that of a label is no word of its own."""
        known = ordinary(one) or one in HEADS or one in STAGES or one in self.names.words or self.names.find((key(one),))
        return not known and one not in phrases.load().known and (one[0] == two[0] or len(two) > 4)

    def only_enclosure(self, noun: str) -> str | None:
        """The one enclosure called by this noun (`the sleeve`), or None where there are none or several."""
        labels = self._heads.get(noun) or ()
        return labels[0] if len(labels) == 1 else None

    def named(self, said: str, name: Name, sure: float) -> Named:
        """A name found in a line. The keeper's own animals settle an ambiguous one where they can."""
        means, usual = name.means, name.usual
        if name.kind == "species" and len(means) > 1:
            own = tuple(each for each in means if each in self.own_species)
            if own and not (usual and means[0] in own):
                means = (*own, *(each for each in means if each not in own))
                usual = len(own) == 1
        return Named(said, means, usual, sure)


def _stems(labels: set[str]) -> dict[str, str]:
    found: dict[str, list[str]] = {}
    for label in labels:
        if (parts := _LABEL.fullmatch(label.casefold())) and len(parts[1]) > 2:
            found.setdefault(parts[1], []).append(label)
    return {stem: labels[0] for stem, labels in found.items() if len(labels) == 1}


def _families(nursery) -> dict[str, tuple[str, ...]]:
    """`whites`, `ladies`: the plural of the last word of a name -> the species so called that the keeper has had."""
    own = {cohort.species for cohort in nursery.ledger.cohorts.values() if cohort.species}
    found: dict[str, tuple[str, ...]] = {}
    for alias in nursery.knowledge.aliases():
        if alias.kind == "species" and alias.means and alias.means[0] in own:
            word = alias.alias.casefold().split()[-1]
            plural = f"{word[:-1]}ies" if word.endswith("y") else f"{word}s"
            if plural in FAMILY_WORDS and alias.means[0] not in found.get(plural, ()):
                found[plural] = (*found.get(plural, ()), alias.means[0])
    return found


_LABEL = re.compile(r"([^\W\d_]+)(-?\d+)")


def _joined(label: str) -> str:
    """A label as it is looked up where its hyphens join what they stand between."""
    return fold(label.replace("-", ""))


@lru_cache(maxsize=4096)
def fold(label: str) -> str:
    """A label as it is looked up: lower case, hyphens and underscores as spaces, no possessive ending; figures apart from letters
    only where the keeper wrote them so."""
    folded = label.casefold().replace("-", " ").replace("_", " ")
    if folded.endswith("'s"):
        folded = folded[:-2]
    return " ".join(folded.replace("'", "").split())
