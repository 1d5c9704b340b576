"""Whether an egg is alive, about to hatch, parasitised or dead, and when to give up on it."""

from __future__ import annotations

import re
from datetime import date, timedelta

from nurserytui.answers import egg_traits, naming
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.sign_match import FAINT
from nurserytui.answers.signs import describe
from nurserytui.answers.wording import OWN_RECORDS, ask, cite, counted, day_words, listed, number, sentence, species_label

TOPIC = "egg-viability"
GIVE_UP = re.compile(
    r"\b(give up|giving up|discard|throw\w*|bin|toss|how long (should|do|must|can) i (wait|keep)|too (late|old)|over ?due|still (good|alive|viable|not)"
    r"|(not|never|hasn't|haven't|hasnt|havent|won't|didn't) (yet )?hatch\w*|unhatched|dud|when .* dead|will (it|they) (still )?hatch|past (it|their|its))\b"
)
TURNING = re.compile(r"\b(turn\w*|chang\w*|gone|go(es|ing)?|went|becom\w*|became|now|normal|why)\b")
DAYS = re.compile(r"\b(\d+|two|three|a|one)\s*(days?|weeks?)\b")
WORDS = {"a": 1, "one": 1, "two": 2, "three": 3}
COOL, WARM = 18.0, 20.0
"""°C: below the first the longer wait holds, from the second up the shorter one."""
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
    return ask(TOPIC, f"What does the egg look like, and which species is it? {GENERAL}", ASKS, about=about)


GENERAL = "One dark spot at the top is the larva's head, a day or so before hatching; dark all over and staying dark is usually an egg wasp; a dent means infertile or dried."


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


def give_up(species, label: str, request, nursery) -> tuple[dict[str, Value], list[str], tuple[str, ...], list[str]]:
    """Values, sentences, sources and working of the day on which to give up."""
    if species is None or species.give_up_warm is None:
        if label:
            reason = "the species is unknown" if species is None else "no give-up day is on record for the species"
            return {"give_up": Value(None, reason=reason)}, [], (), []
        return {}, [], (), []
    knowledge = nursery.knowledge
    warm, cool = species.give_up_warm, species.give_up_cool or species.give_up_warm * 1.5
    name = species_label(species.scientific, knowledge)
    warmth = warmth_of(label, request, nursery)
    chosen = cool if warmth is not None and warmth < WARM else warm
    values = {"give_up_days": Value(chosen, "day", warm, cool)}
    rule = (
        f"Give up on {name} eggs after {number(warm)} days in an ordinary room (20-26 °C), {number(cool)} days in a cool one (below {number(COOL)} °C), "
        "if there is no dark head spot and no larva by then."
    )
    lines = [rule]
    age = days_said(request.plain or request.text)
    if age is not None and not label:
        lines.insert(0, verdict(age, warm, cool, name))
    working = [
        f"House rule for {name}: {number(warm)} days warm, {number(cool)} days cool, counted from laying, or from finding if that is unknown."
    ]
    if label:
        cohort = nursery.ledger.cohorts[label]
        start = date.fromisoformat(cohort.first_when[:10])
        day = start + timedelta(days=round(chosen))
        values["give_up"] = Value(
            day.isoformat(),
            low=(start + timedelta(days=round(warm))).isoformat(),
            high=(start + timedelta(days=round(cool))).isoformat(),
        )
        left = sum(heads for _, heads in nursery.heads(cohort=label, stage="egg"))
        age = (nursery.now.date() - start).days
        past = (
            "that day has passed" if day < nursery.now.date() else f"{counted((day - nursery.now.date()).days, 'day')} from now"
        )
        how = "laid" if cohort.origin == "laid" else "found"
        if left:
            lines.insert(
                0,
                f"Give up on the {counted(left, 'egg')} of cohort {label} on {day_words(day, nursery.now)}, {past}; they were {how} {age} days ago.",
            )
        else:
            lines.insert(0, f"Cohort {label} has no eggs left; its give-up day would have been {day_words(day, nursery.now)}.")
        working.append(
            f"Cohort {label} was {how} on {start.isoformat()}; {start.isoformat()} + {number(chosen)} days = {day.isoformat()}."
        )
        if warmth is not None:
            working.append(f"The last reading was {number(warmth)} °C.")
    return values, lines, species.give_up_sources, working


def days_said(text: str) -> float | None:
    """How many days the line says have passed."""
    found = DAYS.search(text)
    if not found:
        return None
    count = WORDS.get(found[1]) or float(found[1])
    return count * 7 if found[2].startswith("week") else count


def verdict(age: float, warm: float, cool: float, name: str) -> str:
    """Whether an age lies past the give-up days."""
    if age > cool:
        return f"After {number(age)} days it is past the give-up day of {name}, warm or cool: it will hardly hatch."
    if age > warm:
        return f"After {number(age)} days it is past the give-up day of {name} in a warm room ({number(warm)}), not yet in a cool one ({number(cool)})."
    return f"After {number(age)} days it is not yet time to give up on {name}: wait."


def warmth_of(label: str, request, nursery) -> float | None:
    """°C said in the line, or the mean of the last readings where the cohort's eggs stand; None where neither is known."""
    if request.celsius is not None:
        return request.celsius
    if label:
        for key, _ in nursery.heads(cohort=label, stage="egg"):
            recent = nursery.temperatures(key.enclosure)[-24:]
            if recent:
                return sum((one.low + one.high) / 2 for one in recent) / len(recent)
    return None
