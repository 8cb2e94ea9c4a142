"""Serial placement: tasks one after another, each at the earliest minute at which all its constraints hold.

Tasks bound by hard windows form a unit. If one of them cannot keep its window, the task it counts from is moved
later and the unit is placed again (the unscheduling step of Franck, Neumann and Schwindt 2001).
"""

from __future__ import annotations

from collections.abc import Iterator

from shopday.scheduler.model.calendars import FOREVER
from shopday.scheduler.model.phase_times import Moments
from shopday.scheduler.model.problem import Task
from shopday.scheduler.model.result import Cause, Refusal
from shopday.scheduler.placing.earliest_start import EarliestStart
from shopday.scheduler.placing.fits import Fit, NoPlace, Profiles
from shopday.scheduler.placing.prepared_problem import PreparedProblem
from shopday.scheduler.placing.prepared_task import PreparedTask, Staffing
from shopday.scheduler.placing.task_holds import TaskHolds
from shopday.scheduler.placing.window_bounds import WindowBounds

MOST_PLACES_TRIED = 20
"""The most places tried for a task until what must follow it can follow."""


class Placer:
    """Fits single tasks into profiles, after what they wait for.

    spent:      counts looks at what must follow a task; callers add the work of placing, see `Builder.spent`.
    bounds:     by task, (moment, least minute, appointment): what hard windows of appointments require of it.
    chosen:     the crew of tasks that must not take whichever crew finishes first.
    not_before: earlier starts, before which tasks may not start.
    """

    def __init__(self, compiled: PreparedProblem) -> None:
        self.compiled = compiled
        self.problem = compiled.problem
        self.holds = TaskHolds(compiled)
        self.starts = EarliestStart(compiled, self.holds)
        self.windows = WindowBounds(compiled)
        self.spent = 0
        self.bounds: dict[int, list[tuple[int, int, int]]] = {}
        self.chosen: dict[int, int] = {}
        self.not_before: dict[int, int] = {}

    def fit(self, i: int, profiles: Profiles, moments: list[Moments | None], floor: int) -> Fit:
        """The earliest place of a task, not before `floor`, with the crew that finishes first.

        Raises WindowMissed or NoPlace.
        """
        prepared = self.compiled.prepared[i]
        ready = prepared.release if prepared.release > floor else floor
        if self.not_before and not prepared.task.starts_immediately:
            ready = max(ready, self.not_before.get(i, ready))
        for j, m, offset in prepared.lags:
            minute = moments[j][m] + offset  # type: ignore[index]  # what it waits for is placed
            if minute > ready:
                ready = minute
        if prepared.task.starts_immediately:
            return self._immediate(i, prepared, ready, moments, floor)
        deadline = self.windows.deadline(prepared, moments) if prepared.windows else FOREVER
        if prepared.task.at is not None:
            return self._appointed(i, prepared, ready, deadline, profiles)
        followed = i in self.compiled.followers
        best: Fit | None = None
        limit = FOREVER
        for crew, staff in enumerate(prepared.staff):
            if self.chosen and self.chosen.get(i, crew) != crew:
                continue
            found = self.starts.earliest(prepared, crew, staff, ready, deadline, profiles, limit)
            if found is not None and i in self.bounds:
                found = self._bounded(i, prepared, crew, staff, deadline, profiles, found)
            if followed:
                found = self._followed(i, prepared, crew, staff, deadline, profiles, moments, found)
            if found is not None and (best is None or found.moments[1] < best.moments[1]):
                best = found
                if not followed:  # no crew that starts later could finish sooner
                    limit = best.moments[1] - prepared.work - 1
        if best is None:
            raise NoPlace(i, Refusal(Cause.HORIZON))
        if best.moments[0] > deadline and not prepared.soft:
            self.windows.blame(i, best.moments[0], moments)
        return best

    def _bounded(
        self,
        i: int,
        prepared: PreparedTask,
        crew: int,
        staff: Staffing,
        deadline: int,
        profiles: Profiles,
        found: Fit,
    ) -> Fit | None:
        """A later fit, if the hard window of an appointment requires it."""
        again: Fit | None = found
        for m, least, _ in self.bounds[i]:
            while again is not None and again.moments[m] < least:
                start = max(again.moments[0] + 1, self.windows.start_for(prepared, staff.calendar, m, least))
                again = self.starts.earliest(prepared, crew, staff, start, deadline, profiles)
        return again

    def _followed(
        self,
        i: int,
        prepared: PreparedTask,
        crew: int,
        staff: Staffing,
        deadline: int,
        profiles: Profiles,
        moments: list[Moments | None],
        found: Fit | None,
    ) -> Fit | None:
        """A later fit, if what must follow within a hard window would find no free minute in it.

        This saves placing both, and undoing the first, for every gap that has room for only one of them.
        """
        for _ in range(MOST_PLACES_TRIED):
            if found is None:
                return None
            self.spent += 1
            start = self._start_to_be_followed(i, prepared, staff, profiles, moments, found.moments)
            if start <= found.moments[0]:
                return found
            found = self.starts.earliest(prepared, crew, staff, start, deadline, profiles)
        return found

    def _start_to_be_followed(
        self,
        i: int,
        prepared: PreparedTask,
        staff: Staffing,
        profiles: Profiles,
        moments: list[Moments | None],
        at: Moments,
    ) -> int:
        """The least start of a task at which its followers might keep their windows; its present start if they may
        already."""
        latest = at[0]
        for k, m, offset, within in self.compiled.followers[i]:
            after = self.compiled.prepared[k]
            if moments[k] is not None or k in self.compiled.refused:
                continue
            ready = after.release
            for j, n, o in after.lags:
                known = at if j == i else moments[j]
                if known is not None and known[n] + o > ready:
                    ready = known[n] + o
            last, soonest = at[m] + offset + within, FOREVER
            for c, other in enumerate(after.staff):
                fit = self.starts.earliest(after, c, other, ready, FOREVER, profiles, soonest)
                if fit is not None:
                    soonest = fit.moments[0]
                    if soonest <= last:
                        break
            if last < soonest < FOREVER:
                bound = soonest - within - offset
                latest = max(latest, at[0] + 1, self.windows.start_for(prepared, staff.calendar, m, bound))
        return latest

    def _immediate(
        self, i: int, prepared: PreparedTask, ready: int, moments: list[Moments | None], floor: int
    ) -> Fit:
        task = prepared.task
        at = max([prepared.release] + [moments[j][m] + o for j, m, o in prepared.lags])  # type: ignore[index]
        if task.at is not None:
            if at > task.at:
                raise NoPlace(i, Refusal(Cause.APPOINTMENT, limit=at))
            at = ready = task.at
        if ready > at:
            self.windows.delay_latest(i, ready, moments)
        if prepared.windows and not prepared.soft and at > self.windows.deadline(prepared, moments):
            self.windows.blame(i, at, moments)
        end = self.immediate_end(task, at)
        missed = prepared.soft and bool(prepared.windows) and at > self.windows.deadline(prepared, moments)
        return Fit((at, end, end), 0, missed, holds=())

    def immediate_end(self, task: Task, start: int) -> int:
        """The end of a task that starts immediately and needs nobody."""
        clock = None if task.clock is None else self.problem.clocks[task.clock]
        end = start + task.length if clock is None else clock.after(start, task.length)
        return end if task.until is None else max(end, task.until)

    def _appointed(
        self, i: int, prepared: PreparedTask, ready: int, deadline: int, profiles: Profiles
    ) -> Fit:
        at = prepared.task.at
        if at is None or ready > at or (deadline < at and not prepared.soft):
            raise NoPlace(i, Refusal(Cause.APPOINTMENT, limit=ready))
        found = next(self.appointments(i, profiles, deadline), None)
        if found is None:
            raise NoPlace(i, Refusal(Cause.APPOINTMENT, limit=at))
        return found

    def appointments(self, i: int, profiles: Profiles, deadline: int = FOREVER) -> Iterator[Fit]:
        """The fits of an appointment, one for each crew that can keep it, whatever it waits for."""
        prepared = self.compiled.prepared[i]
        at = prepared.task.at
        if at is not None and at >= prepared.release:
            for crew, staff in enumerate(prepared.staff):
                found = self.starts.earliest(prepared, crew, staff, at, deadline, profiles, limit=at)
                if found is not None and found.moments[0] == at:
                    yield found

    def appointed(self, i: int, profiles: Profiles) -> Fit:
        """Place an appointment before what it waits for is placed. Raises NoPlace."""
        prepared = self.compiled.prepared[i]
        return self._appointed(i, prepared, prepared.release, FOREVER, profiles)
