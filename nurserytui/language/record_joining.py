"""Clauses that lean on each other: one is added to what was told by those before it and to what stood in front of it."""

from __future__ import annotations

from nurserytui.language.clause import STAGES, Clause, who
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_events import ANIMAL_EVENTS, CARE, RESULT
from nurserytui.language.record_inheriting import inheriting
from nurserytui.language.record_labels import goal_in, label_in
from nurserytui.language.record_modifying import modified
from nurserytui.language.record_places import told_of
from nurserytui.language.record_repeating import repeated, told_earlier
from nurserytui.language.record_settings import test_result
from nurserytui.language.record_well import look, well


def put(line: Line, draft: Draft, clause: Clause, before: list[Clause], found: list[Draft], now) -> None:
    """Add the draft of a clause, completed by the pieces that stood before it."""
    if found and draft.what == found[-1].what == "moved" and found[-1].to and not draft.to and _points_there(clause):
        return  # `C3 now lives in the big cage, moved it there today`
    if found and not draft.enclosure and not draft.inherits and _points_there(clause):
        draft = draft._replace(enclosure=found[-1].to or found[-1].enclosure)
    siblings = []
    for piece in before:
        if draft.count == "both" and (draft.cohort or draft.mark) and _names_another(piece, draft, _of_the_records(line, piece)):
            draft = draft._replace(count=None)  # `A1, A3: both emerged`
        earlier = told_earlier(line, piece, clause, draft, now)
        if earlier:
            found.append(inheriting(earlier, found[-1] if found else None))
        elif (place := _another_place(piece, draft)) and draft.count in (None, "all"):
            siblings.append(draft._replace(enclosure=place))
        elif well(piece):
            found.append(look(line, piece, now))
        elif _names_another(piece, draft, _of_the_records(line, piece)) and draft.count in (None, "all"):
            cohort, mark = who(next(item for item in piece.items if item.word == "COHORT"))
            siblings.append(draft._replace(cohort=cohort, mark=mark))
        else:
            draft = modified(line, draft, piece, now)
    if before and draft.count is None and draft.what in LEAVING and clause.items[0].word in ("they", "these", "those"):
        draft = draft._replace(count="all")  # `A eggs, they died`
    hung = (
        draft.what == "prepupated"
        and draft.count is None
        and found
        and found[-1].stage in ("prepupa", "pupa")
        and draft.enclosure
    )
    if (
        (draft.what in ("moved", "split") or hung)
        and found
        and found[-1].what in ("laid", "found")
        and (
            not (draft.cohort or draft.species)
            or _with_others(clause, draft)
            or draft.lead in (draft.cohort, "into", "in", "to", "goes", "lives", "sits")
            and not found[-1].cohort
            and draft.count is None
        )
    ):
        beside = _with_others(clause, draft)
        label, place = ("" if beside else draft.cohort, draft.to) if draft.what == "moved" else (draft.to, draft.enclosure)
        if place and not (draft.what == "moved" and draft.enclosure):
            found[-1] = found[-1]._replace(enclosure=place, cohort=found[-1].cohort or label)
            return
    if draft.what == "counted" and found and found[-1].what in ("laid", "found") and found[-1].count is None and not draft.cohort:
        found[-1] = found[-1]._replace(count=draft.count, stage=found[-1].stage or draft.stage)
        return
    if found and clause.joined and draft.what == found[-1].what == "moved" and draft.to and not found[-1].to:
        # `moved the A and B pupae from the tent to the box`
        last = found[-1]
        found[-1] = last._replace(to=draft.to, enclosure=last.enclosure or draft.enclosure, stage=last.stage or draft.stage)
    if siblings and draft.what == "sign":
        said = line.text[before[0].items[0].start : clause.items[-1].end].strip()
        draft, siblings = draft._replace(detail=said), [one._replace(detail=said) for one in siblings]
    found.extend(siblings)
    last = found[-1] if found else None
    if last and last.what == draft.what == "moved" and draft.to and not last.to and clause.items[0].word == "NUMBER":
        found[-1] = last = last._replace(to=draft.to)  # `moved 3 from tub 1 and 2 from tub 2 to tub 9`
    anew = draft.what in CARE and all(one.what != draft.what for one in found)
    if anew and last and not (draft.enclosure or draft.cohort or draft.host or draft.species):
        # `tubs 1 and 2 cleaned and fed`: each of those that the clause before was about
        found.extend([inheriting(draft, one) for one in found[:-1] if one.what == last.what in CARE])
    found.append(inheriting(draft, last))


LEAVING = frozenset(("died", "escaped", "missing", "released", "given"))


def _with_others(clause: Clause, draft: Draft) -> bool:
    """Whether what came in was put with a cohort (`found a larva, put it with A in tub 1`)."""
    words = clause.words()
    beside = any(pair == ("with", "COHORT") for pair in zip(words, words[1:]))
    return beside and words.count("COHORT") == 1 and draft.what == "moved" and draft.count is None and bool(draft.to)


