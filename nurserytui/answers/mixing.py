"""How much disinfectant and water: the volumes, the strength, which reading was taken and what the other would give."""

from __future__ import annotations

import re
from itertools import pairwise

from nurserytui.amounts.factors import VOLUMES
from nurserytui.amounts.factors import convert as converted
from nurserytui.amounts.mix import PPM_PER_PERCENT, share_for
from nurserytui.answers import mix_asked, mix_there, soaking
from nurserytui.answers.answer import Answer, Cited, Value
from nurserytui.answers.converting import convert, said
from nurserytui.answers.mix_roles import OTHER_PRODUCTS, Asked, roles
from nurserytui.answers.mix_words import (
    COMMON,
    parts_words,
    pour,
    readings,
    steps,
    strength,
    strength_step,
    thousands,
    times,
    volume_words,
    volumes,
)
from nurserytui.answers.wording import ask, cite, number, unknown
from nurserytui.language import numbers
from nurserytui.language.chat_spellings import bleach_spelt

__all__ = ["convert", "dilution"]

TOPIC = "dilution"
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


def _strange(plain: str) -> str:
    """The word of a line that may be the name of a product which nobody here knows, "" where a product is named or nothing is strange."""
    if mix_asked.PRODUCT.search(plain) or OTHER_PRODUCTS.search(plain):
        return ""
    from nurserytui.language import phrases, units
    from nurserytui.language.ordinary import ordinary

    tables = phrases.load()
    for before, word in pairwise(["of", *plain.split()]):
        if before not in ("of", "%", "percent", "cent"):
            continue
        known = word in tables.known or word in tables.told or ordinary(word) or word in units.UNITS or units.slipped(word)
        if len(word) > 3 and word.isalpha() and not known and word not in numbers.WORDS and not numbers.mended(word):
            return word
    return ""


