"""Somebody hurt, whatever the cause and however few the words: what no signal for chemicals or plants can know of (`he cant breathe`)."""

from __future__ import annotations

import re

from nurserytui.language import intents, other_matters
from nurserytui.language.cues import Cues
from nurserytui.language.line import Line
from nurserytui.language.phrases import Phrases
from nurserytui.language.weighing import Weighed

KIN = (
    r"(?:child(?:ren)?|kids?|kiddo|boys?|girls?|son|sons|daughters?|toddlers?|bab(?:y|ies)|grand(?:son|daughter|child|ma|pa)s?|nephew|niece|pupils?|students?|wife|husband|partner|"
    r"mum|mom|mother|dad|father|gran|granny|nan|grandad|brother|sister|friend|neighbou?r|visitor|helper|volunteer|someone|somebody|lad|lass|bairn|wee one|little one|\d+ (?:year|yr) old)"
)
OF_A_PERSON = re.compile(
    r"\b(?:throat|airway) (?:is |was |feels? |keeps )?(?:closing|swelling|swollen|tight\w*|shut)|\b(?:my |his |her )?chest (?:is |feels )?(?:tight|pains?|hurts|burn\w*)|\btight chest\b"
    r"|\b(?:face|lips?|tongue) (?:is |are |was |were |has |have |all |both )*(?:swell\w*|swollen|blown up)\b|\banaphyla\w+|\ballergic (?:reaction|shock)\b"
    r"|\bunconscious\b|\b(?:electric shock|electrocut\w+|got a shock|gave (?:me|him|her|us) a shock)\b|^(?:help )?fainted\b"
    rf"|\b(?:i|he|she|{KIN}) (?:just |has |have |had |then |nearly |almost |suddenly )*(?:fainted|collapsed|passed out|blacked out|is fitting|having a (?:fit|seizure))\b"
)
"""What calls for help whoever caused it, and can be said of people alone."""
OF_ANYBODY = re.compile(
    r"\b(?:can't|cant|cannot|can not|can hardly|struggling to|not) breath\w*|\b(?:can't|cant|cannot) (?:get (?:my|his|her) breath|stop (?:coughing|vomiting|shaking))"
    r"|\bbleeding (?:a lot|badly|heavily|loads|everywhere|and (?:it )?won'?t stop)\b|\bwon'?t stop bleeding\b"
)
"""The same, where it is not an animal of the nursery of which it is said."""
ANIMALS = re.compile(
    r"\b(?:larva\w*|caterpillars?|cats?|pupa\w*|chrysalis\w*|cocoons?|butterfl\w+|moths?|eggs?|females?|males?|wings?|things|ones?|it|they|them|cage|tub)\b"
)
SOMEBODY = re.compile(rf"\b(?:i|i'm|im|i've|ive|me|myself|he|she|him|her|{KIN})\b")
HURT = re.compile(
    rf"\b(?:stung|bit|bitten|poked|stabbed|jabbed|cut|scratched|burnt|burned|scalded|pricked|gashed|sliced) (?:me|myself|him|himself|her|herself|us|my|our|the|a|by)?\b ?(?:my |our |the |a )?{KIN}\b"
    r"|\b(?:stung|bit|poked|stabbed|jabbed|cut|burnt|burned|scalded|scorched|pricked|gashed|sliced) (?:me|myself|himself|herself|us|my (?:finger|hand|arm|leg|foot|thumb|wrist|neck|face|ear|lip|knee|toe)|(?:his|her) (?:finger|hand|arm|leg|foot|thumb|neck|face|ear|lip|knee|toe))\b(?! (?:some|an?|more|another)\b)"
    rf"|\b(?:i|he|she|we|{KIN}) (?:got|was|were|have been|has been|been|just got) (?:stung|bitten|poked|cut|burnt|burned|scalded|gassed)\b|\bgassed (?:myself|himself|herself|us)\b|\b(?:faceful|lungful|noseful) of\b"
)
"""Somebody cut, stung, burnt or gassed."""
ON_SKIN = re.compile(
    r"\b(?:hives|welts?|rash(?:es)?|blisters?) (?:all over|everywhere|up|on|down|over)\b(?! (?:the |its |their )?(?:larva|caterpillar|leaf|leaves|pupa|cat|cats)\b)"
    r"|\b(?:milk|sap|juice|latex|hairs?|spines?|bristles?)\b.*\b(?:on|in|into|over) (?:my|his|her|our|their) (?:face|eyes?|mouth|skin|hands?|arms?|neck|lips?)\b"
)
BARE_HANDS = re.compile(
    r"\b(?:monkshood|aconite|wolfsbane|hogweed|hemlock|spurge|euphorbia|oleander|laburnum|rue)\b.*\b(?:bare (?:hands?|arms?)|without gloves|handled|touched)\b"
    r"|\b(?:processionary|brown[- ]?tails?)\b.*\b(?:nests?|hairs?|rash|hedge|garden|tree)\b"
)
"""Plants and nests that hurt whoever touches them."""
MOUTHED = re.compile(
    rf"\b(?:{KIN}|dog|dogs|puppy|pup|kitten|house cat|(?:my|our|the neighbou?rs?'?s?|next doors?'?s?) cat)\b(?! (?:caterpillars?|cats?|larvae?|bears|moths?))(?:'s| is| was| has| have| been| keeps| just| might have| could have| may have)*"
    r" (?:mouthing|suck\w*|chew\w*|lick\w*|gnaw\w*|nibbl\w*|eat(?:s|ing|en)?|ate|swallow\w*|drank|drink\w*|drunk|got at|been at|got into|crunch\w*)\b (?:(?:on|at|up|down|some|the|a|an|my|our|one|of|out|bit|from|all) )*"
    r"(?:cocoons?|chrysalis\w*|pupae?|caterpillars?|larvae?|monarchs?|butterfl\w+|moths?|eggs?|frass|plants?|leaf|leaves|berr\w+|cuttings?|sponge|bleach|mix|bucket|tray|vase|wipes?|spray)"
)
POISONOUS = r"(?:yew|lil(?:y|ies)|laburnum|monkshood|aconite|daffodils?|foxgloves?|laurel|spurge|euphorbia|oleander|ragwort|hemlock|ivy|rhododendron|azalea|privet|box|deadly nightshade|rue|milkweed)"
"""Plants of gardens that are known to poison animals of the house, whether they feed larvae or not."""
NO_HOST = "yew|lil(?:y|ies)|laburnum|monkshood|aconite|daffodils?|tulips?|spurge|euphorbia|rhododendron|azalea"
"""Those of them that no caterpillar of a keeper eats: a cat there is no caterpillar."""
AT_POISON = re.compile(
    rf"\b(?:dog|dogs|puppy|pup|kitten|horse|pony|goat|goats|sheep|cows?|rabbit|hens?|chickens?|ducks?|tortoise|parrot|budgie|donkey|hedgehog|guinea pig)s?\b.{{0,20}}"
    rf"\b(?:got at|got into|flew into|fell into|been at|at|nibbl\w+|chew\w*|ate|eaten|eating|pecked(?: at)?|licked|swallowed|had)\b(?: \w+){{0,3}} (?:{POISONOUS}|bleach|bucket|disinfectant|slug pellets|rat poison)\b"
    rf"|\b(?:cat|cats|moggy|kitty)\b.{{0,20}}\b(?:nibbl\w+|chew\w*|ate|eaten|eating|licked|at)\b(?: \w+){{0,2}} (?:{NO_HOST})\b"
)
DRANK = re.compile(
    rf"\b(?:{KIN}|cats?|dogs?|puppy|pup|kitten|rabbit|hens?|parrot|moggy|kitty)\b.{{0,60}}?\b(?:drink(?:s|ing)?|drank|drunk|swig\w*|sip(?:s|ped|ping)?|lap(?:s|ped|ping)|gulp\w*|lick\w*|slurp\w*|taste[ds]?)\b.{{0,60}}?"
    r"\b(?:bleach|alcohol|disinfectant|cleaner|peroxide|detergent|bucket|spray bottle|mop water|vase water|antifreeze)\b"
)
"""What nobody drinks from but by mistake: no caterpillar does, so that a cat there is a cat."""
CHEMICALS = re.compile(
    r"\b(?:cyanide|ethyl acetate|formal(?:in|dehyde)|naphthalene|moth ?balls?|killing jar)\b.*\b(?:smell\w*|smelt|breathed|inhaled|sniffed|spilt|spilled|touched|swallowed|fumes?|woozy|dizzy|sick|headache)\b"
    r"|\b(?:smelled|smelt|breathed(?: in)?|inhaled|sniffed|spilt|spilled|swallowed)\b.*\b(?:cyanide|ethyl acetate|formal(?:in|dehyde)|naphthalene|moth ?balls?|killing jar)\b"
)
OURS = frozenset("COHORT MARK".split())
ASKED = 9.0


