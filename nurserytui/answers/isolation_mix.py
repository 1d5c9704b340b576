"""What to mix for the tools and for the enclosures that wait for disinfection, by what is to be killed."""

from __future__ import annotations

from typing import NamedTuple

from nurserytui.amounts.mix import PPM_PER_PERCENT, share_for
from nurserytui.answers.agents import PARASITOIDS
from nurserytui.answers.mix_roles import Asked
from nurserytui.answers.mix_words import COMMON, parts_words, pour, thousands, volume_words
from nurserytui.answers.soaking import minutes
from nurserytui.answers.wording import number

CONTACT = {
    "OE": "contact-oe",
    "virus": "contact-virus",
    "microsporidia": "contact-oe",
    "fungus": "contact-virus",
    "disease not named": "contact-virus",
}
"""The rule on how long it soaks, by kind; the others by that of ordinary surfaces."""


EASY = (2, 4, 5, 8, 10, 20, 25, 50, 100, 200)
"""One part in so many is measured without reckoning."""


class Recipe(NamedTuple):
    """The mix against one kind of trouble."""

    share: float
    """Bleach as a share of the whole, so that the weakest common label still reaches the strength."""
    ppm_low: float
    ppm_high: float
    contact: object
    """Value in minutes."""
    rules: tuple
    """What it rests on."""

    def words(self) -> str:
        return f"{parts_words(self.share)} of household bleach in cold water ({thousands(self.ppm_low)}-{thousands(self.ppm_high)} ppm by the label)"


class Pour(NamedTuple):
    """One volume of it."""

    name: str
    litres: float
    stock_ml: float
    water_ml: float
    filled: bool
    """True where the enclosure is filled with it, False where it is washed down from a bucket."""

    def words(self) -> str:
        asked = Asked()
        how = "" if self.filled else ", from a bucket, kept wet"
        total = volume_words(self.litres * 1000)
        return f"for {self.name}{how}: {pour(self.stock_ml, asked)} of bleach into {pour(self.water_ml, asked)} of water ({total} in all)"


def recipe(knowledge, kind: str) -> Recipe:
    """Strength and contact time from the knowledge base."""
    strength = knowledge.rule(f"isolate-strength-{'parasitoid' if kind in PARASITOIDS else kind}")
    strength = strength or knowledge.rule("isolate-strength-virus")
    soak = knowledge.rule(CONTACT.get(kind, "contact-general"))
    if strength.unit == "ppm":
        # One part in so many that even the weakest label reaches what is asked for, in a number that is easy to pour.
        most = 1 / share_for(stock_percent=COMMON[0], target_ppm=strength.value)
        share = 1 / max((parts for parts in EASY if parts <= most), default=most)
    else:
        share = strength.value / 100
    low, high = (share * label * PPM_PER_PERCENT for label in COMMON)
    return Recipe(share, low, high, minutes(soak), (strength, soak))


def dish(knowledge, mix: Recipe) -> Pour:
    return _pour("the dish of tools", knowledge.rule("isolate-dish").value, mix, True)


def for_enclosure(knowledge, name: str, litres: float, mix: Recipe) -> Pour:
    """The whole volume of a small enclosure; a bucket for a larger one."""
    filled = litres <= knowledge.rule("isolate-fill").value
    return _pour(name, litres if filled else knowledge.rule("isolate-bucket").value, mix, filled)


def _pour(name: str, litres: float, mix: Recipe, filled: bool) -> Pour:
    stock = litres * 1000 * mix.share
    return Pour(name, litres, stock, litres * 1000 - stock, filled)


def soak_words(contact) -> str:
    """`30 minutes (10-30 by source)`."""
    hours = contact.value >= 120
    value = f"{number(contact.value / 60, 1)} hours" if hours else f"{number(contact.value)} minutes"
    if contact.low is None or contact.low == contact.value:
        return value
    return f"{value} ({number(contact.low)}-{number(contact.high)} minutes by source)"
