"""Hostile knowledge files: the shipped ones and the developers' template broken by chance, and TOML that fits nothing."""

from __future__ import annotations

import json
import re
import tomllib
from functools import cache, reduce
from pathlib import Path
from random import Random

from fuzzing import files, lines

ROOT = Path(__file__).resolve().parents[2]
VALUES = (
    "0", "-1", "1e308", "9" * 40, "nan", "inf", "-inf", "0x7fffffffffffffff", "true", "false", '""', '"x"', '"\\u0000"', '"\\U0001F98B"', "[]", "[[]]",
    "[1]", '["x"]', "[1, 2]", "[-1e308, 1e308]", '[["x"]]', "[{}]", "{}", "{ text = 1 }", '{ text = "x", sources = "y" }', "{ a = { a = { a = {} } } }",
    "9" * 400, "9" * 5000, "[" * 3000, "1e5", "999999", "-999999", "a.b.c = 1", "1979-05-27", "07:32:00", "1979-05-27T07:32:00Z", "'''\n\n'''", "[" * 30 + "]" * 30, '["own"]', "[[[[1]]]]", '"published"', '"egg"', "[nan]",
)  # fmt: skip
"""Values of every kind, most of them wrong wherever they stand."""

NUMBERS = (0, -1, 1, 2, 0.5, 1e-300, -1e-9, 12, 25, 99, 1000, 999_999, 1_000_000, -1_000_000, 999_999.5)
"""Numbers that fit where a number is, and mean nothing there."""


@cache
def template() -> str:
    """The worked file of the developers' page, which shows every field."""
    (found,) = re.findall(r"```toml\n(.*?)```", (ROOT / "DEVELOPERS.md").read_text("utf-8"), flags=re.DOTALL)
    return found


@cache
def shipped() -> tuple[tuple[str, bytes], ...]:
    top = ROOT / "knowledge"
    paths = sorted(path for path in top.rglob("*.toml") if "phrases" not in path.parts)
    return tuple((path.relative_to(top).as_posix(), path.read_bytes()[:6000]) for path in paths)


def written(value: object) -> str:
    """A value as TOML, inline."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{json.dumps(str(name))} = {written(one)}" for name, one in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(written, value)) + "]"
    return value.text if isinstance(value, Raw) else json.dumps(value) if isinstance(value, str) else str(value)


class Raw:
    """A value in its own words."""

    def __init__(self, text: str) -> None:
        self.text = text


def paths_of(value: object, at: tuple = ()) -> list[tuple]:
    """The path of every value inside a document."""
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [found for name, one in inside for found in ((*at, name), *paths_of(one, (*at, name)))]


@cache
def numbers() -> tuple[tuple, ...]:
    """The paths of all numbers of the template."""
    document = tomllib.loads(template())
    return tuple(
        path for path in paths_of(document) if type(reduce(lambda inside, name: inside[name], path, document)) in (int, float)
    )


def with_value(document: dict, path: tuple, value: object) -> dict:
    """The document with another value at that path."""
    document = json.loads(json.dumps(document))
    inside = document
    for name in path[:-1]:
        inside = inside[name]
    inside[path[-1]] = value
    return document


def as_file(document: dict) -> str:
    return "\n".join(f"{json.dumps(name)} = {written(value)}" for name, value in document.items())


def folder_file(chance: Random) -> tuple[str, bytes]:
    """(name in the folder, content) of a file that a keeper may put among their knowledge."""
    match chance.randrange(8):
        case 0:
            name = chance.choice(
                (
                    "mine.toml",
                    "species.toml",
                    "hosts/x.toml",
                    "names/species.toml",
                    "rate_shapes.toml",
                    "traits.toml",
                    "priors.toml",
                )
            )
            return name, chance.randbytes(chance.randint(0, 200))
        case 1:
            name, content = chance.choice(shipped())
            return name, files.mangled_bytes(content, chance)
        case 2:
            return "mine.toml", files.mangled_bytes(template().encode(), chance)
        case 3:
            rows = template().splitlines()
            for _ in range(chance.randint(1, 5)):
                at, other = chance.randrange(len(rows)), chance.randrange(len(rows))
                rows[at : at + 1] = [[], [rows[other], rows[at]], [rows[at].replace("=", f"= {chance.choice(VALUES)} #", 1)]][
                    chance.randrange(3)
                ]
            return "mine.toml", "\n".join(rows).encode()
        case 4:
            parts = [part for name, _ in shipped() for part in (name.split("/")[0].removesuffix(".toml"),)]
            body = "\n".join(
                f"[{chance.choice(parts)}.{json.dumps(lines.noise(chance, 8))}]\n{chance.choice(('text', 'kind', 'means', 'egg', 'sources'))} = {chance.choice(VALUES)}"
                for _ in range(3)
            )
            return "mine.toml", body.encode("utf-8", "replace")
        case 5 | 6:
            document = tomllib.loads(template())
            for path in chance.sample(numbers(), chance.randint(1, 12)):
                document = with_value(document, path, chance.choice(NUMBERS))
            return "mine.toml", as_file(document).encode()
        case _:
            document = tomllib.loads(template())
            path = chance.choice(paths_of(document))
            return "mine.toml", as_file(with_value(document, path, "@here")).replace('"@here"', chance.choice(VALUES)).encode()


def small_base(folder: Path) -> Path:
    """A folder with a few of the shipped files, over which a keeper's own are read in a moment."""
    top = folder / "base"
    for name in (
        "traits.toml",
        "priors.toml",
        "rate_shapes.toml",
        "sources/species.toml",
        "plants/urticaceae.toml",
        "names/agents.toml",
    ):
        file = top / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes((ROOT / "knowledge" / name).read_bytes())
    return top


QUESTIONS = (
    "what do monarch larvae eat", "tell me about the hedge lady", "what do hedge lady larvae eat", "how long does a hedge lady pupa take at 21 C",
    "whose egg is it: green barrel on nettle", "pupa with one round hole", "can I use lye", "what attacks pupae", "how many fit in 10 L",
    "how do I keep hedge nettle-leaf cuttings", "what needs doing today", "found 3 hedge lady eggs on hedge nettle-leaf in jar 9",
    "when do they hatch", "will they overwinter", "how much bleach for 2 cups at 10%", "is a hedge gall an egg", "B2 has one round hole in the pupa",
    "who was exposed to the hedge wasp", "what needs doing today",
)  # fmt: skip
"""Lines that ask for everything that the template tells of."""
