"""Conversion of units, and plain arithmetic of amounts."""

import re
from typing import NamedTuple

from nurserytui.amounts.arithmetic import evaluate
from nurserytui.amounts.factors import VOLUMES, kind
from nurserytui.amounts.factors import convert as converted
from nurserytui.answers.answer import Answer, Cited, Value
from nurserytui.answers.wording import ask, number, unknown
from nurserytui.language import numbers, units
from nurserytui.language.boxes import Box, box
from nurserytui.language.normalise import tokenise

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
_ASKING = re.compile(
    r"^\s*(what('s| is| are)|how much is|calculate|work out|sum|and)?\s*([-\d\s.+*/()x×÷]+?)\s*(=|equals)?\s*\??\s*$"
)
_OPERATORS = {
    "times": "*", "x": "*", "*": "*", "multiplied": "*", "plus": "+", "+": "+", "add": "+", "minus": "-", "less": "-", "take": "-", "subtract": "-",
    "divided": "/", "over": "/", "/": "/", "split": "/", "shared": "/",
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
    target = request.target_unit
    amount = next((each for each in amounts if target and _same_kind(each.unit, target)), amounts[0])
    amount, target = _liquid(amount, target)
    if target and not _same_kind(amount.unit, target):
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
    target = target or COUNTERPARTS.get(unit, "")
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


def _same_kind(unit: str, target: str) -> bool:
    try:
        return kind(unit) == kind(target)
    except ValueError:
        return False


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


# ---------------------------------------------------------------------- sums

TOGETHER = frozenset("together altogether alltogether total all combined sum plus".split())
_VESSELS = frozenset("jars bottles tubs buckets bags boxes cartons jugs cups packs pots".split())
_SPLITTING = frozenset("divided multiplied split shared take".split())
_JOINS = ("by", "between", "among", "away", "into")


class _Sum(NamedTuple):
    """A line as a sum: `written` for the evaluator, in `unit` if its amounts have one; `noun` is what its last number counts."""

    written: str
    unit: str = ""
    noun: str = ""


def _sum(request) -> Answer | None:
    """The answer to a line that is a sum; None if it is none."""
    read = _in_figures(request.text) or _in_words([token.text for token in tokenise(request.text)])
    if read is None:
        return None
    try:
        result = evaluate(read.written)
    except ValueError as error:
        return ask(TOPIC, f"That sum cannot be done: {error}.", ("14 caterpillars times 4 leaves each",))
    name, shown = read.unit, result
    if name and request.target_unit and _same_kind(name, request.target_unit):
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


def _in_figures(text: str) -> _Sum | None:
    """`what is (3 + 2) * 4`: figures and signs only, with at least one sign between numbers."""
    match = _ASKING.match(text.casefold())
    if not match or not re.search(r"\d\s*[-+*/x×÷(]+\s*[\d(]", match[3]):
        return None
    return _Sum(match[3].replace("x", "*").replace("×", "*").replace("÷", "/").strip())


def _in_words(words: list[str]) -> _Sum | None:
    """`14 caterpillars times 4 leaves each`, `2 litres plus 500 ml`, `3 jars of 750 ml and one of 1.5 l together`, `12 leaves a day for 5 days`."""
    pieces: list[str] = []
    unit, noun, rate, joined = "", "", "", ""
    measured = False
    """Whether the last number has a unit."""
    each = bool({"each", "apiece"} & set(words))
    together = not TOGETHER.isdisjoint(words)
    shared = bool(words) and bool({"split", "share", "divide"} & set(words[:3]))
    at = 0
    while at < len(words):
        word, following = words[at], numbers.read(words, at + 1) if at + 1 < len(words) else None
        after_number = bool(pieces) and pieces[-1] not in "+-*/"
        read = numbers.read(words, at)
        time = units.UNITS.get(words[at + 1], _NONE) if at + 1 < len(words) else _NONE
        if after_number and word in _OPERATORS and following:
            pieces.append(_OPERATORS[word])
        elif after_number and word in _SPLITTING and at + 1 < len(words) and words[at + 1] in _JOINS:
            pieces.append(_OPERATORS[word])
            at += 1
        elif after_number and shared and word in _JOINS and following:
            pieces.append("/")
        elif after_number and word in ("of", "at") and following and (float(pieces[-1]) < 1 or not measured):
            pieces.append("*")
        elif (
            after_number
            and word in ("another", "plus", "and", "+")
            and (word != "and" or together or (measured and kind(unit) in ("volume", "mass")))
        ):
            joined = "+"
        elif after_number and word == "daily":
            rate = "day"
        elif after_number and rate and word == "a" and words[at - 1] == "for" and time.kind == "time":
            pieces += ["*", f"{converted(1, time.name, rate):.10g}"]
            at += 1
        elif after_number and word in ("a", "per", "each", "every") and time.kind == "time":
            rate, at = time.name, at + 1
        elif read:
            at, value = read
            found = units.read(words, at + 1)
            before, measured = measured, bool(found)
            if found and found[1].kind == "percent":
                value, at = value / 100, found[0]
            elif found and (rate or noun) and found[1].kind == "time":
                value, at = converted(value, found[1].name, rate or "day"), found[0]
                joined = joined or ("*" if after_number else "")
            elif found and found[1].kind in ("volume", "length", "mass", "area", "time"):
                if unit and not _same_kind(unit, found[1].name):
                    return None
                value = converted(value, found[1].name, unit) if unit else value
                unit, at = unit or found[1].name, found[0]
            elif at + 1 < len(words) and words[at + 1].isalpha() and words[at + 1] not in _NOT_NOUNS and "/" not in pieces:
                noun = words[at + 1]
            if after_number:
                if not joined and measured and at + 1 < len(words) and words[at + 1] in _VESSELS:
                    joined = "*"
                joined = joined or ("+" if together and before and measured else "")
                if not joined and not each:
                    return None
                pieces.append(joined or "*")
            joined = ""
            pieces.append(f"{value:.10f}".rstrip("0").rstrip("."))
        at += 1
    if len(pieces) < 3 or pieces[-1] in "+-*/":
        return None
    return _Sum(" ".join(pieces), unit, noun)


_NONE = units.Unit("", "")
_NOT_NOUNS = frozenset(_OPERATORS) | frozenset("each apiece is are in of what at by and for with to a per by".split())
