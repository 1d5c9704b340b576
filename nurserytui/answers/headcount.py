"""How many animals there are, of which cohort, in which stage and enclosure."""

from __future__ import annotations

import re
from collections import Counter
from datetime import datetime

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.astray import asks_escaped, asks_missing, escaped, missing
from nurserytui.answers.fates import became, stage_phrase
from nurserytui.answers.headcount_asked import asks_handled, asks_labels
from nurserytui.answers.looked_up import sex_of
from nurserytui.answers.passed import asks_of_all, passed
from nurserytui.answers.ranking import RANKED, ranked
from nurserytui.answers.selection import (
    STAGE_ORDER,
    Wanted,
    join,
    known_enclosures,
    past_moment,
    shortened,
    standing,
    trouble,
    wanted,
)
from nurserytui.answers.sexes import unsexed
from nurserytui.answers.wording import OWN_RECORDS, animals_name, counted, day_words, listed, species_label, stage_count

TOPIC = "headcount"


def headcount(request, nursery) -> Answer:
    """The headcount of what the request means, now or at the end of a past period. `count` is in animals."""
    labels = asks_labels(request)
    named = request.enclosures or request.cohorts
    stopped = trouble(request._replace(unknown_names=()) if labels and named else request, nursery, TOPIC)
    if stopped:
        return stopped
    if labels:
        from nurserytui.answers.enclosure_labels import enclosure_labels

        return enclosure_labels(request, nursery)
    want = wanted(request, nursery)
    plain = request.plain
    if asks_missing(plain):
        return missing(request, nursery, want, TOPIC)
    if asks_escaped(plain):
        return escaped(request, nursery, want, TOPIC)
    if asks_handled(plain):
        from nurserytui.answers.handled import handled

        return handled(request, nursery, want)
    if re.search(r"\bhow many (?:different |other )?(species|kinds|cohorts|groups|cages|enclosures|boxes)\b", plain):
        return _kinds(request, nursery, want)
    if asks_of_all(request, want):
        return passed(request, nursery, want)
    if RANKED.search(plain) and not want.animals and not want.enclosures:
        return ranked(request, nursery, want)
    if not want.enclosures and re.search(r"\b(empty|unused|nothing in|spare|vacant)\b", plain):
        return _empty_places(nursery)
    if (re.search(r"\b(else|others?|shar\w+|with)\b", plain) and "who" in request.cues) or re.search(
        r"\b(who|what|any\w*) else\b|\b(?:is|are|was|were|be|being|lives?|stands?|sits?|all|left) (?:\S+ ){0,3}?alone\b|\bon (?:its|their|his|her) own\b|\bby (?:itself|themselves)\b|\bshar(?:e|es|ing) (?:with|its|their|his|her)\b|\b(?:have|has|any) company\b|\b(any\w*|what|which|others?) .*shar\w+",
        plain,
    ):
        if past_moment(request.period, nursery.now) is not None:
            from nurserytui.answers.company import company_then

            return company_then(request, nursery, want)
        return company_now(request, nursery, want)
    if re.search(r"\bunaccounted\b", plain):
        from nurserytui.answers.history import history

        return history(request._replace(topic="history", event="missing"), nursery)
    moment = past_moment(request.period, nursery.now)
    found = standing(nursery, want, moment)
    total = sum(count for _, count in found)
    if total and sex_of(request):
        return unsexed(request, want, found, _about(request, want, found))
    lines = [_headline(request, nursery, want, found, total, moment)]
    if found:
        if len(found) > 1 or "where" not in request.cues:
            lines += _by_cohort(nursery, found)
        lines.append(_instars(nursery, found) if "instar" in plain else "")
        if re.search(r"\bstages?\b", plain) and len(_stages(found)) > 1:
            lines.insert(1, f"By stage: {stage_phrase(_stages(found))}.")
        lines.append(_besides(nursery, want, moment))
    else:
        lines += _absent(nursery, want, moment)
    return Answer(
        "answered",
        TOPIC,
        join(*lines),
        about=_about(request, want, found),
        values={"count": Value(total, "animals")},
        items=tuple(_item(nursery, key, count) for key, count in found),
        working=_working(found, total, moment or nursery.now),
        sources=(OWN_RECORDS,),
        next=_next(want, found),
    )


