"""Who was exposed to a contagion or a parasitoid, how gravely, and until when to watch them."""

from __future__ import annotations

import re

from nurserytui.answers.agents import PARASITOIDS, kind_of_agent, kinds_said
from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.cases import Outbreak, outbreaks
from nurserytui.answers.exposure_lists import everyone, is_subject, no_case, subject_words, whether
from nurserytui.answers.exposure_told import AHEAD, ORIGIN, OVER, SAFE, SIBLINGS, ahead, if_struck, origin, safe_again, siblings
from nurserytui.answers.exposure_words import TOPIC
from nurserytui.answers.isolation import PLAN, plan
from nurserytui.answers.selection import Wanted, join, last_day, standing, trouble, wanted
from nurserytui.answers.watches import RECENT, Row, open_watches, rows_of, unseen
from nurserytui.language.request import DANGLING

__all__ = ["RECENT", "Row", "exposure", "rows_of"]

LAST = 3
"""Older outbreaks of an enclosure that are looked at for whether it was cleaned since."""
ASKS_WHO = re.compile(r"\b(who|which|what|whom|anyone|anything|list|contacts?|everyone|everybody|others|ones)\b")
ASKS_WHAT = re.compile(
    r"\bexposed to (?:anything|something|what|which|any)\b|^(?:so |and )?(?:what|which \w+)\b(?! \w* ?(?:animals?|ones|cohorts?)).*\bexposed to$"
)
"""The animals are named, and what they were exposed to is asked (`what has E been exposed to`)."""
ASKS_ONE = re.compile(
    r"^(?:so |and |but )?(?:is|are|was|were|could|can|might|may|did|do|does|should|has|have|will|would|how long|until when|till when|when)\b"
)


def exposure(request, nursery) -> Answer:
    """The contacts of the outbreaks meant: for one animal yes or no with the reason, otherwise the list, gravest first."""
    plain = request.plain
    if request.layer == DANGLING and not any(one.search(plain) for one in (ORIGIN, SIBLINGS, PLAN)):
        from nurserytui.answers.talk import whom

        return whom(request, nursery)
    stopped = trouble(request, nursery, TOPIC)
    if stopped:
        return stopped
    want = wanted(request, nursery)
    if PLAN.search(plain):
        return plan(nursery, want, _kinds(request, nursery))
    known = outbreaks(nursery)
    kinds = _kinds(request, nursery)
    meant = [one for one in known if not kinds or one.kind in kinds]
    if _asks_of_place(request, want):
        recent = [one for one in meant if one.last >= nursery.now - RECENT]
        there = [one for one in meant if one.place == want.enclosures[0] and one not in recent][-LAST:]
        return safe_again(nursery, want.enclosures[0], [*there, *recent], [*open_watches(nursery), *unseen(nursery)])
    if not meant:
        return _no_case(request, nursery, want, kinds, known)
    if ORIGIN.search(plain) or SIBLINGS.search(plain):
        ill = _ill(nursery, want, meant)
        if ill:
            rows = rows_of(nursery, ill)
            told = siblings if SIBLINGS.search(plain) else origin
            return told(nursery, want, ill, rows)
    if not kinds and _of_the_healthy(request, nursery, want, known):
        from nurserytui.answers.headcount import company_now

        return company_now(request, nursery, want)
    source, subject = _sides(request, nursery, want, meant)
    meant = _narrowed(request, nursery, source, subject, meant)
    if not meant:
        return _no_case(request, nursery, want, kinds, known)
    rows = rows_of(nursery, meant)
    if AHEAD.search(plain) and any(one.kind in PARASITOIDS for one in meant):
        mine = [row for row in rows if subject is None or is_subject(row, subject, nursery.ledger)]
        return ahead(nursery, subject or source, meant, mine)
    if subject is not None and not OVER.search(plain):
        answer = whether(request, nursery, subject, meant, rows)
        struck = ""
        if ORIGIN.search(plain):
            mine = [row for row in rows if is_subject(row, subject, nursery.ledger) and row.living]
            struck = if_struck(nursery, mine, subject_words(nursery, subject))
        return answer._replace(text=join(struck, answer.text))
    answer = everyone(nursery, source, meant, rows)
    if OVER.search(plain):
        is_open = any(row.open for row in rows)
        lead = "Not over yet: watches are open." if is_open else "Yes, it is over by the records: no watch is open any more."
        answer = answer._replace(
            text=join(lead, answer.text), values={**answer.values, "over": Value("no" if is_open else "yes")}
        )
    return answer


