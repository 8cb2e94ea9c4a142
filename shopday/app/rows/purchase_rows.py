"""Rows of To get as a table: what, from whom, how it stands, when it is expected, and what it is for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest
from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.content import Content

from shopday.app.rows.day_rows import day_heading, step_key
from shopday.app.widgets.row_list import Row
from shopday.planning.questions.purchase_text import call_text
from shopday.text.cells import fit, wrapped
from shopday.text.signs import DONE, OTHER, URGENT, WAIT
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.planning.questions.material_needs import MaterialNeed
    from shopday.planning.questions.purchase_text import Purchase

Cell = tuple[str, int, str]
"""Words, the width of their column in cells, and their look."""

NARROW, WIDE = 70, 100
"""Widths in cells: below the first there are no columns; from the second most things take one line."""
SIGN, GAP = 2, 2
"""Cells of the sign before a row, and between columns."""
ORDER_HEADS = "To order, expect, send or have back", "what", "from", "to do", "expected", "for"
NEED_HEADS = "To have for the coming week", "what", "", "", "first used", "with it"
TO_DO = {"to order": "order", "to send": "send", "expected": "be sure of it"}
"""What is still to be done, by state."""


@dataclass(frozen=True)
class TableColumns:
    """The columns of both tables.

    longest: the cells of the longest text of each: what, from, to do, expected, for.
    """

    longest: tuple[int, ...]

    def widths(self, width: int) -> tuple[int, ...]:
        """The widths of the columns, each with the gap to the next one: a share of the room, but no more than its
        longest text needs; what that leaves goes to those that need more."""
        to_do, date = (30, 22) if width >= WIDE else (18, 13)
        rest = width - SIGN - to_do - date
        what, source = rest * 3 // 10, rest * 5 // 18
        shares = what, source, to_do, date, rest - what - source
        needs = [cells + GAP for cells in self.longest]
        widths = [min(share, need) for share, need in zip(shares, needs, strict=True)]
        for place, need in enumerate(needs):
            widths[place] += min(need - widths[place], width - SIGN - sum(widths))
        return *widths[:-1], width - SIGN - sum(widths[:-1])


def to_get_rows(orders: Sequence[Purchase], needs: Sequence[MaterialNeed], today: dt.date) -> list[Row]:
    """What has to be ordered, sent or had back, and what the coming week uses up."""
    texts = [ORDER_HEADS[1:], *(_texts(order, today) for order in orders)]
    at = TableColumns(tuple(max(map(cell_len, column)) for column in zip(*texts, strict=True)))
    asked = [_order(order, today, at) for order in orders]
    used = [_need(need, place, today, at) for place, need in enumerate(needs)]
    return [*_section("orders", ORDER_HEADS, asked, at), *_section("needs", NEED_HEADS, used, at)]


def _texts(order: Purchase, today: dt.date) -> tuple[str, ...]:
    return order.thing, order.source, _to_do(order, today), _expected(order, today), order.needed_for


def _section(key: str, heads: tuple[str, ...], rows: list[Row], at: TableColumns) -> list[Row]:
    if rows:
        return [_heading(key, at, *heads), *rows]
    nothing = Row(f"no-{key}", lambda width: Content("  nothing"), heading=True)
    return [day_heading(key, heads[0]), nothing]


def _in_columns(sign: str, look: str, *cells: Cell) -> Content:
    """Each cell wrapped in its column, beside the others."""
    gaps = [GAP] * (len(cells) - 1) + [0]
    columns = [
        wrapped(said, width - gap).split("\n") for (said, width, _), gap in zip(cells, gaps, strict=True)
    ]
    lines = [
        Content.assemble(
            *((fit(said, width), look) for said, (_, width, look) in zip(line, cells, strict=True))
        )
        for line in zip_longest(*columns, fillvalue="")
    ]
    signs = [(sign, look), *[("", "")] * (len(lines) - 1)]
    return Content("\n").join(
        Content.assemble((fit(said, SIGN), how), line) for (said, how), line in zip(signs, lines, strict=True)
    )


def _folded(sign: str, look: str, width: int, head: Content, *sentences: str) -> Content:
    below = [Content(" " * SIGN + wrapped(said, width - SIGN, SIGN)) for said in sentences if said]
    return Content("\n").join([Content.assemble((fit(sign, SIGN), look), head), *below])


def _heading(key: str, at: TableColumns, title: str, *heads: str) -> Row:
    """A heading, with the heads of the columns below it."""
    look = "bold $primary"

    def draw(width: int) -> Content:
        if width < NARROW:
            return Content.styled(fit(title, width), look)
        widths = at.widths(width)
        columns = _in_columns(
            "", "", *((said, cells, "$muted") for said, cells in zip(heads, widths, strict=True))
        )
        return Content.assemble((fit(title, width), look), "\n", columns)

    return Row(key, draw, heading=True)


def _order(order: Purchase, today: dt.date, at: TableColumns) -> Row:
    """Urgent ones are marked by a sign, not by colour alone."""
    sign, look = _sign(order)
    _, _, to_do, expected, _ = texts = _texts(order, today)
    looks = "bold", "", look, look if order.late else "", "$muted"

    def draw(width: int) -> Content:
        if width < NARROW:
            head = Content.styled(wrapped(order.thing, width - SIGN, SIGN), "bold")
            source = f"from {order.source}" if order.source else ""
            when = expected if order.state == "here" else f"expected {expected}"
            return _folded(sign, look, width, head, source, to_do, when, f"for {order.needed_for}")
        return _in_columns(sign, look, *zip(texts, at.widths(width), looks, strict=True))

    return Row(step_key(order.step), draw, subject=order.step)


def _sign(order: Purchase) -> tuple[str, str]:
    if order.late:
        return URGENT, "$urgent"
    if order.urgent:
        return "~", "bold $warning"
    return DONE if order.state == "here" else OTHER if order.state in TO_DO else WAIT, ""


def _to_do(order: Purchase, today: dt.date) -> str:
    """What is to be done by when, or what has been: "order by Thu 3 Dec", "ordered Mon 9 Nov, call today"."""
    if order.state in TO_DO:
        verb = TO_DO[order.state]
        if order.by is None:
            return f"{verb}, no hurry"
        day = date_text(order.by, today)
        return f"{verb} now: {day} was the last day" if order.by < today else f"{verb} by {day}"
    left = "left" if order.step.kind == "away" else "ordered"
    since = date_text(order.ordered, today) if order.ordered else ""
    asked = f"asked {date_text(order.asked, today)}" if order.asked else ""
    began = f"{left} {since}" if since else left
    state = {"overdue": f"overdue, {began}", "here": "here"}.get(order.state, began)
    return ", ".join(filter(None, (state, asked, call_text(order.call_by, today))))


def _expected(order: Purchase, today: dt.date) -> str:
    """The day it is expected or came, and the day by which it is needed if it is under way."""
    day = date_text(order.planned, today)
    if order.state == "here":
        return f"came {day}"
    if order.state in TO_DO or order.by is None:
        return day
    return f"{day}, needed by {date_text(order.by, today)}"


def _need(need: MaterialNeed, place: int, today: dt.date, at: TableColumns) -> Row:
    said, first = str(need.mix or need.name), date_text(need.first.date(), today)
    beside = ", ".join(need.consumables)

    def draw(width: int) -> Content:
        if width < NARROW:
            head = Content(wrapped(said, width - SIGN, SIGN))
            return _folded(
                OTHER, "", width, head, f"first used {first}", f"with it {beside}" if beside else ""
            )
        *left, date, use = at.widths(width)
        return _in_columns(OTHER, "", (said, sum(left), ""), (first, date, ""), (beside, use, "$muted"))

    return Row(f"need#{place}", draw, heading=True)
