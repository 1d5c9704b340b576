"""Events drawn by chance without any thought of what is there: many of them cannot have happened, and must be refused."""

from __future__ import annotations

from typing import NamedTuple

from hypothesis import strategies as st

from nurserytui.records.events import STAGES, Event
from oracle.crowd import Crowd
from oracle.telling import taken_back

LABELS, PLACES = ("A", "B", "C"), ("jar", "box")
ONE, OTHER = "Pieris rapae", "Vanessa cardui"
cohorts, places = st.sampled_from(LABELS), st.sampled_from(PLACES)
some_place = st.sampled_from(("", "", *PLACES))
counts = st.one_of(st.none(), st.integers(1, 6))
numbers = st.integers(1, 6)
marks = st.sampled_from(("", "", "", "1", "2"))
stages = st.sampled_from(("", "", *STAGES))
instars = st.one_of(st.none(), st.none(), st.integers(1, 5))
roughly = st.sampled_from((False, False, False, True))
SPECIES = st.sampled_from((ONE, ONE, ONE, OTHER))
WHENS = ("2031-06-{:02}", "2031-06-{:02}T09:00", "2031-06-{:02}T09:00", "2031-06-{:02}T15:30")


def event(what: str, **parts) -> st.SearchStrategy[Event]:
    def made(drawn: dict) -> Event:
        if drawn.get("mark"):
            drawn = {**drawn, "count": 1, "estimate": False}
        if drawn.get("instar"):
            drawn = {**drawn, "stage": "larva"}
        return Event("2031-06-01", what, **drawn)

    return st.fixed_dictionaries(parts).map(made)


entering = st.one_of(
    event("laid", cohort=cohorts, species=SPECIES, stage=st.just("egg"), count=numbers, enclosure=places, estimate=roughly),
    event(
        "found", cohort=cohorts, species=SPECIES, stage=st.sampled_from(STAGES), count=numbers, enclosure=some_place, mark=marks
    ),
    event("found", cohort=cohorts, species=SPECIES, instar=st.integers(1, 5), count=numbers, enclosure=places, mark=marks),
    event("found", species=SPECIES, stage=st.sampled_from(STAGES), count=numbers, enclosure=places),
)
changing = st.one_of(
    *(
        event(what, cohort=cohorts, count=counts, enclosure=some_place, mark=marks, estimate=roughly)
        for what in ("hatched", "prepupated", "pupated", "emerged")
    ),
    event("pupated", cohort=cohorts, count=counts, stage=st.sampled_from(("larva", "prepupa", "pupa", "egg"))),
    event(
        "moulted", cohort=cohorts, count=counts, enclosure=some_place, instar=st.one_of(st.none(), st.integers(2, 5)), mark=marks
    ),
    *(event(what, enclosure=places, count=counts) for what in ("hatched", "pupated", "emerged")),
)
going = st.one_of(
    *(
        event(what, cohort=cohorts, count=counts, stage=stages, enclosure=some_place, mark=marks, instar=instars)
        for what in ("died", "released", "missing", "given", "escaped")
    ),
    event("died", enclosure=places, count=numbers, stage=stages),
    event("returned", cohort=cohorts, count=counts, mark=marks),
    event("returned", cohort=cohorts, count=numbers, stage=st.sampled_from(STAGES), enclosure=some_place),
)
about = st.one_of(
    event("moved", cohort=cohorts, count=counts, stage=stages, enclosure=some_place, to=places, mark=marks, instar=instars),
    event("moved", enclosure=places, to=places),
    event("split", cohort=cohorts, count=counts, stage=stages, to=cohorts, mark=marks, enclosure=some_place),
    event("merged", cohort=cohorts, to=cohorts),
    event("renamed", cohort=cohorts, to=st.sampled_from((*LABELS, "D", "b"))),
    event("identified", cohort=cohorts, species=SPECIES),
    event("checked", cohort=cohorts, enclosure=some_place, stage=stages, mark=marks, instar=instars),
    event("sign", cohort=cohorts, detail=st.just("limp"), stage=stages, count=counts, mark=marks),
    event("checked", enclosure=places),
    event("fed", cohort=st.sampled_from(("", *LABELS)), enclosure=places),
)
words = st.sampled_from(("", "", "", "missing", "returned", "estimate", "corrected, I had guessed"))
counting = st.one_of(
    event("counted", cohort=cohorts, count=st.integers(0, 8), detail=words, enclosure=some_place, estimate=roughly),
    event("counted", cohort=cohorts, count=st.integers(0, 8), detail=words, stage=st.sampled_from(STAGES), enclosure=some_place),
    event("counted", enclosure=places, count=st.integers(0, 8), detail=words),
    event("counted", cohort=cohorts, count=st.integers(0, 1), mark=st.just("1"), detail=words),
)
anything = st.one_of(entering, changing, changing, going, about, counting)


