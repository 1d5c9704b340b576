"""Numbers, estimates, ranges, ratios and amounts in a line."""

from __future__ import annotations

import re
from collections.abc import Iterator

from nurserytui.language import numbers, units
from nurserytui.language.counted_letters import happens
from nurserytui.language.ordinary import HEADS, STAGES
from nurserytui.language.reading import Proposal, Reading
from nurserytui.language.request import Amount
from nurserytui.language.scale_letters import in_a_scale

_NO_ONE_AFTER = frozenset(
    "the that this which first last other little every no next each second third new old big small wrong right good any sick bad".split()
)
"""Words after which `one` is a pronoun."""
_ABOUT = frozenset("about roughly around approximately approx circa nearly almost some ~ ca".split())
_LOW, _HIGH = frozenset("min minimum low lows lo".split()), frozenset("max maximum high highs hi".split())
_TEMPERATURE_CUES = frozenset(
    "temp temps temperature temperatures warm cold hot hottest coldest cool degrees degree mean average avg celsius fahrenheit reading "
    "convert warmest high low max min".split()
)
_RATIO, _TURNED = re.compile(r"1:(\d{1,4})"), re.compile(r"(\d{1,4}):1")
_STUFF = frozenset("bleach bleech hypochlorite stock chlorine alcohol peroxide".split())
_CLOCK_AFTER = frozenset("am pm last this yesterday today o'clock".split())


_VESSELFULS = frozenset("liter gallon quart pint imperial_gallon imperial_quart imperial_pint".split())
"""Units that a mix is made by without a number (`10 % bleach, US gallon`)."""


def proposals(line: Reading) -> Iterator[Proposal]:
    """Every number, amount, ratio, range and free-standing unit of the line."""
    at = 0
    while at < len(line):
        found = (
            _ratio(line, at)
            or _extremes(line, at)
            or _down_and_up(line, at)
            or _amount(line, at)
            or _unit_first(line, at)
            or _range(line, at)
            or _plain(line, at)
        )
        if found:
            yield found
            at = found.last + 1
            continue
        unit = _free_unit(line, at)
        if unit:
            yield unit
            at = unit.last + 1
            continue
        at += 1


def _number(line: Reading, at: int) -> tuple[int, int | float] | None:
    if not 0 <= at < len(line):
        return None
    read = numbers.read(line.words, at)
    if read and any(place in line.clauses for place in range(at, read[0])):
        end = next(place for place in range(at, read[0]) if place in line.clauses)
        read = numbers.read(line.words[: end + 1], at)  # `one in twenty, two litres` has no 22
    return read if read or not line.words[at].isalpha() else _mistyped(line, at)


def _mistyped(line: Reading, at: int) -> tuple[int, int | float] | None:
    """A number in words with a slip in it, right before a unit or a stage (`twnty percent`, `hlaf a litre`, `thre eggs`)."""
    meant = numbers.mended(line.words[at])
    if not meant:
        return None
    read = numbers.read([*line.words[:at], meant, *line.words[at + 1 :]], at)
    after = read[0] + 1 + (line.word(read[0] + 1) == "of") if read else at
    after += line.word(after) in ("a", "an")
    counted = (
        line.word(after) in STAGES
        or line.word(after) in _OF_ANIMALS
        or line.vocabulary.cohort([line.word(after)])
        or units.read(line.words, after)
        or units.slipped(line.word(after))
    )
    return read if read and counted else None


_OF_ANIMALS = frozenset("dud duds dead infertile new more fresh hatched of".split())
"""Words in front of animals that are counted."""


