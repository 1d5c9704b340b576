"""Whether animals may share an enclosure, as it is asked: of two lots by name, of stages and sizes in general, or of all there are."""

from __future__ import annotations

import re

from nurserytui.answers import fullness, naming, room, sharing, sizes
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.rules import lines_of, sources_of
from nurserytui.answers.selection import join, present_label, standing_words, trouble
from nurserytui.answers.wording import OWN_RECORDS, ask, capital, cite, counted, day_words, listed, number

TOPIC = "density"
_CAGE = r"(?:cage|tub|jar|box|tent|enclosure|sleeve|container|pot|place|tank|crate|bin|bucket)"
TOGETHER = re.compile(
    rf"\b(with|together|share|shares|sharing|join|joined|merge|merged|merging|combine|combined|mix|mixed|mixing|same {_CAGE}|alongside|"
    rf"in beside|one {_CAGE}|cohouse|co-house|company|both|pool|pooled)\b"
)
INTO = re.compile(r"\b(?:put|move|go|add|house|keep|place|transfer|bring|shift|let|tip|stay|live)\b")
APART = re.compile(
    r"\b(?:should|must|may|can|ought)(?:n'?t| ?not)\b.*\b(?:share|sharing|together|same|each other|with)\b"
    r"|\b(?:separat\w+|split up|apart|incompatible|clash\w*|wrong company|bad company|not get on|don'?t get on)\b"
)
LISTING = re.compile(r"\b(which|what|who|whom|any|anyone|anybody|anything|all|list|animals?|everyone|need\w*|should i)\b")
AWAY = re.compile(r"\b(?:away from|apart|separat\w+|taken out|removed?|out of the (?:cage|tub|box|jar))\b")
"""Words of a line that asks whether to part them, so that a yes parts them."""
SIZES = re.compile(
    r"\b(?:big|bigger|large|larger|fat|old|older)\b.*\b(?:small|smaller|little|tiny|young|younger)\b|\b(?:small|smaller|little|tiny|young|younger)\b.*"
    r"\b(?:big|bigger|large|larger|fat|old|older)\b|\b(?:different|mixed|several|two) (?:sizes|ages|instars)\b"
)
SPECIES = re.compile(r"\b(?:different|mixed|several|two|more than one|other) (?:species|kinds|sorts)\b")
ROOMY = re.compile(r"\b(space\w*|room\w*|cramped|crowd\w*|crammed|litres?|liters?|capacity|headroom|hold|fit)\b")
PAIRS = (
    (("adult", "larva"), "no", "adults-apart", "No: adults do not share a cage with larvae or with what these eat."),
    (("adult", "egg"), "no", "adults-apart", "No: adults do not share a cage with eggs or the leaf that larvae will eat."),
    (("egg", "larva"), "no", "eggs-from-larvae", "Better not: larvae eat the leaf, and the eggs that are on it."),
    (("larva", "pupa"), "yes", "pupae-with-larvae", "Yes, for a while: until the first adults are due."),
)
"""Stages that may be asked about, the verdict, the rule that tells it, and the answer in a sentence."""


LABEL = re.compile(r"(?<![\w'’-])(?:[A-HJ-Z]|[A-Z]\d{1,2})(?![\w'’-])")
"""What is written as the label of a cohort is: `B`, `C7`; not `I`."""


def missing(request, nursery) -> Answer | None:
    """Asked of two by labels, the answer that names those that the records do not have; None where the line asks no such thing."""
    text = request.plain or request.text
    if not (TOGETHER.search(text) or INTO.search(text)) or ROOMY.search(text):
        return None
    known = {label.casefold() for label in (*nursery.ledger.cohorts, *nursery.ledger.enclosures)}
    known |= {former.casefold() for cohort in nursery.ledger.cohorts.values() for former in cohort.former_labels}
    known |= {label.casefold() for key, _ in nursery.heads() if key.mark for label in (key.mark, f"{key.cohort}{key.mark}")}
    measured = {unit for amount in request.amounts for unit in re.findall(r"[A-Za-z]+", amount.said)}
    found = [
        label
        for match in LABEL.finditer(request.text)
        if (label := match[0]).casefold() not in known
        and label not in measured
        and not any(re.search(rf"\b{re.escape(label)}\b", name, re.IGNORECASE) for name in known)
        and not (label == "A" and not re.match(r"\W*(?:with|and|or|in|into|to|$)", request.text[match.end() :]))
    ]
    if not found:
        return None
    here = list(dict.fromkeys(key.cohort for key, _ in nursery.heads()))
    first = f"There is no cohort {listed(dict.fromkeys(found), 'or')} in the records"
    first += f"; with animals now there are {listed(here)}." if here else ", and no cohort has animals now."
    others = [label for label in here if label in request.text]
    pairs = [(one, two) for one in (others or here)[:2] for two in here if one != two][:3]
    return ask(TOPIC, f"{first} Which do you mean?", [f"Can I put {one} with {two}?" for one, two in pairs])