def dilution(request, nursery) -> Answer:
    """How much stock and water make a volume of a strength, how strong a mix is, how long it keeps and how long to soak in it."""
    request = request._replace(text=bleach_spelt(request.text))
    plain = request.plain or request.text.casefold()
    if (
        mix_asked.FOR_ADULTS.search(plain)
        and not mix_asked.PRODUCT.search(plain)
        and ("adult" in request.stages or request.species)
    ):
        from nurserytui.answers.seasons import release  # which tells how adults that wait are fed

        return release(request._replace(topic="release"), nursery)
    if mix_asked.OTHER_USES.search(plain) or (mix_asked.OTHER_LIQUIDS.search(plain) and not mix_asked.PRODUCT.search(plain)):
        return unknown(TOPIC, "I know mixes of disinfectants for a nursery, and nothing of this one.")
    asked = roles(request, nursery.settings.volumes or {})
    if asked.totals and asked.totals[0] > mix_asked.MOST:
        return unknown(TOPIC, f"I know mixes of disinfectants for a nursery: {volume_words(asked.totals[0])} is none.")
    if asked.totals and not request.enclosures and request.layer != "follow-up" and (name := _strange(plain)):
        return ask(
            TOPIC,
            f"I know no product called “{name}”, so mix it by its label only. If it is household bleach, say so.",
            (f"{asked.said or '10 %'} bleach, {volume_words(asked.totals[0])}",),
            cautions=OTHER_CAUTIONS,
        )
    about = {"enclosure": request.enclosures[0]} if request.enclosures else {}
    there = mix_there.told(request)
    if there:
        return _finish(there.lines, there.values, there.working, asked._replace(stock=there.label), nursery, plain, about)
    follows = request.layer == "follow-up" and mix_asked.TIME.search(
        request.text.casefold()
    )  # `how long must it act`, of a mix told before
    if follows or (not asked.totals and asked.stock_ml is None):
        said = request.text.casefold() if follows else plain
        timed = mix_asked.TIME.search(said)
        if mix_asked.MEANING.search(plain) and asked.reading in ("ratio", "parts"):
            return soaking.by_rules(("bleach-ways",), nursery, CAUTIONS)
        if mix_asked.BACK.search(said) and not re.search(r"\b(eggs?|ova|strength|strong)\b", said):
            return soaking.by_rules(("rinse",), nursery, CAUTIONS)
        if mix_asked.STILL_GOOD.search(said) or (
            timed and mix_asked.KEEPING.search(said) and not re.search(r"\b(soak\w*|contact|in (the |a )?(bleach|mix))\b", said)
        ):
            return soaking.keeping(request, nursery, CAUTIONS)
        if (timed and mix_asked.SOAKING.search(plain)) or follows:
            return soaking.contact(request, nursery, CAUTIONS)
        from nurserytui.answers import disinfecting, safety  # only here: most lines name amounts, and their answer need not wait

        if mix_asked.NEVER_WITH.search(plain):
            return safety.never_with(nursery)
        if asked == Asked(product=asked.product) and (answer := disinfecting.told(plain, nursery, TOPIC)):
            return answer
    answer = _given(asked, nursery, plain, about) if asked.stock_ml is not None else _wanted(asked, nursery, plain, about)
    return in_unit(answer, request.target_unit, asked.product, whole=asked.stock_ml is not None)


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
    if asked.reading == "neat" or (wanted and not asked.totals and wanted == asked.stock * PPM_PER_PERCENT):
        return _neat(asked, nursery, plain, about)
    if asked.share is not None and asked.share >= 1:
        more = "more than all of it" if asked.share > 1 else f"{asked.product} as it is, without water"
        return _impossible(asked, f"{asked.said} of the volume is {more}.", about)
    if wanted and wanted >= asked.stock * PPM_PER_PERCENT:
        have = f"{number(asked.stock, 2)} % ({thousands(asked.stock * PPM_PER_PERCENT)} ppm)"
        reason = f"Water cannot make {asked.product} stronger: {asked.said} is {thousands(wanted)} ppm, and the stock has {have}."
        return _impossible(asked, reason, about)
    share = asked.share or share_for(stock_percent=asked.stock, target_ppm=wanted)
    ppm = share * asked.stock * PPM_PER_PERCENT if asked.stock is not None else None
    if asked.water_ml is not None and not asked.totals and share < 1:
        asked = asked._replace(totals=(asked.water_ml / (1 - share),))
    lines, working = [], []
    values: dict[str, Value] = {}
    stock_name = f"{number(asked.stock, 2)} % {asked.product}" if asked.stock is not None else asked.product
    if asked.totals:
        total = asked.totals[0]
        stock, water = total * share, total * (1 - share)
        lines.append(
            f"Pour {pour(stock, asked)} of {stock_name} into {pour(water, asked)} of water: {volume_words(total)} in all."
        )
        for other in asked.totals[1:]:
            lines.append(
                f"For {volume_words(other)}: {pour(other * share, asked)} of {asked.product} and {pour(other * (1 - share), asked)} of water."
            )
        values = volumes(stock, water, total)
        working += steps(asked, share, wanted, stock, water, total)
    else:
        lines.append(
            f"{parts_words(share)}: for each litre {number(1000 * share, 1)} mL of {stock_name} and {number(1000 * (1 - share), 1)} mL of water"
            f" (for a US gallon {pour(3785.41 * share, asked._replace(system='US'))} of {asked.product})."
        )
        if about:
            lines.append(
                f'How much {about["enclosure"]} holds is not on record: "{about["enclosure"]} holds 5 litres" would tell me.'
            )
        values = {
            name: Value(None, "mL", reason="no volume was named") for name in ("stock_volume", "water_volume", "total_volume")
        }
        working += steps(asked, share, wanted, None, None, None)
    told, values["strength"] = strength(asked, share, ppm)
    lines.insert(0 if _asks_strength(plain) and not asked.totals else 1, told)
    working.append(strength_step(asked, share, ppm))
    if asked.against and ppm is not None:
        enough = "Yes" if ppm >= 0.98 * asked.against else "No"
        lines.insert(0, f"{enough}: it gives {thousands(ppm)} ppm against the {thousands(asked.against)} asked for.")
    lines += readings(asked, share)
    return _finish(lines, values, working, asked, nursery, plain, about)


