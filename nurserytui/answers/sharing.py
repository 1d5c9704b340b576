"""Animals in one enclosure that should not share it, with why, what to do, and the sentence that records it as done."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from nurserytui.answers import fullness, naming, sizes
from nurserytui.answers.wording import counted, listed, number, percent, stage_count

Groups = list[tuple]
"""`[(ledger key, heads)]`: animals that stand, or would stand, together. Each key keeps the enclosure where they are now."""
TESTED_BAD = re.compile(r"^(light|moderate|heavy|positive|[1-9]\d*)\b")
LARVAE, EGGS = "cannibal larvae", "cannibal eggs"
"""Units of the rules that say which species eat one another."""
MOST_CUPS = 6
"""So many animals are given a cup each in one sentence; the rest follow when these are done."""


class Friction(NamedTuple):
    kind: str
    """`adults-with-larvae`, `suspects-with-healthy`, `cannibals`, `large-with-small`, `eggs-with-larvae` or `too-full`."""
    animals: tuple[str, ...]
    """Cohorts, those to be taken out first."""
    enclosure: str
    label: str
    """What to do, in short: `Take 2 adults of B out of tub 1`."""
    reason: str
    rule: str
    """Id of the rule that says so."""
    todo: str
    record: str
    priority: int
    """1 for what may cost animals today, 2 for today's work, 3 for what can wait."""


def frictions(nursery) -> list[Friction]:
    """All that should not share an enclosure now, most pressing first; kept until the records or the moment change."""
    return nursery.until_moved("frictions", lambda: _frictions(nursery))


def _frictions(nursery) -> list[Friction]:
    spare = Spare(nursery)
    found = [one for place, groups in inside(nursery).items() for one in between(place, groups, spare, nursery)]
    return sorted(found, key=lambda one: (one.priority, one.enclosure, one.kind))


def inside(nursery) -> dict[str, Groups]:
    """Enclosure -> [(key, heads)] of the living."""
    found: dict[str, Groups] = {}
    for key, heads in nursery.heads():
        if key.enclosure:
            found.setdefault(key.enclosure, []).append((key, heads))
    return found


def between(place: str, groups: Groups, spare: Spare, nursery) -> Iterator[Friction]:
    """What speaks against those animals standing in that enclosure together."""
    adults = list(_adults(place, groups, spare, nursery))
    yield from adults
    leaving = {one.animals[0] for one in adults}
    # Where the suspects are the adults that go anyway, the others may stay.
    yield from (one for one in _suspects(place, groups, spare, nursery) if not set(one.animals[1:]) <= leaving)
    larvae = sizes.larvae(groups, nursery)
    yield from _cannibals(place, groups, spare, nursery)
    yield from _sizes(place, larvae, spare, nursery)
    yield from _eggs(place, groups, larvae, spare, nursery)
    yield from _full(place, groups, larvae, spare, nursery)


# Where to put them --------------------------------------------------------------------------------------------------------


class Spare:
    """Enclosures that stand empty and are not waiting to be disinfected, then new ones, named on from those there are; each is offered
    once, so that what is moved for one reason does not meet what is moved for another."""

    def __init__(self, nursery) -> None:
        used = {key.enclosure for key, _ in nursery.heads()}
        self._nursery = nursery
        self._known = sorted(nursery.ledger.enclosures - {""})
        self._empty = [place for place in self._known if place not in used]
        self._next = 0

    def take(self, besides: str = "") -> str:
        nouns = {kind_of(besides), _commonest(self._known)}
        for place in list(self._empty):
            if place != besides and kind_of(place) in nouns:
                self._empty.remove(place)
                if self._is_clean(place):
                    return place
        self._next += 1
        return _new(self._known, self._next)

    def _is_clean(self, place: str) -> bool:
        from nurserytui.answers.cases import outbreaks
        from nurserytui.answers.stays import cleared

        last = max((one.last for one in outbreaks(self._nursery) if one.place == place), default=None)
        return last is None or cleared(self._nursery, place, last) is not None


def kind_of(place: str) -> str:
    """`tub` of `tub 4`, `cage` of `north cage`."""
    words = place.split()
    return "" if not words else words[-2] if words[-1].isdecimal() and len(words) > 1 else words[-1]


def _commonest(known: list[str]) -> str:
    """The commonest kind among enclosures that are numbered."""
    tally: dict[str, int] = {}
    for place in known:
        if place.rpartition(" ")[2].isdecimal():
            tally[place.rpartition(" ")[0]] = tally.get(place.rpartition(" ")[0], 0) + 1
    return max(tally, key=lambda noun: (tally[noun], noun), default="tub")


