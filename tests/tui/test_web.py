"""The app in a browser: one app for each tab, nothing loaded from elsewhere, nobody let in whom the keeper did not let in."""

from __future__ import annotations

import asyncio
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from contextlib import contextmanager

import pytest

from nurserytui.records.events import Event
from nurserytui.records.store import Store

pytest.importorskip("textual_serve")
SLOW = float(os.environ.get("SLOW_MACHINE", "1"))


def free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return one.getsockname()[1]


def fetched(url: str, **headers: str) -> tuple[int, str, dict]:
    try:
        with urllib.request.urlopen(urllib.request.Request(url, headers=headers), timeout=10) as answer:
            return answer.status, answer.read().decode("utf-8", "replace"), dict(answer.headers)
    except urllib.error.HTTPError as error:
        return error.code, error.read().decode(), dict(error.headers)


@contextmanager
def served(*arguments: object):
    """The server on a free port; its process and its address."""
    port = free_port()
    command = [sys.executable, "-m", "nurserytui", "--web", "--port", str(port), *map(str, arguments)]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, stdin=subprocess.DEVNULL)
    try:
        url, limit = f"http://127.0.0.1:{port}", time.monotonic() + 20 * SLOW
        while True:
            try:
                fetched(url)
                break
            except (urllib.error.URLError, ConnectionError):
                assert process.poll() is None and time.monotonic() < limit, process.stderr.read()
                time.sleep(0.05)
        yield process, url
    finally:
        if process.poll() is None:
            process.send_signal(signal.SIGINT)
        process.wait(timeout=20)
        process.stdout.close()
        process.stderr.close()


class Tab:
    """What a browser's tab does: types, and takes in what is drawn."""

    def __init__(self, session, url: str) -> None:
        self._session, self._url, self.out = session, url.replace("http", "ws") + "/ws?width=100&height=30", b""

    async def __aenter__(self) -> Tab:
        self._socket = await self._session.ws_connect(self._url)
        await self._socket.send_json(["focus"])
        return self

    async def __aexit__(self, *_) -> None:
        await self._socket.close()

    async def type(self, text: str) -> None:
        await self._socket.send_json(["stdin", text])

    async def until(self, words: str, seconds: float = 30) -> None:
        limit = time.monotonic() + seconds * SLOW
        while words not in re.sub(r"\x1b\[[0-9;?<>$]*[a-zA-Z]", "", self.out.decode("utf-8", "replace")):
            assert time.monotonic() < limit, re.sub(r"\x1b\[[0-9;?<>$]*[a-zA-Z]", "", self.out.decode("utf-8", "replace"))[-1500:]
            try:
                message = await asyncio.wait_for(self._socket.receive(), 0.5)
            except TimeoutError:
                continue
            if isinstance(message.data, bytes):
                self.out += message.data


async def test_two_tabs_are_two_apps_on_one_file(tmp_path):
    import aiohttp

    folder = tmp_path / "a $(touch hacked); 'b' \"c\""
    folder.mkdir()
    file = folder / "n.db"
    with Store.open(file) as store:
        store.append([Event("2026-07-01", "found", "B", species="Danaus plexippus", stage="egg", count=12, enclosure="jar 2")])
    with served("--db", file, "--now", "2026-07-02T08:00") as (process, url):
        async with aiohttp.ClientSession() as session, Tab(session, url) as first, Tab(session, url) as second:
            await first.until("12 eggs")
            await second.until("12 eggs")
            await first.type("one B died, dried\r")
            await first.until("Recorded")
            await second.until("11 eggs", 10)
            await second.type("one B died, dried\r")
            await second.until("Recorded")
            await first.until("10 eggs", 10)
        with Store.open(file) as store:
            assert sum(store.heads().values()) == 10
        process.send_signal(signal.SIGINT)
        assert process.wait(timeout=20) == 0
    assert sorted(each.name for each in tmp_path.iterdir()) == [folder.name], "nothing of the path was run"


def children(process: subprocess.Popen) -> list[int]:
    listed = subprocess.run(["ps", "-o", "pid=", "--ppid", str(process.pid)], capture_output=True, text=True)
    return [int(each) for each in listed.stdout.split()]


def runs(pid: int) -> bool:
    listed = subprocess.run(["ps", "-o", "stat=", "-p", str(pid)], capture_output=True, text=True)
    return bool(listed.stdout.strip()) and not listed.stdout.startswith("Z")


