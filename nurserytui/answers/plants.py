"""How a host keeps as a cutting."""

from __future__ import annotations

import re
from datetime import timedelta

from nurserytui.answers import naming
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.host_words import BUYING, deadly, hazards_of
from nurserytui.answers.wording import OWN_RECORDS, capital, cite, day_words, lower, number, sentence

TOPIC = "cutting-care"
DROWNING = re.compile(r"\bdrown\w*|fall(ing|s|en)? in(to)?\b|walk\w* into the water|climb\w* down")
WILTING = re.compile(r"\bwilt\w*|limp|droop\w*|flop\w*|floppy|shrivel\w*|dr(y|ies|ied|ying) (out|up)|fresh\w*")
FROZEN = re.compile(r"\bfreez\w*|\bfroze\w*")
FRIDGE = re.compile(r"\bfridge|refrigerat\w*|freez\w*|frozen|store\b|storing|chill\w*")
WATER = re.compile(r"\bwater\b.*\b(chang|often|renew|replac|fresh)|\b(chang|renew|replac)\w* .*\bwater\b")
TRIMMING = re.compile(r"\b(trim\w*|re-?cut\w*|sear\w*|prepar\w*|condition\w*|slit\w*|crush\w*|how (do|should|to) (i )?cut)\b")
PLUG = (
    "Close the neck: use a narrow-necked bottle or a lidded tube, and plug every gap round the stems with foil, paper towel or a "
    "taped, slit lid, so that no larva can walk down into the water."
)


def cutting_care(request, nursery) -> Answer:
    """How long cuttings of a plant keep, how to cut and stand them, and how often to change the water."""
    knowledge = nursery.knowledge
    text = request.plain or request.text
    found = plant_meant(request, nursery)
    if found is None and request.unknown_names and not request.hosts:
        return naming.no_such_name(request.unknown_names[0], nursery, TOPIC, "How long do {} cuttings keep in water?", "plant")
    said = request.hosts[0].said if request.hosts else ""
    if found is None and request.hosts:
        return general(text, nursery, request.hosts[0].name, said)
    if found is None:
        return general(text, nursery, "", "")
    plant, asked, card = found
    if deadly(asked, knowledge):
        return never(asked, card, knowledge)
    label = naming.plant_label(plant, knowledge)
    days = span(card.days_low, card.days_high)
    lines = []
    if DROWNING.search(text):
        lines.append(PLUG)
    how = sentence(card.how)
    water = water_words(card)
    head = f"Cut {label} keeps about {days} day{'s' if card.days_high != 1 else ''}"
    if BUYING.search(text) and not FRIDGE.search(text) and (stock := untreated(asked, knowledge)):
        lines.append(stock)
    if FROZEN.search(text) and not FROZEN.search(card.fridge):
        lines.append(knowledge.rule("frozen-leaf").text)
    if WATER.search(text):
        lines.append(f"{water} for {label}. {capital(head)}.")
    elif WILTING.search(text) or TRIMMING.search(text):
        lines.append(f"For {label}: {sentence(card.conditioning) or how} It then keeps about {days} days in water or as below.")
    elif FRIDGE.search(text) and card.fridge:
        lines.append(f"{sentence(card.fridge)} In water: {lower(head)}.")
    else:
        lines.append(f"{head} in water; {lower(water)}." if card.water_change_high else f"{head}. {water}.")
    if how and how not in lines[-1]:
        lines.append(f"Keep it so: {how}")
    if card.conditioning and sentence(card.conditioning) not in lines[0]:
        lines.append(f"Cutting and trimming: {sentence(card.conditioning)}")
    if not any(water[1:] in line for line in lines):
        lines.append(f"{water}.")
    if card.problems:
        lines.append(f"Known trouble: {sentence(card.problems)}")
    if card.fridge and not FRIDGE.search(text):
        lines.append(f"In the fridge: {sentence(card.fridge)}")
    if plant != asked:
        lines.append(f"This is the card for {label}; there is none for {naming.plant_label(asked, knowledge)} itself.")
    elif request.hosts and len(naming.plants_among(request.hosts[0], knowledge)) > 1 and said.casefold() != plant.casefold():
        lines.append(f"I took “{said}” as {label}; its relatives may keep longer or less long.")
    own = own_lots(asked, card, nursery)
    lines[1:1] = own
    word = naming.plant_word(plant, knowledge)
    return Answer(
        "answered",
        TOPIC,
        "\n".join(lines),
        about={"host": asked},
        values=card_values(card),
        working=(
            f"Days in water on record: {days}; water change every {span(card.water_change_low, card.water_change_high)} day(s) (0: none).",
        ),
        sources=(*cite(knowledge, card.sources), *((OWN_RECORDS,) if own else ())),
        cautions=(*hazards_of([plant], knowledge, 3), "Open water drowns larvae: plug every gap round the stems."),
        next=(f"What eats {word}?", "How do I stop larvae drowning in the vase?", f"Tell me about {word}"),
    )


