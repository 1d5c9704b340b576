"""What a dilution line says without a unit or as so many of a kind: per cents as bare numbers, and volumes that count several times."""

from __future__ import annotations

import re

from nurserytui.language import numbers
from nurserytui.language.request import Amount, Request

_FIGURE = r"(\d{1,2}(?:\.\d+)?)"
_NO_UNIT = r"(?!\s*(?:%|percent|per cent|pct|ppm|mg|ml|cl|l\b|lit|cups?|tbsp|tsp|gal|pints?|quarts?|qt|oz|fl|us\b|imp|uk\b|g\b|kg|cm|mm|min|hour|day|part|[:/x*]|\.\d|in \d|to \d))(?![\d])"
_BARE = (
    re.compile(
        rf"(?:%|percent|per cent|pct)\s*(?:[a-z]+ ){{0,3}}(?:down to|to|->|into|=)\s*(?:make |about |a )?{_FIGURE}{_NO_UNIT}\s*(?=$|[,.;?]|for\b|in\b|i\b|please|alcohol|peroxide|isopropyl|hypo)"
    ),
    re.compile(rf"\bfrom (?:the |my |a |an )?{_FIGURE}{_NO_UNIT}"),
    re.compile(rf"(?<![\d:./]){_FIGURE}\s*(?:down )?(?:to|->)\s*\d[\d.]*\s*(?:%|percent|per cent|pct)"),
    re.compile(rf"\b(?:have|got|is|says) (?:an? |about )?{_FIGURE}{_NO_UNIT}\s*(?=$|[,.;?]|need\b|want\b|and\b)"),
    re.compile(rf"\b(?:bottle|label|jug)(?:'s| is| says| reads)? {_FIGURE}{_NO_UNIT}"),
    re.compile(r"(?<![\d.:/])(\d\.\d+) (?:stuff|bleach|stock)\b"),
    re.compile(rf"\b(?:the|its|it's|is|my|from|with|using|of) (?:the )?{_FIGURE} (?:stuff|kind|one|sort|label|bleach|stock)\b"),
)
"""Per cents without their sign: `91 % down to 70`, `70 % from 99`, `99 to 70 %`, `the 8.25 stuff`."""
NEAT = re.compile(
    r"\b(neat|undiluted|unmixed|straight|full.strength|pure|as it (is|comes)|(out of|out|from) the bottle|without (any )?water|no water)\b"
)
"""Words for the stock as it is."""
_VESSELS = r"(?:jars|bottles|sprayers|buckets|tubs|baths|basins|bowls|trays|tanks|containers|crates|boxes|batches|lots|jugs|bins|cages|pots|sinks|loads|soaks)"
_SEVERAL = re.compile(rf"(\S+)\s+(?:[a-z]+ ){{0,2}}?{_VESSELS}\s*(?:of|at|with|that hold|holding|,|x|are|is)?\s*(?:a |an )?$")
_TIMES = re.compile(r"(\S+)\s*(?:x|\*|times|lots of)\s*$")
_JUST_BEFORE = re.compile(r"(\S+)\s+$")
_AFTER = re.compile(rf"^\s*(?:[a-z]+ )?{_VESSELS}\b")
_EACH = re.compile(r"^\s*(?:each|apiece|every one)\b")
TOGETHER = re.compile(r"\b(plus|another|altogether|together|in total|total|combined|in all)\b|\+")
"""Words by which several volumes are one sum."""


def with_bare_percents(request: Request) -> Request:
    """The request with the per cents that its line says without a sign among its amounts, in the order of the line."""
    text = request.text.casefold()
    kinds = [amount.kind for amount in request.amounts]
    if not {"percent", "ppm", "ratio", "volume"} & set(kinds) and not NEAT.search(text):
        return request
    spots = [(text.find(amount.said.casefold()), amount) for amount in request.amounts]
    covered = [range(at, at + len(amount.said)) for at, amount in spots if at >= 0]
    for pattern in _BARE[:5] if "percent" in kinds else _BARE[1:2] + _BARE[4:]:
        match = pattern.search(text)
        if match and 0 < float(match[1]) <= 100 and not any(match.start(1) in place for place in covered):
            bare = Amount(float(match[1]), "percent", "percent", match[1])
            found = sorted([*spots, (match.start(1), bare)], key=lambda spot: spot[0])
            return request._replace(amounts=tuple(amount for _, amount in found))
    return request