def _headline(request, nursery, want: Wanted, found, total: int, moment) -> str:
    what = _named(
        nursery, want if want.stages or not found or len(_stages(found)) > 1 else want._replace(stages=tuple(_stages(found)))
    )
    when = f" at the end of {day_words(moment, nursery.now)}" if moment else " now"
    about = "about " if _estimates(nursery, found) else ""
    only_place = want.enclosures and not want.animals and not want.stages and want.instar is None
    if "empty" in request.plain and only_place:
        place = listed(want.enclosures)
        return (
            f"No, {place} is not empty: {about}{counted(total, 'animal')}{when}."
            if total
            else f"Yes, {place} is empty: 0 animals{when}."
        )
    places = Counter()
    for key, count in found:
        places[key.enclosure] += count
    if "where" in request.cues and found and want.animals or _asks_place(request.plain):
        if found:
            parts = [f"{_place(place)} ({stage_phrase(_stages(found, place))})" for place, _ in places.most_common()]
            total_words = f", {about}{total} in all" if len(parts) > 1 else ""
            return f"{_subject(nursery, want, found)}: {listed(parts)}{total_words}{when}."
    if not total:
        where = f" in {listed(want.enclosures)}" if want.enclosures else ""
        return f"0 {what}{where}{when}: none{' there' if where else ''}."
    where = f" in {listed(want.enclosures)}" if want.enclosures else ""
    spread = "" if want.enclosures else _places_phrase(places)
    return f"{about.capitalize()}{total} {what if total != 1 else _single(what)}{where}{when}{spread}."


def _asks_place(plain: str) -> bool:
    return bool(
        re.search(r"\b(which|what) (cage|enclosure|tub|box|jar|tent|sleeve|container|pot)s?\b|\bwhere\b|\bwhereabouts\b", plain)
    )


def _places_phrase(places: Counter) -> str:
    if len(places) == 1:
        return f", in {_place(next(iter(places)))}"
    return f", in {len(places)} enclosures"


def _place(place: str) -> str:
    return place or "no enclosure named"


def _stages(found, place: str | None = None) -> Counter:
    tally: Counter = Counter()
    for key, count in found:
        if place is None or key.enclosure == place:
            tally[key.stage] += count
    return tally


def _named(nursery, want: Wanted) -> str:
    """What was counted, in words: `larvae of dill-26`."""
    stages = listed([stage_count(2, stage)[2:] for stage in want.stages]) or "animals"
    if want.instar is not None:
        stages += f" in instar {want.instar}"
    whose = list(want.cohorts) or [species_label(name, nursery.knowledge) for name in want.species]
    named = f"{stages} of {animals_name(listed(whose), want.mark)}" if whose or want.mark else stages
    own = {cohort.species for cohort in nursery.ledger.cohorts.values()}
    left_out = [
        species_label(name, nursery.knowledge) if name in own else name for name in want.without if name in own or " " not in name
    ]
    return f"{named} without {listed(left_out)}" if left_out else named


def _single(what: str) -> str:
    plural, _, rest = what.partition(" ")
    one = {"eggs": "egg", "larvae": "larva", "prepupae": "prepupa", "pupae": "pupa", "adults": "adult", "animals": "animal"}
    return f"{one.get(plural, plural)} {rest}".strip()


def _subject(nursery, want: Wanted, found) -> str:
    cohorts = list(dict.fromkeys(key.cohort for key, _ in found))
    names = [_cohort_label(nursery, label) for label in cohorts]
    if want.mark:
        return f"{listed(names)} mark {want.mark}"
    return listed(names)


def _cohort_label(nursery, label: str) -> str:
    return f"{label}, {species_label(nursery.ledger.cohorts[label].species, nursery.knowledge)}"


