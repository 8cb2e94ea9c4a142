"""What somebody typed, made fit to be shown: one line, with nothing in it that steers a terminal."""

from __future__ import annotations

from collections.abc import Iterable

JOINER = "\u200d"
"""Holds the pieces of one emoji together: shown as it is, though not printable by itself."""


def clean(text: str) -> str:
    r"""The text with control characters written out ("\x1b"), so that none reaches the terminal."""
    return "".join(c if c.isprintable() or c == JOINER else _written(c) for c in text)


def clean_lines(lines: Iterable[str]) -> str:
    return "\n".join(map(clean, lines))


def _written(char: str) -> str:
    return char.encode("unicode_escape").decode()
