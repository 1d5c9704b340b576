"""Hostile lines and dialogues, made by a source of chance: examples cut, glued and mangled, and what was never meant to be a line."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from random import Random

ROOT = Path(__file__).resolve().parents[2]
PHRASES = ROOT / "knowledge" / "phrases"
TYPED = ROOT / "tests" / "language"

STANDS_FOR = {
    "NUMBER": ("2", "12", "~80", "two dozen", "half", "0", "-3", "1e9", "999999999999", "1/0", "٣", "½"),
    "SPECIES": ("monarch", "painted lady", "Papilio polyxenes", "gulf fritillery", "swallowtail"),
    "UNKNOWN-SPECIES": ("gryphon hawk", "Nemo nemo"),
    "COHORT": ("B", "A", "C4", "E", "fennel-2", "ZZ"),
    "PLANT": ("fennel", "milkweed", "stinging nettle", "Passiflora incarnata", "dill"),
    "ENCLOSURE": ("jar 2", "tall cage", "window cage", "tub 1", "the fridge"),
    "PERIOD": ("today", "last week", "2026-06-12", "31/31/9999", "yesterday at 25:99", "in 99999 weeks", "0000-00-00"),
    "LARVA": ("larvae", "caterpillar"), "EGG": ("eggs", "egg"), "PUPA": ("chrysalis", "pupae"), "ADULT": ("butterfly", "adults"),
    "PREPUPA": ("prepupa",), "VOLUME": ("2 cups", "40 L", "0 ml", "1e300 litres", "3 1/4 gallons"), "AGENT": ("tachinid", "OE", "virus"),
    "TEMPERATURE": ("24 C", "68..79 F", "-400 F", "9999 C"), "INSTAR": ("L3", "instar 99"), "PERCENT": ("10%", "0 %", "1000000%"),
    "UNIT": ("ml", "F", "gallons"), "TIME": ("8:30", "25:61", "noon"), "RATIO": ("1:10", "0:0", "10:1"), "LENGTH": ("30 cm", "1 ft"),
    "ORDINAL": ("2nd", "0th"), "PPM": ("500 ppm",), "MASS": ("20 g",), "RANGE": ("2-3", "9..1"), "LATITUDE": ("51.5 N", "-999"),
    "AREA": ("20 cm2",),
}  # fmt: skip
"""What a kind of span in an example is filled with: ordinary words and some that cannot be."""

HOSTILE = (
    "'; DROP TABLE events; --", '" OR 1=1 --', "UNION SELECT sql FROM sqlite_master", "$(rm -rf /)", "`id`", "| cat /etc/passwd", "&& halt",
    "%s%s%n", "{0.__class__}", "{self.store}", "${jndi:x}", "[bold]x[/bold]", "[/]", "[@click=app.quit]x[/]", "<script>alert(1)</script>",
    "\x1b[2J\x1b]0;x\x07", "\x1b]52;c;aGk=\x07", "../../etc/passwd", "\\x00", "=cmd|' /C calc'!A0", "]]>", "&lt;", "%00", "\\u202e",
    "a" * 300, "(" * 200, "[" * 200, "9" * 400, "1/" * 150, "1:1:" * 100, "-" * 200, "'" * 200, '"' * 200, "..." * 80, "é\u0301" * 60,
    "and " * 120, "not " * 100, "from jar 2 to " * 40, "B, " * 150, "2 of B " * 60, "1 1/2 " * 80, "jar " * 100, "12.5.2026 " * 50,
)  # fmt: skip
"""Markup, queries, formats, commands, steering of a terminal, and much of one thing."""

ODD = "\u0000\u0007\u001b\u007f\u0085\u00a0\u00ad\u0301\u034f\u061c\u200b\u200d\u200f\u2028\u202e\u2066\u2069\u3000\ud800\udcff\udfff\ufdfa\ufe0f\ufeff\ufffe\uffff\U0001f98b\U000e0041\U0010ffffİıßŉΐﬃ½Ⅷ①²"
"""Characters that steer, hide, join, turn round, fold into several or cannot be written."""

SIGNS = " \t\n\r,;:.?!'\"-–/\\%°~+*=<>()[]{}&@#$^|_0123456789"


@cache
def typed() -> tuple[str, ...]:
    """Lines as keepers typed them, of the tests of language."""
    said = [row.partition("\t")[2] for file in sorted((TYPED / "lines").rglob("*.txt")) for row in _rows(file)]
    for file in sorted((TYPED / "corpus").glob("*.jsonl")):
        said += [line for row in _rows(file) for line in json.loads(row)["say"]]
    return tuple(said)


@cache
def outside() -> tuple[str, ...]:
    """Lines that have nothing to do with a nursery."""
    rows = (json.loads(row) for row in _rows(TYPED / "corpus" / "outside.jsonl"))
    return tuple(row["say"][0] for row in rows if not row["topic"] and len(row["say"]) == 1)


@cache
def masked() -> tuple[str, ...]:
    """Examples of the phrases, with kinds of spans in capitals."""
    return tuple(row for file in sorted(PHRASES.rglob("*.txt")) for row in _rows(file))


@cache
def words() -> tuple[str, ...]:
    """Every word that a cue or an example of the phrases holds."""
    texts = [file.read_text("utf-8") for file in sorted(PHRASES.glob("*.toml"))]
    return tuple(sorted({word for text in (*texts, *masked()) for word in re.findall(r"[^\W\d_][\w'-]*", text.lower())}))


def _rows(file: Path) -> list[str]:
    return file.read_text("utf-8").splitlines()


def filled(example: str, chance: Random) -> str:
    """An example with things in the place of the kinds of its spans."""
    return re.sub(r"\b[A-Z][A-Z-]{2,}\b", lambda kind: chance.choice(STANDS_FOR.get(kind[0], (kind[0],))), example)


def example(chance: Random) -> str:
    """A line as somebody may mean it."""
    return chance.choice(typed()) if chance.random() < 0.5 else filled(chance.choice(masked()), chance)


def noise(chance: Random, most: int = 60) -> str:
    """Characters of any kind."""
    kinds = (
        lambda: chr(chance.randrange(0x20, 0x7F)),
        lambda: chance.choice(ODD),
        lambda: chance.choice(SIGNS),
        lambda: chr(chance.randrange(0x110000)),
        lambda: chance.choice("0123456789"),
        lambda: chance.choice(words()) + " ",
        lambda: chance.choice(("ml", "L", "C", "F", "%", "ppm", "cm", "g", "cups", "days", "°C", "am", "x", "st")),
    )
    few = chance.sample(kinds, chance.randint(1, 3))
    return "".join(chance.choice(few)() for _ in range(chance.randint(0, most)))


def mangled(line: str, chance: Random) -> str:
    """A line with words or letters swapped, dropped, doubled, or something stuck into it."""
    for _ in range(chance.randint(1, 4)):
        pieces = line.split(" ") if chance.random() < 0.6 else list(line)
        glue = " " if " " in line and len(pieces) == line.count(" ") + 1 else ""
        if not pieces:
            return noise(chance)
        at, other = chance.randrange(len(pieces)), chance.randrange(len(pieces))
        match chance.randrange(7):
            case 0:
                pieces[at], pieces[other] = pieces[other], pieces[at]
            case 1:
                del pieces[at]
            case 2:
                pieces.insert(other, pieces[at])
            case 3:
                pieces[at:at] = [chance.choice((*STANDS_FOR[chance.choice(list(STANDS_FOR))], *HOSTILE))]
            case 4:
                pieces[at] = noise(chance, 6)
            case 5:
                pieces = pieces[: at + 1]
            case 6:
                pieces[at] = pieces[at].swapcase() + chance.choice((*SIGNS, *ODD))
        line = glue.join(pieces)
    return line


def spliced(chance: Random) -> str:
    """The head of one line and the tail of another."""
    one, two = example(chance), example(chance)
    between = chance.choice((" ", "", ", ", " and ", " then ", "? ", "; ", "\n", " not "))
    return one[: chance.randint(0, len(one))] + between + two[chance.randint(0, len(two)) :]


def very_long(chance: Random, length: int = 100_000) -> str:
    """One thing over and over, or many lines glued."""
    piece = chance.choice((*HOSTILE, example(chance) + " ", noise(chance, 8) or "x", "x", "1 ", "\u0301", "butterfly"))
    return (piece * (length // len(piece) + 1))[:length]


def line(chance: Random) -> str:
    """One hostile line."""
    make = chance.choice(
        (example, noise, spliced, spliced, *(lambda chance: mangled(example(chance), chance),) * 4, _with_hostile, _of_words)
    )
    return make(chance)


def _with_hostile(chance: Random) -> str:
    parts = [chance.choice(HOSTILE), example(chance), noise(chance, 10)]
    chance.shuffle(parts)
    return chance.choice((" ", "")).join(parts[: chance.randint(1, 3)])


def _of_words(chance: Random) -> str:
    """Cue words, names and numbers in no order."""
    kinds = list(STANDS_FOR)
    pick = (lambda: chance.choice(words()), lambda: chance.choice(STANDS_FOR[chance.choice(kinds)]))
    return " ".join(chance.choice(pick)() for _ in range(chance.randint(1, 14)))


AFTER = (
    "why", "undo", "yes", "no", "1", "2", "3", "0", "99", "and larvae?", "all of them", "B", "jar 2", "the first one", "help", "what about A",
    "5", "not sure", "cancel", "how come", "no, 3", "I meant C", "sorry, 2 not 3", "tomorrow", "both", "it", "same for E", "and then?", "really?",
)  # fmt: skip
"""What leans on the line before."""


def dialogue(chance: Random, most: int = 4) -> list[str]:
    """Several lines of one conversation; an empty one begins a new one."""
    said = [line(chance)]
    while len(said) < most and chance.random() < 0.7:
        said.append(chance.choice((*AFTER, "")) if chance.random() < 0.5 else line(chance))
    return said


def nonsense(chance: Random) -> str:
    """A word that is none."""
    return "".join(chance.choice("bcdfgklmnprstvz") + chance.choice("aeiouy") for _ in range(chance.randint(2, 5)))
