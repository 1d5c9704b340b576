"""What a sign on an animal may mean and what to do about it, action first."""

from __future__ import annotations

import re

from nurserytui.answers import stage_waiting
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.causes import normal as healthy
from nurserytui.answers.causes import spread_of
from nurserytui.answers.sign_match import FAINT, absent, causes, enough, shown, words_of
from nurserytui.answers.sign_records import before, recorded, told
from nurserytui.answers.spores import graded
from nurserytui.answers.wording import OWN_RECORDS, ask, cite, listed, percent, sentence
from nurserytui.language.normalise import normalise

TOPIC = "health-sign"
SURE = 0.25
SURE_NORMAL = 0.4
"""From this share on a healthy cause is said to be the likeliest; below it nothing is called normal."""
RESTS = {
    "winter rest": "pupa",
    "winter rest (diapause)": "pupa",
    "longer rest of the host": "pupa",
    "egg that rests over winter": "egg",
}
"""Causes that are a rest over winter, and the stage that rests."""
BY_TIME = ("pupa-holds-weeks", "pupa-late-unchanged")
"""Signs that tell of nothing but time."""
OTHER_HOST = 0.3
"""How likely an agent is in a genus that it is not recorded from, beside one that it is (judged: records are thin)."""
LEAST = 0.15
"""Below this share even the likeliest cause is not worth a word: ask instead."""
STAGE_WORDS = {
    "egg": ("egg", "eggs", "ova"),
    "larva": ("caterpillar", "caterpillars", "larva", "larvae", "cat", "cats", "instar", "hornworm", "worm"),
    "prepupa": ("prepupa", "prepupae", "j"),
    "pupa": ("pupa", "pupae", "chrysalis", "chrysalid", "chrysalids", "chrysalides", "chrysalises", "cocoon", "cocoons"),
    "adult": ("adult", "adults", "butterfly", "butterflies", "moth", "moths", "imago", "wing", "wings"),
}
LIVING = re.compile(
    r"\b(dead|died|alive|living|asleep|dormant|sleeping|give up|giving up|bin|binning|throw|toss|wait|viable|dud|duds)\b"
)
CLEAR = 0.6
"""The least strength of the signs that a line shows, as long as it shows any that strong."""
STAGED, WHOLLY = 0.75, 0.95
"""The least strength of a sign that alone speaks for a line: with a stage named, and without."""
EMERGED = re.compile(
    r"^(?=.*\bwings?\b).*\b((came|come|coming|is|was|just|now) out|emerged|eclosed)\b", re.IGNORECASE | re.DOTALL
)
"""Of an animal with wings that has left its chrysalis, whatever else is told of the chrysalis."""
ASKS = (
    "The caterpillar is limp and dark and hangs by its middle legs",
    "The caterpillar is firm, still and sits on a silk pad",
    "The chrysalis has small round holes and is hollow",
    "The butterfly came out with crumpled wings",
)


PUPATES = re.compile(
    r"\bhang\w*\b.*\b(pupat\w*|j\b|change)|\b(about|ready|going|trying) to (pupate|change|turn)\b|\bin (a |the )?j\b"
)
"""A larva that has hung itself up is a prepupa, whatever it is called."""


def stages_in(text: str) -> tuple[str, ...]:
    """The stages that the words name, in the order of life."""
    words = set(words_of(text))
    found = tuple(stage for stage, names in STAGE_WORDS.items() if words & set(names))
    if "larva" in found and "pupa" not in found and "prepupa" not in found and any(word.startswith("hang") for word in words):
        found = (*found, "prepupa")
    return tuple(stage for stage in found if stage != "adult") if len(found) > 1 else found


