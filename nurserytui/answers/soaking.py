"""How long to soak in bleach, by what is soaked, and how long a mix keeps: what the rules of practice hold."""

from __future__ import annotations

import re

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.rules import lines_of, pick, sources_of
from nurserytui.answers.wording import cite, unknown

TOPIC = "dilution"
_ANIMALS = re.compile(r"\b(pup(a|ae|as)|chrysal\w+|cocoons?|larvae?|caterpillars?|cats?|butterfl\w+|moths?|adults?)\b")
_KINDS = (
    ("egg", re.compile(r"\b(eggs?|ova)\b")),
    ("stem", re.compile(r"\b(stems?|lea(f|ves)|plants?|cuttings?|host|milkweed|food ?plant|foliage|sprigs?)\b")),
    ("npv", re.compile(r"\b(virus\w*|npv|black death|wilt|polyhedr\w*)\b")),
    (
        "oe",
        re.compile(
            r"\b(oe|spores?|tubs?|plastic|gear|tools?|cages?|tents?|sleeves?|nets?|netting|mesh|jars?|containers?|soak\w*)\b"
        ),
    ),
    ("surface", re.compile(r"\b(surfaces?|benches|bench|tables?|worktops?|counters?|wip\w+|floors?|shelf|shelves)\b")),
)
"""What is soaked, and the word by which its rule is known; living things first, since what suits gear kills them."""
_GEAR = re.compile(
    r"\b(tubs?|plastic|gear|tools?|cages?|tents?|sleeves?|nets?|netting|mesh|jars?|containers?|box(es)?|after|from)\b"
)
MILD = 2000
"""ppm up to which a mix of which nothing else is said is taken as one for surfaces."""
EGGS_MOST = 1650
"""ppm: 2 % of the strongest household bleach, the most that the rule on eggs names."""
_MINUTES = {"min": 1, "minute": 1, "minutes": 1, "h": 60, "hour": 60, "hours": 60, "d": 1440, "day": 1440, "days": 1440}


def minutes(rule) -> Value | None:
    """A rule's time in minutes with its bounds, None if it holds none."""
    factor = _MINUTES.get(rule.unit) if rule is not None and rule.value is not None else None
    if factor is None:
        return None
    low, high = (None if each is None else each * factor for each in (rule.low, rule.high))
    return Value(rule.value * factor, "min", low, high)


def _animals(plain: str) -> bool:
    """Whether larvae, pupae or adults themselves are to be soaked, not what held them."""
    return bool(_ANIMALS.search(plain)) and not _GEAR.search(plain) and not _KINDS[1][1].search(plain)


def rule_for(knowledge, plain: str, strength: Value):
    """The rule on contact for what the line says is soaked; where it does not say, that for surfaces up to `MILD` ppm, else for gear."""
    kind = next((kind for kind, words in _KINDS if words.search(plain)), "")
    if kind != "egg" and _animals(plain):
        return None
    if not kind:
        most = strength.value if strength.value is not None else strength.high
        kind = "surface" if most is not None and most <= MILD else "oe"
    return next((rule for rule in knowledge.rules("sanitation") if kind in rule.about and minutes(rule)), None)


def too_strong(rule, strength: Value) -> bool:
    """Whether a mix is surely stronger than the rule on eggs allows."""
    least = strength.value if strength.value is not None else strength.low
    return "egg" in rule.about and least is not None and least > EGGS_MOST


def lacking(plain: str) -> str:
    """Why there is no contact time."""
    if _animals(plain):
        return "no figures are known for larvae, pupae or adults: do not put them in bleach"
    return "it depends on what is soaked: ask how long to soak tubs, stems or eggs"


def contact(request, nursery, cautions: tuple[str, ...]) -> Answer:
    """How long to leave something in bleach."""
    plain = request.plain or request.text.casefold()
    rule = rule_for(nursery.knowledge, plain, Value(None))
    if rule is None:
        return unknown(TOPIC, f"I cannot say how long: {lacking(plain)}.", cautions=cautions)
    return _told([rule], {"contact_time": minutes(rule)}, nursery, cautions)


def keeping(request, nursery, cautions: tuple[str, ...]) -> Answer:
    """How long a mix keeps."""
    plain = request.plain or request.text.casefold()
    rules = [
        rule for rule in pick(nursery.knowledge, ("sanitation",), plain, ("keep", "mixed", "stay good")) if "keep" in rule.about
    ]
    if not rules:
        return unknown(TOPIC, "Nothing in the knowledge base says how long a mix keeps.", cautions=cautions)
    timed = minutes(rules[0])
    return _told(rules, {"keeps": timed} if timed else {}, nursery, cautions)


def by_rules(names: tuple[str, ...], nursery, cautions: tuple[str, ...]) -> Answer:
    """What these rules of practice say."""
    return _told([rule for name in names if (rule := nursery.knowledge.rule(name))], {}, nursery, cautions)


def _told(rules: list, values: dict[str, Value], nursery, cautions: tuple[str, ...]) -> Answer:
    return Answer(
        "answered",
        TOPIC,
        "\n".join(lines_of(rules)),
        values=values,
        working=tuple(f"{rule.id}: {rule.text}" for rule in rules),
        sources=cite(nursery.knowledge, sources_of(rules)),
        cautions=cautions,
        next=("20 % bleach, 5 litres", "How much 6 % bleach for 1000 ppm in 2 litres?"),
    )
