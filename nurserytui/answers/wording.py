"""Words that every answer uses: dates, counts, names of animals, and sources as an answer cites them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from nurserytui.answers.answer import Answer, Cited

OWN_RECORDS = Cited("own-records", "this nursery's own records", "own records")

SINGULAR = {"egg": "egg", "larva": "larva", "prepupa": "prepupa", "pupa": "pupa", "adult": "adult"}
PLURAL = {"egg": "eggs", "larva": "larvae", "prepupa": "prepupae", "pupa": "pupae", "adult": "adults"}
EVENT_WORDS = {"hatch": "hatch", "moult": "moult", "prepupate": "hang up to pupate", "pupate": "pupate", "emerge": "emerge"}


def day_words(when: date | datetime | str, now: datetime | None = None) -> str:
    """A day as a person reads it, with the ISO date beside it: `Sun 12 July (2026-07-12)`; the year only if it is not this one."""
    moment = datetime.fromisoformat(when) if isinstance(when, str) else when
    year = "" if now is not None and moment.year == now.year else f" {moment.year}"
    return f"{moment:%a} {moment.day} {moment:%B}{year} ({moment:%Y-%m-%d})"


def short_day(when: date | datetime) -> str:
    """`Sun 12 July`, where the page says the year."""
    return f"{when:%a} {when.day} {when:%B}"


def counted(count: int, singular: str, plural: str = "") -> str:
    """`1 egg`, `3 eggs`."""
    return f"{count} {singular if count == 1 else plural or singular + 's'}"


def stage_count(count: int, stage: str) -> str:
    return counted(count, SINGULAR.get(stage, stage), PLURAL.get(stage, stage))


def animals_name(cohort: str, mark: str) -> str:
    """`vine-26`; `C4`, which is heard as animal 4 of cohort C; `vine-26 4`, since after a longer label a figure would be part of it."""
    return f"{cohort}{mark}" if mark.isdigit() and cohort.isalpha() else f"{cohort} {mark}".strip()


def listed(words: Iterable[str], last: str = "and") -> str:
    """`a, b and c`."""
    words = list(words)
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}" if words else ""


def number(value: float, places: int = 1) -> str:
    """A number without a trailing `.0`."""
    text = f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def species_label(scientific: str, knowledge) -> str:
    """`black swallowtail (Papilio polyxenes)`; the scientific name alone where no common one is known."""
    common = knowledge.common(scientific)
    return f"{common} ({scientific})" if common and common != scientific else scientific


def cite(knowledge, ids: Iterable[str]) -> tuple[Cited, ...]:
    """The sources of those ids as an answer cites them, each once; `memory` is shown as practice and says that it is unchecked."""
    found = []
    for source in knowledge.cite(tuple(dict.fromkeys(ids))):
        if source.kind == "published":
            found.append(Cited(source.id, source.citation, "published"))
        elif source.kind == "own":
            found.append(Cited(source.id, source.citation, "own records"))
        else:
            found.append(Cited(source.id, source.citation, "practice"))
    return tuple(found)


def unknown(topic: str, text: str, *, next: Iterable[str] = (), **rest) -> Answer:
    """I don't know, and what is lacking."""
    return Answer("unknown", topic, text, next=tuple(next), **rest)


def ask(topic: str, text: str, options: Iterable[str], **rest) -> Answer:
    """Ask back, with full sentences to choose from."""
    return Answer("clarify", topic, text, options=tuple(dict.fromkeys(options)), **rest)


def sentence(text: str) -> str:
    """The text with a capital and one full stop."""
    text = text.strip()
    return text[:1].upper() + text[1:].rstrip(".") + ("" if text[-1] in "!?" else ".") if text else ""


def capital(text: str) -> str:
    """The text with a capital first letter, nothing else changed."""
    return text[:1].upper() + text[1:]


def lower(text: str) -> str:
    """The text with a small first letter, for the middle of a sentence."""
    return text[:1].lower() + text[1:]


def percent(share: float) -> str:
    return f"{share * 100:.0f} %"
