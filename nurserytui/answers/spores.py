"""What a result of a spore test means: `heavy`, `class 4`, 1,500 spores."""

from __future__ import annotations

import re

from nurserytui.answers.answer import Answer, Value
from nurserytui.answers.wording import cite, number, sentence

ABOUT = re.compile(r"\b(spores?|oe|tapes?|taped|test(?:ed|s)?|results?|infect\w*|class(?:es)?|score)\b")
RESULT = re.compile(r"\b(?:spores?|oe|tapes?|taped|class(?:es)?|score|test results?|tested|heavily)\b")
COUNT = re.compile(
    r"(\d[\d ,]*)\s*(?:oe |monarch |red |brown )?spores?\b|\bspores?\s*(?:count)?\s*(?:of|was|is|:)?\s*(\d[\d,]*)\b"
)
CLASS = re.compile(r"\b(?:class|score|grade|category|level)\s*(?:of\s*)?([0-5])\b")
WORD = re.compile(r"\b(clear|negative|light(?:ly)?|mild(?:ly)?|heav(?:y|ily))\b")
ASKS = re.compile(r"\b(mean\w*|class(?:es)?|score|scale|bad|too many|a lot|heavy|light|clear|how many)\b")
ANIMAL = re.compile(r"\b(?:chrysal\w*|pupae?|caterpillars?|larvae?|eggs?|wings?|skin)\b")
"""With these, `clear` or `heavy` is of the animal and not of a test."""
WORDS = {"negative": "clear", "lightly": "light", "mild": "light", "mildly": "light", "heavily": "heavy"}


def graded(request, nursery, topic: str) -> Answer | None:
    """The answer to a question on a class or count of a spore test, None where the line asks something else."""
    text = (request.plain or request.text).casefold()
    agent = next((one for one in nursery.knowledge.all_agents() if one.grades), None)
    if agent is None or not ASKS.search(text):
        return None
    count, named = COUNT.search(text), CLASS.search(text)
    word = WORD.search(text)
    bare = re.search(r"\bwhat (?:does|do|is|would) (?:a |an )?[“\"']?(?:clear|light|heavy)[”\"']?(?: result| test)? mean", text)
    scale = re.search(r"\b(?:spore|oe) (?:class(?:es)?|scales?|scores?)\b|\bclasses of\b", text)
    if not (
        count or (named and ABOUT.search(text)) or (word and RESULT.search(text) and not ANIMAL.search(text)) or bare or scale
    ):
        return None
    grades = {grade.name: grade for grade in agent.grades}
    classes = [grade for grade in agent.grades if grade.name.startswith("class")]
    values, working = {}, []
    if count:
        many = int(re.sub(r"\D", "", count[1] or count[2]))
        found = next(one for one in classes if (one.low or 0) <= many and (one.high is None or many <= one.high))
        broad = next(
            one
            for one in agent.grades
            if one not in classes and (one.low or 0) <= many and (one.high is None or many <= one.high)
        )
        lines = [
            f"{many:,} {'spore' if many == 1 else 'spores'} on a tape is {found.name}, {broad.name}. {sentence(found.means)}",
            sentence(broad.means),
        ]
        values = {"spores": Value(many, "spores"), "class": Value(int(found.name[-1]), "")}
        working = [f"{many:,} lies in {span(found)} of {found.name}."]
    elif named:
        found = grades[f"class {named[1]}"]
        lines = [f"Class {named[1]} of the tape test is {span(found)}. {sentence(found.means)}"]
        values = {"class": Value(int(named[1]), "", found.low, found.high)}
    elif word:
        found = grades[WORDS.get(word[1], word[1])]
        lines = [f"{sentence(found.name)[:-1]} means {span(found)} on the tape. {sentence(found.means)}"]
        values = {"spores": Value(None, "spores", found.low, found.high, reason="a class, not a count")}
    else:
        lines = ["The tape test is read in six classes, 0 to 5."]
    if not (count or named or word):
        lines += [f"{sentence(grade.name)[:-1]}: {span(grade)}." for grade in classes]
    else:
        lines.append("All classes: " + "; ".join(f"{grade.name[-1]} is {span(grade)}" for grade in classes) + ".")
    return Answer(
        "answered",
        topic,
        "\n".join(lines),
        about={"agent": agent.name},
        values=values,
        working=tuple(working) or tuple(f"{grade.name}: {span(grade)}." for grade in agent.grades),
        sources=cite(nursery.knowledge, (*agent.sources, "memory")),
        cautions=(
            "The scale of 0 to 5 is published; its counts are recalled and may differ in your programme, whose own card and rule on release come first.",
            "A clear tape counts only if it shows scales and was read at 30 times or more.",
        ),
        next=("How do I test a monarch for OE?", "How do I disinfect a cage?"),
    )


def span(grade) -> str:
    """`no spore`, `1 spore`, `21-100 spores`, `more than 1,000 spores`."""
    low = int(grade.low or 0)
    if grade.high is None:
        return f"more than {low - 1:,} spores"
    high = int(grade.high)
    if low == high:
        return "no spore" if low == 0 else f"{number(low)} spore{'' if low == 1 else 's'}"
    return f"{low:,}-{high:,} spores"
