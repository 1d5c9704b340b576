"""What a sign on an animal may mean and what to do about it, action first."""

from __future__ import annotations

import re

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.sign_match import FAINT, causes, enough, shown, words_of
from nurserytui.answers.wording import ask, cite, listed, percent, sentence

TOPIC = "health-sign"
SURE = 0.25
LEAST = 0.15
"""Below this share even the likeliest cause is not worth a word: ask instead."""
STAGE_WORDS = {
    "egg": ("egg", "eggs", "ova"),
    "larva": ("caterpillar", "caterpillars", "larva", "larvae", "cat", "cats", "instar", "hornworm", "worm"),
    "prepupa": ("prepupa", "prepupae", "j"),
    "pupa": ("pupa", "pupae", "chrysalis", "chrysalid", "chrysalids", "chrysalides", "chrysalises", "cocoon", "cocoons"),
    "adult": ("adult", "adults", "butterfly", "butterflies", "moth", "moths", "imago", "wing", "wings"),
}
ASKS = (
    "The caterpillar is limp and dark and hangs by its middle legs",
    "The caterpillar is firm, still and sits on a silk pad",
    "The chrysalis has small round holes and is hollow",
    "The butterfly came out with crumpled wings",
)


def stages_in(text: str) -> tuple[str, ...]:
    """The stages that the words name, in the order of life."""
    words = set(words_of(text))
    found = tuple(stage for stage, names in STAGE_WORDS.items() if words & set(names))
    if "larva" in found and "pupa" not in found and "prepupa" not in found and any(word.startswith("hang") for word in words):
        found = (*found, "prepupa")
    return tuple(stage for stage in found if stage != "adult") if len(found) > 1 else found


def health_sign(request, nursery) -> Answer:
    """Causes with probabilities, whether to isolate, what to do, what to look at next. Asks back where the words show too little."""
    text = request.plain or request.text
    stages = stages_of(request, text, nursery)
    about = about_of(request, nursery)
    answer = describe(text, stages, nursery, about) or describe(text, stages, nursery, about, floor=FAINT)
    if answer is not None:
        return answer
    what = f"the {listed(stages, 'or')}" if stages else "which stage it is"
    lacking = f"Tell me more about {what}" if stages else "Tell me the stage (egg, caterpillar, hanging, chrysalis or adult)"
    return ask(
        TOPIC,
        f"I cannot tell from that. {lacking}: its colour, firm or limp, still or moving, since when, and how many are the same.",
        ASKS,
        about=about_of(request, nursery),
        cautions=(
            "While you look: keep the animal apart from the others in a clean container, and do not touch one that may be moulting.",
        ),
    )


def stages_of(request, text: str, nursery) -> tuple[str, ...]:
    said = request.stages or stages_in(text)
    if said:
        return said
    standing = {key.stage for label in request.cohorts for key, heads in nursery.heads(cohort=label) if heads}
    return tuple(standing) if len(standing) == 1 else ()


def about_of(request, nursery) -> dict:
    about: dict = {}
    if request.cohorts:
        about["cohort"] = request.cohorts[0]
        cohort = nursery.ledger.cohorts.get(request.cohorts[0])
        if cohort:
            about["species"] = cohort.species
    if request.mark:
        about["mark"] = request.mark
    if request.enclosures:
        about["enclosure"] = request.enclosures[0]
    if request.species and len(request.species[0].names) == 1:
        about["species"] = request.species[0].name
    return about


def describe_sign(plain_text: str, stage: str, nursery) -> Answer | None:
    """What the words may mean on an animal of that stage ("" where not known); None where they show no known sign clearly enough."""
    return describe(plain_text, (stage,) if stage else stages_in(plain_text), nursery, {})