def _new(known: list[str], number: int) -> str:
    """`tub 7`, `tub 8` …: the next numbers of the commonest kind of enclosure."""
    noun = _commonest(known)
    last = max((int(place.rpartition(" ")[2]) for place in known if re.fullmatch(rf"{re.escape(noun)} \d+", place)), default=0)
    return f"{noun} {last + number}"


def moved(count: float, key, to: str, instar: int | None = None) -> str:
    """The sentence that records a move: `moved 3 larvae of A from tub 1 to tub 2`."""
    if key.mark:
        return f"moved {key.cohort} {key.mark} to {to}" if not key.mark.isdecimal() else f"moved {key.cohort}{key.mark} to {to}"
    stage = stage_count(round(count), key.stage)
    if instar:
        stage = f"{round(count)} instar {instar} {stage.split(' ', 1)[1]}"
    source = f" from {key.enclosure}" if key.enclosure else ""
    return f"moved {stage} of {key.cohort}{source} to {to}"


def instar_said(key, groups: Groups) -> int | None:
    """The instar of a key, where larvae of its cohort stand beside it in other instars, so that a move must say which."""
    instars = {other.instar for other, _ in groups if (*other[:3], other.enclosure) == (*key[:3], key.enclosure)}
    return key.instar if len(instars) > 1 else None


def _tally(groups: Groups, stages: tuple[str, ...]) -> dict:
    """(cohort, mark, stage) -> [key without instar, heads] of those stages."""
    found: dict[tuple, list] = {}
    for key, heads in groups:
        if key.stage in stages:
            held = found.setdefault((key.cohort, key.mark, key.stage, key.enclosure), [key._replace(instar=None), 0])
            held[1] += heads
    return found


# The kinds ----------------------------------------------------------------------------------------------------------------


def _adults(place: str, groups: Groups, spare: Spare, nursery) -> Iterator[Friction]:
    young = list(dict.fromkeys(key.cohort for key, _ in groups if key.stage in ("egg", "larva")))
    if not young:
        return
    for key, count in _tally(groups, ("adult",)).values():
        elsewhere = any(other.enclosure != key.enclosure for other, _ in nursery.heads(cohort=key.cohort, stage="adult"))
        infected = tested_bad(key.cohort, nursery)
        source = f" from {key.enclosure}" if elsewhere and key.enclosure else ""
        whom = f"{key.cohort}{key.mark}" if key.mark else f"{count} {'adults of ' if elsewhere else ''}{key.cohort}"
        yield Friction(
            "adults-with-larvae",
            (key.cohort, *(label for label in young if label != key.cohort)),
            place,
            f"Take {stage_count(count, 'adult')} of {key.cohort} out of {place}",
            f"adults of {key.cohort} stand with eggs or larvae of {listed(young)}: adults carry spores onto leaf",
            "adults-apart",
            "keep them by themselves, they were tested positive: not released, not near larvae"
            if infected
            else "release them, or move them to a cage without larvae or their food",
            moved(count, key, spare.take(place)) if infected else f"released {whom}{source}",
            1,
        )


def tested_bad(cohort: str, nursery) -> bool:
    """Whether the last test on record of a cohort found spores."""
    tests = [event for event in nursery.ledger.chronicle.about(cohort) if event.what == "tested"]
    return bool(tests) and TESTED_BAD.match(tests[-1].detail.strip().casefold()) is not None


def open_watches(nursery) -> dict[tuple[str, str, str], list]:
    """(cohort, mark, enclosure) -> the exposures whose watch is still open."""
    from nurserytui.answers import watches

    found: dict[tuple[str, str, str], list] = {}
    for row in watches.open_watches(nursery):
        until = row.contact.watch_until
        if until is None or until.date() >= nursery.now.date():
            found.setdefault(tuple(row.contact.group), []).append(row)
    return found


RANKS = {"": 0, "possible": 1, "likely": 2}
CASE = 3
"""Rank of a cohort in which the trouble itself was seen: graver than any contact."""


def rank_of(row) -> int:
    """How grave an exposure is: of a cohort with cases, of a likely or of a possible contact."""
    group = row.contact.group
    sick = any(case.cohort == group.cohort and case.mark in ("", group.mark) for case in row.outbreak.cases)
    return CASE if sick else RANKS[row.contact.grade]


