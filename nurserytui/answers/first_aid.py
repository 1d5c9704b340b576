"""What to do first where somebody is hurt, and whom to call. No doses, no antidotes."""

from __future__ import annotations

from collections.abc import Sequence

from nurserytui.answers import naming
from nurserytui.answers.answer import Answer
from nurserytui.answers.host_words import hazard_sentence
from nurserytui.answers.injury import of_a_pet
from nurserytui.answers.rules import sources_of
from nurserytui.answers.wording import cite
from nurserytui.language import emergencies

SAFETY = "safety"
HELP_NUMBERS = {
    "north-america": "a poison centre (in the United States 1-800-222-1222, day and night) or, in an emergency, 911",
    "europe": "your country's poison service or, in an emergency, 112",
    "": "your local poison service (in the United States 1-800-222-1222) or your emergency number (112 in Europe, 911 in North America)",
}
DEFER = "This is general first aid only; a doctor or the poison service decides. I give no doses and no antidotes."
NEVER = "Never mix bleach with anything but cold water: not with vinegar or other acids, ammonia, alcohol, hydrogen peroxide or any other cleaner."
NEXT = (
    "Can I mix bleach and vinegar?",
    "How much bleach for 1 litre at 5000 ppm from 6 % bleach?",
    "Is milkweed dangerous to people or pets?",
)


def answered(
    knowledge, text: str, sources, cautions: Sequence[str], next: Sequence[str], about=None, topic: str = SAFETY
) -> Answer:
    return Answer(
        "answered", topic, text, about=about or {}, sources=cite(knowledge, sources), cautions=tuple(cautions), next=next
    )


EMERGENCY = {"north-america": "911", "europe": "112", "": "your emergency number (112 in Europe, 911 in North America)"}
AID = {
    "shock": "Switch the current off at the plug or the fuse before anyone touches the person or the cage; have every electric shock looked at by a doctor",
    "wound": "Press a clean cloth on the wound and keep pressing; have it seen to if it is deep, goes on bleeding or swells, or has glass or dirt in it",
    "eye": "Rinse the open eye at once with clean lukewarm water for at least 15 minutes, take lenses out, and get medical help; say what it was",
    "mouth": "Rinse the mouth with water and do not make anyone vomit",
    "air": "Go into fresh air now and open windows and doors",
    "skin": "Wash the skin now with plenty of water and soap, and take off what is wet with it",
}
RULES = {
    "shock": "aid-shock",
    "wound": "aid-wound",
    "eye": "aid-eye",
    "mouth": "aid-swallowed",
    "air": "aid-lungs",
    "skin": "aid-skin",
}


def first_aid(hurt, chemicals, request, nursery) -> Answer:
    """The action first, then whom to call. No doses, no antidotes."""
    knowledge = nursery.knowledge
    number = HELP_NUMBERS[naming.common_region(nursery)]
    pet = of_a_pet(request.plain or request.text)
    lines = []
    if "mouth" in hurt:
        call = "a vet or an animal poison service" if pet else number
        lines.append(f"Call {call} now, and say what was swallowed and how much. {AID['mouth']}.")
    lines += [f"{AID[where]}." for where in hurt if where != "mouth"]
    if "air" in hurt:
        lines.append(
            "Leave the bucket closed or outdoors; go back only when the smell is gone. If breathing stays hard, get help at once."
        )
    aid = [rule for where in hurt if (rule := knowledge.rule(RULES[where]))]
    if emergencies.grave(request.plain or request.text) and not pet:
        aid.append(knowledge.rule("aid-emergency"))
        lines.insert(
            "air" in hurt,
            f"Call {EMERGENCY[naming.common_region(nursery)]} now, say what happened and do as they tell you; stay with the person.",
        )
    if "mouth" not in hurt:
        lines.append(f"Then ask {number}; at once if there is pain, trouble with seeing or breathing, or it is a child.")
    cautions, ids = [DEFER], sources_of(aid)
    for named in request.hosts:
        for name in naming.plants_among(named, knowledge)[:6]:
            plant = knowledge.plant(name)
            for hazard in plant.hazards if plant else ():
                if "people" in hazard.who or pet:
                    cautions.append(hazard_sentence(naming.plant_word(name, knowledge), hazard))
                    ids += hazard.sources
    if "skin" in hurt and not chemicals:
        lines.append("Keep the skin out of the sun for two days: some plant saps burn only in light, a day or more later.")
    if chemicals:
        cautions.append(NEVER)
        ids += sources_of([knowledge.rule("never-mix")])
    about = {"host": request.hosts[0].name} if request.hosts else {}
    return answered(
        knowledge,
        "\n".join(lines),
        about=about,
        sources=ids,
        cautions=tuple(dict.fromkeys(cautions)),
        next=NEXT[:2],
    )
