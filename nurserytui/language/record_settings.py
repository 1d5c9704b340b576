"""Records that have no animals in them: temperature readings, settings, tests and plain notes."""

from __future__ import annotations

import re
from datetime import datetime

from nurserytui.amounts.factors import convert
from nurserytui.language import record_site
from nurserytui.language.boxes import box
from nurserytui.language.clause import STAGES, Item, word_at
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_days import MONTHS, when_of
from nurserytui.language.record_words import NUMBERED

NOTE = re.compile(
    r"^\s*(?:please\s+)?(?:(?:make|add|take|leave|write|jot down|put)\s+(?:a\s+)?note|(?:jot(?:ted)?|write|note|put|take|get)\s+(?:this|that|it)\s+down|note\s+this|write\s+down|note(?:\s+to\s+self)?|memo(?:\s+to\s+self)?|reminder|remember|diary|journal|jot down|comment)\b\s*(that|of|about|saying)?\s*[:,\-–]?\s*(?=\S)",
    re.I,
)
SIGN = re.compile(
    r"^\s*(?:please\s+)?(?:(?:log|record|note|add|write down)\s+)?(?:an?\s+)?(?:sign|symptom)\b\s*(?:that|of|:|-|,)?\s*(?:(?:on|in|with|for)\b[^:]{1,40}:\s*)?(?=\S)",
    re.I,
)
ABOUT_READINGS = frozenset(
    "average mean avg hottest coldest warmest highest lowest latest last reading readings max min convert degree today".split()
)
"""Words of a question about readings, which is no wish about units."""
_UNITS = {"degC": "C", "degF": "F", "degree_Celsius": "C", "degree_Fahrenheit": "F", "celsius": "C", "fahrenheit": "F"}
ROOMS = frozenset("outside outdoors room indoors inside nursery kitchen porch garage house here conservatory".split())


def _number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


WARMTH = frozenset("temp temps temperature temperatures thermometer degrees reading logger deg".split())


def temperature(items, now: datetime, units: str, sure: bool = False) -> Draft | None:
    """`24.5c in the shed tent`, `north cage min 62 max 81 f last night`; None if the clause is no reading. `sure`: no word need say so."""
    words = [item.word for item in items]
    if set(words) & (STAGES | {"SPECIES", "COHORT", "PLANT"}):
        return None
    said = sure or not WARMTH.isdisjoint(words)
    amounts = [item.span.value for item in items if item.kind == "amount" and item.span.value.kind == "temperature"]
    place = next((item.span.value for item in items if item.word == "ENCLOSURE"), "")
    somewhere = bool(place) or "there" in words[-1:] or bool(set(words) & ROOMS) or said
    unit = next((_UNITS.get(amount.unit, "") for amount in amounts), "")
    if not unit:
        unit = next((letter.upper() for letter in words if letter in ("c", "f")), "") or (
            "F" if "fahrenheit" in words else "C" if "celsius" in words else ""
        )
    ranged = {"min", "max", "minimum", "maximum", "low", "high", "lowest", "highest", "between", "from"} & set(words)
    if not somewhere or not (amounts or said or (ranged & {"min", "max", "minimum", "maximum"}) or (unit and place)):
        return None
    values: list[float] = []
    for at, item in enumerate(items):
        if item.kind == "amount" and item.span.value.kind == "temperature":
            values += [item.span.value.value] + ([item.span.value.high] if item.span.value.high is not None else [])
        elif item.kind in ("number", "estimate") and word_at(items, at - 1) not in NUMBERED:
            values.append(float(item.span.value))
        elif item.kind == "range":
            values += [float(end) for end in item.span.value]
    if not 1 <= len(values) <= 2:
        return None
    unit = unit or units or "C"
    detail = f"{_number(values[0])} {unit}" if len(values) == 1 else f"{_number(min(values))}..{_number(max(values))} {unit}"
    return Draft(
        "temperature",
        enclosure=place,
        detail=detail,
        when=when_of(items, now),
        refers=not place and ("there" in words[-1:] or ("in", "it") in zip(words, words[1:])),
    )


