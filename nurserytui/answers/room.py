"""How many larvae an enclosure holds by the house rule, whether more fit, and which enclosures have room."""

from __future__ import annotations

import re

from nurserytui.amounts.factors import convert
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.fullness import Fill, fill, fills, per_larva
from nurserytui.answers.rules import lines_of, pick, sources_of
from nurserytui.answers.selection import known_enclosures, trouble
from nurserytui.answers.wording import OWN_RECORDS, ask, cite, counted, listed, number, percent
from nurserytui.language.boxes import box

TOPIC = "density"
SMALL = re.compile(r"\b(small|tiny|little|young|newly hatched|hatchlings?|first|second|third|1st|2nd|3rd)\b")
LARGE = re.compile(r"\b(large|big|full.?grown|fully grown|huge|fat|last|final|fourth|fifth|4th|5th)\b")
SURVEY = re.compile(
    r"\b(any|which|what|who|all|each|every|most|least|list|where|anywhere|somewhere|is there an?|is there|my (?:cages?|tubs?|jars?|boxes|enclosures?|tents?)|"
    r"the (?:cages|tubs|jars|boxes|enclosures|tents))\b"
)
CROWD = re.compile(
    r"\b(crowd\w*|over ?crowd\w*|over ?full|over ?stocked|full\w*|empt\w+|space|room\w*|cramped|packed|tight|spare|capacity|too many|fit|"
    r"take more|hold more|left over)\b"
)
HAS_ROOM = re.compile(
    r"\b(room\w*|space|spare|empt\w+|take (?:more|another|\d+)|hold (?:more|another|\d+)|fit (?:more|another)|not full|least)\b"
)
MORE = re.compile(r"\b(more|another|extra|additional|add|put|adding|squeeze|take|fit|room for|space for|move|moved)\b")
APART = "Never keep large and small larvae together, nor adults with larvae."
DAMP = "Half as many where it is damp."


# Answers ------------------------------------------------------------------------------------------------------------------


def density(request, nursery) -> Answer:
    """How many larvae a volume or an enclosure holds, how full it is, whether so many more fit, and which enclosures have room; which
    animals may share one."""
    from nurserytui.answers import sharing_asked

    text = request.plain or request.text
    request = own_slots(request, text)
    shared = sharing_asked.told(request, text, nursery)
    if shared is not None:
        return shared
    enclosure = enclosure_meant(request, nursery)
    held, said = litres_said(request, text)
    if not enclosure and held is None and SURVEY.search(text) and CROWD.search(text) and not request.cohorts:
        return survey(request, text, nursery)
    if len(request.enclosures) > 1 and held is None:
        return survey(request, text, nursery)
    if held is None and not enclosure and request.unknown_names and (stopped := trouble(request, nursery, TOPIC)):
        return stopped
    if held is None and not enclosure:
        return by_the_rule(request, text, nursery)
    if held is None and enclosure not in nursery.settings.volumes:
        return no_volume(enclosure, request, nursery)
    return _of_volume(request, text, nursery, enclosure, held, said)


def own_slots(request, text: str):
    """The request without the enclosures and animals that only the lines before it named, where it asks of all there are."""
    if not (SURVEY.search(text) and (CROWD.search(text) or "share" in text or "together" in text or "separat" in text)):
        return request
    if any(_named(place, text) for place in request.enclosures) or any(
        re.search(rf"\b{re.escape(label.casefold())}\b", text) for label in request.cohorts
    ):
        return request
    if re.search(r"\b(it|there|this|that|they|them|these|those)\b", text):
        return request
    return request._replace(enclosures=(), cohorts=(), mark="")


def _named(place: str, text: str) -> bool:
    """Whether the line itself names an enclosure: by its number, or by the word that tells it from others."""
    words = place.casefold().split()
    return re.search(rf"\b{re.escape(words[-1] if words[-1].isdecimal() else words[0])}\b", text) is not None


