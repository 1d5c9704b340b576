"""Mixes that are there already: made weaker with water, made stronger with the stock, or poured together."""

from __future__ import annotations

import re
from typing import NamedTuple

from nurserytui.amounts.mix import PPM_PER_PERCENT
from nurserytui.answers.answer import Value
from nurserytui.answers.mix_bare import with_bare_strength
from nurserytui.answers.mix_roles import Placed, is_volume, millilitres, of_water, placed_in
from nurserytui.answers.mix_words import COMMON, thousands, volume_words
from nurserytui.answers.wording import number

STRONGEST_LABEL = 9.0
"""Per cent from which `20 % bleach` beside a volume is a share of household bleach, and no label."""
_LINK = re.compile(
    r"\s*(?:of|at|with|that's|that is|which is|is|was|=|a|an|the|my|mixed|made|up|to|bleach|mix|solution|it|lot|batch)*"
    r"(?:\s+(?:of|at|with|that's|that is|which is|is|was|=|a|an|the|my|mixed|made|up|to|bleach|mix|solution|it|lot|batch))*\s*"
)
"""Words that may stand between a volume and the strength that it has."""
_TOGETHER = re.compile(r"\b(and|plus|with|into|together|to|mix\w*|combin\w*|pour\w*|add\w*|top\w*|tip\w*|join\w*)\b|\+")
_WEAKER = re.compile(
    r"\bwater\b|\b(weaken|dilut|thin)\w*|\b(too strong|strong|down|bring|meant|should have been|supposed|instead|only (want|need)\w*|want|need|wanted|needed)\b"
)
_MEANT = re.compile(r"\b(meant|want\w*|need\w*|should|supposed)\b")
_MADE = re.compile(r"\b(made|mixed|meant|too strong)\b.*\bwater\b|\bwater\b.*\b(made|mixed|meant|too strong)\b")
"""Tells that a mix was made, and asks for water to put it right."""
_STRONGER = re.compile(r"\b(more|extra|add\w*|too weak|stronger|strengthen|beef|bring|raise|boost|up to|top\w*)\b")


class Mix(NamedTuple):
    volume: float
    """Millilitres."""
    strength: float
    """ppm, or the share of stock."""
    said: str


class Told(NamedTuple):
    """What a line asks of mixes that are there, reckoned."""

    lines: list[str]
    values: dict[str, Value]
    working: list[str]
    label: float | None = None
    """Per cent of the stock that was told."""


def told(request) -> Told | None:
    """The answer to a line about mixes that are there; None where it is about something else."""
    placed = placed_in(with_bare_strength(request))
    plain = request.text.casefold()
    strengths = [each for each in placed if each.amount.kind in ("ppm", "percent", "ratio")]
    labels = [each for each in strengths if each.amount.kind == "percent"] if _kinds(strengths) == {"ppm", "percent"} else []
    strengths = [each for each in strengths if each not in labels]
    if len(_kinds(strengths)) != 1 or len(labels) > 1:
        return None
    mixes, waters, loose = _mixes(placed, strengths)
    ppm = strengths[0].amount.kind == "ppm"
    if not ppm and not _shares(strengths, plain):
        return None
    if not loose and not labels and len(mixes) + len(waters) > 1 and (len(mixes) > 1 or waters) and _TOGETHER.search(plain):
        return _joined([*mixes, *waters], ppm)
    volumes = [each for each in placed if is_volume(each.amount)]
    if len(loose) == 2 and len(volumes) == 1 and _MADE.search(plain):
        held = max(loose, key=_value)
        mixes = [Mix(millilitres(volumes[0].amount), _value(held), held.amount.said)]
        loose.remove(held)
    if len(mixes) != 1 or len(loose) != 1 or waters or len(volumes) != 1:
        return None
    wanted = _value(loose[0])
    if wanted < mixes[0].strength and not labels and _WEAKER.search(plain):
        return _weaker(mixes[0], wanted, loose[0].amount.said, ppm)
    stock = labels[0].amount.value * PPM_PER_PERCENT if labels else None
    if ppm and stock and mixes[0].strength < wanted < stock and _STRONGER.search(plain):
        return _stronger(mixes[0], wanted, stock)
    return None


def _kinds(placed: list[Placed]) -> set[str]:
    return {each.amount.kind for each in placed}


