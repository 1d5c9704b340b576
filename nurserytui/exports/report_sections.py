"""The parts of a season's report in their order, and the pictures that stand in them."""

from __future__ import annotations

from nurserytui.exports import calendar_picture, report_animals, report_days, survival_picture, warmth_picture
from nurserytui.exports.picture import Picture
from nurserytui.exports.report_how import how
from nurserytui.exports.report_rates import seasons_drawn, stage_rates
from nurserytui.exports.season_values import Report

INTERVALS = (
    "The dot is the share of the animals of known fate, the line its 95 % interval. A hollow dot on a broken line is of animals most of whose "
    "story is still to come."
)


def pictures_of(of: Report) -> list[Picture]:
    """All pictures of the report, each with a name of its own."""
    found = [
        survival_picture.curves(of.page),
        survival_picture.shares("stages", "Share that got through, stage by stage", stage_rates(of), INTERVALS)
        if of.page.stages
        else None,
        *calendar_picture.pictures(of.calendar, of.year),
        *warmth_picture.days(of.page),
        warmth_picture.heat(of.page),
        survival_picture.shares("seasons", "Share that became adult, by season", seasons_drawn(of), INTERVALS)
        if len(of.page.beside) > 1
        else None,
    ]
    return [one for one in found if one is not None]


SECTIONS = (
    ("cohorts", "Cohorts", report_animals.cohorts),
    ("survival", "Survival", report_animals.survival),
    ("calendar", "Calendar", report_days.calendar),
    ("warmth", "Temperatures", report_days.warmth),
    ("losses", "Losses", report_animals.losses),
    ("next", "Expected next", report_days.coming),
    ("dates", "First and last dates", report_animals.dates),
    ("seasons", "Other seasons", report_animals.seasons),
    ("how", "How these numbers were computed", how),
)
"""Name, title and maker of each part."""
