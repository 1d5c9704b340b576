"""Which cues a line holds: its spans by kind, the words of knowledge/phrases/cues.toml, and what follows from both."""

import re
from typing import NamedTuple

from nurserytui.language import life_words, slips, sums
from nurserytui.language.boxes import box
from nurserytui.language.line import Line, Span
from nurserytui.language.ordinary import STAGES, ordinary
from nurserytui.language.phrases import Phrases
from nurserytui.language.request import Named

NAMES = ("species", "plant", "enclosure", "cohort", "mark")
"""Spans whose words are a name: what they say is no cue (`red admiral` is not red)."""

PRONOUNS = frozenset("it they them he she him her his those these ones this that there its their".split())
"""Words that stand for something said before."""

FROM_CODE = frozenset(
    "COHORT SPECIES PLANT AGENT ENCLOSURE STAGE EGG LARVA PREPUPA PUPA ADULT INSTAR NUMBER AMOUNT VOLUME VOLUME-TWO PERCENT PERCENT-TWO PPM RATIO "
    "TEMPERATURE TIME LENGTH MASS PERIOD PERIOD-PAST PERIOD-AHEAD UNIT QUESTION PRONOUN A-ONE TARGET SUM HELD MINE OWN FED UNFED DEADLY SPECIES-TWO "
    "PLANT-TWO STAGE-TWO looks-two sign-two SIDES PERCENT-OF ON-PERSON AMONG OWN-TWO".split()
)
"""Cues that are no words: spans by kind, and what is found by code."""

TURNING = frozenset("make making makes form forming into become becoming becomes spin spinning be".split())
"""Words after which `a chrysalis` is what animals turn into, not one of a kind."""
PAIRED = frozenset(("species", "plant", "stage"))
"""Kinds of which two in a line are a cue of their own."""
ARTICLES = frozenset(("a", "an", "one"))
DEFINITE = frozenset(("the", "my", "our", "these", "those", "this"))
CONVERTING = frozenset(("in", "to", "as", "into", "=", "is", "->", "what", "many", "much", "of"))
COLOURS = frozenset("white blue orange yellow brown copper red green black grey gray ringlet emperor".split()) - {
    "ringlet",
    "emperor",
}
"""Names of butterflies that are colours first."""


def settle(line: Line, vocabulary) -> Line:
    """The line with names that only look like names put right: `white` before `oval egg` is a colour, a word that names both a plant
    and a butterfly (`buckeye caterpillars`) means the butterfly before a word for a stage, and `the whites` are those of the keeper."""
    spans, changed = [], False
    unknown = {span.first for span in line.of("unknown-species")}
    for span in line.spans:
        if span.kind == "species" and span.first == span.last and span.last + 1 in unknown:
            changed = True  # `azure mountainfly` is no azure
            continue
        if span.kind == "species" and _said_closer(line, span):
            changed = True  # `painted lady, Vanessa cardui`
            continue
        if span.kind == "species" and span.said.casefold() in COLOURS:
            changed = True
            continue
        if span.kind == "plant" and (_stage_at(line, span.last + 1) or _of_own(line, span, vocabulary)):
            other = _as_species(line, span, vocabulary)
            changed, span = changed or other is not span, other
        spans.append(span)
    taken = {at for span in spans for at in range(span.first, span.last + 1)}
    for at, token in enumerate(line.tokens):
        if token.text in vocabulary.families and at not in taken:
            own = vocabulary.families[token.text]
            spans.append(Span(at, at, "species", Named(token.text, own, len(own) == 1), token.text))
            changed = True
    return line._replace(spans=tuple(sorted(spans, key=lambda span: span.first))) if changed else line


def _said_closer(line: Line, span: Span) -> bool:
    """Whether the name right behind one that can mean several species is one of them."""
    after = next((other for other in line.of("species") if other.first == span.last + 1), None)
    return after is not None and len(span.value.names) > 1 and set(after.value.names) < set(span.value.names)


