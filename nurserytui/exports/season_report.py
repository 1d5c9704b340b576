"""A season on one self-contained page, with pictures: what came in, what became of it, how warm it had it, what is expected."""

from __future__ import annotations

from nurserytui.answers.wording import counted
from nurserytui.exports.drawn import NotDrawn, drawn
from nurserytui.exports.page_html import figure, page, paragraph
from nurserytui.exports.report_animals import header
from nurserytui.exports.report_sections import SECTIONS, pictures_of
from nurserytui.exports.season_values import gathered, season_of_report
from nurserytui.records.progress import Progress


def report(nursery, progress: Progress | None = None, *, year: int | None = None) -> tuple[str, int, int, str]:
    """(the page as HTML text, the season, the number of cohorts that began in it, why it has no pictures or "").

    Everything from the records is escaped; the same records and moment give the same text. `year` is the season, without it the running
    one or the last that has cohorts; StoreError if nothing is known of it. `progress` may raise `Stopped`.
    """
    year = season_of_report(nursery, year)
    values = gathered(nursery, year, progress)
    wanted = pictures_of(values)
    try:
        found, lacking = drawn(wanted, progress), ""
    except NotDrawn as error:
        found, lacking = [], str(error)
    figures = {picture.name: figure(picture.name, svg, picture.caption) for picture, svg in zip(wanted, found)}
    if lacking:
        figures[""] = paragraph("The pictures could not be drawn here; the tables hold all of their numbers.", "quiet")
    place = nursery.settings.place
    title = f"Season {year}{f', {place}' if place else ''}"
    sections = [build(values, figures) for _, _, build in SECTIONS]
    contents = [(name, title) for (name, title, _), text in zip(SECTIONS, sections, strict=True) if text]
    foot = f"Computed from {counted(len(nursery.events), 'event')} in this nursery's own records, as of {nursery.now:%Y-%m-%d %H:%M}."
    text = page(title, header(values, title, nursery.now), contents, [text for text in sections if text], paragraph(foot))
    return text, year, sum(not cohort.parted for cohort in values.cohorts), lacking