def describe(
    text: str, stages: tuple[str, ...], nursery, about: dict, topic: str = TOPIC, tilt=None, floor: float = 0.6
) -> Answer | None:
    """The answer for a line, None where it shows no sign clearly; `tilt(name)` is a factor on the weight of a cause."""
    knowledge = nursery.knowledge
    signs = enough(fitting(shown(text, knowledge.signs(), stages), about, knowledge), floor)
    if not signs:
        return None
    bounds = confined(about.get("species", ""), knowledge)
    weighed, other = causes(signs, lambda name: (tilt(name) if tilt else 1.0) * (bounds(name) if bounds else 1.0))
    best = weighed[0]
    if best.probability < LEAST:
        return None
    isolate = any(one.sign.isolate and not one.sign.normal for one in signs[:1]) or best.sign.isolate
    normal = best.sign.normal
    items = tuple(
        {
            "name": one.name,
            "label": agent_label(one.name, knowledge),
            "probability": one.probability,
            "reason": one.sign.sign,
            "check": one.sign.check,
            "action": one.sign.action,
        }
        for one in weighed
        if one.probability >= 0.01
    )
    lead = f"{agent_label(best.name, knowledge)} ({percent(best.probability)})"
    act = sentence(best.sign.action)
    if normal:
        lines = [f"Most likely normal: {lead}. {act or 'Nothing needs doing.'}"]
    else:
        keep = "Keep it apart from the others now. " if isolate and not re.match(r"(?i)isolate|keep", act) else ""
        lines = [f"{keep}{act} {'Most likely' if best.probability >= SURE else 'It may be several things, first'} {lead}."]
        if best.sign.healthy and best.sign.healthy not in ("none", "normal"):
            lines.append(f"First rule out the healthy look-alike: {sentence(best.sign.healthy)}")
    rest = [f"{agent_label(one.name, knowledge)} ({percent(one.probability)})" for one in weighed[1:4] if one.probability >= 0.03]
    if rest:
        lines.append(f"It may also be {listed(rest, 'or')}; {percent(other)} is left for causes not listed.")
    if best.sign.check and best.sign.check != "none":
        lines.append(f"Look next: {sentence(best.sign.check)}")
    if best.sign.spreads and not normal:
        lines.append(f"Does it spread: {sentence(best.sign.spreads)}")
    working = [f"The words show “{one.sign.sign}” ({one.sign.stage}), strength {one.strength:.2f}." for one in signs]
    working.append(f"Causes are weighed over these signs; {percent(other)} is kept for causes that are not listed.")
    cautions = ["This is a reading of words, not a diagnosis: judge by the animal, and ask an expert where many are affected."]
    if isolate:
        cautions.append(
            "Wash hands and tools between this animal and the others; do not move leaf or frass from its container to another."
        )
    return Answer(
        "answered",
        topic,
        "\n".join(lines),
        about={**about, "sign": best.sign.id, "stage": best.sign.stage},
        values={"isolate": Value("yes" if isolate else "no")},
        items=items,
        working=tuple(working),
        sources=cite(knowledge, (source for one in signs for source in one.sign.sources)),
        cautions=tuple(cautions),
        next=follow_ups(best, isolate, about, knowledge),
    )


def fitting(signs: list, about: dict, knowledge) -> list:
    """Signs of one genus (said in brackets or by name in the sign) are kept only where the animal may be of it."""
    species = about.get("species", "")
    if not species or species == "unknown":
        return signs
    known = {one.scientific.split(" ")[0] for one in knowledge.all_species()}
    mine = species.split(" ")[0]
    kept = []
    for one in signs:
        genera = {word for word in one.sign.sign.replace(",", " ").replace("(", " ").replace(")", " ").split() if word in known}
        if not genera or mine in genera:
            kept.append(one)
    return kept


def follow_ups(best, isolate: bool, about: dict, knowledge) -> tuple[str, ...]:
    agent = knowledge.agent(best.name)
    found = []
    if agent:
        found.append(f"What is {agent.name}?")
    if isolate and agent and agent.contagious and about.get("cohort"):
        found.append(f"Who was exposed to {about['cohort']}?")
    if isolate:
        found.append("How do I disinfect a cage?")
    return tuple(found[:3]) or ("Why?",)


def agent_label(name: str, knowledge) -> str:
    """A cause as a person reads it: `tachinid fly`, `OE (Ophryocystis elektroscirrha)`, `moulting`."""
    agent = knowledge.agent(name)
    scientific = bool(agent) and agent.name[:1].isupper()
    if scientific and agent.common and agent.common[0].casefold() not in agent.name.casefold():
        return f"{agent.common[0]} ({agent.name})"
    return name.removesuffix(" (normal)")


def confined(species: str, knowledge):
    """A factor on causes that attack other kinds of animal only (`Monarchs and queens only` in the agent's window)."""
    known = knowledge.species(species) if species else None
    if known is None:
        return None

    def factor(name: str) -> float:
        agent = knowledge.agent(name)
        only = re.search(r"([A-Z][^.]*) only\b", agent.window) if agent else None
        return 0.02 if only and not any(common.casefold() in only[1].casefold() for common in known.common) else 1.0

    return factor
