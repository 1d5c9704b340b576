"""Clauses without a verb that tell the event beside them again, of other animals."""

from __future__ import annotations

from nurserytui.language import record_counts, record_labels, record_slots, record_unheld
from nurserytui.language.clause import STAGES, Clause
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_build import with_result_stage
from nurserytui.language.record_causes import causes
from nurserytui.language.record_days import when_of
from nurserytui.language.record_events import ANIMAL_EVENTS
from nurserytui.language.record_words import CAUSE_WORDS, NO_IDEA

LIVES = frozenset(
    """
    live lives living sit sits sitting is are kept keeping housed now in stays stay hangs hanging theyre its staying
    """.split()
)

BESIDE_ANOTHER = frozenset("another PERIOD on yet still too also the in of at from ENCLOSURE COHORT SPECIES".split()) | STAGES


ANOTHER = frozenset("PERIOD another one and a again too also then more on".split())
"""Words of a clause by which one more of the same is told."""


def repeated(line: Line, clause: Clause, before: Draft, now) -> Draft | None:
    """`2 hatched in tub 1, 3 in tub 2`: a number with a subject of its own, after a clause that has both, tells the same again."""
    words = set(clause.words())
    if "another" in words and words <= ANOTHER and isinstance(before.count, int) and before.what in ANIMAL_EVENTS:
        return before._replace(count=1, when=when_of(clause.items, now) or before.when, detail="", note="")  # `…, fri another`
    if before.what == "counted":
        return _counted_too(line, clause, before, now)
    if before.count is None or before.what not in ANIMAL_EVENTS or before.what in ("checked", "sign", "tested", "counted"):
        return None
    single = "another" in words and words <= BESIDE_ANOTHER  # `thu 1 B died, fri another`
    if not (single or record_counts.numbers_in(clause.items)) or words & LIVES - {"in", "now"}:
        return None
    label, labelled = record_labels.label_in(clause.items, line)
    draft = record_slots.filled(Draft(before.what, lead=before.lead), clause.items, line, now, frozenset(), labelled)
    if before.what == "moulted" and draft.instar is None:
        draft = draft._replace(instar=next((item.span.value for item in clause.items if item.kind == "ordinal"), None))
    own = (draft.cohort and before.cohort and draft.cohort != before.cohort) or (
        draft.enclosure and before.enclosure and draft.enclosure != before.enclosure
    )
    sexes = record_counts.sexes_counted(clause.items)
    if sexes and before.detail in ("male", "female") and before.what in ("released", "emerged"):
        return draft._replace(
            count=sexes[0][0],
            detail=sexes[0][1],
            when=draft.when or before.when,
            cohort=draft.cohort or before.cohort,
            species=draft.species or before.species,
            enclosure=draft.enclosure or before.enclosure,
        )
    if before.what == "died" and set(clause.words()) & CAUSE_WORDS and "of" in words:
        return draft._replace(
            cohort=before.cohort,
            mark="",
            species=before.species,
            enclosure=before.enclosure,
            stage=draft.stage or before.stage,
            when=draft.when or before.when,
            detail=causes(clause.items),
        )
    own = own or (draft.when and before.when and draft.when.start != before.when.start)
    own = own or (before.what == "moulted" and draft.instar and draft.instar != before.instar)
    own = own or (before.what == "moved" and draft.to and draft.to != before.to)
    own = (
        own
        or (draft.species and before.species)
        or (draft.stage and before.stage and before.what not in ("laid",))
        or (before.what == "moulted" and None not in (draft.instar, before.instar) and draft.instar != before.instar)
        or "another" in words
        or _more(clause.words())
    )
    if before.what == "given" and isinstance(draft.count, int) and (got := _who_else(clause)):
        same = {
            part: getattr(draft, part) or getattr(before, part) for part in ("cohort", "species", "enclosure", "stage", "when")
        }
        if draft.cohort and draft.cohort != before.cohort:
            same |= {"species": draft.species, "enclosure": draft.enclosure, "stage": draft.stage}
        return draft._replace(detail=got, **same)
    if not own or draft.count is None:
        return None
    if before.what in ("laid", "found"):
        return record_unheld.noted(line, clause.items, draft, labelled=labelled)._replace(
            cohort=label,
            species=draft.species or (before.species if draft.stage and not NO_IDEA.search(line.plain) else None),
            unknown="",
            enclosure=draft.enclosure or before.enclosure,
            inherits=not draft.enclosure,
            host=draft.host or (before.host if draft.species in (None, before.species) else None),
            when=draft.when or before.when,
            stage=draft.stage or before.stage,
        )
    if before.what == "split":
        draft = draft._replace(to=label or record_labels.goal_in(clause.items, line)[0])
    if before.what == "moved":
        same = draft.cohort in ("", before.cohort) and not draft.species
        return draft._replace(
            to=draft.to or before.to,
            when=draft.when or before.when,
            cohort=draft.cohort or before.cohort,
            stage=draft.stage or (before.stage if same else ""),
            enclosure=draft.enclosure or (before.enclosure if same else ""),
        )
    same = not draft.cohort and not draft.species
    if same and not draft.enclosure:
        draft = draft._replace(enclosure=before.enclosure, stage=draft.stage or before.stage)
    return draft._replace(
        when=draft.when or before.when,
        cohort=before.cohort if same else draft.cohort,
        species=before.species if same else draft.species,
        detail=causes(clause.items) if before.what == "died" else "",
    )


