"""A sheet as text, 80 columns wide."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.text import Text

from shopday.export.console import plain_text
from shopday.export.rich_parts import heading, rows, text
from shopday.export.sheet_model import PENCIL, Sheet, SheetRow
from shopday.text.terminal import USUAL


def as_text(sheet: Sheet) -> str:
    head = text(f"{sheet.shop}  {sheet.date}")
    parts: list[RenderableType] = [head, Text("=" * min(USUAL, max(1, head.cell_len)))]
    for section in sheet.sections:
        parts.append(heading(section.name))
        parts += [text(f"  {section.told}")] if section.told else []
        ticks = any(row.tick for row in section.rows)
        parts.append(rows((text(_mark(row, ticks)), text(row.what)) for row in section.rows))
    parts += [heading("Notes"), *[Text(f"\n  {'.' * (USUAL - 4)}")] * PENCIL]
    parts.append(Text(f"\nAs planned at {sheet.made}."))
    return plain_text(Group(*parts))


def _mark(row: SheetRow, ticks: bool) -> str:
    """The left column of a row; times are aligned whether there are boxes or not."""
    if not row.at and not ticks:
        return "-"
    return f"{'[ ]' if row.tick else '   '} {row.at}" if ticks else row.at
