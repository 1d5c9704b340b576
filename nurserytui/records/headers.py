"""What to say of a header that is neither that of events nor that of readings: which names were probably meant."""

from __future__ import annotations

from collections.abc import Sequence

from nurserytui.records.columns import near_miss, plain

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
    return next((name for name in header if plain(name.partition("(")[0].partition("[")[0]) in MEANT.get(ours, ())), "")


def lacking(ours: str, header: Sequence[str]) -> str:
    """That a column is not there, and how the one that may be meant is named."""
    found = meant(ours, header)
    ask = f"; did you mean {found}? import again with --column {_quoted(found)}={ours}" if found else ""
    return f"there is no column {ours}{ask}"


def neither(header: Sequence[str]) -> str:
    shown = " ".join(", ".join(header).split())[:80]
    reason = f"the header is neither that of events (when, what, …) nor of readings (time, place, temperature_C): {shown}"
    asks = []
    for ours in ("what", "temperature"):
        found = meant(ours, header)
        if found:
            asks.append(f"--column {_quoted(found)}={ours if ours == 'what' else 'temperature_C'}")
    return reason + (f"; if you meant it so, import again with {' or '.join(asks)}" if asks else "")


def _quoted(name: str) -> str:
    return name if name.replace("_", "").isalnum() else f"'{name}'"
