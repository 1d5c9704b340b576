"""What a line about a mix asks besides its amounts: how long it keeps or must act, what it means, and what is no mix for a nursery."""

import re

KEEPING = re.compile(
    r"\b(keeps?|kept|stays?|lasts?|last|store[ds]?|remains?|usable|good|potent|effective|good for|still good|go(es)? off|expires?|shelf|make it fresh|old|reuse|re-use|tomorrow|next day|overnight)\b"
)
SOAKING = re.compile(r"\b(soak\w*|contact|leave|left|sit|stand|wipe\w*|wet|dip\w*|submerge\w*|steep\w*|disinfect\w*|act)\b")
STILL_GOOD = re.compile(
    r"\bstill (good|ok|okay|fine|work\w*|strong|active|usable|safe)\b|\b(go|goes|gone|going) (off|stale|bad|weak)\b|\b(any (use|good)|still|bin it|chuck it|throw it|tip it)\b.*\b(still|bin|chuck|throw|tip|use|good|strong)\b|\b(lose|loses|lost) (its )?strength\b"
    r"|\b(use|reuse|keep|store|save)\b.*\b(yesterday|last (week|night|month)|days?|weeks?|leftover|left over|old|overnight)\b.*\b(mix\w*|bleach|solution|dilut\w*)\b"
    r"|\b(use|reuse|keep|store|save)\b.*\b(mix\w*|bleach|solution|dilut\w*)\b.*\b(till?|until|tomorrow|next (day|week|time|month)|overnight|days?|weeks?)\b"
    r"|\b(mix\w*|bleach|solution|dilut\w*)\b.*\b(any (good|use)|(re-?)?use (it|this|that|the rest))\b.*\b(on|next|tomorrow|later|after|days?|weeks?)\b"
    r"|\b(mix\w*|bleach|solution|dilut\w*)\b.*\b(keep|store|last|hold|stay good|do)\b.*\b(till?|until|tomorrow|next (day|week|time|month)|overnight|over the weekend|all week|a (day|week|month))\b"
    r"|\b(mak(e|ing)|mix(ing)?|made|mixed)( (it|one|some|that|them))?( up)? (a )?(fresh|afresh|anew|new)\b.*|\bbefore\b.*\b(mix\w*|make)\b.*\b(new|fresh|again)\b"
    r"|\b(shelf life|use by|best before|expiry|expires?|life of)\b"
)
NEVER_WITH = re.compile(
    r"\b(never|not|don't|dont|must not|mustn't|should not|shouldn't|avoid\w*)\b.*\bmix\w*|\bmix\w*\b.*\b(never|not)\b|\bwhat .*\bmix\w* with\b"
)
MEANING = re.compile(r"\b(means?|meaning|meant|stands? for|same as|difference|one (and|plus) (nine|ten|\d+))\b")
BACK = re.compile(
    r"\brins(e|es|ed|ing)\b|\b(after|once|since)\b.*\b(bleach\w*|disinfect\w*|steril\w*)|\b(bleached|disinfected|steril\w+ed)\b.*\b(back|again|return|safe|when)\b|\bsmells? (still )?of (the )?(bleach|chlorine)"
)
TIME = re.compile(r"\b(how long|how many (minutes|hours|days)|time|until when|when)\b")


OTHER_LIQUIDS = re.compile(
    r"\b(oil|two[- ]stroke|2[- ]stroke|chain ?saw|strimmer|mower|moped|petrol|diesel|fuel|paint|cement|concrete|mortar|sand|squash|cordial|juice|gin|vodka|rum|whisk(e)?y|wine|beer|lager|cider|cola|milk|antifreeze|coolant"
    r"|screen ?wash|fertili[sz]er|plant food|weed ?killer|herbicide|shampoo|formula|coffee|tea|syrup|glue|resin|hardener|epoxy|varnish|flour|sugar|salt|honey|brine)\b"
)
OTHER_USES = re.compile(
    r"\b(hair|roots|blonde|jeans|shirts?|laundry|washing machine|teeth|hot tub|jacuzzi|swimming|paddling pool|pool shock|(for|in|of) (the|my|a|our) pool|litre pool|well water"
    r"|drinking|pond|aquarium|fish tank|cistern)\b"
    r"|^(i |we |have |just )*(watered|fed|fertili[sz]ed|drenched)\b(?!.*\b(bleach|stock|hypo\w*)\b)"
)
FOR_ADULTS = re.compile(r"\b(honey|sugar|nectar|syrup|fructose|sucrose)\b")
"""What butterflies that wait for their release are fed."""
MOST = 500_000.0
"""Millilitres from which a mix is for no nursery."""
PRODUCT = re.compile(r"\b(ble+a?ch\w*|hypochlorite|chlorine|disinfect\w*|steril\w*|stock)\b")
