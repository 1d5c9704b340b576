"""What is printed steers no terminal, and what was done is told even where the answer cannot be."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest

from nurserytui.visible import visible, visible_line

FIND = "found 3 monarch eggs on milkweed, jar 4"
NOW = "2031-06-10T08:00"


def shell(command: str, tmp_path, stdin: bytes = b"") -> subprocess.CompletedProcess:
    """A command line of a shell, in which `nurserytui` has a nursery and a moment."""
    script = f'nurserytui() {{ "{sys.executable}" -m nurserytui "$@" --now {NOW}; }}; {command}'
    environment = {**os.environ, "NURSERYTUI_DB": str(tmp_path / "nursery.db"), "PYTHONIOENCODING": "utf-8"}
    return subprocess.run(["bash", "-c", script], input=stdin, capture_output=True, timeout=120, cwd=tmp_path, env=environment)


def headcount(tmp_path) -> int:
    return json.loads(shell('nurserytui ask "how many animals are there" --json', tmp_path).stdout)["values"]["count"]["value"]


@pytest.mark.parametrize(
    ("command", "code", "told"),
    [
        (f'nurserytui ask "{FIND}" >/dev/full', 6, "it was recorded, but the answer could not be printed: No space left on device"),
        (f'nurserytui ask "{FIND}" --json >/dev/full', 6, "it was recorded, but the answer could not be printed"),
        (f'nurserytui ask "{FIND}" >&-', 6, "it was recorded, but the answer could not be printed: it is closed"),
        (f'echo "{FIND}" | nurserytui ask - >/dev/full', 6, "it was recorded, but the answer could not be printed"),
        (f'echo "{FIND}" | nurserytui ask - >&-', 6, "it was recorded, but the answer could not be printed"),
        ("nurserytui import t.csv >/dev/full", 6, "it was imported, but the answer could not be printed"),
        ("nurserytui import t.csv >&-", 6, "it was imported, but the answer could not be printed"),
        ("nurserytui import t.csv && nurserytui export o.csv >/dev/full; e=$?; test -s o.csv && exit $e", 6, "it was written, but"),
        ("nurserytui import t.csv && nurserytui export o.csv >&-; e=$?; test -s o.csv && exit $e", 6, "it was written, but"),
        (f'nurserytui ask "{FIND}" <&-', 0, ""),
        (f'nurserytui ask "{FIND}" 2>&-', 0, ""),
        ("nurserytui import t.csv <&-", 0, ""),
    ],
)  # fmt: skip
def test_what_was_done_is_said_where_the_answer_cannot_be_printed(tmp_path, command, code, told):
    (tmp_path / "t.csv").write_text("when,what,species,stage,count\n2031-06-01,found,Danaus plexippus,egg,3\n", encoding="utf-8")
    done = shell(command, tmp_path)
    said = done.stderr.decode()
    assert done.returncode == code and told in said and "Traceback" not in said and "Exception" not in said
    assert len(said.splitlines()) == (1 if code else 0)
    assert headcount(tmp_path) == 3


@pytest.mark.parametrize(
    ("command", "code", "told"),
    [
        ('nurserytui ask "how many larvae do I have" >/dev/full', 6, "the answer could not be printed"),
        ("nurserytui show board --demo >&-", 6, "the answer could not be printed"),
        ("nurserytui ask - <&-", 2, "standard input cannot be read: it is closed"),
        ("nurserytui <&-", 2, "the app needs a terminal"),
        ("nurserytui >&-", 2, "the app needs a terminal"),
        ('nurserytui ask "when is B due" 2>/dev/full >/dev/full', 6, ""),
    ],
)  # fmt: skip
def test_streams_that_are_closed_or_full_are_one_line(tmp_path, command, code, told):
    done = shell(command, tmp_path)
    said = done.stderr.decode()
    assert done.returncode == code and told in said and len(said.splitlines()) == bool(told)


def test_what_steers_a_terminal_is_shown_as_a_sign_where_answers_are_printed(tmp_path):
    """What came in by another way than a typed line."""
    rows = "2031-06-01,found,A,Danaus plexippus,egg,3,\n2031-06-02,note,A,,,,by\x1b[2J the\u202e pond\n"
    (tmp_path / "t.csv").write_text(f"when,what,cohort,species,stage,count,note\n{rows}", encoding="utf-8")
    assert shell("nurserytui import t.csv", tmp_path).returncode == 0
    for command in (
        'nurserytui ask "what happened to A"',
        "nurserytui show cohort A",
        'echo "what happened to A" | nurserytui ask -',
    ):
        said = shell(command, tmp_path).stdout.decode()
        assert "by\ufffd[2J the\ufffd pond" in said and said == visible(said)
    answer = shell('nurserytui ask "what happened to A" --json', tmp_path).stdout.decode()
    assert answer.isascii() and "by\\u001b[2J the\\u202e pond" in answer


@pytest.mark.parametrize(
    ("text", "shown", "line"),
    [
        ("a\tb\nc", "a\tb\nc", "a\ufffdb\ufffdc"),
        ("\x1b[2J", "\ufffd[2J", "\ufffd[2J"),
        ("a\rb\x07\x9b", "a\ufffdb\ufffd\ufffd", "a\ufffdb\ufffd\ufffd"),
        ("\u202eabc\ud800", "\ufffdabc\ufffd", "\ufffdabc\ufffd"),
        ("ß é\u00a0漢", "ß é\u00a0漢", "ß é\u00a0漢"),
    ],
)
def test_what_cannot_be_seen_is_a_replacement_sign(text, shown, line):
    assert (visible(text), visible_line(text)) == (shown, line)
