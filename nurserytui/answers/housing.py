"""How many larvae an enclosure holds, and when and how to clean."""

from __future__ import annotations

import re
from datetime import datetime

from nurserytui.amounts.factors import convert
from nurserytui.answers import disinfecting, soaking
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.rules import lines_of, pick, sources_of
from nurserytui.answers.wording import OWN_RECORDS, ask, cite, counted, day_words, number
from nurserytui.language.boxes import box

DENSITY, HYGIENE = "density", "hygiene"
EVERY = ("frass-daily", "condensation")
"""Rules whose days are a rhythm, not a span."""
SMALL = re.compile(r"\b(small|tiny|little|young|newly hatched|hatchlings?|first|second|third|1st|2nd|3rd)\b")
LARGE = re.compile(r"\b(large|big|full.?grown|fully grown|huge|fat|last|final|fourth|fifth|4th|5th)\b")
SPORES = re.compile(r"\b(oe|spores?|ophryocystis)\b")
SUN = re.compile(r"\b(sun\w*|uv|light|heat)\b")
TEST = re.compile(r"\b(test\w*|tape|check for|microscope|tell if|find out)\b")
SOAK = re.compile(r"\b(soak\w*|contact|minutes?|how long|leave (it|them) in)\b")
CLEANING = re.compile(
    r"\b(clean\w*|wash\w*|bleach\w*|disinfect\w*|soak\w*|steril\w*|saniti\w*|rins\w*|kill\w*|oe|spores?|virus\w*|npv|alcohol|peroxide|boil\w*)\b"
)
FRASS = re.compile(r"\b(frass|droppings?|poop?|poo)\b")
RHYTHM = re.compile(
    r"\b(how often|often|every|daily|weekly|wip\w+|tid(?:y|ied|ying)|chang\w+|muck\w*|mess\w*|dirt\w*|hygien\w*|care|liners?|tissue|paper|towels?|swap\w*)\b"
)
"""Words of cleaning day by day, for which there is a rule of its own."""
CAGES = ("How often should I clean the cage?", "How warm and humid should the cage be?", "How many larvae fit in 10 litres?")


def density(request, nursery) -> Answer:
    """How many larvae a volume holds by the house rule, and how many stand in it now."""
    knowledge = nursery.knowledge
    text = request.plain or request.text
    enclosure = enclosure_meant(request, nursery)
    litres, said = litres_said(request, text)
    if litres is None and enclosure in nursery.settings.volumes:
        litres = nursery.settings.volumes[enclosure] / 1000
        said = f"{enclosure} ({number(litres, 2)} L)"
    present = present_in(enclosure, nursery) if enclosure else None
    about = {"enclosure": enclosure} if enclosure else {}
    if litres is None and not enclosure:
        return by_the_rule(request, text, nursery)
    if litres is None:
        known = sorted(nursery.settings.volumes)
        options = [f"How many larvae fit in {name}?" for name in known[:3]] + ["How many large larvae fit a 10 L tub?"]
        what = f"I do not know the volume of {enclosure}. Tell me it once: “{enclosure} holds 10 L”."
        if present and sum(present):
            what += f" {counted(sum(present), 'larva', 'larvae')} {'is' if sum(present) == 1 else 'are'} in it now."
        return ask(DENSITY, what, options, about=about)
    rules = {kind: knowledge.rule(f"density-litre-{kind}") for kind in ("large", "small")}
    fits = {kind: int(litres / rule.value + 1e-9) for kind, rule in rules.items()}
    damp = {kind: int(litres / rule.high + 1e-9) for kind, rule in rules.items()}
    small = (request.instar is not None and request.instar <= 3) or (bool(SMALL.search(text)) and not LARGE.search(text))
    kind, other = ("small", "large") if small else ("large", "small")
    lines = [
        f"{said} holds about {counted(fits[kind], f'{kind} larva', f'{kind} larvae')} "
        f"({fits[other]} if they are {other}), half as many where it is damp."
    ]
    values = {"capacity": Value(fits[kind], "larvae", damp[kind], fits[kind])}
    if present:
        big, little = present
        need = big * rules["large"].value + little * rules["small"].value
        values["present"] = Value(big + little, "larvae")
        state = "It is too full: thin it out." if need > litres else "That is within the rule."
        lines.append(
            f"Now in it: {counted(big + little, 'larva', 'larvae')} ({big} large, {little} small), which need {number(need, 2)} L. {state}"
        )
    more = [rules[kind], knowledge.rule("density-one-per-container"), *pick(knowledge, (DENSITY,), text)]
    lines += lines_of(more, 4)
    return Answer(
        "answered",
        DENSITY,
        "\n".join(lines),
        about=about,
        values=values,
        working=tuple(
            f"{number(litres, 2)} L / {number(rule.value, 2)} L a larva = {fits[name]} {name} larvae."
            for name, rule in rules.items()
        ),
        sources=(*cite(knowledge, sources_of(more[:4])), *((OWN_RECORDS,) if present else ())),
        cautions=("Never keep large and small larvae together, nor adults with larvae.",),
        next=("How often should frass be cleaned out?", "In which instar do they eat the most?"),
    )


