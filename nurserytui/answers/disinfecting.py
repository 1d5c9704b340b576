"""What to clean with: whether a product works against a germ, how a thing is disinfected, and what is not shown to work."""

from __future__ import annotations

import re

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.sign_match import says, words_of
from nurserytui.answers.wording import capital, cite, listed, sentence
from nurserytui.knowledge.facts import Disinfectant, Effect, Use

TARGETS = {
    "OE": re.compile(r"\b(oe|spores?|ophryocystis|protozoan?)\b"),
    "virus": re.compile(r"\b(npv|virus\w*|black death|polyhedr\w*|baculovirus\w*|cpv)\b"),
    "mould": re.compile(r"\b(mou?ld\w*|mildew|fung\w+)\b"),
    "bacteria": re.compile(r"\b(bacteri\w+|germs?)\b"),
}
PURPOSES = {
    "eggs": re.compile(r"\b(eggs?|ova)\b"),
    "leaves": re.compile(r"\b(lea(f|ves)|stems?|cuttings?|foliage|milkweed|host ?plants?|food ?plants?|sprigs?)\b"),
    "hands": re.compile(r"\bhands?\b"),
    "tools": re.compile(r"\b(tools?|forceps|tweezers|scissors|brush\w*|paintbrush\w*|secateurs|pins?)\b"),
    "nets": re.compile(r"\b(nets?|netting|mesh|fabric|cloth|sleeves?|tents?|pop.?ups?|zips?)\b"),
    "surfaces": re.compile(r"\b(surfaces?|bench(es)?|tables?|counters?|worktops?|shel(f|ves)|floors?)\b"),
    "animals": re.compile(r"\b(caterpillars?|larvae?|pup(a|ae)|chrysal\w+|cocoons?|adults?|butterfl\w+)\b"),
    "cages": re.compile(r"\b(cages?|tubs?|jars?|box(es)?|containers?|plastic|gear|equipment|enclosures?|cups?|glass)\b"),
}
"""What is disinfected, and the words for it; living things first, since what suits gear kills them."""
KILLS = re.compile(
    r"\b(kills?|killed|killing|destroy\w*|work\w*|get rid|eliminat\w*|disinfect\w*|sterili[sz]\w*|enough|effective|any good|good (for|against|enough)|instead|clean\w*|wash\w*|use|safe|recommend\w*|against|strength|strong)\b"
)
CLEANS = re.compile(
    r"\b(soak\w*|disinfect\w*|sterili[sz]\w*|saniti[sz]\w*|decontaminat\w*|bleach\w*|what .*(clean|wash|wipe)\w*|(clean|wash|wipe)\w* .*with|how .*(clean|wash)\w*)\b"
)
RHYTHM = re.compile(r"\b(how often|how frequently|when|last|every|daily|schedule|between|before|test\w*|tape)\b")
"""Words of lines on when to clean or how to test, which are not on what to clean with."""
SORT = re.compile(r"\b(scented|unscented|perfumed|fragran\w+|thick\w*|splash.?less|no.?splash|colou?r.?safe|gel)\b")
"""Words for a sort of bleach."""
WORKS = {
    "yes": "Yes, as far as is known: {name} works against {target}",
    "in part": "Only in part: {name} against {target}",
    "no": "No, {name} does not kill {target}",
    "not shown": "Do not rely on it: {name} is not shown to work against {target}",
}
ROUTINE = ("cages", "nets", "surfaces")
"""What is cleaned every day as well."""
NO_RHYTHM = "this is on what to clean with, not on how often"
ORDER = ("yes", "in part", "not shown", "no")
CAUTIONS = (
    "Never mix a disinfectant with anything but water; gloves, eye protection, open window.",
    "The label of the product and the rules of your place go before this.",
    "Rinse twice and let everything dry until no smell is left before animals go back.",
)
NEXT = (
    "How much bleach for 1 litre at 5000 ppm from 6 % bleach?",
    "What must bleach never be mixed with?",
    "How long does mixed bleach stay good?",
)