def _stage_at(line: Line, at: int) -> bool:
    return at < len(line.tokens) and line.tokens[at].text in STAGES


def _of_own(line: Line, span: Span, vocabulary) -> bool:
    """Whether the plural of a plant (`the pipevines`) means animals of the keeper that are called after it."""
    if not line.tokens[span.last].text.endswith("s"):
        return False
    named = _as_species(line, span, vocabulary)
    return named.kind == "species" and not vocabulary.own_species.isdisjoint(named.value.names)


FAMILIES = ("swallowtail", "hairstreak", "skipper", "blue", "sulphur", "crescent", "checkerspot", "moth")
"""Last words of names that begin with a plant (`pipevine swallowtail`), which are left out before a word for a stage."""


def _as_species(line: Line, span: Span, vocabulary) -> Span:
    from nurserytui.language.normalise import key
    from nurserytui.language.vocabulary import spelling

    words = [spelling(key(token.text)) for token in line.tokens[span.first : span.last + 1]]
    whole = (words, *([*words, spelling(key(family))] for family in FAMILIES))
    for each in whole:
        entry = vocabulary.names.find(each)
        for name in entry.names if entry else ():
            if name.kind == "species":
                return span._replace(kind="species", value=vocabulary.named(span.said, name, span.value.sure))
    return span


BEHIND_UNITS = frozenset("each please pls instead then rather thanks".split())
"""Words that may stand behind the unit in which an answer is wanted (`celsius instead, please`)."""


def target_unit(line: Line) -> str:
    """The pint name of the unit that the answer is wanted in, or "": `75 F in C`, `how many ml in …`, `mean temperature (celsius)`."""
    units = line.of("unit")
    for span in units:
        before = line.tokens[span.first - 1].text if span.first else ""
        leading = span.said == "in" and any(unit.first == span.last + 1 for unit in units)  # `come to in litres`
        if before in CONVERTING and not leading:
            return span.value
    if (
        units
        and units[0].first == 0
        and len(line.tokens) > units[0].last + 1
        and line.tokens[units[0].last + 1].text in ("in", "per", "from")
    ):
        return units[0].value
    last = len(line.tokens) - 1
    while last > 0 and line.tokens[last].text in BEHIND_UNITS:
        last -= 1
    return units[-1].value if units and units[-1].last in (last, len(line.tokens) - 1) else ""


class Cues(NamedTuple):
    names: frozenset[str]
    """Lower case: cues of words. Upper case: spans, and what code finds."""
    words: tuple[str, ...]
    """The line's words with typing slips mended; spans as their kinds in capitals."""
    staged: tuple[str, ...]
    """The same with stages by their own names (`EGG` for `STAGE`)."""
    strange: tuple[str, ...]
    """Words that nothing knows, as typed."""
    misnamed: str
    """A strange word that stands where a name should stand (`how many goldfish`, `a snorkel plant`), or ""."""
    said: dict[str, frozenset[str]]
    """For cues of words: the words or phrases that gave them."""


def find(line: Line, phrases: Phrases, nursery) -> Cues:
    """All cues of a line."""
    kinds = {index: span.kind for span in line.spans for index in range(span.first, span.last + 1)}
    words, strange = [], []
    for index, token in enumerate(line.tokens):
        word = slips.SHORT_WORDS.get(token.text, token.text)
        if index not in kinds and word not in phrases.known and word not in phrases.told and word.isalpha():
            mended = "" if ordinary(word) else mend(word, phrases)
            if not mended:
                strange.append(token.text)
            word = mended or word
        words.append(word)
    said: dict[str, set[str]] = {}
    open_words = [None if kinds.get(index) in NAMES else word for index, word in enumerate(words)]
    masked = masked_words(line, words)
    for sequence in (open_words, masked):
        collect(sequence, phrases, said)
    _drop_false(open_words, phrases, said)
    if said.get("law-word") == {"allowed"} and line.of("species") and line.of("plant") and "ship" not in said:
        del said["law-word"]  # `monarchs and cucumber, is that allowed` asks what they eat
    if IN_THE_HAND.search(line.plain):
        said = {cue: kept for cue, found in said.items() if (kept := {each for each in found if "hand" not in each})}
    if said.get("mean") == {"mean"} and MEANT.search(line.plain):
        del said["mean"]  # `all five i mean` asks for no average
    if "ingest" in said and _animals_eat(words, kinds, said["ingest"]):
        del said["ingest"]
    if life_words.without_rest(words):
        masked = [word for word in masked if "diapaus" not in word]
    names = set(said) | span_cues(line)
    names |= _computed(line, words, masked, names, said, phrases, nursery)
    return Cues(
        frozenset(names),
        tuple(masked),
        _staged(line, masked),
        tuple(strange),
        misnamed(line, strange),
        {cue: frozenset(found) for cue, found in said.items()},
    )


