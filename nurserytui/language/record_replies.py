"""Short lines that lean on the record before them: taking it back, going on with it, answering the question that was asked back."""

from __future__ import annotations

import re

from nurserytui.language import choosing, record_labels, record_settings, record_slots
from nurserytui.language.clause import STAGES, Item
from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_build import UNKNOWN
from nurserytui.language.record_events import ANIMAL_EVENTS
from nurserytui.language.record_items import items_of
from nurserytui.language.record_more import more_of_the_same
from nurserytui.language.record_reading import read
from nurserytui.language.record_verbs import best_verb
from nurserytui.language.record_words import NO_IDEA
from nurserytui.language.request import Request
from nurserytui.language.spans import scan
from nurserytui.language.vocabulary import Vocabulary

_IT = r"(?:that|this|it|last|(?:the|my|that)\s+last(?:\s+(?:one|record|entry|event|thing|line))?|that\s+(?:one|record|entry)|please)"
UNDO = re.compile(
    rf"""(?:(?:no|nope|nah|oops|ooops|sorry|wait|please|actually|whoops|ah|oh|ok|argh|hang\ on|never\ mind|can\ you|could\ you)\s+)*
    (?:undo(?:\s+(?:that|this|it|please|last|the\s+last.*|my\s+last.*|that\s+one|what\s+i\s+just.*))?
    |(?:scrap|delete|remove|cancel|strike|erase|revert|reverse|retract|withdraw|forget|scratch|unrecord|discard|drop|undo)\s+{_IT}
    |cancel|take\s+(?:that|it|this|the\s+last\s+(?:one|record|entry)|that\s+one)\s+(?:back|out|off)|take\s+back\s+{_IT}
    |(?:that\s+(?:was|is|s)?\s*)?(?:wrong|a\s+mistake|not\s+right|an\s+error)(?:\s+(?:delete|undo|scrap|remove)\s+(?:it|that))?
    |(?:i\s+)?(?:did\s*n\W?t|didnt|did\s+not)\s+mean\s+(?:that|to\s+(?:record|log|write).*)|never\s*mind\s+that|ignore\s+that(?:\s+last.*)?|roll\s*back)
    (?:\s+(?:please|pls|again|sorry|thanks|now|one|record|entry))*""",
    re.VERBOSE,
)
YES = frozenset("yes yep yeah y ok okay sure correct right exactly please do".split())
DROPPED = re.compile(
    r"(?:no|nope|nah|naw|cancel|stop|forget it|forget that|never ?mind|leave it|none(?: of (?:them|those|these))?|neither|scrap that|no scrap that|drop it|skip it|doesnt matter|doesn't matter)(?: thanks| thank you)?"
)


def drops(line: Line) -> bool:
    """Whether the line gives up what was asked back."""
    return bool(DROPPED.fullmatch(line.plain))


REASON = re.compile(r"\s*(?:[,;.!]|\s[-–—]|\bbecause\b|\bcos\b|\bas\b)\s*", re.I)
"""What stands between a word of taking back and why (`take that back, she kept them`)."""
TOLD = frozenset("NUMBER COHORT ENCLOSURE SPECIES PLANT AGENT INSTAR AMOUNT PERIOD".split()) | STAGES


def is_undo(line: Line) -> bool:
    """Whether the line takes the last record back, alone or with a reason that names nothing (`cancel that, wrong box`)."""
    if UNDO.fullmatch(line.plain.replace("'", "").strip()):
        return True
    parts = [part for part in REASON.split(line.text.strip().casefold()) if part]
    taken = [part for part in parts if UNDO.fullmatch(re.sub("['’]", "", part))]
    if len(taken) != 1 or len(parts) > 3:
        return False
    return _only_why(line, [part for part in parts if part not in taken], before=parts[-1] == taken[0])


def _only_why(line: Line, why: list[str], before: bool) -> bool:
    """Whether what stands beside a word of taking back tells nothing that could be the right record (`scrap that, 3 died` does). What
    stands `before` it may say what happened in truth (`she moved, undo`)."""
    said = {word for part in why for word in part.split()}
    items = [item for item in items_of(line) if said & set(item.raw.casefold().split())]
    if TOLD & {item.word for item in items}:
        return False
    again = FOUND_AFTER_ALL.search(" ".join(why))  # `undo, found them`
    return before or bool(again) or (not best_verb(items, weak=False) and "not" not in said)


FOUND_AFTER_ALL = re.compile(r"^(?:i |we )?(?:just )?(?:found|spotted) (?:them|it|him|her)\b")


MORE = frozenset("and n plus also another".split())
AGAIN = frozenset("same ditto likewise".split())
"""Words by which the same is told again of others, with its number (`same in tub 3`)."""


