"""Rows of Ahead: a lane, and below it the delivery of its job or the load of each day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.app.rows.delivery_strip import draw_delivery
from shopday.app.rows.lane_drawing import Drawing, draw_lane, draw_load
from shopday.app.widgets.row_list import Row
from shopday.planning.odds.distributions import percent
from shopday.text.cells import fit, wrapped
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.app.rows.day_axis import DayAxis
    from shopday.app.rows.lanes import Lane, LaneStep
    from shopday.planning.odds.delivery_odds import JobOdds, Odds
    from shopday.planning.plan import JobRow
    from shopday.planning.questions.loads import Load


LABELS, NARROWEST = ((70, 22), (54, 18)), 13
"""The width of names, by the least width of rows; and that in narrower ones."""
NAME_LINES = 3
"""The most lines of a name."""


def label_cells(width: int) -> int:
    """The width of the names at the left, for rows of this width."""
    return next((cells for least, cells in LABELS if width >= least), NARROWEST)


class LaneRows:
    """Draws the rows of lanes. lines: lines per lane, 1 to 3.

    With 1 the delivery of a job is drawn on its lane where that is free; with 3 an empty line separates the lanes. A
    name that is too long for its line takes more of them.
    Loads always have a line of their own.
    """

    def __init__(
        self, axis: DayAxis, now: dt.datetime, odds: Odds | None, loads: Mapping[str, Load], lines: int
    ) -> None:
        self.axis, self.now, self.odds, self.loads, self.lines = axis, now, odds, loads, lines
        self._rows: dict[tuple[str, LaneStep | None], Row] = {}

    def row(self, lane: Lane, chosen: LaneStep | None) -> Row:
        """The row of a lane. It is kept by chosen step: when the cursor moves, only two lanes change."""
        key = lane.key, chosen
        if key not in self._rows:
            drawn: dict[int, Content] = {}

            def draw(width: int) -> Content:
                if width not in drawn:
                    drawn[width] = self._drawn(lane, chosen, width)
                return drawn[width]

            self._rows[key] = Row(lane.key, draw, subject=lane)
        return self._rows[key]

    def _drawn(self, lane: Lane, chosen: LaneStep | None, width: int) -> Content:
        label = label_cells(width)
        drawing = draw_lane(lane, self.axis, self.now, chosen)
        if self.lines == 1 and lane.row is not None:
            self._deliver(lane.row, drawing, free=True)
        named = wrapped(lane.label, label - 1).split("\n")[:NAME_LINES]
        left, right = [(line, "bold") for line in named], [drawing]
        if (load := self.loads.get(lane.key)) is not None and any(load.taken.values()):
            right.append(draw_load(load, self.axis, self.now))
        elif self.lines > 1 and lane.row is not None:
            left.append(_promised(lane.row, self._odds(lane.row), self.now.date(), label))
            right.append(self._delivery(lane.row))
        empty = Drawing(self.axis)
        empty.mark_now(self.now)
        height = max(len(left), len(right) + (self.lines > 2))
        left += [("", "")] * (height - len(left))
        right += [empty] * (height - len(right))
        return Content("\n").join(
            Content.assemble((fit(said, label - 1) + " ", look), drawn.content())
            for (said, look), drawn in zip(left, right, strict=True)
        )

    def _delivery(self, row: JobRow) -> Drawing:
        drawing = Drawing(self.axis)
        self._deliver(row, drawing, free=False)
        drawing.mark_now(self.now)
        return drawing

    def _deliver(self, row: JobRow, drawing: Drawing, free: bool) -> None:
        """Draw the delivery. free: only into cells without work or wait."""
        axis = self.axis

        def put(cell: int, sign: str, look: str) -> None:
            if 0 <= cell < axis.width and (not free or drawing.signs[cell] in " ·│◆━─"):
                drawing.put(cell, sign, look)

        def place(date: dt.date) -> int:
            return min(axis.width + 1, max(-2, axis.end_of(date)))

        draw_delivery(row, self._odds(row), place, put)

    def _odds(self, row: JobRow) -> JobOdds | None:
        return self.odds.job(row.job) if self.odds is not None else None


def _promised(row: JobRow, odds: JobOdds | None, today: dt.date, cells: int) -> tuple[str, str]:
    """The promise and its chance, and their look, for the place below the name."""
    if row.promise is None:
        return "no promise", "$muted"
    date = date_text(row.promise, today)
    chance = (
        f" {percent(odds.promise, in_column=True)}" if odds is not None and odds.promise is not None else ""
    )
    late = "$urgent" if row.late_minutes else "$muted"
    return f"{date if cells > len(date) + 7 else date.partition(' ')[2]}{chance}", late
