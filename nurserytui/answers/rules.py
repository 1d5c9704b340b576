"""Rules of practice picked by the words of a line."""

from __future__ import annotations

from nurserytui.answers.sign_match import says, words_of
from nurserytui.knowledge.facts import Rule


def pick(knowledge, topics: tuple[str, ...], text: str, more: tuple[str, ...] = ()) -> list[Rule]:
    """The rules of these topics that are about something the line names (or `more` names), those with most words in common first."""
    words = words_of(text)
    wanted = {word.casefold() for word in more}
    scored = []
    for topic in topics:
        for rule in knowledge.rules(topic):
            hits = sum(1 for about in rule.about if about.casefold() in wanted or says(about, words))
            if hits:
                scored.append((hits, rule))
    scored.sort(key=lambda pair: -pair[0])
    return [rule for _, rule in scored]


def lines_of(rules: list[Rule], most: int = 5) -> list[str]:
    """The texts of the rules, each once."""
    return list(dict.fromkeys(rule.text for rule in rules))[:most]


def sources_of(rules: list[Rule]) -> list[str]:
    return [source for rule in rules for source in rule.sources]
