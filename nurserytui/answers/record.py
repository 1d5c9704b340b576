"""Writing down what the keeper tells, and putting it right."""

from __future__ import annotations

import os
import re
from typing import Any

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.record_counted import counted
from nurserytui.answers.record_figures import cohort_or_count
from nurserytui.answers.record_fill import fill_all
from nurserytui.answers.record_ground import FROM, LEAVING, Ask
from nurserytui.answers.record_wording import moment_words, sentence, told
from nurserytui.answers.wording import animals_name, ask
from nurserytui.language.draft import Draft
from nurserytui.language.request import Named, Period
from nurserytui.records.events import Event

TOPIC = "record"


def record(request, nursery) -> Answer:
    """Write the drafts of a line as events of one group, or ask for the one part that is lacking. Nothing is written until all is certain."""
    if "correct" in request.cues:
        return _correct(request, nursery)
    filled = fill_all(request, nursery)
    if "figured" in request.cues:
        filled = cohort_or_count(filled, request, nursery)
    if isinstance(filled, Ask):
        return _asked(filled, nursery)
    if "holed" in request.cues:
        draft = request.drafts[0]
        whose = animals_name(draft.cohort, draft.mark) or draft.enclosure or "it"
        told = (sentence(draft._replace(note=""), nursery.knowledge), f"sign on {whose}: {draft.note} in the pupa")
        return _asked(
            Ask("Did a butterfly or moth come out, or did something else leave holes in the pupa?", told, draft), nursery
        )
    if "doubted" in request.cues:
        told = _as_told(request, nursery, filled)
        return _asked(Ask(f"Is this what happened: {told[0]}?", told, request.drafts[0]), nursery)
    return _write(filled, nursery, request)


def _as_told(request, nursery, filled: list[Event]) -> tuple[str, ...]:
    """The drafts as the one sentence that records them; the one cohort that is named anew is said."""
    drafts = request.drafts
    if len(drafts) == len(filled) == 1 and filled[0].what in ("identified", "renamed"):
        drafts = (drafts[0]._replace(cohort=filled[0].cohort, enclosure=""),)
    return (", ".join(sentence(draft, nursery.knowledge) for draft in drafts),)


def new_group() -> str:
    """A name for events that are written together and taken back together."""
    return f"g{os.urandom(6).hex()}"


def _asked(question: Ask, nursery) -> Answer:
    draft = question.draft
    about = {"event": draft.what}
    for part in ("cohort", "mark", "enclosure", "stage"):
        if getattr(draft, part):
            about[part] = getattr(draft, part)
    return ask(
        TOPIC, f"{question.text} Nothing is written yet.", tuple(option for option in question.options if option)[:8], about=about
    )


def _write(events: list[Event], nursery, request, withdrawals: list[Event] = ()) -> Answer:
    group = new_group()
    first_day = nursery.ledger
    count = counted(events, first_day, request.plain)
    written = nursery.write([event._replace(group=group) for event in [*withdrawals, *events]])
    if written.faults:
        return _refused(written.faults, request, nursery, group)
    kept = [event for event in written.events if event.what != "withdrawn"]
    return _read_back(kept, nursery, count, corrected=bool(withdrawals), figures=_with_a_point(request.drafts))


POINTED = re.compile(r"\d{1,2}\.\d{1,2}\b\.?(?:\d{2,4})?")


def _with_a_point(drafts) -> str:
    """The day in figures with points by which the line told when it was."""
    said = (POINTED.search(draft.when.said) for draft in drafts if draft.when is not None and not draft.when.exact)
    return next((found[0] for found in said if found), "")


def _refused(faults, request, nursery, group: str) -> Answer:
    fault = faults[0]
    blocker = fault.standing_in_the_way
    text = f"That cannot be: {fault.reason}."
    if fault.event.group != group and fault.event.what != "withdrawn":
        text = f"That would undo what was recorded later: {told(fault.event, nursery.knowledge)} ({moment_words(fault.event.when)}) could not have happened, because {fault.reason}."
    if blocker is not None:
        text += f" In the way stands: {told(blocker, nursery.knowledge)} ({moment_words(blocker.when)})."
    options = []
    if request.drafts and request.drafts[0].what:
        draft = request.drafts[0]
        for key, held in fault.available[:4]:
            count = 1 if draft.mark else min(draft.count, held) if isinstance(draft.count, int) else held
            options.append(
                sentence(
                    draft._replace(
                        cohort=key.cohort,
                        mark=key.mark or draft.mark,
                        stage=key.stage,
                        instar=draft.instar if draft.what == "moulted" else key.instar,
                        enclosure=key.enclosure,
                        count=count,
                        species=None,
                        unknown="",
                        total=False,
                    ),
                    nursery.knowledge,
                )
            )
    about: dict[str, Any] = {"event": fault.event.what}
    if fault.event.cohort:
        about["cohort"] = fault.event.cohort
    return ask(TOPIC, f"{text} Nothing was written.", tuple(dict.fromkeys(options)), about=about)


