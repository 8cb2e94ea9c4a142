"""Running one command: the one place that knows stderr and exit statuses."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Sequence
from importlib import import_module

from shopday.cli.commands import COMMANDS
from shopday.cli.parser import parse
from shopday.journal.errors import JournalError
from shopday.shop.faults import ShopdayError
from shopday.text.safe import clean

DONE, WRONG, UNPLACED = 0, 2, 3
STOPPED = 130


def run_command(argv: Sequence[str]) -> int:
    """The exit status. Whatever a person did wrong is one line a fault on stderr."""
    os.environ.setdefault(
        "PYDANTIC_DISABLE_PLUGINS", "true"
    )  # looking for some costs 40 ms, and there are none
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a terminal that lacks a sign still gets its answer
    try:
        status = _command(argv)
        sys.stdout.flush()
        return status
    except BrokenPipeError:  # whoever read the answer has read enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except KeyboardInterrupt:
        return STOPPED
    except (ShopdayError, JournalError) as error:
        return _wrong(str(error))
    except OSError as error:
        return _wrong(f"{error.filename or 'shopday'}: {error.strerror or error}")


def _command(argv: Sequence[str]) -> int:
    args = parse(argv)
    module, function = COMMANDS[args.command].code.split(":") if args.command else ("front", "app")
    status: int = getattr(import_module(f"shopday.cli.{module}"), function)(args)
    return status


def _wrong(text: str) -> int:
    for line in text.splitlines():
        print(clean(line), file=sys.stderr)
    return WRONG
