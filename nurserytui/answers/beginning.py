"""What there is to do first in an empty nursery: three records, each with a sentence to change and send."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple


class Step(NamedTuple):
    what: str
    """What there is to do."""
    example: str
    """A sentence that does it, with names that are to be changed."""
    done: bool
    past: str
    """That it is done."""


def steps(nursery) -> tuple[Step, ...]:
    """The three steps in their order. The example of the first asks only for what is lacking."""
    told = {event.detail.partition("=")[0] for event in nursery.ledger.chronicle.events_of("setting")}
    place = "units: C" if "place" in told else "we are in Quillmere" if "units" in told else "we are in Quillmere, units C"
    unit = nursery.settings.units or "C"
    warm = "the room is 72 F" if unit == "F" else "the room is 22 C"
    return (
        Step("name the place and the units", place, {"place", "units"} <= told, "the place and the units are told"),
        Step("tell how warm it is where they stand", warm, bool(nursery.measured_places()), "a temperature is told"),
        Step(
            "write down the first find",
            "found 3 monarch eggs on milkweed, jar 1",
            bool(nursery.ledger.cohorts),
            "the first animals are written down",
        ),
    )


def told(steps: Sequence[Step], before: Sequence[Step] = ()) -> str:
    """The steps as the conversation tells them: all of them at first, then what `before` was not done yet and what comes next."""
    if not before:
        rows = [f"{number}  {_row(step)}" for number, step in enumerate(steps, 1)]
        lead = "An empty nursery. Three things to begin with, in any order; a number and Enter puts its sentence on the line, to be changed and sent:"
        return "\n".join([lead, *rows, "Or ask anything: “help” shows what can be said."])
    fresh = [step for step, was in zip(steps, before) if step.done and not was.done]
    changed = [was.example != step.example for step, was in zip(steps, before)]
    if not fresh and not any(changed):
        return ""
    left = choices(steps)
    done = f"Done: {', '.join(step.past for step in fresh)}." if fresh else ""
    if not left:
        return f"{done} That is all there is to begin with; “help” shows what can be asked now."
    rows = [f"{number}  {_row(steps[number - 1])}" for number in left]
    return "\n".join([f"{done} Still to do:".strip(), *rows])


def choices(steps: Sequence[Step]) -> dict[int, str]:
    """The number of each step that is not done, and its sentence."""
    return {number: step.example for number, step in enumerate(steps, 1) if not step.done}


def _row(step: Step) -> str:
    return f"done: {step.past}" if step.done else f"{step.what}: {step.example}"
