"""How much disinfectant and water: the volumes, the strength, which reading was taken and what the other would give."""

from __future__ import annotations

import re

from nurserytui.amounts.kitchen import kitchen_words
from nurserytui.amounts.mix import PPM_PER_PERCENT, share_for
from nurserytui.answers.answer import Answer, Cited, Value
from nurserytui.answers.converting import convert
from nurserytui.answers.mix_roles import Asked, roles
from nurserytui.answers.rules import lines_of, pick, sources_of
from nurserytui.answers.wording import ask, cite, number, unknown

__all__ = ["convert", "dilution"]

TOPIC = "dilution"
COMMON = (5.25, 8.25)
"""Per cent on the label of household bleach, least and most."""
SOUND = (5.0, 9.0)
"""Outside these a label is no ordinary household bleach (CDC, Cleaning and disinfecting with bleach)."""
CONVENTION = Cited(
    "chlorine-convention",
    "World Health Organization, 2014, Infection prevention and control of epidemic- and pandemic-prone acute respiratory infections, Annex G: "
    "5 % chlorine is 50,000 ppm, and 1 part in 100 of it 500 ppm (C1·V1 = C2·V2)",
    "published",
)
LABELS = Cited(
    "bleach-labels",
    "Centers for Disease Control and Prevention, Cleaning and disinfecting with bleach: regular unscented household bleach of 5-9 %",
    "published",
)
CAUTIONS = (
    "Never mix bleach with anything but cold water: with ammonia, vinegar or other acids, alcohol, peroxide or any other cleaner it gives off poison gas or worse.",
    "Air the room, wear gloves and eye protection, and add the bleach to the water, not the water to the bleach.",
    "Use regular unscented bleach only, follow its label and your local rules, and keep the mix labelled, lidded and out of reach.",
    "Rinse well and let everything dry until no smell is left before any animal comes near it.",
)
OTHER_CAUTIONS = (
    "Never mix a disinfectant with anything but water, least of all with bleach: alcohol, peroxide and acids give off poison with it.",
    "Air the room, wear gloves and eye protection, and keep alcohol away from flames and sparks.",
    "Follow the label of the product and your local rules, and keep the mix labelled, lidded and out of reach.",
    CAUTIONS[3],
)
"""For products other than bleach."""
_KEEPING = re.compile(
    r"\b(keeps?|kept|stays?|lasts?|last|store[ds]?|good for|still good|go(es)? off|expires?|shelf|make it fresh|old|reuse|re-use|tomorrow|next day|overnight)\b"
)
_SOAKING = re.compile(r"\b(soak\w*|contact|leave|left|sit|stand|wipe\w*|wet|dip\w*|submerge\w*|steep\w*|disinfect\w*)\b")
_TIME = re.compile(r"\b(how long|how many (minutes|hours)|time|until when|when)\b")


def dilution(request, nursery) -> Answer:
    """How much stock and water make a volume of a strength, how strong a mix is, how long it keeps and how long to soak in it."""
    plain = request.plain or request.text.casefold()
    asked = roles(request, nursery.settings.volumes or {})
    about = {"enclosure": request.enclosures[0]} if request.enclosures else {}
    timed = _TIME.search(plain)
    if timed and not asked.totals and asked.stock_ml is None:
        if _KEEPING.search(plain) and not re.search(r"\b(soak\w*|contact)\b", plain):
            return _from_rules(request, nursery, "keeping diluted bleach keep made up mix 24 hours", "value")
        if _SOAKING.search(plain):
            return _from_rules(request, nursery, "contact time soak minutes", "contact_time")
    if asked.stock_ml is not None:
        return _given(asked, nursery, plain, about)
    return _wanted(asked, nursery, plain, about)


# ---------------------------------------------------------------------- a strength is wanted


