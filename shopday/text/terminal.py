"""The width of what is printed."""

from __future__ import annotations

import os
from typing import TextIO

USUAL, NARROWEST = 80, 20
"""Columns of a pipe or a file, and those below which nothing can be read."""
WIDEST = 4
"""Digits of the widest terminal."""


def size_set(name: str) -> int | None:
    """The number in COLUMNS or LINES; None if it is missing or no number."""
    text = os.environ.get(name, "")
    is_size = text.isascii() and text.isdigit() and len(text) <= WIDEST
    return (int(text) or None) if is_size else None


def columns(file: TextIO) -> int:
    """The width: COLUMNS, else that of the terminal, else 80."""
    width = size_set("COLUMNS")
    if width is None:
        try:
            width = os.get_terminal_size(file.fileno()).columns
        except (OSError, ValueError):  # no terminal, or nothing that has a number
            width = USUAL
    return max(NARROWEST, width)
