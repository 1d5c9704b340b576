"""How the app ends when it is told to from outside: a closed window, a shutdown. As by its own key, and without hanging."""

from __future__ import annotations

import asyncio
import os
import signal
from threading import Timer

LOOK_EVERY = 2.0
"""Seconds between two looks at whether the server of a tab is still there."""
LAST_RESORT = 1.5
"""Seconds after which the process ends whatever still goes on: a terminal that is gone may take no more output."""


async def run(app, *, mouse: bool = True) -> int:
    """Run the app until it ends; its exit code."""
    loop = asyncio.get_running_loop()
    for name in ("SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        try:
            loop.add_signal_handler(number, end, app, 128 + (number or 0))
        except (NotImplementedError, TypeError, ValueError, RuntimeError):
            pass  # there are no such signals here
    watching = asyncio.create_task(_with_server(app)) if os.environ.get("NURSERYTUI_WEB") else None
    try:
        return await app.run_async(mouse=mouse) or 0
    finally:
        if watching is not None:
            watching.cancel()
            await app.put_away()  # a tab that is closed ends the app without its key


async def _with_server(app) -> None:
    """The app of a tab ends with the server that began it, however that ended."""
    server = os.getppid()
    while os.getppid() == server:
        await asyncio.sleep(LOOK_EVERY)
    end(app, 0)


def end(app, code: int) -> None:
    """End as by the key, with that exit code, soon."""
    resort = Timer(LAST_RESORT, os._exit, (code,))
    resort.daemon = True
    resort.start()
    app.run_worker(app.leave(code), group="end", exit_on_error=False)
