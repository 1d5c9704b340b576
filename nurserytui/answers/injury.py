"""Whether a line tells of somebody hurt, where, and whether that is a person or an animal of the house."""

from __future__ import annotations

import re

from nurserytui.language.cues import ON_PERSON

EYE = re.compile(r"\beyes?\b|\blens(es)?\b|\bblurr\w*|\bvision\b|\beyesight\b|\b(can't|cant|cannot|couldn't|couldnt) see\b")
MOUTH = re.compile(
    r"\b(drank|drunk|drink\w*|swallow(?:s|ed|ing)?|ate|eaten|eat|eating|ingest\w*|mouth\w*|lick\w*|chew\w*|tast(ed?|ing)|suck\w*|nibbl\w*|lapp\w*|laps? up|munch\w*|peck\w*|gulp\w*|swig\w*"
    r"|sip\w*|neck(ed|ing)|slurp\w*|foaming|frothing|drool\w*|slobber\w*|vomit\w*|(throw|threw|thrown)\w* up|puk\w+|be(en|ing) sick|(been at|got (into|at)|had some))\b"
)
GULPED = re.compile(r"\b(drank|swallowed|ingested|gulp(ed)?|swig\w*|mouthfuls?|mouthfull|sipped|necked|slurped)\b")
AIR = re.compile(
    r"\b(fumes?|cough\w*|breath\w*|inhal\w*|chloramines?|gas(es)?|smell\w*|vapou?rs?|chok\w*|wheez\w*|lungs?|dizzy|chest|headaches?|(head|throat) (is |are )?\w*(ache?s?|pound\w*|hurts?|burn\w*)"
    r"|nose|light.?headed|faint\w*|queasy|nause\w+|feel\w* (sick|ill|rough|funny))\b"
)
GASSING = re.compile(
    r"\b(green|yellow) gas\b|\b(gas|fumes?) (is |are |was )?(coming|came|rising|off)\b|\bfizz(es|ing|ed)\b|\bgass(ed|ing)\b|\bsteam\b"
)
SPILT = re.compile(r"\b(spilt|spill\w*|splash\w*|drip\w*|drop\w*|sprayed|tipped)\b")
MEASURED = re.compile(r"\b(splash|dash|drop|drip)(es|s)? of\b(?! \w+ (hit|got|went|landed|flew)\b)")
"""Liquid by the splash that goes into a mix, and on nobody."""
SKIN = re.compile(
    r"\b(skin|hands?|arms?|legs?|face|rash\w*|blister\w*|burn\w*|itch\w*|splash\w*|spill\w*|spilt|fingers?|sting\w*|stung|hairs?|wrists?|neck|thumb|welts?|hives"
    r"|palms?|forearms?|shins?|on fire|ting\w+|prick\w*|swell\w*|swollen|lips?|paws?|sprayed)\b"
)
PEOPLE_HURT = re.compile(
    r"\b(got|get|gets|pupils?|gran(ny|dad|dma|dpa)?|friend|neighbour|neighbor|visitor|lips|forearms|i (think i )?(inhaled|breathed|drank|touched|handled)|splashed|splash|sprayed|rubbed|touched|my (son|daughter|boy|girl|child|kid|baby|toddler|eye|eyes|skin|hands?|face|neck|arms?|legs?|foot|feet|fingers?|thumb|ear|knee)|i (have|am|feel|ate)"
    r"|little (boy|girl)|child|kids?|he|she|me|makes? me|hurts?|pain\w*|swollen|swelling|sore|what do i do|help|toddler|baby|grand(son|daughter|child)|son|daughter"
    r"|wife|husband|mum|dad|nan|lad|lass|someone|somebody|since|after|myself|himself|herself|i (just )?(tasted|licked|nibbled|chewed|sniffed|smelled|smelt|poked|cut)|my \w+ (is|are)|(years?|yrs?) old|itching|blisters?|blistered|welts)\b"
)
PETS = re.compile(
    r"\b(dogs?|cats?|pupp(y|ies)|kittens?|pets?|rabbits?|horses?|sheep|goats?|cows?|livestock|chickens?|hens?|guinea pigs?|birds?|hamsters?|hedgehogs?|tortoises?|budgies?"
    r"|parrots?|ferrets?|gerbils?|bunny|pup|ponys?|donkeys?|labrador|terrier|spaniel|collie|poodle|retriever|tomcat)\b"
)
PERSON = re.compile(
    r"\b(my (son|daughter|boy|girl|child|kid|baby|toddler)|child(ren)?|kids?|boy|girl|baby|toddler|grand(son|daughter|child)|wife|husband"
    r"|(i|he|we)( have|'ve|ve| just)* (ate|eaten|drank|drunk|swallowed|licked|chewed|breathed))\b"
)
HAPPENED = re.compile(
    r"\b(that (my|our|the) \w+ (ate|drank|swallowed|licked|chewed|touched|has eaten)|what do i do|what now|got|splashed|drank|swallowed|my (son|daughter|boy|girl|child|kid|baby|eye|eyes)|just|since|after|himself|herself|my \w+ (is|are)|(years?|yrs?) old|yesterday|last night|this morning)\b"
)
ASKS_ONLY = re.compile(
    r"^(does|do|is|are|can|could|will|would|should|which|how (toxic|poisonous|dangerous|bad|much)|what (happens )?if)\b"
)


POISONING = re.compile(
    r"\bhow (much|many)\b.*\b(make|kills?|hurts?|harms?|poisons?)\b.*\b(him|her|someone|somebody|brother|sister|husband|wife|neighbou?rs?|person|people|an? (man|woman|human|adult))\b"
)
"""Asks for the amount that harms a person."""


I_ATE = re.compile(r"^(?:help\W+)?(?:have |just )*(?:ate|tasted|licked|chewed|nibbled)\b")
"""Begins like the line of somebody who did it."""


def injury(text: str, chemicals: list[str], plant: bool) -> tuple[str, ...]:
    """Where someone was hurt: `shock`, `wound`, `eye`, `mouth`, `air`, `skin`; empty where the line only asks about a risk."""
    if ASKS_ONLY.search(text) and not HAPPENED.search(text):
        return ()
    touched = bool(ON_PERSON.search(text))
    if not touched:
        text = MEASURED.sub(" ", text)
    person = bool(PEOPLE_HURT.search(text) or I_ATE.search(text)) or touched
    found = [kind for kind, words in (("shock", SHOCK), ("wound", WOUND)) if words.search(text)]
    if EYE.search(text) and (chemicals or plant or person):
        found.append("eye")
    if (MOUTH.search(text) and (person or PETS.search(text))) or GULPED.search(text):
        found.append("mouth")
    if (AIR.search(text) and (chemicals or person)) or GASSING.search(text):
        found.append("air")
    if not found and SKIN.search(text) and (person or (chemicals and SPILT.search(text))):
        found.append("skin")
    return tuple(found)


WOUND = re.compile(
    r"\b(?:bleed\w*|cut (?:my|his|her|him|himself|herself|myself)\w*|gash\w*|sliced|stab\w*|poked|jabbed|pierced)\b"
)
SHOCK = re.compile(r"\b(?:electric\w* shock|electrocut\w+|got a shock|gave (?:me|him|her|us) a shock)\b")


def of_a_pet(text: str) -> bool:
    """Whether it is an animal of the house that was hurt."""
    return bool(PETS.search(text)) and not PERSON.search(text)
