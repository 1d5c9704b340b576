"""Whether an egg is alive, about to hatch, parasitised, resting or dead, and when to give up on it."""

from __future__ import annotations

import re

from nurserytui.answers import egg_states, egg_traits, egg_waiting, eggs, naming
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.causes import spread_of
from nurserytui.answers.giving_up import give_up
from nurserytui.answers.lateness import LOOK_FOR, spring
from nurserytui.answers.sign_match import FAINT
from nurserytui.answers.sign_records import before
from nurserytui.answers.signs import agent_label, describe, health_sign
from nurserytui.answers.wording import OWN_RECORDS, ask, cite, day_words, listed, lower, percent, sentence, species_label

TOPIC = "egg-viability"
GIVE_UP = re.compile(
    r"\b(give up|giving up|writ(e|ing) off|write (it|them) off|abandon|count\w* as dead|discard|throw\w*|bin|toss|how long (should|do|must|can) i (wait|keep)|too (late|old)|over ?due|still (good|alive|viable|not)"
    r"|(not|never|hasn't|haven't|hasnt|havent|won't|didn't) (yet )?hatch\w*|unhatched|dud|(when|days|how long|what point) .* dead|are .* dead\b.* days|will (it|they) (still )?hatch|past (it|their|its))\b"
)
WHEN = re.compile(
    r"\b(when(?! (?:i|we|he|she|it|they|you)\b)|how long|how many days|what point|until when|what day|which day)\b|\bgive up|\bgiving up|\bwrite off|\bdiscard|\bthrow|\bbin\b|\btoss|\btoo (late|old)"
)
"""Asks for a day, not for a state."""
WINTERING = re.compile(r"\b([a-z]+(?:-[a-z]+)?) (hairstreak|copper|skipper|fritillary|blue|apollo|parnassian|satyr)s?\b")
"""Kinds of which some species winter as eggs, with the word before that says which."""
NO_NAMES = {
    "a",
    "an",
    "the",
    "my",
    "our",
    "some",
    "of",
    "on",
    "is",
    "are",
    "and",
    "one",
    "two",
    "this",
    "these",
    "those",
    "its",
    "or",
    "turned",
    "gone",
}
SURE_ENOUGH = 0.6
"""The share from which an egg whose species is not named is judged as one of the likeliest."""
TURNING = re.compile(r"\b(turn\w*|chang\w*|gone|go(es|ing)?|went|becom\w*|became|now|normal|why)\b")
COLOUR_ASKED = re.compile(
    r"\b(what|which) colou?rs?\b|\bcolou?rs? (do|does|will|would|should|are|is|before|when)\b"
    r"|^(do|does|will|would|should)\b.*\b(change colou?r|turn (black|dark|grey|gray|clear|another))"
)
"""Asks how eggs look as they ripen, not what one egg shows."""
LEADS = {
    "alive": "Probably alive",
    "hatched": "Probably hatched",
    "parasitised": "Probably parasitised by egg wasps",
    "taken": "Probably taken or lost",
    "dead": "Probably dead or infertile",
    "none": "Probably no egg at all",
}
NAMES = {
    "alive": "alive",
    "hatched": "hatched",
    "parasitised": "parasitised",
    "taken": "taken or lost",
    "dead": "dead or infertile",
    "none": "no egg at all",
}
SAID_AGAIN = re.compile(
    r"^Most likely normal: [^.]* \(\d+ %\)\. ?|(?:^| )(?:Most likely|It may be several things, first) [^.]* \(\d+ %\)\.$",
    re.MULTILINE,
)
"""What the first line has said already."""
ASKS = (
    "The egg has one dark spot at the top and the rest is clear",
    "The egg is black all over",
    "The egg has caved in",
    "When should I give up on monarch eggs?",
)
GENERAL = "One dark spot at the top is the larva's head, a day or so before hatching; dark all over and staying dark is usually an egg wasp; a dent means infertile or dried."
FERTILE = "A fertile egg stays plump and changes colour before it hatches; an infertile one keeps its colour, then dents, caves in and dries up."
TELLING = ("shady-oak-eggs-2009", "conservation-eggs")
"""Where it is published how a living egg differs from a dead one."""
CUP = "Never open an egg to look. Keep a doubtful egg in a closed, dated cup apart from the others rather than throwing it out."