def _suspects(place: str, groups: Groups, spare: Spare, nursery) -> Iterator[Friction]:
    """Animals that may carry a trouble with others that met less of it or nothing."""
    watched = open_watches(nursery)
    met: dict[str, dict[tuple, object]] = {}
    for key, _ in groups:
        group = (key.cohort, key.mark, key.enclosure)
        for row in watched.get(group, ()):
            if any(stage == key.stage for stage, _ in row.living):
                met.setdefault(row.outbreak.kind, {}).setdefault((*group, key.stage), row)
    told = set()
    for kind, rows in met.items():
        worst = max(map(rank_of, rows.values()))
        suspects = [which for which, row in rows.items() if rank_of(row) == worst]
        for key, count in _tally(groups, ("egg", "larva", "prepupa", "pupa", "adult")).values():
            group = (key.cohort, key.mark, key.enclosure)
            row = rows.get((*group, key.stage))
            if kind in ("wasp", "fly") and key.stage in ("egg", "adult"):
                continue  # parasitoids of larvae and pupae do them nothing
            if (rank_of(row) if row else 0) >= worst or (group, key.stage) in told:
                continue
            told.add((group, key.stage))
            whose = listed(dict.fromkeys(name_of(one) for one in suspects))
            reason = rows[suspects[0]].contact.reason
            yield Friction(
                "suspects-with-healthy",
                (key.cohort, *dict.fromkeys(one[0] for one in suspects if one[0] != key.cohort)),
                place,
                f"Take {stage_count(count, key.stage)} of {name_of(group)} out of {place}, away from {whose}",
                f"{whose} {'is' if len(suspects) == 1 else 'are'} watched for {trouble_words(kind)} ({reason}), {name_of(group)} met less of it",
                "suspect-apart",
                f"move {name_of(group)} to a clean enclosure of its own, and watch it too; leave {whose} where {'it is' if len(suspects) == 1 else 'they are'}",
                moved(count, key, spare.take(place)),
                1 if worst >= RANKS["likely"] else 2,
            )


def trouble_words(kind: str) -> str:
    return {"wasp": "parasitoid wasps", "fly": "parasitoid flies"}.get(kind, kind)


def name_of(group) -> str:
    return f"{group[0]} {group[1]}" if group[1] else group[0]


def cannibal_rule(species: str, unit: str, knowledge):
    """The rule that says that a species eats its own kind (or eggs); None where there is none."""
    return next((rule for rule in knowledge.rules("density") if rule.unit == unit and species in rule.about), None)


def _cannibals(place: str, groups: Groups, spare: Spare, nursery) -> Iterator[Friction]:
    for cohort in dict.fromkeys(key.cohort for key, _ in groups):
        rule = cannibal_rule(nursery.ledger.cohorts[cohort].species, LARVAE, nursery.knowledge)
        own = [(key, heads) for key, heads in groups if key.cohort == cohort and key.stage == "larva"]
        heads = sum(count for _, count in own)
        if rule is None or heads < 2:
            continue
        singles = [key for key, count in own for _ in range(count)][1 : 1 + MOST_CUPS]
        record = ", ".join(moved(1, key, spare.take(place), instar_said(key, groups)) for key in singles)
        yield Friction(
            "cannibals",
            (cohort,),
            place,
            f"Give each of the {heads} larvae of {cohort} in {place} a cup of its own",
            f"{counted(heads, 'larva', 'larvae')} of {cohort} together: {rule.text[:1].lower()}{rule.text[1:].rstrip('.')}",
            rule.id,
            "one to a cup, each with leaf of its own",
            record,
            1,
        )


def _sizes(place: str, larvae: list[sizes.Sized], spare: Spare, nursery) -> Iterator[Friction]:
    large = [one for one in larvae if one.surely_large]
    if not large:
        return
    big = listed(dict.fromkeys(one.key.cohort for one in large))
    small: dict[tuple, list[sizes.Sized]] = {}
    for one in larvae:
        if one.surely_small:
            small.setdefault((one.key.cohort, one.key.mark, one.key.enclosure), []).append(one)
    for group, ones in small.items():
        count = round(sum(one.heads for one in ones))
        alone = all(one.surely_small for one in larvae if (one.key.cohort, one.key.mark, one.key.enclosure) == group)
        to = spare.take(place)
        if alone:
            record = moved(count, ones[0].key, to)
        else:
            instars: dict[int | None, list] = {}
            for one in ones:
                instars.setdefault(one.key.instar, []).append(one)
            record = ", ".join(moved(sum(one.heads for one in same), same[0].key, to, instar) for instar, same in instars.items())
        yield Friction(
            "large-with-small",
            (group[0], *dict.fromkeys(other.key.cohort for other in large if other.key.cohort != group[0])),
            place,
            f"Take {count} small {'larva' if count == 1 else 'larvae'} of {name_of(group)} out of {place}",
            f"{instar_words(ones)} with large ones of {big} ({instar_words(large[:1])}): large larvae bite or eat small ones and strip the leaf",
            "sizes-apart",
            "move the small ones to an enclosure of their own, with tender leaf",
            record,
            2,
        )