def named_in(text: str, knowledge) -> list[Disinfectant]:
    """The disinfectants that a line names, in the order of the files."""
    words = words_of(text)
    found = [one for one in knowledge.disinfectants() if any(says(word, words) for word in one.words)]
    if any(one.name == "chlorine dioxide" for one in found):
        found = [one for one in found if one.name != "household bleach" or re.search(r"\bbleach", text)]
    return found


def target_in(text: str) -> str:
    return next((name for name, pattern in TARGETS.items() if pattern.search(text)), "")


def purpose_in(text: str) -> str:
    return next((name for name, pattern in PURPOSES.items() if pattern.search(text)), "")


def told(text: str, nursery, topic: str) -> Answer | None:
    """The answer for a line on what to clean with, None where the line is on something else (rhythms, tests, volumes)."""
    if RHYTHM.search(text):
        return None
    knowledge = nursery.knowledge
    if SORT.search(text) and re.search(r"\bbleach\b", text):
        return which_bleach(knowledge, topic)
    products, target = named_in(text, knowledge), target_in(text)
    others = [one for one in products if one.name != "household bleach"]
    if target and products and KILLS.search(text):
        return against(products, target, knowledge, topic)
    purpose = purpose_in(text)
    if target and purpose in ROUTINE + ("tools",) and not products and re.search(r"\b(what|which|how)\b", text):
        return for_purpose(purpose, [], knowledge, topic, target)
    if target and re.search(r"\b(what|which|anything|how)\b.*\b(kills?|destroys?|gets? rid|works?|disinfect\w*)\b", text):
        return best_against(target, knowledge, topic)
    if purpose and CLEANS.search(text) and (others or re.search(r"\b(what|which|how|can|should|do|is|soak)\b", text)):
        return for_purpose(purpose, others or products, knowledge, topic)
    if others and KILLS.search(text):
        return product(others, knowledge, topic)
    return None


def which_bleach(knowledge, topic: str) -> Answer:
    """Which sort of bleach will do."""
    rule = knowledge.rule("bleach-kind")
    values = {"every": Value(None, "day", reason=NO_RHYTHM), "last": Value(None, reason="no enclosure is named")}
    return Answer(
        "answered",
        topic,
        rule.text,
        values=values if topic == "hygiene" else {},
        sources=cite(knowledge, rule.sources),
        cautions=CAUTIONS,
        next=NEXT,
    )


def effect_on(one: Disinfectant, target: str) -> Effect:
    found = next((each for each in one.effects if each.target == target), None)
    return found or Effect(target, "not shown", "nothing is on record", one.sources)


def against(products: list[Disinfectant], target: str, knowledge, topic: str) -> Answer:
    """Whether the products named work against a germ."""
    lines, used = [], []
    for one in products[:3]:
        effect = effect_on(one, target)
        used.append((one, effect))
        lines.append(f"{WORKS[effect.works].format(name=one.name, target=target)}: {effect.text}.")
    if all(effect.works != "yes" for _, effect in used):
        better = [
            (one, effect) for one in knowledge.disinfectants() if (effect := effect_on(one, target)).works in ("yes", "in part")
        ]
        if better and better[0][0] not in products:
            lines.append(f"What is known to work better: {better[0][0].name}: {better[0][1].text}.")
            used.append(better[0])
    return _answer(lines, [one for one, _ in used], [effect for _, effect in used], knowledge, topic)