def egg_viability(request, nursery) -> Answer:
    """The state the words show, what to do, and the give-up day: for a cohort a date, else days for the species."""
    knowledge = nursery.knowledge
    if request.stages == ("pupa",) and not request.cohorts:
        return health_sign(request._replace(topic="health-sign"), nursery)
    text = request.plain or request.text
    species, label, ask_back = egg_species(request, nursery)
    if label and "give-up" in request.cues and not nursery.heads(cohort=label, stage="egg") and nursery.heads(cohort=label):
        from nurserytui.answers.forecasts import stage_forecast

        return stage_forecast(request._replace(topic="stage-forecast"), nursery)
    stranger = "" if label else unknown_kind(text, species)
    if stranger:
        species, ask_back = None, None
        text = egg_traits.mask(text, (stranger,))
    taken = ""
    if species is None and not label and not stranger and ask_back is None and request.hosts:
        name, share = eggs.likeliest(request, nursery)
        if share >= SURE_ENOUGH:
            species = knowledge.species(name)
            taken = (
                f"Taken for an egg of {species_label(name, knowledge)} ({percent(share)}) by the plant and what you say of it."
            )
    about: dict = {"stage": "egg"}
    if species:
        about["species"] = species.scientific
    if label:
        about["cohort"] = label
    text = egg_traits.mask(text, (label,)) if label else text
    told = egg_states.told(text, species, label, request, nursery)
    if stranger and (told.unchanged or WHEN.search(text)):
        return of_unknown_kind(stranger, told, about, nursery)
    values, until, cited, working = give_up(species, label, request, nursery)
    until = [taken, *until] if taken else until
    late_line = until[:1] if GIVE_UP.search(text) and len(until) > 1 else []
    asks_when = bool(WHEN.search(text))
    normal = colour_change(told, species, request, knowledge)
    if normal:
        lines, items = normal
        sources = cite(knowledge, (*species.egg.sources, *cited))
        return answered([*lines, *until], about, values, items, working, sources, label, species, knowledge)
    if (
        COLOUR_ASKED.search(text)
        and species is not None
        and not label
        and (species.egg.before_hatching or species.egg.late_colours)
    ):
        sources = cite(knowledge, (*species.egg.sources, *cited))
        return answered(
            [*colours_told(species, knowledge), *until], about, values, (), working, sources, label, species, knowledge
        )
    state = (
        None if told.unchanged else seen(told, nursery, about, species, request.mark, not (asks_when or "tell" in request.cues))
    )
    if told.unchanged or (label and state is None and not asks_when):
        waiting = None if asks_when else egg_waiting.waiting(told, species, label, request, nursery)
        if waiting:
            lines, items = unchanged(waiting, told, nursery)
            if until and until[0].startswith("After "):
                lines[0] = f"{lines[0]} {until[0]}"
                until = until[1:]
            if label or species:
                lines += until
            sources = cite(knowledge, (*waiting.sources, *cited))
            working = (*working, *waiting.working)
            about = {**about, "sign": egg_waiting.UNCHANGED}
            values = {**values, "alive": alive(items)}
            return answered(lines, about, values, items, working, sources, label, species, knowledge)
        state = seen(told, nursery, about, species, request.mark, not (asks_when or "tell" in request.cues))
    if state is not None and not (GIVE_UP.search(text) and weak(state) and values and (label or species)):
        rest = [SAID_AGAIN.sub("", line).strip() for line in state.text.split("\n")]
        lines = [*late_line, verdict(state.items, knowledge), *rest, *until]
        if asks_when and until:
            lines = [*until[:1], *lines]
        sources = (*state.sources, *(one for one in cite(knowledge, cited) if one not in state.sources))
        working = (*state.working, *story(told), *working)
        values = {**values, **state.values, "alive": alive(state.items)}
        answer = answered(lines, about, values, state.items, working, sources, label, species, knowledge)
        return answer._replace(cautions=(*state.cautions, *answer.cautions), about={**state.about, **about})
    if values and (GIVE_UP.search(text) or label or species):
        lines = [*until, GENERAL] if asks_when or told.age is not None else [FERTILE, GENERAL, *until]
        return answered(lines, about, values, (), working, cite(knowledge, cited), label, species, knowledge)
    if ask_back is not None:
        return ask_back
    if "tell" in request.cues:
        return answered([FERTILE, GENERAL], about, values, (), (), cite(knowledge, TELLING), label, species, knowledge)
    return ask(TOPIC, f"What does the egg look like, and which species is it? {GENERAL}", ASKS, about=about)