def temperatures(items, now: datetime, units: str, sure: bool = False) -> list[Draft]:
    """The readings that a clause tells, one for each place that it names: `crate 1 24 C, crate 2 26`, `21 C in the tent and in the shed`."""
    items = list(items)
    places = [at for at, item in enumerate(items) if item.word == "ENCLOSURE"]
    amounts = [at for at, item in enumerate(items) if item.kind == "amount" and item.span.value.kind == "temperature"]
    sure = sure or not WARMTH.isdisjoint(item.word for item in items)
    if len(places) < 2 or not (amounts or sure) or {item.word for item in items} & (STAGES | {"SPECIES", "COHORT", "PLANT"}):
        reading = temperature(items, now, units, sure)
        return [reading] if reading else []
    values = [at for at, item in enumerate(items) if at in amounts or item.kind in ("number", "estimate", "range")]
    leading = not values or values[0] > places[0]  # the place stands in front of its reading
    edges = [0, *places[1:], len(items)] if leading else [0, *(at + 1 for at in places[:-1]), len(items)]
    found: list[Draft] = []
    without: list[str] = []
    for begin, end in zip(edges, edges[1:]):
        place = next(item.span.value for item in items[begin:end] if item.word == "ENCLOSURE")
        reading = temperature(items[begin:end], now, units, sure=True)
        if reading is None and not leading and found:
            reading = found[-1]._replace(enclosure=place)
        if reading is None:
            without.append(place)
            continue
        found += [reading._replace(enclosure=other) for other in (*without, place)]
        without = []
    when = when_of(items, now)
    return [] if without else [draft._replace(when=draft.when or when) for draft in found]


UNITS_TOO = re.compile(
    r"\s*(?:[,;.]|\band\b)\s*(?:and\s+)?(?:(?:we|i|it)\s+)?(?:(?:use|measure|read|work|count)s?\s+)?(?:(?:the|our|my)\s+)?(?:(?:units?|temps?|temperatures?)\b\s*)?(?:are|is|=|:)?\s*"
    r"(?:in\s+)?(?:degrees\s+|°\s*)?(c|f|celsius|centigrade|fahrenheit|metric|imperial)(?:\s+(?:units|degrees|please))?\W*$",
    re.I,
)
"""The end of a line that tells the place, where it tells the units too (`we are in Quillmere, units C`)."""


def _place_and_units(text: str) -> tuple[Draft, ...]:
    units = UNITS_TOO.search(text)
    place = record_site.PLACE.match(text[: units.start()]) if units else None
    if not place:
        return ()
    return (
        Draft("setting", detail=f"place={place[1]}"),
        Draft("setting", detail=f"units={'F' if units[1][0] in 'fFiI' else 'C'}"),
    )


