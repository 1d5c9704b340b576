"""Which topic a line asks about, in layers: an example word for word, then signals that agree, then the nearest example."""

from typing import NamedTuple

from nurserytui.language.cues import Cues
from nurserytui.language.phrases import STOP, Phrases, Signal, example_key
from nurserytui.language.weighing import OUTSIDE, RECORD, Weighed

FLOOR = 4.5
"""The least score of signals that stands without an example that is near."""
GAP = 0.1
"""How far the best topic must be ahead of the next; closer ones are left to the examples."""
AGREEING = 0.15
"""What every further signal of the same topic adds, three of them at most."""
NEAR, NEAR_GAP = 86.0, 4.0
"""Likeness (0-100) of the nearest example, and its lead over the nearest of another topic, from which it decides alone."""
TIE_NEAR = 62.0
"""Likeness from which an example decides between topics whose signals are even."""
ALARMS = ("safety", "law")
"""Topics that are looked at before all others."""
ALONE = 0.5
"""Chance from which the examples decide where no signal speaks. What chances are worth is measured by tests/language/measure.py."""
DANGER = 0.75
"""The same for a danger, which is heard before all else."""
HEARD = 5.0
"""How many times likelier a topic is of which signals speak than its words alone say. Measured by tests/language/measure.py."""
BELIEVED = 0.3
"""Chance from which the topic of the signals is taken, if no other is clearly meant."""
OVERRULING, CLEARLY = 0.6, 0.5
"""Chances of another topic from which an alarm is a false one, and from which a line asks or is no record."""
DIRE, SCARCELY, LAWLESS = 9.0, 0.06, 0.1
"""Score of a signal of danger that nothing overrules (mixed chemicals, eyes, what was swallowed); chances of danger and of law under which
the other signals are taken for a false alarm."""
DOUBTED = 0.2
"""Chance under which a topic that is only guessed is not believed."""
PERHAPS, HARDLY = 0.07, 0.3
"""Chance from which a topic is offered where none is sure; chance of being no matter of a nursery from which none is."""
NO_RECORD = 0.05
"""Chance of being a record under which a line is none, if its words are clearly a question."""
TELLING = 0.6
"""Chance of being a record from which a line is read as one though no phrase tells of an event."""
SURELY = 0.9
"""The same from which a word that opens questions does not make it one, and chance from which a line inside a conversation asks for the
working of the last answer, whatever else its words could ask."""
ASKS = 0.7
"""Chance of another topic from which a line asks, whatever phrase of an event stands in it."""
ENOUGH_WORDS = 5
"""Words from which examples may say that a line is no record."""
STRAY = 0.15
"""Chance of being no matter of a nursery that a line may have which only the examples tell."""
OFFERED = 3
"""How many topics are offered at most."""


CIVIL = frozenset("please pls the my hi hello hey ok now me".split())


ANCHORS = frozenset(
    "COHORT SPECIES PLANT AGENT ENCLOSURE STAGE INSTAR UNKNOWN-COHORT UNKNOWN-ENCLOSURE UNKNOWN-SPECIES cages animals frass disinfectant "
    "butterfly-word degree-days spores diapause-word PPM RATIO AMOUNT SUM noted-word still-eating".split()
)
"""What shows that a line speaks of the nursery."""


AT_HOME = frozenset(
    "loft attic roof eaves chimney kitchen bedroom bathroom lawn sofa carpet car office hair bed pantry house".split()
)
"""Where ants and flies are no matter of the nursery."""
DESCRIBING = frozenset(("looks", "sign", "colour-word", "grouping"))
"""Cues of words that only describe: they make no line foreign."""


class Guess(NamedTuple):
    topic: str = ""
    score: float = 0.0
    layer: str = ""


NOTHING = Guess()


def alarm(cues: Cues, phrases: Phrases, weighed: Weighed | None) -> Guess:
    """A danger to people or a question of law, whatever else the line may ask. Danger is heard by signals or by the examples."""
    ranked = _ranked([signal for signal in _heard(cues, phrases) if signal.topic in ALARMS])
    if ranked and ranked[0][1] >= FLOOR:
        guess = Guess(ranked[0][0], ranked[0][1], "grammar")
        return NOTHING if _false_alarm(guess, weighed) else guess
    if weighed and weighed.topic == "safety" and weighed.chance >= DANGER and _at_home(cues, weighed):
        return Guess("safety", weighed.chance, "weighed")
    return NOTHING


def _false_alarm(guess: Guess, weighed: Weighed | None) -> bool:
    """Whether a word of danger or law stands in a line that is by all its words about something else. What is dire always counts."""
    if weighed is None or guess.score >= DIRE:
        return False
    return weighed.chance >= OVERRULING and weighed.of(guess.topic) < (SCARCELY if guess.topic == "safety" else LAWLESS)


def joined(guess: Guess, weighed: Weighed) -> Weighed:
    """The chances of all topics, by the words of a line and by what signals speak of."""
    if guess.topic not in weighed.chances:
        return weighed
    chances = {**weighed.chances, guess.topic: weighed.of(guess.topic) * HEARD}
    every = sum(chances.values())
    chances = {topic: chance / every for topic, chance in chances.items()}
    best = max(chances, key=lambda topic: chances[topic])
    return Weighed(best, chances[best], chances)


