"""Nothing goes out to a network: no command opens a socket, and no module but the browser's server can."""

from __future__ import annotations

import ast
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

import nurserytui

ROOT = Path(nurserytui.__file__).resolve().parent
NETWORK = {
    "socket", "ssl", "http", "urllib.request", "urllib.error", "ftplib", "smtplib", "poplib", "imaplib", "telnetlib", "xmlrpc",
    "socketserver", "webbrowser", "requests", "httpx", "aiohttp", "urllib3",
}  # fmt: skip
ALLOWED = {"tui/web.py": {"aiohttp"}}
"""The server of the app in a browser, which listens on this computer (`tests/tui/test_web.py` holds it to that)."""

CLOSED = """
import socket, sys
def refuse(*arguments, **named):
    raise AssertionError(f"a socket was opened: {arguments}")
class Refused(socket.socket):
    __init__ = refuse
socket.socket = Refused
for name in ("create_connection", "create_server", "getaddrinfo", "gethostbyname", "socketpair"):
    setattr(socket, name, refuse)
import io, json
from nurserytui.cli import main
for command in json.loads(sys.argv[1]):
    sys.stdin = io.TextIOWrapper(io.BytesIO(b"how many eggs\\n"))
    try:
        code = main(command)
    except SystemExit as ended:
        code = ended.code
    assert not code, (command, code)
"""


def closed(script: str, *arguments: str) -> subprocess.CompletedProcess:
    environment = {**os.environ, "PYTHONPATH": str(ROOT.parent)}
    return subprocess.run(
        [sys.executable, "-c", script, *arguments], capture_output=True, text=True, timeout=120, env=environment
    )


@pytest.mark.parametrize(
    "call", ["socket.create_connection(('localhost', 9))", "__import__('urllib.request').request.urlopen('http://localhost:9')"]
)
def test_the_closed_door_is_closed(call):
    """The test itself: what would open a socket fails under it."""
    assert "a socket was opened" in closed(f"{CLOSED.partition('import io')[0]}\n{call}").stderr


COMMANDS = [
    ["import", "{}/events.csv"], ["import", "{}/readings.csv"],
    ["ask", "how long until cohort B hatches"], ["ask", "2 of B hatched", "--json"], ["ask", "how much bleach for 1 litre at 10%"], ["ask", "-"],
    ["show", "board"], ["show", "round"], ["show", "season"], ["show", "facts"], ["show", "calendar"],
    *(["export", f"{{}}/out.{form}"] for form in ("csv", "jsonl", "ics", "zip", "html")),
    ["check"], ["check", "--mend"], ["backup", "{}/copy.db"], ["backup"], ["restore"], ["restore", "{}/copy.db", "--yes"],
    ["knowledge", "check"], ["--version"],
]  # fmt: skip


def test_every_command_works_without_a_network(tmp_path):
    (tmp_path / "events.csv").write_text("when,what,cohort,species,count,enclosure\n2031-06-01,laid,B,Danaus plexippus,12,jar\n")
    (tmp_path / "readings.csv").write_text("time,place,temperature_C\n2031-06-02T10:00,jar,24\n2031-06-03T10:00,jar,25\n")
    calls = []
    for command in COMMANDS:
        where = [] if command[0] in ("knowledge", "--version") else ["--db", str(tmp_path / "n.db")]
        if command[0] in ("ask", "show", "export"):
            where += ["--now", "2031-06-04T08:00"]
        calls.append([*(part.format(tmp_path) for part in command), *where])
    done = closed(CLOSED, json.dumps(calls))
    assert done.returncode == 0 and "socket" not in done.stderr, done.stderr


def imported(file: Path) -> set[str]:
    names = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            names |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return names


@pytest.mark.parametrize("file", sorted(ROOT.rglob("*.py")), ids=lambda file: str(file.relative_to(ROOT)))
def test_no_module_can_reach_a_network(file):
    found = {name for name in imported(file) if name in NETWORK or name.split(".")[0] in NETWORK}
    allowed = ALLOWED.get(file.relative_to(ROOT).as_posix(), set())
    assert {name.split(".")[0] for name in found} <= allowed