def told(request, text: str, nursery) -> Answer | None:
    """The answer where a line asks who may share an enclosure with whom; None where it asks about room or anything else."""
    if len(request.cohorts) < 2 and (lacking := missing(request, nursery)) is not None:
        return lacking
    sides = _sides(request, text, nursery)
    if isinstance(sides, Answer):
        return sides
    if sides:
        return pair(sides, request, text, nursery)
    if APART.search(text) and LISTING.search(text) and not ROOMY.search(text):
        return everywhere(request, nursery)
    return general(request, text, nursery)


# All there are ------------------------------------------------------------------------------------------------------------


def everywhere(request, nursery) -> Answer:
    """Who shares an enclosure and should not, in the enclosures or of the cohorts asked about."""
    stopped = trouble(request, nursery, TOPIC)
    if stopped:
        return stopped
    labels = {present_label(nursery.ledger, label) for label in request.cohorts}
    found = [
        one
        for one in sharing.frictions(nursery)
        if (not request.enclosures or one.enclosure in request.enclosures) and (not labels or labels & set(one.animals))
    ]
    occupied = sharing.inside(nursery)
    where = f" in {listed(request.enclosures)}" if request.enclosures else f" of {listed(sorted(labels))}" if labels else ""
    if found:
        places = listed(dict.fromkeys(one.enclosure for one in found))
        first = f"{counted(len(found), 'thing')} to put right, in {places}. First: {found[0].label}: {found[0].reason}."
        lines = [first, *(f"- {one.label}: {one.reason}. {capital(one.todo)}. Then send “{one.record}”." for one in found)]
    else:
        lines = [f"None{where}: by the records nothing shares an enclosure that should not."]
    doubts = nursery.until_moved(
        "unsure sizes", lambda: {place: _unsure_sizes(groups, nursery) for place, groups in occupied.items()}
    )
    for place in occupied:
        if not request.enclosures or place in request.enclosures:
            lines += [f"Look first in {place}: {doubt}" for doubt in doubts[place]]
    unknown = [place for place in occupied if place not in nursery.settings.volumes]
    if unknown and not found:
        lines.append(
            f"Whether any is too full I cannot say of {listed(unknown)}: tell me, for example “{unknown[0]} holds 10 L”."
        )
    rules = [rule for name in dict.fromkeys(one.rule for one in found) if (rule := nursery.knowledge.rule(name))]
    return Answer(
        "answered",
        TOPIC,
        join(*dict.fromkeys(lines)),
        about={"enclosure": request.enclosures[0]} if len(request.enclosures) == 1 else {},
        values={**_room_values("", [], nursery), "count": Value(len(found), "frictions")},
        items=tuple(_item(one, rank) for rank, one in enumerate(found, 1)),
        working=(
            f"Looked at {counted(len(occupied), 'enclosure')} with animals in them: adults with larvae, watched with others, sizes, eggs "
            "with larvae, cannibals, and room where the volume is known. Different host plants in one enclosure are no fault by themselves.",
            *(rule.text for rule in rules),
        ),
        sources=(*cite(nursery.knowledge, sources_of(rules)), OWN_RECORDS),
        cautions=(room.APART,),
        next=tuple([one.record for one in found[:2]] + ["Is any cage overcrowded?"])[:3],
    )


def _item(one: sharing.Friction, rank: int) -> dict:
    return {
        "name": one.enclosure,
        "label": one.label,
        "rank": rank,
        "kind": one.kind,
        "enclosure": one.enclosure,
        "cohorts": list(one.animals),
        "reason": one.reason,
        "todo": one.todo,
        "record": one.record,
        "priority": one.priority,
    }