def _ratio(line: Reading, at: int) -> Proposal | None:
    """`1:10`, `1 in 10`, `1 part to 9`, `1 part bleach to 9 parts water`, `9 parts water to 1 part bleach`, `1 + 9`: the share of stock."""

    def made(last: int, total: float) -> Proposal | None:
        first = at - (line.word(at - 1) == "at")  # else `at 1:10` would be the longer span, of a time
        return Proposal(first, last, "amount", Amount(1 / total, "ratio", "ratio", ""), 2) if 1 < total <= 10000 else None

    word, after = line.word(at), line.word(at + 1)
    hyphened = word.split("-")
    if len(hyphened) == 3 and hyphened[0] == "one" and hyphened[1] in ("in", "to") and (read := numbers.read(hyphened, 2)):
        return made(at, read[1] + (hyphened[1] == "to"))
    match = _RATIO.fullmatch(word) or _TURNED.fullmatch(word)
    if match:
        poured = (
            _measured(line) or not _STRENGTH.isdisjoint(line.words)
            if mixing(line)
            else line.word(at - 1) in ("at", "@") and (_is_volume(line, at - 2) or _is_label(line, at - 2))
        )
        timed = line.word(at - 1) in ("at", "around", "by", "until", "since") and not poured
        if timed or after in _CLOCK_AFTER or (match.re is _TURNED and not mixing(line)):
            return None
        parts = match.re is _TURNED and _water_first(line, at + 1)
        return made(parts or at, int(match[1]) + bool(parts))
    if word in ("1", "one"):
        if after == "in" or (after == "to" and mixing(line)):
            number = _number(line, at + 2)
            if number and isinstance(number[1], int) and number[1] >= 2 and not _unit_after(line, number[0]):
                last = number[0] + (line.word(number[0] + 1) in _STUFF)
                whole = after == "in" or line.words[last + 1 : last + 3] == ["in", "all"] or line.word(last + 1) == "total"
                return made(last + 2 if whole and after == "to" else number[0], number[1] if whole else number[1] + 1)
            return None
        if after == "+" or (after[:1] == "+" and after[1:].isdigit()):
            number = (at + 1, int(after[1:])) if after != "+" else _number(line, at + 2)
            if number and not _unit_after(line, number[0]) and mixing(line):
                return made(number[0], 1 + number[1])
            return None
        if after == "part":
            join = _joined_parts(line, at + 2)
            if join and (number := _number(line, join[0] + 1)):
                last = number[0] + (line.word(number[0] + 1) in ("part", "parts"))
                return made(last, number[1] if join[1] else 1 + number[1])
            return None
    number = _number(line, at)
    if number and isinstance(number[1], float) and number[1] < 1 and (last := _of_stuff(line, number[0])):
        return made(last, 1 / number[1])
    if number and line.word(number[0] + 1) == "to" and line.word(number[0] + 2) in ("1", "one"):
        parts = _water_first(line, number[0] + 3)
        return made(parts, 1 + number[1]) if parts else None
    if number and line.word(number[0] + 1) == "parts":
        join = _joined_parts(line, number[0] + 2)
        if join and line.word(join[0] + 1) in ("1", "one") and line.word(join[0] + 2) == "part" and not join[1]:
            return made(join[0] + 2, 1 + number[1])
    return None


def _unit_after(line: Reading, at: int) -> bool:
    """Whether the number that ends at `at` has a unit, in the same clause."""
    return at not in line.clauses and units.read(line.words, at + 1) is not None


_WHOLE = frozenset(
    "of that it this them which the total volume whole lot to be is being should as household my plain neat thin".split()
)


def _of_stuff(line: Reading, at: int) -> int:
    """Where a fraction that ends at `at` is one of stock: the place of its last word (`a fifth bleach`, `a fifth of that to be household
    bleach`); else 0."""
    last = at
    while line.word(last + 1) in _WHOLE:
        last += 1
    return at if line.word(last + 1) in _STUFF else 0


def _water_first(line: Reading, at: int) -> int:
    """The place of the stock's name where `water to bleach` or `water bleach` stands at `at`, else 0."""
    if line.word(at) != "water":
        return 0
    last = at + 2 if line.word(at + 1) in ("to", "and", "/") else at + 1
    return last if line.word(last) in _STUFF else 0


