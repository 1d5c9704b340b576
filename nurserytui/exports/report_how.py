"""How the numbers of a season's report were computed, what they cannot carry, and what they rest on."""

from __future__ import annotations

from nurserytui.answers.wording import counted
from nurserytui.exports.page_html import listing, section
from nurserytui.exports.report_rates import FIGURES
from nurserytui.exports.season_values import Report

SMALL = 10
"""Animals of known fate below which a share is called a small number."""


def how(of: Report, figures: FIGURES) -> str:
    page = of.page
    few = of.sums.adult.known < SMALL
    told = [
        f"A cohort belongs to the season in which it began; season {of.year} runs from {page.start} to {page.end}. What befell older cohorts in its months is told apart.",
        "A share is of the animals of known fate: those that reached the stage, and those that died before it. Living, given away, escaped and missing ones are counted "
        "neither way. Its interval is Wilson's at 95 %: the truth behind such a count would lie in it nineteen times in twenty.",
        "Curves are Kaplan and Meier's, their intervals Greenwood's on the scale of log(-log). Days are counted from coming in to the death as recorded.",
        "Somebody has to look to see a change: it lies between the look before it and the look that found it.",
        "Forecasts take published or observed growth by temperature, the temperatures measured so far and then the last week's, and what this nursery's own cohorts showed. They are made "
        f"for {page.now:%Y-%m-%d %H:%M} and go out of date.",
        "The mean of a day weighs each reading by the time it stands for. Degree-days are summed above the species' published threshold on the days measured; days without readings "
        "are left out, not guessed, so that the true sums are higher.",
    ]
    caveats = []
    if few and of.told is not None:
        known = f"only {counted(of.sums.adult.known, 'animal')}" if of.sums.adult.known else "no animal yet"
        caveats.append(
            f"Small numbers: {known} of known fate on the way to adult, and chance alone can move a share by the whole of its interval."
        )
    if page.running or of.sums.here:
        caveats.append(
            f"Still open: {counted(of.sums.here.total(), 'animal')} of the season alive. Deaths show sooner than adults do, so that shares may still change either way."
        )
    caveats += [
        "Animals of one cage, clutch or outbreak do not live or die independently of each other, so that intervals are rather too narrow than too wide."
    ]
    sources = [f"This nursery's own records, {page.start} to {min(page.end, page.now.date())}.", *of.sources]
    return section(
        "how", "How these numbers were computed", listing(told), "<h3>To be kept in mind</h3>", listing(caveats), "<h3>Sources</h3>", listing(sources)
    )  # fmt: skip
