"""Questions for what a word of the trade means (`what's an instar`, `frass meaning`, `difference between a chrysalis and a cocoon`)."""

from __future__ import annotations

import re

from nurserytui.language.line import Line
from nurserytui.language.request import Request

LEAD = re.compile(
    r"(?:so|and|ok|okay|sorry|please|hi|hello|er|um|silly question|stupid question|newbie question|quick question|quick one|remind me|tell me|can you tell me|could you tell me|"
    r"can you explain|could you explain|can i ask|i do not know|i dont know|no idea|not sure|my (?:son|daughter|wife|husband|neighbour|pupils?|kids?) asks?) "
)
"""What may be said before such a question, taken off piece by piece."""
_THE = r"(?:(?:an?|the|this|that|term|word|expression|your|by|it called|they call|people call|meant|means) )*"
END = re.compile(
    r" (?:please|pls|exactly|actually|anyway|again|then|here|in (?:butterfl(?:y|ies)|caterpillars?|rearing|moths|this|plain english|simple words)|"
    r"(?:of|for|on) (?:a |an |the )?(?:caterpillars?|butterfl(?:y|ies)|chrysalis|pupa|moths?)|supposed to be|when its at home)$"
)
"""And behind it."""
_MEANS = r"(?:means?|stands? for|refers? to|is|are|was)"
FORMS = tuple(
    re.compile(form)
    for form in (
        rf"what (?:does|do|did) (?:you (?:mean|call|understand) by )?{_THE}(?P<term>.+?)(?: (?:mean|stand for|refer to))",
        rf"what (?:do|did) (?:you|they|people) (?:mean|call|understand) by {_THE}(?P<term>.+?)",
        rf"whats? (?:is |are |was )?(?:meant by |the (?:meaning|definition) of ){_THE}(?P<term>.+?)",
        rf"(?:the )?(?:meaning|definition|explanation) of {_THE}(?P<term>.+?)",
        r"(?P<term>.+?) (?:meaning|definition|means what|what does (?:it|that|this) mean|what is (?:it|that|this)|whats (?:it|that|this))",
        rf"(?:define|explain|describe) {_THE}(?P<term>.+?)",
        rf"what {_THE}(?P<term>.+?) {_MEANS}",
        rf"whats? (?:is |are |was )?{_THE}(?P<term>.+?)",
        rf"whats {_THE}(?P<term>.+?) mean",
        rf"what (?:is|are) {_THE}(?P<term>.+?) (?:good )?for",
        rf"(?:(?:whats|what is|is there a|any) )?(?:the )?difference (?:between|of|in) {_THE}(?P<term>.+?) (?:and|vs|or|from) {_THE}(?P<other>.+?)",
    )
)
LAST_INSTAR = re.compile(r"^(?:\d(?:st|nd|rd|th)|first|second|third|fourth|fifth|last|final) (?=instars?$)")


def asked(line: Line, nursery) -> Request | None:
    """The question for the meaning of one word or two; None where the line asks something else, or of animals that are called so."""
    plain = line.plain.rstrip("?!. ").replace("'", "").replace("\u201c", "").replace("\u201d", "").replace('"', "")
    if not plain or len(line.tokens) > LONGEST:
        return None
    while lead := LEAD.match(plain):
        plain = plain[lead.end() :]
    while end := END.search(plain):
        plain = plain[: end.start()]
    for form in FORMS:
        said = form.fullmatch(plain)
        if said is None:
            continue
        terms = [_known(word, nursery) for word in said.groupdict().values() if word]
        if all(terms) and (not OWN.search(plain) or _of_meaning(plain)) and (not line.of("cohort", "mark") or _of_meaning(plain)):
            ids = tuple(f"term:{term}" for term in dict.fromkeys(terms))
            return Request(line.text, "help", cues=frozenset((*ids, "question")), plain=line.plain, layer="grammar", score=1.0)
    return None


OWN = re.compile(
    r"\b(?:the|all|these|those) (?:cohorts|enclosures|sleeves|broods|larvae|caterpillars|pupae|chrysalises|cocoons|ova|host ?plants?|food ?plants?)\b"
)
"""The keeper's own, of which a list is asked for."""
LONGEST = 16
"""Words of such a line at most."""


def _of_meaning(plain: str) -> bool:
    """Whether a letter that a cohort is called by, too, is surely asked about as a word."""
    return bool(re.search(r"\b(?:mean|means|meaning|meant|stand|stands|definition|define|hang\w*|shape|position)\b", plain))


def _known(word: str, nursery) -> str:
    """The id of the term that a word is, as written or as one of many; "" for none."""
    word = LAST_INSTAR.sub("", word.strip())
    terms = nursery.knowledge.terms
    singular = (
        word,
        word.removesuffix("s"),
        word.removesuffix("es"),
        f"{word.removesuffix('ies')}y",
        word.removesuffix("e"),
        word.replace("-", " "),
    )
    return next((terms[form].id for form in singular if form in terms), "")
