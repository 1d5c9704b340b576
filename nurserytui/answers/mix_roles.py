"""Which amount of a line plays which part in a dilution: the label of the stock, the strength wanted, the volumes."""

import re
from typing import NamedTuple

from nurserytui.amounts.factors import convert
from nurserytui.answers import mix_wanted
from nurserytui.answers.mix_bare import NEAT, TOGETHER, corrected, repeats, vessels, with_bare_percents, with_bare_volume
from nurserytui.answers.wording import number
from nurserytui.language.normalise import normalise

_STOCK_BEFORE = re.compile(
    r"\b(stock|label|bottle|concentrate|label (says|reads|is)|says|(bleach|bottle|stock|jug|mine|it|stuff)('s| is| has| contains| at)|from( an?| my| the)?|out of( an?| my| the)?|using( an?| my)?"
    r"|with( an?| my)?|off( an?)?)\s*$"
)
_STOCK_AFTER = re.compile(
    r"^\s*(?:is what )?(?:it says )?(?:on|at) the (?:(?:back|front|side|label) of the )?(?:bottle|jug|label|tin|carton)\b|^\s*according to\b|^\s*(stock|stuff|kind|sort|household (stuff|bleach stock)|label|concentrate|jug|bottle)\b"
)
_BLEACH_AFTER = re.compile(
    r"^\s*(household|laundry|common|plain|domestic|supermarket)?\s*(bleach|bleech|blech)\b|^\s*(by volume|solution)\b"
)
_ACTIVE_AFTER = re.compile(
    r"^\s*(sodium )?(hypo\w*|available chlorine|active|chlorine|free chlorine|naocl)\b|^\s*(bleach )?solution of (hypo|chlorine)"
)
_OF_STOCK = re.compile(
    r"^\s*(?:is |are )?(?:left|remaining)\b|^\s*(of|the)?\s*(the|my)?\s*(\d[\d.,]*\s*(%|percent|per cent)\s*)?(household\s*)?(bleach|bleech|stock|hypochlorite|stuff|concentrate)\b"
)
_MIX_AFTER = re.compile(r"^\s*(mix|mixture|dilution)\b")
"""After a per cent: that of what is made, not of what it is made from (`the 20 % mix with 8.25 % bleach`)."""
_WATER_AFTER = re.compile(r"^\s*(of )?(cold |clean |tap |plain )?water\b")
_TOTAL_BEFORE = re.compile(
    r"\b(made? (it )?up to|making up to|topped up to|top up to|make|making|to make|total of|up to|made to|filled to)\s*(an? )?$"
)
_TOTAL_AFTER = re.compile(r"^\s*(in total|total|in all|altogether|of (mix|solution)|all told)\b")
_ADDED = re.compile(r"\b(into|added to|add to|plus|and|per|\+)\s*(an? |each |every )?$")
_ROUND = frozenset({2, 4, 5, 10, 20, 25, 30, 40, 50, 60, 100, 200, 500, 1000})
_VESSEL = re.compile(r"^\s*(?:\w+ )?bottle(?!\s*of\b)")
"""A bottle right after its volume: what is to be filled."""
_LABELLED = re.compile(
    r"\b(label|stock|strength of the bleach|bleach is|bleach's|(?<!spray )(?<!trigger )bottle)\b(?!.*\b(how|want|need|makes?|gives?|holds?)\b)"
)
OTHER_PRODUCTS = re.compile(r"\b(alcohol|ethanol|isopropyl|isopropanol|meths|peroxide|vinegar|virkon|quat\w*|iodine)\b")