def understand(cues: Cues, phrases: Phrases, weighed: Weighed | None, leaning: bool = False) -> Guess:
    """The topic of a line by itself; NOTHING where no layer is sure. What a line leaves out that leans on another need not be told."""
    guess = _by_signals(cues, phrases)
    if guess.layer == "exact" or weighed is None or (guess.topic and guess.topic not in weighed.chances):
        return guess
    told = joined(guess, weighed)
    if told.topic == guess.topic:
        return guess if told.chance >= BELIEVED else NOTHING
    clear = told.chance >= ALONE and _at_home(cues, told) and (leaning or told.chance >= SURELY or _tells(cues, phrases))
    if told.topic in (RECORD, OUTSIDE) or (told.topic == "law" and not guess.topic and ANCHORS.isdisjoint(cues.names)):
        return NOTHING
    if not clear:
        return guess if guess.topic and told.of(guess.topic) >= BELIEVED else NOTHING
    return Guess(told.topic, told.chance, "weighed")


def supported(topic: str, weighed: Weighed | None) -> bool:
    """Whether the examples do not speak against a topic that is only guessed."""
    return weighed is None or (weighed.of(topic) >= DOUBTED and weighed.of(OUTSIDE) <= STRAY)


def recordable(weighed: Weighed | None) -> bool:
    """Whether a line that no phrase tells of is by all its words a record."""
    return weighed is not None and weighed.topic == RECORD and weighed.chance >= TELLING


def takes_back(weighed: Weighed | None, least: float) -> bool:
    """Whether a line is by its words a wish to take back what was written."""
    return weighed is not None and weighed.topic == "undo" and weighed.chance >= least


def surely_record(weighed: Weighed | None) -> bool:
    """Whether a line is a record though it opens like a question (`did the morning round: fed B, …`)."""
    return weighed is not None and weighed.topic == RECORD and weighed.chance >= SURELY


def no_telling(weighed: Weighed | None) -> bool:
    """Whether a line in which a phrase of some event stands clearly asks about something (`leaves that M2 still needs to finish`)."""
    asks = weighed is not None and weighed.topic not in (RECORD, OUTSIDE, "health-sign", "egg-viability")
    return asks and weighed.chance >= ASKS and weighed.of(RECORD) < HARDLY


def of_elsewhere(weighed: Weighed | None) -> bool:
    """Whether a line is by all its words no matter of a nursery."""
    return weighed is not None and weighed.topic == OUTSIDE and weighed.chance >= CLEARLY


def surely_asks(weighed: Weighed | None) -> bool:
    """Whether a line is by all its words a question, whatever is said to have been done in it (`days since tub 1 was wiped`)."""
    return (
        weighed is not None
        and weighed.topic not in (RECORD, OUTSIDE)
        and weighed.chance >= SURELY
        and weighed.of(RECORD) < NO_RECORD
    )


def no_record(weighed: Weighed | None, cues: Cues) -> bool:
    """Whether a line that could be read as a record is by all its words, of which there must be some, a question."""
    if weighed is None or len(cues.words) < ENOUGH_WORDS:
        return False
    return weighed.chance >= CLEARLY and weighed.of(RECORD) < NO_RECORD


def asks_by_all(weighed: Weighed | None) -> bool:
    """Whether a line that could be read as a record is by its words rather a question."""
    return weighed is not None and weighed.topic not in (RECORD, OUTSIDE) and weighed.chance >= CLEARLY


def of_the_talk(weighed: Weighed | None) -> bool:
    """Whether a line inside a conversation asks how the answer before it came about, whatever else its words could ask."""
    return weighed is not None and weighed.topic == "explain" and weighed.chance >= SURELY


def perhaps(weighed: Weighed | None, cues: Cues) -> tuple[str, ...]:
    """The topics that a line may be about which no layer was sure of, the likeliest first."""
    if weighed is None or weighed.of(OUTSIDE) > HARDLY:
        return ()
    ranked = sorted(weighed.chances.items(), key=lambda pair: -pair[1])
    return tuple(topic for topic, chance in ranked[:OFFERED] if chance >= PERHAPS and topic not in (RECORD, OUTSIDE))


def _at_home(cues: Cues, weighed: Weighed) -> bool:
    """Whether a line speaks of the nursery, and of no species or plant that nobody knows."""
    return not cues.misnamed and "UNKNOWN-SPECIES" not in cues.names and weighed.of(OUTSIDE) <= STRAY


def _tells(cues: Cues, phrases: Phrases) -> bool:
    """Whether a line names a thing, or has two words at least that tell something: `how many` alone asks of nothing."""
    words = [word for word in cues.words if word.isupper() or not _small(word, phrases)]
    return len(words) > 1 or any(word.isupper() for word in words)


def _small(word: str, phrases: Phrases) -> bool:
    """Whether a word tells nothing of what a line is about."""
    return word in phrases.leads or word in phrases.skip or word in STOP or word in phrases.lists["small"]


