"""Where a find was made and who made it, as a line tells it: coordinates, a place that is no enclosure, a person."""

from __future__ import annotations

import re

from nurserytui.language.clause import JOINING, Clause, Item
from nurserytui.language.line import Line, Span
from nurserytui.language.record_new_places import container

COMING_IN = ("laid", "found")
_NUMBER = r"([-+]?\d{1,3}(?:[.,]\d{1,12})?)"
_LEAD = r"(?:\b(?:at|near|from|in)\s{1,3})?(?:\b(?:coordinates?|coords?|gps|position|location)\b\s?[:=]?\s{0,3})?\(?"
PAIR = re.compile(
    _LEAD + r"(?:\blat(?:itude)?\s?[:=]?\s?)?(?:\b([NS])\s?)?(?<![\d.,/-])" + _NUMBER + r"\s?°?\s?([NS]\b)?"
    r"(?:\s?[,;/]\s?|\s{1,3})(?:lon(?:g|gitude)?\s?[:=]?\s?|lng\s?[:=]?\s?)?(?:([EWO])\s?)?" + _NUMBER + r"\s?°?\s?([EWO]\b)?(?![\d.,]*\d)\)?",
    re.IGNORECASE,
)  # fmt: skip
MINUTES = re.compile(
    _LEAD + r"(\d{1,2})\s?°\s?(\d{1,2})\s?['’′]\s?(?:(\d{1,2}(?:[.,]\d{1,6})?)\s?(?:[\"”″]|'')?\s?)?([NS])\s?[,;]?\s?"
    r"(\d{1,3})\s?°\s?(\d{1,2})\s?['’′]\s?(?:(\d{1,2}(?:[.,]\d{1,6})?)\s?(?:[\"”″]|'')?\s?)?([EWO])\b\)?"
)  # fmt: skip
FIGURES = 3
"""Decimals from which two bare numbers are coordinates: 0.001° is a hundred metres."""
NOTED = re.compile(r"[,;.(]\s{0,3}note\s?:\s?(\S.*)$", re.IGNORECASE | re.DOTALL)

OUTDOORS = frozenset(
    """
    garden gardens yard backyard allotment allotments meadow meadows field fields park parks forest forests wood woods woodland hedge
    hedges hedgerow verge verges roadside wayside lane road street avenue path track trail river riverside stream brook creek canal lake
    pond shore bank hill hillside hilltop mountain valley quarry gravel pit heath moor marsh bog fen dune dunes beach coast cliff orchard
    vineyard cemetery churchyard school schoolyard playground station railway bridge village town city farm pasture clearing glade ditch
    embankment wasteland nature reserve roundabout car-park lawn border flowerbed
    """.split()
)
INDOORS = frozenset(
    """
    kitchen shed garage cellar attic loft fridge freezer refrigerator windowsill sill porch balcony greenhouse conservatory bathroom
    bedroom office hall hallway room house sun sunlight shade water dark cold warmth rain hurry total all box
    """.split()
)
"""Where animals may be kept as well, or what is no place at all: what is told with these is not certain."""
NOWHERE = frozenset(
    "least last first most all once present rest random hand work home it them the a an that this "
    "breakfast lunch dinner supper tea teatime lunchtime bedtime".split()
)
ARTICLES = frozenset("the a an".split())
WITHIN = frozenset("of in near at am an der de du la le upon".split())
STOPPED = frozenset(
    """
    on with by from into onto called as label labelled labeled name named cohort group batch today yesterday now today's while when
    because where which that who they it is are was were place note and i we he she found
    """.split()
)
SHORTENED = frozenset("st mt ft dr".split())
RECEIVED = frozenset("got received given gave bought swapped".split())


def with_origins(line: Line, items: list[Item], clauses: list[Clause]) -> list[Item]:
    """The items of a line that tells of a find, with coordinates, places, people and a last `note:` each as one item; others as they are."""
    if not any(clause.verb is not None and clause.verb.what in COMING_IN for clause in clauses):
        return items
    items = _noted(line, items)
    items = _coordinates(line, items)
    other = {
        item.start for clause in clauses if clause.verb is not None and clause.verb.what not in COMING_IN for item in clause.items
    }
    received = any(item.word in RECEIVED for item in items)
    found: list[Item] = []
    at = 0
    while at < len(items):
        read = _named(line, items, at)
        if read is None and items[at].start not in other and (not items[at].span or items[at].kind == "period"):
            read = _origin(line, items, at, received)
        if read is None:
            found.append(items[at])
            at += 1
        else:
            one, at = read
            found.append(one)
    return found


def _whole(line: Line, kind: str, value, first: Item, last: Item) -> Item:
    raw = line.text[first.start : last.end]
    return Item(kind.upper(), Span(-1, -1, kind, value, raw), first.start, last.end, raw, last.stop)


def _instead(line: Line, items: list[Item], start: int, end: int, kind: str, value) -> list[Item]:
    """One item in the place of all that lie in that stretch of the line."""
    inside = [item for item in items if start <= item.start < end]
    if not inside:
        return items
    at = items.index(inside[0])
    one = _whole(line, kind, value, inside[0], inside[-1])
    return [*items[:at], one._replace(stop=inside[-1].stop), *items[at + len(inside) :]]


def _noted(line: Line, items: list[Item]) -> list[Item]:
    said = NOTED.search(line.text)
    return _instead(line, items, said.start(), len(line.text), "remark", said[1].strip()) if said else items