def health_sign(request, nursery) -> Answer:
    """Causes with probabilities, whether to isolate, what to do, what to look at next. Asks back where the words show too little."""
    class_asked = graded(request, nursery, TOPIC)
    if class_asked is not None:
        return class_asked
    text = words_said(request)
    stages = stages_of(request, text, nursery)
    about = about_of(request, nursery)
    earlier = recorded(request, nursery)
    waiting = stage_waiting.waited(request, nursery, stages, TOPIC)
    if waiting is not None:
        about = {"species": waiting.species, **about}
    for words, floor in ((text, CLEAR), (text, FAINT), ("", CLEAR)):
        if words or earlier:
            answer = describe(words, stages, nursery, about, floor=floor, earlier=earlier)
            if answer is not None:
                by_time = waiting is not None and answer.about.get("sign") in BY_TIME
                return answer._replace(text=f"{answer.text}\n{waiting.line}") if by_time else answer
    if waiting is not None:
        return stage_waiting.of_age_alone(waiting, stages, nursery, TOPIC, about)
    if stages == ("pupa",) and LIVING.search(text):
        return dead_or_resting(nursery, about)
    what = f"the {listed(stages, 'or')}" if stages else "which stage it is"
    lacking = f"Tell me more about {what}" if stages else "Tell me the stage (egg, caterpillar, hanging, chrysalis or adult)"
    return ask(
        TOPIC,
        f"I cannot tell from that. {lacking}: its colour, firm or limp, still or moving, since when, and how many are the same.",
        ASKS,
        about=about,
        cautions=(
            "While you look: keep the animal apart from the others in a clean container, and do not touch one that may be moulting.",
        ),
    )


def dead_or_resting(nursery, about: dict) -> Answer:
    """How a pupa that rests is told from a dead one, where nothing is told of its looks."""
    rule = nursery.knowledge.rule("alive")
    return Answer(
        "answered",
        TOPIC,
        f"Do not give up on a pupa by time alone: many rest until spring, and some for a year longer.\n{rule.text}\n"
        "Soft, smelly, leaking or with a hole means dead or parasitised; a wiggle when it is warm means alive.",
        about={**about, "stage": "pupa"},
        values={"isolate": Value(None, reason="nothing is told of its looks")},
        sources=cite(nursery.knowledge, rule.sources),
        cautions=("Until you know, keep it in a cup of its own under fine mesh, and do not open it.",),
        next=("How do I keep pupae over winter?", *ASKS[2:3]),
    )


def told_by_signs(request, nursery) -> Answer | None:
    """The answer for a line that nothing understood, None where it shows no sign clearly: where no stage is named, only a whole sign
    speaks for it."""
    text = words_said(request)
    stages = stages_of(request, text, nursery)
    return describe(text, stages, nursery, about_of(request, nursery), floor=STAGED if stages else WHOLLY)


def words_said(request) -> str:
    """The line with its commas, which end a denial, unless the conversation has changed its words since."""
    if request.text and (not request.plain or normalise(request.text) == request.plain):
        return request.text
    return request.plain


def stages_of(request, text: str, nursery) -> tuple[str, ...]:
    said = request.stages or stages_in(text)
    if said == ("larva",) and PUPATES.search(text):
        said = ("larva", "prepupa")
    if said == ("egg",) and request.topic == TOPIC:
        # eggs on an animal: `a hornworm covered in white eggs`
        said = stages_in(text)
    if EMERGED.search(text):
        return ("adult",)
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


def describe_sign(plain_text: str, stage: str, nursery, cohort: str = "", mark: str = "") -> Answer | None:
    """What the words may mean on an animal of that stage ("" where not known), with what was written down before on its cohort.

    None where the words show no known sign clearly enough.
    """
    earlier = before(nursery, cohort, mark, text=plain_text)
    stages = (stage,) if stage else stages_in(plain_text)
    found = (describe(plain_text, stages, nursery, {}, floor=floor, earlier=earlier) for floor in (CLEAR, FAINT))
    return next((answer for answer in found if answer is not None), None)