def by_the_rule(request, text: str, nursery) -> Answer:
    """What a line about room is told where it names no enclosure and no volume: the litres that so many larvae need."""
    knowledge = nursery.knowledge
    rules = {kind: knowledge.rule(f"density-litre-{kind}") for kind in ("large", "small")}
    count = request.count if request.count and request.count > 0 else 1
    need = {kind: count * rule.value for kind, rule in rules.items()}
    larvae = counted(count, "larva", "larvae")
    first = (
        f"By the house rule {larvae} of the last two instars {'needs' if count == 1 else 'need'} {number(need['large'], 2)} L, "
        f"{'a small one' if count == 1 else 'small ones'} {number(need['small'], 2)} L; twice as much where it is damp."
    )
    more = [knowledge.rule("density-one-per-container"), *pick(knowledge, (DENSITY,), text)]
    more = [rule for rule in dict.fromkeys(more) if rule not in rules.values()]
    return Answer(
        "answered",
        DENSITY,
        "\n".join([first, *lines_of(more, 3)]),
        values={
            "capacity": Value(None, "larvae", reason="no volume of an enclosure is told"),
            "volume": Value(round(need["large"] * 1000), "mL", round(need["small"] * 1000), round(need["large"] * 2000)),
        },
        working=tuple(f"{count} {kind} x {number(rule.value, 2)} L = {number(need[kind], 2)} L." for kind, rule in rules.items()),
        sources=cite(knowledge, sources_of([*rules.values(), *more[:3]])),
        cautions=("Never keep large and small larvae together, nor adults with larvae.",),
        next=("How many large larvae fit a 10 L tub?", "How often should frass be cleaned out?"),
    )


def litres_said(request, text: str) -> tuple[float | None, str]:
    """The volume in the line, as an amount or as three sides (cm where no unit is said), and the words for it."""
    for one in request.amounts:
        if one.kind == "volume":
            litres = convert(one.value, one.unit, "liter")
            return litres, f"An enclosure of {number(litres, 2)} L" + ("" if one.unit == "liter" else f" ({one.said})")
    sides = box(text)
    if sides:
        return sides.litres, f"An enclosure of {number(sides.litres, 2)} L ({sides.said})"
    return None, ""


def enclosure_meant(request, nursery) -> str:
    if request.enclosures:
        return request.enclosures[0]
    if request.cohorts:
        places = {key.enclosure for key, _ in nursery.heads(cohort=request.cohorts[0]) if key.enclosure}
        return places.pop() if len(places) == 1 else ""
    return ""


def present_in(enclosure: str, nursery) -> tuple[int, int]:
    """Large (instar 4 and up, or not known) and small larvae standing in an enclosure, prepupae with the large."""
    large = small = 0
    for key, heads in nursery.heads(enclosure=enclosure):
        if key.stage == "prepupa" or (key.stage == "larva" and (key.instar is None or key.instar >= 4)):
            large += heads
        elif key.stage == "larva":
            small += heads
    return large, small


