"""Amounts of a mix that a later line changes: which per cent is the label's, and which is the strength wanted."""

from __future__ import annotations

import re

from nurserytui.language.line import Line
from nurserytui.language.request import Amount, Request

TARGETS = ("ppm", "ratio")
HOUSEHOLD = (5, 9)
"""Per cent that household bleach can have on its label."""
NO_MIX, SHARES = 2.5, (10, 20, 50)
"""Per cent of active from which nobody mixes; per cents that are said of household bleach by volume."""
LABELLED = re.compile(
    r"\b(label|(back|front|side) of|bottle says|says on|on the (bottle|jug|tin|box|carton)|according to|marked|the stuff is"
    r"|(it|mine|ours|that|this|the other|(?:bottle|jug|can|canister|jerrycan|carton|tin|stuff|bleach|stock)) (only |just |really )?(has|holds|contains|says|reads)"
    r"|(has|have|had|got) (only|just|no more than)|only (has|have|got))\b|\b\d+ ?(%|percent|per cent) only\b"
)
"""Words that tell what the label of the stock says."""


def amounts(before: tuple[Amount, ...], new: tuple[Amount, ...], stock: bool, share: bool = False) -> tuple[Amount, ...]:
    """Amounts with the new ones in the place of those of their kind. With `stock` a percentage is the bottle's strength, never the
    strength wanted; with `share` the only percentage there was is the strength wanted (`10 % bleach`); a strength wanted replaces one of another kind too (`1:10`, then `and at 1000 ppm`)."""
    result = list(before)
    for amount in new:
        percents = [each for each in result if each.kind == "percent"]
        targets = [each for each in result if each.kind in TARGETS]
        labelled = bool(targets and percents) and HOUSEHOLD[0] <= amount.value <= HOUSEHOLD[1]
        labelled |= _of_another_label(amount, percents, targets)
        if amount.kind == "percent" and (stock or labelled):
            old = _label(percents) if len(percents) > 1 or (percents and targets) else None
        elif amount.kind == "percent":
            old = _wanted(percents) if percents and not targets else (targets or percents or [None])[0]
        elif amount.kind in TARGETS:
            old = targets[0] if targets else (_wanted(percents) if len(percents) > 1 or (percents and share) else None)
        else:
            same = [each for each in result if each.kind == amount.kind]
            old = same[-1] if same else None
        if old is None:
            result.append(amount)
        else:
            result[result.index(old)] = amount
    return tuple(result)


def _of_another_label(amount: Amount, percents: list[Amount], targets: list[Amount]) -> bool:
    """Whether a per cent after a mix with label and strength is that of another label: no mix is as strong as its stock, and none for a
    nursery has that much. `10 % bleach` and the like mean a share."""
    if not percents or len(percents) + len(targets) < 2 or amount.kind != "percent" or amount.value in SHARES:
        return False
    return amount.value >= _label(percents).value or amount.value >= NO_MIX


def target_of(amounts: tuple[Amount, ...]) -> Amount | None:
    """Of the amounts of a mix the strength wanted, None where there is none."""
    percents = [each for each in amounts if each.kind == "percent"]
    return next((each for each in amounts if each.kind in TARGETS), None) or (_wanted(percents) if percents else None)


def labels(line: Line) -> bool:
    """Whether the line tells what the label says."""
    return bool(LABELLED.search(line.plain)) and any(span.value.kind == "percent" for span in line.of("amount"))


def label_asked(before: Request, new: Request) -> bool:
    """Whether a per cent alone answers the question for the label: a strength was wanted, and no other per cent was said."""
    strengths = [each for each in before.amounts if each.kind in ("percent", "ppm")]
    return before.topic == "dilution" and new.layer == "reply" and len(strengths) == 1


def _label(percents: list[Amount]) -> Amount:
    """Of several per cents the one on a bottle: the only one that household bleach can have (5-9 %), else the highest."""
    likely = [each for each in percents if HOUSEHOLD[0] <= each.value <= HOUSEHOLD[1]]
    return likely[0] if len(likely) == 1 else max(percents, key=lambda each: each.value)


def _wanted(percents: list[Amount]) -> Amount:
    """The per cent wanted of a mix: the lowest that is not the label."""
    label = _label(percents) if len(percents) > 1 else None
    return min((each for each in percents if each is not label), key=lambda each: each.value)