def going_on(line: Line, items: list[Item], nursery, context) -> Request | None:
    """`and 3 more`, `and tub 3` after a record: the same again, of others."""
    last = context.last if context is not None else None
    answer = last.answer if last is not None else None
    if answer is None or answer.status != "recorded" or answer.topic != "record" or context.open is not None or len(items) > 8:
        return None
    items = _labels_of_degrees(items, nursery) if answer.about.get("event") in ANIMAL_EVENTS else items
    labelled = line.text.startswith("N") or any(span.first == 0 for span in line.spans)  # `N` is no `n` for `and`
    first = "" if labelled else line.tokens[0].text
    if first not in MORE | AGAIN and not more_of_the_same(items) or best_verb(items):
        return None
    before = last.request.drafts[0] if last.request.drafts else None
    if "correct" in last.request.cues and answer.items:
        before = _written(answer.items[0])
    if before is None or not before.what or before.what in ("setting", "note", "renamed", "merged", "laid", "found"):
        return None
    draft = record_slots.filled(
        Draft(before.what, to=before.to, instar=before.instar, host=before.host), items, line, nursery.now
    )
    if not (draft.count or draft.cohort or draft.enclosure or draft.species):
        return None
    if before.what == "temperature":
        number = next((item.span.value for item in items if item.word == "NUMBER"), None)
        if number is None or not draft.enclosure or not answer.items:
            return None
        unit = str(answer.items[0].get("detail", "")).rsplit(" ", 1)[-1]
        draft = draft._replace(count=None, detail=f"{number:g} {unit}")
    if first in AGAIN and draft.count is None:
        draft = draft._replace(count=before.count)
    if not (draft.cohort or draft.species or draft.enclosure):
        written = answer.items[0] if answer.items else {}
        draft = draft._replace(
            cohort=written.get("cohort", ""),
            mark=written.get("mark", ""),
            enclosure=written.get("enclosure", ""),
            stage=draft.stage or written.get("stage", ""),
        )
    elif not (draft.cohort or draft.species) and before.cohort:
        draft = draft._replace(cohort=before.cohort)
    return Request(line.text, "record", drafts=(draft._replace(refers=False),), plain=line.plain, layer="follow-up", score=1.0)


def _labels_of_degrees(items: list[Item], nursery) -> list[Item]:
    """`and 3 F` after eggs that hatched is no temperature, where there is a cohort F."""
    found: list[Item] = []
    for item in items:
        said = re.fullmatch(r"(\d+) ?([CF])", item.raw) if item.word == "AMOUNT" else None
        if said and said[2] in nursery.ledger.cohorts:
            number, label = (
                item.span._replace(kind="number", value=int(said[1])),
                item.span._replace(kind="cohort", value=said[2]),
            )
            found += [
                item._replace(word="NUMBER", span=number, raw=said[1], stop=False),
                item._replace(word="COHORT", span=label, raw=said[2]),
            ]
        else:
            found.append(item)
    return found


def _written(item: dict) -> Draft:
    """The draft of an event as a record reads it back, of those parts that may be told again of others."""
    return Draft(**{part: item[part] for part in ("what", "cohort", "to", "instar", "count", "detail") if item.get(part)})


def named(draft: Draft) -> bool:
    """Whether a draft says of whom it tells."""
    return bool(draft.cohort or draft.mark or draft.species or draft.enclosure or draft.stage or draft.unknown)


def short_answer(line: Line, items: list[Item], nursery, context) -> Request | None:
    """An answer to an open question that would read as a record of its own: an option sent back, or the one word that tells options apart."""
    opened = getattr(context, "open", None)
    if opened is None or opened.topic != "record" or not opened.drafts:
        return None
    options = tuple(getattr(context.last.answer, "options", ()) or ())
    if line.text.strip() in options:
        return reply(line, items, nursery, context) if len(opened.drafts) > 1 else None
    names = {"NUMBER", "COHORT", "ENCLOSURE", "SPECIES", "PERIOD"}
    if (
        len(items) <= 5
        and not names & {item.word for item in items}
        and best_verb(items)
        and _chosen(line, items, options, choosing.asks_a_number(context))
    ):
        return reply(line, items, nursery, context)
    return None


