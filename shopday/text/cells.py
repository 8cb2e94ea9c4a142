"""Text measured in cells of the terminal, where a wide character takes two. Everything is made safe to show."""

from __future__ import annotations

import re
from collections.abc import Iterator

from rich.cells import cell_len, set_cell_size

from shopday.text.safe import clean
from shopday.text.times import DATE

GLUE = "\xa0"
"""Stands for the blanks in what stays in one line while a text is broken into words; `clean` leaves none."""
WHOLE = re.compile(rf"{DATE.pattern}|\(\d+ of \d+\)|\d (?:%|[A-Z]{{1,3}}\b)")
"""What stays in one line: a date, which pass it is, a number with its sign or currency."""


def fit(text: str, cells: int) -> str:
    """The text in exactly this many cells: padded, or cut with an ellipsis."""
    shown = clean(text)
    if cells <= 0:
        return ""
    if cell_len(shown) <= cells:
        return shown + " " * (cells - cell_len(shown))
    return set_cell_size(set_cell_size(shown, cells - 1).rstrip() + "…", cells)


def cut(text: str, cells: int) -> str:
    """The text in at most this many cells."""
    return fit(text, cells).rstrip() if cell_len(clean(text)) > cells else clean(text)


def wrapped(text: str, cells: int, indent: int = 0) -> str:
    """The text broken between words into lines of this many cells; lines after the first are indented by `indent`. What
    is WHOLE stays in one line, and the last line is more than one word if it can be."""
    lines: list[list[str]] = [[]]
    for word in _words(clean(text), cells):
        for piece in _pieces(word, max(1, cells)):
            if lines[-1] and cell_len(" ".join([*lines[-1], piece])) > cells:
                lines.append([])
            if lines[-1] or piece:
                lines[-1].append(piece)
    if len(lines) > 1 and len(lines[-2]) > 2 and " " not in " ".join(lines[-1]):
        _join_the_last(lines, cells)
    return ("\n" + " " * indent).join(" ".join(line) for line in lines)


def _join_the_last(lines: list[list[str]], cells: int) -> None:
    """Take the word before into the last line, if it fits."""
    if cell_len(f"{lines[-2][-1]} {lines[-1][0]}") <= cells:
        lines[-1].insert(0, lines[-2].pop())


def _words(text: str, cells: int) -> Iterator[str]:
    """The words; what is WHOLE and fits into a line is one."""
    for word in WHOLE.sub(lambda whole: whole[0].replace(" ", GLUE), text).split(" "):
        whole = word.replace(GLUE, " ")
        yield from [whole] if cell_len(whole) <= cells else whole.split(" ")


def _pieces(word: str, cells: int) -> Iterator[str]:
    """A word too long for a line, in pieces that fit."""
    while cell_len(word) > cells:
        piece = set_cell_size(word, cells).rstrip() or word[:1]
        yield piece
        word = word[len(piece) :]
    yield word


def bar(share: float, cells: int) -> str:
    """A bar that shows how far along something is (0 to 1)."""
    full = round(max(0.0, min(1.0, share)) * cells)
    return "━" * full + "┄" * (cells - full)