def _who_else(clause: Clause) -> str:
    """Who else got some (`and 5 to Ann`, `and Ann 5`); "" where nobody is named."""
    words = [item.word for item in clause.items]
    to = words.index("to") + 1 if "to" in words else 0
    named = [item for item in clause.items[to:] if not item.span]
    first = clause.items[0]
    if not to and (first.span or not first.raw[:1].isupper() or words[1:2] != ["NUMBER"]):
        return ""
    return " ".join(item.raw for item in named)


def _counted_too(line: Line, clause: Clause, before: Draft, now) -> Draft | None:
    """`counted tub 1: 12 larvae, 1 egg`, `stocktake: tub 1 6, tub 2 3`: the next number of a stocktake, of another place or stage."""
    if not isinstance(before.count, int) or not record_counts.numbers_in(clause.items) or set(clause.words()) & GONE:
        return None
    draft = record_slots.filled(Draft("counted", lead=before.lead, total=True), clause.items, line, now)
    other = draft.enclosure not in ("", before.enclosure) or draft.cohort not in ("", before.cohort)
    if not (other or draft.stage not in ("", before.stage) and before.stage):
        return None
    return draft._replace(
        enclosure=draft.enclosure or ("" if draft.cohort else before.enclosure),
        cohort=draft.cohort or ("" if draft.enclosure else before.cohort),
        when=draft.when or before.when,
        host=None,
        to="",
        refers=False,
    )


GONE = frozenset("missing gone lost vanished dead died escaped missed miscounted overlooked left wrong more fewer less".split())
"""Words by which a number beside a stocktake is what became of the rest."""


def _more(words: list[str]) -> bool:
    """`4 hatched this morning, 2 more at lunch`: so many others, of whom nothing says that they wait for it."""
    return any(pair == ("NUMBER", "more") for pair in zip(words, words[1:])) and WAITING.isdisjoint(words)


WAITING = frozenset("to go left still remaining unhatched due soon expected not yet will coming waiting EGG LARVA PUPA".split())


def told_earlier(line: Line, piece: Clause, clause: Clause, draft: Draft, now) -> Draft | None:
    """`3 A eggs and 2 P eggs hatched`: a number and a subject of its own, joined by `and` to another with the verb, tells the same."""
    if (
        not clause.joined
        or not (isinstance(draft.count, int) or draft.count == "all")
        or not record_counts.numbers_in(piece.items)
    ):
        return None
    other = record_slots.filled(
        Draft(draft.what, when=draft.when, detail=draft.detail, to=draft.to, lead=draft.lead), piece.items, line, now
    )
    piece_when = when_of(piece.items, now)
    own = (
        other.cohort
        and draft.cohort
        and other.cohort != draft.cohort
        or other.species
        and draft.species
        and other.species != draft.species
        or other.enclosure
        and draft.enclosure
        and other.enclosure != draft.enclosure
        or piece_when is not None
        and draft.when is not None
        and piece_when.start != draft.when.start
    )
    if piece_when is not None:
        other = other._replace(when=piece_when)
    return with_result_stage(other) if own and isinstance(other.count, int) else None