class Asked(NamedTuple):
    """What a dilution line says; None where it does not."""

    stock: float | None = None
    """Per cent on the label."""
    share: float | None = None
    """Stock as a share of the whole volume."""
    ppm: float | None = None
    percent: float | None = None
    """Per cent of active wanted."""
    reading: str = ""
    """How a share was said: `percent`, `ratio` (1:10) or `parts` (1 + 9); `neat` for the stock as it is."""
    said: str = ""
    """The words of the target."""
    totals: tuple[float, ...] = ()
    """Millilitres of each volume to be made."""
    stock_ml: float | None = None
    water_ml: float | None = None
    guessed: bool = False
    """True where it was not said whether a second volume is the water or the whole."""
    system: str = ""
    """`US`, `metric` or `imperial` kitchen measures in the line, "" for none."""
    product: str = "bleach"
    against: float | None = None
    """Strength in ppm that a told mix is held against."""


class Placed(NamedTuple):
    amount: object
    before: str
    after: str


def placed_in(request) -> list[Placed]:
    """Each amount with the words before and after it, up to the next amount: in the line, else in the question it goes on from."""
    line = _around(request.text.casefold(), [amount.said.casefold() for amount in request.amounts])
    spoken = _around(request.plain, [normalise(amount.said) for amount in request.amounts]) if None in line else line
    return [Placed(amount, *(here or there or ("", ""))) for amount, here, there in zip(request.amounts, line, spoken)]


def _around(text: str, saids: list[str]) -> list[tuple[str, str] | None]:
    """The words before and after each of these pieces of a text, None for one that is not in it."""
    at, spots = 0, []
    for said in saids:
        start = text.find(said, at) if said else -1
        start = text.find(said) if start < 0 and said else start
        spots.append((start, start + len(said)))
        at = max(at, start + len(said)) if start >= 0 else at
    there = [spot for spot in spots if spot[0] >= 0]
    found: list[tuple[str, str] | None] = []
    for start, end in spots:
        if start < 0:
            found.append(None)
            continue
        left = max((other for _, other in there if other <= start), default=0)
        right = min((other for other, _ in there if other >= end), default=len(text))
        found.append((re.split(r"[.;,?!](?:\s|$)", text[left:start])[-1], re.split(r"[.;,?!](?:\s|$)", text[end:right])[0]))
    return found


def roles(request, volumes: dict[str, float]) -> Asked:
    """The parts of a dilution in a request; `volumes` are the known volumes of enclosures in millilitres."""
    request = with_bare_percents(with_bare_volume(corrected(request)))
    placed = placed_in(request)
    other = OTHER_PRODUCTS.search(request.plain or request.text.casefold())
    bleach = re.search(r"\b(bleach|bleech|hypo|chlorine)", request.text.casefold())
    asked = Asked(product=other[0] if other and not bleach else "bleach")
    if (
        NEAT.search(request.text.casefold())
        and not {"volume", "ppm", "ratio"} & {each.amount.kind for each in placed}
        and len(placed) < 2
    ):
        return asked._replace(stock=placed[0].amount.value if placed else None, share=1.0, reading="neat", said="undiluted")
    asked = _with_strengths(asked, placed, request)
    asked = _with_volumes(asked, placed, request)
    if not asked.totals and asked.stock_ml is None:
        known = tuple(volumes[place] for place in request.enclosures if place in volumes)
        asked = asked._replace(totals=known)
    return asked._replace(system=_system(placed))


def _system(placed: list[Placed]) -> str:
    units = [each.amount.unit for each in placed if each.amount.kind == "volume"]
    if any(unit.startswith("imperial") for unit in units):
        return "imperial"
    if any(unit.startswith(("metric", "australian")) for unit in units):
        return "metric"
    return (
        "US" if any(unit in ("cup", "pint", "quart", "gallon", "teaspoon", "tablespoon", "fluid_ounce") for unit in units) else ""
    )


