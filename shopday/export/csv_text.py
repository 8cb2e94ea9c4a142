"""Tables as CSV by RFC 4180, in UTF-8, for spreadsheets: with the separator they want, and no cell taken for a
formula."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence

from shopday.text.safe import clean

SUMS = ("=", "+", "-", "@")
"""What a spreadsheet takes for the beginning of a formula."""
BYTE_ORDER_MARK = "\ufeff"

Cell = str | int | float | bool | None


def csv_text(
    columns: Sequence[str], rows: Iterable[Mapping[str, Cell]], separator: str = ",", mark: bool = False
) -> bytes:
    """The table with a head line, in bytes.

    mark: begin with a byte-order mark, by which some spreadsheets recognize UTF-8. If the separator is a semicolon,
    numbers have a decimal comma, as the spreadsheets that want it expect.
    """
    paper = io.StringIO(newline="")
    writer = csv.writer(paper, delimiter=separator)
    writer.writerow(columns)
    writer.writerows([_cell(row[name], separator) for name in columns] for row in rows)
    return (BYTE_ORDER_MARK * mark + paper.getvalue()).encode()


def _cell(value: Cell, separator: str) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        said = f"{value:.2f}"
        return said.replace(".", ",") if separator == ";" else said
    if not isinstance(value, str):
        return "" if value is None else str(value)
    said = clean(value)
    return f"'{said}" if said.startswith(SUMS) else said
