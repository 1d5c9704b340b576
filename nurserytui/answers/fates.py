"""What became of animals, read from the postings: how many entered, reached each stage, died of what, or left otherwise."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from nurserytui.answers.following import Watch
from nurserytui.answers.selection import STAGE_ORDER, Wanted, of_cohorts, postings_of, within
from nurserytui.answers.wording import listed, stage_count

LEFT = ("died", "released", "given", "escaped", "missing")
LEFT_WORDS = {
    "died": "died",
    "released": "released",
    "given": "given away",
    "escaped": "escaped",
    "missing": "missing",
    "counted": "missing at a count",
}


WHETHER_ALL = re.compile(
    r"^(?:and |so |but )?(?:did|have|has|do|were|are)\b.*\b(?:all|every|each|both|the (?:whole )?lot)\b|^(?:all|every|both)\b"
)
MADE_IT = re.compile(r"\b(?:ma[dk]e it|surviv\w*|c[oa]me through|pull(?:ed)? through|live|lived)\b")


def asks_whether_all(plain: str, kinds: tuple[str, ...] = ()) -> bool:
    """Whether a line asks if a change (one of `kinds`, or survival) befell all of some animals (`did all the eggs hatch`)."""
    change = set(kinds) <= {"hatched", "pupated", "emerged"} if kinds else bool(MADE_IT.search(plain))
    return change and bool(WHETHER_ALL.search(plain))


class Fates(NamedTuple):
    """Counts over a set of animals. `censored` holds why the fate short of `upto` is not known: alive, given, missing, escaped …"""

    start: int
    """Animals that stood in the first stage looked at, or entered later stages where no first stage was asked."""
    reached: int
    died: int
    censored: Counter
    causes: Counter

    @property
    def known(self) -> int:
        return self.reached + self.died


def is_death(posting) -> bool:
    return posting.target is None and posting.event.what == "died"


def cause_of(event) -> str:
    return event.detail.strip() or "cause not recorded"


def deaths(nursery, want: Wanted, period=None) -> list:
    """Postings of deaths among the animals meant."""
    ledger = nursery.ledger
    found = of_cohorts(ledger, want.cohorts) if want.cohorts else ledger.chronicle.left("died")
    return [one for one in found if is_death(one) and within(one.event, period) and want.key_fits(one.source, ledger)]


def between(nursery, want: Wanted, origin: str | None, goal: str, *, laid_only: bool = False) -> Fates:
    """How many of the animals meant came from stage `origin` (None: whatever stage they entered in) to stage `goal`.

    Animals are followed under their cohort: a split or merge inside the set meant changes nothing, one that leads out of it ends the
    watch on those animals until they come back, one that leads in starts it. With `want.enclosures` they are followed while they stand
    there, and leaving them alive ends the watch. `want.stages` and `.instar` are not looked at.
    """
    want = want._replace(stages=(), instar=None)
    kept = nursery.ledger.kept.setdefault("fates", {})
    asked = (want, origin, goal, laid_only)
    if asked not in kept:
        kept[asked] = _between(nursery, *asked)
    return kept[asked]


def _between(nursery, want: Wanted, origin: str | None, goal: str, laid_only: bool) -> Fates:
    ledger = nursery.ledger
    labels = [label for label in ledger.cohorts if want.cohort_fits(label, ledger)]
    if want.enclosures:
        there = _ever_in(ledger, want.enclosures)
        labels = [label for label in labels if label in there]
    if want.marked or want.enclosures or want.without:
        return _followed(ledger, want._replace(cohorts=tuple(labels) or ("",)), origin, goal, laid_only)
    return _sum(_of_family(nursery, family, origin, goal, laid_only) for family in _families(ledger, labels))


def _ever_in(ledger, places: tuple[str, ...]) -> set[str]:
    """The cohorts of which animals ever stood in one of the enclosures."""
    postings = (posting for place in places for posting in ledger.chronicle.touching(place))
    return {key.cohort for _, *keys, _ in postings for key in keys if key is not None}


def _families(ledger, labels: list[str]) -> Iterator[tuple[str, ...]]:
    """The cohorts that were split off or merged into each other, as far as they are meant."""
    meant, seen = set(labels), set()
    for label in labels:
        if label not in seen:
            family = ledger.chronicle.family(label) & meant
            seen |= family
            yield tuple(sorted(family))


def _of_family(nursery, family: tuple[str, ...], origin: str | None, goal: str, laid_only: bool) -> Fates:
    def found() -> Fates:
        return _followed(nursery.ledger, Wanted(cohorts=family), origin, goal, laid_only)

    kin = tuple(sorted(nursery.ledger.chronicle.family(family[0])))
    meant = " of " + ", ".join(family) if len(kin) > 1 else ""
    return nursery.kept_of_cohorts(kin, f"{'laid ' if laid_only else ''}{origin} to {goal}{meant}", found)


def _sum(parts: Iterable[Fates]) -> Fates:
    start = reached = died = 0
    censored: dict[str, int] = {}
    causes: dict[str, int] = {}
    for part in parts:
        start, reached, died = start + part.start, reached + part.reached, died + part.died
        for tally, more in ((censored, part.censored), (causes, part.causes)):
            for name, count in more.items():
                tally[name] = tally.get(name, 0) + count
    return Fates(start, reached, died, Counter(censored), Counter(causes))


def _followed(ledger, want: Wanted, origin: str | None, goal: str, laid_only: bool) -> Fates:
    """`between`, by following every posting of the cohorts meant, and of those that their animals came from or went to."""
    watch = Watch(origin, goal, laid_only=laid_only)
    family = set().union(*(ledger.chronicle.family(label) for label in want.cohorts))
    for posting in of_cohorts(ledger, tuple(family)):
        _, source, target, _ = posting
        held = source is not None and want.key_fits(source, ledger)
        here = target is not None and want.key_fits(target, ledger)
        watch.follow(posting, held, here, cause_of(posting.event))
    watch.close()
    return Fates(watch.start, watch.reached, watch.died, +watch.censored, watch.causes)


def became(nursery, want: Wanted) -> str:
    """What became of animals that have left, in words: `9 released, 3 died (2 infertile, 1 drowned)`; "" if none has."""
    ledger = nursery.ledger
    want = want._replace(stages=(), instar=None, enclosures=())
    tally: Counter = Counter()
    details: dict[str, Counter] = {}
    for posting in postings_of(nursery, want):
        source, target = posting.source, posting.target
        if source is None or not want.key_fits(source, ledger):
            continue
        if target is None:
            what = posting.event.what
        elif not want.key_fits(target, ledger):
            what = f"now in cohort {target.cohort}"
        else:
            continue
        tally[what] += posting.count
        if posting.event.detail:
            details.setdefault(what, Counter())[posting.event.detail] += posting.count
    parts = []
    for what, count in tally.most_common():
        words = f"{count} {LEFT_WORDS.get(what, what)}"
        if what in details:
            words += f" ({listed(_detail(what, name, n, count) for name, n in details[what].most_common())})"
        parts.append(words)
    return listed(parts)


def _detail(what: str, name: str, count: int, total: int) -> str:
    preposition = "to " if what == "given" else ""
    return f"{preposition}{name}" if count == total else f"{count} {preposition}{name}"


def censored_words(censored: Counter, goal: str) -> str:
    """Why some are left out of a rate: `2 are still alive short of adult`, `6 were given away`."""
    words = {
        "alive": f"{{}} still alive and not yet {goal}",
        "given": "{} given away before",
        "missing": "{} missing (which is not dead)",
        "counted": "{} missing at a count (which is not dead)",
        "escaped": "{} escaped before",
        "released": "{} released before",
        "split off": "{} gone on elsewhere before",
    }
    return listed(words.get(why, "{} " + why).format(count) for why, count in censored.most_common())


def stage_phrase(counts: dict[str, int]) -> str:
    """`9 eggs, 3 larvae and 1 pupa`, in the order of life."""
    return listed(stage_count(counts[stage], stage) for stage in sorted(counts, key=STAGE_ORDER.get) if counts[stage])


def cause_items(causes: Counter, found=()) -> tuple[dict, ...]:
    items = []
    cohorts_of: dict[str, dict[str, None]] = {}
    for posting in found:
        cohorts_of.setdefault(cause_of(posting.event), {})[posting.source.cohort] = None
    for rank, (cause, count) in enumerate(causes.most_common(), 1):
        item = {"name": cause, "label": f"{cause}: {count}", "rank": rank, "count": count}
        cohorts = list(cohorts_of.get(cause, ()))
        if cohorts:
            item["cohorts"] = cohorts
        items.append(item)
    return tuple(items)
