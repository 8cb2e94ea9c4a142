"""Clocks: how unattended time passes if it is not plain elapsed minutes.

A later start never ends earlier, except for weekdays counted across a weekend (see `Clock.soonest`).
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from dataclasses import dataclass, field
from typing import NamedTuple, Protocol

DAY = 1440
EPOCH_WEEKDAY = 3
"""The epoch was a Thursday (Monday is 0)."""

ROUNDING_TOLERANCE = 1e-9
"""Tolerance for the rounding of float minutes: this close to done is done."""


class Clock(Protocol):
    """Counts units of time; `amount` units that begin at minute `start` are over at a later minute."""

    def after(self, start: int, amount: int) -> int:
        """The first whole minute at which `amount` has passed since `start`."""
        ...

    def latest_start(self, end: int, amount: int) -> int:
        """A start no later than every start whose `amount` is over at or after `end`."""
        ...

    def soonest(self, start: int, amount: int) -> int:
        """The earliest end over all starts at or after this one."""
        ...


@dataclass(frozen=True, slots=True)
class RatedClock:
    """Runs at a rate that changes at given minutes: cures run faster when warm, slower when cold.

    edges: minutes at which the rate changes, ascending.
    rates: units per minute, positive. rates[i] holds from edges[i-1] to edges[i], the first before all edges and the
           last after them, so there is one more rate than edges.
    """

    edges: tuple[int, ...]
    rates: tuple[float, ...]
    passed: list[float] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if len(self.rates) != len(self.edges) + 1 or min(self.rates) <= 0:
            raise ValueError("one positive rate more than edges")
        total, passed = 0.0, []
        for i, edge in enumerate(self.edges):
            if i:
                total += (edge - self.edges[i - 1]) * self.rates[i]
            passed.append(total)
        object.__setattr__(self, "passed", passed)

    def reading(self, minute: float) -> float:
        """Units passed at a minute, counted from the first edge (negative before it)."""
        i = bisect_right(self.edges, minute)
        if i == 0:
            return (minute - self.edges[0]) * self.rates[0] if self.edges else minute * self.rates[0]
        return self.passed[i - 1] + (minute - self.edges[i - 1]) * self.rates[i]

    def minute_of(self, reading: float) -> float:
        """The (fractional) minute at which the clock shows this reading."""
        i = bisect_left(self.passed, reading)
        if i == 0:
            edge = self.edges[0] if self.edges else 0
            return edge + reading / self.rates[0]
        return self.edges[i - 1] + (reading - self.passed[i - 1]) / self.rates[i]

    def after(self, start: int, amount: int) -> int:
        return max(start, math.ceil(self.minute_of(self.reading(start) + amount - ROUNDING_TOLERANCE)))

    def latest_start(self, end: int, amount: int) -> int:
        return math.floor(self.minute_of(self.reading(end - 1) - amount)) - 1

    def soonest(self, start: int, amount: int) -> int:
        return self.after(start, amount)


class WeekdayClock(NamedTuple):
    """Counts Mondays to Fridays: the same local time this many weekdays later.

    Minutes count from the Unix epoch, a Thursday. `changes` are the minutes at which the UTC offset changes,
    ascending; offsets[i] (minutes east) holds up to changes[i], the last one after all.
    """

    changes: tuple[int, ...]
    offsets: tuple[int, ...]

    def after(self, start: int, amount: int) -> int:
        day, into = divmod(start + self.offsets[bisect_right(self.changes, start)], DAY)
        left = amount
        while left:
            day += 1
            left -= (day + EPOCH_WEEKDAY) % 7 < 5
        return self._minute(day * DAY + into)

    def latest_start(self, end: int, amount: int) -> int:
        return end - (amount + 2 * (amount // 5) + 5) * DAY

    def soonest(self, start: int, amount: int) -> int:
        """Late on a Friday or Saturday it can pay to wait: the next day counts the same weekdays from an earlier
        hour."""
        day = (start + self.offsets[bisect_right(self.changes, start)]) // DAY
        midnight = max(start, self._minute((day + 1) * DAY))
        return min(self.after(start, amount), self.after(midnight, amount))

    def _minute(self, wall: int) -> int:
        """The real minute of a local minute; one that occurs twice or never is read with the old offset."""
        for change, old, new in zip(self.changes, self.offsets, self.offsets[1:], strict=False):
            if wall < change + max(old, new):
                return wall - old
        return wall - self.offsets[-1]