def _of_volume(request, text: str, nursery, enclosure: str, litres: float | None, said: str) -> Answer:
    knowledge = nursery.knowledge
    own = fill(enclosure, nursery) if enclosure else None
    if litres is None:
        litres, said = own.litres, f"{enclosure} ({own.said})"
    rules = {kind: knowledge.rule(f"density-litre-{kind}") for kind in ("large", "small")}
    fits = {kind: int(litres / rule.value + 1e-9) for kind, rule in rules.items()}
    damp = {kind: int(litres / rule.high + 1e-9) for kind, rule in rules.items()}
    kind = size_meant(request, text)
    other = "small" if kind == "large" else "large"
    holds = (
        f"{said} holds about {counted(fits[kind], f'{kind} larva', f'{kind} larvae')} "
        f"({fits[other]} if they are {other}), half as many where it is damp."
    )
    lines = [holds]
    values = {"capacity": Value(fits[kind], "larvae", damp[kind], fits[kind])}
    if own:
        lines, added = _with_those_inside(request, text, own._replace(litres=litres), holds, kind, rules)
        values.update(added)
    lines += _assumed(text) if not own or box(text) else []
    more = [rules[kind], knowledge.rule("density-one-per-container"), *pick(knowledge, (TOPIC,), text)]
    lines += lines_of(more, 4)
    working = [
        f"{number(litres, 2)} L / {number(rule.value, 2)} L a larva = {fits[name]} {name} larvae." for name, rule in rules.items()
    ]
    if own and own.present:
        parts = [
            f"{count} {name} x {number(rules[name].value, 2)} L"
            for name, count in (("large", own.large), ("small", own.small))
            if count
        ]
        working.append(f"In it now: {' + '.join(parts)} = {number(own.need, 2)} L of {number(litres, 2)} L.")
        working.append("Large are the last two instars, by the instar seen and by how they grew since; prepupae count as large.")
    return Answer(
        "answered",
        TOPIC,
        "\n".join(dict.fromkeys(lines)),
        about={"enclosure": enclosure} if enclosure else {},
        values=values,
        working=tuple(working),
        sources=(*cite(knowledge, sources_of(more[:4])), *((OWN_RECORDS,) if own else ())),
        cautions=(APART,),
        next=("Which cage has room?", "Which animals should not share a cage?")
        if own
        else ("How often should frass be cleaned out?",),
    )


def _with_those_inside(request, text: str, own: Fill, holds: str, kind: str, rules) -> tuple[list[str], dict[str, Value]]:
    """The lines and values about an enclosure with its animals, led by whether as many more fit where that is asked."""
    state = "It is too full: thin it out." if own.too_full else "That is within the rule."
    inside = (
        f"Now in it: {counted(own.present, 'larva', 'larvae')} ({own.large} large, {own.small} small), which need "
        f"{number(own.need, 2)} L: {percent(own.share)} of it. {state}"
    )
    free = {name: own.room(rule.value) for name, rule in rules.items()}
    room = f"Room for {free['large']} more large or {free['small']} more small larvae."
    values = {
        "present": Value(own.present, "larvae"),
        "room": Value(free[kind], "larvae"),
        "full": Value(round(own.share, 3), "fraction"),
    }
    count = request.count if request.count and request.count > 0 else None
    if count and MORE.search(text):
        fit = count <= free[kind]
        need = own.need + count * rules[kind].value
        values["fits"] = Value("yes" if fit else "no")
        lead = "Yes" if fit else "No"
        then = f"then {number(need, 2)} of {number(own.litres, 2)} L would be taken"
        first = f"{lead}: {counted(count, f'more {kind} larva', f'more {kind} larvae')} {'fit' if fit else 'do not fit'} in {own.enclosure}, {then}."
        return [first, inside, room, holds], values
    if re.search(r"\b(full|crowd\w*|over\w*|too many|cramped|tight|packed)\b", text):
        head = f"{own.enclosure} is {percent(own.share)} full: {'too full, ' if own.too_full else ''}"
        first = f"{head}{counted(own.present, 'larva', 'larvae')} ({own.large} large, {own.small} small) need {number(own.need, 2)} of {number(own.litres, 2)} L."
        return [first, room if not own.too_full else f"Take out {_surplus(own, rules)}.", holds], values
    return [holds, inside, *([] if own.too_full else [room])], values


