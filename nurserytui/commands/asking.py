"""One question or record, or a conversation over standard input."""

from __future__ import annotations

import os
import sys
from contextlib import contextmanager
from datetime import date
from threading import Thread

from nurserytui import printing
from nurserytui.commands.opening import WrongUse, moment_of, nursery_of

EXIT = {"answered": 0, "recorded": 0, "clarify": 3, "unknown": 4, "refused": 5}


def run_ask(arguments) -> int:
    if arguments.text != "-":
        import gc

        gc.disable()  # one answer ends before garbage matters
    from nurserytui.assistant import Assistant

    with nursery_of(arguments) as nursery:
        assistant = Assistant(nursery)
        if arguments.text == "-":
            return _conversation(assistant, arguments)
        answer = assistant.reply(arguments.text)
        if assistant.trouble:
            raise WrongUse(str(assistant.trouble))
        _print(answer, arguments.json)
        back_up(arguments, nursery)
        return EXIT[answer.status]


def _conversation(assistant, arguments) -> int:
    from nurserytui.answers.answer import Answer

    moving = not arguments.now and not getattr(arguments, "demo", False)
    with _backups_beside(arguments, assistant.nursery) as answered:
        for raw in printing.lines():
            try:
                line = raw.decode("utf-8").strip()
            except UnicodeDecodeError:
                _print(Answer("unknown", "help", "That line is not UTF-8 text, so I could not read it."), arguments.json)
                continue
            if line.strip("\ufeff"):
                # Told the same moment again, it takes in what others wrote meanwhile.
                now = moment_of(None, assistant.nursery.settings.timezone) if moving else assistant.nursery.now
                _print(assistant.reply(line, now), arguments.json)
                answered()
            else:
                assistant.new_conversation()
    return 0


@contextmanager
def _backups_beside(arguments, nursery):
    """To be called after each answer: the first of a day has the day's backup made while the conversation goes on."""
    days: set[date] = set()
    threads: list[Thread] = []

    def answered() -> None:
        if getattr(arguments, "demo", False) or date.today() in days:
            return
        from nurserytui.records.backups.by_itself import due

        days.add(date.today())
        if make := due(nursery.store):
            threads.append(Thread(target=lambda: _trouble(make())))
            threads[-1].start()

    try:
        yield answered
    finally:
        for beside in threads:
            beside.join()


def back_up(arguments, nursery) -> None:
    """The day's backup, once the answer stands: nobody waits for it."""
    if getattr(arguments, "demo", False):
        return
    from nurserytui.records.backups.by_itself import first_of_the_day

    _trouble(first_of_the_day(nursery.store))


def _trouble(told: str) -> None:
    if told:
        printing.complain(f"nurserytui: {told}")


def _print(answer, as_json: bool) -> None:
    done = "it was recorded" if answer.status == "recorded" else ""
    if as_json:
        printing.write(answer.json_line(), done)
        return
    from nurserytui.answers.page import page

    printing.write(page(answer, columns()), done)


def columns() -> int | None:
    """How wide the terminal is; None where the text goes elsewhere."""
    return os.get_terminal_size(sys.stdout.fileno()).columns if sys.stdout.isatty() else None