def misnamed(line: Line, strange: list[str]) -> str:
    """The strange word that is counted, or that names a plant, a fly or a wasp, in a line; "" if there is none."""
    words = ["", "", *(token.text for token in line.tokens), ""]
    heads = PLANT_WORDS if line.of("enclosure", "cohort", "mark") else PLANT_WORDS | ENEMY_WORDS  # `blasted fly in tub 1`
    for one, two, word, after in zip(words, words[1:], words[2:], words[3:], strict=False):
        if word in strange and ((one, two) in COUNTING or after in heads):
            return word
    return ""


def _staged(line: Line, masked: list[str]) -> tuple[str, ...]:
    stages = iter(line.of("stage"))
    return tuple(str(next(stages).value).upper() if word == "STAGE" else word for word in masked)


def masked_words(line: Line, words: list[str]) -> list[str]:
    """The words with every span as its kind in capitals."""
    found, at, starts = [], 0, {span.first: span for span in line.spans}
    while at < len(words):
        span = starts.get(at)
        found.append(span.kind.upper() if span else words[at])
        at = span.last + 1 if span else at + 1
    return found


def collect(words: list[str | None], phrases: Phrases, said: dict[str, set[str]]) -> None:
    for at, word in enumerate(words):
        if word is None:
            continue
        for cue in phrases.words.get(word, ()):
            said.setdefault(cue, set()).add(word)
        for rest, cue in phrases.rows.get(word, ()):
            if tuple(words[at + 1 : at + 1 + len(rest)]) == rest:
                said.setdefault(cue, set()).add(" ".join((word, *rest)))


MEANT = re.compile(r"\b(?:i|we|you|u) mean\b")
PLANT_WORDS = frozenset("plant plants leaf leaves tree trees bush vine weed shrub".split())
ENEMY_WORDS = frozenset("fly flies wasp wasps".split())
COUNTING = frozenset((("how", "many"), ("number", "of"), ("hw", "many")))
TIMES = frozenset("days day weeks hours months minutes times more".split())


NO_LAW = re.compile(r"\blaw of averages\b|\b(?:sister|brother|mother|father|daughter|son|parents|cousin)s? in law\b")


def _drop_false(words: list[str | None], phrases: Phrases, said: dict[str, set[str]]) -> None:
    """`how many days` counts no animals; `when` inside a statement (`wriggles when I touch it`) asks for no date."""
    if said.get("law-word") == {"law"} and NO_LAW.search(" ".join(word or "" for word in words)):
        del said["law-word"]
    if "diapause-word" in said and life_words.without_rest(words):
        for cue in ("diapause-word", "winter"):
            if all("diapaus" in each for each in said.get(cue, ())):
                said.pop(cue, None)
    after = [*words[1:], None]
    if "how many" in said.get("how-many", ()):
        counted = [two for one, two in zip(words, [*words[2:], None, None], strict=False) if one == "how"]
        if counted and all(word in TIMES for word in counted):
            said["how-many"] -= {"how many"}
            if not said["how-many"]:
                del said["how-many"]
    if said.get("when") == {"when"}:
        places = [at for at, word in enumerate(words) if word == "when"]
        opening = next((at for at, word in enumerate(words) if word is not None and word not in phrases.skip), 0)
        if not any(
            at <= opening or after[at] is None or after[at] in phrases.lists["auxiliaries"] or at == len(words) - 1
            for at in places
        ):
            del said["when"]


