"""Conversion of units, and plain arithmetic of amounts."""

import re

from nurserytui.amounts.arithmetic import evaluate
from nurserytui.amounts.factors import VOLUMES, kind
from nurserytui.amounts.factors import convert as converted
from nurserytui.answers.answer import Answer, Cited, Value
from nurserytui.answers.wording import ask, number, unknown
from nurserytui.language import sums
from nurserytui.language.boxes import Box, box
from nurserytui.language.normalise import normalise, tokenise
from nurserytui.language.sums import same_kind

TOPIC = "convert"
SYMBOLS = {
    "milliliter": "mL", "centiliter": "cL", "deciliter": "dL", "liter": "L", "teaspoon": "US tsp", "tablespoon": "US Tbsp", "fluid_ounce": "US fl oz",
    "cup": "US cup", "pint": "US pint", "quart": "US quart", "gallon": "US gallon", "imperial_fluid_ounce": "imperial fl oz",
    "imperial_cup": "imperial cup", "imperial_pint": "imperial pint", "imperial_quart": "imperial quart", "imperial_gallon": "imperial gallon",
    "metric_teaspoon": "metric tsp", "metric_tablespoon": "metric Tbsp", "metric_cup": "metric cup", "australian_tablespoon": "Australian Tbsp",
    "millimeter": "mm", "centimeter": "cm", "meter": "m", "inch": "in", "foot": "ft", "milligram": "mg", "gram": "g", "kilogram": "kg", "ounce": "oz",
    "pound": "lb", "square_centimeter": "cm²", "square_meter": "m²", "square_inch": "in²", "second": "s", "minute": "min", "hour": "h", "day": "days",
    "week": "weeks", "month": "months", "year": "years", "degC": "C", "degF": "F", "percent": "%", "ppm": "ppm",
}  # fmt: skip
EXACT = Cited(
    "unit-definitions",
    "National Institute of Standards and Technology, Handbook 44, Appendix C: exact definitions of the US and metric units (US gallon 231 in³, inch 25.4 mm)",
    "published",
)
COUNTERPARTS = {
    "degC": "degF", "degF": "degC", "teaspoon": "milliliter", "tablespoon": "milliliter", "fluid_ounce": "milliliter", "cup": "milliliter",
    "pint": "milliliter", "quart": "liter", "gallon": "liter", "imperial_gallon": "liter", "imperial_pint": "milliliter", "inch": "centimeter",
    "foot": "meter", "ounce": "gram", "pound": "kilogram", "millimeter": "inch", "centimeter": "inch", "meter": "foot", "gram": "ounce",
    "kilogram": "pound", "liter": "quart", "milliliter": "tablespoon", "percent": "ppm", "ppm": "percent",
}  # fmt: skip


