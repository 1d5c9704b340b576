"""Places of readings beside the enclosures on record: a name that is a letter off is told before its readings are looked for in vain."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from nurserytui.records.columns import near_miss

NOTED = 10


def strange_places(places: Iterable[str], known: Sequence[str]) -> list[str]:
    """What to say of places that are no enclosure of the nursery; nothing while it has none."""
    if not known:
        return []
    enclosures = {name.casefold(): name for name in known}
    notes = []
    for place in places:
        if not place or place.casefold() in enclosures:
            continue
        guess = _near(place.casefold(), tuple(enclosures))
        if guess:
            notes.append(f"there is no enclosure {place}; did you mean {enclosures[guess]}?")
        else:
            notes.append(
                f"no enclosure is called {place}: its readings count where you ask for {place}, and for enclosures that share its air"
            )
    return notes[:NOTED] + ([f"and {len(notes) - NOTED} more places that are no enclosure"] if len(notes) > NOTED else [])


def _near(place: str, known: Sequence[str]) -> str:
    """The enclosure that a place is a misspelling of; names that differ in a number are two enclosures."""
    figures = [sign for sign in place if sign.isdecimal()]
    alike = [name for name in known if [sign for sign in name if sign.isdecimal()] == figures]
    return near_miss(place, alike)
