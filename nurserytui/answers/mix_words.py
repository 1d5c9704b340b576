"""How a dilution is told: volumes, strength, steps, and the reading that was taken beside the one that was not."""

from __future__ import annotations

from nurserytui.amounts.kitchen import kitchen_words
from nurserytui.amounts.mix import PPM_PER_PERCENT
from nurserytui.answers.answer import Value
from nurserytui.answers.mix_roles import Asked
from nurserytui.answers.wording import number

COMMON = (5, 8.25)
"""Per cent on the label of household bleach, least and most."""


def times(share: float, asked: Asked) -> str:
    if asked.stock is None:
        return f"one part in {number(1 / share, 1)}"
    return f"{thousands(share * asked.stock * PPM_PER_PERCENT)} ppm"


def volumes(stock: float, water: float, total: float) -> dict[str, Value]:
    return {"stock_volume": Value(stock, "mL"), "water_volume": Value(water, "mL"), "total_volume": Value(total, "mL")}


def strength(asked: Asked, share: float, ppm: float | None) -> tuple[str, Value]:
    if asked.product != "bleach":
        percent = (
            f"{number(share * asked.stock, 2)} % {asked.product}"
            if asked.stock is not None
            else f"{number(share * 100, 1)} % of the {asked.product} by volume"
        )
        return f"The mix is {percent}.", Value(None, "ppm", reason="ppm is reckoned for chlorine only")
    if ppm is not None:
        percent = number(ppm / PPM_PER_PERCENT, 3)
        return f"Strength: {thousands(ppm)} ppm ({percent} % active), from a label of {number(asked.stock, 2)} %.", Value(
            ppm, "ppm"
        )
    low, high = (share * each * PPM_PER_PERCENT for each in COMMON)
    return (
        f"How strong that is hangs on the label: {thousands(low)} to {thousands(high)} ppm for a stock of {COMMON[0]} to {COMMON[1]} %.",
        Value(None, "ppm", low, high, reason="the label of the stock was not told"),
    )


def strength_step(asked: Asked, share: float, ppm: float | None) -> str:
    if ppm is None:
        return f"Strength = {share:.4g} × label % × 10,000 ppm; the label was not told."
    return f"{share:.4g} × {number(asked.stock, 2)} % × 10,000 = {thousands(ppm)} ppm."


def steps(asked: Asked, share: float, wanted: float, stock: float | None, water: float | None, total: float | None) -> list[str]:
    if wanted:
        steps = [
            f"C1·V1 = C2·V2: {thousands(wanted)} ppm / {thousands(asked.stock * PPM_PER_PERCENT)} ppm = {share:.4g} of the whole is stock."
        ]
    else:
        steps = [f"{asked.said or 'the same mix'}: {share:.4g} of the whole is stock."]
    if total is not None:
        steps.append(
            f"{number(total, 2)} mL × {share:.4g} = {number(stock, 2)} mL of stock; {number(total, 2)} - {number(stock, 2)} = {number(water, 2)} mL of water."
        )
    return steps


def readings(asked: Asked, share: float) -> list[str]:
    """Which reading was taken, and what the other would give."""
    if asked.product != "bleach":
        return []
    total = asked.totals[0] if asked.totals else 1000.0
    if asked.reading == "percent":
        percent = share * 100
        taken = (
            f'I read "{asked.said} bleach" as {number(percent, 2)} % of the volume being household bleach, as rearing notes do.'
        )
        if percent >= (asked.stock or COMMON[0]):
            return [
                f"{taken} A solution of {number(percent, 2)} % hypochlorite ({thousands(percent * PPM_PER_PERCENT)} ppm) cannot be made from it."
            ]
        stock = asked.stock or 6.0
        other = total * percent / stock
        return [
            f"{taken} For {number(percent, 2)} % hypochlorite it would be {number(other)} mL of a {number(stock, 2)} % stock in {volume_words(total)}."
        ]
    if asked.reading == "ratio":
        parts = 1 / share
        other = total / (parts + 1)
        return [
            f'I read "{asked.said}" as one part in {number(parts)} in all. One part and {number(parts)} of water would be {number(other)} mL of bleach in {volume_words(total)}'
            f"{f' ({times(1 / (parts + 1), asked)})' if asked.stock is not None else ''}."
        ]
    if asked.reading == "parts":
        return [
            f'I read "{asked.said}" as one part of bleach and {number(1 / share - 1)} of water, one in {number(1 / share)} in all.'
        ]
    if asked.percent:
        return [
            f"I read {asked.said} as {number(asked.percent, 3)} % of hypochlorite. As a share of household bleach by volume it would be"
            f" {number(total * asked.percent / 100)} mL of bleach in {volume_words(total)}."
        ]
    return [f"I took {number(asked.stock, 2)} % as the label of the stock."] if asked.ppm else []


def parts_words(share: float) -> str:
    return f"One part in {number(1 / share, 1)} in all (1 + {number(1 / share - 1, 1)})"


def pour(volume: float, asked: Asked) -> str:
    """A volume in millilitres, with the kitchen measure where the question used one."""
    words = kitchen_words(volume, "metric" if asked.system == "metric" else "US") if asked.system in ("US", "metric") else ""
    places = 2 if volume < 10 else 1
    plain = f"{thousands(volume, places)} mL"
    return f"{plain} ({words})" if words else plain


def volume_words(volume: float) -> str:
    return f"{number(volume / 1000, 3)} L" if volume >= 1000 else f"{number(volume, 1)} mL"


def thousands(value: float, places: int | None = None) -> str:
    """A number with commas; whole where it is large."""
    places = (0 if value >= 100 else 1 if value >= 1 else 3) if places is None else places
    text = f"{value:,.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