def _wanted(asked: Asked, nursery, plain: str, about: dict) -> Answer:
    if not (asked.share or asked.ppm or asked.percent):
        return _no_target(asked)
    if asked.stock is not None and not 0 < asked.stock <= 100:
        return ask(
            TOPIC,
            f"A stock of {number(asked.stock, 2)} % cannot be. What per cent does the label give?",
            _label_options(asked),
            about=about,
        )
    wanted = asked.ppm or (asked.percent or 0) * PPM_PER_PERCENT
    if wanted and asked.stock is None:
        return _no_label(asked, wanted, about)
    if asked.share is not None and asked.share >= 1:
        more = "more than all of it" if asked.share > 1 else f"{asked.product} as it is, without water"
        return _impossible(asked, f"{asked.said} of the volume is {more}.", about)
    if wanted and wanted >= asked.stock * PPM_PER_PERCENT:
        have = f"{number(asked.stock, 2)} % ({_thousands(asked.stock * PPM_PER_PERCENT)} ppm)"
        reason = (
            f"Water cannot make {asked.product} stronger: {asked.said} is {_thousands(wanted)} ppm, and the stock has {have}."
        )
        return _impossible(asked, reason, about)
    share = asked.share or share_for(stock_percent=asked.stock, target_ppm=wanted)
    ppm = share * asked.stock * PPM_PER_PERCENT if asked.stock is not None else None
    lines, working = [], []
    values: dict[str, Value] = {}
    stock_name = f"{number(asked.stock, 2)} % {asked.product}" if asked.stock is not None else asked.product
    if asked.totals:
        total = asked.totals[0]
        stock, water = total * share, total * (1 - share)
        lines.append(f"Pour {_pour(stock, asked)} of {stock_name} into {_pour(water, asked)} of water: {_volume(total)} in all.")
        for other in asked.totals[1:]:
            lines.append(
                f"For {_volume(other)}: {_pour(other * share, asked)} of {asked.product} and {_pour(other * (1 - share), asked)} of water."
            )
        values = _volumes(stock, water, total)
        working += _steps(asked, share, wanted, stock, water, total)
    else:
        lines.append(
            f"{_parts(share)}: for each litre {number(1000 * share, 1)} mL of {stock_name} and {number(1000 * (1 - share), 1)} mL of water"
            f" (for a US gallon {_pour(3785.41 * share, asked._replace(system='US'))} of {asked.product})."
        )
        if about:
            lines.append(
                f'How much {about["enclosure"]} holds is not on record: "{about["enclosure"]} holds 5 litres" would tell me.'
            )
        values = {
            name: Value(None, "mL", reason="no volume was named") for name in ("stock_volume", "water_volume", "total_volume")
        }
        working += _steps(asked, share, wanted, None, None, None)
    strength_line, values["strength"] = _strength(asked, share, ppm)
    lines.insert(0 if _asks_strength(plain) and not asked.totals else 1, strength_line)
    working.append(_strength_step(asked, share, ppm))
    lines += _readings(asked, share)
    return _finish(lines, values, working, asked, nursery, plain, about)


def _asks_strength(plain: str) -> bool:
    return bool(
        re.search(
            r"\b(how strong|how many ppm|what ppm|ppm (of|is)|strength|what (per ?cent|concentration)|ppm$)\b|^ppm\b|\bppm\b\s*$",
            plain,
        )
    )


def _no_target(asked: Asked) -> Answer:
    label = f"{number(asked.stock, 2)} % bleach" if asked.stock else "bleach"
    volume = _volume(asked.totals[0]) if asked.totals else "1 litre"
    return ask(
        TOPIC,
        f"How strong is the mix to be? Tell me a share ({label} one in ten), or a strength in ppm with the per cent on the label.",
        (f"10 % bleach, {volume}", f"1:20 bleach, {volume}", f"{number(asked.stock or 6, 2)} % bleach to 1000 ppm, {volume}"),
    )


def _label_options(asked: Asked) -> tuple[str, ...]:
    volume = _volume(asked.totals[0]) if asked.totals else "1 litre"
    target = asked.said or "1000 ppm"
    if asked.percent:
        target = f"{number(asked.percent, 3)} % hypochlorite"
    return tuple(f"{target} from a {label} % stock, {volume}" for label in ("5.25", "6", "8.25"))


def _no_label(asked: Asked, wanted: float, about: dict) -> Answer:
    """A strength is wanted and the stock's is not known: ask, showing the bounds."""
    text = f"What per cent does the label of the {asked.product} give? Without it {asked.said} cannot be worked out."
    values = {}
    if asked.product == "bleach" and wanted >= COMMON[0] * PPM_PER_PERCENT:
        household = wanted / PPM_PER_PERCENT / 100
        text = (
            f"{asked.said} of hypochlorite is {_thousands(wanted)} ppm: no household bleach ({COMMON[0]}-{COMMON[1]} %) is that strong. "
            "Did you mean that share of household bleach by volume? Else tell me the per cent on the label."
        )
        volume = _volume(asked.totals[0]) if asked.totals else "1 litre"
        options = (
            f"{number(household * 100, 2)} % household bleach by volume, {volume}",
            *_label_options(asked)[:0],
            f"0.5 % hypochlorite from a 6 % stock, {volume}",
        )
        return ask(TOPIC, text, options, about=about, cautions=CAUTIONS)
    if asked.totals and asked.product == "bleach":
        low, high = (asked.totals[0] * wanted / (each * PPM_PER_PERCENT) for each in (COMMON[1], COMMON[0]))
        text += f" For {_volume(asked.totals[0])} it lies between {number(low)} mL (label {COMMON[1]} %) and {number(high)} mL (label {COMMON[0]} %)."
        values["stock_volume"] = Value(None, "mL", low, high, reason="the label of the stock was not told")
        values["total_volume"] = Value(asked.totals[0], "mL")
    return ask(TOPIC, text, _label_options(asked), values=values, about=about, cautions=CAUTIONS, sources=(CONVENTION,))


