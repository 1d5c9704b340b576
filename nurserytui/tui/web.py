"""The app in a browser: a small server on this computer that runs one app for each tab. Needs the extra `web`.

There is no login. So the server listens on this computer only unless it is told otherwise, answers no page of another site, and loads
nothing from elsewhere. What the keeper gave on the command line goes to the apps by their environment and never through a shell.
"""

from __future__ import annotations

import os
import shlex
import subprocess
import sys
from collections.abc import Sequence
from html import escape
from ipaddress import ip_address
from pathlib import Path
from urllib.parse import urlsplit

from aiohttp import web
from textual_serve.server import Server

PAGE = Path(__file__).with_name("web_page.html")
MOST_TABS = 24
"""Apps that run at once; each takes the memory of one."""
POLICY = (
    "default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; connect-src 'self' {socket}; "
    "frame-ancestors 'none'; base-uri 'none'; form-action 'none'"
)
OPEN = "NURSERYTUI_WEB"
"""In the environment of an app: `open` where others than this computer may reach it, else `local`."""


def near(host: str) -> bool:
    """Whether a server on that address can be reached from this computer only."""
    if host == "localhost":
        return True
    try:
        return ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False


class NurseryServer(Server):
    """Serves our own page, and an app for each tab."""

    def __init__(self, arguments: Sequence[str], host: str, port: int) -> None:
        words = [sys.executable, "-m", "nurserytui", *arguments]
        command = subprocess.list2cmdline(words) if os.name == "nt" else f"exec {shlex.join(words)}"
        super().__init__(command, host, port, title="nurserytui")
        self._tabs = 0

    def initialize_logging(self) -> None:
        """Nothing but what goes wrong."""
        import logging

        logging.basicConfig(level=logging.WARNING, format="%(message)s")

    async def _make_app(self) -> web.Application:
        app = await super()._make_app()
        app.middlewares.append(self._guarded)
        return app

    @web.middleware
    async def _guarded(self, request: web.Request, handler) -> web.StreamResponse:
        """No page of another site may use the records through the keeper's own browser."""
        origin = request.headers.get("Origin")
        if origin is not None and urlsplit(origin).netloc != request.host:
            raise web.HTTPForbidden(text="This page belongs to another address.")
        if near(self.host) and not near(urlsplit(f"//{request.host}").hostname or ""):
            raise web.HTTPForbidden(text="This server answers to localhost only.")
        return await handler(request)

    async def on_startup(self, app: web.Application) -> None:
        """Say where it is and who can reach it."""
        print("\n".join(announced(self.host, self.port)), file=sys.stderr, flush=True)

    async def handle_index(self, request: web.Request) -> web.Response:
        """The page; what it loads is all served here."""
        socket = f"{'wss' if request.scheme == 'https' else 'ws'}://{request.host}"
        size = request.query.get("fontsize", "16")
        page = PAGE.read_text(encoding="utf-8")
        page = page.replace("{socket}", escape(f"{socket}/ws")).replace(
            "{size}", size if size.isdecimal() and len(size) < 3 else "16"
        )
        return web.Response(
            text=page, content_type="text/html", headers={"Content-Security-Policy": POLICY.format(socket=socket)}
        )

    async def handle_websocket(self, request: web.Request) -> web.StreamResponse:
        """One tab: an app of its own."""
        if self._tabs >= MOST_TABS:
            raise web.HTTPServiceUnavailable(text=f"There are {MOST_TABS} tabs already; close one.")
        self._tabs += 1
        try:
            return await super().handle_websocket(request)
        finally:
            self._tabs -= 1


def announced(host: str, port: int) -> list[str]:
    """What is said when it starts: the address, who can reach it, what a tab is."""
    shown = f"[{host}]" if ":" in host else host
    lines = [f"Open http://{shown}:{port} in a browser. Ctrl+C ends it."]
    if near(host):
        lines.append(
            "It can be reached from this computer only. There is no login: whoever uses this computer can read and write the records."
        )
    else:
        lines.append(
            f"WARNING: other computers can reach it at {host}. There is no login and nothing is encrypted: anyone who opens this address can read "
            "and write the records. Files are not imported or exported there."
        )
    return [*lines, "Each tab is an app of its own on the same file, with its own conversation."]


def serve(path: Path | None, arguments: Sequence[str], host: str, port: int) -> int:
    """Serve until it is ended. `path` is the nursery, None for the demo; `arguments` go to the app of each tab."""
    if path is not None:
        os.environ["NURSERYTUI_DB"] = str(path.absolute())
    os.environ[OPEN] = "local" if near(host) else "open"
    NurseryServer(arguments, host, port).serve()
    return 0
