"""Lines that lean on the last mix or conversion: another number, so many times it, another unit; and those that only seem to."""

from __future__ import annotations

import re

from nurserytui.language import mixes
from nurserytui.language.cues import Cues
from nurserytui.language.line import Line
from nurserytui.language.request import Amount, Request
from nurserytui.language.small_words import FILLER, MODAL

SUMS = ("dilution", "convert")
TIMES = {
    "double": 2.0,
    "twice": 2.0,
    "triple": 3.0,
    "treble": 3.0,
    "three times": 3.0,
    "half": 0.5,
    "halve": 0.5,
    "quarter": 0.25,
    "ten times": 10.0,
}
SCALED = re.compile(rf"\b({'|'.join(sorted(TIMES, key=len, reverse=True))})\b(?! (?:a|an|litre|liter|cup|pint|gallon)\b)")
"""Words that make the last amount so many times what it was."""
STRENGTH = re.compile(r"\b(strong|strength|stronger|weak|weaker|concentrated)\b")
"""Words by which it is the strength that is made so many times what it was."""
SHORT = 6
"""Words of a line that changes nothing but a number."""
NOTATION = frozenset("= v vol volume total c conc concentration strength target label stock bottle".split())
"""How a part of a mix is put as in a sum (`V = 450 ml`, `stock: 5 %`)."""
NOTED = 6
"""Words of a line that is nothing more."""
LABEL = re.compile(r"\b(label|bottle|jug|carton|can|tin|canister|brand|stock|stuff|mine|ours|it is|it's|its)\b")
SCALING = re.compile(
    r"^(?:now |then |and |please |can you |could you )*(?:scale|scaled|resize|enlarge|shrink|stretch|bump|cut)\b"
)
"""Words by which a line makes more or less of the last mix (`scale it up to 5 litres`)."""
LEAST_PPM, MOST_PERCENT = 100, 40
"""From the first a bare number can be a strength in ppm, up to the second the per cent of a label."""


RIGHTING = re.compile(
    r"\b(sorry|oops|actually|i mean|meant|instead|make that|rather|stronger|weaker|lets (go|make)|let's (go|make)|turns out|it says|according to)\b"
)
"""Words by which a line puts another amount in the place of one said before."""
RIGHTED = 12
"""Words of a line that does no more."""


def rights(line: Line, cues: Cues, before: Request) -> bool:
    """`sorry its 5 % on the back of the bottle`, `oops the bottle is actually 1.2 litres`: one amount of the last mix is another."""
    amounts = line.of("amount")
    if before.topic != "dilution" or len(amounts) != 1 or len(line.tokens) > RIGHTED or len(line.spans) > 1:
        return False
    return "QUESTION" not in cues.names and bool(RIGHTING.search(line.plain) or mixes.labels(line))


def whole(line: Line, cues: Cues, topic: str, leaning: bool) -> bool:
    """Whether a line about amounts says all that it needs, so that nothing is taken from the lines before it."""
    names = cues.names
    if leaning:
        return topic == "convert" and "VOLUME-TWO" in names
    if topic == "convert":
        return "SIDES" in names or ("AMOUNT" in names and bool({"TARGET", "SUM"} & names))
    strengths = len({"PERCENT", "PPM", "RATIO"} & names) + ("PERCENT-TWO" in names)
    return topic == "dilution" and "VOLUME" in names and (strengths > 1 or bool(strengths and "disinfectant" in names))


SPARE = FILLER | MODAL | frozenset("how much many wd be been need needs needed amount then get bleach water stuff each".split())
"""Words that a line may hold besides the amount that it puts into the last mix (`how much would that be for 750 ml`)."""


def goes_on(line: Line, cues: Cues, before: Request) -> bool:
    """Whether the line asks for the last mix with one amount of it another, and names no unit in which to tell it."""
    amounts = [span for span in line.of("amount") if span.value.kind in ("volume", "percent", "ppm", "ratio")]
    if before.topic != "dilution" or len(amounts) != 1 or len(line.spans) != 1 or "TARGET" in cues.names:
        return False
    if len(line.tokens) <= NOTED and all(word in SPARE or word in NOTATION for word in cues.words if not word.isupper()):
        return not NOTATION.isdisjoint(cues.words)
    if amounts[0].value.kind == "volume" and SCALING.search(line.plain) and len(line.tokens) <= RIGHTED:
        return True
    return not {"that", "it", "this"}.isdisjoint(cues.words) and all(word in SPARE for word in cues.words if not word.isupper())


def changed(line: Line, before: Request) -> Request | None:
    """`and 85?`, `if its 5.25`, `double it`: the last mix or conversion with another number; a request without a topic where it is not
    clear which number is replaced; None for a line of another kind."""
    if before.topic not in SUMS or len(line.tokens) > SHORT:
        return None
    factor = SCALED.search(line.plain)
    if factor and not line.of("amount", "cohort", "species", "enclosure", "stage"):
        found = _times(before, TIMES[factor[1]], bool(STRENGTH.search(line.plain)))
        return before._replace(text=line.text, amounts=found, layer="follow-up") if found != before.amounts else None
    parts = line.of("range")
    if before.topic == "dilution" and len(line.spans) == len(parts) == 1 and parts[0].value[0] == 1:  # `and 1 to 50?`
        ratio = Amount(1 / (1 + parts[0].value[1]), "ratio", "ratio", parts[0].said)
        return before._replace(
            text=line.text, amounts=mixes.amounts(before.amounts, (ratio,), False, share=True), layer="follow-up"
        )
    numbers = figures(line)
    if len(numbers) != 1 or len(line.spans) != 1 or "/" in numbers[0]:
        return None
    if before.topic == "convert" and BACK.search(line.plain) and before.target_unit and len(before.amounts) == 1:
        back = before.amounts[0]._replace(
            value=float(line.of("number", "estimate")[0].value), unit=before.target_unit, high=None, said=numbers[0]
        )
        return before._replace(
            text=line.text, amounts=(back,), target_unit=before.amounts[0].unit, plain=line.plain, layer="follow-up"
        )
    found = bare_number(before, line) or (_restated(before, line) if RESTATING.match(line.plain) else ())
    return before._replace(text=line.text, amounts=found, layer="follow-up") if found else Request(line.text, plain=line.plain)


