"""The parts of one clause of a record: how many, of what, where, when, and what the keeper calls them."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

from nurserytui.language.draft import Draft
from nurserytui.language.line import Line
from nurserytui.language.record_clauses import STAGES, Item
from nurserytui.language.record_words import (
    ALL_WORDS,
    BACK_WORDS,
    CONTAINERS,
    FEMALE,
    MALE,
    NO_COUNT_AFTER,
    NO_COUNT_BEFORE,
    PLURAL_STAGES,
    REST_WORDS,
    SINGLE_BEFORE,
    UNITS,
)
from nurserytui.language.request import Period

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTH = r"(jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)"


def impossible_date(line: Line, now: datetime) -> str:
    """A date in the line that no calendar has (`31 June`), or a time that no clock has (`25:99`), as typed; "" if there is none."""
    if figures := unread(line):
        return line.text[slice(*figures)]
    bad = next((span.said for span in line.of("bad-date")), "")
    return re.sub(r"^(?:on|since|from|by|until|till|at|around|about|before|after)\s+(?:the\s+)?", "", bad, flags=re.I)


UNREAD = re.compile(
    r"\b(?:on|am|dated)\s(?:the\s)?(\d{1,4}[./-]\d{1,2}[./-]\d{1,4}|\d{1,2}[.-]\d{1,2}|\d{1,2}\.|\d{8})(?=\.?(?:$|[,;:)]|\s(?:in|at|by|from|near|and|then)\b))|"
    r"\b(?:on|am|dated)\s(?:the\s)?(\d{1,2}\.\d{1,2}\.|\d{1,4}/\d{1,2}(?:/\d{1,4})?)(?=$|[\s,;:)])",
    re.IGNORECASE,
)
"""Figures in the place of a date."""


def unread(line: Line) -> tuple[int, int] | None:
    """From where to where in the line figures stand that look like a date and were read as none."""
    spans = [(line.tokens[span.first].start, line.tokens[span.last].end) for span in line.of("period", "amount")]
    for said in UNREAD.finditer(line.text):
        start, end = said.span(1 if said[1] else 2)
        last = end - (line.text[end - 1] == ".")
        if not any(first <= start and last <= after for first, after in spans):
            return start, last
    return None


def in_the_past(period: Period, now: datetime) -> Period:
    """What was done on `Friday` was done last Friday, on `3 August` last August: a day that the reading put ahead of now is
    brought back, unless the words themselves point ahead (`tomorrow`, `next Friday`, a year)."""
    said = period.said.casefold()
    if period.start <= now or re.search(r"tomorrow|next|coming|\bin \d|\d{4}|tonight", said):
        return period
    if re.search(r"\b(mon|tue|wed|thu|fri|sat|sun)", said):
        step = timedelta(days=7)
        back = step * -(-(period.start - now) // step)
        return period._replace(start=period.start - back, end=period.end - back)
    if re.search(_MONTH, said) and period.start - now < timedelta(days=366):
        try:
            return period._replace(
                start=period.start.replace(year=period.start.year - 1), end=period.end.replace(year=period.end.year - 1)
            )
        except ValueError:
            return period
    return period


def when_of(items: list[Item] | tuple[Item, ...], now: datetime, lasting: bool = False) -> Period | None:
    """The clause's time: a day and a clock time said apart (`on Friday … at 5 pm`) are one moment. `lasting`: what is told lasts since
    it began, so that `since` names when it happened."""
    found = [
        _begun(in_the_past(item.span.value, now))
        for item in items
        if item.kind == "period"
        and not (
            re.match(r"(?i)(until|till|by|before|since|from|after|for|during|between)\b", item.raw)
            and not (lasting and re.match(r"(?i)since\b", item.raw))
        )
    ]
    for at, item in enumerate(items):
        # `sun` is a day only where a day stands: in front of what was done, or after `on`.
        before = items[at - 1].word if at else ""
        if (
            item.word == "sun"
            and not item.span
            and (before in ("", "on") or _word(items, at + 1) == "NUMBER" and before != "the")
        ):
            day = (now - timedelta(days=(now.weekday() - 6) % 7)).replace(hour=0, minute=0, second=0, microsecond=0)
            found.append(Period(day, day.replace(hour=23, minute=59, second=59), item.raw))
    if not found:
        return None
    days = [period for period in found if not period.exact]
    times = [period for period in found if period.exact]
    if days and times:
        day = days[0].start
        start = times[0].start.replace(year=day.year, month=day.month, day=day.day)
        return Period(start, start, f"{days[0].said} {times[0].said}", True)
    return found[0]


def _begun(period: Period) -> Period:
    """The day that `since Monday` begins with; any other period as it is."""
    if not re.match(r"(?i)since\b", period.said):
        return period
    return period._replace(end=period.start.replace(hour=23, minute=59, second=59), said=period.said[6:])


def _word(items, at: int) -> str:
    return items[at].word if 0 <= at < len(items) else ""


OF_ALL = re.compile(r"(\d{1,4})/(\d{2,4})")
"""So many of all (`12/20 hatched`)."""


def numbers_in(items) -> list[tuple[int, int, bool]]:
    """(place, number, estimate) of every number that may count animals."""
    found = []
    for at, item in enumerate(items):
        if item.word == "NUMBER" and (share := OF_ALL.fullmatch(item.raw)) and 1 < int(share[1]) <= int(share[2]):
            found.append((at, int(share[1]), False))
            continue
        if item.word != "NUMBER" or not isinstance(item.span.value, (int, float)) or item.span.value != int(item.span.value):
            continue
        before, after = _word(items, at - 1), _word(items, at + 1)
        if before == "by" and _word(items, at - 2) == "down":
            before = ""  # `down by 1`
        if before in NO_COUNT_BEFORE or before in CONTAINERS or (after in NO_COUNT_AFTER and not items[at].stop):
            continue
        if before == "as" and item.word == "NUMBER" and item.span.value == 1:
            continue
        if before in ("which", "the") and item.span.value == 1 and after == "":
            continue
        if before == "of" and any(one[0] < at for one in found):
            continue
        if before in ("the", "out") and _word(items, at - 2) == "of" and any(one[0] < at for one in found):
            continue
        found.append((at, int(item.span.value), item.kind == "estimate"))
    return found


def _is_part(items, at: int) -> bool:
    """Whether a number with a part of one (`2.5 D`, `1.5 of B`) stands where animals are counted. `half` is a number of its own."""
    if (
        items[at].word != "NUMBER"
        or not isinstance(items[at].span.value, float)
        or items[at].span.value in (0.5, int(items[at].span.value))
    ):
        return False
    counts = _word(items, at - 1) not in NO_COUNT_BEFORE and not items[at].stop
    return counts and (_word(items, at + 1) in ("of", "COHORT", "SPECIES") or _word(items, at + 1) in STAGES)


def plural(item: Item) -> bool:
    return item.raw.casefold().split()[-1] in PLURAL_STAGES if item.raw else False


def count_of(items, skip: frozenset[int] = frozenset()) -> dict:
    """`count`, and `less`, `estimate`, `total` where they apply, from the items outside `skip`."""
    words = [item.word for item in items]
    numbers = [one for one in numbers_in(items) if one[0] not in skip or words[one[0]] == "NUMBER"]
    if any(_word(items, at) in ("but", "except", "bar") for at in range(len(items))) and ALL_WORDS & set(words):
        return {"count": "all", "less": numbers[-1][1] if numbers else 1}
    if not numbers and _vague(words):
        return {"count": "some"}
    if numbers:
        place, number, estimate = numbers[0]
        before = set(words[max(0, place - 2) : place])
        estimate = estimate or bool(before & {"about", "around", "roughly", "approximately", "some", "circa"})
        return {"count": number, "estimate": estimate}
    if any(_is_part(items, at) for at in range(len(items))):
        return {"count": "part"}
    if any(item.word == "NUMBER" and item.span.value == 0.5 for item in items) or ("half" in words and "dozen" not in words):
        return {"count": "half"}
    if "both" in words:
        return {"count": "both"}
    if REST_WORDS & set(words):
        return {"count": "rest"}
    if "lot" in words and words[words.index("lot") - 1] in ("the", "whole"):
        return {"count": "all"}
    for at, word in enumerate(words):
        if word in ALL_WORDS and at not in skip and _word(items, at + 1) not in ("day", "morning", "night", "well", "fine", "ok"):
            return {"count": "all"}
    for at, item in enumerate(items):
        before = words[max(0, at - 3) : at]
        many = at + 1 < len(items) and items[at + 1].word in STAGES and plural(items[at + 1])
        lone = item.word == "SPECIES" and bool(SINGLE_BEFORE & set(before))
        if (item.word in STAGES or item.word == "SPECIES") and (at not in skip or lone) and not many:
            single = (
                item.word in STAGES
                and not plural(item)
                or item.word == "SPECIES"
                and not item.raw.casefold().endswith(("s", "ies"))
            )
            if single and (set(before) & (SINGLE_BEFORE | {"the", "my", "that", "this"})):
                return {"count": 1}
            if single and any(item.word in ("COHORT",) for item in items[max(0, at - 3) : at]):
                return {"count": 1}
        if item.word == "COHORT" and (set(before[-2:]) & {"a", "an", "another"} or before[-1:] == ["first"]):
            return {"count": 1}
    for at, item in enumerate(items):
        many = item.word in STAGES and plural(item) or item.word == "SPECIES" and item.raw.casefold().endswith("s")
        if many and at not in skip and set(words[max(0, at - 2) : at]) & {"the", "my", "these", "those", "our"}:
            return {"count": "all"}
    for at, word in enumerate(words):
        if (
            word == "one"
            and at
            and words[at - 1]
            in ("other", "last", "first", "remaining", "missing", "only", "lost", "single", "little", "this", "that", "which")
        ):
            return {"count": 1}
        if word == "first" and words[at + 1 : at + 2] == ["of"]:
            return {"count": 1}
        if word in ("another", "him", "her", "he", "she", "lone", "singleton") or (word == "it" and at not in skip and at >= 1):
            return {"count": 1}
    return {}


def _vague(words: list[str]) -> bool:
    """`a few of the eggs`, `some cats`: more than one, and no number."""
    return any(
        word in ("few", "several", "many", "most", "handful", "some")
        and ("of" in words[at + 1 : at + 2] or _animals(words[at + 1 :]))
        for at, word in enumerate(words)
    )


def _animals(words: list[str]) -> bool:
    return not {"COHORT", "SPECIES", *STAGES}.isdisjoint(words[:2])


def places_of(items, verb_what: str) -> dict:
    """`enclosure` and `to` of a clause, by the preposition before each."""
    found: dict[str, str] = {}
    enclosures = [(at, item) for at, item in enumerate(items) if item.word == "ENCLOSURE"]
    for at, item in enclosures:
        back = [word.word for word in items[max(0, at - 4) : at]]
        prep = next(
            (
                word
                for word in reversed(back)
                if word in ("from", "out", "off", "of", "to", "into", "onto", "in", "inside", "at", "on", "with", "for")
            ),
            "",
        )
        if prep == "of" and "out" in back:
            prep = "from"
        if verb_what == "moved" and prep == "with" and "in" in back:
            prep = "in"  # `put in with the tub 1 ones`
        if verb_what in ("moved", "split") and prep in ("to", "into", "onto", "in", "inside", "on") and "to" not in found:
            if verb_what == "split" or prep in ("in", "inside", "on") and _moves_on(items, at):
                found.setdefault("enclosure", item.span.value)
            else:
                found["to"] = item.span.value
        else:
            found.setdefault("enclosure", item.span.value)
    return found


def sources(items) -> list[str]:
    """The enclosures of `from tub 1 and tub 3`, in front of where they all went."""
    words = [item.word for item in items]
    if "from" not in words:
        return []
    behind = items[words.index("from") + 1 :]
    turn = next((at for at, item in enumerate(behind) if item.word in ("to", "into")), 0)
    return [item.span.value for item in behind[:turn] if item.word == "ENCLOSURE"]


def _moves_on(items, at: int) -> bool:
    """True where `to` or `into` follows: then this enclosure is where they come from."""
    return any(item.word in ("to", "into", "onto") for item in items[at + 1 :])


LABEL_WORDS = frozenset("cohort group batch label".split())
CALLING = frozenset(
    "start begin lable call called calling name named naming label labelled labeled dub dubbed tag tagged code".split()
)
NOT_LABELS = frozenset(
    """
    the a an of is are in on at them it this these that those one to and with from for all cohort group batch as my new only
    now eggs egg larvae larva pupae pupa so together last please
    """.split()
)


def raw_label(line: Line, item: Item) -> str:
    """The label as typed, from the item to the next blank, without the punctuation around it."""
    start = item.start
    while start > 0 and not line.text[start - 1].isspace() and line.text[start - 1] not in "\"'“‘(:,;":
        start -= 1
    end = item.end
    while end < len(line.text) and not line.text[end].isspace():
        end += 1
    label = line.text[start:end].strip(".,;:!?)(\"'“”‘’")
    return label if len(label) <= 40 else ""


def label_in(items, line: Line) -> tuple[str, frozenset[int]]:
    """The label that a clause gives to animals (`call them H`, `cohort vine-27`, `as group N`), and the places it stands at."""
    for at, item in enumerate(items):
        if item.kind == "cohort" and item.raw.casefold().split()[0] in LABEL_WORDS:
            return item.span.value, frozenset((at,))
        if item.span:
            continue
        following = at + 1
        if item.word in CALLING:
            while following < len(items) and items[following].word in (
                "them",
                "em",
                "it",
                "this",
                "these",
                "those",
                "him",
                "her",
                "the",
                "cohort",
                "group",
                "batch",
                "lot",
                "as",
                "new",
                "ones",
                "one",
                "is",
            ):
                following += 1
        elif item.word in LABEL_WORDS:
            if _word(items, at - 1) in ("one", "same", "a") and item.stop:
                continue
            while following < len(items) and items[following].word in ("called", "named", "number", "no", "is", "of"):
                following += 1
        elif item.word == "as" and following < len(items):
            while following < len(items) and items[following].word in ("cohort", "group", "batch", "a", "new", "the"):
                following += 1
        else:
            continue
        if following >= len(items):
            continue
        target = items[following]
        label = target.span.value if target.kind == "cohort" else raw_label(line, target)
        if not label or target.word in NOT_LABELS or target.kind in ("period", "enclosure", "agent"):
            continue
        if item.word in LABEL_WORDS | CALLING and (
            target.kind in ("", "cohort", "number", "species", "plant", "amount", "instar", "ordinal") or target.word in STAGES
        ):
            return label, frozenset(range(at, following + 1))
        if item.word == "as" and (target.kind in ("cohort", "mark") or looks_like_label(label)):
            return label, frozenset(range(at, following + 1))
    return "", frozenset()


def looks_like_label(raw: str) -> bool:
    """`Q`, `zulu-9`, `b12`: a single capital, or letters with a number."""
    return (
        bool(re.fullmatch(r"[A-Z]|[A-Za-z]+[-_]?\d+[a-z]?|[A-Za-z]+-[A-Za-z0-9-]+", raw))
        and raw not in ("I", "A", "b4")
        and not re.fullmatch(r"(?i)[lj]\d?|pop-up|\w+-\w+ed|re-\w+|x\d+|\d+x", raw)
    )


def unknown_label(items, line: Line) -> str:
    """A word that stands for a cohort and is none of the records'."""
    for at, item in enumerate(items):
        if item.span or not item.raw or item.word == "before":  # `b4 breakfast`
            continue
        raw = raw_label(line, item)
        if looks_like_label(raw) and re.search(r"\d", raw) and not _word(items, at - 1) == "at":
            return raw
        if len(raw) == 1 and raw.isupper() and raw not in "AICFJ":
            return raw
        if _word(items, at - 1) in LABEL_WORDS and item.word not in NOT_LABELS and item.word not in ("now", "hatched"):
            return raw
    return ""


