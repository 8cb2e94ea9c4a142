"""The standard streams as a program may find them: closed, full, or unable to show a sign."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stdout, suppress

from shopday.text.safe import clean

WIDEST = 4
"""Digits of the widest terminal."""


def prepare_streams() -> None:
    """Every stream can be used, and a width that is no number is forgotten."""
    _open_closed()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a terminal that lacks a sign still gets its answer
    for name in ("COLUMNS", "LINES"):
        said = os.environ.get(name, "")
        if said and not (said.isascii() and said.isdigit() and 0 < len(said) <= WIDEST and int(said)):
            del os.environ[name]


def _open_closed() -> None:
    """A stream that was closed by whoever started the program leads nowhere: otherwise the next file that is opened
    gets its number, and is printed into."""
    while (number := os.open(os.devnull, os.O_RDWR)) <= 2:
        pass
    os.close(number)
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, os.fdopen(os.open(os.devnull, os.O_RDWR), mode))


def give_up_stdout() -> None:
    """What is still to be printed leads nowhere: nobody reads it, or there is no room for it."""
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


COLOURS = {"always": ("FORCE_COLOR", "NO_COLOR"), "never": ("NO_COLOR", "FORCE_COLOR")}
"""The variable that says so, and the one that says the opposite."""


def choose_colour(when: str) -> None:
    """Colours "always", "never", or "auto": as the terminal and the variables say."""
    if when in COLOURS:
        said, opposite = COLOURS[when]
        os.environ[said] = "1"
        os.environ.pop(opposite, None)


@contextmanager
def saying_nothing() -> Iterator[None]:
    """Nothing is answered, nor told beside it; faults are."""
    global _quiet
    with open(os.devnull, "w", encoding="utf-8") as nowhere, redirect_stdout(nowhere):
        _quiet = True
        try:
            yield
        finally:
            _quiet = False


_quiet = False


def tells_beside() -> bool:
    """May something be said beside the answer?"""
    return not _quiet


def tell_beside(text: str) -> None:
    """Something worth knowing that is no answer and no fault, on stderr."""
    if tells_beside():
        print(clean(text), file=sys.stderr)
