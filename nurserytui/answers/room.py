"""How many larvae an enclosure holds by the house rule, whether more fit, and which enclosures have room."""

from __future__ import annotations

import re

from nurserytui.amounts.factors import convert
from nurserytui.answers import sizes
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.fullness import Fill, fill, fill_of, fills, inside_words, larvae_words, per_larva, room_words
from nurserytui.answers.held_back import held_back, held_places
from nurserytui.answers.rules import lines_of, pick, sources_of
from nurserytui.answers.selection import known_enclosures, trouble
from nurserytui.answers.wording import OWN_RECORDS, ask, cite, counted, listed, number, percent, stage_count
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
MORE = re.compile(r"\b(more|another|extra|additional|add|put|adding|squeeze|take|fit|room|space|move|moved|go|new|keep)\b")
OPEN = re.compile(r"^(?:and |so |but )?(?:how|what|which|when)\b")
"""A line that asks for a number or a name, not for yes or no."""
SIZE_ASKED = re.compile(r"\b(?:how (?:big|large|much (?:space|room)|many lit\w+)|what size)\b.*\b(?:need|needs|for|should)\b")
APART = "Never keep large and small larvae together, nor adults with larvae."


# Answers ------------------------------------------------------------------------------------------------------------------


def density(request, nursery) -> Answer:
    """How many larvae a volume or an enclosure holds, how full it is, whether so many more fit, and which enclosures have room; which
    animals may share one."""
    from nurserytui.answers import room_survey, sharing_asked

    text = request.plain or request.text
    request = own_slots(request, text)
    shared = sharing_asked.told(request, text, nursery)
    if shared is not None:
        return shared
    enclosure = enclosure_meant(request, nursery)
    held, said = litres_said(request, text)
    if not enclosure and held is None and SURVEY.search(text) and CROWD.search(text) and not request.cohorts:
        return room_survey.survey(request, text, nursery)
    if len(request.enclosures) > 1 and held is None:
        return room_survey.survey(request, text, nursery)
    if held is None and not enclosure and request.unknown_names and (stopped := trouble(request, nursery, TOPIC)):
        return stopped
    if held is not None and held <= 0:
        return ask(TOPIC, "What does it hold? 0 L holds nothing.", ("How many large larvae fit a 10 L tub?",))
    if held is None and not enclosure and not (request.cohorts and SIZE_ASKED.search(text)):
        return by_the_rule(request, text, nursery)
    if held is None and request.cohorts and SIZE_ASKED.search(text):
        return size_for(request, nursery)
    if held is None and MORE.search(text) and not OPEN.search(text) and (why := held_back(enclosure, nursery)):
        return put_none_in(enclosure, why, request, text, nursery)
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
        if why := held_back(enclosure, nursery):
            lines.insert(1, f"But put no more animals in {enclosure} now: {'; '.join(why)}.")
    lines += _assumed(text) if not own or box(text) else []
    more = [rules[kind], knowledge.rule("density-one-per-container"), *pick(knowledge, (TOPIC,), text)]
    lines += lines_of(more, 4)
    working = [
        f"{number(litres, 2)} L / {number(rule.value, 2)} L a larva = {fits[name]} {name} larvae." for name, rule in rules.items()
    ]
    if own and own.need:
        parts = [
            f"{count} {name} x {number(rules[kind_].value, 2)} L"
            for name, kind_, count in (
                ("large", "large", own.large),
                ("small", "small", own.small),
                ("prepupae", "large", own.prepupae),
            )
            if count
        ]
        working.append(f"In it now: {' + '.join(parts)} = {number(own.need, 2)} L of {number(litres, 2)} L.")
        working.append(
            "Large are the last two instars, by the instar on record, by their age where none is; a prepupa needs the room of a large larva."
        )
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
    inside = f"Now in it: {larvae_words(own)}, which need {number(own.need, 2)} L: {percent(own.share)} of it. {state}"
    doubt = _doubt(own)
    free = {name: own.room(rule.value) for name, rule in rules.items()}
    room = f"Room for {free['large']} more large or {free['small']} more small larvae."
    values = {
        "present": Value(own.present, "larvae"),
        "room": Value(free[kind], "larvae"),
        "full": Value(round(own.share, 3), "fraction"),
    }
    count = request.count if request.count and request.count > 0 else None
    if count and MORE.search(text):
        eggs = own.eggs * rules["small"].value
        return [*_fits(count, request, own, eggs, kind, rules, values), inside, *doubt, room, holds], values
    if re.search(r"\b(full|crowd\w*|over\w*|too many|cramped|tight|packed)\b", text):
        head = f"{own.enclosure} is {percent(own.share)} full: {'too full, ' if own.too_full else ''}"
        if own.perhaps_too_full:
            head = f"Look first: {own.enclosure} is {percent(own.share)} full by the record, {percent(own.grown / own.litres)} if they have grown: "
        first = f"{head}{larvae_words(own)} need {number(own.need, 2)} of {number(own.litres, 2)} L."
        return [first, *doubt, room if not own.too_full else f"Take out {_surplus(own, rules)}.", holds], values
    return [holds, inside, *doubt, *([] if own.too_full else [room])], values


