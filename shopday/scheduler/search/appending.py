"""Appending: a fast way to evaluate an order if one maker does all the work.

With one maker the order of the tasks is their order in time. A task that starts after everything before it needs no
profiles: a few minutes tell from when the maker, each kept thing and the air of each room are free. Such an order
lacks insertions into earlier gaps; `Builder` makes those.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shopday.scheduler.model.calendars import FOREVER
from shopday.scheduler.model.phase_times import Moments
from shopday.scheduler.placing.builder import Builder
from shopday.scheduler.placing.built_schedule import BuiltSchedule
from shopday.scheduler.placing.schedule_costs import ScheduleCosts
from shopday.scheduler.search.appended_tasks import AppendedTask, AppendedTasks
from shopday.scheduler.search.spots import Spot

MOST_STARTS_TRIED = 40
"""The most starts tried for a task until what must follow it within a window can follow."""


@dataclass(slots=True)
class Appended:
    """Tasks placed one after another.

    free:       from when the maker, each single thing that is kept, and the air of each room are free.
    units:      by counted resource: from when each unit is free, ascending.
    deliveries: by job, the earliest that is still possible.
    pending:    unplaced tasks that must start within a hard window that has begun.
    """

    moments: list[Moments | None]
    free: list[int]
    units: list[list[int]]
    deliveries: list[int]
    pending: tuple[int, ...]
    cost: int

    def copy(self) -> Appended:
        """A copy from which to continue without changing this one."""
        return Appended(
            self.moments[:], self.free[:], self.units[:], self.deliveries[:], self.pending, self.cost
        )


class JobPrices(dict[int, int]):
    """The cost of a job by its delivery, see `ScheduleCosts.job_cost`."""

    def __init__(self, costs: ScheduleCosts, job: int) -> None:
        super().__init__()
        self.costs, self.job = costs, job

    def __missing__(self, delivery: int) -> int:
        price = self[delivery] = self.costs.job_cost(self.job, delivery)[0]
        return price


class Appender:
    """Appends the movable tasks of a builder that looks ahead, at its prices. Raises UnfitForAppending.

    work:     the tasks that need the maker; the others follow by themselves as soon as they may.
    needs:    by task, what must be placed before it.
    calendar: when the maker is in.
    looked:   how many places were looked for so far.
    """

    def __init__(self, builder: Builder) -> None:
        prepared = AppendedTasks(builder)
        self.builder, self.tasks, self.calendar = builder, prepared.tasks, prepared.calendar
        self.work = [i for i in self.tasks if not self.tasks[i].at_once]
        needs = builder.compiled.needs
        self.needs = {i: tuple(j for j in needs[i] if j in self.tasks) for i in self.tasks}
        self.at_once = {
            j: tuple(i for i in self.tasks if self.tasks[i].at_once and j in self.needs[i])
            for j in self.tasks
        }
        self.looked = 0
        self.prices = [JobPrices(builder.costs, job) for job in range(len(builder.problem.jobs))]
        _, deliveries, cost, _, _ = builder.start.marks[0]
        moments = list(builder.start.moments)
        self.start = Appended(moments, prepared.free, prepared.units, list(deliveries), (), cost)
        self._follow(self.start, (i for i in self.tasks if self.tasks[i].at_once))

    def run(self, order: Iterable[int], limit: int = FOREVER) -> Appended | None:
        """Append all the work in this order, in which every task comes after what it waits for. None if that misses
        a hard window, or the cost exceeds `limit`."""
        state = self.start.copy()
        for i in order:
            spot = self.fit(state, i)
            if spot is None:
                return None
            self.enter(state, i, spot)
            if state.cost > limit:
                return None
        return state

    def price(self) -> None:
        """Take the present prices of the builder; states from before keep their cost."""
        for prices in self.prices:
            prices.clear()
        self.start.cost = sum(
            prices[at] for prices, at in zip(self.prices, self.start.deliveries, strict=True)
        )

    def ready(self, state: Appended, i: int) -> bool:
        """True if all that a task waits for is placed."""
        return all(state.moments[j] is not None for j in self.needs[i])

    def can_be_followed(self, state: Appended, i: int) -> bool:
        """True if all else that the followers of a task wait for is placed."""
        needs, moments = self.needs, state.moments
        return all(j == i or moments[j] is not None for k in self.tasks[i].follow for j in needs.get(k, ()))

    def can_go_on(self, state: Appended) -> bool:
        """True if every window that has begun can be kept, as far as its task may come next."""
        return all(self.fit(state, i) is not None for i in state.pending if self.ready(state, i))

    def fit(self, state: Appended, i: int) -> Spot | None:
        """The next spot of a task, once all that it waits for is placed; None if a window forbids it."""
        task = self.tasks[i]
        self.looked += 1
        t = self._free_from(state, task)
        return task.spots[t] if task.plain else self._fit(state, task, i, t)

    def _free_from(self, state: Appended, task: AppendedTask) -> int:
        """The first minute at which nothing that is known by minutes makes the task wait."""
        free, moments = state.free, state.moments
        t = task.ready
        for k in task.waits:
            if free[k] > t:
                t = free[k]
        for j, m, offset in task.after:
            ready = moments[j][m] + offset  # type: ignore[index]  # what it waits for is placed
            if ready > t:
                t = ready
        for k, n in task.counted:
            if (soonest := state.units[k][n - 1]) > t:
                t = soonest
        return t

    def enter(self, state: Appended, i: int, spot: Spot) -> None:
        """Place a task at a spot, and the tasks that follow it by themselves."""
        task, free = self.tasks[i], state.free
        state.moments[i] = spot.moments
        for k, minute in spot.frees:
            if minute > free[k]:
                free[k] = minute
        for k, n, minute in spot.units:
            units = state.units[k][n:]
            at = bisect_right(units, minute)
            units[at:at] = [minute] * n
            state.units[k] = units
        before = state.deliveries[task.job]
        if spot.delivery > before:
            prices = self.prices[task.job]
            state.cost += prices[spot.delivery] - prices[before]
            state.deliveries[task.job] = spot.delivery
        if task.follow or state.pending:
            state.pending = (*(j for j in state.pending if j != i), *task.follow)
        if self.at_once[i]:
            self._follow(state, self.at_once[i])

    def _follow(self, state: Appended, tasks: Iterable[int]) -> None:
        for i in tasks:
            if state.moments[i] is None and self.ready(state, i):
                spot = self.fit(state, i)
                assert spot is not None  # nothing can delay it
                self.enter(state, i, spot)

    def built(self, appended: Appended, order: Sequence[int]) -> BuiltSchedule | None:
        """The schedule of the builder: all movable tasks in this order, none before its appended start."""
        placer = self.builder.placer
        before = placer.not_before
        starts = {i: at[0] for i in self.work if (at := appended.moments[i]) is not None}
        placer.not_before = {**before, **starts}
        try:
            return self.builder.build(order)
        finally:
            placer.not_before = before

    # ------------------------------------------------------------ windows and still air

    def _fit(self, state: Appended, task: AppendedTask, i: int, t: int) -> Spot | None:
        deadline = self.builder.placer.windows.deadline(task.prepared, state.moments)
        spot = self._clear_of_dust(state, task, t, deadline)
        for _ in range(MOST_STARTS_TRIED):
            if spot is None or (spot.moments[0] > deadline and not task.prepared.soft):
                return None
            if any(spot.moments[m] > latest for m, latest in task.limits):
                return None
            late = self._followers_late(state, task, i, spot)
            if late <= 0:
                return spot
            spot = self._clear_of_dust(state, task, self._later(task, spot, late), deadline)
        return None

    def _clear_of_dust(self, state: Appended, task: AppendedTask, t: int, deadline: int) -> Spot | None:
        """The first spot from a minute on whose phases do not begin in dust."""
        while True:
            spot = task.spots[t]
            if spot is not None and task.prepared.soft and spot.moments[0] > deadline:
                spot = task.grown[max(t, deadline + 1)]
            if spot is None or task.dust < 0 or state.free[task.dust] <= spot.clear:
                return spot
            t = self._later(task, spot, state.free[task.dust] - spot.clear)

    def _later(self, task: AppendedTask, spot: Spot, by: int) -> int:
        """The start from which the work is over this much later."""
        start, end, *_ = spot.moments
        calendar = task.prepared.staff[0].calendar
        work = task.prepared.grown if task.prepared.soft else task.prepared.work
        return max(start + 1, calendar.latest_start(end + by, work))

    def _followers_late(self, state: Appended, task: AppendedTask, i: int, spot: Spot) -> int:
        """By how many minutes what must follow a task within a window would at least be too late."""
        late = 0
        for k in task.follow:
            after = self.tasks.get(k)
            if after is None or state.moments[k] is not None:
                continue
            trial = state.copy()
            self.enter(trial, i, spot)
            if not self.ready(trial, k):
                return 0
            deadline = self.builder.placer.windows.deadline(after.prepared, trial.moments)
            late = max(late, self._soonest(trial, after) - deadline)
        return late

    def _soonest(self, state: Appended, task: AppendedTask) -> int:
        spot = self._clear_of_dust(state, task, self._free_from(state, task), FOREVER)
        return FOREVER if spot is None else spot.moments[0]
