"""What lines mean, as data: cue words, signals and example phrases from knowledge/phrases, compiled once into plain look-up tables.

`cues.toml` names groups of words, `records.toml` what tells of an event; the other files hold, for every topic, `signals` ("score: cue|CUE + cue - cue": all of the parts
before the minus must be in the line, none of those after it) and example `phrases` written with the kinds of spans in capitals.
"""

from pathlib import Path
from typing import NamedTuple

from nurserytui import paths
from nurserytui.knowledge.compiled import blake2b, kept

STOP = frozenset(
    "a an the please pls sorry thanks cheers ta of some just so ok okay well now then me us to for my our is are am be been do does it its".split()
)
"""Words left out when a line is compared with an example, on both sides."""

SAME = {"MARK": "COHORT", "ESTIMATE": "NUMBER", "TEMPERATURE": "AMOUNT", "VOLUME": "AMOUNT"}
"""Kinds of spans that examples do not tell apart."""

VOWELS = "aeiou"

Parts = tuple[tuple[str, ...] | None, ...]


class Signal(NamedTuple):
    topic: str
    score: float
    needs: tuple[tuple[str, ...], ...]
    """Of every group one cue must be there."""
    bars: frozenset[str]


class Example(NamedTuple):
    masked: str
    kinds: tuple[str, ...]
    """The kinds of spans in it, sorted."""
    topic: str


class Phrases(NamedTuple):
    """The compiled tables."""

    words: dict[str, tuple[str, ...]]
    """A single word -> the cues that it gives."""
    rows: dict[str, tuple[tuple[tuple[str, ...], str], ...]]
    """The first word of a longer phrase -> (the words after it, the cue)."""
    known: frozenset[str]
    """Every word that any cue, example or list of ordinary words holds: a word outside it is strange or mistyped."""
    initials: dict[str, tuple[str, ...]]
    """First letter -> the cue words that a typing slip may have been meant for."""
    leads: frozenset[str]
    skip: frozenset[str]
    headline: frozenset[str]
    lists: dict[str, frozenset[str]]
    signals: tuple[Signal, ...]
    exact: dict[str, str]
    """A masked example -> its topic; examples that two topics share are left out."""
    examples: tuple[Example, ...]
    vocabulary: dict[str, frozenset[str]]
    """Topic -> the words of its examples."""
    events: tuple[str, ...]
    """The kinds of events that phrases tell of, the foremost first."""
    telling: dict[str, tuple[tuple[str, Parts], ...]]
    """A word that can begin a phrase of an event -> (the event, the words in order: any of a group, or a gap where None stands)."""
    told: frozenset[str]
    """Every word of those phrases."""


_loaded: dict[Path | None, Phrases] = {}


def load(folder: Path | None = None) -> Phrases:
    """The tables of that folder (the shipped one by default), from the cache file if it is fresh, else compiled and put there."""
    if folder not in _loaded:
        _loaded[folder] = _typed(_plain(folder or paths.shipped("knowledge") / "phrases"))
    return _loaded[folder]


def _plain(folder: Path) -> dict[str, object]:
    files = sorted(folder.glob("*.toml"))
    digest = blake2b(Path(__file__).read_bytes(), digest_size=20)
    for file in files:
        digest.update(file.name.encode() + b"\0" + file.read_bytes())
    return kept("phrases", digest.hexdigest(), lambda: compile_phrases(files), paths.user_cache())


def _typed(plain: dict) -> Phrases:
    return Phrases(
        words=plain["words"],
        rows=plain["rows"],
        known=frozenset(plain["known"]),
        initials=plain["initials"],
        leads=frozenset(plain["leads"]),
        skip=frozenset(plain["skip"]),
        headline=frozenset(plain["headline"]),
        lists={name: frozenset(words) for name, words in plain["lists"].items()},
        signals=tuple(Signal(topic, score, needs, frozenset(bars)) for topic, score, needs, bars in plain["signals"]),
        exact=plain["exact"],
        examples=tuple(Example(*example) for example in plain["examples"]),
        vocabulary={topic: frozenset(words) for topic, words in plain["vocabulary"].items()},
        events=plain["events"],
        telling=plain["telling"],
        told=frozenset(plain["told"]),
    )


