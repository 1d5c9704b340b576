"""Animals watched on their way from one stage to another: who started, who got there, who died, and who was lost sight of."""

from collections import Counter

from nurserytui.answers.selection import STAGE_ORDER

LOST_BY = ("missing", "counted")
"""Events by which animals are lost that may come back."""
UNWATCHED = ""
"""Of animals out of sight: they were not watched, so that nothing was known of them that holds when they come back."""


class Watch:
    """The tally of one set of animals. Animals that cannot be told apart are watched first: of a group, those that are watched leave it first.

    Who goes out of sight (missing, or elsewhere) and comes back is the same animal: it has started once, and may have grown meanwhile.
    """

    def __init__(self, origin: str | None, goal: str, *, laid_only: bool = False) -> None:
        self.first, self.last = (STAGE_ORDER[origin] if origin else None), STAGE_ORDER[goal]
        self.laid_only = laid_only
        self.start = self.reached = self.died = 0
        self.censored: Counter = Counter()
        self.causes: Counter = Counter()
        self._watched: Counter = Counter()
        """key -> animals watched and not yet there"""
        self._away: dict[object, Counter] = {}
        """key -> why they are out of sight -> animals that live outside the set meant"""
        self._lost: dict[object, Counter] = {}
        """key that they had -> why -> animals gone from the nursery that may come back"""

    def follow(self, posting, held: bool, here: bool, cause: str) -> None:
        """Take in one posting; `held` and `here` say whether its source and its target are of the set meant."""
        event, source, target, count = posting
        if source is None:
            count -= self._back(event, target, count, here)
            if here and count:
                self._begin(event, target, count)
            return
        if held:
            watched = min(count, self._watched[source])
            if watched:
                self._watched[source] -= watched
                self._go_on(event, source, target, watched, here, cause)
            if count > watched and target is None:
                self._lose(event, source, UNWATCHED, count - watched)
            return
        away = _take(self._away, source, count)
        for why, number in away.items():
            self._from_outside(event, source, target, number, here, why)
        count -= away.total()
        if here and count:
            self._begin(event, target, count)
        elif target is None and count:
            self._lose(event, source, UNWATCHED, count)

    def _begin(self, event, target, count: int) -> None:
        stage = STAGE_ORDER[target.stage]
        if self.laid_only and event.what != "laid":
            return
        if stage >= self.last or (self.first is not None and stage > self.first):
            return
        self._watched[target] += count
        if self.first is None or stage == self.first:
            self.start += count

    def _onward(self, before: int, target, count: int) -> None:
        after = STAGE_ORDER[target.stage]
        if self.first is not None and before < self.first <= after < self.last:
            self.start += count
        if after < self.last:
            self._watched[target] += count
        elif self.first is None or before >= self.first:
            self.reached += count

    def _go_on(self, event, source, target, count: int, here: bool, cause: str) -> None:
        before = STAGE_ORDER[source.stage]
        if here:
            self._onward(before, target, count)
        elif self.first is not None and before < self.first:
            if target is None:
                self._lose(event, source, UNWATCHED, count)  # not begun yet: if they come back, they come anew
        elif target is None and event.what == "died":
            self.died += count
            self.causes[cause] += count
        else:
            why = event.what if target is None else "split off"
            self.censored[why] += count
            if target is not None:
                self._away.setdefault(target, Counter())[why] += count
            else:
                self._lose(event, source, why, count)

    def _lose(self, event, source, why: str, count: int) -> None:
        if event.what in LOST_BY:
            self._lost.setdefault(source, Counter())[why] += count

    def _from_outside(self, event, source, target, count: int, here: bool, why: str) -> None:
        if here and why == UNWATCHED:
            self._begin(event, target, count)
        elif here:
            self.censored[why] -= count
            self._onward(STAGE_ORDER[source.stage], target, count)
        elif target is not None:
            self._away.setdefault(target, Counter())[why] += count
        else:
            self._lose(event, source, why, count)

    def _back(self, event, target, count: int, here: bool) -> int:
        """How many of those that come in had been lost; what was known of them holds."""
        if event.what not in ("returned", "counted") or not self._lost:
            return 0
        stage, found = STAGE_ORDER[target.stage], 0
        able = [
            key
            for key in self._lost
            if (key.cohort, key.mark) == (target.cohort, target.mark) and STAGE_ORDER[key.stage] <= stage
        ]
        for key in sorted(able, key=lambda key: (key != target, key.enclosure != target.enclosure, key.stage != target.stage)):
            for why, number in _take(self._lost, key, count - found).items():
                found += number
                self._from_outside(event, key, target, number, here, why)
        return found

    def close(self) -> None:
        """Those still watched are alive short of the goal."""
        for key, count in self._watched.items():
            if count > 0 and (self.first is None or STAGE_ORDER[key.stage] >= self.first):
                self.censored["alive"] += count


def _take(kept: dict[object, Counter], key, count: int) -> Counter:
    """Take up to `count` animals out of what is kept under the key: why -> how many."""
    taken: Counter = Counter()
    for why, number in list(kept.get(key, {}).items()):
        part = min(number, count - taken.total())
        if part:
            taken[why] += part
            kept[key][why] -= part
            if not kept[key][why]:
                del kept[key][why]
    if key in kept and not kept[key]:
        del kept[key]
    return taken
