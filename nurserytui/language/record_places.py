"""Where the animals of a clause were and where they went."""

from __future__ import annotations

from nurserytui.language.draft import Draft
from nurserytui.language.record_words import CONTAINERS

JOINING = ("joined", "joins", "join")
"""Words in front of the place where others stand already."""


def places_of(items, verb_what: str) -> dict:
    """`enclosure` and `to` of a clause, by the preposition before each."""
    found: dict[str, str] = {}
    enclosures = [(at, item) for at, item in enumerate(items) if item.word == "ENCLOSURE"]
    for at, item in enclosures:
        back = [word.word for word in items[max(0, at - 4) : at]]
        prep = next(
            (
                word
                for word in reversed(back)
                if word in ("from", "out", "off", "of", "to", "into", "onto", "in", "inside", "at", "on", "with", "for", *JOINING)
            ),
            "",
        )
        if prep in JOINING:
            prep = "to"
        if prep == "of" and "out" in back:
            prep = "from"
        if verb_what == "moved" and prep == "with" and "in" in back:
            prep = "in"  # `put in with the tub 1 ones`
        if verb_what in ("moved", "split") and prep in ("to", "into", "onto", "in", "inside", "on") and "to" not in found:
            if verb_what == "split" or prep in ("in", "inside", "on") and _moves_on(items, at):
                found.setdefault("enclosure", item.span.value)
            else:
                found["to"] = item.span.value
        else:
            found.setdefault("enclosure", item.span.value)
    return found


def new_place(items) -> str:
    """A piece that is nothing but the name of a place that the records do not have (`grey bin`); "" for any other."""
    plain = [item for item in items if item.word not in ("the", "my", "our", "a", "in", "to")]
    named = 1 < len(plain) < 4 and plain[-1].word in CONTAINERS and not any(item.span for item in plain)
    return " ".join(item.raw for item in plain) if named else ""


def sources(items) -> list[str]:
    """The enclosures of `from tub 1 and tub 3`, in front of where they all went."""
    words = [item.word for item in items]
    if "from" not in words:
        return []
    behind = items[words.index("from") + 1 :]
    turn = next((at for at, item in enumerate(behind) if item.word in ("to", "into")), 0)
    return [item.span.value for item in behind[:turn] if item.word == "ENCLOSURE"]


def parted_to(draft: Draft, items, label: int) -> list[Draft]:
    """A split, and the move of what it parts where a place is told for that too (`split 3 of B off as B2 into tub 4`); without a label
    only the move. `label` is the place behind which `in` tells where the new cohort is."""
    goal = ""
    for at, item in enumerate(items):
        before = [one.word for one in items[max(0, at - 3) : at] if one.word not in ("the", "a", "new", "my")]
        inside = before[-1:] in (["in"], ["inside"], ["COHORT"]) and at > label
        if item.word == "ENCLOSURE" and (before[-1:] in (["to"], ["into"]) or inside):
            goal = item.span.value
    if not goal:
        return [draft]
    source = draft.enclosure if draft.enclosure != goal else ""
    if not draft.to:
        return [draft._replace(what="moved", enclosure=source, to=goal)]
    return [draft._replace(enclosure=source), Draft("moved", cohort=draft.to, to=goal, when=draft.when, lead=draft.lead)]


def in_each_place(draft: Draft, items) -> list[Draft]:
    """The draft, once for each of the places that stand side by side in its clause (`one died in each of tubs 1 and 3`)."""
    places = [item.span.value if item.word == "ENCLOSURE" else "" for item in items if item.word not in ("the", "my", "and")]
    if draft.what in ("laid", "found", "split") or draft.enclosure not in places or draft.what == "moved" and not draft.to:
        return [draft]
    first = last = places.index(draft.enclosure)
    while last + 1 < len(places) and places[last + 1] not in ("", draft.to, *places[first : last + 1]):
        last += 1
    each = bool({"each", "apiece"} & {item.word for item in items})
    return told_of(draft, places[first : last + 1], each)


def told_of(draft: Draft, places: list[str], each: bool) -> list[Draft]:
    """The draft told of several places; where one number holds for them together, nobody knows how many were in which."""
    if len(places) > 1 and isinstance(draft.count, int) and not each:
        return [draft._replace(enclosure="")]
    return [draft._replace(enclosure=place) for place in places]


def _moves_on(items, at: int) -> bool:
    """True where `to` or `into` follows: then this enclosure is where they come from."""
    behind = [item.word for item in items[at + 1 :]]
    if behind[:1] in (["is"], ["are"], ["live"], ["lives"], ["now"]) and "ENCLOSURE" in behind:
        return True  # `all in the cage are in the tent now`
    if behind[:1] == ["back"] and "ENCLOSURE" in behind:
        return True  # `put the two in tub 5 back in tub 1`
    return not {"to", "into", "onto", *JOINING}.isdisjoint(behind)
