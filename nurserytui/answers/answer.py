"""The one shape every answer has, on the screen and as JSON."""

from typing import Any, NamedTuple


class Value(NamedTuple):
    """One computed number, date or word, with the bounds it lies in at `level`."""

    value: Any
    unit: str = ""
    low: Any = None
    high: Any = None
    level: float | None = None
    reason: str = ""
    """Why the value is None: a value that cannot be known is null with a reason."""

    def as_json(self) -> dict[str, Any]:
        found = {"value": self.value, "unit": self.unit, "low": self.low, "high": self.high, "level": self.level}
        if self.reason:
            found["reason"] = self.reason
        return found


class Cited(NamedTuple):
    """A source as an answer shows it; `kind` is `published`, `practice` or `own records`."""

    id: str
    citation: str
    kind: str


class Answer(NamedTuple):
    """What the assistant says to one line. `text` alone is enough for a reader; the rest is for programs and for folding."""

    status: str
    """`answered`, `recorded`, `clarify`, `unknown` or `refused`."""
    topic: str
    text: str
    about: dict[str, Any] = {}
    values: dict[str, Value] = {}
    items: tuple[dict[str, Any], ...] = ()
    working: tuple[str, ...] = ()
    sources: tuple[Cited, ...] = ()
    cautions: tuple[str, ...] = ()
    options: tuple[str, ...] = ()
    """For `clarify`: full sentences that can be sent back as they are."""
    next: tuple[str, ...] = ()
    """Up to three useful follow-up questions."""

    def as_json(self) -> dict[str, Any]:
        return {
            "status": self.status,
            "topic": self.topic,
            "text": self.text,
            "about": self.about,
            "values": {name: value.as_json() for name, value in self.values.items()},
            "items": list(self.items),
            "working": list(self.working),
            "sources": [source._asdict() for source in self.sources],
            "cautions": list(self.cautions),
            "options": list(self.options),
            "next": list(self.next[:3]),
        }

    def json_line(self) -> str:
        """One line of pure ASCII JSON."""
        import json

        return json.dumps(self.as_json(), ensure_ascii=True, allow_nan=False)