def in_unit(answer: Answer, unit: str, product: str, whole: bool = False) -> Answer:
    """The answer led by its volumes in the unit that the line asks for (`how many cups of it`); by the `whole` where the stock was told."""
    names = ("total_volume",) if whole else ("stock_volume", "water_volume")
    told = [answer.values.get(name) for name in names] if answer.values else []
    if (
        unit not in VOLUMES
        or unit == "milliliter"
        or answer.status != "answered"
        or any(not each or each.value is None for each in told)
    ):
        return answer
    amounts = [said(converted(each.value, "milliliter", unit), unit) for each in told]
    words = f"{amounts[0]} of the mix" if whole else f"{amounts[0]} of {product} and {amounts[1]} of water"
    return answer._replace(text=f"That is {words}.\n{answer.text}")


def _neat(asked: Asked, nursery, plain: str, about: dict) -> Answer:
    """How strong the stock is as it is."""
    ppm = asked.stock * PPM_PER_PERCENT if asked.stock is not None else None
    told, reached = strength(asked, 1.0, ppm)
    lines = [told, "That is the stock as it is, without water: far more than any rearing rule asks for."]
    return _finish(lines, {"strength": reached}, [strength_step(asked, 1.0, ppm)], asked, nursery, plain, about)


def _asks_strength(plain: str) -> bool:
    return bool(
        re.search(
            r"\b(how strong|how many ppm|what ppm|ppm (of|is)|strength|what (per ?cent|concentration)|ppm$)\b|^ppm\b|\bppm\b\s*$",
            plain,
        )
    )


def _no_target(asked: Asked) -> Answer:
    label = f"{number(asked.stock, 2)} % bleach" if asked.stock else "bleach"
    volume = volume_words(asked.totals[0]) if asked.totals else "1 litre"
    return ask(
        TOPIC,
        f"How strong is the mix to be? Tell me a share ({label} one in ten), or a strength in ppm with the per cent on the label.",
        (f"10 % bleach, {volume}", f"1:20 bleach, {volume}", f"{number(asked.stock or 6, 2)} % bleach to 1000 ppm, {volume}"),
    )


def _label_options(asked: Asked) -> tuple[str, ...]:
    volume = volume_words(asked.totals[0]) if asked.totals else "1 litre"
    target = asked.said or "1000 ppm"
    if asked.percent:
        target = f"{number(asked.percent, 3)} % hypochlorite"
    return tuple(f"{target} from a {label} % stock, {volume}" for label in ("5", "6", "8.25"))


def _no_label(asked: Asked, wanted: float, about: dict) -> Answer:
    """A strength is wanted and the stock's is not known: ask, showing the bounds."""
    text = f"What per cent does the label of the {asked.product} give? Without it {asked.said} cannot be worked out."
    values = {}
    if asked.product == "bleach" and wanted >= COMMON[0] * PPM_PER_PERCENT:
        household = wanted / PPM_PER_PERCENT / 100
        text = (
            f"{asked.said} of hypochlorite is {thousands(wanted)} ppm: no household bleach ({COMMON[0]}-{COMMON[1]} %) is that strong. "
            "Did you mean that share of household bleach by volume? Else tell me the per cent on the label."
        )
        volume = volume_words(asked.totals[0]) if asked.totals else "1 litre"
        options = (
            f"{number(household * 100, 2)} % household bleach by volume, {volume}",
            *_label_options(asked)[:0],
            f"0.5 % hypochlorite from a 6 % stock, {volume}",
        )
        return ask(TOPIC, text, options, about=about, cautions=CAUTIONS)
    if asked.totals and asked.product == "bleach":
        low, high = (asked.totals[0] * wanted / (each * PPM_PER_PERCENT) for each in (COMMON[1], COMMON[0]))
        text += f" For {volume_words(asked.totals[0])} it lies between {number(low)} mL (label {COMMON[1]} %) and {number(high)} mL (label {COMMON[0]} %)."
        values["stock_volume"] = Value(None, "mL", low, high, reason="the label of the stock was not told")
        values["total_volume"] = Value(asked.totals[0], "mL")
    return ask(TOPIC, text, _label_options(asked), values=values, about=about, cautions=CAUTIONS, sources=(CONVENTION,))


