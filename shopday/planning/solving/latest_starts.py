"""How late each step may be with every promise kept, if all goes in the plan's order.

The plan is pushed to the right: what waits for what, and who and which machine does what after what, stay as
planned. The answer is safe; another order might allow a later day.
"""

from __future__ import annotations

import datetime as dt
from bisect import bisect_left, bisect_right
from collections import defaultdict

from shopday.planning.encoding.encoded_problem import EncodedProblem
from shopday.planning.plan import Moment, Plan, PlannedStep
from shopday.scheduler import COMPLETE, END, FOREVER, START, Calendar, Task


class Latest:
    """The latest starts and completions of the steps in a plan."""

    def __init__(self, built: EncodedProblem, plan: Plan) -> None:
        self.built = built
        self._due = {row.job: self._due_of(plan, row.job) for row in plan.jobs}
        self._waiting: dict[int, list[tuple[int, int, int]]] = defaultdict(list)
        for j, task in enumerate(built.problem.tasks):
            for lag in task.lags:
                self._waiting[lag.task].append((lag.milestone, j, lag.offset))
        self._starts: dict[int, int] = {}
        self._completes: dict[int, int] = {}
        self._next_use: dict[str, int] = {}
        known = [(row.start, built.index[row.key], row) for row in plan.steps if row.key in built.index]
        for _, i, row in sorted(known, key=lambda entry: entry[:2], reverse=True):
            self._push(i, row)

    def start(self, step: PlannedStep) -> Moment | None:
        """The last start that delays no promise; None if no promise depends on it."""
        return self._moment(self._starts.get(self.built.index[step.key], FOREVER))

    def complete(self, step: PlannedStep) -> Moment | None:
        """The last completion that delays no promise; None if no promise depends on it."""
        return self._moment(self._completes.get(self.built.index[step.key], FOREVER))

    def _moment(self, minute: int) -> Moment | None:
        return self.built.zone.moment(minute) if minute < FOREVER else None

    def _due_of(self, plan: Plan, job: str) -> int:
        """The end of the promised day; for a job that is late anyway, its planned delivery."""
        row = plan.job(job)
        if row is None or row.promise is None or row.delivered:
            return FOREVER
        if row.late_minutes and row.delivery is not None:
            return self.built.zone.of(row.delivery)
        return self.built.zone.minute(row.promise + dt.timedelta(days=1))

    def _push(self, i: int, row: PlannedStep) -> None:
        task = self.built.problem.tasks[i]
        bounds = self._bounds(i, row)
        complete = bounds[COMPLETE]
        end = min(bounds[END], self._before_phases(task, bounds))
        start = min(bounds[START], self._before_work(task, row, end))
        if task.at is not None:
            start = min(start, task.at)
        self._starts[i], self._completes[i] = start, complete
        for user in (*row.people, *row.stations):
            if user in row.people or self._single(user):
                self._next_use[user] = min(start, self._next_use.get(user, FOREVER))

    def _bounds(self, i: int, row: PlannedStep) -> dict[int, int]:
        """By milestone: the latest minute that later work allows."""
        bounds: dict[int, int] = defaultdict(lambda: FOREVER)
        bounds[COMPLETE] = self._due[row.job]
        for milestone, j, offset in self._waiting[i]:
            bounds[milestone] = min(bounds[milestone], self._starts.get(j, FOREVER) - offset)
        for person in row.people:
            bounds[END] = min(bounds[END], self._next_use.get(person, FOREVER))
        for station in filter(self._single, row.stations):
            kept = [n for n, wait in enumerate(row.waits) if station in wait.keeps]
            milestone = max(kept) if kept else END
            bounds[milestone] = min(bounds[milestone], self._next_use.get(station, FOREVER))
        return bounds

    def _before_phases(self, task: Task, bounds: dict[int, int]) -> int:
        """The latest end of the work from which every wait ends in time."""
        latest = bounds[COMPLETE]
        for n in range(len(task.phases) - 1, -1, -1):
            phase = task.phases[n]
            if phase.informational:
                continue
            latest = self._earlier(min(latest, bounds[n]), phase.takes, phase.clock)
        return latest

    def _before_work(self, task: Task, row: PlannedStep, end: int) -> int:
        if end >= FOREVER:
            return FOREVER
        if task.starts_immediately:
            return self._earlier(end, task.length, task.clock)
        crew = next((c for n, c in enumerate(task.crews) if self.built.crew(task, n) == row.people), None)
        if crew is None:
            return end - task.work
        calendars = self.built.problem.calendars
        calendar = calendars[crew.calendar]
        fits = _last_sitting if task.unbroken else Calendar.latest_start
        start = fits(calendar, end, task.work)
        return start if task.starts_in is None else _last_open(calendars[task.starts_in], start)

    def _earlier(self, end: int, takes: int, clock: int | None) -> int:
        """The last start from which `takes` is over by `end`."""
        if end >= FOREVER or clock is None:
            return FOREVER if end >= FOREVER else end - takes
        ticks = self.built.problem.clocks[clock]
        low, high = ticks.latest_start(end, takes), end
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if ticks.after(middle, takes) <= end else (low, middle)
        return low

    def _single(self, station: str) -> bool:
        problem = self.built.problem
        return station in self.built.resources and (
            problem.capacities[self.built.resources.index(station)] == 1
        )


def _last_sitting(calendar: Calendar, end: int, work: int) -> int:
    """The last start of unbroken work that fits into one open span and is over by `end`."""
    for first, last in reversed(calendar.spans[: bisect_left(calendar.starts, end)]):
        if min(last, end) - first >= work:
            return min(last, end) - work
    return calendar.latest_start(end, work)


def _last_open(calendar: Calendar, minute: int) -> int:
    """The minute itself if it is open, else the last open one before it."""
    n = bisect_right(calendar.starts, minute) - 1
    return minute if n < 0 else min(minute, calendar.ends[n] - 1)
