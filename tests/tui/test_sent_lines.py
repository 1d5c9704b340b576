"""The lines that were sent: kept privately, bounded, and no fault whatever has become of the file."""

from __future__ import annotations

import os
import stat

import pytest

from nurserytui.tui.sent_lines import LARGEST, LONGEST, MOST, SentLines, lines_of


def again(file) -> tuple[list[str], str]:
    return SentLines(file).read()


def test_what_was_sent_and_what_was_left_are_there_again(tmp_path):
    kept = SentLines(tmp_path / "deep" / "lines.jsonl")
    for text in ("how many eggs", "2 of B hatched", "how many eggs"):
        kept.sent(text)
    kept.leave("half a thou")
    assert again(kept.file) == (["2 of B hatched", "how many eggs"], "half a thou")
    kept.sent("half a thought")
    assert again(kept.file) == (["2 of B hatched", "how many eggs", "half a thought"], "")


@pytest.mark.skipif(os.name == "nt", reason="no such permissions")
def test_the_file_is_the_keepers_own(tmp_path):
    kept = SentLines(tmp_path / "state" / "lines.jsonl")
    kept.sent("one")
    assert stat.S_IMODE(kept.file.stat().st_mode) == 0o600 and stat.S_IMODE(kept.file.parent.stat().st_mode) == 0o700
    kept.file.chmod(0o644)
    kept.sent("two")
    assert stat.S_IMODE(kept.file.stat().st_mode) == 0o600


def test_two_windows_do_not_undo_each_other(tmp_path):
    one, other = SentLines(tmp_path / "lines.jsonl"), SentLines(tmp_path / "lines.jsonl")
    one.sent("from one")
    other.sent("from the other")
    one.sent("from one again")
    assert again(one.file)[0] == ["from one", "from the other", "from one again"]


def test_it_stays_small(tmp_path):
    kept = SentLines(tmp_path / "lines.jsonl")
    for number in range(MOST + 40):
        kept.sent(f"{number} " + "x" * 900)
    kept.leave("y" * 3 * LONGEST)
    assert len(kept.lines) == MOST and kept.lines[-1].startswith("539 ")
    lines, left = again(kept.file)
    assert len(lines) <= MOST and lines[-1] == kept.lines[-1] and left == "y" * LONGEST
    assert kept.file.stat().st_size < LARGEST
    assert again(kept.file)[0][-1] == kept.lines[-1] and list(tmp_path.iterdir()) == [kept.file]


@pytest.mark.parametrize(
    "held",
    [
        b"",
        b"\xff\xfe\x00garbage",
        b"[]\n{}\nnull\n1\n",
        b'["sent"]\n["sent", 4]\n["other", "x"]\n',
        b"[" * 50_000,
        b'["sent", "' + b"x" * 30_000 + b'"]\n',
    ],
)
def test_a_file_that_holds_something_else_is_passed_over(tmp_path, held):
    file = tmp_path / "lines.jsonl"
    file.write_bytes(held)
    assert again(file) == ([], "")
    SentLines(file).sent("after all")
    assert again(file)[0][-1:] == (["after all"] if held.endswith(b"\n") or not held else [])


@pytest.mark.parametrize("make", ["folder", "file in the way", "nothing"])
def test_what_cannot_be_written_is_no_fault(tmp_path, make):
    file = tmp_path / "lines.jsonl"
    if make == "folder":
        file.mkdir()
    elif make == "file in the way":
        (tmp_path / "way").write_text("x")
        file = tmp_path / "way" / "lines.jsonl"
    kept = SentLines(None if make == "nothing" else file)
    kept.sent("one")
    kept.leave("two")
    assert kept.lines == ["one"] and kept.left == "two" and kept.read() == ([], "")


@pytest.mark.parametrize("text", ["[/b] \u202e back", "line\nline", "\ud800 lone", "漢字🦋", '"quoted"\\'])
def test_any_text_comes_back_as_it_was(tmp_path, text):
    kept = SentLines(tmp_path / "lines.jsonl")
    kept.sent(text)
    assert again(kept.file)[0] == [text]


def test_every_nursery_has_its_own(tmp_path, monkeypatch):
    monkeypatch.setenv("NURSERYTUI_STATE", str(tmp_path / "state"))
    one, other = lines_of(tmp_path / "a.db"), lines_of(tmp_path / "b.db")
    assert one != other and one.parent == other.parent == tmp_path / "state" and one == lines_of(tmp_path / "x" / ".." / "a.db")
