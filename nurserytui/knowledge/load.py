"""From TOML files to typed facts: everything wrong in the files is gathered in one pass, as values that say where it stands."""

from pathlib import Path
from typing import NamedTuple

from . import facts, shapes
from .faults import Fault
from .layout import ELSEWHERE, FROM_FILE_NAMES, KEYS, LISTED, SECTIONS, TRAITS, WORDS

OWN = "own"
OWN_SOURCE = facts.Source(OWN, "Your own additions to the knowledge base", "own")


class Read(NamedTuple):
    """All that the files hold: section -> entry name -> typed fact (or tuple of facts), the word lists, and the faults."""

    sections: dict[str, dict]
    traits: dict[str, dict[str, tuple[str, ...]]]
    faults: list[Fault]
    places: dict[tuple[str, object], str]
    """(section, entry name) -> the file that it came from."""
    shadowed: dict[tuple[str, object], object]
    """(section, entry name) -> the shipped fact under an entry of the keeper's."""


def files(folder: Path) -> list[tuple[str, str, Path]]:
    """The TOML files of a knowledge folder: (section, name inside the section, path), in a fixed order."""
    if not folder.is_dir():
        return []
    found = []
    for path in sorted(folder.rglob("*.toml")):
        parts = path.relative_to(folder).with_suffix("").parts
        if parts[0] not in ELSEWHERE:
            found.append((parts[0], parts[-1], path))
    return found


def read(folder: Path, own: Path | None = None) -> Read:
    """Both folders, the keeper's own laid over the shipped one: field by field for single entries, whole for lists of rows.

    Where an entry of the keeper's is at fault, the shipped one stands.
    """
    faults: list[Fault] = []
    raw: dict[str, dict] = {section: {} for section in SECTIONS}
    sections: dict[str, dict] = {section: {} for section in SECTIONS}
    read = Read(sections, {}, faults, {}, {})
    for top, theirs in ((folder, False), (own, True)):
        if top is None:
            continue
        seen: set[tuple[str, object]] = set()
        _gather(top, theirs, raw, read, seen)
        for section, name in seen:
            if theirs and name in sections[section]:
                read.shadowed[section, name] = sections[section][name]
        for section, layout in SECTIONS.items():
            for name, entry in raw[section].items():
                if (section, name) in seen:
                    fact = _typed(section, layout, name, entry, read)
                    if fact:
                        sections[section][name] = fact
    sections["sources"][OWN] = OWN_SOURCE
    return read


def _typed(section: str, layout, name: object, entry, read: Read) -> object | None:
    if layout.style != "rows":
        return _build(section, name, entry, read, _label(name))
    rows = [_build(section, name, row, read, f"{name}, row {n}") for n, row in enumerate(entry, 1)]
    return tuple(row for row in rows if row is not None)


def _label(name: object) -> str:
    return " + ".join(name) if isinstance(name, tuple) else str(name)


def _gather(top: Path, theirs: bool, raw: dict, read: Read, seen: set) -> None:
    """All entries of one folder into `raw`, their names into `seen`."""
    import tomllib

    faults, places = read.faults, read.places
    for section, stem, path in files(top):
        shown = path.relative_to(top).as_posix()
        try:
            document = tomllib.loads(path.read_text(encoding="utf-8"))
        except ValueError as trouble:  # also of bytes that are no text and of whole numbers of thousands of digits
            faults.append(Fault(shown, "", f"cannot be read as TOML: {trouble}"))
            continue
        except RecursionError:
            faults.append(Fault(shown, "", "cannot be read as TOML: tables or lists stand inside each other too deep"))
            continue
        except OSError as trouble:
            faults.append(Fault(shown, "", f"cannot be opened: {trouble.strerror}"))
            continue
        for part, inside in _parts(section, shown, document, faults):
            if part == TRAITS:
                _gather_traits(shown, inside, read.traits, faults)
                continue
            layout = SECTIONS[part]
            for name, entry in _entries(shown, layout.style, inside, faults):
                filled = FROM_FILE_NAMES.get(stem, stem) if part == section else ""
                if layout.shape is facts.Alias:
                    kind = entry.get("kind", filled)
                    name = (name, kind if isinstance(kind, str) else "")  # what it is instead is told where its fields are read
                if (part, name) in seen:
                    faults.append(Fault(shown, _label(name), f"stands twice; it is already in {places[part, name]}"))
                    continue
                seen.add((part, name))
                if layout.style == "rows":
                    value: object = [_own_row(row, layout.shape) for row in entry] if theirs else entry
                else:
                    value = dict(entry)
                    if filled and layout.from_file and layout.from_file not in value:
                        value[layout.from_file] = filled
                    if theirs:
                        value = _laid_over(raw[part].get(name, {}), value, layout.shape)
                raw[part][name] = value
                places[part, name] = shown


