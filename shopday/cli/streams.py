"""The standard streams as a program may find them: closed, full, or unable to show a sign."""

from __future__ import annotations

import io
import os
import sys
from contextlib import suppress

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
