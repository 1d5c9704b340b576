"""Whom the lines before were about, for a line that leaves it out."""

from __future__ import annotations

from nurserytui.language.request import Named


def spoken_of(turns: list, inside: bool) -> dict[str, tuple]:
    """Slots that name what the newest turn with animals, a plant or a place was about: its question's first, else its answer's."""
    for turn in reversed(turns):
        request, about = turn.request, turn.answer.about or {}
        found: dict[str, tuple] = {}
        for slot, name in (("cohorts", "cohort"), ("enclosures", "enclosure")):
            told = _of_all_events(turn, name)
            value = told or getattr(request, slot) or ((about[name],) if about.get(name) else ())
            if value:
                found[slot] = value
        if inside and request.event == "moved" and (moved := next((draft.to for draft in request.drafts if draft.to), "")):
            found["enclosures"] = (moved,)
        for slot, name in (("species", "species"), ("hosts", "host"), ("agents", "agent")):
            value = getattr(request, slot) or ((Named(str(about[name]), (str(about[name]),)),) if about.get(name) else ())
            if value:
                found[slot] = value
        if request.marks:
            found["marks"] = request.marks
        if request.mark or about.get("mark"):
            found["mark"] = request.mark or str(about["mark"])
        if "cohorts" in found and "species" in found and not request.species:
            del found["species"]
        if request.topic == "exposure" and not request.cohorts:
            exposed = [item for item in turn.answer.items or () if item.get("class") != "unlikely" and item.get("count")]
            found["cohorts"] = tuple(dict.fromkeys(item["cohort"] for item in exposed if item.get("cohort"))) or found.get(
                "cohorts"
            )
            found = {slot: value for slot, value in found.items() if value and (inside or slot != "enclosures")}
        if inside and "enclosures" not in found:
            places = {item.get("enclosure") for item in turn.answer.items or () if isinstance(item, dict)} - {None, ""}
            if len(places) == 1:
                found["enclosures"] = (places.pop(),)
        if not found and request.topic == "headcount" and (listed := _listed(turn.answer)):
            found["cohorts"] = listed
            found |= {"stages": request.stages} if request.stages else {}
        if found and (not inside or "enclosures" in found):
            return found
    return {}


def _of_all_events(turn, name: str) -> tuple[str, ...]:
    """The cohorts, or the enclosures, of a line that told of several events: what was told first is not all that it was about."""
    events = [item for item in turn.answer.items or () if isinstance(item, dict)] if turn.request.topic == "record" else []
    return tuple(dict.fromkeys(event[name] for event in events if event.get(name))) if len(events) > 1 else ()


FEW = 8
"""Cohorts that `they` may stand for at most."""


def _listed(answer) -> tuple[str, ...]:
    """The cohorts that a count listed, where they are few."""
    told = (item.get("name") for item in answer.items or () if isinstance(item, dict) and item.get("stage"))
    cohorts = tuple(dict.fromkeys(name for name in told if name))
    return cohorts if len(cohorts) <= FEW else ()
