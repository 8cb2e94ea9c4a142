"""Scopes for a result: how late a delivery can be in a better schedule, and which jobs a bound needs at all."""

from __future__ import annotations

from collections.abc import Collection

from shopday.scheduler.bounds.job_bounds import JobBounds
from shopday.scheduler.bounds.machine_relaxation import machines
from shopday.scheduler.exact.encoding import Declined
from shopday.scheduler.exact.scope import Scope
from shopday.scheduler.model.calendars import FOREVER
from shopday.scheduler.model.result import Result
from shopday.scheduler.placing.builder import Builder
from shopday.scheduler.placing.movable_tasks import MovableTasks

MOST_TASKS = 400
"""With more tasks to place than this, the problem is left to our own search."""

FARTHER, DAYS = 1.15, 3 * 1440
"""A better plan may end later than the known one by this factor and this many minutes, if nothing else limits it."""


class Scoper:
    """Makes scopes. floors: by job that counts, no delivery is earlier, in minutes from now; they may be raised."""

    def __init__(self, builder: Builder, result: Result) -> None:
        self.builder, self.problem = builder, builder.problem
        tasks = self.problem.tasks
        placed = [i for i, place in enumerate(result.schedule.placed) if place is not None]
        self.given = tuple(i for i in placed if tasks[i].fixed is not None or tasks[i].going)
        self.free = tuple(i for i in placed if i not in set(self.given))
        if len(self.free) > MOST_TASKS:
            raise Declined(f"more than {MOST_TASKS} passes are still to be done")
        found = JobBounds(builder, machines(builder, MovableTasks(builder).movable))
        now = self.problem.now
        self.heads = {i: max(0, found.heads[i] - now) for i in self.free}
        present = {tasks[i].job for i in placed}
        self.jobs = tuple(
            j for j in range(len(self.problem.jobs)) if builder.costs.counts(j) and j in present
        )
        known = result.floors or (None,) * len(self.problem.jobs)
        self.floors = {j: max(found.deliveries[j], known[j] or 0, now) - now for j in self.jobs}

    def deliveries(self, result: Result) -> dict[int, int]:
        """By job that counts: when it is complete, in minutes from now."""
        out = dict.fromkeys(self.jobs, 0)
        for i, place in enumerate(result.schedule.placed):
            job = self.problem.tasks[i].job
            if place is not None and job in out:
                out[job] = max(out[job], place.complete - self.problem.now)
        return out

    def search(self, result: Result) -> Scope:
        """All jobs, none much later than in the result."""
        ends = [place.complete for i in self.free if (place := result.schedule.placed[i]) is not None]
        horizon = int(FARTHER * (max(ends) - self.problem.now)) + DAYS
        return self._scope(result, self.caps(result, self.jobs, horizon), self.free, horizon)

    def _scope(self, result: Result, caps: dict[int, int], free: tuple[int, ...], horizon: int) -> Scope:
        """A scope of the jobs with caps and of tasks of other jobs, with all work over by the horizon."""
        latest = {i: self._latest_end(i, caps, horizon) for i in free}
        return Scope(
            self.problem,
            result.schedule,
            tuple(caps),
            free,
            self.given,
            self.heads,
            latest,
            caps,
            self.floors,
        )

    def caps(self, result: Result, jobs: Collection[int], horizon: int) -> dict[int, int]:
        """By job: the last delivery with which the schedule can still be as good as the result."""
        totals = [self.builder.costs.job_totals(j, self.problem.now + self.floors[j]) for j in self.jobs]
        late, short, finish = (
            have - least
            for have, least in zip(result.totals, map(sum, zip(*totals, strict=True)), strict=True)
        )
        late_known = result.late == result.late_bound
        short_known = late_known and result.short == result.short_bound
        caps = {}
        for j in jobs:
            job, floor = self.problem.jobs[j], self.floors[j]
            limits = [horizon]
            if job.due is not None:
                limits.append(max(job.due - self.problem.now, floor) + late // job.weight)
            if job.safe_by is not None and late_known:
                limits.append(max(job.safe_by - self.problem.now, floor) + short // job.weight)
            if short_known:
                limits.append(floor + finish // job.weight)
            caps[j] = min(limits)
        return caps

    def _latest_end(self, i: int, caps: dict[int, int], horizon: int) -> int:
        task = self.problem.tasks[i]
        if task.job not in caps:
            return horizon
        waits = sum(phase.takes for phase in task.phases if phase.clock is None and not phase.informational)
        return caps[task.job] - self.builder.costs.tails[i] - waits

    # ------------------------------------------------------------ for a bound

    def bounding(self, result: Result, jobs: tuple[int, ...]) -> Scope | None:
        """Some jobs without the others, which makes none of their totals greater, limited only by what makes a
        schedule worse than the result. What they wait for in other jobs stays in. None if one of them may be any
        amount late."""
        caps = self.caps(result, jobs, FOREVER)
        return self._alone(result, caps) if max(caps.values()) < FOREVER else None

    def single(self, result: Result, job: int) -> Scope:
        """One job without the others, delivered no later than in the result."""
        return self._alone(result, {job: self.deliveries(result)[job]})

    def _alone(self, result: Result, caps: dict[int, int]) -> Scope:
        """A scope of these jobs and what they wait for in others, up to the last cap or as long as those others
        take."""
        free, last = self._with_needs(caps), max(caps.values())
        others = [i for i in free if self.problem.tasks[i].job not in caps]
        return self._scope(result, caps, free, max([last, *(self._ends_by(i, last) for i in others)]))

    def _ends_by(self, i: int, start: int) -> int:
        task, problem = self.problem.tasks[i], self.problem
        calendars = (problem.calendars[crew.calendar] for crew in task.crews)
        ends = (calendar.finish(problem.now + start, task.work + (task.adds or 0)) for calendar in calendars)
        return max((end - problem.now for end in ends if end is not None), default=start)

    def _with_needs(self, jobs: Collection[int]) -> tuple[int, ...]:
        tasks, free = self.problem.tasks, set(self.free)
        found = {i for i in self.free if tasks[i].job in jobs}
        stack = list(found)
        while stack:
            task = tasks[stack.pop()]
            refs = [*task.lags, *(ref for window in task.windows for ref in window.refs)]
            for j in {ref.task for ref in refs} & free - found:
                found.add(j)
                stack.append(j)
        return tuple(sorted(found))