def add(line: Line, clause: Clause, found: list[Draft], now) -> None:
    """Let a clause without an event of its own tell the last event again of others, or add to it."""
    last = found[-1]
    if well(clause):
        found.append(look(line, clause, now))
        return
    known = _of_the_records(line, clause)
    moves_on = (
        last.what == "moved" and bool(last.to) and {"to", "into", "in"} & set(clause.words()) and "ENCLOSURE" in clause.words()
    )
    if _names_another(clause, last, known) and (last.count is None or moves_on):
        cohort, mark = who(next(item for item in clause.items if item.word == "COHORT"))
        rest = Clause(tuple(item for item in clause.items if item.word != "COHORT"), None)
        sibling = last._replace(cohort=cohort, mark=mark)
        if last.what == "tested" and (result := test_result(clause.text(line).casefold(), clause.items)):
            found.append(sibling._replace(detail=result))
            return
        if last.what == "moved" and "ENCLOSURE" in clause.words():
            sibling = sibling._replace(enclosure="", to="", count=None)
        found.append(modified(line, sibling, rest, now, late=True) if rest.items else sibling)
        if clause.joined and not last.stage and rest.items and rest.items[0].word in STAGES:
            found[-2] = last._replace(stage=found[-1].stage)  # `put D and E larvae in jar 9`
        if found[-1].to and not last.to:
            found[:] = [draft._replace(to=found[-1].to) if draft.what == last.what and not draft.to else draft for draft in found]
        return
    if last.enclosure and clause.items[0].word in ("fresh", "new", "more") and "PLANT" in clause.words():
        plant = next(item.span.value for item in clause.items if item.word == "PLANT")
        found.append(Draft("fed", enclosure=last.enclosure, host=plant, when=last.when))
        return
    if last.what == "moved" and last.to and (label := label_in(clause.items, line, known)[0]):
        # `3 of B into tub 4, call them B2`
        found[-1:] = [
            last._replace(what="split", to=label),
            Draft("moved", cohort=label, to=last.to, when=last.when, lead=last.lead),
        ]
        return
    if last.what == "split" and last.to and (goal := _only_place(clause)) and goal != last.enclosure:
        found.append(Draft("moved", cohort=last.to, to=goal, when=last.when, lead=last.lead))  # `split 2 of K off as K-b, tub 6`
        return
    if last.what != "moved" and (place := _another_place(clause, last)):
        found[-1:] = told_of(last, [last.enclosure, place], "each" in line.plain.split())
        return
    if last.what == "renamed" and clause.items[0].kind == "cohort" and (to := goal_in(clause.items, line)[0]):
        found.append(last._replace(cohort=clause.items[0].span.value, to=to))
        return
    repeat = repeated(line, clause, last, now)
    if repeat is None:
        found[-1] = modified(line, last, clause, now, late=True)
        return
    if repeat.what == "moved" and repeat.to and not last.to:
        found[-1] = last = last._replace(to=repeat.to)  # `2 from tub 1 and 3 from tub 2 to tub 9`
    if not (last.cohort or last.species or last.enclosure):
        found[-1] = last._replace(cohort=repeat.cohort, species=repeat.species, enclosure=repeat.enclosure, mark=repeat.mark)
    if repeat.what == "given" and clause.joined and not last.detail:
        found[-1] = last._replace(detail=repeat.detail)  # `3 A and 2 P to the school`
    found.append(repeat)


def leads(line: Line, clause: Clause) -> bool:
    """Whether a clause is only a place or a cohort with a colon, of which the next one tells (`tub 3: one pupated`)."""
    named = all(item.word in ("ENCLOSURE", "COHORT") for item in clause.items)
    return named and line.text[clause.items[-1].end :].lstrip().startswith(":")


def _of_the_records(line: Line, clause: Clause) -> bool:
    """Whether a clause names a cohort that is in the records."""
    new = {span.first for span in line.of("unknown-cohort")}
    return any(item.kind == "cohort" and item.span.first not in new for item in clause.items)


def _names_another(clause: Clause, draft: Draft, known: bool) -> bool:
    """True where a clause only names one more cohort (`moved C3, C5 and C6 to tub 9`)."""
    words = [item.word for item in clause.items if item.word not in ("the", "also", "my")]
    cohorts = [item for item in clause.items if item.word == "COHORT"]
    return (
        clause.verb is None
        and words[:1] == ["COHORT"]
        and len(cohorts) == 1
        and "NUMBER" not in words
        and draft.what in (ANIMAL_EVENTS | CARE) - {"laid", "found", "renamed", "split", "counted"}
        and bool(draft.cohort)
        and who(cohorts[0]) != (draft.cohort, draft.mark)
        and not (set() if known else {"as", "called", "cohort", "group"}) & set(cohorts[0].raw.casefold().split())
    )


def _another_place(piece: Clause, draft: Draft) -> str:
    """The place that a piece of nothing else names beside that of the clause (`tub 1 and tub 3 all pupated`); "" for none."""
    named = [item for item in piece.items if item.word not in BESIDE_A_PLACE and item.kind != "period"]
    alone = piece.verb is None and len(named) == 1 and named[0].word == "ENCLOSURE"
    told = draft.what in (*RESULT, "checked", "died", "tested", "released", "counted", "moved", *CARE) and draft.enclosure
    if draft.what == "moved" and (not draft.to):
        return ""
    return named[0].span.value if alone and told and named[0].span.value != draft.enclosure else ""


def _only_place(clause: Clause) -> str:
    """The place that is all a clause names; "" for any other."""
    named = [
        item
        for item in clause.items
        if item.word not in BESIDE_A_PLACE | {"into", "to", "they", "go", "live", "are", "put", "them"}
    ]
    return named[0].span.value if len(named) == 1 and named[0].word == "ENCLOSURE" else ""


BESIDE_A_PLACE = frozenset("the in of both also too all each today now just from at on done".split())


def _points_there(clause: Clause) -> bool:
    """`one B in the tent died, two of the C there hung up`: the place is that of the clause before."""
    words = clause.words()
    if "on the way" in (said := " ".join(words)) or "in transit" in said or "in the move" in said:
        return True  # `moved 5 to the tent, one died on the way`
    return any(
        word == "there" and following not in ("is", "are", "was", "were") for word, following in zip(words, [*words[1:], ""])
    )
