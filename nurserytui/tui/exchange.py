"""One exchange of the conversation as passages of the page: the hour and what was typed, then what was said to it."""

from __future__ import annotations

import re
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

from textual.content import Content

from nurserytui.tui.ruled import Passage
from nurserytui.tui.words import days_once
from nurserytui.visible import visible

if TYPE_CHECKING:
    from nurserytui.answers.answer import Answer

NOTED = {"answered": "", "recorded": "noted", "clarify": "which?", "unknown": "unsure", "refused": "no"}
"""The word in the margin beside what the assistant says, by status."""
RULE = {"recorded": ("║", "$success"), "clarify": ("┆", "$warning"), "unknown": ("┆", "$warning"), "refused": ("┃", "$error")}
"""The rule along an answer, by status: told apart by its shape, and by colour too."""
PLAIN_RULE = ("│", "$panel-lighten-2")
NUMBERS = re.compile(
    r"(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) \d{1,2} [A-Z][a-z]+|\d{4}-\d\d-\d\d|\d+(?:[.,:]\d+)*(?: ?(?:%|°[CF]|m?L|days?|hours?)(?!\w))?"
)
"""What is set off in the first line: days, and numbers with their unit."""


class Exchange(NamedTuple):
    """What was typed and what was said to it; or a remark of the program's own."""

    when: datetime
    asked: str = ""
    answer: Answer | None = None
    told: str = ""
    choices: dict[int, str] = {}
    """The sentence that each number typed alone means while this is the newest."""
    new_day: bool = False
    """True for the first of its day: the date then stands above it."""


def passages(exchange: Exchange, unfolded: bool = False, newest: bool = False) -> list[Passage]:
    """The exchange as it stands on the page. In the newest, what a number would send has that number before it."""
    found = []
    if exchange.new_day:
        found.append(_passage(f"{exchange.when.day} {exchange.when:%b}", Content.styled(f"{exchange.when:%A}", "$secondary")))
    if exchange.asked:
        found.append(_passage(f"{exchange.when:%H:%M}", Content.styled(visible(exchange.asked), "bold")))
    if exchange.told:
        found.append(_passage("", Content.styled(visible(exchange.told), "$foreground-muted")))
    if exchange.answer is not None:
        answer = exchange.answer
        rule, style = RULE.get(answer.status, PLAIN_RULE)
        found.append(
            Passage(NOTED[answer.status], rule, style, _said(answer, unfolded, exchange.choices if newest else {}, newest))
        )
    # A blank line between exchanges, with the rule running through it.
    return [*found, _passage("", Content(""))]


def _passage(margin: str, text: Content) -> Passage:
    return Passage(margin, *PLAIN_RULE, text)


def foldable(answer: Answer | None) -> bool:
    """Whether there is working or a source beneath the answer."""
    return answer is not None and bool(answer.working or answer.sources)


def _said(answer: Answer, unfolded: bool, choices: dict[int, str], newest: bool) -> Content:
    first, _, rest = days_once(visible(answer.text)).partition("\n")
    parts = [_with_numbers(first)]
    if rest:
        parts.append(Content(rest))
    numbers = {sentence: number for number, sentence in choices.items()}
    parts += [_offered(option, numbers) for option in answer.options]
    for caution in answer.cautions:
        parts.append(Content.assemble(("! Take care: ", "bold $warning"), visible(caution)))
    if foldable(answer):
        parts += _unfolded(answer) if unfolded else [_folded(answer)]
    if newest and not answer.options:
        parts += [_offered(follow, numbers, "$foreground-muted") for follow in answer.next[:3]]
    return Content("\n").join(parts)


def _offered(sentence: str, numbers: dict[str, int], style: str = "") -> Content:
    """A sentence that can be sent, with its number where a number alone would send it: elsewhere a number is a number of animals."""
    sign = f"{numbers[sentence]}. " if sentence in numbers else "· "
    return Content.assemble((sign, "bold $secondary"), (visible(sentence), style))


def _with_numbers(line: str) -> Content:
    """The line with its numbers set off, so that the eye finds them."""
    parts, at = [], 0
    for match in NUMBERS.finditer(line):
        parts += [(line[at : match.start()], ""), (match.group(), "bold $accent")]
        at = match.end()
    return Content.assemble(*parts, (line[at:], ""))


def _folded(answer: Answer) -> Content:
    held = []
    if answer.working:
        held.append(f"{len(answer.working)} step{'s' * (len(answer.working) > 1)} of working")
    if answer.sources:
        held.append(f"{len(answer.sources)} source{'s' * (len(answer.sources) > 1)}")
    return Content.styled(f"▸ {', '.join(held)}", "$foreground-muted")


def _unfolded(answer: Answer) -> list[Content]:
    parts = [Content.styled("▾ working", "$foreground-muted")] if answer.working else []
    parts += [Content(f"{number}. {visible(step)}") for number, step in enumerate(answer.working, 1)]
    if answer.sources:
        parts.append(Content.styled("▾ from", "$foreground-muted"))
        parts += [Content(f"· {visible(source.citation)} ({source.kind})") for source in answer.sources]
    return parts
