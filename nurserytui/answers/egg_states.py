"""What a line tells of an egg over time: its age, what it was before, what it is now, and what that makes likely."""

from __future__ import annotations

import re
from datetime import date
from typing import NamedTuple

from nurserytui.answers import egg_traits
from nurserytui.answers.development import ROOM, basis
from nurserytui.answers.giving_up import days_said, warmth_of

COLOUR = r"(?:pale |light |dark |bright )?(?:white|cream|yellow|orange|red|green|brown|tan|grey|gray|pale|plump|whole|firm|the same)\w*"
WAS = re.compile(
    rf"\b(?:(?:was|were|used to be|started(?: out| off)?(?: as)?|initially|at first|originally|from)\s+(?:an? )?(?:egg )?({COLOUR}(?:(?:,? and |,? |-){COLOUR})?))"
    r"(?=[^a-z]*(?:now|then|but|and (?:now|then|turned|went|has|is)|turned|to|went|when|until|,|;|$))"
)
LAID_AS = re.compile(rf"\b(?:laid|found(?: it)?|collected)\s+({COLOUR})(?=,| and now| then| but)")
NOW = re.compile(r"\b(?:is now|are now|now|turned|gone|went|became|becoming|has turned|changed to|to|then)\b")
UNCHANGED = re.compile(
    rf"\bstill (?:is |are |looks? |looking |look |all )?(?:an? )?{COLOUR}"
    r"|\b(?:no|not|never|without(?: any| a)?|hasn't|haven't|hasnt|havent|has not|have not|didn't|did not|nothing)\b[^,.;]{0,24}\b(?:chang\w*|hatch\w*|happen\w*)"
    r"|\bunchanged\b|\bsame colou?r\b|\blooks? the same\b|\bunhatched\b"
    rf"|\b(?:been |stayed |staying |remained )?{COLOUR} (?:for|since)\b"
)
BROKEN = re.compile(
    r"\b(black|dark\w*|hole\w*|dent\w*|cave\w*|collaps\w*|shrivel\w*|mould\w*|mold\w*|fuzz\w*|wasp\w*|spot|dot|empty|ring|patch\w*|mottl\w*|blotch\w*|clear|"
    r"see.through|transparent|flat\w*|shrunk\w*|wrinkl\w*|sunk\w*|hollow)\b"
    r"|\b(?:half|some|most|part|others?|one|two|three|few|many|batch)\b[^.;]{0,24}\bhatched\b|\bhatched\b[^.;]{0,40}\b(?:rest|others)\b"
)
"""Words that show more than that nothing changed."""
ALIVE = re.compile(r"hatch \(|about to hatch|embryo|normal|alive|too cool|rests|winter|slow|not due")
TAKEN = re.compile(r"predator|knocked|lost")
HATCHED = "hatched larva"
SAP = "drop of plant sap"
STUNG = ("Trichogramma", "Telenomus")


class Told(NamedTuple):
    """What is known of an egg beside the signs that it shows."""

    age: float | None
    """Days since it was laid or found."""
    since: str
    """`laid`, `found`, or "" where the line only says how long it has looked so."""
    was: tuple[str, ...]
    """Colours before."""
    now: str
    """The part of the line that says what it is now."""
    unchanged: bool
    celsius: float
    """What it had, an ordinary room where nothing is known."""
    measured: bool
    due: float | None
    """Days that eggs of the species take there; None where nothing is known."""


def told(text: str, species, label: str, request, nursery) -> Told:
    """From the line, else from the cohort's records."""
    warmth = warmth_of(label, request, nursery)
    celsius = ROOM if warmth is None else warmth
    age, since = _age(text, label, request, nursery)
    earlier = WAS.search(text) or LAID_AS.search(text)
    was = egg_traits.read(earlier[1], nursery.knowledge.traits).colours if earlier else ()
    rest = text[: earlier.start()] + " " + text[earlier.end() :] if was and NOW.search(text[earlier.start() :]) else text
    if rest is text:
        was = ()
    if not re.search(r"\beggs?\b", rest):
        rest = f"egg {rest}"
    unchanged = bool(UNCHANGED.search(text)) and not was and not BROKEN.search(UNCHANGED.sub(" ", text))
    due = None
    known = basis(nursery.knowledge, species.scientific, "egg") if species else None
    if known:
        rate = known.at(celsius).curve.rate(celsius)
        due = 1 / rate if rate > 1e-3 else None
    return Told(age, since, was, rest, unchanged, celsius, warmth is not None, due)


def _age(text: str, label: str, request, nursery) -> tuple[float | None, str]:
    today = nursery.now.date()
    since = (
        "laid" if re.search(r"\blaid|laying|oviposit", text) else "found" if re.search(r"\bfound|collected|picked", text) else ""
    )
    if request.period and (since or re.search(r"\bsince\b", text)):
        days = (today - request.period.start.date()).days
        if 0 <= days < 400:
            return float(days), since
    days = days_said(text)
    if days is not None:
        return days, since
    cohort = nursery.ledger.cohorts.get(label)
    if cohort:
        return float((today - date.fromisoformat(cohort.first_when[:10])).days), "laid" if cohort.origin == "laid" else "found"
    return None, ""


def tilt(told: Told, species):
    """The factor that the species, the age and a change of colour put on a cause."""
    late = species.egg.late_colours if species else ()
    whole = bool(set(late) & {"black", "grey", "brown", "red"}) and "top" not in species.egg.before_hatching.casefold()
    share = told.age / told.due if told.age is not None and told.due and told.since != "found" else None

    def factor(name: str) -> float:
        value = 1.0
        if "rests over winter" in name:
            value = (3.0 if species.winters_as == "egg" else 0.02) if species else 0.5
        elif "dark eggs" in name:
            value = (4.0 if whole else 0.5) if species else 1.0
        if told.was and name == "infertile egg":
            value *= 0.25
        return value * (timed(name, share, told.age) if share is not None else early(name, told.age))

    return factor


def timed(name: str, share: float, age: float) -> float:
    """By the part of the usual time that has passed."""
    if "about to hatch" in name:
        return 0.25 if share < 0.45 else 1.5 if share < 1.6 else 0.5
    if "embryo" in name:
        return 1.5 if share < 1.4 else 0.3
    if name in STUNG:
        return early(name, age) * (1.8 if share > 1.3 else 1.0)
    if name in ("infertile egg", "dried out (desiccated)", "cooked or sprayed"):
        return 2.0 if share > 1.5 else 0.6 if share < 0.6 else 1.0
    if name == "too cool":
        return 1.0 if share < 2 else 0.3
    if name == HATCHED:
        return 0.1 if share < 0.5 else 1.0
    return 1.0


def early(name: str, age: float | None) -> float:
    """An egg wasp darkens the egg some days after its sting, not on the first."""
    return 0.3 if age is not None and age < 3 and name in STUNG else 1.0


def state(name: str) -> str:
    """`alive`, `hatched`, `parasitised`, `taken`, `dead` or, of what was taken for an egg, `none`."""
    if name == SAP:
        return "none"
    if name == HATCHED:
        return "hatched"
    if name in STUNG:
        return "parasitised"
    if TAKEN.search(name):
        return "taken"
    return "alive" if ALIVE.search(name) else "dead"


def shares(items) -> dict[str, float]:
    """Probability by state, likeliest first."""
    found: dict[str, float] = {}
    for item in items:
        kind = state(item["name"])
        found[kind] = found.get(kind, 0.0) + item["probability"]
    return dict(sorted(found.items(), key=lambda pair: -pair[1]))
