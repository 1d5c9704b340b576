"""Names as people type them: one spelling for look-up, the forms under which a name is found, and matching with few typos."""

from __future__ import annotations

import re
import unicodedata

from .facts import Alias

_APOSTROPHES = re.compile(r"['’‘`´]")
_NOT_NAME = re.compile(r"[^a-z0-9]+")
_SPELLINGS = {"sulfur": "sulphur", "sulfurs": "sulphurs", "gray": "grey"}
_KEPT = re.compile(r"(ss|us|is|as)$")


def plain(text: str) -> str:
    """Lower case, no accents, apostrophes or punctuation, one spelling of sulphur and grey, single spaces."""
    low = text.casefold()
    if not low.isascii():
        low = unicodedata.normalize("NFKD", low)
        low = "".join(letter for letter in low if not unicodedata.combining(letter)).replace("×", "x")
    words = _NOT_NAME.sub(" ", _APOSTROPHES.sub("", low)).split()
    return " ".join(_SPELLINGS.get(word, word) for word in words)


def singular(name: str) -> str:
    """A plain name with its last word made singular, by the usual rules of English; unknown forms stay as they are."""
    head, _, last = name.rpartition(" ")
    if len(last) > 3 and last.endswith("s") and not _KEPT.search(last):
        if last.endswith("ies"):
            last = last[:-3] + "y"
        elif last.endswith("leaves"):
            last = last[:-3] + "f"
        elif last.endswith(("ches", "shes", "xes", "toes")):
            last = last[:-2]
        else:
            last = last[:-1]
    elif last in ("larvae", "pupae"):
        last = last[:-1]
    return f"{head} {last}" if head else last


def forms(alias: str) -> set[str]:
    """The keys under which an alias is found: as written, singular, and as one word where it is long enough for that."""
    whole = plain(alias)
    found = {whole, singular(whole)}
    found |= {each.replace(" ", "") for each in found if " " in each and len(each) > 6}
    return found - {""}


def budget(length: int) -> int:
    """How many typing errors a name of this length may hold: none up to 4 letters, 1 up to 8, 2 above."""
    return 0 if length <= 4 else 1 if length <= 8 else 2


def made(species, plants, agents, given: dict[str, Alias]) -> list[Alias]:
    """All aliases: those given, and those that follow from the facts (scientific, shortened, common and genus names).

    Where a name follows from several facts and was not given, it means all of them and none is usual.
    """
    found: dict[tuple[str, str], Alias] = {}
    for alias in given.values():
        found[alias.kind, plain(alias.alias)] = alias
    settled = set(found)

    def add(alias: str, kind: str, means: str) -> None:
        key = (kind, plain(alias))
        if key in settled or not key[1]:
            return
        known = found.get(key)
        if known is None:
            found[key] = Alias(alias, kind, (means,), True)
        elif means not in known.means:
            found[key] = known._replace(means=(*known.means, means), usual=False)

    for kind, facts in (("species", species), ("plant", plants), ("agent", agents)):
        for fact in facts:
            scientific, common = (fact.name, fact.common) if kind == "agent" else (fact.scientific, fact.common)
            add(scientific, kind, scientific)
            for each in common:
                add(each, kind, scientific)
        if kind == "agent":
            continue
        whole = {fact.scientific.removesuffix(" spp.") for fact in facts if fact.scientific.endswith(" spp.")}
        for fact in facts:
            genus, _, rest = fact.scientific.partition(" ")
            if rest and rest != "spp.":
                add(f"{genus[0]}. {rest}", kind, fact.scientific)
                add(genus, kind, f"{genus} spp." if genus in whole else fact.scientific)
            elif rest:
                add(genus, kind, fact.scientific)
    return list(found.values())


def index(aliases: list[Alias]) -> dict[str, tuple[int, ...]]:
    """Form -> numbers of the aliases that it stands for."""
    found: dict[str, list[int]] = {}
    for number, alias in enumerate(aliases):
        for form in forms(alias.alias):
            found.setdefault(form, []).append(number)
    return {form: tuple(numbers) for form, numbers in sorted(found.items())}


class Names:
    """Look-up of names, exact and with few typos; whole names only, never a piece of a word."""

    def __init__(self, aliases: tuple[Alias, ...], index: dict[str, tuple[int, ...]]):
        self.aliases = aliases
        self.index = index
        self._by_length: dict[int, list[str]] | None = None

    def exact(self, text: str, kinds: tuple[str, ...] = ()) -> tuple[Alias, ...]:
        """The aliases that the text is, in any spelling, number or spacing that `forms` knows."""
        whole = plain(text)
        one = singular(whole)
        for form in (whole, one, one.replace(" ", "") if len(one) > 6 else ""):
            numbers = self.index.get(form, ())
            found = [self.aliases[number] for number in numbers if not kinds or self.aliases[number].kind in kinds]
            if found:
                written = [alias for alias in found if plain(alias.alias) in (whole, one)]
                found = written or found
                return tuple({(alias.kind, alias.means[0]): alias for alias in reversed(found)}.values())[::-1]
        return ()

    def match(self, text: str, kinds: tuple[str, ...] = (), limit: int = 5) -> list[tuple[Alias, float]]:
        """Aliases for the text with a score in (0, 1], best first: 1 for an exact name, less by its typing errors.

        The errors allowed are those of `budget` for the shorter of text and name; swapped neighbours are one error. A name of
        up to eight letters must begin with the letter typed.
        """
        found = self.exact(text, kinds)
        if found:
            return [(alias, 1.0) for alias in found]
        whole = plain(text)
        if len(whole) <= 4:
            return []
        from rapidfuzz.distance import OSA
        from rapidfuzz.process import extract

        if self._by_length is None:
            self._by_length = {}
            for form in self.index:
                self._by_length.setdefault(len(form), []).append(form)
        best: dict[int, float] = {}
        asked = {whole, singular(whole)}
        for query in asked:
            for length in range(len(query) - 2, len(query) + 3):
                allowed = budget(min(length, len(query)))
                near = self._by_length.get(length, ())
                if not allowed or abs(length - len(query)) > allowed or not near:
                    continue
                for form, errors, _ in extract(query, near, scorer=OSA.distance, score_cutoff=allowed, limit=limit):
                    if len(form) <= 8 and form[0] != query[0]:
                        continue
                    score = 1 - errors / max(length, len(query))
                    for number in self.index[form]:
                        if not kinds or self.aliases[number].kind in kinds:
                            best[number] = max(best.get(number, 0), score)
        ranked = sorted(best.items(), key=lambda pair: (-pair[1], pair[0]))
        return [(self.aliases[number], score) for number, score in ranked[:limit]]
