"""How the fields of the typed facts are checked when they are read, and rebuilt when they come from the cache.

Both follow the annotations in `facts.py`, so that a new field there needs no second description here.
"""

from . import facts

INNER = {
    "Note": facts.Note,
    "EggTraits": facts.EggTraits,
    "Hazard": facts.Hazard,
    "Cutting": facts.Cutting,
    "Effect": facts.Effect,
    "Use": facts.Use,
    "Cause": facts.Cause,
    "Grade": facts.Grade,
}

MOST = 1_000_000
"""No number of a fact is larger: days, degree-days, animals, parts in a million."""


def kinds(shape: type) -> dict[str, str]:
    """Field name -> annotation as written, for one NamedTuple of `facts.py`."""
    return {name: _written(hint) for name, hint in shape.__annotations__.items()}


def _written(hint: object) -> str:
    """An annotation as it stands in `facts.py`. It is evaluated there: text annotations would be compiled one by one at each start."""
    if isinstance(hint, type) and not hasattr(hint, "__args__"):
        return hint.__name__
    return str(hint).replace(f"{facts.__name__}.", "")


def fits(value: object, kind: str) -> tuple[bool, object]:
    """Whether a TOML value fits the annotation, and the value as the typed field holds it (lists become tuples)."""
    if kind.endswith(" | None"):
        kind = kind.removesuffix(" | None")
    number = isinstance(value, (int, float)) and not isinstance(value, bool)
    if kind == "str":
        return isinstance(value, str), value
    if kind == "bool":
        return isinstance(value, bool), value
    if kind == "int":
        return isinstance(value, int) and number and abs(value) <= MOST, value
    if kind == "float":
        good = number and abs(value) <= MOST  # nan is not
        return good, float(value) if good else value
    if kind == "tuple[str, ...]":
        good = isinstance(value, list) and all(isinstance(each, str) for each in value)
        return good, tuple(value) if good else value
    if kind == "tuple[int, ...]":
        good = isinstance(value, list) and all(fits(each, "int")[0] for each in value)
        return good, tuple(value) if good else value
    if kind == "tuple[float, float]":
        good = isinstance(value, list) and len(value) == 2 and all(fits(each, "float")[0] for each in value)
        return good, tuple(float(each) for each in value) if good else value
    if kind == "tuple[tuple[str, ...], ...]":
        good = isinstance(value, list) and all(fits(each, "tuple[str, ...]")[0] for each in value)
        return good, tuple(tuple(each) for each in value) if good else value
    raise TypeError(f"no check is written for fields of kind {kind}")


def inner(kind: str) -> tuple[type, bool] | None:
    """The NamedTuple that a field holds and whether it holds many of them, or None for a plain field."""
    kind = kind.removesuffix(" | None")
    many = kind.startswith("tuple[") and kind.endswith(", ...]") and kind[6:-6] in INNER
    name = kind[6:-6] if many else kind
    return (INNER[name], many) if name in INNER else None


def described(kind: str) -> str:
    """The kind of a field in words, for a fault."""
    words = {
        "str": "text",
        "bool": "true or false",
        "int": f"a whole number up to {MOST:,}",
        "float": f"a number up to {MOST:,}",
        "tuple[str, ...]": "a list of texts",
        "tuple[int, ...]": "a list of whole numbers",
        "tuple[float, float]": "a list of two numbers",
        "tuple[tuple[str, ...], ...]": "a list of lists of texts",
    }
    held = inner(kind)
    if held:
        return "a list of tables" if held[1] else "a table"
    return words.get(kind.removesuffix(" | None"), kind)


def plain(value: object) -> object:
    """The same value as ordinary tuples, which is what the cache can hold."""
    return tuple(plain(each) for each in value) if isinstance(value, tuple) else value


_nested: dict[type, tuple[tuple[int, type, bool], ...]] = {}


def revive(shape: type, row: tuple) -> object:
    """One typed fact from its plain tuple."""
    places = _nested.get(shape)
    if places is None:
        found = []
        for index, kind in enumerate(kinds(shape).values()):
            held = inner(kind)
            if held:
                found.append((index, *held))
        places = _nested[shape] = tuple(found)
    if not places:
        return shape._make(row)
    values = list(row)
    for index, held, many in places:
        value = values[index]
        if many:
            values[index] = tuple(revive(held, each) for each in value)
        elif value is not None:
            values[index] = revive(held, value)
    return shape._make(values)