def _coordinates(line: Line, items: list[Item]) -> list[Item]:
    if said := MINUTES.search(line.text):
        degrees, minutes, seconds, south, *east = said.groups()
        found = (_degrees(degrees, minutes, seconds, south), _degrees(*east))
        return _instead(line, items, said.start(), said.end(), "coordinates", found) if _on_earth(*found) else items
    at = 0
    while said := PAIR.search(line.text, at):
        at = said.end(2)  # of `jar 1, 48.52, 9.05` the second number may begin the pair
        north, first, north_after, east, second, east_after = said.groups()
        sides = (north or north_after or "").upper(), (east or east_after or "").upper()
        told = said[0].casefold()
        if (
            all(sides)
            or ("lat" in told and ("lon" in told or "lng" in told))
            or all(_decimals(one) >= FIGURES for one in (first, second))
        ):
            found = tuple(
                float(number.replace(",", ".")) * (-1 if side in ("S", "W") else 1)
                for number, side in zip((first, second), sides)
            )
            if _on_earth(*found):
                return _instead(line, items, said.start(), said.end(), "coordinates", found)
    return items


def _decimals(number: str) -> int:
    return len(number) - 1 - max(number.find("."), number.find(",")) if "." in number or "," in number else 0


def _degrees(degrees: str, minutes: str, seconds: str | None, side: str) -> float:
    value = int(degrees) + int(minutes) / 60 + float((seconds or "0").replace(",", ".")) / 3600
    return round(-value if side in "SW" else value, 6)


def _on_earth(latitude: float, longitude: float) -> bool:
    return abs(latitude) <= 90 and abs(longitude) <= 180


def _named(line: Line, items: list[Item], at: int) -> tuple[Item, int] | None:
    """`place: …`, `by: …`, or `place …` behind a comma: all up to the next stop, as one item, and where the line goes on."""
    item = items[at]
    if item.word not in ("place", "site", "location", "by") or at + 1 == len(items):
        return None
    colon = line.text[item.end : item.end + 1] == ":"
    if not (colon or item.word != "by" and not item.stop and at and items[at - 1].stop):
        return None
    last = _to_the_stop(items, at + 1)
    kind = "person" if item.word == "by" else "site"
    return _whole(line, kind, _text(line, items[at + 1 : last + 1]), item, items[last]), last + 1


def _origin(line: Line, items: list[Item], at: int, received: bool) -> tuple[Item, int] | None:
    """The place or the person that is named behind a preposition, as one item, and where the line goes on."""
    item = items[at]
    if item.stop:
        return None
    if item.kind == "period":
        # `at 12 Linden Lane` is no time of day.
        number = re.fullmatch(r"(?i)at (\d{1,4}[a-z]?)", item.raw)
        last = _run(line, items, at + 1) if number else at
        words = [one.word for one in items[at + 1 : last + 1]]
        if last == at or not _capital(items[at + 1]) or OUTDOORS.isdisjoint(words):
            return None
        return _whole(line, "site", line.text[item.start + 3 : items[last].end], item, items[last]), last + 1
    if item.word not in ("at", "in", "from", "near", "by", "behind", "beside", "along", "outside"):
        return None
    first = at + 1
    if first < len(items) and items[first].word in ARTICLES and not items[first].span and not items[first].stop:
        first += 1
    last = _run(line, items, first)
    if last < first:
        return None
    run = items[first : last + 1]
    words = {one.word for one in run}
    capital, outdoors = any(_capital(one) for one in run), not OUTDOORS.isdisjoint(words)
    if any(container(one.word) or one.word in INDOORS for one in run) and not outdoors:
        return None
    if item.word == "by" and first == at + 1 and _capital(run[0]) and not outdoors and not line.text.isupper():
        named = [one for one in run[:3] if _capital(one)]
        return _whole(line, "person", _text(line, named), item, named[-1]), first + len(named)
    if item.word == "from" and received and not outdoors:
        return None
    sure = outdoors or (capital and not line.text.isupper())
    if item.word == "at":
        sure = sure or (run[0].word not in NOWHERE and run[0].word.isalpha() and len(run[0].word) > 2)
    elif item.word == "by":
        sure = outdoors
    if not sure:
        return None
    kept = run if item.word in ("at", "in", "from") else items[at : last + 1]
    return _whole(line, "site", _text(line, kept), item, items[last]), last + 1


def _to_the_stop(items: list[Item], at: int) -> int:
    while at < len(items) and not items[at].stop:
        at += 1
    return min(at, len(items) - 1)


def _text(line: Line, items: list[Item]) -> str:
    return line.text[items[0].start : items[-1].end] if items else ""


def _capital(item: Item) -> bool:
    return item.raw[:1].isupper() and len(item.raw) > 1


def _run(line: Line, items: list[Item], first: int) -> int:
    """The last item of a name that begins at `first`; `first - 1` where none does."""
    at = last = first - 1
    while at + 1 < len(items) and (at < first or not items[at].stop or items[at].word in SHORTENED and _capital(items[at])):
        at += 1
        item, following = items[at], items[at + 1] if at + 1 < len(items) else None
        numbered = item.kind == "number" and item.raw.isdigit()
        if numbered and last >= first and (_capital(items[at - 1]) or items[at - 1].word in OUTDOORS):
            last = at
            continue
        if numbered and at == first and following is not None and _capital(following) and not item.stop:
            continue
        named = item.kind in ("species", "plant") and _capital(item) and following is not None and not item.stop
        if named and not following.span and (_capital(following) or following.word in OUTDOORS):
            last = at
            continue
        if item.span:
            break
        if item.word in WITHIN and last >= first and following is not None and not item.stop:
            if not following.span and (_capital(following) or following.word in ARTICLES):
                continue
            break
        if item.word in ARTICLES and last < at - 1:
            continue
        if item.word in STOPPED or item.word in JOINING or item.word == "to" and item.raw != "to":
            break  # `handed in at the desk -> jar 4`
        last = at
    return last