def convert(request, nursery) -> Answer:
    """An amount in another unit, or a plain sum (`14 caterpillars times 4 leaves each`)."""
    held = box(request.plain)
    if held:
        return _held(held, request.target_unit)
    summed = _sum(request)
    if summed:
        return summed
    amounts = [amount for amount in request.amounts if amount.unit in SYMBOLS]
    if not amounts:
        return unknown(TOPIC, "Tell me a number with its unit and the unit you want: 75 F in C, or 3 US tablespoons in ml.")
    amounts = _together(amounts)
    target = request.target_unit
    fitted = _fitted(amounts, request.plain) if len(amounts) == 2 and not target else None
    if fitted:
        return fitted
    amount = next((each for each in amounts if target and same_kind(each.unit, target)), amounts[0])
    amount, target = _liquid(amount, target)
    if target and not same_kind(amount.unit, target):
        return ask(
            TOPIC,
            f"{said(amount.value, amount.unit)} is a {_kind_word(amount.unit)}, and {SYMBOLS.get(target, target)} measures {_kind_word(target)}: one cannot be told in the other.",
            (f"{number(amount.value, 3)} {SYMBOLS[amount.unit]} in {SYMBOLS[COUNTERPARTS.get(amount.unit, amount.unit)]}",),
        )
    unit = amount.unit
    if (
        unit == target
        and amount.kind == "temperature"
        and not amount.said.casefold().rstrip(".").endswith(("c", "f", "celsius", "fahrenheit"))
    ):
        unit = COUNTERPARTS[unit]  # bare degrees beside the scale asked for are of the other scale
    target = target or _in_system(unit, request.plain) or COUNTERPARTS.get(unit, "")
    if not target:
        return ask(TOPIC, f"In which unit do you want {said(amount.value, unit)}?", ("2 hours in minutes", "75 F in C"))
    try:
        result = converted(amount.value, unit, target)
        high = None if amount.high is None else converted(amount.high, unit, target)
    except ValueError as error:
        return ask(TOPIC, f"That cannot be converted: {error}.", ("75 F in C",))
    text = f"{said(amount.value, unit, amount.high)} is {said(result, target, high)}."
    if kind(unit) == "volume" and {unit, target} & {"cup", "pint", "quart", "gallon", "fluid_ounce", "tablespoon", "teaspoon"}:
        text += " Spoons, cups, pints, quarts and gallons are taken as US measures unless you say imperial or metric."
    return Answer(
        "answered",
        TOPIC,
        text,
        values={"result": Value(result, SYMBOLS[target], *((result, high) if high is not None else ()))},
        working=(_step(amount.value, unit, result, target),),
        sources=(EXACT,),
        next=("64 F in C", "How many ml in a US cup?"),
    )


SMALLER = {"foot": "inch", "pound": "ounce"}


def _together(amounts: list) -> list:
    """The amounts with `3 feet 2 inches` as one."""
    if len(amounts) < 2 or SMALLER.get(amounts[0].unit) != amounts[1].unit:
        return amounts
    first, second = amounts[:2]
    value = first.value + converted(second.value, second.unit, first.unit)
    return [first._replace(value=value, said=f"{first.said} {second.said}"), *amounts[2:]]


SYSTEMS = (
    (re.compile(r"\b(old money|imperial|british|english)\b"), {"liter": "imperial_gallon", "milliliter": "imperial_fluid_ounce"}),
    (re.compile(r"\b(new money|metric|european?)\b"), {"pint": "milliliter", "quart": "liter", "gallon": "liter"}),
)
"""Ways of measuring that are named instead of a unit, where they differ from the usual counterpart."""


def _in_system(unit: str, plain: str) -> str:
    """The unit of the way of measuring that the line names (`5 litres in old money`), "" for none."""
    return next((units[unit] for words, units in SYSTEMS if unit in units and words.search(plain)), "")


_MEASURE_AFTER = re.compile(
    r"^ (?:\w+ )?(spoon|jar|bottle|tub|cup|jug|measure|syringe|pot|glass|bag|box|can|scoop|sprayer|vial|tube)"
)


def _fitted(amounts, plain: str) -> Answer | None:
    """How often a measure goes into an amount: `need 25 ml and only have a teaspoon`, `how many 250 ml jars from 2 litres`."""
    if (
        not same_kind(amounts[0].unit, amounts[1].unit)
        or amounts[0].kind not in ("volume", "mass", "length")
        or "how many" not in plain
    ):
        return None
    sizes = [converted(each.value, each.unit, amounts[0].unit) for each in amounts]
    named = [at for at, each in enumerate(amounts) if _MEASURE_AFTER.search(plain.partition(normalise(each.said))[2])]
    small = named[0] if len(named) == 1 else min((0, 1), key=lambda at: sizes[at])
    if not sizes[small]:
        return None
    whole, part = amounts[1 - small], amounts[small]
    times = sizes[1 - small] / sizes[small]
    note = (
        " Spoons, cups, pints, quarts and gallons are taken as US measures unless you say imperial or metric."
        if "US" in SYMBOLS[part.unit]
        else ""
    )
    return Answer(
        "answered",
        TOPIC,
        f"{_figures(times)} times {said(part.value, part.unit)} in {said(whole.value, whole.unit)}.{note}",
        values={"result": Value(times, "")},
        working=(f"{said(whole.value, whole.unit)} / {said(part.value, part.unit)} = {_figures(times)}.",),
        sources=(EXACT,),
        next=("How many ml in a US cup?",),
    )