def _is_label(line: Reading, at: int) -> bool:
    """Whether a share in per cent that is no dampness of air ends there (`6 % at 1:30`): what is poured so is a stock by its label."""
    damp = not {"humidity", "rh", "humid", "damp"}.isdisjoint(line.words)
    return (line.word(at) in ("%", "percent", "pct", "pc") or line.word(at).endswith("%")) and not damp


def _is_volume(line: Reading, at: int) -> bool:
    """Whether a unit of volume stands at `at`; ounces of a liquid are one."""
    unit = units.read(line.words, at)
    return bool(unit) and (unit[1].kind == "volume" or unit[1].name == "ounce")


def _measured(line: Reading) -> bool:
    """Whether a volume stands anywhere in the line."""
    return any(_is_volume(line, at) for at in range(1, len(line)))


def _measured_in_numbers(line: Reading) -> bool:
    """Whether a volume with its number stands anywhere in the line."""
    read = (_number(line, at) for at in range(len(line)))
    units_after = (units.read(line.words, number[0] + 1) for number in read if number and number[0] not in line.clauses)
    return any(unit and unit[1].kind == "volume" for unit in units_after)


def _joined_parts(line: Reading, at: int) -> tuple[int, bool] | None:
    """The joining word within three tokens of `at`: (its place, whether the number after it is the total)."""
    for place in range(at, min(at + 4, len(line))):
        if line.word(place) in ("to", "and", "plus", "+", "with", "in"):
            return place, line.word(place) == "in"
        number = _number(line, place)
        if number and place > at - 1 and line.word(number[0] + 1) in ("part", "parts"):
            return place - 1, False
        if line.word(place + 1).isdigit() and line.word(place + 2) == "parts":
            return place, False
    return None


_MIXED = frozenset(
    "bleach bleech stock water dilution dilute mix hypochlorite chlorine solution alcohol isopropyl isopropanol ethanol peroxide".split()
)
_STRENGTH = frozenset("ppm strong strength".split())


def mixing(line: Reading) -> bool:
    return not _MIXED.isdisjoint(line.words)


def _extremes(line: Reading, at: int) -> Proposal | None:
    """`min 62 max 81 f`, `high of 81, low 62 F`."""
    first, second = line.word(at), ""
    if first not in _LOW and first not in _HIGH:
        return None
    values, place, last = [], at, at
    for step in range(2):
        if step:
            while line.word(place) in ("and", "to", "/", "with", "a", "-"):
                place += 1
            second = line.word(place)
            if second not in (_HIGH if first in _LOW else _LOW):
                return None
        place += 1
        while line.word(place) in ("of", "was", "is", "temp", "temperature", "about"):
            place += 1
        number = _signed(line, place)
        if number is None:
            return None
        last, value = number
        values.append(value)
        unit = units.read(line.words, last + 1)
        if unit and unit[1].kind == "temperature":
            last = unit[0]
        place = last + 1
    scale = unit[1].name if unit and unit[1].kind == "temperature" and unit[1].name != "degree" else _scale(line, max(values))
    return Proposal(at, last, "amount", Amount(min(values), scale, "temperature", "", max(values)), 2)


def _down_and_up(line: Reading, at: int) -> Proposal | None:
    """`down to 62 and up to 81 F`, either way round: two ends of one reading, of which the second at least has its unit."""
    first = line.word(at)
    if first not in ("down", "up") or line.word(at + 1) != "to" or (one := _signed(line, at + 2)) is None:
        return None
    unit = units.read(line.words, one[0] + 1)
    place = unit[0] + 1 if unit and unit[1].kind == "temperature" else one[0] + 1
    while line.word(place) in ("and", "then", "back"):
        place += 1
    if line.word(place) != ("up" if first == "down" else "down") or line.word(place + 1) != "to":
        return None
    other = _signed(line, place + 2)
    unit = units.read(line.words, other[0] + 1) if other else None
    if unit is None or unit[1].kind != "temperature":
        return None
    scale = unit[1].name if unit[1].name != "degree" else _scale(line, max(one[1], other[1]))
    ends = sorted((one[1], other[1]))
    return Proposal(at, unit[0], "amount", Amount(ends[0], scale, "temperature", "", ends[1]), 2)


