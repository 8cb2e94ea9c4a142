"""The parts of pictures of plans: SVG on white paper, with no font of its own."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from shopday.text.safe import clean

WORK, WAIT, LINE = "#1f4e5f", "#c9d8dd", "#bbb"
"""Colours of work, of waits, and of the lines between days."""


def drawing(wide: float, high: float, title: str, parts: Iterable[str]) -> str:
    """Return a whole picture with its title at the top."""
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}" height="{high}" '
            'font-family="sans-serif" font-size="12">',
            f"<title>{plain(title)}</title>",
            f'<rect width="{wide}" height="{high}" fill="#fff"/>',
            words(8, 20, title, 'font-size="15" font-weight="bold"'),
            *parts,
            "</svg>\n",
        ]
    )


def words(x: float, y: float, said: str, look: str = "") -> str:
    """Return a line of text; look: more attributes."""
    return f'<text x="{x:.1f}" y="{y:.1f}" {look}>{plain(said)}</text>'


def svg_bar(left: float, right: float, y: float, high: float, colour: str, said: str) -> str:
    """Return a bar that tells what it is when it is pointed at; never too thin to be seen."""
    wide = max(2.0, right - left)
    return (
        f'<rect x="{left:.1f}" y="{y}" width="{wide:.1f}" height="{high}" fill="{colour}">'
        f"<title>{plain(said)}</title></rect>"
    )


def plain(said: str) -> str:
    """Return the text as it may stand between tags."""
    return escape(clean(said))
