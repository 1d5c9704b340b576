"""Which cohort the mother of some eggs was of, and which cohorts came of the females of one."""

from __future__ import annotations

import re

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.kinds import when_words
from nurserytui.answers.looked_up import rows_of
from nurserytui.answers.selection import Wanted, about_words, join
from nurserytui.answers.told import words_of
from nurserytui.answers.wording import OWN_RECORDS, capital, counted, listed, species_label
from nurserytui.records.events import ENTERING

TOPIC = "history"
PARENTS = re.compile(
    r"\b(?:mothers?|mums?|moms?|parents?|parentage)\b|\bwho (?:has |had )?laid\b|\blaid by (?:which|what|who\w*)\b"
    r"|\b(?:which|what|whose) (?:\w+ ){0,2}?(?:laid|is the mother|are the parents)\b"
    r"|\b(?:which|what) (?:cohort|group|batch|lot|line|stock|brood|females?|animals)\b.*\b(?:come|came|from|descend\w*|stem\w*)\b"
    r"|\b(?:come|came|descend\w*) (?:from|of) (?:which|what) (?:cohort|group|batch|lot|line|stock|females?)\b"
)
FROM_WHERE = re.compile(
    r"\b(?:where|who|what|how) .*\b(?:come|came|from|off|start(?:ed)?|began?)\b|\borigins?\b|\b(?:came|come) from\b"
)
"""Asked of a cohort that was split from another one, this asks for that one."""
OFFSPRING = re.compile(
    r"\b(?:offspring|descendants?|progeny|children|(?<!my )(?<!our )daughters?|grandchildren|(?:next|second) generation)\b"
    r"|\b(?:lay|lays|laying|have laid|has laid|laid (?:any|eggs?|some))\b"
    r"|\b(?:which|what) (?:cohorts?|eggs|groups?) (?:come|came|descend\w*|stem\w*|were laid) (?:from|of|by)\b"
)
GONE_OFF = re.compile(r"\bsplit\b|\bout of\b|\bspots?\b|\bdied\b|\bnumber\b")
BY_NOTE = re.compile(r"\b(?:from|of|by) (?:an? |the |one of the )?(?:female of |females of |cohort )?([\w-]+)(?:'s)?\b")
"""Where a note names the mother's cohort: `from a K female`."""


def asks_parents(plain: str, nursery, want: Wanted) -> bool:
    if not want.cohorts or GONE_OFF.search(plain):
        return False
    return bool(PARENTS.search(plain)) or bool(
        FROM_WHERE.search(plain) and all(_split_off(nursery, label) for label in want.cohorts)
    )


def asks_offspring(plain: str, nursery, want: Wanted) -> bool:
    """Whether the line asks what came of a cohort. Whether it has laid is asked of one that has laid, or that was not laid itself."""
    if len(want.cohorts) != 1 or not OFFSPRING.search(plain):
        return False
    cohort = nursery.ledger.cohorts[want.cohorts[0]]
    return cohort.origin != "laid" or bool(children(nursery, cohort.label)) or not re.search(r"\bla(?:y|id)", plain)


def parent_of(nursery, label: str) -> tuple[str, str]:
    """The cohort of the mother, and the words of the note by which alone it is known; "" where the records do not tell."""
    ledger = nursery.ledger
    cohort = ledger.cohorts[label]
    if cohort.parent:
        return cohort.parent, ""
    for row in _came_in(nursery, label):
        for said in BY_NOTE.finditer(row.event.note):
            if said[1] in ledger.cohorts and said[1] != label and ledger.cohorts[said[1]].species == cohort.species:
                return said[1], row.event.note
    return "", ""


def children(nursery, label: str) -> tuple[str, ...]:
    """The cohorts whose mother was of that cohort."""
    return tuple(other for other in nursery.ledger.cohorts if other != label and parent_of(nursery, other)[0] == label)


def parents(request, nursery, want: Wanted) -> Answer:
    """Of whose female each of the cohorts meant was laid, or what it was split from."""
    lines, items = [], []
    for label in want.cohorts:
        parent, note = parent_of(nursery, label)
        if parent:
            first = f"{label} came from a female of {parent}, {_species(nursery, parent)}{f' (by the note “{note}”)' if note else ''}."
            items.append({"name": parent, "label": f"{parent}: mother of {label}", "cohort": parent})
        elif split := _split_off(nursery, label):
            sources = tuple(dict.fromkeys(source.cohort for row in split for source, _, _ in row.parts if source is not None))
            first = f"{label} was split from {listed(sources)}."
            items += [{"name": one, "label": f"{one}: {label} was split from it", "cohort": one} for one in sources]
            lines += [first, *(f"- {capital(when_words(row.event, nursery.now))}: {words_of(row)}" for row in split)]
            continue
        else:
            found = nursery.ledger.cohorts[label].origin == "found"
            first = f"Who laid {label} is not in the records{': it was found' if found else ''}."
        lines += [first, *_listed(nursery, label)]
    return _answer(
        nursery,
        want,
        lines,
        items,
        f"The records of {listed(want.cohorts)} name {counted(len(items), 'cohort')} that they came from.",
    )


def offspring(request, nursery, want: Wanted) -> Answer:
    """The cohorts that females of the one meant have laid. `count` is in cohorts."""
    label = want.cohorts[0]
    found = children(nursery, label)
    first = (
        f"{counted(len(found), 'cohort')} came from females of {label}: {listed(found)}."
        if found
        else f"No eggs laid by {label} are in the records."
    )
    lines = [first, *(line for child in found for line in _listed(nursery, child))]
    items = [{"name": child, "label": f"{child}, {_species(nursery, child)}", "cohort": child} for child in found]
    answer = _answer(
        nursery, want, lines, items, f"{counted(len(found), 'cohort')} of the records have {label} as their mother's."
    )
    return answer._replace(values={"count": Value(len(found), "cohorts")})


def _answer(nursery, want: Wanted, lines: list[str], items: list[dict], step: str) -> Answer:
    return Answer(
        "answered", TOPIC, join(*lines), about=about_words(nursery, want, ""), items=tuple(items), working=(step,),
        sources=(OWN_RECORDS,), next=(f"history of {want.cohorts[0]}", "headcount"),
    )  # fmt: skip


def _species(nursery, label: str) -> str:
    species = nursery.ledger.cohorts[label].species if label in nursery.ledger.cohorts else ""
    return species_label(species, nursery.knowledge) if species else "not a cohort of these records"


def _listed(nursery, label: str) -> list[str]:
    """How a cohort came in."""
    return [f"- {capital(when_words(row.event, nursery.now))}: {words_of(row)}" for row in _came_in(nursery, label)]


def _split_off(nursery, label: str) -> list:
    """How animals of other cohorts became this one."""
    from nurserytui.language.request import Request

    rows = rows_of(nursery, Wanted(cohorts=(label,)), ("split",), Request(""))
    return [row for row in rows if any(target is not None and target.cohort == label for _, target, _ in row.parts)]


def _came_in(nursery, label: str) -> list:
    from nurserytui.language.request import Request

    rows = rows_of(nursery, Wanted(cohorts=(label,)), ENTERING[:2], Request(""))
    return [row for row in rows if any(target is not None and target.cohort == label for _, target, _ in row.parts)]