def seen(told: egg_states.Told, nursery, about: dict, species, mark: str, faint: bool = True) -> Answer | None:
    """What the words show of the egg as it is now: clear signs first, faint ones where there are none."""
    tilt = egg_states.tilt(told, species)
    earlier = before(nursery, about.get("cohort", ""), mark, text=told.now)
    for floor in (0.6, FAINT) if faint else (0.6,):
        answer = describe(told.now, ("egg",), nursery, about, TOPIC, tilt, floor, earlier)
        if answer is not None:
            return answer
    return None


def weak(state: Answer) -> bool:
    return not state.items or state.items[0]["probability"] < 0.35


def verdict(items, knowledge) -> str:
    """The first line: the likeliest state with its probability, the likeliest cause, and the other states."""
    states = egg_states.shares(items)
    best = next(iter(states))
    cause = next(item for item in items if egg_states.state(item["name"]) == best)
    share = states[best]
    lead = LEADS[best] if share >= 0.5 else f"Perhaps {NAMES[best]}"
    why = agent_label(cause["name"], knowledge)
    others = [f"{NAMES[name]} {percent(other)}" for name, other in states.items() if name != best and other >= 0.03]
    rest = f" Otherwise {listed(others, 'or')}." if others else ""
    return f"{lead} ({percent(share)}): {why}.{rest}"


def alive(items) -> Value:
    """The probability that it is alive or has hatched."""
    states = egg_states.shares(items)
    return Value(round(states.get("alive", 0.0) + states.get("hatched", 0.0), 3), "fraction")


def story(told: egg_states.Told) -> list[str]:
    """The steps that the age and the change of colour add."""
    steps = []
    if told.age is not None and told.due:
        steps.append(
            f"Age {told.age:g} days of about {told.due:.1f} that eggs take at {told.celsius:g} °C: causes are weighed by that part of the time."
        )
    if told.was:
        steps.append(f"It was {listed(told.was)} before: an egg that changes its colour is rarely infertile.")
    return steps


def unchanged(waiting: egg_waiting.Waiting, told: egg_states.Told, nursery) -> tuple[list[str], tuple[dict, ...]]:
    knowledge = nursery.knowledge
    items = tuple(
        {
            "name": name,
            "label": agent_label(name, knowledge),
            "probability": share,
            "reason": "unchanged since then"
            if egg_states.state(name) == "alive"
            else "eggs that die often look unchanged at first",
            "check": f"Look for {LOOK_FOR['egg']}.",
            "contagious": spread_of(name, knowledge).contagious,
        }
        for name, share in waiting.items
    )
    states = egg_states.shares(items)
    first = verdict(items, knowledge)
    rests = next((share for name, share in waiting.items if name == egg_waiting.RESTS), 0.0)
    if rests >= 0.2:
        do = "Never throw it out on time alone: keep it cool, dry and shaded under mesh, and look again in May."
    elif states.get("alive", 0.0) >= 0.2:
        do = "Leave it on its piece of leaf in a closed, dated cup at room temperature, and look once a day."
    else:
        do = "Move it to a closed, dated cup apart from the others; do not throw it out unseen."
    return [first, waiting.line, do, f"Look next for {LOOK_FOR['egg']}."], items


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
        cautions=(CUP,),
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


def unknown_kind(text: str, species) -> str:
    """A hairstreak, copper or other kind of which some winter as eggs, named in words that are not the species found (`brown hairstreak`)."""
    named = WINTERING.search(text)
    if not named or named[1] in NO_NAMES:
        return ""
    known = {common.casefold() for common in species.common} if species else set()
    kind = f"{named[1]} {named[2]}"
    return "" if any(kind in each or each.endswith(f"-{kind}") for each in known) else kind


