"""Rules of practice picked by the words of a line."""

from __future__ import annotations

from nurserytui.answers.sign_match import WORD, like, says, tidy, words_of
from nurserytui.knowledge.facts import Rule

REACH = 4
"""Words within which the parts of a phrase may lie apart: `take the pupae out` says `take out`."""


def pick(knowledge, topics: tuple[str, ...], text: str, more: tuple[str, ...] = ()) -> list[Rule]:
    """The rules of these topics that are about something the line names (or `more` names).

    A word that leads to few rules weighs more than one that leads to many.
    """
    words = words_of(text)
    wanted = {word.casefold() for word in more}
    hits: list[tuple[Rule, list[str]]] = []
    common: dict[str, int] = {}
    for topic in topics:
        for rule in knowledge.rules(topic):
            found = [about for about in rule.about if about.casefold() in wanted or mentions(about, words)]
            hits.append((rule, found))
            for about in found:
                common[about] = common.get(about, 0) + 1
    scored = [(sum(1 / common[about] for about in found), rule) for rule, found in hits if found]
    scored.sort(key=lambda pair: -pair[0])
    return [rule for _, rule in scored]


def mentions(about: str, words: list[str]) -> bool:
    """Whether the line has the word, or all words of the phrase in their order and near each other."""
    parts = WORD.findall(tidy(about))
    if len(parts) < 2:
        return bool(says(about, words))
    for start, word in enumerate(words):
        if like(parts[0], word):
            at = start
            for part in parts[1:]:
                at = next(
                    (next_at for next_at in range(at + 1, min(at + 1 + REACH, len(words))) if like(part, words[next_at])), -1
                )
                if at < 0:
                    break
            if at >= 0:
                return True
    return False


def lines_of(rules: list[Rule], most: int = 5) -> list[str]:
    """The texts of the rules, each once."""
    return list(dict.fromkeys(rule.text for rule in rules))[:most]


def sources_of(rules: list[Rule]) -> list[str]:
    return [source for rule in rules for source in rule.sources]