def settings(line: Line, items: list[Item]) -> tuple[Draft, ...]:
    """Settings that the whole line states; () if it states none."""
    if both := _place_and_units(line.text):
        return both
    plain, words = line.plain.rstrip(".!"), [item.word for item in items]
    enclosures = [item.span.value for item in items if item.word == "ENCLOSURE"]
    volumes = [item.span.value for item in items if item.kind == "amount" and item.span.value.kind == "volume"]
    if enclosures and not _done(_before_how(words)) and not set(words) & {"bleach", "bleached", "soaked", "spray"}:
        if held := _held(plain, volumes, bare=set(words) <= BARE_SIZE):
            return tuple(Draft("setting", enclosure=place, detail=f"volume={held[0]}", note=held[1]) for place in enclosures)
    if re.search(r"\b(fahrenheit|celsius|centigrade|degrees [cf]|in [cf]|to [cf]|use [cf]|units?|metric|imperial)\b", plain):
        unit = re.search(
            r"\b(fahrenheit|celsius|centigrade|metric|imperial)\b|\b(?:degrees|in|to|units?(?: is| are|=|:)?|use) ([cf])\b", plain
        )
        steering = re.search(
            r"\b(show|use|switch|set|change|prefer|always|from now on|units?|display|want|like|rather|give me|default|work in|think in|measure in|read in|deal in|go back to)\b",
            plain,
        )
        alone = re.fullmatch(r"(?:all |the )*temp(?:erature)?s? in \w+(?: please| pls)?", plain)
        asked = set(words) & {"ENCLOSURE", "SPECIES", "COHORT", "AMOUNT", "PERIOD"} or ABOUT_READINGS & set(words)
        if unit and (steering or alone) and not asked and len(words) <= 14:
            letter = "F" if (unit[1] or unit[2])[0] in "fi" else "C"
            return (Draft("setting", detail=f"units={letter}"),)
    if (value := record_site.latitude(plain)) is not None:
        return (Draft("setting", detail=f"latitude={_number(value)}"),)
    if first := record_site.first_in_dates(plain):
        return (Draft("setting", detail=f"dates={first}"),)
    if match := re.search(
        r"\bseasons?\b.*\b(?:starts?|begins?|from)\b(?:\s+(?:is|in|on|with|at|the|start|of|each|every|year))*\s+(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)",
        plain,
    ):
        return (Draft("setting", detail=f"season-start={MONTHS.index(match[1]) + 1}"),)
    if (narrow := _narrow_limit(plain, items)) and not enclosures:
        return (Draft("setting", detail="limit=", note=narrow),)
    if (limit := _limit(plain)) is not None and not enclosures:
        return (Draft("setting", detail=f"limit={limit}"),)
    if zone := record_site.time_zone(line.text):
        return (Draft("setting", detail=f"timezone={zone}"),)
    if len(enclosures) >= 1 and re.search(r"\b(share|shares|sharing|same)\b.*\b(air|room)\b|\bsame air\b", plain):
        group = re.search(r"\b(?:in|called|as|air of) (?:the )?(\w+)\W*(?:$|,|share|so|and share)", plain)
        name = group[1] if group and group[1] not in ("same", "air", "room") else enclosures[0]
        return tuple(Draft("setting", enclosure=place, detail=f"air={name}") for place in enclosures)
    if match := record_site.PLACE.match(line.text):
        if not enclosures and not any(item.kind == "amount" for item in items):
            return (Draft("setting", detail=f"place={match[1]}"),)
    return ()


HOLDS = re.compile(r"\b(holds?|is|are|takes|volume|capacity|has a|size|measure[sd]?|litre|liter|gallon|set .* to)\b|=")
BARE_SIZE = frozenset("ENCLOSURE AMOUNT NUMBER by cm mm m in inch inches size dimensions dims the my our".split())
"""Words of a line that tells the sides of an enclosure and nothing else."""


def _held(plain: str, volumes, bare: bool) -> tuple[str, str] | None:
    """(volume as a setting says it, the words where they are of another measure) of `tub 3 holds 10 L`, `tub 3 is 12 x 12 x 24 inch`; a
    `bare` line may tell the sides alone (`tub 3, 12 x 12 x 24 inch`)."""
    sides = box(plain)
    if not HOLDS.search(plain) and not (bare and sides and not sides.assumed):
        return None
    if sides and (
        not sides.assumed or re.search(r"\b(?:is|are|measures?) (?:a |about )?\d", plain)
    ):  # without a unit it is left open: litres differ sixteenfold between centimetres and inches
        return "" if sides.assumed else _volume(sides.litres * 1000), sides.said
    if len(volumes) == 1:
        one = volumes[0]
        return _volume(convert(one.value, one.unit, "milliliter")), "" if one.unit in ("liter", "milliliter") else one.said
    return None


def _volume(millilitres: float) -> str:
    return f"{_number(millilitres / 1000)} L" if millilitres >= 1000 else f"{_number(millilitres)} mL"


