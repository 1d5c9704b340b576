"""Makes notebook.svg from the app itself, on the demo nursery at its own moment.

usage: python demo_db/pictures/make.py
"""

from __future__ import annotations

import asyncio
import tempfile
from pathlib import Path

HERE = Path(__file__).resolve().parent
LINES = (
    "which host plant suits a gulf fritillary egg",
    "how much bleach for a 2 cup dish at 10%",
    "how long until cohort B hatches",
)


async def main() -> None:
    from nurserytui.demo import MOMENT, private_copy
    from nurserytui.tui.app import NurseryApp
    from nurserytui.tui.desk import Desk

    with tempfile.TemporaryDirectory() as folder:
        app = NurseryApp(Desk(private_copy(Path(folder)), MOMENT), demo=True)
        async with app.run_test(size=(120, 36)) as pilot:
            await app.workers.wait_for_complete()
            for line in LINES:
                app.action_send(line)
                await app.workers.wait_for_complete()
                await pilot.pause()
            # Without this some renderers drop the spaces at the ends of a styled run: "47.3mL".
            picture = app.export_screenshot().replace("<text ", '<text xml:space="preserve" ')
            (HERE / "notebook.svg").write_text(picture, encoding="utf-8")
            await app.desk.close()


if __name__ == "__main__":
    asyncio.run(main())