def _by_cohort(nursery, found) -> list[str]:
    """One line for each cohort: its species and how many stand in which stage and enclosure."""
    lines = []
    for label in dict.fromkeys(key.cohort for key, _ in found):
        parts: Counter = Counter()
        for key, count in found:
            if key.cohort == label:
                parts[(key.stage, key.enclosure, key.mark)] += count
        words = []
        for place in dict.fromkeys(place for _, place, _ in parts):
            here = listed(
                f"{stage_count(n, stage)}{f' ({mark})' if mark else ''}" for (stage, at, mark), n in parts.items() if at == place
            )
            words.append(f"{here}{f' in {place}' if place else ''}")
        about = "about " if nursery.ledger.cohorts[label].estimate else ""
        lines.append(f"- {_cohort_label(nursery, label)}: {about}{'; '.join(words)}")
    return shortened(lines)


def _instars(nursery, found) -> str:
    """The instars of the larvae found and when each was recorded, in words."""
    words = []
    for key, count in found:
        if key.stage != "larva":
            continue
        whose = animals_name(key.cohort, key.mark)
        if key.instar is None:
            words.append(f"{whose}: the instar of {stage_count(count, 'larva')} is not recorded")
            continue
        noted = next(
            (
                posting.event
                for posting in reversed(nursery.ledger.chronicle.of_cohort(key.cohort))
                if posting.target is not None and _same_animals(posting.target, key)
            ),
            None,
        )
        since = f", recorded {day_words(noted.when, nursery.now)}" if noted else ""
        words.append(f"{whose}: {stage_count(count, 'larva')} in instar {key.instar} (L{key.instar}){since}")
    return "; ".join(words) + "." if words else "Only larvae have instars, and there are none here."


def _same_animals(target, key) -> bool:
    return (target.cohort, target.mark, target.stage, target.instar) == (key.cohort, key.mark, key.stage, key.instar)


def _besides(nursery, want: Wanted, moment) -> str:
    """Animals in the stage next to the one asked for, which a keeper may have meant too."""
    near = {("larva",): "prepupa", ("pupa",): "prepupa"}.get(want.stages)
    if near is None or want.instar is not None:
        return ""
    count = sum(n for _, n in standing(nursery, want._replace(stages=(near,)), moment))
    return f"Not counted: {stage_count(count, near)}." if count else ""


def _absent(nursery, want: Wanted, moment) -> list[str]:
    """What the records say where nothing is there: other stages, or what became of the animals."""
    ledger = nursery.ledger
    if want.enclosures and not want.animals:
        others = standing(nursery, Wanted(enclosures=want.enclosures), moment)
        if others:
            return ["There are instead:", *_by_cohort(nursery, others)]
        return [_last_out(nursery, place) for place in want.enclosures]
    elsewhere = standing(nursery, want._replace(stages=(), instar=None, enclosures=()), moment)
    if elsewhere and (want.cohorts or want.species):
        return ["There are instead:", *_by_cohort(nursery, elsewhere)]
    if want.animals:
        labels = [label for label in ledger.cohorts if want.cohort_fits(label, ledger)]
        if not labels:
            return [f"No cohort of {_named(nursery, want).removeprefix('animals of ')} is in the records."]
        fates = [(label, became(nursery, want._replace(cohorts=(label,)))) for label in labels]
        return [f"- {_cohort_label(nursery, label)}: {fate}." for label, fate in fates if fate]
    return []


def _last_out(nursery, place: str) -> str:
    """When an enclosure was emptied, and how."""
    touching = reversed(nursery.ledger.chronicle.touching(place))
    last = next((p for p in touching if p.source is not None and p.source.enclosure == place), None)
    if last is None:
        return f"No animals have been in {place} by the records."
    event = last.event
    how = {"moved": f"were moved to {event.to}", "died": "died", "escaped": "escaped", "given": "were given away"}.get(
        event.what, f"were {event.what}"
    )
    return f"{place}: the last there ({last.source.cohort}) {how} on {day_words(event.day, nursery.now)}."