def own_lots(plant: str, card, nursery) -> list[str]:
    """Until when the keeper's own cut stems of the plant keep by its card."""
    from nurserytui.answers import stock

    held = [lot for lot in stock.lots(nursery) if not lot.growing and naming.same_plant(lot.host, plant)]
    said = []
    for lot in held:
        first, last = (lot.cut + timedelta(days=days) for days in (card.days_low, card.days_high))
        amount = f"{number(lot.amount)} {lot.said}"
        if last <= nursery.now:
            said.append(f"Yours, {amount} cut on {day_words(lot.cut, nursery.now)}, should be spent by now.")
        else:
            until = f"{day_words(last, nursery.now)} at most" if last > first else day_words(last, nursery.now)
            said.append(f"Yours, {amount} cut on {day_words(lot.cut, nursery.now)}, keep to {until}.")
    return said


def untreated(plant: str, knowledge) -> str:
    """What is on record of treated stock of a plant, in words; "" where nothing is."""
    known = knowledge.plant(plant)
    told = [one for one in (known.hazards if known else ()) if "larvae" in one.who]
    return " ".join(f"{sentence(one.what)} {sentence(one.precaution)}" for one in told[:2])


def never(plant: str, card, knowledge) -> Answer:
    """The answer for a plant that kills people: it is not cut at all, whatever eats it."""
    label = naming.plant_label(plant, knowledge)
    word = naming.plant_word(plant, knowledge)
    return Answer(
        "answered",
        TOPIC,
        f"Do not cut {label}: it is deadly to people. {sentence(card.how)}",
        about={"host": plant},
        values={"days_kept": Value(None, "day", reason="deadly to people: never gathered")},
        sources=cite(knowledge, card.sources),
        cautions=hazards_of([plant], knowledge, 3),
        next=(f"What eats {word}?", f"Tell me about {word}"),
    )


def plant_meant(request, nursery):
    """(plant of the card, plant asked for, card), or None where no plant is meant or no card holds for it."""
    knowledge = nursery.knowledge
    for host in request.hosts:
        names = (*host.names, *naming.plants_among(host, knowledge))
        for name in names:
            card = knowledge.cutting(name)
            if card:
                known = knowledge.plant(host.names[0])
                asked = known.scientific if known else host.names[0]
                return card[0], (card[0] if naming.same_plant(card[0], asked) and naming.is_genus(asked) else asked), card[1]
    if request.hosts:
        return None
    for label in request.cohorts:
        cohort = nursery.ledger.cohorts.get(label)
        if cohort and cohort.host and (card := knowledge.cutting(cohort.host)):
            return card[0], cohort.host, card[1]
    return None


def card_values(card) -> dict[str, Value]:
    values = {"days_kept": Value(round((card.days_low + card.days_high) / 2, 1), "day", card.days_low, card.days_high)}
    if card.water_change_high:
        middle = round((card.water_change_low + card.water_change_high) / 2, 1)
        values["water_change"] = Value(middle, "day", card.water_change_low, card.water_change_high)
    else:
        values["water_change"] = Value(
            None, "day", reason="this plant is best kept potted or with its roots, so there is no vase water to change"
        )
    return values


def water_words(card) -> str:
    if not card.water_change_high:
        return "There is no vase water to change: keep it potted or with its roots"
    days = span(card.water_change_low, card.water_change_high)
    return "Change the water every day" if days == "1" else f"Change the water every {days} days"


def span(low: float, high: float) -> str:
    return number(low) if low == high else f"{number(low)}-{number(high)}"


def general(text: str, nursery, plant: str, said: str) -> Answer:
    """Advice that holds for any cut plant."""
    knowledge = nursery.knowledge
    card = knowledge.general_cutting()
    if card is None:
        return Answer("unknown", TOPIC, "Which plant do you mean? There is no general rule on record.")
    days = span(card.days_low, card.days_high)
    lines = []
    if DROWNING.search(text):
        lines.append(PLUG)
    if FROZEN.search(text):
        lines.append(knowledge.rule("frozen-leaf").text)
    if plant:
        lines.append(
            f"There is no card for {said} ({plant}) as a cutting; as a general rule cut stems keep {days} days in water."
        )
    elif WILTING.search(text) and not lines:
        lines.append(f"To keep cuttings fresh: {sentence(card.conditioning)} As a general rule they keep {days} days.")
    else:
        lines.append(
            f"As a general rule cut stems keep {days} days in water, and it differs by plant: say which one for its own figure."
        )
    lines.append(f"Keep them so: {sentence(card.how)}")
    if sentence(card.conditioning) not in lines[0]:
        lines.append(sentence(card.conditioning))
    lines.append(f"{water_words(card)}.")
    if card.problems:
        lines.append(f"Known trouble: {sentence(card.problems)}")
    if card.fridge:
        lines.append(f"In the fridge: {sentence(card.fridge)}")
    return Answer(
        "answered",
        TOPIC,
        "\n".join(lines),
        about={"host": plant} if plant else {},
        values=card_values(card),
        working=(
            f"Days in water on record: {days}; water change every {span(card.water_change_low, card.water_change_high)} day(s) (0: none).",
        ),
        sources=cite(knowledge, card.sources),
        cautions=("Open water drowns larvae: plug every gap round the stems.",),
        next=(
            "How long do willow cuttings keep?",
            "How long does cut milkweed keep?",
            "How often must I change the water on fennel stems?",
        ),
    )
