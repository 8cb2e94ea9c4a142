"""Rows of To get as a table: what, from whom, how it stands, when it is expected, and what it is for."""

from __future__ import annotations

import datetime as dt
from itertools import zip_longest
from typing import TYPE_CHECKING

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
SIGN = 2
"""Cells of the sign before a row."""
TO_DO = {"to order": "order", "to send": "send", "expected": "be sure of it"}
"""What is still to be done, by state."""


def purchase_rows(orders: tuple[Purchase, ...], today: dt.date) -> list[Row]:
    heads = "To order, expect, send or have back", "what", "from", "to do", "expected", "for"
    return _section("orders", heads, [_order(row, today) for row in orders])


def need_rows(needs: tuple[MaterialNeed, ...], today: dt.date) -> list[Row]:
    rows = [_need(need, place, today) for place, need in enumerate(needs)]
    heads = "To have for the coming week", "what", "", "", "first used", "with it"
    return _section("needs", heads, rows)


def _section(key: str, heads: tuple[str, ...], rows: list[Row]) -> list[Row]:
    if rows:
        return [_heading(key, *heads), *rows]
    nothing = Row(f"no-{key}", lambda width: Content("  nothing"), heading=True)
    return [day_heading(key, heads[0]), nothing]


def _widths(width: int) -> tuple[int, int, int, int, int]:
    """The widths of the columns, each with the gap to the next one."""
    to_do, date = (30, 22) if width >= WIDE else (17, 12)
    rest = width - SIGN - to_do - date
    what, source = rest * 3 // 10, rest * 5 // 20
    return what, source, to_do, date, rest - what - source


def _in_columns(sign: str, look: str, *cells: Cell) -> Content:
    """Each cell wrapped in its column, beside the others."""
    columns = [wrapped(said, width - 1).split("\n") for said, width, _ in cells]
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


def _heading(key: str, title: str, *heads: str) -> Row:
    """A heading, with the heads of the columns below it."""
    look = "bold $primary"

    def draw(width: int) -> Content:
        if width < NARROW:
            return Content.styled(fit(title, width), look)
        at = _widths(width)
        columns = _in_columns(
            "", "", *((said, cells, "$muted") for said, cells in zip(heads, at, strict=True))
        )
        return Content.assemble((fit(title, width), look), "\n", columns)

    return Row(key, draw, heading=True)


def _order(order: Purchase, today: dt.date) -> Row:
    """Urgent ones are marked by a sign, not by colour alone."""
    sign, look = _sign(order)
    to_do, expected = _to_do(order, today), _expected(order, today)

    def draw(width: int) -> Content:
        if width < NARROW:
            head = Content.styled(wrapped(order.thing, width - SIGN, SIGN), "bold")
            source = f"from {order.source}" if order.source else ""
            when = expected if order.state == "here" else f"expected {expected}"
            return _folded(sign, look, width, head, source, to_do, when, f"for {order.needed_for}")
        what, source_at, to_do_at, date, use = _widths(width)
        return _in_columns(
            sign, look,
            (order.thing, what, "bold"), (order.source, source_at, ""), (to_do, to_do_at, look),
            (expected, date, look if order.late else ""), (order.needed_for, use, "$muted"),
        )  # fmt: skip

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


def _need(need: MaterialNeed, place: int, today: dt.date) -> Row:
    said, first = str(need.mix or need.name), date_text(need.first.date(), today)
    beside = ", ".join(need.consumables)

    def draw(width: int) -> Content:
        if width < NARROW:
            head = Content(wrapped(said, width - SIGN, SIGN))
            return _folded(
                OTHER, "", width, head, f"first used {first}", f"with it {beside}" if beside else ""
            )
        what, source, to_do, date, use = _widths(width)
        return _in_columns(
            OTHER, "", (said, what + source + to_do, ""), (first, date, ""), (beside, use, "$muted")
        )

    return Row(f"need#{place}", draw, heading=True)
