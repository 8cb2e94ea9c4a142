"""Text measured in cells of the terminal: a wide character takes two. Everything is made safe to show."""

from __future__ import annotations

from rich.cells import cell_len, set_cell_size

from shopday.text.safe import clean


def fit(text: str, cells: int) -> str:
    """The text in exactly so many cells: padded, or cut with an ellipsis."""
    shown = clean(text)
    if cells <= 0:
        return ""
    if cell_len(shown) <= cells:
        return shown + " " * (cells - cell_len(shown))
    return set_cell_size(set_cell_size(shown, cells - 1).rstrip() + "…", cells)


def cut(text: str, cells: int) -> str:
    """The text in at most so many cells."""
    return fit(text, cells).rstrip() if cell_len(clean(text)) > cells else clean(text)


def bar(share: float, cells: int) -> str:
    """How far along (0 to 1), as a filled bar."""
    full = round(max(0.0, min(1.0, share)) * cells)
    return "━" * full + "┄" * (cells - full)