def _with_strengths(asked: Asked, placed: list[Placed], request) -> Asked:
    percents = [each for each in placed if each.amount.kind == "percent"]
    ppm = next((each.amount for each in placed if each.amount.kind == "ppm"), None)
    ratio = next((each.amount for each in placed if each.amount.kind == "ratio"), None)
    if ppm is not None or ratio is not None:
        stock = stock_of(percents)
        inside = re.search(r"([\d.]+) ?(?:%|per ?cent|pct)", ratio.said.casefold()) if ratio else None
        asked = asked._replace(stock=stock.amount.value if stock else float(inside[1]) if inside else None)
        if ppm is not None and ratio is not None and asked.stock is not None:
            asked = asked._replace(against=ppm.value)
        elif ppm is not None:
            return asked._replace(ppm=ppm.value, said=ppm.said)
        parts = (
            "parts" if re.search(r"\+|part|\bto\b", ratio.said.casefold()) and " in " not in ratio.said.casefold() else "ratio"
        )
        return asked._replace(share=ratio.value, reading=parts, said=ratio.said.removeprefix("at "))
    if len(percents) >= 2:
        stock = stock_of(percents)
        target = next(each for each in percents if each is not stock)
        asked = asked._replace(stock=stock.amount.value)
        share = (_BLEACH_AFTER.search(target.after) or _MIX_AFTER.search(target.after)) and not _ACTIVE_AFTER.search(target.after)
        if share and target.amount.value >= 1:
            return asked._replace(share=target.amount.value / 100, reading="percent", said=target.amount.said)
        return asked._replace(percent=target.amount.value, said=target.amount.said)
    if len(percents) == 1:
        only = percents[0]
        value = only.amount.value
        if _is_made(placed) and re.search(r"\b(is|was) (that|this|it)( an?| about)?\s*$", only.before):
            return asked  # what is asked about a mix that is told by its volumes, and no label
        if _is_label(only, placed) or (_is_made(placed) and not _ACTIVE_AFTER.search(only.after)):
            return asked._replace(stock=value)
        if _ACTIVE_AFTER.search(only.after) or _spoken_of(request, value):
            return asked._replace(percent=value, said=only.amount.said)
        return asked._replace(share=value / 100, reading="percent", said=only.amount.said)
    return asked


def _is_made(placed: list[Placed]) -> bool:
    """Whether the line tells of a mix by its volumes: one of the stock, and another that is not added up with it."""
    if any(re.search(r"\b(another|altogether)\b", each.before) for each in placed):
        return False
    return sum(is_volume(each.amount) for each in placed) >= 2 and any(
        is_volume(each.amount) and _poured(each, placed) for each in placed
    )


def _spoken_of(request, value: float) -> bool:
    """`hypochlorite` named anywhere beside a single per cent, and no bleach: the per cent is of the active substance."""
    text = request.text.casefold()
    return bool(re.search(r"\b(hypochlorite|chlorine)\b", text)) and not re.search(r"\bble+a?ch", text)


def _is_label(each: Placed, placed: list[Placed]) -> bool:
    at = placed.index(each)
    filled = at and is_volume(placed[at - 1].amount)
    before = _VESSEL.sub("", each.before) if filled else each.before
    return bool(_STOCK_AFTER.search(each.after) or _LABELLED.search(before))


def stock_of(percents: list[Placed]) -> Placed | None:
    """The per cent that is the stock's label: the one said to be, else the strongest."""

    def weight(each: Placed) -> tuple[int, float]:
        said = (
            bool(_STOCK_AFTER.search(each.after)) * 2
            + bool(_STOCK_BEFORE.search(each.before)) * 2
            + (bool(_LABELLED.search(each.before)) or mix_wanted.owned(each.before))
            + mix_wanted.there(each.before, each.after)
            - mix_wanted.wanted(each.before, each.after)
            - bool(_MIX_AFTER.search(each.after)) * 2
        )
        return said, each.amount.value

    return max(percents, key=weight) if percents else None


def is_volume(amount) -> bool:
    return amount.kind == "volume" or (amount.kind == "mass" and amount.unit == "ounce")


def of_water(each: Placed) -> bool:
    return bool(_WATER_AFTER.search(each.after))


def millilitres(amount) -> float:
    """A volume in millilitres; a bare ounce of liquid is a US fluid ounce."""
    return convert(amount.value, "fluid_ounce" if amount.unit == "ounce" else amount.unit, "milliliter")