def hygiene(request, nursery) -> Answer:
    """How often and how to clean; when an enclosure was cleaned last; how to test for OE and what kills its spores."""
    knowledge = nursery.knowledge
    text = request.plain or request.text
    if "euthanise" in request.cues:
        return ending(nursery)
    if not request.enclosures and (answer := disinfecting.told(text, nursery, HYGIENE)):
        return answer
    rules = pick(knowledge, (HYGIENE, "sanitation") if CLEANING.search(text) else (HYGIENE,), text)
    if not (rules or request.enclosures or any(pattern.search(text) for pattern in (CLEANING, FRASS, RHYTHM))):
        return ask(HYGIENE, "I have no rule on that. Is it about cleaning, about warmth and damp, or about room?", CAGES)
    lines: list[str] = []
    values: dict[str, Value] = {}
    about = {}
    own = False
    if request.enclosures:
        enclosure = about["enclosure"] = request.enclosures[0]
        last = last_cleaned(enclosure, nursery)
        own = True
        if last:
            days = (nursery.now.date() - datetime.fromisoformat(last).date()).days
            ago = "today" if days == 0 else "yesterday" if days == 1 else f"{days} days ago"
            lines.append(f"{enclosure} was last cleaned {ago}, on {day_words(last, nursery.now)}.")
            values["last"] = Value(last)
        else:
            lines.append(f"No cleaning of {enclosure} is in your records.")
            values["last"] = Value(None, reason="no cleaning is in the records")
    else:
        values["last"] = Value(None, reason="no enclosure is named")
    lead = []
    if SPORES.search(text) and SUN.search(text):
        lead = [knowledge.rule("oe-sun"), knowledge.rule("uv")]
        lines.append("No, sun does not kill OE spores.")
    elif (SPORES.search(text) and TEST.search(text)) or re.search(r"\btape\b", text):
        lead = [knowledge.rule(name) for name in ("tape-test", "tape-read", "tape-result")]
    elif not rules or FRASS.search(text):
        lead = [knowledge.rule("frass-daily")]
    chosen = [rule for rule in dict.fromkeys([*lead, *rules]) if rule]
    every = next(
        (rule for rule in chosen if rule.unit in ("day", "days") and rule.value is not None and rule.topic == HYGIENE), None
    )
    if every is None or every.id not in EVERY:
        every = knowledge.rule("frass-daily")
    if not lead or lead[0].id == "frass-daily":
        values["every"] = Value(every.value, "day", every.low, every.high)
    contact = soaking.rule_for(knowledge, text, Value(None)) if SOAK.search(text) and not lead else None
    if contact:
        values["contact_time"] = soaking.minutes(contact)
        chosen = [contact, *(rule for rule in chosen if rule != contact and not soaking.minutes(rule))]
    lines += [rule for rule in lines_of(chosen, 4) if rule not in lines]
    lines.append("Disinfect between batches, after any death by disease, and when adults have been inside.")
    return Answer(
        "answered",
        HYGIENE,
        "\n".join(lines),
        about=about,
        values=values,
        sources=(*cite(knowledge, sources_of(chosen[:4])), *((OWN_RECORDS,) if own else ())),
        cautions=(
            "Rinse twice and let it dry until no smell of bleach is left before animals go back.",
            "Never mix bleach with any other product; gloves, eye protection, open window.",
        ),
        next=(
            "How much bleach for 1 litre at 5000 ppm from 6 % bleach?",
            "How do I test a monarch for OE?",
            "Does sun kill OE spores?",
        ),
    )


def ending(nursery) -> Answer:
    """How keepers end the life of an animal that cannot be helped, and what to make sure of first."""
    rule = nursery.knowledge.rule("euthanasia")
    return Answer(
        "answered",
        HYGIENE,
        f"{rule.text}\nMake sure first: a larva that moults, a pupa that rests and anything chilled lie still too and need only time.",
        values={"hours": Value(rule.value, rule.unit)},
        sources=cite(nursery.knowledge, rule.sources),
        cautions=(
            "This is what keepers do, not advice of a vet: views differ on cold alone, and a vet knows other ways.",
            "Treat what was ill as infectious, also when it is frozen: closed bag, bin, wash your hands.",
        ),
        next=("My caterpillar is black and limp, what is it?", "How do I disinfect a cage?"),
    )


def last_cleaned(enclosure: str, nursery) -> str:
    """When an enclosure was last cleaned (or disinfected); "" where the records do not say."""
    return max((event.when for event in nursery.events if event.what == "cleaned" and event.enclosure == enclosure), default="")
