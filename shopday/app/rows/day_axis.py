"""Days side by side in cells: where a moment lies on a row. Nights take no room."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.text.cells import fit
from shopday.text.times import MONTH_NAMES, month_text, weekday_text

if TYPE_CHECKING:
    from shopday.planning.encoding.open_hours import ShopDays


@dataclass(frozen=True)
class DayAxis:
    """`count` days from `first`, each `cells` wide.

    opens, closes: the minutes after midnight at a day's edges; earlier and later moments lie on the edge.
    closed:        the days on which nobody works.
    """

    first: dt.date
    count: int
    cells: int
    opens: int
    closes: int
    closed: frozenset[dt.date]

    @classmethod
    def of(cls, days: ShopDays, first: dt.date, cells: int, width: int) -> DayAxis:
        """As many days as have room in `width` cells."""
        spans = [span for of_day in days.shop.hours.values() for span in of_day]
        opens = min((start for start, _ in spans), default=0)
        closes = max((end for _, end in spans), default=1440)
        count = max(1, width // cells)
        dates = (first + dt.timedelta(days=n) for n in range(count))
        return cls(first, count, cells, opens, closes, frozenset(d for d in dates if not days.shop_day(d)))

    @property
    def dates(self) -> list[dt.date]:
        return [self.first + dt.timedelta(days=n) for n in range(self.count)]

    @property
    def last(self) -> dt.date:
        return self.first + dt.timedelta(days=self.count - 1)

    @property
    def width(self) -> int:
        return self.count * self.cells

    def place(self, moment: dt.datetime) -> float:
        """The place in cells from the left edge; below 0 or above `width` for a day that is not shown."""
        minute = moment.hour * 60 + moment.minute
        of_day = min(1.0, max(0.0, (minute - self.opens) / max(1, self.closes - self.opens)))
        return ((moment.date() - self.first).days + of_day) * self.cells

    def end_of(self, date: dt.date) -> int:
        """The last cell of a day."""
        return ((date - self.first).days + 1) * self.cells - 1

    def heads(self, today: dt.date) -> list[Content]:
        """Three lines above the lanes: months, weekdays, days of the month."""
        return [self._months(), self._of_days(today, self._weekday), self._of_days(today, self._number)]

    def _months(self) -> Content:
        """The name of each month over its days, shortened to fit."""
        pieces = []
        for (year, month), of_month in groupby(self.dates, key=lambda date: (date.year, date.month)):
            cells = len(list(of_month)) * self.cells
            long, short = f"{MONTH_NAMES[month - 1]} {year}", MONTH_NAMES[month - 1][:3]
            pieces.append(fit(next((name for name in (long, short) if len(name) < cells), ""), cells))
        return Content.styled("".join(pieces), "bold")

    def _of_days(self, today: dt.date, said: Callable[[dt.date], str]) -> Content:
        cells = ((fit(said(date), self.cells), self._look(date, today)) for date in self.dates)
        return Content.assemble(*cells)

    def _look(self, date: dt.date, today: dt.date) -> str:
        return "bold reverse" if date == today else "$muted on $surface" if date in self.closed else ""

    def _weekday(self, date: dt.date) -> str:
        return weekday_text(date)[: max(1, self.cells - 1)]

    def _number(self, date: dt.date) -> str:
        """The day of the month. Wide days name the month at its beginning; narrow ones number Mondays alone."""
        if self.cells > 6 and (date.day == 1 or date == self.first):
            return f"{date.day} {month_text(date)}"
        return f"{date.day}" if self.cells > 2 or date.weekday() == 0 or date == self.first else ""