def _parts(section: str, shown: str, document: dict, faults: list[Fault]) -> list[tuple[str, dict]]:
    """What a file holds: the part that it is named after, or, by any other name, the parts that its outermost tables are named after."""
    known = (*SECTIONS, TRAITS)
    if section in known:
        return [(section, document)]
    found = []
    for name, inside in document.items():
        if name not in known:
            reason = f"neither the file nor this table is named after a part; the parts are {', '.join(sorted(known))}"
            faults.append(Fault(shown, name, _nearly(section, name, known) or reason))
        elif not isinstance(inside, dict):
            faults.append(Fault(shown, name, "must be a table"))
        else:
            found.append((name, inside))
    return found


def _nearly(file: str, table: str, known: tuple[str, ...]) -> str:
    """What the keeper may have meant by the name of a file or of a table, "" where nothing is near."""
    from difflib import get_close_matches

    for written, what in ((table, "table"), (file, "file")):
        near = get_close_matches(written, known, 1, 0.75)
        if near:
            return f"no part is called “{written}”; did you mean the {what} to be “{near[0]}”?"
    return ""


def _laid_over(ours: dict, theirs: dict, shape: type) -> dict:
    """A keeper's entry over the shipped one: its fields win, inside single tables too, and whatever they said names them as a source."""
    found = {**ours, **theirs}
    for field, kind in shapes.kinds(shape).items():
        held, value = shapes.inner(kind), theirs.get(field)
        if not held or "sources" not in held[0]._fields:
            continue
        if isinstance(value, dict):
            under = ours.get(field)
            found[field] = _named_own({} if "text" in value or not isinstance(under, dict) else under, value)
        elif isinstance(value, list) and all(isinstance(each, dict) for each in value):
            found[field] = [_named_own({}, each) for each in value]
    if "give_up_warm" in theirs or "give_up_cool" in theirs:
        found["give_up_sources"] = [OWN, *theirs.get("give_up_sources", ())]
    return {**found, **_sources(ours, theirs)} if "sources" in shape._fields else found


def _own_row(row: dict, shape: type) -> dict:
    """A row of the keeper's; unless they say otherwise it is of their own measuring."""
    return {**({"kind": OWN} if "kind" in shape._fields else {}), **_named_own({}, row)}


def _named_own(ours: dict, theirs: dict) -> dict:
    return {**ours, **theirs, **_sources(ours, theirs)}


def _sources(ours: dict, theirs: dict) -> dict:
    given = theirs.get("sources", ours.get("sources", []))
    return {"sources": [OWN, *given] if isinstance(given, list) else given}


def _gather_traits(shown: str, document: dict, traits: dict, faults: list[Fault]) -> None:
    for kind, words in document.items():
        if not isinstance(words, dict):
            faults.append(Fault(shown, kind, "must be a table of words"))
            continue
        for word, used in words.items():
            good, value = shapes.fits(used, "tuple[str, ...]")
            if good:
                traits.setdefault(kind, {})[word] = value
            else:
                faults.append(Fault(shown, f"{kind}.{word}", "must be a list of texts"))


def _entries(shown: str, style: str, document: dict, faults: list[Fault]):
    """(name, entry) of one file; an entry that has not the form its part asks for becomes a fault."""
    for name, entry in document.items():
        if style == "rows":
            if isinstance(entry, list) and all(isinstance(row, dict) for row in entry):
                yield name, entry
            else:
                faults.append(Fault(shown, name, "must be a list of tables"))
        elif not isinstance(entry, dict):
            faults.append(Fault(shown, name, "must be a table"))
        elif style == "named":
            yield name, entry
        else:
            for second, inside in entry.items():
                if isinstance(inside, dict):
                    yield (name, second), inside
                else:
                    faults.append(Fault(shown, f"{name} + {second}", "must be a table"))


def _build(section: str, name: object, entry: dict, read: Read, label: str) -> object | None:
    shape = SECTIONS[section].shape
    names = name if isinstance(name, tuple) else (name,)
    given = dict(zip(shape._fields[: KEYS.get(section, 1)], names))
    return _fact(shape, entry, given, (), read.places[section, name], label, read.traits, read.faults)