SHARED = re.compile(
    r"\b(?:shar\w+|in with|alongside|(?:housed|caged|kept|living|lives?) with|beside|who (?:else )?(?:is|are|was|were) with)\b"
)


def _of_the_healthy(request, nursery, want: Wanted, known: list[Outbreak]) -> bool:
    """Whether a line only asks who stands with animals that were never ill: that is no matter of contagion."""
    if not want.animals or request.period is not None or not SHARED.search(request.plain) or OF_CONTAGION.search(request.plain):
        return False
    sick = {label for one in known for label in one.cohorts}
    return not any(want.cohort_fits(label, nursery.ledger) for label in sick) and bool(standing(nursery, want))


OF_CONTAGION = re.compile(
    r"\b(?:expos\w+|risk\w*|sick|ill|watch\w*|contagi\w+|infect\w+|diseas\w+|contacts?|caught|catch|stung|sting|clear|safe|isolat\w+|quarantin\w+|trac\w+)\b"
)


def _no_case(request, nursery, want: Wanted, kinds, known) -> Answer:
    """That nobody is known to be exposed; a line that only asks who shared a place at some time is told that."""
    if request.period is not None and not kinds and (want.enclosures or want.animals) and not OF_CONTAGION.search(request.plain):
        from nurserytui.answers.company import company_then

        return company_then(request, nursery, want)
    if want.enclosures and request.period is None and (met := _met_elsewhere(nursery, want, kinds)):
        return whether(request, nursery, want, list(dict.fromkeys(row.outbreak for row in met)), met)
    return no_case(request, nursery, want, kinds, known)


def _met_elsewhere(nursery, want: Wanted, kinds) -> list[Row]:
    """The open watches of those who stand in an enclosure without a case of its own, and met one before they came."""
    return [
        row
        for row in open_watches(nursery)
        if row.living and is_subject(row, want, nursery.ledger) and (not kinds or row.outbreak.kind in kinds)
    ]


def _asks_of_place(request, want: Wanted) -> bool:
    """Whether the line asks of an enclosure itself, not of the animals in it."""
    return bool(want.enclosures and not want.animals and not request.stages and SAFE.search(request.plain)) and not re.search(
        r"\bwatch", request.plain
    )


def _ill(nursery, want: Wanted, meant: list[Outbreak]) -> list[Outbreak]:
    """The outbreaks of the sick animals that a question of where it came from is about: those named, else the latest."""
    ill = meant
    if want.animals:
        ill = [
            one
            for one in meant
            if any(
                case.cohort and want.cohort_fits(case.cohort, nursery.ledger) and want.mark in ("", case.mark)
                for case in one.cases
            )
        ]
    if want.enclosures:
        ill = [one for one in ill if one.place in want.enclosures] or ([] if not want.animals else ill)
    if want.animals:
        return ill[-3:]
    last = max((one.last for one in ill), default=None)
    return [one for one in ill if one.last == last]


def _kinds(request, nursery) -> tuple[str, ...]:
    named = [
        kind_of_agent(agent)
        for one in request.agents
        for name in one.names
        if (agent := nursery.knowledge.agent(name)) is not None
    ]
    said = kinds_said(request.plain)
    stings = ("wasp", "fly") if re.search(r"\b(stung|sting)\b", request.plain) and not said else ()
    return tuple(dict.fromkeys((*said, *(kind for kind in named if kind), *stings)))


