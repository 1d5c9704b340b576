"""What one larva eats in its life, and how much of that a leaf, a stem or a plant is, from the facts on record."""

from __future__ import annotations

from typing import NamedTuple

from nurserytui.answers import naming
from nurserytui.answers.wording import lower, number
from nurserytui.biology import feeding
from nurserytui.biology.ranges import Range, exactly, inverse, pooled, product
from nurserytui.knowledge.facts import Rule

TOPIC = "appetite"
PER_PIECE = {"leaves": "cm2/leaf", "stems": "g/stem", "plants": "g/plant", "bunches": "g/bunch"}
ONE = {"leaves": "leaf", "stems": "stem", "plants": "plant", "bunches": "bunch"}


class Ration(NamedTuple):
    """Fresh leaf (g) that one larva eats from hatching to pupation."""

    grams: Range
    how: str
    """`measured` or `size` for the species itself, `relatives`, or `any` where nothing is known of the species."""
    steps: tuple[str, ...]
    rules: tuple[Rule, ...]

    @property
    def known(self) -> bool:
        return self.how != "any"


class Portion(NamedTuple):
    """Leaf (g) that gets eaten of one leaf, stem, plant or bunch; of one gram or cm2 where those are meant."""

    grams: Range
    words: str
    """`leaves of 40 cm2`, `stems of 3-30 g`."""
    said: bool
    """True where the size was told."""
    step: str
    rules: tuple[Rule, ...]


def ration(species: str, knowledge) -> Ration:
    """The estimates there are for the species, pooled where they disagree: food measured, and food scaled from the pupa's mass."""
    growth, pupa_dry, leaf_dry = (_rule(knowledge, name) for name in ("growth-per-food", "pupa-dry-share", "leaf-dry-share"))
    per_pupa = feeding.fresh_food_per_pupa(_range(growth), _range(pupa_dry), _range(leaf_dry))
    own = [rule for rule in knowledge.rules(TOPIC) if species and species in rule.about]
    found, steps, rules = [], [], []
    for rule in own:
        if rule.unit == "g dry":
            grams = feeding.fresh_from_dry(_range(rule), _range(leaf_dry))
            rules += [rule, leaf_dry]
        elif rule.unit == "g fresh":
            grams = _range(rule)
            rules.append(rule)
        else:
            continue
        found.append(grams)
        steps.append(f"{rule.text} That is {spread(grams)} g of fresh leaf.")
    how = "measured" if found else "size"
    mass = next((rule for rule in own if rule.unit == "g pupa"), None)
    if mass is None and not found:
        known = knowledge.species(species) if species else None
        group = f"group:{known.group}" if known and known.group else ""
        mass = next((rule for rule in knowledge.rules(TOPIC) if group and group in rule.about), None)
        how = "relatives" if mass else "any"
        mass = mass or _rule(knowledge, "pupa-any")
    if mass is not None:
        grams = feeding.fresh_from_pupa(_range(mass), per_pupa)
        found.append(grams)
        rules += [mass, growth, pupa_dry, leaf_dry]
        steps.append(f"{mass.text} At {spread(per_pupa)} g of fresh leaf for a gram of pupa that is {spread(grams)} g.")
    if len(found) > 1:
        steps.append(f"The estimates differ: their middle is taken, {spread(pooled(found))} g a larva, and the bounds hold all.")
    return Ration(pooled(found), how, tuple(steps), tuple(dict.fromkeys(rules)))


def portion(unit: str, size: tuple[float, str] | None, hosts: tuple[str, ...], knowledge) -> Portion:
    """How much eaten leaf one `unit` is: from the size told, else from the plant's own figure, else from small to large."""
    eaten, per_area = _rule(knowledge, "eaten-part"), _rule(knowledge, "leaf-mass-per-area")
    if unit == "g":
        return Portion(_range(eaten), "g", True, eaten.text, (eaten,))
    if unit == "cm2":
        return Portion(_range(per_area), "cm2", True, per_area.text, (per_area,))
    if size is not None and size[1] == "g":
        words = f"{unit} of {number(size[0])} g"
        return Portion(product(exactly(size[0]), _range(eaten)), words, True, f"{words}, as told; {lower(eaten.text)}", (eaten,))
    if size is not None:
        words = f"{unit} of {number(size[0])} cm2"
        grams = product(exactly(size[0]), _range(per_area))
        return Portion(grams, words, True, f"{words}, as told; {lower(per_area.text)}", (per_area,))
    rule = _piece(unit, hosts, knowledge)
    by_area = rule.unit.startswith("cm2")
    factor = per_area if by_area else eaten
    words = f"{unit} of {number(rule.low)}-{number(rule.high)} {'cm2' if by_area else 'g'}"
    return Portion(product(_range(rule), _range(factor)), words, False, f"{rule.text} {factor.text}", (rule, factor))


def _piece(unit: str, hosts: tuple[str, ...], knowledge) -> Rule:
    rules = [rule for rule in knowledge.rules(TOPIC) if rule.unit in (PER_PIECE[unit], f"cm2/{ONE[unit]}", f"g/{ONE[unit]}")]
    own = [rule for rule in rules if any(naming.same_plant(plant, host) for plant in rule.about for host in hosts if host)]
    return (own or [rule for rule in rules if "any" in rule.about])[0]


def area(grams: Range, knowledge) -> Range:
    """Leaf area (cm2) of so many grams."""
    return product(grams, inverse(_range(_rule(knowledge, "leaf-mass-per-area"))))


def spread(one: Range) -> str:
    """`10 (5-20)`, in as many figures as such numbers carry."""
    return f"{rounded(one.value)} ({rounded(one.low)}-{rounded(one.high)})"


def rounded(value: float) -> str:
    """Two figures: `0.86`, `7.4`, `120`."""
    if value <= 0:
        return "0"
    places = 0
    while value * 10**places < 10 and places < 3:
        places += 1
    step = 1
    while value / step >= 1000:
        step *= 10
    step = step * 10 if value >= 1000 else 10 if value >= 200 else 5 if value >= 100 else 1
    return number(round(value / step) * step if step > 1 else value, places)


def _rule(knowledge, name: str) -> Rule:
    rule = knowledge.rule(name)
    if rule is None:
        raise LookupError(f"the knowledge base lacks the rule {name}")
    return rule


def _range(rule: Rule) -> Range:
    return Range(rule.value, rule.low, rule.high)
