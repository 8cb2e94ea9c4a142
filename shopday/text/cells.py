"""Text measured in cells of the terminal, where a wide character takes two. Everything is made safe to show."""

from __future__ import annotations

from collections.abc import Iterator

from rich.cells import cell_len, set_cell_size

from shopday.text.safe import clean
from shopday.text.times import DATE

GLUE = "\xa0"
"""Stands for the blanks in a date while a text is broken into words; `clean` leaves none."""


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
    """The text broken between words into lines of this many cells; lines after the first are indented by `indent`. A
    date stays in one line."""
    lines = [""]
    for word in _words(clean(text), cells):
        for piece in _pieces(word, max(1, cells)):
            if not lines[-1]:
                lines[-1] = piece
            elif cell_len(lines[-1]) + 1 + cell_len(piece) <= cells:
                lines[-1] += f" {piece}"
            else:
                lines.append(piece)
    return ("\n" + " " * indent).join(lines)


def _words(text: str, cells: int) -> Iterator[str]:
    """The words; a date that fits into a line is one."""
    for word in DATE.sub(lambda date: date[0].replace(" ", GLUE), text).split(" "):
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