class Drawn(NamedTuple):
    event: Event
    day: int
    time: int
    takes_back: int | None
    """Which of the events before it this one withdraws, if any."""
    instead: bool
    """Whether the event is put in the place of the one withdrawn."""


drawn = st.builds(
    Drawn,
    anything,
    st.integers(1, 6),
    st.integers(0, len(WHENS) - 1),
    st.one_of(st.none(), st.none(), st.none(), st.integers(0, 40)),
    st.booleans(),
)
first = st.builds(Drawn, entering, st.integers(1, 2), st.integers(0, len(WHENS) - 1), st.none(), st.just(False))


def scripts(most: int = 20) -> st.SearchStrategy[list[list[Event]]]:
    """Groups of events as they are written down: of any day and time, some of them withdrawals, some of them corrections."""
    return st.tuples(st.lists(first, min_size=2, max_size=6), st.lists(drawn, max_size=most)).map(
        lambda two: _written([*two[0], *two[1]])
    )


def _written(told: list[Drawn]) -> list[list[Event]]:
    groups: list[list[Event]] = []
    told_before: list[Event] = []
    for at, one in enumerate(told):
        event = one.event._replace(when=WHENS[one.time].format(one.day), id=f"e{at}", group=f"g{at}")
        if one.takes_back is None or not told_before:
            group = [event]
        else:
            gone = told_before.pop(one.takes_back % len(told_before))
            group = [Event(gone.when, "withdrawn", withdraws=gone.id, id=f"w{at}", group=f"g{at}")]
            if one.instead:
                # Most corrections are of the same day.
                group.append(event._replace(when=gone.when if one.day % 3 else event.when))
        told_before += group
        groups.append(group)
    return groups


def flat(groups: list[list[Event]]) -> list[Event]:
    return [event for group in groups for event in group]


# Events about animals that are there ------------------------------------------------------------------------------------


@st.composite
def lively(draw, most: int = 30) -> list[list[Event]]:
    """Groups of events most of which can have happened: each is drawn with an eye on the animals there, and some are told late."""
    return told_by(draw(st.randoms(use_true_random=False)), draw(st.integers(4, most)))