def sex_of(items) -> str:
    words = {item.word for item in items} | {word for item in items if item.span for word in item.raw.casefold().split()}
    male, female = bool(words & MALE), bool(words & FEMALE)
    return "male" if male and not female else "female" if female and not male else ""


def sexes_counted(items) -> list[tuple[int, str]]:
    """[(9, "female"), (7, "male")] of `9 females and 7 males`."""
    found = []
    for at, item in enumerate(items):
        if item.word == "NUMBER" and isinstance(item.span.value, int):
            after = _word(items, at + 1)
            if after in MALE | FEMALE:
                found.append((item.span.value, "male" if after in MALE else "female"))
    return found


LASTING = frozenset(["prepupated", "missing", "escaped"])
"""Events told as how things stand since (`hanging since Monday`)."""


ORIGINS = ("site", "person", "coordinates", "remark")
"""Kinds of items of `record_origins`."""


def _origin(draft: Draft, item: Item) -> dict:
    """The parts that an item of `record_origins` fills; what has no room any more is noted."""
    value = item.span.value
    if item.kind == "coordinates" and draft.latitude is None:
        return {"latitude": value[0], "longitude": value[1]}
    part = {"site": "place", "person": "by", "remark": "note"}.get(item.kind, "note")
    if part != "note" and not getattr(draft, part):
        return {part: value}
    text = value if item.kind == "remark" else item.raw
    return {"note": f"{draft.note}, {text}" if draft.note else text}