def _fact(shape, entry, given, inherited, file, label, traits, faults) -> object | None:
    """One typed fact, or None after its faults were noted. Inner tables without sources share those of the entry."""
    before = len(faults)

    def fault(reason: str) -> None:
        faults.append(Fault(file, label, reason))

    kinds = shapes.kinds(shape)
    for field in entry:
        if field not in kinds:
            fault(f"unknown field “{field}”; the fields are {', '.join(f for f in kinds if f not in given)}")
        elif field in given:
            fault(f"“{field}” is said by the entry's name and must not be repeated")
    values = dict(given)
    cited = entry.get("sources", inherited)
    for field, kind in kinds.items():
        if field in given or field not in entry:
            continue
        value, held = entry[field], shapes.inner(kind)
        if held:
            inner_shape, many = held
            tables = value if many and isinstance(value, list) else [value]
            if (many and not isinstance(value, list)) or not all(isinstance(each, dict) for each in tables):
                fault(f"“{field}” must be {shapes.described(kind)}")
                continue
            built = [_fact(inner_shape, each, {}, cited, file, f"{label}, {field}", traits, faults) for each in tables]
            values[field] = tuple(each for each in built if each is not None) if many else built[0]
            continue
        good, typed = shapes.fits(value, kind)
        if not good:
            fault(f"“{field}” must be {shapes.described(kind)}")
            continue
        values[field] = typed
        allowed = WORDS.get((shape.__name__, field)) or tuple(traits.get(LISTED.get((shape.__name__, field), ""), ()))
        for word in (typed if isinstance(typed, tuple) else (typed,)) if allowed else ():
            if word not in allowed and word != "":
                fault(f"“{field}” cannot be “{word}”; it is one of {', '.join(each for each in allowed if each)}")
    if "sources" in kinds and not values.get("sources"):
        if inherited:
            values["sources"] = tuple(inherited)
        elif entry and not shape._field_defaults.get("sources"):
            fault("names no source")
    for field, kind in kinds.items():
        if field not in values and field not in shape._field_defaults:
            if kind.endswith(" | None"):
                values[field] = None
            else:
                fault(f"“{field}” is missing")
    if len(faults) > before:
        return None
    fact = shape(**values)
    reason = unlikely(fact)
    if reason:
        fault(reason)
        return None
    return fact


def unlikely(fact: object) -> str:
    """Why the numbers of a fact cannot be right, or ""."""
    match fact:
        case facts.Thermal() if fact.degree_days <= 0 or not -5 <= fact.base <= 25:
            return "degree-days must be above 0 and the base between -5 and 25 °C"
        case facts.Thermal() if fact.ceiling is not None and fact.ceiling <= fact.base:
            return "the ceiling must lie above the base"
        case facts.Duration():
            known = [value for value in (fact.low, fact.mean, fact.high) if value is not None]
            if not known or min(known) <= 0:
                return "needs at least one of low, mean and high, in days above 0"
            if known != sorted(known):
                return "low, mean and high must not fall"
        case facts.DayLength() if (
            not 0 <= fact.light_low <= fact.light_high <= 24 or not 0 <= fact.share_low <= fact.share_high <= 1
        ):
            return "hours of light lie between 0 and 24 and shares between 0 and 1, the low one first"
        case facts.DayLength() if fact.latitude is not None and abs(fact.latitude) > 90:
            return "a latitude lies between -90 and 90 degrees"
        case facts.Cutting() if fact.days_low > fact.days_high or fact.water_change_low > fact.water_change_high:
            return "a low bound lies above its high bound"
        case facts.Sign() if not fact.words or not all(fact.words) or any(cause.weight <= 0 for cause in fact.causes):
            return "needs at least one group of words, and weights above 0"
        case facts.Rule() if fact.low is not None and fact.high is not None and fact.low > fact.high:
            return "a low bound lies above its high bound"
        case facts.EggTraits() if any(not 1 <= month <= 12 for month in fact.months):
            return "a month is a whole number from 1 to 12"
        case facts.EggTraits() if min(_given(fact.batch_low, fact.batch_high, fact.size_mm, fact.met), default=1) <= 0 or _given(
            fact.batch_low, fact.batch_high
        ) != sorted(_given(fact.batch_low, fact.batch_high)):
            return (
                "how many eggs lie together, how large they are and how often they are met are numbers above 0, the low one first"
            )
        case facts.Agent() if min(_given(fact.days_low, fact.days_high, fact.watch_days, fact.spread), default=0) < 0 or _given(
            fact.days_low, fact.days_high
        ) != sorted(_given(fact.days_low, fact.days_high)):
            return "days are not below 0, the low ones first"
        case facts.Alias() if not fact.means:
            return "must mean something"
        case facts.Species() if fact.give_up_warm is not None and not fact.give_up_sources:
            return "“give_up_warm” names no source"
        case facts.Prior() if min(fact.egg, fact.larva, fact.pupa, fact.spread) <= 0 or fact.ceiling <= fact.base:
            return "degree-days and spread must be above 0, and the ceiling above the base"
    return ""


def _given(*values: float | None) -> list[float]:
    return [value for value in values if value is not None]
