"""The day sheet as a page to print: one side of A4 or letter."""

from __future__ import annotations

import math
from collections.abc import Iterable
from html import escape

from shopday.export.day_sheet import DaySheet, SheetRow

STYLE = """
@page { size: auto; margin: 12mm; }
* { box-sizing: border-box; }
body { font: %(size)spt/1.3 "Helvetica Neue", Arial, sans-serif; color: #000; background: #fff; margin: 0 auto;
       max-width: 186mm; }
header { display: flex; justify-content: space-between; align-items: baseline; border-bottom: 1.5pt solid #000; }
h1 { font-size: 1.6em; margin: 0; } header p { font-size: 1.3em; margin: 0; }
h2 { font-size: 1.1em; margin: .8em 0 .2em; }
table { border-collapse: collapse; width: 100%%; }
td { padding: .15em .6em .15em 0; vertical-align: top; border-bottom: .5pt solid #bbb; overflow-wrap: anywhere; }
td.box { width: 1.6em; } td.box::before { content: ""; display: inline-block; width: .9em; height: .9em;
       border: 1pt solid #000; }
td.at { width: 8.5em; white-space: nowrap; font-variant-numeric: tabular-nums; font-weight: bold; }
ul { margin: 0; padding-left: 1.2em; } li { overflow-wrap: anywhere; }
.pencil { border-bottom: .5pt solid #888; height: 2em; }
footer { margin-top: .6em; font-size: .8em; color: #444; }
@media screen { body { padding: 12mm; } }
"""

LINES_OF_A_PAGE = 38
"""Lines that fit on the shorter, letter, page at the largest size, with the notes."""
SIZES = (11.0, 6.0)
"""Largest and smallest size of type, in points."""
LETTERS = 85
"""Letters of a line at the largest size."""


def as_html(sheet: DaySheet) -> str:
    """The page, whole in itself: nothing is fetched from anywhere."""
    lists = (("To mix", sheet.mixes), ("To order", sheet.orders), ("Mind", sheet.cautions))
    body = [
        f"<header><h1>{escape(sheet.shop)}</h1><p>{escape(sheet.date)}</p></header>",
        _section(
            "To do", _table(sheet.work, box=True) or "<p>Nothing is planned for the rest of the day.</p>"
        ),
        *(_section(name, _list(lines)) for name, lines in lists[:2] if lines),
        _section("Waiting on", _table(sheet.waiting)) if sheet.waiting else "",
        *(_section(name, _list(lines)) for name, lines in lists[2:] if lines),
        _section("Notes", '<div class="pencil"></div>' * 4),
        f"<footer>As planned at {escape(sheet.made)}.</footer>",
    ]
    head = (
        '<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(sheet.shop)}, {escape(sheet.date)}</title><style>{STYLE % {'size': _size(sheet)}}</style>"
    )
    return (
        f'<!doctype html>\n<html lang="en"><head>{head}</head><body>\n{chr(10).join(body)}\n</body></html>\n'
    )


def _size(sheet: DaySheet) -> float:
    """The size of type at which everything stays on one page."""
    told = [what for _, what in (*sheet.work, *sheet.waiting)]
    told += [*sheet.mixes, *sheet.orders, *sheet.cautions]
    lines = sum(1 + len(line) // LETTERS for line in told) + 12
    largest, smallest = SIZES
    fitting = largest * math.sqrt(LINES_OF_A_PAGE / lines)
    return round(max(smallest, min(largest, fitting)), 1)


def _section(name: str, inner: str) -> str:
    return f"<h2>{escape(name)}</h2>\n{inner}"


def _table(rows: Iterable[SheetRow], box: bool = False) -> str:
    mark = '<td class="box"></td>' if box else ""
    cells = [f'<tr>{mark}<td class="at">{escape(at)}</td><td>{escape(what)}</td></tr>' for at, what in rows]
    return f"<table>{''.join(cells)}</table>" if cells else ""


def _list(lines: Iterable[str]) -> str:
    return f"<ul>{''.join(f'<li>{escape(line)}</li>' for line in lines)}</ul>"
