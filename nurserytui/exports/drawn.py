"""Has pictures drawn by a process of their own: loading the plot library would hold up the screen, and would stay in memory."""

from __future__ import annotations

import os
import pickle
import re
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from html import escape
from pathlib import Path

from nurserytui import paths, private
from nurserytui.exports.drawing import words_of
from nurserytui.exports.page_html import SENTENCES, shown
from nurserytui.exports.picture import Panel, Picture, Words
from nurserytui.records.progress import Progress

PROGRAM = ("-P", "-m", "nurserytui.exports.drawing")
TOLD = "pictures drawn"
PATIENCE = 0.1
"""Seconds between two times that whoever waits is told so."""


class NotDrawn(Exception):
    """No pictures can be drawn here; the message says why."""


def drawn(pictures: Sequence[Picture], progress: Progress | None = None) -> list[str]:
    """Each picture as one `<svg>` element with its words, its title and what it shows.

    Raises `NotDrawn` where the plot library does not run. `progress` may raise `Stopped`: the process is then ended.
    """
    if not pictures:
        return []
    if not sys.executable:
        raise NotDrawn("no interpreter to draw them with")
    bare = _asked([picture._replace(panels=tuple(map(_wordless, picture.panels))) for picture in pictures], progress)
    return [_told(svg, picture) for svg, picture in zip(bare, pictures, strict=True)]


def _wordless(panel: Panel) -> Panel:
    """Words are not sent along: what draws needs their number and place only."""
    marks = tuple(mark._replace(text="") if isinstance(mark, Words) else mark for mark in panel.marks)
    return panel._replace(marks=marks, along=tuple((x, "") for x, _ in panel.along), up=tuple((y, "") for y, _ in panel.up))


def _asked(pictures: list[Picture], progress: Progress | None) -> list[str]:
    try:
        with tempfile.TemporaryDirectory(prefix="nurserytui-") as folder:
            return _run(pictures, folder, progress)
    except (OSError, subprocess.SubprocessError) as error:
        raise NotDrawn(str(error)) from None


def _run(pictures: list[Picture], folder: str, progress: Progress | None) -> list[str]:
    # Nothing of the keeper's own set-up of the plot library is read: not by its folder, nor from the folder that this runs in.
    known = {name: value for name, value in os.environ.items() if not name.startswith(("MPL", "MATPLOTLIB"))}
    path = os.pathsep.join(part for part in (str(paths.PACKAGE.parent), os.environ.get("PYTHONPATH", "")) if part)
    environment = {**known, "MPLCONFIGDIR": _cache() or folder, "PYTHONPATH": path, "MPLBACKEND": "svg"}
    command = [sys.executable, *PROGRAM]
    # In a file, not by a pipe: what a pipe does not take at once `communicate` forgets at its first timeout.
    given = Path(folder) / "pictures"
    given.write_bytes(pickle.dumps([picture._replace(title="", told="", caption="") for picture in pictures]))
    with given.open("rb") as file:
        process = subprocess.Popen(
            command, stdin=file, stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=folder, env=environment,
            umask=0o077 if os.name == "posix" else -1,
        )  # fmt: skip
    out = None
    try:
        while out is None:
            if progress is not None:
                progress(0, len(pictures), TOLD)
            try:
                out, complaint = process.communicate(timeout=PATIENCE)
            except subprocess.TimeoutExpired:
                pass
    finally:
        if process.poll() is None:
            process.kill()
            process.communicate()
    if process.returncode:
        last = complaint.decode("utf-8", "replace").strip().splitlines()[-1:] or [f"exit {process.returncode}"]
        raise NotDrawn(last[0])
    if progress is not None:
        progress(len(pictures), len(pictures), TOLD)
    return pickle.loads(out)


def _cache() -> str:
    """A folder in the cache for what the plot library keeps; "" where nothing can be written there."""
    folder = Path(paths.user_cache()) / "drawing"
    try:
        private.make_folder(folder)
        with tempfile.TemporaryFile(dir=folder):
            return str(folder)
    except OSError:
        return ""


def _told(svg: str, picture: Picture) -> str:
    words = words_of(picture)
    svg = re.sub(r"<text ([^>]*)>V(\d+)V<", r'<text class="over" \1>W\2W<', svg)
    svg = re.sub(r">W(\d+)W<", lambda found: f">{escape(shown(words[int(found[1])]))}<", svg)
    name = picture.name
    names = (
        f'<title id="{name}-named">{escape(shown(picture.title))}</title>'
        f'<desc id="{name}-told">{escape(shown(picture.told, SENTENCES))}</desc>'
    )
    return svg.replace("<svg ", f'<svg role="img" aria-labelledby="{name}-named {name}-told" ', 1).replace(">", f">{names}", 1)
