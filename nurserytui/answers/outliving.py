"""Whether one group of animals lives longer than another: their curves side by side, and the log-rank test."""

from __future__ import annotations

from itertools import combinations
from math import ceil

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.life_sums import by_source, total
from nurserytui.answers.lifetimes import Watch, curves, days_shown, share_at, watched
from nurserytui.answers.living import FEW, LEVEL, TOPIC, days_asked, from_words, percent, spread
from nurserytui.answers.selection import Wanted, about_words, join, shortened
from nurserytui.answers.verdict import CHANCE, SHOWN_STEPS, TOGETHER, p_words
from nurserytui.answers.wording import OWN_RECORDS, capital, counted, listed, number
from nurserytui.biology.differences import holm, log_rank, log_rank_exact

LIMIT = "The groups were watched for unequal times, so p is the limit for many animals: with few deaths take it as rough."


def compared(request, nursery, want: Wanted, groups, since: str | None) -> Answer:
    """Curves of several groups at one day, and for every two of them whether the difference can be chance."""
    told, small = [], []
    for name, group in groups:
        group = group._replace(stages=(), instar=None)
        watch = watched(nursery, group, since)
        if watch.animals >= FEW:
            told.append((name, group, watch))
        elif watch.animals:
            small.append(f"{name} ({counted(watch.animals, 'animal')})")
    if len(told) < 2:
        text = f"Too few to say: a group needs {FEW} animals at least for a curve, and {'only ' + told[0][0] if told else 'none'} has them."
        return Answer("unknown", TOPIC, text, sources=(OWN_RECORDS,), next=("survival by species",))
    longest = min(watch.longest() for _, _, watch in told)
    both = Watch(
        *(sum((getattr(watch, part) for _, _, watch in told), type(told[0][2].died)()) for part in ("died", "left", "why"))
    )
    day = days_asked(request.plain) or _day_told(both, longest)
    rows = []
    for name, group, watch in told:
        known = total(by_source(nursery, group, None, "adult")).known
        rows.append((name, watch, share_at(curves(nursery, group, since), day), known))
    rows.sort(key=lambda row: -row[2].alive)
    pairs = list(combinations([row for row in rows if row[3] >= FEW], 2))
    tests = [differ(one[1], other[1]) for one, other in pairs]
    adjusted = holm([test[0] for test in tests])
    working = [] if pairs else [f"No test: it needs {FEW} animals of known fate (dead or grown to adult) in each of two groups."]
    working += [
        f"{one[0]} and {other[0]}: {how}, p = {p_words(p)}"
        + (f", {p_words(held)} corrected for {len(pairs)} comparisons (Holm)." if len(pairs) > 1 else ".")
        for held, (one, other), (p, how, _) in sorted(zip(adjusted, pairs, tests, strict=True), key=lambda row: row[0])[
            :SHOWN_STEPS
        ]
    ]
    first = _first(rows, pairs, tests, adjusted, day)
    items = tuple(
        {
            "name": name,
            "label": f"{name}: {percent(share.alive)} alive at day {number(day)} ({spread(share.low, share.high)}), "
            f"{watch.died.total()} of {watch.animals} died, {share.standing} watched for longer",
            "rate": round(share.alive, 4),
            "low": round(share.low, 4),
            "high": round(share.high, 4),
            "n": watch.animals,
            "died": watch.died.total(),
            "rank": rank,
        }
        for rank, (name, watch, share, _) in enumerate(rows, 1)
    )
    return Answer(
        "answered",
        TOPIC,
        join(
            capital(first),
            f"Days from {from_words(since)}:",
            *shortened([f"- {item['label']}" for item in items]),
            f"Too few for a curve: {listed(small)}." if small else "",
        ),
        about=about_words(nursery, want, since or ""),
        values={
            "rate": Value(items[0]["rate"], "fraction", items[0]["low"], items[0]["high"], LEVEL),
            "n": Value(sum(watch.animals for _, watch, _, _ in rows), "animals"),
            "p": Value(round(min(adjusted), 4)) if adjusted else Value(None, reason="too few of known fate"),
        },
        items=items,
        working=tuple(working),
        sources=(OWN_RECORDS,),
        cautions=_cautions(tests, adjusted),
        next=("survival by stage", "causes of death"),
    )


