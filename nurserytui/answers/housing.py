"""When and how to clean, how to test for spores, and how keepers end a life."""

from __future__ import annotations

import re
from datetime import datetime

from nurserytui.answers import disinfecting, soaking
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.rules import lines_of, pick, sources_of
from nurserytui.answers.wording import OWN_RECORDS, ask, cite, day_words, listed

HYGIENE = "hygiene"
EVERY = ("frass-daily", "condensation")
"""Rules whose days are a rhythm, not a span."""
SPORES = re.compile(r"\b(oe|spores?|ophryocystis)\b")
SUN = re.compile(r"\b(sun\w*|uv|light|heat)\b")
TEST = re.compile(r"\b(test\w*|tape|check for|microscope|tell if|find out)\b")
SOAK = re.compile(r"\b(soak\w*|contact|minutes?|how long|leave (it|them) in)\b")
CLEANING = re.compile(
    r"\b(clean\w*|wash\w*|bleach\w*|disinfect\w*|soak\w*|steril\w*|saniti\w*|rins\w*|kill\w*|oe|spores?|virus\w*|npv|alcohol|peroxide|boil\w*)\b"
)
FRASS = re.compile(r"\b(frass|droppings?|poop?|poo)\b")
RHYTHM = re.compile(
    r"\b(how often|often|every|daily|weekly|wip\w+|tid(?:y|ied|ying)|chang\w+|muck\w*|mess\w*|dirt\w*|hygien\w*|care|liners?|tissue|paper|towels?|swap\w*)\b"
)
"""Words of cleaning day by day, for which there is a rule of its own."""
CAGES = ("How often should I clean the cage?", "How warm and humid should the cage be?", "How many larvae fit in 10 litres?")


def hygiene(request, nursery) -> Answer:
    """How often and how to clean; when an enclosure was cleaned last; how to test for OE and what kills its spores."""
    knowledge = nursery.knowledge
    text = request.plain or request.text
    if "euthanise" in request.cues:
        return ending(nursery)
    if request.cohorts and not request.enclosures:
        places = sorted({key.enclosure for label in request.cohorts for key, _ in nursery.heads(cohort=label) if key.enclosure})
        request = request._replace(enclosures=tuple(places))
    if len(request.enclosures) > 1 and request.cohorts:
        options = [f"when was {place} last cleaned" for place in request.enclosures]
        return ask(HYGIENE, f"Which enclosure do you mean? They stand in {listed(request.enclosures)}.", options)
    if not request.enclosures and (answer := disinfecting.told(text, nursery, HYGIENE)):
        return answer
    if not request.enclosures and not CLEANING.search(text) and (answer := _together(request, text, nursery)):
        return answer
    rules = pick(knowledge, (HYGIENE, "sanitation") if CLEANING.search(text) else (HYGIENE,), text)
    if not (rules or request.enclosures or any(pattern.search(text) for pattern in (CLEANING, FRASS, RHYTHM))):
        return ask(HYGIENE, "I have no rule on that. Is it about cleaning, about warmth and damp, or about room?", CAGES)
    lines: list[str] = []
    values: dict[str, Value] = {}
    about = {}
    own = False
    if request.enclosures:
        enclosure = about["enclosure"] = request.enclosures[0]
        last, used = last_cleaned(enclosure, nursery)
        own = True
        if last:
            days = (nursery.now.date() - datetime.fromisoformat(last).date()).days
            ago = "today" if days == 0 else "yesterday" if days == 1 else f"{days} days ago"
            lines.append(f"{enclosure} was last cleaned {ago}, on {day_words(last, nursery.now)}{f' ({used})' if used else ''}.")
            values["last"] = Value(last)
        else:
            lines.append(f"No cleaning of {enclosure} is in your records.")
            values["last"] = Value(None, reason="no cleaning is in the records")
    else:
        values["last"] = Value(None, reason="no enclosure is named")
    lead = []
    if SPORES.search(text) and SUN.search(text):
        lead = [knowledge.rule("oe-sun"), knowledge.rule("uv")]
        lines.append("No, sun does not kill OE spores.")
    elif (SPORES.search(text) and TEST.search(text)) or re.search(r"\btape\b", text):
        lead = [knowledge.rule(name) for name in ("tape-test", "tape-read", "tape-result")]
    elif not rules or FRASS.search(text):
        lead = [knowledge.rule("frass-daily")]
    chosen = [rule for rule in dict.fromkeys([*lead, *rules]) if rule]
    every = next(
        (rule for rule in chosen if rule.unit in ("day", "days") and rule.value is not None and rule.topic == HYGIENE), None
    )
    if every is None or every.id not in EVERY:
        every = knowledge.rule("frass-daily")
    if not lead or lead[0].id == "frass-daily":
        values["every"] = Value(every.value, "day", every.low, every.high)
    contact = soaking.rule_for(knowledge, text, Value(None)) if SOAK.search(text) and not lead else None
    if contact:
        values["contact_time"] = soaking.minutes(contact)
        chosen = [contact, *(rule for rule in chosen if rule != contact and not soaking.minutes(rule))]
    lines += [rule for rule in lines_of(chosen, 4) if rule not in lines]
    lines.append("Disinfect between batches, after any death by disease, and when adults have been inside.")
    return Answer(
        "answered",
        HYGIENE,
        "\n".join(lines),
        about=about,
        values=values,
        sources=(*cite(knowledge, sources_of(chosen[:4])), *((OWN_RECORDS,) if own else ())),
        cautions=(
            "Rinse twice and let it dry until no smell of bleach is left before animals go back.",
            "Never mix bleach with any other product; gloves, eye protection, open window.",
        ),
        next=(
            "How much bleach for 1 litre at 5000 ppm from 6 % bleach?",
            "How do I test a monarch for OE?",
            "Does sun kill OE spores?",
        ),
    )


def _together(request, text: str, nursery) -> Answer | None:
    """Whether adults may stay with larvae, as far as a line about hygiene asks that."""
    from nurserytui.answers import sharing_asked

    daily = nursery.knowledge.rule("frass-daily")
    every = Value(daily.value, "day", daily.low, daily.high)
    last = Value(None, reason="no enclosure is named")
    return sharing_asked.general(request, text, nursery, HYGIENE, every=every, last=last)


def ending(nursery) -> Answer:
    """How keepers end the life of an animal that cannot be helped, and what to make sure of first."""
    rule = nursery.knowledge.rule("euthanasia")
    return Answer(
        "answered",
        HYGIENE,
        f"{rule.text}\nMake sure first: a larva that moults, a pupa that rests and anything chilled lie still too and need only time.",
        values={"hours": Value(rule.value, rule.unit)},
        sources=cite(nursery.knowledge, rule.sources),
        cautions=(
            "This is what keepers do, not advice of a vet: views differ on cold alone, and a vet knows other ways.",
            "Treat what was ill as infectious, also when it is frozen: closed bag, bin, wash your hands.",
        ),
        next=("My caterpillar is black and limp, what is it?", "How do I disinfect a cage?"),
    )


def last_cleaned(enclosure: str, nursery) -> tuple[str, str]:
    """When an enclosure was last cleaned (or disinfected), and with what; "" where the records do not say."""
    cleanings = ((event.when, event.detail) for event in nursery.ledger.chronicle.at(enclosure) if event.what == "cleaned")
    return max(cleanings, default=("", ""))