def _impossible(asked: Asked, reason: str, about: dict) -> Answer:
    """A mix that cannot be: say why, and offer what can."""
    volume = _volume(asked.totals[0]) if asked.totals else "1 litre"
    stock = number(asked.stock or 6, 2)
    options = []
    if asked.percent and 1 <= asked.percent < 100:
        options.append(f"{number(asked.percent, 2)} % household bleach by volume from a {stock} % stock, {volume}")
        reason += (
            f' In rearing notes "{number(asked.percent, 2)} % bleach" mostly means that share of household bleach by volume'
            f" ({_thousands(asked.percent / 100 * (asked.stock or 6) * PPM_PER_PERCENT)} ppm from a {stock} % stock). Did you mean that?"
        )
    options += [f"1:10 of {stock} % bleach, {volume}", f"{stock} % bleach to 1000 ppm, {volume}"]
    return ask(TOPIC, reason, options, about=about, cautions=CAUTIONS, sources=(CONVENTION,))


# ---------------------------------------------------------------------- a mix is given


def _given(asked: Asked, nursery, plain: str, about: dict) -> Answer:
    """How strong a mix of known volumes is, or how much water a volume of stock takes."""
    stock = asked.stock_ml
    if asked.water_ml is None and not asked.totals:
        wanted = asked.ppm or (asked.percent or 0) * PPM_PER_PERCENT
        if wanted and asked.stock is None:
            return _no_label(asked, wanted, about)
        if wanted and wanted >= asked.stock * PPM_PER_PERCENT:
            return _impossible(asked, f"Water cannot make {asked.product} stronger than its label.", about)
        share = asked.share or share_for(stock_percent=asked.stock, target_ppm=wanted)
        total = stock / share
        water = total - stock
        first = f"Add {_pour(water, asked)} of water to the {_pour(stock, asked)} of {asked.product}: {_volume(total)} in all."
    else:
        water = asked.water_ml if asked.water_ml is not None else asked.totals[0] - stock
        total = stock + water
        if water < 0 or total <= 0:
            return ask(
                TOPIC,
                f"{_volume(stock)} of {asked.product} does not go into {_volume(asked.totals[0])}.",
                (f"10 % bleach, {_volume(asked.totals[0])}",),
                about=about,
            )
        share = stock / total
        first = f"{_volume(stock)} of {asked.product} and {_volume(water)} of water are {_volume(total)}: one part in {number(1 / share, 1)}."
    ppm = share * asked.stock * PPM_PER_PERCENT if asked.stock is not None else None
    strength_line, strength = _strength(asked, share, ppm)
    lines = [strength_line, first] if asked.water_ml is not None or asked.totals else [first, strength_line]
    if asked.guessed:
        if asked.water_ml is not None:
            other = stock / asked.water_ml if asked.water_ml > stock else None
            lines.append(
                f"I took the {_volume(water)} as the water."
                + (f" As the whole volume it would be {_times(other, asked)}." if other else "")
            )
        else:
            lines.append(
                f"I took {_volume(total)} as the whole volume. As water alone it would be {_times(stock / (stock + total), asked)}."
            )
    if asked.ppm and ppm is not None and (asked.water_ml is not None or asked.totals):
        lines.insert(
            0,
            f"{'Yes' if abs(ppm - asked.ppm) <= 0.02 * asked.ppm else 'No'}: it gives {_thousands(ppm)} ppm against the {_thousands(asked.ppm)} asked for.",
        )
    values = {**_volumes(stock, water, total), "strength": strength}
    working = [
        f"{number(stock, 2)} mL + {number(water, 2)} mL = {number(total, 2)} mL; {number(stock, 2)} / {number(total, 2)} = {share:.4g} of the whole.",
        _strength_step(asked, share, ppm),
    ]
    return _finish(lines, values, working, asked, nursery, plain, about)