def _signed(line: Reading, at: int) -> tuple[int, int | float] | None:
    """A number that `minus` may stand before."""
    if line.word(at) in ("minus", "negative"):
        number = _number(line, at + 1)
        return (number[0], -number[1]) if number else None
    return _number(line, at)


def _below_zero(line: Reading, at: int) -> bool:
    """`ten below zero C`, `10 degrees below zero`."""
    return line.word(at) == "below" and line.word(at + 1) in ("zero", "nought", "0")


def _scale(line: Reading, value: float) -> str:
    """What bare degrees mean: the keeper's own scale, unless the number makes no sense on it."""
    if line.fahrenheit:
        return "degF" if value >= 32 else "degC"
    return "degC" if value <= 50 else "degF"


def _unit(line: Reading, at: int, value: float) -> tuple[int, units.Unit] | None:
    """The unit after a number that ended before token `at`. A single letter that is a cohort is no unit where animals are counted."""
    if at - 1 in line.clauses:
        return None
    if units.inches(line.words, at, line.attached(at)):
        return at, units.UNITS["inch"]
    unit = units.read(line.words, at)
    if unit is None:
        meant = units.slipped(line.word(at))
        return (at, meant) if meant else None
    last, found = unit
    if not found.symbol or line.attached(at):
        return unit
    letter = line.raw[at]
    if "(" in line.text[line.tokens[at - 1].end : line.tokens[at].start]:
        return None  # `1 (f)` is a female
    if letter.isupper() and letter in line.vocabulary.letters and isinstance(value, int):
        if letter not in "CFL" or happens(line, at, mixing(line), not _TEMPERATURE_CUES.isdisjoint(line.words)):
            return None
    return None if found.name in ("day",) else unit