def reply(line: Line, items: list[Item], nursery, context) -> Request | None:
    """An answer to the question that was asked back, put into the open drafts; None if the line is none."""
    opened = getattr(context, "open", None)
    if opened is None or opened.topic != "record" or not opened.drafts:
        return None
    if is_undo(line):
        return opened._replace(text=line.text, drafts=(), cues=frozenset(["dropped"]), layer="reply")
    if items[0].word in ACTING and not items[0].span:
        return None
    named = items[0].word in TOLD or record_labels.looks_like_label(record_labels.raw_label(line, items[0]))
    if named and items[-1].word in LOOKED_UP and not any(item.word == "NUMBER" for item in items):
        return None
    asked = asked_about(context, opened)
    if righted := _righted(line, items, opened.drafts[asked], nursery):
        return patched(line, opened, asked, righted, override=True)
    options = tuple(getattr(context.last.answer, "options", ()) or ())
    chosen = _chosen(line, items, options, choosing.asks_a_number(context))
    if len(items) > 12 and not chosen:
        return None
    if chosen:
        patch = draft_of_option(chosen, nursery)
        if patch is not None:
            return patched(line, opened, asked, patch, override=True)
    patch = record_slots.filled(Draft(opened.drafts[asked].what), items, line, nursery.now)
    open_end = opened.drafts[asked].what == "moved" and not opened.drafts[asked].to
    if open_end and patch.enclosure and not patch.to and "from" not in line.plain.split():
        patch = patch._replace(to=patch.enclosure, enclosure="")
    if opened.drafts[asked].what in ("split", "merged", "renamed", "found", "laid") and not patch.cohort:
        label, _ = record_labels.label_in(items, line)
        if not label and opened.drafts[asked].what in ("split", "renamed"):
            label = _behind_to(line, items)
        if not label and len(items) == 1 and record_labels.looks_like_label(record_labels.raw_label(line, items[0])):
            label = record_labels.raw_label(line, items[0])
        part = "to" if opened.drafts[asked].what in ("split", "merged", "renamed") else "cohort"
        patch = patch._replace(**{part: label}, unknown="")
    if (
        opened.drafts[asked].what in ("split", "renamed", "merged")
        and patch.cohort
        and opened.drafts[asked].cohort
        and not opened.drafts[asked].to
    ):
        patch = patch._replace(to=patch.cohort, cohort="")
    if (
        opened.drafts[asked].what == "renamed"
        and not (opened.drafts[asked].to or patch.to)
        and len(items) == 1
        and not items[0].span
    ):
        patch = patch._replace(to=record_labels.raw_label(line, items[0]))
    numbered = any(item.word == "NUMBER" for item in items)
    if opened.drafts[asked].count is not None and not (numbered and (len(items) == 1 or choosing.asks_a_number(context))):
        patch = patch._replace(count=None, less=0, estimate=False)
    elif not numbered and patch.count == 1:
        patch = patch._replace(count=None)
    told = opened.drafts[asked].count
    if "half" in line.plain.split() and isinstance(told, int) and told % 2 == 0:
        patch = patch._replace(count=told // 2)
    if opened.drafts[asked].what == "given" and (to_whom := receiver(items)):
        patch = patch._replace(detail=to_whom)
    if opened.drafts[asked].what == "tested":
        patch = patch._replace(detail=record_settings.test_result(line.plain, items))
    if opened.drafts[asked].what in ("found", "laid", "identified") and NO_IDEA.search(line.plain):
        patch = patch._replace(species=UNKNOWN, count=None)
    if patch._replace(refers=False, unknown="") == Draft(patch.what) and not (patch.unknown and not opened.drafts[asked].cohort):
        return None
    return patched(line, opened, asked, patch)


ACTING = frozenset("took gave put got had saw let made brought sent left did started kept gone been".split())
"""First words of a line that tells what else was done (`took both C from the tent`): it is no part of what is still asked."""
LOOKED_UP = frozenset(
    "left now alive total count altogether remaining tally headcount number many still qty quantity nr unhatched".split()
)
"""Last words of a line that looks up what is there (`B pupae left`) while something else is asked."""


MEANT = frozenset("meant mean wait sorry actually oops rather no".split())


def _righted(line: Line, items: list[Item], draft: Draft, nursery) -> Draft | None:
    """`sorry, meant C not B` while something is still asked: the cohort or enclosure put in place of the one that was told."""
    words = [item.word for item in items]
    denied = [at for at, word in enumerate(words[:-1]) if word == "not" and items[at + 1].kind in ("cohort", "enclosure")]
    if not MEANT & set(words[:3]) or not (denied or {"meant", "mean"} & set(words[:3])) or len(items) > 8:
        return None
    kept = [item for at, item in enumerate(items) if at - 1 not in denied]
    named = record_slots.filled(
        Draft(draft.what), [item for item in kept if item.kind in ("cohort", "enclosure")], line, nursery.now
    )
    if not (named.cohort or named.enclosure):
        return None
    return named._replace(what=draft.what, enclosure=named.enclosure, refers=False)


def _behind_to(line: Line, items: list[Item]) -> str:
    """The last word of a reply, where it stands behind `to` (`3 to AA`) and names nothing else."""
    last = items[-1]
    return (
        record_labels.raw_label(line, last)
        if not last.span and [item.word for item in items[-2:-1]] in (["to"], ["into"])
        else ""
    )


def receiver(items: list[Item]) -> str:
    """To whom, in a reply about animals given away (`E, to the school`); "" where the reply does not say."""
    at = next((at for at, item in enumerate(items) if item.word == "to" and not item.span), None)
    behind = [] if at is None else items[at + 1 :]
    return " ".join(item.raw for item in behind) if behind and not any(item.span for item in behind) else ""


def asked_about(context, opened: Request) -> int:
    """Which of the open drafts the question was about: of several of one kind that of the cohort it names."""
    about = getattr(context.last.answer, "about", None) or {}
    alike = [at for at, draft in enumerate(opened.drafts) if draft.what == about.get("event", "")]
    named = [at for at in alike if about.get("cohort") and opened.drafts[at].cohort == about["cohort"]]
    return (named or alike or [0])[0]


SLIGHT = frozenset("the a it was they are in to of them those that from one ones is were".split())
"""Words of a reply that pick nothing."""
UNSURE = re.compile(r"\b(?:maybe|perhaps|possibly|not (?:really |quite )?sure|i guess|could be|might be|might have been)\b")
"""Words of a reply that is not certain enough to be written without asking."""
LABELS = ("cohort", "enclosure")
"""What an option must hold as it was said: `tub 2` is not a `2` and a `tub`."""


def _chosen(line: Line, items: list[Item], options: tuple[str, ...], how_many: bool) -> str:
    """The option that a reply picks: by its place (`the second`, `2`, unless a number is asked for), by `yes`, or by words that only it has."""
    if not options:
        return ""
    if line.text.strip() in options:
        return line.text.strip()
    words = [item.word for item in items]
    if len(items) <= 3:
        for item in items:
            if item.kind == "ordinal" and item.span.value <= len(options):
                return options[item.span.value - 1]
            if item.word in ("first", "second", "third", "fourth"):
                place = ("first", "second", "third", "fourth").index(item.word)
                return options[place] if place < len(options) else ""
            if item.word == "last":
                return options[-1]
        numbered = [item.span.value for item in items if item.word == "NUMBER" and isinstance(item.span.value, int)]
        if numbered and (set(words) & {"number", "option", "no", "choice"} or (len(items) == 1 and not how_many)):
            return options[numbered[0] - 1] if 1 <= numbered[0] <= len(options) else ""
    if words and all(word in YES for word in words):
        return options[0] if len(options) == 1 else ""
    said = (
        frozenset(
            str(item.span.value) if item.word == "NUMBER" else word for item in items for word in item.raw.casefold().split()
        )
        - SLIGHT
    )
    if not said or len(items) > 6 or (how_many and all(item.word == "NUMBER" for item in items)):
        return ""
    labels = [re.compile(rf"(?<![\w-]){re.escape(item.span.value.casefold())}(?![\w-])") for item in items if item.kind in LABELS]
    fits = [
        option
        for option in options
        if said <= frozenset(re.findall(r"[\w'-]+", option.casefold()))
        and all(label.search(option.casefold()) for label in labels)
    ]
    return fits[0] if len(fits) == 1 and len(options) > 1 else ""


def draft_of_option(option: str, nursery) -> Draft | None:
    """The record that a sentence to choose would write."""
    line = scan(option, Vocabulary.of(nursery), nursery.now, nursery.settings)
    found = read(line, items_of(line, nursery.ledger.cohorts), nursery)
    return found[0] if found else None


def patched(line: Line, opened: Request, asked: int, patch: Draft, override: bool = False) -> Request:
    """The open drafts with the reply's parts put in: first where they are lacking, over what was said otherwise."""
    parts = {
        part: getattr(patch, part)
        for part in Draft._fields
        if part not in ("what", "refers", "other", "follows", "inherits", "unknown", "lead", *(() if override else ("note",)))
        and getattr(patch, part) not in ("", None, 0, False)
    }
    target = opened.drafts[asked]
    changed = []
    for at, draft in enumerate(opened.drafts):
        if at == asked:
            new = draft._replace(**parts, impossible="", unknown=patch.unknown if patch.unknown and "cohort" not in parts else "")
            if override and patch.what and patch.what != draft.what:
                new = new._replace(what=patch.what)
        else:
            same = all(getattr(draft, part) == getattr(target, part) for part in ("cohort", "mark", "species"))
            given = {part: value for part, value in parts.items() if part in ({"cohort", "mark", "species"} if same else set())}
            if "when" in parts and (draft.impossible or draft.when == target.when):
                given["when"] = parts["when"]
            new = draft._replace(**given, impossible="" if "when" in parts else draft.impossible)
        changed.append(new)
    return opened._replace(
        text=line.text,
        drafts=tuple(changed),
        cues=opened.cues - {"doubted", "figured", "holed"}
        | ({"doubted"} if UNSURE.search(line.plain) and patch.species != UNKNOWN else set()),
        plain=line.plain,
        layer="reply",
        period=changed[0].when,
    )
