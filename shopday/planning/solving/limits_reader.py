"""What the start of each planned step hangs on, read off the scheduler's answer."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence

from shopday.planning.encoding.encoded_problem import EncodedProblem
from shopday.planning.plan import Awaited, Moment, StartLimits
from shopday.scheduler import Lag, Placed, Task, least_stretch


class LimitsReader:
    """`moment` makes a clock time of a minute."""

    def __init__(
        self, built: EncodedProblem, placed: Sequence[Placed | None], moment: Callable[[int], Moment]
    ) -> None:
        self.built, self.placed, self.moment = built, placed, moment
        self.now = built.problem.now

    def of(self, task: Task, placed: Placed) -> StartLimits:
        """The limits of a task that was not begun."""
        not_before = max(self.now, task.release)
        ready = max([not_before, *map(self._over, task.lags)])
        passed_up = self._passed_up(task, placed, ready)
        return StartLimits(
            awaits=tuple(self._awaited(task, lag) for lag in task.lags),
            not_before=self.moment(not_before),
            ready=self.moment(ready),
            passed_up=None if passed_up is None else self.moment(passed_up),
            stretch=least_stretch(task, task.work),
            unbroken=task.unbroken,
            appointment=task.at is not None,
            cold=task.starts_in is not None,
        )

    def windows(self, task: Task) -> Iterator[tuple[int, int]]:
        """The last start that each window allows, and the minute from which it counts."""
        for window in task.windows:
            opened = max(map(self._over, window.refs))
            yield opened + window.within, opened

    def _over(self, lag: Lag) -> int:
        placed = self.placed[lag.task]
        assert placed is not None  # what waits for a step without a place has none either
        return placed.moment(lag.milestone) + lag.offset

    def _awaited(self, task: Task, lag: Lag) -> Awaited:
        address, pass_no = self.built.passes[lag.task].key
        within = min((window.within for window in task.windows if lag in window.refs), default=None)
        return Awaited(address, pass_no, self.moment(self._over(lag)), within)

    def _passed_up(self, task: Task, placed: Placed, ready: int) -> int | None:
        """The last minute at which it might have begun, by the hours of those who do it, before it does."""
        if task.starts_immediately or not task.crews:
            return None
        hours = self.built.start_hours(task, placed.crew)
        n = bisect_left(hours.starts, placed.start) - 1
        last = min(hours.ends[n], placed.start) - 1 if n >= 0 else ready - 1
        return last if last >= ready else None