def _fits(count: int, request, own: Fill, eggs: float, kind: str, rules, values: dict[str, Value]) -> list[str]:
    """Whether so many more fit, in `values` too; of animals that are no larvae what the rule says, and what it does not."""
    stages = set(request.stages) - {"larva"}
    if stages and not request.stages[0] == "larva":
        stage = request.stages[0]
        values["fits"] = Value(None, reason="the house rule is for larvae")
        if stage == "egg":
            later = own.need + eggs + count * rules["small"].value
            fit = later <= own.litres + 1e-9
            lead = "Yes for now" if fit else "No"
            values["fits"] = Value("yes" if fit else "no")
            full_grown = own.need + (own.eggs + count) * rules["large"].value
            return [
                f"{lead}: {counted(count, 'more egg')} {'needs' if count == 1 else 'need'} no room by the rule, but as hatched larvae all in "
                f"{own.enclosure} need {number(later, 2)} of its {number(own.litres, 2)} L, and {number(full_grown, 2)} L once they are large."
            ]
        if stage in ("pupa", "adult"):
            what = stage_count(count, stage)
            return [
                f"I cannot say by litres whether {what} more fit in {own.enclosure}: the house rule is for larvae. Each needs room to hang and "
                "to spread its wings."
            ]
    need = own.need + count * rules[kind].value
    later = max(own.grown, own.need) + eggs + count * rules[kind].value
    fit, surely = need <= own.litres + 1e-9, later <= own.litres + 1e-9
    more = counted(count, f"more {kind} larva", f"more {kind} larvae")
    then = f"then {number(need, 2)} of {number(own.litres, 2)} L would be taken"
    values["fits"] = Value("yes" if surely else "no")
    if fit and not surely:
        why = " and ".join(
            [f"{stage_count(own.eggs, 'egg')} in it will be small larvae soon"] * bool(own.eggs)
            + ["those in it may be large by now"] * own.doubtful
        )
        be = "does" if count == 1 else "do"
        return [
            f"No, not surely: {more} {be} fit by the record, but {why}: then {number(later, 2)} L of {number(own.litres, 2)} L are needed."
        ]
    verb = ("fits" if count == 1 else "fit") if fit else ("does not fit" if count == 1 else "do not fit")
    return [f"{'Yes' if fit else 'No'}: {more} {verb} in {own.enclosure}, {then}."]


def _doubt(own: Fill) -> list[str]:
    """What the record leaves open of the size of those inside."""
    if not own.doubtful:
        return []
    of = f", {percent(own.grown / own.litres)} of it" if own.litres else ""
    return [
        f"Look at their size: by the instar on record they are small, by the days since some may be large; then all need {number(own.grown, 2)} L{of}."
    ]


def put_none_in(enclosure: str, why: list[str], request, text: str, nursery) -> Answer:
    """No, whatever room there is: what may be about in an enclosure, or who in it is on watch."""
    own, each = fill(enclosure, nursery), per_larva(nursery.knowledge)
    lines = [f"No: put no more animals in {enclosure} now: {why[0]}.", *(f"- Also: {reason}." for reason in why[1:])]
    room = f"By litres alone it has room for {room_words(own, each)}." if own.litres and own.room(each["small"]) else ""
    lines += [f"It holds {inside_words(own)}.", room]
    others = [
        one for one in fills(nursery) if one.enclosure not in held_places(nursery) and one.litres and one.room(each["small"])
    ]
    if others:
        lines.append(f"Room elsewhere: {'; '.join(f'{one.enclosure} for {room_words(one, each)}' for one in others[:3])}.")
    rule = nursery.knowledge.rule("suspect-apart")
    capacity = (
        Value(int(own.litres / each["large"] + 1e-9), "larvae")
        if own.litres
        else Value(None, "larvae", reason=f"the volume of {enclosure} is not on record")
    )
    return Answer(
        "answered",
        TOPIC,
        "\n".join(line for line in lines if line),
        about={"enclosure": enclosure},
        values={"fits": Value("no"), "capacity": capacity, "present": Value(own.present, "larvae")},
        working=(rule.text,) if rule else (),
        sources=(*cite(nursery.knowledge, sources_of([rule] if rule else [])), OWN_RECORDS),
        cautions=(APART,),
        next=(f"Is {enclosure} safe again?", "Which cage has room?"),
    )


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


def size_for(request, nursery) -> Answer:
    """The litres that the larvae of a cohort need by the house rule: now, and when all are large."""
    groups = [pair for label in request.cohorts for pair in nursery.heads(cohort=label)]
    each = per_larva(nursery.knowledge)
    own = fill_of("", groups, sizes.larvae(groups, nursery), nursery)
    later = (own.present + own.prepupae + own.eggs) * each["large"]
    whose = listed(request.cohorts)
    if not later:
        first = f"By the house rule {whose} {'needs' if len(request.cohorts) == 1 else 'need'} no litres: {inside_words(own)}; the rule is for larvae."
    else:
        doubt = f", {number(own.grown, 2)} L if those on record as small are large by now" if own.doubtful else ""
        first = (
            f"{number(later, 2)} L by the house rule for {whose}, once all are large; {number(own.need, 2)} L as they are on record{doubt}: "
            f"{inside_words(own)}."
        )
    rules = [nursery.knowledge.rule(f"density-litre-{kind}") for kind in ("large", "small")]
    return Answer(
        "answered",
        TOPIC,
        "\n".join([first, "Twice as much where it is damp.", *lines_of(rules)]),
        about={"cohort": request.cohorts[0]},
        values={
            "capacity": Value(None, "larvae", reason="no volume of an enclosure is told"),
            "volume": Value(round(later * 1000), "mL", round(own.need * 1000), round(later * 2000)),
            "present": Value(own.present, "larvae"),
        },
        working=(f"{own.present + own.prepupae + own.eggs} x {number(each['large'], 2)} L = {number(later, 2)} L.",),
        sources=(*cite(nursery.knowledge, sources_of(rules)), OWN_RECORDS),
        cautions=(APART,),
        next=("Which cage has room?",),
    )


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
        what += f" In it now: {larvae_words(own)}, which need {number(own.need, 2)} L."
    values = {"capacity": Value(None, "larvae", reason="the volume is not known"), "present": Value(own.present, "larvae")}
    return ask(TOPIC, what, options, about={"enclosure": enclosure}, values=values)


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
