"""Whether an egg is alive, about to hatch, parasitised or dead, and when to give up on it."""

from __future__ import annotations

import re

from nurserytui.answers import egg_traits, naming
from nurserytui.answers.answer import Answer
from nurserytui.answers.giving_up import give_up
from nurserytui.answers.sign_match import FAINT
from nurserytui.answers.signs import describe
from nurserytui.answers.wording import OWN_RECORDS, ask, cite, listed, sentence, species_label

TOPIC = "egg-viability"
GIVE_UP = re.compile(
    r"\b(give up|giving up|discard|throw\w*|bin|toss|how long (should|do|must|can) i (wait|keep)|too (late|old)|over ?due|still (good|alive|viable|not)"
    r"|(not|never|hasn't|haven't|hasnt|havent|won't|didn't) (yet )?hatch\w*|unhatched|dud|when .* dead|will (it|they) (still )?hatch|past (it|their|its))\b"
)
TURNING = re.compile(r"\b(turn\w*|chang\w*|gone|go(es|ing)?|went|becom\w*|became|now|normal|why)\b")
ASKS = (
    "The egg has one dark spot at the top and the rest is clear",
    "The egg is black all over",
    "The egg has caved in",
    "When should I give up on monarch eggs?",
)


def egg_viability(request, nursery) -> Answer:
    """The state the words show, what to do, and the give-up day: for a cohort a date, else days for the species."""
    knowledge = nursery.knowledge
    text = request.plain or request.text
    species, label, ask_back = egg_species(request, nursery)
    about: dict = {"stage": "egg"}
    if species:
        about["species"] = species.scientific
    if label:
        about["cohort"] = label
    normal = colour_change(text, species, request, knowledge)
    state = None if normal else seen(text, nursery, about, species)
    values, waiting, cited, working = give_up(species, label, request, nursery)
    asks_when = bool(GIVE_UP.search(text))
    if normal:
        lines = [normal, *waiting]
        items = (
            {
                "name": "normal colour change",
                "label": "normal colour change",
                "probability": 0.85,
                "reason": sentence(species.egg.before_hatching),
            },
        )
        return answered(
            lines, about, values, items, working, cite(knowledge, (*species.egg.sources, *cited)), label, species, knowledge
        )
    if state is not None and not (asks_when and weak(state)):
        late = waiting[:1] if asks_when and len(waiting) > 1 else []
        lines = late + state.text.split("\n") + waiting
        sources = (*state.sources, *(one for one in cite(knowledge, cited) if one not in state.sources))
        answer = answered(
            lines, about, {**values, **state.values}, state.items, (*state.working, *working), sources, label, species, knowledge
        )
        return answer._replace(cautions=(*state.cautions, *answer.cautions), about={**state.about, **about})
    if values and (asks_when or label or species):
        return answered([*waiting, GENERAL], about, values, (), working, cite(knowledge, cited), label, species, knowledge)
    if ask_back is not None:
        return ask_back
    if "tell" in request.cues:
        return answered([FERTILE, GENERAL], about, values, (), (), cite(knowledge, TELLING), label, species, knowledge)
    return ask(TOPIC, f"What does the egg look like, and which species is it? {GENERAL}", ASKS, about=about)


GENERAL = "One dark spot at the top is the larva's head, a day or so before hatching; dark all over and staying dark is usually an egg wasp; a dent means infertile or dried."

FERTILE = "A fertile egg stays plump and changes colour before it hatches; an infertile one keeps its colour, then dents, caves in and dries up."
TELLING = ("shady-oak-eggs-2009", "conservation-eggs")
"""Where it is published how a living egg differs from a dead one."""


def seen(text: str, nursery, about: dict, species) -> Answer | None:
    """What the words show of the egg: clear signs first, faint ones where there are none."""
    tilt = darkens(species)
    return describe(text, ("egg",), nursery, about, TOPIC, tilt) or describe(text, ("egg",), nursery, about, TOPIC, tilt, FAINT)


def weak(state: Answer) -> bool:
    return not state.items or state.items[0]["probability"] < 0.35


def answered(lines, about, values, items, working, sources, label, species, knowledge) -> Answer:
    name = naming.spoken(species.scientific, knowledge) if species else ""
    following = [f"How long until {label} hatches?"] if label else []
    if name:
        following += [f"How long do {name} eggs take to hatch?", f"When should I give up on {name} eggs?"]
    return Answer(
        "answered",
        TOPIC,
        "\n".join(dict.fromkeys(line for line in lines if line)),
        about=about,
        values=values,
        items=tuple(items),
        working=tuple(working),
        sources=tuple(sources) + ((OWN_RECORDS,) if label else ()),
        cautions=(
            "Never open an egg to look. Keep a doubtful egg in a closed, dated cup apart from the others rather than throwing it out.",
        ),
        next=tuple(following[:3]) or ASKS[:2],
    )


def egg_species(request, nursery):
    """(species or None, cohort label or "", what to ask where the name is ambiguous and nothing else is known)."""
    knowledge = nursery.knowledge
    for label in request.cohorts:
        cohort = nursery.ledger.cohorts.get(label)
        if cohort:
            return knowledge.species(cohort.species) if cohort.species else None, label, None
    if request.species:
        found = naming.the_species(request, nursery, TOPIC, "When should I give up on {} eggs?")
        if isinstance(found, Answer):
            return None, "", found
        return knowledge.species(found.name), "", None
    return None, "", None


def darkens(species):
    """How the species tilts the causes of a dark egg: some eggs darken or redden all over before they hatch, most do not."""
    if species is None:
        return None
    late = species.egg.late_colours
    whole = bool(set(late) & {"black", "grey", "brown", "red"}) and "top" not in species.egg.before_hatching.casefold()

    def tilt(name: str) -> float:
        cause = name.casefold()
        if "winter" in cause or "diapaus" in cause:
            return 1.0 if species.winters_as == "egg" else 0.02
        fertile = re.search(r"embryo|hatch|normal|dark species", cause)
        return (4.0 if whole else 0.5) if fertile else 1.0

    return tilt


def colour_change(text: str, species, request, knowledge) -> str:
    """The sentence for a change of colour that is usual in that species; "" where it is not that."""
    if species is None or not TURNING.search(text) or "black" in text or "all over" in text:
        return ""
    seen = egg_traits.read(text, knowledge.traits, tuple(named.said for named in (*request.species, *request.hosts)))
    late = species.egg.late_colours
    usual = [colour for colour in seen.colours if colour in late]
    if not usual:
        return ""
    label = species_label(species.scientific, knowledge)
    told = f" {sentence(species.egg.before_hatching)}" if species.egg.before_hatching else ""
    return f"Yes, that is normal: a fertile {label} egg turns {listed(usual, 'or')} as it develops towards hatching.{told} Leave it and have fresh leaf ready."
