"""How fast a cohort's larvae go by the instar they were recorded in: from the hatch that was seen to the last moult that was."""

from __future__ import annotations

from datetime import timedelta
from math import exp, hypot, log

from nurserytui.answers.learned import Taught
from nurserytui.answers.warmth import Warmth
from nurserytui.biology.groups import MONARCH_INSTAR_SHARES, Stage

SEEN_WITHIN = timedelta(days=3)
"""How long before it is written down a moult can have been at most: larvae sit still for it, and their colours and head are new then (a
judgement of this program; an earlier look makes it less)."""
SHARES_OFF = 0.2
"""How far instars may be off their shares of larval time (log standard deviation): by species, and between animals of one cohort."""
WORTH_SAYING = 0.05


def moult_began(entry, late):
    """The earliest moment of a moult that was written down by `late`."""
    return max(min(entry.earliest, late), min(entry.latest, late) - SEEN_WITHIN)


def pace_of(nursery, label: str, heads, stage: Stage, warm: Warmth) -> Taught | None:
    """The larval stage at the pace of the cohort's own instars, with what stays uncertain; None where no hatch or no later moult was seen.

    The part of larval time that passed from hatching to the moult, at the temperatures there were, against the part that those instars
    have: both normal on the log scale, weighted by their precision.
    """
    moments = [
        (key.instar, entry)
        for key, _ in heads
        if key.stage == "larva" and key.instar and 1 < key.instar <= len(MONARCH_INSTAR_SHARES)
        for entry in nursery.ledger.entries(label, "larva", key.instar)
        if entry.how == "changed" and entry.left
    ]
    hatches = [entry for entry in nursery.ledger.entries(label, "larva") if entry.how == "changed"]
    if not moments or not hatches or any(entry.how == "found" for entry in nursery.ledger.entries(label, "larva")):
        return None
    instar, moult = max(moments, key=lambda pair: pair[0])
    late = min(moult.latest, nursery.moment)
    after, by = min(entry.earliest for entry in hatches), max(min(entry.latest, nursery.moment) for entry in hatches)
    least = warm.timeline.progress(stage.curve, by, max(moult_began(moult, late), by))
    most = warm.timeline.progress(stage.curve, after, late)
    share = sum(MONARCH_INSTAR_SHARES[: instar - 1])
    if not 0.0 < least <= most:
        return None
    middle, width = (log(least / share) + log(most / share)) / 2, log(most / least)
    off = hypot(SHARES_OFF, width / 12**0.5)
    weight = stage.between**2 / (stage.between**2 + off**2) if stage.between else 0.0
    shift, between = weight * middle, stage.between * (1 - weight) ** 0.5
    if abs(shift) < WORTH_SAYING and stage.between - between < WORTH_SAYING * stage.between:
        return None
    words = (
        f"Own pace: from hatching to the moult to instar {instar} ({late:%Y-%m-%d}) {least:.0%} to {most:.0%} of the larval time passed, where "
        f"{share:.0%} is usual; the larva is taken {abs(exp(shift) - 1):.0%} {'slower' if shift > 0 else 'faster'} for it."
    )
    return Taught(stage._replace(curve=stage.curve.scaled(exp(shift)), between=between), words)