def _sides(request, nursery, want: Wanted, meant: list[Outbreak]) -> tuple[Wanted, Wanted | None]:
    """Which of the names in the line say where it came from, and which animals are asked about (None: everyone).

    `who was exposed to the wasps from C4`, `virus contacts in tub 2`: the source. `are the dill in tub 3 at risk`, `how long to watch
    C3`: the animals. `could the kale have been stung by the north cage wasps`: both.
    """
    sick = {label for one in meant for label in one.cohorts}
    places = {one.place for one in meant}
    asks_what = bool(want.animals and ASKS_WHAT.search(request.plain))
    asks_one = asks_what or (bool(ASKS_ONE.search(request.plain)) and not re.search(r"\b(who|which)\b", request.plain))
    animals = want._replace(enclosures=())
    apart = _source_beside(want, request.plain, nursery)
    if apart is not None:
        return apart
    if want.animals:
        labels = [label for label in nursery.ledger.cohorts if animals.cohort_fits(label, nursery.ledger)]
        is_source = labels and all(label in sick for label in labels)
        if not asks_one and is_source and (ASKS_WHO.search(request.plain) or not kinds_said(request.plain)):
            return want, None
        if (
            not asks_one
            and ASKS_WHO.search(request.plain)
            and not is_source
            and not want.enclosures
            and _source_words(request.plain)
        ):
            return want, None
        stand_there = [place for place in want.enclosures if standing(nursery, animals._replace(enclosures=(place,)))]
        source = Wanted(enclosures=tuple(place for place in want.enclosures if place in places))
        return source, animals._replace(enclosures=tuple(stand_there))
    if want.enclosures:
        if all(place in places for place in want.enclosures) and not asks_one:
            return Wanted(enclosures=want.enclosures), None
        if asks_one or not all(place in places for place in want.enclosures):
            return Wanted(), Wanted(enclosures=want.enclosures)
    return Wanted(), None


def _source_beside(want: Wanted, plain: str, nursery) -> tuple[Wanted, Wanted] | None:
    """Where it came from and whose exposure is asked, when both are named (`did A share with B`, `was A with the sick peacocks`)."""
    if want.cohorts and want.species and not any(want.cohort_fits(label, nursery.ledger) for label in want.cohorts):
        return Wanted(species=want.species), Wanted(cohorts=want.cohorts, mark=want.mark)
    if len(want.cohorts) < 2 or want.species:
        return None
    beside = tuple(
        label
        for label in want.cohorts
        if re.search(
            rf"\b(?:with|from|off|by)\b(?: (?:the|my|sick|ill|dead|those|of|virus))* {re.escape(label.casefold())}\b", plain
        )
    )
    asked = tuple(label for label in want.cohorts if label not in beside)
    mark = want.mark if len(asked) == 1 else ""
    return (Wanted(cohorts=beside), Wanted(cohorts=asked, mark=mark)) if beside and asked else None


def _source_words(plain: str) -> bool:
    return bool(re.search(r"\b(?:from|with|by|of|to)\b", plain))


def _narrowed(request, nursery, source: Wanted, subject, meant: list[Outbreak]) -> list[Outbreak]:
    """The outbreaks that the names of their source and the period leave; else the recent ones, else the last."""
    period = request.period
    if source.animals:
        meant = [one for one in meant if any(source.cohort_fits(label, nursery.ledger) for label in one.cohorts)] or meant
    if source.enclosures:
        meant = [one for one in meant if one.place in source.enclosures] or ([] if subject is None else meant)
    if period is not None and period.start <= nursery.now and last_day(period) < nursery.now.date():
        return [one for one in meant if period.start.date() <= one.last.date() and one.first.date() <= last_day(period)]
    if source.animals:
        return meant
    recent = [one for one in meant if one.last >= nursery.now - RECENT]
    return recent or meant[-1:]
