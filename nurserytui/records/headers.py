"""What to say of a header that is neither that of events nor that of readings: which names were probably meant."""

from __future__ import annotations

from collections.abc import Sequence

from nurserytui.records.columns import near_miss, plain
from nurserytui.records.reading_units import asks

MEANT = {
    "when": ("date", "day", "datetime", "time", "timestamp", "ondate"),
    "what": ("event", "action", "type", "kind", "happened", "activity"),
    "time": ("date", "datetime", "timestamp", "when", "dateandtime", "recordedat"),
    "place": ("sensor", "logger", "location", "enclosure", "device", "probe", "channel", "room"),
    "temperature": ("temp", "t", "degrees", "celsius", "fahrenheit", "tempc", "tempf", "value", "reading"),
}
"""Our column -> what other tables call the like. Nothing is taken for it unless the keeper says so."""


def meant(ours: str, header: Sequence[str]) -> str:
    """The column of the file that is probably ours, "" if none looks like it."""
    for name in header:
        if name and near_miss(plain(name), (ours,)):
            return name
    return next((name for name in header if _bare(name) in MEANT.get(ours, ())), "")


def _bare(name: str) -> str:
    """A name in plain form, without the unit that stands in brackets after it."""
    return plain(name.partition("(")[0].partition("[")[0])


def lacking(ours: str, header: Sequence[str]) -> str:
    """That a column is not there, and how the one that may be meant is named."""
    found = meant(ours, header)
    ask = f"; did you mean {found}? import again with --column {quoted(found)}={ours}" if found else ""
    return f"there is no column {ours}{ask}"


def neither(header: Sequence[str]) -> str:
    shown = " ".join(", ".join(header).split())[:80]
    reason = f"the header is neither that of events (when, what, …) nor of readings (time, place, temperature_C): {shown}"
    asked = []
    for ours in ("what", "temperature"):
        found = meant(ours, header)
        if found:
            asked.append(f"--column {quoted(found)}=what" if ours == "what" else asks(quoted(found), found))
    return reason + (f"; if you meant it so, import again with {'; or '.join(asked)}" if asked else "")


def quoted(name: str) -> str:
    """A column's name as it is typed on a command line."""
    return name if name.replace("_", "").isalnum() else f"'{name}'"