def company_now(request, nursery, want: Wanted) -> Answer:
    """Who else stands in the same enclosure."""
    own = standing(nursery, want._replace(stages=(), instar=None))
    places = want.enclosures or tuple(dict.fromkeys(key.enclosure for key, _ in own if key.enclosure))
    here = standing(nursery, Wanted(enclosures=places)) if places else []
    asked = want._replace(stages=(), instar=None)
    others = [(key, count) for key, count in here if not want.animals or not asked.key_fits(key, nursery.ledger, place=False)]
    total = sum(count for _, count in others)
    whose = _named(nursery, want._replace(stages=(), instar=None)).removeprefix("animals of ") if want.animals else "them"
    if not places:
        first = f"{whose} stand in no enclosure now, so nothing shares it."
    elif total:
        first = f"{counted(total, 'other animal') if want.animals else counted(total, 'animal')} in {listed(places)}" + (
            f" with {whose}:" if want.animals else ":"
        )
    else:
        first = f"0 others: {whose} have {listed(places)} to themselves."
    return Answer(
        "answered",
        TOPIC,
        join(first, *_by_cohort(nursery, others)),
        about=_about(request, want._replace(enclosures=places), own or others),
        values={"count": Value(total, "animals")},
        items=tuple(_item(nursery, key, count) for key, count in others),
        working=_working(others, total, nursery.now),
        sources=(OWN_RECORDS,),
        next=_next(want, others),
    )


def _kinds(request, nursery, want: Wanted) -> Answer:
    """How many species, cohorts or enclosures in use there are now."""
    kind = re.search(r"\bhow many (?:different |other )?(\w+)", request.plain)[1]
    ever = bool(re.search(r"\b(?:had|kept|reared|raised|ever|so far|all years)\b", request.plain))
    if ever and kind in ("species", "kinds", "cohorts", "groups"):
        return _kinds_ever(nursery, want, kind)
    found = standing(nursery, want)
    if kind in ("species", "kinds"):
        names = list(dict.fromkeys(nursery.ledger.cohorts[key.cohort].species for key, _ in found))
        words, labels = "species", [species_label(name, nursery.knowledge) for name in names]
    elif kind in ("cohorts", "groups"):
        names = list(dict.fromkeys(key.cohort for key, _ in found))
        words, labels = "cohorts" if len(names) != 1 else "cohort", [_cohort_label(nursery, name) for name in names]
    else:
        names = sorted({key.enclosure for key, _ in found if key.enclosure})
        words, labels = "enclosures in use" if len(names) != 1 else "enclosure in use", names
    items = [
        {"name": name, "label": label, "count": _count_of(nursery, name, found)}
        for name, label in zip(names, labels, strict=True)
    ]
    text = f"{len(names)} {words} now" + (":" if names else ".")
    return Answer(
        "answered",
        TOPIC,
        join(text, *(f"- {item['label']}: {counted(item['count'], 'animal')}" for item in items)),
        values={"count": Value(len(names), words)},
        items=tuple(items),
        working=_working(found, sum(count for _, count in found), nursery.now),
        sources=(OWN_RECORDS,),
        next=("headcount",),
    )


def _count_of(nursery, name: str, found) -> int:
    return sum(count for key, count in found if name in (key.cohort, key.enclosure, nursery.ledger.cohorts[key.cohort].species))


def _kinds_ever(nursery, want: Wanted, kind: str) -> Answer:
    """How many species or cohorts there have been in all years."""
    labels = [label for label in nursery.ledger.cohorts if want.cohort_fits(label, nursery.ledger)]
    species = list(dict.fromkeys(nursery.ledger.cohorts[label].species for label in labels))
    of_species = kind in ("species", "kinds")
    names = (
        [species_label(name, nursery.knowledge) for name in species]
        if of_species
        else [_cohort_label(nursery, label) for label in labels]
    )
    words = "species" if of_species else "cohort" if len(names) == 1 else "cohorts"
    return Answer(
        "answered",
        TOPIC,
        join(f"{len(names)} {words} so far, all years together:", *(f"- {name}" for name in names)),
        values={"count": Value(len(names), words)},
        items=tuple({"name": name, "label": label} for name, label in zip(species if of_species else labels, names, strict=True)),
        working=(f"The records name {len(names)} {words}.",),
        sources=(OWN_RECORDS,),
        next=("headcount", "survival by season"),
    )


