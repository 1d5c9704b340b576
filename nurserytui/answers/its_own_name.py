"""A species meant by its own name, though others are loosely called so too."""

from __future__ import annotations

import re

from nurserytui.language.request import Named

OF_FACTS = ("stage-duration", "about-species")
"""Topics of which nothing hangs on the keeper's own animals."""
OF_MINE = re.compile(r"\b(?:my|our|mine|ours|these|those|them)\b")


def by_its_own_name(named: Named, names: tuple[str, ...], request, knowledge) -> str:
    """The species whose own first name is what was said (`painted lady`), in a question about facts that is of nobody's animals; what
    else is loosely called so does not unseat it, though the keeper may have it. "" for none."""
    if request.topic not in OF_FACTS or request.cohorts or request.enclosures or OF_MINE.search(request.plain):
        return ""
    said = named.said.casefold()
    one = f"{said[:-3]}y" if said.endswith("ies") else said.removesuffix("s")
    return next((name for name in names if (knowledge.common(name) or "").casefold() in (said, one)), "")