def instar_words(ones: list[sizes.Sized]) -> str:
    """`B in instar 1 to 2`."""
    low, high = min(one.low for one in ones), max(one.high for one in ones)
    return f"{ones[0].key.cohort} in instar {low}" + ("" if low == high else f" to {high}")


def _eggs(place: str, groups: Groups, larvae: list[sizes.Sized], spare: Spare, nursery) -> Iterator[Friction]:
    """Eggs on leaf that larvae of others eat; eggs with hatchlings that eat eggs."""
    cohorts = nursery.ledger.cohorts
    for key, count in _tally(groups, ("egg",)).values():
        own = cohorts[key.cohort]
        others = [one for one in larvae if one.key.cohort != key.cohort and _same_leaf(own.host, cohorts[one.key.cohort].host)]
        rule = cannibal_rule(own.species, EGGS, nursery.knowledge) or cannibal_rule(own.species, LARVAE, nursery.knowledge)
        siblings = [one for one in larvae if one.key.cohort == key.cohort] if rule else []
        if not others and not siblings:
            continue
        whose = listed(dict.fromkeys(one.key.cohort for one in (*others, *siblings)))
        why = rule.text if rule and not others else nursery.knowledge.rule("eggs-from-larvae").text
        if siblings and not others:
            # The hatchlings are taken off the leaf, the eggs stay on it.
            hatched = _tally([(one.key, round(one.heads)) for one in siblings], ("larva",))
            record = ", ".join(moved(heads, larva, spare.take(place)) for larva, heads in hatched.values())
            label = f"Take the larvae of {key.cohort} off the eggs in {place}"
        else:
            record = moved(count, key, spare.take(place))
            label = f"Take {stage_count(count, 'egg')} of {key.cohort} out of {place}"
        yield Friction(
            "eggs-with-larvae",
            (key.cohort, *dict.fromkeys(one.key.cohort for one in others)),
            place,
            label,
            f"{stage_count(count, 'egg')} of {key.cohort} with larvae of {whose}: {why[:1].lower()}{why[1:].rstrip('.')}",
            rule.id if rule and not others else "eggs-from-larvae",
            "keep eggs on their leaf in a pot of their own",
            record,
            2,
        )


def _same_leaf(one: str, other: str) -> bool:
    """Whether two cohorts feed on the same plant; a plant that is not on record may be the same."""
    return not one or not other or naming.same_plant(one, other)


def _full(place: str, groups: Groups, larvae: list[sizes.Sized], spare: Spare, nursery) -> Iterator[Friction]:
    own = fullness.fill_of(place, groups, larvae, nursery)
    if not own.too_full:
        return
    over, moves, taken = own.need - own.litres, [], []
    each = fullness.per_larva(nursery.knowledge)
    for one in sorted(larvae, key=lambda one: (not one.large, -one.heads, one.key.cohort)):
        litres = each["large" if one.large else "small"]
        count = min(round(one.heads), -int(-(over - 1e-9) // litres))
        if over > 1e-9 and count > 0:
            over -= count * litres
            moves.append((one.key, count))
            taken.append(f"{counted(count, 'larva', 'larvae')} of {name_of((one.key.cohort, one.key.mark))}")
    targets: dict[str, str] = {}
    together: dict = {}
    for key, count in moves:
        together[key] = together.get(key, 0) + count
    for key in together:
        if key.cohort not in targets:
            targets[key.cohort] = spare.take(place)
    yield Friction(
        "too-full",
        tuple(dict.fromkeys(key.cohort for key, _ in moves)) or tuple(dict.fromkeys(key.cohort for key, _ in groups)),
        place,
        f"Thin out {place}: take out {listed(taken)}" if taken else f"Thin out {place}",
        f"{fullness.larvae_words(own)} need {number(own.need, 2)} L, and it holds "
        f"{number(own.litres, 2)} L: {percent(own.share)} full",
        "density-litre-large",
        "move the surplus to an enclosure of its own",
        ", ".join(moved(count, key, targets[key.cohort], instar_said(key, groups)) for key, count in together.items()),
        1 if own.share > 2 else 2,
    )
