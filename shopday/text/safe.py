"""Makes text that a person typed safe to show: one line, without characters that control a terminal."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

JOINER = "\u200d"
"""Joins the parts of one emoji; shown as it is, though not printable by itself."""
INVISIBLE = "\u00ad\u200b\u2060\ufeff"
"""Invisible hints for line breaks, pasted in from pages and mails."""


def clean(text: str) -> str:
    r"""The text with control characters written out ("\x1b"), so that none reaches the terminal. Every kind of blank is a
    plain one."""
    return "".join(c if c.isprintable() or c == JOINER else _written(c) for c in text)


def clean_lines(lines: Iterable[str]) -> str:
    return "\n".join(map(clean, lines))


def _written(char: str) -> str:
    if char in INVISIBLE:
        return ""
    if unicodedata.category(char) == "Zs":
        return " "
    return char.encode("unicode_escape").decode()