def _times(share: float, asked: Asked) -> str:
    if asked.stock is None:
        return f"one part in {number(1 / share, 1)}"
    return f"{_thousands(share * asked.stock * PPM_PER_PERCENT)} ppm"


# ---------------------------------------------------------------------- pieces of an answer


def _volumes(stock: float, water: float, total: float) -> dict[str, Value]:
    return {"stock_volume": Value(stock, "mL"), "water_volume": Value(water, "mL"), "total_volume": Value(total, "mL")}


def _strength(asked: Asked, share: float, ppm: float | None) -> tuple[str, Value]:
    if asked.product != "bleach":
        percent = (
            f"{number(share * asked.stock, 2)} % {asked.product}"
            if asked.stock is not None
            else f"{number(share * 100, 1)} % of the {asked.product} by volume"
        )
        return f"The mix is {percent}.", Value(None, "ppm", reason="ppm is reckoned for chlorine only")
    if ppm is not None:
        percent = number(ppm / PPM_PER_PERCENT, 3)
        return f"Strength: {_thousands(ppm)} ppm ({percent} % active), from a label of {number(asked.stock, 2)} %.", Value(
            ppm, "ppm"
        )
    low, high = (share * each * PPM_PER_PERCENT for each in COMMON)
    return (
        f"How strong that is hangs on the label: {_thousands(low)} to {_thousands(high)} ppm for a stock of {COMMON[0]} to {COMMON[1]} %.",
        Value(None, "ppm", low, high, reason="the label of the stock was not told"),
    )


def _strength_step(asked: Asked, share: float, ppm: float | None) -> str:
    if ppm is None:
        return f"Strength = {share:.4g} × label % × 10,000 ppm; the label was not told."
    return f"{share:.4g} × {number(asked.stock, 2)} % × 10,000 = {_thousands(ppm)} ppm."


def _steps(asked: Asked, share: float, wanted: float, stock: float | None, water: float | None, total: float | None) -> list[str]:
    if wanted:
        steps = [
            f"C1·V1 = C2·V2: {_thousands(wanted)} ppm / {_thousands(asked.stock * PPM_PER_PERCENT)} ppm = {share:.4g} of the whole is stock."
        ]
    else:
        steps = [f"{asked.said or 'the same mix'}: {share:.4g} of the whole is stock."]
    if total is not None:
        steps.append(
            f"{number(total, 2)} mL × {share:.4g} = {number(stock, 2)} mL of stock; {number(total, 2)} - {number(stock, 2)} = {number(water, 2)} mL of water."
        )
    return steps


def _readings(asked: Asked, share: float) -> list[str]:
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
                f"{taken} A solution of {number(percent, 2)} % hypochlorite ({_thousands(percent * PPM_PER_PERCENT)} ppm) cannot be made from it."
            ]
        stock = asked.stock or 6.0
        other = total * percent / stock
        return [
            f"{taken} For {number(percent, 2)} % hypochlorite it would be {number(other)} mL of a {number(stock, 2)} % stock in {_volume(total)}."
        ]
    if asked.reading == "ratio":
        parts = 1 / share
        other = total / (parts + 1)
        return [
            f'I read "{asked.said}" as one part in {number(parts)} in all. One part and {number(parts)} of water would be {number(other)} mL of bleach in {_volume(total)}'
            f"{f' ({_times(1 / (parts + 1), asked)})' if asked.stock is not None else ''}."
        ]
    if asked.reading == "parts":
        return [
            f'I read "{asked.said}" as one part of bleach and {number(1 / share - 1)} of water, one in {number(1 / share)} in all.'
        ]
    if asked.percent:
        return [
            f"I read {asked.said} as {number(asked.percent, 3)} % of hypochlorite. As a share of household bleach by volume it would be"
            f" {number(total * asked.percent / 100)} mL of bleach in {_volume(total)}."
        ]
    return [f"I took {number(asked.stock, 2)} % as the label of the stock."] if asked.ppm else []


def _parts(share: float) -> str:
    return f"One part in {number(1 / share, 1)} in all (1 + {number(1 / share - 1, 1)})"


