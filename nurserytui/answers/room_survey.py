"""All enclosures against the house rule: which are too full, and which have room that may be used."""

from __future__ import annotations

import re

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.fullness import Fill, fill, fills, inside_words, per_larva, room_words
from nurserytui.answers.held_back import held_places
from nurserytui.answers.room import APART, OPEN, TOPIC, size_meant
from nurserytui.answers.rules import sources_of
from nurserytui.answers.wording import OWN_RECORDS, cite, listed, number, percent

HAS_ROOM = re.compile(
    r"\b(room\w*|space|spare|empt\w+|take (?:more|another|\d+)|hold (?:more|another|\d+)|fit (?:more|another)|not full|least)\b"
)
DAMP = "Half as many where it is damp."


def survey(request, text: str, nursery) -> Answer:
    """All enclosures against the rule: which are too full, or which have room."""
    found = [one for one in fills(nursery) if not request.enclosures or one.enclosure in request.enclosures]
    found += [fill(place, nursery) for place in request.enclosures if place not in {one.enclosure for one in found}]
    known = [one for one in found if one.litres]
    lacking = [one for one in found if not one.litres]
    each = per_larva(nursery.knowledge)
    full = [one for one in known if one.too_full]
    barred = {place: why for place, why in held_places(nursery).items() if place in {one.enclosure for one in found}}
    roomy = [one for one in known if one.room(each["small"]) and one.enclosure not in barred]
    roomy.sort(key=lambda one: (-one.room(each["large"]), one.enclosure))
    asks_room = bool(HAS_ROOM.search(text)) and not re.search(r"\b(crowd\w*|over\w*|too many|too full)\b", text)
    tell = f" Tell me, for example “{lacking[0].enclosure} holds 10 L”." if lacking else ""
    if not known:
        first = "I cannot say: no enclosure's volume is on record." + tell
        lines = [
            first,
            *(f"- {one.enclosure}: {inside_words(one)}, which need {number(one.need, 2)} L." for one in lacking if one.need),
        ]
    elif asks_room:
        first = (
            "None of those whose volume is known has room that may be used now."
            if barred
            else "None of those whose volume is known has room."
        )
        count = request.count if request.count and request.count > 1 else 0
        if count:
            kind = size_meant(request, text)
            fitting = [one for one in roomy if one.room(each[kind]) >= count]
            where = listed(one.enclosure for one in fitting)
            first = (
                f"Yes: {where} {'has' if len(fitting) == 1 else 'have'} room for {count} more {kind} larvae."
                if fitting
                else f"No: none of those whose volume is known has room for {count} more {kind} larvae."
            )
        elif len(roomy) == 1:
            first = f"{roomy[0].enclosure} has room for {room_words(roomy[0], each)}."
        elif roomy:
            told = "; ".join(f"{one.enclosure} for {room_words(one, each)}" for one in roomy)
            first = f"{listed(one.enclosure for one in roomy)} have room: {told}."
        lines = [first]
    else:
        first = _fullest(full, known, OPEN.search(text) is None)
        lines = [first]
    ranked = [*roomy, *(one for one in known if one not in roomy)] if asks_room else known
    lines += [f"- {_fill_words(one, each, barred.get(one.enclosure, []))}" for one in ranked]
    if asks_room and (rest := [place for place in barred if place not in {one.enclosure for one in ranked}]):
        lines.append("Put none in these either: " + "; ".join(f"{place} ({barred[place][0]})" for place in rest) + ".")
    if known and lacking:
        inside = listed(f"{one.enclosure} ({inside_words(one)})" for one in lacking)
        lines.append(f"Not known, because their volume is not on record: {inside}.{tell}")
    if known:
        lines.append(DAMP)
    items = [_fill_item(one, rank, each, barred.get(one.enclosure, ())) for rank, one in enumerate([*ranked, *lacking], 1)]
    rules = [nursery.knowledge.rule(f"density-litre-{kind}") for kind in ("large", "small")]
    return Answer(
        "answered" if known else "unknown",
        TOPIC,
        "\n".join(lines),
        values={
            "capacity": Value(sum(int(one.litres / each["large"] + 1e-9) for one in known), "larvae")
            if known
            else Value(None, "larvae", reason="no volume is on record"),
            "present": Value(sum(one.present for one in found), "larvae"),
            "too_full": Value(len(full), "enclosures"),
        },
        items=tuple(items),
        working=tuple(
            f"{one.enclosure}: {one.large} large and {one.prepupae} prepupae x {number(each['large'], 2)} L + {one.small} small x {number(each['small'], 2)} L = "
            f"{number(one.need, 2)} L of {number(one.litres, 2)} L."
            for one in known
        ),
        sources=(*cite(nursery.knowledge, sources_of(rules)), OWN_RECORDS),
        cautions=(APART,),
        next=tuple(
            [f"{one.enclosure} holds 10 L" for one in lacking[:1]]
            + ["Which animals should not share a cage?", "what is in it"][:1]
        ),
    )


def _fullest(full: list[Fill], known: list[Fill], yes_or_no: bool) -> str:
    """The first line on how full they are: with yes or no only where that was asked."""
    doubtful = [one for one in known if one.perhaps_too_full]
    if full:
        first = f"{listed(one.enclosure for one in full)} {'is' if len(full) == 1 else 'are'} too full."
        return f"Yes: {first}" if yes_or_no else first
    if doubtful:
        names = listed(one.enclosure for one in doubtful)
        return f"Look first at {names}: by the record none is too full, but larvae there may be large by now, and then it is."
    if len(known) > 1:
        first = f"none of the {len(known)} whose volume is known is too full."
    else:
        first = f"{known[0].enclosure} is not too full."
    return f"No: {first}" if yes_or_no else first[:1].upper() + first[1:] if len(known) > 1 else first


def _fill_words(one: Fill, each, why: list[str] = ()) -> str:
    taken = f", {percent(one.share)} full" if one.need else ""
    if one.perhaps_too_full:
        taken += f" by the record, {percent(one.grown / one.litres)} if they are large by now"
    state = "too full" if one.too_full else f"room for {room_words(one, each)}" if one.room(each["small"]) else "no room left"
    if why:
        state = f"put no more in: {'; '.join(why)}"
    return f"{one.enclosure} ({one.said}): {inside_words(one)}{taken}; {state}"


def _fill_item(one: Fill, rank: int, each, why: list[str] = ()) -> dict:
    item: dict = {"name": one.enclosure, "label": one.enclosure, "rank": rank, "enclosure": one.enclosure, "present": one.present}
    if why:
        item["held_back"] = "; ".join(why)
    if one.litres is None:
        return item | {"reason": "its volume is not on record", "record": f"{one.enclosure} holds 10 L"}
    return item | {
        "volume": round(one.litres * 1000),
        "capacity": int(one.litres / each["large"] + 1e-9),
        "full": round(one.share, 3),
        "room_large": one.room(each["large"]),
        "room_small": one.room(each["small"]),
        "too_full": "yes" if one.too_full else "no",
    }