@pytest.mark.skipif(not shutil.which("ps"), reason="there is no ps here")
async def test_an_app_ends_with_its_tab_and_with_its_server(tmp_path):
    import aiohttp

    async def gone(pid: int) -> None:
        limit = time.monotonic() + 8 * SLOW
        while runs(pid):
            assert time.monotonic() < limit, "it goes on"
            await asyncio.sleep(0.1)

    with served("--db", tmp_path / "n.db") as (process, url):
        async with aiohttp.ClientSession() as session:
            async with Tab(session, url) as first:
                await first.until("No animals yet")
                (app,) = children(process)
            await gone(app)
            async with Tab(session, url) as second:
                await second.until("No animals yet")
                (app,) = children(process)
                process.kill()
                await gone(app)


def test_the_page_loads_nothing_from_elsewhere_and_all_it_names_is_there():
    with served("--demo") as (_, url):
        status, page, headers = fetched(url)
        named = re.findall(r"(?:src|href)=\"([^\"]+)\"|url\(\"([^\"]+)\"\)", page)
        loaded = [one or other for one, other in named if (one or other) != "data:,"]
        assert status == 200 and len(loaded) == 4 and not any("//" in each for each in loaded)
        assert "//" not in re.sub(r"ws://127\.0\.0\.1:\d+/ws", "", page)
        assert "default-src 'self'" in headers["Content-Security-Policy"]
        for each in loaded:
            assert fetched(f"{url}/{each}")[0] == 200
        script = fetched(f"{url}/static/js/textual.js")[1]
        assert not re.search(r"(?:fetch|importScripts|src=)\(?[\"']https?://", script)


def test_pages_of_other_sites_are_refused():
    with served("--demo") as (_, url):
        host = url.removeprefix("http://")
        assert fetched(url, Origin=url)[0] == 200
        assert fetched(url, Origin="http://elsewhere.example")[0] == 403
        assert fetched(f"{url}/ws", Origin="http://elsewhere.example")[0] == 403
        assert fetched(url, Host="elsewhere.example")[0] == 403 and fetched(url, Host=host)[0] == 200


@pytest.mark.parametrize(
    ("host", "words"),
    [
        ("localhost", "this computer only"),
        ("127.0.0.1", "this computer only"),
        ("::1", "this computer only"),
        ("0.0.0.0", "WARNING: other computers can reach it"),
        ("192.168.1.7", "WARNING: other computers can reach it"),
        ("kitchen", "WARNING: other computers can reach it"),
    ],
)
def test_who_can_reach_it_is_said(host, words):
    from nurserytui.tui.web import announced

    said = " ".join(announced(host, 8000))
    assert words in said and "no login" in said and "Each tab is an app of its own" in said


def test_it_is_said_when_it_starts():
    with served("--demo", "--host", "127.0.0.1") as (process, url):
        process.send_signal(signal.SIGINT)
        assert process.wait(timeout=20) == 0
        said = process.stderr.read().decode()
        assert url in said and "this computer only" in said and "no login" in said


def call(*arguments: str) -> subprocess.CompletedProcess:
    return subprocess.run([sys.executable, *arguments], capture_output=True, timeout=60, stdin=subprocess.DEVNULL)


def test_a_port_that_is_taken_is_one_line():
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        one.listen()
        done = call("-m", "nurserytui", "--web", "--demo", "--host", "127.0.0.1", "--port", str(one.getsockname()[1]))
    assert done.returncode == 2 and b"Traceback" not in done.stderr and b"address already in use" in done.stderr


def test_without_the_extra_it_says_how_to_install_it(tmp_path):
    script = (
        "import sys; sys.modules['textual_serve'] = None; from nurserytui.cli import main; sys.exit(main(['--web', '--demo']))"
    )
    done = call("-c", script)
    assert done.returncode == 2 and b"pip install 'nurserytui[web]'" in done.stderr and b"Traceback" not in done.stderr


@pytest.mark.parametrize("words", [("--host", "0.0.0.0"), ("--port", "80"), ("--web", "--port", "0"), ("--web", "--port", "x")])
def test_wrong_use_is_told(words):
    done = call("-m", "nurserytui", "--demo", *words)
    assert done.returncode == 2 and done.stderr and b"Traceback" not in done.stderr


async def test_where_others_can_reach_it_no_file_is_touched(tmp_path, monkeypatch):
    from screens import opened, settled

    from nurserytui.tui.errands import begin, commands
    from nurserytui.tui.notebook import Notebook

    monkeypatch.setenv("NURSERYTUI_WEB", "open")
    async with opened(tmp_path) as (app, pilot):
        asking_for_no_file = ["Check the file", "Back up now", "Backups, and how to restore one"]
        assert [title for title, *_ in commands(app)] == asking_for_no_file
        begin(app, "csv")
        await settled(app, pilot)
        assert "not imported or exported" in app.query_one(Notebook).exchanges[-1].told and app.screen is app.conversation
