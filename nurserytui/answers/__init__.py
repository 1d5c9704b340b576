"""A function per topic, each `(Request, Nursery) -> Answer`, loaded when first asked for."""

from __future__ import annotations

from importlib import import_module

from nurserytui.language.request import DANGLING

TOPICS = {
    "stage-forecast": "forecasts:stage_forecast",
    "stage-duration": "durations:stage_duration",
    "hosts-of-species": "hosts:hosts_of_species",
    "species-on-host": "hosts:species_on_host",
    "egg-identification": "eggs:egg_identification",
    "egg-viability": "egg_life:egg_viability",
    "cutting-care": "plants:cutting_care",
    "food-supply": "food:food_supply",
    "density": "room:density",
    "dilution": "mixing:dilution",
    "hygiene": "housing:hygiene",
    "health-sign": "signs:health_sign",
    "exposure": "exposure:exposure",
    "release": "seasons:release",
    "overwintering": "wintering:overwintering",
    "round": "round:round_today",
    "headcount": "headcount:headcount",
    "history": "history:history",
    "survival": "survival:survival",
    "temperature": "temperature:temperature",
    "convert": "mixing:convert",
    "safety": "safety:safety",
    "law": "safety:law",
    "about-species": "about_species:about_species",
    "about-host": "about_host:about_host",
    "about-agent": "about_agent:about_agent",
    "record": "record:record",
    "undo": "taking_back:undo",
    "explain": "talk:explain",
    "help": "talk:help_topics",
}


def respond(request, nursery):
    """Answer one understood request; a line that was not understood gets `talk:not_understood`, one
    about nobody in particular asks back whom it means."""
    if "dropped" in request.cues:
        from nurserytui.answers.answer import Answer

        done = "changed" if request.topic == "undo" else "written"
        return Answer("answered", request.topic or "help", f"All right, nothing was {done}.")
    if request.layer == DANGLING and request.topic != "exposure":  # which knows whom `when was it stung` means
        from nurserytui.answers.talk import whom

        return whom(request, nursery)
    module, function = TOPICS.get(request.topic, "talk:not_understood").split(":")
    answer_one = getattr(import_module(f"nurserytui.answers.{module}"), function)
    if request.mark and request.marks:
        from nurserytui.answers import several_marks

        if several_marks.named(request):
            return several_marks.each(request, nursery, answer_one)
    return answer_one(request, nursery)
