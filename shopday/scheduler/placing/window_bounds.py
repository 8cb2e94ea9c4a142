"""WindowBounds: the last start that keeps a window, and what must move later if there is none."""

from __future__ import annotations

from collections.abc import Sequence

from shopday.scheduler.model.calendars import FOREVER, Calendar
from shopday.scheduler.model.phase_times import FIRST_PHASE, Moments
from shopday.scheduler.placing.fits import WindowMissed
from shopday.scheduler.placing.prepared_problem import PreparedProblem
from shopday.scheduler.placing.prepared_task import PreparedTask


class WindowBounds:
    """Turns a bound on a moment of a task into a bound on its start."""

    def __init__(self, compiled: PreparedProblem) -> None:
        self.prepared = compiled.prepared
        self.clocks = compiled.problem.clocks

    def deadline(self, prepared: PreparedTask, moments: Sequence[Moments | None]) -> int:
        """The last start that keeps every window whose moments are known."""
        deadline = FOREVER
        for refs, within in prepared.windows:
            known = [moments[j][m] + o for j, m, o in refs if moments[j] is not None]  # type: ignore[index]
            if len(known) == len(refs):
                deadline = min(deadline, max(known) + within)
        return deadline

    def blame(self, i: int, start: int, moments: list[Moments | None]) -> None:
        """Raise WindowMissed for the task that must move, if a task that cannot start before `start` misses a hard
        window."""
        for refs, within in self.prepared[i].windows:
            known = [(moments[j][m] + o, j, m, o) for j, m, o in refs if moments[j] is not None]  # type: ignore[index]
            if len(known) == len(refs):
                latest, j, m, offset = max(known)
                if latest + within < start:
                    raise self._later(j, m, start - within - offset, moments)

    def delay_latest(self, i: int, start: int, moments: list[Moments | None]) -> None:
        """Raise WindowMissed for what the task waits for: a task that starts immediately can only start later if
        that is later."""
        lags = self.prepared[i].lags
        if not lags:
            raise WindowMissed(i, None)
        j, m, offset = max(lags, key=lambda x: moments[x[0]][x[1]] + x[2])  # type: ignore[index]
        raise self._later(j, m, start - offset, moments)

    def _later(self, j: int, m: int, bound: int, moments: list[Moments | None]) -> WindowMissed:
        prepared, now = self.prepared[j], moments[j]
        if (
            now is None
            or prepared.task.fixed is not None
            or prepared.task.at is not None
            or prepared.task.going
        ):
            return WindowMissed(j, None)
        if prepared.task.starts_immediately:
            start = bound if m == 0 else self._immediate_start(prepared, bound)
        else:
            start = min(self.start_for(prepared, staff.calendar, m, bound) for staff in prepared.staff)
        return WindowMissed(j, max(now[0] + 1, start))

    def _immediate_start(self, prepared: PreparedTask, bound: int) -> int:
        task = prepared.task
        if task.clock is None:
            return bound - task.length
        return self.clocks[task.clock].latest_start(bound, task.length)

    def start_for(self, prepared: PreparedTask, calendar: Calendar, m: int, bound: int) -> int:
        """A start no later than every start whose moment `m` is at or after `bound`."""
        if m == 0:
            return bound
        if m != 1:
            last = len(prepared.phases) if m == 2 else m - FIRST_PHASE + 1
            for p in range(last - 1, -1, -1):
                phase = prepared.phases[p]
                if not phase.informational or (m != 2 and p == last - 1):
                    clock = None if phase.clock is None else self.clocks[phase.clock]
                    bound = bound - phase.takes if clock is None else clock.latest_start(bound, phase.takes)
        return calendar.latest_start(bound, prepared.grown if prepared.soft else prepared.work)

    def latest_for(self, prepared: PreparedTask, m: int, bound: int) -> int:
        """Roughly the latest start whose moment `m` is not after `bound`; it tells how urgent a task is."""
        if prepared.task.starts_immediately:
            return bound if m == 0 else self._immediate_start(prepared, bound)
        if not prepared.staff:
            return bound
        return self.start_for(prepared, prepared.staff[0].calendar, m, bound)
