"""What the archive says of itself: `eml.xml` in the Ecological Metadata Language 2.2.0, elements in the order of its schema."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple
from xml.sax.saxutils import escape

NAMESPACE = "https://eml.ecoinformatics.org/eml-2.2.0"
_NO_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""Characters that an XML document cannot hold (XML 1.0, Char)."""
ABSTRACT = "Eggs, larvae, pupae and adults that were found or seen laid in the wild, and what became of them in a home nursery."
METHODS = (
    "Each occurrence is what was found at one moment; its count and stage are those of that moment. The animals were then reared in "
    "captivity. The table of events holds the find itself and, with the find as parent event, the changes, deaths, releases and losses "
    "that were seen later: the date is that on which it was seen, the sample size the number of animals.",
    "Animals of several finds that were kept together cannot be told apart; an event of one of them is given with each of these finds, "
    "which its remarks say.",
)


class Described(NamedTuple):
    """What is known of the archive as a whole."""

    days: Sequence[str]
    """The days of its events."""
    keepers: Sequence[str]
    place: str
    points: Sequence[tuple[float, float]]
    """Latitude and longitude of what is located, as far as it may be told."""
    withheld: str
    """What was kept back, in words; "" for nothing."""


def metadata(told: Described) -> str:
    """The text of the file."""
    days = sorted(told.days) or ["1970-01-01"]
    keepers = [_element("creator", _person(name)) for name in told.keepers] or [_element("creator", _keeper(told.place))]
    title = "Finds of butterflies and moths taken in for rearing" + (f", {told.place}" if told.place else "")
    dataset = [
        _text("title", title),
        *keepers,
        _text("pubDate", days[-1]),
        _text("language", "en"),
        _element("abstract", _text("para", ABSTRACT)),
        *([_element("additionalInfo", _text("para", f"Kept back: {told.withheld}."))] if told.withheld else []),
        _element("intellectualRights", _text("para", "The keeper has named no licence: ask before you use the data.")),
        _element("coverage", *_coverage(told, days)),
        _element("contact", _person(told.keepers[0]) if told.keepers else _keeper(told.place)),
        _element("methods", *(_element("methodStep", _element("description", _text("para", step))) for step in METHODS)),
    ]
    lines = [f"\n  {part}" for part in dataset] + ["\n"]
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<eml:eml xmlns:eml="{NAMESPACE}" packageId="nursery-{days[0]}-{days[-1]}" system="nurserytui" xml:lang="en">\n'
        f"{_element('dataset', *lines)}\n</eml:eml>\n"
    )


def _coverage(told: Described, days: list[str]) -> Iterable[str]:
    if told.points:
        south, north = min(point[0] for point in told.points), max(point[0] for point in told.points)
        west, east = min(point[1] for point in told.points), max(point[1] for point in told.points)
        sides = (("west", west), ("east", east), ("north", north), ("south", south))
        yield _element(
            "geographicCoverage",
            _text("geographicDescription", told.place or "Where the animals were found"),
            _element("boundingCoordinates", *(_text(f"{side}BoundingCoordinate", f"{degrees}") for side, degrees in sides)),
        )
    ends = zip(("beginDate", "endDate"), (days[0], days[-1]), strict=True)
    yield _element(
        "temporalCoverage", _element("rangeOfDates", *(_element(name, _text("calendarDate", day)) for name, day in ends))
    )
    rank = _text("taxonRankName", "order") + _text("taxonRankValue", "Lepidoptera")
    yield _element("taxonomicCoverage", _element("taxonomicClassification", rank))


def _person(name: str) -> str:
    return _element("individualName", _text("surName", name))


def _keeper(place: str) -> str:
    return _text("positionName", f"Keeper of the nursery{f', {place}' if place else ''}")


def _element(name: str, *inside: str) -> str:
    return f"<{name}>{''.join(inside)}</{name}>"


def _text(name: str, text: str) -> str:
    return _element(name, escape(_NO_XML.sub(" ", text)))