def _impossible(asked: Asked, reason: str, about: dict) -> Answer:
    """A mix that cannot be: say why, and offer what can."""
    volume = volume_words(asked.totals[0]) if asked.totals else "1 litre"
    stock = number(asked.stock or 6, 2)
    options = []
    if asked.percent and 1 <= asked.percent < 100:
        options.append(f"{number(asked.percent, 2)} % household bleach by volume from a {stock} % stock, {volume}")
        reason += (
            f' In rearing notes "{number(asked.percent, 2)} % bleach" mostly means that share of household bleach by volume'
            f" ({thousands(asked.percent / 100 * (asked.stock or 6) * PPM_PER_PERCENT)} ppm from a {stock} % stock). Did you mean that?"
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
        first = f"Add {pour(water, asked)} of water to the {pour(stock, asked)} of {asked.product}: {volume_words(total)} in all."
    else:
        water = asked.water_ml if asked.water_ml is not None else asked.totals[0] - stock
        total = stock + water
        if water < 0 or total <= 0:
            return ask(
                TOPIC,
                f"{volume_words(stock)} of {asked.product} does not go into {volume_words(asked.totals[0])}.",
                (f"10 % bleach, {volume_words(asked.totals[0])}",),
                about=about,
            )
        share = stock / total
        first = f"{volume_words(stock)} of {asked.product} and {volume_words(water)} of water are {volume_words(total)}: one part in {number(1 / share, 1)}."
    ppm = share * asked.stock * PPM_PER_PERCENT if asked.stock is not None else None
    told, reached = strength(asked, share, ppm)
    lines = [told, first] if asked.water_ml is not None or asked.totals else [first, told]
    if asked.guessed:
        if asked.water_ml is not None:
            other = stock / asked.water_ml if asked.water_ml > stock else None
            lines.append(
                f"I took the {volume_words(water)} as the water."
                + (f" As the whole volume it would be {times(other, asked)}." if other else "")
            )
        else:
            lines.append(
                f"I took {volume_words(total)} as the whole volume. As water alone it would be {times(stock / (stock + total), asked)}."
            )
    if asked.ppm and ppm is not None and (asked.water_ml is not None or asked.totals):
        needed = total * asked.ppm / (asked.stock * PPM_PER_PERCENT)
        enough = "enough" in plain
        met = ppm >= 0.98 * asked.ppm if enough else abs(ppm - asked.ppm) <= 0.02 * asked.ppm
        if enough:
            lines.insert(
                0,
                f"{volume_words(total)} at {thousands(asked.ppm)} ppm takes {number(needed, 1)} mL; {volume_words(stock)} make {volume_words(total * stock / needed)} of it.",
            )
        lines.insert(0, f"{'Yes' if met else 'No'}: it gives {thousands(ppm)} ppm against the {thousands(asked.ppm)} asked for.")
    values = {**volumes(stock, water, total), "strength": reached}
    working = [
        f"{number(stock, 2)} mL + {number(water, 2)} mL = {number(total, 2)} mL; {number(stock, 2)} / {number(total, 2)} = {share:.4g} of the whole.",
        strength_step(asked, share, ppm),
    ]
    return _finish(lines, values, working, asked, nursery, plain, about)


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
    told = soaking.rule_for(nursery.knowledge, plain, values["strength"]) if asked.product == "bleach" else None
    values["contact_time"] = soaking.minutes(told) or Value(None, "min", reason=soaking.lacking(plain))
    if told and soaking.too_strong(told, values["strength"]):
        lines.insert(1, f"This is too strong for eggs: {told.text}")
    elif told:
        lines.append(f"Contact: {told.text}")
    if told:
        sources += cite(nursery.knowledge, told.sources)
    elif asked.product == "bleach":
        lines.append(f"Contact: {soaking.lacking(plain)}.")
    cautions = CAUTIONS if asked.product == "bleach" else OTHER_CAUTIONS
    return Answer(
        "answered", TOPIC, "\n".join(lines), about=about, values=values, working=tuple(working), sources=tuple(dict.fromkeys(sources)),
        cautions=cautions, next=("How long does mixed up bleach stay good?", "How long should plastic tubs soak in 20 % bleach?"),
    )  # fmt: skip