def alarm(line: Line, found: Cues, tables: Phrases, weighed: Weighed | None) -> intents.Guess:
    """A danger to people or pets or a question of law, by signals, by examples, or by what says that somebody is hurt."""
    guess = intents.alarm(found, tables, weighed)
    if guess.layer == "weighed" and other_matters.of_none(line, found, guess.topic):
        return intents.NOTHING
    if guess.topic == "safety" or not told(line, found):
        return guess
    return intents.Guess("safety", ASKED, "grammar")


def told(line: Line, found: Cues) -> bool:
    """Whether the line tells of somebody hurt; the keeper's own animals that are named are not somebody."""
    if not OURS.isdisjoint(found.names) and not SOMEBODY.search(line.plain):
        return False
    if grave(line.plain):
        return True
    return OURS.isdisjoint(found.names) and any(
        kind.search(line.plain) for kind in (HURT, ON_SKIN, BARE_HANDS, MOUTHED, DRANK, AT_POISON, CHEMICALS)
    )


def grave(plain: str) -> bool:
    """Whether help must be called first of all."""
    if OF_A_PERSON.search(plain) and not re.search(r"\bwings?\b", plain):
        return True
    return bool(OF_ANYBODY.search(plain)) and (bool(SOMEBODY.search(plain)) or not ANIMALS.search(plain))
