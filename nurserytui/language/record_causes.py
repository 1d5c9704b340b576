"""What a clause says behind its verb, and of that what killed them."""

from __future__ import annotations

import re

from nurserytui.language.clause import Verb
from nurserytui.language.line import Line
from nurserytui.language.record_words import CAUSE_WORDS, DUD_WORDS, PREDATORS

LOSSES = ("death", "deaths", "loss", "losses", "casualties")


def cause(line: Line, items, verb: Verb) -> str:
    """What killed them, in the keeper's words: after `to`, `of`, `from`, `by`, or the verb itself where it says it."""
    lead = items[verb.first].word
    text = tail(line, items, verb)
    words = {item.word for item in items}
    if dud := words & DUD_WORDS:
        return "infertile" if "infertile" in dud else "never hatched" if dud & {"never", "failed"} else "dud"
    if lead in (
        "died",
        "dead",
        "lost",
        "killed",
        "eaten",
        "ate",
        "succumbed",
        "perished",
        "taken",
        "picked",
        "snapped",
        "found",
        "were",
        "was",
        "got",
        "been",
        *LOSSES,
    ):
        after = re.search(r"\b(?:to|of|from|by|because of|due to|with)\s+(?:an?\s+|the\s+|some\s+)?(.+)$", text, re.I)
        if after and any(item.word == "ENCLOSURE" and after[1].startswith(item.raw) for item in items):
            after = None
        return (
            after[1].strip()
            if after and (lead not in ("found", "dead") or causes(items))
            else causes(items) or ("" if lead not in ("killed", "eaten", "ate") else lead)
        )
    if lead in PREDATORS or lead in ("AGENT", "virus", "disease", "mould"):
        return items[verb.first].raw
    if items[verb.first].word == "had":
        return items[verb.last].raw
    verb_text = " ".join(items[place].raw for place in sorted(verb.taken) if not items[place].span)
    if lead in ("drowned", "squashed", "crushed", "stuck", "froze", "trod", "stepped", "sat", "fell"):
        return f"{verb_text} {text}".strip() if text.split(" ")[0] in ("in", "by", "under", "on", "when", "while") else verb_text
    return verb_text


def causes(items) -> str:
    agents = [item.raw for item in items if item.kind == "agent"]
    return agents[0] if agents else " ".join(item.raw for item in items if item.word in CAUSE_WORDS and not item.span)


def tail(line: Line, items, verb: Verb) -> str:
    """The words after the verb, without the time, the count and what the ledger calls the animals."""
    rest = [item for item in items[verb.first + 1 :] if item.kind not in ("period",)]
    while rest and (
        rest[0].span
        and rest[0].kind not in ("agent", "plant")
        or rest[0].word
        in (
            "of",
            "the",
            "a",
            "an",
            "one",
            "over",
            "two",
            "all",
            "her",
            "him",
            "them",
            "it",
            "ones",
            "more",
            "off",
            "my",
            "away",
            "both",
        )
    ):
        rest.pop(0)
    named = {items[place] for place in verb.taken}
    kept = [item for item in rest if item not in named]
    text = " ".join(item.raw for item in kept).strip()
    return re.sub(r"^to\s+", "", text) if verb.what == "given" else text
