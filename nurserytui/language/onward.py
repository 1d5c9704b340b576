"""Bare question words that go on from an answer (`of what`, `until when`, `since when`)."""

from __future__ import annotations

import re

from nurserytui.language.cues import Cues
from nurserytui.language.intents import Guess
from nurserytui.language.line import Line
from nurserytui.language.request import Request
from nurserytui.language.small_words import FILLER, MODAL, REST

ONWARD: dict[str, dict[str, str]] = {
    "headcount": {
        "whose": "",
        "same-place": "",
        "come-from": "history",
        "where": "",
        "who": "",
        "how-many": "",
        "which-instar": "",
        "which-species": "",
        "when": "stage-forecast",
    },
    "stage-forecast": {"when": "", "until": "", "how-long": "", "where": "headcount", "how-many": "headcount"},
    "stage-duration": {"how-long": "", "until": ""},
    "history": {
        "come-from": "",
        "when": "",
        "where": "",
        "who": "",
        "how-many": "",
        "cause": "",
        "which-instar": "",
        "which-species": "",
    },
    "survival": {"when": "", "where": "", "who": "", "how-many": "", "cause": "", "which-instar": "", "which-species": ""},
    "exposure": {"when": "", "until": "", "how-long": "", "where": "", "who": "", "how-many": "", "watch": ""},
    "temperature": {"when": "", "where": ""},
    "hygiene": {"how-often": "", "when": "", "last-time": "", "how-long": ""},
    "food-supply": {"how-much": "", "until": "", "how-long": "", "when": "", "how-many": ""},
    "density": {"how-many": "", "where": ""},
    "release": {"when": "", "until": "", "how-long": "", "where": ""},
    "cutting-care": {"how-long": "", "how-often": "", "until": ""},
    "overwintering": {"when": "", "until": "", "how-long": "", "where": ""},
    "dilution": {"how-much": "", "how-long": ""},
    "egg-viability": {"when": "", "until": "", "how-long": ""},
}
"""The bare questions that go on from a topic (`of what`, `until when`), and the topic each asks for where it is another."""
ACTING = {"dilution": frozenset("act acts work works soak sit stand leave left stay keep keeps last lasts contact good".split())}
"""What the thing last asked about does, in questions for its time (`how long must it act`)."""
AHEAD = frozenset("out will should shall".split())
"""Words by which a bare `when` after what happened asks for what is still to come (`and when will it`)."""
HOW_MANY = re.compile(r"(?:and |so |but )?how many(?: of (?:them|those|these)| was (?:it|that)| (?:was|were) (?:that|those))?")
"""A bare count of what was just told."""
SINCE = re.compile(r"(?:and |so |but )?(?:since when|how long(?: for| already)?|from when)")
"""A bare question for the day from which what was told holds."""


def onward(line: Line, cues: Cues, guess: Guess, before: Request) -> str:
    """The topic of a bare question word after that topic, "" where the line is more than that."""
    ways = ONWARD.get(before.topic, {})
    if before.topic == "headcount" and SINCE.fullmatch(line.plain.rstrip("?. ")):
        return "history"
    asked = [cue for cue in ways if cue in cues.names]
    counts = before.topic == "survival" and bool(HOW_MANY.fullmatch(line.plain.rstrip("?. ")))
    if not asked or line.spans or not (counts or guess.topic in ("", before.topic)):
        return ""
    said = ACTING.get(before.topic, frozenset()) | {
        word for cue in (*asked, "when-did") for phrase in cues.said.get(cue, ()) for word in phrase.split()
    }
    if any(word not in said and word not in FILLER | MODAL | REST for word in cues.words):
        return ""
    if (
        before.topic == "history"
        and "when" in asked
        and not AHEAD.isdisjoint((*cues.words, *cues.said.get("when", ())))
        and not {"past", "aux-past", "when-did"} & cues.names
    ):
        return "stage-forecast"
    return next((ways[cue] for cue in asked if ways[cue]), before.topic)
