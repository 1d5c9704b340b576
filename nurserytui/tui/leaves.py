"""Which leaves there are, and where each is written: a leaf is imported when it is first turned to."""

from __future__ import annotations

LEAVES: dict[str, str] = {
    "calendar": "nurserytui.tui.calendar_leaf:CalendarLeaf",
    "cohort": "nurserytui.tui.cohort_leaf:CohortLeaf",
    "season": "nurserytui.tui.season_leaf:SeasonLeaf",
    "facts": "nurserytui.tui.facts_leaf:FactsLeaf",
    "round": "nurserytui.tui.round_leaf:RoundLeaf",
}
"""Name -> `module:class`. The class is a `Leaf`; what it is opened with after its app (a cohort's label) are its own arguments."""