def _empty_places(nursery) -> Answer:
    """Enclosures that the records name and that hold nothing now."""
    used = Counter()
    for key, count in standing(nursery, Wanted()):
        used[key.enclosure] += count
    empty = sorted(place for place in known_enclosures(nursery) if place and not used[place])
    first = f"{counted(len(empty), 'enclosure')} empty now" + (f": {listed(empty)}." if empty else ".")
    return Answer(
        "answered",
        TOPIC,
        join(first, *(f"- {_last_out(nursery, place)}" for place in empty)),
        values={"count": Value(len(empty), "enclosures")},
        items=tuple({"name": place, "label": place, "enclosure": place, "count": 0} for place in empty),
        working=(f"{len(known_enclosures(nursery))} enclosures are named in the records; {len(empty)} of them hold 0 animals.",),
        sources=(OWN_RECORDS,),
        next=("do any of the cages want cleaning",),
    )


def _item(nursery, key, count: int) -> dict:
    item = {
        "name": key.cohort,
        "label": f"{_cohort_label(nursery, key.cohort)}: {stage_count(count, key.stage)}{f' in {key.enclosure}' if key.enclosure else ''}",
        "cohort": key.cohort,
        "species": nursery.ledger.cohorts[key.cohort].species,
        "stage": key.stage,
        "enclosure": key.enclosure,
        "count": count,
    }
    if key.mark:
        item["mark"] = key.mark
    if key.instar is not None:
        item["instar"] = key.instar
    if nursery.ledger.cohorts[key.cohort].estimate:
        item["estimate"] = True
    return item


def _estimates(nursery, found) -> str:
    loose = list(dict.fromkeys(key.cohort for key, _ in found if nursery.ledger.cohorts[key.cohort].estimate))
    return f"an estimate: {listed(loose)} was entered with about so many" if loose else ""


def _about(request, want: Wanted, found) -> dict:
    """Canonical names the count is about; a cohort found by its species or place is named when it is the only one."""
    about: dict = {}
    cohorts = want.cohorts or tuple(dict.fromkeys(key.cohort for key, _ in found))
    if len(cohorts) == 1 and (want.animals or len(found) == 1):
        about["cohort"] = cohorts[0]
    if want.mark:
        about["mark"] = want.mark
    if len(want.species) == 1:
        about["species"] = want.species[0]
    if len(want.enclosures) == 1:
        about["enclosure"] = want.enclosures[0]
    elif want.animals and len({key.enclosure for key, _ in found}) == 1 and found[0][0].enclosure:
        about["enclosure"] = found[0][0].enclosure
    if len(want.stages) == 1:
        about["stage"] = want.stages[0]
    return about


def _working(found, total: int, moment: datetime) -> tuple[str, ...]:
    if not found:
        return (f"Replaying the events up to {moment:%Y-%m-%d %H:%M} leaves 0 animals that fit.",)
    sums = " + ".join(str(count) for _, count in found)
    stages = _stages(found)
    by_stage = listed(f"{stage_count(stages[stage], stage)}" for stage in sorted(stages, key=STAGE_ORDER.get))
    return (
        f"Replaying the events up to {moment:%Y-%m-%d %H:%M} gives {sums} = {total}."
        if len(found) > 1
        else f"The ledger holds {total}.",
        f"By stage: {by_stage}.",
    )


def _next(want: Wanted, found) -> tuple[str, ...]:
    label = want.cohorts[0] if want.cohorts else found[0][0].cohort if found else ""
    if not label:
        return ("headcount", "what needs doing today")
    if not found:
        return (f"what happened to {label}", f"survival of {label}")
    goal = {"egg": "hatch", "larva": "pupate", "prepupa": "pupate", "pupa": "emerge"}.get(found[0][0].stage)
    forecast = (f"when will {label} {goal}",) if goal else (f"can I release {label}",)
    return (*forecast, f"history of {label}", "what needs doing today")