BACK = re.compile(r"\b(?:other way|backwards?|reverse|vice versa|way back)\b")
"""Words by which a conversion is turned round."""
RESTATING = re.compile(
    r"(?:no |sorry |oops |ok |actually )*(?:make (?:it|that)|i mean|i meant|for|rather|say|let's say|lets say)\b|no\b"
)
"""Words by which a bare number is put in the place of the only amount that it can be meant for (`make that 750`)."""
LIKE = 10
"""How many times the amount in whose place it is put a number may be, or a part of it."""


def _restated(before: Request, line: Line) -> tuple[Amount, ...]:
    numbers = figures(line)
    value = float(next((span.value for span in line.of("number", "estimate")), numbers[0]))
    like = [each for each in before.amounts if each.value and 1 / LIKE <= value / said_value(each) <= LIKE]
    if len(like) != 1 or like[0].kind == "ratio":
        return ()
    scale = like[0].value / said_value(like[0])
    said = like[0].said.replace(f"{said_value(like[0]):g}", numbers[0])
    return tuple(each._replace(value=value * scale, said=said) if each is like[0] else each for each in before.amounts)


def said_value(amount: Amount) -> float:
    """The number of an amount as it was typed, which may be in another unit than the one it is kept in."""
    typed = re.match(r"\d+(?:\.\d+)?", amount.said)
    return float(typed[0]) if typed else amount.value


def _times(before: Request, times: float, strength: bool = False) -> tuple[Amount, ...]:
    """The amounts with the volume of a mix, or its `strength`, so many times what it was."""
    kind = "volume" if before.topic == "dilution" else before.amounts[0].kind if before.amounts else ""
    if strength and before.topic == "dilution":
        old = mixes.target_of(before.amounts)
        if old is None:
            return before.amounts
        said = (
            f"1:{1 / (old.value * times):g}"
            if old.kind == "ratio"
            else f"{old.value * times:g} {'%' if old.kind == 'percent' else 'ppm'}"
        )
        return tuple(each._replace(value=old.value * times, said=said) if each is old else each for each in before.amounts)
    return tuple(
        each._replace(value=each.value * times, said=f"{each.value * times:g} {each.unit}") if each.kind == kind else each
        for each in before.amounts
    )


def figures(line: Line) -> list[str]:
    """The numbers of a line as said, those among them that could be years too (`2000`)."""
    return [span.said for span in line.of("number", "estimate", "period") if span.kind != "period" or span.said.isdigit()]


def bare_number(before: Request, line: Line) -> tuple[Amount, ...]:
    """The amounts with a number that came without a unit in its place, () where it is not clear which one it replaces."""
    numbers = figures(line)
    if len(numbers) != 1:
        return ()
    said = numbers[0]
    value = float(next((span.value for span in line.of("number", "estimate")), said))
    if re.search(rf"\bminus {re.escape(said)}$", line.plain):
        value = -value
    if before.topic == "convert":
        return (before.amounts[0]._replace(value=value, high=None, said=said),) if len(before.amounts) == 1 else ()
    if any(each.kind == "ppm" for each in before.amounts) and value >= LEAST_PPM:
        return mixes.amounts(before.amounts, (Amount(value, "ppm", "ppm", f"{said} ppm"),), stock=False)
    if (LABEL.search(line.plain) or _like_a_label(before, value)) and 1 <= value <= MOST_PERCENT:
        return mixes.amounts(before.amounts, (Amount(value, "percent", "percent", f"{said} %"),), stock=True)
    return ()


def _like_a_label(before: Request, value: float) -> bool:
    """Whether a number can only be what a label says: broken, as strong as bleach is sold, after a mix of a label and a strength."""
    strengths = [each.kind for each in before.amounts if each.kind in ("percent", "ppm", "ratio")]
    sold = mixes.HOUSEHOLD[0] <= value <= mixes.HOUSEHOLD[1] and not value.is_integer()
    return sold and "percent" in strengths and len(strengths) > 1


def label_told(line: Line, opened: Request) -> Request | None:
    """A bare number in answer to the question for the label of a bottle (`its 8.25`)."""
    numbers = figures(line)
    strengths = [each for each in opened.amounts if each.kind in ("percent", "ppm")]
    if opened.topic != "dilution" or len(numbers) != 1 or len(line.spans) != 1 or len(line.tokens) > SHORT or len(strengths) != 1:
        return None
    value = float(next((span.value for span in line.of("number", "estimate")), numbers[0]))
    if not 1 <= value <= MOST_PERCENT:
        return None
    label = Amount(value, "percent", "percent", f"{numbers[0]} %")
    return opened._replace(
        text=line.text,
        amounts=mixes.amounts(opened.amounts, (label,), stock=True),
        plain=f"{opened.plain} label {numbers[0]} %",
        layer="reply",
    )


def in_another_unit(line: Line, cues: Cues, before: Request) -> bool:
    """`how many cups of bleach is that`: the last mix, told in the unit named."""
    return (
        before.topic == "dilution" and bool(line.of("unit")) and not line.of("amount", "number") and "chemical" not in cues.names
    )
