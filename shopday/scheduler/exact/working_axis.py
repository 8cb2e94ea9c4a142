"""The working-time axis: the open minutes of a calendar from now on, numbered consecutively.

On it attended work has no breaks: a piece of work is a plain interval, and a person is one machine. Minutes here
count from `Problem.now`.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable
from itertools import accumulate, pairwise

from shopday.scheduler.model.calendars import MinuteSpan

Jumps = list[tuple[int, int]]
"""(from which argument, by how much): where a function gains more than its usual one per minute."""


class WorkingAxis:
    """A numbered axis.

    starts, ends: of the open spans.
    before:       the open minutes before each span, and in all.
    """

    def __init__(self, spans: Iterable[MinuteSpan], now: int, last: int) -> None:
        cut = ((max(0, a - now), min(b - now, last)) for a, b in spans)
        self.spans = [(a, b) for a, b in cut if a < b]
        self.starts = [a for a, _ in self.spans]
        self.before = list(accumulate((b - a for a, b in self.spans), initial=0))

    def position(self, minute: int) -> int:
        """The number of open minutes before this one."""
        k = bisect_right(self.starts, minute) - 1
        if k < 0:
            return 0
        a, b = self.spans[k]
        return self.before[k] + min(minute, b) - a

    def minute(self, position: int) -> int:
        """The open minute with this number; past the last one, the end of the last span."""
        if position >= self.before[-1]:
            return self.spans[-1][1] if self.spans else 0
        k = bisect_right(self.before, position) - 1
        return self.starts[k] + position - self.before[k]

    def positions(self, spans: Iterable[MinuteSpan], now: int) -> list[list[int]]:
        """The closed ranges of positions of the open minutes in these absolute spans."""
        found = ([self.position(a - now), self.position(b - now) - 1] for a, b in spans)
        return [x for x in found if x[0] <= x[1]]

    def jumps(self, measure: Callable[[int], int], ends: bool) -> Jumps:
        """Where a measure of the minute leaps, by position. ends: measure the minute at which work ends."""
        leaps = (measure(b) - measure(a) for (_, a), (b, _) in pairwise(self.spans))
        return [(at + ends, leap) for at, leap in zip(self.before[1:], leaps, strict=False) if leap]
