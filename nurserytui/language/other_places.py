"""`the top one`, `into bottom`, `the other sleeve`: an enclosure said beside, or right after, another one of its kind."""

from __future__ import annotations

import re

from nurserytui.language.ordinary import HEADS

_ENDS = r"(?=\s*(?:[,.;!?]|$| (?:and|now|today|this|yesterday|last|please)\b))"
_LEANING = r"^(?:(?:and|or|so|also|what about|how about|now)\s+)?(?:(?:in|for|of)\s+)?(?:the\s+)?"


def named(text: str, vocabulary, context) -> str:
    """The line with the label in the place of such words; as it is where nothing tells of which kind the place is, or several fit."""
    low = text.casefold()
    if " one" not in low and " other" not in low and not _ADVERB.search(low):
        return text
    kinds = _kinds(vocabulary)
    here = [
        label for labels in kinds.values() for label in labels.values() if re.search(rf"\b{re.escape(label.casefold())}\b", low)
    ]
    spoken = here or _spoken(context)
    for kind, labels in kinds.items():
        before = [label for label in labels.values() if label in spoken]
        if len(before) != 1:
            continue
        others = {adjective: label for adjective, label in labels.items() if label != before[0]}
        words = "|".join(map(re.escape, others))
        if len(others) == 1:
            words += "|other"
        patterns = [rf"\bthe ({words}) one\b", rf"\bthe (other) {kind}\b"] if len(others) == 1 else [rf"\bthe ({words}) one\b"]
        patterns.append(
            rf"\b(?:to|into|in) (?:the )?({words}){_ENDS}" if here else rf"{_LEANING}({words})(?: one| {kind})?\s*\??\s*$"
        )
        for pattern in patterns if others else ():
            if (found := re.search(pattern, low)) and len(low) == len(text):
                label = next(iter(others.values())) if found[1] == "other" else others[found[1]]
                start, end = found.span(1)
                end += len(re.match(rf"(?: one\b| {kind}\b)?", low[end:])[0])
                return text[:start] + label + text[end:]
    return text


_ADVERB = re.compile(r"\b(?:to|into|in) (?:the )?[a-z]+\s*(?:[,.;!?]|$)|^[a-z ]+\??$")


def _kinds(vocabulary) -> dict[str, dict[str, str]]:
    """The nouns of enclosures -> the describing words -> the labels that are a describing word and that noun, where there are two at least."""
    found: dict[str, dict[str, str]] = {}
    for folded, label in vocabulary.enclosures.items():
        words = folded.split()
        if len(words) == 2 and words[1] in HEADS and words[0].isalpha() and len(words[0]) > 2:
            found.setdefault(words[1], {})[words[0]] = label
    return {kind: labels for kind, labels in found.items() if len(labels) > 1}


def _spoken(context) -> list[str]:
    """The enclosures of the line before."""
    last = context.last
    if last is None:
        return []
    told = (last.answer.about or {}).get("enclosure")
    return [*last.request.enclosures, *([told] if told else [])]
