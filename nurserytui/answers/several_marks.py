"""One answer about several single animals that a line names (`H1 and H3`): each is asked about by itself, and what they share is put together."""

from __future__ import annotations

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.selection import join
from nurserytui.answers.wording import animals_name, counted, listed

TOPICS = ("headcount", "history", "stage-forecast")
"""Topics in which every animal has an answer of its own."""
EARLIEST, LATEST = ("first", "median", "days_left"), ("last",)


def named(request) -> bool:
    return bool(request.mark) and len(request.marks) > 1 and request.topic in TOPICS


def each(request, nursery, answer_one) -> Answer:
    """The answers for the animals named, joined; as it is for the first where none of them has one. Counts are added up, of dates and days
    the earliest (of `last` the latest) is told."""
    names = [animals_name(cohort, mark) for cohort, mark in request.marks]
    told = [answer_one(request._replace(cohorts=(cohort,), mark=mark, marks=()), nursery) for cohort, mark in request.marks]
    known = [one for one in told if one.status == "answered"]
    if not known:
        return told[0]
    values = _shared(known)
    lines = [
        one.text if name in one.text.split("\n")[0] else f"{name}: {one.text}" for name, one in zip(names, told, strict=True)
    ]
    if request.topic == "headcount" and "count" in values:
        lines.insert(0, f"{counted(values['count'].value, 'animal')} of {listed(names)} now.")
    about = {key: value for key, value in known[0].about.items() if all(one.about.get(key) == value for one in known)}
    return known[0]._replace(
        text=join(*lines),
        about=about,
        values=values,
        items=tuple(item for one in known for item in one.items),
        working=tuple(dict.fromkeys(step for one in known for step in one.working)),
        sources=tuple(dict.fromkeys(source for one in known for source in one.sources)),
        cautions=tuple(dict.fromkeys(caution for one in known for caution in one.cautions)),
    )


def _shared(known: list[Answer]) -> dict[str, Value]:
    values: dict[str, Value] = {}
    for name in known[0].values:
        found = [one.values[name] for one in known if name in one.values and one.values[name].value is not None]
        if name == "count" and len(found) == len(known):
            values[name] = found[0]._replace(value=sum(one.value for one in found), low=None, high=None)
        elif name in EARLIEST and found:
            values[name] = min(found, key=lambda one: one.value)
        elif name in LATEST and found:
            values[name] = max(found, key=lambda one: one.value)
    return values