def of_unknown_kind(kind: str, told: egg_states.Told, about: dict, nursery) -> Answer:
    """Time alone condemns no egg of a kind that may winter as an egg."""
    again = day_words(spring(nursery), nursery.now)
    lines = [
        f"Never give up on {kind} eggs on time alone: I have no card for that species, and many of its kind rest as eggs until spring.",
        f"Keep whole, firm eggs outdoors in shade, dry and under mesh, and look again on {again}.",
        f"Look next for {LOOK_FOR['egg']}.",
    ]
    rests, dead = (0.6, 0.25) if told.age and told.age > 14 else (0.45, 0.15)
    shares = {egg_waiting.RESTS: rests, egg_waiting.NOT_DUE: round(0.95 - rests - dead, 3), "infertile egg": dead}
    items = tuple(
        {
            "name": name,
            "label": agent_label(name, nursery.knowledge),
            "probability": share,
            "reason": f"judged, for want of a card on {kind}",
            "check": f"Look for {LOOK_FOR['egg']}.",
        }
        for name, share in sorted(shares.items(), key=lambda pair: -pair[1])
    )
    reason = f"{kind} eggs may rest until spring"
    values = {"give_up": Value(None, "date", reason=reason), "give_up_days": Value(None, "day", reason=reason)}
    step = f"No species on record is called {kind}; the shares are judged, not computed."
    return answered(
        lines, about, values, items, (step,), cite(nursery.knowledge, ("memory", "practice")), "", None, nursery.knowledge
    )


def colours_told(species, knowledge) -> list[str]:
    """The colours of a species' eggs when laid and before they hatch."""
    label = species_label(species.scientific, knowledge)
    fresh, late = species.egg.colours, species.egg.late_colours
    laid = f" are {listed(fresh, 'or')} when laid" if fresh else ""
    before = f" turn {listed(late, 'or')} before they hatch" if late else " change before they hatch"
    first = f"Yes: eggs of {label}{laid}{' and' if laid else ''}{before}."
    last = f"Shortly before hatching: {lower(sentence(species.egg.before_hatching))}" if species.egg.before_hatching else ""
    return [line for line in (first, last, GENERAL) if line]


def colour_change(told: egg_states.Told, species, request, knowledge) -> tuple[list[str], tuple[dict, ...]] | None:
    """Lines and conditions for a change of colour that is usual in that species; None where it is not that."""
    if species is None or not TURNING.search(told.now) or "black" in told.now or "all over" in told.now:
        return None
    names = tuple(named.said for named in (*request.species, *request.hosts))
    now = egg_traits.read(told.now, knowledge.traits, names)
    fresh, late = species.egg.colours, species.egg.late_colours
    usual = [colour for colour in now.colours if colour in late]
    if not usual or egg_states.BROKEN.search(re.sub(r"\bdark\w*", " ", told.now)):
        return None
    share = told.age / told.due if told.age is not None and told.due else None
    dull = bool(set(usual) & {"brown", "grey"})
    weights = {
        "developing embryo (normal)": 10.0 if share is None or share < 1.6 else 4.0,
        "Trichogramma": (1.2 if dull else 0.4) * egg_states.early("Trichogramma", told.age),
        "cooked or sprayed": 0.6 if dull else 0.2,
        "infertile egg": 0.4 if share is None or share < 1.6 else 2.0,
    }
    other = 0.6
    total = sum(weights.values()) + other
    label = species_label(species.scientific, knowledge)
    items = tuple(
        {
            "name": name,
            "label": agent_label(name, knowledge),
            "probability": int(weight / total * 1000) / 1000,
            "reason": sentence(species.egg.before_hatching)
            if name.startswith("developing")
            else "less often behind such a colour",
            "check": f"Look for {LOOK_FOR['egg']}.",
        }
        for name, weight in sorted(weights.items(), key=lambda pair: -pair[1])
    )
    first = items[0]["probability"]
    on_record = f" {sentence(species.egg.before_hatching)}" if species.egg.before_hatching else ""
    again = " Tell me if it was that colour when laid." if set(usual) & set(fresh) else ""
    lines = [
        f"Yes, that is normal ({percent(first)}): a fertile {label} egg turns {listed(usual, 'or')} as it develops towards hatching.{on_record}",
        "Leave it on its leaf and have fresh leaf ready.",
        f"Look next for {LOOK_FOR['egg']}.{again}",
    ]
    return lines, items
