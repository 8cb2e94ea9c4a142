"""What the start of each planned step depends on, read off the scheduler's answer."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence

from shopday.planning.encoding.encoded_problem import EncodedProblem
from shopday.planning.plan import Awaited, Moment, StartLimits
from shopday.scheduler import Lag, Placed, Task, least_stretch


class LimitsReader:
    """Reads StartLimits. moment: converts a minute to clock time."""

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
        """For each window: the last start it allows, and the minute from which it counts."""
        for window in task.windows:
            opened = max(map(self._over, window.refs))
            yield opened + window.within, opened

    def _over(self, lag: Lag) -> int:
        placed = self.placed[lag.task]
        assert placed is not None  # a task that waits for one without a place has no place itself
        return placed.moment(lag.milestone) + lag.offset

    def _awaited(self, task: Task, lag: Lag) -> Awaited:
        address, pass_no = self.built.passes[lag.task].key
        within = min((window.within for window in task.windows if lag in window.refs), default=None)
        return Awaited(address, pass_no, self.moment(self._over(lag)), within)

    def _passed_up(self, task: Task, placed: Placed, ready: int) -> int | None:
        """The last minute, from `ready` and before its start, at which hours would have let it begin; None if there
        is none."""
        if task.starts_immediately or not task.crews:
            return None
        hours = self.built.start_hours(task, placed.crew)
        n = bisect_left(hours.starts, placed.start) - 1
        last = min(hours.ends[n], placed.start) - 1 if n >= 0 else ready - 1
        return last if last >= ready else None
