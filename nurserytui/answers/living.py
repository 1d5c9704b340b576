"""What share of animals is alive after so many days, and by which day half have died; two groups' curves side by side."""

from __future__ import annotations

import re

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.lifetimes import Curves, Share, Watch, curves, days_shown, share_at
from nurserytui.answers.selection import Wanted, about_words, join, whose_words
from nurserytui.answers.wording import OWN_RECORDS, capital, counted, listed, number

TOPIC = "survival"
LEVEL = 0.95
FEW = 5
"""Fewer animals than this make no curve."""
ASKED = re.compile(
    r"\bkaplan\b|\bcompare\b.*\bover (?:time|the days|days)\b|\b(?:how long|when|what day)\b.*\bhalf\b.*\b(?:die|dead|died|gone)\b|\bsurviv(?:al|orship) (?:curve|cure|over)\b|\b(?:curve|over (?:time|the days|days))\b.*\bsurviv|\bsurviv\w*\b.*\b(?:over (?:time|the days)|by day|day by day|curve)\b"
    r"|\bhow long (?:do|does|did|will)\b.*\b(?:live|last|survive)\b|\blife ?spans?\b|\blife expectancy\b|\bmedian (?:life|survival|age)\b|\boutlive\w*\b|\blive(?:d)? (?:longer|longest)\b"
    r"|\b(?:alive|living|left|survive\w*|surviving|survival|dead|died|lost)\b.*\b(?:after|at|by|past|within|first|in)\s+(?:the first\s+)?(?:day\s+\d+|(?:\d+|a|one|two|three|four)\s+(?:days?|weeks?|fortnight))\b"
    r"|\b(?:after|past|by)\s+(?:day\s+\d+|(?:\d+|a|one|two|three|four)\s+(?:days?|weeks?)).*\b(?:alive|living|left|survive\w*|surviving)\b"
)
"""Lines about how long animals live, not about how many reached a stage."""
COUNTED = {"a": 1, "one": 1, "two": 2, "three": 3, "four": 4}
ENTERING = re.compile(
    r"\b(?:from|since|after|as|in the|once)\s+(?:an? |the |they (?:are |became )?)?(hatch\w*|larva\w*|caterpillar\w*|pupa\w*|chrysali\w*|emerg\w*|adults?|butterfl\w+)"
)
SINCE = {
    "hatch": "larva",
    "larva": "larva",
    "cater": "larva",
    "pupa": "pupa",
    "chrys": "pupa",
    "emerg": "adult",
    "adult": "adult",
    "butte": "adult",
}


ENDED = {"alive": "alive now", "given": "given away", "counted": "missing at a count", "split off": "gone on elsewhere"}
"""How the watch on animals ended, where the word of the records alone would not do."""


def asks_how_long(plain: str) -> bool:
    return bool(ASKED.search(plain))


def days_asked(plain: str) -> float | None:
    """The number of days that a line names: `after 10 days`, `at day 10`, `two weeks`."""
    found = re.search(r"\bday (\d+)\b|\b(\d+|a|one|two|three|four)[ -](day|week|fortnight)s?\b", plain)
    if not found:
        return None
    if found[1]:
        return float(found[1])
    count = COUNTED.get(found[2]) or int(found[2])
    return float(count * {"day": 1, "week": 7, "fortnight": 14}[found[3]])


def since_stage(request) -> str | None:
    """The stage from whose beginning the days count; None for the day they came in."""
    if (match := ENTERING.search(request.plain)) is not None:
        return next(stage for head, stage in SINCE.items() if match[1].startswith(head[:4]))
    return request.stages[0] if len(request.stages) == 1 and request.stages[0] != "egg" else None