def best_against(target: str, knowledge, topic: str) -> Answer:
    """What works against a germ, best first, and what does not."""
    ranked = sorted(
        (
            (one, effect)
            for one in knowledge.disinfectants()
            if (effect := next((each for each in one.effects if each.target == target), None))
        ),
        key=lambda pair: ORDER.index(pair[1].works),
    )
    good = [(one, effect) for one, effect in ranked if effect.works == "yes"]
    good += [(one, effect) for one, effect in ranked if effect.works == "in part"][: max(0, 2 - len(good))]
    lines = [f"Against {target}: {good[0][0].name}: {good[0][1].text}."]
    lines += [f"Also {one.name}: {effect.text}." for one, effect in good[1:3]]
    part = [one.name for one, effect in ranked if effect.works == "in part" and (one, effect) not in good]
    bad = [one.name for one, effect in ranked if effect.works in ("no", "not shown")]
    if part:
        lines.append(f"Only in part: {listed(part)}.")
    if bad:
        lines.append(f"Not shown to work, or known not to: {listed(bad)}.")
    items = tuple(
        {"name": one.name, "label": one.name, "works": effect.works, "reason": sentence(effect.text)} for one, effect in ranked
    )
    return _answer(lines, [one for one, _ in good], [effect for _, effect in ranked], knowledge, topic)._replace(items=items)


def for_purpose(purpose: str, products: list[Disinfectant], knowledge, topic: str, target: str = "") -> Answer:
    """How a thing is disinfected: with the products named, else with those that have a use for it; what that does to a germ that is named."""
    named = [(one, use) for one in products for use in one.uses if use.purpose == purpose]
    pairs = named or [(one, use) for one in knowledge.disinfectants() for use in one.uses if use.purpose == purpose]
    first = next((pair for pair in pairs if pair[1].minutes_low is not None or pair[1].ppm_low is not None), pairs[0])
    pairs = [first, *(pair for pair in pairs if pair != first)]
    lines = []
    for one in products:
        if not any(each is one for each, _ in named):
            lines.append(sentence(one.verdict))
    lines += [f"{capital(one.name)}: {sentence(use.text)}" for one, use in pairs[:4]]
    if target:
        lines.insert(1, f"Against {target}: {effect_on(pairs[0][0], target).text}.")
    return _answer(lines, [*products, *(one for one, _ in pairs[:4])], [use for _, use in pairs[:4]], knowledge, topic, first[1])


def product(products: list[Disinfectant], knowledge, topic: str) -> Answer:
    """What products are good for."""
    lines, used = [], []
    for one in products[:3]:
        lines.append(sentence(one.verdict))
        lines += [f"For {use.purpose}: {sentence(use.text)}" for use in one.uses[:3]]
        if one.danger:
            lines.append(sentence(one.danger))
        if one.never_with:
            lines.append(f"Never with {listed(one.never_with, 'or')}.")
        used += [*one.effects, *one.uses]
    return _answer(lines, products[:3], used, knowledge, topic)


def _answer(lines: list[str], products, facts: list[Effect | Use], knowledge, topic: str, use: Use | None = None) -> Answer:
    values = {}
    if topic == "hygiene":
        rhythm = knowledge.rule("frass-daily") if use is not None and use.purpose in ROUTINE else None
        values["every"] = (
            Value(rhythm.value, rhythm.unit, rhythm.low, rhythm.high) if rhythm else Value(None, "day", reason=NO_RHYTHM)
        )
        values["last"] = Value(None, reason="no enclosure is named")
    if use is not None and use.minutes_high is not None:
        values["contact_time"] = Value(use.minutes_high, "min", use.minutes_low, use.minutes_high)
    if use is not None and use.ppm_high is not None:
        values["strength"] = Value(None, "ppm", use.ppm_low, use.ppm_high, reason="by the label of the stock and by source")
    ids = [source for fact in facts for source in fact.sources] + [source for one in products for source in one.sources]
    dangers = tuple(dict.fromkeys(f"{capital(one.name)}: {sentence(one.danger)}" for one in products if one.danger))
    return Answer(
        "answered",
        topic,
        "\n".join(dict.fromkeys(lines)),
        values=values,
        sources=cite(knowledge, ids),
        cautions=(*CAUTIONS, *dangers[:3]),
        next=NEXT,
    )