def _held(found: Box, target: str) -> Answer:
    """What a box of the three sides that were said holds."""
    unit = target if target in VOLUMES else "liter"
    result = converted(found.litres, "liter", unit)
    return Answer(
        "answered",
        TOPIC,
        f"{found.said} holds {said(result, unit)}.",
        values={"result": Value(result, SYMBOLS[unit])},
        working=(f"{found.sum} = {_figures(found.litres * 1000)} cm³ = {_figures(found.litres)} L.",),
        sources=(EXACT,),
        next=(f"How many larvae fit in {number(found.litres, 1)} litres?",),
    )


def _liquid(amount, target: str):
    """A bare ounce beside a volume is a US fluid ounce."""
    if amount.unit == "ounce" and target in VOLUMES:
        return amount._replace(unit="fluid_ounce"), target
    return amount, "fluid_ounce" if target == "ounce" and amount.unit in VOLUMES else target


def _kind_word(unit: str) -> str:
    return kind(unit) if unit in SYMBOLS else "something else"


def _step(value: float, unit: str, result: float, target: str) -> str:
    if unit == "degF" and target == "degC":
        return f"({number(value, 2)} - 32) × 5 / 9 = {number(result, 2)}."
    if unit == "degC" and target == "degF":
        return f"{number(value, 2)} × 9 / 5 + 32 = {number(result, 2)}."
    factor = converted(1.0, unit, target)
    return f"1 {SYMBOLS[unit]} = {factor:.6g} {SYMBOLS[target]}; {number(value, 4)} × {factor:.6g} = {_figures(result)}."


def said(value: float, unit: str, high: float | None = None) -> str:
    symbol = SYMBOLS[unit]
    many = "s" if symbol.endswith(("cup", "pint", "quart", "gallon")) and value != 1 else ""
    degree = "°" if unit in ("degC", "degF") else ""
    upper = f" to {_figures(high, unit)}" if high is not None else ""
    return f"{_figures(value, unit)}{upper} {degree}{symbol}{many}"


def _figures(value: float, unit: str = "") -> str:
    """Four figures, one decimal for temperatures."""
    if unit in ("degC", "degF"):
        return number(value, 1)
    if abs(value) >= 1000:
        return f"{value:,.1f}".removesuffix(".0")
    return f"{value:.4g}" if 1e-4 <= abs(value) or value == 0 else f"{value:.2e}"


def _sum(request) -> Answer | None:
    """The answer to a line that is a sum; None if it is none."""
    read = sums.in_figures(request.text) or sums.in_words([token.text for token in tokenise(request.text)])
    if read is None:
        return None
    try:
        result = evaluate(read.written)
    except ValueError as error:
        return ask(TOPIC, f"That sum cannot be done: {error}.", ("14 caterpillars times 4 leaves each",))
    name, shown = read.unit, result
    if name and request.target_unit and same_kind(name, request.target_unit):
        name, shown = request.target_unit, converted(result, name, request.target_unit)
    noun = f" {read.noun}" if read.noun and not name else ""
    return Answer(
        "answered",
        TOPIC,
        f"{said(shown, name)}." if name else f"{_figures(shown)}{noun}.",
        values={"result": Value(int(shown) if float(shown).is_integer() else shown, SYMBOLS[name] if name else noun.strip())},
        working=(f"{read.written} = {_figures(result)}{' ' + SYMBOLS[read.unit] if read.unit else ''}.",),
        sources=(EXACT,) if name else (),
        next=("75 F in C",),
    )