def how_long(request, nursery, want: Wanted, groups) -> Answer:
    """The survival curve of the animals meant as a small table, or of two groups with the log-rank test between them."""
    since = since_stage(request)
    if request.stages == ("egg",) and not want.came and len(groups) < 2:
        want = want._replace(came=("", "egg"))
    if len(groups) > 1:
        from nurserytui.answers.outliving import compared

        return compared(request, nursery, want, groups, since)
    return _curve(request, nursery, want, since)


def from_words(since: str | None) -> str:
    return {None: "coming in", "larva": "hatching or coming in as a larva", "pupa": "pupating", "adult": "emerging"}.get(
        since, f"becoming {since}"
    )


def _curve(request, nursery, want: Wanted, since: str | None) -> Answer:
    from nurserytui.answers.survival import in_period

    narrowed, period = in_period(request, nursery, want)
    narrowed = narrowed._replace(stages=(), instar=None)
    whose = f"{whose_words(nursery, want)}{f' in {listed(want.enclosures)}' if want.enclosures else ''}{period}"
    told_curves = curves(nursery, narrowed, since)
    watch = told_curves.watch
    if not watch.animals:
        first = f"No animals of {whose} have been watched from {from_words(since)} on."
        return Answer("unknown", TOPIC, first, sources=(OWN_RECORDS,), next=("survival by species", "headcount"))
    asked = days_asked(request.plain)
    shares = [share_at(told_curves, day) for day in days_shown(watch, asked)]
    values = _values(told_curves)
    told = next((share for share in shares if share.days == asked), None)
    median = median_words(told_curves, whose)
    if told is not None:
        values["rate"] = Value(round(told.alive, 4), "fraction", round(told.low, 4), round(told.high, 4), LEVEL)
        values["days"] = Value(told.days, "days")
        first = join(_share_words(watch, told, whose, since), "" if watch.animals < FEW else median)
    elif watch.animals < FEW:
        first = f"{capital(counted(watch.animals, 'animal'))} of {whose}, {watch.died.total()} dead: too few to say how long they live."
    else:
        first = median
    dead = watch.died.total()
    lines = [
        first,
        f"Days from {from_words(since)}:" if shares else "",
        *(f"- {_row(share)}" for share in shares),
        f"{counted(watch.animals, 'animal')} in all: {dead} died; {ended_words(watch)}." if dead < watch.animals else "",
        beyond(watch),
    ]
    return Answer(
        "answered",
        TOPIC,
        join(*lines),
        about=about_words(nursery, want, since or ""),
        values=values,
        items=tuple(_item(share) for share in shares),
        working=_working(watch, since),
        sources=(OWN_RECORDS,),
        cautions=("The wild may be kinder or harder: these are days in this nursery, and release ends the watch.",)
        if since in (None, "adult") and watch.why["released"]
        else (),
        next=_next(want),
    )


def ended_words(watch: Watch) -> str:
    """How the watch on the others ended: `84 alive now, 69 released, 1 escaped`."""
    ended = {why: count for why, count in watch.why.most_common() if why != "died"}
    return listed(f"{count} {ENDED.get(why, why)}" for why, count in ended.items())


def _share_words(watch: Watch, share: Share, whose: str, since: str | None) -> str:
    days = counted(int(share.days), "day")
    if share.days > watch.longest():
        return (
            f"None of {whose} has been watched for {days} from {from_words(since)} on: the longest was {number(watch.longest())} days, "
            f"when {percent(share.alive)} were alive."
        )
    few = " With so few animals that says little." if watch.animals < FEW else ""
    return (
        f"{days} after {from_words(since)} {percent(share.alive)} of {counted(watch.animals, 'animal')} of {whose} were alive "
        f"(95 % interval {spread(share.low, share.high)}); {share.standing} of them were watched for longer.{few}"
    )