def _day_told(both: Watch, longest: float) -> float:
    """A day at which all groups were still watched and, of such, the last one by which a death is told."""
    shown = max((day for day in days_shown(both, None) if day <= longest), default=longest)
    last = max((day for day in both.died if day <= longest), default=shown)
    return max(shown, min(float(ceil(last)), longest))


def _cautions(tests, adjusted) -> tuple[str, ...]:
    """What makes a p value less sure than it looks."""
    if not tests or min(adjusted) >= CHANCE:
        return ()
    return (*TOGETHER, *((LIMIT,) if any("chi-square limit" in how for _, how, _ in tests) else ()))


def _watched_alike(one: Watch, other: Watch) -> bool:
    """Whether those that did not die were watched until the last death, or equally long: only then may animals be dealt anew to two groups."""
    last = max((*one.died, *other.died), default=0.0)
    if all(day >= last for watch in (one, other) for day in watch.left):
        return True
    return sorted(one.left) == sorted(other.left)


def differ(one: Watch, other: Watch) -> tuple[float, str, bool]:
    """(p, the test in words, whether the first died less than was to be expected)"""
    ours, theirs = one.durations(), other.durations()
    deaths = one.died.total() + other.died.total()
    exact = (log_rank_exact(*ours, *theirs) if _watched_alike(one, other) else None) if deaths else 1.0
    found = log_rank(*ours, *theirs)
    words = (
        f"log-rank test, chi-square {found.chi_square:.2f} ({found.observed[0]} deaths where {found.expected[0]:.1f} were to be expected, "
        f"{found.observed[1]} where {found.expected[1]:.1f} were)"
    )
    longer = found.observed[0] <= found.expected[0]
    return (
        (found.p, f"{words}; p by the chi-square limit", longer)
        if exact is None
        else (exact, f"{words}; p by all ways to deal the animals to two such groups", longer)
    )


def _first(rows, pairs, tests, adjusted, day: float) -> str:
    (best, _, top, _), (worst, _, low, _) = rows[0], rows[-1]
    if not pairs:
        shares = listed(
            f"{name} {percent(share.alive)} ({watch.died.total()} of {watch.animals} died)" for name, watch, share, _ in rows
        )
        few = listed(name for name, _, _, known in rows if known < FEW)
        return (
            f"Too few to say whether they differ: alive at day {number(day)} {shares}; at least {FEW} with a known fate, dead or grown to adult, "
            f"are needed of {few}."
        )
    if len(pairs) == 1:
        p, order = tests[0][0], pairs[0] if tests[0][2] else pairs[0][::-1]
        rates = f"{percent(order[0][2].alive)} against {percent(order[1][2].alive)} alive at day {number(day)}"
        if p < CHANCE:
            return f"{order[0][0]} lived longer than {order[1][0]}: {rates}; hardly chance (log-rank p = {p_words(p)})."
        return f"Too few to say whether {order[0][0]} and {order[1][0]} differ: {rates}, which can well be chance (log-rank p = {p_words(p)})."
    held = [
        ((one[0], other[0]) if test[2] else (other[0], one[0]), p)
        for (one, other), test, p in zip(pairs, tests, adjusted, strict=True)
        if p < CHANCE
    ]
    if not held:
        return (
            f"Too few to say that any of these {len(rows)} differ: {best} {percent(top.alive)} to {worst} {percent(low.alive)} alive at day "
            f"{number(day)}, but after correcting for {len(pairs)} comparisons the least p is {p_words(min(adjusted))} (Holm)."
        )
    words = listed(
        f"{one} lived longer than {other} (p = {p_words(p)})" for (one, other), p in sorted(held, key=lambda row: row[1])[:3]
    )
    return f"{words}, corrected for {len(pairs)} comparisons (Holm); the other differences can be chance."