def filled(
    draft: Draft, items, line: Line, now: datetime, taken: frozenset[int] = frozenset(), labelled: frozenset[int] = frozenset()
) -> Draft:
    """The draft with every part that these items say and that it does not have yet."""
    free = [item for at, item in enumerate(items) if at not in labelled]
    given: dict = {}
    for at, item in enumerate(items):
        if at in labelled or not item.span:
            continue
        if item.kind == "cohort" and not draft.cohort:
            given.setdefault("cohort", item.span.value)
        elif item.kind == "mark" and not draft.mark and not draft.cohort and "cohort" not in given:
            given.setdefault("cohort", item.span.value[0])
            given.setdefault("mark", item.span.value[1])
        elif item.kind == "species" and draft.species is None:
            given.setdefault("species", item.span.value)
        elif item.kind == "plant" and draft.host is None:
            given.setdefault("host", item.span.value)
        elif item.kind == "stage" and not draft.stage and at not in taken:
            given.setdefault("stage", item.span.value)
        elif item.kind == "instar" and draft.instar is None:
            given.setdefault("instar", item.span.value)
        elif item.kind in ORIGINS:
            given |= _origin(draft, item)
    given |= {key: value for key, value in places_of(free, draft.what).items() if not getattr(draft, key)}
    if draft.count is None:
        skip = frozenset(place - sum(1 for gone in labelled if gone < place) for place in taken if place not in labelled)
        counted = count_of(free, skip)
        if (
            draft.what in ("laid", "found")
            and counted.get("count") in ("all", "some")
            or draft.what == "laid"
            and not numbers_in(free)
        ):
            counted = {}
        given |= counted
    if draft.when is None:
        given["when"] = when_of(items, now, draft.what in LASTING)
    if not draft.cohort and "cohort" not in given and not draft.unknown:
        given["unknown"] = unknown_label(free, line)
    given["refers"] = draft.refers or bool({item.word for item in free if not item.span} & BACK_WORDS)
    given["other"] = draft.other or bool({item.word for item in free if not item.span} & {"other", "others", "rest", "remaining"})
    return draft._replace(**given)


def amount_of_plant(items) -> tuple[int | None, str, frozenset[int]]:
    """(6, "pots", places) of `6 pots of kale`."""
    for at, item in enumerate(items):
        if item.word == "NUMBER":
            for after in (at + 1, at + 2, at + 3):
                if _word(items, after) in UNITS and item.span.value == int(item.span.value):
                    return int(item.span.value), UNITS[_word(items, after)], frozenset((at, after))
        if item.word == "AMOUNT" and item.span.value.kind == "mass":
            grams = item.span.value.value * {
                "kilogram": 1000.0,
                "gram": 1.0,
                "milligram": 0.001,
                "ounce": 28.349523125,
                "pound": 453.59237,
            }.get(item.span.value.unit, 1.0)
            return round(grams), "g", frozenset((at,))
    return None, "", frozenset()