EATERS = frozenset(("species", "stage", "cohort", "mark"))
NEAR_EATER = 4
PETS = frozenset(("cat", "cats"))
PREY = frozenset("moth moths butterfly butterflies caterpillar caterpillars larva larvae chrysalis cocoon pupa".split())
"""What a cat eats that is no caterpillar: nobody who calls those cats calls them this as well."""


def _animals_eat(words: list[str], kinds: dict[int, str], said: set[str]) -> bool:
    """Whether it is the animals that have eaten or bitten (`the caterpillars have eaten every leaf`), not a person or a pet: a cat that
    ate a moth or a caterpillar is none."""
    bites = {each.split()[-1] for each in said}
    places = [at for at, word in enumerate(words) if word in bites]
    for at in places:
        after = range(at + 1, min(at + 5, len(words)))
        if PETS & set(words[max(0, at - 2) : at]) and any(words[each] in PREY or kinds.get(each) == "species" for each in after):
            return False
    return all(any(kinds.get(before) in EATERS for before in range(max(0, at - NEAR_EATER), at)) for at in places)


def mend(word: str, phrases: Phrases) -> str:
    """The cue word that a mistyped one was meant for, or "": the first letter must be right, one slip from five letters on, two from nine."""
    most = slips.allowed(len(word))
    return slips.nearest(word, phrases.initials.get(word[0], ()), most) if most else ""


def span_cues(line: Line) -> set[str]:
    """The spans of a line as cues in capitals, amounts and stages by what they are."""
    names = set()
    for span in line.spans:
        if span.kind in PAIRED and span.kind.upper() in names:
            names.add(f"{span.kind.upper()}-TWO")
        names.add("COHORT" if span.kind == "mark" else "NUMBER" if span.kind == "estimate" else span.kind.upper())
        if span.kind == "species":
            staged = stages_in_name(span, line)
            names.update(stage.upper() for stage in staged)
            if staged:
                names.add("STAGE")
        if span.kind == "stage":
            names.add(str(span.value).upper())
        elif span.kind == "amount":
            if f"{span.value.kind.upper()}" in names:
                names.add(f"{span.value.kind.upper()}-TWO")
            names.add(span.value.kind.upper())
    return names


def stages_in_name(span: Span, line: Line | None = None) -> tuple[str, ...]:
    """The stages that the words of a name hold: `monarch caterpillars`, `hornworm`; `luna moth` tells of no stage, nor does `hornworm eggs`."""
    if line is not None and span.said.casefold().endswith(("worm", "worms")) and line.of("stage"):
        return ()
    said = span.said.casefold().split()
    words = ("larva" if word.endswith(("worm", "worms")) else STAGES.get(word, "") for word in said)
    return tuple(stage for stage in words if stage not in ("", "adult"))


PERCENT_OF = re.compile(r"\d ?(?:%|percent|per cent|pct) of (?:an? )?\d")
SUM = re.compile(
    r"\d\s*(?:[a-z]+ )?(?:x|\*|\+|/|×|times|plus|minus|take away|divided (?:by|through)|multiplied (?:by|with))\s*\d"
    r"|\d+ [a-z]+ (?:x |at |need |eat |eating |on |getting )?\d+ (?:leaves|leafs|leaf|stems?|sprigs?|plants) (?:(?:a|per|each|every) day |daily )?(?:each|apiece)\b"
    r"|\d+ [a-z]+ at \d+ (?:leaves|stems?|sprigs?) (?:(?:a|per|each|every) day|daily)\b|\d+ (?:jars|lots|tubs|bottles|bags|boxes|trays) of \d+(?:\.\d+)? ?(?:ml|l|litres?|liters?|cl|cups?|pints?)\b"
    r"|\d+ (?:leaves|stems?|sprigs?) each (?:for|x) \d+\b"
    r"|\d out of \d+ (?:as|in) (?:an? )?(?:percent|percentage|per cent|%)|^(?:double|twice|treble|triple) \d"
    r"|\d+ (?:leaves|stems?|sprigs?) (?:a|per|each|every) day for (?:\d+|a) (?:days?|weeks?)\b"
)