def _with_volumes(asked: Asked, placed: list[Placed], request) -> Asked:
    volumes = [each for each in placed if is_volume(each.amount) and each.amount.value > 0]
    plain = request.plain or request.text.casefold()
    if not volumes:
        return asked
    poured = [each for each in volumes if _poured(each, placed)]
    target = asked.ppm or asked.percent or asked.share
    if len(volumes) == 1:
        told = (poured and not _of_mix(volumes[0], placed, asked)) or _of_label(volumes[0], placed, asked.stock)
        if target and told and (_HELD.search(plain) or _WEAKEN.search(plain)):
            return asked._replace(stock_ml=millilitres(volumes[0].amount))
        if target and of_water(volumes[0]) and re.search(r"\badd\w*\b|\bto (make|get|give)\b", plain) and not poured:
            return asked._replace(water_ml=millilitres(volumes[0].amount))
        several = max(repeats(volumes[0].before, volumes[0].after), vessels(plain))
        each = millilitres(volumes[0].amount)
        return asked._replace(totals=(each * several, each) if several > 1 else (each,))
    if any(re.search(r"\b(another|altogether)\b", each.before) for each in volumes):
        poured = []
    per = next(
        (
            at
            for at, each in enumerate(volumes)
            if at and (_PER.search(each.before) or each.amount.said.casefold().startswith(("per ", "each ")))
        ),
        0,
    )
    if per and millilitres(volumes[per - 1].amount) < millilitres(volumes[per].amount):
        return _rated(asked, volumes, per)
    stocks = poured or ([min(volumes, key=lambda each: millilitres(each.amount))] if not target else [])
    if not stocks or (target and not poured) or asked.reading:
        totals = tuple(millilitres(each.amount) * repeats(each.before, each.after) for each in volumes)
        return asked._replace(totals=(sum(totals), *totals) if TOGETHER.search(plain) else totals)
    stock = stocks[0]
    if (
        len(volumes) == 3
        and volumes[0] is stock
        and re.search(r"\b(per|to|in|into|for (each|every))\s*(an? |each |every )?$", volumes[1].before)
    ):
        first, second, whole = (millilitres(each.amount) for each in volumes)
        made = first + second if of_water(volumes[1]) else second
        return asked._replace(share=first / made, said=f"{number(first, 1)} mL in {number(made, 1)} mL", totals=(whole,))
    rest = next(each for each in volumes if each is not stock)
    return _second(asked, millilitres(stock.amount), rest)


_PER = re.compile(r"\b(per|for (each|every)|to (each|every))\s*(an? )?$")


def _rated(asked: Asked, volumes: list[Placed], per: int) -> Asked:
    """`5 ml per litre of water, 3 litres`: the share by the rate, and what is to be made where that is said too."""
    stock, other = (millilitres(volumes[at].amount) for at in (per - 1, per))
    water = of_water(volumes[per])
    rest = [millilitres(each.amount) for at, each in enumerate(volumes) if at not in (per - 1, per)]
    if not rest:
        return asked._replace(stock_ml=stock, water_ml=other) if water else asked._replace(stock_ml=stock, totals=(other,))
    made = stock + other if water else other
    return asked._replace(share=stock / made, said=f"{number(stock, 1)} mL in {number(made, 1)} mL", totals=tuple(rest))


_HELD = re.compile(
    r"\b(how much water|water (to|do i) add|water for|left|spare|to hand|only|how far|stretch\w*|go round|enough"
    r"|(can|could|will|would|does|do) (i|we|it|that|this) (make|get|give|do)( me)?)\b|\bwater$|\b(i|we)('ve| have| got)\b|\bive\b|^(got|have)\b"
)
"""Words by which a volume of stock is there and is to be used up."""
_WEAKEN = re.compile(r"\b(dilut\w*|weaken\w*|thin(ned)?|water(ed)? (it )?down|cut|let down)\b")