def _by_signals(cues: Cues, phrases: Phrases) -> Guess:
    """What the exact examples, the signals and the nearest example say."""
    key = example_key(list(cues.words))
    topic = phrases.exact.get(example_key(list(cues.staged))) or phrases.exact.get(key) or _bare(cues.words, phrases)
    if topic:
        return Guess(topic, 10.0, "exact")
    heard = _heard(cues, phrases)
    ranked = _ranked(heard)
    if ranked and ranked[0][1] >= FLOOR:
        if _foreign(cues, [signal for signal in heard if signal.topic == ranked[0][0]], phrases):
            return NOTHING
        rivals = [topic for topic, score in ranked if score > ranked[0][1] - GAP]
        if len(rivals) == 1:
            return Guess(ranked[0][0], ranked[0][1], "grammar")
        near = nearest(cues, key, phrases)
        named = [(likeness, topic) for topic, likeness in near.items() if topic in rivals]
        if named and max(named)[0] >= TIE_NEAR:
            return Guess(max(named)[1], ranked[0][1], "grammar")
        return Guess(ranked[0][0], ranked[0][1], "grammar")
    near = nearest(cues, key, phrases)
    order = sorted(((likeness, topic) for topic, likeness in near.items()), reverse=True)
    if order and order[0][0] >= NEAR and (len(order) == 1 or order[0][0] - order[1][0] >= NEAR_GAP) and not cues.strange:
        return Guess(order[0][1], order[0][0], "fuzzy")
    return NOTHING


def _foreign(cues: Cues, heard: list[Signal], phrases: Phrases) -> bool:
    """Whether a line that names nothing of the nursery's world speaks of something else (`how do I clean my oven`): it holds a word that
    neither its signals nor the examples of its topic account for."""
    if {"EGG", "other-animal"} <= cues.names and cues.names.isdisjoint(("LARVA", "PUPA", "ADULT", "SPECIES", "COHORT")):
        return True
    anchors = ANCHORS & cues.names
    if anchors and not (anchors == {"AGENT"} and not AT_HOME.isdisjoint(cues.words)):
        return False
    told = {cue for signal in heard for group in signal.needs for cue in group} | DESCRIBING
    explained = {word for cue in told & set(cues.said) for said in cues.said[cue] for word in said.split()}
    for word in cues.words:
        if word.isupper() or not word.isalpha() or word in explained or _small(word, phrases):
            continue
        if word not in phrases.vocabulary.get(heard[0].topic, ()):
            return True
    return False


def _bare(words: tuple[str, ...], phrases: Phrases) -> str:
    """The topic of an example of one word, said with a civility (`help please`)."""
    kept = [word for word in words if word not in CIVIL]
    return phrases.exact.get(kept[0], "") if len(kept) == 1 < len(words) else ""


def _heard(cues: Cues, phrases: Phrases) -> list[Signal]:
    names = cues.names
    return [
        signal
        for signal in phrases.signals
        if names.isdisjoint(signal.bars) and all(any(cue in names for cue in group) for group in signal.needs)
    ]


def _ranked(heard: list[Signal]) -> list[tuple[str, float]]:
    """Topics by the score of their best signal and what the others of the same topic add; ties in the order of the files."""
    scores: dict[str, list[float]] = {}
    for signal in heard:
        scores.setdefault(signal.topic, []).append(signal.score)
    totals = {topic: max(found) + AGREEING * min(3, len(found) - 1) for topic, found in scores.items()}
    return sorted(totals.items(), key=lambda pair: -pair[1])


def nearest(cues: Cues, key: str, phrases: Phrases) -> dict[str, float]:
    """For every topic the likeness of its nearest example with the same kinds of spans: the mean of two measures, words in order
    and words as a set."""
    kinds = tuple(sorted(word for word in key.split() if word.isupper()))
    staged = example_key(list(cues.staged))
    if staged != key:
        found = _nearest(staged, tuple(sorted(word for word in staged.split() if word.isupper())), phrases)
        for topic, likeness in _nearest(key, kinds, phrases).items():
            found[topic] = max(likeness, found.get(topic, 0.0))
        return found
    return _nearest(key, kinds, phrases)


def _nearest(key: str, kinds: tuple[str, ...], phrases: Phrases) -> dict[str, float]:
    from rapidfuzz import fuzz, process

    among = [example for example in phrases.examples if example.kinds == kinds and not example.masked.isupper()]
    if not among or len(key.split()) < 2:
        return {}
    texts = [example.masked for example in among]
    ordered = {index: score for _, score, index in process.extract(key, texts, scorer=fuzz.ratio, limit=12, score_cutoff=45)}
    found: dict[str, float] = {}
    for index, score in ordered.items():
        likeness = (score + fuzz.token_set_ratio(key, texts[index])) / 2
        if _negated(key) == _negated(texts[index]):
            found[among[index].topic] = max(found.get(among[index].topic, 0.0), likeness)
    return found


NOT = frozenset("not no without except never undo dont don't isnt isn't wont won't cant can't".split())


def _negated(text: str) -> bool:
    return not NOT.isdisjoint(text.split())