def describe(
    text: str,
    stages: tuple[str, ...],
    nursery,
    about: dict,
    topic: str = TOPIC,
    tilt=None,
    floor: float = CLEAR,
    earlier: list = (),
) -> Answer | None:
    """The answer for a line, None where it shows no sign clearly.

    `tilt(name)` is a factor on the weight of a cause; `earlier` are sign events on the same animals. With no text, they alone speak.
    """
    knowledge = nursery.knowledge
    known = knowledge.signs()
    signs = enough(fitting(shown(text, known, stages), about, knowledge), floor)
    groups = [
        (event, group)
        for event in earlier
        if (group := enough(fitting(shown(event.detail, known, stages_of_event(event, stages)), about, knowledge)))
    ]
    if text and not signs or not (signs or groups):
        return None
    bounds = confined(about.get("species", ""), knowledge)
    rests = resting(about.get("species", ""), knowledge)
    missing = absent(text, known, stages)

    def prior(name: str) -> float:
        return (tilt(name) if tilt else 1.0) * (bounds(name) if bounds else 1.0) * rests(name)

    weighed, other = causes(signs, prior, missing, [group for _, group in groups])
    if weighed[0].probability < LEAST and len(signs) > 1:
        # Signs that contradict each other leave nothing likely: the most telling one then speaks alone.
        signs = signs[:1]
        weighed, other = causes(signs, prior, missing, [group for _, group in groups])
    best = weighed[0]
    if best.probability < LEAST:
        return None
    events = [event for event, _ in groups]
    signs = signs or groups[0][1]
    isolate = any(one.sign.isolate and not one.sign.normal for one in signs[:1]) or best.sign.isolate
    spread = spread_of(best.name, knowledge)
    working = [f"The words show “{one.sign.sign}” ({one.sign.stage}), strength {one.strength:.2f}." for one in signs if text]
    working += [
        f"Written down before: {told([event], nursery.now)}, “{group[0].sign.sign}”, at half weight." for event, group in groups
    ]
    working += [f"Said to be absent: “{one.sign.sign}” ({one.sign.stage}), strength {one.strength:.2f}." for one in missing[:3]]
    working.append(
        f"Bayes over these signs, with weights of causes by judgement; {percent(other)} is kept for causes that are not listed."
    )
    cautions = ["This is a reading of words, not a diagnosis: judge by the animal, and ask an expert where many are affected."]
    if isolate:
        cautions.append(
            "Wash hands and tools between this animal and the others; do not move leaf or frass from its container to another."
        )
    used = [*signs, *(one for _, group in groups for one in group)]
    return Answer(
        "answered",
        topic,
        "\n".join(told_lines(weighed, other, isolate, spread, events if text else [], nursery)),
        about={**about, "sign": best.sign.id, "stage": best.sign.stage},
        values={
            "isolate": Value("yes" if isolate else "no"),
            "contagious": Value(spread.contagious)
            if spread.contagious != "unknown"
            else Value(None, reason="this cause is not described"),
        },
        items=tuple(item(one, knowledge) for one in weighed if one.probability >= 0.01),
        working=tuple(working),
        sources=cite(knowledge, (*(source for one in used for source in one.sign.sources), "judgement"))
        + ((OWN_RECORDS,) if events else ()),
        cautions=tuple(cautions),
        next=follow_ups(best, isolate, about, knowledge),
    )


def stages_of_event(event, stages: tuple[str, ...]) -> tuple[str, ...]:
    return (event.stage,) if event.stage else stages_in(event.detail) or stages


def item(one, knowledge) -> dict:
    spread = spread_of(one.name, knowledge)
    agent = knowledge.agent(one.name)
    return {
        "name": one.name,
        "label": agent_label(one.name, knowledge),
        "probability": one.probability,
        "reason": one.sign.sign,
        "check": one.sign.check,
        "action": one.sign.action,
        "contagious": spread.contagious,
        "spreads": spread.words or one.sign.spreads,
        **({"watch_days": agent.watch_days} if agent and agent.contagious and agent.watch_days else {}),
    }