def _amount(line: Reading, at: int) -> Proposal | None:
    """`2 litres`, `68..79 F`, `minus 4 c`, `a US quart`, `about 24 C`, `room temperature`, `between 20 and 25 C`."""
    start, word = at, line.word(at)
    if word == "room" and line.word(at + 1) in ("temp", "temperature"):
        return Proposal(at, at + 1, "amount", Amount(20.0, "degC", "temperature", "", 24.0), 3)
    if word in ("latitude", "lat"):
        number = _signed(line, at + (2 if line.word(at + 1) in ("is", "of", "=") else 1))
        if number:
            unit = units.read(line.words, number[0] + 1)
            last = unit[0] if unit and unit[1].kind in ("latitude", "temperature") else number[0]
            if line.word(last + 1) in ("north", "n", "south", "s"):
                last += 1
            south = line.word(last)[0] == "s"
            return Proposal(at, last, "amount", Amount(-number[1] if south else number[1], "degree", "latitude", ""), 2)
        return None
    if word in _ABOUT and at + 1 < len(line) and not _asked_about(line, at):
        at += 1
    elif word == "between":
        at += 1
    if line.word(at) in ("a", "an", "per", "each") and not _number(line, at):
        unit = units.read(line.words, at + 1)
        if unit and not unit[1].symbol and unit[1].kind in ("volume", "mass", "length") and len(line.word(unit[0])) > 1:
            if unit[1].name in ("foot", "inch", "meter", "pound", "ounce") and line.word(at) != "an":
                return None
            last, value = unit[0], 1.0
            if line.word(last + 1) == "and" and line.word(last + 2) == "a" and line.word(last + 3) in ("half", "quarter"):
                last, value = last + 3, 1.5 if line.word(last + 3) == "half" else 1.25
            return Proposal(start, last, "amount", Amount(value, unit[1].name, unit[1].kind, ""), 3)
        return None
    number = _signed(line, at)
    if number is None:
        return None
    last, value = number
    high = None
    if isinstance(value, float) and value < 1:
        if line.word(last + 1) == "of" and line.word(last + 2) in ("a", "an"):
            last += 2
        elif line.word(last) == "of" and line.word(last + 1) in ("a", "an"):
            last += 1
    if _below_zero(line, last + 1) and value > 0:
        last, value = last + 2, -value
    unit = _unit(line, last + 1, value)
    if unit and unit[1].kind == "temperature" and _below_zero(line, unit[0] + 1) and value > 0:
        value, scale = -value, _unit(line, unit[0] + 3, value)
        unit = scale if scale and scale[1].kind == "temperature" else (unit[0] + 2, unit[1])
    joined = unit[0] + 1 if unit else last + 1
    connector = line.word(joined)
    if connector == "to" and unit is None and line.vocabulary.enclosure([line.word(at - 1), line.word(at)]):
        return None  # `set tub 5 to 40 litres`
    if connector in ("-", "..", "to") or (connector == "and" and word == "between"):
        second = _signed(line, joined + 1)
        upper = _unit(line, second[0] + 1, second[1]) if second else None
        same = upper and (unit is None or (unit[1] == upper[1] and unit[1].kind in ("temperature", "time", "length")))
        if same and second[1] < value and connector in ("..", "to") and upper[1].kind == "temperature":
            value, second = second[1], (second[0], value)  # the same range, the higher end first
        if same and second[1] > value and (connector != "to" or upper[1].kind in ("temperature", "time", "volume", "length")):
            last, high, unit = second[0], second[1], upper
    if unit is None:
        return None
    last, found = unit
    if line.word(last) == "in" and line.word(last + 1) == "tub":
        return None
    name, kind = found.name, found.kind
    if kind == "latitude":
        return Proposal(start, last, "amount", Amount(-value if name == "degree_south" else value, "degree", kind, ""), 2)
    if name == "degree":
        name = _scale(line, high or value)
    if abs(value) > 1e12:
        return None
    return Proposal(start, last, "amount", Amount(value, name, kind, "", high), 3)


def _unit_first(line: Reading, at: int) -> Proposal | None:
    """`oz to ml 12`, `f to c: 76`, `inch in cm`: the unit stands before its number, which ends the line, or is one."""
    unit = units.read(line.words, at)
    if unit is None or at > 1 or line.word(unit[0] + 1) not in ("to", "in", "into", "->", "as"):
        return None
    other = units.read(line.words, unit[0] + 2)
    if other is None or other[1].kind == "time" or unit[1].name == other[1].name:
        return None
    number = _signed(line, other[0] + 1)
    if number and number[0] == len(line) - 1:
        return Proposal(at, unit[0], "amount", Amount(number[1], unit[1].name, unit[1].kind, ""), 2)
    if other[0] == len(line) - 1 and not unit[1].symbol:
        return Proposal(at, unit[0], "amount", Amount(1.0, unit[1].name, unit[1].kind, ""), 2)
    return None


def _asked_about(line: Reading, at: int) -> bool:
    """`what about 12`, `tell me about 2024`: the word is no estimate."""
    return line.word(at) == "about" and line.word(at - 1) in ("what", "how", "tell", "me")


def _range(line: Reading, at: int) -> Proposal | None:
    """`5-6`, `5 to 6`, `21..29` without a unit."""
    number = _number(line, at)
    if not number or not isinstance(number[1], int) or line.word(number[0] + 1) not in ("-", "..", "to"):
        return None
    second = _number(line, number[0] + 2)
    if second and isinstance(second[1], int) and second[1] > number[1] and number[0] not in line.clauses:
        if line.word(number[0] + 1) == "to" and line.word(at - 1) in {
            "from",
            "rename",
            "renamed",
            "relabel",
            *HEADS,
            *line.vocabulary.own_heads,
        }:
            return None
        return Proposal(at, second[0], "range", (number[1], second[1]), 4)
    return None