def _of_mix(each: Placed, placed: list[Placed], asked: Asked) -> bool:
    """`1.5 litres of 10 % bleach`, the 10 % being a share: the volume is of the mix."""
    at = placed.index(each)
    following = placed[at + 1].amount if at + 1 < len(placed) else None
    return (
        asked.reading == "percent" and following is not None and following.said == asked.said and each.after.strip() in ("", "of")
    )


def _of_label(each: Placed, placed: list[Placed], stock: float | None) -> bool:
    """`100 ml of 6 %` with another strength to reach, the 6 % being the label: the volume is of the stock."""
    at = placed.index(each)
    following = placed[at + 1].amount if at + 1 < len(placed) else None
    return (
        following is not None
        and following.kind == "percent"
        and following.value == stock
        and re.fullmatch(r"\s*of (my |the )?\s*", each.after) is not None
    )


def _poured(each: Placed, placed: list[Placed]) -> bool:
    """Whether a volume is of the stock: `50 ml of 6 % bleach`, `5 tbsp bleach`, `60 ml of 5 % topped up to 2 litres`."""
    if _OF_STOCK.search(each.after):
        return True
    at = placed.index(each)
    following = placed[at + 1] if at + 1 < len(placed) else None
    if (
        following
        and is_volume(following.amount)
        and _PUT.search(each.before)
        and re.fullmatch(r"\s*(in|into|to)\s*(an? |the )?", each.after)
    ):
        return True
    linked = re.fullmatch(r"\s*(of|of an?|of my|of the)?\s*", each.after) is not None
    if not following or following.amount.kind != "percent" or not linked:
        return False
    if at and is_volume(placed[at - 1].amount) and _USING.search(each.before):
        return True
    last = placed[at + 2] if at + 2 < len(placed) else None
    if last and _MAKING.search(each.before) and _VESSEL_AFTER.search(last.after):
        return False
    return bool(_STOCK_NAMED.search(following.after) or (last and is_volume(last.amount) and _JOINED.search(following.after)))


_STOCK_NAMED = re.compile(r"^\s*(bleach|bleech|hypo|stock|household|in\b|into\b|to\b|for\b|per\b|added\b|plus\b|left\b)")
_PUT = re.compile(r"\b(pour(ed)?|put|add(ed)?|tip(ped)?|chuck(ed)?|mix(ed)?)( in)?\s*(about )?$")
_USING = re.compile(r"\b(with|using|from|adding|added)\s*(about |an? )?$")
_JOINED = re.compile(
    r"\b(in|into|to|with|and|plus|per|for|added|top(ped)?|fill(ed)?|made|make|goes|going|go|went|put|tipped|poured|dilut\w+|mixed|left)\b|\+"
)
_MAKING = re.compile(r"\b(make|making|mix|mixing|need|want|prepare)( me| up)?\s*(about |an? )?$")
_VESSEL_AFTER = re.compile(r"^\s*(\w+ )?(bucket|bottle|jug|tub|container|can|tank|bowl|basin|sprayer|sink|crate|box)\b")


def _second(asked: Asked, stock: float, rest: Placed) -> Asked:
    """The volume beside that of the stock: water, or the whole, as said; else whichever makes a round mix."""
    other = millilitres(rest.amount)
    if of_water(rest) or (_ADDED.search(rest.before) and not _TOTAL_BEFORE.search(rest.before)):
        return asked._replace(stock_ml=stock, water_ml=other)
    if _TOTAL_BEFORE.search(rest.before) or _TOTAL_AFTER.search(rest.after):
        return asked._replace(stock_ml=stock, totals=(other,))
    ratio = other / stock
    if round(ratio + 1, 6) in _ROUND and round(ratio, 6) not in _ROUND:
        return asked._replace(stock_ml=stock, water_ml=other, guessed=True)
    return asked._replace(stock_ml=stock, totals=(other,), guessed=True)