LIMIT = re.compile(
    r"\b(?:my|our|the|a|set(?: a| my| the)?|new) (?:\w+ )?(?:limit|quota|cap|maximum)\b(?: of animals)?(?: is| are| to| at| of| =|=|:| now| stands at)* *(?:about )?(\d{1,6})\b(?! ?(?:l|litres?|liters?|ml|c|f|degrees?|days?|%)\b)"
    r"|^\s*limit *(?:=|is|to|:|of)? *(\d{1,6})(?: animals?)?(?: (?:a|per|each|every) (?:year|season))?\s*$"
    r"|\b(?:i|we) (?:may|can|am allowed to|are allowed to|want to|will) (?:only )?(?:handle|take in|keep|rear|raise) (?:at most|no more than|up to|only|a maximum of) (\d{1,6})\b.*\b(?:year|season)\b"
    r"|\b(\d{1,6}) (?:animals? )?(?:a|per) (?:year|season) is (?:my|our|the) limit\b"
)
"""The most animals that a keeper means to handle in a season."""


def _limit(plain: str) -> str | None:
    """The limit that a line sets, `none` where it takes it back; None where it sets none."""
    if re.search(
        r"^\s*(?:no limit(?: any ?more| now| please)?|remove (?:my|the) limit|(?:my |the )?limit *(?:=|is)? *none)\s*$", plain
    ):
        return "none"
    found = LIMIT.search(plain)
    return next((one for one in found.groups() if one), None) if found else None


LIMIT_OF_SOME = re.compile(
    r"\b(?:my|our|the|a|set(?: a| my| the)?) (?:limit|quota|cap|maximum) (?:for|of|on) (?!animals?\b)[a-z' ]{3,40}? (?:is|are|to|at|=|:) *(?:about )?(\d{1,6})\b"
    r"(?! ?(?:l|litres?|liters?|ml|c|f|degrees?|days?|%)\b)"
)
OF_SOME = re.compile(
    r"\b(?:found|wild|collected|caught|laid|eggs?|larvae?|caterpillars?|cats|pupae?|chrysalis\w*|cocoons?|adults?|females?|males?|pairs?|species|"
    r"(?:of|for) each|per (?:species|cage|tub|cohort|clutch)|each)\b(?! (?:year|season)\b)"
)
"""Words that say that not all animals are meant."""


def _narrow_limit(plain: str, items) -> str:
    """The number of a limit that is for some animals only, one species or found ones; "" where it is for all, or there is none."""
    found = _limit(plain) or (match[1] if (match := LIMIT_OF_SOME.search(plain)) else "")
    if not found or found == "none":
        return ""
    some = any(item.kind == "species" for item in items) or OF_SOME.search(plain) or LIMIT_OF_SOME.search(plain)
    return found if some else ""


def _before_how(words: list[str]) -> list[str]:
    """The words up to where a line tells how a volume was found (`…, measured it with a jug`, `…, filled it with water`)."""
    amount = words.index("AMOUNT") if "AMOUNT" in words else len(words)
    return next((words[:at] for at, word in enumerate(words) if at > amount and word in ("measured", "filled", "tested")), words)


def _done(words: list[str]) -> bool:
    return bool(set(words) & {"cleaned", "washed", "soaked", "rinsed", "scrubbed", "watered", "with", "moved"})


RESULTS = (
    ("clear", r"\b(clear|negative|clean|nothing|none|no spores|not found|free|zero|all ok|neg)\b"), ("heavy", r"\b(heavy|heavily|high|loaded|riddled|severe|full of)\b"),
    ("light", r"\b(light|lightly|low|few|slight|trace|mild)\b"), ("moderate", r"\b(moderate|medium)\b"), ("positive", r"\b(positive|infected|infested|has it|found|pos)\b"),
)  # fmt: skip


def test_result(text: str, items) -> str:
    """The result a line gives: `clear`, `light`, `heavy` … or a spore count."""
    for item in items:
        if item.kind in ("cohort", "mark", "enclosure"):
            text = re.sub(rf"(?<!\w){re.escape(item.raw.casefold())}(?!\w)", " ", text)  # V is no letter of `heavy`
    if match := re.search(r"\b(\d+)\s*spores?\b|\bspores?(?: count)?\b[^\d]{0,20}(\d+)", text):
        return match[1] or match[2]
    return next((result for result, pattern in RESULTS if re.search(pattern, text)), "")