def _shares(strengths: list[Placed], plain: str) -> bool:
    """Whether per cents or ratios are shares of household bleach, not labels: a ratio, or more per cent than a label has."""
    if strengths[0].amount.kind == "ratio":
        return True
    return max(each.amount.value for each in strengths) > STRONGEST_LABEL and not re.search(
        r"\b(hypo|chlorine|alcohol|peroxide|iso)", plain
    )


def _value(each: Placed) -> float:
    return each.amount.value / 100 if each.amount.kind == "percent" else each.amount.value


def _mixes(placed: list[Placed], strengths: list[Placed]) -> tuple[list[Mix], list[Mix], list[Placed]]:
    """Volumes with the strength that stands beside each, volumes of water, and the strengths that no volume has."""
    mixes, waters, taken = [], [], []
    for at, each in enumerate(placed):
        if not is_volume(each.amount):
            continue
        if of_water(each):
            waters.append(Mix(millilitres(each.amount), 0.0, "water"))
            continue
        after = placed[at + 1] if at + 1 < len(placed) else None
        before = placed[at - 1] if at else None
        if after in strengths and _LINK.fullmatch(each.after):
            strength = after
        elif (
            before in strengths
            and before not in taken
            and not _MEANT.search(before.before)
            and re.fullmatch(r"\s*(bleach|mix|solution)?\s*", each.before)
        ):
            strength = before
        else:
            continue
        taken.append(strength)
        mixes.append(Mix(millilitres(each.amount), _value(strength), strength.amount.said))
    return mixes, waters, [each for each in strengths if each not in taken]


def _joined(parts: list[Mix], ppm: bool) -> Told:
    total = sum(each.volume for each in parts)
    stuff = sum(each.volume * each.strength for each in parts)
    reached = stuff / total
    words = " and ".join(
        f"{volume_words(each.volume)} of {_words(each.strength, ppm)}"
        if each.strength
        else f"{volume_words(each.volume)} of water"
        for each in parts
    )
    lines = [f"{_words(reached, ppm)}: {words} are {volume_words(total)} in all."]
    sums = " + ".join(f"{number(each.volume, 1)} mL × {_figure(each.strength, ppm)}" for each in parts)
    working = [f"({sums}) / {number(total, 1)} mL = {_figure(reached, ppm)}."]
    return Told(lines, _values(reached, ppm) | {"total_volume": Value(total, "mL")}, working)


def _weaker(mix: Mix, wanted: float, said: str, ppm: bool) -> Told:
    total = mix.volume * mix.strength / wanted
    water = total - mix.volume
    lines = [
        f"Add {volume_words(water)} of water to the {volume_words(mix.volume)} of {mix.said}: {volume_words(total)} at {said} in all."
    ]
    working = [
        f"C1·V1 = C2·V2: {number(mix.volume, 1)} mL × {_figure(mix.strength, ppm)} / {_figure(wanted, ppm)} = {number(total, 1)} mL;"
        f" {number(total, 1)} - {number(mix.volume, 1)} = {number(water, 1)} mL of water."
    ]
    return Told(lines, _values(wanted, ppm) | {"water_volume": Value(water, "mL"), "total_volume": Value(total, "mL")}, working)


def _stronger(mix: Mix, wanted: float, stock: float) -> Told:
    added = mix.volume * (wanted - mix.strength) / (stock - wanted)
    total = mix.volume + added
    lines = [
        f"Add {number(added, 1)} mL of {number(stock / PPM_PER_PERCENT, 2)} % bleach to the {volume_words(mix.volume)}: {volume_words(total)} at {thousands(wanted)} ppm in all."
    ]
    working = [
        f"{number(mix.volume, 1)} mL × ({thousands(wanted)} - {thousands(mix.strength)}) / ({thousands(stock)} - {thousands(wanted)}) = {number(added, 2)} mL of stock."
    ]
    return Told(
        lines,
        _values(wanted, True) | {"stock_volume": Value(added, "mL"), "total_volume": Value(total, "mL")},
        working,
        stock / PPM_PER_PERCENT,
    )


def _words(strength: float, ppm: bool) -> str:
    return f"{thousands(strength)} ppm" if ppm else f"{number(strength * 100, 2)} % household bleach by volume"


def _figure(strength: float, ppm: bool) -> str:
    return f"{thousands(strength)} ppm" if ppm else f"{number(strength * 100, 2)} %"


def _values(strength: float, ppm: bool) -> dict[str, Value]:
    if ppm:
        return {"strength": Value(strength, "ppm")}
    low, high = (strength * each * PPM_PER_PERCENT for each in COMMON)
    return {"strength": Value(None, "ppm", low, high, reason="the label of the stock was not told")}
