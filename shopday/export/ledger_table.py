"""The lines of the books in three forms: a table to read, and values for JSON and CSV."""

from __future__ import annotations

from collections.abc import Sequence

from rich.table import Table
from rich.text import Text

from shopday.export.rich_parts import text
from shopday.planning.questions.job_costs import Outlay
from shopday.planning.questions.ledger import By, LedgerRow
from shopday.text.durations import booked_text
from shopday.text.money import money_text
from shopday.text.safe import clean
from shopday.text.sentences import both

LedgerValue = str | int | float | bool | None

NAMES = {
    "day": ("date", "job", "title", "customer", "address", "name"),
    "step": ("job", "title", "customer", "address", "name"),
    "job": ("job", "title", "customer"),
    "customer": ("customer",),
}
"""By kind of line: the columns that name its subject."""
SUMS = ("work", "materials", "bought", "total")


def hours_values(rows: Sequence[LedgerRow], by: By) -> list[dict[str, LedgerValue]]:
    """Whole minutes of people, and the same in hours with two decimals."""
    found = []
    for row in rows:
        values = _named(row, by)
        for kind, outlay in _kinds(row, by):
            values[f"{kind}_minutes"] = outlay.minutes
            values[f"{kind}_hours"] = round(outlay.minutes / 60, 2)
        found.append(values | ({} if by == "day" else {"over": row.over, "unclocked": row.unclocked}))
    return found


def costs_values(rows: Sequence[LedgerRow], by: By) -> list[dict[str, LedgerValue]]:
    """Money with two decimals."""
    return [
        _named(row, by)
        | {f"{kind}_{name}": round(getattr(out, name), 2) for kind, out in _kinds(row, by) for name in SUMS}
        | {"over": row.over, "unclocked": row.unclocked}
        for row in rows
    ]


def _named(row: LedgerRow, by: By) -> dict[str, LedgerValue]:
    return {name: str(getattr(row, name) or "") for name in NAMES[by]}


def _kinds(row: LedgerRow, by: By) -> tuple[tuple[str, Outlay], ...]:
    actual = ("actual", row.actual)
    return (actual,) if by == "day" else (("estimate", row.estimate or Outlay()), actual)


def hours_table(rows: Sequence[LedgerRow], by: By) -> Table:
    """Lengths in hours and minutes, with their sum in the last line."""
    table = _head(by, ("worked",) if by == "day" else ("estimate", "worked"))
    for row in rows:
        lengths = [booked_text(outlay.minutes) for _, outlay in _kinds(row, by)]
        table.add_row(*_about(row, by), *lengths)
    _add_sum(table, by, [booked_text(sum(o.minutes for o in each)) for each in _columns(rows, by)])
    return table


def costs_table(rows: Sequence[LedgerRow], by: By, currency: str) -> Table:
    table = _head(by, ("estimate", "so far"))
    for row in rows:
        table.add_row(*_about(row, by), *(money_text(outlay.total) for _, outlay in _kinds(row, by)))
    _add_sum(table, by, [money_text(sum(o.total for o in each), currency) for each in _columns(rows, by)])
    return table


def gaps_text(rows: Sequence[LedgerRow], priced: bool) -> str:
    """What the sums lack, in sentences; "" if they are whole. priced: they are money."""
    found = []
    if passes := sum(row.unclocked for row in rows):
        many = "a pass" if passes == 1 else f"{passes} passes"
        found.append(f"Not counted: the work of {many} finished without a logged start.")
    if priced and (names := list(dict.fromkeys(name for row in rows for name in row.unpriced))):
        found.append(f"Without a price in [prices] of shop.toml: {both(names)}.")
    return "\n".join(map(clean, found))


def _columns(rows: Sequence[LedgerRow], by: By) -> list[tuple[Outlay, ...]]:
    """The amounts of each column."""
    return list(zip(*([outlay for _, outlay in _kinds(row, by)] for row in rows), strict=True))


def _head(by: By, amounts: Sequence[str]) -> Table:
    table = Table(box=None, padding=(0, 2, 0, 0), header_style="dim")
    for name in ABOUT[by]:
        table.add_column(name, overflow="fold")
    for name in amounts:
        table.add_column(name, justify="right", no_wrap=True)
    return table


ABOUT = {
    "day": ("date", "job", "step"),
    "step": ("job", "step"),
    "job": ("job", "customer"),
    "customer": ("customer",),
}
"""By kind of line: the short columns that name its subject in a table to read."""


def _about(row: LedgerRow, by: By) -> list[Text]:
    said = {"date": str(row.date or ""), "job": row.title, "customer": row.customer or "-", "step": row.name}
    return [text(said[name]) for name in ABOUT[by]]


def _add_sum(table: Table, by: By, sums: Sequence[str]) -> None:
    if sums:
        table.add_row("in all", *[""] * (len(ABOUT[by]) - 1), *sums, style="bold")
