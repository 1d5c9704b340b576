"""A typed line made plain: one spelling for quotes, dashes and fractions, and words that know where they stood in the line."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from itertools import islice

from nurserytui.language.line import Token

LONGEST = 2000
"""Characters of a line that are read; the rest is cut off."""
MOST_TOKENS = 500
"""Pieces of a line that are read; ordinary text has some 400 in 2,000 characters, and only signs and single letters come to more."""
LONGEST_TOKEN = 64
"""Characters of one word or number that are looked at: patterns go back and forth over a long run of figures."""
_PIECE = re.compile(r"[^\W\d_]+|\d+|[^\w\s]")

FOLDED = {
    **dict.fromkeys("‘’‚‛′`´ʼ＇", "'"),
    **dict.fromkeys("“”„‟″«»", '"'),
    **dict.fromkeys("‐‑‒–—―−﹘﹣－", "-"),
    "…": "...",
    "×": "*",
    "✕": "*",
    "÷": "/",
    "⁄": "/",
    "∕": "/",
    "º": "°",
    "˚": "°",
    "≈": "~",
    "∼": "~",
    "→": "->",
}

_TOKEN = re.compile(
    r"""
      \d{4}-\d{2}-\d{2}(?:[t\ ]\d{1,2}:\d{2}(?::\d{2})?)?(?![\d-])   # an ISO day, with its time
    | \d{1,2}/\d{1,2}/\d{2,4}(?!\d) | \d{1,2}\.\d{1,2}\.\d{2,4}(?!\d)  # a day in figures
    | \d+\s?/\s?\d+(?!\d|:\d)                                       # a fraction or a day and month
    | \d+(?:\s:\s|:)\d+(?!\d)                                         # a ratio or a clock time
    | \d{1,3}(?:,\d{3})+(?:\.\d+)?(?!\d)                             # thousands
    | \d+(?:st|nd|rd|th)(?![^\W\d_])                                 # an ordinal
    | (?:(?<![^\s(])[-+])?\d+[.,]\d+(?!\d) | (?:(?<![^\s(])[-+])?\d+ | (?<!\d)\.\d+
    | (?:mg|g|ml|cm)/l(?![^\W\d_])
    | [aApPuU]\.[mMsS]\.?(?!\w)
    | [^\W\d_]\w*(?:['-]\w+)*
    | (?<=\d)\s*\.\.+\s*(?=-?\d) | (?<=\d)-(?=\d)
    | (?<=\d)(?:''|"|')                                              # the mark of inches or feet
    | -> | [%°~+*=/&@<>]
    """,
    re.VERBOSE,
)
_ISO_WITH_TIME = re.compile(r"\d{4}-\d{2}-\d{2} ")
_SIDE_WORD = r"(?:wide|tall|high|deep|long|across|cube|square|in\s+diameter|diameter)"
_SIDES_MARKED = re.compile(
    rf"""\d(?:''|"|')\s*(?:x\b|x\s*\d|by\b|\*|{_SIDE_WORD}\b)|(?:\bx|\dx|by|\*)\s*\d+(?:\.\d+)?(?:''|"|')(?!\w)"""
)
"""A line in which such a mark stands at a side of something: elsewhere it only closes a quotation."""
_MARKS = {'"': "inch", "''": "inch", "'": "ft"}
_SAME = {"&": "and", "@": "at", "abt": "about", "a.m": "am", "p.m": "pm", "u.s": "us"}


_HOW_MANY = re.compile(r"\.\s*(?:of|in|on|at|left)(?![\w'])")
"""What stands behind a `no` that is short for number (`no. in tub 2`)."""


def _folded(text: str) -> tuple[str, list[int] | range]:
    """The casefolded NFKC text, and for each of its characters the place in the original it came from."""
    if text.isascii() and text.isprintable():
        return text.lower().replace("`", "'"), range(len(text) + 1)
    folded: list[str] = []
    origin: list[int] = []
    at = 0
    while at < len(text):
        end = at + 1
        while end < len(text) and unicodedata.combining(text[end]):
            end += 1
        cluster = text[at:end]
        category = unicodedata.category(cluster[0])
        if category == "Cf":
            written = ""
        elif category[0] == "C":
            written = " "
        elif cluster[0] in FOLDED:
            written = FOLDED[cluster[0]]
        else:
            written = unicodedata.normalize("NFKC", cluster).casefold().lower()  # Cherokee is folded to its capitals
            if "⁄" in written:
                written = " " + written.replace("⁄", "/")
            elif len(written) == 1:
                written = FOLDED.get(written, written)
        folded.append(written)
        origin.extend([at] * len(written))
        at = end
    origin.append(len(text))
    return "".join(folded), origin


_STEERING = re.compile("[\u202a-\u202e\u2066-\u2069]")
"""Marks that turn round the direction of all the text after them."""
_PARTING = re.compile(r"[\s\x00-\x1f\x7f-\x9f]")
_HALVES = re.compile("[\ud800-\udfff]")
_SEQUENCE = re.compile(
    r"""
      (?:\x1b[\]PX^_] | [\x9d\x90\x98\x9e\x9f]) [^\x07\x18\x1a\x1b\x9c\r\n]* (?:\x07 | \x1b\\ | \x9c)?   # a string, such as a title
    | (?:\x1b\[ | \x9b) \[?[0-?]*[ -/]*[@-~]?                   # a control sequence, and the function keys of a bare console
    | \x1b O [0-9;]*[A-Za-z]?                                    # cursor and function keys
    | \x1b (?: [ ][FGLMN] | [!-/]+[0-~] | [0-~] )                 # character sets, and what is one sign long
    """,
    re.VERBOSE,
)
"""What steers a terminal, by ECMA-48 (sections 5.3 to 5.6) and ECMA-35; a string that is not ended goes to the end of its line, as there."""


def unsteered(text: str) -> str:
    """The text without the sequences that steer a terminal, each taken out whole: no figure of one is read as a number."""
    return text if text.isprintable() else _SEQUENCE.sub("", text)


def one_line(text: str) -> str:
    """A text as it can be shown, written down and sent again: tabs, line ends and control characters are spaces, halves of characters
    (bytes that were no UTF-8) the replacement sign; what turns the direction of text round is left out."""
    if text.isprintable():
        return text
    return _HALVES.sub("\ufffd", _PARTING.sub(" ", _STEERING.sub("", text)))


def cut(text: str) -> str:
    """The line, no longer than is read: 2,000 characters, and no more words, numbers and signs than a line of words has."""
    text = text[:LONGEST]
    if len(text) <= MOST_TOKENS:
        return text
    pieces = _PIECE.finditer(text)
    last = next(islice(pieces, MOST_TOKENS - 1, None), None)
    return text if last is None else text[: last.end()]


def tokenise(text: str) -> tuple[Token, ...]:
    """The words, numbers and meaningful signs of a line (cut to 2,000 characters), with offsets into the line as typed.

    `900ml` and `24.5c` are two tokens, `dill-26` and `C4` one, `1:10`, `1/4` and `2026-07-12` one; commas and full stops are none.
    """
    text = cut(text)
    folded, origin = _folded(text)
    found = []
    marked = ('"' in folded or "'" in folded) and _SIDES_MARKED.search(folded) is not None
    for match in _TOKEN.finditer(folded):
        word = match.group()
        if word == "s" and folded[match.start() - 1 : match.start()] == "'" and folded[: match.start() - 1][-1:].isdigit():
            continue  # `cage 12's`
        if word in _MARKS:
            if not marked:
                continue
            word = _MARKS[word]
        start, end = match.span()
        if word == "no" and _HOW_MANY.match(folded, end):
            word = "number"
        if not word[0].isalpha():
            word = word.replace(" ", "t" if _ISO_WITH_TIME.match(word) else "")
            word = ".." if word.startswith("..") else word
        last = origin[end - 1] + 1 if end > start else origin[start]
        while last < len(text) and unicodedata.combining(text[last]):
            last += 1
        word = word.rstrip(".") if len(word) <= 4 and "." in word and word[0].isalpha() else word
        found.append(Token(_SAME.get(word, word[:LONGEST_TOKEN]), origin[start], last))
    return tuple(_before(found, text) if any(token.text == "b4" for token in found) else found)


_WAITING = frozenset("long days day weeks week hours hour hrs minutes mins soon".split())
_WHO = frozenset("i it its it's they theyre they're he she we you my their his her our this that".split())


def _before(found: list[Token], text: str) -> list[Token]:
    """`b4` written small is `before` after a time or ahead of who does something (`3 days b4 its due`); elsewhere it may be animal 4 of B."""
    words = ["", *(token.text for token in found), ""]
    return [
        token._replace(text="before")
        if token.text == "b4" and text[token.start] == "b" and (words[at] in _WAITING or words[at + 2] in _WHO)
        else token
        for at, token in enumerate(found)
    ]


def normalise(text: str) -> str:
    """The line in plain lower-case words with single spaces: NFKC, casefolded; figures, decimal points, signs, `/`, `%`, `°` and the
    colon of times and ratios are kept, all other marks, control and invisible characters are dropped."""
    return " ".join(token.text for token in tokenise(text))


def said(text: str, tokens: tuple[Token, ...], first: int, last: int) -> str:
    """The words of a span as typed, safe to show: no control, bidirectional or zero-width characters, single spaces."""
    piece = text[tokens[first].start : tokens[last].end]
    if not (piece.isascii() and piece.isprintable()):
        piece = "".join(" " if c in "\t\n\r" else c for c in piece if c in "\t\n\r" or unicodedata.category(c)[0] != "C")
    return " ".join(piece.split())


def breaks(text: str, tokens: tuple[Token, ...]) -> frozenset[int]:
    """Indexes of the tokens after which a clause ends: a comma, semicolon, colon, full stop, question or exclamation mark, or an arrow."""
    return frozenset(
        index
        for index, (token, after) in enumerate(zip(tokens, tokens[1:]))
        if any(mark in text[token.end : after.start] for mark in ",;:.?!\n")
    )


@lru_cache(maxsize=8192)
def stem(word: str) -> str:
    """A word without its plural or possessive ending: `fritillaries` is `fritillary`, `monarch's` is `monarch`."""
    if word.endswith("'s"):
        word = word[:-2]
    word = word.replace("'", "")
    if len(word) < 4 or word[-1] != "s" or word[-2:] in ("ss", "us", "is"):
        return word
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith(("sses", "xes", "ches", "shes", "oes", "zzes")):
        return word[:-2]
    return word[:-1]


@lru_cache(maxsize=8192)
def key(word: str) -> str:
    """How a word is looked up: hyphens are spaces, every part is a stem."""
    return " ".join(stem(part) for part in word.replace("-", " ").split())