def told_by(rng, length: int) -> list[list[Event]]:
    crowd, told = Crowd(), []
    for at in range(length):
        event = _entry(rng) if at < 2 or rng.random() < 0.12 else _about(rng, crowd)
        when = WHENS[rng.randrange(len(WHENS))].format(1 + at // 5)
        # Told in order here, so that the crowd may be asked on the way; a time that would go back is left out.
        event = event._replace(when=when if not told or when >= told[-1].when else when[:10], id=f"e{at}", group=f"g{at}")
        crowd.names |= {event.cohort.casefold(), event.to.casefold()}
        crowd.tell(event)
        told.append(event)
    for _ in range(rng.randrange(4)):
        told.insert(rng.randrange(len(told) + 1), told.pop(rng.randrange(len(told))))
    groups = [[event] for event in told]
    for at, place in enumerate(sorted(rng.randrange(1, length) for _ in range(rng.randrange(3)))):
        groups.insert(place + at, _taking_back(rng, flat(groups[: place + at]), at))
    return groups


def _taking_back(rng, before: list[Event], at: int) -> list[Event]:
    nothing = taken_back(before)
    standing = [event for event in before if event.id not in nothing]
    gone = standing[rng.randrange(len(standing))]
    group = [Event(gone.when, "withdrawn", withdraws=gone.id, id=f"w{at}", group=f"w{at}")]
    if gone.what != "withdrawn" and rng.random() < 0.6:
        count = gone.count and max(1, gone.count + rng.choice((-1, 1)))
        when = gone.when if rng.random() < 0.7 else f"2031-06-0{rng.randint(1, 6)}"
        group.append(gone._replace(id=f"c{at}", group=f"w{at}", when=when, count=1 if gone.mark else count))
    return group


def _entry(rng) -> Event:
    stage = rng.choice(STAGES)
    parts = {
        "cohort": rng.choice((*LABELS, "")),
        "species": ONE if rng.random() < 0.9 else OTHER,
        "enclosure": rng.choice(PLACES),
    }
    if stage == "egg" and rng.random() < 0.7:
        return Event(
            "", "laid", count=rng.randint(1, 6), estimate=rng.random() < 0.3, host=rng.choice(("", "Brassica rapa")), **parts
        )
    instar = rng.choice((None, 1, 3, 5)) if stage == "larva" else None
    mark = rng.choice(("", "", "1", "2"))
    return Event("", "found", stage=stage, instar=instar, mark=mark, count=1 if mark else rng.randint(1, 5), **parts)


def _about(rng, crowd: Crowd) -> Event:
    there, lost = crowd.headcount(), crowd.missing()
    if lost and rng.random() < 0.35:
        cohort = rng.choice(sorted(lost))
        if rng.random() < 0.5:
            return Event("", "returned", cohort, count=rng.randint(1, lost[cohort]), stage=rng.choice(("", "", "larva", "pupa")))
        present = sum(count for key, count in there.items() if key[0] == cohort)
        return Event("", "counted", cohort, count=present + rng.randint(0, lost[cohort]))
    if not there:
        return _entry(rng)
    key = rng.choice(sorted(there, key=str))
    cohort, mark, stage, instar, place = key
    count = rng.randint(1, there[key] + (rng.random() < 0.1))
    told = {"cohort": cohort, "enclosure": rng.choice(("", place, place)), "mark": mark or rng.choice(("", "", "", "1", "2"))}
    told["count"] = 1 if told["mark"] else rng.choice((None, count, count, count))
    said = {"stage": rng.choice((stage, stage, "")), "instar": rng.choice((instar, None))}
    if said["instar"] and rng.random() < 0.2:
        said["instar"] = min(5, said["instar"] + 1)
    if said["instar"]:
        said["stage"] = "larva"
    kind = rng.random()
    if kind < 0.4:
        what = {"egg": "hatched", "larva": rng.choice(("moulted", "moulted", "prepupated", "pupated")), "prepupa": "pupated", "pupa": "emerged"}.get(stage, "checked")  # fmt: skip
        if rng.random() < 0.1:
            told["cohort"] = ""
            told |= {"enclosure": place, "mark": "", "count": None}
        return Event("", what, instar=min(5, instar + 1) if what == "moulted" and instar and rng.random() < 0.7 else None, **told)
    if kind < 0.6:
        what = rng.choice(("died", "died", "released", "escaped", "given", "missing", "missing", "missing"))
        return Event("", what, estimate=rng.random() < 0.1 and not told["mark"], detail=rng.choice(("", "virus")), **told, **said)
    if kind < 0.68:
        return Event("", "moved", to=rng.choice(PLACES), **told, **said)
    if kind < 0.72:
        return Event("", "moved", enclosure=place, to=rng.choice(PLACES))
    if kind < 0.78:
        return Event("", "split", to=rng.choice((*LABELS, "D", "d")), **told, **said)
    if kind < 0.82:
        return Event("", "merged", cohort, to=rng.choice([other for other in (*LABELS, "D") if other != cohort]))
    if kind < 0.86:
        return Event("", "renamed", cohort, to=rng.choice((*LABELS, "E", "e", "F")))
    if kind < 0.88:
        return Event("", "identified", cohort, species=rng.choice((ONE, OTHER)))
    if kind < 0.96:
        return _stocktake(rng, there, key)
    return Event("", rng.choice(("checked", "sign", "tested")), detail="limp", **told, stage=said["stage"])


def _stocktake(rng, there: dict, key: tuple) -> Event:
    cohort, _, stage, _, place = key
    told = {"cohort": cohort}
    if rng.random() < 0.5:
        told["stage"] = stage
    if rng.random() < 0.3:
        told["enclosure"] = place
    if rng.random() < 0.2:
        told = {"enclosure": place}
    present = sum(
        count
        for one, count in there.items()
        if one[0] == told.get("cohort", one[0])
        and one[2] == told.get("stage", one[2])
        and one[4] == told.get("enclosure", one[4])
    )
    detail = rng.choice(("", "", "", "estimate", "missing", "returned"))
    return Event("", "counted", count=max(0, present + rng.randint(-2, 2)), detail=detail, estimate=rng.random() < 0.2, **told)
