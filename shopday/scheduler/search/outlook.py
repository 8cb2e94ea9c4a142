"""Outlook: how soon a job can be delivered if one of its tasks starts after this much of the maker's working time."""

from __future__ import annotations

from shopday.scheduler.model.calendars import Calendar
from shopday.scheduler.placing.earliest_delivery import EarliestDelivery


class WorkedUntil(dict[int, int]):
    """The open minutes of a calendar before a minute."""

    def __init__(self, calendar: Calendar) -> None:
        super().__init__()
        self.calendar = calendar

    def __missing__(self, minute: int) -> int:
        worked = self[minute] = self.calendar.worked(minute)
        return worked


GRID = 60
"""Minutes of work between two starts for which the delivery is always worked out. Between them it is taken from
theirs, if theirs are equal or as far apart as the starts."""


class Outlook(dict[int, int]):
    """An estimate of the soonest delivery of the job of task `i`, by how much has been worked when it starts."""

    def __init__(self, i: int, calendar: Calendar, reach: EarliestDelivery) -> None:
        super().__init__()
        self.i, self.calendar, self.reach = i, calendar, reach

    def __missing__(self, worked: int) -> int:
        over = worked % GRID
        if over:
            low, high = self[worked - over], self[worked - over + GRID]
            if high - low in (0, GRID):
                return self.setdefault(worked, low if high == low else low + over)
        delivery = self[worked] = self.reach.delivery(self.i, self.calendar.minute_at(worked))
        return delivery
