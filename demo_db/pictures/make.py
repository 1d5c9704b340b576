"""Draws the README's pictures from the app itself, on the demo nursery at its own moment.

    python demo_db/pictures/make.py [FOLDER]

Writes one SVG a screen beside this file, or into the folder given. The pictures load nothing from elsewhere.
"""

from __future__ import annotations

import asyncio
import re
import sys
import tempfile
from pathlib import Path

from nurserytui.demo import MOMENT, private_copy
from nurserytui.tui.app import NurseryApp
from nurserytui.tui.desk import Desk
from nurserytui.tui.question_line import QuestionLine

SIZE = (120, 36)
PICTURES = {
    "notebook": ("how long until cohort B hatches", "2 of B hatched this morning", "one C died"),
    "round": ("f3",),
    "calendar": ("f4",),
    "season": ("f6",),
}
"""Name -> what is done before the picture is taken: keys by their names, lines as they are typed."""
FONT = re.compile(r"@font-face \{.*?\}\s*", re.DOTALL)


async def draw(name: str, folder: Path) -> None:
    """Open the demo anew, do what the picture needs, and write it down."""
    with tempfile.TemporaryDirectory() as private:
        app = NurseryApp(Desk(private_copy(Path(private)), MOMENT), demo=True)
        async with app.run_test(size=SIZE) as pilot:
            await _settled(app, pilot)
            for done in PICTURES[name]:
                if " " in done:
                    app.query_one(QuestionLine).value = done
                    done = "enter"
                await pilot.press(done)
                await _settled(app, pilot)
            picture = FONT.sub("", app.export_screenshot()).replace("Fira Code", "monospace")
            await app.desk.close()
    (folder / f"{name}.svg").write_text("\n".join(line.rstrip() for line in picture.splitlines()) + "\n", encoding="utf-8")


async def _settled(app: NurseryApp, pilot) -> None:
    await pilot.pause()
    await app.workers.wait_for_complete()
    await pilot.pause(0.3)


def main() -> None:
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent
    folder.mkdir(exist_ok=True)
    for name in PICTURES:
        asyncio.run(draw(name, folder))
        print(folder / f"{name}.svg")


if __name__ == "__main__":
    main()