def compile_phrases(files: list[Path]) -> dict[str, object]:
    """The tables as plain tuples and dictionaries. A fault in the files is an error of ours: `ValueError` that names the place."""
    import tomllib

    documents = {file.stem: tomllib.loads(file.read_text(encoding="utf-8")) for file in files}
    cues = documents.pop("cues")
    records = documents.pop("records", {})
    words: dict[str, list[str]] = {}
    rows: dict[str, list[tuple[tuple[str, ...], str]]] = {}
    known: set[str] = set()
    for cue, entries in cues["cues"].items():
        for entry in entries:
            for phrase in expanded(entry):
                known.update(word for word in phrase if not word.isupper())
                if len(phrase) == 1:
                    if cue not in words.setdefault(phrase[0], []):
                        words[phrase[0]].append(cue)
                elif (phrase[1:], cue) not in rows.setdefault(phrase[0], []):
                    rows[phrase[0]].append((phrase[1:], cue))
    signals, exact, examples, shared = [], {}, [], set()
    vocabulary: dict[str, set[str]] = {}
    for stem, document in documents.items():
        for topic, entry in document.items():
            signals.extend(read_signal(topic, text, f"{stem}.toml") for text in entry.get("signals", ()))
            for phrase in entry["phrases"]:
                known.update(word for word in phrase.split() if not word.isupper())
                vocabulary.setdefault(topic, set()).update(phrase.split())
                masked = example_key(phrase.split())
                if exact.setdefault(masked, topic) != topic:
                    shared.add(masked)
                kinds = tuple(sorted(word for word in masked.split() if word.isupper()))
                examples.append((masked, kinds, topic))
    for masked in shared:
        del exact[masked]
    leads = {word for phrase in cues["leads"]["words"] for word in [phrase]}
    slips: dict[str, list[str]] = {}
    for word in sorted(known):
        if len(word) >= 4 and word.isalpha():
            slips.setdefault(word[0], []).append(word)
    lists = {name: tuple(text.split()) for name, text in cues["lists"].items()}
    known.update(*lists.values(), leads, cues["leads"]["skip"], STOP)
    return {
        "words": {word: tuple(found) for word, found in words.items()},
        "rows": {word: tuple(found) for word, found in rows.items()},
        "known": tuple(sorted(known)),
        "initials": {letter: tuple(found) for letter, found in slips.items()},
        "leads": tuple(sorted(leads)),
        "skip": tuple(cues["leads"]["skip"]),
        "headline": tuple(cues["leads"]["headline"]),
        "lists": lists,
        "signals": tuple(signals),
        "exact": exact,
        "vocabulary": {topic: tuple(sorted(words)) for topic, words in vocabulary.items()},
        "examples": tuple(example for example in examples if example[0] not in shared),
        "events": tuple(records),
        **read_telling(records),
    }


def read_telling(records: dict[str, list[str]]) -> dict[str, object]:
    """Phrases of events (`["walked|ran off", …]` by event) as look-up tables. A phrase that begins with a gap is an error."""
    telling: dict[str, list[tuple[str, Parts]]] = {}
    told: set[str] = set()
    for event, entries in records.items():
        for entry in entries:
            parts = tuple(None if part == "*" else tuple(part.split("|")) for part in entry.split())
            if parts[0] is None:
                raise ValueError(f"records.toml, {event}: “{entry}” begins with a gap")
            told.update(word for part in parts if part for word in part if word.islower())
            for first in parts[0]:
                telling.setdefault(first, []).append((event, parts))
    return {"telling": {word: tuple(found) for word, found in telling.items()}, "told": tuple(sorted(told))}


def read_signal(topic: str, text: str, place: str) -> tuple[str, float, tuple[tuple[str, ...], ...], tuple[str, ...]]:
    """`"5: a|b + c - d|e"` as (topic, 5.0, (("a", "b"), ("c",)), ("d", "e")). Fewer than two groups would fire on one word: an error."""
    score, _, rest = text.partition(":")
    wanted, _, bars = rest.partition(" - ")
    needs = tuple(tuple(group.strip().split("|")) for group in wanted.split(" + "))
    if len(needs) < 2:
        raise ValueError(f"{place}, {topic}: “{text}” needs two signals at least")
    return topic, float(score), needs, tuple(bar.strip() for bar in bars.split("|") if bar.strip())


def example_key(words: list[str]) -> str:
    """Words of a masked line in the form in which lines and examples are compared, `i'm` as `im`; never a bare word that was not alone (`where
    are they`)."""
    plain = [word.replace("'", "") for word in words]
    kept = [SAME.get(word, word) for word in plain if word not in STOP]
    return " ".join(kept if len(kept) > 1 else plain)


def expanded(entry: str) -> list[tuple[str, ...]]:
    """The phrases that an entry of a cue stands for: itself, or one for every form of its word that ends in `~`."""
    found: list[tuple[str, ...]] = [()]
    for word in entry.split():
        shapes = forms(word[:-1]) if word.endswith("~") else (word,)
        found = [(*phrase, shape) for phrase in found for shape in shapes]
    return found


def forms(word: str) -> tuple[str, ...]:
    """A word with its regular endings: `dilute` -> dilute, dilutes, diluted, diluting; `drip` -> drip, drips, dripped, dripping."""
    if word.endswith("e"):
        return word, f"{word}s", f"{word}d", f"{word[:-1]}ing"
    if word.endswith("y") and word[-2] not in VOWELS:
        return word, f"{word[:-1]}ies", f"{word[:-1]}ied", f"{word}ing"
    plural = f"{word}es" if word.endswith(("s", "x", "z", "ch", "sh")) else f"{word}s"
    doubled = (
        word[-1] not in f"{VOWELS}wxy"
        and word[-2] in VOWELS
        and word[-3] not in VOWELS
        and (len(word) <= 5 or word.endswith("el"))
    )
    stem = word + word[-1] if doubled else word
    return word, plural, f"{stem}ed", f"{stem}ing"
