"""JobBounds: the earliest start of each task and the earliest delivery of each job, without the other jobs."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from shopday.scheduler.bounds.earliest_times import EarliestTimes
from shopday.scheduler.bounds.machine_relaxation import Machine
from shopday.scheduler.model.phase_times import Moments
from shopday.scheduler.placing.builder import Builder


class JobBounds:
    """Critical paths over calendars. Where paths meet, the machines must have done everything before.

    heads:      by task, no schedule starts it earlier.
    ends:       by task, no schedule ends its work earlier.
    deliveries: by job, no schedule delivers it earlier.
    tasks_of:   by job, its tasks that are still to be placed.
    """

    def __init__(self, builder: Builder, machines: list[Machine]) -> None:
        self.builder = builder
        self.prepared = builder.compiled.prepared
        self.machines = machines
        self.heads = [builder.problem.now] * len(self.prepared)
        self.ends = list(self.heads)
        self.soonest = EarliestTimes(builder, self.heads)
        self.before = [0] * len(self.prepared)
        """Per task, as bits, those whose work is over before it starts."""
        self.deliveries = [builder.problem.now] * len(builder.problem.jobs)
        self.tasks_of: list[list[int]] = [[] for _ in self.deliveries]
        self._follow_paths()
        for job, tasks in enumerate(self.tasks_of):
            for machine in machines:
                self.deliveries[job] = max(self.deliveries[job], self._done(machine, tasks))

    def _follow_paths(self) -> None:
        known: list[Moments] = [()] * len(self.prepared)
        for i in sorted(range(len(self.prepared)), key=self.builder.compiled.rank.__getitem__):
            if i not in self.builder.refused:
                job, given = self.prepared[i].task.job, self.builder.start.moments[i]
                if given is None:
                    self.heads[i] = self._head(i, known)
                    self.tasks_of[job].append(i)
                known[i] = given or self.soonest.moments(i, self.heads[i])
                self.heads[i] = max(self.heads[i], known[i][0])
                self.ends[i] = known[i][1]
                self.deliveries[job] = max(self.deliveries[job], known[i][2])

    def _head(self, i: int, known: list[Moments]) -> int:
        """The earliest start: what the task waits for is over, and each machine has done its part of that."""
        prepared = self.prepared[i]
        head = max([prepared.release, *(known[j][m] + offset for j, m, offset in prepared.lags)])
        if self.machines:
            for j, m, offset in prepared.lags:
                if offset >= 0:
                    self.before[i] |= self.before[j] | (1 << j if m else 0)
        for machine in self.machines if len(prepared.lags) > 1 else ():
            work = [j for j in machine.needs if self.before[i] >> j & 1]
            if len(work) > 1:
                done = machine.done(work, self.heads)
                head = max(head, min(self._after(i, j, done) for j in self.last(work)))
        return head

    def _after(self, i: int, j: int, end: int) -> int:
        """The earliest start of task `i` if the work of `j`, which it waits for, ends no earlier than `end`."""
        lags = [(m, offset) for k, m, offset in self.prepared[i].lags if k == j]
        moments = self.soonest.moments(j, self.heads[j], end) if lags else ()
        return max([end, *(moments[m] + offset for m, offset in lags)])

    def last(self, tasks: Iterable[int]) -> list[int]:
        """The tasks that are before none of the others: one of them ends last."""
        tasks = list(tasks)
        over = 0
        for i in tasks:
            over |= self.before[i]
        return [i for i in tasks if not over >> i & 1]

    def _done(self, machine: Machine, tasks: list[int]) -> int:
        """The earliest delivery of a job by the work that a machine has for it: all of it, and the part with a long
        tail."""
        tails = {i: self.builder.costs.tails[i] for i in tasks if i in machine.needs}
        soonest = 0
        for tail in set(tails.values()):
            work = [i for i in tails if tails[i] >= tail]
            soonest = max(soonest, self.delivery(self.last(work), machine.done(work, self.heads)))
        return soonest

    def delivery(self, tasks: Collection[int], end: int) -> int:
        """The earliest delivery of a job if the last of these tasks ends no earlier than this; or less than its
        floor."""
        if any(self.ends[i] >= end for i in tasks):
            return self.builder.problem.now
        return min(self.soonest.delivery(i, self.heads[i], end) for i in tasks)
