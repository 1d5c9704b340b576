"""The app in the terminal or in a browser, and one of its screens as plain text."""

from __future__ import annotations

import os
import sys
from contextlib import ExitStack

from nurserytui import printing
from nurserytui.commands.asking import back_up, columns
from nurserytui.commands.opening import WrongUse, nursery_of, opened, place_of


def run_show(arguments) -> int:
    import gc

    gc.disable()  # one screen ends before garbage matters
    from nurserytui.answers.page import folded
    from nurserytui.pages.show import PAGES, show

    which = " ".join(arguments.which)
    if arguments.page not in PAGES:
        known = "; ".join(f"{name}{f' [{page.which}]' if page.which else ''}: {page.holds}" for name, page in PAGES.items())
        raise WrongUse(f"there is no screen {arguments.page!r}; there are {known}")
    if which and not PAGES[arguments.page].which:
        raise WrongUse(f"{arguments.page} takes nothing after it, so {which!r} has no meaning here")
    with nursery_of(arguments, create=False) as nursery:
        printing.write(folded("\n".join(show(arguments.page, nursery, which)), columns()))
        back_up(arguments, nursery)
    return 0


def run_app(arguments) -> int:
    if arguments.web:
        return _web(arguments)
    if arguments.host or arguments.port:
        raise WrongUse("--host and --port are for --web")
    if not _can_draw():
        raise WrongUse(
            'the app needs a terminal that can draw; elsewhere use: nurserytui ask "…" for a question or a record, '
            "nurserytui show board for a screen as plain text"
        )
    import gc

    gc.disable()  # until the first frame stands: nothing that is imported is garbage
    from nurserytui.records.header import says_ours
    from nurserytui.tui.app import run

    with ExitStack() as stack:
        path, now = place_of(arguments, stack)
        if not says_ours(path):
            with opened(path):
                pass  # a file is made, or an unusable one is told before the screen is taken over
        return run(path, now, demo=arguments.demo, mouse=not arguments.no_mouse)


def _web(arguments) -> int:
    try:
        from nurserytui.tui.web import serve
    except ModuleNotFoundError as error:
        if (error.name or "").partition(".")[0].startswith("nurserytui"):
            raise
        raise WrongUse("--web needs one more part; install it with: python -m pip install 'nurserytui[web]'") from None
    path = None
    if not arguments.demo:
        path, _ = place_of(arguments, ExitStack())
        with opened(path):
            pass  # an unusable file is told here, not in the browser
    passed = ["--demo"] * arguments.demo + ([f"--now={arguments.now.isoformat()}"] if arguments.now else [])
    passed += ["--no-mouse"] * arguments.no_mouse
    return serve(path, passed, arguments.host or "localhost", arguments.port or 8000)


def _can_draw() -> bool:
    """Whether a screen can be drawn: in a terminal, or for a browser that stands in for one."""
    if os.environ.get("TEXTUAL_DRIVER", "").endswith(":WebDriver"):
        return True
    return sys.stdin.isatty() and sys.stdout.isatty() and os.environ.get("TERM") != "dumb"
