"""What was written down last, read back."""

from __future__ import annotations

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.record import item
from nurserytui.answers.record_wording import moment_words, told
from nurserytui.answers.taking_back import to_take_back
from nurserytui.answers.wording import OWN_RECORDS

TOPIC = "history"


def read_back(request, nursery) -> Answer:
    """The records that an undo would take back now: the last of this conversation, else the newest."""
    events = [event for event in to_take_back(request, nursery) if event.what != "withdrawn"]
    if not events:
        return Answer("answered", TOPIC, "Nothing is written down yet.")
    first = events[0]
    lines = [f"{told(event, nursery.knowledge)} ({moment_words(event.when)})." for event in events]
    about = {"event": first.what, "cohort": first.cohort, "mark": first.mark, "enclosure": first.enclosure, "stage": first.stage}
    return Answer(
        "answered",
        TOPIC,
        "\n".join([f"Written down last: {lines[0]}", *(f"Also: {line}" for line in lines[1:]), "Say undo to take it back."]),
        about={name: value for name, value in about.items() if value},
        values={"events": Value(len(events), "events")} | ({"count": Value(first.count, "animals")} if first.count else {}),
        items=tuple(item(event, nursery.knowledge) for event in events),
        working=(f"{len(events)} events were written with the last line.",),
        sources=(OWN_RECORDS,),
        next=("undo",),
    )