NAMED = frozenset(
    ("COHORT", "ENCLOSURE", "UNKNOWN-COHORT", "UNKNOWN-ENCLOSURE", "SPECIES", "PERIOD", "INSTAR", "PERCENT", "PPM", "RATIO")
)
"""Cues of lines whose numbers may belong to a name, a day or a mix, and make no sum."""
_KIN = r"(?:son|daughter|kid|child|wife|husband|boy|girl|baby|toddler|dog|puppy|mum|dad|friend|brother|sister)'?s?"
_SIDE = r"(?:left |right |bare |whole |little )?"
ON_PERSON = re.compile(
    rf"\b(?:in|into|on|onto|over|up|down|near|round) (?:(?:my|his|her|our|both|the|{_KIN}) )?{_SIDE}(?:eyes?|mouth|nose|throat)\b"
    rf"|\b(?:in|into|on|onto|over|up|down|near|round) (?:my|his|her|our|both|{_KIN}) {_SIDE}"
    r"(?:face|hands?|arms?|legs?|wrists?|fingers?|thumb|skin|neck|lips?|tongue|feet)\b"
    r"|\bme (?:on|in) the (?:face|hand|arm|leg|wrist|finger|thumb|neck|lip|eye|foot)\b"
    rf"|\b(?:rubbed|touched|wiped) (?:my|his|her|both|{_KIN}) {_SIDE}(?:eyes?|mouth|face|lips?)\b"
)
"""Something on or in a person: `in my left eye`, `over his bare arms`; never `red spots on the skin`."""
IN_THE_HAND = re.compile(
    r"\b(?:bottle|jug|label|box|tub|jar|pot|cup|glass|net|brush|sprayer|one|phone) (?:i have |ive got |i've got )?in (?:my|his|her|our|both|the) (?:left |right )?hands?\b"
)
"""What somebody holds, which is not on them: `the bottle in my hand`."""


AMONG = re.compile(
    r"\bPLANT\b.* which (?:ones?|kinds?|sorts?|types?|variet\w+|of (?:them|these|those)|do|does|are|is|should|would|will|can|work\w*|suits?|to)\b"
    r"(?! of)|\bwhich of (?:the |these |those |my |all )*PLANT\b"
)
"""Which of the kinds of a plant are meant for an animal: `loads of violets here, which ones do they take`."""


