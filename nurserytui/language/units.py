"""The units that may be typed, by our own table: what is not in it is no unit, and no typed text ever reaches a unit parser."""

from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

from nurserytui.language.ordinary import ordinary
from nurserytui.language.slips import begun_alike


class Unit(NamedTuple):
    name: str
    kind: str
    symbol: bool = False
    """True for spellings of one letter, which are read only after a number or a cue."""


_TABLE = {
    "volume": {
        "milliliter": "ml mls millilitre millilitres milliliter milliliters cc ccs mil mils",
        "centiliter": "cl centilitre centilitres centiliter centiliters",
        "deciliter": "dl decilitre decilitres deciliter deciliters",
        "liter": "l ltr ltrs litr litrs litre litres liter liters",
        "teaspoon": "tsp tsps teaspoon teaspoons teaspoonful teaspoonfuls",
        "tablespoon": "tbsp tbsps tbs tblsp tablespoon tablespoons tablespoonful tablespoonfuls",
        "fluid_ounce": "floz fl-oz fluid-ounce fluid-ounces",
        "cup": "cup cups cupful cupfuls",
        "pint": "pint pints pt pts",
        "quart": "quart quarts qt qts",
        "gallon": "gallon gallons gal gals galon galons",
    },
    "length": {
        "millimeter": "mm mms millimetre millimetres millimeter millimeters",
        "centimeter": "cm cms centimetre centimetres centimeter centimeters",
        "meter": "m metre metres meter meters",
        "inch": "inch inches ins",
        "foot": "ft foot feet",
    },
    "mass": {
        "milligram": "mg mgs milligram milligrams milligramme milligrammes",
        "gram": "g gm gms gram grams gramme grammes",
        "kilogram": "kg kgs kilo kilos kilogram kilograms",
        "ounce": "oz ounce ounces",
        "pound": "lb lbs pound pounds",
    },
    "area": {
        "square_centimeter": "cm2 sqcm",
        "square_meter": "m2 sqm",
        "square_inch": "in2 sqin",
    },
    "percent": {"percent": "% percent percnt percant procent pct prcnt percentage"},
    "ppm": {"ppm": "ppm pmm ppn mg/l"},
    "time": {
        "second": "sec secs seconds",
        "minute": "min mins minute minutes",
        "hour": "h hr hrs hour hours",
        "day": "day days",
        "week": "wk wks week weeks",
        "month": "month months",
        "year": "year years yr yrs",
    },
    "temperature": {
        "degC": "c celsius centigrade celcius degc",
        "degF": "f fahrenheit farenheit fahrenhiet degf",
    },
}
UNITS = {
    spelling: Unit(name, kind, len(spelling) == 1 and spelling != "%")
    for kind, names in _TABLE.items()
    for name, spellings in names.items()
    for spelling in spellings.split()
}
_PHRASES = {
    ("fl", "oz"): ("fluid_ounce", "volume"),
    ("fluid", "oz"): ("fluid_ounce", "volume"),
    ("fluid", "ounce"): ("fluid_ounce", "volume"),
    ("fluid", "ounces"): ("fluid_ounce", "volume"),
    ("table", "spoons"): ("tablespoon", "volume"),
    ("table", "spoon"): ("tablespoon", "volume"),
    ("tea", "spoons"): ("teaspoon", "volume"),
    ("tea", "spoon"): ("teaspoon", "volume"),
    ("per", "cent"): ("percent", "percent"),
    ("square", "cm"): ("square_centimeter", "area"),
    ("sq", "cm"): ("square_centimeter", "area"),
    ("square", "centimetres"): ("square_centimeter", "area"),
    ("square", "centimeters"): ("square_centimeter", "area"),
    ("square", "inches"): ("square_inch", "area"),
    ("sq", "in"): ("square_inch", "area"),
    ("sq", "inch"): ("square_inch", "area"),
    ("sq", "inches"): ("square_inch", "area"),
    ("square", "inch"): ("square_inch", "area"),
    ("square", "metres"): ("square_meter", "area"),
    ("square", "meters"): ("square_meter", "area"),
}
_SYSTEMS = {
    "us": "US",
    "american": "US",
    "imperial": "imperial",
    "imp": "imperial",
    "uk": "imperial",
    "british": "imperial",
    "metric": "metric",
    "australian": "australian",
    "aussie": "australian",
}
_OTHERWISE = {
    ("imperial", "gallon"): "imperial_gallon",
    ("imperial", "quart"): "imperial_quart",
    ("imperial", "pint"): "imperial_pint",
    ("imperial", "cup"): "imperial_cup",
    ("imperial", "fluid_ounce"): "imperial_fluid_ounce",
    ("metric", "cup"): "metric_cup",
    ("metric", "tablespoon"): "metric_tablespoon",
    ("metric", "teaspoon"): "metric_teaspoon",
    ("australian", "cup"): "metric_cup",
    ("australian", "tablespoon"): "australian_tablespoon",
    ("australian", "teaspoon"): "metric_teaspoon",
}
CONVERTING = frozenset({"to", "into", "as", "in", "=", "equals"})
_MEASURED = frozenset({"long", "wide", "tall", "high", "deep", "across", "*", "x", "by", "thick"})