def _surplus(own: Fill, rules) -> str:
    """How many larvae to take out until the rest are within the rule: large ones first."""
    over = own.need - own.litres
    large = min(own.large, -int(-(over - 1e-9) // rules["large"].value)) if own.large else 0
    small = max(-int(-(over - large * rules["large"].value - 1e-9) // rules["small"].value), 0)
    parts = [counted(count, f"{name} larva", f"{name} larvae") for name, count in (("large", large), ("small", small)) if count]
    return listed(parts)


def _assumed(text: str) -> list[str]:
    sides = box(text)
    if sides and sides.assumed:
        return [f"No unit was said: I read {sides.said} as cm; in inches it would be {number(sides.in_inches, 1)} L."]
    return []


def survey(request, text: str, nursery) -> Answer:
    """All enclosures against the rule: which are too full, or which have room."""
    found = [one for one in fills(nursery) if not request.enclosures or one.enclosure in request.enclosures]
    found += [fill(place, nursery) for place in request.enclosures if place not in {one.enclosure for one in found}]
    known = [one for one in found if one.litres]
    lacking = [one for one in found if not one.litres]
    each = per_larva(nursery.knowledge)
    full = [one for one in known if one.too_full]
    roomy = sorted((one for one in known if one.room(each["small"])), key=lambda one: (-one.room(each["large"]), one.enclosure))
    asks_room = bool(HAS_ROOM.search(text)) and not re.search(r"\b(crowd\w*|over\w*|too many|too full)\b", text)
    tell = f" Tell me, for example “{lacking[0].enclosure} holds 10 L”." if lacking else ""
    if not known:
        first = "I cannot say: no enclosure's volume is on record." + tell
        lines = [
            first,
            *(f"- {one.enclosure}: {_inside_words(one)}, which need {number(one.need, 2)} L." for one in lacking if one.present),
        ]
    elif asks_room:
        first = "None of those whose volume is known has room."
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
            first = f"{roomy[0].enclosure} has room for {_room_words(roomy[0], each)}."
        elif roomy:
            told = "; ".join(f"{one.enclosure} for {_room_words(one, each)}" for one in roomy)
            first = f"{listed(one.enclosure for one in roomy)} have room: {told}."
        lines = [first]
    else:
        first = (
            f"Yes: {listed(one.enclosure for one in full)} {'is' if len(full) == 1 else 'are'} too full."
            if full
            else f"No: none of the {len(known)} whose volume is known is too full."
            if len(known) > 1
            else f"No: {known[0].enclosure} is not too full."
        )
        lines = [first]
    ranked = [*roomy, *(one for one in known if one not in roomy)] if asks_room else known
    lines += [f"- {_fill_words(one, each)}" for one in ranked]
    if known and lacking:
        inside = listed(f"{one.enclosure} ({_inside_words(one)})" for one in lacking)
        lines.append(f"Not known, because their volume is not on record: {inside}.{tell}")
    if known:
        lines.append(DAMP)
    items = [_fill_item(one, rank, each) for rank, one in enumerate([*ranked, *lacking], 1)]
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
            f"{one.enclosure}: {one.large} large x {number(each['large'], 2)} L + {one.small} small x {number(each['small'], 2)} L = "
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


def _room_words(one: Fill, each) -> str:
    large, small = one.room(each["large"]), one.room(each["small"])
    return (
        f"{large} more large or {small} more small larvae"
        if large
        else f"{counted(small, 'more small larva', 'more small larvae')}"
    )


def _fill_words(one: Fill, each) -> str:
    taken = f", {percent(one.share)} full" if one.present else ""
    state = "too full" if one.too_full else f"room for {_room_words(one, each)}" if one.room(each["small"]) else "no room left"
    return f"{one.enclosure} ({one.said}): {_inside_words(one)}{taken}; {state}"


def _inside_words(one: Fill) -> str:
    parts = [f"{count} {name}" for name, count in (("large", one.large), ("small", one.small)) if count]
    larvae = f"{listed(parts)} {'larva' if one.present == 1 else 'larvae'}" if parts else "no larvae"
    others = f"{counted(one.others, 'other animal', 'others')}" if one.others else ""
    return larvae + (f" and {others}" if others and parts else f", {others}" if others else "")


def _fill_item(one: Fill, rank: int, each) -> dict:
    item: dict = {"name": one.enclosure, "label": one.enclosure, "rank": rank, "enclosure": one.enclosure, "present": one.present}
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


def no_volume(enclosure: str, request, nursery) -> Answer:
    """Asks for the volume of an enclosure."""
    stopped = trouble(request, nursery, TOPIC) if enclosure not in known_enclosures(nursery) else None
    if stopped:
        return stopped
    known = sorted(nursery.settings.volumes)
    options = [f"How many larvae fit in {name}?" for name in known[:3]] + ["How many large larvae fit a 10 L tub?"]
    own = fill(enclosure, nursery)
    what = f"I do not know the volume of {enclosure}. Tell me it once: “{enclosure} holds 10 L”, or “{enclosure} is 30 x 20 x 15 cm”."
    if own.present:
        what += (
            f" {counted(own.present, 'larva', 'larvae')} {'is' if own.present == 1 else 'are'} in it now ({own.large} large, {own.small} "
            f"small), which need {number(own.need, 2)} L."
        )
    return ask(TOPIC, what, options, about={"enclosure": enclosure})


def by_the_rule(request, text: str, nursery) -> Answer:
    """What a line about room is told where it names no enclosure and no volume: the litres that so many larvae need."""
    knowledge = nursery.knowledge
    rules = {kind: knowledge.rule(f"density-litre-{kind}") for kind in ("large", "small")}
    count = request.count if request.count and request.count > 0 else 1
    need = {kind: count * rule.value for kind, rule in rules.items()}
    larvae = counted(count, "larva", "larvae")
    first = (
        f"By the house rule {larvae} of the last two instars {'needs' if count == 1 else 'need'} {number(need['large'], 2)} L, "
        f"{'a small one' if count == 1 else 'small ones'} {number(need['small'], 2)} L; twice as much where it is damp."
    )
    more = [knowledge.rule("density-one-per-container"), *pick(knowledge, (TOPIC,), text)]
    more = [rule for rule in dict.fromkeys(more) if rule not in rules.values()]
    return Answer(
        "answered",
        TOPIC,
        "\n".join([first, *lines_of(more, 3)]),
        values={
            "capacity": Value(None, "larvae", reason="no volume of an enclosure is told"),
            "volume": Value(round(need["large"] * 1000), "mL", round(need["small"] * 1000), round(need["large"] * 2000)),
        },
        working=tuple(f"{count} {kind} x {number(rule.value, 2)} L = {number(need[kind], 2)} L." for kind, rule in rules.items()),
        sources=cite(knowledge, sources_of([*rules.values(), *more[:3]])),
        cautions=(APART,),
        next=("How many large larvae fit a 10 L tub?", "How often should frass be cleaned out?"),
    )


def size_meant(request, text: str) -> str:
    """`small` where the line says so, else `large`: room is told for what needs most of it."""
    small = (request.instar is not None and 0 < request.instar <= 3) or (bool(SMALL.search(text)) and not LARGE.search(text))
    return "small" if small else "large"


def litres_said(request, text: str) -> tuple[float | None, str]:
    """The volume in the line, as an amount or as its sides, and the words for it."""
    for one in request.amounts:
        if one.kind == "volume":
            litres = convert(one.value, one.unit, "liter")
            return litres, f"An enclosure of {number(litres, 2)} L" + ("" if one.unit == "liter" else f" ({one.said})")
    sides = box(text)
    if sides:
        return sides.litres, f"An enclosure of {number(sides.litres, 2)} L ({sides.said})"
    return None, ""


def enclosure_meant(request, nursery) -> str:
    if request.enclosures:
        return request.enclosures[0]
    if request.cohorts:
        places = {key.enclosure for key, _ in nursery.heads(cohort=request.cohorts[0]) if key.enclosure}
        return places.pop() if len(places) == 1 else ""
    return ""