def _computed(line, words, masked, names, said, phrases, nursery) -> set[str]:
    found = set()
    plain = [word for word in masked if not word.isupper()]
    if own := line.of("cohort", "mark", "enclosure"):
        found.add("OWN")
        if len({str(span.value) for span in own}) == 2:
            found.add("OWN-TWO")
    if "setting-word" not in names and asks(line.text, masked, phrases):
        found.add("QUESTION")
    if PRONOUNS & set(plain):
        found.add("PRONOUN")
    threes = zip(["", *masked], masked, masked[1:], strict=False)
    if any(two in ARTICLES and three in ("SPECIES", "STAGE") and one not in TURNING for one, two, three in threes):
        found.add("A-ONE")
    if target_unit(line):
        found.add("TARGET")
    numbers = [span for span in line.of("number", "amount")]
    if PERCENT_OF.search(line.plain):
        found.add("PERCENT-OF")
    if life_words.whole_life(line):
        found.add("egg-to-adult")
    if box(line.plain):
        found.add("SIDES")
    elif SUM.search(line.plain) or (len(numbers) > 1 and {"times", "multiplied", "plus", "minus", "divided"} & set(plain)):
        found.add("SUM")
    elif "QUESTION" in found and NAMED.isdisjoint(names) and not line.of("mark") and sums.in_words(words):
        found.add("SUM")
    for cue in ("looks", "sign"):
        if len(said.get(cue, ())) > 1:
            found.add(f"{cue}-two")
    found |= _of_period(line, nursery)
    found |= _of_animals(line, names, nursery)
    if AMONG.search(" ".join(masked)) and names.isdisjoint(("else", "ran-out", "out-of")):
        found.add("AMONG")
    if ON_PERSON.search(IN_THE_HAND.sub("", line.plain)):
        found.add("ON-PERSON")
    if "PLANT" in names:
        found.add("FED" if _fed(line, nursery) else "UNFED")
    if "PLANT-TWO" in names and _deadly(line, nursery.knowledge):
        found.add("DEADLY")
    return found


def _fed(line: Line, nursery) -> bool:
    """Whether larvae in the nursery stand on the plant that the line names."""
    named = {name.split()[0] for span in line.of("plant") for name in span.value.names}
    ledger = nursery.ledger
    hosts = {ledger.cohorts[key.cohort].host for key, count in ledger.heads.items() if count and key.stage == "larva"}
    return any(host and host.split()[0] in named for host in hosts)


def _deadly(line: Line, knowledge) -> bool:
    """Whether one of the plants in the line kills people."""
    plants = (knowledge.plant(name) for span in line.of("plant") for name in span.value.names)
    return any("deadly" in hazard.what.casefold() for plant in plants if plant for hazard in plant.hazards)


def _of_period(line, nursery) -> set[str]:
    periods = [span.value for span in line.of("period")]
    if not periods:
        return set()
    if all(period.start.date() < nursery.now.date() for period in periods):
        return {"PERIOD-PAST"}
    return {"PERIOD-AHEAD"} if any(period.start.date() > nursery.now.date() for period in periods) else set()


def _of_animals(line, names, nursery) -> set[str]:
    """HELD: animals of the species named live in the nursery now. MINE: and those are meant (`my monarchs`, `the monarch eggs`)."""
    spans = line.of("species")
    species = {name for span in spans for name in span.value.names}
    ledger = nursery.ledger
    if not any(count and ledger.cohorts[key.cohort].species in species for key, count in ledger.heads.items()):
        return set()
    definite = any(
        span.first
        and line.tokens[span.first - 1].text in DEFINITE
        and (line.tokens[span.last].text.endswith("s") or _stage_at(line, span.last + 1))
        for span in spans
    )
    return {"HELD", "MINE"} if "my" in names or definite else {"HELD"}


def asks(text: str, masked: list[str], phrases: Phrases) -> bool:
    """Whether the line asks something: a question mark, a question word that leads or ends it, or a headline's word."""
    if "?" in text:
        return True
    words = [word for word in masked if word]
    early = True
    for word in words:
        if word in phrases.leads and (early or word not in phrases.lists["auxiliaries"]):
            return True
        if word.isupper():
            early = False
        elif word not in phrases.skip:
            break
    if any(one == "when" and two in phrases.lists["auxiliaries"] for one, two in zip(words, words[1:], strict=False)):
        return True
    pairs = {" ".join(pair) for pair in zip(words, words[1:], strict=False)}
    if pairs & phrases.headline or " ".join(words[:2]) in phrases.leads:
        return True
    headed = phrases.headline.intersection(words)
    if headed <= SUMMING and "NUMBER" in words:
        headed = frozenset()  # `4 more hatched, 12 in total`
    return bool(words) and (words[-1] in phrases.lists["closers"] or bool(headed))


SUMMING = frozenset(("total", "altogether"))
"""Words of headlines that tell a sum where a number stands beside them."""