_BARE_STRENGTH = re.compile(
    rf"\b(?:meant|want(?:ed)?|need(?:ed)?|should (?:be|have been)|supposed to be|down to|up to|bring it to|get it to)"
    rf" (?:it |this |that |to be |only |just |about |at ){{0,3}}(\d{{1,5}}(?:\.\d+)?){_NO_UNIT}"
)


def with_bare_strength(request: Request) -> Request:
    """The request with a strength to reach that has no unit of its own (`2 litres at 4000 ppm, need it at 1000`): it has that of the
    one that is told."""
    told = [amount for amount in request.amounts if amount.kind in ("ppm", "percent")]
    match = _BARE_STRENGTH.search(request.text.casefold())
    if len(told) != 1 or not match:
        return request
    bare = told[0]._replace(value=float(match[1]), said=f"{match[1]} {'%' if told[0].kind == 'percent' else 'ppm'}")
    return request._replace(amounts=(*request.amounts, bare))


_BARE_VOLUME = re.compile(r"(?<![\d.:/%])(\d{2,5}) (?:of )?(?:cold )?water\b")


def with_bare_volume(request: Request) -> Request:
    """`100 ml bleach in 900 water`: the second number has the unit of the first."""
    text, volumes = request.text.casefold(), [amount for amount in request.amounts if amount.kind == "volume"]
    match = _BARE_VOLUME.search(text)
    if len(volumes) != 1 or len(request.amounts) != 1 or not match or match[0].startswith(volumes[0].said.casefold()):
        return request
    bare = volumes[0]._replace(value=float(match[1]), said=match[1])
    spots = sorted(
        [*((text.find(each.said.casefold()), each) for each in request.amounts), (match.start(1), bare)], key=lambda spot: spot[0]
    )
    return request._replace(amounts=tuple(each for _, each in spots))


_CORRECTED = re.compile(r"\b(no wait|wait no|wait|i mean|i meant|scratch that|make that|sorry|or rather|actually)\s*$")


def corrected(request: Request) -> Request:
    """The request without an amount that its own line takes back: `1 litre, no wait, 2 litres`."""
    text, kept = request.text.casefold(), []
    for amount in request.amounts:
        at = text.find(amount.said.casefold())
        if at > 0 and _CORRECTED.search(re.sub(r"[^a-z0-9 ]", " ", text[:at])):
            kept = [each for each in kept if each.kind != amount.kind]
        kept.append(amount)
    return request._replace(amounts=tuple(kept))


def vessels(text: str) -> int:
    """How many vessels a line speaks of that hold so much each: `two tubs, each 1.5 litres`; 1 where it does not say."""
    match = re.search(rf"(\S+)\s+(?:[a-z]+ )?{_VESSELS}\W+(?:(?:each|all|both)|(?:of )?[\d.]+ ?[a-z]+ (?:each|apiece))\b", text)
    read = numbers.read([match[1]], 0) if match else None
    return int(read[1]) if read and read[1] == int(read[1]) and 1 < read[1] <= 100 else 1


def repeats(before: str, after: str) -> int:
    """How many times a volume counts by the words beside it: `3 jars of 500 ml`, `two 5 litre buckets`, `2 x 750 ml`; 1 where they say none."""
    match = _SEVERAL.search(before) or _TIMES.search(before)
    if not match and (_AFTER.match(after) or _EACH.match(after)):
        match = _JUST_BEFORE.search(before) if _AFTER.match(after) else re.search(r"^\s*(\S+) [a-z]+s\b.*$", before)
    read = numbers.read([match[1]], 0) if match else None
    return int(read[1]) if read and read[1] == int(read[1]) and 1 < read[1] <= 100 else 1