def _room_values(place: str, groups, nursery) -> dict[str, Value]:
    """Capacity and animals present, of the enclosure meant where its volume is known."""
    each = fullness.per_larva(nursery.knowledge)
    litres = nursery.settings.volumes.get(place, 0.0) / 1000
    present = sum(heads for key, heads in groups if key.stage in ("larva", "prepupa"))
    capacity = (
        Value(int(litres / each["large"] + 1e-9), "larvae")
        if litres
        else Value(None, "larvae", reason=f"the volume of {place} is not on record" if place else "no single enclosure is meant")
    )
    return {"capacity": capacity, "present": Value(present, "larvae")}


# Two lots by name ---------------------------------------------------------------------------------------------------------


def _sides(request, text: str, nursery):
    """`[(name, groups), (name, groups)]` of the two lots asked about, the second with its enclosure last; () where the line is not
    about two; an Answer where one of them is not there."""
    ledger = nursery.ledger
    labels = tuple(dict.fromkeys(present_label(ledger, label) for label in request.cohorts))
    names: list[tuple[str, str]] = [("cohort", label) for label in labels]
    if len(names) < 2 and not request.enclosures:
        for named in request.species:
            own = {cohort.species for cohort in ledger.cohorts.values()}
            names += [("species", name) for name in named.names if name in own][:1]
    names += [("enclosure", place) for place in request.enclosures]
    together, into = TOGETHER.search(text), INTO.search(text)
    if names and request.unknown_names and together and not ROOMY.search(text):
        return trouble(request, nursery, TOPIC) or ()
    if len(names) != 2 or not (together or (into and names[1][0] == "enclosure")):
        return ()
    if ROOMY.search(text) and not re.search(r"\b(merge|together|share|safe|mix)\b", text):
        return ()
    if stopped := trouble(request, nursery, TOPIC):
        return stopped
    sides = [(name, _groups(kind, name, nursery)) for kind, name in names]
    if names[0][0] == "cohort" and names[1][0] == "enclosure":
        there = [key for key, _ in sides[0][1] if key.enclosure == names[1][1]]
        if there and not together:
            return ()
        sides[0] = (sides[0][0], [(key, heads) for key, heads in sides[0][1] if key.enclosure != names[1][1]])
    return sides


def _groups(kind: str, name: str, nursery) -> list:
    found = []
    for key, heads in nursery.heads():
        fits = {
            "cohort": key.cohort == name,
            "enclosure": key.enclosure == name,
            "species": nursery.ledger.cohorts[key.cohort].species == name,
        }
        if fits[kind]:
            found.append((key, heads))
    return found


