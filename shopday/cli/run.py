"""Runs one command; the only module that knows stderr and exit statuses."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, nullcontext, suppress
from importlib import import_module

from shopday.cli.commands import COMMANDS
from shopday.cli.parser import parse
from shopday.cli.streams import choose_colour, give_up_stdout, prepare_streams, saying_nothing
from shopday.shop.faults import ShopFaults
from shopday.text.safe import clean
from shopday.text.wrong_input import ErrorWithRemedy

DONE, WRONG, UNPLACED = 0, 2, 3
STOPPED = 130


class Unsaid(Exception):
    """Something was written, but the answer could not be shown; the message says why."""


@contextmanager
def answering() -> Iterator[None]:
    """What is done in this context only tells the answer; the writing is done, and counts whatever happens now."""
    try:
        yield
        sys.stdout.flush()
    except BrokenPipeError:
        raise
    except ErrorWithRemedy as error:
        raise Unsaid(str(error)) from error
    except OSError as error:
        raise Unsaid((error.strerror or str(error)).lower()) from error
    except KeyboardInterrupt:
        raise Unsaid("stopped") from None


def run_command(argv: Sequence[str]) -> int:
    """Run a command and return its exit status. Mistakes of the person are reported on stderr, one line each."""
    os.environ.setdefault(
        "PYDANTIC_DISABLE_PLUGINS", "true"
    )  # looking for plugins costs 40 ms, and there are none
    prepare_streams()
    try:
        status = _command(argv)
        sys.stdout.flush()
        return status
    except BrokenPipeError:  # the reader has read enough
        give_up_stdout()
        return DONE
    except KeyboardInterrupt:
        return STOPPED
    except Unsaid as why:
        give_up_stdout()
        _tell(f"It is written down, but the answer could not be given: {why}")
        return DONE
    except ErrorWithRemedy as error:
        if "--json" in argv:
            _show_faults(error)
        return _wrong(str(error))
    except OSError as error:
        give_up_stdout()
        return _wrong(f"{error.filename or 'shopday'}: {error.strerror or error}")


def _command(argv: Sequence[str]) -> int:
    args = parse(argv)
    module, function = (
        COMMANDS[args.command].code.split(":") if args.command else ("app_commands", "app_command")
    )
    choose_colour(args.color)
    with saying_nothing() if args.quiet else nullcontext():
        status: int = getattr(import_module(f"shopday.cli.{module}"), function)(args)
    return status


def _show_faults(error: ErrorWithRemedy) -> None:
    """Print the faults as JSON if JSON was asked for, even if there is no answer."""
    from shopday.export import answers_json

    if isinstance(error, ShopFaults):
        found = [answers_json.fault(fault) for fault in error.faults]
    else:
        found = [{"file": error.file or None, "line": None, "wrong": error.wrong, "right": error.right}]
    with suppress(OSError):
        answers_json.moment_json({"shopday": answers_json.VERSION, "faults": found})


def _wrong(text: str) -> int:
    _tell(text)
    return WRONG


def _tell(text: str) -> None:
    with suppress(OSError):  # if nobody reads it, the exit status must do
        for line in text.splitlines():
            print(clean(line), file=sys.stderr)