_MILLION = frozenset({("per", "million"), ("per", "mil"), ("a", "million"), ("in", "million")})
SHORT = 7
"""Letters up to which a word is a unit only as it is written in the table."""


@cache
def _misspelt(word: str) -> Unit | None:
    """The measure that a long word is one slip away from: `tablespons`, `mililitres`, `farenheitt`."""
    near = begun_alike(word, (spelling for spelling in UNITS if len(spelling) > SHORT))
    return UNITS[near[0]] if near else None


COUNTED_BY = 5
"""Letters from which a word behind a number is a percentage or a volume with one slip."""


@cache
def slipped(word: str) -> Unit | None:
    """The percentage or the volume that a word right behind a number was meant for (`percnet`, `litirs`), None for any other word."""
    if len(word) < COUNTED_BY or word in UNITS or not word.isalpha() or ordinary(word):
        return None
    counted = (each for each, unit in UNITS.items() if unit.kind in ("percent", "volume") and len(each) >= COUNTED_BY)
    near = {UNITS[spelling] for spelling in begun_alike(word, counted)}
    return near.pop() if len(near) == 1 else None


def read(words: Sequence[str], at: int) -> tuple[int, Unit] | None:
    """The unit that begins at token `at`: (index of its last token, unit). The word `in` is never read here; see `inches`."""
    word = words[at] if at < len(words) else ""
    system = _SYSTEMS.get(word, "")
    if system:
        at += 1
        word = words[at] if at < len(words) else ""
    pair = _PHRASES.get((word, words[at + 1])) if at + 1 < len(words) else None
    if pair:
        found, last = Unit(*pair), at + 1
    elif word in ("parts", "part") and tuple(words[at + 1 : at + 3]) in _MILLION:
        found, last = UNITS["ppm"], at + 2
    elif word in UNITS:
        found, last = UNITS[word], at
    elif len(word) > SHORT and (near := _misspelt(word)):
        found, last = near, at
    elif word in ("°", "deg", "degs", "degree", "degrees") and not system:
        return _degrees(words, at)
    else:
        return None
    behind = _SYSTEMS.get(words[last + 1], "") if not system and last + 1 < len(words) else ""
    if (
        behind in ("US", "imperial")
        and found.kind == "volume"
        and not found.symbol
        and words[last + 1] not in ("american", "british")
    ):
        system, last = behind, last + 1  # `a pint (uk)`
    if system:
        if found.kind not in ("volume", "mass", "length"):
            return None
        found = Unit(_OTHERWISE.get((system, found.name), found.name), found.kind)
    elif found.symbol and last + 1 < len(words) and found.name == "degF" and words[last + 1] == "1":
        return None
    return last, found


def _degrees(words: Sequence[str], at: int) -> tuple[int, Unit] | None:
    """`degrees`, `degrees C`, `° north`. Degrees alone have the name `degree`: the keeper's own scale is meant."""
    after = words[at + 1] if at + 1 < len(words) else ""
    if after in ("day", "days"):
        return None
    if after in ("north", "n", "south", "s", "latitude"):
        return at + 1, Unit("degree_south" if after[0] == "s" else "degree_north", "latitude")
    unit = UNITS.get(after)
    if unit and unit.kind == "temperature":
        return at + 1, unit
    return at, Unit("degree", "temperature")


def inches(words: Sequence[str], at: int, attached: bool) -> bool:
    """Whether the word `in` at token `at`, after a number, means inches: `1.5 in to cm`, `2 in long`, `3in`, `cm in 10 in`; never `2 in tub 1`."""
    if at >= len(words) or words[at] != "in":
        return False
    if at == len(words) - 1 and any(word in UNITS and UNITS[word].kind == "length" for word in words[:at]):
        return True
    after = words[at + 1] if at + 1 < len(words) else ""
    if after in CONVERTING:
        following = words[at + 2] if at + 2 < len(words) else ""
        return following in UNITS and UNITS[following].kind == "length"
    return after in _MEASURED or attached