def _plain(line: Reading, at: int) -> Proposal | None:
    """A number alone, or an estimate."""
    word, start = line.word(at), at
    about = word in _ABOUT and not _asked_about(line, at)
    if about:
        at += 1
    number = _number(line, at)
    if number is None:
        return None
    last, value = number
    if line.word(at) == "one" and last == at and line.word(at - 1) in _NO_ONE_AFTER and not about:
        return None
    if line.word(last + 1) == "ish" or (line.word(last + 1) == "or" and line.word(last + 2) == "so"):
        about, last = True, last + (1 if line.word(last + 1) == "ish" else 2)
    if about and isinstance(value, int):
        return Proposal(start, last, "estimate", value, 4)
    return Proposal(at, last, "number", value, 6)


_ENDING = ("", "please", "pls", "and", "from", "for", "then", "thanks")
"""What may stand behind a unit at the end of what is asked: `to in` before anything else goes on to a place."""
_DEGREES = re.compile(r"\d ?°? ?[CF]\b", re.IGNORECASE)
"""A temperature in figures: beside it a lone C or F is a scale, whatever cohorts there are."""


def _free_unit(line: Reading, at: int) -> Proposal | None:
    """A unit without a number, where it tells in what the answer is wanted: `in ml`, `how many litres`, `ppm of a 1 in 5 mix`, `as f`."""
    unit = units.read(line.words, at)
    before = at - 1 if line.word(at - 1) in ("a", "an") else at
    cue = line.word(before - 1) in ("in", "to", "as", "into", "->", "=") or line.word(at - 2) + line.word(at - 1) == "howmany"
    if unit is None:
        if line.word(at) == "in" and line.word(at - 1) in ("to", "into", "as") and line.word(at + 1) in _ENDING:
            return Proposal(at, at, "unit", "inch", 6)
        return None
    last, found = unit
    if found.name in ("degree", "degree_north", "degree_south") or found.kind == "latitude":
        return None
    if (
        found.kind in ("volume", "mass", "length")
        and line.word(last + 1) in ("in", "per", "to")
        and _vessel_after(line, last + 2, found)
    ):
        return Proposal(at, last, "unit", found.name, 6)
    if found.kind == "time":
        before = units.read(line.words, at - 2) if at > 1 else None
        if not (line.word(at - 1) in ("to", "into", "in") and before and before[1].kind == "time"):
            return None
    elif found.symbol:
        if not cue:
            return None
        letter = line.raw[at]
        told = not _TEMPERATURE_CUES.isdisjoint(line.words) or _DEGREES.search(line.text) or in_a_scale(line, at)
        if letter in line.vocabulary.letters and letter.isupper() and not told:
            return None
    elif (
        not cue
        and found.kind not in ("ppm", "temperature", "volume")
        and not (last == len(line) - 1 and found.kind in ("length", "mass"))
    ):
        return None
    elif (
        not cue
        and found.name in _VESSELFULS
        and mixing(line)
        and not line.word(last).endswith("s")
        and not _measured_in_numbers(line)
    ):
        return Proposal(at, last, "amount", Amount(1.0, found.name, "volume", ""), 6)
    elif not cue and found.name in ("cup", "pint"):
        return None
    return Proposal(at, last, "unit", found.name, 6)


def _vessel_after(line: Reading, at: int, wanted: units.Unit) -> bool:
    """Whether another measure of the same kind stands at `at` by which the unit before is asked for: `cups in a gallon`, `pints to the quart`."""
    number = _number(line, at)
    first = number[0] + 1 if number else at + 1 if line.word(at) in ("a", "an", "the", "each", "every") else at
    unit = units.read(line.words, first)
    return bool(unit) and unit[1].kind == wanted.kind and unit[1].name != wanted.name and first > at
