"""The delivery of a job as a picture: the planned day, how late it may become, and the promise."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.text.signs import DELIVERY, PROMISED

if TYPE_CHECKING:
    from shopday.planning.odds.delivery_odds import JobOdds
    from shopday.planning.plan import JobRow

LIKELY, POSSIBLE = "━", "─"
STRIP_LEGEND = (
    (DELIVERY, "delivery"),
    (LIKELY, "80 % sure"),
    (POSSIBLE, "95 %"),
    (PROMISED, "promised"),
)
"""Each sign and its meaning."""

Place = Callable[[dt.date], int]
"""Returns the cell of a date; for a day that is not shown, one at least two cells outside."""
Put = Callable[[int, str, str], None]
"""Puts a sign with a look into a cell."""


def draw_delivery(row: JobRow, odds: JobOdds | None, place: Place, put: Put) -> None:
    """Draw a thick line from the planned delivery to the day that holds with 80 %, a thin one to that with 95 %.
    Cells after the promise have the look of lateness."""
    if row.delivery is None:
        return
    start, promised = _apart(row.delivery.date(), row.promise, place)
    ends = _ends(odds, place)
    for sign, end in ((POSSIBLE, ends[1]), (LIKELY, ends[0])):
        for cell in range(start, end + 1):
            late = promised is not None and cell > promised
            put(cell, sign, "$urgent" if late else "$success")
    late = row.promise is not None and row.delivery.date() > row.promise
    put(start, DELIVERY, "$urgent" if late else "bold $success")
    if promised is not None:
        put(promised, PROMISED, "bold $accent")


def strip(row: JobRow, odds: JobOdds | None, today: dt.date, last: dt.date, cells: int) -> Content:
    """The days from today to the last one, on so many cells."""
    signs, looks = [" "] * cells, [""] * cells
    days = max(1, (last - today).days)

    def put(cell: int, sign: str, look: str) -> None:
        if 0 <= cell < cells - 1:  # a gap before the next column
            signs[cell], looks[cell] = sign, look

    def place(date: dt.date) -> int:
        return min(cells, max(0, round((date - today).days * (cells - 2) / days)))

    if not row.delivered:
        draw_delivery(row, odds, place, put)
    return Content.assemble(*zip(signs, looks, strict=True))


def own_strip(row: JobRow, odds: JobOdds | None, today: dt.date, cells: int) -> Content:
    """The days from today to the last one that matters to a job."""
    known = (row.promise, row.delivery, odds.p95 if odds else None)
    dates = [date.date() if isinstance(date, dt.datetime) else date for date in known if date is not None]
    return strip(row, odds, today, max(dates, default=today), cells)


def _apart(delivery: dt.date, promise: dt.date | None, place: Place) -> tuple[int, int | None]:
    """The cells of delivery and promise; if both are the same, they are put side by side in their order."""
    start = place(delivery)
    promised = place(promise) if promise is not None else None
    if promise is None or promised != start:
        return start, promised
    if delivery <= promise:
        return start, start + 1
    return (start, start - 1) if start else (1, 0)


def _ends(odds: JobOdds | None, place: Place) -> tuple[int, int]:
    """The cells of the days that hold with 80 and 95 %; far to the right for a day that is not known."""
    if odds is None:
        return -1, -1
    likely, possible = (place(at.date() if at else dt.date.max) for at in (odds.p80, odds.p95))
    return likely, possible
