"""What a keeper keeps back when a file goes to others: where animals were found, who wrote things down, what was noted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from nurserytui.records.events import Event

STEP = 0.1
"""Degrees to which coarse coordinates are rounded."""
UNCERTAINTY = 7900
"""Metres from a rounded point within which the exact one lies, anywhere: half a step of latitude is 5,585 m at most (WGS 84, at the
poles), half a step of longitude 5,566 m (at the equator)."""


class Withheld(NamedTuple):
    """What is left out. Enclosures, causes and results are told always: without them the records would say nothing."""

    locations: str = "exact"
    """`coarse` rounds coordinates and leaves out the names of places, `none` leaves out both, and the time zone: times are then local ones of
    a place that is not told."""
    names: bool = False
    """Leave out who recorded an event, and whom animals were given to."""
    notes: bool = False
    """Leave out what was noted in the keeper's own words; events that are nothing but a note go with it."""

    @property
    def anything(self) -> bool:
        return self != EXACT

    def words(self) -> str:
        """What is left out, for a keeper; "" for nothing."""
        places = {
            "exact": "",
            "coarse": f"places left out, coordinates rounded to {STEP} degrees",
            "none": "places, coordinates and the time zone left out",
        }
        said = (places[self.locations], "names left out" if self.names else "", "notes left out" if self.notes else "")
        return ", ".join(words for words in said if words)

    def point(self, latitude: float | None, longitude: float | None) -> tuple[float | None, float | None]:
        """The coordinates as they may be told."""
        if self.locations == "exact":
            return latitude, longitude
        if self.locations == "none":
            return None, None
        return coarse(latitude), coarse(longitude)

    def place(self, text: str) -> str:
        """The name of a place as it may be told."""
        return text if self.locations == "exact" else ""

    def of(self, events: Iterable[Event]) -> Iterator[Event]:
        """The events, given in the order in which they were recorded, as they may be told; what withdraws one that is left out goes with it."""
        if not self.anything:
            yield from events
            return
        left_out: set[str] = set()
        for event in events:
            if event.withdraws in left_out or self._leaves_out(event):
                left_out.add(event.id)
                continue
            latitude, longitude = self.point(event.latitude, event.longitude)
            yield event._replace(
                place=self.place(event.place),
                latitude=latitude,
                longitude=longitude,
                by="" if self.names else event.by,
                note="" if self.notes else event.note,
                detail=self._detail(event),
            )

    def _leaves_out(self, event: Event) -> bool:
        if event.what == "setting" and self.locations != "exact":
            name = _setting(event)
            return name == "place" or (name in ("latitude", "timezone") and self.locations == "none")
        return self.notes and event.what == "note"

    def _detail(self, event: Event) -> str:
        if self.names and event.what == "given":
            return ""
        if event.what != "setting" or self.locations != "coarse" or _setting(event) != "latitude":
            return event.detail
        from nurserytui.records.settings import read

        try:
            return f"latitude={coarse(read(event)[1])}"
        except ValueError:
            return event.detail  # it says no latitude


EXACT = Withheld()
FOR_OTHERS = Withheld("coarse", names=True, notes=True)


def coarse(degrees: float | None) -> float | None:
    """Rounded to the step; a number and nothing else, so that no digit of the exact one is left."""
    return None if degrees is None else round(round(degrees / STEP) * STEP, 1) + 0.0


def _setting(event: Event) -> str:
    return event.detail.partition("=")[0].strip().lower()
