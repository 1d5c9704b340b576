"""Conversion of units, and plain arithmetic of amounts."""

from __future__ import annotations

from nurserytui.amounts.arithmetic import evaluate
from nurserytui.amounts.factors import convert as converted
from nurserytui.amounts.factors import kind
from nurserytui.answers.answer import Answer, Cited, Value
from nurserytui.answers.wording import ask, number, unknown
from nurserytui.language import numbers, units
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
_OPERATORS = {
    "times": "*", "x": "*", "*": "*", "multiplied": "*", "plus": "+", "+": "+", "add": "+", "minus": "-", "less": "-", "take": "-", "subtract": "-", "-": "-",
    "divided": "/", "over": "/", "/": "/", "split": "/", "shared": "/",
}  # fmt: skip


def convert(request, nursery) -> Answer:
    """An amount in another unit, or a plain sum (`14 caterpillars times 4 leaves each`)."""
    summed = _sum(request)
    if summed:
        return summed
    amounts = [amount for amount in request.amounts if amount.unit in SYMBOLS]
    if not amounts:
        return unknown(TOPIC, "Tell me a number with its unit and the unit you want: 75 F in C, or 3 US tablespoons in ml.")
    target = request.target_unit
    amount = next((each for each in amounts if target and _same_kind(each.unit, target)), amounts[0])
    if target and not _same_kind(amount.unit, target):
        return ask(
            TOPIC,
            f"{_said(amount.value, amount.unit)} is a {_kind_word(amount.unit)}, and {SYMBOLS.get(target, target)} measures {_kind_word(target)}: one cannot be told in the other.",
            (f"{number(amount.value, 3)} {SYMBOLS[amount.unit]} in {SYMBOLS[COUNTERPARTS.get(amount.unit, amount.unit)]}",),
        )
    unit = amount.unit
    if (
        unit == target
        and amount.kind == "temperature"
        and not amount.said.casefold().rstrip(".").endswith(("c", "f", "celsius", "fahrenheit"))
    ):
        unit = COUNTERPARTS[unit]  # bare degrees beside the scale asked for are of the other scale
    target = target or COUNTERPARTS.get(unit, unit)
    try:
        result = converted(amount.value, unit, target)
        high = None if amount.high is None else converted(amount.high, unit, target)
    except ValueError as error:
        return ask(TOPIC, f"That cannot be converted: {error}.", ("75 F in C",))
    text = f"{_said(amount.value, unit, amount.high)} is {_said(result, target, high)}."
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


def _said(value: float, unit: str, high: float | None = None) -> str:
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


def _sum(request) -> Answer | None:
    """The line as a sum of numbers and amounts of one unit; None if it is none."""
    words = [token.text for token in tokenise(request.text)]
    pieces: list[tuple[str, float | str]] = []
    unit, nouns, at = "", [], 0
    each = "each" in words or "apiece" in words
    while at < len(words):
        word = words[at]
        following = _number_at(words, at + 1)
        if word in _OPERATORS and pieces and pieces[-1][0] == "number" and following:
            pieces.append(("sign", _OPERATORS[word]))
        elif (
            word in ("by", "and", "with")
            and pieces
            and pieces[-1][0] == "number"
            and following
            and word == "and"
            and "plus" not in words
            and _sums(words)
        ):
            pieces.append(("sign", "+"))
        elif word == "of" and pieces and pieces[-1][0] == "percent" and following:
            pieces[-1] = ("number", pieces[-1][1])
            pieces.append(("sign", "*"))
        else:
            read = _number_at(words, at)
            if read:
                last, value = read
                found = units.read(words, last + 1)
                if found and found[1].kind == "percent":
                    pieces.append(("percent", value / 100))
                    at = found[0] + 1
                    continue
                if (
                    found
                    and found[1].kind in ("volume", "length", "mass", "area", "time")
                    and not (found[1].symbol and words[last + 1] == "in")
                ):
                    if unit and not _same_kind(unit, found[1].name):
                        return None
                    value = converted(value, found[1].name, unit) if unit else value
                    unit = unit or found[1].name
                    last = found[0]
                if pieces and pieces[-1][0] == "number":
                    if not each:
                        return None
                    pieces.append(("sign", "*"))
                pieces.append(("number", value))
                at = last + 1
                continue
            if (
                word in ("minus", "divided", "multiplied", "split", "shared", "take", "times", "x")
                and pieces
                and pieces[-1][0] == "number"
            ):
                joined = next(
                    (
                        place
                        for place in range(at + 1, min(at + 4, len(words)))
                        if words[place] in ("by", "between", "among", "away")
                    ),
                    None,
                )
                if joined is not None and _number_at(words, joined + 1):
                    pieces.append(("sign", _OPERATORS[word]))
                    at = joined
            elif (
                word.isalpha()
                and pieces
                and pieces[-1][0] == "number"
                and len(nouns) < 2
                and word not in ("each", "apiece", "is", "are", "in", "of", "what")
            ):
                nouns.append(word)
        at += 1
    if pieces and pieces[-1][0] == "sign":
        pieces.pop()
    signs = [value for what, value in pieces if what == "sign"]
    if not signs or any(what == "percent" for what, _ in pieces):
        return None
    written = " ".join(value if what == "sign" else f"{value:.10f}".rstrip("0").rstrip(".") for what, value in pieces)
    try:
        result = evaluate(written)
    except ValueError as error:
        return ask(TOPIC, f"That sum cannot be done: {error}.", ("14 caterpillars times 4 leaves each",))
    name, shown = unit, result
    if unit and request.target_unit and _same_kind(unit, request.target_unit):
        name, shown = request.target_unit, converted(result, unit, request.target_unit)
    noun = f" {nouns[-1]}" if nouns and not unit and "*" in signs else ""
    amount = _said(shown, name) if name else f"{_figures(shown)}{noun}"
    return Answer(
        "answered",
        TOPIC,
        f"{amount}.",
        values={"result": Value(int(shown) if float(shown).is_integer() else shown, SYMBOLS[name] if name else noun.strip())},
        working=(f"{written} = {_figures(result)}{' ' + SYMBOLS[unit] if unit else ''}.",),
        sources=(EXACT,) if name else (),
        next=("75 F in C",),
    )


def _sums(words: list[str]) -> bool:
    return any(word in ("add", "sum", "total", "altogether", "together") for word in words)


def _number_at(words: list[str], at: int):
    return numbers.read(words, at) if at < len(words) else None
