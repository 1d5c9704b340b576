"""The command line: it reads what is asked for, has it done by one of `commands`, and says what made it impossible."""

from __future__ import annotations

import sys
from importlib import import_module

from nurserytui import printing
from nurserytui.commands.arguments import parser
from nurserytui.commands.opening import WrongUse

WRONG_USE = 2
NOT_PRINTED = 6


def main(argv: list[str] | None = None) -> int:
    """Run one command; returns the exit code."""
    printing.ready()
    arguments = parser().parse_args(argv)
    module, _, name = arguments.run.partition(".")
    try:
        return getattr(import_module(f"nurserytui.commands.{module}"), name)(arguments)
    except (WrongUse, printing.NotRead) as error:
        return _complain(error)
    except printing.NotPrinted as error:
        _complain(error)
        return NOT_PRINTED
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except OSError as error:
        return _complain(printing.why(error))
    except KeyboardInterrupt:
        return 130
    except Exception as error:
        from nurserytui.records.errors import StoreError

        if isinstance(error, StoreError):
            return _complain(error)
        raise


def _complain(error: Exception | str) -> int:
    printing.complain(f"nurserytui: {error}")
    return WRONG_USE


if __name__ == "__main__":
    sys.exit(main())