def _read_back(events: list[Event], nursery, count: int | None, corrected: bool = False, figures: str = "") -> Answer:
    knowledge, first = nursery.knowledge, events[0]
    lead = "Corrected" if corrected else "Recorded"
    lines = [f"{lead}: {told(first, knowledge)} ({moment_words(first.when)})."]
    if first.what == "moved" and not first.cohort and count is not None:
        lines[0] = (
            f"{lead}: everything in {first.enclosure} ({count} {'animal' if count == 1 else 'animals'}) moved to {first.to} ({moment_words(first.when)})."
        )
    for event in events[1:]:
        date = "" if event.when == first.when else f" ({moment_words(event.when)})"
        lines.append(f"Also: {told(event, knowledge)}{date}.")
    if figures:
        lines.append(f"“{figures}” was read as a day and its month.")
    lines += [f"Note: {event.note}." for event in events if event.note and event.note not in told(event, knowledge)]
    lines += _what_it_lasts(events, nursery)
    lines.append(f"Say undo to take {'it' if len(events) == 1 else 'them'} back.")
    about: dict[str, Any] = {"event": first.what}
    cohort = nursery.ledger.cohorts.get(first.cohort)
    for part in ("cohort", "mark", "host", "enclosure", "stage"):
        if getattr(first, part):
            about[part] = getattr(first, part)
    species = first.species or (cohort.species if cohort else "")
    if species:
        about["species"] = species
    if first.cohort and first.what in FROM and not about.get("stage"):
        about["stage"] = {"hatched": "larva", "moulted": "larva", "prepupated": "prepupa", "pupated": "pupa", "emerged": "adult"}[
            first.what
        ]
    values = (
        {"count": Value(count, "animals" if first.what not in ("cut", "stocked") else first.detail)} if count is not None else {}
    )
    answer = Answer(
        "recorded",
        TOPIC,
        "\n".join(lines),
        about=about,
        values=values,
        items=tuple(item(event, knowledge) for event in events),
        next=_next(first),
    )
    return _with_meaning(answer, events, nursery)


def _what_it_lasts(events: list[Event], nursery) -> list[str]:
    """How long the plant lasts that was just put on hand or used up, and for whom."""
    hosts = dict.fromkeys(event.host for event in events if event.what in ("stocked", "cut") and event.count is not None)
    if not hosts:
        return []
    from nurserytui.answers.lasting_words import in_a_sentence

    return [line for line in (in_a_sentence(host, nursery) for host in hosts) if line]


def item(event: Event, knowledge) -> dict[str, Any]:
    """An event as an answer lists it."""
    fields = {name: value for name, value in event._asdict().items() if value not in ("", None, False)}
    return {"name": event.cohort or event.enclosure or event.host or event.what, "label": told(event, knowledge), **fields}


def _next(event: Event) -> tuple[str, ...]:
    if event.cohort and event.what in (*FROM, "laid", "found"):
        goal = {"laid": "hatch", "hatched": "pupate", "moulted": "pupate", "prepupated": "pupate", "pupated": "emerge"}.get(
            event.what
        )
        return (
            (f"When will {event.cohort} {goal}?", f"How many {event.cohort} are there?")
            if goal
            else (f"How many {event.cohort} are there?",)
        )
    if event.cohort and event.what in (*LEAVING, "moved", "sign"):
        return (f"How many {event.cohort} are left?", f"What happened to {event.cohort}?")
    return ("What needs doing today?",)


def _with_meaning(answer: Answer, events: list[Event], nursery) -> Answer:
    """A sign is answered at once with what it may mean; a death with a telling look likewise."""
    for event in events:
        seen = event.note if event.what == "emerged" else event.detail
        if event.what != "sign" and not (event.what in ("died", "emerged") and len(seen.split()) > 1):
            continue
        from nurserytui.answers.signs import describe_sign

        meaning = describe_sign(
            seen, event.stage or ("adult" if event.what == "emerged" else ""), nursery, event.cohort, event.mark
        )
        if meaning is None or meaning.status != "answered":
            if event.what == "sign":
                return answer._replace(
                    text=f"{answer.text}\nThat matches no sign I know clearly: keep the animal apart and look again; more of what it looks like may tell."
                )
            continue
        about = {**answer.about, **({"sign": meaning.about["sign"]} if "sign" in meaning.about else {})}
        return answer._replace(
            text=f"{answer.text}\n{meaning.text}", about=about, values={**meaning.values, **answer.values}, working=meaning.working, sources=meaning.sources,
            cautions=meaning.cautions, next=_isolating(event, meaning) or answer.next,
        )  # fmt: skip
    return answer


def _isolating(event: Event, meaning: Answer) -> tuple[str, ...]:
    """What to ask after a sign, the plan that sets its animals apart first."""
    isolate = meaning.values.get("isolate")
    if event.what != "sign" or isolate is None or isolate.value != "yes":
        return meaning.next
    whose = animals_name(event.cohort, event.mark) or event.enclosure
    rest = [one for one in meaning.next if one != "make me an isolation plan" and not one.startswith("How do I isolate")]
    return (f"How do I isolate {whose}?", *rest)[:3]