def _finish(
    lines: list[str], values: dict[str, Value], working: list[str], asked: Asked, nursery, plain: str, about: dict
) -> Answer:
    sources = [CONVENTION]
    if asked.stock is not None and asked.product == "bleach" and not SOUND[0] <= asked.stock <= SOUND[1]:
        strong = (
            "stronger than household bleach: corrosive, so check that it is meant for this"
            if asked.stock > SOUND[1]
            else "weak for household bleach: old, or not meant for disinfecting"
        )
        lines.append(
            f"Mind the label: {number(asked.stock, 2)} % is {strong}. Ordinary bleach has {number(SOUND[0])}-{number(SOUND[1])} %."
        )
    if asked.stock is None:
        sources.append(LABELS)
    if asked.system:
        kind = {
            "US": "US (gallon 3,785 mL, cup 236.6 mL, Tbsp 14.8 mL)",
            "metric": "metric or Australian",
            "imperial": "imperial (gallon 4,546 mL, pint 568 mL)",
        }
        lines.append(f"Kitchen measures taken as {kind[asked.system]}.")
    rules = pick(nursery.knowledge, ("sanitation",), f"{plain} contact time soak")
    if asked.product != "bleach":  # the soaking times on record are for bleach
        rules = ()
    contact = _minutes(next((rule for rule in rules if _minutes(rule) and _is_contact(rule)), None))
    values["contact_time"] = contact or Value(
        None, "min", reason="it depends on what is soaked: ask how long to soak tubs, stems or eggs"
    )
    if contact:
        lines.append(_contact_line(next(rule for rule in rules if _minutes(rule) and _is_contact(rule))))
        sources += cite(nursery.knowledge, sources_of([rule for rule in rules if _is_contact(rule)][:1]))
    cautions = CAUTIONS if asked.product == "bleach" else OTHER_CAUTIONS
    return Answer(
        "answered", TOPIC, "\n".join(lines), about=about, values=values, working=tuple(working), sources=tuple(dict.fromkeys(sources)),
        cautions=cautions, next=("How long does mixed up bleach stay good?", "How long should plastic tubs soak in 20 % bleach?"),
    )  # fmt: skip


def _is_contact(rule) -> bool:
    return any(word.casefold() in ("contact", "contact time", "soak", "soaking") for word in rule.about)


def _contact_line(rule) -> str:
    return f"Contact: {rule.text}"


def _minutes(rule) -> Value | None:
    """A rule's time in minutes, if it is one."""
    if rule is None or rule.value is None:
        return None
    factor = {"min": 1, "minute": 1, "minutes": 1, "h": 60, "hour": 60, "hours": 60, "d": 1440, "day": 1440, "days": 1440}.get(
        rule.unit
    )
    if factor is None:
        return None
    low, high = (None if each is None else each * factor for each in (rule.low, rule.high))
    return Value(rule.value * factor, "min", low, high)


def _from_rules(request, nursery, words: str, name: str) -> Answer:
    """How long a mix keeps, or how long to soak: what the knowledge base holds, conflicting sources side by side."""
    plain = request.plain or request.text.casefold()
    rules = pick(nursery.knowledge, ("sanitation", "hygiene"), plain, tuple(words.split()))
    contact = name == "contact_time"
    rules = [rule for rule in rules if _is_contact(rule) == contact] or rules
    if not rules:
        lacking = "how long to soak" if contact else "how long a mix keeps"
        return unknown(TOPIC, f"Nothing in the knowledge base says {lacking}.", cautions=CAUTIONS)
    rules = rules[:4]
    timed = next((rule for rule in rules if _minutes(rule)), None)
    values = {name if contact else "keeps": _minutes(timed)} if timed else {}
    return Answer(
        "answered", TOPIC, "\n".join(lines_of(rules, 4)), values=values, working=tuple(f"{rule.id}: {rule.text}" for rule in rules),
        sources=cite(nursery.knowledge, sources_of(rules)), cautions=CAUTIONS,
        next=("20 % bleach, 5 litres", "How much 6 % bleach for 1000 ppm in 2 litres?"),
    )  # fmt: skip


def _pour(volume: float, asked: Asked) -> str:
    """A volume in millilitres, with the kitchen measure where the question used one."""
    words = kitchen_words(volume, "metric" if asked.system == "metric" else "US") if asked.system in ("US", "metric") else ""
    places = 2 if volume < 10 else 1
    plain = f"{_thousands(volume, places)} mL"
    return f"{plain} ({words})" if words else plain


def _volume(volume: float) -> str:
    return f"{number(volume / 1000, 3)} L" if volume >= 1000 else f"{number(volume, 1)} mL"


def _thousands(value: float, places: int | None = None) -> str:
    """A number with commas; whole where it is large."""
    places = (0 if value >= 100 else 1 if value >= 1 else 3) if places is None else places
    text = f"{value:,.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
