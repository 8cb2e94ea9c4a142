"""The standard streams, which a program may find closed, full, or unable to show a sign."""

from __future__ import annotations

import codecs
import io
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stdout, suppress

from shopday.text import terminal
from shopday.text.safe import clean
from shopday.text.signs import LETTERS


def prepare_streams() -> None:
    """Make every stream usable, and drop a width that is no number."""
    _open_closed()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=LACKING)
    for name in ("COLUMNS", "LINES"):
        if terminal.size_set(name) is None:
            os.environ.pop(name, None)


def _plain(error: UnicodeError) -> tuple[str, int]:
    """A terminal that lacks a sign still gets its answer, with letters for the signs that have one."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    lacking = error.object[error.start : error.end]
    return "".join(LETTERS.get(sign, "?") for sign in lacking), error.end


LACKING = "shopday-letters"
codecs.register_error(LACKING, _plain)


def _open_closed() -> None:
    """Open closed streams on the null device. Otherwise the next opened file would get the number of a stream, and
    be printed into."""
    while (number := os.open(os.devnull, os.O_RDWR)) <= 2:
        pass
    os.close(number)
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, os.fdopen(os.open(os.devnull, os.O_RDWR), mode))


def give_up_stdout() -> None:
    """Discard what is still to be printed: nobody reads it, or there is no room for it."""
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


COLOURS = {"always": ("FORCE_COLOR", "NO_COLOR"), "never": ("NO_COLOR", "FORCE_COLOR")}
"""The variable that says so, and the one that says the opposite."""


def choose_colour(when: str) -> None:
    """Use colours "always", "never", or "auto": as the terminal and the variables say."""
    if when in COLOURS:
        said, opposite = COLOURS[when]
        os.environ[said] = "1"
        os.environ.pop(opposite, None)


@contextmanager
def saying_nothing() -> Iterator[None]:
    """Print neither answers nor remarks, but still faults."""
    global _quiet
    with open(os.devnull, "w", encoding="utf-8") as nowhere, redirect_stdout(nowhere):
        _quiet = True
        try:
            yield
        finally:
            _quiet = False


_quiet = False


def tells_beside() -> bool:
    """True if remarks may be printed besides the answer."""
    return not _quiet


def tell_beside(text: str) -> None:
    """Print a remark, neither answer nor fault, to stderr."""
    if tells_beside():
        print(clean(text), file=sys.stderr)