def pair(sides, request, text: str, nursery) -> Answer:
    """Yes or no for two lots of animals in one enclosure, with every reason."""
    (one, first), (other, second) = sides
    enclosure = other if other in nursery.ledger.enclosures and other not in nursery.ledger.cohorts else ""
    empty = [name for name, groups in sides if not groups and name != enclosure]
    if empty and not (enclosure and first):
        return Answer(
            "answered",
            TOPIC,
            f"{listed(empty)} {'has' if len(empty) == 1 else 'have'} no living animals, so nothing has to be kept apart from them.",
            values=_room_values("", [], nursery),
            sources=(OWN_RECORDS,),
        )
    place = enclosure or _place(second) or _place(first) or "one enclosure"
    already = _place(first) and _place(first) == _place(second)
    combined = [*first, *(pair_ for pair_ in second if pair_ not in first)]
    alone = {
        (friction.kind, friction.animals)
        for groups in (first, second)
        for friction in sharing.between(place, groups, sharing.Spare(nursery), nursery)
    }
    found = [
        friction
        for friction in sharing.between(place, combined, sharing.Spare(nursery), nursery)
        if already or (friction.kind, friction.animals) not in alone
    ]
    watched = _watched(sides, nursery)
    reasons = [friction.reason for friction in found if friction.kind != "suspects-with-healthy"]
    reasons = [*watched, *reasons] if watched and not already else [friction.reason for friction in found]
    if not already:
        reasons += _unclean(place, nursery)
    whose = f"{one} and {other}"
    doubts = [] if reasons else [*_unsure_sizes(combined, nursery), *_eggs_moved(first, second, already)]
    if doubts:
        lines = [f"Better not before you have looked: {doubts[0]}", *doubts[1:]]
    elif reasons:
        head = (
            f"No: {one} should not go into {place}"
            if place == other and not already
            else f"No: {one} and {other} should not share {place}"
            if not already
            else f"No: {whose} share {place} now, and should not"
        )
        lines = [f"{head}: {reasons[0]}.", *(f"- {capital(reason)}." for reason in reasons[1:])]
        if already:
            lines += [f"{capital(friction.todo)}: send “{friction.record}” when it is done." for friction in found]
    else:
        head = f"Yes, as far as the records tell: nothing speaks against {whose} in {place}"
        lines = (
            [f"{head}."] if not already else [f"Yes: {whose} share {place} now, and nothing in the records speaks against it."]
        )
    lines.append("; ".join(f"{name}: {standing_words(groups)}" for name, groups in sides if groups) + ".")
    lines += [*_room_lines(place, combined, nursery), *_food_lines(combined, nursery), *_cohort_lines(sides, text, nursery)]
    rules = [rule for name in dict.fromkeys(friction.rule for friction in found) if (rule := nursery.knowledge.rule(name))]
    if watched:
        rules.append(nursery.knowledge.rule("suspect-apart"))
    moves = (
        [sharing.moved(heads, key._replace(instar=None), place) for key, heads in first]
        if not reasons and not doubts and not already
        else []
    )
    return Answer(
        "answered",
        TOPIC,
        join(*lines),
        about={"enclosure": place} if place in nursery.ledger.enclosures else {},
        values={**_room_values(place, combined, nursery), "share": Value("no" if reasons or doubts else "yes")},
        items=tuple(_item(friction, rank) for rank, friction in enumerate(found, 1)),
        working=tuple(dict.fromkeys(rule.text for rule in rules if rule)) or ("No rule on sharing is broken by these animals.",),
        sources=(*cite(nursery.knowledge, sources_of([rule for rule in rules if rule])), OWN_RECORDS),
        cautions=("What is not on record cannot be told: look every animal over before they meet.",),
        next=tuple([*moves[:1], "Which animals should not share a cage?", "Which cage has room?"])[:3],
    )


def _place(groups) -> str:
    places = {key.enclosure for key, _ in groups}
    return places.pop() if len(places) == 1 else ""


def _watched(sides, nursery) -> list[str]:
    """Why a lot under watch is not brought to others until the watch is over."""
    open_ones = sharing.open_watches(nursery)
    found = []
    for name, groups in sides:
        rows = [row for key, _ in groups for row in open_ones.get((key.cohort, key.mark, key.enclosure), ())]
        for kind in dict.fromkeys(row.outbreak.kind for row in rows):
            of_kind = [row for row in rows if row.outbreak.kind == kind]
            worst = max(of_kind, key=sharing.rank_of)
            ends = [row.contact.watch_until for row in of_kind if row.contact.watch_until]
            until = f" until {day_words(max(ends), nursery.now)}" if ends else ""
            found.append(f"{name} is watched for {sharing.trouble_words(kind)}{until} ({worst.contact.reason})")
    return found


def _unclean(place: str, nursery) -> list[str]:
    """What may still be about in the enclosure that they would share."""
    from nurserytui.answers.held_back import in_it

    return [f"{place}: {reason}" for reason in in_it(place, nursery)]


def _unsure_sizes(groups, nursery) -> list[str]:
    """A warning where some are likely large and others small, but how far they have grown is not known for certain."""
    larvae = sizes.larvae(groups, nursery)
    large = dict.fromkeys(one.key.cohort for one in larvae if one.large or one.maybe_large)
    small = dict.fromkeys(one.key.cohort for one in larvae if not one.large and one.key.cohort not in large)
    if not (large and small):
        return []
    return [
        f"{listed(large)} may be large and {listed(small)} still small, which is not known for certain; large and small larvae do not go "
        "together."
    ]


