"""What a word of the trade means, with its sources; behind it what the topic it belongs to says in general."""

from __future__ import annotations

from nurserytui.answers.answer import Answer
from nurserytui.answers.wording import cite

TERM = "term:"
"""What a cue begins with that names a term."""


def meaning(request, nursery) -> Answer:
    """The terms that the request names, in the order in which the line says them."""
    by_id = {term.id: term for term in nursery.knowledge.terms.values()}
    found = [by_id[cue.removeprefix(TERM)] for cue in request.cues if cue.startswith(TERM)]
    found.sort(key=lambda term: min((at for word in (term.id, *term.words) if (at := request.plain.find(word)) >= 0), default=0))
    text = "\n".join(term.text for term in found)
    sources = tuple(source for term in found for source in term.sources)
    asks = tuple(question for term in found for question in term.asks)
    items = tuple({"name": term.id, "label": term.id.replace("-", " "), "reason": term.text} for term in found)
    told = Answer("answered", "help", text, items=items, sources=cite(nursery.knowledge, sources), next=asks[:3])
    if len(found) != 1 or found[0].topic == "help":
        return told
    from nurserytui.answers import respond

    more = respond(request._replace(topic=found[0].topic, cues=request.cues - {f"{TERM}{found[0].id}"}), nursery)
    if more.status != "answered":
        return told
    return more._replace(text=f"{text}\n{more.text}", sources=tuple(dict.fromkeys((*told.sources, *more.sources))))