# Putting right ---------------------------------------------------------------------------------------


def _correct(request, nursery) -> Answer:
    """Withdraw the event that the correction is about, and write it anew as it should have been, in one go."""
    group = nursery.ledger.chronicle.together(request.group)
    if not group:
        return ask(TOPIC, "There is nothing of this conversation left to correct. Please say the whole record.", ())
    patch: Draft = request.drafts[0]
    old = _meant(group, patch, request)
    drafts = [_in_its_stage(_patched(_draft_of(event), patch, event), event, nursery.ledger) for event in old]
    filled = fill_all(request, nursery, drafts, old)
    if isinstance(filled, Ask):
        return _asked(filled, nursery)
    if [event._replace(id="", group="") for event in filled] == [event._replace(id="", group="") for event in old]:
        return ask(
            TOPIC,
            f"I could not tell what to change in: {told(old[0], nursery.knowledge)}. Nothing was changed.",
            (),
            about={"event": old[0].what},
        )
    now = nursery.now.isoformat(timespec="minutes")
    return _write(
        filled, nursery, request._replace(drafts=tuple(drafts)), [Event(now, "withdrawn", withdraws=event.id) for event in old]
    )


def _in_its_stage(draft: Draft, event: Event, ledger) -> Draft:
    """The corrected draft, of the stage that was told where the cohort and place now meant have animals of that stage."""
    stands = any(
        held and key.cohort == draft.cohort and key.stage == event.stage and draft.enclosure in ("", key.enclosure)
        for key, held in ledger.heads.items()
    )
    others = draft.cohort != event.cohort or draft.enclosure != event.enclosure
    kept = event.stage and not draft.stage and draft.what == event.what and others and stands
    return draft._replace(stage=event.stage) if kept else draft


def _meant(group: list[Event], patch: Draft, request) -> list[Event]:
    """The events of the last line that a correction is about: those of its verb, of the number it denies, or all for a date."""
    if patch.what:
        same = [event for event in group if event.what == patch.what]
        if same:
            return same[:1]
    wrong = next((int(cue[4:]) for cue in request.cues if cue.startswith("not:")), None)
    if wrong is not None:
        same = [event for event in group if event.count == wrong]
        if same:
            return same[:1]
    if patch.count is None and (patch.when or patch.impossible):
        return group
    if patch.count is not None:
        return [event for event in group if event.count is not None][:1] or group[:1]
    if patch.stage:
        return [event for event in group if event.stage][:1] or group[:1]
    return [event for event in group if event.what != "setting"][:1] or group[:1]


def _draft_of(event: Event) -> Draft:
    from datetime import datetime

    start = datetime.fromisoformat(event.when)
    period = Period(start, start, event.when, event.timed)
    return Draft(
        event.what, event.cohort, event.mark, Named(event.species, (event.species,)) if event.species else None, event.stage, event.instar, event.count, 0,
        event.estimate, False, event.enclosure, event.to, Named(event.host, (event.host,)) if event.host else None, event.detail, event.note, period, parent=event.parent,
        place=event.place, latitude=event.latitude, longitude=event.longitude, by=event.by,
    )  # fmt: skip


def _patched(draft: Draft, patch: Draft, event: Event) -> Draft:
    """The old event as a draft, with what the correction says in its place."""
    parts = {
        part: getattr(patch, part)
        for part in (
            "cohort",
            "mark",
            "species",
            "stage",
            "instar",
            "count",
            "less",
            "enclosure",
            "to",
            "host",
            "detail",
            "when",
            "impossible",
        )
        if getattr(patch, part) not in ("", None)
    }
    if parts.get("cohort") == event.cohort and not patch.mark:
        parts.pop("cohort", None)
    if patch.what and patch.what != draft.what:
        parts["what"] = patch.what
        parts.setdefault("detail", patch.detail)
        parts.setdefault(
            "stage", draft.stage if draft.what not in FROM else FROM[draft.what][0] if len(FROM[draft.what]) == 1 else ""
        )
    if event.what == "moved" and "enclosure" in parts and "to" not in parts:
        parts["to"] = parts.pop("enclosure")
    if "cohort" in parts and event.what not in ("laid", "found"):
        parts.setdefault("enclosure", "")
        parts["stage"] = patch.stage
        parts.setdefault("mark", "")
    if "enclosure" in parts and parts["enclosure"] and event.what in (*FROM, *LEAVING) and "stage" not in parts:
        parts["stage"] = ""
    if "host" in parts and not event.host and event.what not in ("fed", "laid", "found"):
        del parts["host"]
    if "species" in parts and event.what not in ("laid", "found", "identified"):
        parts.update(cohort="", enclosure="", stage=parts.get("stage", ""), mark="")
    return draft._replace(**parts)