def _eggs_moved(first, second, already) -> list[str]:
    """Eggs among those that are brought to larvae, or that larvae are brought to: they stay on their leaf."""
    for eggs, larvae in ((first, second), (second, first)):
        with_eggs = dict.fromkeys(key.cohort for key, _ in eggs if key.stage == "egg")
        with_larvae = dict.fromkeys(key.cohort for key, _ in larvae if key.stage == "larva")
        if with_eggs and with_larvae and not already:
            return [
                f"The eggs of {listed(with_eggs)} stay on their leaf, apart from the larvae of {listed(with_larvae)}: leaf is eaten with the eggs on it."
            ]
    return []


def _room_lines(place: str, groups, nursery) -> list[str]:
    larvae = sizes.larvae(groups, nursery)
    own = fullness.fill_of(place, groups, larvae, nursery)
    if not own.need:
        return []
    if own.litres is None:
        known = f" Tell me, for example “{place} holds 10 L”." if place in nursery.ledger.enclosures else ""
        return [
            f"Whether they have room I cannot say: they need {number(own.need, 2)} L, and the volume is not on record.{known}"
        ]
    return [] if own.too_full else [f"Room: together they need {number(own.need, 2)} of {number(own.litres, 2)} L."]


def _food_lines(groups, nursery) -> list[str]:
    """Different plants are no reason against it, but each must be there."""
    cohorts = nursery.ledger.cohorts
    hosts = dict.fromkeys(
        cohorts[key.cohort].host for key, _ in groups if key.stage in ("egg", "larva") and cohorts[key.cohort].host
    )
    words = [naming.plant_word(host, nursery.knowledge) for host in hosts]
    return [f"They eat different plants: give them {listed(words)} each."] if len(words) > 1 else []


def _cohort_lines(sides, text: str, nursery) -> list[str]:
    """`merge` may mean one cohort, which holds animals of one species only."""
    if not re.search(r"\b(merge|merged|merging|combine|pool|one cohort)\b", text):
        return []
    cohorts = nursery.ledger.cohorts
    species = {cohorts[key.cohort].species for _, groups in sides for key, _ in groups}
    labels = [name for name, _ in sides if name in cohorts]
    if len(species) > 1:
        return ["One cohort they cannot be: they are of different species."]
    return [f"To follow them as one cohort, send “merge {labels[0]} into {labels[1]}”."] if len(labels) == 2 else []


# In general ---------------------------------------------------------------------------------------------------------------


def general(request, text: str, nursery, topic: str = TOPIC, **values: Value) -> Answer | None:
    """Stages, sizes or species together, where no animals in particular are named; None where the line is about none of these."""
    if request.cohorts or ROOMY.search(text):
        return None
    if not any(pattern.search(text) for pattern in (TOGETHER, INTO, SIZES, AWAY)):
        return None
    knowledge = nursery.knowledge
    stages = set(request.stages) | ({"larva"} if SIZES.search(text) else set())
    verdict = next(((word, rule, first) for pair_, word, rule, first in PAIRS if stages >= set(pair_)), None)
    kinds = ("adults-with-larvae",) if "adult" in stages else ("eggs-with-larvae",) if "egg" in stages else ("large-with-small",)
    if verdict is None and SIZES.search(text):
        verdict = ("no", "sizes-apart", "No: keep larvae of one size together.")
    if verdict is None and SPECIES.search(text):
        verdict, kinds = ("yes", "species-together", "Yes, if they are of one size and each has its own plant."), ()
    if verdict is None:
        return None
    word, name, first = verdict
    if AWAY.search(text) and word == "no":
        first = f"Yes, keep them apart: {first.split(': ', 1)[1]}"
    rules = [rule for rule in (knowledge.rule(name),) if rule]
    now = [one for one in sharing.frictions(nursery) if one.kind in kinds]
    lines = [first, *lines_of(rules)]
    lines += [f"Now in {one.enclosure}: {one.reason}. {capital(one.todo)}." for one in now[:4]]
    return Answer(
        "answered",
        topic,
        join(*dict.fromkeys(lines)),
        values={**(values or _room_values("", [], nursery)), "share": Value(word)},
        items=tuple(_item(one, rank) for rank, one in enumerate(now, 1)),
        working=tuple(rule.text for rule in rules),
        sources=(*cite(knowledge, sources_of(rules)), *((OWN_RECORDS,) if now else ())),
        cautions=(room.APART,),
        next=("Which animals should not share a cage?", "Is any cage overcrowded?"),
    )