def told_lines(weighed, other: float, isolate: bool, spread, events, nursery) -> list[str]:
    """Action first, then the likeliest cause, its healthy look-alike, the others, the next look, isolation, and how it spreads."""
    knowledge, best = nursery.knowledge, weighed[0]
    lead = f"{agent_label(best.name, knowledge)} ({percent(best.probability)})"
    act = sentence(best.sign.action)
    normal = healthy(best.name) or best.sign.normal
    if normal:
        if best.probability >= SURE_NORMAL:
            lines = [f"Most likely normal: {lead}. {act or 'Nothing needs doing.'}"]
        else:
            lines = [f"It may be normal: {lead}; that is far from sure, so keep an eye on it. {act}".rstrip()]
    else:
        keep = (
            "Keep it apart from the others now. "
            if isolate and not re.match(r"(?i)isolate|keep|put (it|the \w+) (alone|in)", act)
            else ""
        )
        lines = [f"{keep}{act} {'Most likely' if best.probability >= SURE else 'It may be several things, first'} {lead}."]
        if best.sign.healthy and best.sign.healthy not in ("none", "normal"):
            lines.append(f"First rule out the healthy look-alike: {sentence(best.sign.healthy)}")
    rest = [f"{agent_label(one.name, knowledge)} ({percent(one.probability)})" for one in weighed[1:4] if one.probability >= 0.03]
    if rest:
        lines.append(f"It may also be {listed(rest, 'or')}; {percent(other)} is left for causes not listed.")
    if best.sign.check and best.sign.check != "none":
        lines.append(f"Look next: {sentence(best.sign.check)}")
    if events:
        lines.append(f"Reckoned with what you wrote down before: {told(events, nursery.now)}.")
    lines.append(f"Isolate: {'yes' if isolate else 'no'}.")
    if not normal:
        lines.append(f"Does it spread: {spread.words or sentence(best.sign.spreads) or 'Not known.'}")
        catching = next(
            (one for one in weighed[1:4] if one.probability >= 0.1 and spread_of(one.name, knowledge).contagious == "yes"), None
        )
        if spread.contagious == "no" and catching:
            lines.append(f"Until you know, treat it as catching: {agent_label(catching.name, knowledge)} would be.")
    return lines


def fitting(signs: list, about: dict, knowledge) -> list:
    """Signs of one genus (said in brackets or by name in the sign) are kept only where the animal may be of it."""
    species = about.get("species", "")
    if not species or species == "unknown":
        return signs
    rests = resting(species, knowledge)
    signs = [one for one in signs if rests(one.sign.causes[0].name) == 1.0]
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
        found.append(f"How do I isolate {about['cohort']}?" if about.get("cohort") else "make me an isolation plan")
    return tuple(found[:3]) or ("Why?",)


def agent_label(name: str, knowledge) -> str:
    """A cause as a person reads it: `tachinid fly`, `OE (Ophryocystis elektroscirrha)`, `moulting`."""
    agent = knowledge.agent(name)
    scientific = bool(agent) and agent.name[:1].isupper()
    if scientific and agent.common and agent.common[0].casefold() not in agent.name.casefold():
        return f"{agent.common[0]} ({agent.name})"
    return name.removesuffix(" (normal)")


def resting(species: str, knowledge):
    """A factor on causes that are a winter's rest: nearly none in a stage in which the species does not winter."""
    known = knowledge.species(species) if species else None
    winters_as = known.winters_as if known else ""

    def factor(name: str) -> float:
        return 0.02 if winters_as and RESTS.get(name, winters_as) != winters_as else 1.0

    return factor


def confined(species: str, knowledge):
    """A factor on causes by what they attack: those of other kinds only (`Monarchs and queens only` in the agent's window) nearly out,
    those recorded from other genera less likely."""
    known = knowledge.species(species) if species else None
    if known is None:
        return None
    genus = known.scientific.split(" ")[0]

    def factor(name: str) -> float:
        agent = knowledge.agent(name)
        if agent is None:
            return 1.0
        only = re.search(r"([A-Z][^.]*) only\b", agent.window)
        if only and not any(common.casefold() in only[1].casefold() for common in known.common):
            return 0.02
        return OTHER_HOST if agent.hosts and genus not in agent.hosts else 1.0

    return factor
