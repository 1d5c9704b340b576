"""What is answered to a wish to delete or change older records: they are only ever taken back and told anew, or what became of the animals
is told."""

from __future__ import annotations

from nurserytui.answers.answer import Answer
from nurserytui.answers.record_wording import moment_words, sentence, told
from nurserytui.answers.taking_back import TOPIC, take_back, to_take_back
from nurserytui.answers.wording import ask
from nurserytui.language.draft import Draft
from nurserytui.records.events import Event


def older(request, nursery) -> Answer:
    """Writes nothing, but for a find that was named and that nothing else was written with."""
    if "mistyped" in request.cues:
        return _mistyped(request, nursery)
    label = nursery.ledger.label(request.cohorts[0])
    if label is None:
        return ask(TOPIC, f"There is no cohort {request.cohorts[0]}. Nothing was changed.", ())
    finds = _finds(label, nursery)
    if "find" in request.cues and _alone(finds, nursery):
        return take_back(nursery, finds[0].group or finds[0].id)
    return _righted(label, finds, request, nursery) if "righted" in request.cues else _kept(label, finds, request, nursery)


def _finds(label: str, nursery) -> list[Event]:
    """The events by which the cohort's animals came in, in ledger order."""
    found: dict[str, Event] = {}
    for posting in nursery.ledger.chronicle.of_cohort(label):
        if posting.source is None and posting.event.what in ("laid", "found"):
            found.setdefault(posting.event.id, posting.event)
    return list(found.values())


def _alone(finds: list[Event], nursery) -> bool:
    """Whether the cohort came in by one record that tells of nothing else."""
    return len(finds) == 1 and all(event.id == finds[0].id for event in nursery.store.told_as(finds[0].group or finds[0].id))


def _came(label: str, finds: list[Event], nursery) -> str:
    words = "; ".join(f"{told(event, nursery.knowledge)} ({moment_words(event.when)})" for event in finds[:3])
    return (
        f"{label} came in by: {words}{' and others' if len(finds) > 3 else ''}."
        if finds
        else f"{label} came out of another cohort."
    )


def _kept(label: str, finds: list[Event], request, nursery) -> Answer:
    newest = {event.id for event in to_take_back(request, nursery)}
    undone = _alone(finds, nursery) and newest == {finds[0].id}
    options = [f"undo the find of {label}"] if undone else []
    stood = [(key, count) for key, count in nursery.heads(cohort=label)]
    for key, count in stood[:1]:
        here = Draft("", cohort=label, mark=key.mark, stage=key.stage, count=count, enclosure=key.enclosure)
        kinds = ("died", "released" if key.stage == "adult" else "given", "missing")
        options += [sentence(here._replace(what=what), nursery.knowledge) for what in kinds]
    how = "If it never happened, take its find back. " if undone else ""
    then = (
        f"{how}If the animals are no longer there, say what became of them."
        if stood
        else f"{how}None of its animals are left by the records."
    )
    text = f"Records are never deleted, only taken back. {_came(label, finds, nursery)} {then} Nothing was changed."
    return ask(TOPIC, text, options, about={"cohort": label})


def _righted(label: str, finds: list[Event], request, nursery) -> Answer:
    options = [f"undo the find of {label}"] if _alone(finds, nursery) else []
    stood = nursery.heads(cohort=label)
    if request.count is not None and len(stood) == 1 and stood[0][1] != request.count:
        key, count = stood[0]
        now = Draft("counted", cohort=label, stage=key.stage, count=request.count, enclosure=key.enclosure)
        options.append(f"{sentence(now, nursery.knowledge)}, the {count} was an estimate")
    text = (
        f"What is on record is not rewritten: it is taken back and told anew. {_came(label, finds, nursery)} Take that back and tell it as it "
        "was, or say how many there are now. Nothing was changed."
    )
    return ask(TOPIC, text, options, about={"cohort": label})


def _mistyped(request, nursery) -> Answer:
    newest = to_take_back(request, nursery)
    last = "; ".join(told(event, nursery.knowledge) for event in newest if event.what != "withdrawn")
    said = f"Written down last: {last}. " if last else ""
    text = (
        f"{said}Right after a record, say what is right (“no, 5”, “not jar 1 but jar 2”), or undo. An older one is taken back and told anew "
        "(“undo the find of A”). Nothing was changed."
    )
    return ask(TOPIC, text, ("undo",) if last else ())
