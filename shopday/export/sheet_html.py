"""A sheet as a page to print on one side of A4 or of Letter."""

from __future__ import annotations

from html import escape

from shopday.export.sheet_model import PENCIL, Sheet, SheetRow, SheetSection

STYLE = """
@page { size: portrait; margin: 12mm; }
* { box-sizing: border-box; }
body { font: %(size)spt/1.3 "Helvetica Neue", Arial, sans-serif; color: #000; background: #fff; margin: 0 auto;
       max-width: 186mm; }
header { display: flex; justify-content: space-between; align-items: baseline; border-bottom: 1.5pt solid #000; }
h1 { font-size: 1.6em; margin: 0; } header p { font-size: 1.3em; margin: 0; }
h2 { font-size: 1.1em; margin: .8em 0 .2em; }
table { border-collapse: collapse; width: 100%%; }
td { padding: .15em .6em .15em 0; vertical-align: top; border-bottom: .5pt solid #bbb; overflow-wrap: anywhere; }
td.box { width: 1.6em; } td.tick::before { content: ""; display: inline-block; width: .9em; height: .9em;
       border: 1pt solid #000; }
td.at { width: 8.5em; white-space: nowrap; font-variant-numeric: tabular-nums; font-weight: bold; }
ul { margin: 0; padding-left: 1.2em; } li { overflow-wrap: anywhere; }
.pencil { border-bottom: .5pt solid #888; height: 2em; }
footer { margin-top: .6em; font-size: .8em; color: #444; }
@media screen { body { padding: 12mm; } }
"""

WIDE, HIGH = 527.0, 655.0
"""Points between the margins: the width of A4, and the height of Letter less a tenth, as browsers round lines up and
fonts differ."""
LETTER_WIDTH = 0.5
"""The width of a letter in its size; common sans-serif fonts are slightly narrower on average (measured)."""
SIZES = [size / 10 for size in range(110, 49, -1)]
"""Sizes of type in points, the largest first."""


def as_html(sheet: Sheet) -> str:
    """The page, complete in itself: it loads nothing."""
    body = [
        f"<header><h1>{escape(sheet.shop)}</h1><p>{escape(sheet.date)}</p></header>",
        *map(_section, sheet.sections),
        "<h2>Notes</h2>" + '<div class="pencil"></div>' * PENCIL,
        f"<footer>As planned at {escape(sheet.made)}.</footer>",
    ]
    size = next((size for size in SIZES if _height(sheet, size) <= HIGH), SIZES[-1])
    head = (
        '<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(sheet.shop)}, {escape(sheet.date)}</title><style>{STYLE % {'size': size}}</style>"
    )
    return (
        f'<!doctype html>\n<html lang="en"><head>{head}</head><body>\n{chr(10).join(body)}\n</body></html>\n'
    )


def _height(sheet: Sheet, size: float) -> float:
    """The height of the page in points with type of this size, by the style above."""
    head, foot = 1.6 * 1.3 + _lines(sheet.shop + sheet.date, 0.6 * WIDE / size) * 1.3, 1.6
    sections = sum(2.6 + _rows_height(section, size) for section in sheet.sections)
    return (head + sections + 2.6 + PENCIL * 2.1 + foot) * size


def _rows_height(section: SheetSection, size: float) -> float:
    """In letter sizes: a table row has a margin and a line, a list row has neither."""
    if section.told:
        return 1.3 + 2
    listed = _is_list(section)
    room = WIDE / size - (1.2 if listed else 11.3)
    margin = 0 if listed else 0.3 + 0.5 / size
    return sum(_lines(row.what, room) * 1.3 + margin for row in section.rows)


def _lines(said: str, room: float) -> int:
    """The number of lines a text takes in this width; a wide character is two letters wide."""
    wide = sum(2 if ord(char) > 0x2E7F else 1 for char in said)
    return max(
        1, -int(-wide * LETTER_WIDTH // max(room - 2, 1))
    )  # a word that does not fit leaves part of a line empty


def _is_list(section: SheetSection) -> bool:
    return not any(row.at or row.tick for row in section.rows)


def _section(section: SheetSection) -> str:
    name = f"<h2>{escape(section.name)}</h2>\n"
    if section.told:
        return f"{name}<p>{escape(section.told)}</p>"
    if _is_list(section):
        return f"{name}<ul>{''.join(f'<li>{escape(row.what)}</li>' for row in section.rows)}</ul>"
    ticks = any(row.tick for row in section.rows)
    return f"{name}<table>{''.join(_row(row, ticks) for row in section.rows)}</table>"


def _row(row: SheetRow, ticks: bool) -> str:
    box = f'<td class="box{" tick" if row.tick else ""}"></td>' if ticks else ""
    return f'<tr>{box}<td class="at">{escape(row.at)}</td><td>{escape(row.what)}</td></tr>'