def median_words(told: Curves, whose: str) -> str:
    watch, curve = told.watch, told.recorded
    middle, (low, high) = curve.median(), curve.median_interval(LEVEL)
    if middle is not None:
        until = f"{number(high)}" if high is not None else "later than could be seen"
        since = number(low) if low is not None else "0"
        return f"Half of {whose} had died by day {number(middle)} (95 % interval {since} to {until})."
    last = curve.survival[-1] if curve.survival else 1.0
    if not watch.died:
        days = number(watch.longest())
        over = f"{days} day{'' if days == '1' else 's'}"
        return f"None of {counted(watch.animals, 'animal')} of {whose} has died, over up to {over}: there is no median to tell."
    return (
        f"The share alive of {whose} never fell to a half, so there is no median: {percent(last)} were alive after the last death, "
        f"on day {number(curve.times[-1])}."
    )


def _row(share: Share) -> str:
    either = spread(share.early, share.late)
    unsure = f"; {either} by when between two looks they died" if round(share.early, 2) != round(share.late, 2) else ""
    return f"day {number(share.days)}: {percent(share.alive)} alive ({spread(share.low, share.high)}), {share.standing} watched for longer{unsure}"


def _item(share: Share) -> dict:
    return {
        "name": f"day {number(share.days)}",
        "label": _row(share),
        "days": share.days,
        "rate": round(share.alive, 4),
        "low": round(share.low, 4),
        "high": round(share.high, 4),
        "at_risk": share.standing,
        "earliest": round(share.early, 4),
        "latest": round(share.late, 4),
    }


def beyond(watch: Watch) -> str:
    """How little the end of a curve rests on."""
    last = max(watch.died, default=0.0)
    left = watch.standing(last)
    if not watch.died or left >= FEW:
        return ""
    if not left:
        return f"Past day {number(last)} none was watched any more."
    return f"Past day {number(last)} only {left} {'was' if left == 1 else 'were'} watched: the end of the curve rests on so few."


def _values(told: Curves) -> dict[str, Value]:
    watch, curve = told.watch, told.recorded
    middle, (low, high) = curve.median(), curve.median_interval(LEVEL)
    share = curve.survival[-1] if curve.survival else 1.0
    bounds = curve.interval(curve.times[-1], LEVEL) if curve.times else (None, 1.0)
    values = {
        "rate": Value(
            round(share, 4), "fraction", None if bounds[0] is None else round(bounds[0], 4), round(bounds[1], 4), LEVEL
        ),
        "n": Value(watch.animals, "animals"),
        "died": Value(watch.died.total(), "animals"),
        "median": Value(middle, "days", low, high, LEVEL, "" if middle is not None else "half have not been seen to die"),
    }
    earliest, latest = told.early.median(), told.late.median()
    if middle is not None and (earliest, latest) != (middle, middle):
        values["median_by_looks"] = Value(middle, "days", earliest, latest)
    return values


def _working(watch: Watch, since: str | None) -> tuple[str, ...]:
    return (
        f"Days are counted from {from_words(since)} to the death as recorded; {counted(watch.died.total(), 'death')} among {counted(watch.animals, 'animal')}.",
        "Released, given away, escaped, missing and living animals count for as long as they were watched, and not as deaths (Kaplan-Meier).",
        "The interval is Greenwood's on the scale of log(-log); where none or all have died, Wilson's for those watched so long.",
        "A death is known to lie between the look before it and its record: the bounds “by when between two looks” take every death as early "
        "and as late as that allows, and living animals as seen at their last look for the early one.",
        "Animals that cannot be told apart are taken to leave a group in the order in which they came.",
    )


def percent(share: float) -> str:
    return f"{number(share * 100, 0 if 0.1 < share < 0.9 else 1)} %"


def spread(low: float, high: float) -> str:
    return f"{number(low * 100, 0)}-{number(high * 100, 0)} %"


def _next(want: Wanted) -> tuple[str, ...]:
    whose = f" of {want.cohorts[0]}" if len(want.cohorts) == 1 else ""
    return (
        f"survival{whose or ' by stage'}",
        f"what killed {want.cohorts[0]}" if whose else "causes of death",
        "survival by season",
    )
